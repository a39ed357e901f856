/*
 * choice.c: which parts a name means, and which parts are in. A name is a part's, a pair's (both of
 * it), a set's, or else a kind's; letter case and blanks do not count.
 */
#include "harness_internal.h"

#include <string.h>

void tw_listing_add(tw_listing *listing, const char *name, bool last)
{
    char *end = listing->text + listing->used;
    const size_t left = sizeof listing->text - listing->used;

    if (listing->full)
        return;
    if (strlen(name) + sizeof " and others" + 4 > left) {
        listing->full = true;
        tw_format(end, left, listing->used > 0 ? " and others" : "many");
        return;
    }
    listing->used += (size_t)tw_format(end, left, "%s%s",
                                       listing->used == 0 ? ""
                                       : last             ? " and "
                                                          : ", ",
                                       name);
}

/* A set may name sets before it only, so this ends. */
static bool named(const tw_harness *harness, const char *name, size_t sets, bool *in)
{
    const tw_harness_file *file = harness->file;
    bool found = false;

    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        if (tw_name_same(name, part->name) ||
            (part->side != 0 && tw_name_same(name, part->spec->name)))
            found = in[k] = true;
    }
    for (size_t k = 0; !found && k < sets; k++) {
        if (!tw_name_same(name, file->sets[k].name))
            continue;
        for (size_t n = 0; n < file->sets[k].count; n++)
            (void)named(harness, file->sets[k].members[n], k, in);
        found = true;
    }
    if (found)
        return true;
    for (size_t k = 0; k < harness->part_count; k++)
        if (tw_name_same(name, harness->parts[k].kind))
            found = in[k] = true;
    return found;
}

bool tw_harness_named(const tw_harness *harness, const char *name, bool *in)
{
    return named(harness, name, harness->file->set_count, in);
}

static tw_status fail_unknown(const tw_harness *harness, const char *name, bool set_wanted,
                              tw_arena *arena, tw_error *err)
{
    const tw_harness_file *file = harness->file;
    const size_t most = 3 * harness->part_count + file->set_count;
    const char **known = tw_arena_array(arena, most, sizeof *known);
    const char *nearest;
    size_t count = 0, kinds;
    const char *const *kind = tw_profile_kinds(&kinds);
    tw_status status;

    if (!known)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for names");
    for (size_t k = 0; k < file->set_count; k++)
        known[count++] = file->sets[k].name;
    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *part = &harness->parts[k];
        known[count++] = part->name;
        if (part->side > 0)
            known[count++] = part->spec->name;
        known[count++] = part->kind;
    }
    for (size_t k = 0; k < kinds; k++)
        if (tw_name_same(name, kind[k])) {
            status = tw_fail(err, TW_ERR_KEY, "no part of this harness is a %s", kind[k]);
            tw_error_advise(err, name, NULL);
            return status;
        }
    nearest = tw_nearest_word(name, known, count);
    status = tw_fail(err, TW_ERR_KEY, "no %s is called \"%.80s\"",
                     set_wanted ? "set" : "part, kind or set", name);
    if (nearest)
        tw_error_advise(err, name, "did you mean \"%s\"?", nearest);
    else if (set_wanted && file->set_count == 0)
        tw_error_advise(err, name, "the harness file has no sets: add sets:");
    else
        tw_error_advise(err, name, "first of its names: %s", count > 0 ? known[0] : "none");
    return status;
}

/* The parts that any of some names mean. */
static tw_status gather(const tw_harness *harness, const char *const *names, size_t count,
                        tw_arena *arena, bool *in, tw_error *err)
{
    for (size_t k = 0; k < count; k++)
        if (!tw_harness_named(harness, names[k], in))
            return fail_unknown(harness, names[k], false, arena, err);
    return TW_OK;
}

tw_status tw_harness_choose(const tw_harness *harness, const tw_choice *choice, tw_arena *arena,
                            bool *in, tw_error *err)
{
    static const tw_choice all = {0};
    const tw_choice *want = choice ? choice : &all;
    const size_t count = harness->part_count;
    bool *with = tw_arena_array(arena, count, sizeof *with);
    bool *without = tw_arena_array(arena, count, sizeof *without);
    bool any = false;
    tw_status status;

    if (!with || !without)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a choice of parts");
    for (size_t k = 0; k < count; k++)
        in[k] = !want->set;
    if (want->set && !tw_harness_named(harness, want->set, in))
        return fail_unknown(harness, want->set, true, arena, err);
    status = gather(harness, want->with, want->with_count, arena, with, err);
    if (status == TW_OK)
        status = gather(harness, want->without, want->without_count, arena, without, err);
    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < count; k++) {
        if (with[k] && without[k]) {
            status = tw_fail(err, TW_ERR_INPUT, "%s is asked for both with and without",
                             harness->parts[k].name);
            tw_error_advise(err, NULL, "name it once");
            return status;
        }
        in[k] = (in[k] || with[k]) && !without[k];
        any = any || in[k];
    }
    if (!any) {
        status = tw_fail(err, TW_ERR_INPUT, "no part is in");
        tw_error_advise(err, NULL, "take fewer parts out, or none");
        return status;
    }
    return TW_OK;
}
