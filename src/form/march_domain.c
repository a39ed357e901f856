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
 * cells. In a slot narrower than about three cells it does not, so that slots block: two ghosts
 * side by side in one slot of width w would need 2·share·cell < cell, and share is above 1/2.
 * A slot narrower than one cell may pass between nodes. It is seen where the level rises along a
 * grid line toward both ends of a step and would meet zero twice on it; that step is closed.
 */
#include "march_internal.h"

#include <math.h>

/** Rise of the level per mm of tape from which a ghost counts as lying by a single border. */
static const double carrying_rise = 0.75;

static bool on_grid(const tw_grid *grid, size_t n, int across, int up)
{
    const ptrdiff_t i = (ptrdiff_t)(n % grid->nu) + across, j = (ptrdiff_t)(n / grid->nu) + up;

    return i >= 0 && j >= 0 && i < (ptrdiff_t)grid->nu && j < (ptrdiff_t)grid->nv;
}

static void mark_inside(const tw_grid *grid, bool *inside)
{
    const size_t columns = grid->nu - 1;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        inside[n] = grid->level[n] < 0;
    for (size_t j = 0; j + 1 < grid->nv; j++)
        for (size_t i = 0; i < columns; i++)
            if (grid->area[j * columns + i] > 0) {
                bool *low = inside + j * grid->nu + i;
                low[0] = low[1] = low[grid->nu] = low[grid->nu + 1] = true;
            }
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

static bool carries(const tw_grid *grid, size_t n)
{
    double slope[2];

    if (grid->level[n] < 0)
        return true;
    return level_slope(grid, n, slope) && hypot(slope[0], slope[1]) > carrying_rise;
}

/* True when a slot narrower than the step from `from` to `to` passes between these nodes in metal:
 * the level, going on as it came from both sides, meets zero twice on the way. */
static bool slot_between(const tw_grid *grid, size_t from, size_t to, int across, int up)
{
    const double *level = grid->level;
    double before, after;

    if (level[from] >= 0 || level[to] >= 0 || !on_grid(grid, from, -across, -up) ||
        !on_grid(grid, to, across, up))
        return false;
    before = level[from] - level[from - (to - from)];
    after = level[to] - level[to + (to - from)];
    return before > 0 && after > 0 && -level[from] / before - level[to] / after < 1;
}

/* The same for the straight steps that a step is made of, in rows up to two away. */
static bool slot_beside(const tw_grid *grid, size_t from, int across, int up)
{
    for (int row = -2; row <= 2; row++)
        for (int end = 0; end < 2; end++) {
            const int da = end ? across : 0, du = end ? up : 0;
            size_t n;
            if (across && on_grid(grid, from, 0, du + row) &&
                on_grid(grid, from, across, du + row)) {
                n = from + (size_t)((ptrdiff_t)grid->nu * (du + row));
                if (slot_between(grid, n, n + (size_t)(ptrdiff_t)across, across, 0))
                    return true;
            }
            if (up && on_grid(grid, from, da + row, 0) && on_grid(grid, from, da + row, up)) {
                n = from + (size_t)(ptrdiff_t)(da + row);
                if (slot_between(grid, n, n + (size_t)((ptrdiff_t)grid->nu * up), 0, up))
                    return true;
            }
        }
    return false;
}

/* True when a step is closed by a slot. Near a slot's ends the level no longer shows it plainly;
 * there a step is closed if it is long enough to cross a slot and one is plain close by. */
static bool slot_closes(const tw_grid *grid, size_t from, size_t to, int across, int up)
{
    const double deep = fmax(-grid->level[from], 0) + fmax(-grid->level[to], 0);

    if (deep >= hypot(across * grid->across_step, up * grid->up_step))
        return false;
    return slot_between(grid, from, to, across, up) || slot_beside(grid, from, across, up);
}

static unsigned char openings(const tw_march *march, size_t n)
{
    const tw_grid *grid = march->grid;
    unsigned bits = 0;

    for (int k = 0; k < 8; k++) {
        const size_t other = n + (size_t)march->shift[k];
        if (on_grid(grid, n, tw_step_across[k], tw_step_up[k]) && march->inside[other] &&
            carries(grid, other) && !slot_closes(grid, n, other, tw_step_across[k], tw_step_up[k]))
            bits |= 1u << k;
    }
    return (unsigned char)bits;
}

/* Square root of the metric's lesser eigenvalue. */
double tw_least_step(const tw_march_node *node)
{
    const double det = node->aa * node->uu - node->au * node->au;
    const double half = 0.5 * (node->aa + node->uu);
    const double greater = half + sqrt(fmax(half * half - det, 0));

    return sqrt(det / greater);
}

static void set_metric(tw_march *march, size_t n)
{
    const tw_grid *grid = march->grid;
    const double dear = grid->level[n] < 0 ? 1 : slowing(grid, n);
    const double a = dear * grid->across_step, u = dear * grid->up_step;
    tw_march_node *node = &march->nodes[n];
    double least, longest;

    node->aa = grid->metric_aa[n] * a * a;
    node->au = grid->metric_au[n] * a * u;
    node->uu = grid->metric_uu[n] * u * u;
    if (!(node->aa > 0 && node->uu > 0) ||
        !(node->au * node->au < (1 - 1e-9) * node->aa * node->uu)) {
        march->inside[n] = false; /* no face here: a fold of the tape chart */
        return;
    }
    least = tw_least_step(node);
    longest = sqrt(fmax(node->aa + node->uu - least * least, 0));
    march->stretch = fmax(march->stretch, longest / least);
    march->least_step = fmin(march->least_step, sqrt(fmin(node->aa, node->uu)));
    march->longest_step = fmax(march->longest_step, sqrt(node->aa + node->uu + 2 * fabs(node->au)));
}

void tw_march_domain(tw_march *march)
{
    const tw_grid *grid = march->grid;
    const size_t count = grid->nu * grid->nv;

    for (int k = 0; k < 8; k++)
        march->shift[k] = tw_step_up[k] * (ptrdiff_t)grid->nu + tw_step_across[k];
    march->least_step = INFINITY;
    march->longest_step = 0;
    march->stretch = 1;
    mark_inside(grid, march->inside);
    for (size_t n = 0; n < count; n++)
        if (march->inside[n])
            set_metric(march, n);
    for (size_t n = 0; n < count; n++)
        march->open[n] = march->inside[n] ? openings(march, n) : 0;
    for (size_t n = 0; n < count; n++)
        for (int k = 0; k < 8; k++)
            if (march->open[n] >> k & 1)
                march->hands[n + (size_t)march->shift[k]] |= (unsigned char)(1u << k);
}
