/*
 * report.c: what a layout says about plate and blank: thickness, stretches, extents, work; and points
 * carried between them.
 */
#include "blank_internal.h"

#include <math.h>
#include <string.h>

/* Turned and shifted to lie over the tape chart as near as it can, by area (P. H. Schönemann, "A
 * generalized solution of the orthogonal Procrustes problem", Psychometrika 31, 1966; in the plane an
 * arctangent). */
static void lay_over_chart(tw_layout *layout)
{
    const tw_mesh *mesh = layout->mesh;
    double mean[2][2] = {{0}}, along = 0, across = 0, turn;

    for (size_t n = 0; n < mesh->node_count; n++)
        for (int c = 0; c < 2; c++) {
            mean[0][c] += mesh->area[n] / mesh->face_area * mesh->tape[n][c];
            mean[1][c] += mesh->area[n] / mesh->face_area * layout->blank[n][c];
        }
    for (size_t n = 0; n < mesh->node_count; n++) {
        const double p = mesh->tape[n][0] - mean[0][0], q = mesh->tape[n][1] - mean[0][1];
        const double x = layout->blank[n][0] - mean[1][0], y = layout->blank[n][1] - mean[1][1];
        along += mesh->area[n] * (p * x + q * y);
        across += mesh->area[n] * (q * x - p * y);
    }
    turn = atan2(across, along);
    for (size_t n = 0; n < mesh->node_count; n++) {
        const double x = layout->blank[n][0] - mean[1][0], y = layout->blank[n][1] - mean[1][1];
        layout->blank[n][0] = mean[0][0] + cos(turn) * x - sin(turn) * y;
        layout->blank[n][1] = mean[0][1] + sin(turn) * x + cos(turn) * y;
    }
}

/* Strains of triangles, tensors in the blank, averaged about nodes by area; work and extremes. */
static void report_strains(tw_layout *layout, double (*tensor)[3])
{
    const tw_mesh *mesh = layout->mesh;
    const tw_mesh_metric *metric = mesh->metric;
    tw_sum work = {0, 0}, volume = {0, 0};

    layout->least_stretch = INFINITY;
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double J[4], strain[2], direction, metal, c, s;
        tw_triangle_gradient(metric->hat[t], layout->blank, mesh->triangle[t], J);
        tw_triangle_strains(J, strain, &direction);
        metal = metric->triangle_area[t] * (J[0] * J[3] - J[1] * J[2]) * layout->stock;
        tw_sum_add(&volume, metal);
        tw_sum_add(&work,
                   metal * 4.0 / 3.0 *
                       (strain[0] * strain[0] + strain[0] * strain[1] + strain[1] * strain[1]));
        c = cos(direction);
        s = sin(direction);
        for (int k = 0; k < 3; k++) {
            double *e = tensor[mesh->triangle[t][k]];
            const double share =
                metric->triangle_area[t] / 3 / metric->node_area[mesh->triangle[t][k]];
            e[0] += share * (strain[0] * c * c + strain[1] * s * s);
            e[1] += share * (strain[0] * s * s + strain[1] * c * c);
            e[2] += share * (strain[0] - strain[1]) * c * s;
        }
    }
    layout->work = tw_sum_value(&work);
    layout->mean_strain = sqrt(fmax(layout->work, 0) / tw_sum_value(&volume));
    for (size_t n = 0; n < mesh->node_count; n++) {
        const double *e = tensor[n];
        const double middle = 0.5 * (e[0] + e[1]), radius = hypot(0.5 * (e[0] - e[1]), e[2]);
        layout->stretch_most[n] = exp(middle + radius);
        layout->stretch_least[n] = exp(middle - radius);
        layout->direction[n] = 0.5 * atan2(e[2], 0.5 * (e[0] - e[1]));
        layout->most_stretch = fmax(layout->most_stretch, layout->stretch_most[n]);
        layout->least_stretch = fmin(layout->least_stretch, layout->stretch_least[n]);
    }
}

enum { SHARPENINGS = 3 };

