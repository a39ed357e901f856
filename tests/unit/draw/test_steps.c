/*
 * The picture of steps: bands where the closed form of a cone has them, on the plate and on its blank;
 * numbers that stand in their bands and clear of each other; the same pixels for any number of threads.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

/* 2.6 mm within 30 mm, 1.2 mm at 100 mm, straight between. */
static const char cone[] =
    "plate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
    "thickness:\n  forged:\n"
    "    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n"
    "    edges: [{edge: rim, thickness: 1.2 mm}]\n";

typedef struct drawn {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
    tw_steps steps;
    tw_blank blank;
    tw_arena *arena;
} drawn;

/* Enough of a blank to draw: its layout, its net line, and a strip cut round it. */
static void lay_blank(drawn *d)
{
    const tw_layout_options options = {.stock = d->goal.stock.thickness, .nodes = 1500};
    tw_blank *blank = &d->blank;

    assert_int_equal(tw_layout_from_map(d->plate->form, d->plate->grid, d->goal.before.node,
                                        &options, &blank->layout, NULL),
                     TW_OK);
    d->arena = tw_arena_new();
    blank->goal = &d->goal;
    blank->line_count = 1;
    blank->line_first = tw_arena_array(d->arena, 2, sizeof *blank->line_first);
    blank->line_first[1] = blank->cut_count = tw_layout_outline(blank->layout, 0, NULL);
    blank->line = tw_arena_array(d->arena, blank->cut_count, sizeof *blank->line);
    blank->cut = tw_arena_array(d->arena, blank->cut_count, sizeof *blank->cut);
    tw_layout_outline(blank->layout, 0, blank->line);
    for (size_t k = 0; k < blank->cut_count; k++)
        for (int c = 0; c < 2; c++)
            blank->cut[k][c] = 1.06 * blank->line[k][c];
    blank->trim_area_mm2 = 1;
}

