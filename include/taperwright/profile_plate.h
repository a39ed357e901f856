/*
 * profile_plate.h: one plate as its owner wrote it down (YAML), read and checked into plain structs.
 *
 * A profile knows no geometry: lengths are in mm, angles in radians, thicknesses in mm, and each
 * item keeps its place in the file so that a later room can still point at it.
 */
#ifndef TAPERWRIGHT_PROFILE_PLATE_H
#define TAPERWRIGHT_PROFILE_PLATE_H

#include "taperwright/base.h"
#include "taperwright/material.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { TW_PROFILE_FORMAT = 1, TW_PROFILE_CEILING = 1 << 20 };

/** Where in the profile something was written; line 0 when it was not written but assumed, −k when
 * it came with the k-th setting. Columns count letters. */
typedef struct tw_place {
    int line, column;
} tw_place;

/*
 * Sides. +across is the viewer's right as they face the outside. Left and right in words are the
 * viewer's too, unless `worn: front` makes them the wearer's: then the + side is called left.
 *
 * `symmetric: yes`: the + side is given. A strike zone or hole on it gets a twin (NAME becomes
 * `NAME right` and `NAME left`); on the centre line, or with points on both sides, it stays single.
 * Edges listed in the outline are its + half, from one point of the centre line round to another:
 * the first and the last are joined with their twins across the centre line and keep their names,
 * each one between becomes `NAME right` and `NAME left`, and what is said of NAME holds for both. A
 * single edge closes on itself; its first point is not repeated. Tape checks stay as written.
 */

/** How a point was given. */
typedef enum tw_point_kind {
    TW_POINT_TAPE,  /**< [across, up] */
    TW_POINT_EDGE,  /**< {edge, along, in}: along the edge from its first point, in from it */
    TW_POINT_SPACE, /**< {x, y, z}: snapped to the face */
    TW_POINT_CROWN  /**< {from crown, toward}: bowls only; toward 0 = up, clockwise from outside */
} tw_point_kind;
typedef struct tw_point {
    tw_point_kind kind;
    /** tape: across, up; edge: along, in; space: x, y, z (of a points form: x, y from its origin);
     * crown: length, angle */
    double value[3];
    const char *edge; /**< of TW_POINT_EDGE, else NULL */
    tw_place place;
    /** Of TW_POINT_EDGE: `along` as one who faces the inside runs it. An edge that the outline does not
     * list (a rim, a side of a rectangle) then begins where its mirror image would, and runs the other
     * way; one that it lists has its own first point, the same from both sides. */
    bool inside;
} tw_point;

typedef enum tw_face_side { TW_FACE_OUTSIDE, TW_FACE_MIDDLE, TW_FACE_INSIDE } tw_face_side;
typedef enum tw_worn {
    TW_WORN_NOT_SAID,
    TW_WORN_FRONT,
    TW_WORN_BACK,
    TW_WORN_LEFT,
    TW_WORN_RIGHT
} tw_worn;

typedef enum tw_bowl_profile {
    TW_BOWL_ROUND, /**< spherical cap, or its affine stretch */
    TW_BOWL_FULL,  /**< half ellipsoid */
    TW_BOWL_CONE,
    TW_BOWL_PARABOLA,
    TW_BOWL_OVER /**< conic of the taped lengths over the crown */
} tw_bowl_profile;

typedef struct tw_bowl_spec {
    double across, up; /**< half-widths in plan [mm] */
    double depth;      /**< [mm] */
    tw_bowl_profile profile;
    double over_across, over_up; /**< tape over the crown, rim to rim [mm], with TW_BOWL_OVER */
    tw_place place;
} tw_bowl_spec;

/** One ruler station of a loft: a section across the plate, seen from the bench. */
typedef struct tw_station {
    double ruler;     /**< along the bench [mm] */
    double width;     /**< side to side [mm]; 0 when heights give it */
    double centre;    /**< height of the centre line over the bench [mm]; NaN when open */
    double sides;     /**< height of both sides [mm]; NaN when heights give it */
    double tape;      /**< taped width over the face [mm]; 0 when not given */
    bool centre_open; /**< no metal on the centre line here */
    size_t height_count;
    double (*heights)[2]; /**< height_count pairs [out from centre, up from bench], out ascending */
    tw_place place;
} tw_station;
typedef struct tw_loft_spec {
    size_t station_count;
    tw_station *stations;           /**< by ascending ruler, at least 2 */
    double keel_stands, keel_width; /**< [mm]; both 0 without a keel */
    tw_place place, keel_place;
} tw_loft_spec;

