/*
 * share_draw.c: bars of face area by thickness, thin at the top, each with its share and area; mean and
 * median, and the sheet beside them, are marked where they lie on the scale of thickness.
 */
#include "views.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

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

    tw_value_text(area, area < 9.95 ? units == TW_INCH ? 0.1 : 0.01 : units == TW_INCH ? 1 : 0.1,
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

static void bar_words(const tw_view_work *work, size_t bin, tw_units units, char *out, size_t size)
{
    char percent[32], area[48];

    percent_text(work->shares.area_mm2[bin] / work->shares.whole_mm2, percent, sizeof percent);
    area_text(work->shares.area_mm2[bin], units, area, sizeof area);
    tw_format(out, size, "%s  %s", percent, area);
}

/* A mark on the scale of thickness: a line over the bars, its words in the column at the right. */
typedef struct level {
    double mm;
    char words[120];
    double y, at; /* where it lies, where its words stand */
    bool dashed;
} level;

static size_t make_levels(const tw_view_work *work, tw_units units, level out[3])
{
    const tw_shares *s = &work->shares;
    const tw_view_request *request = work->page->request;
    char words[48];
    size_t count = 2;

    tw_write_thickness(s->mean, units, -1, words, sizeof words);
    out[0] = (level){.mm = s->mean};
    tw_format(out[0].words, sizeof out[0].words, "mean %s", words);
    tw_write_thickness(s->median, units, -1, words, sizeof words);
    out[1] = (level){.mm = s->median, .dashed = true};
    tw_format(out[1].words, sizeof out[1].words, "median %s", words);
    if (request->beside && request->quantity == TW_OF_THICKNESS) {
        out[2] = (level){.mm = s->beside_mean, .dashed = true};
        tw_write_thickness(s->beside_mean, units, -1, words, sizeof words);
        tw_format(out[2].words, sizeof out[2].words, "%s,%s %s", request->beside_name,
                  s->beside_even ? "" : " mean", words);
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
static double place_levels(tw_canvas *canvas, level *levels, size_t count, double top,
                           double bottom, double wrap)
{
    tw_lettering letters = number_letters;
    double widest = 0, heights[3], below;

    letters.wrap = wrap;
    for (size_t k = 0; k < count; k++) {
        double width;
        tw_text_size(canvas, levels[k].words, &letters, &width, &heights[k]);
        widest = fmax(widest, width);
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
    return widest;
}

static void draw_level(tw_canvas *canvas, const level *at, double left, double right, double words,
                       double wrap)
{
    static const double dash[2] = {8, 6};
    tw_lettering letters = number_letters;
    double width, height;

    letters.wrap = wrap;
    tw_text_size(canvas, at->words, &letters, &width, &height);
    cairo_move_to(canvas->cairo, left, at->y);
    cairo_line_to(canvas->cairo, right, at->y);
    cairo_set_dash(canvas->cairo, dash, at->dashed ? 2 : 0, 0);
    tw_pen_stroke(canvas, 2, 0, 0.9);
    cairo_set_dash(canvas->cairo, dash, 0, 0);
    cairo_move_to(canvas->cairo, right, at->y);
    cairo_line_to(canvas->cairo, words - 6, at->at + height / 2);
    tw_pen_stroke(canvas, 1.3, 0.35, 1);
    tw_text_draw(canvas, at->words, &letters, words, at->at);
}

static void bar_colour(const tw_view_work *work, const tw_canvas *canvas, double mm, double rgb[3])
{
    const tw_scale *scale = &work->page->scale;
    unsigned char bytes[3];

    tw_palette_colour(scale->palette,
                      scale->high > scale->low ? (mm - scale->low) / (scale->high - scale->low)
                                               : 0.5,
                      bytes);
    for (int c = 0; c < 3; c++)
        rgb[c] = canvas->hatch ? 0.75 : bytes[c] / 255.0;
}

typedef struct columns {
    double bars, per_share, numbers, marks, wrap; /* left of each, px of the whole area */
} columns;

static columns make_columns(tw_canvas *canvas, const tw_view_work *work, double x, double width)
{
    const tw_shares *s = &work->shares;
    columns c = {.wrap = 0.26 * width};
    double ranges = 0, words = 0, most = 0, w, h;
    char text[96];

    for (size_t k = 0; k < s->count; k++) {
        range_text(work, k, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &number_letters, &w, &h);
        ranges = fmax(ranges, w);
        bar_words(work, k, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &number_letters, &w, &h);
        words = fmax(words, w);
        most = fmax(most, fmax(s->area_mm2[k], s->beside_mm2[k]));
    }
    c.bars = x + ranges + 12;
    c.marks = x + width - c.wrap;
    c.per_share = fmax(c.marks - 24 - words - 10 - c.bars, 30) / most;
    c.numbers = words;
    return c;
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
    const size_t count = make_levels(work, canvas->units, levels);
    tw_lettering letters = number_letters;
    char text[96], range[64];
    double rgb[3], w, h;

    (void)arena;
    (void)err;
    tw_text_draw(canvas, canvas->units == TW_INCH ? "in" : "mm", &letters, x, y);
    for (size_t k = 0; k < s->count; k++) {
        const double at = top + row * (double)k, wide = s->area_mm2[k] * c.per_share;
        const double beside = s->beside_mm2[k] * c.per_share;
        range_text(work, k, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &w, &h);
        letters.align = TW_RIGHT;
        tw_text_draw(canvas, text, &letters, c.bars - 12, at + (row - h) / 2);
        letters.align = TW_LEFT;
        cairo_rectangle(canvas->cairo, c.bars, at + 2, wide, row - 4);
        bar_colour(work, canvas, s->low + ((double)k + 0.5) * s->step, rgb);
        cairo_set_source_rgb(canvas->cairo, rgb[0], rgb[1], rgb[2]);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 1.4, 0.1, 1);
        if (beside > 0) {
            cairo_rectangle(canvas->cairo, c.bars, at + row / 2 - 4, beside, 8);
            cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
            cairo_fill_preserve(canvas->cairo);
            tw_pen_stroke(canvas, 1.6, 0, 1);
        }
    }
    cairo_move_to(canvas->cairo, c.bars, top - 6);
    cairo_line_to(canvas->cairo, c.bars, bottom + 6);
    tw_pen_stroke(canvas, 2, 0.2, 1);
    for (size_t k = 0; k < count; k++)
        levels[k].y = top + fmin(fmax((levels[k].mm - s->low) / s->step, -0.15),
                                 (double)s->count + 0.15) *
                                row;
    place_levels(canvas, levels, count, y, bottom + 14, c.wrap);
    for (size_t k = 0; k < count; k++)
        draw_level(canvas, &levels[k], c.bars, c.marks - 22, c.marks, c.wrap);
    letters.halo = true;
    for (size_t k = 0; k < s->count; k++) {
        const double wide = fmax(s->area_mm2[k], s->beside_mm2[k]) * c.per_share;
        range_text(work, k, canvas->units, range, sizeof range);
        bar_words(work, k, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &w, &h);
        tw_text_draw(canvas, text, &letters, c.bars + wide + 10,
                     top + row * ((double)k + 0.5) - h / 2);
        tw_canvas_say(canvas, "%s %s: %s", range, canvas->units == TW_INCH ? "in" : "mm", text);
    }
    for (size_t k = 0; k < count; k++)
        tw_canvas_say(canvas, "%s", levels[k].words);
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
    char percent[32], range[64], area[48];

    if (status != TW_OK)
        return status;
    for (size_t k = 1; k < s->count; k++)
        most = s->area_mm2[k] > s->area_mm2[most] ? k : most;
    tw_format(tile->heading, sizeof tile->heading, "%s", headings[request->quantity]);
    percent_text(s->area_mm2[most] / s->whole_mm2, percent, sizeof percent);
    range_text(work, most, units, range, sizeof range);
    area_text(s->whole_mm2, units, area, sizeof area);
    tw_format(tile->words, sizeof tile->words, "Of %s of face most, %s, is %s %s.%s", area, percent,
             range, units == TW_INCH ? "in" : "mm",
             request->beside && request->quantity == TW_OF_THICKNESS && !s->beside_even
                 ? " Thin white bars: the sheet beside it."
                 : "");
    tw_text_bind_units(tile->words, sizeof tile->words);
    tile->widest = 900;
    tile->stretch = 1.6;
    tile->aspect = 1.15;
    tile->least = 620;
    tile->height = share_height;
    tile->draw = draw_share;
    tile->context = work;
    return TW_OK;
}
