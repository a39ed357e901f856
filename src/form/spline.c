/*
 * spline.c: the two cubics the forms are made of. Through taped heights a monotone one, which makes no
 * bump that was not measured; along a section cut at equal fractions, and through the points of a scan, a C2 one.
 *
 * Monotone: between neighbouring points with secant d a cubic by its end slopes α·d and β·d keeps to
 * one direction when α, β ≥ 0 and α² + β² ≤ 9; three-point slopes that leave this region are drawn
 * back to it. Source: F. N. Fritsch & R. E. Carlson, "Monotone piecewise cubic interpolation", SIAM
 * J. Numer. Anal. 17 (1980).
 */
#include "surface_internal.h"

#include <assert.h>
#include <math.h>

/* Gauss-Legendre, from the standard tables, moved to [0, 1]. */
const double tw_gauss8_node[8] = {
    0.0198550717512318842, 0.1016667612931866302, 0.2372337950418355071, 0.4082826787521750975,
    0.5917173212478249025, 0.7627662049581644929, 0.8983332387068133698, 0.9801449282487681158};
const double tw_gauss8_weight[8] = {
    0.0506142681451881295, 0.1111905172266872353, 0.1568533229389436436, 0.1813418916891809914,
    0.1813418916891809914, 0.1568533229389436436, 0.1111905172266872353, 0.0506142681451881295};
const double tw_gauss5_node[5] = {0.0469100770306680037, 0.2307653449471584545, 0.5,
                                  0.7692346550528415455, 0.9530899229693319963};
const double tw_gauss5_weight[5] = {0.1184634425280945437, 0.2393143352496832341,
                                    0.2844444444444444445, 0.2393143352496832341,
                                    0.1184634425280945437};

void tw_monotone_slopes(size_t count, const double *x, const double *y, double *slope)
{
    const size_t last = count - 1;

    assert(count >= 2);
#define WIDTH(i)  (x[(i) + 1] - x[i])
#define SECANT(i) ((y[(i) + 1] - y[i]) / WIDTH(i))
    for (size_t i = 1; i < last; i++)
        slope[i] =
            (WIDTH(i) * SECANT(i - 1) + WIDTH(i - 1) * SECANT(i)) / (WIDTH(i - 1) + WIDTH(i));
    slope[0] = count > 2 ? 2 * SECANT(0) - slope[1] : SECANT(0);
    slope[last] = count > 2 ? 2 * SECANT(last - 1) - slope[last - 1] : SECANT(0);
    for (size_t i = 0; i < last; i++) {
        const double d = SECANT(i);
        double alpha, beta, size;
        if (slope[i] * d <= 0)
            slope[i] = 0;
        if (slope[i + 1] * d <= 0)
            slope[i + 1] = 0;
        if (d == 0)
            continue;
        alpha = slope[i] / d;
        beta = slope[i + 1] / d;
        size = sqrt(alpha * alpha + beta * beta);
        if (size > 3) {
            slope[i] *= 3 / size;
            slope[i + 1] *= 3 / size;
        }
    }
#undef WIDTH
#undef SECANT
}

void tw_hermite(double width, double t, double y0, double slope0, double y1, double slope1,
                double out[3])
{
    const double rise = y1 - y0, a = width * slope0 - rise, b = rise - width * slope1;
    const double u = 1 - t;

    /* y = u·y0 + t·y1 + t·u·(a·u + b·t) */
    out[0] = u * y0 + t * y1 + t * u * (a * u + b * t);
    out[1] = (rise + (1 - 2 * t) * (a * u + b * t) + t * u * (b - a)) / width;
    out[2] = (-2 * (a * u + b * t) + 2 * (1 - 2 * t) * (b - a)) / (width * width);
}

/* With bends c the inner equations are c₋ + 4c + c₊ = second difference; not-a-knot makes the first
 * and last three bends arithmetic series, so 6c stands alone in the first and last equation. */
