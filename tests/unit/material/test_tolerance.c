/*
 * Bounds of sheet thickness at, just below and just above every boundary of EN 10131:2006 (yield
 * below 260 MPa) and EN 10051 category A. The figures are typed here again, by nominal thickness.
 */
#include "support.h"

#include "taperwright/material.h"

#define JUST 1e-6 /* [mm] */

static double bound_of(tw_tolerance_standard standard, tw_tolerance_class grade, double nominal,
                       double width)
{
    double bound = NAN;
    tw_error err;

    if (tw_tolerance_find(standard, grade, nominal, width, &bound, &err) != TW_OK)
        fail_msg("%g mm: %s", nominal, err.message);
    return bound;
}

static void refused(tw_tolerance_standard standard, tw_tolerance_class grade, double nominal,
                    double width, const char *message)
{
    double bound = 77;
    tw_error err;

    assert_int_equal(tw_tolerance_find(standard, grade, nominal, width, &bound, &err),
                     TW_ERR_DOMAIN);
    if (!strstr(err.message, message))
        fail_msg("%s", err.message);
    assert_true(bound == 77 && err.advice[0] != '\0');
    assert_int_equal(tw_tolerance_find(standard, grade, nominal, width, &bound, NULL),
                     TW_ERR_DOMAIN);
}

/* Rows: upper end of a band, then ± for normal ≤ 1200, ≤ 1500, > 1500 and special ≤ 1200. */
static const double cold[][5] = {
    {0.40, 0.03, 0.04, 0.05, 0.020}, {0.60, 0.03, 0.04, 0.05, 0.025},
    {0.80, 0.04, 0.05, 0.06, 0.030}, {1.00, 0.05, 0.06, 0.07, 0.035},
    {1.20, 0.06, 0.07, 0.08, 0.040}, {1.60, 0.08, 0.09, 0.10, 0.050},
    {2.00, 0.10, 0.11, 0.12, 0.060}, {2.50, 0.12, 0.13, 0.14, 0.080},
    {3.00, 0.15, 0.15, 0.16, 0.100},
};
enum { COLD = sizeof cold / sizeof *cold };

static void cold_rolled_bands_hold_their_upper_end(void **state)
{
    static const double widths[] = {0, 600, 1200, 1200.1, 1500, 1500.1, 2000};
    static const size_t columns[] = {1, 1, 1, 2, 2, 3, 3};
    const tw_tolerance_standard en = TW_TOLERANCE_COLD_ROLLED;

    (void)state;
    for (size_t w = 0; w < sizeof widths / sizeof *widths; w++)
        for (size_t k = 0; k < COLD; k++) {
            const double at = cold[k][0], wanted = cold[k][columns[w]];
            assert_close(bound_of(en, TW_CLASS_NORMAL, at - JUST, widths[w]), wanted, 0);
            assert_close(bound_of(en, TW_CLASS_NORMAL, at, widths[w]), wanted, 0);
            if (k + 1 < COLD)
                assert_close(bound_of(en, TW_CLASS_NORMAL, at + JUST, widths[w]),
                             cold[k + 1][columns[w]], 0);
        }
    for (size_t k = 0; k < COLD; k++) {
        assert_close(bound_of(en, TW_CLASS_SPECIAL, cold[k][0] - JUST, 1200), cold[k][4], 0);
        assert_close(bound_of(en, TW_CLASS_SPECIAL, cold[k][0], 0), cold[k][4], 0);
        if (k + 1 < COLD)
            assert_close(bound_of(en, TW_CLASS_SPECIAL, cold[k][0] + JUST, 0), cold[k + 1][4], 0);
    }
    assert_close(bound_of(en, TW_CLASS_NORMAL, 0.35, 0), 0.03, 0);
    assert_close(bound_of(en, TW_CLASS_NORMAL, 1.5, 0), 0.08, 0);
    assert_close(bound_of(en, TW_CLASS_NORMAL, 0.0472440944881889764 * 25.4, 0), 0.06, 0);
    refused(en, TW_CLASS_NORMAL, 0.35 - JUST, 0, "from 0.35 to 3 mm");
    refused(en, TW_CLASS_NORMAL, 3 + JUST, 0, "from 0.35 to 3 mm");
    refused(en, TW_CLASS_NORMAL, NAN, 0, "from 0.35 to 3 mm");
    refused(en, TW_CLASS_SPECIAL, 1, 1200.1, "1200 mm wide");
    refused(en, TW_CLASS_B, 1, 0, "no such class");
}

static void hot_rolled_bands_hold_their_upper_end(void **state)
{
    static const double hot[][2] = {{2, 0.17}, {2.5, 0.18}, {3, 0.20}, {4, 0.22}, {5, 0.24}};
    static const struct {
        tw_tolerance_class grade;
        double more;
    } grades[] = {{TW_CLASS_NORMAL, 1}, {TW_CLASS_B, 1.15}, {TW_CLASS_C, 1.3}, {TW_CLASS_D, 1.4}};
    const tw_tolerance_standard en = TW_TOLERANCE_HOT_ROLLED;

    (void)state;
    for (size_t g = 0; g < 4; g++)
        for (size_t k = 0; k < 5; k++) {
            const double at = hot[k][0], wanted = hot[k][1] * grades[g].more;
            assert_close(bound_of(en, grades[g].grade, at - JUST, 1200), wanted, 1e-15);
            assert_close(bound_of(en, grades[g].grade, at, 0), wanted, 1e-15);
            if (k < 4)
                assert_close(bound_of(en, grades[g].grade, at + JUST, 0),
                             hot[k + 1][1] * grades[g].more, 1e-15);
        }
    refused(en, TW_CLASS_NORMAL, 5 + JUST, 0, "from 0 to 5 mm");
    refused(en, TW_CLASS_NORMAL, 0, 0, "from 0 to 5 mm");
    refused(en, TW_CLASS_NORMAL, 1, 1200.1, "1200 mm wide");
    refused(en, TW_CLASS_SPECIAL, 1, 0, "no such class");
}

/* Of a sheet of which only the thickness is known: the bands above, then 7 % of it. */
static void usual_bound_falls_back(void **state)
{
    double bound = 0;
    (void)state;

    assert_int_equal(tw_tolerance_usual(1.6, &bound), TW_USUAL_COLD_ROLLED);
    assert_true(fabs(bound - 0.08) < 1e-12);
    assert_int_equal(tw_tolerance_usual(4.0, &bound), TW_USUAL_HOT_ROLLED);
    assert_true(fabs(bound - 0.22) < 1e-12);
    assert_int_equal(tw_tolerance_usual(20, &bound), TW_USUAL_SHARE);
    assert_true(fabs(bound - 1.4) < 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cold_rolled_bands_hold_their_upper_end),
        cmocka_unit_test(hot_rolled_bands_hold_their_upper_end),
        cmocka_unit_test(usual_bound_falls_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
