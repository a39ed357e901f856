/*
 * write.c: a solid as STL, OBJ and PLY.
 *
 * STL: 80 bytes of text, a count, and to each triangle its normal, its corners and two bytes of
 * nothing (3D Systems, StereoLithography Interface Specification, 1989; from memory). Readers take a
 * file for the ASCII kind when it begins with "solid", so this one does not. PLY: G. Turk, "The PLY
 * polygon file format" (1994). OBJ: Wavefront, Advanced Visualizer, appendix B1. All three hold bare
 * numbers: that they are millimetres stands in the head where there is room for words.
 */
#include "taperwright/exchange.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CHUNK = 4096, HEAD = 80 };

/* Bytes on their way to an output, a buffer at a time. */
typedef struct sink {
    tw_output *out;
    tw_error *err;
    tw_status status;
    size_t used;
    unsigned char bytes[CHUNK];
} sink;

static void drain(sink *s)
{
    if (s->status == TW_OK && s->used > 0)
        s->status = tw_output_write(s->out, s->bytes, s->used, s->err);
    s->used = 0;
}

static unsigned char *room(sink *s, size_t size)
{
    unsigned char *at;

    if (s->used + size > CHUNK)
        drain(s);
    at = s->bytes + s->used;
    s->used += size;
    return at;
}

static void put_32(sink *s, uint32_t value)
{
    unsigned char *at = room(s, 4);

    for (int k = 0; k < 4; k++)
        at[k] = (unsigned char)(value >> (8 * k));
}

static void put_float(sink *s, float value)
{
    uint32_t bits;

    _Static_assert(sizeof bits == sizeof value, "IEEE 754 single precision");
    memcpy(&bits, &value, sizeof bits);
    put_32(s, bits);
}

static void TW_PRINTF(2, 3) put_text(sink *s, const char *format, ...)
{
    char text[256];
    va_list list;
    int length;

    va_start(list, format);
    length = tw_format_list(text, sizeof text, format, list);
    va_end(list);
    length = length < (int)sizeof text ? length : (int)sizeof text - 1;
    memcpy(room(s, (size_t)length), text, (size_t)length);
}

/* Letters that every reader takes: a title may be any UTF-8, and a line end would end a comment. */
static void plain(const char *title, char *out, size_t size)
{
    size_t used = 0;

    for (const unsigned char *at = (const unsigned char *)title; *at && used + 1 < size; at++) {
        if (*at >= 0x80 && *at < 0xc0)
            continue; /* the rest of a letter */
        out[used++] = *at < 0x20 || *at >= 0x7f ? '?' : (char)*at;
    }
    out[used] = '\0';
}

tw_status tw_solid_write_stl(const tw_solid *solid, const char *title, tw_output *out,
                             tw_error *err)
{
    sink s = {.out = out, .err = err, .status = TW_OK};
    char words[HEAD], head[HEAD + 1];

    plain(title, words, sizeof words);
    memset(head, ' ', sizeof head);
    tw_format(head, sizeof head, "taperwright STL in mm: %s", words);
    head[strlen(head)] = ' ';
    memcpy(room(&s, HEAD), head, HEAD);
    put_32(&s, (uint32_t)solid->triangle_count);
    for (size_t t = 0; t < solid->triangle_count; t++) {
        double p[3][3], x[3], y[3], normal[3], length;
        for (int k = 0; k < 3; k++)
            for (int c = 0; c < 3; c++)
                p[k][c] = (double)solid->vertex[solid->triangle[t][k]][c];
        for (int c = 0; c < 3; c++) {
            x[c] = p[1][c] - p[0][c];
            y[c] = p[2][c] - p[0][c];
        }
        tw_cross(x, y, normal);
        length = sqrt(tw_dot(normal, normal));
        for (int c = 0; c < 3; c++)
            put_float(&s, length > 0 ? (float)(normal[c] / length) : 0);
        for (int k = 0; k < 3; k++)
            for (int c = 0; c < 3; c++)
                put_float(&s, (float)p[k][c]);
        memset(room(&s, 2), 0, 2);
    }
    drain(&s);
    return s.status;
}

tw_status tw_solid_write_obj(const tw_solid *solid, const char *title, tw_output *out,
                             tw_error *err)
{
    sink s = {.out = out, .err = err, .status = TW_OK};
    char words[HEAD];

    plain(title, words, sizeof words);
    put_text(&s, "# taperwright: %s\n# units: mm; x right as one faces the outside, y up, z out\n",
             words);
    put_text(&s, "# %zu vertices, %zu triangles, closed\no plate\n", solid->vertex_count,
             solid->triangle_count);
    for (size_t n = 0; n < solid->vertex_count; n++)
        put_text(&s, "v %.9g %.9g %.9g\n", (double)solid->vertex[n][0], (double)solid->vertex[n][1],
                 (double)solid->vertex[n][2]);
    for (size_t t = 0; t < solid->triangle_count; t++)
        put_text(&s, "f %lu %lu %lu\n", (unsigned long)solid->triangle[t][0] + 1,
                 (unsigned long)solid->triangle[t][1] + 1,
                 (unsigned long)solid->triangle[t][2] + 1);
    drain(&s);
    return s.status;
}

static void put_colour(sink *s, const tw_solid *solid, tw_solid_colour colour, size_t n)
{
    const double low = (double)solid->thinnest, high = (double)solid->thickest;

    colour(high > low ? ((double)solid->thickness[n] - low) / (high - low) : 0.5, room(s, 3));
}

tw_status tw_solid_write_ply(const tw_solid *solid, const char *title, tw_solid_colour colour,
                             tw_output *out, tw_error *err)
{
    sink s = {.out = out, .err = err, .status = TW_OK};
    char words[HEAD];

    plain(title, words, sizeof words);
    put_text(&s, "ply\nformat binary_little_endian 1.0\ncomment taperwright: %s\n", words);
    put_text(&s, "comment units of x, y, z and thickness: mm\n");
    put_text(&s, "element vertex %zu\n", solid->vertex_count);
    put_text(&s, "property float x\nproperty float y\nproperty float z\n"
                 "property float thickness\n");
    if (colour)
        put_text(&s, "property uchar red\nproperty uchar green\nproperty uchar blue\n");
    put_text(&s, "element face %zu\nproperty list uchar uint vertex_indices\nend_header\n",
             solid->triangle_count);
    for (size_t n = 0; n < solid->vertex_count; n++) {
        for (int c = 0; c < 3; c++)
            put_float(&s, solid->vertex[n][c]);
        put_float(&s, solid->thickness[n]);
        if (colour)
            put_colour(&s, solid, colour, n);
    }
    for (size_t t = 0; t < solid->triangle_count; t++) {
        *room(&s, 1) = 3;
        for (int k = 0; k < 3; k++)
            put_32(&s, solid->triangle[t][k]);
    }
    drain(&s);
    return s.status;
}
