/*
 * solve.c: descent to least work on one mesh, by Newton's method with triangles' negative curvature
 * left out, and a line search that never lets a triangle turn over (J. Smith & S. Schaefer, "Bijective
 * parameterization with free boundaries", ACM Transactions on Graphics 34 (2015): the step stays short
 * of the first root of each triangle's area).
 *
 * Prescribed areas are kept by an augmented Lagrangian (J. Nocedal & S. J. Wright, Numerical
 * Optimization, 2nd edition, chapter 17): work + Σ λᵢcᵢ + ½ Σ (stiffness/wᵢ)cᵢ², cᵢ what the blank's
 * area about node i exceeds the wanted wᵢ by. The area is per node, as each triangle on its own would
 * leave no freedom (there are as many triangles as unknowns). Multipliers move after every full step
 * (R. A. Tapia, "Diagonalized multiplier methods", Journal of Optimization Theory and Applications 22,
 * 1977).
 */
#include "blank_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define STIFFNESS 120.0 /* of node areas against the metal's own, about 8/3 */
#define SETTLE    1e-9  /* stiffness against shifting and turning, of the mean diagonal */
#define SHORT_OF  0.8   /* of the way to the first flat triangle */
#define NEAR      1e-3  /* how well equations are solved between factors */
enum { STEPS_MAX = 80, RING_MAX = 48, INNER_MAX = 24, HALVINGS_MAX = 30 };

typedef struct work {
    tw_descent *descent;
    tw_work_kind kind;
    const tw_mesh *mesh;
    tw_system *system;
    double *weight;     /* triangle_count: area × metal */
    double (*slope)[6]; /* triangle_count */
    double (*bend)[36]; /* triangle_count */
    double (*down)[2];  /* node_count: minus the gradient */
    double (*step)[2];  /* node_count */
    double (*trial)[2]; /* node_count */
    double *wanted;     /* node_count: area in the blank; prescribed only */
    double *error;      /* node_count: relative error of the area */
    double *pressure;   /* node_count: multiplier + stiffness × error */
    double scale;       /* Σ weight */
    double merit;
} work;

/* ---- node areas -------------------------------------------------------------------------------- */

static double node_errors(const work *w, const double (*at)[2], double *error)
{
    const tw_mesh *mesh = w->mesh;
    double worst = 0;

    memset(error, 0, mesh->node_count * sizeof *error);
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const uint32_t *k = mesh->triangle[t];
        const double *a = at[k[0]], *b = at[k[1]], *c = at[k[2]];
        const double third = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 6;
        for (int n = 0; n < 3; n++)
            error[k[n]] += third;
    }
    for (size_t n = 0; n < mesh->node_count; n++) {
        error[n] = error[n] / w->wanted[n] - 1;
        worst = fmax(worst, fabs(error[n]));
    }
    return worst;
}

static double triangle_mean(const double *node, const uint32_t corner[3])
{
    return (node[corner[0]] + node[corner[1]] + node[corner[2]]) / 3;
}

static double merit_at(work *w, const double (*at)[2])
{
    const tw_mesh *mesh = w->mesh;
    tw_sum sum = {0, 0};

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const double pressure = w->wanted ? triangle_mean(w->descent->pressure, mesh->triangle[t]) *
                                                mesh->metric->triangle_area[t]
                                          : 0;
        double J[4], one;
        tw_triangle_gradient(mesh->metric->hat[t], at, mesh->triangle[t], J);
        one = tw_triangle_work(w->kind, w->weight[t], pressure, J);
        if (!(one < INFINITY))
            return INFINITY;
        tw_sum_add(&sum, one);
    }
    if (w->wanted) {
        node_errors(w, at, w->error);
        for (size_t n = 0; n < mesh->node_count; n++)
            tw_sum_add(&sum, 0.5 * STIFFNESS * w->wanted[n] * w->error[n] * w->error[n]);
    }
    return tw_sum_value(&sum);
}

