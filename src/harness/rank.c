/*
 * rank.c: a harness beside originals, like beside like: as a whole where a record covers the same
 * kinds, as often; and part by part. Where no record covers the whole, each part (a pair as one) is
 * left out in turn, and the one without which most records would be met is named: it stops the whole.
 */
#include "standing.h"

#include <math.h>
#include <string.h>

enum { NAME_SIZE = 160 };

/* A part of its own, or both of a pair that are in. */
typedef struct unit {
    size_t first, second; /* second SIZE_MAX: single */
} unit;

typedef struct ranker {
    const tw_total *total;
    tw_pool pool;
    tw_ranking *out;
    size_t unit_count;
    unit *units;
    tw_kind_count *kinds; /* room for all parts */
    tw_error *err;
} ranker;

static const tw_part *part_of(const ranker *in, size_t index)
{
    return &in->total->harness->parts[index];
}

static bool is_pair(const unit *of)
{
    return of->second != SIZE_MAX;
}

static const char *unit_name(const ranker *in, const unit *of)
{
    const tw_part *part = part_of(in, of->first);

    return is_pair(of) && part->spec->name ? part->spec->name : part->name;
}

/* Parts that are in, pairs joined. */
static void find_units(ranker *in)
{
    const size_t count = in->total->harness->part_count;

    for (size_t k = 0; k < count; k++) {
        const tw_part *part = part_of(in, k);
        unit found = {k, SIZE_MAX};
        if (!in->total->in[k])
            continue;
        if (in->unit_count > 0 && part->side != 0 && part->spec) {
            unit *last = &in->units[in->unit_count - 1];
            if (!is_pair(last) && part_of(in, last->first)->spec == part->spec &&
                part_of(in, last->first)->side == -part->side) {
                last->second = k;
                continue;
            }
        }
        in->units[in->unit_count++] = found;
    }
}

/* Kinds of all parts in but one unit (SIZE_MAX: of all), sorted, into in->kinds. */
static size_t kinds_without(const ranker *in, size_t out)
{
    size_t used = 0;

    for (size_t u = 0; u < in->unit_count; u++)
        if (u != out)
            in->kinds[used++] = (tw_kind_count){part_of(in, in->units[u].first)->kind,
                                                is_pair(&in->units[u]) ? 2 : 1};
    return tw_kinds_sort(in->kinds, used);
}

static size_t missing_in(const ranker *in, const unit *of)
{
    size_t missing = tw_figure_is(&in->total->figure[of->first]) ? 0 : 1;

    if (is_pair(of) && !tw_figure_is(&in->total->figure[of->second]))
        missing++;
    return missing;
}

/* A whole without a part's figure is no whole: only leaving that part out can cure it. */
static void find_stopper(ranker *in)
{
    for (size_t u = 0; u < in->unit_count && in->unit_count > 1; u++) {
        const size_t kind_count = kinds_without(in, u);
        size_t meets;
        if (missing_in(in, &in->units[u]) < in->total->missing_count)
            continue;
        meets = tw_standing_meets(&in->pool, in->kinds, kind_count);
        if (meets > in->out->stopper_records) {
            in->out->stopper_records = meets;
            in->out->stopper = unit_name(in, &in->units[u]);
        }
    }
}

static tw_status add_row(ranker *in, const char *what, size_t kind_count, const tw_mass *mass)
{
    tw_standing *row = &in->out->rows[in->out->count];
    const tw_status status =
        tw_standing_make(&in->pool, what, in->kinds, kind_count, mass, row, in->err);

    if (status == TW_OK && row->count > 0)
        in->out->count++;
    return status;
}

static tw_status add_whole(ranker *in)
{
    const tw_total *total = in->total;
    const tw_mass mass = {&total->sum, &total->straps, &total->lining, NAN, NAN};
    const size_t kind_count = kinds_without(in, SIZE_MAX);
    const tw_part *only =
        in->unit_count == 1 && !is_pair(&in->units[0]) ? part_of(in, in->units[0].first) : NULL;
    tw_mass sized = mass;
    tw_status status = TW_OK;

    if (only) {
        sized.height = only->height;
        sized.width = only->width;
    }
    if (total->missing_count == 0)
        status = add_row(in, "the whole", kind_count, &sized);
    in->out->whole = in->out->count > 0;
    if (!in->out->whole)
        find_stopper(in);
    return status;
}

