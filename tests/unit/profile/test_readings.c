/* Gauge readings, from the profile and from tables; scale, area, paper and tolerance. */
#include "read.h"

#include <stdlib.h>
#include <unistd.h>

#define BOWL     HEAD "form: {bowl: {across: 95 mm, depth: 60 mm}}\n"
#define CALIPER  "    instruments: [{kind: caliper, resolution: 0.1 mm}]\n"
#define READINGS "thickness:\n  readings:\n"
#define AREA     "plate: t\nmaterial: mild steel\n"

/* ---- in the profile ------------------------------------------------------------------------- */

static void readings_with_everything(void **state)
{
    tw_profile *p = read_ok(
        BOWL "thickness:\n  sheet: 1.6 mm\n  tolerance: {standard: EN 10131, class: special}\n"
             "  forged: {edges: [{edge: rim, thickness: 1 mm}]}\n"
             "  readings:\n"
             "    trend: forged\n"
             "    surface: 0.12 mm\n"
             "    seen from: inside\n"
             "    instruments:\n"
             "      - {name: gauge, kind: ultrasonic, resolution: 0.01 mm, uncertainty: 0.03 mm,\n"
             "         least: 1 mm, foot: 6 mm, set velocity: 5900 m/s, metal velocity: 5.7 km/s, "
             "serial: 17}\n"
             "      - {kind: caliper, resolution: 0.05 mm, reach: 40 mm}\n"
             "      - {name: tied, kind: ultrasonic, resolution: 0.1 mm, tie: {true: 2 mm, reads: "
             "2.06 mm}}\n"
             "    points:\n"
             "      - {at: [10, 20], thickness: [1.4 mm, 1.5 mm, 1.6 mm], instrument: gauge}\n"
             "      - {name: crown, at: {from crown: 30, toward: 90 deg}, thickness: 1/16 in,\n"
             "         instrument: caliper, leave out: yes}\n"
             "      - {at: {edge: rim, along: 12, in: 3}, thickness: 0.9 mm, instrument: tied}\n"
             "      - {at: {x: 4, y: 5, z: 6}, thickness: 0.9 mm, instrument: tied}\n"
             "    object: cap\n    part: skull\n    measured by: the owner\n    date: in May\n",
        NULL, 0);
    const tw_readings_spec *r = &p->readings;

    (void)state;
    assert_true(p->has_readings && r->trend == TW_TREND_FORGED && r->surface == 0.12);
    assert_int_equal(r->instrument_count, 3);
    assert_string_equal(r->instruments[0].name, "gauge");
    assert_int_equal(r->instruments[0].kind, TW_ULTRASONIC);
    assert_close(r->instruments[0].set_velocity, 5.9, 1e-15);
    assert_close(r->instruments[0].metal_velocity, 5.7, 1e-15);
    assert_true(r->instruments[0].least == 1 && r->instruments[0].foot == 6);
    assert_true(isinf(r->instruments[0].reach) && r->instruments[0].uncertainty == 0.03);
    assert_string_equal(r->instruments[0].serial, "17");
    assert_string_equal(r->instruments[1].name, "caliper"); /* its kind */
    assert_true(r->instruments[1].reach == 40 && r->instruments[1].resolution == 0.05);
    assert_true(r->instruments[2].tie_true == 2 && r->instruments[2].tie_reads == 2.06);
    assert_int_equal(r->reading_count, 4);
    /* mean 1.5, standard deviation of 1.4, 1.5, 1.6: 0.1 (n − 1) */
    assert_close(r->readings[0].thickness, 1.5, 1e-15);
    assert_close(r->readings[0].spread, 0.1, 1e-15);
    assert_int_equal(r->readings[0].repeats, 3);
    assert_string_equal(r->readings[0].name, "1");
    assert_close(r->readings[0].at.value[0], -10, 0); /* seen from inside */
    assert_close(r->readings[0].at.value[1], 20, 0);
    assert_string_equal(r->readings[1].name, "crown");
    assert_close(r->readings[1].at.value[1], -TW_PI / 2, 1e-15);
    assert_close(r->readings[1].thickness, 1.5875, 1e-12);
    assert_true(r->readings[1].leave_out && r->readings[1].repeats == 1);
    assert_int_equal(r->readings[1].instrument, 1);
    assert_int_equal(r->readings[1].place.line, 20);
    assert_close(r->readings[2].at.value[0], 12, 0); /* the same from both sides */
    assert_close(r->readings[3].at.value[0], 4, 0);
    assert_int_equal(r->readings[3].instrument, 2);
    assert_string_equal(r->object, "cap");
    assert_string_equal(r->part, "skull");
    assert_string_equal(r->measured_by, "the owner");
    assert_string_equal(r->date, "in May");
    assert_true(p->tolerance.given && p->tolerance.grade == TW_CLASS_SPECIAL);
    tw_profile_free(p);
    p = read_ok(FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: 1.4 mm}]\n", NULL, 0);
    assert_true(p->has_readings && !p->has_sheet && p->readings.trend == TW_TREND_EVEN);
    assert_true(isnan(p->readings.surface) && p->readings.file == NULL);
    assert_true(p->readings.readings[0].at.value[0] == 1 && !p->readings.readings[0].from_table);
    tw_profile_free(p);
}

