/*
 * krige_extend.c: leave-one-out errors from the factors, and one more reading of unknown value.
 *
 * Leaving reading i out, in closed form: with P = K⁻¹ − K⁻¹F(FᵀK⁻¹F)⁻¹FᵀK⁻¹, error = (Py)_i/P_ii and
 * its variance 1/P_ii. Source: Dubrule, "Cross validation of kriging in a unique neighborhood",
 * Mathematical Geology 15 (1983). Weights of the parameter sets are those of all readings.
 *
 * Extending: K grows by a row [kᵀ c], L by [lᵀ d] with l = L⁻¹k and d² = c − lᵀl, L⁻¹ by
 * [−lᵀL⁻¹/d, 1/d], Z by (q − lᵀZ)/d (bordering, derived here). The new reading is given the value
 * that each set predicts for it, which leaves α, β and every mean as they were.
 */
#include "krige_internal.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <string.h>

/* P_ii of every reading; `column` is scratch of basis_count·order. NaN where the reading alone
 * settles a trend coefficient. */
static void projection_diagonal(const tw_krige *krige, const tw_krige_set *set, double *column,
                                double *out)
{
    const size_t n = krige->count, order = krige->order, p = krige->basis_count;
    memset(column, 0, p * order * sizeof(double));
    memset(out, 0, n * sizeof(double));
    for (size_t i = 0; i < n; i++) {
        const double *row = set->inverse + i * order;
        for (size_t j = 0; j <= i; j++)
            out[j] += row[j] * row[j];
        for (size_t a = 0; a < p; a++)
            for (size_t j = 0; j <= i; j++)
                column[a * order + j] += set->whitened[i * p + a] * row[j];
    }
    for (size_t j = 0; j < n; j++) {
        double g[TW_KRIGE_BASIS], taken = 0;
        for (size_t a = 0; a < p; a++)
            g[a] = column[a * order + j];
        tw_krige_small_forward(p, set->information, g);
        for (size_t a = 0; a < p; a++)
            taken += g[a] * g[a];
        out[j] = out[j] - taken > 1e-10 * out[j] ? out[j] - taken : NAN;
    }
}

tw_status tw_krige_leave_one_out(const tw_krige *krige, double *error, double *sd, tw_error *err)
{
    assert(krige);
    const size_t n = krige->count;
    tw_arena *scratch = tw_arena_new();
    double *work =
        scratch ? tw_arena_array(scratch, 3 * n + krige->basis_count * krige->order, sizeof(double))
                : NULL;
    if (!work) {
        tw_arena_free(scratch);
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    }
    double *mean = work, *square = mean + n, *diagonal = square + n, *column = diagonal + n;
    for (size_t k = 0; k < krige->set_count; k++) {
        const tw_krige_set *set = &krige->sets[k];
        projection_diagonal(krige, set, column, diagonal);
        for (size_t i = 0; i < n; i++) {
            const double off = set->alpha[i] / diagonal[i];
            mean[i] += set->weight * off;
            square[i] += set->weight * (krige->widened / diagonal[i] + off * off);
        }
    }
    for (size_t i = 0; i < n; i++) {
        if (error)
            error[i] = mean[i];
        if (sd)
            sd[i] = sqrt(square[i] - mean[i] * mean[i]);
    }
    tw_arena_free(scratch);
    return TW_OK;
}

/* Row and pad of one set's factors; `k` holds the covariances with the readings (order of the old). */
static bool extend_set(const tw_krige *old, const tw_krige_set *from, const tw_krige *krige,
                       const double *k, double own, const double *q, tw_krige_set *to)
{
    const size_t n = old->count, order = krige->order, p = krige->basis_count;
    double *last = to->inverse + n * order, *whitened = to->whitened + n * p;
    double square = 0;

    memcpy(to->alpha, from->alpha, n * sizeof(double));
    memcpy(to->whitened, from->whitened, n * p * sizeof(double));
    memcpy(to->beta, from->beta, p * sizeof(double));
    memcpy(whitened, q, p * sizeof(double));
    for (size_t i = 0; i < n; i++) {
        const double *row = from->inverse + i * old->order;
        double white = 0;
        memcpy(to->inverse + i * order, row, (i + 1) * sizeof(double));
        for (size_t j = 0; j <= i; j++)
            white += row[j] * k[j];
        square += white * white;
        for (size_t j = 0; j <= i; j++)
            last[j] -= white * row[j];
        for (size_t a = 0; a < p; a++)
            whitened[a] -= white * from->whitened[i * p + a];
    }
    const double pivot2 = own - square;
    if (!(pivot2 > 256 * DBL_EPSILON * own))
        return false;
    const double pivot = sqrt(pivot2);
    last[n] = 1;
    for (size_t j = 0; j <= n; j++)
        last[j] /= pivot;
    for (size_t i = n + 1; i < order; i++)
        to->inverse[i * order + i] = 1;
    for (size_t a = 0; a < p; a++)
        whitened[a] /= pivot;
    for (size_t a = 0; a < p; a++)
        for (size_t b = 0; b <= a; b++)
            for (size_t i = 0; i <= n; i++)
                to->information[a * p + b] += to->whitened[i * p + a] * to->whitened[i * p + b];
    return tw_krige_small_factor(p, to->information);
}

