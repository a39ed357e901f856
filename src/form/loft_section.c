/*
 * loft_section.c: one side of one measured section as a curve from centre to side, with its keel, and
 * the points that cut it into equal fractions of its own arc length.
 *
 * The curve's parameter p runs 0…1: the conic's own, the share of the half-width for heights, the share
 * of the chord run for points of a scan. A
 * keel adds stands·(1 − |x|/(width/2))², which joins with equal slope at its own edge. Arc lengths
 * are 8-point Gauss rules over steps that end at every join.
 */
#include "loft_internal.h"

#include <assert.h>
#include <math.h>

enum { STEPS_MAX = 1024, CURVE_STEPS = 32 };

void tw_curve_at(const tw_curve *curve, double s, double at[2], double by[2])
{
    size_t i = 0, high = curve->count - 1;
    double width, t, cubic[3];

    while (high - i > 1) {
        const size_t middle = (i + high) / 2;
        *(curve->s[middle] <= s ? &i : &high) = middle;
    }
    width = curve->s[i + 1] - curve->s[i];
    t = (s - curve->s[i]) / width;
    tw_hermite(width, t, curve->x[i], curve->x_s[i], curve->x[i + 1], curve->x_s[i + 1], cubic);
    at[0] = cubic[0];
    by[0] = cubic[1];
    tw_hermite(width, t, curve->z[i], curve->z_s[i], curve->z[i + 1], curve->z_s[i + 1], cubic);
    at[1] = cubic[0];
    by[1] = cubic[1];
}

static void half_at(const tw_half *half, double p, double at[2], double by[2])
{
    if (half->curve) {
        tw_curve_at(half->curve, half->from + p * half->run, at, by);
        at[0] *= half->sign;
        by[0] *= half->sign * half->run;
        by[1] *= half->run;
    } else if (half->count == 0) {
        tw_conic_jet jet;
        tw_conic_at(half->bend, p, &jet);
        at[0] = half->half * jet.s;
        by[0] = half->half * jet.s_t;
        at[1] = half->base + half->rise * jet.z;
        by[1] = half->rise * jet.z_t;
    } else {
        const double x = half->sign * p * half->half;
        double cubic[3];
        size_t i = 0, high = half->count - 1;
        while (high - i > 1) {
            const size_t middle = (i + high) / 2;
            *(half->x[middle] <= x ? &i : &high) = middle;
        }
        tw_hermite(half->x[i + 1] - half->x[i], (x - half->x[i]) / (half->x[i + 1] - half->x[i]),
                   half->z[i], half->slope[i], half->z[i + 1], half->slope[i + 1], cubic);
        at[0] = p * half->half;
        by[0] = half->half;
        at[1] = cubic[0];
        by[1] = cubic[1] * half->sign * half->half;
    }
    if (half->keel_half > 0 && at[0] < half->keel_half) {
        const double rest = 1 - at[0] / half->keel_half;
        at[1] += half->keel_stands * rest * rest;
        by[1] -= 2 * half->keel_stands * rest / half->keel_half * by[0];
    }
}

static double speed_at(const tw_half *half, double p)
{
    double at[2], by[2];

    half_at(half, p, at, by);
    return sqrt(by[0] * by[0] + by[1] * by[1]);
}

static double arc(const tw_half *half, double from, double to)
{
    double sum = 0;

    for (int g = 0; g < 8; g++)
        sum += tw_gauss8_weight[g] * speed_at(half, from + (to - from) * tw_gauss8_node[g]);
    return sum * (to - from);
}

static void insert(double *steps, size_t *count, double p)
{
    size_t i = *count;

    if (!(p > 1e-9 && p < 1 - 1e-9) || *count >= STEPS_MAX)
        return;
    while (i > 0 && steps[i - 1] > p)
        i--;
    if ((i < *count && steps[i] - p < 1e-9) || (i > 0 && p - steps[i - 1] < 1e-9))
        return;
    for (size_t k = *count; k > i; k--)
        steps[k] = steps[k - 1];
    steps[i] = p;
    (*count)++;
}

