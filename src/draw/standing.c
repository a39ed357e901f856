/* standing.c: one mass among its records, in words. */
#include "draw_internal.h"

#include <math.h>
#include <string.h>

#define SQUARE_FOOT 9.290304 /* dm² */

/* "breastplate, tasset ×2". */
const char *tw_standing_kinds(const tw_standing *row, tw_arena *arena)
{
    const char **names = tw_arena_array(arena, row->kind_count, sizeof *names);

    for (size_t k = 0; names && k < row->kind_count; k++) {
        char times[32];
        tw_format(times, sizeof times, " ×%zu", row->kinds[k].count);
        names[k] = row->kinds[k].kind;
        if (row->kinds[k].count != 1)
            names[k] = tw_names_join(arena, names[k], (const char *[]){times}, 1, "");
        if (!names[k])
            return NULL;
    }
    return names ? tw_names_join(arena, "", names, row->kind_count, ", ") : NULL;
}

/* "lighter than 6, within its ± 1, heavier than 1", when some are too near to tell. */
static void three_ways(const tw_standing *row, char *out, size_t size)
{
    const double u = tw_figure_expanded(&row->own);
    size_t counts[3] = {0};
    const char *const leads[] = {"lighter than", "as heavy, within its ±, as", "heavier than"};
    char one[80];

    for (size_t k = 0; k < row->count; k++) {
        const double more = row->records[k]->g - row->own.g;
        counts[more > u ? 0 : more < -u ? 2 : 1]++;
    }
    out[0] = '\0';
    for (size_t k = 0; k < 3; k++)
        if (counts[k] > 0) {
            tw_format(one, sizeof one, "%s%s %zu", out[0] ? ", " : "", leads[k], counts[k]);
            tw_text_append(out, size, one);
        }
}

/* "lighter than 7 of 9", whichever side more records are on. */
void tw_standing_lead(const tw_standing *row, char *out, size_t size)
{
    const size_t n = row->count;
    const char *const all = n == 2 ? "both" : "all";
    size_t heavier = 0;
    char number[32] = "";

    if (n != 2)
        tw_format(number, sizeof number, " %zu", n);
    for (size_t k = 0; k < n; k++)
        heavier += row->records[k]->g > row->own.g;
    if (n == 0)
        tw_format(out, size, "no record of this kind alone");
    else if (!tw_figure_is(&row->own))
        tw_format(out, size, "no figure to set beside them");
    else if (n == 1)
        tw_format(out, size, "%s the one record%s",
                  heavier        ? "lighter than"
                  : row->lighter ? "heavier than"
                                 : "as heavy as",
                  row->uncertain > 0 && (heavier || row->lighter) ? ", but within its ±" : "");
    else if (row->uncertain > 0)
        three_ways(row, out, size);
    else if (heavier == 0 && row->lighter == 0)
        tw_format(out, size, "as heavy as %s%s", all, number);
    else if (heavier == n || row->lighter == n)
        tw_format(out, size, "%s than %s%s", heavier ? "lighter" : "heavier", all, number);
    else if (heavier >= row->lighter)
        tw_format(out, size, "lighter than %zu of %zu", heavier, n);
    else
        tw_format(out, size, "heavier than %zu of %zu", row->lighter, n);
}

/* Least and most of the records that tell their size, per dm² of height × width. */
static void per_area_ends(const tw_standing *row, double ends[2])
{
    ends[0] = INFINITY;
    ends[1] = -INFINITY;
    for (size_t k = 0; k < row->count; k++) {
        const tw_original *record = row->records[k];
        const double each = record->g / (record->height * record->width) * 1e4;
        if (isfinite(each)) {
            ends[0] = fmin(ends[0], each);
            ends[1] = fmax(ends[1], each);
        }
    }
}

void tw_standing_more(const tw_standing *row, tw_units units, char out[TW_STANDING_WORDS])
{
    char one[200], mass[48], other[48];

    out[0] = '\0';
    if (row->count > 0 && isfinite(row->median)) {
        tw_write_mass(row->median, units, -1, mass, sizeof mass);
        tw_format(one, sizeof one, "median of the set %s\n", mass);
        tw_text_append(out, TW_STANDING_WORDS, one);
    }
    if (isfinite(row->per_area) && row->per_area_count > 0) {
        const double area = units == TW_INCH ? SQUARE_FOOT : 1;
        double ends[2];
        tw_format(one, sizeof one, "%s per %s of height × width",
                  tw_write_mass(area * row->per_area, units, -1, mass, sizeof mass),
                  units == TW_INCH ? "sq ft" : "dm²");
        tw_text_append(out, TW_STANDING_WORDS, one);
        per_area_ends(row, ends);
        one[0] = '\0';
        if (isfinite(row->per_area_median)) {
            tw_write_mass(area * row->per_area_median, units, -1, other, sizeof other);
            tw_format(one, sizeof one, ", median of %zu records %s", row->per_area_count, other);
        } else if (ends[0] <= ends[1]) {
            tw_write_mass(area * ends[0], units, -1, mass, sizeof mass);
            tw_write_mass(area * ends[1], units, -1, other, sizeof other);
            if (row->per_area_count == 1)
                tw_format(one, sizeof one, ", the one record that tells its size %s", other);
            else
                tw_format(one, sizeof one, ", %zu records %s to %s", row->per_area_count, mass,
                          other);
        }
        tw_text_append(out, TW_STANDING_WORDS, one);
        tw_text_append(out, TW_STANDING_WORDS, "\n");
    }
    for (size_t k = 0; k < row->adjustment_count; k++) {
        const tw_adjustment *a = &row->adjustments[k];
        tw_cause cause = {"adjustment", a->u_g, (double)INFINITY};
        const tw_figure figure = {a->g, 1, &cause};
        tw_grams_words(fabs(a->g), tw_figure_expanded(&figure), units, mass, sizeof mass);
        tw_format(one, sizeof one, "%s: %s%s\n", a->what, a->g < 0 ? "−" : "+", mass);
        tw_text_append(out, TW_STANDING_WORDS, one);
    }
    if (out[0])
        out[strlen(out) - 1] = '\0'; /* the last line end */
    tw_text_bind_units(out, TW_STANDING_WORDS);
}
