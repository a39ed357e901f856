/*
 * Let the n-th allocation fail until a layout succeeds. This program brings its own arena (the
 * library's is then not linked), so that every single request can be made to fail. What CXSparse asks
 * for is not touched.
 */
#include "blank_checks.h"

#include <stdlib.h>

struct tw_arena {
    struct link {
        struct link *next;
        max_align_t start[];
    } * first;
};

static long allowed = -1; /* requests still granted; below 0 for all */

static bool grant(void)
{
    if (allowed == 0)
        return false;
    if (allowed > 0)
        allowed--;
    return true;
}

tw_arena *tw_arena_new(void)
{
    return grant() ? calloc(1, sizeof(tw_arena)) : NULL;
}

void tw_arena_free(tw_arena *arena)
{
    if (!arena)
        return;
    for (struct link *item = arena->first, *next; item; item = next) {
        next = item->next;
        free(item);
    }
    free(arena);
}

void *tw_arena_array(tw_arena *arena, size_t count, size_t size)
{
    struct link *item = grant() ? calloc(1, sizeof *item + count * size + 1) : NULL;

    if (!item)
        return NULL;
    item->next = arena->first;
    arena->first = item;
    return item->start;
}

char *tw_arena_text(tw_arena *arena, const char *text)
{
    char *copy = tw_arena_array(arena, strlen(text) + 1, 1);

    return copy ? strcpy(copy, text) : NULL;
}

size_t tw_arena_bytes(const tw_arena *arena)
{
    (void)arena;
    return 0;
}

static void every_request_may_fail(void **state)
{
    double map = 1.2;
    shape s = shape_of("outside", "form: {bowl: {across: 140 mm, up: 120 mm, depth: 30 mm}}\n"
                                  "holes:\n  - {at: [30, 20], radius: 15 mm}");

    (void)state;
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
