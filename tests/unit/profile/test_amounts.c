/* Amounts beside the readings: scale weight, area, paper, tolerance of sheet; the sample profiles. */
#include "read.h"

#include <stdlib.h>

#define BOWL     HEAD "form: {bowl: {across: 95 mm, depth: 60 mm}}\n"
#define CALIPER  "    instruments: [{kind: caliper, resolution: 0.1 mm}]\n"
#define READINGS "thickness:\n  readings:\n"
#define AREA     "plate: t\nmaterial: mild steel\n"

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
        cmocka_unit_test(weights_and_areas_carry_their_uncertainty),
        cmocka_unit_test(tolerances_are_read),
        cmocka_unit_test(samples_are_read),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
