/*
 * solid_raster.c: what is seen of triangles, by a depth buffer in bands of rows. A sample has 3 × 3
 * points; a point belongs to the triangle whose span of the row it lies in, left border in, right border
 * out, with borders computed alike for both triangles of a side, so that no gap shows between them. A
 * sample that one face fills is coloured once in its middle, others point by point.
 *
 * Light comes from the viewer's upper left. Colour is dimmed by 0.66 + 0.34·(1 + n·l)/2, never below
 * two thirds and not at all where the face looks at the light, so that the scale can still be read.
 */
#include "hatch.h"
#include "solid_internal.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

enum { POINTS = 3, BAND = 8, BANDS_AT_ONCE = 16, TABLE = 1024 };
static const double LIGHT[3] = {-0.42, 0.56, 0.714}; /* length 1 */
static const double DIMMEST = 0.66, STEEL_DIMMEST = 0.5;
static const double INNER[3] = {178, 184, 191}, WALL[3] = {214, 218, 223}; /* steel, sRGB */
static const double FOLD = 6; /* samples of depth between points of one sample: two faces */

typedef struct renderer {
    const tw_body *body;
    tw_samples *samples;
    double table[TABLE][3];
    size_t *band_start; /* bands + 1: in band_triangle */
    uint32_t *band_triangle;
    unsigned char *pixels;
    size_t stride, bands;
    bool colours_inside;
    atomic_bool failed;
} renderer;

/* Places of a triangle's corners, in points of the samples. */
typedef struct drawn {
    double x[3], y[3], z[3];
} drawn;

static void place(const renderer *work, const tw_triangle *triangle, drawn *out)
{
    const tw_samples *to = work->samples;

    for (int k = 0; k < 3; k++) {
        const double *at = work->body->corners[triangle->corner[k]].at;
        out->x[k] = POINTS * ((at[0] - to->left) * to->per_mm + to->offset[0]);
        out->y[k] = POINTS * ((to->top - at[1]) * to->per_mm + to->offset[1]);
        out->z[k] = at[2];
    }
}

/* ---- triangles by band -------------------------------------------------------------------------------- */

static void bands_of(const renderer *work, const tw_triangle *triangle, size_t *first, size_t *last)
{
    drawn at;
    double low, high;
    const double most = (double)(work->bands - 1), tall = POINTS * BAND;

    place(work, triangle, &at);
    low = fmin(fmin(at.y[0], at.y[1]), at.y[2]);
    high = fmax(fmax(at.y[0], at.y[1]), at.y[2]);
    *first = (size_t)fmin(fmax(floor(low / tall), 0), most);
    *last = (size_t)fmin(fmax(floor(high / tall), 0), most);
}

static tw_status sort_into_bands(renderer *work, tw_arena *arena, tw_error *err)
{
    const tw_body *body = work->body;
    size_t first, last, before = 0;

    work->band_start = tw_arena_array(arena, work->bands + 1, sizeof *work->band_start);
    if (!work->band_start)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view");
    for (size_t k = 0; k < body->triangle_count; k++) {
        bands_of(work, &body->triangles[k], &first, &last);
        for (size_t b = first; b <= last; b++)
            work->band_start[b]++;
    }
    for (size_t b = 0; b <= work->bands; b++) {
        const size_t here = work->band_start[b];
        work->band_start[b] = before;
        before += here;
    }
    work->band_triangle = tw_arena_array(arena, before, sizeof *work->band_triangle);
    if (!work->band_triangle)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view of %zu triangles",
                       body->triangle_count);
    for (size_t k = 0; k < body->triangle_count; k++) {
        bands_of(work, &body->triangles[k], &first, &last);
        for (size_t b = first; b <= last; b++)
            work->band_triangle[work->band_start[b]++] = (uint32_t)k;
    }
    for (size_t b = work->bands; b > 0; b--)
        work->band_start[b] = work->band_start[b - 1];
    work->band_start[0] = 0;
    return TW_OK;
}

/* ---- points ------------------------------------------------------------------------------------------- */

/* Points of one band. */
typedef struct band {
    float *depth;                  /* −INFINITY where nothing is seen */
    uint32_t *seen;                /* triangle; only where there is one */
    size_t width, first_row, rows; /* in points */
} band;

