/*
 * blank_internal.h: shared inside the blank room. lattice.c cuts the tape chart into triangles,
 * metric.c gives them the face's lengths, energy.c says what a triangle's straining costs, system.c
 * keeps and solves the sparse equations, solve.c descends on one mesh, layout.c goes from coarse to
 * fine, locate.c finds points, report.c says what came of it, mesh.c and bounds.c are small.
 */
#ifndef BLANK_INTERNAL_H
#define BLANK_INTERNAL_H

#include "taperwright/blank.h"

/** What the face says about each triangle: how plane positions of its corners become the gradient J
 * of the map from the triangle, laid flat by its own sides, to the plane. */
typedef struct tw_mesh_metric {
    double (*hat)[3][2];   /* triangle_count: gradient of each corner's hat function [1/mm] */
    double *triangle_area; /* triangle_count: curved [mm²]; the flat triangle is scaled to it */
    double *node_area;     /* node_count: thirds of triangle_area only, without boundary slivers */
    size_t *star_first;    /* node_count + 1: triangles about a node … */
    uint32_t *star;        /* … and which they are, ascending */
    size_t *ring_first;    /* node_count + 1: nodes of the triangles about a node, itself too … */
    uint32_t *ring;        /* … ascending */
} tw_mesh_metric;

/** The tape chart in triangles: fills tape, triangle, loops, holes_filled, spacing of a mesh. */
tw_status tw_lattice_cut(const tw_form *form, double spacing, tw_mesh *mesh, tw_error *err);
/** Area of the tape chart inside outline and holes [mm²]. */
double tw_lattice_chart_area(const tw_outline *outline);
/** Offset of a node outward from the form's face, from its tape coordinates; NaN refuses. */
typedef double (*tw_offset_at)(const double tape[2], void *context);
/** As tw_mesh_build(), away from the face. */
tw_status tw_mesh_build_off(const tw_form *form, size_t nodes, tw_offset_at offset, void *context,
                            unsigned threads, tw_mesh **out, tw_error *err);
/** Positions, curvatures, lengths, areas; mesh->tape and triangle are there. `chart_area` is the exact
 * area of the chart, from which boundary slivers are known; `offset` is how far outward of the form's
 * face each node lies, NULL for on it. */
tw_status tw_metric_fill(const tw_form *form, double chart_area, const double *offset,
                         unsigned threads, tw_mesh *mesh, tw_error *err);
/** Neighbour lists star and ring. */
tw_status tw_metric_neighbours(tw_mesh *mesh, tw_error *err);

/** Integrals of node values times each node's hat function over the face: what areas about nodes come to
 * when blank / face area is `value`. Just a node's own value times a third of its triangles would give the
 * rim the thickness of a third of a triangle farther in. */
void tw_node_integrals(const tw_mesh *mesh, const double *value, double *out);

/** What is minimised: even weights (a start), metal that thins as it spreads, or area prescribed. */
typedef enum tw_work_kind { TW_WORK_EVEN, TW_WORK_FREE, TW_WORK_PRESCRIBED } tw_work_kind;

/** Gradient J of a triangle from plane positions of its corners. */
static inline void tw_triangle_gradient(const double hat[3][2], const double (*at)[2],
                                        const uint32_t corner[3], double J[4])
{
    J[0] = J[1] = J[2] = J[3] = 0;
    for (int k = 0; k < 3; k++) {
        const double *x = at[corner[k]];
        J[0] += x[0] * hat[k][0];
        J[1] += x[0] * hat[k][1];
        J[2] += x[1] * hat[k][0];
        J[3] += x[1] * hat[k][1];
    }
}
/** Work of one triangle; INFINITY when it is turned over. `weight` is area × metal; `pressure` adds
 * pressure × area × det J. */
double tw_triangle_work(tw_work_kind kind, double weight, double pressure, const double J[4]);
/** Its gradient and its curvature held positive semidefinite, per corner: slope 6, bend 6 × 6 row by
 * row (x, y of corner 0, 1, 2). */
