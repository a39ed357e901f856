/* Records of originals: the shipped set against figures worked out apart from the museum's data, what
 * the cross-checks find, and that every wrong cell of a table is told. */
#include "originals_cases.h"

#define HEAD "institution,object,title,kinds,mass [g]\n"

/* ---- the shipped set ------------------------------------------------------------------------- */

/* Source: The Metropolitan Museum of Art, open access object data (CC0). Figures were worked out in
 * another program from a copy of that data, not from the shipped file: records whose middle year is
 * before 1600 and whose pounds and grams agree; quartiles of type 7, rounded to the gram. */
static const struct {
    const char *kind, *title;
    size_t count;
    double lower, median, upper, least, most; /* 0: not asked */
} outside[] = {
    {"helmet", NULL, 130, 1688, 2175, 2987, 1064, 5897},
    {"breastplate", NULL, 9, 2580, 3070, 3473, 1304, 5470},
    {"pauldron", NULL, 6, 1133, 1226, 1652, 539, 1814},
    {"greave", NULL, 4, 706, 733, 756, 637, 814},
    {"gauntlet", NULL, 3, 0, 475, 0, 439, 482},
    {"backplate", NULL, 2, 0, 1865, 0, 1389, 2340},
    {"vambrace", NULL, 2, 0, 360, 0, 351, 368},
    {"tasset", NULL, 2, 0, 496, 0, 482, 510},
    {"helmet", "Armet", 23, 2874, 3655, 4242, 2276, 5897},
    {"helmet", "Burgonet", 23, 1662, 1802, 1965, 1232, 2727},
    {"helmet", "Sallet", 22, 2138, 2714, 2975, 1151, 4190},
    {"helmet", "Morion", 17, 1503, 1775, 1945, 1077, 2158},
    {"helmet", "Morion-cabasset", 9, 1299, 1410, 1555, 1192, 1610},
    {"helmet", "Cabasset", 8, 1378, 1544, 1807, 1174, 3770},
    {"helmet", "Barbute", 6, 2440, 2648, 2882, 2211, 3285},
    {"helmet", "Bascinet", 5, 1219, 2296, 2778, 1064, 3238},
    {"helmet", "Visored bascinet", 5, 3005, 3912, 4876, 2373, 4876},
    {"helmet", "Closed burgonet", 4, 3029, 3396, 3964, 3004, 4593},
    {"helmet", "Close helmet", 2, 0, 3871, 0, 2665, 5077},
};

static void the_shipped_set_has_the_figures_of_its_source(void **state)
{
    tw_originals *set = shipped_set();
    double masses[256];

    (void)state;
    assert_int_equal(set->count, 249);
    assert_string_equal(set->file, "");
    for (size_t k = 0; k < sizeof outside / sizeof *outside; k++) {
        const size_t count = masses_before_1600(set, outside[k].kind, outside[k].title, masses);
        if (count != outside[k].count)
            fail_msg("%s %s: %zu records, not %zu", outside[k].kind,
                     outside[k].title ? outside[k].title : "", count, outside[k].count);
        assert_close(tw_quantile(masses, count, 0.5), outside[k].median, 0.501);
        assert_close(masses[0], outside[k].least, 0.501);
        assert_close(masses[count - 1], outside[k].most, 0.501);
        if (outside[k].lower > 0) {
            assert_close(tw_quantile(masses, count, 0.25), outside[k].lower, 0.501);
            assert_close(tw_quantile(masses, count, 0.75), outside[k].upper, 0.501);
        }
    }
    tw_originals_free(set);
}

static const tw_original *find(const tw_originals *set, const char *object)
{
    for (size_t k = 0; k < set->count; k++)
        if (strcmp(set->rows[k].object, object) == 0)
            return &set->rows[k];
    fail_msg("no record of %s", object);
    return NULL;
}

static bool warned(const tw_originals *set, const char *words)
{
    for (size_t k = 0; k < set->warnings.count && k < TW_NOTES_MAX; k++)
        if (strstr(set->warnings.items[k].message, words))
            return true;
    return false;
}

