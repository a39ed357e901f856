/*
 * cli_weigh.h: weighing one plate or many: how sure a mass is, what stands on top of it, gauge readings and where
 * the next ones help, rows of `batch`.
 */
#ifndef CLI_WEIGH_H
#define CLI_WEIGH_H

#include "cli_internal.h"

#include "taperwright/batch.h"
#include "taperwright/budget.h"

/* ---- how sure a mass is ------------------------------------------------------------------- */

/** How sure one map's mass is. Zeroed where it was not asked for; pair with
 * tw_cli_surety_release(). */
typedef struct tw_cli_surety {
    bool given; /**< budget holds; false where readings near the edge allow no ± for the whole */
    bool compared, tried; /**< agreement, trials hold */
    tw_budget budget;
    tw_agreement agreement; /**< with the profile's scale weight */
    tw_monte_carlo trials;
    tw_error missing; /**< of tw_cli_sureties_make(): why budget does not hold, else TW_OK */
    tw_error
        unreached; /**< why agreement does not hold where there is a scale weight, else TW_OK */
    bool located; /**< where and readings_share hold: the readings are the largest part of the ± */
    tw_where where;
    double readings_share; /**< of the variance */
} tw_cli_surety;
/** @brief Of one map; no ± is a failure, but for readings near the edge. */
tw_status tw_cli_surety_make(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                             tw_cli_surety *out, tw_error *err);
/** @brief Of every map of a plate. A map without ± or agreement says why and is no failure.
 * @param[out] out  TW_PLATE_MAPS_MAX, to be released whatever the status */
tw_status tw_cli_sureties_make(const tw_args *args, const tw_plate *plate, tw_cli_surety *out,
                               tw_error *err);
void tw_cli_surety_release(tw_cli_surety *surety);

/* ---- showing weights --------------------------------------------------------------------- */

/* Showing what was computed, in text, JSON and CSV. Sureties are one to a map, or NULL; extras are
 * one to a map. */
void tw_show_weigh_text(tw_output *out, const tw_args *args, const tw_plate *plate,
                        const tw_cli_surety *sureties, const tw_extra_weight *extras);
json_t *tw_show_weigh_json(const tw_args *args, const tw_plate *plate,
                           const tw_cli_surety *sureties, const tw_extra_weight *extras);
void tw_show_weigh_csv_head(tw_output *out);
void tw_show_weigh_csv(tw_output *out, const tw_plate *plate, const tw_cli_surety *sureties,
                       const tw_extra_weight *extras);
json_t *tw_weigh_document(const char *plate, json_t *grid, json_t *maps);
void tw_weigh_csv_row(tw_output *out, const char *plate, const char *map, const char *zone,
                      const double *values, size_t count);
/* The same for a plate that gives only an area and a scale weight; budget of its mean thickness. */
void tw_show_area_text(tw_output *out, const tw_args *args, const tw_profile *profile,
                       const tw_budget *budget);
json_t *tw_show_area_json(const tw_args *args, const tw_profile *profile, const tw_budget *budget);
void tw_show_area_csv(tw_output *out, const tw_profile *profile, const tw_budget *budget);

/** @brief What turned edges and flutes add to each map; notes about them go to stderr once.
 * @param[out] extras  map_count of the plate, zeroed; release each, also on failure */
tw_status tw_cli_extras_make(const tw_plate *plate, tw_extra_weight *extras, tw_error *err);
/** @param compared  a scale weight was held against the plate alone, and that is said */
void tw_show_extra_text(tw_output *out, tw_units units, const tw_plate_map *map,
                        const tw_extra_weight *extra, bool compared);
/** @brief Add turned_edges, flutes, extra_g and extra_u_g to a map's object.
 * @param extra  NULL: not asked for, all null
 * @return the object, or NULL (it is dropped) when memory ran out */
json_t *tw_extra_json(json_t *map, const tw_extra_weight *extra);
void tw_show_extra_csv(tw_output *out, const char *plate, const char *map,
                       const tw_extra_weight *extra);

/** @brief The line of a mass with its ±; a ± that leaves something out says so. */
void tw_show_mass(tw_output *out, tw_units units, const tw_plate *plate, const tw_plate_map *map,
                  const tw_cli_surety *surety);
