/*
 * trade_off.c: what thickness costs. Thickness of what a plan changes against mass, a line to each
 * grade, its grade written at its end; the plan's own point, and the weight it is to keep.
 */
#include "draw_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { LINES_MOST = 16, LABELS_MOST = LINES_MOST + 1, WORDS = 96 };
static const double MARGIN = TW_PAGE_MARGIN, TALL = 760;
static const double LEFT = 190, RIGHT = 1270; /* of the plot; numbers before it, labels after */
static const double TICKS_APART = 90, LABEL_APART = 36, DIAMOND = 14;

static const tw_lettering title_letters = {
    .size = 42, .bold = true, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering line_letters = {
    .size = 25, .grey = 0.25, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering foot_letters = {
    .size = 23, .grey = 0.3, .wrap = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN};
static const tw_lettering tick_letters = {
    .size = 21, .grey = 0.2, .align = TW_CENTRE, .mark = true};
static const tw_lettering name_letters = {.size = 25, .grey = 0.15};
static const tw_lettering end_letters = {.size = 25};

typedef struct chart {
    const tw_trade_off *trade;
    const tw_draw_options *options;
    double low_mm, high_mm; /* of the thickness axis */
    tw_mass_axis mass;      /* per_g upward; x unused */
    bool has_point, has_limit;
    double point_mm, point_g, limit_g;
    char title[200], foot[600];
    char point[WORDS + 120], limit[WORDS]; /* of the key; "" without */
} chart;

/* ---- what is shown -------------------------------------------------------------------------- */

static void find_choice(chart *work, const tw_least *least)
{
    const char *changed = work->trade->changed;

    if (!least)
        return;
    for (size_t k = 0; k < least->count; k++)
        if (strcmp(least->requirements[k].name, changed) == 0) {
            work->has_point = true;
            work->point_mm = least->requirements[k].planned_mm;
            work->point_g = least->weight.mass_g;
        }
    if (least->has_weight)
        work->limit_g = least->weight_g;
}

/* Mass at both ends of what is drawn. A limit far from it would press the lines together: it is told
 * in words only. */
static void find_ends(chart *work)
{
    const tw_trade_off *trade = work->trade;
    double low = INFINITY, high = -INFINITY, spare;

    for (size_t k = 0; k < trade->thickness_count * trade->grade_count; k++) {
        low = fmin(low, trade->mass_g[k]);
        high = fmax(high, trade->mass_g[k]);
    }
    work->low_mm = trade->thickness_mm[0];
    work->high_mm = trade->thickness_mm[trade->thickness_count - 1];
    if (work->has_point) {
        low = fmin(low, work->point_g);
        high = fmax(high, work->point_g);
        work->low_mm = fmin(work->low_mm, work->point_mm);
        work->high_mm = fmax(work->high_mm, work->point_mm);
    }
    work->has_limit = work->limit_g > low - (high - low) && work->limit_g < high + (high - low);
    if (work->has_limit) {
        low = fmin(low, work->limit_g);
        high = fmax(high, work->limit_g);
    }
    spare = fmax(0.05 * (high - low), 1e-3 * high);
    work->mass.low = fmax(0, low - spare);
    work->mass.high = high + spare;
    work->mass.per_g = TALL / (work->mass.high - work->mass.low);
    tw_axis_ticks(&work->mass, 80, work->options->units);
    spare = fmax(0.02 * (work->high_mm - work->low_mm), 0.01);
    work->low_mm -= spare;
    work->high_mm += spare;
}

static void write_words(chart *work)
{
    const tw_profile *profile = work->trade->plate->profile;
    const tw_units units = work->options->units;
    const char *date = work->options->date ? work->options->date : profile->date;
    char thickness[48], mass[48];

    tw_format(work->title, sizeof work->title, "%s: what thickness costs", profile->plate);
    if (profile->note)
        tw_text_append(work->foot, sizeof work->foot, profile->note);
    if (date) {
        tw_text_append(work->foot, sizeof work->foot, profile->note ? "  " : "");
        tw_text_append(work->foot, sizeof work->foot, date);
    }
    tw_text_append(work->foot, sizeof work->foot, work->foot[0] ? "\n" : "");
    tw_text_append(
        work->foot, sizeof work->foot,
        "Thickness here counts metal. It is no protection rating and no permission to be hit.");
    if (work->has_point)
        tw_format(work->point, sizeof work->point, "the plan: %s at the %s, %s in all",
                  tw_write_thickness(work->point_mm, units, -1, thickness, sizeof thickness),
                  work->trade->changed, tw_write_mass(work->point_g, units, -1, mass, sizeof mass));
    if (!isnan(work->limit_g))
        tw_format(work->limit, sizeof work->limit, "at most %s",
                  tw_write_mass(work->limit_g, units, -1, mass, sizeof mass));
    tw_text_bind_units(work->point, sizeof work->point);
    tw_text_bind_units(work->limit, sizeof work->limit);
}

/* ---- places ------------------------------------------------------------------------------------ */

static double x_of(const chart *work, double mm)
{
    return LEFT + (RIGHT - LEFT) * (mm - work->low_mm) / (work->high_mm - work->low_mm);
}

static double y_of(const chart *work, double top, double g)
{
    return top + TALL - (g - work->mass.low) * work->mass.per_g;
}

static void stroke(tw_canvas *canvas, double x, double y, double to_x, double to_y, double width,
                   double grey)
{
    cairo_move_to(canvas->cairo, x, y);
    cairo_line_to(canvas->cairo, to_x, to_y);
    cairo_set_source_rgb(canvas->cairo, grey, grey, grey);
    cairo_set_line_width(canvas->cairo, width);
    cairo_stroke(canvas->cairo);
}

/* ---- axes ---------------------------------------------------------------------------------------- */

static void draw_mass_axis(tw_canvas *canvas, const chart *work, double top)
{
    const tw_mass_axis *axis = &work->mass;
    const double step = axis->step * axis->unit_g;
    tw_lettering letters = tick_letters;
    char text[48];

    letters.align = TW_RIGHT;
    for (double k = ceil(axis->low / step - 1e-9); k * step <= axis->high * (1 + 1e-12); k++) {
        const double y = y_of(work, top, k * step);
        double width, height;
        stroke(canvas, LEFT, y, RIGHT, y, 1, 0.86);
        stroke(canvas, LEFT - 7, y, LEFT, y, 1.6, 0.2);
        tw_axis_tick_text(axis, k, false, text, sizeof text);
        tw_text_size(canvas, text, &letters, &width, &height);
        tw_text_draw(canvas, text, &letters, LEFT - 12, y - height / 2);
    }
    stroke(canvas, LEFT, top, LEFT, top + TALL, 1.6, 0.2);
}

static void draw_thickness_axis(tw_canvas *canvas, const chart *work, double top)
{
    const double wanted = (RIGHT - LEFT) / TICKS_APART;
    const double step = tw_round_step(work->high_mm - work->low_mm, wanted, work->options->units);
    const double y = top + TALL;
    char text[48];

    for (double k = ceil(work->low_mm / step - 1e-9); k * step <= work->high_mm + 1e-9; k++) {
        const double x = x_of(work, k * step);
        stroke(canvas, x, top, x, y, 1, 0.86);
        stroke(canvas, x, y, x, y + 7, 1.6, 0.2);
        tw_value_text(k * step, step, false, work->options->units, text, sizeof text);
        tw_text_draw(canvas, text, &tick_letters, x, y + 9);
    }
    stroke(canvas, LEFT, y, RIGHT, y, 1.6, 0.2);
}

/* ---- lines and the labels at their ends ------------------------------------------------------------ */

typedef struct label {
    double wanted, y; /* middles */
    bool limit;
    char words[WORDS];
} label;

static int by_place(const void *a, const void *b)
{
    const label *p = a, *q = b;

    return (p->wanted > q->wanted) - (p->wanted < q->wanted);
}

/* Labels keep their order and stand clear of each other, as near to their lines' ends as that allows:
 * neighbours that meet are moved apart about the middle of what they want (pooled, as in isotonic
 * regression: with y_k − k·apart to rise the nearest rising places are wanted). */
static void spread(label *labels, size_t count)
{
    double sum[LABELS_MOST];
    size_t first[LABELS_MOST], size[LABELS_MOST], pools = 0;

    qsort(labels, count, sizeof *labels, by_place);
    for (size_t k = 0; k < count; k++) {
        sum[pools] = labels[k].wanted - (double)k * LABEL_APART;
        first[pools] = k;
        size[pools++] = 1;
        while (pools > 1 && sum[pools - 2] / (double)size[pools - 2] >
                                sum[pools - 1] / (double)size[pools - 1]) {
            sum[pools - 2] += sum[pools - 1];
            size[pools - 2] += size[pools - 1];
            pools--;
        }
    }
    for (size_t p = 0; p < pools; p++)
        for (size_t k = first[p]; k < first[p] + size[p]; k++)
            labels[k].y = sum[p] / (double)size[p] + (double)k * LABEL_APART;
}

static void line_colour(tw_canvas *canvas, size_t line, size_t count)
{
    unsigned char rgb[3];

    tw_colour_thickness(0.5 + 0.5 * (double)line / (double)(count > 1 ? count - 1 : 1), rgb);
    cairo_set_source_rgb(canvas->cairo, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
}

/* The line of a grade. The plan's own point may lie beyond the thicknesses that were worked out: the
 * line of its grade goes on to it. */
static void draw_line(tw_canvas *canvas, const chart *work, size_t line, double top)
{
    const tw_trade_off *trade = work->trade;
    const bool own = line == trade->own_grade && work->has_point;
    const size_t last = trade->thickness_count - 1;

    cairo_new_path(canvas->cairo);
    if (own && work->point_mm < trade->thickness_mm[0])
        cairo_line_to(canvas->cairo, x_of(work, work->point_mm), y_of(work, top, work->point_g));
    for (size_t i = 0; i < trade->thickness_count; i++)
        cairo_line_to(canvas->cairo, x_of(work, trade->thickness_mm[i]),
                      y_of(work, top, trade->mass_g[i * trade->grade_count + line]));
    if (own && work->point_mm > trade->thickness_mm[last])
        cairo_line_to(canvas->cairo, x_of(work, work->point_mm), y_of(work, top, work->point_g));
    cairo_set_line_width(canvas->cairo, own ? 6 : 3.5);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    line_colour(canvas, line, trade->grade_count);
    cairo_stroke(canvas->cairo);
}

static void draw_limit(tw_canvas *canvas, double x, double to, double y)
{
    const double dashes[] = {14, 8};

    cairo_save(canvas->cairo);
    cairo_set_dash(canvas->cairo, dashes, 2, 0);
    stroke(canvas, x, y, to, y, 3, 0.05);
    cairo_restore(canvas->cairo);
}

/* A line's ends in words. */
static void say_line(tw_canvas *canvas, const tw_trade_off *trade, size_t grade, const char *words)
{
    const size_t last = trade->thickness_count - 1;
    char from_mm[48], to_mm[48], from_g[48], to_g[48];

    tw_write_thickness(trade->thickness_mm[0], canvas->units, -1, from_mm, sizeof from_mm);
    tw_write_thickness(trade->thickness_mm[last], canvas->units, -1, to_mm, sizeof to_mm);
    tw_write_mass(trade->mass_g[grade], canvas->units, -1, from_g, sizeof from_g);
    tw_write_mass(trade->mass_g[last * trade->grade_count + grade], canvas->units, -1, to_g,
                  sizeof to_g);
    tw_canvas_say(canvas, "No steeper than %s: from %s at %s to %s at %s.", words, from_g, from_mm,
                  to_g, to_mm);
}

static void draw_labels(tw_canvas *canvas, const chart *work, size_t lines, double top)
{
    const tw_trade_off *trade = work->trade;
    label labels[LABELS_MOST];
    size_t count = 0;

    for (size_t j = 0; j < lines; j++) {
        const size_t end = (trade->thickness_count - 1) * trade->grade_count + j;
        label *one = &labels[count++];
        *one = (label){.wanted = y_of(work, top, trade->mass_g[end])};
        if (work->options->units == TW_INCH)
            tw_format(one->words, WORDS, "1 in %.0f", 1 / trade->grade[j]);
        else
            tw_format(one->words, WORDS, "1 mm in %.0f mm", 1 / trade->grade[j]);
        say_line(canvas, trade, j, one->words);
    }
    if (work->has_limit) {
        label *one = &labels[count++];
        *one = (label){.wanted = y_of(work, top, work->limit_g), .limit = true};
        tw_format(one->words, WORDS, "%s", work->limit);
    }
    spread(labels, count);
    for (size_t k = 0; k < count; k++) {
        tw_lettering letters = end_letters;
        const double from =
            labels[k].limit ? RIGHT : x_of(work, trade->thickness_mm[trade->thickness_count - 1]);
        double width, height;
        letters.bold = labels[k].limit;
        letters.mark = true;
        tw_text_size(canvas, labels[k].words, &letters, &width, &height);
        stroke(canvas, from + 4, labels[k].wanted, RIGHT + 26, labels[k].y, 1.2, 0.4);
        tw_text_draw(canvas, labels[k].words, &letters, RIGHT + 32, labels[k].y - height / 2);
    }
}

static void draw_point(tw_canvas *canvas, double x, double y)
{
    tw_diamond_draw(canvas, x, y, DIAMOND);
}

static void draw_plot(tw_canvas *canvas, const chart *work, double top)
{
    const size_t lines =
        work->trade->grade_count < LINES_MOST ? work->trade->grade_count : LINES_MOST;

    draw_mass_axis(canvas, work, top);
    draw_thickness_axis(canvas, work, top);
    if (work->has_limit)
        draw_limit(canvas, LEFT, RIGHT, y_of(work, top, work->limit_g));
    for (size_t j = 0; j < lines; j++)
        draw_line(canvas, work, j, top);
    draw_labels(canvas, work, lines, top);
    if (work->has_point)
        draw_point(canvas, x_of(work, work->point_mm), y_of(work, top, work->point_g));
}

/* ---- the page -------------------------------------------------------------------------------------- */

static void sign_limit(tw_canvas *canvas, double x, double y)
{
    draw_limit(canvas, x - 22, x + 22, y);
}

static size_t fill_key(const chart *work, tw_key_entry entries[2])
{
    size_t count = 0;

    if (work->has_point)
        entries[count++] = (tw_key_entry){TW_FILL_OWN, draw_point, work->point};
    if (work->limit[0])
        entries[count++] =
            (tw_key_entry){TW_FILL_OWN, sign_limit,
                           work->has_limit ? work->limit : "the limit lies off the chart"};
    return count;
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const chart *work = context;
    const bool inch = work->options->units == TW_INCH;
    tw_lettering letters = name_letters;
    tw_key_entry entries[2];
    char axis[200];
    double y = 32;

    (void)arena;
    (void)err;
    y += tw_text_place(canvas, work->title, &title_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(
             canvas,
             "Each line is of the lightest maps that keep every thickness asked for and "
             "are nowhere steeper than is written at its end. Neither axis begins at nought.",
             &line_letters, MARGIN, y, ink) +
         20;
    tw_format(axis, sizeof axis, "mass of the plate%s%s", work->mass.unit ? ", " : "",
              work->mass.unit ? work->mass.unit : "");
    y += tw_text_place(canvas, axis, &letters, MARGIN, y, ink) + 16;
    if (ink)
        draw_plot(canvas, work, y);
    y += TALL + tw_axis_height(canvas) + 6;
    tw_format(axis, sizeof axis, "thickness of the %s, %s", work->trade->changed,
              inch ? "in" : "mm");
    letters.align = TW_RIGHT;
    y += tw_text_place(canvas, axis, &letters, RIGHT, y, ink) + 20;
    y += tw_key_draw(canvas, entries, fill_key(work, entries), ink, y) + 10;
    y += tw_text_place(canvas, work->foot, &foot_letters, MARGIN, y, ink);
    *height = y + 28;
    return TW_OK;
}

tw_status tw_draw_trade_off(const tw_trade_off *trade, const tw_least *least, tw_paper paper,
                            const tw_draw_options *options, tw_output *out, tw_error *err)
{
    chart work = {.trade = trade, .options = options, .limit_g = NAN};
    const tw_status status = tw_picture_check(options, err);

    assert(trade && trade->plate && trade->grade_count > 0 && options && out);
    if (status != TW_OK)
        return status;
    if (trade->thickness_count == 0)
        return tw_fail(err, TW_ERR_INPUT, "no thickness to draw a mass against");
    find_choice(&work, least);
    find_ends(&work);
    write_words(&work);
    return tw_picture_write(options, lay_out, &work, paper, out, err);
}
