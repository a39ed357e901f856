/*
 * blend.c: the forged taper, from distances to thickness.
 *
 * With d_s the least distance to any strike zone and d_e the least to any edge that has a
 * thickness, each less its hold and not below 0; T_s, T_e the thicknesses of zones and edges,
 * averaged over the sources with weights 1/d_k² (Shepard, "A two-dimensional interpolation function
 * for irregularly-spaced data", 1968); and w = d_e / (d_s + d_e):
 *
 *     t = T_e + (T_s − T_e) f(w)
 *
 *     straight  f = w
 *     eased     f = 3w² − 2w³
 *     held      f = max(w, b), b = (D − hold)/(band − hold) kept within 0…1, D the distance from
 *               the edge; with edges of several holds the least b
 *
 * Laws and blend are derived here. Zones of equal thickness and hold are one source, edges
 * likewise, so that cutting one into pieces changes nothing: the plain average of all thicknesses
 * by 1/d would count the pieces.
 *
 * Where things meet:
 * - d_s = 0 wins over any edge; of zones (or holds of zones) that overlap, the thickest counts.
 * - Where d_k = 0 for several edge sources (a corner, crossing holds) the thickest counts too.
 * - Only zones, or only edges: t = T_s or T_e. A piece of metal that no zone can be reached from
 *   (cut off by a hole) is treated as if there were only edges, and the other way about; one that
 *   neither reaches, and nodes off the metal, get the least thickness of all sources.
 *
 * Each trial of a plan is one pass of this file: no heap, reads only, some ten nanoseconds a node
 * and source.
 */
#include "thickness_internal.h"

#include <assert.h>
#include <math.h>

/* Between two values, without 0 · INFINITY at the ends. */
static inline double mix(double a, double b, double part)
{
    return part <= 0 ? a : part >= 1 ? b : (1 - part) * a + part * b;
}

/* Distance from a source at a spot, hold taken off, not below 0. */
static inline double distance_at(const tw_source *source, const tw_spot *spot)
{
    const double *low = source->distance + spot->node;
    double distance = low[0];

    if (spot->above) {
        const double *high = low + spot->above;
        distance =
            mix(mix(low[0], low[1], spot->across), mix(high[0], high[1], spot->across), spot->up);
    }
    distance -= source->hold;
    return distance > 0 ? distance : 0;
}

static inline double source_distance(const tw_source *sources, size_t k, const tw_spot *spot,
                                     size_t on)
{
    return k == on ? 0 : distance_at(&sources[k], spot);
}

/* Thickness of several sources at a spot, given the least distance of them: weights 1/d² written
 * as (least/d)², which can neither overflow nor divide by 0. */
static double average(const tw_source *sources, size_t count, const tw_spot *spot, size_t on,
                      double least)
{
    double whole = 0, sum = 0, low = INFINITY, high = 0;

    if (count == 1)
        return sources[0].thickness;
    for (size_t k = 0; k < count; k++) {
        const double distance = source_distance(sources, k, spot, on);
        const double thickness = sources[k].thickness;
        double weight;
        if (distance == INFINITY || (least == 0 && distance > 0))
            continue;
        low = thickness < low ? thickness : low;
        high = thickness > high ? thickness : high;
        if (least == 0)
            continue;
        weight = (least / distance) * (least / distance);
        whole += weight;
        sum += weight * thickness;
    }
    if (least == 0)
        return high;
    sum /= whole;
    return sum < low ? low : sum > high ? high : sum; /* rounding must not leave the range */
}

static double least_thickness(const tw_blend *blend)
{
    double least = INFINITY;

    for (size_t k = 0; k < blend->zone_count; k++)
        least = fmin(least, blend->zones[k].thickness);
    for (size_t k = 0; k < blend->edge_count; k++)
        least = fmin(least, blend->edges[k].thickness);
    return least;
}

static inline double law(tw_law which, double w, double b)
{
    switch (which) {
    case TW_LAW_EASED:
        return w * w * (3 - 2 * w);
    case TW_LAW_HELD:
        return w > b ? w : b;
    case TW_LAW_STRAIGHT:
        break;
    }
    return w;
}

double tw_blend_at(const tw_blend *blend, const tw_spot *spot)
{
    const tw_source *zones = blend->zones, *edges = blend->edges;
    const size_t on = spot->on_edge;
    double d_s = INFINITY, d_e = INFINITY, b = 1, t_s, t_e, t;

    for (size_t k = 0; k < blend->zone_count; k++) {
        const double distance = distance_at(&zones[k], spot);
        d_s = distance < d_s ? distance : d_s;
    }
    if (d_s == 0)
        return average(zones, blend->zone_count, spot, TW_NO_EDGE, 0);
    for (size_t k = 0; k < blend->edge_count; k++) {
        const double distance = source_distance(edges, k, spot, on);
        d_e = distance < d_e ? distance : d_e;
        if (blend->law == TW_LAW_HELD) {
            const double part = distance / (blend->band - edges[k].hold);
            b = part < b ? part : b;
        }
    }
    if (d_s == INFINITY && d_e == INFINITY)
        return least_thickness(blend);
    if (d_s == INFINITY || d_e == 0)
        return average(edges, blend->edge_count, spot, on, d_e);
    t_s = average(zones, blend->zone_count, spot, TW_NO_EDGE, d_s);
    if (d_e == INFINITY)
        return t_s;
    t_e = average(edges, blend->edge_count, spot, on, d_e);
    t = t_e + (t_s - t_e) * law(blend->law, d_e / (d_s + d_e), b);
    if (t_s > t_e)
        return t > t_s ? t_s : t < t_e ? t_e : t;
    return t < t_s ? t_s : t > t_e ? t_e : t;
}

void tw_blend_nodes(const tw_blend *blend, size_t first, size_t last, double *thickness)
{
    tw_spot spot = {.on_edge = TW_NO_EDGE};

    for (size_t n = first; n < last; n++) {
        spot.node = n;
        thickness[n] = tw_blend_at(blend, &spot);
    }
}

void tw_blend_cell_rows(const tw_blend *blend, const tw_grid *grid, size_t first, size_t last,
                        double *thickness)
{
    tw_spot spot = {.above = grid->nu, .across = 0.5, .up = 0.5, .on_edge = TW_NO_EDGE};

    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i + 1 < grid->nu; i++) {
            spot.node = j * grid->nu + i;
            thickness[j * (grid->nu - 1) + i] = tw_blend_at(blend, &spot);
        }
}
