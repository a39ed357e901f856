/*
 * harness.h: many parts, modelled and weighed, in or out, added up with what they share; set beside
 * records of originals like for like; and held against a rule book's least thicknesses.
 */
#ifndef TAPERWRIGHT_HARNESS_H
#define TAPERWRIGHT_HARNESS_H

#include "taperwright/base.h"
#include "taperwright/budget.h"
#include "taperwright/profile.h"
#include "taperwright/weigh.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- figures that share their causes ------------------------------------------------------ */

/** One cause of uncertainty in a figure. Causes of the same name are one and the same: they add
 * straight, with their signs; others add as squares (JCGM 100:2008, 5.2.2). */
typedef struct tw_cause {
    const char
        *name;      /**< "density of mild steel", "scale parcel", "breast.yaml: width at ruler 0" */
    double part_g;  /**< signed: what one standard uncertainty of it does to the figure */
    double freedom; /**< degrees of freedom; INFINITY when well known */
} tw_cause;
/** A mass with its causes, by rising name. Plain data; names and list live in the arena it was made
 * with. A struct copy shares the list: to go on adding to a figure, tw_figure_add() it to a zero. */
typedef struct tw_figure {
    double g; /**< NaN: there is no figure */
    size_t count;
    tw_cause *causes; /**< of distinct names */
} tw_figure;
/** @return a figure of nothing: 0 g, no cause. */
TW_API tw_figure tw_figure_zero(void);
/** @return true when there is a figure. */
static inline bool tw_figure_is(const tw_figure *figure)
{
    return figure->g == figure->g;
}
/** @brief Add one cause; the same name again adds to its part (the lesser freedom is kept). */
TW_API tw_status tw_figure_cause(tw_figure *figure, tw_arena *arena, const char *name,
                                 double part_g, double freedom, tw_error *err);
/** @brief sum += factor · term, causes merged by name. A missing term makes the sum missing. */
TW_API tw_status tw_figure_add(tw_figure *sum, tw_arena *arena, const tw_figure *term,
                               double factor, tw_error *err);
/** @return combined standard uncertainty [g]: √Σ part². */
TW_API double tw_figure_u(const tw_figure *figure);
/** @return expanded uncertainty at 95 % [g], by the effective degrees of freedom. */
TW_API double tw_figure_expanded(const tw_figure *figure);

/* ---- weighings ---------------------------------------------------------------------------- */

enum {
    TW_WEIGHING_OVER = 1,  /**< over the scale's most */
    TW_WEIGHING_UNDER = 2, /**< under its least load, or, when that is not given, under 20 steps */
    TW_WEIGHING_SPREAD = 4 /**< repeats scatter by more than three steps */
};
/** What a weighing says, the scale's own error taken out. */
typedef struct tw_weighing {
    const tw_weighing_spec
        *spec; /**< NULL, as is scale, where the plates' own `scale:` stands for a
                                       part's weighing: bare, so its fittings are in net by model */
    const tw_scale_spec *scale;
    tw_figure net;                              /**< [g] */
    double corrected_g;                         /**< what taking out the scale's error changed */
    double rounding_u_g, repeat_u_g, scale_u_g; /**< parts of its standard uncertainty */
    unsigned flags;
} tw_weighing;
/**
 * @brief Net mass of a weighing: mean of reads, less tare, less the holder alone; times true/reads of
 * the scale's check. Two roundings of d/√12 each per net weighing; one with an exact tare. Repeats
 * add s/√n with n − 1 degrees of freedom.
 * @param name  names its own causes ("weighing of upper breast"); the scale's check is a cause of all
 *              weighings on it
 * @return TW_OK; TW_ERR_DOMAIN (nothing left after tare or holder); TW_ERR_MEMORY
 * Without a check nothing is taken out, and what a class III scale may be off by in service counts as
 * a bound, one cause for all weighings on it.
 * Source: JCGM 100:2008 4.2, 4.3.7, F.2.2.1; least load 20 steps: OIML R 76, class III.
 */
TW_API tw_status tw_weigh_on_scale(const tw_weighing_spec *spec, const tw_scale_spec *scale,
                                   const char *name, tw_arena *arena, tw_weighing *out,
                                   tw_error *err);

/* ---- a harness ------------------------------------------------------------------------------ */

