/* krige_cases.h: readings on a bowl for tests of kriging, and a plain dense model to hold the blocked
 * one against. */
#ifndef KRIGE_CASES_H
#define KRIGE_CASES_H

#include <stdlib.h>

#include "support.h"
#include "taperwright/thickness.h"

enum { CASE_MAX = 64, POINTS_MAX = 128 };

typedef struct krige_case {
    size_t n, p;
    double at[CASE_MAX][3], value[CASE_MAX], noise[CASE_MAX], basis[CASE_MAX * 8];
    double surface, scale, amplitude;
} krige_case;

static inline void case_place(double across, double up, double at[3])
{
    at[0] = across;
    at[1] = up;
    at[2] = sqrt(150.0 * 150.0 - across * across - up * up);
}

/* Trend functions at a point: 1, or 1, across, up. */
static inline void case_basis(size_t p, const double at[3], double *basis)
{
    basis[0] = 1;
    if (p > 1) {
        basis[1] = at[0];
        basis[2] = at[1];
    }
}

static inline void case_fill(krige_case *c, test_random *random, size_t n, size_t p)
{
    memset(c, 0, sizeof *c);
    c->n = n;
    c->p = p;
    c->surface = 0.05;
    c->scale = 60;
    c->amplitude = 0.4;
    for (size_t i = 0; i < n; i++) {
        const double across = test_uniform(random, -90, 90), up = test_uniform(random, -90, 90);
        case_place(across, up, c->at[i]);
        case_basis(p, c->at[i], c->basis + i * p);
        c->value[i] =
            2 + 0.3 * sin(across / 40) + 0.2 * cos(up / 25) + test_uniform(random, -0.1, 0.1);
        c->noise[i] = test_uniform(random, 0.02, 0.08);
    }
}

static inline tw_krige_data case_data(const krige_case *c)
{
    return (tw_krige_data){.count = c->n,
                           .position = c->at,
                           .value = c->value,
                           .noise = c->noise,
                           .surface = c->surface,
                           .basis_count = c->p,
                           .basis = c->basis,
                           .scale = c->scale,
                           .amplitude = c->amplitude};
}

static inline tw_krige *case_fit(const krige_case *c)
{
    const tw_krige_data data = case_data(c);
    tw_krige *krige = NULL;
    tw_error err = {0};
    if (tw_krige_fit(&data, &krige, &err) != TW_OK)
        fail_msg("%s", err.message);
    return krige;
}

static inline double case_covariance(const krige_case *c, const double a[3], const double b[3])
{
    const double d = sqrt((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) +
                          (a[2] - b[2]) * (a[2] - b[2]));
    const double s = sqrt(3) * d / c->scale;
    return c->amplitude * c->amplitude * (1 + s) * exp(-s);
}

/* Solve a·x = b by elimination with pivots, in place: the plain model's only tool. */
static inline void plain_solve(size_t n, double *a, size_t cols, double *b)
{
    for (size_t k = 0; k < n; k++) {
        size_t best = k;
        for (size_t i = k; i < n; i++)
            best = fabs(a[i * n + k]) > fabs(a[best * n + k]) ? i : best;
        for (size_t j = 0; j < n; j++) {
            const double held = a[k * n + j];
            a[k * n + j] = a[best * n + j];
            a[best * n + j] = held;
        }
        for (size_t j = 0; j < cols; j++) {
            const double held = b[k * cols + j];
            b[k * cols + j] = b[best * cols + j];
            b[best * cols + j] = held;
        }
        for (size_t i = 0; i < n; i++) {
            const double f = i == k ? 0 : a[i * n + k] / a[k * n + k];
            for (size_t j = k; j < n && f != 0; j++)
                a[i * n + j] -= f * a[k * n + j];
            for (size_t j = 0; j < cols && f != 0; j++)
                b[i * cols + j] -= f * b[k * cols + j];
        }
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < cols; j++)
            b[i * cols + j] /= a[i * n + i];
}

/* Means and full covariance of m points by the kriging system with Lagrange multipliers,
 * [K F; Fᵀ 0][w; μ] = [k; f]: another route than generalised least squares. Source: Cressie (1993),
 * section 3.4 (from memory). */
static inline void plain_predict(const krige_case *c, size_t m, const double (*at)[3], double *mean,
                                 double *covariance)
{
    const size_t n = c->n, p = c->p, size = n + p;
    double *a = calloc(size * size, sizeof *a), *b = calloc(size * m, sizeof *b);
    double *right = calloc(size * m, sizeof *right);
    assert_true(a && b && right);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            a[i * size + j] = case_covariance(c, c->at[i], c->at[j]);
        a[i * size + i] += c->noise[i] * c->noise[i] + c->surface * c->surface;
        for (size_t q = 0; q < p; q++)
            a[i * size + n + q] = a[(n + q) * size + i] = c->basis[i * p + q];
        for (size_t j = 0; j < m; j++)
            b[i * m + j] = case_covariance(c, c->at[i], at[j]);
    }
    for (size_t j = 0; j < m; j++) {
        double basis[8] = {0};
        case_basis(p, at[j], basis);
        for (size_t q = 0; q < p; q++)
            b[(n + q) * m + j] = basis[q];
    }
    memcpy(right, b, size * m * sizeof *b);
    plain_solve(size, a, m, b);
    for (size_t j = 0; j < m; j++) {
        mean[j] = 0;
        for (size_t i = 0; i < n; i++)
            mean[j] += b[i * m + j] * c->value[i];
        for (size_t k = 0; k < m && covariance; k++) {
            double taken = 0;
            for (size_t i = 0; i < size; i++)
                taken += b[i * m + j] * right[i * m + k];
            covariance[j * m + k] = case_covariance(c, at[j], at[k]) - taken;
        }
    }
    free(a);
    free(b);
    free(right);
}

#endif
