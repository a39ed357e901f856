/* Readings of the work: grams in closed form on even plates, what is conserved, what is refused. */
#include "gauged.h"

#include <stdlib.h>

static void assert_conserved(const tw_gauging *g)
{
    assert_close(g->total_g - g->trim_g - g->grind_g, g->finished_g, 1e-9 * g->total_g);
    assert_close(g->now_g - g->move_g - g->grind_g, g->finished_g, 1e-9 * g->total_g);
}

/* 0.2 mm over 2.1 mm everywhere: moved 0.2·A·ρ; the strip is 4·200·8 mm at 2.1 mm; polish 0.1·A·ρ. */
static void an_even_plate_too_thick_is_moved_trimmed_and_ground(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_reads_even(&readings, 2.3);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_close(g.stage_g, 2.1 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.now_g, 2.3 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.move_g, 0.2 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.strip_g, 800 * 8 * 2.1 * STEEL, 1e-6);
    assert_close(g.trim_g, g.move_g + g.strip_g, 1e-9);
    assert_close(g.grind_g, 0.1 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.finished_g, 2 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.wanted_g, g.finished_g, 1e-6);
    assert_close(g.lacking_g, 0, 0);
    assert_int_equal(g.todo_count[TW_TODO_STRETCH], 9);
    assert_conserved(&g);
    for (size_t n = 0; n < made.plate.plate->grid->nu * made.plate.plate->grid->nv; n++)
        assert_close(g.over[n], 0.2, 1e-9);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* The scale weighs the strip too: it is not counted beside it. */
static void a_weighing_tells_the_trim_with_the_strip_in_it(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_reads_even(&readings, 2.3);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 850);
    assert_close(g.total_g, 850, 0);
    assert_close(g.trim_g, 850 - 2.1 * EVEN_AREA * STEEL, 1e-6);
    assert_conserved(&g);
    tw_gauging_release(&g);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 400); /* less than the outline holds */
    assert_close(g.trim_g, 0, 0);
    assert_close(g.finished_g, 2 * EVEN_AREA * STEEL, 1e-6);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* Within the window nothing is moved; what is over stays, less the polish. */
