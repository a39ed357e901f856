/*
 * rows.c: one loop over rows, shared between threads that live only for the call. A call costs some
 * tens of microseconds, which is little beside the milliseconds of work it is used for.
 */
#include "taperwright/base.h"

#include <pthread.h>
#include <stdatomic.h>
#include <unistd.h>

enum { THREADS_MAX = 64 };

typedef struct sharing {
    size_t count, block;
    tw_rows rows;
    void *context;
    atomic_size_t next; /* first row not yet taken */
} sharing;

static void *take_blocks(void *argument)
{
    sharing *work = argument;

    for (;;) {
        const size_t first = atomic_fetch_add(&work->next, work->block);
        if (first >= work->count)
            return NULL;
        work->rows(first, work->count - first < work->block ? work->count : first + work->block,
                   work->context);
    }
}

unsigned tw_thread_count(unsigned threads)
{
    const long processors = threads ? (long)threads : sysconf(_SC_NPROCESSORS_ONLN);

    return processors < 1 ? 1 : processors > THREADS_MAX ? THREADS_MAX : (unsigned)processors;
}

void tw_for_rows(size_t count, size_t block, unsigned threads, tw_rows rows, void *context)
{
    sharing work = {.count = count, .block = block ? block : 1, .rows = rows, .context = context};
    pthread_t helper[THREADS_MAX];
    const size_t wanted = tw_thread_count(threads);
    size_t helpers = 0;

    atomic_init(&work.next, 0);
    while (helpers + 1 < wanted && (helpers + 1) * work.block < count &&
           pthread_create(&helper[helpers], NULL, take_blocks, &work) == 0)
        helpers++;
    take_blocks(&work);
    for (size_t i = 0; i < helpers; i++)
        pthread_join(helper[i], NULL);
}
