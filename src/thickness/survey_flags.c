/*
 * survey_flags.c: what looks wrong among readings, and how much a face scatters. Flags point at a
 * reading; they never drop it, that is for the one who stood at the plate.
 *
 * About a forged taper a reading is compared with its neighbours as the taper carries them over:
 * times the taper's thickness here over that at the neighbour. About the other trends the taper is 1
 * everywhere.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Common practice, no source, but for the doubled echo: instrument manuals tell that below its least
 * thickness a probe may lock on the second echo, and have any reading under twice the least
 * suspected. */
enum { NEIGHBOURS_MIN = 4, NEIGHBOURS_JUDGE = 2, PAIRS_MIN = 5, ROUNDS_MAX = 200 };
static const double NEIGHBOURHOOD = 60;  /* [mm] */
static const double TWICE_WITHIN = 0.10; /* of twice */
static const double INNER_BELOW = 0.7;
static const double SLIP_ABOVE = 3, ECHO_ABOVE = 2.2, SLIP_BELOW = 0.3;
static const double PAIR_WITHIN = 10;                           /* [mm] */
static const double USUAL_SURFACE = 0.10, LEAST_SURFACE = 0.02; /* [mm] */
static const double NEAR_EDGE = 25;    /* [mm]: what counts as near when no reach is known */
static const double FEW_BEYOND = 0.05; /* of the face: less metal than this needs no readings */

static const char READ_AGAIN[] = "read it again, or give it leave out: yes";

