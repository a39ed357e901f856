/* krige_internal.h: what the files of the kriging core share: dense kernels, correlations, and the
 * fitted process. Matrices are row by row; every order is padded to a multiple of TW_KRIGE_PAD with
 * ones on the diagonal and zeros elsewhere, so that no kernel has a remainder loop. */
#ifndef TAPERWRIGHT_KRIGE_INTERNAL_H
#define TAPERWRIGHT_KRIGE_INTERNAL_H

#include "taperwright/thickness.h"

enum {
    TW_KRIGE_PAD = 8,    /* orders are padded to a multiple of this */
    TW_KRIGE_BLOCK = 32, /* columns of a panel of the factorisation */
    TW_KRIGE_TILE = 64,  /* points that are predicted together */
    TW_KRIGE_BASIS = 8,  /* most trend functions */
    TW_KRIGE_GRID = 9,   /* nodes of the parameter grid along each axis */
    TW_KRIGE_SETS = TW_KRIGE_GRID * TW_KRIGE_GRID,
    TW_KRIGE_EXACT = 400 /* readings up to which all are in the likelihood */
};

/* ---- krige_dense.c ----------------------------------------------------------------------------- */

/** C += sign·A·B; rows, cols multiples of 4. */
void tw_krige_multiply(size_t rows, size_t cols, size_t depth, const double *a, size_t a_stride,
                       const double *b, size_t b_stride, double sign, double *restrict c,
                       size_t c_stride);
/** A symmetric matrix and its Cholesky factor, in place, with what factorising needs. */
typedef struct tw_krige_factor {
    size_t order;          /* padded */
    double *matrix;        /* order²; lower half holds L afterwards */
    double *blocks;        /* order·BLOCK: inverses of the diagonal blocks of L */
    double *panel, *strip; /* order·BLOCK each: scratch */
} tw_krige_factor;
tw_status tw_krige_factor_new(tw_arena *arena, size_t order, tw_krige_factor *out);
/** @return order when done, else the row whose pivot is not above rounding. */
size_t tw_krige_factorise(tw_krige_factor *factor);
/** Solve L·X = X in place; cols a multiple of 4, at most BLOCK. */
void tw_krige_forward(const tw_krige_factor *factor, double *columns, size_t cols);
/** inverse = L⁻¹, order² zeroed by the caller. */
void tw_krige_invert(tw_krige_factor *factor, double *inverse);
/** Cholesky of a small matrix (n ≤ 9, stride n) in place; false when not definite. */
bool tw_krige_small_factor(size_t n, double *matrix);
/** Solve L·x = x in place with such a factor, and Lᵀ·x = x. */
void tw_krige_small_forward(size_t n, const double *factor, double *x);
void tw_krige_small_back(size_t n, const double *factor, double *x);

/* ---- krige_covariance.c -------------------------------------------------------------------------- */

/** Points as separate arrays. */
typedef struct tw_krige_points {
    const double *x, *y, *z;
} tw_krige_points;
/** Chord distances from one point to n. */
void tw_krige_distances(size_t n, const tw_krige_points *points, const double at[3],
                        double *restrict out);
/** Matérn 3/2 correlations at n distances, (1 + s)·exp(−s) with s = √3·d/scale. */
void tw_krige_matern(size_t n, const double *distance, double scale, double *restrict out);

/* ---- the process ---------------------------------------------------------------------------- */

/** One choice of scale and amplitude, factorised. */
typedef struct tw_krige_set {
    double scale, amplitude, weight;
    double *inverse;     /* order²: L⁻¹ of amplitude²·R + noise² */
    double *alpha;       /* order: K⁻¹ (value − trend) */
    double *whitened;    /* order·basis_count: L⁻¹ Q */
    double *information; /* basis_count²: Cholesky factor of Qᵀ K⁻¹ Q */
    double *beta;        /* basis_count: trend in the orthonormal functions */
} tw_krige_set;

