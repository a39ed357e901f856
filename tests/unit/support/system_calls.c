#include "system_calls.h"

#include <errno.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <sys/stat.h>
#include <sys/types.h>

typedef struct plan {
    long granted, times, refused;
    int number;
} plan;

static plan plans[TEST_CALLS];
static bool halves;

void test_refuse(test_call call, long count, long times, int number)
{
    plans[call] = (plan){.granted = count, .times = times, .number = number};
}

long test_refused(test_call call)
{
    return plans[call].refused;
}

long test_grant_all(void)
{
    long refused = 0;

    for (int call = 0; call < TEST_CALLS; call++) {
        refused += plans[call].refused;
        plans[call] = (plan){0};
    }
    return refused;
}

void test_write_halves(bool wanted)
{
    halves = wanted;
}

static bool refuse(test_call call)
{
    plan *now = &plans[call];

    if (now->granted-- > 0 || now->refused >= now->times)
        return false;
    now->refused++;
    errno = now->number;
    return true;
}

int __real_open(const char *path, int flags, ...);
ssize_t __real_read(int file, void *bytes, size_t size);
ssize_t __real_write(int file, const void *bytes, size_t size);
int __real_fsync(int file);
int __real_close(int file);
int __real_rename(const char *from, const char *to);
int __real_ftruncate(int file, off_t size);
int __real_fcntl(int file, int command, ...);
int __real_fstat(int file, struct stat *about);
int __real_fchmod(int file, mode_t mode);
int __real_linkat(int from, const char *path, int to, const char *name, int flags);
ssize_t __real_pread(int file, void *bytes, size_t size, off_t at);
int __wrap_open(const char *path, int flags, ...);
ssize_t __wrap_read(int file, void *bytes, size_t size);
ssize_t __wrap_write(int file, const void *bytes, size_t size);
int __wrap_fsync(int file);
int __wrap_close(int file);
int __wrap_rename(const char *from, const char *to);
int __wrap_ftruncate(int file, off_t size);
int __wrap_fcntl(int file, int command, ...);
int __wrap_fstat(int file, struct stat *about);
int __wrap_fchmod(int file, mode_t mode);
int __wrap_linkat(int from, const char *path, int to, const char *name, int flags);
ssize_t __wrap_pread(int file, void *bytes, size_t size, off_t at);

/* The mode is handed on whether it was given or not: where it was not, it is not looked at. */
int __wrap_open(const char *path, int flags, ...)
{
    va_list more;
    mode_t mode;

    va_start(more, flags);
    mode = va_arg(more, mode_t);
    va_end(more);
    return refuse(TEST_OPEN) ? -1 : __real_open(path, flags, mode);
}

ssize_t __wrap_read(int file, void *bytes, size_t size)
{
    return refuse(TEST_READ) ? -1 : __real_read(file, bytes, size);
}

ssize_t __wrap_write(int file, const void *bytes, size_t size)
{
    return refuse(TEST_WRITE) ? -1 : __real_write(file, bytes, halves ? (size + 1) / 2 : size);
}

int __wrap_fsync(int file)
{
    return refuse(TEST_FSYNC) ? -1 : __real_fsync(file);
}

int __wrap_close(int file)
{
    const int closed = __real_close(file);

    return refuse(TEST_CLOSE) ? -1 : closed;
}

int __wrap_rename(const char *from, const char *to)
{
    return refuse(TEST_RENAME) ? -1 : __real_rename(from, to);
}

int __wrap_ftruncate(int file, off_t size)
{
    return refuse(TEST_FTRUNCATE) ? -1 : __real_ftruncate(file, size);
}

int __wrap_fcntl(int file, int command, ...)
{
    va_list more;
    void *lock;

    va_start(more, command);
    lock = va_arg(more, void *);
    va_end(more);
    return refuse(TEST_FCNTL) ? -1 : __real_fcntl(file, command, lock);
}

int __wrap_fstat(int file, struct stat *about)
{
    return refuse(TEST_FSTAT) ? -1 : __real_fstat(file, about);
}

int __wrap_fchmod(int file, mode_t mode)
{
    return refuse(TEST_FCHMOD) ? -1 : __real_fchmod(file, mode);
}

int __wrap_linkat(int from, const char *path, int to, const char *name, int flags)
{
    return refuse(TEST_LINKAT) ? -1 : __real_linkat(from, path, to, name, flags);
}

ssize_t __wrap_pread(int file, void *bytes, size_t size, off_t at)
{
    return refuse(TEST_PREAD) ? -1 : __real_pread(file, bytes, size, at);
}
