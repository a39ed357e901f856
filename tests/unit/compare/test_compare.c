/*
 * test_compare.c: forged plates beside even sheet, against closed forms on grids filled from
 * formulas.
 */
#include "taperwright/compare.h"

#include "support.h"

static const double density = 7.85e-3;

/* A plate made by hand: profile, grid and a forged map from a formula of x, y, z. */
typedef struct example {
    tw_profile profile;
    tw_strike strikes[2];
    tw_plate plate;
} example;

static void example_begin(example *out, tw_grid *grid, double (*law)(double, double, double),
                          tw_face_side face)
{
    tw_plate_map *forged = &out->plate.maps[0];
    tw_error error = {.message = ""};
    const size_t cells = tw_grid_cells(grid), nodes = grid->nu * grid->nv;

    memset(out, 0, sizeof *out);
    out->profile = (tw_profile){.file = "", .plate = "example", .density = density, .face = face};
    out->profile.has_forged = true;
    out->profile.forged.strikes = out->strikes;
    out->plate.profile = &out->profile;
    out->plate.grid = grid;
    out->plate.map_count = 1;
    forged->map = (tw_map){.kind = TW_MAP_FORGED, .grid = grid};
    forged->map.cell = tw_arena_array(grid->arena, cells, sizeof(double));
    forged->map.node = tw_arena_array(grid->arena, nodes, sizeof(double));
    assert_true(forged->map.cell && forged->map.node);
    for (size_t k = 0; k < cells; k++)
        forged->map.cell[k] = law(grid->cell_x[k], grid->cell_y[k], grid->cell_z[k]);
    for (size_t k = 0; k < nodes; k++) {
        forged->map.node[k] = law(grid->x[k], grid->y[k], grid->z[k]);
        if (grid->level[k] <= 0)
            forged->map.thickest = fmax(forged->map.thickest, forged->map.node[k]);
    }
    if (tw_weigh(grid, forged->map.cell, forged->map.node, face, density, 1, &forged->weight,
                 &error) != TW_OK)
        fail_msg("%s", error.message);
}

static double disc_linear(double x, double y, double z)
{
    return 2 - hypot(x, y) / 150 + 0 * z;
}

/* Disc of radius R, t = 2 − r/R. Beside 2 mm sheet it saves πR²·2/3; the sheet of its own mass has
 * 4/3 mm; there forged is thicker inside 2R/3, by 2πR²·4/81 in all, and as much thinner outside. */
static void a_tapered_disc(void **state)
{
    const double face = TW_PI * 150 * 150;
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -150, 150, -150, 150, 300, 150);
    double *difference = test_malloc(grid->nu * grid->nv * sizeof *difference);
    example disc;
    tw_comparison c;
    const tw_against *a;

    (void)state;
    example_begin(&disc, grid, disc_linear, TW_FACE_OUTSIDE);
    disc.profile.forged.strike_count = 2;
    disc.strikes[0].thickness = 1.9;
    disc.strikes[1].thickness = 2;
    assert_int_equal(tw_compare(&disc.plate, 2, &c, NULL), TW_OK);
    assert_int_equal(c.count, 2);
    assert_ptr_equal(c.plate, &disc.plate);
    assert_ptr_equal(c.forged, &disc.plate.maps[0]);

    a = &c.against[0];
    assert_int_equal(a->reason, TW_REASON_STRIKE);
    assert_true(a->sheet_mm == 2);
    assert_close(a->weight.mass_g, 1109.7676, 0.05);
    assert_close(a->difference_g, face * 2 / 3 * density, 0.05);
    assert_close(a->difference_percent, 50, 0.01);
    assert_close(a->saved_g, a->difference_g, 1e-6); /* thinner everywhere but at the middle */
    assert_true(a->kept_g == 0 && a->thicker_share_percent == 0);
    assert_close(a->thinner_share_percent, 100, 1e-3);
    assert_close(a->centroid_shift_mm[2],
                 a->weight.centroid_mm[2] * -1 + c.forged->weight.centroid_mm[2], 1e-12);
    assert_true(a->centroid_shift_mm[2] > 0.1); /* less metal behind the face */
    /* ∫t r³ dr: forged 2/4 − 1/5, sheet 2/4 */
    assert_close(a->inertia_change_percent[2], -40, 0.01);
    assert_true(isnan(a->dished_ratio) && a->dished_thinnest_mm == 2);
    assert_close(a->nearest_stock.thickness, 2, 1e-12);
    assert_false(a->nearest_stock.by_gauge);

    a = &c.against[1];
    assert_int_equal(a->reason, TW_REASON_SAME_MASS);
    assert_close(a->sheet_mm, 4.0 / 3, 1e-4);
    assert_close(a->difference_g, 0, 1e-9 * 740);
    /* 0.001 mm is met 0.15 mm either side of the circle r = 100 mm */
    assert_close(a->thicker_share_percent, 100 * pow(99.85 / 150, 2), 0.05);
    assert_close(a->thinner_share_percent, 100 - 100 * pow(100.15 / 150, 2), 0.05);
    assert_close(a->kept_g, face * 8 / 81 * density, 0.05);
    assert_close(a->saved_g, a->kept_g, 1e-3);
    /* forged 3/10 beside 1/3 */
    assert_close(a->inertia_change_percent[2], -10, 0.02);

    tw_compare_difference(&c, 1, difference);
    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        assert_close(difference[k], disc.plate.maps[0].map.node[k] - a->sheet_mm, 0);
    test_free(difference);
    tw_grid_free(grid);
}

