/*
 * outline_line.c: points to lines: straight, smooth, with rounded corners, ellipses. A line is within
 * TW_CHORD of its curve. Where the curve is a circle or ellipse the line encloses exactly its area,
 * so that a fine grid weighs the disc and not the polygon in it.
 */
#include "outline_internal.h"

#include <math.h>
#include <string.h>

void tw_line_add(tw_line *line, double across, double up)
{
    if (line->count == line->room) {
        const size_t room = line->room ? 2 * line->room : 16;
        double(*at)[2] = line->failed ? NULL : tw_arena_array(line->arena, room, sizeof *line->at);
        if (!at) {
            line->failed = true;
            return;
        }
        if (line->count)
            memcpy(at, line->at, line->count * sizeof *at);
        line->at = at;
        line->room = room;
    }
    line->at[line->count][0] = across;
    line->at[line->count++][1] = up;
}

/* Where arcs follow each other without a straight between them their ends differ by rounding only. */
static void add_distinct(tw_line *line, double across, double up)
{
    if (line->count == 0 ||
        hypot(across - line->at[line->count - 1][0], up - line->at[line->count - 1][1]) > 1e-7)
        tw_line_add(line, across, up);
}

void tw_line_straight(tw_line *line, const double (*points)[2], size_t count, bool closed)
{
    for (size_t k = 0; k < count; k++)
        tw_line_add(line, points[k][0], points[k][1]);
    if (closed)
        tw_line_add(line, points[0][0], points[0][1]);
}

/* Control points of the span b–c between a and d, knots at the square root of the chords: the
 * centripetal curve has no loops or cusps within a span. Source: C. Yuksel, S. Schaefer, J. Keyser,
 * "Parameterization and applications of Catmull–Rom curves", Computer-Aided Design 43 (2011). */
static void span_controls(const double a[2], const double b[2], const double c[2],
                          const double d[2], double control[4][2])
{
    const double ab = sqrt(hypot(b[0] - a[0], b[1] - a[1]));
    const double bc = sqrt(hypot(c[0] - b[0], c[1] - b[1]));
    const double cd = sqrt(hypot(d[0] - c[0], d[1] - c[1]));

    for (int k = 0; k < 2; k++) {
        const double chord = (c[k] - b[k]) / bc;
        const double start = (b[k] - a[k]) / ab - (c[k] - a[k]) / (ab + bc) + chord;
        const double end = chord - (d[k] - b[k]) / (bc + cd) + (d[k] - c[k]) / cd;
        control[0][k] = b[k];
        control[1][k] = b[k] + start * bc / 3;
        control[2][k] = c[k] - end * bc / 3;
        control[3][k] = c[k];
    }
}

/* Adds the span without its first point. A cubic in n equal steps is within
 * 6/8 · max|second difference of controls| / n² of its chords. Source: G. Farin, Curves and Surfaces
 * for CAGD, chapter on subdivision (from memory). */
static void add_span(tw_line *line, double control[4][2])
{
    double bend = 0;
    size_t pieces;

    for (int k = 0; k < 2; k++)
        bend = fmax(bend, hypot(control[k][0] - 2 * control[k + 1][0] + control[k + 2][0],
                                control[k][1] - 2 * control[k + 1][1] + control[k + 2][1]));
    pieces = (size_t)fmin(fmax(ceil(sqrt(0.75 * bend / TW_CHORD)), 1), 4096);
    for (size_t n = 1; n <= pieces; n++) {
        const double t = (double)n / (double)pieces, s = 1 - t;
        const double w[4] = {s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t};
        double at[2];
        for (int k = 0; k < 2; k++)
            at[k] = w[0] * control[0][k] + w[1] * control[1][k] + w[2] * control[2][k] +
                    w[3] * control[3][k];
        if (n == pieces) {
            at[0] = control[3][0];
            at[1] = control[3][1];
        }
        tw_line_add(line, at[0], at[1]);
    }
}

void tw_line_smooth(tw_line *line, const double (*points)[2], size_t count, bool closed)
{
    const size_t spans = closed ? count : count - 1;

    tw_line_add(line, points[0][0], points[0][1]);
    for (size_t k = 0; k < spans; k++) {
        const double *b = points[k], *c = points[(k + 1) % count];
        /* an open line goes on past its ends by the end span turned round */
        const double before[2] = {2 * b[0] - c[0], 2 * b[1] - c[1]};
        const double after[2] = {2 * c[0] - b[0], 2 * c[1] - b[1]};
        const double *a = closed || k > 0 ? points[(k + count - 1) % count] : before;
        const double *d = closed || k + 1 < spans ? points[(k + 2) % count] : after;
        double control[4][2];
        span_controls(a, b, c, d, control);
        add_span(line, control);
    }
}

/* An arc between two tangent points about `centre`, turning by `turn`. The points between lie on a
 * radius r' such that the fan of triangles has the area of the sector:
 * r·r'·sin δ + (m − 2)/2·r'²·sin δ = r²·|turn|/2 for m pieces of δ = |turn|/m (derived here). */
