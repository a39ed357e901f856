/*
 * solid.c: both faces and the walls between them as one closed solid, and whether it is closed.
 *
 * Vertices are rounded to floats first and made one where they fall together, so that what is closed
 * here is closed in a file. A triangle that loses a corner so is left out: its two other sides have
 * become one, and the surface stays whole. Whether it did is not believed but looked at.
 */
#include "exchange_internal.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct vertex {
    float at[3];
    uint32_t number;
} vertex;

static int by_place(const void *one, const void *other)
{
    const vertex *a = one, *b = other;

    for (int c = 0; c < 3; c++)
        if (a->at[c] != b->at[c])
            return a->at[c] < b->at[c] ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}

/* Rounds; `first` becomes for each vertex the least one at its place. */
static void round_vertices(const tw_chart *chart, const tw_faces *faces, vertex *list,
                           uint32_t *first)
{
    const size_t nodes = chart->node_count;

    for (size_t n = 0; n < 2 * nodes; n++) {
        const double *at = faces->at[n / nodes][n % nodes];
        for (int c = 0; c < 3; c++)
            list[n].at[c] = (float)at[c] + 0.0f; /* no −0 */
        list[n].number = (uint32_t)n;
    }
    qsort(list, 2 * nodes, sizeof *list, by_place);
    for (size_t n = 0; n < 2 * nodes; n++) {
        /* NOLINTNEXTLINE(bugprone-suspicious-memory-comparison): alike to the bit, as a file has them */
        const bool same = n > 0 && memcmp(list[n].at, list[n - 1].at, sizeof list[n].at) == 0;
        first[list[n].number] = same ? first[list[n - 1].number] : list[n].number;
    }
}

static void add(tw_solid *solid, const uint32_t *first, size_t a, size_t b, size_t c)
{
    uint32_t *corner = solid->triangle[solid->triangle_count];

    corner[0] = first[a];
    corner[1] = first[b];
    corner[2] = first[c];
    if (corner[0] != corner[1] && corner[1] != corner[2] && corner[2] != corner[0])
        solid->triangle_count++;
}

/* Outer face as the chart has it, inner face turned over, and two triangles to each boundary side. */
static void join_triangles(const tw_chart *chart, const uint32_t *first, tw_solid *solid)
{
    const size_t nodes = chart->node_count;

    for (size_t t = 0; t < chart->triangle_count; t++) {
        const uint32_t *k = chart->triangle[t];
        add(solid, first, k[0], k[1], k[2]);
    }
    for (size_t t = 0; t < chart->triangle_count; t++) {
        const uint32_t *k = chart->triangle[t];
        add(solid, first, nodes + k[0], nodes + k[2], nodes + k[1]);
    }
    for (size_t w = 0; w < chart->wall_count; w++) {
        const uint32_t *side = chart->side[chart->wall[w]], a = side[0], b = side[1];
        add(solid, first, b, a, nodes + a);
        add(solid, first, b, nodes + a, nodes + b);
    }
}

