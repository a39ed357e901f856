/* Let the n-th allocation fail until reading, ranking and summing up succeed. */
#include "failing_arena.h"
#include "originals_cases.h"

static const char table[] = "object,title,kinds,mass [g],straps,pounds\n"
                            "1,A,breastplate; tasset 2,4000,out,\n1,B,breastplate,2500,out,9 lb\n"
                            "2,C,tasset,500,in,\n3,D,tasset 2,1000,out,\n";

static void reading(void **state)
{
    const char *path = file_with(table);
    long granted = 0;

    (void)state;
    for (;; granted++) {
        tw_originals *set = NULL;
        tw_notes errors = {0};
        tw_status status;
        allowed = granted;
        status = tw_originals_read(path, &set, &errors);
        if (status == TW_OK) {
            tw_originals_free(set);
            break;
        }
        assert_int_equal(status, TW_ERR_MEMORY);
        assert_null(set);
        assert_int_equal(errors.items[0].status, TW_ERR_MEMORY);
    }
    unlink(path);
    assert_true(granted > 20);
}

static void ranking(void **state)
{
    tw_part_spec specs[2] = {{.name = "breast"}, {.name = "tasset"}};
    tw_part parts[3] = {{.name = "breast", .kind = "breastplate", .spec = &specs[0]},
                        {.name = "tasset left", .kind = "tasset", .spec = &specs[1], .side = 1},
                        {.name = "tasset right", .kind = "tasset", .spec = &specs[1], .side = -1}};
    tw_harness harness = {.parts = parts, .part_count = 3};
    bool in[3] = {true, true, true};
    tw_counted counted[3] = {TW_COUNTED_WEIGHED, TW_COUNTED_WEIGHED, TW_COUNTED_WEIGHED};
    tw_cause causes[] = {{"scale", 3, INFINITY}};
    tw_figure figures[3] = {{2600, 1, causes}, {510, 1, causes}, {520, 1, causes}};
    tw_total total = {.harness = &harness,
                      .in = in,
                      .counted = counted,
                      .figure = figures,
                      .in_count = 3,
                      .sum = {3630, 1, causes},
                      .straps = {40, 1, causes}};
    tw_originals *set;
    tw_ranking out;
    tw_error err;
    long granted;

    (void)state;
    allowed = -1;
    set = set_of(table);
    for (int kind = 0; kind < 2; kind++) {
        for (granted = 0;; granted++) {
            tw_status status;
            allowed = granted;
            status = kind == 0 ? tw_rank(&total, set, NULL, &out, &err)
                               : tw_originals_summary(set, NULL, &out, &err);
            if (status == TW_OK)
                break;
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_int_equal(err.status, TW_ERR_MEMORY);
        }
        assert_true(granted > 5);
        assert_true(out.count >= 3);
        tw_ranking_release(&out);
    }
    tw_originals_free(set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(reading), cmocka_unit_test(ranking)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
