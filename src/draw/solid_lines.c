/*
 * solid_lines.c: lines of a view, as far as they are seen. A line on a face is seen where the face looks
 * at the viewer and the sample there is of that face's depth; an edge (outline, crease, or silhouette,
 * where the face looks just past the viewer) where one of the samples round it is not before it, as
 * beside an edge that is seen there always is what lies behind.
 */
#include "solid_internal.h"

#include <math.h>
#include <string.h>

static const double STEP = 1.5; /* samples between points of a line that are looked at */

/* ---- what is seen ---------------------------------------------------------------------------------------- */

/* Depth and side of what is seen at a sample. */
static double depth_at(const tw_samples *s, double x, double y, tw_sight_side *side)
{
    size_t n;

    *side = TW_SIDE_NONE;
    if (!(x >= 0 && y >= 0 && x < (double)s->width && y < (double)s->height))
        return -INFINITY;
    n = (size_t)y * s->width + (size_t)x;
    *side = (tw_sight_side)s->side[n];
    return (double)s->depth[n];
}

static void to_samples(const tw_samples *s, const double at[3], double out[2])
{
    out[0] = (at[0] - s->left) * s->per_mm + s->offset[0];
    out[1] = (s->top - at[1]) * s->per_mm + s->offset[1];
}

static bool face_seen(const tw_scene *v, const tw_corner *corner)
{
    const double length = sqrt((double)(corner->normal[0] * corner->normal[0] +
                                        corner->normal[1] * corner->normal[1] +
                                        corner->normal[2] * corner->normal[2]));
    const double facing = (double)corner->normal[2] / fmax(length, 1e-6);
    double place[2], steep;
    tw_sight_side seen;

    if (facing <= 0)
        return false;
    to_samples(v->samples, corner->at, place);
    steep = sqrt(fmax(1 - facing * facing, 0)) / fmax(facing, 0.05);
    return depth_at(v->samples, place[0], place[1], &seen) <=
           corner->at[2] + 0.15 + 1.5 * steep / v->samples->per_mm;
}

/* An edge of the inner face only shows beside that face or the cut edge: the outer face before it may be
 * nearer by less than a sample's width. */
static bool edge_seen(const tw_scene *v, const double at[3], tw_sight_side side)
{
    const double spare = 0.15 + 1.5 / v->samples->per_mm;
    bool open = false, own = side == TW_SIDE_OUTER;
    double place[2];

    to_samples(v->samples, at, place);
    for (int k = 0; k < 9; k++) {
        tw_sight_side seen;
        const double depth =
            depth_at(v->samples, place[0] + k % 3 - 1, place[1] + k / 3 - 1, &seen);
        open = open || depth <= at[2] + spare;
        own = own || seen == TW_SIDE_INNER || seen == TW_SIDE_WALL;
    }
    return open && own;
}

/* ---- trails ------------------------------------------------------------------------------------------------ */

static tw_status trail_begin(const tw_scene *v, size_t room, tw_trail *out, tw_error *err)
{
    *out = (tw_trail){0};
    out->at = tw_arena_array(v->arena, room, sizeof *out->at);
    out->seen = tw_arena_array(v->arena, room, sizeof *out->seen);
    return out->at && out->seen ? TW_OK
                                : tw_fail(err, TW_ERR_MEMORY, "no memory for the lines of a view");
}

static void trail_add(const tw_scene *v, tw_trail *t, const double at[3], bool seen)
{
    t->at[t->count][0] = v->x + (at[0] - v->samples->left) * v->per_mm;
    t->at[t->count][1] = v->y + (v->samples->top - at[1]) * v->per_mm;
    t->seen[t->count++] = seen;
}

double tw_trail_length(const tw_trail *t, size_t first, size_t last)
{
    double length = 0;

    for (size_t k = first; k + 1 < last; k++)
        length += hypot(t->at[k + 1][0] - t->at[k][0], t->at[k + 1][1] - t->at[k][1]);
    return length;
}

