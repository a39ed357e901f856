/*
 * chart.c: the tape chart of the metal in triangles that follow outline, holes and crease.
 *
 * Points on the boundary are those of its lines, with more between where they lie apart by over half
 * a triangle's side: half, because a line that is straight by tape is an arc in space, and what its
 * chord cuts off is what most of the solid's error comes from. Inside lies an equilateral lattice, a
 * column of it on across = 0 and a node on the tape origin, kept off the boundary by about half a
 * side. Coordinates become whole numbers of a unit of some 4·10⁻⁶ mm, with 0 exact.
 */
#include "exchange_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NEAR   0.01 /* points of a line nearer each other than this are one [mm] */
#define CLEAR  0.45 /* of a triangle's side, between lattice and boundary */
#define MARGIN 8    /* the triangle about all points is this many times their half box */

/* A boundary line that closes on itself. */
typedef struct loop {
    double (*at)[2];
    size_t count;
} loop;

typedef struct draft {
    const tw_outline *outline;
    const tw_grid *grid;
    const tw_keep_off *keep_off;
    tw_arena *arena; /* scratch */
    double spacing, width;
    bool creased;
    double unit;
    int64_t shift[2];
    size_t loop_count;
    loop *loops;
    long first_column, columns, first_row, rows;
    unsigned char *kept; /* columns·rows */
    tw_plane plane;
    uint32_t *centre; /* nodes on across = 0 */
    size_t centre_count;
} draft;

/* ---- boundary ---------------------------------------------------------------------------------- */

static void add(const draft *d, loop *l, double across, double up)
{
    double *last = l->count > 0 ? l->at[l->count - 1] : NULL;

    if (d->creased && fabs(across) < d->unit)
        across = 0;
    if (last && hypot(across - last[0], up - last[1]) < NEAR) {
        if (across != 0 || last[0] == 0)
            return;
        l->count--; /* what lies on a crease stays */
    }
    l->at[l->count][0] = across;
    l->at[l->count++][1] = up;
}

/* From a to b without a, no step longer than half a triangle's side. */
static void add_piece(const draft *d, loop *l, const double a[2], const double b[2])
{
    const double length = hypot(b[0] - a[0], b[1] - a[1]);
    const double count = fmax(ceil(length / (0.5 * d->spacing)), 1);

    for (double n = 1; n <= count; n++) {
        const double f = n / count;
        add(d, l, a[0] + f * (b[0] - a[0]), n == count ? b[1] : a[1] + f * (b[1] - a[1]));
    }
}

static void add_line(const draft *d, loop *l, const tw_edge_line *line)
{
    for (size_t n = 0; n + 1 < line->count; n++) {
        const double *a = line->points[n], *b = line->points[n + 1];
        if (d->creased && ((a[0] < 0 && b[0] > 0) || (a[0] > 0 && b[0] < 0))) {
            const double cross[2] = {0, a[1] + a[0] / (a[0] - b[0]) * (b[1] - a[1])};
            add_piece(d, l, a, cross);
            add_piece(d, l, cross, b);
        } else {
            add_piece(d, l, a, b);
        }
    }
}

/* Points so near to where a line crosses the crease that their metal lies beyond the mitre. */
static void clear_crease(const draft *d, loop *l)
{
    const double within = d->keep_off->crease;
    size_t kept = 0;

    for (size_t n = 0; n < l->count && within > 0; n++) {
        const double *at = l->at[n];
        for (int way = 0; at[0] == 0 && way < 2; way++)
            for (size_t m = 1; m < l->count; m++) {
                double *other = l->at[(way ? n + m : n + l->count - m) % l->count];
                if (other[0] == 0 || !(hypot(other[0], other[1] - at[1]) < within))
                    break;
                other[1] = NAN;
                other[0] = 1;
            }
    }
    for (size_t n = 0; n < l->count; n++)
        if (!isnan(l->at[n][1]))
            memmove(l->at[kept++], l->at[n], sizeof *l->at);
    l->count = kept;
}

static size_t line_room(const draft *d, const tw_edge_line *line)
{
    double room = 2;

    for (size_t n = 0; n + 1 < line->count; n++) {
        const double *a = line->points[n], *b = line->points[n + 1];
        room += 4 + 2 * hypot(b[0] - a[0], b[1] - a[1]) / d->spacing;
    }
    return (size_t)room;
}