/** A row of a grid of points: a section of the face square to y. */
typedef struct tw_points_row {
    double y;            /**< mean of its points' [mm] */
    size_t first, count; /**< its points, from − x to + x along the section; count >= 3 */
} tw_points_row;
/** A picture of grey levels beside a profile, and what its numbers mean: value = offset + level·step, level
 * 0 for nothing there. */
typedef struct tw_picture_spec {
    const char *file;            /**< NULL for none */
    size_t width, height;        /**< pixels */
    double across_step, up_step; /**< of a pixel [mm], > 0 */
    double left, top;            /**< its borders [mm]: middles of pixels lie half a step inside */
    double level_step, offset;   /**< [mm]; level_step > 0 */
    tw_place place;
} tw_picture_spec;
/* Keywords of the text chunks that say so in the file itself; numbers in mm. */
#define TW_PICTURE_QUANTITY "taperwright-quantity" /* thickness or height */
#define TW_PICTURE_UNIT     "taperwright-unit"     /* mm */
#define TW_PICTURE_LEVEL    "taperwright-mm-per-level"
#define TW_PICTURE_OFFSET   "taperwright-offset-mm"
#define TW_PICTURE_PIXEL    "taperwright-mm-per-pixel"
#define TW_PICTURE_PIXEL_UP "taperwright-mm-per-pixel-up" /* when it is another one */
#define TW_PICTURE_LEFT     "taperwright-left-mm"
#define TW_PICTURE_TOP      "taperwright-top-mm"
#define TW_PICTURE_ORIGIN   "taperwright-origin-mm" /* x y z of the tape's origin; heights */

/** A face by a grid of points in space, from a scan, a measuring arm or a picture of heights. */
typedef struct tw_points_spec {
    const char *file;        /**< the table or picture; NULL when it stands in the profile itself */
    tw_picture_spec picture; /**< file NULL unless the points were made from one */
    size_t row_count, point_count;
    tw_points_row *rows; /**< by ascending y, at least 2 */
    double (*points)[2]; /**< point_count pairs x, z [mm], row by row */
    int *
        line; /**< point_count: line of the table, or of the profile without a file; NULL of a picture */
    /** tape origin [mm]: as given, or the lowest row's middle with z NaN. The face and points in space
     * count x and y from it, z from the bench. */
    double origin[3];
    tw_place place, origin_place;
} tw_points_spec;
enum { TW_POINTS_MAX = 250000, TW_POINTS_ROWS_MAX = 1000, TW_POINTS_ROW_MAX = 1000 };

typedef enum tw_form_kind {
    TW_FORM_NONE,
    TW_FORM_FLAT,
    TW_FORM_BOWL,
    TW_FORM_LOFT,
    TW_FORM_POINTS
} tw_form_kind;

/** A closed shape on the face: strike zone, hole or whole outline. */
typedef enum tw_shape_kind {
    TW_SHAPE_DISC,      /**< at, radius */
    TW_SHAPE_ELLIPSE,   /**< at, half sizes across and up */
    TW_SHAPE_RECTANGLE, /**< at, half sizes across and up */
    TW_SHAPE_POLYGON,   /**< points */
    TW_SHAPE_LINE       /**< points, width: a band along a line */
} tw_shape_kind;
typedef struct tw_shape {
    tw_shape_kind kind;
    tw_point at;
    double across, up; /**< half sizes [mm], lengths on the plate; radius in both for a disc */
    double width;      /**< of a line [mm] */
    size_t point_count;
    tw_point *points;
    tw_place place;
} tw_shape;

typedef enum tw_outline_kind {
    TW_OUTLINE_RIM,   /**< the form's own boundary */
    TW_OUTLINE_SHAPE, /**< rectangle or ellipse in `shape` */
    TW_OUTLINE_EDGES
} tw_outline_kind;
typedef struct tw_edge_spec {
    const char *name;
    size_t point_count;
    tw_point *points; /**< in order round the plate; none with along_rim */
    bool smooth;      /**< centripetal Catmull–Rom through the points */
    bool along_rim;   /**< follows the form's boundary */
    double corner;    /**< radius that rounds the corners [mm], 0 for none */
    tw_place place;
} tw_edge_spec;
typedef struct tw_outline_spec {
    tw_outline_kind kind;
    tw_shape shape;
    size_t edge_count;
    tw_edge_spec *edges;
    tw_place place;
} tw_outline_spec;

