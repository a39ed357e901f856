/*
 * output.c: files that appear whole or not at all. Bytes go to a temporary file in the target's own
 * folder (rename() is atomic only inside one file system), are fsynced, and take the target's place
 * at the commit; the folder is fsynced so that the new name survives a power cut. Where the system
 * can, the temporary file has no name until then, so that a program that is killed leaves nothing
 * behind. A link is followed first and its real file replaced, so that the link stays. Hard links to
 * the old file keep the old bytes, and an owner other than the user is not kept: the price of the rename.
 */
#if defined(__linux__) && !defined(_GNU_SOURCE)
#define _GNU_SOURCE /* O_TMPFILE */
#endif
#include "files_internal.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { BUFFER = 65536, LINKS_MAX = 40, NAMES_MAX = 10000 };

typedef enum way {
    TO_RENAME, /* a temporary file takes the target's place */
    STRAIGHT,  /* a device or pipe: written as it comes */
    TO_STDOUT, /* held whole until the commit */
    HELD       /* until it is taken */
} way;

struct tw_output {
    way way;
    int file;                 /* -1 when there is none to close */
    char *path;               /* as given, for errors */
    char *target, *temporary; /* after links; only TO_RENAME */
    bool keep_mode;
    mode_t mode; /* of the old file, when there is one */
    char *held;
    size_t used, room;
    tw_error failure; /* the first; status TW_OK while all is well */
};

static tw_status fail_memory(tw_error *err, const char *path)
{
    tw_fail(err, TW_ERR_MEMORY, "no memory to write the file");
    if (err)
        tw_format(err->file, sizeof err->file, "%s", path);
    return TW_ERR_MEMORY;
}

static tw_status cannot_write(tw_error *err, const char *path, int number)
{
    return number == ENOMEM ? fail_memory(err, path)
                            : tw_file_fail(err, TW_ERR_FILE, path, "cannot be written", number);
}

/* Two texts joined, from malloc. */
static char *join(const char *first, size_t length, const char *second)
{
    const size_t size = length + strlen(second) + 1;
    char *whole = malloc(size);

    if (whole) {
        memcpy(whole, first, length);
        memcpy(whole + length, second, size - length);
    }
    return whole;
}

/* Length of the folder part of a path, with its slash: 0 when there is none. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? (size_t)(slash - path) + 1 : 0;
}

/* The file that a path means once every link is followed; it need not exist. */
static tw_status follow_links(const char *path, char **target, tw_error *err)
{
    char *now = join(path, strlen(path), "");

    for (int turn = 0; now; turn++) {
        char text[4096];
        const ssize_t length = readlink(now, text, sizeof text - 1);
        char *next;
        if (length < 0) { /* no link, or nothing there */
            *target = now;
            return TW_OK;
        }
        text[length] = '\0';
        if (turn == LINKS_MAX || (size_t)length == sizeof text - 1) {
            free(now);
            return tw_file_fail(err, TW_ERR_FILE, path, "cannot be written", ELOOP);
        }
        next = join(now, text[0] == '/' ? 0 : folder_length(now), text);
        free(now);
        now = next;
    }
    return fail_memory(err, path);
}

/* ---- the temporary file ------------------------------------------------------------------- */

static mode_t mode_of(const tw_output *out)
{
    return out->keep_mode ? out->mode & 0777 : 0666; /* less the umask */
}

static int create(const tw_output *out, const char *path)
{
    return open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode_of(out));
}

/* Gives the file without a name one. Returns 0, or -1 and errno. */
static int give_name(const tw_output *out, const char *path)
{
    char number[48];

    tw_format(number, sizeof number, "/proc/self/fd/%d", out->file);
    return linkat(AT_FDCWD, number, AT_FDCWD, path, AT_SYMLINK_FOLLOW);
}

/* Tries names that nobody has yet. They start with a dot and are short, so as to fit beside any target.
 * Returns what `make` did, ≥ 0, or -1 with errno; out->temporary is then NULL, as it is not ours to remove. */
static int under_new_name(tw_output *out, int (*make)(const tw_output *out, const char *path))
{
    for (unsigned number = 0; number < NAMES_MAX; number++) {
        char name[64];
        int made;
        tw_format(name, sizeof name, ".tw-%ld-%u.tmp", (long)getpid(), number);
        free(out->temporary);
        out->temporary = join(out->target, folder_length(out->target), name);
        if (!out->temporary) {
            errno = ENOMEM;
            return -1;
        }
        made = make(out, out->temporary);
        if (made >= 0)
            return made;
        if (errno != EEXIST)
            break;
    }
    free(out->temporary);
    out->temporary = NULL;
    return -1;
}

