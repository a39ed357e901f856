/*
 * tiles_page.c: the pages of a drawing at 1:1: an overview, then a tile to a page. On a tile lie the drawing, the
 * lines where pages meet and crossed circles on them, nothing else; these are drawn from one origin
 * and clipped, so that two pages show the same in their overlap. Around and below: names of
 * neighbours, bars to hold a ruler against in both directions, a map of the pages, what to do.
 */
#include "ruler.h"
#include "tiles.h"

#include <math.h>
#include <string.h>

enum { MAP = 270 };
static const double MARK = 30, CROSS = 45; /* radius of a mark, half its cross */
static const double MARK_SHARE = 0.2;      /* of a joint, from either end */

static const tw_lettering neighbour = {.size = 27, .grey = 0.15, .align = TW_CENTRE};
/* What the pages are drawn from. */
typedef struct job {
    const tw_pattern *pattern;
    const tw_page_size *size;
    const tw_tiling *tiling;
} job;

/* A page's places. */
typedef struct place {
    double left, top, right, bottom; /* of the tile, or of the overview */
    double wide, strip;              /* of the page; top of the strip */
} place;

static place place_of(const tw_tiling *tiling, const double page[2], double strip)
{
    place at = {.left = TW_TILE_CLEAR + TW_TILE_GUTTER, .top = TW_TILE_CLEAR + TW_TILE_GUTTER};

    at.wide = page[0];
    at.right = at.left + tiling->tile[0];
    at.strip = page[1] - TW_TILE_CLEAR - strip;
    at.bottom = at.strip - TW_TILE_GUTTER;
    return at;
}

/* ---- the strip of furniture ---------------------------------------------------------------------------- */

/* The pages as small boxes, one of them filled; of those left out a cross. */
static void draw_map(tw_canvas *canvas, const tw_tiling *tiling, size_t here, double x, double y)
{
    cairo_t *cairo = canvas->cairo;
    const double wide = tiling->page[0], tall = tiling->page[1];
    const double each = fmin(MAP / ((double)tiling->columns * wide),
                             fmin(MAP / ((double)tiling->rows * tall), 70 / fmax(wide, tall)));

    for (size_t k = 0; k < tiling->columns * tiling->rows; k++) {
        const double left = x + (double)(k % tiling->columns) * wide * each;
        const double top = y + (double)(k / tiling->columns) * tall * each;
        cairo_rectangle(cairo, left, top, wide * each, tall * each);
        if (k == here) {
            cairo_set_source_rgb(cairo, 0, 0, 0);
            cairo_fill_preserve(cairo);
        }
        tw_pen_stroke(canvas, 2, tiling->keep[k] ? 0 : 0.6, 1);
        if (!tiling->keep[k]) {
            cairo_move_to(cairo, left, top);
            cairo_line_to(cairo, left + wide * each, top + tall * each);
            cairo_move_to(cairo, left, top + tall * each);
            cairo_line_to(cairo, left + wide * each, top);
            tw_pen_stroke(canvas, 1.5, 0.6, 1);
        }
    }
}

static size_t number_of(const tw_tiling *tiling, size_t cell)
{
    size_t number = 0;

    for (size_t k = 0; k <= cell; k++)
        number += tiling->keep[k];
    return number;
}

/* A page's name, its number, what it belongs to, and where it lies. */
static void draw_name(tw_canvas *canvas, const job *work, size_t cell, double y)
{
    const tw_tiling *tiling = work->tiling;
    const tw_lettering large = {.size = 100, .bold = true};
    const tw_lettering small = {.size = 26, .grey = 0.15, .wrap = 250, .lines = 5};
    char name[24], words[300];

    tw_tile_name(cell / tiling->columns, cell % tiling->columns, name);
    tw_format(words, sizeof words, "page %zu of %zu\n%s", number_of(tiling, cell), tiling->kept,
              work->pattern->title);
    y += tw_text_draw(canvas, name, &large, TW_TILE_CLEAR, y - 20) - 20;
    tw_text_draw(canvas, words, &small, TW_TILE_CLEAR, y);
}

/* ---- a tile -------------------------------------------------------------------------------------------- */

/* Where the n-th tile of a side meets the one before it, in the drawing; its outer ends at the rims. */
static double joint_at(const tw_tiling *tiling, int side, size_t n)
{
    const size_t count = side ? tiling->rows : tiling->columns;

    if (n == 0)
        return tw_tile_begin(tiling, side, 0);
    if (n == count)
        return tw_tile_begin(tiling, side, count - 1) + tiling->tile[side];
    return tw_tile_begin(tiling, side, n) + TW_TILE_OVERLAP / 2.0;
}

