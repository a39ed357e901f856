/* Every request for memory of a blank with turned edges, and of its drawing on A4, fails in turn: a status, nothing
 * lost. */
#include "drawn.h"
#include "support.h"

#include "allocation.h"
#include "taperwright/draw.h"

#include <stdlib.h>

static const char text[] =
    "plate: p\nmaterial: mild steel\nruler: mm\nform: flat\nstock: 2 mm\n"
    "outline:\n"
    "  - {edge: lower, points: [[0, 0], [240, 0]]}\n"
    "  - {edge: rim, points: [[240, 0], [240, 120], [0, 120], [0, 0]]}\n"
    "thickness: {forged: {edges: [{edge: all, thickness: 2 mm}]}}\n"
    "turned edges: [{edge: lower, roll: 8 mm, wire: 4 mm}]\nlosses: {trim: 4 mm}\n";

typedef struct work {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
} work;

static void begin(work *w)
{
    const tw_plate_options coarse = {.cells = 24};

    assert_int_equal(tw_profile_read_memory("t", text, strlen(text), NULL, 0, &w->profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(w->profile, &coarse, &w->plate, NULL), TW_OK);
    assert_int_equal(tw_goal_make(w->plate, NULL, NULL, 1, &w->goal, NULL), TW_OK);
}

static void end(work *w)
{
    tw_goal_release(&w->goal);
    tw_plate_free(w->plate);
    tw_profile_free(w->profile);
}

static void making_and_drawing_a_blank(void **state)
{
    const tw_blank_request request = {.nodes = 200, .threads = 1};
    tw_draw_options options = {.threads = 1};
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;
    tw_blank blank;
    char *bytes;
    size_t size;
    work w;

    (void)state;
    begin(&w);
    for (; status != TW_OK; granted++) {
        tw_error err = {0};
        test_allow(granted);
        status = tw_blank_make(&w.goal, &request, &blank, &err);
        test_allow(-1);
        if (status != TW_OK)
            assert_int_equal(err.status, TW_ERR_MEMORY);
    }
    assert_int_equal(blank.turn_count, 1);
    assert_true(granted > 10);
    assert_int_equal(tw_page_size_read("a4", &options.page, NULL), TW_OK);
    status = TW_ERR_MEMORY;
    for (granted = 0; status != TW_OK; granted++) {
        tw_error err = {0};
        tw_output *out = test_canvas();
        test_allow(granted);
        status = tw_draw_blank(&blank, NULL, NULL, TW_PAPER_PDF, &options, out, &err);
        test_allow(-1);
        test_drawn_bytes(status, &bytes, &size);
        if (status != TW_OK)
            assert_int_equal(err.status, TW_ERR_MEMORY);
    }
    assert_true(granted > 5);
    free(bytes);
    tw_blank_release(&blank);
    end(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(making_and_drawing_a_blank)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