void tw_spline_bends(size_t count, const double *y, double *bend, size_t stride, double *work)
{
    const size_t last = count - 1;

    assert(count >= 4);
#define SECOND(i) (y[((i)-1) * stride] - 2 * y[(i)*stride] + y[((i) + 1) * stride])
    bend[stride] = SECOND(1) / 6;
    bend[(last - 1) * stride] = SECOND(last - 1) / 6;
    work[1] = 0; /* elimination: bend[i] = right[i] − work[i]·bend[i + 1] */
    for (size_t i = 2; i + 1 < last; i++) {
        const double pivot = 1 / (4 - work[i - 1]);
        work[i] = pivot;
        bend[i * stride] = (SECOND(i) - bend[(i - 1) * stride]) * pivot;
    }
#undef SECOND
    for (size_t i = last - 2; i >= 2; i--)
        bend[i * stride] -= work[i] * bend[(i + 1) * stride];
    bend[0] = 2 * bend[stride] - bend[2 * stride];
    bend[last * stride] = 2 * bend[(last - 1) * stride] - bend[(last - 2) * stride];
}

/* With slopes m, steps h and secants d the second derivative agrees on both sides of a point when
 * hᵢ·mᵢ₋₁ + 2(hᵢ₋₁ + hᵢ)·mᵢ + hᵢ₋₁·mᵢ₊₁ = 3(hᵢ·dᵢ₋₁ + hᵢ₋₁·dᵢ), and the third at the second point
 * when h₁·m₀ + (h₀ + h₁)·m₁ = ((3h₀ + 2h₁)·h₁·d₀ + h₀²·d₁)/(h₀ + h₁). Source: C. de Boor, "A Practical
 * Guide to Splines", Springer 1978, ch. IV. Elimination from the top: every pivot stays above 0. */
void tw_spline_slopes(size_t count, const double *x, const double *y, double *slope, size_t stride,
                      double *work)
{
    const size_t last = count - 1;

    assert(count >= 2);
#define STEP(i)   (x[(i) + 1] - x[i])
#define SECANT(i) ((y[((i) + 1) * stride] - y[(i)*stride]) / STEP(i))
    if (count < 4) {
        const double d0 = SECANT(0), d1 = SECANT(last - 1), share = STEP(0) / (x[last] - x[0]);
        const double middle = count == 3 ? d0 + share * (d1 - d0) : d0;
        slope[0] = 2 * d0 - middle;
        slope[last * stride] = 2 * d1 - middle;
        if (count == 3)
            slope[stride] = middle;
        return;
    }
    { /* slope[i] = right[i] − work[i]·slope[i + 1] */
        const double h0 = STEP(0), h1 = STEP(1);
        work[0] = (h0 + h1) / h1;
        slope[0] = ((3 * h0 + 2 * h1) * SECANT(0) + h0 * h0 / h1 * SECANT(1)) / (h0 + h1);
    }
    for (size_t i = 1; i < last; i++) {
        const double h0 = STEP(i - 1), h1 = STEP(i);
        const double pivot = 2 * (h0 + h1) - h1 * work[i - 1];
        work[i] = h0 / pivot;
        slope[i * stride] =
            (3 * (h1 * SECANT(i - 1) + h0 * SECANT(i)) - h1 * slope[(i - 1) * stride]) / pivot;
    }
    {
        const double h0 = STEP(last - 2), h1 = STEP(last - 1);
        const double right =
            ((3 * h1 + 2 * h0) * h0 * SECANT(last - 1) + h1 * h1 * SECANT(last - 2)) / (h0 + h1);
        slope[last * stride] =
            (right - (h0 + h1) * slope[(last - 1) * stride]) / (h0 - (h0 + h1) * work[last - 1]);
    }
#undef STEP
#undef SECANT
    for (size_t i = last; i-- > 0;)
        slope[i * stride] -= work[i] * slope[(i + 1) * stride];
}
