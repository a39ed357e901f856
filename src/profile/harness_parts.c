/*
 * harness_parts.c: the parts of all files in one list, the names they answer to, and the profiles of
 * their plates, each file read once.
 */
#include "harness_file_internal.h"
#include "profile_internal.h"

#include "taperwright/files.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- names --------------------------------------------------------------------------------- */

void tw_harness_twice(tw_harness_source *source, tw_place place, const char *what, const char *name,
                      const tw_harness_source *first, tw_place first_place)
{
    char where[300] = "";

    if (first != source)
        snprintf(where, sizeof where, ", first in %s:%d", first->reader.profile->file,
                 first_place.line);
    else if (first_place.line > 0)
        snprintf(where, sizeof where, ", first in line %d", first_place.line);
    tw_reader_fault(&source->reader, place, TW_ERR_KEY, name, "give each its own name",
                    "%s \"%s\" is there twice%s", what, name, where);
}

const tw_part_name *tw_harness_name(const tw_harness_job *job, const char *name)
{
    for (size_t k = 0; k < job->name_count; k++)
        if (tw_name_same(name, job->names[k].name))
            return &job->names[k];
    return NULL;
}

const char *tw_harness_near_name(tw_harness_job *job, const char *name)
{
    const char **names = tw_harness_array(job, job->name_count, sizeof *names);

    for (size_t k = 0; names && k < job->name_count; k++)
        names[k] = job->names[k].name;
    return names ? tw_nearest_word(name, names, job->name_count) : NULL;
}

/* The file that lists a part. */
static const tw_harness_source *source_of(const tw_harness_job *job, size_t part)
{
    const tw_harness_source *source = job->done;

    while (part >= source->first_part + source->part_count)
        source = source->next_done;
    return source;
}

static void tell_clash(tw_harness_job *job, tw_harness_source *source, const tw_part_keys *keys,
                       const char *name, const tw_part_name *other)
{
    const tw_harness_source *first = source_of(job, other->part);
    const tw_part_keys *twin = &first->parts[other->part - first->first_part];

    if (tw_name_same(keys->part.name, twin->part.name))
        tw_harness_twice(source, keys->name_place, "part", name, first, twin->name_place);
    else
        tw_reader_fault(&source->reader, keys->name_place, TW_ERR_KEY, name,
                        "a pair answers to NAME, NAME left and NAME right",
                        "part \"%s\" clashes with %s \"%s\" of line %d", keys->part.name,
                        twin->part.mirror ? "the pair" : "the part", twin->part.name,
                        twin->name_place.line);
}

/* A pair also answers to the names of its two. */
static void name_part(tw_harness_job *job, tw_harness_source *source, size_t at)
{
    static const char *const sides[] = {"%s", "%s left", "%s right"};
    const tw_part_keys *keys = &source->parts[at];
    const size_t before = job->name_count;
    bool clash = false;

    for (size_t k = 0; keys->part.name && k < (keys->part.mirror ? 3 : 1); k++) {
        const size_t size = strlen(keys->part.name) + 8;
        char *name = tw_harness_array(job, size, 1);
        const tw_part_name *other;
        if (!name)
            return;
        if (k == 0)
            strcpy(name, keys->part.name);
        else
            snprintf(name, size, k == 1 ? sides[1] : sides[2], keys->part.name);
        other = tw_harness_name(job, name);
        if (other && other < job->names + before && !clash)
            tell_clash(job, source, keys, name, other);
        clash = clash || other;
        job->names[job->name_count++] =
            (tw_part_name){name, source->first_part + at, keys->part.mirror && k == 0};
    }
}

/* ---- plates -------------------------------------------------------------------------------- */

