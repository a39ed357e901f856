/* Root finding against closed forms and against plain bisection. */
#include "support.h"

typedef struct counted {
    double shape[3];
    int calls;
} counted;

static double cubic(double x, void *context)
{
    counted *c = context;

    c->calls++;
    return ((c->shape[0] * x + c->shape[1]) * x + c->shape[2]) * x - 1;
}

static double bisect(tw_function function, void *context, double low, double high)
{
    const bool rising = function(high, context) > 0;

    for (int k = 0; k < 200; k++) {
        const double middle = low + 0.5 * (high - low);
        *((function(middle, context) > 0) == rising ? &high : &low) = middle;
    }
    return low;
}

/* Increasing cubics with a root in [0, 10]: Brent and bisection agree, Brent with fewer calls. */
static void brent_agrees_with_bisection(void **state)
{
    test_random random = test_random_begin("brent_agrees_with_bisection");
    int most = 0;

    (void)state;
    for (int trial = 0; trial < 500; trial++) {
        counted c = {{test_uniform(&random, 0.01, 3), test_uniform(&random, 0, 3),
                      test_uniform(&random, 0.2, 3)},
                     0};
        double root;
        assert_int_equal(tw_find_root(cubic, &c, 0, 10, 1e-12, &root, NULL), TW_OK);
        most = c.calls > most ? c.calls : most;
        assert_close(root, bisect(cubic, &c, 0, 10), 2e-12);
    }
    assert_true(most < 30);
}

static double cosine_less_x(double x, void *context)
{
    (void)context;
    return cos(x) - x;
}

static double step(double x, void *context)
{
    return x < *(double *)context ? -1 : 1;
}

static double pole(double x, void *context)
{
    (void)context;
    return 1 / (x - 1);
}

static void known_roots_are_found(void **state)
{
    double root = -1, at = 0.3;

    (void)state;
    /* The fixed point of cos, OEIS A003957. */
    assert_int_equal(tw_find_root(cosine_less_x, NULL, 0, 1, 1e-15, &root, NULL), TW_OK);
    assert_close(root, 0.73908513321516064, 4e-16);
    /* either order of the ends; a jump is closed in on */
    assert_int_equal(tw_find_root(cosine_less_x, NULL, 1, 0, 1e-15, &root, NULL), TW_OK);
    assert_close(root, 0.73908513321516064, 4e-16);
    assert_int_equal(tw_find_root(step, &at, 0, 1, 1e-10, &root, NULL), TW_OK);
    assert_close(root, 0.3, 1e-10);
}

static void no_bracket_is_told_and_leaves_the_root_alone(void **state)
{
    tw_error err;
    double root = 77;

    (void)state;
    assert_int_equal(tw_find_root(cosine_less_x, NULL, 2, 3, 1e-9, &root, &err),
                     TW_ERR_UNREACHABLE);
    assert_int_equal(err.status, TW_ERR_UNREACHABLE);
    assert_non_null(strstr(err.message, "2"));
    assert_int_equal(tw_find_root(pole, NULL, 1, 2, 1e-9, &root, &err), TW_ERR_UNREACHABLE);
    assert_true(root == 77);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(brent_agrees_with_bisection),
        cmocka_unit_test(known_roots_are_found),
        cmocka_unit_test(no_bracket_is_told_and_leaves_the_root_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
