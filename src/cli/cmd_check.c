/*
 * cmd_check.c: the profile reads well. Prints the sizes back for comparison with the plate on the
 * bench, how far each tape check is off, and whether gauge readings lie on the plate. Every profile
 * is checked, also after a bad one.
 */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdlib.h>

enum { WORDS = 64, CHECK_CELLS = 256 };

/** What a check works on; freed in one go. */
typedef struct checking {
    const tw_args *args;
    const tw_profile *profile;
    tw_output *out;
    tw_form *form;
    tw_grid *grid;
    tw_march *march;
    tw_taper *taper;
    tw_survey *survey; /* placed, not fitted */
    tw_map image;
    double *distance; /* nu·nv */
    tw_notes notes;
} checking;

static tw_status build(checking *work, tw_error *err)
{
    const size_t cells = work->args->grid ? work->args->grid : CHECK_CELLS;
    tw_status status = tw_form_build(work->profile, &work->form, &work->notes, err);

    if (status == TW_OK)
        status = tw_grid_build(work->form, cells, (unsigned)work->args->threads, &work->grid, err);
    /* Zones outside the outline and unknown edges show up here. */
    if (status == TW_OK && work->profile->has_forged)
        status = tw_taper_build(work->form, work->grid, &work->profile->forged,
                                (unsigned)work->args->threads, &work->taper, err);
    if (status == TW_OK && work->profile->has_image)
        status = tw_map_image(work->form, work->grid, &work->profile->image,
                              (unsigned)work->args->threads, &work->image, err);
    if (status == TW_OK && work->profile->has_readings)
        status = tw_survey_place(work->form, work->grid, &work->profile->readings, work->taper,
                                 &work->survey, err);
    if (status == TW_OK && work->profile->check_count > 0)
        status = tw_march_new(work->grid, (unsigned)work->args->threads, &work->march, err);
    if (status == TW_OK && work->march) {
        work->distance = calloc(work->grid->nu * work->grid->nv, sizeof *work->distance);
        if (!work->distance)
            status = tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    }
    return status;
}

static tw_status show_sizes(checking *work, tw_error *err)
{
    const tw_units units = (tw_units)work->args->units;
    tw_form_sizes sizes;
    char words[5][WORDS];
    tw_status status = tw_form_measure(work->form, &sizes, err);

    if (status != TW_OK)
        return status;
    tw_output_print(work->out, NULL, "%s: %s wide, %s high, %s deep; %s by %s by tape",
                    work->profile->plate, tw_write_length(sizes.width, units, -1, words[0], WORDS),
                    tw_write_length(sizes.height, units, -1, words[1], WORDS),
                    tw_write_length(sizes.depth, units, -1, words[2], WORDS),
                    tw_write_length(sizes.tape_across, units, -1, words[3], WORDS),
                    tw_write_length(sizes.tape_up, units, -1, words[4], WORDS));
    tw_output_print(work->out, NULL, "; area %s",
                    tw_write_area(sizes.area, units, words[0], WORDS));
    if (isfinite(sizes.least_radius))
        tw_output_print(work->out, NULL, "; least radius %s at [%s, %s]\n",
                        tw_write_length(sizes.least_radius, units, -1, words[0], WORDS),
                        tw_write_length(sizes.least_radius_at[0], units, -1, words[1], WORDS),
                        tw_write_length(sizes.least_radius_at[1], units, -1, words[2], WORDS));
    else
        tw_output_print(work->out, NULL, "; flat\n");
    return TW_OK;
}

/* A slip of the pen shows as a taped width far off both neighbours'. */
static bool stands_out(const checking *work, size_t station, double tape)
{
    double other;
    bool out = false;

    for (int side = -1; side <= 1; side += 2) {
        if (tw_form_station_tape(work->form, station + (size_t)side, &other, NULL) != TW_OK)
            continue; /* no neighbour on that side */
        if (tape < 1.7 * other && other < 1.7 * tape)
            return false;
        out = true;
    }
    return out;
}

