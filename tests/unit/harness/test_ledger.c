/* Cells of records as people write them: numbers, years, kinds and pounds at the ends of what is read; and records
 * that look alike without being so. */
#include "originals_cases.h"

#define HEAD "institution,object,title,kinds,mass [g]\n"

static bool warned(const tw_originals *set, const char *text)
{
    for (size_t k = 0; k < set->warnings.count && k < TW_NOTES_MAX; k++)
        if (strstr(set->warnings.items[k].message, text))
            return true;
    return false;
}

static void numbers_are_read_as_they_stand(void **state)
{
    static const struct {
        const char *text;
        double g;
    } cases[] = {
        {"title;kinds;mass [g]\nA;helmet;2310,5\n", 2310.5}, /* cells part by semicolons */
        {"title\tkinds\tmass [kg]\nA\thelmet\t2,3\n", 2300},
        {"title,kinds,mass\nA,helmet,2.31 kg\n", 2310}, /* the cell has the unit */
        {"title,kinds,mass,\nA,helmet,2.31 kg,\n", 2310},
        {"title,kinds,mass [kg]\nA,helmet,2310 g\n", 0},             /* another than its column's */
        {"title,kinds,mass [g]\nA,helmet,0000000000002310\n", 2310}, /* too long to be plain */
        {"title,kinds, mass ( g ) \nA,helmet,2310\n", 2310},
        {"title,kinds,mass [g],uncertainty [g]\nA,helmet,2310,0\n", 2310},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_originals *set = NULL;
        tw_notes errors;
        const tw_status status = read_text(cases[k].text, &set, &errors);
        if (cases[k].g > 0) {
            assert_int_equal(status, TW_OK);
            assert_close(set->rows[0].g, cases[k].g, 1e-9);
        } else {
            assert_int_equal(status, TW_ERR_UNIT);
        }
        tw_originals_free(set);
    }
}

static void cells_that_are_no_number_are_told(void **state)
{
    static const struct {
        const char *text;
        tw_status status;
        const char *message;
    } cases[] = {
        {"title;kinds;mass [g]\nA;helmet;1,234,5\n", TW_ERR_SYNTAX, ""},
        {"title;kinds;mass [g]\nA;helmet;1.234,5\n", TW_ERR_SYNTAX, ""},
        {"title;kinds;mass [g]\nA;helmet;0,"
         "000000000000000000000000000000000000000000000000000000000000000001\n",
         TW_ERR_SYNTAX, ""},
        {HEAD "M,1,A,helmet,"
              "1111111111111111111111111111111111111111111111111111111111111111111111111111111"
              "1111111111111111111111111111111111111111111111111111111\n",
         TW_ERR_SYNTAX, "mass is no number"},
        {HEAD "M,1,A,helmet,1.2.3\n", TW_ERR_SYNTAX, "in column \"mass\""},
        {HEAD "M,1,A,helmet,about 3\n", TW_ERR_UNIT, "another unit than its column"},
        {"title,kinds,mass [g],height [kg]\nA,helmet,2,3\n", TW_ERR_UNIT, "does not fit"},
        {"title,kinds,mass [g],height\nA,helmet,2,3\n", TW_ERR_UNIT, "\"height\" lacks its unit"},
        /* a column without a unit is told once, not for each row */
        {"title,kinds,mass\nA,helmet,2\nB,helmet,3\nC,helmet,4\n", TW_ERR_UNIT, "lacks its unit"},
        {"title,kinds,mass [g],from year\nA,helmet,2,15000\n", TW_ERR_SYNTAX, "is no year"},
        {"title,kinds,mass [g],from year\nA,helmet,2,0\n", TW_ERR_SYNTAX, "is no year"},
        {"title,kinds,mass [g],to year\nA,helmet,2,15/6\n", TW_ERR_SYNTAX, "to year \"15/6\""},
        {"title,kinds,mass [g],to year\nA,helmet,2,15xx\n", TW_ERR_SYNTAX, "to year \"15xx\""},
        {HEAD "M,1,A,"
              "a kind of armour that takes more letters than any kind of armour has had so far,2\n",
         TW_ERR_SYNTAX, "too long"},
        {HEAD "M,1,A,tasset2,2\n", TW_ERR_KEY, "\"tasset2\" is no trade kind"},
        {HEAD "M,1,A,2,2\n", TW_ERR_KEY, "\"2\" is no trade kind"},
        {HEAD "M,1,A,tasset /,2\n", TW_ERR_KEY, "no trade kind"},
        {HEAD "M,1,A,tasset x:,2\n", TW_ERR_KEY, "no trade kind"},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_originals *set = NULL;
        tw_notes errors;
        const tw_status status = read_text(cases[k].text, &set, &errors);
        if (status != cases[k].status || errors.count != 1 ||
            !strstr(errors.items[0].message, cases[k].message))
            fail_msg("case %zu: status %d, %zu errors: %s", k, (int)status, errors.count,
                     errors.items[0].message);
        assert_null(set);
    }
}

