/*
 * krige_fit.c: from readings to a fitted process: checks, trend functions, factors, extension.
 *
 * Universal kriging as generalised least squares: with K = amplitude²·R + diag(noise² + surface²),
 * β = (FᵀK⁻¹F)⁻¹FᵀK⁻¹y and α = K⁻¹(y − Fβ). Source: Cressie, Statistics for Spatial Data (1993),
 * section 3.4 (from memory). The trend functions are made orthonormal over the readings first
 * (Gram–Schmidt done twice), which centres and scales whatever the caller gave; points are carried
 * over by the same small matrix.
 *
 * Nothing is added to the diagonal to make a matrix definite: readings that need it are an error
 * that names them. The one floor is a nanometre of noise when the trend is alone.
 *
 * Trend alone: where readings scatter about it by more than their noise, χ²/(n − p) > 1, all
 * variances are widened by that ratio (Birge, "The calculation of errors by the method of least
 * squares", Physical Review 40, 1932), else five readings of a taper would pass for five good
 * readings of an even plate.
 */
#include "krige_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double noise_floor = 1e-6; /* mm, with the trend alone */
static const double least_rank = 1e-6;  /* of a trend function beside those before it */

void tw_krige_orthonormal(const tw_krige *krige, const double *basis, double *q)
{
    const size_t p = krige->basis_count;
    for (size_t b = 0; b < p; b++) {
        q[b] = 0;
        for (size_t a = 0; a < p; a++)
            q[b] += basis[a] * krige->to_orthonormal[a * p + b];
    }
}

static double column_dot(const tw_krige *krige, size_t a, size_t b)
{
    const size_t p = krige->basis_count;
    tw_sum sum = {0, 0};
    for (size_t i = 0; i < krige->count; i++)
        tw_sum_add(&sum, krige->basis[i * p + a] * krige->basis[i * p + b]);
    return tw_sum_value(&sum);
}

/* Column b of basis and of the transformation: times `factor`, less `share` of column a. */
static void combine(tw_krige *krige, size_t b, double factor, size_t a, double share)
{
    const size_t p = krige->basis_count;
    for (size_t i = 0; i < krige->count; i++)
        krige->basis[i * p + b] =
            factor * krige->basis[i * p + b] - share * krige->basis[i * p + a];
    for (size_t i = 0; i < p; i++)
        krige->to_orthonormal[i * p + b] =
            factor * krige->to_orthonormal[i * p + b] - share * krige->to_orthonormal[i * p + a];
}

static bool make_orthonormal(tw_krige *krige)
{
    const size_t p = krige->basis_count;
    for (size_t b = 0; b < p; b++) {
        krige->to_orthonormal[b * p + b] = 1;
        double size = sqrt(column_dot(krige, b, b));
        if (!(size > 0))
            return false;
        combine(krige, b, 1 / size, b, 0);
        for (int twice = 0; twice < 2; twice++) {
            for (size_t a = 0; a < b; a++)
                combine(krige, b, 1, a, column_dot(krige, a, b));
            size = sqrt(column_dot(krige, b, b));
            if (!(size > least_rank))
                return false;
            combine(krige, b, 1 / size, b, 0);
        }
    }
    return true;
}

/* ---- checks --------------------------------------------------------------------------------------- */

