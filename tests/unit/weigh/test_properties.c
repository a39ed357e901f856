/*
 * test_properties.c: what must hold for any plate, on whole profiles drawn at random: read from
 * text, modelled on a coarse grid, weighed. TW_TEST_SEED draws others.
 */
#include "random_profile.h"

enum { PROFILES = TEST_SANITIZED ? 80 : 1000, CELLS = 24 };

static const tw_weight *weight_of(const built *b, tw_map_kind kind)
{
    return &tw_plate_map_of(b->plate, kind)->weight;
}

/* A failing profile is printed: a seed alone would not find the one of a thousand. */
static void show(const draw *d, const way *w, size_t trial, const char *what)
{
    page p;

    put_profile(&p, d, w);
    print_error("profile %zu, %s:\n", trial, what);
    fputs(p.text, stderr) /* longer than cmocka prints */;
}

/* ---- between the targets ----------------------------------------------------------------------- */

static void targets(const draw *d, double *low, double *high)
{
    *low = INFINITY;
    *high = 0;
    for (size_t k = 0; k < d->edges; k++) {
        const double t = d->all ? (d->edge[0][0] > 0 ? d->edge[0][0] : 1) : d->edge[k][0];
        if (t > 0) {
            *low = fmin(*low, t);
            *high = fmax(*high, t);
        }
    }
    for (size_t k = 0; k < d->zones; k++) {
        *low = fmin(*low, d->zone[k][4]);
        *high = fmax(*high, d->zone[k][4]);
    }
}

static bool lies_between(const tw_plate *plate, double low, double high)
{
    const tw_map *map = &tw_plate_map_of(plate, TW_MAP_FORGED)->map;
    const tw_grid *grid = plate->grid;
    const double slack = 1e-12;
    bool good = map->thinnest >= low - slack && map->thickest <= high + slack;

    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        if (grid->area[c] > 0)
            good = good && map->cell[c] >= low - slack && map->cell[c] <= high + slack;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        good = good && map->node[n] >= low - slack && map->node[n] <= high + slack;
    return good;
}

static bool zones_sum_up(const tw_plate *plate)
{
    bool good = plate->map_count == 2;

    for (size_t k = 0; k < plate->map_count; k++) {
        const tw_plate_map *item = &plate->maps[k];
        double mass = 0, area = 0;
        for (size_t z = 0; z < plate->zones.count; z++) {
            mass += item->zones[z].mass_g;
            area += item->zones[z].area_mm2;
            good = good && item->zones[z].mass_g >= 0;
        }
        good = good && fabs(mass / item->weight.mass_g - 1) < 1e-9 &&
               fabs(area / item->weight.face_area_mm2 - 1) < 1e-9;
    }
    return good;
}

static void taper_stays_between_its_targets_and_zones_sum_up(void **state)
{
    test_random random = test_random_begin("taper_stays_between_its_targets_and_zones_sum_up");
    size_t kinds[4] = {0}, spread = 0;

    (void)state;
    for (size_t trial = 0; trial < PROFILES; trial++) {
        const draw d = draw_profile(&random);
        built b = build(&d, &PLAIN, CELLS);
        double low, high;
        targets(&d, &low, &high);
        if (!lies_between(b.plate, low, high) || !zones_sum_up(b.plate)) {
            show(&d, &PLAIN, trial, "beyond its targets, or zones do not sum up");
            fail();
        }
        kinds[d.form]++;
        spread += weight_of(&b, TW_MAP_FORGED)->mean_thickness_mm < high - 0.01;
        built_free(&b);
    }
    /* The draw reaches every form, and most plates have a taper at all. */
    assert_true(kinds[TW_FORM_FLAT] > PROFILES / 5 && kinds[TW_FORM_BOWL] > PROFILES / 5 &&
                kinds[TW_FORM_LOFT] > PROFILES / 5);
    assert_true(spread > PROFILES / 2);
}

/* ---- written another way ------------------------------------------------------------------------ */

/* Half the density has half the mass, to the last bits; so has the moment of inertia. */
static void half_the_density_has_half_the_mass(void **state)
{
    test_random random = test_random_begin("half_the_density_has_half_the_mass");
    way half = PLAIN;

    (void)state;
    half.density = 0.5;
    for (size_t trial = 0; trial < 20; trial++) {
        const draw d = draw_profile(&random);
        built whole = build(&d, &PLAIN, CELLS), light = build(&d, &half, CELLS);
        for (int kind = TW_MAP_SHEET; kind <= TW_MAP_FORGED; kind++) {
            const tw_weight *a = weight_of(&whole, (tw_map_kind)kind);
            const tw_weight *b = weight_of(&light, (tw_map_kind)kind);
            assert_close(b->mass_g / a->mass_g, 0.5, 1e-14);
            assert_close(b->inertia_g_mm2[2][2] / a->inertia_g_mm2[2][2], 0.5, 1e-13);
            assert_close(b->centroid_mm[1], a->centroid_mm[1], 1e-10);
        }
        built_free(&whole);
        built_free(&light);
    }
}