static void what_lies_within_its_window_is_left(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_reads_even(&readings, 2.15);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_int_equal(g.todo_count[TW_TODO_LEAVE], 9);
    assert_close(g.move_g, 0, 0);
    assert_close(g.trim_g, g.strip_g, 1e-9);
    assert_close(g.finished_g, 2.05 * EVEN_AREA * STEEL, 1e-6);
    assert_conserved(&g);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* Once hammering is over what is over the finished thickness is ground, polish in it; nothing spreads. */
static void a_hammered_plate_is_ground_down(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_reads_even(&readings, 2.3);
    g = test_gauge(&made, &readings, TW_STAGE_FINISH, 0);
    assert_close(g.stage_g, 2 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.grind_g, 0.3 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.move_g, 0, 0);
    assert_close(g.trim_g, 0, 1e-9);
    assert_close(g.finished_g, 2 * EVEN_AREA * STEEL, 1e-6);
    assert_int_equal(g.todo_count[TW_TODO_GRIND], 9);
    assert_conserved(&g);
    tw_gauging_release(&g);
    g = test_gauge(&made, &readings, TW_STAGE_FINISH, 800);
    assert_close(g.trim_g, 800 - 2.3 * EVEN_AREA * STEEL, 1e-6);
    assert_conserved(&g);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

static void what_is_too_thin_is_lacking(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_reads_even(&readings, 1.85);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_int_equal(g.todo_count[TW_TODO_STOP], 9);
    assert_close(g.lacking_g, 0.25 * EVEN_AREA * STEEL, 1e-6);
    assert_close(g.move_g, 0, 0);
    assert_close(g.finished_g, 1.75 * EVEN_AREA * STEEL, 1e-6);
    assert_conserved(&g);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* One spot too thick among nine: mass and ± are those of kriging reading − wanted itself. */
static void one_thick_spot_is_carried_as_kriging_carries_it(void **state)
{
    test_goal made = test_goal_make(EVEN, 24);
    const tw_grid *grid = made.plate.plate->grid;
    const size_t cells = tw_grid_cells(grid);
    double position[9][3], value[9], noise[9], basis[9], sum, sd;
    double(*at)[3] = calloc(cells, sizeof *at);
    double *one = calloc(cells, sizeof *one), *weight = calloc(cells, sizeof *weight);
    test_readings readings;
    tw_gauging g;
    tw_krige *krige = NULL;

    (void)state;
    assert_true(at && one && weight);
    made.plate.profile->density_uncertainty = 0;
    test_reads_even(&readings, 2.1);
    readings.reading[4].thickness = 2.6;
    readings.reading[5].thickness = 2.3;
    for (size_t k = 0; k < 9; k++) {
        position[k][0] = readings.reading[k].at.value[0];
        position[k][1] = readings.reading[k].at.value[1];
        position[k][2] = 0;
        value[k] = readings.reading[k].thickness - 2.1;
        noise[k] = 0.05 / sqrt(12);
        basis[k] = 1;
    }
    for (size_t c = 0; c < cells; c++) {
        at[c][0] = grid->cell_x[c];
        at[c][1] = grid->cell_y[c];
        one[c] = 1;
        weight[c] = grid->area[c] * STEEL;
    }
    assert_int_equal(tw_krige_fit(&(tw_krige_data){.count = 9,
                                                   .position = (const double(*)[3])position,
                                                   .value = value,
                                                   .noise = noise,
                                                   .surface = 0.10,
                                                   .basis_count = 1,
                                                   .basis = basis,
                                                   .scale = NAN,
                                                   .amplitude = NAN},
                                  &krige, NULL),
                     TW_OK);
    assert_int_equal(
        tw_krige_sum(krige, cells, (const double(*)[3])at, one, weight, 1, &sum, &sd, NULL), TW_OK);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_close(g.now_g - g.stage_g, sum, 0.002 * sum + 0.01); /* nodes against midpoints */
    assert_close(g.now_u_g, sd, 1e-5 * sd);
    assert_conserved(&g);
    assert_int_equal(g.todo_count[TW_TODO_STRETCH], 2);
    assert_true(g.move_g > 0 && g.move_g < 0.5 * EVEN_AREA * STEEL);
    tw_krige_free(krige);
    free(at);
    free(one);
    free(weight);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* Random readings of a bowl: the grams of cells add up, whatever is read. */
static void grams_add_up_on_a_bowl(void **state)
{
    static const char bowl[] =
        HEAD "form: {bowl: {across: 120 mm, depth: 50 mm}}\noutline: rim\n"
             "thickness:\n  forged:\n"
             "    strike: [{name: crown, at: [0, 0], radius: 30 mm, thickness: 2 mm}]\n"
             "    edges: [{edge: all, thickness: 1.2 mm}]\n"
             "losses: {polish: 0.04 mm, trim: 5 mm}\n";
    test_random random = test_random_begin("grams_add_up_on_a_bowl");
    test_goal made = test_goal_make(bowl, 32);

    (void)state;
    for (int trial = 0; trial < 12; trial++) {
        test_readings readings;
        tw_gauging g;
        test_readings_begin(&readings);
        for (int k = 0; k < 6 + trial; k++) {
            const double r = 100 * sqrt(test_uniform(&random, 0, 1)),
                         turn = test_uniform(&random, 0, 2 * TW_PI);
            test_reads(&readings, r * cos(turn), r * sin(turn), test_uniform(&random, 0.9, 2.6));
        }
        g = test_gauge(&made, &readings, trial % 2 ? TW_STAGE_FINISH : TW_STAGE_HAMMER, 0);
        assert_conserved(&g);
        assert_true(g.move_g >= 0 && g.grind_g >= 0 && g.trim_g >= 0 && g.lacking_g >= 0);
        if (trial % 2 == 0)
            assert_close(g.trim_g, g.move_g + g.strip_g, 1e-9 * g.total_g);
        tw_gauging_release(&g);
    }
    test_goal_free(&made);
}

/* Present mass is wanted and what is over, cell by cell: exact on a flat plate without cut cells. */
static void the_present_is_wanted_and_what_is_over(void **state)
{
    test_goal made = test_goal_make(EVEN, 20);
    const tw_grid *grid = made.plate.plate->grid;
    double *over = calloc(tw_grid_cells(grid), sizeof *over);
    test_readings readings;
    tw_gauging g;
    tw_sum sum = {0, 0};

    (void)state;
    assert_non_null(over);
    test_reads_even(&readings, 2.1);
    readings.reading[0].thickness = 1.9;
    readings.reading[8].thickness = 2.5;
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_int_equal(grid->cut_count, 0);
    tw_grid_to_cells(grid, g.over, over);
    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        tw_sum_add(&sum, grid->area[c] * over[c]);
    assert_close(g.now_g, g.stage_g + STEEL * tw_sum_value(&sum), 1e-9 * g.now_g);
    free(over);
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* A window is not under what a strike zone is to have; beside it, it is. */
static void a_strike_zone_may_not_be_under(void **state)
{
    test_goal made = test_goal_make(DISC_EDGE, 40);
    test_readings readings;
    tw_gauging g;

    (void)state;
    test_readings_begin(&readings);
    test_reads(&readings, 0, 0, 2.55);
    test_reads(&readings, 0, 20, 2.6);
    test_reads(&readings, 0, 99, 1.15);
    test_reads(&readings, 10, 0, 2.75);
    g = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_true(g.few);
    assert_close(g.points[0].low_mm, 2.6, 1e-9);
    assert_close(g.points[0].high_mm, 2.7, 1e-9);
    assert_int_equal(g.points[0].todo, TW_TODO_STOP);
    assert_int_equal(g.points[1].todo, TW_TODO_LEAVE);
    assert_close(g.points[2].low_mm, g.points[2].wanted_mm - 0.1, 1e-9);
    assert_int_equal(g.points[2].todo, TW_TODO_LEAVE);
    assert_int_equal(g.points[3].todo, TW_TODO_STRETCH);
    assert_string_equal(tw_todo_word(TW_TODO_STOP), "too thin: stop");
    tw_gauging_release(&g);
    test_goal_free(&made);
}

/* ± holds density, and polish while there is some to come. */
static void density_and_polish_are_in_the_uncertainty(void **state)
{
    static const char sure[] =
        "plate: t\nmaterial: {name: x, density: 7850 kg/m3}\nruler: mm\n"
        "form: flat\noutline: {rectangle: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
        "thickness:\n  forged:\n    edges: [{edge: all, thickness: 2 mm}]\n";
    test_goal made = test_goal_make(sure, 20);
    tw_profile *profile = made.plate.profile;
    test_readings readings;
    tw_gauging bare, with;

    (void)state;
    test_reads_even(&readings, 2);
    profile->density_uncertainty = 0;
    bare = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    profile->density_uncertainty = 0.01 * profile->density;
    made.goal.polish_u_mm = 0.05;
    with = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_close(with.finished_u_g * with.finished_u_g,
                 bare.finished_u_g * bare.finished_u_g + pow(0.01 * 2 * EVEN_AREA * STEEL, 2) +
                     pow(0.05 * EVEN_AREA * STEEL, 2),
                 1e-6 * with.finished_u_g * with.finished_u_g);
    tw_gauging_release(&bare);
    tw_gauging_release(&with);
    test_goal_free(&made);
}

static void what_cannot_be_is_refused(void **state)
{
    test_goal made = test_goal_make(EVEN, 16);
    test_readings readings;
    tw_gauging g;
    tw_error err = {0};

    (void)state;
    test_reads_even(&readings, 2);
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, -0.1, 0, 1, &g, &err),
        TW_ERR_DOMAIN);
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, -5, 1, &g, &err),
        TW_ERR_DOMAIN);
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, NAN, 1, &g, &err),
        TW_ERR_DOMAIN);
    readings.spec.file = "work.csv";
    readings.reading[3].at.value[0] = 130;
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, 0, 1, &g, &err),
        TW_ERR_SHAPE);
    assert_int_equal(err.line, 5);
    assert_string_equal(err.file, "work.csv");
    for (size_t k = 0; k < readings.spec.reading_count; k++)
        readings.reading[k].leave_out = true;
    readings.reading[3].at.value[0] = 0;
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, 0, 1, &g, &err),
        TW_ERR_INPUT);
    test_goal_free(&made);
}

