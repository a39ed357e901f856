/* originals_internal.h: shared by the files that read, check and rank records of originals. */
#ifndef TW_ORIGINALS_INTERNAL_H
#define TW_ORIGINALS_INTERNAL_H

#include "taperwright/files.h"
#include "taperwright/harness.h"

/** @brief A set from its table; `file` is "" for the shipped one. Errors are added, not cleared. */
tw_status tw_originals_from_table(const tw_table *table, const char *file, tw_originals **out,
                                  tw_notes *errors);
/** @brief Add a warning about a record. */
void tw_originals_warn(tw_originals *set, const tw_original *record, const char *message, ...)
    TW_PRINTF(3, 4);
/** @brief Look for records given twice, and for wholes that are not the sum of their parts; warnings
 * only, nothing is changed. @return TW_OK; TW_ERR_MEMORY */
tw_status tw_originals_cross_check(tw_originals *set);

/**
 * @brief Read "breastplate; tasset 2": kinds of the fixed list, in its order, each once.
 * @param[out] count, kinds  kinds point into the fixed list; the array is in the arena
 * @return TW_OK; TW_ERR_KEY (unknown kind), TW_ERR_SYNTAX, TW_ERR_DOMAIN (count); TW_ERR_MEMORY
 */
tw_status tw_kinds_read(const char *text, tw_arena *arena, size_t *count, tw_kind_count **kinds,
                        tw_error *err);
/** @brief Bring kinds in the order of the fixed list and merge those that stand twice.
 * @return how many are left */
size_t tw_kinds_sort(tw_kind_count *kinds, size_t count);
/** @return < 0, 0, > 0 as sorted kinds a stand before, with, behind b. */
int tw_kinds_compare(const tw_kind_count *a, size_t a_count, const tw_kind_count *b,
                     size_t b_count);
/** @return how many pieces the kinds are together. */
size_t tw_kinds_pieces(const tw_kind_count *kinds, size_t count);

#endif
