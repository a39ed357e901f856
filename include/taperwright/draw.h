/*
 * draw.h: pictures. A plate laid out by tape, forged beside sheet beside the difference, on one
 * shared scale.
 */
#ifndef TAPERWRIGHT_DRAW_H
#define TAPERWRIGHT_DRAW_H

#include "taperwright/base.h"
#include "taperwright/budget.h"
#include "taperwright/compare.h"
#include "taperwright/files.h"
#include "taperwright/harness.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct tw_draw_options {
    size_t width; /**< pixels; 0: 1600 */
    tw_units units;
    const char *date; /**< printed when not NULL */
    size_t which; /**< the comparison's row to draw; SIZE_MAX: own stock, else strike thickness */
    unsigned threads;
    double expanded_g; /**< ± of the mass from readings, 95 % [g], printed beside it; 0: none */
    /** With the scale weight, told under the map from readings; NULL: the scale weight alone. */
    const tw_agreement *agreement;
} tw_draw_options;

/**
 * @brief Draw forged, sheet and difference beside each other.
 * @param[out] image  pair with tw_image_release(); its height follows from the plate's shape
 * @return TW_OK; TW_ERR_DOMAIN (width outside 600 … 20000); TW_ERR_MEMORY
 * Same input, fonts and libraries: same bytes.
 */
TW_API tw_status tw_draw_comparison(const tw_comparison *comparison, const tw_draw_options *options,
                                    tw_image *image, tw_error *err);
/** @brief Draw the maps that a plate has beside each other on one scale (no forged map needed). */
TW_API tw_status tw_draw_plate(const tw_plate *plate, const tw_draw_options *options,
                               tw_image *image, tw_error *err);

/**
 * @brief Readings as numbered discs on the map they give (left out: hollow; to look at again: ringed),
 * and the map's standard deviation beside it; `suggestions` (suggestion_count, may be 0) as lettered
 * rings.
 */
TW_API tw_status tw_draw_readings(const tw_plate *plate, const tw_suggestion *suggestions,
                                  size_t suggestion_count, const tw_draw_options *options,
                                  tw_image *image, tw_error *err);

/** @brief Bars by part: each part's grams as counted, its ± as a whisker, modelled and weighed side by
 * side where there are both, forged against sheet where there are both; parts out are named below. */
TW_API tw_status tw_draw_parts(const tw_total *total, const tw_sources *sources,
                               const tw_draw_options *options, tw_image *image, tw_error *err);
/** @brief Strip plot: for each standing the records as dots along a mass axis, median and quartiles
 * where there are, and the own mass with its interval; n in front. */
TW_API tw_status tw_draw_ranking(const tw_ranking *ranking, const tw_draw_options *options,
                                 tw_image *image, tw_error *err);

/* ---- colour ---------------------------------------------------------------------------- */

/** @brief Thickness colour: position 0 (thin, pale) … 1 (thick, deep) to sRGB bytes. CIE L* falls
 * evenly. */
TW_API void tw_colour_thickness(double position, unsigned char rgb[3]);
/** @brief Difference colour: −1 (forged thinner) … 0 (neutral) … 1 (forged thicker). */
TW_API void tw_colour_difference(double position, unsigned char rgb[3]);
/** @brief Colour of a standard deviation: 0 (sure, pale) … 1 (unsure, deep), near grey. CIE L* falls
 * evenly. */
TW_API void tw_colour_spread(double position, unsigned char rgb[3]);

#ifdef __cplusplus
}
#endif
#endif
