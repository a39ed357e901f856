/*
 * replay.c: fuzz targets without a fuzzer, for any compiler: runs files through a target, whole folders
 * file by file. usage: fuzz_replay TARGET PATH...
 */
#include "fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "targets.h" /* FUZZ_TARGETS(X), from CMakeLists.txt: X(name) for each target */
#include "taperwright/files.h"

typedef int (*target)(const uint8_t *data, size_t size);
/* Each target's function is compiled under its own name here. */
#define DECLARE(name) int fuzz_##name(const uint8_t *data, size_t size);
FUZZ_TARGETS(DECLARE)
#define ROW(name) {#name, fuzz_##name},
static const struct row {
    const char *name;
    target run;
} rows[] = {FUZZ_TARGETS(ROW)};

static size_t replay_file(target run, const char *path)
{
    char *bytes = NULL, *exact;
    size_t size = 0;
    tw_error err = {0};

    if (tw_append_read(path, 64 << 20, &bytes, &size, &err) != TW_OK) {
        fprintf(stderr, "fuzz_replay: %s: %s\n", path, err.message);
        exit(2);
    }
    exact =
        malloc(size + !size); /* without the closing NUL, so that reading past the end is seen */
    fuzz_require(exact != NULL, "memory");
    if (size)
        memcpy(exact, bytes, size);
    free(bytes);
    fprintf(stderr, "%s\n", path); /* the last one named is the one that failed */
    run((const uint8_t *)exact, size);
    free(exact);
    return 1;
}

static size_t replay(target run, const char *path)
{
    DIR *folder = opendir(path);
    const struct dirent *entry;
    size_t count = 0;

    if (!folder)
        return replay_file(run, path);
    while ((entry = readdir(folder)) != NULL) {
        char inside[512];
        if (entry->d_name[0] == '.')
            continue;
        snprintf(inside, sizeof inside, "%s/%s", path, entry->d_name);
        count += replay_file(run, inside);
    }
    closedir(folder);
    return count;
}

int main(int argc, char **argv)
{
    size_t count = 0;

    for (size_t k = 0; argc > 2 && k < sizeof rows / sizeof *rows; k++)
        if (strcmp(argv[1], rows[k].name) == 0)
            for (int a = 2; a < argc; a++)
                count += replay(rows[k].run, argv[a]);
    if (count == 0) {
        fputs("usage: fuzz_replay TARGET PATH... (a target of tests/fuzz; files, or folders that "
              "are not empty)\n",
              stderr);
        return 2;
    }
    printf("%s: %zu inputs\n", argv[1], count);
    return 0;
}
