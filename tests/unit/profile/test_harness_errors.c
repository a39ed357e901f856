/* What is wrong in a harness file: the place, the words, the advice; several in one go. */
#include "harness.h"

typedef struct fault {
    const char *text;
    int line, column; /* 0: any */
    tw_status status;
    const char *message, *advice; /* parts of them */
} fault;

static void check_faults(const char *head, const fault *faults, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        char text[2048];
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        snprintf(text, sizeof text, "%s%s", head, faults[k].text);
        harness_bad(text, NULL, 0, &errors);
        if (errors.count != 1 || e->line != faults[k].line ||
            (faults[k].column && e->column != faults[k].column) || e->status != faults[k].status ||
            !strstr(e->message, faults[k].message) ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice)) || !e->source[0]) {
            print_error("%zu errors for\n%s", errors.count, text);
            for (size_t j = 0; j < errors.count && j < TW_NOTES_MAX; j++)
                tell(&errors.items[j]);
            fail();
        }
    }
}
#define CHECK_FAULTS(head, faults) check_faults(head, faults, sizeof faults / sizeof *faults)

static void names_that_clash(void **state)
{
    static const fault faults[] = {
        {"  - {name: Fauld, kind: fauld}\n", 6, 12, TW_ERR_KEY,
         "part \"Fauld\" is there twice, first in line 4", "own name"},
        {"  - {name: f a u l d, kind: fauld}\n", 6, 12, TW_ERR_KEY, "twice", NULL},
        {"  - {name: tasset left, kind: tasset}\n", 6, 12, TW_ERR_KEY,
         "clashes with the pair \"tasset\" of line 5", "NAME left"},
        {"  - {name: TASSETRIGHT, kind: tasset}\n", 6, 12, TW_ERR_KEY, "clashes", NULL},
        {"  - {name: tasset, kind: tasset}\n", 6, 12, TW_ERR_KEY, "twice", NULL},
        {"  - {kind: tasset}\n", 6, 5, TW_ERR_KEY, "part lacks \"name\"", "name:"},
        {"  - {name: a, kinds: lame}\n", 6, 0, TW_ERR_KEY, "unknown key \"kinds\"", "\"kind\""},
        {"  - {name: a, kind: tassett}\n", 6, 21, TW_ERR_KEY, "trade kind", "\"tasset\""},
        {"  - {name: a}\n", 6, 5, TW_ERR_KEY, "part \"a\" lacks its kind", "kind: breastplate"},
        {"  - {name: a, kind: lame, mirror: both}\n", 6, 0, TW_ERR_KEY, "yes or no", NULL},
        {"  - {name: a, kind: lame, height: 12}\n", 6, 35, TW_ERR_UNIT, "lacks its unit", "12 mm"},
        {"  - {name: a, kind: lame, balance: [0, 1, 2]}\n", 6, 0, TW_ERR_UNIT, "lacks", "ruler"},
        {"  - {name: a, kind: lame, balance: [0 mm, 1 mm]}\n", 6, 0, TW_ERR_SYNTAX, "three",
         "[x, y, z]"},
    };

    (void)state;
    check_faults(TWO, faults, 11);
    for (size_t k = 11; k < 13; k++) { /* bare numbers are several errors at once */
        char text[600];
        tw_notes errors;
        snprintf(text, sizeof text, TWO "%s", faults[k].text);
        harness_bad(text, NULL, 0, &errors);
        assert_int_equal(errors.items[0].status, faults[k].status);
        assert_non_null(strstr(errors.items[0].message, faults[k].message));
    }
}

