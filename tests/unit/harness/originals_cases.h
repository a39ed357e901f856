/* originals_cases.h: sets of originals for tests, from the program and from text. */
#ifndef ORIGINALS_CASES_H
#define ORIGINALS_CASES_H

#include "support.h"

#include <stdlib.h>
#include <unistd.h>

#include "taperwright/harness.h"

static inline tw_originals *shipped_set(void)
{
    tw_originals *set = NULL;
    tw_error err;

    if (tw_originals_shipped(&set, &err) != TW_OK)
        fail_msg("line %d: %s", err.line, err.message);
    return set;
}

/* A file of its own with this text; its name is good until the next call. */
static inline const char *file_with(const char *text)
{
    static char path[64];
    int file;
    FILE *stream;

    strcpy(path, "/tmp/tw_originals_XXXXXX");
    file = mkstemp(path);
    assert_true(file >= 0);
    stream = fdopen(file, "w");
    assert_non_null(stream);
    fputs(text, stream);
    fclose(stream);
    return path;
}

static inline tw_status read_text(const char *text, tw_originals **set, tw_notes *errors)
{
    const char *path = file_with(text);
    tw_status status;

    errors->count = 0;
    status = tw_originals_read(path, set, errors);
    unlink(path);
    return status;
}

static inline tw_originals *set_of(const char *text)
{
    tw_originals *set = NULL;
    tw_notes errors;

    if (read_text(text, &set, &errors) != TW_OK)
        fail_msg("line %d: %s (%s)", errors.items[0].line, errors.items[0].message,
                 errors.items[0].value);
    return set;
}

static inline int compare_doubles(const void *a, const void *b)
{
    const double left = *(const double *)a, right = *(const double *)b;

    return left < right ? -1 : left > right;
}

/* Masses of the records that cover one piece of this kind alone, are in use, and lie before 1600 by
 * their middle year; sorted. `title` narrows to records of exactly that title, NULL: any. */
static inline size_t masses_before_1600(const tw_originals *set, const char *kind,
                                        const char *title, double *out)
{
    size_t count = 0;

    for (size_t k = 0; k < set->count; k++) {
        const tw_original *row = &set->rows[k];
        if (row->use && row->kind_count == 1 && row->kinds[0].count == 1 &&
            strcmp(row->kinds[0].kind, kind) == 0 && row->year_from + row->year_to < 3200 &&
            (!title || strcmp(row->title, title) == 0))
            out[count++] = row->g;
    }
    qsort(out, count, sizeof *out, compare_doubles);
    return count;
}

#endif
