/* What a harness says in words of its sums: lists too long to be read out, parts without figures, weighings together
 * of which some are out, names that mean two things. */
#include "fixture.h"

static tw_harness *weighed(fixture *f, size_t count, const char *const *names,
                           const char *const *kinds, const double *g)
{
    fixture_begin(f);
    (void)fixture_scale(f, "kitchen", 1, 1e12, 1e12);
    for (size_t k = 0; k < count; k++) {
        tw_part_spec *part = fixture_part(f, names[k], kinds[k]);
        if (g[k] > 0)
            fixture_weigh(f, part, 0, g[k]);
    }
    return fixture_build(f);
}

static void assert_said(const tw_harness *h, const tw_choice *choice, const char *text)
{
    tw_total total = fixture_total(h, choice);

    if (!find_note(&total.notes, text))
        fail_msg("\"%s\"", total.notes.items[0].message);
    tw_total_release(&total);
}

static const char *const abcd[] = {"a", "b", "c", "d"};
static const char *const faulds[] = {"fauld", "fauld", "fauld", "fauld"};

static void one_and_several_without_a_figure(void **state)
{
    const double one[] = {100, 0}, two[] = {100, 0, 0};
    fixture f;
    tw_harness *h = weighed(&f, 2, abcd, faulds, one);

    (void)state;
    assert_said(h, NULL, "b is in, but has neither model nor weighing: the sum is without it");
    tw_harness_free(h);
    h = weighed(&f, 3, abcd, faulds, two);
    assert_said(h, NULL,
                "b and c are in, but have neither model nor weighing: the sum is without "
                "them");
    tw_harness_free(h);
}

/* A list ends in words where there is no room for the next name, and is said when there is none at all. */
static void a_list_too_long_ends_in_words(void **state)
{
    enum { MANY = 30 };
    static char names[MANY][32], lengthy[200];
    const char *pointers[MANY], *kinds[MANY], *one[] = {lengthy};
    double none[MANY] = {100};
    fixture f;
    tw_harness *h;

    (void)state;
    for (int k = 0; k < MANY; k++) {
        snprintf(names[k], sizeof names[k], "lame number %d", k);
        pointers[k] = names[k];
        kinds[k] = "fauld";
    }
    h = weighed(&f, MANY, pointers, kinds, none);
    assert_said(h, NULL, "lame number 1, lame number 2, ");
    assert_said(h, NULL, " and others are in, but have neither");
    tw_harness_free(h);
    memset(lengthy, 'x', sizeof lengthy - 1);
    none[0] = 0;
    h = weighed(&f, 1, one, kinds, none);
    assert_said(h, NULL, "many is in, but has neither");
    tw_harness_free(h);
}