static void weighings_that_say_nothing(void **state)
{
    static const fault faults[] = {
        {"weighed: {reads: 1 kg, on: kitchn}", 4, 54, TW_ERR_KEY, "unknown scale", "\"kitchen\""},
        {"weighed: {reads: 1 kg, on: x}", 4, 54, TW_ERR_KEY, "unknown scale", "are: kitchen"},
        {"weighed: 1000", 4, 36, TW_ERR_UNIT, "lacks its unit", "1000 g"},
        {"weighed: -3 g", 4, 36, TW_ERR_DOMAIN, "not above zero", NULL},
        {"weighed: 0 g", 4, 36, TW_ERR_DOMAIN, "not above zero", NULL},
        {"weighed: [1 g, 2 mm]", 4, 42, TW_ERR_UNIT, "weighed", NULL},
        {"weighed: {reads: []}", 4, 44, TW_ERR_KEY, "repeats is empty", NULL},
        {"weighed: {reads: 900 g, tare: -2 g}", 4, 57, TW_ERR_DOMAIN, "not above zero", NULL},
        {"weighed: {reads: 900 g, tare: 900 g}", 4, 57, TW_ERR_DOMAIN, "tare is as much", "empty"},
        {"weighed: {reads: [910 g, 900 g], tare: 905 g}", 4, 0, TW_ERR_DOMAIN, "tare", NULL},
        {"weighed: {reads: 900 g, with: 2 kg}", 4, 57, TW_ERR_KEY, "not both", "held"},
        {"weighed: {reads: 900 g, without: 2 kg}", 4, 60, TW_ERR_KEY, "not both", NULL},
        {"weighed: {with: 2 kg}", 4, 43, TW_ERR_KEY, "without the part", "without:"},
        {"weighed: {without: 2 kg}", 4, 46, TW_ERR_KEY, "with the part", "with:"},
        {"weighed: {with: 77 kg, without: 77 kg}", 4, 43, TW_ERR_DOMAIN, "no more with", "alone"},
        {"weighed: {with: [77 kg, 79 kg], without: 78.5 kg}", 4, 0, TW_ERR_DOMAIN, "no more", NULL},
        {"weighed: {with: 78 kg, without: 77 kg, tare: 1 kg}", 4, 0, TW_ERR_DOMAIN, "tare", NULL},
        {"weighed: {on: kitchen}", 4, 36, TW_ERR_KEY, "lacks what the scale read", "reads:"},
        {"weighed: {reads: 0.5 g}", 4, 44, TW_ERR_DOMAIN, "step is larger", NULL},
        {"weighed: {reads: 5 g, on: kitchen, step: 1 g}", 4, 0, TW_ERR_KEY, "beside the scale",
         NULL},
        {"weighed: {reads: 900 g, tare: neat}", 4, 57, TW_ERR_SYNTAX, "tare", NULL},
        {"weighed pair: 900 g", 4, 41, TW_ERR_KEY, "go with a pair", "mirror: yes"},
        {"mirror: yes, weighed: 900 g", 4, 49, TW_ERR_KEY, "which of it was weighed",
         "\"weighed pair:\""},
    };
    char head[200], text[400];

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++) {
        fault one = faults[k];
        snprintf(head, sizeof head, PARTS "  - {name: a, kind: lame, ");
        snprintf(text, sizeof text, "%s}\n", one.text);
        one.text = text;
        check_faults(head, &one, 1);
    }
}

static void scales_that_are_wrong(void **state)
{
    static const char parts[] = "parts: [{name: a, kind: lame, weighed: 900 g}]\nharness: t\n";
    static const fault faults[] = {
        {"scales: [{name: kitchen}]\n", 3, 10, TW_ERR_KEY, "scale lacks \"step\"", "step:"},
        {"scales: [{step: 0 g}]\n", 3, 17, TW_ERR_DOMAIN, "not above zero", NULL},
        {"scales: [{step: 1}]\n", 3, 17, TW_ERR_UNIT, "lacks its unit", "1 g"},
        {"scales: [{step: 1 g, most: 1 g}]\n", 3, 10, TW_ERR_DOMAIN, "as large as the most", NULL},
        {"scales: [{step: 1 g, most: 1 kg, least: 2 kg}]\n", 3, 10, TW_ERR_DOMAIN, "least load",
         NULL},
        {"scales: [{step: 1 g, check: {true: 5 kg, reads: 3 kg}}]\n", 3, 29, TW_ERR_DOMAIN,
         "off by more than a fifth", NULL},
        {"scales: [{step: 1 g, check: {true: 5 kg}}]\n", 3, 29, TW_ERR_KEY, "lacks \"reads\"",
         NULL},
        {"scales: []\n", 1, 40, TW_ERR_KEY, "has no scale", "step: 5 g"},
        {"scales: [{name: a, step: 1 g}, {name: b, step: 1 g}]\n", 1, 40, TW_ERR_KEY,
         "there are 2 scales", "on: NAME"},
    };
    static const fault twice[] = {
        {"scales: [{name: A, step: 1 g}, {name: a, step: 1 g}]\n", 3, 32, TW_ERR_KEY,
         "scale \"a\" is there twice, first in line 3", NULL},
    };

    (void)state;
    CHECK_FAULTS(parts, faults);
    CHECK_FAULTS("parts: [{name: a, kind: lame, weighed: {reads: 900 g, on: a}}]\nharness: t\n",
                 twice);
}

