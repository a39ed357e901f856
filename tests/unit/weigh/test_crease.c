/*
 * test_crease.c: the mitre at a crease, against a roof of two planes worked out as a polygon.
 */
#include "taperwright/weigh.h"

#include "support.h"

static const double density = 7.85e-3;

typedef struct roof {
    double turn;  /* angle between the normals; > 0 for a ridge */
    double width; /* of each slope, square to the crease */
    double length;
} roof;

static void face_roof(double across, double up, const void *shape, tw_face_point *out)
{
    const roof *r = shape;
    const double c = cos(r->turn / 2), s = sin(r->turn / 2), side = across < 0 ? -1 : 1;

    *out = (tw_face_point){.position = {across * c, up, -fabs(across) * s},
                           .across_step = {c, 0, -side * s},
                           .up_step = {0, 1, 0},
                           .normal = {side * s, 0, c}};
}

static tw_grid *roof_grid(const roof *shape, size_t cells)
{
    tw_grid *grid =
        test_grid_fill(face_roof, shape, -shape->width, shape->width, 0, shape->length, cells, 0);

    grid->creases = tw_arena_array(grid->arena, cells, sizeof *grid->creases);
    assert_non_null(grid->creases);
    for (size_t j = 0; j < cells; j++) {
        const size_t right = j * cells + cells / 2;
        grid->creases[j] = (tw_crease){.left_cell = right - 1,
                                       .right_cell = right,
                                       .position = {0, tw_grid_up(grid, j) + grid->up_step / 2, 0},
                                       .length = grid->up_step,
                                       .turn = shape->turn,
                                       .outward = {0, 0, 1},
                                       .across = 0,
                                       .up = tw_grid_up(grid, j) + grid->up_step / 2,
                                       .node = j * grid->nu + cells / 2};
    }
    grid->crease_count = cells;
    return grid;
}

static tw_weight weigh_roof(const tw_grid *grid, double t, tw_face_side face)
{
    double *cell = test_malloc(tw_grid_cells(grid) * sizeof *cell);
    double *node = test_malloc(grid->nu * grid->nv * sizeof *node);
    tw_error error = {.message = ""};
    tw_weight weight;

    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        cell[k] = t;
    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        node[k] = t;
    if (tw_weigh(grid, cell, node, face, density, 1, &weight, &error) != TW_OK)
        fail_msg("%s", error.message);
    test_free(cell);
    test_free(node);
    return weight;
}

/* Area, centroid height and second moments (∫x², ∫z² about the centroid) of the mitred roof's
 * cross-section: a polygon, edges square to the slopes, both skins meeting on the bisector. */
static void section(const roof *shape, double s0, double s1, double out[4])
{
    const double c = cos(shape->turn / 2), s = sin(shape->turn / 2), w = shape->width;
    const double p[6][2] = {
        {0, s1 / c}, {-w * c - s1 * s, -w * s + s1 * c}, {-w * c - s0 * s, -w * s + s0 * c},
        {0, s0 / c}, {w * c + s0 * s, -w * s + s0 * c},  {w * c + s1 * s, -w * s + s1 * c}};
    double area = 0, first = 0, xx = 0, zz = 0;

    for (int k = 0; k < 6; k++) {
        const double *a = p[k], *b = p[(k + 1) % 6];
        const double twice = a[0] * b[1] - b[0] * a[1];
        area += twice / 2;
        first += twice * (a[1] + b[1]) / 6;
        xx += twice * (a[0] * a[0] + a[0] * b[0] + b[0] * b[0]) / 12;
        zz += twice * (a[1] * a[1] + a[1] * b[1] + b[1] * b[1]) / 12;
    }
    out[0] = area;
    out[1] = first / area;
    out[2] = xx;
    out[3] = zz - first * first / area;
}

