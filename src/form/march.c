/*
 * march.c: geodesic distance over the metal by fast marching on the tape grid.
 *
 * |∇d| = 1 on the face is solved node by node outward from the seeds, in index coordinates, with
 * the metric at the node. The eight neighbours give eight triangles; a triangle with offsets a, b
 * has metric products E = a·a, F = a·b, G = b·b, and E·G − F² is the same for all eight. Along a
 * neighbour's direction the slope is a one-sided difference, of second order when the next node
 * outward is known and not farther, (3d − 4a + b)/2; when the one beyond is known and not farther
 * either, the mean of that and the third order (11d − 18a + 9b − 2c)/6, which halves the error.
 * Third order alone grows: rays midway between an axis and a diagonal amplify waves across them by
 * up to 4.5 % a step; the mean does not (von Neumann analysis, derived here). Slopes p, q solve
 *     G·p² − 2F·p·q + E·q² = E·G − F²
 * (larger root), accepted if the descent direction lies in the triangle and the root is not below
 * either neighbour; without such a triangle the best single step counts.
 * Source: J. A. Sethian, Level Set Methods and Fast Marching Methods (1999), chapters 8 and 10;
 * the metric form is derived here.
 *
 * A neighbour's slope is settled once it is known, as every node nearer than it is known by then.
 * So each triangle needs solving once, when the later of its two neighbours becomes known.
 *
 * The queue sorts into buckets narrower than the least step between dependent nodes; inside one
 * any order gives the same answer. Source: J. N. Tsitsiklis, "Efficient algorithms for globally
 * optimal trajectories", IEEE Trans. Automatic Control 40 (1995).
 */
#include "march_internal.h"

#include <assert.h>
#include <math.h>

enum { BUCKETS_MOST = 4096 };

/* The update is written out once for each of the eight directions, which makes of its offsets, signs
 * and sums of the metric what a table would have to be asked for: a third of a march. */
#if defined(__GNUC__)
#define EACH_WAY static inline __attribute__((always_inline))
#else
#define EACH_WAY static inline
#endif

tw_status tw_march_new(const tw_grid *grid, unsigned threads, tw_march **out, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_march *march = arena ? tw_arena_array(arena, 1, sizeof *march) : NULL;
    size_t count;
    uint32_t buckets = 64;

    assert(grid && out);
    count = grid->nu * grid->nv;
    if (!march)
        goto no_memory;
    march->grid = grid;
    march->limit = INFINITY;
    march->arena = arena;
    march->nodes = tw_arena_array(arena, count, sizeof *march->nodes);
    march->open = tw_arena_array(arena, count, sizeof *march->open);
    march->hands = tw_arena_array(arena, count, sizeof *march->hands);
    march->inside = tw_arena_array(arena, count, sizeof *march->inside);
    march->metric = tw_arena_array(arena, count, sizeof *march->metric);
    if (!march->nodes || !march->open || !march->hands || !march->inside || !march->metric)
        goto no_memory;
    if (!tw_march_domain(march, threads) || !tw_march_wide(march))
        goto no_memory;
    /* A fifth of the least step; buckets for two of the longest, as no update reaches farther. */
    march->bucket_width = 0.2 * march->least_step;
    while (buckets < BUCKETS_MOST && buckets * march->bucket_width < 2 * march->longest_step)
        buckets *= 2;
    march->bucket_count = buckets;
    march->bucket_width =
        fmax(march->bucket_width, 2 * march->longest_step / (double)(buckets - 1));
    march->heads = tw_arena_array(arena, (size_t)buckets + 1, sizeof *march->heads);
    if (!march->heads)
        goto no_memory;
    *out = march;
    return TW_OK;
no_memory:
    tw_arena_free(arena);
    return tw_fail(err, TW_ERR_MEMORY, "no memory for distances on a grid of %zu by %zu nodes",
                   grid->nu, grid->nv);
}

tw_status tw_march_twin(const tw_march *of, tw_march **out, tw_error *err)
{
    const size_t count = of->grid->nu * of->grid->nv;
    tw_arena *arena = tw_arena_new();
    tw_march *march = arena ? tw_arena_array(arena, 1, sizeof *march) : NULL;

    if (march) {
        *march = *of; /* the domain is shared and only read; what a march writes is its own */
        march->limit = INFINITY;
        march->arena = arena;
        march->nodes = tw_arena_array(arena, count, sizeof *march->nodes);
        march->heads = tw_arena_array(arena, (size_t)of->bucket_count + 1, sizeof *march->heads);
    }
    if (!march || !march->nodes || !march->heads) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for distances on a grid of %zu by %zu nodes",
                       of->grid->nu, of->grid->nv);
    }
    *out = march;
    return TW_OK;
}

