/* cmd_limits.c: a plate's thinnest places beside the least thicknesses of a rules file. */
#include "cli_commands.h"
#include "cli_harness.h"
#include "cli_internal.h"

#include <stdlib.h>
#include <string.h>

static tw_status show(const tw_args *args, const tw_cli_limits *found, tw_output *out,
                      tw_error *err)
{
    if (args->json)
        return tw_json_print(tw_show_limits_json(found), out, err);
    if (args->csv)
        tw_show_limits_csv(out, found);
    else
        tw_show_limits_text(out, (tw_units)args->units, found);
    return TW_OK;
}

static tw_status check_plate(const tw_args *args, const tw_profile *profile,
                             const tw_rules_file *rules, tw_output *out, tw_error *err)
{
    tw_cli_limits found = {.rules = rules};
    tw_limit *limits = NULL;
    tw_plate *plate = NULL;
    tw_status status;

    status = tw_cli_needs_form(profile,
                               "plate %s gives an area: its thickness is a mean, and limits "
                               "bind the thinnest place",
                               "give a form and readings", err);
    if (status != TW_OK)
        return status;
    status = tw_cli_plate(args, profile, &plate, err);
    if (status != TW_OK)
        return status;
    status = tw_cli_map(args, plate, &found.map, err);
    if (status == TW_OK) {
        limits = calloc(rules->count + 1, sizeof *limits);
        if (!limits)
            status = tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    }
    if (status == TW_OK) {
        status = tw_limits_check(plate, found.map, rules, (unsigned)args->threads, limits, err);
        if (status != TW_OK)
            tw_cli_error_in(profile, err);
    }
    if (status == TW_OK) {
        found.plate = plate;
        found.limits = limits;
        status = show(args, &found, out, err);
    }
    free(limits);
    tw_plate_free(plate);
    return status;
}

static tw_status begin(const tw_args *args, tw_output **out, tw_error *err)
{
    if (args->rules && tw_cli_is_harness(args->operands[0])) {
        tw_fail(err, TW_ERR_INPUT, "%s is a harness file, and limits takes one plate at a time",
                args->operands[0]);
        tw_error_advise(err, NULL, "name the profile of one of its plates");
        return TW_ERR_INPUT;
    }
    if (args->rules)
        return tw_output_begin("-", out, err);
    tw_fail(err, TW_ERR_USAGE, "limits needs --rules FILE.yaml");
    tw_error_advise(err, NULL, "\"taperwright new rules\" prints one to start from");
    return TW_ERR_USAGE;
}

tw_status tw_cmd_limits(const tw_args *args, tw_notes *errors)
{
    tw_cli_profiles profiles = {0};
    tw_rules_file *rules = NULL;
    tw_output *out = NULL;
    tw_error err;
    tw_status profile_status, status = begin(args, &out, &err);

    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    status = tw_rules_file_read(args->rules, NULL, 0, &rules, errors);
    profile_status = tw_cli_profiles_read(args, &profiles, errors); /* errors of both in one go */
    if (status == TW_OK)
        status = profile_status;
    if (status != TW_OK)
        goto done;
    status = check_plate(args, profiles.items[0], rules, out, &err);
    status = tw_cli_finish(out, status, &err);
    out = NULL;
    if (status != TW_OK)
        tw_notes_add(errors, &err);
done:
    tw_output_abandon(out);
    tw_rules_file_free(rules);
    tw_cli_profiles_release(&profiles);
    return status;
}
