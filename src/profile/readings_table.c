/*
 * readings_table.c: readings from a CSV table. The header row names the columns with their units; a
 * cell may repeat the unit, another one is an error. Each cell goes through the same readers as a
 * value of the profile, with errors turned to the table's line; every wrong cell is told.
 */
#include "profile_internal.h"

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

typedef struct sheet {
    tw_reader *reader;
    const tw_table *table;
    tw_place place; /* of the key `file` */
    tw_column columns[COLUMNS];
    size_t *unread; /* of work in progress: rows without a thickness are counted; else NULL */
} sheet;

/* An error about a cell, of the header row or another. */
static void fault(sheet *in, const char *cell, tw_status status, const char *value,
                  const char *advice, const char *message, const char *name)
{
    in->reader->cell = cell;
    tw_reader_fault(in->reader, in->place, status, value, advice, message, name);
}

/* ---- the header row ------------------------------------------------------------------------ */

/* Columns for people. */
static bool is_remark(const char *name)
{
    static const char *const remarks[] = {"remark", "remarks", "note",
                                          "notes",  "comment", "comments"};

    for (size_t k = 0; k < sizeof remarks / sizeof *remarks; k++)
        if (strcmp(name, remarks[k]) == 0)
            return true;
    return false;
}

/* What a gauge card says of its points, beside the column to fill in. */
static bool is_of_card(const char *name)
{
    static const char *const begins[] = {"wanted", "rough", "finished", "low",
                                         "high",   "zone",  "window",   "sd"};

    for (size_t k = 0; k < sizeof begins / sizeof *begins; k++)
        if (strncmp(name, begins[k], strlen(begins[k])) == 0)
            return true;
    return false;
}

static void unknown_column(sheet *in, const char *text, const char *name)
{
    const char *names[COLUMNS], *near;
    char advice[160] = "known:";

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
    for (size_t k = 0; !near && k < COLUMNS; k++)
        snprintf(advice + strlen(advice), sizeof advice - strlen(advice), " %s,", names[k]);
    if (!near)
        snprintf(advice + strlen(advice), sizeof advice - strlen(advice), " remark");
    fault(in, text, TW_ERR_KEY, text, advice, "unknown column \"%s\"", text);
}

