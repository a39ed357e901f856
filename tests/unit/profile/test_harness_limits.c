/* Harness files that lead elsewhere or are hostile: circles, missing and faulty plates, any bytes. */
#include "harness.h"

static const char disc[] = FLAT "thickness: {sheet: 1.6 mm}\n";
static const char bare[] = FLAT;
static const char faulty[] = FLAT "thickness: {sheet: 1.6}\n";
static const char wrapped[] = "plate: strip\nmaterial: mild steel\nkind: lame\narea: 2 dm2\n";

static tw_status read_folder(folder *in, const char *text, tw_notes *errors)
{
    tw_harness_file *file = NULL;
    const tw_status status =
        tw_harness_file_read(folder_add(in, "harness.yaml", text), NULL, 0, &file, errors);

    assert_true((status == TW_OK) == (file != NULL));
    tw_harness_file_free(file);
    return status;
}

static void circles_are_named(void **state)
{
    static const char *const harness[] = {
        "harness: t\ninclude: [harness.yaml]\nparts: [{name: a, kind: lame}]\n",
        "harness: t\nparts: [{name: a, kind: lame}]\ninclude: [b.yaml]\n"};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        folder in = folder_begin();
        char from[300], to[300], text[300];
        tw_notes errors;
        if (k == 1) { /* by way of the folder's own name: another path to the same file */
            snprintf(text, sizeof text, "include: [..%s/c.yaml]\n", strrchr(in.path, '/'));
            folder_add(&in, "b.yaml", text);
            folder_add(&in, "c.yaml", "include: [./harness.yaml]\n");
        }
        assert_int_equal(read_folder(&in, harness[k], &errors), TW_ERR_KEY);
        assert_int_equal(errors.count, 1);
        snprintf(from, sizeof from, "itself: %s/harness.yaml > ", in.path);
        snprintf(to, sizeof to, "> %s/harness.yaml", in.path);
        assert_non_null(strstr(errors.items[0].message, "includes itself"));
        assert_non_null(strstr(errors.items[0].message, from));
        if (k == 0) {
            assert_non_null(strstr(errors.items[0].message, to));
            assert_true(errors.items[0].line == 2 && errors.items[0].column == 11);
        } else {
            assert_non_null(strstr(errors.items[0].message, "b.yaml > "));
            assert_non_null(strstr(errors.items[0].file, "/c.yaml"));
            assert_int_equal(errors.items[0].line, 1);
        }
        folder_end(&in);
    }
}

