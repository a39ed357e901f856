/* Rows in order, shards, stopping: plates so small that a row takes a millisecond. */
#include "allocation.h"
#include "support.h"

#include "taperwright/batch.h"

#include <stdatomic.h>
#include <stdlib.h>
#include <unistd.h>

static const char plate[] = "format: 1\nplate: patch\nform: flat\nmaterial: mild steel\n"
                            "outline: [{edge: rim, points: [[0, 0], [40, 0], [40, 30], [0, 30], "
                            "[0, 0]]}]\nruler: mm\nthickness: {sheet: 1 mm}\n";
static const char *widths[] = {"1 mm", "1.5 mm", "2 mm", "3 mm", "4 mm"};
static const char *metals[] = {"mild steel", "cartridge brass"};
static const tw_vary varies[] = {{"material", 2, metals}, {"thickness.sheet", 5, widths}};
static char file[] = "/tmp/tw-batch-XXXXXX";
static const char *files[] = {file, "/nonexistent/plate.yaml"};

static int begin(void **state)
{
    const int opened = mkstemp(file);
    const bool whole = opened >= 0 && write(opened, plate, sizeof plate - 1) == sizeof plate - 1;

    (void)state;
    if (opened >= 0)
        close(opened);
    return whole ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    return unlink(file);
}

typedef struct taken {
    size_t count, numbers[64], stop_after;
    double mass[64];
    tw_status status[64], give;
    atomic_bool over;
} taken;

static tw_status take(const tw_batch_row *row, void *context)
{
    taken *t = context;

    assert_true(t->count < 64);
    t->numbers[t->count] = row->place.number;
    t->mass[t->count] = row->maps[TW_MAP_SHEET].given ? row->maps[TW_MAP_SHEET].weight.mass_g : NAN;
    t->status[t->count++] = row->err.status;
    assert_int_equal(row->profile != NULL, row->err.status == TW_OK);
    if (t->count == t->stop_after) {
        atomic_store(&t->over, true);
        return t->give;
    }
    return TW_OK;
}

static bool stopped(void *context)
{
    taken *t = context;

    return atomic_load(&t->over);
}

static tw_batch two_files(unsigned threads)
{
    return (tw_batch){.file_count = 2,
                      .files = files,
                      .vary_count = 2,
                      .varies = varies,
                      .cells = 16,
                      .threads = threads};
}

static void rows_come_in_order(void **state)
{
    static const double mm[] = {1, 1.5, 2, 3, 4};
    double first[64];

    (void)state;
    for (unsigned threads = 1; threads <= 5; threads += 2) {
        const tw_batch batch = two_files(threads);
        taken t = {0};
        tw_error err;
        assert_int_equal(tw_batch_rows(&batch), 20);
        assert_int_equal(tw_batch_run(&batch, take, NULL, &t, &err), TW_OK);
        assert_int_equal(t.count, 20);
        for (size_t k = 0; k < 20; k++) {
            assert_int_equal(t.numbers[k], k + 1);
            assert_int_equal(t.status[k], k < 10 ? TW_OK : TW_ERR_INPUT); /* no such file */
        }
        /* 40 × 30 mm of a metal as thick as said; the last value varies fastest */
        for (size_t k = 0; k < 5; k++) {
            assert_close(t.mass[k] / t.mass[0], mm[k], 1e-9);
            assert_close(t.mass[k + 5] / t.mass[5], mm[k], 1e-9);
        }
        assert_true(t.mass[5] > 1.05 * t.mass[0]); /* brass is denser than steel */
        if (threads == 1)
            memcpy(first, t.mass, sizeof first);
        assert_memory_equal(first, t.mass, 10 * sizeof *first);
    }
}

