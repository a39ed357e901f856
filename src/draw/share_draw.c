/*
 * share_draw.c: bars of face area by thickness, thin at the top, each with its share and area; mean and
 * median, and the sheet beside them, are marked where they lie on the scale of thickness.
 */
#include "hatch.h"
#include "views.h"

#include <math.h>

static const double SIZE = 22, ROW = 38, TOP = 34;
#define SQUARE_INCH 645.16 /* mm² */

static const tw_lettering number_letters = {.size = SIZE, .grey = 0.15, .mark = true};

static double row_height(const tw_shares *shares)
{
    return shares->count < 4 ? 2 * ROW : ROW;
}

static double all_rows(double height)
{
    return height - TOP - 16;
}

static double share_height(tw_canvas *canvas, const void *context, double width)
{
    const tw_view_work *work = context;

    (void)canvas;
    (void)width;
    return TOP + row_height(&work->shares) * (double)work->shares.count + 16;
}

static void area_text(double mm2, tw_units units, char *out, size_t size)
{
    char number[32];
    const double area = units == TW_INCH ? mm2 / SQUARE_INCH : mm2 / 1e4;

    tw_value_text(area,
                  area < 9.95        ? units == TW_INCH ? 0.1 : 0.01
                  : units == TW_INCH ? 1
                                     : 0.1,
                  false, TW_METRIC, number, sizeof number);
    tw_format(out, size, "%s %s", number, units == TW_INCH ? "sq in" : "dm²");
}

static void percent_text(double share, char *out, size_t size)
{
    char number[32];

    tw_value_text(100 * share, 0.1, false, TW_METRIC, number, sizeof number);
    tw_format(out, size, "%s %%", number);
}

/* "1.2 to 1.4" */
static void range_text(const tw_view_work *work, size_t bin, tw_units units, char *out, size_t size)
{
    const tw_shares *s = &work->shares;
    const bool sign = work->page->request->quantity == TW_OF_DIFFERENCE;
    char low[32], high[32];

    tw_value_text(s->low + (double)bin * s->step, s->step, sign, units, low, sizeof low);
    tw_value_text(s->low + (double)(bin + 1) * s->step, s->step, sign, units, high, sizeof high);
    tw_format(out, size, "%s to %s", low, high);
}

/* A mark on the scale of thickness: a line over the bars, its words in the column at the right. */
typedef struct level {
    double mm;
    char words[16];
    double y, at; /* where it lies, where its words stand */
    bool dashed;
} level;

static size_t make_levels(const tw_view_work *work, level out[3])
{
    const tw_shares *s = &work->shares;
    const tw_view_request *request = work->page->request;
    size_t count = 2;

    out[0] = (level){.mm = s->mean, .words = "mean"};
    out[1] = (level){.mm = s->median, .words = "median", .dashed = true};
    if (request->beside && request->quantity == TW_OF_THICKNESS) {
        out[2] = (level){.mm = s->beside_mean, .words = "sheet", .dashed = true};
        count = 3;
    }
    for (size_t k = 1; k < count; k++) /* by thickness */
        for (size_t n = k; n > 0 && out[n].mm < out[n - 1].mm; n--) {
            const level other = out[n];
            out[n] = out[n - 1];
            out[n - 1] = other;
        }
    return count;
}

/* Words stand apart, as near to their marks as they can. */
static void place_levels(tw_canvas *canvas, level *levels, size_t count, double top, double bottom)
{
    double heights[3], below;

    for (size_t k = 0; k < count; k++) {
        double width;
        tw_text_size(canvas, levels[k].words, &number_letters, &width, &heights[k]);
        levels[k].at = levels[k].y - heights[k] / 2;
        if (k && levels[k].at < levels[k - 1].at + heights[k - 1] + 2)
            levels[k].at = levels[k - 1].at + heights[k - 1] + 2;
    }
    below = bottom;
    for (size_t k = count; k-- > 0;) { /* and not below the last bar */
        levels[k].at = fmin(levels[k].at, below - heights[k]);
        below = levels[k].at - 2;
    }
    if (count && levels[0].at < top)
        for (size_t k = 0; k < count; k++)
            levels[k].at += top - levels[0].at;
}