static double even_18(double x, double y, double z)
{
    return 1.8 + 0 * (x + y + z);
}

static double growing(double x, double y)
{
    return 1 + hypot(x, y) / 150;
}

/* The same disc beside a sheet that comes out as 1 + r/R from 1.5 mm. Forged is thicker inside R/2, by
 * π(R/2)²/3 in all; the whole is πR²(5/3 − 4/3) lighter. ∫t r³ dr is 1/4 + 1/5 of the sheet. */
static void a_sheet_as_formed_has_its_own_row(void **state)
{
    const double face = TW_PI * 150 * 150;
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -150, 150, -150, 150, 300, 150);
    const size_t nodes = grid->nu * grid->nv, cells = tw_grid_cells(grid);
    double *difference = test_malloc(nodes * sizeof *difference);
    tw_map formed = {.kind = TW_MAP_AS_FORMED,
                     .grid = grid,
                     .thinnest = 1,
                     .thickest = 2,
                     .thinnest_at = {0.5, -0.25},
                     .node = test_malloc(nodes * sizeof *formed.node),
                     .cell = test_malloc(cells * sizeof *formed.cell)};
    example disc;
    tw_comparison c, before;
    const tw_against *a;

    (void)state;
    for (size_t k = 0; k < cells; k++)
        formed.cell[k] = growing(grid->cell_x[k], grid->cell_y[k]);
    for (size_t k = 0; k < nodes; k++)
        formed.node[k] = growing(grid->x[k], grid->y[k]);
    example_begin(&disc, grid, disc_linear, TW_FACE_OUTSIDE);
    disc.profile.has_sheet = true;
    disc.profile.sheet = (tw_stock){.thickness = 1.5};
    assert_int_equal(tw_compare(&disc.plate, 1, &c, NULL), TW_OK);
    before = c;
    assert_int_equal(tw_compare_as_formed(&c, &formed, 1.5, 2, NULL), TW_OK);
    assert_int_equal(c.count, 4);
    assert_memory_equal(c.against, before.against, 3 * sizeof *c.against);
    for (size_t k = 0; k < 3; k++)
        assert_true(!c.against[k].map && isnan(c.against[k].thinnest_mm) &&
                    isnan(c.against[k].thinnest_at[0]));

    a = &c.against[3];
    assert_int_equal(a->reason, TW_REASON_AS_FORMED);
    assert_ptr_equal(a->map, &formed);
    assert_true(a->sheet_mm == 1.5 && a->nearest_stock.thickness == 1.5 && a->thinnest_mm == 1);
    assert_true(a->thinnest_at[0] == 0.5 && a->thinnest_at[1] == -0.25);
    assert_true(isnan(a->dished_thinnest_mm));
    assert_close(a->weight.mass_g, face * 5 / 3 * density, 0.05);
    assert_close(a->difference_g, face / 3 * density, 0.05);
    assert_close(a->difference_percent, 25, 0.01);
    assert_close(a->kept_g, face / 12 * density, 0.05);
    assert_close(a->saved_g - a->kept_g, a->difference_g, 0.01);
    assert_close(a->thicker_share_percent, 25, 0.1);
    assert_close(a->thinner_share_percent, 75, 0.1);
    assert_close(a->centroid_shift_mm[0], 0, 1e-9);
    /* forged 2/4 − 1/5 beside 1/4 + 1/5 */
    assert_close(a->inertia_change_percent[2], 100 * (0.3 / 0.45 - 1), 0.01);

    tw_compare_difference(&c, 3, difference);
    for (size_t k = 0; k < nodes; k++)
        assert_close(difference[k], disc.plate.maps[0].map.node[k] - formed.node[k], 0);
    test_free(formed.node);
    test_free(formed.cell);
    test_free(difference);
    tw_grid_free(grid);
}

