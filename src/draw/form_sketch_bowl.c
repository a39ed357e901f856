/*
 * form_sketch_bowl.c: a bowl rim down on the bench with its crown, tapes and bearings; and how its depth is read,
 * either way up.
 */
#include "form_card.h"

#include <math.h>

static const double ACROSS = 95, UP = 118, DEPTH = 100;

/* Half an egg: across is the bearing in half turns, up the run from crown (−1) to rim (1). */
static void bowl(double across, double up, double place[3])
{
    const double polar = (1 + up) / 2 * TW_PI / 2, bearing = across * TW_PI;

    place[0] = ACROSS * sin(polar) * sin(bearing);
    place[1] = UP * sin(polar) * cos(bearing);
    place[2] = DEPTH * cos(polar);
}

/* A line over the crown from rim to rim toward a bearing, in half turns. */
static void over(tw_canvas *canvas, const tw_sketch_view *view, double bearing, double width)
{
    const double rim[2] = {bearing, 1}, crown[2] = {bearing, -1};
    const double other[2] = {bearing - 1, 1}, top[2] = {bearing - 1, -1};

    tw_sketch_over(canvas, view, bowl, rim, crown, width, 0);
    tw_sketch_over(canvas, view, bowl, other, top, width, 0);
}

static void place_of(const tw_sketch_view *view, double bearing, double up, double page[2])
{
    double place[3];

    bowl(bearing, up, place);
    tw_sketch_at(view, place, page);
}

/* A bearing's name, beside the rim on the bench. */
static void name_bearing(tw_canvas *canvas, const tw_sketch_view *view, double bearing, double out,
                         const char *words, tw_align align)
{
    const double place[3] = {out * ACROSS * sin(bearing * TW_PI), out * UP * cos(bearing * TW_PI),
                             0};
    double page[2];

    tw_sketch_at(view, place, page);
    tw_sketch_words(canvas, words, page[0], page[1], align);
}

/* So far from the crown, toward so much from up: to a place. */
static void draw_place(tw_canvas *canvas, const tw_sketch_view *view)
{
    static const double BEARING = 0.66, FAR = 0.25, ARC = -0.5;
    double page[2], near[2], along[2];

    tw_sketch_over(canvas, view, bowl, (double[2]){BEARING, -1}, (double[2]){BEARING, FAR}, 3, 0);
    tw_sketch_over(canvas, view, bowl, (double[2]){0, ARC}, (double[2]){BEARING, ARC}, 2, 0);
    place_of(view, BEARING - 0.04, ARC, near);
    place_of(view, BEARING, ARC, page);
    along[0] = page[0] - near[0];
    along[1] = page[1] - near[1];
    tw_sketch_head(canvas, page, along);
    place_of(view, BEARING, FAR, page);
    tw_sketch_dot(canvas, page[0], page[1]);
    tw_sketch_words(canvas, "a place", page[0] + 2, page[1] + 24, TW_CENTRE);
    place_of(view, BEARING, -0.2, page);
    tw_sketch_name(canvas, "from crown", page[0] - 10, page[1] + 2, TW_RIGHT);
    place_of(view, 0.34, ARC, page);
    tw_sketch_name(canvas, "toward", page[0] + 10, page[1] - 6, TW_LEFT);
}

void tw_sketch_bowl(tw_canvas *canvas, double x, double y, double width, double height)
{
    static const double low[2] = {-122, -138}, high[2] = {122, 138};
    const double places[][3] = {{low[0], low[1], 0},  {high[0], low[1], 0}, {high[0], high[1], 0},
                                {low[0], high[1], 0}, {0, 40, DEPTH},       {-60, 60, 80}};
    tw_sketch_view view = {.turn = 0.3, .tilt = 0.85};
    double page[2];

    tw_sketch_fit(&view, places, sizeof places / sizeof *places, x, y + 6, width, height - 12);
    tw_sketch_bench(canvas, &view, low, high);
    tw_sketch_paint(canvas, &view, bowl);
    over(canvas, &view, 0.5, 5);
    over(canvas, &view, 0, 5);
    draw_place(canvas, &view);
    place_of(&view, 0, -1, page);
    tw_sketch_dot(canvas, page[0], page[1]);
    tw_sketch_words(canvas, "crown", page[0] - 12, page[1] - 18, TW_RIGHT);
    place_of(&view, -0.5, 0.1, page);
    tw_sketch_words(canvas, "tape across", page[0] + 6, page[1] + 24, TW_CENTRE);
    place_of(&view, 1, 0.4, page);
    tw_sketch_words(canvas, "tape up", page[0] - 10, page[1], TW_RIGHT);
    name_bearing(canvas, &view, 0, 1.4, "up: 0°", TW_CENTRE);
    name_bearing(canvas, &view, 0.5, 1.2, "90°", TW_LEFT);
    name_bearing(canvas, &view, 1, 1.25, "180°", TW_CENTRE);
    name_bearing(canvas, &view, -0.5, 1.2, "270°", TW_RIGHT);
}

