/*
 * solid_cut.c: what outline and holes leave of a cell, exactly. Each line is cut where it crosses lines
 * of the grid; a cell with pieces in it is parted at their ends' heights, and between two heights metal
 * lies between every odd piece from the left and the next (even-odd rule along the row). So corners stay
 * sharp and a hole may be smaller than a cell.
 */
#include "solid_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SHARP = 0.9; /* cosine of the least turn of a corner, about 25 degrees */

/* ---- cutting ------------------------------------------------------------------------------------- */

typedef struct loops {
    const tw_grid *grid;
    tw_cut_piece *out; /* NULL: count */
    size_t count;
    double first[2], last[2], heading[2];
    bool begun;
    size_t loop_start;
} loops;

static size_t cell_of(double middle, size_t nodes)
{
    const double most = (double)(nodes - 2);

    return (size_t)fmin(fmax(floor(middle), 0), most);
}

/* Share of the way to the next line of the grid beyond `share`; the line it is goes to *line. */
static double next_crossing(double from, double to, double share, double *line)
{
    const double step = to - from, at = from + share * step;
    double f;

    if (!(fabs(step) > 0))
        return 2;
    *line = step > 0 ? floor(at) + 1 : ceil(at) - 1;
    f = (*line - from) / step;
    if (f <= share + 1e-12) { /* `at` was a hair before a line that it lies on */
        *line += step > 0 ? 1 : -1;
        f = (*line - from) / step;
    }
    return f;
}

static void add_piece(loops *work, const double from[2], const double to[2], bool corner)
{
    if (work->out)
        work->out[work->count] =
            (tw_cut_piece){.from = {from[0], from[1]},
                           .to = {to[0], to[1]},
                           .column = (uint32_t)cell_of(0.5 * (from[0] + to[0]), work->grid->nu),
                           .row = (uint32_t)cell_of(0.5 * (from[1] + to[1]), work->grid->nv),
                           .corner = corner};
    work->count++;
}

static void cut_segment(loops *work, const double from[2], const double to[2], bool corner)
{
    double share = 0, at[2] = {from[0], from[1]};

    while (share < 1) {
        double line[2] = {0, 0}, next[2];
        const double f[2] = {next_crossing(from[0], to[0], share, &line[0]),
                             next_crossing(from[1], to[1], share, &line[1])};
        const double f_next = fmin(fmin(f[0], f[1]), 1);
        for (int d = 0; d < 2; d++)
            next[d] = f_next >= 1      ? to[d]
                      : f[d] == f_next ? line[d]
                                       : from[d] + f_next * (to[d] - from[d]);
        add_piece(work, at, next, corner);
        corner = false;
        memcpy(at, next, sizeof at);
        share = f_next;
    }
}

static void line_to(loops *work, const double point[2])
{
    const double step[2] = {point[0] - work->last[0], point[1] - work->last[1]};
    const double length = hypot(step[0], step[1]);

    if (length < 1e-9)
        return;
    cut_segment(work, work->last, point,
                work->begun &&
                    (step[0] * work->heading[0] + step[1] * work->heading[1]) < SHARP * length);
    work->heading[0] = step[0] / length;
    work->heading[1] = step[1] / length;
    work->begun = true;
    memcpy(work->last, point, sizeof work->last);
}

static void to_index(const tw_grid *grid, const double tape[2], double index[2])
{
    index[0] = (tape[0] - grid->across_min) / grid->across_step;
    index[1] = (tape[1] - grid->up_min) / grid->up_step;
    for (int d = 0; d < 2; d++) /* an outline along a line of the grid is exactly on it */
        if (fabs(index[d] - round(index[d])) < 1e-9)
            index[d] = round(index[d]);
}

static void cut_loop(loops *work, const tw_edge_line *lines, size_t count)
{
    double index[2];

    work->begun = false;
    work->loop_start = work->count;
    to_index(work->grid, lines[0].points[0], work->first);
    memcpy(work->last, work->first, sizeof work->last);
    for (size_t e = 0; e < count; e++)
        for (size_t k = 0; k < lines[e].count; k++) {
            to_index(work->grid, lines[e].points[k], index);
            line_to(work, index);
        }
    line_to(work, work->first);
    if (work->out && work->count > work->loop_start) { /* does it turn where it closes? */
        const tw_cut_piece *piece = &work->out[work->loop_start];
        const double step[2] = {piece->to[0] - piece->from[0], piece->to[1] - piece->from[1]};
        work->out[work->loop_start].corner =
            step[0] * work->heading[0] + step[1] * work->heading[1] <
            SHARP * hypot(step[0], step[1]);
    }
}

static void cut_all(loops *work, const tw_outline *outline)
{
    cut_loop(work, outline->edges, outline->edge_count);
    for (size_t h = 0; h < outline->hole_count; h++)
        cut_loop(work, &outline->holes[h], 1);
}

/* ---- by cell --------------------------------------------------------------------------------------- */

/* Counting sort by column, then by row: the same order every time. */
static void sort_by(const tw_cut_pieces *pieces, size_t places, bool row, const uint32_t *from,
                    uint32_t *to, size_t *start)
{
    size_t before = 0;

    memset(start, 0, (places + 1) * sizeof *start);
    for (size_t k = 0; k < pieces->count; k++)
        start[row ? pieces->all[k].row : pieces->all[k].column]++;
    for (size_t p = 0; p <= places; p++) {
        const size_t here = start[p];
        start[p] = before;
        before += here;
    }
    for (size_t k = 0; k < pieces->count; k++) {
        const uint32_t piece = from ? from[k] : (uint32_t)k;
        const tw_cut_piece *at = &pieces->all[piece];
        to[start[row ? at->row : at->column]++] = piece;
    }
    for (size_t p = places; p > 0; p--) /* back from ends to starts */
        start[p] = start[p - 1];
    start[0] = 0;
}

