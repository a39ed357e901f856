/*
 * table.c: tables of text cells as spreadsheets and people write them: RFC 4180 quoting, and what
 * the world adds to it: semicolons or tabs between cells, a byte order mark, any line ends, blank
 * lines, remarks. The bytes are kept, for errors to show, and a copy is unquoted in place, so a table
 * costs twice its own size and a pointer a cell. Cells stay text: what a number or a unit is, the caller knows.
 */
#include "files_internal.h"

#include <stdlib.h>
#include <string.h>

/* A table being read. `text` ends with a NUL byte; there is no other in it. */
typedef struct scan {
    const char *name;
    char *text, *at;
    int line; /* that `at` stands on */
    tw_table *table;
    tw_notes *errors;
    size_t faults;
    tw_status first;
} scan;

/* ---- where something stands ------------------------------------------------------------------ */

/* The line that begins at `at`, cut to fit at a whole letter, control characters as blanks: a tab is
 * one letter, so that a caret stands right. */
static void copy_line(const char *at, char *out, size_t size)
{
    size_t length = strcspn(at, "\r\n");

    if (length >= size) {
        length = size - 1;
        while (length > 0 && ((unsigned char)at[length] & 0xC0) == 0x80)
            length--;
    }
    memcpy(out, at, length);
    out[length] = '\0';
    tw_utf8_tidy(out, false);
}

static const char *line_end(const char *at)
{
    at += strcspn(at, "\r\n");
    return *at ? at + (at[0] == '\r' && at[1] == '\n' ? 2 : 1) : at;
}

void tw_table_place(const tw_table *table, const char *cell, tw_error *err)
{
    const char *const at = table->text + (cell - table->cells);
    const char *begin = table->text, *next;
    size_t low = 0, high = table->rows;

    if (!err)
        return;
    /* cells lie in the order of the file: the row before the first beyond it */
    while (low < high) {
        const size_t middle = (low + high) / 2;
        if (table->cell[middle * table->columns] <= cell)
            low = middle + 1;
        else
            high = middle;
    }
    err->line = 1;
    err->column = 1;
    if (low >
        0) { /* where the row begins, behind the header's, there is no need to count from the top */
        begin = table->text + (table->cell[(low - 1) * table->columns] - table->cells);
        while (begin[-1] != '\n' && begin[-1] != '\r')
            begin--;
        err->line = table->line[low - 1];
    }
    for (; *(next = line_end(begin)) && next <= at; begin = next)
        err->line++;
    for (const char *letter = begin; letter < at; letter++)
        err->column += ((unsigned char)*letter & 0xC0) != 0x80;
    tw_format(err->file, sizeof err->file, "%s", table->file);
    copy_line(begin, err->source, sizeof err->source);
}

/* ---- errors ---------------------------------------------------------------------------------- */

static void fault(scan *in, int line, tw_status status, const char *value, const char *advice,
                  const char *message, ...) TW_PRINTF(6, 7);
static void fault(scan *in, int line, tw_status status, const char *value, const char *advice,
                  const char *message, ...)
{
    tw_error err;
    char text[sizeof err.message];
    va_list arguments;

    va_start(arguments, message);
    tw_format_list(text, sizeof text, message, arguments);
    va_end(arguments);
    tw_fail(&err, status, "%s", text);
    tw_error_advise(&err, value, advice ? "%s" : NULL, advice);
    tw_format(err.file, sizeof err.file, "%s", in->name);
    err.line = line;
    if (line > 0 && in->table->text) {
        const char *begin = in->table->text;
        for (int n = 1; n < line; n++)
            begin = line_end(begin);
        copy_line(begin, err.source, sizeof err.source);
    }
    if (in->faults++ == 0)
        in->first = status;
    tw_notes_add(in->errors, &err);
}

/* ---- is it text ----------------------------------------------------------------------------- */

static bool check_text(scan *in, const char *data, size_t size)
{
    static const char save[] = "save it as CSV in UTF-8";
    const unsigned char *bytes = (const unsigned char *)data;
    int line = 1;

    if (size >= 2 &&
        ((bytes[0] == 0xFF && bytes[1] == 0xFE) || (bytes[0] == 0xFE && bytes[1] == 0xFF))) {
        fault(in, 1, TW_ERR_SYNTAX, NULL, save, "the table is written in UTF-16");
        return false;
    }
    for (size_t n = 0; n < size;) {
        const size_t length = tw_utf8_letter(bytes + n, size - n);
        if (length == 0) {
            fault(in, line, TW_ERR_SYNTAX, NULL, save, "the line is no text in UTF-8");
            return false;
        }
        if (tw_utf8_control(bytes + n, length)) {
            fault(in, line, TW_ERR_SYNTAX, NULL, save,
                  "the file is no table: it has a control character here");
            return false;
        }
        if (bytes[n] == '\n' || (bytes[n] == '\r' && !(n + 1 < size && bytes[n + 1] == '\n')))
            line++;
        n += length;
    }
    return true;
}

