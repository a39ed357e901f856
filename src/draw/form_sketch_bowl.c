/*
 * form_sketch_bowl.c: a bowl rim down on the bench with its crown, tapes and bearings; and how its depth is read,
 * either way up.
 */
#include "form_card.h"

#include <math.h>

static const double ACROSS = 95, UP = 118, DEPTH = 100;

/* Half an egg: across is the bearing as a share of a half turn, up the run from rim (−1) to crown (1). */
static void bowl(double across, double up, double place[3])
{
    const double polar = (1 - up) / 2 * TW_PI / 2, bearing = across * TW_PI;

    place[0] = ACROSS * sin(polar) * sin(bearing);
    place[1] = UP * sin(polar) * cos(bearing);
    place[2] = DEPTH * cos(polar);
}

/* A line over the crown from rim to rim toward a bearing, in half turns. */
static void over(tw_canvas *canvas, const tw_sketch_view *view, double bearing, double width)
{
    const double rim[2] = {bearing, -1}, crown[2] = {bearing, 1};
    const double other[2] = {bearing - 1, -1}, top[2] = {bearing - 1, 1};

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
static void name_bearing(tw_canvas *canvas, const tw_sketch_view *view, double bearing,
                         const char *words, tw_align align)
{
    const double out = 1.14;
    const double place[3] = {out * ACROSS * sin(bearing * TW_PI), out * UP * cos(bearing * TW_PI),
                             0};
    double page[2];

    tw_sketch_at(view, place, page);
    tw_sketch_words(canvas, words, page[0], page[1], align);
}

void tw_sketch_bowl(tw_canvas *canvas, double x, double y, double width, double height)
{
    const double low[3] = {-138, -150, 0}, high[3] = {138, 150, 95};
    const double from[2] = {0, 0.05}, to[2] = {0.3, 0.05}, spot[2] = {0.3, 0.05},
                 crown[2] = {0.3, 1};
    tw_sketch_view view = {.turn = 0.5, .tilt = 0.75};
    double page[2], near[2], along[2];

    tw_sketch_fit(&view, low, high, x, y, width, height);
    for (int k = 0; k < 4; k++) { /* the bench */
        const double corner[3] = {k == 0 || k == 3 ? low[0] : high[0], k < 2 ? low[1] : high[1], 0};
        tw_sketch_at(&view, corner, page);
        cairo_line_to(canvas->cairo, page[0], page[1]);
    }
    cairo_close_path(canvas->cairo);
    tw_pen_stroke(canvas, 2, 0.55, 1);
    tw_sketch_paint(canvas, &view, bowl);
    tw_sketch_over(canvas, &view, bowl, (double[2]){0.3, -1}, (double[2]){1.12, -1}, 4, 0);
    over(canvas, &view, 0.5, 5);
    over(canvas, &view, 0, 5);
    tw_sketch_over(canvas, &view, bowl, spot, crown, 3, 0); /* to a place: so far, toward so much */
    tw_sketch_over(canvas, &view, bowl, from, to, 2, 0);
    place_of(&view, 0.27, 0.05, near);
    place_of(&view, 0.3, 0.05, page);
    along[0] = page[0] - near[0];
    along[1] = page[1] - near[1];
    tw_sketch_head(canvas, page, along);
    tw_sketch_dot(canvas, page[0] + 3, page[1] + 3);
    tw_sketch_words(canvas, "a place", page[0] + 16, page[1] + 8, TW_LEFT);
    place_of(&view, 0.2, 0.05, page);
    tw_sketch_name(canvas, "toward", page[0] + 26, page[1] - 26, TW_LEFT);
    place_of(&view, 0.3, 0.55, page);
    tw_sketch_name(canvas, "from crown", page[0] - 4, page[1] + 22, TW_CENTRE);
    place_of(&view, 0, 1, page);
    tw_sketch_dot(canvas, page[0], page[1]);
    tw_sketch_words(canvas, "crown", page[0] - 14, page[1] - 22, TW_RIGHT);
    place_of(&view, -0.5, -0.4, page);
    tw_sketch_words(canvas, "tape across", page[0] + 6, page[1] + 26, TW_LEFT);
    place_of(&view, 1, -0.3, page);
    tw_sketch_words(canvas, "tape up", page[0] + 14, page[1] + 10, TW_LEFT);
    name_bearing(canvas, &view, 0, "up: 0°", TW_LEFT);
    name_bearing(canvas, &view, 0.5, "90°", TW_LEFT);
    name_bearing(canvas, &view, 1, "180°", TW_RIGHT);
    name_bearing(canvas, &view, -0.5, "270°", TW_RIGHT);
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
    const double half = 0.17 * width, bench = y + height - 96,
                 depth = fmin(1.1 * half, height - 190);
    const double one = x + 0.27 * width, two = x + 0.76 * width, ruler = one - half - 56;

    tw_sketch_line(canvas, (double[2]){x, bench}, (double[2]){x + width, bench}, 4, 0.1);
    /* rim down: outside */
    shell(canvas, one, bench - 4, half, depth, -1);
    tw_sketch_ruler(canvas, (double[2]){ruler, bench}, (double[2]){ruler, y + 10}, 22, 20);
    tw_sketch_ruler(canvas, (double[2]){ruler + 4, bench - depth - 8},
                    (double[2]){one + 0.6 * half, bench - depth - 8}, 12, 0);
    tw_sketch_words(canvas, "straightedge,\nlevel", one + 0.66 * half, bench - depth - 22, TW_LEFT);
    tw_sketch_arrow(canvas, (double[2]){one, bench - 2}, (double[2]){one, bench - depth - 2}, true);
    tw_sketch_name(canvas, "depth", one + 12, bench - 0.45 * depth, TW_LEFT);
    tw_sketch_arrow(canvas, (double[2]){one, bench + 26}, (double[2]){one + half, bench + 26},
                    true);
    tw_sketch_dashed(canvas, (double[2]){one, bench + 4}, (double[2]){one, bench + 38});
    tw_sketch_dashed(canvas, (double[2]){one + half, bench + 4},
                     (double[2]){one + half, bench + 38});
    tw_sketch_name(canvas, "across: half the rim", one + 0.2 * half, bench + 50, TW_CENTRE);
    tw_sketch_words(canvas, "rim down: outside", one, bench + 80, TW_CENTRE);
    /* rim up: inside */
    shell(canvas, two, bench - depth - 16, half, depth, 1);
    for (int side = -1; side <= 1; side += 2) { /* wedges */
        cairo_move_to(canvas->cairo, two + side * 0.25 * half, bench);
        cairo_rel_line_to(canvas->cairo, side * 0.62 * half, 0);
        cairo_rel_line_to(canvas->cairo, 0, -0.36 * depth);
        cairo_close_path(canvas->cairo);
        cairo_set_source_rgb(canvas->cairo, 0.55, 0.55, 0.55);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 2, 0, 1);
    }
    tw_sketch_ruler(canvas, (double[2]){two - 1.25 * half, bench - depth - 18},
                    (double[2]){two + 1.25 * half, bench - depth - 18}, 12, 0);
    tw_sketch_ruler(canvas, (double[2]){two - 30, bench - 27}, (double[2]){two - 30, y + 10}, 22,
                    20);
    tw_sketch_arrow(canvas, (double[2]){two, bench - 28}, (double[2]){two, bench - depth - 16},
                    true);
    tw_sketch_name(canvas, "depth", two + 12, bench - 0.62 * depth, TW_LEFT);
    tw_sketch_words(canvas, "straightedge over the rim", two + 0.3 * half, bench - depth - 50,
                    TW_LEFT);
    tw_sketch_words(canvas, "or rim up: inside", two, bench + 80, TW_CENTRE);
}
