/*
 * total.c: the parts that are in, added up. What counts for a part: its share of a weighing together
 * with others, its own weighing, its model, in this order, as far as there are.
 *
 * A weighing of several parts is used whole or not at all: when all of them are in, and not each has a
 * weighing of its own. Shares follow the models, mₖ/M of W grams, so that they add up to the weighing;
 * what makes the models unsure moves grams from one share to another and leaves W as it is:
 *   ∂(W·mₖ/M) = (mₖ/M)·∂W + (W/M)·(∂mₖ − (mₖ/M)·∂M),   the second terms adding to nothing
 * (derived here). The sum takes W itself.
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* One weighing of several parts, as far as this total goes. */
typedef struct group {
    const tw_weighing *weighing;
    bool *member; /* part_count */
    size_t count, in_count;
    bool all_weighed, all_modelled;
    bool used;
} group;
typedef struct work {
    const tw_harness *harness;
    tw_total total;
    size_t group_count;
    group *groups; /* most parts first, then by order of the file */
} work;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory to add parts up");
}

/* ---- weighed together ------------------------------------------------------------------------ */

static tw_status find_groups(work *w, tw_error *err)
{
    const tw_harness *harness = w->harness;

    w->groups = tw_arena_array(w->total.arena, harness->together_count, sizeof *w->groups);
    if (!w->groups)
        return no_memory(err);
    for (size_t k = 0; k < harness->together_count; k++) {
        const tw_weighing_spec *spec = harness->together[k].spec;
        group g = {.weighing = &harness->together[k], .all_weighed = true, .all_modelled = true};
        size_t at = w->group_count++;
        g.member = tw_arena_array(w->total.arena, harness->part_count, sizeof *g.member);
        if (!g.member)
            return no_memory(err);
        for (size_t n = 0; n < spec->part_count; n++)
            (void)tw_harness_named(harness, spec->parts[n], g.member);
        for (size_t n = 0; n < harness->part_count; n++)
            if (g.member[n]) {
                g.count++;
                g.in_count += w->total.in[n];
                g.all_weighed = g.all_weighed && harness->parts[n].has_weighing;
                g.all_modelled = g.all_modelled && tw_figure_is(&harness->parts[n].modelled);
            }
        for (; at > 0 && w->groups[at - 1].count < g.count; at--)
            w->groups[at] = w->groups[at - 1];
        w->groups[at] = g;
    }
    return TW_OK;
}

static bool is_free(const work *w, const group *g)
{
    for (size_t n = 0; n < w->harness->part_count; n++)
        if (g->member[n] && w->total.counted[n] == TW_COUNTED_TOGETHER)
            return false;
    return true;
}

/* Share k of a group's weighing, with what makes it unsure. */
static tw_status make_share(work *w, const group *g, const tw_figure *models, size_t k,
                            double share, tw_error *err)
{
    tw_arena *arena = w->total.arena;
    tw_figure *figure = &w->total.figure[k];
    const tw_figure *net = &g->weighing->net;
    tw_status status;

    *figure = tw_figure_zero();
    status = tw_figure_add(figure, arena, net, share, err);
    if (status == TW_OK && g->all_modelled) {
        const double scale = net->g / models->g;
        status = tw_figure_add(figure, arena, &w->harness->parts[k].modelled, scale, err);
        if (status == TW_OK)
            status = tw_figure_add(figure, arena, models, -scale * share, err);
    }
    figure->g = share * net->g;
    w->total.counted[k] = TW_COUNTED_TOGETHER;
    return status;
}

