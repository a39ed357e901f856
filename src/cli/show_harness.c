/* show_harness.c: the parts of a harness as a table, and what it tells, in words. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, NAMES = 120 };

char *tw_cli_figure(const tw_figure *figure, tw_units units, char *out, size_t size)
{
    char words[WORDS];

    if (!tw_figure_is(figure))
        snprintf(out, size, "-");
    else if (tw_figure_expanded(figure) >= figure->g && figure->g > 0)
        snprintf(out, size, "about %s", tw_write_mass(figure->g, units, -1, words, sizeof words));
    else
        tw_cli_mass_within(figure->g, tw_figure_expanded(figure), units, out, size);
    return out;
}

char *tw_cli_part_name(const tw_part *part, bool pair, char *out, size_t size)
{
    snprintf(out, size, "%s", pair && part->side != 0 ? part->spec->name : part->name);
    return out;
}

char *tw_cli_harness_title(const tw_args *args, const tw_harness_file *file, char *out, size_t size)
{
    size_t used = (size_t)tw_format(out, size, "%s%s%s", file->harness, args->set ? ": " : "",
                                    args->set ? args->set : "");
    for (size_t k = 0; k < args->with.count && used < size; k++)
        used += (size_t)tw_format(out + used, size - used, ", with %s", args->with.names[k]);
    for (size_t k = 0; k < args->without.count && used < size; k++)
        used += (size_t)tw_format(out + used, size - used, ", without %s", args->without.names[k]);
    return out;
}

/* +32 g, −5 g */
static char *signed_mass(double g, tw_units units, char *out, size_t size)
{
    char words[WORDS];

    if (isnan(g))
        snprintf(out, size, "-");
    else
        snprintf(out, size, "%s%s", g < 0 ? "−" : "+",
                 tw_write_mass(fabs(g), units, -1, words, sizeof words));
    return out;
}

static void print_column(tw_output *out, int columns, const char *text)
{
    tw_output_print(out, NULL, "  %-*s", tw_cli_fit(columns, text), text);
}

/* ---- the table -------------------------------------------------------------------------------- */

enum { NAME, MODELLED, WEIGHED, DIFFERS, COUNTED, SHARE, COLUMNS };
static const char *const heads[COLUMNS] = {"part",    "modelled", "weighed",
                                           "differs", "counted",  "share"};
typedef struct cells {
    char text[COLUMNS][2 * WORDS];
} cells;

static void fill_cells(tw_units units, const tw_total *total, size_t k, cells *row)
{
    const tw_part *part = &total->harness->parts[k];
    const tw_figure *counted = &total->figure[k];
    const double weighed = part->has_weighing ? part->weighing.net.g : NAN;
    char words[WORDS];

    snprintf(row->text[NAME], sizeof row->text[NAME], "%s", part->name);
    tw_cli_figure(&part->modelled, units, row->text[MODELLED], sizeof row->text[MODELLED]);
    snprintf(row->text[WEIGHED], sizeof row->text[WEIGHED], "-");
    if (part->has_weighing)
        tw_cli_figure(&part->weighing.net, units, row->text[WEIGHED], sizeof row->text[WEIGHED]);
    signed_mass(weighed - part->modelled.g, units, row->text[DIFFERS], sizeof row->text[DIFFERS]);
    if (total->even[k]) /* only the sum's ± is known */
        snprintf(row->text[COUNTED], sizeof row->text[COUNTED], "about %s",
                 tw_write_mass(counted->g, units, -1, words, sizeof words));
    else
        tw_cli_figure(counted, units, row->text[COUNTED], sizeof row->text[COUNTED]);
    row->text[SHARE][0] = '\0';
    if (tw_figure_is(counted) && total->sum.g > 0)
        snprintf(row->text[SHARE], sizeof row->text[SHARE], "%5.1f %%",
                 100 * counted->g / total->sum.g);
}

/* What a weighing that counts, wholly or in part, has against it. */
static const char *mark(const tw_total *total, size_t k)
{
    const tw_part *part = &total->harness->parts[k];

    if (!part->has_weighing || total->counted[k] != TW_COUNTED_WEIGHED)
        return "";
    if (part->weighing.flags & TW_WEIGHING_OVER)
        return ", over the scale's most";
    if (tw_figure_expanded(&part->weighing.net) >= part->weighing.net.g)
        return ", readings far apart";
    return "";
}

static void print_cells(tw_output *out, const int *widths, const char *const *text)
{
    for (size_t c = 0; c < SHARE; c++)
        print_column(out, widths[c], text[c]);
    tw_output_print(out, NULL, "  %7s", text[SHARE]);
}

