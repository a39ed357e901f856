/*
 * scan.c: a face by a grid of points, from a CSV table beside the profile or in it. Points become rows
 * of one y, rows are put in order up the plate and turned to run from left to right. What needs no
 * geometry is judged here: columns, units, numbers, how many, the order of rows; whether a section
 * makes a curve and crosses the centre line is the form room's to say.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A plane cut of a scan keeps its y but for rounding; an arm led along a line does not. */
#define ROW_SPREAD       0.1  /* [mm] off a row's first point */
#define NAMED_ROW_SPREAD 1.0  /* [mm], the same with a column "row" */
#define ROWS_APART       0.05 /* [mm] */
enum { ROW_LEAST = 3, COORDINATES = 3 };

static const char *const names[] = {"x", "y", "z", "row"};
enum { ROW = COORDINATES, COLUMNS };

typedef struct scan {
    tw_reader *reader;
    const tw_table *table;
    tw_place place; /* of the table's key */
    int offset;     /* lines of the profile before a table that stands in it */
    tw_column columns[COLUMNS];
    tw_points_spec *spec;
    double *y; /* of every point */
} scan;

/* Where an error about a line of the table stands: in a file the reader knows it, else the profile. */
static tw_place at_line(scan *in, int line)
{
    in->reader->cell = NULL;
    in->reader->table_place = (tw_place){line, 0};
    return in->reader->table || in->place.line <= 0 ? in->place : (tw_place){in->offset + line, 1};
}

/* ---- columns and cells ------------------------------------------------------------------------ */

static void take_column(scan *in, size_t at)
{
    static const char advice[] = "the first line names the columns: x [mm], y [mm], z [mm]";
    const char *text = in->table->header[at];
    const tw_place place = at_line(in, in->table->header_line);
    char name[TW_COLUMN_NAME], unit[TW_COLUMN_UNIT];
    double size;
    size_t k = 0;

    tw_column_split(text, name, unit);
    while (k < COLUMNS && strcmp(name, names[k]) != 0)
        k++;
    if (k == COLUMNS && *text)
        tw_reader_fault(in->reader, place, TW_ERR_KEY, text, advice, "unknown column \"%s\"", text);
    else if (k == COLUMNS)
        return;
    else if (in->columns[k].there)
        tw_reader_fault(in->reader, place, TW_ERR_KEY, text, "keep one of the two",
                        "column \"%s\" is there twice", name);
    else if (*unit && (k == ROW || !tw_column_unit_size(unit, TW_LENGTH, &size)))
        tw_reader_fault(in->reader, place, TW_ERR_UNIT, text,
                        k == ROW ? "leave the unit out" : "write [mm], [cm] or [in]",
                        k == ROW ? "column \"%s\" takes no unit"
                                 : "column \"%s\" has a unit that does not fit",
                        name);
    else
        memcpy(in->columns[k].unit, unit, sizeof unit);
    if (k < COLUMNS && !in->columns[k].there) {
        in->columns[k].there = true;
        in->columns[k].at = at;
    }
}

static bool take_columns(scan *in)
{
    const size_t before = in->reader->errors.count;

    for (size_t c = 0; c < in->table->columns; c++)
        take_column(in, c);
    for (size_t k = 0; k < COORDINATES; k++) {
        /* a unit that only one column names holds for all three */
        for (size_t other = 0; other < COORDINATES; other++)
            if (in->columns[k].there && !in->columns[k].unit[0])
                memcpy(in->columns[k].unit, in->columns[other].unit, TW_COLUMN_UNIT);
        if (!in->columns[k].there)
            tw_reader_fault(in->reader, at_line(in, in->table->header_line), TW_ERR_KEY, NULL,
                            "the first line names the columns: x [mm], y [mm], z [mm]",
                            "the table lacks the column \"%s\"", names[k]);
    }
    return in->reader->errors.count == before;
}

static bool read_cells(scan *in)
{
    const tw_table *table = in->table;
    const size_t before = in->reader->errors.count;
    tw_points_spec *spec = in->spec;
    bool whole = true;

    for (size_t k = 0; k < table->rows; k++) {
        double at[COORDINATES] = {0};
        for (size_t c = 0; c < COORDINATES; c++)
            whole = tw_column_number(in->reader, at_line(in, table->line[k]), table,
                                     &in->columns[c], names[c], TW_NUMBER_POSITION, k, &at[c]) &&
                    whole;
        spec->points[k][0] = at[0];
        spec->points[k][1] = at[2];
        in->y[k] = at[1];
        spec->line[k] = in->reader->table ? table->line[k] : in->offset + table->line[k];
    }
    return whole && in->reader->errors.count == before;
}

/* ---- rows ------------------------------------------------------------------------------------- */

static const char *row_word(const scan *in, size_t point)
{
    return in->table->cell[point * in->table->columns + in->columns[ROW].at];
}

