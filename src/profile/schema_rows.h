/* schema_rows.h: how the lists of keys become rows; for the files that hold them only. */
#ifndef SCHEMA_ROWS_H
#define SCHEMA_ROWS_H

#include "reader_internal.h"

#define AT(type, field) offsetof(type, field)

/* clang-format off */
#define TW_KEY_ROW(group, required, prefix, key, takes, help, read, where, place, detail, inside) \
    {TW_GROUP_##group, key, read, where, place, (int)(detail), TW_GROUP_##inside, required},
#define TW_INFO_ROW(group, required, prefix, key, takes, help, read, where, place, detail, inside) \
    {prefix key, takes, help, required},
/* clang-format on */

#endif
