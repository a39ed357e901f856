/*
 * cmd_manual.c: the manual (man macros), a page to the program, to each command and to each kind of file,
 * from the command table and the schemas when the program is built; completions are in completion.c.
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

static void put_line(tw_output *out, const char *text)
{
    put_troff(out, text);
    tw_output_print(out, NULL, "\n");
}

static void put_capitals(tw_output *out, const char *text)
{
    for (; *text; text++)
        tw_output_print(out, NULL, "%c", *text >= 'a' && *text <= 'z' ? *text - 'a' + 'A' : *text);
}

/* A page's head: .TH, NAME. `part` is what follows taperwright- in its name, NULL on the main page. */
static void begin_page(tw_output *out, const char *part, int section, const char *summary)
{
    tw_output_print(out, NULL, ".TH TAPERWRIGHT");
    if (part) {
        tw_output_print(out, NULL, "\\-");
        put_capitals(out, part);
    }
    tw_output_print(out, NULL, " %d \"\" \"taperwright %s\" \"%s\"\n.SH NAME\ntaperwright%s%s \\- ",
                    section, TW_VERSION, section == 1 ? "User Commands" : "File Formats",
                    part ? "\\-" : "", part ? part : "");
    put_line(out, summary);
}

static void put_exit_status(tw_output *out)
{
    tw_output_print(out, NULL, ".SH EXIT STATUS\n");
    put_item(out, "0", "done");
    put_item(out, "1", "the input is wrong");
    put_item(out, "2", "the command line is wrong");
    put_item(out, "3", "the machine failed: permission, full disk, memory");
    put_item(out, "130", "stopped by Ctrl-C");
    put_item(out, "143", "stopped by SIGTERM");
}

static void main_page(tw_output *out)
{
    const tw_command *row;

    begin_page(out, NULL, 1, "thickness, weight and balance of shaped metal plate");
    tw_output_print(out, NULL,
                    ".SH SYNOPSIS\n.B taperwright\n\\fICOMMAND\\fR [\\fIOPTIONS\\fR] ...\n"
                    ".SH DESCRIPTION\nModels a plate on its curved face, weighs it, and sets a "
                    "hand\\-forged taper beside even sheet. Thickness is bookkeeping, never a "
                    "protection rating.\n.PP\nEach command has a page of its own, as\n"
                    ".BR taperwright\\-weigh (1).\n.SH COMMANDS\n");
    for (size_t n = 0; (row = tw_cli_command(n)); n++)
        if (!row->hidden)
            put_item(out, row->name, row->summary);
    tw_output_print(out, NULL, ".SH FILES\n");
    for (const tw_file_keys *file = tw_cli_file_keys(); file->name; file++) {
        tw_output_print(out, NULL, ".TP\n.BR taperwright\\-");
        put_troff(out, file->name);
        tw_output_print(out, NULL, " (5)\nkeys of %s\n", file->what);
    }
    put_exit_status(out);
}

static void command_page(tw_output *out, const tw_command *command)
{
    const tw_option *row;

    begin_page(out, command->name, 1, command->summary);
    tw_output_print(out, NULL, ".SH SYNOPSIS\n.B taperwright %s\n[\\fIOPTIONS\\fR] ",
                    command->name);
    put_line(out, command->operands);
    tw_output_print(out, NULL, ".SH DESCRIPTION\n");
    put_line(out, command->about);
    tw_output_print(out, NULL, ".SH OPTIONS\n");
    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        char head[64];
        tw_cli_option_head(row, head, sizeof head);
        put_item(out, head + strspn(head, " "), row->help);
    }
    tw_output_print(out, NULL, ".SH EXAMPLES\n.nf\n");
    for (size_t n = 0; n < TW_EXAMPLES_MAX && command->examples[n]; n++) {
        tw_output_print(out, NULL, "$ taperwright ");
        put_line(out, command->examples[n]);
    }
    tw_output_print(out, NULL, ".fi\n");
    put_exit_status(out);
    tw_output_print(out, NULL,
                    ".SH SEE ALSO\n.BR taperwright (1),\n"
                    ".BR taperwright\\-profile (5)\n");
}

