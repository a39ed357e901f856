/* Where the next readings go: what they are worth, and that the instrument can take them. */
#include "readings.h"

enum { WANTED = 6 };

static double whole_sd(const readings *r)
{
    double sum, sd;

    assert_int_equal(tw_survey_sum(r->survey, r->grid->area, 1, &sum, &sd, NULL, NULL), TW_OK);
    return sd;
}

static size_t suggest(const readings *r, size_t instrument, tw_suggestion out[WANTED])
{
    size_t count = 0;

    assert_int_equal(tw_survey_suggest(r->survey, r->grid->area, &r->instruments[instrument],
                                       WANTED, out, &count, NULL),
                     TW_OK);
    return count;
}

/* Twelve readings on the left half only. */
static void add_left(readings *r)
{
    for (int j = -1; j <= 1; j++)
        for (int i = 0; i < 4; i++)
            readings_add(r, -90 + 22 * i, 100 * j + 5 * i, 2 + 0.1 * ((i + j + 7) % 3));
}

static void the_far_side_comes_first(void **state)
{
    static const tw_trend trends[] = {TW_TREND_EVEN, TW_TREND_PLANE};
    readings r;
    tw_suggestion out[WANTED];

    (void)state;
    for (size_t t = 0; t < 2; t++) {
        double before;
        readings_init(&r, 100, 150);
        r.profile.readings.trend = trends[t];
        add_left(&r);
        readings_fit(&r);
        before = whole_sd(&r);
        assert_int_equal(suggest(&r, CALIPER, out), WANTED);
        if (trends[t] == TW_TREND_PLANE || !tw_krige_about(r.survey->krige).trend_only)
            assert_true(out[0].tape[0] > 0);
        for (size_t k = 0; k < WANTED; k++) {
            print_message("%zu: [%g, %g] leaves %.4g of %.4g\n", k + 1, out[k].tape[0],
                          out[k].tape[1], out[k].sd_after, before);
            assert_true(out[k].sd_after < before * (1 + 1e-3)); /* fewer blocks than whole_sd() */
            before = out[k].sd_after;
        }
        readings_release(&r);
    }
}

/* What is promised is what comes: reading at the suggested places leaves the sd that was said, when the
 * trend alone is fitted and the new values lie on it. */
static void promised_is_what_comes(void **state)
{
    readings r;
    tw_suggestion out[WANTED];

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.readings.trend = TW_TREND_PLANE;
    readings_add(&r, -50, 0, 2 + 0.01 * -50);
    readings_add(&r, -40, 50, 2 + 0.01 * -40);
    readings_add(&r, -90, -50, 2 + 0.01 * -90);
    readings_fit(&r);
    assert_int_equal(suggest(&r, CALIPER, out), WANTED);
    for (size_t k = 0; k < 2; k++) {
        readings_add(&r, out[k].tape[0], out[k].tape[1], 2 + 0.01 * out[k].tape[0]);
        tw_survey_free(r.survey);
        r.survey = NULL;
        readings_fit(&r);
        assert_close(whole_sd(&r), out[k].sd_after, 1e-6 * out[k].sd_after);
    }
    readings_release(&r);
}

static void the_instrument_can_take_them(void **state)
{
    tw_shape hole = {.kind = TW_SHAPE_DISC, .at = readings_point(40, 20), .across = 30, .up = 30};
    readings r;
    tw_suggestion out[WANTED];
    size_t count;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.hole_count = 1;
    r.profile.holes = &hole;
    add_left(&r);
    r.instruments[PROBE].reach = 45;
    r.instruments[PROBE].foot = 24; /* keeps 14 mm from edges and holes */
    readings_fit(&r);
    count = suggest(&r, PROBE, out);
    assert_int_equal(count, WANTED);
    for (size_t k = 0; k < count; k++) {
        const double x = out[k].tape[0], y = out[k].tape[1];
        const double edge = fmin(100 - fabs(x), 150 - fabs(y));
        assert_true(edge >= 14 - 1e-6 && edge <= 45 + 1e-6);
        assert_true(hypot(x - 40, y - 20) - 30 >= 14 - 0.1);
        assert_close(x, round(x), 0); /* whole millimetres of tape */
        assert_close(y, round(y), 0);
        for (size_t other = 0; other < k; other++)
            assert_true(hypot(x - out[other].tape[0], y - out[other].tape[1]) > 1);
    }
    r.instruments[PROBE].foot = 0; /* without a foot 5 mm are kept */
    count = suggest(&r, PROBE, out);
    for (size_t k = 0; k < count; k++)
        assert_true(fmin(100 - fabs(out[k].tape[0]), 150 - fabs(out[k].tape[1])) >= 5 - 1e-6);
    r.instruments[PROBE].foot = 196; /* nowhere to stand */
    assert_int_equal(suggest(&r, PROBE, out), 0);
    readings_release(&r);
}

/* A foot that leaves a few places only: each is given once, and no more than there are. */
static void places_may_run_out(void **state)
{
    readings r;
    tw_suggestion out[WANTED];
    size_t count;

    (void)state;
    readings_init(&r, 12, 13);
    readings_add(&r, 0, 0, 2);
    readings_add(&r, 5, 0, 2);
    r.instruments[CALIPER].foot = 19; /* keeps 11.5 mm: [0, −1], [0, 0], [0, 1] are left */
    readings_fit(&r);
    count = suggest(&r, CALIPER, out);
    assert_int_equal(count, 3);
    for (size_t k = 0; k < count; k++)
        assert_true(out[k].tape[0] == 0 && fabs(out[k].tape[1]) <= 1);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_far_side_comes_first),
        cmocka_unit_test(promised_is_what_comes),
        cmocka_unit_test(the_instrument_can_take_them),
        cmocka_unit_test(places_may_run_out),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
