/* From profile to weighed maps: closed forms, the numerical error, zones, and what is refused. */
#include "support.h"

#include "taperwright/weigh.h"
#include "weigh/plate_internal.h"

static const double DENSITY = 7.85e-3; /* mild steel [g/mm³] */

/* ---- numerical error ------------------------------------------------------------------------- */

/* m(h) = 100 + c·hᵖ at h = 4, 2, 1: Richardson gives back exactly c. Source: his extrapolation. */
static void error_is_exact_for_a_pure_order(void **state)
{
    static const double orders[] = {1.5001, 2, 3, 3.4999};

    (void)state;
    for (size_t k = 0; k < sizeof orders / sizeof *orders; k++) {
        const double p = orders[k];
        const double above[] = {100 + 0.3 * pow(4, p), 100 + 0.3 * pow(2, p), 100.3};
        const double below[] = {100 - 0.3 * pow(4, p), 100 - 0.3 * pow(2, p), 99.7};
        assert_close(tw_numerical_error(above), 0.3, 1e-11);
        assert_close(tw_numerical_error(below), 0.3, 1e-11);
    }
}

static void error_is_cautious_without_a_clear_order(void **state)
{
    const double first[] = {104, 102, 101}, swinging[] = {101, 103, 102}, even[] = {5, 5, 5};
    const double two[] = {NAN, 102, 101}, gap[] = {104, NAN, 101}, one[] = {NAN, NAN, 101};
    const double fourth[] = {1256, 116, 101};

    (void)state;
    assert_close(tw_numerical_error(first), 1.25 * 3, 1e-12);
    assert_close(tw_numerical_error(swinging), 1.25 * 2, 1e-12);
    assert_close(tw_numerical_error(fourth), 1.25 * 1155, 1e-9);
    assert_close(tw_numerical_error(even), 0, 0);
    assert_close(tw_numerical_error(two), 1.25, 1e-12);
    assert_close(tw_numerical_error(gap), 1.25 * 3, 1e-12);
    assert_true(isnan(tw_numerical_error(one)));
}

/* ---- plates ---------------------------------------------------------------------------------- */

static tw_point tape_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

/* A flat disc of 100 mm, 2.6 mm thick to 30 mm from its middle, 1.2 mm at its edge. */
typedef struct disc_profile {
    tw_strike strike;
    tw_edge_thickness edge;
    tw_profile profile;
} disc_profile;

static void disc_profile_init(disc_profile *disc)
{
    memset(disc, 0, sizeof *disc);
    disc->strike = (tw_strike){
        .name = "heart",
        .shape = {.kind = TW_SHAPE_DISC, .at = tape_point(0, 0), .across = 30, .up = 30},
        .thickness = 2.6};
    disc->edge = (tw_edge_thickness){.edge = "all", .thickness = 1.2};
    disc->profile = (tw_profile){
        .file = "",
        .plate = "roundel",
        .material = "mild steel",
        .density = DENSITY,
        .form = TW_FORM_FLAT,
        .outline =
            {.kind = TW_OUTLINE_SHAPE,
             .shape = {.kind = TW_SHAPE_ELLIPSE, .at = tape_point(0, 0), .across = 100, .up = 100}},
        .has_sheet = true,
        .sheet = {.thickness = 1.6},
        .has_forged = true,
        .forged = {.strike_count = 1,
                   .edge_count = 1,
                   .strikes = &disc->strike,
                   .edges = &disc->edge,
                   .law = TW_LAW_STRAIGHT,
                   .band = 40},
    };
}

/* ∫t dA = π·30²·2.6 + 2π ∫₃₀¹⁰⁰ (1.2 + 1.4 (100 − r)/70) r dr on a flat plate. Source: derived. */
static double disc_mass(void)
{
    return DENSITY * TW_PI *
           (900 * 2.6 + 2 * (3.2 * (10000 - 900) / 2 - 0.02 * (1000000.0 - 27000.0) / 3));
}

