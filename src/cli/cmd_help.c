/* cmd_help.c: --help of the program and of its commands, printed from the command table. */
#include "cli_internal.h"

#include <stdio.h>
#include <string.h>

void tw_cli_option_head(const tw_option *option, char *text, size_t size)
{
    char letter[8] = "    ";

    if (option->letter)
        snprintf(letter, sizeof letter, "-%c, ", option->letter);
    snprintf(text, size, "%s--%s%s%s", letter, option->name, option->argument ? " " : "",
             option->argument ? option->argument : "");
}

void tw_cli_help_all(tw_output *out)
{
    tw_output_print(out, NULL,
                    "taperwright: thickness, weight and balance of shaped metal plate\n\n"
                    "usage: taperwright COMMAND [OPTIONS] ...\n\ncommands:\n");
    for (const tw_command *row = tw_cli_commands(); row->name; row++) {
        if (!row->hidden)
            tw_output_print(out, NULL, "  %-8s  %s\n", row->name, row->summary);
    }
    tw_output_print(
        out, NULL,
        "\n\"taperwright COMMAND --help\" explains a command, \"taperwright help "
        "profile\" the keys\nof a profile; --version prints the version.\n\nexamples:\n");
    for (const tw_command *row = tw_cli_commands(); row->name; row++) {
        if (!row->hidden && row->run != tw_cmd_help)
            tw_output_print(out, NULL, "  taperwright %s\n", row->examples[0]);
    }
    tw_output_print(out, NULL,
                    "\nexit: 0 done, 1 the input is wrong, 2 the command line is wrong, 3 the "
                    "machine failed,\n      130 stopped by Ctrl-C\n"
                    "Thickness is bookkeeping here, never a protection rating.\n");
}

void tw_cli_help_command(tw_output *out, const tw_command *command)
{
    const tw_option *row;
    char head[64];

    tw_output_print(out, NULL, "usage: taperwright %s [OPTIONS]%s%s\n\n%s\n\n%s\n\noptions:\n",
                    command->name, *command->operands ? " " : "", command->operands,
                    command->summary, command->about);
    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        tw_cli_option_head(row, head, sizeof head);
        tw_output_print(out, NULL, "  %-24s  %s\n", head, row->help);
    }
    tw_output_print(out, NULL, "\nexamples:\n");
    for (size_t n = 0; n < TW_EXAMPLES_MAX && command->examples[n]; n++)
        tw_output_print(out, NULL, "  taperwright %s\n", command->examples[n]);
}

/* The keys of a profile, as the manual page has them. */
static void help_profile(tw_output *out)
{
    size_t count;
    const tw_key_info *keys = tw_profile_keys(&count);

    tw_output_print(
        out, NULL,
        "keys of a plate profile (YAML); [] stands for each item of a list, point. for any "
        "point\n\"taperwright new FORM\" writes a profile to start from\n\n");
    for (size_t k = 0; k < count; k++)
        tw_output_print(out, NULL, "  %s\n      %s%s: %s\n", keys[k].path, keys[k].takes,
                        keys[k].required ? ", required" : "", keys[k].help);
}

tw_status tw_cmd_help(const tw_args *args, tw_notes *errors)
{
    const tw_command *about = args->help ? args->command : NULL;
    tw_output *out = NULL;
    bool profile = false;
    tw_error err;
    tw_status status;

    if (!args->help && args->operand_count > 0)
        profile = strcmp(args->operands[0], "profile") == 0;
    if (!args->help && args->operand_count > 0 && !profile) {
        about = tw_cli_command_find(args->operands[0]);
        if (!about) {
            tw_fail(&err, TW_ERR_USAGE, "no command is called \"%s\"", args->operands[0]);
            tw_error_advise(&err, args->operands[0], "\"taperwright help\" lists them");
            return tw_cli_give(errors, &err);
        }
    }
    status = tw_output_begin("-", &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (profile)
        help_profile(out);
    else if (about)
        tw_cli_help_command(out, about);
    else
        tw_cli_help_all(out);
    status = tw_cli_finish(out, TW_OK, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