typedef struct tw_strike {
    const char *name;       /**< never NULL: "strike 1" when not given */
    tw_shape shape;         /**< disc, ellipse, polygon or line */
    double thickness, hold; /**< [mm] */
    tw_place place, thickness_place;
} tw_strike;
typedef struct tw_edge_thickness {
    const char *edge;       /**< "all" or an edge's name */
    double thickness, hold; /**< [mm] */
    tw_place place, thickness_place;
} tw_edge_thickness;
typedef enum tw_law { TW_LAW_STRAIGHT, TW_LAW_EASED, TW_LAW_HELD } tw_law;
typedef struct tw_forged_spec {
    size_t strike_count, edge_count;
    tw_strike *strikes;
    tw_edge_thickness *edges;
    tw_law law;
    double band; /**< [mm] of TW_LAW_HELD */
    tw_place place;
} tw_forged_spec;

/** A thickness map by a picture, laid out by tape as the plate is seen from outside. */
typedef struct tw_image_map_spec {
    tw_picture_spec picture;
    const uint16_t *levels; /**< width·height, the top row first; 0: no metal */
    double uncertainty;     /**< standard, common to the whole map [mm]; NaN when not given */
} tw_image_map_spec;

/** A tape check between two points: what the form says is compared with it. */
typedef struct tw_tape_check {
    tw_point from, to;
    double tape; /**< [mm] */
    tw_place place;
} tw_tape_check;

typedef struct tw_turned_edge {
    const char *edge;
    double roll; /**< outside diameter [mm] */
    double wire; /**< [mm], 0 for none */
    tw_place place;
} tw_turned_edge;

/** Flutes by tape: how much longer the face is along them than straight across. Metal as thick as the
 * map's mean is added for it. */
typedef struct tw_flutes_spec {
    double length; /**< of the flutes, along them [mm] */
    double over,
        straight; /**< tape across all of them, in every groove; and straight over them [mm] */
    tw_place place;
} tw_flutes_spec;

/** `--set path=value`: keys joined by dots, a list item by its name or its number from 1. */
typedef struct tw_setting {
    const char *path, *value;
} tw_setting;

/* ---- gauge readings ------------------------------------------------------------------------- */

typedef enum tw_instrument_kind { TW_CALIPER, TW_MICROMETER, TW_ULTRASONIC } tw_instrument_kind;
typedef struct tw_instrument {
    const char *name; /**< never NULL: the kind's word when not given */
    tw_instrument_kind kind;
    double resolution;  /**< step of its display [mm], > 0 */
    double uncertainty; /**< standard, beyond its step [mm]; 0 when not given */
    double reach;       /**< how far from an edge it reaches [mm]; INFINITY when it is free */
    double least;       /**< thinnest it reads true [mm]; 0 when not given */
    double foot;        /**< diameter of its foot or anvils [mm]; 0 when not given */
    double set_velocity, metal_velocity; /**< ultrasonic [mm/µs]; 0 when not given */
    double tie_true, tie_reads; /**< one spot by micrometer and by this [mm]; 0 when not given */
    const char *serial;         /**< NULL when not given */
    tw_place place;
} tw_instrument;
typedef struct tw_reading {
    const char *name;   /**< "1", "2", … or as given */
    tw_point at;        /**< seen from inside is already turned over */
    double thickness;   /**< as read, mean of repeats [mm] */
    size_t repeats;     /**< ≥ 1 */
    double spread;      /**< standard deviation of the repeats [mm]; 0 with one */
    size_t instrument;  /**< index into the instruments */
    bool leave_out;     /**< the user's own decision */
    tw_place place;     /**< line of the profile, or of the table */
    bool from_table;    /**< place belongs to readings.file */
    const char *source; /**< that line of the table, for carets; NULL otherwise */
} tw_reading;
/** The shape that readings are taken to scatter about. */
typedef enum tw_trend { TW_TREND_EVEN, TW_TREND_PLANE, TW_TREND_FORGED } tw_trend;
enum { TW_READINGS_MAX = 2000 };
typedef struct tw_readings_spec {
    size_t instrument_count, reading_count;
    tw_instrument *instruments;
    tw_reading *readings;
    tw_trend trend;   /**< even when not given */
    double surface;   /**< standard scatter of dents and pits [mm]; NaN: estimated, else 0.10 mm */
    const char *file; /**< the table they came from, NULL for none */
    const char *object, *part, *measured_by, *date; /**< for reports; NULL when not given */
    tw_place place;
    bool seen_inside; /**< as written; the readings are turned over already */
} tw_readings_spec;

