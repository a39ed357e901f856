/* Every key read right, in mm and in inches; defaults; templates and sample profiles. */
#include "read.h"

#include "profile/profile_internal.h"

#define INCH 25.4

static void reads_a_loft_with_everything(void **state)
{
    tw_profile *p =
        read_ok("\xEF\xBB\xBF" /* a byte order mark is tolerated */
                "format: 1\n"
                "plate: breast\n"
                "kind: breastplate\n"
                "material: {name: mild steel, density: 7800 kg/m3, uncertainty: 30 kg/m3}\n"
                "worn: front\n"
                "face: middle\n"
                "ruler: in\n"
                "form:\n"
                "  loft:\n"
                "    - {ruler: 0, width: 12, centre: 2 3/4, sides: 0}\n"
                "    - {ruler: 7, width: 360 mm, centre: 4.5, sides: 1/8, tape: 17 11/16}\n"
                "    - {ruler: 10, sides: 1/4, heights: [[0, 4 5/8], [3.5, 4], [7, 1/4]]}\n"
                "    - {ruler: 12, width: 14, centre: open, sides: 0}\n"
                "  keel: {stands: 6 mm, width: 40 mm}\n"
                "outline: rim\n"
                "thickness:\n"
                "  sheet: 16 swg\n"
                "  forged:\n"
                "    strike: [{name: heart, at: [1 1/2, 9 1/16], radius: 60 mm,"
                " thickness: 2.6 mm, hold: 3 mm}]\n"
                "    edges: [{edge: upper, thickness: 1/16 in, hold: 5 mm},"
                " {edge: all, thickness: 18 swg}]\n"
                "    law: held\n"
                "    band: 50 mm\n"
                "turned edges: [{edge: upper, roll: 8 mm, wire: 4 mm}]\n"
                "holes: [{at: [0, 10], radius: 2 mm}]\n"
                "checks: [{from: [0, 0], to: [0, 4], tape: 102 mm}]\n"
                "scale: 2 lb 3 oz\n"
                "date: 1 May\n"
                "note: \"order: 7\"\n",
                NULL, 0);
    const tw_station *at = p->loft.stations;

    (void)state;
    assert_string_equal(p->file, "t.yaml");
    assert_int_equal(p->format, 1);
    assert_string_equal(p->plate, "breast");
    assert_string_equal(p->kind, "breastplate");
    assert_string_equal(p->note, "order: 7");
    assert_string_equal(p->date, "1 May");
    assert_string_equal(p->material, "mild steel");
    assert_close(p->density, 7.8e-3, 1e-15);
    assert_close(p->density_uncertainty, 3e-5, 1e-15);
    assert_int_equal(p->worn, TW_WORN_FRONT);
    assert_int_equal(p->face, TW_FACE_MIDDLE);
    assert_int_equal(p->ruler, TW_RULER_IN);
    assert_false(p->symmetric);
    assert_int_equal(p->form, TW_FORM_LOFT);
    assert_int_equal(p->loft.station_count, 4);
    assert_close(at[0].width, 12 * INCH, 1e-12);
    assert_close(at[0].centre, 2.75 * INCH, 1e-12);
    assert_true(at[0].tape == 0 && at[0].sides == 0);
    assert_close(at[1].ruler, 7 * INCH, 1e-12);
    assert_close(at[1].width, 360, 1e-12);
    assert_close(at[1].sides, INCH / 8, 1e-12);
    assert_close(at[1].tape, (17 + 11.0 / 16) * INCH, 1e-12);
    assert_int_equal(at[2].height_count, 3);
    assert_true(isnan(at[2].centre) && at[2].width == 0 && !at[2].centre_open);
    assert_close(at[2].heights[0][1], 4.625 * INCH, 1e-12);
    assert_close(at[2].heights[2][0], 7 * INCH, 1e-12);
    assert_true(at[3].centre_open && isnan(at[3].centre));
    assert_int_equal(at[3].place.line, 13);
    assert_int_equal(at[3].place.column, 7);
    assert_close(p->loft.keel_stands, 6, 0);
    assert_close(p->loft.keel_width, 40, 0);
    assert_int_equal(p->loft.keel_place.line, 14);
    assert_int_equal(p->outline.kind, TW_OUTLINE_RIM);
    assert_true(p->has_sheet && p->sheet.by_gauge && p->sheet.number == 16);
    assert_int_equal(p->sheet.system, TW_GAUGE_SWG);
    assert_int_equal(p->sheet_place.line, 17);
    assert_int_equal(p->sheet_place.column, 10);
    assert_true(p->has_forged);
    assert_int_equal(p->forged.strike_count, 1);
    assert_string_equal(p->forged.strikes[0].name, "heart");
    assert_int_equal(p->forged.strikes[0].shape.kind, TW_SHAPE_DISC);
    assert_int_equal(p->forged.strikes[0].shape.at.kind, TW_POINT_TAPE);
    assert_close(p->forged.strikes[0].shape.at.value[0], 1.5 * INCH, 1e-12);
    assert_close(p->forged.strikes[0].shape.at.value[1], 9.0625 * INCH, 1e-12);
    assert_close(p->forged.strikes[0].shape.across, 60, 0);
    assert_close(p->forged.strikes[0].shape.up, 60, 0);
    assert_close(p->forged.strikes[0].thickness, 2.6, 1e-15);
    assert_close(p->forged.strikes[0].hold, 3, 0);
    assert_int_equal(p->forged.strikes[0].thickness_place.column, 75);
    assert_int_equal(p->forged.edge_count, 2);
    assert_string_equal(p->forged.edges[0].edge, "upper");
    assert_close(p->forged.edges[0].thickness, INCH / 16, 1e-12);
    assert_close(p->forged.edges[0].hold, 5, 0);
    assert_close(p->forged.edges[1].thickness, 0.048 * INCH, 1e-12); /* 18 swg: 0.048 in */
    assert_int_equal(p->forged.law, TW_LAW_HELD);
    assert_close(p->forged.band, 50, 0);
    assert_int_equal(p->turned_count, 1);
    assert_string_equal(p->turned[0].edge, "upper");
    assert_close(p->turned[0].roll, 8, 0);
    assert_close(p->turned[0].wire, 4, 0);
    assert_int_equal(p->hole_count, 1);
    assert_close(p->holes[0].at.value[1], 10 * INCH, 1e-12);
    assert_close(p->holes[0].across, 2, 0);
    assert_int_equal(p->check_count, 1);
    assert_close(p->checks[0].to.value[1], 4 * INCH, 1e-12);
    assert_close(p->checks[0].tape, 102, 0);
    assert_close(p->scale, 35 * 28.349523125, 1e-9); /* 35 oz */
    tw_profile_free(p);
}

