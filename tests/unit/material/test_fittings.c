/* Unit masses of fittings, worked out again from their shapes; names found as typed. */
#include "support.h"

#include "taperwright/material.h"

#include <float.h>

static const double steel = 7.85e-3, leather = 0.90e-3; /* g/mm³ */

static const tw_fitting *find(const char *name)
{
    const tw_fitting *found = tw_fitting_find(name);

    if (!found)
        print_error("no %s\n", name);
    assert_non_null(found);
    return found;
}

/* Volume of a solid of revolution by Simpson's rule over its height. */
static double revolve(double (*radius)(double z, double d), double height, double d)
{
    enum { STEPS = 2000 };
    double sum = 0;

    for (int k = 0; k <= STEPS; k++) {
        const double r = radius(height * k / STEPS, d);
        sum += (k == 0 || k == STEPS ? 1 : k % 2 ? 4 : 2) * TW_PI * r * r;
    }
    return sum * height / STEPS / 3;
}

/* The head is part of a ball through its rim (0.875 d out) and its top (0.6 d up): radius of the ball
 * R = (a² + h²)/(2 h), z from the rim's plane. */
static double head(double z, double d)
{
    const double a = 0.875 * d, h = 0.6 * d, R = (a * a + h * h) / (2 * h), up = z + R - h;

    return sqrt(fmax(R * R - up * up, 0));
}

static double shank(double z, double d)
{
    (void)z;
    return d / 2;
}

static void rivets_weigh_head_and_shank(void **state)
{
    (void)state;
    for (int d = 3; d <= 6; d++) {
        char name[32];
        double mass;
        const tw_fitting *rivet;
        snprintf(name, sizeof name, "rivet %d mm", d);
        rivet = find(name);
        mass = steel * (revolve(head, 0.6 * d, d) + revolve(shank, 4 + 1.5 * d, d));
        assert_close(rivet->mass, mass, 1e-6 * mass);
        assert_close(rivet->uncertainty, 0.15 * mass, 1e-6 * mass);
        assert_true(rivet->what == TW_FITTING_METAL && rivet->per == TW_PER_PIECE);
    }
    assert_close(find("rivet 5 mm")->mass, 2.59, 0.005); /* by hand: 104.4 + 225.8 mm³ */
}

static void the_rest_weighs_what_its_source_says(void **state)
{
    const double quarter = TW_PI / 4;

    (void)state;
    assert_close(find("roundel washer 12 mm")->mass, steel * quarter * (144 - 5.2 * 5.2) * 1.2,
                 1e-12);
    assert_close(find("roundel washer 16 mm")->mass, steel * quarter * (256 - 5.2 * 5.2) * 1.2,
                 1e-12);
    assert_close(find("buckle small")->mass, steel * quarter * (16 * 96 + 9 * 26), 1e-12);
    assert_close(find("buckle medium")->mass, steel * quarter * (25 * 128 + 3.5 * 3.5 * 34), 1e-12);
    assert_close(find("hinge")->mass,
                 steel * (2 * 30 * 20 * 1.2 + TW_PI * 5.2 * 1.2 * 20 + quarter * 16 * 24), 1e-12);
    assert_close(find("hook")->mass, steel * 60 * 12 * 1.5, 1e-12);
    assert_close(find("turning pin")->mass, steel * (quarter * 25 * 25 + 14 * 8 * 2), 1e-12);
    assert_close(find("staple")->mass, steel * quarter * 16 * 40, 1e-12);
    for (int width = 20; width <= 40; width += width < 30 ? 5 : 10) {
        char name[32];
        snprintf(name, sizeof name, "strap %d mm", width);
        assert_close(find(name)->mass, leather * width * 3, 1e-15);
        assert_true(find(name)->what == TW_FITTING_STRAP && find(name)->per == TW_PER_LENGTH);
    }
    assert_close(find("waist belt")->mass, leather * 45 * 4, 1e-15);
    assert_close(find("leather lining")->mass, leather * 1.5, 1e-15);
    assert_close(find("canvas lining")->mass * 1e6, 400, 1e-9);
    assert_close(find("wool lining")->mass * 1e6, 500, 1e-9);
    assert_close(find("quilted lining")->mass * 1e6, 900, 1e-9);
    assert_close(find("felt lining")->mass * 1e6, 600, 1e-9);
}

static void every_row_is_whole(void **state)
{
    size_t count;
    const tw_fitting *rows = tw_fittings(&count);

    (void)state;
    assert_true(count >= 15 && count <= 30);
    for (size_t k = 0; k < count; k++) {
        const double share = rows[k].uncertainty / rows[k].mass;
        assert_true(share >= 0.10 - DBL_EPSILON && share <= 0.20 + DBL_EPSILON);
        assert_true(strlen(rows[k].source) > 10);
        assert_true((rows[k].per == TW_PER_AREA) == (rows[k].what == TW_FITTING_LINING));
        assert_true((rows[k].per == TW_PER_LENGTH) == (rows[k].what == TW_FITTING_STRAP));
        assert_ptr_equal(tw_fitting_find(rows[k].name), &rows[k]);
    }
}

static void names_are_found_as_typed(void **state)
{
    (void)state;
    assert_ptr_equal(tw_fitting_find(" Rivet 5mm"), tw_fitting_find("rivet 5 mm"));
    assert_ptr_equal(tw_fitting_find("QUILTED LINING"), tw_fitting_find("quilted lining"));
    assert_null(tw_fitting_find("rivet"));
    assert_null(tw_fitting_find("rivet 7 mm"));
    assert_null(tw_fitting_find(""));
    assert_string_equal(tw_fitting_nearest("rivt 4 mm"), "rivet 4 mm");
    assert_string_equal(tw_fitting_nearest("hinges"), "hinge");
    assert_string_equal(tw_fitting_nearest("rivet"), "rivet 3 mm"); /* the first that holds it */
    assert_string_equal(tw_fitting_nearest("felt"), "felt lining");
    assert_null(tw_fitting_nearest("xyzzyxyzzy"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rivets_weigh_head_and_shank),
        cmocka_unit_test(the_rest_weighs_what_its_source_says),
        cmocka_unit_test(every_row_is_whole),
        cmocka_unit_test(names_are_found_as_typed),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
