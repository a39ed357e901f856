/*
 * outline_edges.c: edges listed in a profile to lines. Points are located, pulled in and brought
 * together at their ends; then each edge becomes a line, and edges that run along the form's
 * boundary take the piece of it between their neighbours.
 */
#include "outline_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* An edge on its way from points to a line. */
typedef struct draft {
    const tw_edge_spec *spec;
    const char *name;
    size_t count;
    double (*points)[2];
    double from, to; /* along_rim: places on the ring */
} draft;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the outline");
}

static tw_status locate_points(const tw_form *form, const tw_ring *ring, draft *d,
                               tw_pulled *pulled, tw_error *err)
{
    const tw_edge_spec *spec = d->spec;

    d->points = tw_arena_array(form->arena, spec->point_count, sizeof *d->points);
    if (!d->points)
        return no_memory(err);
    for (size_t k = 0; k < spec->point_count; k++) {
        const tw_point *point = &spec->points[k];
        double at[2];
        tw_status status;
        if (point->kind == TW_POINT_EDGE) {
            tw_fail(err, TW_ERR_KEY, "edge '%s': point %zu is given from an edge", d->name, k + 1);
            tw_error_advise(err, point->edge, "write the points of edges as [across, up]");
            return tw_form_fail_at(form, point->place, err);
        }
        status = tw_form_locate(form, point, at, NULL, err);
        if (status == TW_OK &&
            (status = tw_pull_point(form, ring, d->name, k + 1, at, pulled, err)) != TW_OK)
            tw_form_fail_at(form, point->place, err);
        if (status != TW_OK)
            return status;
        if (d->count > 0 &&
            hypot(at[0] - d->points[d->count - 1][0], at[1] - d->points[d->count - 1][1]) < 1e-6)
            continue; /* written twice */
        d->points[d->count][0] = at[0];
        d->points[d->count++][1] = at[1];
    }
    if (d->count < 2) {
        tw_fail(err, TW_ERR_SHAPE, "the points of edge '%s' are all one", d->name);
        tw_error_advise(err, NULL, "give at least two different points, or along: rim");
        return tw_form_fail_at(form, spec->place, err);
    }
    return TW_OK;
}

/* The last point of one edge and the first of the next become one. */
static tw_status meet(const tw_form *form, draft *one, draft *next, tw_error *err)
{
    double *end = one->points[one->count - 1], *start = next->points[0];
    const double gap = hypot(end[0] - start[0], end[1] - start[1]);

    if (gap > TW_ENDS_MEET) {
        tw_fail(err, TW_ERR_SHAPE,
                "edge '%s' ends at [%g, %g] and edge '%s' begins at [%g, %g], %.1f mm apart",
                one->name, end[0], end[1], next->name, start[0], start[1], gap);
        tw_error_advise(
            err, NULL,
            "list edges and points in order round the plate, ends within %g mm; of half a "
            "plate only, add symmetric: yes",
            TW_ENDS_MEET);
        return tw_form_fail_at(form, next->spec->place, err);
    }
    for (int k = 0; k < 2; k++)
        end[k] = start[k] = 0.5 * (end[k] + start[k]);
    return TW_OK;
}

/* The end of a neighbour of an edge along the rim is put on the rim. */
static tw_status meet_rim(const tw_form *form, const tw_ring *ring, const draft *rim,
                          const draft *other, double *end, double *where, tw_error *err)
{
    double foot[2] = {end[0], end[1]};
    const double gap = tw_ring_nearest(ring, end, where, foot);

    if (gap > TW_ENDS_MEET) {
        tw_fail(
            err, TW_ERR_SHAPE,
            "edge '%s' follows the form's boundary, but edge '%s' meets it at [%g, %g], %.1f mm "
            "from the boundary at [%.1f, %.1f]",
            rim->name, other->name, end[0], end[1], gap, foot[0], foot[1]);
        tw_error_advise(err, NULL, "let edge '%s' end on the boundary, or up to %g mm outside",
                        other->name, TW_PULL_IN);
        return tw_form_fail_at(form, rim->spec->place, err);
    }
    end[0] = foot[0];
    end[1] = foot[1];
    return TW_OK;
}

