/*
 * krige_predict.c: surfaces, weighted sums, the worth of one more reading.
 *
 * Averages over parameter sets, weights w_k: mean = Σ w_k m_k, variance = Σ w_k (s_k² + (m_k − mean)²),
 * the moments of a mixture.
 *
 * A weighted sum aᵀt of N surface values needs aᵀKa over N²/2 pairs for its prior variance. That part
 * depends on the scale alone (amplitude² is a factor) and distances on neither, so each pair costs one
 * square root and at most 9 exponentials for 81 sets; nothing is approximated. The rest needs R·a
 * between readings and points, n·N pairs a scale, and then only products of order n².
 *
 * What a part b of the sum has to do with the whole a is bᵀKa less the same product of the parts' white
 * vectors, plus that of their trends; everything but the first is linear in b, so the whole's are the
 * sums of the parts' (derived here). Between parameter sets it is Σ w_k (m_k(b) − mean)(m_k(a) − mean).
 *
 * One more reading at c changes the sum's variance by −cov(sum, c)²/(var c + noise²): derived here
 * (conditioning of a Gaussian on one value). Its value is unknown, so means and weights stay.
 */
#include "krige_internal.h"

#include <assert.h>
#include <math.h>
#include <stdatomic.h>
#include <string.h>

enum { TILE = TW_KRIGE_TILE, TILES_A_BLOCK = 8, ROWS_A_BLOCK = 16 };

/* ---- points --------------------------------------------------------------------------------------- */

typedef struct points_work {
    const tw_krige *krige;
    size_t count;
    const double (*position)[3];
    const double *basis;
    double *mean, *sd;
    atomic_bool out_of_memory;
} points_work;

static void predict_tile(const points_work *work, size_t first, tw_krige_tile *tile)
{
    const tw_krige *krige = work->krige;
    const size_t count = work->count - first < TILE ? work->count - first : TILE;
    double base[TILE], shift[TILE] = {0}, square[TILE] = {0};

    tw_krige_tile_place(krige, tile, count, work->position + first,
                        work->basis + first * krige->basis_count);
    for (size_t s = 0; s < krige->set_count; s++) {
        const tw_krige_set *set = &krige->sets[s];
        tw_krige_tile_mean(krige, set, tile);
        if (s == 0)
            memcpy(base, tile->mean, sizeof base); /* differences from it keep their digits */
        if (work->sd)
            tw_krige_tile_variance(krige, set, NULL, tile);
        for (size_t k = 0; k < TILE; k++) {
            const double off = tile->mean[k] - base[k];
            shift[k] += set->weight * off;
            square[k] += set->weight * (tile->variance[k] + off * off);
        }
    }
    for (size_t k = 0; k < count; k++) {
        if (work->mean)
            work->mean[first + k] = base[k] + shift[k];
        if (work->sd)
            work->sd[first + k] = sqrt(fmax(square[k] - shift[k] * shift[k], 0));
    }
}

static void predict_tiles(size_t first, size_t last, void *context)
{
    points_work *work = context;
    tw_krige_tile *tile = tw_krige_tile_new(work->krige);
    if (!tile)
        atomic_store(&work->out_of_memory, true);
    for (size_t i = first; i < last && tile; i++)
        predict_tile(work, i * TILE, tile);
    tw_krige_tile_free(tile);
}

tw_status tw_krige_predict(const tw_krige *krige, size_t n, const double (*position)[3],
                           const double *basis, unsigned threads, double *mean, double *sd,
                           tw_error *err)
{
    assert(krige && (n == 0 || (position && basis)));
    points_work work = {krige, n, position, basis, mean, sd, false};
    tw_for_rows((n + TILE - 1) / TILE, TILES_A_BLOCK, threads, predict_tiles, &work);
    return atomic_load(&work.out_of_memory) ? tw_fail(err, TW_ERR_MEMORY, "memory ran out") : TW_OK;
}

/* ---- weighted sums ------------------------------------------------------------------------------------ */

typedef struct sum_work {
    const tw_krige *krige;
    size_t count; /* points, in whole tiles; weights beyond the last are 0 */
    double *x, *y, *z, *weight;
    double basis[TW_KRIGE_BASIS]; /* Σ weight·q */
    size_t scales;
    const double *scale;
    double *prior; /* count·scales: row i's share of aᵀRa */
    double *cross; /* scales·order: R·a at the readings */
} sum_work;

