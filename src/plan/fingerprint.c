/*
 * fingerprint.c: a short number for what is to be made, so that a log of one plate is not continued with
 * readings of another. FNV-1a of 64 bits (Fowler, Noll and Vo; offset basis and prime from memory)
 * over the numbers of the profile that settle the wanted thickness, in a fixed order: doubles as their
 * bits, lowest byte first, counts before what they count. Text of the file, comments, notes, and the
 * names of zones and edges are not in it; where a name says which edge or zone is meant, its place in the
 * list is. It tells apart what differs by oversight, and is no proof against intent.
 */
#include "plan_internal.h"

#include <math.h>
#include <string.h>

static void add_bytes(uint64_t *hash, uint64_t value)
{
    for (int k = 0; k < 8; k++) {
        *hash ^= (value >> (8 * k)) & 0xff;
        *hash *= UINT64_C(0x100000001b3);
    }
}

static void add_count(uint64_t *hash, size_t count)
{
    add_bytes(hash, (uint64_t)count);
}

/* One bit pattern for each number: no −0, one NaN. */
static void add(uint64_t *hash, double value)
{
    uint64_t bits;

    if (isnan(value)) {
        add_bytes(hash, UINT64_C(0x7ff8000000000000));
        return;
    }
    value += 0.0;
    memcpy(&bits, &value, sizeof bits);
    add_bytes(hash, bits);
}

static void add_all(uint64_t *hash, const double *values, size_t count)
{
    for (size_t k = 0; k < count; k++)
        add(hash, values[k]);
}

/* A name that nothing is found by: its letters. */
static void add_text(uint64_t *hash, const char *text)
{
    for (; text && *text; text++)
        add_bytes(hash, (unsigned char)*text);
    add_bytes(hash, 256);
}

/* Which edge of the outline a name means: all, one of the list by its place, else by its letters (the
 * sides of a shape have fixed names). */
static void add_edge(uint64_t *hash, const tw_profile *profile, const char *name)
{
    const tw_outline_spec *outline = &profile->outline;

    for (size_t k = 0; name && outline->kind == TW_OUTLINE_EDGES && k < outline->edge_count; k++)
        if (strcmp(outline->edges[k].name, name) == 0) {
            add_count(hash, k);
            return;
        }
    add_text(hash, name);
}

static void add_strike_name(uint64_t *hash, const tw_profile *profile, const char *name)
{
    for (size_t k = 0; name && k < profile->forged.strike_count; k++)
        if (strcmp(profile->forged.strikes[k].name, name) == 0) {
            add_count(hash, k);
            return;
        }
    add_text(hash, name);
}

static void add_point(uint64_t *hash, const tw_profile *profile, const tw_point *point)
{
    add_count(hash, (size_t)point->kind);
    add_all(hash, point->value, 3);
    if (point->kind == TW_POINT_EDGE)
        add_edge(hash, profile, point->edge);
}

static void add_shape(uint64_t *hash, const tw_profile *profile, const tw_shape *shape)
{
    add_count(hash, (size_t)shape->kind);
    if (shape->kind != TW_SHAPE_POLYGON && shape->kind != TW_SHAPE_LINE) {
        add_point(hash, profile, &shape->at);
        add(hash, shape->across);
        add(hash, shape->up);
    }
    add(hash, shape->width);
    add_count(hash, shape->point_count);
    for (size_t k = 0; k < shape->point_count; k++)
        add_point(hash, profile, &shape->points[k]);
}

/* ---- parts of a profile -------------------------------------------------------------------------- */

static void add_loft(uint64_t *hash, const tw_loft_spec *loft)
{
    add_count(hash, loft->station_count);
    for (size_t k = 0; k < loft->station_count; k++) {
        const tw_station *station = &loft->stations[k];
        const double values[] = {station->ruler, station->width, station->centre, station->sides,
                                 station->tape};
        add_all(hash, values, sizeof values / sizeof *values);
        add_count(hash, station->height_count);
        for (size_t j = 0; j < station->height_count; j++)
            add_all(hash, station->heights[j], 2);
    }
    add(hash, loft->keel_stands);
    add(hash, loft->keel_width);
}

