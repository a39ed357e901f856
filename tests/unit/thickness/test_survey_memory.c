/* Every allocation fails in turn, from placing readings to the map, its sums and the next places: the
 * status is TW_ERR_MEMORY, nothing is written, and the leak sanitizer finds all given back. */
#include "failing_arena.h"
#include "survey.h"

#include "allocation.h"

typedef tw_status (*step)(readings *r, tw_error *err);

static tw_status build(readings *r, tw_error *err)
{
    return tw_survey_build(r->form, r->grid, &r->profile.readings, r->taper, &r->survey, err);
}

static tw_status place(readings *r, tw_error *err)
{
    tw_survey *placed = NULL;
    const tw_status status =
        tw_survey_place(r->form, r->grid, &r->profile.readings, r->taper, &placed, err);

    tw_survey_free(placed);
    return status;
}

static tw_status map(readings *r, tw_error *err)
{
    tw_map made = {0};
    const tw_status status = tw_map_readings(r->survey, 1, &made, err);

    tw_map_release(&made);
    return status;
}

static tw_status spread(readings *r, tw_error *err)
{
    return tw_survey_spread(r->survey, 1, err);
}

static tw_status sum(readings *r, tw_error *err)
{
    double total, sd, blocks;

    return tw_survey_sum(r->survey, r->grid->area, 1, &total, &sd, &blocks, err);
}

static tw_status where(readings *r, tw_error *err)
{
    tw_where parts;

    return tw_survey_where(r->survey, r->grid->area, 1, &parts, err);
}

static tw_status suggest(readings *r, tw_error *err)
{
    tw_suggestion next[2];
    size_t count;

    return tw_survey_suggest(r->survey, r->grid->area, &r->instruments[CALIPER], 2, next, &count,
                             err);
}

/* The next request to fail: the first ones one by one, then farther and farther apart, as most of those that
 * come late are those of a fit made before with other numbers. */
static long after(long n)
{
    return n + 1 + n / (TEST_SANITIZED ? 20 : 60);
}

static void fail_each(readings *r, const char *name, step take)
{
    tw_status status = TW_ERR_MEMORY;
    long tries = 0;

    for (; status != TW_OK && tries < 20000; tries = after(tries)) {
        tw_error err;
        test_allow(tries);
        status = take(r, &err);
        test_allow(-1);
        if (status != TW_OK && (status != TW_ERR_MEMORY || err.status != TW_ERR_MEMORY))
            fail_msg("%s with %ld requests granted: status %d, %s", name, tries, (int)status,
                     err.message);
        if (status != TW_OK && take == build)
            assert_null(r->survey);
    }
    print_message("%s: %ld requests\n", name, tries);
    assert_int_equal(status, TW_OK);
    assert_true(tries > 1);
}

static void every_failed_request_is_told(void **state)
{
    static tw_strike strike = {
        .name = "heart", .shape = {.kind = TW_SHAPE_DISC, .across = 30, .up = 30}, .thickness = 3};
    static tw_edge_thickness edge = {.edge = "all", .thickness = 1};
    static const struct {
        const char *name;
        step take;
    } steps[] = {{"place", place}, {"build", build}, {"map", map},        {"spread", spread},
                 {"sum", sum},     {"where", where}, {"suggest", suggest}};

    (void)state;
    for (int forged = 0; forged <= 1; forged++) {
        readings r;
        readings_init(&r, 100, 150);
        r.profile.readings.surface = (double)NAN;
        add_lattice(&r, wave);
        if (forged) {
            r.profile.has_forged = true;
            r.profile.forged = (tw_forged_spec){
                .strike_count = 1, .edge_count = 1, .strikes = &strike, .edges = &edge, .band = 40};
            r.profile.readings.trend = TW_TREND_FORGED;
        }
        assert_int_equal(readings_build_on(&r, 16), TW_OK);
        tw_survey_free(r.survey);
        r.survey = NULL;
        for (size_t k = 0; k < sizeof steps / sizeof *steps; k++)
            fail_each(&r, steps[k].name, steps[k].take);
        readings_release(&r);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failed_request_is_told),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
