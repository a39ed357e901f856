/* show_originals.c: a mass beside records, and a set of records by what they cover, in words. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, KINDS = 512, WIDE = 96 };

char *tw_cli_kinds(const tw_kind_count *kinds, size_t count, char *out, size_t size)
{
    size_t used = 0;

    snprintf(out, size, count > 0 ? "" : "not listed");
    for (size_t k = 0; k < count && used < size; k++) {
        used += (size_t)snprintf(out + used, size - used, "%s%s", k > 0 ? "; " : "", kinds[k].kind);
        if (kinds[k].count > 1 && used < size)
            used += (size_t)snprintf(out + used, size - used, " %zu", kinds[k].count);
    }
    return out;
}

static const char *said(tw_said what)
{
    return what == TW_SAID_IN ? "in" : what == TW_SAID_OUT ? "out" : "not said";
}

static const char *or_none(const char *text)
{
    return text ? text : "";
}

static void show_years(tw_output *out, int from, int to)
{
    if (from == 0)
        return;
    if (from == to)
        tw_output_print(out, NULL, ", %d", from);
    else
        tw_output_print(out, NULL, ", %d–%d", from, to);
}

/* Numbers without a point are the museum's object IDs, which its pages' addresses end with (the public
 * form of the address is from memory). */
static bool is_object_id(const tw_original *record)
{
    return record->object && *record->object && record->institution &&
           strcmp(record->institution, "The Metropolitan Museum of Art") == 0 &&
           record->object[strspn(record->object, "0123456789")] == '\0';
}

void tw_show_record(tw_output *out, tw_units units, const tw_original *record)
{
    char words[3][WORDS];

    tw_output_print(out, NULL, "%10s  ",
                    tw_write_mass(record->g, units,
                                  units == TW_METRIC && record->g >= 1000 ? 3 : -1, words[0],
                                  sizeof words[0]));
    if (record->institution)
        tw_output_print(out, NULL, "%s, ", record->institution);
    tw_output_print(out, NULL, "%s%s%s", or_none(record->object),
                    record->object && record->title ? ", " : "", or_none(record->title));
    show_years(out, record->year_from, record->year_to);
    if (!isnan(record->height) && !isnan(record->width))
        tw_output_print(out, NULL, ", %s high, %s wide",
                        tw_write_length(record->height, units, -1, words[1], WORDS),
                        tw_write_length(record->width, units, -1, words[2], WORDS));
    tw_output_print(out, NULL, ", straps %s, lining %s", said(record->straps),
                    said(record->lining));
    if (record->from_pounds)
        tw_output_print(out, NULL, "; mass from its pounds");
    if (record->note)
        tw_output_print(out, NULL, "; %s", record->note);
    if (record->why)
        tw_output_print(out, NULL, "; left out: %s", record->why);
    if (record->licence)
        tw_output_print(out, NULL, "; %s", record->licence);
    if (record->source)
        tw_output_print(out, NULL, "; %s", record->source);
    if (is_object_id(record))
        tw_output_print(out, NULL, "; https://www.metmuseum.org/art/collection/search/%s",
                        record->object);
    tw_output_print(out, NULL, "\n");
}

static void show_records(tw_output *out, tw_units units, const tw_standing *row)
{
    for (size_t k = 0; k < row->count; k++) {
        tw_output_print(out, NULL, "    ");
        tw_show_record(out, units, row->records[k]);
    }
}

/* ---- which records ---------------------------------------------------------------------------- */

static size_t in_use(const tw_originals *set)
{
    size_t count = 0;

    for (size_t k = 0; k < set->count; k++)
        count += set->rows[k].use;
    return count;
}

/* Whose records, where all are of one institution under one licence. */
static void show_owner(tw_output *out, const tw_originals *set)
{
    const tw_original *first = &set->rows[0];

    for (size_t k = 0; k < set->count; k++) {
        const tw_original *row = &set->rows[k];
        if (!row->institution || strcmp(row->institution, or_none(first->institution)) != 0 ||
            !row->licence || strcmp(row->licence, or_none(first->licence)) != 0)
            return;
    }
    tw_output_print(out, NULL, " (%s, %s)", first->institution, first->licence);
}

