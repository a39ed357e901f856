/* test_locate.c: points along edges, in from them, in space, from the crown. */
#include "form_checks.h"

static void assert_tape(const tw_form *form, tw_point point, double across, double up,
                        double tolerance)
{
    double tape[2] = {NAN, NAN};
    tw_error err = {0};

    if (tw_form_locate(form, &point, tape, NULL, &err) != TW_OK)
        print_error("%s\n", err.message);
    assert_close(tape[0], across, tolerance);
    assert_close(tape[1], up, tolerance);
}

static tw_point on_edge(const char *edge, double along, double in)
{
    return (tw_point){.kind = TW_POINT_EDGE, .edge = edge, .value = {along, in}, .place = {30, 1}};
}

static void flat_edges_measure_plainly(void **state)
{
    static const double a[][2] = {{-50, 0}, {-50, 60}, {30, 60}}, b[][2] = {{30, 60}, {-50, 0}};
    plate p;
    tw_form *form;
    tw_point point;
    tw_error err = {0};
    double tape[2];

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 50, 20);
    form = plate_form(&p);
    assert_tape(form, on_edge("lower", 30, 5), -20, -15, 1e-9);
    assert_tape(form, on_edge("upper", 30, 5), 20, 15, 1e-9);
    assert_tape(form, on_edge("left", 0, 0), -50, 20, 1e-9);
    assert_tape(form, on_edge("left", 40, 0), -50, -20, 1e-9);
    point = on_edge("uper", 10, 0);
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, &err), TW_ERR_KEY);
    assert_non_null(strstr(err.advice, "'upper'"));
    assert_int_equal(err.line, 30);
    point = on_edge("left", 41, 0);
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "40.0 mm long"));
    point = on_edge("left", -1, 0);
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, NULL), TW_ERR_DOMAIN);
    point = (tw_point){.kind = TW_POINT_CROWN, .value = {10, 0}};
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, &err), TW_ERR_DOMAIN);
    tw_form_free(form);
    /* edges listed clockwise are still measured from the first point their owner wrote */
    plate_flat(&p);
    plate_edge(&p, "a", a, 3);
    plate_edge(&p, "b", b, 2);
    form = plate_form(&p);
    assert_tape(form, on_edge("a", 10, 4), -46, 10, 1e-9);
    assert_tape(form, on_edge("b", 25, 0), 10, 45, 1e-9);
    tw_form_free(form);
}

/* Hemisphere R: the rim is 2πR long, one degree of it R·π/180; `in` runs up a meridian. */
static void rim_of_a_ball_measures_on_the_plate(void **state)
{
    const double R = 100, rim = R * TW_PI / 2;
    plate p;
    tw_form *form;
    tw_point point = on_edge("rim", 2 * TW_PI * R + 0.2, 0);
    double tape[2], start[2];

    (void)state;
    plate_bowl(&p, TW_BOWL_ROUND, R, R);
    form = plate_form(&p);
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, NULL), TW_ERR_DOMAIN);
    memcpy(start, tw_form_outline(form)->edges[0].points[0], sizeof start);
    for (int k = 0; k <= 8; k++) {
        const double turn = atan2(start[1], start[0]) + k * 0.7;
        assert_tape(form, on_edge("rim", k * 0.7 * R, 0), rim * cos(turn), rim * sin(turn), 0.01);
        assert_tape(form, on_edge("rim", k * 0.7 * R, 20), (rim - 20) * cos(turn),
                    (rim - 20) * sin(turn), 0.02);
        assert_tape(form, on_edge("rim", k * 0.7 * R, 80), (rim - 80) * cos(turn),
                    (rim - 80) * sin(turn), 0.05);
    }
    tw_form_free(form);
}

/* Facing the inside, an edge that the outline does not list runs as its mirror image does from outside;
 * one that it lists keeps the first point its owner wrote. A point in `along` of a mirror image is the
 * mirror image of the point. */
static void inside_runs_the_other_way(void **state)
{
    static const char *const edges[][2] = {
        {"lower", "lower"}, {"upper", "upper"}, {"left", "right"}};
    static const double a[][2] = {{-50, 0}, {30, 60}}, b[][2] = {{30, 60}, {-50, 60}, {-50, 0}};
    plate p;
    tw_form *form;
    tw_point point;
    double tape[2];

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 50, 20);
    form = plate_form(&p);
    for (size_t k = 0; k < 3; k++) {
        assert_int_equal(
            tw_form_locate(
                form, &(tw_point){.kind = TW_POINT_EDGE, .edge = edges[k][0], .value = {12, 5}},
                tape, NULL, NULL),
            TW_OK);
        point = on_edge(edges[k][1], 12, 5);
        point.inside = true;
        assert_tape(form, point, -tape[0], tape[1], 1e-9);
    }
    tw_form_free(form);
    plate_bowl(&p, TW_BOWL_FULL, 90, 70);
    p.profile.bowl.up = 110;
    form = plate_form(&p);
    for (int k = 0; k < 8; k++) {
        point = on_edge("rim", 70 * k, 15);
        assert_int_equal(tw_form_locate(form, &point, tape, NULL, NULL), TW_OK);
        point.inside = true;
        assert_tape(form, point, -tape[0], tape[1], 0.01);
    }
    tw_form_free(form);
    plate_flat(&p);
    plate_edge(&p, "a", a, 2);
    plate_edge(&p, "b", b, 3);
    form = plate_form(&p);
    point = on_edge("b", 25, 4);
    assert_int_equal(tw_form_locate(form, &point, tape, NULL, NULL), TW_OK);
    point.inside = true;
    assert_tape(form, point, tape[0], tape[1], 1e-9);
    tw_form_free(form);
}

