/* Limits: closed forms on flat plates, what each map's U is, and rules that do not fit the plate. */
#include "support.h"

#include "taperwright/harness.h"

static const double DENSITY = 7.85e-3; /* mild steel [g/mm³] */
enum { READINGS = 12, LIMITS = 6 };

static tw_point tape_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

typedef struct ruled {
    tw_instrument instrument;
    tw_reading readings[READINGS];
    tw_strike strikes[2];
    tw_edge_thickness edge;
    tw_profile profile;
    tw_plate *plate;
    tw_limit_spec limits[LIMITS];
    tw_rules_file rules;
    tw_limit found[LIMITS];
    tw_error err;
} ruled;

static double plane(double across, double up)
{
    return 2 + 0.003 * across - 0.002 * up;
}

/* Rectangle of ±100 × ±150 mm: even sheet of 1.5 mm; forged from 2.6 mm within 30 mm of the middle
 * to 1.2 mm along the edges; 12 readings of a plane by caliper. */
static void ruled_init(ruled *r)
{
    memset(r, 0, sizeof *r);
    r->instrument = (tw_instrument){
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.01, .reach = INFINITY};
    for (int k = 0; k < READINGS; k++) {
        const double across = -75 + 50 * (k % 4) + 3 * (k / 4);
        const double up = 110 * (k / 4 - 1) + 4 * (k % 4);
        r->readings[k] = (tw_reading){.name = "reading",
                                      .at = tape_point(across, up),
                                      .thickness = plane(across, up),
                                      .repeats = 1,
                                      .place = {20 + k, 3}};
    }
    r->strikes[0] = (tw_strike){
        .name = "chest",
        .shape = {.kind = TW_SHAPE_DISC, .at = tape_point(0, 0), .across = 30, .up = 30},
        .thickness = 2.6};
    r->strikes[1] = (tw_strike){
        .name = "chest left",
        .shape = {.kind = TW_SHAPE_DISC, .at = tape_point(60, -90), .across = 0.4, .up = 0.4},
        .thickness = 2};
    r->edge = (tw_edge_thickness){.edge = "all", .thickness = 1.2};
    r->profile = (tw_profile){
        .file = "plate.yaml",
        .plate = "breast",
        .kind = "breastplate",
        .material = "mild steel",
        .density = DENSITY,
        .form = TW_FORM_FLAT,
        .outline = {.kind = TW_OUTLINE_SHAPE,
                    .shape = {.kind = TW_SHAPE_RECTANGLE,
                              .at = tape_point(0, 0),
                              .across = 100,
                              .up = 150}},
        .has_sheet = true,
        .sheet = {.thickness = 1.5},
        .has_forged = true,
        .forged = {.strike_count = 1,
                   .edge_count = 1,
                   .strikes = r->strikes,
                   .edges = &r->edge,
                   .band = 40},
        .has_readings = true,
        .readings = {.instrument_count = 1,
                     .reading_count = READINGS,
                     .instruments = &r->instrument,
                     .readings = r->readings,
                     .trend = TW_TREND_PLANE,
                     .surface = 0.1},
    };
    r->rules = (tw_rules_file){.file = "rules.yaml", .rules = "invented", .limits = r->limits};
}

static void build(ruled *r, size_t cells)
{
    const tw_plate_options options = {.cells = cells, .threads = 1};

    if (tw_plate_build(&r->profile, &options, &r->plate, &r->err) != TW_OK)
        fail_msg("%s", r->err.message);
}

static void rule(ruled *r, double least, const char *zone, bool before)
{
    r->limits[r->rules.count++] =
        (tw_limit_spec){.name = "limit", .least = least, .zone = zone, .before_forming = before};
}

static void check(ruled *r, tw_map_kind kind)
{
    if (tw_limits_check(r->plate, tw_plate_map_of(r->plate, kind), &r->rules, 1, r->found,
                        &r->err) != TW_OK)
        fail_msg("%s", r->err.message);
}

