/* A weight reached by one quantity: closed forms on a disc, bisection with everything made anew,
 * rounding, and what cannot be reached. */
#include "plates.h"

static const double DENSITY = 7.85e-3;

static tw_reach reach_of(const test_plate *made, const char *by, double target, double round_mm)
{
    tw_reach reach;
    tw_error err = {0};

    if (tw_plan_reach(made->plate, by, target, round_mm, 1, &reach, &err) != TW_OK)
        fail_msg("%s; %s", err.message, err.advice);
    return reach;
}

/* ∫t dA = π(a²T + 2∫ₐᴿ (e + (T − e)(R − r)/(R − a)) r dr): affine in T and in e. Source: derived. */
static double straight_mass(double T, double e)
{
    const double R = 100, a = 30;
    const double ring = (R * R - a * a) / 2;
    const double slope = (R * ring - (R * R * R - a * a * a) / 3) / (R - a);

    return DENSITY * TW_PI * (a * a * T + 2 * (e * ring + (T - e) * slope));
}

static void a_thickness_is_the_formulas(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 256);
    const double at_3 = straight_mass(3.0, 1.2), at_edge = straight_mass(2.6, 0.83);
    tw_reach reach = reach_of(&made, "strike.heart", at_3, 0);

    (void)state;
    assert_int_equal(reach.change_count, 1);
    assert_string_equal(reach.changes[0].name, "strike zone heart");
    assert_close(reach.changes[0].exact_mm, 3.0, 2e-3);
    assert_close(reach.changes[0].rounded_mm, 3.0, 1e-9);
    assert_close(reach.changes[0].before_mm, 2.6, 0);
    assert_close(reach.weight.mass_g, at_3, 0.1);
    assert_close(reach.half_step_g, straight_mass(3.025, 1.2) - at_3, 0.01);
    tw_reach_release(&reach);
    reach = reach_of(&made, "edges.all", at_edge, 0.1);
    assert_close(reach.changes[0].exact_mm, 0.83, 1e-3);
    assert_close(reach.changes[0].rounded_mm, 0.8, 1e-9);
    assert_close(reach.weight.mass_g, straight_mass(2.6, 0.8), 0.1);
    tw_reach_release(&reach);
    test_plate_free(&made);
}

static void sheet_is_weight_over_area(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 128);
    tw_reach reach = reach_of(&made, "sheet", DENSITY * TW_PI * 1e4 * 1.25, 0);

    (void)state;
    assert_close(reach.changes[0].exact_mm, 1.25, 1e-4);
    assert_int_equal(reach.map.kind, TW_MAP_SHEET);
    assert_close(reach.map.thickest, 1.25, 1e-9);
    tw_reach_release(&reach);
    test_plate_free(&made);
}

/* Two zones that overlap, and edges: the order of thicknesses changes on the way. */
#define CROWDED                                                                        \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n" \
         "thickness:\n  forged:\n    strike:\n"                                        \
         "      - {name: one, at: [-20, 0], radius: 35 mm, thickness: 1.6 mm}\n"       \
         "      - {name: two, at: [25, 0], radius: 35 mm, thickness: 2 mm}\n"          \
         "    edges:\n      - {edge: lower, thickness: 1 mm}\n"                        \
         "      - {edge: upper, thickness: 1.3 mm}\n      - {edge: left, thickness: 0.9 mm}\n"

/* Mass with one zone at a thickness, everything made anew. */
static double mass_anew(const test_plate *made, double thickness)
{
    tw_forged_spec spec = made->profile->forged;
    tw_strike strikes[2] = {spec.strikes[0], spec.strikes[1]};
    tw_taper *taper = NULL;
    tw_map map;
    tw_weight weight;

    strikes[0].thickness = thickness;
    spec.strikes = strikes;
    assert_int_equal(tw_taper_build(made->plate->form, made->plate->grid, &spec, 1, &taper, NULL),
                     TW_OK);
    assert_int_equal(tw_map_forged(taper, &map, NULL), TW_OK);
    assert_int_equal(tw_weigh(made->plate->grid, map.cell, map.node, made->profile->face,
                              made->profile->density, 1, &weight, NULL),
                     TW_OK);
    tw_map_release(&map);
    tw_taper_free(taper);
    return weight.mass_g;
}

static void roots_agree_with_bisection_past_neighbours(void **state)
{
    static const double wanted[] = {0.7, 1.2, 1.95, 2.35, 3.3};
    test_plate made = test_plate_make(CROWDED, 64);

    (void)state;
    for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++) {
        const double target = mass_anew(&made, wanted[k]);
        double low = 0.1, high = 10;
        tw_reach reach = reach_of(&made, "strike.one", target, 0);
        for (int step = 0; step < 40; step++) {
            const double middle = 0.5 * (low + high);
            if (mass_anew(&made, middle) < target)
                low = middle;
            else
                high = middle;
        }
        assert_close(reach.changes[0].exact_mm, low, 1e-5);
        assert_close(reach.weight.mass_g, mass_anew(&made, reach.changes[0].rounded_mm), 1e-6);
        tw_reach_release(&reach);
    }
    test_plate_free(&made);
}