/* Does a point go on with the row of the one before it, whose first is `first`? */
static bool goes_on(const scan *in, size_t first, size_t point)
{
    if (in->columns[ROW].there)
        return strcmp(row_word(in, point), row_word(in, point - 1)) == 0;
    return fabs(in->y[point] - in->y[first]) <= ROW_SPREAD;
}

static void close_row(scan *in, size_t first, size_t end)
{
    tw_points_spec *spec = in->spec;
    tw_points_row *row = &spec->rows[spec->row_count++];
    const tw_place place = at_line(in, in->table->line[first]);
    const double bound = in->columns[ROW].there ? NAMED_ROW_SPREAD : ROW_SPREAD;
    tw_sum sum = {0, 0};
    char advice[160];

    *row = (tw_points_row){0, first, end - first};
    for (size_t k = first; k < end; k++)
        tw_sum_add(&sum, in->y[k]);
    row->y = tw_sum_value(&sum) / (double)row->count;
    for (size_t k = first; k < end; k++)
        if (fabs(in->y[k] - row->y) > bound) {
            tw_reader_fault(in->reader, at_line(in, in->table->line[k]), TW_ERR_SHAPE, NULL,
                            "cut the scan square to y",
                            "y is %g mm here, %.2g mm off the rest of its row", in->y[k],
                            fabs(in->y[k] - row->y));
            break;
        }
    if (row->count < ROW_LEAST) {
        snprintf(advice, sizeof advice,
                 "a row has 3 points or more, one after the other, of equal y (to %g mm) or of one "
                 "word in a column \"row\"",
                 ROW_SPREAD);
        tw_reader_fault(in->reader, place, TW_ERR_SHAPE, NULL, advice,
                        "the row at y %g mm has %zu point%s", row->y, row->count,
                        row->count == 1 ? "" : "s");
    } else if (row->count > TW_POINTS_ROW_MAX) {
        snprintf(advice, sizeof advice, "a row has at most %d: leave out every second",
                 TW_POINTS_ROW_MAX);
        tw_reader_fault(in->reader, place, TW_ERR_LIMIT, NULL, advice,
                        "the row at y %g mm has %zu points", row->y, row->count);
    }
    /* from left to right */
    if (spec->points[end - 1][0] < spec->points[first][0])
        for (size_t a = first, b = end - 1; a < b; a++, b--) {
            const double x = spec->points[a][0], z = spec->points[a][1];
            const int line = spec->line[a];
            memcpy(spec->points[a], spec->points[b], sizeof spec->points[a]);
            spec->points[b][0] = x;
            spec->points[b][1] = z;
            spec->line[a] = spec->line[b];
            spec->line[b] = line;
        }
}

static void find_rows(scan *in)
{
    size_t first = 0;

    for (size_t k = 1; k <= in->table->rows; k++) {
        if (k < in->table->rows && goes_on(in, first, k))
            continue;
        if (in->spec->row_count == TW_POINTS_ROWS_MAX) {
            char advice[80];
            snprintf(advice, sizeof advice, "a face has at most %d rows: leave out every second",
                     TW_POINTS_ROWS_MAX);
            tw_reader_fault(in->reader, at_line(in, in->table->line[first]), TW_ERR_LIMIT, NULL,
                            advice,
                            "the table has too many rows of points: this is the first too "
                            "many");
            return;
        }
        close_row(in, first, k);
        first = k;
    }
}

/* Rows go one way; those from the top down are turned round. */
static void order_rows(scan *in)
{
    tw_points_spec *spec = in->spec;
    const size_t count = spec->row_count;
    const double way = count > 1 && spec->rows[1].y < spec->rows[0].y ? -1 : 1;

    if (count < 2) {
        tw_reader_fault(in->reader, in->place, TW_ERR_SHAPE, NULL, "cut two sections or more",
                        "points need at least 2 rows, not %zu", count);
        return;
    }
    for (size_t k = 1; k < count; k++) {
        const double step = way * (spec->rows[k].y - spec->rows[k - 1].y);
        if (step >= ROWS_APART)
            continue;
        tw_reader_fault(in->reader, at_line(in, in->table->line[spec->rows[k].first]), TW_ERR_SHAPE,
                        NULL, "give the rows in order of y, each in one piece",
                        step > 0 ? "the row at y %g mm lies on the one before it, at %g mm"
                                 : "the row at y %g mm turns back behind the one at %g mm",
                        spec->rows[k].y, spec->rows[k - 1].y);
        return; /* those that follow would be told for nothing */
    }
    for (size_t a = 0, b = count - 1; way < 0 && a < b; a++, b--) {
        const tw_points_row row = spec->rows[a];
        spec->rows[a] = spec->rows[b];
        spec->rows[b] = row;
    }
}

/* ---- the whole -------------------------------------------------------------------------------- */

/* Without an origin the tape begins midway between the ends of the lowest row. */
static void choose_origin(tw_points_spec *spec)
{
    const tw_points_row *low = &spec->rows[0];

    if (spec->origin_place.line != 0)
        return;
    spec->origin[0] =
        0.5 * (spec->points[low->first][0] + spec->points[low->first + low->count - 1][0]);
    spec->origin[1] = low->y;
    spec->origin[2] = NAN;
}

