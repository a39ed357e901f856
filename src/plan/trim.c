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

static const double PIECE = 1.0;      /* of the shifted line [mm] */
static const double ARC = TW_PI / 24; /* of a corner */
/* A corner hollower than this is told by the points that lie within the strip; one nearer to straight is
 * not, as they lie short of it by half its square: its shifted pieces meet in one point instead. */
static const double STRAIGHT = 2e-3;
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

typedef struct grown {
    double (*at)[2];
    size_t count, room;
    bool no_memory;
} grown;

static void add(grown *line, double x, double y)
{
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

/* Whether a corner is hollow by so little that its shifted pieces overlap without lying within. */
static bool nearly_straight(double turn)
{
    return turn < 0 && turn > -STRAIGHT;
}

static double turn_between(double from, const double b[2], const double c[2])
{
    return remainder(atan2(c[1] - b[1], c[0] - b[0]) - from, 2 * TW_PI);
}

static void shift(const double (*line)[2], size_t count, double width, grown *out)
{
    bool joined = false; /* the corner before is one point already */

    if (count > 1) {
        const double *a = line[count - 1], *b = line[0];
        joined = nearly_straight(turn_between(atan2(b[1] - a[1], b[0] - a[0]), b, line[1]));
    }
    for (size_t k = 0; k < count && !out->no_memory; k++) {
        const double *a = line[k], *b = line[(k + 1) % count], *c = line[(k + 2) % count];
        const double length = hypot(b[0] - a[0], b[1] - a[1]);
        const double angle = atan2(b[1] - a[1], b[0] - a[0]);
        const double turn = turn_between(angle, b, c);
        const bool meets = nearly_straight(turn);
        const size_t pieces = (size_t)ceil(length / PIECE);
        const size_t arcs = turn > 0 ? (size_t)ceil(turn / ARC) : 0;

        /* outward is right of an anticlockwise line */
        for (size_t n = joined ? 1 : 0; n + (meets ? 1 : 0) <= pieces && length > 0; n++) {
            const double s = (double)n / (double)(pieces ? pieces : 1);
            add(out, a[0] + s * (b[0] - a[0]) + width * sin(angle),
                a[1] + s * (b[1] - a[1]) - width * cos(angle));
        }
        if (meets) /* half the turn on: both shifted pieces reach it within its square */
            add(out, b[0] + width * sin(angle + turn / 2), b[1] - width * cos(angle + turn / 2));
        joined = meets;
        for (size_t n = 1; n < arcs; n++) {
            const double at = angle + turn * (double)n / (double)arcs;
            add(out, b[0] + width * sin(at), b[1] - width * cos(at));
        }
    }
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

static bool crosses_itself(const double (*line)[2], size_t count)
{
    for (size_t k = 0; k < count; k++)
        for (size_t n = k + 2; n < count; n++)
            if (!(k == 0 && n == count - 1) &&
                crosses(line[k], line[k + 1], line[n], line[(n + 1) % count]))
                return true;
    return false;
}

tw_status tw_line_outward(const double (*line)[2], size_t count, double width, tw_arena *arena,
                          double (**out)[2], size_t *out_count, tw_error *err)
{
    grown raw = {0};
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
        (crosses_itself((const double(*)[2]) * out, kept) ||
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