/* Σ weight·correlation over tiles [from, count) with one point, lane by lane in a fixed order. */
static void gather(const sum_work *work, size_t from, const double at[3], double *sums)
{
    double distance[TILE], value[TILE], lane[TW_KRIGE_GRID][TILE];
    memset(lane, 0, sizeof lane);
    for (size_t j = from; j < work->count; j += TILE) {
        const tw_krige_points points = {work->x + j, work->y + j, work->z + j};
        tw_krige_distances(TILE, &points, at, distance);
        for (size_t s = 0; s < work->scales; s++) {
            tw_krige_matern(TILE, distance, work->scale[s], value);
            for (size_t k = 0; k < TILE; k++)
                lane[s][k] += work->weight[j + k] * value[k];
        }
    }
    for (size_t s = 0; s < work->scales; s++) {
        sums[s] = 0;
        for (size_t k = 0; k < TILE; k++)
            sums[s] += lane[s][k];
    }
}

static void prior_rows(size_t first, size_t last, void *context)
{
    const sum_work *work = context;
    double sums[TW_KRIGE_GRID];
    for (size_t i = first; i < last; i++) {
        const double at[3] = {work->x[i], work->y[i], work->z[i]};
        const size_t tile = i / TILE * TILE;
        double distance[TILE], value[TILE];
        const tw_krige_points points = {work->x + tile, work->y + tile, work->z + tile};
        tw_krige_distances(TILE, &points, at, distance);
        /* whole tiles after this one count twice, its own tile is all pairs of it once */
        gather(work, tile + TILE, at, sums);
        for (size_t s = 0; s < work->scales; s++) {
            double own = 0;
            tw_krige_matern(TILE, distance, work->scale[s], value);
            for (size_t k = 0; k < TILE; k++)
                own += work->weight[tile + k] * value[k];
            work->prior[i * work->scales + s] = work->weight[i] * (own + 2 * sums[s]);
        }
    }
}

static void cross_rows(size_t first, size_t last, void *context)
{
    const sum_work *work = context;
    const tw_krige *krige = work->krige;
    double sums[TW_KRIGE_GRID];
    for (size_t i = first; i < last; i++) {
        const double at[3] = {krige->x[i], krige->y[i], krige->z[i]};
        gather(work, 0, at, sums);
        for (size_t s = 0; s < work->scales; s++)
            work->cross[s * krige->order + i] = sums[s];
    }
}

/* The points as separate arrays in whole tiles, and Σ weight·q. */
static tw_status take_points(tw_arena *arena, const tw_krige *krige, size_t n,
                             const double (*position)[3], const double *basis, const double *weight,
                             sum_work *work)
{
    tw_sum trend[TW_KRIGE_BASIS] = {{0, 0}};
    double q[TW_KRIGE_BASIS];

    work->krige = krige;
    work->count = tw_krige_padded(n, TILE);
    double **arrays[] = {&work->x, &work->y, &work->z, &work->weight};
    for (size_t k = 0; k < sizeof arrays / sizeof arrays[0]; k++)
        if (!(*arrays[k] = tw_arena_array(arena, work->count, sizeof(double))))
            return TW_ERR_MEMORY;
    for (size_t i = 0; i < n; i++) {
        work->x[i] = position[i][0];
        work->y[i] = position[i][1];
        work->z[i] = position[i][2];
        work->weight[i] = weight[i];
        tw_krige_orthonormal(krige, basis + i * krige->basis_count, q);
        for (size_t a = 0; a < krige->basis_count; a++)
            tw_sum_add(&trend[a], weight[i] * q[a]);
    }
    for (size_t a = 0; a < krige->basis_count; a++)
        work->basis[a] = tw_sum_value(&trend[a]);
    return TW_OK;
}

