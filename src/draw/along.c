/* along.c: thickness against tape length on a line, with the sheet beside it and the ± of readings. */
#include "views.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double SIZE = 22, TOP = 46, FOOT = 64, LEFT = 74, RIGHT = 20;
static const double EXPANDED = 1.96; /* standard deviations to either side at 95 % */

typedef struct chart {
    const tw_view_work *work;
    double x, y, width, height; /* of the plot */
    double low, high;           /* tape [mm] */
    double most, step;          /* thickness axis, from 0 [mm] */
} chart;

static double place_x(const chart *c, double along)
{
    return c->x + (along - c->low) / (c->high - c->low) * c->width;
}

static double place_y(const chart *c, double mm)
{
    return c->y + (1 - mm / c->most) * c->height;
}

static double along_height(tw_canvas *canvas, const void *context, double width)
{
    (void)canvas;
    (void)context;
    return fmin(fmax(0.42 * width, 320), 520);
}

/* ---- axes ---------------------------------------------------------------------------------------- */

static void draw_axes(tw_canvas *canvas, const chart *c)
{
    tw_lettering letters = {.size = SIZE, .grey = 0.25, .align = TW_RIGHT, .mark = true};
    const double step = tw_round_step(c->high - c->low, c->width / 130, canvas->units);
    const char *const unit = canvas->units == TW_INCH ? "in" : "mm";
    char text[48], number[32];
    double width, height;

    for (double k = 0; k * c->step <= c->most + 1e-9; k++) {
        const double y = place_y(c, k * c->step);
        cairo_move_to(canvas->cairo, c->x, y);
        cairo_rel_line_to(canvas->cairo, c->width, 0);
        tw_pen_stroke(canvas, k == 0 ? 2 : 1, k == 0 ? 0.2 : 0.8, 1);
        tw_value_text(k * c->step, c->step, false, canvas->units, number, sizeof number);
        tw_text_size(canvas, number, &letters, &width, &height);
        tw_text_draw(canvas, number, &letters, c->x - 10, y - height / 2);
    }
    tw_text_draw(canvas, unit, &letters, c->x - 10, c->y - 44);
    letters.align = TW_CENTRE;
    for (double k = ceil(c->low / step - 1e-9); k * step <= c->high + 1e-9; k++) {
        const double x = place_x(c, k * step);
        cairo_move_to(canvas->cairo, x, c->y + c->height);
        cairo_rel_line_to(canvas->cairo, 0, 8);
        tw_pen_stroke(canvas, 2, 0.3, 1);
        tw_tape_text(k * step, step, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &width, &height);
        tw_text_draw(canvas, text, &letters, fmin(x, c->x + c->width + RIGHT - width / 2),
                     c->y + c->height + 8);
    }
    tw_format(text, sizeof text, "tape along the line, %s", unit);
    letters.mark = false;
    letters.align = TW_RIGHT;
    tw_text_draw(canvas, text, &letters, c->x + c->width, c->y + c->height + 34);
}

/* ---- strike zones and gaps -------------------------------------------------------------------------- */

static void shade(tw_canvas *canvas, const chart *c, double from, double to, double grey)
{
    cairo_rectangle(canvas->cairo, place_x(c, from), c->y, place_x(c, to) - place_x(c, from),
                    c->height);
    cairo_set_source_rgb(canvas->cairo, grey, grey, grey);
    cairo_fill(canvas->cairo);
}

/* Shades first, then names over the grid lines; both by this. */
static void draw_zones(tw_canvas *canvas, const chart *c, bool names, tw_boxes *taken)
{
    static const tw_lettering letters = {
        .size = 23, .bold = true, .align = TW_CENTRE, .grey = 0.15, .mark = true};
    const tw_cut *cut = &c->work->cut;
    const tw_forged_spec *forged = &c->work->page->request->plate->profile->forged;

    for (size_t k = 0; k < cut->count;) {
        const size_t strike = cut->points[k].strike, first = k;
        double width, height, x, box[4];
        while (k < cut->count && cut->points[k].strike == strike)
            k++;
        if (strike == SIZE_MAX)
            continue;
        if (!names) {
            shade(canvas, c, cut->points[first].along, cut->points[k - 1].along, 0.91);
            continue;
        }
        tw_text_size(canvas, forged->strikes[strike].name, &letters, &width, &height);
        x = place_x(c, (cut->points[first].along + cut->points[k - 1].along) / 2);
        x = fmin(fmax(x, c->x + width / 2 + 4), c->x + c->width - width / 2 - 4);
        for (int row = 0; row < 6; row++) {
            const double y = c->y + c->height - 26 - 32 * row;
            tw_box_about(x, y, width, height * 0.86, 4, box);
            if (!tw_box_free(taken, box))
                continue;
            tw_text_draw(canvas, forged->strikes[strike].name, &letters, x, y - height / 2);
            tw_box_take(taken, box);
            break;
        }
    }
}