/* One side of a triangle as x by y, always from its lower end. */
typedef struct slope {
    double low, high, x, per_row;
} slope;

static slope slope_of(const drawn *at, int a, int b)
{
    const bool turned = at->y[a] > at->y[b] || (!(at->y[a] < at->y[b]) && at->x[a] > at->x[b]);
    const int from = turned ? b : a, to = turned ? a : b;
    const double tall = at->y[to] - at->y[from];

    return (slope){at->y[from], at->y[to], at->x[from],
                   tall > 0 ? (at->x[to] - at->x[from]) / tall : 0};
}

/* First point whose middle is not left of x. */
static size_t point_from(double x, size_t most)
{
    const double first = ceil(x - 0.5);

    return first <= 0 ? 0 : first >= (double)most ? most : (size_t)first;
}

static void draw_triangle(const band *to, const drawn *at, uint32_t index)
{
    const slope side[3] = {slope_of(at, 0, 1), slope_of(at, 1, 2), slope_of(at, 2, 0)};
    const double bx = at->x[1] - at->x[0], by = at->y[1] - at->y[0], bz = at->z[1] - at->z[0];
    const double cx = at->x[2] - at->x[0], cy = at->y[2] - at->y[0], cz = at->z[2] - at->z[0];
    const double area = bx * cy - cx * by;
    const double by_x = (bz * cy - cz * by) / area, by_y = (cz * bx - bz * cx) / area;
    const double near = fmax(fmax(at->z[0], at->z[1]), at->z[2]);
    const double far = fmin(fmin(at->z[0], at->z[1]), at->z[2]);
    const double top = fmin(fmin(at->y[0], at->y[1]), at->y[2]) - (double)to->first_row;
    const double bottom = fmax(fmax(at->y[0], at->y[1]), at->y[2]) - (double)to->first_row;
    const size_t first = point_from(top, to->rows), last = point_from(bottom, to->rows);

    for (size_t row = first; row < last; row++) {
        const double y = (double)(to->first_row + row) + 0.5;
        double left = INFINITY, right = -INFINITY, z;
        size_t begin, end;
        float *depth = to->depth + row * to->width;
        uint32_t *seen = to->seen + row * to->width;
        for (int k = 0; k < 3; k++)
            if (side[k].low <= y && y < side[k].high) {
                const double x = side[k].x + (y - side[k].low) * side[k].per_row;
                left = x < left ? x : left;
                right = x > right ? x : right;
            }
        begin = point_from(left, to->width);
        end = point_from(right, to->width);
        z = at->z[0] + ((double)begin + 0.5 - at->x[0]) * by_x + (y - at->y[0]) * by_y;
        for (size_t x = begin; x < end; x++, z += by_x) {
            /* slopes of slivers run wild */
            const float here = (float)(z > near ? near : z < far ? far : z);
            if (here > depth[x]) {
                depth[x] = here;
                seen[x] = index;
            }
        }
    }
}

/* ---- colour --------------------------------------------------------------------------------------------- */

static void fill_table(renderer *work)
{
    for (int k = 0; k < TABLE; k++) {
        unsigned char rgb[3];
        tw_palette_colour(work->body->solid->scale.palette, (double)k / (TABLE - 1), rgb);
        for (int c = 0; c < 3; c++)
            work->table[k][c] = rgb[c];
    }
}

static void value_colour(const renderer *work, double value, double x, double y, double rgb[3])
{
    const tw_sight *solid = work->body->solid;
    const tw_scale *scale = &solid->scale;
    const double span = scale->high > scale->low ? scale->high - scale->low : 1;
    const double at = (value - scale->low) / span * (TABLE - 1);

    if (solid->hatch) {
        const double unit = work->samples->per_design;
        const uint32_t shade =
            tw_hatch_shade(scale, value, x / unit, y / unit, 1 / unit); /* from the first sample */
        for (int c = 0; c < 3; c++)
            rgb[c] = (double)(shade >> (16 - 8 * c) & 255);
        return;
    }
    memcpy(rgb, work->table[at >= TABLE - 1 ? TABLE - 1 : at > 0 ? (int)at : 0], 3 * sizeof *rgb);
}

