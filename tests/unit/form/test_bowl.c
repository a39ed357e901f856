/* test_bowl.c: bowls against closed forms of ball, ellipsoid, cone and paraboloid. */
#include "surface_checks.h"

static tw_profile bowl(tw_bowl_profile kind, double across, double up, double depth)
{
    return (tw_profile){
        .form = TW_FORM_BOWL,
        .bowl = {
            .across = across, .up = up, .depth = depth, .profile = kind, .place = {.line = 7}}};
}

static void flat_is_its_own_tape(void **state)
{
    const tw_profile profile = {.form = TW_FORM_FLAT};
    built it = build_surface(&profile);
    tw_face_point at;
    tw_edge_line *edges;
    size_t count = 9;

    (void)state;
    tw_surface_at(it.surface, 12, -30, 1, &at);
    assert_close(at.position[0], 12, 0);
    assert_close(at.position[1], -30, 0);
    assert_close(at.normal[2], 1, 0);
    check_face(it.surface, 5, 6, 1e-3, 1e-9, 1e-9, false);
    assert_true(tw_surface_excess(it.surface, 1e6, 0) == -INFINITY);
    assert_int_equal(tw_surface_boundary(it.surface, it.arena, &edges, &count, NULL), TW_OK);
    assert_int_equal(count, 0);
    assert_false(tw_surface_has_crease(it.surface) || tw_surface_has_apex(it.surface));
    tw_arena_free(it.arena);
}

/* Ball of radius R = (a² + h²)/(2h): polar angle tape/R. Derived. */
static void round_bowl_is_a_ball(void **state)
{
    static const double sizes[][2] = {{150, 150}, {100, 60}, {100, 5}};
    test_random random = test_random_begin("ball");

    (void)state;
    for (size_t s = 0; s < 3; s++) {
        const double a = sizes[s][0], h = sizes[s][1], R = (a * a + h * h) / (2 * h);
        const double most = R * 2 * atan(h / a);
        const tw_profile profile = bowl(TW_BOWL_ROUND, a, a, h);
        built it = build_surface(&profile);
        for (int trial = 0; trial < 500; trial++) {
            const double tape = most * test_uniform(&random, 0, 1);
            const double b = test_uniform(&random, 0, 2 * TW_PI), polar = tape / R;
            tw_face_point at;
            tw_surface_at(it.surface, tape * sin(b), tape * cos(b), 1, &at);
            assert_close(at.position[0], R * sin(polar) * sin(b), 1e-10);
            assert_close(at.position[1], R * sin(polar) * cos(b), 1e-10);
            assert_close(at.position[2], R * cos(polar) - R + h, 1e-10);
            assert_close(at.normal[0], sin(polar) * sin(b), 1e-10);
            assert_close(at.mean_curvature * R, 1, 1e-9);
            assert_close(at.gauss_curvature * R * R, 1, 1e-9);
            assert_close(tw_dot(at.across_step, at.across_step) + tw_dot(at.up_step, at.up_step),
                         1 + pow(sin(polar) / polar, 2), 1e-10);
            assert_close(tw_surface_excess(it.surface, tape * sin(b), tape * cos(b)), tape - most,
                         1e-9);
        }
        tw_arena_free(it.arena);
    }
}

/* x²/A² + y²/B² + z²/C² = 1: with w = x²/A⁴ + y²/B⁴ + z²/C⁴, K = 1/(A²B²C²w²) and
 * H = (A² + B² + C² − r²)/(2A²B²C²·w^(3/2)). Source: standard, e.g. Spivak vol. 3. */
static void full_bowl_is_an_ellipsoid(void **state)
{
    const double A = 90, B = 140, C = 110, P = A * A * B * B * C * C;
    const tw_profile profile = bowl(TW_BOWL_FULL, A, B, C);
    built it = build_surface(&profile);
    test_random random = test_random_begin("ellipsoid");

    (void)state;
    for (int trial = 0; trial < 2000; trial++) {
        const double across = test_uniform(&random, -150, 150);
        const double up = test_uniform(&random, -200, 200);
        tw_face_point at;
        double x, y, z, w;
        if (tw_surface_excess(it.surface, across, up) > 0)
            continue;
        tw_surface_at(it.surface, across, up, 1, &at);
        x = at.position[0], y = at.position[1], z = at.position[2];
        w = x * x / pow(A, 4) + y * y / pow(B, 4) + z * z / pow(C, 4);
        assert_close(x * x / (A * A) + y * y / (B * B) + z * z / (C * C), 1, 1e-13);
        assert_close(x * up, y * across, 1e-8); /* the bearing is a plan bearing */
        assert_close(at.normal[0], x / (A * A) / sqrt(w), 1e-12);
        assert_close(at.normal[2], z / (C * C) / sqrt(w), 1e-12);
        assert_close(at.gauss_curvature * P * w * w, 1, 1e-10);
        assert_close(at.mean_curvature * 2 * P * pow(w, 1.5) /
                         (A * A + B * B + C * C - x * x - y * y - z * z),
                     1, 1e-10);
    }
    tw_arena_free(it.arena);
}

