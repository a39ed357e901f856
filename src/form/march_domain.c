/*
 * march_domain.c: where a march may run, and what a step costs there.
 *
 * A node is inside when it lies in metal or at a corner of a cell with metal. The second kind lies
 * just beyond outline or hole ("ghost"). Leaving ghosts out makes paths follow the staircase of the
 * last nodes in metal, letting them through cuts inside the hole: either way a path round a hole
 * is wrong by a share of a cell per radian of turn. So a ghost is slowed: at a depth η inside a
 * hole whose border curves by κ, a step costs as much as its foot on the border does, factor
 * 1 + κ·η with κ the curvature of the level line through the ghost. Then no path gains by entering
 * the hole, as its projection onto the border is never longer, and the field goes on smoothly
 * through the border, as it should for a path that creeps along it. Derived here.
 *
 * A ghost hands its distance on only when the level rises evenly through it, measured across two
 * cells, only to metal before its own border, and only to ghosts by the same border. So a slot
 * blocks as soon as nodes fall into it.
 * A slot narrower than one cell may pass between nodes. It is seen where the level rises along a
 * step toward both of its ends and would meet zero twice on it; that step is closed, and near it
 * every step that is long enough to cross a slot. Along a grid line any slot blocks; one narrower
 * than a cell and oblique may leak, most of all at its mouth, as the level there tells little.
 */
#include "march_internal.h"

#include <math.h>
#include <stdlib.h>

/** Rise of the level per mm of tape from which a ghost counts as lying by a single border. */
static const double carrying_rise = 0.75;

/** Rise of the level per mm of tape from which it can belong to a slot that crosses a step. */
static const double slot_rise = 0.35;

static bool on_grid(const tw_grid *grid, size_t n, int across, int up)
{
    const ptrdiff_t i = (ptrdiff_t)(n % grid->nu) + across, j = (ptrdiff_t)(n / grid->nu) + up;

    return i >= 0 && j >= 0 && i < (ptrdiff_t)grid->nu && j < (ptrdiff_t)grid->nv;
}

/* A node in metal, or at a corner of a cell with metal. */
static bool is_inside(const tw_grid *grid, size_t i, size_t j)
{
    const size_t columns = grid->nu - 1;
    const double *area = grid->area + j * columns + i; /* of the cell right of and above the node */
    const bool left = i > 0, right = i<columns, below = j> 0, above = j + 1 < grid->nv;

    return grid->level[j * grid->nu + i] < 0 || (above && right && area[0] > 0) ||
           (above && left && area[-1] > 0) || (below && right && *(area - columns) > 0) ||
           (below && left && *(area - columns - 1) > 0);
}

/* Level's slope in tape coordinates, central; false at the grid's border. */
static bool level_slope(const tw_grid *grid, size_t n, double slope[2])
{
    const double *level = grid->level + n;
    const ptrdiff_t row = (ptrdiff_t)grid->nu;

    if (!on_grid(grid, n, 1, 1) || !on_grid(grid, n, -1, -1))
        return false;
    slope[0] = (level[1] - level[-1]) / (2 * grid->across_step);
    slope[1] = (level[row] - level[-row]) / (2 * grid->up_step);
    return true;
}

/* Unit normal of the level line on the plate as √det·(across, up) components, for a divergence. */
static bool level_flux(const tw_grid *grid, size_t n, double flux[2], double *rise, double *root)
{
    const double aa = grid->metric_aa[n], au = grid->metric_au[n], uu = grid->metric_uu[n];
    const double det = aa * uu - au * au;
    double slope[2], up[2];

    if (!(det > 0) || !level_slope(grid, n, slope))
        return false;
    up[0] = (uu * slope[0] - au * slope[1]) / det;
    up[1] = (aa * slope[1] - au * slope[0]) / det;
    *rise = sqrt(up[0] * slope[0] + up[1] * slope[1]); /* of the level per mm on the plate */
    *root = sqrt(det);
    if (!(*rise > 0))
        return false;
    flux[0] = *root * up[0] / *rise;
    flux[1] = *root * up[1] / *rise;
    return true;
}

