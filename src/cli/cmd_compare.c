/* cmd_compare.c: a forged plate against even sheet, in text and as a picture. */
#include "cli_commands.h"
#include "cli_compare.h"
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
    tw_draw_options options = tw_cli_plate_options(args, profile);

    options.which = which;
    return tw_draw_comparison(comparison, tw_paper_of(args->output), &options, out, err);
}

static tw_status show(const tw_args *args, const tw_cli_comparison *found, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_compare_json(args, found), out, err);
    if (args->csv)
        tw_show_compare_csv(out, args, found);
    else
        tw_show_compare_text(out, args, found);
    return TW_OK;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_cli_comparison found = {.layout = NULL};
    size_t which = 0;
    tw_status status = tw_compare(plate, (unsigned)args->threads, &found.rows, err);

    if (status == TW_OK)
        status = tw_cli_as_formed(args, &found, err);
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    else
        status = find_row(args, &found.rows, &which, err);
    if (status == TW_OK && text)
        status = show(args, &found, text, err);
    if (status == TW_OK && picture)
        status = draw(args, &found.rows, which, picture, err);
    tw_cli_comparison_release(&found);
    return status;
}

tw_status tw_cmd_compare(const tw_args *args, tw_notes *errors)
{
    tw_error err;

    if (args->quick && args->against == TW_REASON_AS_FORMED) {
        tw_fail(&err, TW_ERR_USAGE, "--quick leaves out what --against as-formed is to show");
        return tw_cli_give(errors, &err);
    }
    return tw_cli_with_picture(args, NULL, compute, errors);
}
