/* Every request for memory of a plan fails in turn: a status, nothing lost, nothing written. */
#include "failing_arena.h"
#include "stock_blank.h"

#include "allocation.h"

typedef tw_status (*planning)(const test_plate *made, tw_error *err);

static tw_status reach(const test_plate *made, tw_error *err)
{
    tw_reach found;
    const tw_status status = tw_plan_reach(made->plate, "strike.heart", 320, 0, 1, &found, err);

    if (status == TW_OK)
        tw_reach_release(&found);
    return status;
}

static tw_status least(const test_plate *made, tw_error *err)
{
    tw_plan_request request = test_request(1, 1 / 40.0);
    tw_plan *plan = NULL;
    tw_least found;
    tw_status status = tw_plan_open(made->plate, 1, &plan, err);

    request.weight_g = 380;
    if (status == TW_OK)
        status = tw_plan_least(plan, &request, &found, err);
    if (status == TW_OK)
        tw_least_release(&found);
    tw_plan_free(plan);
    return status;
}

static tw_status trade(const test_plate *made, tw_error *err)
{
    const tw_plan_request request = test_request(1, 1 / 40.0);
    tw_plan *plan = NULL;
    tw_trade_off found;
    tw_status status = tw_plan_open(made->plate, 1, &plan, err);

    if (status == TW_OK)
        status = tw_plan_trade_off(plan, &request, &found, err);
    if (status == TW_OK)
        tw_trade_off_release(&found);
    tw_plan_free(plan);
    return status;
}

static tw_status steps(const test_plate *made, tw_error *err)
{
    const tw_stock stock = {.thickness = 3};
    tw_goal goal;
    tw_steps found;
    tw_status status = tw_goal_make(made->plate, NULL, &stock, 1, &goal, err);

    if (status != TW_OK)
        return status;
    status = tw_steps_make(&goal, NULL, 0, &found, err);
    if (status == TW_OK)
        tw_steps_release(&found);
    tw_goal_release(&goal);
    return status;
}

static tw_status card(const test_plate *made, tw_error *err)
{
    tw_goal goal;
    tw_card found;
    tw_status status = tw_goal_make(made->plate, NULL, NULL, 1, &goal, err);

    if (status != TW_OK)
        return status;
    status = tw_card_make(&goal, 0, 0, 60, &found, err);
    if (status == TW_OK)
        tw_card_release(&found);
    tw_goal_release(&goal);
    return status;
}

static void expect_every_failure_told(planning plan, long fewest)
{
    test_plate made = test_plate_make(DISC, 16);
    tw_error err = {0};
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;

    for (; status != TW_OK; granted++) {
        test_allow(granted);
        status = plan(&made, &err);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_int_equal(err.status, TW_ERR_MEMORY);
        }
    }
    assert_true(granted > fewest);
    test_plate_free(&made);
}

static void reaching_a_weight(void **state)
{
    (void)state;
    expect_every_failure_told(reach, 20);
}

static void planning_the_least_map(void **state)
{
    (void)state;
    expect_every_failure_told(least, 20);
}

static void trading_off(void **state)
{
    (void)state;
    expect_every_failure_told(trade, 4);
}

static void dividing_into_steps(void **state)
{
    (void)state;
    expect_every_failure_told(steps, 8);
}

static void choosing_points_to_gauge(void **state)
{
    (void)state;
    expect_every_failure_told(card, 20);
}

static void ranking_sheets(void **state)
{
    test_blank *made = test_blank_make(FLAT_EVEN, 1.5, 0, 400);
    const tw_stock_request request = {.systems = 0x7f};
    tw_stock_ranking ranking;
    tw_status status = TW_ERR_MEMORY;
    tw_error err = {0};
    long granted = 0;

    (void)state;
    for (; status != TW_OK; granted++) {
        test_allow(granted);
        status = tw_stock_rank(&made->blank, &request, &ranking, &err);
        test_allow(-1);
        if (status != TW_OK)
            assert_int_equal(status, TW_ERR_MEMORY);
    }
    assert_true(granted > 2);
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reaching_a_weight),
        cmocka_unit_test(planning_the_least_map),
        cmocka_unit_test(trading_off),
        cmocka_unit_test(dividing_into_steps),
        cmocka_unit_test(choosing_points_to_gauge),
        cmocka_unit_test(ranking_sheets),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
