/*
 * trim.c: a closed line moved outward, for the strip that is cut off in the end; and the least rectangle
 * round a line.
 *
 * The line is shifted piece by piece along its outward normals, with arcs at its convex corners. Where it
 * is hollow the shifted pieces run into each other: points that come nearer to the line than the strip is
 * wide lie inside it and are left out. What is left must not cross itself.
 *
 * A least rectangle has a side along a side of the convex hull (H. Freeman and R. Shapira, 1975, from
 * memory): each is tried.
 */
#include "plan_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SAME = 1e-6;       /* place [mm] */
static const double INSIDE = 1 - 1e-6; /* of the strip's width: nearer lies within it */

double tw_polygon_area(const double (*line)[2], size_t count)
{
    tw_sum twice = {0, 0};

    for (size_t k = 0; k < count; k++) {
        const double *a = line[k], *b = line[(k + 1) % count];
        tw_sum_add(&twice, (a[0] - line[0][0]) * (b[1] - line[0][1]) -
                               (b[0] - line[0][0]) * (a[1] - line[0][1]));
    }
    return tw_sum_value(&twice) / 2;
}

/* ---- moving a line outward ------------------------------------------------------------------------- */

void tw_grown_add(tw_grown *line, double x, double y)
{
    const double *last = line->count ? line->at[line->count - 1] : NULL;

    if (last && hypot(x - last[0], y - last[1]) < SAME) /* pieces that meet at a hollow corner */
        return;
    if (line->count == line->room) {
        const size_t room = line->room ? 2 * line->room : 1024;
        double(*wider)[2] = realloc(line->at, room * sizeof *wider);
        if (!wider) {
            line->no_memory = true;
            return;
        }
        line->at = wider;
        line->room = room;
    }
    line->at[line->count][0] = x;
    line->at[line->count][1] = y;
    line->count++;
}

static double distance_squared(const double p[2], const double a[2], const double b[2])
{
    const double dx = b[0] - a[0], dy = b[1] - a[1];
    const double length = dx * dx + dy * dy;
    double s = length > 0 ? ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length : 0;
    double ex, ey;

    s = fmin(fmax(s, 0), 1);
    ex = p[0] - a[0] - s * dx;
    ey = p[1] - a[1] - s * dy;
    return ex * ex + ey * ey;
}

static bool within(const double p[2], const double (*line)[2], size_t count, double width)
{
    const double least = width * width * INSIDE * INSIDE;

    for (size_t k = 0; k < count; k++)
        if (distance_squared(p, line[k], line[(k + 1) % count]) < least)
            return true;
    return false;
}

double tw_turn_at(const double a[2], const double b[2], const double c[2])
{
    return remainder(atan2(c[1] - b[1], c[0] - b[0]) - atan2(b[1] - a[1], b[0] - a[0]), 2 * TW_PI);
}

/* Shifted pieces end where they meet at hollow corners; at others an arc joins them. */
static void shift(const double (*line)[2], size_t count, double width, tw_grown *out)
{
    for (size_t k = 0; k < count && !out->no_memory; k++) {
        const double *before = line[(k + count - 1) % count], *a = line[k];
        const double *b = line[(k + 1) % count], *after = line[(k + 2) % count];
        const double length = hypot(b[0] - a[0], b[1] - a[1]);
        const double angle = atan2(b[1] - a[1], b[0] - a[0]);
        const double turn = tw_turn_at(a, b, after), first = tw_turn_at(before, a, b);
        const double from = first < 0 ? width * tan(-first / 2) : 0;
        const double to = length - (turn < 0 ? width * tan(-turn / 2) : 0);
        const size_t pieces = (size_t)ceil(fmax(to - from, 0) / TW_LINE_PIECE);
        const size_t arcs = turn > 0 ? (size_t)ceil(turn / TW_LINE_ARC) : 0;

        for (size_t n = 0; n <= pieces && to > from; n++) { /* outward is right of the line */
            const double s = from + (to - from) * (double)n / (double)pieces;
            tw_grown_add(out, a[0] + s * cos(angle) + width * sin(angle),
                         a[1] + s * sin(angle) - width * cos(angle));
        }
        for (size_t n = 1; n < arcs; n++) {
            const double at = angle + turn * (double)n / (double)arcs;
            tw_grown_add(out, b[0] + width * sin(at), b[1] - width * cos(at));
        }
    }
    while (out->count > 1 && hypot(out->at[0][0] - out->at[out->count - 1][0],
                                   out->at[0][1] - out->at[out->count - 1][1]) < SAME)
        out->count--; /* the last piece meets the first where the line begins straight or hollow */
}

