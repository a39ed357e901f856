/*
 * plan_blank.h: the goal of the work (a map and what the metal loses on its way to it), the blank that is
 * cut for it, and the sheet to cut it from.
 */
#ifndef TAPERWRIGHT_PLAN_BLANK_H
#define TAPERWRIGHT_PLAN_BLANK_H

#include "taperwright/base.h"
#include "taperwright/blank.h"
#include "taperwright/material.h"
#include "taperwright/plan_map.h"
#include "taperwright/thickness.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- the goal: what is to be made ----------------------------------------------------------- */

/** Most that metal may be gathered thicker or drawn thinner than the sheet it began as, as part of it:
 * what is taken when nothing is said (common practice, no source). */
#define TW_PLAN_GATHER 0.10
#define TW_PLAN_DRAW   0.50

/** The thickness wanted at each stage of the work. Losses come off both sides. */
typedef struct tw_goal {
    const tw_plate *plate; /**< borrowed */
    bool planned;          /**< the least graded map; else the profile's own forged taper */
    tw_map map;            /**< finished */
    tw_map rough;          /**< hammered: finished and what polish takes off */
    tw_map before;         /**< all metal of the place: rough and what scale takes off on the way */
    tw_weight weight, rough_weight; /**< of map and rough, within the outline */
    double before_g;                /**< of before */
    double polish_mm, polish_u_mm;  /**< of both sides together, standard */
    double scale_mm, scale_u_mm;    /**< of both sides and all heats together */
    double trim_mm;                 /**< strip beyond the outline, cut off at the end */
    tw_stock stock;                 /**< sheet that the work begins with; thickness 0: none said */
    tw_arena *arena;
} tw_goal;
/**
 * @brief The goal of a plate: the planned map or the forged taper, with the profile's losses.
 * @param least  NULL: the plate's forged map
 * @param stock  NULL: the profile's stock, or its sheet, or none
 * @param[out] out  borrows the plate; pair with tw_goal_release()
 * @return TW_OK; TW_ERR_INPUT (no forged map); TW_ERR_SHAPE (with its losses the plate folds);
 * TW_ERR_MEMORY
 */
TW_API tw_status tw_goal_make(const tw_plate *plate, const tw_least *least, const tw_stock *stock,
                              unsigned threads, tw_goal *out, tw_error *err);
TW_API void tw_goal_release(tw_goal *goal);

/* ---- the blank ------------------------------------------------------------------------------- */

typedef struct tw_blank_request {
    double gather;    /**< most thickening, as part of the sheet; 0: TW_PLAN_GATHER */
    double draw;      /**< most thinning, as part of it; 0: TW_PLAN_DRAW */
    size_t nodes;     /**< of the mesh; 0: usual */
    unsigned threads; /**< 0 for one per processor */
    tw_layout_progress progress;
    void *progress_context;
} tw_blank_request;
/** A strip of the blank beyond the net line that a turned edge takes up. */
typedef struct tw_blank_turn {
    const char *edge; /**< borrowed from the outline */
    double roll_mm, wire_mm;
    double length_mm; /**< of the edge along the finished face */
    double
        wrap_mm; /**< developed width of the finished roll, of sheet as thick as the map's edge */
    double
        width_mm; /**< of the strip in the sheet: the roll's metal before scale, polish and drawing out */
    double area_mm2; /**< of the strip in the sheet */
    double sheet_g;  /**< of the finished roll, without its wire: as tw_plate_extra() counts it */
} tw_blank_turn;
/** The flat blank for a goal, and what becomes of it. Weights are nominal. */
typedef struct tw_blank {
    const tw_goal *goal; /**< borrowed */
    tw_layout *layout;   /**< owned: for goal->before, from the goal's stock */
    size_t line_count;   /**< 1 and one to each hole that is cut with the blank */
    size_t *line_first;  /**< line_count + 1: where each begins in `line` */
    double (*line)[2];   /**< closed, metal on the left: the net blank's boundary, outer first */
    size_t turn_count;
    tw_blank_turn *turns; /**< of turned edges */
    size_t turned_count;  /**< points of the outer net line moved out by what turned edges take */
    double (*turned)[2];  /**< closed, anticlockwise; the net line itself without turned edges */
    size_t cut_count; /**< points of the line to cut along: the turned one moved out by the trim */
    double (*cut)[2]; /**< closed, anticlockwise; the turned line itself without trim */
    double net_area_mm2;  /**< within the net boundary, holes out */
    double turn_area_mm2; /**< between net and turned line: strips, and the corners between them */
    double trim_area_mm2; /**< between turned and cut line */
    double blank_g;       /**< cut: net, turned and trim, small holes not yet drilled */
    double rough_g;       /**< hammered, with the trim strip, before polish */
    double turned_g;      /**< sheet in the finished rolls, without wire */
    double finished_g;    /**< of goal->map and the rolls */
    double scale_loss_g, polish_loss_g, trim_loss_g, drilled_g; /**< blank_g − these = finished_g
                                  within the layout's area error */
    double box_mm[2];     /**< least rectangle round the cut line: longer side, shorter side */
    double box_turn;      /**< of its longer side from +x [rad] */
    double box_middle[2]; /**< in blank coordinates */
    double thickest_part, thinnest_part;   /**< of the sheet's thickness: over metal, extremes */
    double thickest_at[2], thinnest_at[2]; /**< tape coordinates */
    double gathered_share, drawn_share;    /**< of face area beyond the limits */
    double gather_g;          /**< metal that has to be gathered above the sheet's own thickness */
    double draw_g;            /**< metal that has to be drawn out from above the wanted thickness */
    double least_stock_mm;    /**< thinnest sheet with nowhere over the gathering limit */
    double most_stock_mm;     /**< thickest with nowhere over the drawing limit */
    double gather, draw;      /**< limits used */
    tw_dome bounds_dome;      /**< of a round bowl, else zeroes: all sunk, all raised */
    tw_forming_bounds bounds; /**< of any plate */
    tw_arena *arena;
} tw_blank;
/**
 * @brief Lay the blank of a goal out: blank area about each place is its area · before / stock. Of all
 * stocks the least-work layout is one shape, as the sum of the principal strains is given and only
 * their difference is free; it grows as 1/√stock (derived here).
 * @param[out] out  pair with tw_blank_release()
 * @return TW_OK; TW_ERR_INPUT (no stock said); what tw_layout_prescribed() returns
 */
