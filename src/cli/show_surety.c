/*
 * show_surety.c: how sure a mass is, in a maker's words, as a table and as JSON.
 */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64 };

/* ---- numbers with their ± ------------------------------------------------------------------- */

char *tw_cli_mass_within(double mass, double expanded, tw_units units, char *out, size_t size)
{
    const bool kilograms = units == TW_METRIC && fabs(mass) >= 999.5;
    char whole[WORDS], part[WORDS];

    if (!isfinite(expanded))
        return tw_write_mass(mass, units, -1, out, size);
    if (kilograms) { /* "1.61 kg ± 0.05 kg", never "± 50 g" */
        const int decimals = expanded < 24.5 ? 3 : 2;
        tw_format(out, size, "%.*f kg ± %.*f kg", decimals, mass / 1000, decimals, expanded / 1000);
        return out;
    }
    if (units == TW_INCH) {
        const int decimals = expanded < 2.8 ? 2 : 1; /* a tenth of an ounce is 2.8 g */
        tw_write_mass(mass, units, decimals, whole, sizeof whole);
        tw_write_mass(expanded, units, decimals, part, sizeof part);
    } else {
        const int decimals = expanded < 0.95 ? 2 : expanded < 9.5 ? 1 : 0;
        tw_format(whole, sizeof whole, "%.*f g", decimals, mass);
        tw_format(part, sizeof part, "%.*f g", decimals, expanded);
    }
    tw_format(out, size, "%s ± %s", whole, part);
    return out;
}

char *tw_cli_thickness_within(double mm, double expanded, tw_units units, char *out, size_t size)
{
    const int decimals = units == TW_INCH ? (expanded < 0.0245 ? 4 : 3) : expanded < 0.0245 ? 3 : 2;
    char whole[WORDS], part[WORDS];

    if (!isfinite(expanded))
        return tw_write_thickness(mm, units, -1, out, size);
    tw_format(out, size, "%s ± %s", tw_write_thickness(mm, units, decimals, whole, sizeof whole),
              tw_write_thickness(expanded, units, decimals, part, sizeof part));
    return out;
}

char *tw_cli_place(const double tape[2], tw_units units, char *out, size_t size)
{
    char words[2][WORDS];

    tw_format(out, size, "[%s, %s]", tw_write_length(tape[0], units, -1, words[0], WORDS),
              tw_write_length(tape[1], units, -1, words[1], WORDS));
    return out;
}

void tw_show_mass(tw_output *out, tw_units units, const tw_plate *plate, const tw_plate_map *map,
                  const tw_cli_surety *surety)
{
    const size_t used = plate->survey ? plate->survey->used : 0;
    const bool few = map->map.kind == TW_MAP_READINGS && plate->survey->few;
    char words[2 * WORDS];

    tw_output_print(out, NULL, "  mass            %s",
                    tw_cli_mass_within(map->weight.mass_g, surety->budget.expanded, units, words,
                                       sizeof words));
    if (few)
        tw_output_print(
            out, NULL,
            " or more: with only %zu reading%s the ±\n                  leaves out how the "
            "thickness wanders from place to place.\n",
            used, used == 1 ? "" : "s");
    else
        tw_output_print(out, NULL, " (95 %%)\n");
}

/* ---- where the ± comes from ------------------------------------------------------------------ */

/* A share of the variance in words; NULL when it is too small to name. */
static const char *share_words(double share)
{
    return share >= 0.9    ? "Nearly all"
           : share >= 0.65 ? "Most"
           : share >= 0.42 ? "Half"
           : share >= 0.28 ? "A third"
                           : NULL;
}

/* A name without what stands after it in brackets; returns that, or NULL. */
static const char *short_name(const char *name, char *out, size_t size)
{
    const char *bracket = strstr(name, " (");

    snprintf(out, size, "%.*s", bracket ? (int)(bracket - name) : (int)strlen(name), name);
    return bracket ? bracket + 1 : NULL;
}

/* Shares of rows of one kind together: what was drawn of the outline, what was measured of the form,
 * are one thing to a maker. */
double tw_cli_kind_share(const tw_budget *budget, tw_row_kind kind)
{
    double share = 0;

    for (size_t k = 0; k < budget->count; k++)
        share += budget->rows[k].kind == kind ? budget->rows[k].share : 0;
    return share;
}

