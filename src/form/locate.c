/*
 * locate.c: tape coordinates of points given in other ways: along an edge and in from it, in space,
 * from the crown of a bowl.
 */
#include "outline_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void face_at(const tw_form *form, const double at[2], int side, tw_face_point *out)
{
    tw_surface_at(form->surface, at[0], at[1], side, out);
}

/* Tape step that goes along the tangent vector `way`: least squares with the metric. */
static bool tape_step(const tw_face_point *face, const double way[3], double step[2])
{
    const double e = tw_dot(face->across_step, face->across_step);
    const double f = tw_dot(face->across_step, face->up_step);
    const double g = tw_dot(face->up_step, face->up_step);
    const double a = tw_dot(face->across_step, way), u = tw_dot(face->up_step, way);
    const double det = e * g - f * f;

    if (!(det > 1e-14 * e * g))
        return false;
    step[0] = (g * a - f * u) / det;
    step[1] = (e * u - f * a) / det;
    return true;
}

/* ---- along an edge ---------------------------------------------------------------------- */

/* Length on the plate of a straight piece in tape coordinates, from a to share t of the way to b:
 * two-point Gauss on parts of at most 2 mm. */
static double piece_length(const tw_form *form, const double a[2], const double b[2], double t)
{
    const double x = t * (b[0] - a[0]), y = t * (b[1] - a[1]);
    const size_t parts = (size_t)ceil(hypot(x, y) / 2);
    const int side = a[0] + b[0] < 0 ? -1 : 1;
    double length = 0;

    for (size_t n = 0; n < 2 * parts; n++) {
        const double gauss = (n % 2 ? 1 : -1) * 0.28867513459481287; /* 1/(2√3) */
        const double share = ((double)(n / 2) + 0.5 + gauss) / (double)parts;
        const double at[2] = {a[0] + share * x, a[1] + share * y};
        tw_face_point face;
        double way[3];
        face_at(form, at, side, &face);
        for (int k = 0; k < 3; k++)
            way[k] = x * face.across_step[k] + y * face.up_step[k];
        length += sqrt(tw_dot(way, way)) / (double)(2 * parts);
    }
    return length;
}

/* Direction of the line at a point, turned gently from piece to piece where it stands for a curve
 * (turns under 15 degrees), so that "in" does not jump at its points. */
static void unit_piece(const tw_edge_line *line, size_t n, double way[2])
{
    const double *a = line->points[n], *b = line->points[n + 1];
    const double length = hypot(b[0] - a[0], b[1] - a[1]);

    way[0] = length > 0 ? (b[0] - a[0]) / length : 0;
    way[1] = length > 0 ? (b[1] - a[1]) / length : 0;
}

static void line_direction(const tw_edge_line *line, size_t n, double share, double way[2])
{
    const double *first = line->points[0], *last = line->points[line->count - 1];
    const bool closed = first[0] == last[0] && first[1] == last[1];
    const size_t pieces = line->count - 1;
    double here[2], end[2][2];

    unit_piece(line, n, here);
    for (int k = 0; k < 2; k++) {
        double other[2] = {here[0], here[1]};
        if (closed || (k == 0 ? n > 0 : n + 1 < pieces))
            unit_piece(line, (k == 0 ? n + pieces - 1 : n + 1) % pieces, other);
        if (here[0] * other[0] + here[1] * other[1] < 0.966)
            memcpy(other, here, sizeof other);
        end[k][0] = 0.5 * (here[0] + other[0]);
        end[k][1] = 0.5 * (here[1] + other[1]);
    }
    for (int k = 0; k < 2; k++)
        way[k] = (1 - share) * end[0][k] + share * end[1][k];
}

/* Walk straight on over the face (a geodesic) from `at` along the tangent vector: midpoint steps of
 * at most 1 mm, the direction carried by laying it into each new tangent plane. */
static void walk(const tw_form *form, double at[2], double way[3], double length)
{
    const size_t steps = (size_t)fmin(fmax(ceil(fabs(length)), 8), 4096);
    const double h = length / (double)steps;

    for (size_t n = 0; n < steps; n++) {
        double from[2] = {at[0], at[1]};
        for (int half = 0; half < 2; half++) {
            tw_face_point face;
            double step[2], size, out;
            face_at(form, from, at[0] < 0 ? -1 : 1, &face);
            out = tw_dot(way, face.normal);
            for (int k = 0; k < 3; k++)
                way[k] -= out * face.normal[k];
            size = sqrt(tw_dot(way, way));
            for (int k = 0; k < 3; k++)
                way[k] /= size;
            if (!tape_step(&face, way, step))
                return;
            for (int k = 0; k < 2; k++)
                from[k] = at[k] + (half ? h : 0.5 * h) * step[k];
        }
        at[0] = from[0];
        at[1] = from[1];
    }
}

