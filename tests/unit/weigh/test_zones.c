/* test_zones.c: shares of a plate sum to the whole, and each zone weighs what it should. */
#include "taperwright/weigh.h"

#include "support.h"

static const double density = 7.85e-3;

static void fill(double *value, size_t count, test_random *random, double low, double high)
{
    for (size_t k = 0; k < count; k++)
        value[k] = test_uniform(random, low, high);
}

/* A ball with a made-up crease through it and zones dealt out at random. */
static void zones_and_cells_sum_to_the_whole(void **state)
{
    enum { CELLS = 60, NODES = 61 };
    static const char *names[] = {"heart", "hold heart", "band rim", "field"};
    static double cell[CELLS * CELLS], node[NODES * NODES], volume[CELLS * CELLS];
    static uint16_t first[CELLS * CELLS], second[CELLS * CELLS];
    static float share[CELLS * CELLS];
    test_random random = test_random_begin("zones_and_cells_sum_to_the_whole");
    const double ball = 90;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -80, 80, -80, 80, CELLS, 76);
    const tw_zones zones = {4, names, first, second, share, NULL};

    (void)state;
    grid->creases = tw_arena_array(grid->arena, CELLS, sizeof *grid->creases);
    assert_non_null(grid->creases);
    grid->crease_count = CELLS;
    for (size_t j = 0; j < CELLS; j++)
        grid->creases[j] = (tw_crease){.left_cell = j * CELLS + CELLS / 2 - 1,
                                       .right_cell = j * CELLS + CELLS / 2,
                                       .length = grid->up_step,
                                       .turn = 0.4,
                                       .outward = {0, 0, 1},
                                       .up = tw_grid_up(grid, j) + grid->up_step / 2,
                                       .node = j * NODES + CELLS / 2};
    for (int trial = 0; trial < 6; trial++) {
        const tw_face_side face = (tw_face_side)(trial % 3);
        tw_zone_weight part[4];
        tw_weight whole;
        tw_sum mass = {0, 0}, area = {0, 0}, bulk = {0, 0}, cells = {0, 0};
        fill(cell, CELLS * CELLS, &random, 1, 3);
        fill(node, NODES * NODES, &random, 1, 3);
        for (size_t k = 0; k < CELLS * CELLS; k++) {
            first[k] = (uint16_t)test_uniform(&random, 0, 3.999);
            second[k] = (uint16_t)test_uniform(&random, 0, 3.999);
            share[k] = k % 3 ? 1 : (float)test_uniform(&random, 0, 1);
        }
        assert_int_equal(tw_weigh(grid, cell, node, face, density, 1, &whole, NULL), TW_OK);
        assert_int_equal(tw_weigh_zones(grid, cell, node, face, density, &zones, part, NULL),
                         TW_OK);
        for (int z = 0; z < 4; z++) {
            assert_ptr_equal(part[z].zone, names[z]);
            assert_true(part[z].mass_g > 0.1 * whole.mass_g);
            tw_sum_add(&mass, part[z].mass_g);
            tw_sum_add(&area, part[z].area_mm2);
            tw_sum_add(&bulk, part[z].area_mm2 * part[z].mean_thickness_mm);
        }
        assert_close(tw_sum_value(&mass), whole.mass_g, 1e-13 * whole.mass_g);
        assert_close(tw_sum_value(&area), whole.face_area_mm2, 1e-13 * whole.face_area_mm2);
        assert_close(tw_sum_value(&bulk) / whole.face_area_mm2, whole.mean_thickness_mm, 1e-12);
        tw_cell_volumes(grid, cell, node, face, volume);
        for (size_t k = 0; k < CELLS * CELLS; k++)
            tw_sum_add(&cells, volume[k]);
        assert_close(tw_sum_value(&cells), whole.volume_mm3, 1e-13 * whole.volume_mm3);
        for (size_t k = 0; k < CELLS * CELLS; k++) /* even sheet by its cubic */
            cell[k] = 2.2;
        for (size_t k = 0; k < NODES * NODES; k++)
            node[k] = 2.2;
        {
            double c[3];
            tw_sheet_volume(grid, face, c);
            assert_int_equal(tw_weigh(grid, cell, node, face, density, 1, &whole, NULL), TW_OK);
            assert_close(2.2 * (c[0] + 2.2 * (c[1] + 2.2 * c[2])), whole.volume_mm3,
                         1e-13 * whole.volume_mm3);
        }
    }
    tw_grid_free(grid);
}

/* Left third "heart" at 3 mm, the rest "field" at 1 mm; the cells on the border shared half and
 * half; a zone that has nothing. */
static void a_zone_weighs_its_own_metal(void **state)
{
    static const char *names[] = {"heart", "empty", "field"};
    double cell[81];
    uint16_t first[81], second[81];
    float share[81];
    const tw_zones zones = {3, names, first, second, share, NULL};
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, 0, 90, 0, 90, 9, 0);
    tw_zone_weight part[3];
    tw_error error;

    (void)state;
    for (size_t k = 0; k < 81; k++) {
        first[k] = k % 9 < 4 ? 0 : 2;
        second[k] = 2;
        share[k] = k % 9 == 3 ? 0.5f : 1;
        cell[k] = k % 9 < 4 ? 3 : 1;
    }
    assert_int_equal(
        tw_weigh_zones(grid, cell, NULL, TW_FACE_OUTSIDE, density, &zones, part, &error), TW_OK);
    assert_close(part[0].area_mm2, 35 * 90, 1e-9);
    assert_close(part[0].mass_g, 35 * 90 * 3 * density, 1e-10);
    assert_close(part[0].mean_thickness_mm, 3, 1e-12);
    assert_true(part[1].area_mm2 == 0 && part[1].mass_g == 0 && part[1].mean_thickness_mm == 0);
    assert_close(part[2].mass_g, (50 * 90 * 1 + 5 * 90 * 3) * density, 1e-10);
    cell[40] = 0;
    assert_int_equal(
        tw_weigh_zones(grid, cell, NULL, TW_FACE_OUTSIDE, density, &zones, part, &error),
        TW_ERR_DOMAIN);
    cell[40] = 9;
    grid->mean_curvature[40] = 0.2;
    grid->gauss_curvature[40] = 0.04;
    assert_int_equal(
        tw_weigh_zones(grid, cell, NULL, TW_FACE_OUTSIDE, density, &zones, part, &error),
        TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "folds at [45.0, 45.0]"));
    assert_int_equal(tw_weigh_zones(grid, cell, NULL, TW_FACE_OUTSIDE, -1, &zones, part, &error),
                     TW_ERR_DOMAIN);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(zones_and_cells_sum_to_the_whole),
                                       cmocka_unit_test(a_zone_weighs_its_own_metal)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
