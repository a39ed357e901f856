/* What a scale weight says of a plate: closed forms, and where agreement ends. */
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

/* t = m/(ρA); relative u adds as squares: (u_m/m)² + (u_ρ/ρ)² + (u_A/A)². JCGM 100:2008, 5.1.6. */
static void thickness_of_an_area(void **state)
{
    tw_profile *profile = read_text("plate: tasset\nmaterial: mild steel\n"
                                    "area: {value: 5.2 dm2, uncertainty: 0.05 dm2}\n"
                                    "scale: {reads: 655 g, step: 1 g}\n");
    const double t = 655 / (7.85e-3 * 52000);
    const double mass = 1 / sqrt(6.0) / 655, area = 0.05 / 5.2, steel = 20 / sqrt(3.0) / 7850;
    tw_budget b;
    tw_monte_carlo mc;
    (void)state;

    assert_int_equal(tw_area_budget(profile, &b, NULL), TW_OK);
    assert_close(b.value, t, 1e-12);
    assert_close(b.u, t * sqrt(mass * mass + area * area + steel * steel), 1e-9);
    assert_int_equal(tw_plate_monte_carlo(&b, 200000, 3, 2, &mc, NULL), TW_OK);
    assert_close(mc.u / b.u, 1, 0.01);
    tw_budget_release(&b);
    profile->scale_uncertainty = NAN; /* its step not said: 10 g, both roundings */
    profile->area_uncertainty = 0;
    assert_int_equal(tw_area_budget(profile, &b, NULL), TW_OK);
    assert_close(b.rows[0].u, 10 / sqrt(6.0), 1e-12);
    assert_non_null(strstr(b.rows[0].name, "not said"));
    assert_close(b.rows[2].u, 0.02 * 520, 1e-9);
    assert_non_null(strstr(b.rows[2].name, "not said"));
    tw_budget_release(&b);
    tw_profile_free(profile);
}

static void what_is_missing_is_told(void **state)
{
    tw_profile *profile = read_text("plate: tasset\nmaterial: mild steel\narea: 5.2 dm2\n"
                                    "scale: {reads: 655 g, step: 1 g}\n");
    tw_budget b;
    tw_error err = {0};
    (void)state;

    profile->scale = 0;
    assert_int_equal(tw_area_budget(profile, &b, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "scale"));
    profile->scale = 655;
    profile->area = 0;
    assert_int_equal(tw_area_budget(profile, &b, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "area"));
    tw_profile_free(profile);
}

/* A flat forged disc: its mass is proportional to thickness, so the factor is scale/model, and the
 * strike and edge thickness go with it. */
