/*
 * student.c: the quantile of Student's t for any degrees of freedom, whole or not.
 *
 * With x = ν/(ν + t²) the tails hold P(|T| > t) = I_x(ν/2, 1/2) (NIST Digital Library of Mathematical
 * Functions, 8.17.1 and 8.17.4 for the split into tail and middle), the regularised incomplete beta
 * function by its continued fraction (8.17.22, evaluated by Lentz's method as modified by Thompson
 * and Barnett 1986). The quantile is its root in ln t by Brent's method. Over a million degrees of
 * freedom the expansion about the normal quantile takes over (Abramowitz & Stegun 26.7.5).
 */
#include "taperwright/budget.h"

#include <assert.h>
#include <math.h>

static const double FREEDOM_LARGE = 1e6;

/* Γ(a + 1/2)/Γ(a). For a ≥ 20 by the series of its logarithm (from Stirling's, DLMF 5.11.8), good
 * there to 2e-17; below that carried down by Γ(x + 1) = x·Γ(x). */
static double gamma_ratio(double a)
{
    double carried = 1, b, series;

    for (; a < 20; a++)
        carried *= a / (a + 0.5);
    b = 1 / (a * a);
    series =
        (-1.0 / 8 + b * (1.0 / 192 + b * (-1.0 / 640 + b * (17.0 / 14336 - b * 31.0 / 18432)))) / a;
    return carried * sqrt(a) * exp(series);
}

/* The continued fraction of I_x(a, b), without its factor; converges fast for
 * x < (a + 1)/(a + b + 2). */
static double beta_fraction(double x, double a, double b)
{
    const double tiny = 1e-300;
    double c = 1, d = 1 - (a + b) * x / (a + 1), f;

    d = 1 / (fabs(d) < tiny ? tiny : d);
    f = d;
    for (int m = 1; m < 20000; m++) {
        const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
        double step;
        d = 1 + even * d;
        c = 1 + even / c;
        d = 1 / (fabs(d) < tiny ? tiny : d);
        c = fabs(c) < tiny ? tiny : c;
        f *= c * d;
        d = 1 + odd * d;
        c = 1 + odd / c;
        d = 1 / (fabs(d) < tiny ? tiny : d);
        c = fabs(c) < tiny ? tiny : c;
        step = c * d;
        f *= step;
        if (fabs(step - 1) < 1e-16)
            break;
    }
    return f;
}

/* Probability of |T| > t and of |T| ≤ t, each without the other's rounding. */
static void split(double t, double freedom, double *tail, double *middle)
{
    const double a = 0.5 * freedom, b = 0.5;
    const double whole = freedom + t * t, x = freedom / whole, y = t * t / whole;
    /* xᵃ·yᵇ/B(a, b), B = Γ(a)·√π/Γ(a + 1/2); ln x by log1p, for x close to 1 */
    const double front =
        exp(-a * log1p(t * t / freedom) + b * log(y)) * gamma_ratio(a) / sqrt(TW_PI);

    if (x < (a + 1) / (a + b + 2)) {
        *tail = front * beta_fraction(x, a, b) / a;
        *middle = 1 - *tail;
    } else {
        *middle = front * beta_fraction(y, b, a) / b;
        *tail = 1 - *middle;
    }
}

typedef struct wanted {
    double probability, freedom;
} wanted;

static double miss(double log_t, void *context)
{
    const wanted *w = context;
    double tail, middle;

    split(exp(log_t), w->freedom, &tail, &middle);
    /* the smaller of both keeps its digits */
    return w->probability < 0.5 ? middle / w->probability - 1 : 1 - tail / (1 - w->probability);
}

static double normal_miss(double z, void *context)
{
    const wanted *w = context;

    return w->probability < 0.5 ? erf(z * sqrt(0.5)) / w->probability - 1
                                : 1 - erfc(z * sqrt(0.5)) / (1 - w->probability);
}

static double normal_quantile(double probability)
{
    wanted w = {probability, INFINITY};
    double z = NAN;

    /* erfc() leaves the doubles near 38 */
    if (tw_find_root(normal_miss, &w, 0, 38, 1e-15, &z, NULL) != TW_OK)
        return INFINITY;
    return z;
}

double tw_student_t(double probability, double freedom)
{
    wanted w = {probability, freedom};
    double log_t = NAN;

    assert(probability > 0 && probability < 1 && freedom > 0);
    if (freedom > FREEDOM_LARGE) {
        const double z = normal_quantile(probability), q = z * z;
        const double first = z * (q + 1) / 4, second = z * (5 * q * q + 16 * q + 3) / 96;
        return isinf(freedom) ? z : z + (first + second / freedom) / freedom;
    }
    /* t from e⁻¹⁵⁰ to e³⁴⁰, whose square still is a double */
    if (tw_find_root(miss, &w, -150, 340, 1e-14, &log_t, NULL) != TW_OK)
        return INFINITY;
    return exp(log_t);
}
