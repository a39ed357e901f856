/* Let the n-th allocation fail until reading succeeds. */
#include "failing_arena.h"
#include "harness.h"

#include "allocation.h"

#include "taperwright/files.h"

#include <unistd.h>

static void every_failed_request_is_told(void **state)
{
    static const tw_setting settings[] = {{"thickness.forged.strike.heart.thickness", "2.4 mm"},
                                          {"note", "changed"}};
    size_t count;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t k = 0; k < count; k++) {
        const size_t size = strlen(templates[k].text);
        const size_t given = strcmp(templates[k].form, "loft") == 0 ? 2 : 0;
        tw_profile *profile = NULL;
        tw_status status = TW_ERR_MEMORY;
        long tries = 0;
        for (; templates[k].kind == TW_TEMPLATE_PLATE && status != TW_OK; tries++) {
            tw_notes errors;
            test_allow(tries);
            status = tw_profile_read_memory("t.yaml", templates[k].text, size, settings, given,
                                            &profile, &errors);
            test_allow(-1);
            if (status != TW_OK) {
                assert_int_equal(status, TW_ERR_MEMORY);
                assert_null(profile);
                assert_true(errors.count > 0);
            }
        }
        if (templates[k].kind != TW_TEMPLATE_PLATE)
            continue;
        print_message("%s: %ld requests\n", templates[k].form, tries - 1);
        assert_true(tries > 20);
        tw_profile_free(profile);
    }
}

/* The same with a table of readings beside the profile. */
static void every_failed_request_of_a_table_is_told(void **state)
{
    static const char path[] = TW_SOURCE_DIR "/profiles/curators-breast.yaml";
    tw_profile *profile = NULL;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        test_allow(tries);
        status = tw_profile_read(path, NULL, 0, &profile, &errors);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_true(!profile && errors.count > 0);
        }
    }
    assert_true(tries > 100 && profile->readings.reading_count == 14);
    tw_profile_free(profile);
}

/* And of a path that is only looked up. */
static void every_failed_request_of_a_path_is_told(void **state)
{
    static const char file[] = TW_SOURCE_DIR "/profiles/knee.yaml";
    static const tw_setting setting = {"note", "changed"};
    bool known = false;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_error err = {0};
        test_allow(tries);
        status = tw_profile_knows(file, &setting, 1, "thickness.sheet", &known, &err);
        test_allow(-1);
        if (status != TW_OK)
            assert_true(status == TW_ERR_MEMORY && err.status == status && !known);
    }
    assert_true(tries > 10 && known);
}

/* What a plan keeps, mirrored. */
static void every_failed_request_of_a_plan_is_told(void **state)
{
    static const char text[] =
        FLAT "symmetric: yes\nthickness: {forged: {strike: [{name: a, at: [40, 0], radius: 9 mm, "
             "thickness: 2 mm}]}}\nplan: {grade: 1 in 60, zones: [{zone: a, least: 2 mm}], edges: "
             "[{edge: rim, least: 1 mm}]}\n";
    tw_profile *profile = NULL;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        test_allow(tries);
        status = tw_profile_read_memory("t.yaml", text, strlen(text), NULL, 0, &profile, &errors);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_true(!profile && errors.count > 0);
        }
    }
    assert_true(tries > 40 && profile->plan.keep_count == 3);
    tw_profile_free(profile);
}

/* A harness that includes another, with plates, fittings, weighings and sets. */
static void every_failed_request_of_a_harness_is_told(void **state)
{
    static const tw_setting setting = {"parts.breast.weighed", "{reads: 2300 g, step: 1 g}"};
    folder in = folder_begin();
    tw_harness_file *file = NULL;
    tw_status status = TW_ERR_MEMORY;
    const char *path;
    long tries = 0;

    (void)state;
    folder_add(&in, "disc.yaml", FLAT "thickness: {sheet: 1.6 mm}\n");
    folder_add(&in, "arms.yaml",
               "scales: [{name: kitchen, step: 1 g}]\n"
               "fittings: [{fitting: f, each: 2 g}]\n"
               "parts: [{name: couter, kind: couter, mirror: yes, plate: disc.yaml,"
               " weighed pair: {reads: 900 g, on: kitchen}}]\n");
    path = folder_add(&in, "all.yaml",
                      "harness: all\ninclude: [arms.yaml]\n"
                      "parts: [{name: breast, kind: breastplate, plates: [disc.yaml, {file: "
                      "disc.yaml, overlap: {edge: rim, by: 3 mm}}],"
                      " fittings: [{fitting: f}, {fitting: hook, each: 3 g}]}]\n"
                      "weighed together: [{parts: [breast, couter], reads: 3 kg}]\n"
                      "sets: {both: [breast, couter]}\n");
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        test_allow(tries);
        status = tw_harness_file_read(path, &setting, 1, &file, &errors);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_true(!file && errors.count > 0);
        }
    }
    print_message("harness: %ld requests\n", tries - 1);
    assert_true(tries > 200 && file->part_count == 2 && file->together_count == 2);
    assert_true(file->profile_count == 1 && file->set_count == 1);
    tw_harness_file_free(file);
    folder_end(&in);
}

