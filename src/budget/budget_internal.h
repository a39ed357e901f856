/* budget_internal.h: what the files of the budget room share. */
#ifndef BUDGET_INTERNAL_H
#define BUDGET_INTERNAL_H

#include "taperwright/budget.h"

/** Inputs of one model: the values lie on the stack of each thread. */
enum { TW_BUDGET_ROWS_MAX = 2048 };

/** @return TW_OK, or TW_ERR_DOMAIN naming the row whose value, u or freedom is no number. */
tw_status tw_rows_check(const tw_budget_row *rows, size_t count, tw_error *err);
/** A model as tw_model, whose answer must be a number. */
tw_status tw_model_call(tw_model model, void *context, const double *inputs, size_t count,
                        double *out, tw_error *err);

/** Terms of the second order in the note to JCGM 100:2008 5.1.2 [output²]. */
tw_status tw_second_order(tw_model model, void *context, const tw_budget_row *rows, size_t count,
                          double *variance, tw_error *err);

/** Philox 4x32 with 10 rounds: 128 random bits that depend on counter and key alone. */
void tw_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);
/** @return the row's value as trial `trial` of `seed` draws it; `input` tells the rows apart. */
double tw_draw(const tw_budget_row *row, uint64_t seed, uint64_t trial, uint32_t input);

/** One measured length of a form, and the row that it goes into. */
typedef enum tw_length_kind {
    TW_LENGTH_BOWL,    /**< part: across, up, depth, over across, over up */
    TW_LENGTH_STATION, /**< item: station; part: ruler, width, centre, sides, tape */
    TW_LENGTH_HEIGHT,  /**< item: station; part: which of its heights */
    TW_LENGTH_KEEL,    /**< part: stands, width */
    TW_LENGTH_SHAPE,   /**< part: half size across, up of a rectangle or ellipse as outline */
    TW_LENGTH_EDGE     /**< item: edge of the outline, moved out with its twin */
} tw_length_kind;
typedef struct tw_length {
    tw_length_kind kind;
    size_t item, part;
    size_t row; /**< lengths of one row are measured apart, so their grams add as squares */
} tw_length;
typedef struct tw_lengths {
    size_t count, row_count;
    tw_length *items;
    const char **names;        /**< row_count */
    tw_row_kind *kinds;        /**< row_count */
    double *values;            /**< row_count [mm]; of what is moved, 0 */
    const tw_profile *profile; /**< as given */
    const tw_form *form;       /**< of the profile as given */
    const tw_profile *located; /**< the same with the outline's points in tape coordinates */
} tw_lengths;
/** @brief List what was measured of a profile's form. All of it lies in the arena. */
tw_status tw_lengths_list(const tw_profile *profile, const tw_form *form, tw_arena *arena,
                          tw_lengths *out, tw_error *err);
/** @brief A profile with one length longer by `step`; what it changes is copied to the arena. */
tw_status tw_length_change(const tw_lengths *lengths, const tw_length *length, double step,
                           tw_arena *arena, tw_profile *out, tw_error *err);
/** How the masses of a plate's maps answer to the rows of lengths, and which maps could be asked. */
typedef struct tw_slopes {
    bool wanted[TW_PLATE_MAPS_MAX];
    double *slope[TW_PLATE_MAPS_MAX];  /**< row_count each [g/mm] */
    tw_error error[TW_PLATE_MAPS_MAX]; /**< status TW_OK, or why a wanted map has no slopes */
} tw_slopes;
/** @brief Fill slope and error of the wanted maps by rebuilding on a coarse grid, once for all of
 * them. @return TW_OK, or TW_ERR_MEMORY */
tw_status tw_lengths_slopes(const tw_lengths *lengths, const tw_plate *plate, unsigned threads,
                            tw_arena *arena, tw_slopes *slopes, tw_error *err);

/** @return how a map's mass answers to the edges of all holes, each moved in by itself [g/mm]. */
double tw_holes_slope(const tw_plate *plate, const tw_map *map);

/** A budget of one map while it grows. */
typedef struct tw_table {
    const tw_plate *plate;
    const tw_plate_map *map;
    unsigned threads;
    tw_arena *arena;
    tw_budget_row *rows;
    size_t count;
} tw_table;
/** @brief Add a row; its degrees of freedom become infinite. */
void tw_table_add(tw_table *table, tw_budget_row row);
/** @return the most rows that tw_table_add_readings() may add. */
size_t tw_table_readings_room(const tw_profile *profile);
/** @brief Add what a map from readings owes to them and their instruments. */
tw_status tw_table_add_readings(tw_table *table, tw_error *err);

/** Standard uncertainty of a profile's scale weight [g], and how far it is the display's rounding. */
double tw_scale_uncertainty(const tw_profile *profile, double *rounding);

#endif
