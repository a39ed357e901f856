/*
 * run.c: rows shared between threads and given out in order. Rows are taken in order, and a finished one
 * waits in a small window until those before it are out. Whoever finishes the row that all wait for gives
 * out all that are ready. The row next to go out is always in some thread's hands, and that thread never
 * waits for the window, so that waiting ends.
 */
#include "taperwright/batch.h"
#include "taperwright/budget.h"

#include <assert.h>
#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

size_t tw_batch_rows(const tw_batch *batch)
{
    size_t rows = batch->file_count;

    for (size_t k = 0; k < batch->vary_count; k++) {
        if (batch->varies[k].count > TW_BATCH_ROWS / (rows ? rows : 1))
            return 0;
        rows *= batch->varies[k].count;
    }
    return rows <= TW_BATCH_ROWS ? rows : 0;
}

size_t tw_batch_share(const tw_batch *batch)
{
    const size_t rows = tw_batch_rows(batch);

    if (batch->shard_count == 0)
        return rows;
    return rows < batch->shard ? 0 : (rows - batch->shard) / batch->shard_count + 1;
}

void tw_batch_place_of(const tw_batch *batch, size_t k, tw_batch_place *out)
{
    const size_t row = batch->shard_count ? batch->shard - 1 + k * batch->shard_count : k;
    size_t rest = row;

    out->number = row + 1;
    for (size_t v = batch->vary_count; v-- > 0;) {
        const tw_vary *vary = &batch->varies[v];
        out->varied[v] = (tw_setting){vary->path, vary->values[rest % vary->count]};
        rest /= vary->count;
    }
    assert(rest < batch->file_count);
    out->file = batch->files[rest];
}

/* ---- one row --------------------------------------------------------------------------------- */

typedef struct slot {
    bool ready;
    tw_batch_row row;
    tw_profile *profile; /* the row's */
} slot;

typedef struct work {
    const tw_batch *batch;
    tw_batch_take take;
    tw_batch_stopped stopped;
    void *context;
    size_t first, window; /* the row that next stood at first; slots */
    slot *slots;          /* row n in slot n % window */
    pthread_mutex_t lock;
    pthread_cond_t moved;
    size_t next;      /* to be given out */
    tw_status status; /* under the lock; TW_OK while all is well */
    tw_error err;
} work;

/* tw_progress of one plate: here only a way to give up between steps. */
static bool go_on(const char *step, double share, void *context)
{
    work *w = context;

    (void)step;
    (void)share;
    return !w->stopped || !w->stopped(w->context);
}

/* The profile room knows settings by the option that it has for them. */
static void name_option(const tw_batch *batch, tw_error *err)
{
    static const char option[] = "--set ";
    const char *path = err->file + strlen(option);
    char text[sizeof err->file + 1];

    if (strncmp(err->file, option, strlen(option)) != 0)
        return;
    for (size_t k = 0; k < batch->vary_count; k++) {
        const size_t length = strlen(batch->varies[k].path);
        if (strncmp(path, batch->varies[k].path, length) != 0 || path[length] != '=')
            continue;
        tw_format(text, sizeof text, "--vary %s", path);
        text[sizeof err->file - 1] = '\0';
        tw_utf8_tidy(text, true); /* as every error is shown */
        strcpy(err->file, text);
        return;
    }
}

static tw_status read_profile(const tw_batch *batch, slot *out)
{
    tw_setting *settings = calloc(batch->setting_count + batch->vary_count + 1, sizeof *settings);
    tw_notes *errors = calloc(1, sizeof *errors);
    tw_error *err = &out->row.err;
    tw_status status = TW_ERR_MEMORY;

    if (settings && errors) {
        for (size_t k = 0; k < batch->setting_count; k++)
            settings[k] = batch->settings[k];
        for (size_t k = 0; k < batch->vary_count; k++)
            settings[batch->setting_count + k] = out->row.place.varied[k];
        status = tw_profile_read(out->row.place.file, settings,
                                 batch->setting_count + batch->vary_count, &out->profile, errors);
    }
    if (status != TW_OK && errors && errors->count > 0)
        *err = errors->items[0];
    else if (status != TW_OK)
        tw_fail(err, status, "%s", tw_status_text(status));
    name_option(batch, err);
    free(settings);
    free(errors);
    return status;
}

static void fill_maps(const tw_plate *plate, const tw_budget *budgets, tw_batch_row *row)
{
    for (size_t k = 0; k < plate->map_count; k++) {
        const tw_plate_map *from = &plate->maps[k];
        /* of readings near the edge alone what lies farther in is a guess */
        const bool guess = from->map.kind == TW_MAP_READINGS && plate->survey->edges_only;
        row->maps[from->map.kind] = (tw_batch_map){
            .given = true,
            .weight = from->weight,
            .thinnest = from->map.thinnest,
            .thickest = from->map.thickest,
            .expanded_g =
                budgets && budgets[k].count > 0 && !guess ? budgets[k].expanded : (double)NAN};
    }
}

