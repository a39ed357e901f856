/* Budget tables against published examples, and what must hold for any budget. */
#include "models.h"

#include "budget/budget_internal.h"

/* JCGM 100:2008, example H.1, end gauge: l = lS + d − lS·(δα·θ + αS·δθ), in nm. Inputs and outcome
 * as four public implementations of the example have them. */
static double end_gauge(const double *x, size_t count, void *context)
{
    (void)count;
    (void)context;
    return x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5]);
}

static void end_gauge_rows(bool rounded, tw_budget_row rows[6])
{
    const double root3 = sqrt(3.0);
    /* the difference's own parts as its table has them */
    const double repeats = 5.8, chance = 3.9, bias = 6.7;
    const double d = sqrt(repeats * repeats + chance * chance + bias * bias);
    const double d_freedom =
        pow(d, 4) / (pow(repeats, 4) / 24 + pow(chance, 4) / 5 + pow(bias, 4) / 8);

    rows[0] = row_of("standard", 50000623, 25, TW_STUDENT, 18);
    rows[1] = row_of("difference", 215, rounded ? 9.7 : d, TW_STUDENT, rounded ? 25.6 : d_freedom);
    rows[2] =
        row_of("expansion", 11.5e-6, rounded ? 1.2e-6 : 2e-6 / root3, TW_RECTANGULAR, INFINITY);
    rows[3] =
        row_of("temperature", -0.1, rounded ? 0.41 : sqrt(0.04 + 0.125), TW_ARCSINE, INFINITY);
    rows[4] =
        row_of("expansion difference", 0, rounded ? 0.58e-6 : 1e-6 / root3, TW_RECTANGULAR, 50);
    rows[5] =
        row_of("temperature difference", 0, rounded ? 0.029 : 0.05 / root3, TW_RECTANGULAR, 2);
}

/* Published: u 32 nm, 16 degrees of freedom, t99(16) = 2.92, U99 93 nm, 34 nm with terms of the
 * second order. More digits derived here from the same inputs. */
static void end_gauge_of_the_guide(void **state)
{
    tw_budget_row rows[6];
    tw_budget b;
    (void)state;

    end_gauge_rows(true, rows);
    assert_int_equal(tw_budget_make(end_gauge, NULL, rows, 6, NULL, true, 0.99, &b, NULL), TW_OK);
    assert_close(b.value, 50000838, 1e-6);
    assert_close(b.u, 31.7106, 5e-4);
    assert_close(b.freedom, 16.656, 1e-3);
    assert_close(b.u, 32, 0.5);
    assert_close(tw_student_t(0.99, floor(b.freedom)), 2.92, 0.005);
    assert_close(tw_student_t(0.99, floor(b.freedom)) * b.u, 93, 0.5);
    assert_close(b.second_order_u, 33.9111, 5e-4); /* published 34 */
    assert_close(b.rows[2].part, 0, 1e-4);         /* no part of the first order */
    assert_close(b.rows[3].part, 0, 1e-4);
    tw_budget_release(&b);

    end_gauge_rows(false, rows);
    assert_int_equal(tw_budget_make(end_gauge, NULL, rows, 6, NULL, true, 0.99, &b, NULL), TW_OK);
    assert_close(b.rows[1].u, 9.68194, 1e-5);
    assert_close(b.rows[1].freedom, 25.4472, 1e-4);
    assert_close(b.u, 31.6639, 1e-4);
    assert_close(b.freedom, 16.7519, 1e-4);
    assert_int_equal((int)floor(b.freedom), 16);
    assert_close(b.second_order_u, 34, 0.5);
    tw_budget_release(&b);
}

/* JCGM 101:2008, 9.3. Outcome 1.2340, u 0.0539, with second order 0.0750 (from memory); more digits
 * derived here, the interval with 1.96. */
static void mass_calibration_first_and_second(void **state)
{
    tw_budget_row rows[5];
    tw_budget b;
    (void)state;

    mass_calibration_rows(rows);
    assert_int_equal(tw_budget_make(mass_calibration, NULL, rows, 5, NULL, true, 0.95, &b, NULL),
                     TW_OK);
    assert_close(b.value, 1.2340, 5e-5);
    assert_close(b.u, 0.0538516, 1e-7);
    assert_close(b.second_order_u, 0.0749635, 2e-7);
    assert_close(b.value - b.expanded, 1.128451, 2e-6);
    assert_close(b.value + b.expanded, 1.339549, 2e-6);
    tw_budget_release(&b);
}