static void a_mitred_roof_is_a_polygon(void **state)
{
    static const tw_face_side sides[] = {TW_FACE_OUTSIDE, TW_FACE_MIDDLE, TW_FACE_INSIDE};
    static const double turns[] = {0.9, 0.2, -0.7, 1.8};

    (void)state;
    for (size_t n = 0; n < sizeof turns / sizeof *turns; n++) {
        const roof shape = {turns[n], 60, 250};
        tw_grid *grid = roof_grid(&shape, 128);
        for (int f = 0; f < 3; f++) {
            const double t = 2.5, share = 1.0 / (128 * 128);
            double span[2], exact[4], mass;
            const tw_weight w = weigh_roof(grid, t, sides[f]);
            tw_face_span(sides[f], t, span);
            section(&shape, span[0], span[1], exact);
            mass = exact[0] * shape.length * density;
            assert_close(w.mass_g, mass, 1e-12 * mass);
            assert_close(w.centroid_mm[0], 0, 1e-10);
            assert_close(w.centroid_mm[1], 125, 1e-10);
            assert_close(w.centroid_mm[2], exact[1], 1e-10);
            /* inertia: midpoint rule short by about 1/n² of each slope's own, kite's spread left
             * out */
            {
                const double about_y = (exact[2] + exact[3]) * shape.length * density;
                assert_close(w.inertia_g_mm2[1][1], about_y, 4 * share * about_y);
            }
        }
        tw_grid_free(grid);
    }
}

/* Outside face of a ridge: the mitre takes t²·tan(β/2) per length off; of a valley it adds it. */
static void a_ridge_loses_what_its_sides_share(void **state)
{
    const roof ridge = {1.0, 50, 100}, valley = {-1.0, 50, 100};
    tw_grid *a = roof_grid(&ridge, 16), *b = roof_grid(&valley, 16);
    const double plain = 2 * 50 * 100 * 3.0, mitre = 9 * tan(0.5) * 100;

    (void)state;
    assert_close(weigh_roof(a, 3, TW_FACE_OUTSIDE).volume_mm3, plain - mitre, 1e-9);
    assert_close(weigh_roof(a, 3, TW_FACE_INSIDE).volume_mm3, plain + mitre, 1e-9);
    assert_close(weigh_roof(a, 3, TW_FACE_MIDDLE).volume_mm3, plain, 1e-9);
    assert_close(weigh_roof(b, 3, TW_FACE_OUTSIDE).volume_mm3, plain + mitre, 1e-9);
    b->creases[3].left_cell = SIZE_MAX; /* metal on one side only: no mitre there */
    assert_close(weigh_roof(b, 3, TW_FACE_OUTSIDE).volume_mm3, plain + mitre * 15 / 16, 1e-9);
    tw_grid_free(a);
    tw_grid_free(b);
}

/* One piece per cell along the crease, each with its own thickness: mean of its two nodes. */
static void a_crease_takes_its_thickness_from_its_nodes(void **state)
{
    const roof shape = {0.8, 40, 90};
    tw_grid *grid = roof_grid(&shape, 30);
    double cell[900], node[961], even[3];
    double exact = 0;
    tw_weight w;

    (void)state;
    for (size_t j = 0; j <= 30; j++)
        for (size_t i = 0; i <= 30; i++)
            node[j * 31 + i] = i == 15 ? 1 + 0.05 * (double)j : NAN; /* others are not read */
    for (size_t j = 0; j < 30; j++) {
        const double t = 1 + 0.05 * ((double)j + 0.5);
        for (size_t i = 0; i < 30; i++)
            cell[j * 30 + i] = t;
        exact += 3 * (80 * t - t * t * tan(0.4));
    }
    assert_int_equal(tw_weigh(grid, cell, node, TW_FACE_OUTSIDE, density, 1, &w, NULL), TW_OK);
    assert_close(w.volume_mm3, exact, 1e-10 * exact);
    tw_sheet_volume(grid, TW_FACE_OUTSIDE, even);
    assert_close(even[0], 80 * 90, 1e-8);
    assert_close(even[1], -90 * tan(0.4), 1e-10);
    assert_close(even[2], 0, 1e-12);
    node[4 * 31 + 15] = -9;
    {
        tw_error error;
        assert_int_equal(tw_weigh(grid, cell, node, TW_FACE_OUTSIDE, density, 1, &w, &error),
                         TW_ERR_DOMAIN);
        assert_non_null(strstr(error.message, "crease at 10.5 mm"));
    }
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mitred_roof_is_a_polygon),
        cmocka_unit_test(a_ridge_loses_what_its_sides_share),
        cmocka_unit_test(a_crease_takes_its_thickness_from_its_nodes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
