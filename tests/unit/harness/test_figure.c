/* Figures that share their causes: sums against exact integers, correlation written out, Monte Carlo. */
#include "support.h"

#include "taperwright/harness.h"

static int arena_begin(void **state)
{
    *state = tw_arena_new();
    return *state ? 0 : -1;
}

static int arena_end(void **state)
{
    tw_arena_free(*state);
    return 0;
}

static void cause(tw_figure *figure, tw_arena *arena, const char *name, double part, double freedom)
{
    assert_int_equal(tw_figure_cause(figure, arena, name, part, freedom, NULL), TW_OK);
}

static void add(tw_figure *sum, tw_arena *arena, const tw_figure *term, double factor)
{
    assert_int_equal(tw_figure_add(sum, arena, term, factor, NULL), TW_OK);
}

/* ---- merging ----------------------------------------------------------------------------------- */

static void one_cause_adds_straight_others_as_squares(void **state)
{
    tw_figure f = tw_figure_zero();

    assert_close(tw_figure_u(&f), 0, 0);
    assert_close(tw_figure_expanded(&f), 0, 0);
    cause(&f, *state, "density of mild steel", 3, INFINITY);
    cause(&f, *state, "rounding", 4, INFINITY);
    assert_close(tw_figure_u(&f), 5, 1e-15);
    cause(&f, *state, "density of mild steel", 9, 7);
    assert_int_equal(f.count, 2);
    assert_close(f.causes[0].part_g, 12, 0);
    assert_close(f.causes[0].freedom, 7, 0); /* the lesser */
    assert_close(tw_figure_u(&f), sqrt(144 + 16), 1e-14);
    cause(&f, *state, "density of mild steel", -12, INFINITY);
    assert_close(tw_figure_u(&f), 4, 1e-15);
    /* normal: 1.959964 */
    assert_close(tw_figure_expanded(&f), 4 * 1.959963984540054, 1e-9);
}

static void a_difference_loses_what_both_share(void **state)
{
    tw_figure a = {.g = 1000}, b = {.g = 900}, gap = tw_figure_zero();

    cause(&a, *state, "scale parcel", 1.0, INFINITY);
    cause(&a, *state, "weighing of a: rounding", 2, INFINITY);
    cause(&b, *state, "scale parcel", 0.9, INFINITY);
    cause(&b, *state, "weighing of b: rounding", 2, INFINITY);
    add(&gap, *state, &a, 1);
    add(&gap, *state, &b, -1);
    assert_close(gap.g, 100, 0);
    assert_int_equal(gap.count, 3);
    assert_close(tw_figure_u(&gap), sqrt(0.1 * 0.1 + 8), 1e-14);
}

static void a_missing_term_makes_the_sum_missing(void **state)
{
    tw_figure sum = tw_figure_zero(), none = {.g = NAN};

    assert_true(tw_figure_is(&sum));
    add(&sum, *state, &none, 1);
    assert_false(tw_figure_is(&sum));
    assert_true(isnan(tw_figure_u(&sum)));
    assert_true(isnan(tw_figure_expanded(&sum)));
}

/* A list made by hand, in any order and with a name twice, merges all the same. */
static void a_list_in_any_order_is_taken(void **state)
{
    tw_cause causes[] = {{"z", 1, INFINITY}, {"a", 2, INFINITY}, {"m", 3, 5}, {"a", 4, INFINITY}};
    const tw_figure hand = {.g = 10, .count = 4, .causes = causes};
    tw_figure sum = tw_figure_zero();

    cause(&sum, *state, "b", 7, INFINITY);
    add(&sum, *state, &hand, 2);
    assert_close(sum.g, 20, 0);
    assert_int_equal(sum.count, 4);
    assert_string_equal(sum.causes[0].name, "a");
    assert_close(sum.causes[0].part_g, 12, 0);
    assert_string_equal(sum.causes[3].name, "z");
    assert_close(sum.causes[2].freedom, 5, 0);
}

/* Names are copied: what they were built in may go. */
static void names_are_its_own(void **state)
{
    tw_figure f = tw_figure_zero();
    char name[] = "width";

    cause(&f, *state, name, 1, INFINITY);
    name[0] = 'x';
    assert_string_equal(f.causes[0].name, "width");
}

/* ---- expanded ---------------------------------------------------------------------------------- */

/* JCGM 100:2008, H.1 (end gauge): u 32 nm and 16 degrees of freedom, t for 99 % 2.92. Here at 95 % for
 * the same rows: t(16.75) = 2.11224 from tw_student_t, itself held against tables in its own test. The
 * unrounded inputs of H.1.3.2: 25 (18), 9.68194 (25.4472), 2.9 (50), 16.6 (2). */