static void settings_reach_readings(void **state)
{
    const tw_setting settings[] = {{"thickness.readings.points.b.thickness", "1.7 mm"},
                                   {"thickness.readings.points.1.leave out", "yes"},
                                   {"thickness.readings.instruments.caliper.resolution", "1 mm"}};
    tw_profile *p = read_ok(
        FLAT READINGS "    instruments: [{name: caliper, kind: caliper, resolution: 0.1 mm}]\n"
                      "    points: [{at: [1, 2], thickness: 1.4 mm},"
                      " {name: b, at: [1, 3], thickness: 1.4 mm}]\n",
        settings, 3);

    (void)state;
    assert_true(p->readings.readings[1].thickness == 1.7 && p->readings.readings[0].leave_out);
    assert_true(p->readings.instruments[0].resolution == 1);
    tw_profile_free(p);
}

typedef struct fault {
    const char *text;
    int line, column;
    tw_status status;
    const char *message, *advice;
} fault;

static void check_faults(const fault *faults, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        tw_notes errors;
        const tw_error *e = &errors.items[0];
        read_bad(faults[k].text, strlen(faults[k].text), NULL, 0, &errors);
        if (errors.count != 1 || e->line != faults[k].line || e->column != faults[k].column ||
            e->status != faults[k].status || !strstr(e->message, faults[k].message) ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice)))
            fail_msg("%s\nfault %zu: %zu errors, %d:%d %s; %s", faults[k].text, k, errors.count,
                     e->line, e->column, e->message, e->advice);
    }
}

