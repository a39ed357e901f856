/* The part that one instrument's readings have in a sum over the map. */
#include "readings.h"

static double whole_of(const readings *r)
{
    tw_map map;
    double sum = 0;

    assert_int_equal(tw_map_readings(r->survey, 1, &map, NULL), TW_OK);
    for (size_t c = 0; c < tw_grid_cells(r->grid); c++)
        sum += r->grid->area[c] * map.cell[c];
    tw_map_release(&map);
    return sum;
}

static double part_of(const readings *r, size_t instrument)
{
    tw_map map;
    double part;

    assert_int_equal(tw_map_readings(r->survey, 1, &map, NULL), TW_OK);
    assert_int_equal(
        tw_survey_instrument_sum(r->survey, r->grid->area, &map, instrument, 1, &part, NULL),
        TW_OK);
    tw_map_release(&map);
    return part;
}

/* Readings of a wave, every third by caliper, the others by probe, whose factor is `factor`. */
static void take(readings *r, int count, double factor)
{
    readings_init(r, 100, 150);
    r->instruments[PROBE].tie_true = 2 * factor;
    r->instruments[PROBE].tie_reads = 2;
    for (int k = 0; k < count; k++) {
        const double across = -75 + 50 * (k % 4) + 4 * (k / 4),
                     up = -110 + 70 * (k / 4) + 9 * (k % 2);
        readings_add(r, across, up, 2 + 0.3 * sin(across / 40) + 0.2 * cos(up / 50))->instrument =
            k % 3 == 0 ? CALIPER : PROBE;
    }
    readings_fit(r);
}

/* One instrument read all: its factor is on the whole map. */
static void a_single_instrument_has_it_all(void **state)
{
    readings r;
    (void)state;

    take(&r, 12, 1);
    for (size_t k = 0; k < 12; k++)
        r.rows[k].instrument = PROBE;
    tw_survey_free(r.survey);
    r.survey = NULL;
    readings_fit(&r);
    assert_close(part_of(&r, PROBE) / whole_of(&r), 1, 1e-12);
    assert_true(part_of(&r, CALIPER) == 0);
    readings_release(&r);
}

/* Five readings: the trend alone, a mean of equal weights (Gauss), so the parts are sums of readings by
 * each over five times the area. */
static void parts_of_a_mean(void **state)
{
    double by[2] = {0, 0};
    readings r;
    (void)state;

    take(&r, 5, 1);
    for (size_t k = 0; k < 5; k++)
        by[r.rows[k].instrument] += r.rows[k].thickness;
    assert_close(part_of(&r, CALIPER), by[CALIPER] / 5 * r.grid->face_area, 1e-6);
    assert_close(part_of(&r, PROBE), by[PROBE] / 5 * r.grid->face_area, 1e-6);
    readings_release(&r);
}

/* The parts make up the whole, and each is how the whole changes with the instrument's factor. The
 * process is averaged over scale and amplitude, the parts are taken at the best: within 1 %. */
static void parts_are_slopes(void **state)
{
    const double step = 0.002;
    double whole[3], part = 0, both = 0;
    readings r;
    (void)state;

    for (int k = -1; k <= 1; k++) {
        take(&r, 16, 1 + k * step);
        whole[k + 1] = whole_of(&r);
        if (k == 0) {
            part = part_of(&r, PROBE);
            both = part + part_of(&r, CALIPER);
        }
        readings_release(&r);
    }
    print_message("slope %.4f of the whole, part %.4f\n",
                  (whole[2] - whole[0]) / (2 * step) / whole[1], part / whole[1]);
    assert_close(both / whole[1], 1, 0.002);
    assert_close((whole[2] - whole[0]) / (2 * step) / part, 1, 0.01);
}

/* Two readings at one place, joined: each has its part of the place's value. */
static void joined_readings_share_their_place(void **state)
{
    readings r;
    (void)state;

    readings_init(&r, 100, 150);
    readings_add(&r, 0, 0, 2.0);
    readings_add(&r, 0.2, 0, 2.1)->instrument = PROBE;
    readings_fit(&r);
    assert_int_equal(r.survey->notes.count > 0, 1);
    assert_close(part_of(&r, PROBE) / part_of(&r, CALIPER), 2.1 / 2.0, 1e-9);
    assert_close((part_of(&r, PROBE) + part_of(&r, CALIPER)) / whole_of(&r), 1, 1e-9);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_single_instrument_has_it_all),
        cmocka_unit_test(parts_of_a_mean),
        cmocka_unit_test(parts_are_slopes),
        cmocka_unit_test(joined_readings_share_their_place),
    };
    return cmocka_run_group_tests_name("part", tests, NULL, NULL);
}
