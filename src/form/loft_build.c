/*
 * loft_build.c: ruler stations to tables. Each side of each station is cut at equal fractions of its
 * arc; slopes along the ruler belong to the points of equal fraction; both are C2 splines of the
 * fraction. So between two stations the face is one piece by cubics both ways.
 *
 * The slope at a station is a mean of the secants below and above, d = w₀·d₀ + w₁·d₁. A limiter for
 * each point by itself (F. N. Fritsch & R. E. Carlson 1980; F. N. Fritsch & J. Butland, "A method
 * for constructing local monotone piecewise cubic interpolants", SIAM J. Sci. Stat. Comput. 5
 * (1984)) sets in at some fraction of the section, where the centre still rises and the side already
 * falls, and there it leaves a false crease down the plate. So Fritsch and Butland's harmonic
 * weights are taken once for the whole section, from the mean size D of all its secants:
 * w₀ : w₁ = (h₀ + 2h₁)·D₁ : (2h₀ + h₁)·D₀. A straight stretch stays straight beside a flaring one,
 * and slopes are linear in the points, so the face is as smooth across as the sections (derived
 * here). At the ends a parabola.
 */
#include "loft_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct builder {
    const tw_profile *profile;
    tw_arena *arena;
    tw_notes *notes;
    tw_error *err;
    tw_half (*half)[2]; /* right, left of every station */
    double *centre;     /* height of every station's centre, keel not counted */
} builder;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a loft");
}

static tw_status wrong(const builder *b, tw_place place, const char *advice)
{
    tw_error_advise(b->err, NULL, "%s", advice);
    tw_profile_place(b->profile, place, b->err);
    return TW_ERR_SHAPE;
}

static tw_status check_stations(const builder *b)
{
    const tw_loft_spec *spec = &b->profile->loft;
    char a[24], c[24];

    if (spec->station_count < 2) {
        tw_fail(b->err, TW_ERR_SHAPE, "a loft needs at least two stations");
        return wrong(b, spec->place, "measure one more section along the ruler");
    }
    for (size_t i = 0; i < spec->station_count; i++) {
        const tw_station *s = &spec->stations[i];
        if (i > 0 && !(s->ruler > spec->stations[i - 1].ruler)) {
            tw_fail(b->err, TW_ERR_SHAPE, "the station at ruler %s mm follows the one at %s mm",
                    tw_form_mm(s->ruler, a), tw_form_mm(spec->stations[i - 1].ruler, c));
            return wrong(b, s->place, "list stations by ascending ruler, each once");
        }
        if (s->height_count == 0 && !(s->width > 0 && isfinite(s->sides))) {
            tw_fail(b->err, TW_ERR_SHAPE, "the section at ruler %s mm has no shape",
                    tw_form_mm(s->ruler, a));
            return wrong(b, s->place, "give width and sides, or heights");
        }
    }
    return TW_OK;
}

/* Heights both ways from the centre: as given when signed, else mirrored. A mirrored list without its
 * centre gets one that is level: the parabola through the two innermost pairs. */
