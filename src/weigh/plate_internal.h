/* plate_internal.h: the numerical error of a plate, apart so that a test can feed it masses. */
#ifndef PLATE_INTERNAL_H
#define PLATE_INTERNAL_H

#include "taperwright/weigh.h"

/**
 * @brief Numerical error of a mass from grids of n/4, n/2 and n cells.
 * @param mass  coarse, middle, fine [g]; NaN for a grid that could not be made
 * @return [g], ≥ 0; NaN when the fine grid has no other beside it
 */
double tw_numerical_error(const double mass[3]);

#endif
