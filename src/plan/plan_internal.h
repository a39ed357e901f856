/* plan_internal.h: what the files of this room share. */
#ifndef PLAN_INTERNAL_H
#define PLAN_INTERNAL_H

#include "taperwright/plan.h"

/** One requirement's distances, hold taken off, not below 0, INFINITY where no path leads. */
typedef struct tw_plan_field {
    const char *name;   /**< "strike zone heart", "edge arm left" */
    const char *strike; /**< own name of a zone, else NULL */
    const char *edge;   /**< own name of an edge, or "all"; else NULL */
    double asked, hold; /**< [mm] */
    const double *own; /**< the plate's own taper's distances, hold not taken off; NULL: to march */
    double *node;      /**< nu·nv [mm] */
    double *cell;      /**< (nu−1)(nv−1) [mm], at the sampling points */
    size_t line_count; /**< of an edge */
    tw_edge_line *lines;
} tw_plan_field;

struct tw_plan {
    const tw_plate *plate; /**< borrowed */
    unsigned threads;
    size_t count;
    tw_plan_field *fields; /**< strike zones, then edges */
    tw_arena *arena;
};

/**
 * @brief Kernel: the least graded map at n points. No heap, cannot fail.
 * @param distance  count fields; entry k's values begin at distance[k]
 * @param required  count [mm]
 */
void tw_least_pass(size_t n, size_t count, const double *const *distance, const double *required,
                   double least, double grade, double *restrict thickness);

/** Scratch of trials. */
typedef struct tw_trial {
    double *node, *cell, *volume;
    const double **node_field, **cell_field; /**< one to a requirement; unset until a pass */
} tw_trial;
tw_status tw_trial_make(const tw_plan *plan, tw_arena *arena, tw_trial *out, tw_error *err);
/** @brief One pass and its mass [g]; trial->cell holds the map afterwards, node only along creases. */
double tw_trial_mass(const tw_plan *plan, tw_trial *trial, const double *required, double least,
                     double grade);
/** @brief Fill trial->node with the map. */
void tw_trial_nodes(const tw_plan *plan, tw_trial *trial, const double *required, double least,
                    double grade);
/** @return mass [g] of a map, unchecked; `volume` is scratch of one value to a cell. */
double tw_plan_mass(const tw_plate *plate, const double *cell, const double *node, double *volume);

/** @return whether `by` ("strike.NAME", "edges.all", …) means this strike zone or edge. Of a symmetric
 * plate NAME means "NAME left" and "NAME right" too. */
bool tw_by_means(const char *by, const char *kind, const char *name);
/** @brief The error for a `by` that names nothing, with the nearest that would. */
tw_status tw_by_unknown(const tw_profile *profile, const char *by, tw_error *err);

/** @brief Check a step to round thicknesses to, 0 for the usual one [mm]. */
tw_status tw_round_check(double round_mm, tw_error *err);
/** @brief Check a request and work out which fields a weight changes.
 * @param[out] changed  plan->count marks; first: index of the first, SIZE_MAX when none */
tw_status tw_request_check(const tw_plan *plan, const tw_plan_request *request, bool *changed,
                           size_t *first, tw_error *err);
/** @brief What is required when the first changed field is `value` mm thick, the others in proportion. */
void tw_request_required(const tw_plan *plan, const bool *changed, size_t first, double value,
                         double *required);
/** @return the grade of a request [mm per mm]. Over a length it comes of what is asked for: thinner
 * zones are down sooner, within it too. 0 where no zone is thicker than the edges. */
double tw_request_grade(const tw_plan *plan, const tw_plan_request *request);

/* ---- windows about a wanted thickness (window.c) -------------------------------------------------- */

/** A window is wanted ± half of it, but never under what is required there. */
typedef struct tw_windows {
    double half;
    double everywhere; /**< required anywhere: the thinnest of a planned map, else 0 [mm] */
    double *zones;     /**< required in each strike zone: the thinnest it has; INFINITY: no metal */
    size_t zone_count;
    const tw_zones *map; /**< borrowed: which zone is where */
    const tw_map *wanted;
} tw_windows;
/** @param wanted  goal->rough or goal->map */
tw_status tw_windows_make(const tw_goal *goal, const tw_map *wanted, double half, tw_arena *arena,
                          tw_windows *out, tw_error *err);
/** @return the strike zone that most metal of a tape point's cell is in; SIZE_MAX when none. */
size_t tw_windows_zone(const tw_windows *windows, const double tape[2]);
/** @return the lower end of the window where so much is wanted, in a strike zone or none (any other). */
double tw_windows_low(const tw_windows *windows, size_t zone, double wanted);
/** @brief What is wanted at a tape point, and its window. */
void tw_windows_at(const tw_windows *windows, const double tape[2], double *wanted, double *low,
                   double *high);

/* ---- the gauge card: places (card_places.c), and which of them (card_choice.c) ---------------------- */

/** Places where an instrument's foot may stand, at marks of a tape. */
typedef struct tw_card_places {
    size_t count;
    double (*tape)[2];
    double (*position)[3];
} tw_card_places;
/** Where a foot may stand. */
typedef struct tw_card_ground {
    const tw_plate *plate;
    double *edge, *any; /**< nu·nv [mm]: over the plate from edges; from edges and holes */
    double reach;
} tw_card_ground;
tw_status tw_card_ground_make(const tw_plate *plate, double reach, tw_arena *arena,
                              tw_card_ground *out, tw_error *err);