/* A map that folds the metal is told, and leaves the comparison as it was. */
static void a_formed_map_that_folds_is_told(void **state)
{
    const double ball = 30;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -20, 20, -20, 20, 20, 0);
    tw_map formed;
    example plate;
    tw_comparison c;
    tw_error error;

    (void)state;
    example_begin(&plate, grid, even_18, TW_FACE_OUTSIDE);
    assert_int_equal(tw_compare(&plate.plate, 1, &c, NULL), TW_OK);
    assert_int_equal(tw_map_sheet(grid, 40, &formed, NULL), TW_OK);
    formed.kind = TW_MAP_AS_FORMED;
    assert_int_equal(tw_compare_as_formed(&c, &formed, 1.5, 1, &error), TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "as formed"));
    assert_int_equal(c.count, 2);
    tw_map_release(&formed);
    tw_grid_free(grid);
}

static double by_height(double x, double y, double z)
{
    return 1.2 + z / 100 + 0 * (x + y);
}

/* Hemisphere, pole 2.2 mm, rim 1.2: the sheet of the same mass is 1.7 mm to thin-shell exactness,
 * its centroid at half height; dished with the rim held its middle would keep half (q = 1). */
static void a_tapered_hemisphere(void **state)
{
    const double ball = 100, out = 100 * TW_PI / 2;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -out, out, -out, out, 256, out);
    example bowl;
    tw_comparison c;

    (void)state;
    example_begin(&bowl, grid, by_height, TW_FACE_MIDDLE);
    bowl.profile.has_sheet = true;
    bowl.profile.sheet = (tw_stock){1.6256, true, TW_GAUGE_SWG, 16};
    assert_int_equal(tw_compare(&bowl.plate, 1, &c, NULL), TW_OK);
    assert_int_equal(c.count, 3);
    assert_close(c.against[0].sheet_mm, 2.2, 1e-9); /* no strike zone: the map's thickest */
    assert_close(c.against[1].sheet_mm, 1.7, 2e-4);
    assert_close(c.against[1].weight.volume_mm3, c.forged->weight.volume_mm3,
                 1e-11 * c.forged->weight.volume_mm3);
    assert_close(c.against[1].centroid_shift_mm[2], 54.901961 - 50, 0.01);
    assert_close(c.against[2].sheet_mm, 1.6256, 1e-12);
    assert_int_equal(c.against[2].reason, TW_REASON_STOCK);
    assert_close(c.against[2].difference_g + c.against[2].kept_g - c.against[2].saved_g, 0, 0.01);
    assert_true(c.against[1].nearest_stock.by_gauge); /* in the profile's own gauge */
    assert_int_equal(c.against[1].nearest_stock.system, TW_GAUGE_SWG);
    assert_int_equal(c.against[1].nearest_stock.number, 16); /* 1.626 mm; 15 is 1.829 */
    for (int k = 0; k < 3; k++) {
        assert_close(c.against[k].dished_ratio, 1, 2e-3);
        assert_close(c.against[k].dished_thinnest_mm, c.against[k].sheet_mm / 2, 3e-3);
        assert_true(c.against[k].difference_percent * c.against[k].difference_g >= 0);
    }
    tw_grid_free(grid);
}

/* Depth over half the lesser width: a cap of half-width 80 mm and depth 40 mm, q = 0.5, keeps 0.8;
 * its outline crosses between nodes. */
static void a_cap_dishes_to_four_fifths(void **state)
{
    const double ball = 100, disc = 100 * acos(0.6);
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -95, 95, -95, 95, 77, disc);
    example bowl;
    tw_comparison c;

    (void)state;
    example_begin(&bowl, grid, by_height, TW_FACE_OUTSIDE);
    assert_int_equal(tw_compare(&bowl.plate, 1, &c, NULL), TW_OK);
    assert_close(c.against[0].dished_ratio, 0.5, 5e-4);
    assert_close(c.against[0].dished_thinnest_mm / c.against[0].sheet_mm, 0.8, 5e-4);
    tw_grid_free(grid);
}