void tw_triangle_bend(tw_work_kind kind, double weight, double pressure, const double J[4],
                      const double hat[3][2], double slope[6], double bend[36]);
/** Principal logarithmic strains blank → plate, greater first, and the direction of the greater in the
 * plane. */
void tw_triangle_strains(const double J[4], double strain[2], double *direction);

/* ---- sparse equations --------------------------------------------------------------------- */

/** Order of elimination of the nodes: number[node] is its place. */
tw_status tw_order_nodes(const tw_mesh *mesh, bool two_rings, uint32_t *number, tw_error *err);
/** Symmetric matrix of 2 × 2 blocks over nodes, upper half kept, with the last factor. */
typedef struct tw_system tw_system;
/** @param two_rings  room for blocks between any two nodes of a star, else only along sides */
tw_status tw_system_new(const tw_mesh *mesh, bool two_rings, tw_system **out, tw_error *err);
void tw_system_free(tw_system *system);
void tw_system_clear(tw_system *system);
/** Add block (rows of node a, columns of node b); of two equal blocks (a, b), (b, a) only one is added,
 * a == b takes its upper half. */
void tw_system_add(tw_system *system, uint32_t a, uint32_t b, const double block[4]);
/** Make the diagonal a trifle heavier, so that shifting and turning the whole has a stiffness. */
void tw_system_settle(tw_system *system, double share);
/** @return TW_OK, TW_ERR_MEMORY, or TW_ERR_UNREACHABLE when the matrix is not positive definite */
tw_status tw_system_factor(tw_system *system, tw_error *err);
bool tw_system_has_factor(const tw_system *system);
/** Solve for step with the last factor as preconditioner of conjugate gradients.
 * @return iterations taken, or limit + 1 when `within` was not met */
unsigned tw_system_solve(tw_system *system, const double (*right)[2], double within, unsigned limit,
                         double (*step)[2]);

/* ---- one mesh ------------------------------------------------------------------------------ */

typedef struct tw_descent {
    const tw_mesh *mesh;
    const tw_layout_options *options;
    double share_from, share_to; /* of the progress told */
    double *metal;               /* node_count: metal / stock; NULL for as formed */
    double (*at)[2];             /* node_count: plane positions, changed in place */
    double *pressure;            /* node_count: multipliers, changed in place */
    double ratio_within;         /* wanted largest error of a node's area */
    double work_within;          /* what a step may still save, of metal volume */
    double ratio_error;
    unsigned steps, factorisations;
} tw_descent;
/** From any layout without overturned triangles to one of least work, on one mesh. */
tw_status tw_descend(tw_descent *descent, tw_work_kind kind, tw_error *err);
/** @return whether some triangle is turned over or flat. */
bool tw_mesh_overturned(const tw_mesh *mesh, const double (*at)[2]);

/* ---- finding points ------------------------------------------------------------------------ */

typedef struct tw_bins {
    double low[2], side;
    size_t columns, rows;
    size_t *first;      /* columns·rows + 1 */
    uint32_t *triangle; /* those whose box meets a bin */
} tw_bins;
tw_status tw_bins_fill(tw_arena *arena, const tw_mesh *mesh, const double (*at)[2], tw_bins *bins,
                       tw_error *err);
/** @return the triangle of a point, or the nearest within `reach`, SIZE_MAX when there is none.
 * `share` are its barycentric coordinates, below 0 outside. */
size_t tw_bins_find(const tw_bins *bins, const tw_mesh *mesh, const double (*at)[2],
                    const double point[2], double reach, double share[3]);
typedef struct tw_layout_places {
    tw_bins tape, blank;
} tw_layout_places;

/** Everything a layout reports, from mesh, blank, stock. `metal` as in tw_descent; the form's face lies
 * out_of_middle × thickness outside the middle of the metal. */
tw_status tw_layout_report(tw_layout *layout, const double *metal, double out_of_middle,
                           tw_error *err);

#endif