static bool crosses(const double a[2], const double b[2], const double c[2], const double d[2])
{
    const double ab[2] = {b[0] - a[0], b[1] - a[1]}, cd[2] = {d[0] - c[0], d[1] - c[1]};
    const double one = ab[0] * (c[1] - a[1]) - ab[1] * (c[0] - a[0]);
    const double two = ab[0] * (d[1] - a[1]) - ab[1] * (d[0] - a[0]);
    const double three = cd[0] * (a[1] - c[1]) - cd[1] * (a[0] - c[0]);
    const double four = cd[0] * (b[1] - c[1]) - cd[1] * (b[0] - c[0]);

    return ((one > 0 && two < 0) || (one < 0 && two > 0)) &&
           ((three > 0 && four < 0) || (three < 0 && four > 0));
}

bool tw_line_crosses_itself(const double (*line)[2], size_t count)
{
    for (size_t k = 0; k < count; k++)
        for (size_t n = k + 2; n < count; n++)
            if (!(k == 0 && n == count - 1) &&
                crosses(line[k], line[k + 1], line[n], line[(n + 1) % count]))
                return true;
    return false;
}

/* Does a piece run through the strip? It does where a mouth narrower than two strips leads to a hollow wide
 * enough for its own line: the two are joined by a slit, whose sides need not cross. Chords of arcs lie
 * within the strip by 0.2 % of its width. */
static bool runs_within(const double (*out)[2], size_t kept, const double (*line)[2], size_t count,
                        double width)
{
    for (size_t k = 0; k < kept; k++) {
        const double *a = out[k], *b = out[(k + 1) % kept];
        for (int n = 1; n < 4; n++) {
            const double p[2] = {a[0] + (b[0] - a[0]) * n / 4, a[1] + (b[1] - a[1]) * n / 4};
            if (within(p, line, count, 0.99 * width))
                return true;
        }
    }
    return false;
}

tw_status tw_line_outward(const double (*line)[2], size_t count, double width, tw_arena *arena,
                          double (**out)[2], size_t *out_count, tw_error *err)
{
    tw_grown raw = {0};
    size_t kept = 0;
    tw_status status = TW_OK;

    if (width > 0)
        shift(line, count, width, &raw);
    for (size_t k = 0; k < raw.count; k++)
        if (!within(raw.at[k], line, count, width)) {
            memmove(raw.at[kept], raw.at[k], sizeof *raw.at);
            kept++;
        }
    if (!(width > 0))
        kept = count;
    *out = raw.no_memory ? NULL : tw_arena_array(arena, kept, sizeof **out);
    if (!*out && !raw.no_memory && kept == 0)
        status = tw_fail(err, TW_ERR_SHAPE, "no strip %g mm wide goes round this blank", width);
    else if (!*out)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    else
        memcpy(*out, width > 0 ? (const double(*)[2])raw.at : line, kept * sizeof **out);
    if (status == TW_OK && width > 0 &&
        (tw_line_crosses_itself((const double(*)[2]) * out, kept) ||
         runs_within((const double(*)[2]) * out, kept, line, count, width) ||
         tw_polygon_area((const double(*)[2]) * out, kept) <= tw_polygon_area(line, count))) {
        status = tw_fail(err, TW_ERR_SHAPE,
                         "a strip %g mm wide round this blank closes over a notch in it", width);
        tw_error_advise(err, NULL, "give a narrower losses.trim, or none");
    }
    free(raw.at);
    *out_count = kept;
    return status;
}