static void show_set_line(tw_output *out, const tw_cli_beside *found)
{
    const tw_originals *set = found->set;
    const tw_filter *filter = &found->filter;

    tw_output_print(out, NULL, "%s: %zu recorded weights, %zu in use",
                    *set->file ? set->file : "shipped set", set->count, in_use(set));
    show_owner(out, set);
    if (filter->year_from && filter->year_to)
        tw_output_print(out, NULL, "; years %d to %d", filter->year_from, filter->year_to);
    else if (filter->year_from || filter->year_to)
        tw_output_print(out, NULL, "; years %s %d", filter->year_from ? "from" : "to",
                        filter->year_from ? filter->year_from : filter->year_to);
    if (filter->object)
        tw_output_print(out, NULL, "; titles with \"%s\"", filter->object);
    tw_output_print(out, NULL, "\n");
}

/* ---- one mass beside its records ---------------------------------------------------------------- */

/* Records within the ± are neither lighter nor heavier: each record is told once. */
static void show_three(tw_output *out, const tw_standing *row)
{
    const char *comma = "";

    tw_output_print(out, NULL, "    ");
    if (row->clearly_heavier > 0) {
        tw_output_print(out, NULL, "lighter than %zu", row->clearly_heavier);
        comma = ", ";
    }
    tw_output_print(out, NULL, "%swithin ± of %zu", comma, row->uncertain);
    if (row->clearly_lighter > 0)
        tw_output_print(out, NULL, ", heavier than %zu", row->clearly_lighter);
    tw_output_print(out, NULL, " of %zu record%s", row->count, row->count == 1 ? "" : "s");
}

static void show_place(tw_output *out, tw_units units, const tw_standing *row)
{
    const bool inside = row->lighter < row->count && row->heavier < row->count;
    const bool upper = row->lighter > row->heavier;
    char words[2][WORDS];

    if (row->uncertain == 0)
        tw_output_print(out, NULL, "    %s than %zu of %zu record%s", upper ? "heavier" : "lighter",
                        upper ? row->lighter : row->heavier, row->count,
                        row->count == 1 ? "" : "s");
    else
        show_three(out, row);
    if (row->count > 1)
        tw_output_print(out, NULL, "; %s the spread of this set, %s to %s",
                        inside ? "inside" : "outside",
                        tw_write_mass(row->least, units, -1, words[0], WORDS),
                        tw_write_mass(row->most, units, -1, words[1], WORDS));
    tw_output_print(out, NULL, "\n");
}

static void show_middle(tw_output *out, tw_units units, const tw_standing *row)
{
    char words[3][WORDS];

    if (!isnan(row->median)) {
        tw_output_print(out, NULL, "    median %s, quartiles %s and %s\n",
                        tw_write_mass(row->median, units, -1, words[0], WORDS),
                        tw_write_mass(row->lower, units, -1, words[1], WORDS),
                        tw_write_mass(row->upper, units, -1, words[2], WORDS));
        return;
    }
    tw_output_print(out, NULL, "    too few for quartiles:");
    for (size_t k = 0; k < row->count; k++)
        tw_output_print(out, NULL, "%s %s", k > 0 ? "," : "",
                        tw_write_mass(row->records[k]->g, units, -1, words[0], WORDS));
    tw_output_print(out, NULL, "\n");
}

/* g/dm² in ounces per square foot: 28.349523125 g, 9.290304 dm², both by definition. */
static double shown_per_area(double per_area, tw_units units)
{
    return units == TW_INCH ? per_area * 9.290304 / 28.349523125 : per_area;
}

static void show_per_area(tw_output *out, tw_units units, const tw_standing *row)
{
    if (isnan(row->per_area) || row->per_area_count == 0)
        return;
    tw_output_print(out, NULL, "    by size, roughly (height × width): %.0f %s",
                    shown_per_area(row->per_area, units),
                    units == TW_INCH ? "oz per sq ft" : "g per dm²");
    if (!isnan(row->per_area_median))
        tw_output_print(out, NULL, ", median %.0f", shown_per_area(row->per_area_median, units));
    if (row->per_area_count == 1)
        tw_output_print(out, NULL, "; the 1 record that tells its size: %.0f",
                        shown_per_area(row->per_area_least, units));
    else
        tw_output_print(out, NULL, "; the %zu records that tell their size: %.0f to %.0f",
                        row->per_area_count, shown_per_area(row->per_area_least, units),
                        shown_per_area(row->per_area_most, units));
    tw_output_print(out, NULL, "\n");
}

