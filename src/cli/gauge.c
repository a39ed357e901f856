/* gauge.c: `plan` with readings of the work: read, held against the goal, drawn, logged, shown. The log
 * is added to when all else is done but for what goes out, so that a failure before leaves no entry. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static tw_status usage(tw_error *err, const char *advice, const char *message, const char *option)
{
    tw_fail(err, TW_ERR_USAGE, message, option);
    tw_error_advise(err, NULL, "%s", advice);
    return TW_ERR_USAGE;
}

tw_status tw_cli_needs_readings(const tw_args *args, tw_error *err)
{
    const char *option = args->readings                    ? NULL
                         : args->stage >= 0                ? "--stage"
                         : args->window                    ? "--window"
                         : args->weighs                    ? "--weighs"
                         : args->wanted >= 0 && !args->log ? "--map"
                                                           : NULL;

    return option
               ? usage(err, "add --readings FILE.csv", "%s belongs to readings of the work", option)
               : TW_OK;
}

/* What plans a map has no say where the work is held against one. */
static tw_status check_options(const tw_args *args, tw_error *err)
{
    const struct {
        bool given;
        const char *name;
    } others[] = {{args->weight, "--weight"},       {args->by, "--by"},
                  {args->grade, "--grade"},         {args->within, "--within"},
                  {args->least, "--least"},         {args->round, "--round"},
                  {args->trade_off, "--trade-off"}, {args->cells, "--cells"}};

    for (size_t k = 0; k < sizeof others / sizeof *others; k++)
        if (others[k].given)
            return usage(
                err,
                "leave it out; what is wanted comes from the profile's plan: or its forged "
                "map",
                "%s plans a map, and readings are held against the one that was planned",
                others[k].name);
    if (args->log && strcmp(args->log, "-") == 0)
        return usage(err, "write --log FILE.csv", "%s is a file that is added to", "--log");
    if (tw_cli_needs_readings(args, err) != TW_OK)
        return TW_ERR_USAGE;
    if (!args->readings && args->output)
        return usage(err, "add --readings FILE.csv", "there is nothing to draw in a log%s", "");
    return TW_OK;
}

/* --date, the profile's, or today: the library knows no clock. */
static const char *date_of(const tw_args *args, const tw_profile *profile, char out[16])
{
    const time_t now = time(NULL);
    struct tm today;

    if (args->date)
        return args->date;
    if (profile->date)
        return profile->date;
    if (!localtime_r(&now, &today) || strftime(out, 16, "%Y-%m-%d", &today) == 0)
        out[0] = '\0';
    return out;
}

static tw_status draw(const tw_args *args, const tw_gauging *gauging, tw_output *picture,
                      tw_error *err)
{
    const tw_profile *profile = gauging->goal->plate->profile;
    const tw_draw_options options = tw_cli_plate_options(args, profile);
    return tw_draw_gauging(gauging, tw_paper_of(args->output), &options, picture, err);
}

static tw_status show(const tw_args *args, const tw_cli_work *found, tw_output *text, tw_error *err)
{
    if (!text)
        return TW_OK;
    if (args->json)
        return tw_json_print(tw_show_work_json(found), text, err);
    if (args->csv)
        tw_show_work_csv(text, found);
    else
        tw_show_work_text(text, (tw_units)args->units, found);
    return TW_OK;
}

/* What was typed, read; and the table. */
typedef struct job {
    double window, weighs;
    tw_work_readings readings;
} job;

static tw_status log_and_show(const tw_args *args, tw_cli_work *found, tw_output *text,
                              tw_error *err)
{
    const tw_profile *profile = found->goal->plate->profile;
    tw_work_log log = {0};
    char today[16];
    tw_status status = TW_OK;

    found->log_file = args->log;
    if (args->log && found->gauging)
        status = tw_work_log_append(args->log, found->goal, date_of(args, profile, today),
                                    found->gauging, err);
    if (status == TW_OK && args->log) {
        status = tw_work_log_read(args->log, found->goal, &log, err);
        found->log = &log;
    }
    if (status == TW_OK)
        status = show(args, found, text, err);
    found->log = NULL;
    tw_work_log_release(&log);
    return status;
}

static tw_status compute(const tw_args *args, const tw_plate *plate, const job *in, tw_output *text,
                         tw_output *picture, tw_error *err)
{
    tw_cli_goal goal;
    tw_gauging gauging = {0};
    tw_cli_work found = {.readings = &in->readings};
    tw_status status = tw_cli_goal_make(args, plate, &goal, err);

    if (status != TW_OK)
        return status;
    found.goal = &goal.goal;
    if (args->readings) {
        status = tw_gauging_make(&goal.goal, &in->readings.spec,
                                 args->stage == TW_STAGE_FINISH ? TW_STAGE_FINISH : TW_STAGE_HAMMER,
                                 in->window, in->weighs, (unsigned)args->threads, &gauging, err);
        found.gauging = &gauging;
        if (status == TW_OK)
            tw_cli_report(&gauging.notes, "note: ");
        else
            tw_cli_error_in(plate->profile, err);
    }
    if (status == TW_OK && picture)
        status = draw(args, &gauging, picture, err);
    if (status == TW_OK)
        status = log_and_show(args, &found, text, err);
    tw_gauging_release(&gauging);
    tw_cli_goal_release(&goal);
    return status;
}

static tw_status read_options(const tw_args *args, job *out, tw_error *err)
{
    tw_status status = check_options(args, err);

    if (status == TW_OK)
        status = tw_cli_quantity(args->window, "window", TW_LENGTH, "0.1 mm", 0, &out->window, err);
    if (status == TW_OK)
        status = tw_cli_quantity(args->weighs, "weighs", TW_MASS, "2.05 kg", 0, &out->weighs, err);
    return status;
}

/* Readings of what was made before belong to the finished plate: they are not modelled here. */
static tw_status build(const tw_args *args, const tw_profile *profile, tw_plate **plate,
                       tw_error *err)
{
    const tw_status status = tw_cli_needs_form(
        profile, "plate %s gives an area only, and readings need a form to lie on",
        "\"taperwright new loft\" prints a profile with one", err);

    if (status != TW_OK)
        return status;
    return tw_cli_plate(args, profile, plate, err);
}

tw_status tw_cli_gauge(const tw_args *args, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_output *text = NULL, *picture = NULL;
    tw_plate *plate = NULL;
    tw_args outputs = *args;
    job in = {0};
    tw_error err;
    tw_status status = read_options(args, &in, &err);

    if (!args->output && args->log)
        outputs.date = NULL; /* the log's; else it belongs to a picture */
    if (status == TW_OK)
        status = tw_cli_outputs_begin(&outputs, &text, &picture, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_cli_profiles_read(args, &profiles, errors);
    if (status == TW_OK && args->readings)
        status = tw_work_readings_read(profiles.items[0], args->readings, &in.readings, errors);
    if (status != TW_OK)
        goto done;
    status = build(args, profiles.items[0], &plate, &err);
    if (status == TW_OK)
        status = compute(args, plate, &in, text, picture, &err);
    status = tw_cli_finish_both(&text, &picture, status, &err);
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(text);
    tw_output_abandon(picture);
    tw_plate_free(plate);
    tw_work_readings_release(&in.readings);
    tw_cli_profiles_release(&profiles);
    return status;
}
