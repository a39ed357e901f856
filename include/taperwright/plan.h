/*
 * plan.h: from what is wanted to numbers: the thickness that reaches a weight, the lightest map that
 * keeps every least thickness and is nowhere steeper than a grade, and what one costs of the other.
 * Nothing here says what a thickness withstands.
 */
#ifndef TAPERWRIGHT_PLAN_H
#define TAPERWRIGHT_PLAN_H

#include "taperwright/base.h"
#include "taperwright/blank.h"
#include "taperwright/form.h"
#include "taperwright/material.h"
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

/* ---- steps ----------------------------------------------------------------------------------- */

enum { TW_STEPS_USUAL = 6, TW_STEPS_MAX = 40 };
/** Thinnest step that is told apart at the bench: under two marks of a caliper [mm]. */
#define TW_STEPS_LEAST 0.02

/**
 * One course of thinning: everywhere that is to end thinner than `from`, down to `to` or to what is
 * wanted there.
 *
 * Metal is counted with the scale that is still to burn off, so that what hammer moves and what heat
 * takes stay apart; from_mm and to_mm are what a gauge reads: the scale is taken to go in even parts
 * on the way from the stock to the thinnest place, so that the first step begins at the stock and
 * the last ends at the rough thickness (even parts: common practice, no source).
 */
typedef struct tw_step {
    double from_mm, to_mm; /**< by gauge */
    double from_line_mm,
        to_line_mm;      /**< the same of tw_steps.wanted: the step works where wanted is under both
                         from_line_mm and start, and start is over to_line_mm */
    double area_mm2;     /**< of the finished face that is worked */
    double move_g;       /**< metal that has to go elsewhere: it spreads, a hammer takes none off */
    double at[2];        /**< tape coordinates of the middle of what is left alone, or NaN */
    const char *outside; /**< strike zones left alone: "chest", "chest, heart"; NULL for none */
} tw_step;
typedef struct tw_steps {
    const tw_goal *goal; /**< borrowed */
    bool raised;         /**< counted from sheet as formed */
    double *start;       /**< nu·nv: thickness that the work begins with [mm] */
    double *wanted; /**< nu·nv: metal that each place is to keep, its scale in: goal->before */
    double step_mm; /**< asked for or chosen; the first and the last differ by up to half of it */
    size_t count;   /**< 0: nothing is thicker than wanted */
    tw_step *steps; /**< from the thickest down: the places that end thinnest come last */
    double move_g;  /**< of all steps: Σ of theirs */
    double draw_area_mm2; /**< of the face that is thinned at all */
    double gather_g,
        gather_area_mm2; /**< where the work begins thinner than wanted: to be gathered */
    double gather_most_mm,
        gather_at[2]; /**< thickest gather and its tape coordinates; NaN for none */
    tw_arena *arena;
} tw_steps;
/**
 * @brief Divide the thinning into steps at round numbers. Step k takes min(start, L[k−1]) down to
 * max(wanted, L[k]), L counted with scale (from_line_mm, to_line_mm); the grams of all steps are
 * those of (start − wanted) wherever it is above 0, exactly. Grams are counted over the finished
 * face: what sheet lying on it would hold too much. It spreads outward, and the blank is cut so much
 * smaller.
 * @param formed   sheet as formed on the goal's grid when the plate is raised first; NULL: counted
 *                 from the flat sheet of the goal's stock
 * @param step_mm  0: the least whole number of 0.05 mm, from 0.10 mm, that gives no more than
 *                 TW_STEPS_USUAL steps
 * @param[out] out borrows the goal; pair with tw_steps_release()
 * @return TW_OK; TW_ERR_INPUT (no stock said); TW_ERR_DOMAIN (a step under TW_STEPS_LEAST, over
 * TW_STEPS_MAX steps; a start thinner than wanted everywhere); TW_ERR_MEMORY
 */
TW_API tw_status tw_steps_make(const tw_goal *goal, const tw_map *formed, double step_mm,
                               tw_steps *out, tw_error *err);
TW_API void tw_steps_release(tw_steps *steps);

/* ---- gauge card, and readings on the way -------------------------------------------------------- */

enum { TW_CARD_POINTS_MAX = 60, TW_CARD_POINTS_USUAL = 12 };
/** Half of the window about a wanted thickness when nothing is said [mm] (common practice, no source). */
#define TW_CARD_WINDOW 0.10
/** How far a plate in work strays from its goal, all over and as much again from place to place: standard
 * deviation, and length over which places stray alike [mm] (common practice, no source). */
