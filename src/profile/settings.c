/*
 * settings.c: `--set path=value` on the tree, before anything is read from it, so that a replaced
 * value goes through the same checks as a written one. A path is keys joined by dots; an item of a
 * list is named by its name, or its number from 1. The last key may be one that was not written.
 */
#include "reader_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SEGMENT_MAX = 120, NAMES_MAX = 200 };

typedef struct walk {
    tw_reader *reader;
    tw_place place; /* of the setting */
    tw_node *node;  /* reached so far */
    tw_group group; /* of node's keys, or of its items' */
    char path[512]; /* to it, for messages */
} walk;

static tw_group listed(const tw_node *list, tw_group group)
{
    return list->kind == TW_NODE_LIST && group == TW_GROUP_OUTLINE ? TW_GROUP_EDGE : group;
}

/* The name of the n-th item (from 1) as settings call it: written, or given; "" when it has none. */
static void item_name(const tw_node *item, size_t n, tw_naming naming, char *name, size_t size)
{
    const tw_node *given =
        naming.key && item->kind == TW_NODE_MAP ? tw_tree_find(item, naming.key) : NULL;

    name[0] = '\0';
    if (given && given->kind == TW_NODE_TEXT)
        snprintf(name, size, "%s", given->text);
    else if (naming.unnamed)
        snprintf(name, size, "%s %zu", naming.unnamed, n);
}

static tw_node *find_item(walk *at, const char *segment)
{
    const tw_naming naming = tw_schema_naming(listed(at->node, at->group));
    const bool digits = segment[strspn(segment, "0123456789")] == '\0';
    const unsigned long number = digits ? strtoul(segment, NULL, 10) : 0;
    char names[NAMES_MAX][SEGMENT_MAX];
    const char *known[NAMES_MAX], *near;
    char advice[160];
    size_t n = 0, known_count = 0;

    for (tw_node *item = at->node->first; item; item = item->next) {
        char name[SEGMENT_MAX];
        item_name(item, ++n, naming, name, sizeof name);
        if (name[0] != '\0' && strcmp(name, segment) == 0)
            return item;
        if (name[0] != '\0' && known_count < NAMES_MAX) {
            memcpy(names[known_count], name, sizeof name);
            known[known_count] = names[known_count];
            known_count++;
        }
    }
    n = 0;
    for (tw_node *item = at->node->first; item && number > 0; item = item->next)
        if (++n == number)
            return item;
    near = digits ? NULL : tw_nearest_word(segment, known, known_count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%.100s\"?", near);
    else if (at->node->count == 0)
        snprintf(advice, sizeof advice, "the list is empty");
    else
        snprintf(advice, sizeof advice, "name an item, or give its number from 1 to %zu",
                 at->node->count);
    tw_reader_fault(at->reader, at->place, TW_ERR_KEY, segment, advice, "no item \"%s\" in %s",
                    segment, at->path);
    return NULL;
}

/* The child a segment names; a key that was not written gives an empty node when it is the last. */
static tw_node *find_child(walk *at, const char *segment, bool last)
{
    const char *near;
    char advice[160];
    tw_node *child;

    if (at->node->kind == TW_NODE_LIST)
        return find_item(at, segment);
    if (at->node->kind == TW_NODE_TEXT) {
        snprintf(advice, sizeof advice, "set the whole of it: %.120s=…", at->path);
        tw_reader_fault(at->reader, at->place, TW_ERR_KEY, segment, advice,
                        "%s is \"%s\" and has no \"%s\" inside", at->path, at->node->text, segment);
        return NULL;
    }
    child = tw_tree_find(at->node, segment);
    if (child)
        return child;
    if (tw_schema_find(at->group, segment)) {
        if (last) {
            child = tw_reader_array(at->reader, 1, sizeof *child);
            if (!child)
                return NULL;
            child->key = tw_reader_text(at->reader, "%s", segment);
            child->key_place = at->place;
            if (child->key)
                tw_tree_append(at->node, child);
            return child;
        }
        snprintf(advice, sizeof advice, "set the whole of it: …%.40s=…, as it stands in a file",
                 segment);
        tw_reader_fault(at->reader, at->place, TW_ERR_KEY, segment, advice,
                        "%s has no \"%s\" to set something inside", at->reader->kind->what,
                        segment);
        return NULL;
    }
    near = tw_schema_nearest(at->group, segment);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
    tw_reader_fault(at->reader, at->place, TW_ERR_KEY, segment, near ? advice : NULL,
                    "unknown key \"%s\" in %s", segment,
                    *at->path ? at->path : at->reader->kind->what);
    return NULL;
}

static void step_into(walk *at, tw_node *child, const char *segment)
{
    const size_t used = strlen(at->path);

    if (at->node->kind == TW_NODE_LIST) {
        at->group = listed(at->node, at->group);
    } else {
        const tw_key *row = tw_schema_find(at->group, segment);
        at->group = row ? row->inside : TW_GROUP_NONE;
    }
    snprintf(at->path + used, sizeof at->path - used, "%s%s", used ? "." : "", segment);
    at->node = child;
}

/* @return the node a path names, or NULL after adding an error */
static tw_node *follow(walk *at, const char *path)
{
    char segment[SEGMENT_MAX];

    for (;;) {
        const size_t length = strcspn(path, ".");
        const bool last = path[length] == '\0';
        tw_node *child;

        if (length == 0 || length >= sizeof segment) {
            tw_reader_fault(at->reader, at->place, TW_ERR_KEY, path,
                            "write keys joined by dots, as thickness.sheet",
                            "a part of the path is %s", length ? "too long" : "empty");
            return NULL;
        }
        memcpy(segment, path, length);
        segment[length] = '\0';
        child = find_child(at, segment, last);
        if (!child || last)
            return child;
        step_into(at, child, segment);
        path += length + 1;
    }
}

static void apply(tw_reader *reader, tw_node *root, size_t number)
{
    const tw_setting *setting = &reader->profile->settings[number - 1];
    const size_t size = strlen(setting->value);
    walk at = {
        .reader = reader, .place = {-(int)number, 0}, .node = root, .group = reader->kind->top};
    tw_node *value, *target;
    tw_place deep;
    tw_error err;

    if (tw_text_check(setting->path, strlen(setting->path), &err) != TW_OK ||
        tw_text_check(setting->value, size, &err) != TW_OK ||
        tw_text_long_line(setting->value, size) > 0 ||
        tw_text_too_deep(setting->value, size, &deep)) {
        tw_reader_fault(reader, at.place, TW_ERR_INPUT, NULL, "give plain text in UTF-8",
                        "the setting is no text, or far too long");
        return;
    }
    value = tw_tree_read(reader, setting->value, size, number);
    if (!value)
        return;
    target = follow(&at, setting->path);
    if (!target)
        return;
    target->kind = value->kind;
    target->text = value->text;
    target->count = value->count;
    target->first = value->first;
    target->last = value->last;
    target->place = value->place;
    target->key_place = at.place;
}

void tw_settings_apply(tw_reader *reader, tw_node *root)
{
    for (size_t k = 0; k < reader->profile->setting_count && !reader->no_memory; k++)
        apply(reader, root, k + 1);
}