#define POINT_ROW "    points: [{at: [1, 2], thickness: 1.4 mm}]\n"
static void faults_of_readings(void **state)
{
    static const fault faults[] = {
        {FLAT READINGS CALIPER, 8, 5, TW_ERR_KEY, "no readings in readings", "points"},
        {FLAT READINGS POINT_ROW, 8, 5, TW_ERR_KEY, "lacks \"instruments\"", "instruments"},
        {FLAT READINGS "    instruments: []\n" POINT_ROW, 8, 18, TW_ERR_KEY, "is empty", "caliper"},
        {FLAT READINGS CALIPER "    points: []\n", 9, 13, TW_ERR_KEY, "is empty", "at"},
        {FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: -1.4 mm}]\n", 9, 38,
         TW_ERR_DOMAIN, "not above zero", NULL},
        {FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: 1.4}]\n", 9, 38, TW_ERR_UNIT,
         "lacks its unit", "1.4 mm"},
        {FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: 140 mm}]\n", 9, 38,
         TW_ERR_DOMAIN, "out of range", "50 mm"},
        {FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: []}]\n", 9, 38, TW_ERR_KEY,
         "repeats is empty", NULL},
        {FLAT READINGS CALIPER "    points: [{at: [1, 2], thickness: 1 mm, instrument: calipre}]\n",
         9, 56, TW_ERR_KEY, "no \"calipre\"", "caliper"},
        {FLAT READINGS CALIPER "    points: [{at: {edge: rum, along: 1}, thickness: 1 mm}]\n", 9,
         19, TW_ERR_KEY, "no edge \"rum\"", "rim"},
        {FLAT READINGS CALIPER
         "    points: [{at: {from crown: 1, toward: 0 deg}, thickness: 1 mm}]\n",
         9, 19, TW_ERR_KEY, "only a bowl", NULL},
        {FLAT READINGS CALIPER "    points:\n      - {name: a, at: [1, 2], thickness: 1 mm}\n"
                               "      - {name: a, at: [1, 3], thickness: 1 mm}\n",
         11, 9, TW_ERR_KEY, "twice, first in line 10", "repeats"},
        {FLAT READINGS "    instruments: [{kind: caliper, resolution: 0.1 mm}, {kind: micrometer, "
                       "resolution: 0.01 mm}]\n" POINT_ROW,
         9, 14, TW_ERR_KEY, "does not say which", "caliper"},
        {FLAT READINGS "    instruments: [{kind: caliper, resolution: 0.1 mm}, {kind: caliper, "
                       "resolution: 0.1 mm}]\n    points: [{at: [1, 2], thickness: 1.4 mm, "
                       "instrument: caliper}]\n",
         8, 56, TW_ERR_KEY, "is there twice", "own name"},
        {FLAT READINGS CALIPER "    trend: forged\n" POINT_ROW, 9, 12, TW_ERR_KEY,
         "needs a forged taper", "plane"},
        {FLAT READINGS CALIPER "    seen from: behind\n" POINT_ROW, 9, 16, TW_ERR_KEY,
         "not a side to look from", "inside"},
        {FLAT READINGS "    instruments: [{kind: caliper, resolution: 0.1 mm, set velocity: 5900 "
                       "m/s}]\n" POINT_ROW,
         8, 55, TW_ERR_KEY, "ultrasonic gauge only", NULL},
        {FLAT READINGS "    instruments: [{kind: ultrasonic, resolution: 0.1 mm, metal velocity: "
                       "5900 m/s}]\n" POINT_ROW,
         8, 58, TW_ERR_KEY, "without the set velocity", NULL},
        {FLAT READINGS "    instruments: [{kind: ultrasonic, resolution: 0.1 mm, set velocity: "
                       "5900}]\n" POINT_ROW,
         8, 72, TW_ERR_UNIT, "lacks its unit", "5900 m/s"},
        {FLAT READINGS "    instruments: [{kind: ultrasonic, resolution: 0.1 mm, tie: {true: 2 mm, "
                       "reads: 4.1 mm}}]\n" POINT_ROW,
         8, 63, TW_ERR_DOMAIN, "more than half", "echo"},
        {AREA "area: 5 dm2\n" READINGS CALIPER
              "    points: [{at: [1 mm, 2 mm], thickness: 1 mm}]\n",
         6, 5, TW_ERR_KEY, "need a form", NULL},
    };

    (void)state;
    check_faults(faults, sizeof faults / sizeof *faults);
}

/* ---- from a table --------------------------------------------------------------------------- */

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
            e->column != 0 || !strstr(e->message, faults[k].message) ||
            !strstr(e->file, "/r.csv") ||
            (faults[k].advice && !strstr(e->advice, faults[k].advice)))
            fail_msg("fault %zu: %zu errors, %s:%d: %s; %s", k, errors.count, e->file, e->line,
                     e->message, e->advice);
    }
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

/* ---- scale, area, paper, tolerance ---------------------------------------------------------- */

