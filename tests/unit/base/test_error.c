/* Errors: one table behind texts and exit codes, texts cut at whole letters, bounded lists; and the
 * nearest word. */
#include "support.h"

static void every_status_has_words_and_an_exit_code(void **state)
{
    (void)state;
    for (int k = TW_OK; k <= TW_ERR_INTERRUPTED; k++)
        assert_true(strlen(tw_status_text((tw_status)k)) > 3);
    assert_int_equal(tw_status_exit(TW_OK), 0);
    assert_int_equal(tw_status_exit(TW_ERR_UNIT), 1);
    assert_int_equal(tw_status_exit(TW_ERR_USAGE), 2);
    assert_int_equal(tw_status_exit(TW_ERR_MEMORY), 3);
    assert_int_equal(tw_status_exit(TW_ERR_INTERRUPTED), 130);
}

/* Valid UTF-8 made of one two-byte letter, after `lead` ASCII letters. */
static void assert_whole_letters(const char *text, size_t lead)
{
    const size_t length = strlen(text);

    assert_true(length > lead);
    assert_int_equal((length - lead) % 2, 0);
    for (size_t k = lead; k < length; k += 2) {
        assert_int_equal((unsigned char)text[k], 0xC2);
        assert_int_equal((unsigned char)text[k + 1], 0xB0);
    }
}

static void texts_are_cut_at_whole_letters(void **state)
{
    char degrees[601];

    (void)state;
    for (size_t k = 0; k < 600; k += 2)
        memcpy(degrees + k, "\xC2\xB0", 2);
    degrees[600] = '\0';
    for (size_t lead = 0; lead < 2; lead++) { /* both ways a letter can meet the end */
        tw_error err;
        char value[700];
        snprintf(value, sizeof value, "%.*s%s", (int)lead, "a", degrees);
        assert_int_equal(tw_fail(&err, TW_ERR_DOMAIN, "%s", value), TW_ERR_DOMAIN);
        tw_error_advise(&err, value, "%s", value);
        assert_whole_letters(err.message, lead);
        assert_whole_letters(err.value, lead);
        assert_whole_letters(err.advice, lead);
        assert_true(strlen(err.message) >= sizeof err.message - 4);
        tw_error_within(&err, "in plate breast"); /* no room: must not overrun */
        assert_true(strlen(err.message) < sizeof err.message);
    }
}

static void places_are_appended_from_inside_out(void **state)
{
    tw_error err;

    (void)state;
    tw_fail(&err, TW_ERR_SHAPE, "the outline crosses itself");
    tw_error_within(&err, "in edge %s", "upper");
    tw_error_within(&err, "in plate breast");
    assert_string_equal(err.message, "the outline crosses itself, in edge upper, in plate breast");
    assert_int_equal(tw_fail(NULL, TW_ERR_SHAPE, "nobody asks"), TW_ERR_SHAPE);
    tw_error_within(NULL, "nowhere");
    tw_error_advise(NULL, "x", "y");
}

static void a_list_counts_all_and_keeps_the_first(void **state)
{
    static tw_notes notes, joined;
    tw_error err;

    (void)state;
    memset(&notes, 0, sizeof notes);
    for (int k = 0; k < 25; k++) {
        tw_fail(&err, TW_ERR_KEY, "number %d", k);
        tw_notes_add(&notes, &err);
    }
    assert_int_equal(notes.count, 25);
    assert_string_equal(notes.items[TW_NOTES_MAX - 1].message, "number 19");
    memset(&joined, 0, sizeof joined);
    tw_fail(&err, TW_ERR_KEY, "the first");
    tw_notes_add(&joined, &err);
    tw_notes_join(&joined, &notes);
    assert_int_equal(joined.count, 26); /* also the five that are only counted */
    assert_string_equal(joined.items[1].message, "number 0");
    assert_string_equal(joined.items[TW_NOTES_MAX - 1].message, "number 18");
    tw_notes_add(NULL, &err);
}

static void the_nearest_word_is_suggested_or_none(void **state)
{
    static const char *const known[] = {"outline", "thickness", "holes", "worn", "mm"};
    const size_t count = sizeof known / sizeof *known;

    (void)state;
    assert_string_equal(tw_nearest_word("thicknes", known, count), "thickness");
    assert_string_equal(tw_nearest_word("Outlien", known, count), "outline"); /* swap, case */
    assert_string_equal(tw_nearest_word("hole", known, count), "holes");
    assert_string_equal(tw_nearest_word("mn", known, count), "mm");
    assert_null(tw_nearest_word("density", known, count));
    assert_null(tw_nearest_word("cat", known, count));
    assert_null(tw_nearest_word("", known, count));
    assert_null(
        tw_nearest_word("a word that is far longer than any key could be, by a lot", known, count));
}

static void a_name_is_the_same_whatever_its_case_and_blanks(void **state)
{
    (void)state;
    assert_true(tw_name_same("EN 10131", " en\t10131 "));
    assert_true(tw_name_same("", "  "));
    assert_false(tw_name_same("tasset", "tassets"));
    assert_false(tw_name_same("tassets", "tasset"));
    assert_false(tw_name_same("\xC3\x84", "\xC3\xA4")); /* only a to z have a case here */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_status_has_words_and_an_exit_code),
        cmocka_unit_test(texts_are_cut_at_whole_letters),
        cmocka_unit_test(places_are_appended_from_inside_out),
        cmocka_unit_test(a_list_counts_all_and_keeps_the_first),
        cmocka_unit_test(the_nearest_word_is_suggested_or_none),
        cmocka_unit_test(a_name_is_the_same_whatever_its_case_and_blanks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
