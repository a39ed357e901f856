/*
 * ledger.c: a table of records: the header row names the columns with their units; a cell may repeat
 * the unit, another one is an error. Plain decimals do not pass through the reader of quantities, and
 * a cell that repeats the one above it is not copied again: there may be 200,000 rows.
 */
#include "ledger.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const struct {
    const char *name;
    bool number;
    tw_dimension dimension;
    double most; /* of a number */
} known[TW_LEDGER_COLUMNS] = {
    [TW_LEDGER_INSTITUTION] = {.name = "institution"},
    [TW_LEDGER_OBJECT] = {.name = "object"},
    [TW_LEDGER_TITLE] = {.name = "title"},
    [TW_LEDGER_KINDS] = {.name = "kinds"},
    [TW_LEDGER_STRAPS] = {.name = "straps"},
    [TW_LEDGER_LINING] = {.name = "lining"},
    [TW_LEDGER_HEIGHT] = {"height", true, TW_LENGTH, 1e4},
    [TW_LEDGER_WIDTH] = {"width", true, TW_LENGTH, 1e4},
    [TW_LEDGER_FROM] = {.name = "from year"},
    [TW_LEDGER_TO] = {.name = "to year"},
    [TW_LEDGER_MASS] = {"mass", true, TW_MASS, 1e6},
    [TW_LEDGER_UNCERTAINTY] = {"uncertainty", true, TW_MASS, 1e6},
    [TW_LEDGER_POUNDS] = {.name = "pounds"},
    [TW_LEDGER_USE] = {.name = "use"},
    [TW_LEDGER_WHY] = {.name = "why"},
    [TW_LEDGER_NOTE] = {.name = "note"},
    [TW_LEDGER_LICENCE] = {.name = "licence"},
    [TW_LEDGER_SOURCE] = {.name = "source"},
};

enum { NAME_SIZE = 80 };

/* ---- errors and warnings ---------------------------------------------------------------------- */

static void give(tw_ledger *in, int line, tw_error *err)
{
    tw_format(err->file, sizeof err->file, "%s", in->table->file);
    err->line = line;
    if (in->faults++ == 0)
        in->first = err->status;
    tw_notes_add(in->errors, err);
}

int tw_ledger_line(const tw_ledger *in)
{
    return in->table->line[in->row];
}

void tw_ledger_fault(tw_ledger *in, int line, tw_status status, const char *value,
                     const char *advice, const char *message, ...)
{
    char text[256];
    va_list arguments;
    tw_error err;

    va_start(arguments, message);
    tw_format_list(text, sizeof text, message, arguments);
    va_end(arguments);
    tw_fail(&err, status, "%s", text);
    tw_error_advise(&err, value, advice ? "%s" : NULL, advice);
    give(in, line, &err);
}

/* ---- the header row ---------------------------------------------------------------------------- */

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

/* "mass [g]" or "mass (g)" into name and unit. */
static void split_header(const char *text, char name[NAME_SIZE], char unit[TW_LEDGER_UNIT])
{
    const char *const end = text + strlen(text);
    const char *open = end > text && end[-1] == ']'   ? strchr(text, '[')
                       : end > text && end[-1] == ')' ? strchr(text, '(')
                                                      : NULL;

    unit[0] = '\0';
    if (open)
        copy_trimmed(open + 1, end - 1, unit, TW_LEDGER_UNIT);
    copy_trimmed(text, open ? open : end, name, NAME_SIZE);
}

static const char *usual_unit(tw_ledger_column which)
{
    return known[which].dimension == TW_LENGTH ? "mm" : "g";
}

static bool unit_size(const char *unit, tw_dimension dimension, double *size)
{
    char one[TW_LEDGER_UNIT + 4];

    tw_format(one, sizeof one, "1 %s", unit);
    return tw_quantity_read(one, dimension, TW_RULER_NONE, size, NULL) == TW_OK;
}

/* A column like none known is the owner's own and is left alone, with a word. */
static void unknown_column(tw_ledger *in, const char *text, const char *name)
{
    const char *names[TW_LEDGER_COLUMNS], *near;
    char advice[NAME_SIZE + 24];

    if (!*name)
        return;
    for (size_t k = 0; k < TW_LEDGER_COLUMNS; k++)
        names[k] = known[k].name;
    near = strcasecmp(name, "weight") == 0 ? known[TW_LEDGER_MASS].name
                                           : tw_nearest_word(name, names, TW_LEDGER_COLUMNS);
    if (!near) {
        tw_originals_warn(in->set, NULL, "column \"%s\" is not one that is read", text);
        return;
    }
    tw_format(advice, sizeof advice, "did you mean \"%s\"?", near);
    tw_ledger_fault(in, in->table->header_line, TW_ERR_KEY, text, advice, "unknown column \"%s\"",
                    text);
}

