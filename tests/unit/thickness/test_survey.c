/* Readings on a plate: what they are taken for, where they lie, what is refused, which are joined. */
#include "survey.h"

/* ---- the number ------------------------------------------------------------------------------- */

/* d/√12: 0.01 → 0.00288675, 0.1 → 0.0288675. Source: JCGM 100:2008 F.2.2.1, numbers derived. */
static void noise_is_step_instrument_and_repeats(void **state)
{
    readings r;
    tw_reading *row;

    (void)state;
    readings_init(&r, 100, 150);
    r.instruments[PROBE].resolution = 0.1;
    readings_add(&r, 0, 0, 2);
    readings_add(&r, 50, 0, 2)->instrument = PROBE;
    readings_fit(&r);
    assert_close(r.survey->readings[0].noise, 0.00288675, 5e-9);
    assert_close(r.survey->readings[1].noise, 0.0288675, 5e-8);
    readings_release(&r);

    /* √(0.05²/12 + 0.02² + 0.03²/9) = √(0.000208333 + 0.0004 + 0.0001) */
    readings_init(&r, 100, 150);
    r.instruments[CALIPER].resolution = 0.05;
    r.instruments[CALIPER].uncertainty = 0.02;
    row = readings_add(&r, 0, 0, 2);
    row->repeats = 9;
    row->spread = 0.03;
    readings_fit(&r);
    assert_close(r.survey->readings[0].noise, 0.026614532, 5e-9);
    readings_release(&r);
}

/* T = V·t/2 (ASTM E797): 0.338983 µs at 5.9 mm/µs is shown as 1.000 mm; in austenitic steel of
 * 5.70 mm/µs the same time is 0.338983 × 5.70 / 2 = 0.966102 mm. Numbers derived. */
static void velocity_and_tie_correct_a_probe(void **state)
{
    readings r;

    (void)state;
    readings_init(&r, 100, 150);
    r.instruments[PROBE].set_velocity = 5.9;
    r.instruments[PROBE].metal_velocity = 5.7;
    r.instruments[CALIPER].set_velocity = 5.9; /* means nothing on a caliper */
    r.instruments[CALIPER].metal_velocity = 5.7;
    readings_add(&r, 0, 0, 0.338983 * 5.9 / 2)->instrument = PROBE;
    readings_add(&r, 50, 0, 1);
    readings_fit(&r);
    assert_close(r.survey->readings[0].thickness, 0.966102, 1e-6);
    assert_close(r.survey->readings[0].noise, 0.01 / sqrt(12) * 5.7 / 5.9, 1e-12);
    assert_close(r.survey->readings[1].thickness, 1, 0);
    readings_release(&r);

    /* the tie was measured on this plate: it goes before velocities from a book */
    readings_init(&r, 100, 150);
    r.instruments[PROBE].set_velocity = 5.9;
    r.instruments[PROBE].metal_velocity = 5.7;
    r.instruments[PROBE].tie_true = 1.62;
    r.instruments[PROBE].tie_reads = 1.68;
    r.instruments[PROBE].place = (tw_place){5, 5};
    readings_add(&r, 0, 0, 2.1)->instrument = PROBE;
    readings_fit(&r);
    assert_close(r.survey->readings[0].thickness, 2.1 * 1.62 / 1.68, 1e-12);
    assert_true(noted(r.survey, "sure to 0.2 % (standard) at best", 5));
    readings_release(&r);
}

/* ---- the place --------------------------------------------------------------------------------- */

static void any_kind_of_point_is_placed(void **state)
{
    readings r;

    (void)state;
    readings_init(&r, 100, 150);
    readings_add(&r, 30, -40, 2);
    readings_add(&r, 0, 0, 2)->at =
        (tw_point){.kind = TW_POINT_EDGE, .edge = "lower", .value = {20, 15, 0}, .place = {11, 3}};
    readings_add(&r, 0, 0, 2)->at = (tw_point){.kind = TW_POINT_SPACE, .value = {60, 70, 3}};
    readings_add(&r, 0, 0, 2)->at = (tw_point){.kind = TW_POINT_SPACE, .value = {-60, 70, -8}};
    readings_add(&r, 100.3, 0, 2); /* a tape is not read closer than half a millimetre */
    readings_fit(&r);
    assert_close(r.survey->readings[0].position[0], 30, 1e-9);
    assert_close(r.survey->readings[0].position[1], -40, 1e-9);
    assert_close(r.survey->readings[0].edge_distance, 70, 1e-6);
    assert_close(r.survey->readings[1].tape[0], -80, 1e-6); /* 20 mm along from [−100, −150] */
    assert_close(r.survey->readings[1].tape[1], -135, 1e-6);
    assert_close(r.survey->readings[1].edge_distance, 15, 1e-6);
    assert_close(r.survey->readings[2].tape[0], 60, 1e-6);
    assert_close(r.survey->readings[2].off, 3, 1e-6);
    assert_int_equal(r.survey->readings[2].flags, 0);
    assert_close(r.survey->readings[3].off, 8, 1e-6);
    assert_int_equal(r.survey->readings[3].flags, TW_FLAG_FACE);
    assert_true(r.survey->readings[3].used);
    assert_true(noted(r.survey, "reading 4 lies 8.0 mm off the face", 13));
    assert_close(r.survey->readings[4].edge_distance, 0, 1e-9);
    assert_int_equal(r.survey->used, 5);
    readings_release(&r);
}

