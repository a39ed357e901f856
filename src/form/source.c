/*
 * source.c: distance from a point, and the short ways that every source starts from.
 *
 * A march is of second order only where distance is smooth; at a point its second derivative is
 * 1/d. So a ball of fixed size about the point is filled directly, and the march starts from it.
 * The short way is the length of the straight tape line (Simpson over the metric), less what its
 * own bend in the face costs: a curve of geodesic curvature k and length s is longer than the
 * geodesic between its ends by k²s³/24, and its middle lies off theirs by e = k·s²/8, so by
 * (8/3)·e²/s. Derived here.
 */
#include "march_internal.h"
#include "place_internal.h"

#include <assert.h>
#include <math.h>

/** Ball about a point: share of the grid's longer side, and least and most cells. */
static const double ball_share = 1.0 / 16;
enum { BALL_LEAST = 5, BALL_MOST = 80 };
/** Largest share that the bend of the tape line may cost in the ball beyond BALL_LEAST cells. */
static const double bend_most = 0.004;

void tw_unreached(const tw_grid *grid, double *distance)
{
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        distance[n] = INFINITY;
}

/** What the face is like at a place: its metric and its point in space. */
typedef struct ground {
    double aa, au, uu, point[3];
} ground;

static ground ground_at(const tw_grid *grid, const double at[2])
{
    const tw_grid_place place = tw_grid_place_of(grid, at[0], at[1]);

    return (ground){tw_grid_value(grid, grid->metric_aa, &place),
                    tw_grid_value(grid, grid->metric_au, &place),
                    tw_grid_value(grid, grid->metric_uu, &place),
                    {tw_grid_value(grid, grid->x, &place), tw_grid_value(grid, grid->y, &place),
                     tw_grid_value(grid, grid->z, &place)}};
}

static void point_at(const tw_grid *grid, const double at[2], double out[3])
{
    const tw_grid_place place = tw_grid_place_of(grid, at[0], at[1]);

    out[0] = tw_grid_value(grid, grid->x, &place);
    out[1] = tw_grid_value(grid, grid->y, &place);
    out[2] = tw_grid_value(grid, grid->z, &place);
}

static double length_by_metric(const ground *here, const double step[2])
{
    const double square = here->aa * step[0] * step[0] + 2 * here->au * step[0] * step[1] +
                          here->uu * step[1] * step[1];

    return square > 0 ? sqrt(square) : 0;
}

/* How far the middle of a tape line lies sideways, in the face, from the middle of its ends. */
static double sideways(const tw_grid *grid, const double middle[2], const double step[2],
                       const ground *first, const ground *half, const ground *last)
{
    /* at right angles to the line in the face */
    const double side[2] = {-(half->au * step[0] + half->uu * step[1]),
                            half->aa * step[0] + half->au * step[1]};
    const double reach_a = fabs(side[0]) / grid->across_step;
    const double reach_u = fabs(side[1]) / grid->up_step;
    const double reach = reach_a > reach_u ? reach_a : reach_u;
    double ahead[2], back[2], a[3], b[3], m[3], length, off;

    if (!(reach > 0))
        return 0;
    for (int k = 0; k < 2; k++) {
        ahead[k] = middle[k] + side[k] / reach;
        back[k] = middle[k] - side[k] / reach;
    }
    point_at(grid, ahead, a);
    point_at(grid, back, b);
    for (int k = 0; k < 3; k++) {
        a[k] -= b[k];
        m[k] = half->point[k] - 0.5 * (first->point[k] + last->point[k]);
    }
    length = sqrt(tw_dot(a, a));
    off = tw_dot(a, m);
    return length > 0 ? fabs(off) / length : 0;
}

/* True when the line runs over a crease, whose fold says nothing of its bend in the face. */
static bool over_crease(const tw_grid *grid, const double from[2], const double to[2])
{
    return grid->crease_count > 0 && fmin(from[0], to[0]) < grid->across_step &&
           fmax(from[0], to[0]) > -grid->across_step;
}

/* The straight tape line's length, and what of it its bend in the face costs. */
static double tape_line(const tw_grid *grid, const double from[2], const double to[2], double *bend)
{
    const double step[2] = {to[0] - from[0], to[1] - from[1]};
    const double middle[2] = {0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])};
    const ground first = ground_at(grid, from), half = ground_at(grid, middle);
    const ground last = ground_at(grid, to);
    const double length = (length_by_metric(&first, step) + 4 * length_by_metric(&half, step) +
                           length_by_metric(&last, step)) /
                          6;

    *bend = 0;
    if (length > 0 && !over_crease(grid, from, to)) {
        const double off = sideways(grid, middle, step, &first, &half, &last);
        const double cost = 8.0 / 3 * off * off / length, most = 0.1 * length;
        *bend = cost < most ? cost : most;
    }
    return length;
}

double tw_short_way(const tw_march *march, const double from[2], const double to[2])
{
    double bend;
    const double length = tape_line(march->grid, from, to, &bend);

    return length - bend;
}

static inline double level_at(const tw_grid *grid, double across, double up)
{
    const tw_grid_place place = tw_grid_place_of(grid, across, up);

    return tw_grid_value(grid, grid->level, &place);
}

