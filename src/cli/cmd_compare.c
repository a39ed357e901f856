/* cmd_compare.c: a forged plate against even sheet, in text and as a picture. */
#include "cli_internal.h"

/* Row of the comparison that --against names; SIZE_MAX without it. */
static tw_status find_row(const tw_args *args, const tw_comparison *comparison, size_t *which,
                          tw_error *err)
{
    *which = SIZE_MAX;
    if (args->against < 0)
        return TW_OK;
    for (size_t k = 0; k < comparison->count; k++) {
        if (tw_show_against(args, &comparison->against[k])) {
            *which = k;
            return TW_OK;
        }
    }
    tw_fail(err, TW_ERR_INPUT, "plate %s gives no sheet of its own",
            comparison->plate->profile->plate);
    tw_error_advise(err, NULL, "add thickness.sheet to the profile, or --set thickness.sheet=...");
    tw_cli_error_in(comparison->plate->profile, err);
    return TW_ERR_INPUT;
}

static tw_status draw(const tw_args *args, const tw_comparison *comparison, size_t which,
                      tw_output *out, tw_error *err)
{
    const tw_profile *profile = comparison->plate->profile;
    tw_draw_options options = tw_cli_picture_options(args, profile);
    tw_image image = {0};
    tw_status status;

    options.which = which;
    status = tw_draw_comparison(comparison, &options, &image, err);
    return status == TW_OK ? tw_cli_image_write(out, profile->plate, &image, err) : status;
}

static tw_status show(const tw_args *args, const tw_comparison *comparison, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_compare_json(args, comparison), out, err);
    if (args->csv)
        tw_show_compare_csv(out, args, comparison);
    else
        tw_show_compare_text(out, args, comparison);
    return TW_OK;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_comparison comparison;
    size_t which;
    tw_status status = tw_compare(plate, (unsigned)args->threads, &comparison, err);

    if (status != TW_OK) {
        tw_cli_error_in(plate->profile, err);
        return status;
    }
    status = find_row(args, &comparison, &which, err);
    if (status == TW_OK && text)
        status = show(args, &comparison, text, err);
    if (status == TW_OK && picture)
        status = draw(args, &comparison, which, picture, err);
    return status;
}

tw_status tw_cmd_compare(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, NULL, compute, errors);
}
