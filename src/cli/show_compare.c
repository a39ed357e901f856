/* show_compare.c: forged against sheet, even and as formed, as text in a maker's words, JSON and CSV. */
#include "cli_compare.h"
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 64 };

bool tw_show_against(const tw_args *args, const tw_against *against)
{
    return args->against < 0 || args->against == (int)against->reason;
}

static const char *row_title(tw_reason reason, bool own)
{
    switch (reason) {
    case TW_REASON_STRIKE:
        return "sheet as thick as the strike zone";
    case TW_REASON_SAME_MASS:
        return "sheet of the same mass";
    case TW_REASON_STOCK:
        return "the profile's own sheet";
    case TW_REASON_AS_FORMED:
        return own ? "the profile's own sheet" : "the stock sheet nearest in mass";
    }
    return "sheet";
}

static void show_forged(tw_output *out, tw_units units, const tw_comparison *comparison)
{
    const tw_weight *weight = &comparison->forged->weight;
    const tw_map *map = &comparison->forged->map;
    char words[4][WORDS];

    tw_output_print(out, NULL, "%s, forged: %s", comparison->plate->profile->plate,
                    tw_cli_mass(weight, units, words[0], WORDS));
    tw_output_print(out, NULL, "; %s thinnest, %s thickest, %s mean\n",
                    tw_write_thickness(map->thinnest, units, -1, words[1], WORDS),
                    tw_write_thickness(map->thickest, units, -1, words[2], WORDS),
                    tw_write_thickness(weight->mean_thickness_mm, units, -1, words[3], WORDS));
}

static void show_where(tw_output *out, tw_units units, const tw_against *row)
{
    char words[2][WORDS];

    if (row->thinner_share_percent > 0)
        tw_output_print(out, NULL,
                        "  saved           %s toward the edges, where forged is thinner (%.0f %% "
                        "of the face)\n",
                        tw_write_mass(row->saved_g, units, -1, words[0], WORDS),
                        row->thinner_share_percent);
    if (row->thicker_share_percent > 0)
        tw_output_print(out, NULL,
                        "  kept            %s in the strike zone, where forged is thicker (%.0f "
                        "%% of the face)\n",
                        tw_write_mass(row->kept_g, units, -1, words[1], WORDS),
                        row->thicker_share_percent);
}

/* Moves under 0.05 mm are none: no balance is found closer. */
static void show_balance(tw_output *out, tw_units units, const tw_against *row, tw_worn worn)
{
    const double *shift = row->centroid_shift_mm;
    const char *const to[3] = {tw_cli_side(worn, shift[0]), shift[1] > 0 ? "up" : "down",
                               shift[2] > 0 ? "out" : "in"};
    const size_t order[3] = {1, 0, 2};
    char words[WORDS];
    bool moved = false;

    tw_output_print(out, NULL, "  balance         ");
    for (size_t k = 0; k < 3; k++) {
        const size_t axis = order[k];
        if (fabs(shift[axis]) < 0.05)
            continue;
        tw_output_print(
            out, NULL, "%s%s %s%s", moved ? ", " : "forged lies ",
            tw_write_length(fabs(shift[axis]), units, units == TW_METRIC ? 1 : -1, words, WORDS),
            axis == 0 ? "to " : "farther ", to[axis]);
        moved = true;
    }
    tw_output_print(out, NULL, moved ? "\n" : "the same\n");
}

/* A sheet that a face asks no stretching of differs by less than anyone can gauge. */
static bool only_bent(const tw_map *map)
{
    return map->thickest - map->thinnest < 0.005;
}

