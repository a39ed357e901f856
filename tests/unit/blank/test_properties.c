/*
 * What must hold on any plate: no triangle turned over, wanted areas kept, the same blank when the plate
 * is turned or more threads help; points go to the blank and back; work can be stopped.
 */
#include "blank_checks.h"

#include <stdlib.h>

static double smooth_map(double across, double up, void *context)
{
    const double *k = context;

    return k[0] * (1 + k[1] * sin(across / k[2] + k[3]) * cos(up / k[2]));
}

static void draw_form(test_random *random, char *text, size_t size)
{
    static const char *const profiles[] = {"round", "full", "cone", "parabola"};
    const double a = test_uniform(random, 80, 160), b = a * test_uniform(random, 0.6, 1.4);

    if (test_uniform(random, 0, 1) < 0.5)
        snprintf(text, size,
                 "form: {bowl: {across: %.3f mm, up: %.3f mm, depth: %.3f mm, profile: %s}}", a, b,
                 test_uniform(random, 0.2, 0.9) * fmin(a, b),
                 profiles[(int)test_uniform(random, 0, 4) % 4]);
    else {
        const double w = test_uniform(random, 180, 300), h = test_uniform(random, 0.2, 0.4) * w;
        snprintf(text, size,
                 "form:\n  loft:\n    - {ruler: 0, width: %.3f, centre: %.3f, sides: 0}\n"
                 "    - {ruler: 130, width: %.3f, centre: %.3f, sides: 2}\n"
                 "    - {ruler: 260, width: %.3f, centre: %.3f, sides: 8}\n"
                 "%s",
                 w, h, w * test_uniform(random, 0.9, 1.2), h * test_uniform(random, 0.9, 1.4), w,
                 h * test_uniform(random, 0.7, 1.1),
                 test_uniform(random, 0, 1) < 0.5 ? "  keel: {stands: 5 mm, width: 60 mm}\n"
                                                  : "holes:\n  - {at: [30, 120], radius: 15 mm}\n");
    }
}

static void no_triangle_turns_over_on_random_plates(void **state)
{
    enum { PLATES = TEST_SANITIZED ? 5 : 36 };
    test_random random = test_random_begin("no_triangle_turns_over_on_random_plates");

    (void)state;
    for (int trial = 0; trial < PLATES; trial++) {
        char text[1024];
        double map[4] = {test_uniform(&random, 0.7, 2), test_uniform(&random, 0, 0.35),
                         test_uniform(&random, 25, 80), test_uniform(&random, 0, 6)};
        shape s;
        draw_form(&random, text, sizeof text);
        s = shape_of(trial % 3 == 0 ? "inside" : "outside", text);
        for (int held = 0; held < 2; held++) {
            const size_t nodes = trial % 6 ? 400 : 3000;
            tw_layout *layout = lay_out(&s, held ? smooth_map : NULL, map, nodes, 1.5);
            tw_sum volume = {0, 0};
            assert_none_turned_over(layout);
            assert_false(layout->overlaps);
            assert_true(layout->ratio_error <= 2e-3);
            for (size_t n = 0; n < layout->mesh->node_count; n++) {
                const double *at = layout->mesh->tape[n], t = layout->thickness[n];
                if (held)
                    assert_close(t, smooth_map(at[0], at[1], map), 2e-3 * t);
                tw_sum_add(&volume, t * layout->mesh->area[n]);
            }
            assert_close(layout->blank_area * 1.5, tw_sum_value(&volume),
                         1e-3 * tw_sum_value(&volume));
            tw_layout_free(layout);
        }
        shape_free(&s);
    }
}