/* A file without a name; -1 where the system has no such thing, or could not name it later. */
static int open_nameless(const tw_output *out)
{
#ifdef O_TMPFILE
    char *folder = join(out->target, folder_length(out->target), ".");
    const int file = folder && access("/proc/self/fd", X_OK) == 0
                         ? open(folder, O_RDWR | O_TMPFILE | O_CLOEXEC, mode_of(out))
                         : -1;

    free(folder);
    return file;
#else
    (void)out;
    return -1;
#endif
}

static tw_status open_temporary(tw_output *out, tw_error *err)
{
    out->file = open_nameless(out);
    if (out->file < 0)
        out->file = under_new_name(out, create);
    return out->file >= 0 ? TW_OK : cannot_write(err, out->path, errno);
}

/* Puts the bytes of the file without a name into one with a name. Returns 0 or an errno. */
static int copy_to_named(tw_output *out)
{
    const int from = out->file;
    char *bytes = malloc(BUFFER);
    off_t at = 0;
    int number = bytes ? 0 : ENOMEM;

    out->file = number == 0 ? under_new_name(out, create) : -1;
    if (out->file < 0)
        number = errno;
    while (number == 0) {
        const ssize_t got = pread(from, bytes, BUFFER, at);
        if (got == 0)
            break;
        if (got > 0)
            number = tw_file_write_all(out->file, bytes, (size_t)got);
        else if (errno != EINTR)
            number = errno;
        at += got > 0 ? got : 0;
    }
    free(bytes);
    close(from);
    return number;
}

