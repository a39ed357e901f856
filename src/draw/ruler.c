/* ruler.c: bars of known length on a page at 1:1. */
#include "ruler.h"

static const tw_lettering bar_letters = {.size = 30, .align = TW_CENTRE, .mark = true};

static void draw_bar(tw_canvas *canvas, double x, double y, double length, bool upright,
                     const char *words)
{
    cairo_t *cairo = canvas->cairo;
    const double end_x = upright ? x : x + length, end_y = upright ? y - length : y;
    const double tick = 20, dx = upright ? tick : 0, dy = upright ? 0 : tick;

    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, end_x, end_y);
    cairo_move_to(cairo, x - dx, y - dy);
    cairo_line_to(cairo, x + dx, y + dy);
    cairo_move_to(cairo, end_x - dx, end_y - dy);
    cairo_line_to(cairo, end_x + dx, end_y + dy);
    tw_pen_stroke(canvas, 3, 0, 1);
    if (!upright) {
        tw_text_draw(canvas, words, &bar_letters, x + length / 2, y + 4);
        return;
    }
    cairo_save(cairo);
    cairo_translate(cairo, x + 6, y - length / 2);
    cairo_rotate(cairo, -TW_PI / 2);
    tw_text_draw(canvas, words, &bar_letters, 0, 0);
    cairo_restore(cairo);
}

void tw_ruler_bar(tw_canvas *canvas, double x, double y, bool upright)
{
    draw_bar(canvas, x, y, TW_RULER_BAR, upright, "100 mm");
}

void tw_ruler_bars(tw_canvas *canvas, double x, double y, bool upright, double apart)
{
    tw_ruler_bar(canvas, x, y, upright);
    draw_bar(canvas, x + (upright ? apart : 0), y + (upright ? 0 : apart), TW_RULER_INCHES, upright,
             "4 in");
}
