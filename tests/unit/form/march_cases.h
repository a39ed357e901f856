/* march_cases.h: faces with known geodesics, and how to compare a march with them. */
#ifndef MARCH_CASES_H
#define MARCH_CASES_H

#include <stdlib.h>

#include "support.h"

/** Tape point, and exact distance there. */
typedef double (*exact_distance)(double across, double up, const void *shape);
/** Level of outline and holes at a tape point. */
typedef double (*level_of)(double across, double up, const void *shape);

/** Steep cone: tape straight from the apex, so that a circle is `squeeze` times its tape length. */
static inline void face_cone(double across, double up, const void *shape, tw_face_point *out)
{
    const double squeeze = *(const double *)shape, fall = -sqrt(1 - squeeze * squeeze);
    const double tape = hypot(across, up), c = tape > 0 ? across / tape : 1;
    const double s = tape > 0 ? up / tape : 0;
    const double along[3] = {squeeze * c, squeeze * s, fall};
    const double side[3] = {-s * squeeze, c * squeeze, 0};

    *out = (tw_face_point){.position = {tape * along[0], tape * along[1], tape * along[2]},
                           .normal = {-fall * c, -fall * s, squeeze}};
    for (int k = 0; k < 3; k++) {
        out->across_step[k] = along[k] * c - side[k] * s;
        out->up_step[k] = along[k] * s + side[k] * c;
    }
}

/** Cylinder about the up axis, of radius *(double *)shape. */
static inline void face_cylinder(double across, double up, const void *shape, tw_face_point *out)
{
    const double R = *(const double *)shape, angle = across / R;

    *out = (tw_face_point){.position = {R * sin(angle), up, R * cos(angle)},
                           .across_step = {cos(angle), 0, -sin(angle)},
                           .up_step = {0, 1, 0},
                           .normal = {sin(angle), 0, cos(angle)},
                           .mean_curvature = 0.5 / R};
}

/** Two planes that meet in a ridge on across = 0, each falling by angle *(double *)shape. */
static inline void face_roof(double across, double up, const void *shape, tw_face_point *out)
{
    const double c = cos(*(const double *)shape);
    const double s = across >= 0 ? sin(*(const double *)shape) : -sin(*(const double *)shape);

    *out = (tw_face_point){.position = {across * c, up, -across * s},
                           .across_step = {c, 0, -s},
                           .up_step = {0, 1, 0},
                           .normal = {s, 0, c}};
}

/** Cut a grid by a level: node levels, and cell areas down to the share inside. */
static inline void cut_grid(tw_grid *grid, level_of level, const void *shape)
{
    double *share = malloc(tw_grid_cells(grid) * sizeof *share);

    assert_non_null(share);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        grid->level[n] =
            level(tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu), shape);
    tw_grid_level_share(grid, grid->level, share);
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        grid->area[k] *= share[k];
    free(share);
}

/** A grid with its march and one node array. */
typedef struct march_case {
    tw_grid *grid;
    tw_march *march;
    double *distance;
} march_case;

static inline march_case march_case_on(tw_grid *grid)
{
    march_case c = {grid, NULL, malloc(grid->nu * grid->nv * sizeof(double))};

    assert_non_null(c.distance);
    assert_int_equal(tw_march_new(grid, 2, &c.march, NULL), TW_OK);
    return c;
}

static inline void march_case_end(march_case *c)
{
    free(c->distance);
    tw_march_free(c->march);
    tw_grid_free(c->grid);
}

typedef struct march_error {
    double rms, worst;
} march_error;

/** Error over the nodes in metal where the exact distance is a number. */
static inline march_error march_compare(const march_case *c, exact_distance exact,
                                        const void *shape)
{
    march_error e = {0, 0};
    size_t used = 0;

    for (size_t n = 0; n < c->grid->nu * c->grid->nv; n++) {
        double off;
        if (c->grid->level[n] >= 0)
            continue;
        off = exact(tw_grid_across(c->grid, n % c->grid->nu), tw_grid_up(c->grid, n / c->grid->nu),
                    shape);
        if (isnan(off))
            continue;
        off = fabs(c->distance[n] - off);
        assert_true(isfinite(off));
        e.rms += off * off;
        e.worst = fmax(e.worst, off);
        used++;
    }
    e.rms = sqrt(e.rms / (double)used);
    return e;
}

/** Observed order between the first and the last of three grids, each twice as fine. */
static inline double march_order(const march_error e[3])
{
    return 0.5 * log2(e[0].rms / e[2].rms);
}

#endif
