/*
 * face_png.c: a face as heights over x and y, in levels of grey. It is the whole face that the form has, to
 * its own rim and with holes closed, not the metal alone: a profile that takes the picture as its form
 * keeps its own outline. (A flat form has no rim of its own; there it is the outline.)
 *
 * Every cell of a grid over the face is laid into the picture as two triangles; a pixel whose middle lies
 * in one begins there and is brought onto the exact face by Newton's method in tape coordinates. The
 * outline then says whether it is face. Rows of pixels fit between the face's lowest and highest y, so that
 * a straight lower or upper side comes back where it was.
 */
#include "picture_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELLS_LEAST = 64, PIXELS_PER_CELL = 2, TURNS = 12 };
static const double NEAR = 1e-6;     /* [mm] in x and y */
static const double OVERHANG = 0.05; /* [mm] between two heights of one place */
static const double ROUNDING = 1e-6; /* of a normal's z */

typedef struct drawing {
    const tw_plate *plate;
    tw_form *form; /* with the form's own rim, no holes */
    tw_grid *grid;
    double pixel, left, top;
    size_t width, height;
    float *z; /* NaN where there is no face */
} drawing;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture of the face");
}

/* ---- one pixel ------------------------------------------------------------------------------------- */

/* Bring a tape point under (x, y). False where the steps do not close in: on a rim that stands upright. */
static bool settle(const drawing *d, double x, double y, double tape[2], tw_face_point *at)
{
    for (int turn = 0; turn < TURNS; turn++) {
        double off[2], det, most;
        tw_form_at(d->form, tape[0], tape[1], at);
        off[0] = x - at->position[0];
        off[1] = y - at->position[1];
        if (hypot(off[0], off[1]) < NEAR)
            return true;
        det = at->across_step[0] * at->up_step[1] - at->up_step[0] * at->across_step[1];
        if (!(fabs(det) > 1e-6))
            return false;
        {
            double step[2] = {(at->up_step[1] * off[0] - at->up_step[0] * off[1]) / det,
                              (at->across_step[0] * off[1] - at->across_step[1] * off[0]) / det};
            most = hypot(step[0], step[1]) / (4 * d->grid->across_step);
            for (int k = 0; k < 2; k++)
                tape[k] += step[k] / fmax(most, 1);
        }
    }
    return false;
}

static tw_status overhang(const drawing *d, double x, double y, tw_error *err)
{
    const tw_status status = tw_fail(
        err, TW_ERR_SHAPE,
        "the face overhangs at x %.0f mm, y %.0f mm: a picture of heights has one there", x, y);

    (void)d;
    tw_error_advise(err, NULL, "export a mesh (.ply, .stl, .obj), which holds any face");
    return status;
}

/* Pixel (i, row) from weights of a triangle's corners. */
static tw_status paint(drawing *d, size_t i, size_t row, const size_t node[3],
                       const double weight[3], tw_error *err)
{
    const tw_grid *grid = d->grid;
    const double x = d->left + ((double)i + 0.5) * d->pixel;
    const double y = d->top - ((double)row + 0.5) * d->pixel;
    float *z = &d->z[row * d->width + i];
    double tape[2] = {0, 0}, guess = 0, height;
    tw_face_point at;
    bool settled;

    for (int k = 0; k < 3; k++) {
        tape[0] += weight[k] * tw_grid_across(grid, node[k] % grid->nu);
        tape[1] += weight[k] * tw_grid_up(grid, node[k] / grid->nu);
        guess += weight[k] * grid->z[node[k]];
    }
    {
        double exact[2] = {tape[0], tape[1]};
        settled = settle(d, x, y, exact, &at);
        if (settled)
            memcpy(tape, exact, sizeof tape);
        height = settled ? at.position[2] : guess;
    }
    if (tw_outline_level(tw_form_outline(d->form), tape[0], tape[1]) > 0)
        return TW_OK;
    if (settled && at.normal[2] < -ROUNDING)
        return overhang(d, x, y, err);
    if (settled && !isnan(*z) && fabs(height - *z) > OVERHANG)
        return overhang(d, x, y, err);
    if (isnan(*z) || settled)
        *z = (float)height;
    return TW_OK;
}

/* ---- triangles ------------------------------------------------------------------------------------- */

static size_t hold(double value, size_t most)
{
    return value <= 0 ? 0 : value >= (double)most ? most : (size_t)value;
}

