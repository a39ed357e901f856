/* Every request for memory of readings of the work and of its log fails in turn: a status, nothing lost. */
#include "failing_arena.h"
#include "gauged.h"

#include "allocation.h"

#include <stdlib.h>
#include <unistd.h>

/* The next request to fail: the first ones one by one, then farther and farther apart, as most of those that come late
 * are those of a fit made before with other numbers. */
static long after(long n)
{
    return n + 1 + (TEST_SANITIZED ? n / 20 : 0);
}

static void every_failure_of_a_gauging_is_told(void **state)
{
    test_goal made = test_goal_make(EVEN, 16);
    test_readings readings;
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;

    (void)state;
    test_reads_even(&readings, 2.3);
    readings.reading[0].thickness = 2;
    for (; status != TW_OK; granted = after(granted)) {
        tw_gauging found;
        tw_error err = {0};
        test_allow(granted);
        status =
            tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, 0, 1, &found, &err);
        test_allow(-1);
        if (status == TW_OK)
            tw_gauging_release(&found);
        else
            assert_int_equal(status, TW_ERR_MEMORY);
        if (status != TW_OK)
            assert_int_equal(err.status, TW_ERR_MEMORY);
    }
    assert_true(granted > 30);
    test_goal_free(&made);
}

static void every_failure_of_a_log_is_told(void **state)
{
    test_goal made = test_goal_make(EVEN, 16);
    char path[] = "/tmp/tw_log_memory_XXXXXX";
    const int file = mkstemp(path);
    test_readings readings;
    tw_gauging gauging;
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;

    (void)state;
    assert_true(file >= 0);
    close(file);
    test_reads_even(&readings, 2.3);
    gauging = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    for (; status != TW_OK; granted++) {
        tw_work_log log = {0};
        tw_error err = {0};
        test_allow(granted);
        status = tw_work_log_append(path, &made.goal, "one", &gauging, &err);
        if (status == TW_OK)
            status = tw_work_log_read(path, &made.goal, &log, &err);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_int_equal(err.status, TW_ERR_MEMORY);
        }
        tw_work_log_release(&log);
    }
    assert_true(granted > 8);
    unlink(path);
    tw_gauging_release(&gauging);
    test_goal_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failure_of_a_gauging_is_told),
        cmocka_unit_test(every_failure_of_a_log_is_told),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
