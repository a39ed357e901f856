/*
 * table_cells.c: what every CSV table beside a profile has in common: its path, a header row that
 * names columns with their units, cells that may repeat the unit. A cell goes through the same
 * readers as a value of the profile, with errors turned to the table's line.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the file ------------------------------------------------------------------------------ */

tw_table *tw_table_beside(tw_reader *reader, tw_place place, const char **file)
{
    const char *path = tw_document_beside(reader, *file);
    tw_table *table = NULL;
    tw_notes errors;

    if (!path)
        return NULL;
    *file = path;
    if (tw_table_read(path, &table, &errors) == TW_OK)
        return table;
    for (size_t k = 0; k < errors.count && k < TW_NOTES_MAX; k++) {
        const tw_error *err = &errors.items[k];
        if (err->status == TW_ERR_MEMORY)
            reader->no_memory = true;
        if (err->line > 0) {
            reader->table = path;
            reader->table_place = (tw_place){err->line, err->column};
            reader->table_source = err->source;
            tw_reader_fault(reader, place, err->status, err->value, err->advice, "%s",
                            err->message);
        } else {
            tw_reader_fault(reader, place, err->status, path,
                            err->advice[0] ? err->advice
                                           : "its path is relative to the profile's folder",
                            "file \"%s\": %s", path, err->message);
        }
    }
    reader->table = reader->table_source = NULL;
    return NULL;
}

/* ---- the header row ------------------------------------------------------------------------ */

static void copy_trimmed(const char *begin, const char *end, char *out, size_t size)
{
    size_t length;

    while (begin < end && *begin == ' ')
        begin++;
    while (end > begin && end[-1] == ' ')
        end--;
    length = (size_t)(end - begin) < size ? (size_t)(end - begin) : size - 1;
    memcpy(out, begin, length);
    out[length] = '\0';
}

void tw_column_split(const char *text, char name[TW_COLUMN_NAME], char unit[TW_COLUMN_UNIT])
{
    const char *const end = text + strlen(text);
    const char *open = end > text && end[-1] == ']'   ? strchr(text, '[')
                       : end > text && end[-1] == ')' ? strchr(text, '(')
                                                      : NULL;
    const char *const comma = open ? NULL : strrchr(text, ',');

    unit[0] = '\0';
    if (open)
        copy_trimmed(open + 1, end - 1, unit, TW_COLUMN_UNIT);
    else if (comma)
        copy_trimmed(comma + 1, end, unit, TW_COLUMN_UNIT);
    copy_trimmed(text, open ? open : comma ? comma : end, name, TW_COLUMN_NAME);
    for (char *at = name; *at; at++)
        if (*at >= 'A' && *at <= 'Z')
            *at = (char)(*at - 'A' + 'a');
}

bool tw_column_unit_size(const char *unit, tw_dimension dimension, double *size)
{
    char one[TW_COLUMN_UNIT + 4];

    snprintf(one, sizeof one, "1 %s", unit);
    return tw_quantity_read(one, dimension, TW_RULER_NONE, size, NULL) == TW_OK;
}

/* ---- cells --------------------------------------------------------------------------------- */

static bool is_decimal_comma(const char *cell)
{
    const char *comma = strchr(cell, ',');

    return comma && !strchr(comma + 1, ',') && !strchr(cell, '.') && comma[1] >= '0' &&
           comma[1] <= '9';
}

bool tw_column_number(tw_reader *reader, tw_place place, const tw_table *table, tw_column *column,
                      const char *name, tw_number_kind kind, size_t row, double *out)
{
    const tw_dimension dimension = tw_number_dimension(kind);
    char cell[128], whole[128 + TW_COLUMN_UNIT], advice[160];
    const char *raw = table->cell[row * table->columns + column->at], *own;
    tw_node node = {.kind = TW_NODE_TEXT, .text = whole, .place = place};
    double ignored, one, other;

    reader->cell = raw;
    if (strlen(raw) >= sizeof cell || *raw == '\0') {
        tw_reader_fault(reader, place, TW_ERR_SYNTAX, NULL, "give its number, or leave the row out",
                        *raw ? "%s is no number" : "%s is empty", name);
        return false;
    }
    strcpy(cell, raw);
    if (table->separator == ';' && is_decimal_comma(cell))
        *strchr(cell, ',') = '.';
    own = cell + strspn(cell, "0123456789+-., /");
    snprintf(whole, sizeof whole, "%s %s", cell, column->unit);
    if (column->unit[0] &&
        tw_quantity_read(whole, dimension, TW_RULER_NONE, &ignored, NULL) == TW_OK)
        return tw_value_number(reader, &node, name, kind, out);
    if (*own && strlen(own) < TW_COLUMN_UNIT && tw_column_unit_size(own, dimension, &other)) {
        if (!column->unit[0])
            strcpy(column->unit, own); /* the first cell speaks for the column */
        if (tw_column_unit_size(column->unit, dimension, &one) &&
            !(fabs(one - other) <= 1e-12 * one)) {
            snprintf(advice, sizeof advice, "convert it to %s", column->unit);
            tw_reader_fault(reader, place, TW_ERR_UNIT, raw, advice,
                            "%s has another unit than the rest of its column", name);
            return false;
        }
        strcpy(whole, cell);
    } else if (!column->unit[0] && !*own) {
        snprintf(advice, sizeof advice, "write \"%s [%s]\" in the header row", name,
                 dimension == TW_ANGLE ? "deg" : "mm");
        reader->cell = table->header[column->at];
        if (!reader->table && place.line > 0) /* a table in the profile: so many lines above */
            place.line += table->header_line - table->line[row];
        if (!column->told)
            tw_reader_fault(reader, place, TW_ERR_UNIT, raw, advice, "column \"%s\" lacks its unit",
                            name);
        column->told = true;
        return false;
    } else if (*own) {
        strcpy(whole, cell);
    }
    return tw_value_number(reader, &node, name, kind, out);
}