bool tw_in_sight(const tw_grid *grid, const double from[2], const double to[2])
{
    const double da = to[0] - from[0], du = to[1] - from[1];
    const double cells = fmax(fabs(da) / grid->across_step, fabs(du) / grid->up_step);
    const double allowed = 0.1 * fmin(grid->across_step, grid->up_step);
    const int pieces = (int)ceil(2 * cells) + 1;

    if (hypot(da, du) < -level_at(grid, from[0], from[1]))
        return true;
    for (int k = 0; k < pieces; k++) { /* the far end is a node, which knows for itself */
        const double f = (double)k / pieces;
        if (level_at(grid, from[0] + f * da, from[1] + f * du) > allowed)
            return false;
    }
    return true;
}

/* The point itself, or the nearest on the border of metal when it lies beyond it. */
static void nearest_metal(const tw_grid *grid, const double tape[2], double out[2])
{
    const double a = grid->across_step, u = grid->up_step;

    out[0] = tape[0];
    out[1] = tape[1];
    for (int k = 0; k < 4; k++) {
        const double level = tw_grid_sample(grid, grid->level, out[0], out[1]);
        double slope[2], square;
        if (level <= 0)
            return;
        slope[0] = (tw_grid_sample(grid, grid->level, out[0] + a, out[1]) -
                    tw_grid_sample(grid, grid->level, out[0] - a, out[1])) /
                   (2 * a);
        slope[1] = (tw_grid_sample(grid, grid->level, out[0], out[1] + u) -
                    tw_grid_sample(grid, grid->level, out[0], out[1] - u)) /
                   (2 * u);
        square = fmax(slope[0] * slope[0] + slope[1] * slope[1], 0.25);
        out[0] -= level * slope[0] / square;
        out[1] -= level * slope[1] / square;
    }
}

static size_t window(double centre, double reach, double low, double step, size_t count,
                     size_t *last)
{
    const double top = (double)(count - 1);

    *last = (size_t)fmin(fmax(ceil((centre + reach - low) / step), 0), top);
    return (size_t)fmin(fmax(floor((centre - reach - low) / step), 0), top);
}

/* Fill the ball about a point in metal; returns the number of nodes filled. */
static size_t seed_ball(const tw_march *march, const double at[2], double *distance)
{
    const tw_grid *grid = march->grid;
    const double side =
        fmax((double)(grid->nu - 1) * grid->across_step, (double)(grid->nv - 1) * grid->up_step);
    const double cell = fmax(grid->across_step, grid->up_step);
    const double least = BALL_LEAST * cell;
    const double reach = fmin(fmax(ball_share * side, least), BALL_MOST * cell);
    size_t i_last, j_last, seeded = 0;
    const size_t i_first =
        window(at[0], reach, grid->across_min, grid->across_step, grid->nu, &i_last);
    const size_t j_first = window(at[1], reach, grid->up_min, grid->up_step, grid->nv, &j_last);

    for (size_t j = j_first; j <= j_last; j++)
        for (size_t i = i_first; i <= i_last; i++) {
            const size_t n = j * grid->nu + i;
            const double to[2] = {tw_grid_across(grid, i), tw_grid_up(grid, j)};
            const double tape = hypot(to[0] - at[0], to[1] - at[1]);
            double length, bend;
            if (!march->inside[n] || tape > reach)
                continue;
            length = tape_line(grid, at, to, &bend);
            if ((tape > least && bend > bend_most * length) || !tw_in_sight(grid, at, to))
                continue;
            distance[n] = length - bend;
            seeded++;
        }
    return seeded;
}

/* Nothing of the ball was in sight: start from the nearest node that counts. */
static bool seed_nearest(const tw_march *march, const double at[2], double *distance)
{
    const tw_grid *grid = march->grid;
    size_t best = SIZE_MAX;
    double least = INFINITY;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double tape = hypot(tw_grid_across(grid, n % grid->nu) - at[0],
                                  tw_grid_up(grid, n / grid->nu) - at[1]);
        if (march->inside[n] && tape < least) {
            least = tape;
            best = n;
        }
    }
    if (best == SIZE_MAX)
        return false;
    distance[best] = tw_short_way(
        march, at,
        (double[2]){tw_grid_across(grid, best % grid->nu), tw_grid_up(grid, best / grid->nu)});
    return true;
}

tw_status tw_distance_from_point(tw_march *march, const tw_form *form, const double tape[2],
                                 double *distance, tw_error *err)
{
    double at[2];

    assert(march && tape && distance);
    (void)form; /* the grid holds all that a point needs */
    if (!isfinite(tape[0]) || !isfinite(tape[1]))
        return tw_fail(err, TW_ERR_DOMAIN, "a point must have finite tape coordinates");
    tw_unreached(march->grid, distance);
    nearest_metal(march->grid, tape, at);
    if (seed_ball(march, at, distance) == 0 && !seed_nearest(march, at, distance))
        return tw_fail(err, TW_ERR_SHAPE, "the grid holds no metal to measure distance on");
    tw_march_run(march, distance);
    return TW_OK;
}
