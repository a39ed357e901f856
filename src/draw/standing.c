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

/* "lighter than 7 of 9", whichever side more records are on. */
void tw_standing_lead(const tw_standing *row, char *out, size_t size)
{
    const size_t n = row->count;
    size_t heavier = 0;

    for (size_t k = 0; k < n; k++)
        heavier += row->records[k]->g > row->own.g;
    if (n == 0)
        tw_format(out, size, "no record of this kind alone");
    else if (!tw_figure_is(&row->own))
        tw_format(out, size, "no figure to set beside them");
    else if (n == 1)
        tw_format(out, size, "%s the one record",
                  heavier        ? "lighter than"
                  : row->lighter ? "heavier than"
                                 : "as heavy as");
    else if (heavier == 0 && row->lighter == 0)
        tw_format(out, size, "as heavy as all %zu", n);
    else if (heavier == n || row->lighter == n)
        tw_format(out, size, "%s than all %zu", heavier ? "lighter" : "heavier", n);
    else if (heavier >= row->lighter)
        tw_format(out, size, "lighter than %zu of %zu", heavier, n);
    else
        tw_format(out, size, "heavier than %zu of %zu", row->lighter, n);
}

void tw_standing_more(const tw_standing *row, tw_units units, char out[TW_STANDING_WORDS])
{
    char one[200], mass[48], other[48];

    out[0] = '\0';
    if (row->count > 0 && row->uncertain > 0 && tw_figure_is(&row->own)) {
        tw_format(one, sizeof one, "%zu of them within its ±\n", row->uncertain);
        tw_text_append(out, TW_STANDING_WORDS, one);
    }
    if (row->count > 0 && isfinite(row->median)) {
        tw_write_mass(row->median, units, -1, mass, sizeof mass);
        tw_format(one, sizeof one, "median of the set %s\n", mass);
        tw_text_append(out, TW_STANDING_WORDS, one);
    }
    if (isfinite(row->per_area)) {
        const double area = units == TW_INCH ? SQUARE_FOOT : 1;
        tw_format(one, sizeof one, "%s per %s of height × width",
                  tw_write_mass(area * row->per_area, units, -1, mass, sizeof mass),
                  units == TW_INCH ? "sq ft" : "dm²");
        tw_text_append(out, TW_STANDING_WORDS, one);
        if (isfinite(row->per_area_median)) {
            tw_write_mass(area * row->per_area_median, units, -1, other, sizeof other);
            tw_format(one, sizeof one, ", median %s (n\xc2\xa0=\xc2\xa0%zu)", other,
                      row->per_area_count);
            tw_text_append(out, TW_STANDING_WORDS, one);
        }
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
