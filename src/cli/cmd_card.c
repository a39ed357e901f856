/* cmd_card.c: a card of points to gauge while a plate is hammered and finished. */
#include "cli_internal.h"

#include <math.h>
#include <stddef.h>

/* One option's length; wrong text is the command line's fault, not a file's. */
static tw_status read_length(const char *text, const char *option, const char *right,
                             double otherwise, double *value, tw_error *err)
{
    tw_status status;

    *value = otherwise;
    if (!text)
        return TW_OK;
    status = tw_quantity_read(text, TW_LENGTH, TW_RULER_NONE, value, err);
    if (status == TW_OK && !(*value > 0)) {
        status = tw_fail(err, TW_ERR_USAGE, "\"%s\" is not above zero", text);
        tw_error_advise(err, text, "write %s, for example", right);
    }
    if (status != TW_OK && tw_status_exit(status) == 1)
        err->status = status = TW_ERR_USAGE;
    if (status != TW_OK)
        tw_error_within(err, "in --%s", option);
    return status;
}

static tw_status show(const tw_args *args, const tw_card *card, tw_output *text, tw_error *err)
{
    if (!text)
        return TW_OK;
    if (args->json)
        return tw_json_print(tw_show_card_json(card), text, err);
    if (args->csv)
        tw_show_card_csv(text, card);
    else
        tw_show_card_text(text, (tw_units)args->units, card);
    return TW_OK;
}

static tw_status make(const tw_args *args, const tw_plate *plate, tw_output *text,
                      tw_output *picture, tw_error *err)
{
    tw_cli_goal goal = {0};
    tw_card card = {0};
    double window, reach;
    tw_status status = read_length(args->window, "window", "0.1 mm", 0, &window, err);

    if (status == TW_OK)
        status = read_length(args->reach, "reach", "60 mm", INFINITY, &reach, err);
    if (status == TW_OK)
        status = tw_cli_goal_make(args, plate, &goal, err);
    if (status != TW_OK)
        return status;
    status = tw_card_make(&goal.goal, args->points, window, reach, &card, err);
    if (status == TW_OK)
        status = show(args, &card, text, err);
    else
        tw_cli_error_in(plate->profile, err);
    if (status == TW_OK && picture) {
        const tw_draw_options options = tw_cli_picture_options(args, plate->profile);
        status = tw_draw_card(&card, tw_paper_of(args->output), &options, picture, err);
    }
    tw_card_release(&card);
    tw_cli_goal_release(&goal);
    return status;
}

static tw_status accepts(const tw_profile *profile, tw_error *err)
{
    if (!tw_cli_area_only(profile))
        return TW_OK;
    tw_fail(err, TW_ERR_INPUT, "plate %s gives an area: a card needs to know where",
            profile->plate);
    tw_error_advise(err, NULL, "give a form and thickness.forged");
    tw_cli_error_in(profile, err);
    return TW_ERR_INPUT;
}

tw_status tw_cmd_card(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, accepts, make, errors);
}