/** One plate of a part, modelled. */
typedef struct tw_piece {
    const tw_piece_spec *spec;
    tw_plate *plate; /**< NULL for a plate given by area only; shared by parts of one file */
    const tw_plate_map *map;  /**< the one that is counted; NULL with plate */
    tw_extra_weight extra;    /**< turned edges and flutes of that map, of one plate */
    double face_g;            /**< of one, without extra */
    double sheet_g, forged_g; /**< of one, extra of that map included; NaN without that map */
    double overlap_sheet_g, overlap_forged_g; /**< of that what lies under the next plate */
} tw_piece;

typedef enum tw_counted {
    TW_COUNTED_MISSING,
    TW_COUNTED_MODELLED,
    TW_COUNTED_WEIGHED,
    TW_COUNTED_TOGETHER /**< its share, by models or evenly, of parts weighed together */
} tw_counted;
/** @return "no figure", "modelled", "weighed", "weighed together". */
TW_API const char *tw_counted_word(tw_counted counted);

typedef struct tw_part {
    const char *name; /**< "tasset left" */
    const char *kind;
    const tw_part_spec *spec;
    int side; /**< 0 single; +1 the wearer's left, −1 the right one of a pair */
    size_t piece_count;
    tw_piece *pieces;   /**< shared by both of a pair */
    tw_figure modelled; /**< plates, turned edges, flutes and fittings; missing without plates */
    tw_figure fittings; /**< of that the fittings; 0 g without */
    tw_figure straps, lining; /**< of the fittings; 0 g without */
    bool has_weighing;
    tw_weighing weighing;
    double sheet_g,
        forged_g; /**< its plates all of sheet, all forged, without fittings; NaN when one lacks it */
    double overlap_sheet_g, overlap_forged_g; /**< of that what lies under the next plate */
    bool has_balance;
    double balance[3];    /**< on the wearer [mm] */
    double height, width; /**< of the part [mm]; NaN when not known */
} tw_part;

/** Parts, modelled and weighed. */
typedef struct tw_harness {
    const tw_harness_file *file; /**< borrowed */
    size_t part_count, together_count, plate_count;
    tw_part *parts;        /**< pairs as two, left first */
    tw_weighing *together; /**< by order of the file */
    tw_plate **plates;     /**< owned, one per profile file */
    tw_notes notes; /**< of plates, weighings; scale errors taken out are said here in words */
    tw_arena *arena;
} tw_harness;
/**
 * @brief Model every plate, read every weighing.
 * @param options  of the plates; may be NULL
 * @return TW_OK; what plates, budgets and weighings return, with the part's name
 */
TW_API tw_status tw_harness_build(const tw_harness_file *file, const tw_plate_options *options,
                                  tw_harness **out, tw_error *err);
TW_API void tw_harness_free(tw_harness *harness);

/** Which parts are in: a named set (NULL: all), then more, then fewer. */
typedef struct tw_choice {
    const char *set;
    size_t with_count, without_count;
    const char *const *with, *const *without; /**< names of parts, pairs, kinds or sets */
} tw_choice;

/** Parts that are in, added up. */
typedef struct tw_total {
    const tw_harness *harness;
    bool *in;            /**< part_count */
    tw_counted *counted; /**< part_count: how each one's grams came */
    tw_figure *figure; /**< part_count: the grams counted for each; missing where out or unknown */
    size_t in_count, missing_count; /**< missing: in, but without any figure */
    tw_figure sum;                  /**< of all that are in and have a figure */
    tw_figure modelled;       /**< of parts in that are modelled and weighed both: the models */
    tw_figure weighed;        /**< the same parts: the weighings */
    size_t both_count;        /**< how many those are */
    tw_figure straps, lining; /**< in the sum, as far as modelled */
    bool has_balance;         /**< every part in with a figure has a place */
    double balance[3];        /**< of the sum, on the wearer [mm] */
    double inertia_g_mm2[3]
                        [3]; /**< about it, parts without plates as points; NaN without balance */
    tw_notes
        notes; /**< "tasset left and right were weighed together, and only one is in: modelled" */
    tw_arena *arena;
} tw_total;
/**
 * @brief Add up the parts that are in. Parts weighed together count as one weighing when all of them
 * are in and not all have a weighing of their own in the harness file; otherwise each counts as weighed,
 * else modelled. Of weighings that overlap the one of more parts goes first.
 * @return TW_OK; TW_ERR_KEY (unknown name, with the nearest); TW_ERR_INPUT (nothing is in; a part both
 * with and without); TW_ERR_MEMORY
 */
