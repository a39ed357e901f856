/*
 * cli_internal.h: what the files of the program share.
 */
#ifndef CLI_INTERNAL_H
#define CLI_INTERNAL_H

#include "cli_options.h"

#include "taperwright/base.h"
#include "taperwright/batch.h"
#include "taperwright/blank.h"
#include "taperwright/budget.h"
#include "taperwright/compare.h"
#include "taperwright/draw.h"
#include "taperwright/exchange.h"
#include "taperwright/files.h"
#include "taperwright/harness.h"
#include "taperwright/plan.h"
#include "taperwright/profile.h"
#include "taperwright/weigh.h"

#include <jansson.h>

/* ---- errors ------------------------------------------------------------------------------ */

/** @brief Print errors (or notes, when `label` is "note: ") to stderr with their source lines. */
void tw_cli_report(const tw_notes *list, const char *label);
/** @brief One of them as text: the lines that tw_cli_report() prints. */
void tw_cli_error_text(const tw_error *item, const char *label, char *text, size_t size);
/** @brief Add an error to the list and return its status, for `return tw_cli_give(…)`. */
tw_status tw_cli_give(tw_notes *errors, const tw_error *err);
/** @return the next code point of UTF-8, text moved past it; a byte that is none counts as '?'. */
unsigned tw_cli_letter(const char **text);
/** @return columns that a UTF-8 text takes on a terminal. */
size_t tw_cli_columns(const char *text);
/** @return the printf width that pads `text` to `columns`, counted in letters instead of bytes. */
int tw_cli_fit(int columns, const char *text);

/* ---- progress and Ctrl-C ----------------------------------------------------------------- */

void tw_cli_catch_interrupt(void);
/** From here on a signal waits until work asks for it, however long that takes. */
void tw_cli_wait_for_work(void);
bool tw_cli_interrupted(void);
/* What the program exits with: 128 and the signal's number when one stopped it, as shells do. */
int tw_cli_exit_code(tw_status status);
typedef struct tw_cli_progress {
    double begun; /**< seconds, 0 before the first call */
    bool shown;
} tw_cli_progress;
/** tw_progress: a line on stderr when that is a terminal and the work takes over a second. */
bool tw_cli_progress_step(const char *step, double share, void *context);
void tw_cli_progress_clear(tw_cli_progress *progress);
/** @return seconds of a clock that only goes forward. */
double tw_cli_seconds(void);

/* ---- plates ------------------------------------------------------------------------------ */

/** Profiles named on the command line, all read before any work begins. */
typedef struct tw_cli_profiles {
    size_t count;
    tw_profile **items;
} tw_cli_profiles;
/** @brief Read every operand; all errors of all files are added. Pair with the release. */
tw_status tw_cli_profiles_read(const tw_args *args, tw_cli_profiles *out, tw_notes *errors);
void tw_cli_profiles_release(tw_cli_profiles *profiles);
/** @return true for a plate that gives only its area. */
bool tw_cli_area_only(const tw_profile *profile);
/** @return true when a file looks like a harness file; what cannot be read does not. */
bool tw_cli_is_harness(const char *path);
/** @brief Model and weigh with the options typed; progress shown, notes go to stderr. */
tw_status tw_cli_plate(const tw_args *args, const tw_profile *profile, tw_plate **out,
                       tw_error *err);
/** @brief Name the profile in an error that a later room left without a file. */
void tw_cli_error_in(const tw_profile *profile, tw_error *err);
/**
 * @brief Refuse a plate that gives an area only.
 * @param message  with %s for the plate's name
 * @param advice   NULL: none
 * @return TW_OK; TW_ERR_INPUT
 */
tw_status tw_cli_needs_form(const tw_profile *profile, const char *message, const char *advice,
                            tw_error *err);

/** @brief The plate's map of --map; else the nearest to metal: readings, image, forged, sheet. */
tw_status tw_cli_map(const tw_args *args, const tw_plate *plate, const tw_plate_map **out,
                     tw_error *err);

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

/* ---- plans --------------------------------------------------------------------------------- */

/** What `stock` found out about a plate. */
typedef struct tw_cli_sheets {
    const tw_plate *plate;
    bool planned, all;
    const tw_blank *blank;
    tw_stock_request request;
    tw_stock_ranking ranking;
} tw_cli_sheets;
/** @brief `stock` of a plate: which sheet to begin with. */
tw_status tw_cli_stock_plate(const tw_args *args, tw_notes *errors);
void tw_show_sheets_text(tw_output *out, const tw_cli_sheets *found);
json_t *tw_show_sheets_json(const tw_cli_sheets *found);
void tw_show_sheets_csv(tw_output *out, const tw_cli_sheets *found);

