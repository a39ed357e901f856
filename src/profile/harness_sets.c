/* harness_sets.c: named choices of parts. A member is a part, a set named before, or a trade kind. */
#include "harness_file_internal.h"

#include <stdio.h>
#include <string.h>

static const tw_set_keys *later_set(const tw_harness_source *source, size_t from, const char *name)
{
    for (; source; source = source->next_done, from = 0)
        for (size_t k = from; k < source->set_count; k++)
            if (tw_name_same(name, source->sets[k].name))
                return &source->sets[k];
    return NULL;
}

static const char *find_kind(const char *name)
{
    size_t count;
    const char *const *kinds = tw_profile_kinds(&count);

    for (size_t k = 0; k < count; k++)
        if (tw_name_same(name, kinds[k]))
            return kinds[k];
    return NULL;
}

static const char *find_set(const tw_harness_job *job, const char *name)
{
    for (size_t k = 0; k < job->file->set_count; k++)
        if (tw_name_same(name, job->file->sets[k].name))
            return job->file->sets[k].name;
    return NULL;
}

static bool kind_is_there(const tw_harness_job *job, const char *kind)
{
    for (size_t k = 0; k < job->file->part_count; k++)
        if (job->file->parts[k].kind && strcmp(job->file->parts[k].kind, kind) == 0)
            return true;
    return false;
}

static void tell_unknown(tw_harness_job *job, tw_harness_source *source, size_t set,
                         const char *name, tw_place place)
{
    const char *near = tw_harness_near_name(job, name);
    const tw_set_keys *later = later_set(source, set, name);
    size_t kind_count;
    const char *const *kinds = tw_profile_kinds(&kind_count);
    char advice[160];

    if (later == &source->sets[set]) {
        tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, "name its parts",
                        "set \"%s\" names itself", name);
        return;
    }
    if (later) {
        tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, "put that set before this one",
                        "set \"%s\" comes later", name);
        return;
    }
    for (size_t k = 0; k < job->file->set_count && !near; k++)
        near = tw_nearest_word(name, &job->file->sets[k].name, 1);
    if (!near)
        near = tw_nearest_word(name, kinds, kind_count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%.100s\"?", near);
    else
        snprintf(advice, sizeof advice, "a member is a part, a trade kind or a set named before");
    tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, advice, "unknown member \"%s\"",
                    name);
}

/* A member as the part, set or kind spells it; NULL after an error. */
static const char *find_member(tw_harness_job *job, tw_harness_source *source, size_t set,
                               const char *name, tw_place place)
{
    const tw_part_name *part = tw_harness_name(job, name);
    const char *other = part ? NULL : find_set(job, name);
    const char *kind = part || other ? NULL : find_kind(name);

    if (part)
        return part->name;
    if (other)
        return other;
    if (!kind) {
        tell_unknown(job, source, set, name, place);
        return NULL;
    }
    if (!kind_is_there(job, kind)) {
        tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, "leave it out",
                        "no part is of the kind \"%s\"", kind);
        return NULL;
    }
    return kind;
}

static void make_set(tw_harness_job *job, tw_harness_source *source, size_t set, tw_set_spec *out)
{
    const tw_set_keys *keys = &source->sets[set];

    out->members = tw_harness_array(job, keys->members.count, sizeof *out->members);
    for (size_t k = 0; out->members && k < keys->members.count; k++) {
        const char *name = keys->members.names[k];
        const tw_place place = keys->members.places[k];
        bool twice = false;
        if (name)
            name = find_member(job, source, set, name, place);
        for (size_t j = 0; name && j < out->count && !twice; j++)
            twice = strcmp(out->members[j], name) == 0;
        if (twice)
            tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, "name it once",
                            "\"%s\" is named twice in one set", name);
        else if (name)
            out->members[out->count++] = name;
    }
}

static const char *taken_by(const tw_harness_job *job, const char *name)
{
    if (tw_harness_name(job, name))
        return "a part";
    return find_kind(name) ? "a trade kind" : NULL;
}

static void check_name(tw_harness_job *job, tw_harness_source *source, const tw_set_keys *keys)
{
    const char *taken = taken_by(job, keys->name);

    if (taken)
        tw_reader_fault(&source->reader, keys->place, TW_ERR_KEY, keys->name,
                        "give the set another name", "\"%s\" is the name of %s already", keys->name,
                        taken);
    for (const tw_harness_source *other = job->done; other; other = other->next_done)
        for (size_t k = 0; k < other->set_count; k++) {
            if (&other->sets[k] == keys)
                return;
            if (tw_name_same(keys->name, other->sets[k].name)) {
                tw_harness_twice(source, keys->place, "set", keys->name, other,
                                 other->sets[k].place);
                return;
            }
        }
}

void tw_harness_sets(tw_harness_job *job)
{
    tw_harness_file *file = job->file;
    size_t count = 0;

    for (const tw_harness_source *source = job->done; source; source = source->next_done)
        count += source->set_count;
    file->sets = tw_harness_array(job, count, sizeof *file->sets);
    for (tw_harness_source *source = job->done; file->sets && source; source = source->next_done)
        for (size_t k = 0; k < source->set_count && !job->no_memory; k++) {
            tw_set_spec *out = &file->sets[file->set_count];
            check_name(job, source, &source->sets[k]);
            make_set(job, source, k, out);
            out->name = source->sets[k].name;
            out->place = source->sets[k].place;
            file->set_count++;
        }
}