static tw_status paint_triangle(drawing *d, const size_t node[3], tw_error *err)
{
    const double *x = d->grid->x, *y = d->grid->y;
    const double ax = x[node[0]], ay = y[node[0]];
    const double bx = x[node[1]] - ax, by = y[node[1]] - ay;
    const double cx = x[node[2]] - ax, cy = y[node[2]] - ay;
    const double twice = bx * cy - by * cx, slack = 1e-9;
    const double low_x = fmin(fmin(0, bx), cx) + ax, high_x = fmax(fmax(0, bx), cx) + ax;
    const double low_y = fmin(fmin(0, by), cy) + ay, high_y = fmax(fmax(0, by), cy) + ay;
    const size_t i0 = hold(floor((low_x - d->left) / d->pixel - 0.5), d->width);
    const size_t i1 = hold(ceil((high_x - d->left) / d->pixel + 0.5), d->width);
    const size_t r0 = hold(floor((d->top - high_y) / d->pixel - 0.5), d->height);
    const size_t r1 = hold(ceil((d->top - low_y) / d->pixel + 0.5), d->height);

    if (!(fabs(twice) > 0))
        return TW_OK;
    for (size_t row = r0; row < r1; row++)
        for (size_t i = i0; i < i1; i++) {
            const double px = d->left + ((double)i + 0.5) * d->pixel - ax;
            const double py = d->top - ((double)row + 0.5) * d->pixel - ay;
            const double b = (px * cy - py * cx) / twice, c = (bx * py - by * px) / twice;
            const double weight[3] = {1 - b - c, b, c};
            tw_status status;
            if (b < -slack || c < -slack || b + c > 1 + slack)
                continue;
            status = paint(d, i, row, node, weight, err);
            if (status != TW_OK)
                return status;
        }
    return TW_OK;
}

static tw_status paint_cells(drawing *d, tw_error *err)
{
    const tw_grid *grid = d->grid;
    const size_t columns = grid->nu - 1;
    tw_status status = TW_OK;

    for (size_t cell = 0; cell < tw_grid_cells(grid) && status == TW_OK; cell++) {
        const size_t n = cell / columns * grid->nu + cell % columns;
        const size_t lower[3] = {n, n + 1, n + grid->nu};
        const size_t upper[3] = {n + 1, n + grid->nu + 1, n + grid->nu};
        if (!(grid->area[cell] > 0))
            continue;
        if (grid->normal_z[cell] < -ROUNDING)
            return overhang(d, grid->cell_x[cell], grid->cell_y[cell], err);
        status = paint_triangle(d, lower, err);
        if (status == TW_OK)
            status = paint_triangle(d, upper, err);
    }
    return status;
}

/* ---- the picture ------------------------------------------------------------------------------------- */

/* The face's extents in x and y, its outline's own points included: grid nodes step over them. */
static void extents(const drawing *d, double x[2], double y[2])
{
    const tw_outline *outline = tw_form_outline(d->form);

    x[0] = y[0] = INFINITY;
    x[1] = y[1] = -INFINITY;
    for (size_t e = 0; e < outline->edge_count; e++)
        for (size_t k = 0; k < outline->edges[e].count; k++) {
            const double *tape = outline->edges[e].points[k];
            tw_face_point at;
            tw_form_at(d->form, tape[0], tape[1], &at);
            x[0] = fmin(x[0], at.position[0]);
            x[1] = fmax(x[1], at.position[0]);
            y[0] = fmin(y[0], at.position[1]);
            y[1] = fmax(y[1], at.position[1]);
        }
}

static tw_status lay_out(drawing *d, tw_error *err)
{
    const double cell = fmin(d->plate->grid->across_step, d->plate->grid->up_step);
    double x[2], y[2], rows, half;

    extents(d, x, y);
    rows = ceil((y[1] - y[0]) / (cell / PIXELS_PER_CELL));
    d->pixel = (y[1] - y[0]) / rows;
    /* the centre line x = 0 on a border between pixels, and room for both sides */
    half = ceil(fmax(-x[0], x[1]) / d->pixel - 1e-9);
    if (!(2 * half * rows <= TW_GREY_LEVELS_MAX && rows <= TW_GREY_SIDE_MAX &&
          2 * half <= TW_GREY_SIDE_MAX))
        return tw_fail(err, TW_ERR_LIMIT, "a picture of %.0f by %.0f pixels is too large", 2 * half,
                       rows);
    d->left = -half * d->pixel;
    d->top = y[1];
    d->width = (size_t)(2 * half);
    d->height = (size_t)rows;
    d->z = malloc(d->width * d->height * sizeof *d->z);
    if (!d->z)
        return no_memory(err);
    for (size_t k = 0; k < d->width * d->height; k++)
        d->z[k] = NAN;
    return TW_OK;
}

