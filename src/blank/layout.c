/*
 * layout.c: layouts from coarse to fine. The coarsest mesh starts from the tape chart, in which no
 * triangle is turned over; each finer one starts from the one before, carried over by the quadratic
 * that node gradients give.
 */
#include "blank_internal.h"

#include <math.h>
#include <string.h>

#define RATIO_WITHIN 0.8e-3 /* of a node's wanted area */
enum { LEVELS_MAX = 4, COARSEST = 700 };

/* What a layout is asked for. */
typedef struct order {
    const tw_form *form;
    const tw_layout_options *options;
    double out_of_middle; /* the form's face lies this share of the thickness outside the middle */
    tw_thickness_at thickness; /* NULL: as formed */
    void *context;
} order;

static double order_offset(const double tape[2], void *context)
{
    const order *o = context;
    const double thickness =
        o->thickness ? o->thickness(tape[0], tape[1], o->context) : o->options->stock;

    return thickness > 0 && thickness < INFINITY ? -o->out_of_middle * thickness : NAN;
}

/* A level of the way from coarse to fine. */
typedef struct level {
    tw_mesh *mesh;
    double (*at)[2]; /* in the mesh's arena, as all here */
    double *metal;   /* volume per area of the middle / stock; NULL for as formed */
    double *pressure;
} level;

static void level_free(level *one)
{
    tw_mesh_free(one->mesh);
    memset(one, 0, sizeof *one);
}

/* Volume of metal t about its middle is t + Kt³/12 per area of the middle (derived from the volume
 * between two parallel faces, 1 + 2Hs + Ks² integrated over s from −t/2 to t/2). */
static tw_status level_build(const order *o, size_t nodes, level *out, tw_error *err)
{
    tw_mesh *mesh = NULL;
    tw_status status = tw_mesh_build_off(o->form, nodes, order_offset, (void *)(uintptr_t)o,
                                         o->options->threads, &mesh, err);

    if (status != TW_OK)
        return status;
    out->mesh = mesh;
    out->at = tw_arena_array(mesh->arena, mesh->node_count, sizeof *out->at);
    out->pressure = tw_arena_array(mesh->arena, mesh->node_count, sizeof *out->pressure);
    if (o->thickness)
        out->metal = tw_arena_array(mesh->arena, mesh->node_count, sizeof *out->metal);
    if (!out->at || !out->pressure || (o->thickness && !out->metal)) {
        level_free(out);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a layout of %zu nodes", nodes);
    }
    for (size_t n = 0; o->thickness && n < mesh->node_count; n++) {
        const double t = o->thickness(mesh->tape[n][0], mesh->tape[n][1], o->context);
        out->metal[n] = (t + mesh->gauss_curvature[n] * t * t * t / 12) / o->options->stock;
    }
    return TW_OK;
}

/* ---- from coarse to fine ------------------------------------------------------------------------ */

/* Gradient by tape coordinates at each node of values x, y: mean of its triangles, by area. */
static void node_gradients(const level *one, double (*gradient)[4])
{
    const tw_mesh *mesh = one->mesh;

    for (size_t n = 0; n < mesh->node_count; n++) {
        const tw_mesh_metric *metric = mesh->metric;
        double whole = 0;
        memset(gradient[n], 0, sizeof gradient[n]);
        for (size_t s = metric->star_first[n]; s < metric->star_first[n + 1]; s++) {
            const uint32_t *k = mesh->triangle[metric->star[s]];
            const double *a = mesh->tape[k[0]], *b = mesh->tape[k[1]], *c = mesh->tape[k[2]];
            const double x1 = b[0] - a[0], y1 = b[1] - a[1], x2 = c[0] - a[0], y2 = c[1] - a[1];
            whole += x1 * y2 - y1 * x2;
            for (int v = 0; v < 2; v++) {
                const double f1 = one->at[k[1]][v] - one->at[k[0]][v];
                const double f2 = one->at[k[2]][v] - one->at[k[0]][v];
                gradient[n][2 * v] += f1 * y2 - f2 * y1;
                gradient[n][2 * v + 1] += f2 * x1 - f1 * x2;
            }
        }
        for (int v = 0; v < 4; v++)
            gradient[n][v] /= whole;
    }
}