/* ---- rows ----------------------------------------------------------------------------------- */

static bool ends_line(char c)
{
    return c == '\0' || c == '\n' || c == '\r';
}

static void skip_line_end(scan *in)
{
    if (*in->at == '\0')
        return;
    in->at += in->at[0] == '\r' && in->at[1] == '\n' ? 2 : 1;
    in->line++;
}

static void skip_line(scan *in)
{
    while (!ends_line(*in->at))
        in->at++;
    skip_line_end(in);
}

static bool is_blank(const scan *in, char c)
{
    return c == ' ' || (c == '\t' && in->table->separator != '\t');
}

/* Moves to the row that begins next, over blank lines and remarks; false at the end. */
static bool next_row(scan *in)
{
    while (*in->at) {
        const char *at = in->at;
        while (*at == ' ' || *at == '\t')
            at++;
        if (*in->at != '#' && !ends_line(*at))
            return true;
        skip_line(in);
    }
    return false;
}

/* Semicolon before tab before comma: a header row such as "across, mm;up, mm" has commas too. */
static char find_separator(const char *at)
{
    bool quoted = false, tab = false;

    for (; *at && (quoted || !ends_line(*at)); at++) {
        if (*at == '"')
            quoted = !quoted;
        else if (*at == ';' && !quoted)
            return ';';
        else if (*at == '\t' && !quoted)
            tab = true;
    }
    return tab ? '\t' : ',';
}

static char *trim(const scan *in, char *begin, char *end)
{
    while (end > begin && is_blank(in, end[-1]))
        end--;
    while (begin < end && is_blank(in, *begin))
        begin++;
    *end = '\0';
    return begin;
}

/* The quote that closes the cell whose text begins at `at`, or NULL. */
static const char *closing_quote(const char *at)
{
    for (; *at; at++)
        if (*at == '"' && *++at != '"')
            return at - 1;
    return NULL;
}

/* The quoted cell that begins at in->at, unquoted in place; NULL when its quote is never closed.
 * Line ends inside become single LF. */
static char *quoted_cell(scan *in, char **end)
{
    char *const begin = in->at + 1;
    const char *const close = closing_quote(begin);
    char *from = begin, *to = begin;

    if (!close)
        return NULL;
    for (; from < close; from++) {
        if (*from == '"')
            from++;
        else if (*from == '\r' && from[1] == '\n')
            continue;
        else if (*from == '\n' || *from == '\r')
            in->line++;
        *to++ = *from == '\r' ? '\n' : *from;
    }
    *end = to;
    in->at = from + 1;
    return begin;
}

/* One cell; in->at is left on what ends it, *stop is that sign (it may be overwritten). NULL after
 * an error that makes the row useless. */
static char *read_cell(scan *in, char *stop)
{
    const char separator = in->table->separator;
    char *begin, *end;

    while (is_blank(in, *in->at))
        in->at++;
    if (*in->at != '"') {
        begin = in->at;
        while (!ends_line(*in->at) && *in->at != separator)
            in->at++;
        *stop = *in->at;
        return trim(in, begin, in->at);
    }
    begin = quoted_cell(in, &end);
    if (!begin) { /* the rows below may be sound: what follows this line is read */
        fault(in, in->line, TW_ERR_SYNTAX, NULL, "close it, and write a quote inside a cell twice",
              "a quote that opens in this row is never closed");
        return NULL;
    }
    while (is_blank(in, *in->at))
        in->at++;
    if (!ends_line(*in->at) && *in->at != separator) {
        fault(in, in->line, TW_ERR_SYNTAX, NULL, "write a quote inside a cell twice",
              "something follows the closing quote of a cell");
        return NULL;
    }
    *stop = *in->at;
    return trim(in, begin, end);
}

typedef struct row {
    size_t cells;
    bool whole; /* no error in it */
    bool empty; /* nothing but separators, as spreadsheets leave below a table */
    int line;
} row;

/* The row at in->at; the first `room` cells are kept in `cells`. */
static row read_row(scan *in, const char **cells, size_t room)
{
    row out = {0, true, true, in->line};
    char stop;

    do {
        const char *cell = read_cell(in, &stop);
        if (!cell) {
            out.whole = false;
            skip_line(in);
            return out;
        }
        if (*cell)
            out.empty = false;
        if (out.cells < room)
            cells[out.cells] = cell;
        out.cells++;
        if (!ends_line(stop))
            in->at++;
    } while (!ends_line(stop));
    if (stop != '\0') { /* trim() may have put the cell's end where the line's end was */
        in->at += stop == '\r' && in->at[1] == '\n' ? 2 : 1;
        in->line++;
    }
    return out;
}

