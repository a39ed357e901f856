/* What a profile's plan keeps in place of the forged map: the map by straight lines on flat plates. */
#include "plates.h"

static tw_least least_of(const tw_plan *plan, const tw_plan_request *request)
{
    tw_least least;
    tw_error err = {0};

    if (tw_plan_least(plan, request, &least, &err) != TW_OK)
        fail_msg("%s; %s", err.message, err.advice);
    return least;
}

static double disc_gap(double across, double up, double at_across, double at_up, double radius)
{
    return fmax(hypot(across - at_across, up - at_up) - radius, 0);
}

static const tw_requirement *find(const tw_least *least, const char *name)
{
    for (size_t k = 0; k < least->count; k++)
        if (strcmp(least->requirements[k].name, name) == 0)
            return &least->requirements[k];
    fail_msg("no %s", name);
    return NULL;
}

typedef double (*brute)(double across, double up);

/* Against a map by distances in closed form, one step and more inside the outline. */
static void compare(const char *text, double g, double lowest, brute exact)
{
    test_plate made = test_plate_make(text, 192);
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(lowest, g);
    tw_least least = least_of(plan, &request);
    const tw_grid *grid = made.plate->grid;
    double worst = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] < -fmax(grid->across_step, grid->up_step))
            worst = fmax(worst, fabs(least.map.node[n] - exact(tw_grid_across(grid, n % grid->nu),
                                                               tw_grid_up(grid, n / grid->nu))));
    print_message("off by at most %.5f mm\n", worst);
    assert_true(worst < 0.005);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

static const double G = 1 / 60.0;

/* Zone two keeps 2.3 mm in place of 2, the lower edge 1.3 in place of 1.5, the upper one 1.9 of its own. */
static double kept_by_name(double across, double up)
{
    double t = 1;

    t = fmax(t, 2.4 - G * disc_gap(across, up, -50, 20, 25));
    t = fmax(t, 2.3 - G * disc_gap(across, up, 60, -30, 20));
    t = fmax(t, 1.3 - G * (up + 90));
    return fmax(t, 1.9 - G * (90 - up));
}

/* Every zone keeps 2.2 mm but number two, which keeps 2.3; every edge 1.4 but the upper one. */
static double kept_by_all(double across, double up)
{
    double t = 1;

    t = fmax(t, 2.2 - G * disc_gap(across, up, -50, 20, 25));
    t = fmax(t, 2.3 - G * disc_gap(across, up, 60, -30, 20));
    t = fmax(t, 1.4 - G * fmin(up + 90, fmin(120 - across, across + 120)));
    return fmax(t, 1.9 - G * (90 - up));
}

#define BY_NAME                                                                                 \
    "plan: {grade: 1 in 60, zones: [{zone: two, least: 2.3 mm}], edges: [{edge: lower, least: " \
    "1.3 mm}, {edge: upper, least: 1.9 mm}]}\n"
#define BY_ALL                                                                                 \
    "plan: {grade: 1 in 60, zones: [{zone: two, least: 2.3 mm}, {zone: all, least: 2.2 mm}], " \
    "edges: [{edge: all, least: 1.4 mm}, {edge: upper, least: 1.9 mm}]}\n"

static void keeps_stand_in_place_of_the_forged_map(void **state)
{
    (void)state;
    compare(RECTANGLE BY_NAME, G, 1, kept_by_name);
    compare(RECTANGLE BY_ALL, G, 1, kept_by_all);
}

static void requirements_follow(void **state)
{
    test_plate made = test_plate_make(RECTANGLE BY_NAME, 96);
    tw_plan *plan = test_plan_open(&made);
    const tw_plan_request request = test_request(tw_plan_thinnest(plan), G);
    tw_least least = least_of(plan, &request);

    (void)state;
    assert_close(request.least_mm, 1.3, 1e-12);
    assert_int_equal(least.count,
                     4); /* zones, edges of the forged map, edges that only the plan names */
    assert_close(find(&least, "strike zone one")->asked_mm, 2.4, 1e-12);
    assert_close(find(&least, "strike zone two")->asked_mm, 2.3, 1e-12);
    assert_close(find(&least, "edge lower")->asked_mm, 1.3, 1e-12);
    assert_close(find(&least, "edge upper")->asked_mm, 1.9, 1e-12);
    assert_true(find(&least, "edge upper")->mass_g > 1);
    tw_least_release(&least);
    tw_plan_free(plan);
    test_plate_free(&made);
}

