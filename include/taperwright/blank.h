/*
 * blank.h: the flat blank of a curved plate, and sheet as it comes from forming: a least-work layout
 * of the face in the plane. Every point of the plate is followed back to where its metal lay in the
 * flat sheet.
 *
 * Work is that of a sheet that hardens in proportion to strain (von Mises, strains in proportion all
 * the way): (4/3)(ε₁² + ε₁ε₂ + ε₂²) per volume of metal, ε₁, ε₂ the principal logarithmic strains in
 * the sheet, metal keeping its volume; that is the square of the equivalent strain, and half the hardening
 * modulus times it an energy. It is an estimate of the least that must be done to the metal,
 * not a simulation of hammer or press: no friction, no springing back, no cracking or buckling.
 *
 * Layouts are of the middle of the metal: where the form's profile gives the outside or inside face, half
 * the thickness is taken off it or added (of sheet as formed, half the stock's). Creases and apexes are
 * laid out as they stand.
 *
 * Blank coordinates are mm in the flat sheet, outside face up, turned and shifted to lie as near as
 * they can over the plate's tape coordinates: up in the blank is up on the plate.
 */
#ifndef TAPERWRIGHT_BLANK_H
#define TAPERWRIGHT_BLANK_H

#include "taperwright/base.h"
#include "taperwright/form.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- the face in triangles --------------------------------------------------------------- */

enum { TW_MESH_NODES_MIN = 200, TW_MESH_NODES_MAX = 60000, TW_MESH_NODES_USUAL = 5000 };

/**
 * The metal of a plate's face in triangles that follow the outline; holes are left open, save those
 * under about one triangle's size, which are filled (they are drilled afterwards). across = 0 is made
 * of triangle sides, so that a crease is; the tape origin is a node, so that an apex is.
 */
typedef struct tw_mesh {
    size_t node_count, triangle_count, loop_count;
    double (*tape)[2];     /**< node_count: [across, up] */
    double (*position)[3]; /**< node_count [mm]; of a layout's mesh, the middle of the metal */
    double *area; /**< node_count: third of its curved triangles, share of boundary slivers [mm²] */
    double *mean_curvature;  /**< node_count [1/mm]; 0 where the face has none (apex) */
    double *gauss_curvature; /**< node_count [1/mm²]; 0 likewise */
    uint32_t (*triangle)[3]; /**< triangle_count: nodes, anticlockwise seen from outside */
    size_t *loop_first;      /**< loop_count + 1: where each boundary loop begins in loop_node */
    uint32_t *loop_node; /**< nodes along the boundary, metal on the left; the longest loop first */
    size_t holes_filled; /**< holes too small for these triangles: metal here, drilled afterwards */
    double (*filled)[3]; /**< holes_filled: across, up, area on the face [mm²] of each */
    double spacing;      /**< side of a triangle in the tape chart [mm] */
    double face_area;    /**< sum of area [mm²] */
    struct tw_mesh_metric *metric; /**< lengths of sides as the face has them; private */
    tw_arena *arena;               /**< owns every array above */
} tw_mesh;
/**
 * @brief Cut the metal of a form into triangles.
 * @param      nodes   about how many, TW_MESH_NODES_MIN … TW_MESH_NODES_MAX
 * @param      threads 0 for one per processor; the mesh is the same for any number
 * @param[out] out     pair with tw_mesh_free()
 * @return TW_OK; TW_ERR_LIMIT (nodes out of range); TW_ERR_SHAPE (metal so narrow somewhere that these
 * triangles fall apart, or a face whose tape chart folds over itself); TW_ERR_MEMORY
 */
TW_API tw_status tw_mesh_build(const tw_form *form, size_t nodes, unsigned threads, tw_mesh **out,
                               tw_error *err);
TW_API void tw_mesh_free(tw_mesh *mesh);

/* ---- layouts ------------------------------------------------------------------------------- */

/** Called between steps with what is being done and how far it is, 0…1; false stops the work. */
typedef bool (*tw_layout_progress)(const char *step, double share, void *context);

