/* thickness_internal.h: what the files of this room share. */
#ifndef THICKNESS_INTERNAL_H
#define THICKNESS_INTERNAL_H

#include "taperwright/thickness.h"

/** One source of a taper: all strike zones, or all edges, of equal thickness and hold. */
typedef struct tw_source {
    double thickness; /**< [mm], > 0 */
    double hold;      /**< kept even this far around [mm], ≥ 0 */
    /** nu·nv [mm], hold not taken off: > 0 away from the source, < 0 inside a zone or beyond an
     * edge (about the distance to its border, near there), INFINITY where no path leads. The sign
     * lets a cell on the border be read between its nodes without a false ridge. */
    const double *distance;
} tw_source;

/** All that the taper's formula needs: fields once marched, and thicknesses that may be exchanged
 * between one pass and the next. */
typedef struct tw_blend {
    size_t zone_count, edge_count; /**< at least one source in all */
    const tw_source *zones, *edges;
    tw_law law;
    double band; /**< [mm] of TW_LAW_HELD, above every edge's hold */
} tw_blend;

/** A place on the grid: a node, or a point inside the cell whose lower left node it names. */
typedef struct tw_spot {
    size_t node;
    size_t above;      /**< nodes from one row to the next; 0: the node itself */
    double across, up; /**< place inside the cell, 0…1 each */
    size_t on_edge;    /**< edge source known to be at distance 0 here, or TW_NO_EDGE */
} tw_spot;
#define TW_NO_EDGE SIZE_MAX

/** @return the spot of a tape point; points off the grid are held at its border. */
tw_spot tw_spot_of(const tw_grid *grid, const double at[2], size_t on_edge);
/** @return the forged thickness at one spot [mm]. */
double tw_blend_at(const tw_blend *blend, const tw_spot *spot);
/** @brief Kernel: the forged thickness at nodes [first, last). No heap, cannot fail. */
void tw_blend_nodes(const tw_blend *blend, size_t first, size_t last, double *thickness);
/** @brief Kernel: the forged thickness in the middle of every cell of rows [first, last). */
void tw_blend_cell_rows(const tw_blend *blend, const tw_grid *grid, size_t first, size_t last,
                        double *thickness);

/** @return whether this taper can step from one thickness to another at a line (step.c). */
bool tw_blend_steps(const tw_blend *blend);
/** @brief Kernel: cells of rows [first, last) that a step runs through get the mean thickness of
 * their metal; other cells are left alone. */
void tw_blend_step_rows(const tw_blend *blend, const tw_grid *grid, size_t first, size_t last,
                        double *thickness);

/** The lines of one entry of the profile's list of edges. */
typedef struct tw_edge_set {
    size_t line_count; /**< 0 when other entries name every edge that `all` would have meant */
    tw_edge_line *lines;
    size_t source; /**< the edge source it belongs to */
} tw_edge_set;

/** The edges of one source while they are marched. */
typedef struct tw_edge_group {
    const tw_edge_thickness *entry; /**< the first of them, to tell the user */
    size_t line_count;
    tw_edge_line *lines;
    double *distance; /**< nu·nv */
} tw_edge_group;

/** A zone as it is painted: where field − reach is below zero. */
typedef struct tw_zone_level {
    const double *field; /**< nu·nv [mm] */
    double reach;        /**< [mm] */
    size_t name;         /**< its index in the zones' names */
} tw_zone_level;
/** @brief Share every cell out to zones, earlier ones first, the rest to the last name; fills first,
 * second and share, which are zero. @return false when memory ran out */
bool tw_zones_paint(const tw_grid *grid, const tw_zone_level *list, size_t listed, unsigned threads,
                    tw_zones *zones);

struct tw_taper {
    const tw_form *form; /**< borrowed; NULL leaves the outline's points out of the extremes */
    const tw_grid *grid; /**< borrowed */
    const tw_forged_spec *spec; /**< borrowed from the profile */
    unsigned threads;           /**< for its maps and zones; 0: one per processor */
    tw_blend blend;
    double **strikes;  /**< spec->strike_count fields, signed as a source's */
    tw_edge_set *sets; /**< spec->edge_count */
    tw_arena *arena;
};

/**
 * @brief March from one set of lines; nodes beyond them get a minus sign.
 * @param[out] distance  nu·nv, as tw_source wants it
 */
tw_status tw_taper_march_lines(tw_march *march, const tw_form *form, const tw_grid *grid,
                               const tw_edge_line *lines, size_t line_count, double *distance,
                               tw_error *err);

