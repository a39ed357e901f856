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

#ifdef __cplusplus
}
#endif
#endif
