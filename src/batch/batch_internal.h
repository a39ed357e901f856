/* batch_internal.h: shared inside the batch room. */
#ifndef BATCH_INTERNAL_H
#define BATCH_INTERNAL_H

#include "taperwright/batch.h"

/** What a value is to be, on its way from text to values. */
typedef struct tw_vary_text {
    tw_arena *arena;
    const char *path, *text;
    tw_error *err;
} tw_vary_text;

tw_status tw_vary_no_memory(const tw_vary_text *in);
/** @brief Say where in the text, of an error that is set. @return the status */
tw_status tw_vary_place(const tw_vary_text *in, const char *at, tw_status status);
/** @return the first letter from `from` on that is no blank, or end; and the end without blanks before it. */
const char *tw_vary_past_blanks(const char *from, const char *end);
const char *tw_vary_before_blanks(const char *from, const char *end);
/**
 * @brief A comma between digits, in "1,5 mm", where a point was meant.
 * @param from, end  the number and its unit
 * @param comma      inside, digits alone before it
 */
tw_status tw_vary_comma(const tw_vary_text *in, const char *from, const char *comma,
                        const char *end);
/** @brief A range: range.c. @param dots  where ".." stands in the text */
tw_status tw_vary_range(const tw_vary_text *in, const char *dots, tw_vary *out);

#endif