static void show_adjustments(tw_output *out, tw_units units, const tw_standing *row)
{
    char words[2][WORDS];

    for (size_t k = 0; k < row->adjustment_count; k++) {
        const tw_adjustment *made = &row->adjustments[k];
        tw_output_print(out, NULL, "    %s", made->what);
        if (made->g != 0)
            tw_output_print(out, NULL, ": −%s, ± %s",
                            tw_write_mass(fabs(made->g), units, -1, words[0], WORDS),
                            tw_write_mass(1.96 * made->u_g, units, -1, words[1], WORDS));
        tw_output_print(out, NULL, "\n");
    }
    if (row->straps_not_said + row->lining_not_said > 0)
        tw_output_print(out, NULL, "    not said: straps in %zu of %zu, lining in %zu of %zu\n",
                        row->straps_not_said, row->count, row->lining_not_said, row->count);
}

static void show_standing(tw_output *out, const tw_args *args, const tw_standing *row)
{
    const tw_units units = (tw_units)args->units;
    char kinds[KINDS], mass[2 * WORDS];

    tw_output_print(out, NULL, "  %s (%s): %s, beside n = %zu\n", row->what,
                    tw_cli_kinds(row->kinds, row->kind_count, kinds, sizeof kinds),
                    tw_cli_figure(&row->own, units, mass, sizeof mass), row->count);
    show_place(out, units, row);
    show_middle(out, units, row);
    show_per_area(out, units, row);
    show_adjustments(out, units, row);
    if (args->list)
        show_records(out, units, row);
}

/* ---- what meets nothing --------------------------------------------------------------------------- */

static void show_unknown(tw_output *out, const tw_total *total)
{
    const char *comma = "";

    tw_output_print(out, NULL, "  the whole cannot be set beside any: nothing is known of ");
    for (size_t k = 0; k < total->harness->part_count; k++)
        if (total->in[k] && !tw_figure_is(&total->figure[k])) {
            tw_output_print(out, NULL, "%s%s", comma, total->harness->parts[k].name);
            comma = ", ";
        }
}

static void show_no_whole(tw_output *out, const tw_cli_beside *found)
{
    const tw_total *total = &found->of->total;
    const tw_ranking *ranking = &found->ranking;

    if (ranking->whole || total->in_count < 2)
        return;
    if (total->missing_count > 0)
        show_unknown(out, total);
    else
        tw_output_print(out, NULL, "  the whole: no record covers these parts and no others");
    if (ranking->stopper)
        tw_output_print(out, NULL, "; without %s, %zu would", ranking->stopper,
                        ranking->stopper_records);
    tw_output_print(out, NULL, "\n");
}

/* A single part without a figure, of which no row and no other line would tell. */
static void show_nothing(tw_output *out, const tw_cli_beside *found)
{
    const tw_total *total = &found->of->total;

    if (found->ranking.count > 0 || found->ranking.alone_count > 0 || total->in_count > 1)
        return;
    show_unknown(out, total);
    tw_output_print(out, NULL, "\n");
}

/* Which map of a plate counts, with what beside its face. */
static void show_map(tw_output *out, const tw_cli_beside *found)
{
    const tw_harness *harness = found->of->harness;
    const tw_piece *piece = harness->part_count == 1 && harness->parts[0].piece_count == 1
                                ? &harness->parts[0].pieces[0]
                                : NULL;
    const char *extra;

    if (!piece || !piece->map || found->of->total.counted[0] != TW_COUNTED_MODELLED)
        return;
    extra = piece->extra.turn_count > 0 && piece->extra.flute_count > 0
                ? ", turned edges and flutes in"
            : piece->extra.turn_count > 0  ? ", turned edges in"
            : piece->extra.flute_count > 0 ? ", flutes in"
                                           : "";
    tw_output_print(out, NULL, ": its %s map%s", tw_map_word(piece->map->map.kind), extra);
}

static const char *kind_of(const tw_harness *harness, const char *name)
{
    for (size_t k = 0; k < harness->part_count; k++)
        if (strcmp(harness->parts[k].name, name) == 0 ||
            strcmp(harness->parts[k].spec->name, name) == 0)
            return harness->parts[k].kind;
    return "";
}

static void show_alone(tw_output *out, const tw_cli_beside *found)
{
    const tw_ranking *ranking = &found->ranking;

    for (size_t k = 0; k < ranking->alone_count; k++)
        tw_output_print(out, NULL, "%s%s (%s)",
                        k > 0 ? ", " : "  no record covers alone: ", ranking->alone[k],
                        kind_of(found->of->harness, ranking->alone[k]));
    if (ranking->alone_count > 0)
        tw_output_print(out, NULL, "\n");
}

