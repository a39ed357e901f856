/* batch_request.c: which rows `batch` is to make, held against the plates before the first is made. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <string.h>
#include <sys/stat.h>

/* Digits up to `end`; 0 where there are none, other letters, or too many. */
static size_t whole_number(const char *from, const char *end)
{
    size_t number = 0;

    if (from == end || end - from > 9)
        return 0;
    for (; from < end; from++) {
        if (*from < '0' || *from > '9')
            return 0;
        number = 10 * number + (size_t)(*from - '0');
    }
    return number;
}

static tw_status read_shard(const char *text, tw_batch *batch, tw_error *err)
{
    const char *slash = text ? strchr(text, '/') : NULL;

    if (!text)
        return TW_OK;
    if (slash) {
        batch->shard = whole_number(text, slash);
        batch->shard_count = whole_number(slash + 1, text + strlen(text));
    }
    if (slash && batch->shard >= 1 && batch->shard <= batch->shard_count)
        return TW_OK;
    tw_fail(err, TW_ERR_USAGE, "--shard \"%s\" is not one part of some", text);
    tw_error_advise(err, text, "write --shard 1/4 for the first of four, up to 4/4");
    return TW_ERR_USAGE;
}

static tw_status read_vary(const tw_args *args, const char *word, tw_arena *arena,
                           const tw_vary *before, size_t count, tw_vary *out, tw_error *err)
{
    const char *equals = strchr(word, '=');
    char *path;

    if (!equals || equals == word) {
        tw_fail(err, TW_ERR_USAGE, "--vary \"%s\" has no path=values", word);
        tw_error_advise(err, word, "write --vary thickness.sheet=\"1.0 mm..2.0 mm/0.1 mm\"");
        return TW_ERR_USAGE;
    }
    path = tw_arena_text(arena, word);
    if (!path)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    path[equals - word] = '\0';
    for (size_t k = 0; k < count; k++) {
        if (strcmp(before[k].path, path) == 0)
            return tw_fail(err, TW_ERR_USAGE, "--vary %s is given twice", path);
    }
    for (size_t k = 0; k < args->setting_count; k++) {
        if (strcmp(args->settings[k].path, path) == 0)
            return tw_fail(err, TW_ERR_USAGE, "--set %s and --vary %s exclude each other", path,
                           path);
    }
    return tw_vary_read(arena, path, equals + 1, out, err);
}

/* Whether no plate knows the path of the last of these settings. Plates that cannot be read have a say in
 * their rows; what comes through a pipe is read but once. */
static bool unknown_to_all(const tw_batch *batch, const tw_setting *settings, size_t count,
                           tw_error *why)
{
    const char *path = settings[count - 1].path;
    bool asked = false;

    for (size_t k = 0; k < batch->file_count; k++) {
        struct stat file;
        tw_error err;
        bool known = true;

        if (stat(batch->files[k], &file) != 0 || !S_ISREG(file.st_mode) ||
            tw_profile_knows(batch->files[k], settings, count - 1, path, &known, &err) != TW_OK)
            continue;
        if (known)
            return false;
        if (!asked)
            *why = err;
        asked = true;
    }
    return asked;
}

/* A slip in a path would fail every row. */
static tw_status check_paths(const tw_batch *batch, tw_arena *arena, tw_error *err)
{
    const size_t given = batch->setting_count, count = given + batch->vary_count;
    tw_setting *settings = tw_arena_array(arena, count + 1, sizeof *settings);

    if (!settings)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    for (size_t k = 0; k < count; k++) {
        const tw_vary *vary = k < given ? NULL : &batch->varies[k - given];
        settings[k] = vary ? (tw_setting){vary->path, vary->values[0]} : batch->settings[k];
        if (!unknown_to_all(batch, settings, k + 1, err))
            continue;
        err->status = TW_ERR_USAGE;
        tw_format(err->file, sizeof err->file, "--%s %s", vary ? "vary" : "set", settings[k].path);
        tw_utf8_tidy(err->file, true);
        return TW_ERR_USAGE;
    }
    return TW_OK;
}

tw_status tw_cli_batch_request(const tw_args *args, tw_arena *arena, tw_batch *batch, tw_error *err)
{
    tw_vary *varies = tw_arena_array(arena, TW_VARY_MAX, sizeof *varies);
    tw_status status = TW_OK;

    *batch = (tw_batch){.file_count = args->operand_count,
                        .files = args->operands,
                        .setting_count = args->setting_count,
                        .settings = args->settings,
                        .vary_count = args->vary.count,
                        .varies = varies,
                        .cells = args->grid,
                        .budget = args->budget,
                        .threads = (unsigned)args->threads};
    if (!varies)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    if (args->vary.count > TW_VARY_MAX)
        return tw_fail(err, TW_ERR_USAGE, "--vary is given %zu times; at most %d values can vary",
                       args->vary.count, (int)TW_VARY_MAX);
    if (args->resume && (!args->output || strcmp(args->output, "-") == 0))
        return tw_fail(err, TW_ERR_USAGE, "--resume needs the file to go on with: -o FILE");
    for (size_t k = 0; status == TW_OK && k < args->vary.count; k++)
        status = read_vary(args, args->vary.names[k], arena, varies, k, &varies[k], err);
    if (status == TW_OK)
        status = read_shard(args->shard, batch, err);
    if (status == TW_OK && tw_batch_rows(batch) == 0)
        status = tw_fail(err, TW_ERR_LIMIT, "these are more than %d rows", (int)TW_BATCH_ROWS);
    return status == TW_OK ? check_paths(batch, arena, err) : status;
}
