/*
 * completion.c: what a shell offers after a word, as scripts for bash, zsh and fish, from the command table.
 */
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

static void bash_cases(tw_output *out, const tw_command *command)
{
    const tw_option *row;

    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        if (!row->choices)
            continue;
        tw_output_print(out, NULL, "    %s,--%s", command->name, row->name);
        if (row->letter)
            tw_output_print(out, NULL, "|%s,-%c", command->name, row->letter);
        tw_output_print(out, NULL, ") words=\"");
        put_choices(out, row);
        tw_output_print(out, NULL, "\" ;;\n");
    }
}

static void bash_script(tw_output *out)
{
    const tw_command *row;

    tw_output_print(out, NULL,
                    "# bash completion of taperwright, printed by: taperwright manual --completion "
                    "bash\n"
                    "_taperwright()\n{\n"
                    "    local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} "
                    "words=\n"
                    "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                    "        COMPREPLY=($(compgen -W \"");
    for (size_t n = 0; (row = next_shown(&n));)
        tw_output_print(out, NULL, "%s ", row->name);
    tw_output_print(out, NULL,
                    "--help --version\" -- \"$word\"))\n        return\n    fi\n"
                    "    case ${COMP_WORDS[1]},$last in\n");
    for (size_t n = 0; (row = next_shown(&n));)
        bash_cases(out, row);
    tw_output_print(out, NULL,
                    "    esac\n"
                    "    if [ -z \"$words\" ] && [ \"${word:0:1}\" = - ]; then\n"
                    "        case ${COMP_WORDS[1]} in\n");
    for (size_t n = 0; (row = next_shown(&n));) {
        tw_output_print(out, NULL, "        %s) words=\"", row->name);
        bash_words(out, row);
        tw_output_print(out, NULL, "\" ;;\n");
    }
    tw_output_print(out, NULL,
                    "        esac\n    fi\n"
                    "    if [ -n \"$words\" ]; then\n"
                    "        COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
                    "    else\n"
                    "        COMPREPLY=($(compgen -f -- \"$word\"))\n"
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

static bool takes_file(const tw_option *row)
{
    return row->argument && strstr(row->argument, "FILE") != NULL;
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
        } else {
            tw_output_print(out, NULL, takes_file(row) ? "_files" : " ");
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
        tw_output_print(out, NULL, " \\\n            '*:file:_files' ;;\n");
    }
    tw_output_print(out, NULL, "    esac\n}\n_taperwright \"$@\"\n");
}

/* ---- fish -------------------------------------------------------------------------------- */

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
    } else if (row->argument) {
        tw_output_print(out, NULL, takes_file(row) ? " -r" : " -x");
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
