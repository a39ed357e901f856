/*
 * mirror.c: `symmetric: yes`. What is given on the + side of the centre line (the viewer's right as
 * they face the outside) gets its twin on the other side; names gain
 * the side in words, tw_profile_side().
 *
 * Outline: the edges given make the + half, from one point of the centre line round to another.
 * The first and the last edge meet their own twins on the centre line and are joined with them into
 * one edge that keeps its name; every edge between becomes two. A single edge is joined at both ends.
 * Zones and holes: a twin when they stand on the + side; those on the centre line, and those
 * whose points reach both sides, stay as they are; on the − side alone they are an error. A point
 * measured along an edge has no twin without geometry and is refused.
 * Thickness and turns of edges, and what a plan keeps: a name that became two stands for both; of the four sides of a
 * rectangle or a loft, `right` stands for `left` too unless `left` is given.
 * Tape checks are measurements, so they stay as they are.
 */
#include "profile_internal.h"

#include <math.h>
#include <string.h>

const char *tw_profile_side(const tw_profile *profile, int side)
{
    return (side > 0) == (profile->worn == TW_WORN_FRONT) ? "left" : "right";
}

static const char *side_name(tw_reader *reader, const char *name, int side)
{
    return tw_reader_text(reader, "%s %s", name, tw_profile_side(reader->profile, side));
}

#define ON_CENTRE 1e-6 /* [mm] rounding only: a zone 1 mm off the centre line has a twin */
#define MEETS     1.0  /* [mm] ends of edges meet within this, on the centre line too */

/* How far a point stands on the + side, as far as its numbers say [mm]. */
static double side_of(const tw_point *point)
{
    return point->kind == TW_POINT_CROWN ? point->value[0] * sin(point->value[1]) : point->value[0];
}

static tw_point twin_of(tw_point point)
{
    if (point.kind == TW_POINT_CROWN)
        point.value[1] = -point.value[1];
    else if (point.value[0] != 0) /* no −0 */
        point.value[0] = -point.value[0];
    return point;
}

static tw_point on_centre(tw_point point)
{
    if (point.kind == TW_POINT_CROWN)
        point.value[1] = cos(point.value[1]) > 0 ? 0 : TW_PI;
    else
        point.value[0] = 0;
    return point;
}

/* False with an error when a point cannot be mirrored. */
static bool can_mirror(tw_reader *reader, const tw_point *point)
{
    if (point->kind != TW_POINT_EDGE)
        return true;
    tw_reader_fault(reader, point->place, TW_ERR_KEY, point->edge,
                    "write [across, up], or both sides without \"symmetric\"",
                    "with symmetric a point along an edge cannot be mirrored");
    return false;
}

/* ---- zones and holes ----------------------------------------------------------------------- */

static bool has_points(const tw_shape *shape)
{
    return shape->kind == TW_SHAPE_POLYGON || shape->kind == TW_SHAPE_LINE;
}

/* True when a shape has a twin. */
static bool has_twin(tw_reader *reader, const tw_shape *shape)
{
    const tw_point *points = has_points(shape) ? shape->points : &shape->at;
    const size_t count = has_points(shape) ? shape->point_count : 1;
    bool right = false, left = false;

    for (size_t k = 0; k < count; k++) {
        if (!can_mirror(reader, &points[k]))
            return false;
        right = right || side_of(&points[k]) > ON_CENTRE;
        left = left || side_of(&points[k]) < -ON_CENTRE;
    }
    if (left && !right)
        tw_reader_fault(reader, shape->place, TW_ERR_SHAPE, NULL,
                        "give its twin on the + side, or both without \"symmetric\"",
                        "with symmetric only the + side is given, and this is on the other");
    return right && !left;
}

/* Points in reverse order, so that the twin runs round the same way. */
static tw_shape twin_of_shape(tw_reader *reader, const tw_shape *shape)
{
    tw_shape twin = *shape;

    twin.at = twin_of(shape->at);
    if (!has_points(shape))
        return twin;
    twin.points = tw_reader_array(reader, shape->point_count, sizeof *twin.points);
    for (size_t k = 0; twin.points && k < shape->point_count; k++)
        twin.points[k] = twin_of(shape->points[shape->point_count - 1 - k]);
    return twin;
}

static void mirror_strikes(tw_reader *reader)
{
    tw_forged_spec *forged = &reader->profile->forged;
    tw_strike *all = tw_reader_array(reader, 2 * forged->strike_count, sizeof *all);
    size_t n = 0;

    for (size_t k = 0; all && k < forged->strike_count; k++) {
        all[n] = forged->strikes[k];
        if (has_twin(reader, &all[n].shape)) {
            all[n + 1] = all[n];
            all[n + 1].shape = twin_of_shape(reader, &all[n].shape);
            all[n + 1].name = side_name(reader, forged->strikes[k].name, -1);
            all[n].name = side_name(reader, forged->strikes[k].name, 1);
            n++;
        }
        n++;
    }
    forged->strikes = all;
    forged->strike_count = n;
}

