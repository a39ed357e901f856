/* cmd_help.c: --help of the program and of its commands, printed from the command table. */
#include "cli_commands.h"
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
    const tw_command *row;

    tw_output_print(out, NULL,
                    "taperwright: thickness, weight and balance of shaped metal plate\n\n"
                    "usage: taperwright COMMAND [OPTIONS] ...\n\ncommands:\n");
    for (size_t n = 0; (row = tw_cli_command(n)); n++) {
        if (!row->hidden)
            tw_output_print(out, NULL, "  %-9s  %s\n", row->name, row->summary);
    }
    tw_output_print(
        out, NULL,
        "\n\"taperwright COMMAND --help\" explains a command, \"taperwright help "
        "profile\" the keys\nof a profile (or harness-file, rules-file); --version prints the "
        "version.\n\nexamples:\n");
    for (size_t n = 0; (row = tw_cli_command(n)); n++) {
        if (!row->hidden && row->run != tw_cmd_help)
            tw_output_print(out, NULL, "  taperwright %s\n", row->examples[0]);
    }
    tw_output_print(out, NULL,
                    "\nexit: 0 done, 1 the input is wrong, 2 the command line is wrong, 3 the "
                    "machine failed,\n      130 stopped by Ctrl-C, 143 by SIGTERM\n"
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

/* Kinds of file that users write, with all their keys. */
static const tw_file_keys files[] = {
    {"profile", "a plate profile", "\"taperwright new FORM\" writes a profile to start from",
     tw_profile_keys},
    {"harness-file", "a harness file", "\"taperwright new harness\" writes one to start from",
     tw_harness_keys},
    {"rules-file", "a file of least thicknesses",
     "\"taperwright new rules\" writes one to start from", tw_rules_keys},
    {0}};

const tw_file_keys *tw_cli_file_keys(void)
{
    return files;
}

static const tw_file_keys *find_file(const char *name)
{
    for (const tw_file_keys *file = files; file->name; file++)
        if (strcmp(file->name, name) == 0)
            return file;
    return NULL;
}

void tw_cli_put_kinds(tw_output *out, const char *line, size_t width)
{
    size_t count, used = width;
    const char *const *kinds = tw_profile_kinds(&count);

    for (size_t k = 0; k < count; k++) {
        const char *after = k + 1 < count ? "," : "";
        if (used + strlen(kinds[k]) + 2 > width) {
            tw_output_print(out, NULL, "%s%s%s", line, kinds[k], after);
            used = strlen(line) + strlen(kinds[k]);
        } else {
            tw_output_print(out, NULL, " %s%s", kinds[k], after);
            used += strlen(kinds[k]) + 2;
        }
    }
}

static void help_keys(tw_output *out, const tw_file_keys *file)
{
    size_t count;
    const tw_key_info *keys = file->keys(&count);

    tw_output_print(out, NULL,
                    "keys of %s (YAML); [] stands for each item of a list, point. for any point\n"
                    "%s\n\n",
                    file->what, file->start);
    for (size_t k = 0; k < count; k++)
        tw_output_print(out, NULL, "  %s\n      %s%s: %s\n", keys[k].path, keys[k].takes,
                        keys[k].required ? ", required" : "", keys[k].help);
    tw_output_print(out, NULL, "\nkinds:");
    tw_cli_put_kinds(out, "\n  ", 84);
    tw_output_print(out, NULL, "\n");
}

tw_status tw_cmd_help(const tw_args *args, tw_notes *errors)
{
    const tw_command *about = args->help ? args->command : NULL;
    tw_output *out = NULL;
    const tw_file_keys *file = NULL;
    tw_error err;
    tw_status status;

    if (!args->help && args->operand_count > 0)
        file = find_file(args->operands[0]);
    if (!args->help && args->operand_count > 0 && !file) {
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
    if (file)
        help_keys(out, file);
    else if (about)
        tw_cli_help_command(out, about);
    else
        tw_cli_help_all(out);
    status = tw_cli_finish(out, TW_OK, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