static void total_of_set(const sum_work *work, const tw_krige_set *set, double prior,
                         const double *cross, tw_krige_total *out)
{
    const tw_krige *krige = work->krige;
    const size_t order = krige->order, p = krige->basis_count;
    const double sill = set->amplitude * set->amplitude;
    tw_sum mean = {0, 0}, square = {0, 0};

    memcpy(out->trend, work->basis, sizeof out->trend);
    for (size_t a = 0; a < p; a++)
        tw_sum_add(&mean, set->beta[a] * work->basis[a]);
    for (size_t i = 0; i < order && sill > 0; i++) {
        double white = 0;
        for (size_t j = 0; j <= i; j++)
            white += set->inverse[i * order + j] * cross[j];
        out->white[i] = sill * white;
        tw_sum_add(&mean, sill * set->alpha[i] * cross[i]);
        tw_sum_add(&square, -out->white[i] * out->white[i]);
        for (size_t a = 0; a < p; a++)
            out->trend[a] -= set->whitened[i * p + a] * out->white[i];
    }
    tw_sum_add(&square, sill > 0 ? sill * prior : 0);
    tw_krige_small_forward(p, set->information, out->trend);
    out->variance = fmax(tw_sum_value(&square), 0);
    for (size_t a = 0; a < p; a++)
        out->variance += out->trend[a] * out->trend[a];
    out->variance *= krige->widened;
    out->mean = tw_sum_value(&mean);
}

/* The different scales of the sets, in their order. */
static size_t list_scales(const tw_krige *krige, double *scale)
{
    size_t count = 0;

    for (size_t s = 0; s < krige->set_count && krige->sets[s].amplitude > 0; s++)
        if (count == 0 || scale[count - 1] != krige->sets[s].scale)
            scale[count++] = krige->sets[s].scale;
    return count;
}

/* What every set says of the sum. */
static tw_status make_totals(tw_arena *arena, unsigned threads, sum_work *work,
                             tw_krige_total *totals)
{
    const tw_krige *krige = work->krige;
    double scale[TW_KRIGE_GRID] = {0}, prior[TW_KRIGE_GRID] = {0};

    work->scales = list_scales(krige, scale);
    work->scale = scale;
    work->prior = tw_arena_array(arena, work->count * work->scales, sizeof(double));
    work->cross = tw_arena_array(arena, krige->order * (work->scales + 1), sizeof(double));
    if (!work->prior || !work->cross)
        return TW_ERR_MEMORY;
    if (work->scales > 0) {
        tw_for_rows(work->count, ROWS_A_BLOCK, threads, prior_rows, work);
        tw_for_rows(krige->count, ROWS_A_BLOCK, threads, cross_rows, work);
    }
    for (size_t s = 0; s < work->scales; s++) {
        tw_sum sum = {0, 0};
        for (size_t i = 0; i < work->count; i++)
            tw_sum_add(&sum, work->prior[i * work->scales + s]);
        prior[s] = tw_sum_value(&sum);
    }
    for (size_t k = 0, s = 0; k < krige->set_count; k++) {
        const tw_krige_set *set = &krige->sets[k];
        if (k > 0 && set->scale != krige->sets[k - 1].scale && set->amplitude > 0)
            s++;
        totals[k].white = tw_arena_array(arena, krige->order, sizeof(double));
        if (!totals[k].white)
            return TW_ERR_MEMORY;
        total_of_set(work, set, prior[s], work->cross + s * krige->order, &totals[k]);
    }
    work->scale = NULL;
    return TW_OK;
}

static double averaged_mean(const tw_krige *krige, const tw_krige_total *totals, double *between)
{
    double shift = 0;
    *between = 0;
    for (size_t k = 0; k < krige->set_count; k++)
        shift += krige->sets[k].weight * (totals[k].mean - totals[0].mean);
    for (size_t k = 0; k < krige->set_count; k++) {
        const double off = totals[k].mean - totals[0].mean - shift;
        *between += krige->sets[k].weight * off * off;
    }
    return totals[0].mean + shift;
}

tw_status tw_krige_sum(const tw_krige *krige, size_t n, const double (*position)[3],
                       const double *basis, const double *weight, unsigned threads, double *sum,
                       double *sd, tw_error *err)
{
    assert(krige && position && basis && weight && n > 0);
    tw_arena *scratch = tw_arena_new();
    sum_work work = {0};
    tw_krige_total *totals =
        scratch ? tw_arena_array(scratch, krige->set_count, sizeof *totals) : NULL;
    tw_status status = TW_ERR_MEMORY;

    if (totals && take_points(scratch, krige, n, position, basis, weight, &work) == TW_OK)
        status = make_totals(scratch, threads, &work, totals);
    if (status == TW_OK) {
        double variance, mean = averaged_mean(krige, totals, &variance);
        for (size_t k = 0; k < krige->set_count; k++)
            variance += krige->sets[k].weight * totals[k].variance;
        if (sum)
            *sum = mean;
        if (sd)
            *sd = sqrt(variance);
    } else {
        tw_fail(err, status, "memory ran out");
    }
    tw_arena_free(scratch);
    return status;
}

