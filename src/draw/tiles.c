/*
 * tiles.c: how a drawing at 1:1 is divided among pages. The drawing is never scaled: pages overlap, and where
 * they begin is searched millimetre by millimetre for the fewest that hold ink.
 *
 * Ink is found by drawing the whole at one pixel to a millimetre: whatever leaves a pixel of it other than
 * white counts. Tiles meet in the middle of their overlap, so that each pixel belongs to one tile only, and
 * a line that a pixel rounds to the wrong side still lies in the half overlap that both show.
 */
#include "tiles.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SPARE = 20;           /* about the ink: lines have a width */
static const double LARGEST = 100000;     /* of a drawing */
static const double LONGEST_TILE = 48000; /* a PDF's page has at most 14400 points a side */
enum { OVERLAP_MM = TW_TILE_OVERLAP / 10 };

double tw_tile_begin(const tw_tiling *tiling, int side, size_t n)
{
    return tiling->first[side] + (double)n * (tiling->tile[side] - TW_TILE_OVERLAP);
}

void tw_tile_name(size_t row, size_t column, char out[24])
{
    char letters[8];
    size_t count = 0;

    for (size_t left = row + 1; left > 0 && count + 1 < sizeof letters; left = (left - 1) / 26)
        letters[count++] = (char)('A' + (left - 1) % 26);
    for (size_t k = 0; k < count; k++)
        out[k] = letters[count - 1 - k];
    tw_format(out + count, 24 - count, "%zu", column + 1);
}

/* ---- where there is ink ---------------------------------------------------------------------------- */

static void extents(const tw_pattern *pattern, bool turned, double low[2], double high[2])
{
    low[0] = turned ? -pattern->high[1] : pattern->low[0];
    high[0] = turned ? -pattern->low[1] : pattern->high[0];
    low[1] = turned ? pattern->low[0] : pattern->low[1];
    high[1] = turned ? pattern->high[0] : pattern->high[1];
}

/* Corner and size without looking at pixels. */
static tw_status ink_measure(const tw_pattern *pattern, bool turned, tw_ink *out, tw_error *err)
{
    double low[2], high[2];

    *out = (tw_ink){.sum = NULL};
    extents(pattern, turned, low, high);
    for (int c = 0; c < 2; c++) {
        const double size = high[c] - low[c] + 2 * SPARE;
        if (!(size > 0 && size <= LARGEST))
            return tw_fail(err, TW_ERR_LIMIT, "a drawing of %.0f mm by %.0f mm is too large",
                           (high[0] - low[0]) / 10, (high[1] - low[1]) / 10);
        out->low[c] = 10 * floor((low[c] - SPARE) / 10);
        out->size[c] = (size_t)ceil((high[c] + SPARE - out->low[c]) / 10);
    }
    return TW_OK;
}

static tw_status ink_find(const tw_pattern *pattern, bool turned, tw_units units, tw_arena *arena,
                          tw_ink *work, tw_error *err)
{
    const size_t wide = work->size[0], tall = work->size[1];
    const cairo_matrix_t quarter = {.yx = 1, .xy = -1};
    tw_image image = {0};
    tw_canvas canvas;
    tw_status status = tw_canvas_begin(wide, tall, 0.1, units, &canvas, err);

    if (status != TW_OK)
        return status;
    cairo_translate(canvas.cairo, -work->low[0], -work->low[1]);
    if (turned)
        cairo_transform(canvas.cairo, &quarter);
    status = pattern->draw(&canvas, pattern->context, false, arena, err);
    if (status == TW_OK)
        status = tw_canvas_image(&canvas, &image, err);
    tw_canvas_end(&canvas);
    if (status != TW_OK)
        return status;
    work->sum = tw_arena_array(arena, (wide + 1) * (tall + 1), sizeof *work->sum);
    if (!work->sum)
        status =
            tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing of %zu by %zu mm", wide, tall);
    else
        memset(work->sum, 0, (wide + 1) * (tall + 1) * sizeof *work->sum);
    for (size_t y = 0; status == TW_OK && y < tall; y++) {
        uint32_t in_row = 0;
        for (size_t x = 0; x < wide; x++) {
            const unsigned char *pixel = image.pixels + 3 * (y * wide + x);
            in_row += pixel[0] < 255 || pixel[1] < 255 || pixel[2] < 255;
            work->sum[(y + 1) * (wide + 1) + x + 1] = work->sum[y * (wide + 1) + x + 1] + in_row;
        }
    }
    tw_image_release(&image);
    return status;
}

static size_t ink_count(const tw_ink *ink, size_t left, size_t top, size_t right, size_t bottom)
{
    const size_t stride = ink->size[0] + 1;

    return ink->sum[bottom * stride + right] - ink->sum[top * stride + right] -
           ink->sum[bottom * stride + left] + ink->sum[top * stride + left];
}

