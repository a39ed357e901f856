/* The taper's formula against closed forms, and what it must keep whatever the distances. */
#include "synthetic.h"

static double zone_30(double across, double up)
{
    return hypot(across, up) - 30;
}

static double edge_100(double across, double up)
{
    return 100 - hypot(across, up);
}

/* Disc of 100 mm, zone of 30 mm in its middle: along a radius d_s + d_e = 70 mm everywhere, so
 * t = T_e + (T_s − T_e) f((100 − r)/70). Source: the taper's definition. */
static double disc_closed_form(tw_law law, double r)
{
    const double w = r <= 30 ? 1 : r >= 100 ? 0 : (100 - r) / 70;
    double f = w;

    if (law == TW_LAW_EASED)
        f = 3 * w * w - 2 * w * w * w;
    if (law == TW_LAW_HELD)
        f = fmax(w, fmin((100 - r) / 40, 1));
    return 1.2 + (2.6 - 1.2) * (r >= 100 ? 0 : f);
}

static void disc_follows_the_closed_form(void **state)
{
    static const tw_law laws[] = {TW_LAW_STRAIGHT, TW_LAW_EASED, TW_LAW_HELD};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        synthetic *s = synthetic_new(104, 64, 100);
        const tw_grid *grid = s->grid;
        tw_map map;
        synthetic_zone(s, "heart", 2.6, 0, zone_30);
        synthetic_edge(s, "all", 1.2, 0, edge_100);
        synthetic_law(s, laws[k], 40);
        assert_int_equal(tw_map_forged(&s->taper, &map, NULL), TW_OK);
        assert_int_equal(map.kind, TW_MAP_FORGED);
        for (size_t n = 0; n < grid->nu * grid->nv; n++)
            assert_close(map.node[n],
                         disc_closed_form(laws[k], hypot(tw_grid_across(grid, n % grid->nu),
                                                         tw_grid_up(grid, n / grid->nu))),
                         1e-12);
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            if (grid->area[c] > 0) /* a radius between nodes is off by step²/(8r) at most */
                assert_close(map.cell[c],
                             disc_closed_form(laws[k], hypot(grid->cell_x[c], grid->cell_y[c])),
                             0.003);
        assert_close(map.thickest, 2.6, 0);
        assert_true(map.thinnest >= 1.2 && map.thinnest < 1.3);
        tw_map_release(&map);
        synthetic_free(s);
    }
}

/* In a cell cut by the edge the thickness is read on the metal's side, to second order: the mass of
 * a straight taper over the whole disc is that of a cone's frustum on a cylinder.
 * ∫t dA = π·30²·2.6 + 2π ∫₃₀¹⁰⁰ (1.2 + 1.4 (100 − r)/70) r dr. Source: derived. */
static double disc_volume_error(size_t cells)
{
    const double exact =
        TW_PI * (900 * 2.6 + 2 * (3.2 * (10000 - 900) / 2 - 0.02 * (1000000.0 - 27000.0) / 3));
    synthetic *s = synthetic_new(104, cells, 100);
    tw_sum volume = {0, 0};
    tw_map map;

    synthetic_zone(s, "heart", 2.6, 0, zone_30);
    synthetic_edge(s, "all", 1.2, 0, edge_100);
    assert_int_equal(tw_map_forged(&s->taper, &map, NULL), TW_OK);
    for (size_t c = 0; c < tw_grid_cells(s->grid); c++)
        if (s->grid->area[c] > 0)
            tw_sum_add(&volume, map.cell[c] * s->grid->area[c]);
    tw_map_release(&map);
    synthetic_free(s);
    return fabs(tw_sum_value(&volume) / exact - 1);
}

static void disc_volume_converges_at_second_order(void **state)
{
    const double coarse = disc_volume_error(64), fine = disc_volume_error(256);

    (void)state;
    print_message("volume error 64 cells %.2e, 256 cells %.2e\n", coarse, fine);
    assert_true(fine < 1e-4);
    assert_true(coarse > 8 * fine);
}

static double everywhere(double across, double up)
{
    (void)across;
    (void)up;
    return -50;
}

static double spot_13(double across, double up)
{
    return hypot(across - 21.3, up - 0.7) - 13.7;
}

/* A thicker zone inside another is a step: what it adds is its area times the step, whichever way
 * the grid lies. Error of the area: a chord of one cell on its circle. */
static void steps_are_shared_out_within_cells(void **state)
{
    const double exact = 0.8 * TW_PI * 13.7 * 13.7;

    (void)state;
    for (size_t cells = 61; cells < 70; cells++) {
        synthetic *s = synthetic_new(104, cells, 100);
        tw_sum added = {0, 0};
        tw_map map;
        synthetic_zone(s, "whole", 2.6, 0, everywhere);
        synthetic_zone(s, "spot", 3.4, 0, spot_13);
        assert_int_equal(tw_map_forged(&s->taper, &map, NULL), TW_OK);
        for (size_t c = 0; c < tw_grid_cells(s->grid); c++)
            tw_sum_add(&added, (map.cell[c] - 2.6) * s->grid->area[c]);
        assert_close(tw_sum_value(&added), exact, 0.015 * exact);
        tw_map_release(&map);
        synthetic_free(s);
    }
}

static const double *borrowed(const double *distance)
{
    return distance;
}