/* What is left out does not count; the same bits for any number of threads. */
static void the_same_for_any_number_of_threads(void **state)
{
    test_goal made = test_goal_make(EVEN, 32);
    test_readings readings;
    tw_gauging one, many;
    tw_error err = {0};

    (void)state;
    test_reads_even(&readings, 2.15);
    readings.reading[2].thickness = 2.5;
    readings.reading[6].thickness = 9; /* a slip, left out by hand */
    readings.reading[6].leave_out = true;
    one = test_gauge(&made, &readings, TW_STAGE_HAMMER, 0);
    assert_int_equal(
        tw_gauging_make(&made.goal, &readings.spec, TW_STAGE_HAMMER, 0, 0, 4, &many, &err), TW_OK);
    assert_int_equal(one.count, 8);
    assert_memory_equal(&one.now_g, &many.now_g, sizeof one.now_g);
    assert_memory_equal(&one.finished_u_g, &many.finished_u_g, sizeof one.finished_u_g);
    assert_memory_equal(one.over, many.over,
                        made.goal.map.grid->nu * made.goal.map.grid->nv * sizeof *one.over);
    tw_gauging_release(&one);
    tw_gauging_release(&many);
    tw_gauging_release(NULL);
    test_goal_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_even_plate_too_thick_is_moved_trimmed_and_ground),
        cmocka_unit_test(a_weighing_tells_the_trim_with_the_strip_in_it),
        cmocka_unit_test(what_lies_within_its_window_is_left),
        cmocka_unit_test(a_hammered_plate_is_ground_down),
        cmocka_unit_test(what_is_too_thin_is_lacking),
        cmocka_unit_test(one_thick_spot_is_carried_as_kriging_carries_it),
        cmocka_unit_test(grams_add_up_on_a_bowl),
        cmocka_unit_test(the_present_is_wanted_and_what_is_over),
        cmocka_unit_test(a_strike_zone_may_not_be_under),
        cmocka_unit_test(density_and_polish_are_in_the_uncertainty),
        cmocka_unit_test(what_cannot_be_is_refused),
        cmocka_unit_test(the_same_for_any_number_of_threads),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