/* The profile at a path, read or read before; NULL after errors. */
static tw_profile *read_plate(tw_harness_job *job, tw_harness_source *source, const char *path,
                              tw_place place)
{
    unsigned long long device = 0, inode = 0;
    tw_plate_file *made;
    tw_notes *errors;
    char *data = NULL;
    size_t size = 0;
    tw_error err;

    if (tw_file_identity(path, &device, &inode))
        for (tw_plate_file *plate = job->plates; plate; plate = plate->next)
            if (plate->device == device && plate->inode == inode)
                return plate->profile;
    if (tw_file_read(path, TW_PROFILE_CEILING, &data, &size, &err) != TW_OK) {
        job->no_memory = job->no_memory || err.status == TW_ERR_MEMORY;
        tw_reader_fault(&source->reader, place, err.status, path,
                        "its path is relative to the folder of the file that names it",
                        "plate \"%s\": %s", path, err.message);
        return NULL;
    }
    made = tw_harness_array(job, 1, sizeof *made);
    errors = made ? calloc(1, sizeof *errors) : NULL;
    if (!errors) {
        job->no_memory = true;
        free(data);
        return NULL;
    }
    made->device = device;
    made->inode = inode;
    made->next = job->plates;
    job->plates = made;
    if (tw_profile_read_memory(path, data, size, NULL, 0, &made->profile, errors) == TW_ERR_MEMORY)
        job->no_memory = true;
    tw_notes_join(&job->plate_errors, errors);
    free(errors);
    free(data);
    return made->profile;
}

static void check_map(tw_harness_source *source, const tw_piece_keys *keys,
                      const tw_profile *profile)
{
    static const char *const maps[] = {"sheet", "forged", "readings", "image"};
    const bool has[] = {profile->has_sheet, profile->has_forged, profile->has_readings,
                        profile->has_image};
    const bool any = has[0] || has[1] || has[2] || has[3];
    char advice[160];
    size_t used;

    if (profile->form != TW_FORM_NONE && !any) {
        tw_reader_fault(&source->reader, keys->file_place, TW_ERR_INPUT, profile->file,
                        "add \"thickness: {sheet: 1.6 mm}\", a forged one or readings to it",
                        "plate \"%s\" gives no thickness", profile->plate);
        return;
    }
    if (!keys->piece.map_given || has[keys->piece.map])
        return;
    used =
        (size_t)snprintf(advice, sizeof advice, "leave map out%s", any ? ", or write one of:" : "");
    for (size_t k = 0; k < sizeof has / sizeof *has; k++)
        if (has[k])
            used += (size_t)snprintf(advice + used, sizeof advice - used, " %s", maps[k]);
    tw_reader_fault(&source->reader, keys->map_place, TW_ERR_INPUT, maps[keys->piece.map], advice,
                    "plate \"%s\" has no %s map", profile->plate, maps[keys->piece.map]);
}