static void reads_bowls(void **state)
{
    static const struct {
        const char *words;
        tw_bowl_profile profile;
    } cases[] = {{"", TW_BOWL_ROUND},
                 {", profile: round", TW_BOWL_ROUND},
                 {", profile: full", TW_BOWL_FULL},
                 {", profile: cone", TW_BOWL_CONE},
                 {", profile: parabola", TW_BOWL_PARABOLA},
                 {", over: {across: 300 mm, up: 12 in}", TW_BOWL_OVER}};

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char text[256];
        tw_profile *p;
        snprintf(text, sizeof text, HEAD "form: {bowl: {across: 95 mm, depth: 4 in%s}}\n",
                 cases[k].words);
        p = read_ok(text, NULL, 0);
        assert_int_equal(p->form, TW_FORM_BOWL);
        assert_int_equal(p->bowl.profile, cases[k].profile);
        assert_close(p->bowl.across, 95, 0);
        assert_close(p->bowl.up, 95, 0); /* as across when not given */
        assert_close(p->bowl.depth, 4 * INCH, 1e-12);
        if (cases[k].profile == TW_BOWL_OVER) {
            assert_close(p->bowl.over_across, 300, 0);
            assert_close(p->bowl.over_up, 12 * INCH, 1e-12);
        }
        assert_true(p->bowl.place.line == 4 && p->bowl.place.column == 14);
        tw_profile_free(p);
    }
}

