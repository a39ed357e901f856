/* test_goal.c: stages of thickness with the losses between them. */
#include "support.h"
#include "taperwright/plan.h"

static const char flat[] =
    "plate: test\nmaterial: mild steel\nform: flat\n"
    "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\nruler: mm\n"
    "thickness: {sheet: 2 mm, forged: {edges: [{edge: all, thickness: 1.5 mm}]}}\n";

/* 200 × 100 mm of flat steel: every stage is even, so that its mass is thickness · area · density. */
static void losses_come_off_both_sides(void **state)
{
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_goal goal;
    tw_error err;
    const double per_mm = 200 * 100 * 7.85e-3;

    (void)state;
    assert_int_equal(tw_profile_read_memory("test", flat, sizeof flat - 1, NULL, 0, &profile, NULL),
                     TW_OK);
    profile->losses.heats = 5;
    profile->losses.scale = (tw_loss){0.02, 0.005};
    profile->losses.polish = (tw_loss){0.05, 0.01};
    assert_int_equal(tw_plate_build(profile, NULL, &plate, &err), TW_OK);
    assert_int_equal(tw_goal_make(plate, NULL, NULL, 1, &goal, &err), TW_OK);
    assert_close(goal.polish_mm, 0.1, 1e-15);
    assert_close(goal.scale_mm, 0.2, 1e-15);
    assert_close(goal.scale_u_mm, 0.05, 1e-15);
    assert_close(goal.weight.mass_g, 1.5 * per_mm, 1e-6);
    assert_close(goal.rough_weight.mass_g, 1.6 * per_mm, 1e-6);
    assert_close(goal.before_g, 1.8 * per_mm, 1e-6);
    assert_close(goal.stock.thickness, 2, 1e-15);
    assert_false(goal.planned);
    tw_goal_release(&goal);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

static void no_goal_without_a_wanted_thickness(void **state)
{
    static const char sheet[] = "plate: test\nmaterial: mild steel\nform: flat\n"
                                "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n"
                                "ruler: mm\nthickness: {sheet: 2 mm}\n";
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_goal goal;
    tw_error err;

    (void)state;
    assert_int_equal(
        tw_profile_read_memory("test", sheet, sizeof sheet - 1, NULL, 0, &profile, NULL), TW_OK);
    assert_int_equal(tw_plate_build(profile, NULL, &plate, &err), TW_OK);
    assert_int_equal(tw_goal_make(plate, NULL, NULL, 1, &goal, &err), TW_ERR_INPUT);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(losses_come_off_both_sides),
        cmocka_unit_test(no_goal_without_a_wanted_thickness),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
