/*
 * form.h: tape coordinates to space. A form maps [across, up] to a point on the plate's reference
 * face; an outline says where metal is; a grid samples both; distances run over the grid.
 *
 * x right as one faces the outside, y up, z toward the viewer; z = 0 is the bench. Normals point
 * outward (z > 0 on a flat plate). Mean curvature is positive for a ball seen from outside, 1/R.
 */
#ifndef TAPERWRIGHT_FORM_H
#define TAPERWRIGHT_FORM_H

#include "taperwright/base.h"
#include "taperwright/profile.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- form ------------------------------------------------------------------------------ */

/** The face at one point, with its exact derivatives in tape coordinates. */
typedef struct tw_face_point {
    double position[3];                     /**< [mm] */
    double across_step[3];                  /**< ∂position/∂across */
    double up_step[3];                      /**< ∂position/∂up */
    double normal[3];                       /**< outward, length 1 */
    double mean_curvature, gauss_curvature; /**< [1/mm], [1/mm²] */
} tw_face_point;

/** A form with its outline and holes, built from a profile; opaque, not changed after building,
 * so any number of threads may evaluate it. */
typedef struct tw_form tw_form;
/**
 * @brief Build form, outline and holes of a profile.
 * @param[out] out    written only when TW_OK is returned; pair with tw_form_free(). It borrows
 *                    the profile, which must outlive it
 * @param[out] notes  what was adjusted (tape clamped, points pulled in); may be NULL
 * @return TW_OK; TW_ERR_SHAPE with the place in the profile (tape impossible for its section,
 * outline crossing itself or outside the form, hole outside the outline); TW_ERR_KEY (unknown
 * edge); TW_ERR_MEMORY
 */
TW_API tw_status tw_form_build(const tw_profile *profile, tw_form **out, tw_notes *notes,
                               tw_error *err);
TW_API void tw_form_free(tw_form *form);
TW_API const tw_profile *tw_form_profile(const tw_form *form);
/** @brief The face at a tape point; beyond the form's boundary it goes on along its tangents. On a
 * crease the side of positive across is taken. */
TW_API void tw_form_at(const tw_form *form, double across, double up, tw_face_point *out);

/** What the form measures, for `check` to print back. */
typedef struct tw_form_sizes {
    double width, height, depth; /**< of the metal in space, x, y, z extents [mm] */
    double tape_across, tape_up; /**< extents of the outline in tape coordinates [mm] */
    double area;                 /**< of the face inside the outline, holes out [mm²] */
    double least_radius;       /**< least radius of curvature off creases [mm]; INFINITY if flat */
    double least_radius_at[2]; /**< its tape coordinates */
    double depth_min;          /**< lowest z of the metal [mm] */
} tw_form_sizes;
TW_API tw_status tw_form_measure(const tw_form *form, tw_form_sizes *out, tw_error *err);
/** @brief Tape width (side to side over the face) of one loft station, or of one row of points.
 * @return TW_OK, or TW_ERR_DOMAIN when the form has none or no such station (from 0) */
TW_API tw_status tw_form_station_tape(const tw_form *form, size_t station, double *tape,
                                      tw_error *err);

/**
 * @brief Tape coordinates of a point however it was given.
 * @param[out] off  how far the given point lies off the face [mm] (TW_POINT_SPACE), else 0; may be NULL
 * @return TW_OK; TW_ERR_KEY (unknown edge); TW_ERR_DOMAIN (beyond the edge's length, from the crown
 * of something that is no bowl)
 */
TW_API tw_status tw_form_locate(const tw_form *form, const tw_point *point, double tape[2],
                                double *off, tw_error *err);

/* ---- outline --------------------------------------------------------------------------- */

/** One edge or hole as a line of points in tape coordinates, close enough that straight pieces
 * between them are within 0.005 mm of the curve. */
typedef struct tw_edge_line {
    const char *name;    /**< "arm left"; "hole 1" */
    size_t count;        /**< points */
    double (*points)[2]; /**< [across, up]; an edge that closes on itself repeats its first point */
} tw_edge_line;
typedef struct tw_outline {
    size_t edge_count, hole_count;
    tw_edge_line *edges; /**< in order round the plate, anticlockwise seen from outside */
    tw_edge_line *holes; /**< clockwise: metal lies on the left of every line */
    double across_min, across_max, up_min, up_max;
} tw_outline;
TW_API const tw_outline *tw_form_outline(const tw_form *form);
/** @return signed distance in tape coordinates to outline and holes: < 0 in metal [mm] */
TW_API double tw_outline_level(const tw_outline *outline, double across, double up);

