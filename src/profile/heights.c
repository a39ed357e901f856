/*
 * heights.c: a face by a picture of heights, made into the same rows of points as a scan. What a picture
 * needs on the way:
 *
 *   rim      a pixel is a square, so the face of a row of pixels ends half a pixel beyond the middles of its
 *            outermost ones; the rim that the picture saw lies anywhere in the last pixel, so this is right
 *            in the mean. Where it ends is smoothed over some rows (a quadratic by least squares: A. Savitzky
 *            & M. J. E. Golay, Anal. Chem. 36 (1964)), never by more than the staircase itself may be off.
 *            Heights are carried there along the row. So they are to a straight lower or upper side, half a
 *            pixel on. Where the rim closes round, the outermost row of pixels stands as it is and what lies
 *            beyond it, half a pixel, is left off: nearer to the tip sections grow as a square root, which
 *            the splines between them follow with false curvature.
 *   blocks   k by k pixels become one point, their mean, in both directions. The face's curvature is taken
 *            from second differences of points s = k·p apart (p a pixel), in which rounding to levels of
 *            size q, averaged over a block, leaves √6·q/(√12·k·s²) ≈ 0.7·q/(k³·p²); k is the least that
 *            keeps this below 0.001 1/mm (a ball of 1 m), and a picture within what a face may hold. The
 *            mean of a block of a ball of radius R lies s²/(12·R) under it: 0.002 mm for 2 mm, 150 mm.
 *            Derived here.
 *
 * Level 0 is no face. Gaps of up to two pixels in a row are bridged; larger ones are told.
 */
#include "profile_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { GAP_MAX = 2, COARSE_ROWS = 8, TRIMMED_MAX = 3, MOST = 480, SMOOTH = 6 };
static const double STAIR = 0.6; /* [pixels] that a staircase may be off a smooth rim */
static const double ROUND = 2; /* [pixels] a side by which a row is longer than the outermost one */
static const double NOISE = 0.001;    /* [1/mm] of curvature, from rounding */
static const double SIDE_LEAST = 1.5; /* [mm] from the centre line; a form needs a little less */

typedef struct face {
    tw_reader *reader;
    tw_place place;
    const tw_picture_spec *picture;
    uint16_t *level; /* gaps bridged */
    /* of each row of pixels: its first and one past its last with a face; both 0 without any */
    size_t *first, *last;
    double *end[2]; /* of each row: x where its face ends on the left and right, smoothed [mm] */
    size_t block;
    tw_points_spec *spec;
} face;

static double across(const face *f, double pixel)
{
    return f->picture->left + pixel * f->picture->across_step;
}

static double up(const face *f, double row)
{
    return f->picture->top - row * f->picture->up_step;
}

static double height(const face *f, size_t pixel, size_t row)
{
    return f->picture->offset + f->level[row * f->picture->width + pixel] * f->picture->level_step;
}

static bool is_face(const face *f, size_t pixel, size_t row)
{
    return pixel >= f->first[row] && pixel < f->last[row];
}

/* ---- rows of pixels ------------------------------------------------------------------------------- */

static bool bridge(const face *f, size_t row, size_t from, size_t to)
{
    uint16_t *level = f->level + row * f->picture->width;
    const double step = ((double)level[to] - level[from]) / (double)(to - from);

    if (to - from - 1 > GAP_MAX) {
        tw_reader_fault(f->reader, f->place, TW_ERR_SHAPE, NULL,
                        "give the face there, and cut it out by holes: or the outline",
                        "file \"%s\": the face has a gap of %zu pixels at x %.1f mm, y %.1f mm",
                        f->picture->file, to - from - 1, across(f, 0.5 * (double)(from + to + 1)),
                        up(f, (double)row + 0.5));
        return false;
    }
    for (size_t k = from + 1; k < to; k++)
        level[k] = (uint16_t)lround(level[from] + step * (double)(k - from));
    return true;
}

static bool scan_row(const face *f, size_t row)
{
    const uint16_t *level = f->level + row * f->picture->width;
    size_t last = SIZE_MAX;

    for (size_t k = 0; k < f->picture->width; k++) {
        if (level[k] == 0)
            continue;
        if (last == SIZE_MAX)
            f->first[row] = k;
        else if (last + 1 < k && !bridge(f, row, last, k))
            return false;
        last = k;
        f->last[row] = k + 1;
    }
    return true;
}