static void take_column(tw_ledger *in, size_t at)
{
    const int line = in->table->header_line;
    const char *text = in->table->header[at];
    char name[NAME_SIZE], unit[TW_LEDGER_UNIT], advice[64];
    tw_column *found;
    size_t k = 0;

    split_header(text, name, unit);
    while (k < TW_LEDGER_COLUMNS && strcasecmp(name, known[k].name) != 0)
        k++;
    if (k == TW_LEDGER_COLUMNS) {
        unknown_column(in, text, name);
        return;
    }
    found = &in->columns[k];
    if (found->there) {
        tw_ledger_fault(in, line, TW_ERR_KEY, text, "keep one of the two",
                        "column \"%s\" is there twice", known[k].name);
        return;
    }
    found->there = true;
    found->at = at;
    if (*unit && !known[k].number) {
        tw_ledger_fault(in, line, TW_ERR_UNIT, text, "leave the unit out",
                        "column \"%s\" takes no unit", known[k].name);
    } else if (*unit && !unit_size(unit, known[k].dimension, &found->one)) {
        tw_format(advice, sizeof advice, "write \"%s [%s]\"", known[k].name,
                  usual_unit((tw_ledger_column)k));
        tw_ledger_fault(in, line, TW_ERR_UNIT, text, advice,
                        "column \"%s\" has a unit that does not fit", known[k].name);
        found->told = true;
    } else {
        memcpy(found->unit, unit, sizeof unit);
    }
}

bool tw_ledger_columns(tw_ledger *in)
{
    const int line = in->table->header_line;

    for (size_t c = 0; c < in->table->columns; c++)
        take_column(in, c);
    if (!in->columns[TW_LEDGER_OBJECT].there && !in->columns[TW_LEDGER_TITLE].there)
        tw_ledger_fault(in, line, TW_ERR_KEY, NULL, "add a column \"object\" or \"title\"",
                        "the records have no name to cite them by");
    if (!in->columns[TW_LEDGER_KINDS].there)
        tw_ledger_fault(in, line, TW_ERR_KEY, NULL, "add a column \"kinds\": breastplate; tasset 2",
                        "the table does not say what the weights cover");
    if (!in->columns[TW_LEDGER_MASS].there && !in->columns[TW_LEDGER_POUNDS].there)
        tw_ledger_fault(in, line, TW_ERR_KEY, NULL, "add a column \"mass [g]\", or \"pounds\"",
                        "the table lacks the column \"mass\"");
    return in->faults == 0;
}

/* ---- cells ------------------------------------------------------------------------------------- */

const char *tw_ledger_cell(const tw_ledger *in, tw_ledger_column which)
{
    const tw_column *from = &in->columns[which];

    return from->there ? in->table->cell[in->row * in->table->columns + from->at] : "";
}

/* A copy that lives as long as the set; NULL of an empty cell. */
bool tw_ledger_keep(tw_ledger *in, tw_ledger_column which, const char **out)
{
    tw_column *from = &in->columns[which];
    const char *cell = tw_ledger_cell(in, which);

    *out = NULL;
    if (!*cell)
        return true;
    if (!from->above || strcmp(from->above, cell) != 0) {
        from->above = cell;
        from->kept = tw_arena_text(in->set->arena, cell);
    }
    *out = from->kept;
    return from->kept != NULL;
}

/* "1701" or "241.3": digits that fit a double twice over, so that one division rounds correctly. */
static bool plain_decimal(const char *text, double *value)
{
    static const double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12};
    double number = 0;
    size_t digits = 0, behind = 0;
    bool point = false;

    for (; *text; text++) {
        if (*text == '.' && !point && digits > 0) {
            point = true;
        } else if (*text >= '0' && *text <= '9' && digits < 12) {
            number = 10 * number + (*text - '0');
            digits++;
            behind += point;
        } else {
            return false;
        }
    }
    *value = number / tens[behind];
    return digits > 0 && (!point || behind > 0);
}

void tw_ledger_cell_fault(tw_ledger *in, tw_ledger_column which, tw_error *err)
{
    tw_error_within(err, "in column \"%s\"", known[which].name);
    give(in, tw_ledger_line(in), err);
}

