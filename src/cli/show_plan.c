/* show_plan.c: plans as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 80 };

/* ---- text -------------------------------------------------------------------------------- */

/* limit: of the grade, NaN without one. Measured between nodes a map that keeps it may be some hundredths over. */
static void show_map(tw_output *out, tw_units units, const tw_map *map, double limit)
{
    const double over = map->steepest_grade / limit - 1;
    char words[5][WORDS];

    tw_output_print(out, NULL, "  thickness       %s to %s, steepest %s",
                    tw_write_thickness(map->thinnest, units, -1, words[0], WORDS),
                    tw_write_thickness(map->thickest, units, -1, words[1], WORDS),
                    tw_write_grade(map->steepest_grade, units, words[2], WORDS));
    if (over >= 0.005)
        tw_output_print(out, NULL, ", %.0f %% over the limit between nodes of the grid",
                        100 * over);
    tw_output_print(out, NULL, "\n");
}

/* A hold or a band is a length along the tape, all else a thickness. */
static char *write_change(const tw_reach *reach, double mm, tw_units units, int decimals, char *out)
{
    return strcmp(reach->by, "hold") == 0 || strcmp(reach->by, "band") == 0
               ? tw_write_length(mm, units, -1, out, WORDS)
               : tw_write_thickness(mm, units, decimals, out, WORDS);
}

static void show_reach(tw_output *out, tw_units units, const tw_cli_plan *found)
{
    const tw_reach *reach = found->reach;
    const double over = reach->weight.mass_g - reach->target_g;
    char words[4][WORDS];

    tw_output_print(out, NULL, "%s: %s by %s\n", found->plate->profile->plate,
                    tw_write_mass(reach->target_g, units, -1, words[0], WORDS), reach->by);
    for (size_t k = 0; k < reach->change_count; k++) {
        const tw_plan_change *change = &reach->changes[k];
        tw_output_print(
            out, NULL, "  %-*s  %s instead of %s  (exactly %s)\n", tw_cli_fit(22, change->name),
            change->name, write_change(reach, change->rounded_mm, units, -1, words[0]),
            write_change(reach, change->before_mm, units, -1, words[1]),
            write_change(reach, change->exact_mm, units, units == TW_INCH ? 4 : 3, words[2]));
    }
    tw_output_print(out, NULL, "  mass            %s",
                    tw_cli_mass(&reach->weight, units, words[0], WORDS));
    if (fabs(over) >= 0.05)
        tw_output_print(out, NULL, ", %s %s by rounding",
                        tw_write_mass(fabs(over), units, -1, words[1], WORDS),
                        over > 0 ? "over" : "under");
    tw_output_print(
        out, NULL, "; ± %s while %s only to %s\n",
        tw_write_mass(reach->half_step_g, units, -1, words[2], WORDS),
        reach->change_count > 1 ? "they are kept" : "it is kept",
        write_change(reach, reach->round_mm / 2, units, units == TW_INCH ? 4 : 3, words[3]));
    show_map(out, units, &reach->map, NAN);
}

static void show_weight(tw_output *out, tw_units units, const tw_cli_plan *found)
{
    const tw_least *least = found->least;
    const double spare = found->request.weight_g - least->asked_g;
    char words[4][WORDS];

    tw_write_mass(found->request.weight_g, units, -1, words[0], WORDS);
    tw_write_thickness(least->changed_asked_mm, units, -1, words[1], WORDS);
    tw_write_mass(fabs(spare), units, -1, words[2], WORDS);
    tw_output_print(out, NULL, "  limit           ");
    if (least->fits)
        tw_output_print(out, NULL, "%s at the %s fits in %s, %s to spare", words[1], least->changed,
                        words[0], words[2]);
    else
        tw_output_print(out, NULL, "the weight binds: %s at the %s would be %s over %s", words[1],
                        least->changed, words[2], words[0]);
    if (isfinite(least->greatest_mm))
        tw_output_print(out, NULL, "; %s is the most that fits\n",
                        tw_write_thickness(least->greatest_rounded_mm, units, -1, words[3], WORDS));
    else
        tw_output_print(out, NULL, "\n");
    if (isfinite(least->more_mm))
        tw_output_print(out, NULL, "                  %s more would buy %s there\n",
                        tw_write_mass(least->more_g, units, -1, words[0], WORDS),
                        tw_write_thickness(least->more_mm, units, -1, words[1], WORDS));
    if (isfinite(least->gentler_mm))
        tw_output_print(out, NULL, "                  a grade of %s would cost %s there\n",
                        tw_write_grade(least->gentler, units, words[0], WORDS),
                        tw_write_thickness(least->gentler_mm, units, -1, words[1], WORDS));
}

