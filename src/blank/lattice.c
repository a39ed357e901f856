/*
 * lattice.c: the tape chart in triangles. Runs once per mesh, some hundredth of a second.
 *
 * Equilateral lattice in columns of equal across, one of them on across = 0 and a node on the tape
 * origin. Nodes near the boundary are moved onto it (corners of the outline first), then triangles
 * still crossed are cut along it: the warping of F. Labelle & J. R. Shewchuk, "Isosurface stuffing",
 * ACM Transactions on Graphics 26 (2007), in two dimensions. Moving first leaves no slivers.
 */
#include "blank_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SNAP        0.3  /* nodes nearer the boundary than this many sides are moved onto it */
#define FILLED      1.8  /* a hole of less area than this many squared sides is filled */
#define CORNER_TURN 0.35 /* [rad]; an outline that turns more at a point has a corner there */
#define LEAST_LEFT  0.2  /* of a triangle's area must stay when a node is moved */

typedef struct piece {
    double a[2], b[2];
} piece;

typedef struct lattice {
    double spacing, width;   /* along columns, between columns */
    long first_column, rows; /* column c at c·width; node j at (first_row + j (+½))·spacing */
    long columns, first_row;
    size_t count;      /* lattice nodes, columns·rows */
    size_t room;       /* count and cut nodes */
    double (*at)[2];   /* room */
    signed char *side; /* count: −1 in metal, 0 on the boundary, 1 off it */
    piece *pieces;
    size_t piece_count;
    uint32_t (*triangle)[3];
    size_t triangle_count, node_count;
    uint32_t *cut; /* 3 per lattice node: the cut on the side up, right and up, right and down */
} lattice;

/* Area and middle of a hole by tape; holes run clockwise. */
static double hole_area(const tw_edge_line *hole, double middle[2])
{
    const double *from = hole->points[0];
    double twice = 0;

    middle[0] = middle[1] = 0;
    for (size_t n = 0; n + 1 < hole->count; n++) {
        const double *p = hole->points[n], *q = hole->points[n + 1];
        const double one =
            (q[0] - from[0]) * (p[1] - from[1]) - (p[0] - from[0]) * (q[1] - from[1]);
        twice += one;
        for (int c = 0; c < 2; c++)
            middle[c] += one * (p[c] + q[c] - 2 * from[c]) / 3;
    }
    for (int c = 0; c < 2; c++)
        middle[c] = from[c] + middle[c] / twice;
    return 0.5 * twice;
}

double tw_lattice_chart_area(const tw_outline *outline)
{
    double twice = 0;

    for (size_t k = 0; k < outline->edge_count + outline->hole_count; k++) {
        const tw_edge_line *line =
            k < outline->edge_count ? &outline->edges[k] : &outline->holes[k - outline->edge_count];
        for (size_t n = 0; n + 1 < line->count; n++)
            twice += line->points[n][0] * line->points[n + 1][1] -
                     line->points[n + 1][0] * line->points[n][1];
    }
    return 0.5 * twice;
}

static bool take_pieces(lattice *l, tw_arena *arena, const tw_outline *outline, tw_mesh *mesh)
{
    size_t room = 0;

    for (size_t k = 0; k < outline->edge_count + outline->hole_count; k++)
        room += k < outline->edge_count ? outline->edges[k].count
                                        : outline->holes[k - outline->edge_count].count;
    l->pieces = tw_arena_array(arena, room, sizeof *l->pieces);
    mesh->filled = tw_arena_array(mesh->arena, outline->hole_count, sizeof *mesh->filled);
    if (!l->pieces || !mesh->filled)
        return false;
    for (size_t k = 0; k < outline->edge_count + outline->hole_count; k++) {
        const bool hole = k >= outline->edge_count;
        const tw_edge_line *line =
            hole ? &outline->holes[k - outline->edge_count] : &outline->edges[k];
        if (hole) {
            double *filled = mesh->filled[mesh->holes_filled];
            filled[2] = hole_area(line, filled);
            if (filled[2] < FILLED * l->spacing * l->spacing) {
                mesh->holes_filled++;
                continue;
            }
        }
        for (size_t n = 0; n + 1 < line->count; n++) {
            piece *p = &l->pieces[l->piece_count];
            memcpy(p->a, line->points[n], sizeof p->a);
            memcpy(p->b, line->points[n + 1], sizeof p->b);
            if (hypot(p->b[0] - p->a[0], p->b[1] - p->a[1]) > 0)
                l->piece_count++;
        }
    }
    return true;
}

