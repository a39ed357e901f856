/*
 * standing.c: one mass beside the records that cover the same, and the records by what they cover.
 * Straps and lining: where a record says that they are out and ours are in, ours are taken off, with
 * their own share of the ±, before the two are compared; each record is met by its own convention.
 */
#include "standing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { QUARTILES_FROM = 8 };

tw_status tw_standing_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "memory ran out while ranking beside originals");
}

/* ---- records in question -------------------------------------------------------------------------- */

static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* ASCII letters match in either case, everything else byte by byte. */
static bool contains(const char *text, const char *word)
{
    for (; *text; text++) {
        size_t n = 0;
        while (word[n] && small(text[n]) == small(word[n]))
            n++;
        if (!word[n])
            return true;
    }
    return false;
}

bool tw_original_passes(const tw_original *record, const tw_filter *filter)
{
    if (!filter)
        return true;
    if ((filter->year_from || filter->year_to) && !record->year_from)
        return false;
    if (filter->year_from && record->year_to < filter->year_from)
        return false;
    if (filter->year_to && record->year_from > filter->year_to)
        return false;
    return !filter->object || (record->title && contains(record->title, filter->object));
}

tw_status tw_standing_pool(const tw_originals *originals, const tw_filter *filter, tw_arena *arena,
                           tw_pool *out, tw_error *err)
{
    out->arena = arena;
    out->count = 0;
    out->records = tw_arena_array(arena, originals->count, sizeof *out->records);
    if (!out->records)
        return tw_standing_memory(err);
    for (size_t k = 0; k < originals->count; k++) {
        const tw_original *record = &originals->rows[k];
        if (record->use && record->kind_count > 0 && tw_original_passes(record, filter))
            out->records[out->count++] = record;
    }
    return TW_OK;
}

bool tw_kinds_same(const tw_kind_count *a, size_t a_count, const tw_kind_count *b, size_t b_count)
{
    if (a_count != b_count)
        return false;
    for (size_t k = 0; k < a_count; k++)
        if (a[k].count != b[k].count ||
            (a[k].kind != b[k].kind && strcmp(a[k].kind, b[k].kind) != 0))
            return false;
    return true;
}

size_t tw_standing_meets(const tw_pool *pool, const tw_kind_count *kinds, size_t kind_count)
{
    size_t count = 0;

    for (size_t k = 0; k < pool->count; k++)
        count +=
            tw_kinds_same(pool->records[k]->kinds, pool->records[k]->kind_count, kinds, kind_count);
    return count;
}

static int by_mass(const void *a, const void *b)
{
    const tw_original *left = *(const tw_original *const *)a;
    const tw_original *right = *(const tw_original *const *)b;

    if (left->g != right->g)
        return left->g < right->g ? -1 : 1;
    return left->line != right->line ? (left->line < right->line ? -1 : 1) : 0;
}

/* ---- figures of the records -------------------------------------------------------------------------- */

static int compare_doubles(const void *a, const void *b)
{
    const double left = *(const double *)a, right = *(const double *)b;

    return left < right ? -1 : left > right;
}

static tw_status measure(tw_standing *out, tw_error *err)
{
    double *values = malloc((out->count + 1) * sizeof *values);
    size_t areas = 0;

    if (!values)
        return tw_standing_memory(err);
    out->least = out->most = out->median = out->lower = out->upper = out->per_area_median = NAN;
    for (size_t k = 0; k < out->count; k++)
        values[k] = out->records[k]->g;
    if (out->count > 0) {
        out->least = values[0];
        out->most = values[out->count - 1];
    }
    if (out->count >= QUARTILES_FROM) {
        out->lower = tw_quantile(values, out->count, 0.25);
        out->median = tw_quantile(values, out->count, 0.5);
        out->upper = tw_quantile(values, out->count, 0.75);
    }
    for (size_t k = 0; k < out->count; k++) {
        const double per_area = tw_standing_per_area(out->records[k]->g, out->records[k]->height,
                                                     out->records[k]->width);
        if (!isnan(per_area))
            values[areas++] = per_area;
    }
    out->per_area_count = areas;
    qsort(values, areas, sizeof *values, compare_doubles);
    out->per_area_least = areas > 0 ? values[0] : (double)NAN;
    out->per_area_most = areas > 0 ? values[areas - 1] : (double)NAN;
    if (areas >= QUARTILES_FROM)
        out->per_area_median = tw_quantile(values, areas, 0.5);
    free(values);
    return TW_OK;
}

