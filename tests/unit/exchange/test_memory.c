/* Let the n-th request for memory fail until a solid is made and looked at. */
#include "solids.h"

#include "failing_arena.h"

static void every_request_may_fail(void **state)
{
    plate_made made;
    tw_status status = TW_ERR_MEMORY;
    tw_solid *solid = NULL;
    long n = 0;

    (void)state;
    allowed = -1;
    made =
        plate_of("outside", 1.5, 16,
                 "form:\n  loft:\n    - {ruler: 0, width: 300, centre: 70, sides: 0}\n"
                 "    - {ruler: 300, width: 360, centre: 115, sides: 0}\n"
                 "  keel: {stands: 6 mm, width: 40 mm}\nholes:\n  - {at: [60, 60], radius: 15 mm}");
    for (; status == TW_ERR_MEMORY; n++) {
        const tw_solid_options options = {.spacing = 30, .threads = 1};
        tw_error err = {.message = ""};
        allowed = n;
        status = tw_solid_build(made.plate->form, &made.plate->maps[0].map, &options, &solid, &err);
        assert_true(status == TW_OK || (err.status == TW_ERR_MEMORY && !solid));
    }
    allowed = -1;
    assert_int_equal(status, TW_OK);
    assert_true(n > 40);
    tw_solid_free(solid);
    plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