/* The row whose kind has the largest share, the largest row of that kind. */
static const tw_budget_row *leading(const tw_budget *budget, double *share)
{
    const tw_budget_row *best = NULL;

    *share = 0;
    for (size_t k = 0; k < budget->count; k++) {
        const tw_budget_row *row = &budget->rows[k];
        const double all = tw_cli_kind_share(budget, row->kind);
        if (all > *share || (best && row->kind == best->kind && row->share > best->share)) {
            best = row;
            *share = all;
        }
    }
    return best;
}

void tw_show_largest(tw_output *out, const tw_budget *budget)
{
    double share;
    const tw_budget_row *row = leading(budget, &share);
    const char *name;
    char own[2 * WORDS];

    if (!row)
        return;
    short_name(row->name, own, sizeof own);
    name = row->kind == TW_ROW_OUTLINE ? "outline as measured"
           : row->kind == TW_ROW_FORM  ? "lengths that give the form"
                                       : own;
    if (share_words(share))
        tw_output_print(out, NULL, "                  %s of that ± comes from the %s.\n",
                        share_words(share), name);
    else
        tw_output_print(out, NULL,
                        "                  That ± has many parts; the largest is the %s.\n", name);
}

/* ---- the table -------------------------------------------------------------------------------- */

/* What stands in the columns of value and u: metric as in the row, or its unit turned to inches. */
typedef struct shown_unit {
    const char *metric, *inch;
    double factor; /* inch units in one of metric */
} shown_unit;

static shown_unit unit_of(const tw_budget_row *row, tw_units units)
{
    static const shown_unit inches[] = {
        {"mm", "in", 1 / 25.4},
        {"g", "oz", 1 / 28.349523125},
        {"kg/m³", "lb/in³", 0.016387064 / 453.59237}, /* 1 in³ = 16387.064 mm³ */
        {"cm²", "in²", 1 / 6.4516},
        {"m/s", "in/µs", 1 / 25400.0}};
    const char *unit = row->unit ? row->unit : "";

    for (size_t k = 0; units == TW_INCH && k < sizeof inches / sizeof *inches; k++)
        if (strcmp(unit, inches[k].metric) == 0)
            return inches[k];
    return (shown_unit){unit, unit, 1};
}

static void part_text(double part, tw_units units, bool grams, char *out, size_t size)
{
    const double inch = grams ? part / 28.349523125 : part / 25.4;

    if (units == TW_INCH)
        tw_format(out, size, grams ? "%.3f oz" : "%.5f in", inch);
    else
        tw_format(out, size, grams ? "%.2f g" : "%.4f mm", part);
}

static void cell(tw_output *out, int columns, const char *text)
{
    tw_output_print(out, NULL, "  %*s", tw_cli_fit(columns, text), text);
}

/* One line: texts of name, value and u as they stand, then how much it adds. */
typedef struct line {
    const char *name, *value, *u, *spread;
    double part, share;
    const char *remark; /* NULL for none */
} line;

static void budget_line(tw_output *out, tw_units units, int wide, bool grams, const line *shown)
{
    char text[WORDS];

    tw_output_print(out, NULL, "    %-*s", tw_cli_fit(wide, shown->name), shown->name);
    cell(out, 14, shown->value);
    cell(out, 9, shown->u);
    tw_output_print(out, NULL, "  %-11s", shown->spread);
    part_text(shown->part, units, grams, text, sizeof text);
    cell(out, 10, text);
    tw_format(text, sizeof text, "%.1f %%", 100 * shown->share);
    cell(out, 7, text);
    tw_output_print(out, NULL, "%s%s\n", shown->remark ? "  " : "",
                    shown->remark ? shown->remark : "");
}

static void budget_row(tw_output *out, tw_units units, int wide, const tw_budget_row *row,
                       bool grams)
{
    const shown_unit unit = unit_of(row, units);
    char name[2 * WORDS], value[WORDS], u[WORDS];
    const char *remark = short_name(row->name, name, sizeof name);

    /* A row that is an error of the output itself, about nothing, has no value to show. */
    tw_format(value, sizeof value, units == TW_INCH ? "%.4g %s" : "%.6g %s",
              row->value * unit.factor, units == TW_INCH ? unit.inch : unit.metric);
    if (row->value == 0)
        value[0] = '\0';
    tw_format(u, sizeof u, "%.3g", row->u * unit.factor);
    budget_line(out, units, wide, grams,
                &(line){name, value, u, tw_distribution_word(row->distribution), row->part,
                        row->share, remark});
}

/* Rows that no reader would miss one by one. */
static bool is_small(const tw_budget_row *row)
{
    return row->share < 0.001;
}