static void inward(const tw_form *form, const tw_edge_line *line, size_t piece, double share,
                   double length, double at[2])
{
    const double *a = line->points[piece], *b = line->points[piece + 1];
    tw_face_point face;
    double along[2], way[3], in[3];

    line_direction(line, piece, share, along);
    face_at(form, at, a[0] + b[0] < 0 ? -1 : 1, &face);
    for (int k = 0; k < 3; k++)
        way[k] = along[0] * face.across_step[k] + along[1] * face.up_step[k];
    tw_cross(face.normal, way, in); /* metal lies on the left, seen from outside */
    walk(form, at, in, length);
}

static tw_status unknown_edge(const tw_form *form, const tw_point *point, tw_error *err)
{
    const tw_outline *outline = &form->outline;
    const char **names = malloc((outline->edge_count + 1) * sizeof *names);
    const char *near = NULL;

    for (size_t k = 0; names && k < outline->edge_count; k++)
        names[k] = outline->edges[k].name;
    if (names)
        near = tw_nearest_word(point->edge, names, outline->edge_count);
    free(names);
    tw_fail(err, TW_ERR_KEY, "there is no edge named '%s'", point->edge);
    if (near)
        tw_error_advise(err, point->edge, "did you mean '%s'?", near);
    else if (outline->edge_count > 0)
        tw_error_advise(err, point->edge, "the outline's edges go from '%s' to '%s'",
                        outline->edges[0].name, outline->edges[outline->edge_count - 1].name);
    return tw_form_fail_at(form, point->place, err);
}

/* The place at an arc length from the first point of a line; `along` is within the line. */
static void run_along(const tw_form *form, const tw_edge_line *line, double along, double in,
                      double tape[2])
{
    for (size_t n = 0; n + 1 < line->count; n++) {
        const double *a = line->points[n], *b = line->points[n + 1];
        const double length = piece_length(form, a, b, 1);
        double share;
        if (along > length && n + 2 < line->count) {
            along -= length;
            continue;
        }
        share = length > 0 ? fmin(along / length, 1) : 0;
        /* equal lengths are not equal shares on a curved face: two corrections */
        for (int k = 0; k < 2 && length > 0; k++)
            share += (along - piece_length(form, a, b, share)) / length;
        share = fmin(fmax(share, 0), 1);
        tape[0] = a[0] + share * (b[0] - a[0]);
        tape[1] = a[1] + share * (b[1] - a[1]);
        if (in != 0)
            inward(form, line, n, share, in, tape);
        return;
    }
}

/* Where along a line, from its start and the way it runs here, a point lies. Edges listed in the
 * outline begin at their own first point; the others at the right of the middle or at a corner, and
 * run anticlockwise as seen by whoever measured: seen from inside, that is the mirror image. A line
 * closed on itself is taken to be its own mirror image, as rims and ellipses are. */
static double from_start(const tw_form *form, const tw_edge_line *line, const tw_point *point,
                         double whole)
{
    const double *first = line->points[0], *last = line->points[line->count - 1];
    const bool closed = first[0] == last[0] && first[1] == last[1];
    double along = point->value[0];

    if (point->inside && form->profile->outline.kind != TW_OUTLINE_EDGES) {
        along = (closed ? whole / 2 : whole) - along;
        if (along < 0)
            along += whole; /* no further below: `along` is within the line */
    }
    return fmin(fmax(form->reversed ? whole - along : along, 0), whole);
}

static tw_status locate_on_edge(const tw_form *form, const tw_point *point, double tape[2],
                                tw_error *err)
{
    const tw_edge_line *line = NULL;
    const double along = point->value[0];
    double whole = 0;

    for (size_t k = 0; k < form->outline.edge_count && !line; k++)
        if (strcmp(form->outline.edges[k].name, point->edge) == 0)
            line = &form->outline.edges[k];
    if (!line)
        return unknown_edge(form, point, err);
    for (size_t n = 0; n + 1 < line->count; n++)
        whole += piece_length(form, line->points[n], line->points[n + 1], 1);
    if (along < 0 || along > whole + 1e-3) {
        tw_fail(err, TW_ERR_DOMAIN, "%g mm along edge '%s', which is %.1f mm long on the plate",
                along, line->name, whole);
        tw_error_advise(err, NULL, "give between 0 and %.1f mm", whole);
        return tw_form_fail_at(form, point->place, err);
    }
    run_along(form, line, from_start(form, line, point, whole), point->value[1], tape);
    return TW_OK;
}

