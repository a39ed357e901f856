/*
 * spline.c: the two cubics the forms are made of. Along the ruler and through taped heights a
 * monotone one, which makes no bump that was not measured; along a section a C2 one.
 *
 * Monotone: between neighbouring points with secant d a cubic by its end slopes keeps to one
 * direction when both slopes lie within 0…3d (F. N. Fritsch & R. E. Carlson, "Monotone piecewise
 * cubic interpolation", SIAM J. Numer. Anal. 17 (1980)). Theirs cuts a slope off at the limit. A loft
 * does this for many neighbouring fractions of a section at once, and there a cut-off shows as a
 * false crease where it sets in; so the three-point slope is faded out instead, with r the smaller
 * over the larger secant, by 3(2r)² − 2(2r)³ below r = 1/2. That is 2.25 times the smaller secant
 * at most, so inside the limit (derived here).
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

static double inner_slope(double width0, double secant0, double width1, double secant1)
{
    const double small = fmin(fabs(secant0), fabs(secant1));
    const double large = fmax(fabs(secant0), fabs(secant1));
    double slope = (width1 * secant0 + width0 * secant1) / (width0 + width1);

    if (secant0 * secant1 <= 0)
        return 0;
    if (2 * small < large) {
        const double fade = 2 * small / large;
        slope *= fade * fade * (3 - 2 * fade);
    }
    return slope;
}

void tw_monotone_slopes(size_t count, const double *x, const double *y, size_t stride,
                        double *slope)
{
    double width = x[1] - x[0], secant = (y[stride] - y[0]) / width, first = secant;

    assert(count >= 2);
    for (size_t i = 1; i + 1 < count; i++) {
        const double next_width = x[i + 1] - x[i];
        const double next = (y[(i + 1) * stride] - y[i * stride]) / next_width;
        slope[i * stride] = inner_slope(width, secant, next_width, next);
        width = next_width;
        secant = next;
    }
    /* Ends without curvature: (3d − m)/2 lies in 0…1.5d as m lies in 0…3d, so monotone too. */
    slope[0] = count > 2 ? 0.5 * (3 * first - slope[stride]) : first;
    slope[(count - 1) * stride] =
        count > 2 ? 0.5 * (3 * secant - slope[(count - 2) * stride]) : secant;
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
