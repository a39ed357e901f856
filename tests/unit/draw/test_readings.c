/*
 * The picture of readings: a disc where each was taken, the standard deviation beside the map, the
 * same pixels for any number of threads, what is asked for changes it, faults are told.
 */
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

static const char disc_profile[] =
    "format: 1\nplate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 150 mm, up: 150 mm}}\nthickness: {sheet: 1.5 mm}\n";

enum { READINGS = 8 };
typedef struct disc {
    tw_profile *profile;
    tw_plate *plate;
    tw_instrument instrument;
    tw_reading readings[READINGS];
} disc;

/* Seven on a ring and one in the middle, as the profile room would have read them. */
static void disc_begin(disc *d, bool leave_one_out)
{
    static const char *const names[READINGS] = {"1", "2", "3", "4", "5", "6", "left low", "8"};
    const tw_plate_options options = {.cells = 64};

    memset(d, 0, sizeof *d);
    assert_int_equal(tw_profile_read_memory("disc", disc_profile, strlen(disc_profile), NULL, 0,
                                            &d->profile, NULL),
                     TW_OK);
    d->instrument = (tw_instrument){
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.01, .reach = (double)INFINITY};
    for (size_t k = 0; k < READINGS; k++) {
        const double angle = 2 * TW_PI * (double)k / (READINGS - 1);
        d->readings[k] = (tw_reading){
            .name = names[k],
            .at = {.kind = TW_POINT_TAPE, .value = {100 * cos(angle), 100 * sin(angle)}},
            .thickness = 1.5 + 0.2 * cos(angle),
            .repeats = 1};
    }
    d->readings[READINGS - 1].at.value[0] = 0;
    d->readings[READINGS - 1].at.value[1] = 0;
    d->readings[2].leave_out = leave_one_out;
    d->profile->has_readings = true;
    d->profile->readings = (tw_readings_spec){.instrument_count = 1,
                                              .reading_count = READINGS,
                                              .instruments = &d->instrument,
                                              .readings = d->readings,
                                              .surface = 0.05};
    assert_int_equal(tw_plate_build(d->profile, &options, &d->plate, NULL), TW_OK);
}

static void disc_end(disc *d)
{
    tw_plate_free(d->plate);
    tw_profile_free(d->profile);
}

static tw_image draw(const disc *d, const tw_suggestion *wanted, size_t count,
                     tw_draw_options options)
{
    tw_image image = {0};

    options.which = SIZE_MAX;
    assert_int_equal(tw_draw_readings(d->plate, wanted, count, &options, &image, NULL), TW_OK);
    return image;
}

static bool same_bytes(const tw_image *a, const tw_image *b)
{
    return a->width == b->width && a->height == b->height &&
           memcmp(a->pixels, b->pixels, 3 * a->width * a->height) == 0;
}

static bool same_and_release(tw_image *a, tw_image *b)
{
    const bool same = same_bytes(a, b);

    tw_image_release(a);
    tw_image_release(b);
    return same;
}

static void same_pixels_for_any_threads(void **state)
{
    disc d;

    (void)state;
    disc_begin(&d, false);
    for (unsigned threads = 2; threads <= 3; threads++) {
        tw_image one = draw(&d, NULL, 0, (tw_draw_options){.threads = 1});
        tw_image more = draw(&d, NULL, 0, (tw_draw_options){.threads = threads});
        assert_true(same_and_release(&one, &more));
    }
    disc_end(&d);
}

static void what_is_asked_for_changes_the_picture(void **state)
{
    const tw_suggestion wanted[] = {{{40, 40}, 1}, {{-40, 60}, 1}};
    const tw_draw_options plain = {.width = 800}, sure = {.width = 800, .expanded_g = 12},
                          inch = {.width = 800, .units = TW_INCH};
    disc d, other;
    tw_image a, b;

    (void)state;
    disc_begin(&d, false);
    disc_begin(&other, true);
    a = draw(&d, NULL, 0, plain);
    assert_int_equal(a.width, 800);
    b = draw(&d, wanted, 2, plain);
    assert_false(same_and_release(&a, &b));
    a = draw(&d, wanted, 1, plain);
    b = draw(&d, wanted, 2, plain);
    assert_false(same_and_release(&a, &b));
    a = draw(&d, NULL, 0, plain);
    b = draw(&d, NULL, 0, sure);
    assert_false(same_and_release(&a, &b));
    a = draw(&d, NULL, 0, plain);
    b = draw(&d, NULL, 0, inch);
    assert_false(same_and_release(&a, &b));
    a = draw(&d, NULL, 0, plain);
    b = draw(&other, NULL, 0, plain);
    assert_false(same_and_release(&a, &b));
    disc_end(&other);
    disc_end(&d);
}

