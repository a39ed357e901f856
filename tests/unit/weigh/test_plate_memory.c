/* Every request for memory fails in turn while a plate is modelled and written, those to an arena too: a status,
 * nothing lost. Plates of every kind of form and map, as coarse as a grid can be. */
#include "failing_arena.h"
#include "support.h"

#include "allocation.h"

#include "taperwright/files.h"
#include "taperwright/weigh.h"

#include <unistd.h>

enum { CELLS = TW_GRID_MIN };

/* The next request to fail: the first ones one by one, then farther and farther apart, as the second and third grid
 * ask for what the first asked for. */
static long after(long n, long dense)
{
    return n + 1 + (TEST_SANITIZED ? 3 * n : n) / dense;
}

static tw_profile *read_profile(const char *name, const char *text)
{
    tw_profile *profile = NULL;
    tw_notes notes = {0};

    if (tw_profile_read_memory(name, text, strlen(text), NULL, 0, &profile, &notes) != TW_OK)
        fail_msg("%d: %s", notes.items[0].line, notes.items[0].message);
    return profile;
}

/* Built, and what hangs on it weighed and written. */
static tw_status model(const tw_profile *profile, const char *edge, tw_error *err)
{
    const tw_plate_options options = {.cells = CELLS, .threads = 1};
    tw_extra_weight extra = {0};
    tw_plate *plate = NULL;
    tw_output *out = NULL;
    double mass[TW_PLATE_MAPS_MAX];
    tw_status status = tw_plate_build(profile, &options, &plate, err);

    if (status == TW_OK)
        status = tw_plate_extra(plate, &plate->maps[0], &extra, err);
    if (status == TW_OK)
        status = tw_plate_band(plate, edge, 10, mass, err);
    if (status == TW_OK)
        status = tw_output_hold(&out, err);
    for (size_t k = 0; status == TW_OK && k < plate->map_count; k++)
        status = tw_map_write_png(plate, &plate->maps[k], out, err);
    if (status == TW_OK)
        status = tw_map_write_grid(plate, &plate->maps[0], out, err);
    if (status == TW_OK)
        status = tw_face_write_png(plate, out, err);
    tw_output_abandon(out);
    tw_extra_weight_release(&extra);
    tw_plate_free(plate);
    return status;
}

static void fail_each(tw_profile *profile, const char *edge, long dense)
{
    tw_status status = TW_ERR_MEMORY;
    long granted = 0, tries = 0;

    for (; status != TW_OK; granted = after(granted, dense), tries++) {
        tw_error err = {0};
        test_allow(granted);
        status = model(profile, edge, &err);
        test_allow(-1);
        if (status != TW_OK && (status != TW_ERR_MEMORY || err.status != TW_ERR_MEMORY))
            fail_msg("%ld requests granted: status %d, %s", granted, (int)status, err.message);
    }
    print_message("at most %ld requests\n", granted);
    assert_true(tries > 10); /* under the sanitizers they are spaced wider */
    tw_profile_free(profile);
}

static void a_flat_plate_with_everything_on_it(void **state)
{
    static const char text[] =
        "plate: t\nmaterial: mild steel\nform: flat\nruler: mm\nsymmetric: yes\noutline:\n"
        "  - {edge: lower, points: [[0, 0], [90, 0]], corner: 5 mm}\n"
        "  - {edge: rim, points: [[90, 0], [80, 120], [0, 130]], smooth: yes}\n"
        "holes: [{at: [30, 60], radius: 9 mm}]\n"
        "thickness:\n  sheet: 1.6 mm\n  forged:\n    law: held\n    band: 30 mm\n"
        "    strike:\n      - {name: heart, at: [40, 70], radius: 15 mm, thickness: 2.4 mm}\n"
        "      - {name: line, line: [[0, 20], [0, 60]], width: 8 mm, thickness: 2 mm}\n"
        "    edges: [{edge: all, thickness: 1.2 mm}, {edge: lower, thickness: 1 mm, hold: 6 mm}]\n"
        "turned edges: [{edge: lower, roll: 8 mm, wire: 4 mm}]\n";

    (void)state;
    fail_each(read_profile("t.yaml", text), "lower", 1000);
}

