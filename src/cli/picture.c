/* picture.c: what commands that draw share: their options, and the PNG on its way out. */
#include "cli_internal.h"

#include <string.h>
#include <strings.h>
#include <unistd.h>

bool tw_cli_picture_to_stdout(const tw_args *args)
{
    return args->output && strcmp(args->output, "-") == 0;
}

/* A name that promises another kind of file; "-", devices and names without an ending promise none. */
static bool names_other_kind(const char *path)
{
    const char *name = strrchr(path, '/'), *ending = strrchr(name ? name : path, '.');

    if (tw_paper_of(path) != TW_PAPER_PNG)
        return false;
    return ending && ending[1] && strcasecmp(ending, ".png") != 0;
}

tw_status tw_cli_picture_allowed(const tw_args *args, tw_error *err)
{
    tw_status status;

    if (tw_cli_picture_to_stdout(args) && (args->json || args->csv))
        return tw_fail(err, TW_ERR_USAGE,
                       "the picture and the numbers cannot both go to standard "
                       "output");
    if (tw_cli_picture_to_stdout(args) && isatty(STDOUT_FILENO)) {
        tw_fail(err, TW_ERR_USAGE, "standard output is a terminal, not a place for a picture");
        tw_error_advise(err, "-", "write -o FILE.png, or send it on with | or >");
        return TW_ERR_USAGE;
    }
    if (!args->output && (args->width || args->date || args->dots_per_inch || args->hatch)) {
        tw_fail(err, TW_ERR_USAGE, "%s belongs to a picture",
                args->width           ? "--width"
                : args->dots_per_inch ? "--dpi"
                : args->hatch         ? "--hatch"
                                      : "--date");
        tw_error_advise(err, NULL, "add -o FILE.png");
        return TW_ERR_USAGE;
    }
    if (args->words && (args->json || args->csv || tw_cli_picture_to_stdout(args)))
        return tw_fail(err, TW_ERR_USAGE, "--describe takes the place of text on standard output");
    if (!args->output)
        return TW_OK;
    status = tw_cli_output_allowed(args, args->output, err);
    if (status == TW_OK && names_other_kind(args->output)) {
        status = tw_fail(err, TW_ERR_USAGE, "drawings are written as PNG, SVG or PDF");
        tw_error_advise(err, args->output, "give it a name that ends in .png, .svg or .pdf");
    }
    return status;
}

tw_draw_options tw_cli_picture_options(const tw_args *args, const char *title, const char *date)
{
    return (tw_draw_options){.width = args->width,
                             .dots_per_inch = (double)args->dots_per_inch,
                             .hatch = args->hatch,
                             .units = (tw_units)args->units,
                             .title = title,
                             .date = args->date ? args->date : date,
                             .which = SIZE_MAX,
                             .threads = (unsigned)args->threads,
                             .words = args->words,
                             .missing = args->missing};
}

tw_draw_options tw_cli_plate_options(const tw_args *args, const tw_profile *profile)
{
    return tw_cli_picture_options(args, profile->plate, profile->date);
}

tw_status tw_cli_describe(const tw_words *words, tw_error *err)
{
    tw_output *out = NULL;
    tw_status status = tw_output_begin("-", &out, err);

    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < words->count; k++) {
        if (words->items[k].mark)
            continue;
        for (const char *at = words->items[k].text; *at; at++) {
            const bool bound = strncmp(at, "\xc2\xa0", 2) == 0; /* a no-break space */
            tw_output_write(out, bound ? " " : at, 1, NULL);
            at += bound;
        }
        tw_output_write(out, "\n", 1, NULL);
    }
    return tw_cli_finish(out, TW_OK, err);
}

tw_status tw_cli_outputs_begin(const tw_args *args, tw_output **text, tw_output **picture,
                               tw_error *err)
{
    tw_status status = tw_cli_picture_allowed(args, err);

    if (status == TW_OK && !tw_cli_picture_to_stdout(args))
        status = tw_output_begin(args->words ? "/dev/null" : "-", text, err);
    if (status == TW_OK && args->output && !args->apart)
        status = tw_output_begin(args->output, picture, err);
    if (status != TW_OK) {
        tw_output_abandon(*text);
        *text = NULL;
    }
    return status;
}

tw_status tw_cli_with_picture(const tw_args *args,
                              tw_status (*accepts)(const tw_profile *profile, tw_error *err),
                              tw_cli_drawing drawing, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_output *text = NULL, *picture = NULL;
    tw_plate *plate = NULL;
    tw_error err;
    tw_status status = tw_cli_outputs_begin(args, &text, &picture, &err);

    if (status != TW_OK) {
        tw_notes_add(errors, &err);
        goto done;
    }
    status = tw_cli_profiles_read(args, &profiles, errors);
    if (status != TW_OK)
        goto done;
    if (accepts)
        status = accepts(profiles.items[0], &err);
    if (status == TW_OK)
        status = tw_cli_plate(args, profiles.items[0], &plate, &err);
    if (status == TW_OK)
        status = drawing(args, plate, text, picture, &err);
    status = tw_cli_finish_both(&text, &picture, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(text);
    tw_output_abandon(picture);
    tw_plate_free(plate);
    tw_cli_profiles_release(&profiles);
    return status;
}
