/* Drawings to teach with: frames of one size, an animation that begins with the first, pages on A4. */
#include "drawn.h"
#include "support.h"

#include "taperwright/draw.h"
#include "taperwright/profile.h"

#include <stdlib.h>

typedef struct model {
    tw_profile *profile;
    tw_plate *plate;
    tw_series series;
    tw_exercise exercise;
} model;

static model begin(void)
{
    const tw_plate_options options = {.cells = 48};
    model m = {0};

    assert_int_equal(
        tw_profile_read(TW_SOURCE_DIR "/profiles/knee.yaml", NULL, 0, &m.profile, NULL), TW_OK);
    assert_int_equal(tw_plate_build(m.profile, &options, &m.plate, NULL), TW_OK);
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_GRAMS, 3, 1, &m.series, NULL), TW_OK);
    assert_int_equal(tw_exercise_make(m.plate, 1, &m.exercise, NULL), TW_OK);
    return m;
}

static void end(model *m)
{
    tw_series_release(&m->series);
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

static void animation_begins_with_the_first_frame(void **state)
{
    const tw_draw_options options = {.width = 600};
    model m = begin();
    tw_image frames[3], first;

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        assert_int_equal(test_drawn(tw_draw_series_frame(&m.series, k, TW_PAPER_PNG, &options,
                                                         test_canvas(), NULL),
                                    &frames[k]),
                         TW_OK);
        assert_int_equal(frames[k].width, 600);
        assert_int_equal(frames[k].height, frames[0].height);
    }
    assert_int_equal(
        test_drawn(tw_draw_series_moving(&m.series, &options, test_canvas(), NULL), &first), TW_OK);
    assert_int_equal(first.height, frames[0].height);
    assert_memory_equal(first.pixels, frames[0].pixels, 3 * first.width * first.height);
    assert_memory_not_equal(frames[0].pixels, frames[2].pixels, 3 * first.width * first.height);
    tw_image_release(&first);
    for (size_t k = 0; k < 3; k++)
        tw_image_release(&frames[k]);
    end(&m);
}

static void poster_is_the_same_for_any_threads(void **state)
{
    model m = begin();
    char *bytes[2];
    size_t size[2];

    (void)state;
    for (unsigned k = 0; k < 2; k++) {
        const tw_draw_options options = {.width = 800, .threads = 1 + 2 * k};
        assert_int_equal(
            test_drawn_bytes(tw_draw_series(&m.series, TW_PAPER_PNG, &options, test_canvas(), NULL),
                             &bytes[k], &size[k]),
            TW_OK);
    }
    assert_int_equal(size[0], size[1]);
    assert_memory_equal(bytes[0], bytes[1], size[0]);
    free(bytes[0]);
    free(bytes[1]);
    end(&m);
}

/* How often a word stands in a drawing that is on a page. */
static size_t count_words(const tw_words *words, size_t page, const char *part)
{
    size_t count = 0;

    for (size_t k = 0; k < words->count; k++)
        count += words->items[k].page == page && strstr(words->items[k].text, part);
    return count;
}

static void pages_keep_answers_apart(void **state)
{
    model m = begin();
    tw_words words = {0};
    const tw_draw_options options = {.words = &words, .title = "t"};
    char *bytes, mass[48];
    size_t size;

    (void)state;
    tw_write_mass(m.exercise.forged->weight.mass_g, TW_METRIC, -1, mass, sizeof mass);
    assert_int_equal(test_drawn_bytes(tw_draw_exercise(&m.exercise, 0, TW_PAPER_PDF, &options,
                                                       test_canvas(), NULL),
                                      &bytes, &size),
                     TW_OK);
    assert_memory_equal(bytes, "%PDF-", 5);
    assert_int_equal(count_words(&words, 0, mass), 0); /* of the plate: an answer */
    assert_int_equal(count_words(&words, 1, "the answers"), 1);
    assert_int_equal(count_words(&words, 0, "the answers"), 0);
    free(bytes);
    tw_words_release(&words);
    assert_int_equal(
        test_drawn_bytes(tw_draw_guess(&m.exercise, 0, TW_PAPER_PDF, &options, test_canvas(), NULL),
                         &bytes, &size),
        TW_OK);
    assert_int_equal(count_words(&words, 0, "Strike zone"), 0);
    assert_int_equal(count_words(&words, 1, "Thickness, mm"), 1);
    free(bytes);
    tw_words_release(&words);
    end(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(animation_begins_with_the_first_frame),
                                       cmocka_unit_test(poster_is_the_same_for_any_threads),
                                       cmocka_unit_test(pages_keep_answers_apart)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
