/*
 * readings_table.c: readings from a CSV table. The header row names the columns with their units; a
 * cell may repeat the unit, another one is an error. Each cell goes through the same readers as a
 * value of the profile, with errors turned to the table's line; every wrong cell is told.
 */
#include "profile_internal.h"

#include "taperwright/files.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum column_kind {
    ACROSS,
    UP,
    EDGE,
    ALONG,
    IN,
    X,
    Y,
    Z,
    CROWN,
    TOWARD,
    THICKNESS,
    SPREAD,
    REPEATS,
    NAME,
    INSTRUMENT,
    LEAVE_OUT,
    COLUMNS
} column_kind;

enum { UNIT_SIZE = 24, NAME_SIZE = 80 };
#define TEXT (-1)

/* Columns of one family make a point together, and share a unit that only one of them names. */
static const struct {
    const char *name;
    int kind;   /* of number, or TEXT */
    int family; /* 0 for none */
} known[COLUMNS] = {
    [ACROSS] = {"across", TW_NUMBER_POSITION, 1},
    [UP] = {"up", TW_NUMBER_POSITION, 1},
    [EDGE] = {"edge", TEXT, 2},
    [ALONG] = {"along", TW_NUMBER_POSITION, 2},
    [IN] = {"in", TW_NUMBER_POSITION, 2},
    [X] = {"x", TW_NUMBER_POSITION, 3},
    [Y] = {"y", TW_NUMBER_POSITION, 3},
    [Z] = {"z", TW_NUMBER_POSITION, 3},
    [CROWN] = {"from crown", TW_NUMBER_POSITION, 4},
    [TOWARD] = {"toward", TW_NUMBER_ANGLE, 4},
    [THICKNESS] = {"thickness", TW_NUMBER_READING, 0},
    [SPREAD] = {"spread", TW_NUMBER_HOLD, 0},
    [REPEATS] = {"repeats", TEXT, 0},
    [NAME] = {"name", TEXT, 0},
    [INSTRUMENT] = {"instrument", TEXT, 0},
    [LEAVE_OUT] = {"leave out", TEXT, 0},
};

typedef struct column {
    bool there, told; /* told: that it lacks its unit */
    size_t at;
    char unit[UNIT_SIZE]; /* "" when not known yet */
} column;

typedef struct sheet {
    tw_reader *reader;
    const tw_table *table;
    tw_place place; /* of the key `file` */
    column columns[COLUMNS];
} sheet;

