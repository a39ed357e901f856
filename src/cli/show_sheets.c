/* show_sheets.c: sheets for a plate as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, COLUMNS = 10, SHOWN = 10, NEAREST = 3 };

typedef const char *(*cell_writer)(const tw_cli_sheets *found, const tw_stock_choice *row,
                                   char *out);

/* ---- cells of the table -------------------------------------------------------------------- */

static tw_units units_of(const tw_cli_sheets *found)
{
    return found->request.units;
}

static const char *name_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    return tw_stock_write(&row->stock, units_of(found), out, WORDS);
}

/* Of the first row's: what one would do in place of the other. */
static const char *work_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    const double times = row->work / found->ranking.choices[0].work;

    snprintf(out, WORDS, times < 1000 ? "%.2f" : "-", times);
    return out;
}

static const char *grams(const tw_cli_sheets *found, double g, char *out)
{
    return g < 0.5 ? "-" : tw_write_mass(g, units_of(found), -1, out, WORDS);
}

static const char *draw_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    return grams(found, row->draw_g, out);
}

static const char *gather_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    return grams(found, row->gather_g, out);
}

static const char *part_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    (void)found;
    snprintf(out, WORDS, "%.2f–%.2f", row->thinnest_part, row->thickest_part);
    return out;
}

static const char *stretch_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    (void)found;
    snprintf(out, WORDS, "%.2f–%.2f", row->least_stretch, row->most_stretch);
    return out;
}

static const char *box_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    char side[2][WORDS / 3];

    for (int c = 0; c < 2; c++)
        tw_write_length(row->box_mm[c], units_of(found), -1, side[c], sizeof side[c]);
    snprintf(out, WORDS, "%s × %s", side[0], side[1]);
    return out;
}

static const char *mass_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    return tw_write_mass(row->blank_g, units_of(found), -1, out, WORDS);
}

static const char *offcut_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    const bool sheet = found->request.sheet_mm[0] > 0;

    if (sheet && row->per_sheet == 0)
        snprintf(out, WORDS, "none fits");
    else if (sheet)
        snprintf(out, WORDS, "%zu, %.0f %%", row->per_sheet, 100 * row->offcut_share);
    else
        snprintf(out, WORDS, "%.0f %%", 100 * row->offcut_share);
    return out;
}

static const char *tolerance_cell(const tw_cli_sheets *found, const tw_stock_choice *row, char *out)
{
    char words[WORDS / 2];

    if (isnan(row->tolerance_mm))
        return "no table";
    snprintf(out, WORDS, "± %s",
             tw_write_thickness(row->tolerance_mm, units_of(found), -1, words, sizeof words));
    return out;
}

static const struct column {
    const char *head;
    cell_writer write;
} columns[COLUMNS] = {{"sheet", name_cell},       {"work", work_cell},  {"drawn out", draw_cell},
                      {"gathered", gather_cell},  {"parts", part_cell}, {"stretches", stretch_cell},
                      {"rectangle", box_cell},    {"blank", mass_cell}, {"offcut", offcut_cell},
                      {"as sold", tolerance_cell}};

static const char *head_of(const tw_cli_sheets *found, size_t column)
{
    return columns[column].write == offcut_cell && found->request.sheet_mm[0] > 0
               ? "a sheet, offcut"
               : columns[column].head;
}

static void show_line(tw_output *out, const tw_cli_sheets *found, const tw_stock_choice *row,
                      const size_t *widths)
{
    char words[WORDS];

    tw_output_print(out, NULL, row && row->own ? "*" : " ");
    for (size_t c = 0; c < COLUMNS; c++) {
        const char *cell = row ? columns[c].write(found, row, words) : head_of(found, c);
        const size_t taken = tw_cli_columns(cell);
        const int pad = taken < widths[c] ? (int)(widths[c] - taken) : 0;
        if (c == 0)
            tw_output_print(out, NULL, " %s%*s", cell, pad, "");
        else
            tw_output_print(out, NULL, "  %*s%s", pad, "", cell);
    }
    tw_output_print(out, NULL, "\n");
}

