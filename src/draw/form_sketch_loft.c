/*
 * form_sketch_loft.c: a plate on the bench with its stations, and one station seen along the ruler: what each
 * box of the card means. The plate is no one's: half-width, centre and sides by formulas.
 */
#include "form_card.h"

#include <math.h>

/* ---- the plate on the bench ---------------------------------------------------------------------------- */

static const double LONG = 380;

static double half_width(double s)
{
    return 142 + 42 * sin(TW_PI * fmin(1, s * 1.02)) - 8 * s;
}

static double centre(double s)
{
    return 84 + 50 * sin(TW_PI * s);
}

static double sides(double s)
{
    return s < 0.55 ? 0 : 34 * (s - 0.55) / 0.45;
}

/* A circular arc through sides and centre, level at the centre. */
static void loft(double across, double up, double place[3])
{
    const double s = (1 + up) / 2, half = half_width(s), rise = centre(s) - sides(s);
    const double radius = (half * half + rise * rise) / (2 * rise);
    const double angle = across * (rise < half ? asin(half / radius) : TW_PI / 2);

    place[0] = radius * sin(angle);
    place[1] = LONG * s;
    place[2] = centre(s) - radius * (1 - cos(angle));
}

static void on_bench(const tw_sketch_view *view, double x, double y, double page[2])
{
    const double place[3] = {x, y, 0};

    tw_sketch_at(view, place, page);
}

/* A wedge under the raised end, on the side that is seen. */
static void draw_wedge(tw_canvas *canvas, const tw_sketch_view *view)
{
    const double s = 0.93, x = half_width(s), y = LONG * s;
    const double corners[4][3] = {
        {x + 26, y, 0}, {x - 30, y, 0}, {x - 8, y, sides(s)}, {x, y, sides(s)}};
    double page[2];

    for (int k = 0; k < 4; k++) {
        tw_sketch_at(view, corners[k], page);
        cairo_line_to(canvas->cairo, page[0], page[1]);
    }
    cairo_close_path(canvas->cairo);
    cairo_set_source_rgb(canvas->cairo, 0.55, 0.55, 0.55);
    cairo_fill_preserve(canvas->cairo);
    tw_pen_stroke(canvas, 2, 0, 1);
}

/* A line of tape over the face, with a head at its end. */
static void tape_arrow(tw_canvas *canvas, const tw_sketch_view *view, const double from[2],
                       const double to[2])
{
    const double back = 0.06;
    double at[3], near[2], end[2], along[2];

    tw_sketch_over(canvas, view, loft, from, to, 6, 0);
    loft(to[0] - back * (to[0] - from[0]), to[1] - back * (to[1] - from[1]), at);
    tw_sketch_at(view, at, near);
    loft(to[0], to[1], at);
    tw_sketch_at(view, at, end);
    along[0] = end[0] - near[0];
    along[1] = end[1] - near[1];
    end[0] += 0.6 * along[0];
    end[1] += 0.6 * along[1];
    tw_sketch_head(canvas, end, along);
}

