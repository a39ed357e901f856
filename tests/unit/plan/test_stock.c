/*
 * test_stock.c: sheets ranked from one layout, against blank formulas, direct layouts of other sheets,
 * sums by hand and tables of tolerances.
 */
#include "stock_blank.h"

#include "plan/stock_internal.h"

/* Thickness held means area held: D = √(d² + 4h²) for a segment, 233.238076 mm for d = 200 and
 * h = 60 mm (Machinery's Handbook, blank formulas of the drawing chapter; they assume the thickness
 * unchanged). Of a sheet t the same metal is a disc √(1.5/t) as wide: volume kept. */
static void even_caps_have_discs_of_their_area(void **state)
{
    static const double sheets[] = {1.2, 1.25, 1.5, 1.6, 1.8, 2.0};
    test_blank *made = test_blank_make(CAP_EVEN, 1.5, 0, 1300);
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){0});

    (void)state;
    for (size_t k = 0; k < sizeof sheets / sizeof *sheets; k++) {
        const tw_stock_choice *row = test_sheet(&ranking, sheets[k]);
        const double wanted = 233.238076 * sqrt(1.5 / sheets[k]);
        assert_close(row->box_mm[0], wanted, 2e-3 * wanted);
        assert_close(row->box_mm[1], wanted, 2e-3 * wanted);
        assert_close(row->blank_area_mm2, TW_PI / 4 * wanted * wanted, 2e-3 * wanted * wanted);
    }
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

/* Metal keeps its volume: blank area × t is the plate's metal, whatever the sheet. Held area gives the
 * hoop stretch 0.857493 at the rim of this cap and its inverse along the meridian (derived: 1/√(1 + q²),
 * q = 0.6); of a sheet of t both are √(t/1.5) as great. */
static void volume_is_kept_by_every_sheet(void **state)
{
    test_blank *even = test_blank_make(CAP_EVEN, 1.5, 0, 1300);
    test_blank *graded = test_blank_make(CAP_GRADED, 1.6, 0, 1300);
    tw_stock_ranking first = test_rank(even, &(tw_stock_request){0});
    tw_stock_ranking second = test_rank(graded, &(tw_stock_request){.systems = 0x7f});

    (void)state;
    for (size_t k = 0; k < first.count; k++) {
        const tw_stock_choice *row = &first.choices[k];
        const double longer = sqrt(row->stock.thickness / 1.5);
        assert_close(row->blank_g, even->goal.before_g, 1.5e-3 * even->goal.before_g);
        assert_close(row->mean_stretch, longer, 2e-3);
        assert_close(row->least_stretch, 0.857493 * longer, 0.01);
        assert_close(row->most_stretch, longer / 0.857493, 0.02);
        assert_close(row->thickest_part, 1.5 / row->stock.thickness, 1e-2);
    }
    assert_true(second.count > 40);
    for (size_t k = 0; k < second.count; k++)
        assert_close(second.choices[k].blank_area_mm2 * second.choices[k].stock.thickness * STEEL,
                     graded->goal.before_g, 2e-3 * graded->goal.before_g);
    tw_stock_ranking_release(&first);
    tw_stock_ranking_release(&second);
    test_blank_free(even);
    test_blank_free(graded);
}

/* What the rows of other sheets claim, beside layouts made for those sheets. */
static void one_layout_serves_every_sheet(void **state)
{
    static const double sheets[] = {1.2, 2.0, 2.5};
    test_blank *made = test_blank_make(CAP_GRADED, 1.6, 0, 1300);
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){.low_mm = 1, .high_mm = 4});

    (void)state;
    for (size_t k = 0; k < sizeof sheets / sizeof *sheets; k++) {
        const tw_stock_choice *row = test_sheet(&ranking, sheets[k]);
        test_blank *direct = test_blank_make(CAP_GRADED, sheets[k], 0, 1300);
        const tw_layout *layout = direct->blank.layout;
        assert_close(row->work, layout->work, 1e-3 * layout->work);
        assert_close(row->blank_area_mm2, layout->blank_area, 1e-3 * layout->blank_area);
        assert_close(row->most_stretch, layout->most_stretch, 5e-3);
        assert_close(row->least_stretch, layout->least_stretch, 5e-3);
        assert_close(row->box_mm[0], direct->blank.box_mm[0], 2e-3 * row->box_mm[0]);
        test_blank_free(direct);
    }
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

