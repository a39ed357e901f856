/* Every request for memory of a picture of steps fails in turn: a status, nothing lost. */
#include "drawn.h"
#include "support.h"

#include "allocation.h"
#include "taperwright/draw.h"

static const char cone[] =
    "plate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
    "thickness:\n  sheet: 2 mm\n  forged:\n"
    "    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n"
    "    edges: [{edge: rim, thickness: 1.2 mm}]\n";

static void drawing_steps(void **state)
{
    const tw_plate_options coarse = {.cells = 24};
    const tw_draw_options options = {.width = 600, .threads = 1};
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_image image = {0};
    tw_goal goal;
    tw_steps steps;
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;

    (void)state;
    assert_int_equal(tw_profile_read_memory("t", cone, strlen(cone), NULL, 0, &profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(profile, &coarse, &plate, NULL), TW_OK);
    assert_int_equal(tw_goal_make(plate, NULL, NULL, 1, &goal, NULL), TW_OK);
    assert_int_equal(tw_steps_make(&goal, NULL, 0, &steps, NULL), TW_OK);
    for (; status != TW_OK; granted++) {
        tw_error err = {0};
        tw_output *out = test_canvas();
        test_allow(granted);
        status = tw_draw_steps(&steps, NULL, TW_PAPER_PNG, &options, out, &err);
        test_allow(-1);
        test_drawn(status, &image);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_int_equal(err.status, TW_ERR_MEMORY);
        }
    }
    assert_true(granted > 10);
    tw_image_release(&image);
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(drawing_steps)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
