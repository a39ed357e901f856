/* Sums of what is in: weighed together or alone, modelled beside weighed, against exact integers and
 * the guide's equation. */
#include "fixture.h"

/* Named shares follow the models; both sums are the weighing, to the last bit of its grams and u. */
static void weighed_together_is_shared_by_the_models(void **state)
{
    static const char *parts[] = {"fauld", "culet"};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_figure sum = tw_figure_zero();

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 5000, 5005);
    fixture_piece(&f, fixture_part(&f, "fauld", "fauld"),
                  fixture_plate(&f, "fauld.yaml", 400, 300, 1.2, 0));
    fixture_piece(&f, fixture_part(&f, "culet", "culet"),
                  fixture_plate(&f, "culet.yaml", 300, 200, 1.2, 0));
    fixture_weigh(&f, fixture_part(&f, "gorget", "gorget"), 0, 702);
    fixture_together(&f, parts, 2, 0, 1800);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_int_equal(total.counted[0], TW_COUNTED_TOGETHER);
    assert_int_equal(total.counted[1], TW_COUNTED_TOGETHER);
    assert_int_equal(total.counted[2], TW_COUNTED_WEIGHED);
    assert_close(total.figure[0].g, 1800 * 5000.0 / 5005 * 2 / 3, 1e-9);
    assert_true(total.sum.g == h->together[0].net.g + h->parts[2].weighing.net.g);
    for (int k = 0; k < 2; k++)
        assert_int_equal(tw_figure_add(&sum, total.arena, &total.figure[k], 1, NULL), TW_OK);
    assert_close(sum.g / h->together[0].net.g, 1, 1e-15);
    /* the models' doubt cancels in the sum, but is in each share: density in neither */
    assert_close(tw_figure_u(&sum) / tw_figure_u(&h->together[0].net), 1, 1e-12);
    assert_true(tw_figure_u(&total.figure[0]) > tw_figure_u(&h->together[0].net));
    assert_close(cause_of(&total.figure[0], "density of mild steel"), 0, 1e-12);
    /* ∂(W·a/(a+b)) for a = 2b: W·(2/9)·(relative u of a's sheet), derived */
    {
        const double w = h->together[0].net.g, relative = 0.1 / 1.2 / sqrt(3);
        const double own = 2.0 / 9 * w * relative;
        assert_close(tw_figure_u(&total.figure[0]),
                     sqrt(2 * own * own + pow(2.0 / 3 * tw_figure_u(&h->together[0].net), 2)),
                     1e-6);
    }
    assert_int_equal(total.both_count, 2);
    assert_close(total.modelled.g, 180000 * 1.2 * DENSITY, 1e-8);
    assert_close(total.weighed.g, h->together[0].net.g, 1e-12);
    assert_int_equal(total.missing_count, 0);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* One out: the other by its model, or by nothing; it is said. */
static void one_out_breaks_up_what_was_weighed_together(void **state)
{
    static const char *parts[] = {"tasset"};
    static const char *const out[] = {"tasset right"};
    const tw_choice choice = {.without_count = 1, .without = out};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *tasset;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    fixture_piece(&f, tasset, fixture_plate(&f, "tasset.yaml", 160, 240, 1.5, 0));
    fixture_weigh(&f, fixture_part(&f, "gorget", "gorget"), 0, 702);
    fixture_together(&f, parts, 1, 0, 1030);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 1732, 1e-9);
    assert_close(total.figure[0].g, 515, 1e-9);
    assert_int_equal(total.notes.count, 0);
    tw_total_release(&total);
    total = fixture_total(h, &choice);
    assert_int_equal(total.counted[0], TW_COUNTED_MODELLED);
    assert_false(tw_figure_is(&total.figure[1]));
    assert_close(total.sum.g, 702 + 160 * 240 * 1.5 * DENSITY, 1e-8);
    assert_non_null(find_note(&total.notes, "tasset left and right were weighed together, and only "
                                            "tasset left is in: modelled"));
    tw_total_release(&total);
    tw_harness_free(h);

    tasset->piece_count = 0; /* no model: shares are even, and one alone is missing */
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.figure[1].g, 515, 1e-9);
    assert_true(total.even[0] && total.even[1]);
    assert_string_equal(total.how[1], "half of the pair");
    assert_int_equal(total.both_count, 0);
    tw_total_release(&total);
    total = fixture_total(h, &choice);
    assert_int_equal(total.counted[0], TW_COUNTED_MISSING);
    assert_int_equal(total.missing_count, 1);
    assert_close(total.sum.g, 702, 1e-9);
    assert_string_equal(total.how[0], "weighed only together with tasset right");
    assert_non_null(find_note(&total.notes, "only tasset left is in: no figure"));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Both are there: one by one counts, and the gap is said: 7371 g against 7910 g. */
