/* cmd_card.c: a card of points to gauge while a plate is hammered and finished. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stddef.h>

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
    tw_status status =
        tw_cli_quantity(args->window, "window", TW_LENGTH, "0.1 mm", 0, &window, err);

    if (status == TW_OK)
        status = tw_cli_quantity(args->reach, "reach", TW_LENGTH, "60 mm", INFINITY, &reach, err);
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
        const tw_draw_options options = tw_cli_plate_options(args, plate->profile);
        status = tw_draw_card(&card, tw_paper_of(args->output), &options, picture, err);
    }
    tw_card_release(&card);
    tw_cli_goal_release(&goal);
    return status;
}

static tw_status accepts(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile, "plate %s gives an area: a card needs to know where",
                             "give a form and thickness.forged", err);
}

tw_status tw_cmd_card(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, accepts, make, errors);
}
