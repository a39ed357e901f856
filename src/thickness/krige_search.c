/*
 * krige_search.c: scale and amplitude of the process from the readings themselves.
 *
 * Likelihood: restricted (REML), of the contrasts that the trend cannot explain. With few readings
 * and up to three trend coefficients the full likelihood takes the trend's fit for certainty and
 * comes out with too small an amplitude; the restricted one is also what a flat prior on the trend
 * gives, which is how the trend counts in every variance here. With K the covariance, F the trend
 * functions, n readings and p functions:
 *
 *     −2 log L = (n − p) log 2π + log|K| + log|FᵀK⁻¹F| − log|FᵀF| + rᵀK⁻¹r,  r = y − Fβ
 *
 * Source: Harville, "Bayesian inference for variance components using only error contrasts",
 * Biometrika 61 (1974); Rasmussen & Williams, Gaussian Processes for Machine Learning (2006),
 * section 2.7 for the trend (from memory). With orthonormal F the last determinant is 1.
 *
 * Search: 9×9 nodes in the logarithms of both, over the bounds, then over the part of them that is
 * within 6 of the best (e⁻⁶: 0.25 % as likely) and one step round it, until that part fills the
 * grid; the last grid's likelihoods are the weights. Nodes under a thousandth of the best are left
 * out. The best pair is refined by halving steps. Derived here.
 *
 * Over TW_KRIGE_EXACT readings the likelihood is that of as many of them, spread by farthest-point
 * choice, and the grid is replaced by 5 points with the same means, variances and covariance
 * (Julier & Uhlmann, "New extension of the Kalman filter", 1997): each factor is 32 MB at 2,000.
 */
#include "krige_internal.h"

#include <math.h>
#include <string.h>

enum { GRID = TW_KRIGE_GRID, PASSES = 5 };
static const double worth_keeping = 6, least_weight = 1e-3, finest_step = 0.01;

tw_status tw_krige_work_new(tw_arena *arena, const tw_krige *krige, tw_krige_work *out)
{
    const size_t order = krige->order;
    out->width = tw_krige_padded(krige->basis_count + 1, 4);
    out->columns = tw_arena_array(arena, order * out->width, sizeof(double));
    out->correlation = tw_arena_array(arena, order * order, sizeof(double));
    out->scale = NAN;
    if (!out->columns || !out->correlation)
        return TW_ERR_MEMORY;
    return tw_krige_factor_new(arena, order, &out->factor);
}

static void fill_covariance(const tw_krige *krige, tw_krige_work *work, double scale,
                            double amplitude)
{
    const size_t n = krige->count, order = krige->order;
    const double sill = amplitude * amplitude;
    double *matrix = work->factor.matrix;

    if (amplitude > 0 && !(scale == work->scale)) {
        const tw_krige_points points = {krige->x, krige->y, krige->z};
        for (size_t i = 0; i < n; i++) {
            double *row = work->correlation + i * order;
            const double at[3] = {krige->x[i], krige->y[i], krige->z[i]};
            tw_krige_distances(i + 1, &points, at, matrix);
            tw_krige_matern(i + 1, matrix, scale, row);
        }
        work->scale = scale;
    }
    memset(matrix, 0, order * order * sizeof(double));
    for (size_t i = 0; i < n; i++) {
        if (amplitude > 0)
            for (size_t j = 0; j <= i; j++)
                matrix[i * order + j] = sill * work->correlation[i * order + j];
        matrix[i * order + i] += krige->variance[i];
    }
    for (size_t i = n; i < order; i++)
        matrix[i * order + i] = 1;
}

double tw_krige_likelihood(const tw_krige *krige, tw_krige_work *work, double scale,
                           double amplitude, double *information, double *beta, size_t *row)
{
    const size_t n = krige->count, p = krige->basis_count, width = work->width;
    double *columns = work->columns;

    fill_covariance(krige, work, scale, amplitude);
    const size_t done = tw_krige_factorise(&work->factor);
    if (done < krige->order) {
        *row = done;
        return -HUGE_VAL;
    }
    memset(columns, 0, krige->order * width * sizeof(double));
    for (size_t i = 0; i < n; i++) {
        columns[i * width] = krige->residual[i];
        memcpy(columns + i * width + 1, krige->basis + i * p, p * sizeof(double));
    }
    tw_krige_forward(&work->factor, columns, width);

    memset(information, 0, p * p * sizeof(double));
    memset(beta, 0, p * sizeof(double));
    double square = 0, half_log = 0;
    for (size_t i = 0; i < n; i++) {
        const double *white = columns + i * width;
        square += white[0] * white[0];
        half_log += log(work->factor.matrix[i * krige->order + i]);
        for (size_t a = 0; a < p; a++) {
            beta[a] += white[1 + a] * white[0];
            for (size_t b = 0; b <= a; b++)
                information[a * p + b] += white[1 + a] * white[1 + b];
        }
    }
    *row = 0;
    if (!tw_krige_small_factor(p, information))
        return -HUGE_VAL;
    tw_krige_small_forward(p, information, beta);
    for (size_t a = 0; a < p; a++) {
        square -= beta[a] * beta[a];
        half_log += log(information[a * p + a]);
    }
    tw_krige_small_back(p, information, beta);
    return -0.5 * ((double)(n - p) * log(2 * TW_PI) + square) - half_log;
}

