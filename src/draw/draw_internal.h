/* draw_internal.h: shared inside the draw room; cairo and pango stay in here. */
#ifndef DRAW_INTERNAL_H
#define DRAW_INTERNAL_H

#include "taperwright/draw.h"

#include <cairo.h>
#include <pango/pangocairo.h>

/* ---- ink: one place for sizes and greys, in pixels of a picture 1600 wide -------------------- */

typedef struct tw_canvas {
    cairo_surface_t *surface; /* measuring happens on a 1×1 surface before the real one exists */
    cairo_t *cairo;
    PangoLayout *layout;
    double unit; /* pixels per design pixel: width / 1600 */
    tw_units units;
} tw_canvas;

/** @brief A canvas of design size (× unit); white. Freed by tw_canvas_end(). */
tw_status tw_canvas_begin(size_t width, size_t height, double unit, tw_units units,
                          tw_canvas *canvas, tw_error *err);
void tw_canvas_end(tw_canvas *canvas);
/** @brief Copy the drawn pixels out. */
tw_status tw_canvas_image(tw_canvas *canvas, tw_image *image, tw_error *err);

typedef enum tw_align { TW_LEFT, TW_CENTRE, TW_RIGHT } tw_align;
typedef struct tw_lettering {
    double size; /* design pixels */
    bool bold;
    bool halo;   /* a white rim, so that it reads on any colour */
    double grey; /* 0 black … 1 white */
    tw_align align;
    double wrap; /* width to wrap at, design pixels; 0: one line */
} tw_lettering;
/** @brief Width and height of a text, design pixels. */
void tw_text_size(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double *width,
                  double *height);
/** @brief Draw with its top at y and its left, middle or right at x; returns its height. */
double tw_text_draw(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double x,
                    double y);

/* ---- contour lines ------------------------------------------------------------------------- */

/** A line of points in grid index coordinates of the field it was traced on. */
typedef struct tw_contour {
    double level;
    bool closed;
    size_t count;
    double (*points)[2];
} tw_contour;
/** A field on a regular lattice of columns × rows values; cells where `use` is zero are skipped. */
typedef struct tw_field {
    size_t columns, rows;
    const double *value;
    const double *use; /* (columns−1)(rows−1), > 0 where the field holds; NULL: everywhere */
} tw_field;
/** @brief Trace level lines (marching squares, linear along cell sides). All live in `arena`. */
tw_status tw_contours_trace(const tw_field *field, const double *levels, size_t level_count,
                            tw_arena *arena, tw_contour **out, size_t *count, tw_error *err);

/** A round step so that a span holds about `wanted` of them: 1, 2, 2.5 or 5 times a power of ten;
 * in inches for thicknesses when units say so. Returned in mm. */
double tw_round_step(double span_mm, double wanted, tw_units units);

/* ---- one plate laid out by tape --------------------------------------------------------------- */

typedef enum tw_palette {
    TW_PALETTE_THICKNESS,
    TW_PALETTE_DIFFERENCE,
    TW_PALETTE_SPREAD
} tw_palette;
/** @brief Colour at a share of a palette's bar, 0 its left end … 1 its right end. */
void tw_palette_colour(tw_palette palette, double share, unsigned char rgb[3]);
/** Colour scale shared by panels: values low … high [mm] of a palette. */
typedef struct tw_scale {
    tw_palette palette;
    double low, high, step;
} tw_scale;

/** Where a plate lies on the canvas: design pixels from tape millimetres, equal on both axes. */
typedef struct tw_frame {
    double x, y;          /* top left of the plate's box */
    double width, height; /* of the box */
    double per_mm;        /* design pixels per mm */
    double across_min, up_max;
} tw_frame;
/** Readings and wanted readings to mark on a panel. */
typedef struct tw_dots {
    const tw_survey *survey;
    bool numbered; /* discs with their names; else small dots that only show where */
    const tw_suggestion *suggestions;
    size_t suggestion_count;
} tw_dots;
typedef struct tw_panel {
    const tw_plate *plate;
    const double *node; /* what is drawn: nu·nv values [mm] */
    const double *cell;
    tw_scale scale;
    tw_frame frame;
    bool ticks_left, contours;
    bool zones;             /* draw strike zones and name them */
    const double *centroid; /* balance point to mark, or NULL */
    const tw_dots *dots;    /* readings to mark, or NULL */
    unsigned threads;
} tw_panel;
/* ---- pen: paths in tape millimetres, strokes in design pixels ------------------------------------ */

