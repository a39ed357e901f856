/*
 * cmd_manual.c: the manual page (man macros), printed from the command table and the profile's schema
 * when the program is built; completions are in completion.c.
 */
#include "cli_commands.h"
#include "cli_internal.h"

#include <string.h>

/* troff: a backslash, a hyphen that must stay one, a full stop or quote that begins a line, and
 * letters beyond ASCII by their code point, which any troff reads whatever the locale. */
static void put_troff(tw_output *out, const char *text)
{
    bool begins = true;

    while (*text) {
        const char *start = text;
        const unsigned letter = tw_cli_letter(&text);

        if (begins && (letter == '.' || letter == '\''))
            tw_output_print(out, NULL, "\\&");
        if (letter == '\\')
            tw_output_print(out, NULL, "\\e");
        else if (letter == '-')
            tw_output_print(out, NULL, "\\-");
        else if (letter == 0x2026) /* …, which plain terminals lack */
            tw_output_print(out, NULL, "...");
        else if (letter > 0x7E)
            tw_output_print(out, NULL, "\\[u%04X]", letter);
        else
            tw_output_write(out, start, (size_t)(text - start), NULL);
        begins = letter == '\n';
    }
}

static void put_item(tw_output *out, const char *head, const char *text)
{
    tw_output_print(out, NULL, ".TP\n.B ");
    put_troff(out, head);
    tw_output_print(out, NULL, "\n");
    put_troff(out, text);
    tw_output_print(out, NULL, "\n");
}

static void put_command(tw_output *out, const tw_command *command)
{
    const tw_option *row;

    tw_output_print(out, NULL, ".SS taperwright %s [\\fIOPTIONS\\fR] ", command->name);
    put_troff(out, command->operands);
    tw_output_print(out, NULL, "\n");
    put_troff(out, command->about);
    tw_output_print(out, NULL, "\n");
    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        char head[64];
        tw_cli_option_head(row, head, sizeof head);
        put_item(out, head + strspn(head, " "), row->help);
    }
    tw_output_print(out, NULL, ".PP\n.nf\n");
    for (size_t n = 0; n < TW_EXAMPLES_MAX && command->examples[n]; n++) {
        tw_output_print(out, NULL, "$ taperwright ");
        put_troff(out, command->examples[n]);
        tw_output_print(out, NULL, "\n");
    }
    tw_output_print(out, NULL, ".fi\n");
}

static void put_keys(tw_output *out, const tw_file_keys *file)
{
    size_t count;
    const tw_key_info *keys = file->keys(&count);

    tw_output_print(out, NULL, ".SH ");
    for (const char *letter = file->name; *letter; letter++)
        tw_output_print(out, NULL, "%c",
                        *letter == '-'                     ? ' '
                        : *letter >= 'a' && *letter <= 'z' ? *letter - 'a' + 'A'
                                                           : *letter);
    tw_output_print(out, NULL, "\nKeys of %s (YAML).\n", file->what);
    for (size_t k = 0; k < count; k++) {
        tw_output_print(out, NULL, ".TP\n.B ");
        put_troff(out, keys[k].path);
        tw_output_print(out, NULL, "\n(");
        put_troff(out, keys[k].takes);
        tw_output_print(out, NULL, "%s) ", keys[k].required ? ", required" : "");
        put_troff(out, keys[k].help);
        tw_output_print(out, NULL, "\n");
    }
}

void tw_cli_man_page(tw_output *out)
{
    const tw_command *row;

    tw_output_print(out, NULL,
                    ".TH TAPERWRIGHT 1 \"\" \"taperwright %s\" \"User Commands\"\n"
                    ".SH NAME\ntaperwright \\- thickness, weight and balance of shaped metal "
                    "plate\n"
                    ".SH SYNOPSIS\n.B taperwright\n\\fICOMMAND\\fR [\\fIOPTIONS\\fR] ...\n"
                    ".SH DESCRIPTION\nModels a plate on its curved face, weighs it, and sets a "
                    "hand\\-forged taper beside even sheet. Thickness is bookkeeping, never a "
                    "protection rating.\n.SH COMMANDS\n",
                    TW_VERSION);
    for (size_t n = 0; (row = tw_cli_command(n)); n++) {
        if (!row->hidden)
            put_command(out, row);
    }
    for (const tw_file_keys *file = tw_cli_file_keys(); file->name; file++)
        put_keys(out, file);
    tw_output_print(out, NULL, ".SH EXIT STATUS\n");
    put_item(out, "0", "done");
    put_item(out, "1", "the input is wrong");
    put_item(out, "2", "the command line is wrong");
    put_item(out, "3", "the machine failed: permission, full disk, memory");
    put_item(out, "130", "stopped by Ctrl-C");
    put_item(out, "143", "stopped by SIGTERM");
}

tw_status tw_cmd_manual(const tw_args *args, tw_notes *errors)
{
    tw_output *out = NULL;
    tw_error err;
    tw_status status;

    if (args->man == (args->shell >= 0)) {
        tw_fail(&err, TW_ERR_USAGE, "manual needs one of --man and --completion");
        return tw_cli_give(errors, &err);
    }
    status = tw_output_begin("-", &out, &err);
    if (status != TW_OK)
        return tw_cli_give(errors, &err);
    if (args->man)
        tw_cli_man_page(out);
    else
        tw_cli_completion(out, (tw_cli_shell)args->shell);
    status = tw_cli_finish(out, TW_OK, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
