/* Every call to the system fails in turn: it is told in plain words, old files stay whole, nothing is left over;
 * and what is no failure (a short write, a call that was interrupted) does no harm. */
#include "folder.h"

#include "system_calls.h"

#include <errno.h>

enum { MANY = 1 << 30 };

static void assert_told(const tw_error *err, const char *path, const char *words)
{
    assert_string_equal(err->file, path);
    if (!strstr(err->message, words))
        fail_msg("\"%s\" lacks \"%s\"", err->message, words);
}

/* ---- outputs -------------------------------------------------------------------------------- */

static tw_status replace(const char *path, const char *text, tw_error *err)
{
    tw_output *output = NULL;
    tw_status status = tw_output_begin(path, &output, err);

    if (status != TW_OK)
        return status;
    tw_output_write(output, text, strlen(text), NULL);
    return tw_output_commit(output, err);
}

/* Once the new name stands the bytes are on disk, and what happens to the folder has no say. With
 * `links` false the file without a name, where the system has one, cannot be named and is copied. */
static void hold_old_or_new(bool links)
{
    static const struct {
        test_call call;
        long failing[2]; /* at how many places; without links */
    } calls[] = {{TEST_OPEN, {1, 2}},  {TEST_WRITE, {1, 2}},  {TEST_FSYNC, {1, 2}},
                 {TEST_CLOSE, {1, 2}}, {TEST_RENAME, {1, 1}}, {TEST_FCHMOD, {1, 2}},
                 {TEST_PREAD, {0, 2}}};
    const char *path = in_folder("table.csv", 0);

    for (size_t k = 0; k < sizeof calls / sizeof *calls; k++) {
        long failed = 0, refused = 1;
        for (long granted = 0; refused; granted++) {
            tw_error err = {0};
            tw_status status;
            put(path, "old");
            if (!links)
                test_refuse(TEST_LINKAT, 0, MANY, EPERM);
            test_refuse(calls[k].call, granted, MANY, EIO);
            status = replace(path, "new", &err);
            refused = test_refused(calls[k].call);
            test_grant_all();
            assert_holds(path, status == TW_OK ? "new" : "old");
            assert_int_equal(count_entries(), 1);
            if (status == TW_OK)
                continue;
            assert_int_equal(status, TW_ERR_FILE);
            assert_told(&err, path, "cannot be written: the disk or device failed");
            failed++;
        }
        assert_int_equal(failed, calls[k].failing[!links]);
    }
}

static bool has_nameless_files(void)
{
    bool has;

    test_refuse(TEST_LINKAT, 0, MANY, EPERM);
    assert_int_equal(replace(in_folder("trial", 0), "x", NULL), TW_OK);
    has = test_grant_all() > 0;
    assert_int_equal(remove(in_folder("trial", 0)), 0);
    return has;
}

static void an_output_is_old_or_new(void **state)
{
    (void)state;
    hold_old_or_new(true);
    if (has_nameless_files())
        hold_old_or_new(false);
}

static void a_big_block_that_fails_is_told(void **state)
{
    const char *path = in_folder("big", 0);
    const size_t size = 100000;
    char *block = calloc(size, 1);

    (void)state;
    for (long granted = 0; granted < 2; granted++) { /* what is held back, then the block itself */
        tw_output *output = NULL;
        tw_error err = {0};
        put(path, "old");
        assert_int_equal(tw_output_begin(path, &output, NULL), TW_OK);
        assert_int_equal(tw_output_write(output, "x", 1, NULL), TW_OK);
        test_refuse(TEST_WRITE, granted, 1, EDQUOT);
        assert_int_equal(tw_output_write(output, block, size, &err), TW_ERR_FILE);
        assert_int_equal(test_grant_all(), 1);
        assert_told(&err, path, "quota");
        assert_int_equal(tw_output_commit(output, NULL), TW_ERR_FILE);
        assert_holds(path, "old");
    }
    free(block);
}

static void a_name_that_is_taken_is_passed_over(void **state)
{
    const char *path = in_folder("table.csv", 0);
    tw_error err = {0};

    (void)state;
    test_refuse(TEST_OPEN, 0, 3, EEXIST);
    assert_int_equal(replace(path, "new", &err), TW_OK);
    assert_int_equal(test_grant_all(), 3);
    assert_holds(path, "new");
    test_refuse(TEST_LINKAT, 0, 3, EEXIST);
    assert_int_equal(replace(path, "newest", &err), TW_OK);
    test_grant_all();
    assert_holds(path, "newest");
    put(path, "new");
    test_refuse(TEST_OPEN, 0, MANY, EEXIST); /* and when all are, it ends */
    assert_int_equal(replace(path, "newer", &err), TW_ERR_FILE);
    assert_true(test_grant_all() > 100);
    assert_holds(path, "new");
}