static const char *stock_words(tw_plan_stock stock)
{
    switch (stock) {
    case TW_PLAN_STOCK_NONE:
        break;
    case TW_PLAN_STOCK_THICKER:
        return "as thick as the plan anywhere, or thicker: metal is only drawn out";
    case TW_PLAN_STOCK_BETWEEN:
        return "thinner than the plan where it is thickest: metal has to be gathered there";
    case TW_PLAN_STOCK_THIN:
        return "thinner than the plan on the whole: the blank has to be larger than the face";
    case TW_PLAN_STOCK_TOO_THIN:
        return "thinner than the plan everywhere: take thicker sheet";
    }
    return NULL;
}

static void show_requirements(tw_output *out, tw_units units, const tw_least *least)
{
    char words[5][WORDS];

    for (size_t k = 0; k < least->count; k++) {
        const tw_requirement *item = &least->requirements[k];
        tw_output_print(out, NULL, "  %-*s  %s", tw_cli_fit(22, item->name), item->name,
                        tw_write_thickness(item->planned_mm, units, -1, words[0], WORDS));
        if (fabs(item->planned_mm - item->asked_mm) > 1e-9)
            tw_output_print(out, NULL, " instead of %s",
                            tw_write_thickness(item->asked_mm, units, -1, words[1], WORDS));
        if (item->raised_by)
            tw_output_print(out, NULL, ", raised by the %s to at most %s at %s", item->raised_by,
                            tw_write_thickness(item->raised_mm, units, -1, words[2], WORDS),
                            tw_cli_place(item->raised_at, units, words[3], WORDS));
        if (item->reach_mm > 0.5)
            tw_output_print(out, NULL, "; carries %s out",
                            tw_write_length(item->reach_mm, units, 0, words[2], WORDS));
        if (item->mass_g >= 0.5)
            tw_output_print(out, NULL, ", takes %s",
                            tw_write_mass(item->mass_g, units, -1, words[4], WORDS));
        tw_output_print(out, NULL, "\n");
    }
}

static void show_trade_off(tw_output *out, tw_units units, const tw_trade_off *trade)
{
    char words[WORDS];

    tw_output_print(out, NULL, "\nMass by thickness of the %s and steepest grade\n",
                    trade->changed);
    tw_output_print(out, NULL, "  %12s", "");
    for (size_t j = 0; j < trade->grade_count; j++) {
        if (units == TW_INCH)
            snprintf(words, WORDS, "1 in %.0f", 1 / trade->grade[j]);
        else
            snprintf(words, WORDS, "1 mm in %.0f mm", 1 / trade->grade[j]);
        tw_output_print(out, NULL, "  %14s", words);
    }
    tw_output_print(out, NULL, "\n");
    for (size_t i = 0; i < trade->thickness_count; i++) {
        tw_output_print(out, NULL, "  %12s",
                        tw_write_thickness(trade->thickness_mm[i], units, -1, words, WORDS));
        for (size_t j = 0; j < trade->grade_count; j++)
            tw_output_print(
                out, NULL, "  %14s",
                tw_write_mass(trade->mass_g[i * trade->grade_count + j], units, -1, words, WORDS));
        tw_output_print(out, NULL, "\n");
    }
}

