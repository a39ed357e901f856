/* cmd_series.c: a plate from even sheet to its full taper, to teach with: poster, frames, animated PNG, "guess,
 * then see", an exercise with answers. */
#include "cli_commands.h"
#include "cli_compare.h"
#include "cli_internal.h"

#include <string.h>

enum { FRAMES_USUAL = 6, NAME_MAX_LENGTH = 4096 };

typedef struct lesson {
    tw_series series;     /* of poster, frames, moving */
    tw_exercise exercise; /* of guess and exercise */
} lesson;

static bool is_exercise(int as)
{
    return as == TW_CLI_GUESS || as == TW_CLI_EXERCISE;
}

/* How many drawings there are: frames, or pages that are not written into one PDF. */
static size_t drawings_of(const tw_args *args, const lesson *found)
{
    if (args->as == TW_CLI_FRAMES)
        return found->series.count;
    return is_exercise(args->as) && tw_paper_of(args->output) != TW_PAPER_PDF ? TW_TEACHING_PAGES
                                                                              : 1;
}

static tw_status draw(const tw_args *args, const lesson *found, size_t number, tw_output *out,
                      tw_error *err)
{
    const tw_plate *plate = is_exercise(args->as) ? found->exercise.plate : found->series.plate;
    const tw_draw_options options = tw_cli_plate_options(args, plate->profile);
    const tw_paper paper = tw_paper_of(args->output);

    switch (args->as) {
    case TW_CLI_FRAMES:
        return tw_draw_series_frame(&found->series, number, paper, &options, out, err);
    case TW_CLI_MOVING:
        return tw_draw_series_moving(&found->series, &options, out, err);
    case TW_CLI_GUESS:
        return tw_draw_guess(&found->exercise, number, paper, &options, out, err);
    case TW_CLI_EXERCISE:
        return tw_draw_exercise(&found->exercise, number, paper, &options, out, err);
    default:
        return tw_draw_series(&found->series, paper, &options, out, err);
    }
}

/* "poster.png" → "poster-03.png". */
static void numbered(const char *path, size_t number, size_t count, char *out, size_t size)
{
    const char *name = strrchr(path, '/'), *ending = strrchr(name ? name : path, '.');
    const size_t stem = ending ? (size_t)(ending - path) : strlen(path);

    tw_format(out, size, count < 10 ? "%.*s-%zu%s" : "%.*s-%02zu%s", (int)stem, path, number,
              ending ? ending : "");
}

/* Every file is whole before the first takes its place. */
static tw_status draw_files(const tw_args *args, const lesson *found, size_t count, tw_error *err)
{
    tw_output *outs[TW_FRAMES_MAX] = {NULL};
    char path[NAME_MAX_LENGTH];
    tw_status status = TW_OK;

    if (strlen(args->output) + 8 > sizeof path)
        return tw_fail(err, TW_ERR_USAGE, "the name of the output is too long");
    for (size_t k = 0; status == TW_OK && k < count; k++) {
        numbered(args->output, k + 1, count, path, sizeof path);
        status = tw_output_begin(path, &outs[k], err);
        if (status == TW_OK)
            status = draw(args, found, k, outs[k], err);
    }
    for (size_t k = 0; k < count; k++) {
        if (status == TW_OK)
            status = tw_output_commit(outs[k], err);
        else
            tw_output_abandon(outs[k]);
    }
    return status;
}

static tw_status show(const tw_args *args, const lesson *found, tw_output *text, tw_error *err)
{
    const bool exercise = is_exercise(args->as);

    if (args->json)
        return tw_json_print(exercise ? tw_show_exercise_json(&found->exercise)
                                      : tw_show_series_json(&found->series),
                             text, err);
    if (exercise)
        tw_show_exercise_text(text, (tw_units)args->units, &found->exercise);
    else
        tw_show_series_text(text, (tw_units)args->units, &found->series);
    return TW_OK;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    const unsigned threads = (unsigned)args->threads;
    const bool exercise = is_exercise(args->as);
    lesson found = {0};
    tw_status status = exercise ? tw_exercise_make(plate, threads, &found.exercise, err)
                                : tw_series_make(plate, (tw_keep)args->keep,
                                                 args->frames ? args->frames : FRAMES_USUAL,
                                                 threads, &found.series, err);

    if (status == TW_OK && text)
        status = show(args, &found, text, err);
    if (status == TW_OK && args->apart)
        status = draw_files(args, &found, drawings_of(args, &found), err);
    for (size_t k = 0; status == TW_OK && picture && k < drawings_of(args, &found); k++)
        status = draw(args, &found, k, picture, err); /* several: put into words alone */
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    tw_series_release(&found.series);
    return status;
}

static tw_status fits(const tw_args *args, tw_error *err)
{
    if (is_exercise(args->as) && (args->frames || args->keep)) {
        tw_fail(err, TW_ERR_USAGE, "--%s belongs to a series of frames",
                args->frames ? "frames" : "keep");
        tw_error_advise(err, NULL, "leave it out with --as %s",
                        args->as == TW_CLI_GUESS ? "guess" : "exercise");
        return TW_ERR_USAGE;
    }
    if (args->as == TW_CLI_MOVING && args->output && tw_paper_of(args->output) != TW_PAPER_PNG) {
        tw_fail(err, TW_ERR_USAGE, "an animation is written as PNG");
        tw_error_advise(err, args->output, "give it a name that ends in .png");
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

static tw_status has_form(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile, "plate %s gives an area and no form: a series lies on a form",
                             "give it a form and thickness.forged", err);
}

tw_status tw_cmd_series(const tw_args *args, tw_notes *errors)
{
    tw_args own = *args;
    tw_error err;
    tw_status status = fits(args, &err);

    if (status == TW_OK && tw_cli_picture_to_stdout(args) &&
        (args->as == TW_CLI_FRAMES || is_exercise(args->as)))
        status = tw_fail(&err, TW_ERR_USAGE,
                         "frames and pages are files of their own: name one with -o");
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    own.apart = args->output && strcmp(args->output, "/dev/null") != 0 &&
                (args->as == TW_CLI_FRAMES ||
                 (is_exercise(args->as) && tw_paper_of(args->output) != TW_PAPER_PDF));
    return tw_cli_with_picture(&own, has_form, compute, errors);
}