TW_API tw_status tw_harness_total(const tw_harness *harness, const tw_choice *choice, tw_total *out,
                                  tw_error *err);
TW_API void tw_total_release(tw_total *total);
/** @brief The whole with one part (and its twin, when `pair`) out, or made of sheet: mass and balance.
 * @param[out] mass_g, balance  of what is left; balance NaN when it is not known */
TW_API tw_status tw_total_without(const tw_total *total, size_t part, bool pair, double *mass_g,
                                  double balance[3], tw_error *err);
TW_API tw_status tw_total_as_sheet(const tw_total *total, size_t part, bool pair, double *mass_g,
                                   double balance[3], tw_error *err);

/** Where a replica's grams come from: one row a part (a pair is one row). */
typedef struct tw_source_row {
    const char *name;
    size_t part; /**< index of the first of its parts */
    double forged_g, sheet_g;
    double difference_g; /**< sheet − forged: > 0 where sheet is heavier */
    double share;        /**< of the sum of differences; they add up to 1 when all have one sign */
    double overlap_difference_g; /**< of the difference what lies where plates overlap */
} tw_source_row;
typedef struct tw_sources {
    size_t count, left_out; /**< left_out: parts in without both maps */
    tw_source_row *rows;    /**< by falling |difference| */
    double forged_g, sheet_g, difference_g, overlap_difference_g;
    tw_arena *arena;
} tw_sources;
TW_API tw_status tw_total_sources(const tw_total *total, tw_sources *out, tw_error *err);
TW_API void tw_sources_release(tw_sources *sources);

/* ---- originals ------------------------------------------------------------------------------ */

typedef enum tw_said { TW_NOT_SAID, TW_SAID_IN, TW_SAID_OUT } tw_said;
/** A kind and how many of it a weight covers. */
typedef struct tw_kind_count {
    const char *kind;
    size_t count;
} tw_kind_count;
/** One recorded weight of an original. */
typedef struct tw_original {
    const char *institution, *object, *title; /**< object: its number there */
    size_t kind_count;
    tw_kind_count *kinds;   /**< what the weight covers; none: not listed, meets nothing */
    tw_said straps, lining; /**< in the weight? */
    double height, width;   /**< [mm]; NaN when not recorded */
    int year_from, year_to; /**< 0 when not recorded */
    double g, u_g;          /**< u_g: standard, of rounding as printed; NaN when not told */
    double pounds_g;        /**< by the record's own pounds and ounces [g]; NaN when not given */
    bool use;               /**< false: kept, but out of every comparison */
    const char *why;        /**< it is out, NULL when in */
    const char *note, *licence, *source;
    int line;
} tw_original;
typedef struct tw_originals {
    const char *file; /**< "" for the shipped set */
    size_t count;
    tw_original *rows;
    tw_notes warnings; /**< pounds against grams that disagree, duplicates, parts against whole */
    size_t warning_count; /**< all of them, also beyond what notes hold */
    tw_arena *arena;
} tw_originals;
enum { TW_ORIGINALS_CEILING = 64 << 20, TW_ORIGINALS_MAX = 200000 };
/** @brief The set that comes with the program: museum open access data, CC0, each record cited. */
TW_API tw_status tw_originals_shipped(tw_originals **out, tw_error *err);
/** @brief Read a set (CSV; columns in src/harness/originals.csv). A record whose pounds and grams
 * disagree beyond rounding is kept out of comparisons, and said so: which is right is not chosen. */
TW_API tw_status tw_originals_read(const char *path, tw_originals **out, tw_notes *errors);
TW_API void tw_originals_free(tw_originals *originals);
/** @return the text of the shipped set, to start one's own from; size bytes. */
TW_API const char *tw_originals_text(size_t *size);

/** Sample quantile, Hyndman & Fan type 7 (The American Statistician 50, 1996). @param sorted ascending */
TW_API double tw_quantile(const double *sorted, size_t count, double share);

