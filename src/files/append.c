/*
 * append.c: files that only grow. One entry is written in one piece at the end (O_APPEND, so that
 * nobody's bytes are ever written over) under a lock that other programs of this kind wait for, and is
 * on disk when the call comes back; of a new file its name is too. A piece of a line that a kill left at
 * the end is closed off by the same write, never removed. What could not be written whole is cut off
 * again: then the file is as it was.
 *
 * The lock belongs to the open file, not to the process (F_OFD_SETLKW): threads wait for each other
 * too, and another descriptor of the same file can be closed meanwhile.
 */
#define _GNU_SOURCE /* F_OFD_SETLKW */
#include "files_internal.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifdef F_OFD_SETLKW
#define LOCK_AND_WAIT F_OFD_SETLKW
#else
#define LOCK_AND_WAIT F_SETLKW
#endif

struct tw_append {
    int file;
    bool regular, locked;
    char *path;
    char *text;  /* what stands there; NULL once something was added */
    size_t size; /* of all that stands there */
};

static tw_status fail(tw_error *err, const char *path, int number)
{
    return tw_file_fail(err, TW_ERR_FILE, path, "cannot be added to", number);
}

static tw_status fail_memory(tw_error *err, const char *path)
{
    tw_fail(err, TW_ERR_MEMORY, "no memory to add to the file");
    if (err)
        tw_format(err->file, sizeof err->file, "%s", path);
    return TW_ERR_MEMORY;
}

static tw_status lock(tw_append *append, tw_error *err)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};

    append->locked = fcntl(append->file, LOCK_AND_WAIT, &whole) == 0;
    if (append->locked)
        return TW_OK;
    if (errno == EINTR)
        return tw_fail(err, TW_ERR_INTERRUPTED, "interrupted while waiting for the file's lock");
    /* Some network folders know no locks: one write to the end is all that can be had there. */
    return errno == ENOLCK || errno == EINVAL || errno == ENOSYS || errno == EOPNOTSUPP
               ? TW_OK
               : fail(err, append->path, errno);
}

/* Under the lock: what stands there now. */
static tw_status read_standing(tw_append *append, size_t ceiling, tw_error *err)
{
    struct stat about;
    tw_status status;

    if (fstat(append->file, &about) != 0)
        return fail(err, append->path, errno);
    append->regular = S_ISREG(about.st_mode);
    if (S_ISDIR(about.st_mode))
        return fail(err, append->path, EISDIR);
    if (append->regular)
        status = lock(append, err);
    else
        return TW_OK;
    if (status == TW_OK && fstat(append->file, &about) != 0)
        return fail(err, append->path, errno);
    if (status != TW_OK || about.st_size == 0)
        return status;
    return tw_file_read_open(append->file, append->path, (size_t)about.st_size, ceiling,
                             &append->text, &append->size, err);
}

tw_status tw_append_begin(const char *path, size_t ceiling, tw_append **out, const char **text,
                          size_t *size, tw_error *err)
{
    tw_append *made = calloc(1, sizeof *made);
    const size_t length = strlen(path) + 1;
    tw_status status = TW_OK;

    assert(out && text && size);
    if (!made)
        return fail_memory(err, path);
    made->file = -1;
    made->path = malloc(length);
    if (!made->path) {
        tw_append_abandon(made);
        return fail_memory(err, path);
    }
    memcpy(made->path, path, length);
    made->file = open(path, O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC | O_NOCTTY, 0666);
    if (made->file < 0)
        status = fail(err, path, errno);
    else
        status = read_standing(made, ceiling, err);
    if (status != TW_OK) {
        tw_append_abandon(made);
        return status;
    }
    *out = made;
    *text = made->text ? made->text : "";
    *size = made->size;
    return TW_OK;
}

/* What closes a line that stands there torn: its open quote, and its end. */
static size_t closing(const tw_append *append, char out[2])
{
    const char *text = append->text;
    size_t at = append->size, quotes = 0, used = 0;

    if (!text || at == 0 || text[at - 1] == '\n')
        return 0;
    while (at > 0 && text[at - 1] != '\n')
        quotes += text[--at] == '"';
    if (quotes % 2)
        out[used++] = '"';
    out[used++] = '\n';
    return used;
}

static tw_status put(tw_append *append, const char *bytes, size_t size, bool sync, tw_error *err)
{
    int number = tw_file_write_all(append->file, bytes, size);

    if (append->regular && sync && number == 0 && fsync(append->file) != 0)
        number = errno;
    if (number == 0) {
        if (append->regular && append->size == 0)
            tw_file_sync_folder(append->path);
        append->size += size;
        return TW_OK;
    }
    /* Nothing of it may stay. When even that fails, the next entry closes the piece off. */
    if (append->regular && ftruncate(append->file, (off_t)append->size) != 0)
        return fail(err, append->path, number);
    return fail(err, append->path, number);
}

tw_status tw_append_add(tw_append *append, const char *bytes, size_t size, bool sync, tw_error *err)
{
    char close_off[2], *whole;
    size_t extra;
    tw_status status;

    assert(append && size > 0 && bytes[size - 1] == '\n');
    extra = closing(append, close_off);
    whole = size < SIZE_MAX - extra ? malloc(extra + size) : NULL;
    if (!whole)
        return fail_memory(err, append->path);
    memcpy(whole, close_off, extra);
    memcpy(whole + extra, bytes, size);
    status = put(append, whole, extra + size, sync, err);
    free(whole);
    if (status == TW_OK) { /* what stands there ends its line now, and is looked at no more */
        free(append->text);
        append->text = NULL;
    }
    return status;
}

tw_status tw_append_commit(tw_append *append, const char *bytes, size_t size, tw_error *err)
{
    const tw_status status = tw_append_add(append, bytes, size, true, err);

    tw_append_abandon(append);
    return status;
}

tw_status tw_append_sync(tw_append *append, tw_error *err)
{
    assert(append);
    if (append->regular && fsync(append->file) != 0)
        return fail(err, append->path, errno);
    return TW_OK;
}

tw_status tw_append_keep(tw_append *append, size_t size, tw_error *err)
{
    assert(append && size <= append->size);
    if (append->regular && size < append->size && ftruncate(append->file, (off_t)size) != 0)
        return fail(err, append->path, errno);
    append->size = size;
    return TW_OK;
}

void tw_append_abandon(tw_append *append)
{
    if (!append)
        return;
    if (append->file >= 0) {
        /* Not left to the closing: a child that was forked meanwhile holds the same open file. */
        struct flock whole = {.l_type = F_UNLCK, .l_whence = SEEK_SET};
        if (append->locked)
            (void)fcntl(append->file, LOCK_AND_WAIT, &whole);
        close(append->file);
    }
    free(append->path);
    free(append->text);
    free(append);
}

tw_status tw_append_read(const char *path, size_t ceiling, char **data, size_t *size, tw_error *err)
{
    struct stat about;
    const int missing = stat(path, &about) != 0 ? errno : 0;

    assert(data && size);
    if (missing != ENOENT && (missing != 0 || !S_ISREG(about.st_mode) || about.st_size > 0))
        return tw_file_read(path, ceiling, data, size, err);
    *data = calloc(1, 1);
    *size = 0;
    return *data ? TW_OK : fail_memory(err, path);
}