static tw_status read_heights(builder *b, size_t index)
{
    const tw_station *s = &b->profile->loft.stations[index];
    const size_t given = s->height_count;
    const double(*pair)[2] = (const double(*)[2])s->heights;
    double *x = tw_arena_array(b->arena, 2 * given + 2, sizeof(double));
    double *z = tw_arena_array(b->arena, 2 * given + 2, sizeof(double));
    double *slope = tw_arena_array(b->arena, 2 * given + 2, sizeof(double));
    const bool mirrored = pair[0][0] >= 0;
    size_t count = 0;
    char number[24];

    if (!x || !z || !slope)
        return no_memory(b->err);
    tw_form_mm(s->ruler, number);
    for (size_t i = 1; i < given; i++)
        if (!(pair[i][0] > pair[i - 1][0])) {
            tw_fail(b->err, TW_ERR_SHAPE, "heights at ruler %s mm do not go outward", number);
            return wrong(b, s->place, "list [out, up] pairs by ascending out, each once");
        }
    if (!(pair[given - 1][0] > 0) || (mirrored && given < 2) || given > 400) {
        tw_fail(b->err, TW_ERR_SHAPE, "heights at ruler %s mm do not make a section", number);
        return wrong(b, s->place, "give 2 to 400 pairs from the centre to a side, or side to side");
    }
    if (mirrored) {
        const bool centred = pair[0][0] == 0;
        for (size_t i = given; i-- > (centred ? 1u : 0u);) {
            x[count] = -pair[i][0];
            z[count++] = pair[i][1];
        }
        x[count] = 0;
        if (centred)
            z[count] = pair[0][1];
        else if (!s->centre_open && isfinite(s->centre))
            z[count] = s->centre;
        else {
            const double in = pair[0][0] * pair[0][0], out = pair[1][0] * pair[1][0];
            z[count] = pair[0][1] + (pair[0][1] - pair[1][1]) * in / (out - in);
        }
        count++;
        for (size_t i = centred ? 1 : 0; i < given; i++) {
            x[count] = pair[i][0];
            z[count++] = pair[i][1];
        }
    } else {
        for (; count < given; count++) {
            x[count] = pair[count][0];
            z[count] = pair[count][1];
        }
    }
    tw_monotone_slopes(count, x, z, slope);
    for (int side = 0; side < 2; side++) {
        const double end = side ? -x[0] : x[count - 1];
        b->half[index][side] = (tw_half){
            .half = end, .count = count, .x = x, .z = z, .slope = slope, .sign = side ? -1 : 1};
    }
    { /* the centre's height, for bridging open neighbours */
        double cubic[3];
        size_t i = 0;
        while (x[i + 1] <= 0)
            i++;
        tw_hermite(x[i + 1] - x[i], -x[i] / (x[i + 1] - x[i]), z[i], slope[i], z[i + 1],
                   slope[i + 1], cubic);
        b->centre[index] = cubic[0];
    }
    return TW_OK;
}

/* Where a station's centre is open and no heights say otherwise, the centre line goes on from the
 * closed stations: a monotone cubic between them, straight beyond. */
static tw_status bridge_centres(builder *b)
{
    const tw_loft_spec *spec = &b->profile->loft;
    const size_t count = spec->station_count;
    double *y = tw_arena_array(b->arena, count, sizeof(double));
    double *z = tw_arena_array(b->arena, count, sizeof(double));
    double *slope = tw_arena_array(b->arena, count, sizeof(double));
    size_t known = 0;

    if (!y || !z || !slope)
        return no_memory(b->err);
    for (size_t i = 0; i < count; i++)
        if (!isnan(b->centre[i])) {
            y[known] = spec->stations[i].ruler;
            z[known++] = b->centre[i];
        }
    if (known == 0) {
        tw_fail(b->err, TW_ERR_SHAPE, "no station of the loft says how high its centre is");
        return wrong(b, spec->place, "give centre at one station at least, or heights");
    }
    if (known > 1)
        tw_monotone_slopes(known, y, z, slope);
    for (size_t i = 0, k = 0; i < count; i++) {
        const double at = spec->stations[i].ruler;
        double cubic[3];
        if (!isnan(b->centre[i]))
            continue;
        while (k + 2 < known && y[k + 1] < at)
            k++;
        if (at <= y[0] || at >= y[known - 1]) {
            const size_t end = at <= y[0] ? 0 : known - 1;
            b->centre[i] = z[end] + slope[end] * (at - y[end]);
        } else {
            tw_hermite(y[k + 1] - y[k], (at - y[k]) / (y[k + 1] - y[k]), z[k], slope[k], z[k + 1],
                       slope[k + 1], cubic);
            b->centre[i] = cubic[0];
        }
    }
    return TW_OK;
}

static double section_length(double bend, const void *context)
{
    tw_half half = *(const tw_half *)context;

    half.bend = bend;
    return 2 * tw_half_length(&half);
}