/* Blank areas about nodes to ratios at nodes. Wanted ratios were held to, so each is its own times the
 * error left; free ones are the values whose integrals are the areas, by SHARPENINGS steps from the
 * mean (each leaves a third of what the mean gets wrong at the rim). */
static void areas_to_ratios(tw_layout *layout, const double *metal, double *scratch)
{
    const tw_mesh *mesh = layout->mesh;
    const double *own = mesh->metric->node_area;
    double *ratio = layout->area_ratio, *area = scratch, *integral = scratch + mesh->node_count;

    memcpy(area, ratio, mesh->node_count * sizeof *area);
    if (metal) {
        tw_node_integrals(mesh, metal, integral);
        for (size_t n = 0; n < mesh->node_count; n++) {
            const double error = area[n] / integral[n] - 1;
            layout->ratio_error = fmax(layout->ratio_error, fabs(error));
            ratio[n] = metal[n] * (1 + error);
        }
        return;
    }
    for (size_t n = 0; n < mesh->node_count; n++)
        ratio[n] = area[n] / own[n];
    for (int step = 0; step < SHARPENINGS; step++) {
        tw_node_integrals(mesh, ratio, integral);
        for (size_t n = 0; n < mesh->node_count; n++)
            ratio[n] += (area[n] - integral[n]) / own[n];
    }
}

/* Volume per area of the mesh between two parallel faces whose middle lies `shift` outward of it:
 * 1 + 2Hs + Ks² integrated over s = shift ± t/2 (derived here). The form's face is where it is, whatever
 * becomes of the sheet, so the metal's middle leaves the mesh's, at half the stock, as t leaves it. */
static double thickness_of(double volume, double stock, double out_of_middle, double mean,
                           double gauss)
{
    double t = volume;

    for (int step = 0; step < 3; step++) { /* H·t and K·t² are far below 1 */
        const double shift = out_of_middle * (stock - t);
        t = volume / (1 + 2 * mean * shift + gauss * (shift * shift + t * t / 12));
    }
    return t;
}

static void report_thickness(tw_layout *layout, const double *metal, double out_of_middle,
                             double *scratch)
{
    const tw_mesh *mesh = layout->mesh;
    const tw_mesh_metric *metric = mesh->metric;
    tw_sum area = {0, 0};

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double J[4];
        tw_triangle_gradient(metric->hat[t], layout->blank, mesh->triangle[t], J);
        for (int k = 0; k < 3; k++)
            layout->area_ratio[mesh->triangle[t][k]] +=
                metric->triangle_area[t] * (J[0] * J[3] - J[1] * J[2]) / 3;
    }
    layout->thinnest = INFINITY;
    layout->ratio_error = 0;
    areas_to_ratios(layout, metal, scratch);
    for (size_t n = 0; n < mesh->node_count; n++) {
        double *t = &layout->thickness[n];
        *t = thickness_of(layout->stock * layout->area_ratio[n], layout->stock,
                          metal ? 0 : out_of_middle, mesh->mean_curvature[n],
                          mesh->gauss_curvature[n]);
        tw_sum_add(&area, layout->area_ratio[n] * mesh->area[n]);
        if (*t < layout->thinnest) {
            layout->thinnest = *t;
            memcpy(layout->thinnest_at, mesh->tape[n], sizeof layout->thinnest_at);
        }
        if (*t > layout->thickest) {
            layout->thickest = *t;
            memcpy(layout->thickest_at, mesh->tape[n], sizeof layout->thickest_at);
        }
    }
    layout->blank_area = tw_sum_value(&area);
    layout->face_area = mesh->face_area;
}

/* Slope of the thickness over one flat triangle in space: Σ tₖ·n × (side opposite corner k)/2A. */
static void slope_of(const tw_layout *layout, const uint32_t corner[3], double slope[3])
{
    const tw_mesh *mesh = layout->mesh;
    double side[3][3], normal[3], turned[3], twice2;

    for (int k = 0; k < 3; k++)
        for (int c = 0; c < 3; c++)
            side[k][c] =
                mesh->position[corner[(k + 2) % 3]][c] - mesh->position[corner[(k + 1) % 3]][c];
    tw_cross(side[0], side[1], normal);
    twice2 = tw_dot(normal, normal);
    slope[0] = slope[1] = slope[2] = 0;
    for (int k = 0; k < 3; k++) {
        tw_cross(normal, side[k], turned);
        for (int c = 0; c < 3; c++)
            slope[c] += layout->thickness[corner[k]] * turned[c] / twice2;
    }
}

