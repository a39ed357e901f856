/* draw_internal.h: shared inside the draw room; cairo and pango stay in here. */
#ifndef DRAW_INTERNAL_H
#define DRAW_INTERNAL_H

#include "taperwright/draw.h"

#include <cairo.h>
#include <pango/pangocairo.h>

/* ---- ink: one place for sizes and greys, in pixels of a picture 1600 wide -------------------- */

typedef enum tw_align { TW_LEFT, TW_CENTRE, TW_RIGHT } tw_align;
typedef struct tw_lettering {
    double size; /* design pixels */
    bool bold;
    bool halo;  /* a white rim, so that it reads on any colour */
    bool clear; /* with halo: a wider rim that hides lines, so that none strikes the text through */
    double grey; /* 0 black … 1 white */
    tw_align align;
    double wrap; /* width to wrap at, design pixels; 0: one line */
    int lines; /* with wrap: at most so many, the last one ends in "…"; 0: as many as it takes */
    bool mark; /* of a tick or a line: not read out */
} tw_lettering;

typedef struct tw_canvas {
    cairo_surface_t *surface; /* measuring happens on a 1×1 surface before the real one exists */
    unsigned char *pixels;    /* of the surface, from malloc; NULL on paper */
    cairo_t *cairo;
    PangoLayout *layout;
    bool laid; /* the layout holds a text in `letters` */
    tw_lettering letters;
    double unit;  /* device units per design pixel: width / 1600 in a PNG, points in SVG and PDF */
    double dense; /* samples per device unit of what is painted as samples: 1 in a PNG */
    double left,
        top; /* where the origin lies on the page, design pixels: of a picture within a page */
    tw_units units;
    bool hatch;
    size_t page;
    tw_words *words;             /* what is said is added; NULL: not wanted */
    tw_missing_letters *missing; /* or NULL */
} tw_canvas;

/** @brief A canvas of design size (× unit); white. Freed by tw_canvas_end(). */
tw_status tw_canvas_begin(size_t width, size_t height, double unit, tw_units units,
                          tw_canvas *canvas, tw_error *err);
/** @brief A canvas on a surface, which it owns from here on, also on failure. */
tw_status tw_canvas_on(cairo_surface_t *surface, double unit, tw_units units, tw_canvas *canvas,
                       tw_error *err);
void tw_canvas_end(tw_canvas *canvas);
/** @brief Take the drawn pixels out; nothing can be drawn afterwards. */
tw_status tw_canvas_image(tw_canvas *canvas, tw_image *image, tw_error *err);
/** Samples per design pixel of what is painted as samples. */
static inline double tw_canvas_samples(const tw_canvas *canvas)
{
    return canvas->unit * canvas->dense;
}
/** @brief Paint samples, tw_canvas_samples() to a design pixel, from a place of the page on; within the clip. */
void tw_canvas_paint(tw_canvas *canvas, cairo_surface_t *samples, double x, double y);
/** @brief From here on the origin lies so much farther right and down. */
void tw_canvas_shift(tw_canvas *canvas, double right, double down);
/** @brief Put what is drawn without letters into words, for those who asked for words. */
void tw_canvas_say(tw_canvas *canvas, const char *format, ...) TW_PRINTF(2, 3);

/** @brief Width and height of a text, design pixels. */
void tw_text_size(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double *width,
                  double *height);
/** @brief Draw with its top at y and its left, middle or right at x; returns its height. */
double tw_text_draw(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double x,
                    double y);

extern const char tw_font_family[];
/** @return TW_ERR_FILE when there is no font at all */
tw_status tw_font_check(tw_error *err);
/** @brief Add the letters of a layout that no font has. */
void tw_font_missing(PangoLayout *layout, tw_missing_letters *missing);
void tw_text_append(char *text, size_t size, const char *more);
/** @brief No line ends between a number and its unit, nor within a mixed number (1 15/16). */
void tw_text_bind_units(char *text, size_t size);

/* ---- a picture: measured, then drawn --------------------------------------------------------- */

