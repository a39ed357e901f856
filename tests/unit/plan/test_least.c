/* The least graded map: closed forms, least of all maps that keep what is asked, weights that bind. */
#include "plates.h"

#include "plan/plan_internal.h"

static const double DENSITY = 7.85e-3; /* mild steel [g/mm³] */

static tw_least least_of(const tw_plan *plan, const tw_plan_request *request)
{
    tw_least least;
    tw_error err = {0};

    if (tw_plan_least(plan, request, &least, &err) != TW_OK)
        fail_msg("%s; %s", err.message, err.advice);
    return least;
}

/* A disc of R with T to a, falling by g a millimetre to m: π(a²T + …) of a cone frustum on a plate.
 * With b = a + (T − m)/g < R: V = πR²m + πa²(T − m) + 2π∫ₐᵇ (T − m − g(r − a)) r dr, and the integral is
 * (T − m)(b² − a²)/2 − g(b³ − a³)/3 + ga(b² − a²)/2. Source: derived. */
static double frustum_mass(double R, double a, double T, double m, double g)
{
    const double b = a + (T - m) / g, s = (b * b - a * a) / 2;

    return DENSITY * TW_PI *
           (R * R * m + a * a * (T - m) +
            2 * ((T - m) * s - g * (b * b * b - a * a * a) / 3 + g * a * s));
}

static void disc_is_a_frustum(void **state)
{
    const double exact = frustum_mass(100, 30, 2.6, 1, 1 / 40.0);
    double off[2];

    (void)state;
    for (int k = 0; k < 2; k++) {
        test_plate made = test_plate_make(DISC, k ? 256 : 128);
        tw_plan *plan = test_plan_open(&made);
        const tw_plan_request request = test_request(1, 1 / 40.0);
        tw_least least = least_of(plan, &request);
        off[k] = fabs(least.weight.mass_g - exact);
        assert_close(least.weight.mass_g, exact, 2e-4 * exact);
        assert_close(least.map.thickest, 2.6, 1e-12);
        assert_close(least.map.thinnest, 1.0, 1e-12);
        assert_close(least.requirements[0].reach_mm, 64, 1e-9);
        assert_close(least.requirements[0].mass_g, exact - frustum_mass(100, 30, 1, 1, 1),
                     3e-4 * exact);
        assert_true(off[k] < least.weight.numerical_error_g + 0.01);
        tw_least_release(&least);
        tw_plan_free(plan);
        test_plate_free(&made);
    }
    print_message("frustum %.3f g, off by %.4f and %.4f g\n", exact, off[0], off[1]);
}

/* ---- against distances in closed form ---------------------------------------------------------- */

static double disc_gap(double across, double up, double at_across, double at_up, double radius)
{
    return fmax(hypot(across - at_across, up - at_up) - radius, 0);
}

/* Distances on a flat convex plate are straight lines. */
static double rectangle_brute(double across, double up, double least, double g)
{
    double t = least;

    t = fmax(t, 2.4 - g * disc_gap(across, up, -50, 20, 25));
    t = fmax(t, 2.0 - g * disc_gap(across, up, 60, -30, 20));
    return fmax(t, 1.5 - g * (up + 90)); /* the lower edge is at up −90 */
}

/* Steepest slope of a flat map by central differences, two steps and more inside the outline. */
static double steepest_inside(const tw_grid *grid, const double *t)
{
    const double inside = -2 * fmax(grid->across_step, grid->up_step);
    double steepest = 0;

    for (size_t n = grid->nu; n + grid->nu < grid->nu * grid->nv; n++)
        if (grid->level[n] < inside)
            steepest =
                fmax(steepest, hypot((t[n + 1] - t[n - 1]) / (2 * grid->across_step),
                                     (t[n + grid->nu] - t[n - grid->nu]) / (2 * grid->up_step)));
    return steepest;
}