/* Several small rows as one line. */
typedef struct fold {
    size_t count;
    bool lengths; /* all of them lengths */
    double part, share;
    char name[WORDS];
} fold;

static fold fold_small(const tw_budget *budget)
{
    fold small = {.lengths = true};
    double square = 0;

    for (size_t k = 0; k < budget->count; k++) {
        const tw_budget_row *row = &budget->rows[k];
        if (!is_small(row))
            continue;
        small.count++;
        small.lengths = small.lengths && (row->kind == TW_ROW_FORM || row->kind == TW_ROW_OUTLINE ||
                                          row->kind == TW_ROW_HOLE);
        square += row->part * row->part;
        small.share += row->share;
    }
    small.part = sqrt(square);
    snprintf(small.name, sizeof small.name, "%zu %s under 0.1 %% each", small.count,
             small.lengths ? "lengths" : "inputs");
    return small;
}

static int names_width(const tw_budget *budget, const fold *small)
{
    char name[2 * WORDS];
    size_t wide = small->count > 1 ? tw_cli_columns(small->name) : strlen("together");

    for (size_t k = 0; k < budget->count; k++) {
        if (small->count > 1 && is_small(&budget->rows[k]))
            continue;
        short_name(budget->rows[k].name, name, sizeof name);
        if (tw_cli_columns(name) > wide)
            wide = tw_cli_columns(name);
    }
    return (int)wide;
}

static void show_together(tw_output *out, tw_units units, const tw_budget *budget, bool grams)
{
    char words[3][WORDS];

    if (grams) {
        tw_write_mass(budget->u, units, units == TW_INCH ? 2 : 1, words[0], WORDS);
        tw_write_mass(budget->expanded, units, units == TW_INCH ? 2 : 1, words[1], WORDS);
    } else {
        tw_write_thickness(budget->u, units, units == TW_INCH ? 5 : 4, words[0], WORDS);
        tw_write_thickness(budget->expanded, units, units == TW_INCH ? 5 : 4, words[1], WORDS);
    }
    if (isfinite(budget->freedom) && budget->freedom < 1e4)
        tw_format(words[2], WORDS, "%.1f degrees of freedom", budget->freedom);
    else
        tw_format(words[2], WORDS, "infinite degrees of freedom");
    tw_output_print(out, NULL,
                    "    together: combined u %s, %s, coverage factor %.3f, U %s (95 %%)\n",
                    words[0], words[2], budget->coverage, words[1]);
    tw_output_print(
        out, NULL,
        "    u is how far off an input may well be (its standard uncertainty), spread the "
        "shape of what it may be;\n    U is the ± of the whole: 95 times of 100 the true "
        "value lies within it.\n");
}

void tw_show_budget(tw_output *out, tw_units units, const tw_budget *budget, bool grams)
{
    const fold small = fold_small(budget);
    const int wide = names_width(budget, &small);

    tw_output_print(out, NULL, "  budget\n    %-*s", wide, "input");
    cell(out, 14, "value");
    cell(out, 9, "u");
    tw_output_print(out, NULL, "  %-11s", "spread");
    cell(out, 10, "adds");
    cell(out, 7, "share");
    tw_output_print(out, NULL, "\n");
    for (size_t k = 0; k < budget->count; k++)
        if (small.count < 2 || !is_small(&budget->rows[k]))
            budget_row(out, units, wide, &budget->rows[k], grams);
    if (small.count > 1)
        budget_line(out, units, wide, grams,
                    &(line){small.name, "", "", "", small.part, small.share, NULL});
    show_together(out, units, budget, grams);
}

/* ---- trials ---------------------------------------------------------------------------------- */

/* Ends of intervals that differ by less agree: half of the last of two digits of u (JCGM 101:2008,
 * 7.9.2 and 8.1), or 5 % of U, as no ± is known better (chosen here, no source). */
static double tolerance(const tw_budget *budget)
{
    const double digits = budget->u > 0 ? 0.5 * pow(10, floor(log10(budget->u)) - 1) : 0;

    return fmax(digits, 0.05 * budget->expanded);
}

static bool trials_agree(const tw_cli_surety *surety)
{
    const tw_budget *budget = &surety->budget;
    const double allowed = tolerance(budget);

    return fabs(budget->value - budget->expanded - surety->trials.low) <= allowed &&
           fabs(budget->value + budget->expanded - surety->trials.high) <= allowed;
}

