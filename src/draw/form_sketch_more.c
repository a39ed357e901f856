/*
 * form_sketch_more.c: sketches of the cards of flat plates, of plates by paper and scale, by points, and of
 * gauge readings.
 */
#include "form_card.h"

#include <math.h>

static void axis(tw_canvas *canvas, double from_x, double from_y, double to_x, double to_y)
{
    tw_sketch_arrow(canvas, (double[2]){from_x, from_y}, (double[2]){to_x, to_y}, false);
}

/* ---- flat ------------------------------------------------------------------------------------------------- */

void tw_sketch_flat(tw_canvas *canvas, double x, double y, double width, double height)
{
    const double middle = x + 0.27 * width, half = 0.2 * width, tall = 0.5 * height - 50;
    const double up = y + 0.5 * height - 36, plate = x + 0.77 * width, foot = y + height - 84;
    const double corner[5][2] = {{-0.16, 0}, {0.16, 0}, {0.21, 0.62}, {0.1, 0.8}, {-0.2, 0.66}};
    cairo_t *cairo = canvas->cairo;

    /* an ellipse about a point, by its half sizes */
    cairo_save(cairo);
    cairo_translate(cairo, middle, up);
    cairo_scale(cairo, half, tall);
    cairo_arc(cairo, 0, 0, 1, 0, 2 * TW_PI);
    cairo_restore(cairo);
    cairo_set_source_rgb(cairo, 0.95, 0.95, 0.95);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 5, 0, 1);
    axis(canvas, middle, up, middle + half - 3, up);
    axis(canvas, middle, up, middle, up - tall + 3);
    tw_sketch_dot(canvas, middle, up);
    tw_sketch_words(canvas, "middle", middle - 12, up + 20, TW_RIGHT);
    tw_sketch_name(canvas, "half its\nwidth", middle + half * 0.55, up + 38, TW_CENTRE);
    tw_sketch_name(canvas, "half its\nheight", middle - 12, up - 0.5 * tall, TW_RIGHT);
    tw_sketch_words(canvas, "an ellipse or a rectangle", middle, y + height - 20, TW_CENTRE);
    /* another by its edges */
    for (int k = 0; k < 5; k++)
        cairo_line_to(cairo, plate + corner[k][0] * width, foot - corner[k][1] * height);
    cairo_close_path(cairo);
    cairo_set_source_rgb(cairo, 0.95, 0.95, 0.95);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 5, 0, 1);
    axis(canvas, plate, foot, plate, foot - 0.84 * height + 40);
    axis(canvas, plate, foot, plate + 0.22 * width, foot);
    tw_sketch_name(canvas, "up", plate + 14, foot - 0.84 * height + 50, TW_LEFT);
    tw_sketch_name(canvas, "across", plate + 0.22 * width, foot + 34, TW_RIGHT);
    tw_sketch_words(canvas, "0", plate - 10, foot + 20, TW_RIGHT);
    for (int k = 0; k < 5; k++)
        tw_sketch_number(canvas, k + 1, plate + corner[k][0] * width, foot - corner[k][1] * height);
    tw_sketch_words(canvas, "any other: points round it", plate, y + height - 20, TW_CENTRE);
}

/* ---- paper ------------------------------------------------------------------------------------------------- */

/* A kitchen scale with what it shows. */
static void scale(tw_canvas *canvas, double x, double bench, double wide, const char *shows)
{
    const double top = bench - 62;
    const tw_lettering letters = {.size = 30, .bold = true, .align = TW_CENTRE};
    double width, height;

    cairo_rectangle(canvas->cairo, x - wide / 2, top, wide, 62);
    tw_pen_stroke(canvas, 4, 0, 1);
    cairo_rectangle(canvas->cairo, x - wide * 0.6, top - 14, wide * 1.2, 14);
    tw_pen_stroke(canvas, 3, 0, 1);
    cairo_rectangle(canvas->cairo, x - wide * 0.3, top + 10, wide * 0.6, 42);
    tw_pen_stroke(canvas, 2, 0.3, 1);
    tw_text_size(canvas, shows, &letters, &width, &height);
    tw_text_draw(canvas, shows, &letters, x, top + 31 - height / 2);
}

/* A shield of a plate in its plan: pieces of paper laid edge to edge over it. */
static void tasset(cairo_t *cairo, double x, double y, double wide, double tall)
{
    cairo_move_to(cairo, x - wide / 2, y - tall / 2);
    cairo_line_to(cairo, x + wide / 2, y - tall / 2);
    cairo_curve_to(cairo, x + wide * 0.5, y + tall * 0.1, x + wide * 0.4, y + tall * 0.4, x,
                   y + tall / 2);
    cairo_curve_to(cairo, x - wide * 0.4, y + tall * 0.4, x - wide * 0.5, y + tall * 0.1,
                   x - wide / 2, y - tall / 2);
    cairo_close_path(cairo);
}