/* Two of three are in: how each of them counts is said, alike or not. */
static void some_of_a_weighing_together(void **state)
{
    static const char *parts[] = {"a", "b", "c"};
    static const char *const out[] = {"c"}, *const others[] = {"b", "c"};
    const tw_choice without = {.without_count = 1, .without = out};
    const tw_choice alone = {.without_count = 2, .without = others};
    tw_total total;
    fixture f;
    tw_harness *h;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    for (int k = 0; k < 3; k++)
        (void)fixture_part(&f, abcd[k], "fauld");
    fixture_together(&f, parts, 3, 0, 900);
    h = fixture_build(&f);
    assert_said(h, &without,
                "a, b and c were weighed together, and only a and b are in: no figure");
    total = fixture_total(h, &without);
    assert_string_equal(total.how[0], "weighed only together with b and c");
    assert_null(total.how[2]);
    tw_total_release(&total);
    assert_said(h, &alone, "and only a is in: no figure");
    tw_harness_free(h);
    fixture_weigh(&f, &f.parts[1], 0, 300);
    h = fixture_build(&f);
    assert_said(h, &without, "only a and b are in: each by its own figure");
    tw_harness_free(h);
    fixture_weigh(&f, &f.parts[0], 0, 300);
    h = fixture_build(&f); /* what is left without a weighing of its own is out */
    assert_said(h, &without, "only a and b are in: weighed");
    tw_harness_free(h);
    fixture_weigh(&f, &f.parts[2], 0, 300);
    h = fixture_build(&f); /* each has its own, and one is out: nothing to say */
    total = fixture_total(h, &without);
    assert_int_equal(total.notes.count, 0);
    assert_close(total.sum.g, 600, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* "a" is a part, and another part is of the kind "fauld", which a third is called. */
static void a_name_of_a_part_and_of_a_kind(void **state)
{
    static const char *const names[] = {"fauld", "culet", "lame"};
    static const char *const kinds[] = {"gorget", "fauld", "fauld"};
    static const char *const fauld[] = {"fauld"};
    const double g[] = {100, 200, 400};
    const tw_choice with = {.set = "culet", .with_count = 1, .with = fauld};
    tw_total total;
    fixture f;
    tw_harness *h = weighed(&f, 3, names, kinds, g);

    (void)state;
    assert_said(h, &with,
                "\"fauld\" is the part of that name; of that kind, but not meant: culet, "
                "lame");
    total = fixture_total(h, &with);
    assert_close(total.sum.g, 300, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);
}

static void names_that_are_nothing_are_told(void **state)
{
    static const char *const far[] = {"zzzzzzzzzz"}, *const tabbed[] = {"\tA"};
    const double g[] = {100, 200};
    const tw_choice unknown = {.with_count = 1, .with = far}, none = {.set = "zzzzzzzzzz"};
    const tw_choice less = {.without_count = 1, .without = tabbed};
    tw_total total = {0};
    tw_error err;
    fixture f;
    tw_harness *h = weighed(&f, 2, abcd, faulds, g);

    (void)state;
    assert_int_equal(tw_harness_total(h, &unknown, &total, &err), TW_ERR_KEY);
    assert_string_equal(err.advice, "first of its names: a");
    assert_int_equal(tw_harness_total(h, &none, &total, &err), TW_ERR_KEY);
    assert_non_null(strstr(err.advice, "has no sets: add sets:"));
    total = fixture_total(h, &less); /* blanks do not count, nor do capitals */
    assert_close(total.sum.g, 200, 1e-9);
    tw_total_release(&total);
    tw_total_release(NULL);
    tw_harness_free(h);
    f.sets[0] = (tw_set_spec){"b", 1, (const char **)(uintptr_t)abcd, {0, 0}};
    f.file.set_count = 1;
    h = fixture_build(&f);
    assert_int_equal(tw_harness_total(h, &none, &total, &err), TW_ERR_KEY);
    assert_string_equal(err.advice, "first of its names: b");
    tw_harness_free(h);
}

static void words_of_counting_are_fixed(void **state)
{
    (void)state;
    assert_string_equal(tw_counted_word(TW_COUNTED_MISSING), "no figure");
    assert_string_equal(tw_counted_word(TW_COUNTED_MODELLED), "modelled");
    assert_string_equal(tw_counted_word(TW_COUNTED_WEIGHED), "weighed");
    assert_string_equal(tw_counted_word(TW_COUNTED_TOGETHER), "weighed together");
}

/* A scale that reads high is told with what was taken out, as far as the line holds it. */
static void what_a_scale_took_out_of_many(void **state)
{
    enum { MANY = 20 };
    static char names[MANY][32];
    fixture f;
    tw_harness *h;
    const tw_error *note;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 1, 1000, 1010);
    for (int k = 0; k < MANY; k++) {
        snprintf(names[k], sizeof names[k], "lame number %d", k);
        fixture_weigh(&f, fixture_part(&f, names[k], "fauld"), 0, 1010);
    }
    h = fixture_build(&f);
    note = find_note(&h->notes,
                     "scale parcel reads 1 % high; taken out: 10 g of lame number 0, 10 g of ");
    assert_non_null(note);
    assert_non_null(strstr(note->message, "lame number 6, and 13 more"));
    tw_harness_free(h);
    f.scales[0].check_reads = 990; /* and one that reads low, or right */
    f.file.part_count = 1;
    h = fixture_build(&f);
    assert_non_null(find_note(&h->notes, "reads 1 % low; put back: 10"));
    tw_harness_free(h);
    f.scales[0].check_reads = 1000;
    h = fixture_build(&f);
    assert_int_equal(h->notes.count, 0);
    tw_harness_free(h);
}

/* Readings farther apart than three steps, of a held part without it too; so far that they may be slips. */
static void repeats_that_scatter_are_told(void **state)
{
    double with[] = {80000, 80010}, without[] = {79000, 79300};
    fixture f;
    tw_harness *h;
    tw_part_spec *part;
    const tw_error *note;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "floor", 50, 1e12, 1e12);
    part = fixture_part(&f, "fauld", "fauld");
    part->weighed = true;
    part->weighing = (tw_weighing_spec){
        .scale = 0, .read_count = 2, .reads = with, .alone_count = 2, .alone = without};
    h = fixture_build(&f);
    assert_true(h->parts[0].weighing.flags & TW_WEIGHING_SPREAD);
    note = find_note(&h->notes, "fauld: its readings on scale floor lie 300 g apart");
    assert_non_null(note);
    assert_non_null(strstr(note->advice, "a slip"));
    tw_harness_free(h);
    part->weighing.alone_count = 1;
    part->weighing.alone = with;
    part->weighing.reads = with + 1; /* 10 g left of the holder alone: read once each */
    part->weighing.read_count = 1;
    h = fixture_build(&f);
    assert_false(h->parts[0].weighing.flags & TW_WEIGHING_SPREAD);
    assert_non_null(find_note(&h->notes, "without what standing on the scale again adds"));
    tw_harness_free(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_and_several_without_a_figure),
        cmocka_unit_test(a_list_too_long_ends_in_words),
        cmocka_unit_test(some_of_a_weighing_together),
        cmocka_unit_test(a_name_of_a_part_and_of_a_kind),
        cmocka_unit_test(names_that_are_nothing_are_told),
        cmocka_unit_test(words_of_counting_are_fixed),
        cmocka_unit_test(what_a_scale_took_out_of_many),
        cmocka_unit_test(repeats_that_scatter_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
