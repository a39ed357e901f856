/*
 * harness_weighings.c: scales of all files in one list, and every weighing with its scale found and
 * its readings held against each other.
 */
#include "harness_file_internal.h"

#include <stdio.h>
#include <string.h>

/* ---- scales -------------------------------------------------------------------------------- */

void tw_harness_scales(tw_harness_job *job)
{
    tw_harness_file *file = job->file;
    size_t room = 4 * file->part_count;

    for (const tw_harness_source *source = job->done; source; source = source->next_done)
        room += source->scale_count + source->together_count;
    job->scale_room = room;
    file->scales = tw_harness_array(job, room, sizeof *file->scales);
    for (tw_harness_source *source = job->done; file->scales && source;
         source = source->next_done) {
        source->first_scale = file->scale_count;
        for (size_t k = 0; k < source->scale_count; k++) {
            const tw_scale_spec *scale = &source->scales[k];
            for (const tw_harness_source *other = job->done; other; other = other->next_done) {
                const size_t before = other == source ? k : other->scale_count;
                for (size_t j = 0; j < before; j++)
                    if (tw_name_same(scale->name, other->scales[j].name)) {
                        tw_harness_twice(source, scale->place, "scale", scale->name, other,
                                         other->scales[j].place);
                        j = before;
                    }
                if (other == source)
                    break;
            }
            file->scales[file->scale_count++] = *scale;
        }
    }
    job->scales_listed = file->scale_count;
}

/* The plain scale of a step, made when it is first named. */
static size_t plain_scale(tw_harness_job *job, const tw_weighing_keys *keys)
{
    tw_harness_file *file = job->file;
    char step[32];
    char *name;

    for (size_t k = job->scales_listed; k < file->scale_count; k++)
        if (file->scales[k].step == keys->step)
            return k;
    tw_format(step, sizeof step, "scale of step %g g", keys->step);
    name = tw_arena_text(job->arena, step);
    if (!name) {
        job->no_memory = true;
        return 0;
    }
    file->scales[file->scale_count] =
        (tw_scale_spec){.name = name, .step = keys->step, .place = keys->step_place};
    return file->scale_count++;
}

static void tell_unknown_scale(tw_harness_job *job, tw_harness_source *source,
                               const tw_weighing_keys *keys)
{
    const char *names[TW_SCALES_MAX] = {NULL}, *near;
    size_t count = 0, used = 0;
    char advice[160];

    for (; count < job->scales_listed && count < TW_SCALES_MAX; count++)
        names[count] = job->file->scales[count].name;
    near = tw_nearest_word(keys->on, names, count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%.80s\"?", near);
    else if (count == 0)
        snprintf(advice, sizeof advice, "list it: scales: [{name: %.60s, step: 1 g}]", keys->on);
    else
        for (size_t k = 0; k < count && used < sizeof advice; k++)
            used += (size_t)snprintf(advice + used, sizeof advice - used, "%s%s",
                                     k ? ", " : "the scales are: ", names[k]);
    tw_reader_fault(&source->reader, keys->on_place, TW_ERR_KEY, keys->on, advice,
                    "unknown scale \"%s\"", keys->on);
}

/* The scale a weighing was made on: named, of a step given with it, or the only one: of its own file
 * before that of all. False after an error. */
static bool find_scale(tw_harness_job *job, tw_harness_source *source, const tw_weighing_keys *keys,
                       size_t *scale)
{
    if (keys->on && keys->step_place.line != 0) {
        tw_reader_fault(&source->reader, keys->step_place, TW_ERR_KEY, NULL,
                        "leave it out: the scale has its own",
                        "the step is given beside the scale \"%s\"", keys->on);
        return false;
    }
    if (keys->on) {
        for (size_t k = 0; k < job->scales_listed; k++)
            if (tw_name_same(keys->on, job->file->scales[k].name)) {
                *scale = k;
                return true;
            }
        tell_unknown_scale(job, source, keys);
        return false;
    }
    if (keys->step > 0) {
        *scale = plain_scale(job, keys);
        return true;
    }
    if (source->scale_count == 1 || job->scales_listed == 1) {
        *scale = source->scale_count == 1 ? source->first_scale : 0;
        return true;
    }
    if (job->scales_listed)
        tw_reader_fault(&source->reader, keys->place, TW_ERR_KEY, NULL, "add \"on: NAME\"",
                        "there are %zu scales, and the weighing names none", job->scales_listed);
    else
        tw_reader_fault(&source->reader, keys->place, TW_ERR_KEY, NULL,
                        "write {reads: 1610 g, step: 5 g}, or list the scale under \"scales:\"",
                        "the weighing has no scale: the step of its display is wanted");
    return false;
}

