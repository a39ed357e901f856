/* Harness files that are right: every key, what is assumed, joined files, templates, settings. */
#include "harness.h"

static const char disc[] = FLAT
    "kind: besagew\nthickness: {sheet: 1.6 mm, forged: {edges: [{edge: rim, thickness: 1 mm}]}}\n";
static const char lame[] =
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 80 mm, up: 20 mm}}\n"
         "thickness: {sheet: 1.2 mm}\n";
static const char wrapped[] =
    "plate: strip\nmaterial: mild steel\narea: 2 dm2\nscale: {reads: 210 g, step: 1 g}\n";

static const char whole[] =
    "format: 1\n"
    "harness: foot cuirass\n"
    "ruler: cm\n"
    "note: n\n"
    "date: today\n"
    "scales:\n"
    "  - {name: parcel, step: 5 g, most: 30 kg, check: {true: 5 kg, reads: 5.025 kg, uncertainty: "
    "1 g}}\n"
    "  - {name: kitchen, step: 1 g, most: 5 kg, least: 20 g}\n"
    "  - {name: floor, step: 50 g}\n"
    "fittings:\n"
    "  - {fitting: side buckle, each: 21 g, uncertainty: 1 g, what: metal, source: ten weighed}\n"
    "  - {fitting: belt 30 mm, per metre: 95 g}\n"
    "  - {fitting: quilted lining, per square metre: 900 g}\n"
    "parts:\n"
    "  - name: upper breast\n"
    "    kind: breastplate\n"
    "    plate: {file: disc.yaml, map: forged, at: [0, 30, 8], turn: 180 deg, tilt: 8 deg, lean: 1 "
    "deg,"
    " overlap: {edge: rim, by: 60 mm}}\n"
    "    weighed: {reads: [1610 g, 1615 g], on: parcel}\n"
    "    fittings:\n"
    "      - {fitting: Rivet 5mm, count: 6}\n"
    "      - {fitting: belt 30 mm, length: 400 mm, count: 2}\n"
    "      - {fitting: quilted lining, area: 12 dm2}\n"
    "      - {fitting: hook, each: 30 g, count: 2}\n"
    "      - {fitting: buckle small, what: strap}\n"
    "  - name: fauld\n"
    "    kind: fauld\n"
    "    plates: [{file: lame.yaml, count: 3, overlap: {edge: upper, by: 22 mm}}, lame.yaml, "
    "strip.yaml]\n"
    "    weighed: {with: [78.20 kg, 78.25 kg], without: 77.05 kg, on: floor}\n"
    "  - name: besagew\n"
    "    mirror: yes\n"
    "    plate: disc.yaml\n"
    "    weighed pair: {reads: 1030 g, on: Kitchen, tare: 12 g}\n"
    "    weighed right: {reads: 515 g, on: kitchen, tare: exact}\n"
    "  - name: gorget\n"
    "    kind: gorget\n"
    "    weighed: {reads: 702 g, step: 2 g}\n"
    "    balance: [0, 48, 2]\n"
    "    height: 120 mm\n"
    "    width: 300 mm\n"
    "  - {name: helm, kind: helmet}\n"
    "weighed together:\n"
    "  - {parts: [besagew, helm], reads: [2.105 kg, 2.110 kg], step: 2 g}\n"
    "sets:\n"
    "  body: [Upper Breast, fauld]\n"
    "  with arms: [body, besagew left, helmet]\n";

static tw_harness_file *read_folder(folder *in, const char *text)
{
    tw_harness_file *file = NULL;
    tw_notes errors;
    const char *path;

    folder_add(in, "disc.yaml", disc);
    folder_add(in, "lame.yaml", lame);
    folder_add(in, "strip.yaml", wrapped);
    path = folder_add(in, "harness.yaml", text);
    if (tw_harness_file_read(path, NULL, 0, &file, &errors) != TW_OK) {
        tell(&errors.items[0]);
        fail();
    }
    assert_string_equal(file->file, path);
    return file;
}

