/*
 * options.c: words of the command line into tw_args, by the option rows of a command. Long options
 * take their value after "=" or as the next word; short ones in the same word or the next; flags
 * may be bundled; "--" ends the options.
 */
#include "cli_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS_MAX = 40 };

static const tw_option help_row = {
    .name = "help", .letter = 'h', .target = offsetof(tw_args, help), .help = "print this help"};

const tw_option *tw_cli_option(const tw_command *command, size_t n)
{
    const tw_option *const lists[] = {command->options, command->more};

    for (size_t k = 0; k < 2; k++) {
        for (const tw_option *row = lists[k]; row && row->name; row++) {
            if (n-- == 0)
                return row;
        }
    }
    return n == 0 ? &help_row : NULL;
}

static const tw_option *long_option(const tw_command *command, const char *name, size_t length)
{
    const tw_option *row;

    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        if (strlen(row->name) == length && strncmp(row->name, name, length) == 0)
            return row;
    }
    return NULL;
}

static const tw_option *short_option(const tw_command *command, char letter)
{
    const tw_option *row;

    for (size_t n = 0; (row = tw_cli_option(command, n)); n++) {
        if (row->letter == letter)
            return row;
    }
    return NULL;
}

static tw_status unknown_option(const tw_command *command, const char *name, size_t length,
                                tw_error *err)
{
    const char *names[ROWS_MAX];
    const tw_option *row;
    const char *nearest;
    char word[64];
    size_t count = 0;

    if (length >= sizeof word)
        length = sizeof word - 1;
    memcpy(word, name, length);
    word[length] = '\0';
    for (size_t n = 0; (row = tw_cli_option(command, n)) && count < ROWS_MAX; n++)
        names[count++] = row->name;
    tw_fail(err, TW_ERR_USAGE, "unknown option --%s", word);
    nearest = tw_nearest_word(word, names, count);
    if (nearest)
        tw_error_advise(err, word, "did you mean --%s?", nearest);
    else
        tw_error_advise(err, word, "\"taperwright %s --help\" lists the options", command->name);
    return TW_ERR_USAGE;
}

static tw_status store_count(const tw_option *row, const char *value, size_t *target, tw_error *err)
{
    size_t number = 0;
    bool good = *value != '\0';

    for (const char *digit = value; *digit && good; digit++) {
        good = *digit >= '0' && *digit <= '9' && number <= 100000000;
        if (good)
            number = 10 * number + (size_t)(*digit - '0');
    }
    if (!good || number < row->low || number > row->high) {
        tw_fail(err, TW_ERR_USAGE, "--%s \"%s\" is not a whole number from %zu to %zu", row->name,
                value, row->low, row->high);
        tw_error_advise(err, value, "write --%s %zu, for example", row->name,
                        row->low > 128 || row->high < 128 ? row->low : (size_t)128);
        return TW_ERR_USAGE;
    }
    *target = number;
    return TW_OK;
}

/* "same-mass" stands for "same mass", so that no quotes are needed in a shell. */
static bool same_choice(const char *typed, const char *choice)
{
    for (; *typed && *choice; typed++, choice++) {
        if (*typed != *choice && !(*typed == '-' && *choice == ' '))
            return false;
    }
    return *typed == *choice;
}

static tw_status store_choice(const tw_option *row, const char *value, int *target, tw_error *err)
{
    char list[160] = "";
    const char *nearest;
    size_t count = 0;

    for (; row->choices[count]; count++) {
        if (same_choice(value, row->choices[count])) {
            *target = (int)count;
            return TW_OK;
        }
        if (strlen(list) + strlen(row->choices[count]) + 3 < sizeof list) {
            strcat(list, count ? ", " : "");
            strcat(list, row->choices[count]);
        }
    }
    tw_fail(err, TW_ERR_USAGE, "--%s \"%s\" is not one of: %s", row->name, value, list);
    nearest = tw_nearest_word(value, row->choices, count);
    if (nearest)
        tw_error_advise(err, value, "did you mean \"%s\"?", nearest);
    return TW_ERR_USAGE;
}

/* Splits path=value in place: argv is ours to write to. */
static tw_status store_setting(const tw_option *row, char *value, tw_args *args, tw_error *err)
{
    char *equals = strchr(value, '=');

    if (!equals || equals == value) {
        tw_fail(err, TW_ERR_USAGE, "--%s \"%s\" has no path=value", row->name, value);
        tw_error_advise(err, value, "write --%s thickness.sheet=\"1.6 mm\"", row->name);
        return TW_ERR_USAGE;
    }
    *equals = '\0';
    args->settings[args->setting_count].path = value;
    args->settings[args->setting_count].value = equals + 1;
    args->setting_count++;
    return TW_OK;
}

