/*
 * test_steps.c: courses of thinning. A disc whose taper is a cone has areas and grams in closed form;
 * of any plate the courses add up to what is too thick, by a sum of its own; what cannot be divided
 * is told.
 */
#include "plates.h"

#include <stdlib.h>

static const double STEEL = 7.85e-3; /* mild steel [g/mm³] */

static tw_goal make_goal(const test_plate *made, double sheet)
{
    const tw_stock stock = {.thickness = sheet};
    tw_goal goal;
    tw_error err = {0};

    if (tw_goal_make(made->plate, NULL, sheet > 0 ? &stock : NULL, 1, &goal, &err) != TW_OK)
        fail_msg("%s", err.message);
    return goal;
}

static tw_steps make_steps(const tw_goal *goal, const tw_map *formed, double step)
{
    tw_steps steps;
    tw_error err = {0};

    if (tw_steps_make(goal, formed, step, &steps, &err) != TW_OK)
        fail_msg("%s; %s", err.message, err.advice);
    return steps;
}

/* ---- closed forms -------------------------------------------------------------------------- */

/* DISC_EDGE is flat, 2.6 mm within 30 mm and 1.2 mm at 100 mm, straight between: a cone. */
static double cone_radius(double level)
{
    return 30 + 70 * (2.6 - level) / 1.4;
}

/* Everything beyond radius(from) down to the cone or `to`: a cylinder less a frustum of a cone,
 * π·h·(a² + ab + b²)/3. Source: Euclid's cone (Elements XII.10) cut off; derived from it. */
static double cone_grams(double from, double to)
{
    const double a = cone_radius(from), b = cone_radius(to), h = from - to;

    return STEEL * TW_PI * h * (100 * 100 - (a * a + a * b + b * b) / 3);
}

static void a_cone_comes_off_in_rings(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 256);
    tw_goal goal = make_goal(&made, 2.6);
    tw_steps steps = make_steps(&goal, NULL, 0.3);
    const double levels[] = {2.6, 2.4, 2.1, 1.8, 1.5, 1.2};
    double sum = 0;

    (void)state;
    assert_int_equal(steps.count, 5);
    for (size_t k = 0; k < steps.count; k++) {
        const double from = levels[k], to = levels[k + 1], r = cone_radius(from);
        const double area = TW_PI * (100 * 100 - r * r), grams = cone_grams(from, to);
        assert_close(steps.steps[k].from_mm, from, 1e-9);
        assert_close(steps.steps[k].to_mm, to, 1e-9);
        assert_close(steps.steps[k].area_mm2, area, 1e-3 * area);
        assert_close(steps.steps[k].move_g, grams, 1e-3 * grams);
        assert_close(steps.steps[k].at[0], 0, 0.1);
        assert_close(steps.steps[k].at[1], 0, 0.1);
        assert_string_equal(steps.steps[k].outside, "heart");
        sum += grams;
    }
    assert_close(steps.move_g, sum, 1e-3 * sum);
    assert_close(steps.move_g, cone_grams(2.6, 1.2), 1e-3 * sum);
    assert_close(steps.draw_area_mm2, TW_PI * (100 * 100 - 30 * 30), 30);
    assert_true(steps.gather_g == 0 && steps.gather_area_mm2 < 1e-9 && steps.gather_most_mm == 0);
    assert_true(isnan(steps.gather_at[0]));
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* From 2.03 mm the middle is lacking: a frustum on a cylinder stands over the sheet. */
static void what_is_thinner_is_to_be_gathered(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 256);
    tw_goal goal = make_goal(&made, 2.03);
    tw_steps steps = make_steps(&goal, NULL, 0);
    const double r = cone_radius(2.03), h = 2.6 - 2.03;
    const double grams = STEEL * TW_PI * h * (r * r + 30 * r + 30 * 30) / 3;

    (void)state;
    assert_close(steps.gather_g, grams, 1e-3 * grams);
    assert_close(steps.gather_area_mm2, TW_PI * r * r, 1e-3 * TW_PI * r * r);
    assert_close(steps.gather_most_mm, h, 1e-9);
    assert_true(hypot(steps.gather_at[0], steps.gather_at[1]) <= 30.01);
    assert_close(steps.move_g, cone_grams(2.03, 1.2), 1e-3 * steps.move_g);
    /* 0.83 mm in no more than six: 0.15 mm, round below the sheet */
    assert_close(steps.step_mm, 0.15, 1e-12);
    assert_int_equal(steps.count, 6);
    assert_close(steps.steps[0].from_mm, 2.03, 1e-12);
    assert_close(steps.steps[0].to_mm, 1.95, 1e-12);
    assert_close(steps.steps[1].to_mm, 1.80, 1e-12);
    assert_close(steps.steps[5].to_mm, 1.20, 1e-9);
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* The same cone with 0.2 mm of scale and 0.1 mm of polish to lose: the hammer moves what stands over
 * the metal that is to be left, and a gauge reads from the sheet down to the rough thickness. */