static void kinds_are_counted_however_they_are_written(void **state)
{
    char text[2000] = HEAD "M,1,A,\"", many[2100];
    tw_originals *set =
        set_of(HEAD "M,1,A,\" ; Tasset   2 ;, tasset; backplate ;;\",2\nM,2,B,,2\n");
    tw_notes errors;

    (void)state;
    assert_int_equal(set->rows[0].kind_count, 2);
    assert_string_equal(set->rows[0].kinds[0].kind, "backplate");
    assert_int_equal(set->rows[0].kinds[1].count, 3);
    assert_int_equal(set->rows[1].kind_count, 0);
    tw_originals_free(set);
    for (int k = 0; k < 64; k++)
        strcat(text, "tasset;");
    snprintf(many, sizeof many, "%stasset\",2\n", text);
    strcat(text, "\",2\n");
    set = set_of(text);
    assert_int_equal(set->rows[0].kinds[0].count, 64);
    tw_originals_free(set);
    set = NULL;
    assert_int_equal(read_text(many, &set, &errors), TW_ERR_LIMIT);
    assert_non_null(strstr(errors.items[0].message, "more than 64 kinds"));
    assert_null(set);
}

static void years_may_be_one_or_two(void **state)
{
    tw_originals *set = set_of("title,kinds,mass [g],from year,to year\nA,helmet,2,1500,\n"
                               "B,helmet,3,,1510\nC,helmet,4,1490,1520\nD,helmet,5,,\n");
    static const int years[][2] = {{1500, 1500}, {1510, 1510}, {1490, 1520}, {0, 0}};

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        assert_int_equal(set->rows[k].year_from, years[k][0]);
        assert_int_equal(set->rows[k].year_to, years[k][1]);
    }
    tw_originals_free(set);
}

/* A digit printed is good to half of it: 0.05 oz are 1.4 g, 0.05 lb 22.7 g. Source: 1 lb = 453.59237 g. */
static void roundings_of_pounds_in_every_way_of_writing(void **state)
{
    static const struct {
        const char *mass, *pounds;
        bool agrees;
    } cases[] = {
        {"1702", "3 lb 12.0oz", true},    {"1704", "3 lb 12.0oz", false},
        {"1702", "3 lb  12.0 oz", true},                             /* two blanks */
        {"1710", "3.8 lb ", true},        {"1748", "3.8 lb", false}, /* 1723.7 g */
        {"1701.5", "3 lb 12.0 oz", true},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char text[256];
        tw_originals *set;
        snprintf(text, sizeof text, "object,kinds,mass [g],pounds\n1,helmet,%s,%s\n", cases[k].mass,
                 cases[k].pounds);
        set = set_of(text);
        if (set->rows[0].use != cases[k].agrees)
            fail_msg("%s g, %s", cases[k].mass, cases[k].pounds);
        tw_originals_free(set);
    }
}

/* What its own row leaves out stays out for its own reason, and is told all the same. */
static void a_record_left_out_keeps_its_reason(void **state)
{
    tw_originals *set = set_of("object,title,kinds,mass [g],pounds,use,why\n"
                               "1,,helmet,1000,3 lb,no,a cast\n,T,helmet,1000,3 lb,yes,a cast\n");

    (void)state;
    assert_true(!set->rows[0].use && !set->rows[1].use);
    assert_string_equal(set->rows[0].why, "a cast");
    assert_string_equal(set->rows[1].why, "pounds and grams disagree by 361 g"); /* 3 lb: 1361 g */
    assert_true(warned(set, "1 (no title): 3 lb are 1361 g, but its grams say 1000 g"));
    assert_true(warned(set, "record (T): 3 lb are 1361 g"));
    tw_originals_free(set);
}

/* Numbers of one object differ behind their figures; other institutions, other figures, none, and no number at
 * all are other objects. */