/* Rows [first, last); what is not possible has its reason under it. */
static void show_table(tw_output *out, const tw_cli_sheets *found, size_t first, size_t last)
{
    size_t widths[COLUMNS];
    char words[WORDS];

    for (size_t c = 0; c < COLUMNS; c++) {
        widths[c] = tw_cli_columns(head_of(found, c));
        for (size_t k = first; k < last; k++) {
            const size_t taken =
                tw_cli_columns(columns[c].write(found, &found->ranking.choices[k], words));
            widths[c] = taken > widths[c] ? taken : widths[c];
        }
    }
    show_line(out, found, NULL, widths);
    for (size_t k = first; k < last; k++) {
        const tw_stock_choice *row = &found->ranking.choices[k];
        show_line(out, found, row, widths);
        if (!row->possible)
            tw_output_print(out, NULL, "      %s\n", row->reason);
    }
}

/* ---- text ---------------------------------------------------------------------------------------- */

static const char *map_word(const tw_cli_sheets *found)
{
    return found->planned ? "plan" : "forged";
}

static void show_head(tw_output *out, const tw_cli_sheets *found)
{
    const tw_layout *layout = found->blank->layout;
    const double mean = layout->blank_area * layout->stock / layout->face_area;
    const bool losses = found->blank->goal->scale_mm + found->blank->goal->polish_mm > 0;
    const tw_units units = units_of(found);
    char words[3][WORDS];

    tw_output_print(out, NULL,
                    "%s, %s: sheets to begin with, by the least work that the metal takes "
                    "(an estimate)\n",
                    found->plate->profile->plate, map_word(found));
    tw_output_print(out, NULL, "  wanted  %s to %s%s, %s in the mean\n",
                    tw_write_thickness(layout->thinnest, units, -1, words[0], WORDS),
                    tw_write_thickness(layout->thickest, units, -1, words[1], WORDS),
                    losses ? ", losses in" : "",
                    tw_write_thickness(mean, units, -1, words[2], WORDS));
    tw_output_print(out, NULL,
                    "  limits  gathered to %.2f times the sheet, drawn out to %.2f of it",
                    1 + found->blank->gather, 1 - found->blank->draw);
    if (found->request.sheet_mm[0] > 0)
        tw_output_print(out, NULL, "; cut from %s × %s",
                        tw_write_length(found->request.sheet_mm[0], units, -1, words[0], WORDS),
                        tw_write_length(found->request.sheet_mm[1], units, -1, words[1], WORDS));
    if (found->blank->goal->trim_mm > 0)
        tw_output_print(out, NULL, "; %s of trim round it",
                        tw_write_length(found->blank->goal->trim_mm, units, -1, words[0], WORDS));
    tw_output_print(out, NULL, "\n\n");
}

/* "9 would be gathered too far" of the rows from `first`, by what stands in their way. */
static void show_others(tw_output *out, const tw_cli_sheets *found, size_t first, size_t possible)
{
    static const char *const why[] = {"would be gathered too far", "would be drawn out too far",
                                      "would be both", "do not fit", "would overlap themselves"};
    size_t counts[sizeof why / sizeof *why] = {0}, said = 0;
    const tw_stock_ranking *ranking = &found->ranking;

    if (first >= ranking->count)
        return;
    for (size_t k = first > possible ? first : possible; k < ranking->count; k++) {
        const tw_stock_choice *row = &ranking->choices[k];
        counts[row->over && row->under                                 ? 2
               : row->under                                            ? 1
               : row->over                                             ? 0
               : found->request.sheet_mm[0] > 0 && row->per_sheet == 0 ? 3
                                                                       : 4]++;
    }
    tw_output_print(out, NULL, "%zu other%s", ranking->count - first,
                    ranking->count - first > 1 ? "s" : "");
    if (first < possible) {
        tw_output_print(out, NULL, ": %zu possible", possible - first);
        said = 1;
    }
    for (size_t k = 0; k < sizeof why / sizeof *why; k++)
        if (counts[k] > 0)
            tw_output_print(out, NULL, "%s%zu %s", said++ ? ", " : ": ", counts[k], why[k]);
    tw_output_print(out, NULL, "; --all lists them\n");
}

