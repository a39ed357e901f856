/*
 * exchange.h: a plate handed on to other programs: the metal as one closed solid of triangles, and
 * the files that general 3-D programs read.
 *
 * The solid is what is weighed: the reference face that was measured, carried along its normals to
 * where the metal begins and ends, with walls along outline and holes. Units are mm, x right as one
 * faces the outside, y up, z toward the viewer. Turned edges and flutes are not in it.
 */
#ifndef TAPERWRIGHT_EXCHANGE_H
#define TAPERWRIGHT_EXCHANGE_H

#include "taperwright/base.h"
#include "taperwright/files.h"
#include "taperwright/form.h"
#include "taperwright/thickness.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- the solid --------------------------------------------------------------------------- */

enum { TW_SOLID_POINTS_MAX = 1000000, TW_SOLID_POINTS_USUAL = 20000 };

/**
 * A closed solid: every edge belongs to exactly two triangles that run along it in opposite senses,
 * about every vertex there is one fan of triangles, and no triangle has a vertex twice. That holds
 * for the vertices as they are here, rounded to the floats that binary STL and PLY have.
 */
typedef struct tw_solid {
    size_t vertex_count, triangle_count;
    float (*vertex)[3];       /**< vertex_count [mm] */
    float *thickness;         /**< vertex_count: of the map there [mm] */
    uint32_t (*triangle)[3];  /**< triangle_count, anticlockwise seen from off the metal */
    float thinnest, thickest; /**< of thickness */
    double spacing;           /**< side of a triangle by tape, away from the outline [mm] */
    /** Farthest that a vertex was moved off its face [mm]: flat triangles with their corners on a
     * bulge hold less than it, so corners stand out until as much lies outside as inside. */
    double off_face;
    tw_arena *arena; /**< owns every array above */
} tw_solid;

typedef struct tw_solid_options {
    double
        spacing; /**< side of a triangle by tape [mm]; 0: about TW_SOLID_POINTS_USUAL to a face */
    unsigned threads; /**< 0 for one per processor; the same solid for any number */
} tw_solid_options;

/**
 * @brief The metal of a form under a thickness map as a closed solid.
 * Triangles follow outline and holes exactly as the outline's lines have them, run along a crease and
 * meet in an apex; there both sides end where their inner (or outer) faces meet, at the mitre.
 * @param      map  on a grid of the same form, > 0 wherever there is metal; one that tw_weigh() accepts
 * @param[out] out  pair with tw_solid_free()
 * @return TW_OK; TW_ERR_DOMAIN (spacing not above 0; a thickness not above 0); TW_ERR_LIMIT (over
 * TW_SOLID_POINTS_MAX points to a face); TW_ERR_SHAPE (a plate that folds, with its place; metal so
 * narrow or edges so near each other that they touch after rounding); TW_ERR_MEMORY
 * Method: constrained Delaunay triangles of the tape chart, src/exchange/delaunay.c; volume kept to
 * fourth order in the spacing away from curved edges, src/exchange/faces.c.
 */
TW_API tw_status tw_solid_build(const tw_form *form, const tw_map *map,
                                const tw_solid_options *options, tw_solid **out, tw_error *err);
TW_API void tw_solid_free(tw_solid *solid);
/** @brief Whether a solid is closed as said above.
 * @return TW_OK; TW_ERR_SHAPE with a vertex where it is not; TW_ERR_MEMORY */
TW_API tw_status tw_solid_check(const tw_solid *solid, tw_error *err);

/** What a solid of flat triangles holds, by its own sum. */
typedef struct tw_solid_size {
    double volume_mm3, area_mm2; /**< area of the whole skin: both faces and the walls */
    double centroid_mm[3];       /**< of the volume */
    double low[3], high[3];      /**< box about it [mm] */
} tw_solid_size;
/** @brief Add up signed tetrahedra between each triangle and one vertex (divergence theorem), with
 * compensation: exact but for rounding. */
TW_API tw_solid_size tw_solid_measure(const tw_solid *solid);
/** A solid beside the map that it was made from, as weighed. */
typedef struct tw_solid_weight {
    tw_solid_size size;
    double mass_g;       /**< of the solid's own volume, at the density that was weighed with */
    double difference_g; /**< mass_g − weighed */
} tw_solid_weight;
TW_API tw_solid_weight tw_solid_beside(const tw_solid *solid, const tw_weight *weighed);

/* ---- files ------------------------------------------------------------------------------- */

/* `title` is written into the file's head as plain ASCII: other letters become '?'. Same solid and
 * title: same bytes, on any machine and in any locale. */

/** @brief Binary STL, little endian, in mm. A program that asks for the unit must be told. */
TW_API tw_status tw_solid_write_stl(const tw_solid *solid, const char *title, tw_output *out,
                                    tw_error *err);
/** @brief Wavefront OBJ, in mm; nine digits, so that the floats come back as they are. */
TW_API tw_status tw_solid_write_obj(const tw_solid *solid, const char *title, tw_output *out,
                                    tw_error *err);
/** @return colour of a place 0 (thinnest) … 1 (thickest) of a scale, as tw_colour_thickness(). */
typedef void (*tw_solid_colour)(double position, unsigned char rgb[3]);
/**
 * @brief Binary PLY, little endian, in mm: x, y, z, thickness and, with a colour, red, green, blue to
 * each vertex.
 * @param colour  NULL: without
 */
TW_API tw_status tw_solid_write_ply(const tw_solid *solid, const char *title,
                                    tw_solid_colour colour, tw_output *out, tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