static void effective_freedom_is_the_guides(void **state)
{
    tw_figure f = {.g = 50000838};
    double u;

    cause(&f, *state, "standard", 25, 18);
    cause(&f, *state, "difference", 9.68194, 25.4472);
    cause(&f, *state, "expansion", 50000623 * 0.1 * 1e-6 / sqrt(3), 50);
    cause(&f, *state, "temperatures", 50000623 * 11.5e-6 * 0.05 / sqrt(3), 2);
    u = tw_figure_u(&f);
    assert_close(u, 31.6639, 2e-3);
    assert_close(tw_figure_expanded(&f) / u, tw_student_t(0.95, 16.7519), 2e-5);
}

/* One cause with 2 degrees of freedom: t = 4.302653 (any table of Student's t, 0.95 two-sided). */
static void few_repeats_widen_it(void **state)
{
    tw_figure f = {.g = 1};

    cause(&f, *state, "repeats", 10, 2);
    assert_close(tw_figure_expanded(&f), 43.02652729911275, 1e-7);
}

/* ---- sums against exact integers ---------------------------------------------------------------- */

/* 200 sums of up to 400 parts in 1/1024 g (exact as doubles), times small whole factors. */
static void sums_are_exact(void **state)
{
    test_random random = test_random_begin("sums_are_exact");

    for (int trial = 0; trial < 200; trial++) {
        tw_arena *arena = tw_arena_new();
        const size_t count = (size_t)test_uniform(&random, 1, 400);
        tw_figure sum = tw_figure_zero();
        int64_t exact = 0;
        double parts[5] = {0};
        assert_non_null(arena);
        for (size_t k = 0; k < count; k++) {
            const int64_t mass = (int64_t)test_uniform(&random, 1, 1024e4);
            const int64_t factor = (int64_t)test_uniform(&random, -3, 4);
            tw_figure term = {.g = (double)mass / 1024};
            const size_t shared = (size_t)test_uniform(&random, 0, 5);
            char name[32];
            (void)snprintf(name, sizeof name, "shared %zu", shared);
            cause(&term, arena, name, (double)(mass % 4096) / 1024, INFINITY);
            (void)snprintf(name, sizeof name, "own %zu", k);
            cause(&term, arena, name, 1, INFINITY);
            add(&sum, arena, &term, (double)factor);
            exact += factor * mass;
            parts[shared] += (double)(factor * (mass % 4096)) / 1024;
        }
        assert_true(sum.g == (double)exact / 1024);
        for (size_t k = 0; k < sum.count; k++) {
            unsigned shared;
            if (sscanf(sum.causes[k].name, "shared %u", &shared) == 1)
                assert_true(sum.causes[k].part_g == parts[shared]);
            if (k > 0)
                assert_true(strcmp(sum.causes[k - 1].name, sum.causes[k].name) < 0);
        }
        tw_arena_free(arena);
    }
    (void)state;
}

/* ---- correlation written out, and Monte Carlo ------------------------------------------------------ */

enum { TERMS = 12, SHARED = 4 };
/* Terms with a part of their own each and parts of shared causes. */
typedef struct model {
    double own[TERMS], shared[TERMS][SHARED], factor[TERMS];
} model;

static void model_random(model *m, test_random *random)
{
    for (int j = 0; j < TERMS; j++) {
        m->own[j] = test_uniform(random, 0.1, 5);
        m->factor[j] = test_uniform(random, -2, 2);
        for (int i = 0; i < SHARED; i++)
            m->shared[j][i] = test_uniform(random, -4, 8);
    }
}

static tw_figure model_figure(const model *m, tw_arena *arena)
{
    tw_figure sum = tw_figure_zero();

    for (int j = 0; j < TERMS; j++) {
        tw_figure term = {.g = 100};
        char name[32];
        (void)snprintf(name, sizeof name, "own %d", j);
        cause(&term, arena, name, m->own[j], INFINITY);
        for (int i = 0; i < SHARED; i++) {
            (void)snprintf(name, sizeof name, "shared %d", i);
            cause(&term, arena, name, m->shared[j][i], INFINITY);
        }
        add(&sum, arena, &term, m->factor[j]);
    }
    return sum;
}

/* u² = Σ Σ fᵢ fⱼ r(i, j) uᵢ uⱼ, JCGM 100:2008, 5.2.2, equation 16, the correlation coefficients of the
 * terms worked out from what they share (5.2.3, F.1.2.3). */