void tw_sketch_paper(tw_canvas *canvas, double x, double y, double width, double height)
{
    const double bench = y + height - 66, each = width / 4, tall = height - 110;
    const double words = y + height - 24;
    cairo_t *cairo = canvas->cairo;
    double at = x + each / 2;

    tw_sketch_line(canvas, (double[2]){x, bench}, (double[2]){x + width, bench}, 3, 0.2);
    /* 1 wrapped: paper stands out over the edge */
    cairo_rectangle(cairo, at - 0.36 * each, bench - 22 - tall, 0.36 * each, tall);
    tw_pen_stroke(canvas, 2, 0.3, 1);
    cairo_rectangle(cairo, at, bench - 30 - 0.96 * tall, 0.34 * each, 0.96 * tall);
    tw_pen_stroke(canvas, 2, 0.3, 1);
    tasset(cairo, at, bench - 24 - tall / 2, 0.58 * each, 0.86 * tall);
    tw_pen_stroke(canvas, 5, 0, 1);
    tw_sketch_number(canvas, 1, at - 0.42 * each, y + 26);
    tw_sketch_words(canvas, "paper, edge to edge", at, words, TW_CENTRE);
    at += each;
    /* 2 trimmed */
    tasset(cairo, at, bench - 24 - tall / 2, 0.58 * each, 0.86 * tall);
    cairo_set_source_rgb(cairo, 0.95, 0.95, 0.95);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 4, 0, 1);
    tw_sketch_dashed(canvas, (double[2]){at, bench - 24 - 0.93 * tall},
                     (double[2]){at, bench - 24 - 0.08 * tall});
    tw_sketch_number(canvas, 2, at - 0.42 * each, y + 26);
    tw_sketch_words(canvas, "trimmed to the plate's edge", at, words, TW_CENTRE);
    at += each;
    /* 3 the paper on a scale */
    scale(canvas, at, bench, 0.5 * each, "4.2 g");
    for (int k = 0; k < 3; k++) {
        cairo_move_to(cairo, at - 0.2 * each, bench - 78 - 12 * k);
        cairo_rel_curve_to(cairo, 0.1 * each, -16, 0.2 * each, 8, 0.4 * each, -4);
    }
    tw_pen_stroke(canvas, 3, 0, 1);
    tw_sketch_number(canvas, 3, at - 0.42 * each, y + 26);
    tw_sketch_words(canvas, "all of the paper", at, words, TW_CENTRE);
    at += each;
    /* 4 the plate on a scale */
    scale(canvas, at, bench, 0.5 * each, "655 g");
    tasset(cairo, at, bench - 80 - 0.3 * tall, 0.4 * each, 0.56 * tall);
    cairo_set_source_rgb(cairo, 0.72, 0.72, 0.72);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 5, 0, 1);
    tw_sketch_number(canvas, 4, at - 0.42 * each, y + 26);
    tw_sketch_words(canvas, "the plate alone", at, words, TW_CENTRE);
}

/* ---- points ------------------------------------------------------------------------------------------------- */

static void hump(double across, double up, double place[3])
{
    place[0] = 66 * across * (1 - 0.12 * up * up);
    place[1] = 62 * up;
    place[2] = 50 * (1 - across * across) * (1 - 0.35 * up * up) + 5 * (1 - up * up);
}

void tw_sketch_points(tw_canvas *canvas, double x, double y, double width, double height)
{
    static const double low[2] = {-100, -84}, high[2] = {110, 84};
    const double places[][3] = {{low[0], low[1], 0},  {high[0], low[1], 0}, {high[0], high[1], 0},
                                {low[0], high[1], 0}, {0, 62, 40},          {-88, -76, 60}};
    const double start[3] = {-88, -76, 0};
    const double ends[3][3] = {{-36, -76, 0}, {-88, -10, 0}, {-88, -76, 48}};
    const char *const names[] = {"x", "y", "z"};
    tw_sketch_view view = {.turn = 0.35, .tilt = 0.9};
    double from[2], to[2], at[3];

    tw_sketch_fit(&view, places, sizeof places / sizeof *places, x, y + 14, width, height - 28);
    tw_sketch_bench(canvas, &view, low, high);
    tw_sketch_paint(canvas, &view, hump);
    for (int row = 0; row < 4; row++) {
        const double up = -1 + 2.0 * row / 3;
        tw_sketch_over(canvas, &view, hump, (double[2]){-1, up}, (double[2]){1, up}, 2, 0);
        for (int k = 0; k < 5; k++) {
            hump(-1 + k * 0.5, up, at);
            tw_sketch_at(&view, at, to);
            tw_sketch_dot(canvas, to[0], to[1]);
        }
    }
    hump(1, -1.0 / 3, at);
    tw_sketch_at(&view, at, to);
    tw_sketch_words(canvas, "a row of equal y", to[0] + 20, to[1] + 14, TW_LEFT);
    tw_sketch_at(&view, start, from);
    for (int k = 0; k < 3; k++) {
        tw_sketch_at(&view, ends[k], to);
        tw_sketch_arrow(canvas, from, to, false);
        tw_sketch_name(canvas, names[k], to[0] + (k == 0 ? 14 : 0), to[1] + (k == 0 ? 8 : -20),
                       k == 0 ? TW_LEFT : TW_CENTRE);
    }
    tw_sketch_words(canvas, "bench: z = 0", from[0] - 10, from[1] + 62, TW_LEFT);
}

