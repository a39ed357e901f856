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
static bool names_other_kind(const char *path, bool paper)
{
    const char *name = strrchr(path, '/'), *ending = strrchr(name ? name : path, '.');

    if (paper && tw_paper_of(path) != TW_PAPER_PNG)
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
    if (!args->output && (args->width || args->date)) {
        tw_fail(err, TW_ERR_USAGE, "%s belongs to a picture", args->width ? "--width" : "--date");
        tw_error_advise(err, NULL, "add -o FILE.png");
        return TW_ERR_USAGE;
    }
    if (!args->output)
        return TW_OK;
    status = tw_cli_output_allowed(args, args->output, err);
    if (status == TW_OK && names_other_kind(args->output, args->command->paper)) {
        const bool paper = args->command->paper;
        status = tw_fail(err, TW_ERR_USAGE, "%s",
                         paper ? "drawings are written as PDF, SVG or PNG"
                               : "pictures are written as PNG");
        tw_error_advise(err, args->output, "give it a name that ends in %s",
                        paper ? ".pdf, .svg or .png" : ".png");
    }
    return status;
}

tw_draw_options tw_cli_picture_options(const tw_args *args, const tw_profile *profile)
{
    return (tw_draw_options){.width = args->width,
                             .units = (tw_units)args->units,
                             .date = args->date ? args->date : profile->date,
                             .which = SIZE_MAX,
                             .threads = (unsigned)args->threads};
}

tw_status tw_cli_image_write(tw_output *out, const char *title, tw_image *image, tw_error *err)
{
    const tw_png_text texts[] = {{"Software", "taperwright " TW_VERSION}, {"Title", title}};
    const tw_status status = tw_png_write(out, image, 0, texts, sizeof texts / sizeof *texts, err);

    tw_image_release(image);
    return status;
}

tw_status tw_cli_outputs_begin(const tw_args *args, tw_output **text, tw_output **picture,
                               tw_error *err)
{
    tw_status status = tw_cli_picture_allowed(args, err);

    if (status == TW_OK && !tw_cli_picture_to_stdout(args))
        status = tw_output_begin("-", text, err);
    if (status == TW_OK && args->output)
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