double tw_standing_per_area(double g, double height, double width)
{
    const double dm2 = height * width / 1e4;

    return dm2 > 0 ? g / dm2 : NAN;
}

/* ---- like beside like ---------------------------------------------------------------------------------- */

/* One of straps and lining: what the records say of it. */
typedef struct convention {
    const char *word;
    const tw_figure *ours;
    size_t in, out, not_said;
    bool held; /* most records have it out, and ours is in: it is taken off the own figure */
} convention;

static void ask(convention *of, const tw_standing *standing, bool lining)
{
    for (size_t k = 0; k < standing->count; k++) {
        const tw_said said = lining ? standing->records[k]->lining : standing->records[k]->straps;
        of->in += said == TW_SAID_IN;
        of->out += said == TW_SAID_OUT;
        of->not_said += said == TW_NOT_SAID;
    }
    of->held = of->ours->g > 0 && 2 * of->out > standing->count;
}

static tw_status say(const convention *of, tw_arena *arena, tw_standing *out, tw_error *err)
{
    tw_adjustment *next = &out->adjustments[out->adjustment_count];
    char text[160];

    if (of->ours->g > 0 && of->out > 0) {
        tw_format(text, sizeof text,
                  of->held ? "%s taken off, as in %zu of %zu records"
                           : "%s taken off beside the %zu of %zu records that have none in",
                  of->word, of->out, out->count);
        *next = (tw_adjustment){NULL, -of->ours->g, tw_figure_u(of->ours), of->out, of->held};
    } else if (!(of->ours->g > 0) && of->in > 0) {
        tw_format(text, sizeof text, "%s in, in %zu of %zu records, and none listed here", of->word,
                  of->in, out->count);
        *next = (tw_adjustment){NULL, 0, 0, of->in, false};
    } else {
        return TW_OK;
    }
    next->what = tw_arena_text(arena, text);
    if (!next->what)
        return tw_standing_memory(err);
    out->adjustment_count++;
    return TW_OK;
}

/* The own figure as each record is met: [straps off][lining off]. */
static tw_status without_each(const tw_mass *mass, tw_arena *arena, tw_figure out[2][2],
                              tw_error *err)
{
    for (int straps = 0; straps < 2; straps++)
        for (int lining = 0; lining < 2; lining++) {
            tw_status status;
            out[straps][lining] = tw_figure_zero();
            status = tw_figure_add(&out[straps][lining], arena, mass->figure, 1, err);
            if (status == TW_OK && straps && mass->straps->g > 0)
                status = tw_figure_add(&out[straps][lining], arena, mass->straps, -1, err);
            if (status == TW_OK && lining && mass->lining->g > 0)
                status = tw_figure_add(&out[straps][lining], arena, mass->lining, -1, err);
            if (status != TW_OK)
                return status;
        }
    return TW_OK;
}

static tw_status meet(const tw_mass *mass, tw_arena *arena, tw_standing *out, tw_error *err)
{
    convention straps = {.word = "straps", .ours = mass->straps};
    convention lining = {.word = "lining", .ours = mass->lining};
    tw_figure own[2][2];
    double expanded[2][2];
    tw_status status = without_each(mass, arena, own, err);

    ask(&straps, out, false);
    ask(&lining, out, true);
    out->straps_not_said = straps.not_said;
    out->lining_not_said = lining.not_said;
    if (status == TW_OK)
        status = say(&straps, arena, out, err);
    if (status == TW_OK)
        status = say(&lining, arena, out, err);
    if (status != TW_OK)
        return status;
    out->own = own[straps.held][lining.held];
    for (int k = 0; k < 4; k++)
        expanded[k / 2][k % 2] = tw_figure_expanded(&own[k / 2][k % 2]);
    for (size_t k = 0; k < out->count; k++) {
        const tw_original *record = out->records[k];
        const bool s = record->straps == TW_SAID_OUT, l = record->lining == TW_SAID_OUT;
        const double over = record->g - own[s][l].g;
        out->lighter += over < 0;
        out->heavier += over > 0;
        out->uncertain += fabs(over) <= expanded[s][l];
        out->clearly_lighter += over < 0 && fabs(over) > expanded[s][l];
        out->clearly_heavier += over > 0 && fabs(over) > expanded[s][l];
    }
    out->per_area = tw_standing_per_area(out->own.g, mass->height, mass->width);
    return TW_OK;
}

