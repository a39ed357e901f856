/*
 * rows.c: the rows of the picture of parts. A pair that is in with both figures, or with neither, is one
 * row of both. Of parts weighed together without models only the sum is known: an even share has no ±,
 * and a pair weighed as one shows its weighing.
 */
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

/* Of an even share nobody knows how far off it is: it comes without a ±. */
static bool is_even_share(const tw_total *total, size_t k)
{
    return total->counted[k] == TW_COUNTED_TOGETHER && !(tw_figure_expanded(&total->figure[k]) > 0);
}

static const char *how_word(const tw_total *total, size_t k)
{
    return is_even_share(total, k) ? "even share" : tw_counted_word(total->counted[k]);
}

static tw_status row_words(tw_part_row *row, const tw_total *total, tw_arena *arena, tw_error *err)
{
    static const tw_fill fills[] = {
        [TW_COUNTED_MISSING] = TW_FILL_MODELLED,
        [TW_COUNTED_MODELLED] = TW_FILL_MODELLED,
        [TW_COUNTED_WEIGHED] = TW_FILL_WEIGHED,
        [TW_COUNTED_TOGETHER] = TW_FILL_TOGETHER,
    };
    const char *second;

    row->fill = fills[total->counted[row->part]];
    row->how = row->known ? how_word(total, row->part) : "not known";
    if (!row->known || row->count == 1)
        return TW_OK;
    second = how_word(total, row->part + 1);
    if (strcmp(row->how, second) == 0)
        return TW_OK;
    row->fill = TW_FILL_TOGETHER;
    row->how = tw_names_join(arena, "one ", (const char *[]){row->how, second}, 2, ", one ");
    return row->how ? TW_OK : no_memory(err);
}

/* The weighing of both of a pair and of nothing else; NULL when there is none. */
static const tw_weighing *pair_weighing(const tw_harness *harness, size_t left)
{
    const tw_part *parts = &harness->parts[left];

    for (size_t k = 0; k < harness->together_count; k++) {
        const tw_weighing_spec *spec = harness->together[k].spec;
        if (spec->part_count == 1 && strcmp(spec->parts[0], parts[0].spec->name) == 0)
            return &harness->together[k];
        if (spec->part_count == 2 && ((strcmp(spec->parts[0], parts[0].name) == 0 &&
                                       strcmp(spec->parts[1], parts[1].name) == 0) ||
                                      (strcmp(spec->parts[1], parts[0].name) == 0 &&
                                       strcmp(spec->parts[0], parts[1].name) == 0)))
            return &harness->together[k];
    }
    return NULL;
}

/* What two even shares are halves of, when the scale had just the two on it. */
static tw_status join_halves(tw_part_row *row, const tw_total *total, tw_arena *arena,
                             tw_error *err)
{
    const tw_weighing *both;

    if (row->count != 2 || !is_even_share(total, row->part) || !is_even_share(total, row->part + 1))
        return TW_OK;
    both = pair_weighing(total->harness, row->part);
    if (!both || fabs(both->net.g - row->counted.g) > 1e-6 * fabs(both->net.g))
        return TW_OK;
    row->about = false;
    row->how = tw_counted_word(TW_COUNTED_TOGETHER);
    row->counted = tw_figure_zero();
    return tw_figure_add(&row->counted, arena, &both->net, 1, err);
}

static tw_status fill_row(const tw_total *total, size_t part, size_t count, tw_arena *arena,
                          tw_part_row *row, tw_error *err)
{
    const tw_harness *harness = total->harness;
    bool all_modelled = true, only_modelled = true;
    tw_status status = TW_OK;

    row->part = part;
    row->count = count;
    row->known = counts(total, part);
    row->name = row_name(&harness->parts[part], count > 1, arena);
    if (!row->name)
        return no_memory(err);
    status = row_words(row, total, arena, err);
    if (status != TW_OK || !row->known)
        return status;
    for (size_t k = part; status == TW_OK && k < part + count; k++) {
        status = tw_figure_add(&row->counted, arena, &total->figure[k], 1, err);
        row->about = row->about || is_even_share(total, k);
        all_modelled = all_modelled && tw_figure_is(&harness->parts[k].modelled);
        only_modelled = only_modelled && total->counted[k] == TW_COUNTED_MODELLED;
    }
    if (status == TW_OK)
        status = join_halves(row, total, arena, err);
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
        const bool pair = starts_pair(total->harness, k) && total->in[k] && total->in[k + 1] &&
                          counts(total, k) == counts(total, k + 1);
        if (total->in[k]) {
            tw_part_row *row = &list.rows[list.count++];
            status = fill_row(total, k, pair ? 2 : 1, arena, row, err);
            row->source = find_source(sources, k, row->count);
            list.source_count += row->source != NULL;
            list.known_count += row->known;
        }
        k += pair ? 2 : 1;
    }
    if (status == TW_OK)
        status = list_names(total, true, "without ", arena, &list.missing, err);
    if (status == TW_OK)
        status = list_names(total, false, "left out: ", arena, &list.left_out, err);
    if (status == TW_OK)
        *out = list;
    return status;
}
