/*
 * cmd_batch.c: many plates, a line each. Lines go out as they are done, so that a file is at any moment the
 * beginning of what it will be: that is what --resume goes on from. Before it does, the last whole line is
 * made again and held against what stands there, which tells other options, a changed profile and another
 * program alike; so is the first line of every plate whose file is younger than these lines.
 */
#include "cli_commands.h"
#include "cli_internal.h"
#include "cli_weigh.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { CEILING = 1 << 30 }; /* of a file to go on with */

/* A row that stands in the file. */
typedef struct standing {
    size_t number, line; /* among the rows of all shards; of the file */
    char *text;
} standing;

typedef struct run {
    const tw_args *args;
    const tw_batch *batch;
    tw_output *line;         /* a row on its way */
    tw_append *file;         /* NULL: standard output */
    char *last;              /* the line that stands last and must come out again; else NULL */
    size_t share, done, bad; /* rows: of this shard; that are there; that failed */
    size_t begun_with;       /* rows that were there */
    standing *firsts;        /* first_count: of plates that changed since, to come out again */
    size_t first_count;
    struct stat rows;     /* of the file before it is gone on with */
    double begun, synced; /* seconds */
    tw_cli_progress progress;
    tw_status worst; /* of rows: the machine's fault before an input's */
    char told[2048]; /* the error printed last */
    tw_error err;    /* why no more rows are taken */
} run;

/* ---- lines ------------------------------------------------------------------------------------- */

static tw_status write_row(const run *r, const tw_batch_row *row, tw_error *err)
{
    if (r->args->json)
        return tw_json_print_line(tw_show_batch_json(r->batch, row), r->line, err);
    tw_show_batch_csv(r->line, r->batch, row);
    return TW_OK;
}

/* What row k of the shard begins with, without the end that a JSON object of it alone has. */
static tw_status write_place(const run *r, size_t k, const char **bytes, size_t *size,
                             tw_error *err)
{
    tw_batch_place place;
    tw_status status = TW_OK;

    tw_batch_place_of(r->batch, k, &place);
    if (r->args->json)
        status = tw_json_print_line(tw_show_batch_place_json(r->batch, &place), r->line, err);
    else
        tw_show_batch_csv_place(r->line, r->batch, &place);
    if (status == TW_OK)
        status = tw_output_take(r->line, bytes, size, err);
    if (status == TW_OK && r->args->json)
        *size -= 2; /* "}\n" */
    return status;
}

static tw_status put(run *r, const char *bytes, size_t size, bool sync, tw_error *err)
{
    tw_output *out = NULL;
    tw_status status;

    if (r->file)
        return tw_append_add(r->file, bytes, size, sync, err);
    status = tw_output_begin("-", &out, err);
    if (status != TW_OK)
        return status;
    tw_output_write(out, bytes, size, NULL); /* the commit tells what went wrong */
    return tw_output_commit(out, err);
}

/* ---- a file to go on with ------------------------------------------------------------------------ */

/* The end of the line at `from`, past its newline, or NULL where it is torn. Quotes hold newlines. */
static const char *line_end(const char *from, const char *end)
{
    bool quoted = false;

    for (; from < end; from++) {
        quoted ^= *from == '"';
        if (*from == '\n' && !quoted)
            return from + 1;
    }
    return NULL;
}

static tw_status other_rows(const run *r, size_t line, tw_error *err)
{
    tw_fail(err, TW_ERR_INPUT, "these are not the rows that this command makes");
    tw_error_advise(err, NULL, "give the options that it was begun with, or another file");
    snprintf(err->file, sizeof err->file, "%s", r->args->output);
    err->line = (int)line;
    return TW_ERR_INPUT;
}

static char *copy_line(const char *from, const char *next)
{
    char *copy = calloc((size_t)(next - from) + 1, 1);

    if (copy)
        memcpy(copy, from, (size_t)(next - from));
    return copy;
}

/* Whether a plate's file may have changed after the rows were written, by the clock of the file system. */
static bool is_younger(const char *plate, const struct stat *rows)
{
    struct stat file;

    return stat(plate, &file) == 0 && S_ISREG(file.st_mode) &&
           (file.st_mtim.tv_sec > rows->st_mtim.tv_sec ||
            (file.st_mtim.tv_sec == rows->st_mtim.tv_sec &&
             file.st_mtim.tv_nsec >= rows->st_mtim.tv_nsec));
}

