/*
 * fuzz_harness.c: a harness file with the profiles and harness files it names; the same bytes as a file of
 * least thicknesses too.
 * Holds: refusals are fit to be shown, with places inside the file they are about; parts, scales and sets
 * of what is accepted point at what is there, and its weighings are finite.
 */
#include "fuzz.h"

#include <math.h>

static void check_weighing(const tw_harness_file *file, const tw_weighing_spec *weighing)
{
    fuzz_require(weighing->scale < file->scale_count, "scale %zu of %zu", weighing->scale,
                 file->scale_count);
    fuzz_require(weighing->read_count > 0, "a weighing has a reading");
    for (size_t k = 0; k < weighing->read_count; k++)
        fuzz_require(isfinite(weighing->reads[k]) && weighing->reads[k] >= 0, "reads %g g",
                     weighing->reads[k]);
}

static void check_harness(const tw_harness_file *file)
{
    fuzz_require(file->part_count <= TW_PARTS_MAX, "%zu parts", file->part_count);
    for (size_t k = 0; k < file->part_count; k++) {
        const tw_part_spec *part = &file->parts[k];
        fuzz_require(part->name && *part->name, "part %zu has a name", k);
        fuzz_require(part->piece_count > 0 || part->weighed || part->fitting_count > 0,
                     "part %s has something to it", part->name);
        for (size_t p = 0; p < part->piece_count; p++)
            fuzz_require(part->pieces[p].profile && part->pieces[p].count > 0,
                         "plate %zu of %s was read", p, part->name);
        for (size_t f = 0; f < part->fitting_count; f++)
            fuzz_require(part->fittings[f].amount >= 0 && isfinite(part->fittings[f].amount),
                         "amount %g", part->fittings[f].amount);
        if (part->weighed)
            check_weighing(file, &part->weighing);
    }
    for (size_t k = 0; k < file->together_count; k++)
        check_weighing(file, &file->together[k]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_harness_file *harness = NULL;
    tw_rules_file *rules = NULL;
    tw_notes errors;
    fuzz_files files;
    tw_status status;

    fuzz_files_begin(data, size, "harness.yaml", &files);
    status = tw_harness_file_read(files.file[0].path, NULL, 0, &harness, &errors);
    if (status == TW_OK)
        check_harness(harness);
    else
        fuzz_check_refusal(status, &errors, &files);
    tw_harness_file_free(harness);
    status = tw_rules_file_read(files.file[0].path, NULL, 0, &rules, &errors);
    if (status != TW_OK)
        fuzz_check_refusal(status, &errors, &files);
    for (size_t k = 0; rules && k < rules->count; k++)
        fuzz_require(rules->limits[k].name && isfinite(rules->limits[k].least) &&
                         rules->limits[k].least > 0,
                     "limit %zu: %g mm", k, rules->limits[k].least);
    tw_rules_file_free(rules);
    fuzz_files_end(&files);
    return 0;
}
