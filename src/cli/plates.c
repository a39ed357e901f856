/* plates.c: profiles named on the command line, read and modelled with the options typed. */
#include "cli_commands.h"
#include "cli_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static tw_status read_one(const tw_args *args, const char *path, tw_profile **out, tw_notes *errors)
{
    tw_notes found = {0};
    tw_error err;
    const tw_status status =
        tw_profile_read(path, args->settings, args->setting_count, out, &found);

    if (status != TW_OK && found.count == 0) { /* never fail without a word */
        tw_fail(&err, status, "%s", tw_status_text(status));
        snprintf(err.file, sizeof err.file, "%s", path);
        tw_notes_add(&found, &err);
    }
    tw_notes_join(errors, &found);
    return status;
}

tw_status tw_cli_profiles_read(const tw_args *args, tw_cli_profiles *out, tw_notes *errors)
{
    tw_status first = TW_OK;
    tw_error err;

    out->count = 0;
    out->items = calloc(args->operand_count, sizeof *out->items);
    if (!out->items) {
        tw_fail(&err, TW_ERR_MEMORY, "memory ran out");
        return tw_cli_give(errors, &err);
    }
    for (size_t k = 0; k < args->operand_count; k++) {
        const tw_status status = read_one(args, args->operands[k], &out->items[out->count], errors);
        if (status == TW_OK)
            out->count++;
        else if (first == TW_OK)
            first = status;
    }
    return first;
}

void tw_cli_profiles_release(tw_cli_profiles *profiles)
{
    for (size_t k = 0; k < profiles->count; k++)
        tw_profile_free(profiles->items[k]);
    free(profiles->items);
}

bool tw_cli_area_only(const tw_profile *profile)
{
    return profile->form == TW_FORM_NONE && profile->area > 0;
}

void tw_cli_error_in(const tw_profile *profile, tw_error *err)
{
    if (!err->file[0] && profile->file && tw_status_exit(err->status) == 1)
        snprintf(err->file, sizeof err->file, "%s", profile->file);
}

tw_status tw_cli_needs_form(const tw_profile *profile, const char *message, const char *advice,
                            tw_error *err)
{
    if (!tw_cli_area_only(profile))
        return TW_OK;
    tw_fail(err, TW_ERR_INPUT, message, profile->plate);
    if (advice)
        tw_error_advise(err, NULL, "%s", advice);
    tw_cli_error_in(profile, err);
    return TW_ERR_INPUT;
}

/* A note about a reading that is flagged: `readings` says it beside the reading. */
static bool about_flagged(const tw_survey *survey, const tw_error *note)
{
    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        if (placed->flags && placed->reading->place.line == note->line)
            return true;
    }
    return false;
}

/* Flags in one line; what else was noted as it stands. */
static void report_survey(const tw_args *args, const tw_plate *plate)
{
    const tw_survey *survey = plate->survey;
    tw_notes notes = {0};
    tw_error note;
    size_t flagged = 0;

    for (size_t k = 0; k < survey->notes.count && k < TW_NOTES_MAX; k++) {
        if (!about_flagged(survey, &survey->notes.items[k]))
            tw_notes_add(&notes, &survey->notes.items[k]);
    }
    for (size_t k = 0; k < survey->count; k++)
        flagged += survey->readings[k].flags != 0;
    if (flagged > 0 && args->command->run != tw_cmd_readings) {
        tw_fail(&note, TW_OK, "%zu of %zu readings should be looked at again", flagged,
                survey->count);
        tw_error_advise(&note, NULL, "\"taperwright readings\" says which and why");
        snprintf(note.file, sizeof note.file, "%s", plate->profile->file);
        tw_notes_add(&notes, &note);
    }
    tw_cli_report(&notes, "note: ");
}

/* What the profile says and the grams of this command leave out. */
static void report_left_out(const tw_args *args, const tw_profile *profile)
{
    const size_t turned = profile->turned_count, flutes = profile->flutes_count;
    tw_notes notes = {0};
    tw_error note;

    if (turned + flutes == 0 ||
        (args->command->run != tw_cmd_compare && args->command->run != tw_cmd_readings))
        return;
    tw_fail(&note, TW_OK, "the grams are the plate's own, without what its %s add",
            flutes == 0   ? "turned edges"
            : turned == 0 ? "flutes"
                          : "turned edges and flutes");
    tw_error_advise(&note, NULL, "\"taperwright weigh\" tells those too");
    tw_profile_place(profile, turned ? profile->turned[0].place : profile->flutes[0].place, &note);
    tw_notes_add(&notes, &note);
    tw_cli_report(&notes, "note: ");
}

tw_status tw_cli_plate(const tw_args *args, const tw_profile *profile, tw_plate **out,
                       tw_error *err)
{
    tw_cli_progress progress = {0};
    const tw_plate_options options = {.cells = args->grid,
                                      .threads = (unsigned)args->threads,
                                      .progress = tw_cli_progress_step,
                                      .progress_context = &progress};
    const tw_status status = tw_plate_build(profile, &options, out, err);

    tw_cli_progress_clear(&progress);
    if (status != TW_OK) {
        tw_cli_error_in(profile, err);
        return status;
    }
    tw_cli_report(&(*out)->notes, "note: ");
    if ((*out)->survey)
        report_survey(args, *out);
    report_left_out(args, profile);
    return TW_OK;
}

tw_status tw_cli_map(const tw_args *args, const tw_plate *plate, const tw_plate_map **out,
                     tw_error *err)
{
    /* Readings are of metal and a picture mostly is, a forged map is of intent, sheet is of what was bought. */
    static const tw_map_kind by_default[] = {TW_MAP_READINGS, TW_MAP_IMAGE, TW_MAP_FORGED,
                                             TW_MAP_SHEET};
    char given[16 * TW_PLATE_MAPS_MAX] = "";

    *out = NULL;
    for (size_t k = 0; k < sizeof by_default / sizeof *by_default && !*out; k++) {
        if (args->map < 0 || args->map == (int)by_default[k])
            *out = tw_plate_map_of(plate, by_default[k]);
    }
    if (*out)
        return TW_OK;
    for (size_t k = 0; k < plate->map_count; k++) {
        strcat(given, k ? ", " : "");
        strcat(given, tw_map_word(plate->maps[k].map.kind));
    }
    tw_fail(err, TW_ERR_INPUT, "plate %s gives no %s map", plate->profile->plate,
            tw_map_word((tw_map_kind)args->map));
    tw_error_advise(err, NULL, "it gives %s", given);
    tw_cli_error_in(plate->profile, err);
    return TW_ERR_INPUT;
}
