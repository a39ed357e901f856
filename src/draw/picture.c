/*
 * picture.c: every picture is laid out twice, once on a canvas of one pixel to learn how tall it gets,
 * then with ink. On paper it is a page 180 mm wide, which fits between the margins of A4 and Letter.
 */
#include "draw_internal.h"

#include <math.h>

static const double PICTURE_MM = 180, MM_PER_INCH = 25.4;

tw_status tw_picture_check(const tw_draw_options *options, tw_error *err)
{
    if (options->width && (options->width < 600 || options->width > 20000))
        return tw_fail(err, TW_ERR_DOMAIN, "a picture %zu pixels wide is outside 600 to 20000",
                       options->width);
    if (options->dots_per_inch != 0 &&
        !(options->dots_per_inch >= 30 && options->dots_per_inch <= 2400))
        return tw_fail(err, TW_ERR_DOMAIN, "%.10g dots per inch are outside 30 to 2400",
                       options->dots_per_inch);
    return tw_font_check(err);
}

static tw_status too_tall(size_t width, double height, tw_error *err)
{
    const double most = floor((double)width * TW_PIXELS_MAX / height);

    tw_fail(err, TW_ERR_DOMAIN, "a picture %zu pixels wide would be %.0f pixels tall, over %d",
            width, height, TW_PIXELS_MAX);
    if (most >= 600)
        tw_error_advise(err, NULL, "at most %.0f pixels wide", most);
    else
        tw_error_advise(err, NULL, "draw fewer parts");
    return TW_ERR_DOMAIN;
}

/* Height in design pixels, by a canvas without room. */
static tw_status measure(const tw_draw_options *options, double unit, tw_layer layer,
                         const void *context, tw_arena *arena, double *height, tw_error *err)
{
    tw_canvas canvas = {0};
    tw_status status = tw_canvas_begin(1, 1, unit, options->units, &canvas, err);

    if (status == TW_OK) {
        canvas.hatch = options->hatch;
        status = layer(&canvas, context, false, arena, height, err);
    }
    tw_canvas_end(&canvas);
    return status;
}

static tw_status draw(const tw_draw_options *options, size_t width, tw_layer layer,
                      const void *context, tw_arena *arena, tw_image *image, tw_error *err)
{
    const double unit = (double)width / TW_PAGE_WIDTH;
    tw_canvas canvas = {0};
    double height = 0;
    tw_status status = measure(options, unit, layer, context, arena, &height, err);

    if (status != TW_OK)
        return status;
    height = ceil(height * unit);
    if (height > TW_PIXELS_MAX)
        return too_tall(width, height, err);
    status = tw_canvas_begin(width, (size_t)height, unit, options->units, &canvas, err);
    if (status == TW_OK) {
        canvas.hatch = options->hatch;
        canvas.words = options->words;
        canvas.missing = options->missing;
        status = layer(&canvas, context, true, arena, &height, err);
        if (status == TW_OK)
            status = tw_canvas_image(&canvas, image, err);
    }
    tw_canvas_end(&canvas);
    if (status == TW_OK && options->words && options->words->lost)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a picture's words");
    return status;
}

tw_status tw_picture_image(const tw_draw_options *options, size_t width, tw_layer layer,
                           const void *context, tw_image *image, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    *image = (tw_image){0};
    status = draw(options, width, layer, context, arena, image, err);
    if (status != TW_OK)
        tw_image_release(image);
    tw_arena_free(arena);
    return status;
}

/* A picture is a page of its own size. */
typedef struct single {
    tw_layer layer;
    const void *context;
} single;

static tw_status draw_single(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                             tw_error *err)
{
    const single *work = context;
    double height;

    (void)page;
    return work->layer(canvas, work->context, true, arena, &height, err);
}

static tw_status write_vector(const tw_draw_options *options, tw_layer layer, const void *context,
                              tw_paper paper, tw_output *out, tw_error *err)
{
    const single work = {layer, context};
    tw_pages pages = {.count = 1,
                      .width_mm = PICTURE_MM,
                      .title = options->title,
                      .design_mm = PICTURE_MM / TW_PAGE_WIDTH,
                      .draw = draw_single,
                      .context = &work};
    tw_arena *arena = tw_arena_new();
    double height = 0;
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    status = measure(options, 1, layer, context, arena, &height, err);
    tw_arena_free(arena);
    if (status != TW_OK)
        return status;
    pages.height_mm = ceil(height) * pages.design_mm;
    return tw_paper_write(&pages, paper, options, out, err);
}

tw_status tw_picture_write(const tw_draw_options *options, tw_layer layer, const void *context,
                           tw_paper paper, tw_output *out, tw_error *err)
{
    const double dots = options->dots_per_inch;
    const size_t width = options->width ? options->width
                         : dots > 0     ? (size_t)(dots * PICTURE_MM / MM_PER_INCH + 0.5)
                                        : TW_PAGE_WIDTH;
    tw_image image = {0};
    tw_status status = tw_picture_check(options, err);

    if (status != TW_OK)
        return status;
    if (paper != TW_PAPER_PNG)
        return write_vector(options, layer, context, paper, out, err);
    status = tw_picture_image(options, width, layer, context, &image, err);
    if (status == TW_OK)
        status = tw_paper_png(out, &image, dots, options->title, options->threads, err);
    tw_image_release(&image);
    return status;
}