size_t tw_ink_within(const tw_ink *ink, const double box[4])
{
    size_t at[4];

    for (int k = 0; k < 4; k++) {
        const double most = (double)ink->size[k % 2];
        const double pixel = (box[k] - ink->low[k % 2]) / 10;
        at[k] = (size_t)fmin(fmax(k < 2 ? floor(pixel) : ceil(pixel), 0), most);
    }
    return at[2] > at[0] && at[3] > at[1] ? ink_count(ink, at[0], at[1], at[2], at[3]) : 0;
}

/* ---- one way to lay tiles ---------------------------------------------------------------------------- */

/* Tiles of a size [mm] over ink, begun so far before it. */
typedef struct lay {
    const tw_ink *on;
    size_t tile[2], off[2], count[2]; /* columns, rows */
} lay;

static size_t tiles_over(size_t length, size_t tile, size_t off)
{
    const size_t step = tile - OVERLAP_MM;

    return length + off <= tile ? 1 : (length + off - OVERLAP_MM + step - 1) / step;
}

/* Where the n-th of a side meets the one before it, within the ink. */
static size_t joint(const lay *way, int side, size_t n)
{
    const size_t whole = way->on->size[side];
    const size_t at = n * (way->tile[side] - OVERLAP_MM) + OVERLAP_MM / 2;

    if (n == 0)
        return 0;
    if (n >= way->count[side])
        return whole;
    return at < way->off[side] ? 0 : at - way->off[side] < whole ? at - way->off[side] : whole;
}

static bool inked(const lay *way, size_t column, size_t row)
{
    return ink_count(way->on, joint(way, 0, column), joint(way, 1, row), joint(way, 0, column + 1),
                     joint(way, 1, row + 1)) > 0;
}

static size_t count_inked(const lay *way)
{
    size_t count = 0;

    for (size_t r = 0; r < way->count[1]; r++)
        for (size_t c = 0; c < way->count[0]; c++)
            count += inked(way, c, r);
    return count;
}

/* Marks those kept that hang together with the first; how many. */
static size_t reach(const bool *keep, size_t columns, size_t rows, bool *seen)
{
    size_t count = 0, last = SIZE_MAX;

    memset(seen, 0, columns * rows * sizeof *seen);
    for (size_t k = 0; k < columns * rows && count == 0; k++)
        if (keep[k])
            count = seen[k] = 1;
    while (count != last) { /* grids of pages are small */
        last = count;
        for (size_t k = 0; k < columns * rows; k++) {
            const size_t c = k % columns;
            if (!keep[k] || seen[k])
                continue;
            if ((c > 0 && seen[k - 1]) || (c + 1 < columns && seen[k + 1]) ||
                (k >= columns && seen[k - columns]) ||
                (k + columns < columns * rows && seen[k + columns])) {
                seen[k] = true;
                count++;
            }
        }
    }
    return count;
}

/* Which tiles are kept: those with ink; all, where those with ink would not hang together. */
static tw_status keep_tiles(const lay *way, tw_arena *arena, tw_tiling *out, tw_error *err)
{
    const size_t columns = way->count[0], rows = way->count[1];
    bool *seen = tw_arena_array(arena, columns * rows, sizeof *seen);

    out->keep = tw_arena_array(arena, columns * rows, sizeof *out->keep);
    if (!seen || !out->keep)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu pages", columns * rows);
    out->columns = columns;
    out->rows = rows;
    out->kept = 0;
    for (size_t k = 0; k < columns * rows; k++)
        out->kept += out->keep[k] = inked(way, k % columns, k / columns);
    if (reach(out->keep, columns, rows, seen) < out->kept) {
        memset(out->keep, true, columns * rows * sizeof *out->keep);
        out->kept = columns * rows;
    }
    for (int c = 0; c < 2; c++) {
        out->tile[c] = 10 * (double)way->tile[c];
        out->first[c] = way->on->low[c] - 10 * (double)way->off[c];
    }
    return TW_OK;
}

/* Offset along one side that spares as much before as after. */
static size_t uneven(const lay *way)
{
    size_t sum = 0;

    for (int c = 0; c < 2; c++) {
        const size_t end = way->count[c] * (way->tile[c] - OVERLAP_MM) + OVERLAP_MM;
        const size_t after = end - way->on->size[c] - way->off[c];
        sum += after > way->off[c] ? after - way->off[c] : way->off[c] - after;
    }
    return sum;
}

/* The best offset of both sides. */
static lay lay_best(const tw_ink *on, const size_t tile[2])
{
    lay best = {.on = on}, way = {.on = on, .tile = {tile[0], tile[1]}};
    size_t least = SIZE_MAX, cells = SIZE_MAX, skew = SIZE_MAX;

    for (way.off[1] = 0; way.off[1] < tile[1] - OVERLAP_MM; way.off[1]++) {
        way.count[1] = tiles_over(on->size[1], tile[1], way.off[1]);
        for (way.off[0] = 0; way.off[0] < tile[0] - OVERLAP_MM; way.off[0]++) {
            size_t count, grid, even;
            way.count[0] = tiles_over(on->size[0], tile[0], way.off[0]);
            grid = way.count[0] * way.count[1];
            if (grid > 2 * TW_TILES_MAX && least != SIZE_MAX)
                continue;
            count = count_inked(&way);
            even = uneven(&way);
            if (count > least || (count == least && grid > cells) ||
                (count == least && grid == cells && even >= skew))
                continue;
            best = way;
            least = count;
            cells = grid;
            skew = even;
        }
    }
    return best;
}

