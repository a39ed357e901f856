/* Distances from points, lines and shapes against closed forms, straight from the public calls. */
#include "march_cases.h"

static const double ball = 150; /* mm */

static double ball_from_disc(double across, double up, const void *shape)
{
    const double *disc = shape;
    tw_face_point p, c;
    double cross[3];

    test_face_ball(across, up, &ball, &p);
    test_face_ball(disc[0], disc[1], &ball, &c);
    tw_cross(p.normal, c.normal, cross);
    return fmax(ball * atan2(sqrt(tw_dot(cross, cross)), tw_dot(p.normal, c.normal)) - disc[2], 0);
}

static tw_grid *ball_grid(size_t cells)
{
    const double rim = ball * TW_PI / 2;

    return test_grid_fill(test_face_ball, &ball, -rim, rim, -rim, rim, cells, rim);
}

static tw_point by_tape(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up}};
}

static void points_and_discs_on_a_ball(void **state)
{
    /* off the crown, at the crown, on a node or off, on the rim itself */
    const double at[4][3] = {{91.6, 0, 15.7}, {0, 0, 40}, {-31.3, 120.9, 9}, {235.6, 0, 20}};

    (void)state;
    for (int which = 0; which < 4; which++) {
        const double point[3] = {at[which][0], at[which][1], 0};
        march_error e[3], d[3];
        for (int k = 0; k < 3; k++) {
            march_case c = march_case_on(ball_grid((size_t)64 << k));
            const tw_shape disc = {.kind = TW_SHAPE_DISC,
                                   .at = by_tape(at[which][0], at[which][1]),
                                   .across = at[which][2],
                                   .up = at[which][2]};
            assert_int_equal(tw_distance_from_point(c.march, NULL, point, c.distance, NULL), TW_OK);
            e[k] = march_compare(&c, ball_from_disc, point);
            assert_int_equal(tw_distance_from_shape(c.march, NULL, &disc, c.distance, NULL, NULL),
                             TW_OK);
            d[k] = march_compare(&c, ball_from_disc, at[which]);
            march_case_end(&c);
        }
        print_message("ball [%g, %g]: point rms %.4f %.4f %.4f mm, order %.2f; disc %.4f mm\n",
                      point[0], point[1], e[0].rms, e[1].rms, e[2].rms, march_order(e), d[2].rms);
        assert_true(e[2].rms < 0.02 && march_order(e) > 1.3);
        assert_true(d[2].rms < 0.02);
    }
}

static double plain(double across, double up, const void *shape)
{
    const double *from = shape;

    return hypot(across - from[0], up - from[1]);
}

static void points_on_a_cylinder(void **state)
{
    const double radius = 80, from[2] = {-31.3, 12.7};
    march_error e[3];

    (void)state;
    for (int k = 0; k < 3; k++) {
        march_case c = march_case_on(
            test_grid_fill(face_cylinder, &radius, -110, 110, -110, 110, (size_t)64 << k, 400));
        assert_int_equal(tw_distance_from_point(c.march, NULL, from, c.distance, NULL), TW_OK);
        e[k] = march_compare(&c, plain, from);
        march_case_end(&c);
    }
    assert_true(e[2].rms < 0.005 && march_order(e) > 1.3);
}

/* Cone unrolled: √(s² + t² − 2·s·t·cos(squeeze·bearing)) off the seam where two ways meet. */
typedef struct cone_case {
    double squeeze, from[2];
} cone_case;

static double on_cone(double across, double up, const void *shape)
{
    const cone_case *c = shape;
    const double t = hypot(across, up), s = hypot(c->from[0], c->from[1]);
    const double turn =
        fabs(atan2(across * c->from[1] - up * c->from[0], across * c->from[0] + up * c->from[1]));

    if (turn > 2.6 || t < 5)
        return NAN;
    return sqrt(t * t + s * s - 2 * t * s * cos(c->squeeze * turn));
}

