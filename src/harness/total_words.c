/*
 * total_words.c: how each part's grams came, in words, and what a total leaves open: weighings that
 * could not be used, even shares, parts of which nothing is known, names that mean two things.
 */
#include "total_internal.h"

#include <math.h>
#include <string.h>

static const char EVEN[] = "even share", HALF[] = "half of the pair";

/* ---- in words ------------------------------------------------------------------------------------- */

/* Members of a group, or only those that are in; "tasset left and right" of a pair alone. */
static tw_listing list_members(const tw_counting *w, const tw_group *g, bool in_only)
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

static void note_apart(tw_counting *w, const tw_group *g)
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

static void note_even(tw_counting *w, const tw_group *g)
{
    const tw_listing all = list_members(w, g, false);
    const char *found = NULL;
    tw_error note;

    for (size_t k = 0; k < w->harness->part_count; k++)
        if (tw_group_rest(g, k) && w->total.even[k] && strcmp(w->total.how[k], EVEN) == 0)
            found = w->harness->parts[k].name;
    if (!found)
        return;
    tw_fail(&note, TW_OK,
            "%s were weighed together and not all have a model or a weighing: an even share is "
            "not a measurement; their sum is one",
            all.text);
    tw_notes_add(&w->total.notes, &note);
}

/* All are in, but the weighing is not used. */
static void note_unused(tw_counting *w, const tw_group *g)
{
    const tw_listing all = list_members(w, g, false);
    tw_listing taken = {0};
    tw_error note;

    if (g->negative) {
        tw_fail(&note, TW_OK,
                "%s weighed together, %.0f g, are lighter than those of them that were weighed "
                "alone: the weighing together is not used",
                all.text, g->weighing->net.g);
        tw_error_advise(&note, NULL, "read both again; was one on the pan without its straps?");
        tw_notes_add(&w->total.notes, &note);
        return;
    }
    for (size_t k = 0; k < w->harness->part_count; k++)
        if (tw_group_rest(g, k) && w->total.counted[k] == TW_COUNTED_TOGETHER)
            tw_listing_add(&taken, w->harness->parts[k].name, false);
    tw_fail(&note, TW_OK, "%s weighed together, %.0f g: not used, for another weighing counts %s",
            all.text, g->weighing->net.g, taken.text);
    tw_error_advise(&note, NULL, "weigh one of them alone, and both weighings count");
    tw_notes_add(&w->total.notes, &note);
}

/* One by one and together: both are there, so they check each other. */
static tw_status note_gap(tw_counting *w, const tw_group *g, tw_error *err)
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

/* ---- how each one's grams came ----------------------------------------------------------------- */

/* The first weighing together that has a part in it. */
static const tw_group *group_of(const tw_counting *w, size_t part, bool used)
{
    for (size_t k = 0; k < w->group_count; k++)
        if (w->groups[k].member[part] && w->groups[k].used == used)
            return &w->groups[k];
    return NULL;
}

static const char *together_word(const tw_counting *w, size_t k)
{
    const tw_group *g = group_of(w, k, true);

    if (w->total.even[k])
        return g->rest_modelled || (g->rest_count == 2 && w->harness->parts[k].side != 0) ? HALF
                                                                                          : EVEN;
    if (g->rest_count == 1)
        return "weighed together, less the others";
    return g->rest_modelled ? "weighed together, share by models" : "weighed together, less models";
}

/* "weighed only together with tasset right" */
static const char *missing_word(const tw_counting *w, size_t k)
{
    const tw_group *g = group_of(w, k, false);
    tw_listing names = {0};
    char text[256];
    size_t listed = 0;

    if (!g)
        return "not known";
    for (size_t n = 0; n < w->harness->part_count; n++)
        if (g->member[n] && n != k) {
            listed++;
            tw_listing_add(&names, w->harness->parts[n].name, listed > 1 && listed + 1 == g->count);
        }
    tw_format(text, sizeof text, "weighed only together with %s", names.text);
    return tw_arena_text(w->total.arena, text);
}

