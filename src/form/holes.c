/*
 * holes.c: holes as closed lines. Their sizes are lengths on the plate, taken over to tape
 * coordinates by the metric at the centre: with e1 along across_step and e2 square to it in the
 * tangent plane, a step δ in tape coordinates is J·δ on the plate, so (e1, e2)-offsets (p, q) are
 * δ_up = q / (e2·r_u), δ_across = (p − e1·r_u·δ_up) / |r_a| (derived here). Good for holes small
 * beside the radius of the plate.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdio.h>

/* Tape steps that go 1 mm on the plate along across and square to it. */
static bool plate_steps(const tw_form *form, const double at[2], double first[2], double second[2])
{
    tw_face_point face;
    double length, along, square[3], height;

    tw_form_at(form, at[0], at[1], &face);
    length = sqrt(tw_dot(face.across_step, face.across_step));
    if (!(length > 0))
        return false;
    along = tw_dot(face.across_step, face.up_step) / length;
    for (int k = 0; k < 3; k++)
        square[k] = face.up_step[k] - along / length * face.across_step[k];
    height = sqrt(tw_dot(square, square));
    first[0] = 1 / length;
    first[1] = 0;
    second[1] = 1 / height;
    second[0] = -along / (height * length);
    return isfinite(first[0]) && isfinite(second[0]) && isfinite(second[1]);
}

/* Metal on the left: a hole goes clockwise. */
static void turn_clockwise(tw_edge_line *line)
{
    if (tw_edges_area(line, 1) > 0)
        for (size_t n = 0; n < line->count / 2; n++)
            for (int k = 0; k < 2; k++) {
                const double swap = line->points[n][k];
                line->points[n][k] = line->points[line->count - 1 - n][k];
                line->points[line->count - 1 - n][k] = swap;
            }
}

static tw_status polygon_line(const tw_form *form, const tw_shape *shape, tw_line *line,
                              tw_error *err)
{
    double first[2] = {0, 0}, at[2];

    for (size_t k = 0; k < shape->point_count; k++) {
        const tw_status status = tw_form_locate(form, &shape->points[k], at, NULL, err);
        if (status != TW_OK)
            return status;
        if (k == 0) {
            first[0] = at[0];
            first[1] = at[1];
        }
        tw_line_add(line, at[0], at[1]);
    }
    if (at[0] != first[0] || at[1] != first[1])
        tw_line_add(line, first[0], first[1]);
    return TW_OK;
}

static tw_status shape_line(const tw_form *form, const tw_shape *shape, tw_line *line,
                            tw_error *err)
{
    double at[2], first[2], second[2];
    tw_status status;

    if (shape->kind == TW_SHAPE_POLYGON) {
        if (shape->point_count >= 3)
            return polygon_line(form, shape, line, err);
        return tw_fail(err, TW_ERR_SHAPE, "a polygon of %zu points", shape->point_count);
    }
    if (shape->kind == TW_SHAPE_LINE)
        return tw_fail(err, TW_ERR_SHAPE, "a hole is a disc, ellipse, rectangle or polygon");
    if (!(shape->across > 0 && shape->up > 0))
        return tw_fail(err, TW_ERR_SHAPE, "half sizes %g and %g mm", shape->across, shape->up);
    status = tw_form_locate(form, &shape->at, at, NULL, err);
    if (status != TW_OK)
        return status;
    if (!plate_steps(form, at, first, second))
        return tw_fail(err, TW_ERR_SHAPE, "the face has no directions at [%g, %g]", at[0], at[1]);
    for (int k = 0; k < 2; k++) {
        first[k] *= shape->across;
        second[k] *= shape->up;
    }
    if (shape->kind == TW_SHAPE_RECTANGLE) {
        static const int sign[5][2] = {{-1, -1}, {-1, 1}, {1, 1}, {1, -1}, {-1, -1}};
        for (int n = 0; n < 5; n++)
            tw_line_add(line, at[0] + sign[n][0] * first[0] + sign[n][1] * second[0],
                        at[1] + sign[n][0] * first[1] + sign[n][1] * second[1]);
    } else {
        tw_line_ellipse(line, at, first, second);
    }
    return TW_OK;
}

