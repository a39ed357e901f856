/* hatch.h: maps in black on white, for photocopiers and printers without colour. */
#ifndef DRAW_HATCH_H
#define DRAW_HATCH_H

#include "draw_internal.h"

#include <stdint.h>

/** Patterns that there are at most for the bands of a scale, and for one side of a difference. */
enum { TW_HATCH_BANDS = 8, TW_HATCH_SIDE = 6 };

/** @return from border to border of hatched bands [mm], which lie at its multiples: the step of the level
 * lines, doubled until there are patterns enough. */
double tw_hatch_step(const tw_scale *scale);
/**
 * @brief Ink of a picture element: thickness from sparse dots over lines to dense crossed lines, more ink the
 * thicker; difference by lines that lean left (\, thinner) or right (/, thicker), closer and wider the
 * larger, white about nought; standard deviation by dots, white where it is surest.
 * @param value   [mm]; beyond the scale as at its ends, and what is no number is white
 * @param x, y    middle of the element, design pixels, y down
 * @param element its width, design pixels: how soft a line's sides are
 * @return 0 white … 1 black
 * A line stays at least as wide as an element, so that none breaks up.
 */
double tw_hatch_ink(const tw_scale *scale, double value, double x, double y, double element);
/** @return tw_hatch_ink() as 0xRRGGBB. */
uint32_t tw_hatch_shade(const tw_scale *scale, double value, double x, double y, double element);
/** @return the same of an element one design pixel wide. */
uint32_t tw_hatch_pixel(const tw_scale *scale, double value, double x, double y);

/** @return 0xRRGGBB of one of `count` bands in order, 0 the least, by the patterns of thickness. */
uint32_t tw_hatch_band(size_t band, size_t count, double x, double y, double element);

/** @return 0xRRGGBB of metal to gather among bands of steps: none of tw_hatch_band()'s patterns. */
uint32_t tw_hatch_gather(double x, double y, double element);

/** @brief Fill a box; `shade` gives the colour of an element, from the box's top left. */
void tw_hatch_box(tw_canvas *canvas,
                  uint32_t (*shade)(const void *context, double x, double y, double element),
                  const void *context, double x, double y, double width, double height);
/** @brief Colour bar of a scale as hatching, with lines at the borders of bands. */
void tw_hatch_bar(tw_canvas *canvas, const tw_scale *scale, double x, double y, double width,
                  double height);

#endif