/* Where a reading was taken the panel is a white disc; where none was, it has the map's colour. The
 * canvas is one panel, 2 design pixels to the millimetre. */
static void discs_stand_where_readings_were_taken(void **state)
{
    disc d;
    tw_canvas canvas;
    tw_image image = {0};
    tw_arena *arena = tw_arena_new();
    tw_panel panel;
    tw_dots dots;

    (void)state;
    disc_begin(&d, false);
    dots = (tw_dots){.survey = d.plate->survey, .numbered = true};
    panel = (tw_panel){.plate = d.plate,
                       .node = tw_plate_map_of(d.plate, TW_MAP_READINGS)->map.node,
                       .scale = tw_scale_thickness(1.2, 1.8, TW_METRIC),
                       .frame = {.x = 50,
                                 .y = 50,
                                 .width = 600,
                                 .height = 600,
                                 .per_mm = 2,
                                 .across_min = -150,
                                 .up_max = 150},
                       .dots = &dots};
    assert_int_equal(tw_canvas_begin(700, 750, 1, TW_METRIC, &canvas, NULL), TW_OK);
    assert_int_equal(tw_panel_draw(&canvas, &panel, arena, NULL), TW_OK);
    assert_int_equal(tw_canvas_image(&canvas, &image, NULL), TW_OK);
    for (size_t k = 0; k < READINGS; k++) {
        const double *at = d.readings[k].at.value;
        const size_t x = (size_t)(50 + 2 * (at[0] + 150)), y = (size_t)(50 + 2 * (150 - at[1]));
        const unsigned char *rim = image.pixels + 3 * ((y - 10) * image.width + x);
        assert_true(rim[0] > 250 && rim[1] > 250 &&
                    rim[2] > 250); /* over the number, in the disc */
    }
    {
        const unsigned char *bare = image.pixels + 3 * (350 * image.width + 250); /* [−50, 0] */
        assert_true(bare[0] != bare[1] || bare[1] != bare[2]);
    }
    tw_image_release(&image);
    tw_canvas_end(&canvas);
    tw_arena_free(arena);
    disc_end(&d);
}

/* Two readings 3 mm apart: the second disc stands aside, so both boxes are free of each other. */
static void close_discs_step_aside(void **state)
{
    disc d;
    tw_canvas canvas;
    tw_boxes taken = {0};
    tw_dots dots;
    tw_panel panel;

    (void)state;
    disc_begin(&d, false);
    d.plate->survey->readings[1].tape[0] = d.plate->survey->readings[0].tape[0] + 3;
    d.plate->survey->readings[1].tape[1] = d.plate->survey->readings[0].tape[1];
    dots = (tw_dots){.survey = d.plate->survey, .numbered = true};
    panel = (tw_panel){.plate = d.plate, .dots = &dots, .frame = {.per_mm = 2, .up_max = 150}};
    assert_int_equal(tw_canvas_begin(100, 100, 1, TW_METRIC, &canvas, NULL), TW_OK);
    tw_dots_draw(&canvas, &panel, &taken);
    assert_int_equal(taken.count, READINGS);
    for (size_t i = 0; i < taken.count; i++) {
        const tw_boxes others = {
            .count = 1, .at = {{taken.at[i][0], taken.at[i][1], taken.at[i][2], taken.at[i][3]}}};
        for (size_t j = 0; j < i; j++)
            assert_true(tw_box_free(&others, taken.at[j]));
    }
    tw_canvas_end(&canvas);
    disc_end(&d);
}

static void faults_are_told(void **state)
{
    disc d;
    tw_image image = {0};
    tw_error err;
    tw_draw_options options = {.width = 599};

    (void)state;
    disc_begin(&d, false);
    assert_int_equal(tw_draw_readings(d.plate, NULL, 0, &options, &image, &err), TW_ERR_DOMAIN);
    d.plate->map_count = 1; /* the sheet alone */
    options.width = 600;
    assert_int_equal(tw_draw_readings(d.plate, NULL, 0, &options, &image, &err), TW_ERR_INPUT);
    assert_null(image.pixels);
    d.plate->map_count = 2;
    disc_end(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_pixels_for_any_threads),
        cmocka_unit_test(what_is_asked_for_changes_the_picture),
        cmocka_unit_test(discs_stand_where_readings_were_taken),
        cmocka_unit_test(close_discs_step_aside),
        cmocka_unit_test(faults_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
