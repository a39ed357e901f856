/* PNG: read back by libpng's own reader, dot by dot and chunk by chunk. */
#include "folder.h"

#include <png.h>

enum { WIDTH = 37, HEIGHT = 23 };

static tw_image picture(void)
{
    tw_image image = {WIDTH, HEIGHT, malloc(3 * WIDTH * HEIGHT)};

    for (size_t k = 0; k < 3 * WIDTH * HEIGHT; k++)
        image.pixels[k] = (unsigned char)(k * 7 + k / 50);
    return image;
}

static const tw_png_text texts[] = {
    {"Title", "breast, sheet beside forged"},
    {"Comment", "16 swg (1.63 mm), 30\xC2\xB0, plackart \xE2\x80\x93 invented order"},
    {"Software", ""},
};

static const char *text_of(png_structp png, png_infop info, const char *key, int *compression)
{
    png_textp found;
    int count = 0;

    png_get_text(png, info, &found, &count);
    for (int k = 0; k < count; k++)
        if (strcmp(found[k].key, key) == 0) {
            *compression = found[k].compression;
            return found[k].text;
        }
    return NULL;
}

static void the_picture_comes_back(void **state)
{
    const char *path = in_folder("breast.png", 0);
    tw_image image = picture();
    tw_output *output = NULL;
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_uint_32 x = 0, y = 0;
    int unit = 0, kind = 0;
    FILE *file;
    png_bytepp rows;

    (void)state;
    assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
    assert_int_equal(tw_png_write(output, &image, 150, texts, 3, 1, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);

    file = fopen(path, "rb");
    assert_non_null(file);
    png_init_io(png, file);
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
    fclose(file);
    assert_int_equal(png_get_image_width(png, info), WIDTH);
    assert_int_equal(png_get_image_height(png, info), HEIGHT);
    assert_int_equal(png_get_bit_depth(png, info), 8);
    assert_int_equal(png_get_color_type(png, info), PNG_COLOR_TYPE_RGB);
    rows = png_get_rows(png, info);
    for (size_t row = 0; row < HEIGHT; row++)
        assert_memory_equal(rows[row], image.pixels + 3 * WIDTH * row, 3 * WIDTH);
    assert_true(png_get_pHYs(png, info, &x, &y, &unit) != 0);
    assert_int_equal(x, 5906); /* 150 ÷ 0.0254 = 5905.5 dots per metre */
    assert_int_equal(y, 5906);
    assert_int_equal(unit, PNG_RESOLUTION_METER);
    for (size_t k = 0; k < 3; k++)
        assert_string_equal(text_of(png, info, texts[k].keyword, &kind), texts[k].text);
    text_of(png, info, "Title", &kind);
    assert_int_equal(kind, PNG_TEXT_COMPRESSION_NONE);
    text_of(png, info, "Comment", &kind);
    assert_int_equal(kind, PNG_ITXT_COMPRESSION_NONE); /* UTF-8 may not go into tEXt */
    png_destroy_read_struct(&png, &info, NULL);
    tw_image_release(&image);
    assert_null(image.pixels);
    tw_image_release(NULL);
}

static void the_same_picture_gives_the_same_bytes(void **state)
{
    tw_image image = picture();
    char *data[2] = {NULL, NULL};
    size_t size[2];

    (void)state;
    for (int k = 0; k < 2; k++) {
        const char *path = in_folder(k ? "a.png" : "b.png", k);
        tw_output *output = NULL;
        assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
        assert_int_equal(tw_png_write(output, &image, 0, NULL, 0, 0, NULL), TW_OK);
        assert_int_equal(tw_output_commit(output, NULL), TW_OK);
        assert_int_equal(tw_file_read(path, 1 << 20, &data[k], &size[k], NULL), TW_OK);
    }
    assert_int_equal(size[0], size[1]);
    assert_memory_equal(data[0], data[1], size[0]);
    for (size_t k = 0; k + 4 <= size[0]; k++) /* no resolution asked, none told */
        assert_true(memcmp(data[0] + k, "pHYs", 4) != 0);
    free(data[0]);
    free(data[1]);
    tw_image_release(&image);
}

/* Pixels in several strips, with what repeats across their borders and what does not. */
static void strips_are_one_picture_for_any_number_of_threads(void **state)
{
    enum { WIDE = 600, TALL = 700 };
    test_random random = test_random_begin("strips_are_one_picture_for_any_number_of_threads");
    tw_image image = {WIDE, TALL, calloc(3 * WIDE, TALL)};
    unsigned char *seen = malloc((size_t)3 * WIDE * TALL);
    char *data[3] = {NULL};
    size_t size[3];
    png_image back = {.version = PNG_IMAGE_VERSION};

    (void)state;
    for (size_t y = 0; y < TALL; y++)
        for (size_t k = 0; k < (size_t)3 * WIDE; k++)
            image.pixels[3 * WIDE * y + k] = y % 7 == 0
                                                 ? (unsigned char)test_uniform(&random, 0, 256)
                                             : y % 5 == 0 ? (unsigned char)(k / 90)
                                                          : 255;
    for (unsigned k = 0; k < 3; k++) {
        tw_output *output = NULL;
        const char *path = in_folder("strips.png", (int)k);
        assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
        assert_int_equal(tw_png_write(output, &image, 0, texts, 3, 1u << k, NULL), TW_OK);
        assert_int_equal(tw_output_commit(output, NULL), TW_OK);
        assert_int_equal(tw_file_read(path, 8 << 20, &data[k], &size[k], NULL), TW_OK);
        assert_int_equal(size[k], size[0]);
        assert_memory_equal(data[k], data[0], size[0]);
    }
    assert_true(png_image_begin_read_from_memory(&back, data[0], size[0]) != 0);
    back.format = PNG_FORMAT_RGB;
    assert_true(png_image_finish_read(&back, NULL, seen, 0, NULL) != 0);
    assert_int_equal(back.warning_or_error, 0); /* sums of chunks and of the stream hold */
    assert_memory_equal(seen, image.pixels, (size_t)3 * WIDE * TALL);
    for (int k = 0; k < 3; k++)
        free(data[k]);
    free(seen);
    tw_image_release(&image);
}

/* Noise does not shrink, so that the buffer overflows into the device inside libpng's call. */
static void a_failed_write_is_told_without_leaks(void **state)
{
    test_random random = test_random_begin("a_failed_write_is_told_without_leaks");
    tw_image image = {400, 300, malloc(3 * 400 * 300)};
    tw_output *output = NULL;
    tw_error err = {0};

    (void)state;
    if (access("/dev/full", W_OK) != 0)
        skip();
    for (size_t k = 0; k < 3 * 400 * 300; k++)
        image.pixels[k] = (unsigned char)test_uniform(&random, 0, 256);
    assert_int_equal(tw_output_begin("/dev/full", &output, NULL), TW_OK);
    assert_int_equal(tw_png_write(output, &image, 0, texts, 3, 2, &err), TW_ERR_FILE);
    assert_non_null(strstr(err.message, "no space"));
    assert_int_equal(tw_output_commit(output, NULL), TW_ERR_FILE);
    tw_image_release(&image);
}

static void sizes_no_png_can_have_are_refused(void **state)
{
    static const struct {
        size_t width, height;
        double dots_per_inch;
    } cases[] = {
        {0, 5, 0}, {5, 0, 0}, {(size_t)1 << 40, 1, 0}, {1, (size_t)1 << 31, 0}, {1, 1, 2e6}};
    unsigned char dot[3] = {0};
    tw_output *output = NULL;

    (void)state;
    assert_int_equal(tw_output_begin(in_folder("x.png", 0), &output, NULL), TW_OK);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const tw_image image = {cases[k].width, cases[k].height, dot};
        tw_error err = {0};
        assert_int_equal(tw_png_write(output, &image, cases[k].dots_per_inch, NULL, 0, 0, &err),
                         TW_ERR_LIMIT);
        assert_non_null(strstr(err.message, "cannot be a PNG"));
    }
    tw_output_abandon(output);
    assert_int_equal(count_entries(), 0);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, begin_folder, end_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(the_picture_comes_back),
        IN_FOLDER(the_same_picture_gives_the_same_bytes),
        IN_FOLDER(strips_are_one_picture_for_any_number_of_threads),
        IN_FOLDER(a_failed_write_is_told_without_leaks),
        IN_FOLDER(sizes_no_png_can_have_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
