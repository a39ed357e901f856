/*
 * weigh.h: what a plate weighs and where it balances, by one rule: the solid between the reference
 * face and its offset along the normals, summed over cells.
 */
#ifndef TAPERWRIGHT_WEIGH_H
#define TAPERWRIGHT_WEIGH_H

#include "taperwright/base.h"
#include "taperwright/form.h"
#include "taperwright/thickness.h"

#ifdef __cplusplus
extern "C" {
#endif

/** What a plate weighs and where it balances. Plain data: copy it, nothing to free. */
typedef struct tw_weight {
    double mass_g;
    double numerical_error_g; /**< of mass_g, from three grids; NaN where only one was used */
    double volume_mm3;
    double face_area_mm2;       /**< reference face inside the outline */
    double mean_thickness_mm;   /**< mean over the face area */
    double centroid_mm[3];      /**< x right, y up, z toward the viewer; under 1e-9 mm it is 0 */
    double inertia_g_mm2[3][3]; /**< tensor about the centroid (products with minus sign) */
} tw_weight;

/** Share of a weight that lies in one zone. */
typedef struct tw_zone_weight {
    const char *zone; /**< borrowed from the zones */
    double area_mm2, mass_g, mean_thickness_mm;
} tw_zone_weight;

/** Where the metal lies from the reference face: s0 … s1 along the outward normal. */
static inline void tw_face_span(tw_face_side face, double thickness, double span[2])
{
    const double below = face == TW_FACE_OUTSIDE ? 1.0 : face == TW_FACE_MIDDLE ? 0.5 : 0.0;
    span[0] = -below * thickness;
    span[1] = span[0] + thickness;
}

/**
 * @brief Weigh one plate by summing solid cells over its face.
 * @param      grid       not changed
 * @param      thickness  (nu−1)(nv−1) values at the cells' sampling points [mm], > 0 wherever area
 *                        is; others are not read
 * @param      node       nu·nv thickness at nodes [mm], read only along creases; may be NULL when
 *                        the grid has none
 * @param      density    [g/mm³], > 0
 * @param      threads    0 for one per processor; the same bits for any number
 * @param[out] out        written only when TW_OK is returned
 * @return TW_OK; TW_ERR_DOMAIN for a thickness or density that is not above zero; TW_ERR_SHAPE for
 * a plate that folds, with thickness, radius and place
 * Source: volume of a slab offset along the normal (Steiner), derived in src/weigh/cell.c.
 */
TW_API tw_status tw_weigh(const tw_grid *grid, const double *thickness, const double *node,
                          tw_face_side face, double density, unsigned threads, tw_weight *out,
                          tw_error *err);
/** @brief The same by zone; `out` has zones->count rows and their masses sum to the whole. */
TW_API tw_status tw_weigh_zones(const tw_grid *grid, const double *thickness, const double *node,
                                tw_face_side face, double density, const tw_zones *zones,
                                tw_zone_weight *out, tw_error *err);
/**
 * @brief The metal of each cell [mm³], 0 where there is none; half of a crease's mitre goes to the
 * cell on each side. For plates that tw_weigh() accepts: nothing is checked.
 * @param[out] volume  (nu−1)(nv−1) values
 */
TW_API void tw_cell_volumes(const tw_grid *grid, const double *thickness, const double *node,
                            tw_face_side face, double *volume);
/**
 * @brief How much mass a cell gains per thickness [g/mm], at the map's thickness: the weights with
 * which small changes of a map add up to a change of its mass. Checks and creases as above.
 * @param[out] slope  (nu−1)(nv−1) values
 */
TW_API void tw_cell_mass_slopes(const tw_grid *grid, const double *thickness, const double *node,
                                tw_face_side face, double density, double *slope);
/** @brief Volume of even sheet of any thickness t on the face, mitres in:
 * coefficient[0]·t + coefficient[1]·t² + coefficient[2]·t³ [mm³]. */
TW_API void tw_sheet_volume(const tw_grid *grid, tw_face_side face, double coefficient[3]);
/** @brief Principal moments [g·mm²], ascending, and their unit axes (rows). Jacobi rotations. */
TW_API void tw_principal_axes(const double inertia[3][3], double moments[3], double axes[3][3]);

/* ---- a plate, from profile to weight --------------------------------------------------- */

/** Told between steps of long work; return false to stop it (TW_ERR_INTERRUPTED). */
typedef bool (*tw_progress)(const char *step, double share, void *context);

typedef struct tw_plate_options {
    size_t cells;         /**< along the longer tape side; 0: the first grid good to 0.02 % */
    unsigned threads;     /**< 0: one per processor */
    tw_progress progress; /**< may be NULL */
    void *progress_context;
} tw_plate_options;

/** One map of a plate, weighed. */
typedef struct tw_plate_map {
    tw_map map;
    tw_weight weight;
    tw_zone_weight *zones; /**< zone_count of the plate */
} tw_plate_map;

enum { TW_PLATE_MAPS_MAX = 4 };
/** A plate modelled on the grid that was asked for or that meets the error. */
typedef struct tw_plate {
    const tw_profile *profile; /**< borrowed */
    tw_form *form;
    tw_grid *grid;
    tw_survey *survey; /**< NULL without readings */
    tw_taper *taper;   /**< NULL without a forged map */
    tw_zones zones;
    size_t map_count;
    tw_plate_map maps
        [TW_PLATE_MAPS_MAX]; /**< sheet, forged, readings, image: those that the profile gives */
    tw_notes notes;          /**< what was adjusted on the way */
    tw_arena *arena;
} tw_plate;

/**
 * @brief Model and weigh every map that a profile gives.
 * Grids of n, n/2 and n/4 cells give the numerical error: Richardson's when the observed order is
 * 1.5 to 3.5, else 1.25 times the largest difference. Distances are remade on each grid.
 * @param[out] out  borrows the profile; pair with tw_plate_free()
 * @return TW_OK; TW_ERR_INPUT when the profile gives no form or no thickness; what form, thickness
 * and weigh return
 */
TW_API tw_status tw_plate_build(const tw_profile *profile, const tw_plate_options *options,
                                tw_plate **out, tw_error *err);
TW_API void tw_plate_free(tw_plate *plate);
/** @return the plate's map of a kind, or NULL. */
TW_API const tw_plate_map *tw_plate_map_of(const tw_plate *plate, tw_map_kind kind);

/* ---- metal beside the face ------------------------------------------------------------------ */

/** A turned edge: sheet rolled outward over a wire, or hollow. Measured up to where the roll begins,
 * so that all of it comes on top of the plate. */
typedef struct tw_turn_weight {
    const char *edge;                   /**< borrowed from the outline */
    double length_mm;                   /**< of the edge along the face */
    double edge_mm;                     /**< the map's mean thickness along it */
    double roll_mm, wire_mm, hollow_mm; /**< outside; wire, 0 without; bore of the roll (the wire's
                                             own when it is there) */
    double layers;                      /**< of sheet between bore and outside */
    double wrap_mm;                     /**< developed width of sheet in the roll */
    double sheet_g, wire_g;
    double u_g; /**< standard, of both together: caliper on the roll, and its bore when hollow */
} tw_turn_weight;
/** Flutes: face that the tape finds in the grooves beyond the smooth form. */
typedef struct tw_flute_weight {
    double area_mm2; /**< that they add */
    double mass_g, u_g;
} tw_flute_weight;
typedef struct tw_extra_weight {
    size_t turn_count, flute_count;
    tw_turn_weight *turns;
    tw_flute_weight *flutes;
    double mass_g, u_g; /**< of all together */
    tw_notes notes;     /**< rolls and flutes whose figures do not fit each other or the plate */
    tw_arena *arena;
} tw_extra_weight;
/**
 * @brief What turned edges and flutes of a plate's profile add to one map's mass. None: all 0.
 * @return TW_OK; TW_ERR_DOMAIN (a roll no thicker than its wire; flutes that tape less over
 * than straight); TW_ERR_KEY (no such edge); TW_ERR_MEMORY
 * Source: a roll of sheet t from bore d to outside D holds π(D² − d²)/4 of metal per length, and so
 * a wrap of π(D² − d²)/(4t), derived here.
 */
TW_API tw_status tw_plate_extra(const tw_plate *plate, const tw_plate_map *map,
                                tw_extra_weight *out, tw_error *err);
TW_API void tw_extra_weight_release(tw_extra_weight *extra);
/**
 * @brief The grams of each of the plate's maps that lie within a distance of an edge over the face.
 * @param[out] mass_g  map_count of the plate
 * @return TW_OK; TW_ERR_KEY (no such edge); TW_ERR_DOMAIN (within is under 0 or no number)
 */
TW_API tw_status tw_plate_band(const tw_plate *plate, const char *edge, double within,
                               double *mass_g, tw_error *err);

/**
 * @brief Write the plate's cells as CSV for anyone's own sums: units in the header row.
 * Columns: across, up, x, y, z, normal_x, normal_y, normal_z, thickness, mean_curvature,
 * gauss_curvature, area, cover; then one row per crease piece, told apart by the column `kind`
 * (cell | crease) with its length and turn. 17 significant digits.
 */
TW_API tw_status tw_cells_write(const tw_grid *grid, const tw_map *map,
                                tw_status (*write)(void *context, const char *bytes, size_t size),
                                void *context, tw_error *err);
typedef struct tw_output tw_output; /* of files.h */
/**
 * @brief Write a thickness map as a PNG of 16-bit grey, one level per node of the grid, so that reading it
 * back on the same grid gives the same thickness to the step of its levels. Row 0 is the top: it stands
 * upright as the plate is seen from outside. Level 0 is no metal; any other is a thickness, at nodes just
 * beyond the outline too. Unit, step and place stand in its text chunks (TW_PICTURE_… of profile.h), which
 * `thickness: image` reads.
 * @param map  one of the plate's, or any on its grid
 * @return TW_OK; TW_ERR_DOMAIN (thicker than the levels reach, 6.5 m); TW_ERR_MEMORY; as tw_output_write()
 */
TW_API tw_status tw_map_write_png(const tw_plate *plate, const tw_plate_map *map, tw_output *out,
                                  tw_error *err);
/**
 * @brief Write the face's heights z over x and y as a PNG of 16-bit grey, about as fine as the plate's grid.
 * Row 0 is the greatest y. Level 0 is no face: beyond the outline; holes are left closed. `form: heights`
 * reads it.
 * @return TW_OK; TW_ERR_SHAPE (the face overhangs, so that a place in x and y has two heights); TW_ERR_LIMIT;
 * TW_ERR_MEMORY; as tw_output_write()
 */
TW_API tw_status tw_face_write_png(const tw_plate *plate, tw_output *out, tw_error *err);
/**
 * @brief Write a map's nodes as CSV, row by row from the top as the PNG has them: across_mm, up_mm, x_mm,
 * y_mm, z_mm, thickness_mm; the last is empty where there is no metal. 17 significant digits.
 */
TW_API tw_status tw_map_write_grid(const tw_plate *plate, const tw_plate_map *map, tw_output *out,
                                   tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
