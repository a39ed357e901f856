/* Files of least thicknesses: every key, every fault at its place. */
#include "harness.h"

#define HEAD_LIMITS "rules: an event\nlimits:\n"

static tw_rules_file *rules_ok(const char *text, const tw_setting *settings, size_t count)
{
    tw_rules_file *file = NULL;
    tw_notes errors;

    if (tw_rules_file_read_memory("r.yaml", text, strlen(text), settings, count, &file, &errors) !=
        TW_OK) {
        tell(&errors.items[0]);
        fail();
    }
    return file;
}

static void reads_every_key(void **state)
{
    static const tw_setting settings[] = {{"limits.everywhere.least", "1.1 mm"},
                                          {"limits.limit 4.when", "before forming"}};
    tw_rules_file *file =
        rules_ok("format: 1\nrules: an event\nnote: n\ndate: d\n"
                 "limits:\n"
                 "  - {name: breast, least: 1.5 mm, where: zone upper chest, when: after forming,"
                 " kinds: [breastplate, plackart]}\n"
                 "  - {name: everywhere, least: 1.0 mm, where: everywhere}\n"
                 "  - {name: stock, least: 16 swg, when: before forming, kinds: tasset}\n"
                 "  - {least: 1/16 in}\n",
                 settings, 2);
    const tw_limit_spec *limit = file->limits;
    tw_error err;

    (void)state;
    assert_string_equal(file->rules, "an event");
    assert_true(strcmp(file->note, "n") == 0 && strcmp(file->date, "d") == 0);
    assert_true(strcmp(file->file, "r.yaml") == 0 && file->count == 4);
    assert_string_equal(limit[0].zone, "upper chest");
    assert_true(limit[0].least == 1.5 && !limit[0].before_forming && limit[0].kind_count == 2);
    assert_string_equal(limit[0].kinds[1], "plackart");
    assert_true(!limit[1].zone && limit[1].least == 1.1 && limit[1].kind_count == 0);
    assert_true(limit[2].before_forming && strcmp(limit[2].kinds[0], "tasset") == 0);
    assert_close(limit[2].least, 0.064 * 25.4, 1e-12); /* 16 swg is 0.064 in */
    assert_true(strcmp(limit[3].name, "limit 4") == 0 && limit[3].before_forming);
    tw_fail(&err, TW_ERR_DOMAIN, "said by a later room");
    tw_profile_place(file->document, limit[2].place, &err);
    assert_true(err.line == 8 && strcmp(err.file, "r.yaml") == 0);
    tw_rules_file_free(file);
    tw_rules_file_free(NULL);
}

static void faults_are_placed(void **state)
{
    static const struct {
        const char *text;
        int line, column;
        tw_status status;
        const char *message, *advice;
    } cases[] = {
        {"limits: [{least: 1 mm}]\n", 1, 1, TW_ERR_KEY, "lacks \"rules\"", "rules:"},
        {"rules: r\n", 1, 1, TW_ERR_KEY, "lacks \"limits\"", NULL},
        {"rules: r\nlimits: []\n", 2, 9, TW_ERR_KEY, "empty", "1.5 mm"},
        {HEAD_LIMITS "  - {least: 1.5}\n", 3, 13, TW_ERR_UNIT, "lacks its unit", "1.5 mm"},
        {HEAD_LIMITS "  - {least: -1 mm}\n", 3, 13, TW_ERR_DOMAIN, "", NULL},
        {HEAD_LIMITS "  - {name: a}\n", 3, 5, TW_ERR_KEY, "limit lacks \"least\"", NULL},
        {HEAD_LIMITS "  - {least: 1 mm, where: chest}\n", 3, 26, TW_ERR_KEY, "no place of a limit",
         "\"zone chest\""},
        {HEAD_LIMITS "  - {least: 1 mm, where: zone}\n", 3, 26, TW_ERR_KEY, "no place of a limit",
         "zone NAME"},
        {HEAD_LIMITS "  - {least: 1 mm, when: before}\n", 3, 25, TW_ERR_KEY, "when a limit holds",
         "before forming"},
        {HEAD_LIMITS "  - {least: 1 mm, where: zone a, when: before forming}\n", 3, 26, TW_ERR_KEY,
         "no strike zones", NULL},
        {HEAD_LIMITS "  - {least: 1 mm, kinds: [lame, breastplte]}\n", 3, 33, TW_ERR_KEY,
         "trade kind", "\"breastplate\""},
        {HEAD_LIMITS "  - {name: a, least: 1 mm}\n  - {name: A, least: 1 mm}\n", 4, 5, TW_ERR_KEY,
         "limit \"A\" is there twice, first in line 3", NULL},
        {HEAD_LIMITS "  - {leats: 1 mm}\n", 3, 6, TW_ERR_KEY, "unknown key \"leats\" in limit",
         "\"least\""},
        {"# none\n", 1, 1, TW_ERR_INPUT, "nothing but comments", "rules: NAME"},
    };
    tw_rules_file *file = NULL;
    tw_notes errors;

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const tw_error *e = &errors.items[0];
        tw_rules_file_read_memory("r.yaml", cases[k].text, strlen(cases[k].text), NULL, 0, &file,
                                  &errors);
        if (file || errors.count != 1 || e->status != cases[k].status || e->line != cases[k].line ||
            e->column != cases[k].column || !strstr(e->message, cases[k].message) ||
            (cases[k].advice && !strstr(e->advice, cases[k].advice))) {
            print_error("%zu errors for\n%s", errors.count, cases[k].text);
            tell(e);
            fail();
        }
    }
    assert_int_equal(tw_rules_file_read("no/such.yaml", NULL, 0, &file, &errors), TW_ERR_INPUT);
    assert_true(!file && errors.count == 1);
}

static void the_template_is_read(void **state)
{
    size_t count, found = 0;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t k = 0; k < count; k++)
        if (templates[k].kind == TW_TEMPLATE_RULES) {
            tw_rules_file *file = rules_ok(templates[k].text, NULL, 0);
            assert_int_equal(file->count, 3);
            assert_non_null(strstr(templates[k].text, "nvented"));
            tw_rules_file_free(file);
            found++;
        }
    assert_int_equal(found, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_every_key),
        cmocka_unit_test(faults_are_placed),
        cmocka_unit_test(the_template_is_read),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
