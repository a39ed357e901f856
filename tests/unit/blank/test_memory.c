/* Let the n-th allocation fail until a layout succeeds. What CXSparse asks for is not touched. */
#include "blank_checks.h"

#include "failing_arena.h"

static void every_request_may_fail(void **state)
{
    double map = 1.2;
    shape s;

    (void)state;
    allowed = -1;
    s = shape_of("outside", "form: {bowl: {across: 140 mm, up: 120 mm, depth: 30 mm}}\n"
                            "holes:\n  - {at: [30, 20], radius: 15 mm}");
    for (int held = 0; held < 2; held++) {
        const tw_layout_options options = {.nodes = held ? 200 : 2800, .stock = 1.5, .threads = 1};
        tw_layout *layout = NULL;
        tw_status status = TW_ERR_MEMORY;
        long n = 0;
        for (; status == TW_ERR_MEMORY; n++) {
            tw_error err = {.message = ""};
            allowed = n;
            status =
                held ? tw_layout_prescribed(s.form, even_thickness, &map, &options, &layout, &err)
                     : tw_layout_as_formed(s.form, &options, &layout, &err);
            assert_true(status == TW_OK || (err.status == TW_ERR_MEMORY && !layout));
        }
        allowed = -1;
        assert_int_equal(status, TW_OK);
        assert_true(n > 60);
        tw_layout_free(layout);
    }
    shape_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