static double worst_of_rectangle(size_t cells, double g, double *over)
{
    test_plate made = test_plate_make(RECTANGLE, cells);
    const tw_grid *grid = made.plate->grid;
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(0.9, g);
    tw_least least = least_of(plan, &request);
    double worst = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double a = tw_grid_across(grid, n % grid->nu), u = tw_grid_up(grid, n / grid->nu);
        /* A march comes late by a quarter of a step to nodes on the outline itself. */
        const double late = grid->level[n] > -1e-9 ? 0.26 * g * grid->up_step : 0;
        if (grid->level[n] <= 0)
            worst = fmax(worst, fabs(least.map.node[n] - rectangle_brute(a, u, 0.9, g)) - late);
    }
    *over = steepest_inside(grid, least.map.node) / g - 1;
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
    return worst;
}

static void rectangle_is_as_by_straight_lines(void **state)
{
    double over[2];
    const double coarse = worst_of_rectangle(96, 1 / 50.0, &over[0]);
    const double fine = worst_of_rectangle(192, 1 / 50.0, &over[1]);

    (void)state;
    print_message("rectangle off by %.1e and %.1e mm; slope over by %.1e and %.1e\n", coarse, fine,
                  over[0], over[1]);
    assert_true(coarse < 1e-3 && fine < 0.4 * coarse);
    assert_true(over[0] < 1e-9 && over[1] < 1e-9);
}

/* On a ball of R the way from a disc of `reach` about the crown is R·angle − reach; the tape runs
 * straight from the crown, so its length is R·angle. */
static void ball_is_as_by_angles(void **state)
{
    double worst[2] = {0, 0}, over[2];

    (void)state;
    for (int k = 0; k < 2; k++) {
        test_plate made = test_plate_make(
            HEAD "form: {bowl: {across: 110 mm, up: 110 mm, depth: 70 mm}}\nthickness:\n  forged:\n"
                 "    strike: [{name: crown, at: [0, 0], radius: 30 mm, thickness: 2.4 mm}]\n",
            k ? 192 : 96);
        const tw_grid *grid = made.plate->grid;
        tw_plan *plan = test_plan_open(&made);
        const tw_plan_request request = test_request(0.8, 1 / 60.0);
        tw_least least = least_of(plan, &request);
        for (size_t n = 0; n < grid->nu * grid->nv; n++) {
            const double way =
                hypot(tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu));
            const double exact = fmax(2.4 - fmax(way - 30, 0) / 60, 0.8);
            if (grid->level[n] <= 0)
                worst[k] = fmax(worst[k], fabs(least.map.node[n] - exact));
        }
        over[k] = least.map.steepest_grade * 60 - 1;
        tw_least_release(&least);
        tw_plan_free(plan);
        test_plate_free(&made);
    }
    print_message("ball off by %.1e and %.1e mm; slope over by %.1e and %.1e\n", worst[0], worst[1],
                  over[0], over[1]);
    assert_true(worst[0] < 2e-3 && worst[1] < 0.4 * worst[0]);
    assert_true(over[0] < 1e-6 && over[1] < 1e-6);
}

/* A half cylinder of R unrolls to a rectangle πR wide: straight lines again. A loft whose sections are
 * half circles is one, its tape the arc and the ruler. */
static void cylinder_is_as_unrolled(void **state)
{
    double worst[2] = {0, 0};

    (void)state;
    for (int k = 0; k < 2; k++) {
        test_plate made = test_plate_make(
            HEAD "form:\n  loft:\n    - {ruler: 0, width: 200, centre: 100, sides: 0}\n"
                 "    - {ruler: 240, width: 200, centre: 100, sides: 0}\n"
                 "outline: {rectangle: {at: [0, 120], across: 140 mm, up: 110 mm}}\n"
                 "thickness:\n  forged:\n"
                 "    strike: [{name: spot, at: [-40, 100], radius: 20 mm, thickness: 2.2 mm}]\n",
            k ? 192 : 96);
        const tw_grid *grid = made.plate->grid;
        tw_plan *plan = test_plan_open(&made);
        const tw_plan_request request = test_request(0.8, 1 / 70.0);
        tw_least least = least_of(plan, &request);
        for (size_t n = 0; n < grid->nu * grid->nv; n++) {
            const double a = tw_grid_across(grid, n % grid->nu), u = tw_grid_up(grid, n / grid->nu);
            const double exact = fmax(2.2 - disc_gap(a, u, -40, 100, 20) / 70, 0.8);
            if (grid->level[n] <= 0)
                worst[k] = fmax(worst[k], fabs(least.map.node[n] - exact));
        }
        tw_least_release(&least);
        tw_plan_free(plan);
        test_plate_free(&made);
    }
    print_message("cylinder off by %.1e and %.1e mm\n", worst[0], worst[1]);
    assert_true(worst[0] < 1e-3 && worst[1] < 0.6 * worst[0]);
}

