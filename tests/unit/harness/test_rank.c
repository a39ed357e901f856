/* Ranking beside originals: only like meets like, what is said of straps and lining is followed, and the
 * part that stops the whole is found. Totals are filled by hand: no plate is modelled here. */
#include "originals_cases.h"

/* A total under construction: parts, their figures, and what of them are straps and lining. */
typedef struct bench {
    tw_harness harness;
    tw_total total;
    tw_part parts[16];
    tw_part_spec specs[16];
    bool in[16];
    tw_counted counted[16];
    tw_figure figures[16];
    size_t spec_count;
    tw_arena *arena;
} bench;

static bench *bench_new(void)
{
    bench *made = calloc(1, sizeof *made);

    assert_non_null(made);
    made->arena = tw_arena_new();
    assert_non_null(made->arena);
    made->harness.parts = made->parts;
    made->total.harness = &made->harness;
    made->total.in = made->in;
    made->total.counted = made->counted;
    made->total.figure = made->figures;
    return made;
}

static void bench_free(bench *of)
{
    tw_arena_free(of->arena);
    free(of);
}

static tw_figure grams(bench *of, const char *cause, double g, double u)
{
    tw_figure made = tw_figure_zero();

    made.g = g;
    assert_int_equal(tw_figure_cause(&made, of->arena, cause, u, INFINITY, NULL), TW_OK);
    return made;
}

static tw_part *add_side(bench *of, const tw_part_spec *spec, const char *name, const char *kind,
                         int side, double g, double u)
{
    const size_t at = of->harness.part_count++;
    tw_part *part = &of->parts[at];

    *part = (tw_part){
        .name = name, .kind = kind, .spec = spec, .side = side, .height = NAN, .width = NAN};
    of->in[at] = true;
    of->counted[at] = TW_COUNTED_MODELLED;
    of->figures[at] = grams(of, name, g, u);
    of->total.in_count++;
    if (isnan(g))
        of->total.missing_count++;
    else
        assert_int_equal(tw_figure_add(&of->total.sum, of->arena, &of->figures[at], 1, NULL),
                         TW_OK);
    return part;
}

static tw_part *add(bench *of, const char *kind, double g, double u)
{
    tw_part_spec *spec = &of->specs[of->spec_count++];

    spec->name = kind;
    return add_side(of, spec, kind, kind, 0, g, u);
}

static void add_pair(bench *of, const char *kind, const char *left, const char *right, double g,
                     double other)
{
    tw_part_spec *spec = &of->specs[of->spec_count++];

    spec->name = kind;
    add_side(of, spec, left, kind, 1, g, 1);
    add_side(of, spec, right, kind, -1, other, 1);
}

static tw_ranking ranked(const bench *of, const tw_originals *set, const tw_filter *filter)
{
    tw_ranking out;
    tw_error err;

    if (tw_rank(&of->total, set, filter, &out, &err) != TW_OK)
        fail_msg("%s", err.message);
    return out;
}

static const char nine_breastplates[] =
    "title,kinds,height [mm],width [mm],from year,to year,mass [g]\n"
    "A,breastplate,400,350,1500,1520,2000\nB,breastplate,400,350,1500,1520,2200\n"
    "C,breastplate,400,350,1500,1520,2400\nD,breastplate,400,350,1500,1520,2600\n"
    "E,breastplate,400,350,1500,1520,2800\nF,breastplate,400,350,1500,1520,3000\n"
    "G,breastplate,400,350,1500,1520,3200\nH,breastplate,400,350,1550,1560,3400\n"
    "Old I,breastplate,400,,1550,1560,3600\n"
    "J,breastplate; tasset 2,,,1500,1520,4000\nK,backplate,,,1500,1520,1500\n"
    "L,tasset 2,,,1500,1520,900\nM,tasset,,,1500,1520,500\n";