/* EA-4/02, supplement S2, calibration of a 10 kg weight, mg: published u 29.2 to 29.3, U 58, k 2. */
static void ten_kilogram_weight(void **state)
{
    const tw_budget_row rows[] = {
        row_of("standard", 10000005, 22.5, TW_NORMAL, INFINITY),
        row_of("drift", 0, 15 / sqrt(3.0), TW_RECTANGULAR, INFINITY),
        row_of("difference", 20, 25 / sqrt(3.0), TW_NORMAL, INFINITY), /* mean of 3, pooled 25 */
        row_of("comparator", 0, 10 / sqrt(3.0), TW_RECTANGULAR, INFINITY),
        row_of("buoyancy", 0, 10 / sqrt(3.0), TW_RECTANGULAR, INFINITY),
    };
    tw_budget b;
    (void)state;

    assert_int_equal(tw_budget_make(add_all, NULL, rows, ROWS(rows), NULL, false, 0.9545, &b, NULL),
                     TW_OK);
    assert_close(b.u, 29.2617, 5e-5);
    assert_true(isnan(b.second_order_u));
    assert_close(b.coverage, 2, 1e-4);
    assert_close(b.expanded, 58, 1);
    tw_budget_release(&b);
}

/* JCGM 101:2008, 9.2: the guide's own interval is ±3.92 and ±19.89 whatever the distributions. */
static void additive_models(void **state)
{
    tw_budget_row rows[4];
    tw_budget b;
    (void)state;

    for (size_t k = 0; k < 4; k++)
        rows[k] = row_of("x", 0, 1, TW_RECTANGULAR, INFINITY);
    assert_int_equal(tw_budget_make(add_all, NULL, rows, 4, NULL, true, 0.95, &b, NULL), TW_OK);
    assert_close(b.u, 2, 1e-10);
    assert_close(b.second_order_u, 2, 1e-8);
    assert_close(b.expanded, 3.919928, 1e-6);
    tw_budget_release(&b);
    rows[3].u = 10;
    assert_int_equal(tw_budget_make(add_all, NULL, rows, 4, NULL, false, 0.95, &b, NULL), TW_OK);
    assert_close(b.u, 10.148892, 1e-6);
    assert_close(b.expanded, 19.891462, 1e-5);
    tw_budget_release(&b);
}

static double shares_of(const tw_budget *b)
{
    double sum = 0;

    for (size_t k = 0; k < b->count; k++)
        sum += b->rows[k].share;
    return sum;
}

/* JCGM 100:2008, 5.2.2, note 1: inputs that move together add straight, opposite ones cancel. */
static void correlation_adds_straight(void **state)
{
    const tw_budget_row rows[] = {row_of("a", 1, 3, TW_NORMAL, INFINITY),
                                  row_of("b", 2, 4, TW_NORMAL, INFINITY)};
    const double wanted[] = {7, 5, 1}, r[] = {1, 0, -1};
    tw_budget b;
    (void)state;

    for (int k = 0; k < 3; k++) {
        const double matrix[4] = {1, r[k], r[k], 1};
        assert_int_equal(tw_budget_make(add_all, NULL, rows, 2, matrix, false, 0.95, &b, NULL),
                         TW_OK);
        assert_close(b.u, wanted[k], 1e-9);
        assert_close(shares_of(&b), 1, 1e-12);
        tw_budget_release(&b);
    }
}

static size_t random_rows(test_random *random, tw_budget_row rows[12])
{
    const size_t count = 1 + (size_t)test_uniform(random, 0, 10);

    for (size_t k = 0; k < count; k++) {
        rows[k] = row_of("x", test_uniform(random, -5, 5), test_uniform(random, 0, 2),
                         (tw_distribution)(k % 5), test_uniform(random, 1, 60));
        rows[k].sensitivity = test_uniform(random, -3, 3);
    }
    return count;
}

static void properties_of_any_budget(void **state)
{
    test_random random = test_random_begin("any budget");
    (void)state;

    for (int trial = 0; trial < 300; trial++) {
        tw_budget_row rows[12];
        const size_t count = random_rows(&random, rows);
        const double factor = test_uniform(&random, 0.01, 100);
        tw_budget b, more;
        double largest;

        assert_int_equal(tw_budget_combine(rows, count, NULL, 7, 0.95, &b, NULL), TW_OK);
        assert_close(shares_of(&b), 1, 1e-12);
        assert_non_null(tw_budget_largest(&b));
        largest = tw_budget_largest(&b)->share;
        for (size_t k = 0; k < count; k++)
            assert_true(b.rows[k].share <= largest);
        rows[count] = row_of("nothing", 3, 0, TW_NORMAL, INFINITY); /* adds nothing */
        rows[count].sensitivity = 5;
        assert_int_equal(tw_budget_combine(rows, count + 1, NULL, 7, 0.95, &more, NULL), TW_OK);
        assert_true(more.u == b.u && more.freedom == b.freedom && more.expanded == b.expanded);
        tw_budget_release(&more);
        for (size_t k = 0; k < count; k++) /* rows times a factor */
            rows[k].u *= factor;
        assert_int_equal(tw_budget_combine(rows, count, NULL, 7, 0.95, &more, NULL), TW_OK);
        assert_close(more.u / b.u / factor, 1, 1e-12);
        assert_close(more.freedom / b.freedom, 1, 1e-12);
        tw_budget_release(&more);
        tw_budget_release(&b);
    }
}