static void variance_is_the_guides_for_correlated_inputs(void **state)
{
    test_random random = test_random_begin("variance_is_the_guides_for_correlated_inputs");

    for (int trial = 0; trial < 50; trial++) {
        model m;
        double u[TERMS], variance = 0;
        tw_figure sum;
        model_random(&m, &random);
        for (int j = 0; j < TERMS; j++) {
            u[j] = m.own[j] * m.own[j];
            for (int i = 0; i < SHARED; i++)
                u[j] += m.shared[j][i] * m.shared[j][i];
            u[j] = sqrt(u[j]);
        }
        for (int j = 0; j < TERMS; j++)
            for (int k = 0; k < TERMS; k++) {
                double r = j == k ? m.own[j] * m.own[j] : 0;
                for (int i = 0; i < SHARED; i++)
                    r += m.shared[j][i] * m.shared[k][i];
                r /= u[j] * u[k];
                variance += m.factor[j] * m.factor[k] * r * u[j] * u[k];
            }
        sum = model_figure(&m, *state);
        assert_close(tw_figure_u(&sum) / sqrt(variance), 1, 1e-12);
    }
}

/* The sum of all terms, from the causes themselves: inputs are the own parts, then the shared. */
static double drawn_sum(const double *inputs, size_t count, void *context)
{
    const model *m = context;
    double sum = 0;

    (void)count;
    for (int j = 0; j < TERMS; j++) {
        double term = m->own[j] * inputs[j];
        for (int i = 0; i < SHARED; i++)
            term += m->shared[j][i] * inputs[TERMS + i];
        sum += m->factor[j] * (100 + term);
    }
    return sum;
}

static void monte_carlo_agrees_within_a_percent(void **state)
{
    test_random random = test_random_begin("monte_carlo_agrees_within_a_percent");
    tw_budget_row rows[TERMS + SHARED];
    tw_monte_carlo draws;
    tw_figure sum;
    model m;

    model_random(&m, &random);
    for (int k = 0; k < TERMS + SHARED; k++)
        rows[k] = (tw_budget_row){
            .name = "cause", .unit = "", .u = 1, .distribution = TW_NORMAL, .freedom = INFINITY};
    assert_int_equal(
        tw_monte_carlo_run(drawn_sum, &m, rows, TERMS + SHARED, 100000, 7, 1, 0.95, &draws, NULL),
        TW_OK);
    sum = model_figure(&m, *state);
    assert_close(draws.u / tw_figure_u(&sum), 1, 0.01);
    assert_close((draws.high - draws.low) / 2 / tw_figure_expanded(&sum), 1, 0.01);
}

/* ---- properties -------------------------------------------------------------------------------------- */

/* Order of terms changes nothing beyond rounding, and a term taken out again leaves what was. */
static void order_does_not_matter(void **state)
{
    test_random random = test_random_begin("order_does_not_matter");

    for (int trial = 0; trial < 100; trial++) {
        tw_figure terms[20], one = tw_figure_zero(), other = tw_figure_zero();
        double u;
        for (int k = 0; k < 20; k++) {
            terms[k] = (tw_figure){.g = test_uniform(&random, 1, 5000)};
            for (int n = 0; n < 12; n++) {
                char name[32];
                (void)snprintf(name, sizeof name, "cause %d", (int)test_uniform(&random, 0, 40));
                cause(&terms[k], *state, name, test_uniform(&random, 0.1, 9),
                      test_uniform(&random, 1, 50));
            }
        }
        for (int k = 0; k < 20; k++) {
            add(&one, *state, &terms[k], 1);
            add(&other, *state, &terms[19 - k], 1);
        }
        u = tw_figure_u(&one);
        assert_int_equal(one.count, other.count);
        assert_close(other.g / one.g, 1, 1e-12);
        assert_close(tw_figure_u(&other) / u, 1, 1e-12);
        assert_close(tw_figure_expanded(&other) / tw_figure_expanded(&one), 1, 1e-12);
        add(&one, *state, &terms[7], -1);
        assert_true(tw_figure_u(&one) < u);
        add(&one, *state, &terms[7], 1);
        assert_close(one.g / other.g, 1, 1e-12);
        assert_close(tw_figure_u(&one) / u, 1, 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(one_cause_adds_straight_others_as_squares, arena_begin,
                                        arena_end),
        cmocka_unit_test_setup_teardown(a_difference_loses_what_both_share, arena_begin, arena_end),
        cmocka_unit_test_setup_teardown(a_missing_term_makes_the_sum_missing, arena_begin,
                                        arena_end),
        cmocka_unit_test_setup_teardown(a_list_in_any_order_is_taken, arena_begin, arena_end),
        cmocka_unit_test_setup_teardown(names_are_its_own, arena_begin, arena_end),
        cmocka_unit_test_setup_teardown(effective_freedom_is_the_guides, arena_begin, arena_end),
        cmocka_unit_test_setup_teardown(few_repeats_widen_it, arena_begin, arena_end),
        cmocka_unit_test(sums_are_exact),
        cmocka_unit_test_setup_teardown(variance_is_the_guides_for_correlated_inputs, arena_begin,
                                        arena_end),
        cmocka_unit_test_setup_teardown(monte_carlo_agrees_within_a_percent, arena_begin,
                                        arena_end),
        cmocka_unit_test_setup_teardown(order_does_not_matter, arena_begin, arena_end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