/* Colour of a triangle at a place, in points. */
static void shade(const renderer *work, uint32_t index, double x, double y, double rgb[3])
{
    const tw_sight *solid = work->body->solid;
    const tw_triangle *triangle = &work->body->triangles[index];
    const bool coloured =
        solid->value && (triangle->side == TW_SIDE_OUTER ||
                         (triangle->side == TW_SIDE_INNER && work->colours_inside));
    double weight[3], area, total = 0, value = 0, normal[3] = {0}, length, lit = 1;
    drawn at;

    place(work, triangle, &at);
    area = (at.x[1] - at.x[0]) * (at.y[2] - at.y[0]) - (at.x[2] - at.x[0]) * (at.y[1] - at.y[0]);
    for (int k = 0; k < 3; k++) {
        const int a = (k + 1) % 3, b = (k + 2) % 3;
        weight[k] = ((at.x[a] - x) * (at.y[b] - y) - (at.x[b] - x) * (at.y[a] - y)) / area;
        weight[k] = weight[k] > 0 ? weight[k] : 0;
        total += weight[k];
    }
    for (int k = 0; k < 3; k++) {
        const tw_corner *corner = &work->body->corners[triangle->corner[k]];
        value += weight[k] / total * (double)corner->value;
        for (int d = 0; d < 3; d++)
            normal[d] += weight[k] * (double)corner->normal[d];
    }
    length = sqrt(tw_dot(normal, normal));
    if (!solid->thickness && triangle->side == TW_SIDE_INNER)
        length = -length; /* the outer face's, turned to the viewer */
    if (coloured)
        value_colour(work, value, x / POINTS, y / POINTS, rgb);
    else if (solid->hatch)
        rgb[0] = rgb[1] = rgb[2] = 255;
    else
        memcpy(rgb,
               triangle->side == TW_SIDE_WALL || triangle->side == TW_SIDE_OUTER ? WALL : INNER,
               sizeof WALL);
    if (solid->shaded && !solid->hatch && fabs(length) > 0) {
        const double least = coloured ? DIMMEST : STEEL_DIMMEST;
        lit = least + (1 - least) * 0.5 * (1 + tw_dot(normal, LIGHT) / length);
    }
    for (int c = 0; c < 3; c++)
        rgb[c] *= lit;
}

static uint32_t packed(const double sum[3], double count, size_t covered, size_t points)
{
    const double alpha = 255.0 * (double)covered / (double)points;
    uint32_t pixel = (uint32_t)(alpha + 0.5);

    for (int c = 0; c < 3; c++) /* cairo wants colour times cover */
        pixel = pixel << 8 | (uint32_t)(sum[c] / count * alpha / 255 + 0.5);
    return pixel;
}

/* Does one face fill the sample, of which every point is covered? */
static bool uniform(const renderer *work, const band *from, const size_t at[POINTS * POINTS])
{
    const double fold = FOLD / work->samples->per_mm;
    float near = -INFINITY, far = INFINITY;
    const uint32_t side = work->body->triangles[from->seen[at[0]]].side;

    for (int k = 0; k < POINTS * POINTS; k++) {
        if (work->body->triangles[from->seen[at[k]]].side != side)
            return false;
        near = from->depth[at[k]] > near ? from->depth[at[k]] : near;
        far = from->depth[at[k]] < far ? from->depth[at[k]] : far;
    }
    return (double)(near - far) < fold;
}

