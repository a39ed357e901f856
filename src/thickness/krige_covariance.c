/*
 * krige_covariance.c: chord distances and Matérn 3/2 correlations, many at once.
 *
 * Predicting 65,536 points from 200 readings takes 13 million exponentials, so that exp() would be
 * a third of the work: the one here has no branch and no table, and compilers turn its loop into
 * vector instructions. Method: x = n·ln2 + r with |r| ≤ ln2/2, Taylor's polynomial of degree 13 in r
 * (rest under 5e-18), then n into the exponent (Cody & Waite, Software Manual for the Elementary
 * Functions, 1980, chapter 6; from memory). Against exp(): within 3e-16 relative, by test.
 */
#include "krige_internal.h"

#include <math.h>
#include <string.h>

/* The lesser of s and 700 by its bits: a comparison would keep the loop from being vectorised. */
static inline double at_most_700(double s)
{
    const double limit = 700, room = limit - s;
    uint64_t bits, limit_bits, over;
    memcpy(&bits, &s, sizeof bits);
    memcpy(&limit_bits, &limit, sizeof limit_bits);
    memcpy(&over, &room, sizeof over);
    over = 0 - (over >> 63); /* all ones where room is negative */
    bits = (bits & ~over) | (limit_bits & over);
    memcpy(&s, &bits, sizeof s);
    return s;
}

/* exp(−s) for s ≥ 0; beyond 700 (1e-304) it stays there. */
static inline double exp_minus(double s)
{
    const double round_up = 6755399441055744.0; /* 1.5·2^52: adding it rounds to an integer */
    const double log2_e = 1.4426950408889634074;
    const double ln2_high = 6.93147180369123816490e-01, ln2_low = 1.90821492927058770002e-10;
    const double x = -at_most_700(s);
    const double shifted = x * log2_e + round_up;
    const double n = shifted - round_up;
    const double r = (x - n * ln2_high) - n * ln2_low;
    double sum = 1.0 / 6227020800;
    sum = sum * r + 1.0 / 479001600;
    sum = sum * r + 1.0 / 39916800;
    sum = sum * r + 1.0 / 3628800;
    sum = sum * r + 1.0 / 362880;
    sum = sum * r + 1.0 / 40320;
    sum = sum * r + 1.0 / 5040;
    sum = sum * r + 1.0 / 720;
    sum = sum * r + 1.0 / 120;
    sum = sum * r + 1.0 / 24;
    sum = sum * r + 1.0 / 6;
    sum = sum * r + 0.5;
    sum = sum * r + 1;
    sum = sum * r + 1;
    uint64_t bits, exponent;
    memcpy(&bits, &sum, sizeof bits);
    memcpy(&exponent, &shifted, sizeof exponent);
    bits += exponent << 52; /* the low bits of `shifted` are n in two's complement */
    memcpy(&sum, &bits, sizeof sum);
    return sum;
}

TW_WIDE_CLONES void tw_krige_distances(size_t n, const tw_krige_points *points, const double at[3],
                                       double *restrict out)
{
    const double *x = points->x, *y = points->y, *z = points->z;
    for (size_t i = 0; i < n; i++) {
        const double dx = x[i] - at[0], dy = y[i] - at[1], dz = z[i] - at[2];
        out[i] = sqrt(dx * dx + dy * dy + dz * dz);
    }
}

TW_WIDE_CLONES void tw_krige_matern(size_t n, const double *distance, double scale,
                                    double *restrict out)
{
    const double rate = 1.7320508075688772935 / scale;
    for (size_t i = 0; i < n; i++) {
        const double s = distance[i] * rate;
        out[i] = (1 + s) * exp_minus(s);
    }
}
