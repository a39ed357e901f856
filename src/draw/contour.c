/*
 * contour.c: level lines of a field on a lattice, traced cell by cell so that each line comes out
 * whole, ready for dashes and labels. Crossing points are linear along cell sides (marching
 * squares); a saddle is split by the mean of its corners. The cells that any level passes through are
 * listed first, in one pass over the field, as most lie between two levels.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sides of a cell: 0 low, 1 right, 2 high, 3 left; corners anticlockwise from low left. */
static const int side_step[4][2] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};

typedef struct tracer {
    const tw_field *field;
    double level;
    unsigned char *seen; /* bit per side that a line of this level already left a cell by */
    uint32_t *cells;     /* those that any level passes through */
    size_t cell_count;
    double (*forward)[2], (*back)[2];
    size_t limit;
} tracer;

static void corners(const tw_field *field, size_t i, size_t j, double corner[4])
{
    const double *low = field->value + j * field->columns + i, *high = low + field->columns;

    corner[0] = low[0];
    corner[1] = low[1];
    corner[2] = high[1];
    corner[3] = high[0];
}

static bool usable(const tw_field *field, size_t i, size_t j)
{
    return !field->use || field->use[j * (field->columns - 1) + i] > 0;
}

static bool crossed(const double corner[4], double level, int side)
{
    return (corner[side] < level) != (corner[(side + 1) % 4] < level);
}

static void crossing(const double corner[4], double level, int side, size_t i, size_t j,
                     double point[2])
{
    static const double place[5][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}};
    const double here = corner[side], next = corner[(side + 1) % 4];
    const double f = (level - here) / (next - here);

    point[0] = (double)i + place[side][0] + f * (place[side + 1][0] - place[side][0]);
    point[1] = (double)j + place[side][1] + f * (place[side + 1][1] - place[side][1]);
}

/* The side by which a line that came in by `side` goes out. */
static int way_out(const double corner[4], double level, int side)
{
    int others = 0, out = side;

    for (int k = 1; k < 4; k++)
        if (crossed(corner, level, (side + k) % 4)) {
            others++;
            out = (side + k) % 4;
        }
    if (others == 3) { /* saddle: join the two corners that the middle is on the side of */
        const double middle = 0.25 * (corner[0] + corner[1] + corner[2] + corner[3]);
        const bool first_with_middle = (corner[side] < level) == (middle < level);
        out = first_with_middle ? (side + 1) % 4 : (side + 3) % 4;
    }
    return out;
}

/* Walks from a cell out by a side until the line closes or the field ends. */
static size_t walk(tracer *t, size_t i, size_t j, int out, double (*points)[2], bool *closed)
{
    const size_t columns = t->field->columns - 1, rows = t->field->rows - 1;
    const size_t first_cell = j * columns + i;
    const int first_out = out;
    size_t count = 0;
    double corner[4];

    *closed = false;
    for (;;) {
        corners(t->field, i, j, corner);
        if (count == t->limit)
            return count;
        crossing(corner, t->level, out, i, j, points[count++]);
        t->seen[j * columns + i] |= (unsigned char)(1u << out);
        if ((out == 0 && j == 0) || (out == 3 && i == 0) || (out == 1 && i + 1 == columns) ||
            (out == 2 && j + 1 == rows))
            return count;
        i = (size_t)((long)i + side_step[out][0]);
        j = (size_t)((long)j + side_step[out][1]);
        if (!usable(t->field, i, j))
            return count;
        corners(t->field, i, j, corner);
        t->seen[j * columns + i] |= (unsigned char)(1u << ((out + 2) % 4));
        out = way_out(corner, t->level, (out + 2) % 4);
        if (j * columns + i == first_cell && out == first_out) {
            *closed = true;
            return count;
        }
    }
}

static tw_status keep(tw_arena *arena, const tracer *t, size_t back, size_t forward, bool closed,
                      tw_contour *out, tw_error *err)
{
    out->level = t->level;
    out->closed = closed;
    out->count = back + forward;
    out->points = tw_arena_array(arena, out->count, sizeof *out->points);
    if (!out->points)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for contour lines");
    for (size_t k = 0; k < back; k++)
        memcpy(out->points[k], t->back[back - 1 - k], sizeof *out->points);
    if (forward)
        memcpy(out->points + back, t->forward, forward * sizeof *out->points);
    return TW_OK;
}

/* ---- which cells any level passes through ----------------------------------------------------- */