static void reads_every_key(void **state)
{
    folder in = folder_begin();
    tw_harness_file *file = read_folder(&in, whole);
    const tw_scale_spec *scale = file->scales;
    const tw_part_spec *part = file->parts;
    const tw_fitting_spec *fitting = part->fittings;
    const tw_piece_spec *piece = part->pieces;

    (void)state;
    assert_string_equal(file->harness, "foot cuirass");
    assert_true(strcmp(file->note, "n") == 0 && strcmp(file->date, "today") == 0);
    assert_true(file->part_count == 5 && file->together_count == 2 && file->set_count == 2);
    assert_int_equal(file->scale_count, 4);
    assert_true(scale[0].check_true == 5000 && scale[0].check_reads == 5025);
    assert_true(scale[0].check_uncertainty == 1 && scale[0].most == 30000 && scale[0].step == 5);
    assert_true(scale[1].least == 20 && scale[3].step == 2);
    assert_string_equal(scale[3].name, "scale of step 2 g");

    assert_true(piece->map_given && piece->map == 1 && piece->count == 1 && piece->placed);
    assert_true(piece->at[1] == 300 && piece->at[2] == 80); /* cm */
    assert_close(piece->turn, TW_PI, 1e-12);
    assert_close(piece->tilt, 8 * TW_PI / 180, 1e-12);
    assert_close(piece->lean, TW_PI / 180, 1e-12);
    assert_true(piece->overlap == 60 && strcmp(piece->overlap_edge, "rim") == 0);
    assert_true(part->weighed && part->weighing.read_count == 2 && part->weighing.scale == 0);
    assert_true(part->weighing.reads[1] == 1615 && part->weighing.alone_count == 0);
    assert_true(part->document == file->document && !part->mirror);

    assert_int_equal(part->fitting_count, 5);
    assert_string_equal(fitting[0].fitting.name, "rivet 5 mm");
    assert_true(fitting[0].amount == 6 && fitting[0].fitting.per == TW_PER_PIECE);
    assert_true(fitting[1].amount == 800 && fitting[1].fitting.what == TW_FITTING_STRAP);
    assert_close(fitting[1].fitting.mass * fitting[1].amount, 95 * 0.8, 1e-12);
    assert_close(fitting[1].fitting.uncertainty, 0.05 * 0.095, 1e-15);
    assert_true(fitting[2].fitting.what == TW_FITTING_LINING);
    assert_close(fitting[2].fitting.mass * fitting[2].amount, 900 * 0.12, 1e-9);
    assert_true(fitting[3].fitting.mass == 30 && fitting[3].amount == 2);
    assert_true(fitting[4].fitting.what == TW_FITTING_STRAP && fitting[4].amount == 1);

    part++;
    assert_int_equal(part->piece_count, 3);
    assert_true(part->pieces[0].count == 3 && part->pieces[1].count == 1 &&
                !part->pieces[1].placed);
    assert_ptr_equal(part->pieces[0].profile, part->pieces[1].profile);
    assert_true(part->pieces[2].profile->scale == 210 && !part->pieces[2].map_given);
    assert_true(part->weighing.read_count == 2 && part->weighing.alone_count == 1);
    assert_true(part->weighing.alone[0] == 77050);

    part++;
    assert_true(part->mirror && !part->weighed && part->weighed_right);
    assert_string_equal(part->kind, "besagew"); /* the plate's */
    assert_ptr_equal(part->pieces[0].profile, file->parts[0].pieces[0].profile);
    assert_true(part->weighing_right.tare_exact && part->weighing_right.tare == 0);
    assert_true(file->together[0].tare == 12 && file->together[0].part_count == 2);
    assert_string_equal(file->together[0].parts[0], "besagew left");
    assert_string_equal(file->together[0].parts[1], "besagew right");

    part++;
    assert_true(part->placed && part->balance[1] == 480 && part->height == 120);
    assert_true(part->width == 300 && part->piece_count == 0 && part->weighing.scale == 3);
    assert_true(!part[1].weighed && part[1].piece_count == 0);
    assert_true(file->together[1].part_count == 3 && file->together[1].scale == 3);
    assert_string_equal(file->together[1].parts[2], "helm");

    assert_string_equal(file->sets[0].members[0], "upper breast"); /* as the part spells it */
    assert_string_equal(file->sets[1].members[1], "besagew left");
    assert_string_equal(file->sets[1].members[2], "helmet");
    assert_int_equal(file->profile_count, 3);
    tw_harness_file_free(file);
    folder_end(&in);
}