static void one_by_one_and_together_check_each_other(void **state)
{
    static const char *parts[] = {"body"};
    static const char *members[] = {"breast", "back"};
    fixture f;
    tw_harness *h;
    tw_total total;
    const tw_error *note;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 1e12, 1e12);
    fixture_weigh(&f, fixture_part(&f, "breast", "breastplate"), 0, 4171);
    fixture_weigh(&f, fixture_part(&f, "back", "backplate"), 0, 3200);
    f.sets[f.file.set_count++] = (tw_set_spec){"body", 2, members, {0, 0}};
    fixture_together(&f, parts, 1, 0, 7910);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 7371, 1e-9);
    note = find_note(&total.notes, "weighed one by one they are 7371 g, together 7910 g: 539 g "
                                   "apart, more than their ± 7 g"); /* 1.96·√3·2.0412 = 6.93 */
    assert_non_null(note);
    assert_non_null(strstr(note->advice, "straps"));
    tw_total_release(&total);
    tw_harness_free(h);
    *(double *)(uintptr_t)f.together[0].reads = 7375;
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_non_null(find_note(&total.notes, "4 g apart, within their ± 7 g"));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Own weighings first, models next, evenly what is left: 3300 − 700 = 2600 g by models of 2 : 1 : 1. */
static void own_weighings_are_taken_out_first(void **state)
{
    static const char *parts[] = {"breast", "elbow", "gorget"};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *elbow;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    fixture_piece(&f, fixture_part(&f, "breast", "breastplate"),
                  fixture_plate(&f, "breast.yaml", 400, 300, 1.5, 0));
    elbow = fixture_part(&f, "elbow", "couter");
    elbow->mirror = true;
    fixture_piece(&f, elbow, fixture_plate(&f, "elbow.yaml", 200, 300, 1.5, 0));
    fixture_weigh(&f, fixture_part(&f, "gorget", "gorget"), 0, 700);
    fixture_together(&f, parts, 3, 0, 3300);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.figure[0].g, 1300, 1e-8);
    assert_close(total.figure[1].g, 650, 1e-8);
    assert_close(total.figure[2].g, 650, 1e-8);
    assert_close(total.figure[3].g, 700, 1e-9);
    assert_int_equal(total.counted[3], TW_COUNTED_WEIGHED);
    assert_true(!total.even[0] && total.even[1] && total.even[2] && !total.even[3]);
    assert_string_equal(total.how[1], "half of the pair");
    assert_true(total.sum.g == 3300);
    assert_close(tw_figure_u(&total.sum), tw_figure_u(&h->together[0].net), 1e-12);
    assert_int_equal(total.both_count, 3);
    assert_close(total.weighed.g, 2600, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);

    elbow->piece_count = 0; /* no model: breast by its own, the elbows evenly what is left */
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.figure[0].g, 180000 * DENSITY, 1e-8);
    assert_close(total.figure[1].g, (2600 - 180000 * DENSITY) / 2, 1e-8);
    assert_true(total.even[1] && total.sum.g == 3300);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Of a pair weighed together and the left one alone, the right one is what is left, ± and all; also when
 * the left one is out. */
static void the_rest_of_a_pair_is_known(void **state)
{
    static const char *parts[] = {"tasset"};
    static const char *const out[] = {"tasset left"};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *tasset;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    fixture_weigh(&f, tasset, 0, 400);
    fixture_together(&f, parts, 1, 0, 1000);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.figure[0].g, 400, 1e-12);
    assert_close(total.figure[1].g, 600, 1e-12);
    assert_false(total.even[1]);
    assert_close(tw_figure_u(&total.figure[1]), sqrt(2.0 / 6), 1e-6); /* two weighings of d/√6 */
    assert_close(total.sum.g, 1000, 0);
    tw_total_release(&total);
    total = fixture_total(h, &(tw_choice){.without_count = 1, .without = out});
    assert_close(total.sum.g, 600, 1e-12);
    assert_int_equal(total.counted[1], TW_COUNTED_TOGETHER);
    tw_total_release(&total);
    tw_harness_free(h);
    *(double *)(uintptr_t)f.together[0].reads = 390; /* together lighter than one alone */
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 400, 1e-12);
    assert_int_equal(total.missing_count, 1);
    assert_non_null(find_note(&total.notes, "are lighter than those of them"));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Of two weighings that share a part without a figure one is used, and the other named. */
