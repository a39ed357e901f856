/*
 * form_sketch.c: the pen of sketches on cards: lines, arrows, words, rulers; faces in space by a parallel
 * projection, painted far pieces first (painter's algorithm), so that what is behind is hidden.
 */
#include "form_card.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { PIECES = 40 }; /* of a face, each way */

static const double HEAD = 16, HEAD_WIDE = 6;
static const double FINE = 2, LINE = 3;

void tw_sketch_line(tw_canvas *canvas, const double from[2], const double to[2], double width,
                    double grey)
{
    cairo_move_to(canvas->cairo, from[0], from[1]);
    cairo_line_to(canvas->cairo, to[0], to[1]);
    tw_pen_stroke(canvas, width, grey, 1);
}

void tw_sketch_head(tw_canvas *canvas, const double at[2], const double along[2])
{
    const double length = hypot(along[0], along[1]);
    const double x = along[0] / length, y = along[1] / length;
    cairo_t *cairo = canvas->cairo;

    cairo_move_to(cairo, at[0], at[1]);
    cairo_line_to(cairo, at[0] - HEAD * x - HEAD_WIDE * y, at[1] - HEAD * y + HEAD_WIDE * x);
    cairo_line_to(cairo, at[0] - HEAD * x + HEAD_WIDE * y, at[1] - HEAD * y - HEAD_WIDE * x);
    cairo_close_path(cairo);
    cairo_set_source_rgb(cairo, 0, 0, 0);
    cairo_fill(cairo);
}

void tw_sketch_arrow(tw_canvas *canvas, const double from[2], const double to[2], bool both)
{
    const double along[2] = {to[0] - from[0], to[1] - from[1]}, back[2] = {-along[0], -along[1]};

    tw_sketch_line(canvas, from, to, LINE, 0);
    tw_sketch_head(canvas, to, along);
    if (both)
        tw_sketch_head(canvas, from, back);
}

void tw_sketch_dashed(tw_canvas *canvas, const double from[2], const double to[2])
{
    static const double dashes[] = {9, 7};

    cairo_set_dash(canvas->cairo, dashes, 2, 0);
    tw_sketch_line(canvas, from, to, FINE, 0.3);
    cairo_set_dash(canvas->cairo, NULL, 0, 0);
}

static void words(tw_canvas *canvas, const char *text, double x, double y, tw_align align,
                  bool bold)
{
    const tw_lettering letters = {.size = bold ? 27 : 23,
                                  .bold = bold,
                                  .halo = true,
                                  .grey = bold ? 0 : 0.15,
                                  .align = align};
    double width, height;

    tw_text_size(canvas, text, &letters, &width, &height);
    tw_text_draw(canvas, text, &letters, x, y - height / 2);
}

void tw_sketch_words(tw_canvas *canvas, const char *text, double x, double y, tw_align align)
{
    words(canvas, text, x, y, align, false);
}

void tw_sketch_name(tw_canvas *canvas, const char *text, double x, double y, tw_align align)
{
    words(canvas, text, x, y, align, true);
}

void tw_sketch_dot(tw_canvas *canvas, double x, double y)
{
    cairo_arc(canvas->cairo, x, y, 7, 0, 2 * TW_PI);
    cairo_set_source_rgb(canvas->cairo, 0, 0, 0);
    cairo_fill(canvas->cairo);
}

void tw_sketch_number(tw_canvas *canvas, int number, double x, double y)
{
    const tw_lettering letters = {.size = 23, .bold = true, .align = TW_CENTRE, .mark = true};
    char digits[12];
    double width, height;

    snprintf(digits, sizeof digits, "%d", number);
    cairo_arc(canvas->cairo, x, y, 17, 0, 2 * TW_PI);
    cairo_set_source_rgb(canvas->cairo, 1, 1, 1);
    cairo_fill_preserve(canvas->cairo);
    tw_pen_stroke(canvas, FINE, 0, 1);
    tw_text_size(canvas, digits, &letters, &width, &height);
    tw_text_draw(canvas, digits, &letters, x, y - height / 2);
}

void tw_sketch_ruler(tw_canvas *canvas, const double from[2], const double to[2], double wide,
                     double step)
{
    const double length = hypot(to[0] - from[0], to[1] - from[1]);
    const double x = (to[0] - from[0]) / length, y = (to[1] - from[1]) / length;
    cairo_t *cairo = canvas->cairo;

    cairo_move_to(cairo, from[0], from[1]);
    cairo_line_to(cairo, to[0], to[1]);
    cairo_line_to(cairo, to[0] + wide * y, to[1] - wide * x);
    cairo_line_to(cairo, from[0] + wide * y, from[1] - wide * x);
    cairo_close_path(cairo);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill_preserve(cairo);
    tw_pen_stroke(canvas, FINE, 0.1, 1);
    for (int k = 1; step > 0 && k * step < length; k++) {
        const double s = k * step, tick = wide * (k % 5 ? 0.35 : 0.7);
        cairo_move_to(cairo, from[0] + s * x, from[1] + s * y);
        cairo_rel_line_to(cairo, tick * y, -tick * x);
    }
    tw_pen_stroke(canvas, 1.5, 0.1, 1);
}

/* ---- space -------------------------------------------------------------------------------------------- */

/* Right, up on the page, and away from the eye, unscaled. */
static void see(const tw_sketch_view *view, const double p[3], double out[3])
{
    const double across = p[0] * cos(view->turn) + p[1] * sin(view->turn);
    const double away = -p[0] * sin(view->turn) + p[1] * cos(view->turn);

    out[0] = across;
    out[1] = p[2] * cos(view->tilt) + away * sin(view->tilt);
    out[2] = away * cos(view->tilt) - p[2] * sin(view->tilt);
}