/* ---- which side ---------------------------------------------------------------------------- */

static int by_value(const void *one, const void *other)
{
    const double a = *(const double *)one, b = *(const double *)other;

    return (a > b) - (a < b);
}

/* Columns are crossed by pieces at these `up`; between the first and second is metal, and so on. */
static void side_column(lattice *l, long c, double *crossing)
{
    const double across = l->at[c * l->rows][0];
    size_t found = 0, k = 0;

    for (size_t n = 0; n < l->piece_count; n++) {
        const piece *p = &l->pieces[n];
        if ((p->a[0] <= across) == (p->b[0] <= across))
            continue;
        crossing[found++] =
            p->a[1] + (across - p->a[0]) / (p->b[0] - p->a[0]) * (p->b[1] - p->a[1]);
    }
    qsort(crossing, found, sizeof *crossing, by_value);
    for (long j = 0; j < l->rows; j++) {
        const size_t node = (size_t)(c * l->rows + j);
        while (k < found && crossing[k] <= l->at[node][1])
            k++;
        l->side[node] = k % 2 ? -1 : 1;
    }
}

static bool make_nodes(lattice *l, tw_arena *arena, const tw_outline *outline)
{
    double *crossing;

    l->width = l->spacing * sqrt(0.75);
    l->first_column = (long)floor(outline->across_min / l->width) - 1;
    l->columns = (long)ceil(outline->across_max / l->width) + 2 - l->first_column;
    l->first_row = (long)floor(outline->up_min / l->spacing) - 2;
    l->rows = (long)ceil(outline->up_max / l->spacing) + 3 - l->first_row;
    l->count = (size_t)(l->columns * l->rows);
    l->room = 4 * l->count;
    l->at = tw_arena_array(arena, l->room, sizeof *l->at);
    l->side = tw_arena_array(arena, l->count, 1);
    l->cut = tw_arena_array(arena, 3 * l->count, sizeof *l->cut);
    crossing = tw_arena_array(arena, l->piece_count + 1, sizeof *crossing);
    l->triangle = tw_arena_array(arena, 4 * l->count, sizeof *l->triangle);
    if (!l->at || !l->side || !l->cut || !crossing || !l->triangle)
        return false;
    for (long c = 0; c < l->columns; c++) {
        for (long j = 0; j < l->rows; j++) {
            const long column = l->first_column + c;
            double *at = l->at[c * l->rows + j];
            at[0] = (double)column * l->width;
            at[1] = ((double)(l->first_row + j) + (column % 2 ? 0.5 : 0)) * l->spacing;
        }
        side_column(l, c, crossing);
    }
    l->node_count = l->count;
    return true;
}

/* ---- the lattice's triangles --------------------------------------------------------------- */

static bool odd(const lattice *l, long c)
{
    return (l->first_column + c) % 2 != 0;
}

/* Between columns c and c + 1, two triangles per row: t = 0 has its long side on column c. Corners
 * anticlockwise. false at the lattice's ends. */
static bool lattice_triangle(const lattice *l, long c, long j, int t, uint32_t corner[3])
{
    const long other = odd(l, c) ? j + 1 : j; /* node of column c + 1 between j and j + 1 of c */
    const long here = c * l->rows, next = here + l->rows;

    if (c < 0 || j < 0 || c + 1 >= l->columns || j + 1 >= l->rows || other < 0 ||
        other + 1 >= l->rows)
        return false;
    if (t == 0) {
        corner[0] = (uint32_t)(here + j);
        corner[1] = (uint32_t)(next + other);
        corner[2] = (uint32_t)(here + j + 1);
    } else {
        corner[0] = (uint32_t)(next + other);
        corner[1] = (uint32_t)(next + other + 1);
        corner[2] = (uint32_t)(here + j + 1);
    }
    return true;
}