/* Steepest mean slope about a node; nodes with a boundary node in their ring have one-sided ones and are
 * left out. */
static void report_grade(tw_layout *layout, const bool *on_boundary)
{
    const tw_mesh *mesh = layout->mesh;
    const tw_mesh_metric *metric = mesh->metric;

    for (size_t n = 0; n < mesh->node_count; n++) {
        double mean[3] = {0, 0, 0}, slope[3], whole = 0;
        bool inner = true;
        for (size_t r = metric->ring_first[n]; r < metric->ring_first[n + 1]; r++)
            inner = inner && !on_boundary[metric->ring[r]];
        for (size_t s = metric->star_first[n]; inner && s < metric->star_first[n + 1]; s++) {
            const double area = metric->triangle_area[metric->star[s]];
            slope_of(layout, mesh->triangle[metric->star[s]], slope);
            whole += area;
            for (int c = 0; c < 3; c++)
                mean[c] += area * slope[c];
        }
        if (inner && sqrt(tw_dot(mean, mean)) / whole > layout->steepest) {
            layout->steepest = sqrt(tw_dot(mean, mean)) / whole;
            memcpy(layout->steepest_at, mesh->tape[n], sizeof layout->steepest_at);
        }
    }
}

/* Mean along the outer boundary by length on the plate. */
static void report_rim(tw_layout *layout, bool *on_boundary)
{
    const tw_mesh *mesh = layout->mesh;
    double sum = 0, length = 0;

    for (size_t s = 0; s < mesh->loop_first[1]; s++) {
        const uint32_t a = mesh->loop_node[s];
        const uint32_t b = mesh->loop_node[s + 1 < mesh->loop_first[1] ? s + 1 : 0];
        double d[3];
        for (int c = 0; c < 3; c++)
            d[c] = mesh->position[b][c] - mesh->position[a][c];
        length += sqrt(tw_dot(d, d));
        sum += sqrt(tw_dot(d, d)) * 0.5 * (layout->thickness[a] + layout->thickness[b]);
    }
    layout->rim_mean = sum / length;
    for (size_t s = 0; s < mesh->loop_first[mesh->loop_count]; s++)
        on_boundary[mesh->loop_node[s]] = true;
}

