/* test_properties.c: what must hold for any plate, on whole profiles drawn at random. */
#include "solids.h"

#include "../weigh/random_profile.h"

enum { PROFILES = 24, CELLS = 24 };

static void any_plate_closes_and_weighs_as_it_does(void **state)
{
    test_random random = test_random_begin("any_plate_closes_and_weighs_as_it_does");
    double worst = 0;

    (void)state;
    for (int trial = 0; trial < PROFILES; trial++) {
        const draw d = draw_profile(&random);
        built b = build(&d, &PLAIN, CELLS);
        const tw_plate_map *map = tw_plate_map_of(b.plate, TW_MAP_FORGED);
        const tw_solid_options options = {.spacing = trial % 2 ? 6 : 9, .threads = 1};
        tw_error err = {.message = ""};
        tw_solid *solid = NULL;
        tw_status status = tw_solid_build(b.plate->form, &map->map, &options, &solid, &err);
        double off = 1;
        if (status == TW_OK)
            off = tw_solid_measure(solid).volume_mm3 / map->weight.volume_mm3 - 1;
        if (status != TW_OK || !closed_by_places(solid) || !(fabs(off) < 1e-2)) {
            page p;
            put_profile(&p, &d, &PLAIN);
            print_error("profile %d, %s, %+.2e of weighed:\n", trial, err.message, off);
            fputs(p.text, stderr);
            fail();
        }
        worst = fmax(worst, fabs(off));
        tw_solid_free(solid);
        built_free(&b);
    }
    print_message("worst: %.2e of weighed\n", worst);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(any_plate_closes_and_weighs_as_it_does)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