static double twice_area(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* Least area of the lattice's triangles about a node, in units of the even one. */
static double least_about(const lattice *l, size_t node)
{
    const long c = (long)node / l->rows, j = (long)node % l->rows;
    double least = INFINITY;

    for (long dc = -1; dc <= 0; dc++)
        for (long dj = -2; dj <= 1; dj++)
            for (int t = 0; t < 2; t++) {
                uint32_t k[3];
                if (!lattice_triangle(l, c + dc, j + dj, t, k) ||
                    (k[0] != node && k[1] != node && k[2] != node))
                    continue;
                least = fmin(least, twice_area(l->at[k[0]], l->at[k[1]], l->at[k[2]]));
            }
    return least / (l->spacing * l->width);
}

/* Moves a node onto the boundary unless that would flatten a triangle. */
static void move_node(lattice *l, size_t node, const double to[2])
{
    const double was[2] = {l->at[node][0], l->at[node][1]};

    memcpy(l->at[node], to, sizeof was);
    if (least_about(l, node) < LEAST_LEFT)
        memcpy(l->at[node], was, sizeof was);
    else
        l->side[node] = 0;
}

static void rows_near(const lattice *l, double low, double high, long *first, long *last)
{
    *first = (long)fmax(floor(low / l->spacing) - 1 - (double)l->first_row, 0);
    *last = (long)fmin(ceil(high / l->spacing) + 1 - (double)l->first_row, (double)(l->rows - 1));
}

static void columns_near(const lattice *l, double low, double high, long *first, long *last)
{
    *first = (long)fmax(floor(low / l->width) - (double)l->first_column, 0);
    *last = (long)fmin(ceil(high / l->width) - (double)l->first_column, (double)(l->columns - 1));
}

static void move_to_corner(lattice *l, const double corner[2])
{
    double nearest = INFINITY;
    size_t which = SIZE_MAX;
    long c0, c1, j0, j1;

    columns_near(l, corner[0] - l->spacing, corner[0] + l->spacing, &c0, &c1);
    rows_near(l, corner[1] - l->spacing, corner[1] + l->spacing, &j0, &j1);
    for (long c = c0; c <= c1; c++)
        for (long j = j0; j <= j1; j++) {
            const size_t node = (size_t)(c * l->rows + j);
            const double d = hypot(l->at[node][0] - corner[0], l->at[node][1] - corner[1]);
            if (d < nearest && l->side[node] != 0) {
                nearest = d;
                which = node;
            }
        }
    if (which != SIZE_MAX)
        move_node(l, which, corner);
}

static void move_corners(lattice *l)
{
    for (size_t n = 0; n < l->piece_count; n++) {
        const piece *p = &l->pieces[n];
        const double share = p->a[0] / (p->a[0] - p->b[0]);
        if ((p->a[0] <= 0) != (p->b[0] <= 0)) /* a crease ends here */
            move_to_corner(l, (const double[2]){0, p->a[1] + share * (p->b[1] - p->a[1])});
        for (size_t m = 0; m < l->piece_count; m++) {
            const piece *q = &l->pieces[m];
            double x0, y0, x1, y1;
            if (q->a[0] != p->b[0] || q->a[1] != p->b[1])
                continue;
            x0 = p->b[0] - p->a[0];
            y0 = p->b[1] - p->a[1];
            x1 = q->b[0] - q->a[0];
            y1 = q->b[1] - q->a[1];
            if (fabs(atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1)) > CORNER_TURN)
                move_to_corner(l, p->b);
            break;
        }
    }
}

/* Nearest place on the boundary of every node within SNAP of it, then the moves, in node order. */
static bool move_nodes(lattice *l, tw_arena *arena)
{
    double *nearest = tw_arena_array(arena, l->count, sizeof *nearest);
    double(*foot)[2] = tw_arena_array(arena, l->count, sizeof *foot);
    const double band = SNAP * l->spacing;

    if (!nearest || !foot)
        return false;
    for (size_t k = 0; k < l->count; k++)
        nearest[k] = band;
    for (size_t n = 0; n < l->piece_count; n++) {
        const piece *p = &l->pieces[n];
        const double x = p->b[0] - p->a[0], y = p->b[1] - p->a[1];
        long c0, c1, j0, j1;
        columns_near(l, fmin(p->a[0], p->b[0]) - band, fmax(p->a[0], p->b[0]) + band, &c0, &c1);
        rows_near(l, fmin(p->a[1], p->b[1]) - band, fmax(p->a[1], p->b[1]) + band, &j0, &j1);
        for (long c = c0; c <= c1; c++)
            for (long j = j0; j <= j1; j++) {
                const size_t node = (size_t)(c * l->rows + j);
                const double *at = l->at[node];
                const double t = fmin(
                    fmax(((at[0] - p->a[0]) * x + (at[1] - p->a[1]) * y) / (x * x + y * y), 0), 1);
                const double to[2] = {p->a[0] + t * x, p->a[1] + t * y};
                const double d = hypot(at[0] - to[0], at[1] - to[1]);
                if (d < nearest[node]) {
                    nearest[node] = d;
                    memcpy(foot[node], to, sizeof to);
                }
            }
    }
    for (size_t k = 0; k < l->count; k++) {
        /* a crease stays on sides, an apex a node */
        const bool stays = l->at[k][0] == 0 && nearest[k] > 1e-9 * l->spacing;
        if (nearest[k] < band && l->side[k] != 0 && !stays)
            move_node(l, k, foot[k]);
    }
    return true;
}

