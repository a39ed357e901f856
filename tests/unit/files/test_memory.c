/* Every request for memory fails in turn, those to an arena too: a status and its words, the old file whole, nothing
 * lost. */
#include "failing_arena.h"
#include "folder.h"

#include "allocation.h"

typedef tw_status (*job)(const char *path, tw_error *err);

static tw_status replace(const char *path, tw_error *err)
{
    char lengthy[1000];
    tw_output *output = NULL;
    tw_status status = tw_output_begin(path, &output, err);

    if (status != TW_OK)
        return status;
    memset(lengthy, 'x', sizeof lengthy - 1);
    lengthy[sizeof lengthy - 1] = '\0';
    tw_output_print(output, NULL, "new"); /* a failure is told by the commit too */
    tw_output_print(output, NULL, "%s", lengthy);
    return tw_output_commit(output, err);
}

static tw_status add(const char *path, tw_error *err)
{
    tw_append *log = NULL;
    const char *standing;
    size_t size;
    const tw_status status = tw_append_begin(path, 1 << 20, &log, &standing, &size, err);

    return status == TW_OK ? tw_append_commit(log, "new\n", 4, err) : status;
}

static tw_status add_and_read(const char *path, tw_error *err)
{
    char *data = NULL;
    size_t size;
    tw_status status;

    unlink(path);
    status = tw_append_read(path, 1 << 20, &data, &size, err);
    free(data);
    put(path, "old\n");
    return status == TW_OK ? add(path, err) : status;
}

static void every_failure_leaves_the_old_file(void **state)
{
    static const job jobs[] = {replace, add, add_and_read};
    const char *path = in_folder("table.csv", 0);

    (void)state;
    for (size_t k = 0; k < sizeof jobs / sizeof *jobs; k++) {
        tw_status status = TW_ERR_MEMORY;
        long tries = 0;
        for (; status != TW_OK; tries++) {
            tw_error err = {0};
            put(path, "old\n");
            test_allow(tries);
            status = jobs[k](path, &err);
            test_allow(-1);
            assert_int_equal(count_entries(), 1);
            if (status == TW_OK)
                break;
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_string_equal(err.file, path);
            assert_non_null(strstr(err.message, "no memory"));
            assert_holds(path, "old\n");
        }
        assert_true(tries > 3);
    }
}

/* What is held grows by doubling; a failure on the way loses no byte that was taken. */
static void a_held_output_that_cannot_grow_is_told(void **state)
{
    enum { BLOCK = 50000, BLOCKS = 10 };
    char *block = calloc(1, BLOCK);
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (; status != TW_OK; tries++) {
        tw_output *output = NULL;
        tw_error err = {0};
        const char *bytes = NULL;
        size_t size = 0;
        test_allow(tries);
        status = tw_output_hold(&output, &err);
        for (int k = 0; k < BLOCKS && status == TW_OK; k++)
            status = tw_output_write(output, block, BLOCK, &err);
        if (output)
            assert_int_equal(tw_output_take(output, &bytes, &size, NULL), status);
        test_allow(-1);
        assert_int_equal(err.status, status);
        if (status == TW_OK)
            assert_int_equal(size, (size_t)BLOCK * BLOCKS);
        else
            assert_int_equal(status, TW_ERR_MEMORY);
        tw_output_abandon(output);
    }
    assert_true(tries > 4);
    free(block);
}

/* /proc tells no size, so that the room grows while reading. */
static void reading_without_memory_is_told(void **state)
{
    static const char *const paths[] = {"/proc/self/smaps", NULL};
    const char *known = in_folder("known", 0);

    (void)state;
    put(known, "bytes");
    for (int k = 0; k < 2; k++) {
        const char *path = paths[k] ? paths[k] : known;
        tw_status status = TW_ERR_MEMORY;
        char *data = NULL;
        size_t size = 0;
        long tries = 0;
        if (access(path, R_OK) != 0)
            continue;
        for (; status != TW_OK; tries++) {
            tw_error err = {0};
            test_allow(tries);
            status = tw_file_read(path, 1 << 26, &data, &size, &err);
            test_allow(-1);
            if (status == TW_OK)
                break;
            assert_int_equal(status, TW_ERR_MEMORY);
            assert_null(data);
            assert_string_equal(err.file, path);
        }
        assert_true(tries >= (paths[k] ? 2 : 1) && strlen(data) == size);
        free(data);
    }
}

static const char faulty[] = "a,b\n1,2\n3\n";

static tw_status read_table(const char *path, bool sound, tw_table **table, tw_notes *errors)
{
    return sound ? tw_table_read_memory(NULL, faulty, 8, table, errors)
                 : tw_table_read(path, table, errors);
}

static void a_table_without_memory_is_told(void **state)
{
    const char *path = in_folder("table.csv", 0);

    (void)state;
    put(path, faulty);
    for (int sound = 0; sound < 2; sound++) {
        const tw_status last = sound ? TW_OK : TW_ERR_SYNTAX;
        tw_status status = TW_ERR_MEMORY;
        tw_table *table = NULL;
        long tries = 0;
        for (; status == TW_ERR_MEMORY; tries++) {
            tw_notes errors = {0};
            test_allow(tries);
            status = read_table(path, sound, &table, &errors);
            test_allow(-1);
            assert_int_equal(errors.count, status == TW_OK ? 0 : 1);
            if (status != TW_OK)
                assert_int_equal(errors.items[0].status, status);
            if (status == TW_ERR_MEMORY) { /* nobody has to ask for the words */
                test_allow(tries);
                assert_int_equal(read_table(path, sound, &table, NULL), TW_ERR_MEMORY);
                test_allow(-1);
            }
        }
        assert_int_equal(status, last);
        assert_true(tries > 6);
        tw_table_free(table);
    }
}

static tw_status draw(tw_output *output, tw_error *err)
{
    static unsigned char pixels[3 * 2000 * 200];
    const tw_image image = {2000, 200, pixels};

    return tw_png_write(output, &image, 0, NULL, 0, 1, err);
}

static tw_status draw_moving(tw_output *output, tw_error *err)
{
    static unsigned char pixels[3 * 6 * 4];
    const tw_image frames[2] = {{6, 4, pixels}, {6, 4, pixels}};
    const unsigned hold[2] = {10, 10};

    return tw_png_write_moving(output, frames, hold, 2, NULL, 0, err);
}

static void a_picture_without_memory_is_told(void **state)
{
    static tw_status (*const pictures[])(tw_output *, tw_error *) = {draw, draw_moving};

    (void)state;
    for (size_t k = 0; k < sizeof pictures / sizeof *pictures; k++) {
        tw_status status = TW_ERR_MEMORY;
        long tries = 0;
        for (; status != TW_OK; tries++) {
            tw_output *output = NULL;
            tw_error err = {0};
            assert_int_equal(tw_output_begin(in_folder("x.png", 0), &output, NULL), TW_OK);
            test_allow(tries);
            status = pictures[k](output, &err);
            test_allow(-1);
            tw_output_abandon(output);
            assert_int_equal(status, status == TW_OK ? TW_OK : TW_ERR_MEMORY);
            assert_int_equal(err.status, status);
        }
        assert_true(tries > 2);
        assert_int_equal(count_entries(), 0);
    }
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, begin_folder, end_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(every_failure_leaves_the_old_file),
        IN_FOLDER(a_held_output_that_cannot_grow_is_told),
        IN_FOLDER(reading_without_memory_is_told),
        IN_FOLDER(a_table_without_memory_is_told),
        IN_FOLDER(a_picture_without_memory_is_told),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