static void many_keep_their_proportion(void **state)
{
    test_plate made = test_plate_make(CROWDED, 64);
    const double mass = tw_plate_map_of(made.plate, TW_MAP_FORGED)->weight.mass_g;
    tw_reach reach = reach_of(&made, "edges.all", 1.05 * mass, 0.05);

    (void)state;
    assert_int_equal(reach.change_count, 3);
    for (size_t k = 0; k < 3; k++) {
        const tw_plan_change *change = &reach.changes[k];
        assert_close(change->exact_mm / change->before_mm,
                     reach.changes[0].exact_mm / reach.changes[0].before_mm, 1e-12);
        assert_close(change->rounded_mm, change->exact_mm, 0.0250001);
    }
    assert_true(fabs(reach.weight.mass_g - reach.target_g) <= reach.half_step_g);
    tw_reach_release(&reach);
    test_plate_free(&made);
}

/* With the disc held 2.6 to 30 mm and 1.2 along a rim `hold` wide, the ring between shrinks:
 * straight_mass() with R less the hold, and the rim beyond. */
static void a_hold_is_marched_anew(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 192);
    const double R = 75, a = 30, ring = (R * R - a * a) / 2;
    const double slope = (R * ring - (R * R * R - a * a * a) / 3) / (R - a);
    const double mass =
        DENSITY * TW_PI * (a * a * 2.6 + 2 * (1.2 * ring + 1.4 * slope) + (1e4 - R * R) * 1.2);
    tw_reach reach = reach_of(&made, "hold", mass, 0);

    (void)state;
    assert_close(reach.changes[0].exact_mm, 25, 0.05);
    assert_close(reach.changes[0].rounded_mm, 25, 1e-9);
    tw_reach_release(&reach);
    test_plate_free(&made);
}

static void expect(const test_plate *made, const char *by, double target, tw_status wanted,
                   const char *words)
{
    tw_reach reach;
    tw_error err = {0};

    assert_int_equal(tw_plan_reach(made->plate, by, target, 0, 1, &reach, &err), wanted);
    if (!strstr(err.message, words) && !strstr(err.advice, words))
        fail_msg("\"%s; %s\" lacks \"%s\"", err.message, err.advice, words);
}

static void impossible_weights_are_refused(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 64);
    test_plate bare = test_plate_make(
        HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 80 mm, up: 90 mm}}\n"
             "thickness: {sheet: 1.6 mm}\n",
        64);
    tw_plan *plan = NULL;
    tw_error err = {0};

    (void)state;
    expect(&made, "edges.all", 20, TW_ERR_UNREACHABLE, "from 0.10 mm to 10.00 mm it weighs");
    expect(&made, "sheet", 1e6, TW_ERR_UNREACHABLE, "sheet");
    expect(&made, "hold", 20, TW_ERR_UNREACHABLE, "hold");
    expect(&made, "edges.ll", 300, TW_ERR_KEY, "did you mean edges.all?");
    expect(&made, "stroke.heart", 300, TW_ERR_KEY, "did you mean strike.heart?");
    expect(&made, "band", 300, TW_ERR_INPUT, "law: held");
    expect(&made, "edges.all", -3, TW_ERR_DOMAIN, "weight");
    expect(&bare, "edges.all", 300, TW_ERR_INPUT, "forged map");
    assert_int_equal(tw_plan_open(bare.plate, 1, &plan, &err), TW_ERR_INPUT);
    test_plate_free(&bare);
    test_plate_free(&made);
}

/* Where a neighbour is as thin as can be tried, or as thick, the search ends there. */
static void a_neighbour_at_the_end_of_what_is_tried(void **state)
{
    test_plate made = test_plate_make(
        HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n"
             "thickness:\n  forged:\n    edges:\n      - {edge: lower, thickness: 0.10000001 mm}\n"
             "      - {edge: left, thickness: 9.9999999 mm}\n"
             "      - {edge: upper, thickness: 1.3 mm}\n",
        24);
    const double mass = tw_plate_map_of(made.plate, TW_MAP_FORGED)->weight.mass_g;
    tw_reach reach = reach_of(&made, "edges.upper", 0.9 * mass, 0);

    (void)state;
    assert_true(reach.changes[0].exact_mm > 0.1 && reach.changes[0].exact_mm < 1.3);
    tw_reach_release(&reach);
    expect(&made, "edges.upper", 0.01 * mass, TW_ERR_UNREACHABLE, "from 0.10 mm to 10.00 mm");
    expect(&made, "edges.upper", 100 * mass, TW_ERR_UNREACHABLE, "from 0.10 mm to 10.00 mm");
    test_plate_free(&made);
}

