/*
 * records.c: recorded weights of originals from a CSV table. The header row names the columns with
 * their units; a cell may repeat the unit, another one is an error; every wrong cell is told. Up to
 * 200,000 rows: plain decimals do not pass through the reader of quantities, and a cell that repeats
 * the one above it is not copied again.
 */
#include "originals_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef enum column_kind {
    INSTITUTION,
    OBJECT,
    TITLE,
    KINDS,
    STRAPS,
    LINING,
    HEIGHT,
    WIDTH,
    FROM,
    TO,
    MASS,
    UNCERTAINTY,
    POUNDS,
    USE,
    WHY,
    NOTE,
    LICENCE,
    SOURCE,
    COLUMNS
} column_kind;

static const struct {
    const char *name;
    bool number;
    tw_dimension dimension;
    double most; /* of a number */
} known[COLUMNS] = {
    [INSTITUTION] = {.name = "institution"},
    [OBJECT] = {.name = "object"},
    [TITLE] = {.name = "title"},
    [KINDS] = {.name = "kinds"},
    [STRAPS] = {.name = "straps"},
    [LINING] = {.name = "lining"},
    [HEIGHT] = {"height", true, TW_LENGTH, 1e4},
    [WIDTH] = {"width", true, TW_LENGTH, 1e4},
    [FROM] = {.name = "from year"},
    [TO] = {.name = "to year"},
    [MASS] = {"mass", true, TW_MASS, 1e6},
    [UNCERTAINTY] = {"uncertainty", true, TW_MASS, 1e6},
    [POUNDS] = {.name = "pounds"},
    [USE] = {.name = "use"},
    [WHY] = {.name = "why"},
    [NOTE] = {.name = "note"},
    [LICENCE] = {.name = "licence"},
    [SOURCE] = {.name = "source"},
};

enum { NAME_SIZE = 80, UNIT_SIZE = 24 };

typedef struct column {
    bool there, told; /* told: that it lacks its unit */
    size_t at;
    char unit[UNIT_SIZE];     /* "" when each cell carries its own */
    double one;               /* how much one of it is */
    const char *above, *kept; /* the cell last copied, and its copy */
} column;

typedef struct reading {
    const tw_table *table;
    tw_originals *set;
    tw_notes *errors;
    size_t faults, row;
    tw_status first;
    column columns[COLUMNS];
} reading;

/* ---- errors and warnings ---------------------------------------------------------------------- */

static void give(reading *in, int line, tw_error *err)
{
    tw_format(err->file, sizeof err->file, "%s", in->table->file);
    err->line = line;
    if (in->faults++ == 0)
        in->first = err->status;
    tw_notes_add(in->errors, err);
}

static int line_of(const reading *in)
{
    return in->table->line[in->row];
}

static void fault(reading *in, int line, tw_status status, const char *value, const char *advice,
                  const char *message, ...) TW_PRINTF(6, 7);
static void fault(reading *in, int line, tw_status status, const char *value, const char *advice,
                  const char *message, ...)
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

