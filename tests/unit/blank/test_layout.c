/*
 * Layouts against closed forms and figures from outside: area kept on a dome, radial maps, sheet as
 * formed on two caps, developable faces, volume.
 */
#include "blank_checks.h"

#include "taperwright/weigh.h"

#include <stdlib.h>

/* Thickness held means area held: a disc of radius r covers the cap of angle θ when
 * πr² = 2πR²(1 − cos θ). Source: the blank formulas of press work, D = √(d² + 4h²) for a segment and
 * √2·d for a hemisphere (Machinery's Handbook, drawing chapter; here derived from area). */
static void held_caps_have_discs_of_their_area(void **state)
{
    static const double angles[] = {35, 60, 90};
    double one = 1;

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        const double R = 150, angle = angles[k] * TW_PI / 180;
        const double wanted = R * sqrt(2 * (1 - cos(angle)));
        shape s = shape_cap("middle", R, angle);
        tw_layout *layout = lay_out(&s, even_thickness, &one, 1300, 1);
        double radius[3];
        rim_radii(layout, radius);
        assert_close(radius[0], wanted, 1e-3 * wanted);
        assert_close(radius[2], wanted, 1e-3 * wanted);
        assert_close(radius[1], wanted, 2.5e-4 * wanted);
        assert_close(0.5 * tw_dome_bounds(R * sin(angle), R * (1 - cos(angle))).even_blank, wanted,
                     1e-9);
        /* hoop stretch of the rim 1/√(1 + q²) and its inverse along the meridian */
        assert_close(layout->least_stretch, cos(angle / 2), 0.01);
        assert_close(layout->most_stretch, 1 / cos(angle / 2), 0.02);
        assert_none_turned_over(layout);
        tw_layout_free(layout);
        shape_free(&s);
    }
}

static double straight_taper(double across, double up, void *context)
{
    (void)context;
    return 1.2 -
           0.6 * hypot(across, up) / 150 / (TW_PI / 3); /* to 0.6 mm at 60° of a 150 mm ball */
}

/* Radial maps: πr² = ∫(t/t₀) 2πR² sin φ dφ; with t/t₀ = 1.2 − 0.6θ/60° on a 60° cap of R = 150 mm the
 * rim comes to 134.801 mm (closed form, derived). Every node within it lies at its own radius. */
static void radial_map_lies_where_its_volume_puts_it(void **state)
{
    const double R = 150, slope = 0.6 / (TW_PI / 3);
    shape s = shape_cap("middle", R, TW_PI / 3);
    tw_layout *layout = lay_out(&s, straight_taper, NULL, 5000, 1);
    double radius[3], middle[2];

    (void)state;
    rim_radii(layout, radius);
    assert_close(radius[1], 134.801, 0.01);
    assert_close(radius[0], 134.801, 0.05);
    assert_close(radius[2], 134.801, 0.05);
    assert_true(tw_layout_to_blank(layout, (double[2]){0, 0}, middle));
    for (size_t n = 0; n < layout->mesh->node_count; n++) {
        const double a = hypot(layout->mesh->tape[n][0], layout->mesh->tape[n][1]) / R;
        /* ∫₀ᵃ (1.2 − slope·φ) sin φ dφ = 1.2(1 − cos a) − slope(sin a − a cos a) */
        const double moved = 1.2 * (1 - cos(a)) - slope * (sin(a) - a * cos(a));
        assert_close(hypot(layout->blank[n][0] - middle[0], layout->blank[n][1] - middle[1]),
                     R * sqrt(2 * moved), 0.08);
    }
    assert_true(layout->ratio_error < 2e-3);
    /* the map's own grade, 0.6 mm over 157 mm of tape */
    assert_close(layout->steepest, 0.6 / (R * TW_PI / 3), 0.05 * 0.6 / (R * TW_PI / 3));
    tw_layout_free(layout);
    shape_free(&s);
}

/* Sheet as formed, axisymmetric: the same work minimised over r(θ) on 400 rings by two other programs
 * that agree. Rim radius / R, t/t₀ at crown and rim. */
static void free_caps_agree_with_rings(void **state)
{
    static const double cases[2][4] = {{60, 0.9980, 0.9306, 1.065}, {90, 1.3989, 0.8415, 1.131}};

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        const double R = 150, *c = cases[k];
        shape s = shape_cap("middle", R, c[0] * TW_PI / 180);
        tw_layout *layout = lay_out(&s, NULL, NULL, 5000, 2);
        double radius[3];
        rim_radii(layout, radius);
        assert_close(radius[0] / R, c[1], 0.002);
        assert_close(radius[2] / R, c[1], 0.002);
        assert_close(crown_thickness(layout) / 2, c[2], 0.002);
        assert_close(layout->rim_mean / 2, c[3], 0.002);
        assert_close(layout->thinnest, crown_thickness(layout), 0.001);
        /* thickness and area say the same volume */
        tw_sum volume = {0, 0};
        for (size_t n = 0; n < layout->mesh->node_count; n++)
            tw_sum_add(&volume, layout->thickness[n] * layout->mesh->area[n]);
        assert_close(layout->blank_area * 2, tw_sum_value(&volume), 5e-4 * tw_sum_value(&volume));
        assert_none_turned_over(layout);
        tw_layout_free(layout);
        shape_free(&s);
    }
}

