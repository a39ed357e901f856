/*
 * plan_map.h: the thickness that reaches a weight, the lightest map that keeps every least thickness and is
 * nowhere steeper than a grade, and what one costs of the other.
 */
#ifndef TAPERWRIGHT_PLAN_MAP_H
#define TAPERWRIGHT_PLAN_MAP_H

#include "taperwright/base.h"
#include "taperwright/thickness.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Thicknesses that are tried [mm]: thinner is foil, thicker is not hammered cold by hand (common
 * practice, no source). */
#define TW_PLAN_THINNEST 0.1
#define TW_PLAN_THICKEST 10.0
/** Step that a thickness is rounded to when none is asked for: what a dial caliper reads [mm]. */
#define TW_PLAN_ROUND 0.05

/** One number of the profile that a plan changes. */
typedef struct tw_plan_change {
    const char *name;   /**< "edge arm left", "strike zone heart", "sheet", "band", "hold" */
    double before_mm;   /**< as the profile has it */
    double exact_mm;    /**< that meets the target */
    double rounded_mm;  /**< to the gauge's step */
    const char *edge;   /**< of an edge, else NULL */
    const char *strike; /**< of a strike zone, else NULL */
} tw_plan_change;

/* ---- reach a weight ---------------------------------------------------------------------- */

/** One quantity changed so that the plate weighs what is wanted. */
typedef struct tw_reach {
    const char *by; /**< as asked for */
    size_t change_count;
    tw_plan_change *changes; /**< more than one keep their proportion */
    double before_g, target_g;
    double round_mm;    /**< step */
    double half_step_g; /**< what half a step in every change may still move the mass */
    tw_map map;         /**< with rounded numbers; kind sheet or forged */
    tw_weight weight;   /**< of that map; its numerical error is the plate's own map's */
    size_t trials;      /**< masses worked out on the way */
    tw_arena *arena;
} tw_reach;
/**
 * @brief Change one named quantity until the forged map (or the sheet) weighs `target_g`: Brent's
 * method. Between thicknesses of its neighbours of the same kind a forged map is affine in one of them,
 * so that two maps hold all between. Distances are the plate's own.
 * @param by        "strike.NAME", "strike.all", "edges.NAME", "edges.all" (all: by one factor), "hold"
 *                  (of every edge), "band", "sheet". Of a symmetric plate NAME means both sides
 * @param round_mm  0: TW_PLAN_ROUND for thicknesses, 1 mm for hold and band
 * @param[out] out  borrows the plate; pair with tw_reach_release()
 * @return TW_OK; TW_ERR_KEY (no such quantity); TW_ERR_INPUT (no forged map, no sheet, a band without
 * law held); TW_ERR_DOMAIN (weight or step not above 0); TW_ERR_UNREACHABLE with the range;
 * TW_ERR_SHAPE (a plate that folds); TW_ERR_MEMORY
 */
TW_API tw_status tw_plan_reach(const tw_plate *plate, const char *by, double target_g,
                               double round_mm, unsigned threads, tw_reach *out, tw_error *err);
TW_API void tw_reach_release(tw_reach *reach);

/* ---- the least graded map ------------------------------------------------------------------ */

/** What a map must keep: thick enough in every strike zone, along every edge, everywhere; nowhere
 * steeper than a grade. */
typedef struct tw_plan_request {
    double least_mm;  /**< everywhere; > 0 */
    double grade;     /**< steepest [mm per mm]; > 0, or NaN with within_mm */
    double within_mm; /**< in place of a grade: from the thickest strike zone down to the thinnest
                           edge (else least_mm) over this length; NaN when a grade is given */
    double weight_g;  /**< no heavier than this; NaN without */
    const char *by;   /**< what a weight changes: as of tw_plan_reach(), strike or edges; NULL:
                          "strike.all" */
    double round_mm;  /**< 0: TW_PLAN_ROUND */
} tw_plan_request;

/** How one requirement comes out. */
typedef struct tw_requirement {
    const char *name;  /**< "strike zone heart", "edge arm left" */
    double asked_mm;   /**< by the profile: what its plan keeps there, else its forged map */
    double planned_mm; /**< asked for, or what the weight leaves, rounded */
    double raised_mm;  /**< greatest thickness the map has there */
    double raised_at[2];
    const char *raised_by; /**< whose slope makes it so; NULL when nothing does */
    double reach_mm;       /**< how far out it carries before its slope is down to least_mm */
    double mass_g;         /**< what the map would weigh less without it */
} tw_requirement;

