/*
 * work_readings.c: readings of work in progress, from a table that is no part of the profile. It is
 * read as readings_table.c reads the profile's own; points that wait to be read have no thickness yet.
 */
#include "profile_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double CALIPER_STEP = 0.05; /* [mm]: of a common dial or vernier caliper */

/* The profile's instruments, or a common caliper. */
static void take_instruments(tw_reader *reader, const tw_profile *profile, tw_work_readings *made,
                             tw_readings_spec *spec)
{
    tw_instrument *caliper;

    spec->instruments = profile->readings.instruments;
    spec->instrument_count = profile->readings.instrument_count;
    if (profile->has_readings && spec->instrument_count > 0)
        return;
    made->assumed = true;
    caliper = tw_reader_array(reader, 1, sizeof *caliper);
    spec->instruments = caliper;
    spec->instrument_count = caliper ? 1 : 0;
    if (caliper)
        *caliper = (tw_instrument){
            .name = "caliper", .kind = TW_CALIPER, .resolution = CALIPER_STEP, .reach = INFINITY};
}

static void read_table(tw_reader *reader, const tw_profile *profile, const tw_table *table,
                       tw_work_readings *made)
{
    tw_readings_keys keys = {
        .spec = {.trend = TW_TREND_EVEN, .surface = profile->readings.surface}};
    tw_reading_keys *rows;
    size_t count = 0;

    if (!profile->has_readings)
        keys.spec.surface = (double)NAN;
    keys.spec.file = reader->profile->readings.file;
    take_instruments(reader, profile, made, &keys.spec);
    rows = tw_readings_rows(reader, &keys, table, &made->unread, &count);
    if (reader->errors.count > 0 || reader->no_memory)
        return;
    if (count == 0) {
        reader->table = keys.spec.file;
        tw_reader_fault(reader, (tw_place){0, 0}, TW_ERR_INPUT, NULL,
                        "write what the gauge says into its column \"thickness\"",
                        "no row of the table has a thickness yet");
        reader->table = NULL;
        return;
    }
    tw_readings_join(reader, &keys, rows, count);
    made->spec = keys.spec;
}

/* Errors of a table that could not be opened or split. */
static tw_status open_table(const char *path, tw_table **table, tw_notes *errors)
{
    tw_notes own;
    const tw_status status = tw_table_read(path, table, &own);

    if (status != TW_OK && errors)
        *errors = own;
    return status;
}

tw_status tw_work_readings_read(const tw_profile *profile, const char *path, tw_work_readings *out,
                                tw_notes *errors)
{
    tw_work_readings made = {0};
    tw_reader *reader = NULL;
    tw_profile own = *profile; /* its text is for carets; `readings.file` is this table */
    tw_table *table = NULL;
    tw_status status;

    assert(profile && path && out);
    if (errors)
        errors->count = 0;
    status = open_table(path, &table, errors);
    if (status != TW_OK)
        return status;
    reader = calloc(1, sizeof *reader);
    made.arena = reader ? tw_arena_new() : NULL;
    own.readings.file = made.arena ? tw_arena_text(made.arena, path) : NULL;
    status = TW_ERR_MEMORY;
    if (own.readings.file) {
        reader->profile = &own;
        reader->arena = made.arena;
        read_table(reader, profile, table, &made);
        status = tw_reader_status(reader);
    }
    if (status == TW_OK) {
        *out = made;
        made.arena = NULL;
    } else if (status == TW_ERR_MEMORY) {
        tw_reader_memory(path, "the readings", errors);
    } else if (errors) {
        *errors = reader->errors;
    }
    tw_arena_free(made.arena);
    tw_table_free(table);
    free(reader);
    return status;
}

void tw_work_readings_release(tw_work_readings *readings)
{
    if (!readings)
        return;
    tw_arena_free(readings->arena);
    memset(readings, 0, sizeof *readings);
}
