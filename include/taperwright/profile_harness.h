/*
 * profile_harness.h: harness files, which list plates as parts with their weighings and fittings, and
 * files of an event's least thicknesses; read and checked as a plate's profile is.
 */
#ifndef TAPERWRIGHT_PROFILE_HARNESS_H
#define TAPERWRIGHT_PROFILE_HARNESS_H

#include "taperwright/base.h"
#include "taperwright/material.h"
#include "taperwright/profile_plate.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * A harness file lists parts. Each is made of plates (profiles), or has a weighing alone, or both; with
 * `mirror: yes` it is two parts, "NAME left" and "NAME right" of the wearer, and what is said of NAME in
 * sets holds for both. Places are in the wearer's space: x to the wearer's left, y up, z to the front.
 */

/** A scale and what is known of it. */
typedef struct tw_scale_spec {
    const char *name;               /**< never NULL: "scale" when not given */
    double step;                    /**< of its display [g]; > 0 */
    double most;                    /**< it carries [g]; 0 when not given */
    double least;                   /**< load it is meant for [g]; 0 when not given */
    double check_true, check_reads; /**< a known weight and what it reads [g]; 0 when not given */
    double check_uncertainty;       /**< standard, of the known weight [g]; 0 when not given */
    tw_place place;
} tw_scale_spec;

/** One weighing as it was read. */
typedef struct tw_weighing_spec {
    size_t scale; /**< index into the scales */
    size_t read_count, alone_count;
    double *reads;   /**< repeats [g], at least one; of a held part: the holder with it */
    double *alone;   /**< of a held part: the holder without it [g]; none for a part on the pan */
    double tare;     /**< of a container, as read [g]; 0 for none */
    bool tare_exact; /**< the scale was set to nought: one rounding, not two */
    size_t part_count;
    const char **parts; /**< of parts weighed together; 0 for a part's own weighing */
    tw_place place;
} tw_weighing_spec;

/** One plate of a part. */
typedef struct tw_piece_spec {
    const char *file;    /**< of its profile, found from the harness file's folder */
    tw_profile *profile; /**< read; owned by the harness file */
    bool map_given;
    int map; /**< 0 sheet, 1 forged, 2 readings, 3 image, when given; else readings, image, forged or
                sheet */
    size_t count;             /**< that many alike, ≥ 1 */
    const char *overlap_edge; /**< edge along which the next plate lies over or under it, or NULL */
    double overlap;           /**< how far [mm]; 0 without */
    bool placed;              /**< at and turns were given */
    double at[3];             /**< where the profile's own origin lies on the wearer [mm] */
    double turn, tilt, lean;  /**< [rad] about up, across, front; lean first, turn last */
    tw_place place;
} tw_piece_spec;

/** Rivets, straps, lining of a part. */
typedef struct tw_fitting_spec {
    tw_fitting fitting; /**< row of the table, of the file's own table, or given here */
    double amount;      /**< pieces, mm or mm², as fitting.per says */
    tw_place place;
} tw_fitting_spec;

typedef struct tw_part_spec {
    const char *name, *kind; /**< neither is NULL */
    bool mirror;             /**< a pair, the other one mirrored; figures are of one */
    size_t piece_count, fitting_count;
    tw_piece_spec *pieces;
    tw_fitting_spec *fittings; /**< of one */
    bool weighed;              /**< weighing holds */
    tw_weighing_spec
        weighing;       /**< of the part, of a pair the left one; both of a pair on the pan are
                                  an entry of `together` */
    bool weighed_right; /**< weighing_right holds: of the right one of a pair */
    tw_weighing_spec weighing_right;
    double height, width;       /**< [mm], for comparison by size; 0: from its plates */
    bool placed;                /**< balance holds */
    double balance[3];          /**< balance point of a part without plates, on the wearer [mm] */
    const char *file;           /**< harness file that lists it */
    const tw_profile *document; /**< of that file, for the places of errors in it */
    tw_place place;
} tw_part_spec;

/** A named choice of parts. */
typedef struct tw_set_spec {
    const char *name;
    size_t count;
    const char **members; /**< names of parts (of a pair: both or one), kinds, or sets before it */
    tw_place place;
} tw_set_spec;

typedef struct tw_harness_file {
    const char *file;
    const char *harness; /**< its name */
    const char *note, *date;
    size_t part_count, scale_count, together_count, set_count;
    tw_part_spec *parts; /**< those of included files first, in order */
    tw_scale_spec *scales;
    tw_weighing_spec *together; /**< parts weighed together */
    tw_set_spec *sets;
    size_t profile_count;
    tw_profile **profiles; /**< each profile file read once */
    tw_profile *document;  /**< file, text and settings, for the places of errors */
    tw_arena *arena;
} tw_harness_file;
enum { TW_PARTS_MAX = 500, TW_INCLUDE_MAX = 8 /**< files within files */ };

/**
 * @brief Read and check a harness file, the harness files it includes and every plate's profile.
 * @param[out] errors  of all of them; may be NULL
 * @return TW_OK; TW_ERR_KEY (names that clash, an unknown part, scale, fitting or set, a file that
 * includes itself, an empty set); what tw_profile_read() returns
 */
TW_API tw_status tw_harness_file_read(const char *path, const tw_setting *settings,
                                      size_t setting_count, tw_harness_file **out,
                                      tw_notes *errors);
TW_API void tw_harness_file_free(tw_harness_file *file);

/** One least thickness of a rule book. */
typedef struct tw_limit_spec {
    const char *name;
    double least;        /**< [mm] */
    const char *zone;    /**< strike zone it holds in; NULL: everywhere */
    bool before_forming; /**< of the sheet as bought; else of the finished plate */
    size_t kind_count;
    const char **kinds; /**< parts it is about; 0: any */
    tw_place place;
} tw_limit_spec;
typedef struct tw_rules_file {
    const char *file, *rules; /**< rules: whose, as they call them */
    const char *note, *date;
    size_t count;
    tw_limit_spec *limits;
    tw_profile *document; /**< for the places of errors */
    tw_arena *arena;
} tw_rules_file;
/** @brief Read and check a file of least thicknesses. */
TW_API tw_status tw_rules_file_read(const char *path, const tw_setting *settings,
                                    size_t setting_count, tw_rules_file **out, tw_notes *errors);
TW_API void tw_rules_file_free(tw_rules_file *file);

#ifdef __cplusplus
}
#endif
#endif
