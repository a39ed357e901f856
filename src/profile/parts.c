/*
 * parts.c: readers of what a plate has beside its form: metal, outline, thickness, turned edges,
 * holes, checks. Each fills one map or list; what ties them together is in check.c.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- material ------------------------------------------------------------------------------ */

static void unknown_material(tw_reader *reader, tw_place place, const char *name)
{
    const char *near = tw_material_nearest(name);
    char advice[160];

    if (near)
        snprintf(advice, sizeof advice,
                 "did you mean \"%s\"? Another metal takes {name: …, density: … kg/m3}", near);
    else
        snprintf(advice, sizeof advice,
                 "write {name: %.24s, density: … kg/m3}; known: steels, wrought iron, titanium, "
                 "aluminium, brass, copper",
                 name);
    tw_reader_fault(reader, place, TW_ERR_KEY, name, advice, "unknown material \"%s\"", name);
}

void tw_read_material(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_material_keys keys = {NULL, NAN, NAN, {0, 0}};
    tw_profile *profile = reader->profile;

    (void)target;
    if (node->kind == TW_NODE_MAP) {
        tw_read_map(reader, node, key->inside, "material", &keys);
    } else {
        if (!tw_read_line(reader, node, key->name))
            return;
        keys.name = node->text;
    }
    if (!keys.name)
        return;
    reader->metal = tw_material_find(keys.name);
    if (!reader->metal && keys.density_place.line == 0) {
        unknown_material(reader, node->place, keys.name);
        return;
    }
    profile->material = reader->metal ? reader->metal->name : keys.name;
    profile->density = reader->metal ? reader->metal->density : 0;
    profile->density_uncertainty = reader->metal ? reader->metal->density_uncertainty : 0;
    if (!isnan(keys.density))
        profile->density = keys.density;
    if (!isnan(keys.uncertainty))
        profile->density_uncertainty = keys.uncertainty;
    if (!isnan(keys.uncertainty) && keys.uncertainty >= profile->density && profile->density > 0)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "give the standard uncertainty, as 30 kg/m3",
                        "the density's uncertainty is as large as the density");
}

/* ---- outline ------------------------------------------------------------------------------- */

static void read_edges(tw_reader *reader, const tw_node *node)
{
    tw_outline_spec *outline = &reader->profile->outline;
    tw_edge_spec *edges =
        tw_read_list(reader, node, "outline", sizeof *edges, &outline->edge_count);
    size_t n = 0;

    if (!edges)
        return;
    outline->kind = TW_OUTLINE_EDGES;
    outline->edges = edges;
    if (outline->edge_count == 0)
        tw_reader_fault(reader, node->place, TW_ERR_SHAPE, NULL, "write \"outline: rim\"",
                        "the outline has no edge");
    for (const tw_node *child = node->first; child; child = child->next, n++) {
        tw_edge_keys keys = {.edge = {.name = NULL}};
        edges[n].place = child->place;
        if (!tw_read_map(reader, child, TW_GROUP_EDGE, "edge", &keys))
            continue;
        edges[n] = keys.edge;
        edges[n].place = child->place;
        edges[n].along_rim = keys.along_place.line != 0;
        if (!edges[n].name)
            edges[n].name = tw_reader_text(reader, "edge %zu", n + 1);
        if (edges[n].along_rim && keys.points_place.line != 0)
            tw_reader_fault(reader, keys.along_place, TW_ERR_KEY, NULL, "leave out one of the two",
                            "an edge has points or goes along the rim, not both");
        else if (!edges[n].along_rim && keys.points_place.line == 0)
            tw_reader_fault(reader, child->place, TW_ERR_KEY, NULL,
                            "add \"points: [[across, up], …]\" or \"along: rim\"",
                            "an edge lacks its points");
        else if (edges[n].points && edges[n].point_count < 2)
            tw_reader_fault(reader, keys.points_place, TW_ERR_SHAPE, NULL, NULL,
                            "an edge has at least 2 points, not %zu", edges[n].point_count);
    }
}

void tw_read_outline(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    static const char advice[] = "write rim, {rectangle: {at, across, up}}, {ellipse: …} or a list";
    tw_outline_spec *outline = &reader->profile->outline;
    const size_t before = reader->errors.count;
    const bool in_doubt = reader->outline_in_doubt;

    (void)target;
    outline->place = node->place;
    if (node->kind == TW_NODE_LIST) {
        read_edges(reader, node);
    } else if (node->kind == TW_NODE_MAP) {
        outline->kind = TW_OUTLINE_SHAPE;
        tw_read_map(reader, node, key->inside, "outline", &outline->shape);
        if (node->count != 1)
            tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, advice,
                            "an outline is one rectangle or one ellipse");
    } else if (strcmp(node->text, "rim") != 0) {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, node->text, advice, "\"%s\" is no outline",
                        node->text);
    }
    reader->outline_in_doubt = in_doubt || reader->errors.count > before;
}

/* ---- thickness ----------------------------------------------------------------------------- */