static int by_size(const void *one, const void *other)
{
    const double a = *(const double *)one, b = *(const double *)other;

    return (a > b) - (a < b);
}

/* Least and greatest corner; with a corner that is no number, everything. */
static void range_of(const double corner[4], double *low, double *high)
{
    *low = *high = corner[0];
    for (int k = 1; k < 4; k++) {
        *low = corner[k] < *low ? corner[k] : *low;
        *high = corner[k] > *high ? corner[k] : *high;
    }
    if (isnan(corner[0] + corner[1] + corner[2] + corner[3])) {
        *low = -INFINITY;
        *high = INFINITY;
    }
}

/* In the order of the field. A cell starts from its neighbour's place among the sorted levels. */
static size_t list_cells(const tw_field *field, const double *sorted, size_t level_count,
                         uint32_t *cell)
{
    const size_t columns = field->columns - 1, rows = field->rows - 1;
    size_t count = 0, above = 0; /* index of the least level above the cell's least corner */

    for (size_t j = 0; j < rows; j++)
        for (size_t i = 0; i < columns; i++) {
            double corner[4], low, high;
            if (!usable(field, i, j))
                continue;
            corners(field, i, j, corner);
            range_of(corner, &low, &high);
            while (above > 0 && sorted[above - 1] > low)
                above--;
            while (above < level_count && sorted[above] <= low)
                above++;
            if (above < level_count && sorted[above] <= high)
                cell[count++] = (uint32_t)(j * columns + i);
        }
    return count;
}

/* ---- the lines ------------------------------------------------------------------------------- */

/* All lines of one level, appended to lines[0 … room). */
static tw_status trace_level(tracer *t, tw_arena *arena, tw_contour *lines, size_t room,
                             size_t *count, tw_error *err)
{
    const size_t columns = t->field->columns - 1, rows = t->field->rows - 1;

    memset(t->seen, 0, columns * rows);
    for (size_t k = 0; k < t->cell_count; k++) {
        const size_t cell = t->cells[k], i = cell % columns, j = cell / columns;
        double corner[4];
        corners(t->field, i, j, corner);
        for (int side = 0; side < 4; side++) {
            bool closed = false;
            size_t back = 0, forward;
            tw_status status;
            if (!crossed(corner, t->level, side) || (t->seen[cell] >> side & 1) != 0)
                continue;
            if (*count == room)
                return TW_OK;
            forward = walk(t, i, j, side, t->forward, &closed);
            if (!closed) {
                bool unused;
                back = walk(t, i, j, way_out(corner, t->level, side), t->back, &unused);
            }
            status = keep(arena, t, back, forward, closed, &lines[*count], err);
            if (status != TW_OK)
                return status;
            ++*count;
        }
    }
    return TW_OK;
}

tw_status tw_contours_trace(const tw_field *field, const double *levels, size_t level_count,
                            tw_arena *arena, tw_contour **out, size_t *count, tw_error *err)
{
    enum { LINES_MAX = 2000 };
    const size_t cells = (field->columns - 1) * (field->rows - 1);
    tracer t = {.field = field, .limit = 2 * (field->columns * field->rows) + 4};
    tw_arena *scratch = tw_arena_new();
    double *sorted = scratch ? tw_arena_array(scratch, level_count, sizeof *sorted) : NULL;
    tw_contour *lines = tw_arena_array(arena, LINES_MAX, sizeof *lines);
    tw_status status = TW_OK;

    *count = 0;
    if (scratch) {
        t.seen = tw_arena_array(scratch, cells, 1);
        t.cells = malloc(cells * sizeof *t.cells); /* these are touched only as far as lines run */
        t.forward = malloc(t.limit * sizeof *t.forward);
        t.back = malloc(t.limit * sizeof *t.back);
    }
    if (sorted && lines && t.seen && t.cells && t.forward && t.back) {
        memcpy(sorted, levels, level_count * sizeof *sorted);
        qsort(sorted, level_count, sizeof *sorted, by_size);
        t.cell_count = list_cells(field, sorted, level_count, t.cells);
    } else {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for contour lines");
    }
    for (size_t k = 0; status == TW_OK && k < level_count; k++) {
        t.level = levels[k];
        status = trace_level(&t, arena, lines, LINES_MAX, count, err);
    }
    free(t.cells);
    free(t.forward);
    free(t.back);
    tw_arena_free(scratch);
    *out = lines;
    return status;
}