static void a_device_that_fails_is_told(void **state)
{
    tw_error err = {0};

    (void)state;
    test_refuse(TEST_OPEN, 0, 1, ENXIO);
    assert_int_equal(replace("/dev/null", "x", &err), TW_ERR_FILE);
    assert_int_equal(test_grant_all(), 1);
    assert_told(&err, "/dev/null", "the device is not there");
    test_refuse(TEST_CLOSE, 0, 1, EIO);
    assert_int_equal(replace("/dev/null", "x", &err), TW_ERR_FILE);
    assert_int_equal(test_grant_all(), 1);
    assert_told(&err, "/dev/null", "failed");
}

static void short_and_interrupted_writes_lose_nothing(void **state)
{
    const char *path = in_folder("table.csv", 0);
    tw_append *log = NULL;
    const char *standing;
    size_t size;

    (void)state;
    test_write_halves(true);
    test_refuse(TEST_WRITE, 1, 2, EINTR);
    assert_int_equal(replace(path, "0123456789\n", NULL), TW_OK);
    assert_int_equal(test_grant_all(), 2);
    assert_int_equal(tw_append_begin(path, 100, &log, &standing, &size, NULL), TW_OK);
    assert_int_equal(tw_append_commit(log, "abcdefg\n", 8, NULL), TW_OK);
    test_write_halves(false);
    assert_holds(path, "0123456789\nabcdefg\n");
}

/* ---- reading -------------------------------------------------------------------------------- */

static void reading_that_fails_is_told(void **state)
{
    static const struct {
        test_call call;
        int number;
        tw_status status;
        const char *words;
    } cases[] = {
        {TEST_OPEN, EMFILE, TW_ERR_FILE, "cannot be read: too many files are open"},
        {TEST_OPEN, EACCES, TW_ERR_FILE, "permission denied"},
        {TEST_OPEN, ELOOP, TW_ERR_INPUT, "circle"},
        {TEST_OPEN, ENAMETOOLONG, TW_ERR_INPUT, "too long"},
        {TEST_READ, EIO, TW_ERR_FILE, "the disk or device failed"},
        {TEST_READ, EISDIR, TW_ERR_INPUT, "it is a folder"},
        {TEST_READ, EPROTO, TW_ERR_FILE, "system error"}, /* no words for it */
    };
    const char *path = in_folder("plate.yaml", 0);

    (void)state;
    put(path, "plate: x\n");
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char *data = NULL;
        size_t size = 7;
        tw_error err = {0};
        test_refuse(cases[k].call, 0, 1, cases[k].number);
        assert_int_equal(tw_file_read(path, 100, &data, &size, &err), cases[k].status);
        assert_int_equal(test_grant_all(), 1);
        assert_true(!data && size == 7);
        assert_told(&err, path, cases[k].words);
    }
    test_refuse(TEST_READ, 0, 2, EINTR);
    assert_holds(path, "plate: x\n");
    assert_int_equal(test_grant_all(), 2);
}

/* ---- files that only grow ------------------------------------------------------------------- */

static tw_status append(const char *path, const char *text, tw_error *err)
{
    tw_append *log = NULL;
    const char *standing;
    size_t size;
    const tw_status status = tw_append_begin(path, 1000, &log, &standing, &size, err);

    return status == TW_OK ? tw_append_commit(log, text, strlen(text), err) : status;
}

static void an_entry_is_there_whole_or_not_at_all(void **state)
{
    static const struct {
        test_call call;
        long granted;
    } cases[] = {{TEST_OPEN, 0},  {TEST_FSTAT, 0}, {TEST_FSTAT, 1}, {TEST_READ, 0},
                 {TEST_FCNTL, 0}, {TEST_WRITE, 0}, {TEST_FSYNC, 0}};
    const char *path = in_folder("log.csv", 0);

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_error err = {0};
        put(path, "one\n");
        test_refuse(cases[k].call, cases[k].granted, 1, EIO);
        assert_int_equal(append(path, "two\n", &err), TW_ERR_FILE);
        assert_int_equal(test_grant_all(), 1);
        assert_told(&err, path, "the disk or device failed");
        assert_holds(path, "one\n");
        assert_int_equal(append(path, "three\n", NULL), TW_OK);
        assert_holds(path, "one\nthree\n");
    }
}

