/* Levels of 16-bit grey: written, read back, held against libpng's own reader; and every kind of file that
 * is not one. */
#include "grey.h"

#include <png.h>

static void levels_and_texts_come_back(void **state)
{
    const tw_grey grey = small_grey();
    tw_grey back = {0};
    size_t size;
    char *data = grey_bytes(&grey, &size);
    tw_error err;

    (void)state;
    assert_int_equal(tw_png_grey_read_memory("grey.png", data, size, &back, &err), TW_OK);
    assert_int_equal(back.width, GREY_WIDTH);
    assert_int_equal(back.height, GREY_HEIGHT);
    assert_memory_equal(back.levels, grey.levels, sizeof grey_levels);
    assert_int_equal(back.text_count, 2);
    for (size_t k = 0; k < 2; k++)
        assert_string_equal(tw_grey_text(&back, grey_texts[k].keyword), grey_texts[k].text);
    assert_null(tw_grey_text(&back, "Title"));
    tw_grey_release(&back);
    assert_null(back.levels);
    tw_grey_release(NULL);
    free(data);
}

static void the_same_levels_give_the_same_bytes(void **state)
{
    const tw_grey grey = small_grey();
    size_t size[2];
    char *data[2];

    (void)state;
    for (int k = 0; k < 2; k++)
        data[k] = grey_bytes(&grey, &size[k]);
    assert_int_equal(size[0], size[1]);
    assert_memory_equal(data[0], data[1], size[0]);
    free(data[0]);
    free(data[1]);
}

/* ---- files of other makers ----------------------------------------------------------------------- */

typedef struct kind {
    int depth, colour, interlace;
    bool transparent;
    png_text *texts;
    int text_count;
} kind;

static void write_other(const char *path, const kind *what)
{
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    FILE *file = fopen(path, "wb");
    unsigned char row[8 * 16] = {0};
    const png_color palette[2] = {{0, 0, 0}, {255, 255, 255}};
    const png_color_16 level = {.gray = 7};

    assert_non_null(file);
    png_init_io(png, file);
    png_set_IHDR(png, info, 16, 4, what->depth, what->colour, what->interlace,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    if (what->colour == PNG_COLOR_TYPE_PALETTE)
        png_set_PLTE(png, info, palette, 2);
    if (what->transparent)
        png_set_tRNS(png, info, NULL, 0, &level);
    if (what->text_count > 0)
        png_set_text(png, info, what->texts, what->text_count);
    png_set_gAMA(png, info, 1 / 2.2); /* says how to show it, and nothing of its levels */
    png_write_info(png, info);
    for (int pass = 0; pass < png_set_interlace_handling(png); pass++)
        for (int k = 0; k < 4; k++)
            png_write_row(png, row);
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    fclose(file);
}

static void expect_refused(const char *path, tw_status status, const char *message,
                           const char *advice)
{
    tw_grey back = {.width = 77};
    tw_error err = {0};

    assert_int_equal(tw_png_grey_read(path, &back, &err), status);
    assert_int_equal(back.width, 77); /* untouched */
    assert_string_equal(err.file, path);
    if (!strstr(err.message, message) || !strstr(err.advice, advice))
        fail_msg("\"%s\"; \"%s\"", err.message, err.advice);
}

static void other_pictures_are_refused_by_name(void **state)
{
    static const struct {
        kind kind;
        const char *message, *advice;
    } cases[] = {
        {{8, PNG_COLOR_TYPE_GRAY, 0, false, NULL, 0}, "8-bit grey, where 16-bit", "16 bits"},
        {{1, PNG_COLOR_TYPE_GRAY, 0, false, NULL, 0}, "1-bit grey", "16 bits"},
        {{16, PNG_COLOR_TYPE_RGB, 0, false, NULL, 0}, "16-bit colour, where", "as grey"},
        {{8, PNG_COLOR_TYPE_RGB, 0, false, NULL, 0}, "8-bit colour, where", "as grey"},
        {{8, PNG_COLOR_TYPE_PALETTE, 0, false, NULL, 0}, "palette", "without a palette"},
        {{16, PNG_COLOR_TYPE_GRAY_ALPHA, 0, false, NULL, 0}, "grey with transparency", "as grey"},
        {{8, PNG_COLOR_TYPE_RGB_ALPHA, 0, false, NULL, 0}, "colour with transparency", "as grey"},
        {{16, PNG_COLOR_TYPE_GRAY, 1, false, NULL, 0}, "interlaced", "without interlacing"},
        {{16, PNG_COLOR_TYPE_GRAY, 0, true, NULL, 0}, "transparent level", "without transparency"},
    };
    const char *path = in_folder("other.png", 0);

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        write_other(path, &cases[k].kind);
        expect_refused(path, TW_ERR_INPUT, cases[k].message, cases[k].advice);
    }
    unlink(path);
}