static double apart(const double a[3], const double b[3])
{
    const double d[3] = {a[0] - b[0], a[1] - b[1], a[2] - b[2]};

    return sqrt(tw_dot(d, d));
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* What the trend makes of a place: the taper's thickness, 1 for other trends. */
static double carried(const tw_survey *survey, const tw_survey_data *data, size_t place)
{
    return survey->trend == TW_TREND_FORGED ? data->basis[place] : 1;
}

/* ---- scatter of the face ---------------------------------------------------------------------- */

/* Two readings of one spot differ by two scatters of the face and two of the instruments, so half
 * the mean square of differences, less the mean instrument variance, is the face's variance: the
 * nugget of a variogram (Cressie, Statistics for Spatial Data (1993), 2.4, from memory). Differences
 * that a taper makes between the two places are taken out first. */
void tw_survey_scatter(tw_survey *survey, const tw_readings_spec *spec, const tw_survey_data *data)
{
    tw_sum squares = {0, 0}, instrument = {0, 0}, values = {0, 0}, tapers = {0, 0};
    double pairs = 0, factor;

    survey->surface_estimated = false;
    survey->surface = isnan(spec->surface) ? USUAL_SURFACE : spec->surface;
    if (!isnan(spec->surface))
        return;
    for (size_t p = 0; p < data->count; p++) {
        tw_sum_add(&values, data->value[p]);
        tw_sum_add(&tapers, carried(survey, data, p));
    }
    factor = survey->trend == TW_TREND_FORGED ? tw_sum_value(&values) / tw_sum_value(&tapers) : 0;
    for (size_t p = 0; p < data->count; p++)
        for (size_t q = p + 1; q < data->count; q++) {
            double difference;
            if (apart(data->position[p], data->position[q]) > PAIR_WITHIN)
                continue;
            difference = data->value[p] - data->value[q] -
                         factor * (carried(survey, data, p) - carried(survey, data, q));
            tw_sum_add(&squares, 0.5 * difference * difference);
            tw_sum_add(&instrument,
                       0.5 * (data->noise[p] * data->noise[p] + data->noise[q] * data->noise[q]));
            pairs += 1;
        }
    if (pairs < PAIRS_MIN)
        return;
    survey->surface_estimated = true;
    survey->surface = fmax(
        sqrt(fmax((tw_sum_value(&squares) - tw_sum_value(&instrument)) / pairs, 0)), LEAST_SURFACE);
}

/* ---- neighbours ------------------------------------------------------------------------------- */

typedef struct neighbour {
    double distance, thickness;
} neighbour;

static int nearer(const void *a, const void *b)
{
    const neighbour *x = a, *y = b;

    return x->distance != y->distance
               ? (x->distance > y->distance) - (x->distance < y->distance)
               : (x->thickness > y->thickness) - (x->thickness < y->thickness);
}

/* Median of the places within 60 mm, or of the 4 nearest where there are fewer; NaN where one
 * neighbour alone would have to judge. Scratch holds data->count of each. */
static double median_near(const tw_survey *survey, const tw_survey_data *data, size_t place,
                          neighbour *others, double *thickness)
{
    size_t count = 0, used = 0;

    for (size_t q = 0; q < data->count; q++)
        if (q != place && !data->suspect[q])
            others[count++] = (neighbour){apart(data->position[place], data->position[q]),
                                          data->value[q] * carried(survey, data, place) /
                                              carried(survey, data, q)};
    qsort(others, count, sizeof *others, nearer);
    while (used < count && (used < NEIGHBOURS_MIN || others[used].distance <= NEIGHBOURHOOD)) {
        thickness[used] = others[used].thickness;
        used++;
    }
    if (used < NEIGHBOURS_JUDGE)
        return (double)NAN;
    qsort(thickness, used, sizeof *thickness, ascending);
    return 0.5 * (thickness[used / 2] + thickness[(used - 1) / 2]);
}

static bool is_doubled(double ratio)
{
    return fabs(ratio - 2) <= 2 * TWICE_WITHIN;
}

/* A decimal point in the wrong place, two digits swapped. An echo that is more than doubled comes from
 * no thickness; a caliper may well have met a plate that is hammered to a third along its edge. */
static bool is_slip(double ratio, bool echo)
{
    return ratio > (echo ? ECHO_ABOVE : SLIP_ABOVE) || ratio < SLIP_BELOW; /* false for NaN */
}

/* Anything that judge() flags by its neighbours. Echoes double and inner layers throw echoes: both are
 * for ultrasonic gauges alone. */
static bool is_far(double ratio, bool echo)
{
    return is_slip(ratio, echo) || (echo && (is_doubled(ratio) || ratio < INNER_BELOW));
}

static void judge(tw_survey *survey, const tw_readings_spec *spec, size_t k, double median)
{
    tw_placed_reading *placed = &survey->readings[k];
    const tw_reading *reading = placed->reading;
    const tw_instrument *instrument = &spec->instruments[reading->instrument];
    const bool echo = instrument->kind == TW_ULTRASONIC;
    const double ratio = placed->thickness / median; /* NaN judges nothing */

    if (is_slip(ratio, echo)) {
        placed->flags |= TW_FLAG_SLIP;
        tw_survey_note(survey, spec, reading, READ_AGAIN,
                       "reading %s, %.2f mm, is %.*f times the %.2f mm of its neighbours: a slip?",
                       reading->name, placed->thickness, ratio < 1 ? 2 : 1, ratio, median);
    }
    if (!echo)
        return;
    if (is_doubled(ratio)) {
        placed->flags |= TW_FLAG_DOUBLED;
        tw_survey_note(survey, spec, reading, READ_AGAIN,
                       "reading %s, %.2f mm, may be a doubled echo: it is about twice the %.2f mm "
                       "of its neighbours",
                       reading->name, placed->thickness, median);
    } else if (reading->thickness < 2 * instrument->least) {
        placed->flags |= TW_FLAG_DOUBLED;
        tw_survey_note(survey, spec, reading, "check it with a micrometer",
                       "reading %s, %.2f mm, may be a doubled echo: %s is true from %.2f mm, and "
                       "under twice that a thinner plate can read double",
                       reading->name, reading->thickness, instrument->name, instrument->least);
    }
    if (ratio < INNER_BELOW && !is_slip(ratio, echo)) {
        placed->flags |= TW_FLAG_INNER;
        tw_survey_note(survey, spec, reading, READ_AGAIN,
                       "reading %s, %.2f mm, is under 0.7 of the %.2f mm of its neighbours: inner "
                       "layer, slag or split?",
                       reading->name, placed->thickness, median);
    }
}

/* One wild value among few makes its neighbours look as wrong the other way. So the place farthest
 * off its neighbours, as a ratio, is set aside first and the others are judged without it, until none is
 * far off. Among many places a median hides one wild value by itself: there one round does. */
static void set_aside(const tw_survey *survey, tw_survey_data *data, const bool *echo,
                      neighbour *others, double *scratch, double *median)
{
    const size_t rounds = data->count > ROUNDS_MAX ? 1 : data->count;

    for (size_t p = 0; p < data->count; p++)
        data->suspect[p] = false;
    for (size_t round = 0; round < rounds; round++) {
        double most = 0;
        size_t worst = data->count;
        for (size_t p = 0; p < data->count; p++) {
            double ratio;
            if (data->suspect[p])
                continue;
            median[p] = median_near(survey, data, p, others, scratch);
            ratio = data->value[p] / median[p];
            if (is_far(ratio, echo[p]) && fabs(log(ratio)) > most) {
                most = fabs(log(ratio));
                worst = p;
            }
        }
        if (worst == data->count)
            return;
        if (rounds > 1)
            data->suspect[worst] = true;
    }
}

tw_status tw_survey_neighbours(tw_survey *survey, const tw_readings_spec *spec,
                               tw_survey_data *data, tw_error *err)
{
    neighbour *others = malloc((data->count + 1) * sizeof *others);
    double *scratch = malloc((data->count + 1) * sizeof *scratch);
    double *median = malloc((data->count + 1) * sizeof *median);
    bool *echo = calloc(data->count + 1, sizeof *echo); /* places that an ultrasonic gauge read */
    tw_status status = TW_OK;

    for (size_t k = 0; echo && k < survey->count; k++)
        if (survey->readings[k].used &&
            spec->instruments[survey->readings[k].reading->instrument].kind == TW_ULTRASONIC)
            echo[data->place_of[k]] = true;
    if (!others || !scratch || !median || !echo)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory to compare %zu readings", data->count);
    else
        set_aside(survey, data, echo, others, scratch, median);
    for (size_t k = 0; status == TW_OK && k < survey->count; k++)
        if (survey->readings[k].used)
            judge(survey, spec, k, median[data->place_of[k]]);
    free(others);
    free(scratch);
    free(median);
    free(echo);
    return status;
}

/* ---- near the edge ------------------------------------------------------------------------------ */

/* Share of the face farther from the edge than `limit`, by cells. */
static tw_status share_beyond(const tw_survey *survey, double limit, double *share, tw_error *err)
{
    const tw_grid *grid = survey->grid;
    const size_t cells = tw_grid_cells(grid);
    double *node = malloc(grid->nu * grid->nv * sizeof *node);
    double *cell = malloc(cells * sizeof *cell);
    tw_sum beyond = {0, 0}, all = {0, 0};
    tw_status status = node && cell
                           ? tw_survey_march(survey->form, grid, false, node, err)
                           : tw_fail(err, TW_ERR_MEMORY, "no memory for distances from the edge");

    if (status == TW_OK) {
        tw_grid_to_cells(grid, node, cell);
        for (size_t c = 0; c < cells; c++)
            if (grid->area[c] > 0) {
                tw_sum_add(&all, grid->area[c]);
                if (cell[c] > limit)
                    tw_sum_add(&beyond, grid->area[c]);
            }
        *share = tw_sum_value(&beyond) / tw_sum_value(&all);
    }
    free(node);
    free(cell);
    return status;
}

tw_status tw_survey_edges(tw_survey *survey, const tw_readings_spec *spec, tw_error *err)
{
    double farthest = 0, limit = 0, share = 0;
    tw_error note;
    tw_status status;

    survey->edges_only = false;
    if (survey->trend == TW_TREND_FORGED)
        return TW_OK;
    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        const double reach = spec->instruments[placed->reading->instrument].reach;
        const double near = isfinite(reach) ? reach : NEAR_EDGE;
        if (!placed->used)
            continue;
        if (placed->edge_distance > near)
            return TW_OK;
        farthest = fmax(farthest, placed->edge_distance);
        limit = fmax(limit, near);
    }
    /* a narrow plate, or an arm that reaches its middle: nothing is out of reach */
    status = share_beyond(survey, limit, &share, err);
    if (status != TW_OK || share < FEW_BEYOND)
        return status;
    survey->edges_only = true;
    tw_fail(&note, TW_OK,
            "all readings lie within %.0f mm of the edge; %.0f %% of the plate is farther in than "
            "%.0f mm. What is there is a guess, so no \302\261 is given for the whole",
            farthest, 100 * share, limit);
    tw_error_advise(&note, NULL,
                    "read the middle with another instrument, give a forged taper as trend, or "
                    "weigh the plate");
    if (spec->place.line != 0)
        tw_profile_place(tw_form_profile(survey->form), spec->place, &note);
    tw_notes_add(&survey->notes, &note);
    return TW_OK;
}