static void read_rows(scan *in)
{
    tw_table *table = in->table;

    while (next_row(in)) {
        const row got = read_row(in, table->cell + table->rows * table->columns, table->columns);
        if (!got.whole || got.empty)
            continue;
        if (got.cells != table->columns) {
            const bool commas = table->separator == ',' && got.cells > table->columns;
            fault(in, got.line, TW_ERR_SYNTAX, NULL,
                  commas ? "decimals take a point, and a cell with a comma inside stands in quotes"
                         : "leave a cell empty, but keep its separator",
                  "the row has %zu cells, the header row %zu", got.cells, table->columns);
            continue;
        }
        table->line[table->rows++] = got.line;
    }
}

/* Most cells and rows there can be, by counting; every row begins with a line. */
static void count_ends(const scan *in, size_t *cells, size_t *rows)
{
    *cells = *rows = 1;
    for (const char *at = in->at; *at; at++) {
        *rows += *at == '\n' || *at == '\r';
        *cells += *at == '\n' || *at == '\r' || *at == in->table->separator;
    }
}

static tw_status read_table(scan *in)
{
    tw_table *table = in->table;
    size_t cells, rows;
    row header;

    /* "sep=;" is how a spreadsheet is told the separator; the header row shows it anyway */
    if (strncmp(in->at, "sep=", 4) == 0 && in->at[4] && ends_line(in->at[5]))
        skip_line(in);
    if (!next_row(in)) {
        fault(in, 0, TW_ERR_INPUT, NULL, "begin with a row that names the columns",
              "the table is empty");
        return in->first;
    }
    table->separator = find_separator(in->at);
    count_ends(in, &cells, &rows);
    table->header = tw_arena_array(table->arena, cells, sizeof *table->header);
    if (!table->header)
        return TW_ERR_MEMORY;
    header = read_row(in, table->header, cells);
    if (!header.whole)
        return in->first;
    if (header.empty) {
        fault(in, header.line, TW_ERR_SYNTAX, NULL, "begin with a row that names the columns",
              "the header row names no column");
        return in->first;
    }
    table->columns = header.cells;
    table->header_line = header.line;
    count_ends(in, &cells, &rows);
    /* a row is kept only when it has all its cells; one more row of room for the one being read */
    table->cell = tw_arena_array(table->arena, cells + table->columns, sizeof *table->cell);
    table->line = tw_arena_array(table->arena, rows, sizeof *table->line);
    if (!table->cell || !table->line)
        return TW_ERR_MEMORY;
    read_rows(in);
    return in->faults > 0 ? in->first : TW_OK;
}

static tw_status read_under(const char *name, const char *data, size_t size, size_t ceiling,
                            tw_table **out, tw_notes *errors)
{
    tw_arena *arena = tw_arena_new();
    scan in = {.name = name ? name : "", .line = 1, .errors = errors};
    char *text;
    tw_status status = TW_ERR_MEMORY;

    if (errors)
        errors->count = 0;
    if (size >= 3 && memcmp(data, "\xEF\xBB\xBF", 3) == 0) {
        data += 3;
        size -= 3;
    }
    if (!arena)
        goto done;
    in.table = tw_arena_array(arena, 1, sizeof *in.table);
    if (!in.table)
        goto done;
    in.table->arena = arena;
    if (size > ceiling)
        fault(&in, 0, TW_ERR_LIMIT, NULL, NULL, "the table is bigger than the %zu bytes accepted",
              ceiling);
    if (in.faults > 0 || !check_text(&in, data, size)) {
        status = in.first;
        goto done;
    }
    in.table->file = tw_arena_text(arena, in.name);
    in.text = tw_arena_array(arena, size + 1, 1);
    text = tw_arena_array(arena, size + 1, 1);
    if (!in.table->file || !in.text || !text)
        goto done;
    memcpy(in.text, size ? data : "", size);
    memcpy(text, in.text, size);
    in.table->text = text;
    in.table->cells = in.at = in.text;
    status = read_table(&in);
    if (status == TW_OK) {
        *out = in.table;
        return TW_OK;
    }
done:
    if (status == TW_ERR_MEMORY) {
        if (errors)
            errors->count = 0;
        fault(&in, 0, TW_ERR_MEMORY, NULL, NULL, "memory ran out while reading the table");
    }
    tw_arena_free(arena);
    return status;
}

tw_status tw_table_read_memory(const char *name, const char *data, size_t size, tw_table **out,
                               tw_notes *errors)
{
    return read_under(name, data, size, TW_TABLE_CEILING, out, errors);
}

tw_status tw_table_read(const char *path, tw_table **out, tw_notes *errors)
{
    return tw_table_read_under(path, TW_TABLE_CEILING, out, errors);
}

tw_status tw_table_read_under(const char *path, size_t ceiling, tw_table **out, tw_notes *errors)
{
    char *data = NULL;
    size_t size = 0;
    tw_error err;
    tw_status status = tw_file_read(path, ceiling, &data, &size, &err);

    if (status != TW_OK) {
        if (errors)
            errors->count = 0;
        tw_notes_add(errors, &err);
        return status;
    }
    status = read_under(path, data, size, ceiling, out, errors);
    free(data);
    return status;
}

void tw_table_free(tw_table *table)
{
    if (table)
        tw_arena_free(table->arena);
}
