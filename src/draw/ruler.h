/* ruler.h: bars to hold a ruler against, so that a print at 1:1 shows whether it is. */
#ifndef DRAW_RULER_H
#define DRAW_RULER_H

#include "draw_internal.h"

/** Lengths of the bars, of 100 mm and of 4 in [tenths of a millimetre]. */
enum { TW_RULER_BAR = 1000, TW_RULER_INCHES = 1016 };
/** @brief A bar of 100 mm with square ends, along the page or up it from a place [tenths of a millimetre]. */
void tw_ruler_bar(tw_canvas *canvas, double x, double y, bool upright);
/** @brief That bar and one of 4 in, so far farther down or, upright, to the right. */
void tw_ruler_bars(tw_canvas *canvas, double x, double y, bool upright, double apart);

#endif
