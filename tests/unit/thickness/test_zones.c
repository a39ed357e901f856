/* Zones of the report: areas against closed forms, order, and cells that the outline cuts. */
#include "synthetic.h"

static double zone_30(double across, double up)
{
    return hypot(across, up) - 30;
}

static double zone_aside(double across, double up)
{
    return hypot(across - 40, up) - 20;
}

static double edge_100(double across, double up)
{
    return 100 - hypot(across, up);
}

/* Right of a slanting straight line. */
static double right_of_line(double across, double up)
{
    return 0.6 * (55 - across) + 0.8 * (10 - up);
}

static double zone_area(const tw_grid *grid, const tw_zones *zones, const char *name)
{
    double area = 0;
    size_t index = 0;

    while (index < zones->count && strcmp(zones->names[index], name) != 0)
        index++;
    assert_true(index < zones->count);
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double share = (double)zones->share[c];
        assert_true(share >= 0 && share <= 1);
        assert_true(zones->first[c] < zones->count && zones->second[c] < zones->count);
        if (zones->first[c] == index)
            area += share * grid->area[c];
        if (zones->second[c] == index)
            area += (1 - share) * grid->area[c];
    }
    return area;
}

/* Rings of a disc: areas π(R² − r²). */
static void rings_have_their_areas(void **state)
{
    synthetic *s = synthetic_new(104, 128, 100);
    tw_zones zones;

    (void)state;
    synthetic_zone(s, "heart", 2.6, 10, zone_30);
    synthetic_edge(s, "all", 1.2, 8, edge_100);
    synthetic_law(s, TW_LAW_HELD, 25);
    assert_int_equal(tw_zones_build(&s->taper, &zones, NULL), TW_OK);
    assert_int_equal(zones.count, 5);
    assert_string_equal(zones.names[0], "heart");
    assert_string_equal(zones.names[1], "hold heart");
    assert_string_equal(zones.names[2], "hold all");
    assert_string_equal(zones.names[3], "band all");
    assert_string_equal(zones.names[4], "field");
    assert_close(zone_area(s->grid, &zones, "heart"), TW_PI * 900, 2);
    assert_close(zone_area(s->grid, &zones, "hold heart"), TW_PI * (1600 - 900), 3);
    assert_close(zone_area(s->grid, &zones, "hold all"), TW_PI * (10000 - 92 * 92), 4);
    assert_close(zone_area(s->grid, &zones, "band all"), TW_PI * (92 * 92 - 75 * 75), 6);
    assert_close(zone_area(s->grid, &zones, "field"), TW_PI * (75 * 75 - 1600), 6);
    tw_zones_release(&zones);
    synthetic_free(s);
}

/* Two discs, r 30 and r 20, centres 40 apart: the thicker has the lens.
 * Lens area: r² acos((d² + r² − R²)/2dr) + R² acos((d² + R² − r²)/2dR)
 *            − ½√((−d+r+R)(d+r−R)(d−r+R)(d+r+R)). Source: Weisstein, "Circle-Circle
 * Intersection", MathWorld. */
static void overlap_goes_to_the_thickest(void **state)
{
    const double d = 40, r = 20, R = 30;
    const double lens = r * r * acos((d * d + r * r - R * R) / (2 * d * r)) +
                        R * R * acos((d * d + R * R - r * r) / (2 * d * R)) -
                        0.5 * sqrt((-d + r + R) * (d + r - R) * (d - r + R) * (d + r + R));

    (void)state;
    for (int order = 0; order < 2; order++) {
        synthetic *s = synthetic_new(104, 200, 100);
        tw_zones zones;
        synthetic_zone(s, "middle", order ? 3 : 2, 0, zone_30);
        synthetic_zone(s, "aside", order ? 2 : 3, 0, zone_aside);
        assert_int_equal(tw_zones_build(&s->taper, &zones, NULL), TW_OK);
        assert_close(zone_area(s->grid, &zones, "middle"), TW_PI * 900 - (order ? 0 : lens), 3);
        assert_close(zone_area(s->grid, &zones, "aside"), TW_PI * 400 - (order ? lens : 0), 3);
        assert_close(zone_area(s->grid, &zones, "middle") + zone_area(s->grid, &zones, "aside") +
                         zone_area(s->grid, &zones, "field"),
                     s->grid->face_area, 0.01); /* shares are kept as float */
        tw_zones_release(&zones);
        synthetic_free(s);
    }
}

/* A border that runs out through the outline splits the metal of a cut cell, not its square. A
 * chord at distance c cuts R² acos(c/R) − c√(R² − c²) off a disc. */
static void cut_cells_are_split_by_their_metal(void **state)
{
    const double R = 100, c = 0.6 * 55 + 0.8 * 10;
    const double exact = R * R * acos(c / R) - c * sqrt(R * R - c * c);
    synthetic *s = synthetic_new(104, 24, R);
    tw_zones zones;
    double got;

    (void)state;
    synthetic_zone(s, "right", 2, 0, right_of_line);
    assert_int_equal(tw_zones_build(&s->taper, &zones, NULL), TW_OK);
    /* The grid's own disc is a polygon and lacks as much on every mm of its rim. */
    got = zone_area(s->grid, &zones, "right") +
          (TW_PI * R * R - s->grid->face_area) * acos(c / R) / TW_PI;
    print_message("%.3f beside %.3f\n", got, exact);
    assert_close(got, exact, 1);
    tw_zones_release(&zones);
    synthetic_free(s);
}

static void plain_plate_is_all_field(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, -50, 50, -50, 50, 8, 0);
    tw_zones zones;

    (void)state;
    assert_int_equal(tw_zones_plain(grid, &zones, NULL), TW_OK);
    assert_int_equal(zones.count, 1);
    assert_close(zone_area(grid, &zones, "field"), 10000, 1e-9);
    tw_zones_release(&zones);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rings_have_their_areas),
        cmocka_unit_test(overlap_goes_to_the_thickest),
        cmocka_unit_test(cut_cells_are_split_by_their_metal),
        cmocka_unit_test(plain_plate_is_all_field),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