static tw_status join_ends(const tw_form *form, const tw_ring *ring, draft *drafts, size_t count,
                           tw_error *err)
{
    tw_status status = TW_OK;

    for (size_t k = 0; k < count && status == TW_OK; k++) {
        draft *d = &drafts[k], *next = &drafts[(k + 1) % count];
        if (d->spec->along_rim && ring->count == 0) {
            tw_fail(err, TW_ERR_SHAPE, "edge '%s' runs along the rim of a form that has none",
                    d->name);
            tw_error_advise(err, NULL, "a flat form has no boundary: give the edge's points");
            return tw_form_fail_at(form, d->spec->place, err);
        }
        if (d->spec->along_rim && next->spec->along_rim) {
            tw_fail(err, TW_ERR_SHAPE, "edges '%s' and '%s' both run along the rim", d->name,
                    next->name);
            tw_error_advise(err, NULL, "join them, or put an edge with points between them");
            return tw_form_fail_at(form, next->spec->place, err);
        }
        if (d->spec->along_rim)
            status = meet_rim(form, ring, d, next, next->points[0], &d->to, err);
        else if (next->spec->along_rim)
            status = meet_rim(form, ring, next, d, d->points[d->count - 1], &next->from, err);
        else
            status = meet(form, d, next, err);
    }
    return status;
}

static tw_status make_line(const tw_form *form, const tw_ring *ring, draft *d, bool closed,
                           bool forward, tw_edge_line *out, tw_error *err)
{
    tw_line line = {.arena = form->arena};
    const double(*points)[2] = (const double(*)[2])d->points;
    size_t misfit = SIZE_MAX;

    if (closed && hypot(points[0][0] - points[d->count - 1][0],
                        points[0][1] - points[d->count - 1][1]) <= TW_ENDS_MEET)
        d->count--; /* closed by hand */
    if (closed && d->count < 3) {
        tw_fail(err, TW_ERR_SHAPE, "edge '%s' closes on itself with %zu points", d->name, d->count);
        tw_error_advise(err, NULL, "give at least three points, or more edges");
        return tw_form_fail_at(form, d->spec->place, err);
    }
    if (d->spec->smooth && d->spec->corner > 0) {
        tw_fail(err, TW_ERR_SHAPE, "edge '%s' is smooth and has corners to round", d->name);
        tw_error_advise(err, NULL, "leave out either 'smooth' or 'corner'");
        return tw_form_fail_at(form, d->spec->place, err);
    }
    if (d->spec->along_rim)
        tw_ring_follow(ring, d->from, d->to, forward, &line);
    else if (d->spec->smooth)
        tw_line_smooth(&line, points, d->count, closed);
    else if (d->spec->corner > 0)
        misfit = tw_line_rounded(&line, points, d->count, closed, d->spec->corner);
    else
        tw_line_straight(&line, points, d->count, closed);
    if (line.failed)
        return no_memory(err);
    if (misfit != SIZE_MAX) {
        tw_fail(err, TW_ERR_SHAPE,
                "edge '%s': a corner of radius %g mm does not fit at [%g, %g]: its sides are too "
                "short",
                d->name, d->spec->corner, points[misfit][0], points[misfit][1]);
        tw_error_advise(err, NULL, "make the radius smaller, or leave points out near the corner");
        return tw_form_fail_at(form, d->spec->place, err);
    }
    *out = (tw_edge_line){d->name, line.count, line.at};
    return TW_OK;
}

/* One way round the rim: all lines, whether they lie in order and do not cross, and their area. */
typedef struct attempt {
    tw_edge_line *edges;
    tw_pulled pulled;
    tw_status status;
    double area; /* > 0 anticlockwise */
    tw_error error;
} attempt;

static void try_way(const tw_form *form, const tw_ring *ring, const draft *drafts, size_t count,
                    bool forward, attempt *out)
{
    out->edges = tw_arena_array(form->arena, count, sizeof *out->edges);
    out->status = out->edges ? TW_OK : no_memory(&out->error);
    for (size_t k = 0; k < count && out->status == TW_OK; k++) {
        draft copy = drafts[k];
        const bool closed = count == 1 && !copy.spec->along_rim;
        out->status = make_line(form, ring, &copy, closed, forward, &out->edges[k], &out->error);
        if (out->status == TW_OK && !copy.spec->along_rim) {
            out->status = tw_pull_line(form, ring, &out->edges[k], &out->pulled, &out->error);
            if (out->status != TW_OK)
                tw_form_fail_at(form, copy.spec->place, &out->error);
        }
    }
    if (out->status != TW_OK)
        return;
    out->area = tw_edges_area(out->edges, count);
    out->status = tw_edges_check(form, out->edges, count, &out->error);
}

/*
 * Metal lies inside the form, so a ring that goes anticlockwise follows the boundary that way and a
 * clockwise one the other. With one edge across the form both can be meant: then the larger plate
 * is taken, and a note says so.
 */
