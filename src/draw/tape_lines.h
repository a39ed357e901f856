/* tape_lines.h: the tape's lines over a plate on paper, by which points are found and written in. */
#ifndef DRAW_TAPE_LINES_H
#define DRAW_TAPE_LINES_H

#include "draw_internal.h"

/** Lines every so many mm, darker ones that have numbers, and mm of what the numbers count. */
typedef struct tw_tape_steps {
    double fine, counted, unit;
} tw_tape_steps;
/** @return 10 and 50 mm, or 1/2 and 2 in. */
tw_tape_steps tw_tape_steps_of(tw_units units);

/** @brief Add lines of one step to the path, all over the plate's box, after tw_pen_into_tape().
 * @param skip  those of this step are left to darker ones; 0: none */
void tw_tape_lines(cairo_t *cairo, const tw_outline *outline, double step, double skip);
/** "−50" */
void tw_tape_number(double mm, const tw_tape_steps *steps, char *out, size_t size);
/** How far numbers lie below the plate's box and left of it, and how far over their line they begin. */
typedef struct tw_tape_places {
    double below, left, rise;
} tw_tape_places;
/** @brief Numbers of the counted lines, below the plate's box and at its left. */
void tw_tape_numbers(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                     const tw_tape_steps *steps, const tw_lettering *lettering,
                     tw_tape_places places);

#endif