static void show_formed(tw_output *out, tw_units units, const tw_cli_comparison *found,
                        const tw_against *row)
{
    const double stock = row->sheet_mm;
    char words[4][WORDS];

    if (found->layout->overlaps)
        tw_output_print(out, NULL,
                        "  blank           laid flat it would lie over itself: not to be had from "
                        "one sheet in one piece\n");
    if (only_bent(row->map)) {
        tw_output_print(out, NULL,
                        "  thickness       as bought everywhere: this face can be bent from flat "
                        "sheet without stretching it\n");
        return;
    }
    tw_output_print(out, NULL,
                    "  thickness       thinnest %s at %s; %s along the rim, %s on average\n",
                    tw_write_thickness(row->thinnest_mm, units, -1, words[0], WORDS),
                    tw_cli_place(row->thinnest_at, units, words[1], WORDS),
                    tw_write_thickness(found->layout->rim_mean, units, -1, words[2], WORDS),
                    tw_write_thickness(row->weight.mean_thickness_mm, units, -1, words[3], WORDS));
    tw_output_print(
        out, NULL,
        "  other ways      all sunk, the rim held, it would come to %s on average; all raised, "
        "only gathered, %s\n",
        tw_write_thickness(stock * found->bounds.sunk_mean, units, -1, words[0], WORDS),
        tw_write_thickness(stock * found->bounds.raised_mean, units, -1, words[1], WORDS));
    tw_output_print(
        out, NULL,
        "                  An estimate: the least that this face asks of the metal; how it is "
        "hammered comes on top.\n");
}

static void show_row(tw_output *out, const tw_args *args, const tw_cli_comparison *found,
                     const tw_against *row)
{
    const tw_profile *profile = found->rows.plate->profile;
    const tw_stock sheet = row->map ? found->stock
                           : row->reason == TW_REASON_STOCK
                               ? profile->sheet
                               : (tw_stock){.thickness = row->sheet_mm};
    const tw_units units = (tw_units)args->units;
    const double apart = row->nearest_stock.thickness - row->sheet_mm;
    char words[4][WORDS];

    tw_output_print(out, NULL, "%s, %s, %s\n", row_title(row->reason, profile->has_sheet),
                    tw_stock_write(&sheet, units, words[0], WORDS),
                    row->map ? "as formed with least work" : "as if bent only");
    tw_output_print(out, NULL, "  mass            %s",
                    tw_write_mass(row->weight.mass_g, units, -1, words[1], WORDS));
    if (row->reason == TW_REASON_SAME_MASS)
        tw_output_print(out, NULL, "\n");
    else
        tw_output_print(out, NULL, ", %s %s than forged (%+.1f %%)\n",
                        tw_write_mass(fabs(row->difference_g), units, -1, words[2], WORDS),
                        row->difference_g < 0 ? "lighter" : "heavier", row->difference_percent);
    show_where(out, units, row);
    show_balance(out, units, row, profile->worn);
    if (args->inertia)
        tw_output_print(out, NULL,
                        "  inertia         forged about x %+.1f %%, y %+.1f %%, z %+.1f %%\n",
                        row->inertia_change_percent[0], row->inertia_change_percent[1],
                        row->inertia_change_percent[2]);
    if (row->map) {
        show_formed(out, units, found, row);
        return;
    }
    if (isfinite(row->dished_ratio))
        tw_output_print(out, NULL,
                        "  if dished       its middle would thin to about %s, the rim held\n",
                        tw_write_thickness(row->dished_thinnest_mm, units, -1, words[3], WORDS));
    if (fabs(apart) > 0.0005)
        tw_output_print(out, NULL, "  nearest stock   %s\n",
                        tw_stock_write(&row->nearest_stock, units, words[3], WORDS));
}

void tw_show_compare_text(tw_output *out, const tw_args *args, const tw_cli_comparison *found)
{
    show_forged(out, (tw_units)args->units, &found->rows);
    for (size_t k = 0; k < found->rows.count; k++) {
        if (tw_show_against(args, &found->rows.against[k]))
            show_row(out, args, found, &found->rows.against[k]);
    }
    if (found->missing[0] && !args->quick)
        tw_output_print(out, NULL, "Sheet as formed is left out: %s.\n", found->missing);
    tw_output_print(out, NULL, "Thickness here is bookkeeping, not a protection rating.\n");
}

/* ---- JSON -------------------------------------------------------------------------------- */

