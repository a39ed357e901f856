/* test_card.c: points to gauge: where they stand, their windows, and how sure they make the mass. */
#include "plates.h"

#include "plan/plan_internal.h"

#include <stdlib.h>

typedef struct made_card {
    test_plate made;
    tw_goal goal;
    tw_card card;
} made_card;

static made_card card_make(const char *text, size_t cells, double polish, size_t count,
                           double reach)
{
    made_card m = {.made = test_plate_make(text, cells)};
    tw_error err = {0};

    m.made.profile->losses.polish = (tw_loss){polish, 0};
    if (tw_goal_make(m.made.plate, NULL, NULL, 1, &m.goal, &err) != TW_OK ||
        tw_card_make(&m.goal, count, 0, reach, &m.card, &err) != TW_OK)
        fail_msg("%s", err.message);
    return m;
}

static void card_free(made_card *m)
{
    tw_card_release(&m->card);
    tw_goal_release(&m->goal);
    test_plate_free(&m->made);
}

static const tw_check_point *of_zone(const tw_card *card, const char *zone)
{
    for (size_t k = 0; k < card->count; k++)
        if (card->points[k].zone && strcmp(card->points[k].zone, zone) == 0)
            return &card->points[k];
    fail_msg("no point for zone %s", zone);
    return NULL;
}

static void zones_and_the_thinnest_place_come_first(void **state)
{
    made_card m = card_make(RECTANGLE, 96, 0.05, 3, INFINITY);
    const tw_check_point *one = of_zone(&m.card, "one"), *two = of_zone(&m.card, "two");

    (void)state;
    assert_int_equal(m.card.count, 3);
    assert_close(hypot(one->tape[0] + 50, one->tape[1] - 20), 0, 1e-9);
    assert_close(hypot(two->tape[0] - 60, two->tape[1] + 30), 0, 1e-9);
    assert_close(one->finished_mm, 2.4, 1e-9);
    assert_close(one->rough_mm, 2.5, 1e-9); /* polish comes off both sides */
    /* the thinnest is by the lower edge, as near to it as a foot may stand */
    for (size_t k = 0; k < 3; k++)
        if (!m.card.points[k].zone) {
            assert_true(m.card.points[k].tape[1] <= -80);
            assert_true(m.card.points[k].finished_mm < 1.6);
        }
    card_free(&m);
}

static void windows_keep_what_is_required(void **state)
{
    made_card m = card_make(RECTANGLE, 96, 0.05, 12, INFINITY);

    (void)state;
    assert_close(m.card.window_mm, TW_CARD_WINDOW, 0);
    for (size_t k = 0; k < m.card.count; k++) {
        const tw_check_point *p = &m.card.points[k];
        const double least = p->zone ? (strcmp(p->zone, "one") == 0 ? 2.4 : 2.0) : 0;
        assert_close(p->rough_mm - p->finished_mm, 0.1, 1e-9);
        assert_close(p->rough_high_mm, p->rough_mm + 0.1, 1e-12);
        assert_close(p->finished_low_mm, p->zone ? least : p->finished_mm - 0.1, 1e-6);
        assert_close(p->rough_low_mm, p->zone ? least + 0.1 : p->rough_mm - 0.1, 1e-6);
    }
    card_free(&m);
}

static void a_planned_map_is_nowhere_under_its_least(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 48);
    const tw_plan_request request = test_request(1.2, 1 / 40.0);
    tw_plan *plan = test_plan_open(&made);
    tw_least least;
    tw_goal goal;
    tw_card card;
    tw_error err;
    size_t held = 0;

    (void)state;
    assert_int_equal(tw_plan_least(plan, &request, &least, &err), TW_OK);
    assert_int_equal(tw_goal_make(made.plate, &least, NULL, 1, &goal, &err), TW_OK);
    assert_int_equal(tw_card_make(&goal, 20, 0.15, INFINITY, &card, &err), TW_OK);
    for (size_t k = 0; k < card.count; k++) {
        const tw_check_point *p = &card.points[k];
        assert_true(p->finished_low_mm >= 1.2 - 1e-9);
        held += p->finished_mm - 0.15 < 1.2 - 1e-6;
    }
    assert_true(held > 0); /* the least did bind somewhere */
    tw_card_release(&card);
    tw_goal_release(&goal);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* Flat disc of 100 mm with a hole: distances from edge and hole are radii. */
static void feet_stand_clear_and_within_reach(void **state)
{
    const char *text = DISC_EDGE "holes: [{at: [0, -70], radius: 4 mm}]\n";
    made_card m = card_make(text, 128, 0, 30, 40);

    (void)state;
    assert_int_equal(m.card.count, 30);
    for (size_t k = 0; k < m.card.count; k++) {
        const double *at = m.card.points[k].tape, r = hypot(at[0], at[1]);
        assert_true(r <= 94.05 && r >= 59.95);
        assert_true(hypot(at[0], at[1] + 70) >= 9.95);
        assert_close(fmod(fabs(at[0]), 5), 0, 1e-9);
        assert_close(fmod(fabs(at[1]), 5), 0, 1e-9);
        assert_true(m.card.points[k].zone == NULL); /* the heart is out of reach */
    }
    card_free(&m);
}

