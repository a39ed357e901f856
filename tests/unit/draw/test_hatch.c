/*
 * Hatching: order by ink at any size of picture and after a copier that knows black and white alone,
 * openings that it does not fill, sides of a difference told apart, and pictures without colour.
 */
#include "compared.h"

#include "draw/hatch.h"

#include <stdlib.h>

/* Pictures 180 mm wide are 1600 design pixels. */
static const double MM = 1600 / 180.0;
/* Elements [design pixels]: a picture of 600 pixels, one of 1600, paper at 300 and 600 dots per inch. */
static const double elements[] = {1600 / 600.0, 1, 1600 / (300 * 180 / 25.4),
                                  1600 / (600 * 180 / 25.4)};

/* Mean ink of a value's pattern; `copied`: after every element became black or white. */
static double mean_ink(const tw_scale *scale, double value, double element, bool copied)
{
    enum { SIDE = 96 };
    double sum = 0;

    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++) {
            const double ink =
                tw_hatch_ink(scale, value, (i + 0.5) * element, (j + 0.5) * element, element);
            assert_true(ink >= 0 && ink <= 1);
            sum += copied ? ink > 0.5 : ink;
        }
    return sum / (SIDE * SIDE);
}

/* Ink grows by a twentieth from band to band; a copier leaves three fifths of that at least. */
static void rises(const tw_scale *scale, double from, double to, bool print)
{
    const double step = tw_hatch_step(scale);
    const int count = (int)round(fabs(to - from) / step);

    for (size_t e = 0; e < sizeof elements / sizeof *elements; e++) {
        double before[2] = {-1, -1};
        if (print)
            print_message("element %.2f:", elements[e]);
        for (int k = 0; k < count; k++) {
            const double value = from + (to > from ? 1 : -1) * (k + 0.5) * step;
            for (int copied = 0; copied < 2; copied++) {
                const double ink = mean_ink(scale, value, elements[e], copied);
                assert_true(ink > before[copied] + (copied ? 0.02 : 0.04));
                before[copied] = ink;
                if (print && !copied)
                    print_message(" %.0f %%", 100 * ink);
            }
        }
        if (print)
            print_message("\n");
        assert_true(before[0] > 0.4 && before[0] < 0.9);
    }
}

static void ink_rises_from_band_to_band(void **state)
{
    const tw_scale thickness = {TW_PALETTE_THICKNESS, 0.8, 2.4, 0.2};
    const tw_scale difference = {TW_PALETTE_DIFFERENCE, -0.6, 0.6, 0.1};
    const tw_scale spread = {TW_PALETTE_SPREAD, 0, 0.5, 0.1};

    (void)state;
    rises(&thickness, 0.8, 2.4, true);
    rises(&difference, 0, 0.6, true);
    rises(&difference, 0, -0.6, false);
    rises(&spread, 0, 0.5, true);
}

/* Share of rows that are all ink: of a grid as many as its lines are wide, of lines that lean few. */
static double runs_upright(const tw_scale *scale, double value)
{
    enum { ROWS = 400, COLUMNS = 80 };
    int full = 0;

    for (int j = 0; j < ROWS; j++) {
        bool ink = true;
        for (int i = 0; ink && i < COLUMNS; i++)
            ink = tw_hatch_ink(scale, value, 0.31 * i, 0.31 * j, 0.1) > 0.5;
        full += ink;
    }
    return full / (double)ROWS;
}

/* Crossed lines whose ink differs by less than a fifth are told apart by how they run. */
static void neighbours_differ_by_more_than_ink(void **state)
{
    (void)state;
    for (int count = 2; count <= TW_HATCH_BANDS; count++) {
        const tw_scale scale = {TW_PALETTE_THICKNESS, 1, 1 + count * 0.1, 0.1};
        for (int k = 1; k < count; k++) {
            const double low = 1 + (k - 0.5) * 0.1, high = 1 + (k + 0.5) * 0.1;
            const double ink = mean_ink(&scale, low, 0.5, false);
            const double more = mean_ink(&scale, high, 0.5, false) - ink;
            if (ink > 0.3 && more < 0.2) /* both are crossed lines */
                assert_true(fabs(runs_upright(&scale, low) - runs_upright(&scale, high)) > 0.2);
        }
    }
}