static tw_status show_stations(checking *work, tw_error *err)
{
    const tw_units units = (tw_units)work->args->units;
    const tw_loft_spec *loft = &work->profile->loft;

    for (size_t k = 0; work->profile->form == TW_FORM_LOFT && k < loft->station_count; k++) {
        char words[3][WORDS];
        double tape;
        const tw_status status = tw_form_station_tape(work->form, k, &tape, err);
        if (status != TW_OK)
            return status;
        tw_output_print(work->out, NULL, "  at ruler %s: %s by tape",
                        tw_write_length(loft->stations[k].ruler, units, -1, words[0], WORDS),
                        tw_write_length(tape, units, -1, words[1], WORDS));
        if (loft->stations[k].tape > 0)
            tw_output_print(work->out, NULL, " (given %s)",
                            tw_write_length(loft->stations[k].tape, units, -1, words[2], WORDS));
        tw_output_print(work->out, NULL, "%s\n",
                        stands_out(work, k, tape) ? "; far off its neighbours: a slip?" : "");
    }
    return TW_OK;
}

/* A scan has too many rows to list: how many, and how wide they are. */
static tw_status show_points(const checking *work, tw_error *err)
{
    const tw_units units = (tw_units)work->args->units;
    const tw_points_spec *points = &work->profile->points;
    double least = INFINITY, most = 0;
    char words[4][WORDS];

    if (work->profile->form != TW_FORM_POINTS)
        return TW_OK;
    for (size_t k = 0; k < points->row_count; k++) {
        double tape;
        const tw_status status = tw_form_station_tape(work->form, k, &tape, err);
        if (status != TW_OK)
            return status;
        least = fmin(least, tape);
        most = fmax(most, tape);
    }
    tw_output_print(
        work->out, NULL, "  %zu points in %zu rows, y %s to %s; rows %s to %s by tape\n",
        points->point_count, points->row_count,
        tw_write_length(points->rows[0].y, units, -1, words[0], WORDS),
        tw_write_length(points->rows[points->row_count - 1].y, units, -1, words[1], WORDS),
        tw_write_length(least, units, -1, words[2], WORDS),
        tw_write_length(most, units, -1, words[3], WORDS));
    if (points->picture.file)
        tw_output_print(work->out, NULL, "  made of a picture of %zu by %zu pixels\n",
                        points->picture.width, points->picture.height);
    return TW_OK;
}

static void show_image(const checking *work)
{
    const tw_picture_spec *picture = &work->profile->image.picture;
    const tw_units units = (tw_units)work->args->units;
    char words[2][WORDS];

    if (work->profile->has_image)
        tw_output_print(work->out, NULL,
                        "  a picture of %zu by %zu pixels: %s to %s thick on the plate\n",
                        picture->width, picture->height,
                        tw_write_thickness(work->image.thinnest, units, -1, words[0], WORDS),
                        tw_write_thickness(work->image.thickest, units, -1, words[1], WORDS));
}

/* Common practice, no source: plate for wear is hardly ever over 6 mm. */
static void show_thick(const checking *work)
{
    const tw_profile *profile = work->profile;
    const tw_units units = (tw_units)work->args->units;
    double most = profile->has_sheet ? profile->sheet.thickness : 0;
    char words[WORDS];

    for (size_t k = 0; k < profile->forged.strike_count; k++)
        most = fmax(most, profile->forged.strikes[k].thickness);
    if (most > 6)
        tw_output_print(work->out, NULL,
                        "  %s is very thick for plate: a gauge number, or a slip?\n",
                        tw_write_thickness(most, units, -1, words, WORDS));
}

/* No sign before what rounds to nothing. */
static const char *tape_sign(double residual, double least)
{
    return fabs(residual) < least ? "" : residual < 0 ? "-" : "+";
}

/* Residual: the way along the plate less the taped length. */
static tw_status show_tape_check(checking *work, size_t number, tw_error *err)
{
    const tw_units units = (tw_units)work->args->units;
    const tw_tape_check *check = &work->profile->checks[number];
    const int decimals = units == TW_INCH ? 2 : 1;
    double from[2], to[2], along, off;
    char words[3][WORDS];
    tw_status status = tw_form_locate(work->form, &check->from, from, NULL, err);

    if (status == TW_OK)
        status = tw_form_locate(work->form, &check->to, to, NULL, err);
    if (status == TW_OK)
        status = tw_distance_from_point(work->march, work->form, from, work->distance, err);
    if (status != TW_OK)
        return status;
    along = tw_grid_sample(work->grid, work->distance, to[0], to[1]);
    off = fmax(tw_outline_level(tw_form_outline(work->form), from[0], from[1]),
               tw_outline_level(tw_form_outline(work->form), to[0], to[1]));
    if (off > 1) /* a tape end hooked over an edge is still on the plate */
        along = INFINITY;
    tw_output_print(work->out, NULL, "  tape check %zu: taped %s, ", number + 1,
                    tw_write_length(check->tape, units, decimals, words[0], WORDS));
    if (!isfinite(along))
        tw_output_print(work->out, NULL, "but one of its ends lies off the metal\n");
    else
        tw_output_print(
            work->out, NULL, "the form has %s: %s%s\n",
            tw_write_length(along, units, decimals, words[1], WORDS),
            tape_sign(along - check->tape, units == TW_INCH ? 0.127 : 0.05),
            tw_write_length(fabs(along - check->tape), units, decimals, words[2], WORDS));
    return TW_OK;
}

