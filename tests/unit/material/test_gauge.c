/* Gauge systems against published tables, rows 8 to 26. */
#include "support.h"

#include "taperwright/material.h"

enum { ROWS = TW_GAUGE_LAST - TW_GAUGE_FIRST + 1 };

/* Inch as published to four decimals (MSG: trade lists; AWG: ASTM B258 rounded), three for SWG and
 * BWG (two wire-gauge lists that agree); USS inch and mm: 15 U.S.C. 206, both columns. */
static const struct {
    double msg, uss, uss_mm, swg, bwg, awg;
} published[ROWS] = {
    {0.1644, 0.171875, 4.365625, 0.160, 0.165, 0.1285},
    {0.1495, 0.15625, 3.96875, 0.144, 0.148, 0.1144},
    {0.1345, 0.140625, 3.571875, 0.128, 0.134, 0.1019},
    {0.1196, 0.125, 3.175, 0.116, 0.120, 0.0907},
    {0.1046, 0.109375, 2.778125, 0.104, 0.109, 0.0808},
    {0.0897, 0.09375, 2.38125, 0.092, 0.095, 0.0720},
    {0.0747, 0.078125, 1.984375, 0.080, 0.083, 0.0641},
    {0.0673, 0.0703125, 1.785937, 0.072, 0.072, 0.0571},
    {0.0598, 0.0625, 1.5875, 0.064, 0.065, 0.0508},
    {0.0538, 0.05625, 1.42875, 0.056, 0.058, 0.0453},
    {0.0478, 0.05, 1.27, 0.048, 0.049, 0.0403},
    {0.0418, 0.04375, 1.11125, 0.040, 0.042, 0.0359},
    {0.0359, 0.0375, 0.9525, 0.036, 0.035, 0.0320},
    {0.0329, 0.034375, 0.873125, 0.032, 0.032, 0.0285},
    {0.0299, 0.03125, 0.79375, 0.028, 0.028, 0.0253},
    {0.0269, 0.028125, 0.714375, 0.024, 0.025, 0.0226},
    {0.0239, 0.025, 0.635, 0.022, 0.022, 0.0201},
    {0.0209, 0.021875, 0.555625, 0.020, 0.020, 0.0179},
    {0.0179, 0.01875, 0.47625, 0.018, 0.018, 0.0159},
};

/* mm columns of the same lists, to three decimals (exact ratios, so 1.518 and not 1.519 for MSG 16). */
static const struct {
    double msg, swg, bwg, awg;
} published_mm[ROWS] = {
    {4.176, 4.064, 4.191, 3.264}, {3.796, 3.658, 3.759, 2.906}, {3.416, 3.251, 3.404, 2.588},
    {3.037, 2.946, 3.048, 2.305}, {2.657, 2.642, 2.769, 2.053}, {2.278, 2.337, 2.413, 1.828},
    {1.898, 2.032, 2.108, 1.628}, {1.708, 1.829, 1.829, 1.450}, {1.518, 1.626, 1.651, 1.291},
    {1.367, 1.422, 1.473, 1.150}, {1.215, 1.219, 1.245, 1.024}, {1.063, 1.016, 1.067, 0.912},
    {0.911, 0.914, 0.889, 0.812}, {0.835, 0.813, 0.813, 0.723}, {0.759, 0.711, 0.711, 0.644},
    {0.683, 0.610, 0.635, 0.573}, {0.607, 0.559, 0.559, 0.511}, {0.531, 0.508, 0.508, 0.455},
    {0.456, 0.457, 0.457, 0.405},
};

static void check(tw_gauge_system system, int number, double inch, double mm)
{
    double got_inch = 0, got_mm = 0;

    assert_int_equal(tw_gauge_thickness(system, number, &got_inch, &got_mm, NULL), TW_OK);
    assert_close(got_inch, inch, 0.00005);
    assert_close(got_mm, mm, 0.001);
    assert_close(got_mm, got_inch * 25.4, 1e-12);
}