static void points_on_cones(void **state)
{
    const cone_case cones[3] = {{0.7, {30, -40}}, {0.45, {30, -40}}, {1 / 4.3, {30, -40}}};
    const double allowed[3] = {0.007, 0.015, 0.035}; /* mm; of up to 200 */

    (void)state;
    for (int k = 0; k < 3; k++) {
        march_error e[3];
        for (int fine = 0; fine < 3; fine++) {
            march_case c = march_case_on(test_grid_fill(face_cone, &cones[k].squeeze, -150, 150,
                                                        -150, 150, (size_t)64 << fine, 149));
            assert_int_equal(tw_distance_from_point(c.march, NULL, cones[k].from, c.distance, NULL),
                             TW_OK);
            e[fine] = march_compare(&c, on_cone, &cones[k]);
            march_case_end(&c);
        }
        print_message("cone %.3f: rms %.4f %.4f %.4f mm, order %.2f, worst %.4f mm\n",
                      cones[k].squeeze, e[0].rms, e[1].rms, e[2].rms, march_order(e), e[2].worst);
        assert_true(e[2].rms < allowed[k] && march_order(e) > 1.2);
    }
}

/* Rim of a hemisphere: radius × (90° − polar angle). */
static double from_rim(double across, double up, const void *shape)
{
    (void)shape;
    return ball * TW_PI / 2 - hypot(across, up);
}

static void rim_of_a_ball(void **state)
{
    enum { COUNT = 401 };
    static double points[COUNT][2];
    const double rim = ball * TW_PI / 2;
    /* two halves as two lines: one source */
    tw_edge_line lines[2] = {{"right", COUNT / 2 + 1, points},
                             {"left", COUNT / 2 + 1, points + COUNT / 2}};
    march_error e[3];

    (void)state;
    for (int k = 0; k < COUNT; k++) {
        points[k][0] = rim * cos(2 * TW_PI * (k % (COUNT - 1)) / (COUNT - 1));
        points[k][1] = rim * sin(2 * TW_PI * (k % (COUNT - 1)) / (COUNT - 1));
    }
    for (int k = 0; k < 3; k++) {
        march_case c = march_case_on(ball_grid((size_t)64 << k));
        assert_int_equal(tw_distance_from_lines(c.march, NULL, lines, 2, c.distance, NULL), TW_OK);
        for (size_t n = 0; n < c.grid->nu * c.grid->nv; n++)
            assert_true(c.distance[n] >= 0);
        e[k] = march_compare(&c, from_rim, NULL);
        march_case_end(&c);
    }
    print_message("rim: rms %.4f %.4f %.4f mm, worst %.4f\n", e[0].rms, e[1].rms, e[2].rms,
                  e[2].worst); /* the worst is at the crown, where all fronts meet */
    assert_true(e[2].rms < 0.02 && e[2].worst < 0.5);
}

/* Open line in a flat plate: the distance from a segment. */
static double from_segment(double across, double up, const void *shape)
{
    const double(*s)[2] = shape;
    const double along[2] = {s[1][0] - s[0][0], s[1][1] - s[0][1]};
    const double t = ((across - s[0][0]) * along[0] + (up - s[0][1]) * along[1]) /
                     (along[0] * along[0] + along[1] * along[1]);
    const double f = fmin(fmax(t, 0), 1);

    return hypot(across - s[0][0] - f * along[0], up - s[0][1] - f * along[1]);
}

static void lines_and_bands_in_a_flat_plate(void **state)
{
    double points[2][2] = {{-40, -30}, {35, 20}};
    const tw_edge_line line = {"middle", 2, points};
    tw_point ends[2] = {by_tape(-40, -30), by_tape(35, 20)};
    const tw_shape band = {.kind = TW_SHAPE_LINE, .width = 12, .point_count = 2, .points = ends};
    march_case c =
        march_case_on(test_grid_fill(test_face_flat, NULL, -100, 100, -100, 100, 128, 400));
    const size_t count = c.grid->nu * c.grid->nv;
    double *level = malloc(count * sizeof *level);
    march_error e;

    (void)state;
    assert_non_null(level);
    assert_int_equal(tw_distance_from_lines(c.march, NULL, &line, 1, c.distance, NULL), TW_OK);
    e = march_compare(&c, from_segment, points);
    print_message("segment: rms %.4f, worst %.4f mm\n", e.rms, e.worst);
    assert_true(e.rms < 0.02 && e.worst < 0.06);
    assert_int_equal(tw_distance_from_shape(c.march, NULL, &band, c.distance, level, NULL), TW_OK);
    for (size_t n = 0; n < count; n++) {
        const double wanted = from_segment(c.grid->x[n], c.grid->y[n], points) - 6;
        assert_close(level[n], wanted, 0.06);
        assert_close(c.distance[n], fmax(level[n], 0), 0);
    }
    free(level);
    march_case_end(&c);
}