static void show_least(tw_output *out, tw_units units, const tw_cli_plan *found)
{
    const tw_least *least = found->least;
    const tw_profile *profile = found->plate->profile;
    char words[3][WORDS];

    tw_output_print(
        out, NULL, "%s: the lightest map nowhere under %s and nowhere steeper than %s\n",
        profile->plate, tw_write_thickness(found->request.least_mm, units, -1, words[0], WORDS),
        tw_write_grade(least->grade, units, words[1], WORDS));
    tw_output_print(out, NULL, "  mass            %s\n",
                    tw_cli_mass(&least->weight, units, words[0], WORDS));
    show_map(out, units, &least->map, least->grade);
    if (least->has_weight)
        show_weight(out, units, found);
    if (stock_words(least->stock))
        tw_output_print(out, NULL, "  sheet           %s, %s\n",
                        tw_write_thickness(profile->sheet.thickness, units, -1, words[0], WORDS),
                        stock_words(least->stock));
    show_requirements(out, units, least);
    if (found->trade)
        show_trade_off(out, units, found->trade);
}

void tw_show_plan_text(tw_output *out, tw_units units, const tw_cli_plan *found)
{
    if (found->reach)
        show_reach(out, units, found);
    else
        show_least(out, units, found);
}

/* ---- JSON -------------------------------------------------------------------------------- */

/* The keys are promised to scripts: add, never rename. */
static json_t *changes_json(const tw_reach *reach)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < reach->change_count; k++) {
        const tw_plan_change *change = &reach->changes[k];
        json_t *item = json_pack("{s:o,s:o,s:o,s:o}", "name", tw_json_text(change->name),
                                 "before_mm", tw_json_number(change->before_mm), "exact_mm",
                                 tw_json_number(change->exact_mm), "rounded_mm",
                                 tw_json_number(change->rounded_mm));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

static json_t *map_json(const tw_map *map, const tw_weight *weight)
{
    return json_pack("{s:o,s:o,s:o,s:o,s:o,s:o}", "mass_g", tw_json_number(weight->mass_g),
                     "numerical_error_g", tw_json_number(weight->numerical_error_g),
                     "thickness_min_mm", tw_json_number(map->thinnest), "thickness_max_mm",
                     tw_json_number(map->thickest), "thickness_mean_mm",
                     tw_json_number(weight->mean_thickness_mm), "steepest_grade_mm_per_100mm",
                     tw_json_number(100 * map->steepest_grade));
}

static json_t *reach_json(const tw_reach *reach)
{
    return json_pack("{s:s,s:o,s:o,s:o,s:o,s:o}", "by", reach->by, "target_g",
                     tw_json_number(reach->target_g), "round_mm", tw_json_number(reach->round_mm),
                     "half_step_g", tw_json_number(reach->half_step_g), "changes",
                     changes_json(reach), "map", map_json(&reach->map, &reach->weight));
}

static json_t *requirements_json(const tw_least *least)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < least->count; k++) {
        const tw_requirement *r = &least->requirements[k];
        json_t *item =
            json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "name", tw_json_text(r->name),
                      "asked_mm", tw_json_number(r->asked_mm), "planned_mm",
                      tw_json_number(r->planned_mm), "raised_mm", tw_json_number(r->raised_mm),
                      "raised_at_mm", r->raised_by ? tw_json_numbers(r->raised_at, 2) : json_null(),
                      "raised_by", tw_json_text(r->raised_by), "reach_mm",
                      tw_json_number(r->reach_mm), "mass_g", tw_json_number(r->mass_g));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

static json_t *weight_json(const tw_cli_plan *found)
{
    const tw_least *least = found->least;

    if (!least->has_weight)
        return json_null();
    return json_pack(
        "{s:o,s:b,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "weight_g",
        tw_json_number(found->request.weight_g), "fits", least->fits, "changed",
        tw_json_text(least->changed), "asked_mm", tw_json_number(least->changed_asked_mm),
        "greatest_mm", tw_json_number(least->greatest_mm), "greatest_rounded_mm",
        tw_json_number(least->greatest_rounded_mm), "bare_g", tw_json_number(least->bare_g),
        "more_g", tw_json_number(least->more_g), "more_mm", tw_json_number(least->more_mm),
        "gentler_mm_per_100mm", tw_json_number(100 * least->gentler), "gentler_mm",
        tw_json_number(least->gentler_mm));
}

