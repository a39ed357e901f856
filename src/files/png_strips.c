/*
 * png_strips.c: the pixels of a PNG in strips of rows that are packed at the same time. Where a strip begins
 * depends on the picture alone, and each knows the bytes before it as deflate's window does, so that the
 * stream is one, is the same for any number of threads, and is hardly longer than if packed in one go. A
 * strip ends on a byte by an empty block, as zlib's own flush does. Source: RFC 1950 and RFC 1951, and the
 * manual of zlib (deflateSetDictionary, Z_SYNC_FLUSH, adler32_combine).
 *
 * No filter: measured on the shipped pictures, tests/bench/README.md, any of them makes these files longer
 * and slower to make, as colours come from a table, bands are flat and letters repeat.
 */
#include "files_internal.h"

#include <stdlib.h>
#include <string.h>

#include <zlib.h>

/* Level 3 is the last that takes what it finds first, and takes half the time of level 6. */
enum { STRIP = 1 << 19, WINDOW = 1 << 15, LEVEL = 3, HEAD = 2, TAIL = 4 };
static const unsigned char head[HEAD] = {0x78, 0x5E}; /* window of 32 kB, packed fast */

typedef struct packing {
    const tw_image *image;
    size_t rows; /* of a strip */
    tw_png_strips *out;
} packing;

static size_t row_bytes(const tw_image *image)
{
    return 1 + 3 * image->width;
}

/* Rows as they are packed: each behind the number of its filter. */
static void lay_rows(const tw_image *image, size_t first, size_t last, unsigned char *to)
{
    const size_t bytes = row_bytes(image);

    for (size_t y = first; y < last; y++, to += bytes) {
        to[0] = 0;
        memcpy(to + 1, image->pixels + (bytes - 1) * y, bytes - 1);
    }
}

static bool pack(const unsigned char *before, size_t known, const unsigned char *raw, size_t size,
                 bool last, tw_png_strip *out)
{
    z_stream stream = {.zalloc = Z_NULL};
    bool packed = false;
    size_t room;

    if (deflateInit2(&stream, LEVEL, Z_DEFLATED, -MAX_WBITS, 9, Z_DEFAULT_STRATEGY) != Z_OK)
        return false;
    room = HEAD + deflateBound(&stream, (uLong)size) + 16 + TAIL; /* 16: the empty block */
    out->bytes = malloc(room);
    if (out->bytes && (known == 0 || deflateSetDictionary(&stream, before, (uInt)known) == Z_OK)) {
        stream.next_in = (z_const Bytef *)raw;
        stream.avail_in = (uInt)size;
        stream.next_out = out->bytes + HEAD;
        stream.avail_out = (uInt)(room - HEAD - TAIL);
        packed = deflate(&stream, last ? Z_FINISH : Z_SYNC_FLUSH) == (last ? Z_STREAM_END : Z_OK) &&
                 stream.avail_in == 0;
        out->size = (size_t)stream.total_out;
    }
    deflateEnd(&stream);
    return packed;
}

static void pack_strips(size_t first, size_t last, void *context)
{
    const packing *work = context;
    const size_t bytes = row_bytes(work->image), height = work->image->height;

    for (size_t k = first; k < last; k++) {
        const size_t begin = k * work->rows, end = begin + work->rows;
        const size_t stop = end < height ? end : height;
        const size_t looked_back = WINDOW / bytes + 1,
                     known_rows = begin < looked_back ? begin : looked_back;
        const size_t lead = known_rows * bytes, known = lead < WINDOW ? lead : WINDOW;
        const size_t size = (stop - begin) * bytes;
        tw_png_strip *out = &work->out->strips[k];
        unsigned char *raw = malloc(lead + size), *smaller;
        if (!raw)
            continue; /* told by the strip that has no bytes */
        lay_rows(work->image, begin - known_rows, stop, raw);
        out->sum = adler32(1, raw + lead, (uInt)size);
        out->raw = size;
        if (!pack(raw + lead - known, known, raw + lead, size, stop == height, out)) {
            free(out->bytes);
            out->bytes = NULL;
        } else if ((smaller = realloc(out->bytes, HEAD + out->size + TAIL)) != NULL) {
            out->bytes = smaller;
        }
        free(raw);
    }
}

/* What stands round the stream: its head, and the sum of all bytes. */
static void close_stream(tw_png_strips *strips)
{
    tw_png_strip *first = &strips->strips[0], *last = &strips->strips[strips->count - 1];
    unsigned long sum = first->sum;

    for (size_t k = 1; k < strips->count; k++)
        sum = adler32_combine(sum, strips->strips[k].sum, (z_off_t)strips->strips[k].raw);
    for (int k = 0; k < TAIL; k++)
        last->bytes[HEAD + last->size++] = (unsigned char)(sum >> (24 - 8 * k));
    for (size_t k = 0; k < strips->count; k++)
        strips->strips[k].from = HEAD;
    memcpy(first->bytes, head, HEAD);
    first->from = 0;
    first->size += HEAD;
}

tw_status tw_png_strips_pack(const tw_image *image, unsigned threads, tw_png_strips *out,
                             tw_error *err)
{
    const size_t rows = STRIP / row_bytes(image) + 1;
    packing work = {.image = image, .rows = rows, .out = out};

    *out = (tw_png_strips){.count = (image->height + rows - 1) / rows};
    out->strips = calloc(out->count, sizeof *out->strips);
    if (out->strips)
        tw_for_rows(out->count, 1, threads, pack_strips, &work);
    for (size_t k = 0; k < out->count; k++)
        if (!out->strips || !out->strips[k].bytes) {
            tw_png_strips_release(out);
            return tw_fail(err, TW_ERR_MEMORY, "no memory to write the picture");
        }
    close_stream(out);
    return TW_OK;
}

void tw_png_strips_release(tw_png_strips *strips)
{
    for (size_t k = 0; strips->strips && k < strips->count; k++)
        free(strips->strips[k].bytes);
    free(strips->strips);
    *strips = (tw_png_strips){0};
}
