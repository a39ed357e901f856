/* march_internal.h: what the march and the sources built on it share. */
#ifndef MARCH_INTERNAL_H
#define MARCH_INTERNAL_H

#include "taperwright/form.h"

/** No node: ends lists. */
#define TW_NO_NODE UINT32_MAX

/** What steps of one node across or up cost at a node. */
typedef struct tw_march_metric {
    double aa, au, uu; /**< [mm²]; slowed just inside a hole, see march_domain.c */
} tw_march_metric;

/** What a march knows of a node. */
typedef struct tw_march_node {
    double trial;        /**< tentative distance [mm]; INFINITY while nothing reaches it */
    uint32_t next, prev; /**< the queue's doubly linked lists */
} tw_march_node;

/** A node with six neighbours of its own in place of the eight, see march_stencil.c. */
typedef struct tw_wide {
    uint32_t node;
    signed char offset[6][2]; /**< across, up; anticlockwise or clockwise all round */
    unsigned char open;       /**< bit k set when the neighbour at offset k may hand on */
    ptrdiff_t shift[6];       /**< node index of the neighbour less the node's own */
} tw_wide;

/** A wide node that takes from the node this is listed for, its offset k. */
typedef struct tw_taker {
    uint32_t wide;
    int k;
} tw_taker;

struct tw_march {
    const tw_grid *grid;
    double limit;            /**< [mm] no node beyond it is made known */
    tw_march_node *nodes;    /**< nu·nv: the only array that a march writes */
    tw_march_metric *metric; /**< nu·nv */
    /** nu·nv: bit k set when the neighbour in direction k may hand its distance to this node. No
     * bit ever points off the grid or to a node without metal, so nothing else needs checking. */
    unsigned char *open;
    unsigned char *hands; /**< nu·nv: bit k set when the neighbour opposite to direction k takes */
    bool *inside;         /**< nu·nv: in metal, or at a corner of a cell with metal */
    uint32_t *heads;      /**< bucket_count + 1: first node of each bucket; last: the far list */
    uint32_t bucket_count;           /**< a power of two */
    double bucket_width;             /**< [mm] */
    double least_step, longest_step; /**< over metal, of one grid step [mm] */
    ptrdiff_t shift[8];              /**< node index of the neighbour less the node's own */
    size_t wide_count;               /**< 0 on most plates; then the three arrays below are NULL */
    tw_wide *wide;
    uint32_t *taker_first; /**< nu·nv + 1 used: takers of node n are [n] … [n + 1] */
    tw_taker *taker;
    double stretch;  /**< over metal, greatest ratio of a grid step's longest to least direction */
    tw_arena *arena; /**< owns every array above */
};

/** Directions anticlockwise from +across; direction k + 4 is the opposite of k. */
static const signed char tw_step_across[8] = {1, 1, 0, -1, -1, -1, 0, 1};
static const signed char tw_step_up[8] = {0, 1, 1, 1, 0, -1, -1, -1};

/** @brief Fill metric, open, hands, inside and the step lengths from the grid.
 * @param threads  0 for one per processor; the domain is the same for any number
 * @return false when memory ran out */
bool tw_march_domain(tw_march *march, unsigned threads);
/** @brief Fill wide nodes and their takers. @return false when memory ran out */
bool tw_march_wide(tw_march *march);
/** @return true when a triangle of the eight neighbours is obtuse by the node's metric */
bool tw_too_oblique(const tw_march_metric *metric);
/** @return product of two offsets by the node's metric [mm²] */
double tw_metric_product(const tw_march_metric *metric, const signed char a[2],
                         const signed char b[2]);
/** @return true when the straight way from node n to the one (across, up) away, stepped node by
 * node, is open for distances that come from there */
bool tw_way_open(const tw_march *march, size_t n, int across, int up);

/** @brief Length of the short way between tape points that lie a few cells apart, see source.c. */
double tw_short_way(const tw_march *march, const double from[2], const double to[2]);
/** @return true when the straight tape line between two points stays in metal (or on its border) */
bool tw_in_sight(const tw_grid *grid, const double from[2], const double to[2]);
/** @return the least size of a grid step at node n over all directions [mm] */
double tw_least_step(const tw_march_metric *metric);
/**
 * @brief Seed the nodes near lines with their distance; below zero for nodes beyond an outline edge
 * that is itself a line. Uses `nodes` as scratch.
 * @param cells  half width of the band, at least 4; wider is nearer round corners
 * @param[in,out] distance  INFINITY, or seeds that are kept where they are less
 * @return number of nodes seeded
 */
size_t tw_seed_lines(tw_march *march, const tw_edge_line *lines, size_t line_count, double cells,
                     double *distance);
/** @brief Fill a node array with INFINITY. */
void tw_unreached(const tw_grid *grid, double *distance);

#endif