void tw_march_within(tw_march *march, double limit)
{
    march->limit = limit;
}

void tw_march_free(tw_march *march)
{
    if (march)
        tw_arena_free(march->arena);
}

/* ---- queue ---- */

/** The queue while one march runs: buckets in a ring from `current` on, and the far list. */
typedef struct queue {
    tw_march *march;
    double origin;      /**< distance where bucket 0 starts */
    double per_width;   /**< 1 / bucket width */
    uint64_t current;   /**< bucket being emptied, counted from the origin, not wrapped */
    uint64_t far_least; /**< no node of the far list lies in an earlier bucket */
    size_t waiting;     /**< nodes in ring and far list */
} queue;

static inline uint64_t bucket_of(const queue *q, double distance)
{
    const double place = (distance - q->origin) * q->per_width;

    return place > 0 ? (uint64_t)place : 0;
}

static inline void queue_in(queue *q, uint32_t n, double distance)
{
    tw_march *m = q->march;
    uint64_t bucket = bucket_of(q, distance);
    uint32_t place, first;

    if (bucket >= q->current + m->bucket_count) {
        if (bucket < q->far_least)
            q->far_least = bucket;
        place = m->bucket_count;
    } else {
        if (bucket < q->current)
            bucket = q->current;
        place = (uint32_t)bucket & (m->bucket_count - 1);
    }
    first = m->heads[place];
    m->nodes[n].next = first;
    m->nodes[n].prev = TW_NO_NODE - 1 - place; /* a list's first node remembers its list */
    if (first != TW_NO_NODE)
        m->nodes[first].prev = n;
    m->heads[place] = n;
    q->waiting++;
}

static void queue_out(queue *q, uint32_t n)
{
    tw_march *m = q->march;
    const uint32_t next = m->nodes[n].next, prev = m->nodes[n].prev;

    if (next != TW_NO_NODE)
        m->nodes[next].prev = prev;
    if (prev >= TW_NO_NODE - 1 - m->bucket_count)
        m->heads[TW_NO_NODE - 1 - prev] = next;
    else
        m->nodes[prev].next = next;
    q->waiting--;
}

/* Sort the far list again now that the ring has moved on. */
static void queue_refill(queue *q)
{
    tw_march *m = q->march;
    uint32_t n = m->heads[m->bucket_count];

    m->heads[m->bucket_count] = TW_NO_NODE;
    q->far_least = UINT64_MAX;
    while (n != TW_NO_NODE) {
        const uint32_t next = m->nodes[n].next;
        q->waiting--;
        queue_in(q, n, m->nodes[n].trial);
        n = next;
    }
}

/* Nearest node, or TW_NO_NODE when none waits. */
static uint32_t queue_next(queue *q)
{
    const tw_march *m = q->march;
    uint32_t empty = 0, n;

    if (q->waiting == 0)
        return TW_NO_NODE;
    for (;;) {
        if (q->far_least <= q->current + m->bucket_count / 2) {
            queue_refill(q);
            empty = 0; /* counts buckets seen empty since the ring was last filled */
        }
        n = m->heads[q->current & (m->bucket_count - 1)];
        if (n != TW_NO_NODE)
            break;
        if (++empty > m->bucket_count && q->far_least < UINT64_MAX) {
            q->current = q->far_least; /* only far nodes are left */
        } else {
            q->current++;
        }
    }
    queue_out(q, n);
    return n;
}

/* ---- update ---- */

/** The slope along a direction: weight·(d − near) − drop, `near` the neighbour's distance. */
typedef struct slope {
    double weight, drop;
} slope;

/* One-sided difference from `near` at node `a` in direction k as seen from the node updated. */
EACH_WAY slope slope_along(const tw_march *m, const double *distance, size_t a, int k, double near)
{
    const ptrdiff_t shift = m->shift[k];
    double second, third;
    size_t b;

    if (!(m->open[a] >> k & 1))
        return (slope){1, 0};
    b = a + (size_t)shift;
    second = near - distance[b];
    if (!(second >= 0))
        return (slope){1, 0};
    if (m->open[b] >> k & 1) {
        third = near - distance[b + (size_t)shift];
        if (third >= second && third < INFINITY)
            return (slope){5.0 / 3, second - third / 6};
    }
    return (slope){1.5, 0.5 * second};
}

