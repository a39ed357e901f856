/*
 * fuzz_profile.c: a plate's profile with the tables and pictures it names.
 * Holds: a refusal names a place inside the file it is about, and reads the same without a list for
 * errors; what is accepted is weighed at a coarse grid with finite numbers, none below 0.
 */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    tw_profile *profile = NULL;
    tw_notes errors;
    fuzz_files files;
    tw_status status;

    fuzz_files_begin(data, size, "plate.yaml", &files);
    status = tw_profile_read_memory(files.file[0].path, files.file[0].data, files.file[0].size,
                                    NULL, 0, &profile, &errors);
    if (status == TW_OK) {
        fuzz_require(errors.count == 0, "what is accepted has no error");
        fuzz_weigh(profile, &files);
        tw_profile_free(profile);
    } else {
        fuzz_require(profile == NULL, "what is refused gives nothing");
        fuzz_check_refusal(status, &errors, &files);
        fuzz_require(tw_profile_read(files.file[0].path, NULL, 0, &profile, NULL) == status,
                     "the same status from the file, without a list");
    }
    fuzz_files_end(&files);
    return 0;
}