/** What `plan` found out: a weight reached, or a least graded map with (or without) a trade-off. */
typedef struct tw_cli_plan {
    const tw_plate *plate;
    const tw_reach *reach; /**< else NULL */
    const tw_least *least; /**< else NULL */
    const tw_trade_off *trade;
    tw_plan_request request; /**< of least */
} tw_cli_plan;
void tw_show_plan_text(tw_output *out, tw_units units, const tw_cli_plan *found);
json_t *tw_show_plan_json(const tw_cli_plan *found);
void tw_show_plan_csv(tw_output *out, const tw_cli_plan *found);

/** --map of the commands that plan work: which thickness is to be made. */
typedef enum tw_cli_wanted { TW_CLI_WANTED_FORGED, TW_CLI_WANTED_PLAN } tw_cli_wanted;
/** What is to be made: the profile's plan where it has one and --map does not say otherwise, else its
 * forged map; from --stock, or the profile's sheet. */
typedef struct tw_cli_goal {
    bool planned;  /**< least holds */
    tw_plan *plan; /**< else NULL */
    tw_least least;
    tw_goal goal;
} tw_cli_goal;
/** @param[out] out  pair with tw_cli_goal_release(), also on failure */
tw_status tw_cli_goal_make(const tw_args *args, const tw_plate *plate, tw_cli_goal *out,
                           tw_error *err);
void tw_cli_goal_release(tw_cli_goal *goal);
/** @brief What was not typed of a request (NaN, NULL), from the profile's plan when it has one. */
void tw_cli_plan_request(const tw_profile *profile, tw_plan_request *request);

/** A point of the plate and of its blank. */
typedef struct tw_cli_mapped {
    double tape[2], blank[2];
    bool back; /**< asked for by its place on the blank */
} tw_cli_mapped;
/** What `blank` found out. */
typedef struct tw_cli_blank {
    const tw_blank *blank;
    size_t point_count;
    tw_cli_mapped *points;
} tw_cli_blank;
void tw_show_blank_text(tw_output *out, tw_units units, const tw_cli_blank *found);
json_t *tw_show_blank_json(const tw_cli_blank *found);
void tw_show_blank_csv(tw_output *out, const tw_cli_blank *found);

void tw_show_steps_text(tw_output *out, tw_units units, const tw_steps *steps);
json_t *tw_show_steps_json(const tw_steps *steps);
void tw_show_steps_csv(tw_output *out, const tw_steps *steps);

void tw_show_card_text(tw_output *out, tw_units units, const tw_card *card);
json_t *tw_show_card_json(const tw_card *card);
/** @brief A table of readings as a profile and `plan --readings` take it, thicknesses left empty. */
void tw_show_card_csv(tw_output *out, const tw_card *card);
/** What `plan --readings` and `plan --log` found out: work in progress. */
typedef struct tw_cli_work {
    const tw_goal *goal;
    const tw_gauging *gauging; /**< NULL without readings */
    const tw_work_readings *readings;
    const tw_work_log *log; /**< with the entry just made; NULL without */
    const char *log_file;
} tw_cli_work;
/** @brief `plan` where --readings or --log is given. */
tw_status tw_cli_gauge(const tw_args *args, tw_notes *errors);
void tw_show_work_text(tw_output *out, tw_units units, const tw_cli_work *found);
json_t *tw_show_work_json(const tw_cli_work *found);
void tw_show_work_csv(tw_output *out, const tw_cli_work *found);

void tw_show_series_text(tw_output *out, tw_units units, const tw_series *series);
json_t *tw_show_series_json(const tw_series *series);
void tw_show_exercise_text(tw_output *out, tw_units units, const tw_exercise *exercise);
json_t *tw_show_exercise_json(const tw_exercise *exercise);

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

/* ---- pictures ---------------------------------------------------------------------------- */

