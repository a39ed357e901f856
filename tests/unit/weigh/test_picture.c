/* test_picture.c: maps and faces as pictures and grids, and back: thickness to the step of its levels, a
 * bowl's face as heights to its own mass; read by other programs too. */
#include "support.h"

#include "taperwright/budget.h"
#include "taperwright/files.h"
#include "taperwright/weigh.h"

#include <stdlib.h>
#include <unistd.h>

static char folder[64];

static int begin(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tw_picture_XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int end(void **state)
{
    char command[96];

    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static const char *named(const char *name)
{
    static char paths[2][128];
    static int turn;

    turn = !turn;
    snprintf(paths[turn], sizeof paths[turn], "%s/%s", folder, name);
    return paths[turn];
}

typedef struct made {
    tw_profile *profile;
    tw_plate *plate;
} made;

/* The text stands beside the pictures, as a profile's paths are its own. */
static made model(const char *text, size_t cells)
{
    const tw_plate_options options = {.cells = cells};
    made m = {NULL, NULL};
    tw_notes errors = {0};
    tw_error err = {0};

    if (tw_profile_read_memory(named("t.yaml"), text, strlen(text), NULL, 0, &m.profile, &errors) !=
        TW_OK)
        fail_msg("%s; %s", errors.items[0].message, errors.items[0].advice);
    if (tw_plate_build(m.profile, &options, &m.plate, &err) != TW_OK)
        fail_msg("%s; %s", err.message, err.advice);
    return m;
}

static void release(made *m)
{
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

static void write_map(const made *m, tw_map_kind kind, const char *png, const char *csv)
{
    const tw_plate_map *map = tw_plate_map_of(m->plate, kind);
    tw_output *output = NULL;

    assert_int_equal(tw_output_begin(named(png), &output, NULL), TW_OK);
    assert_int_equal(tw_map_write_png(m->plate, map, output, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
    if (!csv)
        return;
    assert_int_equal(tw_output_begin(named(csv), &output, NULL), TW_OK);
    assert_int_equal(tw_map_write_grid(m->plate, map, output, NULL), TW_OK);
    assert_int_equal(tw_output_commit(output, NULL), TW_OK);
}

#define TOP  "plate: t\nmaterial: mild steel\n"
#define BOWL "form: {bowl: {across: 150 mm, up: 120 mm, depth: 45 mm}}\n"
#define HOLE "holes: [{at: [60 mm, 10 mm], radius: 9 mm}]\n"
#define FORGED                                                                                   \
    "forged: {strike: [{at: [20 mm, 10 mm], radius: 40 mm, thickness: 2.3 mm}], edges: [{edge: " \
    "all, thickness: 0.9 mm}]}"

static void a_map_comes_back_to_its_step(void **state)
{
    made one = model(TOP BOWL HOLE "thickness: {" FORGED "}\n", 64), two;
    const tw_plate_map *forged = tw_plate_map_of(one.plate, TW_MAP_FORGED), *image;
    const tw_grid *grid = one.plate->grid;
    double worst = 0, worst_cell = 0;

    (void)state;
    write_map(&one, TW_MAP_FORGED, "map.png", NULL);
    two = model(TOP BOWL HOLE "thickness: {" FORGED ", image: {file: map.png}}\n", 64);
    image = tw_plate_map_of(two.plate, TW_MAP_IMAGE);
    assert_non_null(image);
    assert_int_equal(two.plate->map_count, 2);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] <= 0)
            worst = fmax(worst, fabs(image->map.node[n] - forged->map.node[n]));
    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        if (grid->area[k] > 0)
            worst_cell = fmax(worst_cell, fabs(image->map.cell[k] - forged->map.cell[k]));
    print_message("nodes within %.3g mm, cells within %.3g mm, %.4f g of %.2f g\n", worst,
                  worst_cell, image->weight.mass_g - forged->weight.mass_g, forged->weight.mass_g);
    /* levels of 0.0001 mm; cells lie between nodes, where the taper bends a little */
    assert_true(worst <= 0.5e-4 + 1e-9);
    assert_true(worst_cell < 0.04);
    assert_close(image->weight.mass_g, forged->weight.mass_g, 3e-4 * forged->weight.mass_g);
    /* Once more through the picture: nothing is left to be rounded. */
    write_map(&two, TW_MAP_IMAGE, "again.png", NULL);
    {
        tw_grey a = {0}, b = {0};
        assert_int_equal(tw_png_grey_read(named("map.png"), &a, NULL), TW_OK);
        assert_int_equal(tw_png_grey_read(named("again.png"), &b, NULL), TW_OK);
        assert_memory_equal(a.levels, b.levels, a.width * a.height * sizeof *a.levels);
        assert_string_equal(tw_grey_text(&a, "Title"), "t: thickness, forged map");
        assert_string_equal(tw_grey_text(&b, "Title"), "t: thickness, image map");
        tw_grey_release(&a);
        tw_grey_release(&b);
    }
    release(&one);
    release(&two);
}

/* Row 0 is the top: a map thick above and thin below is thick in its first rows. */
static void row_nought_is_the_top(void **state)
{
    made m = model(TOP "form: flat\noutline: {rectangle: {at: [0 mm, 0 mm], across: 30 mm, up: 60 "
                       "mm}}\nthickness: {forged: {edges: [{edge: upper, thickness: 3 mm}, {edge: "
                       "lower, thickness: 1 mm}]}}\n",
                   32);
    tw_grey grey = {0};

    (void)state;
    write_map(&m, TW_MAP_FORGED, "map.png", NULL);
    assert_int_equal(tw_png_grey_read(named("map.png"), &grey, NULL), TW_OK);
    assert_true(grey.height > grey.width);
    assert_int_equal(grey.levels[grey.width / 2], 30000);
    assert_int_equal(grey.levels[(grey.height - 1) * grey.width + grey.width / 2], 10000);
    tw_grey_release(&grey);
    release(&m);
}

/* By the standard's text and zlib alone, and by a checker of PNG files. */
static void other_programs_read_it(void **state)
{
    made m = model(TOP BOWL HOLE "thickness: {" FORGED "}\n", 32);
    char command[400];

    (void)state;
    write_map(&m, TW_MAP_FORGED, "map.png", "grid.csv");
    release(&m);
    if (system("command -v pngcheck >/dev/null") == 0) {
        snprintf(command, sizeof command, "pngcheck -q '%s'", named("map.png"));
        assert_int_equal(system(command), 0);
    } else {
        print_message("pngcheck is missing: not asked\n");
    }
    if (system("command -v python3 >/dev/null") != 0) {
        print_message("python3 is missing: skipped\n");
        skip();
    }
    snprintf(command, sizeof command,
             "LD_PRELOAD= python3 " TW_SOURCE_DIR "/tests/reference/read_png.py '%s' '%s'",
             named("map.png"), named("grid.csv"));
    assert_int_equal(system(command), 0);
}

/* ---- faces ------------------------------------------------------------------------------------------- */

static tw_status write_face(const made *m, const char *png, tw_error *err)
{
    tw_output *output = NULL;
    tw_status status;

    assert_int_equal(tw_output_begin(named(png), &output, NULL), TW_OK);
    status = tw_face_write_png(m->plate, output, err);
    if (status == TW_OK)
        return tw_output_commit(output, err);
    tw_output_abandon(output);
    return status;
}

/* A cap of a ball: depth d, rim radius a; face π(a² + d²); of a shell of outside radius R = (a² + d²)/2d
 * each area carries t − t²/R + t³/(3R²). Its picture is a staircase at the rim, half a pixel of 2.6 mm
 * either way; beyond its first and last rows a sliver of 2/3·2·19 mm·1.2 mm each is left off, 0.8 per mille. */
static void a_bowl_weighs_the_same_by_its_heights(void **state)
{
    const double a = 150, d = 45, R = (a * a + d * d) / (2 * d), t = 2;
    const double exact =
        7.85e-3 * TW_PI * (a * a + d * d) * (t - t * t / R + t * t * t / (3 * R * R));
    made one = model(TOP "form: {bowl: {across: 150 mm, depth: 45 mm}}\nthickness: {sheet: 2 mm}\n",
                     64),
         two;
    tw_error err = {0};
    double mass, other;
    tw_face_point at;

    (void)state;
    assert_int_equal(write_face(&one, "face.png", &err), TW_OK);
    two = model(TOP "form: {heights: {file: face.png}}\nthickness: {sheet: 2 mm}\n", 64);
    mass = one.plate->maps[0].weight.mass_g;
    other = two.plate->maps[0].weight.mass_g;
    print_message("exact %.2f g, bowl %.2f g, by its heights %.2f g\n", exact, mass, other);
    assert_close(mass, exact, 3e-4 * exact);
    assert_close(other, exact, 2.5e-3 * exact);
    for (int axis = 0; axis < 3; axis++) /* the tape begins where it did */
        assert_close(two.plate->maps[0].weight.centroid_mm[axis],
                     one.plate->maps[0].weight.centroid_mm[axis], 0.1);
    tw_form_at(two.plate->form, 0, 0, &at);
    assert_close(at.position[2], d, 0.01);
    tw_form_at(two.plate->form, 40, 30, &at);
    assert_close(at.position[0] * at.position[0] + at.position[1] * at.position[1] +
                     (at.position[2] + R - d) * (at.position[2] + R - d),
                 R * R, 2 * R * 0.02);
    release(&one);
    release(&two);
}

#define LOFT                                                                           \
    "form:\n  loft:\n    - {ruler: 0 mm, width: 200 mm, centre: 50 mm, sides: 0 mm}\n" \
    "    - {ruler: 150 mm, width: 240 mm, centre: 70 mm, sides: 0 mm}\n"

/* A loft's straight ends and its tape coordinates come back: an outline cut from it keeps its place. */
static void a_loft_keeps_its_outline_by_its_heights(void **state)
{
    static const char rest[] = "outline: {ellipse: {at: [0 mm, 75 mm], across: 90 mm, up: 60 mm}}\n"
                               "thickness: {sheet: 1.6 mm}\n";
    char text[600];
    made one, two;
    tw_error err = {0};
    double mass;

    (void)state;
    snprintf(text, sizeof text, TOP LOFT "%s", rest);
    one = model(text, 64);
    assert_int_equal(write_face(&one, "face.png", &err), TW_OK);
    snprintf(text, sizeof text, TOP "form: {heights: {file: face.png}}\n%s", rest);
    two = model(text, 64);
    mass = one.plate->maps[0].weight.mass_g;
    print_message("loft %.3f g, by its heights %.3f g\n", mass, two.plate->maps[0].weight.mass_g);
    assert_close(two.plate->maps[0].weight.mass_g, mass, 2e-4 * mass);
    assert_close(two.profile->points.rows[0].y, 0, 1e-9);
    assert_close(two.profile->points.rows[two.profile->points.row_count - 1].y, 150, 1e-9);
    release(&one);
    release(&two);
}

/* Sides that turn in under the face have two heights over one place. */
static void an_overhang_is_told(void **state)
{
    made m = model(TOP "form:\n  points:\n    table: |\n      x [mm], y [mm], z [mm]\n"
                       "      -40, 0, 0\n      -55, 0, 25\n      -30, 0, 60\n      0, 0, 70\n"
                       "      30, 0, 60\n      55, 0, 25\n      40, 0, 0\n"
                       "      -40, 80, 0\n      -55, 80, 25\n      -30, 80, 60\n      0, 80, 70\n"
                       "      30, 80, 60\n      55, 80, 25\n      40, 80, 0\n"
                       "thickness: {sheet: 1 mm}\n",
                   32);
    tw_error err = {0};

    (void)state;
    assert_int_equal(write_face(&m, "no.png", &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "overhangs at x"));
    assert_non_null(strstr(err.advice, "mesh"));
    assert_int_equal(access(named("no.png"), F_OK), -1);
    release(&m);
}

/* ---- budget -------------------------------------------------------------------------------------------- */

/* Flat plate: m = ρ·A·t, so the whole map's u adds ρ·A·u, and levels ρ·A·step/√12. */
static void a_picture_has_its_rows_in_the_budget(void **state)
{
    made one =
             model(TOP "form: flat\noutline: {rectangle: {at: [0 mm, 0 mm], across: 50 mm, up: 40 "
                       "mm}}\nthickness: {sheet: 2 mm}\n",
                   16),
         two;
    const tw_plate_map *image;
    tw_budget budget;
    double levels = 0, whole = 0;

    (void)state;
    write_map(&one, TW_MAP_SHEET, "map.png", NULL);
    two =
        model(TOP "form: flat\noutline: {rectangle: {at: [0 mm, 0 mm], across: 50 mm, up: 40 mm}}\n"
                  "thickness: {image: {file: map.png, uncertainty: 0.05 mm}}\n",
              16);
    image = tw_plate_map_of(two.plate, TW_MAP_IMAGE);
    assert_close(image->weight.mass_g, 7.85e-3 * 100 * 80 * 2, 1e-6);
    assert_int_equal(tw_plate_budget(two.plate, image, 1, &budget, NULL), TW_OK);
    for (size_t k = 0; k < budget.count; k++) {
        if (budget.rows[k].kind != TW_ROW_IMAGE)
            continue;
        assert_string_equal(tw_row_kind_word(budget.rows[k].kind), "image");
        *(strstr(budget.rows[k].name, "levels") ? &levels : &whole) = budget.rows[k].part;
    }
    assert_close(levels, 7.85e-3 * 8000 * 1e-4 / sqrt(12), 1e-9);
    assert_close(whole, 7.85e-3 * 8000 * 0.05, 1e-6);
    tw_budget_release(&budget);
    release(&one);
    release(&two);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_map_comes_back_to_its_step),
        cmocka_unit_test(row_nought_is_the_top),
        cmocka_unit_test(other_programs_read_it),
        cmocka_unit_test(a_bowl_weighs_the_same_by_its_heights),
        cmocka_unit_test(a_loft_keeps_its_outline_by_its_heights),
        cmocka_unit_test(an_overhang_is_told),
        cmocka_unit_test(a_picture_has_its_rows_in_the_budget),
    };

    return cmocka_run_group_tests(tests, begin, end);
}
