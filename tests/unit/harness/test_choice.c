/* Which parts a name means, what is in and out, and what is refused. */
#include "fixture.h"

/* breast, back, tasset left, tasset right, fauld, gorget */
enum { BREAST, BACK, LEFT, RIGHT, FAULD, GORGET, PARTS };
static const char *const body_members[] = {"breast", "back"};
static const char *const skirt_members[] = {"Body", "fauld", "tasset"};
static const char *const odd_members[] = {"tasset right", "gorget"};

static int harness_begin(void **state)
{
    static fixture f;
    static const char *const names[] = {"breast", "back", "tasset", "lower fauld", "throat"};
    static const char *const kinds[] = {"breastplate", "backplate", "tasset", "fauld", "gorget"};

    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 1e12, 1e12);
    for (size_t k = 0; k < 5; k++) {
        tw_part_spec *part = fixture_part(&f, names[k], kinds[k]);
        part->mirror = k == 2;
        fixture_weigh(&f, part, 0, 100 * (double)(k + 1));
    }
    f.sets[0] = (tw_set_spec){"body", 2, (const char **)(uintptr_t)body_members, {0, 0}};
    f.sets[1] = (tw_set_spec){"with skirt", 3, (const char **)(uintptr_t)skirt_members, {0, 0}};
    f.sets[2] = (tw_set_spec){"odd", 2, (const char **)(uintptr_t)odd_members, {0, 0}};
    f.file.set_count = 3;
    *state = fixture_build(&f);
    return *state ? 0 : -1;
}

static int harness_end(void **state)
{
    tw_harness_free(*state);
    return 0;
}

/* "101000": which of the six are in. */
static void assert_in(const tw_harness *h, const tw_choice *choice, const char *wanted)
{
    tw_total total = fixture_total(h, choice);
    char got[PARTS + 1] = "";

    for (size_t k = 0; k < PARTS; k++)
        got[k] = total.in[k] ? '1' : '0';
    assert_string_equal(got, wanted);
    tw_total_release(&total);
}

static void names_mean_parts_pairs_sets_or_kinds(void **state)
{
    static const char *const tasset[] = {"tasset"}, *const right[] = {"Tasset  RIGHT"};
    static const char *const fauld[] = {"fauld"}, *const more[] = {"gorget", "tasset left"};
    static const char *const body[] = {"body"};

    assert_in(*state, NULL, "111111");
    assert_in(*state, &(tw_choice){.set = "body"}, "110000");
    assert_in(*state, &(tw_choice){.set = "With Skirt"}, "111110");
    assert_in(*state, &(tw_choice){.set = "odd"}, "000101");
    assert_in(*state, &(tw_choice){.without_count = 1, .without = tasset}, "110011");
    assert_in(*state, &(tw_choice){.without_count = 1, .without = right}, "111011");
    assert_in(*state, &(tw_choice){.without_count = 1, .without = fauld}, "111101");
    assert_in(*state, &(tw_choice){.without_count = 1, .without = body}, "001111");
    assert_in(*state, &(tw_choice){.set = "body", .with_count = 2, .with = more}, "111001");
    assert_in(*state,
              &(tw_choice){.set = "with skirt",
                           .with_count = 1,
                           .with = more,
                           .without_count = 1,
                           .without = tasset},
              "110011");
}

static void assert_refused(const tw_harness *h, const tw_choice *choice, tw_status status,
                           const char *message, const char *advice)
{
    tw_total total = {.in_count = 77};
    tw_error err;

    assert_int_equal(tw_harness_total(h, choice, &total, &err), status);
    assert_non_null(strstr(err.message, message));
    assert_non_null(strstr(err.advice, advice));
    assert_int_equal(total.in_count, 77); /* untouched */
}

static void what_makes_no_sense_is_refused(void **state)
{
    static const char *const slip[] = {"taset"}, *const absent[] = {"bevor"};
    static const char *const tasset[] = {"tasset"}, *const left[] = {"tasset left"};
    static const char *const all[] = {"with skirt", "throat"};

    assert_refused(*state, &(tw_choice){.with_count = 1, .with = slip}, TW_ERR_KEY, "\"taset\"",
                   "did you mean \"tasset\"?");
    assert_refused(*state, &(tw_choice){.set = "boddy"}, TW_ERR_KEY, "no set is called",
                   "did you mean \"body\"?");
    assert_refused(*state, &(tw_choice){.with_count = 1, .with = absent}, TW_ERR_KEY,
                   "no part of this harness is a bevor", "");
    assert_refused(
        *state, &(tw_choice){.with_count = 1, .with = tasset, .without_count = 1, .without = left},
        TW_ERR_INPUT, "tasset left is asked for both with and without", "once");
    assert_refused(*state, &(tw_choice){.without_count = 2, .without = all}, TW_ERR_INPUT,
                   "no part is in", "fewer");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_mean_parts_pairs_sets_or_kinds),
        cmocka_unit_test(what_makes_no_sense_is_refused),
    };

    return cmocka_run_group_tests(tests, harness_begin, harness_end);
}
