/* rows.c: the rows of the picture of parts. A pair that is in with both figures is one row of both. */
#include "draw_internal.h"

#include <math.h>
#include <string.h>

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of parts");
}

/* Part k and the next one are the two of a pair. */
static bool starts_pair(const tw_harness *harness, size_t k)
{
    const tw_part *parts = harness->parts;

    return k + 1 < harness->part_count && parts[k].side > 0 && parts[k + 1].side < 0 &&
           parts[k].spec && parts[k].spec == parts[k + 1].spec;
}

static bool counts(const tw_total *total, size_t k)
{
    return total->in[k] && total->counted[k] != TW_COUNTED_MISSING &&
           tw_figure_is(&total->figure[k]);
}

/* "tasset (pair)", or one part's own name. */
static const char *row_name(const tw_part *part, bool pair, tw_arena *arena)
{
    static const char *const of_pair[] = {" (pair)"};

    return pair ? tw_names_join(arena, part->spec->name, of_pair, 1, "") : part->name;
}

static const tw_source_row *find_source(const tw_sources *sources, size_t part, size_t count)
{
    for (size_t k = 0; sources && k < sources->count; k++)
        if (sources->rows[k].part >= part && sources->rows[k].part < part + count &&
            isfinite(sources->rows[k].difference_g))
            return &sources->rows[k];
    return NULL;
}

static void row_words(tw_part_row *row, const tw_counted *counted)
{
    static const tw_fill fills[] = {
        [TW_COUNTED_MISSING] = TW_FILL_MODELLED,
        [TW_COUNTED_MODELLED] = TW_FILL_MODELLED,
        [TW_COUNTED_WEIGHED] = TW_FILL_WEIGHED,
        [TW_COUNTED_TOGETHER] = TW_FILL_TOGETHER,
    };

    row->how = tw_counted_word(counted[0]);
    row->fill = fills[counted[0]];
    if (row->count > 1 && counted[0] != counted[1]) {
        row->how = "one weighed, one modelled";
        row->fill = TW_FILL_TOGETHER;
    }
}

static tw_status fill_row(const tw_total *total, size_t part, size_t count, tw_arena *arena,
                          tw_part_row *row, tw_error *err)
{
    const tw_harness *harness = total->harness;
    bool all_modelled = true, only_modelled = true;
    tw_status status = TW_OK;

    row->part = part;
    row->count = count;
    row->name = row_name(&harness->parts[part], count > 1, arena);
    if (!row->name)
        return no_memory(err);
    row_words(row, &total->counted[part]);
    for (size_t k = part; status == TW_OK && k < part + count; k++) {
        status = tw_figure_add(&row->counted, arena, &total->figure[k], 1, err);
        all_modelled = all_modelled && tw_figure_is(&harness->parts[k].modelled);
        only_modelled = only_modelled && total->counted[k] == TW_COUNTED_MODELLED;
    }
    row->both = all_modelled && !only_modelled;
    for (size_t k = part; status == TW_OK && row->both && k < part + count; k++)
        status = tw_figure_add(&row->modelled, arena, &harness->parts[k].modelled, 1, err);
    return status;
}

/* Names of parts that are in without a figure, or out; a pair alike in this is named once. */
static tw_status list_names(const tw_total *total, bool in, const char *lead, tw_arena *arena,
                            const char **out, tw_error *err)
{
    const tw_harness *harness = total->harness;
    const char **names = tw_arena_array(arena, harness->part_count, sizeof *names);
    size_t count = 0;

    if (!names)
        return no_memory(err);
    for (size_t k = 0; k < harness->part_count; k++) {
        const bool pair =
            starts_pair(harness, k) && total->in[k + 1] == in && !(in && counts(total, k + 1));
        if (total->in[k] != in || (in && counts(total, k)))
            continue;
        names[count] = row_name(&harness->parts[k], pair, arena);
        if (!names[count++])
            return no_memory(err);
        k += pair;
    }
    *out = count > 0 ? tw_names_join(arena, lead, names, count, ", ") : NULL;
    return count == 0 || *out ? TW_OK : no_memory(err);
}

tw_status tw_part_rows_collect(const tw_total *total, const tw_sources *sources, tw_arena *arena,
                               tw_part_rows *out, tw_error *err)
{
    const size_t parts = total->harness->part_count;
    tw_part_rows list = {.rows = tw_arena_array(arena, parts, sizeof *list.rows)};
    tw_status status = list.rows ? TW_OK : no_memory(err);

    for (size_t k = 0; status == TW_OK && k < parts;) {
        const size_t count =
            starts_pair(total->harness, k) && counts(total, k) && counts(total, k + 1) ? 2 : 1;
        if (counts(total, k)) {
            tw_part_row *row = &list.rows[list.count++];
            status = fill_row(total, k, count, arena, row, err);
            row->source = find_source(sources, k, count);
            list.source_count += row->source != NULL;
        }
        k += count;
    }
    if (status == TW_OK)
        status = list_names(total, true, "no figure: ", arena, &list.missing, err);
    if (status == TW_OK)
        status = list_names(total, false, "left out: ", arena, &list.left_out, err);
    if (status == TW_OK)
        *out = list;
    return status;
}