/* The row of the layout's own sheet is what the layout says, to the last figures. */
static void own_sheet_has_the_figures_of_its_blank(void **state)
{
    test_blank *made = test_blank_make(CAP_GRADED, 1.6, 8, 1300);
    const tw_blank *blank = &made->blank;
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){0});
    const tw_stock_choice *row = test_sheet(&ranking, 1.6);
    size_t own = 0;

    (void)state;
    assert_close(row->blank_area_mm2, blank->net_area_mm2 + blank->trim_area_mm2, 1e-6);
    assert_close(row->box_mm[0], blank->box_mm[0], 1e-9);
    assert_close(row->box_mm[1], blank->box_mm[1], 1e-9);
    assert_close(row->work, blank->layout->work, 1e-9 * row->work);
    assert_close(row->thickest_part, blank->thickest_part, 1e-12);
    assert_close(row->most_stretch, blank->layout->most_stretch, 1e-12);
    assert_close(row->blank_g, blank->blank_g, 1e-9 * row->blank_g);
    assert_close(row->draw_g, blank->draw_g, 1e-9 * row->draw_g);
    assert_close(row->gather_g, blank->gather_g, 1e-9 * row->draw_g);
    assert_close(row->drawn_share, blank->drawn_share, 1e-12);
    assert_close(row->gathered_share, blank->gathered_share, 1e-12);
    for (size_t k = 0; k < ranking.count; k++)
        if (ranking.choices[k].own) {
            assert_true(ranking.choices[k].stock.by_gauge);
            assert_int_equal(ranking.choices[k].stock.number, 16);
            own++;
        }
    assert_int_equal(own, 1);
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

/* Whichever sheet the layout was made for, the list is the same. */
static void ranking_does_not_depend_on_the_layouts_sheet(void **state)
{
    const tw_stock_request request = {.systems = 0x7f, .sheet_mm = {500, 500}};
    test_blank *thin = test_blank_make(CAP_GRADED, 1.2, 5, 1300);
    test_blank *thick = test_blank_make(CAP_GRADED, 2.4, 5, 1300);
    tw_stock_ranking first = test_rank(thin, &request), second = test_rank(thick, &request);

    (void)state;
    assert_int_equal(first.count, second.count);
    for (size_t k = 0; k < first.count; k++) {
        const tw_stock_choice *a = &first.choices[k], *b = &second.choices[k];
        assert_close(a->stock.thickness, b->stock.thickness, 1e-12);
        assert_int_equal(a->possible, b->possible);
        assert_close(a->work, b->work, 5e-3 * b->work);
        assert_close(a->blank_g, b->blank_g, 1.5e-3 * b->blank_g);
        assert_int_equal(a->per_sheet, b->per_sheet);
    }
    tw_stock_ranking_release(&first);
    tw_stock_ranking_release(&second);
    test_blank_free(thin);
    test_blank_free(thick);
}

/* Possible ones first by work, the others by how far they miss; work is least near the mean. */
static void possible_ones_come_first(void **state)
{
    test_blank *made = test_blank_make(CAP_GRADED, 1.6, 0, 1300);
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){.systems = 0x7f});
    bool still = true;

    (void)state;
    for (size_t k = 0; k < ranking.count; k++) {
        const tw_stock_choice *row = &ranking.choices[k];
        const bool fine = row->thickest_part <= 1.1 * 1.001 && row->thinnest_part >= 0.5 * 0.999;
        assert_int_equal(row->possible, fine);
        assert_true(still || !row->possible);
        still = row->possible;
        if (k > 0 && row->possible)
            assert_true(row->work >= ranking.choices[k - 1].work);
        if (k > 0 && !row->possible && !ranking.choices[k - 1].possible) {
            const tw_stock_choice *before = &ranking.choices[k - 1];
            assert_true(fmax(row->thickest_part / 1.1, 0.5 / row->thinnest_part) * (1 + 1e-9) >=
                        fmax(before->thickest_part / 1.1, 0.5 / before->thinnest_part));
        }
    }
    assert_true(ranking.choices[0].possible && !still);
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

