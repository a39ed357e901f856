/*
 * What cannot be a profile: too big, too deep, binary, no UTF-8, a directory; and any bytes at all
 * give a status or a profile, never a crash.
 */
#include "read.h"

#include "profile/profile_internal.h"

#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

static tw_status status_of(const char *data, size_t size, tw_notes *errors)
{
    return read_bad(data, size, NULL, 0, errors);
}

/* Seconds of processor time of a read that must fail, and its status. */
static double timed(const char *data, size_t size, tw_status wanted)
{
    const clock_t start = clock();
    tw_notes errors;

    assert_int_equal(status_of(data, size, &errors), wanted);
    return (double)(clock() - start) / CLOCKS_PER_SEC;
}

static char *filled(const char *head, const char *piece, size_t size)
{
    char *text = malloc(size + 1);
    const size_t length = strlen(piece), begin = strlen(head);

    assert_non_null(text);
    memcpy(text, head, begin);
    for (size_t k = begin; k < size; k++)
        text[k] = piece[(k - begin) % length];
    text[size] = '\0';
    return text;
}

/* A megabyte of anything is told within two seconds and 300 MB, sanitizers and all. */
static void hostile_files_cost_little(void **state)
{
    static const struct {
        const char *head, *piece;
        size_t size;
        tw_status status;
    } cases[] = {
        {"", "[", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"", "[", 10u << 20, TW_ERR_LIMIT},
        {"", "[", TW_LINE_MAX, TW_ERR_LIMIT},
        {"a: ", "[", TW_LINE_MAX, TW_ERR_LIMIT},
        {"", "{a: ", TW_LINE_MAX, TW_ERR_LIMIT},
        {"", "- ", TW_LINE_MAX, TW_ERR_LIMIT},
        {"", "? ", TW_LINE_MAX, TW_ERR_SYNTAX},
        {"", "[\n", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"", "[ # ]\n", TW_PROFILE_CEILING / 6 * 6, TW_ERR_LIMIT},
        {"", "[[[[[[[[\n", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"", "{a:\n ", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"", "[1, 1, 1,\n1, ", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"[", "[1, 1, 1],\n ", TW_PROFILE_CEILING, TW_ERR_SYNTAX},
        {"[[1, ", "1, 1, 1,\n ", TW_PROFILE_CEILING, TW_ERR_SYNTAX},
        {"plate: [", "1, ", TW_LINE_MAX, TW_ERR_SYNTAX},
        {"", "plate: t\n", TW_PROFILE_CEILING / 9 * 9, TW_ERR_KEY},
        {"holes:\n", "- [0, 1]\n", 600000 / 9 * 9 + 7, TW_ERR_KEY},
        {"thickness:\n forged:\n  strike:\n", "   - {a: 1}\n", 480000 / 12 * 12 + 30, TW_ERR_KEY},
        {"", "a", TW_PROFILE_CEILING, TW_ERR_LIMIT},
        {"", "a", TW_LINE_MAX, TW_ERR_SYNTAX},
        {"", "\"", TW_LINE_MAX, TW_ERR_SYNTAX},
        {"", ":", TW_LINE_MAX, TW_ERR_KEY},
        {"", "\n", TW_PROFILE_CEILING, TW_ERR_INPUT},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char *text = filled(cases[k].head, cases[k].piece, cases[k].size);
        struct rusage use;
        const double seconds = timed(text, cases[k].size, cases[k].status);
        getrusage(RUSAGE_SELF, &use);
        print_message("case %zu, %zu bytes: %.2f s, at most %ld kB so far\n", k, cases[k].size,
                      seconds, use.ru_maxrss);
        assert_true(use.ru_maxrss < 300000);
        free(text);
    }
}

