/* Gauge readings from tables: columns, units, names, and errors that point at their cell. */
#include "read.h"

#include <stdlib.h>
#include <unistd.h>

#define BOWL     HEAD "form: {bowl: {across: 95 mm, depth: 60 mm}}\n"
#define CALIPER  "    instruments: [{kind: caliper, resolution: 0.1 mm}]\n"
#define READINGS "thickness:\n  readings:\n"

static char folder[64];

static int begin_folder(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tw_readings_XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int end_folder(void **state)
{
    char command[96];

    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static void put(const char *name, const char *text)
{
    char path[160];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

/* Reads a profile whose readings stand in r.csv beside it. */
static tw_status read_table(const char *head, const char *more, const char *table, tw_profile **out,
                            tw_notes *errors)
{
    char text[2048], path[160];

    put("r.csv", table);
    snprintf(text, sizeof text, "%s" READINGS CALIPER "    file: r.csv\n%s", head, more);
    put("p.yaml", text);
    snprintf(path, sizeof path, "%s/p.yaml", folder);
    return tw_profile_read(path, NULL, 0, out, errors);
}

static void assert_reads(const char *head, const char *more, const char *table, size_t count,
                         size_t which, tw_point_kind kind, double a, double b, double thickness)
{
    tw_profile *p = NULL;
    tw_notes errors;
    const tw_reading *r;

    if (read_table(head, more, table, &p, &errors) != TW_OK)
        fail_msg("%s\n%d: %s; %s", table, errors.items[0].line, errors.items[0].message,
                 errors.items[0].advice);
    assert_int_equal(p->readings.reading_count, count);
    r = &p->readings.readings[which];
    assert_true(r->from_table && r->place.line == (int)which + 2 && r->repeats >= 1);
    assert_int_equal(r->at.kind, kind);
    assert_close(r->at.value[0], a, 1e-12);
    assert_close(r->at.value[1], b, 1e-12);
    assert_close(r->thickness, thickness, 1e-12);
    assert_true(strstr(p->readings.file, "/r.csv") && p->readings.file[0] == '/');
    tw_profile_free(p);
}

static void tables_are_read(void **state)
{
    const tw_point_kind tape = TW_POINT_TAPE;

    (void)state;
    assert_reads(FLAT, "", "across [mm],up [mm],thickness [mm]\n1,2,1.5\n-3,4.5,1.25\n", 2, 1, tape,
                 -3, 4.5, 1.25);
    assert_reads(FLAT, "",
                 "\xEF\xBB\xBF"
                 "Across (cm);Up (cm);Thickness (mm)\r\n1,5;2;1,45\r\n",
                 1, 0, tape, 15, 20, 1.45);
    assert_reads(FLAT, "", "across, mm\tup, mm\tthickness, in\n1\t2\t1/16\n", 1, 0, tape, 1, 2,
                 1.5875);
    assert_reads(FLAT, "", "\"across, mm\",up,thickness\n1,2,1.5 mm\n3,4 mm,1.6 mm\n", 2, 1, tape,
                 3, 4, 1.6);
    assert_reads(FLAT, "", "across,up,thickness [mm]\n7,8,1.5\n", 1, 0, tape, 7, 8,
                 1.5); /* ruler */
    assert_reads(FLAT, "    seen from: inside\n", "across [mm],up [mm],thickness [mm]\n7,8,1.5\n",
                 1, 0, tape, -7, 8, 1.5);
    assert_reads(FLAT, "", "edge,along [mm],in [mm],thickness [mm]\nrim,7,8,1.5\n", 1, 0,
                 TW_POINT_EDGE, 7, 8, 1.5);
    assert_reads(FLAT, "", "edge,along [mm],thickness [mm]\nrim,7,1.5\n", 1, 0, TW_POINT_EDGE, 7, 0,
                 1.5);
    assert_reads(FLAT, "", "x [in],y,z,thickness [mm]\n1,2,0,1.5\n", 1, 0, TW_POINT_SPACE, 25.4,
                 50.8, 1.5);
    assert_reads(BOWL, "    seen from: inside\n",
                 "from crown [mm],toward [deg],thickness [mm]\n30,90,1.5\n", 1, 0, TW_POINT_CROWN,
                 30, -TW_PI / 2, 1.5);
}

static void tables_carry_names_repeats_and_decisions(void **state)
{
    tw_profile *p = NULL;
    tw_notes errors;

    (void)state;
    assert_int_equal(
        read_table(
            FLAT, "    points: [{at: [9, 9], thickness: 1 mm}]\n",
            "name,across [mm],up [mm],thickness [mm],instrument,repeats,spread [mm],leave out\n"
            "A,1,2,1.5,caliper,3,0.04,\n,3,4,1.6,,,,yes\n",
            &p, &errors),
        TW_OK);
    assert_int_equal(p->readings.reading_count, 3);
    assert_false(p->readings.readings[0].from_table); /* the profile's own come first */
    assert_string_equal(p->readings.readings[1].name, "A");
    assert_int_equal(p->readings.readings[1].repeats, 3);
    assert_close(p->readings.readings[1].spread, 0.04, 0);
    assert_false(p->readings.readings[1].leave_out);
    assert_string_equal(p->readings.readings[2].name, "3");
    assert_true(p->readings.readings[2].leave_out && p->readings.readings[2].repeats == 1);
    tw_profile_free(p);
}

typedef struct table_fault {
    const char *table;
    int line;
    tw_status status;
    const char *message, *advice;
} table_fault;

#define COLUMNS3 "across [mm],up [mm],thickness [mm]\n"
static void faults_of_tables(void **state)
{
    static const table_fault faults[] = {
        {COLUMNS3 "1,2,1.5\n3,4,0.06 in\n", 3, TW_ERR_UNIT, "thickness has another unit", "mm"},
        {COLUMNS3 "1,2,\"1,5\"\n", 2, TW_ERR_SYNTAX, "comma", "1.5"},
        {COLUMNS3 "1,2,1,5\n", 2, TW_ERR_SYNTAX, "4 cells", "point"},
        {"across [mm]\tup [mm]\tthickness [mm]\n1\t2\t1,5\n", 2, TW_ERR_SYNTAX, "comma", "1.5"},
        {COLUMNS3 "1,2,-1.5\n", 2, TW_ERR_DOMAIN, "thickness \"-1.5 mm\" is not above zero", NULL},
        {COLUMNS3 "1,,1.5\n", 2, TW_ERR_SYNTAX, "up is empty", NULL},
        {COLUMNS3 "1,2,thin\n", 2, TW_ERR_SYNTAX, "thickness", NULL},
        {"across [mm],up [mm],thickness\n1,2,1.5\n3,4,1.6\n", 1, TW_ERR_UNIT,
         "\"thickness\" lacks its unit", "thickness [mm]"},
        {"across [kg],up [mm],thickness [mm]\n1,2,1.5\n", 1, TW_ERR_UNIT, "does not fit", "[mm]"},
        {"across [mm],up [mm],thicknes [mm],thickness [mm]\n1,2,1.5,1\n", 1, TW_ERR_KEY, "unknown",
         "thickness [mm]"},
        {"across [mm],up [mm],thickness [mm],thickness [mm]\n1,2,1.5,1\n", 1, TW_ERR_KEY, "twice",
         NULL},
        {"across [mm],thickness [mm]\n1,1.5\n", 1, TW_ERR_KEY, "do not say where", "up"},
        {"across [mm],up [mm],x [mm],thickness [mm]\n1,2,3,1.5\n", 1, TW_ERR_KEY, "two ways", NULL},
        {"across [mm],up [mm]\n1,2\n", 1, TW_ERR_KEY, "lacks the column \"thickness\"", "[mm]"},
        {COLUMNS3, 1, TW_ERR_INPUT, "no reading", NULL},
        {"across [mm],up [mm],thickness [mm],\n1,2,1.5,?\n", 2, TW_ERR_KEY, "without a name", NULL},
        {"across [mm],up [mm],thickness [mm],repeats\n1,2,1.5,some\n", 2, TW_ERR_DOMAIN, "whole",
         NULL},
        {"across [mm],up [mm],thickness [mm],spread [mm]\n1,2,1.5,0.1\n", 2, TW_ERR_KEY, "repeats",
         NULL},
        {"across [mm],up [mm],thickness [mm],leave out\n1,2,1.5,maybe\n", 2, TW_ERR_KEY,
         "yes or no", NULL},
        {"across [mm],up [mm],thickness [mm],instrument\n1,2,1.5,ruler\n", 2, TW_ERR_KEY,
         "no \"ruler\"", "caliper"},
        {"name,across [mm],up [mm],thickness [mm]\na,1,2,1\na,1,3,1\n", 3, TW_ERR_KEY,
         "twice, first in line 2", NULL},
        {"edge,along [mm],thickness [mm]\nrim,1,1\nrum,1,1\n", 3, TW_ERR_KEY, "no edge \"rum\"",
         "rim"},
        {"from crown [mm],toward [deg],thickness [mm]\n1,2,1\n", 2, TW_ERR_KEY, "only a bowl",
         NULL},
        {"\xFF\xFE"
         "x",
         1, TW_ERR_SYNTAX, "UTF-16", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++) {
        tw_profile *p = NULL;
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        const tw_status status = read_table(FLAT, "", faults[k].table, &p, &errors);
        if (status != faults[k].status || errors.count != 1 || e->line != faults[k].line ||
            e->column > (int)strlen(e->source) + 1 || !strstr(e->message, faults[k].message) ||
            !strstr(e->file, "/r.csv") ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice)))
            fail_msg("fault %zu: %zu errors, %s:%d: %s; %s", k, errors.count, e->file, e->line,
                     e->message, e->advice);
    }
}

/* Columns count letters, tabs are one, quotes and semicolons as they stand; the line is shown. */
static void carets_stand_under_cells(void **state)
{
    static const struct {
        const char *table, *source;
        int line, column;
    } cases[] = {
        {COLUMNS3 "1,2,1.4\n1, 2,-1\n", "1, 2,-1", 3, 6},
        {"\xEF\xBB\xBFname;across [mm];up [mm];thickness [mm]\r\n\"gr\xC3\xB6\xC3\x9F"
         "e; x\";0;0;-2,0\r\n",
         "\"gr\xC3\xB6\xC3\x9F"
         "e; x\";0;0;-2,0",
         2, 16},
        {"across [mm]\tup [mm]\tthickness [mm]\n1\t2\tx\n", "1 2 x", 2, 5},
        {"name,across [mm],up [mm],thickness [mm]\n\"two\"\"\",1,2,\"-1\"\n",
         "\"two\"\"\",1,2,\"-1\"", 2, 14},
        {"across [mm],up [mm],thickness [mm],leave out\n\n# remark\n1,2,1,maybe\n", "1,2,1,maybe",
         4, 7},
        {COLUMNS3 "1,2,1\n3,,1\n", "3,,1", 3, 3},
        {"across [mm],up [kg],thickness [mm]\n1,2,1\n", "across [mm],up [kg],thickness [mm]", 1,
         13},
        {COLUMNS3 "1,2,1\n1,2\n", "1,2", 3, 0},
        {"across [mm],up [mm],thickness [mm],instrument\n1,2,1,ruler\n", "1,2,1,ruler", 2, 7},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_profile *p = NULL;
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        assert_int_not_equal(read_table(FLAT, "", cases[k].table, &p, &errors), TW_OK);
        if (e->line != cases[k].line || e->column != cases[k].column ||
            strcmp(e->source, cases[k].source) != 0)
            fail_msg("case %zu: %d:%d: %s\n%s", k, e->line, e->column, e->message, e->source);
    }
}

/* What a later room says of a reading stands under its point. */
static void readings_of_tables_keep_their_line(void **state)
{
    static const char table[] = "name,across [mm],up [mm],thickness [mm]\n\"two\nlines\",1,2,1\n"
                                "b,3,4,1\n";
    tw_profile *p = NULL;
    tw_notes errors;

    (void)state;
    assert_int_equal(
        read_table(FLAT, "", "name,across [mm],up [mm],thickness [mm]\nb,3,4,1\n", &p, &errors),
        TW_OK);
    assert_int_equal(p->readings.readings[0].place.line, 2);
    assert_int_equal(p->readings.readings[0].place.column, 3);
    assert_string_equal(p->readings.readings[0].source, "b,3,4,1");
    tw_profile_free(p);
    assert_int_equal(read_table(FLAT, "", table, &p, &errors), TW_ERR_SYNTAX);
    assert_string_equal(errors.items[0].source, "\"two");
}

static void no_wrong_cell_hides_another(void **state)
{
    tw_profile *p = NULL;
    tw_notes errors;
    char *many = malloc(64 * 1024);

    (void)state;
    read_table(FLAT, "", COLUMNS3 "a,2,-1\n1,2,1.5\n1,b,\n", &p, &errors);
    assert_int_equal(errors.count, 4);
    assert_true(errors.items[0].line == 2 && strstr(errors.items[0].message, "across"));
    assert_true(errors.items[1].line == 2 && strstr(errors.items[1].message, "thickness"));
    assert_true(errors.items[2].line == 4 && strstr(errors.items[2].message, "up"));
    assert_true(errors.items[3].line == 4 && strstr(errors.items[3].message, "thickness is empty"));
    assert_non_null(many);
    strcpy(many, COLUMNS3);
    for (int k = 0; k < TW_READINGS_MAX; k++)
        snprintf(many + strlen(many), 32, "%d,%d,1.5\n", k % 60, k / 60);
    assert_int_equal(read_table(FLAT, "", many, &p, &errors), TW_OK);
    assert_int_equal(p->readings.reading_count, TW_READINGS_MAX);
    tw_profile_free(p);
    p = NULL;
    strcat(many, "0,0,1.5\n");
    assert_int_equal(read_table(FLAT, "", many, &p, &errors), TW_ERR_LIMIT);
    assert_true(errors.count == 1 && errors.items[0].line == TW_READINGS_MAX + 2);
    assert_non_null(strstr(errors.items[0].advice, "2000"));
    free(many);
}

static void a_missing_table_is_told_in_the_profile(void **state)
{
    tw_notes errors;

    (void)state;
    read_bad(FLAT READINGS CALIPER "    file: /none/r.csv\n",
             strlen(FLAT READINGS CALIPER "    file: /none/r.csv\n"), NULL, 0, &errors);
    assert_int_equal(errors.count, 1);
    assert_true(errors.items[0].line == 9 && errors.items[0].column == 11);
    assert_non_null(strstr(errors.items[0].message, "no such file"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(tables_are_read, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(tables_carry_names_repeats_and_decisions, begin_folder,
                                        end_folder),
        cmocka_unit_test_setup_teardown(faults_of_tables, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(carets_stand_under_cells, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(readings_of_tables_keep_their_line, begin_folder,
                                        end_folder),
        cmocka_unit_test_setup_teardown(no_wrong_cell_hides_another, begin_folder, end_folder),
        cmocka_unit_test(a_missing_table_is_told_in_the_profile),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