/* Property: with any taper, what is kept less what is saved is the difference, but for places
 * within 0.001 mm. */
static double wavy(double x, double y, double z)
{
    return 1.8 + 0.5 * sin(x / 20) * cos(y / 30) + 0 * z;
}
static void kept_less_saved_is_the_difference(void **state)
{
    const double ball = 150;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -120, 120, -100, 130, 90, 0);
    example plate;
    tw_comparison c;

    (void)state;
    example_begin(&plate, grid, wavy, TW_FACE_INSIDE);
    assert_int_equal(tw_compare(&plate.plate, 1, &c, NULL), TW_OK);
    for (size_t k = 0; k < c.count; k++) {
        const tw_against *a = &c.against[k];
        const double even = 100 - a->thicker_share_percent - a->thinner_share_percent;
        assert_true(even >= -1e-9 && even < 2);
        assert_close(a->kept_g - a->saved_g, -a->difference_g,
                     1e-9 * a->weight.mass_g +
                         even / 100 * a->weight.face_area_mm2 * 0.001 * density * 1.1);
    }
    tw_grid_free(grid);
}

/* A forged map that is even already weighs what its sheet weighs. */
static void an_even_map_is_its_own_sheet(void **state)
{
    const double ball = 150;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -120, 120, -100, 130, 40, 0);
    example plate;
    tw_comparison c;

    (void)state;
    example_begin(&plate, grid, even_18, TW_FACE_OUTSIDE);
    assert_int_equal(tw_compare(&plate.plate, 1, &c, NULL), TW_OK);
    assert_close(c.against[1].sheet_mm, 1.8, 1e-9);
    assert_true(c.against[0].difference_g == 0 && c.against[0].thicker_share_percent == 0);
    assert_true(c.against[0].saved_g == 0 && c.against[0].inertia_change_percent[1] == 0);
    tw_grid_free(grid);
}

static void what_cannot_be_compared_is_told(void **state)
{
    const double ball = 2.5;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -2, 2, -2, 2, 20, 0);
    example plate;
    tw_comparison c = {.count = 77};
    tw_error error;

    (void)state;
    example_begin(&plate, grid, even_18, TW_FACE_OUTSIDE);
    plate.plate.maps[0].map.kind = TW_MAP_SHEET;
    assert_int_equal(tw_compare(&plate.plate, 1, &c, &error), TW_ERR_INPUT);
    assert_non_null(strstr(error.message, "no forged map"));
    plate.plate.maps[0].map.kind = TW_MAP_FORGED;
    plate.profile.has_sheet = true;
    plate.profile.sheet.thickness = 3; /* thicker than the ball's radius */
    assert_int_equal(tw_compare(&plate.plate, 1, &c, &error), TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "folds"));
    assert_non_null(strstr(error.message, "own stock"));
    plate.profile.has_sheet = false;
    plate.plate.maps[0].weight.volume_mm3 *= 1.5; /* a weight of another plate */
    assert_int_equal(tw_compare(&plate.plate, 1, &c, &error), TW_ERR_UNREACHABLE);
    assert_int_equal(c.count, 77); /* untouched */
    tw_grid_free(grid);
}

static void reasons_have_words(void **state)
{
    (void)state;
    assert_string_equal(tw_reason_word(TW_REASON_STRIKE), "strike thickness");
    assert_string_equal(tw_reason_word(TW_REASON_SAME_MASS), "same mass");
    assert_string_equal(tw_reason_word(TW_REASON_STOCK), "own stock");
    assert_string_equal(tw_reason_word(TW_REASON_AS_FORMED), "as formed");
    assert_string_equal(tw_keep_word(TW_KEEP_GRAMS), "grams");
    assert_string_equal(tw_keep_word(TW_KEEP_STOCK), "stock");
    assert_string_equal(tw_keep_word(TW_KEEP_STRIKE), "strike");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tapered_disc),
        cmocka_unit_test(a_sheet_as_formed_has_its_own_row),
        cmocka_unit_test(a_formed_map_that_folds_is_told),
        cmocka_unit_test(a_tapered_hemisphere),
        cmocka_unit_test(a_cap_dishes_to_four_fifths),
        cmocka_unit_test(kept_less_saved_is_the_difference),
        cmocka_unit_test(an_even_map_is_its_own_sheet),
        cmocka_unit_test(what_cannot_be_compared_is_told),
        cmocka_unit_test(reasons_have_words),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