/* Distance outside a square of half side `half` about a centre. */
static double from_square(double across, double up, const void *shape)
{
    const double *s = shape;

    return hypot(fmax(fabs(across - s[0]) - s[2], 0), fmax(fabs(up - s[1]) - s[2], 0));
}

static void polygons_and_ellipses_in_a_flat_plate(void **state)
{
    const double square[3] = {10.3, -5.2, 20};
    tw_point corners[4] = {by_tape(-9.7, -25.2), by_tape(30.3, -25.2), by_tape(30.3, 14.8),
                           by_tape(-9.7, 14.8)};
    const tw_shape polygon = {.kind = TW_SHAPE_POLYGON, .point_count = 4, .points = corners};
    const tw_shape rectangle = {
        .kind = TW_SHAPE_RECTANGLE, .at = by_tape(10.3, -5.2), .across = 20, .up = 20};
    const tw_shape ellipse = {
        .kind = TW_SHAPE_ELLIPSE, .at = by_tape(10.3, -5.2), .across = 40, .up = 20};
    march_case c =
        march_case_on(test_grid_fill(test_face_flat, NULL, -100, 100, -100, 100, 128, 400));
    const tw_grid *g = c.grid;
    const size_t count = g->nu * g->nv;
    double *level = malloc(count * sizeof *level), area = 0;
    double *share = malloc(tw_grid_cells(g) * sizeof *share);
    march_error e;

    (void)state;
    assert_true(level && share);
    assert_int_equal(tw_distance_from_shape(c.march, NULL, &polygon, c.distance, level, NULL),
                     TW_OK);
    e = march_compare(&c, from_square, square);
    print_message("square: rms %.4f, worst %.4f mm\n", e.rms, e.worst);
    assert_true(e.rms < 0.02 && e.worst < 0.06);
    for (size_t n = 0; n < count; n++)
        assert_true((level[n] < 0) == (from_square(g->x[n], g->y[n], square) <= 0));
    assert_int_equal(tw_distance_from_shape(c.march, NULL, &rectangle, c.distance, level, NULL),
                     TW_OK);
    e = march_compare(&c, from_square, square);
    assert_true(e.rms < 0.02 && e.worst < 0.06);

    assert_int_equal(tw_distance_from_shape(c.march, NULL, &ellipse, c.distance, level, NULL),
                     TW_OK);
    tw_grid_level_share(g, level, share);
    for (size_t k = 0; k < tw_grid_cells(g); k++)
        area += share[k] * g->across_step * g->up_step;
    assert_close(area, TW_PI * 40 * 20, 0.002 * TW_PI * 40 * 20);
    /* along the axes the distance is plain */
    assert_close(tw_grid_sample(g, c.distance, 90.3, -5.2), 40, 0.05);
    assert_close(tw_grid_sample(g, c.distance, 10.3, 74.8), 60, 0.05);
    free(share);
    free(level);
    march_case_end(&c);
}

/* The square with a round hole over its lower border, which hides part of it. */
static double pierced_level(double across, double up, const void *shape)
{
    const double *hole = shape;

    return fmax(hole[2] - hypot(across - hole[0], up - hole[1]),
                fmax(fabs(across), fabs(up)) - 100);
}

/* A way round a hole is never shorter than the straight one, and longer by no more than the half
 * round of it. */
static void holes_in_a_border_shorten_no_way(void **state)
{
    static const double holes[3][3] = {{10.3, -25.2, 7}, {4, -30.5, 6}, {-9.7, -25.2, 9}};
    const double square[3] = {10.3, -5.2, 20};
    tw_point corners[4] = {by_tape(-9.7, -25.2), by_tape(30.3, -25.2), by_tape(30.3, 14.8),
                           by_tape(-9.7, 14.8)};
    const tw_shape polygon = {.kind = TW_SHAPE_POLYGON, .point_count = 4, .points = corners};

    (void)state;
    for (int which = 0; which < 6; which++) {
        const double *hole = holes[which / 2];
        tw_grid *g =
            test_grid_fill(test_face_flat, NULL, -101, 101, -101, 101, which % 2 ? 128 : 48, 0);
        march_case c;
        cut_grid(g, pierced_level, hole);
        c = march_case_on(g);
        assert_int_equal(tw_distance_from_shape(c.march, NULL, &polygon, c.distance, NULL, NULL),
                         TW_OK);
        for (size_t n = 0; n < g->nu * g->nv; n++)
            if (g->level[n] < 0) {
                const double way = from_square(g->x[n], g->y[n], square);
                assert_true(c.distance[n] > way - 0.25 * g->across_step);
                assert_true(c.distance[n] < way + (TW_PI - 2) * hole[2] + 1.5 * g->across_step);
            }
        march_case_end(&c);
    }
}