static void one_object_told_twice_is_told(void **state)
{
    tw_originals *set = set_of(HEAD "M,14.25.1a,A,helmet,1000\nM,14.25.1b,B,gorget,1000\n"
                                    "M,14.25.,C,helmet,1100\nM,14.25,D,gorget,1100\n"
                                    "M,14.25.2a,E,helmet,1200\nN,14.25.2b,F,gorget,1200\n"
                                    "M,14.25.3,G,helmet,1300\nM,14.25.44,H,gorget,1300\n"
                                    "M,x1,I,helmet,1400\nM,x2,J,gorget,1400\n"
                                    "M,,K,helmet,1500\nM,14.25.5,L,gorget,1500\n"
                                    "M,14.26.6,M,helmet,1600\nM,,N,gorget,1600\n"
                                    "M,14.26.7,O,helmet,1700\nM,14.26.8,P,gorget,1700\n");

    (void)state;
    assert_int_equal(set->warning_count, 2);
    assert_true(warned(set, "14.25.1a and 14.25.1b: two records of one object"));
    assert_true(warned(set, "14.25. and 14.25: two records of one object"));
    tw_originals_free(set);
}

/* One mass and one height may have been copied; without a height, or of other kinds, it says nothing. */
static void the_same_size_twice_is_told(void **state)
{
    tw_originals *set = set_of("institution,object,title,kinds,mass [g],height [mm]\n"
                               "M,1,A,helmet,1000,300\nN,2,B,helmet,1000,300\n"
                               "M,3,C,helmet,1100,300\nN,4,D,helmet,1100,310\n"
                               "M,5,E,helmet,1200,\nN,6,F,helmet,1200,\n"
                               "M,7,G,helmet,1300,300\nN,8,H,gorget,1300,300\n"
                               "M,9,I,,1400,300\nN,10,J,,1400,300\n"
                               "M,11,K,tasset 2,1500,300\nN,12,L,tasset 3,1500,300\n"
                               "M,13,N,helmet,1600,300\nM,13,O,helmet,1600,300\n");

    (void)state;
    assert_int_equal(set->warning_count, 1);
    assert_true(warned(set, "1 and 2: the same mass, 1000 g, and the same height, 300 mm"));
    tw_originals_free(set);
}

/* A whole is held only against records of less, as many as can be held at once; the others say nothing. */
static void a_whole_among_many(void **state)
{
    char text[16000];
    size_t used;
    tw_originals *set;

    (void)state;
    /* the same pieces twice are no parts; nor is one that has more of a kind than the whole */
    set = set_of(HEAD "M,1,all,breastplate; tasset,4000\nM,1,all,breastplate; gorget,4100\n"
                      "M,2,all,breastplate; gorget; tasset,4000\nM,2,a,tasset 2,5000\n"
                      "M,3,all,breastplate; tasset 2,4000\nM,3,none,,5000\n");
    assert_int_equal(set->warning_count, 0);
    tw_originals_free(set);
    /* 61 records of one object are too many to hold against each other, 60 are not */
    for (int more = 0; more <= 1; more++) {
        used = (size_t)snprintf(text, sizeof text, HEAD "M,1,all,tasset 80,50000\n");
        for (int k = 0; k < 59 + more; k++)
            used += (size_t)snprintf(text + used, sizeof text - used, "M,1,p%d,tasset,%d\n", k,
                                     1000 + k);
        set = set_of(text);
        assert_int_equal(set->warning_count, more ? 0 : 1);
        tw_originals_free(set);
    }
    /* 33 parts of two kinds: the 33rd is one too many for the list, so that 32 of 1000 g are added up */
    used = (size_t)snprintf(text, sizeof text, HEAD "M,1,all,breastplate 40; backplate 40,20000\n");
    for (int k = 0; k < 33; k++)
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 "M,1,p%d,breastplate; backplate,1000\n", k);
    set = set_of(text);
    assert_true(warned(set, "its 32 parts weighed apart add up to 32000 g"));
    tw_originals_free(set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read_as_they_stand),
        cmocka_unit_test(cells_that_are_no_number_are_told),
        cmocka_unit_test(kinds_are_counted_however_they_are_written),
        cmocka_unit_test(years_may_be_one_or_two),
        cmocka_unit_test(roundings_of_pounds_in_every_way_of_writing),
        cmocka_unit_test(a_record_left_out_keeps_its_reason),
        cmocka_unit_test(one_object_told_twice_is_told),
        cmocka_unit_test(the_same_size_twice_is_told),
        cmocka_unit_test(a_whole_among_many),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
