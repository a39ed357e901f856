/* test_image.c: a map from a picture: bilinear, rims that miss by a pixel or two, metal it knows nothing of. */
#include "support.h"

#include "taperwright/thickness.h"

enum { WIDTH = 50, HEIGHT = 40 };
static uint16_t levels[WIDTH * HEIGHT];

/* 2 mm by 2 mm pixels over [−50, 50] by [−40, 40]. */
static tw_image_map_spec spec_of(void)
{
    return (tw_image_map_spec){.picture = {.file = "map.png",
                                           .width = WIDTH,
                                           .height = HEIGHT,
                                           .across_step = 2,
                                           .up_step = 2,
                                           .left = -50,
                                           .top = 40,
                                           .level_step = 0.001,
                                           .offset = 0.5},
                               .levels = levels,
                               .uncertainty = NAN};
}

/* level = 1500 + 10·across + 5·up at the middle of every pixel: whole numbers. */
static void fill_plane(void)
{
    for (int row = 0; row < HEIGHT; row++)
        for (int k = 0; k < WIDTH; k++)
            levels[row * WIDTH + k] = (uint16_t)(1500 + 10 * (-49 + 2 * k) + 5 * (39 - 2 * row));
}

static double plane(double across, double up)
{
    return 0.5 + 0.001 * (1500 + 10 * across + 5 * up);
}

static void a_plane_is_read_exactly(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -45, 45, -35, 35, 64, 0);
    const tw_image_map_spec spec = spec_of();
    tw_error err = {0};
    tw_map map;

    (void)state;
    fill_plane();
    assert_int_equal(tw_map_image(NULL, grid, &spec, 2, &map, &err), TW_OK);
    assert_int_equal(map.kind, TW_MAP_IMAGE);
    assert_string_equal(tw_map_word(map.kind), "image");
    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++)
            assert_close(map.node[j * grid->nu + i],
                         plane(tw_grid_across(grid, i), tw_grid_up(grid, j)), 1e-12);
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        assert_close(map.cell[k], plane(grid->cell_x[k], grid->cell_y[k]), 1e-12);
    assert_close(map.thinnest, plane(-45, -35), 1e-12);
    assert_close(map.thickest, plane(45, 35), 1e-12);
    assert_close(map.steepest_grade, hypot(0.010, 0.005), 1e-12);
    tw_map_release(&map);
    tw_grid_free(grid);
}

/* The plate reaches 3 mm beyond the middles of the outermost pixels: 1.5 pixels. */
static void a_rim_may_miss_by_two_pixels(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -52, 52, -42, 42, 64, 0);
    const tw_image_map_spec spec = spec_of();
    tw_error err = {0};
    tw_map map;

    (void)state;
    fill_plane();
    assert_int_equal(tw_map_image(NULL, grid, &spec, 2, &map, &err), TW_OK);
    assert_close(map.thinnest, plane(-49, -39), 1e-9); /* that of the nearest pixel */
    assert_close(map.thickest, plane(49, 39), 1e-9);
    tw_map_release(&map);
    tw_grid_free(grid);
}

/* A disc of metal in the picture that the disc of the plate fills but for pixels' corners; a hole in
 * both needs nothing, one in the picture alone is told with place and share. */
static void metal_unknown_to_the_picture_is_told(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -36, 36, -36, 36, 48, 35);
    const tw_image_map_spec spec = spec_of();
    tw_error err = {0};
    tw_map map;

    (void)state;
    fill_plane();
    for (int row = 0; row < HEIGHT; row++)
        for (int k = 0; k < WIDTH; k++)
            if (hypot(-49 + 2 * k, 39 - 2 * row) > 35)
                levels[row * WIDTH + k] = 0;
    assert_int_equal(tw_map_image(NULL, grid, &spec, 2, &map, &err), TW_OK);
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        if (grid->area[k] > 0)
            assert_close(map.cell[k], plane(grid->cell_x[k], grid->cell_y[k]), 0.045);
    tw_map_release(&map);
    /* pixels within 12 mm of [10, 0] gone: metal beyond 2 pixels of the rest is within 8 mm of it or so */
    for (int row = 0; row < HEIGHT; row++)
        for (int k = 0; k < WIDTH; k++)
            if (hypot(-49 + 2 * k - 10, 39 - 2 * row) < 12)
                levels[row * WIDTH + k] = 0;
    assert_int_equal(tw_map_image(NULL, grid, &spec, 2, &map, &err), TW_ERR_SHAPE);
    print_message("%s\n", err.message);
    {
        const char *at = strstr(err.message, "at ["), *on = strstr(err.message, "on ");
        double across, up, share;
        assert_true(at && on);
        assert_int_equal(sscanf(at, "at [%lf mm, %lf mm]", &across, &up), 2);
        assert_int_equal(sscanf(on, "on %lf %%", &share), 1);
        assert_true(hypot(across - 10, up) < 8.5);
        assert_close(share, 100 * 8.0 * 8 / (35 * 35), 1.5);
    }
    assert_non_null(strstr(err.advice, "left and top"));
    tw_grid_free(grid);
}

/* A picture of another place altogether. */
static void a_picture_beside_the_plate_is_told(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -45, 45, -35, 35, 32, 0);
    tw_image_map_spec spec = spec_of();
    tw_error err = {0};
    tw_map map;

    (void)state;
    fill_plane();
    spec.picture.left = 4000;
    assert_int_equal(tw_map_image(NULL, grid, &spec, 2, &map, &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "on 100 % of its face"));
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plane_is_read_exactly),
        cmocka_unit_test(a_rim_may_miss_by_two_pixels),
        cmocka_unit_test(metal_unknown_to_the_picture_is_told),
        cmocka_unit_test(a_picture_beside_the_plate_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