/* Where there are no locks one does without; who is interrupted while waiting has to decide. */
static void what_a_lock_may_answer(void **state)
{
    static const int without[] = {ENOLCK, EINVAL, ENOSYS, EOPNOTSUPP};
    const char *path = in_folder("log.csv", 0);
    tw_error err = {0};

    (void)state;
    for (size_t k = 0; k < sizeof without / sizeof *without; k++) {
        test_refuse(TEST_FCNTL, 0, 1, without[k]);
        assert_int_equal(append(path, "line\n", NULL), TW_OK);
        assert_int_equal(test_grant_all(), 1);
    }
    assert_holds(path, "line\nline\nline\nline\n");
    test_refuse(TEST_FCNTL, 0, 1, EINTR);
    assert_int_equal(append(path, "line\n", &err), TW_ERR_INTERRUPTED);
    test_grant_all();
    assert_non_null(strstr(err.message, "waiting for the file's lock"));
    assert_holds(path, "line\nline\nline\nline\n");
}

static void several_entries_while_it_stays_open(void **state)
{
    const char *path = in_folder("log.csv", 0);
    tw_append *log = NULL;
    const char *standing;
    size_t size;
    tw_error err = {0};

    (void)state;
    assert_int_equal(tw_append_begin(path, 1000, &log, &standing, &size, NULL), TW_OK);
    test_refuse(TEST_FSYNC, 0, MANY, EIO); /* not asked for: not called */
    assert_int_equal(tw_append_add(log, "one\n", 4, false, NULL), TW_OK);
    assert_int_equal(tw_append_add(log, "two\n", 4, false, NULL), TW_OK);
    assert_int_equal(tw_append_sync(log, &err), TW_ERR_FILE);
    assert_told(&err, path, "cannot be added to: the disk or device failed");
    test_grant_all();
    assert_int_equal(tw_append_sync(log, NULL), TW_OK);
    test_refuse(TEST_FTRUNCATE, 0, 1, EPERM);
    assert_int_equal(tw_append_keep(log, 4, &err), TW_ERR_FILE);
    assert_told(&err, path, "not permitted");
    test_grant_all();
    assert_holds(path, "one\ntwo\n");
    assert_int_equal(tw_append_keep(log, 8, NULL), TW_OK); /* all of it */
    assert_int_equal(tw_append_keep(log, 4, NULL), TW_OK);
    assert_int_equal(tw_append_commit(log, "three\n", 6, NULL), TW_OK);
    assert_holds(path, "one\nthree\n");
}

/* When a piece cannot even be cut off again, the next entry closes it off. */
static void a_piece_that_stays_is_told_and_closed_off(void **state)
{
    const char *path = in_folder("log.csv", 0);
    tw_error err = {0};

    (void)state;
    put(path, "one\n");
    test_write_halves(true);
    test_refuse(TEST_WRITE, 1, 1, ENOSPC);
    assert_int_equal(append(path, "0123456\n", &err), TW_ERR_FILE);
    test_grant_all();
    assert_holds(path, "one\n");
    test_refuse(TEST_WRITE, 1, 1, ENOSPC);
    test_refuse(TEST_FTRUNCATE, 0, 1, EIO);
    assert_int_equal(append(path, "0123456\n", &err), TW_ERR_FILE);
    assert_int_equal(test_grant_all(), 2);
    test_write_halves(false);
    assert_told(&err, path, "no space left"); /* what came first */
    assert_holds(path, "one\n0123");
    assert_int_equal(append(path, "two\n", NULL), TW_OK);
    assert_holds(path, "one\n0123\ntwo\n");
}

/* A device has no end to cut at, and nothing to bring to a disk. */
static void a_device_takes_entries(void **state)
{
    tw_append *log = NULL;
    const char *standing;
    size_t size = 7;

    (void)state;
    test_refuse(TEST_FSYNC, 0, MANY, EINVAL);
    assert_int_equal(tw_append_begin("/dev/null", 1000, &log, &standing, &size, NULL), TW_OK);
    assert_true(size == 0 && *standing == '\0');
    assert_int_equal(tw_append_add(log, "one\n", 4, true, NULL), TW_OK);
    assert_int_equal(tw_append_sync(log, NULL), TW_OK);
    assert_int_equal(tw_append_keep(log, 0, NULL), TW_OK);
    tw_append_abandon(log);
    assert_int_equal(test_grant_all(), 0);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, begin_folder, end_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(an_output_is_old_or_new),
        IN_FOLDER(a_big_block_that_fails_is_told),
        IN_FOLDER(a_name_that_is_taken_is_passed_over),
        IN_FOLDER(a_device_that_fails_is_told),
        IN_FOLDER(short_and_interrupted_writes_lose_nothing),
        IN_FOLDER(reading_that_fails_is_told),
        IN_FOLDER(an_entry_is_there_whole_or_not_at_all),
        IN_FOLDER(what_a_lock_may_answer),
        IN_FOLDER(several_entries_while_it_stays_open),
        IN_FOLDER(a_piece_that_stays_is_told_and_closed_off),
        cmocka_unit_test(a_device_takes_entries),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
