/* goal.c: what is to be made, for the commands that plan work: the profile's plan where it has one, else
 * its forged map; from the sheet that was typed, or the profile's. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <string.h>

/* What was not typed of a request, from the profile's plan when it has one. */
static void complete(const tw_profile *profile, tw_plan_request *request)
{
    const tw_plan_spec *plan = &profile->plan;

    if (!profile->has_plan)
        return;
    if (isnan(request->grade) && isnan(request->within_mm)) {
        request->grade = plan->grade;
        request->within_mm = plan->within;
    }
    if (isnan(request->least_mm))
        request->least_mm = plan->least;
    if (isnan(request->weight_g))
        request->weight_g = plan->weight;
    if (!request->by)
        request->by = plan->by;
}

tw_status tw_cli_plan_least(const tw_args *args, const tw_plate *plate, tw_plan_request *request,
                            tw_plan **plan, tw_least *out, tw_error *err)
{
    const tw_status status = tw_plan_open(plate, (unsigned)args->threads, plan, err);

    if (status != TW_OK)
        return status;
    complete(plate->profile, request);
    if (isnan(request->least_mm))
        request->least_mm = tw_plan_thinnest(*plan);
    return tw_plan_least(*plan, request, out, err);
}

static tw_status sheet(const tw_args *args, const tw_plate *plate, tw_stock *out, tw_error *err)
{
    const tw_material *metal = tw_material_find(plate->profile->material);
    const tw_status status = tw_stock_read(args->stock, metal, out, err);

    if (status == TW_OK)
        return TW_OK;
    tw_error_within(err, "in --stock");
    if (err)
        err->status = TW_ERR_USAGE;
    return TW_ERR_USAGE;
}

tw_status tw_cli_goal_make(const tw_args *args, const tw_plate *plate, tw_cli_goal *out,
                           tw_error *err)
{
    const tw_profile *profile = plate->profile;
    tw_plan_request request = {
        .least_mm = NAN, .grade = NAN, .within_mm = NAN, .weight_g = NAN, .by = NULL};
    tw_stock stock;
    tw_status status = TW_OK;

    memset(out, 0, sizeof *out);
    if (args->stock)
        status = sheet(args, plate, &stock, err);
    if (status == TW_OK && args->wanted == TW_CLI_WANTED_PLAN && !profile->has_plan) {
        tw_fail(err, TW_ERR_INPUT, "the profile has no plan");
        tw_error_advise(err, NULL, "add \"plan: {grade: 1 mm in 60 mm}\" to it");
        status = TW_ERR_INPUT;
    }
    if (status == TW_OK && profile->has_plan && args->wanted != TW_CLI_WANTED_FORGED) {
        status = tw_cli_plan_least(args, plate, &request, &out->plan, &out->least, err);
        out->planned = status == TW_OK;
    }
    if (status == TW_OK)
        status = tw_goal_make(plate, out->planned ? &out->least : NULL, args->stock ? &stock : NULL,
                              (unsigned)args->threads, &out->goal, err);
    if (status == TW_OK)
        return TW_OK;
    tw_cli_error_in(profile, err);
    tw_cli_goal_release(out);
    return status;
}

void tw_cli_goal_release(tw_cli_goal *goal)
{
    tw_goal_release(&goal->goal);
    tw_least_release(&goal->least);
    tw_plan_free(goal->plan);
    memset(goal, 0, sizeof *goal);
}