static double turn_of(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

/* Sides of the boundary that cross others, each pair once; boundaries have some hundred sides. */
static bool boundary_crosses(const tw_layout *layout)
{
    const tw_mesh *mesh = layout->mesh;

    for (size_t k = 0; k < mesh->loop_count; k++)
        for (size_t s = mesh->loop_first[k]; s < mesh->loop_first[k + 1]; s++) {
            const size_t end = mesh->loop_first[k + 1];
            const double *a = layout->blank[mesh->loop_node[s]];
            const double *b =
                layout->blank[mesh->loop_node[s + 1 < end ? s + 1 : mesh->loop_first[k]]];
            for (size_t m = 0; m <= k; m++)
                for (size_t q = mesh->loop_first[m]; q < mesh->loop_first[m + 1] && q < s; q++) {
                    const size_t last = mesh->loop_first[m + 1];
                    const double *c = layout->blank[mesh->loop_node[q]];
                    const double *d =
                        layout->blank[mesh->loop_node[q + 1 < last ? q + 1 : mesh->loop_first[m]]];
                    if (fmax(c[0], d[0]) < fmin(a[0], b[0]) ||
                        fmin(c[0], d[0]) > fmax(a[0], b[0]) || a == d || b == c || a == c || b == d)
                        continue;
                    if (turn_of(a, b, c) * turn_of(a, b, d) < 0 &&
                        turn_of(c, d, a) * turn_of(c, d, b) < 0)
                        return true;
                }
        }
    return false;
}

tw_status tw_layout_report(tw_layout *layout, const double *metal, double out_of_middle,
                           tw_error *err)
{
    const tw_mesh *mesh = layout->mesh;
    const size_t nodes = mesh->node_count;
    double(*tensor)[3] = tw_arena_array(layout->arena, nodes, sizeof *tensor);
    double *scratch = tw_arena_array(layout->arena, 2 * nodes, sizeof *scratch);
    bool *on_boundary = tw_arena_array(layout->arena, nodes, sizeof *on_boundary);
    double **const out[] = {&layout->thickness, &layout->area_ratio, &layout->stretch_most,
                            &layout->stretch_least, &layout->direction};
    tw_status status;

    for (size_t k = 0; k < sizeof out / sizeof *out; k++)
        if (!(*out[k] = tw_arena_array(layout->arena, nodes, sizeof(double))))
            tensor = NULL;
    layout->places = tw_arena_array(layout->arena, 1, sizeof *layout->places);
    if (!tensor || !scratch || !on_boundary || !layout->places)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a layout of %zu nodes", nodes);
    if (tw_mesh_overturned(mesh, layout->blank))
        return tw_fail(err, TW_ERR_UNREACHABLE, "a triangle of the layout is turned over");
    lay_over_chart(layout);
    report_strains(layout, tensor);
    report_thickness(layout, metal, out_of_middle, scratch);
    report_rim(layout, on_boundary);
    report_grade(layout, on_boundary);
    for (int c = 0; c < 2; c++) {
        layout->blank_min[c] = INFINITY;
        layout->blank_max[c] = -INFINITY;
        for (size_t n = 0; n < nodes; n++) {
            layout->blank_min[c] = fmin(layout->blank_min[c], layout->blank[n][c]);
            layout->blank_max[c] = fmax(layout->blank_max[c], layout->blank[n][c]);
        }
    }
    layout->overlaps = boundary_crosses(layout);
    status = tw_bins_fill(layout->arena, mesh, mesh->tape, &layout->places->tape, err);
    if (status == TW_OK)
        status = tw_bins_fill(layout->arena, mesh, layout->blank, &layout->places->blank, err);
    for (size_t k = 0; status == TW_OK && k < mesh->holes_filled; k++) {
        double share[3], ratio = 0;
        const size_t t = tw_bins_find(&layout->places->tape, mesh, mesh->tape, mesh->filled[k],
                                      mesh->spacing, share);
        for (int c = 0; t != SIZE_MAX && c < 3; c++)
            ratio += share[c] * layout->area_ratio[mesh->triangle[t][c]];
        layout->drilled_area += ratio * mesh->filled[k][2];
    }
    return status;
}

/* ---- points and lines ---------------------------------------------------------------------------- */

static bool carry(const tw_layout *layout, const tw_bins *bins, const double (*from)[2],
                  const double (*to)[2], const double point[2], double out[2])
{
    const tw_mesh *mesh = layout->mesh;
    double share[3];
    const size_t t = tw_bins_find(bins, mesh, from, point, mesh->spacing, share);

    if (t == SIZE_MAX)
        return false;
    for (int c = 0; c < 2; c++)
        out[c] = share[0] * to[mesh->triangle[t][0]][c] + share[1] * to[mesh->triangle[t][1]][c] +
                 share[2] * to[mesh->triangle[t][2]][c];
    return true;
}

bool tw_layout_to_blank(const tw_layout *layout, const double tape[2], double blank[2])
{
    return carry(layout, &layout->places->tape, layout->mesh->tape, layout->blank, tape, blank);
}

bool tw_layout_to_tape(const tw_layout *layout, const double blank[2], double tape[2])
{
    return carry(layout, &layout->places->blank, layout->blank, layout->mesh->tape, blank, tape);
}

size_t tw_layout_outline(const tw_layout *layout, size_t loop, double (*points)[2])
{
    const tw_mesh *mesh = layout->mesh;
    const size_t first = mesh->loop_first[loop], count = mesh->loop_first[loop + 1] - first;

    for (size_t k = 0; points && k < count; k++)
        memcpy(points[k], layout->blank[mesh->loop_node[first + k]], sizeof *points);
    return count;
}