/* Whatever is drawn has 2 to 8 bands with borders on level lines, all patterns apart. */
static void every_scale_gets_bands_that_differ(void **state)
{
    test_random rng = test_random_begin("every_scale_gets_bands_that_differ");

    (void)state;
    for (int trial = 0; trial < 12; trial++) {
        const tw_units units = test_uniform(&rng, 0, 1) < 0.5 ? TW_INCH : TW_METRIC;
        const double low = test_uniform(&rng, 0.3, 4),
                     high = low + exp(test_uniform(&rng, log(0.02), log(5)));
        const tw_scale scale = tw_scale_thickness(low, high, units);
        const double step = tw_hatch_step(&scale);
        const double first = floor(scale.low / step + 1e-6), last = ceil(scale.high / step - 1e-6);
        double before = -1;
        assert_close(step / scale.step, round(step / scale.step), 1e-9);
        assert_true(last - first >= 2 && last - first <= TW_HATCH_BANDS);
        for (double k = first; k < last; k++) {
            const double ink = mean_ink(&scale, (k + 0.5) * step, 1, false);
            assert_true(ink > before + 0.04);
            assert_close(mean_ink(&scale, (k + 0.01) * step, 1, false), ink, 1e-9);
            assert_close(mean_ink(&scale, (k + 0.99) * step, 1, false), ink, 1e-9);
            before = ink;
        }
    }
}

/* A white disc and a black one of given widths find room in the pattern. */
static bool has_room(const tw_scale *scale, double value, double width, bool black)
{
    const double fine = 0.1;

    for (double y = 0; y < 20; y += 0.5)
        for (double x = 0; x < 20; x += 0.5) {
            bool free = true;
            for (double angle = 0; free && angle < 2 * TW_PI; angle += 0.2)
                for (double r = 0; free && r <= width / 2; r += 0.2)
                    free = (tw_hatch_ink(scale, value, x + r * cos(angle), y + r * sin(angle),
                                         fine) > 0.5) == black;
            if (free)
                return true;
        }
    return false;
}

static void a_copier_neither_fills_nor_loses_a_pattern(void **state)
{
    const tw_scale scales[] = {{TW_PALETTE_THICKNESS, 0.8, 2.4, 0.2},
                               {TW_PALETTE_DIFFERENCE, -0.6, 0.6, 0.1},
                               {TW_PALETTE_SPREAD, 0, 0.6, 0.1}};

    (void)state;
    for (int s = 0; s < 3; s++)
        for (double value = scales[s].low + scales[s].step / 2; value < scales[s].high;
             value += scales[s].step) {
            assert_true(has_room(&scales[s], value, 0.25 * MM, false));
            if (mean_ink(&scales[s], value, 1, false) > 0)
                assert_true(has_room(&scales[s], value, 0.2 * MM, true));
        }
}

/* Thicker leans right (/): the same along x + y; thinner left. About nought and beyond numbers is white. */
static void sides_of_a_difference_lean_apart(void **state)
{
    const tw_scale scale = {TW_PALETTE_DIFFERENCE, -0.6, 0.6, 0.1};

    (void)state;
    for (double value = -0.65; value < 0.7; value += 0.1) {
        double along = 0, against = 0;
        for (int k = 0; k < 400; k++) {
            const double x = 0.61 * k, y = 0.37 * k, lean = value > 0 ? -3 : 3;
            const double ink = tw_hatch_ink(&scale, value, x, y, 1);
            along = fmax(along, fabs(tw_hatch_ink(&scale, value, x + 3, y + lean, 1) - ink));
            against = fmax(against, fabs(tw_hatch_ink(&scale, value, x + 3, y - lean, 1) - ink));
        }
        assert_true(along < 1e-9);
        assert_true(against > 0.5);
    }
    for (int k = 0; k < 100; k++) {
        assert_int_equal(tw_hatch_pixel(&scale, 0, k, 2 * k), 0xFFFFFF);
        assert_int_equal(tw_hatch_pixel(&scale, -0.01, k, 2 * k), 0xFFFFFF);
        assert_int_equal(tw_hatch_pixel(&scale, 0.01, k, 2 * k), 0xFFFFFF);
        assert_int_equal(tw_hatch_pixel(&scale, NAN, k, 2 * k), 0xFFFFFF);
    }
}