static bool make_loops(draft *d)
{
    const tw_outline *outline = d->outline;

    d->loop_count = 1 + outline->hole_count;
    d->loops = tw_arena_array(d->arena, d->loop_count, sizeof *d->loops);
    for (size_t k = 0; d->loops && k < d->loop_count; k++) {
        const tw_edge_line *lines = k == 0 ? outline->edges : &outline->holes[k - 1];
        const size_t count = k == 0 ? outline->edge_count : 1;
        loop *l = &d->loops[k];
        size_t room = 0;
        for (size_t n = 0; n < count; n++)
            room += line_room(d, &lines[n]);
        l->at = tw_arena_array(d->arena, room, sizeof *l->at);
        if (!l->at)
            return false;
        for (size_t n = 0; n < count; n++)
            add_line(d, l, &lines[n]);
        if (l->count > 1 && hypot(l->at[0][0] - l->at[l->count - 1][0],
                                  l->at[0][1] - l->at[l->count - 1][1]) < NEAR)
            l->count--;
        clear_crease(d, l);
    }
    return d->loops != NULL;
}

/* ---- inside ------------------------------------------------------------------------------------ */

static void lattice_at(const draft *d, long c, long j, double at[2])
{
    const long column = d->first_column + c, row = d->first_row + j;

    at[0] = (double)column * d->width;
    at[1] = ((double)row + (column % 2 ? 0.5 : 0)) * d->spacing;
}

static void keep_columns(size_t first, size_t last, void *context)
{
    const draft *d = context;

    for (long c = (long)first; c < (long)last; c++)
        for (long j = 0; j < d->rows; j++) {
            double at[2];
            bool off;
            lattice_at(d, c, j, at);
            off = (d->creased && at[0] != 0 && fabs(at[0]) < d->keep_off->crease) ||
                  (d->grid->has_apex &&
                   hypot(at[0] - d->grid->apex[0], at[1] - d->grid->apex[1]) < d->keep_off->apex);
            d->kept[c * d->rows + j] =
                !off && tw_outline_level(d->outline, at[0], at[1]) < -CLEAR * d->spacing;
        }
}

static tw_status make_lattice(draft *d, unsigned threads, tw_error *err)
{
    const tw_outline *outline = d->outline;

    d->width = d->spacing * sqrt(0.75);
    d->first_column = (long)floor(outline->across_min / d->width);
    d->columns = (long)ceil(outline->across_max / d->width) + 1 - d->first_column;
    d->first_row = (long)floor(outline->up_min / d->spacing) - 1;
    d->rows = (long)ceil(outline->up_max / d->spacing) + 1 - d->first_row;
    d->kept = tw_arena_array(d->arena, (size_t)(d->columns * d->rows), 1);
    if (!d->kept)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the points of a solid");
    tw_for_rows((size_t)d->columns, 4, threads, keep_columns, d);
    return TW_OK;
}

/* ---- into the plane ---------------------------------------------------------------------------- */

static void choose_unit(draft *d)
{
    const tw_outline *o = d->outline;
    const double half = 0.5 * fmax(o->across_max - o->across_min, o->up_max - o->up_min);

    d->unit = exp2(ceil(log2((half + d->spacing) * MARGIN / TW_PLANE_HALF)));
    d->shift[0] = llrint(0.5 * (o->across_min + o->across_max) / d->unit);
    d->shift[1] = llrint(0.5 * (o->up_min + o->up_max) / d->unit);
}

static uint32_t put(draft *d, double across, double up)
{
    const int32_t at[2] = {(int32_t)(llrint(across / d->unit) - d->shift[0]),
                           (int32_t)(llrint(up / d->unit) - d->shift[1])};

    return tw_plane_add(&d->plane, at);
}

static void take(const draft *d, uint32_t node, double tape[2])
{
    for (int c = 0; c < 2; c++)
        tape[c] = (double)(d->plane.at[node][c] + d->shift[c]) * d->unit;
}

static void put_lattice(draft *d)
{
    for (long c = 0; c < d->columns; c++)
        for (long n = 0; n < d->rows; n++) {
            const long j = c % 2 ? d->rows - 1 - n : n; /* so that the next point is near */
            double at[2];
            uint32_t node;
            if (!d->kept[c * d->rows + j])
                continue;
            lattice_at(d, c, j, at);
            node = put(d, at[0], at[1]);
            if (d->creased && at[0] == 0)
                d->centre[d->centre_count++] = node;
        }
    if (d->grid->has_apex &&
        tw_outline_level(d->outline, d->grid->apex[0], d->grid->apex[1]) < -NEAR)
        put(d, d->grid->apex[0], d->grid->apex[1]);
}

/* Where and why lines cannot be sides. */
static tw_status touching(const double a[2], tw_error *err)
{
    tw_fail(err, TW_ERR_SHAPE, "two edges touch or cross near [%.1f, %.1f] by tape", a[0], a[1]);
    tw_error_advise(err, NULL, "move them apart: a solid needs some metal between them");
    return TW_ERR_SHAPE;
}