/* ---- least of all maps that keep what is asked --------------------------------------------------- */

/* A map that keeps the requirements and the grade: cones of slope at most g that stand somewhere, each
 * high enough for one requirement, their maximum; and the minimum of two such maps. A cone about c of
 * slope h ≤ g keeps r on a disc when its height is r + h·(farthest point of the disc from c). */
typedef struct cone {
    double at[2], top, slope;
} cone;
enum { CONES = 8 };
typedef struct feasible {
    cone cones[2][CONES];
} feasible;

static feasible random_feasible(test_random *random, double g)
{
    static const double zones[2][4] = {{-50, 20, 25, 2.4}, {60, -30, 20, 2.0}};
    feasible f;

    for (int m = 0; m < 2; m++)
        for (int k = 0; k < CONES; k++) {
            cone *c = &f.cones[m][k];
            c->at[0] = test_uniform(random, -120, 120);
            c->at[1] = test_uniform(random, -90, 90);
            c->slope = test_uniform(random, 0, g);
            c->top = test_uniform(random, 0, 3);
            if (k < 2) /* keeps a zone */
                c->top = zones[k][3] +
                         c->slope *
                             (hypot(c->at[0] - zones[k][0], c->at[1] - zones[k][1]) + zones[k][2]) +
                         test_uniform(random, 0, 0.2);
            if (k == 2) /* keeps the lower edge, whose ends are farthest */
                c->top = 1.5 + c->slope * hypot(fabs(c->at[0]) + 120, c->at[1] + 90);
        }
    return f;
}

static double feasible_at(const feasible *f, double across, double up, double least)
{
    double low = INFINITY;

    for (int m = 0; m < 2; m++) {
        double t = least;
        for (int k = 0; k < CONES; k++) {
            const cone *c = &f->cones[m][k];
            t = fmax(t, c->top - c->slope * hypot(across - c->at[0], up - c->at[1]));
        }
        low = fmin(low, t);
    }
    return low;
}

