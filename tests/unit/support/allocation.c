#include "allocation.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

static atomic_long allowed = -1;

void test_allow(long count)
{
    atomic_store(&allowed, count);
}

static bool grant(void)
{
    long left = atomic_load(&allowed);

    while (left > 0 && !atomic_compare_exchange_weak(&allowed, &left, left - 1))
        ;
    return left != 0;
}

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);

void *__wrap_malloc(size_t size)
{
    return grant() ? __real_malloc(size) : NULL;
}

void *__wrap_calloc(size_t count, size_t size)
{
    return grant() ? __real_calloc(count, size) : NULL;
}

void *__wrap_realloc(void *block, size_t size)
{
    return grant() ? __real_realloc(block, size) : NULL;
}