/* EN 10131:2006, normal tolerance, sheet up to 1200 mm wide. Copper is in no table of steel sheet. */
static void tolerances_are_of_the_tables(void **state)
{
    static const double table[][2] = {{1.2, 0.06}, {1.5, 0.08}, {1.6, 0.08},
                                      {2.0, 0.10}, {2.5, 0.12}, {3.0, 0.15}};
    test_blank *made = test_blank_make(CAP_GRADED, 1.6, 0, 400);
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){.low_mm = 1, .high_mm = 8});

    (void)state;
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        assert_close(test_sheet(&ranking, table[k][0])->tolerance_mm, table[k][1], 1e-12);
        assert_int_equal(test_sheet(&ranking, table[k][0])->tolerance_by, TW_USUAL_COLD_ROLLED);
    }
    assert_int_equal(test_sheet(&ranking, 4)->tolerance_by, TW_USUAL_HOT_ROLLED);
    assert_true(isnan(test_sheet(&ranking, 8)->tolerance_mm));
    tw_stock_ranking_release(&ranking);
    made->of.profile->material = "copper";
    ranking = test_rank(made, &(tw_stock_request){0});
    assert_true(isnan(test_sheet(&ranking, 1.5)->tolerance_mm));
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

/* By hand: of 1000 × 500 mm, two columns of 200 and 300 mm across the short side hold 3 and 5 of
 * 300 × 200 mm. Property: turning sheet or box changes nothing, and no more than the area holds. */
static void rectangles_fit_a_sheet(void **state)
{
    const double sheet[2] = {1000, 500}, exact[2] = {500, 250}, large[2] = {1001, 100};
    test_random random = test_random_begin("rectangles_fit_a_sheet");

    (void)state;
    assert_int_equal(tw_boxes_in_sheet(sheet, (double[]){300, 200}), 8);
    assert_int_equal(tw_boxes_in_sheet(sheet, exact), 4);
    assert_int_equal(tw_boxes_in_sheet(sheet, large), 0);
    assert_close(tw_box_over_sheet(sheet, large), 1.001, 1e-12);
    for (int trial = 0; trial < 500; trial++) {
        const double a = test_uniform(&random, 40, 1200), b = test_uniform(&random, 40, 1200);
        const double w = test_uniform(&random, 300, 2000), h = test_uniform(&random, 300, 2000);
        const size_t count = tw_boxes_in_sheet((double[]){w, h}, (double[]){a, b});
        const size_t rows = (size_t)(w / a) * (size_t)(h / b);
        assert_int_equal(count, tw_boxes_in_sheet((double[]){h, w}, (double[]){a, b}));
        assert_int_equal(count, tw_boxes_in_sheet((double[]){w, h}, (double[]){b, a}));
        assert_true((double)count * a * b <= w * h * (1 + 1e-9) && count >= rows);
        assert_int_equal(count == 0, tw_box_over_sheet((double[]){w, h}, (double[]){a, b}) > 1);
    }
}

/* A flat plate of 200 × 100 mm from its own thickness is its own blank. By hand: with a strip of 10 mm it
 * takes 220 × 120 mm, 20000 + 600·10 + π·10² mm²; 500 × 500 mm holds 2 × 4 and, in the 60 mm that are
 * left, none: turned columns of 120 do no better than 4 × 2. */
static void offcuts_by_hand(void **state)
{
    test_blank *bare = test_blank_make(FLAT_EVEN, 1.5, 0, 400);
    test_blank *strip = test_blank_make(FLAT_EVEN, 1.5, 10, 400);
    const tw_stock_request none = {0}, square = {.sheet_mm = {500, 500}};
    tw_stock_ranking ranking = test_rank(bare, &none);
    const tw_stock_choice *row = test_sheet(&ranking, 1.5);
    const double area = 20000 + 6000 + TW_PI * 100;

    (void)state;
    assert_int_equal(row->per_sheet, 0);
    assert_close(row->offcut_share, 0, 1e-3);
    assert_true(row == ranking.choices && row->possible);
    assert_string_equal(row->reason, "least work: nothing drawn out or gathered");
    tw_stock_ranking_release(&ranking);

    ranking = test_rank(bare, &square);
    row = test_sheet(&ranking, 1.5);
    /* 200 × 100 in 500 × 500: 2 × 5, and in the 100 mm left 2 upright: 12, 0.04 of the sheet left */
    assert_int_equal(row->per_sheet, 12);
    assert_close(row->offcut_share, 0.04, 1e-3);
    assert_close(row->offcut_g, 0.04 * 250000 * 1.5 * STEEL, 5);
    tw_stock_ranking_release(&ranking);

    ranking = test_rank(strip, &square);
    row = test_sheet(&ranking, 1.5);
    assert_int_equal(row->per_sheet, 8);
    assert_close(row->blank_area_mm2, area, 1e-3 * area);
    assert_close(row->offcut_share, 1 - 8 * area / 250000, 1e-3);
    /* of 1.6 mm sheet the net lines are √(1.5/1.6) as long, the strip is 10 mm wide still */
    row = test_sheet(&ranking, 1.6);
    assert_close(row->blank_area_mm2, 20000 * 1.5 / 1.6 + 6000 * sqrt(1.5 / 1.6) + TW_PI * 100, 30);
    assert_close(row->box_mm[0], 200 * sqrt(1.5 / 1.6) + 20, 0.2);
    tw_stock_ranking_release(&ranking);
    test_blank_free(bare);
    test_blank_free(strip);
}

