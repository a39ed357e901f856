/*
 * profile_internal.h: what the rows of a plate's schema (schema_plate.c) read: points, the form at the bench or
 * from a scan or a picture, outline and thicknesses, scale and tolerance, work, readings. Then what depends
 * on several keys is checked (check.c) and `symmetric: yes` is applied (mirror.c).
 */
#ifndef PROFILE_INTERNAL_H
#define PROFILE_INTERNAL_H

#include "reader_internal.h"

/* ---- points.c ------------------------------------------------------------------------------ */

/** What the keys of a point say before it is known which kind they make; NaN when not given. */
typedef struct tw_point_keys {
    const char *edge;
    double along, in, x, y, z, crown, toward;
} tw_point_keys;
bool tw_value_point(tw_reader *reader, const tw_node *node, const char *what, tw_point *out);
void tw_read_point(tw_reader *, const tw_node *, const tw_key *, void *);
/** A list of points; the row's detail is the offset of their count. */
void tw_read_points(tw_reader *, const tw_node *, const tw_key *, void *);

/** What the keys of a shape say before it is known which shape they make; NaN when not given. */
typedef struct tw_shape_keys {
    tw_point at;
    double radius, across, up, width;
    size_t point_count, line_count;
    tw_point *points, *line;
    tw_shape rectangle;
    tw_place at_place, points_place, line_place; /**< line 0 when not given */
} tw_shape_keys;
void tw_shape_keys_init(tw_shape_keys *keys);
/** Make the shape that keys say; an error at `place` when they make none. */
void tw_shape_from_keys(tw_reader *reader, const tw_shape_keys *keys, const char *what,
                        tw_place place, tw_shape *out);
