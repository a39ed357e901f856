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

#endif
