/* What a value is to be in turn. */
#include "support.h"

#include "taperwright/batch.h"

#include <stdlib.h>

static tw_arena *arena;

static int begin(void **state)
{
    (void)state;
    arena = tw_arena_new();
    return arena ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    tw_arena_free(arena);
    return 0;
}

/* The values with bars between. */
static const char *values_of(const char *text)
{
    static char joined[512];
    tw_vary vary;
    tw_error err;

    joined[0] = '\0';
    if (tw_vary_read(arena, "a.b", text, &vary, &err) != TW_OK)
        return strcpy(joined, err.message);
    assert_string_equal(vary.path, "a.b");
    for (size_t k = 0; k < vary.count; k++) {
        strcat(joined, k ? "|" : "");
        strcat(joined, vary.values[k]);
    }
    return joined;
}

static void ranges_count_in_decimals(void **state)
{
    (void)state;
    assert_string_equal(values_of("1.0 mm..1.3 mm/0.1 mm"), "1.0 mm|1.1 mm|1.2 mm|1.3 mm");
    assert_string_equal(values_of("1..2/0.5"), "1.0|1.5|2.0");
    assert_string_equal(values_of(" 8 ..-4/ 4 deg "), "8 deg|4 deg|0 deg|-4 deg");
    assert_string_equal(values_of("-0.05..0.05/.05 mm"), "-0.05 mm|0.00 mm|0.05 mm");
    assert_string_equal(values_of("2 mm..2 mm/1 mm"), "2 mm");
    assert_string_equal(values_of("90 %..100 %/5 %"), "90 %|95 %|100 %");
    assert_string_equal(values_of("7.8..7.9/0.1 g/cm3"), "7.8 g/cm3|7.9 g/cm3");
    assert_string_equal(values_of("7.8 g/cm3..7.9 g/cm3/0.1 g/cm3"), "7.8 g/cm3|7.9 g/cm3");
}

/* Written as fractions are: lowest terms, whole inches before them. */
static void ranges_take_fractions(void **state)
{
    (void)state;
    assert_string_equal(values_of("1/16 in..1/8 in/1/32 in"), "1/16 in|3/32 in|1/8 in");
    assert_string_equal(values_of("1/16..1/8/1/32 in"), "1/16 in|3/32 in|1/8 in");
    assert_string_equal(values_of("1 1/2 in..2 in/1/4 in"), "1 1/2 in|1 3/4 in|2 in");
    assert_string_equal(values_of("1/4 in..-1/4 in/1/4 in"), "1/4 in|0 in|-1/4 in");
    assert_string_equal(values_of("-1-1/2 in..-1 in/0.25 in"), "-1 1/2 in|-1 1/4 in|-1 in");
    assert_string_equal(values_of("1..2/1/2 in"), "1 in|1 1/2 in|2 in");
    assert_string_equal(values_of("0 in..1/3 in/1/6 in"), "0 in|1/6 in|1/3 in");
}

static void ranges_take_powers_of_ten(void **state)
{
    tw_vary vary;
    tw_error err = {0};

    (void)state;
    assert_string_equal(values_of("1..2/5e-1 mm"), "1.0 mm|1.5 mm|2.0 mm");
    assert_string_equal(values_of("1e1..2E+1/.5e1 mm"), "10 mm|15 mm|20 mm");
    assert_string_equal(values_of("1 e..2 e/1 e"), "1 e|2 e"); /* without a power it is a unit */
    assert_int_equal(tw_vary_read(arena, "a", "1..2/1e-12 mm", &vary, &err), TW_ERR_LIMIT);
    assert_non_null(strstr(err.message, "the range has more than 100000 values"));
}

static void no_step_is_lost(void **state)
{
    tw_vary vary;
    tw_error err;

    (void)state;
    assert_int_equal(tw_vary_read(arena, "a", "0 mm..9999.9 mm/0.1 mm", &vary, &err), TW_OK);
    assert_int_equal(vary.count, 100000);
    assert_string_equal(vary.values[99999], "9999.9 mm");
    assert_string_equal(vary.values[3], "0.3 mm");
    assert_int_equal(tw_vary_read(arena, "a", "0 mm..10000 mm/0.1 mm", &vary, &err), TW_ERR_LIMIT);
}

static void lists_part_at_commas(void **state)
{
    (void)state;
    assert_string_equal(values_of("16 swg, 1.2 mm,  1/16 in "), "16 swg|1.2 mm|1/16 in");
    assert_string_equal(values_of("mild steel"), "mild steel");
    assert_string_equal(values_of("[1, 2], {a: 1, b: 2}"), "[1, 2]|{a: 1, b: 2}");
    assert_string_equal(values_of("\"a, b\", 'c, d'"), "\"a, b\"|'c, d'");
    assert_string_equal(values_of("../a.csv, ../b.csv"), "../a.csv|../b.csv");
    assert_string_equal(values_of("north..south"), "north..south");
    assert_string_equal(values_of("1, 2,3"), "1|2|3"); /* bare where the profile has a ruler */
    assert_string_equal(values_of("0, 5 mm, 1/8 in"), "0|5 mm|1/8 in");
    assert_string_equal(values_of("[1,5], 2 mm"), "[1,5]|2 mm");
}

