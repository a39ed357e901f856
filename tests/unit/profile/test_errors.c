/*
 * Every error at its exact place, with the value as written and words that help. Each row is a whole
 * profile with one fault unless it says more.
 */
#include "read.h"

typedef struct fault {
    const char *text;
    int line, column;
    tw_status status;
    const char *message; /* part of it */
    const char *advice;  /* part of it; NULL for any */
    const char *value;   /* NULL for any */
} fault;

static void check_faults(const fault *faults, size_t count)
{
    bool failed = false;

    for (size_t k = 0; k < count; k++) {
        const fault *f = &faults[k];
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        read_bad(f->text, strlen(f->text), NULL, 0, &errors);
        if (errors.count != 1 || e->line != f->line || e->column != f->column ||
            e->status != f->status || !strstr(e->message, f->message) ||
            (f->advice && !strstr(e->advice, f->advice)) ||
            (f->value && strcmp(e->value, f->value) != 0) || strcmp(e->file, "t.yaml") != 0) {
            print_error("%s\nfault %zu gave %zu errors\n", f->text, k, errors.count);
            for (size_t j = 0; j < errors.count && j < 4; j++)
                print_error("  %d:%d %s: %s [%s] (%s)\n", errors.items[j].line,
                            errors.items[j].column, tw_status_text(errors.items[j].status),
                            errors.items[j].message, errors.items[j].advice, errors.items[j].value);
            failed = true;
        }
    }
    assert_false(failed);
}
#define CHECK(faults) check_faults(faults, sizeof faults / sizeof *faults)

static void yaml_that_cannot_be_read(void **state)
{
    static const fault faults[] = {
        {"plate: t\nmaterial: [a, b\nform: flat\n", 4, 1, TW_ERR_SYNTAX, "never closed", "]", NULL},
        {"plate: [1, 2}\n", 1, 13, TW_ERR_SYNTAX, "closes what", "]", NULL},
        {"plate: t\n\tnote: x\n", 2, 1, TW_ERR_SYNTAX, "tab", "blanks", NULL},
        {"plate: t\nnote: a: b\n", 2, 8, TW_ERR_SYNTAX, "second", "quotes", NULL},
        {"plate: t\nnote\nkind: x\n", 2, 1, TW_ERR_SYNTAX, "key: value", NULL, NULL},
        {"plate: t\nmaterial: {a: 2#5", 2, 18, TW_ERR_SYNTAX, "closing \"}\" is missing", NULL,
         NULL},
        {"plate: \"t\n", 1, 9, TW_ERR_SYNTAX, "quote is never closed", NULL, NULL},
        {"plate: @t\n", 1, 8, TW_ERR_SYNTAX, "cannot begin", "quotes", NULL},
        {"plate: t\nmaterial: &m mild steel\n", 2, 12, TW_ERR_SYNTAX, "anchors", "out", NULL},
        {"plate: t\nnote: *m\n", 2, 8, TW_ERR_SYNTAX, "aliases", "out", NULL},
        {"plate: t\nmaterial: {<<: x}\n", 2, 12, TW_ERR_SYNTAX, "merge", "out", NULL},
        {"plate: !!str t\n", 1, 8, TW_ERR_SYNTAX, "tags", NULL, NULL},
        {"plate: t\n---\nplate: u\n", 2, 1, TW_ERR_SYNTAX, "second document", "one plate", NULL},
        {"plate: t\n...\nplate: u\n", 3, 1, TW_ERR_SYNTAX, "second document", "one plate", NULL},
        {"plate: t\n[a, b]: c\n", 2, 1, TW_ERR_SYNTAX, "plain word", NULL, NULL},
        {"plate: \"a\\0b\"\n", 1, 9, TW_ERR_SYNTAX, "control character", NULL, NULL},
        {"plate: \"a\\e[2Jb\"\n", 1, 9, TW_ERR_SYNTAX, "control character", NULL, NULL},
        {"# nothing\n", 1, 1, TW_ERR_INPUT, "nothing but comments", "plate", NULL},
        {"- a\n- b\n", 1, 1, TW_ERR_SYNTAX, "keys with values", NULL, NULL},
        {"hello\n", 1, 1, TW_ERR_SYNTAX, "keys with values", NULL, "hello"},
        {"", 0, 0, TW_ERR_INPUT, "t.yaml is empty", NULL, NULL},
    };

    (void)state;
    CHECK(faults);
}

