/*
 * draw.h: pictures. A plate laid out by tape, forged beside sheet beside the difference, on one
 * shared scale.
 */
#ifndef TAPERWRIGHT_DRAW_H
#define TAPERWRIGHT_DRAW_H

#include "taperwright/base.h"
#include "taperwright/budget.h"
#include "taperwright/compare.h"
#include "taperwright/files.h"
#include "taperwright/form.h"
#include "taperwright/harness.h"
#include "taperwright/plan.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- how a drawing is written ------------------------------------------------------------ */

/** What a drawing is written as. */
typedef enum tw_paper { TW_PAPER_PNG, TW_PAPER_SVG, TW_PAPER_PDF } tw_paper;
/** @return the paper that a file's name asks for by its ending; TW_PAPER_PNG for any other. */
TW_API tw_paper tw_paper_of(const char *path);

/** Paper that a drawing at 1:1 is divided among. */
typedef struct tw_page_size {
    char name[40];    /**< "A4"; "roll of 610 mm"; "" for one page as large as it takes */
    double width_mm;  /**< held upright; 0: one page as large as it takes */
    double height_mm; /**< 0: a roll, as long as it takes */
} tw_page_size;
/**
 * @brief Read paper by name: a4, letter, a3, tabloid, legal, a2, a1, one, or "roll 610 mm".
 * @return TW_OK; TW_ERR_KEY (no such paper, with the nearest); TW_ERR_DOMAIN (a roll too narrow or too
 * wide); TW_ERR_UNIT, TW_ERR_SYNTAX (a roll's width)
 */
TW_API tw_status tw_page_size_read(const char *text, tw_page_size *out, tw_error *err);

/** A text that a drawing holds, and where it stands. */
typedef struct tw_drawn_text {
    const char *text;
    size_t page; /**< from 0 */
    /** Left, top, right, bottom of its ink in design units: a 1600th of a picture's width, or a tenth of a
     * millimetre of a page. All 0 for words about what is drawn without letters. */
    double box[4];
    bool mark; /**< a number at a tick, a label on a line: read out by nobody */
} tw_drawn_text;
/** What a drawing says, in the order in which it is drawn. Zeroed at first; pair with tw_words_release(). */
typedef struct tw_words {
    size_t count, room;
    tw_drawn_text *items;
    tw_arena *arena; /**< owns the texts */
    bool lost;       /**< memory ran out on the way */
} tw_words;
TW_API void tw_words_release(tw_words *words);

/** Letters that no installed font has: boxes stand in their places. Zeroed at first. */
typedef struct tw_missing_letters {
    char text[64]; /**< the first of them, each once, UTF-8; "" for none */
} tw_missing_letters;

typedef struct tw_draw_options {
    size_t width; /**< pixels; 0: 1600 */
    tw_units units;
    const char *date; /**< printed when not NULL */
    /** The comparison's row to draw; SIZE_MAX: sheet as formed, else own stock, else strike thickness. */
    size_t which;
    unsigned threads;
    double expanded_g; /**< ± of the mass from readings, 95 % [g], printed beside it; 0: none */
    /** With the scale weight, told under the map from readings; NULL: the scale weight alone. */
    const tw_agreement *agreement;
    /** Of a PNG, written into it; without a width it follows: pictures are 180 mm wide, pages as large as
     * they are. 0: none. */
    double dots_per_inch;
    const char *title;           /**< of the file, for its reader; NULL: none */
    bool hatch;                  /**< for photocopies: lines and dots in place of colours */
    tw_words *words;             /**< what the drawing says is added; NULL: not wanted */
    tw_missing_letters *missing; /**< letters that could not be drawn are added; NULL: not wanted */
    /** Of a blank at 1:1: paper it is divided among; zeroes: one page as large as it takes. Of a card to fill
     * in by hand: its paper; zeroes: A4. */
    tw_page_size page;
} tw_draw_options;

/*
 * Every drawing below is written as PNG, SVG or PDF into `out`. Its height follows from what it shows. Same
 * input, fonts and libraries: same bytes (SVG: as a process's first; cairo numbers on). Common to all:
 * TW_OK; TW_ERR_DOMAIN (width outside 600 … 20000, dots per inch outside 30 … 2400, picture too tall);
 * TW_ERR_FILE (no font is installed); TW_ERR_MEMORY; what tw_output_write() returns.
 */

/**
 * @brief Draw forged, sheet (even, or as formed with its own map) and difference beside each other.
 */