/* An even stretch just at a level, a hold or a strike zone, is one pattern: that below the line. */
static void a_plateau_at_a_level_is_one_pattern(void **state)
{
    const tw_scale scale = {TW_PALETTE_THICKNESS, 0.8, 2.4, 0.2};

    (void)state;
    for (int k = 5; k <= 12; k++) {
        const double level = k * 0.2, below = mean_ink(&scale, level - 0.1, 1, false);
        assert_close(mean_ink(&scale, level, 1, false), below, 1e-9);
        assert_close(mean_ink(&scale, level + 1e-9, 1, false), below, 1e-9);
        assert_close(mean_ink(&scale, level - 1e-9, 1, false), below, 1e-9);
    }
}

/* ---- pictures ------------------------------------------------------------------------------------ */

#define DISC_WITH_HOLE DISC "holes: [{at: [0, 100], radius: 3 mm}]\n"

static size_t coloured(const tw_image *image)
{
    size_t count = 0;

    for (size_t k = 0; k < image->width * image->height; k++) {
        const unsigned char *p = image->pixels + 3 * k;
        count += p[0] != p[1] || p[1] != p[2];
    }
    return count;
}

static void a_hatched_picture_has_no_colour_and_as_much_room(void **state)
{
    compared d;
    tw_image image, plain;

    (void)state;
    compared_begin(&d, DISC_WITH_HOLE);
    plain = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .width = 600});
    image = compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .width = 600, .hatch = true});
    assert_true(coloured(&plain) > 5000);
    assert_int_equal(coloured(&image), 0);
    assert_int_equal(image.height, plain.height);
    tw_image_release(&image);
    tw_image_release(&plain);
    compared_end(&d);
}

static void same_pixels_for_any_threads(void **state)
{
    compared d;
    tw_image one, more;

    (void)state;
    compared_begin(&d, DISC_WITH_HOLE);
    one = compared_drawn(&d,
                         (tw_draw_options){.which = 0, .width = 600, .hatch = true, .threads = 1});
    more = compared_drawn(&d,
                          (tw_draw_options){.which = 0, .width = 600, .hatch = true, .threads = 3});
    assert_int_equal(one.height, more.height);
    assert_memory_equal(one.pixels, more.pixels, 3 * one.width * one.height);
    tw_image_release(&one);
    tw_image_release(&more);
    compared_end(&d);
}

/* Every border of a band has its number in the legend; none meets another text. */
static void the_legend_numbers_its_borders(void **state)
{
    static const char *const borders[] = {"1.0", "1.2", "1.4", "1.6", "1.8", "2.0"};
    compared d;
    tw_words words = {0};
    tw_image image;
    double legend = 0;
    size_t found = 0;

    (void)state;
    compared_begin(&d, DISC_WITH_HOLE);
    image =
        compared_drawn(&d, (tw_draw_options){.which = SIZE_MAX, .hatch = true, .words = &words});
    tw_image_release(&image);
    for (size_t k = 0; k < words.count; k++)
        if (strncmp(words.items[k].text, "Thickness, mm", 13) == 0)
            legend = words.items[k].box[3];
    assert_true(legend > 0);
    for (size_t k = 0; k < words.count; k++) {
        const double *box = words.items[k].box;
        if (box[1] < legend || box[1] > legend + 90 || box[2] <= box[0])
            continue;
        for (size_t b = 0; b < sizeof borders / sizeof *borders; b++)
            found += strcmp(words.items[k].text, borders[b]) == 0;
        for (size_t other = k + 1; other < words.count; other++) {
            const double *next = words.items[other].box;
            assert_false(box[0] < next[2] && next[0] < box[2] && box[1] < next[3] &&
                         next[1] < box[3]);
        }
    }
    assert_int_equal(found, sizeof borders / sizeof *borders);
    tw_words_release(&words);
    compared_end(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_rises_from_band_to_band),
        cmocka_unit_test(neighbours_differ_by_more_than_ink),
        cmocka_unit_test(every_scale_gets_bands_that_differ),
        cmocka_unit_test(a_copier_neither_fills_nor_loses_a_pattern),
        cmocka_unit_test(sides_of_a_difference_lean_apart),
        cmocka_unit_test(a_plateau_at_a_level_is_one_pattern),
        cmocka_unit_test(a_hatched_picture_has_no_colour_and_as_much_room),
        cmocka_unit_test(same_pixels_for_any_threads),
        cmocka_unit_test(the_legend_numbers_its_borders),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
