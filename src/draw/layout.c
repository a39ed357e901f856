/*
 * layout.c: tiles in rows. Every way to break the tiles into rows, in their order, is measured: in a row
 * widths go by the pictures' aspects, so that they come out about as tall as each other. The page kept is
 * the one that leaves least of itself white, narrows no tile below what it needs, and is no strip.
 */
#include "layout.h"

#include <math.h>

static const double GAP_X = 44, GAP_Y = 34;
static const double USUAL_SHAPE = 1.0;        /* of the tiles' block, height over width */
static const double NARROW = 4, SHAPE = 0.12; /* what a page is charged for those */
static const tw_lettering heading_letters = {.size = 32, .bold = true};
static const tw_lettering words_letters = {.size = 24, .grey = 0.15};

static double text_height(tw_canvas *canvas, const char *text, tw_lettering letters, double wrap)
{
    double width, height;

    if (!text[0])
        return 0;
    letters.wrap = wrap;
    tw_text_size(canvas, text, &letters, &width, &height);
    return height;
}

/* Widths by aspect; one that would be too narrow takes from those that have more than they need. */
static void share_width(const tw_tile *tiles, size_t count, double width, double *widths)
{
    const double room = width - (double)(count - 1) * GAP_X;
    double sum = 0, lacking = 0, spare = 0;

    for (size_t k = 0; k < count; k++)
        sum += tiles[k].aspect;
    for (size_t k = 0; k < count; k++) {
        widths[k] = room * tiles[k].aspect / sum;
        lacking += fmax(0, tiles[k].least - widths[k]);
        spare += fmax(0, widths[k] - tiles[k].least);
    }
    for (size_t k = 0; k < count && lacking > 0 && spare > 0; k++) {
        const double part = fmin(1, lacking / spare);
        widths[k] = widths[k] < tiles[k].least
                        ? widths[k] + (tiles[k].least - widths[k]) * fmin(1, spare / lacking)
                        : widths[k] - (widths[k] - tiles[k].least) * part;
    }
}

typedef struct row_size {
    double heading, picture, words;
} row_size;

/* Places a row and says how much of it is white, in design pixels squared. */
static row_size place_row(tw_canvas *canvas, const tw_tile *tiles, size_t count, double x, double y,
                          double width, tw_place_of_tile *places, double *white, double *narrow)
{
    row_size size = {0};
    double widths[TW_TILES_MAX];

    share_width(tiles, count, width, widths);
    for (size_t k = 0; k < count; k++) {
        tw_place_of_tile *place = &places[k];
        *place = (tw_place_of_tile){.x = x, .width = widths[k], .heading_y = y};
        place->height = tiles[k].height(canvas, tiles[k].context, widths[k]);
        x += widths[k] + GAP_X;
        size.heading =
            fmax(size.heading, text_height(canvas, tiles[k].heading, heading_letters, widths[k]));
        size.picture = fmax(size.picture, place->height);
        size.words =
            fmax(size.words, text_height(canvas, tiles[k].words, words_letters, widths[k]));
        *narrow += fmax(0, tiles[k].least / widths[k] - 1);
    }
    for (size_t k = 0; k < count; k++) {
        if (tiles[k].stretch > 1)
            places[k].height = fmin(size.picture, tiles[k].stretch * places[k].height);
        places[k].y = y + size.heading + 10;
        places[k].words_y = places[k].y + places[k].height + 10;
        *white += (size.picture - places[k].height) * places[k].width;
        if (tiles[k].widest > 0)
            *white += places[k].height * fmax(0, places[k].width - tiles[k].widest);
    }
    return size;
}

/* Rows break after tile k where bit k of `breaks` is set. */
static double place_rows(tw_canvas *canvas, const tw_tile *tiles, size_t count, unsigned breaks,
                         double x, double y, double width, tw_place_of_tile *places, double *cost)
{
    const double top = y;
    double white = 0, narrow = 0;
    size_t first = 0;

    for (size_t k = 0; k < count; k++) {
        if (k + 1 < count && !(breaks >> k & 1))
            continue;
        const row_size size = place_row(canvas, tiles + first, k + 1 - first, x, y, width,
                                        places + first, &white, &narrow);
        y += size.heading + 10 + size.picture + 10 + size.words + GAP_Y;
        first = k + 1;
    }
    *cost = white / (width * (y - top)) + NARROW * narrow +
            SHAPE * fabs(log((y - top) / (USUAL_SHAPE * width)));
    return y - top;
}

double tw_tiles_arrange(tw_canvas *canvas, const tw_tile *tiles, size_t count, double x, double y,
                        double width, tw_place_of_tile *places)
{
    unsigned best = 0;
    double least = INFINITY, cost;

    for (unsigned breaks = 0; count > 0 && breaks < 1u << (count - 1); breaks++) {
        place_rows(canvas, tiles, count, breaks, x, y, width, places, &cost);
        if (cost < least - 1e-9) {
            least = cost;
            best = breaks;
        }
    }
    return place_rows(canvas, tiles, count, best, x, y, width, places, &cost);
}

tw_status tw_tiles_draw(tw_canvas *canvas, const tw_tile *tiles, size_t count,
                        const tw_place_of_tile *places, tw_arena *arena, tw_error *err)
{
    tw_status status = TW_OK;

    for (size_t k = 0; status == TW_OK && k < count; k++) {
        const tw_place_of_tile *place = &places[k];
        tw_lettering heading = heading_letters, words = words_letters;
        heading.wrap = words.wrap = place->width;
        tw_text_draw(canvas, tiles[k].heading, &heading, place->x, place->heading_y);
        status = tiles[k].draw(canvas, tiles[k].context, place->x, place->y, place->width,
                               place->height, arena, err);
        tw_text_draw(canvas, tiles[k].words, &words, place->x, place->words_y);
    }
    return status;
}