static void texts_of_every_kind_are_read(void **state)
{
    static char latin[] = "\xD6l, 30\xB0", packed[] = "12.5 12.5 12.5", utf8[] = "\xE2\x80\x93";
    static char none[] = "", broken[] = "\xFF\xFE", key[5][8] = {"a", "b", "c", "d", "e"};
    static char lengthy[TW_GREY_TEXT_MAX + 2];
    png_text texts[5] = {
        {.compression = PNG_TEXT_COMPRESSION_NONE, .key = key[0], .text = latin},
        {.compression = PNG_TEXT_COMPRESSION_zTXt, .key = key[1], .text = packed},
        {.compression = PNG_ITXT_COMPRESSION_zTXt, .key = key[2], .text = utf8},
        {.compression = PNG_ITXT_COMPRESSION_NONE, .key = key[3], .text = broken},
        {.compression = PNG_TEXT_COMPRESSION_zTXt, .key = key[4], .text = lengthy},
    };
    const kind what = {16, PNG_COLOR_TYPE_GRAY, 0, false, texts, 5};
    const char *path = in_folder("texts.png", 0);
    tw_grey back = {0};

    (void)state;
    memset(lengthy, 'x', sizeof lengthy - 1);
    for (int k = 0; k < 5; k++) {
        texts[k].text_length = texts[k].itxt_length = strlen(texts[k].text);
        texts[k].lang = texts[k].lang_key = none;
    }
    write_other(path, &what);
    assert_int_equal(tw_png_grey_read(path, &back, NULL), TW_OK);
    assert_string_equal(tw_grey_text(&back, "a"), "\xC3\x96l, 30\xC2\xB0");
    assert_string_equal(tw_grey_text(&back, "b"), packed);
    assert_string_equal(tw_grey_text(&back, "c"), utf8);
    assert_null(tw_grey_text(&back, "d")); /* no UTF-8 */
    assert_null(tw_grey_text(&back, "e"));
    tw_grey_release(&back);
    unlink(path);
}

/* 300 chunks, of which the first are kept; and 4 MB of text in 4 kB, which is not unpacked. */
static void too_much_text_is_passed_over(void **state)
{
    static char key[] = "k", word[] = "word";
    const size_t length = 4 << 20;
    char *bomb = malloc(length + 1);
    png_text texts[300];
    const kind many = {16, PNG_COLOR_TYPE_GRAY, 0, false, texts, 300};
    kind one = {16, PNG_COLOR_TYPE_GRAY, 0, false, texts, 1};
    const char *path = in_folder("texts.png", 0);
    tw_grey back = {0};

    (void)state;
    for (int k = 0; k < 300; k++)
        texts[k] = (png_text){
            .compression = PNG_TEXT_COMPRESSION_NONE, .key = key, .text = word, .text_length = 4};
    write_other(path, &many);
    assert_int_equal(tw_png_grey_read(path, &back, NULL), TW_OK);
    assert_true(back.text_count > 10 && back.text_count <= TW_GREY_TEXTS_MAX);
    tw_grey_release(&back);
    assert_non_null(bomb);
    memset(bomb, 'a', length);
    bomb[length] = '\0';
    texts[0] = (png_text){
        .compression = PNG_TEXT_COMPRESSION_zTXt, .key = key, .text = bomb, .text_length = length};
    write_other(path, &one);
    free(bomb);
    assert_int_equal(tw_png_grey_read(path, &back, NULL), TW_OK);
    assert_int_equal(back.text_count, 0);
    tw_grey_release(&back);
    unlink(path);
}

static void what_is_no_png_is_told(void **state)
{
    static const struct {
        const char *bytes, *message;
    } cases[] = {{"\xFF\xD8\xFF\xE0 JFIF", "a JPEG"},
                 {"P5 4 4 65535\n0123456789", "a PGM"},
                 {"x [mm], y [mm], z [mm]\n", "no PNG"},
                 {"q", "no PNG"}};
    const char *path = in_folder("other.png", 0);

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        put(path, cases[k].bytes);
        expect_refused(path, TW_ERR_INPUT, cases[k].message, "PNG of 16-bit grey");
    }
    put(path, "");
    expect_refused(path, TW_ERR_INPUT, "empty", "");
    unlink(path);
    expect_refused(path, TW_ERR_INPUT, "no such file", "");
}

/* ---- damage ---------------------------------------------------------------------------------------- */