/* ---- cutting -------------------------------------------------------------------------------- */

/* The boundary's crossing of a side from metal to none, nearest to the metal; kept, so that both
 * triangles of the side share it. */
static uint32_t cut_node(lattice *l, uint32_t in, uint32_t off)
{
    const uint32_t low = in < off ? in : off, high = in < off ? off : in;
    const long across = (long)(high / (uint32_t)l->rows) - (long)(low / (uint32_t)l->rows);
    const long along = (long)(high % (uint32_t)l->rows) - (long)(low % (uint32_t)l->rows);
    const bool upper = odd(l, (long)(low / (uint32_t)l->rows)) ? along > 0 : along == 0;
    uint32_t *slot = &l->cut[3 * low + (across == 0 ? 0u : upper ? 1u : 2u)];
    const double *a = l->at[in], *b = l->at[off];
    const double x = b[0] - a[0], y = b[1] - a[1];
    double nearest = 2;

    if (*slot)
        return *slot;
    for (size_t n = 0; n < l->piece_count; n++) {
        const piece *p = &l->pieces[n];
        const double px = p->b[0] - p->a[0], py = p->b[1] - p->a[1];
        const double cross = x * py - y * px;
        const double s = ((p->a[0] - a[0]) * py - (p->a[1] - a[1]) * px) / cross;
        const double t = ((p->a[0] - a[0]) * y - (p->a[1] - a[1]) * x) / cross;
        if (cross != 0 && t >= -1e-9 && t <= 1 + 1e-9 && s >= 0 && s < nearest)
            nearest = s;
    }
    nearest = nearest > 1 ? 0.5 : fmin(fmax(nearest, 0.05), 0.95);
    l->at[l->node_count][0] = a[0] + nearest * x;
    l->at[l->node_count][1] = a[1] + nearest * y;
    *slot = (uint32_t)l->node_count++;
    return *slot;
}

static void add_triangle(lattice *l, uint32_t a, uint32_t b, uint32_t c)
{
    uint32_t *corner = l->triangle[l->triangle_count];

    if (twice_area(l->at[a], l->at[b], l->at[c]) < 1e-6 * l->spacing * l->spacing)
        return;
    corner[0] = a;
    corner[1] = b;
    corner[2] = c;
    l->triangle_count++;
}

static bool in_metal(const lattice *l, const double at[2])
{
    bool inside = false;

    for (size_t n = 0; n < l->piece_count; n++) {
        const piece *p = &l->pieces[n];
        if ((p->a[0] <= at[0]) != (p->b[0] <= at[0]) &&
            p->a[1] + (at[0] - p->a[0]) / (p->b[0] - p->a[0]) * (p->b[1] - p->a[1]) <= at[1])
            inside = !inside;
    }
    return inside;
}

/* One lattice triangle, its corners turned so that the odd one out comes first. */
static void cut_triangle(lattice *l, const uint32_t given[3])
{
    int in = 0, off = 0, turn = 0;
    uint32_t k[3], p, q;

    for (int n = 0; n < 3; n++) {
        in += l->side[given[n]] < 0;
        off += l->side[given[n]] > 0;
    }
    if (in == 0 &&
        (off > 0 ||
         !in_metal(l, (const double[2]){
                          (l->at[given[0]][0] + l->at[given[1]][0] + l->at[given[2]][0]) / 3,
                          (l->at[given[0]][1] + l->at[given[1]][1] + l->at[given[2]][1]) / 3})))
        return;
    if (off == 0) {
        add_triangle(l, given[0], given[1], given[2]);
        return;
    }
    while (off == 1 ? l->side[given[turn]] <= 0 : l->side[given[turn]] >= 0)
        turn++;
    for (int n = 0; n < 3; n++)
        k[n] = given[(turn + n) % 3];
    if (off == 2) { /* k[0] alone in metal */
        p = cut_node(l, k[0], k[1]);
        q = cut_node(l, k[0], k[2]);
        add_triangle(l, k[0], p, q);
        return;
    }
    p = l->side[k[1]] < 0 ? cut_node(l, k[1], k[0]) : k[1]; /* k[0] alone off the metal */
    q = l->side[k[2]] < 0 ? cut_node(l, k[2], k[0]) : k[2];
    if (p == k[1] || q == k[2]) {
        add_triangle(l, p == k[1] ? q : p, k[1], k[2]);
        return;
    }
    if (hypot(l->at[p][0] - l->at[k[2]][0], l->at[p][1] - l->at[k[2]][1]) <
        hypot(l->at[q][0] - l->at[k[1]][0], l->at[q][1] - l->at[k[1]][1])) {
        add_triangle(l, p, k[1], k[2]);
        add_triangle(l, p, k[2], q);
    } else {
        add_triangle(l, p, k[1], q);
        add_triangle(l, q, k[1], k[2]);
    }
}

