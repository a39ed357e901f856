/*
 * main.c: the program's entry: picks the command, prints its errors, turns its status into the exit
 * code. setlocale() is not called, so numbers read and print alike everywhere.
 */
#include "cli_commands.h"
#include "cli_internal.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A stream closed by the caller would give its number to the next file opened, and text would land
 * in a picture. Held open the wrong way round, writing to it fails as it should. */
static void hold_streams(void)
{
    for (int stream = 0; stream <= 2; stream++) {
        if (fcntl(stream, F_GETFD) < 0 &&
            open("/dev/null", stream == 0 ? O_WRONLY : O_RDONLY) != stream)
            return;
    }
}

static tw_status print_version(tw_error *err)
{
    tw_output *out = NULL;
    tw_status status = tw_output_begin("-", &out, err);

    if (status != TW_OK)
        return status;
    tw_output_print(out, NULL, "taperwright %s\n", TW_VERSION);
    return tw_cli_finish(out, TW_OK, err);
}

/* Words that stand in the place of a command but ask about the program. */
static const char *command_word(int argc, char **argv)
{
    if (argc < 2)
        return NULL;
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)
        return "help";
    return argv[1];
}

static tw_status unknown_command(const char *word, tw_error *err)
{
    const tw_command *row;
    const char *names[32];
    const char *nearest;
    size_t count = 0;

    for (size_t n = 0; (row = tw_cli_command(n)); n++) {
        if (!row->hidden && count < sizeof names / sizeof *names)
            names[count++] = row->name;
    }
    if (word[0] == '-')
        tw_fail(err, TW_ERR_USAGE, "unknown option %s before a command", word);
    else
        tw_fail(err, TW_ERR_USAGE, "unknown command \"%s\"", word);
    nearest = tw_nearest_word(word, names, count);
    if (nearest)
        tw_error_advise(err, word, "did you mean \"%s\"?", nearest);
    else
        tw_error_advise(err, word, "\"taperwright help\" lists the commands");
    return TW_ERR_USAGE;
}

/* Letters of another font are as good, but not the same bytes. */
static void tell_font(const tw_args *args)
{
    const tw_option *row;
    char family[128];
    bool draws = false;

    for (size_t n = 0; (row = tw_cli_option(args->command, n)); n++)
        draws = draws || strcmp(row->name, "dpi") == 0;
    if (draws && args->output && !tw_draw_font(family, sizeof family))
        fprintf(stderr,
                "note: the font DejaVu Sans is not installed (Debian: fonts-dejavu-core): %s was "
                "used\n",
                family);
    if (args->output && args->missing->text[0])
        fprintf(stderr, "note: no installed font has %s: boxes were drawn; install one that has\n",
                args->missing->text);
}

static tw_status run(int argc, char **argv, tw_notes *errors)
{
    const char *word = command_word(argc, argv);
    const tw_command *command;
    tw_missing_letters missing = {""};
    tw_args args;
    tw_error err;
    tw_status status;

    if (!word) {
        tw_fail(&err, TW_ERR_USAGE, "no command given");
        tw_error_advise(&err, NULL, "\"taperwright help\" lists the commands");
        return tw_cli_give(errors, &err);
    }
    if (strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0) {
        status = print_version(&err);
        return status == TW_OK ? TW_OK : tw_cli_give(errors, &err);
    }
    command = tw_cli_command_find(word);
    if (!command) {
        unknown_command(word, &err);
        return tw_cli_give(errors, &err);
    }
    status = tw_cli_parse(command, argc - 2, argv + 2, &args, &err);
    args.missing = &missing;
    if (status != TW_OK)
        status = tw_cli_give(errors, &err);
    else if (args.help)
        status = tw_cmd_help(&args, errors);
    else
        status = command->run(&args, errors);
    if (status == TW_OK && !args.help)
        tell_font(&args);
    if (status == TW_OK && args.words) {
        status = tw_cli_describe(args.words, &err);
        if (status != TW_OK)
            tw_notes_add(errors, &err);
    }
    tw_cli_args_release(&args);
    return status;
}

int main(int argc, char **argv)
{
    tw_notes *errors = calloc(1, sizeof *errors);
    tw_status status = TW_ERR_MEMORY;

    if (errors) {
        hold_streams();
        tw_cli_catch_interrupt();
        status = run(argc, argv, errors);
        if (status == TW_ERR_INTERRUPTED && errors->count == 0)
            fputs("taperwright: stopped; nothing was written\n", stderr);
        else
            tw_cli_report(errors, "");
    } else {
        fputs("taperwright: memory ran out\n", stderr);
    }
    free(errors);
    exit(tw_cli_exit_code(status));
}