static void show_own(tw_output *out, const tw_cli_sheets *found, size_t shown)
{
    char words[WORDS];

    for (size_t k = 0; k < found->ranking.count; k++) {
        const tw_stock_choice *row = &found->ranking.choices[k];
        if (!row->own)
            continue;
        tw_output_print(out, NULL, "* the profile's own sheet");
        if (k >= shown)
            tw_output_print(out, NULL, ", %s: %s", name_cell(found, row, words), row->reason);
        tw_output_print(out, NULL, "\n");
    }
}

void tw_show_sheets_text(tw_output *out, const tw_cli_sheets *found)
{
    const tw_stock_ranking *ranking = &found->ranking;
    const tw_stock_choice *first = &ranking->choices[0];
    size_t possible = 0, shown;
    char words[WORDS];

    while (possible < ranking->count && ranking->choices[possible].possible)
        possible++;
    shown = possible > 0 ? possible : ranking->count;
    if (shown > (possible > 0 ? SHOWN : NEAREST))
        shown = possible > 0 ? SHOWN : NEAREST;
    if (found->all)
        shown = ranking->count;
    show_head(out, found);
    if (possible == 0)
        tw_output_print(out, NULL, "None is possible within these limits%s\n",
                        found->all ? ":" : "; the nearest:");
    show_table(out, found, 0, shown);
    if (possible > 0)
        tw_output_print(out, NULL, "\nBegin with %s: %s.\n", name_cell(found, first, words),
                        first->reason);
    else
        tw_output_print(out, NULL,
                        "\nA gentler map, wider limits (--gather, --draw) or a larger sheet would "
                        "help.\n");
    show_others(out, found, shown, possible);
    show_own(out, found, shown);
}

/* ---- JSON ---------------------------------------------------------------------------------------- */

static const char *const tolerance_words[] = {[TW_USUAL_COLD_ROLLED] = "EN 10131 normal",
                                              [TW_USUAL_HOT_ROLLED] = "EN 10051 category A",
                                              [TW_USUAL_SHARE] = NULL};

/* The keys are promised to scripts: add, never rename. */
static json_t *row_json(const tw_cli_sheets *found, const tw_stock_choice *row)
{
    const bool sheet = found->request.sheet_mm[0] > 0;
    json_t *json = json_pack(
        "{s:o,s:o,s:o,s:b,s:b,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "system",
        tw_json_text(row->stock.by_gauge ? tw_gauge_about(row->stock.system)->code : NULL), "gauge",
        row->stock.by_gauge ? json_integer(row->stock.number) : json_null(), "thickness_mm",
        tw_json_number(row->stock.thickness), "possible", row->possible, "own", row->own, "reason",
        tw_json_text(row->reason), "work_mm3", tw_json_number(row->work), "draw_g",
        tw_json_number(row->draw_g), "gather_g", tw_json_number(row->gather_g), "drawn_share",
        tw_json_number(row->drawn_share), "gathered_share", tw_json_number(row->gathered_share),
        "rectangle_mm", tw_json_numbers(row->box_mm, 2));
    json_t *more = json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "thickest_part",
        tw_json_number(row->thickest_part), "thinnest_part", tw_json_number(row->thinnest_part),
        "mean_stretch", tw_json_number(row->mean_stretch), "most_stretch",
        tw_json_number(row->most_stretch), "least_stretch", tw_json_number(row->least_stretch),
        "blank_area_mm2", tw_json_number(row->blank_area_mm2), "blank_g",
        tw_json_number(row->blank_g), "per_sheet",
        sheet ? json_integer((json_int_t)row->per_sheet) : json_null(), "offcut_g",
        tw_json_number(row->offcut_g), "offcut_share", tw_json_number(row->offcut_share),
        "tolerance_mm", tw_json_number(row->tolerance_mm), "tolerance_by",
        tw_json_text(tolerance_words[row->tolerance_by]));

    if (!json || !more || json_object_update(json, more) != 0) {
        json_decref(json);
        json = NULL;
    }
    json_decref(more);
    return json;
}