typedef struct tw_layout_options {
    size_t nodes;     /**< of the finest mesh; 0: TW_MESH_NODES_USUAL */
    double stock;     /**< thickness of the flat sheet, t₀ [mm], > 0 */
    unsigned threads; /**< 0 for one per processor; the layout is the same for any number */
    tw_layout_progress progress; /**< may be NULL */
    void *progress_context;
} tw_layout_options;

/** A plate and its blank, node by node of its mesh. */
typedef struct tw_layout {
    tw_mesh *mesh;        /**< owned */
    double stock;         /**< t₀ [mm] */
    double (*blank)[2];   /**< node_count: where the node's metal lay in the sheet [mm] */
    double *thickness;    /**< node_count: of the formed plate [mm] */
    double *area_ratio;   /**< node_count: blank area / area about the node */
    double *stretch_most; /**< node_count: greater principal stretch, plate length / blank length */
    double *stretch_least; /**< node_count: smaller one; < 1 where metal is shrunk together */
    double *direction;     /**< node_count: of the greater one in the blank, from +x [rad] */
    double blank_area;     /**< [mm²], small holes not yet drilled */
    double drilled_area; /**< of small holes in the blank [mm²]; the rest · stock is the metal */
    double face_area;    /**< of the plate, at the middle of the metal [mm²] */
    double thinnest, thickest;             /**< over all nodes [mm] */
    double thinnest_at[2], thickest_at[2]; /**< their tape coordinates */
    double rim_mean;                       /**< mean thickness along the outer boundary [mm] */
    double steepest; /**< steepest grade of thickness along the face, off the boundary [mm/mm] */
    double steepest_at[2];              /**< its tape coordinates */
    double least_stretch, most_stretch; /**< extremes of the principal stretches */
    double work;        /**< Σ (4/3)(ε₁² + ε₁ε₂ + ε₂²) × volume [mm³] */
    double mean_strain; /**< root of work / volume: root mean square equivalent strain */
    double ratio_error; /**< prescribed: greatest |area ratio / wanted − 1| of a node; free: 0 */
    double blank_min[2], blank_max[2]; /**< extents of the blank [mm] */
    bool overlaps; /**< the blank's boundary crosses itself: it cannot be cut from one sheet */
    unsigned steps, factorisations;  /**< of the solver, all meshes */
    struct tw_layout_places *places; /**< for finding points; private */
    tw_arena *arena;                 /**< owns every array above */
} tw_layout;

/**
 * @brief Flat sheet of one thickness formed to this face with the least work. Metal keeps its volume;
 * nothing holds the rim.
 * The metal at a node is stock · blank area; its thickness is what that leaves on the face that the form
 * gives, which stays where it is.
 * @param[out] out  pair with tw_layout_free()
 * @return TW_OK; TW_ERR_DOMAIN (stock not above 0); as tw_mesh_build(); TW_ERR_UNREACHABLE (no layout
 * without an overturned triangle was found); TW_ERR_INTERRUPTED
 */
TW_API tw_status tw_layout_as_formed(const tw_form *form, const tw_layout_options *options,
                                     tw_layout **out, tw_error *err);

/** @return the wanted thickness at a tape point [mm], > 0. */
typedef double (*tw_thickness_at)(double across, double up, void *context);
/**
 * @brief The blank for a wanted thickness map: blank area about each node is its area times
 * thickness / stock, within 0.1 %, with the least work.
 * @param thickness  called once per node of each mesh, from one thread
 * @return as tw_layout_as_formed(); TW_ERR_DOMAIN also for a thickness not above 0
 * Node by node and not triangle by triangle: as many triangles as unknowns would lock.
 */
TW_API tw_status tw_layout_prescribed(const tw_form *form, tw_thickness_at thickness, void *context,
                                      const tw_layout_options *options, tw_layout **out,
                                      tw_error *err);
/**
 * @brief The same for a thickness map on a grid of the same form.
 * @param grid       nu × nv nodes
 * @param thickness  nu·nv values [mm]; those that are not finite and above 0 are not used
 */
