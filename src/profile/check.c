/*
 * check.c: what depends on several keys but needs no geometry: is there a form or an area, do names
 * mean one thing, does each edge named exist.
 */
#include "profile_internal.h"

#include <stdio.h>
#include <string.h>

/* ---- edge names ---------------------------------------------------------------------------- */

static const char *const four_sides[] = {"lower", "right", "upper", "left"};

static bool has_four_sides(const tw_profile *profile)
{
    return profile->outline.kind == TW_OUTLINE_SHAPE
               ? profile->outline.shape.kind == TW_SHAPE_RECTANGLE
               : profile->form == TW_FORM_LOFT || profile->form == TW_FORM_POINTS;
}

size_t tw_edge_count(const tw_profile *profile)
{
    if (profile->outline.kind == TW_OUTLINE_EDGES)
        return profile->outline.edge_count;
    return has_four_sides(profile) ? 4 : 1;
}

const char *tw_edge_name(const tw_profile *profile, size_t edge)
{
    if (profile->outline.kind == TW_OUTLINE_EDGES)
        return profile->outline.edges[edge].name ? profile->outline.edges[edge].name : "";
    return has_four_sides(profile) ? four_sides[edge] : "rim";
}

bool tw_edge_known(const tw_profile *profile, const char *name)
{
    for (size_t k = 0; k < tw_edge_count(profile); k++)
        if (strcmp(tw_edge_name(profile, k), name) == 0)
            return true;
    return false;
}