/* Decide how the target is reached, and open it. */
static tw_status open_target(tw_output *out, tw_error *err)
{
    struct stat given, real;
    tw_status status;

    if (stat(out->path, &given) != 0) {
        if (errno != ENOENT)
            return tw_file_fail(err, TW_ERR_FILE, out->path, "cannot be written", errno);
    } else if (S_ISDIR(given.st_mode)) {
        return tw_file_fail(err, TW_ERR_FILE, out->path, "cannot be written", EISDIR);
    } else if (!S_ISREG(given.st_mode)) {
        out->way = STRAIGHT;
        out->file = open(out->path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
        return out->file >= 0
                   ? TW_OK
                   : tw_file_fail(err, TW_ERR_FILE, out->path, "cannot be written", errno);
    } else {
        out->keep_mode = true;
        out->mode = given.st_mode & 07777;
        /* rename() would replace a file that its owner has protected */
        if (access(out->path, W_OK) != 0)
            return tw_file_fail(err, TW_ERR_FILE, out->path, "cannot be written", errno);
    }
    status = follow_links(out->path, &out->target, err);
    if (status != TW_OK)
        return status;
    assert(out->target);
    /* Links under /proc name files that are not where they say. */
    if (out->keep_mode && (stat(out->target, &real) != 0 || real.st_ino != given.st_ino ||
                           real.st_dev != given.st_dev))
        return tw_file_fail(err, TW_ERR_FILE, out->path, "cannot be written", ENOENT);
    return open_temporary(out, err);
}

static void release(tw_output *out)
{
    if (out->file >= 0)
        close(out->file);
    if (out->temporary)
        unlink(out->temporary);
    free(out->path);
    free(out->target);
    free(out->temporary);
    free(out->held);
    free(out);
}

/* With nothing behind it yet. */
static tw_output *begin(const char *path)
{
    tw_output *made = calloc(1, sizeof *made);

    if (!made)
        return NULL;
    made->file = -1;
    made->room = BUFFER;
    made->held = malloc(BUFFER);
    made->path = join(path, strlen(path), "");
    if (made->held && made->path)
        return made;
    release(made);
    return NULL;
}

tw_status tw_output_begin(const char *path, tw_output **out, tw_error *err)
{
    tw_output *made = begin(path);
    tw_status status;

    if (!made)
        return fail_memory(err, path);
    if (strcmp(path, "-") == 0) {
        made->way = TO_STDOUT;
    } else {
        status = open_target(made, err);
        if (status != TW_OK) {
            release(made);
            return status;
        }
    }
    *out = made;
    return TW_OK;
}

tw_status tw_output_hold(tw_output **out, tw_error *err)
{
    tw_output *made = begin("");

    if (!made)
        return fail_memory(err, "");
    made->way = HELD;
    *out = made;
    return TW_OK;
}

int tw_file_write_all(int file, const char *bytes, size_t size)
{
    while (size > 0) {
        const ssize_t done = write(file, bytes, size);
        if (done < 0 && errno == EINTR)
            continue;
        if (done < 0)
            return errno;
        bytes += done;
        size -= (size_t)done;
    }
    return 0;
}

static void fail_write(tw_output *out, int number)
{
    cannot_write(&out->failure, out->path, number);
}

static void flush(tw_output *out)
{
    const int number = tw_file_write_all(out->file, out->held, out->used);

    out->used = 0;
    if (number)
        fail_write(out, number);
}

/* Room for `size` more bytes of what is held for standard output. */
static bool make_room(tw_output *out, size_t size)
{
    size_t room = out->room;
    char *more;

    if (size <= out->room - out->used)
        return true;
    while (room - out->used < size) {
        if (room > SIZE_MAX / 2)
            return false;
        room *= 2;
    }
    more = realloc(out->held, room);
    if (!more)
        return false;
    out->held = more;
    out->room = room;
    return true;
}

static tw_status told(const tw_output *out, tw_error *err)
{
    if (err && out->failure.status != TW_OK)
        *err = out->failure;
    return out->failure.status;
}

tw_status tw_output_write(tw_output *output, const void *bytes, size_t size, tw_error *err)
{
    assert(output);
    if (output->failure.status == TW_OK && (output->way == TO_STDOUT || output->way == HELD)) {
        if (!make_room(output, size))
            fail_memory(&output->failure, output->path);
    } else if (output->failure.status == TW_OK && size > output->room - output->used) {
        flush(output);
        if (output->failure.status == TW_OK && size > output->room) {
            const int number = tw_file_write_all(output->file, bytes, size);
            if (number)
                fail_write(output, number);
            return told(output, err);
        }
    }
    if (output->failure.status == TW_OK && size > 0) {
        memcpy(output->held + output->used, bytes, size);
        output->used += size;
    }
    return told(output, err);
}

tw_status tw_output_print(tw_output *output, tw_error *err, const char *format, ...)
{
    char small[512];
    char *text = small;
    va_list arguments;
    int length;
    tw_status status;

    va_start(arguments, format);
    length = tw_format_list(small, sizeof small, format, arguments);
    va_end(arguments);
    assert(length >= 0);
    if ((size_t)length >= sizeof small) {
        text = malloc((size_t)length + 1);
        if (!text) {
            fail_memory(&output->failure, output->path);
            return told(output, err);
        }
        va_start(arguments, format);
        tw_format_list(text, (size_t)length + 1, format, arguments);
        va_end(arguments);
    }
    status = tw_output_write(output, text, (size_t)length, err);
    if (text != small)
        free(text);
    return status;
}

/* The new name itself must reach the disk. The file is in place by now and whole whatever happens,
 * and some file systems cannot sync a folder: so this has no say in the outcome. */
void tw_file_sync_folder(const char *target)
{
    char *folder = join(target, folder_length(target), ".");
    const int file = folder ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;

    if (file >= 0) {
        fsync(file);
        close(file);
    }
    free(folder);
}

/* Its mode set, on the disk. Returns 0 or an errno. */
static int settle(const tw_output *out)
{
    if (out->keep_mode && fchmod(out->file, out->mode) != 0)
        return errno;
    return fsync(out->file) == 0 ? 0 : errno;
}

/* The file as it will be but for its place. Returns 0 or an errno. */
static int make_ready(tw_output *out)
{
    int number = settle(out);

    if (number == 0 && !out->temporary && under_new_name(out, give_name) < 0) {
        number = copy_to_named(out);
        if (number == 0)
            number = settle(out);
    }
    return number;
}

static void put_in_place(tw_output *out)
{
    const int number = make_ready(out);
    int closed;

    if (number != 0) {
        fail_write(out, number);
        return;
    }
    closed = close(out->file);
    out->file = -1;
    if (closed != 0 || rename(out->temporary, out->target) != 0) {
        fail_write(out, errno);
        return;
    }
    free(out->temporary);
    out->temporary = NULL;
    tw_file_sync_folder(out->target);
}

tw_status tw_output_take(tw_output *output, const char **bytes, size_t *size, tw_error *err)
{
    assert(output && output->way == HELD);
    *bytes = output->held;
    *size = output->used;
    output->used = 0;
    return told(output, err);
}

tw_status tw_output_commit(tw_output *output, tw_error *err)
{
    tw_status status;

    assert(output && output->way != HELD);
    if (output->failure.status == TW_OK) {
        if (output->way == TO_STDOUT) {
            fflush(stdout); /* what the caller printed before comes before */
            output->file = STDOUT_FILENO;
            flush(output);
            output->file = -1;
        } else {
            flush(output);
        }
    }
    if (output->failure.status == TW_OK && output->way == TO_RENAME)
        put_in_place(output);
    if (output->failure.status == TW_OK && output->way == STRAIGHT) {
        if (close(output->file) != 0)
            fail_write(output, errno);
        output->file = -1;
    }
    status = told(output, err);
    release(output);
    return status;
}

void tw_output_abandon(tw_output *output)
{
    if (output)
        release(output);
}
