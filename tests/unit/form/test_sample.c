/* test_sample.c: grids of forms: areas against closed forms, cut cells, holes, threads, mirrors. */
#include "form_checks.h"

static void rectangle_is_whole_cells(void **state)
{
    static const double sizes[][4] = {
        {0, 0, 150, 100}, {0, 37, 33.3, 211.7}, {80, -50, 30, 40}, {-7, 3, 100, 100}};
    plate p;

    (void)state;
    for (size_t s = 0; s < 4; s++)
        for (size_t cells = 8; cells < 300; cells = cells * 2 + 1) {
            tw_grid *grid;
            bool centre = false;
            plate_flat(&p);
            plate_shape(&p, TW_SHAPE_RECTANGLE, sizes[s][0], sizes[s][1], sizes[s][2], sizes[s][3]);
            grid = plate_grid(&p, cells, 1);
            assert_close(grid->face_area / (4 * sizes[s][2] * sizes[s][3]), 1, 1e-12);
            if (s < 3) { /* borders on grid lines: nothing is cut */
                assert_int_equal(grid->cut_count, 0);
                assert_close(tw_grid_across(grid, grid->nu - 1), sizes[s][0] + sizes[s][2], 1e-9);
                assert_close(grid->level[0], 0, 0);
                assert_close(grid->level[grid->nu * grid->nv - 1], 0, 0);
            }
            for (size_t i = 0; i < grid->nu; i++)
                centre = centre || fabs(tw_grid_across(grid, i)) < 1e-9;
            assert_true(centre == (s != 2));
            tw_grid_free(grid);
        }
}

/* Areas are second order: the ratio of errors per halving is near 4, or they are rounding. */
static void assert_area_converges(const plate *p, double exact, double close)
{
    double error[3];

    for (int k = 0; k < 3; k++)
        error[k] = fabs(plate_area(p, (size_t)64 << k) - exact) / exact;
    print_message("  area errors %.2e %.2e %.2e\n", error[0], error[1], error[2]);
    assert_true(error[2] <= close);
    assert_true(error[2] < 1e-9 || (error[0] > 3 * error[1] && error[1] > 3 * error[2]));
}

static void areas_match_closed_forms(void **state)
{
    const double R = 110, a = 132.28756555322953, h = 50;
    plate p;

    (void)state;
    plate_flat(&p); /* ellipse: π·a·b */
    plate_shape(&p, TW_SHAPE_ELLIPSE, 0, 10, 120, 75);
    assert_area_converges(&p, TW_PI * 120 * 75, 1e-9);
    plate_hole(&p, TW_SHAPE_DISC, 20, 30, 15, 15);
    assert_area_converges(&p, TW_PI * (120 * 75 - 15 * 15), 1e-9);
    plate_bowl(&p, TW_BOWL_ROUND, R, R); /* hemisphere: 2πR² */
    assert_area_converges(&p, 2 * TW_PI * R * R, 2e-5);
    plate_bowl(&p, TW_BOWL_ROUND, a, h); /* cap of a 200 mm ball: 2πRh = 0.062831853 m² */
    assert_area_converges(&p, 62831.853, 2e-5);
    plate_bowl(&p, TW_BOWL_CONE, 100, 200); /* cone: πrs = 0.070248147 m² */
    assert_close(plate_area(&p, 256), 70248.147, 2e-4 * 70248.147);
}

static void small_hole_does_not_vanish(void **state)
{
    plate p;

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 100, 100);
    plate_hole(&p, TW_SHAPE_DISC, 3.1, 4.2, 2, 2);       /* cells of 25 mm */
    plate_hole(&p, TW_SHAPE_RECTANGLE, 60, 60, 10, 0.5); /* a slot across a cell border */
    assert_close(plate_area(&p, 8), 40000 - TW_PI * 4 - 20, 1e-9);
}

