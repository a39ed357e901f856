/*
 * arena.c: blocks that live and die together. An object (profile, form, grid, map) makes some tens of
 * small requests and a few of megabytes. Small ones share chunks of 16 kB; middling ones get a block
 * of their own; arrays from 64 kB up are cut from slabs. The first slabs of an arena come from the heap,
 * which keeps what was freed, and are cleared as they are cut: most arenas stay below a megabyte, and a huge
 * page would be cleared whole for them. Later ones come straight from the system as zero pages, in
 * huge pages where it has them: on grids of 512 × 512 cells a third of the whole program's time went
 * into page faults before. Address sanitizers want every block by itself, and get it so.
 */
#if defined(__linux__) && !defined(_DEFAULT_SOURCE)
#define _DEFAULT_SOURCE /* madvise, MAP_ANONYMOUS */
#endif
#include "taperwright/base.h"

#include <stdlib.h>
#include <string.h>

#if defined(__SANITIZE_ADDRESS__) /* gcc */
#define WATCHED 1
#elif defined(__has_feature) /* clang */
#if __has_feature(address_sanitizer)
#define WATCHED 1
#endif
#endif
#ifndef WATCHED
#define WATCHED 0
#endif

#if defined(__linux__) && !WATCHED
#include <sys/mman.h>
#define SLABS 1
#else
#define SLABS 0
#endif

enum { ALIGN = 16, LARGE_ALIGN = 64 };
enum {
    CHUNK = 16384,
    OWN = 4096,
    LARGE = 65536,
    FIRST = 512 << 10,
    PAGE = 2 << 20,
    SLAB = 4 * PAGE
};

typedef struct block {
    struct block *next;
    void *memory;      /* what calloc() or mmap() gave */
    size_t mapped;     /* bytes to unmap; 0: free() it */
    bool stale;        /* not cleared yet */
    size_t used, size; /* of the bytes after this head */
} block;

struct tw_arena {
    block *blocks;       /* all of them */
    block *chunk, *slab; /* those that small requests and large arrays are cut from */
    size_t heap_slabs;   /* bytes in slabs from the heap */
    size_t bytes;
};

/* Head size rounded so that the bytes after it keep the larger alignment. */
enum { HEAD = (sizeof(block) + LARGE_ALIGN - 1) / LARGE_ALIGN * LARGE_ALIGN };

tw_arena *tw_arena_new(void)
{
    return calloc(1, sizeof(tw_arena));
}

void tw_arena_free(tw_arena *arena)
{
    if (!arena)
        return;
    for (block *item = arena->blocks; item;) {
        block *next = item->next;
#if SLABS
        if (item->mapped)
            munmap(item->memory, item->mapped);
        else
#endif
            free(item->memory);
        item = next;
    }
    free(arena);
}

static block *begin(void *memory, size_t mapped, size_t align, size_t size)
{
    const size_t off = (uintptr_t)memory % align;
    block *item = (block *)(void *)((char *)memory + (off ? align - off : 0));

    item->memory = memory;
    item->mapped = mapped;
    item->stale = false;
    item->used = 0;
    item->size = size;
    return item;
}

static block *from_heap(size_t size)
{
    void *memory = calloc(1, LARGE_ALIGN + HEAD + size);

    return memory ? begin(memory, 0, LARGE_ALIGN, size) : NULL;
}

static block *from_heap_stale(size_t size)
{
    void *memory = malloc(LARGE_ALIGN + HEAD + size);
    block *item = memory ? begin(memory, 0, LARGE_ALIGN, size) : NULL;

    if (item)
        item->stale = true;
    return item;
}

/* Zero pages for at least `size` bytes, on a huge-page boundary. */
static block *from_system(size_t size)
{
#if SLABS
    const size_t whole = (HEAD + size + PAGE - 1) / PAGE * PAGE;
    void *memory =
        mmap(NULL, whole + PAGE, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (memory == MAP_FAILED)
        return NULL;
#ifdef MADV_HUGEPAGE
    madvise(memory, whole + PAGE, MADV_HUGEPAGE); /* a wish: nothing depends on it */
#endif
    return begin(memory, whole + PAGE, PAGE, whole - HEAD);
#else
    return from_heap(size);
#endif
}

static block *new_slab(tw_arena *arena, size_t bytes)
{
    const size_t size = bytes > FIRST ? bytes : FIRST;

    if (arena->heap_slabs + size > PAGE)
        return from_system(bytes > SLAB ? bytes : SLAB);
    arena->heap_slabs += size;
    return from_heap_stale(size);
}

/* Cut from a block that is open for more, or make it anew; *open stays NULL-safe. */
static char *cut(tw_arena *arena, block **open, size_t bytes, block *fresh)
{
    block *item = fresh ? fresh : *open;
    char *start;

    if (fresh) {
        item->next = arena->blocks;
        arena->blocks = item;
        if (open && (!*open || (*open)->size - (*open)->used < fresh->size - bytes))
            *open = item;
    }
    start = (char *)item + HEAD + item->used;
    item->used += bytes;
    if (item->stale)
        memset(start, 0, bytes);
    arena->bytes += bytes;
    return start;
}

static bool has_room(const block *open, size_t bytes)
{
    return open && open->size - open->used >= bytes;
}

void *tw_arena_array(tw_arena *arena, size_t count, size_t size)
{
    size_t bytes;
    block *fresh = NULL;

    if (size != 0 && count > (SIZE_MAX / 4) / size)
        return NULL;
    bytes = count * size > 0 ? count * size : 1;
    if (bytes < OWN) {
        bytes = (bytes + ALIGN - 1) / ALIGN * ALIGN;
        if (!has_room(arena->chunk, bytes) && !(fresh = from_heap(CHUNK)))
            return NULL;
        return cut(arena, &arena->chunk, bytes, fresh);
    }
    bytes = (bytes + LARGE_ALIGN - 1) / LARGE_ALIGN * LARGE_ALIGN;
    if (bytes < LARGE || !SLABS)
        return (fresh = from_heap(bytes)) ? cut(arena, NULL, bytes, fresh) : NULL;
    if (!has_room(arena->slab, bytes) && !(fresh = new_slab(arena, bytes)))
        return NULL;
    return cut(arena, &arena->slab, bytes, fresh);
}

char *tw_arena_text(tw_arena *arena, const char *text)
{
    const size_t size = strlen(text) + 1;
    char *copy = tw_arena_array(arena, size, 1);

    if (copy)
        memcpy(copy, text, size);
    return copy;
}

size_t tw_arena_bytes(const tw_arena *arena)
{
    return arena ? arena->bytes : 0;
}