static tw_status put_loops(draft *d, tw_error *err)
{
    size_t most = 0;
    uint32_t *node;

    for (size_t k = 0; k < d->loop_count; k++)
        most = d->loops[k].count > most ? d->loops[k].count : most;
    node = tw_arena_array(d->arena, d->loop_count * most, sizeof *node);
    if (!node)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the outline of a solid");
    for (size_t k = 0; k < d->loop_count; k++)
        for (size_t n = 0; n < d->loops[k].count; n++) {
            const double *at = d->loops[k].at[n];
            node[k * most + n] = put(d, at[0], at[1]);
            if (d->creased && at[0] == 0)
                d->centre[d->centre_count++] = node[k * most + n];
        }
    for (size_t k = 0; k < d->loop_count; k++) {
        const loop *l = &d->loops[k];
        for (size_t n = 0; n < l->count; n++)
            if (!tw_plane_fix(&d->plane, node[k * most + n], node[k * most + (n + 1) % l->count],
                              true))
                return touching(l->at[n], err);
    }
    return TW_OK;
}

typedef struct ranked {
    int32_t up;
    uint32_t node;
} ranked;

static int by_up(const void *one, const void *other)
{
    const ranked *a = one, *b = other;

    return a->up != b->up ? (a->up > b->up) - (a->up < b->up)
                          : (a->node > b->node) - (a->node < b->node);
}

/* The crease is made of sides wherever it runs in metal. */
static tw_status put_crease(draft *d, tw_error *err)
{
    ranked *line = tw_arena_array(d->arena, d->centre_count, sizeof *line);

    if (!line)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the crease of a solid");
    for (size_t n = 0; n < d->centre_count; n++)
        line[n] = (ranked){d->plane.at[d->centre[n]][1], d->centre[n]};
    qsort(line, d->centre_count, sizeof *line, by_up);
    for (size_t n = 0; n + 1 < d->centre_count; n++) {
        double low[2], high[2];
        take(d, line[n].node, low);
        take(d, line[n + 1].node, high);
        if (low[1] < high[1] && tw_outline_level(d->outline, 0, 0.5 * (low[1] + high[1])) < 0 &&
            !tw_plane_fix(&d->plane, line[n].node, line[n + 1].node, false))
            return touching(low, err);
    }
    return TW_OK;
}

/* ---- what is metal ----------------------------------------------------------------------------- */