/* Roundings of a step d: d/√6 for two, d/√12 for one. Source: JCGM 100:2008, F.2.2.1. */
static void weights_and_areas_carry_their_uncertainty(void **state)
{
    static const struct {
        const char *text;
        double scale, step, uncertainty;
    } scales[] = {
        {"scale: 842 g\n", 842, 0, NAN},
        {"scale: {reads: 842 g}\n", 842, 0, NAN},
        {"scale: {reads: 842 g, step: 5 g}\n", 842, 5, 2.0412414523193150},
        {"scale: {reads: 842 g, step: 1 g, tare: net}\n", 842, 1, 0.40824829046386302},
        {"scale: {reads: 842 g, step: 1 g, tare: exact}\n", 842, 1, 0.28867513459481288},
        {"scale: {reads: 842 g, step: 1 g, uncertainty: 2 g}\n", 842, 1, 2.0412414523193150},
        {"scale: {reads: 842 g, uncertainty: 2 g}\n", 842, 0, 2},
    };

    (void)state;
    for (size_t k = 0; k < sizeof scales / sizeof *scales; k++) {
        char text[256];
        tw_profile *p;
        snprintf(text, sizeof text, AREA "area: {value: 5.2 dm2, uncertainty: 40 cm2}\n%s",
                 scales[k].text);
        p = read_ok(text, NULL, 0);
        assert_close(p->area, 52000, 1e-9);
        assert_close(p->area_uncertainty, 4000, 1e-9);
        assert_true(p->scale == scales[k].scale && p->scale_step == scales[k].step);
        if (isnan(scales[k].uncertainty))
            assert_true(isnan(p->scale_uncertainty));
        else
            assert_close(p->scale_uncertainty, scales[k].uncertainty, 1e-14);
        assert_true(p->measured_to == 1);
        tw_profile_free(p);
    }
    {
        /* 16.4 g of 80 g/m²: 205000 mm²; 2 % of it and 0.1 g/√6/16.4 g = 0.24894 % */
        tw_profile *p = read_ok(AREA "paper: {weight: 16.4 g, sheet: 80 g/m2, step: 0.1 g}\n"
                                     "measured to: 0.5 mm\n",
                                NULL, 0);
        assert_close(p->area, 205000, 1e-9);
        assert_close(p->area_uncertainty, 205000 * hypot(0.02, 0.1 / sqrt(6) / 16.4), 1e-9);
        assert_true(p->measured_to == 0.5 && p->scale == 0 && isnan(p->scale_uncertainty));
        tw_profile_free(p);
        p = read_ok(AREA "area: 5.2 dm2\n", NULL, 0);
        assert_true(p->area_uncertainty == 0);
        tw_profile_free(p);
    }
}