static void show_table(tw_output *out, tw_units units, const tw_total *total)
{
    int widths[COLUMNS];
    cells row;

    for (size_t c = 0; c < COLUMNS; c++)
        widths[c] = (int)strlen(heads[c]);
    for (size_t k = 0; k < total->harness->part_count; k++) {
        if (!total->in[k])
            continue;
        fill_cells(units, total, k, &row);
        for (size_t c = 0; c < COLUMNS; c++) {
            const int columns = (int)tw_cli_columns(row.text[c]);
            widths[c] = columns > widths[c] ? columns : widths[c];
        }
    }
    print_cells(out, widths, heads);
    tw_output_print(out, NULL, "  as\n");
    for (size_t k = 0; k < total->harness->part_count; k++) {
        const char *text[COLUMNS];
        if (!total->in[k])
            continue;
        fill_cells(units, total, k, &row);
        for (size_t c = 0; c < COLUMNS; c++)
            text[c] = row.text[c];
        print_cells(out, widths, text);
        tw_output_print(out, NULL, "  %s%s\n", total->how[k], mark(total, k));
    }
}

/* Names of parts in a list, pairs once where both are meant. */
static void show_names(tw_output *out, const char *label, const tw_total *total,
                       bool (*is)(const tw_total *total, size_t part))
{
    const tw_harness *harness = total->harness;
    bool first = true;
    char name[NAMES];

    for (size_t k = 0; k < harness->part_count; k++) {
        const bool pair = harness->parts[k].side > 0 && k + 1 < harness->part_count &&
                          is(total, k) && is(total, k + 1);
        if (!is(total, k))
            continue;
        tw_output_print(out, NULL, first ? "  %-14s  %s%s" : "%.0s, %s%s", label,
                        tw_cli_part_name(&harness->parts[k], pair, name, sizeof name),
                        pair ? " (pair)" : "");
        first = false;
        k += pair;
    }
    if (!first)
        tw_output_print(out, NULL, "\n");
}

static bool is_out(const tw_total *total, size_t part)
{
    return !total->in[part];
}

static bool is_missing(const tw_total *total, size_t part)
{
    return total->in[part] && total->counted[part] == TW_COUNTED_MISSING;
}

/* ---- what it tells ---------------------------------------------------------------------------- */

/* "tasset left, culet": parts in without a figure, read from how[]. */
static void show_missing(tw_output *out, const tw_total *total)
{
    bool first = true;

    for (size_t k = 0; k < total->harness->part_count; k++) {
        if (!is_missing(total, k))
            continue;
        tw_output_print(out, NULL, "  %-14s  %s: %s\n", first ? "no figure" : "",
                        total->harness->parts[k].name, total->how[k]);
        first = false;
    }
}

static void show_fittings(tw_output *out, tw_units units, const char *label,
                          const tw_figure *figure)
{
    char words[2 * WORDS];

    if (figure->g > 0)
        tw_output_print(out, NULL, "  %-14s  %s in that, by unit masses\n", label,
                        tw_cli_figure(figure, units, words, sizeof words));
}

static void show_sum(tw_output *out, tw_units units, const tw_total *total)
{
    const double expanded = tw_figure_expanded(&total->sum);
    char words[2 * WORDS];

    tw_cli_figure(&total->sum, units, words, sizeof words);
    if (total->missing_count == total->in_count)
        tw_output_print(out, NULL, "  %-14s  not known", "together");
    else if (expanded >= total->sum.g)
        tw_output_print(out, NULL, "  %-14s  %s, not known to better than its readings' spread",
                        "together", words);
    else
        tw_output_print(out, NULL, "  %-14s  %s (95 %%)", "together", words);
    if (total->missing_count > 0 && total->missing_count < total->in_count)
        tw_output_print(out, NULL, ", %zu of %zu parts", total->in_count - total->missing_count,
                        total->in_count);
    tw_output_print(out, NULL, "\n");
    show_fittings(out, units, "straps", &total->straps);
    show_fittings(out, units, "lining", &total->lining);
    show_fittings(out, units, "buckles, rivets", &total->metal);
}