/* Keeping what the forged map has changes no bit. */
static void keeping_the_same_changes_nothing(void **state)
{
    test_plate one = test_plate_make(RECTANGLE, 96);
    test_plate two = test_plate_make(
        RECTANGLE
        "plan: {grade: 1 in 60, zones: [{zone: one, least: 2.4 mm}], edges: [{edge: lower, "
        "least: 1.5 mm}]}\n",
        96);
    tw_plan *first = test_plan_open(&one), *second = test_plan_open(&two);
    const tw_plan_request request = test_request(1, G);
    tw_least a = least_of(first, &request), b = least_of(second, &request);

    (void)state;
    assert_memory_equal(a.map.node, b.map.node,
                        one.plate->grid->nu * one.plate->grid->nv * sizeof *a.map.node);
    assert_true(a.weight.mass_g == b.weight.mass_g);
    tw_least_release(&a);
    tw_least_release(&b);
    tw_plan_free(first);
    tw_plan_free(second);
    test_plate_free(&one);
    test_plate_free(&two);
}

/* An edge taken out of `all` keeps the hold it had with the others: a rectangle whose edges are all
 * held 10 mm in, the upper one thicker. */
static double held(double across, double up)
{
    const double others = fmin(up + 90, fmin(120 - across, across + 120));

    return fmax(fmax(1, 1.4 - G * fmax(others - 10, 0)), 1.9 - G * fmax(90 - up - 10, 0));
}

static void a_hold_of_all_edges_holds(void **state)
{
    static const char text[] =
        HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n"
             "thickness:\n  forged:\n    edges: [{edge: all, thickness: 1.4 mm, hold: 10 mm}]\n"
             "plan: {grade: 1 in 60, edges: [{edge: upper, least: 1.9 mm}]}\n";

    (void)state;
    compare(text, G, 1, held);
}

/* Edges that only the plan names are enough to plan from. */
static double upper_only(double across, double up)
{
    (void)across;
    return fmax(1, 1.9 - G * (90 - up));
}

static void a_plan_needs_no_forged_map(void **state)
{
    static const char text[] =
        HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n"
             "thickness: {sheet: 1.6 mm}\n"
             "plan: {grade: 1 in 60, edges: [{edge: upper, least: 1.9 mm}]}\n";

    (void)state;
    compare(text, G, 1, upper_only);
}

static void a_weight_may_contradict_what_is_kept(void **state)
{
    test_plate made = test_plate_make(RECTANGLE BY_NAME, 96);
    tw_plan *plan = test_plan_open(&made);
    tw_plan_request request = test_request(1, G);
    tw_least least;
    tw_error err = {0};

    (void)state;
    request.weight_g = 345; /* 1 mm all over: 21600 mm² · 7.85e-3 g/mm³ · 2 = 339 g */
    request.by = "strike.all";
    assert_int_equal(tw_plan_least(plan, &request, &least, &err), TW_ERR_UNREACHABLE);
    assert_non_null(strstr(err.message, "345 g"));
    assert_non_null(strstr(err.message, "the thickness of the edges"));
    tw_plan_free(plan);
    test_plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keeps_stand_in_place_of_the_forged_map),
        cmocka_unit_test(requirements_follow),
        cmocka_unit_test(keeping_the_same_changes_nothing),
        cmocka_unit_test(a_hold_of_all_edges_holds),
        cmocka_unit_test(a_plan_needs_no_forged_map),
        cmocka_unit_test(a_weight_may_contradict_what_is_kept),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
