/* test_loft.c: lofts against cylinder, cone and cylinder panel in closed form; derivatives; keel;
 * heights; open centres; errors. */
#include "surface_checks.h"

static tw_profile loft(tw_station *stations, size_t count)
{
    for (size_t i = 0; i < count; i++)
        stations[i].place = (tw_place){10 + (int)i, 3};
    return (tw_profile){
        .form = TW_FORM_LOFT,
        .loft = {
            .station_count = count, .stations = stations, .place = {9, 1}, .keel_place = {20, 1}}};
}

static double end_of_tape(const tw_surface *surface, tw_arena *arena)
{
    tw_edge_line *edges;
    size_t count;

    assert_int_equal(tw_surface_boundary(surface, arena, &edges, &count, NULL), TW_OK);
    assert_int_equal(count, 4);
    return edges[2].points[0][1];
}

/* Cylinder panel: half-angle π/3, radius 160, length 400: area 2αRL = 0.134041287 m². Derived. */
static void alike_stations_make_a_cylinder(void **state)
{
    const double R = 160, alpha = TW_PI / 3, half = R * alpha;
    const double width = 2 * R * sin(alpha), rise = R * (1 - cos(alpha));
    tw_station stations[] = {{.ruler = 0, .width = width, .centre = rise, .sides = 0},
                             {.ruler = 150, .width = width, .centre = rise, .sides = 0},
                             {.ruler = 400, .width = width, .centre = rise, .sides = 0}};
    const tw_profile profile = loft(stations, 3);
    built it = build_surface(&profile);
    test_random random = test_random_begin("cylinder");
    tw_sum area = {0, 0};
    double tape;

    (void)state;
    for (int trial = 0; trial < 500; trial++) {
        const double across = test_uniform(&random, -half, half);
        const double up = test_uniform(&random, 0, 400), angle = across / R;
        tw_face_point at;
        tw_surface_at(it.surface, across, up, 1, &at);
        assert_close(at.position[0], R * sin(angle), 1e-8);
        assert_close(at.position[1], up, 1e-10);
        assert_close(at.position[2], rise - R + R * cos(angle), 1e-8);
        assert_close(at.normal[0], sin(angle), 1e-7);
        assert_close(at.mean_curvature * 2 * R, 1, 5e-5);
        assert_close(at.gauss_curvature, 0, 1e-12);
        /* what the tape says is what the face says: the metric is the identity */
        assert_close(tw_dot(at.across_step, at.across_step), 1, 1e-9);
        assert_close(tw_dot(at.up_step, at.up_step), 1, 1e-9);
        assert_close(tw_dot(at.across_step, at.up_step), 0, 1e-9);
    }
    for (int j = 0; j < 40; j++)
        for (int i = 0; i < 40; i++) {
            tw_face_point at;
            double cross[3];
            tw_surface_at(it.surface, half * ((i + 0.5) / 20 - 1), 400 * (j + 0.5) / 40, 1, &at);
            tw_cross(at.across_step, at.up_step, cross);
            tw_sum_add(&area, sqrt(tw_dot(cross, cross)) * (2 * half / 40) * 10);
        }
    assert_close(tw_sum_value(&area), 134041.287, 1e-3);
    assert_true(tw_surface_station_tape(it.surface, 1, &tape));
    assert_close(tape, 2 * half, 1e-9);
    assert_false(tw_surface_station_tape(it.surface, 3, &tape));
    tw_arena_free(it.arena);
}

/* Half a cone frustum on the bench: rulings join equal fractions of two half circles; principal
 * curvatures 0 and cosγ/r, tanγ = change of radius per length. */
