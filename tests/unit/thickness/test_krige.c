/* test_krige.c: kriging against the kriging system solved plainly, leaving out, adding, extending. */
#include "krige_cases.h"

static void points_fill(test_random *random, size_t p, size_t m, double (*at)[3], double *basis)
{
    for (size_t i = 0; i < m; i++) {
        const double across = test_uniform(random, -95, 95);
        case_place(across, test_uniform(random, -95, 95), at[i]);
        case_basis(p, at[i], basis + i * p);
    }
}

static void mean_and_sum_agree_with_the_kriging_system(void **state)
{
    (void)state;
    test_random random = test_random_begin("kriging system");
    static krige_case c;
    static double at[POINTS_MAX][3], basis[POINTS_MAX * 8], mean[POINTS_MAX], sd[POINTS_MAX];
    static double wanted[POINTS_MAX], covariance[POINTS_MAX * POINTS_MAX], weight[POINTS_MAX];
    const size_t sizes[] = {1, 4, 7, 8, 31, 33, 50, 64};
    for (size_t k = 0; k < 8; k++)
        for (size_t p = 1; p <= 3 && p <= sizes[k]; p += 2) {
            const size_t m = 100;
            double sum, sum_sd, wanted_sum = 0, variance = 0;
            case_fill(&c, &random, sizes[k], p);
            tw_krige *krige = case_fit(&c);
            points_fill(&random, p, m, at, basis);
            assert_int_equal(tw_krige_predict(krige, m, at, basis, 2, mean, sd, NULL), TW_OK);
            plain_predict(&c, m, at, wanted, covariance);
            for (size_t i = 0; i < m; i++) {
                weight[i] = test_uniform(&random, 0, 0.02);
                assert_close(mean[i], wanted[i], 1e-9);
                assert_close(sd[i] * sd[i], covariance[i * m + i],
                             1e-9 * fmax(1, covariance[i * m + i]));
            }
            for (size_t i = 0; i < m; i++) {
                wanted_sum += weight[i] * wanted[i];
                for (size_t j = 0; j < m; j++)
                    variance += weight[i] * covariance[i * m + j] * weight[j];
            }
            assert_int_equal(tw_krige_sum(krige, m, at, basis, weight, 2, &sum, &sum_sd, NULL),
                             TW_OK);
            assert_close(sum, wanted_sum, 1e-9);
            assert_close(sum_sd * sum_sd, variance, 1e-9 * fmax(1, variance));
            tw_krige_free(krige);
        }
}

static void plane_comes_back_exactly(void **state)
{
    (void)state;
    test_random random = test_random_begin("plane");
    static krige_case c;
    static double at[POINTS_MAX][3], basis[POINTS_MAX * 8], mean[POINTS_MAX], weight[POINTS_MAX];
    double sum, wanted = 0;
    case_fill(&c, &random, 30, 3);
    for (size_t i = 0; i < c.n; i++)
        c.value[i] = 2 + 0.003 * c.at[i][0] - 0.002 * c.at[i][1];
    for (int free = 0; free < 2; free++) {
        c.scale = free ? NAN : 60;
        c.amplitude = free ? NAN : 0.4;
        tw_krige *krige = case_fit(&c);
        points_fill(&random, 3, 100, at, basis);
        tw_krige_predict(krige, 100, at, basis, 1, mean, NULL, NULL);
        wanted = 0;
        for (size_t i = 0; i < 100; i++) {
            weight[i] = 1 + 0.01 * (double)i;
            assert_close(mean[i], 2 + 0.003 * at[i][0] - 0.002 * at[i][1], 1e-11);
            wanted += weight[i] * (2 + 0.003 * at[i][0] - 0.002 * at[i][1]);
        }
        tw_krige_sum(krige, 100, at, basis, weight, 1, &sum, NULL, NULL);
        assert_close(sum, wanted, 1e-9);
        const tw_krige_summary about = tw_krige_about(krige);
        assert_close(about.trend[0], 2, 1e-11);
        assert_close(about.trend[1], 0.003, 1e-12);
        assert_close(about.trend[2], -0.002, 1e-12);
        tw_krige_free(krige);
    }
}

static void leaving_one_out_is_leaving_it_out(void **state)
{
    (void)state;
    test_random random = test_random_begin("leave one out");
    static krige_case c, less;
    double error[CASE_MAX], sd[CASE_MAX], mean, variance;
    for (size_t p = 1; p <= 3; p += 2) {
        case_fill(&c, &random, 20, p);
        tw_krige *krige = case_fit(&c);
        assert_int_equal(tw_krige_leave_one_out(krige, error, sd, NULL), TW_OK);
        for (size_t out = 0; out < c.n; out++) {
            less = c;
            less.n--;
            for (size_t i = out; i < less.n; i++) {
                memcpy(less.at[i], c.at[i + 1], sizeof c.at[i]);
                memcpy(less.basis + i * p, c.basis + (i + 1) * p, p * sizeof(double));
                less.value[i] = c.value[i + 1];
                less.noise[i] = c.noise[i + 1];
            }
            plain_predict(&less, 1, &c.at[out], &mean, &variance);
            variance += c.noise[out] * c.noise[out] + c.surface * c.surface;
            assert_close(error[out], c.value[out] - mean, 1e-9);
            assert_close(sd[out] * sd[out], variance, 1e-9);
        }
        tw_krige_free(krige);
    }
}

