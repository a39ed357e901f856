/* drawn.c: a drawing goes into a file of its own and comes back as libpng reads it. */
#include "drawn.h"

#include "support.h"

#include <png.h>
#include <stdlib.h>
#include <unistd.h>

static tw_output *canvas;
static char path[] = "/tmp/tw_drawn_XXXXXX";

tw_output *test_canvas(void)
{
    int file;

    memcpy(path + sizeof path - 7, "XXXXXX", 6);
    file = mkstemp(path);
    assert_true(file >= 0);
    close(file);
    assert_int_equal(tw_output_begin(path, &canvas, NULL), TW_OK);
    return canvas;
}

tw_status test_drawn_bytes(tw_status status, char **bytes, size_t *size)
{
    if (status == TW_OK) {
        assert_int_equal(tw_output_commit(canvas, NULL), TW_OK);
        assert_int_equal(tw_file_read(path, (size_t)1 << 30, bytes, size, NULL), TW_OK);
    } else {
        tw_output_abandon(canvas);
    }
    canvas = NULL;
    unlink(path);
    return status;
}

tw_status test_drawn(tw_status status, tw_image *image)
{
    png_image png = {.version = PNG_IMAGE_VERSION};
    char *bytes = NULL;
    size_t size = 0;

    if (test_drawn_bytes(status, &bytes, &size) != TW_OK)
        return status;
    assert_true(png_image_begin_read_from_memory(&png, bytes, size));
    png.format = PNG_FORMAT_RGB;
    *image = (tw_image){png.width, png.height, malloc(PNG_IMAGE_SIZE(png))};
    assert_non_null(image->pixels);
    assert_true(png_image_finish_read(&png, NULL, image->pixels, 0, NULL));
    free(bytes);
    return TW_OK;
}

static bool has_box(const tw_drawn_text *text)
{
    return text->box[2] > text->box[0] && text->box[3] > text->box[1];
}

size_t test_overlaps(const tw_words *words)
{
    const double touch = 0.5; /* of a design unit: rounding */
    size_t over = 0;

    for (size_t a = 0; a < words->count; a++) {
        const tw_drawn_text *one = &words->items[a];
        for (size_t b = a + 1; b < words->count && has_box(one); b++) {
            const tw_drawn_text *other = &words->items[b];
            const double wide = fmin(one->box[2], other->box[2]) - fmax(one->box[0], other->box[0]);
            const double tall = fmin(one->box[3], other->box[3]) - fmax(one->box[1], other->box[1]);
            if (!has_box(other) || one->page != other->page || wide <= touch || tall <= touch)
                continue;
            print_message("\"%s\" and \"%s\" overlap at %.0f, %.0f\n", one->text, other->text,
                          fmax(one->box[0], other->box[0]), fmax(one->box[1], other->box[1]));
            over++;
        }
    }
    return over;
}

void test_assert_clear(const tw_words *words)
{
    size_t written = 0;

    for (size_t k = 0; k < words->count; k++)
        written += has_box(&words->items[k]);
    assert_true(written > 0);
    assert_int_equal(test_overlaps(words), 0);
}
