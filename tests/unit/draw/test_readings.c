/*
 * The picture of readings: a disc where each was taken, hollow where left out, the standard deviation
 * beside the map, levels that keep off readings, the same pixels for any number of threads, what is
 * asked for and what is known changes it, faults are told.
 */
#include "drawn.h"
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
    assert_int_equal(test_drawn(tw_draw_readings(d->plate, wanted, count, TW_PAPER_PNG, &options,
                                                 test_canvas(), NULL),
                                &image),
                     TW_OK);
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

/* A canvas whose panel is 2 design pixels to the millimetre, [−150, 150] both ways, at 50, 50. */
static tw_panel panel_of(const disc *d, const tw_dots *dots)
{
    return (tw_panel){.plate = d->plate,
                      .node = tw_plate_map_of(d->plate, TW_MAP_READINGS)->map.node,
                      .scale = tw_scale_thickness(1.2, 1.8, TW_METRIC),
                      .frame = {.x = 50,
                                .y = 50,
                                .width = 600,
                                .height = 600,
                                .per_mm = 2,
                                .across_min = -150,
                                .up_max = 150},
                      .dots = dots};
}

/* Where a reading was taken the panel is a white disc; where none was, it has the map's colour. */
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
    panel = panel_of(&d, &dots);
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

/* Above its number a reading that counts is white, one that is left out has the map's colour. */
static void left_out_readings_are_hollow(void **state)
{
    (void)state;
    for (int leave = 0; leave < 2; leave++) {
        disc d;
        tw_canvas canvas;
        tw_image image = {0};
        tw_arena *arena = tw_arena_new();
        tw_dots dots;
        tw_panel panel;
        const double *at = d.readings[2].at.value;
        const unsigned char *inside;
        disc_begin(&d, leave);
        dots = (tw_dots){.survey = d.plate->survey, .numbered = true};
        panel = panel_of(&d, &dots);
        assert_int_equal(tw_canvas_begin(700, 750, 1, TW_METRIC, &canvas, NULL), TW_OK);
        assert_int_equal(tw_panel_draw(&canvas, &panel, arena, NULL), TW_OK);
        assert_int_equal(tw_canvas_image(&canvas, &image, NULL), TW_OK);
        inside = image.pixels + 3 * ((size_t)(50 + 2 * (150 - at[1]) - 11.5) * image.width +
                                     (size_t)(50 + 2 * (at[0] + 150)));
        assert_int_equal(inside[2] > 250, !leave); /* the map is poor in blue */
        tw_image_release(&image);
        tw_canvas_end(&canvas);
        tw_arena_free(arena);
        disc_end(&d);
    }
}

static void the_key_names_what_there_is(void **state)
{
    const tw_suggestion wanted[] = {{{40, 40}, 1}};
    tw_key_entry key[TW_DOT_KEYS];
    tw_dots dots;
    disc d;

    (void)state;
    disc_begin(&d, false);
    dots = (tw_dots){.survey = d.plate->survey};
    assert_int_equal(tw_dots_key(&dots, key), 1);
    d.plate->survey->readings[0].flags = TW_FLAG_SLIP;
    assert_int_equal(tw_dots_key(&dots, key), 2);
    assert_non_null(strstr(key[1].words, "still counts"));
    d.plate->survey->readings[0].used = false;
    assert_int_equal(tw_dots_key(&dots, key), 2);
    assert_non_null(strstr(key[1].words, "left out"));
    d.plate->survey->readings[1].used = false;
    d.plate->survey->readings[2].flags = TW_FLAG_REACH;
    dots.suggestions = wanted;
    dots.suggestion_count = 1;
    assert_int_equal(tw_dots_key(&dots, key), TW_DOT_KEYS);
    for (size_t k = 0; k < TW_DOT_KEYS; k++)
        for (size_t j = 0; j < k; j++)
            assert_true(key[k].sign != key[j].sign);
    disc_end(&d);
}

/* A level through five readings is written, but on none of them and not close by; a ring that its
 * label would hide is not. */
