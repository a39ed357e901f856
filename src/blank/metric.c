/*
 * metric.c: lengths and areas of the curved face for a mesh of its tape chart.
 *
 * A triangle's sides are geodesics of the face. A side's length follows from its chord c and the
 * slopes m₀, m₁ that the face has against the chord at both ends: the cubic with these slopes is
 * c·(1 + (2m₀² − m₀m₁ + 2m₁²)/30) long to fourth order (derived here: half the integral of its squared
 * slope). Flat triangles with these sides are exact on a cylinder or cone but for that order; on a face
 * of Gauss curvature K the curved triangle has the area of the flat one times
 * 1 + K(a² + b² + c²)/24 (C. F. Gauss, Disquisitiones generales circa superficies curvas, 1827,
 * articles 25–28), and the flat one is scaled to it.
 */
#include "blank_internal.h"

#include <math.h>
#include <string.h>

#define OFF_CREASE 1e-6 /* [mm]: as near beside a crease as tells its two normals apart */

typedef struct filling {
    const tw_form *form;
    const double *offset; /* node_count; NULL for none */
    const tw_mesh *mesh;
    double (*normal)[2][3]; /* node_count: on the side of positive and of negative across */
} filling;

static double finite_or_zero(double value)
{
    return isfinite(value) ? value : 0;
}

/* Moves a node outward along its normal, on a crease along the bisector as far as the mitre; an apex
 * without a normal stays. Areas grow by 1 + 2Hs + Ks², which all curvatures are divided by. */
static void move_out(const filling *f, size_t n)
{
    const double s = f->offset[n], (*normal)[3] = f->normal[n];
    const double along = 1 + tw_dot(normal[0], normal[1]);
    const double H = f->mesh->mean_curvature[n], K = f->mesh->gauss_curvature[n];
    const double grown = 1 + 2 * H * s + K * s * s;

    if (!(tw_dot(normal[0], normal[0]) > 0.5) || !(along > 0.1))
        return;
    for (int c = 0; c < 3; c++)
        f->mesh->position[n][c] += s * (normal[0][c] + normal[1][c]) / along;
    f->mesh->mean_curvature[n] = (H + K * s) / grown;
    f->mesh->gauss_curvature[n] = K / grown;
}

static void fill_nodes(size_t first, size_t last, void *context)
{
    const filling *f = context;
    const tw_mesh *mesh = f->mesh;
    tw_face_point point;

    for (size_t n = first; n < last; n++) {
        const double *tape = mesh->tape[n];
        tw_form_at(f->form, tape[0], tape[1], &point);
        memcpy(mesh->position[n], point.position, sizeof point.position);
        mesh->mean_curvature[n] = finite_or_zero(point.mean_curvature);
        mesh->gauss_curvature[n] = finite_or_zero(point.gauss_curvature);
        memcpy(f->normal[n][0], point.normal, sizeof point.normal);
        if (tape[0] == 0)
            tw_form_at(f->form, -OFF_CREASE, tape[1], &point);
        memcpy(f->normal[n][1], point.normal, sizeof point.normal);
        if (f->offset)
            move_out(f, n);
    }
}

/* Slope of the face against a unit chord at one end; NaN where there is no normal. */
static double slope_at(const double chord[3], const double normal[3])
{
    const double s = tw_dot(chord, normal);

    return isfinite(s) && tw_dot(normal, normal) > 0.5 ? -s / sqrt(fmax(1 - s * s, 0.25)) : NAN;
}

static double side_length(const double a[3], const double b[3], const double na[3],
                          const double nb[3])
{
    double chord[3] = {b[0] - a[0], b[1] - a[1], b[2] - a[2]};
    const double length = sqrt(tw_dot(chord, chord));
    double m0, m1;

    if (!(length > 0))
        return 0;
    for (int k = 0; k < 3; k++)
        chord[k] /= length;
    m0 = slope_at(chord, na);
    m1 = slope_at(chord, nb);
    if (isnan(m0)) /* an apex: as if the side bent evenly */
        m0 = -m1;
    if (isnan(m1))
        m1 = -m0;
    return isnan(m0) ? length : length * (1 + (2 * m0 * m0 - m0 * m1 + 2 * m1 * m1) / 30);
}