/* Distance above neighbour a's from the triangle with neighbour b, which is `lead` above a; < 0
 * when the triangle does not hold the descent direction. E, F, G belong to (a, b). */
EACH_WAY double solve(double E, double F, double G, slope a, slope b, double lead)
{
    const double det = E * G - F * F;
    const double wa = a.weight, wb = b.weight, da = a.drop, db = b.drop + wb * lead;
    const double cross = wa * db - wb * da;
    const double square = G * wa * wa - 2 * F * wa * wb + E * wb * wb;
    const double linear = G * wa * da - F * (wa * db + wb * da) + E * wb * db;
    const double inner = square - cross * cross;
    double d, p, q;

    if (!(inner >= 0))
        return -1;
    d = (linear + sqrt(det * inner)) / square;
    p = wa * d - da;
    q = wb * d - db;
    if (G * p < F * q || E * q < F * p || d < lead)
        return -1;
    return d;
}

/* A node that may be bettered, and its neighbour in direction k, just known. */
typedef struct reached {
    const tw_march *march;
    const double *distance;
    size_t node;
    double near; /* the neighbour's distance */
    slope along;
    double axis, own; /* products of the direction with its axis and with itself */
    double wanted;    /* square of the slope along that would leave the node no better off */
} reached;

/* The triangle of direction k and kb, one of the two beside it; INFINITY when it says nothing, or nothing
 * better than the node has: descent inside a triangle makes the slope along a at least F/√G, which it
 * has along b. Half of the triangles need no root then. */
EACH_WAY double beside(const reached *at, int k, int kb)
{
    const tw_march *m = at->march;
    const tw_march_metric *metric = &m->metric[at->node];
    const size_t b = at->node + (size_t)m->shift[kb];
    double there, across, other, d;

    if (!(m->open[at->node] >> kb & 1)) /* off the grid, it may be */
        return INFINITY;
    there = at->distance[b];
    if (!(there < INFINITY))
        return INFINITY;
    /* of an axis and a diagonal next to it: axis·axis + axis·other axis */
    if (k & 1) {
        const double sign = (k & 3) == 3 ? -1 : 1;
        other = kb & 2 ? metric->uu : metric->aa;
        across = other + sign * metric->au;
    } else {
        const double turn = (kb & 3) == 3 ? -1 : 1;
        other = metric->aa + 2 * turn * metric->au + metric->uu;
        across = at->axis + turn * metric->au;
    }
    if (across * across >= at->wanted * other)
        return INFINITY;
    d = solve(at->own, across, other, at->along, slope_along(m, at->distance, b, kb, there),
              there - at->near);
    return d >= 0 ? d : INFINITY;
}

/* A better distance for node n now that its neighbour in direction k is known; not less than the one
 * it has when there is none. */
EACH_WAY double update(const tw_march *m, const double *distance, size_t n, int k)
{
    const tw_march_metric *metric = &m->metric[n];
    const size_t a = n + (size_t)m->shift[k];
    const double sign = (k & 3) == 3 ? -1 : 1;
    reached at = {.march = m, .distance = distance, .node = n, .near = distance[a]};
    double wanted, one, other, best;

    at.along = slope_along(m, distance, a, k, at.near);
    wanted = at.along.weight * (m->nodes[n].trial - at.near) - at.along.drop;
    if (wanted <= 0)
        return INFINITY;
    at.wanted = (1 + 1e-9) * wanted * wanted; /* more than rounding can bridge */
    at.axis = k & 1 ? 0 : (k & 2 ? metric->uu : metric->aa);
    at.own = k & 1 ? metric->aa + 2 * sign * metric->au + metric->uu : at.axis;
    one = beside(&at, k, (k + 1) & 7);
    other = beside(&at, k, (k + 7) & 7);
    best = other < one ? other : one;
    if (!(best < INFINITY) && at.own < at.wanted)
        best = (sqrt(at.own) + at.along.drop) / at.along.weight;
    return at.near + best;
}

/* As slope_along(), along an offset of a wide node. */
static slope slope_wide(const tw_march *m, const double *distance, size_t a, const tw_wide *wide,
                        int k)
{
    const int across = wide->offset[k][0], up = wide->offset[k][1];
    const double near = distance[a];
    double second, third;
    size_t b;

    if (!tw_way_open(m, a, across, up))
        return (slope){1, 0};
    b = a + (size_t)wide->shift[k];
    second = near - distance[b];
    if (!(second >= 0))
        return (slope){1, 0};
    if (tw_way_open(m, b, across, up)) {
        third = near - distance[b + (size_t)wide->shift[k]];
        if (third >= second && third < INFINITY)
            return (slope){5.0 / 3, second - third / 6};
    }
    return (slope){1.5, 0.5 * second};
}