/* ---- one weighing -------------------------------------------------------------------------- */

static double mean(const tw_mass_list *list)
{
    tw_sum sum = {0, 0};

    for (size_t k = 0; k < list->count; k++)
        tw_sum_add(&sum, list->grams[k]);
    return tw_sum_value(&sum) / (double)list->count;
}

/* Which readings there are: on the pan, or held; false after an error. */
static bool check_kind(tw_harness_source *source, const tw_weighing_keys *keys)
{
    const tw_place *held = keys->with_place.line ? &keys->with_place : &keys->without_place;
    const bool reads = keys->reads_place.line != 0, with = keys->with_place.line != 0;
    const bool without = keys->without_place.line != 0;
    const char *wrong = NULL, *advice = NULL;
    tw_place place = keys->place;

    if (reads && (with || without)) {
        place = *held;
        wrong = "a weighing has reads, or with and without, not both";
        advice = "keep reads for a part on the pan, with and without for a held one";
    } else if (!reads && !with && !without) {
        wrong = "the weighing lacks what the scale read";
        advice = "add \"reads: 1610 g\"";
    } else if (!reads && with != without) {
        place = *held;
        wrong = with ? "the weighing lacks what the scale read without the part"
                     : "the weighing lacks what the scale read with the part";
        advice = with ? "add \"without: 77.05 kg\"" : "add \"with: 78.20 kg\"";
    }
    if (wrong)
        tw_reader_fault(&source->reader, place, TW_ERR_KEY, NULL, advice, "%s", wrong);
    return !wrong;
}

/* Is anything left on the scale? */
static bool check_net(tw_harness_source *source, const tw_weighing_keys *keys,
                      const tw_scale_spec *scale)
{
    const bool held = keys->with.count > 0;
    const double net = held ? mean(&keys->with) - mean(&keys->without) : mean(&keys->reads);
    double least = held ? net : keys->reads.grams[0];

    for (size_t k = 1; !held && k < keys->reads.count; k++)
        least = keys->reads.grams[k] < least ? keys->reads.grams[k] : least;
    if (!(net > 0))
        tw_reader_fault(&source->reader, keys->with_place, TW_ERR_DOMAIN, NULL,
                        "with is the holder and the part, without the holder alone",
                        "the scale reads no more with the part than without it");
    else if (keys->tare >= least)
        tw_reader_fault(&source->reader, keys->tare_place, TW_ERR_DOMAIN, NULL,
                        "tare is what the empty container reads",
                        "the tare is as much as the scale reads with the part");
    else if (!held && scale->step > least)
        tw_reader_fault(&source->reader, keys->reads_place, TW_ERR_DOMAIN, NULL,
                        "give the step of the display, as 1 g",
                        "the scale's step is larger than what it reads");
    else
        return true;
    return false;
}

static bool make_weighing(tw_harness_job *job, tw_harness_source *source,
                          const tw_weighing_keys *keys, tw_weighing_spec *out)
{
    size_t scale = 0;
    bool right;

    if (keys->faulty && !keys->on)
        return false;
    right = find_scale(job, source, keys, &scale) && !keys->faulty;
    if (keys->faulty || !check_kind(source, keys) || !right || job->no_memory ||
        !check_net(source, keys, &job->file->scales[scale]))
        return false;
    *out = (tw_weighing_spec){
        .scale = scale,
        .read_count = keys->with.count ? keys->with.count : keys->reads.count,
        .reads = keys->with.count ? keys->with.grams : keys->reads.grams,
        .alone_count = keys->without.count,
        .alone = keys->without.grams,
        .tare = keys->tare,
        .tare_exact = keys->tare_exact,
        .place = keys->place,
    };
    return true;
}

/* ---- of a part, of a pair ------------------------------------------------------------------ */

static void weigh_pair(tw_harness_job *job, tw_harness_source *source, const tw_part_keys *keys,
                       const tw_part_spec *part)
{
    tw_harness_file *file = job->file;
    tw_weighing_spec *both = &file->together[file->together_count];

    if (!make_weighing(job, source, &keys->pair, both))
        return;
    both->parts = tw_harness_array(job, 2, sizeof *both->parts);
    for (size_t k = 0; both->parts && k < job->name_count; k++)
        if (&file->parts[job->names[k].part] == part && !job->names[k].whole)
            both->parts[both->part_count++] = job->names[k].name; /* left comes first */
    file->together_count++;
}