/* Gain, extension and a fit with the point added leave the same variance. */
static void gain_is_what_a_further_reading_brings(void **state)
{
    (void)state;
    test_random random = test_random_begin("gain");
    static krige_case c, more;
    static double at[POINTS_MAX][3], basis[POINTS_MAX * 8], weight[POINTS_MAX];
    static double new_at[80][3], new_basis[80 * 8], left[80], before[POINTS_MAX], after[POINTS_MAX];
    for (size_t p = 1; p <= 3; p += 2) {
        case_fill(&c, &random, 16, p); /* extension passes a multiple of the padding */
        tw_krige *krige = case_fit(&c), *larger;
        points_fill(&random, p, 90, at, basis);
        points_fill(&random, p, 80, new_at, new_basis);
        for (size_t i = 0; i < 90; i++)
            weight[i] = test_uniform(&random, 0, 0.02);
        assert_int_equal(
            tw_krige_gain(krige, 90, at, basis, weight, 80, new_at, new_basis, 0.03, left, NULL),
            TW_OK);
        tw_krige_predict(krige, 90, at, basis, 1, before, NULL, NULL);
        for (size_t k = 0; k < 80; k++) {
            double sd;
            more = c;
            memcpy(more.at[more.n], new_at[k], sizeof new_at[k]);
            memcpy(more.basis + more.n * p, new_basis + k * p, p * sizeof(double));
            more.noise[more.n] = 0.03;
            more.value[more.n++] = 5; /* has no say in the variance */
            tw_krige *refitted = case_fit(&more);
            tw_krige_sum(refitted, 90, at, basis, weight, 1, NULL, &sd, NULL);
            assert_close(left[k], sd * sd, 1e-9);
            assert_int_equal(
                tw_krige_extend(krige, new_at[k], new_basis + k * p, 0.03, &larger, NULL), TW_OK);
            tw_krige_sum(larger, 90, at, basis, weight, 1, NULL, &sd, NULL);
            assert_close(left[k], sd * sd, 1e-9);
            tw_krige_predict(larger, 90, at, basis, 1, after, NULL, NULL);
            for (size_t i = 0; i < 90; i++)
                assert_close(after[i], before[i], 1e-10);
            tw_krige_free(larger);
            tw_krige_free(refitted);
        }
        tw_krige_free(krige);
    }
}

static void order_and_threads_change_nothing(void **state)
{
    (void)state;
    test_random random = test_random_begin("order");
    static krige_case c, turned;
    static double at[1000][3], basis[1000], mean[3][1000], sd[3][1000];
    for (int searched = 0; searched < 2; searched++) {
        case_fill(&c, &random, 33, 1);
        if (searched)
            c.scale = c.amplitude = NAN;
        turned = c;
        for (size_t i = 0; i < c.n; i++) {
            const size_t from = (i * 7 + 3) % c.n;
            memcpy(turned.at[i], c.at[from], sizeof c.at[i]);
            turned.value[i] = c.value[from];
            turned.noise[i] = c.noise[from];
        }
        points_fill(&random, 1, 1000, at, basis);
        tw_krige *krige = case_fit(&c), *other = case_fit(&turned);
        tw_krige_predict(krige, 1000, at, basis, 1, mean[0], sd[0], NULL);
        tw_krige_predict(krige, 1000, at, basis, 3, mean[1], sd[1], NULL);
        tw_krige_predict(other, 1000, at, basis, 2, mean[2], sd[2], NULL);
        assert_memory_equal(mean[0], mean[1], sizeof mean[0]);
        assert_memory_equal(sd[0], sd[1], sizeof sd[0]);
        for (size_t i = 0; i < 1000; i++) {
            assert_close(mean[2][i], mean[0][i], 1e-10);
            assert_close(sd[2][i], sd[0][i], 1e-10);
        }
        tw_krige_free(krige);
        tw_krige_free(other);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mean_and_sum_agree_with_the_kriging_system),
        cmocka_unit_test(plane_comes_back_exactly),
        cmocka_unit_test(leaving_one_out_is_leaving_it_out),
        cmocka_unit_test(gain_is_what_a_further_reading_brings),
        cmocka_unit_test(order_and_threads_change_nothing),
    };
    return cmocka_run_group_tests_name("krige", tests, NULL, NULL);
}
