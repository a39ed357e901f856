/*
 * canvas.c: the surface drawn on, and lettering. All sizes are design pixels: those of a picture
 * 1600 wide; the canvas scales them. Text is measured by Pango before it is placed.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

tw_status tw_canvas_on(cairo_surface_t *surface, double unit, tw_units units, tw_canvas *canvas,
                       tw_error *err)
{
    *canvas = (tw_canvas){.unit = unit, .dense = 1, .units = units, .surface = surface};
    canvas->cairo = cairo_create(canvas->surface);
    if (cairo_status(canvas->cairo) == CAIRO_STATUS_SUCCESS) {
        cairo_font_options_t *options = cairo_font_options_create();
        cairo_scale(canvas->cairo, unit, unit);
        canvas->layout = pango_cairo_create_layout(canvas->cairo);
        /* No hinting: letters keep the same shape and place at any size of picture. */
        cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
        cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
        cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
        pango_cairo_context_set_font_options(pango_layout_get_context(canvas->layout), options);
        cairo_font_options_destroy(options);
        return TW_OK;
    }
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing");
}

tw_status tw_canvas_begin(size_t width, size_t height, double unit, tw_units units,
                          tw_canvas *canvas, tw_error *err)
{
    const int stride = cairo_format_stride_for_width(CAIRO_FORMAT_RGB24, (int)width);
    unsigned char *pixels = malloc((size_t)stride * height);
    cairo_surface_t *surface =
        pixels ? cairo_image_surface_create_for_data(pixels, CAIRO_FORMAT_RGB24, (int)width,
                                                     (int)height, stride)
               : NULL;

    if (!surface || tw_canvas_on(surface, unit, units, canvas, NULL) != TW_OK) {
        if (surface)
            tw_canvas_end(canvas);
        free(pixels);
        *canvas = (tw_canvas){0};
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of %zu by %zu pixels", width,
                       height);
    }
    canvas->pixels = pixels;
    memset(pixels, 0xFF, (size_t)stride * height); /* white */
    cairo_surface_mark_dirty(surface);
    return TW_OK;
}

void tw_canvas_end(tw_canvas *canvas)
{
    if (canvas->layout)
        g_object_unref(canvas->layout);
    cairo_destroy(canvas->cairo);
    cairo_surface_destroy(canvas->surface);
    free(canvas->pixels);
    *canvas = (tw_canvas){0};
}

/* Rows move to the front of their own memory, three bytes for four: no picture lies in memory twice. */
tw_status tw_canvas_image(tw_canvas *canvas, tw_image *image, tw_error *err)
{
    const size_t width = (size_t)cairo_image_surface_get_width(canvas->surface);
    const size_t height = (size_t)cairo_image_surface_get_height(canvas->surface);
    const size_t stride = (size_t)cairo_image_surface_get_stride(canvas->surface);
    unsigned char *pixels = canvas->pixels, *smaller;

    if (cairo_status(canvas->cairo) != CAIRO_STATUS_SUCCESS)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of %zu by %zu pixels", width,
                       height);
    cairo_surface_finish(canvas->surface); /* nothing is drawn from here on */
    for (size_t y = 0; y < height; y++) {
        const unsigned char *from = pixels + y * stride;
        unsigned char *to = pixels + 3 * width * y;
        for (size_t x = 0; x < width; x++) {
            uint32_t colour;
            memcpy(&colour, from + 4 * x, sizeof colour);
            to[3 * x] = (unsigned char)(colour >> 16);
            to[3 * x + 1] = (unsigned char)(colour >> 8);
            to[3 * x + 2] = (unsigned char)colour;
        }
    }
    canvas->pixels = NULL; /* the image's from here on */
    smaller = realloc(pixels, 3 * width * height);
    *image = (tw_image){.width = width, .height = height, .pixels = smaller ? smaller : pixels};
    return TW_OK;
}

void tw_canvas_paint(tw_canvas *canvas, cairo_surface_t *samples, double x, double y)
{
    const double samples_per_design = tw_canvas_samples(canvas);

    cairo_save(canvas->cairo);
    cairo_identity_matrix(canvas->cairo);
    cairo_scale(canvas->cairo, 1 / canvas->dense, 1 / canvas->dense);
    cairo_set_source_surface(canvas->cairo, samples, round((canvas->left + x) * samples_per_design),
                             round((canvas->top + y) * samples_per_design));
    cairo_pattern_set_filter(cairo_get_source(canvas->cairo), CAIRO_FILTER_NEAREST);
    cairo_paint(canvas->cairo);
    cairo_restore(canvas->cairo);
}

void tw_canvas_shift(tw_canvas *canvas, double right, double down)
{
    cairo_translate(canvas->cairo, right, down);
    canvas->left += right;
    canvas->top += down;
}

/* ---- words ------------------------------------------------------------------------------------- */

void tw_words_release(tw_words *words)
{
    if (!words)
        return;
    free(words->items);
    tw_arena_free(words->arena);
    *words = (tw_words){0};
}