static void reads_every_point_and_shape(void **state)
{
    tw_profile *p = read_ok(
        HEAD
        "form: {bowl: {across: 95 mm, up: 110 mm, depth: 90 mm}}\n"
        "thickness:\n  forged:\n    strike:\n"
        "      - {at: {from crown: 85, toward: 30 deg}, radius: 1 in, thickness: 2 mm}\n"
        "      - {at: {edge: rim, along: 40, in: 1.5 cm}, across: 9 mm, up: 8 mm, thickness: 2 "
        "mm}\n"
        "      - {name: tri, points: [[0, 0], [10, 0], {x: 1, y: -2, z: 3}], thickness: 2 mm}\n"
        "      - {line: [[0, 0], [0, 50]], width: 12 mm, thickness: 2 mm}\n"
        "holes:\n"
        "  - {at: {edge: rim, along: 7}, radius: 2 mm}\n"
        "  - {rectangle: {at: [0, 5], across: 4 mm, up: 3 mm}}\n"
        "  - {at: [0, -5], across: 4 mm, up: 3 mm}\n"
        "  - {points: [[0, 0], [1, 0], [0, 1], [-1, 0]]}\n",
        NULL, 0);
    const tw_strike *s = p->forged.strikes;

    (void)state;
    assert_int_equal(p->forged.strike_count, 4);
    assert_string_equal(s[0].name, "strike 1");
    assert_int_equal(s[0].shape.at.kind, TW_POINT_CROWN);
    assert_close(s[0].shape.at.value[0], 85, 0);
    assert_close(s[0].shape.at.value[1], TW_PI / 6, 1e-15);
    assert_close(s[0].shape.across, INCH, 1e-12);
    assert_string_equal(s[1].name, "strike 2");
    assert_int_equal(s[1].shape.kind, TW_SHAPE_ELLIPSE);
    assert_int_equal(s[1].shape.at.kind, TW_POINT_EDGE);
    assert_string_equal(s[1].shape.at.edge, "rim");
    assert_close(s[1].shape.at.value[0], 40, 0);
    assert_close(s[1].shape.at.value[1], 15, 1e-12);
    assert_true(s[1].shape.across == 9 && s[1].shape.up == 8);
    assert_string_equal(s[2].name, "tri");
    assert_int_equal(s[2].shape.kind, TW_SHAPE_POLYGON);
    assert_int_equal(s[2].shape.point_count, 3);
    assert_int_equal(s[2].shape.points[2].kind, TW_POINT_SPACE);
    assert_close(s[2].shape.points[2].value[1], -2, 0);
    assert_int_equal(s[2].shape.points[2].place.line, 10);
    assert_int_equal(s[2].shape.points[2].place.column, 47);
    assert_int_equal(s[3].shape.kind, TW_SHAPE_LINE);
    assert_close(s[3].shape.width, 12, 0);
    assert_int_equal(p->forged.law, TW_LAW_STRAIGHT);
    assert_close(p->forged.band, 40, 0);
    assert_int_equal(p->hole_count, 4);
    assert_close(p->holes[0].at.value[1], 0, 0); /* in: 0 when not given */
    assert_int_equal(p->holes[1].kind, TW_SHAPE_RECTANGLE);
    assert_true(p->holes[1].across == 4 && p->holes[1].up == 3 && p->holes[1].at.value[1] == 5);
    assert_int_equal(p->holes[2].kind, TW_SHAPE_ELLIPSE);
    assert_int_equal(p->holes[3].kind, TW_SHAPE_POLYGON);
    assert_int_equal(p->holes[3].point_count, 4);
    tw_profile_free(p);
}

static void reads_outlines(void **state)
{
    tw_profile *p = read_ok(HEAD "form: {flat: {}}\n"
                                 "outline:\n"
                                 "  - {edge: lower, points: [[0, 0], [9, 0]], smooth: yes}\n"
                                 "  - {points: [[9, 0], [9, 9], [0, 0]], corner: 12 mm}\n",
                            NULL, 0);

    (void)state;
    assert_int_equal(p->form, TW_FORM_FLAT);
    assert_int_equal(p->outline.kind, TW_OUTLINE_EDGES);
    assert_int_equal(p->outline.edge_count, 2);
    assert_string_equal(p->outline.edges[0].name, "lower");
    assert_true(p->outline.edges[0].smooth && p->outline.edges[0].corner == 0);
    assert_string_equal(p->outline.edges[1].name, "edge 2");
    assert_false(p->outline.edges[1].smooth);
    assert_close(p->outline.edges[1].corner, 12, 0);
    assert_int_equal(p->outline.edges[1].point_count, 3);
    tw_profile_free(p);
    p = read_ok(FLAT, NULL, 0);
    assert_int_equal(p->outline.kind, TW_OUTLINE_SHAPE);
    assert_int_equal(p->outline.shape.kind, TW_SHAPE_ELLIPSE);
    assert_true(p->outline.shape.across == 80 && p->outline.shape.up == 90);
    assert_int_equal(p->face, TW_FACE_OUTSIDE);
    assert_int_equal(p->worn, TW_WORN_NOT_SAID);
    assert_true(!p->has_sheet && !p->has_forged && p->kind == NULL && p->note == NULL);
    tw_profile_free(p);
    p = read_ok(HEAD
                "form: {bowl: {across: 9 cm, depth: 4 cm}}\noutline: [{edge: a, along: rim}]\n",
                NULL, 0);
    assert_true(p->outline.edges[0].along_rim && p->outline.edges[0].points == NULL);
    tw_profile_free(p);
}