static void resolve(const renderer *work, const band *from, size_t x, size_t row)
{
    tw_samples *to = work->samples;
    const size_t y = from->first_row / POINTS + row, out = y * to->width + x;
    const size_t middle = POINTS * POINTS / 2;
    size_t at[POINTS * POINTS], covered = 0;
    double sum[3] = {0}, rgb[3];
    uint32_t *pixel = (uint32_t *)(void *)(work->pixels + y * work->stride) + x;

    for (size_t k = 0; k < POINTS * POINTS; k++) {
        at[k] = (POINTS * row + k / POINTS) * from->width + POINTS * x + k % POINTS;
        covered += from->depth[at[k]] > -INFINITY;
    }
    to->depth[out] = from->depth[at[middle]];
    to->side[out] = (unsigned char)(!(from->depth[at[middle]] > -INFINITY)
                                        ? TW_SIDE_NONE
                                        : work->body->triangles[from->seen[at[middle]]].side);
    if (!covered)
        return; /* the image begins clear */
    if (covered == POINTS * POINTS && uniform(work, from, at)) {
        shade(work, from->seen[at[middle]], (double)(POINTS * x) + 0.5 * POINTS,
              (double)(POINTS * y) + 0.5 * POINTS, sum);
        *pixel = packed(sum, 1, 1, 1);
        return;
    }
    for (size_t k = 0; k < POINTS * POINTS; k++) {
        if (!(from->depth[at[k]] > -INFINITY))
            continue;
        shade(work, from->seen[at[k]], (double)(POINTS * x + k % POINTS) + 0.5,
              (double)(POINTS * y + k / POINTS) + 0.5, rgb);
        for (int c = 0; c < 3; c++)
            sum[c] += rgb[c];
    }
    *pixel = packed(sum, (double)covered, covered, POINTS * POINTS);
}

/* ---- bands ---------------------------------------------------------------------------------------------- */

static void draw_band(renderer *work, size_t index, band *to)
{
    const size_t rows = to->rows / POINTS;

    for (size_t k = 0; k < to->width * to->rows; k++)
        to->depth[k] = -INFINITY;
    for (size_t k = work->band_start[index]; k < work->band_start[index + 1]; k++) {
        drawn at;
        place(work, &work->body->triangles[work->band_triangle[k]], &at);
        draw_triangle(to, &at, work->band_triangle[k]);
    }
    for (size_t row = 0; row < rows; row++)
        for (size_t x = 0; x < work->samples->width; x++)
            resolve(work, to, x, row);
}

static void draw_bands(size_t first, size_t last, void *context)
{
    renderer *work = context;
    const size_t height = work->samples->height;
    band to = {.width = POINTS * work->samples->width};

    to.depth = malloc(to.width * POINTS * BAND * sizeof *to.depth);
    to.seen = malloc(to.width * POINTS * BAND * sizeof *to.seen);
    if (!to.depth || !to.seen)
        atomic_store(&work->failed, true);
    for (size_t b = first; to.depth && to.seen && b < last; b++) {
        to.first_row = POINTS * BAND * b;
        to.rows = POINTS * (height - BAND * b < BAND ? height - BAND * b : BAND);
        draw_band(work, b, &to);
    }
    free(to.seen);
    free(to.depth);
}

tw_status tw_samples_fill(const tw_body *body, tw_samples *samples, tw_arena *arena, tw_error *err)
{
    const size_t count = samples->width * samples->height;
    renderer work = {.body = body, .samples = samples};
    tw_status status;

    samples->image = NULL;
    samples->depth = tw_arena_array(arena, count, sizeof *samples->depth);
    samples->side = tw_arena_array(arena, count, sizeof *samples->side);
    work.bands = (samples->height + BAND - 1) / BAND;
    work.colours_inside = tw_sight_colours_inside(body->solid);
    if (!samples->depth || !samples->side)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view of %zu by %zu samples",
                       samples->width, samples->height);
    status = sort_into_bands(&work, arena, err);
    if (status != TW_OK)
        return status;
    samples->image =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, (int)samples->width, (int)samples->height);
    fill_table(&work);
    atomic_init(&work.failed, cairo_surface_status(samples->image) != CAIRO_STATUS_SUCCESS);
    if (!atomic_load(&work.failed)) {
        cairo_surface_flush(samples->image);
        work.pixels = cairo_image_surface_get_data(samples->image);
        work.stride = (size_t)cairo_image_surface_get_stride(samples->image);
        tw_for_rows(work.bands, BANDS_AT_ONCE, body->solid->threads, draw_bands, &work);
        cairo_surface_mark_dirty(samples->image);
    }
    if (atomic_load(&work.failed)) {
        cairo_surface_destroy(samples->image);
        samples->image = NULL;
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view of %zu by %zu samples",
                       samples->width, samples->height);
    }
    return TW_OK;
}
