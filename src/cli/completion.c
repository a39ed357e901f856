/*
 * completion.c: what a shell offers after a word, as scripts for bash, zsh and fish, from the command table.
 */
#include "cli_commands.h"
#include "cli_internal.h"

#include <string.h>

/* The next command that is not hidden, from *n on; NULL after the last. */
static const tw_command *next_shown(size_t *n)
{
    const tw_command *row;

    do
        row = tw_cli_command((*n)++);
    while (row && row->hidden);
    return row;
}

/* ---- what is offered --------------------------------------------------------------------- */

/* "same mass" is offered as same-mass, which the parser takes. */
static void put_choices(tw_output *out, const tw_option *row)
{
    for (size_t k = 0; row->choices[k]; k++) {
        if (k)
            tw_output_print(out, NULL, " ");
        for (const char *letter = row->choices[k]; *letter; letter++)
            tw_output_write(out, *letter == ' ' ? "-" : letter, 1, NULL);
    }
}

static bool takes_file(const char *argument)
{
    return argument && strstr(argument, "FILE") != NULL;
}

/* Endings of the files that stand where `argument` does, NULL-ended and the commonest first; none: any file. */
static const char *const *endings(const char *argument)
{
    static const char *const none[] = {NULL}, *const profiles[] = {"yaml", "yml", NULL},
                             *const tables[] = {"csv", NULL},
                             *const pictures[] = {"png", "svg", "pdf", NULL},
                             *const pages[] = {"pdf", "svg", "png", NULL};

    return strstr(argument, ".yaml")  ? profiles
           : strstr(argument, ".csv") ? tables
           : strstr(argument, ".png") ? pictures
           : strstr(argument, ".pdf") ? pages
                                      : none;
}

static void put_endings(tw_output *out, const char *argument, const char *between)
{
    const char *const *list = endings(argument);

    for (size_t k = 0; list[k]; k++)
        tw_output_print(out, NULL, "%s%s", k ? between : "", list[k]);
}

/* Words that stand behind the command itself: of help, what there is help about; of new, its forms. */
static bool has_words(const tw_command *command)
{
    return command->run == tw_cmd_help || command->run == tw_cmd_new;
}

static void put_words(tw_output *out, const tw_command *command, const char *between)
{
    const char *gap = "";
    size_t count;
    const tw_template *forms = tw_templates(&count);
    const tw_command *row;

    if (command->run == tw_cmd_new) {
        for (size_t k = 0; k < count; k++)
            tw_output_print(out, NULL, "%s%s", k ? between : "", forms[k].form);
        return;
    }
    for (size_t n = 0; (row = next_shown(&n)); gap = between)
        tw_output_print(out, NULL, "%s%s", gap, row->name);
    for (const tw_file_keys *file = tw_cli_file_keys(); file->name; file++)
        tw_output_print(out, NULL, "%s%s", gap, file->name);
}

/* ---- bash -------------------------------------------------------------------------------- */

static void bash_words(tw_output *out, const tw_command *command)
{
    const tw_option *row;

    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        tw_output_print(out, NULL, "%s--%s", n ? " " : "", row->name);
        if (row->letter)
            tw_output_print(out, NULL, " -%c", row->letter);
    }
}

/* What stands behind an option that takes a value. */
static void bash_cases(tw_output *out, const tw_command *command)
{
    const tw_option *row;

    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        if (!row->argument)
            continue;
        tw_output_print(out, NULL, "    %s,--%s", command->name, row->name);
        if (row->letter)
            tw_output_print(out, NULL, "|%s,-%c", command->name, row->letter);
        if (row->choices) {
            tw_output_print(out, NULL, ") words=\"");
            put_choices(out, row);
            tw_output_print(out, NULL, "\" ;;\n");
        } else if (takes_file(row->argument)) {
            tw_output_print(out, NULL, ") files=yes ends=\"");
            put_endings(out, row->argument, " ");
            tw_output_print(out, NULL, "\" ;;\n");
        } else {
            tw_output_print(out, NULL, ") return ;;\n");
        }
    }
}

/* What stands behind the command. The second word behind new is a plate. */
static void bash_operands(tw_output *out, const tw_command *command)
{
    tw_output_print(out, NULL, "        %s)", command->name);
    if (strstr(command->operands, ".yaml")) {
        tw_output_print(out, NULL, " ends=\"");
        put_endings(out, command->operands, " ");
        tw_output_print(out, NULL, "\"");
    }
    if (command->run == tw_cmd_new) {
        tw_output_print(out, NULL,
                        "\n            case \" ${COMP_WORDS[*]:2:COMP_CWORD-2} \" in *\" ");
        put_words(out, command, " \"*|*\" ");
        tw_output_print(out, NULL, " \"*) ;; *) words=\"");
        put_words(out, command, " ");
        tw_output_print(out, NULL, "\" ;; esac");
    } else if (has_words(command)) {
        tw_output_print(out, NULL, " words=\"");
        put_words(out, command, " ");
        tw_output_print(out, NULL, "\"");
    }
    tw_output_print(out, NULL, " ;;\n");
}

