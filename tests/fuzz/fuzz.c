/* fuzz.c: files of an input, errors fit to be shown, weighing at a coarse grid. */
#include "fuzz.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "taperwright/weigh.h"

void fuzz_require(bool holds, const char *what, ...)
{
    va_list arguments;

    if (holds)
        return;
    va_start(arguments, what);
    fputs("does not hold: ", stderr);
    vfprintf(stderr, what, arguments);
    fputs("\n", stderr);
    va_end(arguments);
    abort();
}

/* ---- files ----------------------------------------------------------------------------------- */

static char folder[100];

static void remove_folder(void)
{
    rmdir(folder);
}

/* One folder to a process, where writing costs no disk if the machine has such a place. */
const char *fuzz_folder(void)
{
    const char *place = getenv("TW_FUZZ_FOLDER");

    if (*folder)
        return folder;
    if (!place)
        place = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(folder, sizeof folder, "%.60s/taperwright-fuzz-XXXXXX", place);
    fuzz_require(mkdtemp(folder) != NULL, "a folder in %s: %s", place, strerror(errno));
    atexit(remove_folder);
    return folder;
}

static void write_file(const fuzz_file *file)
{
    FILE *out = fopen(file->path, "wb");

    fuzz_require(out && fwrite(file->data, 1, file->size, out) == file->size, "cannot write %s",
                 file->path);
    fclose(out);
}

/* The name in a line "%%% NAME\n" at the start of `at`; @return the line's length, or 0. */
static size_t heads_file(const char *at, size_t left, char name[32])
{
    size_t length = 4;

    if (left < 6 || memcmp(at, "%%% ", 4) != 0)
        return 0;
    while (length < left && length < 4 + 31 &&
           strchr("abcdefghijklmnopqrstuvwxyz0123456789.-", at[length]) && at[length])
        length++;
    if (length == 4 || length == left || at[length] != '\n' || at[4] == '.')
        return 0;
    memcpy(name, at + 4, length - 4);
    name[length - 4] = '\0';
    return length + 1;
}

static bool is_taken(const fuzz_files *files, const char *name)
{
    for (size_t k = 0; k < files->count; k++)
        if (strcmp(files->file[k].name, name) == 0)
            return true;
    return false;
}

void fuzz_files_begin(const uint8_t *data, size_t size, const char *name, fuzz_files *out)
{
    const char *bytes = (const char *)data;
    fuzz_file *file = out->file;
    size_t at = 0;

    memset(out, 0, sizeof *out);
    out->count = 1;
    snprintf(file->name, sizeof file->name, "%s", name);
    file->data = bytes;
    while (at < size) {
        const char *end = memchr(bytes + at, '\n', size - at);
        char next[32];
        const size_t heading = heads_file(bytes + at, size - at, next);
        if (heading && out->count < FUZZ_FILES_MAX && !is_taken(out, next)) {
            file = &out->file[out->count++];
            memcpy(file->name, next, sizeof next);
            file->data = bytes + at + heading;
            at += heading;
            continue;
        }
        at = end ? (size_t)(end - bytes) + 1 : size;
        file->size = (size_t)(bytes + at - file->data);
    }
    for (size_t k = 0; k < out->count; k++) {
        file = &out->file[k];
        snprintf(file->path, sizeof file->path, "%s/%s", fuzz_folder(), file->name);
        write_file(file);
    }
}

void fuzz_files_end(const fuzz_files *files)
{
    for (size_t k = 0; k < files->count; k++)
        unlink(files->file[k].path);
}

/* ---- errors ---------------------------------------------------------------------------------- */

static void check_text(const char *text, size_t size, const char *what, const tw_error *err)
{
    const char *end = memchr(text, '\0', size);
    const unsigned char *at = (const unsigned char *)text;

    fuzz_require(end != NULL, "%s is ended", what);
    while (*at) {
        const size_t letter = tw_utf8_letter(at, (size_t)((const unsigned char *)end - at));
        fuzz_require(letter > 0, "%s is UTF-8: \"%s\" in \"%s\"", what, text, err->message);
        fuzz_require(!tw_utf8_control(at, letter), "%s does not steer: \"%s\"", what, text);
        at += letter;
    }
}

/* Letters of the line-th line, or SIZE_MAX when there is no such line. A file's last line end begins one
 * more, where what is missing is told. */
static size_t letters_of_line(const fuzz_file *file, int line)
{
    const char *at = file->data, *const end = file->data + file->size;
    size_t letters = 0;

    for (int k = 1; k < line; k++) {
        at = memchr(at, '\n', (size_t)(end - at));
        if (!at)
            return SIZE_MAX;
        at++;
    }
    for (; at < end && *at != '\n'; at++)
        letters += ((unsigned char)*at & 0xC0) != 0x80;
    return letters;
}

