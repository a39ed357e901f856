/*
 * fuzz.h: what the fuzz targets share. A target is one function over bytes; libFuzzer calls it with
 * what it makes up (tests/fuzz/run), replay.c with the bytes kept in seeds/. What must hold is asked by
 * fuzz_require(), which stops the process.
 */
#ifndef FUZZ_H
#define FUZZ_H

#include "taperwright/profile.h"

/** @brief Run one input. @return 0 */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/** @brief Print what failed to hold, by printf format, and abort unless it does. */
void fuzz_require(bool holds, const char *what, ...) TW_PRINTF(2, 3);

/** A file that an input brings with it. */
typedef struct fuzz_file {
    const char *data;
    size_t size;
    char name[32];
    char path[160]; /**< in the folder of this process */
} fuzz_file;
enum { FUZZ_FILES_MAX = 6 };
/** An input: a first file, and further ones, each after a line "%%% NAME". */
typedef struct fuzz_files {
    size_t count;
    fuzz_file file[FUZZ_FILES_MAX];
} fuzz_files;
/** @return the folder of this process, made at the first call and gone when it ends. */
const char *fuzz_folder(void);
/** @brief Take an input apart and write its files; `name` is that of the first. Names of others are
 * lower-case letters, digits, points and hyphens; what another name heads stays where it is. */
void fuzz_files_begin(const uint8_t *data, size_t size, const char *name, fuzz_files *out);
/** @brief Remove the files. */
void fuzz_files_end(const fuzz_files *files);

/** @brief An error is fit to be shown: a status, a message, whole letters and nothing that steers a
 * terminal; line and column lie inside the file of the input that it names. */
void fuzz_check_error(const tw_error *err, const fuzz_files *files);
/** @brief The same of every error of a refusal, and that there is one, the first of that status. */
void fuzz_check_refusal(tw_status status, const tw_notes *errors, const fuzz_files *files);

/** @brief Model a profile on the coarsest grids. What is weighed is finite, not below 0, adds up by zones
 * and lies between thinnest and thickest; a refusal is fit to be shown. */
void fuzz_weigh(const tw_profile *profile, const fuzz_files *files);

#endif
