/*
 * cli_internal.h: what every command of the program uses: errors, progress, the plates named on the command line,
 * pictures, and results as text, JSON and CSV.
 */
#ifndef CLI_INTERNAL_H
#define CLI_INTERNAL_H

#include "cli_options.h"

#include "taperwright/base.h"
#include "taperwright/blank.h"
#include "taperwright/draw.h"
#include "taperwright/files.h"
#include "taperwright/form.h"
#include "taperwright/profile.h"
#include "taperwright/thickness.h"
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
/**
 * @brief A sheet as least work forms it on the plate, on a mesh as fine as the plate needs; progress shown.
 * @param sheet_mm  before forming
 * @param nodes     of the first mesh that is tried, at most 20 000
 * @param[out] out     on the plate's grid; pair with tw_map_release()
 * @param[out] layout  pair with tw_layout_free(); NULL when it is not wanted
 */
tw_status tw_cli_form_sheet(const tw_args *args, const tw_plate *plate, double sheet_mm,
                            size_t nodes, tw_map *out, tw_layout **layout, tw_error *err);
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

#endif