static tw_status use_group(work *w, group *g, tw_error *err)
{
    const tw_harness *harness = w->harness;
    tw_arena *arena = w->total.arena;
    tw_figure models = tw_figure_zero();
    tw_status status = TW_OK;
    double left = 1;
    size_t todo = g->count;

    g->used = true;
    for (size_t k = 0; status == TW_OK && g->all_modelled && k < harness->part_count; k++)
        if (g->member[k])
            status = tw_figure_add(&models, arena, &harness->parts[k].modelled, 1, err);
    for (size_t k = 0; status == TW_OK && k < harness->part_count; k++) {
        double share;
        if (!g->member[k])
            continue;
        share = g->all_modelled ? harness->parts[k].modelled.g / models.g : 1 / (double)g->count;
        if (--todo == 0) /* the last one has the rest */
            share = left;
        left -= share;
        status = make_share(w, g, &models, k, share, err);
    }
    if (status == TW_OK)
        status = tw_figure_add(&w->total.sum, arena, &g->weighing->net, 1, err);
    if (status == TW_OK && g->all_modelled) {
        w->total.both_count += g->count;
        status = tw_figure_add(&w->total.modelled, arena, &models, 1, err);
        if (status == TW_OK)
            status = tw_figure_add(&w->total.weighed, arena, &g->weighing->net, 1, err);
    }
    return status;
}

static tw_status use_groups(work *w, tw_error *err)
{
    tw_status status = TW_OK;

    for (size_t k = 0; status == TW_OK && k < w->group_count; k++) {
        group *g = &w->groups[k];
        if (g->count > 0 && g->in_count == g->count && !g->all_weighed && is_free(w, g))
            status = use_group(w, g, err);
    }
    return status;
}

/* ---- alone -------------------------------------------------------------------------------------- */

static tw_status use_alone(work *w, size_t k, tw_error *err)
{
    const tw_part *part = &w->harness->parts[k];
    tw_total *total = &w->total;
    const tw_figure *own = part->has_weighing ? &part->weighing.net : &part->modelled;
    tw_status status;

    if (!tw_figure_is(own)) {
        total->missing_count++;
        return TW_OK;
    }
    total->counted[k] = part->has_weighing ? TW_COUNTED_WEIGHED : TW_COUNTED_MODELLED;
    total->figure[k] = *own;
    status = tw_figure_add(&total->sum, total->arena, own, 1, err);
    if (status == TW_OK && part->has_weighing && tw_figure_is(&part->modelled)) {
        total->both_count++;
        status = tw_figure_add(&total->modelled, total->arena, &part->modelled, 1, err);
        if (status == TW_OK)
            status = tw_figure_add(&total->weighed, total->arena, own, 1, err);
    }
    return status;
}

static tw_status count_parts(work *w, tw_error *err)
{
    tw_total *total = &w->total;
    tw_status status = use_groups(w, err);

    for (size_t k = 0; status == TW_OK && k < w->harness->part_count; k++) {
        if (!total->in[k])
            continue;
        total->in_count++;
        if (total->counted[k] != TW_COUNTED_TOGETHER)
            status = use_alone(w, k, err);
        if (status == TW_OK && total->counted[k] != TW_COUNTED_MISSING)
            status =
                tw_figure_add(&total->straps, total->arena, &w->harness->parts[k].straps, 1, err);
        if (status == TW_OK && total->counted[k] != TW_COUNTED_MISSING)
            status =
                tw_figure_add(&total->lining, total->arena, &w->harness->parts[k].lining, 1, err);
    }
    return status;
}

/* ---- in words ------------------------------------------------------------------------------------- */

/* Members of a group, or only those that are in; "tasset left and right" of a pair alone. */
static tw_listing list_members(const work *w, const group *g, bool in_only)
{
    const tw_harness *harness = w->harness;
    const size_t count = in_only ? g->in_count : g->count;
    tw_listing names = {0};
    size_t listed = 0;

    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        const bool second =
            part->side < 0 && k > 0 && g->member[k - 1] && harness->parts[k - 1].spec == part->spec;
        if (!g->member[k] || (in_only && !w->total.in[k]))
            continue;
        listed++;
        tw_listing_add(&names, count == 2 && listed == 2 && second ? "right" : part->name,
                       listed > 1 && listed == count);
    }
    return names;
}

static void note_apart(work *w, const group *g)
{
    const tw_listing all = list_members(w, g, false), some = list_members(w, g, true);
    const char *how = NULL;
    tw_error note;

    for (size_t k = 0; k < w->harness->part_count; k++)
        if (g->member[k] && w->total.in[k]) {
            const char *word = tw_counted_word(w->total.counted[k]);
            how = !how || strcmp(how, word) == 0 ? word : "each by its own figure";
        }
    tw_fail(&note, TW_OK, "%s were weighed together, and only %s %s in: %s", all.text, some.text,
            g->in_count > 1 ? "are" : "is", how);
    tw_notes_add(&w->total.notes, &note);
}

