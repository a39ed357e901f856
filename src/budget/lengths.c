/*
 * lengths.c: which lengths of a form were measured, and the profile as it would be with one of them
 * read longer. An edge of the outline counts as one length: all of its points moved outward in tape
 * coordinates, square to the line through its neighbours, and with them the ends of the edges it
 * meets. What was measured on one side only and mirrored moves on both.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double MEETS = 1.0; /* ends of edges meet within this [mm] */

/* ---- the list ------------------------------------------------------------------------------ */

typedef struct list {
    tw_lengths *out;
    tw_arena *arena;
    size_t room; /* of items, and of names, kinds and values */
} list;

/* Opens a row; false when memory ran out. */
static bool open_row(list *l, tw_row_kind kind, double value, const char *format, double ruler,
                     const char *name)
{
    char text[160];

    assert(l->out->row_count < l->room);
    if (name)
        tw_format(text, sizeof text, format, name);
    else
        tw_format(text, sizeof text, format, ruler);
    l->out->kinds[l->out->row_count] = kind;
    l->out->values[l->out->row_count] = value;
    l->out->names[l->out->row_count] = tw_arena_text(l->arena, text);
    return l->out->names[l->out->row_count++] != NULL;
}

static void add(list *l, tw_length_kind kind, size_t item, size_t part)
{
    assert(l->out->count < l->room);
    l->out->items[l->out->count++] = (tw_length){kind, item, part, l->out->row_count - 1};
}

static bool list_bowl(list *l, const tw_bowl_spec *bowl)
{
    const double values[] = {bowl->across, bowl->up, bowl->depth, bowl->over_across, bowl->over_up};
    static const char *const names[] = {"bowl, half-width across", "bowl, half-width up",
                                        "bowl, depth", "bowl, tape over it across",
                                        "bowl, tape over it up"};
    const size_t count = bowl->profile == TW_BOWL_OVER ? 5 : 3;

    for (size_t k = 0; k < count; k++) {
        if (!open_row(l, TW_ROW_FORM, values[k], "%s", 0, names[k]))
            return false;
        add(l, TW_LENGTH_BOWL, 0, k);
    }
    return true;
}

static bool list_station(list *l, const tw_station *station, size_t item)
{
    const double values[] = {station->ruler, station->width > 0 ? station->width : (double)NAN,
                             station->centre_open ? (double)NAN : station->centre, station->sides,
                             station->tape > 0 ? station->tape : (double)NAN};
    static const char *const names[] = {"place of the station at ruler %g mm",
                                        "width at ruler %g mm", "centre's height at ruler %g mm",
                                        "sides' height at ruler %g mm", "tape at ruler %g mm"};

    for (size_t k = 0; k < sizeof values / sizeof *values; k++) {
        /* with heights the section is theirs */
        if (isnan(values[k]) || (station->height_count > 0 && k > 0))
            continue;
        if (!open_row(l, TW_ROW_FORM, values[k], names[k], station->ruler, NULL))
            return false;
        add(l, TW_LENGTH_STATION, item, k);
    }
    if (station->height_count > 0 &&
        !open_row(l, TW_ROW_FORM, 0, "heights at ruler %g mm", station->ruler, NULL))
        return false;
    for (size_t k = 0; k < station->height_count; k++)
        add(l, TW_LENGTH_HEIGHT, item, k);
    return true;
}

static bool list_loft(list *l, const tw_loft_spec *loft)
{
    for (size_t k = 0; k < loft->station_count; k++)
        if (!list_station(l, &loft->stations[k], k))
            return false;
    if (!(loft->keel_width > 0))
        return true;
    if (!open_row(l, TW_ROW_FORM, loft->keel_stands, "keel, how far it stands", 0, NULL))
        return false;
    add(l, TW_LENGTH_KEEL, 0, 0);
    if (!open_row(l, TW_ROW_FORM, loft->keel_width, "keel, width", 0, NULL))
        return false;
    add(l, TW_LENGTH_KEEL, 0, 1);
    return true;
}

/* Length of an edge's name without the side that mirroring gave it. */
static size_t plain_name(const tw_profile *profile, const char *name)
{
    static const char *const sides[] = {" left", " right"};
    const size_t length = strlen(name);

    for (size_t k = 0; profile->symmetric && k < 2; k++) {
        const size_t tail = strlen(sides[k]);
        if (length > tail && strcmp(name + length - tail, sides[k]) == 0)
            return length - tail;
    }
    return length;
}

static bool one_measured(const tw_profile *profile, size_t a, size_t b)
{
    const char *p = profile->outline.edges[a].name, *q = profile->outline.edges[b].name;
    const size_t length = plain_name(profile, p);

    return a == b || (length == plain_name(profile, q) && strncmp(p, q, length) == 0);
}