static void show_sets(tw_output *out, tw_units units, const tw_cli_whole *whole)
{
    const tw_harness_file *file = whole->of->file;
    char words[2 * WORDS];

    for (size_t k = 0; k < whole->set_count; k++) {
        const tw_cli_set *set = &whole->sets[k];
        const size_t known = set->in_count - set->missing_count;
        tw_output_print(out, NULL, "  %-14s  %-*s  ", k == 0 ? "sets" : "",
                        tw_cli_fit(16, file->sets[k].name), file->sets[k].name);
        if (known == 0)
            tw_output_print(out, NULL, "not known, %zu", set->in_count);
        else
            tw_output_print(out, NULL, "%s, %zu",
                            tw_cli_figure(&set->sum, units, words, sizeof words), known);
        if (known > 0 && set->missing_count > 0)
            tw_output_print(out, NULL, " of %zu", set->in_count);
        tw_output_print(out, NULL, " part%s", set->in_count == 1 ? "" : "s");
        for (size_t n = 0; known > 0 && n < set->missing_count; n++)
            tw_output_print(out, NULL, "%s%s", n == 0 ? "; " : ", ", set->missing[n]);
        tw_output_print(out, NULL, known > 0 && set->missing_count > 0 ? " not known\n" : "\n");
    }
}

/* Whether models and scale agree over the parts that have both. */
static void show_agreement(tw_output *out, tw_units units, const tw_total *total)
{
    const double gap = total->modelled.g - total->weighed.g;
    const double within =
        hypot(tw_figure_expanded(&total->modelled), tw_figure_expanded(&total->weighed));
    char words[3][2 * WORDS];

    if (total->both_count == 0)
        return;
    tw_output_print(out, NULL,
                    "  %-14s  %zu part%s modelled and weighed both: models %s, scale %s.\n",
                    "scale", total->both_count, total->both_count == 1 ? " is" : "s are",
                    tw_cli_figure(&total->modelled, units, words[0], sizeof words[0]),
                    tw_cli_figure(&total->weighed, units, words[1], sizeof words[1]));
    tw_write_mass(fabs(gap), units, -1, words[2], sizeof words[2]);
    if (fabs(gap) <= within)
        tw_output_print(out, NULL, "  %-14s  They agree: %s apart, within both ±.\n", "", words[2]);
    else
        tw_output_print(out, NULL,
                        "  %-14s  They do not agree: the models are %s %s. Look at the sheet's "
                        "thickness, the sizes, and what hung on the scale.\n",
                        "", words[2], gap > 0 ? "heavier" : "lighter");
}

static char *place_words(const double at[3], tw_units units, char *out, size_t size)
{
    char words[3][WORDS];

    snprintf(out, size, "%s up, %s to the %s, %s to the wearer's %s",
             tw_write_length(at[1], units, -1, words[0], WORDS),
             tw_write_length(fabs(at[2]), units, -1, words[1], WORDS), at[2] < 0 ? "back" : "front",
             tw_write_length(fabs(at[0]), units, -1, words[2], WORDS),
             at[0] < 0 ? "right" : "left");
    return out;
}

static void show_moves(tw_output *out, tw_units units, const tw_total *total, size_t k, bool pair)
{
    const tw_part *part = &total->harness->parts[k];
    const struct {
        const char *label;
        tw_status (*without)(const tw_total *, size_t, bool, double *, double *, tw_error *);
    } ways[] = {{"without", tw_total_without}, {"of sheet", tw_total_as_sheet}};
    char name[NAMES], words[2][WORDS];

    for (size_t way = 0; way < 2; way++) {
        double mass, at[3];
        if (ways[way].without(total, k, pair, &mass, at, NULL) != TW_OK || isnan(at[0]) ||
            fabs(mass - total->sum.g) < 0.5)
            continue;
        tw_output_print(out, NULL, "    %-8s  %-*s  %s %s, %s %s\n", ways[way].label,
                        tw_cli_fit(18, tw_cli_part_name(part, pair, name, sizeof name)), name,
                        tw_write_length(fabs(at[1] - total->balance[1]), units, 1, words[0], WORDS),
                        at[1] < total->balance[1] ? "down" : "up",
                        tw_write_length(fabs(at[2] - total->balance[2]), units, 1, words[1], WORDS),
                        at[2] < total->balance[2] ? "back" : "forward");
    }
}

static void show_balance(tw_output *out, tw_units units, const tw_total *total)
{
    char words[4 * WORDS];

    if (!total->has_balance) {
        tw_output_print(out, NULL,
                        "  %-14s  not known: some parts have no place (give at: or balance:)\n",
                        "balance");
        return;
    }
    tw_output_print(out, NULL, "  %-14s  %s\n", "balance",
                    place_words(total->balance, units, words, sizeof words));
    for (size_t k = 0; k < total->harness->part_count; k++) {
        const tw_part *part = &total->harness->parts[k];
        const bool pair = part->side > 0 && k + 1 < total->harness->part_count && total->in[k] &&
                          total->in[k + 1];
        if (total->in[k])
            show_moves(out, units, total, k, pair);
        k += pair;
    }
}

