/*
 * png_moving.c: animated PNG. Each frame is encoded as a picture of its own; its chunks of pixels are then
 * written one after another under the control chunks of an animation. Programs that know no animation show
 * the first frame. Source: PNG specification, third edition (W3C, 2025), section 11.3.5 (acTL, fcTL, fdAT).
 */
#include "files_internal.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include <png.h>
#include <zlib.h>

enum { SIGNATURE = 8, HEAD = 8, CRC = 4 }; /* bytes; head: length and type of a chunk */

typedef struct writing {
    tw_output *out;
    tw_error *err;
    unsigned sequence; /* of the next control or pixel chunk */
} writing;

static void put(unsigned char *to, unsigned long value)
{
    for (int k = 0; k < 4; k++)
        to[k] = (unsigned char)(value >> (24 - 8 * k));
}

static unsigned long get(const unsigned char *from)
{
    return (unsigned long)from[0] << 24 | (unsigned long)from[1] << 16 |
           (unsigned long)from[2] << 8 | from[3];
}

/* A chunk whose data begins with `lead`. */
static tw_status write_chunk(writing *w, const char *type, const unsigned char *lead,
                             size_t lead_size, const unsigned char *data, size_t size)
{
    unsigned char head[HEAD], tail[CRC];
    unsigned long crc;
    tw_status status;

    put(head, (unsigned long)(lead_size + size));
    memcpy(head + 4, type, 4);
    crc = crc32(0, head + 4, 4);
    if (lead_size > 0)
        crc = crc32(crc, lead, (unsigned)lead_size);
    if (size > 0)
        crc = crc32(crc, data, (unsigned)size);
    put(tail, crc);
    status = tw_output_write(w->out, head, sizeof head, w->err);
    if (status == TW_OK && lead_size > 0)
        status = tw_output_write(w->out, lead, lead_size, w->err);
    if (status == TW_OK && size > 0)
        status = tw_output_write(w->out, data, size, w->err);
    return status == TW_OK ? tw_output_write(w->out, tail, sizeof tail, w->err) : status;
}

static tw_status encode(const tw_image *image, unsigned char **bytes, size_t *size, tw_error *err)
{
    png_image png = {.version = PNG_IMAGE_VERSION,
                     .width = (png_uint_32)image->width,
                     .height = (png_uint_32)image->height,
                     .format = PNG_FORMAT_RGB};
    png_alloc_size_t room = PNG_IMAGE_PNG_SIZE_MAX(png);

    *bytes = malloc(room);
    if (*bytes && png_image_write_to_memory(&png, *bytes, &room, 0, image->pixels, 0, NULL)) {
        *size = room;
        return TW_OK;
    }
    png_image_free(&png);
    free(*bytes);
    *bytes = NULL;
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a frame of %zu by %zu dots", image->width,
                   image->height);
}

static tw_status write_control(writing *w, const tw_image *image, unsigned hold_ms)
{
    unsigned char data[26] = {0};

    put(data, w->sequence++);
    put(data + 4, (unsigned long)image->width);
    put(data + 8, (unsigned long)image->height);
    data[20] = (unsigned char)(hold_ms >> 8); /* in thousandths of a second */
    data[21] = (unsigned char)hold_ms;
    data[22] = 1000 >> 8;
    data[23] = 1000 & 255;
    return write_chunk(w, "fcTL", data, sizeof data, NULL, 0);
}

/* What stands before the pixels of all frames. */
static tw_status write_start(writing *w, const unsigned char *header, size_t count,
                             const tw_png_text *texts, size_t text_count)
{
    unsigned char animation[8] = {0};
    tw_status status = tw_output_write(w->out, "\x89PNG\r\n\x1a\n", SIGNATURE, w->err);

    if (status == TW_OK)
        status = write_chunk(w, "IHDR", header, 13, NULL, 0);
    if (status == TW_OK)
        status = write_chunk(w, "sRGB", (const unsigned char *)"", 1, NULL, 0);
    put(animation, (unsigned long)count); /* and shown again and again */
    if (status == TW_OK)
        status = write_chunk(w, "acTL", animation, sizeof animation, NULL, 0);
    for (size_t k = 0; status == TW_OK && k < text_count; k++) {
        /* iTXt: keyword, end, not compressed, no language, no other keyword, text in UTF-8 */
        unsigned char lead[80 + 4] = {0};
        const size_t length = strlen(texts[k].keyword);
        assert(length >= 1 && length <= 79);
        memcpy(lead, texts[k].keyword, length);
        status = write_chunk(w, "iTXt", lead, length + 5, (const unsigned char *)texts[k].text,
                             strlen(texts[k].text));
    }
    return status;
}

static tw_status write_frame(writing *w, const tw_image *image, unsigned hold_ms, bool first,
                             size_t count, const tw_png_text *texts, size_t text_count)
{
    unsigned char *bytes, number[4];
    size_t size = 0;
    tw_status status = encode(image, &bytes, &size, w->err);

    if (status != TW_OK)
        return status;
    if (first)
        status = write_start(w, bytes + SIGNATURE + HEAD, count, texts, text_count);
    if (status == TW_OK)
        status = write_control(w, image, hold_ms);
    for (size_t at = SIGNATURE; status == TW_OK && at + HEAD + CRC <= size;) {
        const size_t length = get(bytes + at);
        if (memcmp(bytes + at + 4, "IDAT", 4) == 0 && first) {
            status = write_chunk(w, "IDAT", NULL, 0, bytes + at + HEAD, length);
        } else if (memcmp(bytes + at + 4, "IDAT", 4) == 0) {
            put(number, w->sequence++);
            status = write_chunk(w, "fdAT", number, sizeof number, bytes + at + HEAD, length);
        }
        at += HEAD + length + CRC;
    }
    free(bytes);
    return status;
}

tw_status tw_png_write_moving(tw_output *output, const tw_image *frames, const unsigned *hold_ms,
                              size_t count, const tw_png_text *texts, size_t text_count,
                              tw_error *err)
{
    writing w = {.out = output, .err = err};
    tw_status status = TW_OK;

    assert(output && frames && hold_ms && count > 0 && (texts || text_count == 0));
    for (size_t k = 0; k < count; k++) {
        if (frames[k].width != frames[0].width || frames[k].height != frames[0].height)
            return tw_fail(err, TW_ERR_DOMAIN, "frame %zu is not as large as the first", k + 1);
        if (frames[k].width == 0 || frames[k].height == 0 || frames[k].width > 0x7FFF ||
            frames[k].height > 0x7FFF || hold_ms[k] > 0xFFFF)
            return tw_fail(err, TW_ERR_LIMIT, "a frame of %zu by %zu dots shown for %u ms",
                           frames[k].width, frames[k].height, hold_ms[k]);
    }
    for (size_t k = 0; status == TW_OK && k < count; k++)
        status = write_frame(&w, &frames[k], hold_ms[k], k == 0, count, texts, text_count);
    return status == TW_OK ? write_chunk(&w, "IEND", NULL, 0, NULL, 0) : status;
}