static void numbers_run_from_low_to_up_and_left_to_right(void **state)
{
    made_card m = card_make(RECTANGLE, 64, 0, 20, INFINITY);
    const double row = 0.5 * sqrt(240.0 * 180 / 20);

    (void)state;
    for (size_t k = 0; k < m.card.count; k++) {
        assert_int_equal(atoi(m.card.points[k].name), k + 1);
        if (k == 0)
            continue;
        const double *a = m.card.points[k - 1].tape, *b = m.card.points[k].tape;
        assert_true(b[0] > a[0] ? fabs(b[1] - a[1]) <= row + 1e-9 || b[1] > a[1] : b[1] > a[1]);
    }
    card_free(&m);
}

static void each_point_makes_the_mass_surer(void **state)
{
    made_card few = card_make(DISC_EDGE, 64, 0, 6, INFINITY);
    made_card many = card_make(DISC_EDGE, 64, 0, 40, INFINITY);
    double least = INFINITY;

    (void)state;
    assert_close(few.card.sd_before_g, many.card.sd_before_g, 0);
    assert_true(few.card.sd_after_g < 0.5 * few.card.sd_before_g);
    assert_true(many.card.sd_after_g < few.card.sd_after_g);
    for (size_t k = 0; k < many.card.count; k++)
        least = fmin(least, many.card.points[k].sd_after_g);
    assert_close(least, many.card.sd_after_g, 0);
    card_free(&few);
    card_free(&many);
}

/* An even offset alone (process amplitude → 0): n readings of noise σ leave the offset's variance
 * 1/(1/τ² + n/σ²), and the mass that times the square of its weights. Source: conjugate normal mean. */
static void an_offset_alone_is_a_mean(void **state)
{
    const tw_card_prior prior = {.offset = 0.15, .amplitude = 0, .scale = 60, .noise = 0.1};
    double position[3][3] = {{0, 0, 0}, {50, 0, 0}, {0, 70, 0}}, weight[3] = {2, 3, 5};
    const tw_card_sum sum = {.count = 3, .position = position, .weight = weight};
    tw_arena *arena = tw_arena_new();
    tw_card_choice choice;

    (void)state;
    assert_int_equal(tw_card_choice_begin(&prior, &sum, 3, (const double(*)[3])position, 3, arena,
                                          &choice, NULL),
                     TW_OK);
    for (size_t n = 0; n <= 3; n++) {
        assert_close(choice.left, 100 / (1 / (0.15 * 0.15) + (double)n / 0.01), 1e-10);
        if (n < 3)
            tw_card_choice_take(&choice, n);
    }
    tw_arena_free(arena);
}

/* With nothing known of the offset (standard deviation → ∞) it is the even trend of universal kriging, so
 * that tw_krige_sum() at the same points, blocks, scale and amplitude has the same standard deviation. */
static void the_variance_is_that_of_kriging(void **state)
{
    made_card m = card_make(RECTANGLE, 64, 0, 15, INFINITY);
    const tw_card_prior prior = {.offset = 300, .amplitude = 0.15, .scale = 60, .noise = 0.1044};
    const tw_grid *grid = m.made.plate->grid;
    tw_arena *arena = tw_arena_new();
    double *slope = tw_arena_array(arena, tw_grid_cells(grid), sizeof *slope);
    double position[15][3], value[15], noise[15], basis[15], *ones, total, sd;
    tw_krige_data data = {.count = 15,
                          .position = (const double(*)[3])position,
                          .value = value,
                          .noise = noise,
                          .basis_count = 1,
                          .basis = basis,
                          .scale = 60,
                          .amplitude = 0.15};
    tw_krige *krige = NULL;
    tw_card_sum sum;
    tw_card_choice choice;
    tw_error err = {0};

    (void)state;
    tw_cell_mass_slopes(grid, m.goal.map.cell, m.goal.map.node, TW_FACE_OUTSIDE, 7.85e-3, slope);
    assert_int_equal(tw_card_gather(grid, slope, arena, &sum, &err), TW_OK);
    ones = tw_arena_array(arena, sum.count, sizeof *ones);
    for (size_t b = 0; b < sum.count; b++)
        ones[b] = 1;
    for (size_t k = 0; k < 15; k++) {
        tw_face_point face;
        tw_form_at(m.made.plate->form, m.card.points[k].tape[0], m.card.points[k].tape[1], &face);
        memcpy(position[k], face.position, sizeof position[k]);
        value[k] = 1.5 + 0.01 * (double)k;
        noise[k] = prior.noise;
        basis[k] = 1;
    }
    assert_int_equal(tw_card_choice_begin(&prior, &sum, 15, (const double(*)[3])position, 15, arena,
                                          &choice, &err),
                     TW_OK);
    for (size_t k = 0; k < 15; k++)
        tw_card_choice_take(&choice, k);
    assert_int_equal(tw_krige_fit(&data, &krige, &err), TW_OK);
    assert_int_equal(tw_krige_sum(krige, sum.count, (const double(*)[3])sum.position, ones,
                                  sum.weight, 1, &total, &sd, &err),
                     TW_OK);
    assert_close(sqrt(choice.left), sd, 1e-6 * sd);
    tw_krige_free(krige);
    tw_arena_free(arena);
    card_free(&m);
}

