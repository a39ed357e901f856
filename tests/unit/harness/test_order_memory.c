/* Every request for memory fails in turn while a harness is made, added up and held against rules, those to an arena
 * too: a status, nothing lost, nothing written. */
#include "failing_arena.h"
#include "fixture.h"

#include "allocation.h"

typedef tw_status (*job)(fixture *f, tw_error *err);

static tw_status build(fixture *f, tw_harness **harness, tw_error *err)
{
    const tw_plate_options options = {.cells = 8, .threads = 1};

    *harness = NULL;
    return tw_harness_build(&f->file, &options, harness, err);
}

/* Made, added up whole and in part, and where its grams come from. */
static tw_status order(fixture *f, tw_error *err)
{
    static const char *const names[] = {"tasset"}, *const unknown[] = {"tass"};
    const tw_choice some = {.set = "all", .without_count = 1, .without = names};
    const tw_choice wrong = {.with_count = 1, .with = unknown};
    tw_harness *harness;
    tw_total total = {0}, part = {0};
    tw_sources sources = {0};
    tw_status status = build(f, &harness, err);

    if (status == TW_OK)
        status = tw_harness_total(harness, NULL, &total, err);
    if (status == TW_OK)
        status = tw_harness_total(harness, &some, &part, err);
    if (status == TW_OK)
        status = tw_total_sources(&total, &sources, err);
    if (status == TW_OK) {
        const tw_status refused = tw_harness_total(harness, &wrong, &part, err);
        assert_true(refused == TW_ERR_KEY || refused == TW_ERR_MEMORY);
        status = refused == TW_ERR_KEY ? TW_OK : refused;
        err->status = status;
    }
    tw_sources_release(&sources);
    tw_total_release(&part);
    tw_total_release(&total);
    tw_harness_free(harness);
    return status;
}

static void fail_each(fixture *f, job work, long fewest)
{
    tw_status status = TW_ERR_MEMORY;
    long granted = 0;

    for (; status != TW_OK; granted++) {
        tw_error err = {0};
        test_allow(granted);
        status = work(f, &err);
        test_allow(-1);
        if (status != TW_OK && (status != TW_ERR_MEMORY || err.status != TW_ERR_MEMORY))
            fail_msg("%ld requests granted: status %d, %s", granted, (int)status, err.message);
    }
    print_message("%ld requests\n", granted - 1);
    assert_true(granted > fewest);
}

/* Plates by their areas, with all kinds of fittings, weighed alone, as a pair, together, and not at all. */
static void an_order_of_bare_figures(void **state)
{
    static const char *const members[] = {"breast", "tasset", "gorget", "back"};
    static const char *all_three[] = {"breast", "tasset", "gorget"}, *pair[] = {"tasset"};
    static const char *both[] = {"breast", "back"};
    fixture f;
    tw_part_spec *part;
    tw_profile *plate;

    (void)state;
    fixture_begin(&f);
    (void)fixture_scale(&f, "parcel", 5, 5000, 5025);
    plate = fixture_plate(&f, "area.yaml", 1, 1, 1.6, 0);
    plate->form = TW_FORM_NONE;
    plate->area = 90000;
    part = fixture_part(&f, "breast", "breastplate");
    fixture_piece(&f, part, plate);
    fixture_fitting(&f, part, "rivet 5 mm", TW_FITTING_METAL, 1.5, 0.1, 6);
    fixture_fitting(&f, part, "belt 30 mm", TW_FITTING_STRAP, 0.095, 0.002, 400);
    fixture_fitting(&f, part, "quilted lining", TW_FITTING_LINING, 9e-4, 1e-4, 120000);
    fixture_weigh(&f, part, 0, 1300);
    part = fixture_part(&f, "tasset", "tasset");
    part->mirror = true;
    fixture_piece(&f, part, plate);
    part = fixture_part(&f, "gorget", "gorget");
    plate = fixture_plate(&f, "weighed.yaml", 1, 1, 0, 0);
    plate->form = TW_FORM_NONE;
    plate->area = 40000;
    plate->scale = 600;
    fixture_piece(&f, part, plate);
    part = fixture_part(&f, "back", "backplate");
    fixture_weigh(&f, part, 0, 1200);
    (void)fixture_part(&f, "besagew", "besagew");
    fixture_together(&f, all_three, 3, 0, 4200);
    fixture_together(&f, pair, 1, 0, 2300);
    fixture_together(&f, both, 2, 0, 2510);
    f.sets[0] = (tw_set_spec){"all", 4, (const char **)(uintptr_t)members, {0, 0}};
    f.file.set_count = 1;
    fail_each(&f, order, 100);
}

/* A plate with a form, two maps, a turned edge and an overlap, so coarse that a budget takes no time. */
static void an_order_of_plates(void **state)
{
    static const char *const members[] = {"tasset", "lame"};
    tw_turned_edge turned = {.edge = "upper", .roll = 8, .wire = 4};
    tw_profile *plate;
    tw_piece_spec *piece;
    tw_part_spec *part;
    fixture f;

    (void)state;
    fixture_begin(&f);
    plate = fixture_plate(&f, "plate.yaml", 160, 240, 1.5, 1.2);
    plate->turned_count = 1;
    plate->turned = &turned;
    part = fixture_part(&f, "tasset", "tasset");
    part->mirror = true;
    piece = fixture_piece(&f, part, plate);
    piece->overlap_edge = "lower";
    piece->overlap = 20;
    piece->placed = true;
    fixture_piece(&f, fixture_part(&f, "lame", "fauld"), plate);
    f.sets[0] = (tw_set_spec){"all", 2, (const char **)(uintptr_t)members, {0, 0}};
    f.file.set_count = 1;
    fail_each(&f, order, 200);
}

static tw_status check_limits(fixture *f, tw_error *err)
{
    tw_limit_spec specs[2] = {{.name = "any", .least = 1}, {.name = "zone", .least = 1}};
    const tw_rules_file rules = {.file = "r.yaml", .count = 2, .limits = specs};
    tw_limit found[2] = {{0}, {0}};
    tw_harness *harness;
    tw_status status = build(f, &harness, err);

    specs[1].zone = "heart";
    if (status == TW_OK)
        status =
            tw_limits_check(harness->plates[0], tw_plate_map_of(harness->plates[0], TW_MAP_FORGED),
                            &rules, 1, found, err);
    if (status == TW_OK)
        assert_int_equal(found[1].verdict, TW_LIMIT_MET);
    tw_harness_free(harness);
    return status;
}

static void limits_of_a_zone(void **state)
{
    tw_strike strike = {
        .name = "heart",
        .shape = {.kind = TW_SHAPE_DISC, .at = {.kind = TW_POINT_TAPE}, .across = 30, .up = 30},
        .thickness = 2};
    fixture f;
    tw_profile *plate;

    (void)state;
    fixture_begin(&f);
    plate = fixture_plate(&f, "plate.yaml", 160, 240, 0, 1.2);
    plate->forged.strike_count = 1;
    plate->forged.strikes = &strike;
    fixture_piece(&f, fixture_part(&f, "breast", "breastplate"), plate);
    fail_each(&f, check_limits, 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_order_of_bare_figures),
        cmocka_unit_test(an_order_of_plates),
        cmocka_unit_test(limits_of_a_zone),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
