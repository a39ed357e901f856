/* tiles.h: a drawing at 1:1 divided among pages of paper that people have. */
#ifndef DRAW_TILES_H
#define DRAW_TILES_H

#include "draw_internal.h"

/** A drawing at 1:1: tenths of a millimetre, y down, from an origin of its own. */
typedef struct tw_pattern {
    double low[2], high[2];   /* of all its ink */
    const char *title, *line; /* what it is; what is to be known before it is used */
    const char *foot;         /* what its lines mean */
    /* The whole drawing; small: only its lines, for a picture of a few centimetres. */
    tw_status (*draw)(tw_canvas *canvas, const void *context, bool small, tw_arena *arena,
                      tw_error *err);
    const void *context;
} tw_pattern;

/*
 * A page, tenths of a millimetre: CLEAR all round for printers that cannot print to the edge; within it the tile
 * with a gutter on each side for the names of neighbours, the right one as wide as the upright bars need;
 * below it the strip of furniture. Nothing but the drawing, its joints and marks lies on the tile.
 */
enum {
    TW_TILE_CLEAR = 70,
    TW_TILE_GUTTER = 40,
    TW_TILE_SIDE = 110,
    TW_TILE_OVERLAP = 100,
    TW_TILE_LEAST = 1100, /* either side of a tile: the upright bars stand beside it */
    TW_TILES_MAX = 500
};

/** Pixels of a millimetre from a corner on; sums of inked ones from the top left. */
typedef struct tw_ink {
    double low[2]; /* whole millimetres, in tenths */
    size_t size[2];
    uint32_t *sum; /* (size[0] + 1)·(size[1] + 1) */
} tw_ink;
/** How a pattern is divided; tenths of a millimetre. */
typedef struct tw_tiling {
    bool turned; /* the drawing is turned by a quarter, clockwise: its x down the page */
    bool solo;   /* one page that says everything itself; else the first page is an overview */
    double page[2], overview[2];
    double strip; /* height of the furniture */
    double tile[2];
    double first[2]; /* where the first tile begins in the drawing, as turned */
    size_t columns, rows, kept;
    tw_ink ink; /* of the drawing as turned; not of solo ones */
    bool *keep; /* columns·rows, row by row: false where the drawing has no ink */
} tw_tiling;
/**
 * @brief Divide a pattern: portrait or landscape (on a roll: turned or not) and the offset for the fewest pages, then
 * fewest rows and columns, then the most even margins. A tile without ink of its own is left out, unless
 * pages would hang together by corners alone.
 * @param[out] out  lives in `arena`
 * @return TW_OK; TW_ERR_DOMAIN (no room on the page); TW_ERR_LIMIT (too many pages); TW_ERR_MEMORY
 */
tw_status tw_tiling_make(const tw_pattern *pattern, const tw_page_size *page, tw_units units,
                         tw_arena *arena, tw_tiling *out, tw_error *err);
/** @return where tile `n` of a side (0 across, 1 down) begins in the drawing as turned; where it meets the one before
 * it is half an overlap on. */
double tw_tile_begin(const tw_tiling *tiling, int side, size_t n);
/** @return pixels with ink in a box of the drawing as turned: left, top, right, bottom [tenths of a mm] */
size_t tw_ink_within(const tw_ink *ink, const double box[4]);
/** "B2": row by letter, column by number. */
void tw_tile_name(size_t row, size_t column, char out[24]);

/** @brief Write a pattern on pages of a size: PDF all of them, SVG and PNG the first. */
tw_status tw_tiles_write(const tw_pattern *pattern, const tw_page_size *page, tw_paper paper,
                         const tw_draw_options *options, tw_output *out, tw_error *err);
/* ---- furniture -------------------------------------------------------------------------------- */

/** Left end of the bars along the strip, beside a page's name. */
enum { TW_STRIP_BARS = 600 };
/** @brief Height of the strip of furniture on pages of a width, whole millimetres. */
tw_status tw_tiles_strip(const tw_pattern *pattern, bool solo, double width, tw_units units,
                         double *height, tw_error *err);
/** @brief Bars along a strip that begins at y, and what to do when they are not true; of a solo page title and words
 * too. @return where it ends */
double tw_strip_draw(tw_canvas *canvas, const tw_pattern *pattern, bool solo, double width,
                     double y, bool ink);

#endif
