/* Rows shared between threads: each row once, and sums per block give the same bits for any
 * number of threads. Also the compensated sum itself. */
#include "support.h"

enum { ROWS = 1037, BLOCK = 16, BLOCKS = (ROWS + BLOCK - 1) / BLOCK };

typedef struct work {
    int visits[ROWS];
    double sums[BLOCKS];
} work;

static void add_rows(size_t first, size_t last, void *context)
{
    work *w = context;
    tw_sum sum = {0};

    for (size_t row = first; row < last; row++) {
        w->visits[row]++;
        tw_sum_add(&sum, sin((double)row) * pow(10, (double)(row % 17) - 8));
    }
    w->sums[first / BLOCK] = tw_sum_value(&sum);
}

static double sum_on(unsigned threads)
{
    static work w; /* zeroed below; too big for some stacks */
    tw_sum whole = {0};

    memset(&w, 0, sizeof w);
    tw_for_rows(ROWS, BLOCK, threads, add_rows, &w);
    for (size_t row = 0; row < ROWS; row++)
        assert_int_equal(w.visits[row], 1);
    for (size_t k = 0; k < BLOCKS; k++)
        tw_sum_add(&whole, w.sums[k]);
    return tw_sum_value(&whole);
}

static void any_thread_count_gives_the_same_bits(void **state)
{
    const double one = sum_on(1);

    (void)state;
    assert_true(one != 0);
    for (unsigned threads = 0; threads <= 4; threads++) {
        const double other = sum_on(threads);
        assert_memory_equal(&other, &one, sizeof one);
    }
    assert_true(sum_on(1000) == one);
}

static void never(size_t first, size_t last, void *context)
{
    (void)first;
    (void)last;
    *(bool *)context = true;
}

static void no_rows_no_calls(void **state)
{
    bool called = false;

    (void)state;
    tw_for_rows(0, 8, 4, never, &called);
    assert_false(called);
}

/* 1 + 1e100 + 1 − 1e100 = 2; a plain sum gives 0, Kahan's too. Source: Neumaier 1974. */
static void the_sum_keeps_what_a_plain_one_loses(void **state)
{
    const double terms[] = {1, 1e100, 1, -1e100};
    tw_sum sum = {0}, tenths = {0};
    double plain = 0;

    (void)state;
    for (size_t k = 0; k < 4; k++)
        tw_sum_add(&sum, terms[k]);
    assert_true(tw_sum_value(&sum) == 2);
    for (int k = 0; k < 10000000; k++) {
        tw_sum_add(&tenths, 0.1);
        plain += 0.1;
    }
    assert_close(tw_sum_value(&tenths), 1e6, 1e-9);
    assert_true(fabs(plain - 1e6) > 1e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_thread_count_gives_the_same_bits),
        cmocka_unit_test(no_rows_no_calls),
        cmocka_unit_test(the_sum_keeps_what_a_plain_one_loses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