static void no_feasible_map_is_thinner_anywhere(void **state)
{
    const double g = 1 / 50.0, slack = 1e-3; /* what the grid's distances may be off by */
    test_random random = test_random_begin("feasible maps");
    test_plate made = test_plate_make(RECTANGLE, 96);
    const tw_grid *grid = made.plate->grid;
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(0.9, g);
    tw_least least = least_of(plan, &request);
    double closest = INFINITY;

    (void)state;
    for (int trial = 0; trial < 1000; trial++) {
        const feasible f = random_feasible(&random, g);
        for (size_t n = 0; n < grid->nu * grid->nv; n++) {
            const double a = tw_grid_across(grid, n % grid->nu);
            const double u = tw_grid_up(grid, n / grid->nu);
            if (grid->level[n] <= 0)
                closest = fmin(closest, feasible_at(&f, a, u, 0.9) - least.map.node[n]);
        }
    }
    print_message("nearest of 1000 maps comes within %.1e mm\n", closest);
    assert_true(closest > -slack);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

static void requirements_are_kept(void **state)
{
    test_plate made = test_plate_make(RECTANGLE, 128);
    const tw_grid *grid = made.plate->grid;
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(0.9, 1 / 30.0);
    tw_least least = least_of(plan, &request);

    (void)state;
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double a = tw_grid_across(grid, n % grid->nu), u = tw_grid_up(grid, n / grid->nu);
        double need = 0.9;
        if (!(grid->level[n] <= 0))
            continue;
        if (disc_gap(a, u, -50, 20, 24.99) == 0)
            need = 2.4;
        else if (disc_gap(a, u, 60, -30, 19.99) == 0)
            need = 2.0;
        assert_true(least.map.node[n] >= need - 1e-9);
    }
    assert_int_equal(least.count, 3);
    assert_string_equal(least.requirements[2].name, "edge lower");
    /* 2.0 mm at the second zone, whose disc comes within 40 mm of the edge: 2 − 40/30 < 1.5 there */
    assert_null(least.requirements[2].raised_by);
    assert_close(least.requirements[2].reach_mm, 0.6 * 30, 1e-9);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* The zone of 30 mm stands 70 mm off the rim: 2.6 − 70/100 there, 0.7 over the 1.2 asked for. */
static void a_steep_neighbour_raises_an_edge(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 128);
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(1, 1 / 100.0);
    tw_least least = least_of(plan, &request);

    (void)state;
    assert_string_equal(least.requirements[1].raised_by, "strike zone heart");
    assert_close(least.requirements[1].raised_mm, 1.9, 2e-3);
    assert_close(hypot(least.requirements[1].raised_at[0], least.requirements[1].raised_at[1]), 100,
                 0.1);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* ---- weights ---------------------------------------------------------------------------------------- */

/* Bisection of the frustum's formula against the plan's root. */
static void the_greatest_that_fits_is_the_formulas(void **state)
{
    const double weight = 330, g = 1 / 40.0;
    double low = 1, high = 2.75, low_more = 1, high_more = 2.75;
    test_plate made = test_plate_make(DISC, 256);
    tw_plan *plan = test_plan_open(&made);
    tw_plan_request request = test_request(1, g);
    tw_least least;

    (void)state;
    request.weight_g = weight;
    least = least_of(plan, &request);
    for (int k = 0; k < 60; k++) {
        const double middle = 0.5 * (low + high), more = 0.5 * (low_more + high_more);
        if (frustum_mass(100, 30, middle, 1, g) < weight)
            low = middle;
        else
            high = middle;
        if (frustum_mass(100, 30, more, 1, g) < weight + least.more_g)
            low_more = more;
        else
            high_more = more;
    }
    assert_false(least.fits);
    assert_close(least.more_g, 10, 1e-9); /* at most 5 % of 330 g: 1, 2 or 5 times ten */
    assert_close(least.greatest_mm, low, 2e-3);
    assert_close(least.more_mm, low_more - low, 1e-3);
    assert_close(least.greatest_rounded_mm, floor(least.greatest_mm / 0.05) * 0.05, 1e-9);
    assert_true(least.gentler_mm > 0);
    assert_true(least.weight.mass_g <= weight);
    assert_close(least.requirements[0].planned_mm, least.greatest_rounded_mm, 0);
    tw_least_release(&least);
    request.round_mm = 0.2;
    least = least_of(plan, &request);
    assert_close(fmod(least.greatest_rounded_mm + 1e-9, 0.2), 0, 1e-8);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* Brent against bisection on the plan's own masses. */
static void roots_agree_with_bisection(void **state)
{
    test_plate made = test_plate_make(RECTANGLE, 96);
    tw_plan *plan = test_plan_open(&made);
    tw_plan_request request = test_request(0.9, 1 / 50.0);
    tw_arena *arena = tw_arena_new();
    tw_trial trial;
    double low = 0, high = TW_PLAN_THICKEST;
    tw_least least;

    (void)state;
    request.weight_g = 500;
    least = least_of(plan, &request);
    assert_int_equal(tw_trial_make(plan, arena, &trial, NULL), TW_OK);
    for (int k = 0; k < 50; k++) {
        const double middle = 0.5 * (low + high);
        const double required[] = {middle, 2.0 * middle / 2.4, 1.5};
        if (tw_trial_mass(plan, &trial, required, 0.9, 1 / 50.0) < 500)
            low = middle;
        else
            high = middle;
    }
    assert_close(least.greatest_mm, low, 3e-6);
    tw_arena_free(arena);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

static void a_length_gives_the_grade(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 64);
    tw_plan *plan = test_plan_open(&made);
    tw_plan_request request = test_request(1, NAN);
    tw_least least;

    (void)state;
    request.within_mm = 70;
    least = least_of(plan, &request);
    assert_close(least.grade, 1.4 / 70, 1e-12);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

static void trade_off_holds_the_same_masses(void **state)
{
    test_plate made = test_plate_make(DISC, 128);
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(1, 1 / 40.0);
    tw_trade_off trade;

    (void)state;
    assert_int_equal(tw_plan_trade_off(plan, &request, &trade, NULL), TW_OK);
    assert_int_equal(trade.grade_count, 4);
    assert_string_equal(trade.changed, "strike zone heart");
    for (size_t i = 0; i < trade.thickness_count; i++)
        for (size_t j = 0; j < trade.grade_count; j++) {
            const double t = trade.thickness_mm[i], g = trade.grade[j];
            if (30 + (t - 1) / g < 100) /* the frustum stands on the disc */
                assert_close(trade.mass_g[i * trade.grade_count + j],
                             frustum_mass(100, 30, t, 1, g), 0.1);
        }
    tw_trade_off_release(&trade);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* ---- refused ------------------------------------------------------------------------------------------ */

static void expect(const tw_plan *plan, const tw_plan_request *request, tw_status wanted,
                   const char *words)
{
    tw_least least;
    tw_error err = {0};

    assert_int_equal(tw_plan_least(plan, request, &least, &err), wanted);
    if (!strstr(err.message, words) && !strstr(err.advice, words))
        fail_msg("\"%s; %s\" lacks \"%s\"", err.message, err.advice, words);
}

static void impossible_requests_are_refused(void **state)
{
    test_plate made = test_plate_make(DISC_EDGE, 64);
    tw_plan *plan = test_plan_open(&made);
    tw_plan_request request = test_request(1, 0);

    (void)state;
    expect(plan, &request, TW_ERR_DOMAIN, "grade");
    request.grade = -0.01;
    expect(plan, &request, TW_ERR_DOMAIN, "grade");
    request.grade = NAN;
    expect(plan, &request, TW_ERR_DOMAIN, "grade");
    request.grade = 0.02;
    request.least_mm = 0;
    expect(plan, &request, TW_ERR_DOMAIN, "least");
    request.least_mm = 1;
    request.by = "strike.hart";
    expect(plan, &request, TW_ERR_KEY, "did you mean strike.heart?");
    request.by = NULL;
    request.weight_g = 200; /* π·100²·1·ρ = 246.6 g */
    expect(plan, &request, TW_ERR_UNREACHABLE, "weighs 247 g");
    request.weight_g = 248; /* the edge's 1.2 mm takes a little more */
    expect(plan, &request, TW_ERR_UNREACHABLE, "the edges");
    request.weight_g = 0;
    expect(plan, &request, TW_ERR_DOMAIN, "weight");
    request.weight_g = NAN;
    request.grade = NAN;
    request.within_mm = -5;
    expect(plan, &request, TW_ERR_DOMAIN, "length");
    tw_plan_free(plan);
    test_plate_free(&made);
}

static void sheet_is_judged_beside_the_map(void **state)
{
    static const struct {
        double least, grade;
        tw_plan_stock stock;
    } cases[] = {{0.5, 1 / 20.0, TW_PLAN_STOCK_BETWEEN},
                 {1, 1 / 40.0, TW_PLAN_STOCK_THIN},
                 {1.7, 1 / 40.0, TW_PLAN_STOCK_TOO_THIN}};
    test_plate made = test_plate_make(DISC, 64);
    tw_plan *plan = test_plan_open(&made);

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        const tw_plan_request request = test_request(cases[k].least, cases[k].grade);
        tw_least least = least_of(plan, &request);
        assert_int_equal(least.stock, cases[k].stock);
        tw_least_release(&least);
    }
    tw_plan_free(plan);
    test_plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(disc_is_a_frustum),
        cmocka_unit_test(rectangle_is_as_by_straight_lines),
        cmocka_unit_test(ball_is_as_by_angles),
        cmocka_unit_test(cylinder_is_as_unrolled),
        cmocka_unit_test(no_feasible_map_is_thinner_anywhere),
        cmocka_unit_test(requirements_are_kept),
        cmocka_unit_test(a_steep_neighbour_raises_an_edge),
        cmocka_unit_test(the_greatest_that_fits_is_the_formulas),
        cmocka_unit_test(roots_agree_with_bisection),
        cmocka_unit_test(a_length_gives_the_grade),
        cmocka_unit_test(trade_off_holds_the_same_masses),
        cmocka_unit_test(impossible_requests_are_refused),
        cmocka_unit_test(sheet_is_judged_beside_the_map),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