bool tw_cli_picture_to_stdout(const tw_args *args);
/** @brief Refuse options of a picture that do not go together, or an output that may not be. */
tw_status tw_cli_picture_allowed(const tw_args *args, tw_error *err);
/** @brief Options of a picture as typed; `date` where none was. */
tw_draw_options tw_cli_picture_options(const tw_args *args, const char *title, const char *date);
/** @brief The same with a plate's name and date. */
tw_draw_options tw_cli_plate_options(const tw_args *args, const tw_profile *profile);
/** @brief Print what a drawing says, a line to each text. */
tw_status tw_cli_describe(const tw_words *words, tw_error *err);
/** @brief Begin the text (unless the picture goes to standard output) and the picture (if any). */
tw_status tw_cli_outputs_begin(const tw_args *args, tw_output **text, tw_output **picture,
                               tw_error *err);

/** What a command that draws does with its plate: text and picture are NULL where not wanted. */
typedef tw_status (*tw_cli_drawing)(const tw_args *args, const tw_plate *plate, tw_output *text,
                                    tw_output *picture, tw_error *err);
/**
 * @brief A command of one plate that may draw: outputs begun first and committed last, text before
 * the picture, so that a failure leaves neither.
 * @param accepts  refuses a profile before the plate is built; may be NULL
 */
tw_status tw_cli_with_picture(const tw_args *args,
                              tw_status (*accepts)(const tw_profile *profile, tw_error *err),
                              tw_cli_drawing drawing, tw_notes *errors);

/* ---- results ----------------------------------------------------------------------------- */

/** @brief Refuse an output that would replace a profile or an input of this call. */
tw_status tw_cli_output_allowed(const tw_args *args, const char *path, tw_error *err);
/** @brief Write the cells of a map as CSV into an output. */
tw_status tw_cli_cells_write(tw_output *out, const tw_grid *grid, const tw_map *map, tw_error *err);
/** @brief Commit unless the work failed or was interrupted; then abandon. Returns the outcome. */
tw_status tw_cli_finish(tw_output *out, tw_status status, tw_error *err);
/** @brief The same of text, then of a file, NULL where there is none: when the text cannot be
 * written, no file is left either. Both come back NULL. */
tw_status tw_cli_finish_both(tw_output **text, tw_output **file, tw_status status, tw_error *err);

/** @return a JSON number, null for NaN and infinities; NULL when memory ran out. */
json_t *tw_json_number(double value);
json_t *tw_json_numbers(const double *values, size_t count);
json_t *tw_json_text(const char *text);
/** @brief Print a document (and drop it). A NULL document means memory ran out. */
tw_status tw_json_print(json_t *document, tw_output *out, tw_error *err);
/** @brief The same in one line. */
tw_status tw_json_print_line(json_t *document, tw_output *out, tw_error *err);

/** @brief CSV fields with RFC 4180 quoting; a NaN is an empty field; `last` ends the row. */
void tw_csv_text(tw_output *out, const char *text, bool last);
void tw_csv_number(tw_output *out, double value, bool last);

/** @return the side that +across (toward > 0) or −across lies on, in words: "the wearer's left". */
const char *tw_cli_side(tw_worn worn, double toward);

/** "2.312 kg ± 0.2 g numerical": a mass as finely as its numerical error deserves. */
char *tw_cli_mass(const tw_weight *weight, tw_units units, char *out, size_t size);

/** "1.58 kg ± 0.07 kg": the ± in the unit of the mass, as finely as it deserves. */
char *tw_cli_mass_within(double mass, double expanded, tw_units units, char *out, size_t size);
/** "1.52 mm ± 0.06 mm"; the ± is left out when it is no number. */
char *tw_cli_thickness_within(double mm, double expanded, tw_units units, char *out, size_t size);
/** "[120 mm, 200 mm]" */
char *tw_cli_place(const double tape[2], tw_units units, char *out, size_t size);

/** A point as it was typed, before readings seen from inside were turned over: "[-120 mm, 200 mm]",
 * "80 mm along rim, 5 mm in", "100 mm from crown, toward 45°". */
char *tw_cli_written(const tw_point *at, bool inside, tw_units units, char *out, size_t size);
/** "caliper", "micrometer", "ultrasonic": as in a profile. */
const char *tw_cli_instrument_word(tw_instrument_kind kind);

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

/** What `compare` found out about a plate. */
typedef struct tw_cli_comparison {
    tw_comparison rows;
    tw_layout *layout; /**< of the row as formed; NULL without it */
    tw_map as_formed;
    tw_stock stock; /**< that it was formed from */
    tw_forming_bounds bounds;
    char missing[256]; /**< why that row is not there though nothing else was asked for; "" */
} tw_cli_comparison;
/** @brief Lay the face out and append the row as formed, unless other rows alone are asked for. Where it
 * cannot be, `missing` says why, and a note on stderr where no text does; a failure only when it was asked for by name. */