/* ---- parts of a sum ------------------------------------------------------------------------------------ */

/* Row i of aᵀRa: its weight times all of R·a. */
static void whole_rows(size_t first, size_t last, void *context)
{
    const sum_work *work = context;
    double sums[TW_KRIGE_GRID];

    for (size_t i = first; i < last; i++) {
        const double at[3] = {work->x[i], work->y[i], work->z[i]};
        gather(work, 0, at, sums);
        for (size_t s = 0; s < work->scales; s++)
            work->prior[i * work->scales + s] = work->weight[i] * sums[s];
    }
}

/* One part with the whole under one set; prior without amplitude. */
static double set_covariance(const tw_krige *krige, const tw_krige_set *set, size_t s, double prior,
                             tw_krige_total *const *totals, size_t parts, size_t part)
{
    const tw_krige_total *own = &totals[part][s];
    const double sill = set->amplitude * set->amplitude;
    tw_sum sum = {0, 0};

    tw_sum_add(&sum, sill > 0 ? sill * prior : 0);
    for (size_t k = 0; k < parts; k++) {
        for (size_t i = 0; i < krige->order && sill > 0; i++)
            tw_sum_add(&sum, -own->white[i] * totals[k][s].white[i]);
        for (size_t a = 0; a < krige->basis_count; a++)
            tw_sum_add(&sum, own->trend[a] * totals[k][s].trend[a]);
    }
    return krige->widened * tw_sum_value(&sum);
}

static void part_covariances(const sum_work *work, tw_krige_total *const *totals, size_t parts,
                             const size_t *counts, double *covariance)
{
    const tw_krige *krige = work->krige;
    double whole_shift = 0;

    for (size_t k = 0; k < krige->set_count; k++)
        for (size_t q = 0; q < parts; q++)
            whole_shift += krige->sets[k].weight * (totals[q][k].mean - totals[q][0].mean);
    for (size_t p = 0, first = 0; p < parts; first += counts[p++]) {
        double shift = 0;
        size_t s = 0;
        covariance[p] = 0;
        for (size_t k = 0; k < krige->set_count; k++)
            shift += krige->sets[k].weight * (totals[p][k].mean - totals[p][0].mean);
        for (size_t k = 0; k < krige->set_count; k++) {
            const tw_krige_set *set = &krige->sets[k];
            tw_sum prior = {0, 0};
            double whole = -whole_shift;
            if (k > 0 && set->scale != krige->sets[k - 1].scale && set->amplitude > 0)
                s++;
            for (size_t i = first; i < first + counts[p] && work->scales > 0; i++)
                tw_sum_add(&prior, work->prior[i * work->scales + s]);
            for (size_t q = 0; q < parts; q++)
                whole += totals[q][k].mean - totals[q][0].mean;
            covariance[p] +=
                set->weight *
                (set_covariance(krige, set, k, tw_sum_value(&prior), totals, parts, p) +
                 (totals[p][k].mean - totals[p][0].mean - shift) * whole);
        }
    }
}

tw_status tw_krige_parts(const tw_krige *krige, size_t parts, const size_t *counts,
                         const double (*position)[3], const double *basis, const double *weight,
                         unsigned threads, double *covariance, tw_error *err)
{
    assert(krige && parts > 0 && counts && position && basis && weight && covariance);
    tw_arena *scratch = tw_arena_new();
    tw_krige_total **totals = scratch ? tw_arena_array(scratch, parts, sizeof *totals) : NULL;
    double scale[TW_KRIGE_GRID];
    sum_work whole = {0};
    size_t n = 0;
    tw_status status = totals ? TW_OK : TW_ERR_MEMORY;

    for (size_t p = 0; status == TW_OK && p < parts; n += counts[p++]) {
        sum_work part = {0};
        totals[p] = tw_arena_array(scratch, krige->set_count, sizeof **totals);
        status = totals[p] ? take_points(scratch, krige, counts[p], position + n,
                                         basis + n * krige->basis_count, weight + n, &part)
                           : TW_ERR_MEMORY;
        if (status == TW_OK)
            status = make_totals(scratch, threads, &part, totals[p]);
    }
    if (status == TW_OK)
        status = take_points(scratch, krige, n, position, basis, weight, &whole);
    if (status == TW_OK) {
        whole.scale = scale;
        whole.scales = list_scales(krige, scale);
        whole.prior = tw_arena_array(scratch, whole.count * whole.scales, sizeof(double));
        status = whole.prior ? TW_OK : TW_ERR_MEMORY;
    }
    if (status == TW_OK) {
        if (whole.scales > 0)
            tw_for_rows(whole.count, ROWS_A_BLOCK, threads, whole_rows, &whole);
        part_covariances(&whole, totals, parts, counts, covariance);
    } else {
        tw_fail(err, status, "memory ran out");
    }
    tw_arena_free(scratch);
    return status;
}

