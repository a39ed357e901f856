/*
 * png_grey.c: levels of 16-bit grey from a PNG. What the file says of itself (its header) is judged here
 * before libpng sees it, so that a wrong kind of picture is told in plain words and a bomb costs nothing:
 * deflate packs at most 1032 bytes into one (zlib's "Technical Details"), so no more is taken from the
 * heap than the file's own bytes could fill. libpng reports errors by longjmp(): everything that must
 * outlive the jump stands in one struct made before setjmp(), and the hooks keep it silent.
 */
#include "files_internal.h"

#include <assert.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include <png.h>

enum { SIGNATURE = 8, HEADER = 33, PACKED_MOST = 1032, CHUNK_MOST = 1 << 18 };

typedef struct reading {
    const unsigned char *data;
    size_t size, at;
    bool ran_out;
    png_structp png;
    png_infop info;
    tw_error *err;
    tw_status status;
    tw_grey grey;
} reading;

/* ---- what the file says of itself -------------------------------------------------------------- */

static size_t number_at(const unsigned char *at)
{
    return (size_t)at[0] << 24 | (size_t)at[1] << 16 | (size_t)at[2] << 8 | at[3];
}

static tw_status no_png(const unsigned char *data, size_t size, tw_error *err)
{
    static const struct {
        const char *begin;
        size_t length;
        const char *what;
    } others[] = {{"\xFF\xD8\xFF", 3, "a JPEG"},
                  {"II*\0", 4, "a TIFF"},
                  {"MM\0*", 4, "a TIFF"},
                  {"GIF8", 4, "a GIF"},
                  {"BM", 2, "a BMP"},
                  {"P5", 2, "a PGM"},
                  {"\x89PNG\r\n\x1a\n", 8, "a PNG"},
                  {"RIFF", 4, "a WebP"}};
    const char *what = NULL;

    for (size_t k = 0; k < sizeof others / sizeof *others && !what; k++)
        if (size >= others[k].length && memcmp(data, others[k].begin, others[k].length) == 0)
            what = others[k].what;
    if (what)
        tw_fail(err, TW_ERR_INPUT, "it is %s, where a PNG is wanted", what);
    else
        tw_fail(err, TW_ERR_INPUT, "it is no PNG");
    tw_error_advise(err, NULL, "save it as a PNG of 16-bit grey");
    return TW_ERR_INPUT;
}

static tw_status cut_off(size_t size, tw_error *err)
{
    tw_fail(err, TW_ERR_INPUT, "the picture is cut off after %zu bytes", size);
    tw_error_advise(err, NULL, "copy or save it again, whole");
    return TW_ERR_INPUT;
}

static tw_status check_kind(const unsigned char *header, tw_error *err)
{
    static const char *const kinds[] = {"grey",
                                        NULL,
                                        "colour",
                                        "colour by a palette",
                                        "grey with transparency",
                                        NULL,
                                        "colour with transparency"};
    const unsigned depth = header[24], colour = header[25], interlace = header[28];

    if (colour >= sizeof kinds / sizeof *kinds || !kinds[colour] || header[26] != 0 ||
        header[27] != 0 || interlace > 1)
        return tw_fail(err, TW_ERR_INPUT, "the picture is damaged: its header makes no sense");
    if (colour != PNG_COLOR_TYPE_GRAY || depth != 16) {
        tw_fail(err, TW_ERR_INPUT, "it holds %u-bit %s, where 16-bit grey is wanted", depth,
                kinds[colour]);
        tw_error_advise(err, NULL,
                        colour != PNG_COLOR_TYPE_GRAY
                            ? "save it as grey with 16 bits a pixel, without a palette or "
                              "transparency"
                            : "save it with 16 bits a pixel: 8 bits have too few steps for metal");
        return TW_ERR_INPUT;
    }
    if (interlace != 0) {
        tw_fail(err, TW_ERR_INPUT, "it is interlaced, which is not read here");
        tw_error_advise(err, NULL, "save it without interlacing");
        return TW_ERR_INPUT;
    }
    return TW_OK;
}

