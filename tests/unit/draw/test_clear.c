/*
 * No drawing writes one word over another: every picture of the demo plates, by the boxes of its letters'
 * ink, metric and in inches.
 */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "draw/draw_internal.h"

typedef struct demo {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
} demo;

static demo begin(const char *file)
{
    const tw_plate_options options = {.cells = 48};
    demo d = {.profile = NULL};
    tw_error err = {0};

    assert_int_equal(tw_profile_read(file, NULL, 0, &d.profile, NULL), TW_OK);
    if (tw_plate_build(d.profile, &options, &d.plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    return d;
}

static void end(demo *d)
{
    tw_goal_release(&d->goal);
    tw_plate_free(d->plate);
    tw_profile_free(d->profile);
}

/* Options of turn 0 or 1, and afterwards what was said with them. */
static tw_draw_options options_of(int turn, tw_words *words)
{
    *words = (tw_words){0};
    return (tw_draw_options){
        .width = 600, .units = turn ? TW_INCH : TW_METRIC, .which = SIZE_MAX, .words = words};
}

static void check(tw_status status, tw_words *words)
{
    tw_image image = {0};

    assert_int_equal(test_drawn(status, &image), TW_OK);
    test_assert_clear(words);
    tw_words_release(words);
    tw_image_release(&image);
}

/* The check sees what it is there to see. */
static void overlap_is_seen(void **state)
{
    const tw_lettering letters = {.size = 30};
    tw_words words = {0};
    tw_canvas canvas;

    (void)state;
    assert_int_equal(tw_canvas_begin(400, 100, 1, TW_METRIC, &canvas, NULL), TW_OK);
    canvas.words = &words;
    tw_text_draw(&canvas, "one", &letters, 10, 10);
    tw_text_draw(&canvas, "two", &letters, 200, 10);
    assert_int_equal(test_overlaps(&words), 0);
    tw_text_draw(&canvas, "three", &letters, 40, 15);
    assert_int_equal(test_overlaps(&words), 1);
    canvas.page = 1;
    tw_text_draw(&canvas, "on another page", &letters, 10, 10);
    assert_int_equal(test_overlaps(&words), 1);
    tw_canvas_end(&canvas);
    tw_words_release(&words);
}

static void maps_are_clear(void **state)
{
    static const char *const files[] = {"profiles/breastplate.yaml", "profiles/skull.yaml",
                                        "profiles/knee.yaml"};

    (void)state;
    for (size_t f = 0; f < 3; f++) {
        demo d = begin(files[f]);
        tw_comparison comparison;
        tw_words words;
        assert_int_equal(tw_compare(d.plate, 1, &comparison, NULL), TW_OK);
        for (int turn = 0; turn < 2; turn++) {
            const tw_draw_options options = options_of(turn, &words);
            check(tw_draw_comparison(&comparison, TW_PAPER_PNG, &options, test_canvas(), NULL),
                  &words);
        }
        end(&d);
    }
}

static void readings_are_clear(void **state)
{
    demo d = begin("profiles/curators-breast.yaml");
    tw_words words;

    (void)state;
    assert_int_equal(tw_survey_spread(d.plate->survey, 1, NULL), TW_OK);
    for (int turn = 0; turn < 2; turn++) {
        const tw_draw_options options = options_of(turn, &words);
        check(tw_draw_readings(d.plate, NULL, 0, TW_PAPER_PNG, &options, test_canvas(), NULL),
              &words);
    }
    end(&d);
}

static void plans_are_clear(void **state)
{
    demo d = begin("profiles/breastplate.yaml");
    const tw_stock stock = {.thickness = 2.5};
    const tw_blank_request request = {.threads = 1, .nodes = 400};
    tw_steps steps;
    tw_card card;
    tw_blank blank;
    tw_words words;

    (void)state;
    assert_int_equal(tw_goal_make(d.plate, NULL, &stock, 1, &d.goal, NULL), TW_OK);
    assert_int_equal(tw_steps_make(&d.goal, NULL, 0.3, &steps, NULL), TW_OK);
    assert_int_equal(tw_card_make(&d.goal, 12, 0.1, INFINITY, &card, NULL), TW_OK);
    assert_int_equal(tw_blank_make(&d.goal, &request, &blank, NULL), TW_OK);
    for (int turn = 0; turn < 2; turn++) {
        tw_draw_options options = options_of(turn, &words);
        check(tw_draw_steps(&steps, NULL, TW_PAPER_PNG, &options, test_canvas(), NULL), &words);
        options = options_of(turn, &words);
        check(tw_draw_card(&card, TW_PAPER_PNG, &options, test_canvas(), NULL), &words);
        options = options_of(turn, &words);
        check(tw_draw_blank(&blank, NULL, &card, TW_PAPER_PNG, &options, test_canvas(), NULL),
              &words);
    }
    tw_blank_release(&blank);
    tw_card_release(&card);
    tw_steps_release(&steps);
    end(&d);
}

static void trade_off_is_clear(void **state)
{
    demo d = begin("profiles/breastplate.yaml");
    tw_plan_request request = {.grade = 1.0 / 60, .within_mm = NAN, .weight_g = 1600};
    tw_plan *plan = NULL;
    tw_trade_off trade;
    tw_least least;
    tw_words words;

    (void)state;
    assert_int_equal(tw_plan_open(d.plate, 1, &plan, NULL), TW_OK);
    request.least_mm = tw_plan_thinnest(plan);
    assert_int_equal(tw_plan_least(plan, &request, &least, NULL), TW_OK);
    assert_int_equal(tw_plan_trade_off(plan, &request, &trade, NULL), TW_OK);
    for (int turn = 0; turn < 2; turn++) {
        const tw_draw_options options = options_of(turn, &words);
        check(tw_draw_trade_off(&trade, &least, TW_PAPER_PNG, &options, test_canvas(), NULL),
              &words);
    }
    tw_trade_off_release(&trade);
    tw_least_release(&least);
    tw_plan_free(plan);
    end(&d);
}

static void harness_is_clear(void **state)
{
    const tw_plate_options coarse = {.cells = 32};
    tw_harness_file *file = NULL;
    tw_harness *harness = NULL;
    tw_originals *records = NULL;
    const tw_choice all = {.set = NULL};
    const tw_filter any = {0, 0, NULL};
    tw_total total;
    tw_sources sources;
    tw_ranking ranking;
    tw_words words;

    (void)state;
    assert_int_equal(tw_harness_file_read("profiles/cuirass.yaml", NULL, 0, &file, NULL), TW_OK);
    assert_int_equal(tw_harness_build(file, &coarse, &harness, NULL), TW_OK);
    assert_int_equal(tw_harness_total(harness, &all, &total, NULL), TW_OK);
    assert_int_equal(tw_total_sources(&total, &sources, NULL), TW_OK);
    assert_int_equal(tw_originals_shipped(&records, NULL), TW_OK);
    assert_int_equal(tw_rank(&total, records, &any, &ranking, NULL), TW_OK);
    for (int turn = 0; turn < 2; turn++) {
        tw_draw_options options = options_of(turn, &words);
        check(tw_draw_parts(&total, &sources, TW_PAPER_PNG, &options, test_canvas(), NULL), &words);
        options = options_of(turn, &words);
        check(tw_draw_ranking(&ranking, TW_PAPER_PNG, &options, test_canvas(), NULL), &words);
    }
    tw_ranking_release(&ranking);
    tw_sources_release(&sources);
    tw_total_release(&total);
    tw_originals_free(records);
    tw_harness_free(harness);
    tw_harness_file_free(file);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(overlap_is_seen),    cmocka_unit_test(maps_are_clear),
        cmocka_unit_test(readings_are_clear), cmocka_unit_test(plans_are_clear),
        cmocka_unit_test(trade_off_is_clear), cmocka_unit_test(harness_is_clear),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