/* Runs of seen or unseen points shorter than `least` become what is round them; those at an end stay. */
static void trail_mend(tw_trail *t, bool seen, double least)
{
    for (size_t first = 0; first < t->count;) {
        size_t last = first;
        while (last < t->count && t->seen[last] == t->seen[first])
            last++;
        if (t->seen[first] == seen && first > 0 && last < t->count &&
            tw_trail_length(t, first - 1, last + 1) < least)
            for (size_t k = first; k < last; k++)
                t->seen[k] = !seen;
        first = last;
    }
}

void tw_trail_path(const tw_scene *v, const tw_trail *t)
{
    for (size_t k = 0; k < t->count; k++)
        if (t->seen[k] && (k == 0 || !t->seen[k - 1]))
            cairo_move_to(v->canvas->cairo, t->at[k][0], t->at[k][1]);
        else if (t->seen[k])
            cairo_line_to(v->canvas->cairo, t->at[k][0], t->at[k][1]);
}

/* A line of points in grid index coordinates, on a face; `shift` is added to both. */
tw_status tw_trail_of(const tw_scene *v, const tw_contour *line, double shift, tw_sight_side side,
                      bool edge, tw_trail *out, tw_error *err)
{
    const tw_grid *grid = v->body->grid;
    const size_t points = line->count + (line->closed ? 1 : 0);
    /* a silhouette goes on to the middle of the outline's line, so that no gap shows between them */
    const double beyond = edge ? 1 / v->per_mm : 0;
    size_t room = 1;
    tw_corner from = {0}, to;
    tw_status status;

    for (int ink = 0; ink < 2; ink++) {
        if (ink) {
            status = trail_begin(v, room, out, err);
            if (status != TW_OK)
                return status;
        }
        for (size_t k = 0; k < points; k++, from = to) {
            const double *b = line->points[k % line->count];
            const double *a = k ? line->points[k - 1] : b;
            size_t parts = 1;
            tw_body_at(v->body, side, b[0] + shift, b[1] + shift, &to);
            if (k)
                parts += (size_t)(hypot(to.at[0] - from.at[0], to.at[1] - from.at[1]) *
                                  v->samples->per_mm / STEP);
            room += parts;
            for (size_t n = 1; ink && n <= parts; n++) {
                const double f = (double)n / (double)parts;
                const double i = a[0] + f * (b[0] - a[0]) + shift;
                const double j = a[1] + f * (b[1] - a[1]) + shift;
                tw_corner at;
                bool metal;
                tw_body_at(v->body, side, i, j, &at);
                metal = tw_grid_sample(grid, grid->level, grid->across_min + i * grid->across_step,
                                       grid->up_min + j * grid->up_step) < beyond;
                trail_add(v, out, at.at,
                          metal && (!edge ? face_seen(v, &at) : edge_seen(v, at.at, side)));
            }
        }
    }
    trail_mend(out, false, 3);
    trail_mend(out, true, 4);
    return TW_OK;
}

/* ---- silhouettes and creases ------------------------------------------------------------------------------ */

static bool has_inner(const tw_scene *v)
{
    return v->body->solid->thickness != NULL;
}

static tw_status draw_silhouette(const tw_scene *v, tw_sight_side side, tw_error *err)
{
    const tw_grid *grid = v->body->grid;
    double *facing = tw_arena_array(v->arena, grid->nu * grid->nv, sizeof *facing);
    const double level = 1e-5; /* a plate seen just edge on has none */
    const tw_field field = {grid->nu, grid->nv, facing, grid->area};
    tw_contour *lines;
    size_t count;
    tw_status status;

    if (!facing)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the silhouette of a view");
    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t left = tw_body_node(v->body, side, i, j, i ? i - 1 : 0);
            const size_t right = tw_body_node(v->body, side, i, j, i);
            facing[j * grid->nu + i] = 0.5 * ((double)v->body->corners[left].normal[2] +
                                              (double)v->body->corners[right].normal[2]);
        }
    status = tw_contours_trace(&field, &level, 1, v->arena, &lines, &count, err);
    for (size_t k = 0; status == TW_OK && k < count; k++) {
        tw_trail t;
        status = tw_trail_of(v, &lines[k], 0, side, true, &t, err);
        if (status == TW_OK)
            tw_trail_path(v, &t);
    }
    if (status == TW_OK)
        tw_pen_stroke(v->canvas, 2.4, 0.08, 1);
    return status;
}

