/*
 * Colour scales against published colour science: equal steps by CIEDE2000, lightness that keeps the
 * order, for full sight, in a grey print and with each kind of cone missing. The measures themselves are
 * held against published figures first, and shown to refuse a rainbow.
 */
#include "colour_science.h"
#include "support.h"

#include "taperwright/draw.h"

#include "draw/draw_internal.h"

typedef void (*colour_map)(double share, unsigned char rgb[3]);

/* ---- the measures -------------------------------------------------------------------------------- */

/* Sharma, Wu & Dalal 2005, table 1, all 34 pairs, as two public programs' tests have them. */
static const double published[34][7] = {
    {50.0000, 2.6772, -79.7751, 50.0000, 0.0000, -82.7485, 2.0425},
    {50.0000, 3.1571, -77.2803, 50.0000, 0.0000, -82.7485, 2.8615},
    {50.0000, 2.8361, -74.0200, 50.0000, 0.0000, -82.7485, 3.4412},
    {50.0000, -1.3802, -84.2814, 50.0000, 0.0000, -82.7485, 1.0000},
    {50.0000, -1.1848, -84.8006, 50.0000, 0.0000, -82.7485, 1.0000},
    {50.0000, -0.9009, -85.5211, 50.0000, 0.0000, -82.7485, 1.0000},
    {50.0000, 0.0000, 0.0000, 50.0000, -1.0000, 2.0000, 2.3669},
    {50.0000, -1.0000, 2.0000, 50.0000, 0.0000, 0.0000, 2.3669},
    {50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0009, 7.1792},
    {50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0010, 7.1792},
    {50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0011, 7.2195},
    {50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0012, 7.2195},
    {50.0000, -0.0010, 2.4900, 50.0000, 0.0009, -2.4900, 4.8045},
    {50.0000, -0.0010, 2.4900, 50.0000, 0.0010, -2.4900, 4.8045},
    {50.0000, -0.0010, 2.4900, 50.0000, 0.0011, -2.4900, 4.7461},
    {50.0000, 2.5000, 0.0000, 50.0000, 0.0000, -2.5000, 4.3065},
    {50.0000, 2.5000, 0.0000, 73.0000, 25.0000, -18.0000, 27.1492},
    {50.0000, 2.5000, 0.0000, 61.0000, -5.0000, 29.0000, 22.8977},
    {50.0000, 2.5000, 0.0000, 56.0000, -27.0000, -3.0000, 31.9030},
    {50.0000, 2.5000, 0.0000, 58.0000, 24.0000, 15.0000, 19.4535},
    {50.0000, 2.5000, 0.0000, 50.0000, 3.1736, 0.5854, 1.0000},
    {50.0000, 2.5000, 0.0000, 50.0000, 3.2972, 0.0000, 1.0000},
    {50.0000, 2.5000, 0.0000, 50.0000, 1.8634, 0.5757, 1.0000},
    {50.0000, 2.5000, 0.0000, 50.0000, 3.2592, 0.3350, 1.0000},
    {60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644},
    {63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630},
    {61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731},
    {35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645},
    {22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373},
    {36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146},
    {90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441},
    {90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381},
    {6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377},
    {2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082},
};

static void ciede2000_agrees_with_the_published_pairs(void **state)
{
    (void)state;
    for (int k = 0; k < 34; k++) {
        const double *pair = published[k];
        assert_close(test_ciede2000(pair, pair + 3), pair[6], 5.1e-5);
        assert_close(test_ciede2000(pair + 3, pair), pair[6], 5.1e-5);
    }
}

/* CIELAB (D65) of sRGB's white and primaries; figures from memory, widely printed. */
static void cielab_agrees_with_known_colours(void **state)
{
    static const struct {
        unsigned char rgb[3];
        double lab[3];
    } known[] = {{{255, 255, 255}, {100, 0, 0}},
                 {{0, 0, 0}, {0, 0, 0}},
                 {{255, 0, 0}, {53.24, 80.09, 67.20}},
                 {{0, 255, 0}, {87.73, -86.18, 83.18}},
                 {{0, 0, 255}, {32.30, 79.19, -107.86}}};

    (void)state;
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
        double lab[3];
        test_lab_seen(known[k].rgb, TEST_SIGHT_FULL, lab);
        for (int d = 0; d < 3; d++)
            assert_close(lab[d], known[k].lab[d], 0.02);
    }
}

/* Greys look grey to every eye, so each row of a matrix adds up to one. */
static void greys_stay_grey_to_every_sight(void **state)
{
    (void)state;
    for (int s = 0; s < 3; s++)
        for (int k = 0; k < 3; k++)
            assert_close(test_sight_loss[s][k][0] + test_sight_loss[s][k][1] +
                             test_sight_loss[s][k][2],
                         1, 2e-6);
}

/* ---- what a scale is asked for --------------------------------------------------------------------- */