static void words_are_fixed(void **state)
{
    (void)state;
    assert_string_equal(tw_limit_word(TW_LIMIT_MET), "met");
    assert_string_equal(tw_limit_word(TW_LIMIT_IN_DOUBT), "in doubt");
    assert_string_equal(tw_limit_word(TW_LIMIT_UNDER), "under");
    assert_string_equal(tw_limit_word(TW_LIMIT_NOT_ABOUT), "not about this plate");
    assert_string_equal(tw_limit_word(TW_LIMIT_UNKNOWN), "cannot be told");
}

/* EN 10131:2006 normal, up to 1200 mm wide: 1.5 mm ± 0.08 mm. */
static void sheet_has_its_tolerance(void **state)
{
    ruled r;

    (void)state;
    ruled_init(&r);
    build(&r, 32);
    rule(&r, 1.42, NULL, false);
    rule(&r, 1.43, NULL, false);
    rule(&r, 1.51, NULL, false);
    rule(&r, 1.5, "chest", false);
    rule(&r, 1.5, NULL, true);
    rule(&r, 1.59, NULL, false);
    check(&r, TW_MAP_SHEET);
    assert_int_equal(r.found[0].verdict, TW_LIMIT_MET);
    assert_int_equal(r.found[1].verdict, TW_LIMIT_IN_DOUBT);
    assert_int_equal(r.found[2].verdict, TW_LIMIT_IN_DOUBT); /* 1.51 is within the ± */
    assert_int_equal(r.found[3].verdict, TW_LIMIT_IN_DOUBT);
    assert_int_equal(r.found[4].verdict, TW_LIMIT_IN_DOUBT);
    assert_int_equal(r.found[5].verdict, TW_LIMIT_UNDER);
    for (size_t k = 0; k < 6; k++) {
        assert_true(isnan(r.found[k].dished_mm)); /* flat */
        assert_close(r.found[k].thinnest_mm, 1.5, 1e-12);
        assert_close(r.found[k].expanded_mm, 0.08, 1e-12);
        assert_non_null(strstr(r.found[k].why, "EN 10131 normal"));
        assert_ptr_equal(r.found[k].spec, &r.limits[k]);
    }
    assert_true(isnan(r.found[4].at[0]) && isnan(r.found[4].at[1])); /* of a sheet as bought */
    assert_true(hypot(r.found[3].at[0], r.found[3].at[1]) <= 30 + 1e-9);
    r.profile.tolerance = (tw_tolerance_spec){.given = true, .bound = 0.03};
    check(&r, TW_MAP_SHEET);
    assert_close(r.found[0].expanded_mm, 0.03, 0);
    assert_non_null(strstr(r.found[0].why, "as given"));
    r.profile.tolerance = (tw_tolerance_spec){
        .given = true, .standard = TW_TOLERANCE_HOT_ROLLED, .grade = TW_CLASS_B};
    check(&r, TW_MAP_SHEET);
    assert_close(r.found[4].expanded_mm, 0.17 * 1.15, 1e-12); /* EN 10051 B */
    r.profile.tolerance.grade = TW_CLASS_SPECIAL;
    r.profile.tolerance.place = (tw_place){5, 2};
    assert_int_equal(tw_limits_check(r.plate, tw_plate_map_of(r.plate, TW_MAP_SHEET), &r.rules, 1,
                                     r.found, &r.err),
                     TW_ERR_DOMAIN);
    assert_int_equal(r.err.line, 5);
    tw_plate_free(r.plate);
}

/* Everywhere: the edges' 1.2 mm; in the zone exactly its 2.6 mm, on any grid, though nodes just
 * outside are thinner. */
static void forged_map_is_as_written(void **state)
{
    static const size_t grids[] = {24, 61, 128};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        ruled r;
        ruled_init(&r);
        build(&r, grids[k]);
        rule(&r, 1.2, NULL, false);
        rule(&r, 1.21, NULL, false);
        rule(&r, 2.6, "chest", false);
        rule(&r, 2.61, "chest", false);
        check(&r, TW_MAP_FORGED);
        assert_int_equal(r.found[0].verdict, TW_LIMIT_MET);
        assert_int_equal(r.found[1].verdict, TW_LIMIT_UNDER);
        assert_int_equal(r.found[2].verdict, TW_LIMIT_MET);
        assert_int_equal(r.found[3].verdict, TW_LIMIT_UNDER);
        assert_close(r.found[0].thinnest_mm, 1.2, 0);
        assert_close(r.found[2].thinnest_mm, 2.6, 1e-12);
        assert_close(r.found[0].expanded_mm, 0, 0);
        assert_string_equal(r.found[0].why, "as written: gauge the finished plate");
        assert_close(fmax(fabs(r.found[0].at[0]) / 100, fabs(r.found[0].at[1]) / 150), 1, 1e-9);
        tw_plate_free(r.plate);
    }
}