/* Paper of 80 g/m² that weighs 16.4 g covers 16.4/80 m² = 0.205 m². Source: derived. */
static void reads_plates_without_a_form(void **state)
{
    tw_profile *p = read_ok(
        "plate: t\nmaterial: mild steel\npaper: {weight: 16.4 g, sheet: 80 g/m2}\n", NULL, 0);

    (void)state;
    assert_close(p->area, 205000, 1e-6);
    assert_int_equal(p->form, TW_FORM_NONE);
    assert_int_equal(p->ruler, TW_RULER_NONE);
    tw_profile_free(p);
    p = read_ok(
        "plate: t\nmaterial: {name: bog iron, density: 7.6 g/cm3}\narea: 12 dm2\nscale: 1 kg\n",
        NULL, 0);
    assert_close(p->area, 120000, 1e-9);
    assert_close(p->scale, 1000, 0);
    assert_string_equal(p->material, "bog iron");
    assert_close(p->density, 7.6e-3, 1e-15);
    assert_close(p->density_uncertainty, 0, 0);
    tw_profile_free(p);
}

static void reads_flutes(void **state)
{
    static const char *const wrong[] = {
        "flutes: [{length: 250 mm, over: 290 mm, straight: 290 mm}]\n",
        "flutes: [{length: 250 mm, over: 312 mm}]\n",
        "flutes: [{length: 250, over: 312 mm, straight: 290 mm}]\n",
        "flutes: {length: 250 mm, over: 312 mm, straight: 290 mm}\n",
    };
    tw_profile *p =
        read_ok(FLAT "flutes: [{length: 250 mm, over: 312 mm, straight: 290 mm}]\n", NULL, 0);
    tw_notes errors;

    (void)state;
    assert_int_equal(p->flutes_count, 1);
    assert_true(p->flutes[0].length == 250 && p->flutes[0].over == 312);
    assert_true(p->flutes[0].straight == 290 && p->flutes[0].place.line == 6);
    tw_profile_free(p);
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        char text[512];
        snprintf(text, sizeof text, FLAT "%s", wrong[k]);
        read_bad(text, strlen(text), NULL, 0, &errors);
        assert_int_equal(errors.count, 1);
        assert_int_equal(errors.items[0].line, 6);
    }
}

static void reads_the_templates(void **state)
{
    size_t count;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    assert_int_equal(count, 8);
    for (size_t k = 0; k < count; k++) {
        tw_profile *p;
        if (templates[k].kind != TW_TEMPLATE_PLATE) /* test_harness_file.c, test_rules_file.c */
            continue;
        p = read_ok(templates[k].text, NULL, 0);
        if (strcmp(templates[k].form, "area") == 0) {
            assert_true(p->area > 0 && p->area_uncertainty > 0 && p->scale > 0);
            assert_true(p->scale_uncertainty > 0 && p->form == TW_FORM_NONE && !p->has_sheet);
            tw_profile_free(p);
            continue;
        }
        assert_non_null(strstr(templates[k].text, "nvented"));
        assert_true(templates[k].suits[0] != '\0');
        if (strcmp(templates[k].form, "readings") == 0) {
            assert_true(p->has_readings && p->readings.reading_count >= 6 &&
                        p->form == TW_FORM_BOWL);
            tw_profile_free(p);
            continue;
        }
        assert_true(p->has_sheet && p->has_forged && p->kind);
        assert_int_equal(p->form, strcmp(templates[k].form, "flat") == 0     ? TW_FORM_FLAT
                                  : strcmp(templates[k].form, "bowl") == 0   ? TW_FORM_BOWL
                                  : strcmp(templates[k].form, "points") == 0 ? TW_FORM_POINTS
                                                                             : TW_FORM_LOFT);
        tw_profile_free(p);
    }
}

