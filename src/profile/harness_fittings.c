/*
 * harness_fittings.c: what hangs on parts: masses from the use itself, else from the files' own tables,
 * else from the built-in one.
 */
#include "harness_file_internal.h"

#include <math.h>
#include <stdio.h>

/* A mass given without a word on its uncertainty: a few pieces on a kitchen scale, or a supplier's
 * figure. Common practice, no source. */
#define OWN_SPREAD 0.05

/* The fitting that keys with a mass make. */
static tw_fitting fitting_of(const tw_fitting_keys *keys)
{
    const double mass = keys->each + keys->per_length + keys->per_area;
    double unit = 1;
    tw_fitting made = {.name = keys->name,
                       .what = TW_FITTING_METAL,
                       .per = TW_PER_PIECE,
                       .source = keys->source ? keys->source : "as given in the harness file"};

    if (keys->per_length > 0) {
        made.per = TW_PER_LENGTH;
        made.what = TW_FITTING_STRAP;
        unit = 1e3;
    } else if (keys->per_area > 0) {
        made.per = TW_PER_AREA;
        made.what = TW_FITTING_LINING;
        unit = 1e6;
    }
    if (keys->what >= 0)
        made.what = (tw_fitting_class)keys->what;
    made.mass = mass / unit;
    made.uncertainty = (isnan(keys->uncertainty) ? OWN_SPREAD * mass : keys->uncertainty) / unit;
    return made;
}

static void make_table(tw_harness_job *job)
{
    size_t count = 0;

    for (const tw_harness_source *source = job->done; source; source = source->next_done)
        count += source->own_count;
    job->own = tw_harness_array(job, count, sizeof *job->own);
    for (tw_harness_source *source = job->done; job->own && source; source = source->next_done)
        for (size_t k = 0; k < source->own_count; k++) {
            const tw_fitting_keys *keys = &source->own[k];
            const tw_own_fitting *twin = NULL;
            if (keys->faulty || !keys->name)
                continue;
            for (size_t j = 0; j < job->own_count && !twin; j++)
                if (tw_name_same(keys->name, job->own[j].fitting.name))
                    twin = &job->own[j];
            if (twin)
                tw_harness_twice(source, keys->name_place, "fitting", keys->name, twin->source,
                                 twin->place);
            job->own[job->own_count++] =
                (tw_own_fitting){fitting_of(keys), source, keys->name_place};
        }
}

static bool is_faulty_own(const tw_harness_job *job, const char *name)
{
    for (const tw_harness_source *source = job->done; source; source = source->next_done)
        for (size_t k = 0; k < source->own_count; k++)
            if (source->own[k].faulty &&
                (!source->own[k].name || tw_name_same(name, source->own[k].name)))
                return true;
    return false;
}

static void tell_unknown(tw_harness_job *job, tw_harness_source *source,
                         const tw_fitting_keys *keys)
{
    const char **names = tw_harness_array(job, job->own_count, sizeof *names);
    const char *near;
    char advice[160];

    if (!names || is_faulty_own(job, keys->name)) /* its row has an error of its own */
        return;
    for (size_t k = 0; k < job->own_count; k++)
        names[k] = job->own[k].fitting.name;
    near = tw_nearest_word(keys->name, names, job->own_count);
    if (!near)
        near = tw_fitting_nearest(keys->name);
    if (near)
        snprintf(advice, sizeof advice,
                 "did you mean \"%.60s\"? Another takes {fitting: …, each: 20 g}", near);
    else
        snprintf(advice, sizeof advice, "give its mass: {fitting: %.60s, each: 20 g}", keys->name);
    tw_reader_fault(&source->reader, keys->name_place, TW_ERR_KEY, keys->name, advice,
                    "unknown fitting \"%s\"", keys->name);
}

/* Pieces, mm or mm² by what the fitting is weighed by; false after an error. */
static bool find_amount(tw_harness_source *source, const tw_fitting_keys *keys,
                        const tw_fitting *fitting, double *amount)
{
    static const char *const wanted[] = {"leave it out, and give \"count: 6\"",
                                         "give \"length: 400 mm\"", "give \"area: 12 dm2\""};
    static const char *const by[] = {"the piece", "length", "area"};
    const double given[] = {1, keys->length, keys->area};
    const tw_place other = keys->length > 0 && fitting->per != TW_PER_LENGTH ? keys->length_place
                           : keys->area > 0 && fitting->per != TW_PER_AREA   ? keys->area_place
                                                                             : (tw_place){0, 0};

    if (other.line != 0 || !(given[fitting->per] > 0)) {
        tw_reader_fault(&source->reader, other.line != 0 ? other : keys->place, TW_ERR_KEY,
                        keys->name, wanted[fitting->per], "fitting \"%s\" is weighed by %s",
                        keys->name, by[fitting->per]);
        return false;
    }
    *amount = given[fitting->per] * (double)(keys->count ? keys->count : 1);
    return true;
}

static void make_fitting(tw_harness_job *job, tw_harness_source *source,
                         const tw_fitting_keys *keys, tw_fitting_spec *out)
{
    const tw_fitting *known = NULL;

    out->place = keys->place;
    if (keys->faulty)
        return;
    if (keys->each + keys->per_length + keys->per_area > 0) {
        out->fitting = fitting_of(keys);
    } else {
        for (size_t k = 0; k < job->own_count && !known; k++)
            if (tw_name_same(keys->name, job->own[k].fitting.name))
                known = &job->own[k].fitting;
        if (!known)
            known = tw_fitting_find(keys->name);
        if (!known) {
            tell_unknown(job, source, keys);
            return;
        }
        out->fitting = *known;
        if (keys->what >= 0)
            out->fitting.what = (tw_fitting_class)keys->what;
    }
    find_amount(source, keys, &out->fitting, &out->amount);
}

void tw_harness_fittings(tw_harness_job *job)
{
    make_table(job);
    for (tw_harness_source *source = job->done; source; source = source->next_done)
        for (size_t k = 0; k < source->part_count; k++) {
            const tw_part_keys *keys = &source->parts[k];
            tw_part_spec *part = &job->file->parts[source->first_part + k];
            part->fittings = tw_harness_array(job, keys->fitting_count, sizeof *part->fittings);
            part->fitting_count = part->fittings ? keys->fitting_count : 0;
            for (size_t j = 0; j < part->fitting_count && !job->no_memory; j++)
                make_fitting(job, source, &keys->fittings[j], &part->fittings[j]);
        }
}