static void draw_level(tw_canvas *canvas, const level *at, double left, double right, double words)
{
    static const double dash[2] = {8, 6};
    double width, height;

    tw_text_size(canvas, at->words, &number_letters, &width, &height);
    cairo_move_to(canvas->cairo, left, at->y);
    cairo_line_to(canvas->cairo, right, at->y);
    cairo_set_dash(canvas->cairo, dash, at->dashed ? 2 : 0, 0);
    tw_pen_stroke(canvas, 2, 0, 0.9);
    cairo_set_dash(canvas->cairo, dash, 0, 0);
    cairo_move_to(canvas->cairo, right, at->y);
    cairo_line_to(canvas->cairo, words - 6, at->at + height / 2);
    tw_pen_stroke(canvas, 1.3, 0.35, 1);
    tw_text_draw(canvas, at->words, &number_letters, words, at->at);
}

/* What a bar is filled with. */
typedef struct filling {
    const tw_scale *scale;
    double value;
} filling;

static uint32_t hatch_shade(const void *context, double x, double y, double element)
{
    const filling *of = context;

    return tw_hatch_shade(of->scale, of->value, x, y, element);
}

static void fill_bar(tw_canvas *canvas, const tw_scale *scale, double mm, const double box[4])
{
    const double span = scale->high - scale->low;
    const filling of = {scale, mm};
    unsigned char rgb[3];

    if (canvas->hatch) {
        if (box[2] > 0.5)
            tw_hatch_box(canvas, hatch_shade, &of, box[0], box[1], box[2], box[3]);
    } else {
        tw_palette_colour(scale->palette, span > 0 ? (mm - scale->low) / span : 0.5, rgb);
        cairo_rectangle(canvas->cairo, box[0], box[1], box[2], box[3]);
        cairo_set_source_rgb(canvas->cairo, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
        cairo_fill(canvas->cairo);
    }
    cairo_rectangle(canvas->cairo, box[0], box[1], box[2], box[3]);
    tw_pen_stroke(canvas, 1.4, 0.1, 1);
}

typedef struct columns {
    double ranges, percents, areas; /* right ends */
    double bars, per_share, end, marks;
} columns;

static columns make_columns(tw_canvas *canvas, const tw_view_work *work, double x, double width)
{
    const tw_shares *s = &work->shares;
    columns c = {.marks = 0};
    double widest[4] = {0}, most = 0, h, w;

    for (size_t k = 0; k < s->count; k++) {
        char texts[3][64];
        range_text(work, k, canvas->units, texts[0], sizeof texts[0]);
        percent_text(s->area_mm2[k] / s->whole_mm2, texts[1], sizeof texts[1]);
        area_text(s->area_mm2[k], canvas->units, texts[2], sizeof texts[2]);
        for (int t = 0; t < 3; t++) {
            tw_text_size(canvas, texts[t], &number_letters, &w, &h);
            widest[t] = fmax(widest[t], w);
        }
        most = fmax(most, fmax(s->area_mm2[k], s->beside_mm2[k]));
    }
    tw_text_size(canvas, "median", &number_letters, &widest[3], &h);
    c.ranges = x + widest[0];
    c.percents = c.ranges + 16 + widest[1];
    c.areas = c.percents + 16 + widest[2];
    c.bars = c.areas + 14;
    c.marks = x + width - widest[3];
    c.end = c.marks - 26;
    c.per_share = fmax(c.end - 4 - c.bars, 30) / most;
    return c;
}

static void right_text(tw_canvas *canvas, const char *text, double x, double y)
{
    tw_lettering letters = number_letters;
    double width, height;

    letters.align = TW_RIGHT;
    tw_text_size(canvas, text, &letters, &width, &height);
    tw_text_draw(canvas, text, &letters, x, y - height / 2);
}

static void draw_bar(tw_canvas *canvas, const tw_view_work *work, const columns *c, size_t k,
                     double at, double row)
{
    const tw_shares *s = &work->shares;
    const double beside = s->beside_mm2[k] * c->per_share;
    char range[64], percent[32], area[64];

    range_text(work, k, canvas->units, range, sizeof range);
    percent_text(s->area_mm2[k] / s->whole_mm2, percent, sizeof percent);
    area_text(s->area_mm2[k], canvas->units, area, sizeof area);
    tw_canvas_say(canvas, "%s %s: %s, %s", range, canvas->units == TW_INCH ? "in" : "mm", percent,
                  area);
    right_text(canvas, range, c->ranges, at + row / 2);
    right_text(canvas, percent, c->percents, at + row / 2);
    right_text(canvas, area, c->areas, at + row / 2);
    fill_bar(canvas, &work->page->scale, s->low + ((double)k + 0.5) * s->step,
             (double[4]){c->bars, at + 2, s->area_mm2[k] * c->per_share, row - 4});
    if (beside > 0) {
        cairo_rectangle(canvas->cairo, c->bars, at + row / 2 - 4, beside, 8);
        cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 1.6, 0, 1);
    }
}