static void reads_the_sample_profiles(void **state)
{
    static const char *const names[] = {"disc", "hemisphere", "cone", "rectangle"};

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        char path[512];
        tw_profile *p = NULL;
        snprintf(path, sizeof path, TW_SOURCE_DIR "/tests/profiles/%s.yaml", names[k]);
        assert_int_equal(tw_profile_read(path, NULL, 0, &p, NULL), TW_OK);
        assert_string_equal(p->file, path);
        assert_string_equal(p->plate, names[k]);
        tw_profile_free(p);
    }
}

/* Each row has its words, each path is there once, and each key is found in its group. */
static void the_schema_is_whole(void **state)
{
    static const tw_group tops[] = {TW_GROUP_TOP, TW_GROUP_HARNESS, TW_GROUP_RULES};
    size_t counts[3];
    const tw_key_info *const shown[] = {tw_profile_keys(&counts[0]), tw_harness_keys(&counts[1]),
                                        tw_rules_keys(&counts[2])};

    (void)state;
    for (size_t n = 0; n < 3; n++) {
        const tw_schema_table table = tw_schema_of(tops[n]);
        const tw_key *keys = table.keys;
        const tw_key_info *infos = table.infos;
        assert_true(shown[n] == infos && counts[n] == table.count && table.count >= 10);
        for (size_t k = 0; k < table.count; k++) {
            const size_t path = strlen(infos[k].path), name = strlen(keys[k].name);
            assert_true(infos[k].takes[0] != '\0' && infos[k].help[0] != '\0');
            assert_string_equal(infos[k].path + path - name, keys[k].name);
            assert_true(keys[k].required == infos[k].required && keys[k].read);
            assert_ptr_equal(tw_schema_find(keys[k].group, keys[k].name), &keys[k]);
            for (size_t j = 0; j < k; j++)
                assert_string_not_equal(infos[k].path, infos[j].path);
        }
    }
}

static void kinds_are_read(void **state)
{
    size_t count;
    const char *const *kinds = tw_profile_kinds(&count);

    (void)state;
    assert_true(count >= 20);
    for (size_t k = 0; k < count; k++) {
        char text[512];
        tw_profile *p;
        snprintf(text, sizeof text, FLAT "kind: %s\n", kinds[k]);
        p = read_ok(text, NULL, 0);
        assert_string_equal(p->kind, kinds[k]);
        tw_profile_free(p);
    }
}

/* Texts of many escapes, each a piece of its own, and folded ones. */
static void reads_escapes(void **state)
{
    tw_profile *p =
        read_ok(FLAT "note: \"x\\\"\\\"\\\"\\\"\\\"\\\"\\\"\\\"\\\"\\\"\\\"\\\" \\u00e9\\x41\"\n"
                     "date: 'a''b''''c''''''d''e''f''g''h''i''j''k''l'\n",
                NULL, 0);

    (void)state;
    assert_string_equal(p->note, "x\"\"\"\"\"\"\"\"\"\"\"\" \xC3\xA9"
                                 "A");
    assert_string_equal(p->date, "a'b''c'''d'e'f'g'h'i'j'k'l");
    tw_profile_free(p);
    p = read_ok(FLAT "note: a first line\n  and a second\n", NULL, 0);
    assert_string_equal(p->note, "a first line and a second");
    tw_profile_free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_a_loft_with_everything),
        cmocka_unit_test(reads_bowls),
        cmocka_unit_test(reads_every_point_and_shape),
        cmocka_unit_test(reads_outlines),
        cmocka_unit_test(reads_plates_without_a_form),
        cmocka_unit_test(reads_flutes),
        cmocka_unit_test(reads_the_templates),
        cmocka_unit_test(reads_the_sample_profiles),
        cmocka_unit_test(the_schema_is_whole),
        cmocka_unit_test(kinds_are_read),
        cmocka_unit_test(reads_escapes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
