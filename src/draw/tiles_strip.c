/*
 * tiles_strip.c: the furniture that every page of a drawing at 1:1 has: bars to hold a ruler against in both
 * directions, and what to do when they are not true.
 */
#include "ruler.h"
#include "tiles.h"

#include <math.h>

enum { RIGHT_OF_BARS = 1100, WORDS_LEAST = 900, WORDS_MOST = 1800 };

static const char print_words[] =
    "Print at 100 %, not “fit to page”. Hold a ruler against the bars, both ways. If a bar is not "
    "true, do not cut: set the printer's scale to 100 % and print again. If 100 mm still measure "
    "98 mm, say, print at 100/98 = 102 %.";

/* ---- the strip ---------------------------------------------------------------------------------------- */

/* Words of the strip one below the other; returns where they end. */
static double strip_words(tw_canvas *canvas, const tw_pattern *pattern, bool solo, double x,
                          double y, double wrap, bool ink)
{
    const tw_lettering title = {.size = 50, .bold = true, .wrap = wrap};
    const tw_lettering line = {.size = 30, .grey = 0.15, .wrap = wrap};
    const tw_lettering small = {.size = 26, .grey = 0.15, .wrap = wrap};
    char words[sizeof print_words + 32];

    tw_format(words, sizeof words, "%s", print_words);
    tw_text_bind_units(words, sizeof words);
    if (solo) {
        y += tw_text_place(canvas, pattern->title, &title, x, y, ink) + 6;
        y += tw_text_place(canvas, pattern->line, &line, x, y, ink) + 6;
        y += tw_text_place(canvas, pattern->foot, &small, x, y, ink) + 6;
    }
    return y + tw_text_place(canvas, words, &small, x, y, ink);
}

double tw_strip_draw(tw_canvas *canvas, const tw_pattern *pattern, bool solo, double width,
                     double y, bool ink)
{
    const double x = solo ? TW_TILE_CLEAR : TW_STRIP_BARS;
    const double room = width - TW_TILE_CLEAR - x;
    const bool beside = room - RIGHT_OF_BARS >= WORDS_LEAST;
    double end = y + 155;

    if (ink)
        tw_ruler_bars(canvas, x, y + 30, false, 70);
    if (beside)
        end = fmax(end, strip_words(canvas, pattern, solo, x + RIGHT_OF_BARS, y,
                                    fmin(room - RIGHT_OF_BARS, WORDS_MOST), ink));
    else
        end = strip_words(canvas, pattern, solo, x, end, room, ink);
    return end;
}

tw_status tw_tiles_strip(const tw_pattern *pattern, bool solo, double width, tw_units units,
                         double *height, tw_error *err)
{
    tw_canvas canvas;
    const tw_status status = tw_canvas_begin(1, 1, 1, units, &canvas, err);

    if (status != TW_OK)
        return status;
    *height = fmax(10 * ceil(tw_strip_draw(&canvas, pattern, solo, width, 0, false) / 10),
                   solo ? 0 : 300);
    tw_canvas_end(&canvas);
    return TW_OK;
}
