/*
 * read.c: a whole file into memory, never more than its ceiling. Also the words for what the system
 * says of files: strerror() speaks the locale's language and may share its buffer between threads.
 */
#include "files_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

const char *tw_errno_text(int number)
{
    static const struct {
        int number;
        const char *text;
    } words[] = {
        {EACCES, "permission denied"},
        {EPERM, "not permitted"},
        {ENOENT, "no such file or folder"},
        {ENOTDIR, "part of the path is no folder"},
        {EISDIR, "it is a folder"},
        {ENOSPC, "no space left on the disk"},
        {EDQUOT, "the disk quota is used up"},
        {EFBIG, "the file would be too big"},
        {EIO, "the disk or device failed"},
        {EROFS, "the disk is read-only"},
        {ELOOP, "the links go in a circle"},
        {ENAMETOOLONG, "the name is too long"},
        {EMFILE, "too many files are open"},
        {ENFILE, "too many files are open"},
        {EPIPE, "nobody reads the other end"},
        {EBADF, "it is closed"},
        {ENXIO, "the device is not there"},
        {ETXTBSY, "it is a program in use"},
    };

    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        if (words[k].number == number)
            return words[k].text;
    return NULL;
}

tw_status tw_file_fail(tw_error *err, tw_status status, const char *path, const char *what,
                       int number)
{
    const char *text = tw_errno_text(number);

    if (text)
        tw_fail(err, status, "%s: %s", what, text);
    else
        tw_fail(err, status, "%s: system error %d", what, number);
    if (err)
        tw_format(err->file, sizeof err->file, "%s", path);
    return status;
}

static tw_status refuse(tw_error *err, tw_status status, const char *path, const char *why)
{
    tw_fail(err, status, "%s", why);
    if (err)
        tw_format(err->file, sizeof err->file, "%s", path);
    return status;
}

static tw_status fail_open(tw_error *err, const char *path, int number)
{
    const bool input = number == ENOENT || number == ENOTDIR || number == ENAMETOOLONG ||
                       number == ELOOP || number == EISDIR;

    return tw_file_fail(err, input ? TW_ERR_INPUT : TW_ERR_FILE, path, "cannot be read", number);
}

static tw_status fail_size(tw_error *err, const char *path, size_t ceiling)
{
    tw_fail(err, TW_ERR_LIMIT, "the file is bigger than the %zu bytes accepted", ceiling);
    if (err)
        tw_format(err->file, sizeof err->file, "%s", path);
    return TW_ERR_LIMIT;
}

/* Bytes until the end or one more than the ceiling; grows by doubling, as a pipe tells no size. */
tw_status tw_file_read_open(int file, const char *path, size_t expected, size_t ceiling,
                            char **data, size_t *size, tw_error *err)
{
    size_t room = expected + 2 < 4096 ? 4096 : expected + 2, used = 0;
    char *bytes = malloc(room);

    if (!bytes)
        return refuse(err, TW_ERR_MEMORY, path, "no memory to read the file");
    for (;;) {
        ssize_t got;
        if (used + 1 == room) {
            char *more = room <= SIZE_MAX / 2 ? realloc(bytes, 2 * room) : NULL;
            if (!more) {
                free(bytes);
                return refuse(err, TW_ERR_MEMORY, path, "no memory to read the file");
            }
            bytes = more;
            room *= 2;
        }
        got = read(file, bytes + used, room - used - 1);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            const int number = errno;
            free(bytes);
            return fail_open(err, path, number);
        }
        if (got == 0)
            break;
        used += (size_t)got;
        if (used > ceiling) {
            free(bytes);
            return fail_size(err, path, ceiling);
        }
    }
    if (used == 0) {
        free(bytes);
        return refuse(err, TW_ERR_INPUT, path, "the file is empty");
    }
    bytes[used] = '\0';
    *data = bytes;
    *size = used;
    return TW_OK;
}

tw_status tw_file_read(const char *path, size_t ceiling, char **data, size_t *size, tw_error *err)
{
    struct stat about;
    tw_status status;
    size_t expected;
    int file;

    /* Asked before opening: opening a device can do something, a terminal would wait for keys. */
    if (stat(path, &about) != 0)
        return fail_open(err, path, errno);
    if (S_ISDIR(about.st_mode))
        return refuse(err, TW_ERR_INPUT, path, "it is a folder, a file is wanted");
    if (!S_ISREG(about.st_mode) && !S_ISFIFO(about.st_mode))
        return refuse(err, TW_ERR_INPUT, path, "it is neither a regular file nor a pipe");
    file = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    if (file < 0)
        return fail_open(err, path, errno);
    expected = S_ISREG(about.st_mode) && about.st_size > 0 ? (size_t)about.st_size : 0;
    if (expected > ceiling)
        status = fail_size(err, path, ceiling);
    else
        status = tw_file_read_open(file, path, expected, ceiling, data, size, err);
    close(file);
    return status;
}