void tw_sketch_loft(tw_canvas *canvas, double x, double y, double width, double height)
{
    enum { STATIONS = 5 };
    static const double low[2] = {-190, -30}, high[2] = {262, 400};
    const double places[][3] = {{low[0], low[1], 0},  {high[0], low[1], 0}, {high[0], high[1], 0},
                                {low[0], high[1], 0}, {0, 190, 134},        {0, 380, 84},
                                {-150, 330, 60}};
    tw_sketch_view view = {.turn = 0.62, .tilt = 0.42};
    double from[2], to[2], at[3];

    tw_sketch_fit(&view, places, sizeof places / sizeof *places, x, y + 10, width, height - 20);
    tw_sketch_bench(canvas, &view, low, high);
    on_bench(&view, 214, 0, from);
    on_bench(&view, 214, LONG + 10, to);
    tw_sketch_ruler(canvas, from, to, -16, view.scale * 19);
    draw_wedge(canvas, &view);
    tw_sketch_paint(canvas, &view, loft);
    for (int k = 0; k < STATIONS; k++) {
        const double up = -1 + 2.0 * k / (STATIONS - 1);
        const double left[2] = {-1, up}, right[2] = {1, up};
        tw_sketch_over(canvas, &view, loft, left, right, 2, 0);
        loft(1, up, at);
        on_bench(&view, at[0] + 6, at[1], from);
        on_bench(&view, 212, at[1], to);
        tw_sketch_dashed(canvas, from, to);
        loft(0.82, up, at);
        tw_sketch_at(&view, at, from);
        tw_sketch_number(canvas, k + 1, from[0], from[1]);
    }
    tape_arrow(canvas, &view, (double[2]){0, -1}, (double[2]){0, 0.6});
    tape_arrow(canvas, &view, (double[2]){0, 0}, (double[2]){0.6, 0});
    loft(0.2, 0.2, at);
    tw_sketch_at(&view, at, to);
    tw_sketch_name(canvas, "up", to[0], to[1], TW_LEFT);
    loft(0.34, -0.24, at);
    tw_sketch_at(&view, at, to);
    tw_sketch_name(canvas, "across", to[0], to[1], TW_CENTRE);
    on_bench(&view, 236, 100, to);
    tw_sketch_name(canvas, "ruler", to[0] + 16, to[1] + 14, TW_LEFT);
    on_bench(&view, 214, 0, to);
    tw_sketch_words(canvas, "its zero at station 1", to[0] + 56, to[1] + 26, TW_LEFT);
    on_bench(&view, 200, LONG * 0.93, to);
    tw_sketch_words(canvas, "wedge", to[0] - 24, to[1] - 69, TW_LEFT);
    on_bench(&view, low[0], low[1], to);
    tw_sketch_words(canvas, "bench", to[0] + 40, to[1] + 34, TW_RIGHT);
}

/* ---- one station, seen along the ruler -------------------------------------------------------------------- */

typedef struct arch {
    double x, y, half, rise, radius, angle; /* of the outside: middle of its foot, on the page */
} arch;

static void arch_at(const arch *a, double share, double off, double page[2])
{
    const double turn = share * a->angle;

    page[0] = a->x + (a->radius + off) * sin(turn);
    page[1] = a->y - a->rise + a->radius - (a->radius + off) * cos(turn);
}

static void arch_line(tw_canvas *canvas, const arch *a, double from, double to, double off,
                      double width)
{
    for (int k = 0; k <= 60; k++) {
        double page[2];
        arch_at(a, from + (to - from) * k / 60, off, page);
        cairo_line_to(canvas->cairo, page[0], page[1]);
    }
    tw_pen_stroke(canvas, width, 0, 1);
}

static void draw_tape(tw_canvas *canvas, const arch *a)
{
    static const double dashes[] = {12, 6};
    double from[2], to[2], along[2];

    cairo_set_dash(canvas->cairo, dashes, 2, 0);
    arch_line(canvas, a, -1, 1, 17, 3);
    cairo_set_dash(canvas->cairo, NULL, 0, 0);
    for (int side = -1; side <= 1; side += 2) {
        arch_at(a, 0.97 * side, 17, from);
        arch_at(a, side, 17, to);
        along[0] = to[0] - from[0];
        along[1] = to[1] - from[1];
        tw_sketch_head(canvas, to, along);
    }
    arch_at(a, 0.52, 34, to);
    tw_sketch_name(canvas, "tape over it", to[0] + 8, to[1] - 14, TW_LEFT);
}

