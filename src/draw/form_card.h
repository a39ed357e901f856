/*
 * form_card.h: cards to print and fill in by hand, as tables of what stands on them. A card is a stack of
 * bands; a band is up to three columns; a column is boxes, a table, words or a sketch, or some of them
 * under each other. Boxes come in the order in which the profile of that name has their keys.
 */
#ifndef DRAW_FORM_CARD_H
#define DRAW_FORM_CARD_H

#include "draw_internal.h"

/** A box to write in. A list of them ends with one without a label. */
typedef struct tw_bench_box {
    const char
        *key; /**< of the profile that it is typed into; NULL: for a figure on the way there */
    const char *label; /**< inside it at its top, or at the head of its column */
    double width;      /**< least [mm]; what a line has left is shared out in proportion */
    const char
        *ticks; /**< words to tick, "front|back"; "" for a square alone; NULL: it is written in */
} tw_bench_box;

typedef enum tw_bench_kind {
    TW_BENCH_PART_END,
    TW_BENCH_PART_BOXES, /**< one line of boxes */
    TW_BENCH_PART_TABLE, /**< a head and rows */
    TW_BENCH_PART_WORDS, /**< a paragraph */
    TW_BENCH_PART_SKETCH /**< a drawing */
} tw_bench_kind;

/** Draws within a box of the page, tenths of a millimetre. */
typedef void (*tw_bench_sketch)(tw_canvas *canvas, double x, double y, double width, double height);

/** A list of them ends with one of kind TW_BENCH_PART_END. */
typedef struct tw_bench_part {
    tw_bench_kind kind;
    const char *title; /**< over it; NULL: none */
    const tw_bench_box *boxes;
    const char *words;
    tw_bench_sketch sketch;
    double height; /**< least, of a sketch [mm] */
    double width;  /**< of its column, least [mm]; what is left is shared out in proportion */
    size_t rows;   /**< least, of a table */
    bool
        grows; /**< a table that takes more rows, a sketch that takes more height, where there is room */
    bool numbered; /**< a table whose rows begin with their number, in the first box */
    bool goes_on;  /**< counts on from the table before */
    bool below;    /**< under the part before, in its column */
} tw_bench_part;
/** A list of them ends with one without parts. */
typedef struct tw_bench_band {
    const tw_bench_part *parts;
    size_t most; /**< rows that its tables may grow by; tenths of a millimetre for sketches */
} tw_bench_band;
typedef struct tw_bench_spec {
    const char *form;  /**< of the template */
    const char *title; /**< "Bench card: …" */
    const char *line;
    const tw_bench_band *bands;
} tw_bench_spec;

/** The cards there are. Ended by one without a form. */
extern const tw_bench_spec *const tw_bench_specs[];
extern const tw_bench_spec tw_bench_flat, tw_bench_bowl, tw_bench_loft, tw_bench_points,
    tw_bench_area, tw_bench_readings;
/** @return the card of a template; NULL for none. */
const tw_bench_spec *tw_bench_spec_find(const char *form);

/* ---- what is drawn on a page --------------------------------------------------------------------- */

enum {
    TW_BENCH_MARGIN = 100, /* tenths of a millimetre, all of them */
    TW_BENCH_FOOT = 120,   /* bar and cautions */
    TW_BENCH_SIDE = 68,    /* the upright bar, at the right of what is written */
    TW_BENCH_BOX = 120,    /* height of a box with its label */
    TW_BENCH_ROW = 82,
    TW_BENCH_HEAD_ROW = 36 /* a line of small letters */
};
/** Where a box stands on the page, its label apart. */
typedef struct tw_bench_place {
    const tw_bench_box *box;
    double at[4]; /**< left, top, right, bottom, to write in */
} tw_bench_place;
/** A page to draw parts on. */
typedef struct tw_bench_sheet {
    double width, height;   /**< of the page */
    const char *date;       /**< written into the box with the key `date`; NULL: none */
    tw_bench_place *places; /**< filled as boxes are drawn; NULL: not wanted */
    size_t place_count, place_room;
} tw_bench_sheet;
/** @return the paper as held upright: options->page, A4 without one. */
tw_status tw_bench_sheet_begin(const tw_draw_options *options, tw_bench_sheet *out, tw_error *err);
/** @return the width that is written on. */
double tw_bench_content(const tw_bench_sheet *sheet);
/** @brief Bars of 100 mm along and up the page, and the cautions. */
void tw_bench_foot_draw(tw_canvas *canvas, const tw_bench_sheet *sheet);
/** @return the height of a part with so many rows added, or so many design units of a sketch. */
double tw_bench_part_height(tw_canvas *canvas, const tw_bench_part *part, double width,
                            size_t more);