enum { TW_PAGE_WIDTH = 1600, TW_PAGE_MARGIN = 40, TW_PIXELS_MAX = 32767 /* of cairo, a side */ };
/** Lays a picture out, with ink or only to learn its height; both times the same steps. */
typedef tw_status (*tw_layer)(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                              double *height, tw_error *err);
/** @return TW_ERR_DOMAIN for a width that is not allowed */
tw_status tw_picture_check(const tw_draw_options *options, tw_error *err);
/** @brief Measure, then draw.
 * @return TW_ERR_DOMAIN for a width that is not allowed, or that makes the picture too tall */
tw_status tw_picture_write(const tw_draw_options *options, tw_layer layer, const void *context,
                           tw_paper paper, tw_output *out, tw_error *err);
/** @brief Pixels of a picture without a file, `width` of them across. */
tw_status tw_picture_image(const tw_draw_options *options, size_t width, tw_layer layer,
                           const void *context, tw_image *image, tw_error *err);

/** Pages to print: `draw` is called once a page; design units are tenths of a millimetre, y down, from the
 * page's top left; sizes of letters too (30: 3 mm). */
typedef struct tw_pages {
    size_t count;
    double width_mm, height_mm;
    const char *title;
    tw_status (*draw)(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                      tw_error *err);
    const void *context;
    double design_mm; /* length of a design unit, where it is not a tenth of a millimetre; else 0 */
    double first_height_mm; /* of a first page of another height than the rest; else 0 */
} tw_pages;
/** @brief Write pages: PDF all of them, SVG and PNG the first (PNG options->width pixels wide). The same
 * bytes for the same input. */
tw_status tw_paper_write(const tw_pages *pages, tw_paper paper, const tw_draw_options *options,
                         tw_output *out, tw_error *err);
/** @brief Write pixels with what every PNG of a drawing says about itself. */
tw_status tw_paper_png(tw_output *out, const tw_image *image, double dots_per_inch,
                       const char *title, unsigned threads, tw_error *err);

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
    bool numbered; /* discs with their names; else dots that only show where */
    const tw_suggestion *suggestions;
    size_t suggestion_count;
    const tw_gauging *gauging; /* not NULL: its points by what is to be done, and nothing else */
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
    const struct tw_bands *bands; /* steps of thinning in place of node and scale, or NULL */
    bool plain;                   /* no colours, zones and lines: outline and tape alone */
} tw_panel;
/* ---- pen: paths in tape millimetres, strokes in design pixels ------------------------------------ */

/** From here on paths are in tape millimetres, up is up. */
void tw_pen_into_tape(cairo_t *cairo, const tw_frame *frame);
/** @brief Add outline and holes to the path, after tw_pen_into_tape(). */
void tw_pen_outline(cairo_t *cairo, const tw_outline *outline);
/** @brief Save, go into tape and clip to the metal; pair with cairo_restore(). */
void tw_pen_on_metal(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame);
/** @brief The same of a panel's plate. */
void tw_pen_on_plate(tw_canvas *canvas, const tw_panel *panel);
/** @brief Stroke the path in a grey, `width` design pixels wide whatever the path was made in. */
void tw_pen_stroke(tw_canvas *canvas, double width, double grey, double alpha);
/** @brief Design pixels of a tape point. */
void tw_pen_to_page(const tw_frame *frame, double across, double up, double *x, double *y);

/** Places on the page already taken: left, top, right, bottom in design pixels. */
enum { TW_BOXES_MAX = 1000 };
typedef struct tw_boxes {
    size_t count;
    double at[TW_BOXES_MAX][4];
} tw_boxes;
void tw_box_take(tw_boxes *taken, const double box[4]);
void tw_box_about(double x, double y, double width, double height, double spare, double box[4]);
bool tw_box_free(const tw_boxes *taken, const double box[4]);

/** @brief Add a line on a lattice to the path, after tw_pen_into_tape(). */
void tw_contour_path(cairo_t *cairo, const tw_contour *line, double across_min, double up_min,
                     const tw_grid *grid);
/** @brief From a name to what it names: a line that ends in a dot at `from`. */
void tw_leader_draw(tw_canvas *canvas, double from_x, double from_y, double to_x, double to_y);

enum { TW_LEVELS_MAX = 40 };
/** @brief Levels of a scale's lines, a trifle above their names. @return how many */
size_t tw_scale_levels(const tw_scale *scale, double levels[TW_LEVELS_MAX]);
/** @brief Draw level lines; they live in `arena`. */
tw_status tw_contours_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena,
                           tw_contour **lines, size_t *count, tw_error *err);
