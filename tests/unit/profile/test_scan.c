/* test_scan.c: points of a scan from a table, beside the profile or in it: rows, units, order, the
 * origin, and every fault at its line. */
#include "read.h"

#include <stdlib.h>
#include <unistd.h>

#define TABLE  HEAD "form:\n  points:\n    table: |\n"
#define HEADER "      x [mm], y [mm], z [mm]\n" /* line 7 */
#define LOW    "      -10, 0, 0\n      1, 0, 5\n      10, 0, 0\n"
#define HIGH   "      -10, 20, 0\n      1, 20, 5\n      12, 20, 0\n"
#define GOOD   HEADER LOW HIGH

static void rows_are_found(void **state)
{
    tw_profile *p = read_ok(TABLE GOOD "thickness: {sheet: 1 mm}\n", NULL, 0);
    const tw_points_spec *spec = &p->points;

    (void)state;
    assert_int_equal(p->form, TW_FORM_POINTS);
    assert_int_equal(spec->row_count, 2);
    assert_int_equal(spec->point_count, 6);
    assert_null(spec->file);
    assert_close(spec->rows[1].y, 20, 0);
    assert_int_equal(spec->rows[1].first, 3);
    assert_int_equal(spec->rows[1].count, 3);
    assert_close(spec->points[5][0], 12, 0);
    assert_close(spec->points[4][1], 5, 0);
    assert_int_equal(spec->line[0], 8);
    assert_int_equal(spec->line[5], 13);
    /* no origin: the middle of the lowest row */
    assert_close(spec->origin[0], 0, 0);
    assert_close(spec->origin[1], 0, 0);
    assert_true(isnan(spec->origin[2]));
    tw_profile_free(p);
}

/* From the top down and to and fro: turned to run up and to the right. */
static void rows_are_put_in_order(void **state)
{
    tw_profile *p =
        read_ok(TABLE HEADER HIGH "      12, 0, 0\n      1, 0, 5\n      -10, 0, 1\n", NULL, 0);
    const tw_points_spec *spec = &p->points;

    (void)state;
    assert_close(spec->rows[0].y, 0, 0);
    assert_int_equal(spec->rows[0].first, 3);
    assert_close(spec->points[3][0], -10, 0);
    assert_close(spec->points[3][1], 1, 0);
    assert_close(spec->points[5][0], 12, 0);
    assert_int_equal(spec->line[3], 13);
    assert_int_equal(spec->line[5], 11);
    assert_close(spec->origin[0], 1, 0);
    tw_profile_free(p);
}

/* Inches, one unit for all, columns in any order; rows by their word, whose y may be 1 mm off. */
static void columns_are_found(void **state)
{
    tw_profile *p = read_ok(TABLE "      Row; z; y (in); X\n"
                                  "      a; 0; 0,01; -1\n      a; 1/4; 0; 0\n      a; 0; 0; 1\n"
                                  "      b; 0; 1; -1\n      b; 0,25; 1; 0,5\n      b; 0; 1; 1\n",
                            NULL, 0);
    const tw_points_spec *spec = &p->points;

    (void)state;
    assert_int_equal(spec->row_count, 2);
    assert_close(spec->points[1][1], 6.35, 1e-12);
    assert_close(spec->points[4][0], 12.7, 1e-12);
    assert_close(spec->rows[0].y, 0.254 / 3, 1e-12);
    assert_close(spec->rows[1].y, 25.4, 1e-12);
    tw_profile_free(p);
}

/* Points in space are given in the scan's numbers; inside they count from the origin. */
static void origin_is_read(void **state)
{
    static const char *const origins[] = {"[2, 10, 4]", "{x: 2, y: 10, z: 4}",
                                          "[0.2 cm, 10, 4 mm]"};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        char text[1024];
        tw_profile *p;
        snprintf(text, sizeof text,
                 TABLE GOOD "    origin: %s\nholes: [{at: {x: 5, y: 12, z: 3}, radius: 1 mm}]\n",
                 origins[k]);
        p = read_ok(text, NULL, 0);
        assert_close(p->points.origin[0], 2, 1e-12);
        assert_close(p->points.origin[1], 10, 0);
        assert_close(p->points.origin[2], 4, 0);
        assert_close(p->holes[0].at.value[0], 3, 1e-12);
        assert_close(p->holes[0].at.value[1], 2, 0);
        assert_close(p->holes[0].at.value[2], 3, 0);
        tw_profile_free(p);
    }
}

