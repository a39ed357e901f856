/* test_axes.c: principal moments and axes of known tensors. */
#include "taperwright/weigh.h"

#include "support.h"

static void check_axes(const double inertia[3][3], const double moments[3], double axes[3][3],
                       double size)
{
    double cross[3];

    for (int p = 0; p < 3; p++)
        for (int i = 0; i < 3; i++) {
            double row = 0, unit = 0;
            for (int j = 0; j < 3; j++)
                row += inertia[i][j] * axes[p][j];
            for (int j = 0; j < 3; j++)
                unit += axes[p][j] * axes[i][j];
            assert_close(row, moments[p] * axes[p][i], 1e-13 * size);
            assert_close(unit, p == i ? 1.0 : 0.0, 1e-14);
        }
    tw_cross(axes[0], axes[1], cross);
    assert_close(tw_dot(cross, axes[2]), 1, 1e-14);
    assert_true(moments[0] <= moments[1] && moments[1] <= moments[2]);
}

static void known_tensors(void **state)
{
    /* 2 ± √2 and 2: the classic tridiagonal matrix */
    const double classic[3][3] = {{2, -1, 0}, {-1, 2, -1}, {0, -1, 2}};
    const double diagonal[3][3] = {{5, 0, 0}, {0, 3, 0}, {0, 0, 9}};
    const double round[3][3] = {{4, 0, 0}, {0, 4, 0}, {0, 0, 4}};
    const double none[3][3] = {{0}};
    double moments[3], axes[3][3];

    (void)state;
    tw_principal_axes(classic, moments, axes);
    assert_close(moments[0], 2 - sqrt(2), 1e-15 * 4);
    assert_close(moments[1], 2, 1e-15 * 4);
    assert_close(moments[2], 2 + sqrt(2), 1e-15 * 4);
    check_axes(classic, moments, axes, 4);
    tw_principal_axes(diagonal, moments, axes);
    assert_true(moments[0] == 3 && moments[1] == 5 && moments[2] == 9);
    assert_true(axes[0][1] == 1 && axes[1][0] == 1 && axes[2][2] == -1);
    tw_principal_axes(round, moments, axes);
    check_axes(round, moments, axes, 4);
    tw_principal_axes(none, moments, axes);
    check_axes(none, moments, axes, 1);
}

/* Tensors built from chosen moments and a random rotation come apart into them again. */
static void random_tensors(void **state)
{
    test_random random = test_random_begin("random_tensors");

    (void)state;
    for (int trial = 0; trial < 500; trial++) {
        const double a = test_uniform(&random, -3, 3), b = test_uniform(&random, -3, 3);
        const double c = test_uniform(&random, -3, 3);
        const double turn[3][3] = {{cos(a) * cos(b), cos(a) * sin(b) * sin(c) - sin(a) * cos(c),
                                    cos(a) * sin(b) * cos(c) + sin(a) * sin(c)},
                                   {sin(a) * cos(b), sin(a) * sin(b) * sin(c) + cos(a) * cos(c),
                                    sin(a) * sin(b) * cos(c) - cos(a) * sin(c)},
                                   {-sin(b), cos(b) * sin(c), cos(b) * cos(c)}};
        const double low = test_uniform(&random, 1, 2);
        const double middle = trial % 5 == 0 ? low : low + test_uniform(&random, 0, 3);
        const double high = middle + test_uniform(&random, 0, 3), wanted[3] = {low, middle, high};
        double inertia[3][3] = {{0}}, moments[3], axes[3][3];
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                for (int p = 0; p < 3; p++)
                    inertia[i][j] += 1e6 * wanted[p] * turn[i][p] * turn[j][p];
        tw_principal_axes(inertia, moments, axes);
        check_axes(inertia, moments, axes, 1e6 * high);
        for (int p = 0; p < 3; p++)
            assert_close(moments[p], 1e6 * wanted[p], 1e-8);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(known_tensors),
                                       cmocka_unit_test(random_tensors)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