static void scale_is_not_the_hammers(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 256);
    tw_goal goal;
    tw_steps steps;
    double scale_g;

    (void)state;
    made.profile->losses.heats = 5;
    made.profile->losses.scale = (tw_loss){0.02, 0.005};
    made.profile->losses.polish = (tw_loss){0.05, 0.01};
    goal = make_goal(&made, 2.9); /* 2.6 mm and all losses: nothing to do in the zone */
    steps = make_steps(&goal, NULL, 0.4);
    assert_close(steps.steps[0].from_mm, 2.9, 1e-12);
    assert_close(steps.steps[0].to_mm, 2.4, 1e-12);
    assert_close(steps.steps[steps.count - 1].to_mm, 1.3, 1e-9); /* polish still on it */
    assert_close(steps.steps[0].from_line_mm, 2.9, 1e-12);
    assert_close(steps.steps[steps.count - 1].to_line_mm, 1.5, 1e-9);
    /* of 1.6 mm by gauge 0.2 mm is scale: an eighth of the way down is */
    assert_close(steps.steps[0].to_line_mm, 2.4 + 0.5 / 8, 1e-9);
    assert_close(steps.move_g, cone_grams(2.6, 1.2), 1e-3 * steps.move_g);
    scale_g = goal.before_g - goal.rough_weight.mass_g;
    assert_close(scale_g, STEEL * TW_PI * 1e4 * 0.2, 1e-3 * scale_g);
    assert_string_equal(steps.steps[0].outside, "heart");
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* ---- any plate --------------------------------------------------------------------------------- */

#define BOWL                                                                           \
    HEAD "form: {bowl: {across: 90 mm, depth: 50 mm}}\nthickness:\n  forged:\n"        \
         "    strike: [{name: top, at: [10, 20], radius: 25 mm, thickness: 2.2 mm}]\n" \
         "    edges: [{edge: rim, thickness: 1 mm}]\n"
#define KEELED                                                                      \
    HEAD "form:\n  loft:\n    - {ruler: 0, width: 160, centre: 40, sides: 0}\n"     \
         "    - {ruler: 120, width: 200, centre: 60, sides: 0}\n"                   \
         "    - {ruler: 220, width: 150, centre: 45, sides: 0}\n"                   \
         "  keel: {stands: 6 mm, width: 40 mm}\n"                                   \
         "thickness:\n  forged:\n    strike:\n"                                     \
         "      - {name: heart, at: [30, 120], radius: 30 mm, thickness: 2.5 mm}\n" \
         "    edges: [{edge: lower, thickness: 1.4 mm}, {edge: upper, thickness: 1 mm}]\n"

/* A sheet that is thicker toward one side than the other, as forming may leave it. */
static tw_map uneven(const tw_grid *grid, double mean, double tilt, double *room)
{
    tw_map map = {.grid = grid, .node = room, .cell = room + grid->nu * grid->nv};

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        map.node[n] = mean * (1 + tilt * ((double)(n % grid->nu) / (double)grid->nu - 0.5));
    tw_grid_to_cells(grid, map.node, map.cell);
    return map;
}

/* What stands over what is wanted, cell by cell, by volumes of its own. */
static double too_thick_g(const tw_goal *goal, const double *start_node, const double *start_cell,
                          double *lacks_g)
{
    const tw_plate *plate = goal->plate;
    const tw_grid *grid = plate->grid;
    const size_t nodes = grid->nu * grid->nv, cells = tw_grid_cells(grid);
    double *node = calloc(nodes, sizeof *node), *cell = calloc(cells, sizeof *cell);
    double *volume[3] = {calloc(cells, sizeof(double)), calloc(cells, sizeof(double)),
                         calloc(cells, sizeof(double))};
    double over = 0, under = 0;

    for (int pass = 0; pass < 3; pass++) { /* thicker of both, wanted, thinner of both */
        for (size_t n = 0; n < nodes; n++)
            node[n] = pass == 0   ? fmax(start_node[n], goal->before.node[n])
                      : pass == 1 ? goal->before.node[n]
                                  : fmin(start_node[n], goal->before.node[n]);
        for (size_t c = 0; c < cells; c++)
            cell[c] = pass == 0   ? fmax(start_cell[c], goal->before.cell[c])
                      : pass == 1 ? goal->before.cell[c]
                                  : fmin(start_cell[c], goal->before.cell[c]);
        tw_cell_volumes(grid, cell, node, plate->profile->face, volume[pass]);
    }
    for (size_t c = 0; c < cells; c++) {
        over += volume[0][c] - volume[1][c];
        under += volume[1][c] - volume[2][c];
    }
    for (int pass = 0; pass < 3; pass++)
        free(volume[pass]);
    free(node);
    free(cell);
    *lacks_g = under * plate->profile->density;
    return over * plate->profile->density;
}