TW_API tw_status tw_layout_from_map(const tw_form *form, const tw_grid *grid,
                                    const double *thickness, const tw_layout_options *options,
                                    tw_layout **out, tw_error *err);
TW_API void tw_layout_free(tw_layout *layout);

/* ---- points and lines ---------------------------------------------------------------------- */

/**
 * @brief Where a point of the plate lies in the blank.
 * @return true, or false when the point is off the metal by more than a triangle's side
 */
TW_API bool tw_layout_to_blank(const tw_layout *layout, const double tape[2], double blank[2]);
/** @brief Where a point of the blank lies on the plate; as tw_layout_to_blank(). */
TW_API bool tw_layout_to_tape(const tw_layout *layout, const double blank[2], double tape[2]);
/**
 * @brief Thickness of the formed plate at a tape point, linear between nodes.
 * @param[out] mm  always filled; off the metal that of the place of the boundary nearest by tape [mm]
 * @return whether the point lies in the metal as the triangles have it
 */
TW_API bool tw_layout_thickness_at(const tw_layout *layout, const double tape[2], double *mm);
/** @brief The same for points close together.
 * @param[in,out] triangle  of the mesh, asked first; SIZE_MAX when none is known or the point is off all */
TW_API bool tw_layout_thickness_near(const tw_layout *layout, const double tape[2],
                                     size_t *triangle, double *mm);
/**
 * @brief Boundary of the blank as closed lines, metal on the left; line 0 is the outer one.
 * @param      loop   0 … mesh->loop_count − 1
 * @param[out] points room for as many as are returned; NULL only counts
 * @return points of the loop; the first is not repeated
 */
TW_API size_t tw_layout_outline(const tw_layout *layout, size_t loop, double (*points)[2]);

/* ---- bounds for a domed disc, in closed form ----------------------------------------------- */

/** A spherical dome over a base circle: what the ways of making it come to. */
typedef struct tw_dome {
    double radius;       /**< of the sphere [mm] */
    double rim_angle;    /**< from the crown [rad] */
    double sunk_mean;    /**< t/t₀, rim held, no draw-in: mean over the dome, 1/(1 + q²) */
    double sunk_crown;   /**< t/t₀ at the crown of a blown membrane: 1/(1 + q²)² */
    double even_blank;   /**< blank diameter with the thickness held, √(d² + 4h²) [mm] */
    double even_hoop;    /**< hoop stretch at its rim, 1/√(1 + q²) */
    double raised_blank; /**< blank diameter with every meridian held, 2Rφ [mm] */
    double raised_rim;   /**< t/t₀ at its rim, φ/sin φ */
    double raised_mean;  /**< t/t₀, mean over the dome */
    double upright_rim;  /**< t/t₀ at the rim with every hoop held, cos φ */
} tw_dome;
/**
 * @brief Bounds for a dome: all sunk (rim held, metal only stretched) to all raised (metal only
 * gathered).
 * @param half   base radius a [mm], > 0
 * @param depth  h [mm], > 0; q = h/a, the rim angle is 2·atan q
 * Sources: sunk_crown, R. Hill, "A theory of the plastic bulging of a metal diaphragm by lateral
 * pressure", Philosophical Magazine 41 (1950), from memory; the others follow from volume kept.
 */
TW_API tw_dome tw_dome_bounds(double half, double depth);

/** What mean thickness would do to any plate: all sunk and all raised about its own boundary. */
typedef struct tw_forming_bounds {
    double sunk_mean; /**< t/t₀ with the boundary held: area within it laid flat / face area */
    double even;      /**< t/t₀ with the area held: 1 */
    double
        raised_mean; /**< t/t₀ with every length of tape from the middle held: chart area / face area */
} tw_forming_bounds;
/** @brief Mean thickness bounds of a plate: the outer boundary seen square to the bench gives the area
 * of the sunk one, the tape chart that of the raised one. Derived here; a dome's for a dome. */
TW_API tw_forming_bounds tw_forming_bounds_of(const tw_mesh *mesh);

#ifdef __cplusplus
}
#endif
#endif