/* ---- one more reading ---------------------------------------------------------------------------------- */

/* Covariance between the sum and each point of a tile, its prior part: amplitude²·Σ weight·R. */
static void prior_covariance(const sum_work *work, const tw_krige_tile *tile, double scale,
                             double *out)
{
    const tw_krige_points points = {tile->x, tile->y, tile->z};
    double distance[TILE], value[TILE];
    memset(out, 0, TILE * sizeof(double));
    for (size_t j = 0; j < work->count; j++) {
        const double at[3] = {work->x[j], work->y[j], work->z[j]};
        if (work->weight[j] == 0)
            continue;
        tw_krige_distances(TILE, &points, at, distance);
        tw_krige_matern(TILE, distance, scale, value);
        for (size_t k = 0; k < TILE; k++)
            out[k] += work->weight[j] * value[k];
    }
}

static void gain_of_tile(const sum_work *work, const tw_krige_total *totals, double between,
                         double noise2, tw_krige_tile *tile, double *left)
{
    const tw_krige *krige = work->krige;
    double prior[TILE] = {0}, scale = NAN;

    for (size_t k = 0; k < tile->count; k++)
        left[k] = between;
    for (size_t s = 0; s < krige->set_count; s++) {
        const tw_krige_set *set = &krige->sets[s];
        const double sill = set->amplitude * set->amplitude;
        if (sill > 0 && set->scale != scale)
            prior_covariance(work, tile, set->scale, prior);
        scale = set->scale;
        tw_krige_tile_mean(krige, set, tile);
        tw_krige_tile_variance(krige, set, &totals[s], tile);
        for (size_t k = 0; k < tile->count; k++) {
            const double covariance = sill * prior[k] * krige->widened + tile->covariance[k];
            const double reading = tile->variance[k] + noise2 * krige->widened;
            const double taken = reading > 0 ? covariance * covariance / reading : 0;
            left[k] += set->weight * fmax(totals[s].variance - taken, 0);
        }
    }
}

tw_status tw_krige_gain(const tw_krige *krige, size_t n, const double (*position)[3],
                        const double *basis, const double *weight, size_t candidates,
                        const double (*candidate)[3], const double *candidate_basis, double noise,
                        double *left, tw_error *err)
{
    assert(krige && position && basis && weight && n > 0 && left);
    tw_arena *scratch = tw_arena_new();
    tw_krige_tile *tile = tw_krige_tile_new(krige);
    sum_work work = {0};
    tw_krige_total *totals =
        scratch ? tw_arena_array(scratch, krige->set_count, sizeof *totals) : NULL;
    tw_status status = TW_ERR_MEMORY;

    if (totals && tile && take_points(scratch, krige, n, position, basis, weight, &work) == TW_OK)
        status = make_totals(scratch, 0, &work, totals);
    if (status == TW_OK) {
        double between;
        averaged_mean(krige, totals, &between);
        for (size_t first = 0; first < candidates; first += TILE) {
            const size_t count = candidates - first < TILE ? candidates - first : TILE;
            tw_krige_tile_place(krige, tile, count, candidate + first,
                                candidate_basis + first * krige->basis_count);
            gain_of_tile(&work, totals, between, noise * noise + krige->surface2, tile,
                         left + first);
        }
    } else {
        tw_fail(err, status, "memory ran out");
    }
    tw_krige_tile_free(tile);
    tw_arena_free(scratch);
    return status;
}