static void parts_weighed_together(void **state)
{
    static const fault faults[] = {
        {"  - {parts: [fauld], reads: 2 kg}\n", 7, 13, TW_ERR_KEY, "only one part", "weighed:"},
        {"  - {parts: [], reads: 2 kg}\n", 7, 13, TW_ERR_KEY, "no part is weighed", NULL},
        {"  - {parts: [fauld, tassets], reads: 2 kg}\n", 7, 21, TW_ERR_KEY,
         "unknown part \"tassets\"", "\"tasset\""},
        {"  - {parts: [fauld, x], reads: 2 kg}\n", 7, 21, TW_ERR_KEY, "unknown part", "listed"},
        {"  - {parts: [fauld, Fauld], reads: 2 kg}\n", 7, 21, TW_ERR_KEY, "named twice", NULL},
        {"  - {parts: [tasset, tasset left], reads: 2 kg}\n", 7, 22, TW_ERR_KEY, "named twice",
         NULL},
        {"  - {reads: 2 kg}\n", 7, 5, TW_ERR_KEY, "lacks \"parts\"", NULL},
        {"  - {parts: [fauld, tasset]}\n", 7, 5, TW_ERR_KEY, "lacks what the scale read", NULL},
    };

    (void)state;
    CHECK_FAULTS(TWO "weighed together:\n", faults);
}

static void sets_that_name_nothing(void **state)
{
    static const fault faults[] = {
        {"  body: []\n", 7, 9, TW_ERR_KEY, "set \"body\" is empty", NULL},
        {"  body:\n", 7, 0, TW_ERR_KEY, "set \"body\" is empty", NULL},
        {"  body: [fauld, body]\n", 7, 17, TW_ERR_KEY, "names itself", NULL},
        {"  body: [fauld, legs]\n  legs: [tasset]\n", 7, 17, TW_ERR_KEY, "comes later", "before"},
        {"  body: [fald]\n", 7, 10, TW_ERR_KEY, "unknown member", "\"fauld\""},
        {"  body: [gauntlets]\n", 7, 10, TW_ERR_KEY, "unknown member", "\"gauntlet\""},
        {"  body: [gauntlet]\n", 7, 10, TW_ERR_KEY, "no part is of the kind", NULL},
        {"  body: [fauld, Fauld]\n", 7, 17, TW_ERR_KEY, "named twice in one set", NULL},
        {"  Tasset left: [fauld]\n", 7, 3, TW_ERR_KEY, "name of a part", NULL},
        {"  gorget: [fauld]\n", 7, 3, TW_ERR_KEY, "name of a trade kind", NULL},
        {"  body: [fauld]\n  Body: [tasset]\n", 8, 3, TW_ERR_KEY,
         "set \"Body\" is there twice, first in line 7", NULL},
        {"  body: {a: b}\n", 7, 9, TW_ERR_SYNTAX, "takes a list", NULL},
    };

    (void)state;
    CHECK_FAULTS(TWO "sets:\n", faults);
}