static void disc_weighs_what_the_formula_says(void **state)
{
    disc_profile disc;
    tw_plate *plate = NULL;
    tw_error err = {0};
    const tw_plate_map *sheet, *forged;

    (void)state;
    disc_profile_init(&disc);
    if (tw_plate_build(&disc.profile, NULL, &plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    sheet = tw_plate_map_of(plate, TW_MAP_SHEET);
    forged = tw_plate_map_of(plate, TW_MAP_FORGED);
    assert_non_null(sheet);
    assert_non_null(forged);
    assert_close(sheet->weight.mass_g, DENSITY * TW_PI * 1e4 * 1.6, 2e-4 * 400);
    assert_close(forged->weight.mass_g, disc_mass(), 2e-4 * disc_mass());
    print_message("%zu nodes across; forged off by %.1e of its mass, said %.1e\n", plate->grid->nu,
                  forged->weight.mass_g / disc_mass() - 1,
                  forged->weight.numerical_error_g / forged->weight.mass_g);
    assert_true(forged->weight.numerical_error_g < 2e-4 * forged->weight.mass_g);
    /* The exact thicknesses of zone and edge are among the extremes. */
    assert_close(forged->map.thickest, 2.6, 0);
    assert_close(forged->map.thinnest, 1.2, 0);
    assert_close(hypot(forged->map.thinnest_at[0], forged->map.thinnest_at[1]), 100, 0.1);
    assert_close(forged->map.steepest_grade, 1.4 / 70, 0.01 * 1.4 / 70);
    tw_plate_free(plate);
}

static void zones_sum_to_the_whole(void **state)
{
    disc_profile disc;
    tw_plate *plate = NULL;
    tw_plate_options options = {.cells = 128};

    (void)state;
    disc_profile_init(&disc);
    disc.strike.hold = 10;
    disc.edge.hold = 5;
    assert_int_equal(tw_plate_build(&disc.profile, &options, &plate, NULL), TW_OK);
    assert_int_equal(plate->zones.count, 4);
    assert_string_equal(plate->zones.names[3], "field");
    for (size_t k = 0; k < plate->map_count; k++) {
        const tw_plate_map *item = &plate->maps[k];
        double mass = 0, area = 0;
        for (size_t z = 0; z < plate->zones.count; z++) {
            mass += item->zones[z].mass_g;
            area += item->zones[z].area_mm2;
        }
        assert_close(mass, item->weight.mass_g, 1e-9 * mass);
        assert_close(area, item->weight.face_area_mm2, 1e-9 * area);
    }
    assert_close(plate->maps[1].zones[0].area_mm2, TW_PI * 900, 5);
    assert_close(plate->maps[1].zones[2].area_mm2, TW_PI * (10000 - 95 * 95), 10);
    tw_plate_free(plate);
}

static void plate_is_the_same_for_any_number_of_threads(void **state)
{
    disc_profile disc;
    tw_plate *one = NULL, *three = NULL;
    tw_plate_options options = {.cells = 96, .threads = 1};

    (void)state;
    disc_profile_init(&disc);
    assert_int_equal(tw_plate_build(&disc.profile, &options, &one, NULL), TW_OK);
    options.threads = 3;
    assert_int_equal(tw_plate_build(&disc.profile, &options, &three, NULL), TW_OK);
    for (size_t k = 0; k < one->map_count; k++)
        assert_memory_equal(&one->maps[k].weight, &three->maps[k].weight,
                            sizeof one->maps[k].weight);
    tw_plate_free(one);
    tw_plate_free(three);
}

/* Too few cells for a second grid: the error is not known, and that is said. */
static void lonely_grid_has_no_error(void **state)
{
    disc_profile disc;
    tw_plate *plate = NULL;
    tw_plate_options options = {.cells = TW_GRID_MIN};

    (void)state;
    disc_profile_init(&disc);
    assert_int_equal(tw_plate_build(&disc.profile, &options, &plate, NULL), TW_OK);
    assert_true(isnan(plate->maps[0].weight.numerical_error_g));
    assert_int_equal(plate->notes.count, 1);
    tw_plate_free(plate);
}

typedef struct watch {
    int left;
    double share;
    bool backward;
} watch;

static bool count_down(const char *step, double share, void *context)
{
    watch *w = context;

    assert_non_null(step);
    w->backward = w->backward || share < w->share || share > 1;
    w->share = share;
    return w->left-- > 0;
}

/* Stop at every step in turn: nothing leaks, nothing comes out, and progress only goes forward. */
static void work_stops_when_told(void **state)
{
    disc_profile disc;
    int steps = 0;

    (void)state;
    disc_profile_init(&disc);
    for (;; steps++) {
        watch w = {.left = steps};
        tw_plate_options options = {.cells = 32, .progress = count_down, .progress_context = &w};
        tw_plate *plate = NULL;
        tw_error err;
        const tw_status status = tw_plate_build(&disc.profile, &options, &plate, &err);
        assert_false(w.backward);
        if (status == TW_OK) {
            tw_plate_free(plate);
            break;
        }
        assert_int_equal(status, TW_ERR_INTERRUPTED);
        assert_int_equal(err.status, TW_ERR_INTERRUPTED);
        assert_null(plate);
    }
    assert_true(steps >= 8);
}

static void expect_refusal(const disc_profile *disc, size_t cells, tw_status wanted,
                           const char *words)
{
    tw_plate_options options = {.cells = cells};
    tw_plate *plate = NULL;
    tw_error err = {0};

    assert_int_equal(tw_plate_build(&disc->profile, &options, &plate, &err), wanted);
    assert_null(plate);
    if (!strstr(err.message, words) || !strstr(err.message, "in plate roundel"))
        fail_msg("\"%s\" lacks \"%s\" or the plate's name", err.message, words);
    assert_int_equal(tw_plate_build(&disc->profile, &options, &plate, NULL), wanted);
}

static void impossible_plates_are_refused(void **state)
{
    disc_profile disc;

    (void)state;
    disc_profile_init(&disc);
    expect_refusal(&disc, TW_GRID_MAX + 1, TW_ERR_DOMAIN, "4097");
    expect_refusal(&disc, TW_GRID_MIN - 1, TW_ERR_DOMAIN, "7 cells");
    disc.strike.thickness = 0;
    expect_refusal(&disc, 64, TW_ERR_DOMAIN, "heart");
    disc_profile_init(&disc);
    disc.edge.edge = "upper";
    expect_refusal(&disc, 64, TW_ERR_KEY, "no edge called upper");
    disc_profile_init(&disc);
    disc.strike.shape.at = tape_point(300, 0);
    expect_refusal(&disc, 64, TW_ERR_SHAPE, "heart");
    disc_profile_init(&disc);
    disc.profile.form = TW_FORM_NONE;
    expect_refusal(&disc, 64, TW_ERR_INPUT, "no form");
    disc_profile_init(&disc);
    disc.profile.has_sheet = disc.profile.has_forged = false;
    expect_refusal(&disc, 64, TW_ERR_INPUT, "no thickness");
    /* A bowl of 40 mm radius cannot be 49 mm thick; the finest grid tells, with the map's name. */
    disc_profile_init(&disc);
    disc.profile.form = TW_FORM_BOWL;
    disc.profile.bowl =
        (tw_bowl_spec){.across = 40, .up = 40, .depth = 40, .profile = TW_BOWL_ROUND};
    disc.profile.outline = (tw_outline_spec){.kind = TW_OUTLINE_RIM};
    disc.profile.sheet.thickness = 49;
    disc.profile.has_forged = false;
    expect_refusal(&disc, 64, TW_ERR_SHAPE, "in the sheet map");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(error_is_exact_for_a_pure_order),
        cmocka_unit_test(error_is_cautious_without_a_clear_order),
        cmocka_unit_test(disc_weighs_what_the_formula_says),
        cmocka_unit_test(zones_sum_to_the_whole),
        cmocka_unit_test(plate_is_the_same_for_any_number_of_threads),
        cmocka_unit_test(lonely_grid_has_no_error),
        cmocka_unit_test(work_stops_when_told),
        cmocka_unit_test(impossible_plates_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