static json_t *trade_json(const tw_trade_off *trade)
{
    json_t *rows = json_array(), *grades = json_array();

    for (size_t j = 0; grades && j < trade->grade_count; j++)
        json_array_append_new(grades, tw_json_number(100 * trade->grade[j]));
    for (size_t i = 0; rows && i < trade->thickness_count; i++)
        json_array_append_new(
            rows,
            json_pack("{s:o,s:o}", "thickness_mm", tw_json_number(trade->thickness_mm[i]), "mass_g",
                      tw_json_numbers(trade->mass_g + i * trade->grade_count, trade->grade_count)));
    return json_pack("{s:o,s:o,s:o}", "changed", tw_json_text(trade->changed),
                     "grades_mm_per_100mm", grades, "rows", rows);
}

static json_t *least_json(const tw_cli_plan *found)
{
    const tw_least *least = found->least;

    return json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "least_mm",
                     tw_json_number(found->request.least_mm), "grade_mm_per_100mm",
                     tw_json_number(100 * least->grade), "asked_g", tw_json_number(least->asked_g),
                     "weight", weight_json(found), "sheet", tw_json_text(stock_words(least->stock)),
                     "requirements", requirements_json(least), "map",
                     map_json(&least->map, &least->weight));
}

json_t *tw_show_plan_json(const tw_cli_plan *found)
{
    return json_pack("{s:i,s:s,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION, "plate",
                     tw_json_text(found->plate->profile->plate), "reach",
                     found->reach ? reach_json(found->reach) : json_null(), "least_map",
                     found->least ? least_json(found) : json_null(), "trade_off",
                     found->trade ? trade_json(found->trade) : json_null());
}

/* ---- CSV --------------------------------------------------------------------------------- */

static void trade_csv(tw_output *out, const tw_cli_plan *found)
{
    const tw_trade_off *trade = found->trade;

    tw_output_print(out, NULL, "plate,changed,thickness_mm,grade_mm_per_100mm,mass_g\n");
    for (size_t i = 0; i < trade->thickness_count; i++)
        for (size_t j = 0; j < trade->grade_count; j++) {
            tw_csv_text(out, found->plate->profile->plate, false);
            tw_csv_text(out, trade->changed, false);
            tw_csv_number(out, trade->thickness_mm[i], false);
            tw_csv_number(out, 100 * trade->grade[j], false);
            tw_csv_number(out, trade->mass_g[i * trade->grade_count + j], true);
        }
}

static void row_csv(tw_output *out, const tw_cli_plan *found, const char *name, double before,
                    double planned, double raised, double mass)
{
    tw_csv_text(out, found->plate->profile->plate, false);
    tw_csv_text(out, name, false);
    tw_csv_number(out, before, false);
    tw_csv_number(out, planned, false);
    tw_csv_number(out, raised, false);
    tw_csv_number(out, mass, true);
}

void tw_show_plan_csv(tw_output *out, const tw_cli_plan *found)
{
    const tw_reach *reach = found->reach;
    const tw_least *least = found->least;

    if (found->trade) {
        trade_csv(out, found);
        return;
    }
    tw_output_print(out, NULL, "plate,name,before_mm,planned_mm,raised_mm,mass_g\n");
    for (size_t k = 0; reach && k < reach->change_count; k++)
        row_csv(out, found, reach->changes[k].name, reach->changes[k].before_mm,
                reach->changes[k].rounded_mm, NAN, NAN);
    for (size_t k = 0; least && k < least->count; k++) {
        const tw_requirement *item = &least->requirements[k];
        row_csv(out, found, item->name, item->asked_mm, item->planned_mm, item->raised_mm,
                item->mass_g);
    }
    row_csv(out, found, "whole", NAN, NAN, NAN,
            reach ? reach->weight.mass_g : least->weight.mass_g);
}
