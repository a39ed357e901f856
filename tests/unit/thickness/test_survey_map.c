/* The map that readings give, its sums and their standard deviations. */
#include "survey.h"

/* ---- the map ------------------------------------------------------------------------------------------ */

/* A plane read without error is the map everywhere, on any grid, and so is its volume: the mean over a
 * rectangle about zero is the plane's value there. */
static void a_plane_comes_back(void **state)
{
    readings r;
    tw_grid *finer = NULL;
    tw_map map;
    double sum, sd;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.readings.trend = TW_TREND_PLANE;
    add_lattice(&r, plane);
    readings_fit(&r);
    assert_int_equal(tw_grid_build(r.form, 80, 1, &finer, NULL), TW_OK);
    for (int turn = 0; turn < 2; turn++) {
        const tw_grid *grid = r.survey->grid;
        assert_int_equal(tw_map_readings(r.survey, 2, &map, NULL), TW_OK);
        assert_int_equal(map.kind, TW_MAP_READINGS);
        for (size_t n = 0; n < grid->nu * grid->nv; n++)
            if (grid->level[n] <= 0)
                assert_close(
                    map.node[n],
                    plane(tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu)),
                    1e-9);
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            if (grid->area[c] > 0)
                assert_close(map.cell[c], plane(grid->cell_x[c], grid->cell_y[c]), 1e-9);
        assert_close(map.thickest, plane(100, -150), 1e-9);
        assert_close(map.thinnest, plane(-100, 150), 1e-9);
        assert_close(map.steepest_grade, hypot(0.003, 0.002), 1e-9);
        assert_int_equal(tw_survey_sum(r.survey, grid->area, 1, &sum, &sd, NULL, NULL), TW_OK);
        assert_close(sum, 200 * 300 * 2.0, 1e-4);
        assert_true(sd > 0);
        tw_map_release(&map);
        tw_survey_move(r.survey, finer, NULL);
    }
    tw_survey_move(r.survey, NULL, NULL);
    tw_grid_free(finer);
    readings_release(&r);
}

/* Five readings about an even thickness: σ²/5 everywhere, and for the whole area × σ/√5. */
static void trend_alone_is_as_sure_as_its_readings(void **state)
{
    readings r;
    double sum, sd, blocks;
    const double each = sqrt(1e-4 / 12 + 0.01);

    (void)state;
    readings_init(&r, 100, 150);
    for (int k = 0; k < 5; k++)
        readings_add(&r, -80 + 40 * k, 10 * k, 2 + 0.01 * k);
    readings_fit(&r);
    assert_null(r.survey->sd);
    assert_int_equal(tw_survey_spread(r.survey, 1, NULL), TW_OK);
    for (size_t n = 0; n < r.grid->nu * r.grid->nv; n++)
        if (r.grid->level[n] <= 0)
            assert_close(r.survey->sd[n], each / sqrt(5), 1e-9);
    assert_int_equal(tw_survey_sum(r.survey, r.grid->area, 1, &sum, &sd, &blocks, NULL), TW_OK);
    assert_close(sum, 60000 * 2.02, 1e-6);
    assert_close(sd, 60000 * each / sqrt(5), 1e-5);
    assert_close(blocks, 0, 1e-5);
    readings_release(&r);
}

/* Blocks against every cell for itself, on a grid of more cells than blocks. */
static void blocks_stand_for_cells(void **state)
{
    readings r;
    double sum, sd, blocks, cells_sum, cells_sd;
    size_t count = 0;
    double(*position)[3], *basis, *weight;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.readings.surface = 0.02;
    add_lattice(&r, wave);
    assert_int_equal(readings_build_on(&r, 90), TW_OK);
    position = test_calloc(tw_grid_cells(r.grid), sizeof *position);
    basis = test_calloc(tw_grid_cells(r.grid), sizeof *basis);
    weight = test_calloc(tw_grid_cells(r.grid), sizeof *weight);
    for (size_t c = 0; c < tw_grid_cells(r.grid); c++)
        if (r.grid->area[c] > 0) {
            position[count][0] = r.grid->cell_x[c];
            position[count][1] = r.grid->cell_y[c];
            position[count][2] = r.grid->cell_z[c];
            basis[count] = 1;
            weight[count++] = r.grid->area[c];
        }
    assert_int_equal(tw_survey_sum(r.survey, r.grid->area, 1, &sum, &sd, &blocks, NULL), TW_OK);
    assert_int_equal(tw_krige_sum(r.survey->krige, count, (const double(*)[3])position, basis,
                                  weight, 1, &cells_sum, &cells_sd, NULL),
                     TW_OK);
    print_message("sd %.6g by blocks, %.6g by cells; said to be within %.2g\n", sd, cells_sd,
                  blocks);
    assert_close(sum, cells_sum, 1e-4 * cells_sum);
    assert_close(sd, cells_sd, fmax(blocks, 1e-9 * sd));
    test_free(position);
    test_free(basis);
    test_free(weight);
    readings_release(&r);
}

