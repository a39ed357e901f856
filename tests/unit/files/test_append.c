/* Files that only grow: what stands there stays, torn lines are closed off, a failure leaves no trace,
 * and two at once lose nothing. */
#include "folder.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

enum { CEILING = 1 << 20 };

static tw_status append(const char *path, const char *text, tw_error *err)
{
    tw_append *open = NULL;
    const char *standing;
    size_t size;
    const tw_status status = tw_append_begin(path, CEILING, &open, &standing, &size, err);

    return status == TW_OK ? tw_append_commit(open, text, strlen(text), err) : status;
}

static void lines_are_added_and_what_stands_is_told(void **state)
{
    const char *path = in_folder("log.csv", 0);
    tw_append *open = NULL;
    const char *standing;
    char *data = NULL;
    size_t size = 7;

    (void)state;
    assert_int_equal(tw_append_read(path, CEILING, &data, &size, NULL), TW_OK);
    assert_int_equal(size, 0);
    free(data);
    assert_int_equal(append(path, "one\n", NULL), TW_OK);
    assert_int_equal(append(path, "two\nthree\n", NULL), TW_OK);
    assert_int_equal(tw_append_begin(path, CEILING, &open, &standing, &size, NULL), TW_OK);
    assert_string_equal(standing, "one\ntwo\nthree\n");
    assert_int_equal(size, 14);
    tw_append_abandon(open);
    tw_append_abandon(NULL);
    assert_holds(path, "one\ntwo\nthree\n");
    assert_int_equal(count_entries(), 1);
}

/* One that is not there is as one that is empty; what is no file of lines is told. */
static void what_stands_there_is_read(void **state)
{
    const char *path = in_folder("log.csv", 0);
    char *data = NULL;
    size_t size = 7;
    tw_error err = {0};

    (void)state;
    put(path, "");
    assert_int_equal(tw_append_read(path, CEILING, &data, &size, NULL), TW_OK);
    assert_true(size == 0 && *data == '\0');
    free(data);
    data = NULL;
    assert_int_equal(tw_append_read(folder, CEILING, &data, &size, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "folder"));
    assert_int_equal(tw_append_read(in_folder("log.csv/below", 1), CEILING, &data, &size, &err),
                     TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "no folder"));
    assert_null(data);
}

static void a_torn_line_is_closed_off(void **state)
{
    const char *path = in_folder("log.csv", 0);

    (void)state;
    put(path, "one\ntw");
    assert_int_equal(append(path, "three\n", NULL), TW_OK);
    assert_holds(path, "one\ntw\nthree\n");
    put(path, "one\n\"tw"); /* else the quote would take in what follows */
    assert_int_equal(append(path, "three\n", NULL), TW_OK);
    assert_holds(path, "one\n\"tw\"\nthree\n");
    put(path, "\"one \"\" two\"");
    assert_int_equal(append(path, "three\n", NULL), TW_OK);
    assert_holds(path, "\"one \"\" two\"\nthree\n");
}

static void a_link_is_followed(void **state)
{
    const char *path = in_folder("log.csv", 0), *link = in_folder("link.csv", 1);
    struct stat about;

    (void)state;
    put(path, "one\n");
    assert_int_equal(symlink("log.csv", link), 0);
    assert_int_equal(append(link, "two\n", NULL), TW_OK);
    assert_holds(path, "one\ntwo\n");
    assert_int_equal(lstat(link, &about), 0);
    assert_true(S_ISLNK(about.st_mode));
}

static void what_cannot_be_added_to_is_told(void **state)
{
    tw_error err = {0};

    (void)state;
    assert_int_equal(append(folder, "one\n", &err), TW_ERR_FILE);
    assert_non_null(strstr(err.message, "folder"));
    assert_int_equal(append(in_folder("none/log.csv", 0), "one\n", &err), TW_ERR_FILE);
    put(in_folder("big", 0), "0123456789");
    {
        tw_append *open = NULL;
        const char *standing;
        size_t size;
        assert_int_equal(tw_append_begin(in_folder("big", 0), 5, &open, &standing, &size, &err),
                         TW_ERR_LIMIT);
    }
    assert_holds(in_folder("big", 0), "0123456789");
    if (access("/dev/full", W_OK) == 0) {
        assert_int_equal(append("/dev/full", "one\n", &err), TW_ERR_FILE);
        assert_non_null(strstr(err.message, "no space left"));
    }
    if (geteuid() != 0) {
        put(in_folder("read-only", 1), "one\n");
        chmod(in_folder("read-only", 1), 0444);
        assert_int_equal(append(in_folder("read-only", 1), "two\n", &err), TW_ERR_FILE);
        assert_holds(in_folder("read-only", 1), "one\n");
    }
}

