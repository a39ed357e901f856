/*
 * png.c: pictures as 8-bit RGB, and levels as 16-bit grey, with text chunks; read back by png_grey.c. libpng reports errors by longjmp(): everything that
 * must outlive the jump stands in one struct made before setjmp(), and the hooks keep it silent.
 */
#include "files_internal.h"

#include <assert.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include <png.h>

/* What is written: one of the two. */
typedef struct subject {
    const tw_png_strips *colour; /* packed already */
    const tw_grey *grey;
    size_t width, height;
    unsigned char *row; /* of grey levels, the high byte of each first */
} subject;

typedef struct writing {
    tw_output *output;
    tw_error *err;
    tw_status status; /* of our own write, when that is what failed */
    png_structp png;
    png_infop info;
    png_text *texts;
} writing;

static void on_error(png_structp png, png_const_charp message)
{
    writing *w = png_get_error_ptr(png);

    if (w->status == TW_OK)
        w->status = tw_fail(w->err, TW_ERR_FILE, "the picture cannot be written: %s", message);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void on_write(png_structp png, png_bytep bytes, size_t size)
{
    writing *w = png_get_io_ptr(png);

    w->status = tw_output_write(w->output, bytes, size, w->err);
    if (w->status != TW_OK)
        png_error(png, "output");
}

static void on_flush(png_structp png)
{
    (void)png;
}

static bool is_ascii(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text >= 0x80)
            return false;
    return true;
}

/* tEXt is Latin-1 only: text with other letters goes into iTXt, which is UTF-8. */
static void fill_texts(png_text *chunks, const tw_png_text *texts, size_t count)
{
    static char none[] = "";

    for (size_t k = 0; k < count; k++) {
        const bool plain = is_ascii(texts[k].text);
        assert(strlen(texts[k].keyword) >= 1 && strlen(texts[k].keyword) <= 79);
        chunks[k].compression = plain ? PNG_TEXT_COMPRESSION_NONE : PNG_ITXT_COMPRESSION_NONE;
        chunks[k].key = (char *)texts[k].keyword; /* libpng copies both, and changes neither */
        chunks[k].text = (char *)texts[k].text;
        chunks[k].text_length = plain ? strlen(texts[k].text) : 0;
        chunks[k].itxt_length = plain ? 0 : strlen(texts[k].text);
        chunks[k].lang = none;
        chunks[k].lang_key = none;
    }
}

static void write_levels(writing *w, const subject *dots)
{
    /* Levels are smooth and noisy in their low byte: they need the filters. */
    png_set_filter(w->png, 0, PNG_ALL_FILTERS);
    png_set_compression_level(w->png, 6);
    png_write_info(w->png, w->info);
    for (size_t y = 0; y < dots->height; y++) {
        const uint16_t *levels = dots->grey->levels + dots->width * y;
        for (size_t k = 0; k < dots->width; k++) {
            dots->row[2 * k] = (unsigned char)(levels[k] >> 8);
            dots->row[2 * k + 1] = (unsigned char)(levels[k] & 0xFF);
        }
        png_write_row(w->png, dots->row);
    }
    png_write_end(w->png, w->info);
}

/* libpng's end of a picture wants to have packed its pixels itself. */
static void write_strips(writing *w, const tw_png_strips *packed)
{
    png_write_info(w->png, w->info);
    for (size_t k = 0; k < packed->count; k++)
        png_write_chunk(w->png, (png_const_bytep) "IDAT",
                        packed->strips[k].bytes + packed->strips[k].from, packed->strips[k].size);
    png_write_chunk(w->png, (png_const_bytep) "IEND", NULL, 0);
}

static void write_picture(writing *w, const subject *dots, double dots_per_inch, size_t text_count)
{
    if (setjmp(png_jmpbuf(w->png)))
        return;
    png_set_write_fn(w->png, w, on_write, on_flush);
    png_set_user_limits(w->png, 0x7FFFFFFF, 0x7FFFFFFF);
    png_set_IHDR(w->png, w->info, (png_uint_32)dots->width, (png_uint_32)dots->height,
                 dots->colour ? 8 : 16, dots->colour ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY,
                 PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    if (dots->colour)
        png_set_sRGB(w->png, w->info, PNG_sRGB_INTENT_PERCEPTUAL);
    if (dots_per_inch > 0) {
        const png_uint_32 per_metre = (png_uint_32)(dots_per_inch / 0.0254 + 0.5);
        png_set_pHYs(w->png, w->info, per_metre, per_metre, PNG_RESOLUTION_METER);
    }
    if (text_count > 0)
        png_set_text(w->png, w->info, w->texts, (int)text_count);
    if (dots->colour)
        write_strips(w, dots->colour);
    else
        write_levels(w, dots);
}

static tw_status write_dots(tw_output *output, const subject *dots, double dots_per_inch,
                            const tw_png_text *texts, size_t text_count, tw_error *err)
{
    writing w = {.output = output, .err = err, .status = TW_ERR_MEMORY};

    w.texts = calloc(text_count ? text_count : 1, sizeof *w.texts);
    w.png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &w, on_error, on_warning);
    w.info = w.png ? png_create_info_struct(w.png) : NULL;
    if (w.texts && w.info) {
        fill_texts(w.texts, texts, text_count);
        w.status = TW_OK;
        write_picture(&w, dots, dots_per_inch, text_count);
    } else {
        tw_fail(err, TW_ERR_MEMORY, "no memory to write the picture");
    }
    png_destroy_write_struct(&w.png, &w.info);
    free(w.texts);
    return w.status;
}

tw_status tw_png_write(tw_output *output, const tw_image *image, double dots_per_inch,
                       const tw_png_text *texts, size_t text_count, unsigned threads, tw_error *err)
{
    tw_png_strips strips;
    const subject dots = {.colour = &strips, .width = image->width, .height = image->height};
    tw_status status;

    assert(output && image->pixels && (texts || text_count == 0));
    if (image->width == 0 || image->height == 0 || image->width > 0x7FFFFFFF / 3 ||
        image->height > 0x7FFFFFFF || dots_per_inch > 1e6)
        return tw_fail(err, TW_ERR_LIMIT, "a picture of %zu by %zu dots cannot be a PNG",
                       image->width, image->height);
    status = tw_png_strips_pack(image, threads, &strips, err);
    if (status == TW_OK)
        status = write_dots(output, &dots, dots_per_inch, texts, text_count, err);
    tw_png_strips_release(&strips);
    return status;
}

tw_status tw_png_grey_write(tw_output *output, const tw_grey *grey, tw_error *err)
{
    subject dots = {.grey = grey, .width = grey->width, .height = grey->height};
    tw_status status;

    assert(output && grey->levels && (grey->texts || grey->text_count == 0));
    if (grey->width == 0 || grey->height == 0 || grey->width > TW_GREY_SIDE_MAX ||
        grey->height > TW_GREY_SIDE_MAX || grey->width * grey->height > TW_GREY_LEVELS_MAX)
        return tw_fail(err, TW_ERR_LIMIT, "a picture of %zu by %zu levels would not be read again",
                       grey->width, grey->height);
    dots.row = malloc(2 * grey->width);
    if (!dots.row)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to write the picture");
    status = write_dots(output, &dots, 0, grey->texts, grey->text_count, err);
    free(dots.row);
    return status;
}

void tw_image_release(tw_image *image)
{
    if (!image)
        return;
    free(image->pixels);
    *image = (tw_image){0};
}