static void fault(sheet *in, int line, tw_status status, const char *value, const char *advice,
                  const char *message, const char *name)
{
    in->reader->table_line = line;
    tw_reader_fault(in->reader, in->place, status, value, advice, message, name);
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

/* "across [mm]", "across (mm)", "across, mm" or "across" into name, in small letters, and unit. */
static void split_header(const char *text, char name[NAME_SIZE], char unit[UNIT_SIZE])
{
    const char *const end = text + strlen(text);
    const char *open = end > text && end[-1] == ']'   ? strchr(text, '[')
                       : end > text && end[-1] == ')' ? strchr(text, '(')
                                                      : NULL;
    const char *const comma = open ? NULL : strrchr(text, ',');

    unit[0] = '\0';
    if (open)
        copy_trimmed(open + 1, end - 1, unit, UNIT_SIZE);
    else if (comma)
        copy_trimmed(comma + 1, end, unit, UNIT_SIZE);
    copy_trimmed(text, open ? open : comma ? comma : end, name, NAME_SIZE);
    for (char *at = name; *at; at++)
        if (*at >= 'A' && *at <= 'Z')
            *at = (char)(*at - 'A' + 'a');
}

/* How much one of a unit is; false when it is none of the dimension. */
static bool unit_size(const char *unit, tw_dimension dimension, double *size)
{
    char one[UNIT_SIZE + 4];

    snprintf(one, sizeof one, "1 %s", unit);
    return tw_quantity_read(one, dimension, TW_RULER_NONE, size, NULL) == TW_OK;
}

static void unknown_column(sheet *in, const char *text, const char *name)
{
    const char *names[COLUMNS], *near;
    char advice[160];

    for (size_t k = 0; k < COLUMNS; k++)
        names[k] = known[k].name;
    near = tw_nearest_word(name, names, COLUMNS);
    for (size_t k = 0; !near && k < COLUMNS; k++) { /* "thickness mm" */
        const size_t length = strlen(names[k]);
        if (strncmp(name, names[k], length) == 0 && name[length] == ' ')
            near = names[k];
    }
    if (near)
        for (size_t k = 0; k < COLUMNS; k++)
            if (names[k] == near)
                snprintf(advice, sizeof advice, "did you mean \"%s%s\"?", near,
                         known[k].kind == TEXT              ? ""
                         : known[k].kind == TW_NUMBER_ANGLE ? " [deg]"
                                                            : " [mm]");
    fault(in, in->table->header_line, TW_ERR_KEY, text,
          near ? advice : "known: across, up, edge, along, in, x, y, z, thickness, name, …",
          "unknown column \"%s\"", text);
}

static void take_column(sheet *in, size_t at)
{
    const char *text = in->table->header[at];
    char name[NAME_SIZE], unit[UNIT_SIZE];
    column *found = NULL;
    double size;
    size_t k = 0;

    split_header(text, name, unit);
    while (k < COLUMNS && strcmp(name, known[k].name) != 0)
        k++;
    if (k == COLUMNS) {
        if (*text)
            unknown_column(in, text, name);
        return;
    }
    found = &in->columns[k];
    if (found->there) {
        fault(in, in->table->header_line, TW_ERR_KEY, text, "keep one of the two",
              "column \"%s\" is there twice", name);
        return;
    }
    found->there = true;
    found->at = at;
    if (*unit && known[k].kind == TEXT)
        fault(in, in->table->header_line, TW_ERR_UNIT, text, "leave the unit out",
              "column \"%s\" takes no unit", name);
    else if (*unit && !unit_size(unit, tw_number_dimension((tw_number_kind)known[k].kind), &size)) {
        fault(in, in->table->header_line, TW_ERR_UNIT, text,
              known[k].kind == TW_NUMBER_ANGLE ? "write [deg]" : "write [mm], [cm] or [in]",
              "column \"%s\" has a unit that does not fit", name);
        found->told = true;
    } else {
        memcpy(found->unit, unit, sizeof unit);
    }
}

/* Columns of a family without a unit take that of the first that has one, then the ruler's. */
static void share_units(sheet *in)
{
    static const char *const rulers[] = {"", "mm", "cm", "in"};
    static const int leads[][2] = {
        {UP, ACROSS}, {ACROSS, UP}, {IN, ALONG}, {ALONG, IN},        {Y, X}, {Z, X}, {Z, Y},
        {X, Y},       {Y, Z},       {X, Z},      {SPREAD, THICKNESS}};

    for (size_t k = 0; k < sizeof leads / sizeof *leads; k++)
        if (!in->columns[leads[k][0]].unit[0] && in->columns[leads[k][1]].there)
            memcpy(in->columns[leads[k][0]].unit, in->columns[leads[k][1]].unit, UNIT_SIZE);
    for (size_t k = 0; k < COLUMNS; k++)
        if (known[k].kind == TW_NUMBER_POSITION && !in->columns[k].unit[0])
            strcpy(in->columns[k].unit, rulers[in->reader->profile->ruler]);
}

static bool are_there(const sheet *in, const column_kind *wanted, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (!in->columns[wanted[k]].there)
            return false;
    return true;
}

/* The kind of point that the columns make; false with an error when they make none or two. */
static bool find_point_kind(sheet *in, tw_point_kind *kind)
{
    static const column_kind tape[] = {ACROSS, UP}, edge[] = {EDGE, ALONG}, space[] = {X, Y, Z};
    static const column_kind crown[] = {CROWN, TOWARD};
    const bool whole[] = {are_there(in, tape, 2), are_there(in, edge, 2), are_there(in, space, 3),
                          are_there(in, crown, 2)};
    static const tw_point_kind kinds[] = {TW_POINT_TAPE, TW_POINT_EDGE, TW_POINT_SPACE,
                                          TW_POINT_CROWN};
    int family = 0, families = 0;
    bool seen[5] = {false};

    for (size_t k = 0; k < COLUMNS; k++)
        if (in->columns[k].there && known[k].family && !seen[known[k].family]) {
            seen[known[k].family] = true;
            family = known[k].family;
            families++;
        }
    if (families == 1 && whole[family - 1]) {
        *kind = kinds[family - 1];
        return true;
    }
    fault(in, in->table->header_line, TW_ERR_KEY, NULL,
          "give across and up; edge, along and in; x, y and z; or from crown and toward",
          families > 1 ? "the columns%s say in two ways where a reading was taken"
                       : "the columns%s do not say where a reading was taken",
          "");
    return false;
}

/* ---- cells --------------------------------------------------------------------------------- */

static bool is_decimal_comma(const char *cell)
{
    const char *comma = strchr(cell, ',');

    return comma && !strchr(comma + 1, ',') && !strchr(cell, '.') && comma[1] >= '0' &&
           comma[1] <= '9';
}

/* A number of a column; false after an error, or when its column lacks a unit and said so. */
static bool read_number(sheet *in, column_kind which, size_t row, double *out)
{
    const tw_number_kind kind = (tw_number_kind)known[which].kind;
    const tw_dimension dimension = tw_number_dimension(kind);
    const char *name = known[which].name;
    column *from = &in->columns[which];
    char cell[128], whole[128 + UNIT_SIZE], advice[160];
    const char *raw = in->table->cell[row * in->table->columns + from->at], *own;
    tw_node node = {.kind = TW_NODE_TEXT, .text = whole, .place = in->place};
    double ignored, one, other;

    in->reader->table_line = in->table->line[row];
    if (strlen(raw) >= sizeof cell || *raw == '\0') {
        fault(in, in->table->line[row], TW_ERR_SYNTAX, NULL,
              "give its number, or leave the row out", *raw ? "%s is no number" : "%s is empty",
              name);
        return false;
    }
    strcpy(cell, raw);
    if (in->table->separator == ';' && is_decimal_comma(cell))
        *strchr(cell, ',') = '.';
    own = cell + strspn(cell, "0123456789+-., /");
    snprintf(whole, sizeof whole, "%s %s", cell, from->unit);
    if (from->unit[0] && tw_quantity_read(whole, dimension, TW_RULER_NONE, &ignored, NULL) == TW_OK)
        return tw_value_number(in->reader, &node, name, kind, out);
    if (*own && strlen(own) < UNIT_SIZE && unit_size(own, dimension, &other)) {
        if (!from->unit[0])
            strcpy(from->unit, own); /* the first cell speaks for the column */
        if (unit_size(from->unit, dimension, &one) && !(fabs(one - other) <= 1e-12 * one)) {
            snprintf(advice, sizeof advice, "convert it to %s", from->unit);
            fault(in, in->table->line[row], TW_ERR_UNIT, raw, advice,
                  "%s has another unit than the rest of its column", name);
            return false;
        }
        strcpy(whole, cell);
    } else if (!from->unit[0] && !*own) {
        snprintf(advice, sizeof advice, "write \"%s [%s]\" in the header row", name,
                 dimension == TW_ANGLE ? "deg" : "mm");
        if (!from->told)
            fault(in, in->table->header_line, TW_ERR_UNIT, raw, advice,
                  "column \"%s\" lacks its unit", name);
        from->told = true;
        return false;
    } else if (*own) {
        strcpy(whole, cell);
    }
    return tw_value_number(in->reader, &node, name, kind, out);
}

static const char *text_of(const sheet *in, column_kind which, size_t row)
{
    const column *from = &in->columns[which];
    const char *text = from->there ? in->table->cell[row * in->table->columns + from->at] : "";

    return *text ? text : NULL;
}

/* A copy of a text cell in the profile's arena; NULL when it is empty. */
static const char *keep(sheet *in, column_kind which, size_t row)
{
    const char *text = text_of(in, which, row);
    const tw_node node = {.kind = TW_NODE_TEXT, .text = text, .place = in->place};

    in->reader->table_line = in->table->line[row];
    if (!text || !tw_read_line(in->reader, &node, known[which].name))
        return NULL;
    return tw_reader_text(in->reader, "%s", text);
}

static void read_repeats(sheet *in, size_t row, tw_reading *out)
{
    const char *text = text_of(in, REPEATS, row);
    char *end;
    long count;

    out->repeats = 1;
    if (text) {
        count = strtol(text, &end, 10);
        if (*end != '\0' || count < 1 || count > 1000)
            fault(in, in->table->line[row], TW_ERR_DOMAIN, text, "it can be 1 to 1000",
                  "%s takes a whole number", known[REPEATS].name);
        else
            out->repeats = (size_t)count;
    }
    if (text_of(in, SPREAD, row))
        read_number(in, SPREAD, row, &out->spread);
    if (out->spread > 0 && out->repeats == 1)
        fault(in, in->table->line[row], TW_ERR_KEY, NULL, "say in column \"repeats\" how many",
              "%s is of repeats, and there is one", known[SPREAD].name);
}

static void read_point(sheet *in, size_t row, tw_point *out)
{
    static const column_kind values[][3] = {[TW_POINT_TAPE] = {ACROSS, UP, COLUMNS},
                                            [TW_POINT_EDGE] = {ALONG, IN, COLUMNS},
                                            [TW_POINT_SPACE] = {X, Y, Z},
                                            [TW_POINT_CROWN] = {CROWN, TOWARD, COLUMNS}};

    out->place = (tw_place){in->table->line[row], 0};
    for (size_t k = 0; k < 3; k++) {
        const column_kind which = values[out->kind][k];
        if (which == COLUMNS || !in->columns[which].there ||
            (which == IN && !text_of(in, IN, row))) /* in: 0 when not given */
            continue;
        read_number(in, which, row, &out->value[k]);
    }
    if (out->kind == TW_POINT_EDGE) {
        out->edge = keep(in, EDGE, row);
        if (!out->edge) {
            out->edge = "";
            fault(in, in->table->line[row], TW_ERR_KEY, NULL, "name an edge of the outline",
                  "%s is empty", known[EDGE].name);
        }
    }
    if (out->kind == TW_POINT_CROWN && out->value[0] < 0)
        fault(in, in->table->line[row], TW_ERR_DOMAIN, NULL,
              "give the length as it reads, and turn \"toward\" by 180 deg", "%s is below zero",
              known[CROWN].name);
}

static void read_row(sheet *in, size_t row, tw_point_kind kind, tw_reading_keys *out)
{
    const tw_node leave = {
        .kind = TW_NODE_TEXT, .text = text_of(in, LEAVE_OUT, row), .place = in->place};
    tw_reading *reading = &out->reading;

    reading->place = (tw_place){in->table->line[row], 0};
    reading->from_table = true;
    reading->name = keep(in, NAME, row);
    out->instrument = keep(in, INSTRUMENT, row);
    reading->at.kind = kind;
    read_point(in, row, &reading->at);
    read_number(in, THICKNESS, row, &reading->thickness);
    read_repeats(in, row, reading);
    in->reader->table_line = in->table->line[row];
    if (leave.text)
        tw_value_yes(in->reader, &leave, &reading->leave_out);
    for (size_t c = 0; c < in->table->columns; c++)
        if (in->table->header[c][0] == '\0' && in->table->cell[row * in->table->columns + c][0])
            fault(in, in->table->line[row], TW_ERR_KEY,
                  in->table->cell[row * in->table->columns + c], "name its column",
                  "a cell stands in a column without a name%s", "");
}

static tw_reading_keys *read_sheet(sheet *in, size_t *count)
{
    const tw_table *table = in->table;
    const size_t before = in->reader->errors.count;
    tw_reading_keys *rows;
    tw_point_kind kind = TW_POINT_TAPE;

    for (size_t c = 0; c < table->columns; c++)
        take_column(in, c);
    share_units(in);
    if (!in->columns[THICKNESS].there)
        fault(in, table->header_line, TW_ERR_KEY, NULL, "add a column \"thickness [mm]\"",
              "the table lacks the column \"%s\"", known[THICKNESS].name);
    if (!find_point_kind(in, &kind) || !in->columns[THICKNESS].there)
        return NULL;
    if (table->rows == 0)
        fault(in, table->header_line, TW_ERR_INPUT, NULL, "give each reading a row",
              "the table has no reading%s", "");
    if (table->rows > TW_READINGS_MAX) {
        char advice[80];
        snprintf(advice, sizeof advice, "at most %d readings can be used", TW_READINGS_MAX);
        fault(in, table->line[TW_READINGS_MAX], TW_ERR_LIMIT, NULL, advice,
              "the table has too many readings: this is the first too many%s", "");
        return NULL;
    }
    rows = tw_reader_array(in->reader, table->rows, sizeof *rows);
    for (size_t k = 0; rows && k < table->rows; k++)
        read_row(in, k, kind, &rows[k]);
    *count = table->rows;
    return in->reader->errors.count > before ? NULL : rows;
}

/* ---- the file ------------------------------------------------------------------------------ */

tw_reading_keys *tw_readings_table(tw_reader *reader, tw_readings_keys *keys, size_t *count)
{
    const char *path = tw_document_beside(reader, keys->spec.file);
    sheet in = {.reader = reader, .place = keys->file_place};
    tw_reading_keys *rows = NULL;
    tw_table *table = NULL;
    tw_notes errors;

    if (!path)
        return NULL;
    keys->spec.file = path;
    if (tw_table_read(path, &table, &errors) != TW_OK) {
        for (size_t k = 0; k < errors.count && k < TW_NOTES_MAX; k++) {
            const tw_error *err = &errors.items[k];
            if (err->status == TW_ERR_MEMORY)
                reader->no_memory = true;
            if (err->line > 0) {
                reader->table = path;
                reader->table_line = err->line;
                tw_reader_fault(reader, in.place, err->status, err->value, err->advice, "%s",
                                err->message);
            } else {
                tw_reader_fault(reader, in.place, err->status, path,
                                err->advice[0] ? err->advice
                                               : "its path is relative to the profile's folder",
                                "file \"%s\": %s", path, err->message);
            }
        }
        reader->table = NULL;
        return NULL;
    }
    in.table = table;
    reader->table = path;
    rows = read_sheet(&in, count);
    reader->table = NULL;
    tw_table_free(table);
    return rows;
}