static void tolerances_are_read(void **state)
{
    static const struct {
        const char *text;
        tw_tolerance_standard standard;
        tw_tolerance_class grade;
        double width, bound;
    } cases[] = {
        {"{standard: EN 10131}", TW_TOLERANCE_COLD_ROLLED, TW_CLASS_NORMAL, 0, 0},
        {"{standard: EN 10131, class: normal, width: 1500 mm}", TW_TOLERANCE_COLD_ROLLED,
         TW_CLASS_NORMAL, 1500, 0},
        {"{standard: EN 10051}", TW_TOLERANCE_HOT_ROLLED, TW_CLASS_NORMAL, 0, 0},
        {"{standard: EN 10051, class: A}", TW_TOLERANCE_HOT_ROLLED, TW_CLASS_NORMAL, 0, 0},
        {"{standard: EN 10051, class: C}", TW_TOLERANCE_HOT_ROLLED, TW_CLASS_C, 0, 0},
        {"{bound: 0.05 mm}", TW_TOLERANCE_COLD_ROLLED, TW_CLASS_NORMAL, 0, 0.05},
    };
    static const fault faults[] = {
        {FLAT "thickness: {sheet: 1.6 mm, tolerance: {standard: EN 10132}}\n", 6, 50, TW_ERR_KEY,
         "not a standard", "EN 10131"},
        {FLAT "thickness: {sheet: 1.6 mm, tolerance: {standard: EN 10051, class: special}}\n", 6,
         67, TW_ERR_KEY, "no such class", "A, B, C"},
        {FLAT "thickness: {sheet: 1.6 mm, tolerance: {standard: EN 10131, class: A}}\n", 6, 67,
         TW_ERR_KEY, "no such class", "normal"},
        {FLAT "thickness: {sheet: 4 mm, tolerance: {standard: EN 10131}}\n", 6, 37, TW_ERR_DOMAIN,
         "only from 0.35 to 3 mm", "bound"},
        {FLAT "thickness: {sheet: 1 mm, tolerance: {}}\n", 6, 37, TW_ERR_KEY, "lacks its standard",
         "bound"},
        {FLAT "thickness: {sheet: 1 mm, tolerance: {standard: EN 10131, bound: 0.1 mm}}\n", 6, 37,
         TW_ERR_KEY, "not both", NULL},
        {FLAT "thickness: {sheet: 1 mm, tolerance: {bound: 0.1 mm, width: 1 m}}\n", 6, 60,
         TW_ERR_KEY, "go with a standard", NULL},
        {FLAT "thickness: {sheet: 1 mm, tolerance: {bound: 1 mm}}\n", 6, 37, TW_ERR_DOMAIN,
         "as large as the sheet", NULL},
        {FLAT "thickness: {tolerance: {bound: 0.1 mm}}\n", 6, 24, TW_ERR_KEY, "there is no sheet",
         "sheet"},
        {AREA "area: 5 dm2\nscale: {reads: 8 g, tare: exact}\n", 4, 27, TW_ERR_KEY, "no step",
         "step"},
        {AREA "area: 5 dm2\nscale: {reads: 8 g, step: 10 g}\n", 4, 8, TW_ERR_DOMAIN, "larger",
         NULL},
        {AREA "area: 5 dm2\nscale: {step: 10 g}\n", 4, 8, TW_ERR_KEY, "lacks \"reads\"", NULL},
        {AREA "area: {value: 5 dm2, uncertainty: 6 dm2}\n", 3, 7, TW_ERR_DOMAIN, "as large", NULL},
        {AREA "area: 5 dm2\nmeasured to: -1 mm\n", 4, 14, TW_ERR_DOMAIN, "below zero", NULL},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char text[512];
        tw_profile *p;
        snprintf(text, sizeof text, FLAT "thickness: {sheet: 1.6 mm, tolerance: %s}\n",
                 cases[k].text);
        p = read_ok(text, NULL, 0);
        assert_true(p->tolerance.given && p->tolerance.standard == cases[k].standard);
        assert_true(p->tolerance.grade == cases[k].grade && p->tolerance.width == cases[k].width);
        assert_true(p->tolerance.bound == cases[k].bound);
        tw_profile_free(p);
    }
    check_faults(faults, sizeof faults / sizeof *faults);
}

static void samples_are_read(void **state)
{
    static const char *const names[] = {"curators-breast", "owners-tasset"};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        tw_profile *p = NULL;
        tw_notes errors;
        char path[512];
        snprintf(path, sizeof path, TW_SOURCE_DIR "/profiles/%s.yaml", names[k]);
        if (tw_profile_read(path, NULL, 0, &p, &errors) != TW_OK)
            fail_msg("%d: %s", errors.items[0].line, errors.items[0].message);
        assert_true(p->scale_uncertainty > 0);
        assert_true(k == 1 || p->readings.reading_count == 14);
        assert_true(k == 0 || (p->area > 0 && p->area_uncertainty > 0));
        for (size_t n = 0; n < p->readings.reading_count; n++)
            assert_true(p->readings.readings[n].thickness >= 1.1 &&
                        p->readings.readings[n].thickness <= 2.4);
        tw_profile_free(p);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_with_everything),
        cmocka_unit_test(settings_reach_readings),
        cmocka_unit_test(faults_of_readings),
        cmocka_unit_test_setup_teardown(tables_are_read, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(tables_carry_names_repeats_and_decisions, begin_folder,
                                        end_folder),
        cmocka_unit_test_setup_teardown(faults_of_tables, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(no_wrong_cell_hides_another, begin_folder, end_folder),
        cmocka_unit_test(a_missing_table_is_told_in_the_profile),
        cmocka_unit_test(weights_and_areas_carry_their_uncertainty),
        cmocka_unit_test(tolerances_are_read),
        cmocka_unit_test(samples_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