/* ---- what is left becomes the mesh ----------------------------------------------------------- */

static tw_status keep_used(lattice *l, tw_mesh *mesh, tw_error *err)
{
    uint32_t *number = tw_arena_array(mesh->arena, l->node_count, sizeof *number);

    mesh->triangle = tw_arena_array(mesh->arena, l->triangle_count, sizeof *mesh->triangle);
    mesh->tape = tw_arena_array(mesh->arena, l->node_count, sizeof *mesh->tape);
    if (!number || !mesh->triangle || !mesh->tape)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu triangles", l->triangle_count);
    for (size_t t = 0; t < l->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            number[l->triangle[t][k]] = 1;
    for (size_t n = 0; n < l->node_count; n++)
        if (number[n]) {
            memcpy(mesh->tape[mesh->node_count], l->at[n], sizeof *mesh->tape);
            number[n] = (uint32_t)mesh->node_count++;
        }
    for (size_t t = 0; t < l->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            mesh->triangle[t][k] = number[l->triangle[t][k]];
    mesh->triangle_count = l->triangle_count;
    return TW_OK;
}

static uint32_t root_of(uint32_t *parent, uint32_t node)
{
    while (parent[node] != node)
        node = parent[node] = parent[parent[node]];
    return node;
}

static bool one_piece(const tw_mesh *mesh, uint32_t *parent)
{
    for (uint32_t n = 0; n < mesh->node_count; n++)
        parent[n] = n;
    for (size_t t = 0; t < mesh->triangle_count; t++)
        for (int k = 1; k < 3; k++)
            parent[root_of(parent, mesh->triangle[t][k])] = root_of(parent, mesh->triangle[t][0]);
    for (uint32_t n = 1; n < mesh->node_count; n++)
        if (root_of(parent, n) != root_of(parent, 0))
            return false;
    return true;
}

tw_status tw_lattice_cut(const tw_form *form, double spacing, tw_mesh *mesh, tw_error *err)
{
    const tw_outline *outline = tw_form_outline(form);
    tw_arena *scratch = tw_arena_new();
    lattice l = {.spacing = spacing};
    tw_status status = TW_OK;
    uint32_t corner[3], *parent;

    mesh->spacing = spacing;
    if (!scratch || !take_pieces(&l, scratch, outline, mesh) || !make_nodes(&l, scratch, outline)) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the triangles of a plate");
        goto done;
    }
    move_corners(&l);
    if (!move_nodes(&l, scratch)) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the triangles of a plate");
        goto done;
    }
    for (long c = 0; c + 1 < l.columns; c++)
        for (long j = 0; j + 1 < l.rows; j++)
            for (int t = 0; t < 2; t++)
                if (lattice_triangle(&l, c, j, t, corner))
                    cut_triangle(&l, corner);
    status = keep_used(&l, mesh, err);
    if (status != TW_OK)
        goto done;
    parent = tw_arena_array(scratch, mesh->node_count + 1, sizeof *parent);
    if (!parent) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the triangles of a plate");
    } else if (mesh->triangle_count < 8 || !one_piece(mesh, parent)) {
        status = tw_fail(err, TW_ERR_SHAPE,
                         "triangles of %.3g mm are too coarse for the narrowest metal", spacing);
        tw_error_advise(err, NULL, "take more nodes, or lay out the plate without its narrow part");
    }
done:
    tw_arena_free(scratch);
    return status;
}
