/* gauged.h: goals of simple plates, and readings at given places, for tests of work in progress. */
#ifndef GAUGED_H
#define GAUGED_H

#include "plates.h"

/* Flat square of 200 mm, 2 mm everywhere; rough 2.1 mm, a strip of 8 mm all round. */
#define EVEN                                                                            \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 100 mm, up: 100 mm}}\n" \
         "thickness:\n  forged:\n    edges: [{edge: all, thickness: 2 mm}]\n"           \
         "losses: {polish: 0.05 mm, trim: 8 mm}\n"
static const double EVEN_AREA = 40000, STEEL = 7.85e-3;

typedef struct test_goal {
    test_plate plate;
    tw_goal goal;
} test_goal;

static inline test_goal test_goal_make(const char *text, size_t cells)
{
    test_goal made = {.plate = test_plate_make(text, cells)};
    tw_error err = {0};

    if (tw_goal_make(made.plate.plate, NULL, NULL, 1, &made.goal, &err) != TW_OK)
        fail_msg("%s", err.message);
    return made;
}

static inline void test_goal_free(test_goal *made)
{
    tw_goal_release(&made->goal);
    test_plate_free(&made->plate);
}

enum { TEST_READINGS_MAX = 40 };
/* Readings by a caliper in steps of 0.05 mm. */
typedef struct test_readings {
    tw_instrument caliper;
    tw_reading reading[TEST_READINGS_MAX];
    char name[TEST_READINGS_MAX][16];
    tw_readings_spec spec;
} test_readings;

static inline void test_readings_begin(test_readings *r)
{
    memset(r, 0, sizeof *r);
    r->caliper = (tw_instrument){
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.05, .reach = INFINITY};
    r->spec = (tw_readings_spec){
        .instrument_count = 1, .instruments = &r->caliper, .readings = r->reading, .surface = NAN};
}

static inline void test_reads(test_readings *r, double across, double up, double thickness)
{
    const size_t k = r->spec.reading_count++;

    assert_true(k < TEST_READINGS_MAX);
    snprintf(r->name[k], sizeof r->name[k], "%zu", k + 1);
    r->reading[k] = (tw_reading){.name = r->name[k],
                                 .at = {.kind = TW_POINT_TAPE, .value = {across, up}},
                                 .thickness = thickness,
                                 .repeats = 1,
                                 .place = {(int)k + 2, 1},
                                 .from_table = true};
}

/* Nine places of the square, all alike. */
static inline void test_reads_even(test_readings *r, double thickness)
{
    test_readings_begin(r);
    for (int j = -1; j <= 1; j++)
        for (int i = -1; i <= 1; i++)
            test_reads(r, 70 * i, 70 * j, thickness);
}

static inline tw_gauging test_gauge(const test_goal *made, const test_readings *r, tw_stage stage,
                                    double weighs_g)
{
    tw_gauging found = {0};
    tw_error err = {0};

    if (tw_gauging_make(&made->goal, &r->spec, stage, 0, weighs_g, 1, &found, &err) != TW_OK)
        fail_msg("%s", err.message);
    return found;
}

#endif
