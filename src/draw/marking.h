/* marking.h: a plate by tape to mark readings on: its lattice of tape lines, rings and bearings. */
#ifndef DRAW_MARKING_H
#define DRAW_MARKING_H

#include "draw_internal.h"

/** @brief Strike zones faint, tape lines with numbers or rings with bearings, outline, holes, names. */
tw_status tw_marking_plate_draw(tw_canvas *canvas, const tw_form *form, const tw_frame *frame,
                                tw_arena *arena, tw_error *err);
/** Room for numbers round the plate [tenths of a millimetre]. */
enum { TW_MARKING_SIDE = 90, TW_MARKING_BELOW = 52, TW_MARKING_ROUND = 70 };

#endif