TW_API tw_status tw_draw_comparison(const tw_comparison *comparison, tw_paper paper,
                                    const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief Draw the maps that a plate has beside each other on one scale (no forged map needed). */
TW_API tw_status tw_draw_plate(const tw_plate *plate, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err);

/**
 * @brief Readings as numbered discs on the map they give (left out: hollow; to look at again: ringed),
 * and the map's standard deviation beside it; `suggestions` (suggestion_count, may be 0) as lettered
 * rings.
 */
TW_API tw_status tw_draw_readings(const tw_plate *plate, const tw_suggestion *suggestions,
                                  size_t suggestion_count, tw_paper paper,
                                  const tw_draw_options *options, tw_output *out, tw_error *err);

/** @brief Bars by part: each part's grams as counted, its ± as a whisker, modelled and weighed side by
 * side where there are both, forged against sheet where there are both; parts out are named below. */
TW_API tw_status tw_draw_parts(const tw_total *total, const tw_sources *sources, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief Strip plot: for each standing the records as dots along a mass axis, median and quartiles
 * where there are, and the own mass with its interval; n in front. */
TW_API tw_status tw_draw_ranking(const tw_ranking *ranking, tw_paper paper,
                                 const tw_draw_options *options, tw_output *out, tw_error *err);

/* ---- plans ------------------------------------------------------------------------------ */

/**
 * @brief The blank at 1:1, outside face up: line to cut along, net line, holes, edges by name, tape grid
 * carried into the flat, check points, what each step leaves alone; bars of 100 mm and 4 in in both
 * directions on every page to hold a ruler against.
 *
 * On one page as large as it takes, or on options->page: pages that overlap 10 mm, with marks on every
 * joint, an overview first; the drawing is never scaled. What fits a single page has no overview.
 * @param steps, card  NULL: without
 * @param paper        PDF has all pages, SVG and PNG the first; a PNG is options->width wide
 * @return also TW_ERR_LIMIT: more than 500 pages
 */
TW_API tw_status tw_draw_blank(const tw_blank *blank, const tw_steps *steps, const tw_card *card,
                               tw_paper paper, const tw_draw_options *options, tw_output *out,
                               tw_error *err);
/** @brief The steps as numbered bands, on the plate laid out by tape and on the blank beside it.
 * @param blank  NULL: the plate alone */
TW_API tw_status tw_draw_steps(const tw_steps *steps, const tw_blank *blank, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief A card to print on one A4 and fill in by hand at the bench: the plate by tape with its
 * numbered points, and a table of wanted thickness and window for both stages, with empty columns. */
TW_API tw_status tw_draw_card(const tw_card *card, tw_paper paper, const tw_draw_options *options,
                              tw_output *out, tw_error *err);
/** @brief Readings of the work on the plate by tape: over and under what is wanted, points by what is to
 * be done there. */
TW_API tw_status tw_draw_gauging(const tw_gauging *gauging, tw_paper paper,
                                 const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief Thickness against mass, a line to each grade, the chosen point and the weight it keeps.
 * @param least  the choice; NULL: without
 * @return TW_OK; TW_ERR_DOMAIN (width); TW_ERR_INPUT (no thickness in it); TW_ERR_MEMORY */
TW_API tw_status tw_draw_trade_off(const tw_trade_off *trade, const tw_least *least, tw_paper paper,
                                   const tw_draw_options *options, tw_output *out, tw_error *err);

/* ---- cards to fill in by hand -------------------------------------------------------------- */

/** @return the n-th template that has a card, from 0; NULL when there are not so many. */
TW_API const char *tw_form_card_name(size_t n);
/**
 * @brief A card to print on one page and fill in beside a plate: what to measure as sketches, and boxes in the
 * order of the profile that tw_templates() has under the same name; options->date stands in its box.
 * @param form  "loft", "bowl", "flat", "points", "area", "readings"
 * @return also TW_ERR_KEY (no such card), TW_ERR_DOMAIN (options->page is too small)
 */
TW_API tw_status tw_draw_form_card(const char *form, tw_paper paper, const tw_draw_options *options,
                                   tw_output *out, tw_error *err);
/**
 * @brief A plate laid out by tape, as large as fits a page, to mark points of readings on: tape lines every
 * 10 mm with numbers every 50 mm (0.5 in, 2 in), of a bowl rings and bearings; outline, edges by name, holes,
 * strike zones; rows for readings below it and on a second page. Needs no thickness.
 * @return also TW_ERR_DOMAIN (options->page is too small)
 */
TW_API tw_status tw_draw_marking(const tw_form *form, tw_paper paper,
                                 const tw_draw_options *options, tw_output *out, tw_error *err);

/* ---- for a client ------------------------------------------------------------------------ */

/** What a client sheet tells. */
typedef struct tw_client {
    const tw_comparison *comparison;
    double expanded_g;         /**< ± of the forged mass, 95 % [g]; 0: not told */
    const tw_ranking *ranking; /**< originals like it; NULL: none, or no kind to meet them by */
} tw_client;
/** @brief One A4: what the piece is, forged beside sheet, grams in words, originals, what the figures are and
 * are not. @return also TW_ERR_LIMIT when it does not fit on a page */
TW_API tw_status tw_draw_client(const tw_client *client, tw_paper paper,
                                const tw_draw_options *options, tw_output *out, tw_error *err);

/* ---- for teaching ------------------------------------------------------------------------ */

/** @brief All frames of a series beside each other on one scale: from even sheet to full taper. */
TW_API tw_status tw_draw_series(const tw_series *series, tw_paper paper,
                                const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief One frame alone; every frame of a series comes out as large as the others.
 * @param frame  0 … series->count − 1 */
TW_API tw_status tw_draw_series_frame(const tw_series *series, size_t frame, tw_paper paper,
                                      const tw_draw_options *options, tw_output *out,
                                      tw_error *err);
/** @brief The frames one after another as an animated PNG, 1000 pixels wide unless options say. */
TW_API tw_status tw_draw_series_moving(const tw_series *series, const tw_draw_options *options,
                                       tw_output *out, tw_error *err);
enum { TW_TEACHING_PAGES = 2 };
/**
 * @brief Two A4 pages: guess where the plate is thick, then see. PDF holds both; PNG and SVG one.
 * @param page  0 or 1: which one, in PNG and SVG
 */
TW_API tw_status tw_draw_guess(const tw_exercise *exercise, size_t page, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err);
/** @brief Likewise: questions to work out with pencil and paper, and their answers. */
TW_API tw_status tw_draw_exercise(const tw_exercise *exercise, size_t page, tw_paper paper,
                                  const tw_draw_options *options, tw_output *out, tw_error *err);

/* ---- views of a plate ----------------------------------------------------------------------- */

typedef enum tw_view_kind {
    TW_VIEW_TAPE,    /**< laid out by tape */
    TW_VIEW_FRONT,   /**< seen square to the bench */
    TW_VIEW_SECTION, /**< cut along a tape line */
    TW_VIEW_SOLID,   /**< shaded, from where azimuth and elevation say */
    TW_VIEW_ALONG,   /**< thickness against tape length on a line */
    TW_VIEW_SHARE,   /**< face area by thickness */
    TW_VIEW_KINDS    /**< how many */
} tw_view_kind;
/** @return "tape", "front", "section", "solid", "along", "share". */
TW_API const char *tw_view_word(tw_view_kind kind);

typedef enum tw_view_quantity { TW_OF_THICKNESS, TW_OF_DIFFERENCE, TW_OF_SPREAD } tw_view_quantity;

/** Which way a tape line runs. */
typedef enum tw_tape_way {
    TW_WAY_CENTRE, /**< the centre line, upwards */
    TW_WAY_ACROSS, /**< from side to side, at `at` up */
    TW_WAY_UP,     /**< upwards, at `at` across */
    TW_WAY_POINTS  /**< straight in tape coordinates from point to point */
} tw_tape_way;
enum { TW_TAPE_POINTS_MAX = 16, TW_VIEWS_MAX = 8 };
typedef struct tw_tape_line {
    tw_tape_way way;
    double at;    /**< [mm], of TW_WAY_ACROSS and TW_WAY_UP */
    size_t count; /**< of TW_WAY_POINTS, at least 2 */
    double points[TW_TAPE_POINTS_MAX][2];
} tw_tape_line;

typedef struct tw_view {
    tw_view_kind kind;
    tw_tape_line line; /**< of a section and along */
    double azimuth,
        elevation;     /**< of a solid [deg]: from the right of the plate's front, from above */
    double exaggerate; /**< of a section: how many times thickness is drawn; 0: chosen */
} tw_view;

/** What is to be seen. Everything is borrowed. */
typedef struct tw_view_request {
    const tw_plate *plate;
    const tw_map *map; /**< that is drawn, on the plate's grid */
    const tw_weight *weight;
    const char *name; /**< of the map: "forged" */
    tw_view_quantity quantity;
    const tw_map *beside; /**< sheet set beside it; NULL: none, and then no difference */
    const tw_weight *beside_weight;
    const char *beside_name; /**< "16 swg (1.63 mm) sheet" */
    size_t count;
    tw_view views[TW_VIEWS_MAX];
} tw_view_request;

/** A place on a cut. */
typedef struct tw_cut_point {
    double tape[2];
    double along;                  /**< tape length along the line over the face [mm] */
    double position[3], normal[3]; /**< of the reference face, and its outward normal */
    double thickness;              /**< [mm], of the map; nodes between are linear */
    double beside;                 /**< the same of the map beside it; NaN without */
    double sd;                     /**< standard deviation of a map from readings; NaN without */
    size_t strike;                 /**< index of the profile's strike zone; SIZE_MAX: in none */
} tw_cut_point;
/** Metal without a gap, as names of edges and holes at its ends. */
typedef struct tw_cut_run {
    size_t first, count;
    const char *from, *to;
} tw_cut_run;
/** The plate cut along a tape line: points no farther apart than half a millimetre of tape or a 1500th of
 * the line, ends on outline and holes. */
typedef struct tw_cut {
    char name[128]; /**< "the centre line", "the line from side to side 200 mm up" */
    tw_tape_way way;
    size_t count, piece_count;
    tw_cut_point *points;
    tw_cut_run *pieces;
    size_t thinnest, thickest; /**< points; of an even stretch its middle */
    double mean;               /**< thickness over tape length */
    tw_arena *arena;
} tw_cut;
/**
 * @brief Cut a plate along a tape line. Tape counts from where across or up is 0 on a line that runs along
 * the other, else from its first metal.
 * @param[out] out  borrows names from the plate; pair with tw_cut_release()
 * @return TW_OK; TW_ERR_INPUT for a line that meets no metal, with the nearest point of the plate
 */
TW_API tw_status tw_cut_make(const tw_view_request *request, const tw_tape_line *line,
                             tw_units units, tw_cut *out, tw_error *err);
TW_API void tw_cut_release(tw_cut *cut);

enum { TW_SHARE_BINS_MAX = 24 };
/** Face area by what a map has there, in equal bins on round steps. */
typedef struct tw_shares {
    size_t count;
    double low, step;                   /**< bin k: low + k·step to low + (k + 1)·step [mm] */
    double area_mm2[TW_SHARE_BINS_MAX]; /**< of the map drawn */
    double
        beside_mm2[TW_SHARE_BINS_MAX]; /**< of the map beside it, where it lies within the bins */
    double whole_mm2, mean, median;
    double beside_mean; /**< NaN without */
    bool beside_even;   /**< the map beside it is one thickness */
} tw_shares;
/** @brief Sort the face's area by the request's quantity, cell by cell; the mean is the weighed one. */
TW_API tw_status tw_shares_make(const tw_view_request *request, tw_units units, tw_shares *out,
                                tw_error *err);

/**
 * @brief Draw views on one page, on one scale.
 * @return TW_OK; TW_ERR_INPUT (a difference without a map beside it; a spread without readings; what
 * tw_cut_make() returns)
 */
TW_API tw_status tw_draw_views(const tw_view_request *request, tw_paper paper,
                               const tw_draw_options *options, tw_output *out, tw_error *err);

/**
 * @brief Whether the drawings' own font, DejaVu Sans, is installed.
 * @param[out] family  of the font that is used; "" when there is none at all, and nothing can be drawn
 */
TW_API bool tw_draw_font(char *family, size_t size);

/* ---- colour ---------------------------------------------------------------------------- */

/** @brief Thickness colour: position 0 (thin, pale) … 1 (thick, deep) to sRGB bytes. CIE L* falls
 * evenly. */
TW_API void tw_colour_thickness(double position, unsigned char rgb[3]);
/** @brief Difference colour: −1 (forged thinner) … 0 (neutral) … 1 (forged thicker). */
TW_API void tw_colour_difference(double position, unsigned char rgb[3]);
/** @brief Colour of a standard deviation: 0 (sure, pale) … 1 (unsure, deep), near grey. CIE L* falls
 * evenly. */
TW_API void tw_colour_spread(double position, unsigned char rgb[3]);

#ifdef __cplusplus
}
#endif
#endif
