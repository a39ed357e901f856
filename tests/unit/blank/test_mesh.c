/* The face in triangles: areas, holes, boundary, what is refused. */
#include "blank_checks.h"

static tw_mesh *mesh_of(const shape *s, size_t nodes)
{
    tw_mesh *mesh = NULL;
    tw_error err = {.message = ""};

    if (tw_mesh_build(s->form, nodes, 0, &mesh, &err) != TW_OK)
        print_error("%s\n", err.message);
    assert_non_null(mesh);
    return mesh;
}

static double chart_area(const tw_mesh *mesh)
{
    double area = 0;

    for (size_t t = 0; t < mesh->triangle_count; t++) {
        const uint32_t *k = mesh->triangle[t];
        const double one = triangle_area(mesh->tape[k[0]], mesh->tape[k[1]], mesh->tape[k[2]]);
        assert_true(one > 0);
        area += one;
    }
    return area;
}

/* Cap of a ball: 2πR²(1 − cos θ). The areas about nodes must add up to it even on few nodes. */
static void areas_add_up_to_the_face(void **state)
{
    static const double angles[] = {40, 90};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        const double angle = angles[k] * TW_PI / 180;
        const double exact = 2 * TW_PI * 150 * 150 * (1 - cos(angle));
        shape s = shape_cap("outside", 150, angle);
        tw_mesh *few = mesh_of(&s, 600), *many = mesh_of(&s, 10000);
        assert_close(few->face_area, exact, 2e-4 * exact);
        assert_close(many->face_area, exact, 2e-6 * exact);
        assert_in_range(many->node_count, 9500, 10500);
        assert_int_equal(many->loop_count, 1);
        tw_mesh_free(few);
        tw_mesh_free(many);
        shape_free(&s);
    }
}

/* A flat rectangle with three holes, one too small for its triangles. Euler: nodes − sides + triangles
 * = 1 − holes left open. */
static void holes_are_left_open(void **state)
{
    shape s = shape_of("outside", "form: flat\n"
                                  "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 70 mm}}\n"
                                  "holes:\n  - {at: [-40, 10], radius: 20 mm}\n"
                                  "  - {at: [30, -20], across: 25 mm, up: 12 mm}\n"
                                  "  - {at: [60, 50], radius: 2 mm}");
    tw_mesh *mesh = mesh_of(&s, 1500);
    const size_t boundary = mesh->loop_first[mesh->loop_count];
    const size_t sides = (3 * mesh->triangle_count + boundary) / 2;

    (void)state;
    assert_int_equal(mesh->holes_filled, 1);
    assert_close(mesh->filled[0][0], 60, 1e-6);
    assert_close(mesh->filled[0][1], 50, 1e-6);
    assert_close(mesh->filled[0][2], TW_PI * 4, 1e-3);
    assert_close(mesh->face_area, 200 * 140 - TW_PI * (400 + 25 * 12), 1);
    assert_int_equal(mesh->loop_count, 3);
    assert_int_equal((long)mesh->node_count - (long)sides + (long)mesh->triangle_count, 1 - 2);
    assert_close(chart_area(mesh), 200 * 140 - TW_PI * (400 + 25 * 12), 30);
    /* the outer boundary comes first and holds the corners of the rectangle */
    for (int corner = 0; corner < 4; corner++) {
        const double x = corner % 2 ? 100 : -100, y = corner / 2 ? 70 : -70;
        size_t found = 0;
        for (size_t k = 0; k < mesh->loop_first[1]; k++)
            found += hypot(mesh->tape[mesh->loop_node[k]][0] - x,
                           mesh->tape[mesh->loop_node[k]][1] - y) < 1e-9;
        assert_int_equal(found, 1);
    }
    tw_mesh_free(mesh);
    shape_free(&s);
}

/* No triangle straddles the crease of a keel, and areas on it agree with the grid's. */
static void creases_lie_on_sides(void **state)
{
    shape s = shape_read("profiles/breastplate.yaml");
    tw_mesh *mesh = mesh_of(&s, 5000);
    tw_grid *grid = NULL;
    double area = mesh->face_area;

    (void)state;
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double low = INFINITY, high = -INFINITY;
        for (int k = 0; k < 3; k++) {
            low = fmin(low, mesh->tape[mesh->triangle[t][k]][0]);
            high = fmax(high, mesh->tape[mesh->triangle[t][k]][0]);
        }
        assert_true(low >= 0 || high <= 0);
    }
    assert_int_equal(tw_grid_build(s.form, 256, 0, &grid, NULL), TW_OK);
    for (size_t k = 0; k < mesh->holes_filled; k++) /* four small ones for rivets */
        area -= mesh->filled[k][2];
    assert_int_equal(mesh->holes_filled, 4);
    assert_close(area, grid->face_area, 3e-5 * grid->face_area);
    tw_grid_free(grid);
    tw_mesh_free(mesh);
    shape_free(&s);
}

static void what_cannot_be_cut_is_refused(void **state)
{
    /* two squares joined by a strip 1 mm wide */
    shape s =
        shape_of("outside", "form: flat\n"
                            "outline: [{edge: a, points: [[-90, 0], [-30, 0], [-30, 30], [30, 30], "
                            "[30, 0], [90, 0]]}, {edge: b, points: [[90, 0], [90, 60], [30, 60], "
                            "[30, 31], [-30, 31], [-30, 60], [-90, 60], [-90, 0]]}]");
    tw_mesh *mesh = NULL;
    tw_error err;

    (void)state;
    assert_int_equal(tw_mesh_build(s.form, 400, 0, &mesh, &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "narrowest"));
    assert_non_null(strstr(err.advice, "more nodes"));
    assert_int_equal(tw_mesh_build(s.form, 20000, 0, &mesh, &err), TW_OK);
    tw_mesh_free(mesh);
    mesh = NULL;
    assert_int_equal(tw_mesh_build(s.form, 10, 0, &mesh, &err), TW_ERR_LIMIT);
    assert_int_equal(tw_mesh_build(s.form, 1000000, 0, &mesh, &err), TW_ERR_LIMIT);
    assert_null(mesh);
    shape_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(areas_add_up_to_the_face),
        cmocka_unit_test(holes_are_left_open),
        cmocka_unit_test(creases_lie_on_sides),
        cmocka_unit_test(what_cannot_be_cut_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