static void note_even(work *w, const group *g)
{
    const tw_listing all = list_members(w, g, false);
    tw_error note;

    tw_fail(
        &note, TW_OK,
        "%s were weighed together and not all have a model: each one's grams are an even share, "
        "not a measurement; their sum is one",
        all.text);
    tw_notes_add(&w->total.notes, &note);
}

/* One by one and together: both are there, so they check each other. */
static tw_status note_gap(work *w, const group *g, tw_error *err)
{
    const tw_listing all = list_members(w, g, false);
    tw_arena *arena = w->total.arena;
    tw_figure alone = tw_figure_zero(), gap = tw_figure_zero();
    tw_status status = TW_OK;
    tw_error note;
    double expanded;

    for (size_t k = 0; status == TW_OK && k < w->harness->part_count; k++)
        if (g->member[k])
            status = tw_figure_add(&alone, arena, &w->harness->parts[k].weighing.net, 1, err);
    if (status == TW_OK)
        status = tw_figure_add(&gap, arena, &alone, 1, err);
    if (status == TW_OK)
        status = tw_figure_add(&gap, arena, &g->weighing->net, -1, err);
    if (status != TW_OK)
        return status;
    expanded = tw_figure_expanded(&gap);
    tw_fail(&note, TW_OK,
            "%s: weighed one by one they are %.0f g, together %.0f g: %.0f g apart, %s "
            "their ± %.0f g",
            all.text, alone.g, g->weighing->net.g, fabs(gap.g),
            fabs(gap.g) > expanded ? "more than" : "within", expanded);
    if (fabs(gap.g) > expanded)
        tw_error_advise(&note, NULL,
                        "were straps, linings or loose pieces on the scale both times?");
    tw_notes_add(&w->total.notes, &note);
    return TW_OK;
}

static void note_missing(work *w)
{
    tw_listing names = {0};
    size_t listed = 0;
    tw_error note;

    for (size_t k = 0; k < w->harness->part_count; k++)
        if (w->total.in[k] && w->total.counted[k] == TW_COUNTED_MISSING) {
            listed++;
            tw_listing_add(&names, w->harness->parts[k].name,
                           listed > 1 && listed == w->total.missing_count);
        }
    if (listed == 0)
        return;
    tw_fail(&note, TW_OK, "%s %s in, but %s neither model nor weighing: the sum is without %s",
            names.text, listed > 1 ? "are" : "is", listed > 1 ? "have" : "has",
            listed > 1 ? "them" : "it");
    tw_error_advise(&note, NULL, "add weighed:, or a thickness to the profile");
    tw_notes_add(&w->total.notes, &note);
}

static tw_status say_all(work *w, tw_error *err)
{
    tw_status status = TW_OK;

    note_missing(w);
    for (size_t k = 0; status == TW_OK && k < w->group_count; k++) {
        const group *g = &w->groups[k];
        if (g->in_count == 0)
            continue;
        if (g->used && !g->all_modelled)
            note_even(w, g);
        else if (g->all_weighed && g->in_count == g->count)
            status = note_gap(w, g, err);
        else if (g->in_count < g->count && !g->all_weighed)
            note_apart(w, g);
    }
    return status;
}

/* ---- the total --------------------------------------------------------------------------------------- */

static tw_status begin(work *w, tw_error *err)
{
    const size_t count = w->harness->part_count;
    tw_total *total = &w->total;

    total->harness = w->harness;
    total->in = tw_arena_array(total->arena, count, sizeof *total->in);
    total->counted = tw_arena_array(total->arena, count, sizeof *total->counted);
    total->figure = tw_arena_array(total->arena, count, sizeof *total->figure);
    if (!total->in || !total->counted || !total->figure)
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
    work w = {.harness = harness};
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
        status = say_all(&w, err);
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
