/*
 * The picture of thickness against mass: the plan's point and the limit stand where their numbers say,
 * labels keep clear of each other, nothing is cut off, faults are told.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

enum { THICKNESSES = 5, GRADES = 4, FROM = 190, TO = 1270 /* columns of the plot, 1600 wide */ };

typedef struct set {
    tw_profile profile;
    tw_plate plate;
    double thickness[THICKNESSES], grade[GRADES], mass[THICKNESSES * GRADES];
    tw_trade_off trade;
    tw_requirement requirement;
    tw_least least;
} set;

/* Masses rise by `apart` from grade to grade at the thick end. */
static void set_fill(set *s, double apart)
{
    memset(s, 0, sizeof *s);
    s->profile = (tw_profile){.plate = "test", .note = "invented"};
    s->plate = (tw_plate){.profile = &s->profile};
    for (size_t i = 0; i < THICKNESSES; i++) {
        s->thickness[i] = 2 + 0.2 * (double)i;
        for (size_t j = 0; j < GRADES; j++)
            s->mass[i * GRADES + j] = 1000 + (double)i * (100 + apart / 4 * (double)j);
    }
    for (size_t j = 0; j < GRADES; j++)
        s->grade[j] = 1.0 / (40 + 20 * (double)j);
    s->trade = (tw_trade_off){.plate = &s->plate,
                              .thickness_count = THICKNESSES,
                              .grade_count = GRADES,
                              .own_grade = 1,
                              .thickness_mm = s->thickness,
                              .grade = s->grade,
                              .mass_g = s->mass,
                              .changed = "strike zone heart"};
    s->requirement = (tw_requirement){.name = "strike zone heart", .planned_mm = 2.4};
    s->least = (tw_least){.count = 1, .requirements = &s->requirement, .weight_g = NAN};
    s->least.weight.mass_g = 1240;
}

static tw_image draw(const set *s, bool choice, tw_draw_options options)
{
    tw_image image = {0};
    tw_error err;

    if (test_drawn(tw_draw_trade_off(&s->trade, choice ? &s->least : NULL, TW_PAPER_PNG, &options,
                                     test_canvas(), &err),
                   &image) != TW_OK)
        fail_msg("%s", err.message);
    return image;
}

static const unsigned char *pixel(const tw_image *image, size_t x, size_t y)
{
    return image->pixels + 3 * (image->width * y + x);
}

/* Middle of the plan's mark within the plot; false when there is none. */
static bool find_mark(const tw_image *image, double at[2])
{
    double rgb[3], sum[2] = {0, 0};
    size_t count = 0;

    tw_fill_colour(TW_FILL_OWN, rgb);
    for (size_t y = 0; y < image->height; y++)
        for (size_t x = FROM - 20; x < TO + 20; x++) {
            const unsigned char *p = pixel(image, x, y);
            bool same = true;
            for (int k = 0; k < 3; k++)
                same = same && abs(p[k] - (int)lround(255 * rgb[k])) <= 1;
            if (same) {
                sum[0] += (double)x + 0.5;
                sum[1] += (double)y + 0.5;
                count++;
            }
        }
    at[0] = sum[0] / (double)(count ? count : 1);
    at[1] = sum[1] / (double)(count ? count : 1);
    return count > 50;
}

static void the_point_stands_where_its_numbers_say(void **state)
{
    set s;
    double at[2], higher[2];
    tw_image image;

    (void)state;
    set_fill(&s, 200);
    image = draw(&s, true, (tw_draw_options){0});
    assert_true(find_mark(&image, at));
    /* midway of thicknesses 2.0 … 2.8 mm, and of the plot */
    assert_close(at[0], (FROM + TO) / 2.0, 1.5);
    tw_image_release(&image);
    s.requirement.planned_mm = 2.6;
    s.least.weight.mass_g = 1360;
    image = draw(&s, true, (tw_draw_options){0});
    assert_true(find_mark(&image, higher));
    /* 0.2 of 0.832 mm, the ends and 2 % beyond each, to the right; up by 120 g of 1.1 · 1000 g in 760 */
    assert_close(higher[0] - at[0], 0.2 / 0.832 * (TO - FROM), 1.5);
    assert_close(at[1] - higher[1], 120 / (1.1 * 1000) * 760, 1.5);
    tw_image_release(&image);
    image = draw(&s, false, (tw_draw_options){0});
    assert_false(find_mark(&image, at));
    tw_image_release(&image);
}

