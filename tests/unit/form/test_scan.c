/* test_scan.c: faces by points: cylinder panel, ball and cone in closed form over three spacings;
 * derivatives; the join on the centre line; tape from the origin; a loft read back; errors. */
#include "form_checks.h"
#include "surface_checks.h"

enum { ROWS_MAX = 60, COUNT_MAX = 20000 };

/* Points of a test, filled row by row. */
typedef struct scan {
    tw_points_row rows[ROWS_MAX];
    double points[COUNT_MAX][2];
    int line[COUNT_MAX];
    tw_profile profile;
} scan;

static scan it; /* too large for a stack; one test at a time */

static void begin(void)
{
    memset(&it, 0, sizeof it);
    it.profile.form = TW_FORM_POINTS;
    it.profile.outline.kind = TW_OUTLINE_RIM;
    it.profile.points = (tw_points_spec){.file = "t.csv",
                                         .rows = it.rows,
                                         .points = it.points,
                                         .line = it.line,
                                         .origin = {0, 0, NAN},
                                         .place = {3, 1},
                                         .origin_place = {4, 1}};
}

static void add_row(double y)
{
    tw_points_spec *spec = &it.profile.points;

    assert_true(spec->row_count < ROWS_MAX);
    it.rows[spec->row_count++] = (tw_points_row){y, spec->point_count, 0};
}

static void add_point(double x, double z)
{
    tw_points_spec *spec = &it.profile.points;

    assert_true(spec->point_count < COUNT_MAX);
    it.points[spec->point_count][0] = x;
    it.points[spec->point_count][1] = z;
    it.line[spec->point_count] = 2 + (int)spec->point_count;
    spec->point_count++;
    it.rows[spec->row_count - 1].count++;
}

static void add_arc(double y, double radius, double half_angle, size_t count)
{
    add_row(y);
    for (size_t k = 0; k < count; k++) {
        const double angle = half_angle * (2 * (double)k / (double)(count - 1) - 1);
        add_point(radius * sin(angle), radius * cos(angle));
    }
}

static double area(size_t cells)
{
    const plate p = {.profile = it.profile};

    return plate_area(&p, cells);
}

/* ---- closed forms --------------------------------------------------------------------------- */

/* R 160, half-angle 60 degrees: tape side to side 2αR = 335.103 mm. Derived. The spline by chords is
 * of fourth order; second is asked for. */
static void a_row_is_as_long_as_its_arc(void **state)
{
    const double R = 160, alpha = TW_PI / 3, exact = 2 * alpha * R;
    const double near[] = {0.1, 0.01,
                           0.001}; /* shorter and longer stretches even out over the row */
    double miss[3], tape;

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        built one;
        begin();
        for (size_t j = 0; j < 4; j++)
            add_arc(10.0 * (double)(j * j), R, alpha, 3 + (4u << k));
        one = build_surface(&it.profile);
        for (size_t j = 0; j < 4; j++) {
            assert_true(tw_surface_station_tape(one.surface, j, &tape));
            miss[k] = fabs(tape - exact);
        }
        print_message("tape off by %.3g mm\n", miss[k]);
        for (double across = -0.95; across < 1; across += 0.15) { /* 0.95 of a half */
            const double angle = alpha * across;
            tw_face_point at;
            tw_surface_at(one.surface, R * angle, 30, 1, &at);
            assert_close(at.position[0], R * sin(angle), near[k]);
            assert_close(at.position[1], 30, 1e-9); /* from y 0 */
            assert_close(at.position[2], R * cos(angle), near[k]);
            assert_close(tw_dot(at.across_step, at.across_step), 1, 1e-6);
        }
        tw_arena_free(one.arena);
    }
    assert_true(miss[1] < miss[0] / 4 && miss[2] < miss[1] / 4 && miss[2] < 1e-3);
}