/* ---- lines ------------------------------------------------------------------------------------------- */

static double value_at(const tw_cut_point *point, bool beside)
{
    return beside ? point->beside : point->thickness;
}

static void draw_line(tw_canvas *canvas, const chart *c, bool beside, tw_boxes *taken)
{
    static const double dash[2] = {12, 7};
    const tw_cut *cut = &c->work->cut;

    for (size_t p = 0; p < cut->piece_count; p++) {
        double before[2] = {0, 0};
        for (size_t k = 0; k < cut->pieces[p].count; k++) {
            const tw_cut_point *point = &cut->points[cut->pieces[p].first + k];
            const double at[2] = {place_x(c, point->along), place_y(c, value_at(point, beside))};
            cairo_line_to(canvas->cairo, at[0], at[1]);
            if (k == 0 || hypot(at[0] - before[0], at[1] - before[1]) > 12) {
                if (k)
                    tw_boxes_line(taken, before, at, 3);
                memcpy(before, at, sizeof before);
            }
        }
        cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
        cairo_set_dash(canvas->cairo, dash, beside ? 2 : 0, 0);
        tw_pen_stroke(canvas, beside ? 2.4 : 3.6, beside ? 0.35 : 0, 1);
        cairo_set_dash(canvas->cairo, dash, 0, 0);
    }
}

static void draw_band(tw_canvas *canvas, const chart *c)
{
    const tw_cut *cut = &c->work->cut;

    for (size_t p = 0; p < cut->piece_count; p++) {
        const size_t first = cut->pieces[p].first, count = cut->pieces[p].count;
        for (size_t k = 0; k < 2 * count; k++) {
            const bool back = k >= count;
            const tw_cut_point *point = &cut->points[first + (back ? 2 * count - 1 - k : k)];
            const double mm = point->thickness + (back ? -1 : 1) * EXPANDED * point->sd;
            cairo_line_to(canvas->cairo, place_x(c, point->along),
                          place_y(c, fmin(fmax(mm, 0), c->most)));
        }
        cairo_close_path(canvas->cairo);
        cairo_set_source_rgba(canvas->cairo, 0.2, 0.2, 0.2, 0.22);
        cairo_fill(canvas->cairo);
    }
}

static void mark(tw_canvas *canvas, const chart *c, size_t point, bool over, tw_boxes *taken)
{
    static const tw_lettering letters = {.size = 23, .mark = true};
    const tw_cut_point *at = &c->work->cut.points[point];
    const double place[2] = {place_x(c, at->along), place_y(c, at->thickness)};
    char thickness[32], length[32], text[96];

    cairo_arc(canvas->cairo, place[0], place[1], 5, 0, 2 * TW_PI);
    cairo_set_source_rgb(canvas->cairo, 0, 0, 0);
    cairo_fill(canvas->cairo);
    tw_write_thickness(at->thickness, canvas->units, -1, thickness, sizeof thickness);
    tw_cut_place(&c->work->cut, at->along, canvas->units, length, sizeof length);
    tw_format(text, sizeof text, "%s at %s", thickness, length);
    if (!tw_label_near(canvas, text, &letters, place, (double[2]){0, over ? -1 : 1}, 8, taken))
        tw_label_near(canvas, text, &letters, place, (double[2]){0, over ? 1 : -1}, 8, taken);
}