/* "2,5" in a table whose cells are parted by semicolons or tabs; the cell itself otherwise. */
const char *tw_ledger_pointed(const tw_ledger *in, const char *cell, char *out, size_t size)
{
    const char *comma = in->table->separator != ',' ? strchr(cell, ',') : NULL;

    if (!comma || strchr(comma + 1, ',') || strchr(cell, '.') || strlen(cell) >= size)
        return cell;
    strcpy(out, cell);
    out[comma - cell] = '.';
    return out;
}

/* A number as a quantity, with its own unit or the column's; false after an error. */
static bool read_quantity(tw_ledger *in, tw_ledger_column which, const char *cell, double *out)
{
    tw_column *from = &in->columns[which];
    const char *own = cell + strspn(cell, "0123456789+-., /");
    char whole[128], advice[64];
    tw_error err;
    double size;

    if (strlen(cell) + TW_LEDGER_UNIT + 2 > sizeof whole) {
        tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_SYNTAX, NULL, "write a number",
                        "%s is no number", known[which].name);
        return false;
    }
    if (!*own && !from->unit[0]) {
        tw_format(advice, sizeof advice, "write \"%s [%s]\" in the header row", known[which].name,
                  usual_unit(which));
        if (!from->told)
            tw_ledger_fault(in, in->table->header_line, TW_ERR_UNIT, cell, advice,
                            "column \"%s\" lacks its unit", known[which].name);
        from->told = true;
        return false;
    }
    if (*own && from->unit[0] &&
        (!unit_size(own, known[which].dimension, &size) || fabs(size - from->one) > 1e-12 * size)) {
        tw_format(advice, sizeof advice, "convert it to %s", from->unit);
        tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_UNIT, cell, advice,
                        "%s \"%s\" has another unit than its column", known[which].name, cell);
        return false;
    }
    tw_format(whole, sizeof whole, "%s %s", cell, *own ? "" : from->unit);
    if (tw_quantity_read(whole, known[which].dimension, TW_RULER_NONE, out, &err) == TW_OK)
        return true;
    tw_ledger_cell_fault(in, which, &err);
    return false;
}

/* NaN where the cell is empty or wrong. */
double tw_ledger_number(tw_ledger *in, tw_ledger_column which)
{
    const tw_column *from = &in->columns[which];
    char pointed[64];
    const char *cell = tw_ledger_pointed(in, tw_ledger_cell(in, which), pointed, sizeof pointed);
    double value = NAN;

    if (!*cell)
        return NAN;
    if (from->unit[0] && plain_decimal(cell, &value))
        value *= from->one;
    else if (!read_quantity(in, which, cell, &value))
        return NAN;
    if (value >= 0 && value <= known[which].most && (value > 0 || which == TW_LEDGER_UNCERTAINTY))
        return value;
    tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_DOMAIN, cell,
                    value > 0                 ? "is its unit right?"
                    : which == TW_LEDGER_MASS ? "give it, or leave the row out"
                                              : "leave the cell empty when it is not known",
                    value > 0 ? "%s \"%s\" is far too big" : "%s \"%s\" is not above zero",
                    known[which].name, cell);
    return NAN;
}

int tw_ledger_year(tw_ledger *in, tw_ledger_column which)
{
    const char *cell = tw_ledger_cell(in, which);
    const size_t length = strlen(cell);
    int year = 0;

    if (length == 0)
        return 0;
    for (size_t k = 0; k < length && k < 4 && cell[k] >= '0' && cell[k] <= '9'; k++)
        year = 10 * year + (cell[k] - '0');
    if (length <= 4 && strspn(cell, "0123456789") == length && year > 0)
        return year;
    tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_SYNTAX, cell,
                    "write a whole year, or leave the cell empty", "%s \"%s\" is no year",
                    known[which].name, cell);
    return 0;
}

int tw_ledger_word(tw_ledger *in, tw_ledger_column which, const char *const *words,
                   const char *advice)
{
    const char *cell = tw_ledger_cell(in, which);

    for (int k = 0; *cell && words[k]; k++)
        if (strcasecmp(cell, words[k]) == 0)
            return k;
    if (*cell)
        tw_ledger_fault(in, tw_ledger_line(in), TW_ERR_KEY, cell, advice,
                        "%s \"%s\" is not understood", known[which].name, cell);
    return 0;
}
