/* --set path=value: the same checks as for what is written, and errors that name the setting. */
#include "read.h"

static const char plate[] =
    HEAD "form:\n"
         "  loft:\n"
         "    - {ruler: 0, width: 300, centre: 70, sides: 0}\n"
         "    - {ruler: 180, width: 360, centre: 115, sides: 0}\n"
         "thickness:\n"
         "  forged:\n"
         "    strike:\n"
         "      - {name: heart, at: [40, 230], radius: 60 mm, thickness: 2.6 mm}\n"
         "      - {at: [0, 100], radius: 60 mm, thickness: 2.6 mm}\n"
         "    edges: [{edge: all, thickness: 1.1 mm}]\n"
         "turned edges: [{edge: upper, roll: 8 mm}]\n";

static void replaces_values(void **state)
{
    static const tw_setting settings[] = {
        {"thickness.forged.edges.all.thickness", "1.3 mm"},
        {"thickness.forged.strike.heart.thickness", "2.9 mm"},
        {"thickness.forged.strike.strike 2.radius", "50 mm"},
        {"thickness.forged.strike.2.at.2", "120"},
        {"form.loft.2.centre", "118"},
        {"thickness.sheet", "16 swg"},
        {"turned edges.upper.wire", "3 mm"},
        {"holes", "[{at: [0, 10], radius: 2 mm}]"},
        {"holes.1.radius", "3 mm"},
        {"material", "{name: mild steel, density: 7800 kg/m3}"},
        {"plate", "second"},
    };
    tw_profile *p = read_ok(plate, settings, sizeof settings / sizeof *settings);

    (void)state;
    assert_close(p->forged.edges[0].thickness, 1.3, 1e-15);
    assert_close(p->forged.strikes[0].thickness, 2.9, 1e-15);
    assert_close(p->forged.strikes[1].shape.across, 50, 0);
    assert_close(p->forged.strikes[1].shape.at.value[1], 120, 0);
    assert_close(p->loft.stations[1].centre, 118, 0);
    assert_true(p->has_sheet && p->sheet.number == 16);
    assert_close(p->turned[0].wire, 3, 0);
    assert_int_equal(p->hole_count, 1);
    assert_close(p->holes[0].across, 3, 0);
    assert_close(p->density, 7.8e-3, 1e-15);
    assert_string_equal(p->plate, "second");
    tw_profile_free(p);
}

/* A later room that finds fault with a set value points at the setting. */
static void places_name_the_setting(void **state)
{
    static const tw_setting setting = {"thickness.sheet", "1.6 mm"};
    tw_profile *p = read_ok(plate, &setting, 1);
    tw_error err;

    (void)state;
    tw_fail(&err, TW_ERR_SHAPE, "folds");
    tw_profile_place(p, p->sheet_place, &err);
    assert_string_equal(err.file, "--set thickness.sheet=1.6 mm");
    assert_true(err.line == 0 && err.column == 0 && err.source[0] == '\0');
    tw_profile_free(p);
}

