/*
 * outline_cover.c: how much of each cell is metal and where its centroid lies, exact for the straight
 * pieces of the outline, whatever crosses the cell: corners, thin slots, holes smaller than it.
 *
 * Green's theorem cell by cell: a piece that runs down has metal to its right, one that runs up
 * ends it. Within its cell a piece adds the area between itself and the cell's right side, and to
 * every cell farther right in the row a full strip of its height (the exact coverage of a scan
 * converter, with first moments; derived here). Coordinates are cell indices; points within SNAP of
 * a grid line are put on it, so that outlines along grid lines leave whole cells and no slivers.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdlib.h>

#define SNAP 1e-10 /* of a cell, far below a nanometre */

/* What the pieces in one cell give, and hand on to cells farther right. */
typedef struct piece {
    size_t cell, number;
    double area, moment_x, moment_y; /* in the cell, from the piece to the right side */
    double height, height_y;         /* ∫dy and ∫y·dy */
} piece;

typedef struct cutter {
    size_t columns, rows, count, room;
    piece *pieces; /* NULL while counting */
} cutter;

/* Level pieces give nothing but mark their cells as crossed: a strip may end on them. */
static void add_piece(cutter *out, double x0, double y0, double x1, double y1)
{
    const double column = floor(0.5 * (x0 + x1)), row = floor(0.5 * (y0 + y1));
    const double i = fmin(fmax(column, 0), (double)(out->columns - 1));
    const double j = fmin(fmax(row, 0), (double)(out->rows - 1));
    const double dx = x1 - x0, dy = y1 - y0;
    piece *item;

    if (dx == 0 && dy == 0)
        return;
    if (!out->pieces || out->count >= out->room) {
        out->count++;
        return;
    }
    item = &out->pieces[out->count];
    x0 -= i;
    x1 -= i;
    y0 -= j;
    y1 -= j;
    item->cell = (size_t)j * out->columns + (size_t)i;
    item->number = out->count++;
    item->area = dy * (1 - 0.5 * (x0 + x1));
    item->moment_x = 0.5 * dy * (1 - (x0 * x0 + x0 * x1 + x1 * x1) / 3);
    item->moment_y = dy * (y0 * (1 - x0) + 0.5 * (dy * (1 - x0) - y0 * dx) - dy * dx / 3);
    item->height = dy;
    item->height_y = 0.5 * dy * (y0 + y1);
}

/* Next grid line from a coordinate in the direction of travel. */
static double next_line(double from, double step)
{
    return step > 0 ? floor(from) + 1 : ceil(from) - 1;
}

static void cut_segment(cutter *out, double x0, double y0, double x1, double y1)
{
    const double dx = x1 - x0, dy = y1 - y0;
    double x = x0, y = y0, line_x = next_line(x0, dx), line_y = next_line(y0, dy);

    for (;;) {
        const double at_x = dx != 0 ? (line_x - x0) / dx : INFINITY;
        const double at_y = dy != 0 ? (line_y - y0) / dy : INFINITY;
        const double share = fmin(at_x, at_y);
        double nx, ny;
        if (!(share < 1))
            break;
        nx = at_x <= at_y ? line_x : x0 + share * dx;
        ny = at_y <= at_x ? line_y : y0 + share * dy;
        add_piece(out, x, y, nx, ny);
        if (at_x <= at_y)
            line_x += dx > 0 ? 1 : -1;
        if (at_y <= at_x)
            line_y += dy > 0 ? 1 : -1;
        x = nx;
        y = ny;
    }
    add_piece(out, x, y, x1, y1);
}

static double snapped(double index)
{
    const double whole = nearbyint(index);

    return fabs(index - whole) < SNAP ? whole : index;
}

static void cut_all(cutter *out, const tw_segment *segments, size_t count, const tw_grid *grid)
{
    out->count = 0;
    for (size_t k = 0; k < count; k++) {
        const tw_segment *s = &segments[k];
        cut_segment(out, snapped((s->a[0] - grid->across_min) / grid->across_step),
                    snapped((s->a[1] - grid->up_min) / grid->up_step),
                    snapped((s->b[0] - grid->across_min) / grid->across_step),
                    snapped((s->b[1] - grid->up_min) / grid->up_step));
    }
}

static int by_cell(const void *one, const void *other)
{
    const piece *a = one, *b = other;

    if (a->cell != b->cell)
        return a->cell < b->cell ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}

/* Walk the pieces row by row; each row starts outside. */
static void fill_cover(const cutter *cut, tw_grid *grid)
{
    size_t k = 0;

    for (size_t j = 0; j < cut->rows; j++) {
        tw_sum height = {0, 0}, height_y = {0, 0};
        size_t i = 0;
        while (i < cut->columns) {
            const size_t cell = j * cut->columns + i;
            const double left = tw_sum_value(&height), left_y = tw_sum_value(&height_y);
            const bool crossed = k < cut->count && cut->pieces[k].cell == cell;
            tw_sum area = {left, 0}, x = {0.5 * left, 0}, y = {left_y, 0};
            double cover;
            if (!crossed) {
                /* nothing crosses until the next piece: all whole or all empty */
                const size_t next = k < cut->count && cut->pieces[k].cell / cut->columns == j
                                        ? cut->pieces[k].cell - j * cut->columns
                                        : cut->columns;
                const double whole = nearbyint(-left) >= 1 ? 1 : 0;
                for (; i < next; i++)
                    grid->cover[j * cut->columns + i] = whole;
                continue;
            }
            for (; k < cut->count && cut->pieces[k].cell == cell; k++) {
                const piece *item = &cut->pieces[k];
                tw_sum_add(&area, item->area);
                tw_sum_add(&x, item->moment_x);
                tw_sum_add(&y, item->moment_y);
                tw_sum_add(&height, item->height);
                tw_sum_add(&height_y, item->height_y);
            }
            cover = -tw_sum_value(&area);
            if (cover > 1 - SNAP) {
                cover = 1;
            } else if (cover > SNAP) {
                grid->cuts[grid->cut_count++] =
                    (tw_cut_cell){cell, fmin(fmax(-tw_sum_value(&x) / cover, 0), 1),
                                  fmin(fmax(-tw_sum_value(&y) / cover, 0), 1)};
            } else {
                cover = 0;
            }
            grid->cover[cell] = cover;
            i++;
        }
    }
}

tw_status tw_outline_cover(const tw_segment *segments, size_t count, tw_grid *grid, tw_error *err)
{
    cutter cut = {.columns = grid->nu - 1, .rows = grid->nv - 1};
    size_t cells = 0;

    cut_all(&cut, segments, count, grid); /* counts */
    cut.room = cut.count;
    cut.pieces = calloc(cut.room ? cut.room : 1, sizeof *cut.pieces);
    if (!cut.pieces)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to cut %zu cells", cut.room);
    cut_all(&cut, segments, count, grid);
    qsort(cut.pieces, cut.count, sizeof *cut.pieces, by_cell);
    for (size_t k = 0; k < cut.count; k++)
        cells += k == 0 || cut.pieces[k].cell != cut.pieces[k - 1].cell;
    grid->cut_count = 0;
    grid->cuts = tw_arena_array(grid->arena, cells, sizeof *grid->cuts);
    if (grid->cuts)
        fill_cover(&cut, grid);
    free(cut.pieces);
    return grid->cuts ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for %zu cut cells", cells);
}
