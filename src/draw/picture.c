/*
 * picture.c: every picture is laid out twice, once on a canvas of one pixel to learn how tall it gets,
 * then with ink.
 */
#include "draw_internal.h"

#include <math.h>

tw_status tw_picture_check(const tw_draw_options *options, tw_error *err)
{
    if (options->width && (options->width < 600 || options->width > 20000))
        return tw_fail(err, TW_ERR_DOMAIN, "a picture %zu pixels wide is outside 600 to 20000",
                       options->width);
    return TW_OK;
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

tw_status tw_picture_make(const tw_draw_options *options, tw_layer layer, const void *context,
                          tw_image *image, tw_error *err)
{
    const size_t width = options->width ? options->width : TW_PAGE_WIDTH;
    const double unit = (double)width / TW_PAGE_WIDTH;
    tw_canvas canvas = {0};
    double height = 0;
    tw_arena *arena;
    tw_status status = tw_picture_check(options, err);

    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    status = tw_canvas_begin(1, 1, unit, options->units, &canvas, err);
    if (status == TW_OK) {
        status = layer(&canvas, context, false, arena, &height, err);
        tw_canvas_end(&canvas);
    }
    height = ceil(height * unit);
    if (status == TW_OK && height > TW_PIXELS_MAX)
        status = too_tall(width, height, err);
    if (status == TW_OK)
        status = tw_canvas_begin(width, (size_t)height, unit, options->units, &canvas, err);
    if (status == TW_OK) {
        status = layer(&canvas, context, true, arena, &height, err);
        if (status == TW_OK)
            status = tw_canvas_image(&canvas, image, err);
        tw_canvas_end(&canvas);
    }
    tw_arena_free(arena);
    return status;
}
