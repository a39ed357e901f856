/* Outputs appear whole or not at all, keep modes and links, and leave nothing over. */
#include "folder.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>

static tw_output *begin(const char *path)
{
    tw_output *output = NULL;
    tw_error err = {0};

    if (tw_output_begin(path, &output, &err) != TW_OK)
        fail_msg("%s", err.message);
    return output;
}

static void the_old_file_stands_until_the_commit(void **state)
{
    const char *path = in_folder("table.csv", 0);
    tw_output *output;

    (void)state;
    put(path, "old");
    output = begin(path);
    for (int k = 0; k < 50000; k++)
        assert_int_equal(tw_output_print(output, NULL, "%d,", k % 10), TW_OK);
    assert_holds(path, "old");
    assert_true(count_entries() <= 2); /* 1 where the system has files without a name */
    tw_output_abandon(output);
    assert_holds(path, "old");
    assert_int_equal(count_entries(), 1);
    output = begin(path);
    assert_int_equal(tw_output_write(output, "new", 3, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    assert_holds(path, "new");
    assert_int_equal(count_entries(), 1);
    tw_output_abandon(NULL);
}

/* Blocks of every size round the buffer's come out in order. */
static void big_and_small_writes_keep_their_order(void **state)
{
    const char *path = in_folder("big", 0);
    test_random random = test_random_begin("big_and_small_writes_keep_their_order");
    tw_output *output = begin(path);
    size_t whole = 1000000, sent = 0, size = 0;
    char *bytes = malloc(whole), *data = NULL;

    (void)state;
    for (size_t k = 0; k < whole; k++)
        bytes[k] = (char)(k * 31 + k / 251);
    while (sent < whole) {
        size_t part = (size_t)pow(10, test_uniform(&random, 0, 5.3));
        part = part > whole - sent ? whole - sent : part;
        assert_int_equal(tw_output_write(output, bytes + sent, part, NULL), TW_OK);
        sent += part;
    }
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    assert_int_equal(tw_file_read(path, whole, &data, &size, NULL), TW_OK);
    assert_int_equal(size, whole);
    assert_memory_equal(data, bytes, whole);
    free(data);
    free(bytes);
}

static mode_t mode_of(const char *path)
{
    struct stat about;

    assert_int_equal(stat(path, &about), 0);
    return about.st_mode & 07777;
}

static void write_text(const char *path, const char *text)
{
    tw_output *output = begin(path);

    assert_int_equal(tw_output_print(output, NULL, "%s", text), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
}

static void modes_are_the_umasks_or_the_old_files(void **state)
{
    const mode_t before = umask(027);

    (void)state;
    write_text(in_folder("new", 0), "x");
    assert_int_equal(mode_of(in_folder("new", 0)), 0640);
    put(in_folder("old", 1), "x");
    chmod(in_folder("old", 1), 0666);
    write_text(in_folder("old", 1), "y");
    assert_int_equal(mode_of(in_folder("old", 1)), 0666);
    chmod(in_folder("old", 1), 0600);
    write_text(in_folder("old", 1), "z");
    assert_int_equal(mode_of(in_folder("old", 1)), 0600);
    umask(before);
}

static void links_stay_and_their_file_is_replaced(void **state)
{
    struct stat about;

    (void)state;
    mkdir(in_folder("deep", 0), 0777);
    put(in_folder("deep/real", 1), "old");
    assert_int_equal(symlink("deep/real", in_folder("link", 2)), 0);
    assert_int_equal(symlink("link", in_folder("link to link", 3)), 0);
    write_text(in_folder("link to link", 3), "new");
    assert_holds(in_folder("deep/real", 1), "new");
    assert_int_equal(lstat(in_folder("link", 2), &about), 0);
    assert_true(S_ISLNK(about.st_mode));
    /* to nothing yet: the file is made where the link says */
    assert_int_equal(symlink("deep/later", in_folder("early", 2)), 0);
    write_text(in_folder("early", 2), "made");
    assert_holds(in_folder("deep/later", 1), "made");
    /* by its whole path */
    assert_int_equal(symlink(in_folder("deep/real", 1), in_folder("whole", 2)), 0);
    write_text(in_folder("whole", 2), "newer");
    assert_holds(in_folder("deep/real", 1), "newer");
    /* in a circle */
    assert_int_equal(symlink("b", in_folder("a", 0)), 0);
    assert_int_equal(symlink("a", in_folder("b", 1)), 0);
    {
        tw_output *output = NULL;
        assert_int_equal(tw_output_begin(in_folder("a", 0), &output, NULL), TW_ERR_FILE);
        assert_null(output);
    }
}

static void refuse(const char *path, const char *words)
{
    tw_output *output = NULL;
    tw_error err = {0};

    assert_int_equal(tw_output_begin(path, &output, &err), TW_ERR_FILE);
    assert_null(output);
    assert_string_equal(err.file, path);
    if (!strstr(err.message, words))
        fail_msg("\"%s\" lacks \"%s\"", err.message, words);
}

static void targets_that_cannot_be_are_told(void **state)
{
    (void)state;
    put(in_folder("file", 1), "x");
    refuse(folder, "folder");
    refuse(in_folder("missing/table.csv", 0), "no such file or folder");
    refuse(in_folder("file/table.csv", 0), "no folder");
    assert_int_equal(count_entries(), 1);
    if (geteuid() != 0) {
        chmod(in_folder("file", 1), 0444);
        refuse(in_folder("file", 1), "permission denied");
        chmod(folder, 0555);
        refuse(in_folder("other", 2), "permission denied");
        chmod(folder, 0755);
    }
}

/* The system names a file without a name "NAME (deleted)": another file of that name is not meant. */
static void a_file_that_lost_its_name_is_not_replaced(void **state)
{
    const char *path = in_folder("gone", 0), *other = in_folder("gone (deleted)", 1);
    char handle[64];
    int file;

    (void)state;
    if (access("/proc/self/fd", R_OK) != 0)
        skip();
    put(path, "old");
    file = open(path, O_RDWR);
    snprintf(handle, sizeof handle, "/proc/self/fd/%d", file);
    unlink(path);
    refuse(handle, "no such file");
    put(other, "another");
    refuse(handle, "no such file");
    assert_holds(other, "another");
    assert_int_equal(count_entries(), 1);
    close(file);
}

/* A size that no machine holds is told before a byte is looked at. */
static void more_than_can_be_held_is_told(void **state)
{
    tw_output *output = NULL;
    tw_error err = {0};
    const char *bytes;
    size_t size = 0;

    (void)state;
    assert_int_equal(tw_output_hold(&output, NULL), TW_OK);
    assert_int_equal(tw_output_print(output, NULL, "first"), TW_OK);
    assert_int_equal(tw_output_write(output, "x", SIZE_MAX / 2 + 2, &err), TW_ERR_MEMORY);
    assert_non_null(strstr(err.message, "no memory"));
    assert_int_equal(tw_output_take(output, &bytes, &size, NULL), TW_ERR_MEMORY);
    assert_int_equal(size, 5);
    tw_output_abandon(output);
}

static void a_full_device_is_told_once_it_is_full(void **state)
{
    char block[1000] = {0};
    tw_output *output;
    tw_error err = {0};
    tw_status status = TW_OK;

    (void)state;
    if (access("/dev/full", W_OK) != 0)
        skip();
    output = begin("/dev/full"); /* few bytes: told by the commit */
    assert_int_equal(tw_output_write(output, "x", 1, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, &err), TW_ERR_FILE);
    assert_non_null(strstr(err.message, "no space"));
    assert_string_equal(err.file, "/dev/full");
    output = begin("/dev/full"); /* many: told on the way, and by the commit again */
    for (int k = 0; k < 1000 && status == TW_OK; k++)
        status = tw_output_write(output, block, sizeof block, &err);
    assert_int_equal(status, TW_ERR_FILE);
    assert_int_equal(tw_output_write(output, block, 1, &err), TW_ERR_FILE);
    memset(&err, 0, sizeof err);
    assert_int_equal(tw_output_commit(output, &err), TW_ERR_FILE);
    assert_non_null(strstr(err.message, "no space"));
    write_text("/dev/null", "x");
}

/* A limit on the file size stands in for a full disk. */
static void a_full_disk_leaves_the_old_file_whole(void **state)
{
    const char *path = in_folder("table.csv", 0);
    struct rlimit before, small;
    char block[1000] = {0};
    tw_error err = {0};
    tw_output *output;

    (void)state;
    put(path, "old");
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    small = before;
    small.rlim_cur = 100000;
    setrlimit(RLIMIT_FSIZE, &small);
    output = begin(path);
    for (int k = 0; k < 200; k++)
        tw_output_write(output, block, sizeof block, NULL);
    assert_int_equal(tw_output_commit(output, &err), TW_ERR_FILE);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, SIG_DFL);
    assert_non_null(strstr(err.message, "too big"));
    assert_holds(path, "old");
    assert_int_equal(count_entries(), 1);
}

/* In a child whose standard output is `path`: 0 when the commit went well, else its status. */
static int write_stdout(const char *path, bool commit)
{
    const pid_t child = fork();
    int result = 0;

    if (child == 0) {
        const int file = open(path, O_WRONLY | O_CREAT, 0666);
        tw_output *output = NULL;
        tw_status status;
        if (dup2(file, STDOUT_FILENO) < 0 || tw_output_begin("-", &output, NULL) != TW_OK)
            _exit(99);
        for (int k = 0; k < 30000; k++)
            tw_output_print(output, NULL, "%06d\n", k);
        if (!commit) {
            tw_output_abandon(output);
            _exit(0);
        }
        status = tw_output_commit(output, NULL);
        _exit((int)status);
    }
    waitpid(child, &result, 0);
    return WIFEXITED(result) ? WEXITSTATUS(result) : -1;
}

static void standard_output_is_held_until_the_commit(void **state)
{
    const char *path = in_folder("stdout", 0);
    struct stat about;
    char *data = NULL;
    size_t size;

    (void)state;
    assert_int_equal(write_stdout(path, false), 0);
    assert_int_equal(stat(path, &about), 0);
    assert_int_equal(about.st_size, 0);
    assert_int_equal(write_stdout(path, true), 0);
    assert_int_equal(tw_file_read(path, 1 << 20, &data, &size, NULL), TW_OK);
    assert_int_equal(size, 210000);
    assert_memory_equal(data + 209993, "029999\n", 7);
    free(data);
    assert_int_equal(write_stdout("/dev/full", true), TW_ERR_FILE);
}

static void long_lines_are_printed_whole(void **state)
{
    char text[2001];

    (void)state;
    memset(text, 'a', 2000);
    text[2000] = '\0';
    write_text(in_folder("long", 0), text);
    assert_holds(in_folder("long", 0), text);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, begin_folder, end_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(the_old_file_stands_until_the_commit),
        IN_FOLDER(big_and_small_writes_keep_their_order),
        IN_FOLDER(modes_are_the_umasks_or_the_old_files),
        IN_FOLDER(links_stay_and_their_file_is_replaced),
        IN_FOLDER(targets_that_cannot_be_are_told),
        IN_FOLDER(a_file_that_lost_its_name_is_not_replaced),
        cmocka_unit_test(more_than_can_be_held_is_told),
        IN_FOLDER(a_full_device_is_told_once_it_is_full),
        IN_FOLDER(a_full_disk_leaves_the_old_file_whole),
        IN_FOLDER(standard_output_is_held_until_the_commit),
        IN_FOLDER(long_lines_are_printed_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
