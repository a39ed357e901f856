/*
 * outline.c: the outline of a form as lines in tape coordinates: the form's own boundary, a shape, or
 * listed edges; turned anticlockwise, checked for crossings and for metal where there can be none.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_AREA 1.0 /* of a plate by tape [mm²]; less is a slip of the pen */

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the outline");
}

static tw_status rim_edges(tw_form *form, tw_error *err)
{
    if (form->rim_count == 0) {
        tw_fail(err, TW_ERR_SHAPE, "a flat form has no rim of its own and needs an outline");
        tw_error_advise(err, NULL, "add outline: {rectangle: …}, {ellipse: …} or a list of edges");
        return tw_form_fail_at(form, form->profile->outline.place, err);
    }
    form->outline.edges = tw_arena_array(form->arena, form->rim_count, sizeof *form->rim);
    if (!form->outline.edges)
        return no_memory(err);
    memcpy(form->outline.edges, form->rim, form->rim_count * sizeof *form->rim);
    form->outline.edge_count = form->rim_count;
    return TW_OK;
}

static tw_status rectangle_edges(tw_form *form, const double at[2], const tw_shape *shape,
                                 tw_error *err)
{
    const char *const names[] = {"lower", tw_profile_side(form->profile, 1), "upper",
                                 tw_profile_side(form->profile, -1)};
    const double corner[5][2] = {{at[0] - shape->across, at[1] - shape->up},
                                 {at[0] + shape->across, at[1] - shape->up},
                                 {at[0] + shape->across, at[1] + shape->up},
                                 {at[0] - shape->across, at[1] + shape->up},
                                 {at[0] - shape->across, at[1] - shape->up}};
    tw_edge_line *edges = tw_arena_array(form->arena, 4, sizeof *edges);

    if (!edges)
        return no_memory(err);
    for (size_t k = 0; k < 4; k++) {
        tw_line line = {.arena = form->arena};
        tw_line_straight(&line, &corner[k], 2, false);
        if (line.failed)
            return no_memory(err);
        edges[k] = (tw_edge_line){names[k], line.count, line.at};
    }
    form->outline.edges = edges;
    form->outline.edge_count = 4;
    return TW_OK;
}

/* Half sizes of an outline are tape coordinates, as all of the outline is; those of zones and holes
 * are lengths on the plate. */
static tw_status shape_edges(tw_form *form, tw_error *err)
{
    const tw_shape *shape = &form->profile->outline.shape;
    const double first[2] = {shape->across, 0}, second[2] = {0, shape->up};
    tw_line line = {.arena = form->arena};
    double at[2];
    tw_status status;

    if (!(shape->across > 0 && shape->up > 0)) {
        tw_fail(err, TW_ERR_SHAPE, "the outline's half sizes are %g and %g mm", shape->across,
                shape->up);
        tw_error_advise(err, NULL, "give both above zero");
        return tw_form_fail_at(form, shape->place, err);
    }
    status = tw_form_locate(form, &shape->at, at, NULL, err);
    if (status != TW_OK)
        return status;
    if (shape->kind == TW_SHAPE_RECTANGLE)
        return rectangle_edges(form, at, shape, err);
    if (shape->kind != TW_SHAPE_ELLIPSE && shape->kind != TW_SHAPE_DISC) {
        tw_fail(err, TW_ERR_SHAPE, "an outline is a rectangle, an ellipse or a list of edges");
        return tw_form_fail_at(form, shape->place, err);
    }
    tw_line_ellipse(&line, at, first, second);
    form->outline.edges = tw_arena_array(form->arena, 1, sizeof *form->outline.edges);
    if (line.failed || !form->outline.edges)
        return no_memory(err);
    form->outline.edges[0] = (tw_edge_line){"rim", line.count, line.at};
    form->outline.edge_count = 1;
    return TW_OK;
}

/* Pulls a shape's lines in and notes once what was pulled, here or among listed points. */
static tw_status pull_in(tw_form *form, const tw_ring *ring, tw_pulled *pulled, tw_notes *notes,
                         tw_error *err)
{
    if (form->profile->outline.kind == TW_OUTLINE_SHAPE)
        for (size_t k = 0; k < form->outline.edge_count; k++)
            if (tw_pull_line(form, ring, &form->outline.edges[k], pulled, err) != TW_OK)
                return tw_form_fail_at(form, form->profile->outline.shape.place, err);
    if (pulled->farthest > 0) {
        tw_error note;
        const char *ending = pulled->count == 1 ? "" : "s";
        if (pulled->count > 0)
            tw_fail(&note, TW_OK,
                    "%zu point%s of the outline, up to %.1f mm outside the form, pulled in to its "
                    "boundary",
                    pulled->count, ending, pulled->farthest);
        else
            tw_fail(&note, TW_OK,
                    "the outline runs up to %.1f mm outside the form between its points and was "
                    "pulled in to its boundary",
                    pulled->farthest);
        tw_profile_place(form->profile, form->profile->outline.place, &note);
        tw_notes_add(notes, &note);
    }
    return TW_OK;
}

