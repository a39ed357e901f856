/* Arena: aligned, zeroed, apart from each other; refuses what overflows. */
#include "support.h"

static void blocks_are_zeroed_aligned_and_apart(void **state)
{
    tw_arena *arena = tw_arena_new();
    test_random random = test_random_begin("blocks_are_zeroed_aligned_and_apart");
    unsigned char *kept[200];
    size_t sizes[200], whole = 0;

    (void)state;
    for (size_t k = 0; k < 200; k++) {
        sizes[k] = (size_t)test_uniform(&random, 0, k % 10 == 0 ? 30000 : 300);
        kept[k] = tw_arena_array(arena, sizes[k], 1);
        assert_non_null(kept[k]);
        assert_int_equal((uintptr_t)kept[k] % (sizes[k] >= 4096 ? 64 : 16), 0);
        for (size_t i = 0; i < sizes[k]; i++)
            assert_int_equal(kept[k][i], 0);
        memset(kept[k], (int)(k + 1), sizes[k]);
        whole += sizes[k];
    }
    for (size_t k = 0; k < 200; k++) /* nobody wrote into another's bytes */
        for (size_t i = 0; i < sizes[k]; i++)
            assert_int_equal(kept[k][i], (unsigned char)(k + 1));
    assert_true(tw_arena_bytes(arena) >= whole);
    tw_arena_free(arena);
}

/* Memory that a freed arena left full is handed out again, in every size of slab. */
static void large_arrays_are_zeroed_after_others_were_freed(void **state)
{
    (void)state;
    for (int round = 0; round < 3; round++) {
        tw_arena *arena = tw_arena_new();
        for (size_t k = 0; k < 24; k++) {
            const size_t size = 65536 * (k % 5 + 1) + 8 * k;
            unsigned char *array = tw_arena_array(arena, size, 1);
            assert_non_null(array);
            assert_int_equal((uintptr_t)array % 64, 0);
            for (size_t i = 0; i < size; i++)
                if (array[i])
                    fail_msg("byte %zu of array %zu", i, k);
            memset(array, 0xA5, size);
        }
        tw_arena_free(arena);
    }
}

static void products_that_overflow_are_refused(void **state)
{
    tw_arena *arena = tw_arena_new();

    (void)state;
    assert_null(tw_arena_array(arena, SIZE_MAX, 1));
    assert_null(tw_arena_array(arena, SIZE_MAX / 2, 8));
    assert_null(tw_arena_array(arena, 8, SIZE_MAX / 2));
    assert_null(tw_arena_array(arena, (size_t)1 << 33, (size_t)1 << 33)); /* wraps to 4 */
    assert_int_equal(tw_arena_bytes(arena), 0);
    assert_non_null(tw_arena_array(arena, 0, 8));
    assert_non_null(tw_arena_array(arena, 8, 0));
    tw_arena_free(arena);
    tw_arena_free(NULL);
}

static void texts_are_copied(void **state)
{
    tw_arena *arena = tw_arena_new();
    char text[] = "heart";
    char *copy = tw_arena_text(arena, text);

    (void)state;
    text[0] = 'x';
    assert_string_equal(copy, "heart");
    assert_string_equal(tw_arena_text(arena, ""), "");
    tw_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_are_zeroed_aligned_and_apart),
        cmocka_unit_test(large_arrays_are_zeroed_after_others_were_freed),
        cmocka_unit_test(products_that_overflow_are_refused),
        cmocka_unit_test(texts_are_copied),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
