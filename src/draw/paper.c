/*
 * paper.c: pages to print at true size, as PDF or SVG, or a picture of the first one. Pages are drawn in
 * tenths of a millimetre; PDF and SVG count in points of 1/72 in, so that a drawing measures true when it
 * is printed at 100 %.
 */
#include "draw_internal.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

#include <stdio.h>
#include <string.h>
#include <strings.h>

#define POINTS_PER_MM (72 / 25.4)
static const double SAMPLES_PER_INCH = 300; /* of what is painted as samples, as printers want it */

tw_paper tw_paper_of(const char *path)
{
    const char *end = path ? strrchr(path, '.') : NULL;

    if (end && strcasecmp(end, ".svg") == 0)
        return TW_PAPER_SVG;
    if (end && strcasecmp(end, ".pdf") == 0)
        return TW_PAPER_PDF;
    return TW_PAPER_PNG;
}

static double design_mm(const tw_pages *pages)
{
    return pages->design_mm > 0 ? pages->design_mm : 0.1;
}

static double first_height(const tw_pages *pages)
{
    return pages->first_height_mm > 0 ? pages->first_height_mm : pages->height_mm;
}

tw_status tw_paper_png(tw_output *out, const tw_image *image, double dots_per_inch,
                       const char *title, unsigned threads, tw_error *err)
{
    const tw_png_text texts[] = {{"Software", "taperwright"}, {"Title", title}};

    return tw_png_write(out, image, dots_per_inch, texts, title ? 2 : 1, threads, err);
}

/* Where bytes go, and what went wrong there. */
typedef struct stream {
    tw_output *out;
    tw_status status;
    tw_error err;
} stream;

static cairo_status_t take(void *closure, const unsigned char *bytes, unsigned length)
{
    stream *to = closure;

    if (to->status == TW_OK)
        to->status = tw_output_write(to->out, bytes, length, &to->err);
    return to->status == TW_OK ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

/* A date of the profile as PDF wants it; a fixed one where it is no date: the same bytes any day. */
static void creation_date(const char *date, char *out, size_t size)
{
    int year, month, day, read = 0;

    /* NOLINTNEXTLINE(cert-err34-c): at most four digits */
    if (date && sscanf(date, "%4d-%2d-%2d%n", &year, &month, &day, &read) == 3 && !date[read] &&
        year > 1000 && month >= 1 && month <= 12 && day >= 1 && day <= 31)
        snprintf(out, size, "%04d-%02d-%02dT00:00:00Z", year, month, day);
    else
        snprintf(out, size, "2000-01-01T00:00:00Z");
}

static void describe(cairo_surface_t *surface, const tw_pages *pages, const char *date)
{
    char created[48];

    creation_date(date, created, sizeof created);
    if (pages->title)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, pages->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "taperwright");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, created);
}

static tw_status draw_page(tw_canvas *canvas, const tw_pages *pages, size_t page, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing");
    canvas->page = page;
    status = pages->draw(canvas, pages->context, page, arena, err);
    if (status == TW_OK && canvas->words && canvas->words->lost)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing's words");
    tw_arena_free(arena);
    return status;
}

static tw_status write_vector(const tw_pages *pages, tw_paper paper, const tw_draw_options *options,
                              tw_output *out, tw_error *err)
{
    const double width = pages->width_mm * POINTS_PER_MM;
    const double height = first_height(pages) * POINTS_PER_MM;
    const size_t count = paper == TW_PAPER_PDF ? pages->count : 1;
    stream to = {.out = out, .status = TW_OK};
    cairo_surface_t *surface = paper == TW_PAPER_PDF
                                   ? cairo_pdf_surface_create_for_stream(take, &to, width, height)
                                   : cairo_svg_surface_create_for_stream(take, &to, width, height);
    tw_canvas canvas;
    tw_status status;

    if (paper == TW_PAPER_PDF)
        describe(surface, pages, options->date);
    status = tw_canvas_on(surface, POINTS_PER_MM * design_mm(pages), options->units, &canvas, err);
    canvas.dense = SAMPLES_PER_INCH / 72;
    canvas.hatch = options->hatch;
    canvas.words = options->words;
    canvas.missing = options->missing;
    for (size_t page = 0; status == TW_OK && page < count; page++) {
        if (page == 1)
            cairo_pdf_surface_set_size(surface, width, pages->height_mm * POINTS_PER_MM);
        status = draw_page(&canvas, pages, page, err);
        cairo_show_page(canvas.cairo);
    }
    cairo_surface_finish(surface);
    if (status == TW_OK && to.status != TW_OK) { /* before cairo's own word for it */
        if (err)
            *err = to.err;
        status = to.status;
    } else if (status == TW_OK && (cairo_status(canvas.cairo) != CAIRO_STATUS_SUCCESS ||
                                   cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS)) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing");
    }
    tw_canvas_end(&canvas);
    return status;
}

static tw_status write_picture(const tw_pages *pages, const tw_draw_options *options,
                               tw_output *out, tw_error *err)
{
    const double dots = options->dots_per_inch;
    const size_t width = options->width ? options->width
                         : dots > 0     ? (size_t)(dots * pages->width_mm / 25.4 + 0.5)
                                        : TW_PAGE_WIDTH;
    const double per_mm = (double)width / pages->width_mm, tall = first_height(pages) * per_mm;
    tw_canvas canvas;
    tw_image image = {0};
    tw_status status;

    if (tall > TW_PIXELS_MAX)
        return tw_fail(err, TW_ERR_DOMAIN, "a picture %zu pixels wide is too tall", width);
    status = tw_canvas_begin(width, (size_t)tall + 1, per_mm * design_mm(pages), options->units,
                             &canvas, err);
    if (status != TW_OK)
        return status;
    canvas.hatch = options->hatch;
    canvas.words = options->words;
    canvas.missing = options->missing;
    status = draw_page(&canvas, pages, 0, err);
    if (status == TW_OK)
        status = tw_canvas_image(&canvas, &image, err);
    if (status == TW_OK) /* at its true size when it is printed by the dots per inch it names */
        status = tw_paper_png(out, &image, 25.4 * per_mm, pages->title, options->threads, err);
    tw_image_release(&image);
    tw_canvas_end(&canvas);
    return status;
}

tw_status tw_paper_write(const tw_pages *pages, tw_paper paper, const tw_draw_options *options,
                         tw_output *out, tw_error *err)
{
    const tw_status status = tw_picture_check(options, err);

    if (status != TW_OK)
        return status;
    return paper == TW_PAPER_PNG ? write_picture(pages, options, out, err)
                                 : write_vector(pages, paper, options, out, err);
}