tw_status tw_standing_make(const tw_pool *pool, const char *what, const tw_kind_count *kinds,
                           size_t kind_count, const tw_mass *mass, tw_standing *out, tw_error *err)
{
    const size_t count = tw_standing_meets(pool, kinds, kind_count);
    tw_kind_count *copy = tw_arena_array(pool->arena, kind_count, sizeof *copy);
    tw_status status;

    *out = (tw_standing){.what = tw_arena_text(pool->arena, what),
                         .kinds = copy,
                         .kind_count = kind_count,
                         .own.g = NAN,
                         .per_area = NAN};
    out->records = tw_arena_array(pool->arena, count, sizeof *out->records);
    if (!out->what || !copy || !out->records)
        return tw_standing_memory(err);
    memcpy(copy, kinds, kind_count * sizeof *copy);
    for (size_t k = 0; k < pool->count; k++)
        if (tw_kinds_same(pool->records[k]->kinds, pool->records[k]->kind_count, kinds, kind_count))
            out->records[out->count++] = pool->records[k];
    qsort(out->records, out->count, sizeof *out->records, by_mass);
    status = measure(out, err);
    return status == TW_OK && mass ? meet(mass, pool->arena, out, err) : status;
}

/* ---- summary ---------------------------------------------------------------------------------------------- */

static int by_kinds(const void *a, const void *b)
{
    const tw_original *left = *(const tw_original *const *)a;
    const tw_original *right = *(const tw_original *const *)b;

    return tw_kinds_compare(left->kinds, left->kind_count, right->kinds, right->kind_count);
}

/* Most records first, by kinds among equals. */
static int by_count(const void *a, const void *b)
{
    const tw_standing *left = a, *right = b;

    if (left->count != right->count)
        return left->count > right->count ? -1 : 1;
    return tw_kinds_compare(left->kinds, left->kind_count, right->kinds, right->kind_count);
}

static void write_kinds(const tw_original *record, char *out, size_t size)
{
    size_t used = 0;

    out[0] = '\0';
    for (size_t k = 0; k < record->kind_count && used < size; k++) {
        used += (size_t)tw_format(out + used, size - used, k > 0 ? "; %s" : "%s",
                                  record->kinds[k].kind);
        if (record->kinds[k].count > 1 && used < size)
            used += (size_t)tw_format(out + used, size - used, " %zu", record->kinds[k].count);
    }
}

static tw_status summarise(const tw_originals *originals, const tw_filter *filter, tw_ranking *out,
                           tw_error *err)
{
    tw_pool pool, group;
    size_t groups = 0;
    tw_status status = tw_standing_pool(originals, filter, out->arena, &pool, err);

    if (status != TW_OK)
        return status;
    qsort(pool.records, pool.count, sizeof *pool.records, by_kinds);
    for (size_t k = 0; k < pool.count; k++)
        groups += k == 0 || by_kinds(&pool.records[k - 1], &pool.records[k]) != 0;
    out->rows = tw_arena_array(out->arena, groups, sizeof *out->rows);
    if (!out->rows)
        return tw_standing_memory(err);
    for (size_t begin = 0, end; begin < pool.count && status == TW_OK; begin = end) {
        char words[512];
        for (end = begin + 1;
             end < pool.count && by_kinds(&pool.records[begin], &pool.records[end]) == 0;)
            end++;
        group = (tw_pool){end - begin, pool.records + begin, out->arena};
        write_kinds(pool.records[begin], words, sizeof words);
        status =
            tw_standing_make(&group, words, pool.records[begin]->kinds,
                             pool.records[begin]->kind_count, NULL, &out->rows[out->count++], err);
    }
    qsort(out->rows, out->count, sizeof *out->rows, by_count);
    return status;
}

tw_status tw_originals_summary(const tw_originals *originals, const tw_filter *filter,
                               tw_ranking *out, tw_error *err)
{
    tw_ranking made = {.arena = tw_arena_new()};
    const tw_status status =
        made.arena ? summarise(originals, filter, &made, err) : tw_standing_memory(err);

    if (status == TW_OK)
        *out = made;
    else
        tw_arena_free(made.arena);
    return status;
}

void tw_ranking_release(tw_ranking *ranking)
{
    if (ranking)
        tw_arena_free(ranking->arena);
}