/* Σ shareₖ·(xₖ + ½ gradientₖ·(p − pₖ)) is exact for quadratics. */
static tw_status carry_over(const level *coarse, level *fine, tw_error *err)
{
    const tw_mesh *from = coarse->mesh, *to = fine->mesh;
    tw_arena *arena = tw_arena_new();
    double(*gradient)[4] = arena ? tw_arena_array(arena, from->node_count, sizeof *gradient) : NULL;
    tw_bins bins;
    tw_status status;

    if (!gradient) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a finer layout");
    }
    status = tw_bins_fill(arena, from, from->tape, &bins, err);
    node_gradients(coarse, gradient);
    for (size_t n = 0; status == TW_OK && n < to->node_count; n++) {
        const double *p = to->tape[n];
        double share[3];
        const size_t t = tw_bins_find(&bins, from, from->tape, p, 4 * from->spacing, share);
        memcpy(fine->at[n], p, sizeof fine->at[n]);
        if (t == SIZE_MAX) /* metal that the coarse mesh did not have */
            continue;
        fine->at[n][0] = fine->at[n][1] = 0;
        for (int k = 0; k < 3; k++) {
            const uint32_t corner = from->triangle[t][k];
            const double dx = p[0] - from->tape[corner][0], dy = p[1] - from->tape[corner][1];
            for (int c = 0; c < 2; c++)
                fine->at[n][c] +=
                    share[k] * (coarse->at[corner][c] + 0.5 * (gradient[corner][2 * c] * dx +
                                                               gradient[corner][2 * c + 1] * dy));
            fine->pressure[n] += share[k] * coarse->pressure[corner];
        }
    }
    tw_arena_free(arena);
    return status;
}

/* From the tape chart: to least work with even weights, which keeps triangles from turning over. */
static tw_status start_from_chart(const order *o, level *one, tw_descent *descent, tw_error *err)
{
    const tw_mesh *mesh = one->mesh;
    double metal = 0;
    tw_status status;

    memcpy(one->at, mesh->tape, mesh->node_count * sizeof *one->at);
    memset(one->pressure, 0, mesh->node_count * sizeof *one->pressure);
    descent->work_within = 1e-5;
    status = tw_descend(descent, TW_WORK_EVEN, err);
    if (status != TW_OK || !o->thickness)
        return status;
    for (size_t n = 0; n < mesh->node_count; n++)
        metal += one->metal[n] * mesh->area[n] / mesh->face_area;
    for (size_t n = 0; n < mesh->node_count; n++)
        for (int c = 0; c < 2; c++)
            one->at[n][c] *= sqrt(metal);
    return TW_OK;
}

static tw_status settle_level(const order *o, const level *coarse, level *one, bool finest,
                              double share_from, double share_to, tw_layout *out, tw_error *err)
{
    tw_descent descent = {.mesh = one->mesh,
                          .options = o->options,
                          .share_from = share_from,
                          .share_to = share_to,
                          .metal = one->metal,
                          .at = one->at,
                          .pressure = one->pressure,
                          .ratio_within = finest ? RATIO_WITHIN : 5 * RATIO_WITHIN};
    tw_status status = coarse->mesh ? carry_over(coarse, one, err) : TW_OK;

    if (status == TW_OK && (!coarse->mesh || tw_mesh_overturned(one->mesh, one->at))) {
        descent.share_to = 0.5 * (share_from + share_to);
        status = start_from_chart(o, one, &descent, err);
        descent.share_from = descent.share_to;
        descent.share_to = share_to;
    }
    descent.work_within = finest ? 1e-11 : 1e-8;
    if (o->thickness)
        descent.work_within = finest ? 1e-8 : 1e-7;
    if (status == TW_OK)
        status = tw_descend(&descent, o->thickness ? TW_WORK_PRESCRIBED : TW_WORK_FREE, err);
    out->steps += descent.steps;
    out->factorisations += descent.factorisations;
    out->ratio_error = descent.ratio_error;
    return status;
}

