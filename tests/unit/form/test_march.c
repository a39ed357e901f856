/* Marches against closed forms, and properties that hold for any of them. */
#include "form/march_internal.h"

#include "march_cases.h"

static const double ball = 150; /* mm */

/* Signed distance from a geodesic disc on the ball, < 0 inside. `shape`: across, up, radius. */
static double ball_from_disc(double across, double up, const void *shape)
{
    const double *disc = shape;
    tw_face_point p, c;
    double cross[3];

    test_face_ball(across, up, &ball, &p);
    test_face_ball(disc[0], disc[1], &ball, &c);
    tw_cross(p.normal, c.normal, cross);
    return ball * atan2(sqrt(tw_dot(cross, cross)), tw_dot(p.normal, c.normal)) - disc[2];
}

static void seed(march_case *c, exact_distance exact, const void *shape, double below)
{
    for (size_t n = 0; n < c->grid->nu * c->grid->nv; n++) {
        const double d = exact(tw_grid_across(c->grid, n % c->grid->nu),
                               tw_grid_up(c->grid, n / c->grid->nu), shape);
        c->distance[n] = d < below && c->grid->level[n] < 0 ? d : INFINITY;
    }
}

/* Disc 12° wide, 35° off the crown of a hemisphere; truth is radius × angle. */
static void hemisphere_has_great_circles(void **state)
{
    const double rim = ball * TW_PI / 2, disc[3] = {ball * 35 * TW_PI / 180, 0, ball * TW_PI / 30};
    march_error e[3];

    (void)state;
    for (int k = 0; k < 3; k++) {
        const size_t cells = (size_t)64 << k;
        march_case c =
            march_case_on(test_grid_fill(test_face_ball, &ball, -rim, rim, -rim, rim, cells, rim));
        seed(&c, ball_from_disc, disc, 1.5 * c.grid->across_step);
        tw_march_run(c.march, c.distance);
        e[k] = march_compare(&c, ball_from_disc, disc);
        march_case_end(&c);
    }
    assert_true(e[2].rms < 0.012 && e[2].worst < 0.025);
    assert_true(march_order(e) > 1.7);
}

/* Hole in a flat plate: `shape` is its centre, its radius, and the point measured from. */
typedef struct hole_case {
    double across, up, radius, from[2];
} hole_case;

static double hole_level(double across, double up, const void *shape)
{
    const hole_case *h = shape;
    const double out = fmax(fabs(across), fabs(up)) - 100;

    return fmax(h->radius - hypot(across - h->across, up - h->up), out);
}

/* Straight, or tangent–arc–tangent: √(s²−r²) + √(t²−r²) + r·(θ − acos(r/s) − acos(r/t)). */
static double round_hole(double across, double up, const void *shape)
{
    const hole_case *h = shape;
    const double s[2] = {h->from[0] - h->across, h->from[1] - h->up};
    const double t[2] = {across - h->across, up - h->up};
    const double far = hypot(s[0], s[1]), near = hypot(t[0], t[1]), r = h->radius;
    const double angle = fabs(atan2(s[0] * t[1] - s[1] * t[0], s[0] * t[0] + s[1] * t[1]));
    const double turn = angle - acos(r / far) - acos(fmin(r / near, 1));

    return turn > 0 ? sqrt(far * far - r * r) + sqrt(fmax(near * near - r * r, 0)) + r * turn
                    : hypot(t[0] - s[0], t[1] - s[1]);
}

static march_case hole_march(const hole_case *h, size_t cells)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -101, 101, -101, 101, cells, 0);
    march_case c;

    cut_grid(grid, hole_level, h);
    c = march_case_on(grid);
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double d = hypot(tw_grid_across(grid, n % grid->nu) - h->from[0],
                               tw_grid_up(grid, n / grid->nu) - h->from[1]);
        c.distance[n] = d < 25 ? d : INFINITY;
    }
    tw_march_run(c.march, c.distance);
    return c;
}

static void paths_go_round_a_hole_by_tangents(void **state)
{
    const hole_case holes[2] = {{3.3, 1.7, 25, {-70, 5}}, {3.3, 1.7, 8, {-70, 5}}};

    (void)state;
    for (int which = 0; which < 2; which++) {
        march_error e[3];
        for (int k = 0; k < 3; k++) {
            march_case c = hole_march(&holes[which], (size_t)64 << k);
            e[k] = march_compare(&c, round_hole, &holes[which]);
            march_case_end(&c);
        }
        print_message("hole of %g mm: rms %.4f %.4f %.4f mm, order %.2f\n", holes[which].radius,
                      e[0].rms, e[1].rms, e[2].rms, march_order(e));
        assert_true(e[2].rms < 0.03 && e[2].worst < 0.15);
        assert_true(march_order(e) > 0.8);
    }
}

/* Slot of a given width from its inner end out through the plate's border, at an angle from "up";
 * the way from one side to the other is by its inner end. */
