/*
 * total.c: the parts that are in, added up. What counts for a part: its own weighing; else its share of
 * what a weighing together with others leaves when those' own weighings are taken out; else its model.
 *
 * A weighing of several parts, W grams, is used whole or not at all: when all that have no weighing of
 * their own are in, and there are such. What is left of it after the own weighings, R, is shared:
 *   - one part left: it has R;
 *   - models of all that are left: R·mₖ/M, so that shares add up to R; what makes the models unsure
 *     moves grams from one share to another and leaves R as it is:
 *       ∂(R·mₖ/M) = (mₖ/M)·∂R + (R/M)·(∂mₖ − (mₖ/M)·∂M),   the second terms adding to nothing;
 *   - models of some: those have their models, and what is left of R is split evenly.
 * (All derived here.) The sum takes W itself. An even share, also of a pair by one model, is no
 * measurement of the part: only the sum's ± is known, and total.even says so.
 */
#include "total_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory to add parts up");
}

/* ---- weighed together ------------------------------------------------------------------------ */

static void fill_group(const tw_counting *w, tw_group *g)
{
    const tw_harness *harness = w->harness;

    g->rest_modelled = true;
    for (size_t n = 0; n < harness->part_count; n++) {
        const tw_part *part = &harness->parts[n];
        if (!g->member[n])
            continue;
        /* a profile's scale: weight of the bare plate gives way to the harness file's */
        g->own[n] = part->has_weighing && part->weighing.scale;
        g->count++;
        g->in_count += w->total.in[n];
        g->own_count += g->own[n];
        if (g->own[n])
            continue;
        g->rest_count++;
        g->rest_in += w->total.in[n];
        g->rest_modelled = g->rest_modelled && tw_figure_is(&part->modelled);
    }
}

static tw_status find_groups(tw_counting *w, tw_error *err)
{
    const tw_harness *harness = w->harness;

    w->groups = tw_arena_array(w->total.arena, harness->together_count, sizeof *w->groups);
    if (!w->groups)
        return no_memory(err);
    for (size_t k = 0; k < harness->together_count; k++) {
        const tw_weighing_spec *spec = harness->together[k].spec;
        tw_group g = {.weighing = &harness->together[k]};
        size_t at = w->group_count++;
        g.member = tw_arena_array(w->total.arena, harness->part_count, sizeof *g.member);
        g.own = tw_arena_array(w->total.arena, harness->part_count, sizeof *g.own);
        if (!g.member || !g.own)
            return no_memory(err);
        for (size_t n = 0; n < spec->part_count; n++)
            (void)tw_harness_named(harness, spec->parts[n], g.member);
        fill_group(w, &g);
        for (; at > 0 && w->groups[at - 1].count < g.count; at--)
            w->groups[at] = w->groups[at - 1];
        w->groups[at] = g;
    }
    return TW_OK;
}

static bool is_free(const tw_counting *w, const tw_group *g)
{
    for (size_t n = 0; n < w->harness->part_count; n++)
        if (tw_group_rest(g, n) && w->total.counted[n] == TW_COUNTED_TOGETHER)
            return false;
    return true;
}

/* What a group's weighing leaves when weighings of its own parts are taken out, and the models of the
 * others: of all, or of those that have one. */
typedef struct rest {
    tw_figure left, models;
    size_t unmodelled;
} rest;

static tw_status find_rest(const tw_counting *w, const tw_group *g, rest *r, tw_error *err)
{
    tw_arena *arena = w->total.arena;
    tw_status status;

    *r = (rest){0};
    status = tw_figure_add(&r->left, arena, &g->weighing->net, 1, err);
    for (size_t k = 0; status == TW_OK && k < w->harness->part_count; k++) {
        const tw_part *part = &w->harness->parts[k];
        if (g->member[k] && g->own[k])
            status = tw_figure_add(&r->left, arena, &part->weighing.net, -1, err);
        else if (g->member[k] && tw_figure_is(&part->modelled))
            status = tw_figure_add(&r->models, arena, &part->modelled, 1, err);
        else
            r->unmodelled += g->member[k];
    }
    return status;
}

/* Share of part k by the models of all that are left; the last one has what is left in grams. */
static tw_status share_by_models(tw_counting *w, const rest *r, size_t k, double share,
                                 tw_error *err)
{
    tw_arena *arena = w->total.arena;
    tw_figure *figure = &w->total.figure[k];
    const double scale = r->left.g / r->models.g;
    tw_status status = tw_figure_add(figure, arena, &r->left, share, err);

    if (status == TW_OK)
        status = tw_figure_add(figure, arena, &w->harness->parts[k].modelled, scale, err);
    if (status == TW_OK)
        status = tw_figure_add(figure, arena, &r->models, -scale * share, err);
    figure->g = share * r->left.g;
    return status;
}

