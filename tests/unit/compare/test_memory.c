/* Let the n-th allocation fail, from the layout's map to the row that it is compared in: the status is
 * TW_ERR_MEMORY, and what was there before is untouched. */
#include "../blank/blank_checks.h"

#include "taperwright/compare.h"

#include "failing_arena.h"

static const char text[] =
    "plate: bowl\nruler: mm\nmaterial: mild steel\n"
    "form: {bowl: {across: 100 mm, up: 100 mm, depth: 40 mm}}\n"
    "thickness:\n  forged:\n"
    "    strike: [{name: crown, at: [0, 0], radius: 30 mm, thickness: 2 mm}]\n"
    "    edges: [{edge: rim, thickness: 1 mm}]\n";

static void every_request_may_fail(void **state)
{
    const tw_plate_options coarse = {.cells = 32, .threads = 1};
    const tw_layout_options options = {.nodes = 300, .stock = 1.5, .threads = 1};
    shape s = {NULL, NULL};
    tw_plate *plate = NULL;
    tw_layout *layout = NULL;
    tw_comparison before = {.count = 0};
    tw_status status = TW_ERR_MEMORY;
    long n = 0;

    (void)state;
    allowed = -1;
    assert_int_equal(
        tw_profile_read_memory("bowl.yaml", text, strlen(text), NULL, 0, &s.profile, NULL), TW_OK);
    assert_int_equal(tw_plate_build(s.profile, &coarse, &plate, NULL), TW_OK);
    assert_int_equal(tw_layout_as_formed(plate->form, &options, &layout, NULL), TW_OK);
    for (; status != TW_OK; n++) {
        tw_comparison rows = before;
        tw_map map = {.arena = NULL};
        tw_error err = {.message = ""};
        allowed = n;
        status = tw_compare(plate, 1, &rows, &err);
        assert_int_equal(rows.count, status == TW_OK ? 2 : 0);
        if (status == TW_OK) {
            status = tw_map_as_formed(layout, plate->grid, 1, &map, &err);
            assert_true(status == TW_OK || !map.arena);
        }
        if (status == TW_OK) {
            status = tw_compare_as_formed(&rows, &map, 1.5, 1, &err);
            assert_int_equal(rows.count, status == TW_OK ? 3 : 2);
        }
        allowed = -1;
        assert_int_equal(status, status == TW_OK ? TW_OK : TW_ERR_MEMORY);
        assert_int_equal(err.status, status == TW_OK ? err.status : TW_ERR_MEMORY);
        tw_map_release(&map);
    }
    assert_true(n > 10);
    tw_layout_free(layout);
    tw_plate_free(plate);
    shape_free(&s);
}

static void a_series_and_an_exercise(void **state)
{
    const tw_plate_options coarse = {.cells = 12, .threads = 1};
    shape s = {NULL, NULL};
    tw_plate *plate = NULL;
    tw_series series = {.count = 0};
    tw_exercise exercise = {.mean_mm = -1};
    tw_status status = TW_ERR_MEMORY;
    long n = 0;

    (void)state;
    allowed = -1;
    assert_int_equal(
        tw_profile_read_memory("bowl.yaml", text, strlen(text), NULL, 0, &s.profile, NULL), TW_OK);
    assert_int_equal(tw_plate_build(s.profile, &coarse, &plate, NULL), TW_OK);
    for (; status != TW_OK; n++) {
        tw_error err = {.message = ""};
        allowed = n;
        status = tw_series_make(plate, TW_KEEP_GRAMS, 3, 1, &series, &err);
        assert_int_equal(series.count, status == TW_OK ? 3 : 0);
        if (status == TW_OK)
            status = tw_exercise_make(plate, 1, &exercise, &err);
        assert_true(status == TW_OK ? exercise.mean_mm > 1 : exercise.mean_mm == -1);
        allowed = -1;
        assert_int_equal(err.status, status);
        assert_int_equal(status, status == TW_OK ? TW_OK : TW_ERR_MEMORY);
        tw_series_release(&series);
    }
    assert_true(n > 10);
    tw_series_release(NULL); /* nothing to release is no mistake */
    tw_plate_free(plate);
    shape_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail),
                                       cmocka_unit_test(a_series_and_an_exercise)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
