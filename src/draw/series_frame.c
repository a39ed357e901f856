/*
 * series_frame.c: one frame of a series alone: the plate, its words beside it and how far on it is. All
 * frames are laid out alike, so that as an animation only the metal moves.
 */
#include "series.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

enum {
    PAGE = TW_PAGE_WIDTH,
    MARGIN = TW_PAGE_MARGIN,
    WORDS_WIDE = 470,
    MOVING_WIDE = 1000,
    HOLD_MS = 1100,
    HOLD_LAST_MS = 3000
};
static const tw_lettering title_letters = {.size = 42, .bold = true, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering line_letters = {.size = 25, .grey = 0.25, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.3, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering heading_letters = {.size = 40, .bold = true, .wrap = WORDS_WIDE};
static const tw_lettering grams_letters = {.size = 64, .bold = true, .wrap = WORDS_WIDE};
static const tw_lettering word_letters = {.size = 30, .wrap = WORDS_WIDE};

typedef struct frame_look {
    const tw_series *series;
    const tw_draw_options *options;
    size_t frame;
    tw_scale scale;
    char title[200], line[500], foot[800];
} frame_look;

static frame_look look_at(const tw_series *series, size_t frame, const tw_draw_options *options)
{
    frame_look work = {.series = series,
                       .options = options,
                       .frame = frame,
                       .scale = tw_series_scale(series, options->units)};

    tw_series_page_words(series, options, work.title, work.line, work.foot);
    return work;
}

/* A row of dots, one to each frame, filled up to this one. */
static void draw_progress(tw_canvas *canvas, const frame_look *work, double x, double y)
{
    const size_t count = work->series->count;
    const double step = fmin(40, (double)WORDS_WIDE / (double)count), radius = 0.28 * step;

    for (size_t k = 0; k < count; k++) {
        cairo_new_path(canvas->cairo);
        cairo_arc(canvas->cairo, x + radius + 1 + (double)k * step, y, radius, 0, 2 * TW_PI);
        cairo_set_source_rgb(canvas->cairo, 0.2, 0.2, 0.2);
        if (k <= work->frame)
            cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 2, 0.2, 1);
    }
    cairo_new_path(canvas->cairo);
}

static void draw_words(tw_canvas *canvas, const frame_look *work, double x, double y, bool ink)
{
    tw_frame_words words;

    tw_series_frame_words(work->series, work->frame, work->options->units, &words);
    if (ink)
        draw_progress(canvas, work, x, y + 16);
    y += 50;
    y += tw_text_place(canvas, words.heading, &heading_letters, x, y, ink) + 6;
    y += tw_text_place(canvas, words.grams, &grams_letters, x, y, ink) + 10;
    tw_text_place(canvas, words.words, &word_letters, x, y, ink);
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const frame_look *work = context;
    const tw_outline *outline = tw_form_outline(work->series->plate->form);
    const double side = tw_panel_side(canvas);
    const double room = PAGE - 2 * MARGIN - side - WORDS_WIDE - 50;
    const double per_mm = fmin(room / (outline->across_max - outline->across_min),
                               900 / (outline->up_max - outline->up_min));
    const double words_x = PAGE - MARGIN - WORDS_WIDE;
    tw_panel panel = tw_series_panel(work->series, work->frame, &work->scale, MARGIN + side, 0,
                                     per_mm, work->options->threads);
    double y = 32;
    tw_status status = TW_OK;

    y += tw_text_place(canvas, work->title, &title_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(canvas, work->line, &line_letters, MARGIN, y, ink) + 26;
    panel.frame.x =
        floor((MARGIN + side + (room - panel.frame.width) / 2) * canvas->unit) / canvas->unit;
    panel.frame.y = ceil(y * canvas->unit) / canvas->unit;
    panel.ticks_left = true;
    if (ink)
        status = tw_panel_draw(canvas, &panel, arena, err);
    draw_words(canvas, work, words_x, y, ink);
    y = panel.frame.y + fmax(panel.frame.height + tw_panel_foot(canvas), 420) + 20;
    if (ink)
        tw_legend_draw(canvas, &work->scale,
                       canvas->units == TW_INCH ? "Thickness, in" : "Thickness, mm", NULL, NULL,
                       MARGIN + side, y, PAGE - 2 * MARGIN - side);
    y += 118;
    y += tw_text_place(canvas, work->foot, &foot_letters, MARGIN, y, ink);
    *height = y + 28;
    return status;
}

tw_status tw_draw_series_frame(const tw_series *series, size_t frame, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err)
{
    const frame_look work = look_at(series, frame, options);

    assert(frame < series->count);
    return tw_picture_write(options, lay_out, &work, paper, out, err);
}

tw_status tw_draw_series_moving(const tw_series *series, const tw_draw_options *options,
                                tw_output *out, tw_error *err)
{
    const size_t width = options->width ? options->width : MOVING_WIDE;
    tw_image frames[TW_FRAMES_MAX] = {{0}};
    unsigned hold[TW_FRAMES_MAX];
    const tw_png_text texts[] = {{"Software", "taperwright"}, {"Title", options->title}};
    tw_status status = tw_picture_check(options, err);

    for (size_t k = 0; status == TW_OK && k < series->count; k++) {
        const frame_look work = look_at(series, k, options);
        hold[k] = k + 1 < series->count ? HOLD_MS : HOLD_LAST_MS;
        status = tw_picture_image(options, width, lay_out, &work, &frames[k], err);
    }
    if (status == TW_OK)
        status = tw_png_write_moving(out, frames, hold, series->count, texts,
                                     options->title ? 2 : 1, err);
    for (size_t k = 0; k < series->count; k++)
        tw_image_release(&frames[k]);
    return status;
}
