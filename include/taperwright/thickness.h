/*
 * thickness.h: how thick the plate is where. A map holds a thickness at every node of a grid and at
 * every cell's sampling point: even sheet, sheet as formed, forged from strike zones to edges, from
 * readings, or from a picture.
 */
#ifndef TAPERWRIGHT_THICKNESS_H
#define TAPERWRIGHT_THICKNESS_H

#include "taperwright/base.h"
#include "taperwright/blank.h"
#include "taperwright/form.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_map_kind {
    TW_MAP_SHEET,
    TW_MAP_FORGED,
    TW_MAP_READINGS,
    TW_MAP_IMAGE, /**< from a picture's grey levels */
    /* those above are what a profile may give, in the order of --map and of a harness file's map: */
    TW_MAP_AS_FORMED /**< sheet as least work forms it; no plate has it among its own maps */
} tw_map_kind;
/** @return the word used in JSON and text: "sheet", "forged", "readings", "image", "as-formed". */
TW_API const char *tw_map_word(tw_map_kind kind);

/** A thickness map on a grid it borrows. Pair any filling call with tw_map_release(). */
typedef struct tw_map {
    tw_map_kind kind;
    const tw_grid *grid;
    double *node;              /**< nu·nv [mm] */
    double *cell;              /**< (nu−1)(nv−1) [mm], at the sampling points */
    double thinnest, thickest; /**< over metal, the outline's own points included [mm] */
    double thinnest_at[2], thickest_at[2]; /**< tape coordinates */
    /** Largest slope over interior nodes [mm per mm]. A step (a zone that ends inside another, or in
     * what is held along an edge) counts as spread over two cells. */
    double steepest_grade;
    double steepest_at[2];
    tw_arena *arena; /**< owns node and cell */
} tw_map;
TW_API void tw_map_release(tw_map *map);

/** @brief Even sheet. @return TW_OK; TW_ERR_DOMAIN unless 0 < thickness; TW_ERR_MEMORY */
TW_API tw_status tw_map_sheet(const tw_grid *grid, double thickness, tw_map *out, tw_error *err);

/**
 * @brief Sheet as least work forms it, carried from a layout to a grid of the same form: nodes and
 * sampling points linear between the layout's nodes, off the metal as its boundary is. Extremes and
 * steepest grade are the layout's own.
 * @param layout   as tw_layout_as_formed() makes it; not needed afterwards
 * @param threads  0 for one per processor; the same bits for any number
 * @return TW_OK; TW_ERR_MEMORY
 */
TW_API tw_status tw_map_as_formed(const tw_layout *layout, const tw_grid *grid, unsigned threads,
                                  tw_map *out, tw_error *err);

/**
 * @brief A map from a picture's levels, bilinear between the middles of its pixels. Metal up to two pixels
 * beyond what the picture covers has the thickness of the nearest pixel with metal.
 * @param form  for the outline's points; may be NULL
 * @param spec  of the profile; borrowed for the call
 * @param threads  0 for one per processor; the same bits for any number
 * @return TW_OK; TW_ERR_SHAPE where the plate has metal and the picture has none, with place and share of
 * the face; TW_ERR_MEMORY
 */
TW_API tw_status tw_map_image(const tw_form *form, const tw_grid *grid,
                              const tw_image_map_spec *spec, unsigned threads, tw_map *out,
                              tw_error *err);

/**
 * Distances that a forged taper needs, marched once per grid: one field per set of strike zones
 * of equal thickness and hold, one per set of edges of equal thickness and hold, one per band.
 * Making the map again with other thicknesses costs one pass.
 */
typedef struct tw_taper tw_taper;
/**
 * @param      threads  0 for one per processor; the same bits for any number
 * @param[out] out  borrows form and grid; pair with tw_taper_free()
 * @return TW_OK; TW_ERR_SHAPE (zone outside the outline); TW_ERR_KEY (unknown edge); TW_ERR_MEMORY
 */