void tw_sketch_section(tw_canvas *canvas, double x, double y, double width, double height)
{
    const double bench = y + height - 78, lift = 40;
    arch a = {.x = x + 0.5 * width, .y = bench - lift, .half = 0.285 * width};
    double from[2], to[2], left[2], right[2];
    const double ruler = x + 0.13 * width;

    a.rise = fmin(bench - lift - y - 48, 0.9 * a.half);
    a.radius = (a.half * a.half + a.rise * a.rise) / (2 * a.rise);
    a.angle = asin(a.half / a.radius);
    tw_sketch_line(canvas, (double[2]){x, bench}, (double[2]){x + width, bench}, 4, 0.1);
    arch_line(canvas, &a, -1, 1, 0, 5);
    arch_line(canvas, &a, -1, 1, -10, 2);
    arch_at(&a, -1, 0, left);
    arch_at(&a, 1, 0, right);
    for (int side = -1; side <= 1; side += 2) { /* rolls, then wedges under them */
        const double end_x = side < 0 ? left[0] + 4 : right[0] - 4;
        cairo_arc(canvas->cairo, end_x, left[1] + 11, 11, 0, 2 * TW_PI);
        tw_pen_stroke(canvas, 4, 0, 1);
        cairo_move_to(canvas->cairo, end_x - side * 30, bench);
        cairo_rel_line_to(canvas->cairo, side * 60, 0);
        cairo_rel_line_to(canvas->cairo, 0, -lift + 24);
        cairo_close_path(canvas->cairo);
        cairo_set_source_rgb(canvas->cairo, 0.55, 0.55, 0.55);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 2, 0, 1);
    }
    draw_tape(canvas, &a);
    /* straightedge over the crown, to a ruler that stands on the bench */
    arch_at(&a, 0, 17, to);
    tw_sketch_ruler(canvas, (double[2]){ruler, bench}, (double[2]){ruler, y + 6}, 22, 20);
    tw_sketch_ruler(canvas, (double[2]){ruler + 4, a.y - a.rise - 20},
                    (double[2]){a.x + 0.5 * a.half, a.y - a.rise - 20}, 12, 0);
    tw_sketch_words(canvas, "straightedge, level", a.x + 0.5 * a.half + 10, a.y - a.rise - 28,
                    TW_LEFT);
    tw_sketch_words(canvas, "read at\neye level", ruler - 32, a.y - a.rise - 18, TW_RIGHT);
    tw_sketch_words(canvas, "ruler,\nzero on\nbench", ruler - 32, bench - 70, TW_RIGHT);
    /* centre: from the bench to the crown */
    tw_sketch_arrow(canvas, (double[2]){a.x, bench - 2}, (double[2]){a.x, a.y - a.rise + 2}, true);
    tw_sketch_name(canvas, "centre", a.x + 10, a.y - a.rise * 0.45, TW_LEFT);
    /* sides: from the bench to where the roll begins */
    from[0] = to[0] = right[0] + 88;
    from[1] = bench - 2;
    to[1] = right[1];
    tw_sketch_dashed(canvas, (double[2]){right[0] + 10, right[1]},
                     (double[2]){to[0] + 10, right[1]});
    tw_sketch_arrow(canvas, from, to, true);
    tw_sketch_name(canvas, "sides", to[0] + 12, (from[1] + to[1]) / 2, TW_LEFT);
    tw_sketch_words(canvas, "to where the\nroll begins", to[0] - 46, right[1] - 34, TW_LEFT);
    /* width: below the bench */
    tw_sketch_dashed(canvas, (double[2]){left[0], left[1] + 26}, (double[2]){left[0], bench + 42});
    tw_sketch_dashed(canvas, (double[2]){right[0], left[1] + 26},
                     (double[2]){right[0], bench + 42});
    tw_sketch_arrow(canvas, (double[2]){left[0], bench + 32}, (double[2]){right[0], bench + 32},
                    true);
    tw_sketch_name(canvas, "width", a.x, bench + 54, TW_CENTRE);
    tw_sketch_words(canvas, "a station, seen along the ruler", x + width, bench + 54, TW_RIGHT);
}