/* The mirror image weighs the same and balances in the mirror; Iₓᵧ changes its sign. */
static void a_mirrored_plate_balances_in_the_mirror(void **state)
{
    test_random random = test_random_begin("a_mirrored_plate_balances_in_the_mirror");
    way mirror = PLAIN;
    double farthest = 0;

    (void)state;
    mirror.mirrored = true;
    for (size_t trial = 0; trial < 50; trial++) {
        const draw d = draw_profile(&random);
        built one = build(&d, &PLAIN, CELLS), other = build(&d, &mirror, CELLS);
        for (int kind = TW_MAP_SHEET; kind <= TW_MAP_FORGED; kind++) {
            const tw_weight *a = weight_of(&one, (tw_map_kind)kind);
            const tw_weight *b = weight_of(&other, (tw_map_kind)kind);
            /* On so coarse a grid two ways equally long but for rounding may be told apart. */
            const double share = kind == TW_MAP_SHEET ? 1e-6 : 2e-3;
            const double mm = 100 * share; /* of a plate 200 mm wide */
            const double mass = b->mass_g / a->mass_g - 1;
            const double x = b->centroid_mm[0] + a->centroid_mm[0];
            const double y = b->centroid_mm[1] - a->centroid_mm[1];
            const double z = b->centroid_mm[2] - a->centroid_mm[2];
            const double xy = b->inertia_g_mm2[0][1] + a->inertia_g_mm2[0][1];
            if (!(fabs(mass) < share && fabs(x) < mm && fabs(y) < mm && fabs(z) < mm &&
                  fabs(xy) < share * a->inertia_g_mm2[2][2])) {
                print_error("mass %.2e, x %.2e, y %.2e, z %.2e\n", mass, x, y, z);
                show(&d, &PLAIN, trial, "and its mirror image differ");
                fail();
            }
            farthest = fmax(farthest, fabs(a->centroid_mm[0]));
        }
        built_free(&one);
        built_free(&other);
    }
    assert_true(farthest > 3); /* the draw is not symmetric itself */
}

/* Every length s times as long: s³ the mass, s⁵ the moment of inertia, s the way to the centroid. */
static void mass_grows_with_the_cube_of_size(void **state)
{
    test_random random = test_random_begin("mass_grows_with_the_cube_of_size");

    (void)state;
    for (size_t trial = 0; trial < 50; trial++) {
        const draw d = draw_profile(&random);
        const way scaled = {.scale = exp2((double)(trial % 5) - 2),
                            .density = 1}; /* the same roundings */
        const double s = scaled.scale;
        built one = build(&d, &PLAIN, CELLS), other = build(&d, &scaled, CELLS);
        for (int kind = TW_MAP_SHEET; kind <= TW_MAP_FORGED; kind++) {
            const tw_weight *a = weight_of(&one, (tw_map_kind)kind);
            const tw_weight *b = weight_of(&other, (tw_map_kind)kind);
            const double share = kind == TW_MAP_SHEET ? 1e-5 : 1e-4; /* tables end at some mm */
            const double mass = b->mass_g / (a->mass_g * s * s * s) - 1;
            const double inertia =
                b->inertia_g_mm2[0][0] / (a->inertia_g_mm2[0][0] * pow(s, 5)) - 1;
            const double z = b->centroid_mm[2] / s - a->centroid_mm[2];
            if (!(fabs(mass) < share && fabs(inertia) < share && fabs(z) < 100 * share)) {
                print_error("scale %g: mass %.2e, inertia %.2e, z %.2e\n", s, mass, inertia, z);
                show(&d, &scaled, trial, "does not grow as its size does");
                fail();
            }
        }
        built_free(&one);
        built_free(&other);
    }
}

/* ---- cut into equal pieces ---------------------------------------------------------------------- */

static void compare_pieces(const draw *d, const way *cut, size_t trial, size_t cells, double most,
                           double *worst)
{
    built whole = build(d, &PLAIN, cells), pieces = build(d, cut, cells);
    const double mass = weight_of(&whole, TW_MAP_FORGED)->mass_g;
    const double off = fabs(weight_of(&pieces, TW_MAP_FORGED)->mass_g / mass - 1);

    if (!(off < most)) {
        print_error("%.9g g and off by %.2e of it\n", mass, off);
        show(d, cut, trial, "weighs otherwise in pieces");
        fail();
    }
    *worst = fmax(*worst, off);
    built_free(&whole);
    built_free(&pieces);
}

static void pieces_of_an_edge_change_no_gram(void **state)
{
    test_random random = test_random_begin("pieces_of_an_edge_change_no_gram");
    way cut = PLAIN;
    double worst = 0;
    size_t tried = 0;

    (void)state;
    cut.cut_edge = true;
    for (size_t trial = 0; tried < 40; trial++) {
        draw d = draw_profile(&random);
        if (d.outline != OUTLINE_LIST)
            continue;
        compare_pieces(&d, &cut, trial, CELLS, 3e-4, &worst);
        tried++;
    }
    print_message("%zu cut edges change at most %.1e of the mass\n", tried, worst);
}

/* Each piece of a zone is marched by itself, so the whole and its pieces differ by the error of a
 * march; that falls with the cells. */
static void pieces_of_a_zone_change_no_gram(void **state)
{
    test_random random = test_random_begin("pieces_of_a_zone_change_no_gram");
    way cut = PLAIN;
    double worst = 0;
    size_t tried = 0;

    (void)state;
    for (size_t trial = 0; tried < 40; trial++) {
        draw d = draw_profile(&random);
        if (d.zones == 0)
            continue;
        d.zone_kinds[0] = ZONE_BOX;
        cut.seam = test_uniform(&random, 0.3, 0.7);
        compare_pieces(&d, &cut, trial, 2 * CELLS, 1e-3, &worst);
        tried++;
    }
    print_message("%zu cut zones change at most %.1e of the mass\n", tried, worst);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(taper_stays_between_its_targets_and_zones_sum_up),
        cmocka_unit_test(half_the_density_has_half_the_mass),
        cmocka_unit_test(a_mirrored_plate_balances_in_the_mirror),
        cmocka_unit_test(mass_grows_with_the_cube_of_size),
        cmocka_unit_test(pieces_of_an_edge_change_no_gram),
        cmocka_unit_test(pieces_of_a_zone_change_no_gram),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
