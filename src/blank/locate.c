/*
 * locate.c: which triangle a point lies in, by square bins that list the triangles whose boxes meet
 * them. Serves carrying a layout to a finer mesh, points of plate and blank both ways, and thickness
 * anywhere.
 */
#include "blank_internal.h"

#include <math.h>
#include <string.h>

static size_t bin_of(double value, double low, double side, size_t count)
{
    const double at = floor((value - low) / side);

    return at <= 0 ? 0 : at >= (double)(count - 1) ? count - 1 : (size_t)at;
}

typedef struct box {
    size_t c0, c1, r0, r1;
} box;

static box box_of(const tw_bins *bins, const tw_mesh *mesh, const double (*at)[2], size_t triangle)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};

    for (int k = 0; k < 3; k++)
        for (int c = 0; c < 2; c++) {
            low[c] = fmin(low[c], at[mesh->triangle[triangle][k]][c]);
            high[c] = fmax(high[c], at[mesh->triangle[triangle][k]][c]);
        }
    return (box){bin_of(low[0], bins->low[0], bins->side, bins->columns),
                 bin_of(high[0], bins->low[0], bins->side, bins->columns),
                 bin_of(low[1], bins->low[1], bins->side, bins->rows),
                 bin_of(high[1], bins->low[1], bins->side, bins->rows)};
}

tw_status tw_bins_fill(tw_arena *arena, const tw_mesh *mesh, const double (*at)[2], tw_bins *bins,
                       tw_error *err)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    size_t count, *filled;

    for (size_t n = 0; n < mesh->node_count; n++)
        for (int c = 0; c < 2; c++) {
            low[c] = fmin(low[c], at[n][c]);
            high[c] = fmax(high[c], at[n][c]);
        }
    memcpy(bins->low, low, sizeof low);
    /* about two triangles a bin */
    bins->side =
        sqrt((high[0] - low[0]) * (high[1] - low[1]) / (0.5 * (double)mesh->triangle_count));
    bins->columns = (size_t)((high[0] - low[0]) / bins->side) + 1;
    bins->rows = (size_t)((high[1] - low[1]) / bins->side) + 1;
    count = bins->columns * bins->rows;
    bins->first = tw_arena_array(arena, count + 1, sizeof *bins->first);
    filled = tw_arena_array(arena, count, sizeof *filled);
    if (!bins->first || !filled)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for finding points");
    for (int pass = 0; pass < 2; pass++) {
        for (size_t t = 0; t < mesh->triangle_count; t++) {
            const box b = box_of(bins, mesh, at, t);
            for (size_t r = b.r0; r <= b.r1; r++)
                for (size_t c = b.c0; c <= b.c1; c++) {
                    const size_t bin = r * bins->columns + c;
                    if (pass == 0)
                        bins->first[bin + 1]++;
                    else
                        bins->triangle[bins->first[bin] + filled[bin]++] = (uint32_t)t;
                }
        }
        if (pass == 0) {
            for (size_t k = 0; k < count; k++)
                bins->first[k + 1] += bins->first[k];
            bins->triangle = tw_arena_array(arena, bins->first[count], sizeof *bins->triangle);
            if (!bins->triangle)
                return tw_fail(err, TW_ERR_MEMORY, "no memory for finding points");
        }
    }
    return TW_OK;
}

static void shares_of(const double a[2], const double b[2], const double c[2], const double p[2],
                      double share[3])
{
    const double whole = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

    share[1] = ((p[0] - a[0]) * (c[1] - a[1]) - (p[1] - a[1]) * (c[0] - a[0])) / whole;
    share[2] = ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / whole;
    share[0] = 1 - share[1] - share[2];
}

/* Square of the distance of a point from a side; `along` is where on it, 0…1. */
static double side_distance2(const double a[2], const double b[2], const double p[2], double *along)
{
    const double x = b[0] - a[0], y = b[1] - a[1];
    const double t = fmin(fmax(((p[0] - a[0]) * x + (p[1] - a[1]) * y) / (x * x + y * y), 0), 1);
    const double dx = p[0] - a[0] - t * x, dy = p[1] - a[1] - t * y;

    *along = t;
    return dx * dx + dy * dy;
}

