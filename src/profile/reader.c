/*
 * reader.c: from the tree to structs, by the rows of the schema. Errors are collected, kept in the order of
 * the file, and reading goes on with the other keys.
 */
#include "reader_internal.h"

#include <stdio.h>
#include <string.h>

/* ---- errors -------------------------------------------------------------------------------- */

void *tw_reader_array(tw_reader *reader, size_t count, size_t size)
{
    void *room = tw_arena_array(reader->arena, count, size);

    if (!room)
        reader->no_memory = true;
    return room;
}

char *tw_reader_text(tw_reader *reader, const char *format, ...)
{
    va_list arguments;
    char text[512], *copy;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    copy = tw_arena_text(reader->arena, text);
    if (!copy)
        reader->no_memory = true;
    return copy;
}

void tw_profile_place(const tw_profile *profile, tw_place place, tw_error *err)
{
    if (!err)
        return;
    err->line = err->column = 0;
    err->source[0] = '\0';
    if (place.line < 0 && (size_t)-place.line <= profile->setting_count) {
        const tw_setting *setting = &profile->settings[-place.line - 1];
        char whole[sizeof err->file * 2];
        snprintf(whole, sizeof whole, "--set %s=%s", setting->path, setting->value);
        tw_text_tidy(whole, err->file, sizeof err->file);
        return;
    }
    if (profile->file) /* a profile that a program filled by itself has none, nor a text */
        tw_text_tidy(profile->file, err->file, sizeof err->file);
    if (place.line <= 0)
        return;
    err->line = place.line;
    err->column = place.column;
    if (profile->text)
        tw_text_line(profile->text, place.line, err->source, sizeof err->source, false);
}

/* Settings come after the file's own lines; among equal places the first found stays first. */
static bool is_before(tw_place a, tw_place b)
{
    if ((a.line < 0) != (b.line < 0))
        return a.line > b.line;
    if (a.line != b.line)
        return a.line < 0 ? a.line > b.line : a.line < b.line;
    return a.column < b.column;
}

/* Place for one more error, kept in order; NULL when it stands behind all that can be kept. */
static tw_error *make_room(tw_reader *reader, tw_place place)
{
    tw_notes *list = &reader->errors;
    size_t held = list->count < TW_NOTES_MAX ? list->count : TW_NOTES_MAX, at = held;

    list->count++;
    while (at > 0 && is_before(place, reader->kept[at - 1]))
        at--;
    if (at == TW_NOTES_MAX)
        return NULL;
    if (held == TW_NOTES_MAX)
        held--;
    memmove(&list->items[at + 1], &list->items[at], (held - at) * sizeof *list->items);
    memmove(&reader->kept[at + 1], &reader->kept[at], (held - at) * sizeof *reader->kept);
    reader->kept[at] = place;
    return &list->items[at];
}

void tw_reader_fault(tw_reader *reader, tw_place place, tw_status status, const char *value,
                     const char *advice, const char *message, ...)
{
    tw_error *err = make_room(reader, place);
    char text[sizeof err->message * 2], value_text[sizeof err->value];
    va_list arguments;

    if (!err)
        return;
    va_start(arguments, message);
    vsnprintf(text, sizeof text, message, arguments);
    va_end(arguments);
    tw_fail(err, status, "%s", "");
    tw_text_tidy(text, err->message, sizeof err->message);
    tw_text_tidy(value ? value : "", value_text, sizeof value_text);
    tw_error_advise(err, value_text, NULL);
    tw_text_tidy(advice ? advice : "", err->advice, sizeof err->advice);
    tw_profile_place(reader->profile, place, err);
    if (reader->table && reader->cell)
        tw_table_place(reader->sheet, reader->cell, err);
    if (reader->table && !reader->cell) {
        tw_text_tidy(reader->table, err->file, sizeof err->file);
        err->line = reader->table_place.line;
        err->column = reader->table_place.column;
        tw_text_tidy(reader->table_source ? reader->table_source : "", err->source,
                     sizeof err->source);
    }
}

void tw_reader_pass(tw_reader *reader, tw_place place, const char *key, const tw_error *err)
{
    tw_reader_fault(reader, place, err->status, err->value, err->advice, "%s: %s", key,
                    err->message);
}

/* ---- maps and lists ------------------------------------------------------------------------ */

bool tw_key_misspelt(const tw_node *map, tw_group group, const char *name)
{
    for (const tw_node *child = map->first; child; child = child->next) {
        const char *near =
            tw_schema_find(group, child->key) ? NULL : tw_schema_nearest(group, child->key);
        if (near && strcmp(near, name) == 0)
            return true;
    }
    return false;
}

bool tw_read_map(tw_reader *reader, const tw_node *node, tw_group group, const char *what,
                 void *target)
{
    const tw_schema_table table = tw_schema_of(group);
    const tw_key *const keys = table.keys;
    char advice[160];

    if (node->kind != TW_NODE_MAP) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text, "write {key: value, …}",
                        "%s takes keys with values", what);
        return false;
    }
    for (size_t k = 0; k < table.count; k++) {
        const tw_node *child;
        if (keys[k].group != group)
            continue;
        child = tw_tree_find(node, keys[k].name);
        if (child) {
            if (keys[k].place) {
                tw_place *place = (tw_place *)(void *)((char *)target + keys[k].place);
                *place = child->place;
            }
            keys[k].read(reader, child, &keys[k], (char *)target + keys[k].where);
        } else if (keys[k].required && !tw_key_misspelt(node, group, keys[k].name)) {
            snprintf(advice, sizeof advice, "add \"%s:\", it takes %s", keys[k].name,
                     table.infos[k].takes);
            tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, advice, "%s lacks \"%s\"", what,
                            keys[k].name);
        }
    }
    for (const tw_node *child = node->first; child; child = child->next) {
        const char *near;
        if (tw_schema_find(group, child->key))
            continue;
        if (child->key[0] >= '0' && child->key[0] <= '9') { /* {across: 70,5 mm} is two entries */
            snprintf(advice, sizeof advice,
                     "write the number before it and \"%.40s\" as one, "
                     "with a point, like 70.5 mm",
                     child->key);
            tw_reader_fault(
                reader, child->key_place, TW_ERR_SYNTAX, child->key, advice,
                "\"%s\" stands alone in %s: a decimal comma ends an entry inside braces",
                child->key, what);
            continue;
        }
        near = tw_schema_nearest(group, child->key);
        if (near)
            snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
        tw_reader_fault(reader, child->key_place, TW_ERR_KEY, child->key, near ? advice : NULL,
                        "unknown key \"%s\" in %s", child->key, what);
    }
    return true;
}

void *tw_read_list(tw_reader *reader, const tw_node *node, const char *what, size_t size,
                   size_t *count)
{
    void *room;

    if (node->kind != TW_NODE_LIST) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write [ … ], or each on a line of its own that begins with \"- \"",
                        "%s takes a list", what);
        return NULL;
    }
    room = tw_reader_array(reader, node->count, size);
    if (room)
        *count = node->count;
    return room;
}

bool tw_read_line(tw_reader *reader, const tw_node *node, const char *what)
{
    if (node->kind != TW_NODE_TEXT) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, NULL, NULL,
                        "%s takes one value, not a %s", what,
                        node->kind == TW_NODE_LIST ? "list" : "map");
        return false;
    }
    if (node->text[strspn(node->text, " \t\r\n")] == '\0') {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "write its value, or leave it out",
                        "%s is empty", what);
        return false;
    }
    if (strpbrk(node->text, "\r\n")) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text, "write it on one line",
                        "%s has more than one line", what);
        return false;
    }
    return true;
}