static void add_form(uint64_t *hash, const tw_profile *profile)
{
    const tw_bowl_spec *bowl = &profile->bowl;
    const tw_points_spec *points = &profile->points;
    const double sizes[] = {bowl->across, bowl->up, bowl->depth, bowl->over_across, bowl->over_up};

    add_count(hash, (size_t)profile->form);
    switch (profile->form) {
    case TW_FORM_NONE:
    case TW_FORM_FLAT:
        break;
    case TW_FORM_BOWL:
        add_count(hash, (size_t)bowl->profile);
        add_all(hash, sizes, sizeof sizes / sizeof *sizes);
        break;
    case TW_FORM_LOFT:
        add_loft(hash, &profile->loft);
        break;
    case TW_FORM_POINTS:
        add_count(hash, points->row_count);
        for (size_t k = 0; k < points->row_count; k++) {
            add(hash, points->rows[k].y);
            add_count(hash, points->rows[k].count);
        }
        for (size_t k = 0; k < points->point_count; k++)
            add_all(hash, points->points[k], 2);
        add_all(hash, points->origin, 3);
        break;
    }
    add_count(hash, (size_t)profile->face);
}

static void add_outline(uint64_t *hash, const tw_profile *profile)
{
    const tw_outline_spec *outline = &profile->outline;

    add_count(hash, (size_t)outline->kind);
    if (outline->kind == TW_OUTLINE_SHAPE)
        add_shape(hash, profile, &outline->shape);
    add_count(hash, outline->kind == TW_OUTLINE_EDGES ? outline->edge_count : 0);
    for (size_t k = 0; outline->kind == TW_OUTLINE_EDGES && k < outline->edge_count; k++) {
        const tw_edge_spec *edge = &outline->edges[k];
        add_count(hash, (size_t)edge->smooth);
        add_count(hash, (size_t)edge->along_rim);
        add(hash, edge->corner);
        add_count(hash, edge->point_count);
        for (size_t j = 0; j < edge->point_count; j++)
            add_point(hash, profile, &edge->points[j]);
    }
    add_count(hash, profile->hole_count);
    for (size_t k = 0; k < profile->hole_count; k++)
        add_shape(hash, profile, &profile->holes[k]);
}

static void add_forged(uint64_t *hash, const tw_profile *profile)
{
    const tw_forged_spec *forged = &profile->forged;

    add_count(hash, forged->strike_count);
    for (size_t k = 0; k < forged->strike_count; k++) {
        add_shape(hash, profile, &forged->strikes[k].shape);
        add(hash, forged->strikes[k].thickness);
        add(hash, forged->strikes[k].hold);
    }
    add_count(hash, forged->edge_count);
    for (size_t k = 0; k < forged->edge_count; k++) {
        add_edge(hash, profile, forged->edges[k].edge);
        add(hash, forged->edges[k].thickness);
        add(hash, forged->edges[k].hold);
    }
    add_count(hash, (size_t)forged->law);
    add(hash, forged->law == TW_LAW_HELD ? forged->band : 0);
}

/* "strike.NAME" or "edges.NAME". */
static void add_by(uint64_t *hash, const tw_profile *profile, const char *by)
{
    if (by && strncmp(by, "strike.", 7) == 0)
        add_strike_name(hash, profile, by + 7);
    else if (by && strncmp(by, "edges.", 6) == 0)
        add_edge(hash, profile, by + 6);
    else
        add_text(hash, by);
}

static void add_plan(uint64_t *hash, const tw_profile *profile)
{
    const tw_plan_spec *plan = &profile->plan;
    const double values[] = {plan->least, plan->grade, plan->within, plan->weight};

    add_all(hash, values, sizeof values / sizeof *values);
    add_by(hash, profile, plan->by);
    add_count(hash, plan->keep_count);
    for (size_t k = 0; k < plan->keep_count; k++) {
        if (plan->keeps[k].strike)
            add_strike_name(hash, profile, plan->keeps[k].strike);
        else
            add_edge(hash, profile, plan->keeps[k].edge);
        add(hash, plan->keeps[k].least);
    }
}

char *tw_goal_fingerprint(const tw_goal *goal, char out[17])
{
    static const char digits[] = "0123456789abcdef";
    const tw_profile *profile = goal->plate->profile;
    const tw_losses_spec *losses = &profile->losses;
    const double lost[] = {losses->scale.value, losses->polish.value, losses->trim.value};
    uint64_t hash = UINT64_C(0xcbf29ce484222325);

    add_form(&hash, profile);
    add_outline(&hash, profile);
    add_forged(&hash, profile);
    add_count(&hash, (size_t)goal->planned);
    if (goal->planned)
        add_plan(&hash, profile);
    add_count(&hash, losses->heats);
    add_all(&hash, lost, sizeof lost / sizeof *lost);
    add(&hash, profile->density);
    for (int k = 0; k < 16; k++)
        out[k] = digits[(hash >> (60 - 4 * k)) & 0xf];
    out[16] = '\0';
    return out;
}
