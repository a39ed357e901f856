/*
 * Frames from even sheet to full taper, and the exercise: on a flat disc everything is linear in thickness,
 * so masses, shares and what has moved follow in closed form; on a bowl the grams must stay all the same.
 */
#include "support.h"

#include "taperwright/compare.h"
#include "taperwright/profile.h"

#define DISC                                                                             \
    "plate: disc\nmaterial: {name: steel, density: 7850 kg/m3}\nruler: mm\nform: flat\n" \
    "outline: {ellipse: {at: [0, 0], across: 100 mm, up: 100 mm}}\nthickness:\n"
#define TAPER                                                                                \
    "  forged:\n    strike: [{name: heart, at: [0, 0], radius: 30 mm, thickness: 2.6 mm}]\n" \
    "    edges: [{edge: rim, thickness: 1.2 mm}]\n"
static const char flat_disc[] = DISC "  sheet: 2 mm\n" TAPER;
static const char no_sheet[] = DISC TAPER;
static const char only_sheet[] = DISC "  sheet: 2 mm\n";
static const char bowl[] = "plate: bowl\nmaterial: mild steel\nruler: mm\nform: {bowl: {across: 80 "
                           "mm, up: 80 mm, depth: 60 mm}}\n"
                           "thickness:\n" TAPER;

typedef struct model {
    tw_profile *profile;
    tw_plate *plate;
} model;

static model begin(const char *text, size_t cells)
{
    const tw_plate_options options = {.cells = cells};
    model m = {0};

    assert_int_equal(tw_profile_read_memory("t", text, strlen(text), NULL, 0, &m.profile, NULL),
                     TW_OK);
    assert_int_equal(tw_plate_build(m.profile, &options, &m.plate, NULL), TW_OK);
    return m;
}

static void end(model *m)
{
    tw_plate_free(m->plate);
    tw_profile_free(m->profile);
}

static void grams_stay(void **state)
{
    static const char *const plates[] = {flat_disc, bowl};

    (void)state;
    for (size_t p = 0; p < 2; p++) {
        model m = begin(plates[p], 48);
        const tw_plate_map *forged = tw_plate_map_of(m.plate, TW_MAP_FORGED);
        tw_series series;
        assert_int_equal(tw_series_make(m.plate, TW_KEEP_GRAMS, 5, 1, &series, NULL), TW_OK);
        for (size_t k = 0; k < 5; k++) {
            const tw_frame_map *frame = &series.frames[k];
            assert_close(frame->weight.mass_g, forged->weight.mass_g, 1e-8 * forged->weight.mass_g);
            assert_close(frame->gained_g, frame->lost_g, 1e-6 * forged->weight.mass_g);
            if (k > 0)
                assert_true(frame->gained_g > series.frames[k - 1].gained_g + 1);
            if (p == 0) /* flat: what has moved grows with the share */
                assert_close(frame->gained_g, 0.25 * (double)k * series.frames[4].gained_g,
                             1e-6 * forged->weight.mass_g);
        }
        assert_close(series.frames[0].thinnest, series.frames[0].thickest, 1e-12);
        for (size_t n = 0; n < m.plate->grid->nu * m.plate->grid->nv; n++)
            assert_close(series.frames[4].node[n], forged->map.node[n], 1e-6);
        tw_series_release(&series);
        end(&m);
    }
}

/* π·100²·t·ρ, and the outline's own area where the grid sums it. */
static void strike_and_stock_stay(void **state)
{
    model m = begin(flat_disc, 48);
    tw_series series;

    (void)state;
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_STRIKE, 3, 1, &series, NULL), TW_OK);
    for (size_t k = 0; k < 3; k++) {
        assert_close(series.frames[k].thickest, 2.6, 1e-9);
        assert_close(series.frames[k].gained_g, 0, 1e-9);
        assert_close(series.frames[k].weight.mass_g,
                     series.frames[0].weight.mass_g - series.frames[k].lost_g, 1e-6);
    }
    assert_close(series.frames[0].weight.mass_g, TW_PI * 1e4 * 2.6 * 7.85e-3, 0.1);
    assert_close(series.frames[1].thinnest, (2.6 + 1.2) / 2, 1e-9);
    tw_series_release(&series);

    assert_int_equal(tw_series_make(m.plate, TW_KEEP_STOCK, 2, 1, &series, NULL), TW_OK);
    assert_close(series.sheet_mm, 2, 0);
    assert_close(series.frames[0].weight.mass_g, TW_PI * 1e4 * 2 * 7.85e-3, 0.1);
    assert_close(series.frames[1].weight.mass_g - series.frames[0].weight.mass_g,
                 series.frames[1].gained_g - series.frames[1].lost_g, 1e-6);
    tw_series_release(&series);
    end(&m);
}

static void faults_are_told(void **state)
{
    model m = begin(no_sheet, 24);
    tw_series series;
    tw_exercise exercise;
    tw_error err;

    (void)state;
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_STOCK, 3, 1, &series, &err), TW_ERR_INPUT);
    assert_non_null(strstr(err.message, "no sheet of its own"));
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_GRAMS, 1, 1, &series, &err), TW_ERR_DOMAIN);
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_GRAMS, 25, 1, &series, &err), TW_ERR_DOMAIN);
    end(&m);
    m = begin(only_sheet, 24);
    assert_int_equal(tw_series_make(m.plate, TW_KEEP_GRAMS, 3, 1, &series, &err), TW_ERR_INPUT);
    assert_int_equal(tw_exercise_make(m.plate, 1, &exercise, &err), TW_ERR_INPUT);
    end(&m);
}

static void exercise_follows_by_hand(void **state)
{
    model m = begin(flat_disc, 96);
    tw_exercise exercise;
    double mean = 0, dx, dy;

    (void)state;
    assert_int_equal(tw_exercise_make(m.plate, 1, &exercise, NULL), TW_OK);
    assert_close(exercise.at[0][0], 0, 0);
    assert_close(exercise.at[0][1], 0, 0);
    assert_close(exercise.reading[0], 2.6, 1e-9);
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        const double r = hypot(exercise.at[k][0], exercise.at[k][1]);
        /* law straight on a disc: 1.4 mm over 70 mm, even inside the zone */
        assert_close(exercise.reading[k], 2.6 - 1.4 * fmax(r - 30, 0) / 70, 0.011);
        assert_close(100 * exercise.reading[k], floor(100 * exercise.reading[k] + 0.5), 1e-9);
        assert_true(r <= 92);
        mean += exercise.reading[k] / TW_EXERCISE_POINTS;
        for (size_t other = 0; other < k; other++)
            assert_true(hypot(exercise.at[k][0] - exercise.at[other][0],
                              exercise.at[k][1] - exercise.at[other][1]) >= 5);
    }
    dx = exercise.at[exercise.thin][0];
    dy = exercise.at[exercise.thin][1];
    assert_close(exercise.tape_mm, hypot(dx, dy), 0.1);
    assert_close(exercise.grade,
                 (exercise.reading[0] - exercise.reading[exercise.thin]) / exercise.tape_mm, 1e-12);
    assert_close(exercise.mean_mm, mean, 1e-12);
    assert_close(exercise.mean_g, TW_PI * 1e4 * mean * 7.85e-3, 0.1);
    end(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grams_stay), cmocka_unit_test(strike_and_stock_stay),
        cmocka_unit_test(faults_are_told), cmocka_unit_test(exercise_follows_by_hand)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
