/* Plates with gauge readings, from profile to weight, and how mass answers to thickness. */
#include "support.h"

#include "taperwright/weigh.h"

#include <stdlib.h>

static const double DENSITY = 7.85e-3; /* mild steel [g/mm³] */
enum { READINGS = 12 };

static tw_point tape_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

typedef struct read_plate {
    tw_instrument instrument;
    tw_reading readings[READINGS];
    tw_strike strike;
    tw_edge_thickness edge;
    tw_profile profile;
} read_plate;

static double plane(double across, double up)
{
    return 2 + 0.003 * across - 0.002 * up;
}

/* Rectangle of ±100 × ±150 mm, 12 readings of a plane by caliper. */
static void read_plate_init(read_plate *p)
{
    memset(p, 0, sizeof *p);
    p->instrument = (tw_instrument){
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.01, .reach = INFINITY};
    for (int k = 0; k < READINGS; k++) {
        const double across = -75 + 50 * (k % 4) + 3 * (k / 4),
                     up = 110 * (k / 4 - 1) + 4 * (k % 4);
        p->readings[k] = (tw_reading){.name = "reading",
                                      .at = tape_point(across, up),
                                      .thickness = plane(across, up),
                                      .repeats = 1,
                                      .place = {20 + k, 3}};
    }
    p->strike = (tw_strike){
        .name = "heart",
        .shape = {.kind = TW_SHAPE_DISC, .at = tape_point(0, 0), .across = 30, .up = 30},
        .thickness = 2.6};
    p->edge = (tw_edge_thickness){.edge = "all", .thickness = 1.2};
    p->profile = (tw_profile){
        .file = "plate.yaml",
        .plate = "measured",
        .material = "mild steel",
        .density = DENSITY,
        .form = TW_FORM_FLAT,
        .outline = {.kind = TW_OUTLINE_SHAPE,
                    .shape = {.kind = TW_SHAPE_RECTANGLE,
                              .at = tape_point(0, 0),
                              .across = 100,
                              .up = 150}},
        .forged = {.strike_count = 1,
                   .edge_count = 1,
                   .strikes = &p->strike,
                   .edges = &p->edge,
                   .band = 40},
        .has_readings = true,
        .readings = {.instrument_count = 1,
                     .reading_count = READINGS,
                     .instruments = &p->instrument,
                     .readings = p->readings,
                     .trend = TW_TREND_PLANE,
                     .surface = 0.1},
    };
}