static void mirror_holes(tw_reader *reader)
{
    tw_profile *profile = reader->profile;
    tw_shape *all = tw_reader_array(reader, 2 * profile->hole_count, sizeof *all);
    size_t n = 0;

    for (size_t k = 0; all && k < profile->hole_count; k++) {
        all[n++] = profile->holes[k];
        if (has_twin(reader, &profile->holes[k]))
            all[n++] = twin_of_shape(reader, &profile->holes[k]);
    }
    profile->holes = all;
    profile->hole_count = n;
}

/* ---- outline ------------------------------------------------------------------------------- */

/* The half must begin and end on the centre line and stay on its + side. */
static bool check_half(tw_reader *reader, const tw_outline_spec *outline)
{
    const size_t before = reader->errors.count;

    for (size_t k = 0; k < outline->edge_count; k++) {
        const tw_edge_spec *edge = &outline->edges[k];
        for (size_t j = 0; j < edge->point_count; j++) {
            const tw_point *point = &edge->points[j];
            const bool end =
                (k == 0 && j == 0) || (k + 1 == outline->edge_count && j + 1 == edge->point_count);
            if (!can_mirror(reader, point))
                continue;
            if (side_of(point) < -MEETS)
                tw_reader_fault(reader, point->place, TW_ERR_SHAPE, NULL,
                                "give the + half only, or all of it without \"symmetric\"",
                                "with symmetric an outline stays on the + side");
            else if (end && side_of(point) > MEETS)
                tw_reader_fault(reader, point->place, TW_ERR_SHAPE, NULL,
                                "begin and end with a point of across 0",
                                "with symmetric an outline begins and ends on the centre line");
        }
    }
    if (outline->edge_count == 1 && !outline->edges[0].along_rim &&
        outline->edges[0].point_count < 3)
        tw_reader_fault(reader, outline->edges[0].place, TW_ERR_SHAPE, NULL, "add points between",
                        "half an outline has at least 3 points");
    return reader->errors.count == before;
}

/* An edge whose points from `first` to `last` (going down when first > last) are twins, then go on
 * with its own, or the other way round. */
static tw_edge_spec join(tw_reader *reader, const tw_edge_spec *edge, bool at_first, bool at_last)
{
    const size_t m = edge->point_count;
    tw_edge_spec whole = *edge;
    size_t n = 0;

    if (edge->along_rim)
        return whole;
    whole.points = tw_reader_array(reader, 2 * m, sizeof *whole.points);
    if (!whole.points)
        return whole;
    if (at_first && !at_last) /* twins from the far end to the centre line */
        for (size_t k = m; k-- > 1;)
            whole.points[n++] = twin_of(edge->points[k]);
    for (size_t k = 0; k < m; k++) {
        const bool centre = (at_first && k == 0) || (at_last && k + 1 == m);
        whole.points[n++] = centre ? on_centre(edge->points[k]) : edge->points[k];
    }
    if (at_last) /* twins from the centre line on; a closed edge does not repeat its first point */
        for (size_t k = m - 1; k-- > (at_first ? 1u : 0u);)
            whole.points[n++] = twin_of(edge->points[k]);
    whole.point_count = n;
    return whole;
}

static tw_edge_spec twin_of_edge(tw_reader *reader, const tw_edge_spec *edge)
{
    tw_edge_spec twin = *edge;

    twin.name = side_name(reader, edge->name, -1);
    if (edge->along_rim)
        return twin;
    twin.points = tw_reader_array(reader, edge->point_count, sizeof *twin.points);
    for (size_t k = 0; twin.points && k < edge->point_count; k++)
        twin.points[k] = twin_of(edge->points[edge->point_count - 1 - k]);
    return twin;
}

static void mirror_outline(tw_reader *reader)
{
    tw_outline_spec *outline = &reader->profile->outline;
    const size_t last = outline->edge_count - 1;
    tw_edge_spec *all;
    size_t n = 0;

    if (outline->kind == TW_OUTLINE_SHAPE) {
        const tw_point *at = &outline->shape.at;
        if (can_mirror(reader, at) && fabs(side_of(at)) > ON_CENTRE)
            tw_reader_fault(reader, at->place, TW_ERR_SHAPE, NULL, "put its middle at across 0",
                            "with symmetric an outline stands on the centre line");
    }
    if (outline->kind != TW_OUTLINE_EDGES || !check_half(reader, outline))
        return;
    all = tw_reader_array(reader, 2 * outline->edge_count, sizeof *all);
    if (!all)
        return;
    for (size_t k = 0; k <= last; k++) {
        all[n] = outline->edges[k];
        if (k == 0 || k == last)
            all[n] = join(reader, &outline->edges[k], k == 0, k == last);
        else
            all[n].name = side_name(reader, outline->edges[k].name, 1);
        n++;
    }
    for (size_t k = last; k-- > 1;)
        all[n++] = twin_of_edge(reader, &outline->edges[k]);
    outline->edges = all;
    outline->edge_count = n;
}

