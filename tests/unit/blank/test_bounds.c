/* Bounds of a dome against a table of its identities, and of plates against a dome's. */
#include "blank_checks.h"

/* q = h/a, rim angle [deg], then t/t₀: rim held, blown crown; hoop stretch at the rim with thickness
 * held and its logarithm; t/t₀ at the rim with meridians held. Source: volume kept (each column derived
 * by its formula to six decimals); the crown from Hill's bulge, formula from memory. */
static const double table[][7] = {
    {0.2, 22.6199, 0.961538, 0.924556, 0.980581, -0.019610, 1.026457},
    {0.3, 33.3985, 0.917431, 0.841680, 0.957826, -0.043089, 1.058960},
    {0.4, 43.6028, 0.862069, 0.743163, 0.928477, -0.074210, 1.103468},
    {0.5, 53.1301, 0.800000, 0.640000, 0.894427, -0.111572, 1.159119},
    {0.6, 61.9275, 0.735294, 0.540657, 0.857493, -0.153742, 1.224951},
    {0.8, 77.3196, 0.609756, 0.371802, 0.780869, -0.247348, 1.383219},
    {1.0, 90.0000, 0.500000, 0.250000, 0.707107, -0.346574, 1.570796},
};

static void dome_bounds_are_the_table(void **state)
{
    (void)state;
    for (size_t k = 0; k < sizeof table / sizeof *table; k++) {
        const double *row = table[k];
        const tw_dome dome = tw_dome_bounds(100, 100 * row[0]);
        assert_close(dome.rim_angle * 180 / TW_PI, row[1], 5e-5);
        assert_close(dome.sunk_mean, row[2], 5e-7);
        assert_close(dome.sunk_crown, row[3], 5e-7);
        assert_close(dome.even_hoop, row[4], 5e-7);
        assert_close(log(dome.even_hoop), row[5], 5e-7);
        assert_close(dome.raised_rim, row[6], 5e-7);
    }
}

/* A dome 200 mm wide and 60 deep; a hemisphere's mean with meridians held is π²/8. Derived. */
static void worked_dome(void **state)
{
    const tw_dome dome = tw_dome_bounds(100, 60), half = tw_dome_bounds(100, 100);

    (void)state;
    assert_close(dome.radius, 113.333333, 5e-7);
    assert_close(dome.even_blank, 233.238076, 5e-7);
    assert_close(dome.raised_blank, 244.990173, 5e-7);
    assert_close(dome.raised_mean, 1.103312, 5e-7);
    assert_close(dome.upright_rim, 0.470588, 5e-7);
    assert_close(half.even_blank, 100 * 2 * sqrt(2), 1e-9);
    assert_close(half.raised_mean, TW_PI * TW_PI / 8, 1e-12);
}

static void plates_have_the_bounds_of_a_dome(void **state)
{
    shape s = shape_of("outside", "form: {bowl: {across: 100 mm, up: 100 mm, depth: 60 mm}}");
    const tw_dome dome = tw_dome_bounds(100, 60);
    tw_mesh *mesh = NULL;
    tw_forming_bounds bounds;

    (void)state;
    assert_int_equal(tw_mesh_build(s.form, 5000, 0, &mesh, NULL), TW_OK);
    bounds = tw_forming_bounds_of(mesh);
    assert_close(bounds.sunk_mean, dome.sunk_mean, 1e-3);
    assert_close(bounds.raised_mean, dome.raised_mean, 1e-3);
    assert_close(mesh->face_area, TW_PI * (100 * 100 + 60 * 60), 1e-5 * mesh->face_area);
    tw_mesh_free(mesh);
    shape_free(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dome_bounds_are_the_table),
        cmocka_unit_test(worked_dome),
        cmocka_unit_test(plates_have_the_bounds_of_a_dome),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
