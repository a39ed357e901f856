/*
 * survey_place.c: where a reading lies, and which readings are at one place.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846

static const double OUTSIDE_ALLOWED = 0.5; /* [mm]: nobody reads a tape on a bent face closer */
static const double OFF_FACE_ALLOWED = 5;  /* [mm] */
static const double ONE_PLACE = 0.5;       /* [mm] */

/* Common practice: hammered and rusted faces scatter by about this much. */
static const double USUAL_SURFACE = 0.10; /* [mm] */
static const double TAPE_ZERO = 1e-9;     /* [mm]: less is the rounding of a sine */

/* ---- telling ------------------------------------------------------------------------------- */

void tw_survey_point(const tw_form *form, const tw_readings_spec *spec, const tw_reading *reading,
                     tw_error *err)
{
    if (!err)
        return;
    if (!reading->from_table) {
        if (reading->place.line != 0)
            tw_profile_place(tw_form_profile(form), reading->place, err);
        return;
    }
    tw_format(err->file, sizeof err->file, "%s", spec->file ? spec->file : "");
    err->line = reading->place.line;
    err->column = reading->place.column;
    tw_format(err->source, sizeof err->source, "%s", reading->source ? reading->source : "");
}

void tw_survey_note(tw_survey *survey, const tw_readings_spec *spec, const tw_reading *reading,
                    const char *advice, const char *message, ...)
{
    tw_error note;
    va_list arguments;

    tw_fail(&note, TW_OK, "%s", "");
    va_start(arguments, message);
    tw_format_list(note.message, sizeof note.message, message, arguments);
    va_end(arguments);
    if (advice)
        tw_error_advise(&note, NULL, "%s", advice);
    tw_survey_point(survey->form, spec, reading, &note);
    tw_notes_add(&survey->notes, &note);
}

/* ---- the place ----------------------------------------------------------------------------- */

/* A point as it was typed, seen from the side it was taken from. */
static void written_text(const tw_point *at, bool inside, char *out, size_t size)
{
    const double *value = at->value;
    const double turn = inside ? -1 : 1;

    switch (at->kind) {
    case TW_POINT_TAPE:
        tw_format(out, size, "[%.1f, %.1f]", turn * value[0], value[1]);
        break;
    case TW_POINT_EDGE:
        tw_format(out, size, "%.1f mm along %s, %.1f mm in", value[0], at->edge, value[1]);
        break;
    case TW_POINT_SPACE:
        tw_format(out, size, "x %.1f, y %.1f, z %.1f", value[0], value[1], value[2]);
        break;
    case TW_POINT_CROWN:
        tw_format(out, size, "%.1f mm from the crown toward %.1f degrees", value[0],
                  turn * value[1] * 180 / PI);
        break;
    }
}

/* The outline is described from the side that the readings were taken from, and the other side is asked
 * about only where the point would lie on the plate. */
static void advise_outside(const tw_outline *outline, const tw_readings_spec *spec,
                           const tw_placed_reading *placed, tw_error *err)
{
    const bool inside = spec->seen_inside, sided = placed->reading->at.kind != TW_POINT_SPACE;
    const bool other = sided && tw_outline_level(outline, -placed->tape[0], placed->tape[1]) <= 0;

    tw_error_advise(
        err, NULL,
        "%sthe plate goes from %.0f to %.0f mm across and from %.0f to %.0f "
        "mm up%s",
        inside ? "seen from inside, " : "", inside ? -outline->across_max : outline->across_min,
        inside ? -outline->across_min : outline->across_max, outline->up_min, outline->up_max,
        !other   ? ""
        : inside ? "; was this one seen from outside?"
                 : "; was it seen from inside?");
}

static tw_status check_inside(const tw_survey *survey, const tw_readings_spec *spec,
                              const tw_placed_reading *placed, tw_error *err)
{
    const tw_outline *outline = tw_form_outline(survey->form);
    const double level = tw_outline_level(outline, placed->tape[0], placed->tape[1]);
    tw_outline whole = *outline;
    char written[128], here[64] = "";

    if (level <= OUTSIDE_ALLOWED)
        return TW_OK;
    whole.hole_count = 0;
    written_text(&placed->reading->at, spec->seen_inside, written, sizeof written);
    if (spec->seen_inside || placed->reading->at.kind != TW_POINT_TAPE)
        tw_format(here, sizeof here, "%s, here [%.1f, %.1f],",
                  spec->seen_inside ? " seen from inside" : "", placed->tape[0], placed->tape[1]);
    if (tw_outline_level(&whole, placed->tape[0], placed->tape[1]) <= 0)
        tw_fail(err, TW_ERR_SHAPE, "reading %s at %s%s lies in a hole, %.1f mm from metal",
                placed->reading->name, written, here, level);
    else
        tw_fail(err, TW_ERR_SHAPE, "reading %s at %s%s lies %.1f mm outside the outline",
                placed->reading->name, written, here, level);
    advise_outside(outline, spec, placed, err);
    tw_survey_point(survey->form, spec, placed->reading, err);
    return TW_ERR_SHAPE;
}