/* Files by their endings and folders to look into; any, where no such file is there. */
static const char bash_files[] =
    "_taperwright_files()\n{\n"
    "    local word=$1 before=$2 name end\n"
    "    shift 2\n"
    "    while IFS= read -r name; do COMPREPLY+=(\"$before$name\"); done < <(\n"
    "        for end; do compgen -f -X \"!*.$end\" -- \"$word\"; done)\n"
    "    if [ ${#COMPREPLY[@]} -gt 0 ]; then set -- -d; else set -- -f; fi\n"
    "    while IFS= read -r name; do COMPREPLY+=(\"$before$name\"); done < <(\n"
    "        compgen \"$1\" -- \"$word\")\n"
    "}\n";

static void bash_script(tw_output *out)
{
    const tw_command *row;

    tw_output_print(out, NULL,
                    "# bash completion of taperwright, printed by: taperwright manual --completion "
                    "bash\n%s"
                    "_taperwright()\n{\n"
                    "    local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]}\n"
                    "    local words= files= ends= before=\n"
                    "    COMPREPLY=()\n"
                    "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                    "        COMPREPLY=($(compgen -W \"",
                    bash_files);
    for (size_t n = 0; (row = next_shown(&n));)
        tw_output_print(out, NULL, "%s ", row->name);
    tw_output_print(out, NULL,
                    "--help --version\" -- \"$word\"))\n        return\n    fi\n"
                    "    # --option=value comes in three words, or in one\n"
                    "    if [ \"x$word\" = x= ]; then word=\n"
                    "    elif [ \"x$last\" = x= ]; then last=${COMP_WORDS[COMP_CWORD-2]}\n"
                    "    else case $word in --*=*)\n"
                    "        last=${word%%%%=*} before=${word%%%%=*}= word=${word#*=} ;; esac\n"
                    "    fi\n"
                    "    case ${COMP_WORDS[1]},$last in\n");
    for (size_t n = 0; (row = next_shown(&n));)
        bash_cases(out, row);
    tw_output_print(out, NULL,
                    "    esac\n"
                    "    if [ -z \"$words$files\" ] && [ \"${word:0:1}\" = - ]; then\n"
                    "        case ${COMP_WORDS[1]} in\n");
    for (size_t n = 0; (row = next_shown(&n));) {
        tw_output_print(out, NULL, "        %s) words=\"", row->name);
        bash_words(out, row);
        tw_output_print(out, NULL, "\" ;;\n");
    }
    tw_output_print(out, NULL,
                    "        esac\n"
                    "    elif [ -z \"$words$files\" ]; then\n"
                    "        case ${COMP_WORDS[1]} in\n");
    for (size_t n = 0; (row = next_shown(&n));)
        bash_operands(out, row);
    tw_output_print(out, NULL,
                    "        esac\n    fi\n"
                    "    if [ -n \"$words\" ]; then\n"
                    "        COMPREPLY=($(compgen -P \"$before\" -W \"$words\" -- \"$word\"))\n"
                    "    else\n"
                    "        _taperwright_files \"$word\" \"$before\" $ends\n"
                    "    fi\n}\n"
                    "complete -o filenames -F _taperwright taperwright\n");
}

/* ---- zsh --------------------------------------------------------------------------------- */

/* Inside single quotes, where `also` are letters with a meaning to the reader of the whole. */
static void put_quoted(tw_output *out, const char *text, const char *also)
{
    for (; *text; text++) {
        if (*text == '\'')
            tw_output_print(out, NULL, "'\\''");
        else if (strchr(also, *text))
            tw_output_print(out, NULL, "\\%c", *text);
        else
            tw_output_write(out, text, 1, NULL);
    }
}

/* "_files", of these endings where some are known. */
static void zsh_files(tw_output *out, const char *argument)
{
    tw_output_print(out, NULL, "_files");
    if (!endings(argument)[0])
        return;
    tw_output_print(out, NULL, " -g \"*.(");
    put_endings(out, argument, "|");
    tw_output_print(out, NULL, ")\"");
}

static bool may_repeat(const tw_option *row)
{
    return row->kind == TW_OPTION_CHOICES || row->kind == TW_OPTION_SETTING ||
           row->kind == TW_OPTION_NAMES;
}

/* One spec of _arguments: '(-g --grid)'{-g,--grid=}'[help]:CELLS: ' */
static void zsh_option(tw_output *out, const tw_option *row)
{
    const char *equals = row->argument ? "=" : "";

    tw_output_print(out, NULL, " \\\n            ");
    if (may_repeat(row))
        tw_output_print(out, NULL, "'*'");
    else if (row->letter)
        tw_output_print(out, NULL, "'(-%c --%s)'", row->letter, row->name);
    if (row->letter)
        tw_output_print(out, NULL, "{-%c,--%s%s}", row->letter, row->name, equals);
    else
        tw_output_print(out, NULL, "'--%s%s'", row->name, equals);
    tw_output_print(out, NULL, "'[");
    put_quoted(out, row->help, "[]:\\");
    tw_output_print(out, NULL, "]");
    if (row->argument) {
        tw_output_print(out, NULL, ":");
        put_quoted(out, row->argument, ":\\");
        tw_output_print(out, NULL, ":");
        if (row->choices) {
            tw_output_print(out, NULL, "(");
            put_choices(out, row);
            tw_output_print(out, NULL, ")");
        } else if (takes_file(row->argument)) {
            zsh_files(out, row->argument);
        } else {
            tw_output_print(out, NULL, " ");
        }
    }
    tw_output_print(out, NULL, "'");
}

static void zsh_script(tw_output *out)
{
    const tw_command *command;

    tw_output_print(out, NULL,
                    "#compdef taperwright\n"
                    "# printed by: taperwright manual --completion zsh\n"
                    "_taperwright()\n{\n    local -a commands=(");
    for (size_t n = 0; (command = next_shown(&n));) {
        tw_output_print(out, NULL, "\n        '%s:", command->name);
        put_quoted(out, command->summary, ":\\");
        tw_output_print(out, NULL, "'");
    }
    tw_output_print(out, NULL,
                    ")\n    if (( CURRENT == 2 )); then\n"
                    "        _describe command commands\n"
                    "        _arguments '--help' '--version'\n        return\n    fi\n"
                    "    local command=$words[2]\n"
                    "    shift words\n    (( CURRENT-- ))\n"
                    "    case $command in\n");
    for (size_t n = 0; (command = next_shown(&n));) {
        const tw_option *row;
        tw_output_print(out, NULL, "    %s)\n        _arguments -s", command->name);
        for (size_t k = 0; (row = tw_cli_option(command, k)); k++)
            zsh_option(out, row);
        if (has_words(command)) {
            tw_output_print(out, NULL, " \\\n            '1:word:(");
            put_words(out, command, " ");
            tw_output_print(out, NULL, ")'");
        }
        if (strstr(command->operands, ".yaml")) {
            tw_output_print(out, NULL, " \\\n            '*:file:");
            zsh_files(out, command->operands);
            tw_output_print(out, NULL, "'");
        }
        tw_output_print(out, NULL, " ;;\n");
    }
    tw_output_print(out, NULL, "    esac\n}\n_taperwright \"$@\"\n");
}

/* ---- fish -------------------------------------------------------------------------------- */

/* Files of the commonest ending first. */
static void fish_files(tw_output *out, const char *argument)
{
    tw_output_print(out, NULL, " -k -x -a '(__fish_complete_suffix .%s)'", endings(argument)[0]);
}

static void fish_operands(tw_output *out, const tw_command *command)
{
    if (has_words(command)) {
        tw_output_print(out, NULL, "complete -c taperwright -n '__fish_seen_subcommand_from %s'",
                        command->name);
        tw_output_print(out, NULL, " -f -a '");
        put_words(out, command, " ");
        tw_output_print(out, NULL, "'\n");
    }
    if (strstr(command->operands, ".yaml")) {
        tw_output_print(out, NULL, "complete -c taperwright -n '__fish_seen_subcommand_from %s'",
                        command->name);
        fish_files(out, command->operands);
        tw_output_print(out, NULL, "\n");
    }
}

static void fish_option(tw_output *out, const tw_command *command, const tw_option *row)
{
    tw_output_print(out, NULL, "complete -c taperwright -n '__fish_seen_subcommand_from %s' -l %s",
                    command->name, row->name);
    if (row->letter)
        tw_output_print(out, NULL, " -s %c", row->letter);
    if (row->choices) {
        tw_output_print(out, NULL, " -x -a '");
        put_choices(out, row);
        tw_output_print(out, NULL, "'");
    } else if (takes_file(row->argument) && endings(row->argument)[0]) {
        fish_files(out, row->argument);
    } else if (row->argument) {
        tw_output_print(out, NULL, takes_file(row->argument) ? " -r -F" : " -x");
    }
    tw_output_print(out, NULL, " -d '");
    put_quoted(out, row->help, "\\");
    tw_output_print(out, NULL, "'\n");
}

static void fish_script(tw_output *out)
{
    const tw_command *command;

    tw_output_print(out, NULL,
                    "# printed by: taperwright manual --completion fish\n"
                    "complete -c taperwright -n __fish_use_subcommand -f -l help -s h\n"
                    "complete -c taperwright -n __fish_use_subcommand -f -l version -s V\n");
    for (size_t n = 0; (command = next_shown(&n));) {
        const tw_option *row;
        tw_output_print(out, NULL, "complete -c taperwright -n __fish_use_subcommand -f -a %s -d '",
                        command->name);
        put_quoted(out, command->summary, "\\");
        tw_output_print(out, NULL, "'\n");
        for (size_t k = 0; (row = tw_cli_option(command, k)); k++)
            fish_option(out, command, row);
        fish_operands(out, command);
    }
}

void tw_cli_completion(tw_output *out, tw_cli_shell shell)
{
    switch (shell) {
    case TW_SHELL_BASH:
        bash_script(out);
        break;
    case TW_SHELL_ZSH:
        zsh_script(out);
        break;
    case TW_SHELL_FISH:
        fish_script(out);
        break;
    }
}