static bool list_outline(list *l, const tw_profile *profile)
{
    const tw_outline_spec *outline = &profile->outline;

    if (outline->kind == TW_OUTLINE_SHAPE) {
        if (!open_row(l, TW_ROW_OUTLINE, outline->shape.across, "outline, half size across", 0,
                      NULL))
            return false;
        add(l, TW_LENGTH_SHAPE, 0, 0);
        if (!open_row(l, TW_ROW_OUTLINE, outline->shape.up, "outline, half size up", 0, NULL))
            return false;
        add(l, TW_LENGTH_SHAPE, 0, 1);
    }
    for (size_t k = 0; outline->kind == TW_OUTLINE_EDGES && k < outline->edge_count; k++) {
        char name[96];
        size_t twin = 0;
        while (twin < k && !one_measured(profile, twin, k))
            twin++;
        if (outline->edges[k].along_rim || twin < k)
            continue;
        tw_format(name, sizeof name, "%.*s", (int)plain_name(profile, outline->edges[k].name),
                  outline->edges[k].name);
        if (!open_row(l, TW_ROW_OUTLINE, 0, "outline, edge %s moved in or out", 0, name))
            return false;
        add(l, TW_LENGTH_EDGE, k, 0);
    }
    return true;
}

/* The outline's points in tape coordinates, so that they can be moved in them. */
static tw_status locate(const tw_profile *profile, const tw_form *form, tw_arena *arena,
                        const tw_profile **out, tw_error *err)
{
    tw_profile *copy = tw_arena_array(arena, 1, sizeof *copy);
    const size_t count =
        profile->outline.kind == TW_OUTLINE_EDGES ? profile->outline.edge_count : 0;
    tw_edge_spec *edges = tw_arena_array(arena, count, sizeof *edges);

    if (!copy || !edges)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for an outline");
    *copy = *profile;
    for (size_t e = 0; e < count; e++) {
        tw_point *points;
        edges[e] = profile->outline.edges[e];
        points = tw_arena_array(arena, edges[e].point_count, sizeof *points);
        if (!points)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for an outline");
        for (size_t k = 0; k < edges[e].point_count; k++) {
            double tape[2];
            const tw_status status = tw_form_locate(form, &edges[e].points[k], tape, NULL, err);
            if (status != TW_OK)
                return status;
            points[k] = (tw_point){.kind = TW_POINT_TAPE,
                                   .value = {tape[0], tape[1], 0},
                                   .place = edges[e].points[k].place};
        }
        edges[e].points = points;
    }
    copy->outline.edges = count > 0 ? edges : NULL;
    *out = copy;
    return TW_OK;
}

tw_status tw_lengths_list(const tw_profile *profile, const tw_form *form, tw_arena *arena,
                          tw_lengths *out, tw_error *err)
{
    list l = {out, arena, 8};
    bool whole = true;

    *out = (tw_lengths){.profile = profile, .form = form};
    if (profile->form == TW_FORM_LOFT)
        for (size_t k = 0; k < profile->loft.station_count; k++)
            l.room += 6 + profile->loft.stations[k].height_count;
    if (profile->outline.kind == TW_OUTLINE_EDGES)
        l.room += profile->outline.edge_count;
    out->items = tw_arena_array(arena, l.room, sizeof *out->items);
    out->names = tw_arena_array(arena, l.room, sizeof *out->names);
    out->kinds = tw_arena_array(arena, l.room, sizeof *out->kinds);
    out->values = tw_arena_array(arena, l.room, sizeof *out->values);
    if (!out->items || !out->names || !out->kinds || !out->values)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu lengths", l.room);
    if (profile->form == TW_FORM_BOWL)
        whole = list_bowl(&l, &profile->bowl);
    else if (profile->form == TW_FORM_LOFT)
        whole = list_loft(&l, &profile->loft);
    if (!whole || !list_outline(&l, profile))
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the names of lengths");
    return locate(profile, form, arena, &out->located, err);
}

/* ---- one length changed ---------------------------------------------------------------------- */

static void change_bowl(tw_bowl_spec *bowl, size_t part, double step)
{
    double *const values[] = {&bowl->across, &bowl->up, &bowl->depth, &bowl->over_across,
                              &bowl->over_up};

    *values[part] += step;
}

static bool change_loft(tw_profile *profile, const tw_length *length, double step, tw_arena *arena)
{
    tw_loft_spec *loft = &profile->loft;
    tw_station *stations = tw_arena_array(arena, loft->station_count, sizeof *stations), *station;

    if (!stations)
        return false;
    memcpy(stations, loft->stations, loft->station_count * sizeof *stations);
    station = &stations[length->item];
    loft->stations = stations;
    if (length->kind == TW_LENGTH_STATION) {
        double *const values[] = {&station->ruler, &station->width, &station->centre,
                                  &station->sides, &station->tape};
        *values[length->part] += step;
    } else {
        double(*heights)[2] = tw_arena_array(arena, station->height_count, sizeof *heights);
        if (!heights)
            return false;
        memcpy(heights, station->heights, station->height_count * sizeof *heights);
        heights[length->part][1] += step;
        station->heights = heights;
    }
    return true;
}

