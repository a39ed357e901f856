/*
 * Colour scales against published colour science: sRGB to CIELAB by IEC 61966-2-1 and CIE 15 (D65),
 * colour-vision loss by the matrices of Machado, Oliveira & Fernandes, "A physiologically-based model
 * for simulation of color vision deficiency" (2009), severity 1.0, figures from memory.
 */
#include "support.h"

#include "taperwright/draw.h"

static double linear(double coded)
{
    return coded <= 0.04045 ? coded / 12.92 : pow((coded + 0.055) / 1.055, 2.4);
}

static double lab_f(double t)
{
    return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

static void to_lab(const double rgb[3], double lab[3])
{
    const double x = 0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2];
    const double y = 0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2];
    const double z = 0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2];
    const double fx = lab_f(x / 0.95047), fy = lab_f(y), fz = lab_f(z / 1.08883);

    lab[0] = 116 * fy - 16;
    lab[1] = 500 * (fx - fy);
    lab[2] = 200 * (fy - fz);
}

static void colour_lab(bool difference, double position, const double sight[3][3], double lab[3])
{
    unsigned char byte[3];
    double rgb[3], seen[3];

    if (difference)
        tw_colour_difference(position, byte);
    else
        tw_colour_thickness(position, byte);
    for (int k = 0; k < 3; k++)
        rgb[k] = linear(byte[k] / 255.0);
    for (int k = 0; k < 3; k++)
        seen[k] = fmin(fmax(tw_dot(sight[k], rgb), 0), 1);
    to_lab(seen, lab);
}

static const double sights[4][3][3] = {
    {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
    {{0.152286, 1.052583, -0.204868},
     {0.114503, 0.786281, 0.099216},
     {-0.003882, -0.048116, 1.051998}},
    {{0.367322, 0.860646, -0.227968},
     {0.280085, 0.672501, 0.047413},
     {-0.011820, 0.042940, 0.968881}},
    {{1.255528, -0.076749, -0.178779},
     {-0.078411, 0.930809, 0.147602},
     {0.004733, 0.691367, 0.303900}},
};

static void thickness_lightness_falls_evenly(void **state)
{
    double lab[3], before = 101;

    (void)state;
    for (int k = 0; k <= 100; k++) {
        colour_lab(false, k / 100.0, sights[0], lab);
        assert_close(lab[0], 95 - 0.70 * k, 0.6);
        assert_true(lab[0] < before);
        before = lab[0];
    }
}

static void difference_is_neutral_at_zero_and_even_to_both_sides(void **state)
{
    double low[3], high[3];

    (void)state;
    colour_lab(true, 0, sights[0], low);
    assert_close(hypot(low[1], low[2]), 0, 1);
    for (int k = 1; k <= 100; k++) {
        colour_lab(true, -k / 100.0, sights[0], low);
        colour_lab(true, k / 100.0, sights[0], high);
        assert_close(low[0], high[0], 0.8);
        assert_close(low[0], 94 - 0.56 * k, 0.8);
    }
}

/* Near grey, so that nobody takes it for thickness, and even in lightness. */
static void spread_lightness_falls_evenly(void **state)
{
    (void)state;
    for (int k = 0; k <= 100; k++) {
        unsigned char byte[3];
        double rgb[3], lab[3];
        tw_colour_spread(k / 100.0, byte);
        for (int c = 0; c < 3; c++)
            rgb[c] = linear(byte[c] / 255.0);
        to_lab(rgb, lab);
        assert_close(lab[0], 96 - 0.62 * k, 0.6);
        assert_true(hypot(lab[1], lab[2]) < 25);
    }
}

/* Tenths of the scale stay apart, and the two sides of the difference do, for every sight. */
static void bands_stay_apart_in_every_sight(void **state)
{
    (void)state;
    for (int s = 0; s < 4; s++) {
        double before[3], lab[3], least = 1e9;
        colour_lab(false, 0, sights[s], before);
        for (int k = 1; k <= 10; k++) {
            colour_lab(false, k / 10.0, sights[s], lab);
            least = fmin(least,
                         hypot(hypot(lab[0] - before[0], lab[1] - before[1]), lab[2] - before[2]));
            memcpy(before, lab, sizeof before);
        }
        print_message("sight %d: neighbouring tenths at least %.1f apart (CIE 1976)\n", s, least);
        assert_true(least > 5);
        for (int k = 3; k <= 10; k++) {
            colour_lab(true, -k / 10.0, sights[s], before);
            colour_lab(true, k / 10.0, sights[s], lab);
            assert_true(hypot(lab[1] - before[1], lab[2] - before[2]) > 15);
        }
    }
}

static void what_is_no_number_is_drawn_as_an_end(void **state)
{
    unsigned char byte[3], end[3];

    (void)state;
    tw_colour_thickness(0, end);
    tw_colour_thickness(NAN, byte);
    assert_memory_equal(byte, end, 3);
    tw_colour_thickness(-7, byte);
    assert_memory_equal(byte, end, 3);
    tw_colour_thickness(1, end);
    tw_colour_thickness(7, byte);
    assert_memory_equal(byte, end, 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thickness_lightness_falls_evenly),
        cmocka_unit_test(difference_is_neutral_at_zero_and_even_to_both_sides),
        cmocka_unit_test(spread_lightness_falls_evenly),
        cmocka_unit_test(bands_stay_apart_in_every_sight),
        cmocka_unit_test(what_is_no_number_is_drawn_as_an_end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