/* A belt of a ball about the y axis: what lies between two planes square to it is R·2α·(y₁ − y₀), by
 * Archimedes. Curvatures 1/R and 1/R². */
static void a_ball_keeps_its_area_and_curvature(void **state)
{
    const double R = 150, alpha = 0.6, half = 70, exact = R * 2 * alpha * 2 * half;
    double miss[3], bend[3] = {0};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        const size_t rows = 1 + (4u << k);
        built one;
        begin();
        for (size_t j = 0; j < rows; j++) {
            const double y = half * (2 * (double)j / (double)(rows - 1) - 1);
            add_arc(y, sqrt(R * R - y * y), alpha, 1 + (4u << k));
        }
        it.profile.points.origin[0] = it.profile.points.origin[1] = 0;
        it.profile.points.origin[2] = R;
        miss[k] = fabs(area(256) - exact) / exact;
        one = build_surface(&it.profile);
        for (double up = -70; up <= 70; up += 7)
            for (double across = -70; across <= 70; across += 7) {
                tw_face_point at;
                tw_surface_at(one.surface, across, up, 1, &at);
                bend[k] = fmax(bend[k], fabs(at.mean_curvature * R - 1));
                bend[k] = fmax(bend[k], fabs(at.gauss_curvature * R * R - 1));
                /* up the centre line the tape is R times the angle */
                if (across == 0) {
                    assert_close(at.position[1], R * sin(up / R), 0.1 / (double)(1 << 4 * k));
                    assert_close(at.position[0], 0, 1e-9);
                }
            }
        tw_arena_free(one.arena);
        print_message("area off by %.3g, curvature by %.3g\n", miss[k], bend[k]);
    }
    assert_true(miss[1] < miss[0] / 4 && miss[2] < 1e-5);
    assert_true(bend[1] < bend[0] / 2.5 && bend[2] < bend[1] / 4 && bend[2] < 0.01);
}

/* Frustum of a cone: 2α·(r₀ + r₁)/2·slant. Rows have different numbers of points. */
static void a_cone_keeps_its_area(void **state)
{
    const double alpha = 0.8, r0 = 120, r1 = 80, length = 150;
    const double exact = alpha * (r0 + r1) * hypot(length, r0 - r1);
    double miss[3];

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        begin();
        for (size_t j = 0; j < 4; j++)
            add_arc(length * (double)j / 3, r0 + (r1 - r0) * (double)j / 3, alpha,
                    (4u << k) + 1 + j % 3);
        miss[k] = fabs(area(256) - exact) / exact;
        print_message("area off by %.3g\n", miss[k]);
    }
    assert_true(miss[1] < miss[0] / 4 && miss[2] < miss[1] / 4 && miss[2] < 1e-5);
}

/* ---- anywhere -------------------------------------------------------------------------------- */

/* A lumpy face with sides turned in, ragged ends and points that scatter. */
static void fill_lumpy(test_random *random)
{
    begin();
    for (size_t j = 0; j < 12; j++) {
        const double y = 12 * (double)j, wide = 1.9 + 0.05 * test_uniform(random, -1, 1);
        const size_t count = 25 + j % 4;
        add_row(y);
        for (size_t k = 0; k < count; k++) {
            const double angle = wide * (2 * (double)k / (double)(count - 1) - 1);
            const double r = 70 + 0.1 * y + 3 * sin(y / 30 + 2 * angle);
            add_point(r * sin(angle) + test_uniform(random, -0.05, 0.05) + 7,
                      r * cos(angle) + test_uniform(random, -0.05, 0.05));
        }
    }
    it.profile.points.origin[0] = 5;
    it.profile.points.origin[1] = 50;
    it.profile.points.origin[2] = 76;
}

