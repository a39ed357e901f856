/*
 * flute.c: what flutes add. Along flutes of a length, the tape laid into every groove finds more face
 * than the tape laid straight over them: area = length · (over − straight), and metal of the map's mean
 * thickness on it. The plate is thin beside the grooves, so area times thickness is taken without a
 * correction for curvature: what the outside of a ridge gains, the groove beside it loses. Derived here.
 *
 * Uncertainty: each of the three tapes within ± the profile's `measured to` (1 mm when not given),
 * rectangular; JCGM 100:2008, 4.3.7 and 5.1.2.
 */
#include "taperwright/weigh.h"

#include "extra_internal.h"

#include <math.h>

#define TAPE_BOUND 1.0  /* [mm] */
#define SPARE      1.05 /* of the plate's size, before a note asks: tapes run over the form */
#define OVER_MOST \
    3.0 /* × straight: deeper grooves than anybody sinks; common practice, no source */
enum { WORDS = 32 };

static tw_status check(const tw_profile *profile, const tw_flutes_spec *spec, tw_error *err)
{
    tw_status status;

    if (isfinite(spec->length) && isfinite(spec->over) && spec->length > 0 && spec->straight > 0 &&
        spec->over >= spec->straight)
        return TW_OK;
    status =
        tw_fail(err, TW_ERR_DOMAIN, "flutes %g mm long cannot tape %g mm over and %g mm straight",
                spec->length, spec->over, spec->straight);
    tw_error_advise(err, NULL,
                    "over is the tape laid into every groove, straight the tape laid over them");
    tw_profile_place(profile, spec->place, err);
    return status;
}

static void add_note(const tw_plate *plate, const tw_flutes_spec *spec, tw_notes *notes,
                     tw_error *item)
{
    tw_error_advise(item, NULL, "are all three tapes in the unit that was meant?");
    tw_profile_place(plate->profile, spec->place, item);
    tw_notes_add(notes, item);
}

/* A slip of a digit or a unit, as the plate shows it: one note a row, the plainest one. */
static void note(const tw_plate *plate, const tw_plate_map *map, const tw_flutes_spec *spec,
                 tw_notes *notes)
{
    const tw_outline *outline = tw_form_outline(plate->form);
    const double longest =
        hypot(outline->across_max - outline->across_min, outline->up_max - outline->up_min);
    const double face = map->weight.face_area_mm2;
    char length[WORDS], straight[WORDS], over[WORDS], most[WORDS];
    tw_error item;

    tw_write_length(spec->length, TW_METRIC, -1, length, sizeof length);
    tw_write_length(spec->straight, TW_METRIC, -1, straight, sizeof straight);
    tw_write_length(spec->over, TW_METRIC, -1, over, sizeof over);
    tw_write_length(longest, TW_METRIC, -1, most, sizeof most);
    if (spec->length > SPARE * longest)
        tw_fail(&item, TW_OK, "flutes %s long on a plate of %s from corner to corner", length,
                most);
    else if (spec->straight > SPARE * longest)
        tw_fail(&item, TW_OK,
                "flutes %s wide, taped straight, on a plate of %s from corner to corner", straight,
                most);
    else if (spec->length * spec->straight > SPARE * face)
        tw_fail(&item, TW_OK, "flutes of %s by %s, %.1f dm², on a plate whose face is %.1f dm²",
                length, straight, spec->length * spec->straight / 1e4, face / 1e4);
    else if (spec->over > OVER_MOST * spec->straight)
        tw_fail(&item, TW_OK, "flutes that tape %s over and %s straight: %.1f times as much face",
                over, straight, spec->over / spec->straight);
    else
        return;
    add_note(plate, spec, notes, &item);
}

tw_status tw_flutes_weigh(const tw_plate *plate, const tw_plate_map *map, tw_extra_weight *out,
                          tw_error *err)
{
    const tw_profile *profile = plate->profile;
    const double surface_density = profile->density * map->weight.mean_thickness_mm;
    const double bound = profile->measured_to > 0 ? profile->measured_to : TAPE_BOUND;

    if (profile->flutes_count == 0)
        return TW_OK;
    out->flutes = tw_arena_array(out->arena, profile->flutes_count, sizeof *out->flutes);
    if (!out->flutes)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu rows of flutes",
                       profile->flutes_count);
    for (size_t k = 0; k < profile->flutes_count; k++) {
        const tw_flutes_spec *spec = &profile->flutes[k];
        const double more = spec->over - spec->straight;
        const tw_status status = check(profile, spec, err);

        if (status != TW_OK)
            return status;
        out->flutes[k] =
            (tw_flute_weight){.area_mm2 = spec->length * more,
                              .mass_g = surface_density * spec->length * more,
                              .u_g = surface_density * bound / sqrt(3.0) *
                                     sqrt(more * more + 2 * spec->length * spec->length)};
        out->flute_count++;
        note(plate, map, spec, &out->notes);
    }
    return TW_OK;
}
