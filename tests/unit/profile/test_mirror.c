/* `symmetric: yes`: what is given on the + side stands on the other side too. */
#include "read.h"

#define SYM HEAD "symmetric: yes\nform: flat\noutline:\n"

static void assert_points(const tw_edge_spec *edge, const char *name, size_t count,
                          const double (*points)[2])
{
    assert_string_equal(edge->name, name);
    assert_int_equal(edge->point_count, count);
    for (size_t k = 0; k < count; k++) {
        assert_close(edge->points[k].value[0], points[k][0], 1e-12);
        assert_close(edge->points[k].value[1], points[k][1], 1e-12);
    }
}

/* First and last edge are joined with their twins and keep their names; the ends of all eight
 * edges meet, all the way round. */
static void mirrors_a_half_outline(void **state)
{
    static const double lower[][2] = {{-50, 5}, {0, 0}, {50, 5}};
    static const double arm_right[][2] = {{60, 40}, {40, 70}, {30, 90}};
    static const double arm_left[][2] = {{-30, 90}, {-40, 70}, {-60, 40}};
    static const double upper[][2] = {{30, 90}, {15, 85}, {0, 84}, {-15, 85}, {-30, 90}};
    tw_profile *p =
        read_ok(SYM "  - {edge: lower, points: [[0.5, 0], [50, 5]], smooth: yes}\n"
                    "  - {edge: side, points: [[50, 5], [60, 40]], corner: 3 mm}\n"
                    "  - {edge: arm, points: [[60, 40], [40, 70], [30, 90]]}\n"
                    "  - {edge: upper, points: [[30, 90], [15, 85], [0, 84]]}\n"
                    "thickness:\n  forged:\n    edges:\n"
                    "      - {edge: arm, thickness: 1.1 mm}\n"
                    "      - {edge: side left, thickness: 1.2 mm}\n"
                    "      - {edge: upper, thickness: 1.3 mm}\n"
                    "turned edges: [{edge: side, roll: 6 mm}, {edge: all, roll: 5 mm}]\n",
                NULL, 0);
    const tw_outline_spec *outline = &p->outline;

    (void)state;
    assert_true(p->symmetric);
    assert_int_equal(outline->edge_count, 6);
    assert_points(&outline->edges[0], "lower", 3, lower); /* 0.5 mm off the centre line: on it */
    assert_true(outline->edges[0].smooth);
    assert_string_equal(outline->edges[1].name, "side right");
    assert_points(&outline->edges[2], "arm right", 3, arm_right);
    assert_points(&outline->edges[3], "upper", 5, upper);
    assert_points(&outline->edges[4], "arm left", 3, arm_left);
    assert_string_equal(outline->edges[5].name, "side left");
    assert_close(outline->edges[5].corner, 3, 0);
    for (size_t k = 0; k < 6; k++) {
        const tw_edge_spec *one = &outline->edges[k], *next = &outline->edges[(k + 1) % 6];
        const tw_point *end = &one->points[one->point_count - 1];
        assert_close(end->value[0], next->points[0].value[0], 1e-12);
        assert_close(end->value[1], next->points[0].value[1], 1e-12);
    }
    assert_int_equal(p->forged.edge_count, 4);
    assert_string_equal(p->forged.edges[0].edge, "arm right");
    assert_string_equal(p->forged.edges[1].edge, "arm left");
    assert_close(p->forged.edges[1].thickness, 1.1, 1e-15);
    assert_string_equal(p->forged.edges[2].edge, "side left");
    assert_string_equal(p->forged.edges[3].edge, "upper");
    assert_int_equal(p->turned_count, 3);
    assert_string_equal(p->turned[1].edge, "side left");
    assert_string_equal(p->turned[2].edge, "all");
    tw_profile_free(p);
}

/* One edge from the centre line to the centre line closes on itself; no point is there twice. */
static void closes_a_single_edge(void **state)
{
    static const double whole[][2] = {{0, 0}, {40, 10}, {30, 60}, {0, 70}, {-30, 60}, {-40, 10}};
    tw_profile *p =
        read_ok(SYM "  - {edge: rim, points: [[0, 0], [40, 10], [30, 60], [0, 70]]}\n", NULL, 0);

    (void)state;
    assert_int_equal(p->outline.edge_count, 1);
    assert_points(&p->outline.edges[0], "rim", 6, whole);
    tw_profile_free(p);
}

static void joins_edges_along_the_rim(void **state)
{
    tw_profile *p = read_ok(HEAD "symmetric: yes\nform: {bowl: {across: 90 mm, depth: 50 mm}}\n"
                                 "outline:\n"
                                 "  - {edge: lower, along: rim}\n"
                                 "  - {edge: side, points: [[80, 10], [60, 30], [40, 90]]}\n"
                                 "  - {edge: upper, along: rim}\n",
                            NULL, 0);
    static const char *const names[] = {"lower", "side right", "upper", "side left"};

    (void)state;
    assert_int_equal(p->outline.edge_count, 4);
    for (size_t k = 0; k < 4; k++) {
        assert_string_equal(p->outline.edges[k].name, names[k]);
        assert_int_equal(p->outline.edges[k].along_rim, k % 2 == 0);
    }
    tw_profile_free(p);
}

