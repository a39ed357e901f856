/*
 * test_fold.c: plates that fold and inputs that are not above zero are refused with their place;
 * plates that only look as if they might are not.
 */
#include "taperwright/weigh.h"

#include "support.h"

static const double density = 7.85e-3;

/* A face whose curvatures are given outright: folds are judged by these alone. */
typedef struct bend {
    double k1, k2;
} bend;
static void face_bend(double across, double up, const void *shape, tw_face_point *out)
{
    const bend *b = shape;

    test_face_flat(across, up, NULL, out);
    out->mean_curvature = (b->k1 + b->k2) / 2;
    out->gauss_curvature = b->k1 * b->k2;
}

static tw_status weigh_even(const tw_grid *grid, double t, tw_face_side face, tw_error *error)
{
    double *cell = test_malloc(tw_grid_cells(grid) * sizeof *cell);
    double *node = test_malloc(grid->nu * grid->nv * sizeof *node);
    tw_weight weight;
    tw_status status;

    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        cell[k] = t;
    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        node[k] = t;
    status = tw_weigh(grid, cell, node, face, density, 1, &weight, error);
    test_free(cell);
    test_free(node);
    return status;
}

static tw_status weigh_bend(double k1, double k2, double t, tw_face_side face, tw_error *error)
{
    const bend shape = {k1, k2};
    tw_grid *grid = test_grid_fill(face_bend, &shape, 0, 30, 0, 30, 20, 0);
    const tw_status status = weigh_even(grid, t, face, error);

    tw_grid_free(grid);
    return status;
}