static void say_face(tw_picture *picture, const drawing *d, double offset, double step)
{
    tw_face_point origin;

    tw_form_at(d->form, 0, 0, &origin);
    tw_picture_title(picture, d->plate, "heights of the face");
    tw_picture_say(
        picture, "Description",
        "Height over the bench [mm] = offset + level x mm per level; level 0 is no face. x "
        "to the right, y up, as one faces the outside: rows run from the top down.");
    tw_picture_say(picture, TW_PICTURE_QUANTITY, "height");
    tw_picture_say(picture, TW_PICTURE_UNIT, "mm");
    tw_picture_say(picture, TW_PICTURE_LEVEL, "%.12g", step);
    tw_picture_say(picture, TW_PICTURE_OFFSET, "%.12g", offset);
    tw_picture_say(picture, TW_PICTURE_PIXEL, "%.17g", d->pixel);
    tw_picture_say(picture, TW_PICTURE_LEFT, "%.17g", d->left);
    tw_picture_say(picture, TW_PICTURE_TOP, "%.17g", d->top);
    tw_picture_say(picture, TW_PICTURE_ORIGIN, "%.9g %.9g %.9g", origin.position[0],
                   origin.position[1], origin.position[2]);
}

static tw_status write_levels(const drawing *d, tw_output *out, tw_error *err)
{
    const size_t count = d->width * d->height;
    tw_picture *picture = calloc(1, sizeof *picture);
    uint16_t *levels = calloc(count, sizeof *levels);
    double low = INFINITY, high = -INFINITY, step, offset;
    tw_status status;

    if (!picture || !levels) {
        free(picture);
        free(levels);
        return no_memory(err);
    }
    for (size_t k = 0; k < count; k++)
        if (!isnan(d->z[k])) {
            low = fmin(low, d->z[k]);
            high = fmax(high, d->z[k]);
        }
    if (low > high)
        low = high = 0; /* a plate narrower than a pixel */
    step =
        fmax(tw_picture_step(high - low + 0.2), 5e-4); /* finer is finer than any face is known */
    offset = (floor(low / step) - 1) * step;
    for (size_t k = 0; k < count; k++)
        if (!isnan(d->z[k]))
            levels[k] = (uint16_t)fmin(fmax(round((d->z[k] - offset) / step), 1), 65535);
    picture->grey.width = d->width;
    picture->grey.height = d->height;
    picture->grey.levels = levels;
    say_face(picture, d, offset, step);
    status = tw_png_grey_write(out, &picture->grey, err);
    free(levels);
    free(picture);
    return status;
}

tw_status tw_face_write_png(const tw_plate *plate, tw_output *out, tw_error *err)
{
    const tw_grid *own = plate->grid;
    const size_t cells = own->nu > own->nv ? own->nu - 1 : own->nv - 1;
    tw_profile whole = *plate->profile;
    drawing d = {.plate = plate};
    tw_status status;

    assert(plate && out);
    whole.hole_count = 0;
    if (whole.form != TW_FORM_FLAT) {
        whole.outline = (tw_outline_spec){.kind = TW_OUTLINE_RIM};
        whole.check_count = 0; /* points of edges that the rim does not have */
    }
    status = tw_form_build(&whole, &d.form, NULL, err);
    if (status == TW_OK)
        status = tw_grid_build(d.form, cells < CELLS_LEAST ? CELLS_LEAST : cells, 0, &d.grid, err);
    if (status == TW_OK)
        status = lay_out(&d, err);
    if (status == TW_OK)
        status = paint_cells(&d, err);
    if (status == TW_OK)
        status = write_levels(&d, out, err);
    if (status != TW_OK && plate->profile->plate)
        tw_error_within(err, "in plate %s", plate->profile->plate);
    free(d.z);
    tw_grid_free(d.grid);
    tw_form_free(d.form);
    return status;
}
