/*
 * plan_work.h: work on its way from the blank to the goal: in which steps it is thinned, where it is gauged,
 * what the readings say, and the log of them.
 */
#ifndef TAPERWRIGHT_PLAN_WORK_H
#define TAPERWRIGHT_PLAN_WORK_H

#include "taperwright/base.h"
#include "taperwright/plan_blank.h"
#include "taperwright/profile.h"
#include "taperwright/thickness.h"

#ifdef __cplusplus
extern "C" {
#endif

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
