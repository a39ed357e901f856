/* plates.h: plates with distances in closed form, for the tests of the plan room. */
#ifndef PLATES_H
#define PLATES_H

#include "support.h"

#include "taperwright/plan.h"
#include "taperwright/weigh.h"

typedef struct test_plate {
    tw_profile *profile;
    tw_plate *plate;
} test_plate;

static inline test_plate test_plate_make(const char *text, size_t cells)
{
    const tw_plate_options options = {.cells = cells};
    test_plate made = {NULL, NULL};
    tw_notes notes = {0};
    tw_error err = {0};

    if (tw_profile_read_memory("t.yaml", text, strlen(text), NULL, 0, &made.profile, &notes) !=
        TW_OK)
        fail_msg("%d: %s", notes.items[0].line, notes.items[0].message);
    if (tw_plate_build(made.profile, &options, &made.plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    return made;
}

static inline void test_plate_free(test_plate *made)
{
    tw_plate_free(made->plate);
    tw_profile_free(made->profile);
}

static inline tw_plan *test_plan_open(const test_plate *made)
{
    tw_plan *plan = NULL;
    tw_error err = {0};

    if (tw_plan_open(made->plate, 1, &plan, &err) != TW_OK)
        fail_msg("%s", err.message);
    return plan;
}

static inline tw_plan_request test_request(double least, double grade)
{
    return (tw_plan_request){.least_mm = least, .grade = grade, .within_mm = NAN, .weight_g = NAN};
}

#define HEAD "plate: t\nmaterial: mild steel\nruler: mm\n"
/* Flat disc of 100 mm, a zone of 30 mm in its middle. */
#define DISC                                                                          \
    HEAD "form: flat\noutline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n" \
         "thickness:\n  sheet: 1.6 mm\n  forged:\n"                                   \
         "    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n"
#define DISC_EDGE DISC "    edges: [{edge: all, thickness: 1.2 mm}]\n"
/* Flat rectangle, two zones and its lower edge. */
#define RECTANGLE                                                                      \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 120 mm, up: 90 mm}}\n" \
         "thickness:\n  forged:\n    strike:\n"                                        \
         "      - {name: one, at: [-50, 20], radius: 25 mm, thickness: 2.4 mm}\n"      \
         "      - {name: two, at: [60, -30], radius: 20 mm, thickness: 2 mm}\n"        \
         "    edges: [{edge: lower, thickness: 1.5 mm}]\n"

#endif
