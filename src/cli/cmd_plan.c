/* cmd_plan.c: thicknesses that reach a weight, and the lightest map under a steepest grade. */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What was typed, read. */
typedef struct wanted {
    double weight, round, least, grade, within; /* NaN when not given, round 0 */
} wanted;

static tw_status read_options(const tw_args *args, wanted *out, tw_error *err)
{
    const struct {
        const char *text, *option;
        tw_dimension dimension;
        const char *right;
        double otherwise, *value;
    } rows[] = {{args->weight, "weight", TW_MASS, "2.2 kg", NAN, &out->weight},
                {args->round, "round", TW_LENGTH, "1.0 mm", 0, &out->round},
                {args->least, "least", TW_LENGTH, "1.0 mm", NAN, &out->least},
                {args->grade, "grade", TW_GRADE, "1 mm in 60 mm", NAN, &out->grade},
                {args->within, "within", TW_LENGTH, "1.0 mm", NAN, &out->within}};
    tw_status status = TW_OK;

    for (size_t k = 0; status == TW_OK && k < sizeof rows / sizeof *rows; k++)
        status = tw_cli_quantity(rows[k].text, rows[k].option, rows[k].dimension, rows[k].right,
                                 rows[k].otherwise, rows[k].value, err);
    return status;
}

static bool graded(const tw_args *args)
{
    return args->grade || args->within;
}

static tw_status refuse(tw_error *err, const char *advice, const char *message)
{
    tw_fail(err, TW_ERR_USAGE, "%s", message);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_USAGE;
}

/* A weight and what it changes, without a word about a graded map. */
static bool reaches(const tw_args *args)
{
    return args->weight && args->by && !graded(args) && !args->least && !args->trade_off;
}

static tw_status check_together(const tw_args *args, tw_error *err)
{
    if (args->grade && args->within)
        return refuse(err, "give one of them", "--grade and --within both say how steep");
    if (args->by && !reaches(args) && strncmp(args->by, "strike.", 7) != 0 &&
        strncmp(args->by, "edges.", 6) != 0)
        return refuse(err, "name strike.NAME, strike.all, edges.NAME or edges.all",
                      "under a grade a weight changes strike zones or edges");
    if (args->cells && strcmp(args->cells, "-") == 0)
        return refuse(err, "write --cells FILE.csv",
                      "the cells and the plan cannot both go to standard output");
    return args->cells ? tw_cli_output_allowed(args, args->cells, err) : TW_OK;
}

/* Neither the options nor the profile say how steep. */
static tw_status lacks_grade(const tw_args *args, tw_error *err)
{
    const char *graded_advice = "add --grade \"1 mm in 60 mm\", or --within \"90 mm\"";

    if (args->least || args->trade_off)
        return refuse(err, graded_advice,
                      args->least ? "--least belongs to a graded map"
                                  : "--trade-off belongs to a graded map");
    if (args->weight)
        return refuse(err, "add --by edges.all, or --grade \"1 mm in 60 mm\"",
                      "a weight needs what it may change, or a grade");
    return refuse(err,
                  "add --weight \"2.2 kg\" --by edges.all, or --grade \"1 mm in 60 mm\", or plan: "
                  "to the profile",
                  "plan needs a weight to reach, or a grade to keep");
}

/* ---- what becomes of the planned map ------------------------------------------------------------- */

/* What a strike zone is planned to have, for its label. */
static double planned_thickness(const tw_cli_plan *found, size_t strike)
{
    const tw_strike *own = &found->plate->profile->forged.strikes[strike];

    if (found->least)
        return found->least->requirements[strike].planned_mm; /* strike zones come first */
    for (size_t k = 0; k < found->reach->change_count; k++) {
        const tw_plan_change *change = &found->reach->changes[k];
        if (change->strike && strcmp(change->strike, own->name) == 0)
            return change->rounded_mm;
    }
    return own->thickness;
}

static tw_status draw_trade_off(const tw_args *args, const tw_cli_plan *found, tw_output *picture,
                                tw_error *err)
{
    const tw_profile *profile = found->plate->profile;
    const tw_draw_options options = tw_cli_plate_options(args, profile);
    return tw_draw_trade_off(found->trade, found->least, tw_paper_of(args->output), &options,
                             picture, err);
}