/** @brief Write each line's level on it where there is room, and nowhere on a ring too small for it. */
void tw_contours_label(tw_canvas *canvas, const tw_panel *panel, const tw_contour *lines,
                       size_t count, tw_boxes *taken);
/**
 * @brief Border of a zone of the report, in index coordinates of the middles of cells.
 * @param[out] share      (nu−1)(nv−1): of the zone in each cell
 * @param[out] middle     tape coordinates of the middle of its metal
 * @param[out] thickness  [mm]
 * @param[out] count      0 for what is no strike zone or has no metal: nothing else is written then
 */
tw_status tw_zone_border(const tw_plate *plate, size_t zone, double *share, double middle[2],
                         double *thickness, tw_arena *arena, tw_contour **lines, size_t *count,
                         tw_error *err);
tw_status tw_zones_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_boxes *taken,
                        tw_error *err);

/** @brief Mark readings and lettered places; they take their boxes. */
void tw_dots_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken);

/** @brief Mark points of work in progress by what is to be done there; of dots with a gauging. */
void tw_gauged_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken);

/** @brief Draw a panel; `arena` is scratch. */
tw_status tw_panel_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_error *err);
/** @brief Ticks under and left of a frame. */
void tw_ticks_draw(tw_canvas *canvas, const tw_frame *frame, bool numbers_left);
/** Height of the tick labels under a panel and width of those left of it, design pixels. */
double tw_panel_foot(tw_canvas *canvas);
double tw_panel_side(tw_canvas *canvas);

/* ---- steps of thinning ---------------------------------------------------------------------------- */

enum {
    TW_BAND_OFF = -2,
    TW_BAND_GATHER,
    TW_BAND_ALONE
}; /* then 1, 2, …: the last step that works it */
typedef struct tw_bands {
    const tw_steps *steps;
    bool hatch; /* in place of colours */
    unsigned char colour[TW_STEPS_MAX + 1]
                        [3]; /* by band; gathering has that of what is left alone */
    /* Lines between bands, in grid index coordinates. */
    size_t line_count;
    const tw_contour *lines;
} tw_bands;
/** @brief Colour of a band of `count` steps; band 0 is what is left alone. */
void tw_band_colour(size_t band, size_t count, unsigned char rgb[3]);
/** @brief Colours of bands, and the lines between them; these live in `arena`. */
tw_status tw_bands_make(const tw_steps *steps, tw_arena *arena, tw_bands *out, tw_error *err);
/** @return the band at a tape point. */
int tw_bands_at(const tw_bands *bands, double across, double up);
/** @return the colour of a band at a place on the page [design pixels], 0xRRGGBB: gathering is hatched;
 * `element` is as in hatch.h. */
uint32_t tw_bands_pixel(const tw_bands *bands, int band, double x, double y, double element);
/** A picture of bands on the page. */
typedef struct tw_band_view {
    const tw_bands *bands;
    double x, y, width, height;                         /* of its box, design pixels */
    int (*at)(const void *context, double x, double y); /* band at a place on the page */
    const void *context;
} tw_band_view;
/** @brief Write each band's number where the band is widest, clear of what is taken; where it is too
 * narrow, beside it with a leader. */
tw_status tw_bands_number(tw_canvas *canvas, const tw_band_view *view, tw_boxes *taken,
                          tw_error *err);
/** @brief Lines between bands and their numbers over a panel. */
tw_status tw_bands_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken, tw_error *err);
/** @brief The blank with its bands, lines and numbers; the box in `frame` begins at the blank's lowest
 * x (across_min) and greatest y (up_max). */
tw_status tw_bands_blank_draw(tw_canvas *canvas, const tw_bands *bands, const tw_blank *blank,
                              const tw_frame *frame, unsigned threads, tw_error *err);

/* ---- a page of panels --------------------------------------------------------------------------- */

