/* Gauge readings written in the profile. */
#include "read.h"

#include <stdlib.h>
#include <unistd.h>

#define BOWL     HEAD "form: {bowl: {across: 95 mm, depth: 60 mm}}\n"
#define CALIPER  "    instruments: [{kind: caliper, resolution: 0.1 mm}]\n"
#define READINGS "thickness:\n  readings:\n"
#define AREA     "plate: t\nmaterial: mild steel\n"

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
         5, 3, TW_ERR_KEY, "need a form", NULL},
    };

    (void)state;
    check_faults(faults, sizeof faults / sizeof *faults);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_with_everything),
        cmocka_unit_test(settings_reach_readings),
        cmocka_unit_test(faults_of_readings),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