void tw_read_inside(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    (void)target;
    if (node->kind == TW_NODE_TEXT && node->text[0] != '\0')
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write {sheet: …} for an even sheet, {forged: …} or {readings: …}",
                        "%s takes sheet, forged, readings or several of them", key->name);
    else
        tw_read_map(reader, node, key->inside, key->name, reader->profile);
}

void tw_read_strikes(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_forged_keys *keys = target;
    tw_strike *strikes =
        tw_read_list(reader, node, key->name, sizeof *strikes, &keys->forged.strike_count);
    size_t n = 0;

    keys->forged.strikes = strikes;
    if (!strikes)
        return;
    for (const tw_node *child = node->first; child; child = child->next, n++) {
        tw_strike_keys strike = {.strike = {.name = NULL}};
        const size_t before = reader->errors.count;
        tw_shape_keys_init(&strike.shape);
        if (tw_read_map(reader, child, key->inside, "strike zone", &strike) &&
            reader->errors.count == before)
            tw_shape_from_keys(reader, &strike.shape, "strike zone", child->place,
                               &strike.strike.shape);
        strikes[n] = strike.strike;
        strikes[n].place = child->place;
        if (!strikes[n].name)
            strikes[n].name = tw_reader_text(reader, "strike %zu", n + 1);
    }
}

void tw_read_edge_thicknesses(tw_reader *reader, const tw_node *node, const tw_key *key,
                              void *target)
{
    tw_forged_keys *keys = target;
    tw_edge_thickness *edges =
        tw_read_list(reader, node, key->name, sizeof *edges, &keys->forged.edge_count);

    keys->forged.edges = edges;
    for (const tw_node *child = node->first; edges && child; child = child->next)
        tw_read_map(reader, child, key->inside, "edge", edges++);
}

void tw_read_forged(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_forged_keys keys = {.forged = {.law = TW_LAW_STRAIGHT, .band = TW_BAND_USUAL}};
    tw_profile *profile = reader->profile;

    (void)target;
    if (!tw_read_map(reader, node, key->inside, "forged", &keys))
        return;
    profile->has_forged = true;
    profile->forged = keys.forged;
    profile->forged.place = node->place;
    if (!tw_tree_find(node, "strike") && !tw_tree_find(node, "edges"))
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                        "add \"strike:\", a list of zones, or \"edges:\", a list of edges",
                        "a forged taper has neither strike zones nor edges");
    if (keys.band_place.line != 0 && keys.forged.law != TW_LAW_HELD)
        tw_reader_fault(reader, keys.band_place, TW_ERR_KEY, NULL,
                        "write \"law: held\", or leave band out", "a band goes with law held only");
}

/* ---- lists of small things ----------------------------------------------------------------- */

void tw_read_turned(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_profile *profile = reader->profile;
    tw_turned_edge *edges =
        tw_read_list(reader, node, key->name, sizeof *edges, &profile->turned_count);

    (void)target;
    profile->turned = edges;
    for (const tw_node *child = node->first; edges && child; child = child->next, edges++) {
        if (tw_read_map(reader, child, key->inside, "turned edge", edges) && edges->roll > 0 &&
            edges->wire >= edges->roll)
            tw_reader_fault(reader, child->place, TW_ERR_DOMAIN, NULL,
                            "roll is the outside diameter, wire and metal included",
                            "the wire is as thick as the roll round it");
    }
}

void tw_read_flutes(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_profile *profile = reader->profile;
    tw_flutes_spec *flutes =
        tw_read_list(reader, node, key->name, sizeof *flutes, &profile->flutes_count);

    (void)target;
    profile->flutes = flutes;
    for (const tw_node *child = node->first; flutes && child; child = child->next, flutes++) {
        flutes->place = child->place;
        if (tw_read_map(reader, child, key->inside, "flutes", flutes) && flutes->over > 0 &&
            flutes->straight > 0 && flutes->over <= flutes->straight)
            tw_reader_fault(reader, child->place, TW_ERR_DOMAIN, NULL,
                            "over is the tape pressed into every groove, straight over the ridges",
                            "flutes measure no more over than straight, so they add no metal");
    }
}

void tw_read_holes(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_profile *profile = reader->profile;
    tw_shape *holes = tw_read_list(reader, node, key->name, sizeof *holes, &profile->hole_count);

    (void)target;
    profile->holes = holes;
    for (const tw_node *child = node->first; holes && child; child = child->next, holes++) {
        const size_t before = reader->errors.count;
        tw_shape_keys keys;
        tw_shape_keys_init(&keys);
        if (tw_read_map(reader, child, key->inside, "hole", &keys) &&
            reader->errors.count == before)
            tw_shape_from_keys(reader, &keys, "hole", child->place, holes);
    }
}

void tw_read_checks(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_profile *profile = reader->profile;
    tw_tape_check *checks =
        tw_read_list(reader, node, key->name, sizeof *checks, &profile->check_count);

    (void)target;
    profile->checks = checks;
    for (const tw_node *child = node->first; checks && child; child = child->next, checks++) {
        tw_read_map(reader, child, key->inside, "check", checks);
        checks->place = child->place;
    }
}
