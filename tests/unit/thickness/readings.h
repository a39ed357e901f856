/* readings.h: a flat plate with gauge readings, filled by hand. */
#ifndef READINGS_H
#define READINGS_H

#include "support.h"

#include "taperwright/thickness.h"

enum { READINGS_ROOM = 64, CALIPER = 0, PROBE = 1, INSTRUMENTS = 2 };

/** Rectangle of half sizes across, up about the tape's zero; a caliper that is free of the edge and a
 * probe, both with a display of 0.01 mm. */
typedef struct readings {
    tw_profile profile;
    tw_instrument instruments[INSTRUMENTS];
    tw_reading rows[READINGS_ROOM];
    char names[READINGS_ROOM][8];
    tw_form *form;
    tw_grid *grid;
    tw_taper *taper;
    tw_survey *survey;
    tw_error err;
} readings;

static inline tw_point readings_point(double across, double up)
{
    return (tw_point){.kind = TW_POINT_TAPE, .value = {across, up, 0}};
}

static inline void readings_init(readings *r, double across, double up)
{
    static const tw_instrument instrument = {
        .name = "caliper", .kind = TW_CALIPER, .resolution = 0.01, .reach = INFINITY};

    memset(r, 0, sizeof *r);
    r->instruments[CALIPER] = instrument;
    r->instruments[PROBE] = instrument;
    r->instruments[PROBE].name = "probe";
    r->instruments[PROBE].kind = TW_ULTRASONIC;
    r->profile = (tw_profile){
        .file = "plate.yaml",
        .plate = "test",
        .density = 7.85e-3,
        .form = TW_FORM_FLAT,
        .outline = {.kind = TW_OUTLINE_SHAPE,
                    .shape = {.kind = TW_SHAPE_RECTANGLE,
                              .at = readings_point(0, 0),
                              .across = across,
                              .up = up}},
        .has_readings = true,
        .readings = {.instrument_count = INSTRUMENTS,
                     .instruments = r->instruments,
                     .readings = r->rows,
                     .surface = 0.1},
    };
}

/* Row k from 0 stands in line 10 + k of the profile and is called k + 1. */
static inline tw_reading *readings_add(readings *r, double across, double up, double thickness)
{
    const size_t k = r->profile.readings.reading_count++;

    assert_true(k < READINGS_ROOM);
    snprintf(r->names[k], sizeof r->names[k], "%zu", k + 1);
    r->rows[k] = (tw_reading){.name = r->names[k],
                              .at = readings_point(across, up),
                              .thickness = thickness,
                              .repeats = 1,
                              .place = {10 + (int)k, 3}};
    return &r->rows[k];
}

static inline tw_status readings_build_on(readings *r, size_t cells)
{
    if (!r->form)
        assert_int_equal(tw_form_build(&r->profile, &r->form, NULL, &r->err), TW_OK);
    if (!r->grid)
        assert_int_equal(tw_grid_build(r->form, cells, 1, &r->grid, &r->err), TW_OK);
    if (r->profile.has_forged && !r->taper)
        assert_int_equal(
            tw_taper_build(r->form, r->grid, &r->profile.forged, 0, &r->taper, &r->err), TW_OK);
    memset(&r->err, 0, sizeof r->err);
    return tw_survey_build(r->form, r->grid, &r->profile.readings, r->taper, &r->survey, &r->err);
}

static inline const tw_survey *readings_fit(readings *r)
{
    if (readings_build_on(r, 48) != TW_OK)
        fail_msg("%s", r->err.message);
    return r->survey;
}

static inline void readings_release(readings *r)
{
    tw_survey_free(r->survey);
    tw_taper_free(r->taper);
    tw_grid_free(r->grid);
    tw_form_free(r->form);
    memset(r, 0, sizeof *r);
}

#endif
