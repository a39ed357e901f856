/* series.h: frames of a series, shared by their poster and the frames alone. */
#ifndef DRAW_SERIES_H
#define DRAW_SERIES_H

#include "draw_internal.h"

/** What stands beside one frame. */
typedef struct tw_frame_words {
    char heading[64]; /* "40 % of the taper" */
    char grams[64];
    char words[300];
} tw_frame_words;
void tw_series_frame_words(const tw_series *series, size_t frame, tw_units units,
                           tw_frame_words *out);
/** @brief Title, what all frames have in common, and foot of a drawing. */
void tw_series_page_words(const tw_series *series, const tw_draw_options *options, char title[200],
                          char line[500], char foot[800]);
/** @brief One scale for all frames. */
tw_scale tw_series_scale(const tw_series *series, tw_units units);
/** @brief The panel of a frame in a box of the page. */
tw_panel tw_series_panel(const tw_series *series, size_t frame, const tw_scale *scale, double x,
                         double y, double per_mm, unsigned threads);

#endif