static void add_arc(tw_line *line, const double centre[2], const double from[2], double radius,
                    double turn)
{
    const double size = fabs(turn);
    const size_t pieces = (size_t)fmin(fmax(ceil(size / sqrt(8 * TW_CHORD / radius)), 2), 4096);
    const double step = turn / (double)pieces, s = sin(fabs(step));
    const double square = 0.5 * (double)(pieces - 2) * s, single = radius * s;
    const double area = 0.5 * radius * radius * size;
    const double inner = 2 * area / (single + sqrt(single * single + 4 * square * area)) / radius;
    const double x = from[0] - centre[0], y = from[1] - centre[1];

    add_distinct(line, from[0], from[1]);
    for (size_t n = 1; n <= pieces; n++) {
        const double c = cos((double)n * step), sn = sin((double)n * step);
        const double out = n < pieces ? inner : 1;
        tw_line_add(line, centre[0] + out * (c * x - sn * y), centre[1] + out * (sn * x + c * y));
    }
}

/* How much of both sides an arc of radius 1 takes at a corner: tan(turn/2). */
static double corner_turn(const double a[2], const double b[2], const double c[2])
{
    const double x0 = b[0] - a[0], y0 = b[1] - a[1], x1 = c[0] - b[0], y1 = c[1] - b[1];

    return atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1);
}

size_t tw_line_rounded(tw_line *line, const double (*points)[2], size_t count, bool closed,
                       double radius)
{
    const size_t first = closed ? 0 : 1, last = closed ? count : count - 1;
    double *taken = tw_arena_array(line->arena, count, sizeof *taken);

    if (!taken) {
        line->failed = true;
        return SIZE_MAX;
    }
    for (size_t k = first; k < last; k++)
        taken[k] = radius * fabs(tan(0.5 * corner_turn(points[(k + count - 1) % count], points[k],
                                                       points[(k + 1) % count])));
    for (size_t k = 0; k < (closed ? count : count - 1); k++) {
        const size_t n = (k + 1) % count;
        const double side = hypot(points[n][0] - points[k][0], points[n][1] - points[k][1]);
        if (taken[k] + taken[n] > side * (1 + 1e-9))
            return taken[k] > taken[n] ? k : n;
    }
    if (!closed)
        tw_line_add(line, points[0][0], points[0][1]);
    for (size_t k = first; k < last; k++) {
        const double *a = points[(k + count - 1) % count], *b = points[k];
        const double turn = corner_turn(a, b, points[(k + 1) % count]);
        const double side = hypot(b[0] - a[0], b[1] - a[1]);
        const double x = (b[0] - a[0]) / side, y = (b[1] - a[1]) / side;
        const double from[2] = {b[0] - taken[k] * x, b[1] - taken[k] * y};
        const double left = turn > 0 ? radius : -radius;
        const double centre[2] = {from[0] - left * y, from[1] + left * x};
        if (fabs(turn) < 1e-9)
            add_distinct(line, b[0], b[1]);
        else
            add_arc(line, centre, from, radius, turn);
    }
    if (line->failed)
        return SIZE_MAX;
    if (!closed) {
        add_distinct(line, points[count - 1][0], points[count - 1][1]);
        memcpy(line->at[line->count - 1], points[count - 1], sizeof *line->at);
    } else {
        add_distinct(line, line->at[0][0], line->at[0][1]);
        memcpy(line->at[line->count - 1], line->at[0], sizeof *line->at);
    }
    return SIZE_MAX;
}

/* n points on an ellipse enclose sin(2π/n)/(2π/n) of its area; both half sizes are stretched by the
 * root of the inverse. */
void tw_line_ellipse(tw_line *line, const double centre[2], const double first[2],
                     const double second[2])
{
    const double size = fmax(hypot(first[0], first[1]), hypot(second[0], second[1]));
    const size_t quarter =
        (size_t)fmin(fmax(ceil(0.5 * TW_PI / sqrt(8 * TW_CHORD / size)), 4), 4096);
    const size_t count = 4 * quarter;
    const double step = 2 * TW_PI / (double)count, stretch = sqrt(step / sin(step));

    for (size_t n = 0; n <= count; n++) {
        /* by quarters, so that mirrored points have mirrored bits */
        const size_t turn = (n % count) / quarter, rest = (n % count) % quarter;
        const double p = cos((double)rest * step),
                     q = rest ? cos((double)(quarter - rest) * step) : 0;
        const double c = stretch * (turn == 0 ? p : turn == 1 ? -q : turn == 2 ? -p : q);
        const double s = stretch * (turn == 0 ? q : turn == 1 ? p : turn == 2 ? -q : -p);
        tw_line_add(line, centre[0] + c * first[0] + s * second[0],
                    centre[1] + c * first[1] + s * second[1]);
    }
}