/* Keeps row k of the shard, when it is the first of a plate that may have changed since. */
static tw_status keep_first(run *r, size_t k, const char *from, const char *next, size_t line,
                            tw_error *err)
{
    tw_batch_place place, before = {.file = NULL};
    standing *more;

    tw_batch_place_of(r->batch, k, &place);
    if (k > 0)
        tw_batch_place_of(r->batch, k - 1, &before);
    if (place.file == before.file || !is_younger(place.file, &r->rows))
        return TW_OK;
    more = realloc(r->firsts, (r->first_count + 1) * sizeof *more);
    if (!more)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    r->firsts = more;
    more += r->first_count;
    *more = (standing){.number = place.number, .line = line, .text = copy_line(from, next)};
    if (!more->text)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    r->first_count++;
    return TW_OK;
}

/* Counts the whole rows that stand in the file and keeps the last; *kept: bytes up to its end. */
static tw_status check_rows(run *r, const char *from, const char *end, size_t *kept, tw_error *err)
{
    const char *begin = from, *next, *bytes;
    size_t size, stands, line = 1;
    tw_status status;

    if (!r->args->json) {
        tw_show_batch_csv_head(r->line, r->batch);
        status = tw_output_take(r->line, &bytes, &size, err);
        if (status != TW_OK)
            return status;
        next = line_end(from, end);
        /* whole, or the beginning that a kill left */
        stands = (size_t)((next ? next : end) - from);
        if ((next ? stands != size : stands > size) || memcmp(from, bytes, stands) != 0)
            return other_rows(r, line, err);
        from += stands;
        line++;
        *kept = next ? size : 0;
    }
    for (; (next = line_end(from, end)); from = next, line++) {
        status = r->done < r->share ? write_place(r, r->done, &bytes, &size, err)
                                    : other_rows(r, line, err);
        if (status != TW_OK)
            return status;
        if ((size_t)(next - from) <= size || memcmp(from, bytes, size) != 0)
            return other_rows(r, line, err);
        status = keep_first(r, r->done++, from, next, line, err);
        if (status != TW_OK)
            return status;
        *kept = (size_t)(next - begin);
        free(r->last);
        r->last = copy_line(from, next);
        if (!r->last)
            return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    }
    return TW_OK;
}

static bool stopped(void *context)
{
    (void)context;
    return tw_cli_interrupted();
}

static tw_status take_first(const tw_batch_row *row, void *context)
{
    run *r = context;
    const standing *first = &r->firsts[r->first_count - 1];
    const char *bytes;
    size_t size;
    tw_status status = write_row(r, row, &r->err);

    if (status == TW_OK)
        status = tw_output_take(r->line, &bytes, &size, &r->err);
    if (status != TW_OK || (strlen(first->text) == size && memcmp(first->text, bytes, size) == 0))
        return status;
    other_rows(r, first->line, &r->err);
    tw_format(r->err.message, sizeof r->err.message,
              "%.160s has changed since, and this row comes out otherwise", row->place.file);
    tw_utf8_tidy(r->err.message, true);
    tw_error_advise(&r->err, NULL, "make a new file, for all rows alike");
    return r->err.status;
}

/* Each as a shard of its own. */
static tw_status make_firsts_again(run *r, tw_error *err)
{
    tw_status status = TW_OK;

    for (; r->first_count > 0 && status == TW_OK; r->first_count--) {
        standing *first = &r->firsts[r->first_count - 1];
        tw_batch one = *r->batch;
        one.shard = first->number;
        one.shard_count = tw_batch_rows(r->batch);
        status = tw_batch_run(&one, take_first, stopped, r, err);
        free(first->text);
    }
    if (status != TW_OK && r->err.status != TW_OK)
        *err = r->err;
    return status;
}

static tw_status there_already(const run *r, tw_error *err)
{
    tw_fail(err, TW_ERR_INPUT, "the file has something in it already");
    tw_error_advise(err, NULL, "--resume goes on with it; else name a new file");
    snprintf(err->file, sizeof err->file, "%s", r->args->output);
    return TW_ERR_INPUT;
}

static tw_status open_file(run *r, tw_error *err)
{
    const char *text;
    size_t size, kept = 0;
    tw_status status = tw_cli_output_allowed(r->args, r->args->output, err);

    if (stat(r->args->output, &r->rows) != 0)
        r->rows = (struct stat){.st_size = 0};
    if (status == TW_OK)
        status = tw_append_begin(r->args->output, CEILING, &r->file, &text, &size, err);
    if (status != TW_OK || size == 0)
        return status;
    if (!r->args->resume)
        return there_already(r, err);
    status = check_rows(r, text, text + size, &kept, err);
    if (status == TW_OK)
        status = make_firsts_again(r, err); /* before the file is touched and looks younger */
    if (status != TW_OK)
        return status;
    r->begun_with = r->done;
    return tw_append_keep(r->file, kept, err);
}

static tw_status write_head(run *r, tw_error *err)
{
    const char *bytes;
    size_t size;
    tw_status status;

    if (r->args->json || r->done > 0)
        return TW_OK;
    tw_show_batch_csv_head(r->line, r->batch);
    status = tw_output_take(r->line, &bytes, &size, err);
    return status == TW_OK ? put(r, bytes, size, false, err) : status;
}

