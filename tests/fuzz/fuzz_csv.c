/*
 * fuzz_csv.c: the same bytes to every reader of tables: any table, records of originals, readings of
 * a profile and of work in progress, and points of a scan.
 * Holds: a table written out again with every cell in quotes reads back cell by cell; rows lie on
 * rising lines of the file; what is in a set of originals weighs more than nothing, and what is out says
 * why; readings are finite; refusals name a place inside the table.
 */
#include "fuzz.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "taperwright/files.h"
#include "taperwright/harness.h"

/* ---- any table --------------------------------------------------------------------------------- */

static void put_cell(FILE *out, const char *cell, bool last, char separator)
{
    fputc('"', out);
    for (; *cell; cell++) {
        fputc(*cell, out);
        if (*cell == '"')
            fputc('"', out);
    }
    fputc('"', out);
    fputc(last ? '\n' : separator, out);
}

static void check_again(const tw_table *table)
{
    tw_table *again = NULL;
    tw_notes errors;
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    fuzz_require(out != NULL, "memory");
    for (size_t c = 0; c < table->columns; c++)
        put_cell(out, table->header[c], c + 1 == table->columns, table->separator);
    for (size_t r = 0; r < table->rows; r++)
        for (size_t c = 0; c < table->columns; c++)
            put_cell(out, table->cell[r * table->columns + c], c + 1 == table->columns,
                     table->separator);
    fclose(out);
    fuzz_require(tw_table_read_memory("again", text, size, &again, &errors) == TW_OK,
                 "a table written again is read: %s\n%s", errors.items[0].message, text);
    fuzz_require(again->columns == table->columns && again->rows == table->rows,
                 "%zu rows of %zu, not %zu of %zu", again->rows, again->columns, table->rows,
                 table->columns);
    for (size_t k = 0; k < table->rows * table->columns; k++)
        fuzz_require(strcmp(again->cell[k], table->cell[k]) == 0, "cell %zu: \"%s\", not \"%s\"", k,
                     again->cell[k], table->cell[k]);
    tw_table_free(again);
    free(text);
}

static void try_table(const fuzz_files *files)
{
    const fuzz_file *file = &files->file[0];
    tw_table *table = NULL;
    tw_notes errors;
    const tw_status status =
        tw_table_read_memory(file->path, file->data, file->size, &table, &errors);
    int before = 0;

    if (status != TW_OK) {
        fuzz_check_refusal(status, &errors, files);
        return;
    }
    for (size_t r = 0; r < table->rows; r++) {
        tw_error err = {0};
        fuzz_require(table->line[r] > before, "row %zu on line %d", r, table->line[r]);
        before = table->line[r];
        for (size_t c = 0; c < table->columns; c++) {
            tw_fail(&err, TW_ERR_DOMAIN, "a cell");
            tw_table_place(table, table->cell[r * table->columns + c], &err);
            fuzz_check_error(&err, files);
            fuzz_require(err.line >= table->line[r], "a cell of line %d at %d", table->line[r],
                         err.line);
        }
    }
    check_again(table);
    tw_table_free(table);
}

/* ---- originals, readings, points ----------------------------------------------------------------- */

static void try_originals(const fuzz_files *files)
{
    tw_originals *originals = NULL;
    tw_notes errors;
    const tw_status status = tw_originals_read(files->file[0].path, &originals, &errors);

    if (status != TW_OK) {
        fuzz_check_refusal(status, &errors, files);
        return;
    }
    for (size_t k = 0; k < originals->count; k++) {
        const tw_original *row = &originals->rows[k];
        fuzz_require(row->use == (row->why == NULL), "row of line %d: in, or out and why",
                     row->line);
        fuzz_require(!row->use || (isfinite(row->g) && row->g > 0), "line %d: %g g", row->line,
                     row->g);
        fuzz_require(!(row->u_g < 0), "line %d: ± %g g", row->line, row->u_g);
        for (size_t n = 0; n < row->kind_count; n++)
            fuzz_require(row->kinds[n].kind && row->kinds[n].count > 0, "line %d: kinds",
                         row->line);
    }
    for (size_t k = 0; k < originals->warnings.count && k < TW_NOTES_MAX; k++)
        fuzz_require(originals->warnings.items[k].message[0], "a warning says what");
    tw_originals_free(originals);
}

static const char READINGS[] =
    "plate: t\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {rectangle: {at: [0, 0], across: 150 mm, up: 120 mm}}\n"
    "thickness:\n  readings:\n    instruments:\n"
    "      - {name: calliper, kind: caliper, resolution: 0.05 mm}\n"
    "      - {name: echo, kind: ultrasonic, resolution: 0.01 mm, set velocity: 5900 m/s,\n"
    "         metal velocity: 5900 m/s}\n";
static const char POINTS[] =
    "plate: t\nmaterial: mild steel\nruler: mm\nform: {points: {file: table.csv}}\n"
    "thickness: {sheet: 1.5 mm}\n";

static tw_profile *profile_of(const fuzz_files *files, const char *text)
{
    tw_profile *profile = NULL;
    tw_notes errors;
    char path[200];
    tw_status status;

    snprintf(path, sizeof path, "%.*splate.yaml",
             (int)(strrchr(files->file[0].path, '/') - files->file[0].path + 1),
             files->file[0].path);
    status = tw_profile_read_memory(path, text, strlen(text), NULL, 0, &profile, &errors);
    if (status != TW_OK)
        fuzz_check_refusal(status, &errors, files);
    return profile;
}

static void check_readings(const tw_readings_spec *spec)
{
    for (size_t k = 0; k < spec->reading_count; k++) {
        const tw_reading *reading = &spec->readings[k];
        fuzz_require(isfinite(reading->thickness) && reading->thickness > 0, "reading %s: %g mm",
                     reading->name, reading->thickness);
        fuzz_require(reading->repeats > 0 && reading->spread >= 0, "reading %s: %zu times, ± %g",
                     reading->name, reading->repeats, reading->spread);
        fuzz_require(reading->instrument < spec->instrument_count, "reading %s: its instrument",
                     reading->name);
    }
}

static void try_readings(const fuzz_files *files)
{
    char text[sizeof READINGS + 40];
    tw_profile *profile;

    snprintf(text, sizeof text, "%s    file: table.csv\n", READINGS);
    profile = profile_of(files, text);
    if (!profile)
        return;
    check_readings(&profile->readings);
    fuzz_weigh(profile, files);
    tw_profile_free(profile);
}

static void try_work(const fuzz_files *files)
{
    char text[sizeof READINGS + 120];
    tw_work_readings work = {0};
    tw_profile *profile;
    tw_notes errors;
    tw_status status;

    snprintf(text, sizeof text,
             "%s    points: [{at: [0, 0], thickness: 1.5 mm, instrument: echo}]\n", READINGS);
    profile = profile_of(files, text);
    fuzz_require(profile != NULL, "the profile of work in progress is right");
    status = tw_work_readings_read(profile, files->file[0].path, &work, &errors);
    if (status == TW_OK)
        check_readings(&work.spec);
    else
        fuzz_check_refusal(status, &errors, files);
    tw_work_readings_release(&work);
    tw_profile_free(profile);
}

static void try_points(const fuzz_files *files)
{
    tw_profile *profile = profile_of(files, POINTS);

    if (!profile)
        return;
    fuzz_weigh(profile, files);
    tw_profile_free(profile);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_files files;

    fuzz_files_begin(data, size, "table.csv", &files);
    try_table(&files);
    try_originals(&files);
    try_readings(&files);
    try_work(&files);
    try_points(&files);
    fuzz_files_end(&files);
    return 0;
}