static void keys_and_names(void **state)
{
    static const fault faults[] = {
        {FLAT "thicknes: {}\n", 6, 1, TW_ERR_KEY, "unknown key \"thicknes\"", "thickness",
         "thicknes"},
        {FLAT "turned edge: []\n", 6, 1, TW_ERR_KEY, "unknown key", "\"turned edges\"", NULL},
        {FLAT "plate: u\n", 6, 1, TW_ERR_KEY, "given twice, first in line 1", NULL, "plate"},
        {FLAT "format: 2\n", 6, 9, TW_ERR_DOMAIN, "newer", "reads format 2", "2"},
        {FLAT "format: one\n", 6, 9, TW_ERR_SYNTAX, "whole number", "format: 1", "one"},
        {FLAT "kind: brestplate\n", 6, 7, TW_ERR_KEY, "trade kind", "breastplate", NULL},
        {FLAT "face: outer\n", 6, 7, TW_ERR_KEY, "not a face", "outside", "outer"},
        {FLAT "face: xyzzy\n", 6, 7, TW_ERR_KEY, "not a face", "outside, middle, inside", NULL},
        {FLAT "worn: top\n", 6, 7, TW_ERR_KEY, "side of the wearer", "front", NULL},
        {FLAT "symmetric: maybe\n", 6, 12, TW_ERR_KEY, "yes or no", NULL, NULL},
        {FLAT "note:\n", 6, 1, TW_ERR_KEY, "note is empty", NULL, NULL},
        {FLAT "note: [a]\n", 6, 7, TW_ERR_SYNTAX, "one value, not a list", NULL, NULL},
        {FLAT "note: \"a\\nb\"\n", 6, 8, TW_ERR_SYNTAX, "more than one line", NULL, NULL},
        {"plate: t\nform: flat\nruler: furlong\nmaterial: mild steel\noutline: {ellipse: "
         "{at: [0 mm, 0 mm], across: 1 mm, up: 1 mm}}\n",
         3, 8, TW_ERR_KEY, "ruler", "mm, cm, in", NULL},
        {"material: mild steel\narea: 12 dm2\n", 1, 1, TW_ERR_KEY, "lacks \"plate\"", "plate",
         NULL},
        {"plate: t\narea: 12 dm2\n", 1, 1, TW_ERR_KEY, "lacks \"material\"", "metal", NULL},
        {"plate: t\nmaterial: mild steal\narea: 12 dm2\n", 2, 11, TW_ERR_KEY, "unknown material",
         "mild steel", "mild steal"},
        {"plate: t\nmaterial: {name: unobtainium}\narea: 12 dm2\n", 2, 11, TW_ERR_KEY,
         "unknown material", "density", "unobtainium"},
        {"plate: t\nmaterial: mild steel\n", 1, 1, TW_ERR_KEY, "neither a form nor an area", NULL,
         NULL},
        {FLAT "area: 12 dm2\n", 6, 1, TW_ERR_KEY, "form gives the area", NULL, NULL},
        {"plate: t\nmaterial: mild steel\narea: 12 dm2\npaper: {weight: 1 g, sheet: 80 g/m2}\n", 4,
         1, TW_ERR_KEY, "given twice", NULL, NULL},
        {"plate: t\nmaterial: mild steel\narea: 12 dm2\nholes: []\n", 4, 1, TW_ERR_KEY,
         "holes needs a form", NULL, NULL},
        {STRIKES "      - {name: a, at: [0, 0], radius: 1 mm, thickness: 2 mm}\n"
                 "      - {name: a, at: [9, 0], radius: 1 mm, thickness: 2 mm}\n",
         10, 9, TW_ERR_KEY, "\"a\" is there twice, first in line 9", NULL, "a"},
        {STRIKES "      - {name: strike 2, at: [0, 0], radius: 1 mm, thickness: 2 mm}\n"
                 "      - {at: [9, 0], radius: 1 mm, thickness: 2 mm}\n",
         10, 9, TW_ERR_KEY, "\"strike 2\" is there twice", NULL, NULL},
        {FORGED "    edges: [{edge: rin, thickness: 1 mm}]\n", 8, 20, TW_ERR_KEY, "no edge \"rin\"",
         "\"rim\"", "rin"},
        {HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 9 mm, up: 9 mm}}\n"
              "turned edges: [{edge: lover, roll: 8 mm}]\n",
         6, 23, TW_ERR_KEY, "no edge \"lover\"", "\"lower\"", "lover"},
        {HEAD "form: flat\noutline: [{edge: arm, points: [[0, 0], [9, 0], [0, 9]]}]\n"
              "checks: [{from: {edge: am, along: 1}, to: [0, 0], tape: 1 mm}]\n",
         6, 17, TW_ERR_KEY, "no edge \"am\"", "\"arm\"", "am"},
        {HEAD "form: flat\noutline: [{edge: all, points: [[0, 0], [9, 0], [0, 9]]}]\n", 5, 11,
         TW_ERR_KEY, "every edge", NULL, "all"},
        {FORGED "    edges: [{edge: rim, thickness: 1 mm}]\n    band: 40 mm\n", 9, 11, TW_ERR_KEY,
         "law held only", "law: held", NULL},
        {FORGED "    edges: [{edge: rim, thickness: 1 mm}]\n    law: eased\n    band: 40 mm\n", 10,
         11, TW_ERR_KEY, "law held only", NULL, NULL},
        {FORGED "    law: straight\n", 8, 5, TW_ERR_KEY, "neither strike zones nor edges", NULL,
         NULL},
        {FLAT "thickness: 1.6 mm\n", 6, 12, TW_ERR_SYNTAX, "sheet, forged, readings", "sheet",
         NULL},
        {FLAT "holes: 3\n", 6, 8, TW_ERR_SYNTAX, "takes a list", NULL, "3"},
    };

    (void)state;
    CHECK(faults);
}