/* A zone's name stands for both twins of a symmetric plate, and only there; a zone smaller than a cell
 * still has its thickness. */
static void twins_and_small_zones_count(void **state)
{
    ruled r;

    (void)state;
    ruled_init(&r);
    r.profile.forged.strike_count = 2;
    build(&r, 64);
    rule(&r, 1.5, "chest", false);
    rule(&r, 1.5, "chest left", false);
    check(&r, TW_MAP_FORGED);
    assert_close(r.found[0].thinnest_mm, 2.6, 1e-12);
    assert_close(r.found[1].thinnest_mm, 2, 1e-12);
    assert_true(hypot(r.found[1].at[0] - 60, r.found[1].at[1] + 90) < 5);
    r.profile.symmetric = true;
    check(&r, TW_MAP_FORGED);
    assert_close(r.found[0].thinnest_mm, 2, 1e-12);
    assert_close(r.found[1].thinnest_mm, 2, 1e-12);
    tw_plate_free(r.plate);
}

/* Readings of a plane, thinnest at [−100, 150]: 1.4 mm. The place told is that of the least t − U over
 * nodes and outline, found here by hand; both are looked for apart from each other. */
static void readings_have_their_spread(void **state)
{
    ruled r;
    double least = INFINITY, thinnest = INFINITY;

    (void)state;
    ruled_init(&r);
    build(&r, 48);
    for (size_t n = 0; n < r.plate->grid->nu * r.plate->grid->nv; n++)
        if (r.plate->grid->level[n] <= 0) {
            const double t = tw_plate_map_of(r.plate, TW_MAP_READINGS)->map.node[n];
            least = fmin(least, t - 1.96 * r.plate->survey->sd[n]);
            thinnest = fmin(thinnest, t);
        }
    assert_true(least < thinnest - 0.02);
    rule(&r, least - 0.001, NULL, false);
    rule(&r, least + 0.001, NULL, false);
    rule(&r, thinnest + 0.01, NULL, false);
    rule(&r, 1.5, "chest", false);
    rule(&r, 2.3, NULL, false);
    check(&r, TW_MAP_READINGS);
    assert_int_equal(r.found[0].verdict, TW_LIMIT_MET);
    assert_int_equal(r.found[1].verdict, TW_LIMIT_IN_DOUBT);
    assert_int_equal(r.found[2].verdict, TW_LIMIT_IN_DOUBT); /* under by less than its U */
    assert_int_equal(r.found[4].verdict, TW_LIMIT_UNDER);
    assert_true(r.found[4].thinnest_mm + r.found[4].expanded_mm < 2.3);
    assert_close(r.found[0].thinnest_mm - r.found[0].expanded_mm, least, 1e-9);
    assert_close(r.found[2].thinnest_mm, thinnest, 1e-9);
    assert_close(r.found[2].thinnest_mm, plane(-100, 150), 0.1);
    assert_close(r.found[2].at[0], -100, 1e-6);
    assert_close(r.found[2].at[1], 150, 1e-6);
    assert_string_equal(r.found[0].why, "readings");
    /* in the disc of 30 mm the plane is least at its border, 2 − 30·√(0.003² + 0.002²) */
    assert_close(r.found[3].thinnest_mm, 2 - 30 * hypot(0.003, 0.002), 0.05);
    assert_close(hypot(r.found[3].at[0], r.found[3].at[1]), 30, 1);
    assert_true(r.found[3].expanded_mm < r.found[2].expanded_mm); /* the middle is known better */
    tw_plate_free(r.plate);
}

