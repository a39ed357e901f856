/*
 * source_shape.c: distance from a closed shape, and the shape's own level.
 *
 * Sizes are lengths on the plate. A disc is all within its radius of its centre, so its level is
 * the distance from the centre less the radius, and smooth. An ellipse is laid out about its
 * centre by distance and bearing, the bearing measured by the metric at the centre; its border
 * becomes a polygon. A polygon is straight between its points in tape coordinates. When a centre
 * is not in metal nothing can be marched from it, and the shape is laid out by the metric there.
 */
#include "march_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>

enum { BORDER_POINTS = 256, BAND_CELLS = 8 };

static tw_status locate(const tw_form *form, const tw_point *point, double tape[2], tw_error *err)
{
    if (point->kind != TW_POINT_TAPE)
        return tw_form_locate(form, point, tape, NULL, err);
    tape[0] = point->value[0];
    tape[1] = point->value[1];
    return TW_OK;
}

static tw_status not_in_metal(const double at[2], tw_error *err)
{
    char value[64];

    tw_fail(err, TW_ERR_SHAPE, "no part of this shape lies in metal");
    snprintf(value, sizeof value, "[%d, %d]", (int)lround(fmin(fmax(at[0], -1e6), 1e6)),
             (int)lround(fmin(fmax(at[1], -1e6), 1e6)));
    tw_error_advise(err, value,
                    "move it inside the outline and off the holes; positions are in mm "
                    "by tape, across then up");
    return TW_ERR_SHAPE;
}

static bool in_metal(const tw_grid *grid, const double at[2])
{
    return at[0] >= grid->across_min && at[1] >= grid->up_min &&
           at[0] <= tw_grid_across(grid, grid->nu - 1) && at[1] <= tw_grid_up(grid, grid->nv - 1) &&
           tw_grid_sample(grid, grid->level, at[0], at[1]) < 0;
}

/* From distances below zero inside to the two answers. */
static void split_level(const tw_grid *grid, double *distance, double *level)
{
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        if (level)
            level[n] = distance[n];
        distance[n] = distance[n] > 0 ? distance[n] : 0; /* no fmax(): a call for each node */
    }
}

/** Where a border crosses a row of nodes; all but odd shapes have few places. */
typedef struct row_crossings {
    double across[32];
    size_t count; /**< may be more than there is room for */
} row_crossings;

static void cross_row(const tw_edge_line *border, double up, row_crossings *out)
{
    const size_t room = sizeof out->across / sizeof *out->across;

    out->count = 0;
    for (size_t k = 0; k + 1 < border->count; k++) {
        const double *a = border->points[k], *b = border->points[k + 1];
        if ((a[1] > up) == (b[1] > up))
            continue;
        if (out->count < room)
            out->across[out->count] = a[0] + (up - a[1]) * (b[0] - a[0]) / (b[1] - a[1]);
        out->count++;
    }
}

/* Even-odd rule. Source: M. Shimrat, "Algorithm 112", Comm. ACM 5 (1962). */
static bool in_polygon(const tw_edge_line *border, double across, double up)
{
    bool in = false;

    for (size_t k = 0; k + 1 < border->count; k++) {
        const double *a = border->points[k], *b = border->points[k + 1];
        if ((a[1] > up) != (b[1] > up) &&
            across < a[0] + (up - a[1]) * (b[0] - a[0]) / (b[1] - a[1]))
            in = !in;
    }
    return in;
}

/* The same for a node of a row whose crossings are known. */
static bool in_row(const tw_edge_line *border, const row_crossings *row, double across, double up)
{
    bool in = false;

    if (row->count > sizeof row->across / sizeof *row->across)
        return in_polygon(border, across, up);
    for (size_t k = 0; k < row->count; k++)
        in ^= across < row->across[k];
    return in;
}

/* Least box about a line: across from, to, up from, to. */
static void box_of(const tw_edge_line *line, double box[4])
{
    box[0] = box[2] = INFINITY;
    box[1] = box[3] = -INFINITY;
    for (size_t k = 0; k < line->count; k++) {
        box[0] = fmin(box[0], line->points[k][0]);
        box[1] = fmax(box[1], line->points[k][0]);
        box[2] = fmin(box[2], line->points[k][1]);
        box[3] = fmax(box[3], line->points[k][1]);
    }
}

/* True when any of a border's points, closer together than half a cell, lies in metal. */
static bool border_in_metal(const tw_grid *grid, const tw_edge_line *border)
{
    for (size_t k = 0; k + 1 < border->count; k++) {
        const double *a = border->points[k], *b = border->points[k + 1];
        const double cells =
            fmax(fabs(b[0] - a[0]) / grid->across_step, fabs(b[1] - a[1]) / grid->up_step);
        const double pieces = fmin(ceil(2 * cells) + 1, 4 * TW_GRID_MAX);
        for (double f = 0; f <= pieces; f++) {
            const double t = f / pieces;
            if (in_metal(grid, (double[2]){a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])}))
                return true;
        }
    }
    return false;
}

