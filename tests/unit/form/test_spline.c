/* test_spline.c: monotone cubic, C2 spline, Gauss rules. */
#include "form/surface_internal.h"

#include "support.h"

static void gauss_rules_are_exact_for_powers(void **state)
{
    (void)state;
    for (int power = 0; power <= 15; power++) {
        double eight = 0, five = 0;
        for (int g = 0; g < 8; g++)
            eight += tw_gauss8_weight[g] * pow(tw_gauss8_node[g], power);
        for (int g = 0; g < 5; g++)
            five += tw_gauss5_weight[g] * pow(tw_gauss5_node[g], power);
        assert_close(eight, 1.0 / (power + 1), 1e-15);
        if (power <= 9)
            assert_close(five, 1.0 / (power + 1), 1e-15);
    }
}

static double cubic(double x)
{
    return 2 + x * (3 - x * (0.5 - 0.25 * x));
}

static void hermite_repeats_a_cubic(void **state)
{
    const double x0 = 1.5, x1 = 4;
    double out[3];

    (void)state;
    for (double t = 0; t <= 1; t += 0.125) {
        const double x = x0 + t * (x1 - x0);
        tw_hermite(x1 - x0, t, cubic(x0), 3 - x0 + 0.75 * x0 * x0, cubic(x1),
                   3 - x1 + 0.75 * x1 * x1, out);
        assert_close(out[0], cubic(x), 1e-13);
        assert_close(out[1], 3 - x + 0.75 * x * x, 1e-13);
        assert_close(out[2], -1 + 1.5 * x, 1e-13);
    }
}

static void spline_repeats_a_cubic(void **state)
{
    double y[9], bend[9], work[9];

    (void)state;
    for (int i = 0; i < 9; i++)
        y[i] = cubic(0.5 * i);
    tw_spline_bends(9, y, bend, 1, work);
    for (int i = 0; i < 9; i++) /* step²/6 × second derivative */
        assert_close(bend[i], 0.25 / 6 * (-1 + 1.5 * 0.5 * i), 1e-13);
}

/* Property: between any two points the monotone cubic stays between their values. */
static void monotone_cubic_makes_no_bump(void **state)
{
    test_random random = test_random_begin("monotone");

    (void)state;
    for (int trial = 0; trial < 2000; trial++) {
        double x[6], y[6], slope[6], out[3];
        for (int i = 0; i < 6; i++) {
            x[i] = (i ? x[i - 1] : 0) + test_uniform(&random, 0.05, 3);
            y[i] = pow(test_uniform(&random, -1, 1), 3) * 50;
        }
        tw_monotone_slopes(6, x, y, slope);
        for (int i = 0; i < 5; i++)
            for (int k = 0; k <= 20; k++) {
                tw_hermite(x[i + 1] - x[i], k / 20.0, y[i], slope[i], y[i + 1], slope[i + 1], out);
                assert_true(out[0] >= fmin(y[i], y[i + 1]) - 1e-9 &&
                            out[0] <= fmax(y[i], y[i + 1]) + 1e-9);
            }
    }
}

/* H. Akima's data (J. ACM 17 (1970)), as Fritsch & Carlson 1980 use them (from memory): the interpolant must not fall below 10 on the flat
 * start nor rise over 15 before the jump, where an ordinary cubic spline does both. */
static void fritsch_and_carlson_data_stay_flat(void **state)
{
    const double x[] = {0, 2, 3, 5, 6, 8, 9, 11, 12, 14, 15};
    const double y[] = {10, 10, 10, 10, 10, 10, 10.5, 15, 50, 60, 85};
    double slope[11], out[3];

    (void)state;
    tw_monotone_slopes(11, x, y, slope);
    for (int i = 0; i < 6; i++)
        assert_close(slope[i], 0, 0);
    for (int i = 0; i < 10; i++)
        for (double t = 0; t <= 1; t += 0.05) {
            tw_hermite(x[i + 1] - x[i], t, y[i], slope[i], y[i + 1], slope[i + 1], out);
            assert_true(out[1] >= -1e-12);
        }
}

static void parabola_is_repeated(void **state)
{
    const double x[4] = {0, 1, 2.5, 4};
    double y[4], slope[4];

    (void)state;
    for (int i = 0; i < 4; i++)
        y[i] = 3 - 2 * x[i] - 0.1 * x[i] * x[i];
    tw_monotone_slopes(4, x, y, slope);
    for (int i = 0; i < 4; i++)
        assert_close(slope[i], -2 - 0.2 * x[i], 1e-14);
    tw_monotone_slopes(2, x, y, slope);
    assert_close(slope[0], -2.1, 1e-14);
    assert_close(slope[1], -2.1, 1e-14);
}

/* Not-a-knot repeats a cubic at any steps, three points make a parabola, two a line. Through a sine the
 * middle of a step is off by the fourth power of the step. */
static void slopes_of_a_spline(void **state)
{
    const double x[6] = {0, 1, 1.1, 4, 4.5, 9};
    double y[12], slope[12], work[65], miss[3];

    (void)state;
    for (size_t count = 2; count <= 6; count++) {
        const int power = count > 3 ? 3 : (int)count - 1;
        for (size_t i = 0; i < count; i++)
            y[2 * i] = 5 - x[i] + (power > 1 ? 0.3 * x[i] * x[i] : 0) +
                       (power > 2 ? 0.2 * x[i] * x[i] * x[i] : 0);
        tw_spline_slopes(count, x, y, slope, 2, work);
        for (size_t i = 0; i < count; i++)
            assert_close(slope[2 * i],
                         -1 + (power > 1 ? 0.6 * x[i] : 0) + (power > 2 ? 0.6 * x[i] * x[i] : 0),
                         1e-12);
    }
    for (size_t k = 0; k < 3; k++) {
        double at[65], sine[65], by[65], out[3];
        const size_t count = 1 + (16u << k);
        for (size_t i = 0; i < count; i++) {
            at[i] = 3.0 * (double)i / (double)(count - 1);
            sine[i] = sin(at[i]);
        }
        tw_spline_slopes(count, at, sine, by, 1, work);
        miss[k] = 0;
        for (size_t i = 0; i + 1 < count; i++) {
            tw_hermite(at[i + 1] - at[i], 0.5, sine[i], by[i], sine[i + 1], by[i + 1], out);
            miss[k] = fmax(miss[k], fabs(out[0] - sin(0.5 * (at[i] + at[i + 1]))));
        }
    }
    assert_true(miss[1] < miss[0] / 12 && miss[2] < miss[1] / 12 && miss[2] < 1e-7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gauss_rules_are_exact_for_powers),
        cmocka_unit_test(hermite_repeats_a_cubic),
        cmocka_unit_test(spline_repeats_a_cubic),
        cmocka_unit_test(monotone_cubic_makes_no_bump),
        cmocka_unit_test(fritsch_and_carlson_data_stay_flat),
        cmocka_unit_test(parabola_is_repeated),
        cmocka_unit_test(slopes_of_a_spline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