static tw_status choose_way(const tw_form *form, const tw_ring *ring, draft *drafts, size_t count,
                            bool along_rim, attempt *best, tw_notes *notes, tw_error *err)
{
    attempt *way[2];

    for (int k = 0; k < 2; k++)
        if (!(way[k] = tw_arena_array(form->arena, 1, sizeof **way)))
            return no_memory(err);
    try_way(form, ring, drafts, count, true, way[0]);
    *best = *way[0];
    if (along_rim) {
        bool good[2];
        try_way(form, ring, drafts, count, false, way[1]);
        /* a way that only lacked memory may have been the right one */
        for (int k = 0; k < 2; k++)
            if (way[k]->status == TW_ERR_MEMORY)
                return no_memory(err);
        good[0] = way[0]->status == TW_OK && way[0]->area > 0;
        good[1] = way[1]->status == TW_OK && way[1]->area < 0;
        if (good[1] && (!good[0] || -way[1]->area > way[0]->area))
            *best = *way[1];
        if (good[0] && good[1]) {
            tw_error note;
            tw_fail(&note, TW_OK,
                    "edges '%s' leave two plates possible, of %.0f and %.0f mm2 by tape: the "
                    "larger is taken",
                    best->edges[0].name, fabs(way[0]->area), fabs(way[1]->area));
            tw_error_advise(&note, NULL, "list the points of the smaller one's rim to have that");
            tw_profile_place(form->profile, form->profile->outline.place, &note);
            tw_notes_add(notes, &note);
        } else if (!good[0] && !good[1] && way[0]->status == TW_OK) {
            *best = *way[1];
            if (best->status == TW_OK)
                best->status = tw_fail(&best->error, TW_ERR_SHAPE,
                                       "the edges do not close round metal inside the form");
        }
    }
    if (best->status != TW_OK)
        *err = best->error;
    return best->status;
}

static const char *edge_name(const tw_form *form, const tw_edge_spec *spec, size_t k)
{
    char text[32];

    if (spec->name)
        return spec->name;
    snprintf(text, sizeof text, "edge %zu", k + 1);
    return tw_arena_text(form->arena, text);
}

/* A rim with no other edge beside it is the whole boundary as one line. */
static tw_status whole_rim(tw_form *form, const tw_ring *ring, const char *name, tw_error *err)
{
    tw_line line = {.arena = form->arena};

    if (ring->count == 0) {
        tw_fail(err, TW_ERR_SHAPE, "edge '%s' runs along the rim of a form that has none", name);
        return tw_form_fail_at(form, form->profile->outline.place, err);
    }
    tw_line_straight(&line, (const double(*)[2])ring->at, ring->count, true);
    form->outline.edges = tw_arena_array(form->arena, 1, sizeof *form->outline.edges);
    if (line.failed || !form->outline.edges)
        return no_memory(err);
    form->outline.edges[0] = (tw_edge_line){name, line.count, line.at};
    form->outline.edge_count = 1;
    return TW_OK;
}

tw_status tw_edges_build(tw_form *form, const tw_ring *ring, tw_pulled *pulled, tw_notes *notes,
                         tw_error *err)
{
    const tw_outline_spec *spec = &form->profile->outline;
    draft *drafts = tw_arena_array(form->arena, spec->edge_count, sizeof *drafts);
    tw_status status = TW_OK;
    attempt best;
    bool along_rim = false;

    if (!drafts)
        return no_memory(err);
    if (spec->edge_count == 0) {
        tw_fail(err, TW_ERR_SHAPE, "the outline lists no edges");
        return tw_form_fail_at(form, spec->place, err);
    }
    for (size_t k = 0; k < spec->edge_count && status == TW_OK; k++) {
        drafts[k].spec = &spec->edges[k];
        if (!(drafts[k].name = edge_name(form, drafts[k].spec, k)))
            return no_memory(err);
        along_rim = along_rim || drafts[k].spec->along_rim;
        for (size_t n = 0; n < k; n++)
            if (strcmp(drafts[n].name, drafts[k].name) == 0) {
                tw_fail(err, TW_ERR_KEY, "two edges are named '%s'", drafts[k].name);
                tw_error_advise(err, drafts[k].name, "give each edge a name of its own");
                return tw_form_fail_at(form, drafts[k].spec->place, err);
            }
        if (!drafts[k].spec->along_rim)
            status = locate_points(form, ring, &drafts[k], pulled, err);
    }
    if (status != TW_OK)
        return status;
    if (spec->edge_count == 1 && along_rim)
        return whole_rim(form, ring, drafts[0].name, err);
    if (spec->edge_count > 1)
        status = join_ends(form, ring, drafts, spec->edge_count, err);
    if (status == TW_OK)
        status = choose_way(form, ring, drafts, spec->edge_count, along_rim, &best, notes, err);
    if (status != TW_OK)
        return status;
    pulled->count += best.pulled.count;
    pulled->farthest = fmax(pulled->farthest, best.pulled.farthest);
    form->outline.edges = best.edges;
    form->outline.edge_count = spec->edge_count;
    return TW_OK;
}