static tw_status draw_share(tw_canvas *canvas, const void *context, double x, double y,
                            double width, double height, tw_arena *arena, tw_error *err)
{
    const tw_view_work *work = context;
    const tw_shares *s = &work->shares;
    const double row = all_rows(height) / (double)s->count, top = y + TOP;
    const columns c = make_columns(canvas, work, x, width);
    const double bottom = top + row * (double)s->count;
    level levels[3];
    const size_t count = make_levels(work, levels);

    (void)arena;
    (void)err;
    right_text(canvas, canvas->units == TW_INCH ? "in" : "mm", c.ranges, y + 15);
    right_text(canvas, "of the face", c.areas, y + 15);
    for (size_t k = 0; k < s->count; k++)
        draw_bar(canvas, work, &c, k, top + row * (double)k, row);
    cairo_move_to(canvas->cairo, c.bars, top - 6);
    cairo_line_to(canvas->cairo, c.bars, bottom + 6);
    tw_pen_stroke(canvas, 2, 0.2, 1);
    for (size_t k = 0; k < count; k++)
        levels[k].y = top + row * fmin(fmax((levels[k].mm - s->low) / s->step, -0.15),
                                       (double)s->count + 0.15);
    place_levels(canvas, levels, count, y, bottom + 14);
    for (size_t k = 0; k < count; k++)
        draw_level(canvas, &levels[k], c.bars, c.end, c.marks);
    return TW_OK;
}

tw_status tw_share_tile(tw_view_work *work, tw_tile *tile, tw_error *err)
{
    static const char *const headings[] = {[TW_OF_THICKNESS] = "Face by thickness",
                                           [TW_OF_DIFFERENCE] = "Face by difference",
                                           [TW_OF_SPREAD] = "Face by standard deviation"};
    const tw_view_request *request = work->page->request;
    const tw_units units = work->page->options->units;
    const tw_status status = tw_shares_make(request, units, &work->shares, err);
    const tw_shares *s = &work->shares;
    size_t most = 0;
    const bool beside = request->beside && request->quantity == TW_OF_THICKNESS;
    char percent[32], range[64], area[48], mean[32], median[32], sheet[48], name[160] = "";

    if (status != TW_OK)
        return status;
    for (size_t k = 1; k < s->count; k++)
        most = s->area_mm2[k] > s->area_mm2[most] ? k : most;
    tw_format(tile->heading, sizeof tile->heading, "%s", headings[request->quantity]);
    percent_text(s->area_mm2[most] / s->whole_mm2, percent, sizeof percent);
    range_text(work, most, units, range, sizeof range);
    area_text(s->whole_mm2, units, area, sizeof area);
    if (beside)
        tw_format(name, sizeof name, "; %s%s %s", request->beside_name,
                  s->beside_even ? "," : " (thin white bars), mean",
                  tw_write_thickness(s->beside_mean, units, -1, sheet, sizeof sheet));
    tw_format(tile->words, sizeof tile->words,
              "Of %s of face most, %s, is %s %s. Mean %s, median %s%s.", area, percent, range,
              units == TW_INCH ? "in" : "mm",
              tw_write_thickness(s->mean, units, -1, mean, sizeof mean),
              tw_write_thickness(s->median, units, -1, median, sizeof median), name);
    tw_text_bind_units(tile->words, sizeof tile->words);
    tile->widest = 900;
    tile->stretch = 1.6;
    tile->aspect = 1.15;
    tile->least = 540;
    tile->height = share_height;
    tile->draw = draw_share;
    tile->context = work;
    return TW_OK;
}