void tw_show_originals_text(tw_output *out, const tw_args *args, const tw_cli_beside *found)
{
    const tw_total *total = &found->of->total;
    const tw_ranking *ranking = &found->ranking;

    tw_output_print(out, NULL, "%s", found->of->file->harness);
    if (args->set)
        tw_output_print(out, NULL, ", %s", args->set);
    if (total->harness->part_count > 1)
        tw_output_print(out, NULL, ": %zu of %zu parts in", total->in_count,
                        total->harness->part_count);
    show_map(out, found);
    tw_output_print(out, NULL, "\n");
    show_set_line(out, found);
    show_no_whole(out, found);
    show_nothing(out, found);
    for (size_t k = 0; k < ranking->count; k++)
        show_standing(out, args, &ranking->rows[k]);
    show_alone(out, found);
    if (!*found->set->file && found->set->warning_count > 0)
        tw_output_print(out, NULL,
                        "%zu things are odd in the set's records: \"taperwright originals\" says "
                        "which\n",
                        found->set->warning_count);
}

/* ---- the set alone ---------------------------------------------------------------------------------- */

static int widest_kinds(const tw_ranking *ranking)
{
    size_t widest = strlen("kinds");

    for (size_t k = 0; k < ranking->count; k++) {
        const size_t columns = tw_cli_columns(ranking->rows[k].what);
        if (columns > widest && columns <= WIDE)
            widest = columns;
    }
    return (int)widest;
}

static void show_summary_row(tw_output *out, const tw_args *args, const tw_standing *row, int width)
{
    const double values[] = {row->least, row->lower, row->median, row->upper, row->most};
    char words[WORDS];

    tw_output_print(out, NULL, "  %-*s  %4zu", tw_cli_fit(width, row->what), row->what, row->count);
    for (size_t k = 0; k < sizeof values / sizeof *values; k++)
        tw_output_print(out, NULL, "  %12s",
                        isnan(values[k]) ? "-"
                                         : tw_write_mass(values[k], (tw_units)args->units, -1,
                                                         words, sizeof words));
    tw_output_print(out, NULL, "\n");
    if (args->list)
        show_records(out, (tw_units)args->units, row);
}

static bool is_left_out(const tw_cli_beside *found, const tw_original *record)
{
    return !record->use && tw_original_passes(record, &found->filter);
}

static void show_left_out(tw_output *out, const tw_args *args, const tw_cli_beside *found)
{
    const tw_originals *set = found->set;
    size_t count = 0;

    for (size_t k = 0; k < set->count; k++)
        count += is_left_out(found, &set->rows[k]);
    if (count == 0)
        return;
    tw_output_print(out, NULL, "%zu left out of every comparison%s\n", count,
                    args->list ? ":" : " (--list says which and why)");
    for (size_t k = 0; k < set->count && args->list; k++)
        if (is_left_out(found, &set->rows[k])) {
            tw_output_print(out, NULL, "    ");
            tw_show_record(out, (tw_units)args->units, &set->rows[k]);
        }
}

static void show_warnings(tw_output *out, const tw_cli_beside *found)
{
    const tw_originals *set = found->set;
    const tw_filter *filter = &found->filter;

    if (*set->file || filter->object || filter->year_from || filter->year_to)
        return; /* a file's own go to standard error */
    tw_output_print(out, NULL, "odd in its records:\n");
    for (size_t k = 0; k < set->warnings.count && k < TW_NOTES_MAX; k++)
        tw_output_print(out, NULL, "  %s\n", set->warnings.items[k].message);
    tw_output_print(out, NULL,
                    "\"taperwright originals --print\" begins with where the set is from "
                    "and what is weak in it\n");
}

void tw_show_set_text(tw_output *out, const tw_args *args, const tw_cli_beside *found)
{
    const tw_ranking *ranking = &found->ranking;
    const int width = widest_kinds(ranking);

    show_set_line(out, found);
    if (ranking->count == 0)
        tw_output_print(out, NULL, "  no record is like that\n");
    else
        tw_output_print(out, NULL, "  %-*s  %4s  %12s  %12s  %12s  %12s  %12s\n", width, "kinds",
                        "n", "least", "lower qu.", "median", "upper qu.", "most");
    for (size_t k = 0; k < ranking->count; k++)
        show_summary_row(out, args, &ranking->rows[k], width);
    show_left_out(out, args, found);
    show_warnings(out, found);
}
