/* base_internal.h: reading numbers, shared by the readers of the base room. */
#ifndef TW_BASE_INTERNAL_H
#define TW_BASE_INTERNAL_H

#include "taperwright/base.h"

/** Room for a quantity in plain letters; more than that is no quantity. */
enum { TW_PLAIN_SIZE = 128 };

/**
 * @brief Bring the signs people type for quantities to plain letters: ° ² ³ ″ − µ ½, odd blanks.
 * @param[out] out  single blanks, none at the ends or round a slash; letters unknown here stay
 * @return false when it does not fit
 */
bool tw_plain_text(const char *text, char out[TW_PLAIN_SIZE]);

typedef enum tw_number {
    TW_NUMBER_READ,
    TW_NUMBER_NONE,      /**< no digits there */
    TW_NUMBER_COMMA,     /**< a comma inside: *at stands on it */
    TW_NUMBER_UNBOUNDED, /**< NaN, infinite, or beyond 1e308 */
    TW_NUMBER_FRACTION   /**< a fraction over nothing, or "9 17/16" */
} tw_number;

/**
 * @brief Read "1.6", "-2e3", "1/16", "9 1/16" or "9-1/16" to the nearest double.
 * @param[in,out] at  the text in plain letters; moved behind the number when one was read
 */
tw_number tw_number_read(const char **at, double *value);

#endif