static void an_unused_weighing_is_named(void **state)
{
    static const char *first[] = {"g", "b"}, *second[] = {"b", "c"};
    fixture f;
    tw_harness *h;
    tw_total total;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    (void)fixture_part(&f, "g", "gorget");
    (void)fixture_part(&f, "b", "bevor");
    (void)fixture_part(&f, "c", "culet");
    fixture_together(&f, first, 2, 0, 1490);
    fixture_together(&f, second, 2, 0, 1000);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 1490, 0);
    assert_true(total.even[0] && total.even[1]);
    assert_string_equal(total.how[0], "even share");
    assert_string_equal(total.how[2], "weighed only together with b");
    assert_non_null(find_note(&total.notes, "b and c weighed together, 1000 g: not used"));
    tw_total_release(&total);
    tw_harness_free(h);
}

/* Of two weighings that overlap the one of more parts is used. */
static void the_larger_weighing_goes_first(void **state)
{
    static const char *pair[] = {"tasset"}, *skirt[] = {"fauld", "tasset"};
    fixture f;
    tw_harness *h;
    tw_total total;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 1e12, 1e12);
    fixture_part(&f, "tasset", "tasset")->mirror = true;
    (void)fixture_part(&f, "fauld", "fauld");
    fixture_together(&f, pair, 1, 0, 1000);
    fixture_together(&f, skirt, 2, 0, 2100);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 2100, 1e-9);
    assert_close(total.figure[0].g, 700, 1e-9);
    tw_total_release(&total);
    tw_harness_free(h);
}

/* A weight that only the profile gives is the bare plate's: it gives way to a pair's weighing, and counts
 * when that cannot. */
static void a_profiles_own_weight_gives_way(void **state)
{
    static const char *parts[] = {"tasset"};
    static const char *const out[] = {"tasset right"};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *tasset;
    tw_profile *plate;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "kitchen", 1, 1e12, 1e12);
    plate = fixture_plate(&f, "tasset.yaml", 160, 240, 1.5, 0);
    plate->scale = 455;
    tasset = fixture_part(&f, "tasset", "tasset");
    tasset->mirror = true;
    fixture_piece(&f, tasset, plate);
    fixture_together(&f, parts, 1, 0, 1030);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_close(total.sum.g, 1030, 1e-9);
    assert_int_equal(total.counted[0], TW_COUNTED_TOGETHER);
    tw_total_release(&total);
    total = fixture_total(h, &(tw_choice){.without_count = 1, .without = out});
    assert_close(total.sum.g, 455, 1e-9);
    assert_close(tw_figure_u(&total.sum), 10 / sqrt(6), 1e-9);
    assert_non_null(find_note(&total.notes, "only tasset left is in: weighed"));
    tw_total_release(&total);
    tw_harness_free(h);
}

static void models_stand_beside_weighings(void **state)
{
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *a;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 1e12, 1e12);
    a = fixture_part(&f, "a", "breastplate");
    fixture_piece(&f, a, fixture_plate(&f, "a.yaml", 300, 200, 1.6, 0));
    fixture_weigh(&f, a, 0, 740);
    fixture_piece(&f, fixture_part(&f, "b", "backplate"),
                  fixture_plate(&f, "b.yaml", 300, 200, 1.5, 0));
    fixture_weigh(&f, fixture_part(&f, "c", "gorget"), 0, 500);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);
    assert_int_equal(total.both_count, 1);
    assert_close(total.modelled.g, 753.6, 1e-8);
    assert_close(total.weighed.g, 740, 1e-9);
    assert_close(total.sum.g, 740 + 706.5 + 500, 1e-8);
    assert_string_equal(tw_counted_word(total.counted[1]), "modelled");
    tw_total_release(&total);
    tw_harness_free(h);
}

/* ---- random harnesses, weighed part by part ------------------------------------------------------- */

typedef struct drawn {
    fixture f;
    int64_t mass[FIXTURE_MAX]; /* 1/1024 g */
    size_t scale[FIXTURE_MAX];
    char names[FIXTURE_MAX][32];
} drawn;