/* The sheet's name stands at its line, wherever there is room. */
static void name_sheet(tw_canvas *canvas, const chart *c, tw_boxes *taken)
{
    static const tw_lettering letters = {.size = 22, .grey = 0.3, .mark = true};
    const tw_cut *cut = &c->work->cut;
    const char *name = c->work->page->request->beside_name;
    double width, height;

    tw_text_size(canvas, name, &letters, &width, &height);
    for (int k = 0; k < 24; k++) {
        const size_t n = (size_t)((double)(cut->count - 1) * (0.9 - 0.036 * k));
        const double x = place_x(c, cut->points[n].along), y = place_y(c, cut->points[n].beside);
        const double way[2] = {0, k % 2 ? 1 : -1};
        if (x - width / 2 < c->x + 4 || x + width / 2 > c->x + c->width - 4)
            continue;
        double box[4];
        tw_box_about(x, y + way[1] * (7 + height / 2), width, height * 0.86, 4, box);
        if (!tw_box_free(taken, box))
            continue;
        tw_label_near(canvas, name, &letters, (double[2]){x, y}, way, 7, taken);
        return;
    }
}

static tw_status draw_along(tw_canvas *canvas, const void *context, double x, double y,
                            double width, double height, tw_arena *arena, tw_error *err)
{
    const tw_view_work *work = context;
    const tw_view_request *request = work->page->request;
    const tw_cut *cut = &work->cut;
    chart c = {.work = work,
               .x = x + LEFT,
               .y = y + TOP,
               .width = width - LEFT - RIGHT,
               .height = height - TOP - FOOT,
               .low = cut->points[0].along,
               .high = cut->points[cut->count - 1].along};
    tw_boxes *taken = tw_arena_array(arena, 1, sizeof *taken);
    double most = 0;
    const bool band = isfinite(cut->points[0].sd);

    if (!taken)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a chart");
    for (size_t k = 0; k < cut->count; k++) {
        most = fmax(most, cut->points[k].thickness + (band ? EXPANDED * cut->points[k].sd : 0));
        if (request->beside)
            most = fmax(most, cut->points[k].beside);
    }
    c.step = tw_round_step(most * 1.12, 5, canvas->units);
    c.most = ceil(most * 1.12 / c.step) * c.step;
    tw_box_take(taken,
                (double[4]){-1e4, -1e4, c.x + 3, 1e6}); /* what is written stays in the plot */
    tw_box_take(taken, (double[4]){c.x + c.width + RIGHT - 2, -1e4, 1e4, 1e6});
    tw_box_take(taken, (double[4]){-1e4, c.y + c.height - 2, 1e4, 1e6});
    draw_zones(canvas, &c, false, taken);
    draw_axes(canvas, &c);
    if (band)
        draw_band(canvas, &c);
    if (request->beside)
        draw_line(canvas, &c, true, taken);
    draw_line(canvas, &c, false, taken);
    mark(canvas, &c, cut->thickest, true, taken);
    if (cut->points[cut->thickest].thickness - cut->points[cut->thinnest].thickness > 0.005)
        mark(canvas, &c, cut->thinnest, false, taken);
    draw_zones(canvas, &c, true, taken);
    if (request->beside)
        name_sheet(canvas, &c, taken);
    return TW_OK;
}

void tw_along_tile(tw_view_work *work, tw_tile *tile)
{
    const tw_view_request *request = work->page->request;
    const tw_cut *cut = &work->cut;
    const tw_units units = work->page->options->units;
    char line[400], mean[32];

    tw_format(tile->heading, sizeof tile->heading, "Thickness along the tape");
    tw_cut_words(cut, units, line, sizeof line);
    tw_write_thickness(cut->mean, units, -1, mean, sizeof mean);
    tw_format(tile->words, sizeof tile->words, "Along %s, %s: %s; %s on average.%s", cut->name,
              request->name, line, mean,
              isfinite(cut->points[0].sd) ? " The grey band is ± of the map at each place, 95 %."
                                          : "");
    if (request->beside) {
        tw_text_append(tile->words, sizeof tile->words, " Dashed: ");
        tw_text_append(tile->words, sizeof tile->words, request->beside_name);
        tw_text_append(tile->words, sizeof tile->words, ".");
    }
    tw_text_bind_units(tile->words, sizeof tile->words);
    tile->aspect = 2.2;
    tile->least = 700;
    tile->height = along_height;
    tile->draw = draw_along;
    tile->context = work;
}