static void flat_taper_scales(void **state)
{
    tw_profile *profile =
        read_text("plate: disc\nmaterial: mild steel\nform: flat\nruler: mm\n"
                  "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
                  "thickness:\n  forged:\n    strike: [{name: heart, at: [0, 0], radius: 30 mm, "
                  "thickness: 2.6 mm}]\n    edges: [{edge: all, thickness: 1.2 mm}]\n"
                  "scale: {reads: 500 g, step: 5 g}\n");
    const tw_plate_options options = {.cells = 64, .threads = 2};
    tw_plate *plate;
    const tw_plate_map *map;
    tw_budget b;
    tw_agreement a;
    tw_error err = {0};
    double join;
    (void)state;

    assert_int_equal(tw_plate_build(profile, &options, &plate, NULL), TW_OK);
    map = tw_plate_map_of(plate, TW_MAP_FORGED);
    assert_int_equal(tw_plate_budget(plate, map, 2, &b, NULL), TW_OK);
    assert_int_equal(tw_plate_agreement(plate, map, &b, &a, NULL), TW_OK);
    assert_close(a.thickness_factor, 500 / map->weight.mass_g, 1e-9);
    assert_close(a.mean_thickness_mm, 500 / (7.85e-3 * map->weight.face_area_mm2), 1e-9);
    assert_close(a.strike_mm, 2.6 * a.thickness_factor, 1e-9);
    assert_close(a.edge_mm, 1.2 * a.thickness_factor, 1e-9);
    assert_close(a.scale_u_g, 5 / sqrt(6.0), 1e-12);
    assert_close(a.difference_g, map->weight.mass_g - 500, 1e-12);

    /* |E_n| passes 1 where the difference passes the root of both expanded uncertainties squared */
    join = hypot(b.expanded, 1.959963984540054 * a.scale_u_g);
    for (int sign = -1; sign <= 1; sign += 2) {
        profile->scale = map->weight.mass_g + sign * join * 0.9999;
        assert_int_equal(tw_plate_agreement(plate, map, &b, &a, NULL), TW_OK);
        assert_true(a.en < 1);
        profile->scale = map->weight.mass_g + sign * join * 1.0001;
        assert_int_equal(tw_plate_agreement(plate, map, &b, &a, NULL), TW_OK);
        assert_true(a.en > 1);
    }
    profile->scale = map->weight.mass_g;
    assert_int_equal(tw_plate_agreement(plate, map, &b, &a, NULL), TW_OK);
    assert_close(a.en, 0, 1e-12);
    assert_close(a.thickness_factor, 1, 1e-9);
    profile->scale = 0;
    assert_int_equal(tw_plate_agreement(plate, map, &b, &a, &err), TW_ERR_INPUT);
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* A deep bowl, outside face measured: no thickness fills more than the whole ball. */
static void unreachable_weight_is_told(void **state)
{
    tw_profile *profile = read_text("plate: bowl\nmaterial: mild steel\nruler: mm\n"
                                    "form: {bowl: {across: 50 mm, up: 50 mm, depth: 50 mm}}\n"
                                    "thickness: {sheet: 1 mm}\nscale: {reads: 40 kg, step: 5 g}\n");
    const tw_plate_options options = {.cells = 32, .threads = 2};
    tw_plate *plate;
    tw_budget b;
    tw_agreement a;
    tw_error err = {0};
    tw_status status;
    (void)state;

    assert_int_equal(tw_plate_build(profile, &options, &plate, NULL), TW_OK);
    assert_int_equal(tw_plate_budget(plate, &plate->maps[0], 2, &b, NULL), TW_OK);
    status = tw_plate_agreement(plate, &plate->maps[0], &b, &a, &err);
    assert_int_equal(status, TW_ERR_UNREACHABLE);
    assert_non_null(strstr(err.message, "40000 g"));
    tw_budget_release(&b);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

/* 200 × 100 × t mm of density 0.00785: readings 2 mm in six places, then in five; then under a wide ±. */
static void what_cannot_disagree_is_not_judged(void **state)
{
    static const double mass = 200 * 100 * 2 * 7.85e-3;
    (void)state;

    for (int count = 5; count <= 6; count++) {
        char text[1024] = "plate: strip\nmaterial: mild steel\nform: flat\nruler: mm\n"
                          "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n"
                          "scale: {reads: 300 g, step: 1 g}\nthickness:\n  readings:\n"
                          "    instruments: [{kind: caliper, resolution: 0.05 mm}]\n    points:\n";
        const tw_plate_options options = {.cells = 48, .threads = 2};
        tw_profile *profile;
        tw_plate *plate;
        tw_budget b;
        tw_agreement a;
        for (int k = 0; k < count; k++)
            snprintf(text + strlen(text), sizeof text - strlen(text),
                     "      - {at: [%d, %d], thickness: 2 mm}\n", -75 + 30 * k, 25 * (k % 3 - 1));
        profile = read_text(text);
        assert_int_equal(tw_plate_build(profile, &options, &plate, NULL), TW_OK);
        assert_int_equal(tw_plate_budget(plate, &plate->maps[0], 2, &b, NULL), TW_OK);
        for (int wide = 0; wide <= 1; wide++)
            for (int far = 0; far <= 1; far++) {
                profile->scale = far ? 3 * mass : 1.02 * mass;
                b.expanded = wide ? 0.6 * mass : 0.1 * mass;
                assert_int_equal(tw_plate_agreement(plate, &plate->maps[0], &b, &a, NULL), TW_OK);
                assert_int_equal(a.verdict, count == 5 ? TW_VERDICT_FEW
                                            : far      ? TW_VERDICT_DISAGREE
                                            : wide     ? TW_VERDICT_UNSURE
                                                       : TW_VERDICT_AGREE);
                assert_true(strlen(tw_verdict_word(a.verdict)) > 0);
            }
        tw_budget_release(&b);
        tw_plate_free(plate);
        tw_profile_free(profile);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thickness_of_an_area),
        cmocka_unit_test(what_is_missing_is_told),
        cmocka_unit_test(flat_taper_scales),
        cmocka_unit_test(what_cannot_disagree_is_not_judged),
        cmocka_unit_test(unreachable_weight_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