/* Distances from a border that closes on itself, below zero inside it. What lies inside but has no
 * distance, too deep or behind a hole that cuts the border, is a source just above 0 while the march
 * runs: at a depth that is not known it would hand negative distances out past the hole. `at` tells
 * the user which shape is meant. */
static tw_status from_border(tw_march *march, const tw_edge_line *border, const double at[2],
                             double *distance, tw_error *err)
{
    const tw_grid *grid = march->grid;
    const double deep = 4 * march->longest_step, unknown = 1e-9 * march->least_step;
    bool any = border_in_metal(grid, border);
    double box[4];

    box_of(border, box);
    tw_unreached(grid, distance);
    tw_seed_lines(march, border, 1, BAND_CELLS, distance);
    for (size_t j = 0; j < grid->nv; j++) {
        const double up = tw_grid_up(grid, j);
        row_crossings row = {.count = 0};
        if (up >= box[2] && up <= box[3])
            cross_row(border, up, &row);
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            if (!march->inside[n])
                continue;
            if (row.count > 0 && in_row(border, &row, tw_grid_across(grid, i), up)) {
                distance[n] = distance[n] < INFINITY ? -fabs(distance[n]) : unknown;
                any = any || grid->level[n] < 0;
            } else { /* below zero only beyond an edge that is the source */
                distance[n] = fabs(distance[n]);
            }
        }
    }
    if (!any)
        return not_in_metal(at, err);
    tw_march_run(march, distance);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (distance[n] == unknown)
            distance[n] = -deep;
    return TW_OK;
}

/* Lengths on the plate per mm of tape across and up at a point. */
static void scale_at(const tw_grid *grid, const double at[2], double scale[2])
{
    scale[0] = sqrt(fmax(tw_grid_sample(grid, grid->metric_aa, at[0], at[1]), 1e-6));
    scale[1] = sqrt(fmax(tw_grid_sample(grid, grid->metric_uu, at[0], at[1]), 1e-6));
}

/* How far from `at` toward `way` (1 mm on the plate there) the distance reaches `wanted`; where it
 * never does, as far as distances go. */
static double reach_along(const tw_grid *grid, const double *distance, const double at[2],
                          const double way[2], double wanted)
{
    const double cells = fmax(fabs(way[0]) / grid->across_step, fabs(way[1]) / grid->up_step);
    const double step = 0.5 / cells;
    double before = 0;

    for (int k = 1; k <= 4 * TW_GRID_MAX; k++) {
        const double to[2] = {at[0] + k * step * way[0], at[1] + k * step * way[1]};
        const double here = tw_grid_sample(grid, distance, to[0], to[1]);
        if (!isfinite(here) || to[0] < grid->across_min || to[1] < grid->up_min ||
            to[0] > tw_grid_across(grid, grid->nu - 1) || to[1] > tw_grid_up(grid, grid->nv - 1))
            return fmax((k - 1) * step, wanted);
        if (here >= wanted)
            return (k - 1 + fmin(fmax((wanted - before) / fmax(here - before, 1e-12), 0), 1)) *
                   step;
        before = here;
    }
    return wanted;
}

/* Border of an ellipse with half axes `half`: by distances from its centre, or by the metric
 * there when `distance` is NULL. The two tape directions need not be square to each other on the
 * plate; the axes are the square pair nearest to both, so that equal halves make a disc (symmetric
 * orthogonalisation, P.-O. Löwdin, J. Chem. Phys. 18 (1950)). */
static void lay_ellipse(const tw_grid *grid, const double *distance, const double at[2],
                        const double half[2], double (*points)[2])
{
    const double au = tw_grid_sample(grid, grid->metric_au, at[0], at[1]);
    double scale[2], skew, along, askew;

    scale_at(grid, at, scale);
    /* cosine of the angle between the tape directions */
    skew = fmin(fmax(au / (scale[0] * scale[1]), -0.99), 0.99);
    along = 0.5 * (1 / sqrt(1 + skew) + 1 / sqrt(1 - skew));
    askew = 0.5 * (1 / sqrt(1 + skew) - 1 / sqrt(1 - skew));
    for (int k = 0; k <= BORDER_POINTS; k++) {
        const double angle = 2 * TW_PI * (k % BORDER_POINTS) / BORDER_POINTS;
        const double a = half[0] * cos(angle), u = half[1] * sin(angle), length = hypot(a, u);
        const double way[2] = {(along * a + askew * u) / length / scale[0],
                               (askew * a + along * u) / length / scale[1]};
        const double out = distance ? reach_along(grid, distance, at, way, length) : length;
        points[k][0] = at[0] + out * way[0];
        points[k][1] = at[1] + out * way[1];
    }
}