static void add_words(tw_words *words, const tw_drawn_text *said)
{
    if (words->count == words->room) {
        const size_t room = words->room ? 2 * words->room : 64;
        tw_drawn_text *items = realloc(words->items, room * sizeof *items);
        words->lost = words->lost || !items;
        if (!items)
            return;
        words->items = items;
        words->room = room;
    }
    if (!words->arena)
        words->arena = tw_arena_new();
    words->items[words->count] = *said;
    words->items[words->count].text = words->arena ? tw_arena_text(words->arena, said->text) : NULL;
    if (words->items[words->count].text)
        words->count++;
    else
        words->lost = true;
}

void tw_canvas_say(tw_canvas *canvas, const char *format, ...)
{
    char text[1200];
    va_list arguments;

    if (!canvas->words)
        return;
    va_start(arguments, format);
    tw_format_list(text, sizeof text, format, arguments);
    va_end(arguments);
    add_words(canvas->words, &(tw_drawn_text){.text = text, .page = canvas->page});
}

/* The layout's text, whose ink is to begin at a place in the units of the path. */
static void note_text(tw_canvas *canvas, const char *text, bool mark, double x, double y)
{
    tw_drawn_text said = {.text = text, .page = canvas->page, .mark = mark};
    PangoRectangle ink;
    double corner[2];

    if (!canvas->words || !text[0])
        return;
    pango_layout_get_extents(canvas->layout, &ink, NULL);
    for (int k = 0; k < 4; k++) { /* also of letters that are turned */
        corner[0] = x + (double)(ink.x + (k & 1 ? ink.width : 0)) / PANGO_SCALE;
        corner[1] = y + (double)(ink.y + (k & 2 ? ink.height : 0)) / PANGO_SCALE;
        cairo_user_to_device(canvas->cairo, &corner[0], &corner[1]);
        for (int c = 0; c < 2; c++) {
            const double at = corner[c] / canvas->unit;
            said.box[c] = k == 0 ? at : fmin(said.box[c], at);
            said.box[2 + c] = k == 0 ? at : fmax(said.box[2 + c], at);
        }
    }
    add_words(canvas->words, &said);
}

/* ---- letters ----------------------------------------------------------------------------------- */

/* What lays letters out; halo, grey and mark do not. */
static bool same_layout(const tw_lettering *a, const tw_lettering *b)
{
    return a->size == b->size && a->bold == b->bold && a->align == b->align && a->wrap == b->wrap &&
           a->lines == b->lines;
}

static void set_text(tw_canvas *canvas, const char *text, const tw_lettering *lettering)
{
    PangoFontDescription *font;

    /* Text is mostly drawn right after it was measured: it stays shaped. */
    if (canvas->laid && same_layout(&canvas->letters, lettering) &&
        strcmp(pango_layout_get_text(canvas->layout), text) == 0)
        return;
    canvas->laid = true;
    canvas->letters = *lettering;
    font = pango_font_description_new();
    pango_font_description_set_family_static(font, tw_font_family);
    pango_font_description_set_absolute_size(font, lettering->size * PANGO_SCALE);
    pango_font_description_set_weight(font,
                                      lettering->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(canvas->layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(canvas->layout,
                           lettering->wrap > 0 ? (int)(lettering->wrap * PANGO_SCALE) : -1);
    pango_layout_set_alignment(canvas->layout, lettering->align == TW_CENTRE  ? PANGO_ALIGN_CENTER
                                               : lettering->align == TW_RIGHT ? PANGO_ALIGN_RIGHT
                                                                              : PANGO_ALIGN_LEFT);
    /* A word longer than the line is broken rather than cut. */
    pango_layout_set_wrap(canvas->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_height(canvas->layout, lettering->lines > 0 ? -lettering->lines : -1);
    pango_layout_set_ellipsize(canvas->layout,
                               lettering->lines > 0 ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
    pango_layout_set_text(canvas->layout, text, -1);
}

void tw_text_size(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double *width,
                  double *height)
{
    int w, h;

    set_text(canvas, text, lettering);
    pango_layout_get_size(canvas->layout, &w, &h);
    *width = (double)w / PANGO_SCALE;
    *height = (double)h / PANGO_SCALE;
}

double tw_text_draw(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double x,
                    double y)
{
    const bool wide = canvas->hatch || lettering->clear;
    /* 0.65 closes the gap between two words */
    const double rim = lettering->clear ? 0.65 : canvas->hatch ? 0.4 : 0.22;
    cairo_t *cairo = canvas->cairo;
    double width, height, left;

    tw_text_size(canvas, text, lettering, &width, &height);
    if (lettering->wrap > 0)
        width = lettering->wrap;
    left = lettering->align == TW_CENTRE  ? x - width / 2
           : lettering->align == TW_RIGHT ? x - width
                                          : x;
    note_text(canvas, text, lettering->mark, left, y);
    if (canvas->missing)
        tw_font_missing(canvas->layout, canvas->missing);
    cairo_save(cairo);
    cairo_move_to(cairo, left, y);
    if (lettering->halo) {
        pango_cairo_layout_path(cairo, canvas->layout);
        cairo_set_source_rgba(cairo, 1, 1, 1, wide ? 1 : 0.85);
        cairo_set_line_width(cairo, lettering->size * rim);
        cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
        cairo_stroke(cairo);
        cairo_move_to(cairo, left, y);
    }
    cairo_set_source_rgb(cairo, lettering->grey, lettering->grey, lettering->grey);
    pango_cairo_show_layout(cairo, canvas->layout);
    cairo_restore(cairo);
    cairo_new_path(cairo);
    return height;
}