/** @return the part of a budget's variance that rows of one kind have. */
double tw_cli_kind_share(const tw_budget *budget, tw_row_kind kind);
/** @brief The largest part of a ±, in words, indented under the mass. Rows of one kind count as one. */
void tw_show_largest(tw_output *out, const tw_budget *budget);
/** @brief Budget as a table; `grams` when the output is a mass, else a thickness. Rows that are each
 * under 0.1 % of the variance are one line together. */
void tw_show_budget(tw_output *out, tw_units units, const tw_budget *budget, bool grams);
void tw_show_trials(tw_output *out, tw_units units, const tw_cli_surety *surety);
/** @brief Whether scale and map agree, in a sentence; what would have to be true when not. */
void tw_show_agreement(tw_output *out, tw_units units, const tw_plate *plate,
                       const tw_plate_map *map, const tw_cli_surety *surety);
json_t *tw_budget_json(const tw_budget *budget, bool grams);
/** @brief Budget and trials, or null. */
json_t *tw_surety_json(const tw_args *args, const tw_cli_surety *surety);
json_t *tw_agreement_json(const tw_cli_surety *surety);

/** A point as it was typed, before readings seen from inside were turned over: "[-120 mm, 200 mm]",
 * "80 mm along rim, 5 mm in", "100 mm from crown, toward 45°". */
char *tw_cli_written(const tw_point *at, bool inside, tw_units units, char *out, size_t size);
/** "caliper", "micrometer", "ultrasonic": as in a profile. */
const char *tw_cli_instrument_word(tw_instrument_kind kind);
/** What `readings` found out about a plate. */
typedef struct tw_cli_readings {
    const tw_plate *plate;
    const tw_plate_map *map; /**< of means */
    tw_cli_surety surety;
    double readings_u_g;             /**< standard, of the mass, from the readings alone */
    tw_where where;                  /**< which parts of the plate that comes from */
    const tw_instrument *instrument; /**< that suggestions are for */
    tw_suggestion *suggestions;      /**< suggestion_count, at least one when any place is left */
    size_t suggestion_count, shown;  /**< shown: as many as were asked for */
} tw_cli_readings;
/** @return the foremost of a reading's flags in words, NULL for none. */
const char *tw_cli_flag_words(unsigned flags);
void tw_show_readings_text(tw_output *out, const tw_args *args, const tw_cli_readings *found);
json_t *tw_show_readings_json(const tw_args *args, const tw_cli_readings *found);
void tw_show_readings_csv(tw_output *out, const tw_cli_readings *found);
/** @brief Which parts of the plate make the mass of a map from readings unsure. */
tw_status tw_cli_where(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                       tw_where *out, tw_error *err);
/** "the lower part to the wearer's left", "the crown", "the rim all round". */
char *tw_cli_region(tw_worn worn, bool bowl, const tw_region *region, char *out, size_t size);
/**
 * @brief The part of the plate that most of a ± comes from, in a sentence indented under the mass.
 * @param of_whole  the readings' part of the whole variance, 0…1
 * @return false when no part stands out, and nothing is printed
 */
bool tw_show_where(tw_output *out, const tw_plate *plate, const tw_where *where, double of_whole);
/** @return [{region, share, metal, readings}] */
json_t *tw_where_json(const tw_plate *plate, const tw_where *where);
/** @return ± of the mass, 95 %, once the first n + 1 suggested places are read too; NaN without. */
double tw_readings_left(const tw_cli_readings *found, size_t n);

/* ---- batch ------------------------------------------------------------------------------- */

/** @brief What was asked for, read and held against the plates: a path that none of them knows is refused.
 * @param[out] batch  in the arena; borrows args */
tw_status tw_cli_batch_request(const tw_args *args, tw_arena *arena, tw_batch *batch,
                               tw_error *err);
/* Rows of `batch`: what they begin with says which plate; a JSON row is one line. */
void tw_show_batch_csv_head(tw_output *out, const tw_batch *batch);
void tw_show_batch_csv_place(tw_output *out, const tw_batch *batch, const tw_batch_place *place);
void tw_show_batch_csv(tw_output *out, const tw_batch *batch, const tw_batch_row *row);
/** @return NULL when memory ran out. */
json_t *tw_show_batch_place_json(const tw_batch *batch, const tw_batch_place *place);
json_t *tw_show_batch_json(const tw_batch *batch, const tw_batch_row *row);

#endif
