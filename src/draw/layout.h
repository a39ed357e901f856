/* layout.h: boxes of known height at any width, set in rows that fill a page. */
#ifndef DRAW_LAYOUT_H
#define DRAW_LAYOUT_H

#include "draw_internal.h"

/** A picture on a page with its heading above and words below. */
typedef struct tw_tile {
    char heading[96];
    char words[700];
    double aspect;  /* picture's width over its height, about: wide ones get more of a row */
    double least;   /* design pixels under which it does not read */
    double widest;  /* beyond which it leaves white at its sides; 0: never */
    double stretch; /* how many times taller than it asks for it may be drawn; 0: no taller */
    /* Height of the picture at a width. */
    double (*height)(tw_canvas *canvas, const void *context, double width);
    tw_status (*draw)(tw_canvas *canvas, const void *context, double x, double y, double width,
                      double height, tw_arena *arena, tw_error *err);
    const void *context;
} tw_tile;

enum { TW_TILES_MAX = 8 };
/** Where a tile's picture lies, design pixels; its heading is above, its words below. */
typedef struct tw_place_of_tile {
    double x, heading_y, y, width, height, words_y;
} tw_place_of_tile;
/**
 * @brief Set tiles in rows, in their order, so that the page is well filled and no tile is narrower than it
 * may be where that can be had.
 * @param[out] places  `count` of them, from x, y on
 * @return height of it all
 */
double tw_tiles_arrange(tw_canvas *canvas, const tw_tile *tiles, size_t count, double x, double y,
                        double width, tw_place_of_tile *places);
tw_status tw_tiles_draw(tw_canvas *canvas, const tw_tile *tiles, size_t count,
                        const tw_place_of_tile *places, tw_arena *arena, tw_error *err);

#endif
