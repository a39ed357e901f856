/* Budgets of plates: closed forms on plain shapes, the demo plates, and what is refused. */
#include "models.h"

#include "taperwright/profile.h"

static tw_profile *read_text(const char *text)
{
    tw_profile *profile = NULL;
    tw_notes notes = {0};

    if (tw_profile_read_memory("test.yaml", text, strlen(text), NULL, 0, &profile, &notes) != TW_OK)
        fail_msg("%s", notes.items[0].message);
    return profile;
}

static tw_plate *build(const tw_profile *profile, size_t cells)
{
    const tw_plate_options options = {.cells = cells, .threads = 2};
    tw_plate *plate = NULL;
    tw_error err = {0};

    if (tw_plate_build(profile, &options, &plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    return plate;
}

static tw_plate *build_demo(const char *name, tw_profile **profile)
{
    char path[512];
    tw_notes notes = {0};

    snprintf(path, sizeof path, "%s/profiles/%s.yaml", TW_SOURCE_DIR, name);
    if (tw_profile_read(path, NULL, 0, profile, &notes) != TW_OK)
        fail_msg("%s", notes.items[0].message);
    return build(*profile, 64);
}

static tw_budget budget_of(const tw_plate *plate, tw_map_kind kind, unsigned threads)
{
    tw_budget budget;
    tw_error err = {0};

    if (tw_plate_budget(plate, tw_plate_map_of(plate, kind), threads, &budget, &err) != TW_OK)
        fail_msg("%s", err.message);
    return budget;
}

/* The one row whose name begins so; fails when there is none. */
static const tw_budget_row *find(const tw_budget *budget, const char *name)
{
    for (size_t k = 0; k < budget->count; k++)
        if (strncmp(budget->rows[k].name, name, strlen(name)) == 0)
            return &budget->rows[k];
    fail_msg("no row \"%s\"", name);
    return NULL;
}

static void shares_sum_to_one(const tw_budget *budget)
{
    double sum = 0;

    for (size_t k = 0; k < budget->count; k++)
        sum += budget->rows[k].share;
    assert_close(sum, 1, 1e-12);
}

/* ---- closed forms ---------------------------------------------------------------------------- */

static const double RHO = 7.85e-3; /* mild steel [g/mm³] */

/* m = ρ·t·(2a)·(2b): dm/da = 4ρtb, dm/db = 4ρta, dm/dt = 4ρab, dm/dρ = 4abt. Source: plain. */
static void flat_rectangle(void **state)
{
    tw_profile *profile =
        read_text("plate: flat\nmaterial: mild steel\nform: flat\nruler: mm\n"
                  "outline: {rectangle: {at: [0, 0], across: 60 mm, up: 100 mm}}\n"
                  "measured to: 0.5 mm\nthickness: {sheet: 1.5 mm}\n");
    tw_plate *plate = build(profile, 64);
    tw_budget b = budget_of(plate, TW_MAP_SHEET, 1);
    (void)state;

    assert_int_equal(b.count, 5);
    assert_int_equal(b.rows[0].kind, TW_ROW_DENSITY);
    assert_string_equal(b.rows[0].shared, "mild steel");
    assert_int_equal(find(&b, "outline, half size up")->kind, TW_ROW_OUTLINE);
    assert_null(find(&b, "outline, half size up")->shared);
    assert_close(b.value, RHO * 1.5 * 4 * 6000, 1e-9);
    assert_close(find(&b, "density")->sensitivity, 1e-6 * 36000, 1e-9);
    assert_close(find(&b, "sheet thickness")->sensitivity, RHO * 24000, 1e-7);
    assert_close(find(&b, "sheet thickness")->u, 0.08 / sqrt(3.0), 1e-12); /* EN 10131 normal */
    assert_non_null(strstr(find(&b, "sheet thickness")->name, "EN 10131 normal"));
    assert_close(find(&b, "outline, half size across")->sensitivity, 4 * RHO * 1.5 * 100, 1e-7);
    assert_close(find(&b, "outline, half size up")->sensitivity, 4 * RHO * 1.5 * 60, 1e-7);
    assert_close(find(&b, "outline, half size up")->u, 0.5 / sqrt(3.0), 1e-12);
    shares_sum_to_one(&b);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* An edge moved out by δ adds ρ·t·length·δ where its neighbours run square to it; twins of a symmetric
 * outline move together. */
static void edges_move_out(void **state)
{
    tw_profile *profile =
        read_text("plate: flat\nmaterial: mild steel\nform: flat\nruler: mm\nsymmetric: yes\n"
                  "outline:\n  - {edge: lower, points: [[0, 0], [60, 0]]}\n"
                  "  - {edge: side, points: [[60, 0], [60, 120]]}\n"
                  "  - {edge: upper, points: [[60, 120], [0, 120]]}\nthickness: {sheet: 2 mm}\n");
    tw_plate *plate = build(profile, 64);
    tw_budget b = budget_of(plate, TW_MAP_SHEET, 2);
    (void)state;

    assert_close(find(&b, "outline, edge lower moved")->sensitivity, RHO * 2 * 120, 1e-6);
    assert_close(find(&b, "outline, edge upper moved")->sensitivity, RHO * 2 * 120, 1e-6);
    assert_close(find(&b, "outline, edge side moved")->sensitivity, RHO * 2 * 240, 1e-6);
    assert_int_equal(b.count, 6); /* the side's twin has no row of its own */
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* Spherical cap of base radius a and depth h, measured at mid-thickness: m = ρ·t·π·(a² + h²) to
 * t²/(12R²), so dm/dh = 2πρth, and both half-widths together 2πρta. */
static void round_bowl(void **state)
{
    tw_profile *profile =
        read_text("plate: bowl\nmaterial: mild steel\nface: middle\nruler: mm\n"
                  "form: {bowl: {across: 100 mm, up: 100 mm, depth: 60 mm}}\nmeasured to: 0.05 mm\n"
                  "thickness: {sheet: 1 mm}\n");
    tw_plate *plate;
    tw_budget b;
    double across, up;
    (void)state;

    plate = build(profile, 128);
    b = budget_of(plate, TW_MAP_SHEET, 2);
    across = find(&b, "bowl, half-width across")->sensitivity;
    up = find(&b, "bowl, half-width up")->sensitivity;
    assert_close(find(&b, "bowl, depth")->sensitivity / (2 * TW_PI * RHO * 60), 1, 0.01);
    assert_close((across + up) / (2 * TW_PI * RHO * 100), 1, 0.01);
    assert_close(across / up, 1, 0.01);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* Heights are measured one by one and shown in one row, their grams added as squares. */
static void heights_have_one_row(void **state)
{
    tw_profile *profile = read_text(
        "plate: strip\nmaterial: mild steel\nruler: mm\nform:\n  loft:\n"
        "    - {ruler: 0, heights: [[0, 40], [40, 30], [80, 0]]}\n"
        "    - {ruler: 100, width: 160, centre: 40, sides: 0}\nthickness: {sheet: 1 mm}\n");
    tw_plate *plate = build(profile, 48);
    tw_budget b = budget_of(plate, TW_MAP_SHEET, 2);
    (void)state;

    assert_true(find(&b, "heights at ruler 0 mm")->sensitivity > 0);
    assert_true(find(&b, "place of the station at ruler 100 mm")->sensitivity > 0);
    /* a strip 1 mm longer */
    assert_close(find(&b, "place of the station at ruler 100 mm")->sensitivity,
                 plate->maps[0].weight.mass_g / 100, 0.1);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* Stations 4 mm apart and measured to 5 mm: the first cannot lie 5 mm further on, so it is moved back.
 * Flat to 0.5 mm, so dm/d(ruler) = −ρ·t·width. */
static void form_that_stands_on_one_side_only(void **state)
{
    tw_profile *profile =
        read_text("plate: strip\nmaterial: mild steel\nruler: mm\nform:\n  loft:\n"
                  "    - {ruler: 0, width: 100, centre: 0.5, sides: 0}\n"
                  "    - {ruler: 4, width: 100, centre: 0.5, sides: 0}\n"
                  "    - {ruler: 100, width: 100, centre: 0, sides: 0}\n"
                  "measured to: 5 mm\nthickness: {sheet: 1.5 mm}\n");
    tw_plate *plate = build(profile, 48);
    tw_budget b = budget_of(plate, TW_MAP_SHEET, 2);
    (void)state;

    assert_close(find(&b, "place of the station at ruler 0 mm")->sensitivity, -RHO * 150, 0.002);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* A disc of radius r out of sheet: dm/dr = −2πrρt. Two holes measured apart add as squares, twins of a symmetric plate straight. Source: plain. */
static void holes_are_measured_too(void **state)
{
    static const struct {
        const char *symmetric, *holes;
        double slope; /* in ρt */
    } cases[] = {
        {"", "[{at: [0, 10], radius: 20 mm}]", 2 * TW_PI * 20},
        {"", "[{at: [0, 10], radius: 6 mm}, {at: [0, 60], radius: 8 mm}]", 2 * TW_PI * 10},
        {"symmetric: yes\n", "[{at: [30, 10], radius: 6 mm}]", 2 * TW_PI * 12},
    };
    (void)state;

    for (size_t k = 0; k < ROWS(cases); k++) {
        char text[512];
        tw_profile *profile;
        tw_plate *plate;
        tw_budget b;
        snprintf(text, sizeof text,
                 "plate: flat\nmaterial: mild steel\nform: flat\nruler: mm\n%s"
                 "outline: {rectangle: {at: [0, 0], across: 60 mm, up: 100 mm}}\nholes: %s\n"
                 "measured to: 0.5 mm\nthickness: {sheet: 1.5 mm}\n",
                 cases[k].symmetric, cases[k].holes);
        profile = read_text(text);
        plate = build(profile, 64);
        b = budget_of(plate, TW_MAP_SHEET, 1);
        assert_int_equal(find(&b, "holes")->kind, TW_ROW_HOLE);
        assert_close(find(&b, "holes")->sensitivity / (RHO * 1.5 * cases[k].slope), -1, 2e-4);
        assert_close(find(&b, "holes")->u, 0.5 / sqrt(3.0), 1e-12);
        tw_budget_release(&b);
        tw_plate_free(plate);
        tw_profile_free(profile);
    }
}

/* On a curved face the edge counts by its length on the plate and the metal by the solid cell: against
 * the same bowl weighed with another hole. */
static void a_hole_in_a_bowl(void **state)
{
    double mass[2], slope = 0;
    (void)state;

    for (int k = 0; k < 3; k++) {
        char text[512];
        tw_profile *profile;
        tw_plate *plate;
        snprintf(text, sizeof text,
                 "plate: bowl\nmaterial: mild steel\nruler: mm\n"
                 "form: {bowl: {across: 100 mm, up: 100 mm, depth: 60 mm}}\n"
                 "holes: [{at: [0, 80], radius: %g mm}]\nthickness: {sheet: 2 mm}\n",
                 k == 0   ? 7.9
                 : k == 1 ? 8.1
                          : 8.0);
        profile = read_text(text);
        plate = build(profile, 128);
        if (k < 2) {
            mass[k] = plate->maps[0].weight.mass_g;
        } else {
            tw_budget b = budget_of(plate, TW_MAP_SHEET, 2);
            slope = find(&b, "holes")->sensitivity;
            tw_budget_release(&b);
        }
        tw_plate_free(plate);
        tw_profile_free(profile);
    }
    assert_close(slope / ((mass[1] - mass[0]) / 0.2), 1, 0.01);
}

/* ---- instruments ------------------------------------------------------------------------------- */

/* A gauge tied at one spot, where it read 2.05 mm and a micrometer 2.00 mm: u of the factor is that of
 * the display, √(0.01²/12 + 0.03²)/2.05, and of the micrometer, 0.01/√12/2.00; the mass, on a flat
 * plate ρAt̄, answers in proportion. Untied the velocity takes its place: 1 %/√3. */
static void what_readings_share(void **state)
{
    static const char *const ties[] = {"tie: {true: 2.00 mm, reads: 2.05 mm}",
                                       "set velocity: 5900 m/s"};
    (void)state;

    for (int k = 0; k < 2; k++) {
        char text[1024];
        tw_profile *profile;
        tw_plate *plate;
        tw_budget b;
        snprintf(
            text, sizeof text,
            "plate: flat\nmaterial: mild steel\nform: flat\nruler: mm\n"
            "outline: {rectangle: {at: [0, 0], across: 60 mm, up: 100 mm}}\nthickness:\n"
            "  readings:\n    instruments:\n      - {name: probe, kind: ultrasonic, "
            "resolution: 0.01 mm, uncertainty: 0.03 mm, %s}\n    points:\n"
            "      - {at: [0, 0], thickness: 2.1 mm}\n      - {at: [30, 50], thickness: 2.0 mm}\n"
            "      - {at: [-30, 50], thickness: 2.2 mm}\n",
            ties[k]);
        profile = read_text(text);
        plate = build(profile, 32);
        b = budget_of(plate, TW_MAP_READINGS, 1);
        if (k == 0) {
            const double u = hypot(hypot(0.01 / sqrt(12.0), 0.03) / 2.05, 0.01 / sqrt(12.0) / 2);
            const tw_budget_row *row = find(&b, "probe tied at one spot");
            assert_int_equal(row->kind, TW_ROW_TIE);
            assert_null(row->shared);
            assert_close(row->value, 2.00 / 2.05, 1e-12);
            assert_close(row->part / b.value, u, 1e-9);
        } else {
            const tw_budget_row *row = find(&b, "velocity of sound, probe");
            assert_int_equal(row->kind, TW_ROW_VELOCITY);
            assert_string_equal(row->shared, "mild steel");
            assert_close(row->value, 5900, 1e-9);
            assert_close(row->part / b.value, 0.01 / sqrt(3.0), 1e-9);
        }
        tw_budget_release(&b);
        tw_plate_free(plate);
        tw_profile_free(profile);
    }
}

/* ---- tolerance of sheet ------------------------------------------------------------------------ */

static void sheet_bounds(void **state)
{
    tw_profile *profile =
        read_text("plate: flat\nmaterial: mild steel\nform: flat\nruler: mm\n"
                  "outline: {rectangle: {at: [0, 0], across: 60 mm, up: 100 mm}}\n"
                  "measured to: 1 mm\nthickness: {sheet: 2.0 mm}\n");
    tw_plate *plate = build(profile, 32);
    static const struct {
        tw_tolerance_spec spec;
        double thickness, bound;
        const char *said;
    } cases[] = {
        {{.given = false}, 2.0, 0.10, "EN 10131 normal"},
        {{.given = false}, 4.0, 0.22, "EN 10051 category A"},
        {{.given = false}, 8.0, 0.56, "7 %"},
        {{.given = true, .bound = 0.03}, 2.0, 0.03, "as given"},
        {{.given = true, .standard = TW_TOLERANCE_COLD_ROLLED, .grade = TW_CLASS_SPECIAL},
         2.0,
         0.06,
         "EN 10131 special"},
        {{.given = true, .standard = TW_TOLERANCE_HOT_ROLLED, .grade = TW_CLASS_D},
         2.0,
         0.17 * 1.4,
         "EN 10051 category D"},
    };
    tw_budget b;
    tw_error err = {0};
    (void)state;

    for (size_t k = 0; k < ROWS(cases); k++) {
        profile->tolerance = cases[k].spec;
        profile->sheet.thickness = cases[k].thickness;
        b = budget_of(plate, TW_MAP_SHEET, 1);
        assert_close(find(&b, "sheet thickness")->u, cases[k].bound / sqrt(3.0), 1e-12);
        assert_non_null(strstr(find(&b, "sheet thickness")->name, cases[k].said));
        tw_budget_release(&b);
    }
    profile->sheet.thickness = 8; /* asked for by name, and not in its table */
    assert_int_equal(tw_plate_budget(plate, &plate->maps[0], 1, &b, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "EN 10051"));
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* ---- demo plates --------------------------------------------------------------------------------- */

static void demo_breastplate(void **state)
{
    static const tw_map_kind kinds[] = {TW_MAP_SHEET, TW_MAP_FORGED};
    tw_profile *profile;
    tw_plate *plate = build_demo("breastplate", &profile);
    (void)state;

    for (size_t k = 0; k < 2; k++) {
        tw_budget b = budget_of(plate, kinds[k], 1), other = budget_of(plate, kinds[k], 3);
        const tw_budget_row *density = find(&b, "density");
        tw_monte_carlo mc;
        shares_sum_to_one(&b);
        /* m = ρV: the same part of the mass as of the density */
        assert_close(density->part / b.value, density->u / density->value, 1e-9);
        assert_true(b.expanded > 0.003 * b.value && b.expanded < 0.1 * b.value);
        assert_close(b.coverage, 1.96, 0.001);
        assert_true(b.u == other.u); /* the same bits for any number of threads */
        for (size_t r = 0; r < b.count; r++)
            assert_true(b.rows[r].sensitivity == other.rows[r].sensitivity);
        /* one row for both arms */
        assert_true(find(&b, "outline, edge arm moved")->sensitivity > 0);
        assert_int_equal(tw_plate_monte_carlo(&b, 200000, 5, 2, &mc, NULL), TW_OK);
        assert_close(mc.u / b.u, 1, 0.01);
        assert_close(mc.mean, b.value, 0.01 * b.u);
        tw_budget_release(&b);
        tw_budget_release(&other);
    }
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* All maps in one pass, bit for bit as each by itself; a map that can have none stops no other. */
static void all_maps_at_once(void **state)
{
    tw_profile *profile;
    tw_plate *plate = build_demo("breastplate", &profile);
    tw_budget all[TW_PLATE_MAPS_MAX], one;
    tw_error why[TW_PLATE_MAPS_MAX];
    (void)state;

    assert_int_equal(plate->map_count, 2);
    assert_int_equal(tw_plate_budgets(plate, 2, all, why, NULL), TW_OK);
    for (size_t m = 0; m < 2; m++) {
        assert_int_equal(why[m].status, TW_OK);
        one = budget_of(plate, plate->maps[m].map.kind, 1);
        assert_int_equal(one.count, all[m].count);
        assert_true(one.u == all[m].u);
        for (size_t r = 0; r < one.count; r++)
            assert_true(one.rows[r].sensitivity == all[m].rows[r].sensitivity);
        tw_budget_release(&one);
        tw_budget_release(&all[m]);
    }
    profile->tolerance = (tw_tolerance_spec){
        .given = true, .standard = TW_TOLERANCE_HOT_ROLLED, .grade = TW_CLASS_NORMAL};
    profile->sheet.thickness = 80;
    assert_int_equal(tw_plate_budgets(plate, 2, all, why, NULL), TW_OK);
    assert_int_equal(why[0].status, TW_ERR_DOMAIN);
    assert_null(all[0].arena);
    assert_int_equal(why[1].status, TW_OK);
    assert_true(all[1].u > 0);
    tw_budget_release(&all[1]);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* On sheet the tolerance outweighs all that a tape can miss. */
static void sheet_is_mostly_its_tolerance(void **state)
{
    tw_profile *profile;
    tw_plate *plate = build_demo("breastplate", &profile);
    tw_budget b = budget_of(plate, TW_MAP_SHEET, 2);
    (void)state;

    assert_int_equal(tw_budget_largest(&b)->kind, TW_ROW_SHEET);
    assert_true(tw_budget_largest(&b)->share > 0.9);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

static void readings_have_their_rows(void **state)
{
    tw_profile *profile;
    tw_plate *plate = build_demo("curators-breast", &profile);
    tw_budget b = budget_of(plate, TW_MAP_READINGS, 2);
    tw_agreement a;
    tw_error err = {0};
    (void)state;

    shares_sum_to_one(&b);
    assert_int_equal(tw_budget_largest(&b)->kind, TW_ROW_READINGS);
    assert_true(find(&b, "readings, gathered")->part < 0.1 * find(&b, "readings, and")->part);
    assert_int_equal(
        tw_plate_agreement(plate, tw_plate_map_of(plate, TW_MAP_READINGS), &b, &a, NULL), TW_OK);
    assert_close(a.thickness_factor, a.scale_g / a.model_g, 0.002); /* to the curvature */
    assert_true(a.mean_thickness_u_mm < 0.01 * a.mean_thickness_mm);
    assert_true(isnan(a.strike_mm) && isnan(a.edge_mm));
    tw_budget_release(&b);

    plate->survey->edges_only = true; /* the scale weight still holds the whole … */
    b = budget_of(plate, TW_MAP_READINGS, 2);
    tw_budget_release(&b);
    profile->scale = 0; /* … and without it nothing does */
    assert_int_equal(tw_plate_budget(plate, tw_plate_map_of(plate, TW_MAP_READINGS), 2, &b, &err),
                     TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "near the edge"));
    tw_plate_free(plate);
    tw_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flat_rectangle),
        cmocka_unit_test(edges_move_out),
        cmocka_unit_test(round_bowl),
        cmocka_unit_test(heights_have_one_row),
        cmocka_unit_test(form_that_stands_on_one_side_only),
        cmocka_unit_test(holes_are_measured_too),
        cmocka_unit_test(a_hole_in_a_bowl),
        cmocka_unit_test(what_readings_share),
        cmocka_unit_test(sheet_bounds),
        cmocka_unit_test(demo_breastplate),
        cmocka_unit_test(all_maps_at_once),
        cmocka_unit_test(sheet_is_mostly_its_tolerance),
        cmocka_unit_test(readings_have_their_rows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
