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
