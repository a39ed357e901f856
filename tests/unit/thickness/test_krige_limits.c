/* test_krige_limits.c: few, doubled, aligned and equal readings; likelihood; coverage by simulation. */
#include "krige_cases.h"

static tw_status fit_status(const krige_case *c, tw_error *err)
{
    const tw_krige_data data = case_data(c);
    tw_krige *krige = NULL;
    const tw_status status = tw_krige_fit(&data, &krige, err);
    assert_true((status == TW_OK) == (krige != NULL));
    tw_krige_free(krige);
    return status;
}

static void few_and_equal_readings_fit(void **state)
{
    (void)state;
    test_random random = test_random_begin("few");
    static krige_case c;
    double at[3], one = 1, mean, sd, error, error_sd;
    case_place(40, 40, at);
    for (int searched = 0; searched < 2; searched++) {
        case_fill(&c, &random, 1, 1);
        if (searched)
            c.scale = c.amplitude = NAN;
        tw_krige *krige = case_fit(&c);
        assert_int_equal(tw_krige_predict(krige, 1, &at, &one, 1, &mean, &sd, NULL), TW_OK);
        assert_close(mean, c.value[0], 1e-12);
        assert_true(sd > 0 && isfinite(sd));
        assert_int_equal(tw_krige_about(krige).trend_only, searched);
        tw_krige_leave_one_out(krige, &error, &error_sd, NULL);
        assert_true(isnan(error) && isnan(error_sd));
        assert_true(isnan(tw_krige_about(krige).residual_sd));
        tw_krige_free(krige);

        case_fill(&c, &random, 12, 1);
        if (searched)
            c.scale = c.amplitude = NAN;
        for (size_t i = 0; i < c.n; i++)
            c.value[i] = 1.6;
        krige = case_fit(&c);
        tw_krige_predict(krige, 1, &at, &one, 1, &mean, &sd, NULL);
        assert_close(mean, 1.6, 1e-12);
        assert_true(sd > 0 && sd < 1);
        tw_krige_free(krige);
    }
    case_fill(&c, &random, 2, 1); /* two at one place, nothing fixed */
    c.scale = c.amplitude = NAN;
    memcpy(c.at[1], c.at[0], sizeof c.at[0]);
    assert_int_equal(fit_status(&c, NULL), TW_OK);
}

static void faults_are_told(void **state)
{
    (void)state;
    test_random random = test_random_begin("faults");
    static krige_case c;
    tw_error err;
    case_fill(&c, &random, 10, 1);
    c.surface = 0;
    c.noise[2] = c.noise[6] = 0;
    memcpy(c.at[6], c.at[2], sizeof c.at[2]);
    assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "readings 3 and 7"));
    c.noise[6] = 0.01;
    assert_int_equal(fit_status(&c, &err), TW_OK);

    case_fill(&c, &random, 10, 3);
    for (size_t i = 0; i < c.n; i++) {
        case_place(8 * (double)i - 40, 4 * (double)i - 20, c.at[i]);
        case_basis(3, c.at[i], c.basis + 3 * i);
    }
    assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "one line"));
    case_fill(&c, &random, 2, 3);
    assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);

    static double at[TW_READINGS_MAX + 1][3], zero[TW_READINGS_MAX + 1];
    const tw_krige_data many = {.count = TW_READINGS_MAX + 1,
                                .position = at,
                                .value = zero,
                                .noise = zero,
                                .basis_count = 1,
                                .basis = zero,
                                .scale = 1,
                                .amplitude = 1};
    tw_krige *krige = NULL;
    assert_int_equal(tw_krige_fit(&many, &krige, &err), TW_ERR_LIMIT);
    assert_non_null(strstr(err.message, "2001"));
}