/* Area of a geodesic disc on a ball: 2πR²(1 − cos(radius/R)), near the rim too. */
static void discs_keep_their_size_on_the_plate(void **state)
{
    const double at[3][2] = {{0, 0}, {100, 60}, {-150, 40}};
    march_case c = march_case_on(ball_grid(192));
    const tw_grid *g = c.grid;
    double *level = malloc(g->nu * g->nv * sizeof *level);
    double *share = malloc(tw_grid_cells(g) * sizeof *share);

    (void)state;
    assert_true(level && share);
    for (int k = 0; k < 3; k++) {
        const double radius = 50, wanted = 2 * TW_PI * ball * ball * (1 - cos(radius / ball));
        const tw_shape shapes[2] = {{.kind = TW_SHAPE_DISC,
                                     .at = by_tape(at[k][0], at[k][1]),
                                     .across = radius,
                                     .up = radius},
                                    {.kind = TW_SHAPE_ELLIPSE,
                                     .at = by_tape(at[k][0], at[k][1]),
                                     .across = radius,
                                     .up = radius}};
        for (int round = 0; round < 2; round++) {
            double area = 0;
            assert_int_equal(
                tw_distance_from_shape(c.march, NULL, &shapes[round], c.distance, level, NULL),
                TW_OK);
            tw_grid_level_share(g, level, share);
            for (size_t n = 0; n < tw_grid_cells(g); n++)
                area += share[n] * g->area[n];
            print_message("[%g, %g] %s: %.1f of %.1f mm2\n", at[k][0], at[k][1],
                          round ? "ellipse" : "disc", area, wanted);
            assert_close(area, wanted, 0.001 * wanted);
        }
    }
    free(share);
    free(level);
    march_case_end(&c);
}

static void shapes_off_the_metal_are_refused(void **state)
{
    tw_point corners[3] = {by_tape(900, 0), by_tape(950, 0), by_tape(900, 50)};
    const tw_shape shapes[3] = {
        {.kind = TW_SHAPE_DISC, .at = by_tape(400, 10), .across = 20, .up = 20},
        {.kind = TW_SHAPE_POLYGON, .point_count = 3, .points = corners},
        {.kind = TW_SHAPE_LINE, .point_count = 3, .points = corners, .width = 10}};
    const tw_shape partly = {.kind = TW_SHAPE_DISC, .at = by_tape(250, 10), .across = 40, .up = 40};
    const tw_shape tiny = {
        .kind = TW_SHAPE_DISC, .at = by_tape(10.1, 10.2), .across = 0.05, .up = 0.05};
    march_case c = march_case_on(ball_grid(64));
    tw_error err;

    (void)state;
    for (int k = 0; k < 3; k++) {
        assert_int_equal(tw_distance_from_shape(c.march, NULL, &shapes[k], c.distance, NULL, &err),
                         TW_ERR_SHAPE);
        assert_true(err.message[0] && err.advice[0]);
    }
    assert_int_equal(tw_distance_from_shape(c.march, NULL, &partly, c.distance, NULL, NULL), TW_OK);
    assert_close(tw_grid_sample(c.grid, c.distance, 225, 10), 0, 0.5);
    assert_int_equal(tw_distance_from_shape(c.march, NULL, &tiny, c.distance, NULL, NULL), TW_OK);
    assert_int_equal(tw_distance_from_point(c.march, NULL, (double[2]){NAN, 0}, c.distance, &err),
                     TW_ERR_DOMAIN);
    march_case_end(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_and_discs_on_a_ball),
        cmocka_unit_test(points_on_a_cylinder),
        cmocka_unit_test(points_on_cones),
        cmocka_unit_test(rim_of_a_ball),
        cmocka_unit_test(lines_and_bands_in_a_flat_plate),
        cmocka_unit_test(polygons_and_ellipses_in_a_flat_plate),
        cmocka_unit_test(holes_in_a_border_shorten_no_way),
        cmocka_unit_test(discs_keep_their_size_on_the_plate),
        cmocka_unit_test(shapes_off_the_metal_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