TW_API tw_status tw_blank_make(const tw_goal *goal, const tw_blank_request *request, tw_blank *out,
                               tw_error *err);
TW_API void tw_blank_release(tw_blank *blank);

/* ---- which sheet to begin with ------------------------------------------------------------------ */

typedef struct tw_stock_request {
    unsigned systems;   /**< bit 1 << tw_gauge_system for each; bit 1 << TW_GAUGE_SYSTEMS: metric
                                series; 0: metric, and the system the profile's sheet is given in */
    double sheet_mm[2]; /**< sheet it is cut from, 0: not said */
    double low_mm,
        high_mm;    /**< thicknesses considered; 0: from 0.7 times the mean wanted thickness to
                                 1.5 times the thickest */
    tw_units units; /**< of lengths and weights in the reasons */
} tw_stock_request;
/** One sheet for this plate. */
typedef struct tw_stock_choice {
    tw_stock stock;
    double blank_area_mm2, blank_g; /**< with trim */
    double box_mm[2];
    size_t per_sheet; /**< blanks side by side from the sheet, turned or not; 0: does not
                                         fit, or no sheet said */
    double offcut_g,
        offcut_share;    /**< of the sheet when per_sheet are cut, NaN when none is; of the
                                         box without a sheet */
    double mean_stretch; /**< plate length / blank length: root of the areas' ratio */
    double most_stretch, least_stretch; /**< greatest and least principal one of all places */
    double gather_g, draw_g;            /**< as of tw_blank */
    double gathered_share, drawn_share; /**< of the face, beyond the limits */
    double thickest_part, thinnest_part;
    double tolerance_mm; /**< bound of the sheet's thickness; NaN when no table has one */
    tw_usual_tolerance tolerance_by;
    double work;      /**< least work [mm³ of squared strain] */
    bool over, under; /**< its thickest place gathered, its thinnest drawn out, beyond the limits */
    bool possible;    /**< within the limits, and fits the sheet */
    const char *reason; /**< a sentence: why it stands where it does */
    bool own;           /**< the profile's own sheet */
} tw_stock_choice;
typedef struct tw_stock_ranking {
    size_t count;
    tw_stock_choice *choices; /**< possible ones first, by least work; then the others */
    tw_arena *arena;
} tw_stock_ranking;
/**
 * @brief Rank sheets for a plate by the least work that it takes from each: one layout serves all, as
 * the blank of another sheet is the same shape grown by √(its stock / the other) (derived in
 * src/plan/stock.c). The profile's own sheet is always a row, also out of range.
 * @param blank  from any stock: the ranking is the same
 * @return TW_OK; TW_ERR_DOMAIN (no sheet in the range, a sheet size not above 0); TW_ERR_MEMORY
 */
TW_API tw_status tw_stock_rank(const tw_blank *blank, const tw_stock_request *request,
                               tw_stock_ranking *out, tw_error *err);
TW_API void tw_stock_ranking_release(tw_stock_ranking *ranking);

#ifdef __cplusplus
}
#endif
#endif
