/* stock_blank.h: plates and their blanks for the tests of sheets, on coarse meshes. */
#ifndef STOCK_BLANK_H
#define STOCK_BLANK_H

#include "plates.h"

#include <stdlib.h>

#define STEEL 7.85e-3 /* [g/mm³] */
/* Cap of base radius 100 and depth 60 mm, even. */
#define CAP_EVEN                                                   \
    "plate: t\nmaterial: mild steel\nruler: mm\nface: middle\n"    \
    "form: {bowl: {across: 100 mm, depth: 60 mm}}\noutline: rim\n" \
    "thickness:\n  sheet: 1.6 mm\n  forged: {edges: [{edge: all, thickness: 1.5 mm}]}\n"
/* The same from 2.4 mm at its crown to 1.4 mm at the rim. */
#define CAP_GRADED                                                                \
    "plate: t\nmaterial: mild steel\nruler: mm\nface: middle\n"                   \
    "form: {bowl: {across: 100 mm, depth: 60 mm}}\noutline: rim\n"                \
    "thickness:\n  sheet: 16 swg\n  forged:\n"                                    \
    "    strike: [{name: crown, at: [0, 0], radius: 20 mm, thickness: 2.4 mm}]\n" \
    "    edges: [{edge: all, thickness: 1.4 mm}]\n"
/* 200 × 100 mm, flat and even. */
#define FLAT_EVEN                                                                      \
    HEAD "form: flat\noutline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n" \
         "thickness: {sheet: 2 mm, forged: {edges: [{edge: all, thickness: 1.5 mm}]}}\n"

typedef struct test_blank {
    test_plate of;
    tw_goal goal;
    tw_blank blank;
} test_blank;

static inline test_blank *test_blank_make(const char *text, double stock, double trim, size_t nodes)
{
    const tw_stock sheet = {.thickness = stock, .system = TW_GAUGE_SYSTEMS};
    const tw_blank_request request = {.nodes = nodes, .threads = 2};
    test_blank *made = calloc(1, sizeof *made);
    tw_error err = {0};

    if (!made)
        fail_msg("no memory for a blank");
    made->of = test_plate_make(text, 64);
    made->of.profile->losses.trim.value = trim;
    if (tw_goal_make(made->of.plate, NULL, &sheet, 2, &made->goal, &err) != TW_OK ||
        tw_blank_make(&made->goal, &request, &made->blank, &err) != TW_OK)
        fail_msg("%s", err.message);
    return made;
}

static inline void test_blank_free(test_blank *made)
{
    tw_blank_release(&made->blank);
    tw_goal_release(&made->goal);
    test_plate_free(&made->of);
    free(made);
}

static inline tw_stock_ranking test_rank(const test_blank *made, const tw_stock_request *request)
{
    tw_stock_ranking ranking = {0};
    tw_error err = {0};

    if (tw_stock_rank(&made->blank, request, &ranking, &err) != TW_OK)
        fail_msg("%s", err.message);
    return ranking;
}

/* The row of a sheet of the metric series. */
static inline const tw_stock_choice *test_sheet(const tw_stock_ranking *ranking, double mm)
{
    for (size_t k = 0; k < ranking->count; k++)
        if (!ranking->choices[k].stock.by_gauge &&
            fabs(ranking->choices[k].stock.thickness - mm) < 1e-9)
            return &ranking->choices[k];
    fail_msg("no row for %g mm", mm);
    return NULL;
}

#endif
