/*
 * Blanks of goals: sizes in closed form, weights that balance, strips and rectangles. That blanks keep the
 * area (D = √2·d for a hemisphere, D = √(d² + 4h²) for a segment) is the handbooks' rule for drawn cups
 * (Machinery's Handbook, 31st edition, drawing of sheet metal).
 */
#include "plates.h"

#include "plan/plan_internal.h"

#include <math.h>

static const tw_blank_request usual = {.threads = 2};

static tw_blank blank_of(const tw_goal *goal)
{
    tw_blank blank;
    tw_error err = {0};

    if (tw_blank_make(goal, &usual, &blank, &err) != TW_OK)
        fail_msg("%s", err.message);
    return blank;
}

static tw_goal goal_of(const test_plate *made, double stock)
{
    const tw_stock sheet = {.thickness = stock};
    tw_goal goal;
    tw_error err = {0};

    if (tw_goal_make(made->plate, NULL, stock > 0 ? &sheet : NULL, 2, &goal, &err) != TW_OK)
        fail_msg("%s", err.message);
    return goal;
}

/* A thin round bowl of even thickness, middle given: the blank is a disc of the face's own area. */
static void segment_keeps_its_area(void **state)
{
    static const double depths[] = {30, 60, 100};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        char text[400];
        test_plate made;
        tw_goal goal;
        tw_blank blank;
        const double d = 200, wanted = sqrt(d * d + 4 * depths[k] * depths[k]);

        snprintf(text, sizeof text,
                 "plate: b\nmaterial: mild steel\nface: middle\nruler: mm\n"
                 "form: {bowl: {across: 100 mm, depth: %g mm}}\n"
                 "thickness: {forged: {edges: [{edge: rim, thickness: 1 mm}]}}\n",
                 depths[k]);
        made = test_plate_make(text, 128);
        goal = goal_of(&made, 1);
        blank = blank_of(&goal);
        assert_close(2 * sqrt(blank.net_area_mm2 / TW_PI), wanted, 1e-3 * wanted);
        assert_close(blank.box_mm[0], wanted, 2e-3 * wanted);
        assert_close(blank.bounds_dome.even_blank, wanted, 1e-9 * wanted);
        assert_close(blank.net_area_mm2 * 1, goal.weight.volume_mm3, 1e-3 * blank.net_area_mm2);
        tw_blank_release(&blank);
        tw_goal_release(&goal);
        test_plate_free(&made);
    }
}

static const char dished[] =
    "plate: p\nmaterial: mild steel\nruler: mm\nform: {bowl: {across: 120 mm, up: 90 mm, depth: 40 "
    "mm}}\n"
    "thickness: {forged: {strike: [{name: s, at: [0, 0], radius: 30 mm, thickness: 2.4 mm}],\n"
    "  edges: [{edge: rim, thickness: 1.2 mm}]}}\n"
    "losses: {heats: 5, scale: 0.02 mm, polish: 0.05 mm, trim: 7 mm}\n"
    "holes: [{at: [60, 0], radius: 2 mm}]\n";

