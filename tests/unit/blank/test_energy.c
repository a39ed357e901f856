/* Work of one triangle: known strains, and first and second derivatives against differences. */
#include "blank_checks.h"

#include "blank/blank_internal.h"

static void random_gradient(test_random *random, double J[4])
{
    do
        for (int k = 0; k < 4; k++)
            J[k] = (k % 3 == 0) + test_uniform(random, -0.4, 0.4);
    while (J[0] * J[3] - J[1] * J[2] < 0.2);
}

/* Stretched by e^p along one way and e^q across it, turned by any angles: (4/3)(p² + pq + q²). */
static void work_is_that_of_the_strains(void **state)
{
    test_random random = test_random_begin("work_is_that_of_the_strains");

    (void)state;
    for (int trial = 0; trial < 200; trial++) {
        const double p = test_uniform(&random, -0.6, 0.6), q = test_uniform(&random, -0.6, 0.6);
        const double u = test_uniform(&random, 0, 6), v = test_uniform(&random, 0, 6);
        const double s[2] = {exp(-p), exp(-q)}, work = 4.0 / 3 * (p * p + p * q + q * q);
        const double J[4] = {cos(u) * s[0] * cos(v) - sin(u) * s[1] * sin(v),
                             -cos(u) * s[0] * sin(v) - sin(u) * s[1] * cos(v),
                             sin(u) * s[0] * cos(v) + cos(u) * s[1] * sin(v),
                             -sin(u) * s[0] * sin(v) + cos(u) * s[1] * cos(v)};
        double strain[2], direction;
        assert_close(tw_triangle_work(TW_WORK_EVEN, 3, 0, J), 3 * work, 1e-12);
        assert_close(tw_triangle_work(TW_WORK_FREE, 3, 0, J), 3 * work * exp(-p - q), 1e-12);
        assert_close(tw_triangle_work(TW_WORK_PRESCRIBED, 3, 5, J), 3 * work + 5 * exp(-p - q),
                     1e-12);
        tw_triangle_strains(J, strain, &direction);
        assert_close(strain[0], fmax(p, q), 1e-12);
        assert_close(strain[1], fmin(p, q), 1e-12);
        if (fabs(p - q) > 1e-3) /* in the plane, the way of the greater one; either sense */
            assert_close(fabs(cos(direction - (p > q ? u : u + TW_PI / 2))), 1, 1e-9);
    }
    assert_true(tw_triangle_work(TW_WORK_FREE, 1, 0, (const double[4]){1, 0, 0, -1}) == INFINITY);
}

static void derivatives_agree_with_differences(void **state)
{
    static const double hat[3][2] = {{-0.8, -0.55}, {0.9, -0.35}, {-0.1, 0.9}};
    static const uint32_t corner[3] = {0, 1, 2};
    test_random random = test_random_begin("derivatives_agree_with_differences");
    int convex = 0;

    (void)state;
    for (int trial = 0; trial < 300; trial++) {
        const tw_work_kind kind = (tw_work_kind)(trial % 3);
        const double pressure = kind == TW_WORK_PRESCRIBED ? test_uniform(&random, -1, 1) : 0;
        double at[3][2], slope[6], bend[36], J[4], more[6], less[6], scrap[36], off = 0;
        do { /* corners whose gradient is near the identity */
            double plane[4];
            random_gradient(&random, plane);
            for (int k = 0; k < 3; k++) {
                const double x = k == 1 ? 1.0 : k == 2 ? 0.4 : 0, y = k == 2 ? 1.1 : 0;
                at[k][0] = plane[0] * x + plane[1] * y;
                at[k][1] = plane[2] * x + plane[3] * y;
            }
            tw_triangle_gradient(hat, at, corner, J);
        } while (J[0] * J[3] - J[1] * J[2] < 0.2);
        tw_triangle_bend(kind, 2, pressure, J, hat, slope, bend);
        for (int n = 0; n < 6; n++) {
            const double h = 1e-5, was = at[n / 2][n % 2];
            double high, low;
            at[n / 2][n % 2] = was + h;
            tw_triangle_gradient(hat, at, corner, J);
            high = tw_triangle_work(kind, 2, pressure, J);
            tw_triangle_bend(kind, 2, pressure, J, hat, more, scrap);
            at[n / 2][n % 2] = was - h;
            tw_triangle_gradient(hat, at, corner, J);
            low = tw_triangle_work(kind, 2, pressure, J);
            tw_triangle_bend(kind, 2, pressure, J, hat, less, scrap);
            at[n / 2][n % 2] = was;
            assert_close(slope[n], (high - low) / (2 * h), 1e-6);
            for (int m = 0; m < 6; m++)
                off = fmax(off, fabs(bend[6 * n + m] - (more[m] - less[m]) / (2 * h)));
            assert_true(bend[7 * n] >= 0);
        }
        convex += off < 1e-4; /* nothing was left out */
    }
    assert_true(convex > 60);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(work_is_that_of_the_strains),
        cmocka_unit_test(derivatives_agree_with_differences),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