static tw_status weigh_budgets(const tw_plate *plate, tw_batch_row *row)
{
    tw_budget budgets[TW_PLATE_MAPS_MAX];
    tw_error why[TW_PLATE_MAPS_MAX];
    const tw_status status = tw_plate_budgets(plate, 1, budgets, why, &row->err);

    if (status != TW_OK)
        return status;
    fill_maps(plate, budgets, row);
    for (size_t k = 0; k < plate->map_count; k++)
        tw_budget_release(&budgets[k]);
    return TW_OK;
}

static tw_status weigh(work *w, slot *out)
{
    const tw_plate_options options = {
        .cells = w->batch->cells, .threads = 1, .progress = go_on, .progress_context = w};
    tw_batch_row *row = &out->row;
    tw_plate *plate = NULL;
    tw_status status = read_profile(w->batch, out);

    row->profile = out->profile;
    if (status != TW_OK)
        return status;
    status = tw_plate_build(out->profile, &options, &plate, &row->err);
    if (status == TW_OK && w->batch->budget)
        status = weigh_budgets(plate, row);
    else if (status == TW_OK)
        fill_maps(plate, NULL, row);
    tw_plate_free(plate);
    if (status != TW_OK && !row->err.file[0])
        tw_format(row->err.file, sizeof row->err.file, "%s", row->place.file);
    return status;
}

/* ---- in order ---------------------------------------------------------------------------------- */

static void clear(slot *item)
{
    tw_profile_free(item->profile);
    *item = (slot){.ready = false};
}

/* Under the lock: the first thing that ends the whole. */
static void end(work *w, tw_status status, const tw_error *err)
{
    if (w->status != TW_OK)
        return;
    w->status = status;
    w->err = *err;
    pthread_cond_broadcast(&w->moved);
}

static bool ended(work *w)
{
    tw_error err;

    if (w->status == TW_OK && w->stopped && w->stopped(w->context)) {
        tw_fail(&err, TW_ERR_INTERRUPTED, "stopped before the row");
        end(w, TW_ERR_INTERRUPTED, &err);
    }
    return w->status != TW_OK;
}

static void give_out(work *w)
{
    slot *item = &w->slots[w->next % w->window];

    while (item->ready && w->status == TW_OK) {
        tw_error err;
        const tw_status status = w->take(&item->row, w->context);
        clear(item);
        w->next++;
        if (status != TW_OK) {
            tw_fail(&err, status, "%s", tw_status_text(status));
            end(w, status, &err);
        }
        item = &w->slots[w->next % w->window];
    }
    pthread_cond_broadcast(&w->moved);
}

/* Rows that end the whole and not themselves alone: the next would end the same way. */
static bool hopeless(tw_status status)
{
    return status == TW_ERR_INTERRUPTED || status == TW_ERR_MEMORY;
}

static void make_row(work *w, size_t n)
{
    slot *item = &w->slots[n % w->window];
    tw_status status;
    bool over;

    pthread_mutex_lock(&w->lock);
    while (!ended(w) && n >= w->next + w->window)
        pthread_cond_wait(&w->moved, &w->lock);
    over = ended(w);
    pthread_mutex_unlock(&w->lock);
    if (over)
        return;
    tw_batch_place_of(w->batch, n,
                      &item->row.place); /* the slot is this row's alone until it is ready */
    status = weigh(w, item);
    pthread_mutex_lock(&w->lock);
    if (hopeless(status)) {
        end(w, status, &item->row.err);
    } else {
        item->row.err.status = status;
        item->ready = true;
        give_out(w);
    }
    pthread_mutex_unlock(&w->lock);
}

static void make_rows(size_t first, size_t last, void *context)
{
    work *w = context;

    for (size_t n = first; n < last; n++)
        make_row(w, w->first + n);
}

tw_status tw_batch_run(const tw_batch *batch, tw_batch_take take, tw_batch_stopped stopped,
                       void *context, tw_error *err)
{
    const size_t share = tw_batch_share(batch),
                 window = 4 * (size_t)tw_thread_count(batch->threads);
    work w = {.batch = batch, .take = take, .stopped = stopped, .context = context};

    assert(batch->vary_count <= TW_VARY_MAX && take);
    assert(batch->shard_count == 0 || (batch->shard >= 1 && batch->shard <= batch->shard_count));
    if (batch->skip >= share)
        return TW_OK;
    w.first = w.next = batch->skip;
    w.window = window;
    w.slots = calloc(window, sizeof *w.slots);
    if (!w.slots || pthread_mutex_init(&w.lock, NULL) != 0) {
        free(w.slots);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu rows", window);
    }
    if (pthread_cond_init(&w.moved, NULL) == 0) {
        tw_for_rows(share - batch->skip, 1, batch->threads, make_rows, &w);
        pthread_cond_destroy(&w.moved);
    } else {
        w.status = tw_fail(&w.err, TW_ERR_MEMORY, "no memory for %zu rows", window);
    }
    for (size_t k = 0; k < window; k++)
        clear(&w.slots[k]);
    pthread_mutex_destroy(&w.lock);
    free(w.slots);
    if (w.status != TW_OK && err)
        *err = w.err;
    return w.status;
}