static tw_status check_header(const unsigned char *data, size_t size, size_t *width, size_t *height,
                              tw_error *err)
{
    tw_status status;

    if (size < SIGNATURE ? memcmp(data, "\x89PNG\r\n\x1a\n", size) != 0
                         : memcmp(data, "\x89PNG\r\n\x1a\n", SIGNATURE) != 0)
        return no_png(data, size, err);
    if (size < HEADER)
        return cut_off(size, err);
    if (number_at(data + 8) != 13 || memcmp(data + 12, "IHDR", 4) != 0)
        return tw_fail(err, TW_ERR_INPUT,
                       "the picture is damaged: it does not begin with its size");
    *width = number_at(data + 16);
    *height = number_at(data + 20);
    status = check_kind(data, err);
    if (status != TW_OK)
        return status;
    if (*width == 0 || *height == 0)
        return tw_fail(err, TW_ERR_INPUT, "the picture is damaged: it is %zu by %zu pixels", *width,
                       *height);
    if (*width > TW_GREY_SIDE_MAX || *height > TW_GREY_SIDE_MAX ||
        *width * *height > TW_GREY_LEVELS_MAX) {
        tw_fail(err, TW_ERR_LIMIT, "it is %zu by %zu pixels, more than are read", *width, *height);
        tw_error_advise(err, NULL, "at most %d along a side and %d million in all: make it smaller",
                        TW_GREY_SIDE_MAX, TW_GREY_LEVELS_MAX / 1000000);
        return TW_ERR_LIMIT;
    }
    if ((1 + 2 * *width) * *height / PACKED_MOST > size) {
        tw_fail(err, TW_ERR_INPUT,
                "the picture is cut off: %zu bytes cannot hold %zu by %zu pixels", size, *width,
                *height);
        tw_error_advise(err, NULL, "copy or save it again, whole");
        return TW_ERR_INPUT;
    }
    return TW_OK;
}

/* No chunk is longer than what is left of the file: libpng asks for its room before it reads it. */
static tw_status check_chunks(const unsigned char *data, size_t size, tw_error *err)
{
    enum { AROUND = 12 }; /* length, name and checksum */

    for (size_t at = SIGNATURE; size - at >= AROUND;) {
        const size_t length = number_at(data + at);
        if (length > size - at - AROUND)
            return cut_off(size, err);
        if (memcmp(data + at + 4, "IEND", 4) == 0)
            break;
        at += AROUND + length;
    }
    return TW_OK;
}

/* ---- libpng ------------------------------------------------------------------------------------ */

