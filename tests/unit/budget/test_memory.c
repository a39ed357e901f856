/* Let the n-th request for memory fail, in arenas and out of them: the status is TW_ERR_MEMORY, what was
 * there before is untouched, and nothing leaks (the address sanitizer looks). */
#include "models.h"

#include "allocation.h"
#include "failing_arena.h"
#include "taperwright/profile.h"

static const char text[] =
    "plate: lame\nruler: mm\nmaterial: mild steel\nmeasured to: 0.5 mm\n"
    "form:\n"
    "  loft:\n"
    "    - {ruler: 0, width: 120, centre: 20, sides: 0}\n"
    "    - {ruler: 100, sides: 0, heights: [[0, 24], [40, 15], [65, 0]]}\n"
    "  keel: {stands: 2 mm, width: 30 mm}\n"
    "outline:\n"
    "  - {edge: lower, points: [[-40, 20], [40, 20]]}\n"
    "  - {edge: right, points: [[40, 20], [40, 80]]}\n"
    "  - {edge: upper, points: [[40, 80], [-40, 80]]}\n"
    "  - {edge: left, points: [[-40, 80], [-40, 20]]}\n"
    "holes: [{at: [0, 30], radius: 3 mm}]\n"
    "thickness:\n"
    "  sheet: 1.5 mm\n"
    "  forged:\n"
    "    strike: [{name: middle, at: [0, 50], radius: 10 mm, thickness: 2 mm}]\n"
    "    edges: [{edge: all, thickness: 1 mm}]\n"
    "scale: {reads: 70 g, step: 1 g}\n";

typedef struct made {
    tw_profile *profile;
    tw_plate *plate;
} made;

static made build(void)
{
    const tw_plate_options options = {.cells = 16, .threads = 1};
    made m = {NULL, NULL};
    tw_notes notes = {0};
    tw_error err = {.message = ""};

    allowed = -1; /* arenas ask calloc(), which counts with the rest */
    if (tw_profile_read_memory("lame.yaml", text, strlen(text), NULL, 0, &m.profile, &notes) !=
        TW_OK)
        fail_msg("%s", notes.items[0].message);
    if (tw_plate_build(m.profile, &options, &m.plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    return m;
}

static void release(made *m)
{
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

/* The next request to fail: the first ones one by one, then farther and farther apart, as those of a
 * form rebuilt for one length are those of the length before it. */
static long after(long n)
{
    return n + 1 + n / (TEST_SANITIZED ? 4 : 12);
}

static void budgets_of_a_plate(void **state)
{
    made m = build();
    tw_budget budgets[TW_PLATE_MAPS_MAX];
    tw_error why[TW_PLATE_MAPS_MAX];
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    (void)state;
    for (long n = 0; status != TW_OK; n = after(n), tries++) {
        tw_error err = {.message = ""};
        test_allow(n);
        status = tw_plate_budgets(m.plate, 1, budgets, why, &err);
        test_allow(-1);
        assert_int_equal(status, status == TW_OK ? TW_OK : TW_ERR_MEMORY);
        assert_int_equal(err.status, status);
    }
    assert_true(tries > 20);
    for (size_t k = 0; k < m.plate->map_count; k++) {
        assert_true(budgets[k].u > 0);
        tw_budget_release(&budgets[k]);
    }
    release(&m);
}

static void what_a_scale_says(void **state)
{
    made m = build();
    const tw_plate_map *map = tw_plate_map_of(m.plate, TW_MAP_FORGED);
    tw_budget budget;
    tw_agreement agreement = {.scale_g = -1};
    tw_status status = TW_ERR_MEMORY;
    long n = 0;

    (void)state;
    assert_int_equal(tw_plate_budget(m.plate, map, 1, &budget, NULL), TW_OK);
    for (; status != TW_OK; n++) {
        tw_error err = {.message = ""};
        test_allow(n);
        status = tw_plate_agreement(m.plate, map, &budget, &agreement, &err);
        test_allow(-1);
        if (status != TW_OK) {
            assert_int_equal(err.status, TW_ERR_MEMORY);
            assert_true(agreement.scale_g == -1);
        }
    }
    assert_true(n > 3 && agreement.scale_g > 0);
    tw_budget_release(&budget);
    release(&m);
}

static void a_model_and_its_trials(void **state)
{
    tw_budget_row rows[5];
    tw_status status = TW_ERR_MEMORY;
    tw_monte_carlo trials = {.trials = 0};
    long n = 0;

    (void)state;
    mass_calibration_rows(rows);
    allowed = -1;
    for (; status != TW_OK; n++) {
        tw_budget budget = {.u = -1};
        tw_error err = {.message = ""};
        test_allow(n);
        status = tw_budget_make(mass_calibration, NULL, rows, 5, NULL, true, 0.95, &budget, &err);
        if (status == TW_OK)
            status = tw_monte_carlo_run(mass_calibration, NULL, rows, 5, 1000, 1, 1, 0.95, &trials,
                                        &err);
        test_allow(-1);
        assert_int_equal(err.status, status);
        if (status != TW_OK)
            assert_int_equal(status, TW_ERR_MEMORY);
        assert_int_equal(trials.trials, status == TW_OK ? 1000 : 0);
        if (budget.u >= 0)
            tw_budget_release(&budget);
    }
    assert_true(n > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(budgets_of_a_plate),
                                       cmocka_unit_test(what_a_scale_says),
                                       cmocka_unit_test(a_model_and_its_trials)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