static void every_failed_request_of_rules_is_told(void **state)
{
    static const char text[] = "rules: r\nlimits: [{least: 1 mm}, {least: 1 mm, where: zone a,"
                               " kinds: [lame]}]\n";
    tw_rules_file *file = NULL;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        test_allow(tries);
        status = tw_rules_file_read_memory("r", text, strlen(text), NULL, 0, &file, &errors);
        test_allow(-1);
        assert_true(status == TW_OK || status == TW_ERR_MEMORY);
    }
    assert_true(tries > 20 && file->count == 2);
    tw_rules_file_free(file);
}

/* Errors found before memory runs out must not hide it, nor the other way round: any status but
 * success is right, and nothing is read through a missing block. */
static void faults_and_failures_together(void **state)
{
    static const char text[] =
        FORGED "    strike: [{name: a, at: [0, 0], radius: 5 mm, thickness: 1 mm},"
               " {name: a, at: {edge: rum, along: 1}, radius: 5 mm, thickness: 1 mm}, {line: 3}]\n"
               "    edges: [{edge: rin, thickness: 1 mm}, {edgy: 3}]\n";

    (void)state;
    for (allowed = 0; allowed < 400; allowed++) {
        const long start = allowed;
        tw_notes errors;
        assert_int_not_equal(read_bad(text, strlen(text), NULL, 0, &errors), TW_OK);
        allowed = start;
    }
    for (allowed = 0; allowed < 400; allowed++) {
        const long start = allowed;
        tw_notes errors;
        harness_bad(TWO "  - {name: fauld, fittings: [{fitting: x}, {each: 3}], weighed: {on: k}}\n"
                        "weighed together: [{parts: [a, fauld]}]\nsets: {fauld: [x, y]}\n",
                    NULL, 0, &errors);
        allowed = start;
    }
}

/* A form and a map by the same picture of 12 by 12 levels. */
static void every_failed_request_of_a_picture_is_told(void **state)
{
    static const char text[] =
        "plate: t\nmaterial: mild steel\nform: {heights: {file: p.png, mm per pixel: 2 mm, mm per "
        "level: 0.01 mm}}\nthickness: {image: {file: p.png, mm per pixel: 2 mm, mm per level: 0.01 "
        "mm, left: -12 mm, top: 24 mm}}\n";
    uint16_t levels[144];
    const tw_grey grey = {12, 12, levels, 0, NULL};
    char path[] = "/tmp/tw_memory_XXXXXX", name[64], beside[64];
    tw_output *output = NULL;
    tw_profile *profile = NULL;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    allowed = -1;
    for (size_t k = 0; k < 144; k++)
        levels[k] = (uint16_t)(150 + k % 7);
    assert_non_null(mkdtemp(path));
    snprintf(name, sizeof name, "%s/p.png", path);
    snprintf(beside, sizeof beside, "%s/t.yaml", path);
    assert_int_equal(tw_output_begin(name, &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        allowed = tries;
        status = tw_profile_read_memory(beside, text, strlen(text), NULL, 0, &profile, &errors);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_true(!profile && errors.count > 0);
        }
    }
    assert_true(tries > 40 && profile->has_image && profile->form == TW_FORM_POINTS);
    tw_profile_free(profile);
    allowed = -1;
    unlink(name);
    rmdir(path);
}

/* A table of the work, with instruments of the profile's own and a common caliper; other requests than an arena's
 * too. */
static void every_failed_request_of_work_readings_is_told(void **state)
{
    static const char table[] = "name,across [mm],up [mm],thickness [mm]\n1,0,0,1.8\nb,10,5,1.7\n"
                                "c,20,5,\n";
    static const char *const profiles[] = {
        FLAT "thickness: {sheet: 2 mm}\n",
        FLAT "thickness: {sheet: 2 mm, readings: {instruments: [{kind: micrometer, resolution: "
             "0.01 mm}], points: [{at: [0, 0], thickness: 2 mm}]}}\n"};
    folder in = folder_begin();
    const char *path = folder_add(&in, "work.csv", table);

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        tw_profile *profile = NULL;
        tw_work_readings made = {.unread = 7};
        tw_status status = TW_ERR_MEMORY;
        long tries = 0;
        allowed = -1;
        assert_int_equal(tw_profile_read_memory("t.yaml", profiles[k], strlen(profiles[k]), NULL, 0,
                                                &profile, NULL),
                         TW_OK);
        for (; status != TW_OK; tries++) {
            tw_notes errors;
            test_allow(tries); /* the arena asks malloc() */
            status = tw_work_readings_read(profile, path, &made, &errors);
            test_allow(-1);
            if (status != TW_OK) {
                assert_int_equal(status, TW_ERR_MEMORY);
                assert_true(errors.count > 0 && made.unread == 7);
            }
        }
        assert_true(tries > 10 && made.spec.reading_count == 2 && made.unread == 1);
        assert_int_equal(made.assumed, k == 0);
        tw_work_readings_release(&made);
        tw_profile_free(profile);
    }
    folder_end(&in);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failed_request_is_told),
        cmocka_unit_test(every_failed_request_of_a_table_is_told),
        cmocka_unit_test(every_failed_request_of_a_path_is_told),
        cmocka_unit_test(every_failed_request_of_a_plan_is_told),
        cmocka_unit_test(every_failed_request_of_a_picture_is_told),
        cmocka_unit_test(every_failed_request_of_a_harness_is_told),
        cmocka_unit_test(every_failed_request_of_work_readings_is_told),
        cmocka_unit_test(every_failed_request_of_rules_is_told),
        cmocka_unit_test(faults_and_failures_together),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