/* The same piece of a ball, its outline turned about the crown: triangles differ, the blank does not. */
static void blank_is_the_same_for_a_turned_plate(void **state)
{
    double measured[3][5], one = 1.2;

    (void)state;
    for (int k = 0; k < 3; k++) {
        const double turn = k * 0.7;
        char text[1024], points[6][64];
        shape s;
        tw_layout *layout;
        double corner[4][2];
        for (int n = 0; n < 6; n++) { /* an uneven hexagon */
            const double angle = turn + n * TW_PI / 3, radius = n % 2 ? 130 : 150 - 8 * n;
            snprintf(points[n], sizeof points[n], "[%.12f, %.12f]", radius * cos(angle),
                     radius * sin(angle));
            if (n < 4) {
                corner[n][0] = radius * cos(angle);
                corner[n][1] = radius * sin(angle);
            }
        }
        snprintf(text, sizeof text,
                 "form: {bowl: {across: 140 mm, up: 140 mm, depth: 120 mm}}\noutline: [{edge: a, "
                 "points: [%s, %s, %s]}, {edge: b, points: [%s, %s, %s, %s, %s]}]",
                 points[0], points[1], points[2], points[2], points[3], points[4], points[5],
                 points[0]);
        s = shape_of("outside", text);
        layout = lay_out(&s, even_thickness, &one, 5000, 1.5);
        for (int n = 0; n < 4; n++) {
            double a[2], b[2];
            assert_true(tw_layout_to_blank(layout, corner[n], a));
            assert_true(tw_layout_to_blank(layout, corner[(n + 2) % 4], b));
            measured[k][n] = hypot(a[0] - b[0], a[1] - b[1]);
        }
        measured[k][4] = layout->work;
        for (int n = 0; n < 5; n++)
            assert_close(measured[k][n], measured[0][n], 1e-3 * measured[0][n]);
        tw_layout_free(layout);
        shape_free(&s);
    }
}

static void threads_change_no_bit(void **state)
{
    shape s = shape_read("profiles/knee.yaml");
    double map[4] = {1.4, 0.3, 40, 1};
    tw_layout *layout[2] = {NULL, NULL};

    (void)state;
    for (int k = 0; k < 2; k++) {
        const tw_layout_options options = {.nodes = 1500, .stock = 1.5, .threads = k ? 5 : 1};
        assert_int_equal(tw_layout_prescribed(s.form, smooth_map, map, &options, &layout[k], NULL),
                         TW_OK);
    }
    assert_int_equal(layout[0]->mesh->node_count, layout[1]->mesh->node_count);
    assert_memory_equal(layout[0]->blank, layout[1]->blank,
                        layout[0]->mesh->node_count * sizeof *layout[0]->blank);
    assert_memory_equal(layout[0]->thickness, layout[1]->thickness,
                        layout[0]->mesh->node_count * sizeof(double));
    tw_layout_free(layout[0]);
    tw_layout_free(layout[1]);
    shape_free(&s);
}

static void points_go_to_the_blank_and_back(void **state)
{
    test_random random = test_random_begin("points_go_to_the_blank_and_back");
    shape s = shape_read("profiles/breastplate.yaml");
    tw_layout *layout = lay_out(&s, NULL, NULL, 3000, 1.6);
    const tw_outline *outline = tw_form_outline(s.form);
    double(*line)[2] = malloc(layout->mesh->node_count * sizeof *line), twice = 0;
    size_t inside = 0, count;

    (void)state;
    for (int trial = 0; trial < 500; trial++) {
        const double at[2] = {test_uniform(&random, outline->across_min, outline->across_max),
                              test_uniform(&random, outline->up_min, outline->up_max)};
        double blank[2], back[2];
        const bool metal = tw_outline_level(outline, at[0], at[1]) < 0;
        const bool found = tw_layout_to_blank(layout, at, blank);
        assert_true(found || !metal);
        if (!metal)
            continue;
        inside++;
        assert_true(tw_layout_to_tape(layout, blank, back));
        assert_close(back[0], at[0], 1e-6);
        assert_close(back[1], at[1], 1e-6);
    }
    assert_true(inside > 200);
    assert_false(tw_layout_to_blank(layout, (double[2]){1e4, 0}, (double[2]){0, 0}));
    assert_non_null(line);
    count = tw_layout_outline(layout, 0, NULL);
    assert_int_equal(tw_layout_outline(layout, 0, line), count);
    for (size_t k = 0; k < count; k++)
        twice += line[k][0] * line[(k + 1) % count][1] - line[(k + 1) % count][0] * line[k][1];
    assert_close(0.5 * twice, layout->blank_area, 1e-3 * layout->blank_area);
    free(line);
    tw_layout_free(layout);
    shape_free(&s);
}

static double thicker_outward(double across, double up, void *context)
{
    (void)context;
    return 1 + 0.012 * (hypot(across, up) - 80);
}