/* false when the face gives the triangle no area. */
static bool fill_triangle(const filling *f, size_t t)
{
    const tw_mesh *mesh = f->mesh;
    tw_mesh_metric *metric = mesh->metric;
    const uint32_t *k = mesh->triangle[t];
    const int side = mesh->tape[k[0]][0] + mesh->tape[k[1]][0] + mesh->tape[k[2]][0] < 0 ? 1 : 0;
    double length[3], x, y2, y, flat, curved, gauss = 0, scale;

    for (int n = 0; n < 3; n++) { /* length[n]: from corner n to the next */
        const uint32_t a = k[n], b = k[(n + 1) % 3];
        length[n] = side_length(mesh->position[a], mesh->position[b], f->normal[a][side],
                                f->normal[b][side]);
        gauss += mesh->gauss_curvature[k[n]] / 3;
    }
    x = (length[0] * length[0] + length[2] * length[2] - length[1] * length[1]) / (2 * length[0]);
    y2 = length[2] * length[2] - x * x;
    if (!(length[0] > 0) || !(y2 > 0))
        return false;
    y = sqrt(y2);
    flat = 0.5 * length[0] * y;
    curved = gauss * (length[0] * length[0] + length[1] * length[1] + length[2] * length[2]) / 24;
    curved = flat * (1 + fmin(fmax(curved, -0.1), 0.1));
    scale = sqrt(curved / flat);
    metric->triangle_area[t] = curved;
    /* corners (0, 0), (length[0], 0), (x, y), each times scale */
    metric->hat[t][1][0] = 1 / (length[0] * scale);
    metric->hat[t][1][1] = -x / (length[0] * y * scale);
    metric->hat[t][2][0] = 0;
    metric->hat[t][2][1] = 1 / (y * scale);
    for (int c = 0; c < 2; c++)
        metric->hat[t][0][c] = -metric->hat[t][1][c] - metric->hat[t][2][c];
    return true;
}

/* ---- neighbours ------------------------------------------------------------------------------ */

static void sort_few(uint32_t *list, size_t count)
{
    for (size_t i = 1; i < count; i++)
        for (size_t j = i; j > 0 && list[j - 1] > list[j]; j--) {
            const uint32_t swap = list[j];
            list[j] = list[j - 1];
            list[j - 1] = swap;
        }
}

tw_status tw_metric_neighbours(tw_mesh *mesh, tw_error *err)
{
    tw_mesh_metric *metric = mesh->metric;
    const size_t nodes = mesh->node_count, triangles = mesh->triangle_count;
    size_t *filled = tw_arena_array(mesh->arena, nodes, sizeof *filled);

    metric->star_first = tw_arena_array(mesh->arena, nodes + 1, sizeof *metric->star_first);
    metric->star = tw_arena_array(mesh->arena, 3 * triangles, sizeof *metric->star);
    metric->ring_first = tw_arena_array(mesh->arena, nodes + 1, sizeof *metric->ring_first);
    metric->ring = tw_arena_array(mesh->arena, 9 * triangles, sizeof *metric->ring);
    if (!filled || !metric->star_first || !metric->star || !metric->ring_first || !metric->ring)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu triangles", triangles);
    for (size_t t = 0; t < triangles; t++)
        for (int k = 0; k < 3; k++)
            metric->star_first[mesh->triangle[t][k] + 1]++;
    for (size_t n = 0; n < nodes; n++)
        metric->star_first[n + 1] += metric->star_first[n];
    for (size_t t = 0; t < triangles; t++)
        for (int k = 0; k < 3; k++) {
            const uint32_t n = mesh->triangle[t][k];
            metric->star[metric->star_first[n] + filled[n]++] = (uint32_t)t;
        }
    for (size_t n = 0; n < nodes; n++) {
        uint32_t *ring = metric->ring + metric->ring_first[n];
        size_t count = 0;
        for (size_t s = metric->star_first[n]; s < metric->star_first[n + 1]; s++)
            for (int k = 0; k < 3; k++) {
                const uint32_t other = mesh->triangle[metric->star[s]][k];
                size_t seen = 0;
                while (seen < count && ring[seen] != other)
                    seen++;
                if (seen == count)
                    ring[count++] = other;
            }
        sort_few(ring, count);
        metric->ring_first[n + 1] = metric->ring_first[n] + count;
    }
    return TW_OK;
}

/* ---- boundary -------------------------------------------------------------------------------- */

/* Sides with a triangle on one side only, joined to loops. A node where two loops touch has two next
 * nodes; the first not yet gone is taken. */
