/* survey.h: thicknesses and rows that tests of readings share. */
#ifndef SURVEY_H
#define SURVEY_H

#include "readings.h"

#include "thickness/thickness_internal.h"

static inline double plane(double across, double up)
{
    return 2 + 0.003 * across - 0.002 * up;
}

/* 4 × 3 readings all over a plate of ±100 × ±150 mm. */
static inline void add_lattice(readings *r, double (*thickness)(double across, double up))
{
    for (int j = -1; j <= 1; j++)
        for (int i = 0; i < 4; i++) {
            const double across = -75 + 50 * i + 3 * j, up = 110 * j + 4 * i;
            readings_add(r, across, up, thickness(across, up));
        }
}

static inline double even(double across, double up)
{
    (void)across;
    (void)up;
    return 2;
}

static inline bool noted(const tw_survey *survey, const char *part, int line)
{
    for (size_t k = 0; k < survey->notes.count && k < TW_NOTES_MAX; k++)
        if (strstr(survey->notes.items[k].message, part) && survey->notes.items[k].line == line)
            return true;
    return false;
}

/* Each reading by the ultrasonic probe. */
static inline void all_by_probe(readings *r)
{
    for (size_t k = 0; k < r->profile.readings.reading_count; k++)
        r->rows[k].instrument = PROBE;
}

static inline void refuse(readings *r, tw_status wanted, int line, const char *part)
{
    const tw_status status = readings_build_on(r, 48);

    if (status != wanted || !strstr(r->err.message, part) || r->err.line != line)
        fail_msg("status %d, line %d: %s", (int)status, r->err.line, r->err.message);
    assert_int_equal(r->err.status, wanted);
    assert_null(r->survey);
    readings_release(r);
}

static inline double wave(double across, double up)
{
    return 2 + 0.4 * sin(across / 60) * cos(up / 50);
}

#endif
