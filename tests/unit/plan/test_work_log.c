/* The log of the work: what was acknowledged is there whole, whatever killed the writer; a log of another
 * goal and what is no log are refused; fingerprints hold numbers, not words. */
#include "gauged.h"

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "taperwright/files.h"

typedef struct bench {
    test_goal made;
    tw_gauging gauging;
    char folder[64], path[128];
} bench;

static int begin(void **state)
{
    bench *b = calloc(1, sizeof *b);
    test_readings readings;

    assert_non_null(b);
    b->made = test_goal_make(EVEN, 16);
    test_reads_even(&readings, 2.3);
    snprintf(readings.name[4], sizeof readings.name[4], "a, \"b\"");
    b->gauging = test_gauge(&b->made, &readings, TW_STAGE_HAMMER, 850);
    snprintf(b->folder, sizeof b->folder, "/tmp/tw_log_XXXXXX");
    assert_non_null(mkdtemp(b->folder));
    snprintf(b->path, sizeof b->path, "%s/log.csv", b->folder);
    *state = b;
    return 0;
}

static int end(void **state)
{
    bench *b = *state;
    char command[96];
    int result;

    snprintf(command, sizeof command, "rm -rf '%s'", b->folder);
    result = system(command);
    tw_gauging_release(&b->gauging);
    test_goal_free(&b->made);
    free(b);
    return result;
}

static void add(const bench *b, const char *date)
{
    tw_error err = {0};

    if (tw_work_log_append(b->path, &b->made.goal, date, &b->gauging, &err) != TW_OK)
        fail_msg("%s", err.message);
}

static tw_work_log read_log(const bench *b)
{
    tw_work_log log = {0};
    tw_error err = {0};

    if (tw_work_log_read(b->path, &b->made.goal, &log, &err) != TW_OK)
        fail_msg("%s", err.message);
    return log;
}

/* Not inlined: gcc 12 then takes what is found in the bytes for pointers to `data` itself. */
__attribute__((noinline)) static char *bytes_of(const bench *b, size_t *size)
{
    char *data = NULL;

    assert_int_equal(tw_append_read(b->path, 1 << 24, &data, size, NULL), TW_OK);
    return data;
}

