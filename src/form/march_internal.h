/* march_internal.h: what the march and the sources built on it share. */
#ifndef MARCH_INTERNAL_H
#define MARCH_INTERNAL_H

#include "taperwright/form.h"

/** No node: ends lists. */
#define TW_NO_NODE UINT32_MAX

/** One node: its tentative distance, and the metric for steps of one node across or up. */
typedef struct tw_march_node {
    double trial;      /**< [mm]; INFINITY while nothing reaches it */
    double aa, au, uu; /**< [mm²]; slowed just inside a hole, see march_domain.c */
} tw_march_node;

struct tw_march {
    const tw_grid *grid;
    tw_march_node *nodes; /**< nu·nv */
    /** nu·nv: bit k set when the neighbour in direction k may hand its distance to this node. No
     * bit ever points off the grid or to a node without metal, so nothing else needs checking. */
    unsigned char *open;
    unsigned char *hands; /**< nu·nv: bit k set when the neighbour opposite to direction k takes */
    bool *inside;          /**< nu·nv: in metal, or at a corner of a cell with metal */
    uint32_t *next, *prev; /**< nu·nv: the queue's doubly linked lists */
    uint32_t *heads;       /**< bucket_count + 1: first node of each bucket; last: the far list */
    uint32_t bucket_count; /**< a power of two */
    double bucket_width;   /**< [mm] */
    double least_step, longest_step; /**< over metal, of one grid step [mm] */
    ptrdiff_t shift[8];              /**< node index of the neighbour less the node's own */
    /* scratch of the sources, grown when a line or a shape needs more */
    double *scratch; /**< nu·nv */
    tw_arena *arena; /**< owns every array above */
};

/** Directions anticlockwise from +across; direction k + 4 is the opposite of k. */
static const signed char tw_step_across[8] = {1, 1, 0, -1, -1, -1, 0, 1};
static const signed char tw_step_up[8] = {0, 1, 1, 1, 0, -1, -1, -1};

/** @brief Fill nodes' metric, open, inside and the step lengths from the grid. */
void tw_march_domain(tw_march *march);

#endif