/* Parts in 1/1024 g on three checked scales that read true, so that every gram is exact in binary. */
static void draw_harness(drawn *d, test_random *random)
{
    const size_t count = (size_t)test_uniform(random, 1, FIXTURE_MAX);

    fixture_begin(&d->f);
    for (int k = 0; k < 3; k++) {
        static const char *const names[] = {"parcel", "kitchen", "floor"};
        d->f.scales[fixture_scale(&d->f, names[k], test_uniform(random, 0.5, 10), 4096, 4096)]
            .check_uncertainty = test_uniform(random, 0, 20);
    }
    for (size_t k = 0; k < count; k++) {
        d->mass[k] = (int64_t)test_uniform(random, 1, 8e6);
        d->scale[k] = (size_t)test_uniform(random, 0, 3);
        (void)snprintf(d->names[k], sizeof d->names[k], "part %zu", k);
        fixture_weigh(&d->f, fixture_part(&d->f, d->names[k], "breastplate"), d->scale[k],
                      (double)d->mass[k] / 1024);
    }
}

/* Relative u of a scale that reads true: two roundings of its check, and the known weight. */
static double scale_share(const tw_scale_spec *scale)
{
    return hypot(scale->step / sqrt(6) / 4096, scale->check_uncertainty / 4096);
}

/* Sums against 64-bit integers; u² = Σ Σ r(i, j)·uᵢ·uⱼ (JCGM 100:2008, 5.2.2, equation 16), r from the
 * scale that two parts share or not. */
static void sums_are_exact_and_their_u_the_guides(void **state)
{
    test_random random = test_random_begin("sums_are_exact_and_their_u_the_guides");
    static drawn d;

    (void)state;
    for (int trial = 0; trial < 200; trial++) {
        tw_harness *h;
        tw_total total;
        int64_t exact = 0;
        double variance = 0;
        size_t count;
        draw_harness(&d, &random);
        count = d.f.file.part_count;
        h = fixture_build(&d.f);
        total = fixture_total(h, NULL);
        for (size_t i = 0; i < count; i++)
            exact += d.mass[i];
        assert_true(total.sum.g == (double)exact / 1024);
        for (size_t i = 0; i < count; i++) {
            const tw_scale_spec *a = &d.f.scales[d.scale[i]];
            const double gi = (double)d.mass[i] / 1024, si = gi * scale_share(a);
            const double ui = hypot(a->step / sqrt(6), si);
            for (size_t j = 0; j < count; j++) {
                const tw_scale_spec *b = &d.f.scales[d.scale[j]];
                const double gj = (double)d.mass[j] / 1024, sj = gj * scale_share(b);
                const double uj = hypot(b->step / sqrt(6), sj);
                const double r = i == j ? 1 : a == b ? si * sj / (ui * uj) : 0;
                variance += r * ui * uj;
            }
        }
        assert_close(tw_figure_u(&total.sum) / sqrt(variance), 1, 1e-10);
        tw_total_release(&total);
        tw_harness_free(h);
    }
}

/* The order of the file changes nothing; a part out and in again leaves the sum; counted figures add
 * up to the sum. */
static void order_and_detours_change_nothing(void **state)
{
    test_random random = test_random_begin("order_and_detours_change_nothing");
    static drawn d;

    (void)state;
    for (int trial = 0; trial < 30; trial++) {
        const char *one[1];
        tw_harness *h;
        tw_total all, less, again;
        tw_sum sum = {0, 0};
        double left, balance[3];
        size_t count, out;
        draw_harness(&d, &random);
        count = d.f.file.part_count;
        out = (size_t)test_uniform(&random, 0, (double)count);
        one[0] = d.names[out];
        h = fixture_build(&d.f);
        all = fixture_total(h, NULL);
        for (size_t k = 0; k < count; k++)
            tw_sum_add(&sum, all.figure[k].g);
        assert_close(tw_sum_value(&sum) / all.sum.g, 1, 1e-12);
        if (count > 1) {
            less = fixture_total(h, &(tw_choice){.without_count = 1, .without = one});
            assert_close(less.sum.g + all.figure[out].g, all.sum.g, 1e-12 * all.sum.g);
            assert_int_equal(tw_total_without(&all, out, false, &left, balance, NULL), TW_OK);
            assert_close(left / less.sum.g, 1, 1e-12);
            assert_int_equal(tw_figure_add(&less.sum, less.arena, &all.figure[out], 1, NULL),
                             TW_OK);
            assert_close(tw_figure_u(&less.sum) / tw_figure_u(&all.sum), 1, 1e-12);
            tw_total_release(&less);
        }
        again = fixture_total(h, &(tw_choice){.with_count = 1, .with = one});
        assert_true(again.sum.g == all.sum.g);
        assert_true(tw_figure_u(&again.sum) == tw_figure_u(&all.sum));
        tw_total_release(&again);
        tw_harness_free(h);
        for (size_t k = 0; k < count / 2; k++) {
            const tw_part_spec part = d.f.parts[k];
            d.f.parts[k] = d.f.parts[count - 1 - k];
            d.f.parts[count - 1 - k] = part;
        }
        h = fixture_build(&d.f);
        again = fixture_total(h, NULL);
        assert_close(again.sum.g / all.sum.g, 1, 1e-12);
        assert_close(tw_figure_u(&again.sum) / tw_figure_u(&all.sum), 1, 1e-12);
        tw_total_release(&again);
        tw_total_release(&all);
        tw_harness_free(h);
    }
}

