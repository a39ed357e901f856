/* test_conic.c: the conic half section against circle, ellipse, parabola and its own derivatives. */
#include "form/surface_internal.h"

#include "surface_checks.h"

/* x² + (z − h + R)² = R² with R = (a² + h²)/(2h); arc R·2·atan(h/a). */
static void round_bend_is_a_circle(void **state)
{
    (void)state;
    for (double h = 1; h <= 100; h += 9) {
        const double a = 100, R = (a * a + h * h) / (2 * h);
        const double bend = tw_conic_round(a, h);
        tw_conic_jet at;
        for (double t = 0; t <= 1; t += 0.0625) {
            tw_conic_at(bend, t, &at);
            assert_close(hypot(a * at.s, h * at.z - h + R) / R, 1, 1e-14);
        }
        assert_close(tw_conic_length(a, h, bend), 2 * R * atan(h / a), 1e-11);
    }
    assert_close(tw_conic_round(50, 80), 1, 0); /* deeper than a half circle: half ellipse */
}

/* Half-angle α with tan(α/2) = h/a has shoulder ratio cosα/(1 + cosα), and bend is 1 − 2·that. */
static void round_bend_has_the_lofters_ratio(void **state)
{
    const double a = 180, h = 70, alpha = 2 * atan(h / a);

    (void)state;
    assert_close(tw_conic_round(a, h), 1 - 2 * cos(alpha) / (1 + cos(alpha)), 1e-14);
}

/* Trapezium rule over the periodic integrand of a whole ellipse: no Gauss in it. */
static void bend_one_is_half_an_ellipse(void **state)
{
    const double a = 120, h = 75;
    double arc = 0;
    tw_conic_jet at;

    (void)state;
    for (double t = 0; t <= 1; t += 0.125) {
        tw_conic_at(1, t, &at);
        assert_close(at.s * at.s + at.z * at.z, 1, 1e-15);
    }
    for (int i = 0; i < 256; i++)
        arc += hypot(a * cos(TW_PI * i / 128), h * sin(TW_PI * i / 128)) * TW_PI / 128 / 4;
    assert_close(tw_conic_length(a, h, 1), arc, 1e-11);
}

/* z = h(1 − x²/a²): arc ½[√(a² + 4h²) + a²/(2h)·asinh(2h/a)]. */
static void bend_zero_is_a_parabola(void **state)
{
    const double a = 120, h = 75;
    tw_conic_jet at;

    (void)state;
    tw_conic_at(0, 0.3, &at);
    assert_close(at.z, 1 - at.s * at.s, 1e-15);
    assert_close(tw_conic_length(a, h, 0),
                 0.5 * (hypot(a, 2 * h) + a * a / (2 * h) * asinh(2 * h / a)), 1e-11);
}

/* Any bend: chords between n + 1 points of equal parameter, whose error falls with n², once
 * extrapolated (Richardson). It uses the points only, neither derivatives nor Gauss. */
static double chords(double a, double h, double bend, int n)
{
    tw_conic_jet before, at;
    double sum = 0;

    tw_conic_at(bend, 0, &before);
    for (int k = 1; k <= n; k++) {
        tw_conic_at(bend, (double)k / n, &at);
        sum += hypot(a * (at.s - before.s), h * (at.z - before.z));
        before = at;
    }
    return sum;
}

static void arc_lengths_agree_with_quadrature(void **state)
{
    const double a = 140, h = 85;

    (void)state;
    for (double bend = -0.9; bend <= 1; bend += 0.19) {
        const double coarse = chords(a, h, bend, 4096), fine = chords(a, h, bend, 8192);
        assert_close(tw_conic_length(a, h, bend), fine + (fine - coarse) / 3, 1e-8);
    }
}

static void length_rises_with_bend_from_v_to_ellipse(void **state)
{
    const double a = 90, h = 130;
    double before = hypot(a, h);

    (void)state;
    for (double bend = TW_BEND_MIN; bend <= 1; bend += 0.04) {
        const double length = tw_conic_length(a, h, bend);
        assert_true(length > before);
        before = length;
    }
    assert_true(before < a + h);
    assert_true(tw_conic_length(a, h, TW_BEND_MIN) < hypot(a, h) * 1.01);
}

static void derivatives_agree(void **state)
{
    const double e = 1e-5;

    (void)state;
    for (double bend = -0.9; bend <= 1; bend += 0.19)
        for (double t = 0.05; t < 1; t += 0.19) {
            tw_conic_jet at, low, high, less, more;
            tw_conic_at(bend, t, &at);
            tw_conic_at(bend, t - e, &low);
            tw_conic_at(bend, t + e, &high);
            tw_conic_at(bend - e, t, &less);
            tw_conic_at(bend + e, t, &more);
#define CHECK(value, derivative, a, b) \
    assert_close(at.derivative, ((b).value - (a).value) / (2 * e), 1e-5 * (1 + fabs(at.derivative)))
            CHECK(s, s_t, low, high);
            CHECK(z, z_t, low, high);
            CHECK(s_t, s_tt, low, high);
            CHECK(z_t, z_tt, low, high);
            CHECK(s, s_c, less, more);
            CHECK(z, z_c, less, more);
            CHECK(s_c, s_cc, less, more);
            CHECK(z_c, z_cc, less, more);
            CHECK(s_t, s_tc, less, more);
            CHECK(z_t, z_tc, less, more);
#undef CHECK
        }
}

static double arch(double bend, const void *context)
{
    const double *size = context;

    return 2 * tw_conic_length(size[0], size[1], bend);
}

static void tape_gives_the_bend_or_the_range(void **state)
{
    const double size[2] = {180, 115};
    const tw_profile profile = {.form = TW_FORM_NONE};
    tw_tape_fit fit = {arch, size, 449, "a tape of 449 mm", "give heights", {3, 4}};
    tw_notes notes = {0};
    tw_error err;
    double bend = 9;

    (void)state;
    assert_int_equal(tw_tape_bend(&fit, &profile, &bend, &notes, &err), TW_OK);
    assert_close(arch(bend, size), 449, 1e-9);
    assert_int_equal(notes.count, 0);
    fit.tape = arch(1, size) + 2;
    assert_int_equal(tw_tape_bend(&fit, &profile, &bend, &notes, &err), TW_OK);
    assert_close(bend, 1, 0);
    assert_int_equal(notes.count, 1);
    fit.tape = arch(TW_BEND_MIN, size) - 4;
    assert_int_equal(tw_tape_bend(&fit, &profile, &bend, &notes, &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "one conic arc takes"));
    assert_non_null(strstr(err.advice, "give heights"));
    assert_int_equal(err.line, 3);
}

static void millimetres_are_written_short(void **state)
{
    char text[24];

    (void)state;
    assert_string_equal(tw_form_mm(470, text), "470");
    assert_string_equal(tw_form_mm(12.5, text), "12.5");
    assert_string_equal(tw_form_mm(-0.07, text), "-0.07");
    assert_string_equal(tw_form_mm(-0.001, text), "0");
    assert_string_equal(tw_form_mm(99.999, text), "100");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_bend_is_a_circle),
        cmocka_unit_test(round_bend_has_the_lofters_ratio),
        cmocka_unit_test(bend_one_is_half_an_ellipse),
        cmocka_unit_test(bend_zero_is_a_parabola),
        cmocka_unit_test(arc_lengths_agree_with_quadrature),
        cmocka_unit_test(length_rises_with_bend_from_v_to_ellipse),
        cmocka_unit_test(derivatives_agree),
        cmocka_unit_test(tape_gives_the_bend_or_the_range),
        cmocka_unit_test(millimetres_are_written_short),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