TW_API tw_status tw_taper_build(const tw_form *form, const tw_grid *grid,
                                const tw_forged_spec *spec, unsigned threads, tw_taper **out,
                                tw_error *err);
TW_API void tw_taper_free(tw_taper *taper);
/**
 * @brief The same zones and edges with other thicknesses, holds, law or band, without marching: the
 * distances are the base's. Same bits as building it.
 * @param      spec  strike zones and edges of the base's spec in its order; borrowed
 * @param[out] out   borrows the base; pair with tw_taper_free(). NULL when edges that were marched
 *                   together are no longer of one thickness and hold, or others have become so: then
 *                   tw_taper_build()
 * @return TW_OK; TW_ERR_DOMAIN (a thickness, hold or band out of range); TW_ERR_MEMORY
 */
TW_API tw_status tw_taper_with(const tw_taper *base, const tw_forged_spec *spec, tw_taper **out,
                               tw_error *err);
/** @return nu·nv distances over the plate [mm] from a strike zone of the spec, hold not taken off: > 0
 * away, < 0 inside, INFINITY where no path leads. The taper's. NULL for another grid than its own. */
TW_API const double *tw_taper_from_strike(const tw_taper *taper, const tw_grid *grid,
                                          size_t strike);
/** @return the same from an entry of the spec's edges, < 0 beyond them; NULL when it was marched as one
 * with others, or means no edge. */
TW_API const double *tw_taper_from_edge(const tw_taper *taper, const tw_grid *grid, size_t edge);
/** @brief The forged map; the formula stands at the top of src/thickness/blend.c. Its extremes hold
 * the exact thickness of edges and zones. */
TW_API tw_status tw_map_forged(const tw_taper *taper, tw_map *out, tw_error *err);

/**
 * Which zone of the report each cell belongs to: each strike zone, `hold NAME`, `band NAME`,
 * `field`; where zones overlap the thickest has it. A cell on a border is split between two.
 */
typedef struct tw_zones {
    size_t count;
    const char **names;       /**< count; the last is "field" */
    uint16_t *first, *second; /**< (nu−1)(nv−1): index into names */
    float *share; /**< (nu−1)(nv−1): part of the cell's metal in `first`, rest in `second` */
    tw_arena *arena;
} tw_zones;
TW_API tw_status tw_zones_build(const tw_taper *taper, tw_zones *out, tw_error *err);
/** @brief Zones of a plate without a forged taper: "field" alone. */
TW_API tw_status tw_zones_plain(const tw_grid *grid, tw_zones *out, tw_error *err);
TW_API void tw_zones_release(tw_zones *zones);

/* ---- kriging ----------------------------------------------------------------------------- */

/**
 * Values at points in space, to be carried to other points: a trend (linear in given functions, its
 * coefficients unknown and estimated) plus a Gaussian process with Matérn 3/2 covariance
 * amplitude²·(1 + √3·d/scale)·exp(−√3·d/scale) in chord distance d, plus independent scatter.
 */
typedef struct tw_krige_data {
    size_t count;                /**< readings, 1 … TW_READINGS_MAX */
    const double (*position)[3]; /**< count [mm] */
    const double *value;         /**< count [mm] */
    const double *noise;         /**< count, standard, of the instrument [mm], ≥ 0 */
    double surface;              /**< standard scatter added to each [mm], ≥ 0 */
    size_t basis_count;          /**< trend functions, 1 … 8 */
    const double *basis;         /**< count·basis_count, row by row */
    double scale, amplitude;     /**< [mm] fixed; NaN: by marginal likelihood */
    double scale_low,
        scale_high; /**< bounds of the search [mm]; 0: from the spread of the points */
    /** Leave the process out: amplitude 0. Where readings scatter about the trend by more than their
     * noise, every variance is widened by that ratio. */
    bool trend_only;
} tw_krige_data;
/** A fitted process: factorised covariance, trend, chosen scale and amplitude; opaque. */
typedef struct tw_krige tw_krige;
/**
 * @brief Fit. Copies what it needs.
 * @return TW_OK; TW_ERR_LIMIT over TW_READINGS_MAX; TW_ERR_DOMAIN when the trend cannot be told from
 * the points (on one line, at one place, fewer points than functions), or two readings without noise
 * lie at one place (named, from 1); TW_ERR_MEMORY
 * What is NaN and cannot be learnt (as many readings as functions, all at one place): trend only.
 * Source: universal kriging as generalised least squares, Cressie, Statistics for Spatial Data (1993),
 * section 3.4; marginal likelihood, Rasmussen & Williams (2006), section 2.7 (from memory).
 */