/* Numbers the vertices that triangles use, in their old order. */
static void keep_vertices(const tw_chart *chart, const tw_faces *faces, const vertex *list,
                          uint32_t *number, tw_solid *solid)
{
    const size_t nodes = chart->node_count;

    memset(number, 0, 2 * nodes * sizeof *number);
    for (size_t t = 0; t < solid->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            number[solid->triangle[t][k]] = 1;
    for (size_t n = 0; n < 2 * nodes; n++)
        number[n] = number[n] ? (uint32_t)solid->vertex_count++ : TW_NONE;
    for (size_t n = 0; n < 2 * nodes; n++)
        if (number[list[n].number] != TW_NONE)
            memcpy(solid->vertex[number[list[n].number]], list[n].at, sizeof *solid->vertex);
    solid->thinnest = INFINITY;
    for (size_t n = 0; n < 2 * nodes; n++)
        if (number[n] != TW_NONE) {
            const float t = (float)faces->thickness[n % nodes];
            solid->thickness[number[n]] = t;
            solid->thinnest = t < solid->thinnest ? t : solid->thinnest;
            solid->thickest = t > solid->thickest ? t : solid->thickest;
        }
    for (size_t t = 0; t < solid->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            solid->triangle[t][k] = number[solid->triangle[t][k]];
}

static tw_status close_faces(const tw_chart *chart, const tw_faces *faces, tw_arena *scratch,
                             tw_solid *solid, tw_error *err)
{
    const size_t vertices = 2 * chart->node_count;
    const size_t triangles = 2 * (chart->triangle_count + chart->wall_count);
    vertex *list = tw_arena_array(scratch, vertices, sizeof *list);
    uint32_t *first = tw_arena_array(scratch, vertices, sizeof *first);

    solid->vertex = tw_arena_array(solid->arena, vertices, sizeof *solid->vertex);
    solid->thickness = tw_arena_array(solid->arena, vertices, sizeof *solid->thickness);
    solid->triangle = tw_arena_array(solid->arena, triangles, sizeof *solid->triangle);
    if (!list || !first || !solid->vertex || !solid->thickness || !solid->triangle)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a solid of %zu triangles", triangles);
    round_vertices(chart, faces, list, first);
    join_triangles(chart, first, solid);
    keep_vertices(chart, faces, list, first, solid);
    solid->off_face = faces->off_face;
    solid->spacing = chart->spacing;
    return tw_solid_check(solid, err);
}

/* ---- closed? -------------------------------------------------------------------------------------- */

/* A side of a triangle: its ends in order of number, and which way the triangle runs along it. */
typedef struct half {
    uint32_t low, high, triangle;
    bool down;
} half;

static int by_ends(const void *one, const void *other)
{
    const half *a = one, *b = other;

    if (a->low != b->low)
        return a->low < b->low ? -1 : 1;
    if (a->high != b->high)
        return a->high < b->high ? -1 : 1;
    return (int)a->down - (int)b->down;
}

static bool same_ends(const half *a, const half *b)
{
    return a->low == b->low && a->high == b->high;
}

static tw_status open_at(const tw_solid *solid, uint32_t at, tw_error *err)
{
    const float *p = solid->vertex[at];

    tw_fail(err, TW_ERR_SHAPE, "the solid does not close at x %.2f, y %.2f, z %.2f mm",
            (double)p[0], (double)p[1], (double)p[2]);
    tw_error_advise(err, NULL, "edges or holes nearly touch there: move them apart");
    return TW_ERR_SHAPE;
}

static uint32_t root_of(uint32_t *parent, uint32_t one)
{
    while (parent[one] != one)
        one = parent[one] = parent[parent[one]];
    return one;
}

/* Triangles about a vertex are joined through sides that have it: what is left over of their number
 * is how many fans there are. `corner` numbers every triangle's corners, 3·t + k. */
static uint32_t two_fans(const tw_solid *solid, const half *sides, uint32_t *corner, uint32_t *fans)
{
    const size_t count = 3 * solid->triangle_count;

    for (uint32_t n = 0; n < count; n++) {
        corner[n] = n;
        fans[solid->triangle[n / 3][n % 3]]++;
    }
    for (size_t n = 0; n < count; n += 2)
        for (int end = 0; end < 2; end++) {
            const uint32_t v = end ? sides[n].high : sides[n].low;
            uint32_t root[2];
            for (int m = 0; m < 2; m++) {
                const uint32_t t = sides[n + (size_t)m].triangle, *of = solid->triangle[t];
                root[m] = root_of(corner, 3 * t + (of[0] == v ? 0 : of[1] == v ? 1 : 2));
            }
            if (root[0] != root[1]) {
                corner[root[1]] = root[0];
                fans[v]--;
            }
        }
    for (uint32_t v = 0; v < solid->vertex_count; v++)
        if (fans[v] > 1)
            return v;
    return TW_NONE;
}

tw_status tw_solid_check(const tw_solid *solid, tw_error *err)
{
    const size_t count = 3 * solid->triangle_count;
    tw_arena *scratch = tw_arena_new();
    half *sides = scratch ? tw_arena_array(scratch, count, sizeof *sides) : NULL;
    uint32_t *corner = scratch ? tw_arena_array(scratch, count, sizeof *corner) : NULL, bad;
    uint32_t *fans = scratch ? tw_arena_array(scratch, solid->vertex_count, sizeof *fans) : NULL;
    tw_status status = TW_OK;

    if (!sides || !corner || !fans) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory to look at %zu triangles",
                         solid->triangle_count);
        goto done;
    }
    for (size_t n = 0; n < count; n++) {
        const uint32_t *k = solid->triangle[n / 3];
        const uint32_t a = k[n % 3], b = k[(n + 1) % 3];
        sides[n] = (half){a < b ? a : b, a < b ? b : a, (uint32_t)(n / 3), a > b};
        if (a == b) {
            status = open_at(solid, a, err);
            goto done;
        }
    }
    qsort(sides, count, sizeof *sides, by_ends);
    for (size_t n = 0; n < count; n += 2)
        if (n + 1 == count || !same_ends(&sides[n], &sides[n + 1]) || sides[n].down ||
            !sides[n + 1].down || (n + 2 < count && same_ends(&sides[n], &sides[n + 2]))) {
            status = open_at(solid, sides[n].low, err);
            goto done;
        }
    bad = two_fans(solid, sides, corner, fans);
    if (bad != TW_NONE)
        status = open_at(solid, bad, err);
done:
    tw_arena_free(scratch);
    return status;
}