/* ---- where a replica's grams come from -------------------------------------------------------- */

static void show_first_source(tw_output *out, const tw_sources *sources)
{
    const tw_source_row *row = &sources->rows[0];
    const double overlap =
        row->difference_g != 0 ? row->overlap_difference_g / row->difference_g : 0;

    if (!(row->share > 0))
        return;
    tw_output_print(out, NULL, "  %-14s  The %s carries %.0f %% of the difference", "", row->name,
                    100 * row->share);
    if (overlap > 0.5)
        tw_output_print(out, NULL, ", most of it where plates overlap");
    else if (overlap > 0.2)
        tw_output_print(out, NULL, ", %.0f %% of it where plates overlap", 100 * overlap);
    tw_output_print(out, NULL, ".\n");
}

static void show_sources(tw_output *out, tw_units units, const tw_sources *sources)
{
    char words[3][WORDS];

    if (sources->count == 0)
        return;
    tw_output_print(out, NULL, "  %-14s  all of sheet %s, all forged %s: sheet is %s %s%s\n",
                    "as sheet", tw_write_mass(sources->sheet_g, units, -1, words[0], WORDS),
                    tw_write_mass(sources->forged_g, units, -1, words[1], WORDS),
                    tw_write_mass(fabs(sources->difference_g), units, -1, words[2], WORDS),
                    sources->difference_g < 0 ? "lighter" : "heavier",
                    sources->left_out > 0 ? " (of plates with both maps)" : "");
    show_first_source(out, sources);
    for (size_t k = 0; k < sources->count; k++) {
        const tw_source_row *row = &sources->rows[k];
        tw_format(words[2], WORDS, "%s%.1f %%", row->share < 0 ? "−" : "", 100 * fabs(row->share));
        tw_output_print(out, NULL, "    %-*s", tw_cli_fit(20, row->name), row->name);
        print_column(out, 9, signed_mass(row->difference_g, units, words[0], WORDS));
        tw_output_print(out, NULL, "  %*s", tw_cli_fit(7, words[2]), words[2]);
        if (fabs(row->overlap_difference_g) >= 0.5)
            tw_output_print(out, NULL, "  %s of that where plates overlap",
                            signed_mass(row->overlap_difference_g, units, words[1], WORDS));
        tw_output_print(out, NULL, "\n");
    }
}

/* ---- turned edges ----------------------------------------------------------------------------- */

static void show_extra(tw_output *out, tw_units units, const tw_total *total)
{
    bool first = true;
    char words[4][WORDS], name[NAMES];

    for (size_t k = 0; k < total->harness->part_count; k++) {
        const tw_part *part = &total->harness->parts[k];
        if (!total->in[k] || part->side < 0)
            continue;
        for (size_t p = 0; p < part->piece_count; p++) {
            const tw_extra_weight *extra = &part->pieces[p].extra;
            for (size_t t = 0; t < extra->turn_count; t++) {
                const tw_turn_weight *turn = &extra->turns[t];
                tw_output_print(
                    out, NULL, "  %-14s  %s, %s: %s outside, %s of sheet wrapped, %s\n",
                    first ? "turned edges" : "", tw_cli_part_name(part, true, name, sizeof name),
                    turn->edge, tw_write_length(turn->roll_mm, units, -1, words[0], WORDS),
                    tw_write_length(turn->wrap_mm, units, -1, words[1], WORDS),
                    tw_write_mass(turn->sheet_g + turn->wire_g, units, -1, words[2], WORDS));
                first = false;
            }
        }
    }
}

void tw_show_harness_text(tw_output *out, const tw_args *args, const tw_cli_whole *whole)
{
    const tw_total *total = &whole->of->total;
    const tw_units units = (tw_units)args->units;

    char title[4 * NAMES];

    tw_output_print(out, NULL, "%s",
                    tw_cli_harness_title(args, whole->of->file, title, sizeof title));
    tw_output_print(out, NULL, ": %zu of %zu parts in\n", total->in_count,
                    total->harness->part_count);
    show_table(out, units, total);
    show_sum(out, units, total);
    show_names(out, "left out", total, is_out);
    show_missing(out, total);
    show_sets(out, units, whole);
    show_extra(out, units, total);
    show_agreement(out, units, total);
    show_sources(out, units, &whole->sources);
    show_balance(out, units, total);
}
