/* cmd_steps.c: the courses in which a sheet is thinned to what is wanted. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>

static tw_status make_steps(const tw_args *args, const tw_goal *goal, double step, tw_steps *out,
                            tw_error *err)
{
    const tw_worked worked =
        args->worked >= 0 ? (tw_worked)args->worked : goal->plate->profile->worked;
    const bool raised = worked == TW_WORKED_RAISED && goal->stock.thickness > 0;
    tw_map formed;
    tw_status status = TW_OK;

    if (raised)
        status = tw_cli_form_sheet(args, goal->plate, goal->stock.thickness, TW_MESH_NODES_USUAL,
                                   &formed, NULL, err);
    if (status != TW_OK)
        return status;
    status = tw_steps_make(goal, raised ? &formed : NULL, step, out, err);
    if (raised)
        tw_map_release(&formed);
    return status;
}

static tw_status draw(const tw_args *args, const tw_steps *steps, tw_output *out, tw_error *err)
{
    const tw_profile *profile = steps->goal->plate->profile;
    const tw_draw_options options = tw_cli_plate_options(args, profile);
    tw_cli_progress progress = {0};
    const tw_blank_request request = {.threads = (unsigned)args->threads,
                                      .progress = tw_cli_progress_step,
                                      .progress_context = &progress};
    tw_blank blank;
    tw_status status = tw_blank_make(steps->goal, &request, &blank, err);

    tw_cli_progress_clear(&progress);
    if (status != TW_OK)
        return status;
    status = tw_draw_steps(steps, &blank, tw_paper_of(args->output), &options, out, err);
    tw_blank_release(&blank);
    return status;
}

static tw_status show(const tw_args *args, const tw_steps *steps, tw_output *out, tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_steps_json(steps), out, err);
    if (args->csv)
        tw_show_steps_csv(out, steps);
    else
        tw_show_steps_text(out, (tw_units)args->units, steps);
    return TW_OK;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_cli_goal goal = {0};
    tw_steps steps;
    double step;
    tw_status status = tw_cli_quantity(args->step, "step", TW_LENGTH, "0.3 mm", 0, &step, err);

    if (status != TW_OK)
        return status;
    status = tw_cli_goal_make(args, plate, &goal, err);
    if (status != TW_OK)
        return status;
    status = make_steps(args, &goal.goal, step, &steps, err);
    if (status == TW_OK) {
        if (text)
            status = show(args, &steps, text, err);
        if (status == TW_OK && picture)
            status = draw(args, &steps, picture, err);
        tw_steps_release(&steps);
    }
    if (status != TW_OK)
        tw_cli_error_in(plate->profile, err);
    tw_cli_goal_release(&goal);
    return status;
}

/* A mean thickness alone says nothing of where. */
static tw_status has_form(const tw_profile *profile, tw_error *err)
{
    return tw_cli_needs_form(profile, "plate %s gives an area and no form: steps lie on a form",
                             "give it a form and thickness.forged", err);
}

tw_status tw_cmd_steps(const tw_args *args, tw_notes *errors)
{
    return tw_cli_with_picture(args, has_form, compute, errors);
}
