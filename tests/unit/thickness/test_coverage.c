/* How often the 95 % interval of a sum over a plate holds the truth, when all that a survey has to
 * find out is found out: mean, scale, amplitude, and the scatter of dents from pairs of readings. */
#include "readings.h"

#include <stdlib.h>

enum { PLATES = TEST_SANITIZED ? 80 : 300 };
enum { PLACES = 16, PAIRS = 6, TAKEN = PLACES + PAIRS, CELLS = 16, FIELD_MAX = 400 };
static const double SCALE = 80, AMPLITUDE = 0.2, DENTS = 0.12, MEAN = 1.8; /* [mm] */

/* Standard normal by Box and Muller's transform. */
static double normal(test_random *random)
{
    const double u = test_uniform(random, 1e-300, 1), v = test_uniform(random, 0, 2 * TW_PI);

    return sqrt(-2 * log(u)) * cos(v);
}

/* Places of readings, then the sampling points of all cells: a true thickness is drawn for each. */
typedef struct field {
    size_t count;
    double at[FIELD_MAX][2];
    double *root; /* FIELD_MAX², Cholesky factor of the covariance */
} field;

static double covariance(const double a[2], const double b[2])
{
    const double s = sqrt(3.0) * hypot(a[0] - b[0], a[1] - b[1]) / SCALE;

    return AMPLITUDE * AMPLITUDE * (1 + s) * exp(-s);
}

static void field_factor(field *f)
{
    f->root = calloc(FIELD_MAX * FIELD_MAX, sizeof *f->root);
    assert_non_null(f->root);
    for (size_t i = 0; i < f->count; i++)
        for (size_t j = 0; j <= i; j++) {
            double rest = covariance(f->at[i], f->at[j]) + (i == j ? 1e-10 : 0);
            for (size_t k = 0; k < j; k++)
                rest -= f->root[i * FIELD_MAX + k] * f->root[j * FIELD_MAX + k];
            f->root[i * FIELD_MAX + j] = i == j ? sqrt(rest) : rest / f->root[j * FIELD_MAX + j];
        }
}

static void field_draw(const field *f, test_random *random, double *value)
{
    double wave[FIELD_MAX];

    for (size_t i = 0; i < f->count; i++) {
        wave[i] = normal(random);
        value[i] = MEAN;
        for (size_t k = 0; k <= i; k++)
            value[i] += f->root[i * FIELD_MAX + k] * wave[k];
    }
}

/* Sixteen places all over the plate, six of them read once more 8 mm away, as a maker is told to. */
static void take_places(field *f, readings *r)
{
    for (int k = 0; k < TAKEN; k++) {
        const int n = k < PLACES ? k : (k - PLACES) * 5 % PLACES;
        f->at[k][0] = -75 + 50 * (n % 4) + 5 * (n / 4 % 2) + (k < PLACES ? 0 : 8);
        f->at[k][1] = -112 + 75 * (n / 4) + 6 * (n % 3);
        readings_add(r, f->at[k][0], f->at[k][1], MEAN);
    }
    f->count = TAKEN;
}

static void intervals_of_whole_surveys_hold_the_truth(void **state)
{
    test_random random = test_random_begin("coverage of surveys");
    static field f;
    static double thickness[FIELD_MAX];
    readings r;
    double held = 0, widths = 0;
    (void)state;

    readings_init(&r, 100, 150);
    r.instruments[CALIPER].uncertainty = 0.02;
    r.profile.readings.surface = NAN;
    take_places(&f, &r);
    assert_int_equal(readings_build_on(&r, CELLS), TW_OK);
    for (size_t c = 0; c < tw_grid_cells(r.grid); c++) {
        f.at[f.count][0] = r.grid->cell_x[c]; /* flat: tape is space */
        f.at[f.count++][1] = r.grid->cell_y[c];
        assert_true(f.count < FIELD_MAX);
    }
    field_factor(&f);
    for (int plate = 0; plate < PLATES; plate++) {
        double truth = 0, sum, sd;
        field_draw(&f, &random, thickness);
        for (size_t k = 0; k < TAKEN; k++)
            r.rows[k].thickness =
                thickness[k] + hypot(DENTS, hypot(0.02, 0.01 / sqrt(12.0))) * normal(&random);
        for (size_t c = 0; c < tw_grid_cells(r.grid); c++)
            truth += r.grid->area[c] * thickness[TAKEN + c];
        tw_survey_free(r.survey);
        r.survey = NULL;
        if (readings_build_on(&r, CELLS) != TW_OK)
            fail_msg("%s", r.err.message);
        assert_true(r.survey->surface_estimated);
        assert_int_equal(tw_survey_sum(r.survey, r.grid->area, 1, &sum, &sd, NULL, &r.err), TW_OK);
        held += fabs(sum - truth) < 1.959963985 * sd;
        widths += sd / truth / PLATES;
    }
    print_message("95 %% intervals hold the truth on %.1f %% of %d plates (u %.1f %% of the mass), "
                  "with mean, scale, amplitude and dents all estimated from %d readings\n",
                  100 * held / PLATES, (int)PLATES, 100 * widths, (int)TAKEN);
    /* 95 % of 300 is ± 2.5 % (2 sd); what is estimated from 22 readings costs some more */
    assert_true(held / PLATES > 0.88 && held / PLATES < 0.99);
    free(f.root);
    readings_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(intervals_of_whole_surveys_hold_the_truth),
    };
    return cmocka_run_group_tests_name("coverage", tests, NULL, NULL);
}
