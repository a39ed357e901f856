/*
 * harness_file.c: harness files, from bytes to one list of parts. A file is known by its device and
 * inode, so that one reached by two paths is read once and a file that leads back to itself is found.
 */
#include "harness_file_internal.h"

#include "taperwright/files.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static const tw_document_kind harness_kind = {TW_GROUP_HARNESS, "the harness file",
                                              "harness: NAME"};

void *tw_harness_array(tw_harness_job *job, size_t count, size_t size)
{
    void *room = tw_arena_array(job->arena, count, size);

    if (!room)
        job->no_memory = true;
    return room;
}

bool tw_file_identity(const char *path, unsigned long long *device, unsigned long long *inode)
{
    struct stat about;

    if (stat(path, &about) != 0)
        return false;
    *device = (unsigned long long)about.st_dev;
    *inode = (unsigned long long)about.st_ino;
    return true;
}

/* ---- one file ------------------------------------------------------------------------------ */

static tw_harness_source *new_source(tw_harness_job *job, tw_harness_source *from, const char *name,
                                     const char *data, size_t size, const tw_setting *settings,
                                     size_t setting_count)
{
    tw_harness_source *source = calloc(1, sizeof *source);

    if (source)
        source->reader.profile =
            tw_document_new(job->arena, name, data, size, settings, setting_count);
    if (!source || !source->reader.profile) {
        free(source);
        job->no_memory = true;
        return NULL;
    }
    source->reader.arena = job->arena;
    source->reader.kind = &harness_kind;
    source->reader.into = source;
    source->from = from;
    *job->met_end = source;
    job->met_end = &source->next_met;
    job->source_count++;
    return source;
}

static void read_source(tw_harness_job *job, tw_harness_source *source, const char *data,
                        size_t size);

/* "harness.yaml > arms.yaml > harness.yaml": how a file leads back to itself. */
static void tell_circle(tw_harness_source *source, tw_place place, const tw_harness_source *twin)
{
    const char *names[TW_INCLUDE_MAX + 2];
    size_t count = 0, used;
    char chain[512];

    for (const tw_harness_source *at = source; at && count < TW_INCLUDE_MAX + 2; at = at->from) {
        names[count++] = at->reader.profile->file;
        if (at == twin)
            break;
    }
    used = (size_t)snprintf(chain, sizeof chain, "%s", names[--count]);
    for (size_t k = count; k > 0 && used < sizeof chain; k--)
        used += (size_t)snprintf(chain + used, sizeof chain - used, " > %s", names[k - 1]);
    if (used < sizeof chain)
        snprintf(chain + used, sizeof chain - used, " > %s", twin->reader.profile->file);
    tw_reader_fault(&source->reader, place, TW_ERR_KEY, NULL, "leave out one include of the circle",
                    "the file includes itself: %s", chain);
}

static void include_one(tw_harness_job *job, tw_harness_source *source, const char *name,
                        tw_place place)
{
    const char *path = tw_document_beside(&source->reader, name);
    unsigned long long device = 0, inode = 0;
    tw_harness_source *made;
    char *data = NULL;
    size_t size = 0, depth = 0;
    tw_error err;

    if (!path)
        return;
    for (const tw_harness_source *at = source->from; at; at = at->from)
        depth++;
    if (tw_file_identity(path, &device, &inode))
        for (tw_harness_source *twin = job->met; twin; twin = twin->next_met)
            if (twin->device == device && twin->inode == inode) {
                if (twin->open)
                    tell_circle(source, place, twin);
                return;
            }
    if (depth >= TW_INCLUDE_MAX) {
        tw_reader_fault(&source->reader, place, TW_ERR_LIMIT, name, NULL,
                        "files are included in each other more than %d deep", TW_INCLUDE_MAX);
        return;
    }
    if (job->source_count >= TW_HARNESS_FILES_MAX) {
        tw_reader_fault(&source->reader, place, TW_ERR_LIMIT, name, NULL,
                        "more than %d harness files", TW_HARNESS_FILES_MAX);
        return;
    }
    if (tw_file_read(path, TW_PROFILE_CEILING, &data, &size, &err) != TW_OK) {
        if (err.status == TW_ERR_MEMORY)
            job->no_memory = true;
        tw_reader_fault(&source->reader, place, err.status, name,
                        "its path is relative to the folder of the file that names it",
                        "included file \"%s\": %s", path, err.message);
        return;
    }
    made = new_source(job, source, path, data, size, NULL, 0);
    if (made) {
        made->device = device;
        made->inode = inode;
        read_source(job, made, data, size);
    }
    free(data);
}