TW_API tw_status tw_krige_fit(const tw_krige_data *data, tw_krige **out, tw_error *err);
TW_API void tw_krige_free(tw_krige *krige);
typedef struct tw_krige_summary {
    double scale, amplitude; /**< used [mm] */
    bool trend_only;         /**< amplitude 0 */
    double log_likelihood;   /**< restricted (REML), of all readings */
    double trend[8];         /**< coefficients of the functions */
    double residual_sd; /**< root mean square of leave-one-out errors [mm]; NaN with one reading */
} tw_krige_summary;
TW_API tw_krige_summary tw_krige_about(const tw_krige *krige);
/**
 * @brief Mean and standard deviation of the surface (without scatter) at n points. Scale and amplitude
 * are averaged over a 9×9 grid of both, weighted by likelihood, so that their own uncertainty widens
 * sd (fixed ones are not); over 400 readings 5 pairs with the grid's moments stand for it.
 * @param basis  n·basis_count
 * @param[out] mean, sd  n each [mm]; either may be NULL
 */
TW_API tw_status tw_krige_predict(const tw_krige *krige, size_t n, const double (*position)[3],
                                  const double *basis, unsigned threads, double *mean, double *sd,
                                  tw_error *err);
/**
 * @brief A weighted sum of surface values, Σ weight·t, and its standard deviation with all
 * correlations, parameters averaged as above.
 * @param n, position, basis, weight  points; the caller gathers a grid into at most 64×64 blocks
 */
TW_API tw_status tw_krige_sum(const tw_krige *krige, size_t n, const double (*position)[3],
                              const double *basis, const double *weight, unsigned threads,
                              double *sum, double *sd, tw_error *err);
/**
 * @brief What each part of a weighted sum has to do with the variance of the whole: its covariance
 * with the whole, parameters averaged as above. The parts' covariances add up to tw_krige_sum()'s sd².
 * @param counts  parts: points of each, one part after the other in position, basis and weight
 * @param[out] covariance  parts [mm²·weight²]; below zero where a part makes the whole surer
 */
TW_API tw_status tw_krige_parts(const tw_krige *krige, size_t parts, const size_t *counts,
                                const double (*position)[3], const double *basis,
                                const double *weight, unsigned threads, double *covariance,
                                tw_error *err);
/** @brief Error (reading − predicted from all others) and its standard deviation, scatter included. */
TW_API tw_status tw_krige_leave_one_out(const tw_krige *krige, double *error, double *sd,
                                        tw_error *err);
/**
 * @brief For each candidate point the variance of a weighted sum that is left when it is read too.
 * @param noise      standard, of the new reading [mm]; the surface scatter is added
 * @param[out] left  candidates [mm²·weight²]
 */
TW_API tw_status tw_krige_gain(const tw_krige *krige, size_t n, const double (*position)[3],
                               const double *basis, const double *weight, size_t candidates,
                               const double (*candidate)[3], const double *candidate_basis,
                               double noise, double *left, tw_error *err);
/** @brief The same process with one more reading, of unknown value, at a point (for the next gain). */
TW_API tw_status tw_krige_extend(const tw_krige *krige, const double position[3],
                                 const double *basis, double noise, tw_krige **out, tw_error *err);