/** @brief Whether a spec's numbers can be meant. */
tw_status tw_taper_check(const tw_form *form, const tw_forged_spec *spec, tw_error *err);
/** @brief Zones of equal thickness and hold become one source, the least of their distances. */
tw_status tw_taper_gather_zones(tw_taper *taper, tw_error *err);

/** @brief Empty map with arrays for a grid. */
tw_status tw_map_make(tw_map_kind kind, const tw_grid *grid, tw_map *out, tw_error *err);
/** @brief Let one value, at a tape point, widen the extremes. */
void tw_map_widen(tw_map *map, double thickness, double across, double up);

/* ---- readings ----------------------------------------------------------------------------- */

enum { TW_BASIS_MAX = 3 };

/** What the process is fitted to: readings at one place are one value. */
typedef struct tw_survey_data {
    size_t count;
    double (*tape)[2], (*position)[3]; /**< count */
    double *value, *noise;             /**< count [mm] */
    double *basis;                     /**< count·tw_survey_basis_count(), row by row */
    size_t *place_of; /**< of each reading of the survey: index here, SIZE_MAX when left out */
    bool *suspect;    /**< count: far off its neighbours, so none of them is judged by it */
} tw_survey_data;

/** @brief Point an error or note to the row of a reading, in the profile or its table. */
void tw_survey_point(const tw_form *form, const tw_readings_spec *spec, const tw_reading *reading,
                     tw_error *err);
/** @brief Add a note about a reading, with advice (may be NULL). */
void tw_survey_note(tw_survey *survey, const tw_readings_spec *spec, const tw_reading *reading,
                    const char *advice, const char *message, ...) TW_PRINTF(5, 6);

/** @brief Fill thickness and noise of a placed reading: velocity, tie, step and repeats taken in. */
void tw_survey_number(const tw_instrument *instrument, tw_placed_reading *out);
/** @brief Notes about instruments in use: what a tie is worth, velocities that are odd or missing. */
void tw_survey_instruments(tw_survey *survey, const tw_readings_spec *spec);
/** @brief Fill the survey's readings: place, thickness, noise, distance from the edge, and the
 * flags of reach and face. */
tw_status tw_survey_locate(tw_survey *survey, const tw_readings_spec *spec, tw_error *err);
/** @brief Join used readings at one place; those that disagree are an error. */
tw_status tw_survey_join(tw_survey *survey, const tw_readings_spec *spec, tw_survey_data *data,
                         tw_error *err);
/** @brief Surface scatter: given, or estimated from pairs, or the usual one. */
void tw_survey_scatter(tw_survey *survey, const tw_readings_spec *spec, const tw_survey_data *data);
/** @brief Flags that need no fit: doubled, inner, and what is many times its neighbours. */
tw_status tw_survey_neighbours(tw_survey *survey, const tw_readings_spec *spec,
                               tw_survey_data *data, tw_error *err);
/** @brief Fit the process to places: trend alone under 6 of them. */
tw_status tw_survey_fit(const tw_survey *survey, const tw_survey_data *data, tw_krige **out,
                        tw_error *err);
/** @brief Leave-one-out errors to the readings, and the flag of a slip. */
tw_status tw_survey_leave_one_out(tw_survey *survey, const tw_readings_spec *spec,
                                  const tw_survey_data *data, tw_error *err);
/** @brief Whether all used readings lie near the edge of a plate that has metal beyond. */
tw_status tw_survey_edges(tw_survey *survey, const tw_readings_spec *spec, tw_error *err);

/**
 * @brief Distance over the metal from edges, and from holes too when they count.
 * @param[out] distance  nu·nv [mm], below zero just outside the lines
 */
tw_status tw_survey_march(const tw_form *form, const tw_grid *grid, bool holes, double *distance,
                          tw_error *err);

/** @return how many functions a trend has. */
size_t tw_survey_basis_count(tw_trend trend);
/** @brief The trend's functions at a tape point; `forged` is the taper's thickness there [mm]. */
void tw_survey_basis(const tw_survey *survey, double across, double up, double forged,
                     double *basis);
/** @return the taper's thickness at a tape point of the survey's grid; 1 without a taper. */
double tw_survey_forged(const tw_survey *survey, const double tape[2]);

/** A grid's cells gathered: weight summed, place and basis averaged by weight. */
typedef struct tw_blocks {
    size_t count;
    double (*position)[3];
    double *basis, *weight;
} tw_blocks;
/** @brief Gather cells into at most side × side blocks. The arrays live in `arena`. */
tw_status tw_survey_gather(const tw_survey *survey, const double *weight, size_t side,
                           tw_arena *arena, tw_blocks *out, tw_error *err);

/** Standard scatter of the instrument's display and what else is said of it [mm]. */
double tw_instrument_noise(const tw_instrument *instrument);

#endif
