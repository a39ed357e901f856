/*
 * outline_check.c: an outline as straight pieces: which side is metal, whether pieces cross. An
 * outline has some hundreds to some thousands of pieces; crossings are looked for once per form.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdlib.h>

size_t tw_outline_segment_room(const tw_outline *outline)
{
    size_t room = 0;

    for (size_t k = 0; k < outline->edge_count; k++)
        room += outline->edges[k].count;
    for (size_t k = 0; k < outline->hole_count; k++)
        room += outline->holes[k].count;
    return room;
}

static size_t add_line(const tw_edge_line *line, size_t number, tw_segment *segments, size_t count)
{
    for (size_t n = 0; n + 1 < line->count; n++) {
        const double *a = line->points[n], *b = line->points[n + 1];
        if (a[0] == b[0] && a[1] == b[1])
            continue;
        segments[count] =
            (tw_segment){{a[0], a[1]}, {b[0], b[1]}, (uint32_t)number, (uint32_t)(count + 1)};
        count++;
    }
    return count;
}

size_t tw_outline_segments(const tw_outline *outline, tw_segment *segments)
{
    size_t count = 0;

    for (size_t k = 0; k < outline->edge_count; k++)
        count = add_line(&outline->edges[k], k, segments, count);
    if (count > 0)
        segments[count - 1].next = 0;
    for (size_t k = 0; k < outline->hole_count; k++) {
        const size_t first = count;
        count = add_line(&outline->holes[k], outline->edge_count + k, segments, count);
        if (count > first)
            segments[count - 1].next = (uint32_t)first;
    }
    return count;
}

double tw_edges_area(const tw_edge_line *edges, size_t count)
{
    tw_sum twice = {0, 0};
    const double *origin = edges[0].points[0];

    for (size_t k = 0; k < count; k++)
        for (size_t n = 0; n + 1 < edges[k].count; n++) {
            const double *a = edges[k].points[n], *b = edges[k].points[n + 1];
            tw_sum_add(&twice, (a[0] - origin[0]) * (b[1] - origin[1]) -
                                   (b[0] - origin[0]) * (a[1] - origin[1]));
        }
    return 0.5 * tw_sum_value(&twice);
}

double tw_segment_distance2(const tw_segment *segment, double across, double up)
{
    const double x = segment->b[0] - segment->a[0], y = segment->b[1] - segment->a[1];
    const double px = across - segment->a[0], py = up - segment->a[1];
    const double share = fmin(fmax((px * x + py * y) / (x * x + y * y), 0), 1);
    const double dx = px - share * x, dy = py - share * y;

    return dx * dx + dy * dy;
}

bool tw_segments_inside(const tw_segment *segments, size_t count, double across, double up)
{
    bool inside = false;

    for (size_t k = 0; k < count; k++) {
        const double *a = segments[k].a, *b = segments[k].b;
        if ((a[1] <= up) != (b[1] <= up) &&
            across < a[0] + (up - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
            inside = !inside;
    }
    return inside;
}

double tw_outline_level(const tw_outline *outline, double across, double up)
{
    double least = INFINITY;
    bool inside = false;

    for (size_t k = 0; k < outline->edge_count + outline->hole_count; k++) {
        const bool edge = k < outline->edge_count;
        const tw_edge_line *line =
            edge ? &outline->edges[k] : &outline->holes[k - outline->edge_count];
        for (size_t n = 0; n + 1 < line->count; n++) {
            const double *a = line->points[n], *b = line->points[n + 1];
            const tw_segment piece = {{a[0], a[1]}, {b[0], b[1]}, 0, 0};
            if (a[0] == b[0] && a[1] == b[1])
                continue;
            least = fmin(least, tw_segment_distance2(&piece, across, up));
            if ((a[1] <= up) != (b[1] <= up) &&
                across < a[0] + (up - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
                inside = !inside;
        }
    }
    return inside ? -sqrt(least) : sqrt(least);
}

static int by_value(const void *one, const void *other)
{
    const double a = *(const double *)one, b = *(const double *)other;

    return (a > b) - (a < b);
}

size_t tw_segments_crossings(const tw_segment *segments, size_t count, double across, double *ups)
{
    size_t found = 0;

    for (size_t k = 0; k < count; k++) {
        const double *a = segments[k].a, *b = segments[k].b;
        if ((a[0] <= across) != (b[0] <= across))
            ups[found++] = a[1] + (across - a[0]) / (b[0] - a[0]) * (b[1] - a[1]);
    }
    qsort(ups, found, sizeof *ups, by_value);
    return found;
}

/* Distance of a point from the line through a segment, + on its left. */
static double beside(const tw_segment *s, const double p[2])
{
    const double x = s->b[0] - s->a[0], y = s->b[1] - s->a[1];

    return (x * (p[1] - s->a[1]) - y * (p[0] - s->a[0])) / hypot(x, y);
}

static bool apart(double one, double other, double tiny)
{
    return (one > tiny && other > tiny) || (one < -tiny && other < -tiny);
}

static bool touch(const tw_segment *s, const tw_segment *t)
{
    const double tiny = 1e-9; /* [mm] */

    for (int k = 0; k < 2; k++)
        if (fmax(s->a[k], s->b[k]) < fmin(t->a[k], t->b[k]) - tiny ||
            fmax(t->a[k], t->b[k]) < fmin(s->a[k], s->b[k]) - tiny)
            return false;
    /* on one line, boxes that meet mean pieces that meet */
    return !apart(beside(s, t->a), beside(s, t->b), tiny) &&
           !apart(beside(t, s->a), beside(t, s->b), tiny);
}

/* Neighbours may only meet at their common end: they do not unless the line turns right back. */
static bool folded(const tw_segment *s, const tw_segment *t)
{
    const double x0 = s->b[0] - s->a[0], y0 = s->b[1] - s->a[1];
    const double x1 = t->b[0] - t->a[0], y1 = t->b[1] - t->a[1];

    return x0 * x1 + y0 * y1 < 0 && fabs(x0 * y1 - y0 * x1) <= 1e-9 * hypot(x0, y0) * hypot(x1, y1);
}

typedef struct key {
    double least;
    size_t index;
} key;

static int by_least(const void *one, const void *other)
{
    const key *a = one, *b = other;

    if (a->least != b->least)
        return a->least < b->least ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

tw_status tw_segments_cross(const tw_segment *segments, size_t count, tw_arena *arena, bool *found,
                            size_t *first, size_t *second, tw_error *err)
{
    key *keys = tw_arena_array(arena, count, sizeof *keys);

    if (!keys)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to check an outline of %zu pieces", count);
    *found = false;
    for (size_t k = 0; k < count; k++)
        keys[k] = (key){fmin(segments[k].a[0], segments[k].b[0]), k};
    qsort(keys, count, sizeof *keys, by_least);
    for (size_t k = 0; k < count; k++) {
        const size_t i = keys[k].index;
        const tw_segment *s = &segments[i];
        const double end = fmax(s->a[0], s->b[0]) + 1e-9;
        for (size_t n = k + 1; n < count && keys[n].least <= end; n++) {
            const size_t j = keys[n].index;
            const tw_segment *t = &segments[j];
            const bool before = s->next == j, after = t->next == i;
            if (before || after ? (before && folded(s, t)) || (after && folded(t, s))
                                : touch(s, t)) {
                *found = true;
                *first = i < j ? i : j;
                *second = i < j ? j : i;
                return TW_OK;
            }
        }
    }
    return TW_OK;
}