/* How much dearer a step is at a ghost: 1 + κ·η, 1 by a straight or outward curving border. */
static double slowing(const tw_grid *grid, size_t n)
{
    double east[2], west[2], north[2], south[2], here[2], rise, root, other, skip;
    double curvature;

    if (!on_grid(grid, n, 2, 2) || !on_grid(grid, n, -2, -2) ||
        !level_flux(grid, n, here, &rise, &root) || !level_flux(grid, n + 1, east, &other, &skip) ||
        !level_flux(grid, n - 1, west, &other, &skip) ||
        !level_flux(grid, n + grid->nu, north, &other, &skip) ||
        !level_flux(grid, n - grid->nu, south, &other, &skip))
        return 1;
    curvature = -((east[0] - west[0]) / (2 * grid->across_step) +
                  (north[1] - south[1]) / (2 * grid->up_step)) /
                root;
    return 1 + fmin(fmax(curvature * grid->level[n] / rise, 0), 2);
}

/* True when there is metal before the border that a point beyond it is nearest to, and no slot. */
static bool metal_before(const tw_grid *grid, double across, double up, const double slope[2])
{
    const double cell = fmax(grid->across_step, grid->up_step);
    const double length = hypot(slope[0], slope[1]);
    const double back = fmax(tw_grid_sample(grid, grid->level, across, up), 0) + 0.5 * cell;

    return length > 0 && tw_grid_sample(grid, grid->level, across - back * slope[0] / length,
                                        up - back * slope[1] / length) < 0;
}

/* True when a ghost lies by a single border; its slope then says which side that is on. */
static bool carries(const tw_grid *grid, size_t n, double slope[2])
{
    return level_slope(grid, n, slope) && hypot(slope[0], slope[1]) > carrying_rise &&
           metal_before(grid, tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu),
                        slope);
}

/* True when two ghosts lie by the same border, and no slot opens onto it between them. */
static bool same_border(const tw_grid *grid, size_t n, size_t other, const double here[2],
                        const double there[2])
{
    const double across =
        0.5 * (tw_grid_across(grid, n % grid->nu) + tw_grid_across(grid, other % grid->nu));
    const double up = 0.5 * (tw_grid_up(grid, n / grid->nu) + tw_grid_up(grid, other / grid->nu));
    const double slope[2] = {here[0] + there[0], here[1] + there[1]};

    return here[0] * there[0] + here[1] * there[1] > 0 && metal_before(grid, across, up, slope);
}

/* True when `other` may hand on to `n`, as far as ghosts among the two allow: a ghost deals only
 * with metal that lies before its own border, and with ghosts by the same border. */
static bool same_side(const tw_grid *grid, size_t n, size_t other, int across, int up)
{
    const double da = across * grid->across_step, du = up * grid->up_step;
    double here[2], there[2];
    const bool here_ghost = grid->level[n] >= 0, there_ghost = grid->level[other] >= 0;
    const bool here_carries = here_ghost && carries(grid, n, here);

    if (there_ghost && !carries(grid, other, there))
        return false;
    if (here_ghost && there_ghost)
        return !here_carries || same_border(grid, n, other, here, there);
    if (there_ghost)
        return there[0] * da + there[1] * du > 0;
    return !here_carries || here[0] * da + here[1] * du < 0;
}

/* True when a slot narrower than the step from `from` to `to` passes between these nodes in metal:
 * the level, going on as it came from both sides, meets zero twice on the way. It must rise
 * steeply, as it does not along a border that only bends away. */
static bool slot_between(const tw_grid *grid, size_t from, size_t to, int across, int up)
{
    const double *level = grid->level;
    double before, after, least;

    if (level[from] >= 0 || level[to] >= 0 || !on_grid(grid, from, -across, -up) ||
        !on_grid(grid, to, across, up))
        return false;
    before = level[from] - level[from - (to - from)];
    after = level[to] - level[to + (to - from)];
    least = slot_rise * hypot(across * grid->across_step, up * grid->up_step);
    return before > least && after > least && -level[from] / before - level[to] / after < 1;
}

/* slot_between() for the step (da, du) that starts (across, up) away from a node. */
static bool slot_at(const tw_grid *grid, size_t n, int across, int up, int da, int du)
{
    const ptrdiff_t row = (ptrdiff_t)grid->nu;
    size_t from;

    if (!on_grid(grid, n, across, up) || !on_grid(grid, n, across + da, up + du))
        return false;
    from = n + (size_t)(up * row + across);
    return slot_between(grid, from, from + (size_t)(du * row + da), da, du);
}

