/* picture_internal.h: what pictures of maps and of faces have in common. */
#ifndef PICTURE_INTERNAL_H
#define PICTURE_INTERNAL_H

#include "taperwright/files.h"
#include "taperwright/weigh.h"

enum { TW_PICTURE_TEXTS = 14 };

/** Levels with room for what is said of them. */
typedef struct tw_picture {
    tw_grey grey; /**< its texts point into this struct; levels are the maker's to free */
    tw_png_text texts[TW_PICTURE_TEXTS];
    char words[TW_PICTURE_TEXTS][240];
} tw_picture;
/** @brief Add a text chunk. */
void tw_picture_say(tw_picture *picture, const char *keyword, const char *format, ...)
    TW_PRINTF(3, 4);
/** @brief Title and software: "breast: thickness, forged map". */
void tw_picture_title(tw_picture *picture, const tw_plate *plate, const char *what);
/** @return the least round step (1, 2, 5 · 10ᵏ, 0.0001 mm or more) in which levels 1 … 65535 reach a
 * span [mm]. */
double tw_picture_step(double span);

#endif
