/*
 * schema.c: the rows of the schema by group and key, whichever list they stand in (schema_plate.c,
 * schema_harness.c), and how settings name the items of a list.
 */
#include "reader_internal.h"

#include <string.h>

tw_schema_table tw_schema_of(tw_group group)
{
    if (group >= TW_GROUP_RULES)
        return tw_schema_rules();
    if (group >= TW_GROUP_HARNESS)
        return tw_schema_harness();
    return tw_schema_plate();
}

const tw_key *tw_schema_find(tw_group group, const char *name)
{
    const tw_schema_table table = tw_schema_of(group);

    for (size_t k = 0; k < table.count; k++)
        if (table.keys[k].group == group && strcmp(table.keys[k].name, name) == 0)
            return &table.keys[k];
    return NULL;
}

const char *tw_schema_nearest(tw_group group, const char *word)
{
    const tw_schema_table table = tw_schema_of(group);
    const char *names[TW_MAP_MAX];
    size_t count = 0;

    for (size_t k = 0; k < table.count; k++)
        if (table.keys[k].group == group && count < TW_MAP_MAX)
            names[count++] = table.keys[k].name;
    return tw_nearest_word(word, names, count);
}

tw_naming tw_schema_naming(tw_group group)
{
    static const tw_naming namings[TW_GROUPS] = {
        [TW_GROUP_STRIKE] = {"name", "strike"},     [TW_GROUP_EDGE] = {"edge", "edge"},
        [TW_GROUP_EDGE_THICKNESS] = {"edge", NULL}, [TW_GROUP_TURNED] = {"edge", NULL},
        [TW_GROUP_INSTRUMENT] = {"name", NULL},     [TW_GROUP_READING] = {"name", NULL},
        [TW_GROUP_SCALES] = {"name", NULL},         [TW_GROUP_OWN_FITTING] = {"fitting", NULL},
        [TW_GROUP_PART] = {"name", NULL},           [TW_GROUP_FITTING] = {"fitting", NULL},
        [TW_GROUP_PIECE] = {"file", NULL},          [TW_GROUP_LIMIT] = {"name", "limit"},
        [TW_GROUP_KEEP_ZONE] = {"zone", NULL},      [TW_GROUP_KEEP_EDGE] = {"edge", NULL},
    };

    return namings[group];
}