struct tw_krige {
    tw_arena *arena;
    size_t count, order, basis_count;
    double *x, *y, *z; /* order each */
    double *residual;  /* order: value less the least-squares trend */
    double *variance;  /* order: noise² + surface² */
    double *basis;     /* order·basis_count: orthonormal columns Q */
    double to_orthonormal[TW_KRIGE_BASIS * TW_KRIGE_BASIS]; /* q = f·this */
    double least_squares[TW_KRIGE_BASIS];                   /* Qᵀ value */
    double surface2;
    double widened; /* factor on all variances, ≥ 1: trend alone, scatter beyond the noise */
    size_t set_count;
    tw_krige_set *sets; /* those of equal scale next to each other */
    tw_krige_summary summary;
};

/** Scratch of one likelihood: factor, and [residual | Q] made white. */
typedef struct tw_krige_work {
    tw_krige_factor factor;
    double *columns;     /* order·width */
    size_t width;        /* basis_count + 1, padded to 4 */
    double *correlation; /* order²: R of the scale below */
    double scale;
} tw_krige_work;
tw_status tw_krige_work_new(tw_arena *arena, const tw_krige *krige, tw_krige_work *out);
/**
 * Restricted log likelihood of one pair; work then holds the factor and the white columns.
 * @return −HUGE_VAL when the covariance is not definite to working precision, *row telling where
 */
double tw_krige_likelihood(const tw_krige *krige, tw_krige_work *work, double scale,
                           double amplitude, double *information, double *beta, size_t *row);

/** Scales, amplitudes and weights that the answers are averaged over. */
typedef struct tw_krige_grid {
    size_t count;
    double scale[TW_KRIGE_SETS], amplitude[TW_KRIGE_SETS], weight[TW_KRIGE_SETS];
    double best_scale, best_amplitude;
} tw_krige_grid;
tw_status tw_krige_search(const tw_krige *krige, const tw_krige_data *data, tw_krige_grid *out,
                          tw_error *err);

/** Empty process with arrays of its own; NULL when memory ran out. */
tw_krige *tw_krige_empty(size_t count, size_t basis_count);
tw_status tw_krige_take_set(tw_arena *arena, size_t order, size_t basis_count, tw_krige_set *set);
/** q = f·R⁻¹ of one point. */
void tw_krige_orthonormal(const tw_krige *krige, const double *basis, double *q);

/* ---- krige_tile.c ---------------------------------------------------------------------------------- */

/** TILE points and what each set says of them. */
typedef struct tw_krige_tile {
    size_t count;
    double x[TW_KRIGE_TILE], y[TW_KRIGE_TILE], z[TW_KRIGE_TILE];
    double q[TW_KRIGE_BASIS][TW_KRIGE_TILE];
    double scale;        /* of `correlation`; NaN at first */
    double *correlation; /* order·TILE, zeroed once: readings × points */
    double mean[TW_KRIGE_TILE], variance[TW_KRIGE_TILE];
    double covariance[TW_KRIGE_TILE]; /* with a sum's `white`, without its prior part */
} tw_krige_tile;
tw_krige_tile *tw_krige_tile_new(const tw_krige *krige);
void tw_krige_tile_free(tw_krige_tile *tile);
/** Take up to TILE points in. */
void tw_krige_tile_place(const tw_krige *krige, tw_krige_tile *tile, size_t count,
                         const double (*position)[3], const double *basis);
void tw_krige_tile_mean(const tw_krige *krige, const tw_krige_set *set, tw_krige_tile *tile);
/** A weighted sum under one set. */
typedef struct tw_krige_total {
    double mean, variance;
    double *white;                /* order: amplitude²·L⁻¹·R·weight */
    double trend[TW_KRIGE_BASIS]; /* (Qᵀweight − Zᵀwhite) over the information's factor */
} tw_krige_total;
/** Variances, and with `total` covariances. Call after tw_krige_tile_mean() of the same scale. */
void tw_krige_tile_variance(const tw_krige *krige, const tw_krige_set *set,
                            const tw_krige_total *total, tw_krige_tile *tile);

static inline size_t tw_krige_padded(size_t n, size_t to)
{
    return (n + to - 1) / to * to;
}

#endif
