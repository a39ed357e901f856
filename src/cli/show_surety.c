/*
 * show_surety.c: how sure a mass is, in a maker's words, as a table and as JSON; whether the scale
 * agrees, and what would have to be true when it does not.
 */
#include "cli_internal.h"

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

static const tw_budget_row *largest(const tw_budget *budget)
{
    const tw_budget_row *best = NULL;

    for (size_t k = 0; k < budget->count; k++) {
        if (!best || budget->rows[k].share > best->share)
            best = &budget->rows[k];
    }
    return best;
}

/* Rows that a maker thinks of as one: what was drawn of the outline, what was measured of the form.
 * The rest stand alone. */
typedef enum group { ALONE, OUTLINE, FORM } group;

static bool begins(const char *text, const char *with)
{
    return strncmp(text, with, strlen(with)) == 0;
}

static group group_of(const tw_budget_row *row)
{
    static const char *const form[] = {
        "place of the station", "width at", "centre's height", "sides' height", "tape at",
        "heights at",           "keel, ",   "bowl, "};

    if (begins(row->name, "outline, "))
        return OUTLINE;
    for (size_t k = 0; k < sizeof form / sizeof *form; k++) {
        if (begins(row->name, form[k]))
            return FORM;
    }
    return ALONE;
}

/* A name without what stands after it in brackets; returns that, or NULL. */
static const char *short_name(const char *name, char *out, size_t size)
{
    const char *bracket = strstr(name, " (");

    snprintf(out, size, "%.*s", bracket ? (int)(bracket - name) : (int)strlen(name), name);
    return bracket ? bracket + 1 : NULL;
}

void tw_show_largest(tw_output *out, const tw_budget *budget)
{
    const tw_budget_row *row = largest(budget);
    double shares[3] = {0, 0, 0};
    const char *name;
    char own[2 * WORDS];

    if (!row || !(row->share > 0))
        return;
    for (size_t k = 0; k < budget->count; k++)
        shares[group_of(&budget->rows[k])] += budget->rows[k].share;
    shares[ALONE] = group_of(row) == ALONE ? row->share : 0;
    short_name(row->name, own, sizeof own);
    name = own;
    if (shares[OUTLINE] >= fmax(shares[FORM], shares[ALONE]))
        name = "outline as measured";
    else if (shares[FORM] > shares[ALONE])
        name = "lengths that give the form";
    shares[0] = fmax(shares[ALONE], fmax(shares[OUTLINE], shares[FORM]));
    if (share_words(shares[0]))
        tw_output_print(out, NULL, "                  %s of that ± comes from the %s.\n",
                        share_words(shares[0]), name);
    else
        tw_output_print(out, NULL,
                        "                  That ± has many parts; the largest is the %s.\n", name);
}

static void part_text(const tw_budget_row *row, tw_units units, bool grams, char *out, size_t size)
{
    if (!grams)
        tw_write_thickness(row->part, units, units == TW_INCH ? 5 : 4, out, size);
    else if (units == TW_INCH)
        tw_write_mass(row->part, units, 2, out, size);
    else
        tw_format(out, size, "%.2f g", row->part);
}

static void cell(tw_output *out, int columns, const char *text)
{
    tw_output_print(out, NULL, "  %*s", tw_cli_fit(columns, text), text);
}

static void budget_row(tw_output *out, tw_units units, int wide, const tw_budget_row *row,
                       bool grams)
{
    char name[2 * WORDS], text[WORDS];
    const char *remark = short_name(row->name, name, sizeof name);

    tw_output_print(out, NULL, "    %-*s", tw_cli_fit(wide, name), name);
    tw_format(text, sizeof text, "%.6g %s", row->value, row->unit ? row->unit : "");
    cell(out, 14, text);
    tw_format(text, sizeof text, "%.3g", row->u);
    cell(out, 9, text);
    tw_output_print(out, NULL, "  %-11s", tw_distribution_word(row->distribution));
    part_text(row, units, grams, text, sizeof text);
    cell(out, 10, text);
    tw_format(text, sizeof text, "%.1f %%", 100 * row->share);
    cell(out, 7, text);
    tw_output_print(out, NULL, "%s%s\n", remark ? "  " : "", remark ? remark : "");
}