static tw_status locate(tw_survey *survey, const tw_readings_spec *spec, tw_placed_reading *placed,
                        tw_error *err)
{
    const tw_reading *reading = placed->reading;
    tw_face_point face;
    tw_status status = tw_form_locate(survey->form, &reading->at, placed->tape, &placed->off, err);

    if (status != TW_OK) {
        tw_error_within(err, "in reading %s", reading->name);
        tw_survey_point(survey->form, spec, reading, err);
        return status;
    }
    for (int k = 0; k < 2; k++)
        if (fabs(placed->tape[k]) < TAPE_ZERO)
            placed->tape[k] = 0;
    status = check_inside(survey, spec, placed, err);
    if (status != TW_OK)
        return status;
    tw_form_at(survey->form, placed->tape[0], placed->tape[1], &face);
    memcpy(placed->position, face.position, sizeof placed->position);
    if (placed->off > OFF_FACE_ALLOWED) {
        placed->flags |= TW_FLAG_FACE;
        tw_survey_note(survey, spec, reading, "check the three numbers and where z = 0 lies",
                       "reading %s lies %.1f mm off the face; the nearest point of the face, "
                       "[%.1f, %.1f], was taken",
                       reading->name, placed->off, placed->tape[0], placed->tape[1]);
    }
    return TW_OK;
}

tw_status tw_survey_march(const tw_form *form, const tw_grid *grid, bool holes, double *distance,
                          tw_error *err)
{
    const tw_outline *outline = tw_form_outline(form);
    const size_t count = outline->edge_count + (holes ? outline->hole_count : 0);
    tw_edge_line *lines = malloc((count + 1) * sizeof *lines);
    tw_march *march = NULL;
    tw_status status = lines ? tw_march_new(grid, 1, &march, err)
                             : tw_fail(err, TW_ERR_MEMORY, "no memory for %zu edges", count);

    if (status == TW_OK) {
        for (size_t k = 0; k < count; k++)
            lines[k] = k < outline->edge_count ? outline->edges[k]
                                               : outline->holes[k - outline->edge_count];
        status = tw_taper_march_lines(march, form, grid, lines, count, distance, err);
    }
    tw_march_free(march);
    free(lines);
    return status;
}

static void look_at_reach(tw_survey *survey, const tw_readings_spec *spec,
                          tw_placed_reading *placed, const double *distance)
{
    const double reach = spec->instruments[placed->reading->instrument].reach;

    placed->edge_distance =
        fmax(tw_grid_sample(survey->grid, distance, placed->tape[0], placed->tape[1]), 0);
    if (placed->edge_distance > reach) {
        placed->flags |= TW_FLAG_REACH;
        if (placed->used)
            tw_survey_note(survey, spec, placed->reading, "check its place or its instrument",
                           "reading %s lies %.0f mm from the edge, but its instrument reaches "
                           "%.0f mm",
                           placed->reading->name, placed->edge_distance, reach);
    }
}

tw_status tw_survey_locate(tw_survey *survey, const tw_readings_spec *spec, tw_error *err)
{
    double *distance = malloc(survey->grid->nu * survey->grid->nv * sizeof *distance);
    tw_status status = TW_OK;

    survey->count = spec->reading_count;
    survey->readings = tw_arena_array(survey->arena, survey->count, sizeof *survey->readings);
    if (!distance || !survey->readings) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for %zu readings", survey->count);
        goto done;
    }
    tw_survey_instruments(survey, spec);
    for (size_t k = 0; status == TW_OK && k < survey->count; k++) {
        tw_placed_reading *placed = &survey->readings[k];
        const tw_reading *reading = &spec->readings[k];

        assert(reading->instrument < spec->instrument_count);
        *placed = (tw_placed_reading){.reading = reading,
                                      .used = !reading->leave_out,
                                      .left_out_error = (double)NAN,
                                      .left_out_sd = (double)NAN};
        survey->used += placed->used;
        tw_survey_number(&spec->instruments[reading->instrument], placed);
        if (!(placed->thickness > 0) || !isfinite(placed->thickness)) {
            status = tw_fail(err, TW_ERR_DOMAIN, "reading %s of %g mm is not above zero",
                             reading->name, reading->thickness);
            tw_survey_point(survey->form, spec, reading, err);
        } else {
            status = locate(survey, spec, placed, err);
        }
    }
    if (status == TW_OK)
        status = tw_survey_march(survey->form, survey->grid, false, distance, err);
    for (size_t k = 0; status == TW_OK && k < survey->count; k++)
        look_at_reach(survey, spec, &survey->readings[k], distance);
done:
    free(distance);
    return status;
}

/* ---- readings at one place ------------------------------------------------------------------- */

static double apart(const double a[3], const double b[3])
{
    const double d[3] = {a[0] - b[0], a[1] - b[1], a[2] - b[2]};

    return sqrt(tw_dot(d, d));
}