/* Does a row of pixels go over the centre line, far enough for a section? */
static bool crosses(const face *f, size_t row)
{
    const double side = fmax(SIDE_LEAST, f->picture->across_step);

    return f->last[row] >= f->first[row] + 3 &&
           across(f, (double)f->first[row]) < f->spec->origin[0] - side &&
           across(f, (double)f->last[row]) > f->spec->origin[0] + side;
}

/* The first row of pixels and one past the last with a face. */
static bool find_rows(face *f, size_t *from, size_t *to)
{
    *from = SIZE_MAX;
    *to = 0;
    for (size_t row = 0; row < f->picture->height; row++) {
        if (!scan_row(f, row))
            return false;
        if (f->last[row] == 0)
            continue;
        if (*from != SIZE_MAX && row > *to) {
            tw_reader_fault(f->reader, f->place, TW_ERR_SHAPE, NULL, "give the face in one piece",
                            "file \"%s\": there is no face at y %.1f mm, but above and below it",
                            f->picture->file, up(f, (double)*to + 0.5));
            return false;
        }
        if (*from == SIZE_MAX)
            *from = row;
        *to = row + 1;
    }
    assert(*from != SIZE_MAX); /* there is some level */
    return true;
}

/* Middle of the quadratic that fits 2·half + 1 values best. */
static double fitted(const double *middle, size_t half)
{
    const double m = (double)half, scale = (2 * m - 1) * (2 * m + 1) * (2 * m + 3);
    double sum = 0;

    for (size_t k = 0; k <= 2 * half; k++) {
        const double j = (double)k - m;
        sum += (3 * (3 * m * m + 3 * m - 1) - 15 * j * j) / scale *
               middle[(ptrdiff_t)k - (ptrdiff_t)half];
    }
    return sum;
}

/* Ends of rows [from, to): smoothed where a curve without corners can be meant. */
static void smooth_ends(const face *f, size_t from, size_t to, double *raw)
{
    const double step = f->picture->across_step;

    for (int side = 0; side < 2; side++) {
        for (size_t row = from; row < to; row++)
            raw[row] = across(f, (double)(side ? f->last[row] : f->first[row]));
        for (size_t row = from; row < to; row++) {
            const size_t room = row - from < to - 1 - row ? row - from : to - 1 - row;
            f->end[side][row] = raw[row];
            for (size_t half = room < SMOOTH ? room : SMOOTH; half >= 2; half--) {
                const double x = fitted(raw + row, half);
                if (fabs(x - raw[row]) > STAIR * step)
                    continue;
                f->end[side][row] = x;
                break;
            }
        }
    }
}

/* Without an origin the tape begins midway between the ends of the lowest row. */
static void choose_origin(face *f, size_t to)
{
    tw_points_spec *spec = f->spec;

    if (spec->origin_place.line != 0)
        return;
    if (isnan(spec->origin[0])) {
        spec->origin[0] = across(f, 0.5 * (double)(f->first[to - 1] + f->last[to - 1]));
        spec->origin[1] = -INFINITY; /* the lowest row that is used */
    }
}

/* A round rim's lowest pixels are too few for a section, and a sliver of the face. */
static void trim_rows(const face *f, size_t *from, size_t *to)
{
    size_t low = *to, high = *from;

    while (low > high && *to - low < TRIMMED_MAX && !crosses(f, low - 1))
        low--;
    while (high < low && high - *from < TRIMMED_MAX && !crosses(f, high))
        high++;
    if (low > high && crosses(f, low - 1))
        *to = low;
    if (low > high && crosses(f, high))
        *from = high;
}

/* ---- points --------------------------------------------------------------------------------------- */

static void add_point(face *f, double x, double z)
{
    tw_points_spec *spec = f->spec;

    spec->points[spec->point_count][0] = x;
    spec->points[spec->point_count++][1] = z;
}

/* Pixels [low, high) of rows [from, to), all face. */
static double mean_height(const face *f, size_t low, size_t high, size_t from, size_t to)
{
    double sum = 0; /* of at most some thousand whole numbers: exact */

    for (size_t row = from; row < to; row++)
        for (size_t k = low; k < high; k++)
            sum += f->level[row * f->picture->width + k];
    return f->picture->offset + sum / (double)((to - from) * (high - low)) * f->picture->level_step;
}

static bool all_face(const face *f, size_t low, size_t high, size_t from, size_t to)
{
    for (size_t row = from; row < to; row++)
        if (!is_face(f, low, row) || !is_face(f, high - 1, row))
            return false;
    return true;
}

