/* Every request for memory of a list or range of values fails in turn. */
#include "failing_arena.h"
#include "support.h"

#include "taperwright/batch.h"

static void every_failed_request_is_told(void **state)
{
    static const struct {
        const char *text;
        tw_status status;
    } cases[] = {{"1 mm..1.2 mm/0.1 mm", TW_OK},
                 {"2..1.05/0.1 mm", TW_ERR_USAGE}, /* told with values that it writes */
                 {"16 swg, 1.2 mm, [1, 2]", TW_OK}};

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_status status = TW_ERR_MEMORY;
        long granted = 0;
        for (; status == TW_ERR_MEMORY; granted++) {
            tw_arena *arena;
            tw_vary vary;
            tw_error err = {0};
            allowed = -1;
            arena = tw_arena_new();
            allowed = granted;
            status = tw_vary_read(arena, "thickness.sheet", cases[k].text, &vary, &err);
            assert_int_equal(err.status, status);
            if (status == TW_ERR_MEMORY)
                assert_non_null(strstr(err.message, "no memory for the values of thickness.sheet"));
            tw_arena_free(arena);
        }
        assert_int_equal(status, cases[k].status);
        assert_true(granted > 3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_failed_request_is_told)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