static tw_status build_one(tw_form *form, size_t k, tw_error *err)
{
    const tw_shape *shape = &form->profile->holes[k];
    tw_line line = {.arena = form->arena};
    tw_status status;
    char name[32], *kept;

    snprintf(name, sizeof name, "hole %zu", k + 1);
    kept = tw_arena_text(form->arena, name);
    status = shape_line(form, shape, &line, err);
    if (status == TW_OK && (line.failed || !kept))
        return tw_fail(err, TW_ERR_MEMORY, "no memory for holes");
    if (status != TW_OK) {
        tw_error_within(err, "in %s", name);
        return err->line ? status : tw_form_fail_at(form, shape->place, err);
    }
    form->outline.holes[k] = (tw_edge_line){kept, line.count, line.at};
    turn_clockwise(&form->outline.holes[k]);
    return TW_OK;
}

/* Crossings of a hole with anything, and holes that lie off the metal altogether. */
static tw_status check_all(tw_form *form, tw_error *err)
{
    const tw_outline *outline = &form->outline;
    tw_segment *segments =
        tw_arena_array(form->arena, tw_outline_segment_room(outline), sizeof *segments);
    size_t count, first = 0, second = 0;
    bool found = false;

    if (!segments)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for holes");
    count = tw_outline_segments(outline, segments);
    if (tw_segments_cross(segments, count, form->arena, &found, &first, &second, err) != TW_OK)
        return TW_ERR_MEMORY;
    if (found) {
        const size_t hole = segments[second].line - outline->edge_count;
        const size_t other = segments[first].line;
        const double *at = segments[second].a;
        if (other == segments[second].line)
            tw_fail(err, TW_ERR_SHAPE, "hole %zu crosses itself near [%.1f, %.1f]", hole + 1, at[0],
                    at[1]);
        else if (other < outline->edge_count)
            tw_fail(err, TW_ERR_SHAPE, "hole %zu cuts edge '%s' near [%.1f, %.1f]", hole + 1,
                    outline->edges[other].name, at[0], at[1]);
        else
            tw_fail(err, TW_ERR_SHAPE, "holes %zu and %zu meet near [%.1f, %.1f]",
                    other - outline->edge_count + 1, hole + 1, at[0], at[1]);
        tw_error_advise(err, NULL,
                        "holes lie inside the outline and clear of each other; lead the "
                        "edge round what is open to it");
        return tw_form_fail_at(form, form->profile->holes[hole].place, err);
    }
    for (size_t k = 0; k < outline->hole_count; k++) {
        const double *at = outline->holes[k].points[0];
        /* nothing touches, so one point tells: inside the outline and outside all other holes */
        size_t others = 0;
        if (fabs(tw_edges_area(&outline->holes[k], 1)) < 1e-6) {
            tw_fail(err, TW_ERR_SHAPE, "hole %zu encloses nothing", k + 1);
            return tw_form_fail_at(form, form->profile->holes[k].place, err);
        }
        for (size_t n = 0; n < count; n++)
            if (segments[n].line != outline->edge_count + k)
                segments[others++] = segments[n];
        if (!tw_segments_inside(segments, others, at[0], at[1])) {
            tw_fail(err, TW_ERR_SHAPE,
                    "hole %zu lies outside the outline or inside another hole at [%.1f, %.1f]",
                    k + 1, at[0], at[1]);
            tw_error_advise(err, NULL, "holes lie inside the outline and clear of each other");
            return tw_form_fail_at(form, form->profile->holes[k].place, err);
        }
        tw_outline_segments(outline, segments);
    }
    return TW_OK;
}

tw_status tw_holes_build(tw_form *form, tw_error *err)
{
    const size_t count = form->profile->hole_count;
    tw_status status = TW_OK;

    form->outline.holes = tw_arena_array(form->arena, count, sizeof *form->outline.holes);
    if (!form->outline.holes)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu holes", count);
    for (size_t k = 0; k < count && status == TW_OK; k++)
        status = build_one(form, k, err);
    if (status != TW_OK || count == 0)
        return status;
    form->outline.hole_count = count;
    return check_all(form, err);
}