/* Colour in the middle of a band of `count` bands between two shares. */
static void band_lab(colour_map map, int band, int count, int sight, double lab[3])
{
    unsigned char rgb[3];

    map((band + 0.5) / count, rgb);
    test_lab_seen(rgb, sight, lab);
}

/* Least CIEDE2000 between neighbouring bands. */
static double least_step(colour_map map, int count, int sight)
{
    double before[3], lab[3], least = INFINITY;

    band_lab(map, 0, count, sight, before);
    for (int k = 1; k < count; k++) {
        band_lab(map, k, count, sight, lab);
        least = fmin(least, test_ciede2000(before, lab));
        memcpy(before, lab, sizeof before);
    }
    return least;
}

/* Lightness falls from each 64th of the scale to the next. */
static bool keeps_order(colour_map map, int sight)
{
    double before[3], lab[3];

    band_lab(map, 0, 64, sight, before);
    for (int k = 1; k < 64; k++) {
        band_lab(map, k, 64, sight, lab);
        if (lab[0] >= before[0])
            return false;
        before[0] = lab[0];
    }
    return true;
}

/* Greatest departure of steps from band to band from their mean, as a share of it. Very many bands show
 * how bytes are rounded. */
static double unevenness(colour_map map, int count)
{
    double step[32], mean = 0, worst = 0, before[3], lab[3];

    band_lab(map, 0, count, TEST_SIGHT_FULL, before);
    for (int k = 1; k < count; k++) {
        band_lab(map, k, count, TEST_SIGHT_FULL, lab);
        step[k] = test_ciede2000(before, lab);
        mean += step[k] / (count - 1);
        memcpy(before, lab, sizeof before);
    }
    for (int k = 1; k < count; k++)
        worst = fmax(worst, fabs(step[k] / mean - 1));
    return worst;
}

/* Seven bands are what a scale mostly has, ten the most. A difference of 2 is just seen on patches that
 * touch (common practice); bands lie apart, and a legend is read from a distance. */
static const double SEVEN_APART = 6, TEN_APART = 3.5, EVEN = 0.10;

/* @return how many of the demands are missed */
static int missed(const char *name, colour_map map)
{
    const double uneven = unevenness(map, 16);
    int count = uneven > EVEN;

    print_message("%s: 16 bands in steps within %.0f %% of their mean\n", name, 100 * uneven);
    for (int s = 0; s < TEST_SIGHTS; s++) {
        const double seven = least_step(map, 7, s), ten = least_step(map, 10, s);
        const bool order = keeps_order(map, s);
        print_message("  %-13s least CIEDE2000 of 7 bands %4.1f, of 10 bands %4.1f, %s\n",
                      test_sight_names[s], seven, ten,
                      order ? "lightness in order" : "lightness out of order");
        count += seven < SEVEN_APART;
        count += ten < TEN_APART;
        count += !order;
    }
    return count;
}

/* The usual rainbow: full colours from red to violet, hue turning evenly. */
static void rainbow(double share, unsigned char rgb[3])
{
    for (int c = 0; c < 3; c++) {
        const double away = fabs(fmod(4.8 * share - 2 * c + 9, 6) - 3); /* in sixths of a turn */
        rgb[c] = (unsigned char)(255 * fmin(fmax(2 - away, 0), 1) + 0.5);
    }
}

static void scales_are_even_and_keep_their_order_for_every_sight(void **state)
{
    (void)state;
    assert_int_equal(missed("thickness", tw_colour_thickness), 0);
    assert_int_equal(missed("spread", tw_colour_spread), 0);
}

static void a_rainbow_is_refused(void **state)
{
    unsigned char red[3], blue[3];

    (void)state;
    rainbow(0, red);
    rainbow(4 / 4.8, blue);
    assert_true(red[0] == 255 && red[2] == 0 && blue[2] == 255 && blue[0] == 0);
    assert_true(missed("rainbow", rainbow) >= 1 + TEST_SIGHTS); /* uneven, and in order for none */
}

/* ---- single scales ------------------------------------------------------------------------------- */

static void lightness_falls_at_every_entry(void **state)
{
    const colour_map maps[2] = {tw_colour_thickness, tw_colour_spread};

    (void)state;
    for (int m = 0; m < 2; m++) {
        double before = 101, lab[3];
        unsigned char rgb[3];
        for (int k = 0; k <= 512; k++) {
            maps[m](k / 512.0, rgb);
            test_lab_seen(rgb, TEST_SIGHT_FULL, lab);
            assert_true(lab[0] < before);
            before = lab[0];
        }
    }
}

static void spread_is_near_grey(void **state)
{
    (void)state;
    for (int k = 0; k <= 512; k++) {
        unsigned char rgb[3];
        double lab[3];
        tw_colour_spread(k / 512.0, rgb);
        test_lab_seen(rgb, TEST_SIGHT_FULL, lab);
        assert_true(hypot(lab[1], lab[2]) < 25);
    }
}

static void thinner(double share, unsigned char rgb[3])
{
    tw_colour_difference(-share, rgb);
}