static void check_place(const tw_error *err, const fuzz_file *file)
{
    size_t letters;

    if (err->line == 0 ||
        memchr(file->data, '\r', file->size)) /* a lone CR may end a line, or not */
        return;
    letters = letters_of_line(file, err->line);
    fuzz_require(letters != SIZE_MAX, "line %d is in the file: %s", err->line, err->message);
    fuzz_require((size_t)err->column <= letters + 1, "column %d is in line %d: %s", err->column,
                 err->line, err->message);
}

void fuzz_check_error(const tw_error *err, const fuzz_files *files)
{
    fuzz_require(err->status > TW_OK && err->status <= TW_ERR_INTERRUPTED,
                 "a refusal has a status");
    fuzz_require(err->message[0] != '\0', "a refusal says why (status %d)", (int)err->status);
    check_text(err->file, sizeof err->file, "a file's name", err);
    check_text(err->value, sizeof err->value, "a value", err);
    check_text(err->message, sizeof err->message, "a message", err);
    check_text(err->advice, sizeof err->advice, "advice", err);
    check_text(err->source, sizeof err->source, "a source line", err);
    fuzz_require(err->line >= 0 && err->column >= 0 && (err->line > 0 || err->column == 0),
                 "place %d:%d: %s", err->line, err->column, err->message);
    for (size_t k = 0; files && k < files->count; k++)
        if (strcmp(err->file, files->file[k].path) == 0)
            check_place(err, &files->file[k]);
}

void fuzz_check_refusal(tw_status status, const tw_notes *errors, const fuzz_files *files)
{
    fuzz_require(status != TW_OK && errors->count > 0, "a refusal has an error");
    fuzz_require(status == errors->items[0].status, "status %d is the first error's, %d",
                 (int)status, (int)errors->items[0].status);
    for (size_t k = 0; k < errors->count && k < TW_NOTES_MAX; k++)
        fuzz_check_error(&errors->items[k], files);
}

/* ---- weighing -------------------------------------------------------------------------------- */

static void check_map(const tw_plate *plate, const tw_plate_map *map)
{
    const tw_weight *weight = &map->weight;
    double zones = 0;

    fuzz_require(isfinite(weight->mass_g) && weight->mass_g >= 0, "mass %g", weight->mass_g);
    fuzz_require(isfinite(weight->volume_mm3) && weight->volume_mm3 >= 0, "volume %g",
                 weight->volume_mm3);
    fuzz_require(isfinite(weight->face_area_mm2) && weight->face_area_mm2 >= 0, "area %g",
                 weight->face_area_mm2);
    fuzz_require(!(weight->numerical_error_g < 0), "numerical error %g", weight->numerical_error_g);
    for (int k = 0; k < 3; k++) {
        fuzz_require(isfinite(weight->centroid_mm[k]), "centroid %g", weight->centroid_mm[k]);
        fuzz_require(isfinite(weight->inertia_g_mm2[k][k]) && weight->inertia_g_mm2[k][k] >= 0,
                     "moment of inertia %g", weight->inertia_g_mm2[k][k]);
    }
    fuzz_require(map->map.thinnest > 0 && map->map.thinnest <= map->map.thickest &&
                     isfinite(map->map.thickest),
                 "thickness %g to %g", map->map.thinnest, map->map.thickest);
    fuzz_require(isfinite(map->map.steepest_grade) && map->map.steepest_grade >= 0, "grade %g",
                 map->map.steepest_grade);
    for (size_t z = 0; z < plate->zones.count; z++) {
        fuzz_require(map->zones[z].mass_g >= 0 && map->zones[z].area_mm2 >= 0, "zone %zu: %g g", z,
                     map->zones[z].mass_g);
        zones += map->zones[z].mass_g;
    }
    fuzz_require(fabs(zones - weight->mass_g) <= 1e-9 * weight->mass_g + 1e-12,
                 "zones add up: %.17g, whole %.17g", zones, weight->mass_g);
}

void fuzz_weigh(const tw_profile *profile, const fuzz_files *files)
{
    const tw_plate_options options = {.cells = 16, .threads = 1};
    tw_plate *plate = NULL;
    tw_error err = {0};
    const tw_status status = tw_plate_build(profile, &options, &plate, &err);

    if (status != TW_OK) {
        fuzz_require(status == err.status, "status %d is the error's, %d", (int)status,
                     (int)err.status);
        fuzz_check_error(&err, files);
        return;
    }
    fuzz_require(plate->map_count > 0, "a plate has a map");
    for (size_t k = 0; k < plate->map_count; k++)
        check_map(plate, &plate->maps[k]);
    tw_plate_free(plate);
}