/* Seen from inside is the mirror image: readings turned over give the map turned over. */
static void mirrored_readings_give_the_mirrored_map(void **state)
{
    readings r, turned;
    tw_map a, b;

    (void)state;
    readings_init(&r, 100, 150);
    readings_init(&turned, 100, 150);
    add_lattice(&r, wave);
    for (size_t k = 0; k < r.profile.readings.reading_count; k++)
        readings_add(&turned, -r.rows[k].at.value[0], r.rows[k].at.value[1], r.rows[k].thickness);
    readings_fit(&r);
    readings_fit(&turned);
    assert_int_equal(tw_map_readings(r.survey, 1, &a, NULL), TW_OK);
    assert_int_equal(tw_map_readings(turned.survey, 1, &b, NULL), TW_OK);
    for (size_t n = 0; n < r.grid->nu * r.grid->nv; n++) {
        const size_t i = n % r.grid->nu, mirror = n - i + r.grid->nu - 1 - i;
        if (r.grid->level[n] <= 0 && r.grid->level[mirror] <= 0)
            assert_close(a.node[n], b.node[mirror], 1e-6);
    }
    tw_map_release(&a);
    tw_map_release(&b);
    readings_release(&r);
    readings_release(&turned);
}

/* Readings that are 1.1 times a forged taper make 1.1 times its map; none looks wrong for being thin
 * near the edge, and near the edge is enough as the taper knows the rest. */
static void a_taper_is_scaled_to_its_readings(void **state)
{
    static tw_strike strike = {
        .name = "heart", .shape = {.kind = TW_SHAPE_DISC, .across = 30, .up = 30}, .thickness = 3};
    static tw_edge_thickness edge = {.edge = "all", .thickness = 1};
    readings r;
    tw_map forged, map;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.has_forged = true;
    r.profile.forged = (tw_forged_spec){
        .strike_count = 1, .edge_count = 1, .strikes = &strike, .edges = &edge, .band = 40};
    r.profile.readings.trend = TW_TREND_FORGED;
    r.profile.readings.surface = (double)NAN;
    add_lattice(&r, even);
    readings_fit(&r);
    for (size_t k = 0; k < r.survey->count; k++)
        r.rows[k].thickness = 1.1 * tw_survey_forged(r.survey, r.survey->readings[k].tape);
    tw_survey_free(r.survey);
    r.survey = NULL;
    all_by_probe(&r);
    readings_fit(&r);
    assert_false(r.survey->edges_only);
    for (size_t k = 0; k < r.survey->count; k++)
        assert_int_equal(r.survey->readings[k].flags, 0);
    assert_int_equal(tw_map_forged(r.taper, &forged, NULL), TW_OK);
    assert_int_equal(tw_map_readings(r.survey, 1, &map, NULL), TW_OK);
    for (size_t n = 0; n < r.grid->nu * r.grid->nv; n++)
        if (r.grid->level[n] <= 0)
            assert_close(map.node[n], 1.1 * forged.node[n], 1e-9);
    for (size_t c = 0; c < tw_grid_cells(r.grid); c++)
        if (r.grid->area[c] > 0)
            assert_close(map.cell[c], 1.1 * forged.cell[c], 1e-9);
    tw_map_release(&forged);
    tw_map_release(&map);
    readings_release(&r);
}

static void a_mean_below_zero_is_held_above(void **state)
{
    readings r;
    tw_map map;

    (void)state;
    readings_init(&r, 100, 150);
    r.profile.readings.trend = TW_TREND_PLANE; /* 0.2 mm at −5, so −1.7 at −100 */
    readings_add(&r, -5, 0, 0.2);
    readings_add(&r, 5, 10, 0.4);
    readings_add(&r, 5, -10, 0.4);
    readings_fit(&r);
    assert_int_equal(tw_map_readings(r.survey, 1, &map, NULL), TW_OK);
    assert_close(map.thinnest, 0.05, 0);
    for (size_t c = 0; c < tw_grid_cells(r.grid); c++)
        assert_true(r.grid->area[c] == 0 || map.cell[c] >= 0.05);
    tw_map_release(&map);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plane_comes_back),
        cmocka_unit_test(trend_alone_is_as_sure_as_its_readings),
        cmocka_unit_test(blocks_stand_for_cells),
        cmocka_unit_test(mirrored_readings_give_the_mirrored_map),
        cmocka_unit_test(a_taper_is_scaled_to_its_readings),
        cmocka_unit_test(a_mean_below_zero_is_held_above),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