/* ---- grid ------------------------------------------------------------------------------ */

/** A cell crossed by outline or hole, or one whose sampling point is not its middle. */
typedef struct tw_cut_cell {
    size_t cell;       /**< j·(nu−1) + i */
    double across, up; /**< place of the sampling point inside the cell, 0…1 each */
} tw_cut_cell;

/** A piece of crease, one per cell edge that lies on it. */
typedef struct tw_crease {
    size_t left_cell, right_cell; /**< cells on both sides; SIZE_MAX when that side has no metal */
    double position[3];           /**< middle of the piece [mm] */
    double length;                /**< of the piece inside the outline [mm] */
    double turn;                  /**< angle between the two normals [rad], > 0 for a ridge */
    double outward[3];            /**< unit bisector of the two normals */
    double across, up;            /**< tape coordinates of the middle */
    size_t node;                  /**< node at its lower end; the upper one is node + nu */
} tw_crease;

/**
 * The face of a plate sampled on a grid regular in tape coordinates. Nodes carry the metric that
 * distances run on; cells carry the face at their sampling point (the middle, or the centroid of
 * what is left of a cell cut by the outline). across = 0 is always a grid line, so that a crease
 * lies on one and no cell straddles it. All arrays live in `arena`.
 */
typedef struct tw_grid {
    size_t nu, nv; /**< nodes across, up; node (i, j) is at j·nu + i */
    double across_min, up_min, across_step, up_step; /**< node (i, j) is at min + index·step [mm] */
    double *x, *y, *z;                               /**< nu·nv each: nodes in space [mm] */
    double *metric_aa, *metric_au, *metric_uu;       /**< nu·nv: r_a·r_a, r_a·r_u, r_u·r_u */
    /** nu·nv: tw_outline_level() at the node [mm], < 0 in metal. Sign everywhere and distance within
     * two steps of the outline are exact; farther off it may be a trifle too large, never too small. */
    double *level;
    /* (nu−1)(nv−1) each; cell (i, j) is at j·(nu−1) + i, between nodes i, i+1 and j, j+1 */
    double *cell_x, *cell_y, *cell_z;         /**< face at the sampling point [mm] */
    double *normal_x, *normal_y, *normal_z;   /**< outward unit normal there */
    double *mean_curvature, *gauss_curvature; /**< [1/mm], [1/mm²] */
    double *area;  /**< face area of the metal in the cell [mm²], 0 where there is none */
    double *cover; /**< share of the cell inside the outline, 0…1 */
    size_t cut_count, crease_count;
    tw_cut_cell *cuts;  /**< by ascending cell */
    tw_crease *creases; /**< by ascending up */
    double apex[2];     /**< tape coordinates of a point where the face has no normal (cone) */
    bool has_apex;
    double face_area; /**< sum of area [mm²] */
    tw_arena *arena;  /**< owns every array above */
} tw_grid;

enum { TW_GRID_MIN = 8, TW_GRID_MAX = 4096 };
/**
 * @brief Sample a form.
 * @param cells    along the longer tape side of the outline, TW_GRID_MIN … TW_GRID_MAX
 * @param threads  0 for one per processor; the grid is the same for any number
 * @param[out] out pair with tw_grid_free()
 */
TW_API tw_status tw_grid_build(const tw_form *form, size_t cells, unsigned threads, tw_grid **out,
                               tw_error *err);
/**
 * @brief A grid with arrays of the right size and zeroes in them, for callers who fill it from a
 * formula of their own. Room for `cuts` cut cells and `creases` creases (counts start at 0).
 */
TW_API tw_status tw_grid_blank(size_t nu, size_t nv, size_t cuts, size_t creases, tw_grid **out,
                               tw_error *err);