void tw_edge_unknown(tw_reader *reader, tw_place place, const char *name)
{
    const tw_profile *profile = reader->profile;
    const size_t count = tw_edge_count(profile);
    const char **names = tw_reader_array(reader, count, sizeof *names);
    const char *near;
    char advice[160];
    size_t used = 0;

    if (!names)
        return;
    for (size_t k = 0; k < count; k++)
        names[k] = tw_edge_name(profile, k);
    near = tw_nearest_word(name, names, count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
    else
        for (size_t k = 0; k < count && used < sizeof advice; k++)
            used += (size_t)snprintf(advice + used, sizeof advice - used, "%s%s",
                                     k ? ", " : "the outline has: ", names[k]);
    tw_reader_fault(reader, place, TW_ERR_KEY, name, advice, "the outline has no edge \"%s\"",
                    name);
}

/* ---- names that must be one of a kind ------------------------------------------------------ */

void tw_check_unique(tw_reader *reader, const char *what, const char *name, tw_place place,
                     const char *other, tw_place first)
{
    if (!name || !other || strcmp(name, other) != 0)
        return;
    if (first.line > 0)
        tw_reader_fault(reader, place, TW_ERR_KEY, name, "give each its own",
                        "%s \"%s\" is there twice, first in line %d", what, name, first.line);
    else
        tw_reader_fault(reader, place, TW_ERR_KEY, name, "give each its own",
                        "%s \"%s\" is there twice", what, name);
}

/* Lists of named things are compared pair by pair, holes against all others, and a section is worked
 * out at every station, so a hostile length is refused. */
enum { NAMED_MAX = 200, HOLES_MAX = 1000 };

/* `first` is the first place of a list whose items are `size` bytes apart; the error stands at the
 * first item too many. */
static bool check_length(tw_reader *reader, const char *what, size_t count, size_t most,
                         const tw_place *first, size_t size)
{
    tw_place place;

    if (count <= most)
        return true;
    memcpy(&place, (const char *)first + most * size, sizeof place);
    if (place.line != 0 || reader->errors.count == 0) /* 0: it could not be read, which was told */
        tw_reader_fault(reader, place, TW_ERR_LIMIT, NULL, NULL, "more than %zu %s", most, what);
    return false;
}

#define CHECK_LENGTH(what, count, most, items) \
    (!(items) || check_length(reader, what, count, most, &(items)->place, sizeof *(items)))

void tw_check_names(tw_reader *reader)
{
    const tw_profile *profile = reader->profile;
    const tw_outline_spec *outline = &profile->outline;
    const tw_forged_spec *forged = &profile->forged;

    if (CHECK_LENGTH("edges", outline->edge_count, NAMED_MAX, outline->edges))
        for (size_t k = 0; k < outline->edge_count; k++) {
            const tw_edge_spec *edge = &outline->edges[k];
            if (edge->name && strcmp(edge->name, "all") == 0)
                tw_reader_fault(reader, edge->place, TW_ERR_KEY, "all", "give it another name",
                                "\"all\" means every edge and cannot name one");
            for (size_t j = 0; j < k; j++)
                tw_check_unique(reader, "edge", edge->name, edge->place, outline->edges[j].name,
                                outline->edges[j].place);
        }
    if (CHECK_LENGTH("strike zones", forged->strike_count, NAMED_MAX, forged->strikes))
        for (size_t k = 0; forged->strikes && k < forged->strike_count; k++)
            for (size_t j = 0; j < k; j++)
                tw_check_unique(reader, "strike zone", forged->strikes[k].name,
                                forged->strikes[k].place, forged->strikes[j].name,
                                forged->strikes[j].place);
    if (CHECK_LENGTH("edges", forged->edge_count, NAMED_MAX, forged->edges))
        for (size_t k = 0; forged->edges && k < forged->edge_count; k++)
            for (size_t j = 0; j < k; j++)
                tw_check_unique(reader, "edge", forged->edges[k].edge, forged->edges[k].place,
                                forged->edges[j].edge, forged->edges[j].place);
    if (CHECK_LENGTH("turned edges", profile->turned_count, NAMED_MAX, profile->turned))
        for (size_t k = 0; profile->turned && k < profile->turned_count; k++)
            for (size_t j = 0; j < k; j++)
                tw_check_unique(reader, "turned edge", profile->turned[k].edge,
                                profile->turned[k].place, profile->turned[j].edge,
                                profile->turned[j].place);
    (void)CHECK_LENGTH("zones and edges to keep", profile->plan.keep_count, NAMED_MAX,
                       profile->plan.keeps);
    (void)CHECK_LENGTH("bands of flutes", profile->flutes_count, NAMED_MAX, profile->flutes);
    (void)CHECK_LENGTH("stations", profile->loft.station_count, NAMED_MAX, profile->loft.stations);
    (void)CHECK_LENGTH("holes", profile->hole_count, HOLES_MAX, profile->holes);
}

static void check_edge_name(tw_reader *reader, const char *name, tw_place place)
{
    if (name && strcmp(name, "all") != 0 && !tw_edge_known(reader->profile, name))
        tw_edge_unknown(reader, place, name);
}

/* ---- points -------------------------------------------------------------------------------- */

static void check_point(tw_reader *reader, const tw_point *point)
{
    if (point->kind == TW_POINT_EDGE && !tw_edge_known(reader->profile, point->edge))
        tw_edge_unknown(reader, point->place, point->edge);
    if (point->kind == TW_POINT_CROWN && reader->profile->form != TW_FORM_BOWL)
        tw_reader_fault(reader, point->place, TW_ERR_KEY, NULL, "write [across, up]",
                        "only a bowl has a crown to tape from");
}

static void check_shape(tw_reader *reader, const tw_shape *shape)
{
    check_point(reader, &shape->at);
    for (size_t k = 0; k < shape->point_count; k++)
        check_point(reader, &shape->points[k]);
}

/* The outline's own points make the edges, so they cannot be measured from one. */
static void check_outline_point(tw_reader *reader, const tw_point *point)
{
    if (point->kind == TW_POINT_EDGE)
        tw_reader_fault(reader, point->place, TW_ERR_KEY, point->edge, "write [across, up]",
                        "a point of the outline cannot be measured from an edge");
    else
        check_point(reader, point);
}

void tw_check_edges(tw_reader *reader)
{
    const tw_profile *profile = reader->profile;
    const tw_outline_spec *outline = &profile->outline;
    const tw_forged_spec *forged = &profile->forged;

    if (outline->kind == TW_OUTLINE_SHAPE)
        check_outline_point(reader, &outline->shape.at);
    for (size_t k = 0; k < outline->edge_count; k++)
        for (size_t j = 0; j < outline->edges[k].point_count; j++)
            check_outline_point(reader, &outline->edges[k].points[j]);
    for (size_t k = 0; forged->strikes && k < forged->strike_count; k++)
        check_shape(reader, &forged->strikes[k].shape);
    for (size_t k = 0; forged->edges && k < forged->edge_count; k++)
        check_edge_name(reader, forged->edges[k].edge, forged->edges[k].place);
    for (size_t k = 0; profile->turned && k < profile->turned_count; k++)
        check_edge_name(reader, profile->turned[k].edge, profile->turned[k].place);
    for (size_t k = 0; profile->holes && k < profile->hole_count; k++)
        check_shape(reader, &profile->holes[k]);
    for (size_t k = 0; profile->checks && k < profile->check_count; k++) {
        check_point(reader, &profile->checks[k].from);
        check_point(reader, &profile->checks[k].to);
    }
    for (size_t k = 0; k < profile->readings.reading_count && profile->form != TW_FORM_NONE; k++) {
        tw_readings_turn(reader, &profile->readings.readings[k]);
        check_point(reader, &profile->readings.readings[k].at);
    }
    tw_readings_turn(reader, NULL);
}

/* ---- form, outline, area ------------------------------------------------------------------- */

static void check_form(tw_reader *reader)
{
    static const char outline_advice[] =
        "write \"outline: {ellipse: {at: [0, 0], across: …, up: …}}\" or a list of edges";
    const tw_profile *profile = reader->profile;
    const tw_node *form = tw_tree_find(reader->root, "form");
    const tw_node *area = tw_tree_find(reader->root, "area");
    const tw_node *paper = tw_tree_find(reader->root, "paper");

    if (area && paper)
        tw_reader_fault(reader, paper->key_place, TW_ERR_KEY, NULL, "leave out one of the two",
                        "the area is given twice, as area and by paper");
    if (form && (area || paper)) {
        const tw_node *twice = area ? area : paper;
        tw_reader_fault(reader, twice->key_place, TW_ERR_KEY, NULL, "leave out one of the two",
                        "the form gives the area already");
    }
    if (!form && !area && !paper)
        tw_reader_fault(reader, reader->root->place, TW_ERR_KEY, NULL,
                        "add \"form: flat\", {bowl: …}, {loft: …}, {points: …} or {heights: …}, or "
                        "\"area: 12 dm2\"",
                        "the plate has neither a form nor an area");
    if (!form && (area || paper)) {
        static const char *const of_a_form[] = {"outline", "holes", "checks", "symmetric",
                                                "flutes"};
        for (size_t k = 0; k < sizeof of_a_form / sizeof *of_a_form; k++) {
            const tw_node *lost = tw_tree_find(reader->root, of_a_form[k]);
            if (lost)
                tw_reader_fault(reader, lost->key_place, TW_ERR_KEY, NULL,
                                "give a form, or leave it out", "%s needs a form", lost->key);
        }
        if (profile->has_forged)
            tw_reader_fault(reader, profile->forged.place, TW_ERR_KEY, NULL,
                            "give a form, or leave it out", "forged needs a form");
        if (profile->has_image)
            tw_reader_fault(reader, profile->image.picture.place, TW_ERR_KEY, NULL,
                            "give a form, or leave it out", "an image needs a form");
        if (profile->has_readings)
            tw_reader_fault(reader, profile->readings.place, TW_ERR_KEY, NULL,
                            "give a form, or leave them out", "readings need a form");
    }
    if (profile->form != TW_FORM_FLAT || reader->outline_in_doubt)
        return;
    if (profile->outline.kind == TW_OUTLINE_RIM)
        tw_reader_fault(reader, profile->outline.place.line ? profile->outline.place : form->place,
                        TW_ERR_SHAPE, NULL, outline_advice,
                        "a flat form has no rim of its own: it needs an outline");
    for (size_t k = 0; k < profile->outline.edge_count; k++)
        if (profile->outline.edges[k].along_rim)
            tw_reader_fault(reader, profile->outline.edges[k].place, TW_ERR_SHAPE, NULL,
                            "give the edge its points", "a flat form has no rim to follow");
}

static void check_holds(tw_reader *reader)
{
    const tw_forged_spec *forged = &reader->profile->forged;

    for (size_t k = 0; forged->edges && k < forged->edge_count; k++)
        if (forged->law == TW_LAW_HELD && forged->edges[k].hold >= forged->band)
            tw_reader_fault(reader, forged->edges[k].place, TW_ERR_DOMAIN, NULL,
                            "make the band wider than the hold",
                            "the edge is held %g mm, as far as the band of %g mm",
                            forged->edges[k].hold, forged->band);
}

void tw_check_profile(tw_reader *reader)
{
    check_form(reader);
    check_holds(reader);
    tw_check_names(reader);
}
