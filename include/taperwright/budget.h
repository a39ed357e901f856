/*
 * budget.h: how sure a mass is. A budget table after JCGM 100:2008 (GUM), and Monte Carlo after
 * JCGM 101:2008 (its Supplement 1), over any model; and both for a plate.
 */
#ifndef TAPERWRIGHT_BUDGET_H
#define TAPERWRIGHT_BUDGET_H

#include "taperwright/base.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_distribution {
    TW_NORMAL,
    TW_RECTANGULAR,
    TW_TRIANGULAR,
    TW_ARCSINE, /**< U-shaped */
    TW_STUDENT  /**< scaled t of the row's degrees of freedom */
} tw_distribution;
/** @return "normal", "rectangular", … */
TW_API const char *tw_distribution_word(tw_distribution distribution);

/** One input of a model. Plain data; texts are borrowed, or in the budget's arena. */
typedef struct tw_budget_row {
    const char *name; /**< "density" */
    const char *unit; /**< "kg/m³" */
    double value;     /**< in the unit */
    double u;         /**< standard uncertainty, in the unit */
    tw_distribution distribution;
    double freedom;     /**< degrees of freedom; INFINITY when well known */
    double sensitivity; /**< output per unit */
    double part;        /**< |sensitivity|·u, in the output's unit */
    double share;       /**< of the variance, 0…1; correlated rows share theirs */
} tw_budget_row;
typedef struct tw_budget {
    size_t count;
    tw_budget_row *rows;
    double value;          /**< of the output */
    double u;              /**< combined standard uncertainty */
    double second_order_u; /**< with second-order terms where asked for, else NaN */
    double freedom;        /**< effective, Welch–Satterthwaite; may be INFINITY */
    double coverage;       /**< factor for the coverage probability */
    double expanded;       /**< U = coverage·u */
    tw_arena *arena;
} tw_budget;
TW_API void tw_budget_release(tw_budget *budget);
/** @return the name of the row with the largest share, for "half of that ± comes from …"; NULL when
 * nothing is uncertain. @param[out] share  0…1 of the variance; may be NULL */
TW_API const char *tw_budget_largest(const tw_budget *budget, double *share);

/** A model: output from input values. Must be safe to call from several threads. */
typedef double (*tw_model)(const double *inputs, size_t count, void *context);
/**
 * @brief Sensitivities by central differences, combined u, effective degrees of freedom, expanded U.
 * @param rows         count inputs: name, unit, value, u, distribution, freedom filled
 * @param correlation  count·count, or NULL for none
 * @param second_order also the terms of the note to JCGM 100 5.1.2, which hold for independent
 *                     inputs: with a correlation second_order_u stays NaN
 * @param coverage_probability  0.95, 0.99, …
 */
TW_API tw_status tw_budget_make(tw_model model, void *context, const tw_budget_row *rows,
                                size_t count, const double *correlation, bool second_order,
                                double coverage_probability, tw_budget *out, tw_error *err);
/** @brief The same when sensitivities are known already: no model is called. */
TW_API tw_status tw_budget_combine(const tw_budget_row *rows, size_t count,
                                   const double *correlation, double value,
                                   double coverage_probability, tw_budget *out, tw_error *err);
/** @return Student's t for a two-sided probability; freedom may be no whole number, or INFINITY. */
TW_API double tw_student_t(double probability, double freedom);

typedef struct tw_monte_carlo {
    size_t trials;
    double mean, u;
    double low, high;                   /**< probabilistically symmetric interval */
    double shortest_low, shortest_high; /**< shortest interval */
} tw_monte_carlo;
/**
 * @brief Propagate distributions. A counter-based generator: trial k of a seed draws the same numbers
 * whatever the thread count. Independent inputs only.
 * @param trials  1000 … 10,000,000
 */
TW_API tw_status tw_monte_carlo_run(tw_model model, void *context, const tw_budget_row *rows,
                                    size_t count, size_t trials, uint64_t seed, unsigned threads,
                                    double coverage_probability, tw_monte_carlo *out,
                                    tw_error *err);

/* ---- a plate's mass ----------------------------------------------------------------------- */

/**
 * @brief The budget of one map's mass [g] at 95 %: density, stock tolerance (sheet), readings (readings),
 * each measured length of the form by finite differences, numerical error. Forms are rebuilt on a
 * coarse grid for each length; only differences are taken from them. An outline edge counts as one
 * length, moved in or out whole and with its twin; profile->measured_to 0 leaves lengths out. A forged
 * map is what its profile asks for: how near a hammer comes to it is not in the budget.
 *
 * Sums over plates: plates of one metal share its density, and weighings on one scale share its
 * calibration, so those rows are fully correlated: add their signed parts (sensitivity·u) straight over
 * the plates, row by row, and all other rows, a scale's rounding among them, as squares (JCGM 100:2008,
 * 5.2.2, note 1). Combined u of plates that share a row may not simply be added as squares.
 * @param map  one of the plate's
 * @return TW_OK; TW_ERR_DOMAIN (a sheet that its standard has no bound for); TW_ERR_INPUT (readings
 * that say nothing of the middle, and no scale weight); TW_ERR_SHAPE (a form that no longer stands
 * when a length changes); TW_ERR_MEMORY
 */
TW_API tw_status tw_plate_budget(const tw_plate *plate, const tw_plate_map *map, unsigned threads,
                                 tw_budget *out, tw_error *err);
/** @brief Monte Carlo over the same rows, seeded: density times volume, first order in the rest. Its
 * interval is narrower than the budget's where one rectangular row rules, as U takes a bell shape. Also
 * for the budget of tw_area_budget(). */
TW_API tw_status tw_plate_monte_carlo(const tw_budget *budget, size_t trials, uint64_t seed,
                                      unsigned threads, tw_monte_carlo *out, tw_error *err);

/** @brief Mean thickness [mm] of a plate given by area, from scale weight, density and area. A scale's
 * step or an area's ± that is not said is assumed, and its row's name says so.
 * @return TW_OK; TW_ERR_INPUT without a scale weight or an area */
TW_API tw_status tw_area_budget(const tw_profile *profile, tw_budget *out, tw_error *err);

/** Whether a scale weight and a map's mass agree, and what the scale weight implies. */
typedef struct tw_agreement {
    double scale_g, scale_u_g, model_g, model_u_g;
    double difference_g; /**< model − scale */
    double en; /**< |difference| / √(U² + U²), both at 95 %, ISO 13528; ≤ 1 agrees */
    double mean_thickness_mm, mean_thickness_u_mm; /**< that the scale weight implies */
    double thickness_factor; /**< every thickness times this gives the scale weight */
    double strike_mm,
        edge_mm; /**< thickest and thinnest of the forged taper when all of it is scaled to the
                    scale weight; NaN without */
} tw_agreement;
/** @return TW_OK; TW_ERR_INPUT without a scale weight; TW_ERR_UNREACHABLE when no thickness gives it */
TW_API tw_status tw_plate_agreement(const tw_plate *plate, const tw_plate_map *map,
                                    const tw_budget *budget, tw_agreement *out, tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