/* ---- bounds ------------------------------------------------------------------------------------ */

static double distance_between(const tw_krige *krige, size_t i, size_t j)
{
    const double d[3] = {krige->x[i] - krige->x[j], krige->y[i] - krige->y[j],
                         krige->z[i] - krige->z[j]};
    return sqrt(tw_dot(d, d));
}

/* Median distance to the nearest reading at another place, and the greatest distance. `nearest` is
 * scratch. */
static void spread_of_points(const tw_krige *krige, double *nearest, double *median, double *extent)
{
    size_t found = 0;
    *extent = 0;
    for (size_t i = 0; i < krige->count; i++) {
        double least = HUGE_VAL;
        for (size_t j = 0; j < krige->count; j++) {
            const double d = distance_between(krige, i, j);
            least = d > 0 && d < least ? d : least;
            *extent = d > *extent ? d : *extent;
        }
        if (!(least < HUGE_VAL))
            continue;
        size_t at = found++;
        for (; at > 0 && nearest[at - 1] > least; at--)
            nearest[at] = nearest[at - 1];
        nearest[at] = least;
    }
    *median = found ? nearest[found / 2] : 0;
}

/* What amplitudes are measured by: scatter about the least-squares trend, not below the readings'
 * own noise nor a millionth of the largest trend coefficient, so that identical values still fit. */
static double spread_of_values(const tw_krige *krige)
{
    double square = 0, noise = 0, size = 0;
    for (size_t i = 0; i < krige->count; i++) {
        square += krige->residual[i] * krige->residual[i];
        noise += krige->variance[i];
    }
    for (size_t a = 0; a < krige->basis_count; a++)
        size = fmax(size, fabs(krige->least_squares[a]) / sqrt((double)krige->count));
    const double freedom = (double)(krige->count - krige->basis_count);
    return fmax(sqrt(square / freedom), fmax(sqrt(noise / (double)krige->count), 1e-6 * size));
}

/* ---- the readings that the likelihood is made of ---------------------------------------------- */

/* The `wanted` readings that lie farthest from each other, from the one farthest from the first
 * coordinate's least: a choice that the order of the readings does not change. */
static tw_status thin_out(tw_arena *arena, const tw_krige *krige, size_t wanted, tw_krige *out)
{
    const size_t n = krige->count, p = krige->basis_count;
    double *away = tw_arena_array(arena, n, sizeof(double));

    *out = *krige;
    out->count = wanted;
    out->order = tw_krige_padded(wanted, TW_KRIGE_PAD);
    double **arrays[] = {&out->x, &out->y, &out->z, &out->residual, &out->variance};
    for (size_t k = 0; k < sizeof arrays / sizeof arrays[0]; k++)
        if (!(*arrays[k] = tw_arena_array(arena, out->order, sizeof(double))))
            return TW_ERR_MEMORY;
    out->basis = tw_arena_array(arena, out->order * p, sizeof(double));
    if (!out->basis || !away)
        return TW_ERR_MEMORY;
    size_t next = 0;
    for (size_t i = 0; i < n; i++) {
        away[i] = HUGE_VAL;
        if (krige->x[i] < krige->x[next] ||
            (krige->x[i] == krige->x[next] && krige->y[i] < krige->y[next]))
            next = i;
    }
    for (size_t k = 0; k < wanted; k++) {
        const size_t from = next;
        out->x[k] = krige->x[from];
        out->y[k] = krige->y[from];
        out->z[k] = krige->z[from];
        out->residual[k] = krige->residual[from];
        out->variance[k] = krige->variance[from];
        memcpy(out->basis + k * p, krige->basis + from * p, p * sizeof(double));
        away[from] = -1;
        for (size_t i = 0; i < n; i++) {
            if (away[i] >= 0)
                away[i] = fmin(away[i], distance_between(krige, i, from));
            if (away[i] > away[next])
                next = i;
        }
    }
    return TW_OK;
}

/* ---- the search ---------------------------------------------------------------------------------- */