static void a_loft_by_tape(void **state)
{
    static const char text[] =
        "plate: t\nmaterial: mild steel\nruler: mm\nform:\n  loft:\n"
        "    - {ruler: 0, width: 200, centre: 50, sides: 0}\n"
        "    - {ruler: 90, width: 220, centre: 60, sides: 0, tape: 262}\n"
        "    - {ruler: 180, sides: 4, heights: [[0, 60], [60, 40], [100, 4]]}\n"
        "  keel: {stands: 4 mm, width: 40 mm}\n"
        "thickness:\n  forged:\n"
        "    strike: [{name: heart, at: [0, 80], radius: 25 mm, thickness: 2.4 mm}]\n"
        "    edges: [{edge: upper, thickness: 1 mm}, {edge: lower, thickness: 1.2 mm}]\n";

    (void)state;
    fail_each(read_profile("t.yaml", text), "upper", 40);
}

static void a_plate_with_readings(void **state)
{
    static const char text[] =
        "plate: t\nmaterial: mild steel\nruler: mm\n"
        "form: flat\noutline: {ellipse: {at: [0, 0], across: 90 mm, up: 110 mm}}\n"
        "thickness:\n  sheet: 1.6 mm\n  readings:\n"
        "    instruments: [{name: caliper, kind: caliper, resolution: 0.05 mm}]\n"
        "    points:\n      - {at: [0, 0], thickness: 1.5 mm}\n"
        "      - {at: [40, 30], thickness: 1.4 mm}\n      - {at: [-40, 30], thickness: 1.3 mm}\n"
        "      - {at: [40, -30], thickness: 1.45 mm}\n      - {at: [-40, -30], thickness: 1.4 "
        "mm}\n";

    (void)state;
    fail_each(read_profile("t.yaml", text), "rim", 8);
}

/* A form by rows of points, and a map, from the same picture of 24 by 24 levels. */
static void a_form_and_a_map_by_pictures(void **state)
{
    static const char text[] =
        "plate: t\nmaterial: mild steel\nform: {heights: {file: p.png, mm per pixel: 4 mm, mm per "
        "level: 0.01 mm}}\nthickness: {image: {file: p.png, mm per pixel: 4 mm, mm per level: 0.01 "
        "mm, left: -48 mm, top: 96 mm}}\n";
    uint16_t levels[24 * 24];
    const tw_grey grey = {24, 24, levels, 0, NULL};
    char folder[] = "/tmp/tw_plate_XXXXXX", picture[64], beside[64];
    tw_output *output = NULL;
    tw_profile *profile;

    (void)state;
    for (size_t k = 0; k < 24 * 24; k++)
        levels[k] = (uint16_t)(150 + (k / 24) % 5);
    assert_non_null(mkdtemp(folder));
    snprintf(picture, sizeof picture, "%s/p.png", folder);
    snprintf(beside, sizeof beside, "%s/t.yaml", folder);
    assert_int_equal(tw_output_begin(picture, &output, NULL), TW_OK);
    assert_int_equal(tw_png_grey_write(output, &grey, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    profile = read_profile(beside, text);
    unlink(picture);
    rmdir(folder);
    fail_each(profile, "upper", 8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_flat_plate_with_everything_on_it),
        cmocka_unit_test(a_loft_by_tape),
        cmocka_unit_test(a_plate_with_readings),
        cmocka_unit_test(a_form_and_a_map_by_pictures),
    };

    allowed = -1; /* the arena asks malloc() for every piece, which test_allow() refuses */
    return cmocka_run_group_tests(tests, NULL, NULL);
}