/* Where the face of rows [from, to) ends on one side: the mean of its rows' ends. */
static void end_of(const face *f, size_t from, size_t to, int side, double *x, double *z)
{
    *x = *z = 0;
    for (size_t row = from; row < to; row++) {
        const size_t out = side ? f->last[row] - 1 : f->first[row];
        const size_t in = f->last[row] - f->first[row] < 2 ? out : side ? out - 1 : out + 1;
        const double beyond = fabs(f->end[side][row] - across(f, (double)out + 0.5));
        *x += f->end[side][row];
        *z += height(f, out, row) +
              beyond / f->picture->across_step * (height(f, out, row) - height(f, in, row));
    }
    *x /= (double)(to - from);
    *z /= (double)(to - from);
}

/* A section at y from rows of pixels [from, to). At a border of the face, heights are carried half a pixel
 * on from its outermost row: by how much they differ from the row `inner`, SIZE_MAX for none. */
static void add_row(face *f, double y, size_t from, size_t to, size_t inner)
{
    tw_points_row *row = &f->spec->rows[f->spec->row_count++];
    const double space = 0.5 * (double)f->block * f->picture->across_step;
    double x[2], z[2];
    size_t inside = 0;

    *row = (tw_points_row){.y = y, .first = f->spec->point_count};
    end_of(f, from, to, 0, &x[0], &z[0]);
    end_of(f, from, to, 1, &x[1], &z[1]);
    add_point(f, x[0], z[0]);
    for (size_t low = 0; low + f->block <= f->picture->width; low += f->block) {
        const double at = across(f, (double)low + 0.5 * (double)f->block);
        if (at - x[0] <= space || x[1] - at <= space || !all_face(f, low, low + f->block, from, to))
            continue;
        add_point(f, at, mean_height(f, low, low + f->block, from, to));
        inside++;
    }
    if (inside == 0) { /* narrower than blocks: its middle */
        const size_t low = (f->first[from] + f->last[from] - 1) / 2;
        add_point(f, across(f, (double)low + 0.5), height(f, low, from));
    }
    add_point(f, x[1], z[1]);
    row->count = f->spec->point_count - row->first;
    for (size_t k = row->first; inner != SIZE_MAX && k < f->spec->point_count; k++) {
        const double pixel = (f->spec->points[k][0] - f->picture->left) / f->picture->across_step;
        const double in =
            fmin(fmax(floor(pixel), (double)f->first[from]), (double)f->last[from] - 1);
        if (is_face(f, (size_t)in, inner))
            f->spec->points[k][1] +=
                0.5 * (height(f, (size_t)in, from) - height(f, (size_t)in, inner));
    }
}

static size_t block_of(const face *f, size_t rows)
{
    const tw_picture_spec *p = f->picture;
    const double noise = 0.7 * p->level_step / (NOISE * p->across_step * p->up_step);
    size_t block = 1;

    while ((double)(block * block * block) < noise && block < rows / COARSE_ROWS)
        block++;
    while (rows / block > MOST || p->width / block > MOST)
        block++;
    return block;
}

/* Does the rim close round here? `row` is the outermost one, `inner` the next. */
static bool closes_round(const face *f, size_t row, size_t inner)
{
    const double longer =
        (double)(f->last[inner] - f->first[inner]) - (double)(f->last[row] - f->first[row]);

    return longer > 2 * ROUND;
}

static bool make_points(face *f, size_t from, size_t to)
{
    tw_points_spec *spec = f->spec;
    const bool several = to - from > 2;
    const bool round_low = several && closes_round(f, to - 1, to - 2);
    const bool round_high = several && closes_round(f, from, from + 1);
    const size_t a = from + round_high, rows = to - round_low - a;
    const size_t blocks = rows / f->block < 1 ? 1 : rows / f->block;
    const size_t width = f->picture->width / f->block + 3;

    spec->rows = tw_reader_array(f->reader, blocks + 2, sizeof *spec->rows);
    spec->points = tw_reader_array(f->reader, (blocks + 2) * width, sizeof *spec->points);
    if (f->reader->no_memory)
        return false;
    if (round_low)
        add_row(f, up(f, (double)to - 0.5), to - 1, to, SIZE_MAX);
    else
        add_row(f, up(f, (double)to), to - 1, to, several ? to - 2 : SIZE_MAX);
    for (size_t b = blocks; b-- > 0;) {
        const size_t low = a + b * rows / blocks, high = a + (b + 1) * rows / blocks;
        add_row(f, up(f, 0.5 * (double)(low + high)), low, high, SIZE_MAX);
    }
    if (round_high)
        add_row(f, up(f, (double)from + 0.5), from, from + 1, SIZE_MAX);
    else
        add_row(f, up(f, (double)from), from, from + 1, several ? from + 1 : SIZE_MAX);
    assert(spec->point_count <= TW_POINTS_MAX && spec->row_count <= TW_POINTS_ROWS_MAX);
    return true;
}

