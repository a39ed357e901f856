/*
 * fault.c: preloaded into the program, lets one call that the program itself makes fail, or kills it there.
 * Calls by the libraries that it uses are let through: several of them end the process when memory runs out
 * (GLib, Cairo, Pango), which nobody who links them can change.
 *
 *   TW_FAULT=KIND:N       the N-th call of a kind, from 1; 0 never, to count them
 *   TW_FAULT_COUNTS=FILE  where to leave, at the end, a line "KIND COUNT" for each kind
 *
 * Kinds: memory, open, read, write, sync, rename, close, cut (ftruncate) fail; short (half of a write is done),
 * again (EINTR once) do not count as failures; kill ends the process before the N-th call that changes a file,
 * and half before the N-th write is done to its half.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <link.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <unistd.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);

typedef enum kind {
    MEMORY,
    OPEN,
    READ,
    WRITE,
    SYNC,
    RENAME,
    CLOSE,
    CUT,
    SHORT,
    AGAIN,
    KILL,
    HALF,
    KINDS
} kind;
static const char *const words[KINDS] = {"memory", "open", "read",  "write", "sync", "rename",
                                         "close",  "cut",  "short", "again", "kill", "half"};

static uintptr_t image_low, image_high;
static kind wanted = KINDS;
static long number, counts[KINDS];

static int first_image(struct dl_phdr_info *info, size_t size, void *context)
{
    (void)size;
    (void)context;
    for (int k = 0; k < info->dlpi_phnum; k++) {
        const ElfW(Phdr) *part = &info->dlpi_phdr[k];
        const uintptr_t from = info->dlpi_addr + part->p_vaddr;
        if (part->p_type != PT_LOAD || !(part->p_flags & PF_X))
            continue;
        image_low = from;
        image_high = from + part->p_memsz;
    }
    return 1;
}

__attribute__((constructor)) static void begin(void)
{
    const char *text = getenv("TW_FAULT");

    for (int k = 0; text && k < KINDS; k++) {
        const size_t length = strlen(words[k]);
        if (strncmp(text, words[k], length) == 0 && text[length] == ':') {
            wanted = (kind)k;
            number = atol(text + length + 1);
        }
    }
    dl_iterate_phdr(first_image, NULL); /* the program comes first */
}

__attribute__((destructor)) static void end(void)
{
    const char *path = getenv("TW_FAULT_COUNTS");
    const int file = path ? (int)syscall(SYS_open, path, O_WRONLY | O_CREAT | O_TRUNC, 0600) : -1;

    for (int k = 0; file >= 0 && k < KINDS; k++) {
        char line[64];
        const int length = snprintf(line, sizeof line, "%s %ld\n", words[k], counts[k]);
        (void)!syscall(SYS_write, file, line, (size_t)length);
    }
}

/* Whether this call is the one. */
static int due(kind what, const void *caller)
{
    const uintptr_t at = (uintptr_t)caller;

    if (at < image_low || at >= image_high)
        return 0;
    return ++counts[what] == number && wanted == what;
}

/* Before a call that changes a file. */
static void kill_when_due(const void *caller)
{
    if (due(KILL, caller))
        raise(SIGKILL);
}

#define CALLER     __builtin_return_address(0)
#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

static int fail(int why)
{
    errno = why;
    return -1;
}

void *malloc(size_t size)
{
    if (due(MEMORY, CALLER))
        return fail(ENOMEM), NULL;
    return __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    if (due(MEMORY, CALLER))
        return fail(ENOMEM), NULL;
    return __libc_calloc(count, size);
}

void *realloc(void *block, size_t size)
{
    if (due(MEMORY, CALLER))
        return fail(ENOMEM), NULL;
    return __libc_realloc(block, size);
}

void *mmap(void *at, size_t size, int protection, int flags, int file, off_t offset)
{
    if (due(MEMORY, CALLER))
        return fail(ENOMEM), MAP_FAILED;
    return REAL(mmap)(at, size, protection, flags, file, offset);
}

int open(const char *path, int flags, ...)
{
    mode_t mode = 0;
    va_list more;

    va_start(more, flags);
    if (flags & O_CREAT)
        mode = va_arg(more, mode_t);
    va_end(more);
    if (due(OPEN, CALLER))
        return fail(EMFILE);
    if (flags & O_CREAT)
        kill_when_due(CALLER);
    return REAL(open)(path, flags, mode);
}

ssize_t read(int file, void *bytes, size_t size)
{
    if (due(READ, CALLER))
        return fail(EIO);
    return REAL(read)(file, bytes, size);
}

ssize_t write(int file, const void *bytes, size_t size)
{
    if (due(WRITE, CALLER))
        return fail(ENOSPC);
    if (due(AGAIN, CALLER))
        return fail(EINTR);
    kill_when_due(CALLER);
    if (due(HALF, CALLER)) {
        (void)!REAL(write)(file, bytes, size / 2);
        raise(SIGKILL);
    }
    return REAL(write)(file, bytes, size > 1 && due(SHORT, CALLER) ? size / 2 : size);
}

int fsync(int file)
{
    if (due(SYNC, CALLER))
        return fail(EIO);
    kill_when_due(CALLER);
    return REAL(fsync)(file);
}

int rename(const char *from, const char *to)
{
    if (due(RENAME, CALLER))
        return fail(EIO);
    kill_when_due(CALLER);
    return REAL(rename)(from, to);
}

int ftruncate(int file, off_t size)
{
    if (due(CUT, CALLER))
        return fail(EIO);
    kill_when_due(CALLER);
    return REAL(ftruncate)(file, size);
}

int close(int file)
{
    const int closed = REAL(close)(file);

    return due(CLOSE, CALLER) ? fail(EIO) : closed;
}