/** How sheet was bought, for the bound of its thickness. */
typedef struct tw_tolerance_spec {
    bool given;
    double bound; /**< typed in [mm]; 0: by standard */
    tw_tolerance_standard standard;
    tw_tolerance_class grade;
    double width; /**< [mm]; 0: up to 1200 */
    tw_place place;
} tw_tolerance_spec;

/** A least thickness that a plan keeps, in place of what the forged map gives there. */
typedef struct tw_plan_keep {
    const char *strike, *edge; /**< one of them, as named; the other NULL */
    double least;              /**< [mm] */
    tw_place place;
} tw_plan_keep;
/** What a plan is to keep, for `taperwright plan`; NaN and NULL where not given. */
typedef struct tw_plan_spec {
    double least; /**< thickness everywhere [mm] */
    double grade; /**< steepest [mm per mm] */
    double
        within; /**< in place of a grade: down from the thickest zone to the edge over this [mm] */
    double weight;  /**< at most [g] */
    const char *by; /**< what the weight changes: strike.all, edges.NAME, … */
    size_t keep_count;
    tw_plan_keep *keeps;                       /**< zones:, then edges: */
    tw_place place, grade_place, within_place; /**< line 0 when not given */
} tw_plan_spec;

/** How the metal comes to its thickness. */
typedef enum tw_worked {
    TW_WORKED_FLAT, /**< drawn thin in the flat, or as it is shaped: counted from the sheet; also when
                          nothing is said */
    TW_WORKED_RAISED /**< shaped first, then thinned: counted from the sheet as formed */
} tw_worked;
/** One loss [mm] and its standard uncertainty; of one whose uncertainty is not said half of it is a
 * rectangular bound (common practice, no source). */
typedef struct tw_loss {
    double value, uncertainty;
} tw_loss;
/** What the metal loses on the way from sheet to finished plate; all 0 when not given. */
typedef struct tw_losses_spec {
    size_t heats;
    tw_loss scale;  /**< burnt off each side in each heat */
    tw_loss polish; /**< ground and polished off each side, in all */
    tw_loss trim;   /**< width of the strip cut off along the outline at the end; no uncertainty */
    tw_place place;
} tw_losses_spec;
/** What the metal weighed on the way [g]; 0 when not given. */
typedef struct tw_weighed_spec {
    double blank;    /**< cut, before any work */
    double rough;    /**< hammered, before polishing and trimming */
    double finished; /**< trimmed and polished */
    tw_place place;
} tw_weighed_spec;