/**
 * @brief Places on a lattice, from low to up and left to right: multiples of 5 mm, or where that gives
 * too few of 2 mm and 1 mm (with `ruler: in` of 1/4, 1/8 and 1/16 in); coarser when there are more than `most`.
 * @param fewest  places that are enough
 */
tw_status tw_card_places_make(const tw_card_ground *ground, size_t fewest, size_t most,
                              tw_arena *arena, tw_card_places *out, tw_error *err);

/** How a plate in work strays from its goal, and how well one reading tells: thickness − goal is a
 * common offset and a Matérn 3/2 process, both of mean 0. */
typedef struct tw_card_prior {
    double offset;    /**< standard deviation of what is common to all [mm] */
    double amplitude; /**< of the process [mm] */
    double scale;     /**< [mm] of chord distance */
    double noise;     /**< standard, of one reading, instrument and surface [mm], > 0 */
} tw_card_prior;
/** A mass as a weighted sum of thicknesses. */
typedef struct tw_card_sum {
    size_t count;
    double (*position)[3]; /**< count [mm] */
    double *weight;        /**< count [g/mm] */
} tw_card_sum;
/** @brief Gather cells into at most 32×32 blocks.
 * @param weight  one to a cell, read where there is metal */
tw_status tw_card_gather(const tw_grid *grid, const double *weight, tw_arena *arena,
                         tw_card_sum *out, tw_error *err);
/** Choosing among candidates: pivoted Cholesky of their covariance, a column to each that is read. */
typedef struct tw_card_choice {
    tw_card_prior prior;
    size_t count, most, read;
    const double (*position)[3]; /**< count, borrowed */
    double *with_sum; /**< count: covariance with the sum, given what is read [mm·g/mm] */
    double *own;      /**< count: variance of a reading there, given what is read [mm²] */
    double *columns;  /**< most·count */
    bool *taken;      /**< count */
    double left;      /**< variance of the sum, given what is read [g²] */
} tw_card_choice;
tw_status tw_card_choice_begin(const tw_card_prior *prior, const tw_card_sum *sum, size_t count,
                               const double (*position)[3], size_t most, tw_arena *arena,
                               tw_card_choice *out, tw_error *err);
/** @return the candidate, not taken yet, whose reading takes most off the variance of the sum;
 * SIZE_MAX when none is left. */
size_t tw_card_choice_best(const tw_card_choice *choice);
/** @brief Read a candidate: O(count · read). */
void tw_card_choice_take(tw_card_choice *choice, size_t candidate);

/* ---- a goal against a sheet: blank.c --------------------------------------------------------- */

/** @return whether a place of `part` times the sheet lies beyond a limit, roundings aside. */
static inline bool tw_gathered_over(double part, double gather)
{
    return part > (1 + gather) * (1 + 1e-9);
}
static inline bool tw_drawn_under(double part, double draw)
{
    return part < (1 - draw) * (1 - 1e-9);
}
/** What a sheet has to become: shares of the face beyond the limits, grams above the sheet's own
 * thickness and below it. */
typedef struct tw_held {
    double gathered_share, drawn_share, gather_g, draw_g;
} tw_held;
/** @param slope  of every cell: grams to a mm of thickness, of goal->before. Grams are differences to
 * first order, as thickness over the sheet is a small part of a radius */
tw_held tw_hold_against_sheet(const tw_goal *goal, const double *slope, double sheet, double gather,
                              double draw);

/* ---- strips of turned edges: turned.c ---------------------------------------------------------- */

/** @brief Fill turns, turned line and turned grams of a blank whose net line is there. Without turned edges the
 * turned line is the net line.
 * @return TW_OK; TW_ERR_SHAPE (strips that run into each other); what tw_plate_extra() returns */
tw_status tw_blank_turn_edges(tw_blank *blank, tw_error *err);

/* ---- lines in the flat: trim.c ---------------------------------------------------------------- */

/** A line that grows; `at` is the heap's. */
typedef struct tw_grown {
    double (*at)[2];
    size_t count, room;
    bool no_memory;
} tw_grown;
/** @brief Add a point, unless it is the last one again. */
void tw_grown_add(tw_grown *line, double x, double y);
#define TW_LINE_PIECE 1.0          /* of a shifted line [mm] */
#define TW_LINE_ARC   (TW_PI / 24) /* of a corner of it */
/** @return turn at corner b, > 0 to the left: outward on an anticlockwise line [rad]. */
double tw_turn_at(const double a[2], const double b[2], const double c[2]);
bool tw_line_crosses_itself(const double (*line)[2], size_t count);
/** @return area within a closed line, > 0 when it runs anticlockwise. */
double tw_polygon_area(const double (*line)[2], size_t count);
/**
 * @brief A closed anticlockwise line moved outward, rounded at its corners.
 * @param width       [mm]; 0: a copy
 * @param[out] out    in the arena
 * @return TW_OK; TW_ERR_SHAPE (a strip so wide closes over a notch); TW_ERR_MEMORY
 */
tw_status tw_line_outward(const double (*line)[2], size_t count, double width, tw_arena *arena,
                          double (**out)[2], size_t *out_count, tw_error *err);
/** @brief The least rectangle round a line: its longer and shorter side, the turn of the longer one from
 * +x [rad], −π/2 … π/2, and its middle. */
tw_status tw_least_rectangle(const double (*line)[2], size_t count, double size[2], double *turn,
                             double middle[2], tw_error *err);

#endif