/* Scales are needed only where something was weighed; one alone needs no name. */
static void the_only_scale_needs_no_name(void **state)
{
    tw_harness_file *file = harness_ok(
        "harness: t\nscales: [{step: 2 g}]\nparts: [{name: a, kind: lame, weighed: 2 kg},"
        " {name: b, kind: lame}]\n",
        NULL, 0);

    (void)state;
    assert_string_equal(file->scales[0].name, "scale");
    assert_true(file->parts[0].weighed && file->parts[0].weighing.scale == 0);
    tw_harness_file_free(file);
    file =
        harness_ok("harness: t\nparts: [{name: a, kind: lame, weighed: {reads: 2 kg, step: 1 g}},"
                   " {name: b, kind: lame, weighed: {reads: 2 kg, step: 0.001 kg}},"
                   " {name: c, kind: lame, weighed: {reads: 2 kg, step: 5 g}}]\n",
                   NULL, 0);
    assert_int_equal(file->scale_count, 2);
    assert_true(file->parts[0].weighing.scale == 0 && file->parts[1].weighing.scale == 0);
    assert_true(file->parts[2].weighing.scale == 1);
    tw_harness_file_free(file);
}

static void included_files_join(void **state)
{
    static const char scales[] = "scales: [{name: kitchen, step: 1 g}]\n"
                                 "fittings: [{fitting: side buckle, each: 20 g}]\n";
    static const char arms[] = "harness: arms\ninclude: [scales.yaml]\n"
                               "parts: [{name: vambrace, kind: vambrace, weighed: 400 g,"
                               " fittings: [{fitting: side buckle}]}]\n"
                               "sets: {forearm: [vambrace]}\n";
    static const char legs[] = "include: scales.yaml\n"
                               "parts: [{name: greave, kind: greave, mirror: yes,"
                               " weighed left: {reads: 700 g, on: kitchen}}]\n";
    static const char main_file[] = "harness: all\ninclude: [arms.yaml, legs.yaml, ./arms.yaml]\n"
                                    "parts: [{name: gorget, kind: gorget, weighed: 600 g}]\n"
                                    "sets: {most: [forearm, greave]}\n";
    folder in = folder_begin();
    tw_harness_file *file = NULL;
    tw_notes errors;
    const char *path;

    (void)state;
    folder_add(&in, "scales.yaml", scales);
    folder_add(&in, "arms.yaml", arms);
    folder_add(&in, "legs.yaml", legs);
    path = folder_add(&in, "all.yaml", main_file);
    if (tw_harness_file_read(path, NULL, 0, &file, &errors) != TW_OK) {
        tell(&errors.items[0]);
        fail();
    }
    assert_string_equal(file->harness, "all");
    assert_int_equal(file->part_count, 3);
    assert_string_equal(file->parts[0].name, "vambrace");
    assert_non_null(strstr(file->parts[0].file, "/arms.yaml"));
    assert_string_equal(file->parts[0].document->file, file->parts[0].file);
    assert_string_equal(file->parts[1].name, "greave");
    assert_string_equal(file->parts[2].name, "gorget");
    assert_ptr_equal(file->parts[2].file, file->document->file);
    assert_int_equal(file->scale_count, 1);
    assert_true(file->parts[0].fittings[0].fitting.mass == 20);
    assert_true(file->set_count == 2 && strcmp(file->sets[0].name, "forearm") == 0);
    tw_harness_file_free(file);
    folder_end(&in);
}