static void a_single_part_is_the_whole(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of(nine_breastplates);
    tw_part *part = add(of, "breastplate", 2500, 60);
    tw_ranking out;
    const tw_standing *row;

    (void)state;
    part->height = 420;
    part->width = 360;
    out = ranked(of, set, NULL);
    assert_true(out.whole);
    assert_int_equal(out.count, 1);
    row = &out.rows[0];
    assert_string_equal(row->what, "the whole");
    assert_int_equal(row->count, 9);
    assert_int_equal(row->lighter, 3);
    assert_int_equal(row->clearly_lighter + row->uncertain + row->clearly_heavier, row->count);
    assert_true(row->clearly_lighter < row->lighter || row->clearly_heavier < row->heavier);
    assert_int_equal(row->uncertain, 2); /* U = 1.96 · 60: 2400 and 2600 are inside */
    assert_close(row->own.g, 2500, 0);
    assert_close(row->median, 2800, 0);
    assert_close(row->lower, 2400, 0);
    assert_close(row->upper, 3200, 0);
    assert_close(row->least, 2000, 0);
    assert_close(row->most, 3600, 0);
    assert_close(row->per_area, 2500 / (4.2 * 3.6), 1e-9);
    assert_int_equal(row->per_area_count, 8);
    assert_close(row->per_area_median, (2600 + 2800) / 2. / 14, 1e-9);
    assert_int_equal(row->straps_not_said, 9);
    assert_int_equal(row->adjustment_count, 0);
    assert_int_equal(out.alone_count, 0);
    assert_null(out.stopper);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void under_eight_records_there_are_no_quartiles(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of(nine_breastplates);
    const tw_filter years = {.year_from = 1490, .year_to = 1549}, old = {.object = "oLd"};
    const tw_filter touching = {.year_from = 1520, .year_to = 1550};
    tw_ranking out;

    (void)state;
    add(of, "breastplate", 2500, 60);
    out = ranked(of, set, &years);
    assert_int_equal(out.rows[0].count, 7);
    assert_true(isnan(out.rows[0].median) && isnan(out.rows[0].lower) && isnan(out.rows[0].upper));
    assert_close(out.rows[0].most, 3200, 0);
    tw_ranking_release(&out);
    out = ranked(of, set, &old);
    assert_int_equal(out.rows[0].count, 1);
    assert_string_equal(out.rows[0].records[0]->title, "Old I");
    tw_ranking_release(&out);
    out = ranked(of, set, &touching);
    assert_int_equal(out.rows[0].count, 9);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void only_the_same_kinds_meet(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of(nine_breastplates);
    tw_ranking out;

    (void)state;
    add(of, "breastplate", 2500, 60);
    add_pair(of, "tasset", "tasset left", "tasset right", 480, 520);
    out = ranked(of, set, NULL);
    assert_true(out.whole);
    assert_int_equal(out.rows[0].count, 1);
    assert_string_equal(out.rows[0].records[0]->title, "J");
    assert_close(out.rows[0].own.g, 3500, 1e-9);
    assert_int_equal(out.count, 5);
    assert_string_equal(out.rows[1].what, "breastplate");
    assert_string_equal(out.rows[2].what, "tasset left");
    assert_int_equal(out.rows[2].lighter, 0);
    assert_int_equal(out.rows[3].lighter, 1);
    assert_string_equal(out.rows[4].what, "tasset, the pair");
    assert_close(out.rows[4].own.g, 1000, 1e-9);
    assert_int_equal(out.rows[4].lighter, 1);
    tw_ranking_release(&out);
    /* one tasset out: the breastplate with one tasset is like no record */
    of->in[2] = false;
    of->total.in_count = 2;
    out = ranked(of, set, NULL);
    assert_false(out.whole);
    assert_string_equal(out.stopper, "tasset left");
    assert_int_equal(out.stopper_records, 9);
    assert_int_equal(out.count, 2);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void the_part_that_stops_the_whole_is_named(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of(nine_breastplates);
    tw_ranking out;

    (void)state;
    add(of, "breastplate", 2500, 60);
    add_pair(of, "tasset", "tasset left", "tasset right", 500, 500);
    add_pair(of, "gauntlet", "gauntlet left", "gauntlet right", 400, 400);
    out = ranked(of, set, NULL);
    assert_false(out.whole);
    assert_string_equal(out.stopper, "gauntlet");
    assert_int_equal(out.stopper_records, 1);
    assert_int_equal(out.alone_count, 1);
    assert_string_equal(out.alone[0], "gauntlet");
    assert_int_equal(out.count, 3);
    assert_string_equal(out.rows[1].what, "tasset, one of the pair");
    assert_int_equal(out.rows[1].lighter, 0); /* 500 g beside 500 g */
    assert_int_equal(out.rows[1].heavier, 0);
    tw_ranking_release(&out);
    of->counted[1] = of->counted[2] = TW_COUNTED_TOGETHER;
    out = ranked(of, set, NULL);
    assert_string_equal(out.rows[1].what,
                        "tasset, one of the pair, its share of a weighing together");
    assert_string_equal(out.rows[2].what, "tasset, the pair");
    tw_ranking_release(&out);
    add(of, "fauld", 700, 10); /* two parts too many: no single one stops it */
    out = ranked(of, set, NULL);
    assert_null(out.stopper);
    assert_int_equal(out.stopper_records, 0);
    assert_int_equal(out.alone_count, 2);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void a_part_without_figure_makes_no_whole(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of(nine_breastplates);
    tw_ranking out;

    (void)state;
    add(of, "breastplate", 2500, 60);
    add_pair(of, "tasset", "tasset left", "tasset right", NAN, 500);
    out = ranked(of, set, NULL);
    assert_false(out.whole);
    assert_string_equal(out.stopper, "tasset");
    assert_int_equal(out.stopper_records, 9);
    assert_int_equal(out.count, 2);
    assert_string_equal(out.rows[1].what, "tasset right");
    assert_int_equal(out.alone_count, 0);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void straps_follow_the_records(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of("title,kinds,mass [g],straps,lining\n"
                               "A,breastplate,2350,out,out\nB,breastplate,2410,out,in\n"
                               "C,breastplate,2440,out,\nD,breastplate,2440,,in\n");
    tw_part *part = add(of, "breastplate", 2500, 30);
    tw_ranking out;
    const tw_standing *row;

    (void)state;
    /* of the part's 2500 g, 100 g are straps (u 8 of the part's own) and 30 g are lining */
    part->straps = of->total.straps = grams(of, "straps", 100, 8);
    part->lining = of->total.lining = grams(of, "lining", 30, 2);
    out = ranked(of, set, NULL);
    row = &out.rows[0];
    assert_int_equal(row->count, 4);
    assert_close(row->own.g, 2400, 1e-9);
    assert_close(tw_figure_u(&row->own), sqrt(30 * 30 + 8 * 8), 1e-9);
    assert_int_equal(row->adjustment_count, 2);
    assert_string_equal(row->adjustments[0].what, "straps taken off, as in 3 of 4 records");
    assert_close(row->adjustments[0].g, -100, 1e-9);
    assert_close(row->adjustments[0].u_g, 8, 1e-9);
    assert_true(row->adjustments[0].held);
    assert_string_equal(row->adjustments[1].what,
                        "lining taken off beside the 1 of 4 records that have none in");
    assert_false(row->adjustments[1].held);
    assert_int_equal(row->straps_not_said, 1);
    assert_int_equal(row->lining_not_said, 1);
    /* A is met by 2370 g, B and C by 2400 g, D by 2500 g */
    assert_int_equal(row->lighter, 2);
    assert_int_equal(row->heavier, 2);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void records_with_straps_beside_a_part_without_are_told(void **state)
{
    bench *of = bench_new();
    tw_originals *set =
        set_of("title,kinds,mass [g],straps\nA,helmet,2350,in\nB,helmet,2410,out\n");
    tw_ranking out;

    (void)state;
    add(of, "helmet", 2400, 30);
    out = ranked(of, set, NULL);
    assert_int_equal(out.rows[0].adjustment_count, 1);
    assert_string_equal(out.rows[0].adjustments[0].what,
                        "straps in, in 1 of 2 records, and none listed here");
    assert_close(out.rows[0].adjustments[0].g, 0, 0);
    assert_close(out.rows[0].own.g, 2400, 0);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void what_is_left_out_of_use_is_never_met(void **state)
{
    bench *of = bench_new();
    tw_originals *set = set_of("title,kinds,mass [g],use,pounds\nA,helmet,2350,no,\n"
                               "B,helmet,2350,,4 lb\nC,,2350,,\nD,skull,2350,,\n");
    tw_ranking out;

    (void)state;
    add(of, "helmet", 2400, 30);
    out = ranked(of, set, NULL);
    assert_false(out.whole);
    assert_int_equal(out.count, 0);
    assert_int_equal(out.alone_count, 1);
    tw_ranking_release(&out);
    tw_originals_free(set);
    bench_free(of);
}

static void the_summary_counts_every_record_once(void **state)
{
    tw_originals *set = shipped_set();
    tw_ranking out;
    size_t used = 0, met = 0;

    (void)state;
    assert_int_equal(tw_originals_summary(set, NULL, &out, NULL), TW_OK);
    for (size_t k = 0; k < set->count; k++)
        used += set->rows[k].use && set->rows[k].kind_count > 0;
    for (size_t k = 0; k < out.count; k++) {
        met += out.rows[k].count;
        assert_true(k == 0 || out.rows[k].count <= out.rows[k - 1].count);
        assert_true(isnan(out.rows[k].own.g));
        assert_true(isnan(out.rows[k].median) == (out.rows[k].count < 8));
    }
    assert_int_equal(met, used);
    assert_string_equal(out.rows[0].what, "helmet");
    assert_string_equal(out.rows[1].what, "breastplate");
    assert_close(out.rows[1].median, 3070.3, 1e-9);
    tw_ranking_release(&out);
    tw_originals_free(set);
}

/* Scaling every mass, ours and theirs, changes no rank; a heavier own mass is never lighter than more. */
static void ranks_keep_their_order(void **state)
{
    test_random random = test_random_begin("ranks_keep_their_order");
    char text[4096] = "title,kinds,mass [g]\n";

    (void)state;
    for (int k = 0; k < 60; k++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "A%d,gauntlet,%.3f\n", k,
                 test_uniform(&random, 300, 700));
    tw_originals *set = set_of(text);
    size_t before = 0;
    for (double own = 250; own < 800; own += 7) {
        bench *of = bench_new();
        tw_ranking out;
        size_t lighter = 0;
        add(of, "gauntlet", own, 5);
        out = ranked(of, set, NULL);
        for (size_t k = 0; k < set->count; k++)
            lighter += set->rows[k].g < own;
        assert_int_equal(out.rows[0].lighter, lighter);
        assert_true(lighter >= before);
        before = lighter;
        for (size_t k = 1; k < out.rows[0].count; k++)
            assert_true(out.rows[0].records[k - 1]->g <= out.rows[0].records[k]->g);
        tw_ranking_release(&out);
        bench_free(of);
    }
    assert_int_equal(before, 60);
    tw_originals_free(set);
}

static void quantiles(void **state)
{
    const double one[] = {5}, four[] = {1, 2, 4, 8};

    (void)state;
    assert_true(isnan(tw_quantile(one, 0, 0.5)));
    assert_close(tw_quantile(one, 1, 0.25), 5, 0);
    assert_close(tw_quantile(four, 4, 0), 1, 0);
    assert_close(tw_quantile(four, 4, 1), 8, 0);
    assert_close(tw_quantile(four, 4, 0.5), 3, 1e-12);
    assert_close(tw_quantile(four, 4, 0.25), 1.75, 1e-12);
    assert_close(tw_quantile(four, 4, 0.75), 5, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_single_part_is_the_whole),
        cmocka_unit_test(under_eight_records_there_are_no_quartiles),
        cmocka_unit_test(only_the_same_kinds_meet),
        cmocka_unit_test(the_part_that_stops_the_whole_is_named),
        cmocka_unit_test(a_part_without_figure_makes_no_whole),
        cmocka_unit_test(straps_follow_the_records),
        cmocka_unit_test(records_with_straps_beside_a_part_without_are_told),
        cmocka_unit_test(what_is_left_out_of_use_is_never_met),
        cmocka_unit_test(the_summary_counts_every_record_once),
        cmocka_unit_test(ranks_keep_their_order),
        cmocka_unit_test(quantiles),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