/* ---- a map from readings ---------------------------------------------------------------- */

enum {
    TW_FLAG_DOUBLED = 1, /**< may be a doubled echo: near twice its neighbours or under 2 × least */
    TW_FLAG_INNER = 2,   /**< under 0.7 of its neighbours: inner layer, slag or split? */
    /** Beyond 4 standard deviations of what the others say, fitted without it; or over 3 times
     * (by ultrasonic 2.2) or under 0.3 of its neighbours. */
    TW_FLAG_SLIP = 4,
    TW_FLAG_REACH = 8, /**< farther from the edge than its instrument reaches */
    TW_FLAG_FACE = 16  /**< given in space and over 5 mm off the face */
};
/** A reading on the plate. */
typedef struct tw_placed_reading {
    const tw_reading *reading; /**< borrowed from the profile */
    double tape[2];            /**< [across, up] */
    double position[3];        /**< on the face [mm] */
    double thickness;          /**< with velocity and tie taken in [mm] */
    double noise;              /**< standard, of instrument and repeats [mm] */
    double off;                /**< off the face as given in space [mm] */
    double edge_distance;      /**< from the nearest outline edge over the plate [mm] */
    unsigned flags;
    bool used; /**< not left out */
    /** Leave-one-out [mm], by the others that do not look wrong; NaN where not used. */
    double left_out_error, left_out_sd;
} tw_placed_reading;
/** Readings of a plate on a grid, fitted. Borrows form, grid, profile and taper; one call frees it. */
typedef struct tw_survey {
    size_t count, used;
    tw_placed_reading *readings;
    tw_trend trend;
    double surface;         /**< used [mm] */
    bool surface_estimated; /**< from pairs within 10 mm, else given or the usual 0.10 mm */
    bool edges_only;        /**< all within reach of the edge and no taper: no ± for the whole */
    bool few; /**< at under 6 places: the trend alone, and its ± holds no wandering between them */
    size_t set_aside; /**< used, but left out where the others are judged, as they look wrong */
    const tw_form *form;
    const tw_grid *grid;
    const tw_taper *taper;
    tw_krige *krige;
    double *sd;     /**< nu·nv standard deviation of the map [mm]; NULL until tw_survey_spread() */
    tw_notes notes; /**< what was averaged, flagged, too few */
    tw_arena *arena;
} tw_survey;
/**
 * @brief Place, correct, flag and fit a profile's readings.
 * @param taper  the forged trend's, needed with TW_TREND_FORGED, else NULL
 * @return TW_OK; TW_ERR_SHAPE (outside the outline, with its row); TW_ERR_INPUT (none used);
 * TW_ERR_DOMAIN (disagreeing readings at one place; a trend that the points cannot tell)
 */
TW_API tw_status tw_survey_build(const tw_form *form, const tw_grid *grid,
                                 const tw_readings_spec *spec, const tw_taper *taper,
                                 tw_survey **out, tw_error *err);
/** @brief Only place and correct the readings, and set the flags that need no fit: krige is NULL and no
 * reading has TW_FLAG_SLIP. For looking at, not for maps or sums. */
TW_API tw_status tw_survey_place(const tw_form *form, const tw_grid *grid,
                                 const tw_readings_spec *spec, const tw_taper *taper,
                                 tw_survey **out, tw_error *err);
TW_API void tw_survey_free(tw_survey *survey);
/** @brief Take a fitted survey to another grid of the same form; nothing is fitted again, as places
 * and thicknesses of readings do not hang on the grid. sd is NULL again.
 * @param taper  of that grid with TW_TREND_FORGED, else NULL; both NULL to let go of a grid */
TW_API void tw_survey_move(tw_survey *survey, const tw_grid *grid, const tw_taper *taper);
/** @brief The map of means; thickness held above 0.05 mm. */
TW_API tw_status tw_map_readings(const tw_survey *survey, unsigned threads, tw_map *out,
                                 tw_error *err);
