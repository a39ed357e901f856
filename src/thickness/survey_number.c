/*
 * survey_number.c: what an instrument's number means and how far it may be trusted.
 *
 * Ultrasonic: thickness is velocity × round-trip time / 2 (ASTM E797); a gauge set to another velocity
 * than the metal's reads in proportion, so its number times metal velocity / set velocity is right.
 * A tie to a micrometer at one spot measures that proportion on the plate itself and goes before
 * velocities looked up. Everything the display says of itself goes by the same factor.
 *
 * Noise of a reading: a display of step d has d/√12 (JCGM 100:2008, F.2.2.1, from memory); beside it
 * what the owner says of the instrument, and the mean of n repeats of spread s has s/√n (4.2.3):
 * √(d²/12 + u² + s²/n).
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <math.h>

/* Longitudinal waves in the metals that plates are made of, brasses the slowest and aluminium the
 * fastest, some way beyond both; from memory. */
static const double VELOCITY_LOW = 4.2, VELOCITY_HIGH = 6.6; /* [mm/µs] */

double tw_instrument_noise(const tw_instrument *instrument)
{
    return sqrt(instrument->resolution * instrument->resolution / 12 +
                instrument->uncertainty * instrument->uncertainty);
}

static bool is_tied(const tw_instrument *instrument)
{
    return instrument->tie_true > 0 && instrument->tie_reads > 0;
}

static double correction(const tw_instrument *instrument)
{
    if (is_tied(instrument))
        return instrument->tie_true / instrument->tie_reads;
    if (instrument->kind == TW_ULTRASONIC && instrument->set_velocity > 0 &&
        instrument->metal_velocity > 0)
        return instrument->metal_velocity / instrument->set_velocity;
    return 1;
}

void tw_survey_number(const tw_instrument *instrument, tw_placed_reading *out)
{
    const tw_reading *reading = out->reading;
    const double factor = correction(instrument), repeats = (double)reading->repeats;
    const double spread = reading->repeats > 1 ? reading->spread * reading->spread / repeats : 0;
    const double display = tw_instrument_noise(instrument);

    out->thickness = reading->thickness * factor;
    out->noise = factor * sqrt(display * display + spread);
}

static void note_instrument(tw_survey *survey, const tw_instrument *instrument, const char *advice,
                            const char *message, ...) TW_PRINTF(4, 5);
static void note_instrument(tw_survey *survey, const tw_instrument *instrument, const char *advice,
                            const char *message, ...)
{
    tw_error note;
    va_list arguments;

    tw_fail(&note, TW_OK, "%s", "");
    va_start(arguments, message);
    tw_format_list(note.message, sizeof note.message, message, arguments);
    va_end(arguments);
    tw_error_advise(&note, NULL, "%s", advice);
    if (instrument->place.line != 0)
        tw_profile_place(tw_form_profile(survey->form), instrument->place, &note);
    tw_notes_add(&survey->notes, &note);
}

/* One tie serves all readings of its instrument: what it is unsure of they share, which no scatter
 * from reading to reading can show. */
static void note_tie(tw_survey *survey, const tw_instrument *instrument)
{
    note_instrument(
        survey, instrument, "tie it where the plate is thickest",
        "%s reads %.2f mm where a micrometer says %.2f mm: all it read is taken times %.4f. "
        "That factor is sure to %.1f %% (standard) at best, the same for all its readings: the "
        "mass has it in its \302\261, the map not",
        instrument->name, instrument->tie_reads, instrument->tie_true, correction(instrument),
        100 * tw_instrument_noise(instrument) / instrument->tie_reads);
}

static void question_velocity(tw_survey *survey, const tw_instrument *instrument, const char *which,
                              double velocity)
{
    if (velocity > 0 && (velocity < VELOCITY_LOW || velocity > VELOCITY_HIGH))
        note_instrument(survey, instrument,
                        "steels have about 5900 m/s; a wave of the other kind, or another unit?",
                        "%s has a %s of %.0f m/s, which is unusual for plate metal",
                        instrument->name, which, 1000 * velocity);
}

static bool in_use(const tw_readings_spec *spec, size_t instrument)
{
    for (size_t k = 0; k < spec->reading_count; k++)
        if (spec->readings[k].instrument == instrument && !spec->readings[k].leave_out)
            return true;
    return false;
}

void tw_survey_instruments(tw_survey *survey, const tw_readings_spec *spec)
{
    for (size_t k = 0; k < spec->instrument_count; k++) {
        const tw_instrument *instrument = &spec->instruments[k];
        if (!in_use(spec, k))
            continue;
        if (is_tied(instrument))
            note_tie(survey, instrument);
        else if (instrument->set_velocity > 0 && !(instrument->metal_velocity > 0))
            note_instrument(survey, instrument,
                            "give metal velocity: too, or tie: it to a micrometer at one spot",
                            "%s is set to %.0f m/s, but nothing says what the metal's velocity is: "
                            "its readings are taken as they stand",
                            instrument->name, 1000 * instrument->set_velocity);
        question_velocity(survey, instrument, "set velocity", instrument->set_velocity);
        question_velocity(survey, instrument, "metal velocity", instrument->metal_velocity);
    }
}