/* An origin that the file itself gives may lie on the border of its face, but for rounding. */
static void hold_origin(face *f)
{
    tw_points_spec *spec = f->spec;
    const double low = spec->rows[0].y, high = spec->rows[spec->row_count - 1].y;
    const double step = f->picture->up_step;

    if (spec->origin_place.line != 0)
        return;
    if (spec->origin[1] < low && (isinf(spec->origin[1]) || spec->origin[1] > low - step))
        spec->origin[1] = low;
    if (spec->origin[1] > high && spec->origin[1] < high + step)
        spec->origin[1] = high;
}

/* ---- the whole ------------------------------------------------------------------------------------- */

static bool own_origin(tw_reader *reader, tw_place place, const tw_grey *grey, tw_points_spec *spec)
{
    const char *text = tw_grey_text(grey, TW_PICTURE_ORIGIN);
    char word[64];
    size_t used = 0;

    if (spec->origin_place.line != 0)
        return true;
    spec->origin[0] = spec->origin[1] = spec->origin[2] = NAN;
    for (int axis = 0; text && axis < 3; axis++) {
        used += strspn(text + used, " ");
        snprintf(word, sizeof word, "%.*s", (int)strcspn(text + used, " "), text + used);
        used += strcspn(text + used, " ");
        if (tw_quantity_read(word, TW_LENGTH, TW_RULER_MM, &spec->origin[axis], NULL) != TW_OK ||
            !(fabs(spec->origin[axis]) <= 1e4)) {
            tw_reader_fault(reader, place, TW_ERR_INPUT, text,
                            "write three numbers of mm, or give the origin in the profile",
                            "file \"%s\": its text chunk \"%s\" is \"%.60s\"", spec->file,
                            TW_PICTURE_ORIGIN, text);
            return false;
        }
    }
    return true;
}

static void read_face(tw_reader *reader, const tw_grey *grey, tw_points_spec *spec)
{
    face f = {.reader = reader,
              .place = spec->picture.place,
              .picture = &spec->picture,
              .level = grey->levels,
              .spec = spec};
    size_t from = 0, to = 0;
    double *raw;

    f.first = tw_reader_array(reader, grey->height, sizeof *f.first);
    f.last = tw_reader_array(reader, grey->height, sizeof *f.last);
    for (int side = 0; side < 2; side++)
        f.end[side] = tw_reader_array(reader, grey->height, sizeof *f.end[side]);
    raw = tw_reader_array(reader, grey->height, sizeof *raw);
    if (reader->no_memory || !find_rows(&f, &from, &to))
        return;
    choose_origin(&f, to);
    trim_rows(&f, &from, &to);
    smooth_ends(&f, from, to, raw);
    f.block = block_of(&f, to - from);
    if (make_points(&f, from, to))
        hold_origin(&f);
}

void tw_read_height_map(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_points_spec *spec = &reader->profile->points;
    tw_heights_keys keys = {.origin = {0}};
    tw_grey grey = {0};

    (void)target;
    tw_picture_keys_init(&keys.picture);
    reader->profile->form = TW_FORM_POINTS;
    spec->place = node->place;
    if (!tw_read_map(reader, node, key->inside, key->name, &keys))
        return;
    memcpy(spec->origin, keys.origin, sizeof spec->origin);
    spec->origin_place = keys.origin_place;
    if (tw_picture_beside(reader, &keys.picture, "height", &grey, &spec->picture)) {
        spec->file = spec->picture.file;
        if (isnan(spec->picture.left))
            spec->picture.left = 0;
        if (isnan(spec->picture.top))
            spec->picture.top = (double)grey.height * spec->picture.up_step;
        if (own_origin(reader, spec->picture.place, &grey, spec))
            read_face(reader, &grey, spec);
    }
    tw_grey_release(&grey);
}
