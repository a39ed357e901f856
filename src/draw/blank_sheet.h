/* blank_sheet.h: what the files that draw a blank at 1:1 share. */
#ifndef BLANK_SHEET_H
#define BLANK_SHEET_H

#include "draw_internal.h"

typedef struct tw_blank_sheet {
    const tw_blank *blank;
    const tw_steps *steps; /**< or NULL */
    const tw_card *card;   /**< or NULL */
    char title[160], line[900], foot[600];
    double width_mm, height_mm; /**< of the page */
    double origin[2];           /**< of blank coordinates on the page, tenths of a millimetre */
    double foot_top;            /**< where bars and words below the blank begin, the same */
} tw_blank_sheet;

/** @brief Box of what is cut, in blank coordinates [mm]. */
void tw_blank_extents(const tw_blank *blank, double low[2], double high[2]);
/** @brief Draw the blank's lines, tape, holes, names, steps and points. `arena` is scratch. */
tw_status tw_blank_marks_draw(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_arena *arena,
                              tw_error *err);
/** @brief Draw only the lines to cut along and the net line. */
void tw_blank_lines_draw(tw_canvas *canvas, const tw_blank_sheet *sheet);
/** @brief Put into words what small letters on the drawing say of turned edges. */
void tw_blank_say(tw_canvas *canvas, const tw_blank_sheet *sheet);

#endif