typedef struct slot_case {
    double width, angle;
} slot_case;
static const double slot_end[2] = {0.37, -40};

static void slot_frame(const slot_case *s, double out, double along, double at[2])
{
    at[0] = slot_end[0] + out * cos(s->angle) + along * sin(s->angle);
    at[1] = slot_end[1] - out * sin(s->angle) + along * cos(s->angle);
}

static double slot_level(double across, double up, const void *shape)
{
    const slot_case *s = shape;
    const double da = across - slot_end[0], du = up - slot_end[1];
    const double out = fabs(da * cos(s->angle) - du * sin(s->angle));
    const double along = da * sin(s->angle) + du * cos(s->angle);
    const double slot = 0.5 * s->width - (along > 0 ? out : hypot(out, along));

    return fmax(slot, fmax(fabs(across), fabs(up)) - 100);
}

static void narrow_slots_block(void **state)
{
    /* in cells of 202/128 mm, from a third of a cell to well over two */
    const double widths[] = {0.3, 0.7, 0.95, 1.05, 1.3, 1.6, 1.9, 2.2, 2.6, 3.1};
    const double angles[] = {0, 0.17, 0.35, 0.52};
    double worst = 0;

    (void)state;
    for (size_t k = 0; k < 4 * sizeof widths / sizeof *widths; k++) {
        const slot_case s = {widths[k / 4] * 202 / 128, angles[k % 4]};
        /* narrower than a cell a slot is sure to be seen only along a grid line */
        const bool seen = widths[k / 4] > 0.9 || s.angle == 0;
        const double wanted = 2 * hypot(50, 100 + 0.5 * s.width);
        tw_grid *grid = test_grid_fill(test_face_flat, NULL, -101, 101, -101, 101, 128, 0);
        double from[2], to[2], got;
        march_case c;
        slot_frame(&s, -50, 100, from);
        slot_frame(&s, 50, 100, to);
        cut_grid(grid, slot_level, &s);
        c = march_case_on(grid);
        for (size_t n = 0; n < grid->nu * grid->nv; n++) {
            const double d = hypot(grid->x[n] - from[0], grid->y[n] - from[1]);
            c.distance[n] = d < 20 ? d : INFINITY;
        }
        tw_march_run(c.march, c.distance);
        got = tw_grid_sample(grid, c.distance, to[0], to[1]);
        if (fabs(got - wanted) > 0.02 * wanted)
            print_message("slot of %.2f cells at %.2f: %.2f mm, by its end %.2f mm\n",
                          widths[k / 4], s.angle, got, wanted);
        if (seen)
            worst = fmax(worst, fabs(got / wanted - 1));
        march_case_end(&c);
    }
    assert_close(worst, 0, 0.02);
}

static double two_islands(double across, double up, const void *shape)
{
    (void)shape;
    return fmax(fmax(fabs(up) - 50, fabs(across) - 50), 8 - fabs(across));
}

static void metal_without_a_way_keeps_infinity(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -52, 52, -52, 52, 64, 0);
    march_case c;

    (void)state;
    cut_grid(grid, two_islands, NULL);
    c = march_case_on(grid);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        c.distance[n] = INFINITY;
    tw_march_run(c.march, c.distance); /* no seed at all: nothing is reached */
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        assert_true(isinf(c.distance[n]));
    c.distance[32 * grid->nu + 10] = 0;
    tw_march_run(c.march, c.distance);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] < 0)
            assert_true(isfinite(c.distance[n]) == (grid->x[n] < 0));
    march_case_end(&c);
}

/* Roof unfolded is flat: distance is plain in tape coordinates, across the ridge too. */
static double plain(double across, double up, const void *shape)
{
    const double *from = shape;

    return hypot(across - from[0], up - from[1]);
}

static void roof_unfolds(void **state)
{
    const double fall = 0.6, from[2] = {-40, 10};
    march_error e[3], flat[3];

    (void)state;
    for (int k = 0; k < 3; k++)
        for (int roof = 0; roof < 2; roof++) {
            march_case c = march_case_on(test_grid_fill(roof ? face_roof : test_face_flat, &fall,
                                                        -90, 90, -90, 90, (size_t)32 << k, 400));
            seed(&c, plain, from, 20);
            tw_march_run(c.march, c.distance);
            (roof ? e : flat)[k] = march_compare(&c, plain, from);
            march_case_end(&c);
        }
    for (int k = 0; k < 3; k++) /* the ridge adds nothing to the error of a flat plate */
        assert_close(e[k].worst, flat[k].worst, 1e-9);
    assert_true(e[2].rms < 0.02 && march_order(e) > 1.6);
}

/* A front that starts straight stays straight: every difference is exact. */
static double from_slope(double across, double up, const void *shape)
{
    const double *way = shape;

    return way[0] * across + way[1] * up + 60;
}