static void two_stations_make_a_cone(void **state)
{
    const double r0 = 120, r1 = 60, length = 150, cosine = cos(atan((r1 - r0) / length));
    tw_station stations[] = {{.ruler = 20, .width = 2 * r0, .centre = r0, .sides = 0},
                             {.ruler = 20 + length, .width = 2 * r1, .centre = r1, .sides = 0}};
    const tw_profile profile = loft(stations, 2);
    built it = build_surface(&profile);
    const double slant = hypot(length, r0 - r1);

    (void)state;
    assert_close(end_of_tape(it.surface, it.arena), slant, 1e-9);
    for (double share = 0.05; share < 1; share += 0.17)
        for (double angle = -1.5; angle < 1.6; angle += 0.3) {
            const double r = r0 + share * (r1 - r0);
            tw_face_point at;
            tw_surface_at(it.surface, r * angle, share * slant, 1, &at);
            assert_close(at.position[0], r * sin(angle), 1e-7);
            assert_close(at.position[1], 20 + share * length, 1e-8);
            assert_close(at.position[2], r * cos(angle), 1e-7);
            assert_close(at.mean_curvature * 2 * r / cosine, 1, 5e-5);
            assert_close(at.gauss_curvature * r * r, 0, 1e-7);
            assert_close(tw_dot(at.across_step, at.across_step), 1, 1e-12);
        }
    tw_arena_free(it.arena);
}

static tw_station breast[] = {
    {.ruler = 0, .width = 300, .centre = 70, .sides = 0},
    {.ruler = 180, .width = 360, .centre = 115, .sides = 0, .tape = 449},
    {.ruler = 260, .width = 330, .centre = 118, .sides = 6},
    {.ruler = 400, .width = 220, .centre = 80, .sides = 30},
};

/* Also across stations' lines the face is smooth to first order, so steps agree there too. */
static void derivatives_agree_everywhere(void **state)
{
    double smooth[][2] = {{0, 118}, {60, 112}, {120, 84}, {160, 40}, {178, 6}};
    double tilted[][2] = {{-170, 0}, {-110, 60}, {-40, 96}, {0, 101}, {60, 92}, {150, 20}};
    tw_station mixed[] = {
        breast[0],
        {.ruler = 200, .centre = NAN, .sides = NAN, .height_count = 5, .heights = smooth},
        {.ruler = 390, .centre = NAN, .sides = NAN, .height_count = 6, .heights = tilted}};
    tw_profile profiles[] = {loft(breast, 4), loft(breast, 4), loft(mixed, 3)};
    test_random random = test_random_begin("loft derivatives");

    (void)state;
    profiles[1].loft.keel_stands = 6;
    profiles[1].loft.keel_width = 40;
    for (size_t k = 0; k < 3; k++) {
        built it = build_surface(&profiles[k]);
        const double end = end_of_tape(it.surface, it.arena);
        assert_true(tw_surface_has_crease(it.surface) == (k == 1));
        for (int trial = 0; trial < 400; trial++) {
            const double across = test_uniform(&random, -260, 260);
            const double up = test_uniform(&random, -30, end + 30);
            const double excess = tw_surface_excess(it.surface, across, up);
            if (fabs(across) < 0.01 || fabs(excess) < 0.02)
                continue;
            check_face(it.surface, across, up, 1e-3, 2e-6, 5e-4, excess > 0);
        }
        tw_arena_free(it.arena);
    }
}

/* The centre falls from the third station to the last while the sides rise: nowhere across may that
 * leave a crease. The sharpest bend measured is that of the last section, R = (110² + 50²)/100. */
static void no_false_crease_between_stations(void **state)
{
    const tw_profile profile = loft(breast, 4);
    built it = build_surface(&profile);
    const double end = end_of_tape(it.surface, it.arena);

    (void)state;
    for (double up = 1; up < end; up += 7)
        for (double across = 0.25; tw_surface_excess(it.surface, across, up) < 0; across += 1) {
            tw_face_point at;
            double H, bend;
            tw_surface_at(it.surface, across, up, 1, &at);
            H = at.mean_curvature;
            bend = fabs(H) + sqrt(fmax(H * H - at.gauss_curvature, 0));
            assert_true(1 / bend > 0.8 * (110.0 * 110 + 50 * 50) / 100);
        }
    tw_arena_free(it.arena);
}