static tw_status store(const tw_option *row, char *value, tw_args *args, tw_error *err)
{
    void *target = (char *)args + row->target;

    switch (row->kind) {
    case TW_OPTION_FLAG:
        *(bool *)target = true;
        return TW_OK;
    case TW_OPTION_COUNT:
        return store_count(row, value, target, err);
    case TW_OPTION_TEXT:
        if (!*value)
            return tw_fail(err, TW_ERR_USAGE, "--%s has an empty value", row->name);
        if (*(const char **)target) /* the first would be lost without a word */
            return tw_fail(err, TW_ERR_USAGE, "--%s is given twice", row->name);
        *(const char **)target = value;
        return TW_OK;
    case TW_OPTION_CHOICE:
        return store_choice(row, value, target, err);
    case TW_OPTION_CHOICES: {
        int index = 0;
        const tw_status status = store_choice(row, value, &index, err);
        if (status == TW_OK)
            *(unsigned *)target |= 1u << index;
        return status;
    }
    case TW_OPTION_SETTING:
        return store_setting(row, value, args, err);
    case TW_OPTION_NAMES: {
        tw_name_list *list = target;
        if (!*value)
            return tw_fail(err, TW_ERR_USAGE, "--%s has an empty value", row->name);
        list->names[list->count++] = value;
        return TW_OK;
    }
    }
    return TW_OK;
}

static tw_status lacks_value(const tw_option *row, tw_error *err)
{
    tw_fail(err, TW_ERR_USAGE, "--%s lacks its value", row->name);
    tw_error_advise(err, NULL, "write --%s %s", row->name, row->argument);
    return TW_ERR_USAGE;
}

/* Both readers return how many words they used up through `used`. */
static tw_status read_long(const tw_command *command, char **words, int left, int *used,
                           tw_args *args, tw_error *err)
{
    char *name = words[0] + 2;
    char *equals = strchr(name, '=');
    const size_t length = equals ? (size_t)(equals - name) : strlen(name);
    const tw_option *row = long_option(command, name, length);

    *used = 1;
    if (!row)
        return unknown_option(command, name, length, err);
    if (row->kind == TW_OPTION_FLAG) {
        if (equals)
            return tw_fail(err, TW_ERR_USAGE, "--%s takes no value", row->name);
        return store(row, NULL, args, err);
    }
    if (equals)
        return store(row, equals + 1, args, err);
    if (left < 2)
        return lacks_value(row, err);
    *used = 2;
    return store(row, words[1], args, err);
}

static tw_status read_short(const tw_command *command, char **words, int left, int *used,
                            tw_args *args, tw_error *err)
{
    *used = 1;
    for (char *letter = words[0] + 1; *letter; letter++) {
        const tw_option *row = short_option(command, *letter);
        tw_status status;

        if (!row) {
            const bool alone = letter == words[0] + 1 && !letter[1];
            tw_fail(err, TW_ERR_USAGE, "unknown option -%c%s%s", *letter, alone ? "" : " in ",
                    alone ? "" : words[0]);
            tw_error_advise(err, words[0], "\"taperwright %s --help\" lists the options",
                            command->name);
            return TW_ERR_USAGE;
        }
        if (row->kind == TW_OPTION_FLAG) {
            status = store(row, NULL, args, err);
            if (status != TW_OK)
                return status;
            continue;
        }
        if (letter[1])
            return store(row, letter + 1, args, err);
        if (left < 2)
            return lacks_value(row, err);
        *used = 2;
        return store(row, words[1], args, err);
    }
    return TW_OK;
}

/* A profile is read by its name, which errors and the check against overwriting go by. */
static tw_status check_names(const tw_args *args, tw_error *err)
{
    for (size_t k = 0; k < args->operand_count; k++) {
        if (args->operands[k][0] == '\0')
            return tw_fail(err, TW_ERR_USAGE, "an empty word stands where %s needs %s",
                           args->command->name, args->command->operands);
        if (strcmp(args->operands[k], "-") == 0 && strstr(args->command->operands, ".yaml")) {
            tw_fail(err, TW_ERR_USAGE, "\"-\" is no profile's file name");
            tw_error_advise(err, "-", "write /dev/stdin to read standard input");
            return TW_ERR_USAGE;
        }
    }
    return TW_OK;
}