static void deep_nesting_is_placed(void **state)
{
    char text[4096] = "plate: t\n";
    tw_notes errors;

    (void)state;
    for (int k = 0; k < 50; k++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%*sa:\n", k, "");
    assert_int_equal(status_of(text, strlen(text), &errors), TW_ERR_LIMIT);
    assert_non_null(strstr(errors.items[0].message, "deeper than 32"));
    assert_int_equal(errors.items[0].line, 34); /* the 33rd map, one a line from line 1 on */
}

/* Table 3-7 of the Unicode Standard: first and last letters of each length, and what lies between
 * and beyond. */
static void utf8_is_checked(void **state)
{
    static const char *const good[] = {"a",
                                       "\xC2\xA0",
                                       "\xDF\xBF",
                                       "\xE0\xA0\x80",
                                       "\xED\x9F\xBF",
                                       "\xEE\x80\x80",
                                       "\xEF\xBF\xBF",
                                       "\xF0\x90\x80\x80",
                                       "\xF4\x8F\xBF\xBF",
                                       "\t\r\n"};
    static const char *const bad[] = {"\x80",
                                      "\xC0\x80",
                                      "\xC1\xBF",
                                      "\xE0\x9F\xBF",
                                      "\xED\xA0\x80",
                                      "\xF0\x8F\xBF\xBF",
                                      "\xF4\x90\x80\x80",
                                      "\xF5\x80\x80\x80",
                                      "\xFF",
                                      "\xC2",
                                      "\xE2\x82",
                                      "\xF0\x9F\x98",
                                      "\xC2z",
                                      "\x01",
                                      "\x1B[2J",
                                      "\x7F",
                                      "\xC2\x9B"};
    tw_error err;

    (void)state;
    for (size_t k = 0; k < sizeof good / sizeof *good; k++)
        assert_int_equal(tw_text_check(good[k], strlen(good[k]), &err), TW_OK);
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        char text[32];
        snprintf(text, sizeof text, "x\r\n\xC3\xBC%s", bad[k]);
        assert_int_equal(tw_text_check(text, strlen(text), &err), TW_ERR_INPUT);
        assert_int_equal(err.line, 2);
        assert_int_equal(err.column, 2);
    }
    assert_int_equal(tw_text_check("a\0b", 3, &err), TW_ERR_INPUT);
    assert_int_equal(err.column, 2);
    assert_non_null(strstr(err.message, "NUL"));
    assert_int_equal(tw_text_check("a\xC3", 2, NULL), TW_ERR_INPUT);
}

static void texts_are_cut_at_letters(void **state)
{
    char out[8];

    (void)state;
    tw_text_tidy("ab\x1B"
                 "c",
                 out, sizeof out);
    assert_string_equal(out, "ab c");
    tw_text_tidy("aäöüß", out, sizeof out); /* 9 bytes; "…" is 3 of the 7 there are */
    assert_string_equal(out, "aä…");
    tw_text_line("äöüß", 1, out, sizeof out, false);
    assert_string_equal(out, "äöü");
    tw_text_line("a\r\nb\rc\nd", 3, out, sizeof out, false);
    assert_string_equal(out, "c");
    tw_text_line("a\nb", 3, out, sizeof out, false);
    assert_string_equal(out, "");
}

static tw_status read_path(const char *path, tw_notes *errors)
{
    tw_profile *profile = NULL;
    const tw_status status = tw_profile_read(path, NULL, 0, &profile, errors);

    assert_null(profile);
    assert_int_equal(errors->count, 1);
    assert_int_equal(errors->items[0].status, status);
    assert_string_equal(errors->items[0].file, path);
    return status;
}

static void files_that_are_no_profile(void **state)
{
    static const char samples[] = TW_SOURCE_DIR "/tests/profiles";
    char folder[] = "/tmp/taperwright-XXXXXX", path[600];
    tw_notes errors;
    FILE *file;

    (void)state;
    assert_int_equal(read_path(samples, &errors), TW_ERR_INPUT); /* a directory */
    snprintf(path, sizeof path, "%s/none.yaml", samples);
    assert_int_equal(read_path(path, &errors), TW_ERR_INPUT);
    snprintf(path, sizeof path, "%s/empty.yaml", samples);
    assert_int_equal(read_path(path, &errors), TW_ERR_INPUT);
    snprintf(path, sizeof path, "%s/binary.yaml", samples);
    assert_int_equal(read_path(path, &errors), TW_ERR_INPUT);
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/big.yaml", folder);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(ftruncate(fileno(file), 10 << 20), 0);
    fclose(file);
    assert_int_equal(read_path(path, &errors), TW_ERR_LIMIT);
    if (geteuid() != 0) {
        assert_int_equal(chmod(path, 0), 0);
        assert_int_equal(read_path(path, &errors), TW_ERR_FILE);
    }
    unlink(path);
    rmdir(folder);
}