static void draw_mark(cairo_t *cairo, double x, double y)
{
    cairo_new_sub_path(cairo);
    cairo_arc(cairo, x, y, MARK, 0, 2 * TW_PI);
    cairo_move_to(cairo, x - CROSS, y);
    cairo_line_to(cairo, x + CROSS, y);
    cairo_move_to(cairo, x, y - CROSS);
    cairo_line_to(cairo, x, y + CROSS);
}

/* The line where a tile meets the one before it on a side, and its two marks. */
static void draw_joint(tw_canvas *canvas, const tw_tiling *tiling, int side, size_t column,
                       size_t row, bool marks)
{
    static const double dashes[] = {40, 10, 6, 10};
    cairo_t *cairo = canvas->cairo;
    const double at = joint_at(tiling, side, side ? row : column);
    const size_t along = side ? column : row;
    const double from = joint_at(tiling, !side, along), to = joint_at(tiling, !side, along + 1);

    cairo_move_to(cairo, side ? from : at, side ? at : from);
    cairo_line_to(cairo, side ? to : at, side ? at : to);
    cairo_set_dash(cairo, dashes, 4, 0);
    tw_pen_stroke(canvas, 1.5, 0.25, 1);
    cairo_set_dash(cairo, NULL, 0, 0);
    for (int end = 0; marks && end < 2; end++) {
        const double mark = round(from + (end ? 1 - MARK_SHARE : MARK_SHARE) * (to - from));
        draw_mark(cairo, side ? mark : at, side ? at : mark);
    }
    tw_pen_stroke(canvas, 1.5, 0, 1);
}

static bool kept(const tw_tiling *tiling, size_t column, size_t row)
{
    return column < tiling->columns && row < tiling->rows &&
           tiling->keep[row * tiling->columns + column];
}

static void draw_joints(tw_canvas *canvas, const tw_tiling *tiling, bool marks)
{
    for (size_t r = 0; r < tiling->rows; r++)
        for (size_t c = 0; c < tiling->columns; c++) {
            if (!kept(tiling, c, r))
                continue;
            if (c > 0 && kept(tiling, c - 1, r))
                draw_joint(canvas, tiling, 0, c, r, marks);
            if (r > 0 && kept(tiling, c, r - 1))
                draw_joint(canvas, tiling, 1, c, r, marks);
        }
}

/* "joins B2", in the gutter on that side. */
static void draw_neighbour(tw_canvas *canvas, const tw_tiling *tiling, size_t column, size_t row,
                           double x, double y, bool upright)
{
    char name[24], words[40];
    double width, height;

    if (!kept(tiling, column, row))
        return;
    tw_tile_name(row, column, name);
    tw_format(words, sizeof words, "joins %s", name);
    tw_text_size(canvas, words, &neighbour, &width, &height);
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, x, y);
    if (upright)
        cairo_rotate(canvas->cairo, -TW_PI / 2);
    tw_text_draw(canvas, words, &neighbour, 0, -height / 2);
    cairo_restore(canvas->cairo);
}

static void draw_neighbours(tw_canvas *canvas, const tw_tiling *tiling, size_t column, size_t row,
                            const place *at)
{
    const double middle_x = (at->left + at->right) / 2, middle_y = (at->top + at->bottom) / 2;
    const double half = TW_TILE_GUTTER / 2.0;

    draw_neighbour(canvas, tiling, column - 1, row, at->left - half, middle_y, true);
    draw_neighbour(canvas, tiling, column + 1, row, at->right + half,
                   (at->top + at->bottom - TW_RULER_INCHES - 20) / 2, true);
    draw_neighbour(canvas, tiling, column, row - 1, middle_x, at->top - half, false);
    draw_neighbour(canvas, tiling, column, row + 1, middle_x, at->bottom + half, false);
}

/* From here on the pen moves in the drawing's own coordinates, as turned. */
static void into_drawing(cairo_t *cairo, const tw_tiling *tiling, bool as_turned)
{
    const cairo_matrix_t quarter = {.yx = 1, .xy = -1};

    if (as_turned && tiling->turned)
        cairo_transform(cairo, &quarter);
}

static tw_status draw_tile(tw_canvas *canvas, const job *work, size_t cell, tw_arena *arena,
                           tw_error *err)
{
    const tw_tiling *tiling = work->tiling;
    const size_t column = cell % tiling->columns, row = cell / tiling->columns;
    const place at = place_of(tiling, tiling->page, tiling->strip);
    tw_words *const words = canvas->words;
    cairo_t *cairo = canvas->cairo;
    tw_status status;

    cairo_save(cairo);
    cairo_rectangle(cairo, at.left, at.top, tiling->tile[0], tiling->tile[1]);
    cairo_clip(cairo);
    cairo_translate(cairo, at.left - tw_tile_begin(tiling, 0, column),
                    at.top - tw_tile_begin(tiling, 1, row));
    cairo_save(cairo);
    into_drawing(cairo, tiling, true);
    if (!tiling->solo) /* what lies off this page is not read out for it */
        canvas->words = NULL;
    status = work->pattern->draw(canvas, work->pattern->context, false, arena, err);
    canvas->words = words;
    cairo_restore(cairo);
    draw_joints(canvas, tiling, true);
    cairo_restore(cairo);
    tw_ruler_bars(canvas, at.right + 30, at.bottom, true, 50);
    if (tiling->solo) {
        tw_strip_draw(canvas, work->pattern, true, at.wide, at.strip, true);
        return status;
    }
    draw_neighbours(canvas, tiling, column, row, &at);
    draw_name(canvas, work, cell, at.strip);
    draw_map(canvas, tiling, cell, TW_TILE_CLEAR + 265, at.strip);
    tw_strip_draw(canvas, work->pattern, false, at.wide, at.strip, true);
    return status;
}

