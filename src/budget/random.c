/*
 * random.c: random numbers that depend on where they are used and on nothing before them, so that
 * trials may run in any order on any number of threads.
 *
 * Philox 4x32-10: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random numbers: as
 * easy as 1, 2, 3", SC11 (2011); multipliers and key steps from memory, held against known answers
 * in the test. Draws: normal by Box & Muller (1958); Student's t by R. W. Bailey, "Polar generation of
 * random variates with the t-distribution", Math. Comp. 62 (1994); the others by JCGM 101:2008, 6.4.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

enum { ROUNDS = 10 };

static uint32_t multiply(uint32_t a, uint32_t b, uint32_t *low)
{
    const uint64_t product = (uint64_t)a * b;

    *low = (uint32_t)product;
    return (uint32_t)(product >> 32);
}

void tw_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
    uint32_t c[4] = {counter[0], counter[1], counter[2], counter[3]};
    uint32_t k[2] = {key[0], key[1]};

    for (int round = 0; round < ROUNDS; round++) {
        uint32_t low0, low1;
        const uint32_t high0 = multiply(UINT32_C(0xD2511F53), c[0], &low0);
        const uint32_t high1 = multiply(UINT32_C(0xCD9E8D57), c[2], &low1);
        const uint32_t odd0 = c[1], odd1 = c[3];
        c[0] = high1 ^ odd0 ^ k[0];
        c[1] = low1;
        c[2] = high0 ^ odd1 ^ k[1];
        c[3] = low0;
        k[0] += UINT32_C(0x9E3779B9); /* golden ratio */
        k[1] += UINT32_C(0xBB67AE85); /* √3 − 1 */
    }
    for (int n = 0; n < 4; n++)
        out[n] = c[n];
}

/* 52 bits to the middle of one of 2⁵² equal parts of 0…1: never 0, never 1. */
static double uniform(uint32_t high, uint32_t low)
{
    const uint64_t bits = ((uint64_t)high << 32 | low) >> 12;

    return ((double)bits + 0.5) * 0x1p-52;
}

double tw_draw(const tw_budget_row *row, uint64_t seed, uint64_t trial, uint32_t input)
{
    const uint32_t counter[4] = {(uint32_t)trial, (uint32_t)(trial >> 32), input, 0};
    const uint32_t key[2] = {(uint32_t)seed, (uint32_t)(seed >> 32)};
    uint32_t bits[4];
    double a, b, unit = 0;

    if (!(row->u > 0))
        return row->value;
    tw_philox(counter, key, bits);
    a = uniform(bits[0], bits[1]);
    b = uniform(bits[2], bits[3]);
    switch (row->distribution) {
    case TW_NORMAL:
        unit = sqrt(-2 * log(a)) * cos(2 * TW_PI * b);
        break;
    case TW_RECTANGULAR: /* half-width u·√3 */
        unit = sqrt(3.0) * (2 * a - 1);
        break;
    case TW_TRIANGULAR: /* u·√6 */
        unit = sqrt(6.0) * (a + b - 1);
        break;
    case TW_ARCSINE: /* u·√2 */
        unit = sqrt(2.0) * sin(2 * TW_PI * a);
        break;
    case TW_STUDENT: /* expm1 keeps the digits of many degrees of freedom */
        unit = (isinf(row->freedom) ? sqrt(-2 * log(a))
                                    : sqrt(row->freedom * expm1(-2 / row->freedom * log(a)))) *
               cos(2 * TW_PI * b);
        break;
    }
    return row->value + row->u * unit;
}
