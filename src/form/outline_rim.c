/*
 * outline_rim.c: the form's own boundary: joined to one ring, followed by edges that run along it,
 * and the border to which points a little outside the form are pulled in.
 */
#include "outline_internal.h"

#include <math.h>

tw_status tw_form_fail_at(const tw_form *form, tw_place place, tw_error *err)
{
    tw_profile_place(form->profile, place, err);
    return err->status;
}

tw_status tw_ring_join(const tw_form *form, tw_ring *ring, tw_error *err)
{
    size_t room = 0;

    ring->count = 0;
    for (size_t k = 0; k < form->rim_count; k++)
        room += form->rim[k].count;
    ring->at = tw_arena_array(form->arena, room, sizeof *ring->at);
    if (!ring->at)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the form's boundary");
    for (size_t k = 0; k < form->rim_count; k++)
        for (size_t n = 0; n + 1 < form->rim[k].count; n++) {
            ring->at[ring->count][0] = form->rim[k].points[n][0];
            ring->at[ring->count++][1] = form->rim[k].points[n][1];
        }
    return TW_OK;
}

double tw_ring_nearest(const tw_ring *ring, const double point[2], double *where, double foot[2])
{
    double least = INFINITY;

    for (size_t k = 0; k < ring->count; k++) {
        const double *a = ring->at[k], *b = ring->at[(k + 1) % ring->count];
        const double x = b[0] - a[0], y = b[1] - a[1], square = x * x + y * y;
        double share = 0, at[2], distance;
        if (square > 0)
            share = ((point[0] - a[0]) * x + (point[1] - a[1]) * y) / square;
        share = fmin(fmax(share, 0), 1);
        at[0] = a[0] + share * x;
        at[1] = a[1] + share * y;
        distance = hypot(point[0] - at[0], point[1] - at[1]);
        if (distance < least) {
            least = distance;
            *where = (double)k + share;
            foot[0] = at[0];
            foot[1] = at[1];
        }
    }
    return least;
}

/*
 * A line with its points on a curve cuts off 2/3 of each chord's sagitta, |P₋ − 2P + P₊|/8, of area
 * per length: 1e-5 of a bowl, which no finer grid wins back. Points moved outward by that, 1/12 of
 * the second difference, enclose the curve's area to fourth order (derived here). Ends and corners
 * stay where they are.
 */
tw_status tw_rim_keep_area(tw_form *form, tw_error *err)
{
    for (size_t k = 0; k < form->rim_count; k++) {
        tw_edge_line *line = &form->rim[k];
        const size_t last = line->count - 1;
        const bool closed = line->points[0][0] == line->points[last][0] &&
                            line->points[0][1] == line->points[last][1];
        double(*moved)[2] = tw_arena_array(form->arena, line->count, sizeof *moved);
        if (!moved)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the form's boundary");
        for (size_t n = 0; n <= last; n++) {
            const double *p = line->points[n];
            const double *a = line->points[n > 0 ? n - 1 : last - 1];
            const double *b = line->points[n < last ? n + 1 : 1];
            const double x0 = p[0] - a[0], y0 = p[1] - a[1], x1 = b[0] - p[0], y1 = b[1] - p[1];
            const double turn = atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1);
            const bool inner = (n > 0 && n < last) || closed;
            const bool even =
                hypot(x0, y0) < 2 * hypot(x1, y1) && hypot(x1, y1) < 2 * hypot(x0, y0);
            const double share = inner && even && fabs(turn) < 0.1 ? 1.0 / 12 : 0;
            moved[n][0] = p[0] - share * (x1 - x0);
            moved[n][1] = p[1] - share * (y1 - y0);
        }
        line->points = moved;
    }
    return TW_OK;
}

static void add_place(const tw_ring *ring, double where, tw_line *line)
{
    const double whole = floor(where), share = where - whole;
    const double *a = ring->at[(size_t)whole % ring->count];
    const double *b = ring->at[((size_t)whole + 1) % ring->count];

    tw_line_add(line, a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]));
}

void tw_ring_follow(const tw_ring *ring, double from, double to, bool forward, tw_line *line)
{
    const double count = (double)ring->count;
    const double tiny = 1e-9; /* ring points this near an end are the end */

    add_place(ring, from, line);
    if (forward) {
        if (to <= from)
            to += count;
        for (double k = floor(from + tiny) + 1; k < to - tiny; k++)
            add_place(ring, k, line);
    } else {
        if (to >= from)
            from += count;
        for (double k = ceil(from - tiny) - 1; k > to + tiny; k--)
            add_place(ring, k, line);
    }
    add_place(ring, to, line);
}

static tw_status too_far(tw_error *err, double excess)
{
    tw_error_advise(err, NULL, "points up to %g mm outside are pulled in; move this one by %.1f mm",
                    TW_PULL_IN, excess);
    return err->status;
}

tw_status tw_pull_point(const tw_form *form, const tw_ring *ring, const char *edge, size_t number,
                        double at[2], tw_pulled *pulled, tw_error *err)
{
    const double excess = ring->count ? tw_surface_excess(form->surface, at[0], at[1]) : -INFINITY;
    double where = 0, foot[2] = {at[0], at[1]};

    if (excess > TW_PULL_IN) {
        tw_fail(err, TW_ERR_SHAPE, "edge '%s': point %zu, [%g, %g], lies %.1f mm outside the form",
                edge, number, at[0], at[1], excess);
        return too_far(err, excess);
    }
    if (excess <= TW_ON_RIM)
        return TW_OK;
    tw_ring_nearest(ring, at, &where, foot);
    at[0] = foot[0];
    at[1] = foot[1];
    pulled->count++;
    pulled->farthest = fmax(pulled->farthest, excess);
    return TW_OK;
}

tw_status tw_pull_line(const tw_form *form, const tw_ring *ring, tw_edge_line *line,
                       tw_pulled *pulled, tw_error *err)
{
    const double reach = 2; /* how finely a straight piece is looked at [mm] */
    tw_line out = {.arena = form->arena};
    bool moved = false;

    if (ring->count == 0)
        return TW_OK;
    for (size_t k = 0; k < line->count; k++) {
        const double *a = line->points[k > 0 ? k - 1 : 0], *b = line->points[k];
        const size_t parts = k > 0 ? (size_t)ceil(hypot(b[0] - a[0], b[1] - a[1]) / reach) : 1;
        for (size_t n = 1; n <= parts; n++) {
            const double share = (double)n / (double)parts;
            double at[2] = {a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])}, foot[2];
            const double excess = tw_surface_excess(form->surface, at[0], at[1]);
            double where = 0;
            if (excess > TW_PULL_IN) {
                tw_fail(err, TW_ERR_SHAPE,
                        "edge '%s' runs %.1f mm outside the form at [%.1f, %.1f]", line->name,
                        excess, at[0], at[1]);
                return too_far(err, excess);
            }
            if (excess > TW_ON_RIM) {
                tw_ring_nearest(ring, at, &where, foot);
                tw_line_add(&out, foot[0], foot[1]);
                pulled->count += n == parts;
                pulled->farthest = fmax(pulled->farthest, excess);
                moved = true;
            } else if (n == parts) {
                tw_line_add(&out, b[0], b[1]);
            }
        }
    }
    if (out.failed)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for edge '%s'", line->name);
    if (moved) { /* an untouched line keeps its own points */
        line->points = out.at;
        line->count = out.count;
    }
    return TW_OK;
}
