/* Level lines of fields whose lines are known: a plane, a cone, a saddle, an interrupted field. */
#include "support.h"

#include "draw/draw_internal.h"

enum { SIDE = 81 };

typedef double (*height)(double x, double y);

static double plane(double x, double y)
{
    return x + 2 * y;
}

static double cone(double x, double y)
{
    return hypot(x - 40, y - 40);
}

static double saddle(double x, double y)
{
    return (x - 40.5) * (y - 40.5);
}

static size_t trace(height shape, double level, const double *use, tw_arena *arena,
                    tw_contour **lines)
{
    double *value = tw_arena_array(arena, SIDE * SIDE, sizeof *value);
    const tw_field field = {SIDE, SIDE, value, use};
    size_t count = 99;

    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++)
            value[j * SIDE + i] = shape(i, j);
    assert_int_equal(tw_contours_trace(&field, &level, 1, arena, lines, &count, NULL), TW_OK);
    return count;
}

static void plane_gives_one_straight_line(void **state)
{
    tw_arena *arena = tw_arena_new();
    tw_contour *lines;

    (void)state;
    assert_int_equal(trace(plane, 60.3, NULL, arena, &lines), 1);
    assert_false(lines[0].closed);
    for (size_t k = 0; k < lines[0].count; k++)
        assert_close(plane(lines[0].points[k][0], lines[0].points[k][1]), 60.3, 1e-9);
    /* from border to border: x runs over 60.3 of the line's projections */
    assert_close(fabs(lines[0].points[0][0] - lines[0].points[lines[0].count - 1][0]), 60.3, 1e-9);
    tw_arena_free(arena);
}

static void cone_gives_one_closed_ring_at_its_radius(void **state)
{
    tw_arena *arena = tw_arena_new();
    tw_contour *lines;
    double way = 0;

    (void)state;
    assert_int_equal(trace(cone, 25, NULL, arena, &lines), 1);
    assert_true(lines[0].closed);
    for (size_t k = 0; k < lines[0].count; k++) {
        const double *a = lines[0].points[k], *b = lines[0].points[(k + 1) % lines[0].count];
        assert_close(cone(a[0], a[1]), 25, 0.006); /* chord error of a unit lattice: 1/(8·25) */
        way += hypot(a[0] - b[0], a[1] - b[1]);
    }
    assert_close(way, 2 * TW_PI * 25, 0.1);
    tw_arena_free(arena);
}

static void saddle_gives_two_lines(void **state)
{
    tw_arena *arena = tw_arena_new();
    tw_contour *lines;

    (void)state;
    assert_int_equal(trace(saddle, 30, NULL, arena, &lines), 2);
    assert_int_equal(trace(saddle, 0.1, NULL, arena, &lines), 2);
    assert_int_equal(trace(saddle, -0.1, NULL, arena, &lines), 2);
    tw_arena_free(arena);
}

static void lines_stop_where_the_field_does(void **state)
{
    tw_arena *arena = tw_arena_new();
    double *use = tw_arena_array(arena, (SIDE - 1) * (SIDE - 1), sizeof *use);
    tw_contour *lines;

    (void)state;
    for (int j = 0; j < SIDE - 1; j++)
        for (int i = 0; i < SIDE - 1; i++)
            use[j * (SIDE - 1) + i] = i < 40 ? 1 : 0;
    assert_int_equal(trace(cone, 25, use, arena, &lines), 1);
    assert_false(lines[0].closed);
    for (size_t k = 0; k < lines[0].count; k++)
        assert_true(lines[0].points[k][0] <= 40);
    assert_int_equal(trace(cone, 500, use, arena, &lines), 0);
    tw_arena_free(arena);
}

static void steps_are_round(void **state)
{
    (void)state;
    assert_close(tw_round_step(1.4, 6, TW_METRIC), 0.25, 1e-12);
    assert_close(tw_round_step(400, 4, TW_METRIC), 100, 1e-9);
    assert_close(tw_round_step(25.4, 10, TW_INCH), 2.54, 1e-12);
}

static void values_show_the_digits_of_their_step(void **state)
{
    char text[32];

    (void)state;
    tw_value_text(1.25, 0.25, false, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "1.25");
    tw_value_text(0.5, 0.25, true, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "+0.50");
    tw_value_text(-0.5, 0.5, true, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "−0.5");
    tw_value_text(0, 0.25, true, TW_METRIC, text, sizeof text);
    assert_string_equal(text, "0");
    tw_value_text(50.8, 25.4, false, TW_INCH, text, sizeof text);
    assert_string_equal(text, "2");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plane_gives_one_straight_line),
        cmocka_unit_test(cone_gives_one_closed_ring_at_its_radius),
        cmocka_unit_test(saddle_gives_two_lines),
        cmocka_unit_test(lines_stop_where_the_field_does),
        cmocka_unit_test(steps_are_round),
        cmocka_unit_test(values_show_the_digits_of_their_step),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