/* The seven records of that data whose two units disagree by more than both roundings allow. */
static void pounds_against_grams_finds_the_seven_and_no_other(void **state)
{
    static const char *const known[] = {"27127", "27094", "21986",       "25386",
                                        "26454", "26528", "1983.36.1-.2"};
    tw_originals *set = shipped_set();
    size_t disagree = 0;

    (void)state;
    for (size_t k = 0; k < set->count; k++)
        if (set->rows[k].why && strstr(set->rows[k].why, "pounds and grams disagree")) {
            size_t n = 0;
            while (n < 7 && strcmp(set->rows[k].object, known[n]) != 0)
                n++;
            if (n == 7)
                fail_msg("%s is not one of the seven", set->rows[k].object);
            assert_false(set->rows[k].use);
            disagree++;
        }
    assert_int_equal(disagree, 7);
    assert_close(find(set, "27127")->pounds_g, 4 * 453.59237 + 6 * 453.59237 / 16, 1e-9);
    assert_close(find(set, "27127")->g, 2900, 0);
    assert_string_equal(find(set, "27127")->why, "pounds and grams disagree by 916 g");
    assert_string_equal(find(set, "27094")->why, "pounds and grams disagree by 400 g");
    assert_true(warned(set, "27127 (Armet): 4 lb 6 oz are 1984 g, but its grams say 2900 g"));
    tw_originals_free(set);
}

static void doubles_and_gaps_are_told_and_nothing_else(void **state)
{
    tw_originals *set = shipped_set();

    (void)state;
    assert_true(warned(set, "25395 and 25400: the same mass, 4876 g, and the same height, 432 mm"));
    assert_true(warned(set, "two records of one object with the same 7910 g"));
    assert_true(warned(set, "its 6 parts weighed apart add up to 7371 g, the whole is recorded as "
                            "7910 g: 539 g are in no part"));
    assert_int_equal(set->warning_count, 7 + 3);
    assert_true(find(set, "25395")->use);
    tw_originals_free(set);
}

static void every_record_is_cited_and_none_claims_too_much(void **state)
{
    tw_originals *set = shipped_set();
    size_t size, none = 0;
    const char *text = tw_originals_text(&size);

    (void)state;
    assert_int_equal(strlen(text), size);
    assert_memory_equal(text, "# Recorded weights", 18);
    for (size_t k = 0; k < set->count; k++) {
        const tw_original *row = &set->rows[k];
        assert_non_null(row->institution);
        assert_non_null(row->object);
        assert_non_null(row->title);
        assert_non_null(row->source);
        assert_string_equal(row->licence, "CC0-1.0");
        assert_true(row->g > 0 && row->u_g > 0 && row->pounds_g > 0 && row->year_from > 1200);
        assert_int_equal(row->straps, TW_NOT_SAID);
        assert_true(row->use == (row->why == NULL));
        none += row->use && row->kind_count == 0;
        if (row->year_from < 1600 && row->year_to > 1800)
            assert_false(row->use);
    }
    assert_int_equal(none, 5); /* totals and reinforces */
    assert_int_equal(find(set, "50.237.1a-e, h-i")->kind_count, 6);
    tw_originals_free(set);
}

/* ---- reading ------------------------------------------------------------------------------------- */

static void columns_may_be_few_in_any_order_and_unit(void **state)
{
    tw_originals *set =
        set_of("# mine\nMass [kg];Kinds;Title;height (in);pounds;STRAPS;use;colour\n"
               "2.31;\"tasset 2; Breastplate; tasset\";A;10;5 lb 1.5 oz;Out;No;red\n"
               "1.2 kg;;B;;;;;\n");

    (void)state;
    assert_int_equal(set->count, 2);
    assert_close(set->rows[0].g, 2310, 1e-9);
    assert_close(set->rows[0].height, 254, 1e-9);
    assert_int_equal(set->rows[0].kind_count, 2);
    assert_string_equal(set->rows[0].kinds[0].kind, "breastplate");
    assert_int_equal(set->rows[0].kinds[0].count, 1);
    assert_string_equal(set->rows[0].kinds[1].kind, "tasset");
    assert_int_equal(set->rows[0].kinds[1].count, 3);
    assert_int_equal(set->rows[0].straps, TW_SAID_OUT);
    assert_false(set->rows[0].use);
    assert_string_equal(set->rows[0].why, "left out by its own row");
    assert_null(set->rows[0].object);
    assert_int_equal(set->rows[0].line, 3);
    assert_close(set->rows[1].g, 1200, 1e-9);
    assert_int_equal(set->rows[1].kind_count, 0);
    assert_true(isnan(set->rows[1].u_g) && isnan(set->rows[1].pounds_g) &&
                isnan(set->rows[1].width));
    assert_int_equal(set->rows[1].year_from, 0);
    assert_true(set->rows[1].use);
    assert_true(warned(set, "column \"colour\" is not one that is read"));
    tw_originals_free(set);
}