/* The same for the straight steps that a step is made of, moved by up to two nodes. */
static bool slot_beside(const tw_grid *grid, size_t n, int da, int du)
{
    for (int move = -2; move <= 2; move++)
        if ((da && (slot_at(grid, n, 0, move, da, 0) || slot_at(grid, n, 0, du + move, da, 0))) ||
            (du && (slot_at(grid, n, move, 0, 0, du) || slot_at(grid, n, da + move, 0, 0, du))))
            return true;
    return false;
}

/* True when a step is closed by a slot. Near a slot's ends the level no longer shows it plainly;
 * there a step is closed if it is long enough to cross a slot and one is plain close by. */
static bool slot_closes(const tw_grid *grid, size_t from, size_t to, int across, int up)
{
    const double *level = grid->level;
    const double deep = fmax(-level[from], 0) + fmax(-level[to], 0);

    if (deep >= hypot(across * grid->across_step, up * grid->up_step))
        return false;
    if (across && up && level[from] < 0 && level[to] < 0 &&
        level[from] + level[to] + level[from + (size_t)(ptrdiff_t)across] +
                level[to - (size_t)(ptrdiff_t)across] >=
            0)
        return true; /* a diagonal whose middle is not in metal */
    return slot_between(grid, from, to, across, up) || slot_beside(grid, from, across, up);
}

static unsigned char openings(const tw_march *march, size_t n)
{
    const tw_grid *grid = march->grid;
    unsigned bits = 0;

    for (int k = 0; k < 8; k++) {
        const size_t other = n + (size_t)march->shift[k];
        if (on_grid(grid, n, tw_step_across[k], tw_step_up[k]) && march->inside[other] &&
            same_side(grid, n, other, tw_step_across[k], tw_step_up[k]) &&
            !slot_closes(grid, n, other, tw_step_across[k], tw_step_up[k]))
            bits |= 1u << k;
    }
    return (unsigned char)bits;
}

/* Square root of the metric's lesser eigenvalue. */
double tw_least_step(const tw_march_metric *metric)
{
    const double det = metric->aa * metric->uu - metric->au * metric->au;
    const double half = 0.5 * (metric->aa + metric->uu);
    const double greater = half + sqrt(fmax(half * half - det, 0));

    return sqrt(det / greater);
}

/** Squares of step lengths met in a row [mm²], and its nodes with neighbours of their own. */
typedef struct step_range {
    double least, longest, stretch;
    size_t wide_count;
} step_range;

static void set_metric(tw_march *march, size_t n, step_range *range)
{
    const tw_grid *grid = march->grid;
    const double dear = grid->level[n] < 0 ? 1 : slowing(grid, n);
    const double a = dear * grid->across_step, u = dear * grid->up_step;
    const tw_march_metric metric = {grid->metric_aa[n] * a * a, grid->metric_au[n] * a * u,
                                    grid->metric_uu[n] * u * u};
    double half, greater, lesser;

    march->metric[n] = metric;
    if (!(metric.aa > 0 && metric.uu > 0) ||
        !(metric.au * metric.au < (1 - 1e-9) * metric.aa * metric.uu)) {
        march->inside[n] = false; /* no face here: a fold of the tape chart */
        return;
    }
    half = 0.5 * (metric.aa + metric.uu); /* the metric's two eigenvalues */
    greater = half + sqrt(fmax(half * half - (metric.aa * metric.uu - metric.au * metric.au), 0));
    lesser = (metric.aa * metric.uu - metric.au * metric.au) / greater;
    range->stretch = fmax(range->stretch, greater / lesser);
    range->longest = fmax(range->longest, 2 * (half + fabs(metric.au)));
    if (tw_too_oblique(&metric)) {
        range->wide_count++;
        range->least = fmin(range->least, lesser);
    } else {
        range->least = fmin(range->least, fmin(metric.aa, metric.uu));
    }
}