static tw_plate *build(const tw_profile *profile, size_t cells)
{
    const tw_plate_options options = {.cells = cells, .threads = 1};
    tw_plate *plate = NULL;
    tw_error err = {0};

    if (tw_plate_build(profile, &options, &plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    return plate;
}

static void maps_have_their_words(void **state)
{
    (void)state;
    assert_string_equal(tw_map_word(TW_MAP_SHEET), "sheet");
    assert_string_equal(tw_map_word(TW_MAP_FORGED), "forged");
    assert_string_equal(tw_map_word(TW_MAP_READINGS), "readings");
}

/* 200 × 300 mm at a mean of 2 mm; ∫ x·t dA = 0.003·200³/12·300 sets the balance point across. */
static void a_plane_that_was_read_weighs_what_it_does(void **state)
{
    read_plate p;
    tw_plate *plate;
    const tw_plate_map *item;

    (void)state;
    read_plate_init(&p);
    plate = build(&p.profile, 0);
    assert_int_equal(plate->map_count, 1);
    item = tw_plate_map_of(plate, TW_MAP_READINGS);
    assert_non_null(item);
    assert_close(item->weight.volume_mm3, 120000, 1e-3);
    assert_close(item->weight.mass_g, 120000 * DENSITY, 1e-5);
    assert_close(item->weight.centroid_mm[0], 0.003 * 8e6 / 12 * 300 / 120000, 2e-4 * 5);
    assert_true(item->weight.numerical_error_g < 1e-6);
    assert_int_equal(plate->zones.count, 1);
    assert_close(item->zones[0].mass_g, item->weight.mass_g, 1e-6);
    assert_non_null(plate->survey);
    assert_ptr_equal(plate->survey->grid, plate->grid);
    assert_non_null(plate->survey->sd);
    assert_int_equal(plate->survey->used, READINGS);
    for (size_t n = 0; n < plate->grid->nu * plate->grid->nv; n++)
        if (plate->grid->level[n] <= 0)
            assert_true(plate->survey->sd[n] > 0 && plate->survey->sd[n] < 0.2);
    tw_plate_free(plate);
}

static void readings_stand_beside_sheet_and_forged(void **state)
{
    read_plate p;
    tw_plate *plate;
    const tw_plate_map *forged, *read;
    double zones = 0;

    (void)state;
    read_plate_init(&p);
    p.profile.has_sheet = p.profile.has_forged = true;
    p.profile.sheet.thickness = 1.6;
    p.profile.readings.trend = TW_TREND_FORGED;
    plate = build(&p.profile, 64);
    assert_int_equal(plate->map_count, 3);
    assert_int_equal(plate->maps[0].map.kind, TW_MAP_SHEET);
    assert_int_equal(plate->maps[1].map.kind, TW_MAP_FORGED);
    assert_int_equal(plate->maps[2].map.kind, TW_MAP_READINGS);
    assert_ptr_equal(plate->survey->taper, plate->taper);
    forged = tw_plate_map_of(plate, TW_MAP_FORGED);
    read = tw_plate_map_of(plate, TW_MAP_READINGS);
    assert_true(read->weight.mass_g > forged->weight.mass_g);
    for (size_t z = 0; z < plate->zones.count; z++)
        zones += read->zones[z].mass_g;
    assert_close(zones, read->weight.mass_g, 1e-6);
    assert_true(read->weight.numerical_error_g < 5e-3 * read->weight.mass_g);
    tw_plate_free(plate);
}

/* Grids carry one fit: the same places and trend, whatever the grid that is kept. */
static void the_fit_is_the_same_on_any_grid(void **state)
{
    read_plate p;
    tw_plate *coarse, *fine;
    tw_krige_summary a, b;

    (void)state;
    read_plate_init(&p);
    for (int k = 0; k < READINGS; k++)
        p.readings[k].thickness += 0.2 * ((k * 5) % 3 - 1);
    coarse = build(&p.profile, 32);
    fine = build(&p.profile, 96);
    a = tw_krige_about(coarse->survey->krige);
    b = tw_krige_about(fine->survey->krige);
    assert_close(a.scale, b.scale, 0);
    for (int k = 0; k < 3; k++)
        assert_close(a.trend[k], b.trend[k], 0);
    for (int k = 0; k < READINGS; k++)
        assert_close(coarse->survey->readings[k].left_out_error,
                     fine->survey->readings[k].left_out_error, 0);
    assert_close(tw_plate_map_of(coarse, TW_MAP_READINGS)->weight.mass_g,
                 tw_plate_map_of(fine, TW_MAP_READINGS)->weight.mass_g, 1.0);
    tw_plate_free(coarse);
    tw_plate_free(fine);
}

static void faults_of_readings_are_told(void **state)
{
    read_plate p;
    tw_plate *plate = NULL;
    tw_error err = {0};

    (void)state;
    read_plate_init(&p);
    p.readings[4].at = tape_point(0, 163);
    assert_int_equal(tw_plate_build(&p.profile, NULL, &plate, &err), TW_ERR_SHAPE);
    assert_non_null(strstr(err.message, "13.0 mm outside the outline, in plate measured"));
    assert_int_equal(err.line, 24);
    assert_null(plate);
    read_plate_init(&p);
    p.profile.readings.trend = TW_TREND_FORGED;
    assert_int_equal(tw_plate_build(&p.profile, NULL, &plate, &err), TW_ERR_INPUT);
    assert_null(plate);
    read_plate_init(&p);
    p.profile.has_readings = false;
    assert_int_equal(tw_plate_build(&p.profile, NULL, &plate, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.advice, "readings:"));
}

static bool stop_at_readings(const char *step, double share, void *context)
{
    (void)share;
    return strcmp(step, context) != 0;
}

static void it_can_be_stopped(void **state)
{
    static const char *const steps[] = {"readings", "how sure the readings are"};
    read_plate p;
    tw_plate *plate = NULL;

    (void)state;
    read_plate_init(&p);
    for (size_t k = 0; k < 2; k++) {
        char step[64];
        const tw_plate_options options = {
            .cells = 32, .progress = stop_at_readings, .progress_context = step};
        snprintf(step, sizeof step, "%s", steps[k]);
        assert_int_equal(tw_plate_build(&p.profile, &options, &plate, NULL), TW_ERR_INTERRUPTED);
        assert_null(plate);
    }
}

/* ---- mass slopes ------------------------------------------------------------------------------- */

/* dm/dt of an even ball shell with its outside given is ρ × the inner surface, A·(1 − t/R)²; summed
 * against central differences for all three faces. Source: derived. */
static void slopes_are_what_mass_does(void **state)
{
    static const tw_face_side faces[] = {TW_FACE_OUTSIDE, TW_FACE_MIDDLE, TW_FACE_INSIDE};
    const double R = 120, t = 2, step = 1e-3;
    tw_grid *grid = test_grid_fill(test_face_ball, &R, -90, 90, -90, 90, 30, 80);
    const size_t cells = tw_grid_cells(grid);
    double *thickness = malloc(cells * sizeof *thickness), *slope = malloc(cells * sizeof *slope);

    (void)state;
    assert_true(thickness && slope);
    for (size_t f = 0; f < 3; f++) {
        tw_weight weight;
        double mass[2], sum = 0;
        for (int way = 0; way < 2; way++) {
            for (size_t c = 0; c < cells; c++)
                thickness[c] = t + (way ? step : -step) * (1 + grid->cell_x[c] / 100);
            assert_int_equal(tw_weigh(grid, thickness, NULL, faces[f], DENSITY, 1, &weight, NULL),
                             TW_OK);
            mass[way] = weight.mass_g;
        }
        for (size_t c = 0; c < cells; c++)
            thickness[c] = t;
        tw_cell_mass_slopes(grid, thickness, NULL, faces[f], DENSITY, slope);
        for (size_t c = 0; c < cells; c++) {
            sum += slope[c] * (1 + grid->cell_x[c] / 100);
            if (faces[f] == TW_FACE_OUTSIDE)
                assert_close(slope[c], DENSITY * grid->area[c] * (1 - t / R) * (1 - t / R), 1e-9);
        }
        assert_close(sum, (mass[1] - mass[0]) / (2 * step), 1e-6 * sum);
    }
    free(thickness);
    free(slope);
    tw_grid_free(grid);
}

/* A crease of turn β along a strip: V = A·t − L·t²·tan(β/2), so dV/dt = A − 2·L·t·tan(β/2). */
static void slopes_know_the_mitre(void **state)
{
    const double beta = 0.4, t = 2;
    double thickness[2] = {t, t}, node[6] = {t, t, t, t, t, t}, slope[2];
    tw_grid *grid = NULL;

    (void)state;
    assert_int_equal(tw_grid_blank(3, 2, 0, 1, &grid, NULL), TW_OK);
    grid->area[0] = grid->area[1] = 200;
    grid->creases[grid->crease_count++] =
        (tw_crease){.left_cell = 0, .right_cell = 1, .length = 10, .turn = beta, .node = 1};
    tw_cell_mass_slopes(grid, thickness, node, TW_FACE_OUTSIDE, DENSITY, slope);
    assert_close(slope[0] + slope[1], DENSITY * (400 - 2 * 10 * t * tan(beta / 2)), 1e-12);
    assert_close(slope[0], slope[1], 0);
    tw_cell_mass_slopes(grid, thickness, node, TW_FACE_MIDDLE, DENSITY, slope);
    assert_close(slope[0] + slope[1], DENSITY * 400, 1e-12);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(maps_have_their_words),
        cmocka_unit_test(a_plane_that_was_read_weighs_what_it_does),
        cmocka_unit_test(readings_stand_beside_sheet_and_forged),
        cmocka_unit_test(the_fit_is_the_same_on_any_grid),
        cmocka_unit_test(faults_of_readings_are_told),
        cmocka_unit_test(it_can_be_stopped),
        cmocka_unit_test(slopes_are_what_mass_does),
        cmocka_unit_test(slopes_know_the_mitre),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