/* Half an ounce is 14.17 g, half of 0.1 oz 1.42 g, half a gram of the metric figure. */
static void roundings_alone_are_no_contradiction(void **state)
{
    static const struct {
        const char *mass, *uncertainty, *pounds;
        bool agrees;
    } cases[] = {
        {"1715", "", "3 lb 12 oz", true}, /* 1700.97 g */
        {"1716", "", "3 lb 12 oz", false},   {"1702", "", "3 lb 12.0 oz", true},
        {"1704", "", "3 lb 12.0 oz", false}, {"12700", "28.9", "28 lb", true}, /* 12700.6 g */
        {"12764", "28.9", "28 lb", true},    {"12766", "28.9", "28 lb", false},
        {"38802", "", "85.5 lb", true}, /* 38782.1 g; half a tenth of a pound is 22.7 g */
        {"38810", "", "85.5 lb", false},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char text[256];
        tw_originals *set;
        snprintf(text, sizeof text,
                 "object,kinds,mass [g],uncertainty [g],pounds\n1,helmet,%s,%s,%s\n", cases[k].mass,
                 cases[k].uncertainty, cases[k].pounds);
        set = set_of(text);
        if (set->rows[0].use != cases[k].agrees || set->warning_count != !cases[k].agrees)
            fail_msg("%s g, %s", cases[k].mass, cases[k].pounds);
        tw_originals_free(set);
    }
}

static void parts_and_wholes(void **state)
{
    tw_originals *set = set_of(
        "object,title,kinds,mass [g]\n"
        "1,all,breastplate; backplate; tasset 2,5000\n"
        "1,a,breastplate,2500\n1,b,backplate,1500\n1,c,tasset,500\n1,d,tasset,500\n"
        "2,all,breastplate; backplate,4000\n2,a,breastplate,4100\n" /* a part above its whole */
        "3,all,breastplate; backplate,4000\n3,a,breastplate,2100\n" /* one part not told */
        "4,a,tasset,500\n4,a,tasset,500\n");                        /* the same row twice */

    (void)state;
    assert_int_equal(set->warning_count, 2);
    assert_true(warned(set, "4: the same 500 g stand in two rows (lines 11 and 12)"));
    assert_true(warned(set, "2: its 1 parts weighed apart add up to 4100 g, the whole is recorded "
                            "as 4000 g: 100 g too many in the parts"));
    tw_originals_free(set);
}

static void every_wrong_cell_is_told(void **state)
{
    static const struct {
        const char *text;
        tw_status status;
        int line;
        const char *message, *advice;
    } cases[] = {
        {HEAD, TW_ERR_INPUT, 1, "no record", "a row"},
        {HEAD "M,1,A,helmet,\n", TW_ERR_KEY, 2, "has no mass", "leave the row out"},
        {HEAD "M,1,A,helmet,-200\n", TW_ERR_DOMAIN, 2, "mass \"-200\" is not above zero", ""},
        {HEAD "M,1,A,helmet,0\n", TW_ERR_DOMAIN, 2, "mass \"0\" is not above zero", ""},
        {HEAD "M,1,A,helmet,2 kg\n", TW_ERR_UNIT, 2, "another unit than its column", "to g"},
        {HEAD "M,1,A,helmet,3 lb\n", TW_ERR_UNIT, 2, "another unit than its column", "to g"},
        {HEAD "M,1,A,helmet,\"2,5\"\n", TW_ERR_SYNTAX, 2, "comma", "2.5"},
        {HEAD "M,1,A,helmet,1e9\n", TW_ERR_UNIT, 2, "another unit", ""},
        {HEAD "M,1,A,helmet,20000000\n", TW_ERR_DOMAIN, 2, "far too big", "unit"},
        {HEAD "M,1,A,tassets,200\n", TW_ERR_KEY, 2, "\"tassets\" is no trade kind", "tasset"},
        {HEAD "M,1,A,hat,200\n", TW_ERR_KEY, 2, "\"hat\" is no trade kind", ""},
        {HEAD "M,1,A,tasset 0,200\n", TW_ERR_DOMAIN, 2, "counts none", "1 to 100"},
        {HEAD "M,1,A,tasset 99999999999999999999,200\n", TW_ERR_DOMAIN, 2, "too many", "100"},
        {HEAD "M,,,helmet,200\n", TW_ERR_KEY, 2, "no name to cite", "number"},
        {"title,kinds,mass\nA,helmet,200\n", TW_ERR_UNIT, 1, "lacks its unit", "mass [g]"},
        {"title,kinds,mass [mm]\nA,helmet,200\n", TW_ERR_UNIT, 1, "does not fit", "mass [g]"},
        {"title [g],kinds,mass [g]\nA,helmet,200\n", TW_ERR_UNIT, 1, "takes no unit", ""},
        {"title,kinds\nA,helmet\n", TW_ERR_KEY, 1, "lacks the column \"mass\"", "mass [g]"},
        {"title,mass [g]\nA,200\n", TW_ERR_KEY, 1, "does not say what", "kinds"},
        {"kinds,mass [g]\nhelmet,200\n", TW_ERR_KEY, 1, "no name", "object"},
        {"title,kinds,mass [g],strap\nA,helmet,200,in\n", TW_ERR_KEY, 1, "unknown column \"strap\"",
         "straps"},
        {"title,title,kinds,mass [g]\nA,B,helmet,2\n", TW_ERR_KEY, 1, "there twice", "one"},
        {"title,kinds,mass [g],from year,to year\nA,helmet,2,1600,1500\n", TW_ERR_DOMAIN, 2,
         "run backward: from 1600 to 1500", "exchange"},
        {"title,kinds,mass [g],from year\nA,helmet,2,ca. 1500\n", TW_ERR_SYNTAX, 2,
         "from year \"ca. 1500\" is no year", "whole year"},
        {"title,kinds,mass [g],straps\nA,helmet,2,maybe\n", TW_ERR_KEY, 2,
         "straps \"maybe\" is not understood", "in, out or not said"},
        {"title,kinds,mass [g],use\nA,helmet,2,perhaps\n", TW_ERR_KEY, 2, "use \"perhaps\"", "yes"},
        {"title,kinds,mass [g],pounds\nA,helmet,2,12\n", TW_ERR_UNIT, 2, "in column \"pounds\"",
         "lb"},
        {"title,kinds,mass [g],pounds\nA,helmet,2,12 kk\n", TW_ERR_UNIT, 2, "kk", ""},
        {"title,kinds,mass [g],uncertainty [g]\nA,helmet,2,-1\n", TW_ERR_DOMAIN, 2,
         "uncertainty \"-1\"", ""},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_originals *set = NULL;
        tw_notes errors;
        const tw_status status = read_text(cases[k].text, &set, &errors);
        const tw_error *err = &errors.items[0];

        if (status != cases[k].status || errors.count != 1 || err->line != cases[k].line ||
            !strstr(err->message, cases[k].message) || !strstr(err->advice, cases[k].advice))
            fail_msg("case %zu: %zu errors, status %d, line %d: %s; %s", k, errors.count,
                     (int)status, err->line, err->message, err->advice);
        assert_null(set);
    }
}

