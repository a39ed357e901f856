/* budget_internal.h: what the files of the budget room share. */
#ifndef BUDGET_INTERNAL_H
#define BUDGET_INTERNAL_H

#include "taperwright/budget.h"

/** Names that other parts of the room know a row by; a name may go on after them. */
#define TW_ROW_DENSITY "density"
#define TW_ROW_SHEET   "sheet thickness"
#define TW_ROW_READING "readings"

/** Inputs of one model: the values lie on the stack of each thread. */
enum { TW_BUDGET_ROWS_MAX = 2048 };

bool tw_row_is(const tw_budget_row *row, const char *name);
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
    TW_LENGTH_SCAN,    /**< longest side of a grid of points, all of it drawn out alike */
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
/** @brief Sensitivity of a map's mass to each row of lengths [g/mm], by rebuilding on a coarse grid. */
tw_status tw_lengths_slopes(const tw_lengths *lengths, const tw_plate *plate,
                            const tw_plate_map *map, unsigned threads, double *slope,
                            tw_error *err);

/** Standard uncertainty of a profile's scale weight [g], and what it rests on, as the row's name. */
double tw_scale_uncertainty(const tw_profile *profile, const char **name);

#endif