json_t *tw_show_sheets_json(const tw_cli_sheets *found)
{
    const tw_layout *layout = found->blank->layout;
    const tw_goal *goal = found->blank->goal;
    json_t *list = json_array();

    for (size_t k = 0; list && k < found->ranking.count; k++) {
        if (json_array_append_new(list, row_json(found, &found->ranking.choices[k])) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return json_pack(
        "{s:i,s:s,s:o,s:o,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "format", 1, "version",
        TW_VERSION, "plate", tw_json_text(found->plate->profile->plate), "kind",
        tw_json_text(found->plate->profile->kind), "map", map_word(found), "thickest_mm",
        tw_json_number(layout->thickest), "thinnest_mm", tw_json_number(layout->thinnest),
        "mean_mm", tw_json_number(layout->blank_area * layout->stock / layout->face_area),
        "losses_mm", tw_json_number(goal->scale_mm + goal->polish_mm), "trim_mm",
        tw_json_number(goal->trim_mm), "gather", tw_json_number(found->blank->gather), "draw",
        tw_json_number(found->blank->draw), "sheet_mm",
        found->request.sheet_mm[0] > 0 ? tw_json_numbers(found->request.sheet_mm, 2) : json_null(),
        "sheets", list);
}

/* ---- CSV ----------------------------------------------------------------------------------------- */

void tw_show_sheets_csv(tw_output *out, const tw_cli_sheets *found)
{
    const bool sheet = found->request.sheet_mm[0] > 0;

    tw_output_print(out, NULL,
                    "plate,map,system,gauge,thickness_mm,possible,own,work_mm3,draw_g,gather_g,"
                    "drawn_share,gathered_share,thickest_part,thinnest_part,mean_stretch,"
                    "most_stretch,least_stretch,blank_area_mm2,blank_g,rectangle_long_mm,"
                    "rectangle_short_mm,per_sheet,offcut_g,offcut_share,tolerance_mm,reason\n");
    for (size_t k = 0; k < found->ranking.count; k++) {
        const tw_stock_choice *row = &found->ranking.choices[k];
        const double numbers[] = {
            row->work,          row->draw_g,         row->gather_g,
            row->drawn_share,   row->gathered_share, row->thickest_part,
            row->thinnest_part, row->mean_stretch,   row->most_stretch,
            row->least_stretch, row->blank_area_mm2, row->blank_g,
            row->box_mm[0],     row->box_mm[1],      sheet ? (double)row->per_sheet : NAN,
            row->offcut_g,      row->offcut_share,   row->tolerance_mm};
        tw_csv_text(out, found->plate->profile->plate, false);
        tw_csv_text(out, map_word(found), false);
        tw_csv_text(out, row->stock.by_gauge ? tw_gauge_about(row->stock.system)->code : NULL,
                    false);
        tw_csv_number(out, row->stock.by_gauge ? (double)row->stock.number : NAN, false);
        tw_csv_number(out, row->stock.thickness, false);
        tw_csv_text(out, row->possible ? "yes" : "no", false);
        tw_csv_text(out, row->own ? "yes" : "no", false);
        for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++)
            tw_csv_number(out, numbers[n], false);
        tw_csv_text(out, row->reason, true);
    }
}