/* Numbers that are none, or have the wrong sign, one at a time in data that are right without. */
static void numbers_that_cannot_be_are_told(void **state)
{
    static const double odd[] = {NAN, INFINITY, -1};
    test_random random = test_random_begin("numbers that cannot be");
    static krige_case c, right;
    tw_error err;

    (void)state;
    case_fill(&right, &random, 10, 1);
    for (size_t k = 0; k < sizeof odd / sizeof *odd; k++) {
        c = right;
        c.noise[4] = odd[k];
        assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
        assert_non_null(strstr(err.message, "reading 5 has a place, value or noise"));
        c = right;
        c.surface = odd[k];
        assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
        assert_non_null(strstr(err.message, "surface scatter"));
        c = right;
        c.scale = odd[k];
        assert_int_equal(fit_status(&c, &err), isnan(odd[k]) ? TW_OK : TW_ERR_DOMAIN);
        c = right;
        c.amplitude = odd[k];
        assert_int_equal(fit_status(&c, &err), isnan(odd[k]) ? TW_OK : TW_ERR_DOMAIN);
        if (isnan(odd[k]))
            continue;
        c = right;
        c.at[4][1] = odd[k] < 0 ? NAN : odd[k];
        assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
        c = right;
        c.value[4] = odd[k] < 0 ? NAN : odd[k];
        assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
    }
    c = right;
    c.scale = 0;
    assert_int_equal(fit_status(&c, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "the scale is 0 mm"));
}

/* Bounds of the search may be given, but not the wrong way round. */
static void bounds_of_the_search_hold(void **state)
{
    test_random random = test_random_begin("bounds of the search");
    static krige_case c;
    tw_krige_data data;
    tw_krige *krige = NULL;
    tw_error err = {0};

    (void)state;
    case_fill(&c, &random, 20, 1);
    c.scale = c.amplitude = NAN;
    data = case_data(&c);
    data.scale_low = 25;
    data.scale_high = 40;
    assert_int_equal(tw_krige_fit(&data, &krige, &err), TW_OK);
    assert_true(tw_krige_about(krige).scale > 25 - 1e-9);
    assert_true(tw_krige_about(krige).scale < 40 + 1e-9);
    tw_krige_free(krige);
    krige = NULL;
    data.scale_low = 50;
    assert_int_equal(tw_krige_fit(&data, &krige, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "the scale of the variation"));
    assert_null(krige);
}

/* Readings that scatter widely about an even trend widen it: five at 1, 2, 3 with noise 0.1. */
static void trend_alone_is_widened_by_scatter(void **state)
{
    (void)state;
    test_random random = test_random_begin("widened");
    static krige_case c;
    double at[3] = {0, 0, 150}, one = 1, mean, sd;
    const double value[5] = {1, 2, 3, 2, 2};
    case_fill(&c, &random, 5, 1);
    c.surface = 0;
    for (size_t i = 0; i < 5; i++) {
        c.value[i] = value[i];
        c.noise[i] = 0.1;
    }
    c.amplitude = 0;
    tw_krige *krige = case_fit(&c);
    tw_krige_predict(krige, 1, &at, &one, 1, &mean, &sd, NULL);
    assert_close(mean, 2, 1e-12);
    assert_close(sd, sqrt(2.0 / 4 / 5), 1e-12); /* s/√n */
    tw_krige_free(krige);
}

/* The pair found is a maximum: every neighbour is less likely. */
static void search_ends_at_a_maximum(void **state)
{
    (void)state;
    test_random random = test_random_begin("maximum");
    static krige_case c, near;
    case_fill(&c, &random, 60, 1);
    for (size_t i = 0; i < c.n; i++)
        c.noise[i] = 0.02;
    near = c;
    c.scale = c.amplitude = NAN;
    tw_krige *krige = case_fit(&c), *other;
    const tw_krige_summary best = tw_krige_about(krige);
    print_message("scale %g mm, amplitude %g mm\n", best.scale, best.amplitude);
    for (int k = 0; k < 4; k++) {
        near.scale = best.scale * (k == 0 ? 1.05 : k == 1 ? 1 / 1.05 : 1);
        near.amplitude = best.amplitude * (k == 2 ? 1.05 : k == 3 ? 1 / 1.05 : 1);
        other = case_fit(&near);
        assert_true(tw_krige_about(other).log_likelihood < best.log_likelihood);
        tw_krige_free(other);
    }
    tw_krige_free(krige);
}