static double left_with(const tw_card_prior *prior, const tw_card_sum *sum, size_t count,
                        const double (*position)[3], size_t a, size_t b)
{
    tw_arena *arena = tw_arena_new();
    tw_card_choice choice;
    double left;

    assert_int_equal(tw_card_choice_begin(prior, sum, count, position, 2, arena, &choice, NULL),
                     TW_OK);
    tw_card_choice_take(&choice, a == SIZE_MAX ? tw_card_choice_best(&choice) : a);
    tw_card_choice_take(&choice, b == SIZE_MAX ? tw_card_choice_best(&choice) : b);
    left = choice.left;
    tw_arena_free(arena);
    return left;
}

/* Two points of all pairs on a small plate: what greedy takes off is at least 1 − 1/e of the best. */
static void greedy_is_near_the_best_pair(void **state)
{
    made_card m = card_make(RECTANGLE, 24, 0, 2, INFINITY);
    const tw_card_prior prior = {.offset = 0.15, .amplitude = 0.15, .scale = 60, .noise = 0.1044};
    const tw_grid *grid = m.made.plate->grid;
    tw_arena *arena = tw_arena_new();
    double *slope = tw_arena_array(arena, tw_grid_cells(grid), sizeof *slope);
    tw_card_ground ground;
    tw_card_places places;
    tw_card_sum sum;
    tw_card_choice whole;
    double best = INFINITY, greedy;
    const double(*position)[3];

    (void)state;
    tw_cell_mass_slopes(grid, m.goal.map.cell, m.goal.map.node, TW_FACE_OUTSIDE, 7.85e-3, slope);
    assert_int_equal(tw_card_gather(grid, slope, arena, &sum, NULL), TW_OK);
    assert_int_equal(tw_card_ground_make(m.made.plate, INFINITY, arena, &ground, NULL), TW_OK);
    assert_int_equal(tw_card_places_make(&ground, 10, 40, arena, &places, NULL), TW_OK);
    position = (const double(*)[3])places.position;
    assert_in_range(places.count, 10, 40);
    assert_int_equal(
        tw_card_choice_begin(&prior, &sum, places.count, position, 2, arena, &whole, NULL), TW_OK);
    for (size_t a = 0; a < places.count; a++)
        for (size_t b = a + 1; b < places.count; b++)
            best = fmin(best, left_with(&prior, &sum, places.count, position, a, b));
    greedy = left_with(&prior, &sum, places.count, position, SIZE_MAX, SIZE_MAX);
    print_message("of %g g²: greedy leaves %g, the best of %zu places %g\n", whole.left, greedy,
                  places.count, best);
    assert_true(greedy >= best - 1e-9 * best);
    assert_true(whole.left - greedy >= (1 - exp(-1)) * (whole.left - best));
    tw_arena_free(arena);
    card_free(&m);
}

static void what_cannot_be_is_told(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 32);
    tw_goal goal;
    tw_card card;
    tw_error err;

    (void)state;
    assert_int_equal(tw_goal_make(made.plate, NULL, NULL, 1, &goal, &err), TW_OK);
    assert_int_equal(tw_card_make(&goal, 61, 0, INFINITY, &card, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_card_make(&goal, 0, -0.1, INFINITY, &card, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_card_make(&goal, 0, NAN, INFINITY, &card, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_card_make(&goal, 0, 0, 0, &card, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_card_make(&goal, 0, 0, 4, &card, &err), TW_ERR_DOMAIN);
    assert_non_null(strstr(err.message, "within 4 mm of the edge"));
    tw_goal_release(&goal);
    test_plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(zones_and_the_thinnest_place_come_first),
        cmocka_unit_test(windows_keep_what_is_required),
        cmocka_unit_test(a_planned_map_is_nowhere_under_its_least),
        cmocka_unit_test(feet_stand_clear_and_within_reach),
        cmocka_unit_test(numbers_run_from_low_to_up_and_left_to_right),
        cmocka_unit_test(each_point_makes_the_mass_surer),
        cmocka_unit_test(an_offset_alone_is_a_mean),
        cmocka_unit_test(the_variance_is_that_of_kriging),
        cmocka_unit_test(greedy_is_near_the_best_pair),
        cmocka_unit_test(what_cannot_be_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