static tw_status read_conic(builder *b, size_t index)
{
    const tw_loft_spec *spec = &b->profile->loft;
    const tw_station *s = &spec->stations[index];
    tw_half *half = &b->half[index][0];
    tw_status status = TW_OK;

    *half = (tw_half){.half = 0.5 * s->width,
                      .base = s->sides,
                      .rise = b->centre[index] - s->sides,
                      .sign = 1,
                      .keel_stands = spec->keel_stands,
                      .keel_half = 0.5 * spec->keel_width};
    half->bend = tw_conic_round(half->half, half->rise);
    if (s->tape > 0) {
        char what[96], a[24], c[24];
        const tw_tape_fit fit = {section_length, half, s->tape, what, "give the section by heights",
                                 s->place};
        snprintf(what, sizeof what, "a tape of %s mm over the section at ruler %s mm",
                 tw_form_mm(s->tape, a), tw_form_mm(s->ruler, c));
        status = tw_tape_bend(&fit, b->profile, &half->bend, b->notes, b->err);
    }
    b->half[index][1] = *half;
    return status;
}

static tw_status read_sections(builder *b)
{
    const tw_loft_spec *spec = &b->profile->loft;
    tw_status status = TW_OK;
    char a[24], c[24];

    for (size_t i = 0; i < spec->station_count && status == TW_OK; i++) {
        b->centre[i] = spec->stations[i].centre_open ? NAN : spec->stations[i].centre;
        if (spec->stations[i].height_count > 0)
            status = read_heights(b, i);
    }
    if (status == TW_OK)
        status = bridge_centres(b);
    for (size_t i = 0; i < spec->station_count && status == TW_OK; i++) {
        if (spec->stations[i].height_count == 0)
            status = read_conic(b, i);
        for (int side = 0; side < 2 && status == TW_OK; side++) {
            tw_half *half = &b->half[i][side];
            half->keel_stands = spec->keel_stands;
            half->keel_half = spec->keel_stands != 0 ? 0.5 * spec->keel_width : 0;
            if (half->keel_half > half->half) {
                tw_fail(b->err, TW_ERR_SHAPE,
                        "a keel %s mm wide does not fit the section at ruler %s mm",
                        tw_form_mm(spec->keel_width, a), tw_form_mm(spec->stations[i].ruler, c));
                status = wrong(b, spec->keel_place, "a keel narrower than every section");
            }
        }
    }
    return status;
}

/* ---- tables -------------------------------------------------------------------------------- */

static void spline_across(double *table, size_t count, double work[TW_PLACES])
{
    for (size_t i = 0; i < count; i++) {
        double *station = table + i * TW_STATION;
        tw_spline_bends(TW_PLACES, station, station + 1, 4, work);
        tw_spline_bends(TW_PLACES, station + 2, station + 3, 4, work);
    }
}

/* Mean size of the secants of all points of a section from station i to i + 1. */
static double secant_size(const tw_loft *loft, size_t i)
{
    tw_sum sum = {0, 0};

    for (size_t side = 0; side < loft->sides; side++)
        for (size_t n = 0; n < TW_STATION; n += 2) {
            const double *low = loft->value[side] + i * TW_STATION + n;
            tw_sum_add(&sum, (low[TW_STATION] - low[0]) * (low[TW_STATION] - low[0]));
        }
    return sqrt(tw_sum_value(&sum) / (double)(TW_PLACES * loft->sides)) /
           (loft->ruler[i + 1] - loft->ruler[i]);
}

static void slopes_along(const tw_loft *loft, size_t station, double below, double above)
{
    const size_t last = loft->count - 1;

    for (size_t side = 0; side < loft->sides; side++)
        for (size_t n = 0; n < TW_STATION; n += 2) {
            const double *here = loft->value[side] + station * TW_STATION + n;
            double *slope = loft->along[side] + station * TW_STATION + n;
            if (station > 0)
                *slope += below * (here[0] - *(here - TW_STATION)) /
                          (loft->ruler[station] - loft->ruler[station - 1]);
            if (station < last)
                *slope += above * (here[TW_STATION] - here[0]) /
                          (loft->ruler[station + 1] - loft->ruler[station]);
        }
}

