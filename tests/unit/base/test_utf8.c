/* Letters of UTF-8 by table 3-7 of The Unicode Standard, and those that steer. */
#include "support.h"

static size_t letter(const char *bytes)
{
    return tw_utf8_letter((const unsigned char *)bytes, strlen(bytes));
}

static void well_formed_letters_have_their_length(void **state)
{
    (void)state;
    assert_int_equal(letter("a"), 1);
    assert_int_equal(letter("\xC2\x80"), 2);
    assert_int_equal(letter("\xE0\xA0\x80"), 3);
    assert_int_equal(letter("\xED\x9F\xBF"), 3);
    assert_int_equal(letter("\xF0\x90\x80\x80"), 4);
    assert_int_equal(letter("\xF4\x8F\xBF\xBF"), 4);
}

static void the_rest_has_none(void **state)
{
    static const char *const bad[] = {"",
                                      "\x80",
                                      "\xC0\x80",
                                      "\xC1\xBF",
                                      "\xC2",
                                      "\xC2\x61",
                                      "\xE0\x9F\xBF",
                                      "\xED\xA0\x80",
                                      "\xF0\x8F\xBF\xBF",
                                      "\xF4\x90\x80\x80",
                                      "\xF5\x80\x80\x80"};

    (void)state;
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++)
        assert_int_equal(letter(bad[k]), 0);
}

static bool steers(const char *bytes)
{
    return tw_utf8_control((const unsigned char *)bytes, strlen(bytes));
}

static void letters_that_steer_are_known(void **state)
{
    (void)state;
    assert_true(steers("\x1B"));
    assert_true(steers("\x7F"));
    assert_true(steers("\xC2\x9B"));
    assert_true(steers("\xE2\x80\xAE")); /* right-to-left override */
    assert_true(steers("\xE2\x81\xA6"));
    assert_false(steers("\t"));
    assert_false(steers("\xC2\xB2"));     /* ² */
    assert_false(steers("\xE2\x80\x93")); /* – */
}

static void what_cannot_be_shown_is_replaced(void **state)
{
    char text[] = "caf\xC3\xA9\tm\xF6v\x1B[1m \xC2\x9B\xE2\x80\xAE!\xE2\x82";
    char kept[] = "a\tb\nc";

    (void)state;
    tw_utf8_tidy(text, false);
    assert_string_equal(text, "caf\xC3\xA9 m?v [1m   !??");
    tw_utf8_tidy(kept, true);
    assert_string_equal(kept, "a\tb c");
}

/* Whatever was typed, in every field. */
static void errors_can_be_shown(void **state)
{
    tw_error err;

    (void)state;
    tw_fail(&err, TW_ERR_SYNTAX, "no \"%s\"", "\xFF\n");
    assert_string_equal(err.message, "no \"? \"");
    tw_error_advise(&err, "\x1B]0;", "not %s", "\xE2\x80\xAE");
    assert_string_equal(err.value, " ]0;");
    assert_string_equal(err.advice, "not  ");
    tw_error_within(&err, "in %s", "\x80");
    assert_string_equal(err.message, "no \"? \", in ?");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(well_formed_letters_have_their_length),
        cmocka_unit_test(the_rest_has_none),
        cmocka_unit_test(letters_that_steer_are_known),
        cmocka_unit_test(what_cannot_be_shown_is_replaced),
        cmocka_unit_test(errors_can_be_shown),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