/* ---- what is said of edges ----------------------------------------------------------------- */

/* The names an edge's name stands for: itself, or the two it became. */
typedef struct side_names {
    const char *name[2];
    size_t count;
} side_names;

static side_names sides_of(tw_reader *reader, const char *name, bool both_given)
{
    const tw_profile *profile = reader->profile;
    side_names names = {{name, NULL}, 1};

    if (tw_edge_known(profile, name)) {
        if (profile->outline.kind != TW_OUTLINE_EDGES && !both_given &&
            strcmp(name, tw_profile_side(profile, 1)) == 0)
            names = (side_names){{name, tw_profile_side(profile, -1)}, 2};
        return names;
    }
    names.name[0] = side_name(reader, name, 1);
    names.name[1] = side_name(reader, name, -1);
    names.count = 2;
    if (!names.name[0] || !names.name[1] || !tw_edge_known(profile, names.name[0]))
        names = (side_names){{name, NULL}, 1}; /* tw_check_edges() will say it is unknown */
    return names;
}

static void mirror_edge_thicknesses(tw_reader *reader)
{
    tw_forged_spec *forged = &reader->profile->forged;
    tw_edge_thickness *all = tw_reader_array(reader, 2 * forged->edge_count, sizeof *all);
    bool both = false;
    size_t n = 0;

    for (size_t k = 0; k < forged->edge_count; k++)
        both = both || strcmp(forged->edges[k].edge, tw_profile_side(reader->profile, -1)) == 0;
    for (size_t k = 0; all && k < forged->edge_count; k++) {
        const side_names names = sides_of(reader, forged->edges[k].edge, both);
        for (size_t j = 0; j < names.count; j++) {
            all[n] = forged->edges[k];
            all[n++].edge = names.name[j];
        }
    }
    forged->edges = all;
    forged->edge_count = n;
}

static void mirror_turned(tw_reader *reader)
{
    tw_profile *profile = reader->profile;
    tw_turned_edge *all = tw_reader_array(reader, 2 * profile->turned_count, sizeof *all);
    bool both = false;
    size_t n = 0;

    for (size_t k = 0; k < profile->turned_count; k++)
        both = both || strcmp(profile->turned[k].edge, tw_profile_side(profile, -1)) == 0;
    for (size_t k = 0; all && k < profile->turned_count; k++) {
        const side_names names = sides_of(reader, profile->turned[k].edge, both);
        for (size_t j = 0; j < names.count; j++) {
            all[n] = profile->turned[k];
            all[n++].edge = names.name[j];
        }
    }
    profile->turned = all;
    profile->turned_count = n;
}

static bool zone_named(const tw_forged_spec *forged, const char *name)
{
    for (size_t k = 0; k < forged->strike_count; k++)
        if (strcmp(forged->strikes[k].name, name) == 0)
            return true;
    return false;
}

/* After the zones have their twins. */
static side_names sides_of_zone(tw_reader *reader, const char *name)
{
    const tw_forged_spec *forged = &reader->profile->forged;
    side_names names = {{name, NULL}, 1};

    if (zone_named(forged, name))
        return names;
    names.name[0] = side_name(reader, name, 1);
    names.name[1] = side_name(reader, name, -1);
    if (names.name[0] && names.name[1] && zone_named(forged, names.name[0]))
        names.count = 2;
    else
        names.name[0] = name; /* tw_check_keeps() will say it is unknown */
    return names;
}

static void mirror_keeps(tw_reader *reader)
{
    tw_plan_spec *plan = &reader->profile->plan;
    tw_plan_keep *all = tw_reader_array(reader, 2 * plan->keep_count, sizeof *all);
    bool both = false;
    size_t n = 0;

    for (size_t k = 0; k < plan->keep_count; k++)
        both = both || (plan->keeps[k].edge &&
                        strcmp(plan->keeps[k].edge, tw_profile_side(reader->profile, -1)) == 0);
    for (size_t k = 0; all && k < plan->keep_count; k++) {
        const tw_plan_keep *keep = &plan->keeps[k];
        const side_names names =
            keep->strike ? sides_of_zone(reader, keep->strike) : sides_of(reader, keep->edge, both);
        for (size_t j = 0; j < names.count; j++, n++) {
            all[n] = *keep;
            *(keep->strike ? &all[n].strike : &all[n].edge) = names.name[j];
        }
    }
    plan->keeps = all;
    plan->keep_count = n;
}

void tw_mirror_profile(tw_reader *reader)
{
    mirror_outline(reader);
    if (reader->errors.count > 0 || reader->no_memory)
        return;
    mirror_strikes(reader);
    mirror_holes(reader);
    mirror_edge_thicknesses(reader);
    mirror_turned(reader);
    mirror_keeps(reader);
}