static void read_source(tw_harness_job *job, tw_harness_source *source, const char *data,
                        size_t size)
{
    tw_reader *reader = &source->reader;
    const tw_node *root = tw_document_root(reader, data, size);

    source->open = true;
    if (root && tw_document_mistaken(reader, root))
        root = NULL;
    if (root && tw_read_map(reader, root, TW_GROUP_HARNESS, reader->kind->what, reader->profile)) {
        if (!source->from && !tw_tree_find(root, "harness"))
            tw_reader_fault(reader, root->place, TW_ERR_KEY, NULL, "add \"harness: NAME\"",
                            "the harness file lacks its name");
        for (size_t k = 0; k < source->include.count && !job->no_memory; k++)
            if (source->include.names[k])
                include_one(job, source, source->include.names[k], source->include.places[k]);
    }
    source->open = false;
    *job->done_end = source;
    job->done_end = &source->next_done;
}

/* ---- the whole ----------------------------------------------------------------------------- */

/* All errors: the first file's, then those of the others as they were met, then the plates'. */
static tw_status collect(tw_harness_job *job, tw_notes *all)
{
    all->count = 0;
    for (tw_harness_source *source = job->met; source; source = source->next_met) {
        job->no_memory = job->no_memory || source->reader.no_memory;
        tw_notes_join(all, &source->reader.errors);
    }
    tw_notes_join(all, &job->plate_errors);
    if (job->no_memory)
        return TW_ERR_MEMORY;
    return all->count ? all->items[0].status : TW_OK;
}

static void release(tw_harness_job *job)
{
    for (tw_harness_source *source = job->met, *next; source; source = next) {
        next = source->next_met;
        free(source);
    }
    for (tw_plate_file *plate = job->plates; plate; plate = plate->next)
        tw_profile_free(plate->profile);
    tw_arena_free(job->arena);
}

/* The profiles pass from the job to the file that is handed out. */
static bool hand_over(tw_harness_job *job)
{
    tw_harness_file *file = job->file;
    size_t n = 0;

    for (const tw_plate_file *plate = job->plates; plate; plate = plate->next)
        n += plate->profile != NULL;
    file->profiles = tw_harness_array(job, n, sizeof *file->profiles);
    if (!file->profiles)
        return false;
    file->profile_count = n;
    for (tw_plate_file *plate = job->plates; plate;
         plate = plate->next) /* the last read is first */
        if (plate->profile) {
            file->profiles[--n] = plate->profile;
            plate->profile = NULL;
        }
    file->arena = job->arena;
    job->arena = NULL;
    return true;
}

static tw_status read_harness(const char *name, const char *data, size_t size, bool is_file,
                              const tw_setting *settings, size_t setting_count,
                              tw_harness_file **out, tw_notes *errors)
{
    tw_harness_job *job = calloc(1, sizeof *job);
    tw_notes *all = job ? calloc(1, sizeof *all) : NULL;
    tw_harness_source *source = NULL;
    tw_status status = TW_ERR_MEMORY;

    if (errors)
        errors->count = 0;
    if (all) {
        job->met_end = &job->met;
        job->done_end = &job->done;
        job->arena = tw_arena_new();
        job->file = job->arena ? tw_harness_array(job, 1, sizeof *job->file) : NULL;
    }
    if (all && job->file)
        source = new_source(job, NULL, name, data, size, settings, setting_count);
    if (source) {
        if (is_file)
            tw_file_identity(name, &source->device, &source->inode);
        read_source(job, source, data, size);
        job->file->document = source->reader.profile;
        if (!job->no_memory && !source->reader.no_memory)
            tw_harness_join(job);
        status = collect(job, all);
    }
    if (status == TW_OK && hand_over(job)) {
        *out = job->file;
    } else if (status == TW_OK || status == TW_ERR_MEMORY) {
        status = TW_ERR_MEMORY;
        tw_reader_memory(name, "the harness", errors);
    } else if (errors) {
        *errors = *all;
    }
    if (job)
        release(job);
    free(all);
    free(job);
    return status;
}

tw_status tw_harness_file_read_memory(const char *name, const char *data, size_t size,
                                      const tw_setting *settings, size_t setting_count,
                                      tw_harness_file **out, tw_notes *errors)
{
    return read_harness(name, data, size, false, settings, setting_count, out, errors);
}

tw_status tw_harness_file_read(const char *path, const tw_setting *settings, size_t setting_count,
                               tw_harness_file **out, tw_notes *errors)
{
    char *data = NULL;
    size_t size = 0;
    tw_status status = tw_document_load(path, &data, &size, errors);

    if (status != TW_OK)
        return status;
    status = read_harness(path, data, size, true, settings, setting_count, out, errors);
    free(data);
    return status;
}

void tw_harness_file_free(tw_harness_file *file)
{
    if (!file)
        return;
    for (size_t k = 0; k < file->profile_count; k++)
        tw_profile_free(file->profiles[k]);
    tw_arena_free(file->arena);
}