static void nothing_uncertain(void **state)
{
    const tw_budget_row row = row_of("exact", 4, 0, TW_NORMAL, INFINITY);
    tw_budget b;
    (void)state;

    assert_int_equal(tw_budget_make(add_all, NULL, &row, 1, NULL, true, 0.95, &b, NULL), TW_OK);
    assert_true(b.u == 0 && b.expanded == 0 && isinf(b.freedom) && b.value == 4);
    assert_close(b.rows[0].sensitivity, 1, 1e-9);
    assert_null(tw_budget_largest(&b));
    tw_budget_release(&b);
    assert_int_equal(tw_budget_combine(NULL, 0, NULL, 2, 0.95, &b, NULL), TW_OK);
    assert_true(b.u == 0 && b.value == 2);
    tw_budget_release(&b);
}

static double reciprocal(const double *x, size_t count, void *context)
{
    (void)count;
    (void)context;
    return x[0] == 0 ? (double)NAN : 1 / x[0];
}

static void faults_are_told(void **state)
{
    tw_budget_row row = row_of("density", NAN, 1, TW_NORMAL, INFINITY);
    const tw_budget_row two[] = {row_of("a", 1, 1, TW_NORMAL, INFINITY),
                                 row_of("b", 1, 1, TW_NORMAL, INFINITY)};
    static tw_budget_row many[TW_BUDGET_ROWS_MAX + 1];
    const double too_much[4] = {1, 1.5, 1.5, 1}, lopsided[4] = {1, 0.5, 0.4, 1};
    const double with_itself[4] = {1, 0.5, 0.5, 0.9};
    const double against[9] = {1, -0.9, -0.9, -0.9, 1, -0.9, -0.9, -0.9, 1};
    tw_budget_row three[] = {two[0], two[1], row_of("c", 1, 1, TW_NORMAL, INFINITY)};
    tw_budget b;
    tw_error err;
    (void)state;

    assert_int_equal(tw_budget_make(add_all, NULL, &row, 1, NULL, false, 0.95, &b, &err),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "density"));
    row.value = 1;
    row.u = -1;
    assert_int_equal(tw_budget_combine(&row, 1, NULL, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    row.u = 1;
    row.freedom = 0;
    assert_int_equal(tw_budget_combine(&row, 1, NULL, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    row.freedom = 3;
    row.value = 0;
    assert_int_equal(tw_budget_make(reciprocal, NULL, &row, 1, NULL, false, 0.95, &b, &err),
                     TW_ERR_DOMAIN);
    assert_int_equal(tw_budget_combine(two, 2, too_much, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_budget_combine(two, 2, lopsided, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_budget_combine(two, 2, with_itself, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "rows 2 and 2"));
    for (int k = 0; k < 3; k++)
        three[k].sensitivity = 1;
    /* each pair may go together so, all three cannot: 3 − 6·0.9 < 0 */
    assert_int_equal(tw_budget_combine(three, 3, against, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "contradict each other"));
    row = two[0];
    row.sensitivity = NAN;
    assert_int_equal(tw_budget_combine(&row, 1, NULL, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "\"a\""));
    row.name = NULL; /* told as well without a name */
    assert_int_equal(tw_budget_combine(&row, 1, NULL, 1, 0.95, &b, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_budget_combine(many, TW_BUDGET_ROWS_MAX + 1, NULL, 1, 0.95, &b, &err),
                     TW_ERR_LIMIT);
    tw_budget_release(NULL);
}

static void distributions_have_words(void **state)
{
    (void)state;
    assert_string_equal(tw_distribution_word(TW_NORMAL), "normal");
    assert_string_equal(tw_distribution_word(TW_RECTANGULAR), "rectangular");
    assert_string_equal(tw_distribution_word(TW_TRIANGULAR), "triangular");
    assert_string_equal(tw_distribution_word(TW_ARCSINE), "arcsine");
    assert_string_equal(tw_distribution_word(TW_STUDENT), "Student");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(end_gauge_of_the_guide),
        cmocka_unit_test(mass_calibration_first_and_second),
        cmocka_unit_test(ten_kilogram_weight),
        cmocka_unit_test(additive_models),
        cmocka_unit_test(correlation_adds_straight),
        cmocka_unit_test(properties_of_any_budget),
        cmocka_unit_test(nothing_uncertain),
        cmocka_unit_test(faults_are_told),
        cmocka_unit_test(distributions_have_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
