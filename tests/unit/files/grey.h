/* grey.h: a small picture of levels, as bytes, for tests of its reader. */
#ifndef GREY_H
#define GREY_H

#include "folder.h"

enum { GREY_WIDTH = 7, GREY_HEIGHT = 5 };

static uint16_t grey_levels[GREY_WIDTH * GREY_HEIGHT];
static tw_png_text grey_texts[] = {
    {"taperwright-mm-per-level", "0.001"},
    {"Comment", "Wange, 16 swg, 30\xC2\xB0 \xE2\x80\x93 erfunden"},
};

static inline tw_grey small_grey(void)
{
    for (size_t k = 0; k < GREY_WIDTH * GREY_HEIGHT; k++)
        grey_levels[k] = (uint16_t)(k * k * 977 + 255 * (k % 3));
    return (tw_grey){GREY_WIDTH, GREY_HEIGHT, grey_levels, 2, grey_texts};
}

/* The bytes of its file; free() them. */
static inline char *grey_bytes(const tw_grey *grey, size_t *size)
{
    const char *path = in_folder("grey.png", 3);
    tw_output *output = NULL;
    char *data = NULL;

    assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, grey, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    assert_int_equal(tw_file_read(path, 1 << 24, &data, size, NULL), TW_OK);
    unlink(path);
    return data;
}

#endif