/* A straight stretch beside a flaring one stays straight, as a gauntlet cuff needs. */
static void straight_stretch_stays_straight(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 120, .centre = 50, .sides = 0},
                             {.ruler = 80, .width = 120, .centre = 50, .sides = 0},
                             {.ruler = 180, .width = 220, .centre = 110, .sides = 0}};
    const tw_profile profile = loft(stations, 3);
    built it = build_surface(&profile);
    tw_face_point at;

    (void)state;
    for (double up = 5; up < 80; up += 10) {
        tw_surface_at(it.surface, 0, up, 1, &at);
        assert_close(at.position[1], up, 1e-9);
        assert_close(at.position[2], 50, 1e-9);
        tw_surface_at(it.surface, 60, up, 1, &at);
        assert_close(at.up_step[2], 0, 1e-9);
    }
    tw_arena_free(it.arena);
}

static void rows_and_points_are_one(void **state)
{
    const tw_profile profile = loft(breast, 4);
    built it = build_surface(&profile);
    void *scratch = tw_arena_array(it.arena, 1, tw_surface_scratch(it.surface));
    double across[41];
    tw_face_point row[41], at;

    (void)state;
    for (int i = 0; i < 41; i++)
        across[i] = -250 + 12.5 * i;
    for (double up = -10; up < 450; up += 41) {
        tw_surface_row(it.surface, up, 41, across, scratch, row);
        for (int i = 0; i < 41; i++) {
            tw_surface_at(it.surface, across[i], up, 1, &at);
            assert_memory_equal(&at, &row[i], sizeof at);
        }
    }
    tw_arena_free(it.arena);
}

static void mirrored_sides_mirror(void **state)
{
    const tw_profile profile = loft(breast, 4);
    built it = build_surface(&profile);
    tw_face_point right, left, centre;

    (void)state;
    tw_surface_at(it.surface, 83, 211, 1, &right);
    tw_surface_at(it.surface, -83, 211, 1, &left);
    assert_close(left.position[0], -right.position[0], 0);
    assert_close(left.position[2], right.position[2], 0);
    assert_close(left.across_step[2], -right.across_step[2], 0);
    assert_close(left.normal[0], -right.normal[0], 0);
    tw_surface_at(it.surface, 0, 211, 1, &centre);
    assert_close(centre.normal[0], 0, 1e-6); /* level at the centre, where there is no keel */
    tw_arena_free(it.arena);
}

/* Slope of the keel's flank at the centre line: ∓2·stands/(width/2); the two normals make twice the
 * angle. Derived. */
static void keel_creases_the_centre_line_only(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 60, .sides = 0},
                             {.ruler = 300, .width = 300, .centre = 60, .sides = 0}};
    tw_profile profile = loft(stations, 2);
    tw_face_point right, left, plain;
    double tape;
    built it;

    (void)state;
    profile.loft.keel_stands = 6;
    profile.loft.keel_width = 40;
    it = build_surface(&profile);
    tw_surface_at(it.surface, 0, 100, 1, &right);
    tw_surface_at(it.surface, 0, 100, -1, &left);
    assert_close(right.position[2], 66, 1e-9);
    assert_close(left.position[2], 66, 1e-9);
    assert_close(atan2(right.normal[0], right.normal[2]), atan(0.6), 1e-5);
    assert_close(acos(tw_dot(right.normal, left.normal)), 2 * atan(0.6), 1e-5);
    tw_surface_at(it.surface, 100, 100, -1, &right);
    tw_surface_at(it.surface, 100, 100, 1, &left);
    assert_memory_equal(&right, &left, sizeof right); /* side counts on the centre line only */
    assert_true(tw_surface_station_tape(it.surface, 0, &tape));
    profile.loft.keel_stands = 0;
    profile.loft.keel_width = 0;
    tw_arena_free(it.arena);
    it = build_surface(&profile);
    /* with R = (a² + h²)/(2h) the plain section is an arc of 4R·atan(h/a) */
    assert_true(tape > 4 * (150.0 * 150 + 3600) / 120 * atan(0.4) + 0.5);
    tw_surface_at(it.surface, 0, 100, 1, &plain);
    assert_close(plain.position[2], 60, 1e-9);
    tw_arena_free(it.arena);
}