/* One fault in each sample named after it; the good ones are read in test_keys.c. */
static void faulty_samples_have_one_fault(void **state)
{
    static const struct {
        const char *name;
        int line, column;
    } cases[] = {{"no-unit", 11, 10},
                 {"unknown-key", 10, 1},
                 {"duplicate-key", 7, 1},
                 {"bare-position", 8, 24},
                 {"negative-thickness", 14, 62},
                 {"zero-thickness", 16, 32},
                 {"not-a-number", 14, 44},
                 {"too-large", 14, 44},
                 {"unknown-edge", 16, 16},
                 {"unknown-material", 5, 11},
                 {"unknown-kind", 4, 7},
                 {"band-without-held", 17, 11},
                 {"alias", 11, 11},
                 {"merge-key", 16, 10},
                 {"tag", 3, 8},
                 {"two-documents", 17, 1},
                 {"newer-format", 2, 9},
                 {"decimal-comma", 14, 45},
                 {"no-form", 2, 1},
                 {"no-outline", 7, 7},
                 {"open-bracket", 14, 65},
                 {"tab", 11, 1},
                 {"same-name", 15, 9},
                 {"bad-utf8", 3, 9},
                 {"keel-without-width", 10, 9},
                 {"station-order", 9, 15},
                 {"deep", 3, 39},
                 {"unknown-zone", 20, 14},
                 {"unknown-plan-edge", 20, 14},
                 {"negative-least", 20, 26},
                 {"half-a-heat", 17, 17},
                 {"many-heats", 17, 17},
                 {"heats-without-scale", 17, 10},
                 {"negative-loss", 17, 18},
                 {"loss-in-doubt", 17, 47},
                 {"rough-heavier", 17, 32},
                 {"worked-cast", 17, 9},
                 {"binary", 1, 1}};

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        char path[600];
        tw_notes errors;
        snprintf(path, sizeof path, TW_SOURCE_DIR "/tests/profiles/%s.yaml", cases[k].name);
        assert_int_not_equal(read_path(path, &errors), TW_OK);
        if (errors.items[0].line != cases[k].line || errors.items[0].column != cases[k].column) {
            print_error("%s: %d:%d\n", path, errors.items[0].line, errors.items[0].column);
            fail();
        }
    }
}

/* Property: templates with bytes changed, cut, doubled and swapped give a status, and only finite
 * numbers when it is TW_OK. */
static void any_bytes_give_a_status(void **state)
{
    static const char signs[] = "[]{}:,-\n \"'&*!|>#%@`?\t0123456789.e/xyzmin\xC3\x28";
    test_random random = test_random_begin("any_bytes_give_a_status");
    size_t count, good = 0;
    const tw_template *templates = tw_templates(&count); /* those of plates come first */

    (void)state;
    for (int trial = 0; trial < 3000; trial++) {
        const char *from = templates[(size_t)trial % 4].text;
        const int changes = (int)test_uniform(&random, 1, 6);
        char text[4096];
        size_t size = strlen(from);
        tw_profile *p = NULL;
        tw_notes errors;
        memcpy(text, from, size);
        for (int k = 0; k < changes; k++) {
            const size_t at = (size_t)test_uniform(&random, 0, (double)size);
            if (test_uniform(&random, 0, 1) < 0.6)
                text[at] = signs[(size_t)test_uniform(&random, 0, sizeof signs - 1)];
            else if (test_uniform(&random, 0, 1) < 0.5)
                memmove(text + at, text + at + 1, size-- - at - 1);
            else
                text[at] = text[(size_t)test_uniform(&random, 0, (double)size)];
        }
        if (tw_profile_read_memory("t.yaml", text, size, NULL, 0, &p, &errors) != TW_OK) {
            assert_null(p);
            assert_true(errors.count > 0 && errors.items[0].message[0] != '\0');
            continue;
        }
        good++;
        assert_true(isfinite(p->density) && p->density > 0);
        for (size_t k = 0; k < p->forged.strike_count; k++) {
            assert_true(p->forged.strikes[k].thickness > 0 && p->forged.strikes[k].name);
            assert_true(isfinite(p->forged.strikes[k].shape.at.value[0]));
        }
        tw_profile_free(p);
    }
    print_message("%zu of 3000 still read\n", good);
    assert_true(good > 50);
}

static void freeing_nothing_is_fine(void **state)
{
    (void)state;
    tw_profile_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hostile_files_cost_little),
        cmocka_unit_test(deep_nesting_is_placed),
        cmocka_unit_test(utf8_is_checked),
        cmocka_unit_test(texts_are_cut_at_letters),
        cmocka_unit_test(files_that_are_no_profile),
        cmocka_unit_test(faulty_samples_have_one_fault),
        cmocka_unit_test(any_bytes_give_a_status),
        cmocka_unit_test(freeing_nothing_is_fine),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