static void straight_fronts_are_exact(void **state)
{
    test_random random = test_random_begin("straight fronts");

    (void)state;
    for (int trial = 0; trial < 8; trial++) {
        const double angle = test_uniform(&random, 0, TW_PI / 2);
        const double way[2] = {cos(angle), sin(angle)};
        march_case c =
            march_case_on(test_grid_fill(test_face_flat, NULL, -90, 90, -90, 90, 48, 400));
        double worst = 0;
        /* the sides the front comes from, three nodes deep, so that all rays start from seeds */
        for (size_t n = 0; n < c.grid->nu * c.grid->nv; n++) {
            const bool side = n % c.grid->nu < 4 || n / c.grid->nu < 4;
            c.distance[n] = side ? from_slope(c.grid->x[n], c.grid->y[n], way) : INFINITY;
        }
        tw_march_run(c.march, c.distance);
        for (size_t n = 0; n < c.grid->nu * c.grid->nv; n++)
            worst = fmax(worst, fabs(c.distance[n] - from_slope(c.grid->x[n], c.grid->y[n], way)));
        assert_close(worst, 0, 1e-9);
        march_case_end(&c);
    }
}

/* Random seeds on a ball: no distance below the chord, none rising faster than the way. */
static void distances_rise_no_faster_than_the_way(void **state)
{
    test_random random = test_random_begin("rise");
    const double rim = ball * TW_PI / 2;
    march_case c =
        march_case_on(test_grid_fill(test_face_ball, &ball, -rim, rim, -rim, rim, 96, rim));
    const tw_grid *g = c.grid;

    (void)state;
    for (int trial = 0; trial < 5; trial++) {
        const double disc[3] = {test_uniform(&random, -100, 100), test_uniform(&random, -100, 100),
                                0};
        tw_face_point at;
        test_face_ball(disc[0], disc[1], &ball, &at);
        seed(&c, ball_from_disc, disc, 40);
        tw_march_run(c.march, c.distance);
        for (size_t n = 0; n + g->nu < g->nu * g->nv; n++) {
            const double chord[3] = {g->x[n] - at.position[0], g->y[n] - at.position[1],
                                     g->z[n] - at.position[2]};
            if (g->level[n] >= 0)
                continue;
            assert_true(c.distance[n] > sqrt(tw_dot(chord, chord)) - 1e-9);
            if (g->level[n + 1] < 0) {
                const double step =
                    g->across_step * sqrt(fmax(g->metric_aa[n], g->metric_aa[n + 1]));
                assert_true(fabs(c.distance[n + 1] - c.distance[n]) < 1.005 * step);
            }
            if (g->level[n + g->nu] < 0) {
                const double step =
                    g->up_step * sqrt(fmax(g->metric_uu[n], g->metric_uu[n + g->nu]));
                assert_true(fabs(c.distance[n + g->nu] - c.distance[n]) < 1.005 * step);
            }
        }
    }
    march_case_end(&c);
}

static void symmetric_plates_have_symmetric_distances(void **state)
{
    const hole_case h = {0, 7, 22, {0, -60}};
    march_case c = hole_march(&h, 100);
    const tw_grid *g = c.grid;

    (void)state;
    for (size_t j = 0; j < g->nv; j++)
        for (size_t i = 0; i < g->nu / 2; i++) {
            const double left = c.distance[j * g->nu + i];
            const double right = c.distance[j * g->nu + g->nu - 1 - i];
            if (isfinite(left))
                assert_close(left, right, 1e-12 * 200);
            else
                assert_true(isinf(right));
        }
    march_case_end(&c);
}

static void same_march_gives_the_same_bits(void **state)
{
    const double rim = ball * TW_PI / 2, disc[3] = {30, -20, 10};
    march_case c =
        march_case_on(test_grid_fill(test_face_ball, &ball, -rim, rim, -rim, rim, 64, rim));
    const size_t size = c.grid->nu * c.grid->nv * sizeof(double);
    double *first = malloc(size);

    (void)state;
    assert_non_null(first);
    seed(&c, ball_from_disc, disc, 8);
    tw_march_run(c.march, c.distance);
    memcpy(first, c.distance, size);
    seed(&c, ball_from_disc, disc, 300); /* another march in between leaves no trace */
    tw_march_run(c.march, c.distance);
    seed(&c, ball_from_disc, disc, 8);
    tw_march_run(c.march, c.distance);
    assert_memory_equal(first, c.distance, size);
    free(first);
    march_case_end(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hemisphere_has_great_circles),
        cmocka_unit_test(paths_go_round_a_hole_by_tangents),
        cmocka_unit_test(narrow_slots_block),
        cmocka_unit_test(metal_without_a_way_keeps_infinity),
        cmocka_unit_test(roof_unfolds),
        cmocka_unit_test(straight_fronts_are_exact),
        cmocka_unit_test(distances_rise_no_faster_than_the_way),
        cmocka_unit_test(symmetric_plates_have_symmetric_distances),
        cmocka_unit_test(same_march_gives_the_same_bits),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
