/*
 * batch.h: many plates weighed in one go: profiles, or one profile in every variation of some of its
 * values, shared out between threads and, as shards, between machines. Rows come in their own order
 * whatever the number of threads.
 */
#ifndef TAPERWRIGHT_BATCH_H
#define TAPERWRIGHT_BATCH_H

#include "taperwright/base.h"
#include "taperwright/profile.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    TW_VARY_MAX = 8,          /**< values varied at once */
    TW_VARY_VALUES = 100000,  /**< of one of them */
    TW_BATCH_ROWS = 100000000 /**< in all */
};

/** One value of a profile and what it is to be in turn. */
typedef struct tw_vary {
    const char *path;    /**< as in tw_setting */
    size_t count;        /**< ≥ 1 */
    const char **values; /**< count texts, as they would stand in a profile */
} tw_vary;

/**
 * @brief Read what a value is to be: a range "1.0 mm..2.0 mm/0.1 mm", both ends in it, or a list "16 swg, 1.2 mm".
 * A range counts in decimals, or in fractions where one is written ("1/16 in..1/8 in/1/32 in"), so that no rounding
 * gathers; its unit may stand once ("1.0..2.0/0.1 mm"); from a larger to a smaller value it falls. The slash before
 * the step is the one with a number and its unit, if any, on either side. Commas inside brackets, braces and quotes
 * part nothing.
 * @param[out] out  in the arena, texts copied
 * @return TW_OK; TW_ERR_USAGE with line 1, column and source of the text: an end or step that is no number or has
 * another unit, a step that is not above 0 or does not meet the end, two slashes of which either could be the step's,
 * a list with a unit behind some values only, as a decimal comma makes it; TW_ERR_LIMIT; TW_ERR_MEMORY
 */
TW_API tw_status tw_vary_read(tw_arena *arena, const char *path, const char *text, tw_vary *out,
                              tw_error *err);

/** What is to be weighed: every file in every variation. The last value varies fastest, the file slowest. */
typedef struct tw_batch {
    size_t file_count;
    const char *const *files;
    size_t setting_count;
    const tw_setting *settings; /**< of every row, before what varies */
    size_t vary_count;          /**< at most TW_VARY_MAX */
    const tw_vary *varies;
    size_t cells;              /**< of every plate, as in tw_plate_options */
    bool budget;               /**< also how sure each mass is, which takes most of the time */
    unsigned threads;          /**< 0: one per processor */
    size_t shard, shard_count; /**< rows shard, shard + shard_count, … from 1; 0 and 0: all */
    size_t skip;               /**< so many of these are there already */
} tw_batch;

/**
 * @return rows of all shards together; 0 when they are more than TW_BATCH_ROWS
 */
TW_API size_t tw_batch_rows(const tw_batch *batch);
/** @return rows of the batch's own shard, with those to be skipped. */
TW_API size_t tw_batch_share(const tw_batch *batch);

/** Which plate a row is. */
typedef struct tw_batch_place {
    size_t number; /**< from 1, among the rows of all shards */
    const char *file;
    tw_setting varied[TW_VARY_MAX]; /**< vary_count */
} tw_batch_place;
/** @brief The k-th row of the shard, from 0 and below tw_batch_share(). */
TW_API void tw_batch_place_of(const tw_batch *batch, size_t k, tw_batch_place *out);

/** One map of a row's plate. */
typedef struct tw_batch_map {
    bool given;
    tw_weight weight;
    double thinnest, thickest; /**< [mm] */
    double expanded_g; /**< of the mass at 95 %; NaN without the budget, or where there is none */
} tw_batch_map;
/** What a row came to. */
typedef struct tw_batch_row {
    tw_batch_place place;
    tw_error err; /**< status TW_OK, or the first thing that is wrong: other rows go on */
    const tw_profile *profile; /**< NULL when it could not be read; borrowed, gone after the call */
    tw_batch_map maps[TW_PLATE_MAPS_MAX]; /**< by tw_map_kind */
} tw_batch_row;

/** Takes a row. One at a time and in order, but not always from the same thread. @return TW_OK to go on */
typedef tw_status (*tw_batch_take)(const tw_batch_row *row, void *context);
/** @return true to stop; asked for often, from several threads at once. */
typedef bool (*tw_batch_stopped)(void *context);

/**
 * @brief Weigh the rows of the shard that are not skipped, and give each to `take`.
 * A row is started when a thread is free, and waits for those before it; each plate is weighed by one thread, so
 * that its figures are those of one plate alone. Once stopped, rows that are not finished are given up.
 * @param stopped  may be NULL
 * @return TW_OK, also where plates failed; TW_ERR_INTERRUPTED; TW_ERR_MEMORY; what `take` returned
 */
TW_API tw_status tw_batch_run(const tw_batch *batch, tw_batch_take take, tw_batch_stopped stopped,
                              void *context, tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