static tw_status lay_out(const order *o, tw_layout **out, tw_error *err)
{
    const size_t nodes = o->options->nodes ? o->options->nodes : TW_MESH_NODES_USUAL;
    tw_arena *arena = tw_arena_new();
    tw_layout *layout = arena ? tw_arena_array(arena, 1, sizeof *layout) : NULL;
    level coarse = {0}, fine = {0};
    tw_status status = TW_OK;
    double done = 0;
    int levels = 1;

    if (!layout) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a layout");
    }
    layout->arena = arena;
    while (levels < LEVELS_MAX && (nodes >> (2 * levels)) >= COARSEST)
        levels++;
    while (status == TW_OK && levels-- > 0) {
        const double share_to = done + (1 - done) * (levels ? 0.2 : 1);
        status = level_build(o, nodes >> (2 * levels), &fine, err);
        if (status == TW_ERR_SHAPE && levels > 0) { /* too coarse for narrow metal */
            status = TW_OK;
            continue;
        }
        if (status == TW_OK)
            status = settle_level(o, &coarse, &fine, levels == 0, done, share_to, layout, err);
        done = share_to;
        level_free(&coarse);
        coarse = fine;
        fine = (level){0};
    }
    if (status == TW_OK) {
        layout->mesh = coarse.mesh;
        layout->stock = o->options->stock;
        layout->blank = coarse.at;
        coarse.mesh = NULL;
        status =
            tw_layout_report(layout, o->thickness ? coarse.metal : NULL, o->out_of_middle, err);
    }
    tw_mesh_free(coarse.mesh);
    if (status != TW_OK) {
        tw_layout_free(layout);
        return status;
    }
    *out = layout;
    return TW_OK;
}

static tw_status take_order(order *o, tw_layout **out, tw_error *err)
{
    const tw_face_side side = tw_form_profile(o->form)->face;

    if (!(o->options->stock > 0) || !isfinite(o->options->stock))
        return tw_fail(err, TW_ERR_DOMAIN, "a sheet of %g mm has no thickness", o->options->stock);
    o->out_of_middle = side == TW_FACE_OUTSIDE ? 0.5 : side == TW_FACE_INSIDE ? -0.5 : 0;
    return lay_out(o, out, err);
}

tw_status tw_layout_as_formed(const tw_form *form, const tw_layout_options *options,
                              tw_layout **out, tw_error *err)
{
    order o = {.form = form, .options = options};

    return take_order(&o, out, err);
}

tw_status tw_layout_prescribed(const tw_form *form, tw_thickness_at thickness, void *context,
                               const tw_layout_options *options, tw_layout **out, tw_error *err)
{
    order o = {.form = form, .options = options, .thickness = thickness, .context = context};

    return take_order(&o, out, err);
}

/* ---- a map on a grid ----------------------------------------------------------------------------- */

typedef struct grid_map {
    const tw_grid *grid;
    const double *thickness;
} grid_map;

/* Bilinear over the nodes that have a thickness. */
static double map_at(double across, double up, void *context)
{
    const grid_map *map = context;
    const tw_grid *grid = map->grid;
    const double a = (across - grid->across_min) / grid->across_step;
    const double u = (up - grid->up_min) / grid->up_step;
    const double i = fmin(fmax(floor(a), 0), (double)(grid->nu - 2));
    const double j = fmin(fmax(floor(u), 0), (double)(grid->nv - 2));
    const double x = fmin(fmax(a - i, 0), 1), y = fmin(fmax(u - j, 0), 1);
    const double share[4] = {(1 - x) * (1 - y), x * (1 - y), (1 - x) * y, x * y};
    double sum = 0, whole = 0;

    for (size_t k = 0; k < 4; k++) {
        const double t = map->thickness[((size_t)j + k / 2) * grid->nu + (size_t)i + k % 2];
        if (t > 0 && t < INFINITY && share[k] > 0) {
            sum += share[k] * t;
            whole += share[k];
        }
    }
    return whole > 0 ? sum / whole : NAN;
}

tw_status tw_layout_from_map(const tw_form *form, const tw_grid *grid, const double *thickness,
                             const tw_layout_options *options, tw_layout **out, tw_error *err)
{
    grid_map map = {grid, thickness};

    return tw_layout_prescribed(form, map_at, &map, options, out, err);
}

void tw_layout_free(tw_layout *layout)
{
    if (!layout)
        return;
    tw_mesh_free(layout->mesh);
    tw_arena_free(layout->arena);
}