/* ---- the overview ---------------------------------------------------------------------------------------- */

static void join_words(const job *work, char *out, size_t size)
{
    const tw_tiling *tiling = work->tiling;
    const size_t left_out = tiling->columns * tiling->rows - tiling->kept;
    char last[24], out_words[80] = "";
    const bool lying = tiling->page[0] > tiling->page[1];
    const bool roll = !(work->size->height_mm > 0);

    tw_tile_name(tiling->rows - 1, tiling->columns - 1, last);
    if (left_out > 0)
        tw_format(out_words, sizeof out_words, " %zu crossed out %s no line and %s left out.",
                  left_out, left_out > 1 ? "hold" : "holds", left_out > 1 ? "are" : "is");
    tw_format(out, size,
              "%zu pages of %s%s, A1 %s %s, rows by letter, columns by number.%s\n"
              "Pages overlap 10 mm. Check the bars of each. Then cut each page along its "
              "dash-dotted joint "
              "lines on the left and at the top, lay it over its neighbour so that the crossed "
              "circles meet, and tape it. Begin at the top left, join each row, then the rows.",
              tiling->kept, work->size->name,
              roll    ? ""
              : lying ? " landscape"
                      : " portrait",
              tiling->columns * tiling->rows > 2 ? "to" : "and", last, out_words);
    tw_text_bind_units(out, size);
}

/* A page's name in that corner or the middle of its cell where the drawing has least ink. */
static void draw_cell_name(tw_canvas *canvas, const tw_tiling *tiling, const char *name,
                           const tw_lettering *letters, const double cell[4], double per)
{
    double width, height, spare = 12 / per, best[2] = {cell[0], cell[1]};
    size_t least = SIZE_MAX;

    tw_text_size(canvas, name, letters, &width, &height);
    width /= per;
    height /= per;
    for (int k = 0; k < 5; k++) {
        const double x = k == 4  ? (cell[0] + cell[2] - width) / 2
                         : k & 1 ? cell[2] - width - spare
                                 : cell[0] + spare;
        const double y = k == 4  ? (cell[1] + cell[3] - height) / 2
                         : k & 2 ? cell[3] - height - spare
                                 : cell[1] + spare;
        const size_t ink = tw_ink_within(
            &tiling->ink, (double[4]){x - spare, y - spare, x + width + spare, y + height + spare});
        if (ink >= least)
            continue;
        least = ink;
        best[0] = x;
        best[1] = y;
    }
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, best[0], best[1]);
    cairo_scale(canvas->cairo, 1 / per, 1 / per);
    tw_text_draw(canvas, name, letters, 0, 0);
    cairo_restore(canvas->cairo);
}

static void draw_cells(tw_canvas *canvas, const tw_tiling *tiling, double per, double size)
{
    const tw_lettering large = {
        .size = size, .bold = true, .halo = true, .grey = 0.3, .mark = true};
    cairo_t *cairo = canvas->cairo;

    for (size_t r = 0; r < tiling->rows; r++)
        for (size_t c = 0; c < tiling->columns; c++) {
            const double left = joint_at(tiling, 0, c), right = joint_at(tiling, 0, c + 1);
            const double top = joint_at(tiling, 1, r), bottom = joint_at(tiling, 1, r + 1);
            char name[24];

            cairo_rectangle(cairo, left, top, right - left, bottom - top);
            tw_pen_stroke(canvas, 2, 0.5, 1);
            if (!kept(tiling, c, r)) {
                cairo_move_to(cairo, left, top);
                cairo_line_to(cairo, right, bottom);
                cairo_move_to(cairo, left, bottom);
                cairo_line_to(cairo, right, top);
                tw_pen_stroke(canvas, 2, 0.5, 1);
                continue;
            }
            tw_tile_name(r, c, name);
            draw_cell_name(canvas, tiling, name, &large, (double[4]){left, top, right, bottom},
                           per);
        }
}