static void weigh_part(tw_harness_job *job, tw_harness_source *source, size_t at)
{
    const tw_part_keys *keys = &source->parts[at];
    tw_part_spec *part = &job->file->parts[source->first_part + at];
    const tw_weighing_keys *of_pair[] = {&keys->pair, &keys->left, &keys->right};

    if (part->mirror && keys->weighed.place.line != 0)
        tw_reader_fault(&source->reader, keys->weighed.place, TW_ERR_KEY, NULL,
                        "write \"weighed pair:\" for both, or \"weighed left:\" and \"weighed "
                        "right:\" for each",
                        "the part is a pair, and which of it was weighed is not said");
    else if (keys->weighed.place.line != 0)
        part->weighed = make_weighing(job, source, &keys->weighed, &part->weighing);
    for (size_t k = 0; !part->mirror && k < 3; k++)
        if (of_pair[k]->place.line != 0)
            tw_reader_fault(&source->reader, of_pair[k]->place, TW_ERR_KEY, NULL,
                            "write \"weighed:\", or \"mirror: yes\" for a pair",
                            "\"weighed pair\", \"left\" and \"right\" go with a pair, and the part "
                            "is none");
    if (!part->mirror)
        return;
    if (keys->left.place.line != 0)
        part->weighed = make_weighing(job, source, &keys->left, &part->weighing);
    if (keys->right.place.line != 0)
        part->weighed_right = make_weighing(job, source, &keys->right, &part->weighing_right);
    if (keys->pair.place.line != 0)
        weigh_pair(job, source, keys, part);
}

/* ---- of parts together --------------------------------------------------------------------- */

static void add_part(tw_harness_source *source, const tw_part_name *name, tw_place place,
                     tw_weighing_spec *out)
{
    for (size_t k = 0; k < out->part_count; k++)
        if (strcmp(out->parts[k], name->name) == 0) {
            tw_reader_fault(&source->reader, place, TW_ERR_KEY, name->name, "name it once",
                            "part \"%s\" is named twice in one weighing", name->name);
            return;
        }
    out->parts[out->part_count++] = name->name;
}

/* The parts of a weighing, pairs as two; false when an error was told. */
static bool name_together(tw_harness_job *job, tw_harness_source *source,
                          const tw_weighing_keys *keys, tw_weighing_spec *out)
{
    const size_t before = source->reader.errors.count;

    out->parts = tw_harness_array(job, 2 * keys->parts.count, sizeof *out->parts);
    for (size_t k = 0; out->parts && k < keys->parts.count; k++) {
        const tw_part_name *name =
            keys->parts.names[k] ? tw_harness_name(job, keys->parts.names[k]) : NULL;
        const char *near;
        char advice[160];
        if (!keys->parts.names[k])
            continue;
        if (!name) {
            near = tw_harness_near_name(job, keys->parts.names[k]);
            snprintf(advice, sizeof advice, near ? "did you mean \"%.100s\"?" : "%s",
                     near ? near : "name parts that are listed under \"parts:\"");
            tw_reader_fault(&source->reader, keys->parts.places[k], TW_ERR_KEY,
                            keys->parts.names[k], advice, "unknown part \"%s\"",
                            keys->parts.names[k]);
        } else if (name->whole) { /* its two follow it in the list */
            add_part(source, name + 1, keys->parts.places[k], out);
            add_part(source, name + 2, keys->parts.places[k], out);
        } else {
            add_part(source, name, keys->parts.places[k], out);
        }
    }
    if (source->reader.errors.count == before && out->part_count < 2)
        tw_reader_fault(&source->reader, keys->parts_place, TW_ERR_KEY, NULL,
                        "write \"weighed:\" in the part itself",
                        out->part_count ? "only one part is weighed together"
                                        : "no part is weighed together");
    return source->reader.errors.count == before;
}

void tw_harness_weighings(tw_harness_job *job)
{
    tw_harness_file *file = job->file;
    size_t room = file->part_count;

    for (const tw_harness_source *source = job->done; source; source = source->next_done)
        room += source->together_count;
    file->together = tw_harness_array(job, room, sizeof *file->together);
    for (tw_harness_source *source = job->done; source && !job->no_memory;
         source = source->next_done) {
        for (size_t k = 0; k < source->part_count && !job->no_memory; k++)
            weigh_part(job, source, k);
        for (size_t k = 0; k < source->together_count && !job->no_memory; k++) {
            const tw_weighing_keys *keys = &source->together[k];
            tw_weighing_spec *out = &file->together[file->together_count];
            const bool made = make_weighing(job, source, keys, out);
            if (!made)
                *out = (tw_weighing_spec){.read_count = 0};
            if (keys->parts_place.line != 0 && name_together(job, source, keys, out) && made)
                file->together_count++;
        }
    }
}
