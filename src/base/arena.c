/*
 * arena.c: blocks that live and die together. An object (profile, form, grid, map) makes some tens
 * of small requests and a few of megabytes; small ones share 16 kB chunks, large ones get their own.
 */
#include "taperwright/base.h"

#include <stdlib.h>
#include <string.h>

enum { CHUNK = 16384, LARGE = 4096, ALIGN = 16, LARGE_ALIGN = 64 };

typedef struct block {
    struct block *next;
    void *memory;      /* what calloc() gave */
    size_t used, size; /* of the bytes after this head */
} block;

struct tw_arena {
    block *blocks; /* the first is the one that small requests are cut from */
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
        free(item->memory);
        item = next;
    }
    free(arena);
}

/* Zeroed by calloc: large blocks come from the system as zero pages that nothing has to touch. */
static block *new_block(size_t size)
{
    char *memory = calloc(1, LARGE_ALIGN + HEAD + size);
    block *item;

    if (!memory)
        return NULL;
    item = (block *)(void *)(memory + (LARGE_ALIGN - (uintptr_t)memory % LARGE_ALIGN));
    item->memory = memory;
    item->size = size;
    return item;
}

void *tw_arena_array(tw_arena *arena, size_t count, size_t size)
{
    size_t bytes;
    char *start;

    if (size != 0 && count > (SIZE_MAX / 4) / size)
        return NULL;
    bytes = (count * size + ALIGN - 1) / ALIGN * ALIGN;
    if (bytes == 0)
        bytes = ALIGN;
    if (bytes >= LARGE) {
        block *item = new_block(bytes);
        if (!item)
            return NULL;
        item->used = bytes;
        if (arena->blocks) { /* behind the chunk in use */
            item->next = arena->blocks->next;
            arena->blocks->next = item;
        } else {
            arena->blocks = item;
        }
        start = (char *)item + HEAD;
    } else {
        block *item = arena->blocks;
        if (!item || item->size - item->used < bytes) {
            item = new_block(CHUNK);
            if (!item)
                return NULL;
            item->next = arena->blocks;
            arena->blocks = item;
        }
        start = (char *)item + HEAD + item->used;
        item->used += bytes;
    }
    arena->bytes += bytes;
    return start;
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