#define SHEET(value) FLAT "thickness: {sheet: " value "}\n"
#define HOLE(keys)   FLAT "holes: [{" keys "}]\n"
static void numbers(void **state)
{
    static const fault faults[] = {
        {SHEET("1.6"), 6, 20, TW_ERR_UNIT, "sheet \"1.6\" lacks its unit", "1.6 mm", "1.6"},
        {SHEET("16"), 6, 20, TW_ERR_UNIT, "sheet \"16\" lacks its unit", "swg", "16"},
        {SHEET("16 ga"), 6, 20, TW_ERR_UNIT, "system", "swg", "16 ga"},
        {SHEET("16 awg"), 6, 20, TW_ERR_DOMAIN, "awg", NULL, NULL},
        {SHEET("0 mm"), 6, 20, TW_ERR_DOMAIN, "above 0", NULL, "0 mm"},
        {SHEET("-1 mm"), 6, 20, TW_ERR_DOMAIN, "above 0", NULL, "-1 mm"},
        {SHEET("nan mm"), 6, 20, TW_ERR_DOMAIN, "sheet", NULL, "nan mm"},
        {SHEET("1e400 mm"), 6, 20, TW_ERR_DOMAIN, "sheet", NULL, "1e400 mm"},
        {HOLE("at: [1, 2], radius: 3"), 6, 30, TW_ERR_UNIT, "radius \"3\" lacks its unit", "3 mm",
         "3"},
        {HOLE("at: [1, 2], radius: 0 mm"), 6, 30, TW_ERR_DOMAIN, "not above zero", NULL, "0 mm"},
        {HOLE("at: [1, 2], radius: -3 mm"), 6, 30, TW_ERR_DOMAIN, "not above zero", NULL, NULL},
        {HOLE("at: [1, 2], radius: nan"), 6, 30, TW_ERR_DOMAIN, "radius", NULL, "nan"},
        {HOLE("at: [1, 2], radius: 1e400 mm"), 6, 30, TW_ERR_DOMAIN, "radius", NULL, "1e400 mm"},
        {HOLE("at: [1, 2], radius: 11 m"), 6, 30, TW_ERR_DOMAIN, "out of range", "10 m", "11 m"},
        {HOLE("at: [1, 2], radius: 3 g"), 6, 30, TW_ERR_UNIT, "radius", NULL, "3 g"},
        {HOLE("at: [1e5, 2], radius: 3 mm"), 6, 15, TW_ERR_DOMAIN, "across", "10 m", "1e5"},
        {HOLE("at: [1, 2, 3], radius: 3 mm"), 6, 14, TW_ERR_SYNTAX, "two lengths, not 3", NULL,
         NULL},
        {HOLE("at: 4, radius: 3 mm"), 6, 14, TW_ERR_SYNTAX, "takes a point", "[across, up]", "4"},
        {HOLE("at: {x: 1, y: 2}, radius: 3 mm"), 6, 14, TW_ERR_KEY, "make no point", "x, y, z",
         NULL},
        {HOLE("at: {edge: rim, along: 2, z: 1}, radius: 3 mm"), 6, 14, TW_ERR_KEY, "make no point",
         NULL, NULL},
        {HOLE("at: {from crown: 2, toward: 3 deg}, radius: 3 mm"), 6, 14, TW_ERR_KEY, "only a bowl",
         NULL, NULL},
        {HOLE("at: [1, 2], radius: 3 mm, up: 3 mm"), 6, 9, TW_ERR_KEY, "make no shape", "radius",
         NULL},
        {HOLE("points: [[0, 0], [1, 1]]"), 6, 18, TW_ERR_SHAPE, "at least 3 points, not 2", NULL,
         NULL},
        {"plate: t\nmaterial: mild steel\nform: flat\noutline: {ellipse: {at: [0 mm, 40], across: "
         "80 "
         "mm, up: 90 mm}}\n",
         4, 32, TW_ERR_UNIT, "up \"40\" lacks its unit", "write \"40 mm\", or put \"ruler: mm\"",
         "40"},
        {FLAT "scale: 0 g\n", 6, 8, TW_ERR_DOMAIN, "not above zero", NULL, NULL},
        {"plate: t\nmaterial: {name: x, density: 7850 g/cm3}\narea: 12 dm2\n", 2, 30, TW_ERR_DOMAIN,
         "out of range", "kg/m3", "7850 g/cm3"},
        {"plate: t\nmaterial: mild steel\narea: -12 dm2\n", 3, 7, TW_ERR_DOMAIN, "not above zero",
         NULL, NULL},
        {FORGED "    edges: [{edge: rim, thickness: 1 mm, hold: -1 mm}]\n", 8, 48, TW_ERR_DOMAIN,
         "below zero", NULL, "-1 mm"},
        {FORGED "    edges: [{edge: rim, thickness: 1 mm, hold: 50 mm}]\n    law: held\n", 8, 20,
         TW_ERR_DOMAIN, "held 50 mm", "wider", NULL},
        {FLAT "turned edges: [{edge: rim, roll: 4 mm, wire: 4 mm}]\n", 6, 16, TW_ERR_DOMAIN, "wire",
         NULL, NULL},
    };

    (void)state;
    CHECK(faults);
}