static void mirrors_zones_and_holes(void **state)
{
    tw_profile *p = read_ok(
        HEAD "symmetric: yes\nform: {bowl: {across: 90 mm, depth: 50 mm}}\n"
             "thickness:\n  forged:\n    strike:\n"
             "      - {name: mid, at: [0, 10], radius: 5 mm, thickness: 2 mm}\n"
             "      - {name: flank, at: [30, 10], across: 5 mm, up: 8 mm, thickness: 2 mm}\n"
             "      - {at: {from crown: 50, toward: 30 deg}, radius: 5 mm, thickness: 2 mm}\n"
             "      - {name: wide, points: [[-9, 0], [9, 0], [0, 9]], thickness: 2 mm}\n"
             "      - {name: half, points: [[0, 0], [9, 0], [0, 9]], thickness: 2 mm}\n"
             "      - {name: spine, line: [[0, 0], [0, 9]], width: 4 mm, thickness: 2 mm}\n"
             "      - {name: solid, at: {x: 5, y: 6, z: 7}, radius: 4 mm, thickness: 2 mm}\n"
             "      - {name: low, at: {from crown: 50, toward: 180 deg}, radius: 5 mm, thickness: "
             "2 mm}\n"
             "holes: [{at: [20, 0], radius: 2 mm}, {at: [0, 30], radius: 2 mm}]\n"
             "checks: [{from: [0, 0], to: [20, 0], tape: 20 mm}]\n",
        NULL, 0);
    static const char *const names[] = {
        "mid",        "flank right", "flank left", "strike 3 right", "strike 3 left", "wide",
        "half right", "half left",   "spine",      "solid right",    "solid left",    "low"};
    const tw_strike *s = p->forged.strikes;

    (void)state;
    assert_int_equal(p->forged.strike_count, 12);
    for (size_t k = 0; k < 12; k++)
        assert_string_equal(s[k].name, names[k]);
    assert_close(s[1].shape.at.value[0], 30, 0);
    assert_close(s[2].shape.at.value[0], -30, 0);
    assert_close(s[2].shape.at.value[1], 10, 0);
    assert_close(s[2].shape.up, 8, 0);
    assert_close(s[4].shape.at.value[1], -TW_PI / 6, 1e-15);
    assert_close(s[7].shape.points[0].value[1], 9, 0); /* reversed, so that it runs the same way */
    assert_close(s[7].shape.points[1].value[0], -9, 0);
    assert_false(signbit(s[7].shape.points[0].value[0]));
    assert_close(s[10].shape.at.value[0], -5, 0);
    assert_close(s[10].shape.at.value[2], 7, 0);
    assert_int_equal(p->hole_count, 3);
    assert_close(p->holes[1].at.value[0], -20, 0);
    assert_int_equal(p->check_count, 1);
    tw_profile_free(p);
}

static void right_stands_for_left_on_four_sides(void **state)
{
    tw_profile *p = read_ok(HEAD "symmetric: yes\nform: flat\n"
                                 "outline: {rectangle: {at: [0, 0], across: 9 mm, up: 9 mm}}\n"
                                 "thickness: {forged: {edges: [{edge: right, thickness: 1 mm},"
                                 " {edge: upper, thickness: 2 mm}]}}\n",
                            NULL, 0);

    (void)state;
    assert_int_equal(p->forged.edge_count, 3);
    assert_string_equal(p->forged.edges[1].edge, "left");
    tw_profile_free(p);
}

static void refuses_what_has_no_twin(void **state)
{
    static const struct {
        const char *text, *message;
        int line, column;
    } cases[] = {
        {SYM "  - {edge: a, points: [[5, 0], [9, 9], [0, 9]]}\n", "begins and ends on the centre",
         7, 24},
        {SYM "  - {edge: a, points: [[0, 0], [9, 9], [9, 12]]}\n", "begins and ends on the centre",
         7, 40},
        {SYM "  - {edge: a, points: [[0, 0], [-9, 9], [0, 12]]}\n", "stays on the + side", 7, 32},
        {SYM "  - {edge: a, points: [[0, 0], [0, 12]]}\n", "at least 3 points", 7, 5},
        {HEAD
         "symmetric: yes\nform: flat\noutline: {ellipse: {at: [1, 0], across: 9 mm, up: 9 mm}}\n",
         "stands on the centre line", 6, 25},
        {SYM "  - {edge: a, points: [[0, 0], [9, 9], [0, 12]]}\n"
             "holes: [{at: [-4, 5], radius: 1 mm}]\n",
         "only the + side", 8, 9},
        {SYM "  - {edge: a, points: [[0, 0], [9, 9], [0, 12]]}\n"
             "holes: [{at: {edge: a, along: 4}, radius: 1 mm}]\n",
         "cannot be mirrored", 8, 14},
        {SYM "  - {edge: a, points: [[0, 0], [9, 9], [0, 12]]}\n"
             "thickness: {forged: {edges: [{edge: b, thickness: 1 mm}]}}\n",
         "no edge \"b\"", 8, 37},
        {SYM "  - {edge: a, points: [[0, 0], [9, 9]]}\n  - {edge: b, points: [[9, 9], [9, 10]]}\n"
             "  - {edge: c, points: [[9, 10], [0, 12]]}\n"
             "thickness: {forged: {edges: [{edge: b, thickness: 1 mm}, {edge: b left, thickness: 1 "
             "mm}]}}\n",
         "\"b left\" is there twice", 10, 65},
    };

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        tw_notes errors;
        read_bad(cases[k].text, strlen(cases[k].text), NULL, 0, &errors);
        if (errors.count != 1 || !strstr(errors.items[0].message, cases[k].message) ||
            errors.items[0].line != cases[k].line || errors.items[0].column != cases[k].column) {
            print_error("%s\ngave %zu: %d:%d %s\n", cases[k].text, errors.count,
                        errors.items[0].line, errors.items[0].column, errors.items[0].message);
            fail();
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mirrors_a_half_outline),
        cmocka_unit_test(closes_a_single_edge),
        cmocka_unit_test(joins_edges_along_the_rim),
        cmocka_unit_test(mirrors_zones_and_holes),
        cmocka_unit_test(right_stands_for_left_on_four_sides),
        cmocka_unit_test(refuses_what_has_no_twin),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