/** From here on paths are in tape millimetres, up is up. */
void tw_pen_into_tape(cairo_t *cairo, const tw_frame *frame);
/** @brief Add outline and holes to the path, after tw_pen_into_tape(). */
void tw_pen_outline(cairo_t *cairo, const tw_outline *outline);
/** @brief Save, go into tape and clip to the metal; pair with cairo_restore(). */
void tw_pen_on_plate(tw_canvas *canvas, const tw_panel *panel);
/** @brief Stroke the path in a grey, `width` design pixels wide whatever the path was made in. */
void tw_pen_stroke(tw_canvas *canvas, double width, double grey, double alpha);
/** @brief Design pixels of a tape point. */
void tw_pen_to_page(const tw_frame *frame, double across, double up, double *x, double *y);

/** Places on the page already taken: left, top, right, bottom in design pixels. */
enum { TW_BOXES_MAX = 200 };
typedef struct tw_boxes {
    size_t count;
    double at[TW_BOXES_MAX][4];
} tw_boxes;
void tw_box_take(tw_boxes *taken, const double box[4]);
void tw_box_about(double x, double y, double width, double height, double spare, double box[4]);
bool tw_box_free(const tw_boxes *taken, const double box[4]);

tw_status tw_contours_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena,
                           tw_boxes *taken, tw_error *err);
tw_status tw_zones_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_boxes *taken,
                        tw_error *err);

/** @brief Mark readings and lettered places; they take their boxes. */
void tw_dots_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken);

/** @brief Draw a panel; `arena` is scratch. */
tw_status tw_panel_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_error *err);
/** Height of the tick labels under a panel and width of those left of it, design pixels. */
double tw_panel_foot(tw_canvas *canvas);
double tw_panel_side(tw_canvas *canvas);

/* ---- a page of panels --------------------------------------------------------------------------- */

enum { TW_PANELS_MAX = 3 };
typedef struct tw_column {
    char heading[64];
    char grams[64];
    char words[400];
    const double *node;
    tw_scale scale;
    const double *centroid;
    const tw_dots *dots;
    bool contours, zones;
    char legend[96];    /* title of a bar under this column; "" for none */
    double legend_span; /* how many columns wide the bar is */
    const char *low, *high;
} tw_column;
typedef struct tw_page {
    const tw_plate *plate;
    const tw_draw_options *options;
    char title[160], line[320], foot[400];
    size_t count;
    tw_column columns[TW_PANELS_MAX];
} tw_page;
/** @brief Title, lines and foot of a page about a plate; columns are still to be filled.
 * @return TW_ERR_DOMAIN for a width that is not allowed */
tw_status tw_page_begin(tw_page *work, const tw_plate *plate, const tw_draw_options *options,
                        const char *title, tw_error *err);
/** @brief Measure, then draw. */
tw_status tw_page_render(tw_page *work, tw_image *image, tw_error *err);
/** @brief One scale for thickness panels, on round ends a little beyond the values. */
tw_scale tw_scale_thickness(double low, double high, tw_units units);
/** @brief "\nBalance point (quartered mark): 48 mm behind the face." */
void tw_balance_words(const tw_plate *plate, const double centroid[3], tw_units units, char *out,
                      size_t size);
void tw_text_append(char *text, size_t size, const char *more);

/** @brief Where the line through a point square to the bench meets the face.
 * @return false when it misses the metal; else tape coordinates and how far the point is behind */
bool tw_balance_on_face(const tw_plate *plate, const double centroid[3], double tape[2],
                        double *behind);

/** @brief Colour bar with ticks, `width` wide; returns its height. */
double tw_legend_draw(tw_canvas *canvas, const tw_scale *scale, const char *title, const char *low,
                      const char *high, double x, double y, double width);
/** @brief A bar of a round length of tape, labelled; returns its height. */
double tw_scale_bar_draw(tw_canvas *canvas, double per_mm, double x, double y, double room);

/** @brief Text of a value for contour labels and ticks: enough decimals for the step, no unit. */
void tw_value_text(double mm, double step, bool sign, tw_units units, char *out, size_t size);

#endif