typedef struct region {
    double low[2], high[2]; /* logarithms of scale and amplitude */
} region;
typedef struct search {
    const tw_krige *krige;
    tw_krige_work work;
    double information[TW_KRIGE_BASIS * TW_KRIGE_BASIS], beta[TW_KRIGE_BASIS];
    region bounds;
    size_t nodes[2]; /* GRID, or 1 where fixed */
    double best, at[2];
    double value[TW_KRIGE_SETS];
    size_t row; /* where the last factor failed */
} search;

static double try_pair(search *s, const double at[2])
{
    size_t row = 0;
    const double value = tw_krige_likelihood(s->krige, &s->work, exp(at[0]), exp(at[1]),
                                             s->information, s->beta, &row);
    if (!(value > -HUGE_VAL))
        s->row = row;
    if (value > s->best) {
        s->best = value;
        memcpy(s->at, at, sizeof s->at);
    }
    return value;
}

static double node_at(const search *s, const region *box, int axis, size_t k)
{
    if (s->nodes[axis] == 1)
        return box->low[axis];
    return box->low[axis] +
           (box->high[axis] - box->low[axis]) * (double)k / (double)(s->nodes[axis] - 1);
}

static void try_grid(search *s, const region *box)
{
    for (size_t i = 0; i < s->nodes[0]; i++)
        for (size_t j = 0; j < s->nodes[1]; j++) {
            const double at[2] = {node_at(s, box, 0, i), node_at(s, box, 1, j)};
            s->value[i * s->nodes[1] + j] = try_pair(s, at);
        }
}

/* Shrink the box to what is worth keeping and a step round it; false when it was that already. */
static bool shrink_box(const search *s, region *box)
{
    region kept = {{s->at[0], s->at[1]}, {s->at[0], s->at[1]}};
    bool smaller = false;
    for (size_t i = 0; i < s->nodes[0]; i++)
        for (size_t j = 0; j < s->nodes[1]; j++)
            if (s->value[i * s->nodes[1] + j] > s->best - worth_keeping) {
                const double at[2] = {node_at(s, box, 0, i), node_at(s, box, 1, j)};
                for (int axis = 0; axis < 2; axis++) {
                    kept.low[axis] = fmin(kept.low[axis], at[axis]);
                    kept.high[axis] = fmax(kept.high[axis], at[axis]);
                }
            }
    for (int axis = 0; axis < 2; axis++) {
        const double width = box->high[axis] - box->low[axis], step = width / (GRID - 1);
        kept.low[axis] = fmax(kept.low[axis] - step, s->bounds.low[axis]);
        kept.high[axis] = fmin(kept.high[axis] + step, s->bounds.high[axis]);
        smaller = smaller || kept.high[axis] - kept.low[axis] < 0.6 * width;
    }
    if (smaller)
        *box = kept;
    return smaller;
}

/* Halving steps about the best pair. */
static void refine(search *s, const region *box)
{
    double step[2];
    for (int axis = 0; axis < 2; axis++)
        step[axis] = (box->high[axis] - box->low[axis]) / (2 * (GRID - 1));
    while (fmax(step[0], step[1]) > finest_step) {
        const double from[2] = {s->at[0], s->at[1]}, before = s->best;
        for (int k = 0; k < 9; k++) {
            const double sign[2] = {k % 3 - 1, k / 3 - 1};
            double at[2];
            bool moved = false;
            for (int axis = 0; axis < 2; axis++) {
                at[axis] = fmin(fmax(from[axis] + sign[axis] * step[axis], s->bounds.low[axis]),
                                s->bounds.high[axis]);
                moved = moved || at[axis] != from[axis];
            }
            if (moved && (sign[0] == 0 || s->nodes[0] > 1) && (sign[1] == 0 || s->nodes[1] > 1))
                try_pair(s, at);
        }
        if (!(s->best > before)) {
            step[0] /= 2;
            step[1] /= 2;
        }
    }
}

/* Weights of the last grid. */
static void weigh_nodes(const search *s, const region *box, tw_krige_grid *out)
{
    double greatest = -HUGE_VAL, total = 0;
    for (size_t k = 0; k < s->nodes[0] * s->nodes[1]; k++)
        greatest = fmax(greatest, s->value[k]);
    out->count = 0;
    for (size_t i = 0; i < s->nodes[0]; i++)
        for (size_t j = 0; j < s->nodes[1]; j++) {
            const double weight = exp(s->value[i * s->nodes[1] + j] - greatest);
            if (!(weight >= least_weight))
                continue;
            out->scale[out->count] = exp(node_at(s, box, 0, i));
            out->amplitude[out->count] = exp(node_at(s, box, 1, j));
            out->weight[out->count++] = weight;
            total += weight;
        }
    for (size_t k = 0; k < out->count; k++)
        out->weight[k] /= total;
}