size_t tw_bins_find(const tw_bins *bins, const tw_mesh *mesh, const double (*at)[2],
                    const double point[2], double reach, double share[3])
{
    const size_t c0 = bin_of(point[0] - reach, bins->low[0], bins->side, bins->columns);
    const size_t c1 = bin_of(point[0] + reach, bins->low[0], bins->side, bins->columns);
    const size_t r0 = bin_of(point[1] - reach, bins->low[1], bins->side, bins->rows);
    const size_t r1 = bin_of(point[1] + reach, bins->low[1], bins->side, bins->rows);
    const size_t home = bin_of(point[1], bins->low[1], bins->side, bins->rows) * bins->columns +
                        bin_of(point[0], bins->low[0], bins->side, bins->columns);
    double nearest = reach * reach;
    size_t which = SIZE_MAX;

    for (size_t k = bins->first[home]; k < bins->first[home + 1]; k++) {
        const uint32_t *n = mesh->triangle[bins->triangle[k]];
        shares_of(at[n[0]], at[n[1]], at[n[2]], point, share);
        if (share[0] >= -1e-12 && share[1] >= -1e-12 && share[2] >= -1e-12)
            return bins->triangle[k];
    }
    for (size_t r = r0; r <= r1; r++)
        for (size_t c = c0; c <= c1; c++) {
            const size_t bin = r * bins->columns + c;
            for (size_t k = bins->first[bin]; k < bins->first[bin + 1]; k++) {
                const uint32_t *n = mesh->triangle[bins->triangle[k]];
                for (int e = 0; e < 3; e++) {
                    double along;
                    const double d = side_distance2(at[n[e]], at[n[(e + 1) % 3]], point, &along);
                    if (d < nearest) {
                        nearest = d;
                        which = bins->triangle[k];
                    }
                }
            }
        }
    if (which != SIZE_MAX) {
        const uint32_t *n = mesh->triangle[which];
        shares_of(at[n[0]], at[n[1]], at[n[2]], point, share);
    }
    return which;
}

/* Boundaries have some hundred sides: each is asked. */
static double nearest_on_boundary(const tw_mesh *mesh, const double *value, const double tape[2])
{
    double nearest = INFINITY, found = NAN;

    for (size_t k = 0; k < mesh->loop_count; k++)
        for (size_t s = mesh->loop_first[k]; s < mesh->loop_first[k + 1]; s++) {
            const size_t next = s + 1 < mesh->loop_first[k + 1] ? s + 1 : mesh->loop_first[k];
            const uint32_t a = mesh->loop_node[s], b = mesh->loop_node[next];
            double along;
            const double d = side_distance2(mesh->tape[a], mesh->tape[b], tape, &along);
            if (d < nearest) {
                nearest = d;
                found = (1 - along) * value[a] + along * value[b];
            }
        }
    return found;
}

static bool lies_in(const tw_mesh *mesh, size_t triangle, const double tape[2], double share[3])
{
    const uint32_t *n = mesh->triangle[triangle];

    shares_of(mesh->tape[n[0]], mesh->tape[n[1]], mesh->tape[n[2]], tape, share);
    return share[0] >= 0 && share[1] >= 0 && share[2] >= 0;
}

bool tw_layout_thickness_near(const tw_layout *layout, const double tape[2], size_t *triangle,
                              double *mm)
{
    const tw_mesh *mesh = layout->mesh;
    double share[3];

    if (*triangle >= mesh->triangle_count || !lies_in(mesh, *triangle, tape, share))
        *triangle = tw_bins_find(&layout->places->tape, mesh, mesh->tape, tape, 0, share);
    if (*triangle == SIZE_MAX) {
        *mm = nearest_on_boundary(mesh, layout->thickness, tape);
        return false;
    }
    *mm = 0;
    for (int k = 0; k < 3; k++)
        *mm += share[k] * layout->thickness[mesh->triangle[*triangle][k]];
    return true;
}

bool tw_layout_thickness_at(const tw_layout *layout, const double tape[2], double *mm)
{
    size_t triangle = SIZE_MAX;

    return tw_layout_thickness_near(layout, tape, &triangle, mm);
}
