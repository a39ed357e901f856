/* test_solid.c: solids against closed forms and against what is weighed; closed after rounding. */
#include "solids.h"

/* Shell of a ball's cap, walls along the normals: V = 2π/3·(1 − cos θ)·(R³ − r³). Derived here. */
static void cap_of_a_ball_converges_to_its_shell(void **state)
{
    static const struct {
        const char *face;
        double low, high; /* metal from the face */
    } faces[] = {{"outside", -1.5, 0}, {"middle", -0.75, 0.75}, {"inside", 0, 1.5}};
    const double R = 110, angle = 1.1;
    char form[256];

    (void)state;
    snprintf(form, sizeof form, "form: {bowl: {across: %.17g mm, up: %.17g mm, depth: %.17g mm}}",
             R * sin(angle), R * sin(angle), R * (1 - cos(angle)));
    for (size_t k = 0; k < 3; k++) {
        plate_made made = plate_of(faces[k].face, 1.5, 32, form);
        const double exact = 2 * TW_PI / 3 * (1 - cos(angle)) *
                             (pow(R + faces[k].high, 3) - pow(R + faces[k].low, 3));
        const double coarse = fabs(volume_at(&made, 24) / exact - 1);
        const double middle = fabs(volume_at(&made, 12) / exact - 1);
        const double fine = fabs(volume_at(&made, 6) / exact - 1);
        print_message("cap, %s: %.2e %.2e %.2e\n", faces[k].face, coarse, middle, fine);
        assert_true(coarse > 4 * middle && middle > 4 * fine && fine < 1e-5);
        plate_free(&made);
    }
}

/* 200 × 100 × 2 mm less a hole of radius 10 mm, whose line encloses the circle's area. */
static void flat_plate_with_a_hole_is_exact(void **state)
{
    plate_made made = plate_of("middle", 2, 16,
                               "form: flat\n"
                               "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 50 mm}}\n"
                               "holes:\n  - {at: [30, 10], radius: 10 mm}");
    const double exact = 2 * (20000 - TW_PI * 100);

    (void)state;
    for (double spacing = 40; spacing > 4; spacing /= 3) {
        tw_solid *solid = solid_of(&made, spacing);
        const tw_solid_size size = tw_solid_measure(solid);
        const double middle[] = {-30 * TW_PI * 100 * 2 / exact, -10 * TW_PI * 100 * 2 / exact, 0};
        assert_close(size.volume_mm3, exact, 1e-6 * exact);
        assert_close(size.low[0], -100, 0);
        assert_close(size.high[1], 50, 0);
        assert_close(size.high[2] - size.low[2], 2, 0);
        for (int c = 0; c < 3; c++)
            assert_close(size.centroid_mm[c], middle[c], 1e-5);
        /* faces and walls; the hole's line is a little longer than it is round */
        assert_close(size.area_mm2, exact + 2 * (600 + 20 * TW_PI), 0.2);
        assert_true(closed_by_places(solid));
        tw_solid_free(solid);
    }
    plate_free(&made);
}

/* A cone of even sheet is a ring's section turned about the axis: outside from apex to rim, square
 * through the sheet, back along the inside to its own apex on the axis, t/cos ψ under the other, ψ the
 * slope. A polygon in (r, z) turned about z holds π/3·Σ(rᵢ + rⱼ)(rᵢzⱼ − rⱼzᵢ) (Pappus). */
static void cone_has_its_inner_apex(void **state)
{
    const double a = 80, h = 60, t = 2, slant = hypot(a, h);
    const double r[] = {0, a, a - t * h / slant, 0};
    const double z[] = {h, 0, -t * a / slant, h - t * slant / a};
    plate_made made = plate_of(
        "outside", t, 32, "form: {bowl: {across: 80 mm, up: 80 mm, depth: 60 mm, profile: cone}}");
    tw_solid *solid = solid_of(&made, 4);
    double exact = 0, deepest = 0;

    (void)state;
    for (int i = 0; i < 4; i++) {
        const int j = (i + 1) % 4;
        exact -= TW_PI / 3 * (r[i] + r[j]) * (r[i] * z[j] - r[j] * z[i]);
    }
    assert_close(tw_solid_measure(solid).volume_mm3, fabs(exact), 1e-4 * fabs(exact));
    for (size_t n = 0; n < solid->vertex_count; n++)
        if (hypot((double)solid->vertex[n][0], (double)solid->vertex[n][1]) < 1e-3)
            deepest = fmin(deepest, (double)solid->vertex[n][2] - h);
    assert_close(deepest, -t * slant / a, 0.02);
    assert_true(closed_by_places(solid));
    tw_solid_free(solid);
    plate_free(&made);
}