/* The disk is full in the middle of an entry: a limit on the file's size stands for it. */
static void an_entry_that_does_not_fit_leaves_nothing(void **state)
{
    const char *path = in_folder("log.csv", 0);
    struct rlimit before, small;
    char block[3000];
    tw_error err = {0};

    (void)state;
    memset(block, 'x', sizeof block);
    block[sizeof block - 2] = '\n';
    block[sizeof block - 1] = '\0';
    put(path, "one\n\"tor");
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    small = before;
    small.rlim_cur = 2000;
    setrlimit(RLIMIT_FSIZE, &small);
    assert_int_equal(append(path, block, &err), TW_ERR_FILE);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, SIG_DFL);
    assert_non_null(strstr(err.message, "too big"));
    assert_string_equal(err.file, path);
    assert_holds(path, "one\n\"tor");
    assert_int_equal(append(path, "two\n", NULL), TW_OK);
    assert_holds(path, "one\n\"tor\"\ntwo\n");
}

enum { WRITERS = 3, LINES = 60 };

static void write_lines(const char *path, int writer)
{
    for (int k = 0; k < LINES; k++) {
        char line[64];
        snprintf(line, sizeof line, "writer %d line %d\n", writer, k);
        if (append(path, line, NULL) != TW_OK)
            _exit(1);
    }
    _exit(0);
}

static void several_at_once_lose_nothing(void **state)
{
    const char *path = in_folder("log.csv", 0);
    size_t size = 0, lines = 0;
    char *data = NULL;
    int result = 0;

    (void)state;
    for (int w = 0; w < WRITERS; w++) {
        const pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0)
            write_lines(path, w);
    }
    for (int w = 0; w < WRITERS; w++) {
        assert_true(wait(&result) > 0);
        assert_true(WIFEXITED(result) && WEXITSTATUS(result) == 0);
    }
    assert_int_equal(tw_append_read(path, CEILING, &data, &size, NULL), TW_OK);
    for (size_t k = 0; k < size; k++)
        lines += data[k] == '\n';
    assert_int_equal(lines, WRITERS * LINES);
    for (int w = 0; w < WRITERS; w++) {
        const char *at = data;
        for (int k = 0; k < LINES; k++) { /* each writer's in its order */
            char line[64];
            snprintf(line, sizeof line, "writer %d line %d\n", w, k);
            at = strstr(at, line);
            assert_non_null(at);
        }
    }
    free(data);
}

/* While one holds the file, another waits: what it is told stands there holds the first one's line. */
static void one_waits_for_the_other(void **state)
{
    const char *path = in_folder("log.csv", 0);
    tw_append *open = NULL;
    const char *standing;
    size_t size;
    pid_t child;
    int result = 0;

    (void)state;
    assert_int_equal(tw_append_begin(path, CEILING, &open, &standing, &size, NULL), TW_OK);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        tw_append *mine = NULL;
        if (tw_append_begin(path, CEILING, &mine, &standing, &size, NULL) != TW_OK)
            _exit(1);
        _exit(strcmp(standing, "first\n") == 0 ? 0 : 2);
    }
    nanosleep(&(struct timespec){.tv_nsec = 50000000}, NULL);
    assert_int_equal(waitpid(child, &result, WNOHANG), 0);
    assert_int_equal(tw_append_commit(open, "first\n", 6, NULL), TW_OK);
    assert_true(waitpid(child, &result, 0) == child);
    assert_true(WIFEXITED(result));
    assert_int_equal(WEXITSTATUS(result), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(lines_are_added_and_what_stands_is_told, begin_folder,
                                        end_folder),
        cmocka_unit_test_setup_teardown(what_stands_there_is_read, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(a_torn_line_is_closed_off, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(a_link_is_followed, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(what_cannot_be_added_to_is_told, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(an_entry_that_does_not_fit_leaves_nothing, begin_folder,
                                        end_folder),
        cmocka_unit_test_setup_teardown(several_at_once_lose_nothing, begin_folder, end_folder),
        cmocka_unit_test_setup_teardown(one_waits_for_the_other, begin_folder, end_folder),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
