/* models.h: published examples that the budget and the Monte Carlo are both held against. */
#ifndef MODELS_H
#define MODELS_H

#include "support.h"
#include "taperwright/budget.h"

#define ROWS(array) (sizeof(array) / sizeof *(array))

static inline tw_budget_row row_of(const char *name, double value, double u,
                                   tw_distribution distribution, double freedom)
{
    return (tw_budget_row){.name = name,
                           .unit = "",
                           .value = value,
                           .u = u,
                           .distribution = distribution,
                           .freedom = freedom};
}

static inline double add_all(const double *inputs, size_t count, void *context)
{
    double sum = 0;

    (void)context;
    for (size_t k = 0; k < count; k++)
        sum += inputs[k];
    return sum;
}

/* JCGM 101:2008, 9.3: calibration of a weight in terms of conventional mass, with the reference
 * density of air 1.2 kg/m³ and nominal 100 g; deviation in mg. Inputs: its Table 5 (through an
 * independent implementation's manual). */
static inline double mass_calibration(const double *x, size_t count, void *context)
{
    (void)count;
    (void)context;
    return (x[0] + x[1]) * (1 + (x[2] - 1.2) * (1 / x[3] - 1 / x[4])) - 100000;
}

static inline void mass_calibration_rows(tw_budget_row rows[5])
{
    const double root3 = sqrt(3.0);

    rows[0] = row_of("reference weight", 100000, 0.050, TW_NORMAL, INFINITY);
    rows[1] = row_of("added weight", 1.234, 0.020, TW_NORMAL, INFINITY);
    rows[2] = row_of("air density", 1.20, 0.10 / root3, TW_RECTANGULAR, INFINITY);
    rows[3] = row_of("density of the weight", 8000, 1000 / root3, TW_RECTANGULAR, INFINITY);
    rows[4] = row_of("density of the reference", 8000, 50 / root3, TW_RECTANGULAR, INFINITY);
}

#endif
