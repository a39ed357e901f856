/* rules_file.c: files of least thicknesses, as events and clubs write them into their rules. */
#include "harness_file_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LIMITS_MAX = 200 };

void tw_read_where(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    const char *name;
    char advice[160];

    if (!tw_read_line(reader, node, key->name) || strcmp(node->text, "everywhere") == 0)
        return;
    if (strncmp(node->text, "zone ", 5) == 0) {
        name = node->text + 5;
        name += strspn(name, " ");
        if (*name != '\0') {
            *(const char **)target = name;
            return;
        }
    }
    snprintf(advice, sizeof advice, "write \"zone %.60s\" for a strike zone, or \"everywhere\"",
             strncmp(node->text, "zone", 4) == 0 ? "NAME" : node->text);
    tw_reader_fault(reader, node->place, TW_ERR_KEY, node->text, advice,
                    "\"%s\" is no place of a limit", node->text);
}

void tw_read_limits(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_rules_file *rules = reader->into;
    tw_limit_spec *made = tw_read_list(reader, node, key->name, sizeof *made, &rules->count);

    (void)target;
    rules->limits = made;
    if (made && rules->count == 0)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "write [{least: 1.5 mm}]",
                        "the list of limits is empty");
    if (rules->count > LIMITS_MAX) {
        tw_reader_fault(reader, node->place, TW_ERR_LIMIT, NULL, NULL, "more than %d limits",
                        LIMITS_MAX);
        return;
    }
    for (const tw_node *child = node->first; made && child; child = child->next, made++) {
        const size_t n = (size_t)(made - rules->limits);
        tw_limit_keys keys = {.when = 0};
        tw_read_map(reader, child, key->inside, "limit", &keys);
        *made = keys.limit;
        made->place = child->place;
        made->before_forming = keys.when == 1;
        made->kind_count = keys.kinds.count;
        made->kinds = keys.kinds.names;
        if (!made->name)
            made->name = tw_reader_text(reader, "limit %zu", n + 1);
        if (made->zone && made->before_forming)
            tw_reader_fault(reader, keys.where_place, TW_ERR_KEY, made->zone,
                            "leave where out, or write \"when: after forming\"",
                            "a sheet before forming has no strike zones");
        for (size_t k = 0; made->name && k < n; k++)
            if (rules->limits[k].name && tw_name_same(made->name, rules->limits[k].name)) {
                tw_reader_fault(reader, child->place, TW_ERR_KEY, made->name,
                                "give each its own name",
                                "limit \"%s\" is there twice, first in line %d", made->name,
                                rules->limits[k].place.line);
                break;
            }
    }
}

static tw_status read_rules(tw_reader *reader, const char *data, size_t size)
{
    static const tw_document_kind kind = {TW_GROUP_RULES, "the rules file", "rules: NAME"};
    tw_rules_file *rules = reader->into;
    const tw_node *root;

    reader->kind = &kind;
    root = tw_document_root(reader, data, size);
    if (root && !tw_document_mistaken(reader, root))
        tw_read_map(reader, root, kind.top, kind.what, reader->profile);
    rules->document = reader->profile;
    rules->file = reader->profile->file;
    rules->rules = reader->profile->plate;
    rules->note = reader->profile->note;
    rules->date = reader->profile->date;
    rules->arena = reader->arena;
    return tw_reader_status(reader);
}

tw_status tw_rules_file_read_memory(const char *name, const char *data, size_t size,
                                    const tw_setting *settings, size_t setting_count,
                                    tw_rules_file **out, tw_notes *errors)
{
    tw_reader *reader = calloc(1, sizeof *reader);
    tw_arena *arena = reader ? tw_arena_new() : NULL;
    tw_rules_file *rules = arena ? tw_arena_array(arena, 1, sizeof *rules) : NULL;
    tw_status status = TW_ERR_MEMORY;

    if (errors)
        errors->count = 0;
    if (rules)
        reader->profile = tw_document_new(arena, name, data, size, settings, setting_count);
    if (rules && reader->profile) {
        reader->arena = arena;
        reader->into = rules;
        status = read_rules(reader, data, size);
    }
    if (status == TW_OK) {
        *out = rules;
        arena = NULL;
    } else if (status == TW_ERR_MEMORY) {
        tw_reader_memory(name, "the rules", errors);
    } else if (errors) {
        *errors = reader->errors;
    }
    tw_arena_free(arena);
    free(reader);
    return status;
}

tw_status tw_rules_file_read(const char *path, const tw_setting *settings, size_t setting_count,
                             tw_rules_file **out, tw_notes *errors)
{
    char *data = NULL;
    size_t size = 0;
    tw_status status = tw_document_load(path, &data, &size, errors);

    if (status != TW_OK)
        return status;
    status = tw_rules_file_read_memory(path, data, size, settings, setting_count, out, errors);
    free(data);
    return status;
}

void tw_rules_file_free(tw_rules_file *file)
{
    if (file)
        tw_arena_free(file->arena);
}