static tw_status disagree(const tw_survey *survey, const tw_readings_spec *spec,
                          const tw_placed_reading *first, const tw_placed_reading *second,
                          double allowed, tw_error *err)
{
    const tw_reading *a = first->reading, *b = second->reading;

    tw_fail(err, TW_ERR_DOMAIN,
            "readings %s (row %d) and %s (row %d) are at one place, [%.1f, %.1f], and disagree: "
            "%.3f mm and %.3f mm, where at most %.2f mm could be scatter",
            a->name, a->place.line, b->name, b->place.line, second->tape[0], second->tape[1],
            first->thickness, second->thickness, allowed);
    tw_error_advise(err, NULL, "correct a place or a value, or give one of them leave out: yes");
    tw_survey_point(survey->form, spec, b, err);
    return TW_ERR_DOMAIN;
}

static tw_status make_room(tw_survey *survey, size_t functions, tw_survey_data *data, tw_error *err)
{
    const size_t count = survey->used;

    data->tape = tw_arena_array(survey->arena, count, sizeof *data->tape);
    data->position = tw_arena_array(survey->arena, count, sizeof *data->position);
    data->value = tw_arena_array(survey->arena, count, sizeof *data->value);
    data->noise = tw_arena_array(survey->arena, count, sizeof *data->noise);
    data->basis = tw_arena_array(survey->arena, count * functions, sizeof *data->basis);
    data->place_of = tw_arena_array(survey->arena, survey->count, sizeof *data->place_of);
    data->suspect = tw_arena_array(survey->arena, count, sizeof *data->suspect);
    if (!data->tape || !data->position || !data->value || !data->noise || !data->basis ||
        !data->place_of || !data->suspect)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu readings", count);
    return TW_OK;
}

/* Give reading k to an earlier place within reach, or open a new one. The value of a place is the mean
 * weighted by 1/noise²; a plain mean where a reading has no noise at all. */
static tw_status settle(tw_survey *survey, const tw_readings_spec *spec, size_t k, size_t *first_of,
                        tw_survey_data *data, tw_error *err)
{
    const tw_placed_reading *placed = &survey->readings[k];
    const double surface = isnan(spec->surface) ? USUAL_SURFACE : spec->surface;
    size_t p = 0;

    while (p < data->count && apart(data->position[p], placed->position) > ONE_PLACE)
        p++;
    data->place_of[k] = p;
    if (p == data->count) {
        first_of[p] = k;
        memcpy(data->tape[p], placed->tape, sizeof placed->tape);
        memcpy(data->position[p], placed->position, sizeof placed->position);
        data->value[p] = placed->thickness;
        data->noise[p] = placed->noise;
        data->count++;
        return TW_OK;
    }
    for (size_t other = first_of[p]; other < k; other++) {
        const tw_placed_reading *before = &survey->readings[other];
        const double allowed = 4 * sqrt(placed->noise * placed->noise +
                                        before->noise * before->noise + surface * surface);
        if (data->place_of[other] == p && fabs(before->thickness - placed->thickness) > allowed)
            return disagree(survey, spec, before, placed, allowed, err);
    }
    tw_survey_note(survey, spec, placed->reading, NULL,
                   "readings %s and %s are at one place and were averaged",
                   survey->readings[first_of[p]].reading->name, placed->reading->name);
    return TW_OK;
}

static void average(const tw_survey *survey, size_t p, size_t first, tw_survey_data *data)
{
    double weights = 0, sum = 0, plain = 0, count = 0;
    bool exact = false;

    for (size_t k = first; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        const double weight = 1 / (placed->noise * placed->noise);
        if (data->place_of[k] != p)
            continue;
        exact = exact || !isfinite(weight);
        weights += weight;
        sum += weight * placed->thickness;
        plain += placed->thickness;
        count += 1;
    }
    data->value[p] = exact ? plain / count : sum / weights;
    data->noise[p] = exact ? 0 : 1 / sqrt(weights);
}

tw_status tw_survey_join(tw_survey *survey, const tw_readings_spec *spec, tw_survey_data *data,
                         tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    size_t *first_of = malloc((survey->used + 1) * sizeof *first_of);
    tw_status status = first_of ? make_room(survey, functions, data, err)
                                : tw_fail(err, TW_ERR_MEMORY, "no memory for the readings");

    for (size_t k = 0; status == TW_OK && k < survey->count; k++) {
        data->place_of[k] = SIZE_MAX;
        if (survey->readings[k].used)
            status = settle(survey, spec, k, first_of, data, err);
    }
    for (size_t p = 0; status == TW_OK && p < data->count; p++) {
        average(survey, p, first_of[p], data);
        tw_survey_basis(survey, data->tape[p][0], data->tape[p][1],
                        tw_survey_forged(survey, data->tape[p]), data->basis + p * functions);
    }
    free(first_of);
    return status;
}
