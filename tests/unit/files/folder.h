/* folder.h: a folder of its own for each test, which must hold nothing unexpected at the end. */
#ifndef FOLDER_H
#define FOLDER_H

#include "support.h"

#include <dirent.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "taperwright/files.h"

static char folder[64];

static inline int begin_folder(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tw_files_XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

/* Path of a name in the folder; each call with its own `slot` (0 to 3) keeps its text. */
static inline const char *in_folder(const char *name, int slot)
{
    static char paths[4][160];

    snprintf(paths[slot], sizeof paths[slot], "%s/%s", folder, name);
    return paths[slot];
}

static inline int count_entries(void)
{
    DIR *listing = opendir(folder);
    int count = 0;

    assert_non_null(listing);
    while (readdir(listing))
        count++;
    closedir(listing);
    return count - 2; /* . and .. */
}

static inline int end_folder(void **state)
{
    char command[96];

    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static inline void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

static inline void assert_holds(const char *path, const char *text)
{
    char *data = NULL;
    size_t size;

    assert_int_equal(tw_file_read(path, 1 << 20, &data, &size, NULL), TW_OK);
    assert_string_equal(data, text);
    free(data);
}

#endif