static void fittings_that_weigh_nothing(void **state)
{
    static const fault faults[] = {
        {"{fitting: rivvet 5 mm}", 6, 14, TW_ERR_KEY, "unknown fitting", "\"rivet 5 mm\""},
        {"{fitting: side bukle}", 6, 14, TW_ERR_KEY, "unknown fitting", "\"side buckle\""},
        {"{fitting: xyzzy q}", 6, 14, TW_ERR_KEY, "unknown fitting", "each: 20 g"},
        {"{fitting: strap 30 mm}", 6, 4, TW_ERR_KEY, "weighed by length", "length: 400 mm"},
        {"{fitting: strap 30 mm, area: 2 dm2}", 6, 0, TW_ERR_KEY, "weighed by length", NULL},
        {"{fitting: canvas lining, count: 2}", 6, 4, TW_ERR_KEY, "weighed by area", "area: 12 dm2"},
        {"{fitting: rivet 5 mm, length: 20 mm}", 6, 34, TW_ERR_KEY, "weighed by the piece",
         "count: 6"},
        {"{fitting: rivet 5 mm, count: 0}", 6, 33, TW_ERR_DOMAIN, "out of range", "1 to 10000"},
        {"{fitting: rivet 5 mm, count: 1.5}", 6, 33, TW_ERR_SYNTAX, "whole number", NULL},
        {"{fitting: a, each: 3}", 6, 23, TW_ERR_UNIT, "lacks its unit", "3 g"},
        {"{fitting: a, each: 3 g, per metre: 3 g}", 6, 4, TW_ERR_KEY, "more than once", "keep one"},
        {"{fitting: a, each: 3 g, uncertainty: 3 g}", 6, 0, TW_ERR_DOMAIN, "as large", NULL},
        {"{fitting: hook, uncertainty: 3 g}", 6, 0, TW_ERR_KEY, "mass that is given here", NULL},
        {"{fitting: hook, what: brass}", 6, 0, TW_ERR_KEY, "what a fitting is", NULL},
        {"{count: 3}", 6, 4, TW_ERR_KEY, "lacks \"fitting\"", NULL},
    };
    char text[400];

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++) {
        fault one = faults[k];
        snprintf(text, sizeof text, "     fittings: [%s]}\n", one.text);
        one.text = text;
        one.column = faults[k].column ? faults[k].column + 13 : 0; /* as if it began at 4 */
        check_faults(SCALE "fittings: [{fitting: side buckle, each: 20 g}]\n"
                           "parts:\n  - {name: a, kind: lame,\n",
                     &one, 1);
    }
}

static void own_fittings_that_are_wrong(void **state)
{
    static const fault faults[] = {
        {"fittings: [{fitting: a, source: s}]\n", 6, 12, TW_ERR_KEY, "lacks its mass", "each:"},
        {"fittings: [{each: 1 g}]\n", 6, 12, TW_ERR_KEY, "lacks \"fitting\"", NULL},
        {"fittings: [{fitting: a, each: 1 g}, {fitting: A, each: 2 g}]\n", 6, 47, TW_ERR_KEY,
         "fitting \"A\" is there twice", NULL},
        {"fittings: [{fitting: a, each: 1 g, count: 2}]\n", 6, 36, TW_ERR_KEY,
         "unknown key \"count\"", NULL},
    };

    (void)state;
    CHECK_FAULTS(TWO, faults);
}

static void the_file_itself(void **state)
{
    static const fault faults[] = {
        {"parts: [{name: a, kind: lame}]\n", 1, 1, TW_ERR_KEY, "lacks its name", "harness: NAME"},
        {"harness: t\n", 1, 1, TW_ERR_KEY, "has no part", "parts:"},
        {"harness: t\nparts: []\n", 1, 1, TW_ERR_KEY, "has no part", NULL},
        {"harness: t\nparts: {name: a}\n", 2, 8, TW_ERR_SYNTAX, "takes a list", NULL},
        {"harness: t\npart: []\nparts: [{name: a, kind: lame}]\n", 2, 1, TW_ERR_KEY,
         "unknown key \"part\" in the harness file", "\"parts\""},
        {"plate: t\nmaterial: mild steel\n", 1, 1, TW_ERR_INPUT, "plate's profile", "plate:"},
        {"- harness: t\n", 1, 1, TW_ERR_SYNTAX, "takes keys with values", NULL},
        {"harness\n", 1, 1, TW_ERR_SYNTAX, "takes keys with values", NULL},
        {"harness: t\nparts: [a]\n", 2, 9, TW_ERR_SYNTAX, "part takes keys", NULL},
        {"harness: t\nparts: [[a, b]]\n", 2, 9, TW_ERR_SYNTAX, "part takes keys", NULL},
        {"harness: t\nparts: [{name: a, kind: lame, fittings: [[hook]]}]\n", 2, 42, TW_ERR_SYNTAX,
         "fitting takes keys", NULL},
        {"harness: t\nparts: [{name: a, kind: lame, plate: [a, b]}]\n", 2, 38, TW_ERR_SYNTAX,
         "plate takes keys", NULL},
        {"harness: t\nparts: [{name: a, kind: lame}]\nscales: [[1 g]]\n", 3, 10, TW_ERR_SYNTAX,
         "scale takes keys", NULL},
        {"harness: t\nparts: [{name: a, kind: lame}]\nweighed together: [[a]]\n", 3, 20,
         TW_ERR_SYNTAX, "weighed together takes keys", NULL},
        {"harness: t\nparts: [{name: a, kind: lame}]\ninclude: {a: b}\n", 3, 10, TW_ERR_SYNTAX,
         "takes a list", NULL},
        {"format: 2\nharness: t\nparts: [{name: a, kind: lame}]\n", 1, 9, TW_ERR_DOMAIN, "newer",
         NULL},
        {"harness: t\nsets: [a]\nparts: [{name: a, kind: lame}]\n", 2, 7, TW_ERR_SYNTAX,
         "sets takes names", NULL},
    };
    tw_harness_file *file = NULL;
    tw_profile *profile = NULL;
    tw_notes errors;
    char *big = calloc(1, TW_PROFILE_CEILING + 10);

    (void)state;
    CHECK_FAULTS("", faults);
    harness_bad("", NULL, 0, &errors);
    assert_non_null(strstr(errors.items[0].advice, "harness: NAME"));
    assert_int_equal(harness_bad("# nothing\n", NULL, 0, &errors), TW_ERR_INPUT);
    assert_non_null(big);
    memset(big, '#', TW_PROFILE_CEILING + 9);
    assert_int_equal(harness_bad(big, NULL, 0, &errors), TW_ERR_LIMIT);
    free(big);
    assert_int_equal(tw_harness_file_read("no/such.yaml", NULL, 0, &file, &errors), TW_ERR_INPUT);
    assert_string_equal(errors.items[0].file, "no/such.yaml");
    assert_int_equal(
        tw_profile_read_memory("h.yaml", TWO, sizeof TWO - 1, NULL, 0, &profile, &errors),
        TW_ERR_INPUT);
    assert_true(errors.count == 1 && strstr(errors.items[0].message, "harness file"));
}