static const char keel[] = "form:\n  loft:\n"
                           "    - {ruler: 0, width: 300, centre: 70, sides: 0}\n"
                           "    - {ruler: 180, width: 360, centre: 115, sides: 0}\n"
                           "    - {ruler: 300, width: 300, centre: 90, sides: 0}\n"
                           "  keel: {stands: 9 mm, width: 40 mm}";

/* Faces with a crease, an apex, holes, deep sides: closed, right way out, own sum, as weighed. */
static void solids_of_many_forms_close(void **state)
{
    static const struct {
        const char *form;
        double within; /* of the weighed volume, on these coarse grids */
    } cases[] = {
        {keel, 2e-4},
        {"form: {bowl: {across: 80 mm, up: 60 mm, depth: 50 mm, profile: cone}}", 4e-4},
        {"form: {bowl: {across: 100 mm, up: 100 mm, depth: 100 mm}}", 2e-4},
        {"form: {bowl: {across: 90 mm, up: 70 mm, depth: 140 mm, profile: full}}", 2e-3},
        {"form: {bowl: {across: 90 mm, up: 90 mm, depth: 40 mm, profile: parabola}}\n"
         "holes:\n  - {at: [0, 0], radius: 12 mm}\n  - {at: [40, 0], radius: 1 mm}\n"
         "  - {at: [-40, 3], radius: 20 mm}",
         4e-4},
    };
    static const char *const faces[] = {"outside", "middle", "inside"};

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        for (size_t f = 0; f < 3; f += 1 + k % 2) {
            plate_made made = plate_of(faces[f], 1.6, 64, cases[k].form);
            tw_solid *solid = solid_of(&made, 8);
            const tw_solid_weight found = tw_solid_beside(solid, &made.plate->maps[0].weight);
            const double weighed = made.plate->maps[0].weight.volume_mm3;
            print_message("form %zu, %s: %+.2e of weighed, off the face %.3f mm\n", k, faces[f],
                          found.size.volume_mm3 / weighed - 1, solid->off_face);
            assert_close(found.size.volume_mm3, weighed, cases[k].within * weighed);
            assert_close(found.size.volume_mm3, volume_by_sum(solid), 1e-6 * weighed);
            assert_close(found.difference_g, found.mass_g - made.plate->maps[0].weight.mass_g, 0);
            for (int c = 0; c < 3; c++)
                assert_close(found.size.centroid_mm[c], made.plate->maps[0].weight.centroid_mm[c],
                             0.05);
            assert_true(closed_by_places(solid));
            assert_int_equal(tw_solid_check(solid, NULL), TW_OK);
            tw_solid_free(solid);
            plate_free(&made);
        }
}

/* Weighing takes the mitre off exactly, t²·tan(β/2) per length; the solid must have it too. */
static void keel_converges_to_what_is_weighed(void **state)
{
    plate_made made = plate_of("outside", 3, 200, keel);
    const double weighed = made.plate->maps[0].weight.volume_mm3;
    double mitre = 0;

    (void)state;
    for (size_t k = 0; k < made.plate->grid->crease_count; k++) {
        const tw_crease *crease = &made.plate->grid->creases[k];
        mitre += crease->length * 9 * tan(0.5 * crease->turn);
    }
    print_message("keel: %.2e, %.2e; its mitre %.2e\n", volume_at(&made, 8) / weighed - 1,
                  volume_at(&made, 4) / weighed - 1, mitre / weighed);
    assert_true(mitre > 4e-3 * weighed);
    assert_close(volume_at(&made, 4), weighed, 5e-5 * weighed);
    plate_free(&made);
}

static void any_number_of_threads_gives_the_same_solid(void **state)
{
    plate_made made = plate_of("outside", 1.6, 32, keel);
    tw_solid *one = solid_of(&made, 10), *three = NULL;
    const tw_solid_options options = {.spacing = 10, .threads = 3};

    (void)state;
    assert_int_equal(
        tw_solid_build(made.plate->form, &made.plate->maps[0].map, &options, &three, NULL), TW_OK);
    assert_int_equal(one->vertex_count, three->vertex_count);
    assert_int_equal(one->triangle_count, three->triangle_count);
    assert_memory_equal(one->vertex, three->vertex, one->vertex_count * sizeof *one->vertex);
    assert_memory_equal(one->triangle, three->triangle,
                        one->triangle_count * sizeof *one->triangle);
    tw_solid_free(three);
    tw_solid_free(one);
    plate_free(&made);
}