/* A plan thinner than every thickness worked out lies on the chart all the same. */
static void the_chart_reaches_to_the_point(void **state)
{
    set s;
    double at[2];
    tw_image image;

    (void)state;
    set_fill(&s, 200);
    s.requirement.planned_mm = 1.2;
    s.least.weight.mass_g = 900;
    image = draw(&s, true, (tw_draw_options){0});
    assert_true(find_mark(&image, at));
    assert_close(at[0], FROM + 0.02 / 1.04 * (TO - FROM), 2);
    tw_image_release(&image);
}

/* Rows in which something is written right of the plot, as runs. */
static size_t label_runs(const tw_image *image)
{
    size_t runs = 0;
    bool before = false;

    for (size_t y = 150; y < image->height; y++) {
        bool ink = false;
        for (size_t x = TO + 34; x < image->width; x++)
            ink = ink || pixel(image, x, y)[0] < 200;
        runs += ink && !before;
        before = ink;
    }
    return runs;
}

static void labels_keep_clear_of_each_other(void **state)
{
    static const double apart[] = {200, 10, 0.5, 0};
    set s;

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        tw_image image;
        set_fill(&s, apart[k]);
        s.least.has_weight = true;
        s.least.weight_g = 1400; /* where the lines end */
        image = draw(&s, true, (tw_draw_options){0});
        assert_int_equal(label_runs(&image), GRADES + 1);
        tw_image_release(&image);
    }
}

/* The limit is a dashed line over the plot; one far off is told in words only. */
static size_t dark_in_row(const tw_image *image)
{
    size_t most = 0;

    for (size_t y = 150; y < 920; y++) {
        size_t dark = 0;
        for (size_t x = FROM + 5; x < TO; x++)
            dark += pixel(image, x, y)[0] < 60 && pixel(image, x, y)[2] < 60;
        most = dark > most ? dark : most;
    }
    return most;
}

static void a_limit_is_a_line(void **state)
{
    set s;
    tw_image image;

    (void)state;
    set_fill(&s, 200);
    s.least.has_weight = true;
    s.least.weight_g = 1300;
    image = draw(&s, true, (tw_draw_options){0});
    assert_true(dark_in_row(&image) > (TO - FROM) / 2);
    tw_image_release(&image);
    s.least.weight_g = 9000;
    image = draw(&s, true, (tw_draw_options){0});
    assert_true(dark_in_row(&image) < 100);
    assert_int_equal(label_runs(&image), GRADES);
    tw_image_release(&image);
}

/* No ink touches the edge of the picture, in either unit, however small. */
static void nothing_is_cut_off(void **state)
{
    static const size_t widths[] = {600, 1600};

    (void)state;
    for (int k = 0; k < 4; k++) {
        set s;
        tw_image image, again;
        const tw_draw_options options = {
            .width = widths[k / 2], .units = k % 2 ? TW_INCH : TW_METRIC, .date = "1 May"};
        set_fill(&s, 200);
        s.least.has_weight = true;
        s.least.weight_g = 1300;
        image = draw(&s, true, options);
        again = draw(&s, true, options);
        assert_int_equal(image.width, options.width);
        assert_memory_equal(image.pixels, again.pixels, 3 * image.width * image.height);
        for (size_t y = 0; y < image.height; y++)
            assert_true(pixel(&image, 0, y)[0] == 255 &&
                        pixel(&image, image.width - 1, y)[0] == 255);
        tw_image_release(&image);
        tw_image_release(&again);
    }
}

static void faults_are_told(void **state)
{
    tw_draw_options options = {.width = 500};
    tw_image image = {0};
    tw_error err;
    set s;

    (void)state;
    set_fill(&s, 200);
    assert_int_equal(
        test_drawn(tw_draw_trade_off(&s.trade, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    options.width = 0;
    s.trade.thickness_count = 0;
    assert_int_equal(
        test_drawn(tw_draw_trade_off(&s.trade, NULL, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_INPUT);
    assert_null(image.pixels);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_point_stands_where_its_numbers_say),
        cmocka_unit_test(the_chart_reaches_to_the_point),
        cmocka_unit_test(labels_keep_clear_of_each_other),
        cmocka_unit_test(a_limit_is_a_line),
        cmocka_unit_test(nothing_is_cut_off),
        cmocka_unit_test(faults_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