static void every_cut_is_told(void **state)
{
    const tw_grey grey = small_grey();
    size_t size;
    char *data = grey_bytes(&grey, &size);

    (void)state;
    for (size_t length = 0; length < size; length++) {
        tw_grey back = {.width = 77};
        tw_error err = {0};
        char *part = malloc(length + 1); /* of its own, so that reading past it shows */
        memcpy(part, data, length);
        part = realloc(part, length ? length : 1);
        assert_int_equal(tw_png_grey_read_memory("cut.png", part, length, &back, &err),
                         TW_ERR_INPUT);
        if (length >= 12 && !strstr(err.message, "cut off"))
            fail_msg("%zu bytes of %zu: %s", length, size, err.message);
        assert_int_equal(back.width, 77);
        free(part);
    }
    free(data);
}

/* Checksums tell every change of a byte; a change of the header's size or kind is told too. */
static void every_changed_byte_is_told(void **state)
{
    const tw_grey grey = small_grey();
    size_t size;
    char *data = grey_bytes(&grey, &size);

    (void)state;
    for (size_t at = 0; at < size; at++) {
        const int bit = (int)(at * 5 % 8);
        tw_grey back = {0};
        tw_error err = {0};
        tw_status status;
        data[at] = (char)(data[at] ^ 1 << bit);
        status = tw_png_grey_read_memory("x.png", data, size, &back, &err);
        if (status == TW_OK)
            fail_msg("byte %zu of %zu", at, size);
        assert_true(status == TW_ERR_INPUT || status == TW_ERR_LIMIT);
        data[at] = (char)(data[at] ^ 1 << bit);
    }
    free(data);
}

/* Headers that no writer makes. Bytes: 24 depth, 25 colour, 26 packing, 27 filter, 28 interlace (PNG, third
 * edition, section 11.2.1); 20 to 23 the height. */
static void a_header_without_sense_is_told(void **state)
{
    static const struct {
        size_t at;
        char byte;
        const char *message;
    } cases[] = {
        {25, 1, "makes no sense"}, {25, 5, "makes no sense"},   {25, 7, "makes no sense"},
        {26, 1, "makes no sense"}, {27, 1, "makes no sense"},   {28, 2, "makes no sense"},
        {23, 0, "7 by 0 pixels"},  {12, 'X', "does not begin"}, {11, 14, "does not begin"},
    };
    const tw_grey grey = small_grey();
    size_t size;
    char *data = grey_bytes(&grey, &size);

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const char was = data[cases[k].at];
        tw_grey back = {.width = 77};
        tw_error err = {0};
        data[cases[k].at] = cases[k].byte;
        assert_int_equal(tw_png_grey_read_memory(NULL, data, size, &back, &err), TW_ERR_INPUT);
        assert_int_equal(tw_png_grey_read_memory(NULL, data, size, &back, NULL), TW_ERR_INPUT);
        data[cases[k].at] = was;
        assert_string_equal(err.file, "");
        assert_int_equal(back.width, 77);
        if (!strstr(err.message, cases[k].message))
            fail_msg("byte %zu: %s", cases[k].at, err.message);
    }
    free(data);
}

static void sizes_that_would_not_be_read_are_not_written(void **state)
{
    uint16_t level = 1;
    tw_grey grey = {TW_GREY_SIDE_MAX + 1, 1, &level, 0, NULL};
    tw_output *output = NULL;

    (void)state;
    assert_int_equal(tw_output_begin(in_folder("x.png", 0), &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_LIMIT);
    grey = (tw_grey){1, TW_GREY_SIDE_MAX + 1, &level, 0, NULL};
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_LIMIT);
    grey = (tw_grey){1, 0, &level, 0, NULL};
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_LIMIT);
    grey = (tw_grey){0, 1, &level, 0, NULL};
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_LIMIT);
    grey = (tw_grey){8192, 8192, &level, 0, NULL};
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_ERR_LIMIT);
    tw_output_abandon(output);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(levels_and_texts_come_back),
        cmocka_unit_test(the_same_levels_give_the_same_bytes),
        cmocka_unit_test(other_pictures_are_refused_by_name),
        cmocka_unit_test(texts_of_every_kind_are_read),
        cmocka_unit_test(too_much_text_is_passed_over),
        cmocka_unit_test(what_is_no_png_is_told),
        cmocka_unit_test(every_cut_is_told),
        cmocka_unit_test(every_changed_byte_is_told),
        cmocka_unit_test(a_header_without_sense_is_told),
        cmocka_unit_test(sizes_that_would_not_be_read_are_not_written),
    };

    return cmocka_run_group_tests(tests, begin_folder, end_folder);
}