/* Of parts weighed together each one's grams are a share, which no scale has seen. */
static tw_status add_single(ranker *in, size_t index, const char *what)
{
    const tw_part *part = part_of(in, index);
    const tw_mass mass = {&in->total->figure[index], &part->straps, &part->lining, part->height,
                          part->width};
    char share[NAME_SIZE];

    if (!tw_figure_is(mass.figure))
        return TW_OK;
    if (in->total->even && in->total->even[index] && part->side != 0)
        return TW_OK; /* half of a pair: the pair is what was weighed, and has its row */
    if (in->total->counted[index] == TW_COUNTED_TOGETHER) {
        tw_format(share, sizeof share, "%s, its share of a weighing together%s", what,
                  in->total->even && in->total->even[index] ? ", a guess" : "");
        what = share;
    }
    in->kinds[0] = (tw_kind_count){part->kind, 1};
    return add_row(in, what, 1, &mass);
}

/* Both of a pair beside records that were weighed as pairs. */
static tw_status add_pair(ranker *in, const unit *of, const char *what)
{
    tw_figure sums[3];
    const size_t both[] = {of->first, of->second};
    const tw_mass mass = {&sums[0], &sums[1], &sums[2], NAN, NAN};

    for (int k = 0; k < 3; k++)
        sums[k] = tw_figure_zero();
    for (int k = 0; k < 2; k++) {
        const tw_part *part = part_of(in, both[k]);
        const tw_figure *terms[] = {&in->total->figure[both[k]], &part->straps, &part->lining};
        for (int n = 0; n < 3; n++) {
            const tw_status status = tw_figure_add(&sums[n], in->pool.arena, terms[n], 1, in->err);
            if (status != TW_OK)
                return status;
        }
    }
    if (!tw_figure_is(&sums[0]))
        return TW_OK;
    in->kinds[0] = (tw_kind_count){part_of(in, of->first)->kind, 2};
    return add_row(in, what, 1, &mass);
}

static tw_status add_unit(ranker *in, const unit *of)
{
    const size_t before = in->out->count;
    const tw_figure *first = &in->total->figure[of->first];
    char what[NAME_SIZE];
    tw_status status;

    if (!is_pair(of)) {
        status = add_single(in, of->first, part_of(in, of->first)->name);
    } else {
        const tw_figure *second = &in->total->figure[of->second];
        if (first->g == second->g) {
            tw_format(what, sizeof what, "%s, one of the pair", unit_name(in, of));
            status = add_single(in, of->first, what);
        } else {
            status = add_single(in, of->first, part_of(in, of->first)->name);
            if (status == TW_OK)
                status = add_single(in, of->second, part_of(in, of->second)->name);
        }
        tw_format(what, sizeof what, "%s, the pair", unit_name(in, of));
        if (status == TW_OK && !(in->out->whole && in->unit_count == 1))
            status = add_pair(in, of, what);
    }
    if (in->out->count == before && !(in->out->whole && in->unit_count == 1) &&
        missing_in(in, of) == 0)
        in->out->alone[in->out->alone_count++] = unit_name(in, of);
    return status;
}

static tw_status rank(ranker *in)
{
    const size_t parts = in->total->harness->part_count;
    tw_arena *arena = in->out->arena;
    tw_status status;

    in->units = tw_arena_array(arena, parts, sizeof *in->units);
    in->kinds = tw_arena_array(arena, parts, sizeof *in->kinds);
    in->out->rows = tw_arena_array(arena, 2 * parts + 1, sizeof *in->out->rows);
    in->out->alone = tw_arena_array(arena, parts, sizeof *in->out->alone);
    if (!in->units || !in->kinds || !in->out->rows || !in->out->alone)
        return tw_standing_memory(in->err);
    find_units(in);
    status = add_whole(in);
    if (in->out->whole && in->unit_count == 1 && !is_pair(&in->units[0]))
        return status; /* the whole is the part */
    for (size_t u = 0; u < in->unit_count && status == TW_OK; u++)
        status = add_unit(in, &in->units[u]);
    return status;
}

tw_status tw_rank(const tw_total *total, const tw_originals *originals, const tw_filter *filter,
                  tw_ranking *out, tw_error *err)
{
    tw_ranking made = {.harness = total->harness->file ? total->harness->file->harness : NULL,
                       .arena = tw_arena_new()};
    ranker in = {.total = total, .out = &made, .err = err};
    tw_status status = TW_ERR_MEMORY;

    if (!made.arena)
        return tw_standing_memory(err);
    status = tw_standing_pool(originals, filter, made.arena, &in.pool, err);
    if (status == TW_OK)
        status = rank(&in);
    if (status == TW_OK)
        *out = made;
    else
        tw_arena_free(made.arena);
    return status;
}