typedef struct tw_filter {
    int year_from, year_to; /**< records whose span meets it; 0: open */
    const char *object;     /**< part of the title, letter case aside; NULL: any */
} tw_filter;
/** @return true when a record is of these years and this title. filter may be NULL. */
TW_API bool tw_original_passes(const tw_original *record, const tw_filter *filter);
/** What was taken off so that like stands beside like. */
typedef struct tw_adjustment {
    const char *what; /**< "straps taken off, as in 7 of 9 records" */
    double g, u_g;    /**< added */
    size_t records;   /**< beside so many of the records */
    bool held; /**< `own` holds it: most records are like that; else only those are met with it */
} tw_adjustment;
enum { TW_ADJUSTMENTS_MAX = 4 };
/** One mass beside its records. */
typedef struct tw_standing {
    const char *what; /**< "the whole", or the part's name */
    size_t kind_count;
    tw_kind_count *kinds;
    tw_figure own; /**< after adjustments; of the harness */
    size_t adjustment_count;
    tw_adjustment adjustments[TW_ADJUSTMENTS_MAX];
    size_t count;
    const tw_original **records;              /**< like it, by rising mass */
    double median, lower, upper, least, most; /**< [g]; median and quartiles NaN under 8 records */
    size_t lighter, heavier; /**< records lighter, heavier than own, each by its own convention */
    size_t uncertain;        /**< records inside own ± U */
    size_t straps_not_said, lining_not_said; /**< records that do not say whether they are in */
    double per_area;        /**< own grams per dm² of height × width; NaN when not known */
    double per_area_median; /**< of the records that give both; NaN under 8 */
    size_t per_area_count;
} tw_standing;
typedef struct tw_ranking {
    const char *harness;    /**< its name, borrowed from the harness file; NULL without one */
    bool whole;             /**< rows[0] is the whole: at least one record covers the same kinds */
    const char *stopper;    /**< part without which the whole would meet records, or NULL */
    size_t stopper_records; /**< how many it would meet */
    size_t count;
    tw_standing *rows; /**< the whole first when it meets any, then part by part */
    size_t alone_count;
    const char **alone; /**< parts in whose kind no record covers alone */
    tw_arena *arena;
} tw_ranking;
/** @brief Set the parts that are in beside records of the same kinds; pairs count as two.
 * Breast, plackart and the like stay what they are: only the same kinds meet. */
TW_API tw_status tw_rank(const tw_total *total, const tw_originals *originals,
                         const tw_filter *filter, tw_ranking *out, tw_error *err);
/** @brief The records by what they cover, most records first: a standing each, without an own figure
 * and named by its kinds in words ("tasset 2"). */
TW_API tw_status tw_originals_summary(const tw_originals *originals, const tw_filter *filter,
                                      tw_ranking *out, tw_error *err);
TW_API void tw_ranking_release(tw_ranking *ranking);

/* ---- limits --------------------------------------------------------------------------------- */

typedef enum tw_limit_verdict {
    TW_LIMIT_MET,       /**< thinnest less its U is not under it */
    TW_LIMIT_IN_DOUBT,  /**< thinnest is not under it, but less its U is */
    TW_LIMIT_UNDER,     /**< thinnest is under it */
    TW_LIMIT_NOT_ABOUT, /**< about other kinds, or a zone the plate does not have */
    TW_LIMIT_UNKNOWN    /**< before forming, and no sheet is given; no such map */
} tw_limit_verdict;
/** @return "met", "in doubt", "under", "not about this plate", "cannot be told". */
TW_API const char *tw_limit_word(tw_limit_verdict verdict);
typedef struct tw_limit {
    const tw_limit_spec *spec;
    tw_limit_verdict verdict;
    double thinnest_mm, expanded_mm; /**< where the limit holds, and its U at 95 %; NaN unknown */
    double at[2];                    /**< tape coordinates; NaN of a sheet as bought */
    const char *why; /**< "readings", "stock tolerance EN 10131", …: where U comes from */
} tw_limit;
/**
 * @brief Hold one map of a plate against rules. The U of a forged map is only that of its making as
 * written, so it is taken as 0 and said; of readings from the map's standard deviation at that place; of
 * sheet from its tolerance.
 * @param[out] out  rules->count rows
 */
TW_API tw_status tw_limits_check(tw_plate *plate, const tw_plate_map *map,
                                 const tw_rules_file *rules, unsigned threads, tw_limit *out,
                                 tw_error *err);

#ifdef __cplusplus
}
#endif
#endif