/* With law: held the band shrinks the ring that is as thin as the edge. */
static void a_band_is_made_anew(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE "    law: held\n    band: 30 mm\n", 96);
    const double mass = tw_plate_map_of(made.plate, TW_MAP_FORGED)->weight.mass_g;
    tw_reach reach = reach_of(&made, "band", 0.98 * mass, 0);

    (void)state;
    assert_true(reach.changes[0].exact_mm > 30 && reach.changes[0].exact_mm < 70);
    assert_close(reach.weight.mass_g, 0.98 * mass, reach.half_step_g + 1e-9);
    assert_close(reach.round_mm, 1, 0);
    tw_reach_release(&reach);
    expect(&made, "band", 0.1 * mass, TW_ERR_UNREACHABLE, "band");
    expect(&made, "hold", 0.1 * mass, TW_ERR_UNREACHABLE, "hold"); /* less than the band */
    test_plate_free(&made);
}

static void what_the_plate_lacks_is_told(void **state)
{
    test_plate zones = test_plate_make(DISC, 24), bare = test_plate_make(RECTANGLE, 24);
    tw_reach reach;
    tw_error err = {0};

    (void)state;
    expect(&zones, "hold", 300, TW_ERR_INPUT, "add edges: to forged:");
    expect(&bare, "sheet", 300, TW_ERR_INPUT, "has no sheet to change");
    expect(&zones, "qqqqqqqqqqqqqqqqq", 300, TW_ERR_KEY, "name strike.NAME, strike.all");
    expect(&zones, "strike.", 300, TW_ERR_KEY, "nothing called");
    expect(&zones, "strike.hearty", 300, TW_ERR_KEY, "strike.heart");
    expect(&zones, "strikeheart", 300, TW_ERR_KEY, "strike.heart");
    expect(&zones, "strike.heart", INFINITY, TW_ERR_DOMAIN, "give a weight");
    expect(&zones, "strike.heart", NAN, TW_ERR_DOMAIN, "give a weight");
    for (size_t k = 0; k < 3; k++) {
        static const double steps[] = {-0.1, NAN, INFINITY};
        assert_int_equal(tw_plan_reach(zones.plate, "strike.heart", 300, steps[k], 1, &reach, &err),
                         TW_ERR_DOMAIN);
        assert_non_null(strstr(err.advice, "what the gauge reads"));
    }
    tw_reach_release(NULL);
    test_plate_free(&bare);
    test_plate_free(&zones);
}

/* Of a symmetric plate a name stands for both twins, and each twin for itself. */
static void a_name_of_twins(void **state)
{
    test_plate made = test_plate_make(
        HEAD "form: flat\nsymmetric: yes\noutline:\n"
             "  - {edge: lower, points: [[0, 0], [90, 0]]}\n"
             "  - {edge: side, points: [[90, 0], [90, 120]]}\n"
             "  - {edge: upper, points: [[90, 120], [0, 120]]}\n"
             "thickness:\n  forged:\n"
             "    strike: [{name: chest, at: [50, 60], radius: 20 mm, thickness: 2 mm}]\n"
             "    edges: [{edge: all, thickness: 1 mm}]\n",
        32);
    const double mass = tw_plate_map_of(made.plate, TW_MAP_FORGED)->weight.mass_g;
    tw_reach reach = reach_of(&made, "strike.chest", 1.05 * mass, 0);

    (void)state;
    assert_int_equal(reach.change_count, 2);
    assert_close(reach.changes[0].exact_mm, reach.changes[1].exact_mm, 1e-12);
    tw_reach_release(&reach);
    reach = reach_of(&made, "strike.chest right", 1.05 * mass, 0);
    assert_int_equal(reach.change_count, 1);
    tw_reach_release(&reach);
    expect(&made, "strike.ches", mass, TW_ERR_KEY, "nothing called \"strike.ches\"");
    test_plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_thickness_is_the_formulas),
        cmocka_unit_test(sheet_is_weight_over_area),
        cmocka_unit_test(roots_agree_with_bisection_past_neighbours),
        cmocka_unit_test(many_keep_their_proportion),
        cmocka_unit_test(a_hold_is_marched_anew),
        cmocka_unit_test(impossible_weights_are_refused),
        cmocka_unit_test(a_neighbour_at_the_end_of_what_is_tried),
        cmocka_unit_test(a_band_is_made_anew),
        cmocka_unit_test(what_the_plate_lacks_is_told),
        cmocka_unit_test(a_name_of_twins),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