/* ---- equations ----------------------------------------------------------------------------------- */

static void bend_rows(size_t first, size_t last, void *context)
{
    const work *w = context;
    const tw_mesh *mesh = w->mesh;

    for (size_t t = first; t < last; t++) {
        const double pressure = w->wanted ? triangle_mean(w->pressure, mesh->triangle[t]) *
                                                mesh->metric->triangle_area[t]
                                          : 0;
        double J[4];
        tw_triangle_gradient(mesh->metric->hat[t], w->descent->at, mesh->triangle[t], J);
        tw_triangle_bend(w->kind, w->weight[t], pressure, J, mesh->metric->hat[t], w->slope[t],
                         w->bend[t]);
    }
}

static void add_triangles(work *w)
{
    const tw_mesh *mesh = w->mesh;

    memset(w->down, 0, mesh->node_count * sizeof *w->down);
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const uint32_t *corner = mesh->triangle[t];
        const double *bend = w->bend[t];
        for (int k = 0; k < 3; k++) {
            w->down[corner[k]][0] -= w->slope[t][2 * k];
            w->down[corner[k]][1] -= w->slope[t][2 * k + 1];
            for (int l = k; l < 3; l++) {
                const double block[4] = {bend[12 * k + 2 * l], bend[12 * k + 2 * l + 1],
                                         bend[12 * k + 6 + 2 * l], bend[12 * k + 6 + 2 * l + 1]};
                tw_system_add(w->system, corner[k], corner[l], block);
            }
        }
    }
}

/* (stiffness/w)·ggᵀ of one node, g the gradient of the area about it by its ring. */
static void add_star(work *w, uint32_t node)
{
    const tw_mesh *mesh = w->mesh;
    const tw_mesh_metric *metric = mesh->metric;
    const uint32_t *ring = metric->ring + metric->ring_first[node];
    const size_t count = metric->ring_first[node + 1] - metric->ring_first[node];
    double(*at)[2] = w->descent->at;
    const double stiffness = STIFFNESS / w->wanted[node];
    double g[RING_MAX][2] = {{0}};

    assert(count <= RING_MAX);
    for (size_t s = metric->star_first[node]; s < metric->star_first[node + 1]; s++) {
        const uint32_t *corner = mesh->triangle[metric->star[s]];
        for (int k = 0; k < 3; k++) {
            const double *p = at[corner[(k + 1) % 3]], *q = at[corner[(k + 2) % 3]];
            size_t r = 0;
            while (ring[r] != corner[k])
                r++;
            g[r][0] += (p[1] - q[1]) / 6;
            g[r][1] += (q[0] - p[0]) / 6;
        }
    }
    for (size_t k = 0; k < count; k++)
        for (size_t l = k; l < count; l++) {
            const double block[4] = {stiffness * g[k][0] * g[l][0], stiffness * g[k][0] * g[l][1],
                                     stiffness * g[k][1] * g[l][0], stiffness * g[k][1] * g[l][1]};
            tw_system_add(w->system, ring[k], ring[l], block);
        }
}

static tw_status solve_step(work *w, tw_error *err)
{
    const tw_mesh *mesh = w->mesh;
    double(*right)[2] = w->down;

    tw_for_rows(mesh->triangle_count, 256, w->descent->options->threads, bend_rows, w);
    tw_system_clear(w->system);
    add_triangles(w);
    if (w->wanted)
        for (uint32_t n = 0; n < mesh->node_count; n++)
            add_star(w, n);
    tw_system_settle(w->system, SETTLE);
    if (tw_system_has_factor(w->system) &&
        tw_system_solve(w->system, right, NEAR, INNER_MAX, w->step) <= INNER_MAX)
        return TW_OK;
    /* rounding may leave a strained matrix short of positive: then it is stiffened until it is */
    for (double share = SETTLE;; share *= 1e3) {
        const tw_status status = tw_system_factor(w->system, err);
        w->descent->factorisations++;
        if (status == TW_OK)
            tw_system_solve(w->system, right, NEAR, 4, w->step);
        if (status != TW_ERR_UNREACHABLE || share > 1e-3)
            return status;
        tw_system_settle(w->system, share * 1e3);
    }
}