static void begin(drawn *d, double sheet, double step)
{
    const tw_plate_options options = {.cells = 128};
    const tw_stock stock = {.thickness = sheet};

    memset(d, 0, sizeof *d);
    assert_int_equal(tw_profile_read_memory("t", cone, strlen(cone), NULL, 0, &d->profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(d->profile, &options, &d->plate, NULL), TW_OK);
    assert_int_equal(tw_goal_make(d->plate, NULL, &stock, 1, &d->goal, NULL), TW_OK);
    assert_int_equal(tw_steps_make(&d->goal, NULL, step, &d->steps, NULL), TW_OK);
    lay_blank(d);
}

static void end(drawn *d)
{
    tw_layout_free(d->blank.layout);
    tw_arena_free(d->arena);
    tw_steps_release(&d->steps);
    tw_goal_release(&d->goal);
    tw_plate_free(d->plate);
    tw_profile_free(d->profile);
}

static tw_image draw(const drawn *d, const tw_blank *blank, tw_draw_options options)
{
    tw_image image = {0};
    tw_error err = {0};

    if (test_drawn(tw_draw_steps(&d->steps, blank, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image) != TW_OK)
        fail_msg("%s", err.message);
    return image;
}

static bool same_bytes(const tw_image *a, const tw_image *b)
{
    return a->width == b->width && a->height == b->height &&
           memcmp(a->pixels, b->pixels, 3 * a->width * a->height) == 0;
}

/* Radius at which the cone is so thick. */
static double radius(double level)
{
    return 30 + 70 * (2.6 - level) / 1.4;
}

static void bands_are_rings_of_the_cone(void **state)
{
    drawn d;
    tw_bands bands;
    tw_arena *arena = tw_arena_new();

    (void)state;
    begin(&d, 2.03, 0.3);
    assert_int_equal(tw_bands_make(&d.steps, arena, &bands, NULL), TW_OK);
    for (int bearing = 0; bearing < 360; bearing += 15) {
        const double x = cos(bearing * TW_PI / 180), y = sin(bearing * TW_PI / 180);
        const double r0 = radius(2.03), r1 = radius(1.8), r2 = radius(1.5);
        assert_int_equal(tw_bands_at(&bands, x * (r0 - 2), y * (r0 - 2)), TW_BAND_GATHER);
        assert_int_equal(tw_bands_at(&bands, x * (r0 + 2), y * (r0 + 2)), 1);
        assert_int_equal(tw_bands_at(&bands, x * (r1 - 2), y * (r1 - 2)), 1);
        assert_int_equal(tw_bands_at(&bands, x * (r1 + 2), y * (r1 + 2)), 2);
        assert_int_equal(tw_bands_at(&bands, x * (r2 + 2), y * (r2 + 2)), 3);
    }
    for (size_t k = 0; k < bands.line_count; k++) /* lines run along those rings */
        for (size_t n = 0; n < bands.lines[k].count; n++) {
            const tw_grid *grid = d.plate->grid;
            const double *at = bands.lines[k].points[n];
            const double r = hypot(grid->across_min + at[0] * grid->across_step,
                                   grid->up_min + at[1] * grid->up_step);
            const double off =
                fmin(fabs(r - radius(2.03)), fmin(fabs(r - radius(1.8)), fabs(r - radius(1.5))));
            assert_true(off < 0.3);
        }
    tw_arena_free(arena);
    end(&d);
}

/* Sheet as thick as the zone: it is left alone, no band and no gathering. */
static void a_zone_as_thick_as_the_sheet_is_left_alone(void **state)
{
    drawn d;
    tw_bands bands;
    tw_arena *arena = tw_arena_new();

    (void)state;
    begin(&d, 2.6, 0);
    assert_int_equal(tw_bands_make(&d.steps, arena, &bands, NULL), TW_OK);
    assert_int_equal(tw_bands_at(&bands, 0, 0), TW_BAND_ALONE);
    assert_int_equal(tw_bands_at(&bands, 20, 20), TW_BAND_ALONE);
    assert_int_equal(tw_bands_at(&bands, 35, 0), 1);
    tw_arena_free(arena);
    end(&d);
}

typedef struct rings {
    double middle[2], least[8], most[8]; /* of each band on the page */
} rings;

static int band_of_rings(const void *context, double x, double y)
{
    const rings *of = context;
    const double r = hypot(x - of->middle[0], y - of->middle[1]);

    for (int k = 1; k < 8; k++)
        if (r >= of->least[k] && r < of->most[k])
            return k;
    return r < of->least[1] ? TW_BAND_ALONE : TW_BAND_OFF;
}

/* Six rings, wide and narrow: every band has a number, and no two boxes touch. */
static void numbers_stand_clear_of_each_other(void **state)
{
    static const double widths[] = {0, 60, 40, 12, 9, 7, 50};
    rings of = {.middle = {400, 400}};
    tw_step steps[6] = {{0}};
    const tw_steps six = {.count = 6, .steps = steps};
    const tw_bands bands = {.steps = &six};
    const tw_band_view view = {&bands, 50, 50, 700, 700, band_of_rings, &of};
    tw_boxes *taken = calloc(1, sizeof *taken);
    tw_canvas canvas;
    double at = 120;
    size_t numbers = 0;

    (void)state;
    for (int k = 1; k <= 6; k++) {
        of.least[k] = at;
        of.most[k] = at += widths[k];
    }
    assert_int_equal(tw_canvas_begin(900, 900, 1, TW_METRIC, &canvas, NULL), TW_OK);
    assert_int_equal(tw_bands_number(&canvas, &view, taken, NULL), TW_OK);
    for (size_t k = 0; k < taken->count;
         k++) { /* leaders take small square boxes along their way */
        const double *a = taken->at[k];
        const bool number = fabs((a[2] - a[0]) - (a[3] - a[1])) > 1e-6;
        numbers += number;
        for (size_t n = 0; number && n < k; n++) {
            const double *b = taken->at[n];
            assert_false(a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]);
        }
    }
    assert_true(numbers >= 6);
    tw_canvas_end(&canvas);
    free(taken);
}

/* Thirteen rings too narrow for a number: each has one beside it all the same. */
static void every_band_has_its_number(void **state)
{
    drawn d;
    tw_words words = {0};
    tw_image image;

    (void)state;
    begin(&d, 2.6, 0.1);
    assert_true(d.steps.count >= 12);
    image = draw(&d, NULL, (tw_draw_options){.words = &words});
    for (size_t k = 0; k < d.steps.count; k++) {
        char number[24];
        size_t found = 0;
        snprintf(number, sizeof number, "%zu", k + 1);
        for (size_t n = 0; n < words.count; n++) /* marks: those of the key are none */
            found += words.items[n].mark && strcmp(words.items[n].text, number) == 0;
        if (found == 0)
            fail_msg("band %zu of %zu has no number", k + 1, d.steps.count);
    }
    test_assert_clear(&words);
    tw_words_release(&words);
    tw_image_release(&image);
    end(&d);
}

static void same_pixels_for_any_threads(void **state)
{
    drawn d;
    tw_image one, more;

    (void)state;
    begin(&d, 2.03, 0);
    one = draw(&d, &d.blank, (tw_draw_options){.width = 900, .threads = 1});
    for (unsigned threads = 2; threads <= 4; threads++) {
        more = draw(&d, &d.blank, (tw_draw_options){.width = 900, .threads = threads});
        assert_true(same_bytes(&one, &more));
        tw_image_release(&more);
    }
    assert_int_equal(one.width, 900);
    tw_image_release(&one);
    end(&d);
}

/* Share of an image's pixels of a colour. */
static double share_of(const tw_image *image, const unsigned char rgb[3])
{
    size_t count = 0;

    for (size_t k = 0; k < image->width * image->height; k++)
        count += memcmp(image->pixels + 3 * k, rgb, 3) == 0;
    return (double)count / (double)(image->width * image->height);
}

/* Of the outermost band: alone it has its ring of the plate; with the blank, that and its ring there. */
static void the_blank_shows_the_same_bands(void **state)
{
    drawn d;
    tw_image alone, both;
    unsigned char last[3];

    (void)state;
    begin(&d, 2.03, 0.3);
    tw_colour_thickness(0.05, last);
    alone = draw(&d, NULL, (tw_draw_options){.width = 1600});
    both = draw(&d, &d.blank, (tw_draw_options){.width = 1600});
    assert_false(same_bytes(&alone, &both));
    assert_true(share_of(&alone, last) > 0.02);
    assert_true(share_of(&both, last) > 0.02);
    tw_image_release(&alone);
    tw_image_release(&both);
    end(&d);
}

static void units_and_nothing_to_do_are_drawn(void **state)
{
    drawn d;
    tw_image metric, inch;

    (void)state;
    begin(&d, 2.03, 0);
    metric = draw(&d, &d.blank, (tw_draw_options){.width = 600});
    inch = draw(&d, &d.blank, (tw_draw_options){.width = 600, .units = TW_INCH});
    assert_false(same_bytes(&metric, &inch));
    tw_image_release(&metric);
    tw_image_release(&inch);
    d.steps.count = 0; /* as of an even plate */
    metric = draw(&d, NULL, (tw_draw_options){.width = 600});
    tw_image_release(&metric);
    end(&d);
}

static void a_width_that_is_not_allowed_is_told(void **state)
{
    const tw_draw_options options = {.width = 599};
    tw_image image = {0};
    tw_error err = {0};
    drawn d;

    (void)state;
    begin(&d, 2.03, 0.4);
    assert_int_equal(
        test_drawn(tw_draw_steps(&d.steps, &d.blank, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    end(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_are_rings_of_the_cone),
        cmocka_unit_test(a_zone_as_thick_as_the_sheet_is_left_alone),
        cmocka_unit_test(numbers_stand_clear_of_each_other),
        cmocka_unit_test(every_band_has_its_number),
        cmocka_unit_test(same_pixels_for_any_threads),
        cmocka_unit_test(the_blank_shows_the_same_bands),
        cmocka_unit_test(units_and_nothing_to_do_are_drawn),
        cmocka_unit_test(a_width_that_is_not_allowed_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