void tw_originals_warn(tw_originals *set, const tw_original *record, const char *message, ...)
{
    char text[256];
    va_list arguments;
    tw_error note;

    va_start(arguments, message);
    tw_format_list(text, sizeof text, message, arguments);
    va_end(arguments);
    tw_fail(&note, TW_OK, "%s", text);
    if (*set->file) {
        tw_format(note.file, sizeof note.file, "%s", set->file);
        note.line = record ? record->line : 0;
    }
    tw_notes_add(&set->warnings, &note);
    set->warning_count = set->warnings.count;
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
static void split_header(const char *text, char name[NAME_SIZE], char unit[UNIT_SIZE])
{
    const char *const end = text + strlen(text);
    const char *open = end > text && end[-1] == ']'   ? strchr(text, '[')
                       : end > text && end[-1] == ')' ? strchr(text, '(')
                                                      : NULL;

    unit[0] = '\0';
    if (open)
        copy_trimmed(open + 1, end - 1, unit, UNIT_SIZE);
    copy_trimmed(text, open ? open : end, name, NAME_SIZE);
}

static const char *usual_unit(column_kind which)
{
    return known[which].dimension == TW_LENGTH ? "mm" : "g";
}

static bool unit_size(const char *unit, tw_dimension dimension, double *size)
{
    char one[UNIT_SIZE + 4];

    tw_format(one, sizeof one, "1 %s", unit);
    return tw_quantity_read(one, dimension, TW_RULER_NONE, size, NULL) == TW_OK;
}

/* A column like none known is the owner's own and is left alone, with a word. */
static void unknown_column(reading *in, const char *text, const char *name)
{
    const char *names[COLUMNS], *near;
    char advice[NAME_SIZE + 24];

    if (!*name)
        return;
    for (size_t k = 0; k < COLUMNS; k++)
        names[k] = known[k].name;
    near = tw_nearest_word(name, names, COLUMNS);
    if (!near) {
        tw_originals_warn(in->set, NULL, "column \"%s\" is not one that is read", text);
        return;
    }
    tw_format(advice, sizeof advice, "did you mean \"%s\"?", near);
    fault(in, in->table->header_line, TW_ERR_KEY, text, advice, "unknown column \"%s\"", text);
}

static void take_column(reading *in, size_t at)
{
    const int line = in->table->header_line;
    const char *text = in->table->header[at];
    char name[NAME_SIZE], unit[UNIT_SIZE], advice[64];
    column *found;
    size_t k = 0;

    split_header(text, name, unit);
    while (k < COLUMNS && strcasecmp(name, known[k].name) != 0)
        k++;
    if (k == COLUMNS) {
        unknown_column(in, text, name);
        return;
    }
    found = &in->columns[k];
    if (found->there) {
        fault(in, line, TW_ERR_KEY, text, "keep one of the two", "column \"%s\" is there twice",
              known[k].name);
        return;
    }
    found->there = true;
    found->at = at;
    if (*unit && !known[k].number) {
        fault(in, line, TW_ERR_UNIT, text, "leave the unit out", "column \"%s\" takes no unit",
              known[k].name);
    } else if (*unit && !unit_size(unit, known[k].dimension, &found->one)) {
        tw_format(advice, sizeof advice, "write \"%s [%s]\"", known[k].name, usual_unit(k));
        fault(in, line, TW_ERR_UNIT, text, advice, "column \"%s\" has a unit that does not fit",
              known[k].name);
        found->told = true;
    } else {
        memcpy(found->unit, unit, sizeof unit);
    }
}

static bool take_columns(reading *in)
{
    const int line = in->table->header_line;

    for (size_t c = 0; c < in->table->columns; c++)
        take_column(in, c);
    if (!in->columns[OBJECT].there && !in->columns[TITLE].there)
        fault(in, line, TW_ERR_KEY, NULL, "add a column \"object\" or \"title\"",
              "the records have no name to cite them by");
    if (!in->columns[KINDS].there)
        fault(in, line, TW_ERR_KEY, NULL, "add a column \"kinds\": breastplate; tasset 2",
              "the table does not say what the weights cover");
    if (!in->columns[MASS].there)
        fault(in, line, TW_ERR_KEY, NULL, "add a column \"mass [g]\"",
              "the table lacks the column \"mass\"");
    return in->faults == 0;
}

/* ---- cells ------------------------------------------------------------------------------------- */

static const char *cell_of(const reading *in, column_kind which)
{
    const column *from = &in->columns[which];

    return from->there ? in->table->cell[in->row * in->table->columns + from->at] : "";
}

/* A copy that lives as long as the set; NULL of an empty cell. */
static bool keep(reading *in, column_kind which, const char **out)
{
    column *from = &in->columns[which];
    const char *cell = cell_of(in, which);

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

static void cell_fault(reading *in, column_kind which, tw_error *err)
{
    tw_error_within(err, "in column \"%s\"", known[which].name);
    give(in, line_of(in), err);
}

/* "2,5" in a table whose cells are parted by semicolons; the cell itself otherwise. */
static const char *with_point(const reading *in, const char *cell, char *out, size_t size)
{
    const char *comma = in->table->separator == ';' ? strchr(cell, ',') : NULL;

    if (!comma || strchr(comma + 1, ',') || strchr(cell, '.') || strlen(cell) >= size)
        return cell;
    strcpy(out, cell);
    out[comma - cell] = '.';
    return out;
}

/* A number as a quantity, with its own unit or the column's; false after an error. */
static bool read_quantity(reading *in, column_kind which, const char *cell, double *out)
{
    column *from = &in->columns[which];
    const char *own = cell + strspn(cell, "0123456789+-., /");
    char whole[128], advice[64];
    tw_error err;
    double size;

    if (strlen(cell) + UNIT_SIZE + 2 > sizeof whole) {
        fault(in, line_of(in), TW_ERR_SYNTAX, NULL, "write a number", "%s is no number",
              known[which].name);
        return false;
    }
    if (!*own && !from->unit[0]) {
        tw_format(advice, sizeof advice, "write \"%s [%s]\" in the header row", known[which].name,
                  usual_unit(which));
        if (!from->told)
            fault(in, in->table->header_line, TW_ERR_UNIT, cell, advice,
                  "column \"%s\" lacks its unit", known[which].name);
        from->told = true;
        return false;
    }
    if (*own && from->unit[0] &&
        (!unit_size(own, known[which].dimension, &size) || fabs(size - from->one) > 1e-12 * size)) {
        tw_format(advice, sizeof advice, "convert it to %s", from->unit);
        fault(in, line_of(in), TW_ERR_UNIT, cell, advice,
              "%s \"%s\" has another unit than its column", known[which].name, cell);
        return false;
    }
    tw_format(whole, sizeof whole, "%s %s", cell, *own ? "" : from->unit);
    if (tw_quantity_read(whole, known[which].dimension, TW_RULER_NONE, out, &err) == TW_OK)
        return true;
    cell_fault(in, which, &err);
    return false;
}

/* NaN where the cell is empty or wrong. */
static double read_number(reading *in, column_kind which)
{
    const column *from = &in->columns[which];
    char pointed[64];
    const char *cell = with_point(in, cell_of(in, which), pointed, sizeof pointed);
    double value = NAN;

    if (!*cell)
        return NAN;
    if (from->unit[0] && plain_decimal(cell, &value))
        value *= from->one;
    else if (!read_quantity(in, which, cell, &value))
        return NAN;
    if (value >= 0 && value <= known[which].most && (value > 0 || which == UNCERTAINTY))
        return value;
    fault(in, line_of(in), TW_ERR_DOMAIN, cell,
          value > 0       ? "is its unit right?"
          : which == MASS ? "give it, or leave the row out"
                          : "leave the cell empty when it is not known",
          value > 0 ? "%s \"%s\" is far too big" : "%s \"%s\" is not above zero", known[which].name,
          cell);
    return NAN;
}

static int read_year(reading *in, column_kind which)
{
    const char *cell = cell_of(in, which);
    const size_t length = strlen(cell);

    if (length == 0)
        return 0;
    if (length <= 4 && strspn(cell, "0123456789") == length && atoi(cell) > 0)
        return atoi(cell);
    fault(in, line_of(in), TW_ERR_SYNTAX, cell, "write a whole year, or leave the cell empty",
          "%s \"%s\" is no year", known[which].name, cell);
    return 0;
}

static int read_word(reading *in, column_kind which, const char *const *words, const char *advice)
{
    const char *cell = cell_of(in, which);

    for (int k = 0; *cell && words[k]; k++)
        if (strcasecmp(cell, words[k]) == 0)
            return k;
    if (*cell)
        fault(in, line_of(in), TW_ERR_KEY, cell, advice, "%s \"%s\" is not understood",
              known[which].name, cell);
    return 0;
}

/* Half of the last digit printed, `one` being what a whole one is worth. */
static double half_digit(const char *text, double one)
{
    const char *point = NULL;
    double half = 0.5 * one;

    for (const char *at = text; *at; at++) {
        if (*at == '.')
            point = at;
        else if (*at == ' ' && at[1] >= '0' && at[1] <= '9')
            point = NULL; /* the digits behind it are the last */
    }
    while (point && *++point >= '0' && *point <= '9')
        half /= 10;
    return half;
}

/* Pounds and ounces against grams: they may differ by both roundings, not by more. Which of them is
 * right cannot be told from the record. */
static bool check_pounds(reading *in, tw_original *record)
{
    static const double ounce = 453.59237 / 16;
    char pointed[64];
    const char *cell = with_point(in, cell_of(in, POUNDS), pointed, sizeof pointed);
    const double one = in->columns[MASS].unit[0] ? in->columns[MASS].one : 1;
    char why[80], mass[64];
    double allowed;
    tw_error err;

    record->pounds_g = NAN;
    if (!*cell)
        return true;
    if (tw_quantity_read(cell, TW_MASS, TW_RULER_NONE, &record->pounds_g, &err) != TW_OK) {
        record->pounds_g = NAN;
        cell_fault(in, POUNDS, &err);
        return true;
    }
    /* a bare "4 lb" means no ounces over, "85.5 lb" a tenth of a pound */
    if (!strstr(cell, "oz") && !strchr(cell, '.'))
        allowed = ounce / 2;
    else
        allowed = half_digit(cell, strstr(cell, "oz") ? ounce : 16 * ounce);
    /* a rounding within ±h has the standard deviation h/√3 */
    allowed += record->u_g > 0
                   ? sqrt(3) * record->u_g
                   : half_digit(with_point(in, cell_of(in, MASS), mass, sizeof mass), one);
    if (!(fabs(record->pounds_g - record->g) > allowed))
        return true;
    tw_originals_warn(in->set, record,
                      "%s (%s): %s are %.0f g, but its grams say %.0f g; kept out of comparisons, "
                      "as either may be wrong",
                      record->object ? record->object : "record",
                      record->title ? record->title : "no title", cell, record->pounds_g,
                      record->g);
    if (!record->use)
        return true;
    record->use = false;
    tw_format(why, sizeof why, "pounds and grams disagree by %.0f g",
              fabs(record->pounds_g - record->g));
    record->why = tw_arena_text(in->set->arena, why);
    return record->why != NULL;
}

/* ---- rows -------------------------------------------------------------------------------------- */

static bool read_kinds(reading *in, tw_original *record)
{
    const tw_original *above = record > in->set->rows ? record - 1 : NULL;
    const size_t columns = in->table->columns, at = in->row * columns + in->columns[KINDS].at;
    tw_error err;
    tw_status status;

    if (above && above->kinds && strcmp(in->table->cell[at], in->table->cell[at - columns]) == 0) {
        record->kind_count = above->kind_count;
        record->kinds = above->kinds;
        return true;
    }
    status = tw_kinds_read(in->table->cell[at], in->set->arena, &record->kind_count, &record->kinds,
                           &err);
    if (status != TW_OK && status != TW_ERR_MEMORY)
        cell_fault(in, KINDS, &err);
    return status != TW_ERR_MEMORY;
}

static void read_years(reading *in, tw_original *record)
{
    record->year_from = read_year(in, FROM);
    record->year_to = read_year(in, TO);
    if (record->year_to == 0)
        record->year_to = record->year_from;
    else if (record->year_from == 0)
        record->year_from = record->year_to;
    if (record->year_from > record->year_to)
        fault(in, line_of(in), TW_ERR_DOMAIN, NULL, "exchange them",
              "the years run backward: from %d to %d", record->year_from, record->year_to);
}

/* false when memory ran out. */
static bool read_record(reading *in, tw_original *record)
{
    static const char *const said[] = {"not said", "in", "out", NULL};
    static const char *const uses[] = {"yes", "no", NULL};
    const size_t before = in->faults;

    record->line = line_of(in);
    if (!keep(in, INSTITUTION, &record->institution) || !keep(in, OBJECT, &record->object) ||
        !keep(in, TITLE, &record->title) || !keep(in, WHY, &record->why) ||
        !keep(in, NOTE, &record->note) || !keep(in, LICENCE, &record->licence) ||
        !keep(in, SOURCE, &record->source) || !read_kinds(in, record))
        return false;
    if (!record->object && !record->title)
        fault(in, record->line, TW_ERR_KEY, NULL, "give its number or a title",
              "the record has no name to cite it by");
    record->straps = (tw_said)read_word(in, STRAPS, said, "write in, out or not said");
    record->lining = (tw_said)read_word(in, LINING, said, "write in, out or not said");
    record->height = read_number(in, HEIGHT);
    record->width = read_number(in, WIDTH);
    read_years(in, record);
    record->g = read_number(in, MASS);
    if (!*cell_of(in, MASS))
        fault(in, record->line, TW_ERR_KEY, NULL, "give it, or leave the row out",
              "the record has no mass");
    record->u_g = read_number(in, UNCERTAINTY);
    record->use = read_word(in, USE, uses, "write yes or no") == 0;
    if (record->use)
        record->why = NULL;
    else if (!record->why)
        record->why = "left out by its own row";
    return in->faults > before || check_pounds(in, record);
}

static tw_status read_rows(reading *in)
{
    const tw_table *table = in->table;

    if (table->rows == 0)
        fault(in, table->header_line, TW_ERR_INPUT, NULL, "give each recorded weight a row",
              "the table has no record");
    if (table->rows > TW_ORIGINALS_MAX)
        fault(in, table->line[TW_ORIGINALS_MAX], TW_ERR_LIMIT, NULL, NULL,
              "the table has %zu records; at most %d are read", table->rows, TW_ORIGINALS_MAX);
    if (in->faults > 0)
        return in->first;
    in->set->rows = tw_arena_array(in->set->arena, table->rows, sizeof *in->set->rows);
    if (!in->set->rows)
        return TW_ERR_MEMORY;
    for (in->row = 0; in->row < table->rows; in->row++)
        if (!read_record(in, &in->set->rows[in->row]))
            return TW_ERR_MEMORY;
    in->set->count = table->rows;
    return in->faults > 0 ? in->first : TW_OK;
}

tw_status tw_originals_from_table(const tw_table *table, const char *file, tw_originals **out,
                                  tw_notes *errors)
{
    reading in = {.table = table, .errors = errors};
    tw_arena *arena = tw_arena_new();
    tw_status status = TW_ERR_MEMORY;
    tw_error err;

    in.set = arena ? tw_arena_array(arena, 1, sizeof *in.set) : NULL;
    if (in.set) {
        in.set->arena = arena;
        in.set->file = tw_arena_text(arena, file);
        if (in.set->file)
            status = take_columns(&in) ? read_rows(&in) : in.first;
        if (status == TW_OK)
            status = tw_originals_cross_check(in.set);
    }
    if (status == TW_OK) {
        *out = in.set;
        return TW_OK;
    }
    if (status == TW_ERR_MEMORY) {
        tw_fail(&err, status, "memory ran out while reading the records");
        tw_notes_add(errors, &err);
    }
    tw_arena_free(arena);
    return status;
}

/* ---- public ------------------------------------------------------------------------------------ */

tw_status tw_originals_read(const char *path, tw_originals **out, tw_notes *errors)
{
    tw_table *table = NULL;
    tw_status status = tw_table_read_under(path, TW_ORIGINALS_CEILING, &table, errors);

    if (status == TW_OK)
        status = tw_originals_from_table(table, path, out, errors);
    tw_table_free(table);
    return status;
}

tw_status tw_originals_shipped(tw_originals **out, tw_error *err)
{
    size_t size;
    const char *text = tw_originals_text(&size);
    tw_notes *errors = calloc(1, sizeof *errors);
    tw_table *table = NULL;
    tw_status status;

    if (!errors)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    status = tw_table_read_memory("the shipped set", text, size, &table, errors);
    if (status == TW_OK)
        status = tw_originals_from_table(table, "", out, errors);
    if (status != TW_OK && err && errors->count > 0)
        *err = errors->items[0];
    tw_table_free(table);
    free(errors);
    return status;
}

void tw_originals_free(tw_originals *originals)
{
    if (originals)
        tw_arena_free(originals->arena);
}