/* One line: how many lie on the plate, and the first few that should be looked at again. */
static void show_readings(const checking *work)
{
    enum { NAMED = 3 };
    const tw_survey *survey = work->survey;
    size_t flagged = 0, named = 0;

    if (!survey)
        return;
    for (size_t k = 0; k < survey->count; k++)
        flagged += survey->readings[k].used && survey->readings[k].flags;
    tw_output_print(work->out, NULL, "  %zu reading%s, %s on the plate", survey->count,
                    survey->count == 1 ? "" : "s", survey->count == 1 ? "it lies" : "all");
    if (survey->used < survey->count)
        tw_output_print(work->out, NULL, ", %zu left out", survey->count - survey->used);
    if (flagged == 0)
        tw_output_print(work->out, NULL, "; none looks wrong");
    else
        tw_output_print(work->out, NULL, "; %zu flagged: ", flagged);
    for (size_t k = 0; k < survey->count && named < NAMED; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        if (placed->used && placed->flags)
            tw_output_print(work->out, NULL, "%s%s %s", named++ ? "; " : "", placed->reading->name,
                            tw_cli_flag_words(placed->flags));
    }
    if (flagged > NAMED)
        tw_output_print(work->out, NULL, "; and %zu more, see \"taperwright readings\"",
                        flagged - NAMED);
    tw_output_print(work->out, NULL, "\n");
}

static void show_area(const checking *work)
{
    const tw_units units = (tw_units)work->args->units;
    char words[2][WORDS];

    tw_output_print(work->out, NULL, "%s: area %s, no form", work->profile->plate,
                    tw_write_area(work->profile->area, units, words[0], WORDS));
    if (work->profile->scale > 0)
        tw_output_print(work->out, NULL, "; %s on the scale",
                        tw_write_mass(work->profile->scale, units, -1, words[1], WORDS));
    tw_output_print(work->out, NULL, "\n");
}

static void show_notes(const checking *work)
{
    char text[2048];

    for (size_t k = 0; k < work->notes.count && k < TW_NOTES_MAX; k++) {
        tw_cli_error_text(&work->notes.items[k], "note: ", text, sizeof text);
        tw_output_print(work->out, NULL, "%s", text);
    }
}

static tw_status check_one(const tw_args *args, const tw_profile *profile, tw_output *out,
                           tw_error *err)
{
    checking work = {.args = args, .profile = profile, .out = out};
    tw_status status = TW_OK;

    if (tw_cli_area_only(profile)) {
        show_area(&work);
        return TW_OK;
    }
    status = build(&work, err);
    if (status == TW_OK)
        status = show_sizes(&work, err);
    if (status == TW_OK)
        status = show_stations(&work, err);
    if (status == TW_OK)
        status = show_points(&work, err);
    if (status == TW_OK) {
        show_thick(&work);
        show_image(&work);
    }
    for (size_t k = 0; k < profile->check_count && status == TW_OK; k++)
        status = show_tape_check(&work, k, err);
    if (status == TW_OK) {
        show_readings(&work);
        show_notes(&work);
    } else {
        tw_cli_error_in(profile, err);
    }
    tw_survey_free(work.survey);
    tw_map_release(&work.image);
    free(work.distance);
    tw_march_free(work.march);
    tw_taper_free(work.taper);
    tw_grid_free(work.grid);
    tw_form_free(work.form);
    return status;
}

tw_status tw_cmd_check(const tw_args *args, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_output *out = NULL;
    tw_error err;
    tw_status worst, status = tw_output_begin("-", &out, &err);

    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    worst = tw_cli_profiles_read(args, &profiles, errors);
    for (size_t k = 0; k < profiles.count && !tw_cli_interrupted(); k++) {
        status = check_one(args, profiles.items[k], out, &err);
        if (status != TW_OK) {
            tw_notes_add(errors, &err);
            worst = status;
        }
    }
    status = tw_cli_finish(out, TW_OK, &err);
    tw_cli_profiles_release(&profiles);
    return status == TW_OK ? worst : tw_cli_give(errors, &err);
}
