/* Whole files under a ceiling, and every thing a path may name that is no file. */
#include "folder.h"

static void a_file_is_read_whole_and_ended(void **state)
{
    const char *path = in_folder("plate.yaml", 0);
    FILE *file = fopen(path, "w");
    char *data = NULL;
    size_t size = 0;

    (void)state;
    for (int k = 0; k < 100000; k++)
        fputc(k % 7 == 0 ? 0 : 'a' + k % 26, file);
    fclose(file);
    assert_int_equal(tw_file_read(path, 100000, &data, &size, NULL), TW_OK);
    assert_int_equal(size, 100000);
    for (int k = 0; k < 100000; k++)
        assert_int_equal(data[k], k % 7 == 0 ? 0 : 'a' + k % 26);
    assert_int_equal(data[size], 0);
    free(data);
}

static void refuse(const char *path, size_t ceiling, tw_status status, const char *words)
{
    char *data = NULL;
    size_t size = 77;
    tw_error err = {0};

    assert_int_equal(tw_file_read(path, ceiling, &data, &size, &err), status);
    assert_null(data);
    assert_int_equal(size, 77);
    assert_string_equal(err.file, path);
    if (!strstr(err.message, words))
        fail_msg("\"%s\" lacks \"%s\"", err.message, words);
}

static void what_is_no_file_is_told(void **state)
{
    char deep[300];

    (void)state;
    memset(deep, 'a', sizeof deep - 1);
    deep[sizeof deep - 1] = '\0';
    put(in_folder("empty", 0), "");
    put(in_folder("big", 1), "12345");
    refuse(in_folder("missing.yaml", 2), 10, TW_ERR_INPUT, "no such file");
    refuse(in_folder("big/part", 2), 10, TW_ERR_INPUT, "no folder");
    refuse(folder, 10, TW_ERR_INPUT, "folder");
    refuse("", 10, TW_ERR_INPUT, "no such file");
    refuse(in_folder("empty", 0), 10, TW_ERR_INPUT, "empty");
    refuse("/dev/null", 10, TW_ERR_INPUT, "neither");
    refuse(in_folder("big", 1), 4, TW_ERR_LIMIT, "4 bytes");
    assert_int_equal(tw_file_read(deep, 10, NULL, NULL, NULL), TW_ERR_INPUT);
}

/* /proc gives files whose size says 0: the bytes count, and so does the ceiling. */
static void a_file_without_a_size_is_read(void **state)
{
    char *data = NULL;
    size_t size = 0;

    (void)state;
    if (access("/proc/version", R_OK) != 0)
        skip();
    assert_int_equal(tw_file_read("/proc/version", 4096, &data, &size, NULL), TW_OK);
    assert_true(size > 10 && strlen(data) == size);
    free(data);
    refuse("/proc/version", 5, TW_ERR_LIMIT, "5 bytes");
}

static void a_file_without_permission_is_the_machines_fault(void **state)
{
    const char *path = in_folder("locked", 0);

    (void)state;
    if (geteuid() == 0) {
        print_message("run as root, who may read all: skipped\n");
        skip();
    }
    put(path, "x");
    chmod(path, 0);
    refuse(path, 10, TW_ERR_FILE, "permission denied");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_file_is_read_whole_and_ended, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(what_is_no_file_is_told, begin_folder, end_folder),
        cmocka_unit_test(a_file_without_a_size_is_read),
        cmocka_unit_test_setup_teardown(a_file_without_permission_is_the_machines_fault,
                                        begin_folder, end_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
