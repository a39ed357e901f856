/*
 * krige_dense.c: the dense kernels of kriging: product, Cholesky factor, triangular inverse.
 *
 * Everything heavy is one product C ± A·B whose inner tile stays in registers: 4 rows by 8
 * columns with 256-bit vectors, by 4 without: the same sums in the same order, none fused.
 * Factor: left-looking by panels of TW_KRIGE_BLOCK columns; the panel is multiplied by the inverse
 * of its diagonal block instead of being solved, which makes that a product too. Standard blocked
 * algorithms: Golub & Van Loan, Matrix Computations, section 4.2 (from memory).
 * Each element is summed in one fixed order: same bits however the work is shared.
 */
#include "krige_internal.h"

#include <float.h>
#include <math.h>
#include <string.h>

enum { BLOCK = TW_KRIGE_BLOCK };

enum { ROWS = 4, COLS = 8 };

/* Four rows by two vectors of `lane`, sums in registers. Loops over plain arrays were left in memory by
 * one compiler; the vector types below are gcc's and clang's. Loads need no alignment. */
typedef double lane2 __attribute__((vector_size(16), aligned(8), may_alias));
typedef double lane4 __attribute__((vector_size(32), aligned(8), may_alias));

#define TILE_BODY(lane, width)                                          \
    lane sum[ROWS][2];                                                  \
    for (size_t i = 0; i < ROWS; i++)                                   \
        sum[i][0] = sum[i][1] = (lane){0};                              \
    for (size_t k = 0; k < depth; k++) {                                \
        const lane left = *(const lane *)(b + k * b_stride);            \
        const lane right = *(const lane *)(b + k * b_stride + (width)); \
        for (size_t i = 0; i < ROWS; i++) {                             \
            sum[i][0] += left * a[i * a_stride + k];                    \
            sum[i][1] += right * a[i * a_stride + k];                   \
        }                                                               \
    }                                                                   \
    for (size_t i = 0; i < ROWS; i++) {                                 \
        *(lane *)(c + i * c_stride) += sum[i][0] * sign;                \
        *(lane *)(c + i * c_stride + (width)) += sum[i][1] * sign;      \
    }

static void tile_4x4(size_t depth, const double *a, size_t a_stride, const double *b,
                     size_t b_stride, double sign, double *c, size_t c_stride)
{
    TILE_BODY(lane2, 2)
}

#if defined(__x86_64__)
__attribute__((target("avx2"))) static void tile_4x8_wide(size_t depth, const double *a,
                                                          size_t a_stride, const double *b,
                                                          size_t b_stride, double sign, double *c,
                                                          size_t c_stride)
{
    TILE_BODY(lane4, 4)
}

static bool has_wide(void)
{
    return __builtin_cpu_supports("avx2");
}
#else
#define tile_4x8_wide tile_4x4
static bool has_wide(void)
{
    return false;
}
#endif

void tw_krige_multiply(size_t rows, size_t cols, size_t depth, const double *a, size_t a_stride,
                       const double *b, size_t b_stride, double sign, double *restrict c,
                       size_t c_stride)
{
    const bool wide = has_wide();
    for (size_t i = 0; i < rows; i += ROWS) {
        const double *left = a + i * a_stride;
        double *out = c + i * c_stride;
        size_t j = 0;
        for (; wide && j + COLS <= cols; j += COLS)
            tile_4x8_wide(depth, left, a_stride, b + j, b_stride, sign, out + j, c_stride);
        for (; j < cols; j += ROWS)
            tile_4x4(depth, left, a_stride, b + j, b_stride, sign, out + j, c_stride);
    }
}

tw_status tw_krige_factor_new(tw_arena *arena, size_t order, tw_krige_factor *out)
{
    out->order = order;
    out->matrix = tw_arena_array(arena, order * order, sizeof(double));
    out->blocks = tw_arena_array(arena, order * BLOCK, sizeof(double));
    out->panel = tw_arena_array(arena, order * BLOCK, sizeof(double));
    out->strip = tw_arena_array(arena, order * BLOCK, sizeof(double));
    return out->matrix && out->blocks && out->panel && out->strip ? TW_OK : TW_ERR_MEMORY;
}

/* A pivot is what is left of the diagonal: below this share of it only rounding is left. */
static const double least_pivot = 256 * DBL_EPSILON;

