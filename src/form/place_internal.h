/*
 * place_internal.h: a place between a grid's nodes, found once for as many arrays as are asked there.
 * Around each source some ten thousand short ways ask eight arrays at five places each. Inline, and
 * without floor(), fmin() and fmax(), which are calls on the oldest processors of a kind.
 */
#ifndef PLACE_INTERNAL_H
#define PLACE_INTERNAL_H

#include "taperwright/form.h"

/** A cell and where in it, 0…1 each; a place off the grid counts as the nearest on its border. */
typedef struct tw_grid_place {
    size_t node; /**< the cell's node of least across and up */
    double across, up;
} tw_grid_place;

/** The whole part of a place in steps, 0 … last; 0 for NaN. */
static inline size_t tw_whole_steps(double place, size_t last)
{
    return place > 0 ? (place < (double)last ? (size_t)(ptrdiff_t)place : last) : 0;
}

static inline double tw_within_one(double share)
{
    return share > 0 ? (share < 1 ? share : 1) : 0;
}

static inline tw_grid_place tw_grid_place_of(const tw_grid *grid, double across, double up)
{
    const double a = (across - grid->across_min) / grid->across_step;
    const double u = (up - grid->up_min) / grid->up_step;
    const size_t i = tw_whole_steps(a, grid->nu - 2), j = tw_whole_steps(u, grid->nv - 2);

    return (tw_grid_place){j * grid->nu + i, tw_within_one(a - (double)i),
                           tw_within_one(u - (double)j)};
}

/** A node array at a place, bilinear. */
static inline double tw_grid_value(const tw_grid *grid, const double *node,
                                   const tw_grid_place *place)
{
    const double *low = node + place->node, *high = low + grid->nu;
    const double across = place->across, up = place->up;

    return (1 - up) * ((1 - across) * low[0] + across * low[1]) +
           up * ((1 - across) * high[0] + across * high[1]);
}

#endif