/* ---- the least rectangle --------------------------------------------------------------------------- */

static int by_place(const void *one, const void *two)
{
    const double *a = one, *b = two;

    if (a[0] < b[0] || a[0] > b[0])
        return a[0] < b[0] ? -1 : 1;
    return a[1] < b[1] ? -1 : a[1] > b[1];
}

static double bend(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* Convex hull, anticlockwise, by A. M. Andrew's monotone chain (1979, from memory); points sorted in place.
 * hull: room for count + 1 */
static size_t hull_of(double (*points)[2], size_t count, double (*hull)[2])
{
    size_t used = 0, least;

    qsort(points, count, sizeof *points, by_place);
    for (size_t k = 0; k < count; k++) {
        while (used >= 2 && bend(hull[used - 2], hull[used - 1], points[k]) <= 0)
            used--;
        memcpy(hull[used++], points[k], sizeof *hull);
    }
    least = used + 1;
    for (size_t k = count - 1; k-- > 0;) {
        while (used >= least && bend(hull[used - 2], hull[used - 1], points[k]) <= 0)
            used--;
        memcpy(hull[used++], points[k], sizeof *hull);
    }
    return used > 1 ? used - 1 : used; /* the first came again */
}

/* Extents of a hull in a turned frame. */
static void extents(const double (*hull)[2], size_t count, double turn, double low[2],
                    double high[2])
{
    const double c = cos(turn), s = sin(turn);

    low[0] = low[1] = INFINITY;
    high[0] = high[1] = -INFINITY;
    for (size_t k = 0; k < count; k++) {
        const double at[2] = {c * hull[k][0] + s * hull[k][1], -s * hull[k][0] + c * hull[k][1]};
        for (int n = 0; n < 2; n++) {
            low[n] = fmin(low[n], at[n]);
            high[n] = fmax(high[n], at[n]);
        }
    }
}

tw_status tw_least_rectangle(const double (*line)[2], size_t count, double size[2], double *turn,
                             double middle[2], tw_error *err)
{
    double(*points)[2] = malloc(count * sizeof *points);
    double(*hull)[2] = malloc((count + 1) * sizeof *hull);
    double best = INFINITY, chosen = 0, low[2], high[2], c, s;
    size_t corners;

    if (!points || !hull) {
        free(points);
        free(hull);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    }
    memcpy(points, line, count * sizeof *points);
    corners = hull_of(points, count, hull);
    for (size_t k = 0; k < corners; k++) {
        const double *a = hull[k], *b = hull[(k + 1) % corners];
        const double angle = atan2(b[1] - a[1], b[0] - a[0]);
        double area;
        extents((const double(*)[2])hull, corners, angle, low, high);
        area = (high[0] - low[0]) * (high[1] - low[1]);
        if (area < best * (1 - 1e-9)) { /* of equal ones the first */
            best = area;
            chosen = angle;
        }
    }
    extents((const double(*)[2])hull, corners, chosen, low, high);
    if (high[1] - low[1] > high[0] - low[0]) {
        chosen += TW_PI / 2;
        extents((const double(*)[2])hull, corners, chosen, low, high);
    }
    c = cos(chosen);
    s = sin(chosen);
    for (int n = 0; n < 2; n++)
        size[n] = high[n] - low[n];
    middle[0] = (c * (low[0] + high[0]) - s * (low[1] + high[1])) / 2;
    middle[1] = (s * (low[0] + high[0]) + c * (low[1] + high[1])) / 2;
    *turn = remainder(chosen, TW_PI);
    free(points);
    free(hull);
    return TW_OK;
}