static void all_of_many_are_told(void **state)
{
    tw_originals *set = NULL;
    tw_notes errors;

    (void)state;
    assert_int_equal(
        read_text(HEAD "M,1,A,hat,-1\nM,2,B,helmet,5\nM,3,C,tassets,x\n", &set, &errors),
        TW_ERR_KEY);
    assert_int_equal(errors.count, 4);
    assert_int_equal(errors.items[0].line, 2);
    assert_int_equal(errors.items[1].line, 2);
    assert_int_equal(errors.items[2].line, 4);
    assert_int_equal(errors.items[3].line, 4);
}

static void big_files(void **state)
{
    const char *path = file_with("title,kinds,mass [g]\n");
    tw_originals *set = NULL;
    tw_notes errors = {0};
    FILE *file;

    (void)state;
    assert_int_equal(truncate(path, (off_t)1 << 30), 0); /* sparse: costs nothing unless read */
    assert_int_equal(tw_originals_read(path, &set, &errors), TW_ERR_LIMIT);
    assert_non_null(strstr(errors.items[0].message, "67108864 bytes"));
    file = fopen(path, "w");
    assert_non_null(file);
    fputs("title,kinds,height [mm],mass [g]\n", file);
    for (int k = 0; k < 100000; k++)
        fprintf(file, "T%d,helmet,%d,%d.%d\n", k % 50, 200 + k % 100, 1000 + k % 3000, k % 10);
    fclose(file);
    errors.count = 0;
    assert_int_equal(tw_originals_read(path, &set, &errors), TW_OK);
    assert_int_equal(set->count, 100000);
    assert_close(set->rows[99999].g, 1999.9, 1e-9);
    tw_originals_free(set);
    file = fopen(path, "a");
    assert_non_null(file);
    for (int k = 0; k < 100001; k++)
        fputs("T,helmet,1,1\n", file);
    fclose(file);
    errors.count = 0;
    assert_int_equal(tw_originals_read(path, &set, &errors), TW_ERR_LIMIT);
    assert_non_null(strstr(errors.items[0].message, "200001 records; at most 200000"));
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_shipped_set_has_the_figures_of_its_source),
        cmocka_unit_test(pounds_against_grams_finds_the_seven_and_no_other),
        cmocka_unit_test(doubles_and_gaps_are_told_and_nothing_else),
        cmocka_unit_test(every_record_is_cited_and_none_claims_too_much),
        cmocka_unit_test(columns_may_be_few_in_any_order_and_unit),
        cmocka_unit_test(roundings_alone_are_no_contradiction),
        cmocka_unit_test(parts_and_wholes),
        cmocka_unit_test(every_wrong_cell_is_told),
        cmocka_unit_test(all_of_many_are_told),
        cmocka_unit_test(big_files),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