/* True when no border lies within one step, the longest to a neighbour, and all neighbours count. */
static bool amid_metal(const tw_march *march, size_t n, double step)
{
    const tw_grid *grid = march->grid;

    if (!(grid->level[n] <= -step))
        return false;
    if (grid->level[n] <= -2 * step) /* even were the level off by a step */
        return true;
    for (int k = 0; k < 8; k++) {
        const size_t other = n + (size_t)march->shift[k];
        if (!march->inside[other] || !(grid->level[other] < 0))
            return false;
    }
    return true;
}

/* What the neighbours' openings say of the steps away from node n. */
static unsigned char handings(const tw_march *march, size_t n)
{
    const unsigned char *open = march->open;
    unsigned bits = 0;

    for (int k = 0; k < 8; k++) {
        const size_t other = n - (size_t)march->shift[k];
        if (on_grid(march->grid, n, -tw_step_across[k], -tw_step_up[k]) &&
            !(march->wide_count && tw_too_oblique(&march->metric[other])))
            bits |= (unsigned)(open[other] & 1u << k);
    }
    return (unsigned char)bits;
}

static bool all_open(const tw_march *march, size_t n, double step)
{
    unsigned all = 255;

    if (march->grid->level[n] <= -4 * step) /* each neighbour lies amid metal */
        return true;
    for (int k = 0; k < 8; k++)
        all &= march->open[n + (size_t)march->shift[k]];
    return all == 255;
}

/* ---- row by row, each writing its own part of the arrays -------------------------------------- */

enum { ROWS_PER_BLOCK = 8 };

typedef struct domain {
    tw_march *march;
    double step;       /* diagonal of a cell [mm of tape] */
    step_range *range; /* nv */
} domain;

static void metric_rows(size_t first, size_t last, void *context)
{
    const domain *d = context;
    const tw_grid *grid = d->march->grid;

    for (size_t j = first; j < last; j++) {
        d->range[j] = (step_range){INFINITY, 0, 1, 0};
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            d->march->inside[n] = is_inside(grid, i, j);
            if (d->march->inside[n])
                set_metric(d->march, n, &d->range[j]);
        }
    }
}

static bool has_all_around(const tw_grid *grid, size_t i, size_t j)
{
    return i > 0 && j > 0 && i + 1 < grid->nu && j + 1 < grid->nv;
}

static void open_rows(size_t first, size_t last, void *context)
{
    const domain *d = context;
    tw_march *march = d->march;
    const tw_grid *grid = march->grid;

    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            if (march->inside[n])
                march->open[n] = has_all_around(grid, i, j) && amid_metal(march, n, d->step)
                                     ? 255
                                     : openings(march, n);
        }
}

static void hand_rows(size_t first, size_t last, void *context)
{
    const domain *d = context;
    tw_march *march = d->march;
    const tw_grid *grid = march->grid;

    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            if (march->inside[n])
                march->hands[n] =
                    has_all_around(grid, i, j) && !march->wide_count && all_open(march, n, d->step)
                        ? 255
                        : handings(march, n);
        }
}

bool tw_march_domain(tw_march *march, unsigned threads)
{
    const tw_grid *grid = march->grid;
    domain work = {march, hypot(grid->across_step, grid->up_step),
                   malloc(grid->nv * sizeof *work.range)};
    step_range whole = {INFINITY, 0, 1, 0};

    if (!work.range)
        return false;
    for (int k = 0; k < 8; k++)
        march->shift[k] = tw_step_up[k] * (ptrdiff_t)grid->nu + tw_step_across[k];
    tw_for_rows(grid->nv, ROWS_PER_BLOCK, threads, metric_rows, &work);
    for (size_t j = 0; j < grid->nv; j++) {
        whole.least = fmin(whole.least, work.range[j].least);
        whole.longest = fmax(whole.longest, work.range[j].longest);
        whole.stretch = fmax(whole.stretch, work.range[j].stretch);
        whole.wide_count += work.range[j].wide_count;
    }
    march->least_step = sqrt(whole.least);
    march->longest_step = sqrt(whole.longest);
    march->stretch = sqrt(whole.stretch);
    march->wide_count = whole.wide_count;
    tw_for_rows(grid->nv, ROWS_PER_BLOCK, threads, open_rows, &work);
    tw_for_rows(grid->nv, ROWS_PER_BLOCK, threads, hand_rows, &work);
    free(work.range);
    return true;
}
