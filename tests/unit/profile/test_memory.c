/*
 * Let the n-th allocation fail until reading succeeds. This program brings its own arena (the
 * library's is then not linked), so that every single request can be made to fail.
 */
#include "read.h"

#include <stdlib.h>

struct tw_arena {
    struct link {
        struct link *next;
        max_align_t start[];
    } * first;
};

static long allowed; /* requests still granted; below 0 for all */

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

static void every_failed_request_is_told(void **state)
{
    static const tw_setting settings[] = {{"thickness.forged.strike.heart.thickness", "2.4 mm"},
                                          {"note", "changed"}};
    size_t count;
    const tw_template *templates = tw_templates(&count);

    (void)state;
    for (size_t k = 0; k < count; k++) {
        const size_t size = strlen(templates[k].text);
        const size_t given = strcmp(templates[k].form, "loft") == 0 ? 2 : 0;
        tw_profile *profile = NULL;
        tw_status status = TW_ERR_MEMORY;
        long tries = 0;
        for (; status != TW_OK; tries++) {
            tw_notes errors;
            allowed = tries;
            status = tw_profile_read_memory("t.yaml", templates[k].text, size, settings, given,
                                            &profile, &errors);
            if (status != TW_OK) {
                assert_int_equal(status, TW_ERR_MEMORY);
                assert_null(profile);
                assert_true(errors.count > 0);
            }
        }
        print_message("%s: %ld requests\n", templates[k].form, tries - 1);
        assert_true(tries > 20);
        tw_profile_free(profile);
    }
}

/* The same with a table of readings beside the profile. */
static void every_failed_request_of_a_table_is_told(void **state)
{
    static const char path[] = TW_SOURCE_DIR "/profiles/curators-breast.yaml";
    tw_profile *profile = NULL;
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_notes errors;
        allowed = tries;
        status = tw_profile_read(path, NULL, 0, &profile, &errors);
        if (status != TW_OK) {
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_true(!profile && errors.count > 0);
        }
    }
    assert_true(tries > 100 && profile->readings.reading_count == 14);
    tw_profile_free(profile);
}

/* Errors found before memory runs out must not hide it, nor the other way round: any status but
 * success is right, and nothing is read through a missing block. */
static void faults_and_failures_together(void **state)
{
    static const char text[] =
        FORGED "    strike: [{name: a, at: [0, 0], radius: 5 mm, thickness: 1 mm},"
               " {name: a, at: {edge: rum, along: 1}, radius: 5 mm, thickness: 1 mm}, {line: 3}]\n"
               "    edges: [{edge: rin, thickness: 1 mm}, {edgy: 3}]\n";

    (void)state;
    for (allowed = 0; allowed < 400; allowed++) {
        const long start = allowed;
        tw_notes errors;
        assert_int_not_equal(read_bad(text, strlen(text), NULL, 0, &errors), TW_OK);
        allowed = start;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failed_request_is_told),
        cmocka_unit_test(every_failed_request_of_a_table_is_told),
        cmocka_unit_test(faults_and_failures_together),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