static void rules_that_do_not_fit_are_told(void **state)
{
    static const char *helms[] = {"skull"}, *breasts[] = {"skull", "breastplate"};
    ruled r;

    (void)state;
    ruled_init(&r);
    r.profile.has_sheet = false;
    build(&r, 32);
    rule(&r, 1, "heart", false); /* no such zone */
    rule(&r, 1, "chset", false);
    rule(&r, 1, NULL, true); /* no sheet */
    rule(&r, 1, NULL, false);
    rule(&r, 1, NULL, false);
    r.limits[3].kinds = helms;
    r.limits[3].kind_count = 1;
    r.limits[4].kinds = breasts;
    r.limits[4].kind_count = 2;
    check(&r, TW_MAP_FORGED);
    assert_int_equal(r.found[0].verdict, TW_LIMIT_UNKNOWN);
    assert_true(r.found[0].no_zone && r.found[1].no_zone && !r.found[2].no_zone);
    assert_null(r.found[0].nearest);
    assert_int_equal(r.found[1].verdict, TW_LIMIT_UNKNOWN);
    assert_string_equal(r.found[1].nearest, "chest");
    assert_int_equal(r.found[2].verdict, TW_LIMIT_UNKNOWN);
    assert_int_equal(r.found[3].verdict, TW_LIMIT_NOT_ABOUT);
    assert_int_equal(r.found[4].verdict, TW_LIMIT_MET);
    for (size_t k = 0; k < 5; k++) {
        assert_non_null(r.found[k].why);
        assert_true(k == 4 || isnan(r.found[k].thinnest_mm));
    }
    assert_non_null(strstr(r.found[2].why, "no sheet"));
    r.profile.kind = NULL;
    check(&r, TW_MAP_FORGED);
    assert_int_equal(r.found[3].verdict, TW_LIMIT_UNKNOWN);
    assert_int_equal(r.found[4].verdict, TW_LIMIT_UNKNOWN);
    assert_non_null(strstr(r.found[4].why, "no kind"));
    check(&r, TW_MAP_SHEET); /* no such map: NULL */
    assert_int_equal(r.found[0].verdict, TW_LIMIT_UNKNOWN);
    tw_plate_free(r.plate);
}

/* Every standard by its words; 1.5 mm: EN 10131:2006 special 0.05 mm up to 1200 mm wide, EN 10051:2010 category A
 * 0.17 mm. */
static void each_standard_is_named(void **state)
{
    static const struct {
        tw_tolerance_spec spec;
        double bound;
        const char *why;
    } cases[] = {
        {{.given = true, .standard = TW_TOLERANCE_COLD_ROLLED, .grade = TW_CLASS_SPECIAL},
         0.05,
         "EN 10131 special"},
        {{.given = true, .standard = TW_TOLERANCE_COLD_ROLLED}, 0.08, "EN 10131 normal"},
        {{.given = true, .standard = TW_TOLERANCE_HOT_ROLLED}, 0.17, "EN 10051 category A"},
        {{.given = false}, 0.08, "not said how bought"},
    };
    ruled r;

    (void)state;
    ruled_init(&r);
    build(&r, 24);
    rule(&r, 1, NULL, false);
    rule(&r, 1, NULL, true);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        r.profile.tolerance = cases[k].spec;
        check(&r, TW_MAP_SHEET);
        for (int n = 0; n < 2; n++) {
            assert_close(r.found[n].expanded_mm, cases[k].bound, 1e-12);
            assert_non_null(strstr(r.found[n].why, cases[k].why));
        }
    }
    tw_plate_free(r.plate);
}

/* A zone that reaches over the edge binds only where there is metal; its least is at its corner on the plane. */
static void a_zone_over_the_edge_binds_in_metal(void **state)
{
    ruled r;

    (void)state;
    ruled_init(&r);
    r.strikes[0].shape.at = tape_point(-100, 0);
    build(&r, 40);
    rule(&r, 1, "chest", false);
    check(&r, TW_MAP_READINGS);
    check(&r, TW_MAP_READINGS); /* its spread is known by now */
    /* least of 2 + 0.003·across − 0.002·up in the half disc: at [−100, 30] */
    assert_close(r.found[0].thinnest_mm, plane(-100, 30), 0.05);
    assert_true(r.found[0].at[0] >= -100 - 1e-6);
    check(&r, TW_MAP_SHEET);
    assert_close(r.found[0].thinnest_mm, 1.5, 1e-12);
    check(&r, TW_MAP_FORGED);
    assert_close(r.found[0].thinnest_mm, 2.6, 1e-12);
    tw_plate_free(r.plate);
}