/* What is cut less all that is lost is the finished plate, as far as the layout keeps areas. */
static void weights_balance(void **state)
{
    test_plate made = test_plate_make(dished, 192);
    tw_goal goal = goal_of(&made, 2.5);
    tw_blank blank = blank_of(&goal);
    const double lost =
        blank.scale_loss_g + blank.polish_loss_g + blank.trim_loss_g + blank.drilled_g;

    (void)state;
    assert_close(blank.blank_g - lost, blank.finished_g, 1.5e-3 * blank.finished_g);
    assert_true(blank.scale_loss_g > 0 && blank.polish_loss_g > 0 && blank.drilled_g > 0);
    assert_close(blank.thickest_part, (2.4 + 0.2 + 0.1) / 2.5, 1e-9);
    assert_close(blank.least_stock_mm, 2.7 / 1.1, 1e-9);
    /* gathered less drawn is the metal less even sheet over the face; first order in thickness */
    assert_close(blank.gather_g - blank.draw_g,
                 goal.before_g - 2.5 * blank.layout->face_area * made.plate->profile->density,
                 0.02 * blank.draw_g);
    tw_blank_release(&blank);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* The layout of one stock is that of another, grown as the root of their ratio. */
static void stocks_share_one_shape(void **state)
{
    test_plate made = test_plate_make(dished, 128);
    tw_goal thin = goal_of(&made, 1.6), thick = goal_of(&made, 3);
    tw_blank one = blank_of(&thin), other = blank_of(&thick);
    const double grown = sqrt(3 / 1.6);

    (void)state;
    assert_close(one.net_area_mm2, other.net_area_mm2 * 3 / 1.6, 2e-3 * one.net_area_mm2);
    for (int k = 0; k < 2; k++)
        assert_close(one.box_mm[k] - 14, grown * (other.box_mm[k] - 14), 4e-3 * one.box_mm[k]);
    tw_blank_release(&one);
    tw_blank_release(&other);
    tw_goal_release(&thin);
    tw_goal_release(&thick);
    test_plate_free(&made);
}

static void no_blank_without_a_sheet(void **state)
{
    test_plate made = test_plate_make(dished, 64);
    tw_goal goal = goal_of(&made, 0);
    tw_blank blank;
    tw_error err = {0};

    (void)state;
    assert_int_equal(tw_blank_make(&goal, &usual, &blank, &err), TW_ERR_INPUT);
    tw_goal_release(&goal);
    test_plate_free(&made);
}

/* ---- strips: a band of width w outside a convex line of length L has L·w + π·w² (J. Steiner) ---------- */

static double strip(const double (*line)[2], size_t count, double width)
{
    tw_arena *arena = tw_arena_new();
    double(*out)[2], area;
    size_t n;
    tw_error err = {0};

    if (tw_line_outward(line, count, width, arena, &out, &n, &err) != TW_OK)
        fail_msg("%s", err.message);
    for (size_t k = 0; k < n; k++) /* no point twice, the first neither */
        assert_true(hypot(out[(k + 1) % n][0] - out[k][0], out[(k + 1) % n][1] - out[k][1]) > 1e-6);
    area = tw_polygon_area((const double(*)[2])out, n) - tw_polygon_area(line, count);
    tw_arena_free(arena);
    return area;
}

static void strip_round_a_disc(void **state)
{
    double line[360][2];

    (void)state;
    for (size_t k = 0; k < 360; k++) {
        line[k][0] = 80 * cos((double)k * TW_PI / 180);
        line[k][1] = 80 * sin((double)k * TW_PI / 180);
    }
    assert_close(strip((const double(*)[2])line, 360, 9), TW_PI * (2 * 80 * 9 + 9 * 9), 2);
}

/* An L of arms 60 by 20: L·w + π·w² but for its hollow corner, where w² is counted twice and no quarter disc
 * lies: five convex corners give 5/4·π·w². */
static void strip_round_a_hollow_corner(void **state)
{
    static const double line[6][2] = {{0, 0}, {60, 0}, {60, 20}, {20, 20}, {20, 60}, {0, 60}};
    const double w = 5;

    (void)state;
    for (size_t first = 0; first < 6; first++) { /* wherever the line begins */
        double from[6][2];
        for (size_t k = 0; k < 6; k++)
            memcpy(from[k], line[(first + k) % 6], sizeof from[k]);
        assert_close(strip((const double(*)[2])from, 6, w), 240 * w + 1.25 * TW_PI * w * w - w * w,
                     0.5);
    }
}

/* A hair's turn either way at every corner, as meshes have: no strip may cross itself there. */
static void strip_round_a_wavy_line(void **state)
{
    double line[720][2];
    test_random rng = test_random_begin("wavy line");

    (void)state;
    for (size_t k = 0; k < 720; k++) {
        const double angle = (double)k * TW_PI / 360;
        const double r = 100 + 8 * cos(5 * angle) + test_uniform(&rng, -1e-3, 1e-3);
        line[k][0] = r * cos(angle);
        line[k][1] = r * sin(angle);
    }
    assert_true(strip((const double(*)[2])line, 720, 6) > 0);
}

static void notch_that_closes_is_told(void **state)
{
    static const double line[8][2] = {{0, 0},   {100, 0}, {100, 50}, {53, 50},
                                      {53, 10}, {47, 10}, {47, 50},  {0, 50}};
    tw_arena *arena = tw_arena_new();
    double(*out)[2], area;
    size_t n;
    tw_error err = {0};
    const tw_status status = tw_line_outward(line, 8, 5, arena, &out, &n, &err);

    (void)state; /* either closed over as a whole, or told: never a line that crosses itself */
    if (status == TW_OK) {
        area = tw_polygon_area((const double(*)[2])out, n);
        assert_true(area > 100 * 50 && area < 110 * 60);
    } else {
        assert_int_equal(status, TW_ERR_SHAPE);
    }
    tw_arena_free(arena);
}

static void rectangle_turned(void **state)
{
    const double c = cos(0.5), s = sin(0.5);
    double line[4][2], size[2], turn, middle[2];
    static const double corners[4][2] = {{-60, -20}, {60, -20}, {60, 20}, {-60, 20}};
    tw_error err;

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        line[k][0] = 10 + c * corners[k][0] - s * corners[k][1];
        line[k][1] = -5 + s * corners[k][0] + c * corners[k][1];
    }
    assert_int_equal(tw_least_rectangle((const double(*)[2])line, 4, size, &turn, middle, &err),
                     TW_OK);
    assert_close(size[0], 120, 1e-9);
    assert_close(size[1], 40, 1e-9);
    assert_close(turn, 0.5, 1e-9);
    assert_close(middle[0], 10, 1e-9);
    assert_close(middle[1], -5, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(segment_keeps_its_area),  cmocka_unit_test(weights_balance),
        cmocka_unit_test(stocks_share_one_shape),  cmocka_unit_test(no_blank_without_a_sheet),
        cmocka_unit_test(strip_round_a_disc),      cmocka_unit_test(strip_round_a_hollow_corner),
        cmocka_unit_test(strip_round_a_wavy_line), cmocka_unit_test(notch_that_closes_is_told),
        cmocka_unit_test(rectangle_turned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