/* ---- Monte Carlo over a whole harness -------------------------------------------------------------- */

/* Inputs: density, sheet of a and of b, unit mass of a rivet, the scale's reading of 5 kg, three roundings
 * with their zeros. Masses multiplied out, nothing linear: a and b modelled, c and d weighed. */
enum { RHO, SHEET_A, SHEET_B, RIVET, CHECK, LOAD_C, ZERO_C, LOAD_D, ZERO_D, INPUTS };
static double whole_harness(const double *x, size_t count, void *context)
{
    const double factor = 5000 / (5000 + x[CHECK]);

    (void)count;
    (void)context;
    return x[RHO] * (90000 * x[SHEET_A] + 2 * 40000 * x[SHEET_B]) + (6 + 10) * x[RIVET] +
           factor * (2000 + x[LOAD_C] - x[ZERO_C]) + factor * (3000 + x[LOAD_D] - x[ZERO_D]);
}

static void monte_carlo_of_a_whole_harness_agrees(void **state)
{
    static const tw_budget_row rounding = {
        .name = "rounding", .unit = "g", .distribution = TW_RECTANGULAR, .freedom = INFINITY};
    fixture f;
    tw_harness *h;
    tw_total total;
    tw_part_spec *a, *b;
    tw_budget_row rows[INPUTS];
    tw_monte_carlo draws;

    (void)state;
    fixture_begin(&f);
    f.scales[fixture_scale(&f, "parcel", 5, 5000, 5000)].check_uncertainty = 10;
    a = fixture_part(&f, "a", "breastplate");
    fixture_piece(&f, a, fixture_plate(&f, "a.yaml", 300, 300, 1.6, 0));
    fixture_fitting(&f, a, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.3, 6);
    b = fixture_part(&f, "b", "fauld");
    fixture_piece(&f, b, fixture_plate(&f, "b.yaml", 400, 100, 1.2, 0))->count = 2;
    fixture_fitting(&f, b, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.3, 10);
    fixture_weigh(&f, fixture_part(&f, "c", "backplate"), 0, 2000);
    fixture_weigh(&f, fixture_part(&f, "d", "culet"), 0, 3000);
    h = fixture_build(&f);
    total = fixture_total(h, NULL);

    for (int k = 0; k < INPUTS; k++)
        rows[k] = rounding;
    rows[RHO].value = DENSITY;
    rows[RHO].u = DENSITY_U;
    rows[SHEET_A].value = 1.6;
    rows[SHEET_B].value = 1.2;
    rows[SHEET_A].u = rows[SHEET_B].u = 0.1 / sqrt(3);
    rows[RIVET].value = 1.5;
    rows[RIVET].u = 0.3;
    rows[CHECK].u = hypot(5 / sqrt(6), 10);
    for (int k = LOAD_C; k < INPUTS; k++)
        rows[k].u = 5 / sqrt(12);
    assert_int_equal(
        tw_monte_carlo_run(whole_harness, NULL, rows, INPUTS, 200000, 11, 1, 0.95, &draws, NULL),
        TW_OK);
    assert_close(draws.mean / total.sum.g, 1, 1e-3);
    assert_close(draws.u / tw_figure_u(&total.sum), 1, 0.01);
    tw_total_release(&total);
    tw_harness_free(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weighed_together_is_shared_by_the_models),
        cmocka_unit_test(one_out_breaks_up_what_was_weighed_together),
        cmocka_unit_test(one_by_one_and_together_check_each_other),
        cmocka_unit_test(own_weighings_are_taken_out_first),
        cmocka_unit_test(the_rest_of_a_pair_is_known),
        cmocka_unit_test(an_unused_weighing_is_named),
        cmocka_unit_test(the_larger_weighing_goes_first),
        cmocka_unit_test(a_profiles_own_weight_gives_way),
        cmocka_unit_test(models_stand_beside_weighings),
        cmocka_unit_test(sums_are_exact_and_their_u_the_guides),
        cmocka_unit_test(order_and_detours_change_nothing),
        cmocka_unit_test(monte_carlo_of_a_whole_harness_agrees),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
