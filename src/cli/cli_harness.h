/*
 * cli_harness.h: harnesses, records of originals, least thicknesses of a rule book; fittings.
 */
#ifndef CLI_HARNESS_H
#define CLI_HARNESS_H

#include "cli_internal.h"

#include "taperwright/harness.h"

/* ---- harnesses ---------------------------------------------------------------------------- */

/** A harness file read, modelled, and what is in added up. Pair with tw_cli_harness_close(). */
typedef struct tw_cli_harness {
    tw_harness_file *file;
    tw_harness *harness;
    tw_total total;
} tw_cli_harness;
/** @brief Read the command's one operand and choose by --in, --with, --without. */
tw_status tw_cli_harness_open(const tw_args *args, tw_cli_harness *out, tw_notes *errors);
/** @brief Model a harness file that is already in out->file, and choose: the second half of opening. */
tw_status tw_cli_harness_model(const tw_args *args, tw_cli_harness *out, tw_notes *errors);
void tw_cli_harness_close(tw_cli_harness *harness);
/** "1.41 kg ± 0.01 kg", or "-" without a figure. */
char *tw_cli_figure(const tw_figure *figure, tw_units units, char *out, size_t size);
/** @return part k's name, of a pair without its side when `pair`; in a buffer of the caller's. */
char *tw_cli_part_name(const tw_part *part, bool pair, char *out, size_t size);

/** A named set of the file, added up. */
typedef struct tw_cli_set {
    tw_figure sum; /**< of the parts that have a figure */
    size_t in_count, missing_count;
    const char **missing; /**< parts without a figure */
} tw_cli_set;
/** @brief "my cuirass: body, with couter, without back". */
char *tw_cli_harness_title(const tw_args *args, const tw_harness_file *file, char *out,
                           size_t size);
/** What `harness` found out. */
typedef struct tw_cli_whole {
    const tw_cli_harness *of;
    tw_sources sources;
    size_t set_count;
    tw_cli_set *sets;
} tw_cli_whole;
/** A plate as a harness of one part. */
typedef struct tw_cli_lone {
    tw_harness_file file;
    tw_part_spec part;
    tw_piece_spec piece;
    tw_cli_profiles profiles;
} tw_cli_lone;
/** @brief Read the one operand, a plate that says its kind, and model it into `of`.
 * @param[out] plate  zeroed by the caller; pair with tw_cli_lone_close(), also on failure */
tw_status tw_cli_lone_open(const tw_args *args, tw_cli_lone *plate, tw_cli_harness *of,
                           tw_notes *errors);
/** @brief The second half of it, of a profile that is in plate->profiles. */
tw_status tw_cli_lone_model(const tw_args *args, tw_cli_lone *plate, tw_cli_harness *of,
                            tw_notes *errors);
void tw_cli_lone_close(tw_cli_lone *plate, tw_cli_harness *of);
/** @brief The set of --records, else the shipped one. */
tw_status tw_cli_set_read(const tw_args *args, tw_originals **set, tw_notes *errors);
/** @brief Which records are asked for: --years, --object. */
tw_status tw_cli_filter(const tw_args *args, tw_filter *filter, tw_error *err);
/** What `originals` found out: of a harness or plate, or of the set alone. */
typedef struct tw_cli_beside {
    const tw_originals *set;
    tw_filter filter;
    const tw_cli_harness *of; /**< NULL: the set alone */
    tw_ranking ranking;       /**< of the set alone: its summary */
} tw_cli_beside;
void tw_show_originals_text(tw_output *out, const tw_args *args, const tw_cli_beside *found);
void tw_show_set_text(tw_output *out, const tw_args *args, const tw_cli_beside *found);
json_t *tw_show_originals_json(const tw_args *args, const tw_cli_beside *found);
void tw_show_originals_csv(tw_output *out, const tw_args *args, const tw_cli_beside *found);
/** "breastplate; tasset 2" */
char *tw_cli_kinds(const tw_kind_count *kinds, size_t count, char *out, size_t size);
/** @brief A record as it is cited, in one line. */
void tw_show_record(tw_output *out, tw_units units, const tw_original *record);

void tw_show_harness_text(tw_output *out, const tw_args *args, const tw_cli_whole *whole);
json_t *tw_show_harness_json(const tw_args *args, const tw_cli_whole *whole);
void tw_show_harness_csv(tw_output *out, const tw_cli_whole *whole);

/* ---- limits ------------------------------------------------------------------------------ */

/** What `limits` found out about a plate. */
typedef struct tw_cli_limits {
    const tw_plate *plate;
    const tw_plate_map *map;
    const tw_rules_file *rules;
    const tw_limit *limits; /**< rules->count */
} tw_cli_limits;
void tw_show_limits_text(tw_output *out, tw_units units, const tw_cli_limits *found);
json_t *tw_show_limits_json(const tw_cli_limits *found);
void tw_show_limits_csv(tw_output *out, const tw_cli_limits *found);

/* ---- fittings ---------------------------------------------------------------------------- */

/** @brief The built-in fittings: mass and ± at 95 % each, per length or per area, and source. */
void tw_fittings_show(tw_output *out, tw_units units);
/** @return the same, metric, with standard uncertainties; NULL when memory ran out. */
json_t *tw_fittings_json(void);

#endif