static void on_error(png_structp png, png_const_charp message)
{
    reading *r = png_get_error_ptr(png);

    if (r->status == TW_OK && r->ran_out)
        r->status = cut_off(r->size, r->err);
    else if (r->status == TW_OK)
        r->status = tw_fail(r->err, TW_ERR_INPUT, "the picture is damaged: %s", message);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void on_read(png_structp png, png_bytep bytes, size_t size)
{
    reading *r = png_get_io_ptr(png);

    if (size > r->size - r->at) {
        r->ran_out = true;
        png_error(png, "end of file");
    }
    memcpy(bytes, r->data + r->at, size);
    r->at += size;
}

/* From here on libpng may jump out. */
static void read_levels(reading *r)
{
    /* Chunks that say nothing of levels are not even unpacked. */
    static const png_byte passed_over[] =
        "bKGD\0cHRM\0eXIf\0gAMA\0hIST\0iCCP\0oFFs\0pCAL\0pHYs\0sBIT\0sCAL\0sPLT\0sRGB\0tIME";
    const size_t width = r->grey.width;

    if (setjmp(png_jmpbuf(r->png)))
        return;
    png_set_read_fn(r->png, r, on_read);
    png_set_user_limits(r->png, TW_GREY_SIDE_MAX, TW_GREY_SIDE_MAX);
    png_set_chunk_cache_max(r->png, TW_GREY_TEXTS_MAX);
    png_set_chunk_malloc_max(r->png, CHUNK_MOST);
    png_set_crc_action(r->png, PNG_CRC_ERROR_QUIT, PNG_CRC_ERROR_QUIT);
    png_set_keep_unknown_chunks(r->png, PNG_HANDLE_CHUNK_NEVER, passed_over,
                                (int)(sizeof passed_over / 5));
    png_read_info(r->png, r->info);
    if (png_get_valid(r->png, r->info, PNG_INFO_tRNS)) {
        r->status = tw_fail(r->err, TW_ERR_INPUT, "it has a transparent level");
        tw_error_advise(r->err, NULL, "save it without transparency: level 0 is nothing there");
        return;
    }
    for (size_t row = 0; row < r->grey.height; row++) {
        uint16_t *levels = r->grey.levels + width * row;
        const unsigned char *bytes = (const unsigned char *)levels;
        png_read_row(r->png, (png_bytep)levels, NULL);
        for (size_t k = 0; k < width; k++) /* the high byte comes first */
            levels[k] = (uint16_t)(bytes[2 * k] << 8 | bytes[2 * k + 1]);
    }
    png_read_end(r->png, r->info);
}

/* ---- texts -------------------------------------------------------------------------------------- */

static bool is_latin(const png_text *text)
{
    return text->compression == PNG_TEXT_COMPRESSION_NONE ||
           text->compression == PNG_TEXT_COMPRESSION_zTXt;
}

/* Length of a text in UTF-8; 0 for one that is left out. */
static size_t length_of(const png_text *text, const char *words)
{
    const unsigned char *at = (const unsigned char *)words;
    const size_t length = strlen(words);
    size_t used = 0;

    if (length > TW_GREY_TEXT_MAX)
        return 0;
    if (is_latin(text)) {
        for (; *at; at++)
            used += *at < 0x80 ? 1 : 2;
        return used;
    }
    while (used < length) {
        const size_t letter = tw_utf8_letter(at + used, length - used);
        if (letter == 0)
            return 0;
        used += letter;
    }
    return used;
}

static char *copy_text(char *out, const char *words, bool latin)
{
    for (const unsigned char *at = (const unsigned char *)words; *at; at++) {
        if (latin && *at >= 0x80) {
            *out++ = (char)(0xC0 | *at >> 6);
            *out++ = (char)(0x80 | (*at & 0x3F));
        } else {
            *out++ = (char)*at;
        }
    }
    *out++ = '\0';
    return out;
}

/* Keywords are Latin-1 in every chunk. */
static const png_text keyword_rules = {.compression = PNG_TEXT_COMPRESSION_NONE};

static bool is_kept(const png_text *text)
{
    return text->key && text->text && length_of(&keyword_rules, text->key) > 0 &&
           length_of(text, text->text) > 0;
}

static tw_status keep_texts(reading *r)
{
    png_textp found = NULL;
    int count = 0;
    size_t room = 0, kept = 0;
    char *words;

    png_get_text(r->png, r->info, &found, &count);
    for (int k = 0; k < count; k++)
        if (is_kept(&found[k])) {
            room +=
                length_of(&keyword_rules, found[k].key) + length_of(&found[k], found[k].text) + 2;
            kept++;
        }
    if (kept == 0)
        return TW_OK;
    r->grey.texts = malloc(kept * sizeof *r->grey.texts + room);
    if (!r->grey.texts)
        return tw_fail(r->err, TW_ERR_MEMORY, "no memory to read the picture");
    words = (char *)(r->grey.texts + kept);
    for (int k = 0; k < count; k++)
        if (is_kept(&found[k])) {
            tw_png_text *text = &r->grey.texts[r->grey.text_count++];
            text->keyword = words;
            words = copy_text(words, found[k].key, true);
            text->text = words;
            words = copy_text(words, found[k].text, is_latin(&found[k]));
        }
    return TW_OK;
}

/* ---- the whole ---------------------------------------------------------------------------------- */

static tw_status unpack(reading *r)
{
    /* The row that libpng fills is as long as a row of levels, so that it can be turned in place. */
    r->grey.levels = malloc(r->grey.width * r->grey.height * sizeof *r->grey.levels);
    if (!r->grey.levels)
        return tw_fail(r->err, TW_ERR_MEMORY, "no memory for %zu by %zu pixels", r->grey.width,
                       r->grey.height);
    r->png = png_create_read_struct(PNG_LIBPNG_VER_STRING, r, on_error, on_warning);
    r->info = r->png ? png_create_info_struct(r->png) : NULL;
    if (!r->info)
        return tw_fail(r->err, TW_ERR_MEMORY, "no memory to read the picture");
    read_levels(r);
    return r->status == TW_OK ? keep_texts(r) : r->status;
}

tw_status tw_png_grey_read_memory(const char *name, const void *data, size_t size, tw_grey *out,
                                  tw_error *err)
{
    reading r = {.data = data, .size = size, .err = err};
    tw_status status;

    assert(data && out);
    status = check_header(data, size, &r.grey.width, &r.grey.height, err);
    if (status == TW_OK)
        status = check_chunks(data, size, err);
    if (status == TW_OK)
        status = unpack(&r);
    png_destroy_read_struct(&r.png, &r.info, NULL);
    if (status == TW_OK) {
        *out = r.grey;
        return TW_OK;
    }
    tw_grey_release(&r.grey);
    if (err)
        tw_format(err->file, sizeof err->file, "%s", name ? name : "");
    return status;
}

tw_status tw_png_grey_read(const char *path, tw_grey *out, tw_error *err)
{
    char *data = NULL;
    size_t size = 0;
    tw_status status = tw_file_read(path, TW_GREY_CEILING, &data, &size, err);

    if (status != TW_OK)
        return status;
    status = tw_png_grey_read_memory(path, data, size, out, err);
    free(data);
    return status;
}

const char *tw_grey_text(const tw_grey *grey, const char *keyword)
{
    for (size_t k = 0; k < grey->text_count; k++)
        if (strcmp(grey->texts[k].keyword, keyword) == 0)
            return grey->texts[k].text;
    return NULL;
}

void tw_grey_release(tw_grey *grey)
{
    if (!grey)
        return;
    free(grey->levels);
    free(grey->texts);
    *grey = (tw_grey){0};
}