/* Twins by one model: how they part is not known. */
static bool has_twin(const tw_counting *w, const tw_group *g, size_t k)
{
    const tw_part *parts = w->harness->parts;
    const size_t twin = parts[k].side > 0 ? k + 1 : k - 1;

    return parts[k].side != 0 && twin < w->harness->part_count &&
           parts[twin].spec == parts[k].spec && tw_group_rest(g, twin);
}

/* Shares when some have no model, or one is left: models as they are, evenly what is left. */
static tw_status share_evenly(tw_counting *w, const rest *r, size_t k, tw_error *err)
{
    tw_arena *arena = w->total.arena;
    tw_figure *figure = &w->total.figure[k];
    const tw_figure *model = &w->harness->parts[k].modelled;
    const double part = 1 / (double)r->unmodelled;
    tw_status status;

    if (tw_figure_is(model))
        return tw_figure_add(figure, arena, model, 1, err);
    status = tw_figure_add(figure, arena, &r->left, part, err);
    if (status == TW_OK)
        status = tw_figure_add(figure, arena, &r->models, -part, err);
    w->total.even[k] = r->unmodelled > 1;
    return status;
}

static tw_status share_rest(tw_counting *w, const tw_group *g, rest *r, tw_error *err)
{
    const bool by_models = g->rest_modelled && g->rest_count > 1;
    size_t todo = g->rest_count;
    double left = 1;
    tw_status status = TW_OK;

    if (g->rest_count == 1 || (!by_models && r->models.g >= r->left.g)) {
        r->models = tw_figure_zero(); /* of no use here */
        r->unmodelled = g->rest_count;
    }
    for (size_t k = 0; status == TW_OK && k < w->harness->part_count; k++) {
        const tw_figure *model = &w->harness->parts[k].modelled;
        if (!tw_group_rest(g, k))
            continue;
        w->total.figure[k] = tw_figure_zero();
        w->total.counted[k] = TW_COUNTED_TOGETHER;
        if (by_models) {
            const double share = --todo == 0 ? left : model->g / r->models.g;
            left -= share;
            status = share_by_models(w, r, k, share, err);
            w->total.even[k] = has_twin(w, g, k);
        } else if (r->unmodelled == g->rest_count) {
            const double share = 1 / (double)g->rest_count;
            status = tw_figure_add(&w->total.figure[k], w->total.arena, &r->left, share, err);
            w->total.even[k] = g->rest_count > 1;
        } else {
            status = share_evenly(w, r, k, err);
        }
    }
    return status;
}

/* A group's grams into the sum: whole, where none of it is counted yet. */
static tw_status sum_group(tw_counting *w, const tw_group *g, const tw_figure *left, tw_error *err)
{
    tw_total *total = &w->total;
    bool whole = g->in_count == g->count;

    for (size_t k = 0; k < w->harness->part_count; k++)
        whole = whole && !(g->member[k] && g->own[k] && total->counted[k] != TW_COUNTED_MISSING);
    for (size_t k = 0; whole && k < w->harness->part_count; k++)
        if (g->member[k] && g->own[k]) {
            total->counted[k] = TW_COUNTED_WEIGHED;
            total->figure[k] = w->harness->parts[k].weighing.net;
        }
    return tw_figure_add(&total->sum, total->arena, whole ? &g->weighing->net : left, 1, err);
}

/* Models and scale of the same parts, side by side. */
static tw_status count_both(tw_total *total, size_t count, const tw_figure *modelled,
                            const tw_figure *weighed, tw_error *err)
{
    tw_status status = tw_figure_add(&total->modelled, total->arena, modelled, 1, err);

    total->both_count += count;
    if (status == TW_OK)
        status = tw_figure_add(&total->weighed, total->arena, weighed, 1, err);
    return status;
}

static tw_status use_group(tw_counting *w, tw_group *g, tw_error *err)
{
    rest r;
    tw_status status = find_rest(w, g, &r, err);

    if (status != TW_OK)
        return status;
    g->negative = !(r.left.g > 0);
    if (g->negative)
        return TW_OK;
    g->used = true;
    if (g->rest_modelled)
        status = count_both(&w->total, g->rest_count, &r.models, &r.left, err);
    if (status == TW_OK)
        status = share_rest(w, g, &r, err);
    return status == TW_OK ? sum_group(w, g, &r.left, err) : status;
}