/* ---- depth ----------------------------------------------------------------------------------------------- */

/* Half an ellipse about a place, open down (way −1) or up (way 1), with its thickness. */
static void shell(tw_canvas *canvas, double x, double y, double half, double depth, double way)
{
    for (int inside = 0; inside < 2; inside++) {
        for (int k = 0; k <= 60; k++) {
            const double angle = TW_PI * k / 60, off = inside * 11;
            cairo_line_to(canvas->cairo, x + (half - off) * cos(angle),
                          y + way * (depth - off) * sin(angle));
        }
        tw_pen_stroke(canvas, inside ? 2 : 5, 0, 1);
    }
    for (int side = -1; side <= 1; side += 2)
        tw_sketch_line(canvas, (double[2]){x + side * half, y},
                       (double[2]){x + side * (half - 11), y}, 3, 0);
}

void tw_sketch_depth(tw_canvas *canvas, double x, double y, double width, double height)
{
    const double half = 0.18 * width, depth = fmin(1.3 * half, height - 230);
    const double bench = y + height - 96 - (height - depth - 226) / 2, high = bench - depth - 130;
    const double one = x + half + 90, two = x + width - 1.22 * half, ruler = one - half - 56;

    tw_sketch_line(canvas, (double[2]){x, bench}, (double[2]){x + width, bench}, 4, 0.1);
    /* rim down: outside */
    shell(canvas, one, bench - 4, half, depth, -1);
    tw_sketch_ruler(canvas, (double[2]){ruler, bench}, (double[2]){ruler, high}, 22, 20);
    tw_sketch_ruler(canvas, (double[2]){ruler + 4, bench - depth - 8},
                    (double[2]){one + 0.5 * half, bench - depth - 8}, 12, 0);
    tw_sketch_words(canvas, "straightedge, level", one - 0.9 * half, bench - depth - 42, TW_LEFT);
    tw_sketch_arrow(canvas, (double[2]){one, bench - 2}, (double[2]){one, bench - depth - 2}, true);
    tw_sketch_name(canvas, "depth", one + 12, bench - 0.45 * depth, TW_LEFT);
    tw_sketch_arrow(canvas, (double[2]){one, bench + 22}, (double[2]){one + half, bench + 22},
                    true);
    tw_sketch_dashed(canvas, (double[2]){one, bench + 4}, (double[2]){one, bench + 32});
    tw_sketch_dashed(canvas, (double[2]){one + half, bench + 4},
                     (double[2]){one + half, bench + 32});
    tw_sketch_name(canvas, "half the rim", one + 0.5 * half, bench + 46, TW_CENTRE);
    tw_sketch_words(canvas, "rim down: outside", one, bench + 80, TW_CENTRE);
    /* rim up: inside */
    shell(canvas, two, bench - depth - 16, half, depth, 1);
    for (int side = -1; side <= 1; side += 2) { /* wedges */
        cairo_move_to(canvas->cairo, two + side * 0.38 * half, bench);
        cairo_rel_line_to(canvas->cairo, side * 0.6 * half, 0);
        cairo_rel_line_to(canvas->cairo, 0, -0.38 * depth);
        cairo_close_path(canvas->cairo);
        cairo_set_source_rgb(canvas->cairo, 0.55, 0.55, 0.55);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 2, 0, 1);
    }
    tw_sketch_ruler(canvas, (double[2]){two - 1.2 * half, bench - depth - 18},
                    (double[2]){two + 1.2 * half, bench - depth - 18}, 12, 0);
    tw_sketch_ruler(canvas, (double[2]){two - 10, bench - 29}, (double[2]){two - 10, high}, 22, 20);
    tw_sketch_arrow(canvas, (double[2]){two + 14, bench - 30},
                    (double[2]){two + 14, bench - depth - 16}, true);
    tw_sketch_name(canvas, "depth", two + 24, bench - 0.6 * depth, TW_LEFT);
    tw_sketch_words(canvas, "straightedge", two + 22, bench - depth - 46, TW_LEFT);
    tw_sketch_words(canvas, "or rim up: inside", two, bench + 80, TW_CENTRE);
}