/* Factorise the width × width block at `a` and write the inverse of its factor (stride BLOCK). */
static size_t factor_block(double *a, size_t stride, size_t width, const double *diagonal,
                           double *inverse)
{
    for (size_t i = 0; i < width; i++) {
        for (size_t j = 0; j <= i; j++) {
            double rest = a[i * stride + j];
            for (size_t k = 0; k < j; k++)
                rest -= a[i * stride + k] * a[j * stride + k];
            if (i > j) {
                a[i * stride + j] = rest / a[j * stride + j];
            } else {
                if (!(rest > least_pivot * diagonal[i]))
                    return i;
                a[i * stride + i] = sqrt(rest);
            }
        }
    }
    memset(inverse, 0, width * BLOCK * sizeof(double));
    for (size_t j = 0; j < width; j++) {
        inverse[j * BLOCK + j] = 1 / a[j * stride + j];
        for (size_t i = j + 1; i < width; i++) {
            double sum = 0;
            for (size_t k = j; k < i; k++)
                sum += a[i * stride + k] * inverse[k * BLOCK + j];
            inverse[i * BLOCK + j] = -sum / a[i * stride + i];
        }
    }
    return width;
}

size_t tw_krige_factorise(tw_krige_factor *factor)
{
    const size_t n = factor->order;
    double *a = factor->matrix, *strip = factor->strip, *panel = factor->panel;
    double diagonal[BLOCK];
    for (size_t first = 0; first < n; first += BLOCK) {
        const size_t width = n - first < BLOCK ? n - first : BLOCK;
        double *here = a + first * n + first;
        double *inverse = factor->blocks + first * BLOCK;
        for (size_t j = 0; j < width; j++) {
            diagonal[j] = here[j * n + j];
            for (size_t k = 0; k < first; k++)
                strip[k * BLOCK + j] = a[(first + j) * n + k];
        }
        tw_krige_multiply(n - first, width, first, a + first * n, n, strip, BLOCK, -1, here, n);
        const size_t done = factor_block(here, n, width, diagonal, inverse);
        if (done < width)
            return first + done;
        const size_t below = n - first - width;
        double *under = here + width * n;
        for (size_t i = 0; i < below; i++) {
            memcpy(panel + i * BLOCK, under + i * n, width * sizeof(double));
            memset(under + i * n, 0, width * sizeof(double));
        }
        for (size_t k = 0; k < width; k++)
            for (size_t j = 0; j < width; j++)
                strip[k * BLOCK + j] = inverse[j * BLOCK + k];
        tw_krige_multiply(below, width, width, panel, BLOCK, strip, BLOCK, 1, under, n);
    }
    return n;
}

void tw_krige_forward(const tw_krige_factor *factor, double *columns, size_t cols)
{
    const size_t n = factor->order;
    double held[BLOCK * BLOCK];
    for (size_t first = 0; first < n; first += BLOCK) {
        const size_t width = n - first < BLOCK ? n - first : BLOCK;
        double *rows = columns + first * cols;
        tw_krige_multiply(width, cols, first, factor->matrix + first * n, n, columns, cols, -1,
                          rows, cols);
        memcpy(held, rows, width * cols * sizeof(double));
        memset(rows, 0, width * cols * sizeof(double));
        tw_krige_multiply(width, cols, width, factor->blocks + first * BLOCK, BLOCK, held, cols, 1,
                          rows, cols);
    }
}

void tw_krige_invert(tw_krige_factor *factor, double *inverse)
{
    const size_t n = factor->order;
    double *held = factor->panel; /* BLOCK × BLOCK of it */
    for (size_t first = 0; first < n; first += BLOCK) {
        const size_t width = n - first < BLOCK ? n - first : BLOCK;
        const double *block = factor->blocks + first * BLOCK;
        for (size_t from = 0; from < first; from += BLOCK) {
            memset(held, 0, width * BLOCK * sizeof(double));
            tw_krige_multiply(width, BLOCK, first - from, factor->matrix + first * n + from, n,
                              inverse + from * n + from, n, 1, held, BLOCK);
            tw_krige_multiply(width, BLOCK, width, block, BLOCK, held, BLOCK, -1,
                              inverse + first * n + from, n);
        }
        for (size_t i = 0; i < width; i++)
            memcpy(inverse + (first + i) * n + first, block + i * BLOCK, width * sizeof(double));
    }
}

bool tw_krige_small_factor(size_t n, double *matrix)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j <= i; j++) {
            double rest = matrix[i * n + j];
            for (size_t k = 0; k < j; k++)
                rest -= matrix[i * n + k] * matrix[j * n + k];
            if (i > j)
                matrix[i * n + j] = rest / matrix[j * n + j];
            else if (rest > 0)
                matrix[i * n + i] = sqrt(rest);
            else
                return false;
        }
    }
    return true;
}

void tw_krige_small_forward(size_t n, const double *factor, double *x)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++)
            x[i] -= factor[i * n + k] * x[k];
        x[i] /= factor[i * n + i];
    }
}

void tw_krige_small_back(size_t n, const double *factor, double *x)
{
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            x[i] -= factor[k * n + i] * x[k];
        x[i] /= factor[i * n + i];
    }
}
