/* Even sheet, and the survey of extremes and slopes. */
#include "support.h"

#include "taperwright/thickness.h"

static void even_sheet_is_even(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -50, 50, -50, 50, 20, 0);
    tw_map map;

    (void)state;
    assert_int_equal(tw_map_sheet(grid, 1.6, &map, NULL), TW_OK);
    assert_int_equal(map.kind, TW_MAP_SHEET);
    assert_string_equal(tw_map_word(map.kind), "sheet");
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        assert_close(map.node[n], 1.6, 0);
    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        assert_close(map.cell[c], 1.6, 0);
    assert_close(map.thinnest, 1.6, 0);
    assert_close(map.thickest, 1.6, 0);
    assert_close(map.steepest_grade, 0, 0);
    tw_map_release(&map);
    assert_null(map.node);
    tw_grid_free(grid);
}

static void sheet_of_nothing_is_refused(void **state)
{
    static const double bad[] = {0, -1.6, NAN, INFINITY};
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -50, 50, -50, 50, 8, 0);
    tw_map map = {0};

    (void)state;
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        tw_error err;
        assert_int_equal(tw_map_sheet(grid, bad[k], &map, &err), TW_ERR_DOMAIN);
        assert_true(err.advice[0] != '\0');
        assert_null(map.arena);
    }
    tw_grid_free(grid);
}

/* On a ball the tape runs straight along meridians but a parallel at polar angle φ is shorter than
 * in the chart by sin φ/φ. Thickness t = t₀ + c·tape has slope c everywhere; t = t₀ + c·across has
 * c·φ/sin φ on the up axis, at most where φ is greatest. Source: derived. */
static void steepest_grade_is_measured_on_the_plate(void **state)
{
    const double R = 150, c = 0.01;
    tw_grid *grid = test_grid_fill(test_face_ball, &R, -200, 200, -200, 200, 80, 190);
    double node[81 * 81], cell[80 * 80];
    tw_map map = {.kind = TW_MAP_FORGED, .grid = grid, .node = node, .cell = cell};
    double far, angle;

    (void)state;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        node[n] = 2 + c * tw_grid_across(grid, n % grid->nu);
    tw_map_survey(&map, NULL);
    far = hypot(map.steepest_at[0], map.steepest_at[1]);
    angle = far / R;
    assert_true(fabs(map.steepest_at[0]) < 1e-9 && far >= 180);
    assert_close(map.steepest_grade, c * angle / sin(angle), 1e-12);
    assert_close(map.thinnest, 2 - c * 190, c * 5);
    assert_close(map.thickest, 2 + c * 190, c * 5);
    assert_close(map.thickest_at[0], 190, 5.01);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        node[n] =
            2 + c * fmax(hypot(tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu)) -
                             100,
                         0);
    tw_map_survey(&map, NULL);
    assert_close(map.steepest_grade, c, 1e-3 * c);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(even_sheet_is_even),
        cmocka_unit_test(sheet_of_nothing_is_refused),
        cmocka_unit_test(steepest_grade_is_measured_on_the_plate),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