static void space_points_snap_to_the_face(void **state)
{
    test_random random = test_random_begin("snap");
    static const tw_bowl_profile kinds[] = {TW_BOWL_ROUND, TW_BOWL_FULL, TW_BOWL_CONE,
                                            TW_BOWL_PARABOLA};
    plate p;
    tw_form *form;
    double off;

    (void)state;
    for (int k = 0; k < 4; k++) {
        plate_bowl(&p, kinds[k], 120, 80);
        p.profile.bowl.up = k == 1 ? 90 : 120;
        form = plate_form(&p);
        for (int trial = 0; trial < 100; trial++) {
            const tw_outline *outline = tw_form_outline(form);
            double at[2], tape[2];
            tw_face_point face;
            tw_point point = {.kind = TW_POINT_SPACE};
            const double far = test_uniform(&random, 0, 5);
            do {
                at[0] = test_uniform(&random, outline->across_min, outline->across_max);
                at[1] = test_uniform(&random, outline->up_min, outline->up_max);
            } while (tw_outline_level(outline, at[0], at[1]) > -1 || hypot(at[0], at[1]) < 8);
            tw_form_at(form, at[0], at[1], &face);
            for (int n = 0; n < 3; n++)
                point.value[n] = face.position[n] + far * face.normal[n];
            assert_int_equal(tw_form_locate(form, &point, tape, &off, NULL), TW_OK);
            assert_close(off, far, 1e-6);
            assert_close(tape[0], at[0], 1e-4);
            assert_close(tape[1], at[1], 1e-4);
        }
        tw_form_free(form);
    }
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 50, 20);
    form = plate_form(&p);
    assert_tape(form, (tw_point){.kind = TW_POINT_SPACE, .value = {31, -17, 4}}, 31, -17, 1e-9);
    tw_form_free(form);
}

/* Above a keel every point is nearest to its ridge. */
static void points_over_a_keel_snap_to_the_ridge(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 60, .sides = 0},
                             {.ruler = 300, .width = 300, .centre = 60, .sides = 0}};
    tw_point point = {.kind = TW_POINT_SPACE, .value = {0.5, 120, 71}};
    tw_form *form;
    double tape[2], off, width;
    plate p;
    tw_error err;

    (void)state;
    plate_loft(&p, stations, 2);
    p.profile.loft.keel_stands = 6;
    p.profile.loft.keel_width = 40;
    form = plate_form(&p);
    assert_int_equal(tw_form_locate(form, &point, tape, &off, NULL), TW_OK);
    assert_close(tape[0], 0, 1e-6);
    assert_close(tape[1], 120, 1e-5);
    assert_close(off, hypot(0.5, 5), 1e-6);
    assert_tape(form, on_edge("lower", 0, 0), tw_form_outline(form)->across_min, 0, 1e-9);
    assert_tape(form, on_edge("right", 100, 30), tw_form_outline(form)->across_max - 30, 100, 0.01);
    /* stations by number, from 0 */
    assert_int_equal(tw_form_station_tape(form, 1, &width, NULL), TW_OK);
    assert_close(width, tw_form_outline(form)->across_max * 2, 1e-4);
    assert_int_equal(tw_form_station_tape(form, 2, &width, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "2 stations"));
    tw_form_free(form);
}

/* toward: 0 is up, clockwise as one faces the outside, so 90 degrees is +across. */
static void crown_points_turn_clockwise(void **state)
{
    plate p;
    tw_form *form;

    (void)state;
    plate_bowl(&p, TW_BOWL_PARABOLA, 100, 60);
    form = plate_form(&p);
    assert_tape(form, (tw_point){.kind = TW_POINT_CROWN, .value = {85, TW_PI / 6}}, 42.5,
                85 * sqrt(0.75), 1e-9);
    assert_tape(form, (tw_point){.kind = TW_POINT_CROWN, .value = {85, TW_PI / 2}}, 85, 0, 1e-9);
    assert_tape(form, (tw_point){.value = {12, 13}}, 12, 13, 0);
    tw_form_free(form);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flat_edges_measure_plainly),
        cmocka_unit_test(rim_of_a_ball_measures_on_the_plate),
        cmocka_unit_test(inside_runs_the_other_way),
        cmocka_unit_test(space_points_snap_to_the_face),
        cmocka_unit_test(points_over_a_keel_snap_to_the_ridge),
        cmocka_unit_test(crown_points_turn_clockwise),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