static tw_status from_round(tw_march *march, const tw_form *form, const tw_shape *shape,
                            double *distance, tw_error *err)
{
    const tw_grid *grid = march->grid;
    const double half[2] = {shape->across, shape->up};
    double at[2], points[BORDER_POINTS + 1][2];
    const tw_edge_line border = {"shape", BORDER_POINTS + 1, points};
    tw_status status = locate(form, &shape->at, at, err);
    bool centred;

    if (status != TW_OK)
        return status;
    centred = in_metal(grid, at);
    if (centred) {
        if (shape->kind == TW_SHAPE_ELLIPSE) /* only how far its half-axes reach is asked of it */
            tw_march_within(march, fmax(half[0], half[1]) + 4 * march->longest_step);
        status = tw_distance_from_point(march, form, at, distance, err);
        tw_march_within(march, INFINITY);
        if (status != TW_OK)
            return status;
        if (shape->kind == TW_SHAPE_DISC) {
            for (size_t n = 0; n < grid->nu * grid->nv; n++)
                distance[n] -= shape->across;
            return TW_OK;
        }
    }
    lay_ellipse(grid, centred ? distance : NULL, at, half, points);
    return from_border(march, &border, at, distance, err);
}

static tw_status from_rectangle(tw_march *march, const tw_form *form, const tw_shape *shape,
                                double *distance, tw_error *err)
{
    double at[2], scale[2];
    tw_status status = locate(form, &shape->at, at, err);

    if (status != TW_OK)
        return status;
    scale_at(march->grid, at, scale);
    {
        const double a = shape->across / scale[0], u = shape->up / scale[1];
        double points[5][2] = {{at[0] - a, at[1] - u},
                               {at[0] + a, at[1] - u},
                               {at[0] + a, at[1] + u},
                               {at[0] - a, at[1] + u},
                               {at[0] - a, at[1] - u}};
        const tw_edge_line border = {"shape", 5, points};
        return from_border(march, &border, at, distance, err);
    }
}

/* Polygon and line: both a list of points. */
static tw_status from_points(tw_march *march, const tw_form *form, const tw_shape *shape,
                             double *distance, tw_error *err)
{
    const tw_grid *grid = march->grid;
    const bool closed = shape->kind == TW_SHAPE_POLYGON;
    const size_t count = shape->point_count;
    tw_arena *arena = tw_arena_new();
    tw_edge_line line = {"shape", count + (closed ? 1 : 0), NULL};
    tw_status status = TW_OK;

    assert(count >= 2);
    line.points = arena ? tw_arena_array(arena, line.count, sizeof *line.points) : NULL;
    if (!line.points)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a shape of %zu points", count);
    for (size_t k = 0; k < count && status == TW_OK; k++)
        status = locate(form, &shape->points[k], line.points[k], err);
    if (status != TW_OK)
        goto done;
    if (closed) {
        line.points[count][0] = line.points[0][0];
        line.points[count][1] = line.points[0][1];
        status = from_border(march, &line, line.points[0], distance, err);
        goto done;
    }
    tw_unreached(grid, distance);
    if (tw_seed_lines(march, &line, 1, BAND_CELLS, distance) == 0) {
        status = not_in_metal(line.points[0], err);
        goto done;
    }
    tw_march_run(march, distance);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        distance[n] -= 0.5 * shape->width;
done:
    tw_arena_free(arena);
    return status;
}

tw_status tw_level_from_shape(tw_march *march, const tw_form *form, const tw_shape *shape,
                              double *level, tw_error *err)
{
    assert(march && shape && level);
    switch (shape->kind) {
    case TW_SHAPE_DISC:
    case TW_SHAPE_ELLIPSE:
        return from_round(march, form, shape, level, err);
    case TW_SHAPE_RECTANGLE:
        return from_rectangle(march, form, shape, level, err);
    case TW_SHAPE_POLYGON:
    case TW_SHAPE_LINE:
        return from_points(march, form, shape, level, err);
    }
    return TW_ERR_SHAPE;
}

tw_status tw_distance_from_shape(tw_march *march, const tw_form *form, const tw_shape *shape,
                                 double *distance, double *level, tw_error *err)
{
    const tw_status status = tw_level_from_shape(march, form, shape, distance, err);

    if (status == TW_OK)
        split_level(march->grid, distance, level);
    return status;
}