static void places_off_the_metal_are_refused(void **state)
{
    readings r;
    tw_shape hole = {.kind = TW_SHAPE_DISC, .at = readings_point(20, 20), .across = 10, .up = 10};
    tw_reading *row;

    (void)state;
    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2);
    readings_add(&r, 112.5, 30, 2);
    refuse(&r, TW_ERR_SHAPE, 11, "reading 2 at [112.5, 30.0] lies 12.5 mm outside the outline");

    readings_init(&r, 100, 150);
    r.profile.hole_count = 1;
    r.profile.holes = &hole;
    readings_add(&r, 23, 20, 2);
    refuse(&r, TW_ERR_SHAPE, 10, "reading 1 at [23.0, 20.0] lies in a hole, 7.0 mm from metal");

    /* a row of a table is pointed at in the table; left out rows too must lie on the plate */
    readings_init(&r, 100, 150);
    r.profile.readings.file = "gauge.csv";
    readings_add(&r, 0, 0, 2);
    row = readings_add(&r, 0, -170, 2);
    row->from_table = true;
    row->leave_out = true;
    assert_int_equal(readings_build_on(&r, 48), TW_ERR_SHAPE);
    assert_string_equal(r.err.file, "gauge.csv");
    assert_int_equal(r.err.line, 11);
    assert_string_equal(r.err.source, "");
    readings_release(&r);

    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2)->at =
        (tw_point){.kind = TW_POINT_EDGE, .edge = "lowr", .value = {20, 15, 0}};
    refuse(&r, TW_ERR_KEY, 10, "in reading 1");
}

/* A place is told as it was written, with where that is on the tape. */
static void a_place_is_told_as_it_was_written(void **state)
{
    static const struct {
        tw_point at;
        const char *message;
    } cases[] = {
        {{.kind = TW_POINT_EDGE, .edge = "lower", .value = {20, -15, 0}},
         "reading 1 at 20.0 mm along lower, -15.0 mm in, here [-80.0, -165.0], lies 15.0 mm"},
        {{.kind = TW_POINT_SPACE, .value = {160, 70, 3}},
         "reading 1 at x 160.0, y 70.0, z 3.0, here [160.0, 70.0], lies 60.0 mm outside"},
    };
    readings r;

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        readings_init(&r, 100, 150);
        readings_add(&r, 0, 0, 2)->at = cases[k].at;
        refuse(&r, TW_ERR_SHAPE, 10, cases[k].message);
    }
    readings_init(&r, 100, 150); /* nobody has to ask for the words */
    readings_add(&r, 112, 0, 2);
    assert_int_equal(readings_build_on(&r, 24), TW_ERR_SHAPE);
    assert_int_equal(tw_survey_build(r.form, r.grid, &r.profile.readings, NULL, &r.survey, NULL),
                     TW_ERR_SHAPE);
    r.rows[0].at = readings_point(0, 0);
    r.rows[0].thickness = INFINITY;
    assert_int_equal(tw_survey_build(r.form, r.grid, &r.profile.readings, NULL, &r.survey, NULL),
                     TW_ERR_DOMAIN);
    r.rows[0].leave_out = true;
    assert_int_equal(tw_survey_build(r.form, r.grid, &r.profile.readings, NULL, &r.survey, NULL),
                     TW_ERR_INPUT);
    r.profile.readings.reading_count = TW_READINGS_MAX + 1;
    assert_int_equal(tw_survey_build(r.form, r.grid, &r.profile.readings, NULL, &r.survey, NULL),
                     TW_ERR_LIMIT);
    readings_release(&r);
}