static void shards_are_the_whole(void **state)
{
    size_t seen[20] = {0};

    (void)state;
    for (size_t shard = 1; shard <= 3; shard++) {
        tw_batch batch = two_files(2);
        taken t = {0};
        tw_error err;
        batch.shard = shard;
        batch.shard_count = 3;
        batch.skip = shard == 2 ? 2 : 0;
        assert_int_equal(tw_batch_share(&batch), shard == 3 ? 6 : 7);
        assert_int_equal(tw_batch_run(&batch, take, NULL, &t, &err), TW_OK);
        assert_int_equal(t.count, tw_batch_share(&batch) - batch.skip);
        for (size_t k = 0; k < t.count; k++) {
            assert_int_equal(t.numbers[k], shard + 3 * (k + batch.skip));
            seen[t.numbers[k] - 1]++;
        }
    }
    for (size_t k = 0; k < 20; k++)
        assert_int_equal(seen[k], k == 1 || k == 4 ? 0 : 1); /* those skipped */
}

static void more_shards_than_rows(void **state)
{
    tw_batch batch = two_files(2);
    taken t = {0};
    tw_error err;

    (void)state;
    batch.shard = 21;
    batch.shard_count = 40;
    assert_int_equal(tw_batch_share(&batch), 0);
    assert_int_equal(tw_batch_run(&batch, take, NULL, &t, &err), TW_OK);
    assert_int_equal(t.count, 0);
}

static void it_can_be_stopped(void **state)
{
    (void)state;
    for (unsigned threads = 1; threads <= 4; threads++) {
        const tw_batch batch = two_files(threads);
        taken wished = {.stop_after = 4, .give = TW_OK}, refused = {.stop_after = 3};
        tw_error err;
        const tw_status status = tw_batch_run(&batch, take, stopped, &wished, &err);
        /* rows that were finished already still come */
        assert_true(wished.count >= 4);
        assert_int_equal(status, wished.count < 20 ? TW_ERR_INTERRUPTED : TW_OK);
        if (threads == 1)
            assert_int_equal(wished.count, 4);
        refused.give = TW_ERR_FILE;
        assert_int_equal(tw_batch_run(&batch, take, NULL, &refused, &err), TW_ERR_FILE);
        assert_int_equal(refused.count, 3);
    }
}

static void too_many_rows(void **state)
{
    static const char *many[10000];
    const tw_vary wide[] = {{"a", 10000, many}, {"b", 10000, many}, {"c", 2, many}};
    const tw_batch batch = {.file_count = 1, .files = files, .vary_count = 3, .varies = wide};

    (void)state;
    assert_int_equal(tw_batch_rows(&batch), 0);
}

static void the_budget_is_there_when_asked_for(void **state)
{
    tw_batch batch = two_files(1);
    taken t = {0};
    tw_error err;

    (void)state;
    batch.file_count = 1;
    batch.budget = true;
    assert_int_equal(tw_batch_run(&batch, take, NULL, &t, &err), TW_OK);
    assert_int_equal(t.count, 10);
}

static void every_request_may_fail(void **state)
{
    tw_batch batch = two_files(1);
    long granted = 0;

    (void)state;
    batch.file_count = 1;
    batch.vary_count = 1;
    for (;; granted += 1 + granted / 40) { /* later ones repeat the first row's */
        taken t = {0};
        tw_error err;
        tw_status status;
        test_allow(granted);
        status = tw_batch_run(&batch, take, NULL, &t, &err);
        test_allow(-1);
        if (status == TW_OK)
            break;
        assert_int_equal(status, TW_ERR_MEMORY);
        assert_int_equal(err.status, TW_ERR_MEMORY);
        assert_true(t.count < 2);
    }
    assert_true(granted > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_come_in_order),
        cmocka_unit_test(shards_are_the_whole),
        cmocka_unit_test(more_shards_than_rows),
        cmocka_unit_test(it_can_be_stopped),
        cmocka_unit_test(too_many_rows),
        cmocka_unit_test(the_budget_is_there_when_asked_for),
        cmocka_unit_test(every_request_may_fail),
    };

    return cmocka_run_group_tests(tests, begin, end);
}
