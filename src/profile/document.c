/*
 * document.c: any file written by hand, up to its tree: bytes are checked before the YAML library may
 * see them, then read and changed as the settings say. The text is kept for the carets of errors.
 */
#include "reader_internal.h"

#include <stdio.h>
#include <string.h>

static const char mark[] = "\xEF\xBB\xBF"; /* byte order mark: some editors put one in front */

tw_profile *tw_document_new(tw_arena *arena, const char *name, const char *data, size_t size,
                            const tw_setting *settings, size_t setting_count)
{
    const size_t kept = size <= TW_PROFILE_CEILING + 3 ? size : 0;
    tw_profile *document = tw_arena_array(arena, 1, sizeof *document);
    tw_setting *copies = document ? tw_arena_array(arena, setting_count, sizeof *copies) : NULL;
    char *text = copies ? tw_arena_array(arena, kept + 1, 1) : NULL;

    if (!text)
        return NULL;
    if (kept)
        memcpy(text, data, kept);
    document->arena = arena;
    document->text = text + (kept >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0);
    document->format = TW_PROFILE_FORMAT;
    document->settings = copies;
    document->setting_count = setting_count;
    document->file = tw_arena_text(arena, name ? name : "");
    for (size_t k = 0; document->file && k < setting_count; k++) {
        copies[k].path = tw_arena_text(arena, settings[k].path);
        copies[k].value = copies[k].path ? tw_arena_text(arena, settings[k].value) : NULL;
        if (!copies[k].value)
            return NULL;
    }
    return document->file ? document : NULL;
}

/* Bytes that can be given to the YAML library at all. */
static bool check_bytes(tw_reader *reader, const char *data, size_t size)
{
    const char *name = *reader->profile->file ? reader->profile->file : reader->kind->what;
    tw_error err;
    char advice[160];
    tw_place place;
    int line;

    if (size == 0) {
        snprintf(advice, sizeof advice, "begin with \"%s\"", reader->kind->begin);
        tw_reader_fault(reader, (tw_place){0, 0}, TW_ERR_INPUT, NULL, advice, "%s is empty", name);
        return false;
    }
    if (size > TW_PROFILE_CEILING) {
        snprintf(advice, sizeof advice, "%s is at most %d bytes", reader->kind->what,
                 TW_PROFILE_CEILING);
        tw_reader_fault(reader, (tw_place){0, 0}, TW_ERR_LIMIT, NULL, advice,
                        "%s is too big (%zu bytes)", name, size);
        return false;
    }
    if (tw_text_check(data, size, &err) != TW_OK) {
        tw_reader_fault(reader, (tw_place){err.line, err.column}, err.status, err.value, err.advice,
                        "%s", err.message);
        return false;
    }
    line = tw_text_long_line(data, size);
    if (line > 0) {
        tw_reader_fault(reader, (tw_place){line, 1}, TW_ERR_LIMIT, NULL, "break it into lines",
                        "a line is longer than %d bytes", TW_LINE_MAX);
        return false;
    }
    if (tw_text_too_deep(data, size, &place)) {
        tw_reader_fault(reader, place, TW_ERR_LIMIT, NULL, NULL,
                        "lists and maps stand inside each other deeper than %d", TW_NEST_MAX);
        return false;
    }
    return true;
}

const tw_node *tw_document_root(tw_reader *reader, const char *data, size_t size)
{
    tw_node *root;

    if (size >= 3 && memcmp(data, mark, 3) == 0) {
        data += 3;
        size -= 3;
    }
    if (!check_bytes(reader, data, size))
        return NULL;
    root = tw_tree_read(reader, data, size, 0);
    if (!root)
        return NULL;
    tw_settings_apply(reader, root);
    if (reader->no_memory)
        return NULL;
    reader->root = root;
    return root;
}

tw_status tw_document_load(const char *path, char **data, size_t *size, tw_notes *errors)
{
    tw_error err;
    const tw_status status = tw_file_read(path, TW_PROFILE_CEILING, data, size, &err);

    if (status == TW_OK)
        return TW_OK;
    if (errors)
        errors->count = 0;
    if (err.file[0] == '\0')
        tw_text_tidy(path, err.file, sizeof err.file);
    tw_notes_add(errors, &err);
    return status;
}

const char *tw_document_beside(tw_reader *reader, const char *file)
{
    const char *own = reader->profile->file, *slash = strrchr(own, '/');
    size_t folder;
    char *path;

    if (file[0] == '/' || !slash)
        return file;
    folder = (size_t)(slash - own) + 1;
    path = tw_reader_array(reader, folder + strlen(file) + 1, 1);
    if (!path)
        return NULL;
    memcpy(path, own, folder);
    memcpy(path + folder, file, strlen(file) + 1);
    return path;
}

tw_status tw_reader_status(const tw_reader *reader)
{
    if (reader->no_memory)
        return TW_ERR_MEMORY;
    return reader->errors.count ? reader->errors.items[0].status : TW_OK;
}

void tw_reader_memory(const char *name, const char *what, tw_notes *errors)
{
    tw_error err;

    tw_fail(&err, TW_ERR_MEMORY, "memory ran out while reading %s", what);
    tw_text_tidy(name ? name : "", err.file, sizeof err.file);
    tw_notes_add(errors, &err);
}

/* A kind of file is told by a key that it has and the wanted one lacks. */
bool tw_document_mistaken(tw_reader *reader, const tw_node *root)
{
    static const char harness[] = "a harness file", plate[] = "a plate's profile";
    static const char rules[] = "a file of least thicknesses";
    static const char to_limits[] = "give it to \"taperwright limits\" with --rules";
    static const char as_rules[] = "name the event's rules after --rules, and the plate by itself";
    static const struct {
        tw_group top;
        const char *wanted, *lacks, *has, *is, *advice;
    } rows[] = {{TW_GROUP_TOP, plate, "plate", "parts", harness,
                 "give it to \"taperwright harness\", or name one of its plates"},
                {TW_GROUP_TOP, plate, "plate", "limits", rules, to_limits},
                {TW_GROUP_HARNESS, harness, "parts", "limits", rules, to_limits},
                {TW_GROUP_HARNESS, harness, "harness", "plate", plate,
                 "name it in \"plate:\" of a part of a harness file"},
                {TW_GROUP_RULES, rules, "limits", "plate", plate, as_rules},
                {TW_GROUP_RULES, rules, "limits", "parts", harness, as_rules}};

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        if (rows[k].top == reader->kind->top && !tw_tree_find(root, rows[k].lacks) &&
            tw_tree_find(root, rows[k].has)) {
            tw_reader_fault(reader, root->place, TW_ERR_INPUT, NULL, rows[k].advice,
                            "this is %s, where %s is wanted", rows[k].is, rows[k].wanted);
            return true;
        }
    return false;
}
