/*
 * Animated PNG: the chunks of the specification in their order (W3C, PNG third edition, 2025, section
 * 11.3.5), each with the CRC that zlib gives, and frames whose pixels come back as they went in.
 */
#include "drawn.h"
#include "support.h"

#include <png.h>
#include <stdlib.h>
#include <unistd.h>
#include <zlib.h>

enum { WIDE = 40, TALL = 30, FRAMES = 3 };

static unsigned long get(const char *at)
{
    const unsigned char *from = (const unsigned char *)at;

    return (unsigned long)from[0] << 24 | (unsigned long)from[1] << 16 |
           (unsigned long)from[2] << 8 | from[3];
}

static void fill(tw_image *image, test_random *random)
{
    *image = (tw_image){WIDE, TALL, malloc(3 * WIDE * TALL)};
    assert_non_null(image->pixels);
    for (size_t k = 0; k < 3 * WIDE * TALL; k++)
        image->pixels[k] = (unsigned char)test_uniform(random, 0, 255.99);
}

/* Inflated rows without filter bytes, which must be those of filters that do nothing or are undone here. */
static void same_pixels(const char *data, size_t size, const tw_image *image)
{
    const size_t row = 1 + 3 * WIDE;
    unsigned char raw[(1 + 3 * WIDE) * TALL], *before = NULL;
    unsigned long length = sizeof raw;

    assert_int_equal(uncompress(raw, &length, (const unsigned char *)data, size), Z_OK);
    assert_int_equal(length, sizeof raw);
    for (size_t y = 0; y < TALL; y++) {
        unsigned char *line = raw + y * row;
        for (size_t k = 1; k < row; k++) {
            const int a = k > 3 ? line[k - 3] : 0, b = before ? before[k] : 0;
            const int c = k > 3 && before ? before[k - 3] : 0;
            const int p = a + b - c, pa = abs(p - a), pb = abs(p - b), pc = abs(p - c);
            const int paeth = pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
            const int add[] = {0, a, b, (a + b) / 2, paeth};
            assert_true(line[0] < 5);
            line[k] = (unsigned char)(line[k] + add[line[0]]);
        }
        assert_memory_equal(line + 1, image->pixels + y * 3 * WIDE, 3 * WIDE);
        before = line;
    }
}

static void frames_come_back(void **state)
{
    static const unsigned hold[FRAMES] = {400, 1000, 65535};
    const tw_png_text title = {"Title", "drei Bilder, größer"};
    test_random random = test_random_begin("moving");
    tw_image frames[FRAMES];
    char *bytes = NULL, *pixels;
    size_t size = 0, used = 0, frame = 0;
    unsigned long sequence = 0;
    bool ended = false;

    (void)state;
    for (size_t k = 0; k < FRAMES; k++)
        fill(&frames[k], &random);
    assert_int_equal(
        test_drawn_bytes(tw_png_write_moving(test_canvas(), frames, hold, FRAMES, &title, 1, NULL),
                         &bytes, &size),
        TW_OK);
    pixels = malloc(size);
    assert_non_null(pixels);
    for (size_t at = 8; at < size;) {
        const size_t length = get(bytes + at);
        const char *type = bytes + at + 4, *data = bytes + at + 8;
        assert_false(ended);
        assert_true(at + 12 + length <= size);
        assert_int_equal(crc32(0, (const unsigned char *)type, (unsigned)length + 4),
                         get(data + length));
        if (memcmp(type, "acTL", 4) == 0) {
            assert_int_equal(get(data), FRAMES);
            assert_int_equal(get(data + 4), 0);
        } else if (memcmp(type, "fcTL", 4) == 0) {
            if (frame > 0)
                same_pixels(pixels, used, &frames[frame - 1]);
            used = 0;
            assert_int_equal(get(data), sequence++);
            assert_int_equal(get(data + 4), WIDE);
            assert_int_equal(get(data + 8), TALL);
            assert_int_equal(get(data + 20) >> 16, hold[frame++]);
        } else if (memcmp(type, "IDAT", 4) == 0) {
            assert_int_equal(frame, 1);
            memcpy(pixels + used, data, length);
            used += length;
        } else if (memcmp(type, "fdAT", 4) == 0) {
            assert_true(frame > 1);
            assert_int_equal(get(data), sequence++);
            memcpy(pixels + used, data + 4, length - 4);
            used += length - 4;
        }
        ended = memcmp(type, "IEND", 4) == 0;
        at += 12 + length;
    }
    assert_true(ended);
    assert_int_equal(frame, FRAMES);
    same_pixels(pixels, used, &frames[FRAMES - 1]);
    free(pixels);
    free(bytes);
    for (size_t k = 0; k < FRAMES; k++)
        tw_image_release(&frames[k]);
}