static void tape_is_taken_or_the_range_told(void **state)
{
    tw_station stations[] = {breast[0], breast[1]};
    tw_profile profile = loft(stations, 2);
    built it = build_surface(&profile);
    tw_surface *surface = NULL;
    tw_notes notes = {0};
    tw_error err;
    double tape;

    (void)state;
    assert_true(tw_surface_station_tape(it.surface, 1, &tape));
    assert_close(tape, 449, 1e-8);
    assert_close(tw_surface_excess(it.surface, 224.5, end_of_tape(it.surface, it.arena)), 0, 1e-8);
    stations[1].tape = 600;
    assert_int_equal(tw_surface_build(&profile, it.arena, &surface, &notes, &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "a tape of 600 mm over the section at ruler 180 mm"));
    assert_non_null(strstr(err.advice, "heights"));
    assert_int_equal(err.line, 11);
    stations[1].tape = 471.5;
    assert_int_equal(tw_surface_build(&profile, it.arena, &surface, &notes, &err), TW_OK);
    assert_int_equal(notes.count, 1);
    tw_arena_free(it.arena);
}

/* Flat and hollow sections are sections; a loft of flat ones is flat. */
static void flat_and_hollow_sections(void **state)
{
    tw_station flat[] = {{.ruler = 0, .width = 200, .centre = 5, .sides = 5},
                         {.ruler = 100, .width = 240, .centre = 5, .sides = 5}};
    tw_station hollow[] = {{.ruler = 0, .width = 200, .centre = -30, .sides = 0},
                           {.ruler = 100, .width = 200, .centre = -30, .sides = 0}};
    const double R = (100.0 * 100 + 900) / 60;
    tw_profile profile = loft(flat, 2);
    built it = build_surface(&profile);
    tw_face_point at;

    (void)state;
    tw_surface_at(it.surface, 60, 40, 1, &at);
    assert_close(at.position[0], 60, 1e-9);
    assert_close(at.position[2], 5, 1e-12);
    assert_close(at.normal[2], 1, 1e-14);
    assert_close(at.mean_curvature, 0, 1e-12);
    tw_arena_free(it.arena);
    profile = loft(hollow, 2);
    it = build_surface(&profile);
    tw_surface_at(it.surface, 40, 40, 1, &at);
    assert_close(at.position[0], R * sin(40 / R), 1e-8);
    assert_close(at.position[2], -30 + R * (1 - cos(40 / R)), 1e-8);
    assert_close(at.mean_curvature * 2 * R, -1, 5e-5);
    tw_arena_free(it.arena);
}

static void heights_are_on_the_face(void **state)
{
    double pairs[][2] = {{0, 118}, {90, 104}, {150, 60}, {178, 6}};
    tw_station stations[] = {
        breast[0],
        {.ruler = 260, .centre = NAN, .sides = NAN, .height_count = 4, .heights = pairs}};
    const tw_profile profile = loft(stations, 2);
    built it = build_surface(&profile);
    const double end = end_of_tape(it.surface, it.arena);
    size_t met = 0;

    (void)state;
    for (double across = 0; met < 4 && across < 300; across += 0.01) {
        tw_face_point at;
        tw_surface_at(it.surface, -across, end, 1, &at);
        if (fabs(at.position[0] + pairs[met][0]) < 0.0051) {
            /* within 0.005 mm across, so within its slope of that in height */
            assert_close(at.position[2], pairs[met][1], 0.03);
            met++;
        }
    }
    assert_int_equal(met, 4);
    tw_arena_free(it.arena);
}