static void levels_keep_off_dots(void **state)
{
    disc d;
    tw_canvas canvas;
    tw_boxes taken = {0};
    tw_dots dots;
    tw_panel panel;
    const tw_grid *grid;
    double through[200][2], ring[200][2];
    const tw_contour line = {.level = 1.5, .count = 200, .points = through};
    tw_contour small = {.level = 1.5, .closed = true, .count = 200, .points = ring};

    (void)state;
    disc_begin(&d, false);
    grid = d.plate->grid;
    for (size_t k = 0; k < 200; k++) {
        const double across = -120 + 240.0 * (double)k / 199, turn = 2 * TW_PI * (double)k / 200;
        through[k][0] = (across - grid->across_min) / grid->across_step;
        through[k][1] = (0 - grid->up_min) / grid->up_step;
        ring[k][0] = (50 + 6 * cos(turn) - grid->across_min) / grid->across_step;
        ring[k][1] = (50 + 6 * sin(turn) - grid->up_min) / grid->up_step;
    }
    for (size_t k = 0; k < 5; k++) {
        d.plate->survey->readings[k].tape[0] = -100 + 50 * (double)k;
        d.plate->survey->readings[k].tape[1] = 0;
    }
    dots = (tw_dots){.survey = d.plate->survey};
    panel = panel_of(&d, &dots);
    assert_int_equal(tw_canvas_begin(700, 750, 1, TW_METRIC, &canvas, NULL), TW_OK);
    tw_dots_draw(&canvas, &panel, &taken);
    assert_int_equal(taken.count, READINGS);
    tw_contours_label(&canvas, &panel, &line, 1, &taken);
    assert_int_equal(taken.count, READINGS + 1);
    for (size_t k = 0; k < READINGS; k++) {
        const double *at = d.plate->survey->readings[k].tape, *label = taken.at[READINGS];
        const double x = 50 + 2 * (at[0] + 150), y = 50 + 2 * (150 - at[1]);
        assert_true(x + 15 < label[0] || x - 15 > label[2] || y + 15 < label[1] ||
                    y - 15 > label[3]);
    }
    tw_contours_label(&canvas, &panel, &small, 1, &taken);
    assert_int_equal(taken.count, READINGS + 1);
    for (size_t k = 0; k < 200; k++) { /* five times as large: written */
        const double turn = 2 * TW_PI * (double)k / 200;
        ring[k][0] = (50 + 30 * cos(turn) - grid->across_min) / grid->across_step;
        ring[k][1] = (50 + 30 * sin(turn) - grid->up_min) / grid->up_step;
    }
    tw_contours_label(&canvas, &panel, &small, 1, &taken);
    assert_int_equal(taken.count, READINGS + 2);
    tw_canvas_end(&canvas);
    disc_end(&d);
}

static void spread_scales_end_round_and_hold_all(void **state)
{
    static const struct {
        double high, end;
    } known[] = {{0, 0.1},    {0.012, 0.1}, {0.1, 0.1}, {0.101, 0.2},
                 {0.32, 0.5}, {0.46, 0.5},  {1.7, 2}};
    test_random rng = test_random_begin("spread scales");

    (void)state;
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
        const tw_scale scale = tw_scale_spread(known[k].high, TW_METRIC);
        assert_true(scale.low == 0);
        assert_true(fabs(scale.high - known[k].end) < 1e-9);
    }
    for (int trial = 0; trial < 1000; trial++) {
        const double high = pow(10, test_uniform(&rng, -4, 2));
        for (int units = 0; units < 2; units++) {
            const tw_scale scale = tw_scale_spread(high, units ? TW_INCH : TW_METRIC);
            const double steps = scale.high / scale.step;
            assert_true(scale.high >= high * (1 - 1e-6) && scale.high >= 0.0999);
            assert_true(scale.high <= 2.6 * fmax(high, 0.1));
            assert_true(fabs(steps - round(steps)) < 1e-6 && steps >= 4);
        }
    }
}

/* Words of the whole picture: the scale's verdict, few readings, seen from inside, edges only. */
static void what_is_known_is_told(void **state)
{
    const tw_draw_options plain = {.width = 800, .expanded_g = 12};
    tw_agreement agreement = {.scale_g = 900, .verdict = TW_VERDICT_AGREE};
    tw_draw_options judged = plain;
    tw_image a, b;
    disc d;

    (void)state;
    disc_begin(&d, false);
    judged.agreement = &agreement;
    a = draw(&d, NULL, 0, plain);
    b = draw(&d, NULL, 0, judged);
    assert_true(same_and_release(&a, &b)); /* no scale weight: nothing to judge by */
    a = draw(&d, NULL, 0, plain);
    d.profile->scale = 900;
    b = draw(&d, NULL, 0, plain);
    assert_false(same_and_release(&a, &b));
    for (int verdict = 0; verdict < 4; verdict++) {
        agreement.verdict = (tw_verdict)verdict;
        a = draw(&d, NULL, 0, judged);
        agreement.verdict = (tw_verdict)((verdict + 1) % 4);
        b = draw(&d, NULL, 0, judged);
        assert_false(same_and_release(&a, &b));
    }
    a = draw(&d, NULL, 0, plain);
    d.plate->survey->few = true;
    b = draw(&d, NULL, 0, plain);
    assert_false(same_and_release(&a, &b));
    a = draw(&d, NULL, 0, plain);
    d.profile->readings.seen_inside = true;
    b = draw(&d, NULL, 0, plain);
    assert_true(b.height > a.height); /* a line more */
    assert_false(same_and_release(&a, &b));
    a = draw(&d, NULL, 0, plain);
    d.plate->survey->edges_only = true;
    b = draw(&d, NULL, 0, plain);
    assert_false(same_and_release(&a, &b));
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
    assert_int_equal(
        test_drawn(tw_draw_readings(d.plate, NULL, 0, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    d.plate->map_count = 1; /* the sheet alone */
    options.width = 600;
    assert_int_equal(
        test_drawn(tw_draw_readings(d.plate, NULL, 0, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_INPUT);
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
        cmocka_unit_test(left_out_readings_are_hollow),
        cmocka_unit_test(the_key_names_what_there_is),
        cmocka_unit_test(levels_keep_off_dots),
        cmocka_unit_test(spread_scales_end_round_and_hold_all),
        cmocka_unit_test(what_is_known_is_told),
        cmocka_unit_test(faults_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