/* The plate with the planned map and numbers in place of its own. */
static tw_status draw(const tw_args *args, const tw_cli_plan *found, const tw_map *map,
                      const tw_weight *weight, tw_output *picture, tw_error *err)
{
    const tw_draw_options options = tw_cli_plate_options(args, found->plate->profile);
    tw_profile profile = *found->plate->profile;
    tw_plate planned = *found->plate;
    const size_t count = profile.has_forged ? profile.forged.strike_count : 0;
    tw_strike *strikes = calloc(count + 1, sizeof *strikes);
    tw_status status;

    if (!strikes)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    for (size_t k = 0; k < count; k++) {
        strikes[k] = profile.forged.strikes[k];
        strikes[k].thickness = planned_thickness(found, k);
    }
    profile.forged.strikes = strikes;
    if (found->reach && strcmp(found->reach->by, "sheet") == 0)
        profile.sheet =
            (tw_stock){.thickness = found->reach->changes[0].rounded_mm}; /* no gauge's name */
    planned.profile = &profile;
    planned.map_count = 1;
    planned.maps[0] =
        (tw_plate_map){.map = *map, .weight = *weight, .zones = found->plate->maps[0].zones};
    status = tw_draw_plate(&planned, tw_paper_of(args->output), &options, picture, err);
    free(strikes);
    return status;
}

static tw_status show(const tw_args *args, const tw_cli_plan *found, tw_output *text,
                      tw_output *picture, tw_error *err)
{
    const tw_map *map = found->reach ? &found->reach->map : &found->least->map;
    const tw_weight *weight = found->reach ? &found->reach->weight : &found->least->weight;
    tw_status status = TW_OK;

    if (text && args->json)
        status = tw_json_print(tw_show_plan_json(found), text, err);
    else if (text && args->csv)
        tw_show_plan_csv(text, found);
    else if (text)
        tw_show_plan_text(text, (tw_units)args->units, found);
    if (status == TW_OK && picture && found->trade)
        status = draw_trade_off(args, found, picture, err);
    else if (status == TW_OK && picture)
        status = draw(args, found, map, weight, picture, err);
    if (status == TW_OK && args->beside)
        status = tw_cli_cells_write(args->beside, found->plate->grid, map, err);
    return status;
}

/* ---- the two ways ----------------------------------------------------------------------------------- */

static tw_status reach(const tw_args *args, const tw_plate *plate, const wanted *want,
                       tw_output *text, tw_output *picture, tw_error *err)
{
    tw_reach found = {0};
    const tw_cli_plan reached = {.plate = plate, .reach = &found};
    tw_status status = tw_plan_reach(plate, args->by, want->weight, want->round,
                                     (unsigned)args->threads, &found, err);

    if (status == TW_OK)
        status = show(args, &reached, text, picture, err);
    else
        tw_cli_error_in(plate->profile, err);
    tw_reach_release(&found);
    return status;
}

static tw_status grade(const tw_args *args, const tw_plate *plate, const wanted *want,
                       tw_output *text, tw_output *picture, tw_error *err)
{
    tw_least least = {0};
    tw_trade_off trade = {0};
    tw_plan *opened = NULL;
    tw_cli_plan found = {.plate = plate,
                         .least = &least,
                         .trade = args->trade_off ? &trade : NULL,
                         .request = {.least_mm = want->least,
                                     .grade = want->grade,
                                     .within_mm = want->within,
                                     .weight_g = want->weight,
                                     .by = args->by,
                                     .round_mm = want->round}};
    tw_status status = tw_cli_plan_least(args, plate, &found.request, &opened, &least, err);

    if (status == TW_OK && args->trade_off)
        status = tw_plan_trade_off(opened, &found.request, &trade, err);
    if (status == TW_OK)
        status = show(args, &found, text, picture, err);
    else
        tw_cli_error_in(plate->profile, err);
    tw_trade_off_release(&trade);
    tw_least_release(&least);
    tw_plan_free(opened);
    return status;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    wanted want;
    tw_status status = read_options(args, &want, err);

    if (status != TW_OK)
        return status;
    if (reaches(args))
        return reach(args, plate, &want, text, picture, err);
    if (!graded(args) && !plate->profile->has_plan)
        return lacks_grade(args, err);
    return grade(args, plate, &want, text, picture, err);
}

/* With cells: they take their place last, when text and picture have. */
static tw_status plan(const tw_args *args, tw_notes *errors)
{
    tw_args with = *args;
    tw_error err;
    tw_status status = TW_OK;

    if (args->cells)
        status = tw_output_begin(args->cells, &with.beside, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_cli_with_picture(&with, NULL, compute, errors);
    if (!with.beside)
        return status;
    if (status != TW_OK) {
        tw_output_abandon(with.beside);
        return status;
    }
    status = tw_cli_finish(with.beside, TW_OK, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}

tw_status tw_cmd_plan(const tw_args *args, tw_notes *errors)
{
    wanted want;
    tw_error err;
    tw_status status;

    if (args->readings || args->log)
        return tw_cli_gauge(args, errors);
    status = tw_cli_needs_readings(args, &err);
    if (status == TW_OK)
        status = check_together(args, &err);
    if (status == TW_OK) /* before a grid is built */
        status = read_options(args, &want, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    return plan(args, errors);
}