/* All of them in the order of the file, each with its line; settings behind. */
static void several_at_once(void **state)
{
    static const tw_setting setting = {"parts.fauld.weighed", "3"};
    static const char text[] =
        TWO "  - {name: fauld, kind: fald, weighed: {reads: 3 g, on: kitch}}\n"
            "weighed together: [{parts: [a, fauld], reads: 3 kg}]\n"
            "sets: {body: [x]}\n"
            "notes: none\n";
    tw_notes errors;

    (void)state;
    harness_bad(text, &setting, 1, &errors);
    for (size_t k = 0; k < errors.count; k++)
        if (k + 1 < errors.count && errors.items[k].line != 6 + (int)(k < 3 ? 0 : k - 2))
            tell(&errors.items[k]);
    assert_int_equal(errors.count, 7);
    assert_int_equal(errors.items[2].line, 6);
    assert_int_equal(errors.items[3].line, 7);
    assert_int_equal(errors.items[4].line, 8);
    assert_int_equal(errors.items[5].line, 9);
    assert_string_equal(errors.items[6].file, "--set parts.fauld.weighed=3");
}

static void wrong_settings_are_told(void **state)
{
    static const struct {
        const char *path, *value, *message, *advice;
    } cases[] = {
        {"parts.fould.weighed", "1 g", "no item \"fould\" in parts", "\"fauld\""},
        {"parts.fauld.wieghed", "1 g", "unknown key \"wieghed\"", "\"weighed\""},
        {"plate", "x", "unknown key \"plate\" in the harness file", NULL},
        {"sets.body", "[fauld]", "the harness file has no \"sets\"", "set the whole"},
        {"parts.fauld.plate", "none.yaml", "plate \"none.yaml\"", "relative"},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const tw_setting setting = {cases[k].path, cases[k].value};
        tw_notes errors;
        harness_bad(TWO, &setting, 1, &errors);
        if (!strstr(errors.items[0].message, cases[k].message) ||
            (cases[k].advice && !strstr(errors.items[0].advice, cases[k].advice)) ||
            strncmp(errors.items[0].file, "--set ", 6) != 0) {
            tell(&errors.items[0]);
            fail();
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_that_clash),
        cmocka_unit_test(weighings_that_say_nothing),
        cmocka_unit_test(scales_that_are_wrong),
        cmocka_unit_test(parts_weighed_together),
        cmocka_unit_test(sets_that_name_nothing),
        cmocka_unit_test(fittings_that_weigh_nothing),
        cmocka_unit_test(own_fittings_that_are_wrong),
        cmocka_unit_test(the_file_itself),
        cmocka_unit_test(several_at_once),
        cmocka_unit_test(wrong_settings_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