#define TW_CARD_STRAY       0.15
#define TW_CARD_STRAY_SCALE 60.0
typedef enum tw_stage {
    TW_STAGE_HAMMER, /**< metal can still be moved: wanted is the rough thickness */
    TW_STAGE_FINISH  /**< hammering is over: wanted is the finished thickness, ground down to */
} tw_stage;
/** A point to gauge. */
typedef struct tw_check_point {
    const char *name; /**< "1", "2", … in the order of gauging: from low to up, left to right */
    double tape[2];
    double rough_mm, finished_mm;       /**< wanted */
    double rough_low_mm, rough_high_mm; /**< window: not under what is required there */
    double finished_low_mm, finished_high_mm;
    const char *zone; /**< strike zone that it stands for, or NULL */
    double
        sd_after_g; /**< standard deviation of the mass once this and those chosen before are read */
} tw_check_point;
typedef struct tw_card {
    const tw_goal *goal; /**< borrowed */
    size_t count;
    tw_check_point *points;
    double window_mm;
    double sd_before_g, sd_after_g; /**< of the mass, before any and after all are read */
    double reach_mm;                /**< of the instrument from the edge; INFINITY when free */
    tw_arena *arena;
} tw_card;
/**
 * @brief Choose points to gauge: one to each strike zone where it is required thickest, one where the
 * map is thinnest within reach, then greedily those that take most off the variance of the mass, for a
 * plate that strays from its goal by a common offset and by a Matérn 3/2 process (TW_CARD_STRAY both,
 * TW_CARD_STRAY_SCALE). Places are whole 5 mm of tape (1/4 in with `ruler: in`) where a plate is large
 * enough, 6 mm clear of edges and holes and 5 mm of creases.
 * @param count      0: usual; fewer come back where there are not so many places, and of zones with
 *                   no place within reach none
 * @param window_mm  0: TW_CARD_WINDOW
 * @param reach_mm   INFINITY: any
 * @return TW_OK; TW_ERR_DOMAIN (too many points; a window not above 0; a reach not above 0, or nothing within it);
 * TW_ERR_MEMORY
 */
TW_API tw_status tw_card_make(const tw_goal *goal, size_t count, double window_mm, double reach_mm,
                              tw_card *out, tw_error *err);
TW_API void tw_card_release(tw_card *card);

typedef enum tw_todo {
    TW_TODO_LEAVE,   /**< within its window */
    TW_TODO_STRETCH, /**< thicker than its window, and the hammer can still move it */
    TW_TODO_GRIND,   /**< thicker than its window when hammering is over */
    TW_TODO_STOP     /**< too thin: what is gone does not come back */
} tw_todo;
/** @return "leave", "stretch", "grind", "too thin: stop" */
TW_API const char *tw_todo_word(tw_todo todo);
/** @return "hammer", "finish" */
TW_API const char *tw_stage_word(tw_stage stage);

/** One reading of work in progress. */
typedef struct tw_gauged {
    const char *name; /**< as read */
    double tape[2];
    double reads_mm, wanted_mm, low_mm, high_mm;
    double over_mm; /**< reads − wanted */
    tw_todo todo;
    int line; /**< of the readings' table or profile */
} tw_gauged;
/**
 * Where the work stands. A hammer takes no metal off: grams to move, to trim and to grind are apart.
 * total_g − trim_g − grind_g = finished_g, but for a plate that weighs less than what is read within
 * its outline (trim_g is then 0). In stage hammer total_g = now_g + strip_g without a weighing, so that
 * trim_g = move_g + strip_g.
 */