static size_t most_in_a_cell(const tw_cut_pieces *pieces)
{
    size_t most = 0, run = 0;

    for (size_t k = 0; k < pieces->count; k++) {
        const tw_cut_piece *here = &pieces->all[pieces->by_cell[k]];
        const tw_cut_piece *last = k ? &pieces->all[pieces->by_cell[k - 1]] : here;
        run = k && here->row == last->row && here->column == last->column ? run + 1 : 1;
        most = run > most ? run : most;
    }
    return most;
}

tw_status tw_pieces_make(const tw_grid *grid, const tw_outline *outline, tw_arena *arena,
                         tw_cut_pieces *out, tw_error *err)
{
    loops work = {.grid = grid};
    uint32_t *by_column;
    size_t *start;

    cut_all(&work, outline);
    *out = (tw_cut_pieces){.count = work.count};
    out->all = work.out = tw_arena_array(arena, work.count, sizeof *out->all);
    out->by_cell = tw_arena_array(arena, work.count, sizeof *out->by_cell);
    by_column = tw_arena_array(arena, work.count, sizeof *by_column);
    start = tw_arena_array(arena, grid->nu + 1, sizeof *start);
    out->row_start = tw_arena_array(arena, grid->nv + 1, sizeof *out->row_start);
    if (!out->all || !out->by_cell || !by_column || !start || !out->row_start)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the outline of a view");
    work.count = 0;
    cut_all(&work, outline);
    sort_by(out, grid->nu - 1, false, NULL, by_column, start);
    sort_by(out, grid->nv - 1, true, by_column, out->by_cell, out->row_start);
    out->most = most_in_a_cell(out);
    out->scratch = tw_arena_array(arena, 2 * out->most + 2, sizeof *out->scratch);
    out->crossings = tw_arena_array(arena, out->most, sizeof *out->crossings);
    if (!out->scratch || !out->crossings)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the outline of a view");
    return TW_OK;
}

/* ---- metal of a cell ------------------------------------------------------------------------------- */

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static bool spans(const tw_cut_piece *piece, double height)
{
    return (piece->from[1] <= height) != (piece->to[1] <= height);
}

static double across_at(const tw_cut_piece *piece, double height)
{
    const double f = (height - piece->from[1]) / (piece->to[1] - piece->from[1]);
    const double across = piece->from[0] + f * (piece->to[0] - piece->from[0]);

    return fmin(fmax(across, (double)piece->column), (double)piece->column + 1);
}

static int by_across(const void *a, const void *b)
{
    const tw_crossing *x = a, *y = b;

    if (x->across != y->across)
        return x->across < y->across ? -1 : 1;
    return (x->piece > y->piece) - (x->piece < y->piece);
}

/* Metal of a cell between two heights with no piece's end between them. */
static size_t slab_metal(const tw_cut_pieces *pieces, size_t first, size_t last, double low,
                         double high, tw_trapezoid *out)
{
    const tw_cut_piece *own = &pieces->all[pieces->by_cell[first]];
    const double middle = 0.5 * (low + high), left = (double)own->column;
    tw_trapezoid shape = {{low, high}, {left, left}, {left, left}};
    size_t count = 0, found = 0;
    bool metal = false;

    for (size_t k = pieces->row_start[own->row]; k < first; k++)
        metal = metal != spans(&pieces->all[pieces->by_cell[k]], middle);
    for (size_t k = first; k < last; k++) {
        const tw_cut_piece *piece = &pieces->all[pieces->by_cell[k]];
        if (spans(piece, middle))
            pieces->crossings[count++] =
                (tw_crossing){across_at(piece, middle), pieces->by_cell[k]};
    }
    qsort(pieces->crossings, count, sizeof *pieces->crossings, by_across);
    for (size_t k = 0; k <= count; k++, metal = !metal) {
        const tw_cut_piece *piece = k < count ? &pieces->all[pieces->crossings[k].piece] : NULL;
        for (int end = 0; end < 2; end++)
            shape.right[end] = piece ? across_at(piece, shape.height[end]) : left + 1;
        if (metal && (shape.right[0] > shape.left[0] || shape.right[1] > shape.left[1])) {
            if (out)
                out[found] = shape;
            found++;
        }
        memcpy(shape.left, shape.right, sizeof shape.left);
    }
    return found;
}

size_t tw_pieces_metal(const tw_cut_pieces *pieces, size_t first, size_t last, tw_trapezoid *out)
{
    const tw_cut_piece *own = &pieces->all[pieces->by_cell[first]];
    const double bottom = (double)own->row;
    double *height = pieces->scratch;
    size_t count = 0, found = 0;

    height[count++] = bottom;
    height[count++] = bottom + 1;
    for (size_t k = first; k < last; k++) {
        const tw_cut_piece *piece = &pieces->all[pieces->by_cell[k]];
        height[count++] = fmin(fmax(piece->from[1], bottom), bottom + 1);
        height[count++] = fmin(fmax(piece->to[1], bottom), bottom + 1);
    }
    qsort(height, count, sizeof *height, by_value);
    for (size_t k = 0; k + 1 < count; k++)
        if (height[k + 1] - height[k] > 1e-9)
            found +=
                slab_metal(pieces, first, last, height[k], height[k + 1], out ? out + found : NULL);
    return found;
}
