/* sources.c: which parts a replica's grams come from: forged against sheet, part by part. */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* Largest difference first; equal ones keep the order of the file. */
static void sort_rows(tw_source_row *rows, size_t count)
{
    for (size_t k = 1; k < count; k++) {
        const tw_source_row row = rows[k];
        size_t at = k;
        for (; at > 0 && fabs(rows[at - 1].difference_g) < fabs(row.difference_g); at--)
            rows[at] = rows[at - 1];
        rows[at] = row;
    }
}

static void add_part(tw_source_row *row, const tw_part *part)
{
    row->forged_g += part->forged_g;
    row->sheet_g += part->sheet_g;
    row->difference_g += part->sheet_g - part->forged_g;
    row->overlap_difference_g += part->overlap_sheet_g - part->overlap_forged_g;
}

static void fill(const tw_total *total, tw_sources *s)
{
    const tw_harness *harness = total->harness;
    size_t last = harness->part_count; /* left part of the newest row, if it was a pair's */
    tw_sum forged = {0, 0}, sheet = {0, 0}, difference = {0, 0}, overlap = {0, 0};

    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        if (!total->in[k])
            continue;
        if (isnan(part->sheet_g) || isnan(part->forged_g)) {
            s->left_out++;
            continue;
        }
        if (part->side < 0 && last < harness->part_count &&
            harness->parts[last].spec == part->spec) {
            s->rows[s->count - 1].name = part->spec->name;
        } else {
            s->rows[s->count++] = (tw_source_row){.name = part->name, .part = k};
            last = k;
        }
        add_part(&s->rows[s->count - 1], part);
    }
    for (size_t k = 0; k < s->count; k++) {
        tw_sum_add(&forged, s->rows[k].forged_g);
        tw_sum_add(&sheet, s->rows[k].sheet_g);
        tw_sum_add(&difference, s->rows[k].difference_g);
        tw_sum_add(&overlap, s->rows[k].overlap_difference_g);
    }
    s->forged_g = tw_sum_value(&forged);
    s->sheet_g = tw_sum_value(&sheet);
    s->difference_g = tw_sum_value(&difference);
    s->overlap_difference_g = tw_sum_value(&overlap);
    for (size_t k = 0; k < s->count; k++)
        s->rows[k].share = s->difference_g != 0 ? s->rows[k].difference_g / s->difference_g : 0;
    sort_rows(s->rows, s->count);
}

tw_status tw_total_sources(const tw_total *total, tw_sources *out, tw_error *err)
{
    tw_sources s = {0};

    assert(total && out);
    s.arena = tw_arena_new();
    s.rows = s.arena ? tw_arena_array(s.arena, total->harness->part_count, sizeof *s.rows) : NULL;
    if (!s.rows) {
        tw_arena_free(s.arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the sources of grams");
    }
    fill(total, &s);
    *out = s;
    return TW_OK;
}

void tw_sources_release(tw_sources *sources)
{
    if (!sources)
        return;
    tw_arena_free(sources->arena);
    memset(sources, 0, sizeof *sources);
}