/* Two files as deep as allowed, then one deeper. */
static void files_within_files_have_a_depth(void **state)
{
    folder in = folder_begin();
    tw_harness_file *file = NULL;
    tw_notes errors;

    (void)state;
    for (int k = 1; k <= TW_INCLUDE_MAX + 1; k++) {
        char name[32], text[200];
        snprintf(name, sizeof name, "%d.yaml", k);
        snprintf(text, sizeof text, "harness: t\nparts: [{name: p%d, kind: lame}]\n", k);
        if (k > 1)
            snprintf(text + strlen(text), sizeof text - strlen(text), "include: [%d.yaml]\n",
                     k - 1);
        folder_add(&in, name, text);
    }
    assert_int_equal(tw_harness_file_read(in.names[TW_INCLUDE_MAX], NULL, 0, &file, &errors),
                     TW_OK);
    assert_int_equal(file->part_count, TW_INCLUDE_MAX + 1);
    assert_string_equal(file->parts[0].name, "p1");
    tw_harness_file_free(file);
    folder_add(&in, "top.yaml", "harness: t\ninclude: [9.yaml]\n");
    assert_int_equal(tw_harness_file_read(in.names[in.count - 1], NULL, 0, &file, &errors),
                     TW_ERR_LIMIT);
    assert_non_null(strstr(errors.items[0].file, "/2.yaml"));
    assert_int_equal(errors.items[0].line, 3);
    folder_end(&in);
}

static void templates_are_read(void **state)
{
    size_t count, found = 0;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t k = 0; k < count; k++)
        if (templates[k].kind == TW_TEMPLATE_HARNESS) {
            tw_harness_file *file = harness_ok(templates[k].text, NULL, 0);
            assert_true(file->part_count >= 4 && file->set_count >= 2 && file->scale_count >= 2);
            assert_true(file->together_count == 1 && file->profile_count == 0);
            assert_non_null(strstr(templates[k].text, "nvented"));
            tw_harness_file_free(file);
            found++;
        }
    assert_int_equal(found, 1);
}

static void settings_replace_values(void **state)
{
    static const tw_setting settings[] = {
        {"parts.fauld.weighed", "950 g"},
        {"parts.tasset.weighed left", "{reads: 500 g}"},
        {"parts.1.name", "skirt"},
        {"scales.kitchen.step", "2 g"},
        {"parts.skirt.fittings", "[{fitting: hook}]"},
        {"parts.skirt.fittings.hook.count", "3"},
        {"harness", "second"},
    };
    tw_harness_file *file = harness_ok(TWO, settings, sizeof settings / sizeof *settings);
    tw_error err;

    (void)state;
    assert_string_equal(file->harness, "second");
    assert_string_equal(file->parts[0].name, "skirt");
    assert_true(file->parts[0].weighing.reads[0] == 950 && file->scales[0].step == 2);
    assert_true(file->parts[0].fittings[0].amount == 3 && file->parts[1].weighed);
    tw_fail(&err, TW_ERR_DOMAIN, "said by a later room");
    tw_profile_place(file->document, file->parts[0].weighing.place, &err);
    assert_string_equal(err.file, "--set parts.fauld.weighed=950 g");
    tw_profile_place(file->document, file->parts[1].place, &err);
    assert_true(strcmp(err.file, "t.yaml") == 0 && err.line == 5);
    tw_harness_file_free(file);
    tw_harness_file_free(NULL);
}

/* As many parts as allowed are told apart by name in settings too. */
static void the_last_of_many_parts_is_found(void **state)
{
    static const tw_setting setting = {"parts.p499.weighed", "5 g"};
    static char text[40000];
    size_t used = (size_t)snprintf(text, sizeof text, PARTS);
    tw_harness_file *file;
    tw_notes errors;

    (void)state;
    for (int k = 0; k < TW_PARTS_MAX; k++)
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "  - {name: p%d, kind: lame}\n", k);
    file = harness_ok(text, &setting, 1);
    assert_true(file->part_count == TW_PARTS_MAX && file->parts[499].weighed);
    tw_harness_file_free(file);
    snprintf(text + used, sizeof text - used, "  - {name: p500, kind: lame}\n");
    assert_int_equal(harness_bad(text, NULL, 0, &errors), TW_ERR_LIMIT);
    assert_int_equal(errors.items[0].line, 504);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_every_key),
        cmocka_unit_test(the_only_scale_needs_no_name),
        cmocka_unit_test(included_files_join),
        cmocka_unit_test(files_within_files_have_a_depth),
        cmocka_unit_test(templates_are_read),
        cmocka_unit_test(settings_replace_values),
        cmocka_unit_test(the_last_of_many_parts_is_found),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