/* Quarter ellipse A by C: arc length by the trapezium rule in the angle, which for a periodic
 * integrand converges geometrically: nothing in common with Gauss tables. */
static void ellipse_tape_is_its_arc(void **state)
{
    const double A = 90, B = 140, C = 110;
    const tw_profile profile = bowl(TW_BOWL_FULL, A, B, C);
    built it = build_surface(&profile);

    (void)state;
    for (int way = 0; way < 7; way++) {
        const double b = way * TW_PI / 12, sine = sin(b), cosine = cos(b);
        const double R = 1 / sqrt(sine * sine / A / A + cosine * cosine / B / B);
        double arc = 0;
        for (int i = 0; i < 400; i++) {
            const double t = 2 * TW_PI * i / 400;
            arc += hypot(R * cos(t), C * sin(t)) * 2 * TW_PI / 400 / 4;
        }
        assert_close(tw_surface_excess(it.surface, arc * sine, arc * cosine), 0, 1e-9);
    }
    tw_arena_free(it.arena);
}

/* Cone of radius a, depth h: H = 1/(2·r·√(1 + (a/h)²))… with slope angle: principal curvature
 * cos(γ)/r where cosγ = h/slant. Derived (Meusnier). */
static void cone_is_straight(void **state)
{
    const double a = 100, h = 200, slant = hypot(a, h);
    const tw_profile profile = bowl(TW_BOWL_CONE, a, a, h);
    built it = build_surface(&profile);
    tw_face_point at;

    (void)state;
    for (double tape = 1; tape < slant; tape += 17) {
        tw_surface_at(it.surface, tape * 0.6, tape * 0.8, 1, &at);
        assert_close(at.position[2], h * (1 - tape / slant), 1e-11);
        assert_close(hypot(at.position[0], at.position[1]), a * tape / slant, 1e-11);
        assert_close(at.gauss_curvature, 0, 1e-15);
        assert_close(at.mean_curvature, 0.5 * (h / slant) / (a * tape / slant), 1e-12);
    }
    assert_true(tw_surface_has_apex(it.surface));
    tw_surface_at(it.surface, 0, 0, 1, &at);
    assert_close(at.normal[2], 1, 0);
    assert_close(at.mean_curvature, 0, 0);
    assert_close(at.gauss_curvature, 0, 0);
    tw_arena_free(it.arena);
}

/* Arc of z = h(1 − r²/a²) from the crown: with p = a²/(2h), ½[r√(p² + r²)/p + p·asinh(r/p)]. */
static void parabola_tape_is_its_arc(void **state)
{
    const double a = 120, h = 90, p = a * a / (2 * h);
    const tw_profile profile = bowl(TW_BOWL_PARABOLA, a, a, h);
    built it = build_surface(&profile);
    tw_face_point at;

    (void)state;
    for (double r = 1e-6; r < a; r = r < 1 ? r * 10 : r + 7) {
        const double tape = 0.5 * (r * hypot(p, r) / p + p * asinh(r / p));
        tw_surface_at(it.surface, -tape, 0, 1, &at);
        assert_close(at.position[0], -r, 1e-11 * (1 + r));
        assert_close(at.position[2], h * (1 - r * r / a / a), 1e-11 * h);
        /* principal curvatures of a paraboloid of revolution: p²/(p² + r²)^{3/2}, 1/√(p² + r²) */
        assert_close(at.gauss_curvature * pow(p * p + r * r, 2) / (p * p), 1, 1e-9);
    }
    tw_arena_free(it.arena);
}

static tw_profile over(double across, double up, double depth, double tape_across, double tape_up)
{
    tw_profile profile = bowl(TW_BOWL_OVER, across, up, depth);

    profile.bowl.over_across = tape_across;
    profile.bowl.over_up = tape_up;
    return profile;
}

static void derivatives_agree_everywhere(void **state)
{
    const tw_profile profiles[] = {
        bowl(TW_BOWL_ROUND, 150, 150, 80), bowl(TW_BOWL_ROUND, 90, 130, 70),
        bowl(TW_BOWL_FULL, 130, 60, 150),  bowl(TW_BOWL_PARABOLA, 100, 140, 90),
        bowl(TW_BOWL_CONE, 80, 120, 90),   over(100, 140, 90, 280, 348),
        over(100, 140, 90, 292, 338)};
    test_random random = test_random_begin("derivatives");

    (void)state;
    for (size_t k = 0; k < sizeof profiles / sizeof *profiles; k++) {
        built it = build_surface(&profiles[k]);
        for (int trial = 0; trial < 400; trial++) {
            const double across = test_uniform(&random, -230, 230);
            const double up = test_uniform(&random, -230, 230);
            const double excess = tw_surface_excess(it.surface, across, up);
            if (fabs(excess) > 0.02)
                check_face(it.surface, across, up, 1e-3, 1e-6, 1e-6, excess > 0);
        }
        if (!tw_surface_has_apex(it.surface))
            check_face(it.surface, 1e-3, 2e-3, 1e-4, 1e-6, 1e-6, false);
        tw_arena_free(it.arena);
    }
}

