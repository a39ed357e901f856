/* Every request for memory of a plate's view fails in turn, first those of the arena, then the others: a
 * status, nothing lost. */
#include "failing_arena.h"
#include "support.h"

#include "allocation.h"
#include "draw/solid.h"

static const char keeled[] =
    "plate: breast\nmaterial: mild steel\nruler: mm\nform:\n  loft:\n"
    "    - {ruler: 0, width: 130, centre: 30, sides: 0}\n"
    "    - {ruler: 90, width: 120, centre: 40, sides: 0}\n"
    "  keel: {stands: 8 mm, width: 40 mm}\n"
    "thickness:\n  forged:\n    strike: [{name: heart, at: [0, 40], radius: 20 mm, thickness: 2 "
    "mm}]\n"
    "    edges: [{edge: all, thickness: 1 mm}]\n";

/* Draws; `arena`, `others`: requests granted of either kind. */
static tw_status draw(const tw_sight *solid, long arena, long others)
{
    tw_error err = {0};
    tw_boxes *taken = calloc(1, sizeof *taken);
    tw_canvas canvas;
    tw_arena *scratch = NULL;
    tw_status status;

    allowed = -1;
    assert_non_null(taken);
    assert_int_equal(tw_canvas_begin(300, 300, 1, TW_METRIC, &canvas, NULL), TW_OK);
    scratch = tw_arena_new();
    allowed = arena;
    test_allow(others);
    status = tw_sight_draw(&canvas, solid, 20, 20, 1.5, scratch, taken, &err);
    test_allow(-1);
    allowed = -1;
    assert_int_equal(err.status, status);
    assert_true(status == TW_OK || status == TW_ERR_MEMORY);
    tw_arena_free(scratch);
    tw_canvas_end(&canvas);
    free(taken);
    return status;
}

static void drawing_a_view(void **state)
{
    const tw_plate_options coarse = {.cells = 16};
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_sight solid;
    long granted;

    (void)state;
    allowed = -1;
    assert_int_equal(tw_profile_read_memory("t", keeled, strlen(keeled), NULL, 0, &profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(profile, &coarse, &plate, NULL), TW_OK);
    solid = (tw_sight){.plate = plate,
                       .thickness = plate->maps[0].map.node,
                       .value = plate->maps[0].map.node,
                       .scale = {TW_PALETTE_THICKNESS, 1, 2, 0.2},
                       .azimuth = 35,
                       .elevation = 20,
                       .shaded = true,
                       .contours = true,
                       .threads = 1};
    for (granted = 0; draw(&solid, granted, -1) != TW_OK;)
        granted++;
    assert_true(granted > 30);
    for (granted = 0; draw(&solid, -1, granted) != TW_OK;)
        granted++;
    assert_true(granted > 5);
    tw_plate_free(plate);
    tw_profile_free(profile);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(drawing_a_view)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