/* The ridge or valley itself, where a face beside it looks at the viewer. */
static tw_status draw_crease(const tw_scene *v, tw_sight_side side, tw_error *err)
{
    const tw_body *body = v->body;
    const tw_grid *grid = body->grid;
    const double sign = side == TW_SIDE_INNER && !has_inner(v) ? -1 : 1;

    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        const size_t j = crease->node / grid->nu;
        const double middle = (crease->up - grid->up_min) / grid->up_step;
        const double half = fmin(middle - (double)j, (double)j + 1 - middle);
        double ends[2][2] = {{(double)body->centre, middle - half},
                             {(double)body->centre, middle + half}};
        const tw_contour line = {.count = 2, .points = ends};
        const float left =
            body->corners[tw_body_node(body, side, body->centre, j, body->centre - 1)].normal[2];
        const float right =
            body->corners[tw_body_node(body, side, body->centre, j, body->centre)].normal[2];
        tw_trail t;
        tw_status status;
        if (fabs(crease->turn) < 0.035 || (sign * (double)left <= 0 && sign * (double)right <= 0))
            continue; /* two degrees: nobody sees that in the metal either */
        status = tw_trail_of(v, &line, 0, side, true, &t, err);
        if (status != TW_OK)
            return status;
        tw_trail_path(v, &t);
    }
    tw_pen_stroke(v->canvas, 1.8, 0.1, 0.75);
    return TW_OK;
}

/* ---- outline ------------------------------------------------------------------------------------------------ */

/* Does a face or the wall beside a piece look at the viewer? */
static bool piece_faces(const tw_scene *v, const tw_cut_piece *piece, tw_sight_side side,
                        double along)
{
    tw_corner from, to, face;
    double step[3], normal[3], wall[3];

    if (!has_inner(v))
        return true;
    tw_body_in_cell(v->body, side, piece->column, piece->row,
                    piece->from[0] + along * (piece->to[0] - piece->from[0]),
                    piece->from[1] + along * (piece->to[1] - piece->from[1]), &face);
    if (face.normal[2] > 0)
        return true;
    tw_body_in_cell(v->body, TW_SIDE_OUTER, piece->column, piece->row, piece->from[0],
                    piece->from[1], &from);
    tw_body_in_cell(v->body, TW_SIDE_OUTER, piece->column, piece->row, piece->to[0], piece->to[1],
                    &to);
    for (int d = 0; d < 3; d++) {
        step[d] = to.at[d] - from.at[d];
        normal[d] = (double)from.normal[d] + (double)to.normal[d];
    }
    tw_cross(step, normal, wall);
    return wall[2] > 0;
}

static size_t parts_of(const tw_scene *v, const tw_cut_piece *piece, tw_sight_side side)
{
    tw_corner from, to;

    tw_body_in_cell(v->body, side, piece->column, piece->row, piece->from[0], piece->from[1],
                    &from);
    tw_body_in_cell(v->body, side, piece->column, piece->row, piece->to[0], piece->to[1], &to);
    return 1 + (size_t)(hypot(to.at[0] - from.at[0], to.at[1] - from.at[1]) * v->samples->per_mm /
                        STEP);
}

static void add_piece(const tw_scene *v, tw_trail *t, const tw_cut_piece *piece, tw_sight_side side,
                      bool begins)
{
    const size_t parts = parts_of(v, piece, side);
    const bool faces = piece_faces(v, piece, side, 0.5);

    for (size_t n = begins ? 0 : 1; n <= parts; n++) {
        const double f = (double)n / (double)parts;
        tw_corner at;
        tw_body_in_cell(v->body, side, piece->column, piece->row,
                        piece->from[0] + f * (piece->to[0] - piece->from[0]),
                        piece->from[1] + f * (piece->to[1] - piece->from[1]), &at);
        trail_add(v, t, at.at, faces && edge_seen(v, at.at, side));
    }
}