/* ---- steps ----------------------------------------------------------------------------------------- */

/* First share of the step at which a triangle would be flat; INFINITY when none would. */
static double first_flat(const work *w)
{
    double first = INFINITY;

    for (size_t t = 0; t < w->mesh->triangle_count; t++) {
        const uint32_t *k = w->mesh->triangle[t];
        const double *p = w->descent->at[k[0]], *q = w->descent->at[k[1]],
                     *r = w->descent->at[k[2]];
        const double *dp = w->step[k[0]], *dq = w->step[k[1]], *dr = w->step[k[2]];
        const double x1 = q[0] - p[0], y1 = q[1] - p[1], x2 = r[0] - p[0], y2 = r[1] - p[1];
        const double u1 = dq[0] - dp[0], v1 = dq[1] - dp[1];
        const double u2 = dr[0] - dp[0], v2 = dr[1] - dp[1];
        const double c = x1 * y2 - y1 * x2, a = u1 * v2 - v1 * u2;
        const double b = x1 * v2 + u1 * y2 - y1 * u2 - v1 * x2;
        const double d = b * b - 4 * a * c;
        double root;
        if (d < 0)
            continue;
        /* the form without cancellation: c > 0, so the least positive root is 2c/(−b + √d) */
        root = -b + sqrt(d);
        if (root > 0)
            first = fmin(first, 2 * c / root);
    }
    return first;
}

/* Moves to a point of less merit; *share is what was taken of the step, 0 when none helps. */
static void search_line(work *w, double slope, double *share)
{
    const size_t nodes = w->mesh->node_count;
    double s = fmin(1, SHORT_OF * first_flat(w));

    for (int halving = 0; halving < HALVINGS_MAX; halving++, s *= 0.5) {
        double merit;
        for (size_t n = 0; n < nodes; n++)
            for (int c = 0; c < 2; c++)
                w->trial[n][c] = w->descent->at[n][c] + s * w->step[n][c];
        merit = merit_at(w, w->trial);
        if (merit <= w->merit - 1e-4 * s * slope + 1e-14 * w->scale) {
            memcpy(w->descent->at, w->trial, nodes * sizeof *w->trial);
            w->merit = merit;
            *share = s;
            return;
        }
    }
    *share = 0;
}

static bool told(const tw_descent *d, double done)
{
    return !d->options->progress ||
           d->options->progress("layout", d->share_from + (d->share_to - d->share_from) * done,
                                d->options->progress_context);
}

static void move_multipliers(work *w)
{
    for (size_t n = 0; n < w->mesh->node_count; n++)
        w->descent->pressure[n] += STIFFNESS * w->error[n];
}

/* Work per area of face, (4/3)s₁s₂(ln²s₁ + …), falls again once both strains are beyond 1: from there
 * on metal runs away to nothing. */
static tw_status thins_without_end(const work *w, tw_error *err)
{
    const tw_mesh *mesh = w->mesh;
    double least = INFINITY;
    const double *where = mesh->tape[0];
    tw_status status;

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double J[4];
        tw_triangle_gradient(mesh->metric->hat[t], w->descent->at, mesh->triangle[t], J);
        if (J[0] * J[3] - J[1] * J[2] < least) {
            least = J[0] * J[3] - J[1] * J[2];
            where = mesh->tape[mesh->triangle[t][0]];
        }
    }
    status = tw_fail(err, TW_ERR_UNREACHABLE,
                     "sheet formed to this face would thin without end near [%.4g, %.4g] by tape",
                     where[0], where[1]);
    tw_error_advise(err, NULL,
                    "too deep or pointed for one sheet: give the thickness it should have");
    return status;
}