static void open_centre_is_bridged_and_known(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 60, .sides = 0},
                             {.ruler = 100, .width = 300, .centre = 70, .sides = 0},
                             {.ruler = 200, .width = 300, .centre = NAN, .sides = 0},
                             {.ruler = 300, .width = 300, .centre = NAN, .sides = 0}};
    const tw_profile profile = loft(stations, 4);
    tw_face_point at;
    double end;
    built it;

    (void)state;
    stations[2].centre_open = stations[3].centre_open = true;
    it = build_surface(&profile);
    end = end_of_tape(it.surface, it.arena);
    tw_surface_at(it.surface, 0, end, 1, &at);
    assert_close(at.position[2], 90, 1e-9); /* 10 up per 100, straight on */
    assert_true(tw_surface_open_at(it.surface, end));
    assert_true(tw_surface_open_at(it.surface, 0.8 * end));
    assert_false(tw_surface_open_at(it.surface, 0.5 * end));
    assert_false(tw_surface_open_at(it.surface, 0));
    tw_arena_free(it.arena);
}

static void boundary_goes_round_anticlockwise(void **state)
{
    const tw_profile profile = loft(breast, 4);
    built it = build_surface(&profile);
    static const char *const names[] = {"lower", "right", "upper", "left"};
    tw_edge_line *edges;
    size_t count;
    double area = 0;

    (void)state;
    assert_int_equal(tw_surface_boundary(it.surface, it.arena, &edges, &count, NULL), TW_OK);
    assert_int_equal(count, 4);
    for (size_t e = 0; e < 4; e++) {
        const tw_edge_line *next = &edges[(e + 1) % 4];
        assert_string_equal(edges[e].name, names[e]);
        assert_memory_equal(edges[e].points[edges[e].count - 1], next->points[0],
                            2 * sizeof(double));
        for (size_t i = 0; i + 1 < edges[e].count; i++) {
            const double *a = edges[e].points[i], *b = edges[e].points[i + 1];
            area += 0.5 * (a[0] * b[1] - a[1] * b[0]);
            assert_close(tw_surface_excess(it.surface, 0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])), 0,
                         0.005);
        }
    }
    assert_true(area > 1e5);
    tw_arena_free(it.arena);
}

static void impossible_lofts_say_why(void **state)
{
    double backward[][2] = {{0, 100}, {50, 90}, {40, 60}};
    tw_station swapped[] = {breast[1], breast[0]}, open[] = {breast[0], breast[1]};
    tw_station folded[] = {breast[0], {.ruler = 50, .height_count = 3, .heights = backward}};
    tw_station narrow[] = {breast[0], {.ruler = 99, .width = 30, .centre = 10}};
    tw_profile cases[] = {loft(breast, 1), loft(swapped, 2), loft(open, 2), loft(folded, 2),
                          loft(narrow, 2)};
    static const char *const says[] = {"at least two stations", "follows the one at",
                                       "how high its centre", "do not go outward",
                                       "does not fit the section at ruler 99 mm"};
    tw_arena *arena = tw_arena_new();
    tw_surface *surface = NULL;
    tw_error err;

    (void)state;
    open[0].centre_open = open[1].centre_open = true;
    cases[4].loft.keel_stands = 5;
    cases[4].loft.keel_width = 40;
    for (size_t k = 0; k < sizeof says / sizeof *says; k++) {
        assert_int_equal(tw_surface_build(&cases[k], arena, &surface, NULL, &err), TW_ERR_SHAPE);
        assert_non_null(strstr(err.message, says[k]));
        assert_true(err.advice[0] && err.line > 0);
    }
    tw_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(alike_stations_make_a_cylinder),
        cmocka_unit_test(two_stations_make_a_cone),
        cmocka_unit_test(derivatives_agree_everywhere),
        cmocka_unit_test(no_false_crease_between_stations),
        cmocka_unit_test(straight_stretch_stays_straight),
        cmocka_unit_test(rows_and_points_are_one),
        cmocka_unit_test(mirrored_sides_mirror),
        cmocka_unit_test(keel_creases_the_centre_line_only),
        cmocka_unit_test(tape_is_taken_or_the_range_told),
        cmocka_unit_test(flat_and_hollow_sections),
        cmocka_unit_test(heights_are_on_the_face),
        cmocka_unit_test(open_centre_is_bridged_and_known),
        cmocka_unit_test(boundary_goes_round_anticlockwise),
        cmocka_unit_test(impossible_lofts_say_why),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