/* 2.2 mm from 2 mm sheet is gathered to 1.1 times it, 1 mm drawn out to half: just within limits of 10 and
 * 50 %, whatever the layout leaves of its 0.1 %. */
static void a_limit_met_is_not_missed(void **state)
{
    static const char cap[] =
        "plate: t\nmaterial: mild steel\nruler: mm\n"
        "form: {bowl: {across: 90 mm, up: 70 mm, depth: 40 mm}}\noutline: rim\nthickness:\n  "
        "forged:\n"
        "    strike: [{name: heart, at: [10, 10], radius: 30 mm, thickness: 2.2 mm}]\n"
        "    edges: [{edge: all, thickness: 1 mm}]\n";
    test_blank *made = test_blank_make(cap, 1.5, 0, 1300);
    tw_stock_ranking ranking = test_rank(made, &(tw_stock_request){0});

    (void)state;
    assert_true(test_sheet(&ranking, 2)->possible);
    assert_false(test_sheet(&ranking, 1.8)->possible);
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

static void reasons_are_sentences(void **state)
{
    test_blank *made = test_blank_make(FLAT_EVEN, 1.5, 0, 400);
    tw_stock_ranking ranking =
        test_rank(made, &(tw_stock_request){.low_mm = 1, .high_mm = 4, .sheet_mm = {180, 120}});

    (void)state;
    /* 200 mm · √(1.5/1.6) is over 180 mm; of 2 mm sheet it is 173.2 mm */
    assert_string_equal(test_sheet(&ranking, 1.6)->reason, "does not fit 180 mm × 120 mm");
    assert_true(test_sheet(&ranking, 2)->possible);
    assert_string_equal(test_sheet(&ranking, 1)->reason,
                        "it would have to be gathered to 1.50 times the sheet; "
                        "does not fit 180 mm × "
                        "120 mm");
    assert_string_equal(test_sheet(&ranking, 3.5)->reason,
                        "it would have to be drawn out to 0.43 of the sheet");
    /* even 2.5 mm sheet drawn out to 1.5: (2.5 − 1.5) mm of 200 × 100 mm of steel are 157 g */
    assert_non_null(strstr(test_sheet(&ranking, 2.5)->reason, "157 g drawn out, nothing gathered"));
    tw_stock_ranking_release(&ranking);
    ranking = test_rank(made, &(tw_stock_request){.sheet_mm = {127, 127}, .units = TW_INCH});
    assert_string_equal(test_sheet(&ranking, 1.5)->reason, "does not fit 5 in × 5 in");
    tw_stock_ranking_release(&ranking);
    test_blank_free(made);
}

static void what_cannot_be_is_said(void **state)
{
    test_blank *made = test_blank_make(FLAT_EVEN, 1.5, 0, 400);
    const tw_stock_request wrong[] = {
        {.sheet_mm = {500, 0}},      {.sheet_mm = {-500, 500}},
        {.sheet_mm = {NAN, 500}},    {.low_mm = 20, .high_mm = 30},
        {.low_mm = 3, .high_mm = 2}, {.systems = 1u << TW_GAUGE_BG, .low_mm = 2, .high_mm = 3}};
    tw_stock_ranking ranking;
    tw_error err;

    (void)state;
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++)
        assert_int_equal(tw_stock_rank(&made->blank, &wrong[k], &ranking, &err), TW_ERR_DOMAIN);
    test_blank_free(made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(even_caps_have_discs_of_their_area),
        cmocka_unit_test(volume_is_kept_by_every_sheet),
        cmocka_unit_test(one_layout_serves_every_sheet),
        cmocka_unit_test(own_sheet_has_the_figures_of_its_blank),
        cmocka_unit_test(ranking_does_not_depend_on_the_layouts_sheet),
        cmocka_unit_test(possible_ones_come_first),
        cmocka_unit_test(tolerances_are_of_the_tables),
        cmocka_unit_test(rectangles_fit_a_sheet),
        cmocka_unit_test(offcuts_by_hand),
        cmocka_unit_test(a_limit_met_is_not_missed),
        cmocka_unit_test(reasons_are_sentences),
        cmocka_unit_test(what_cannot_be_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