typedef struct tw_gauging {
    const tw_goal *goal; /**< borrowed */
    tw_stage stage;
    size_t count;
    tw_gauged *points;     /**< readings used, in their order */
    size_t todo_count[4];  /**< by tw_todo */
    double *over;          /**< nu·nv: estimated present − wanted [mm] */
    double window_mm;      /**< used */
    double stage_g;        /**< wanted within the outline in this stage: rough or finished */
    double now_g, now_u_g; /**< present mass within the outline, by readings; standard */
    double strip_g;        /**< trim strip of the goal, as thick as its edges when rough */
    double weighs_g;       /**< as typed; 0 when not known */
    double
        total_g; /**< present mass with what stands over the outline: weighed, else now + strip, which
                          in stage finish is taken as cut */
    double
        move_g; /**< over what is wanted where it is thicker than its window: to be spread, and as
                          nothing is taken off by that it ends beyond the outline; 0 in stage finish */
    double
        trim_g; /**< to be cut off in the end: total less what is within the outline once moved */
    double grind_g; /**< to come off by grinding: in stage hammer what polish takes; in stage finish
                          what is over wanted where it is thicker than its window */
    double lacking_g;    /**< under wanted where it is thinner than its window */
    double finished_g;   /**< expected final mass within the outline: now − move − grind */
    double finished_u_g; /**< standard: carrying readings between points, density, polish. What the
                              estimate is wrong by is worked in: later readings may still find it */
    double wanted_g;     /**< of the goal, finished */
    bool few;       /**< read at under 6 places: an even offset only, its ± holds no wandering */
    tw_notes notes; /**< about readings: beyond reach, averaged, odd beside their neighbours */
    tw_arena *arena;
} tw_gauging;
/**
 * @brief Hold readings of the work against its goal: reading − wanted, carried between the points by
 * kriging with an even trend (instrument's noise, surface scatter as given or 0.10 mm).
 * @param readings   as tw_profile_read() or tw_work_readings_read() give them; those left out do not
 *                   count; outlives the call only
 * @param window_mm  0: TW_CARD_WINDOW
 * @param weighs_g   the plate's present weight, strip in; 0 when not known
 * @return TW_OK; TW_ERR_SHAPE (a reading off the plate, with its row); TW_ERR_INPUT (none used);
 * TW_ERR_DOMAIN (a window not above 0, a weight below 0, readings at one place that disagree);
 * TW_ERR_MEMORY
 */
TW_API tw_status tw_gauging_make(const tw_goal *goal, const tw_readings_spec *readings,
                                 tw_stage stage, double window_mm, double weighs_g,
                                 unsigned threads, tw_gauging *out, tw_error *err);
TW_API void tw_gauging_release(tw_gauging *gauging);

/* ---- the log of the work ----------------------------------------------------------------------- */

/** @return of what is to be made: form, outline, face, holes, strike zones, edges, plan, losses,
 * density, as numbers (FNV-1a over their bytes); of comments, names, notes and sheet nothing, as they
 * change no wanted thickness. 16 hexadecimal digits in `out`. */
TW_API char *tw_goal_fingerprint(const tw_goal *goal, char out[17]);
/** One entry: a day's readings and what they came to. */
typedef struct tw_log_entry {
    const char *date, *plate, *fingerprint, *stage;
    size_t readings, leave, stretch, grind, stop;
    double now_g, move_g, trim_g, grind_g, lacking_g, finished_g, finished_u_g;
    double weighs_g;    /**< 0 when it was not weighed */
    const char *points; /**< "1 2.45 +0.05; 2 2.10 -0.02": name, reads, over what was wanted [mm] */
    int line;
} tw_log_entry;
typedef struct tw_work_log {
    size_t count;
    tw_log_entry *entries;
    size_t torn; /**< lines cut short by a failure: skipped */
    tw_arena *arena;
} tw_work_log;
/**
 * @brief Append one entry to a log: written in one piece and on disk when TW_OK comes back. Nothing that
 * stands there is ever changed; a line torn by a kill is closed off first. CSV with units in its
 * header row, fields quoted by RFC 4180, a line to an entry.
 * @param date  as it is to stand there; "" for none
 * @return TW_OK; TW_ERR_INPUT (a log of another plate: names both; a file that is no log); TW_ERR_FILE;
 * TW_ERR_LIMIT (over 16 MB); TW_ERR_INTERRUPTED (while another writes); TW_ERR_MEMORY
 */
TW_API tw_status tw_work_log_append(const char *path, const tw_goal *goal, const char *date,
                                    const tw_gauging *gauging, tw_error *err);
/** @return TW_OK, also for a file that is not there yet (count 0); TW_ERR_INPUT as above */
TW_API tw_status tw_work_log_read(const char *path, const tw_goal *goal, tw_work_log *out,
                                  tw_error *err);
TW_API void tw_work_log_release(tw_work_log *log);

#ifdef __cplusplus
}
#endif
#endif