/* Free work is never above the work of any other layout: here the one that holds the area. */
static void free_layout_takes_less_work_than_held(void **state)
{
    double two = 2;
    shape s = shape_cap("middle", 150, 1.2);
    tw_layout *held = lay_out(&s, even_thickness, &two, 1300, 2);
    tw_layout *loose = lay_out(&s, NULL, NULL, 1300, 2);

    (void)state;
    assert_true(loose->work < 0.95 * held->work);
    assert_close(held->mean_strain * held->mean_strain * held->blank_area * 2, held->work,
                 2e-3 * held->work);
    tw_layout_free(held);
    tw_layout_free(loose);
    shape_free(&s);
}

/* A cylinder unrolls to the rectangle of its arc length by its length, and nothing is strained. */
static void cylinder_unrolls(void **state)
{
    double one = 1;
    shape s = shape_of("middle", "form: {loft: [{ruler: 0, width: 300, centre: 70, sides: 0}, "
                                 "{ruler: 250, width: 300, centre: 70, sides: 0}]}");
    const double radius = (150.0 * 150 + 70 * 70) / (2 * 70);
    const double arc = 2 * radius * asin(150 / radius);

    (void)state;
    for (int held = 0; held < 2; held++) {
        tw_layout *layout = lay_out(&s, held ? even_thickness : NULL, &one, 1300, 1);
        assert_close(layout->blank_max[0] - layout->blank_min[0], arc, 1e-4 * arc);
        assert_close(layout->blank_max[1] - layout->blank_min[1], 250, 1e-4 * 250);
        assert_true(layout->mean_strain < 1e-5);
        assert_close(layout->blank_area, arc * 250, 1e-4 * arc * 250);
        for (size_t n = 0; n < layout->mesh->node_count; n++)
            assert_close(layout->thickness[n], 1, 1e-4);
        tw_layout_free(layout);
    }
    shape_free(&s);
}

/* A piece of a cone beside its apex is the sector that it unrolls to: a place s from the apex at the
 * bearing β in plan lies s from the sector's tip at the angle β·sin(half angle). Distances between all
 * corners of the outline must be those in the sector. */
static void cone_unrolls_to_its_sector(void **state)
{
    static const double corner[4][2] = {{-40, 40}, {40, 40}, {40, 140}, {-40, 140}};
    const double shrink = 150 / hypot(150, 100); /* sin of the half angle */
    double one = 1, sector[4][2], blank[4][2];
    shape s = shape_of("middle",
                       "form: {bowl: {across: 150 mm, up: 150 mm, depth: 100 mm, profile: cone}}\n"
                       "outline: [{edge: lower, points: [[-40, 40], [40, 40]]}, "
                       "{edge: rest, points: [[40, 40], [40, 140], [-40, 140], [-40, 40]]}]");
    tw_layout *layout = lay_out(&s, even_thickness, &one, 1300, 1);

    (void)state;
    assert_true(layout->mean_strain < 1e-4);
    for (int k = 0; k < 4; k++) {
        const double away = hypot(corner[k][0], corner[k][1]);
        const double bearing = atan2(corner[k][0], corner[k][1]) * shrink;
        sector[k][0] = away * sin(bearing);
        sector[k][1] = away * cos(bearing);
        assert_true(tw_layout_to_blank(layout, corner[k], blank[k]));
        for (int m = 0; m < k; m++)
            assert_close(hypot(blank[k][0] - blank[m][0], blank[k][1] - blank[m][1]),
                         hypot(sector[k][0] - sector[m][0], sector[k][1] - sector[m][1]), 0.02);
    }
    tw_layout_free(layout);
    shape_free(&s);
}

/* Blank area × stock is the volume that weighing finds, for a keeled, forged plate given by its outside
 * face. */
static void blank_holds_the_volume_of_the_plate(void **state)
{
    static const char *const files[] = {"profiles/breastplate.yaml", "profiles/knee.yaml",
                                        "profiles/cuirass/tasset.yaml"};
    const tw_plate_options plate_options = {.cells = 192};

    (void)state;
    for (size_t k = 0; k < (TEST_SANITIZED ? 1 : sizeof files / sizeof *files); k++) {
        const tw_layout_options options = {.nodes = 5000, .stock = 2.5};
        tw_profile *profile = NULL;
        tw_plate *plate = NULL;
        tw_layout *layout = NULL;
        const tw_plate_map *map;
        double volume;
        assert_int_equal(tw_profile_read(files[k], NULL, 0, &profile, NULL), TW_OK);
        assert_int_equal(tw_plate_build(profile, &plate_options, &plate, NULL), TW_OK);
        map = tw_plate_map_of(plate, TW_MAP_FORGED);
        if (!map)
            map = &plate->maps[0];
        assert_int_equal(
            tw_layout_from_map(plate->form, plate->grid, map->map.node, &options, &layout, NULL),
            TW_OK);
        volume = map->weight.mass_g / profile->density;
        assert_close((layout->blank_area - layout->drilled_area) * 2.5, volume, 2e-4 * volume);
        assert_true(layout->ratio_error < 2e-3);
        assert_none_turned_over(layout);
        tw_layout_free(layout);
        tw_plate_free(plate);
        tw_profile_free(profile);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(held_caps_have_discs_of_their_area),
        cmocka_unit_test(radial_map_lies_where_its_volume_puts_it),
        cmocka_unit_test(free_caps_agree_with_rings),
        cmocka_unit_test(free_layout_takes_less_work_than_held),
        cmocka_unit_test(cylinder_unrolls),
        cmocka_unit_test(cone_unrolls_to_its_sector),
        cmocka_unit_test(blank_holds_the_volume_of_the_plate),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
