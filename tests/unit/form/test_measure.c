/* test_measure.c: sizes of forms against closed forms. */
#include "form_checks.h"

static tw_form_sizes measured(const plate *p)
{
    tw_form *form = plate_form(p);
    tw_form_sizes sizes = {0};

    assert_int_equal(tw_form_measure(form, &sizes, NULL), TW_OK);
    tw_form_free(form);
    return sizes;
}

static void flat_plate(void **state)
{
    plate p;
    tw_form_sizes s;

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 10, 20, 150, 100);
    plate_hole(&p, TW_SHAPE_RECTANGLE, 0, 0, 5, 5);
    s = measured(&p);
    assert_close(s.width, 300, 1e-9);
    assert_close(s.height, 200, 1e-9);
    assert_close(s.depth, 0, 0);
    assert_close(s.tape_across, 300, 1e-9);
    assert_close(s.tape_up, 200, 1e-9);
    assert_close(s.area, 59900, 1e-6);
    assert_true(isinf(s.least_radius));
}

static void ball_and_cone(void **state)
{
    plate p;
    tw_form_sizes s;

    (void)state;
    plate_bowl(&p, TW_BOWL_ROUND, 110, 110);
    s = measured(&p);
    assert_close(s.width, 220, 0.01);
    assert_close(s.height, 220, 0.01);
    assert_close(s.depth, 110, 0.02);
    assert_close(s.depth_min, 0, 0.01);
    assert_close(s.tape_across, 110 * TW_PI, 0.01);
    assert_close(s.area, 2 * TW_PI * 110 * 110, 3e-5 * 76000);
    assert_close(s.least_radius, 110, 1e-4);
    plate_bowl(&p, TW_BOWL_CONE, 100, 200);
    s = measured(&p);
    assert_close(s.width, 200, 0.01);
    assert_close(s.area, 70248.147, 5e-4 * 70248);
    assert_true(isfinite(s.least_radius) && s.least_radius > 1 && s.least_radius < 20);
}

/* x²/A² + y²/A² + z²/C², C > A: the least radius is at the crown, A²/C. Source: standard. */
static void tall_bowl_is_tightest_at_its_crown(void **state)
{
    plate p;
    tw_form_sizes s;

    (void)state;
    plate_bowl(&p, TW_BOWL_FULL, 80, 130);
    s = measured(&p);
    assert_close(s.least_radius, 80 * 80 / 130.0, 0.3);
    assert_true(hypot(s.least_radius_at[0], s.least_radius_at[1]) < 5);
    assert_close(s.depth, 130, 0.1);
}

/* A breast of four stations: at least the sizes measured on the bench, and little more. */
static void loft_gives_its_bench_sizes_back(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 70, .sides = 0},
                             {.ruler = 180, .width = 360, .centre = 115, .sides = 0, .tape = 449},
                             {.ruler = 260, .width = 330, .centre = 118, .sides = 6},
                             {.ruler = 400, .width = 220, .centre = 80, .sides = 30}};
    plate p;
    tw_form_sizes s;

    (void)state;
    plate_loft(&p, stations, 4);
    s = measured(&p);
    /* between stations the fair face may swell a little beyond them */
    assert_true(s.width > 359.99 && s.width < 365);
    assert_close(s.height, 400, 0.01);
    assert_true(s.depth > 117.99 && s.depth < 123);
    assert_close(s.depth_min, 0, 4);
    assert_true(s.tape_across > 448.99 && s.tape_across < 454);
    assert_true(s.tape_up > 400 && s.tape_up < 430);
    assert_true(s.area > 300 * 400 && s.area < 449 * 430);
    assert_true(s.least_radius > 1 && s.least_radius < 250);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flat_plate),
        cmocka_unit_test(ball_and_cone),
        cmocka_unit_test(tall_bowl_is_tightest_at_its_crown),
        cmocka_unit_test(loft_gives_its_bench_sizes_back),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