/* Thinner than a float tells at that place: both faces fall together along the edge. */
static void foil_at_the_edge_closes(void **state)
{
    plate_made made = plate_of("outside", 1, 16,
                               "form: flat\n"
                               "outline: {rectangle: {at: [0, 3000], across: 100 mm, up: 50 mm}}");
    tw_map *map = &made.plate->maps[0].map;
    const tw_grid *grid = made.plate->grid;
    tw_solid *solid;

    (void)state;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        map->node[n] = grid->level[n] < -1 ? 1 : 1e-42;
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double *low = map->node + c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1);
        map->cell[c] = 0.25 * (low[0] + low[1] + low[grid->nu] + low[grid->nu + 1]);
    }
    solid = solid_of(&made, 8);
    assert_true(closed_by_places(solid));
    tw_solid_free(solid);
    plate_free(&made);
}

/* ---- refused --------------------------------------------------------------------------------------- */

static void wrong_plates_are_refused(void **state)
{
    static const struct {
        double spacing, sheet;
        tw_status status;
    } cases[] = {{-1, 1, TW_ERR_DOMAIN},   {NAN, 1, TW_ERR_DOMAIN}, {INFINITY, 1, TW_ERR_DOMAIN},
                 {0.001, 1, TW_ERR_LIMIT}, {3, 80, TW_ERR_SHAPE},   {3, NAN, TW_ERR_DOMAIN}};
    plate_made made =
        plate_of("outside", 1, 24, "form: {bowl: {across: 50 mm, up: 50 mm, depth: 40 mm}}");
    const tw_grid *grid = made.plate->grid;

    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const tw_solid_options options = {.spacing = cases[k].spacing, .threads = 1};
        tw_error err = {.message = ""};
        tw_solid *solid = NULL;
        tw_map map = {.grid = NULL};
        assert_int_equal(tw_map_sheet(grid, 1, &map, NULL), TW_OK);
        for (size_t n = 0; n < grid->nu * grid->nv; n++)
            map.node[n] = cases[k].sheet;
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            map.cell[c] = cases[k].sheet;
        assert_int_equal(tw_solid_build(made.plate->form, &map, &options, &solid, &err),
                         cases[k].status);
        assert_null(solid);
        assert_int_equal(err.status, cases[k].status);
        assert_true(err.message[0]);
        tw_map_release(&map);
    }
    plate_free(&made);
}

static void open_solids_are_found_out(void **state)
{
    plate_made made = plate_of("outside", 1, 16,
                               "form: flat\n"
                               "outline: {rectangle: {at: [0, 0], across: 30 mm, up: 20 mm}}");
    tw_solid *solid = solid_of(&made, 10);
    uint32_t *last = solid->triangle[solid->triangle_count - 1], kept;

    (void)state;
    solid->triangle_count--;
    assert_int_equal(tw_solid_check(solid, NULL), TW_ERR_SHAPE);
    assert_false(closed_by_places(solid));
    solid->triangle_count++;
    kept = last[0];
    last[0] = last[1];
    last[1] = kept; /* turned over */
    assert_int_equal(tw_solid_check(solid, NULL), TW_ERR_SHAPE);
    last[1] = last[0];
    last[0] = kept;
    assert_int_equal(tw_solid_check(solid, NULL), TW_OK);
    for (size_t t = 0; t < solid->triangle_count; t++) /* two corners of the plate made one */
        for (int k = 0; k < 3; k++)
            if (solid->triangle[t][k] == solid->vertex_count - 1)
                solid->triangle[t][k] = 0;
    assert_int_equal(tw_solid_check(solid, NULL), TW_ERR_SHAPE);
    tw_solid_free(solid);
    plate_free(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cap_of_a_ball_converges_to_its_shell),
        cmocka_unit_test(flat_plate_with_a_hole_is_exact),
        cmocka_unit_test(cone_has_its_inner_apex),
        cmocka_unit_test(solids_of_many_forms_close),
        cmocka_unit_test(keel_converges_to_what_is_weighed),
        cmocka_unit_test(any_number_of_threads_gives_the_same_solid),
        cmocka_unit_test(foil_at_the_edge_closes),
        cmocka_unit_test(wrong_plates_are_refused),
        cmocka_unit_test(open_solids_are_found_out),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