static void wrong_settings_are_told(void **state)
{
    static const struct {
        const char *path, *value;
        tw_status status;
        const char *message, *advice;
    } cases[] = {
        {"thicknes.sheet", "1 mm", TW_ERR_KEY, "unknown key \"thicknes\"", "\"thickness\""},
        {"thickness.shet", "1 mm", TW_ERR_KEY, "unknown key \"shet\" in thickness", "\"sheet\""},
        {"thickness.forged.strike.hart.radius", "1 mm", TW_ERR_KEY, "no item \"hart\"",
         "\"heart\""},
        {"form.loft.3.centre", "1", TW_ERR_KEY, "no item \"3\" in form.loft", "1 to 2"},
        {"form.loft.0.centre", "1", TW_ERR_KEY, "no item \"0\"", "1 to 2"},
        {"form.loft.2.center", "1", TW_ERR_KEY, "unknown key \"center\"", "\"centre\""},
        {"material.density", "7 g/cm3", TW_ERR_KEY, "material is \"mild steel\"", "material="},
        {"form.keel.width", "1 mm", TW_ERR_KEY, "no \"keel\"", "keel=…"},
        {"form..loft", "1", TW_ERR_KEY, "empty", "dots"},
        {"", "1", TW_ERR_KEY, "empty", "dots"},
        {"thickness.sheet", "1.6", TW_ERR_UNIT, "lacks its unit", "1.6 mm"},
        {"thickness.sheet", "", TW_ERR_INPUT, "no value", NULL},
        {"thickness.sheet", "[1 mm", TW_ERR_SYNTAX, "never closed", NULL},
        {"thickness.sheet", "&a 1 mm", TW_ERR_SYNTAX, "anchors", NULL},
        {"thickness.sheet", "\xFF", TW_ERR_INPUT, "no text", NULL},
        {"thickness.forged.edges.all.edge", "uper", TW_ERR_KEY, "no edge \"uper\"", "\"upper\""},
        {"material", "{name: mild steel, name: iron}", TW_ERR_KEY, "given twice", NULL},
        {"format", "9", TW_ERR_DOMAIN, "newer", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const tw_setting setting = {cases[k].path, cases[k].value};
        const tw_error *e;
        char file[256];
        tw_notes errors;
        read_bad(plate, strlen(plate), &setting, 1, &errors);
        e = &errors.items[0];
        snprintf(file, sizeof file, "--set %s=", cases[k].path);
        if (e->status != cases[k].status || !strstr(e->message, cases[k].message) ||
            (cases[k].advice && !strstr(e->advice, cases[k].advice)) ||
            strncmp(e->file, file, strlen(file)) != 0 || e->line != 0) {
            print_error("%s=%s gave %s:%d: %s; %s\n", cases[k].path, cases[k].value, e->file,
                        e->line, e->message, e->advice);
            fail();
        }
    }
}

/* Faults of the file come first, and the n-th setting is named by its own text. */
static void faults_of_file_and_settings_together(void **state)
{
    static const char text[] = FLAT "scale: 3\n";
    static const tw_setting settings[] = {{"note", "fine"}, {"thickness", "{sheet: 2}"}};
    tw_notes errors;

    (void)state;
    read_bad(text, strlen(text), settings, 2, &errors);
    assert_int_equal(errors.count, 2);
    assert_int_equal(errors.items[0].line, 6);
    assert_string_equal(errors.items[1].file, "--set thickness={sheet: 2}");
}

/* A path is looked up without the plate: what else is wrong with the profile, or with a value, is not told. */
static void paths_are_looked_up(void **state)
{
    static const char file[] = TW_SOURCE_DIR "/profiles/breastplate.yaml";
    static const tw_setting before[] = {{"thickness.sheet", "no thickness"},
                                        {"scale", "{reads: 1.6 kg, step: 1 g}"}};
    static const struct {
        const char *path;
        bool known, known_before;
        const char *advice;
    } cases[] = {
        {"thickness.sheet", true, true, ""},
        {"thickness.forged.strike.chest.thickness", true, true, ""},
        {"measured to", true, true, ""}, /* a key that may be written */
        {"scale.step", false, true, "set the whole of it"},
        {"thickness.sheeet", false, false, "did you mean \"sheet\"?"},
        {"thickness.forged.strike.chst.thickness", false, false, "did you mean \"chest\"?"},
        {"material.densty", false, false, "set the whole of it: material="},
        {"", false, false, "write keys joined by dots"},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        for (size_t count = 0; count <= 2; count += 2) {
            bool known = !cases[k].known;
            tw_error err = {0};
            assert_int_equal(tw_profile_knows(file, before, count, cases[k].path, &known, &err),
                             TW_OK);
            if (known != (count ? cases[k].known_before : cases[k].known))
                fail_msg("%s after %zu settings: %s", cases[k].path, count, err.message);
            assert_true(known || count || strstr(err.advice, cases[k].advice));
            assert_int_equal(tw_profile_knows(file, before, count, cases[k].path, &known, NULL),
                             TW_OK);
        }
    }
}

static void files_without_paths_say_why(void **state)
{
    static const char *const bad[] = {"/nonexistent/plate.yaml", TW_SOURCE_DIR "/README.md"};

    (void)state;
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        bool known = true;
        tw_error err = {0};
        const tw_status status = tw_profile_knows(bad[k], NULL, 0, "plate", &known, &err);
        assert_true(status != TW_OK && err.status == status && known);
        assert_string_equal(err.file, bad[k]);
        assert_int_equal(tw_profile_knows(bad[k], NULL, 0, "plate", &known, NULL), status);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(replaces_values),
        cmocka_unit_test(places_name_the_setting),
        cmocka_unit_test(wrong_settings_are_told),
        cmocka_unit_test(faults_of_file_and_settings_together),
        cmocka_unit_test(paths_are_looked_up),
        cmocka_unit_test(files_without_paths_say_why),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