static void read_points(scan *in)
{
    tw_points_spec *spec = in->spec;
    tw_reader *reader = in->reader;
    const size_t count = in->table->rows, before = reader->errors.count;
    char advice[80];

    if (!take_columns(in))
        return;
    if (count == 0) {
        tw_reader_fault(reader, at_line(in, in->table->header_line), TW_ERR_INPUT, NULL,
                        "give each point a line", "the table has no point");
        return;
    }
    if (count > TW_POINTS_MAX) {
        snprintf(advice, sizeof advice, "at most %d points can be used: leave out every second row",
                 TW_POINTS_MAX);
        tw_reader_fault(reader, at_line(in, in->table->line[TW_POINTS_MAX]), TW_ERR_LIMIT, NULL,
                        advice, "the table has too many points: this is the first too many");
        return;
    }
    spec->points = tw_reader_array(reader, count, sizeof *spec->points);
    spec->line = tw_reader_array(reader, count, sizeof *spec->line);
    spec->rows = tw_reader_array(reader, TW_POINTS_ROWS_MAX, sizeof *spec->rows);
    in->y = tw_reader_array(reader, count, sizeof *in->y);
    if (reader->no_memory)
        return;
    spec->point_count = count;
    if (!read_cells(in))
        return;
    find_rows(in);
    if (reader->errors.count == before)
        order_rows(in);
    if (reader->errors.count == before)
        choose_origin(spec);
}

void tw_scan_shift(const tw_reader *reader, tw_point *point)
{
    const tw_profile *profile = reader->profile;

    if (point->kind != TW_POINT_SPACE || profile->form != TW_FORM_POINTS)
        return;
    point->value[0] -= profile->points.origin[0];
    point->value[1] -= profile->points.origin[1];
}

/* A table in the profile: its first line is the one after its own key's. */
static tw_table *inner_table(scan *in, const tw_node *node)
{
    tw_table *table = NULL;
    tw_notes errors;

    in->place = node->place;
    in->offset = node->place.line - 1;
    if (tw_table_read_memory(in->reader->profile->file, node->text, strlen(node->text), &table,
                             &errors) == TW_OK)
        return table;
    for (size_t k = 0; k < errors.count && k < TW_NOTES_MAX; k++) {
        const tw_error *err = &errors.items[k];
        if (err->status == TW_ERR_MEMORY)
            in->reader->no_memory = true;
        tw_reader_fault(in->reader, err->line > 0 ? at_line(in, err->line) : in->place, err->status,
                        err->value, err->advice, "%s", err->message);
    }
    return NULL;
}

void tw_read_table(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    if (node->kind == TW_NODE_TEXT && node->text[0] != '\0')
        *(const tw_node **)target = node;
    else
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write \"table: |\", then the lines of the table, each set in",
                        "%s takes the lines of a CSV table", key->name);
}

void tw_read_origin(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    static const char advice[] = "write [x, y, z]: a point of the face on its centre line";
    double *origin = target;
    tw_point point;

    if (node->kind == TW_NODE_LIST && node->count == COORDINATES) {
        const tw_node *child = node->first;
        for (size_t k = 0; k < COORDINATES; k++, child = child->next)
            tw_value_number(reader, child, names[k], TW_NUMBER_POSITION, &origin[k]);
    } else if (node->kind != TW_NODE_MAP) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text, advice,
                        "%s takes three lengths", key->name);
    } else if (tw_value_point(reader, node, key->name, &point)) {
        if (point.kind == TW_POINT_SPACE)
            memcpy(origin, point.value, sizeof point.value);
        else
            tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, advice, "%s is a point in space",
                            key->name);
    }
}

void tw_read_scan(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_scan_keys keys = {.file = NULL};
    tw_points_spec *spec = &reader->profile->points;
    scan in = {.reader = reader, .spec = spec};
    tw_table *table = NULL;

    (void)target;
    reader->profile->form = TW_FORM_POINTS;
    spec->place = node->place;
    if (!tw_read_map(reader, node, key->inside, key->name, &keys))
        return;
    memcpy(spec->origin, keys.origin, sizeof spec->origin);
    spec->origin_place = keys.origin_place;
    if ((keys.file_place.line != 0) == (keys.table_place.line != 0))
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "write {file: scan.csv}",
                        keys.file_place.line != 0 ? "points have a file or a table, not both"
                                                  : "points lack their file");
    else if (keys.file) {
        in.place = keys.file_place;
        spec->file = keys.file;
        table = tw_table_beside(reader, in.place, &spec->file);
    } else if (keys.table) {
        table = inner_table(&in, keys.table);
    }
    if (!table)
        return;
    in.table = table;
    reader->table = spec->file;
    reader->sheet = spec->file ? table : NULL;
    read_points(&in);
    reader->table = reader->cell = NULL;
    reader->sheet = NULL;
    tw_table_free(table);
}