static void put(const bench *b, const char *bytes, size_t size)
{
    FILE *file = fopen(b->path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    fclose(file);
}

static void what_is_added_is_read_back(void **state)
{
    const bench *b = *state;
    const tw_gauging *g = &b->gauging;
    tw_work_log log = read_log(b);
    char fingerprint[17];

    assert_int_equal(log.count, 0); /* not there yet */
    tw_work_log_release(&log);
    add(b, "2026-05-01");
    add(b, "the 2nd, \"evening\"\n");
    log = read_log(b);
    assert_int_equal(log.count, 2);
    assert_int_equal(log.torn, 0);
    assert_string_equal(log.entries[0].date, "2026-05-01");
    assert_string_equal(log.entries[1].date, "the 2nd, \"evening\" ");
    assert_string_equal(log.entries[0].plate, "t");
    assert_string_equal(log.entries[0].stage, "hammer");
    assert_string_equal(log.entries[0].fingerprint,
                        tw_goal_fingerprint(&b->made.goal, fingerprint));
    assert_int_equal(log.entries[0].readings, 9);
    assert_int_equal(log.entries[0].stretch, 9);
    assert_int_equal(log.entries[1].line, 3);
    assert_close(log.entries[0].now_g, g->now_g, 0.006);
    assert_close(log.entries[0].move_g, g->move_g, 0.006);
    assert_close(log.entries[0].trim_g, g->trim_g, 0.006);
    assert_close(log.entries[0].grind_g, g->grind_g, 0.006);
    assert_close(log.entries[0].finished_g, g->finished_g, 0.006);
    assert_close(log.entries[0].finished_u_g, g->finished_u_g, 0.006);
    assert_close(log.entries[0].weighs_g, 850, 1e-9);
    assert_non_null(strstr(log.entries[0].points, "a, \"b\" 2.300 +0.200; 6 2.300"));
    tw_work_log_release(&log);
}

/* Cut anywhere in its second entry or its header: the first entry, and what is added later, are whole. */
static void a_log_cut_anywhere_goes_on(void **state)
{
    const bench *b = *state;
    size_t size = 0, first, more;
    char *whole;

    add(b, "one");
    free(bytes_of(b, &first));
    add(b, "two");
    whole = bytes_of(b, &size);
    for (size_t cut = 1; cut < size; cut += cut + 1 < first ? 7 : 3) {
        tw_work_log log;
        size_t kept = cut >= first ? 1 : 0;
        put(b, whole, cut);
        log = read_log(b);
        /* an entry that lacks its line end alone is whole */
        assert_true(log.count == kept || (log.count == kept + 1 && whole[cut] == '\n'));
        kept = log.count;
        tw_work_log_release(&log);
        add(b, "later");
        log = read_log(b);
        assert_int_equal(log.count, kept + 1);
        assert_string_equal(log.entries[kept].date, "later");
        assert_true(log.torn <= 1);
        tw_work_log_release(&log);
        { /* nothing that stood there was changed */
            char *now = bytes_of(b, &more);
            assert_true(more > cut);
            assert_memory_equal(now, whole, cut);
            free(now);
        }
    }
    free(whole);
}

static void zeros_of_a_power_cut_are_a_torn_line(void **state)
{
    const bench *b = *state;
    char *bytes, *longer;
    size_t size;
    tw_work_log log;

    add(b, "one");
    bytes = bytes_of(b, &size);
    longer = calloc(size + 100, 1);
    assert_non_null(longer);
    memcpy(longer, bytes, size);
    put(b, longer, size + 100);
    log = read_log(b);
    assert_int_equal(log.count, 1);
    assert_int_equal(log.torn, 1);
    tw_work_log_release(&log);
    add(b, "two");
    log = read_log(b);
    assert_int_equal(log.count, 2);
    tw_work_log_release(&log);
    free(longer);
    free(bytes);
}

/* A spreadsheet saved it: CRLF, a byte order mark. */
static void a_log_saved_by_a_spreadsheet_is_read(void **state)
{
    const bench *b = *state;
    char *bytes, *changed;
    size_t size, used = 3;
    tw_work_log log;

    add(b, "one");
    bytes = bytes_of(b, &size);
    changed = calloc(2 * size + 4, 1);
    assert_non_null(changed);
    memcpy(changed, "\xEF\xBB\xBF", 3);
    for (size_t k = 0; k < size; k++) {
        if (bytes[k] == '\n')
            changed[used++] = '\r';
        changed[used++] = bytes[k];
    }
    put(b, changed, used);
    add(b, "two");
    log = read_log(b);
    assert_int_equal(log.count, 2);
    assert_int_equal(log.torn, 0);
    tw_work_log_release(&log);
    free(changed);
    free(bytes);
}

static void another_goals_log_is_refused(void **state)
{
    const bench *b = *state;
    test_goal other = test_goal_make(DISC_EDGE, 16);
    tw_work_log log = {0};
    tw_error err = {0};
    char own[17], others[17], *before, *after;
    size_t size, more;

    add(b, "one");
    before = bytes_of(b, &size);
    assert_int_equal(tw_work_log_read(b->path, &other.goal, &log, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, tw_goal_fingerprint(&b->made.goal, own)));
    assert_non_null(strstr(err.message, tw_goal_fingerprint(&other.goal, others)));
    assert_int_equal(err.line, 2);
    assert_int_equal(tw_work_log_append(b->path, &other.goal, "two", &b->gauging, &err),
                     TW_ERR_INPUT);
    after = bytes_of(b, &more);
    assert_int_equal(more, size);
    assert_memory_equal(before, after, size);
    free(before);
    free(after);
    test_goal_free(&other);
}

static void what_is_no_log_is_refused(void **state)
{
    static const char *const others[] = {"plate: breast\n", "date,plate\n1,2\n", "\n\nx",
                                         "name,across [mm],up [mm],thickness [mm]\n1,2,3,4\n"};
    const bench *b = *state;

    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        tw_work_log log = {0};
        tw_error err = {0};
        char *after;
        size_t size;
        put(b, others[k], strlen(others[k]));
        assert_int_equal(tw_work_log_read(b->path, &b->made.goal, &log, &err), TW_ERR_INPUT);
        assert_int_equal(tw_work_log_append(b->path, &b->made.goal, "one", &b->gauging, &err),
                         TW_ERR_INPUT);
        assert_string_equal(err.file, b->path);
        after = bytes_of(b, &size);
        assert_string_equal(after, others[k]);
        free(after);
    }
}

