/*
 * Strips of turned edges on the blank. On flat plates of the sheet's own thickness the blank is the plate, so that
 * strips have closed forms: a ring, a rectangle, the corner between two of them; and the grams are those that
 * the weigh room counts for the roll.
 */
#include "plates.h"

#include "plan/plan_internal.h"

#include <math.h>

#define DENSITY 7.85e-3
/* Metal of a roll of 8 mm over a wire of 4 mm per length of edge [mm²]. */
#define ROLL (0.25 * TW_PI * (64 - 16))

static const char head[] = "plate: p\nmaterial: mild steel\nruler: mm\nform: flat\nstock: 2 mm\n"
                           "thickness: {forged: {edges: [{edge: all, thickness: 2 mm}]}}\n";
static const char square[] = "outline:\n"
                             "  - {edge: lower, points: [[0, 0], [200, 0]]}\n"
                             "  - {edge: right, points: [[200, 0], [200, 100]]}\n"
                             "  - {edge: upper, points: [[200, 100], [0, 100]]}\n"
                             "  - {edge: left, points: [[0, 100], [0, 0]]}\n";
/* The same with a quarter cut out of it: a hollow corner at [100, 50]. */
static const char angle[] = "outline:\n"
                            "  - {edge: lower, points: [[0, 0], [200, 0]]}\n"
                            "  - {edge: right, points: [[200, 0], [200, 50]]}\n"
                            "  - {edge: step, points: [[200, 50], [100, 50]]}\n"
                            "  - {edge: riser, points: [[100, 50], [100, 100]]}\n"
                            "  - {edge: upper, points: [[100, 100], [0, 100]]}\n"
                            "  - {edge: left, points: [[0, 100], [0, 0]]}\n";

typedef struct made {
    test_plate plate;
    tw_goal goal;
    tw_blank blank;
} made;

static tw_status try_make(const char *outline, const char *more, made *out, tw_error *err)
{
    const tw_blank_request request = {.nodes = 1500, .threads = 1};
    char text[1500];

    snprintf(text, sizeof text, "%s%s%s", head, outline, more);
    *out = (made){.plate = test_plate_make(text, 64)};
    assert_int_equal(tw_goal_make(out->plate.plate, NULL, NULL, 1, &out->goal, NULL), TW_OK);
    return tw_blank_make(&out->goal, &request, &out->blank, err);
}

static void make(const char *outline, const char *more, made *out)
{
    tw_error err = {0};

    if (try_make(outline, more, out, &err) != TW_OK)
        fail_msg("%s", err.message);
}

static void end(made *one)
{
    tw_blank_release(&one->blank);
    tw_goal_release(&one->goal);
    test_plate_free(&one->plate);
}

static double counted_g(const made *one)
{
    const tw_plate_map *map = tw_plate_map_of(one->plate.plate, TW_MAP_FORGED);
    tw_extra_weight extra;
    double sum = 0;

    assert_int_equal(tw_plate_extra(one->plate.plate, map, &extra, NULL), TW_OK);
    for (size_t k = 0; k < extra.turn_count; k++)
        sum += extra.turns[k].sheet_g;
    tw_extra_weight_release(&extra);
    return sum;
}

/* A disc of 100 mm: π((100 + w)² − 100²) · 2 mm = 2π·100·M. */
static void ring_holds_the_roll(void **state)
{
    const double wanted = sqrt(100 * 100 + 2 * 100 * ROLL / 2) - 100;
    const char rim[] = "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\n";
    made one;

    (void)state;
    make(rim, "turned edges: [{edge: rim, roll: 8 mm, wire: 4 mm}]\n", &one);
    assert_int_equal(one.blank.turn_count, 1);
    assert_close(one.blank.turns[0].width_mm, wanted, 2e-3 * wanted);
    assert_close(one.blank.turns[0].wrap_mm, ROLL / 2, 1e-9);
    for (size_t k = 0; k < one.blank.turned_count; k++)
        assert_close(hypot(one.blank.turned[k][0], one.blank.turned[k][1]), 100 + wanted, 0.3);
    assert_close(one.blank.turned_g, counted_g(&one), 1e-9);
    assert_close(one.blank.turned_g, 2 * TW_PI * 100 * ROLL * DENSITY, 1e-2);
    assert_close(one.blank.turn_area_mm2 * 2 * DENSITY, one.blank.turned_g,
                 2e-3 * one.blank.turned_g);
    assert_close(one.blank.blank_g, one.blank.finished_g, 1e-3 * one.blank.blank_g);
    end(&one);
}