/* Unit normals [across, up] of an edge at its points, pointing out of the metal. */
static void outward(const tw_lengths *lengths, const tw_edge_spec *edge, bool closed,
                    double (*normal)[2])
{
    const tw_outline *outline = tw_form_outline(lengths->form);
    const size_t n = edge->point_count;
    const double probe = 0.5; /* mm */
    double out = 0;

    for (size_t k = 0; k < n; k++) {
        const size_t before = k > 0 ? k - 1 : closed ? n - 1 : k;
        const size_t after = k + 1 < n ? k + 1 : closed ? 0 : k;
        const double *p = edge->points[before].value, *q = edge->points[after].value;
        const double *at = edge->points[k].value;
        const double length = hypot(q[0] - p[0], q[1] - p[1]);
        normal[k][0] = length > 0 ? (q[1] - p[1]) / length : 0;
        normal[k][1] = length > 0 ? (p[0] - q[0]) / length : 0;
        out +=
            tw_outline_level(outline, at[0] + probe * normal[k][0], at[1] + probe * normal[k][1]) -
            tw_outline_level(outline, at[0] - probe * normal[k][0], at[1] - probe * normal[k][1]);
    }
    for (size_t k = 0; k < n && out < 0; k++) {
        normal[k][0] = -normal[k][0];
        normal[k][1] = -normal[k][1];
    }
}

/* Ends of other edges that meet point `at` of the edge `moved` go with it. */
static void take_along(const tw_lengths *lengths, tw_edge_spec *edges, size_t moved,
                       const double at[2], const double shift[2])
{
    const tw_outline_spec *before = &lengths->located->outline;

    for (size_t e = 0; e < before->edge_count; e++)
        for (size_t k = 0; k < before->edges[e].point_count; k++) {
            const double *q = before->edges[e].points[k].value;
            /* its twin's own ends are moved by itself */
            if (one_measured(lengths->profile, moved, e) ||
                hypot(q[0] - at[0], q[1] - at[1]) > MEETS)
                continue;
            edges[e].points[k].value[0] += shift[0];
            edges[e].points[k].value[1] += shift[1];
        }
}

static bool change_edge(const tw_lengths *lengths, tw_profile *profile, size_t item, double step,
                        tw_arena *arena)
{
    const tw_outline_spec *before = &lengths->located->outline;
    const size_t count = before->edge_count;
    tw_edge_spec *edges = tw_arena_array(arena, count, sizeof *edges);

    for (size_t e = 0; edges && e < count; e++) {
        edges[e] = before->edges[e];
        edges[e].points = tw_arena_array(arena, edges[e].point_count, sizeof *edges[e].points);
        if (!edges[e].points)
            return false;
        for (size_t k = 0; k < edges[e].point_count; k++)
            edges[e].points[k] = before->edges[e].points[k];
    }
    for (size_t e = 0; edges && e < count; e++) {
        const tw_edge_spec *edge = &before->edges[e];
        double(*normal)[2];
        if (!one_measured(lengths->profile, item, e) || edge->along_rim)
            continue;
        normal = tw_arena_array(arena, edge->point_count, sizeof *normal);
        if (!normal)
            return false;
        outward(lengths, edge, count == 1, normal);
        for (size_t k = 0; k < edge->point_count; k++) {
            const double shift[2] = {step * normal[k][0], step * normal[k][1]};
            edges[e].points[k].value[0] += shift[0];
            edges[e].points[k].value[1] += shift[1];
            if (k == 0 || k + 1 == edge->point_count)
                take_along(lengths, edges, e, edge->points[k].value, shift);
        }
    }
    profile->outline.edges = edges;
    return edges != NULL;
}

tw_status tw_length_change(const tw_lengths *lengths, const tw_length *length, double step,
                           tw_arena *arena, tw_profile *out, tw_error *err)
{
    bool made = true;

    *out = *lengths->profile;
    switch (length->kind) {
    case TW_LENGTH_BOWL:
        change_bowl(&out->bowl, length->part, step);
        break;
    case TW_LENGTH_STATION:
    case TW_LENGTH_HEIGHT:
        made = change_loft(out, length, step, arena);
        break;
    case TW_LENGTH_KEEL:
        *(length->part == 0 ? &out->loft.keel_stands : &out->loft.keel_width) += step;
        break;
    case TW_LENGTH_SHAPE:
        *(length->part == 0 ? &out->outline.shape.across : &out->outline.shape.up) += step;
        break;
    case TW_LENGTH_EDGE:
        made = change_edge(lengths, out, length->item, step, arena);
        break;
    }
    return made ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for a changed form");
}