/* The whole drawing small, with the pages it takes. */
static tw_status draw_whole(tw_canvas *canvas, const job *work, const place *at, double top,
                            tw_arena *arena, tw_error *err)
{
    const tw_tiling *tiling = work->tiling;
    const double first[2] = {joint_at(tiling, 0, 0), joint_at(tiling, 1, 0)};
    const double wide = joint_at(tiling, 0, tiling->columns) - first[0];
    const double tall = joint_at(tiling, 1, tiling->rows) - first[1];
    const double room = at->bottom - top - 40;
    const double per = fmin(fmin((at->right - at->left) / wide, room / tall), 0.9);
    const tw_lettering letters = {.size = 26, .grey = 0.25, .align = TW_CENTRE};
    cairo_t *cairo = canvas->cairo;
    char words[60];
    tw_status status;

    cairo_save(cairo);
    cairo_translate(cairo, (at->left + at->right - wide * per) / 2, top);
    cairo_scale(cairo, per, per);
    cairo_translate(cairo, -first[0], -first[1]);
    cairo_save(cairo);
    into_drawing(cairo, tiling, true);
    status = work->pattern->draw(canvas, work->pattern->context, true, arena, err);
    cairo_restore(cairo);
    draw_cells(canvas, tiling, per, fmin(50, 0.4 * per * fmin(tiling->tile[0], tiling->tile[1])));
    cairo_restore(cairo);
    tw_format(words, sizeof words, "the pages at 1:%.1f: do not cut from this one", 1 / per);
    tw_text_draw(canvas, words, &letters, (at->left + at->right) / 2, top + tall * per + 8);
    return status;
}

static tw_status draw_overview(tw_canvas *canvas, const job *work, tw_arena *arena, tw_error *err)
{
    const tw_tiling *tiling = work->tiling;
    const place at = place_of(tiling, tiling->overview, tiling->strip);
    const double wrap = at.right - at.left;
    const tw_lettering title = {.size = 56, .bold = true, .wrap = wrap};
    const tw_lettering line = {.size = 30, .grey = 0.15, .wrap = wrap};
    const tw_lettering name = {
        .size = 44, .bold = true, .wrap = TW_STRIP_BARS - TW_TILE_CLEAR - 60};
    const tw_lettering small = {
        .size = 26, .grey = 0.15, .wrap = TW_STRIP_BARS - TW_TILE_CLEAR - 60};
    char words[800];
    double y = at.top, below;

    join_words(work, words, sizeof words);
    y += tw_text_draw(canvas, work->pattern->title, &title, at.left, y) + 6;
    y += tw_text_draw(canvas, work->pattern->line, &line, at.left, y) + 10;
    y += tw_text_draw(canvas, words, &line, at.left, y) + 10;
    y += tw_text_draw(canvas, work->pattern->foot, &line, at.left, y) + 30;
    below = at.strip + tw_text_draw(canvas, "Overview", &name, TW_TILE_CLEAR, at.strip) + 6;
    tw_format(words, sizeof words,
              "The pattern itself, at 1:1, is on the %zu pages after this one.", tiling->kept);
    tw_text_draw(canvas, words, &small, TW_TILE_CLEAR, below);
    tw_ruler_bars(canvas, at.right + 30, at.bottom, true, 50);
    tw_strip_draw(canvas, work->pattern, false, at.wide, at.strip, true);
    return draw_whole(canvas, work, &at, y, arena, err);
}

/* ---- pages ------------------------------------------------------------------------------------------------ */

static tw_status draw_page(tw_canvas *canvas, const void *context, size_t page, tw_arena *arena,
                           tw_error *err)
{
    const job *work = context;
    size_t cell = 0, left = page;

    if (!work->tiling->solo && page == 0)
        return draw_overview(canvas, work, arena, err);
    left += work->tiling->solo ? 1 : 0;
    for (; left > 0; cell++)
        left -= work->tiling->keep[cell];
    return draw_tile(canvas, work, cell - 1, arena, err);
}

tw_status tw_tiles_write(const tw_pattern *pattern, const tw_page_size *page, tw_paper paper,
                         const tw_draw_options *options, tw_output *out, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_tiling tiling;
    const job work = {.pattern = pattern, .size = page, .tiling = &tiling};
    tw_pages pages = {.title = pattern->title, .draw = draw_page, .context = &work};
    tw_status status = arena ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for pages");

    if (status == TW_OK)
        status = tw_tiling_make(pattern, page, options->units, arena, &tiling, err);
    if (status == TW_OK) {
        pages.count = tiling.kept + (tiling.solo ? 0 : 1);
        pages.width_mm = tiling.page[0] / 10;
        pages.height_mm = tiling.page[1] / 10;
        pages.first_height_mm = tiling.overview[1] / 10;
        status = tw_paper_write(&pages, paper, options, out, err);
    }
    tw_arena_free(arena);
    return status;
}
