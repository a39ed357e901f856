/* The generator against known answers, draws against moments, runs against JCGM 101. */
#include "models.h"

#include "budget/budget_internal.h"

#include <math.h>

/* Known answers published with the generator (Salmon et al. 2011, Random123's list), recalled from
 * memory: zeroes, ones, and the digits of π. */
static void philox_known_answers(void **state)
{
    static const uint32_t cases[3][10] = {
        {0, 0, 0, 0, 0, 0, 0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8},
        {0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0x408f276d,
         0x41c83b0e, 0xa20bc7c6, 0x6d5451fd},
        {0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344, 0xa4093822, 0x299f31d0, 0xd16cfe09,
         0x94fdcceb, 0x5001e420, 0x24126ea1},
    };
    (void)state;
    for (int k = 0; k < 3; k++) {
        uint32_t out[4];
        tw_philox(&cases[k][0], &cases[k][4], out);
        for (int n = 0; n < 4; n++)
            assert_int_equal(out[n], cases[k][6 + n]);
    }
}

/* Mean 0, variance 1 (Student's ν/(ν − 2)), and the share within the middle of each distribution. */
static void draws_have_their_moments(void **state)
{
    static const struct {
        tw_distribution distribution;
        double variance, within, share; /* P(|x| ≤ within), closed forms */
    } cases[] = {
        {TW_NORMAL, 1, 1, 0.6826895},           {TW_RECTANGULAR, 1, 0.8660254, 0.5},
        {TW_TRIANGULAR, 1, 1.2247449, 0.75},    {TW_ARCSINE, 1, 1, 0.5},
        {TW_STUDENT, 12.5 / 10.5, 2.169, 0.95}, /* t95(12.5) */
    };
    enum { DRAWS = 200000 };
    (void)state;

    for (size_t c = 0; c < ROWS(cases); c++) {
        const tw_budget_row row = row_of("x", 0, 1, cases[c].distribution, 12.5);
        double sum = 0, square = 0, inside = 0;
        for (uint64_t k = 0; k < DRAWS; k++) {
            const double x = tw_draw(&row, 11, k, (uint32_t)c);
            sum += x;
            square += x * x;
            inside += fabs(x) <= cases[c].within ? 1 : 0;
        }
        assert_close(sum / DRAWS, 0, 0.01); /* 4 standard errors */
        assert_close(square / DRAWS, cases[c].variance, 0.02);
        assert_close(inside / DRAWS, cases[c].share, 0.005);
    }
}

static tw_monte_carlo run(tw_model model, const tw_budget_row *rows, size_t count, size_t trials,
                          unsigned threads)
{
    tw_monte_carlo out;

    assert_int_equal(
        tw_monte_carlo_run(model, NULL, rows, count, trials, 20, threads, 0.95, &out, NULL), TW_OK);
    return out;
}

/* JCGM 101:2008, 9.2.2 to 9.2.4: published ±3.92, ±3.88, ±17.0 (the last two from memory); exact
 * intervals derived here from the sum of four rectangles. */
static void additive_models(void **state)
{
    tw_budget_row rows[4];
    tw_monte_carlo mc;
    (void)state;

    for (size_t k = 0; k < 4; k++)
        rows[k] = row_of("x", 0, 1, TW_NORMAL, INFINITY);
    mc = run(add_all, rows, 4, 400000, 0);
    assert_close(mc.mean, 0, 0.012);
    assert_close(mc.u, 2, 0.01);
    assert_close(mc.low, -3.919928, 0.03);
    assert_close(mc.high, 3.919928, 0.03);
    for (size_t k = 0; k < 4; k++)
        rows[k].distribution = TW_RECTANGULAR;
    mc = run(add_all, rows, 4, 400000, 0);
    assert_close(mc.u, 2, 0.01);
    assert_close(mc.low, -3.879407, 0.025);
    assert_close(mc.high, 3.879407, 0.025);
    rows[3].u = 10;
    mc = run(add_all, rows, 4, 400000, 0);
    assert_close(mc.u, 10.148892, 0.05);
    assert_close(mc.low, -17.015814, 0.08);
    assert_close(mc.high, 17.015814, 0.08);
    assert_true(mc.shortest_high - mc.shortest_low <= mc.high - mc.low);
}