static void keys_page(tw_output *out, const tw_file_keys *file)
{
    char summary[80];
    size_t count;
    const tw_key_info *keys = file->keys(&count);

    tw_format(summary, sizeof summary, "keys of %s", file->what);
    begin_page(out, file->name, 5, summary);
    tw_output_print(out, NULL,
                    ".SH DESCRIPTION\nA file in YAML. [] stands for each item of a list, "
                    "point. for any point.\n");
    put_troff(out, file->start);
    tw_output_print(out, NULL, ".\n.SH KEYS\n");
    for (size_t k = 0; k < count; k++) {
        tw_output_print(out, NULL, ".TP\n.B ");
        put_line(out, keys[k].path);
        tw_output_print(out, NULL, "(");
        put_troff(out, keys[k].takes);
        tw_output_print(out, NULL, "%s) ", keys[k].required ? ", required" : "");
        put_line(out, keys[k].help);
    }
    tw_output_print(out, NULL, ".SH KINDS");
    tw_cli_put_kinds(out, "\n", 80);
    tw_output_print(out, NULL, "\n.SH SEE ALSO\n.BR taperwright (1)\n");
}

/* ---- which page, and all of them -------------------------------------------------------------- */

/* What a page is of: the program when both are NULL. */
typedef struct page {
    const tw_command *command;
    const tw_file_keys *file;
} page;

static void write_page(tw_output *out, const page *what)
{
    if (what->command)
        command_page(out, what->command);
    else if (what->file)
        keys_page(out, what->file);
    else
        main_page(out);
}

static tw_status find_page(const char *name, page *what, tw_error *err)
{
    tw_status status;

    *what = (page){tw_cli_command_find(name), NULL};
    if (what->command && !what->command->hidden)
        return TW_OK;
    what->command = NULL;
    for (const tw_file_keys *file = tw_cli_file_keys(); file->name; file++)
        if (strcmp(file->name, name) == 0) {
            what->file = file;
            return TW_OK;
        }
    status = tw_fail(err, TW_ERR_USAGE, "no page is called \"%s\"", name);
    tw_error_advise(err, name, "pages are of commands, profile, harness-file and rules-file");
    return status;
}

static tw_status write_file(const char *folder, const page *what, tw_error *err)
{
    const char *part = what->command ? what->command->name : what->file ? what->file->name : NULL;
    char path[1024];
    tw_output *out = NULL;
    tw_status status;

    tw_format(path, sizeof path, "%s/taperwright%s%s.%d", folder, part ? "-" : "", part ? part : "",
              what->file ? 5 : 1);
    status = tw_output_begin(path, &out, err);
    if (status != TW_OK)
        return status;
    write_page(out, what);
    return tw_cli_finish(out, TW_OK, err);
}

static tw_status write_all(const char *folder, tw_error *err)
{
    const tw_command *row;
    tw_status status = write_file(folder, &(page){NULL, NULL}, err);

    for (size_t n = 0; status == TW_OK && (row = tw_cli_command(n)); n++)
        if (!row->hidden)
            status = write_file(folder, &(page){row, NULL}, err);
    for (const tw_file_keys *file = tw_cli_file_keys(); status == TW_OK && file->name; file++)
        status = write_file(folder, &(page){NULL, file}, err);
    return status;
}

static tw_status print(const tw_args *args, const page *what, tw_error *err)
{
    tw_output *out = NULL;
    const tw_status status = tw_output_begin("-", &out, err);

    if (status != TW_OK)
        return status;
    if (args->man)
        write_page(out, what);
    else
        tw_cli_completion(out, (tw_cli_shell)args->shell);
    return tw_cli_finish(out, TW_OK, err);
}

tw_status tw_cmd_manual(const tw_args *args, tw_notes *errors)
{
    const bool completion = args->shell >= 0, pages = args->pages != NULL;
    page what = {NULL, NULL};
    tw_error err;
    tw_status status = TW_OK;

    if (args->man + completion + pages != 1)
        status = tw_fail(&err, TW_ERR_USAGE, "manual needs one of --man, --pages and --completion");
    else if (args->operand_count > 0 && !args->man)
        status = tw_fail(&err, TW_ERR_USAGE, "the name of a page belongs to --man");
    else if (args->operand_count > 0)
        status = find_page(args->operands[0], &what, &err);
    if (status == TW_OK)
        status = pages ? write_all(args->pages, &err) : print(args, &what, &err);
    return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
}
