/* tape_lines.c: the tape's lines over a plate on paper, and their numbers. */
#include "tape_lines.h"

#include <math.h>

tw_tape_steps tw_tape_steps_of(tw_units units)
{
    return units == TW_INCH ? (tw_tape_steps){0.5 * 25.4, 2 * 25.4, 25.4}
                            : (tw_tape_steps){10, 50, 1};
}

void tw_tape_lines(cairo_t *cairo, const tw_outline *outline, double step, double skip)
{
    for (double k = ceil(outline->across_min / step); k * step <= outline->across_max; k++) {
        if (skip > 0 && fabs(remainder(k * step, skip)) < 1e-6)
            continue;
        cairo_move_to(cairo, k * step, outline->up_min);
        cairo_line_to(cairo, k * step, outline->up_max);
    }
    for (double k = ceil(outline->up_min / step); k * step <= outline->up_max; k++) {
        if (skip > 0 && fabs(remainder(k * step, skip)) < 1e-6)
            continue;
        cairo_move_to(cairo, outline->across_min, k * step);
        cairo_line_to(cairo, outline->across_max, k * step);
    }
}

void tw_tape_number(double mm, const tw_tape_steps *steps, char *out, size_t size)
{
    const double value = mm / steps->unit;

    tw_format(out, size, "%s%.0f", value < -0.5 ? "−" : "", fabs(value));
}

void tw_tape_numbers(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                     const tw_tape_steps *steps, const tw_lettering *lettering,
                     tw_tape_places places)
{
    const double step = steps->counted;
    tw_lettering letters = *lettering;
    char words[32];
    double x, y;

    letters.align = TW_CENTRE;
    for (double k = ceil(outline->across_min / step); k * step <= outline->across_max; k++) {
        tw_pen_to_page(frame, k * step, outline->up_min, &x, &y);
        tw_tape_number(k * step, steps, words, sizeof words);
        tw_text_draw(canvas, words, &letters, x, y + places.below);
    }
    letters.align = TW_RIGHT;
    for (double k = ceil(outline->up_min / step); k * step <= outline->up_max; k++) {
        tw_pen_to_page(frame, outline->across_min, k * step, &x, &y);
        tw_tape_number(k * step, steps, words, sizeof words);
        tw_text_draw(canvas, words, &letters, x - places.left, y - places.rise);
    }
}