/* JCGM 101:2008, 9.3: published u 0.0754, shortest interval 1.0834 … 1.3825 (from memory); exact u
 * 0.0754797 by integration. */
static void mass_calibration_by_trials(void **state)
{
    tw_budget_row rows[5];
    tw_monte_carlo mc;
    (void)state;

    mass_calibration_rows(rows);
    mc = run(mass_calibration, rows, 5, 1000000, 0);
    assert_close(mc.mean, 1.2341, 0.0004);
    assert_close(mc.u, 0.0755, 0.0003);
    assert_close(mc.shortest_low, 1.0834, 0.003);
    assert_close(mc.shortest_high, 1.3825, 0.003);
}

static void same_bits_for_any_thread_count(void **state)
{
    tw_budget_row rows[5];
    tw_monte_carlo one, other;
    (void)state;

    mass_calibration_rows(rows);
    one = run(mass_calibration, rows, 5, 30011, 1);
    for (unsigned threads = 2; threads < 6; threads++) {
        other = run(mass_calibration, rows, 5, 30011, threads);
        assert_memory_equal(&one, &other, sizeof one);
    }
    assert_int_equal(
        tw_monte_carlo_run(mass_calibration, NULL, rows, 5, 30011, 21, 2, 0.95, &other, NULL),
        TW_OK);
    assert_true(one.mean != other.mean); /* another seed, other numbers */
}

/* Where the model is linear, first order is exact. */
static void agrees_with_first_order_when_linear(void **state)
{
    const tw_budget_row rows[] = {
        row_of("a", 3, 1.5, TW_NORMAL, INFINITY), row_of("b", 1, 2, TW_TRIANGULAR, INFINITY),
        row_of("c", -4, 0.7, TW_RECTANGULAR, INFINITY), row_of("d", 2, 1.1, TW_ARCSINE, INFINITY)};
    tw_budget b;
    tw_monte_carlo mc;
    (void)state;

    assert_int_equal(tw_budget_make(add_all, NULL, rows, 4, NULL, false, 0.95, &b, NULL), TW_OK);
    mc = run(add_all, rows, 4, 200000, 0);
    assert_close(mc.u / b.u, 1, 0.01);
    assert_close(mc.mean, b.value, 0.01 * b.u);
    assert_close((mc.high - mc.low) / (2 * b.expanded), 1, 0.02);
    tw_budget_release(&b);
}

static double root(const double *x, size_t count, void *context)
{
    (void)count;
    (void)context;
    return sqrt(x[0]);
}

static void faults_are_told(void **state)
{
    const tw_budget_row row = row_of("x", 0, 1, TW_NORMAL, INFINITY);
    tw_monte_carlo mc;
    tw_error err;
    (void)state;

    assert_int_equal(tw_monte_carlo_run(root, NULL, &row, 1, 999, 1, 1, 0.95, &mc, &err),
                     TW_ERR_DOMAIN);
    assert_int_equal(tw_monte_carlo_run(root, NULL, &row, 1, 10000001, 1, 1, 0.95, &mc, &err),
                     TW_ERR_DOMAIN);
    assert_int_equal(tw_monte_carlo_run(root, NULL, &row, 1, 1000, 1, 1, 0.95, &mc, &err),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "trial"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(philox_known_answers),
        cmocka_unit_test(draws_have_their_moments),
        cmocka_unit_test(additive_models),
        cmocka_unit_test(mass_calibration_by_trials),
        cmocka_unit_test(same_bits_for_any_thread_count),
        cmocka_unit_test(agrees_with_first_order_when_linear),
        cmocka_unit_test(faults_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
