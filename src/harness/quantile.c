/*
 * quantile.c: sample quantiles, type 7 of R. J. Hyndman & Y. Fan, "Sample Quantiles in Statistical
 * Packages", The American Statistician 50 (1996) 361–365: the sorted sample is taken as equally
 * spaced over 0…1, and read by straight lines between.
 */
#include "taperwright/harness.h"

#include <assert.h>
#include <math.h>

double tw_quantile(const double *sorted, size_t count, double share)
{
    double place;
    size_t below;

    assert(share >= 0 && share <= 1);
    if (count == 0)
        return NAN;
    place = share * (double)(count - 1);
    below = (size_t)place;
    if (below + 1 >= count)
        return sorted[count - 1];
    return sorted[below] + (place - (double)below) * (sorted[below + 1] - sorted[below]);
}