#define LOFT(stations, more) HEAD "form: {loft: [" stations "]" more "}\n"
#define ONE                  "{ruler: 0, width: 9, centre: 1, sides: 0}"
#define TWO                  ONE ", {ruler: 5, width: 9, centre: 1, sides: 0}"
static void forms(void **state)
{
    static const fault faults[] = {
        {LOFT(ONE, ""), 4, 14, TW_ERR_SHAPE, "at least 2 stations", NULL, NULL},
        {LOFT(ONE ", " ONE, ""), 4, 66, TW_ERR_SHAPE, "station 2 does not stand beyond", NULL, "0"},
        {LOFT(TWO, ", keel: {stands: 6 mm}"), 4, 108, TW_ERR_KEY, "keel lacks \"width\"", "width",
         NULL},
        {LOFT(TWO, ", keel: {stands: 6 mm, width: 0 mm}"), 4, 130, TW_ERR_DOMAIN, "not above zero",
         NULL, NULL},
        {LOFT(ONE ", {ruler: 5, width: 9, sides: 0}", ""), 4, 58, TW_ERR_KEY, "lacks \"centre\"",
         "heights", NULL},
        {LOFT(ONE ", {ruler: 5, heights: [[0, 9], [4, 3], [3, 2]]}", ""), 4, 96, TW_ERR_SHAPE,
         "do not go on outward", NULL, "3"},
        {LOFT(ONE ", {ruler: 5, heights: [[0, 9], [4, 3]], width: 8}", ""), 4, 96, TW_ERR_KEY,
         "width is given by the heights", NULL, NULL},
        {LOFT(ONE ", {ruler: 5, heights: [[1, 9], [4, 3]]}", ""), 4, 78, TW_ERR_SHAPE,
         "begin beside the centre", "open", NULL},
        {LOFT(ONE ", {ruler: 5, heights: [[0, 9], [4, 3]], sides: 7}", ""), 4, 78, TW_ERR_SHAPE,
         "last height is 3 mm, but sides is 7 mm", NULL, NULL},
        {LOFT(ONE ", {ruler: 5, width: 0, centre: 1, sides: 0}", ""), 4, 76, TW_ERR_DOMAIN,
         "not above zero", NULL, NULL},
        {HEAD "form: {bowl: {across: 9 cm, depth: 4 cm}, keel: {stands: 1 mm, width: 2 mm}}\n", 4,
         43, TW_ERR_KEY, "only a loft has a keel", NULL, NULL},
        {HEAD "form: {bowl: {across: 9 cm, depth: 4 cm}, loft: [" TWO "]}\n", 4, 43, TW_ERR_KEY,
         "one form", NULL, NULL},
        {HEAD "form: {bowl: {across: 9 cm}}\n", 4, 14, TW_ERR_KEY, "lacks \"depth\"", NULL, NULL},
        {HEAD
         "form: {bowl: {across: 9 cm, depth: 4 cm, profile: full, over: {across: 20 cm, up: 20 "
         "cm}}}\n",
         4, 57, TW_ERR_KEY, "picks the profile", NULL, NULL},
        {HEAD "form: round\n", 4, 7, TW_ERR_KEY, "flat, a bowl, a loft, points or heights", NULL,
         "round"},
        {HEAD "form: {}\n", 4, 7, TW_ERR_KEY, "says no form", NULL, NULL},
        {HEAD "form: flat\n", 4, 7, TW_ERR_SHAPE, "no rim of its own", "outline", NULL},
        {HEAD "form: flat\noutline: [{edge: a, along: rim}]\n", 5, 11, TW_ERR_SHAPE,
         "no rim to follow", NULL, NULL},
        {HEAD "form: flat\noutline: [{edge: a, points: [[0, 0], [9, 0], [0, 9]], along: rim}]\n", 5,
         62, TW_ERR_KEY, "not both", NULL, NULL},
        {HEAD "form: flat\noutline: [{edge: a}]\n", 5, 11, TW_ERR_KEY, "lacks its points", NULL,
         NULL},
        {HEAD "form: flat\noutline: [{edge: a, points: [[0, 0]]}]\n", 5, 29, TW_ERR_SHAPE,
         "at least 2 points, not 1", NULL, NULL},
        {HEAD "form: flat\noutline: []\n", 5, 10, TW_ERR_SHAPE, "no edge", NULL, NULL},
        {HEAD "form: flat\noutline: square\n", 5, 10, TW_ERR_KEY, "no outline", "rectangle",
         "square"},
        {HEAD "form: flat\noutline: {}\n", 5, 10, TW_ERR_KEY, "one rectangle or one ellipse", NULL,
         NULL},
    };

    (void)state;
    CHECK(faults);
}