static void derivatives_agree_everywhere(void **state)
{
    test_random random = test_random_begin("scan derivatives");
    size_t tried = 0;
    built one;

    (void)state;
    fill_lumpy(&random);
    one = build_surface(&it.profile);
    assert_false(tw_surface_has_crease(one.surface));
    assert_false(tw_surface_open_at(one.surface, 10));
    for (int trial = 0; trial < 600; trial++) {
        const double across = test_uniform(&random, -170, 170);
        const double up = test_uniform(&random, -70, 110);
        const double excess = tw_surface_excess(one.surface, across, up);
        if (fabs(across) < 0.01 || fabs(excess) < 0.02)
            continue;
        check_face(one.surface, across, up, 1e-3, 4e-6, 2e-3, excess > 0);
        tried++;
    }
    assert_true(tried > 400);
    tw_arena_free(one.arena);
}

/* One curve is cut at the centre line, so both sides have the same normal and bend there; between rows
 * with ragged ends to the order of the spline along the ruler. */
static void sides_join_without_a_crease(void **state)
{
    test_random random = test_random_begin("scan join");
    built one;

    (void)state;
    fill_lumpy(&random);
    one = build_surface(&it.profile);
    for (double up = -45; up < 80; up += 2.5) {
        tw_face_point right, left;
        tw_surface_at(one.surface, 0, up, 1, &right);
        tw_surface_at(one.surface, 0, up, -1, &left);
        assert_close(right.position[0], 0, 1e-9);
        for (int axis = 0; axis < 3; axis++) {
            assert_close(left.position[axis], right.position[axis], 1e-9);
            assert_close(left.normal[axis], right.normal[axis], 1e-4);
        }
        assert_close(left.mean_curvature, right.mean_curvature, 2e-4);
    }
    tw_arena_free(one.arena);
}

/* The origin moves tape coordinates along the centre line and the face not at all. */
static void tape_begins_at_the_origin(void **state)
{
    test_random random = test_random_begin("scan origin");
    built one, other;
    tw_edge_line *edges;
    size_t count;
    double lower;

    (void)state;
    fill_lumpy(&random);
    one = build_surface(&it.profile);
    it.profile.points.origin[1] = 0; /* y of the first row */
    other = build_surface(&it.profile);
    assert_int_equal(tw_surface_boundary(one.surface, one.arena, &edges, &count, NULL), TW_OK);
    assert_int_equal(count, 4);
    lower = edges[0].points[0][1];
    assert_true(lower < -50); /* 50 mm of y and the slope of the centre line */
    for (int trial = 0; trial < 100; trial++) {
        const double across = test_uniform(&random, -100, 100), up = test_uniform(&random, 0, 120);
        tw_face_point a, b;
        tw_surface_at(other.surface, across, up, 1, &a);
        tw_surface_at(one.surface, across, up + lower, 1, &b);
        for (int axis = 0; axis < 3; axis++)
            assert_close(a.position[axis], b.position[axis] + (axis == 1 ? 50 : 0), 1e-7);
    }
    {
        tw_face_point at;
        tw_surface_at(one.surface, 0, 0, 1, &at);
        assert_close(at.position[1], 0, 1e-7);
    }
    tw_arena_free(one.arena);
    tw_arena_free(other.arena);
}