enum { TW_PANELS_MAX = 3 };
typedef struct tw_column {
    char heading[96];
    char grams[64];
    char after[32]; /* small, behind the grams */
    char words[600];
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
    char title[160], line[400], foot[800];
    const struct tw_key_entry *key; /* of marks, under the columns */
    size_t key_count, count;
    tw_column columns[TW_PANELS_MAX];
    double tallest; /* a panel at most, design pixels; 0: as usual */
    bool bare;      /* without title, line and foot: part of a larger page */
} tw_page;
/** @brief Title, lines and foot of a page about a plate; columns are still to be filled.
 * @return TW_ERR_DOMAIN for a width that is not allowed */
tw_status tw_page_begin(tw_page *work, const tw_plate *plate, const tw_draw_options *options,
                        const char *title, tw_error *err);
/** @brief What lies at the left and right of the picture on the wearer; false when not said. */
bool tw_page_sides(tw_worn worn, const char **left, const char **right);
/** @brief Draw a page, or only measure it: a tw_layer. */
tw_status tw_page_lay_out(tw_canvas *canvas, const void *page, bool ink, tw_arena *arena,
                          double *height, tw_error *err);
/** @brief The page of a comparison; what it shows lives in the arena. */
tw_status tw_page_comparison(const tw_comparison *comparison, const tw_draw_options *options,
                             tw_arena *arena, tw_page *out, tw_error *err);
/** @brief Measure, then draw. */
tw_status tw_page_render(tw_page *work, tw_paper paper, tw_output *out, tw_error *err);
/** @brief One scale for thickness panels, on round ends a little beyond the values. */
tw_scale tw_scale_thickness(double low, double high, tw_units units);
/** @brief From nothing to a round end that holds `high`, 0.1 mm at least. */
tw_scale tw_scale_spread(double high, tw_units units);
/** @brief "\nBalance point (quartered mark): 48 mm behind the face." */
void tw_balance_words(const tw_plate *plate, const double centroid[3], tw_units units, char *out,
                      size_t size);

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

/** "+40, 285": across and up without a unit. */
void tw_tape_words(const double tape[2], tw_units units, char *out, size_t size);

/* ---- charts of masses ------------------------------------------------------------------------ */

/** "1.58 kg ± 0.07 kg": the ± in the mass's own unit and decimals; without it when it is not above 0. */
void tw_grams_words(double mass, double expanded, tw_units units, char *out, size_t size);
/** "+140 g", "−20 g", "0 g". */
void tw_grams_signed(double g, tw_units units, char *out, size_t size);

/** A scale along which masses are read: design pixels from grams. */
typedef struct tw_mass_axis {
    double x;            /* of `low` */
    double low, high;    /* [g] */
    double per_g;        /* design pixels per gram */
    double unit_g, step; /* ticks at every step × unit_g */
    const char *unit;    /* "g", "kg", "oz", "lb"; NULL: ounces, written "2 lb 4 oz" */
} tw_mass_axis;
static inline double tw_axis_at(const tw_mass_axis *axis, double g)
{
    return axis->x + (g - axis->low) * axis->per_g;
}
/** @brief Choose unit and round steps from ends and scale, about `gap` design pixels apart. */
void tw_axis_ticks(tw_mass_axis *axis, double gap, tw_units units);
/** The number at tick k, at k steps from nought. */
void tw_axis_tick_text(const tw_mass_axis *axis, double k, bool sign, char *out, size_t size);
/** @brief Line, ticks and numbers below (above when `over`), with thin lines from each tick to `to`. */
void tw_axis_draw(tw_canvas *canvas, const tw_mass_axis *axis, double y, double to, bool over,
                  bool sign);
/** Height of ticks and numbers. */
double tw_axis_height(tw_canvas *canvas);

/** What a bar needs: how far it goes from zero, either way [g], and the words at its end. */
typedef struct tw_extent {
    double g;     /* < 0: to the left */
    double words; /* design pixels */
} tw_extent;
/** @brief Greatest scale at which all bars and their words fit into a width.
 * @param[out] zero  where zero lies, from the left end
 * @return design pixels per gram; 0 when there is no bar */
double tw_extent_fit(const tw_extent *reaches, size_t count, double width, double *zero);