static tw_status check_data(const tw_krige_data *data, tw_error *err)
{
    if (data->count > TW_READINGS_MAX) {
        tw_fail(err, TW_ERR_LIMIT, "there are %zu readings", data->count);
        tw_error_advise(err, NULL, "at most %d; leave out or average neighbours", TW_READINGS_MAX);
        return TW_ERR_LIMIT;
    }
    if (data->count < data->basis_count) {
        tw_fail(err, TW_ERR_DOMAIN, "a trend of %zu functions needs as many readings, not %zu",
                data->basis_count, data->count);
        tw_error_advise(err, NULL, "use an even trend, or take more readings");
        return TW_ERR_DOMAIN;
    }
    for (size_t i = 0; i < data->count; i++) {
        const double *at = data->position[i];
        if (!isfinite(at[0] + at[1] + at[2] + data->value[i]) || !(data->noise[i] >= 0) ||
            !isfinite(data->noise[i]))
            return tw_fail(err, TW_ERR_DOMAIN,
                           "reading %zu has a place, value or noise that is no "
                           "number",
                           i + 1);
    }
    if (!(data->surface >= 0) || !isfinite(data->surface))
        return tw_fail(err, TW_ERR_DOMAIN, "the surface scatter is %g mm; it is 0 or more",
                       data->surface);
    if (!isnan(data->scale) && !(data->scale > 0 && isfinite(data->scale)))
        return tw_fail(err, TW_ERR_DOMAIN, "the scale is %g mm; it is above 0", data->scale);
    if (!isnan(data->amplitude) && !(data->amplitude >= 0 && isfinite(data->amplitude)))
        return tw_fail(err, TW_ERR_DOMAIN, "the amplitude is %g mm; it is 0 or more",
                       data->amplitude);
    return TW_OK;
}

static tw_status fail_together(size_t i, size_t j, tw_error *err)
{
    tw_fail(err, TW_ERR_DOMAIN, "readings %zu and %zu lie at one place and neither has any noise",
            i + 1, j + 1);
    tw_error_advise(err, NULL, "give the surface scatter or the instrument's resolution");
    return TW_ERR_DOMAIN;
}

/* Two readings without noise at one place; sets *one_place when all lie together. */
static tw_status check_places(const tw_krige *krige, bool *one_place, tw_error *err)
{
    *one_place = true;
    for (size_t i = 0; i < krige->count; i++) {
        for (size_t j = 0; j < i; j++) {
            const bool same = krige->x[i] == krige->x[j] && krige->y[i] == krige->y[j] &&
                              krige->z[i] == krige->z[j];
            *one_place = *one_place && same;
            if (same && !(krige->variance[i] + krige->variance[j] > 0))
                return fail_together(j, i, err);
        }
    }
    return TW_OK;
}

/* ---- making ----------------------------------------------------------------------------------------- */

static tw_status take_arrays(tw_krige *krige)
{
    double **arrays[] = {&krige->x, &krige->y, &krige->z, &krige->residual, &krige->variance};
    for (size_t k = 0; k < sizeof arrays / sizeof arrays[0]; k++)
        if (!(*arrays[k] = tw_arena_array(krige->arena, krige->order, sizeof(double))))
            return TW_ERR_MEMORY;
    krige->basis = tw_arena_array(krige->arena, krige->order * krige->basis_count, sizeof(double));
    return krige->basis ? TW_OK : TW_ERR_MEMORY;
}

tw_krige *tw_krige_empty(size_t count, size_t basis_count)
{
    tw_arena *arena = tw_arena_new();
    tw_krige *krige = arena ? tw_arena_array(arena, 1, sizeof *krige) : NULL;
    if (krige) {
        krige->arena = arena;
        krige->count = count;
        krige->order = tw_krige_padded(count, TW_KRIGE_PAD);
        krige->basis_count = basis_count;
        krige->widened = 1;
    }
    if (!krige || take_arrays(krige) != TW_OK) {
        tw_arena_free(arena);
        return NULL;
    }
    return krige;
}

static void copy_data(tw_krige *krige, const tw_krige_data *data)
{
    krige->surface2 = data->surface * data->surface;
    for (size_t i = 0; i < krige->count; i++) {
        krige->x[i] = data->position[i][0];
        krige->y[i] = data->position[i][1];
        krige->z[i] = data->position[i][2];
        krige->variance[i] = data->noise[i] * data->noise[i] + krige->surface2;
    }
    memcpy(krige->basis, data->basis, krige->count * krige->basis_count * sizeof(double));
}

