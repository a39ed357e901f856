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

/** What a row is about, whatever its name says. */
typedef enum tw_row_kind {
    TW_ROW_OTHER,
    TW_ROW_DENSITY,
    TW_ROW_SHEET,    /**< thickness of bought sheet */
    TW_ROW_READINGS, /**< their scatter, and what lies between them */
    TW_ROW_TIE,      /**< of an ultrasonic to a micrometer, common to all that it read */
    TW_ROW_VELOCITY, /**< of sound in the metal, common to all that an untied ultrasonic read */
    TW_ROW_SCALE_READING,
    TW_ROW_SCALE_CALIBRATION,
    TW_ROW_AREA,    /**< typed in, or by paper */
    TW_ROW_FORM,    /**< a measured length of the form */
    TW_ROW_OUTLINE, /**< an edge or half size of the outline */
    TW_ROW_HOLE,
    TW_ROW_NUMERICAL,
    TW_ROW_IMAGE /**< thickness by a picture: its levels, and what is said of the whole map */
} tw_row_kind;
/** @return "density", "sheet thickness", …, "numerical error": the same in JSON. */
TW_API const char *tw_row_kind_word(tw_row_kind kind);

/** One input of a model. Plain data; texts are borrowed, or in the budget's arena. */
typedef struct tw_budget_row {
    tw_row_kind kind;
    /** What several plates have in common here: the metal whose density or velocity it is, "scale".
     * NULL: the plate's own. */
    const char *shared;
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
/** @return the row with the largest share of the variance; NULL when nothing is uncertain. */
TW_API const tw_budget_row *tw_budget_largest(const tw_budget *budget);

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
 * @brief The budget of one map's mass [g] at 95 %: density, stock tolerance (sheet), readings and what
 * their instruments have in common (readings), levels and own uncertainty of a picture (image), each measured length of form and outline by finite
 * differences, holes, four times the numerical error. Forms are rebuilt on a coarse grid for each
 * length; only differences are taken from them. An outline edge counts as one length, moved in or out
 * whole and with its twin; profile->measured_to 0 leaves lengths out. A forged map is what its profile
 * asks for: how near a hammer comes to it is not in the budget.
 *
 * Sums over plates: rows of one kind with the same `shared` name are one input of all plates (density
 * of one metal, velocity of sound in it, calibration of one scale), fully correlated: add their signed
 * parts (sensitivity·u) straight over the plates, and all other rows, a scale's rounding among them,
 * as squares (JCGM 100:2008, 5.2.2, note 1). Combined u of plates that share a row may not simply be
 * added as squares. Profiles do not name their scale: where plates were weighed on different ones,
 * treat its rows as the plates' own.
 * @param map  one of the plate's
 * @return TW_OK; TW_ERR_DOMAIN (a sheet that its standard has no bound for); TW_ERR_INPUT (readings
 * that say nothing of the middle, and no scale weight); TW_ERR_SHAPE (a form that no longer stands
 * when a length changes); TW_ERR_MEMORY
 */
TW_API tw_status tw_plate_budget(const tw_plate *plate, const tw_plate_map *map, unsigned threads,
                                 tw_budget *out, tw_error *err);
/**
 * @brief The budgets of all maps of a plate, forms rebuilt once for all of them.
 * @param[out] out  map_count, each to be released; zeroes where a map can have none
 * @param[out] why  map_count: TW_OK, or why there is none, as above
 * @return TW_OK, or TW_ERR_MEMORY; then nothing is to be released
 */
TW_API tw_status tw_plate_budgets(const tw_plate *plate, unsigned threads, tw_budget *out,
                                  tw_error *why, tw_error *err);
/** @brief Monte Carlo over the same rows, seeded: density times volume, first order in the rest. Its
 * interval is narrower than the budget's where one rectangular row rules, as U takes a bell shape. Also
 * for the budget of tw_area_budget(). */
TW_API tw_status tw_plate_monte_carlo(const tw_budget *budget, size_t trials, uint64_t seed,
                                      unsigned threads, tw_monte_carlo *out, tw_error *err);

/** @brief Mean thickness [mm] of a plate given by area, from scale weight, density and area. A scale's
 * step or an area's ± that is not said is assumed, and its row's name says so.
 * @return TW_OK; TW_ERR_INPUT without a scale weight or an area */
TW_API tw_status tw_area_budget(const tw_profile *profile, tw_budget *out, tw_error *err);

/** What a scale weight says of a map. */
typedef enum tw_verdict {
    TW_VERDICT_AGREE,
    TW_VERDICT_DISAGREE,
    /** Neither: the map's ± holds no wandering of thickness between its few readings. */
    TW_VERDICT_FEW,
    /** Neither: within a ± of over a quarter of the scale weight nothing could disagree. */
    TW_VERDICT_UNSURE
} tw_verdict;
/** @return "agree", "disagree", "too few readings", "too unsure": the same in JSON. */
TW_API const char *tw_verdict_word(tw_verdict verdict);

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
    tw_verdict verdict;
} tw_agreement;
/** @return TW_OK; TW_ERR_INPUT without a scale weight; TW_ERR_UNREACHABLE when no thickness gives it */
TW_API tw_status tw_plate_agreement(const tw_plate *plate, const tw_plate_map *map,
                                    const tw_budget *budget, tw_agreement *out, tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
