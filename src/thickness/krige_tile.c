/*
 * krige_tile.c: means and variances of 64 points at once.
 *
 * With k the covariances between readings and a point, L the factor of K, Z = L⁻¹Q, v = L⁻¹k, q the
 * trend functions at the point and B the factor of ZᵀZ:
 *
 *     mean = qᵀβ + kᵀα,   variance = amplitude² − vᵀv + |B⁻¹(q − Zᵀv)|²
 *
 * Source: Cressie, Statistics for Spatial Data (1993), section 3.4 (from memory). L⁻¹ is kept as a
 * matrix so that v is a product: four of its rows against 64 points stay in cache, are squared and
 * forgotten. Its error is that of L's condition times rounding, as with solving.
 */
#include "krige_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TILE = TW_KRIGE_TILE, BASIS = TW_KRIGE_BASIS, STRIP = 4 };

tw_krige_tile *tw_krige_tile_new(const tw_krige *krige)
{
    tw_krige_tile *tile = calloc(1, sizeof *tile);
    if (!tile)
        return NULL;
    tile->correlation = calloc(krige->order * TILE, sizeof(double));
    if (!tile->correlation) {
        free(tile);
        return NULL;
    }
    return tile;
}

void tw_krige_tile_free(tw_krige_tile *tile)
{
    if (tile)
        free(tile->correlation);
    free(tile);
}

void tw_krige_tile_place(const tw_krige *krige, tw_krige_tile *tile, size_t count,
                         const double (*position)[3], const double *basis)
{
    double q[BASIS];
    tile->count = count;
    tile->scale = NAN;
    for (size_t i = 0; i < TILE; i++) {
        const size_t from = i < count ? i : count - 1; /* spare places repeat the last */
        tile->x[i] = position[from][0];
        tile->y[i] = position[from][1];
        tile->z[i] = position[from][2];
        tw_krige_orthonormal(krige, basis + from * krige->basis_count, q);
        for (size_t a = 0; a < krige->basis_count; a++)
            tile->q[a][i] = q[a];
    }
}

static void fill_correlation(const tw_krige *krige, double scale, tw_krige_tile *tile)
{
    const tw_krige_points points = {tile->x, tile->y, tile->z};
    double distance[TILE];
    if (scale == tile->scale)
        return;
    for (size_t i = 0; i < krige->count; i++) {
        const double at[3] = {krige->x[i], krige->y[i], krige->z[i]};
        tw_krige_distances(TILE, &points, at, distance);
        tw_krige_matern(TILE, distance, scale, tile->correlation + i * TILE);
    }
    tile->scale = scale;
}

void tw_krige_tile_mean(const tw_krige *krige, const tw_krige_set *set, tw_krige_tile *tile)
{
    double sum[TILE] = {0};
    if (set->amplitude > 0) {
        fill_correlation(krige, set->scale, tile);
        for (size_t i = 0; i < krige->count; i++) {
            const double alpha = set->alpha[i], *row = tile->correlation + i * TILE;
            for (size_t k = 0; k < TILE; k++)
                sum[k] += alpha * row[k];
        }
    }
    for (size_t k = 0; k < TILE; k++)
        sum[k] *= set->amplitude * set->amplitude;
    for (size_t a = 0; a < krige->basis_count; a++)
        for (size_t k = 0; k < TILE; k++)
            sum[k] += set->beta[a] * tile->q[a][k];
    memcpy(tile->mean, sum, sizeof sum);
}

void tw_krige_tile_variance(const tw_krige *krige, const tw_krige_set *set,
                            const tw_krige_total *total, tw_krige_tile *tile)
{
    const size_t order = krige->order, p = krige->basis_count;
    const double sill = set->amplitude * set->amplitude;
    double square[TILE] = {0}, common[TILE] = {0}, rest[BASIS][TILE];

    memcpy(rest, tile->q, sizeof rest);
    for (size_t i = 0; i < order && sill > 0; i += STRIP) {
        double rows[STRIP][TILE] = {{0}};
        tw_krige_multiply(STRIP, TILE, i + STRIP, set->inverse + i * order, order,
                          tile->correlation, TILE, sill, rows[0], TILE);
        for (size_t r = 0; r < STRIP; r++) {
            const double *whitened = set->whitened + (i + r) * p, *v = rows[r];
            for (size_t k = 0; k < TILE; k++)
                square[k] += v[k] * v[k];
            for (size_t a = 0; a < p; a++)
                for (size_t k = 0; k < TILE; k++)
                    rest[a][k] -= whitened[a] * v[k];
            if (!total)
                continue;
            for (size_t k = 0; k < TILE; k++)
                common[k] += total->white[i + r] * v[k];
        }
    }
    for (size_t k = 0; k < TILE; k++) {
        double g[BASIS], trend = 0, with = 0;
        for (size_t a = 0; a < p; a++)
            g[a] = rest[a][k];
        tw_krige_small_forward(p, set->information, g);
        for (size_t a = 0; a < p; a++) {
            trend += g[a] * g[a];
            with += total ? g[a] * total->trend[a] : 0;
        }
        /* rounding may leave a hair below zero at a reading without noise */
        tile->variance[k] = krige->widened * (fmax(sill - square[k], 0) + trend);
        tile->covariance[k] = krige->widened * (with - common[k]);
    }
}