static void check_courses(const tw_goal *goal, const tw_steps *steps, double top, double over,
                          double lacks)
{
    double sum = 0;

    for (size_t k = 0; k < steps->count; k++) {
        const tw_step *step = &steps->steps[k];
        const double part = (step->from_mm - step->to_mm) / steps->step_mm;
        const bool end = k == 0 || k + 1 == steps->count;
        sum += step->move_g;
        /* on so few cells the last course may lie between the outline and their middles, where only
         * the mitre of a crease changes */
        assert_true(step->move_g > -1e-5 * goal->before_g && step->area_mm2 >= 0);
        assert_true(step->area_mm2 <= goal->weight.face_area_mm2 * (1 + 1e-9));
        assert_true(steps->count == 1 || (part > 0.499 && part < 1.501));
        assert_true(end || fabs(part - 1) < 1e-9);
        assert_true(k == 0 || step->from_mm == steps->steps[k - 1].to_mm);
        assert_true(k == 0 || step->from_line_mm == steps->steps[k - 1].to_line_mm);
        assert_true(step->from_line_mm >= step->from_mm - 1e-12);
        assert_true(steps->raised || k == 0 || step->area_mm2 <= step[-1].area_mm2 + 1e-6);
    }
    assert_close(sum, over, 1e-9 * goal->before_g);
    assert_close(steps->move_g, over, 1e-9 * goal->before_g);
    assert_close(steps->gather_g, lacks, 1e-9 * goal->before_g);
    assert_true(steps->count == 0 || steps->steps[0].from_mm <= top + 1e-12);
}

static void courses_add_up_to_what_is_too_thick(void **state)
{
    static const char *const texts[] = {RECTANGLE, BOWL, KEELED, DISC_EDGE};
    test_random random = test_random_begin("courses add up");
    size_t tried = 0;

    (void)state;
    for (size_t p = 0; p < sizeof texts / sizeof *texts; p++) {
        test_plate made = test_plate_make(texts[p], 24);
        const tw_grid *grid = made.plate->grid;
        const size_t room = grid->nu * grid->nv + tw_grid_cells(grid);
        double *start = calloc(room, sizeof *start);
        for (int trial = 0; trial < 40; trial++) {
            const double sheet = test_uniform(&random, 1.6, 3.2);
            const double tilt = trial % 2 ? test_uniform(&random, -0.3, 0.3) : 0;
            const tw_map formed = uneven(grid, sheet, tilt, start);
            double lacks, over;
            tw_goal goal;
            tw_steps steps;
            made.profile->losses.heats = (size_t)test_uniform(&random, 0, 6);
            made.profile->losses.scale = (tw_loss){test_uniform(&random, 0, 0.02), 0};
            goal = make_goal(&made, sheet);
            over = too_thick_g(&goal, formed.node, formed.cell, &lacks);
            steps = make_steps(&goal, trial % 2 ? &formed : NULL,
                               trial % 4 < 2 ? 0 : test_uniform(&random, 0.07, 0.6));
            check_courses(&goal, &steps, sheet * 1.2, over, lacks);
            tried += steps.count;
            tw_steps_release(&steps);
            tw_goal_release(&goal);
        }
        free(start);
        test_plate_free(&made);
    }
    assert_true(tried > 300);
}