/* Weights 1/d²: from 10 and 20 mm they are 4 : 1. */
static void sources_are_averaged_by_inverse_squares(void **state)
{
    const double ten = 10, twenty = 20, thirty = 30;
    const tw_source zones[] = {{3, 0, borrowed(&ten)}, {2, 0, borrowed(&twenty)}};
    const tw_source edges[] = {{1.5, 10, borrowed(&twenty)}, {1, 10, borrowed(&thirty)}};
    tw_blend blend = {.zone_count = 2, .edge_count = 2, .zones = zones, .edges = edges};
    const tw_spot spot = {.on_edge = TW_NO_EDGE};
    const double t_s = (4 * 3 + 2) / 5.0, t_e = (4 * 1.5 + 1) / 5.0;

    (void)state;
    assert_close(tw_blend_at(&blend, &spot), t_e + (t_s - t_e) * 0.5, 1e-15);
    blend.edge_count = 0;
    assert_close(tw_blend_at(&blend, &spot), t_s, 1e-15);
    blend.edge_count = 2;
    blend.zone_count = 0;
    assert_close(tw_blend_at(&blend, &spot), t_e, 1e-15);
}

/* Zones that overlap, corners, spots that nothing reaches. */
static void meeting_places_are_decided(void **state)
{
    const double inside = -3, none = INFINITY, five = 5, zero = 0;
    const tw_source zones[] = {{2, 0, borrowed(&inside)}, {3, 10, borrowed(&five)}};
    const tw_source edges[] = {{1, 0, borrowed(&zero)}, {1.4, 6, borrowed(&five)}};
    const tw_source lost[] = {{2, 0, borrowed(&none)}, {1.7, 0, borrowed(&none)}};
    const tw_spot spot = {.on_edge = TW_NO_EDGE};
    tw_blend blend = {.zone_count = 2, .edge_count = 2, .zones = zones, .edges = edges};

    (void)state;
    assert_close(tw_blend_at(&blend, &spot), 3, 0); /* thickest of zones, over any edge */
    blend.zones = lost;
    assert_close(tw_blend_at(&blend, &spot), 1.4, 0); /* no zone reached: edges alone */
    blend.edge_count = 1;
    assert_close(tw_blend_at(&blend, &spot), 1, 0);
    blend.edges = lost + 1;
    assert_close(tw_blend_at(&blend, &spot), 1.7, 0); /* nothing reached: the least of all */
    blend.zones = zones + 1;
    blend.zone_count = 1;
    assert_close(tw_blend_at(&blend, &spot), 3, 0);
}

/* Property: whatever the distances, a thickness stays between the least and the greatest target,
 * and each target alone scales it. */
static void taper_stays_between_its_targets(void **state)
{
    test_random random = test_random_begin("taper_stays_between_its_targets");

    (void)state;
    for (int trial = 0; trial < 1000; trial++) {
        double distance[8], low = INFINITY, high = 0, t, doubled;
        tw_source sources[8], twice[8];
        tw_blend blend = {.zone_count = (size_t)test_uniform(&random, 0, 4.999),
                          .edge_count = (size_t)test_uniform(&random, 0, 4.999),
                          .law = (tw_law)(int)test_uniform(&random, 0, 2.999),
                          .band = 40};
        const tw_spot spot = {.on_edge = TW_NO_EDGE};
        if (blend.zone_count + blend.edge_count == 0)
            blend.zone_count = 1;
        for (size_t k = 0; k < 8; k++) {
            const double kind = test_uniform(&random, 0, 1);
            distance[k] = kind < 0.1   ? INFINITY
                          : kind < 0.2 ? 0
                          : kind < 0.3 ? test_uniform(&random, -5, 0)
                          : kind < 0.4 ? test_uniform(&random, 0, 1e-300)
                                       : test_uniform(&random, 0, 300);
            sources[k] = (tw_source){test_uniform(&random, 0.5, 4),
                                     kind > 0.7 ? test_uniform(&random, 0, 39) : 0, &distance[k]};
            twice[k] = sources[k];
            twice[k].thickness *= 2;
            if (k < blend.zone_count || (k >= 4 && k < 4 + blend.edge_count)) {
                low = fmin(low, sources[k].thickness);
                high = fmax(high, sources[k].thickness);
            }
        }
        blend.zones = sources;
        blend.edges = sources + 4;
        t = tw_blend_at(&blend, &spot);
        if (!(t >= low && t <= high))
            print_error("trial %d: %.17g outside %.17g … %.17g\n", trial, t, low, high);
        assert_true(t >= low && t <= high);
        blend.zones = twice;
        blend.edges = twice + 4;
        doubled = tw_blend_at(&blend, &spot);
        assert_close(doubled, 2 * t, 1e-14);
    }
}

/* At a point of its own edge a spot reads that edge's thickness whatever the nodes suggest. */
static void own_edge_is_exact(void **state)
{
    const double near[4] = {0.4, 0.9, 1.1, 0.2};
    const tw_source edges[] = {{1.3, 0, near}}, zones[] = {{2, 0, near}};
    const tw_blend blend = {.zone_count = 1, .edge_count = 1, .zones = zones, .edges = edges};
    tw_spot spot = {.above = 2, .across = 0.3, .up = 0.7, .on_edge = 0};

    (void)state;
    assert_close(tw_blend_at(&blend, &spot), 1.3, 0);
    spot.on_edge = TW_NO_EDGE;
    assert_true(tw_blend_at(&blend, &spot) > 1.3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(disc_follows_the_closed_form),
        cmocka_unit_test(disc_volume_converges_at_second_order),
        cmocka_unit_test(steps_are_shared_out_within_cells),
        cmocka_unit_test(sources_are_averaged_by_inverse_squares),
        cmocka_unit_test(meeting_places_are_decided),
        cmocka_unit_test(taper_stays_between_its_targets),
        cmocka_unit_test(own_edge_is_exact),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