/* The grid's means, variances and covariance kept by 1 + 2 points an axis. */
static void few_points(const search *s, tw_krige_grid *grid)
{
    double mean[2] = {0, 0}, c00 = 0, c01 = 0, c11 = 0;
    for (size_t k = 0; k < grid->count; k++) {
        mean[0] += grid->weight[k] * log(grid->scale[k]);
        mean[1] += grid->weight[k] * log(grid->amplitude[k]);
    }
    for (size_t k = 0; k < grid->count; k++) {
        const double a = log(grid->scale[k]) - mean[0], b = log(grid->amplitude[k]) - mean[1];
        c00 += grid->weight[k] * a * a;
        c01 += grid->weight[k] * a * b;
        c11 += grid->weight[k] * b * b;
    }
    const double root = sqrt(c00), slope = root > 0 ? c01 / root : 0;
    const double arm[2][2] = {{root, slope}, {0, sqrt(fmax(c11 - slope * slope, 0))}};
    size_t count = 0;
    double centre = 1;
    for (int axis = 0; axis < 2; axis++)
        for (int sign = -1; sign <= 1 && s->nodes[axis] > 1; sign += 2) {
            const double at[2] = {mean[0] + sign * sqrt(3) * arm[axis][0],
                                  mean[1] + sign * sqrt(3) * arm[axis][1]};
            grid->scale[count] = exp(at[0]);
            grid->amplitude[count] = exp(at[1]);
            grid->weight[count++] = 1.0 / 6;
            centre -= 1.0 / 6;
        }
    grid->scale[count] = exp(mean[0]);
    grid->amplitude[count] = exp(mean[1]);
    grid->weight[count++] = centre;
    grid->count = count;
}

static tw_status set_bounds(search *s, tw_arena *scratch, const tw_krige *krige,
                            const tw_krige_data *data, tw_error *err)
{
    double median, extent;
    double *nearest = tw_arena_array(scratch, krige->count, sizeof(double));
    if (!nearest)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    spread_of_points(krige, nearest, &median, &extent);
    const double spread = spread_of_values(krige);
    double low[2] = {data->scale_low > 0 ? data->scale_low : median / 2, 0.01 * spread};
    double high[2] = {data->scale_high > 0 ? data->scale_high : 2 * extent, 3 * spread};
    const double fixed[2] = {data->scale, data->amplitude};
    for (int axis = 0; axis < 2; axis++) {
        const bool given = !isnan(fixed[axis]);
        s->nodes[axis] = given ? 1 : GRID;
        if (given)
            low[axis] = high[axis] = fixed[axis];
        if (!(low[axis] > 0 && low[axis] <= high[axis]))
            return tw_fail(err, TW_ERR_DOMAIN,
                           "the %s of the thickness's waver cannot be between %g and %g mm",
                           axis ? "amplitude" : "scale", low[axis], high[axis]);
        s->bounds.low[axis] = log(low[axis]);
        s->bounds.high[axis] = log(high[axis]);
    }
    return TW_OK;
}

tw_status tw_krige_search(const tw_krige *krige, const tw_krige_data *data, tw_krige_grid *out,
                          tw_error *err)
{
    const bool all = krige->count <= TW_KRIGE_EXACT;
    tw_krige thinned = *krige;
    search s = {.krige = all ? krige : &thinned, .best = -HUGE_VAL};
    tw_arena *scratch = tw_arena_new();
    tw_status status = scratch ? set_bounds(&s, scratch, krige, data, err)
                               : tw_fail(err, TW_ERR_MEMORY, "memory ran out");

    if (status != TW_OK)
        goto done;
    if (!all)
        status = thin_out(scratch, krige, TW_KRIGE_EXACT, &thinned);
    if (status == TW_OK)
        status = tw_krige_work_new(scratch, s.krige, &s.work);
    if (status != TW_OK) {
        tw_fail(err, status, "memory ran out");
        goto done;
    }
    region box = s.bounds;
    try_grid(&s, &box);
    if (!(s.best > -HUGE_VAL)) {
        status = tw_fail(err, TW_ERR_DOMAIN,
                         "the readings lie so near each other that they cannot be told apart");
        tw_error_advise(err, NULL, "give them a surface scatter above zero");
        goto done;
    }
    for (int pass = 1; pass < PASSES && shrink_box(&s, &box); pass++)
        try_grid(&s, &box);
    weigh_nodes(&s, &box, out);
    refine(&s, &box);
    out->best_scale = exp(s.at[0]);
    out->best_amplitude = exp(s.at[1]);
    if (!all)
        few_points(&s, out);
done:
    tw_arena_free(scratch);
    return status;
}
