/*
 * fuzz_png_import.c: a picture of 16-bit grey as thickness map and as heights. An input is a PNG, whose
 * checksums are put right so that what lies behind them is reached; or else width, height, text chunks
 * and levels, from which one is written.
 * Holds: a picture that is written reads back level by level and text by text; what is read holds no
 * more than the limits say; a map or a form made from it is weighed with finite numbers, or refused.
 */
#include "fuzz.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <zlib.h>

#include "taperwright/files.h"

static const unsigned char SIGNATURE[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};

static uint32_t big_endian(const unsigned char *at)
{
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

/* PNG (ISO/IEC 15948), 5.3: length, type, data, CRC-32 of type and data. */
static void repair(unsigned char *png, size_t size)
{
    size_t at = sizeof SIGNATURE;

    while (size - at >= 12 && big_endian(png + at) <= size - at - 12) {
        const size_t length = big_endian(png + at);
        const uLong sum = crc32(crc32(0, NULL, 0), png + at + 4, (uInt)length + 4);
        for (int k = 0; k < 4; k++)
            png[at + 8 + length + (size_t)k] = (unsigned char)(sum >> (24 - 8 * k));
        at += length + 12;
    }
}

/* ---- a picture written from an input --------------------------------------------------------- */

/* Words of a chunk that the file may say itself, and one of no meaning. */
static const char *const KEYWORDS[] = {
    TW_PICTURE_QUANTITY, TW_PICTURE_UNIT, TW_PICTURE_LEVEL, TW_PICTURE_OFFSET, TW_PICTURE_PIXEL,
    TW_PICTURE_PIXEL_UP, TW_PICTURE_LEFT, TW_PICTURE_TOP,   TW_PICTURE_ORIGIN, "Comment"};
enum { KEYWORD_COUNT = sizeof KEYWORDS / sizeof *KEYWORDS };

/* Lines "digit text" up to an empty one. @return bytes used */
static size_t texts_of(char *text, size_t size, tw_grey *grey, tw_png_text *texts)
{
    size_t at = 0;

    grey->texts = texts;
    while (at < size && text[at] >= '0' && text[at] <= '9' && grey->text_count < KEYWORD_COUNT) {
        char *end = memchr(text + at, '\n', size - at);
        if (!end)
            return size;
        *end = '\0';
        texts[grey->text_count++] = (tw_png_text){KEYWORDS[text[at] - '0'], text + at + 1};
        at = (size_t)(end - text) + 1;
    }
    return at < size && text[at] == '\n' ? at + 1 : at;
}

static bool can_be_text(const tw_grey *grey)
{
    for (size_t k = 0; k < grey->text_count; k++)
        for (const unsigned char *at = (const unsigned char *)grey->texts[k].text; *at;) {
            const size_t letter = tw_utf8_letter(at, strlen((const char *)at));
            if (letter == 0 || tw_utf8_control(at, letter))
                return false;
            at += letter;
        }
    return true;
}

static void check_back(const tw_grey *grey, const char *bytes, size_t size)
{
    tw_grey back = {0};
    tw_error err = {0};

    fuzz_require(tw_png_grey_read_memory("map.png", bytes, size, &back, &err) == TW_OK,
                 "what was written is read: %s", err.message);
    fuzz_require(back.width == grey->width && back.height == grey->height &&
                     memcmp(back.levels, grey->levels, 2 * grey->width * grey->height) == 0,
                 "levels come back");
    for (size_t k = 0; k < grey->text_count && can_be_text(grey); k++) {
        const char *text = tw_grey_text(&back, grey->texts[k].keyword);
        const char *first = tw_grey_text(grey, grey->texts[k].keyword);
        /* an empty one may be left out */
        fuzz_require(!*first || (text && strcmp(text, first) == 0), "\"%s\" comes back as \"%s\"",
                     first, text ? text : "nothing");
    }
    tw_grey_release(&back);
}

/* The bytes of a PNG from sides 1…32, texts and levels; levels beyond the input are those before them. */
static char *written(const uint8_t *data, size_t size, size_t *length)
{
    char *copy = malloc(size + 1), *png = NULL;
    tw_png_text texts[KEYWORD_COUNT];
    uint16_t levels[32 * 32];
    tw_grey grey = {.levels = levels};
    tw_output *output = NULL;
    char path[160];
    size_t at;

    fuzz_require(copy != NULL, "memory");
    memcpy(copy, data, size);
    copy[size] = '\0';
    grey.width = 1 + data[0] % 32u;
    grey.height = 1 + data[1] % 32u;
    at = 2 + texts_of(copy + 2, size - 2, &grey, texts);
    for (size_t k = 0; k < grey.width * grey.height; k++, at += 2) {
        levels[k] = k > 0 ? levels[k - 1] : 1000;
        if (at + 1 < size)
            levels[k] = (uint16_t)(data[at] << 8 | data[at + 1]);
    }
    snprintf(path, sizeof path, "%s/written.png", fuzz_folder());
    fuzz_require(tw_output_begin(path, &output, NULL) == TW_OK, "begin %s", path);
    if (tw_png_grey_write(output, &grey, NULL) != TW_OK) {
        tw_output_abandon(output);
    } else {
        fuzz_require(tw_output_commit(output, NULL) == TW_OK &&
                         tw_file_read(path, TW_GREY_CEILING, &png, length, NULL) == TW_OK,
                     "write %s", path);
        unlink(path);
        check_back(&grey, png, *length);
    }
    free(copy);
    return png;
}

/* ---- what is made of it ------------------------------------------------------------------------ */

static const char MAP[] = "plate: t\nmaterial: mild steel\nruler: mm\nform: flat\n"
                          "outline: {rectangle: {at: [0, 0], across: 5 mm, up: 5 mm}}\n"
                          "thickness: {image: {file: map.png%s}}\n";
static const char HEIGHTS[] = "plate: t\nmaterial: mild steel\nruler: mm\n"
                              "form: {heights: {file: map.png%s}}\n"
                              "thickness: {sheet: 1.5 mm}\n";
static const char KEYS[] = ", mm per pixel: 1 mm, mm per level: 0.001 mm";

static void try_profile(const fuzz_files *files, const char *format, const char *keys)
{
    tw_profile *profile = NULL;
    tw_notes errors;
    char path[200], text[400];
    tw_status status;

    snprintf(path, sizeof path, "%.*splate.yaml",
             (int)(strrchr(files->file[0].path, '/') - files->file[0].path + 1),
             files->file[0].path);
    snprintf(text, sizeof text, format, keys);
    status = tw_profile_read_memory(path, text, strlen(text), NULL, 0, &profile, &errors);
    if (status == TW_OK)
        fuzz_weigh(profile, NULL);
    else
        fuzz_check_refusal(status, &errors, NULL);
    tw_profile_free(profile);
}

static void try_picture(const char *png, size_t size)
{
    tw_grey grey = {0};
    tw_error err = {0};
    fuzz_files files;

    if (tw_png_grey_read_memory("map.png", png, size, &grey, &err) != TW_OK) {
        fuzz_check_error(&err, NULL);
        return;
    }
    fuzz_require(grey.width > 0 && grey.width <= TW_GREY_SIDE_MAX && grey.height > 0 &&
                     grey.height <= TW_GREY_SIDE_MAX && grey.text_count <= TW_GREY_TEXTS_MAX,
                 "%zu × %zu, %zu texts", grey.width, grey.height, grey.text_count);
    tw_grey_release(&grey);
    fuzz_files_begin((const uint8_t *)png, size, "map.png", &files);
    try_profile(&files, MAP, "");
    try_profile(&files, MAP, KEYS);
    try_profile(&files, HEIGHTS, "");
    try_profile(&files, HEIGHTS, KEYS);
    fuzz_files_end(&files);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *png = NULL;

    if (size < sizeof SIGNATURE)
        return 0;
    if (memcmp(data, SIGNATURE, sizeof SIGNATURE) == 0) {
        png = malloc(size);
        fuzz_require(png != NULL, "memory");
        memcpy(png, data, size);
        repair((unsigned char *)png, size);
    } else {
        png = written(data, size, &size);
    }
    if (png)
        try_picture(png, size);
    free(png);
    return 0;
}