/* A flat ring with a narrow gap: as its outside is to be thicker than its inside, its outside is longer
 * in the blank and the ring curls past its own ends. */
static void blank_that_covers_itself_is_told(void **state)
{
    char text[2048];
    size_t length =
        (size_t)snprintf(text, sizeof text, "form: flat\noutline: [{edge: a, points: [");
    const double gap = 0.06;
    tw_layout *layout;
    shape s;

    (void)state;
    for (int n = 0; n <= 24; n++)
        length += (size_t)snprintf(text + length, sizeof text - length, "%s[%.6f, %.6f]",
                                   n ? ", " : "", 100 * cos(gap + n * (2 * TW_PI - 2 * gap) / 24),
                                   100 * sin(gap + n * (2 * TW_PI - 2 * gap) / 24));
    length += (size_t)snprintf(text + length, sizeof text - length, "]}, {edge: b, points: [");
    length += (size_t)snprintf(text + length, sizeof text - length, "[%.6f, %.6f], ",
                               100 * cos(-gap), 100 * sin(-gap));
    for (int n = 24; n >= 0; n--)
        length += (size_t)snprintf(text + length, sizeof text - length, "[%.6f, %.6f], ",
                                   60 * cos(gap + n * (2 * TW_PI - 2 * gap) / 24),
                                   60 * sin(gap + n * (2 * TW_PI - 2 * gap) / 24));
    snprintf(text + length, sizeof text - length, "[%.6f, %.6f]]}]", 100 * cos(gap),
             100 * sin(gap));
    s = shape_of("middle", text);
    layout = lay_out(&s, thicker_outward, NULL, 1500, 1);
    assert_true(layout->overlaps);
    assert_none_turned_over(layout);
    tw_layout_free(layout);
    layout = lay_out(&s, NULL, NULL, 1500, 1);
    assert_false(layout->overlaps);
    tw_layout_free(layout);
    shape_free(&s);
}

typedef struct patience {
    int calls, limit;
    double share;
} patience;

static bool stop_after(const char *step, double share, void *context)
{
    patience *p = context;

    assert_non_null(step);
    assert_true(share >= p->share && share <= 1);
    p->share = share;
    return ++p->calls < p->limit;
}

static double hole_in_the_map(double across, double up, void *context)
{
    (void)context;
    return across > 0 && up > 0 ? 0 : 1;
}

static void bad_wishes_and_stops_are_told(void **state)
{
    shape s = shape_cap("outside", 150, 1);
    patience p = {.limit = 4};
    tw_layout_options options = {.nodes = 1500, .stock = 0};
    tw_layout *layout = NULL;
    tw_error err;

    (void)state;
    assert_int_equal(tw_layout_as_formed(s.form, &options, &layout, &err), TW_ERR_DOMAIN);
    options.stock = 1;
    assert_int_equal(tw_layout_prescribed(s.form, hole_in_the_map, NULL, &options, &layout, &err),
                     TW_ERR_DOMAIN);
    options.progress = stop_after;
    options.progress_context = &p;
    assert_int_equal(tw_layout_as_formed(s.form, &options, &layout, &err), TW_ERR_INTERRUPTED);
    assert_int_equal(p.calls, 4);
    assert_null(layout);
    p = (patience){.limit = 100000};
    assert_int_equal(tw_layout_as_formed(s.form, &options, &layout, &err), TW_OK);
    assert_true(p.share > 0.3);
    tw_layout_free(layout);
    layout = NULL;
    shape_free(&s);
    /* a bowl three times as deep as its half-width: free sheet runs away to nothing at the crown */
    s = shape_of("outside",
                 "form: {bowl: {across: 100 mm, up: 100 mm, depth: 300 mm, profile: full}}");
    options.progress = NULL;
    assert_int_equal(tw_layout_as_formed(s.form, &options, &layout, &err), TW_ERR_UNREACHABLE);
    assert_non_null(strstr(err.message, "thin without end"));
    assert_null(layout);
    shape_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_triangle_turns_over_on_random_plates),
        cmocka_unit_test(blank_is_the_same_for_a_turned_plate),
        cmocka_unit_test(threads_change_no_bit),
        cmocka_unit_test(points_go_to_the_blank_and_back),
        cmocka_unit_test(blank_that_covers_itself_is_told),
        cmocka_unit_test(bad_wishes_and_stops_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