static void take_column(sheet *in, size_t at)
{
    const char *text = in->table->header[at];
    char name[TW_COLUMN_NAME], unit[TW_COLUMN_UNIT];
    tw_column *found = NULL;
    double size;
    size_t k = 0;

    tw_column_split(text, name, unit);
    while (k < COLUMNS && strcmp(name, known[k].name) != 0)
        k++;
    if (k == COLUMNS) {
        if (*text && !is_remark(name) && !(in->unread && is_of_card(name)))
            unknown_column(in, text, name);
        return;
    }
    found = &in->columns[k];
    if (found->there) {
        fault(in, text, TW_ERR_KEY, text, "keep one of the two", "column \"%s\" is there twice",
              name);
        return;
    }
    found->there = true;
    found->at = at;
    if (*unit && known[k].kind == TEXT)
        fault(in, text, TW_ERR_UNIT, text, "leave the unit out", "column \"%s\" takes no unit",
              name);
    else if (*unit && !tw_column_unit_size(unit, tw_number_dimension((tw_number_kind)known[k].kind),
                                           &size)) {
        fault(in, text, TW_ERR_UNIT, text,
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
            memcpy(in->columns[leads[k][0]].unit, in->columns[leads[k][1]].unit, TW_COLUMN_UNIT);
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
    fault(in, in->table->header[0], TW_ERR_KEY, NULL,
          "give across and up; edge, along and in; x, y and z; or from crown and toward",
          families > 1 ? "the columns%s say in two ways where a reading was taken"
                       : "the columns%s do not say where a reading was taken",
          "");
    return false;
}

/* ---- cells --------------------------------------------------------------------------------- */

/* A number of a column; false after an error, or when its column lacks a unit and said so. */
static bool read_number(sheet *in, column_kind which, size_t row, double *out)
{
    return tw_column_number(in->reader, in->place, in->table, &in->columns[which],
                            known[which].name, (tw_number_kind)known[which].kind, row, out);
}

static const char *text_of(const sheet *in, column_kind which, size_t row)
{
    const tw_column *from = &in->columns[which];
    const char *text = from->there ? in->table->cell[row * in->table->columns + from->at] : "";

    return *text ? text : NULL;
}

/* A row's cell in a column that is there. */
static const char *cell_of(const sheet *in, column_kind which, size_t row)
{
    return in->table->cell[row * in->table->columns + in->columns[which].at];
}

/* A copy of a text cell in the profile's arena; NULL when it is empty. */
static const char *keep(sheet *in, column_kind which, size_t row)
{
    const char *text = text_of(in, which, row);
    const tw_node node = {.kind = TW_NODE_TEXT, .text = text, .place = in->place};

    in->reader->cell = text;
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
            fault(in, text, TW_ERR_DOMAIN, text, "it can be 1 to 1000", "%s takes a whole number",
                  known[REPEATS].name);
        else
            out->repeats = (size_t)count;
    }
    if (text_of(in, SPREAD, row))
        read_number(in, SPREAD, row, &out->spread);
    if (out->spread > 0 && out->repeats == 1)
        fault(in, cell_of(in, SPREAD, row), TW_ERR_KEY, NULL, "say in column \"repeats\" how many",
              "%s is of repeats, and there is one", known[SPREAD].name);
}

static void read_point(sheet *in, size_t row, tw_point *out)
{
    static const column_kind values[][3] = {[TW_POINT_TAPE] = {ACROSS, UP, COLUMNS},
                                            [TW_POINT_EDGE] = {ALONG, IN, COLUMNS},
                                            [TW_POINT_SPACE] = {X, Y, Z},
                                            [TW_POINT_CROWN] = {CROWN, TOWARD, COLUMNS}};

    for (size_t k = 0; k < 3; k++) {
        const column_kind which = values[out->kind][k];
        if (which == COLUMNS || !in->columns[which].there ||
            (which == IN && !text_of(in, IN, row))) /* in: 0 when not given */
            continue;
        read_number(in, which, row, &out->value[k]);
    }
    tw_scan_shift(in->reader, out);
    if (out->kind == TW_POINT_EDGE) {
        out->edge = keep(in, EDGE, row);
        if (!out->edge) {
            out->edge = "";
            fault(in, cell_of(in, EDGE, row), TW_ERR_KEY, NULL, "name an edge of the outline",
                  "%s is empty", known[EDGE].name);
        }
    }
    if (out->kind == TW_POINT_CROWN && out->value[0] < 0)
        fault(in, cell_of(in, CROWN, row), TW_ERR_DOMAIN, NULL,
              "give the length as it reads, and turn \"toward\" by 180 deg", "%s is below zero",
              known[CROWN].name);
}

static void read_row(sheet *in, size_t row, tw_point_kind kind, tw_reading_keys *out)
{
    const tw_node leave = {
        .kind = TW_NODE_TEXT, .text = text_of(in, LEAVE_OUT, row), .place = in->place};
    static const column_kind firsts[] = {[TW_POINT_TAPE] = ACROSS,
                                         [TW_POINT_EDGE] = EDGE,
                                         [TW_POINT_SPACE] = X,
                                         [TW_POINT_CROWN] = CROWN};
    tw_reading *reading = &out->reading;
    tw_error at;

    tw_table_place(in->table, cell_of(in, firsts[kind], row), &at);
    reading->place = reading->at.place = (tw_place){at.line, at.column};
    reading->source = tw_reader_text(in->reader, "%s", at.source);
    reading->from_table = true;
    reading->name = keep(in, NAME, row);
    out->instrument = keep(in, INSTRUMENT, row);
    if (out->instrument) {
        tw_table_place(in->table, cell_of(in, INSTRUMENT, row), &at);
        out->instrument_place = (tw_place){at.line, at.column};
    }
    reading->at.kind = kind;
    read_point(in, row, &reading->at);
    read_number(in, THICKNESS, row, &reading->thickness);
    read_repeats(in, row, reading);
    in->reader->cell = leave.text;
    if (leave.text)
        tw_value_yes(in->reader, &leave, &reading->leave_out);
    for (size_t c = 0; c < in->table->columns; c++)
        if (in->table->header[c][0] == '\0' && in->table->cell[row * in->table->columns + c][0])
            fault(in, in->table->cell[row * in->table->columns + c], TW_ERR_KEY,
                  in->table->cell[row * in->table->columns + c], "name its column",
                  "a cell stands in a column without a name%s", "");
}

/* ---- repeats -------------------------------------------------------------------------------- */

static bool same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* Rows of one name at one place, by one instrument, are repeats of one reading. What was averaged
 * before it was written is none. */
static bool is_repeat(const tw_reading_keys *first, const tw_reading_keys *row)
{
    const tw_reading *a = &first->reading, *b = &row->reading;

    return a->name && same_text(a->name, b->name) && same_text(a->at.edge, b->at.edge) &&
           a->at.value[0] == b->at.value[0] && a->at.value[1] == b->at.value[1] &&
           a->at.value[2] == b->at.value[2] && same_text(first->instrument, row->instrument) &&
           a->leave_out == b->leave_out && a->repeats == 1 && b->repeats == 1;
}

/* Average repeats into the first of them. @return how many rows are left */
static size_t join_repeats(tw_reader *reader, tw_reading_keys *rows, size_t count)
{
    double *values = tw_reader_array(reader, count, sizeof *values);
    size_t kept = 0;

    for (size_t k = 0; values && k < count; k++) {
        tw_reading_keys one = rows[k];
        size_t n = 0, after = k + 1;
        values[n++] = one.reading.thickness;
        for (size_t j = k + 1; j < count; j++) {
            if (is_repeat(&rows[k], &rows[j]))
                values[n++] = rows[j].reading.thickness;
            else
                rows[after++] = rows[j]; /* at or before j */
        }
        count = after;
        if (n > 1)
            tw_reading_average(values, n, &one.reading);
        rows[kept++] = one;
    }
    return kept;
}

/* Rows into readings; of work in progress those that have been read. @return how many */
static size_t read_rows(sheet *in, tw_point_kind kind, tw_reading_keys *rows)
{
    size_t count = 0;

    for (size_t k = 0; k < in->table->rows; k++) {
        if (in->unread && !text_of(in, THICKNESS, k)) {
            ++*in->unread;
            continue;
        }
        read_row(in, k, kind, &rows[count]);
        if (in->unread && !rows[count].reading.name) /* as the rows of a card are counted */
            rows[count].reading.name = tw_reader_text(in->reader, "%zu", k + 1);
        count++;
    }
    return count;
}

static tw_reading_keys *read_sheet(sheet *in, size_t *count)
{
    const tw_table *table = in->table;
    const size_t before = in->reader->errors.count;
    tw_reading_keys *rows;
    tw_point_kind kind = TW_POINT_TAPE;
    size_t filled = 0;

    for (size_t c = 0; c < table->columns; c++)
        take_column(in, c);
    share_units(in);
    if (!in->columns[THICKNESS].there)
        fault(in, table->header[0], TW_ERR_KEY, NULL, "add a column \"thickness [mm]\"",
              "the table lacks the column \"%s\"", known[THICKNESS].name);
    if (!find_point_kind(in, &kind) || !in->columns[THICKNESS].there)
        return NULL;
    if (table->rows == 0)
        fault(in, table->header[0], TW_ERR_INPUT, NULL, "give each reading a row",
              "the table has no reading%s", "");
    if (table->rows > TW_READINGS_MAX) {
        char advice[80];
        snprintf(advice, sizeof advice, "at most %d readings can be used", TW_READINGS_MAX);
        fault(in, table->cell[TW_READINGS_MAX * table->columns], TW_ERR_LIMIT, NULL, advice,
              "the table has too many readings: this is the first too many%s", "");
        return NULL;
    }
    rows = tw_reader_array(in->reader, table->rows, sizeof *rows);
    if (rows)
        filled = read_rows(in, kind, rows);
    if (!rows || in->reader->errors.count > before)
        return NULL;
    *count = join_repeats(in->reader, rows, filled);
    return rows;
}

/* ---- the file ------------------------------------------------------------------------------ */

tw_reading_keys *tw_readings_rows(tw_reader *reader, const tw_readings_keys *keys,
                                  const tw_table *table, size_t *unread, size_t *count)
{
    sheet in = {.reader = reader, .table = table, .place = keys->file_place, .unread = unread};
    tw_reading_keys *rows;

    reader->table = keys->spec.file;
    reader->sheet = table;
    rows = read_sheet(&in, count);
    reader->table = reader->cell = NULL;
    reader->sheet = NULL;
    return rows;
}

tw_reading_keys *tw_readings_table(tw_reader *reader, tw_readings_keys *keys, size_t *count)
{
    tw_reading_keys *rows = NULL;
    tw_table *table = tw_table_beside(reader, keys->file_place, &keys->spec.file);

    if (!table)
        return NULL;
    rows = tw_readings_rows(reader, keys, table, NULL, count);
    tw_table_free(table);
    return rows;
}