/* Σ area of a flat plate is the polygon's shoelace area, whatever its cells are crossed by. */
static void random_stars_keep_their_area(void **state)
{
    test_random random = test_random_begin("stars");
    plate p;

    (void)state;
    for (int trial = 0; trial < 200; trial++) {
        const size_t count = 5 + (size_t)test_uniform(&random, 0, 120);
        const double x = test_uniform(&random, -200, 200), y = test_uniform(&random, -50, 50);
        double at[POINTS_MAX][2], wanted;
        tw_form *form;
        tw_grid *grid = NULL;
        for (size_t n = 0; n < count; n++) {
            const double turn =
                2 * TW_PI * ((double)n + test_uniform(&random, 0, 0.8)) / (double)count;
            const double r = test_uniform(&random, 20, 150);
            at[n][0] = x + r * cos(turn);
            at[n][1] = y + r * sin(turn);
        }
        plate_flat(&p);
        plate_edge(&p, "star", (const double(*)[2])at, count);
        form = plate_form(&p);
        wanted = ring_area(tw_form_outline(form));
        assert_int_equal(
            tw_grid_build(form, 8 + (size_t)test_uniform(&random, 0, 100), 1, &grid, NULL), TW_OK);
        assert_close(grid->face_area / wanted, 1, 1e-9);
        for (size_t k = 0; k < grid->cut_count; k++)
            assert_true(grid->cover[grid->cuts[k].cell] > 0 && grid->cover[grid->cuts[k].cell] < 1);
        /* levels: against the plain function, sign everywhere, value near the outline */
        for (size_t n = 0; n < grid->nu * grid->nv; n++) {
            const double plain =
                tw_outline_level(tw_form_outline(form), tw_grid_across(grid, n % grid->nu),
                                 tw_grid_up(grid, n / grid->nu));
            const bool near = fabs(plain) < 2 * grid->across_step;
            assert_true(grid->level[n] == 0 || (grid->level[n] < 0) == (plain < 0));
            assert_true(fabs(grid->level[n]) >= fabs(plain) - 1e-7);
            assert_close(grid->level[n], plain, near ? 1e-7 : 0.1 * grid->across_step);
        }
        tw_grid_free(grid);
        tw_form_free(form);
    }
}

/* Centroids of cut cells carry the first moment exactly. */
static void flat_triangle_balances(void **state)
{
    static const double corners[][2] = {{-31, -17}, {90, 4}, {11, 77}};
    tw_grid *grid;
    double x = 0, y = 0;
    plate p;

    (void)state;
    plate_flat(&p);
    plate_edge(&p, "all of it", corners, 3);
    grid = plate_grid(&p, 23, 2);
    for (size_t n = 0; n < tw_grid_cells(grid); n++) {
        x += grid->area[n] * grid->cell_x[n];
        y += grid->area[n] * grid->cell_y[n];
    }
    assert_close(x / grid->face_area, 70.0 / 3, 1e-9);
    assert_close(y / grid->face_area, 64.0 / 3, 1e-9);
    tw_grid_free(grid);
}

/* Cylinder panel: half-angle π/3, radius 160, length 400: 2αRL = 134041.287 mm². Derived. */
static void cylinder_panel_has_its_area(void **state)
{
    const double rise = 160 * (1 - cos(TW_PI / 3)), width = 320 * sin(TW_PI / 3);
    tw_station stations[] = {{.ruler = 0, .width = width, .centre = rise, .sides = 0},
                             {.ruler = 400, .width = width, .centre = rise, .sides = 0}};
    plate p;

    (void)state;
    plate_loft(&p, stations, 2);
    assert_close(plate_area(&p, 64), 134041.287, 1e-6 * 134041);
}

/* A keel of 6 mm, 40 wide: its flanks lean atan(2·6/20) = atan 0.6 from the bench on the centre line
 * (derived), so the crease turns by twice that, straight outward, along all metal on it. */
static void keel_makes_creases(void **state)
{
    tw_station stations[] = {{.ruler = 0, .width = 300, .centre = 60, .sides = 0},
                             {.ruler = 300, .width = 300, .centre = 60, .sides = 0}};
    static const double half[][2] = {{0, 10}, {100, 10}, {100, 250}, {0, 250}};
    plate p;
    tw_grid *grid;

    (void)state;
    for (int drilled = 0; drilled < 2; drilled++) {
        double length = 0;
        size_t centre = 0;
        plate_loft(&p, stations, 2);
        p.profile.loft.keel_stands = 6;
        p.profile.loft.keel_width = 40;
        if (drilled) /* half sizes are lengths on the plate, and the keel is level along itself */
            plate_hole(&p, TW_SHAPE_RECTANGLE, 0, 103, 7, 10);
        grid = plate_grid(&p, 60, 2);
        while (fabs(tw_grid_across(grid, centre)) > 1e-9)
            centre++;
        assert_true(grid->crease_count >= grid->nv - 1 - (drilled ? 3 : 0));
        for (size_t k = 0; k < grid->crease_count; k++) {
            const tw_crease *c = &grid->creases[k];
            length += c->length;
            assert_close(c->turn, 2 * atan(0.6), 1e-4);
            assert_close(c->outward[2], 1, 1e-9);
            assert_close(c->position[2], 66, 1e-6);
            assert_close(c->position[1], c->up, 1e-6);
            assert_int_equal(c->node % grid->nu, centre);
            assert_int_equal(c->right_cell, c->left_cell + 1);
            assert_int_equal(c->right_cell % (grid->nu - 1), centre);
            assert_true(grid->normal_x[c->left_cell] < -0.3);
            assert_true(grid->normal_x[c->right_cell] > 0.3);
            assert_true(k == 0 || grid->creases[k - 1].up < c->up);
        }
        assert_close(length, drilled ? 280 : 300, 1e-6);
        tw_grid_free(grid);
    }
    /* half a plate that ends on the keel is cut square there */
    plate_edge(&p, "half", half, 4);
    p.profile.hole_count = 0;
    grid = plate_grid(&p, 60, 1);
    assert_int_equal(grid->crease_count, 0);
    tw_grid_free(grid);
    for (int n = 0; n < 4; n++)
        p.points[0][n].value[0] *= -1;
    grid = plate_grid(&p, 60, 1);
    assert_int_equal(grid->crease_count, 0);
    tw_grid_free(grid);
}

