/*
 * march_each.c: several marches on one grid at the same time. Their domain is made once; each thread has
 * scratch of its own over it and takes the next march that nobody has.
 */
#include "taperwright/form.h"

#include <assert.h>
#include <stdatomic.h>

enum { WORKERS_MAX = 8 };

typedef struct marching {
    size_t count;
    tw_march_job job;
    void *context;
    tw_march *march[WORKERS_MAX];
    tw_status *status; /* count */
    tw_error *error;   /* count */
    atomic_size_t next;
} marching;

static void work_on(size_t first, size_t last, void *context)
{
    marching *work = context;

    for (size_t w = first; w < last; w++)
        for (size_t k; (k = atomic_fetch_add(&work->next, 1)) < work->count;)
            work->status[k] = work->job(work->march[w], k, work->context, &work->error[k]);
}

tw_status tw_march_each(const tw_grid *grid, size_t count, unsigned threads, tw_march_job job,
                        void *context, tw_error *err)
{
    marching work = {.count = count, .job = job, .context = context};
    size_t workers = tw_thread_count(threads);
    tw_arena *arena = tw_arena_new();
    tw_status status = TW_OK;

    assert(grid && job);
    workers = workers < count ? workers : count;
    workers = workers < WORKERS_MAX ? workers : WORKERS_MAX;
    atomic_init(&work.next, 0);
    work.status = arena ? tw_arena_array(arena, count, sizeof *work.status) : NULL;
    work.error = arena ? tw_arena_array(arena, count, sizeof *work.error) : NULL;
    if (!work.status || !work.error)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for %zu distances", count);
    for (size_t w = 0; status == TW_OK && w < workers; w++)
        status = w ? tw_march_twin(work.march[0], &work.march[w], err)
                   : tw_march_new(grid, threads, &work.march[0], err);
    if (status == TW_OK)
        tw_for_rows(workers, 1, (unsigned)workers, work_on, &work);
    for (size_t k = 0; status == TW_OK && k < count; k++)
        if (work.status[k] != TW_OK) { /* the first in the order of the marches */
            status = work.status[k];
            if (err)
                *err = work.error[k];
        }
    for (size_t w = workers; w-- > 0;)
        tw_march_free(work.march[w]);
    tw_arena_free(arena);
    return status;
}