static void every_row_is_as_published(void **state)
{
    (void)state;
    for (int row = 0; row < ROWS; row++) {
        const int number = TW_GAUGE_FIRST + row;
        double mm = 0;
        check(TW_GAUGE_MSG, number, published[row].msg, published_mm[row].msg);
        check(TW_GAUGE_USS, number, published[row].uss, published[row].uss_mm);
        check(TW_GAUGE_SWG, number, published[row].swg, published_mm[row].swg);
        check(TW_GAUGE_BWG, number, published[row].bwg, published_mm[row].bwg);
        check(TW_GAUGE_AWG, number, published[row].awg, published_mm[row].awg);
        /* the statute's mm column is exact to its last digit */
        assert_int_equal(tw_gauge_thickness(TW_GAUGE_USS, number, NULL, &mm, NULL), TW_OK);
        assert_close(mm, published[row].uss_mm, 6e-7);
    }
    /* Birmingham sheet and hoop, order of 1914 */
    check(TW_GAUGE_BG, 16, 0.0625, 1.5875);
    check(TW_GAUGE_BG, 18, 0.0495, 1.2573);
    check(TW_GAUGE_BG, 20, 0.0392, 0.99568);
}

static void numbers_outside_the_table_are_told(void **state)
{
    tw_error err;
    double mm = 77;

    (void)state;
    for (int k = 0; k < TW_GAUGE_SYSTEMS; k++) {
        const tw_gauge_system system = (tw_gauge_system)k;
        assert_int_equal(tw_gauge_thickness(system, 7, NULL, &mm, &err), TW_ERR_DOMAIN);
        assert_int_equal(tw_gauge_thickness(system, 27, NULL, &mm, &err), TW_ERR_DOMAIN);
        assert_int_equal(tw_gauge_thickness(system, -1, NULL, &mm, &err), TW_ERR_DOMAIN);
        assert_non_null(strstr(err.message, tw_gauge_about(system)->code));
        assert_true(strlen(tw_gauge_about(system)->source) > 10);
    }
    assert_int_equal(tw_gauge_thickness(TW_GAUGE_BG, 17, NULL, &mm, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.advice, "16, 18 and 20"));
    assert_true(mm == 77);
}

static void the_nearest_number_is_the_nearest(void **state)
{
    test_random random = test_random_begin("the_nearest_number_is_the_nearest");
    tw_error err;
    int number = 0;
    double thicker = 0;

    (void)state;
    assert_int_equal(tw_gauge_nearest(TW_GAUGE_SWG, 1.6, &number, &thicker, NULL), TW_OK);
    assert_int_equal(number, 16);
    assert_close(thicker, 0.0256, 1e-12);
    for (int trial = 0; trial < 2000; trial++) {
        const tw_gauge_system system = (tw_gauge_system)test_uniform(&random, 0, TW_GAUGE_SYSTEMS);
        const double mm = test_uniform(&random, 1.0, 1.6);
        assert_int_equal(tw_gauge_nearest(system, mm, &number, &thicker, NULL), TW_OK);
        for (int k = TW_GAUGE_FIRST; k <= TW_GAUGE_LAST; k++) {
            double other;
            if (tw_gauge_thickness(system, k, NULL, &other, NULL) == TW_OK)
                assert_true(fabs(other - mm) >= fabs(thicker) - 1e-12);
        }
    }
    assert_int_equal(tw_gauge_nearest(TW_GAUGE_SWG, 6, &number, &thicker, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.advice, "4.06 mm"));
    assert_int_equal(tw_gauge_nearest(TW_GAUGE_SWG, 0.2, &number, NULL, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_gauge_nearest(TW_GAUGE_SWG, NAN, &number, NULL, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_gauge_nearest(TW_GAUGE_SWG, 4.3, &number, NULL, &err), TW_OK);
    assert_int_equal(number, 8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_is_as_published),
        cmocka_unit_test(numbers_outside_the_table_are_told),
        cmocka_unit_test(the_nearest_number_is_the_nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