static tw_status take_steps(work *w, tw_error *err)
{
    tw_descent *d = w->descent;
    const size_t nodes = w->mesh->node_count;
    double slope = 0;

    for (int count = 0; count < STEPS_MAX; count++) {
        double share = 0;
        tw_status status;
        if (!told(d, 1 - exp(-0.2 * count)))
            return tw_fail(err, TW_ERR_INTERRUPTED, "stopped while laying out the blank");
        if (w->wanted) {
            d->ratio_error = node_errors(w, d->at, w->error);
            for (size_t n = 0; n < nodes; n++)
                w->pressure[n] = d->pressure[n] + STIFFNESS * w->error[n];
        }
        w->merit = merit_at(w, d->at);
        status = solve_step(w, err);
        if (status != TW_OK)
            return status;
        slope = 0;
        for (size_t n = 0; n < nodes; n++)
            slope += w->down[n][0] * w->step[n][0] + w->down[n][1] * w->step[n][1];
        d->steps++;
        if (slope <= d->work_within * w->scale && (!w->wanted || d->ratio_error <= d->ratio_within))
            return TW_OK;
        search_line(w, slope, &share);
        if (w->wanted) {
            d->ratio_error = node_errors(w, d->at, w->error);
            if (share > 0.99 || share == 0)
                move_multipliers(w);
        } else if (share == 0) {
            return TW_OK; /* rounding: nothing less can be told apart */
        }
    }
    if (w->wanted && d->ratio_error <= 2 * d->ratio_within)
        return TW_OK;
    if (!w->wanted && slope <= 1e-6 * w->scale)
        return TW_OK;
    if (!w->wanted)
        return thins_without_end(w, err);
    return tw_fail(err, TW_ERR_UNREACHABLE, "no layout keeps the areas: %.2g %% are left over",
                   100 * d->ratio_error);
}

tw_status tw_descend(tw_descent *descent, tw_work_kind kind, tw_error *err)
{
    const tw_mesh *mesh = descent->mesh;
    const size_t nodes = mesh->node_count, triangles = mesh->triangle_count;
    const bool prescribed = kind == TW_WORK_PRESCRIBED;
    tw_arena *arena = tw_arena_new();
    work w = {.descent = descent, .kind = kind, .mesh = mesh};
    tw_status status;

    if (!arena)
        goto memory;
    w.weight = tw_arena_array(arena, triangles, sizeof *w.weight);
    w.slope = tw_arena_array(arena, triangles, sizeof *w.slope);
    w.bend = tw_arena_array(arena, triangles, sizeof *w.bend);
    w.down = tw_arena_array(arena, nodes, sizeof *w.down);
    w.step = tw_arena_array(arena, nodes, sizeof *w.step);
    w.trial = tw_arena_array(arena, nodes, sizeof *w.trial);
    w.error = tw_arena_array(arena, nodes, sizeof *w.error);
    w.pressure = tw_arena_array(arena, nodes, sizeof *w.pressure);
    if (prescribed)
        w.wanted = tw_arena_array(arena, nodes, sizeof *w.wanted);
    if (!w.weight || !w.slope || !w.bend || !w.down || !w.step || !w.trial || !w.error ||
        !w.pressure || (prescribed && !w.wanted))
        goto memory;
    for (size_t t = 0; t < triangles; t++) {
        w.weight[t] = mesh->metric->triangle_area[t];
        if (prescribed)
            w.weight[t] *= triangle_mean(descent->metal, mesh->triangle[t]);
        w.scale += w.weight[t];
    }
    if (prescribed)
        tw_node_integrals(mesh, descent->metal, w.wanted);
    status = tw_system_new(mesh, prescribed, &w.system, err);
    if (status == TW_OK)
        status = take_steps(&w, err);
    tw_system_free(w.system);
    tw_arena_free(arena);
    return status;
memory:
    tw_arena_free(arena);
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a layout of %zu nodes", nodes);
}