/** @brief Fill sd, the map's standard deviation, at the nodes of cells with metal (0 elsewhere). */
TW_API tw_status tw_survey_spread(tw_survey *survey, unsigned threads, tw_error *err);
/**
 * @brief Σ weight·t over cells and its standard deviation, in the unit of weight × mm.
 * @param weight  (nu−1)(nv−1), read where area is; gathered into at most 64×64 blocks
 * @param[out] sum, sd, block_error  each may be NULL. block_error: what gathering may cost sd, from
 *             32×32 blocks against 64×64. The sum is that of the blocks; the map's is finer
 */
TW_API tw_status tw_survey_sum(const tw_survey *survey, const double *weight, unsigned threads,
                               double *sum, double *sd, double *block_error, tw_error *err);
/** A part of the plate. Bowls have the crown (0, 0), and a quarter of the rim each way; other plates
 * thirds of the outline's box each way. */
typedef struct tw_region {
    int across, up; /**< −1, 0, 1; TW_REGION_ALL: from one side to the other */
    double share;   /**< of the variance of the sum; all regions' add up to 1, one may be below 0 */
    double metal;   /**< of the face's area */
    size_t readings; /**< used ones that lie in it */
} tw_region;
enum { TW_REGION_ALL = 2, TW_REGIONS_MAX = 9 };
/** Where the uncertainty of a weighted sum comes from. */
typedef struct tw_where {
    bool bowl;
    size_t count; /**< regions with metal */
    tw_region regions[TW_REGIONS_MAX];
    /** The region, or row, column or whole rim of them, that carries at least 0.30 of the variance, by
     * at least 0.15 (0.05 where nothing was read) more than its part of the metal, with fewer than its
     * part of the readings; of several the one with most beyond its metal. */
    bool found;
    tw_region bare;
} tw_where;
/**
 * @brief Split the variance of Σ weight·t among the parts of the plate: share = covariance of the part
 * with the whole over the variance of the whole.
 * @param weight  (nu−1)(nv−1), as for tw_survey_sum(); gathered into at most 32×32 blocks
 * @return TW_OK; TW_ERR_MEMORY. Without any variance every share is the part of the metal.
 */
TW_API tw_status tw_survey_where(const tw_survey *survey, const double *weight, unsigned threads,
                                 tw_where *out, tw_error *err);
/** @return standard scatter of an instrument's display and what else is said of it [mm]. */
TW_API double tw_instrument_u(const tw_instrument *instrument);
/**
 * @brief How Σ weight·t answers when all used readings of one instrument are multiplied by one factor:
 * their part in the sum, as a mean of the process is linear in its readings (scale and amplitude held).
 * @param map         of the survey, on its grid: its whole sum is the part of a single instrument
 * @param instrument  index into the profile's
 * @param[out] part   in the unit of weight × mm, per relative change
 */
TW_API tw_status tw_survey_instrument_sum(const tw_survey *survey, const double *weight,
                                          const tw_map *map, size_t instrument, unsigned threads,
                                          double *part, tw_error *err);
typedef struct tw_suggestion {
    double tape[2];
    double sd_after; /**< of the weighted sum, after this and those before it */
} tw_suggestion;
/** @brief The next `wanted` places whose readings shrink the sum's variance most, within reach of the
 * instrument, its foot clear of edges and holes; greedy. count may come back less than wanted. */
TW_API tw_status tw_survey_suggest(const tw_survey *survey, const double *weight,
                                   const tw_instrument *instrument, size_t wanted,
                                   tw_suggestion *out, size_t *count, tw_error *err);

/** @brief Fill thinnest, thickest, steepest of a map from its node values (extremes also at the
 * outline's points when form is not NULL). */
TW_API void tw_map_survey(tw_map *map, const tw_form *form);

#ifdef __cplusplus
}
#endif
#endif