static tw_status say_how(tw_counting *w, tw_error *err)
{
    for (size_t k = 0; k < w->harness->part_count; k++) {
        const tw_counted counted = w->total.counted[k];
        if (!w->total.in[k])
            continue;
        w->total.how[k] = counted == TW_COUNTED_MISSING    ? missing_word(w, k)
                          : counted == TW_COUNTED_TOGETHER ? together_word(w, k)
                                                           : tw_counted_word(counted);
        if (!w->total.how[k])
            return tw_fail(err, TW_ERR_MEMORY, "no memory for words");
    }
    return TW_OK;
}

/* Parts of which nothing is known at all; of others how[] says more, and notes of their weighings. */
static void note_missing(tw_counting *w)
{
    tw_listing names = {0};
    size_t listed = 0, count = 0;
    tw_error note;

    for (size_t k = 0; k < w->harness->part_count; k++)
        count +=
            w->total.in[k] && w->total.counted[k] == TW_COUNTED_MISSING && !group_of(w, k, false);
    for (size_t k = 0; k < w->harness->part_count; k++)
        if (w->total.in[k] && w->total.counted[k] == TW_COUNTED_MISSING && !group_of(w, k, false)) {
            listed++;
            tw_listing_add(&names, w->harness->parts[k].name, listed > 1 && listed == count);
        }
    if (listed == 0)
        return;
    tw_fail(&note, TW_OK, "%s %s in, but %s neither model nor weighing: the sum is without %s",
            names.text, listed > 1 ? "are" : "is", listed > 1 ? "have" : "has",
            listed > 1 ? "them" : "it");
    tw_error_advise(&note, NULL, "add weighed:, or a thickness to the profile");
    tw_notes_add(&w->total.notes, &note);
}

/* ---- names that mean two things ------------------------------------------------------------------ */

/* "gorget" is a part, and another part is a gorget: the name means the part only. */
static void note_name(tw_counting *w, const char *name)
{
    const tw_harness *harness = w->harness;
    tw_listing others = {0};
    bool part_named = false;
    tw_error note;

    for (size_t k = 0; name && k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        if (tw_name_same(name, part->name) ||
            (part->side != 0 && tw_name_same(name, part->spec->name)))
            part_named = true;
        else if (tw_name_same(name, part->kind) && part->side >= 0)
            tw_listing_add(&others, part->side > 0 ? part->spec->name : part->name, false);
    }
    if (!part_named || others.used == 0)
        return;
    tw_fail(&note, TW_OK, "\"%.80s\" is the part of that name; of that kind, but not meant: %s",
            name, others.text);
    tw_error_advise(&note, NULL, "name those too, or call the part something else");
    tw_notes_add(&w->total.notes, &note);
}

static void note_names(tw_counting *w, const tw_choice *choice)
{
    if (!choice)
        return;
    note_name(w, choice->set);
    for (size_t k = 0; k < choice->with_count; k++)
        note_name(w, choice->with[k]);
    for (size_t k = 0; k < choice->without_count; k++)
        note_name(w, choice->without[k]);
}

tw_status tw_total_say(tw_counting *w, const tw_choice *choice, tw_error *err)
{
    tw_status status = say_how(w, err);

    if (status != TW_OK)
        return status;
    note_names(w, choice);
    note_missing(w);
    for (size_t k = 0; status == TW_OK && k < w->group_count; k++) {
        const tw_group *g = &w->groups[k];
        if (g->in_count == 0)
            continue;
        if (g->used)
            note_even(w, g);
        else if (g->rest_count == 0 && g->in_count == g->count)
            status = note_gap(w, g, err);
        else if (g->clashes || g->negative)
            note_unused(w, g);
        else if (g->in_count < g->count && g->rest_count > 0)
            note_apart(w, g);
    }
    return status;
}