TW_API void tw_grid_free(tw_grid *grid);
static inline size_t tw_grid_cells(const tw_grid *grid)
{
    return (grid->nu - 1) * (grid->nv - 1);
}
static inline double tw_grid_across(const tw_grid *grid, size_t i)
{
    return grid->across_min + (double)i * grid->across_step;
}
static inline double tw_grid_up(const tw_grid *grid, size_t j)
{
    return grid->up_min + (double)j * grid->up_step;
}
/** @return node values interpolated bilinearly at a tape point, held at the grid's border. */
TW_API double tw_grid_sample(const tw_grid *grid, const double *node, double across, double up);
/** @brief Node values to cell values: the mean of four nodes, bilinear in a cut cell. */
TW_API void tw_grid_to_cells(const tw_grid *grid, const double *node, double *cell);
/**
 * @brief Share of each cell where a level (node values, linear between them) is below zero.
 * @param[out] share  (nu−1)(nv−1) values 0…1, of the whole square cell
 */
TW_API void tw_grid_level_share(const tw_grid *grid, const double *level, double *share);
/** @brief The same for one row of cells, between nodes `low` and `high`, cells + 1 of either. */
TW_API void tw_level_share_row(const double *low, const double *high, size_t cells, double *share);

/* ---- distance on the plate ------------------------------------------------------------- */

/** Scratch of a march, kept between marches so that later ones allocate nothing. */
typedef struct tw_march tw_march;
/** @param threads  that make it ready, 0 for one per processor; the same for any number */
TW_API tw_status tw_march_new(const tw_grid *grid, unsigned threads, tw_march **out, tw_error *err);
/** One of several marches; `number` says which. */
typedef tw_status (*tw_march_job)(tw_march *march, size_t number, void *context, tw_error *err);
/**
 * @brief Do `count` marches that do not wait for each other, shared between threads.
 * @param threads  0 for one per processor; the same distances for any number
 * @return TW_OK; what the first job in the order of numbers returned that failed; TW_ERR_MEMORY
 */
TW_API tw_status tw_march_each(const tw_grid *grid, size_t count, unsigned threads,
                               tw_march_job job, void *context, tw_error *err);
/** @brief Scratch of its own over another's domain, for a march at the same time in another thread.
 * `of` must outlive it. */
TW_API tw_status tw_march_twin(const tw_march *of, tw_march **out, tw_error *err);
TW_API void tw_march_free(tw_march *march);
/** @brief From here on marches stop at a distance [mm] and leave INFINITY beyond; INFINITY: never. */
TW_API void tw_march_within(tw_march *march, double limit);
/**
 * @brief Geodesic distance over the metal, round holes and notches, never through them.
 * @param[in,out] distance  nu·nv [mm]: seeds hold their distance, all others INFINITY. On return
 *                          every node in metal or at a corner of a cell with metal has a value;
 *                          nodes that no path reaches, and nodes whose metric is none (a fold of
 *                          the tape chart), keep INFINITY
 * Fast marching with one-sided differences of second order, or the mean of second and third where
 * three nodes allow; six neighbours from a reduced lattice basis in place of the eight where the
 * chart is too oblique for them; nodes just beyond a border are slowed so that no path gains by a
 * hole. Second order where distance is smooth; behind a hole or notch near first. Sources: Sethian
 * 1999, Mirebeau 2014; formulas at the top of src/form/march.c, march_stencil.c, march_domain.c.
 */
TW_API void tw_march_run(tw_march *march, double *distance);

/* Distances from sources; each fills nu·nv node values [mm]. `march` belongs to the same grid. */
/** From a point. */
TW_API tw_status tw_distance_from_point(tw_march *march, const tw_form *form, const double tape[2],
                                        double *distance, tw_error *err);
/** From an open or closed line of points in tape coordinates (an edge, a band's middle line). */
TW_API tw_status tw_distance_from_lines(tw_march *march, const tw_form *form,
                                        const tw_edge_line *lines, size_t line_count,
                                        double *distance, tw_error *err);
/**
 * From a closed shape: 0 inside, outside the distance from its boundary.
 * @param[out] level     nu·nv: below zero inside the shape, about a distance [mm] near its border;
 *                       may be NULL
 * @return TW_OK; TW_ERR_SHAPE when no part of the shape lies in metal
 */
TW_API tw_status tw_distance_from_shape(tw_march *march, const tw_form *form, const tw_shape *shape,
                                        double *distance, double *level, tw_error *err);
/** @brief The two in one: distance outside the shape, the level inside. @return as above */
TW_API tw_status tw_level_from_shape(tw_march *march, const tw_form *form, const tw_shape *shape,
                                     double *level, tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