/** {at, across, up} into a shape of the kind in the row's detail. */
void tw_read_shape(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- bench.c ------------------------------------------------------------------------------- */

void tw_read_form(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_flat(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_bowl(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_over(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_loft(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_keel(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_centre(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_heights(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- table_cells.c ------------------------------------------------------------------------- */

enum { TW_COLUMN_UNIT = 24, TW_COLUMN_NAME = 80 };

/** A column of a CSV table beside the profile. */
typedef struct tw_column {
    bool there, told; /**< told: that it lacks its unit */
    size_t at;
    char unit[TW_COLUMN_UNIT]; /**< "" when not known yet */
} tw_column;
/** Read the table whose path stands in *file, relative to the profile's own; *file becomes the whole
 * path. NULL after adding its errors. */
tw_table *tw_table_beside(tw_reader *reader, tw_place place, const char **file);
/** "across [mm]", "across (mm)", "across, mm" or "across" into name, in small letters, and unit. */
void tw_column_split(const char *text, char name[TW_COLUMN_NAME], char unit[TW_COLUMN_UNIT]);
/** How much one of a unit is; false when it is none of the dimension. */
bool tw_column_unit_size(const char *unit, tw_dimension dimension, double *size);
/** A number of a column; false after an error, or when its column lacks a unit and said so. */
bool tw_column_number(tw_reader *reader, tw_place place, const tw_table *table, tw_column *column,
                      const char *name, tw_number_kind kind, size_t row, double *out);

/* ---- scan.c -------------------------------------------------------------------------------- */

typedef struct tw_scan_keys {
    const char *file;
    const tw_node *table;
    double origin[3];
    tw_place file_place, table_place, origin_place; /**< line 0 when not given */
} tw_scan_keys;
void tw_read_scan(tw_reader *, const tw_node *, const tw_key *, void *);
/** A point in space was given in the numbers of the scan: x and y from its origin. */
void tw_scan_shift(const tw_reader *reader, tw_point *point);
/** [x, y, z] or {x, y, z}. */
void tw_read_origin(tw_reader *, const tw_node *, const tw_key *, void *);
/** A table of several lines, kept as its node. */
void tw_read_table(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- picture.c and heights.c ---------------------------------------------------------------- */

/** What the keys of a picture say; NaN when not given. */
typedef struct tw_picture_keys {
    const char *file;
    double pixel, pixel_up, level, offset, left, top;
    tw_place file_place;
} tw_picture_keys;
/* The picture's keys stand first in both. */
typedef struct tw_heights_keys {
    tw_picture_keys picture;
    double origin[3];
    tw_place origin_place; /**< line 0 when not given */
} tw_heights_keys;
typedef struct tw_image_keys {
    tw_picture_keys picture;
    double uncertainty;
} tw_image_keys;
void tw_picture_keys_init(tw_picture_keys *keys);
/** Read the picture beside the profile and what its numbers mean; left and top NaN when neither keys nor
 * file say them. `quantity` is "height" or "thickness". False after adding errors; grey is to be released
 * whatever comes back. */
bool tw_picture_beside(tw_reader *reader, const tw_picture_keys *keys, const char *quantity,
                       tw_grey *grey, tw_picture_spec *out);
void tw_read_image(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_height_map(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- parts.c ------------------------------------------------------------------------------- */

/* Structs that rows fill where the profile's own lack a place or a mark for "not given". */
typedef struct tw_material_keys {
    const char *name;
    double density, uncertainty;
    tw_place density_place;
} tw_material_keys;
typedef struct tw_edge_keys {
    tw_edge_spec edge;
    int along;
    tw_place points_place, along_place;
} tw_edge_keys;
typedef struct tw_strike_keys {
    tw_shape_keys shape;
    tw_strike strike;
} tw_strike_keys;
typedef struct tw_forged_keys {
    tw_forged_spec forged;
    tw_place band_place;
} tw_forged_keys;
enum { TW_BAND_USUAL = 40 /**< mm */ };

void tw_read_material(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_outline(tw_reader *, const tw_node *, const tw_key *, void *);
/** A map of the row's group whose own rows fill the profile. */
void tw_read_inside(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_forged(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_strikes(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_edge_thicknesses(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_turned(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_holes(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_flutes(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_checks(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- scale.c ------------------------------------------------------------------------------- */

typedef struct tw_area_keys {
    double value, uncertainty;
} tw_area_keys;
typedef struct tw_paper_keys {
    double weight, sheet, step;
} tw_paper_keys;
typedef struct tw_scale_keys {
    double reads, step, uncertainty;
    int tare_exact;
    tw_place tare_place;
} tw_scale_keys;
typedef struct tw_tolerance_keys {
    double bound, width;
    int standard, grade; /* words of their lists; −1 when not given */
    tw_place grade_place, width_place;
} tw_tolerance_keys;

void tw_read_area(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_paper(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_scale(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_tolerance(tw_reader *, const tw_node *, const tw_key *, void *);

/* ---- work.c -------------------------------------------------------------------------------- */

/** What a plan's keys fill; the spec stands first, so that rows of either go to the same struct. */
typedef struct tw_plan_keys {
    tw_plan_spec spec;
    size_t zone_count, edge_count;
    tw_plan_keep *zones, *edges;
} tw_plan_keys;

void tw_read_plan(tw_reader *, const tw_node *, const tw_key *, void *);
/** A list of what is kept; the row's detail is the offset of its count in tw_plan_keys. */
void tw_read_keeps(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_losses(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_heats(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_loss(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_weighed(tw_reader *, const tw_node *, const tw_key *, void *);
/** Strike zones and edges that a plan names; after mirroring. */
void tw_check_keeps(tw_reader *reader);

/* ---- readings.c and readings_table.c ------------------------------------------------------- */

typedef struct tw_reading_keys {
    tw_reading reading;
    const char *instrument;
    tw_place instrument_place;
} tw_reading_keys;
typedef struct tw_readings_keys {
    tw_readings_spec spec;
    int seen_inside;
    size_t point_count;
    tw_reading_keys *points;
    tw_place trend_place, file_place, points_place;
} tw_readings_keys;

void tw_read_readings(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_instruments(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_tie(tw_reader *, const tw_node *, const tw_key *, void *);
void tw_read_reading_points(tw_reader *, const tw_node *, const tw_key *, void *);
/** A thickness, or a list of repeats. */
void tw_read_repeats(tw_reader *, const tw_node *, const tw_key *, void *);
/** The profile that `new readings` prints. */
extern const char tw_readings_template[];
/** Mean, number and standard deviation of repeats into a reading. */
void tw_reading_average(const double *values, size_t count, tw_reading *out);
/** The table of readings that stands in keys->spec.file, relative to the profile: `count` readings
 * with the names of their instruments. NULL after an error or with none. */
tw_reading_keys *tw_readings_table(tw_reader *reader, tw_readings_keys *keys, size_t *count);
/** The readings of a table that is open. keys->spec.file names it in errors.
 * @param unread  NULL: every row is a reading; else rows without a thickness are counted there and
 *                left out, and columns of a gauge card are for people */
tw_reading_keys *tw_readings_rows(tw_reader *reader, const tw_readings_keys *keys,
                                  const tw_table *table, size_t *unread, size_t *count);
/** Points and rows into keys->spec.readings: named, turned over, instruments looked up. */
void tw_readings_join(tw_reader *reader, tw_readings_keys *keys, const tw_reading_keys *rows,
                      size_t row_count);
/** Errors that follow are about a reading: its line of the table, or the profile again. */
void tw_readings_turn(tw_reader *reader, const tw_reading *reading);

/* ---- the rest ------------------------------------------------------------------------------ */

/** What depends on several keys; names are as written, `symmetric` is not yet applied. */
void tw_check_profile(tw_reader *reader);
/** Names that must be one of a kind. */
void tw_check_names(tw_reader *reader);
/** Apply `symmetric: yes` to a profile without errors so far. */
void tw_mirror_profile(tw_reader *reader);
/** Edge names that are used, and points that need a bowl; after mirroring. */
void tw_check_edges(tw_reader *reader);
/** Adds an error when an earlier item has the same name. */
void tw_check_unique(tw_reader *reader, const char *what, const char *name, tw_place place,
                     const char *other, tw_place first);

/** Edge names of the outline as it stands in the profile. */
size_t tw_edge_count(const tw_profile *profile);
const char *tw_edge_name(const tw_profile *profile, size_t edge);
bool tw_edge_known(const tw_profile *profile, const char *name);
/** Add the error for a name no edge of the outline has. */
void tw_edge_unknown(tw_reader *reader, tw_place place, const char *name);

#endif