void tw_sketch_at(const tw_sketch_view *view, const double place[3], double page[2])
{
    double seen[3];

    see(view, place, seen);
    page[0] = view->x + view->scale * seen[0];
    page[1] = view->y - view->scale * seen[1];
}

void tw_sketch_fit(tw_sketch_view *view, const double (*places)[3], size_t count, double x,
                   double y, double width, double height)
{
    double least[2] = {INFINITY, INFINITY}, most[2] = {-INFINITY, -INFINITY};

    for (size_t k = 0; k < count; k++) {
        double seen[3];
        see(view, places[k], seen);
        for (int c = 0; c < 2; c++) {
            least[c] = fmin(least[c], seen[c]);
            most[c] = fmax(most[c], seen[c]);
        }
    }
    view->scale = fmin(width / (most[0] - least[0]), height / (most[1] - least[1]));
    view->x = x + width / 2 - view->scale * (least[0] + most[0]) / 2;
    view->y = y + height / 2 + view->scale * (least[1] + most[1]) / 2;
}

void tw_sketch_bench(tw_canvas *canvas, const tw_sketch_view *view, const double low[2],
                     const double high[2])
{
    for (int k = 0; k < 4; k++) {
        const double corner[3] = {k == 0 || k == 3 ? low[0] : high[0], k < 2 ? low[1] : high[1], 0};
        double page[2];
        tw_sketch_at(view, corner, page);
        cairo_line_to(canvas->cairo, page[0], page[1]);
    }
    cairo_close_path(canvas->cairo);
    tw_pen_stroke(canvas, 2, 0.55, 1);
}

typedef struct piece {
    double page[4][2], away, grey;
} piece;

static int farther(const void *one, const void *other)
{
    const double a = ((const piece *)one)->away, b = ((const piece *)other)->away;

    return a < b ? 1 : a > b ? -1 : 0;
}

/* A piece of a face: paler the more it faces up, darker where its inside is seen. */
static piece piece_of(const tw_sketch_view *view, tw_sketch_face face, int i, int j)
{
    piece out = {.away = 0};
    double turn = 0;

    for (int k = 0; k < 4; k++) {
        const double across = -1 + 2.0 * (i + (k == 1 || k == 2)) / PIECES;
        const double up = -1 + 2.0 * (j + (k >= 2)) / PIECES;
        double place[3], seen[3];
        face(across, up, place);
        see(view, place, seen);
        tw_sketch_at(view, place, out.page[k]);
        out.away += seen[2] / 4;
    }
    for (int k = 0; k < 4; k++) {
        const double *a = out.page[k], *b = out.page[(k + 1) % 4];
        turn += (a[0] * b[1] - b[0] * a[1]) / 2;
    }
    out.grey = turn > 0 ? 0.74 : 0.95; /* y goes down the page: outside turns against it */
    return out;
}

void tw_sketch_paint(tw_canvas *canvas, const tw_sketch_view *view, tw_sketch_face face)
{
    piece pieces[PIECES * PIECES];
    cairo_t *cairo = canvas->cairo;

    for (int k = 0; k < PIECES * PIECES; k++)
        pieces[k] = piece_of(view, face, k % PIECES, k / PIECES);
    qsort(pieces, PIECES * PIECES, sizeof *pieces, farther);
    for (int pass = 0; pass < 2; pass++) { /* black and wide under pale: its border stays */
        for (int k = 0; k < PIECES * PIECES; k++) {
            const piece *at = &pieces[k];
            const double grey = pass ? at->grey : 0;
            for (int c = 0; c < 4; c++)
                cairo_line_to(cairo, at->page[c][0], at->page[c][1]);
            cairo_close_path(cairo);
            cairo_set_source_rgb(cairo, grey, grey, grey);
            cairo_fill_preserve(cairo);
            cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
            cairo_set_line_width(cairo, pass ? 2.5 : 8); /* no light between pieces */
            cairo_stroke(cairo);
        }
    }
}

/* The outside is seen there: steps across and up turn as they do on a face that looks up. */
static bool faces_us(const tw_sketch_view *view, tw_sketch_face face, double across, double up)
{
    static const double STEP = 1e-3;
    double place[3], page[3][2];

    face(across, up, place);
    tw_sketch_at(view, place, page[0]);
    face(across + STEP, up, place);
    tw_sketch_at(view, place, page[1]);
    face(across, up + STEP, place);
    tw_sketch_at(view, place, page[2]);
    return (page[1][0] - page[0][0]) * (page[2][1] - page[0][1]) -
               (page[2][0] - page[0][0]) * (page[1][1] - page[0][1]) <
           0;
}

void tw_sketch_over(tw_canvas *canvas, const tw_sketch_view *view, tw_sketch_face face,
                    const double from[2], const double to[2], double width, double grey)
{
    bool on = false;

    for (int k = 0; k <= 3 * PIECES; k++) {
        const double s = (double)k / (3 * PIECES);
        const double across = from[0] + s * (to[0] - from[0]), up = from[1] + s * (to[1] - from[1]);
        double place[3], page[2];
        face(across, up, place);
        tw_sketch_at(view, place, page);
        if (on)
            cairo_line_to(canvas->cairo, page[0], page[1]);
        else
            cairo_move_to(canvas->cairo, page[0], page[1]);
        on = faces_us(view, face, across, up);
    }
    tw_pen_stroke(canvas, width, grey, 1);
}