typedef struct tw_profile {
    const char *file; /**< as opened; "" when read from memory without a name */
    int format;
    const char *plate; /**< the plate's name */
    const char *kind;  /**< trade kind, NULL when not given */
    const char *note;  /**< free line shown on drawings, NULL when not given */
    const char *date;  /**< printed as it stands, NULL when not given */
    const char *material;
    double density, density_uncertainty; /**< [g/mm³] */
    tw_worn worn;
    tw_face_side face;
    tw_ruler ruler;
    bool symmetric; /**< already applied: mirrored strikes, holes, edges are in the lists */
    tw_form_kind form;
    tw_bowl_spec bowl;
    tw_loft_spec loft;
    tw_points_spec points;
    tw_outline_spec outline;
    bool has_sheet, has_forged, has_image;
    tw_stock sheet;
    tw_place sheet_place;
    tw_forged_spec forged;
    tw_image_map_spec image;
    size_t hole_count;
    tw_shape *holes; /**< disc, ellipse, rectangle or polygon */
    size_t turned_count;
    tw_turned_edge *turned;
    size_t flutes_count;
    tw_flutes_spec *flutes;
    size_t check_count;
    tw_tape_check *checks;
    double area; /**< [mm²] of a plate given by area or paper only; 0 otherwise */
    /** Standard [mm²], 0 when not given; of paper from its scale's step and 2 % of the sheet's weight. */
    double area_uncertainty;
    double scale;                /**< the plate's own weight as read [g]; 0 when not given */
    double scale_step;           /**< of the display [g]; 0 when not given */
    double scale_uncertainty;    /**< standard, both roundings in it [g]; NaN when not known */
    double measured_to;          /**< bound of every length of the form [mm]; 1 when not given */
    tw_tolerance_spec tolerance; /**< of thickness.sheet */
    bool has_readings, has_plan;
    tw_readings_spec readings;
    tw_plan_spec plan;
    tw_stock stock; /**< that the forged plate is made from; thickness 0: not given */
    tw_worked worked;
    tw_losses_spec losses;
    tw_weighed_spec weighed;
    tw_arena *arena;  /**< owns everything above */
    const char *text; /**< the profile's bytes, for carets */
    size_t setting_count;
    const tw_setting *settings; /**< as given: errors in their values name them */
} tw_profile;

/**
 * @brief Read and check a plate profile.
 * @param      settings  setting_count replacements made after reading; may be NULL when 0
 * @param[out] out       written only when TW_OK is returned; pair with tw_profile_free()
 * @param[out] errors    every error found, up to TW_NOTES_MAX in one go; may be NULL
 * @return TW_OK or the status of the first error
 */
TW_API tw_status tw_profile_read(const char *path, const tw_setting *settings, size_t setting_count,
                                 tw_profile **out, tw_notes *errors);
/** @brief The same from memory; `name` stands for the file in errors. */
TW_API tw_status tw_profile_read_memory(const char *name, const char *data, size_t size,
                                        const tw_setting *settings, size_t setting_count,
                                        tw_profile **out, tw_notes *errors);
TW_API void tw_profile_free(tw_profile *profile);
/**
 * @brief Look whether a setting's path names something in a profile. The plate itself is not read.
 * @param      settings  setting_count replacements made before, which may bring what the path names
 * @param[out] known     written only when TW_OK is returned
 * @param[out] err       also when not known: which part of the path, and what is nearest to it; may be NULL
 * @return TW_OK, known or not; else why file or YAML could not be read
 */
TW_API tw_status tw_profile_knows(const char *file, const tw_setting *settings,
                                  size_t setting_count, const char *path, bool *known,
                                  tw_error *err);

/** Readings of work in progress. */
typedef struct tw_work_readings {
    tw_readings_spec spec;
    size_t unread; /**< rows without a thickness: points that nobody has read yet */
    bool assumed;  /**< the profile has no instruments: a caliper in steps of 0.05 mm is taken */
    tw_arena *arena;
} tw_work_readings;
/**
 * @brief Read a table of readings as thickness.readings.file takes it, seen from outside, with the
 * instruments of the profile's own readings. Rows without a thickness are counted and left out (in a
 * profile they are an error: what was surveyed has a number).
 * @param      path    not relative to the profile
 * @param[out] out     borrows the profile; pair with tw_work_readings_release()
 * @param[out] errors  every error found; may be NULL
 * @return TW_OK; TW_ERR_INPUT (missing, no row with a thickness); TW_ERR_KEY, TW_ERR_UNIT,
 * TW_ERR_DOMAIN, TW_ERR_SYNTAX with the row; TW_ERR_LIMIT; TW_ERR_MEMORY
 */
TW_API tw_status tw_work_readings_read(const tw_profile *profile, const char *path,
                                       tw_work_readings *out, tw_notes *errors);
TW_API void tw_work_readings_release(tw_work_readings *readings);

/** @brief Set file, line, column and source line of an error already set. err may be NULL. */
TW_API void tw_profile_place(const tw_profile *profile, tw_place place, tw_error *err);

/** @return what the + side (side > 0) or the − side of the centre line is called in words: "left" or
 * "right" of the viewer, or of the wearer of a plate worn in front. */
TW_API const char *tw_profile_side(const tw_profile *profile, int side);

#ifdef __cplusplus
}
#endif
#endif