static tw_status find_loops(tw_mesh *mesh, tw_error *err)
{
    const tw_mesh_metric *metric = mesh->metric;
    const size_t nodes = mesh->node_count;
    size_t sides = 0, longest = 0, found = 0;
    uint32_t(*next)[2] = tw_arena_array(mesh->arena, nodes, sizeof *next);
    uint32_t *loop;

    if (!next)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a boundary");
    memset(next, 0xff, nodes * sizeof *next);
    for (size_t t = 0; t < mesh->triangle_count; t++)
        for (int k = 0; k < 3; k++) {
            const uint32_t a = mesh->triangle[t][k], b = mesh->triangle[t][(k + 1) % 3];
            bool shared = false;
            for (size_t s = metric->star_first[b]; s < metric->star_first[b + 1]; s++)
                for (int m = 0; m < 3; m++)
                    shared = shared || (mesh->triangle[metric->star[s]][m] == b &&
                                        mesh->triangle[metric->star[s]][(m + 1) % 3] == a);
            if (shared)
                continue;
            next[a][next[a][0] == UINT32_MAX ? 0 : 1] = b;
            sides++;
        }
    mesh->loop_node = tw_arena_array(mesh->arena, sides, sizeof *mesh->loop_node);
    mesh->loop_first = tw_arena_array(mesh->arena, sides + 1, sizeof *mesh->loop_first);
    loop = tw_arena_array(mesh->arena, sides, sizeof *loop);
    if (!mesh->loop_node || !mesh->loop_first || !loop)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a boundary");
    for (uint32_t n = 0; n < nodes; n++)
        while (next[n][0] != UINT32_MAX || next[n][1] != UINT32_MAX) {
            uint32_t at = n;
            size_t count = 0;
            for (;;) {
                const int way = next[at][0] != UINT32_MAX ? 0 : 1;
                const uint32_t to = next[at][way];
                if (to == UINT32_MAX)
                    break;
                next[at][way] = UINT32_MAX;
                mesh->loop_node[found++] = at;
                at = to;
                count++;
            }
            mesh->loop_first[++mesh->loop_count] = found;
            if (count > mesh->loop_first[longest + 1] - mesh->loop_first[longest])
                longest = mesh->loop_count - 1;
        }
    if (longest > 0) { /* bring the outer one to the front */
        const size_t first = mesh->loop_first[longest];
        const size_t count = mesh->loop_first[longest + 1] - first;
        memcpy(loop, mesh->loop_node + first, count * sizeof *loop);
        memmove(mesh->loop_node + count, mesh->loop_node, first * sizeof *loop);
        memcpy(mesh->loop_node, loop, count * sizeof *loop);
        for (size_t k = longest; k > 0; k--)
            mesh->loop_first[k] = mesh->loop_first[k - 1] + count;
    }
    return TW_OK;
}

static uint32_t next_on_loop(const tw_mesh *mesh, size_t place)
{
    size_t loop = 0;

    while (place >= mesh->loop_first[loop + 1])
        loop++;
    return mesh
        ->loop_node[place + 1 < mesh->loop_first[loop + 1] ? place + 1 : mesh->loop_first[loop]];
}

/* Slivers between the outline and the chart's straight chords, as far as the chart's exact area tells,
 * shared along the boundary by length; and between those chords and the sides, which are geodesics. */
static void add_slivers(const tw_form *form, double chart_area, const double *offset, tw_mesh *mesh)
{
    double twice = 0, length = 0;
    tw_face_point middle;

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const double *a = mesh->tape[mesh->triangle[t][0]], *b = mesh->tape[mesh->triangle[t][1]];
        const double *c = mesh->tape[mesh->triangle[t][2]];
        twice += (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    }
    for (int pass = 0; pass < 2; pass++)
        for (size_t s = 0; s < mesh->loop_first[mesh->loop_count]; s++) {
            const uint32_t a = mesh->loop_node[s], b = next_on_loop(mesh, s);
            const double side =
                hypot(mesh->tape[b][0] - mesh->tape[a][0], mesh->tape[b][1] - mesh->tape[a][1]);
            double cross[3], chord[3], bow[3], right[3], sliver;
            if (pass == 0) {
                length += side;
                continue;
            }
            tw_form_at(form, 0.5 * (mesh->tape[a][0] + mesh->tape[b][0]),
                       0.5 * (mesh->tape[a][1] + mesh->tape[b][1]), &middle);
            tw_cross(middle.across_step, middle.up_step, cross);
            for (int c = 0; c < 3; c++) {
                const double out = offset ? 0.5 * (offset[a] + offset[b]) * middle.normal[c] : 0;
                chord[c] = mesh->position[b][c] - mesh->position[a][c];
                bow[c] =
                    middle.position[c] + out - 0.5 * (mesh->position[a][c] + mesh->position[b][c]);
            }
            tw_cross(chord, middle.normal, right); /* off the metal, as long as the chord */
            sliver = (chart_area - 0.5 * twice) * side / length * sqrt(tw_dot(cross, cross)) +
                     2.0 / 3 * tw_dot(bow, right); /* a parabola's segment */
            if (!isfinite(sliver))
                continue;
            mesh->area[a] += 0.5 * sliver;
            mesh->area[b] += 0.5 * sliver;
        }
}