static int names_width(const tw_budget *budget)
{
    char name[2 * WORDS];
    size_t wide = strlen("together");

    for (size_t k = 0; k < budget->count; k++) {
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
        tw_format(words[2], WORDS, "degrees of freedom beyond count");
    tw_output_print(out, NULL,
                    "    together: combined u %s, %s, coverage factor %.3f, U %s (95 %%)\n",
                    words[0], words[2], budget->coverage, words[1]);
}

void tw_show_budget(tw_output *out, tw_units units, const tw_budget *budget, bool grams)
{
    const int wide = names_width(budget);

    tw_output_print(out, NULL, "  budget\n    %-*s", wide, "input");
    cell(out, 14, "value");
    cell(out, 9, "u");
    tw_output_print(out, NULL, "  %-11s", "spread");
    cell(out, 10, "adds");
    cell(out, 7, "share");
    tw_output_print(out, NULL, "\n");
    for (size_t k = 0; k < budget->count; k++)
        budget_row(out, units, wide, &budget->rows[k], grams);
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
    const tw_budget_row *row = largest(&surety->budget);
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

/* ---- the scale ------------------------------------------------------------------------------- */

static const char *what_says(tw_map_kind kind)
{
    return kind == TW_MAP_READINGS ? "readings" : kind == TW_MAP_FORGED ? "forged taper" : "sheet";
}

/* The mass is density times a volume that grows almost as thickness does. */
static void show_cures(tw_output *out, const tw_plate *plate, const tw_agreement *agreement)
{
    const double factor = agreement->thickness_factor;
    const double density = plate->profile->density * 1e6;
    const double needed = density * agreement->scale_g / agreement->model_g;
    const double percent = 100 * fabs(factor - 1);

    tw_output_print(
        out, NULL,
        "                  Both are right only if every thickness is %.*f %% %s, or the "
        "density %.0f kg/m³ instead of %.0f kg/m³, or the plate %s than its form.\n",
        percent < 9.95 ? 1 : 0, percent, factor < 1 ? "less" : "more", needed, density,
        factor < 1 ? "smaller" : "larger");
}

void tw_show_agreement(tw_output *out, tw_units units, const tw_plate *plate,
                       const tw_plate_map *map, const tw_cli_surety *surety)
{
    const tw_agreement *agreement = &surety->agreement;
    const bool agrees = agreement->en <= 1;
    const tw_map_kind kind = map->map.kind;
    char words[2][2 * WORDS];

    tw_output_print(out, NULL, "  scale           The scale says %s, the %s %s: they %s.\n",
                    tw_write_mass(agreement->scale_g, units, -1, words[0], sizeof words[0]),
                    what_says(kind),
                    tw_cli_mass_within(agreement->model_g, surety->budget.expanded, units, words[1],
                                       sizeof words[1]),
                    agrees ? "agree" : "do not agree");
    if (!agrees)
        show_cures(out, plate, agreement);
    if (kind != TW_MAP_SHEET && isfinite(agreement->strike_mm) && isfinite(agreement->edge_mm))
        tw_output_print(out, NULL,
                        "                  Scaled to that weight, the taper runs from %s to %s.\n",
                        tw_write_thickness(agreement->strike_mm, units, -1, words[0], WORDS),
                        tw_write_thickness(agreement->edge_mm, units, -1, words[1], WORDS));
}

/* ---- JSON ------------------------------------------------------------------------------------ */

/* The keys are promised to scripts: add, never rename. */
static json_t *row_json(const tw_budget_row *row, bool grams)
{
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "input", tw_json_text(row->name), "unit",
        tw_json_text(row->unit), "value", tw_json_number(row->value), "u", tw_json_number(row->u),
        "distribution", tw_json_text(tw_distribution_word(row->distribution)), "freedom",
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

json_t *tw_agreement_json(const tw_cli_surety *surety)
{
    const tw_agreement *agreement;

    if (!surety || !surety->compared)
        return json_null();
    agreement = &surety->agreement;
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:b,s:o,s:o,s:o,s:o,s:o}", "scale_g",
        tw_json_number(agreement->scale_g), "scale_u_g", tw_json_number(agreement->scale_u_g),
        "model_g", tw_json_number(agreement->model_g), "model_u_g",
        tw_json_number(agreement->model_u_g), "difference_g",
        tw_json_number(agreement->difference_g), "en", tw_json_number(agreement->en), "agree",
        agreement->en <= 1, "mean_thickness_mm", tw_json_number(agreement->mean_thickness_mm),
        "mean_thickness_u_mm", tw_json_number(agreement->mean_thickness_u_mm), "thickness_factor",
        tw_json_number(agreement->thickness_factor), "strike_mm",
        tw_json_number(agreement->strike_mm), "edge_mm", tw_json_number(agreement->edge_mm));
}