static void take_off_trend(tw_krige *krige, const double *value)
{
    const size_t p = krige->basis_count;
    for (size_t a = 0; a < p; a++) {
        tw_sum sum = {0, 0};
        for (size_t i = 0; i < krige->count; i++)
            tw_sum_add(&sum, krige->basis[i * p + a] * value[i]);
        krige->least_squares[a] = tw_sum_value(&sum);
    }
    for (size_t i = 0; i < krige->count; i++) {
        krige->residual[i] = value[i];
        for (size_t a = 0; a < p; a++)
            krige->residual[i] -= krige->basis[i * p + a] * krige->least_squares[a];
    }
}

tw_status tw_krige_take_set(tw_arena *arena, size_t order, size_t p, tw_krige_set *set)
{
    set->inverse = tw_arena_array(arena, order * order, sizeof(double));
    set->alpha = tw_arena_array(arena, order, sizeof(double));
    set->whitened = tw_arena_array(arena, order * p, sizeof(double));
    set->information = tw_arena_array(arena, p * p, sizeof(double));
    set->beta = tw_arena_array(arena, p, sizeof(double));
    return set->inverse && set->alpha && set->whitened && set->information && set->beta
               ? TW_OK
               : TW_ERR_MEMORY;
}

/* Factor one pair and keep what prediction needs. */
static tw_status build_set(tw_krige *krige, tw_krige_work *work, tw_krige_set *set, tw_error *err)
{
    const size_t order = krige->order, p = krige->basis_count, width = work->width;
    size_t row = 0;

    if (tw_krige_take_set(krige->arena, order, p, set) != TW_OK)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    const double likelihood = tw_krige_likelihood(krige, work, set->scale, set->amplitude,
                                                  set->information, set->beta, &row);
    if (!(likelihood > -HUGE_VAL)) {
        tw_fail(err, TW_ERR_DOMAIN,
                "reading %zu lies so near others that it cannot be told from them", row + 1);
        tw_error_advise(err, NULL, "give a surface scatter above zero");
        return TW_ERR_DOMAIN;
    }
    tw_krige_invert(&work->factor, set->inverse);
    for (size_t i = 0; i < order; i++) {
        const double *white = work->columns + i * width, *inverse = set->inverse + i * order;
        double rest = white[0];
        for (size_t a = 0; a < p; a++) {
            set->whitened[i * p + a] = white[1 + a];
            rest -= white[1 + a] * set->beta[a];
        }
        for (size_t j = 0; j <= i; j++)
            set->alpha[j] += inverse[j] * rest;
        if (krige->summary.trend_only && krige->count > p)
            krige->widened += rest * rest; /* made a ratio by the caller */
    }
    for (size_t a = 0; a < p; a++)
        set->beta[a] += krige->least_squares[a];
    krige->summary.log_likelihood = likelihood;
    return TW_OK;
}

static tw_status build_sets(tw_krige *krige, const tw_krige_grid *grid, tw_error *err)
{
    tw_arena *scratch = tw_arena_new();
    tw_krige_work work;
    tw_status status;

    krige->sets = tw_arena_array(krige->arena, grid->count, sizeof *krige->sets);
    if (!scratch || !krige->sets || tw_krige_work_new(scratch, krige, &work) != TW_OK) {
        status = tw_fail(err, TW_ERR_MEMORY, "memory ran out");
        goto done;
    }
    status = TW_OK;
    for (size_t k = 0; k < grid->count && status == TW_OK; k++) {
        tw_krige_set *set = &krige->sets[k];
        set->scale = grid->scale[k];
        set->amplitude = grid->amplitude[k];
        set->weight = grid->weight[k];
        status = build_set(krige, &work, set, err);
    }
    krige->set_count = grid->count;
    if (status == TW_OK && grid->count > 1) {
        double information[TW_KRIGE_BASIS * TW_KRIGE_BASIS], beta[TW_KRIGE_BASIS];
        size_t row;
        krige->summary.log_likelihood = tw_krige_likelihood(
            krige, &work, grid->best_scale, grid->best_amplitude, information, beta, &row);
    }
done:
    tw_arena_free(scratch);
    return status;
}