static void check_overlap(tw_harness_job *job, tw_harness_source *source, const tw_piece_keys *keys,
                          const tw_profile *profile)
{
    const char *edge = keys->piece.overlap_edge, *near;
    const size_t count = tw_edge_count(profile);
    const char **names;
    char advice[160];
    size_t used = 0;

    if (!edge)
        return;
    if (profile->form == TW_FORM_NONE) {
        tw_reader_fault(&source->reader, keys->overlap_place, TW_ERR_INPUT, NULL, "leave it out",
                        "plate \"%s\" is given by its area: it has no edges that overlap",
                        profile->plate);
        return;
    }
    if (tw_edge_known(profile, edge))
        return;
    names = tw_harness_array(job, count, sizeof *names);
    if (!names)
        return;
    for (size_t k = 0; k < count; k++)
        names[k] = tw_edge_name(profile, k);
    near = tw_nearest_word(edge, names, count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
    else
        for (size_t k = 0; k < count && used < sizeof advice; k++)
            used += (size_t)snprintf(advice + used, sizeof advice - used, "%s%s",
                                     k ? ", " : "its outline has: ", names[k]);
    tw_reader_fault(&source->reader, keys->edge_place, TW_ERR_KEY, edge, advice,
                    "plate \"%s\" has no edge \"%s\"", profile->plate, edge);
}

/* @return false when a plate of the part is not known, so that its kind cannot be told either */
static bool make_pieces(tw_harness_job *job, tw_harness_source *source, tw_part_keys *keys,
                        tw_part_spec *part)
{
    tw_piece_spec *piece = tw_harness_array(job, keys->piece_count, sizeof *piece);
    bool whole = true;

    part->pieces = piece;
    part->piece_count = piece ? keys->piece_count : 0;
    for (size_t k = 0; k < part->piece_count && !job->no_memory; k++, piece++) {
        const tw_piece_keys *from = &keys->pieces[k];
        *piece = from->piece;
        if (piece->file)
            piece->file = tw_document_beside(&source->reader, piece->file);
        if (piece->file)
            piece->profile = read_plate(job, source, piece->file, from->file_place);
        whole = whole && piece->profile;
        if (!piece->profile || from->faulty)
            continue;
        check_map(source, from, piece->profile);
        check_overlap(job, source, from, piece->profile);
    }
    return whole;
}

/* ---- parts --------------------------------------------------------------------------------- */

static void make_part(tw_harness_job *job, tw_harness_source *source, size_t at)
{
    tw_part_keys *keys = &source->parts[at];
    tw_part_spec *part = &job->file->parts[source->first_part + at];
    bool whole;

    *part = keys->part;
    part->document = source->reader.profile;
    part->file = part->document->file;
    whole = make_pieces(job, source, keys, part);
    for (size_t k = 0; k < part->piece_count && !part->kind; k++)
        if (part->pieces[k].profile)
            part->kind = part->pieces[k].profile->kind;
    if (!part->kind && keys->kind_place.line == 0 && whole && part->name)
        tw_reader_fault(&source->reader, part->place, TW_ERR_KEY, part->name,
                        "add \"kind: breastplate\"; \"taperwright new\" lists the kinds",
                        "part \"%s\" lacks its kind%s", part->name,
                        part->piece_count ? ", and its plate has none either" : "");
}

bool tw_harness_parts(tw_harness_job *job)
{
    tw_harness_file *file = job->file;
    tw_reader *first = &job->met->reader;
    size_t count = 0;

    for (tw_harness_source *source = job->done; source; source = source->next_done) {
        source->first_part = count;
        count += source->part_count;
        if (count > TW_PARTS_MAX) {
            tw_reader_fault(&source->reader,
                            source->parts[TW_PARTS_MAX - source->first_part].part.place,
                            TW_ERR_LIMIT, NULL, NULL, "more than %d parts", TW_PARTS_MAX);
            return false;
        }
    }
    if (count == 0 && first->root && first->errors.count == 0)
        tw_reader_fault(first, first->root->place, TW_ERR_KEY, NULL,
                        "add \"parts:\", a list of parts, or include a file that has some",
                        "the harness has no part");
    file->harness = first->profile->plate;
    file->file = first->profile->file;
    file->note = first->profile->note;
    file->date = first->profile->date;
    file->part_count = count;
    file->parts = tw_harness_array(job, count, sizeof *file->parts);
    job->names = tw_harness_array(job, 3 * count, sizeof *job->names);
    for (tw_harness_source *source = job->done; source && !job->no_memory;
         source = source->next_done)
        for (size_t k = 0; k < source->part_count && !job->no_memory; k++) {
            name_part(job, source, k);
            make_part(job, source, k);
        }
    return !job->no_memory;
}

void tw_harness_join(tw_harness_job *job)
{
    if (tw_harness_parts(job))
        tw_harness_fittings(job);
    if (!job->no_memory && job->file->parts)
        tw_harness_scales(job);
    if (!job->no_memory && job->file->scales)
        tw_harness_weighings(job);
    if (!job->no_memory && job->file->parts)
        tw_harness_sets(job);
}
