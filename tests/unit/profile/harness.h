/* harness.h: reading harness files from strings and folders in the tests of the profile room. */
#ifndef HARNESS_H
#define HARNESS_H

#include "read.h"

#include "profile/harness_file_internal.h"

#include <stdlib.h>
#include <unistd.h>

#define SCALE "harness: t\nscales: [{name: kitchen, step: 1 g}]\n"
#define PARTS SCALE "parts:\n"
#define TWO                                                  \
    PARTS "  - {name: fauld, kind: fauld, weighed: 900 g}\n" \
          "  - {name: tasset, kind: tasset, mirror: yes}\n"

static inline void tell(const tw_error *e)
{
    print_error("%s:%d:%d: %s; %s\n", e->file, e->line, e->column, e->message, e->advice);
}

static inline tw_harness_file *harness_ok(const char *text, const tw_setting *settings,
                                          size_t count)
{
    tw_harness_file *file = NULL;
    tw_notes errors;

    if (tw_harness_file_read_memory("t.yaml", text, strlen(text), settings, count, &file,
                                    &errors) != TW_OK) {
        tell(&errors.items[0]);
        fail();
    }
    assert_int_equal(errors.count, 0);
    return file;
}

static inline tw_status harness_bad(const char *text, const tw_setting *settings, size_t count,
                                    tw_notes *errors)
{
    tw_harness_file *const untouched = (tw_harness_file *)(void *)errors;
    tw_harness_file *file = untouched;
    const tw_status status =
        tw_harness_file_read_memory("t.yaml", text, strlen(text), settings, count, &file, errors);

    assert_ptr_equal(file, untouched);
    if (status == TW_OK)
        print_error("read without error:\n%s", text);
    assert_true(status != TW_OK && errors->count > 0);
    assert_int_equal(status, errors->items[0].status);
    return status;
}

/* A folder of files for one test. */
typedef struct folder {
    char path[64];
    size_t count;
    char *names[16];
} folder;

static inline folder folder_begin(void)
{
    folder made = {.path = "/tmp/taperwright-XXXXXX"};

    assert_non_null(mkdtemp(made.path));
    return made;
}

static inline const char *folder_add(folder *in, const char *name, const char *text)
{
    const size_t size = sizeof in->path + strlen(name) + 2;
    char *path = malloc(size);
    FILE *file;

    assert_true(path && in->count < 16);
    in->names[in->count++] = path;
    snprintf(path, size, "%s/%s", in->path, name);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0 && fclose(file) == 0);
    return path;
}

static inline void folder_end(folder *in)
{
    for (size_t k = 0; k < in->count; k++) {
        unlink(in->names[k]);
        free(in->names[k]);
    }
    rmdir(in->path);
}

#endif
