/*
 * compare.h: forged plate against sheet of the same face, even or as forming leaves it: how many grams,
 * where they sit, and how the balance moves.
 */
#ifndef TAPERWRIGHT_COMPARE_H
#define TAPERWRIGHT_COMPARE_H

#include "taperwright/base.h"
#include "taperwright/material.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Why a sheet was set beside the forged plate. */
typedef enum tw_reason {
    TW_REASON_STRIKE,    /**< sheet as thick as the thickest strike zone */
    TW_REASON_SAME_MASS, /**< sheet of the thickness that weighs the same */
    TW_REASON_STOCK,     /**< the profile's own sheet */
    TW_REASON_AS_FORMED /**< the profile's own or the nearest sheet, thinned and thickened by forming */
} tw_reason;
/** @return "strike thickness", "same mass", "own stock", "as formed". */
TW_API const char *tw_reason_word(tw_reason reason);

enum { TW_AGAINST_MAX = 4 };
/** The forged plate set against one sheet, even or as formed. Shares are of face area; where the two differ by
 * 0.001 mm or less a place counts in neither. */
typedef struct tw_against {
    tw_reason reason;
    double sheet_mm;             /**< as bought, where it is as formed */
    tw_stock nearest_stock;      /**< the real sheet nearest to sheet_mm */
    tw_weight weight;            /**< of the sheet plate */
    double difference_g;         /**< sheet − forged: > 0 where sheet is heavier */
    double difference_percent;   /**< of the forged mass */
    double centroid_shift_mm[3]; /**< forged − sheet: x, y, z */
    double thicker_share_percent, thinner_share_percent; /**< where forged is thicker, thinner */
    double saved_g; /**< grams by which forged is lighter where it is thinner, ≥ 0 */
    double kept_g;  /**< grams by which forged is heavier where it is thicker, ≥ 0 */
    double inertia_change_percent[3]; /**< forged against sheet, moments about x, y, z */
    /** Middle of this sheet if dished with the rim held: t/(1 + q²); NaN where it is as formed. */
    double dished_thinnest_mm;
    double dished_ratio; /**< q = depth over half the lesser width; NaN on a flat plate */
    /* of sheet as formed; even sheet has NULL and NaN */
    const tw_map *map;     /**< borrowed */
    double thinnest_mm;    /**< the map's */
    double thinnest_at[2]; /**< its tape coordinates */
} tw_against;

typedef struct tw_comparison {
    const tw_plate *plate;      /**< borrowed */
    const tw_plate_map *forged; /**< borrowed from the plate */
    size_t count;
    /** Strike thickness, same mass, own stock if given, as formed if appended. */
    tw_against against[TW_AGAINST_MAX];
} tw_comparison;

/** @return the row of a reason, or NULL. Strike thickness and same mass are always there. */
TW_API const tw_against *tw_comparison_row(const tw_comparison *comparison, tw_reason reason);
/**
 * @brief Compare the plate's forged map with even sheets.
 * @return TW_OK; TW_ERR_INPUT when there is no forged map; TW_ERR_UNREACHABLE when no sheet has
 * the same mass; what tw_weigh() returns for a sheet that folds
 */
TW_API tw_status tw_compare(const tw_plate *plate, unsigned threads, tw_comparison *out,
                            tw_error *err);
/**
 * @brief Append a row: the forged map against sheet as it comes from forming.
 * @param as_formed  on the plate's grid; borrowed as long as the comparison is used
 * @param stock_mm   thickness of the sheet that it was formed from
 * @return TW_OK; what tw_weigh() returns for a map that folds; the comparison is then as it was
 */
TW_API tw_status tw_compare_as_formed(tw_comparison *comparison, const tw_map *as_formed,
                                      double stock_mm, unsigned threads, tw_error *err);
/** @return q, depth of the metal over half its lesser width; NaN on a flat plate. The middle of a sheet
 * t dished to it with the rim held thins to about t/(1 + q²) (derived in src/compare/compare.c). */