/* A line whose fields are no entry's counts as torn, whichever field it is; those about it are read. */
static void lines_that_are_no_entry_are_passed_over(void **state)
{
    static const struct {
        int field; /* from 0 */
        const char *text;
    } cases[] = {{4, ""},       {4, "9x"},       {4, "-9"},   {4, "99999999999"},
                 {5, "x"},      {6, ":"},        {7, "1.5"},  {8, " 1"},
                 {9, ""},       {9, "-"},        {9, "."},    {9, "1.2.3"},
                 {9, "12g"},    {10, "1.x"},     {15, "nan"}, {16, "x"},
                 {4, "\"9\"x"}, {3, "\"hammer"}, {3, "a,b"}};
    const bench *b = *state;
    size_t size;
    char *whole;

    add(b, "one");
    add(b, "two");
    whole = bytes_of(b, &size);
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const char *line = strchr(whole, '\n') + 1, *from = line, *to;
        char changed[4000];
        tw_work_log log;
        for (int n = 0; n < cases[k].field; n++)
            from = strchr(from, ',') + 1;
        to = strchr(from, ',');
        snprintf(changed, sizeof changed, "%.*s%s%s", (int)(from - whole), whole, cases[k].text,
                 to);
        put(b, changed, strlen(changed));
        log = read_log(b);
        if (log.count != 1 || log.torn != 1)
            fail_msg("field %d, \"%s\": %zu entries", cases[k].field, cases[k].text, log.count);
        assert_string_equal(log.entries[0].date, "two");
        tw_work_log_release(&log);
    }
    free(whole);
    tw_work_log_release(NULL);
}

/* Grams below nothing, and a header row that stands there twice. */
static void odd_lines_that_are_read(void **state)
{
    const bench *b = *state;
    size_t size;
    char *whole, *comma, changed[8000];
    const char *second;
    tw_work_log log;

    add(b, "one");
    whole = bytes_of(b, &size);
    comma = strchr(whole, '\n');
    for (int n = 0; n < 9; n++)
        comma = strchr(comma + 1, ',');
    second = strchr(comma + 1, ',');
    snprintf(changed, sizeof changed, "%.*s-12.5%s%s", (int)(comma + 1 - whole), whole, second,
             whole);
    put(b, changed, strlen(changed));
    log = read_log(b);
    assert_int_equal(log.count, 2);
    assert_close(log.entries[0].now_g, -12.5, 0);
    assert_close(log.entries[1].now_g, b->gauging.now_g, 0.006);
    tw_work_log_release(&log);
    free(whole);
}

static void a_full_disk_leaves_the_log_as_it_was(void **state)
{
    const bench *b = *state;
    struct rlimit before, small;
    tw_error err = {0};
    char *whole, *after;
    size_t size, more;

    add(b, "one");
    whole = bytes_of(b, &size);
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before);
    small = before;
    small.rlim_cur = size + 40;
    setrlimit(RLIMIT_FSIZE, &small);
    assert_int_equal(tw_work_log_append(b->path, &b->made.goal, "two", &b->gauging, &err),
                     TW_ERR_FILE);
    setrlimit(RLIMIT_FSIZE, &before);
    signal(SIGXFSZ, SIG_DFL);
    after = bytes_of(b, &more);
    assert_int_equal(more, size);
    assert_memory_equal(after, whole, size);
    free(after);
    free(whole);
}

/* ---- killed ------------------------------------------------------------------------------------- */

enum { KILLS = 100 };

/* Appends until it is killed; tells the number of each entry that was acknowledged. */
static void append_for_ever(const bench *b, int next, int tell)
{
    for (;; next++) {
        char date[16];
        snprintf(date, sizeof date, "n%d", next);
        if (tw_work_log_append(b->path, &b->made.goal, date, &b->gauging, NULL) != TW_OK)
            _exit(1);
        if (write(tell, &next, sizeof next) != sizeof next)
            _exit(2);
    }
}

/* One writer killed after it has acknowledged `some` more entries and a while. The wait is for entries
 * and not for time alone, so that a busy machine gets through as many. @return the last acknowledged */
