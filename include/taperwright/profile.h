/*
 * profile.h: what users write down (YAML): plates, harnesses, least thicknesses; and what each kind of file
 * may say: an example of every form, and every key.
 */
#ifndef TAPERWRIGHT_PROFILE_H
#define TAPERWRIGHT_PROFILE_H

#include "taperwright/base.h"
#include "taperwright/profile_harness.h"
#include "taperwright/profile_plate.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Which function reads a template. */
typedef enum tw_template_kind {
    TW_TEMPLATE_PLATE,   /**< tw_profile_read() */
    TW_TEMPLATE_HARNESS, /**< tw_harness_file_read() */
    TW_TEMPLATE_RULES    /**< tw_rules_file_read() */
} tw_template_kind;
/** A commented example profile of a form: "flat", "bowl", "loft", "points"; "area" is a plate without one,
 * "harness" a harness file, "rules" a file of least thicknesses. */
typedef struct tw_template {
    const char *form;
    const char *suits; /**< which parts of a harness, or whom, it suits */
    tw_template_kind kind;
    const char *text; /**< YAML, reads without error */
} tw_template;
TW_API const tw_template *tw_templates(size_t *count);

/** One key of the schema, for the manual's reference. */
typedef struct tw_key_info {
    const char *path;  /**< "thickness.forged.strike[].radius"; "point.…" is any point by keys */
    const char *takes; /**< "length on the plate" */
    const char *help;
    bool required;
} tw_key_info;
/** @return the schema of plate profiles flattened in reading order; count rows. */
TW_API const tw_key_info *tw_profile_keys(size_t *count);
/** @return the same of harness files and of rules files. */
TW_API const tw_key_info *tw_harness_keys(size_t *count);
TW_API const tw_key_info *tw_rules_keys(size_t *count);
/** @return the fixed list of trade kinds; count names. */
TW_API const char *const *tw_profile_kinds(size_t *count);

#ifdef __cplusplus
}
#endif
#endif