static void faults_say_where(void **state)
{
    static const struct {
        const char *text, *message;
        int column;
    } bad[] = {
        {"1 mm..2 cm/1 mm", "one unit, not mm and cm", 9},
        {"1..2", "no step", 5},
        {"1..2/0", "above 0", 6},
        {"1..2/-1", "above 0", 6},
        {"1..2.05/0.1 mm", "does not meet the end: from 2.00 mm it goes on to 2.10 mm", 4},
        {"2..1.05/0.1 mm", "does not meet the end: from 1.10 mm it goes on to 1.00 mm", 4},
        {"1..x/1", "the end of a range is a number", 4},
        {"1..2/0,1 mm", "a comma stands where the decimal point should", 7},
        {"1..2,5/0.5 mm", "a comma stands where the decimal point should", 5},
        {"1,5 mm", "a comma stands where the decimal point should", 2},
        {"2 mm, 1,5 mm", "a comma stands where the decimal point should", 8},
        {"1,0 mm..2,0 mm/0,1 mm", "a comma stands where the decimal point should", 2},
        {"0,5 mm", "a comma stands where the decimal point should", 2},
        {"16, 18 swg", "\"16\" lacks its unit", 1},
        {"2 mm, 1.5", "\"1.5\" lacks its unit", 7},
        {"1234567890123456..2/1", "the beginning", 1},
        {"1/16 in..1/8 in", "no step", 16},
        {"0 in..1/8 in", "no step", 13},
        {"1..2/3 in", "does not meet the end", 4},
        {"1..3/4/8 in", "two slashes could each", 7},
        {"1/16 in..1/8 in/1/0 in", "the step of a range is a number", 17},
        {"1/16 in..1/8 in/1/32 mm", "one unit, not in and mm", 22},
        {"1/999999937 in..1 in/1/999999929 in", "the number of a range is a number", 22},
        {"1e99..2/1", "the beginning", 1},
        {"1 mm, , 2 mm", "a value is empty", 6},
        {"1 mm,", "a value is empty", 6},
        {"", "a value is empty", 1},
        {"1..-/1", "the end of a range is a number and a unit, not \"-\"", 4},
        {"1..2 mm/", "the step of a range is a number", 9},
        {"1..0.1234567890123456/1", "the end", 4},
        {"1..2e-20/1", "the end", 4},
        {"1 of a unit of more letters than any unit has..2/1", "the end of a range is a number", 1},
        {"123456789012345..2/0.00000000000001", "the number of a range is a number", 1},
        {"1..-123456789012345/0.00000000000001", "the number of a range is a number", 4},
    };

    (void)state;
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        tw_vary vary;
        tw_error err = {0};
        const tw_status status = tw_vary_read(arena, "a", bad[k].text, &vary, &err);
        assert_int_equal(status, TW_ERR_USAGE);
        if (!strstr(err.message, bad[k].message))
            fail_msg("%s: %s", bad[k].text, err.message);
        assert_int_equal(err.line, 1);
        if (err.column != bad[k].column)
            fail_msg("%s: column %d", bad[k].text, err.column);
        assert_string_equal(err.source, bad[k].text);
        assert_int_equal(tw_vary_read(arena, "a", bad[k].text, &vary, NULL), TW_ERR_USAGE);
    }
}

/* A text too long to be shown is told without it; a value too long to be repeated is cut. */
static void long_texts_are_told(void **state)
{
    char text[300];
    tw_vary vary;
    tw_error err = {0};

    (void)state;
    memset(text, 'x', sizeof text);
    memcpy(text, "1..", 3);
    memcpy(text + 250, "/1", 3);
    assert_int_equal(tw_vary_read(arena, "a", text, &vary, &err), TW_ERR_USAGE);
    assert_string_equal(err.source, "");
    assert_true(strstr(err.message, "the end of a range") && strlen(err.message) < 150);
    assert_string_equal(values_of("1\tmm..\t2 mm/1 mm"), "1 mm|2 mm"); /* tabs are blanks */
}

static void too_many_values_are_refused(void **state)
{
    char *text = malloc(2 * TW_VARY_VALUES + 2);
    tw_vary vary;
    tw_error err = {0};

    (void)state;
    assert_non_null(text);
    for (size_t k = 0; k <= TW_VARY_VALUES; k++)
        memcpy(text + 2 * k, "1,", 2);
    text[2 * TW_VARY_VALUES + 1] = '\0';
    assert_int_equal(tw_vary_read(arena, "a", text, &vary, &err), TW_ERR_LIMIT);
    assert_non_null(strstr(err.message, "the list has more than"));
    text[2 * TW_VARY_VALUES - 1] = '\0';
    assert_int_equal(tw_vary_read(arena, "a", text, &vary, &err), TW_OK);
    assert_int_equal(vary.count, TW_VARY_VALUES);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ranges_count_in_decimals),  cmocka_unit_test(ranges_take_fractions),
        cmocka_unit_test(ranges_take_powers_of_ten), cmocka_unit_test(no_step_is_lost),
        cmocka_unit_test(lists_part_at_commas),      cmocka_unit_test(faults_say_where),
        cmocka_unit_test(long_texts_are_told),       cmocka_unit_test(too_many_values_are_refused),
    };

    return cmocka_run_group_tests(tests, begin, end);
}