/* ---- the page --------------------------------------------------------------------------------------- */

static bool tile_of(const double page[2], double strip, size_t tile[2])
{
    const double wide = page[0] - 2 * TW_TILE_CLEAR - TW_TILE_GUTTER - TW_TILE_SIDE;
    const double tall = page[1] - 2 * TW_TILE_CLEAR - 2 * TW_TILE_GUTTER - strip;

    if (wide < TW_TILE_LEAST || tall < TW_TILE_LEAST)
        return false;
    tile[0] = (size_t)(wide / 10 + 1e-9);
    tile[1] = (size_t)(tall / 10 + 1e-9);
    return true;
}

static double page_height(double tile, double strip)
{
    return tile + 2 * TW_TILE_CLEAR + 2 * TW_TILE_GUTTER + strip;
}

/* One page that says everything itself; false when it is too small for that. */
static bool alone(const tw_ink *on, const double page[2], double strip, bool turned,
                  tw_arena *arena, tw_tiling *out)
{
    size_t tile[2];

    if (!tile_of(page, strip, tile) || on->size[0] > tile[0] || on->size[1] > tile[1])
        return false;
    out->keep = tw_arena_array(arena, 1, sizeof *out->keep);
    if (!out->keep)
        return false;
    out->keep[0] = true;
    out->columns = out->rows = out->kept = 1;
    out->solo = true;
    out->strip = strip;
    out->turned = turned;
    for (int c = 0; c < 2; c++) {
        out->page[c] = out->overview[c] = page[c];
        out->tile[c] = 10 * (double)tile[c];
        out->first[c] = on->low[c] - 10 * (double)((tile[c] - on->size[c]) / 2);
    }
    return true;
}

/* The better of two: fewer pages, then less paper. */
static bool better(const tw_tiling *one, const tw_tiling *other)
{
    if (other->kept == 0 || one->kept != other->kept)
        return other->kept == 0 || one->kept < other->kept;
    return one->page[0] * one->page[1] < other->page[0] * other->page[1];
}

/* One way to hold the page, or to turn the drawing on a roll. */
static tw_status try_way(const tw_pattern *pattern, const double paper[2], bool turned,
                         tw_units units, tw_arena *arena, tw_tiling *best, tw_error *err)
{
    const bool roll = !(paper[1] > 0);
    double page[2] = {paper[0], paper[1]}, strip, solo;
    tw_tiling trial = {.turned = turned};
    size_t tile[2];
    lay way;
    tw_ink on;
    tw_status status = ink_measure(pattern, turned, &on, err);

    if (status == TW_OK)
        status = tw_tiles_strip(pattern, false, page[0], units, &strip, err);
    if (status == TW_OK)
        status = tw_tiles_strip(pattern, true, page[0], units, &solo, err);
    if (status != TW_OK)
        return status;
    if (roll)
        page[1] =
            page_height(fmin(fmax(10 * (double)on.size[1], TW_TILE_LEAST), LONGEST_TILE), solo);
    if (!alone(&on, page, solo, turned, arena, &trial)) {
        if (roll)
            page[1] += strip - solo;
        if (!tile_of(page, strip, tile))
            return TW_OK;
        if (on.size[0] / (tile[0] - OVERLAP_MM) * (on.size[1] / (tile[1] - OVERLAP_MM)) >
            2 * TW_TILES_MAX)
            return TW_OK;
        status = ink_find(pattern, turned, units, arena, &on, err);
        if (status != TW_OK)
            return status;
        way = lay_best(&on, tile);
        status = keep_tiles(&way, arena, &trial, err);
        memcpy(trial.page, page, sizeof page);
        trial.strip = strip;
        trial.ink = on;
        trial.overview[0] = page[0];
        trial.overview[1] = roll ? page_height(2000, strip) : page[1];
    }
    if (status == TW_OK && trial.kept <= TW_TILES_MAX && better(&trial, best))
        *best = trial;
    return status;
}

tw_status tw_tiling_make(const tw_pattern *pattern, const tw_page_size *page, tw_units units,
                         tw_arena *arena, tw_tiling *out, tw_error *err)
{
    const bool roll = !(page->height_mm > 0);
    tw_tiling best = {0};

    for (int way = 0; way < 2; way++) {
        const bool lying = way == 1 && !roll;
        const double size[2] = {10 * (lying ? page->height_mm : page->width_mm),
                                10 * (lying ? page->width_mm : page->height_mm)};
        const tw_status status = try_way(pattern, size, roll && way == 1, units, arena, &best, err);
        if (status != TW_OK)
            return status;
    }
    if (best.kept > 0) {
        *out = best;
        return TW_OK;
    }
    tw_fail(err, TW_ERR_LIMIT, "on %s this drawing takes more than %d pages, or has no room",
            page->name, TW_TILES_MAX);
    tw_error_advise(err, page->name, "take larger paper");
    return TW_ERR_LIMIT;
}