static int one_killed(const bench *b, int last, int some, long after)
{
    int pipes[2], told = last, number, result = 0;
    pid_t child;

    assert_int_equal(pipe(pipes), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        close(pipes[0]);
        append_for_ever(b, last + 1, pipes[1]);
    }
    close(pipes[1]);
    for (; some > 0 && read(pipes[0], &number, sizeof number) == sizeof number; some--) {
        assert_int_equal(number, told + 1);
        told = number;
    }
    nanosleep(&(struct timespec){.tv_nsec = after}, NULL);
    assert_int_equal(kill(child, SIGKILL), 0);
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_true(WIFSIGNALED(result)); /* no append failed */
    while (read(pipes[0], &number, sizeof number) == sizeof number) {
        assert_int_equal(number, told + 1);
        told = number;
    }
    close(pipes[0]);
    return told;
}

static void whatever_is_acknowledged_survives_a_kill(void **state)
{
    test_random random = test_random_begin("whatever_is_acknowledged_survives_a_kill");
    const bench *b = *state;
    int last = 0;

    for (int k = 0; k < KILLS; k++) {
        tw_work_log log;
        int number = 0;
        last = one_killed(b, last, (int)test_uniform(&random, 0, 4),
                          (long)test_uniform(&random, 0, 4e6));
        log = read_log(b);
        for (size_t e = 0; e < log.count;
             e++) { /* all numbers in order; one more may be there, untold */
            const int found = atoi(log.entries[e].date + 1);
            assert_true(found == number + 1);
            number = found;
            assert_int_equal(log.entries[e].readings, 9);
            assert_close(log.entries[e].now_g, b->gauging.now_g, 0.006);
        }
        assert_true(number == last || number == last + 1);
        last = number;
        tw_work_log_release(&log);
    }
    print_message("%d entries acknowledged through %d kills\n", last, KILLS);
    assert_true(last > KILLS); /* 1.5 on average */
}

/* ---- fingerprints --------------------------------------------------------------------------------- */

static void fingerprint_of(const char *text, char out[17])
{
    test_goal made = test_goal_make(text, 16);

    tw_goal_fingerprint(&made.goal, out);
    test_goal_free(&made);
}

static void numbers_make_the_fingerprint_and_words_do_not(void **state)
{
    static const char *const same[] = {
        "# a comment\nnote: other\n" DISC_EDGE,
        HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 10 cm, up: 100 mm}}\n"
             "thickness:\n  forged:\n    edges: [{edge: all, thickness: 1.2 mm}]\n"
             "    strike: [{name: other, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n"};
    static const char *const others[] = {
        DISC,
        HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 101 mm, up: 100 mm}}\n"
             "thickness:\n  forged:\n    edges: [{edge: all, thickness: 1.2 mm}]\n"
             "    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n",
        HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
             "thickness:\n  forged:\n    edges: [{edge: all, thickness: 1.2 mm}]\n"
             "    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.5 mm}]\n",
        DISC_EDGE "holes: [{at: [50, 0], radius: 3 mm}]\n",
        DISC_EDGE "face: inside\n",
        DISC_EDGE "losses: {polish: 0.05 mm}\n"};
    char own[17], other[17];

    (void)state;
    fingerprint_of(DISC_EDGE, own);
    assert_int_equal(strspn(own, "0123456789abcdef"), 16);
    for (size_t k = 0; k < sizeof same / sizeof *same; k++) {
        fingerprint_of(same[k], other);
        assert_string_equal(other, own);
    }
    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        fingerprint_of(others[k], other);
        assert_string_not_equal(other, own);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(what_is_added_is_read_back, begin, end),
        cmocka_unit_test_setup_teardown(a_log_cut_anywhere_goes_on, begin, end),
        cmocka_unit_test_setup_teardown(zeros_of_a_power_cut_are_a_torn_line, begin, end),
        cmocka_unit_test_setup_teardown(a_log_saved_by_a_spreadsheet_is_read, begin, end),
        cmocka_unit_test_setup_teardown(another_goals_log_is_refused, begin, end),
        cmocka_unit_test_setup_teardown(what_is_no_log_is_refused, begin, end),
        cmocka_unit_test_setup_teardown(lines_that_are_no_entry_are_passed_over, begin, end),
        cmocka_unit_test_setup_teardown(odd_lines_that_are_read, begin, end),
        cmocka_unit_test_setup_teardown(a_full_disk_leaves_the_log_as_it_was, begin, end),
        cmocka_unit_test_setup_teardown(whatever_is_acknowledged_survives_a_kill, begin, end),
        cmocka_unit_test(numbers_make_the_fingerprint_and_words_do_not),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