typedef enum tw_fill {
    TW_FILL_WEIGHED,  /* solid */
    TW_FILL_TOGETHER, /* paler, outlined */
    TW_FILL_MODELLED, /* outlined, stripes */
    TW_FILL_HEAVIER,  /* sheet heavier than forged */
    TW_FILL_LIGHTER,  /* sheet lighter */
    TW_FILL_OVERLAP,  /* stripes that lie on one of these */
    TW_FILL_OWN,      /* the own mass among records */
    TW_FILL_RECORD,
    TW_FILL_MIDDLE /* of records: between quartiles */
} tw_fill;
void tw_fill_colour(tw_fill fill, double rgb[3]);
/** @brief A filled box; corners in any order. */
void tw_fill_box(tw_canvas *canvas, tw_fill fill, double left, double top, double right,
                 double bottom);
/** @brief The own mass: a diamond about a place, `size` to each corner. */
void tw_diamond_draw(tw_canvas *canvas, double x, double y, double size);
/** @brief g − u … g + u; lines keep a pixel's width in small pictures. */
void tw_whisker_draw(tw_canvas *canvas, const tw_mass_axis *axis, double g, double u, double y,
                     double half);

/** One entry of a key: draws its sign about a place when there is ink. */
typedef struct tw_key_entry {
    tw_fill fill;
    void (*sign)(tw_canvas *canvas, double x, double y); /* NULL: a box of `fill` */
    const char *words;
} tw_key_entry;
/** @brief Entries one after the other, in as many lines as they need; returns the height. */
double tw_key_draw(tw_canvas *canvas, const tw_key_entry *entries, size_t count, bool ink,
                   double y);
/** @brief What the marks of readings mean, those that occur.
 * @return how many entries */
enum { TW_DOT_KEYS = 5 };
size_t tw_dots_key(const tw_dots *dots, tw_key_entry out[TW_DOT_KEYS]);
/** @brief Text at a place with or without ink; returns its height, 0 for no text. */
double tw_text_place(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double x,
                     double y, bool ink);
/** @return lead and names, with `between` between names, in the arena; NULL when memory ran out */
char *tw_names_join(tw_arena *arena, const char *lead, const char *const *names, size_t count,
                    const char *between);

/** Offsets across an axis, so that discs of one radius at rising places `x` never meet: the nearest
 * free one each. Returns the largest offset. `scratch`: 2·count doubles. */
double tw_swarm_place(const double *x, size_t count, double radius, double *offset,
                      double (*scratch)[2]);

/* ---- parts ------------------------------------------------------------------------------------ */

/** One row of the picture of parts: one part, or both of a pair. */
typedef struct tw_part_row {
    const char *name;   /* "tasset (pair)" */
    size_t part, count; /* first of its parts; 1 or 2 */
    const char *how;    /* "weighed"; "one weighed, one modelled"; "even share" */
    tw_fill fill;
    bool known; /* there is a figure; else only name, part, count and how hold */
    bool about; /* an even share is in it: no ± can be told, whatever causes the figure has */
    tw_figure counted;
    bool both; /* modelled holds too, and is not what was counted */
    tw_figure modelled;
    const tw_source_row *source; /* NULL: not in both maps */
} tw_part_row;
typedef struct tw_part_rows {
    size_t count, known_count, source_count;
    tw_part_row *rows;
    const char *missing, *left_out; /* "without a, b", "left out: c"; NULL for none */
} tw_part_rows;
/** @brief Rows of what is in, known or not, by order of the harness; what is out by name. */
tw_status tw_part_rows_collect(const tw_total *total, const tw_sources *sources, tw_arena *arena,
                               tw_part_rows *out, tw_error *err);

/* ---- records ---------------------------------------------------------------------------------- */

enum { TW_STANDING_WORDS = 600 };
/** @brief Rows of a ranking, key and sources, without title: part of a larger page. */
tw_status tw_ranking_lay_out(tw_canvas *canvas, const tw_ranking *ranking,
                             const tw_draw_options *options, bool ink, tw_arena *arena,
                             double *height, tw_error *err);
/** @return "breastplate, tasset ×2" in the arena; NULL when memory ran out */
const char *tw_standing_kinds(const tw_standing *row, tw_arena *arena);
/** "lighter than 7 of 9": whichever side more records are on; all three ways when some are within its ±. */
void tw_standing_lead(const tw_standing *row, char *out, size_t size);
/** Lines: median, by area where records tell their size, what was taken off or added. */
void tw_standing_more(const tw_standing *row, tw_units units, char out[TW_STANDING_WORDS]);

#endif