static void errors_of_other_files_name_them(void **state)
{
    static const struct {
        const char *text;
        int line, column;
        tw_status status;
        const char *file, *message, *advice;
    } cases[] = {
        {"parts: [{name: a, kind: lame, plate: none.yaml}]\n", 2, 38, TW_ERR_INPUT, "/harness.yaml",
         "/none.yaml\": ", "relative"},
        {"include: [none.yaml]\nparts: [{name: a, kind: lame}]\n", 2, 11, TW_ERR_INPUT,
         "/harness.yaml", "/none.yaml\": ", "relative"},
        {"parts: [{name: a, kind: lame, plate: .}]\n", 2, 38, TW_ERR_INPUT, "/harness.yaml",
         "folder", NULL},
        {"parts: [{name: a, kind: lame, plate: faulty.yaml},"
         " {name: b, kind: lame, plates: [faulty.yaml, ./faulty.yaml]}]\n",
         6, 20, TW_ERR_UNIT, "/faulty.yaml", "lacks its unit", NULL},
        {"parts: [{name: a, plate: faulty.yaml}]\n", 6, 20, TW_ERR_UNIT, "/faulty.yaml",
         "lacks its unit", NULL},
        {"parts: [{name: a, kind: lame, plate: harness.yaml}]\n", 1, 1, TW_ERR_INPUT,
         "/harness.yaml", "this is a harness file", NULL},
        {"include: [strip.yaml]\nparts: [{name: a, kind: lame}]\n", 1, 1, TW_ERR_INPUT,
         "/strip.yaml", "this is a plate's profile", NULL},
        {"include: [scale.yaml]\nparts: [{name: a, kind: lame}]\n", 1, 26, TW_ERR_UNIT,
         "/scale.yaml", "step", NULL},
        {"parts: [{name: a, kind: lame, plate: bare.yaml}]\n", 2, 38, TW_ERR_INPUT, "/harness.yaml",
         "gives no thickness", "sheet"},
        {"parts: [{name: a, kind: lame, plate: {file: disc.yaml, map: forged}}]\n", 2, 61,
         TW_ERR_INPUT, "/harness.yaml", "has no forged map", "sheet"},
        {"parts: [{name: a, plate: {file: strip.yaml, map: sheet}}]\n", 2, 50, TW_ERR_INPUT,
         "/harness.yaml", "has no sheet map", "leave map out"},
        {"parts: [{name: a, kind: lame, plate: {file: disc.yaml, overlap: {edge: rin, by: 3 "
         "mm}}}]\n",
         2, 72, TW_ERR_KEY, "/harness.yaml", "has no edge \"rin\"", "\"rim\""},
        {"parts: [{name: a, plate: {file: strip.yaml, overlap: {edge: rim, by: 3 mm}}}]\n", 2, 54,
         TW_ERR_INPUT, "/harness.yaml", "no edges that overlap", NULL},
        {"parts: [{name: a, kind: lame, plate: {file: disc.yaml, count: 0}}]\n", 2, 63,
         TW_ERR_DOMAIN, "/harness.yaml", "out of range", NULL},
        {"parts: [{name: a, kind: lame, plate: {file: disc.yaml, turn: 90 deg}}]\n", 2, 62,
         TW_ERR_KEY, "/harness.yaml", "has no place", "at: [x, y, z]"},
        {"parts: [{name: a, kind: lame, plate: disc.yaml, plates: [disc.yaml]}]\n", 2, 57,
         TW_ERR_KEY, "/harness.yaml", "not both", NULL},
        {"parts: [{name: a, plate: disc.yaml}]\n", 2, 9, TW_ERR_KEY, "/harness.yaml",
         "its plate has none either", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        folder in = folder_begin();
        char text[400];
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        folder_add(&in, "disc.yaml", disc);
        folder_add(&in, "bare.yaml", bare);
        folder_add(&in, "faulty.yaml", faulty);
        folder_add(&in, "strip.yaml", wrapped);
        folder_add(&in, "scale.yaml", "scales: [{name: k, step: 1}]\n");
        snprintf(text, sizeof text, "harness: t\n%s", cases[k].text);
        if (read_folder(&in, text, &errors) != cases[k].status || errors.count != 1 ||
            e->line != cases[k].line || e->column != cases[k].column ||
            !strstr(e->file, cases[k].file) || !strstr(e->message, cases[k].message) ||
            (cases[k].advice && !strstr(e->advice, cases[k].advice))) {
            print_error("%zu errors, case %zu\n", errors.count, k);
            tell(e);
            fail();
        }
        folder_end(&in);
    }
}

/* The same name in two files tells where the first is. */
static void clashes_between_files(void **state)
{
    folder in = folder_begin();
    tw_notes errors;

    (void)state;
    folder_add(&in, "b.yaml",
               "scales: [{name: k, step: 1 g}]\nparts: [{name: a, kind: lame}]\n"
               "sets: {s: [a]}\nfittings: [{fitting: f, each: 1 g}]\n");
    read_folder(&in,
                "harness: t\ninclude: [b.yaml]\nscales: [{name: K, step: 1 g}]\n"
                "parts: [{name: A, kind: lame}]\nsets: {S: [a]}\n"
                "fittings: [{fitting: F, each: 1 g}]\n",
                &errors);
    assert_int_equal(errors.count, 4);
    for (size_t k = 0; k < 4; k++) {
        static const int lines[] = {1, 2, 3, 4};
        char where[32];
        snprintf(where, sizeof where, "/b.yaml:%d", lines[k]);
        assert_int_equal(errors.items[k].line, 3 + (int)k);
        assert_non_null(strstr(errors.items[k].message, where));
    }
    folder_end(&in);
}

/* One fault in each sample named after it. */
static void faulty_samples_have_one_fault(void **state)
{
    static const struct {
        const char *name;
        int line, column;
    } cases[] = {{"harness-same-part", 6, 12},       {"harness-unknown-scale", 6, 34},
                 {"harness-missing-plate", 5, 12},   {"harness-tare", 6, 36},
                 {"harness-pair-weighed", 7, 14},    {"harness-held", 5, 22},
                 {"harness-set-itself", 5, 17},      {"harness-includes-itself", 3, 11},
                 {"harness-unknown-fitting", 6, 27}, {"harness-together-one", 5, 28}};

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char path[600];
        tw_harness_file *file = NULL;
        tw_notes errors;
        snprintf(path, sizeof path, TW_SOURCE_DIR "/tests/profiles/%s.yaml", cases[k].name);
        assert_int_not_equal(tw_harness_file_read(path, NULL, 0, &file, &errors), TW_OK);
        if (errors.count != 1 || errors.items[0].line != cases[k].line ||
            errors.items[0].column != cases[k].column) {
            print_error("%zu errors\n", errors.count);
            tell(&errors.items[0]);
            fail();
        }
    }
}

