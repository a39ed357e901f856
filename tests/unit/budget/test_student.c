/* Student's t against published table figures, and against 40-digit values. */
#include "support.h"
#include "taperwright/budget.h"

/* JCGM 100:2008, Table G.2 (from memory; any table of the t distribution has them), to its digits. */
static void table_of_the_guide(void **state)
{
    static const struct {
        double probability, freedom, t;
    } rows[] = {
        {0.95, 1, 12.71},     {0.95, 2, 4.30},   {0.95, 5, 2.57},           {0.95, 10, 2.23},
        {0.95, 20, 2.09},     {0.95, 50, 2.01},  {0.95, INFINITY, 1.960},   {0.99, 1, 63.66},
        {0.99, 5, 4.03},      {0.99, 16, 2.92},  {0.99, INFINITY, 2.576},   {0.9545, 10, 2.28},
        {0.9545, 100, 2.025}, {0.6827, 3, 1.20}, {0.6827, INFINITY, 1.000},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        assert_close(tw_student_t(rows[k].probability, rows[k].freedom), rows[k].t, 0.0051);
}

/* By bisection of the regularised incomplete beta function in 40 digits (mpmath). */
static void many_digits(void **state)
{
    static const struct {
        double probability, freedom, t;
    } rows[] = {
        {0.95, 1, 12.7062047361747},         {0.95, 2.5, 3.574654842003683},
        {0.99, 16, 2.9207816224251},         {0.99, 16.7519, 2.903546666421632},
        {0.95, 30, 2.042272456301238},       {0.95, 0.5, 164.5576734804885},
        {0.5, 3.3, 0.7559716814492411},      {0.9545, 1000.5, 2.002504264774883},
        {0.95, 500000, 1.959968729093805},   {0.95, 2000000, 1.959965170676375},
        {0.999999, 7.25, 15.02138844291701}, {0.01, 4.5, 0.01324386372955144},
        {0.95, INFINITY, 1.959963984540054},
    };
    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        assert_close(tw_student_t(rows[k].probability, rows[k].freedom) / rows[k].t, 1, 1e-10);
}

/* ν = 1: tan(πp/2); ν = 2: p·√(2/(1 − p²)). Closed forms of both distributions. */
static void closed_forms(void **state)
{
    test_random random = test_random_begin("student closed forms");
    (void)state;
    for (int k = 0; k < 200; k++) {
        const double p = test_uniform(&random, 0.001, 0.999);
        assert_close(tw_student_t(p, 1) / tan(0.5 * TW_PI * p), 1, 1e-10);
        assert_close(tw_student_t(p, 2) / (p * sqrt(2 / (1 - p * p))), 1, 1e-10);
    }
}

/* z of P(|Z| ≤ z) = 1/4, 1/2, 0.9: 0.3186394, 0.6744898, 1.6448536 (Abramowitz & Stegun, table 26.5: x of
 * Q = 0.375, 0.25, 0.05); and a tail so heavy that no double holds the quantile. */
static void the_normal_limit_and_beyond(void **state)
{
    (void)state;
    for (int k = 0; k < 2; k++) {
        const double freedom = k ? INFINITY : 1e12;
        assert_close(tw_student_t(0.25, freedom), 0.3186394, 1e-7);
        assert_close(tw_student_t(0.5, freedom), 0.6744898, 1e-7);
        assert_close(tw_student_t(0.9, freedom), 1.6448536, 1e-7);
    }
    assert_true(isinf(tw_student_t(0.95, 0.001))); /* tail ~ t^−0.001: about 10^1300 */
}

static void falls_with_freedom(void **state)
{
    double before = INFINITY;
    (void)state;
    for (double freedom = 0.3; freedom < 1e8; freedom *= 1.7) {
        const double t = tw_student_t(0.95, freedom);
        assert_true(t < before);
        before = t;
    }
    assert_true(tw_student_t(0.95, INFINITY) < before);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(table_of_the_guide), cmocka_unit_test(many_digits),
        cmocka_unit_test(closed_forms),       cmocka_unit_test(the_normal_limit_and_beyond),
        cmocka_unit_test(falls_with_freedom),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