/* A ball of radius 1 mm holds no 1.5 mm of metal inside its skin, but any amount outside it. */
static void thicker_than_the_radius_on_the_hollow_side_folds(void **state)
{
    (void)state;
    assert_int_equal(weigh_bend(1, 1, 1.5, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(1, 1, 1.5, TW_FACE_INSIDE, NULL), TW_OK);
    assert_int_equal(weigh_bend(1, 1, 1.5, TW_FACE_MIDDLE, NULL), TW_OK);
    assert_int_equal(weigh_bend(1, 1, 2.1, TW_FACE_MIDDLE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(1, 1, 0.99, TW_FACE_OUTSIDE, NULL), TW_OK);
    assert_int_equal(weigh_bend(1, 1, 1, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    /* hollow seen from outside: the other way round */
    assert_int_equal(weigh_bend(-1, -1, 1.5, TW_FACE_OUTSIDE, NULL), TW_OK);
    assert_int_equal(weigh_bend(-1, -1, 1.5, TW_FACE_INSIDE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(-1, -1, 1.5, TW_FACE_MIDDLE, NULL), TW_OK);
    /* a rod folds on its one radius, a saddle on either side */
    assert_int_equal(weigh_bend(1, 0, 1.5, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(1, 0, 1.5, TW_FACE_INSIDE, NULL), TW_OK);
    assert_int_equal(weigh_bend(1, -0.5, 1.5, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(1, -0.5, 1.5, TW_FACE_INSIDE, NULL), TW_OK);
    assert_int_equal(weigh_bend(1, -0.5, 2.5, TW_FACE_INSIDE, NULL), TW_ERR_SHAPE);
    /* both sides turned over: the product of the factors is above zero again, the plate no less
     * folded */
    assert_int_equal(weigh_bend(1, 1, 4, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    assert_int_equal(weigh_bend(1, 0.9, 40, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
}

/* Property: refused exactly when a factor 1 + k·s is not above zero somewhere in the metal. */
static void folds_are_judged_by_both_curvatures(void **state)
{
    test_random random = test_random_begin("folds_are_judged_by_both_curvatures");

    (void)state;
    for (int trial = 0; trial < 400; trial++) {
        const double k1 = test_uniform(&random, -1, 1), k2 = test_uniform(&random, -1, 1);
        const double t = test_uniform(&random, 0.1, 4);
        const tw_face_side face = (tw_face_side)(trial % 3);
        double span[2], least = 1;
        tw_face_span(face, t, span);
        for (int n = 0; n <= 1000; n++) {
            const double s = span[0] + (span[1] - span[0]) * n / 1000.0;
            least = fmin(least, fmin(1 + k1 * s, 1 + k2 * s));
        }
        if (fabs(least) > 1e-9)
            assert_int_equal(weigh_bend(k1, k2, t, face, NULL), least > 0 ? TW_OK : TW_ERR_SHAPE);
    }
}

static void the_worst_fold_is_told_with_its_place(void **state)
{
    const bend gentle = {0.01, 0.01};
    tw_grid *grid = test_grid_fill(face_bend, &gentle, -100, 100, 0, 400, 200, 0);
    const size_t bad = 77 * 200 + 31, worse = 140 * 200 + 150;
    double *thickness = test_malloc(tw_grid_cells(grid) * sizeof *thickness);
    tw_error error, again;
    tw_weight weight = {.mass_g = 5};

    (void)state;
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        thickness[k] = 1.5;
    grid->mean_curvature[bad] = 0.5 / 1.2; /* a rod of 1.2 mm */
    grid->gauss_curvature[bad] = 0;
    grid->mean_curvature[worse] = 1; /* a ball of 1 mm */
    grid->gauss_curvature[worse] = 1;
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 1, &weight, &error),
                     TW_ERR_SHAPE);
    assert_string_equal(error.message, "the plate folds at [50.5, 281.0] by tape: it is 1.5 mm "
                                       "thick over a radius of 1 mm");
    assert_string_equal(error.advice, "make it thinner than 1 mm there, or the curve wider");
    assert_true(weight.mass_g == 5);
    for (unsigned threads = 2; threads < 5; threads++) {
        assert_int_equal(
            tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, threads, &weight, &again),
            TW_ERR_SHAPE);
        assert_memory_equal(&error, &again, sizeof error);
    }
    grid->area[worse] = 0; /* no metal there: the other one counts */
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 1, &weight, &error),
                     TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "[-68.5, 155.0]"));
    assert_non_null(strstr(error.message, "radius of 1.2 mm"));
    grid->area[bad] = 0;
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 1, &weight, &error),
                     TW_OK);
    test_free(thickness);
    tw_grid_free(grid);
}

/* The middle face turns over where half the thickness meets the radius. */
static void the_middle_face_reaches_half_as_far(void **state)
{
    tw_error error;

    (void)state;
    assert_int_equal(weigh_bend(0.5, 0, 5, TW_FACE_MIDDLE, &error), TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "5 mm thick over a radius of 2 mm"));
    assert_non_null(strstr(error.advice, "thinner than 4 mm"));
}

/* Within one thickness of a crease or of a cone's tip the metal of both sides meets anyway. */
static void near_a_crease_or_tip_is_no_fold(void **state)
{
    const bend flat = {0, 0};
    tw_grid *grid = test_grid_fill(face_bend, &flat, -10, 10, 0, 10, 20, 0);
    tw_error error;
    const size_t near = 9 * 20 + 11, far = 9 * 20 + 13; /* 1.5 and 3.5 mm across, 4.75 up */

    (void)state;
    grid->creases = tw_arena_array(grid->arena, 20, sizeof *grid->creases);
    assert_non_null(grid->creases);
    for (size_t j = 0; j < 20; j++)
        grid->creases[j] = (tw_crease){.left_cell = j * 20 + 9,
                                       .right_cell = j * 20 + 10,
                                       .length = 0.5,
                                       .turn = 0,
                                       .up = 0.25 + 0.5 * (double)j,
                                       .node = j * 21 + 10};
    grid->mean_curvature[near] = 1;
    grid->gauss_curvature[near] = 1;
    assert_int_equal(weigh_even(grid, 2, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE); /* no crease yet */
    grid->crease_count = 20;
    assert_int_equal(weigh_even(grid, 2, TW_FACE_OUTSIDE, NULL), TW_OK);
    assert_int_equal(weigh_even(grid, 1.4, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE); /* out of reach */
    grid->mean_curvature[far] = 1;
    assert_int_equal(weigh_even(grid, 2, TW_FACE_OUTSIDE, &error), TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "[3.5, 4.8]"));
    grid->crease_count = 0;
    grid->mean_curvature[near] = grid->gauss_curvature[near] = 0;
    grid->has_apex = true;
    grid->apex[0] = 4;
    grid->apex[1] = 6;
    assert_int_equal(weigh_even(grid, 2, TW_FACE_OUTSIDE, NULL), TW_OK);
    grid->apex[1] = 7;
    assert_int_equal(weigh_even(grid, 2, TW_FACE_OUTSIDE, NULL), TW_ERR_SHAPE);
    tw_grid_free(grid);
}

/* ---- inputs ---------------------------------------------------------------------------------- */

static void a_thickness_must_be_above_zero_where_metal_is(void **state)
{
    static const double wrong[] = {0, -1, NAN, INFINITY, -0.0};
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, 0, 40, 0, 20, 40, 0);
    const size_t bad = 30 * 40 + 6;
    double thickness[1600];
    tw_weight weight;
    tw_error error;

    (void)state;
    for (size_t k = 0; k < 1600; k++)
        thickness[k] = 1;
    for (size_t n = 0; n < sizeof wrong / sizeof *wrong; n++) {
        thickness[bad] = wrong[n];
        thickness[bad + 200] = -7;
        assert_int_equal(
            tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 3, &weight, &error),
            TW_ERR_DOMAIN);
        assert_non_null(strstr(error.message, "[6.5, 15.2]")); /* the first one, to a tenth */
        assert_non_null(strstr(error.advice, "above 0 mm"));
    }
    grid->area[bad] = grid->area[bad + 200] = 0;
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 1, &weight, &error),
                     TW_OK);
    assert_close(weight.volume_mm3, 800 * 1598.0 / 1600, 1e-9);
    tw_grid_free(grid);
}