/* Standard normal by Box and Muller's transform. */
static double normal(test_random *random)
{
    const double u = test_uniform(random, 1e-300, 1), v = test_uniform(random, 0, 2 * TW_PI);
    return sqrt(-2 * log(u)) * cos(v);
}

enum { FIELD_READINGS = 15, FIELD_POINTS = 36, FIELD = FIELD_READINGS + FIELD_POINTS };

/* How often the 95 % interval of a weighted sum holds the truth, in per cent. */
static double coverage(int trials, bool searched, test_random *random)
{
    static krige_case c;
    static double at[FIELD][3], root[FIELD * FIELD];
    double one[FIELD], weight[FIELD_POINTS];
    int held = 0;
    case_fill(&c, random, FIELD_READINGS, 1);
    memcpy(at, c.at, FIELD_READINGS * sizeof at[0]);
    for (size_t i = 0; i < FIELD_POINTS; i++) {
        case_place(-75 + 30 * (double)(i % 6), -75 + 30 * (double)(i / 6), at[FIELD_READINGS + i]);
        weight[i] = 1.0 / FIELD_POINTS;
    }
    for (size_t i = 0; i < FIELD; i++) { /* Cholesky factor of the prior */
        one[i] = 1;
        for (size_t j = 0; j <= i; j++) {
            double rest = case_covariance(&c, at[i], at[j]);
            for (size_t k = 0; k < j; k++)
                rest -= root[i * FIELD + k] * root[j * FIELD + k];
            root[i * FIELD + j] = i == j ? sqrt(rest) : rest / root[j * FIELD + j];
        }
    }
    if (searched)
        c.scale = c.amplitude = NAN;
    for (int trial = 0; trial < trials; trial++) {
        double wave[FIELD], truth = 0, sum, sd;
        for (size_t i = 0; i < FIELD; i++)
            wave[i] = normal(random);
        for (size_t i = 0; i < FIELD; i++) {
            double t = 2;
            for (size_t k = 0; k <= i; k++)
                t += root[i * FIELD + k] * wave[k];
            if (i < FIELD_READINGS)
                c.value[i] = t + hypot(c.noise[i], c.surface) * normal(random);
            else
                truth += weight[i - FIELD_READINGS] * t;
        }
        tw_krige *krige = case_fit(&c);
        tw_krige_sum(krige, FIELD_POINTS, at + FIELD_READINGS, one, weight, 1, &sum, &sd, NULL);
        held += fabs(sum - truth) < 1.959963985 * sd;
        tw_krige_free(krige);
    }
    return 100.0 * held / trials;
}

static void intervals_hold_the_truth(void **state)
{
    (void)state;
    test_random random = test_random_begin("coverage");
    const double known = coverage(2000, false, &random);
    const double searched = coverage(1000, true, &random);
    print_message("95 %% intervals hold the truth: %.1f %% of 2000 with scale and amplitude known, "
                  "%.1f %% of 1000 with both searched\n",
                  known, searched);
    assert_true(known > 93 && known < 97);
    assert_true(searched > 90);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(few_and_equal_readings_fit),
        cmocka_unit_test(faults_are_told),
        cmocka_unit_test(numbers_that_cannot_be_are_told),
        cmocka_unit_test(bounds_of_the_search_hold),
        cmocka_unit_test(trend_alone_is_widened_by_scatter),
        cmocka_unit_test(search_ends_at_a_maximum),
        cmocka_unit_test(intervals_hold_the_truth),
    };
    return cmocka_run_group_tests_name("krige limits", tests, NULL, NULL);
}