static void find_slopes(tw_loft *loft)
{
    const size_t last = loft->count - 1;

    for (size_t i = 1; i < last; i++) {
        const double h0 = loft->ruler[i] - loft->ruler[i - 1];
        const double h1 = loft->ruler[i + 1] - loft->ruler[i];
        /* two level stretches have no size: any weights do */
        const double w0 = (h0 + 2 * h1) * (secant_size(loft, i) + 1e-12);
        const double w1 = (2 * h0 + h1) * (secant_size(loft, i - 1) + 1e-12);
        slopes_along(loft, i, w0 / (w0 + w1), w1 / (w0 + w1));
    }
    if (last == 1) {
        slopes_along(loft, 0, 0, 1);
        slopes_along(loft, 1, 1, 0);
        return;
    }
    slopes_along(loft, 0, 0, 2); /* twice the secant, less the next slope */
    slopes_along(loft, last, 2, 0);
    for (size_t side = 0; side < loft->sides; side++)
        for (size_t n = 0; n < TW_STATION; n += 2) {
            double *along = loft->along[side] + n;
            along[0] -= along[TW_STATION];
            along[last * TW_STATION] -= along[(last - 1) * TW_STATION];
        }
}

/* While tables are made the four numbers of a place stand side by side; rows read them apart. */
static void set_apart(double *table, size_t count)
{
    double side_by_side[TW_STATION];

    for (size_t i = 0; i < count; i++) {
        double *station = table + i * TW_STATION;
        memcpy(side_by_side, station, sizeof side_by_side);
        for (size_t k = 0; k < TW_PLACES; k++)
            for (size_t c = 0; c < 4; c++)
                station[c * TW_PLACES + k] = side_by_side[4 * k + c];
    }
}

/* C2 along the ruler, which rows as close as a scan's can carry. */
static bool spline_along(const tw_loft *loft, tw_arena *arena)
{
    double *work = tw_arena_array(arena, loft->count, sizeof(double));

    for (size_t side = 0; work && side < loft->sides; side++)
        for (size_t n = 0; n < TW_STATION; n += 2)
            tw_spline_slopes(loft->count, loft->ruler, loft->value[side] + n, loft->along[side] + n,
                             TW_STATION, work);
    return work != NULL;
}

bool tw_loft_room(tw_loft *loft, size_t count, tw_arena *arena)
{
    loft->count = count;
    loft->ruler = tw_arena_array(arena, count, sizeof(double));
    loft->tape = tw_arena_array(arena, count, sizeof(double));
    loft->open = tw_arena_array(arena, count, sizeof(bool));
    loft->up = tw_arena_array(arena, (count - 1) * TW_CENTRE_STEPS + 1, sizeof(double));
    return loft->ruler && loft->tape && loft->open && loft->up;
}

static tw_status fill_tables(tw_loft *loft, const tw_half (*half)[2], bool even, tw_arena *arena,
                             tw_error *err)
{
    double work[TW_PLACES], length;

    for (size_t side = 0; side < loft->sides; side++) {
        double *value = tw_arena_array(arena, loft->count * TW_STATION, sizeof(double));
        double *along = tw_arena_array(arena, loft->count * TW_STATION, sizeof(double));
        if (!value || !along)
            return no_memory(err);
        for (size_t i = 0; i < loft->count; i++) {
            double *station = value + i * TW_STATION;
            tw_half_cut(&half[i][side], station, station + 2, &length);
            loft->tape[i] += loft->sides == 1 ? 2 * length : length;
        }
        loft->value[side] = value;
        loft->along[side] = along;
    }
    if (!even)
        find_slopes(loft);
    else if (!spline_along(loft, arena))
        return no_memory(err);
    for (size_t side = 0; side < loft->sides; side++) {
        spline_across(loft->value[side], loft->count, work);
        spline_across(loft->along[side], loft->count, work);
        set_apart(loft->value[side], loft->count);
        set_apart(loft->along[side], loft->count);
    }
    if (loft->sides == 1) {
        loft->value[1] = loft->value[0];
        loft->along[1] = loft->along[0];
    }
    return TW_OK;
}