TW_API double tw_dished_ratio(const tw_grid *grid);
/** @brief Difference forged − sheet at each node [mm], of row `which`; out has nu·nv values. */
TW_API void tw_compare_difference(const tw_comparison *comparison, size_t which, double *out);

/* ---- from even sheet to full taper ---------------------------------------------------------- */

/** What frames of a series have in common: where it begins. */
typedef enum tw_keep {
    TW_KEEP_GRAMS, /**< every frame weighs what the forged plate weighs: the grams stay and move */
    TW_KEEP_STOCK, /**< from the profile's own sheet */
    TW_KEEP_STRIKE /**< from sheet as thick as the thickest strike zone, which stays as it is */
} tw_keep;
/** @return "grams", "stock", "strike". */
TW_API const char *tw_keep_word(tw_keep keep);

enum { TW_FRAMES_MIN = 2, TW_FRAMES_MAX = 24 };
/** The plate with a share of its taper. */
typedef struct tw_frame_map {
    double share;              /**< 0 even sheet … 1 the forged map */
    double *node, *cell;       /**< nu·nv, (nu−1)(nv−1) [mm] */
    double thinnest, thickest; /**< [mm] */
    tw_weight weight;
    double gained_g,
        lost_g; /**< metal more, and less, than in the first frame, summed by place; ≥ 0 */
} tw_frame_map;
typedef struct tw_series {
    const tw_plate *plate; /**< borrowed */
    tw_keep keep;
    double sheet_mm; /**< of the first frame */
    size_t count;
    tw_frame_map *frames; /**< count, by rising share */
    tw_arena *arena;      /**< owns them */
} tw_series;
/**
 * @brief The plate in even steps from even sheet t₀ to its forged map t: t₀ + share·(t − t₀), and where the
 * grams are kept as much more or less everywhere as that takes (a fraction of a hundredth of a millimetre:
 * mass is not quite linear in thickness on a curved face).
 * @param count  frames, TW_FRAMES_MIN … TW_FRAMES_MAX
 * @param[out] out  pair with tw_series_release()
 * @return TW_OK; TW_ERR_DOMAIN (count); TW_ERR_INPUT (no forged map; no sheet of its own to keep); what
 * tw_weigh() returns for sheet that folds; TW_ERR_MEMORY
 */
TW_API tw_status tw_series_make(const tw_plate *plate, tw_keep keep, size_t count, unsigned threads,
                                tw_series *out, tw_error *err);
TW_API void tw_series_release(tw_series *series);

/* ---- an exercise ------------------------------------------------------------------------------ */

enum { TW_EXERCISE_POINTS = 5 };
/** A plate as an exercise with a calliper, tape and scale: what is given, and what comes out. */
typedef struct tw_exercise {
    const tw_plate *plate;      /**< borrowed */
    const tw_plate_map *forged; /**< borrowed from the plate */
    double at[TW_EXERCISE_POINTS]
             [2]; /**< tape coordinates: the thickest place, then of other thicknesses */
    double reading[TW_EXERCISE_POINTS]; /**< thickness there, to a hundredth of a millimetre */
    size_t thin;                        /**< index of the thinnest reading */
    double tape_mm;                     /**< over the face from the first point to that one */
    double mean_mm;                     /**< of the readings */
    double mean_g;            /**< area · mean_mm · density, as one works it out by hand */
    double grade;             /**< from the first point to the thinnest [mm/mm] */
    tw_comparison comparison; /**< with even sheets */
} tw_exercise;
/**
 * @brief Choose points and work the answers out.
 * @return TW_OK; TW_ERR_INPUT (no forged map); TW_ERR_SHAPE (too little metal for the points); TW_ERR_MEMORY
 */
TW_API tw_status tw_exercise_make(const tw_plate *plate, unsigned threads, tw_exercise *out,
                                  tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