static void show_difference(tw_output *out, const tw_cli_surety *surety)
{
    const tw_budget_row *row = tw_budget_largest(&surety->budget);
    const double half = (surety->trials.high - surety->trials.low) / 2;

    tw_output_print(out, NULL, "                  The trials' interval is %s than the budget's ± ",
                    half < surety->budget.expanded ? "narrower" : "wider");
    if (row && row->distribution != TW_NORMAL && row->share > 0.2)
        tw_output_print(out, NULL,
                        "since its largest part is %s and the budget takes the whole for normal: "
                        "believe the trials.\n",
                        tw_distribution_word(row->distribution));
    else if (isfinite(surety->budget.freedom) && surety->budget.freedom < 50)
        tw_output_print(out, NULL,
                        "since the budget allows for few degrees of freedom: believe the wider.\n");
    else
        tw_output_print(out, NULL, "by chance of too few trials: take more.\n");
}

void tw_show_trials(tw_output *out, tw_units units, const tw_cli_surety *surety)
{
    const tw_monte_carlo *trials = &surety->trials;
    const int decimals = units == TW_INCH ? 2 : 3;
    char words[4][WORDS];

    tw_write_mass(trials->mean, units, decimals, words[0], WORDS);
    tw_write_mass(trials->u, units, units == TW_INCH ? 2 : 1, words[1], WORDS);
    tw_write_mass(trials->low, units, decimals, words[2], WORDS);
    tw_write_mass(trials->high, units, decimals, words[3], WORDS);
    tw_output_print(out, NULL, "  trials          %zu: mean %s, u %s; 95 %% lie between %s and %s",
                    trials->trials, words[0], words[1], words[2], words[3]);
    if (trials_agree(surety)) {
        tw_output_print(out, NULL, ": as the budget says\n");
        return;
    }
    tw_output_print(out, NULL, "\n");
    show_difference(out, surety);
}

/* ---- JSON ------------------------------------------------------------------------------------ */

/* The keys are promised to scripts: add, never rename. */
static json_t *row_json(const tw_budget_row *row, bool grams)
{
    return json_pack(
        "{s:o,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "input", tw_json_text(row->name), "kind",
        tw_row_kind_word(row->kind), "shared",
        row->shared ? tw_json_text(row->shared) : json_null(), "unit", tw_json_text(row->unit),
        "value", tw_json_number(row->value), "u", tw_json_number(row->u), "distribution",
        tw_json_text(tw_distribution_word(row->distribution)), "freedom",
        tw_json_number(row->freedom), "sensitivity", tw_json_number(row->sensitivity),
        grams ? "grams" : "mm", tw_json_number(row->part), "share", tw_json_number(row->share));
}

json_t *tw_budget_json(const tw_budget *budget, bool grams)
{
    json_t *rows = json_array();

    for (size_t k = 0; rows && k < budget->count; k++) {
        if (json_array_append_new(rows, row_json(&budget->rows[k], grams)) != 0) {
            json_decref(rows);
            rows = NULL;
        }
    }
    return json_pack("{s:o,s:o,s:o,s:o,s:o}", grams ? "u_g" : "u_mm", tw_json_number(budget->u),
                     grams ? "expanded_g" : "expanded_mm", tw_json_number(budget->expanded),
                     "coverage", tw_json_number(budget->coverage), "freedom",
                     tw_json_number(budget->freedom), "rows", rows);
}

static json_t *trials_json(const tw_args *args, const tw_cli_surety *surety)
{
    const tw_monte_carlo *trials = &surety->trials;

    return json_pack("{s:I,s:I,s:o,s:o,s:o,s:o,s:o,s:o,s:b}", "trials", (json_int_t)trials->trials,
                     "seed", (json_int_t)args->seed, "mean_g", tw_json_number(trials->mean), "u_g",
                     tw_json_number(trials->u), "low_g", tw_json_number(trials->low), "high_g",
                     tw_json_number(trials->high), "shortest_low_g",
                     tw_json_number(trials->shortest_low), "shortest_high_g",
                     tw_json_number(trials->shortest_high), "as_budget", trials_agree(surety));
}

json_t *tw_surety_json(const tw_args *args, const tw_cli_surety *surety)
{
    json_t *document;

    if (!surety || !surety->given)
        return json_null();
    document = tw_budget_json(&surety->budget, true);
    if (json_object_set_new(document, "monte_carlo",
                            surety->tried ? trials_json(args, surety) : json_null()) != 0) {
        json_decref(document);
        return NULL;
    }
    return document;
}