static void lists_that_make_no_map_are_refused(void **state)
{
    readings r;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.readings.place = (tw_place){8, 1};
    refuse(&r, TW_ERR_INPUT, 8, "there are no readings");

    readings_init(&r, 100, 150);
    r.profile.readings.place = (tw_place){8, 1};
    readings_add(&r, 0, 0, 2)->leave_out = true;
    refuse(&r, TW_ERR_INPUT, 8, "every reading is left out");

    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2);
    r.profile.readings.reading_count = TW_READINGS_MAX + 1; /* told before any is looked at */
    refuse(&r, TW_ERR_LIMIT, 0, "2001 readings are more than the limit of 2000");

    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2);
    r.profile.readings.trend = TW_TREND_FORGED;
    refuse(&r, TW_ERR_INPUT, 0, "forged taper, but none is given");

    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2);
    readings_add(&r, 0, 50, -1.2);
    refuse(&r, TW_ERR_DOMAIN, 11, "reading 2 of -1.2 mm is not above zero");

    readings_init(&r, 100, 150);
    r.profile.readings.trend = TW_TREND_PLANE;
    r.profile.readings.place = (tw_place){8, 1};
    readings_add(&r, 0, 0, 2);
    readings_add(&r, 50, 0, 2);
    refuse(&r, TW_ERR_DOMAIN, 8, "readings at 2 places cannot tell a plane");

    readings_init(&r, 100, 150);
    r.profile.readings.trend = TW_TREND_PLANE;
    r.profile.readings.place = (tw_place){8, 1};
    for (int k = 0; k < 7; k++)
        readings_add(&r, 10 * k, 0, 2);
    refuse(&r, TW_ERR_DOMAIN, 8, "");
}

/* ---- readings at one place ----------------------------------------------------------------------- */

static void readings_at_one_place_are_joined(void **state)
{
    readings r;
    double mean;

    (void)state;
    readings_init(&r, 100, 150);
    r.instruments[PROBE].resolution = 0.02; /* twice the caliper's: a quarter of its weight */
    readings_add(&r, 0, 0, 2.10);
    readings_add(&r, 0.3, 0.3, 2.00)->instrument = PROBE;
    readings_fit(&r);
    assert_int_equal(r.survey->used, 2);
    assert_true(noted(r.survey, "readings 1 and 2 are at one place and were averaged", 11));
    assert_int_equal(tw_krige_predict(r.survey->krige, 1, (const double[1][3]){{50, 50, 0}},
                                      (const double[1]){1}, 1, &mean, NULL, NULL),
                     TW_OK);
    assert_close(mean, (4 * 2.10 + 2.00) / 5, 1e-12);
    readings_release(&r);

    /* readings without any doubt of their own have no weights: the plain mean */
    readings_init(&r, 100, 150);
    r.instruments[CALIPER].resolution = 0;
    readings_add(&r, 0, 0, 2.10);
    readings_add(&r, 0.3, 0.3, 2.00);
    readings_add(&r, 60, 0, 2.05);
    readings_fit(&r);
    assert_int_equal(tw_krige_predict(r.survey->krige, 1, (const double[1][3]){{0, 0, 0}},
                                      (const double[1]){1}, 1, &mean, NULL, NULL),
                     TW_OK);
    assert_close(mean, 2.05, 1e-12);
    readings_release(&r);

    /* 4·√(2·0.01²/12 + 0.1²) = 0.40017: 0.4 may be scatter, 0.41 not */
    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2.0);
    readings_add(&r, 0, 0.1, 2.4);
    readings_fit(&r);
    readings_release(&r);
    readings_init(&r, 100, 150);
    readings_add(&r, 40, 0, 2.0);
    readings_add(&r, 0, 0, 2.0);
    readings_add(&r, 0, 0.1, 2.41);
    refuse(&r, TW_ERR_DOMAIN, 12, "readings 2 (row 11) and 3 (row 12) are at one place");

    /* one left out disagrees with nobody; 0.6 mm is another place */
    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2.0);
    readings_add(&r, 0, 0.1, 4.0)->leave_out = true;
    readings_add(&r, 0, 0.6, 2.5);
    readings_fit(&r);
    assert_int_equal(r.survey->used, 2);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(noise_is_step_instrument_and_repeats),
        cmocka_unit_test(velocity_and_tie_correct_a_probe),
        cmocka_unit_test(any_kind_of_point_is_placed),
        cmocka_unit_test(places_off_the_metal_are_refused),
        cmocka_unit_test(a_place_is_told_as_it_was_written),
        cmocka_unit_test(lists_that_make_no_map_are_refused),
        cmocka_unit_test(readings_at_one_place_are_joined),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