/** @brief Draw a part.
 * @param first  number of a table's first row */
void tw_bench_part_draw(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_part *part,
                        double x, double y, double width, size_t more, size_t first);
/**
 * @brief Draw a card, or with a canvas of no size only learn where its boxes are.
 * @return TW_ERR_DOMAIN when it does not fit the page
 */
tw_status tw_bench_card_draw(tw_canvas *canvas, tw_bench_sheet *sheet, const tw_bench_spec *spec,
                             tw_error *err);

/* ---- pen of the sketches ---------------------------------------------------------------------------- */

void tw_sketch_line(tw_canvas *canvas, const double from[2], const double to[2], double width,
                    double grey);
/** @brief A line with a head at `to`, and at `from` too when `both`. */
void tw_sketch_arrow(tw_canvas *canvas, const double from[2], const double to[2], bool both);
/** @brief A head at a place, pointing along a direction. */
void tw_sketch_head(tw_canvas *canvas, const double at[2], const double along[2]);
void tw_sketch_dashed(tw_canvas *canvas, const double from[2], const double to[2]);
/** @brief Words with their middle at y. */
void tw_sketch_words(tw_canvas *canvas, const char *text, double x, double y, tw_align align);
/** The same, the word of a box: bold. */
void tw_sketch_name(tw_canvas *canvas, const char *text, double x, double y, tw_align align);
void tw_sketch_number(tw_canvas *canvas, int number, double x, double y);
void tw_sketch_dot(tw_canvas *canvas, double x, double y);
/** @brief A straightedge or ruler from a place to another, `wide` thick on the left of its way; ticks every
 * `step` when that is above 0. */
void tw_sketch_ruler(tw_canvas *canvas, const double from[2], const double to[2], double wide,
                     double step);

/** Space onto the page: x to the right of the bench, y away along it, z up. */
typedef struct tw_sketch_view {
    double turn, tilt; /* [rad] */
    double scale, x, y;
} tw_sketch_view;
/** A face of two parameters, both −1 … 1. */
typedef void (*tw_sketch_face)(double across, double up, double place[3]);
void tw_sketch_at(const tw_sketch_view *view, const double place[3], double page[2]);
/** @brief Choose scale and place so that places in space fill a box of the page. */
void tw_sketch_fit(tw_sketch_view *view, const double (*places)[3], size_t count, double x,
                   double y, double width, double height);
/** @brief The bench, a rectangle of space at z = 0. */
void tw_sketch_bench(tw_canvas *canvas, const tw_sketch_view *view, const double low[2],
                     const double high[2]);
/** @brief Paint a face, far pieces first, pale outside and darker inside, with its border. */
void tw_sketch_paint(tw_canvas *canvas, const tw_sketch_view *view, tw_sketch_face face);
/** @brief A line over a face between two of its places, where its outside is seen. */
void tw_sketch_over(tw_canvas *canvas, const tw_sketch_view *view, tw_sketch_face face,
                    const double from[2], const double to[2], double width, double grey);

void tw_sketch_loft(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_section(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_bowl(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_depth(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_flat(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_paper(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_points(tw_canvas *canvas, double x, double y, double width, double height);
void tw_sketch_readings(tw_canvas *canvas, double x, double y, double width, double height);

#endif