static void any_threads_give_the_same_bits(void **state)
{
    plate p;
    tw_grid *one, *other;

    (void)state;
    plate_bowl(&p, TW_BOWL_FULL, 110, 90);
    plate_hole(&p, TW_SHAPE_ELLIPSE, 40, 30, 8, 12);
    one = plate_grid(&p, 100, 1);
    for (unsigned threads = 2; threads <= 4; threads += 2) {
        other = plate_grid(&p, 100, threads);
        assert_int_equal(one->cut_count, other->cut_count);
        assert_memory_equal(one->area, other->area, tw_grid_cells(one) * sizeof(double));
        assert_memory_equal(one->normal_z, other->normal_z, tw_grid_cells(one) * sizeof(double));
        assert_memory_equal(one->metric_au, other->metric_au, one->nu * one->nv * sizeof(double));
        assert_memory_equal(one->level, other->level, one->nu * one->nv * sizeof(double));
        assert_memory_equal(&one->face_area, &other->face_area, sizeof(double));
        tw_grid_free(other);
    }
    tw_grid_free(one);
}

static void mirrored_outline_mirrors_the_grid(void **state)
{
    static const double at[][2] = {{-40, -60}, {70, -45}, {55, 20}, {80, 66}, {-20, 58}};
    double mirror[5][2];
    plate p, q;
    tw_grid *one, *other;

    (void)state;
    for (int n = 0; n < 5; n++) {
        mirror[n][0] = -at[n][0];
        mirror[n][1] = at[n][1];
    }
    plate_flat(&p);
    plate_edge(&p, "e", at, 5)->smooth = true;
    plate_flat(&q);
    plate_edge(&q, "e", (const double(*)[2])mirror, 5)->smooth = true;
    one = plate_grid(&p, 57, 1);
    other = plate_grid(&q, 57, 1);
    assert_int_equal(one->nu, other->nu);
    assert_int_equal(one->cut_count, other->cut_count);
    for (size_t j = 0; j + 1 < one->nv; j++)
        for (size_t i = 0; i + 1 < one->nu; i++) {
            const size_t n = j * (one->nu - 1) + i, m = j * (one->nu - 1) + one->nu - 2 - i;
            assert_close(one->area[n], other->area[m], 1e-9);
            assert_close(one->cell_x[n], -other->cell_x[m], 1e-5);
        }
    tw_grid_free(one);
    tw_grid_free(other);
}

static void sizes_out_of_range_are_refused(void **state)
{
    tw_grid *grid = NULL;
    tw_form *form;
    plate p;

    (void)state;
    plate_flat(&p);
    plate_shape(&p, TW_SHAPE_RECTANGLE, 0, 0, 10, 10);
    form = plate_form(&p);
    assert_int_equal(tw_grid_build(form, 7, 0, &grid, NULL), TW_ERR_DOMAIN);
    assert_int_equal(tw_grid_build(form, 4097, 0, &grid, NULL), TW_ERR_DOMAIN);
    assert_null(grid);
    tw_form_free(form);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rectangle_is_whole_cells),
        cmocka_unit_test(areas_match_closed_forms),
        cmocka_unit_test(small_hole_does_not_vanish),
        cmocka_unit_test(random_stars_keep_their_area),
        cmocka_unit_test(flat_triangle_balances),
        cmocka_unit_test(cylinder_panel_has_its_area),
        cmocka_unit_test(keel_makes_creases),
        cmocka_unit_test(any_threads_give_the_same_bits),
        cmocka_unit_test(mirrored_outline_mirrors_the_grid),
        cmocka_unit_test(sizes_out_of_range_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