/* ---- in space --------------------------------------------------------------------------- */

static double square_off(const tw_face_point *face, const double wanted[3], double gap[3])
{
    for (int k = 0; k < 3; k++)
        gap[k] = wanted[k] - face->position[k];
    return tw_dot(gap, gap);
}

/* Gauss–Newton with halved steps from a start, on one side of a crease. @return square distance */
static double snap(const tw_form *form, const double wanted[3], int side, double at[2])
{
    tw_face_point face;
    double gap[3], step[2], square;

    face_at(form, at, side, &face);
    square = square_off(&face, wanted, gap);
    for (int turn = 0; turn < 60; turn++) {
        bool better = false;
        if (!tape_step(&face, gap, step) || hypot(step[0], step[1]) < 1e-11)
            break;
        for (int halved = 0; halved < 12 && !better; halved++) {
            const double share = ldexp(1, -halved);
            double next[2] = {at[0] + share * step[0], at[1] + share * step[1]}, new_gap[3];
            tw_face_point there;
            double new_square;
            if (tw_surface_has_crease(form->surface))
                next[0] = side < 0 ? fmin(next[0], 0) : fmax(next[0], 0);
            face_at(form, next, side, &there);
            new_square = square_off(&there, wanted, new_gap);
            if (new_square < square) {
                better = true;
                face = there;
                square = new_square;
                at[0] = next[0];
                at[1] = next[1];
                memcpy(gap, new_gap, sizeof gap);
            }
        }
        if (!better)
            break;
    }
    return square;
}

static void locate_in_space(const tw_form *form, const double wanted[3], double tape[2],
                            double *off)
{
    enum { LOOKS = 32 };
    const double *box = form->search;
    double best = INFINITY;

    /* the nearest of a coarse grid on each side of the centre line, then refined there */
    for (int side = -1; side <= 1; side += 2) {
        double at[2] = {0, 0}, nearest = INFINITY, square;
        for (int j = 0; j <= LOOKS; j++)
            for (int i = 0; i <= LOOKS; i++) {
                const double place[2] = {box[0] + (box[1] - box[0]) * i / LOOKS,
                                         box[2] + (box[3] - box[2]) * j / LOOKS};
                tw_face_point face;
                double gap[3];
                if (place[0] * side < 0 && (box[0] < 0 && box[1] > 0))
                    continue;
                face_at(form, place, side, &face);
                square = square_off(&face, wanted, gap);
                if (square < nearest) {
                    nearest = square;
                    at[0] = place[0];
                    at[1] = place[1];
                }
            }
        square = snap(form, wanted, side, at);
        if (square < best) {
            best = square;
            tape[0] = at[0];
            tape[1] = at[1];
        }
    }
    if (off)
        *off = sqrt(best);
}

tw_status tw_form_locate(const tw_form *form, const tw_point *point, double tape[2], double *off,
                         tw_error *err)
{
    tw_error own;

    assert(form && point && tape);
    if (!err)
        err = &own;
    if (off)
        *off = 0;
    switch (point->kind) {
    case TW_POINT_TAPE:
        tape[0] = point->value[0];
        tape[1] = point->value[1];
        return TW_OK;
    case TW_POINT_EDGE:
        return locate_on_edge(form, point, tape, err);
    case TW_POINT_SPACE:
        locate_in_space(form, point->value, tape, off);
        return TW_OK;
    case TW_POINT_CROWN:
        if (form->profile->form != TW_FORM_BOWL) {
            tw_fail(err, TW_ERR_DOMAIN, "a point from the crown of a form that is no bowl");
            tw_error_advise(err, NULL, "write the point as [across, up]");
            return tw_form_fail_at(form, point->place, err);
        }
        tape[0] = point->value[0] * sin(point->value[1]);
        tape[1] = point->value[0] * cos(point->value[1]);
        return TW_OK;
    }
    return tw_fail(err, TW_ERR_DOMAIN, "a point of unknown kind");
}