static tw_status summarise(tw_krige *krige, const tw_krige_grid *grid, tw_error *err)
{
    const size_t n = krige->count, p = krige->basis_count;
    tw_krige_summary *summary = &krige->summary;
    double *error = tw_arena_array(krige->arena, n, sizeof(double)), square = 0;
    size_t told = 0;

    if (!error)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    summary->scale = grid->best_scale;
    summary->amplitude = grid->best_amplitude;
    for (size_t k = 0; k < krige->set_count; k++)
        for (size_t a = 0; a < p; a++)
            for (size_t b = 0; b < p; b++)
                summary->trend[a] += krige->sets[k].weight * krige->to_orthonormal[a * p + b] *
                                     krige->sets[k].beta[b];
    const tw_status status = tw_krige_leave_one_out(krige, error, NULL, err);
    for (size_t i = 0; i < n && status == TW_OK; i++)
        if (!isnan(error[i])) {
            square += error[i] * error[i];
            told++;
        }
    summary->residual_sd = told ? sqrt(square / (double)told) : NAN;
    return status;
}

tw_status tw_krige_fit(const tw_krige_data *data, tw_krige **out, tw_error *err)
{
    assert(data && out && data->count > 0);
    assert(data->basis_count > 0 && data->basis_count <= TW_KRIGE_BASIS);
    const bool free_scale = isnan(data->scale), free_amplitude = isnan(data->amplitude);
    tw_krige_grid grid = {.count = 1,
                          .scale = {data->scale},
                          .amplitude = {data->amplitude},
                          .weight = {1},
                          .best_scale = data->scale,
                          .best_amplitude = data->amplitude};
    tw_krige *krige = NULL;
    bool one_place;
    tw_status status = check_data(data, err);

    if (status != TW_OK)
        return status;
    krige = tw_krige_empty(data->count, data->basis_count);
    if (!krige)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    copy_data(krige, data);
    if (!make_orthonormal(krige)) {
        status = tw_fail(err, TW_ERR_DOMAIN,
                         "the trend cannot be told from readings at these "
                         "places: they lie on one line or at one place");
        tw_error_advise(err, NULL, "use an even trend, or read off that line too");
        goto done;
    }
    take_off_trend(krige, data->value);
    status = check_places(krige, &one_place, err);
    if (status != TW_OK)
        goto done;
    /* Without contrasts there is nothing to learn from. */
    const bool blind =
        (free_scale || free_amplitude) && (one_place || data->count == data->basis_count);
    if (data->trend_only || blind || data->amplitude == 0) {
        krige->summary.trend_only = true;
        grid.amplitude[0] = grid.best_amplitude = 0;
        for (size_t i = 0; i < krige->count; i++)
            krige->variance[i] = fmax(krige->variance[i], noise_floor * noise_floor);
        krige->widened = 0;
    } else if (free_scale || free_amplitude) {
        status = tw_krige_search(krige, data, &grid, err);
    }
    if (status == TW_OK)
        status = build_sets(krige, &grid, err);
    if (krige->summary.trend_only && krige->count > krige->basis_count)
        krige->widened /= (double)(krige->count - krige->basis_count);
    krige->widened = fmax(krige->widened, 1);
    if (status == TW_OK)
        status = summarise(krige, &grid, err);
    if (status == TW_OK) {
        *out = krige;
        krige = NULL;
    }
done:
    tw_krige_free(krige);
    return status;
}

void tw_krige_free(tw_krige *krige)
{
    if (krige)
        tw_arena_free(krige->arena);
}

tw_krige_summary tw_krige_about(const tw_krige *krige)
{
    return krige->summary;
}