typedef struct fault {
    const char *text;
    int line;
    tw_status status;
    const char *message, *advice; /* words in them; advice may be NULL */
} fault;

static void check(const fault *f)
{
    tw_notes errors;
    const tw_error *err = &errors.items[0];

    read_bad(f->text, strlen(f->text), NULL, 0, &errors);
    if (errors.count != 1 || err->line != f->line || err->status != f->status ||
        !strstr(err->message, f->message) || (f->advice && !strstr(err->advice, f->advice)))
        fail_msg("%s\ngave %zu errors: %d: %s; %s", f->text, errors.count, err->line, err->message,
                 err->advice);
}

static void faults_are_told(void **state)
{
    static const fault faults[] = {
        {HEAD "form: {points: {}}\n", 4, TW_ERR_KEY, "lack their file", "scan.csv"},
        {HEAD "form: {points: {file: no/such.csv}}\n", 4, TW_ERR_INPUT, "no/such.csv",
         "relative to the profile"},
        {HEAD "form: {points: {table: ''}}\n", 4, TW_ERR_SYNTAX, "takes the lines", NULL},
        {TABLE GOOD "    file: a.csv\n", 6, TW_ERR_KEY, "not both", NULL},
        {TABLE HEADER, 7, TW_ERR_INPUT, "has no point", NULL},
        {TABLE "      x [mm], y [mm]\n      1, 2\n", 7, TW_ERR_KEY, "lacks the column \"z\"",
         "x [mm], y [mm], z [mm]"},
        {TABLE "      x [mm], y [mm], z [mm], nx\n      1, 2, 3, 4\n", 7, TW_ERR_KEY,
         "unknown column \"nx\"", NULL},
        {TABLE "      x [mm], y [mm], z [mm], x [mm]\n      1, 2, 3, 4\n", 7, TW_ERR_KEY,
         "\"x\" is there twice", NULL},
        {TABLE "      x [kg], y [mm], z [mm]\n      1, 2, 3\n", 7, TW_ERR_UNIT, "does not fit",
         "[cm]"},
        {TABLE "      x [mm], y [mm], z [mm], row [mm]\n      1, 2, 3, 4\n", 7, TW_ERR_UNIT,
         "takes no unit", NULL},
        {TABLE HEADER "      -10, 0, nan\n      1, 0, 5\n      10, 0, 0\n" HIGH, 8, TW_ERR_DOMAIN,
         "finite", NULL},
        {TABLE HEADER LOW, 7, TW_ERR_SHAPE, "at least 2 rows, not 1", NULL},
        {TABLE HEADER LOW "      -10, 20, 0\n      10, 20, 0\n", 11, TW_ERR_SHAPE,
         "at y 20 mm has 2 points", "equal y"},
        {TABLE GOOD "      -10, 10, 0\n      1, 10, 5\n      10, 10, 0\n", 14, TW_ERR_SHAPE,
         "turns back behind the one at 20 mm", "in order of y"},
        {TABLE "      x [mm], y [mm], z [mm], row\n      -9, 0, 0, 1\n      0, 0, 1, 1\n      9, "
               "8, 0, 1\n      -9, 20, 0, 2\n      0, 20, 1, 2\n      9, 20, 0, 2\n",
         8, TW_ERR_SHAPE, "off the rest of its row", NULL},
        {TABLE GOOD "    origin: [1, 2]\n", 14, TW_ERR_SYNTAX, "takes three lengths", "[x, y, z]"},
        {TABLE GOOD "    origin: {edge: rim, along: 2}\n", 14, TW_ERR_KEY, "is a point in space",
         "[x, y, z]"},
        {TABLE GOOD "  keel: {stands: 1 mm, width: 2 mm}\n", 14, TW_ERR_KEY, "only a loft", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof faults / sizeof *faults; k++)
        check(&faults[k]);
}

/* A header without units is told once for each column, wrong cells all of them. */
static void all_faults_are_told(void **state)
{
    static const char bare[] = TABLE "      x, y, z\n" LOW HIGH;
    static const char cells[] = TABLE HEADER "      a, 0, 0\n      1, b, 5\n      10, 0, c\n" HIGH;
    tw_notes errors;

    (void)state;
    read_bad(bare, strlen(bare), NULL, 0, &errors);
    assert_int_equal(errors.count, 3);
    assert_non_null(strstr(errors.items[0].message, "lacks its unit"));
    assert_int_equal(errors.items[0].line, 7);
    read_bad(cells, strlen(cells), NULL, 0, &errors);
    assert_int_equal(errors.count, 3);
    for (int k = 0; k < 3; k++)
        assert_int_equal(errors.items[k].line, 8 + k);
}

/* ---- beside the profile ------------------------------------------------------------------------ */

static char folder[64];

static int begin_folder(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tw_scan_XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int end_folder(void **state)
{
    char command[96];

    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static FILE *open_table(void)
{
    char path[160];
    FILE *file;

    snprintf(path, sizeof path, "%s/s.csv", folder);
    file = fopen(path, "w");
    assert_non_null(file);
    fputs("\xEF\xBB\xBFx [mm],y [mm],z [mm]\r\n", file);
    return file;
}

static tw_status read_beside(tw_profile **out, tw_notes *errors)
{
    char path[160];
    FILE *file;

    snprintf(path, sizeof path, "%s/p.yaml", folder);
    file = fopen(path, "w");
    assert_non_null(file);
    fputs(HEAD "form: {points: {file: s.csv}}\n", file);
    fclose(file);
    return tw_profile_read(path, NULL, 0, out, errors);
}

static void a_file_is_read(void **state)
{
    tw_profile *p = NULL;
    tw_notes errors;
    FILE *file = open_table();

    (void)state;
    for (int j = 0; j < 3; j++)
        for (int k = 0; k < 5; k++)
            fprintf(file, "%d,\"%d\",%d.5\r\n", k, 4 * j, j);
    fclose(file);
    assert_int_equal(read_beside(&p, &errors), TW_OK);
    assert_int_equal(p->points.row_count, 3);
    assert_int_equal(p->points.line[0], 2);
    assert_true(strstr(p->points.file, "/s.csv") != NULL);
    tw_profile_free(p);
}

static void too_much(int rows, int each, const char *message, int line)
{
    tw_profile *p = NULL;
    tw_notes errors;
    FILE *file = open_table();

    for (int j = 0; j < rows; j++)
        for (int k = 0; k < each; k++)
            fprintf(file, "%d,%d,0\n", k, j);
    fclose(file);
    assert_int_equal(read_beside(&p, &errors), TW_ERR_LIMIT);
    if (!strstr(errors.items[0].message, message) || errors.items[0].line != line ||
        !strstr(errors.items[0].file, "s.csv"))
        fail_msg("%s:%d: %s", errors.items[0].file, errors.items[0].line, errors.items[0].message);
}

static void limits_are_told(void **state)
{
    (void)state;
    too_much(2, 1001, "has 1001 points", 2);
    too_much(1001, 3, "too many rows", 3002);
    too_much(251, 1000, "too many points", 250002);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_found),    cmocka_unit_test(rows_are_put_in_order),
        cmocka_unit_test(columns_are_found), cmocka_unit_test(origin_is_read),
        cmocka_unit_test(faults_are_told),   cmocka_unit_test(all_faults_are_told),
        cmocka_unit_test(a_file_is_read),    cmocka_unit_test(limits_are_told),
    };

    return cmocka_run_group_tests(tests, begin_folder, end_folder);
}
