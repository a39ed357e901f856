/*
 * hatch.c: bands of a scale as dots and lines, black on white. Patterns are laid out in design pixels of
 * 0.1125 mm on paper (a picture is 180 mm wide): lines 0.2 mm wide or more, so that a copier keeps them,
 * and openings of 0.25 mm or more, so that it does not fill them. Order goes by ink: 8 % to 83 %. Few
 * spacings are whole numbers of elements in pictures of usual widths: else all lines fall alike. Sides
 * of lines and dots are soft by one picture element: its share that they cover, as if they ran along it.
 */
#include "hatch.h"

#include <math.h>

typedef enum kind { DOTS, LEVEL, RISING, FALLING, CROSSED, GRID } kind;
typedef struct pattern {
    kind kind;
    double spacing; /* of lines; of dots: side of a square with one at its corners and one amid */
    double size;    /* width of lines, radius of dots; 0: white */
} pattern;

/* Crossed lines lean and stand in turns: by ink alone neighbours would look alike. */
static const pattern thickness[TW_HATCH_BANDS] = {
    {DOTS, 20, 2.2},   {LEVEL, 17, 2.2},   {LEVEL, 11, 2.4},   {CROSSED, 14, 2.8},
    {GRID, 12.3, 3.3}, {CROSSED, 10, 3.8}, {GRID, 10.3, 4.95}, {CROSSED, 10, 5.9}};
/* Lean is by sign. */
static const pattern side[TW_HATCH_SIDE] = {{RISING, 18, 2.2}, {RISING, 13, 2.8}, {RISING, 10, 3.0},
                                            {RISING, 9, 3.9},  {RISING, 9, 5.0},  {RISING, 9, 6.2}};
static const pattern spread[TW_HATCH_SIDE] = {{DOTS, 17, 0},   {DOTS, 17, 2.0}, {DOTS, 17, 2.8},
                                              {DOTS, 17, 3.5}, {DOTS, 17, 4.2}, {DOTS, 17, 4.8}};
static const pattern gather = {LEVEL, 12, 5};
static const pattern white = {DOTS, 16, 0};

/* Level lines are traced this share of their step above their name. */
static const double ABOVE = 1e-3;
static const double NOUGHT = 0.15; /* white this share of a step of level lines either way */

static double covered(double inside, double element)
{
    return fmin(fmax(inside / element + 0.5, 0), 1);
}

/* Ink of parallel lines, `place` across them. */
static double line_ink(double place, const pattern *p, double element)
{
    const double width = fmax(p->size, 1.05 * element);
    const double away = fabs(place - p->spacing * round(place / p->spacing));

    return covered(width / 2 - away, element);
}

static double dot_ink(double x, double y, const pattern *p, double element)
{
    const double radius = fmax(p->size, 0.7 * element);
    double nearest = INFINITY;

    for (int k = 0; k < 2; k++) {
        const double u = x / p->spacing + 0.5 * k, v = y / p->spacing + 0.5 * k;
        nearest = fmin(nearest, p->spacing * hypot(u - round(u), v - round(v)));
    }
    return covered(radius - nearest, element);
}

static double pattern_ink(const pattern *p, double x, double y, double element)
{
    const double across_rising = (x + y) * sqrt(0.5), across_falling = (x - y) * sqrt(0.5);
    double one, other;

    if (!(p->size > 0))
        return 0;
    switch (p->kind) {
    case DOTS:
        return dot_ink(x, y, p, element);
    case LEVEL:
        return line_ink(y, p, element);
    case RISING:
        return line_ink(across_rising, p, element);
    case FALLING:
        return line_ink(across_falling, p, element);
    case CROSSED:
        break;
    case GRID:
        one = line_ink(x, p, element);
        other = line_ink(y, p, element);
        return 1 - (1 - one) * (1 - other);
    }
    one = line_ink(across_rising, p, element);
    other = line_ink(across_falling, p, element);
    return 1 - (1 - one) * (1 - other);
}

/* ---- bands of a scale ---------------------------------------------------------------------------- */

/* Multiples of a step that hold the scale; of a difference nought to the end. */
static void band_range(const tw_scale *scale, double step, double *first, double *last)
{
    *first = scale->palette == TW_PALETTE_DIFFERENCE ? 0 : floor(scale->low / step + 1e-6);
    *last = fmax(ceil(scale->high / step - 1e-6), *first + 1);
}

double tw_hatch_step(const tw_scale *scale)
{
    const double most = scale->palette == TW_PALETTE_THICKNESS ? TW_HATCH_BANDS : TW_HATCH_SIDE;
    double step = scale->step, first, last;

    if (!(step > 0))
        return 1;
    for (band_range(scale, step, &first, &last); last - first > most;
         band_range(scale, step, &first, &last))
        step *= 2;
    return step;
}