static tw_status use_groups(tw_counting *w, tw_error *err)
{
    tw_status status = TW_OK;

    for (size_t k = 0; status == TW_OK && k < w->group_count; k++) {
        tw_group *g = &w->groups[k];
        if (g->rest_count == 0 || g->rest_in < g->rest_count)
            continue;
        g->clashes = !is_free(w, g);
        if (!g->clashes)
            status = use_group(w, g, err);
    }
    return status;
}

/* ---- alone -------------------------------------------------------------------------------------- */

/* What a part counts by itself; already there and in the sum where a weighing together has it. */
static tw_status use_alone(tw_counting *w, size_t k, tw_error *err)
{
    const tw_part *part = &w->harness->parts[k];
    const bool weighed = part->has_weighing;
    tw_total *total = &w->total;
    const tw_figure *own = weighed ? &part->weighing.net : &part->modelled;
    tw_status status = TW_OK;

    if (!tw_figure_is(own)) {
        total->missing_count++;
        return TW_OK;
    }
    if (total->counted[k] == TW_COUNTED_MISSING)
        status = tw_figure_add(&total->sum, total->arena, own, 1, err);
    total->counted[k] = weighed ? TW_COUNTED_WEIGHED : TW_COUNTED_MODELLED;
    total->figure[k] = *own;
    if (status == TW_OK && weighed && tw_figure_is(&part->modelled))
        status = count_both(total, 1, &part->modelled, own, err);
    return status;
}

static tw_status count_parts(tw_counting *w, tw_error *err)
{
    tw_total *total = &w->total;
    tw_status status = use_groups(w, err);

    for (size_t k = 0; status == TW_OK && k < w->harness->part_count; k++) {
        const tw_part *part = &w->harness->parts[k];
        if (!total->in[k])
            continue;
        total->in_count++;
        if (total->counted[k] != TW_COUNTED_TOGETHER)
            status = use_alone(w, k, err);
        if (total->counted[k] == TW_COUNTED_MISSING)
            continue;
        if (status == TW_OK)
            status = tw_figure_add(&total->straps, total->arena, &part->straps, 1, err);
        if (status == TW_OK)
            status = tw_figure_add(&total->lining, total->arena, &part->lining, 1, err);
        if (status == TW_OK)
            status = tw_figure_add(&total->metal, total->arena, &part->metal, 1, err);
    }
    return status;
}

/* ---- the total --------------------------------------------------------------------------------------- */

static tw_status begin(tw_counting *w, tw_error *err)
{
    const size_t count = w->harness->part_count;
    tw_total *total = &w->total;

    total->harness = w->harness;
    total->in = tw_arena_array(total->arena, count, sizeof *total->in);
    total->counted = tw_arena_array(total->arena, count, sizeof *total->counted);
    total->figure = tw_arena_array(total->arena, count, sizeof *total->figure);
    total->even = tw_arena_array(total->arena, count, sizeof *total->even);
    total->how = tw_arena_array(total->arena, count, sizeof *total->how);
    if (!total->in || !total->counted || !total->figure || !total->even || !total->how)
        return no_memory(err);
    for (size_t k = 0; k < count; k++) {
        total->counted[k] = TW_COUNTED_MISSING;
        total->figure[k] = (tw_figure){.g = NAN};
    }
    return TW_OK;
}

tw_status tw_harness_total(const tw_harness *harness, const tw_choice *choice, tw_total *out,
                           tw_error *err)
{
    tw_counting w = {.harness = harness};
    tw_status status;

    assert(harness && out);
    w.total.arena = tw_arena_new();
    if (!w.total.arena)
        return no_memory(err);
    status = begin(&w, err);
    if (status == TW_OK)
        status = tw_harness_choose(harness, choice, w.total.arena, w.total.in, err);
    if (status == TW_OK)
        status = find_groups(&w, err);
    if (status == TW_OK)
        status = count_parts(&w, err);
    if (status == TW_OK)
        status = tw_total_say(&w, choice, err);
    if (status == TW_OK) {
        tw_total_balance(&w.total);
        *out = w.total;
        w.total.arena = NULL;
    }
    tw_arena_free(w.total.arena);
    return status;
}

void tw_total_release(tw_total *total)
{
    if (!total)
        return;
    tw_arena_free(total->arena);
    memset(total, 0, sizeof *total);
}