/* One side of a rectangle: a strip M/2 wide, its ends square; the other sides stay where they are. */
static void strip_ends_square(void **state)
{
    made one;

    (void)state;
    make(square, "turned edges: [{edge: upper, roll: 8 mm, wire: 4 mm}]\n", &one);
    assert_close(one.blank.turns[0].width_mm, ROLL / 2, 0.02);
    assert_close(one.blank.turn_area_mm2, 200 * ROLL / 2, 0.002 * 200 * ROLL / 2);
    assert_close(one.blank.box_mm[0], 200, 0.2);
    assert_close(one.blank.box_mm[1], 100 + ROLL / 2, 0.2);
    end(&one);
}

/* Losses of the strip: (2 + 0.1 + 0.2)/2 times as wide; what is weighed as cut is what is finished and lost. */
static void losses_widen_the_strip(void **state)
{
    made one;

    (void)state;
    make(square,
         "turned edges: [{edge: upper, roll: 8 mm, wire: 4 mm}]\n"
         "losses: {heats: 5, scale: 0.02 mm, polish: 0.05 mm, trim: 6 mm}\n",
         &one);
    /* the blank of 2.3 mm in sheet of 2 mm is √1.15 times as long: so is the strip as wide */
    assert_close(one.blank.turns[0].width_mm, sqrt(1.15) * ROLL / 2, 0.03);
    assert_close(one.blank.turned_g, 200 * ROLL * DENSITY, 1e-3);
    assert_close(one.blank.blank_g - one.blank.scale_loss_g - one.blank.polish_loss_g -
                     one.blank.trim_loss_g - one.blank.drilled_g,
                 one.blank.finished_g, 1e-3 * one.blank.blank_g);
    assert_close(one.blank.box_mm[1], sqrt(1.15) * (100 + ROLL / 2) + 12, 0.2);
    assert_close(one.blank.rough_g,
                 one.blank.finished_g + one.blank.polish_loss_g + one.blank.trim_loss_g, 1e-6);
    end(&one);
}

/* Two sides meet outward: a straight cut leaves a triangle of w²/2 between them, which is no roll: trim. */
static void outward_corner_is_trimmed(void **state)
{
    const double w = ROLL / 2;
    made one;

    (void)state;
    make(square,
         "turned edges:\n"
         "  - {edge: upper, roll: 8 mm, wire: 4 mm}\n"
         "  - {edge: left, roll: 8 mm, wire: 4 mm}\n",
         &one);
    assert_close(one.blank.turn_area_mm2, 300 * w + w * w / 2, 0.003 * 300 * w);
    assert_close(one.blank.trim_loss_g, w * w / 2 * 2 * DENSITY, 0.5);
    end(&one);
}

/* Two sides meet hollow: the square that both strips want is there once. */
static void hollow_corner_is_shared(void **state)
{
    const double w = ROLL / 2;
    made one;

    (void)state;
    make(angle,
         "turned edges:\n"
         "  - {edge: step, roll: 8 mm, wire: 4 mm}\n"
         "  - {edge: riser, roll: 8 mm, wire: 4 mm}\n",
         &one);
    assert_close(one.blank.turn_area_mm2, 150 * w - w * w, 0.01 * 150 * w);
    assert_false(
        tw_line_crosses_itself((const double(*)[2])one.blank.turned, one.blank.turned_count));
    end(&one);
}

static void without_turned_edges_it_is_the_net_line(void **state)
{
    made one;

    (void)state;
    make(square, "", &one);
    assert_int_equal(one.blank.turn_count, 0);
    assert_ptr_equal(one.blank.turned, one.blank.line);
    assert_int_equal(one.blank.turned_count, one.blank.line_first[1]);
    assert_close(one.blank.turned_g, 0, 0);
    end(&one);
}

/* The inside of a bay hardly wider than its strip. */
static void too_hollow_is_told(void **state)
{
    tw_error err = {0};
    made one;

    (void)state;
    assert_int_equal(
        try_make(
            "outline:\n"
            "  - {edge: round, points: [[0, 0], [60, 0], [60, 60], [0, 60]]}\n"
            "  - {edge: a, points: [[0, 60], [0, 34]]}\n"
            "  - {edge: bay, points: [[0, 34], [20, 38], [28, 30], [20, 22], [0, 26]], smooth: "
            "yes}\n"
            "  - {edge: b, points: [[0, 26], [0, 0]]}\n",
            "turned edges: [{edge: bay, roll: 20 mm, wire: 4 mm}]\n", &one, &err),
        TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "bay"));
    end(&one);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ring_holds_the_roll),
        cmocka_unit_test(strip_ends_square),
        cmocka_unit_test(losses_widen_the_strip),
        cmocka_unit_test(outward_corner_is_trimmed),
        cmocka_unit_test(hollow_corner_is_shared),
        cmocka_unit_test(without_turned_edges_it_is_the_net_line),
        cmocka_unit_test(too_hollow_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