/* The keys are promised to scripts: add, never rename. */
static json_t *row_json(const tw_cli_comparison *found, const tw_against *row)
{
    const bool formed = row->map != NULL;
    const tw_stock *stock = &row->nearest_stock;
    json_t *nearest =
        json_pack("{s:o,s:o,s:o}", "thickness_mm", tw_json_number(stock->thickness), "system",
                  tw_json_text(stock->by_gauge ? tw_gauge_about(stock->system)->code : NULL),
                  "gauge", stock->by_gauge ? json_integer(stock->number) : json_null());

    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "sheet_mm",
        tw_json_number(row->sheet_mm), "reason", tw_json_text(tw_reason_word(row->reason)),
        "mass_g", tw_json_number(row->weight.mass_g), "difference_g",
        tw_json_number(row->difference_g), "difference_percent",
        tw_json_number(row->difference_percent), "centroid_shift_mm",
        tw_json_numbers(row->centroid_shift_mm, 3), "thicker_share_percent",
        tw_json_number(row->thicker_share_percent), "thinner_share_percent",
        tw_json_number(row->thinner_share_percent), "saved_g", tw_json_number(row->saved_g),
        "kept_g", tw_json_number(row->kept_g), "inertia_change_percent",
        tw_json_numbers(row->inertia_change_percent, 3), "dished_thinnest_mm",
        tw_json_number(isfinite(row->dished_ratio) ? row->dished_thinnest_mm : NAN),
        "nearest_stock", nearest, "thinnest_mm", tw_json_number(row->thinnest_mm), "thinnest_at_mm",
        formed ? tw_json_numbers(row->thinnest_at, 2) : json_null(), "rim_mean_mm",
        tw_json_number(formed ? found->layout->rim_mean : NAN), "mean_thickness_mm",
        tw_json_number(formed ? row->weight.mean_thickness_mm : NAN), "all_sunk_mean_mm",
        tw_json_number(formed ? row->sheet_mm * found->bounds.sunk_mean : NAN),
        "all_raised_mean_mm",
        tw_json_number(formed ? row->sheet_mm * found->bounds.raised_mean : NAN));
}

json_t *tw_show_compare_json(const tw_args *args, const tw_cli_comparison *found)
{
    const tw_comparison *rows = &found->rows;
    json_t *document = tw_show_weigh_json(args, rows->plate, NULL, NULL);
    json_t *list = json_array();

    for (size_t k = 0; list && k < rows->count; k++) {
        if (!tw_show_against(args, &rows->against[k]))
            continue;
        if (json_array_append_new(list, row_json(found, &rows->against[k])) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    if (json_object_set_new(document, "against", list) != 0 ||
        json_object_set_new(document, "as_formed_missing",
                            tw_json_text(found->missing[0] ? found->missing : NULL)) != 0) {
        json_decref(document);
        return NULL;
    }
    return document;
}

/* ---- CSV --------------------------------------------------------------------------------- */

void tw_show_compare_csv(tw_output *out, const tw_args *args, const tw_cli_comparison *found)
{
    const tw_comparison *rows = &found->rows;

    tw_output_print(out, NULL,
                    "plate,reason,sheet_mm,forged_mass_g,mass_g,difference_g,difference_percent,"
                    "centroid_shift_x_mm,centroid_shift_y_mm,centroid_shift_z_mm,"
                    "thicker_share_percent,thinner_share_percent,saved_g,kept_g,"
                    "thinnest_mm,thinnest_across_mm,thinnest_up_mm,rim_mean_mm,mean_thickness_mm,"
                    "all_sunk_mean_mm,all_raised_mean_mm\n");
    for (size_t k = 0; k < rows->count; k++) {
        const tw_against *row = &rows->against[k];
        const bool formed = row->map != NULL;
        const double values[] = {row->sheet_mm,
                                 rows->forged->weight.mass_g,
                                 row->weight.mass_g,
                                 row->difference_g,
                                 row->difference_percent,
                                 row->centroid_shift_mm[0],
                                 row->centroid_shift_mm[1],
                                 row->centroid_shift_mm[2],
                                 row->thicker_share_percent,
                                 row->thinner_share_percent,
                                 row->saved_g,
                                 row->kept_g,
                                 row->thinnest_mm,
                                 row->thinnest_at[0],
                                 row->thinnest_at[1],
                                 formed ? found->layout->rim_mean : NAN,
                                 formed ? row->weight.mean_thickness_mm : NAN,
                                 formed ? row->sheet_mm * found->bounds.sunk_mean : NAN,
                                 formed ? row->sheet_mm * found->bounds.raised_mean : NAN};
        const size_t count = sizeof values / sizeof *values;

        if (!tw_show_against(args, row))
            continue;
        tw_csv_text(out, rows->plate->profile->plate, false);
        tw_csv_text(out, tw_reason_word(row->reason), false);
        for (size_t n = 0; n < count; n++)
            tw_csv_number(out, values[n], n + 1 == count);
    }
}