/* Property: a template with bytes changed gives a status, and finite figures when it is TW_OK. */
static void any_bytes_give_a_status(void **state)
{
    static const char signs[] = "[]{}:,-\n \"'&*!|>#%@`?\t0123456789.e/xyzmin\xC3\x28";
    test_random random = test_random_begin("any_bytes_give_a_status");
    size_t count, good = 0;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (int trial = 0; trial < 2000; trial++) {
        const tw_template *from = &templates[count - 1 - (size_t)(trial % 2)];
        const int changes = (int)test_uniform(&random, 1, 6);
        char text[4096];
        size_t size = strlen(from->text);
        tw_harness_file *file = NULL;
        tw_rules_file *rules = NULL;
        tw_notes errors;
        tw_status status;
        assert_true(from->kind != TW_TEMPLATE_PLATE && size < sizeof text);
        memcpy(text, from->text, size);
        for (int k = 0; k < changes; k++) {
            const size_t at = (size_t)test_uniform(&random, 0, (double)size);
            if (test_uniform(&random, 0, 1) < 0.6)
                text[at] = signs[(size_t)test_uniform(&random, 0, sizeof signs - 1)];
            else if (test_uniform(&random, 0, 1) < 0.5)
                memmove(text + at, text + at + 1, size-- - at - 1);
            else
                text[at] = text[(size_t)test_uniform(&random, 0, (double)size)];
        }
        status = from->kind == TW_TEMPLATE_RULES
                     ? tw_rules_file_read_memory("t", text, size, NULL, 0, &rules, &errors)
                     : tw_harness_file_read_memory("t", text, size, NULL, 0, &file, &errors);
        if (status != TW_OK) {
            assert_true(!file && !rules);
            assert_true(errors.count > 0 && errors.items[0].message[0] != '\0');
            continue;
        }
        good++;
        for (size_t k = 0; file && k < file->part_count; k++) {
            const tw_part_spec *part = &file->parts[k];
            assert_true(part->name && part->kind && part->document);
            assert_true(!part->weighed || part->weighing.reads[0] > 0);
            for (size_t j = 0; j < part->fitting_count; j++)
                assert_true(part->fittings[j].amount * part->fittings[j].fitting.mass > 0);
        }
        for (size_t k = 0; rules && k < rules->count; k++)
            assert_true(rules->limits[k].name && rules->limits[k].least > 0);
        tw_harness_file_free(file);
        tw_rules_file_free(rules);
    }
    print_message("%zu of 2000 still read\n", good);
    assert_true(good > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(circles_are_named),
        cmocka_unit_test(errors_of_other_files_name_them),
        cmocka_unit_test(clashes_between_files),
        cmocka_unit_test(faulty_samples_have_one_fault),
        cmocka_unit_test(any_bytes_give_a_status),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
