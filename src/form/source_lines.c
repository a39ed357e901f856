/*
 * source_lines.c: distance from lines.
 *
 * Nodes within a few cells of a line get their distance directly: the foot on each straight piece
 * by the node's own metric, the nearest of all feet, then the short way to it. The band is four
 * cells wide, so that no difference taken outside it reaches across the line, where distance has
 * a fold. Beyond an outline edge that is a source distances go on below zero, which keeps them
 * smooth up to the edge; they are set to 0 when the march is done.
 */
#include "march_internal.h"

#include <assert.h>
#include <math.h>

enum { BAND_CELLS = 4, BAND_MOST = 24 };

/** The nearest point of a piece to a node. */
typedef struct foot {
    double at[2];
    double square; /**< of the distance by the node's metric [mm²] */
    bool end;      /**< the open end of its line */
} foot;

/** A piece of a line in steps of the grid, as far as its nodes do not matter. */
typedef struct stretch {
    double from[2], along[2]; /**< [mm], [steps] */
    double per_mm[2];         /**< steps */
} stretch;

static stretch stretch_of(const tw_grid *grid, const tw_edge_line *line, size_t piece)
{
    const double *a = line->points[piece], *b = line->points[piece + 1];
    const double sa = 1 / grid->across_step, su = 1 / grid->up_step;

    return (stretch){{a[0], a[1]}, {(b[0] - a[0]) * sa, (b[1] - a[1]) * su}, {sa, su}};
}

/* Square of the distance from a node by its own metric; *share: where on the piece its foot lies, 0…1. */
static inline double to_stretch(const stretch *s, const tw_march_metric *metric, double across,
                                double up, double *share)
{
    const double to[2] = {(across - s->from[0]) * s->per_mm[0], (up - s->from[1]) * s->per_mm[1]};
    const double *along = s->along;
    const double length = metric->aa * along[0] * along[0] + 2 * metric->au * along[0] * along[1] +
                          metric->uu * along[1] * along[1];
    const double part = metric->aa * along[0] * to[0] +
                        metric->au * (along[0] * to[1] + along[1] * to[0]) +
                        metric->uu * along[1] * to[1];
    /* no fmin(): a call each, some hundred thousand times a march; nor a division where an end is nearest */
    const double t = length > 0 && part > 0 ? (part < length ? part / length : 1) : 0;
    const double off[2] = {to[0] - t * along[0], to[1] - t * along[1]};

    *share = t;
    return metric->aa * off[0] * off[0] + 2 * metric->au * off[0] * off[1] +
           metric->uu * off[1] * off[1];
}

static foot foot_on(const tw_grid *grid, const tw_march_metric *metric, const double here[2],
                    const tw_edge_line *line, size_t piece)
{
    const stretch s = stretch_of(grid, line, piece);
    const double *a = line->points[piece], *b = line->points[piece + 1];
    const double *first = line->points[0], *last = line->points[line->count - 1];
    const bool open = first[0] != last[0] || first[1] != last[1];
    double t;
    const double square = to_stretch(&s, metric, here[0], here[1], &t);

    return (foot){{a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])},
                  square,
                  open && ((piece == 0 && t <= 0) || (piece + 2 == line->count && t >= 1))};
}

static size_t low_index(double place, double reach, size_t count)
{
    return (size_t)fmin(fmax(floor(place - reach), 0), (double)(count - 1));
}

static size_t high_index(double place, double reach, size_t count)
{
    return (size_t)fmin(fmax(ceil(place + reach), 0), (double)(count - 1));
}