/* Tape up the centre line between two places of the stretch that begins at station i, t in 0…1. */
static double centre_run(const tw_loft *loft, size_t i, double from, double to)
{
    const double *z = loft->value[0] + TW_Z + i * TW_STATION;
    const double *slope = loft->along[0] + TW_Z + i * TW_STATION;
    const double width = loft->ruler[i + 1] - loft->ruler[i];
    double run = 0;

    for (int g = 0; g < 8; g++) {
        double cubic[3];
        tw_hermite(width, from + (to - from) * tw_gauss8_node[g], z[0], slope[0], z[TW_STATION],
                   slope[TW_STATION], cubic);
        run += tw_gauss8_weight[g] * sqrt(1 + cubic[1] * cubic[1]);
    }
    return run * width * (to - from);
}

static void measure_centre(tw_loft *loft)
{
    tw_sum sum = {0, 0};
    size_t k = 0;

    loft->up[0] = 0;
    for (size_t i = 0; i + 1 < loft->count; i++)
        for (size_t step = 0; step < TW_CENTRE_STEPS; step++) {
            tw_sum_add(&sum, centre_run(loft, i, (double)step / TW_CENTRE_STEPS,
                                        (double)(step + 1) / TW_CENTRE_STEPS));
            loft->up[++k] = tw_sum_value(&sum);
        }
}

double tw_loft_centre_tape(const tw_loft *loft, double ruler)
{
    size_t i = 0, step;
    double t;

    while (i + 2 < loft->count && loft->ruler[i + 1] <= ruler)
        i++;
    t = fmin(fmax((ruler - loft->ruler[i]) / (loft->ruler[i + 1] - loft->ruler[i]), 0), 1);
    step = (size_t)fmin(t * TW_CENTRE_STEPS, TW_CENTRE_STEPS - 1);
    return loft->up[i * TW_CENTRE_STEPS + step] - loft->up[0] +
           centre_run(loft, i, (double)step / TW_CENTRE_STEPS, t);
}

tw_status tw_loft_fill(tw_loft *loft, const tw_half (*half)[2], bool even, tw_arena *arena,
                       tw_error *err)
{
    const tw_status status = fill_tables(loft, half, even, arena, err);

    if (status == TW_OK)
        measure_centre(loft);
    return status;
}

static bool mirrors(const builder *b)
{
    for (size_t i = 0; i < b->profile->loft.station_count; i++) {
        const tw_half *half = &b->half[i][0];
        for (size_t k = 0; k < half->count; k++)
            if (half->x[k] != -half->x[half->count - 1 - k] ||
                half->z[k] != half->z[half->count - 1 - k])
                return false;
    }
    return true;
}

tw_status tw_loft_build(const tw_profile *profile, tw_arena *arena, tw_loft **out, tw_notes *notes,
                        tw_error *err)
{
    const tw_loft_spec *spec = &profile->loft;
    builder b = {profile, arena, notes, err, NULL, NULL};
    tw_loft *loft = tw_arena_array(arena, 1, sizeof *loft);
    const size_t count = spec->station_count;
    tw_status status = check_stations(&b);

    if (status != TW_OK)
        return status;
    b.half = tw_arena_array(arena, count, sizeof *b.half);
    b.centre = tw_arena_array(arena, count, sizeof(double));
    if (!loft || !b.half || !b.centre)
        return no_memory(err);
    status = read_sections(&b);
    if (status != TW_OK)
        return status;
    loft->sides = mirrors(&b) ? 1 : 2;
    loft->crease = spec->keel_stands != 0 && spec->keel_width > 0;
    if (!tw_loft_room(loft, count, arena))
        return no_memory(err);
    for (size_t i = 0; i < count; i++) {
        loft->ruler[i] = spec->stations[i].ruler;
        loft->open[i] = spec->stations[i].centre_open;
    }
    status = tw_loft_fill(loft, (const tw_half(*)[2])b.half, false, arena, err);
    if (status == TW_OK)
        *out = loft;
    return status;
}
