/*
 * cli_compare.h: a forged plate beside even sheet, drawn from any side and as a lesson.
 */
#ifndef CLI_COMPARE_H
#define CLI_COMPARE_H

#include "cli_internal.h"

#include "taperwright/blank.h"
#include "taperwright/compare.h"

/* ---- comparison -------------------------------------------------------------------------- */

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

/* ---- lessons ----------------------------------------------------------------------------- */

void tw_show_series_text(tw_output *out, tw_units units, const tw_series *series);
json_t *tw_show_series_json(const tw_series *series);
void tw_show_exercise_text(tw_output *out, tw_units units, const tw_exercise *exercise);
json_t *tw_show_exercise_json(const tw_exercise *exercise);

/* ---- views ------------------------------------------------------------------------------- */

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

#endif