/* Note for each node around a piece whether this piece is its nearest so far. */
static void note_piece(tw_march *m, const tw_edge_line *lines, size_t line, size_t piece,
                       double reach)
{
    const tw_grid *grid = m->grid;
    const double *a = lines[line].points[piece], *b = lines[line].points[piece + 1];
    const double a0 = (a[0] - grid->across_min) / grid->across_step;
    const double b0 = (b[0] - grid->across_min) / grid->across_step;
    const double a1 = (a[1] - grid->up_min) / grid->up_step;
    const double b1 = (b[1] - grid->up_min) / grid->up_step;
    const size_t i_last = high_index(fmax(a0, b0), reach, grid->nu);
    const size_t j_last = high_index(fmax(a1, b1), reach, grid->nv);

    const size_t i_first = low_index(fmin(a0, b0), reach, grid->nu);
    const stretch s = stretch_of(grid, &lines[line], piece);

    for (size_t j = low_index(fmin(a1, b1), reach, grid->nv); j <= j_last; j++) {
        const double up = tw_grid_up(grid, j);
        const size_t row = j * grid->nu;
        for (size_t i = i_first; i <= i_last; i++) {
            tw_march_node *node = &m->nodes[row + i];
            double square, share;
            if (!m->inside[row + i])
                continue;
            square = to_stretch(&s, &m->metric[row + i], tw_grid_across(grid, i), up, &share);
            if (square < node->trial) {
                node->trial = square;
                node->next = (uint32_t)line;
                node->prev = (uint32_t)piece;
            }
        }
    }
}

/* True when the way from an outline's point to a node lies beyond the outline all along. */
static bool beyond(const tw_grid *grid, const foot *f, const double here[2])
{
    const double small = 0.05 * fmin(grid->across_step, grid->up_step);

    if (f->end || fabs(tw_grid_sample(grid, grid->level, f->at[0], f->at[1])) > 2 * small)
        return false;
    for (int k = 1; k < 4; k++) {
        const double t = 0.25 * k;
        if (tw_grid_sample(grid, grid->level, f->at[0] + t * (here[0] - f->at[0]),
                           f->at[1] + t * (here[1] - f->at[1])) < -small)
            return false;
    }
    return true;
}

size_t tw_seed_lines(tw_march *march, const tw_edge_line *lines, size_t line_count, double cells,
                     double *distance)
{
    const tw_grid *grid = march->grid;
    const double reach = fmin(ceil(cells * march->stretch), BAND_MOST);
    size_t seeded = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        march->nodes[n].trial = INFINITY;
    for (size_t line = 0; line < line_count; line++)
        for (size_t piece = 0; piece + 1 < lines[line].count; piece++)
            note_piece(march, lines, line, piece, reach);
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const tw_march_node *node = &march->nodes[n];
        const tw_march_metric *metric = &march->metric[n];
        double here[2], d;
        foot f;
        /* a nearer foot than this could not lie outside the windows searched */
        if (!(node->trial < INFINITY) || sqrt(node->trial) > reach * tw_least_step(metric))
            continue;
        here[0] = tw_grid_across(grid, n % grid->nu);
        here[1] = tw_grid_up(grid, n / grid->nu);
        f = foot_on(grid, metric, here, &lines[node->next], node->prev);
        d = tw_short_way(march, f.at, here);
        if (grid->level[n] >= 0 && beyond(grid, &f, here))
            d = -d;
        else if (!tw_in_sight(grid, f.at, here))
            continue;
        if (d < distance[n])
            distance[n] = d;
        seeded++;
    }
    return seeded;
}

tw_status tw_distance_from_lines(tw_march *march, const tw_form *form, const tw_edge_line *lines,
                                 size_t line_count, double *distance, tw_error *err)
{
    const tw_grid *grid = march->grid;

    assert(march && distance && (lines || line_count == 0));
    (void)form; /* the grid holds all that a line needs */
    tw_unreached(grid, distance);
    if (tw_seed_lines(march, lines, line_count, BAND_CELLS, distance) == 0)
        return tw_fail(err, TW_ERR_SHAPE, "no part of %s lies in metal",
                       line_count == 1 && lines[0].name ? lines[0].name : "the line");
    tw_march_run(march, distance);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        distance[n] = distance[n] > 0 ? distance[n] : 0; /* no fmax(): a call for each node */
    return TW_OK;
}