/* A loft measured at four stations, sampled every 8 mm and read back. */
static void a_loft_is_read_back(void **state)
{
    static tw_station stations[] = {
        {.ruler = 0, .width = 300, .centre = 70, .sides = 0},
        {.ruler = 180, .width = 360, .centre = 115, .sides = 0, .tape = 449},
        {.ruler = 260, .width = 330, .centre = 118, .sides = 6},
        {.ruler = 400, .width = 220, .centre = 80, .sides = 30},
    };
    plate loft;
    tw_form *form;
    double wanted, got;

    (void)state;
    plate_loft(&loft, stations, 4);
    form = plate_form(&loft);
    begin();
    {
        const tw_outline *outline = tw_form_outline(form);
        for (size_t j = 0; j <= 50; j++) {
            const double up =
                outline->up_min + (outline->up_max - outline->up_min) * (double)j / 50;
            double side = 0;
            tw_face_point at;
            /* how far the row goes: the outline's level at across = 0 is no guide to it */
            for (double step = 64; step > 1e-9; step *= 0.5)
                while (tw_outline_level(
                           outline, side + step,
                           fmin(fmax(up, outline->up_min + 1e-6), outline->up_max - 1e-6)) < 0)
                    side += step;
            tw_form_at(form, 0, up, &at);
            add_row(at.position[1]);
            for (int k = -25; k <= 25; k++) {
                tw_form_at(form, side * k / 25, up, &at);
                add_point(at.position[0], at.position[2]);
            }
        }
    }
    wanted = plate_area(&loft, 256);
    got = area(256);
    print_message("area %.3f mm² for the loft's %.3f: %.2g off\n", got, wanted, got / wanted - 1);
    assert_close(got / wanted, 1, 2e-5);
    tw_form_free(form);
}

/* ---- what is refused ------------------------------------------------------------------------- */

static void refuse(int line, const char *words)
{
    const plate p = {.profile = it.profile};

    assert_refused(&p, TW_ERR_SHAPE, line, words);
}

static void bad_rows_are_told(void **state)
{
    (void)state;
    begin();
    add_arc(0, 50, 1, 9);
    add_arc(20, 50, 1, 9);
    it.points[4][0] = it.points[5][0];
    it.points[4][1] = it.points[5][1];
    refuse(7, "is there twice");

    begin();
    add_arc(0, 50, 1, 9);
    add_arc(20, 50, 1, 9);
    it.points[12][0] = it.points[14][0];
    it.points[12][1] = it.points[14][1] + 0.5; /* a stray point: forth, back and forth */
    refuse(14, "turns back on itself");

    begin();
    add_arc(0, 50, 1, 9);
    add_arc(20, 50, 1, 9);
    it.profile.points.origin[0] = 45;
    it.profile.points.origin[1] = 10;
    refuse(2, "does not cross the centre line x 45 mm");
    it.profile.points.origin[0] = 0;
    it.profile.points.origin[1] = 21;
    refuse(4, "lies beyond the rows");

    begin();
    for (int j = 0; j < 2; j++) { /* an S on its side */
        add_row(20 * j);
        for (int k = 0; k <= 24; k++)
            add_point(20 * (k - 12) / 12.0 - 24 * sin((k - 12) * TW_PI / 12), 5.0 * k);
    }
    refuse(15, "comes back over the centre line");

    begin();
    add_arc(0, 50, 1, 9);
    refuse(0, "at least 2 rows");
}

/* An origin off the face gets a note. */
static void an_origin_off_the_face_is_told(void **state)
{
    plate p = {0};
    tw_notes notes = {0};

    (void)state;
    begin();
    add_arc(0, 50, 1, 9);
    add_arc(20, 50, 1, 9);
    it.profile.points.origin[0] = 0;
    it.profile.points.origin[1] = 10;
    it.profile.points.origin[2] = 50;
    p.profile = it.profile;
    tw_form_free(plate_form_noted(&p, &notes));
    assert_int_equal(notes.count, 0);
    p.profile.points.origin[2] = 40;
    tw_form_free(plate_form_noted(&p, &notes));
    assert_int_equal(notes.count, 1);
    assert_non_null(strstr(notes.items[0].message, "10.0 mm off the face"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_row_is_as_long_as_its_arc),
        cmocka_unit_test(a_ball_keeps_its_area_and_curvature),
        cmocka_unit_test(a_cone_keeps_its_area),
        cmocka_unit_test(derivatives_agree_everywhere),
        cmocka_unit_test(sides_join_without_a_crease),
        cmocka_unit_test(tape_begins_at_the_origin),
        cmocka_unit_test(a_loft_is_read_back),
        cmocka_unit_test(bad_rows_are_told),
        cmocka_unit_test(an_origin_off_the_face_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