static void errors_come_in_the_order_of_the_file(void **state)
{
    static const char text[] = FLAT "scale: 2\n" /* line 6 */
                                    "thickness: {sheet: 1.6, forged: {edges: [{edge: rin, "
                                    "thickness: 1 mm}]}}\n"
                                    "kind: brestplate\n" /* read before scale */
                                    "thicknes: {}\n";
    static const int lines[] = {6, 7, 7, 8, 9};
    tw_notes errors;

    (void)state;
    assert_int_equal(read_bad(text, strlen(text), NULL, 0, &errors), TW_ERR_UNIT);
    assert_int_equal(errors.count, 5);
    for (size_t k = 0; k < 5; k++)
        assert_int_equal(errors.items[k].line, lines[k]);
    assert_string_equal(errors.items[0].source, "scale: 2");
    assert_string_equal(errors.items[3].source, "kind: brestplate");
}

/* Of more errors than are kept the foremost stay, though the schema finds them last. */
static void the_foremost_errors_are_kept(void **state)
{
    char text[8192] = HEAD;
    tw_notes errors;

    (void)state;
    for (int k = 0; k < 60; k++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "odd %d: x\n", k);
    strcat(text, "plate: u\nform: flat\noutline: rim\nscale: 3\n");
    read_bad(text, strlen(text), NULL, 0, &errors);
    assert_int_equal(errors.count, 63);
    for (int k = 0; k < TW_NOTES_MAX; k++) {
        assert_int_equal(errors.items[k].line, k + 4);
        assert_non_null(strstr(errors.items[k].message, "odd"));
    }
}