/* A zone smaller than a cell has what is at the node nearest to it, of readings and of sheet too. */
static void a_small_zone_of_every_map(void **state)
{
    ruled r;

    (void)state;
    ruled_init(&r);
    r.strikes[0] = r.strikes[1];
    r.strikes[0].name = "chest";
    r.strikes[0].shape.at = tape_point(61, -91);
    build(&r, 16);
    rule(&r, 1, "chest", false);
    check(&r, TW_MAP_READINGS);
    assert_close(r.found[0].thinnest_mm, plane(61, -91), 0.1);
    assert_true(r.found[0].expanded_mm > 0);
    check(&r, TW_MAP_SHEET);
    assert_close(r.found[0].thinnest_mm, 1.5, 1e-12);
    tw_plate_free(r.plate);
}

/* Names of twins are those of the sides, and of nothing else. */
static void only_left_and_right_are_twins(void **state)
{
    static const struct {
        const char *name;
        double thinnest; /* 2 mm are those of the other zone */
    } cases[] = {{"chest left", 2}, {"chest right", 2}, {"chest lower", 2.6}, {"chestnut", 2.6}};
    ruled r;

    (void)state;
    ruled_init(&r);
    r.profile.forged.strike_count = 2;
    r.profile.symmetric = true;
    build(&r, 48);
    rule(&r, 1, "chest", false);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        r.strikes[1].name = cases[k].name;
        check(&r, TW_MAP_FORGED);
        assert_close(r.found[0].thinnest_mm, cases[k].thinnest, 1e-12);
    }
    tw_plate_free(r.plate);
}

/* A zone that lies nowhere on the plate is told at its place in the profile. */
static void a_zone_off_the_plate_is_told(void **state)
{
    ruled r;

    (void)state;
    ruled_init(&r);
    build(&r, 24);
    rule(&r, 1, "chest", false);
    r.strikes[0].shape.at = tape_point(1e4, 1e4);
    r.strikes[0].place = (tw_place){9, 4};
    assert_int_not_equal(tw_limits_check(r.plate, &r.plate->maps[0], &r.rules, 1, r.found, &r.err),
                         TW_OK);
    assert_non_null(strstr(r.err.message, "in strike zone chest"));
    assert_int_equal(r.err.line, 9);
    assert_int_not_equal(tw_limits_check(r.plate, &r.plate->maps[0], &r.rules, 1, r.found, NULL),
                         TW_OK);
    tw_plate_free(r.plate);
}

static void odd_numbers_are_refused(void **state)
{
    static const double odd[] = {NAN, 0, -1, INFINITY};
    ruled r;

    (void)state;
    ruled_init(&r);
    build(&r, 32);
    for (size_t k = 0; k < 4; k++) {
        r.rules.count = 0;
        rule(&r, odd[k], NULL, false);
        assert_int_equal(tw_limits_check(r.plate, &r.plate->maps[0], &r.rules, 1, r.found, &r.err),
                         TW_ERR_DOMAIN);
        assert_non_null(strstr(r.err.message, "in limit limit"));
    }
    r.rules.count = 0;
    assert_int_equal(tw_limits_check(r.plate, &r.plate->maps[0], &r.rules, 1, NULL, &r.err), TW_OK);
    tw_plate_free(r.plate);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_are_fixed),
        cmocka_unit_test(sheet_has_its_tolerance),
        cmocka_unit_test(forged_map_is_as_written),
        cmocka_unit_test(twins_and_small_zones_count),
        cmocka_unit_test(readings_have_their_spread),
        cmocka_unit_test(rules_that_do_not_fit_are_told),
        cmocka_unit_test(each_standard_is_named),
        cmocka_unit_test(a_zone_over_the_edge_binds_in_metal),
        cmocka_unit_test(a_small_zone_of_every_map),
        cmocka_unit_test(only_left_and_right_are_twins),
        cmocka_unit_test(a_zone_off_the_plate_is_told),
        cmocka_unit_test(odd_numbers_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