tw_status tw_cli_as_formed(const tw_args *args, tw_cli_comparison *found, tw_error *err);
void tw_cli_comparison_release(tw_cli_comparison *found);
void tw_show_compare_text(tw_output *out, const tw_args *args, const tw_cli_comparison *found);
json_t *tw_show_compare_json(const tw_args *args, const tw_cli_comparison *found);
void tw_show_compare_csv(tw_output *out, const tw_args *args, const tw_cli_comparison *found);
/** @return true when --against asks for this row, or for none in particular. */
bool tw_show_against(const tw_args *args, const tw_against *against);

/** What `view` found out about a plate. */
typedef struct tw_cli_view {
    tw_view_request request;
    tw_cut cut;
    tw_shares shares;
    tw_cli_comparison found; /**< rows to set beside a forged map */
    tw_map even;             /**< a sheet of those as a map */
    char beside_name[96];
} tw_cli_view;
/** @brief Read --line: "centre", "across at 200 mm", "up at -40 mm", "[0, 40] to [0, 360]". */
tw_status tw_cli_tape_line(const char *text, tw_ruler ruler, tw_tape_line *out, tw_error *err);
/** @brief Read what is to be shown, and from where. */
tw_status tw_cli_views_read(const tw_args *args, const tw_profile *profile,
                            tw_view_request *request, tw_error *err);
void tw_show_view_text(tw_output *out, tw_units units, const tw_cli_view *found);
json_t *tw_show_view_json(const tw_cli_view *found);
void tw_show_view_csv(tw_output *out, const tw_cli_view *found);
/** What `export` writes: a solid, a picture, rows. */
typedef enum tw_cli_export_kind {
    TW_EXPORT_STL,
    TW_EXPORT_OBJ,
    TW_EXPORT_PLY,
    TW_EXPORT_PNG,
    TW_EXPORT_CSV
} tw_cli_export_kind;
/** --what: levels of a picture. */
typedef enum tw_cli_what { TW_CLI_THICKNESS, TW_CLI_HEIGHT } tw_cli_what;
typedef struct tw_cli_export {
    tw_cli_export_kind kind;
    tw_cli_what what;
    const char *file;
    const tw_plate *plate;
    const tw_plate_map *map;
    const tw_solid *solid;  /**< NULL: a picture or rows */
    tw_solid_weight weight; /**< of the solid */
} tw_cli_export;
/** @return "stl", "obj", "ply", "png", "csv" */
const char *tw_cli_export_word(tw_cli_export_kind kind);
void tw_show_export_text(tw_output *out, tw_units units, const tw_cli_export *found);
json_t *tw_show_export_json(const tw_cli_export *found);

/* Rows of `batch`: what they begin with says which plate; a JSON row is one line. */
void tw_show_batch_csv_head(tw_output *out, const tw_batch *batch);
void tw_show_batch_csv_place(tw_output *out, const tw_batch *batch, const tw_batch_place *place);
void tw_show_batch_csv(tw_output *out, const tw_batch *batch, const tw_batch_row *row);
/** @return NULL when memory ran out. */
json_t *tw_show_batch_place_json(const tw_batch *batch, const tw_batch_place *place);
json_t *tw_show_batch_json(const tw_batch *batch, const tw_batch_row *row);

/* ---- commands ---------------------------------------------------------------------------- */

tw_status tw_cmd_batch(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_weigh(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_compare(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_readings(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_limits(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_plan(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_blank(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_client(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_series(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_steps(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_card(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_view(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_export(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_check(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_new(const tw_args *args, tw_notes *errors);
/** @brief `new` where --card is given. */
tw_status tw_cli_new_card(const tw_args *args, tw_notes *errors);
/** @return a template by name; NULL with the nearest in err. */
const tw_template *tw_cli_template_find(const char *form, tw_error *err);
tw_status tw_cmd_originals(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_harness(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_stock(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_help(const tw_args *args, tw_notes *errors);
tw_status tw_cmd_manual(const tw_args *args, tw_notes *errors);

/* ---- fittings ---------------------------------------------------------------------------- */

/** @brief The built-in fittings: mass and ± at 95 % each, per length or per area, and source. */
void tw_fittings_show(tw_output *out, tw_units units);
/** @return the same, metric, with standard uncertainties; NULL when memory ran out. */
json_t *tw_fittings_json(void);

#endif