/* ---- readings ----------------------------------------------------------------------------------------------- */

static void breast(cairo_t *cairo, double x, double y, double wide, double tall)
{
    const double half = wide / 2;

    cairo_move_to(cairo, x - 0.7 * half, y);
    cairo_curve_to(cairo, x - 0.9 * half, y - 0.2 * tall, x - half, y - 0.35 * tall, x - half,
                   y - 0.5 * tall);
    cairo_curve_to(cairo, x - 0.7 * half, y - 0.62 * tall, x - 0.6 * half, y - 0.8 * tall,
                   x - 0.56 * half, y - tall);
    cairo_curve_to(cairo, x - 0.3 * half, y - 0.93 * tall, x + 0.3 * half, y - 0.93 * tall,
                   x + 0.56 * half, y - tall);
    cairo_curve_to(cairo, x + 0.6 * half, y - 0.8 * tall, x + 0.7 * half, y - 0.62 * tall, x + half,
                   y - 0.5 * tall);
    cairo_curve_to(cairo, x + half, y - 0.35 * tall, x + 0.9 * half, y - 0.2 * tall, x + 0.7 * half,
                   y);
    cairo_curve_to(cairo, x + 0.3 * half, y - 0.03 * tall, x - 0.3 * half, y - 0.03 * tall,
                   x - 0.7 * half, y);
    cairo_close_path(cairo);
}

void tw_sketch_readings(tw_canvas *canvas, double x, double y, double width, double height)
{
    static const double points[][2] = {{0.1, 0.76}, {0.68, 0.52}, {-0.55, 0.42}, {-0.3, 0.2}};
    const double foot = y + height - 40, tall = height - 60, middle = x + 0.26 * width;
    const double half = 0.25 * width, bowl = x + 0.78 * width,
                 radius = fmin(0.19 * width, 0.4 * height);
    const double up = y + 0.5 * height + 6;
    cairo_t *cairo = canvas->cairo;
    double to[2];

    breast(cairo, middle, foot, 2 * half, tall);
    cairo_set_source_rgb(cairo, 0.95, 0.95, 0.95);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 4, 0, 1);
    to[0] = middle + points[1][0] * half;
    to[1] = foot - points[1][1] * tall;
    tw_sketch_arrow(canvas, (double[2]){middle, foot - 4}, (double[2]){middle, to[1]}, false);
    tw_sketch_arrow(canvas, (double[2]){middle, to[1]}, (double[2]){to[0] - 18, to[1]}, false);
    for (int k = 0; k < 4; k++)
        tw_sketch_number(canvas, k + 1, middle + points[k][0] * half, foot - points[k][1] * tall);
    tw_sketch_name(canvas, "up", middle + 10, foot - 0.2 * tall, TW_LEFT);
    tw_sketch_name(canvas, "across", middle + 0.28 * half, to[1] + 24, TW_CENTRE);
    tw_sketch_words(canvas, "0 at the centre line", middle, foot + 22, TW_CENTRE);
    /* a bowl: from the crown, toward a bearing */
    cairo_arc(cairo, bowl, up, radius, 0, 2 * TW_PI);
    cairo_set_source_rgb(cairo, 0.95, 0.95, 0.95);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, 4, 0, 1);
    tw_sketch_dashed(canvas, (double[2]){bowl, up}, (double[2]){bowl, up - radius});
    to[0] = bowl + 0.72 * radius * sin(1.1);
    to[1] = up - 0.72 * radius * cos(1.1);
    tw_sketch_arrow(canvas, (double[2]){bowl, up}, (double[2]){to[0] - 14, to[1] + 8}, false);
    cairo_arc(cairo, bowl, up, 0.38 * radius, -TW_PI / 2, -TW_PI / 2 + 1.0);
    tw_pen_stroke(canvas, 2, 0, 1);
    tw_sketch_head(canvas,
                   (double[2]){bowl + 0.38 * radius * sin(1.05), up - 0.38 * radius * cos(1.05)},
                   (double[2]){cos(1.05), sin(1.05)});
    tw_sketch_number(canvas, 1, to[0], to[1]);
    tw_sketch_dot(canvas, bowl, up);
    tw_sketch_words(canvas, "crown", bowl - 12, up, TW_RIGHT);
    tw_sketch_name(canvas, "from crown", bowl, up + 0.42 * radius, TW_CENTRE);
    tw_sketch_name(canvas, "toward", bowl + 6, up - 0.66 * radius, TW_LEFT);
    tw_sketch_words(canvas, "0°", bowl, up - radius - 16, TW_CENTRE);
}