typedef enum tw_plan_stock {
    TW_PLAN_STOCK_NONE,    /**< the profile gives no sheet */
    TW_PLAN_STOCK_THICKER, /**< than the map anywhere: drawn out everywhere */
    TW_PLAN_STOCK_BETWEEN, /**< thinner where the map is thickest: metal has to be gathered there */
    TW_PLAN_STOCK_THIN, /**< thinner than the mean: not enough without a blank larger than the face */
    TW_PLAN_STOCK_TOO_THIN /**< thinner than the map everywhere */
} tw_plan_stock;

typedef struct tw_least {
    size_t count;
    tw_requirement *requirements; /**< strike zones, then edges */
    double grade;                 /**< used [mm per mm] */
    double asked_g;               /**< of the map with everything as asked for */
    bool has_weight, fits;        /**< fits: with everything as asked for */
    double weight_g;              /**< limit asked for; NaN without */
    const char *changed; /**< the first requirement that the weight changes; NULL without */
    double changed_asked_mm;
    double greatest_mm;         /**< of it that fits, exact; INFINITY when over TW_PLAN_THICKEST */
    double greatest_rounded_mm; /**< rounded down */
    double bare_g;              /**< with what the weight changes left out */
    double more_g, more_mm;     /**< what so many grams more would buy; NaN without weight */
    double gentler, gentler_mm; /**< what a gentler grade would cost; NaN without weight */
    tw_plan_stock stock;
    tw_map map;       /**< kind forged: planned, rounded */
    tw_weight weight; /**< its numerical error from this grid and one half as fine */
    tw_arena *arena;
} tw_least;

/** Distances from every strike zone and edge with a thickness, the plate's own taper's or marched; each map from then on is
 * one pass. What the profile's plan keeps stands in place of the forged map's thicknesses, and an edge
 * that only the plan names is a requirement of its own. Opaque. */
typedef struct tw_plan tw_plan;
/** @param[out] out  borrows the plate; pair with tw_plan_free()
 * @return TW_OK; TW_ERR_INPUT (no strike zone and no edge has a thickness); TW_ERR_SHAPE; TW_ERR_KEY;
 * TW_ERR_MEMORY */
TW_API tw_status tw_plan_open(const tw_plate *plate, unsigned threads, tw_plan **out,
                              tw_error *err);
TW_API void tw_plan_free(tw_plan *plan);
/** @return the thinnest that is asked for anywhere [mm]: a plan's least thickness when none is given. */
TW_API double tw_plan_thinnest(const tw_plan *plan);
/**
 * @brief The least map t(x) = max over requirements k of (r_k − g·d_k(x)), d_k the distance over the
 * plate less its hold: the least of all maps that are ≥ r_k there and nowhere steeper than g, at every
 * point, and so the lightest. With a weight, the greatest of what `by` names that fits.
 * @param[out] out  borrows the plan's plate; pair with tw_least_release()
 * @return TW_OK; TW_ERR_DOMAIN (grade, length, least or weight not above 0); TW_ERR_KEY (by);
 * TW_ERR_UNREACHABLE (the weight contradicts the rest: which, and what the least map weighs);
 * TW_ERR_SHAPE (a plate that folds); TW_ERR_MEMORY
 * Source: least Lipschitz majorant (McShane, "Extension of range of functions", Bull. Amer. Math. Soc.
 * 40 (1934), from memory); lightest as volume grows with thickness wherever nothing folds, derived here.
 */
TW_API tw_status tw_plan_least(const tw_plan *plan, const tw_plan_request *request, tw_least *out,
                               tw_error *err);
TW_API void tw_least_release(tw_least *least);

/** Masses of least maps by thickness of what `by` names and by grade. */
typedef struct tw_trade_off {
    const tw_plate *plate; /**< borrowed */
    size_t thickness_count, grade_count;
    double *thickness_mm; /**< thickness_count, of the first requirement named, ascending */
    double *grade;        /**< grade_count, falling */
    size_t own_grade;     /**< which of them was asked for */
    double *mass_g;       /**< thickness_count·grade_count, a row to a thickness */
    const char *changed;  /**< whose thickness */
    tw_arena *arena;
} tw_trade_off;
/** @param request  its weight is left aside, its grade (or within) gives the middle: grades of 3/2, 1,
 * 3/4 and 1/2 of it, thicknesses in steps of 0.2 mm about what is asked for
 * @param[out] out  pair with tw_trade_off_release() */
TW_API tw_status tw_plan_trade_off(const tw_plan *plan, const tw_plan_request *request,
                                   tw_trade_off *out, tw_error *err);
TW_API void tw_trade_off_release(tw_trade_off *trade);

#ifdef __cplusplus
}
#endif
#endif