static bool follows(const tw_cut_piece *piece, const tw_cut_piece *before)
{
    return piece->from[0] == before->to[0] && piece->from[1] == before->to[1];
}

static tw_status draw_rim(const tw_scene *v, tw_sight_side side, tw_error *err)
{
    const tw_cut_pieces *pieces = &v->body->pieces;

    for (size_t first = 0, last; first < pieces->count; first = last) {
        size_t room = 1;
        tw_trail t;
        tw_status status;
        for (last = first; last < pieces->count &&
                           (last == first || follows(&pieces->all[last], &pieces->all[last - 1]));
             last++)
            room += parts_of(v, &pieces->all[last], side);
        status = trail_begin(v, room, &t, err);
        if (status != TW_OK)
            return status;
        for (size_t k = first; k < last; k++)
            add_piece(v, &t, &pieces->all[k], side, k == first);
        trail_mend(&t, false, 3);
        trail_mend(&t, true, 4);
        tw_trail_path(v, &t);
    }
    tw_pen_stroke(v->canvas, side == TW_SIDE_OUTER ? 2.4 : 1.6, 0.08, 1);
    return TW_OK;
}

/* Where the outline turns sharply the cut edge has a corner through the thickness. */
static void draw_corners(const tw_scene *v)
{
    const tw_cut_pieces *pieces = &v->body->pieces;

    for (size_t k = 0; k < pieces->count; k++) {
        const tw_cut_piece *piece = &pieces->all[k];
        tw_corner end[2];
        tw_trail t = {.at = (double[2][2]){{0}}, .seen = (bool[2]){false, false}};
        double middle[3];
        bool seen;
        if (!piece->corner)
            continue;
        for (int e = 0; e < 2; e++)
            tw_body_in_cell(v->body, e ? TW_SIDE_INNER : TW_SIDE_OUTER, piece->column, piece->row,
                            piece->from[0], piece->from[1], &end[e]);
        for (int d = 0; d < 3; d++)
            middle[d] = 0.5 * (end[0].at[d] + end[1].at[d]);
        seen = edge_seen(v, middle, TW_SIDE_INNER) && edge_seen(v, end[0].at, TW_SIDE_INNER) &&
               edge_seen(v, end[1].at, TW_SIDE_INNER);
        for (int e = 0; e < 2; e++)
            trail_add(v, &t, end[e].at, seen);
        tw_trail_path(v, &t);
    }
    tw_pen_stroke(v->canvas, 1.6, 0.08, 1);
}

/* ---- the whole --------------------------------------------------------------------------------------------- */

tw_status tw_sight_lines(tw_canvas *canvas, const tw_body *body, const tw_samples *samples,
                         double x, double y, double per_mm, tw_arena *arena, tw_boxes *taken,
                         tw_error *err)
{
    const tw_scene v = {canvas, body, samples, x, y, per_mm, arena, taken};
    const int sides = body->solid->thickness ? 2 : 1;
    const tw_sight_side face = tw_sight_colours_inside(body->solid) ? TW_SIDE_INNER : TW_SIDE_OUTER;
    tw_status status = TW_OK;

    cairo_save(canvas->cairo);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(canvas->cairo, CAIRO_LINE_CAP_ROUND); /* silhouette and outline meet */
    for (int k = 0; status == TW_OK && k < sides; k++)
        status = draw_crease(&v, k ? TW_SIDE_INNER : TW_SIDE_OUTER, err);
    for (int k = sides - 1; status == TW_OK && k >= 0; k--)
        status = draw_rim(&v, k ? TW_SIDE_INNER : TW_SIDE_OUTER, err);
    for (int k = 0; status == TW_OK && k < sides; k++)
        status = draw_silhouette(&v, k ? TW_SIDE_INNER : TW_SIDE_OUTER, err);
    if (status == TW_OK && sides == 2)
        draw_corners(&v);
    cairo_restore(canvas->cairo);
    if (status == TW_OK && body->solid->contours)
        status = tw_sight_zones(&v, face, err);
    if (status == TW_OK && body->solid->contours && body->solid->value)
        status = tw_sight_levels(&v, face, err);
    return status;
}