static tw_status check_operands(const tw_args *args, tw_error *err)
{
    const tw_command *command = args->command;

    if (args->help)
        return TW_OK;
    if (args->operand_count >= command->least && args->operand_count <= command->most)
        return check_names(args, err);
    if (args->operand_count < command->least)
        tw_fail(err, TW_ERR_USAGE, "%s needs %s", command->name, command->operands);
    else if (command->most == 0)
        tw_fail(err, TW_ERR_USAGE, "%s takes no \"%s\"", command->name, args->operands[0]);
    else
        tw_fail(err, TW_ERR_USAGE, "%s takes only %s; \"%s\" is too much", command->name,
                command->operands, args->operands[command->most]);
    tw_error_advise(err, NULL, "see \"taperwright %s --help\"", command->name);
    return TW_ERR_USAGE;
}

tw_status tw_cli_parse(const tw_command *command, int count, char **words, tw_args *args,
                       tw_error *err)
{
    const size_t room = count > 0 ? (size_t)count : 1;
    bool options = true;

    *args = (tw_args){.command = command,
                      .against = -1,
                      .shell = -1,
                      .map = -1,
                      .wanted = -1,
                      .worked = -1,
                      .stage = -1,
                      .what = -1};
    args->operands = calloc(room, sizeof *args->operands);
    args->settings = calloc(room, sizeof *args->settings);
    args->with.names = calloc(room, sizeof *args->with.names);
    args->without.names = calloc(room, sizeof *args->without.names);
    args->at.names = calloc(room, sizeof *args->at.names);
    args->from_blank.names = calloc(room, sizeof *args->from_blank.names);
    args->show.names = calloc(room, sizeof *args->show.names);
    args->vary.names = calloc(room, sizeof *args->vary.names);
    if (!args->operands || !args->settings || !args->with.names || !args->without.names ||
        !args->at.names || !args->from_blank.names || !args->show.names || !args->vary.names)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    for (int i = 0; i < count;) {
        tw_status status = TW_OK;
        int used = 1;

        if (options && strcmp(words[i], "--") == 0)
            options = false;
        else if (options && strncmp(words[i], "--", 2) == 0)
            status = read_long(command, words + i, count - i, &used, args, err);
        else if (options && words[i][0] == '-' && words[i][1])
            status = read_short(command, words + i, count - i, &used, args, err);
        else
            args->operands[args->operand_count++] = words[i];
        if (status != TW_OK)
            return status;
        i += used;
    }
    if (args->json && args->csv)
        return tw_fail(err, TW_ERR_USAGE, "--json and --csv exclude each other");
    if (args->describe) {
        args->words = calloc(1, sizeof *args->words);
        if (!args->words)
            return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
        if (!args->output)
            args->output = "/dev/null";
    }
    return check_operands(args, err);
}

void tw_cli_args_release(tw_args *args)
{
    free(args->operands);
    free(args->settings);
    free(args->with.names);
    free(args->without.names);
    free(args->at.names);
    free(args->from_blank.names);
    free(args->show.names);
    free(args->vary.names);
    tw_words_release(args->words);
    free(args->words);
}

tw_status tw_cli_quantity(const char *text, const char *option, tw_dimension dimension,
                          const char *right, double otherwise, double *value, tw_error *err)
{
    /* far above any plate, and any harness with its horse */
    const double most = dimension == TW_MASS ? 1e6 : dimension == TW_LENGTH ? 1e4 : INFINITY;
    tw_status status;

    *value = otherwise;
    if (!text)
        return TW_OK;
    status = tw_quantity_read(text, dimension, TW_RULER_NONE, value, err);
    if (status == TW_OK && !(*value > 0)) {
        status = tw_fail(err, TW_ERR_USAGE, "\"%s\" is not above zero", text);
        tw_error_advise(err, text, "write %s, for example", right);
    } else if (status == TW_OK && *value > most) {
        status = tw_fail(err, TW_ERR_USAGE, "\"%s\" is more than %s", text,
                         dimension == TW_MASS ? "1000 kg" : "10 m");
        tw_error_advise(err, text, "write %s, for example", right);
    }
    return tw_cli_option_fault(status, option, err);
}

tw_status tw_cli_option_fault(tw_status status, const char *option, tw_error *err)
{
    if (status != TW_OK && tw_status_exit(status) == 1)
        err->status = status = TW_ERR_USAGE;
    if (status != TW_OK)
        tw_error_within(err, "in --%s", option);
    return status;
}