/* The crown of a smooth bowl is a limit, not a hole: what is there meets what is next to it. */
static void crown_is_smooth(void **state)
{
    const tw_profile profile = over(100, 140, 90, 292, 338);
    built it = build_surface(&profile);
    tw_face_point crown, near;

    (void)state;
    tw_surface_at(it.surface, 0, 0, 1, &crown);
    for (int way = 0; way < 24; way++) {
        const double b = way * TW_PI / 12;
        tw_surface_at(it.surface, 1e-7 * sin(b), 1e-7 * cos(b), 1, &near);
        for (int k = 0; k < 3; k++) {
            assert_close(near.position[k], crown.position[k], 2e-7);
            assert_close(near.normal[k], crown.normal[k], 1e-8);
            assert_close(near.across_step[k], crown.across_step[k], 1e-8);
            assert_close(near.up_step[k], crown.up_step[k], 1e-8);
        }
        assert_close(near.mean_curvature, crown.mean_curvature, 1e-9);
        assert_close(near.gauss_curvature, crown.gauss_curvature, 1e-11);
    }
    tw_arena_free(it.arena);
}

static void over_takes_the_taped_lengths(void **state)
{
    const tw_profile profile = over(100, 140, 90, 292, 338);
    built it = build_surface(&profile);
    tw_face_point at;

    (void)state;
    assert_close(tw_surface_excess(it.surface, 146, 0), 0, 1e-9);
    assert_close(tw_surface_excess(it.surface, 0, -169), 0, 1e-9);
    tw_surface_at(it.surface, -146, 0, 1, &at);
    assert_close(at.position[0], -100, 1e-8);
    assert_close(at.position[2], 0, 1e-8);
    tw_arena_free(it.arena);
}

static void boundary_is_close_and_anticlockwise(void **state)
{
    const tw_profile profiles[] = {bowl(TW_BOWL_FULL, 300, 100, 120),
                                   bowl(TW_BOWL_ROUND, 150, 150, 90)};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        built it = build_surface(&profiles[k]);
        tw_edge_line *edges;
        size_t count;
        double area = 0;
        assert_int_equal(tw_surface_boundary(it.surface, it.arena, &edges, &count, NULL), TW_OK);
        assert_int_equal(count, 1);
        assert_string_equal(edges[0].name, "rim");
        for (size_t i = 0; i + 1 < edges[0].count; i++) {
            const double *a = edges[0].points[i], *b = edges[0].points[i + 1];
            area += 0.5 * (a[0] * b[1] - a[1] * b[0]);
            assert_close(tw_surface_excess(it.surface, a[0], a[1]), 0, 1e-9);
            /* radial excess of the chord's middle is at least its distance */
            assert_true(fabs(tw_surface_excess(it.surface, 0.5 * (a[0] + b[0]),
                                               0.5 * (a[1] + b[1]))) < 0.008);
        }
        assert_true(area > 1e4);
        assert_memory_equal(edges[0].points[0], edges[0].points[edges[0].count - 1],
                            2 * sizeof(double));
        tw_arena_free(it.arena);
    }
}

static void impossible_bowls_say_what_is_possible(void **state)
{
    const struct {
        tw_profile profile;
        const char *message, *advice;
    } cases[] = {{bowl(TW_BOWL_ROUND, 100, 100, 120), "at most 100 mm deep", "full"},
                 {bowl(TW_BOWL_ROUND, 100, 0, 20), "above zero", "across"},
                 {over(100, 100, 60, 190, 240), "is not possible", "measure"},
                 {over(100, 100, 60, 240, 400), "over the crown up", "mm"}};
    const tw_profile clamped = over(100, 100, 100, 315.5, 314);
    tw_arena *arena = tw_arena_new();
    tw_notes notes = {0};
    tw_surface *surface = NULL;
    tw_error err;

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        assert_int_equal(tw_surface_build(&cases[k].profile, arena, &surface, NULL, &err),
                         TW_ERR_SHAPE);
        assert_non_null(strstr(err.message, cases[k].message));
        assert_non_null(strstr(err.advice, cases[k].advice));
        assert_int_equal(err.line, 7);
    }
    assert_int_equal(tw_surface_build(&clamped, arena, &surface, &notes, &err), TW_OK);
    assert_int_equal(notes.count, 1);
    assert_non_null(strstr(notes.items[0].message, "is taken as 314.16 mm"));
    tw_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flat_is_its_own_tape),
        cmocka_unit_test(round_bowl_is_a_ball),
        cmocka_unit_test(full_bowl_is_an_ellipsoid),
        cmocka_unit_test(ellipse_tape_is_its_arc),
        cmocka_unit_test(cone_is_straight),
        cmocka_unit_test(parabola_tape_is_its_arc),
        cmocka_unit_test(derivatives_agree_everywhere),
        cmocka_unit_test(crown_is_smooth),
        cmocka_unit_test(over_takes_the_taped_lengths),
        cmocka_unit_test(boundary_is_close_and_anticlockwise),
        cmocka_unit_test(impossible_bowls_say_what_is_possible),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
