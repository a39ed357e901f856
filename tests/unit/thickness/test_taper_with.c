/* Other numbers over the same distances: the bits of a taper that was built so. */
#include "support.h"

#include "taperwright/weigh.h"

static const char text[] =
    "plate: t\nmaterial: mild steel\nruler: mm\n"
    "form: {bowl: {across: 120 mm, up: 150 mm, depth: 60 mm}}\n"
    "outline: {rectangle: {at: [0, 0], across: 80 mm, up: 90 mm}}\n"
    "thickness:\n  forged:\n    law: held\n    band: 30 mm\n    strike:\n"
    "      - {name: one, at: [-30, 20], radius: 20 mm, thickness: 2.4 mm}\n"
    "      - {name: two, at: [40, -30], radius: 15 mm, thickness: 2.0 mm}\n"
    "    edges: [{edge: lower, thickness: 1.5 mm}, {edge: upper, thickness: 1.5 mm}, {edge: left, "
    "thickness: 1.2 mm, hold: 5 mm}]\n";

typedef struct made {
    tw_profile *profile;
    tw_plate *plate;
    tw_forged_spec spec; /* a copy to change */
} made;

static made make(void)
{
    const tw_plate_options options = {.cells = 96};
    made m = {NULL, NULL, {0}};
    tw_error err = {0};

    if (tw_profile_read_memory("t.yaml", text, strlen(text), NULL, 0, &m.profile, NULL) != TW_OK ||
        tw_plate_build(m.profile, &options, &m.plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    m.spec = m.profile->forged;
    m.spec.strikes = tw_arena_array(m.profile->arena, 2, sizeof *m.spec.strikes);
    m.spec.edges = tw_arena_array(m.profile->arena, 3, sizeof *m.spec.edges);
    assert_true(m.spec.strikes && m.spec.edges);
    memcpy(m.spec.strikes, m.profile->forged.strikes, 2 * sizeof *m.spec.strikes);
    memcpy(m.spec.edges, m.profile->forged.edges, 3 * sizeof *m.spec.edges);
    return m;
}

static void release(made *m)
{
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

/* False when it has to be marched. */
static bool same_as_built(const made *m)
{
    const tw_grid *grid = m->plate->grid;
    tw_taper *built = NULL, *with = NULL;
    tw_map a = {0}, b = {0};

    assert_int_equal(tw_taper_with(m->plate->taper, &m->spec, &with, NULL), TW_OK);
    if (!with)
        return false;
    assert_int_equal(tw_taper_build(m->plate->form, grid, &m->spec, 1, &built, NULL), TW_OK);
    assert_int_equal(tw_map_forged(built, &a, NULL), TW_OK);
    assert_int_equal(tw_map_forged(with, &b, NULL), TW_OK);
    assert_memory_equal(a.node, b.node, grid->nu * grid->nv * sizeof *a.node);
    assert_memory_equal(a.cell, b.cell, tw_grid_cells(grid) * sizeof *a.cell);
    assert_true(a.thinnest == b.thinnest && a.thickest == b.thickest);
    tw_map_release(&a);
    tw_map_release(&b);
    tw_taper_free(with);
    tw_taper_free(built);
    return true;
}

static void other_numbers_give_the_same_bits(void **state)
{
    made m = make();

    (void)state;
    assert_true(same_as_built(&m));
    m.spec.strikes[0].thickness = 3.1;
    m.spec.strikes[1].hold = 12;
    assert_true(same_as_built(&m));
    m.spec.edges[0].thickness = m.spec.edges[1].thickness = 0.9;
    m.spec.edges[2].hold = 8;
    m.spec.band = 50;
    assert_true(same_as_built(&m));
    m.spec.law = TW_LAW_EASED;
    assert_true(same_as_built(&m));
    m.spec.strikes[1] = m.profile->forged.strikes[1]; /* zones that become alike join */
    m.spec.strikes[0].thickness = m.spec.strikes[1].thickness;
    assert_true(same_as_built(&m));
    release(&m);
}

static void edges_that_join_or_part_are_marched(void **state)
{
    made m = make();

    (void)state;
    m.spec.edges[0].thickness = 1.4; /* parts from the upper edge */
    assert_false(same_as_built(&m));
    m.spec.edges[0].thickness = 1.5;
    assert_true(same_as_built(&m));
    m.spec.edges[2].thickness = 1.5; /* held otherwise: still apart */
    assert_true(same_as_built(&m));
    m.spec.edges[2].hold = 0; /* joins */
    assert_false(same_as_built(&m));
    release(&m);
}

static void distances_are_handed_out(void **state)
{
    made m = make();
    const tw_grid *grid = m.plate->grid;
    const double *one = tw_taper_from_strike(m.plate->taper, grid, 0);
    const double at[2] = {-30, 20};
    size_t nearest = 0;

    (void)state;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (hypot(tw_grid_across(grid, n % grid->nu) - at[0],
                  tw_grid_up(grid, n / grid->nu) - at[1]) <
            hypot(tw_grid_across(grid, nearest % grid->nu) - at[0],
                  tw_grid_up(grid, nearest / grid->nu) - at[1]))
            nearest = n;
    assert_true(one[nearest] < -15);                          /* inside its 20 mm */
    assert_null(tw_taper_from_edge(m.plate->taper, grid, 0)); /* one source with the upper edge */
    assert_null(tw_taper_from_edge(m.plate->taper, grid, 1));
    assert_non_null(tw_taper_from_edge(m.plate->taper, grid, 2));
    assert_null(tw_taper_from_strike(m.plate->taper, NULL, 0)); /* of another grid */
    release(&m);
}

static void wrong_numbers_are_refused(void **state)
{
    made m = make();
    tw_taper *with = NULL;
    tw_error err;

    (void)state;
    m.spec.strikes[0].thickness = 0;
    assert_int_equal(tw_taper_with(m.plate->taper, &m.spec, &with, &err), TW_ERR_DOMAIN);
    m.spec.strikes[0].thickness = 2;
    m.spec.band = 4; /* within a hold of 5 mm */
    assert_int_equal(tw_taper_with(m.plate->taper, &m.spec, &with, &err), TW_ERR_DOMAIN);
    assert_null(with);
    release(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(other_numbers_give_the_same_bits),
        cmocka_unit_test(edges_that_join_or_part_are_marched),
        cmocka_unit_test(distances_are_handed_out),
        cmocka_unit_test(wrong_numbers_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
