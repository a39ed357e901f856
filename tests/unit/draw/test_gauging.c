/* The picture of work in progress: marks that differ by what is to be done, the colour of over and under,
 * the same pixels for any number of threads, faults told. */
#include "drawn.h"
#include "support.h"

#include <stdlib.h>

#include "taperwright/draw.h"

static const char text[] = "format: 1\nplate: lame\nmaterial: mild steel\nruler: mm\nform: flat\n"
                           "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 60 mm}}\n"
                           "thickness:\n  forged:\n    edges: [{edge: all, thickness: 2 mm}]\n";

enum { READINGS = 8 };
typedef struct work {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
    tw_gauging gauging;
} work;

/* Thicknesses at eight places, low and high. */
static void begin(work *w, const double reads[READINGS])
{
    static const char *const names[READINGS] = {"1", "2", "3", "4", "5", "6", "7", "left up"};
    tw_instrument caliper = {
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.01, .reach = (double)INFINITY};
    const tw_plate_options options = {.cells = 48};
    tw_reading readings[READINGS];
    const tw_readings_spec spec = {.instrument_count = 1,
                                   .instruments = &caliper,
                                   .reading_count = READINGS,
                                   .readings = readings,
                                   .surface = 0.01};

    memset(w, 0, sizeof *w);
    assert_int_equal(tw_profile_read_memory("lame", text, strlen(text), NULL, 0, &w->profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(w->profile, &options, &w->plate, NULL), TW_OK);
    assert_int_equal(tw_goal_make(w->plate, NULL, NULL, 1, &w->goal, NULL), TW_OK);
    for (size_t k = 0; k < READINGS; k++)
        readings[k] = (tw_reading){
            .name = names[k],
            .at = {.kind = TW_POINT_TAPE, .value = {-75 + 50 * (double)(k % 4), k < 4 ? -30 : 30}},
            .thickness = reads[k],
            .repeats = 1};
    assert_int_equal(tw_gauging_make(&w->goal, &spec, TW_STAGE_HAMMER, 0, 0, 1, &w->gauging, NULL),
                     TW_OK);
}

static void end(work *w)
{
    tw_gauging_release(&w->gauging);
    tw_goal_release(&w->goal);
    tw_plate_free(w->plate);
    tw_profile_free(w->profile);
}

static tw_image draw(const work *w, unsigned threads)
{
    const tw_draw_options options = {.width = 800, .threads = threads};
    tw_image image = {0};
    tw_error err = {0};

    if (test_drawn(tw_draw_gauging(&w->gauging, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image) != TW_OK)
        fail_msg("%s", err.message);
    return image;
}

/* Pixels of the left half where red, or blue, leads by far. */
static void count_tints(const tw_image *image, size_t *red, size_t *blue)
{
    *red = *blue = 0;
    for (size_t y = 0; y < image->height; y++)
        for (size_t x = 0; x < image->width / 2; x++) {
            const unsigned char *p = image->pixels + 3 * (y * image->width + x);
            *red += p[0] > p[2] + 30;
            *blue += p[2] > p[0] + 30;
        }
}

static void over_and_under_have_their_colours(void **state)
{
    static const double over[READINGS] = {2.3, 2.35, 2.3, 2.3, 2.35, 2.3, 2.3, 2.3};
    static const double under[READINGS] = {1.7, 1.7, 1.65, 1.7, 1.7, 1.7, 1.7, 1.7};
    size_t red, blue;
    tw_image image;
    work w;

    (void)state;
    begin(&w, over);
    image = draw(&w, 1);
    count_tints(&image, &red, &blue);
    assert_true(red > 20 * blue && red > image.width * image.height / 20);
    tw_image_release(&image);
    end(&w);
    begin(&w, under);
    image = draw(&w, 1);
    count_tints(&image, &red, &blue);
    assert_true(blue > 20 * red && blue > image.width * image.height / 20);
    tw_image_release(&image);
    end(&w);
}

/* The pictures of two readings of one place that only differ in the verdict are not the same. */
static void verdicts_have_their_marks(void **state)
{
    static const double leave[READINGS] = {2.1, 2, 2, 2, 2, 2, 2, 2};
    static const tw_todo todos[] = {TW_TODO_LEAVE, TW_TODO_STRETCH, TW_TODO_GRIND, TW_TODO_STOP};
    tw_image images[4];
    work w;

    (void)state;
    begin(&w, leave);
    for (size_t k = 0; k < 4; k++) {
        w.gauging.points[0].todo = todos[k];
        images[k] = draw(&w, 1 + (unsigned)k);
        for (size_t j = 0; j < k; j++) {
            assert_int_equal(images[j].height, images[k].height);
            assert_memory_not_equal(images[j].pixels, images[k].pixels,
                                    3 * images[k].width * images[k].height);
        }
    }
    w.gauging.points[0].todo = TW_TODO_LEAVE;
    tw_image_release(&images[1]);
    images[1] = draw(&w, 4);
    assert_memory_equal(images[0].pixels, images[1].pixels, 3 * images[0].width * images[0].height);
    for (size_t k = 0; k < 4; k++)
        tw_image_release(&images[k]);
    end(&w);
}

static void a_width_out_of_range_is_told(void **state)
{
    static const double reads[READINGS] = {2, 2, 2, 2, 2, 2, 2, 2};
    const tw_draw_options options = {.width = 100};
    tw_image image = {0};
    tw_error err = {0};
    work w;

    (void)state;
    begin(&w, reads);
    assert_int_equal(
        test_drawn(tw_draw_gauging(&w.gauging, TW_PAPER_PNG, &options, test_canvas(), &err),
                   &image),
        TW_ERR_DOMAIN);
    end(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(over_and_under_have_their_colours),
        cmocka_unit_test(verdicts_have_their_marks),
        cmocka_unit_test(a_width_out_of_range_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
