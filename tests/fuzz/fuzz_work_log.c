/*
 * fuzz_work_log.c: what stands in a log of work. Sixteen @ in a row become the fingerprint of the goal.
 * Holds: an entry that is read has finite numbers and stands on a line of the file; one that is added
 * to a log that can be read leaves every byte before it and is read back after all the others.
 */
#include "fuzz.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "taperwright/files.h"
#include "taperwright/plan.h"

static const char PROFILE[] =
    "plate: lame\nmaterial: mild steel\nruler: mm\nform: flat\n"
    "outline: {rectangle: {at: [0, 0], across: 100 mm, up: 100 mm}}\n"
    "thickness:\n"
    "  forged: {edges: [{edge: all, thickness: 2 mm}]}\n"
    "  readings:\n"
    "    instruments: [{kind: caliper, resolution: 0.05 mm}]\n"
    "    points: [{at: [0, 0], thickness: 2.3 mm}, {at: [60, 0], thickness: 2 mm}]\n"
    "losses: {polish: 0.05 mm, trim: 8 mm}\n";

/* Made once, and kept until the process ends. */
static struct bench {
    tw_profile *profile;
    tw_plate *plate;
    tw_goal goal;
    tw_gauging gauging;
    char fingerprint[17];
} bench;

static void make_bench(void)
{
    const tw_plate_options options = {.cells = 16, .threads = 1};
    tw_error err = {0};

    fuzz_require(tw_profile_read_memory("lame.yaml", PROFILE, sizeof PROFILE - 1, NULL, 0,
                                        &bench.profile, NULL) == TW_OK,
                 "the profile is right");
    fuzz_require(tw_plate_build(bench.profile, &options, &bench.plate, &err) == TW_OK, "%s",
                 err.message);
    fuzz_require(tw_goal_make(bench.plate, NULL, NULL, 1, &bench.goal, &err) == TW_OK, "%s",
                 err.message);
    fuzz_require(tw_gauging_make(&bench.goal, &bench.profile->readings, TW_STAGE_HAMMER, 0, 700, 1,
                                 &bench.gauging, &err) == TW_OK,
                 "%s", err.message);
    tw_goal_fingerprint(&bench.goal, bench.fingerprint);
}

static void check_entries(const tw_work_log *log)
{
    for (size_t k = 0; k < log->count; k++) {
        const tw_log_entry *e = &log->entries[k];
        const double grams[] = {e->now_g,     e->move_g,     e->trim_g,       e->grind_g,
                                e->lacking_g, e->finished_g, e->finished_u_g, e->weighs_g};
        for (size_t n = 0; n < sizeof grams / sizeof *grams; n++)
            fuzz_require(isfinite(grams[n]), "line %d: %g g", e->line, grams[n]);
        fuzz_require(e->line > 0 && (k == 0 || e->line > log->entries[k - 1].line), "line %d",
                     e->line);
        fuzz_require(strcmp(e->fingerprint, bench.fingerprint) == 0, "of another goal");
    }
}

static void check_added(const fuzz_file *file, size_t count)
{
    tw_work_log log = {0};
    tw_error err = {0};
    char *bytes = NULL;
    size_t size = 0;

    fuzz_require(tw_work_log_append(file->path, &bench.goal, "2026-05-01", &bench.gauging, &err) ==
                     TW_OK,
                 "an entry is added: %s", err.message);
    fuzz_require(tw_append_read(file->path, 1 << 24, &bytes, &size, &err) == TW_OK &&
                     size > file->size && memcmp(bytes, file->data, file->size) == 0,
                 "what stood there stands there");
    free(bytes);
    fuzz_require(tw_work_log_read(file->path, &bench.goal, &log, &err) == TW_OK,
                 "a log with an entry more is read: %s", err.message);
    fuzz_require(log.count >= count + 1, "%zu entries, and one more: %zu", count, log.count);
    check_entries(&log);
    fuzz_require(strcmp(log.entries[log.count - 1].date, "2026-05-01") == 0, "it is the last one");
    tw_work_log_release(&log);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_work_log log = {0};
    tw_error err = {0};
    uint8_t *copy = malloc(size + 1);
    fuzz_files files;
    size_t count;

    if (!bench.profile)
        make_bench();
    fuzz_require(copy != NULL, "memory");
    memcpy(copy, data, size);
    for (size_t k = 0; k + 16 <= size; k++)
        if (memcmp(copy + k, "@@@@@@@@@@@@@@@@", 16) == 0)
            memcpy(copy + k, bench.fingerprint, 16);
    fuzz_files_begin(copy, size, "log.csv", &files);
    if (tw_work_log_read(files.file[0].path, &bench.goal, &log, &err) == TW_OK) {
        check_entries(&log);
        count = log.count;
        tw_work_log_release(&log);
        check_added(&files.file[0], count);
    } else {
        fuzz_check_error(&err, &files);
    }
    fuzz_files_end(&files);
    free(copy);
    return 0;
}
