/*
 * plate_file.c: from bytes to a plate's profile: its rows are read, then what depends on several keys is
 * checked and mirrored. A struct is handed out only when there is no error.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdlib.h>

static const tw_document_kind plate_kind = {TW_GROUP_TOP, "the profile", "plate: NAME"};

void tw_profile_free(tw_profile *profile)
{
    if (profile)
        tw_arena_free(profile->arena);
}

static void read_all(tw_reader *reader, const char *data, size_t size)
{
    tw_profile *profile = reader->profile;
    const tw_node *root = tw_document_root(reader, data, size);

    if (!root || tw_document_mistaken(reader, root))
        return;
    profile->outline.kind = TW_OUTLINE_RIM;
    profile->scale_uncertainty = NAN;
    profile->measured_to = 1; /* common practice: a tape or a ruler on a bench is read to this */
    if (!tw_read_map(reader, root, TW_GROUP_TOP, "the profile", profile) || reader->no_memory)
        return;
    tw_check_profile(reader);
    if (profile->symmetric && reader->errors.count > 0)
        return; /* half an outline has not got its edge names yet */
    if (profile->symmetric) {
        tw_mirror_profile(reader);
        if (reader->errors.count == 0 && !reader->no_memory)
            tw_check_names(reader);
    }
    if (!reader->outline_in_doubt && !reader->no_memory)
        tw_check_edges(reader);
    if (!reader->no_memory)
        tw_check_keeps(reader);
}

tw_status tw_profile_read_memory(const char *name, const char *data, size_t size,
                                 const tw_setting *settings, size_t setting_count, tw_profile **out,
                                 tw_notes *errors)
{
    tw_reader *reader = calloc(1, sizeof *reader);
    tw_arena *arena = reader ? tw_arena_new() : NULL;
    tw_status status = TW_ERR_MEMORY;

    if (errors)
        errors->count = 0;
    if (arena)
        reader->profile = tw_document_new(arena, name, data, size, settings, setting_count);
    if (arena && reader->profile) {
        reader->arena = arena;
        reader->kind = &plate_kind;
        read_all(reader, data, size);
        status = tw_reader_status(reader);
    }
    if (status == TW_OK) {
        *out = reader->profile;
        arena = NULL;
    } else if (status == TW_ERR_MEMORY) { /* whatever else was found */
        tw_reader_memory(name, "the profile", errors);
    } else if (errors) {
        *errors = reader->errors;
    }
    tw_arena_free(arena);
    free(reader);
    return status;
}

tw_status tw_profile_read(const char *path, const tw_setting *settings, size_t setting_count,
                          tw_profile **out, tw_notes *errors)
{
    char *data = NULL;
    size_t size = 0;
    tw_status status = tw_document_load(path, &data, &size, errors);

    if (status != TW_OK)
        return status;
    status = tw_profile_read_memory(path, data, size, settings, setting_count, out, errors);
    free(data);
    return status;
}

/* The path as a last setting: an error of it is one of the path, as nothing is read into a plate here. */
static tw_status look_up(const char *file, const char *data, size_t size,
                         const tw_setting *settings, size_t setting_count, tw_reader *reader,
                         bool *known, tw_error *err)
{
    const int place = -(int)setting_count;
    const tw_node *root;

    reader->kind = &plate_kind;
    reader->profile = tw_document_new(reader->arena, file, data, size, settings, setting_count);
    root = reader->profile ? tw_document_root(reader, data, size) : NULL;
    if (!reader->profile || reader->no_memory)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out while reading the profile");
    if (!root) {
        if (err)
            *err = reader->errors.items[0];
        return reader->errors.items[0].status;
    }
    *known = true;
    for (size_t k = 0; k < reader->errors.count && k < TW_NOTES_MAX; k++) {
        if (reader->kept[k].line != place)
            continue;
        *known = false;
        if (err)
            *err = reader->errors.items[k];
    }
    return TW_OK;
}

tw_status tw_profile_knows(const char *file, const tw_setting *settings, size_t setting_count,
                           const char *path, bool *known, tw_error *err)
{
    tw_setting *all = calloc(setting_count + 1, sizeof *all);
    tw_reader *reader = calloc(1, sizeof *reader);
    tw_notes *errors = calloc(1, sizeof *errors);
    char *data = NULL;
    size_t size = 0;
    tw_status status = TW_ERR_MEMORY;

    if (reader)
        reader->arena = tw_arena_new();
    if (all && errors && reader && reader->arena) {
        for (size_t k = 0; k < setting_count; k++)
            all[k] = settings[k];
        all[setting_count] = (tw_setting){path, "0"};
        status = tw_document_load(file, &data, &size, errors);
        if (status == TW_OK)
            status = look_up(file, data, size, all, setting_count + 1, reader, known, err);
        else if (err)
            *err = errors->items[0];
    } else {
        tw_fail(err, status, "memory ran out while reading the profile");
    }
    if (reader)
        tw_arena_free(reader->arena);
    free(data);
    free(errors);
    free(reader);
    free(all);
    return status;
}