static void places_are_found_again(void **state)
{
    tw_profile *p =
        read_ok("# ü first\r\n" FLAT "note: \"äöü\"\r\nthickness: {sheet: 1.6 mm}\r\n", NULL, 0);
    tw_error err;

    (void)state;
    tw_fail(&err, TW_ERR_SHAPE, "wrong");
    tw_profile_place(p, p->sheet_place, &err);
    assert_string_equal(err.file, "t.yaml");
    assert_int_equal(err.line, 8);
    assert_int_equal(err.column, 20);
    assert_string_equal(err.source, "thickness: {sheet: 1.6 mm}");
    assert_string_equal(err.message, "wrong");
    tw_profile_place(p, (tw_place){0, 0}, &err);
    assert_true(err.line == 0 && err.column == 0 && err.source[0] == '\0');
    tw_profile_place(p, (tw_place){99, 1}, &err);
    assert_string_equal(err.source, "");
    tw_profile_place(p, (tw_place){1, 1}, NULL);
    tw_profile_free(p);
}

/* Columns count letters, not bytes. */
static void columns_count_letters(void **state)
{
    static const fault faults[] = {
        {FLAT "thickness: {sheet: 1 mm, \"äöü\": 2}\n", 6, 27, TW_ERR_KEY, "unknown key \"äöü\"",
         NULL, "äöü"},
    };

    (void)state;
    CHECK(faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(yaml_that_cannot_be_read),
        cmocka_unit_test(keys_and_names),
        cmocka_unit_test(numbers),
        cmocka_unit_test(forms),
        cmocka_unit_test(errors_come_in_the_order_of_the_file),
        cmocka_unit_test(the_foremost_errors_are_kept),
        cmocka_unit_test(places_are_found_again),
        cmocka_unit_test(columns_count_letters),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