/* ---- rows ---------------------------------------------------------------------------------------- */

/* Each error once, where one profile is wrong in a thousand rows. */
static void tell_error(run *r, const tw_batch_row *row)
{
    char text[sizeof r->told];

    r->bad++;
    if (r->worst == TW_OK || tw_status_exit(row->err.status) > tw_status_exit(r->worst))
        r->worst = row->err.status;
    tw_cli_error_text(&row->err, "", text, sizeof text);
    if (strcmp(text, r->told) == 0)
        return;
    tw_cli_progress_clear(&r->progress);
    fputs(text, stderr);
    strcpy(r->told, text);
}

static void tell_progress(run *r)
{
    const double spent = tw_cli_seconds() - r->begun;
    const double left = spent * (double)(r->share - r->done) / (double)(r->done - r->begun_with);
    char step[128];

    tw_format(step, sizeof step, "row %zu of %zu, %.0f rows/s, %.0f min %02.0f s left,", r->done,
              r->share, (double)(r->done - r->begun_with) / (spent > 0 ? spent : 1),
              (double)(long)(left / 60), left - 60 * (double)(long)(left / 60));
    tw_cli_progress_step(step, (double)r->done / (double)r->share, &r->progress);
}

static tw_status take(const tw_batch_row *row, void *context)
{
    run *r = context;
    const char *bytes;
    size_t size;
    tw_status status = write_row(r, row, &r->err);
    bool sync;

    if (status == TW_OK)
        status = tw_output_take(r->line, &bytes, &size, &r->err);
    if (status != TW_OK)
        return status;
    if (row->err.status != TW_OK)
        tell_error(r, row);
    if (r->last) { /* made again */
        const bool same = strlen(r->last) == size && memcmp(r->last, bytes, size) == 0;
        free(r->last);
        r->last = NULL;
        return same ? TW_OK : other_rows(r, r->done + (r->args->json ? 0 : 1), &r->err);
    }
    sync = r->done + 1 == r->share || tw_cli_seconds() - r->synced > 1;
    status = put(r, bytes, size, sync, &r->err);
    if (status != TW_OK)
        return status;
    if (sync)
        r->synced = tw_cli_seconds();
    r->done++;
    tell_progress(r);
    return TW_OK;
}

static tw_status make_rows(run *r, tw_batch *batch, tw_error *err)
{
    tw_status status;

    batch->skip = r->last ? r->done - 1 : r->done;
    r->begun = r->synced = tw_cli_seconds();
    status = tw_batch_run(batch, take, stopped, r, err);
    tw_cli_progress_clear(&r->progress);
    /* Whatever ended it, the rows that are done outlive a power cut; the first error is the one told. */
    if (r->file && status != TW_OK) {
        tw_error late;
        if (tw_append_sync(r->file, &late) != TW_OK && status == TW_ERR_INTERRUPTED) {
            *err = late;
            return late.status;
        }
    }
    if (status == TW_ERR_INTERRUPTED) {
        tw_fail(err, status, "stopped after %zu of %zu rows", r->done, r->share);
        if (r->file)
            tw_error_advise(err, NULL, "the same command with --resume goes on");
    } else if (status != TW_OK && r->err.status != TW_OK) {
        *err = r->err;
    } else if (status == TW_OK && r->bad > 0) {
        status = tw_fail(err, r->worst, "%zu of %zu rows failed", r->bad, r->share - batch->skip);
    }
    return status;
}

tw_status tw_cmd_batch(const tw_args *args, tw_notes *errors)
{
    tw_arena *arena = tw_arena_new();
    tw_batch batch;
    run *r = calloc(1, sizeof *r);
    tw_error err;
    tw_status status;

    tw_cli_wait_for_work(); /* rows in hand end, and the file is brought to disk */
    status = arena && r ? tw_cli_batch_request(args, arena, &batch, &err)
                        : tw_fail(&err, TW_ERR_MEMORY, "memory ran out");

    if (status == TW_OK) {
        r->args = args;
        r->batch = &batch;
        r->share = tw_batch_share(&batch);
        status = tw_output_hold(&r->line, &err);
    }
    if (status == TW_OK && args->output && strcmp(args->output, "-") != 0)
        status = open_file(r, &err);
    if (status == TW_OK)
        status = write_head(r, &err);
    if (status == TW_OK)
        status = make_rows(r, &batch, &err);
    if (status != TW_OK)
        tw_cli_give(errors, &err);
    if (r) {
        tw_append_abandon(r->file);
        tw_output_abandon(r->line);
        free(r->last);
        while (r->first_count > 0)
            free(r->firsts[--r->first_count].text);
        free(r->firsts);
    }
    free(r);
    tw_arena_free(arena);
    return status;
}