/* Zero is neutral; both halves go equally far in equal steps, and as dark at each end. */
static void difference_is_neutral_at_zero_and_even_to_both_sides(void **state)
{
    double zero[3], low[3], high[3], before_low = 101, before_high = 101;
    unsigned char rgb[3];

    (void)state;
    tw_colour_difference(0, rgb);
    test_lab_seen(rgb, TEST_SIGHT_FULL, zero);
    assert_close(hypot(zero[1], zero[2]), 0, 1);
    assert_true(unevenness(thinner, 8) < EVEN);
    assert_true(unevenness(tw_colour_difference, 8) < EVEN);
    for (int k = 0; k <= 256; k++) {
        thinner(k / 256.0, rgb);
        test_lab_seen(rgb, TEST_SIGHT_FULL, low);
        tw_colour_difference(k / 256.0, rgb);
        test_lab_seen(rgb, TEST_SIGHT_FULL, high);
        assert_true(low[0] < before_low && high[0] < before_high);
        assert_close(low[0], high[0], 2);
        before_low = low[0];
        before_high = high[0];
    }
    assert_close(low[0], high[0], 0.2);
}

/* The two sides are told apart, from each other and from nought, by all who see colour; within a side
 * neighbouring bands are. Five bands a side are the most that is drawn. */
static void sides_of_the_difference_differ_for_every_sight(void **state)
{
    enum { SIDE = 5 };

    (void)state;
    for (int s = 0; s < TEST_SIGHTS; s++) {
        const double low = least_step(thinner, SIDE, s),
                     high = least_step(tw_colour_difference, SIDE, s);
        double end[2][3], zero[3], first, third[2][3], most;
        unsigned char rgb[3];
        tw_colour_difference(0, rgb);
        test_lab_seen(rgb, s, zero);
        for (int side = 0; side < 2; side++) {
            tw_colour_difference(side ? 1 : -1, rgb);
            test_lab_seen(rgb, s, end[side]);
            band_lab(side ? tw_colour_difference : thinner, 0, SIDE, s, third[side]);
        }
        first = test_ciede2000(third[0], third[1]);
        most = test_ciede2000(end[0], end[1]);
        print_message("difference, %-13s bands of a side %4.1f and %4.1f, first bands %4.1f, ends "
                      "%4.1f, from "
                      "nought %4.1f and %4.1f\n",
                      test_sight_names[s], low, high, first, most, test_ciede2000(end[0], zero),
                      test_ciede2000(end[1], zero));
        assert_true(fmin(low, high) > 4.5);
        assert_true(test_ciede2000(end[0], zero) > 40 && test_ciede2000(end[1], zero) > 40);
        if (s == TEST_SIGHT_GREY) { /* dashed lines below zero tell the sides apart there */
            assert_true(most < 1);
            continue;
        }
        assert_true(first > 4);
        assert_true(most > 25);
    }
}

/* Bands of steps take their colours from the thickness scale: the ten of a long plan stay apart. */
static void bands_of_steps_stay_apart_for_every_sight(void **state)
{
    (void)state;
    for (size_t count = 6; count <= 9; count += 3)
        for (int s = 0; s < TEST_SIGHTS; s++) {
            double least = INFINITY, before[3], lab[3];
            unsigned char rgb[3];
            for (size_t k = 0; k <= count; k++) {
                tw_band_colour(k, count, rgb);
                test_lab_seen(rgb, s, lab);
                if (k > 0) {
                    assert_true(lab[0] > before[0]); /* thinner is paler */
                    least = fmin(least, test_ciede2000(before, lab));
                }
                memcpy(before, lab, sizeof before);
            }
            print_message("%zu bands of steps, %-13s at least %.1f apart\n", count + 1,
                          test_sight_names[s], least);
            assert_true(least > (count == 6 ? 5 : 3.5));
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
    tw_colour_thickness(INFINITY, byte);
    assert_memory_equal(byte, end, 3);
    tw_colour_difference(0, end);
    tw_colour_difference(NAN, byte);
    assert_memory_equal(byte, end, 3);
    tw_colour_difference(-1, end);
    tw_colour_difference(-INFINITY, byte);
    assert_memory_equal(byte, end, 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ciede2000_agrees_with_the_published_pairs),
        cmocka_unit_test(cielab_agrees_with_known_colours),
        cmocka_unit_test(greys_stay_grey_to_every_sight),
        cmocka_unit_test(scales_are_even_and_keep_their_order_for_every_sight),
        cmocka_unit_test(a_rainbow_is_refused),
        cmocka_unit_test(lightness_falls_at_every_entry),
        cmocka_unit_test(spread_is_near_grey),
        cmocka_unit_test(difference_is_neutral_at_zero_and_even_to_both_sides),
        cmocka_unit_test(sides_of_the_difference_differ_for_every_sight),
        cmocka_unit_test(bands_of_steps_stay_apart_for_every_sight),
        cmocka_unit_test(what_is_no_number_is_drawn_as_an_end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