/* Areas of filled holes from the chart to the face. */
static void fill_holes(const tw_form *form, tw_mesh *mesh)
{
    for (size_t k = 0; k < mesh->holes_filled; k++) {
        double *hole = mesh->filled[k], cross[3];
        tw_face_point at;
        tw_form_at(form, hole[0], hole[1], &at);
        tw_cross(at.across_step, at.up_step, cross);
        hole[2] *= finite_or_zero(sqrt(tw_dot(cross, cross)));
    }
}

tw_status tw_metric_fill(const tw_form *form, double chart_area, const double *offset,
                         unsigned threads, tw_mesh *mesh, tw_error *err)
{
    tw_mesh_metric *metric = tw_arena_array(mesh->arena, 1, sizeof *metric);
    const size_t nodes = mesh->node_count, triangles = mesh->triangle_count;
    filling f = {form, offset, mesh, tw_arena_array(mesh->arena, nodes, sizeof *f.normal)};
    tw_status status;
    tw_sum whole = {0, 0};

    mesh->position = tw_arena_array(mesh->arena, nodes, sizeof *mesh->position);
    mesh->area = tw_arena_array(mesh->arena, nodes, sizeof *mesh->area);
    mesh->mean_curvature = tw_arena_array(mesh->arena, nodes, sizeof(double));
    mesh->gauss_curvature = tw_arena_array(mesh->arena, nodes, sizeof(double));
    if (!metric || !f.normal || !mesh->position || !mesh->area || !mesh->mean_curvature ||
        !mesh->gauss_curvature)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a mesh of %zu nodes", nodes);
    mesh->metric = metric;
    metric->hat = tw_arena_array(mesh->arena, triangles, sizeof *metric->hat);
    metric->triangle_area = tw_arena_array(mesh->arena, triangles, sizeof(double));
    metric->node_area = tw_arena_array(mesh->arena, nodes, sizeof(double));
    if (!metric->hat || !metric->triangle_area || !metric->node_area)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a mesh of %zu nodes", nodes);
    tw_for_rows(nodes, 64, threads, fill_nodes, &f);
    for (size_t t = 0; t < triangles; t++) {
        const double *at = mesh->tape[mesh->triangle[t][0]];
        if (!fill_triangle(&f, t))
            return tw_fail(err, TW_ERR_SHAPE,
                           "the face has no area near [%.4g, %.4g] by tape: it folds there", at[0],
                           at[1]);
        for (int k = 0; k < 3; k++)
            metric->node_area[mesh->triangle[t][k]] += metric->triangle_area[t] / 3;
    }
    status = tw_metric_neighbours(mesh, err);
    if (status == TW_OK)
        status = find_loops(mesh, err);
    if (status != TW_OK)
        return status;
    memcpy(mesh->area, metric->node_area, nodes * sizeof(double));
    for (size_t k = 0; k < mesh->holes_filled; k++)
        chart_area += mesh->filled[k][2];
    add_slivers(form, chart_area, offset, mesh);
    fill_holes(form, mesh);
    for (size_t n = 0; n < nodes; n++)
        tw_sum_add(&whole, mesh->area[n]);
    mesh->face_area = tw_sum_value(&whole);
    return TW_OK;
}

void tw_node_integrals(const tw_mesh *mesh, const double *value, double *out)
{
    for (size_t n = 0; n < mesh->node_count; n++)
        out[n] = 0;
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const uint32_t *k = mesh->triangle[t];
        const double sum = value[k[0]] + value[k[1]] + value[k[2]];
        for (int n = 0; n < 3; n++)
            out[k[n]] += mesh->metric->triangle_area[t] / 12 * (sum + value[k[n]]);
    }
}