static void turn_round(tw_edge_line *edges, size_t count)
{
    for (size_t k = 0; k < count / 2; k++) {
        const tw_edge_line swap = edges[k];
        edges[k] = edges[count - 1 - k];
        edges[count - 1 - k] = swap;
    }
    for (size_t k = 0; k < count; k++)
        for (size_t n = 0; n < edges[k].count / 2; n++) {
            double *a = edges[k].points[n], *b = edges[k].points[edges[k].count - 1 - n];
            for (int c = 0; c < 2; c++) {
                const double swap = a[c];
                a[c] = b[c];
                b[c] = swap;
            }
        }
}

tw_status tw_edges_check(const tw_form *form, const tw_edge_line *edges, size_t count,
                         tw_error *err)
{
    const tw_outline outline = {.edge_count = count, .edges = (tw_edge_line *)edges};
    tw_segment *segments =
        tw_arena_array(form->arena, tw_outline_segment_room(&outline), sizeof *segments);
    size_t pieces, first = 0, second = 0;
    bool found = false;
    const tw_segment *s, *t;

    if (!segments)
        return no_memory(err);
    pieces = tw_outline_segments(&outline, segments);
    if (tw_segments_cross(segments, pieces, form->arena, &found, &first, &second, err) != TW_OK)
        return TW_ERR_MEMORY;
    if (!found && pieces >= 3 && fabs(tw_edges_area(edges, count)) >= LEAST_AREA)
        return TW_OK;
    if (!found) {
        tw_fail(err, TW_ERR_SHAPE, "the outline encloses no metal");
        return tw_form_fail_at(form, form->profile->outline.place, err);
    }
    s = &segments[first];
    t = &segments[second];
    tw_fail(
        err, TW_ERR_SHAPE,
        "the outline crosses itself: edge '%s' between [%.1f, %.1f] and [%.1f, %.1f] meets edge "
        "'%s' between [%.1f, %.1f] and [%.1f, %.1f]",
        edges[s->line].name, s->a[0], s->a[1], s->b[0], s->b[1], edges[t->line].name, t->a[0],
        t->a[1], t->b[0], t->b[1]);
    tw_error_advise(err, NULL, "list edges and points in order round the plate");
    return tw_form_fail_at(form, form->profile->outline.place, err);
}

static void measure_box(tw_outline *outline)
{
    outline->across_min = outline->up_min = INFINITY;
    outline->across_max = outline->up_max = -INFINITY;
    for (size_t k = 0; k < outline->edge_count; k++)
        for (size_t n = 0; n < outline->edges[k].count; n++) {
            const double *at = outline->edges[k].points[n];
            outline->across_min = fmin(outline->across_min, at[0]);
            outline->across_max = fmax(outline->across_max, at[0]);
            outline->up_min = fmin(outline->up_min, at[1]);
            outline->up_max = fmax(outline->up_max, at[1]);
        }
}

/* An open centre must stay outside the metal; looked at every 0.5 mm and at both ends. */
static tw_status check_centre(const tw_form *form, tw_error *err)
{
    const size_t room = tw_outline_segment_room(&form->outline);
    tw_segment *segments = tw_arena_array(form->arena, room, sizeof *segments);
    double *ups = tw_arena_array(form->arena, room, sizeof *ups);
    size_t pieces, found;

    if (!segments || !ups)
        return no_memory(err);
    pieces = tw_outline_segments(&form->outline, segments);
    found = tw_segments_crossings(segments, pieces, 0, ups);
    for (size_t k = 0; k + 1 < found; k += 2) {
        const double length = ups[k + 1] - ups[k];
        const size_t parts = (size_t)ceil(2 * length) + 1;
        for (size_t n = 0; n <= parts; n++) {
            /* metal may end where the opening begins */
            const double inset = fmin(0.01, 0.5 * length);
            const double up = ups[k] + inset + (length - 2 * inset) * (double)n / (double)parts;
            /* half a plate may end on the centre line: metal on both sides covers it */
            if (!tw_surface_open_at(form->surface, up) ||
                !tw_segments_inside(segments, pieces, -0.01, up) ||
                !tw_segments_inside(segments, pieces, 0.01, up))
                continue;
            tw_fail(err, TW_ERR_SHAPE,
                    "the outline covers the centre line at up %.1f mm, where the centre is open",
                    up);
            tw_error_advise(err, NULL,
                            "lead an edge round the opening, or give the centre's height");
            return tw_form_fail_at(form, form->profile->outline.place, err);
        }
    }
    return TW_OK;
}

tw_status tw_outline_build(tw_form *form, tw_notes *notes, tw_error *err)
{
    const tw_outline_kind kind = form->profile->outline.kind;
    tw_ring ring;
    tw_pulled pulled = {0, 0};
    tw_outline made;
    tw_status status = tw_ring_join(form, &ring, err);

    if (status == TW_OK)
        status = kind == TW_OUTLINE_RIM     ? rim_edges(form, err)
                 : kind == TW_OUTLINE_SHAPE ? shape_edges(form, err)
                                            : tw_edges_build(form, &ring, &pulled, notes, err);
    if (status == TW_OK)
        status = pull_in(form, &ring, &pulled, notes, err);
    if (status != TW_OK)
        return status;
    made = form->outline;
    if (tw_edges_area(made.edges, made.edge_count) < 0) {
        turn_round(made.edges, made.edge_count);
        form->reversed = true;
    }
    measure_box(&form->outline);
    status = tw_edges_check(form, made.edges, made.edge_count, err);
    return status == TW_OK ? check_centre(form, err) : status;
}