static void a_density_must_be_above_zero(void **state)
{
    static const double wrong[] = {0, -1, NAN, INFINITY};
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, 0, 8, 0, 8, 8, 0);
    double thickness[64];
    tw_weight weight;
    tw_error error;

    (void)state;
    for (size_t k = 0; k < 64; k++)
        thickness[k] = 1;
    for (size_t n = 0; n < sizeof wrong / sizeof *wrong; n++) {
        assert_int_equal(
            tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, wrong[n], 1, &weight, &error),
            TW_ERR_DOMAIN);
        assert_non_null(strstr(error.message, "density"));
    }
    tw_grid_free(grid);
}

/* A sampling point off its cell's middle is told where it is. */
static void a_cut_cell_is_told_at_its_own_place(void **state)
{
    const double ball = 60;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -50, 50, -50, 50, 20, 47);
    const tw_cut_cell *cut = &grid->cuts[grid->cut_count / 2];
    double *thickness = test_malloc(tw_grid_cells(grid) * sizeof *thickness);
    char place[64];
    tw_weight weight;
    tw_error error;

    (void)state;
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        thickness[k] = k == cut->cell ? -1 : 1;
    snprintf(place, sizeof place, "[%.1f, %.1f]",
             tw_grid_across(grid, cut->cell % 20) + cut->across * 5,
             tw_grid_up(grid, cut->cell / 20) + cut->up * 5);
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, density, 1, &weight, &error),
                     TW_ERR_DOMAIN);
    assert_non_null(strstr(error.message, place));
    test_free(thickness);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thicker_than_the_radius_on_the_hollow_side_folds),
        cmocka_unit_test(folds_are_judged_by_both_curvatures),
        cmocka_unit_test(the_worst_fold_is_told_with_its_place),
        cmocka_unit_test(the_middle_face_reaches_half_as_far),
        cmocka_unit_test(near_a_crease_or_tip_is_no_fold),
        cmocka_unit_test(a_thickness_must_be_above_zero_where_metal_is),
        cmocka_unit_test(a_density_must_be_above_zero),
        cmocka_unit_test(a_cut_cell_is_told_at_its_own_place),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
