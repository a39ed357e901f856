/*
 * failing_arena.h: an arena for one test program, in which every single request can be made to fail; the
 * library's own hands out pieces of large blocks, so few of its requests reach malloc(). Include it in
 * one file of the program: the library's arena is then not linked.
 */
#ifndef FAILING_ARENA_H
#define FAILING_ARENA_H

#include "taperwright/base.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

struct tw_arena {
    struct link {
        struct link *next;
        max_align_t start[];
    } * first;
};

static long allowed; /* requests still granted; below 0 for all */

static bool grant(void)
{
    if (allowed == 0)
        return false;
    if (allowed > 0)
        allowed--;
    return true;
}

tw_arena *tw_arena_new(void)
{
    return grant() ? calloc(1, sizeof(tw_arena)) : NULL;
}

void tw_arena_free(tw_arena *arena)
{
    if (!arena)
        return;
    for (struct link *item = arena->first, *next; item; item = next) {
        next = item->next;
        free(item);
    }
    free(arena);
}

void *tw_arena_array(tw_arena *arena, size_t count, size_t size)
{
    struct link *item = grant() ? calloc(1, sizeof *item + count * size + 1) : NULL;

    if (!item)
        return NULL;
    item->next = arena->first;
    arena->first = item;
    return item->start;
}

char *tw_arena_text(tw_arena *arena, const char *text)
{
    char *copy = tw_arena_array(arena, strlen(text) + 1, 1);

    return copy ? strcpy(copy, text) : NULL;
}

size_t tw_arena_bytes(const tw_arena *arena)
{
    (void)arena;
    return 0;
}

#endif