/* Patterns of few bands are spread over all there are, the first and the last among them. */
static pattern spaced(const pattern *patterns, int there, double band, double count)
{
    const double share = count > 1 ? fmin(fmax(band / (count - 1), 0), 1) : 0.5;

    return patterns[(int)(share * (there - 1) + 0.5)];
}

static pattern pattern_of(const tw_scale *scale, double value)
{
    const double step = tw_hatch_step(scale), above = ABOVE * scale->step / step;
    double first, last;
    pattern lean;

    band_range(scale, step, &first, &last);
    if (value != value)
        return white;
    switch (scale->palette) {
    case TW_PALETTE_THICKNESS:
        return spaced(thickness, TW_HATCH_BANDS, floor(value / step - above) - first, last - first);
    case TW_PALETTE_SPREAD:
        return spaced(spread, TW_HATCH_SIDE, floor(value / step - above) - first, last - first);
    case TW_PALETTE_DIFFERENCE:
        break;
    }
    if (fabs(value) < NOUGHT * scale->step)
        return white;
    lean = spaced(side, TW_HATCH_SIDE,
                  floor(value > 0 ? value / step - above : -value / step + above), last);
    lean.kind = value > 0 ? RISING : FALLING;
    return lean;
}

static uint32_t shade(double ink)
{
    return (uint32_t)(255 * (1 - ink) + 0.5) * 0x010101;
}

double tw_hatch_ink(const tw_scale *scale, double value, double x, double y, double element)
{
    const pattern p = pattern_of(scale, value);

    return pattern_ink(&p, x, y, element);
}

uint32_t tw_hatch_shade(const tw_scale *scale, double value, double x, double y, double element)
{
    return shade(tw_hatch_ink(scale, value, x, y, element));
}

uint32_t tw_hatch_pixel(const tw_scale *scale, double value, double x, double y)
{
    return tw_hatch_shade(scale, value, x, y, 1);
}

uint32_t tw_hatch_band(size_t band, size_t count, double x, double y, double element)
{
    const pattern p = spaced(thickness, TW_HATCH_BANDS, (double)band, (double)count);

    return shade(pattern_ink(&p, x, y, element));
}

uint32_t tw_hatch_gather(double x, double y, double element)
{
    return shade(pattern_ink(&gather, x, y, element));
}

/* ---- boxes of a legend --------------------------------------------------------------------------- */

void tw_hatch_box(tw_canvas *canvas,
                  uint32_t (*shade_of)(const void *context, double x, double y, double element),
                  const void *context, double x, double y, double width, double height)
{
    const double samples = tw_canvas_samples(canvas);
    const int columns = (int)ceil(width * samples), rows = (int)ceil(height * samples);
    cairo_surface_t *field = cairo_image_surface_create(CAIRO_FORMAT_RGB24, columns, rows);

    if (cairo_surface_status(field) == CAIRO_STATUS_SUCCESS) {
        unsigned char *pixels = cairo_image_surface_get_data(field);
        const int stride = cairo_image_surface_get_stride(field);
        for (int j = 0; j < rows; j++) {
            uint32_t *row = (uint32_t *)(void *)(pixels + (size_t)j * (size_t)stride);
            for (int i = 0; i < columns; i++)
                row[i] = shade_of(context, (i + 0.5) / samples, (j + 0.5) / samples, 1 / samples);
        }
        cairo_surface_mark_dirty(field);
        cairo_save(canvas->cairo);
        cairo_rectangle(canvas->cairo, x, y, width, height);
        cairo_clip(canvas->cairo);
        tw_canvas_paint(canvas, field, x, y);
        cairo_restore(canvas->cairo);
    }
    cairo_surface_destroy(field);
}

typedef struct bar {
    const tw_scale *scale;
    double width;
} bar;

static uint32_t bar_shade(const void *context, double x, double y, double element)
{
    const bar *b = context;
    const double span = b->scale->high - b->scale->low;

    return tw_hatch_shade(b->scale, b->scale->low + span * x / b->width, x, y, element);
}

void tw_hatch_bar(tw_canvas *canvas, const tw_scale *scale, double x, double y, double width,
                  double height)
{
    const bar b = {scale, width};
    const double step = tw_hatch_step(scale), span = scale->high - scale->low;

    tw_hatch_box(canvas, bar_shade, &b, x, y, width, height);
    for (double k = floor(scale->low / step + 1e-6) + 1; k * step < scale->high - 1e-6 * step;
         k++) {
        cairo_move_to(canvas->cairo, x + width * (k * step - scale->low) / span, y);
        cairo_rel_line_to(canvas->cairo, 0, height);
    }
    cairo_set_source_rgb(canvas->cairo, 0, 0, 0);
    cairo_set_line_width(canvas->cairo, 2);
    cairo_stroke(canvas->cairo);
}