/* As update(), for a wide node and its neighbour at offset k. */
static double update_wide(const tw_march *m, const double *distance, const tw_wide *wide, int k)
{
    const tw_march_metric *metric = &m->metric[wide->node];
    const size_t a = wide->node + (size_t)wide->shift[k];
    const double near = distance[a];
    const slope along = slope_wide(m, distance, a, wide, k);
    const double own = tw_metric_product(metric, wide->offset[k], wide->offset[k]);
    double best = INFINITY;

    for (int side = 0; side < 2; side++) {
        const int kb = (k + (side ? 5 : 1)) % 6;
        const size_t b = wide->node + (size_t)wide->shift[kb];
        double d;
        if (!(wide->open >> kb & 1) || !(distance[b] < INFINITY))
            continue;
        d = solve(own, tw_metric_product(metric, wide->offset[k], wide->offset[kb]),
                  tw_metric_product(metric, wide->offset[kb], wide->offset[kb]), along,
                  slope_wide(m, distance, b, wide, kb), distance[b] - near);
        if (d >= 0 && d < best)
            best = d;
    }
    if (!(best < INFINITY))
        best = (sqrt(own) + along.drop) / along.weight;
    return near + best;
}

/* Queue node n anew at a distance that betters it. */
static void requeue(queue *q, uint32_t n, double d)
{
    tw_march *m = q->march;

    if (m->nodes[n].trial < INFINITY)
        queue_out(q, n);
    m->nodes[n].trial = d;
    queue_in(q, n, d);
}

static inline void offer(queue *q, uint32_t n, double d)
{
    if (d < q->march->nodes[n].trial)
        requeue(q, n, d);
}

/* k points from the neighbour back to a. */
EACH_WAY void spread_to(queue *q, const double *distance, uint32_t a, unsigned hands, int k)
{
    const tw_march *m = q->march;
    const size_t n = a - (size_t)m->shift[k];

    if ((hands >> k & 1) && !(distance[n] < INFINITY))
        offer(q, (uint32_t)n, update(m, distance, n, k));
}

/* Let node a, just known, better its neighbours. */
static void spread(queue *q, const double *distance, uint32_t a)
{
    const tw_march *m = q->march;
    const unsigned hands = m->hands[a];

    spread_to(q, distance, a, hands, 0);
    spread_to(q, distance, a, hands, 1);
    spread_to(q, distance, a, hands, 2);
    spread_to(q, distance, a, hands, 3);
    spread_to(q, distance, a, hands, 4);
    spread_to(q, distance, a, hands, 5);
    spread_to(q, distance, a, hands, 6);
    spread_to(q, distance, a, hands, 7);
    if (m->wide_count == 0)
        return;
    for (uint32_t t = m->taker_first[a]; t < m->taker_first[a + 1]; t++) {
        const tw_wide *wide = &m->wide[m->taker[t].wide];
        if (!(distance[wide->node] < INFINITY))
            offer(q, wide->node, update_wide(m, distance, wide, m->taker[t].k));
    }
}

void tw_march_run(tw_march *march, double *distance)
{
    const size_t count = march->grid->nu * march->grid->nv;
    queue q = {march, INFINITY, 1 / march->bucket_width, 0, UINT64_MAX, 0};
    uint32_t n;

    assert(march && distance);
    for (uint32_t k = 0; k <= march->bucket_count; k++)
        march->heads[k] = TW_NO_NODE;
    for (size_t k = 0; k < count; k++) {
        const double d = distance[k];
        march->nodes[k].trial = d < INFINITY ? -INFINITY : INFINITY; /* a seed is never queued */
        q.origin = d < q.origin ? d : q.origin;
    }
    if (!(q.origin < INFINITY))
        return;
    for (size_t k = 0; k < count; k++)
        if (march->nodes[k].trial == -INFINITY)
            spread(&q, distance, (uint32_t)k);
    while ((n = queue_next(&q)) != TW_NO_NODE && march->nodes[n].trial <= march->limit) {
        distance[n] = march->nodes[n].trial;
        spread(&q, distance, n);
    }
}