/* Numbers the triangles of the metal from 1 in `number`, spreading from the boundary inward. */
static bool find_metal(draft *d, uint32_t *number)
{
    const tw_plane *plane = &d->plane;
    size_t depth = 0;

    for (uint32_t t = 0; t < plane->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            if ((plane->mark[t][k] & TW_SIDE_METAL) && !number[t]) {
                number[t] = 1;
                plane->stack[depth++] = t;
            }
    while (depth > 0) {
        const uint32_t t = plane->stack[--depth];
        for (int k = 0; k < 3; k++) {
            const uint32_t u = plane->beside[t][k];
            if (plane->corner[t][k] < TW_CORNERS)
                return false;
            if ((plane->mark[t][k] & TW_SIDE_BOUNDARY) || number[u])
                continue;
            number[u] = 1;
            plane->stack[depth++] = u;
        }
    }
    for (uint32_t t = 0; t < plane->triangle_count; t++) /* a boundary has metal on one side only */
        for (int k = 0; k < 3; k++)
            if (number[t] && (plane->mark[t][k] & TW_SIDE_BOUNDARY) &&
                (!(plane->mark[t][k] & TW_SIDE_METAL) || number[plane->beside[t][k]]))
                return false;
    return true;
}

static bool make_room(const draft *d, tw_arena *arena, tw_chart *out)
{
    const size_t nodes = d->plane.node_count, triangles = d->plane.triangle_count;
    const size_t sides = nodes + triangles;

    out->tape = tw_arena_array(arena, nodes, sizeof *out->tape);
    out->node_lies = tw_arena_array(arena, nodes, 1);
    out->triangle = tw_arena_array(arena, triangles, sizeof *out->triangle);
    out->side_of = tw_arena_array(arena, triangles, sizeof *out->side_of);
    out->side = tw_arena_array(arena, sides, sizeof *out->side);
    out->side_lies = tw_arena_array(arena, sides, 1);
    out->wall = tw_arena_array(arena, sides, sizeof *out->wall);
    return out->tape && out->node_lies && out->triangle && out->side_of && out->side &&
           out->side_lies && out->wall;
}

/* Where a crease's points lie: what side of it the triangles at them are on. */
static void note_crease(tw_chart *out)
{
    for (size_t t = 0; t < out->triangle_count; t++) {
        const uint32_t *corner = out->triangle[t];
        const double sum =
            out->tape[corner[0]][0] + out->tape[corner[1]][0] + out->tape[corner[2]][0];
        const unsigned char side = sum < 0 ? TW_LIES_LEFT : TW_LIES_RIGHT;
        for (int k = 0; k < 3; k++) {
            const bool on[2] = {out->tape[corner[(k + 1) % 3]][0] == 0,
                                out->tape[corner[(k + 2) % 3]][0] == 0};
            if (out->tape[corner[k]][0] == 0)
                out->node_lies[corner[k]] |= side;
            if (on[0] && on[1])
                out->side_lies[out->side_of[t][k]] |= side;
        }
    }
}

static void keep_triangles(const draft *d, const uint32_t *number, uint32_t *node, tw_chart *out)
{
    const tw_plane *plane = &d->plane;

    for (uint32_t t = 0; t < plane->triangle_count; t++) {
        uint32_t *corner = out->triangle[out->triangle_count];
        if (!number[t])
            continue;
        for (int k = 0; k < 3; k++) {
            const uint32_t from = plane->corner[t][k];
            if (!node[from]) {
                take(d, from, out->tape[out->node_count]);
                node[from] = (uint32_t)++out->node_count;
            }
            corner[k] = node[from] - 1;
        }
        for (int k = 0; k < 3; k++) {
            const uint32_t u = plane->beside[t][k];
            const uint32_t ends[2] = {corner[(k + 1) % 3], corner[(k + 2) % 3]};
            if (number[u] && u < t) {
                const int j = plane->beside[u][0] == t ? 0 : plane->beside[u][1] == t ? 1 : 2;
                out->side_of[out->triangle_count][k] = out->side_of[number[u] - 1][j];
            } else {
                if (plane->mark[t][k] & TW_SIDE_METAL)
                    out->wall[out->wall_count++] = (uint32_t)out->side_count;
                memcpy(out->side[out->side_count], ends, sizeof ends);
                out->side_of[out->triangle_count][k] = (uint32_t)out->side_count++;
            }
        }
        out->triangle_count++;
    }
}

static tw_status keep_metal(draft *d, tw_arena *arena, tw_chart *out, tw_error *err)
{
    uint32_t *number = tw_arena_array(d->arena, d->plane.triangle_count, sizeof *number);
    uint32_t *node = tw_arena_array(d->arena, d->plane.node_count, sizeof *node), count = 0;

    if (!number || !node || !make_room(d, arena, out))
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the triangles of a solid");
    if (!find_metal(d, number))
        return touching(d->loops[0].at[0], err);
    for (size_t t = 0; t < d->plane.triangle_count; t++)
        if (number[t])
            number[t] = ++count;
    keep_triangles(d, number, node, out);
    if (d->creased)
        note_crease(out);
    for (size_t n = 0; n < out->node_count && d->grid->has_apex; n++)
        if (hypot(out->tape[n][0] - d->grid->apex[0], out->tape[n][1] - d->grid->apex[1]) <=
            d->unit)
            out->node_lies[n] = TW_LIES_APEX;
    out->spacing = d->spacing;
    return TW_OK;
}

tw_status tw_chart_make(const tw_form *form, const tw_grid *grid, double spacing,
                        const tw_keep_off *keep_off, unsigned threads, tw_arena *arena,
                        tw_chart *out, tw_error *err)
{
    draft d = {.outline = tw_form_outline(form),
               .grid = grid,
               .keep_off = keep_off,
               .arena = tw_arena_new(),
               .spacing = spacing,
               .creased = grid->crease_count > 0};
    size_t points = 1;
    tw_status status;

    choose_unit(&d);
    if (!d.arena || !make_loops(&d)) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the outline of a solid");
        goto done;
    }
    status = make_lattice(&d, threads, err);
    if (status != TW_OK)
        goto done;
    for (long n = 0; n < d.columns * d.rows; n++)
        points += d.kept[n];
    for (size_t k = 0; k < d.loop_count; k++)
        points += d.loops[k].count;
    status = tw_plane_new(d.arena, points, &d.plane, err);
    if (status != TW_OK)
        goto done;
    d.centre = tw_arena_array(d.arena, points, sizeof *d.centre);
    if (!d.centre) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the crease of a solid");
        goto done;
    }
    put_lattice(&d);
    status = put_loops(&d, err);
    if (status == TW_OK)
        status = put_crease(&d, err);
    if (status == TW_OK)
        status = keep_metal(&d, arena, out, err);
done:
    tw_arena_free(d.arena);
    return status;
}