/* Between the points of a curve, which are at most STEPS_MAX − 2; long pieces are cut further. */
static size_t find_curve_steps(const tw_half *half, double steps[STEPS_MAX])
{
    const tw_curve *curve = half->curve;
    const bool right = half->run > 0;
    size_t knots = 0, count = 1, cuts;
    double before = 0;

    for (size_t k = 0; k < curve->count; k++)
        knots += right ? curve->s[k] > half->from : curve->s[k] < half->from;
    assert(knots >= 1 && knots < STEPS_MAX - 1);
    cuts = knots < CURVE_STEPS ? (CURVE_STEPS + knots - 1) / knots : 1;
    steps[0] = 0;
    for (size_t k = 0; k < knots; k++) {
        const size_t knot = right ? curve->count - knots + k : knots - 1 - k;
        const double p = k + 1 == knots ? 1 : (curve->s[knot] - half->from) / half->run;
        for (size_t c = 1; c <= cuts; c++)
            steps[count++] = c == cuts ? p : before + (p - before) * (double)c / (double)cuts;
        before = p;
    }
    return count;
}

/* Ascending ends of the steps, every join among them. */
static size_t find_steps(const tw_half *half, double steps[STEPS_MAX])
{
    const double bend = half->count ? 0 : half->bend;
    size_t count = 0;

    if (half->curve)
        return find_curve_steps(half, steps);
    for (size_t k = 0; k <= TW_CONIC_STEPS; k++)
        steps[count++] = tw_conic_knot(bend, k, TW_CONIC_STEPS);
    for (size_t i = 0; i < half->count; i++)
        insert(steps, &count, half->sign * half->x[i] / half->half);
    if (half->keel_half > 0 && half->count)
        insert(steps, &count, half->keel_half / half->half);
    else if (half->keel_half > 0) { /* x(p) = keel: c·k·p² − a(1 + c)·p + k = 0 */
        const double k = half->keel_half, a = half->half * (1 + bend);
        insert(steps, &count, 2 * k / (a + sqrt(fmax(a * a - 4 * bend * k * k, 0))));
    }
    return count;
}

double tw_half_length(const tw_half *half)
{
    double steps[STEPS_MAX];
    const size_t count = find_steps(half, steps);
    tw_sum sum = {0, 0};

    for (size_t k = 0; k + 1 < count; k++)
        tw_sum_add(&sum, arc(half, steps[k], steps[k + 1]));
    return tw_sum_value(&sum);
}

void tw_half_cut(const tw_half *half, double *x, double *z, double *length)
{
    double steps[STEPS_MAX], run[STEPS_MAX];
    const size_t count = find_steps(half, steps);
    tw_sum sum = {0, 0};
    size_t step = 0;

    for (size_t k = 0; k < count; k++) {
        run[k] = tw_sum_value(&sum);
        if (k + 1 < count)
            tw_sum_add(&sum, arc(half, steps[k], steps[k + 1]));
    }
    *length = run[count - 1];
    for (size_t k = 0; k < TW_PLACES; k++) {
        const double wanted = *length * (double)k / TW_FRACTIONS;
        double p, at[2], by[2];
        while (step + 2 < count && run[step + 1] <= wanted)
            step++;
        p = steps[step] +
            (wanted - run[step]) / (run[step + 1] - run[step]) * (steps[step + 1] - steps[step]);
        for (int round = 0; round < 20; round++) {
            const double miss = run[step] + arc(half, steps[step], p) - wanted;
            p = fmin(fmax(p - miss / speed_at(half, p), steps[step]), steps[step + 1]);
            if (fabs(miss) < 1e-13 * *length)
                break;
        }
        if (k == 0 || k == TW_FRACTIONS)
            p = k == 0 ? 0 : 1;
        half_at(half, p, at, by);
        x[4 * k] = at[0];
        z[4 * k] = at[1];
    }
}