/* A program that knows no animation, here libpng, sees the first frame. */
static void still_is_the_first(void **state)
{
    static const unsigned hold[2] = {10, 10};
    test_random random = test_random_begin("still");
    tw_image frames[2], seen = {0};

    (void)state;
    fill(&frames[0], &random);
    fill(&frames[1], &random);
    assert_int_equal(
        test_drawn(tw_png_write_moving(test_canvas(), frames, hold, 2, NULL, 0, NULL), &seen),
        TW_OK);
    assert_int_equal(seen.width, WIDE);
    assert_memory_equal(seen.pixels, frames[0].pixels, 3 * WIDE * TALL);
    tw_image_release(&seen);
    tw_image_release(&frames[0]);
    tw_image_release(&frames[1]);
}

static void sizes_must_agree(void **state)
{
    static const unsigned hold[2] = {10, 65536};
    test_random random = test_random_begin("sizes");
    tw_image frames[2], none = {0};

    (void)state;
    fill(&frames[0], &random);
    fill(&frames[1], &random);
    assert_int_equal(
        test_drawn(tw_png_write_moving(test_canvas(), frames, hold, 2, NULL, 0, NULL), &none),
        TW_ERR_LIMIT);
    frames[1].width--;
    assert_int_equal(
        test_drawn(tw_png_write_moving(test_canvas(), frames, hold, 2, NULL, 0, NULL), &none),
        TW_ERR_DOMAIN);
    frames[1].width++;
    frames[1].height--;
    assert_int_equal(
        test_drawn(tw_png_write_moving(test_canvas(), frames, hold, 2, NULL, 0, NULL), &none),
        TW_ERR_DOMAIN);
    assert_null(none.pixels);
    tw_image_release(&frames[0]);
    tw_image_release(&frames[1]);
}

static void sides_that_cannot_be_are_refused(void **state)
{
    static const size_t sides[][2] = {{0, 4}, {4, 0}, {0x8000, 4}, {4, 0x8000}};
    static const unsigned hold[1] = {10};
    unsigned char dot[3] = {0};
    tw_image none = {0};

    (void)state;
    for (size_t k = 0; k < sizeof sides / sizeof *sides; k++) {
        const tw_image frame = {sides[k][0], sides[k][1], dot};
        assert_int_equal(
            test_drawn(tw_png_write_moving(test_canvas(), &frame, hold, 1, NULL, 0, NULL), &none),
            TW_ERR_LIMIT);
    }
    assert_null(none.pixels);
}

/* A full device is told when its buffer overflows, by whichever piece of the file does it. */
static void a_write_that_fails_at_any_byte_is_told(void **state)
{
    static const unsigned hold[2] = {10, 20};
    static const tw_png_text title = {"Title", "two frames"};
    static char filler[1 << 16];
    unsigned char pixels[3 * 6 * 4] = {0};
    const tw_image frames[2] = {{6, 4, pixels}, {6, 4, pixels}};
    char *bytes = NULL;
    size_t size = 0;

    (void)state;
    if (access("/dev/full", W_OK) != 0)
        skip();
    test_drawn_bytes(tw_png_write_moving(test_canvas(), frames, hold, 2, &title, 1, NULL), &bytes,
                     &size);
    free(bytes);
    assert_true(size > 100 && size < sizeof filler);
    for (size_t left = 0; left <= size; left++) {
        tw_output *output = NULL;
        tw_error err = {0};
        assert_int_equal(tw_output_begin("/dev/full", &output, NULL), TW_OK);
        assert_int_equal(tw_output_write(output, filler, sizeof filler - left, NULL), TW_OK);
        assert_int_equal(tw_png_write_moving(output, frames, hold, 2, &title, 1, &err),
                         left < size ? TW_ERR_FILE : TW_OK);
        assert_int_equal(err.status, left < size ? TW_ERR_FILE : TW_OK);
        assert_int_equal(tw_output_commit(output, NULL), TW_ERR_FILE);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(frames_come_back), cmocka_unit_test(still_is_the_first),
        cmocka_unit_test(sizes_must_agree), cmocka_unit_test(sides_that_cannot_be_are_refused),
        cmocka_unit_test(a_write_that_fails_at_any_byte_is_told)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