static void copy_process(const tw_krige *old, tw_krige *krige)
{
    const size_t n = old->count;
    memcpy(krige->x, old->x, n * sizeof(double));
    memcpy(krige->y, old->y, n * sizeof(double));
    memcpy(krige->z, old->z, n * sizeof(double));
    memcpy(krige->residual, old->residual, n * sizeof(double));
    memcpy(krige->variance, old->variance, n * sizeof(double));
    memcpy(krige->basis, old->basis, n * old->basis_count * sizeof(double));
    memcpy(krige->to_orthonormal, old->to_orthonormal, sizeof old->to_orthonormal);
    memcpy(krige->least_squares, old->least_squares, sizeof old->least_squares);
    krige->surface2 = old->surface2;
    krige->widened = old->widened;
    krige->summary = old->summary;
}

static tw_status extend_sets(const tw_krige *old, tw_krige *krige, const double *q, tw_error *err)
{
    const size_t n = old->count;
    const double at[3] = {krige->x[n], krige->y[n], krige->z[n]};
    const tw_krige_points points = {old->x, old->y, old->z};
    double *distance = tw_arena_array(krige->arena, 2 * n, sizeof(double)), *k;

    krige->sets = tw_arena_array(krige->arena, old->set_count, sizeof *krige->sets);
    if (!distance || !krige->sets)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    k = distance + n;
    krige->set_count = old->set_count;
    tw_krige_distances(n, &points, at, distance);
    for (size_t s = 0; s < old->set_count; s++) {
        const tw_krige_set *from = &old->sets[s];
        tw_krige_set *to = &krige->sets[s];
        const double sill = from->amplitude * from->amplitude;
        *to = (tw_krige_set){
            .scale = from->scale, .amplitude = from->amplitude, .weight = from->weight};
        if (tw_krige_take_set(krige->arena, krige->order, krige->basis_count, to) != TW_OK)
            return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
        if (sill > 0)
            tw_krige_matern(n, distance, from->scale, k);
        for (size_t i = 0; i < n; i++)
            k[i] = sill > 0 ? sill * k[i] : 0;
        if (!extend_set(old, from, krige, k, sill + krige->variance[n], q, to)) {
            tw_fail(err, TW_ERR_DOMAIN,
                    "the new place lies so near a reading that it tells nothing new");
            tw_error_advise(err, NULL, "give a surface scatter above zero");
            return TW_ERR_DOMAIN;
        }
    }
    return TW_OK;
}

tw_status tw_krige_extend(const tw_krige *krige, const double position[3], const double *basis,
                          double noise, tw_krige **out, tw_error *err)
{
    assert(krige && position && basis && out && noise >= 0);
    const size_t n = krige->count, p = krige->basis_count;
    double q[TW_KRIGE_BASIS];

    if (n + 1 > TW_READINGS_MAX)
        return tw_fail(err, TW_ERR_LIMIT, "there are %d readings already", TW_READINGS_MAX);
    tw_krige *larger = tw_krige_empty(n + 1, p);
    if (!larger)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    copy_process(krige, larger);
    larger->x[n] = position[0];
    larger->y[n] = position[1];
    larger->z[n] = position[2];
    larger->variance[n] = noise * noise + krige->surface2;
    if (krige->summary.trend_only) /* the floor of krige_fit.c */
        larger->variance[n] = fmax(larger->variance[n], 1e-12);
    tw_krige_orthonormal(krige, basis, q);
    memcpy(larger->basis + n * p, q, p * sizeof(double));
    const tw_status status = extend_sets(krige, larger, q, err);
    if (status == TW_OK)
        *out = larger;
    else
        tw_krige_free(larger);
    return status;
}