/* Areas against a count of many points (flat, so that tape area is area). */
static void areas_hold_against_counted_points(void **state)
{
    enum { POINTS = 1500 };
    test_plate made = test_plate_make(RECTANGLE, 128);
    tw_goal goal = make_goal(&made, 2.2);
    tw_steps steps = make_steps(&goal, NULL, 0.15); /* no level on a plateau */

    (void)state;
    for (size_t k = 0; k < steps.count; k++) {
        double count = 0, whole = 4.0 * 120 * 90;
        for (int i = 0; i < POINTS; i++)
            for (int j = 0; j < POINTS; j++) {
                const double across = -120 + 240 * (i + 0.5) / POINTS;
                const double up = -90 + 180 * (j + 0.5) / POINTS;
                count += tw_grid_sample(made.plate->grid, steps.wanted, across, up) <
                         steps.steps[k].from_line_mm - 1e-9;
            }
        assert_close(steps.steps[k].area_mm2, whole * count / POINTS / POINTS, 2e-3 * whole);
    }
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

static void the_same_for_any_threads(void **state)
{
    test_plate made = test_plate_make(BOWL, 64);
    tw_steps steps[2];
    tw_goal goals[2];

    (void)state;
    for (unsigned k = 0; k < 2; k++) {
        const tw_stock stock = {.thickness = 2};
        assert_int_equal(tw_goal_make(made.plate, NULL, &stock, k == 0 ? 1 : 4, &goals[k], NULL),
                         TW_OK);
        steps[k] = make_steps(&goals[k], NULL, 0);
    }
    assert_int_equal(steps[0].count, steps[1].count);
    for (size_t k = 0; k < steps[0].count; k++) {
        assert_true(steps[0].steps[k].move_g == steps[1].steps[k].move_g);
        assert_true(steps[0].steps[k].area_mm2 == steps[1].steps[k].area_mm2);
    }
    for (int k = 0; k < 2; k++) {
        tw_steps_release(&steps[k]);
        tw_goal_release(&goals[k]);
    }
    test_plate_free(&made);
}

/* ---- what is told ------------------------------------------------------------------------------- */

#define EVEN                                                                           \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n" \
         "thickness: {forged: {edges: [{edge: all, thickness: 1.5 mm}]}}\n"

static void even_sheet_as_thick_as_wanted_takes_no_step(void **state)
{
    test_plate made = test_plate_make(EVEN, 16);
    tw_goal goal = make_goal(&made, 1.5);
    tw_steps steps = make_steps(&goal, NULL, 0);

    (void)state;
    assert_int_equal(steps.count, 0);
    assert_true(steps.move_g == 0 && steps.gather_g == 0 && steps.draw_area_mm2 == 0);
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* All of an even plate is drawn out from 2 mm in one course: nothing is left alone. */
static void even_plate_is_drawn_out_everywhere(void **state)
{
    test_plate made = test_plate_make(EVEN, 16);
    tw_goal goal = make_goal(&made, 2);
    tw_steps steps = make_steps(&goal, NULL, 1);

    (void)state;
    assert_int_equal(steps.count, 1);
    assert_close(steps.steps[0].area_mm2, 2e4, 1e-6);
    assert_close(steps.steps[0].move_g, 2e4 * 0.5 * STEEL, 1e-6);
    assert_true(isnan(steps.steps[0].at[0]) && !steps.steps[0].outside);
    tw_steps_release(&steps);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

static void expect_refused(const test_plate *made, double sheet, double step, tw_status status,
                           const char *words)
{
    tw_goal goal = make_goal(made, sheet);
    tw_steps steps;
    tw_error err = {0};

    assert_int_equal(tw_steps_make(&goal, NULL, step, &steps, &err), status);
    if (!strstr(err.message, words))
        fail_msg("\"%s\" lacks \"%s\"", err.message, words);
    assert_true(err.advice[0] != '\0');
    tw_goal_release(&goal);
}

static void what_cannot_be_divided_is_told(void **state)
{
    test_plate made = test_plate_make(EVEN, 16);

    (void)state;
    expect_refused(&made, 0, 0, TW_ERR_INPUT, "what sheet");
    expect_refused(&made, 1.2, 0, TW_ERR_DOMAIN,
                   "1.20 mm is thinner than wanted everywhere, by 0.30");
    expect_refused(&made, 2, 0.01, TW_ERR_DOMAIN, "cannot be told by gauge");
    expect_refused(&made, 2, -1, TW_ERR_DOMAIN, "cannot be told by gauge");
    expect_refused(&made, 2, NAN, TW_ERR_DOMAIN, "cannot be told by gauge");
    expect_refused(&made, 4, 0.02, TW_ERR_DOMAIN, "more than 40");
    test_plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cone_comes_off_in_rings),
        cmocka_unit_test(what_is_thinner_is_to_be_gathered),
        cmocka_unit_test(scale_is_not_the_hammers),
        cmocka_unit_test(courses_add_up_to_what_is_too_thick),
        cmocka_unit_test(areas_hold_against_counted_points),
        cmocka_unit_test(the_same_for_any_threads),
        cmocka_unit_test(even_sheet_as_thick_as_wanted_takes_no_step),
        cmocka_unit_test(even_plate_is_drawn_out_everywhere),
        cmocka_unit_test(what_cannot_be_divided_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