/* ---- the whole -------------------------------------------------------------------------------------- */

/* Area inside the outline by tape, holes out. */
static double chart_area(const tw_outline *outline)
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

/* Two digits, upward. */
static double rounded_up(double value)
{
    const double step = pow(10, floor(log10(value)) - 1);

    return ceil(value / step) * step;
}

static tw_status choose_spacing(const tw_form *form, double asked, double *out, tw_error *err)
{
    const tw_outline *o = tw_form_outline(form);
    const double lattice = sqrt(0.75), area = chart_area(o);
    const double box = (o->across_max - o->across_min) * (o->up_max - o->up_min);
    double points;

    *out = asked == 0 ? sqrt(area / TW_SOLID_POINTS_USUAL / lattice) : asked;
    if (!(*out > 0 && *out <= DBL_MAX))
        return tw_fail(err, TW_ERR_DOMAIN, "a spacing of %g mm is not above 0", asked);
    points = fmax(area, 0.05 * box) / (*out * *out * lattice);
    if (points <= TW_SOLID_POINTS_MAX)
        return TW_OK;
    tw_fail(err, TW_ERR_LIMIT, "a spacing of %.3g mm would take %.*f million points to a face",
            asked, points < 1e7 ? 1 : 0, points / 1e6);
    tw_error_advise(err, NULL, "take %.2g mm or more",
                    rounded_up(sqrt(points / TW_SOLID_POINTS_MAX) * *out));
    return TW_ERR_LIMIT;
}

tw_status tw_solid_build(const tw_form *form, const tw_map *map, const tw_solid_options *options,
                         tw_solid **out, tw_error *err)
{
    tw_arena *arena = tw_arena_new(), *scratch = tw_arena_new();
    tw_solid *solid = arena ? tw_arena_array(arena, 1, sizeof *solid) : NULL;
    tw_keep_off keep_off;
    tw_chart chart = {.spacing = 0};
    tw_faces faces;
    double spacing = 0;
    tw_status status = choose_spacing(form, options->spacing, &spacing, err);

    if (status != TW_OK)
        goto done;
    if (!solid || !scratch) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a solid");
        goto done;
    }
    solid->arena = arena;
    status = tw_faces_keep_off(form, map, &keep_off, err);
    if (status == TW_OK)
        status = tw_chart_make(form, map->grid, spacing, &keep_off, options->threads, scratch,
                               &chart, err);
    if (status == TW_OK)
        status = tw_faces_make(form, map, &chart, options->threads, scratch, &faces, err);
    if (status == TW_OK)
        status = close_faces(&chart, &faces, scratch, solid, err);
    if (status != TW_OK)
        goto done;
    *out = solid;
    arena = NULL;
done:
    tw_arena_free(scratch);
    tw_arena_free(arena);
    return status;
}

void tw_solid_free(tw_solid *solid)
{
    if (solid)
        tw_arena_free(solid->arena);
}
