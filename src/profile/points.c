/*
 * points.c: points on the plate and the closed shapes they make: which keys were given decides the
 * kind, and keys that do not go together are told.
 */
#include "profile_internal.h"

#include <math.h>
#include <string.h>

/* ---- points -------------------------------------------------------------------------------- */

/* [across, up] */
static bool read_tape(tw_reader *reader, const tw_node *node, const char *what, tw_point *out)
{
    bool whole;

    if (node->count != 2) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, NULL,
                        node->count == 3 || node->count == 4
                            ? "write [across, up], with points for decimals"
                            : "write [across, up]",
                        "%s takes two lengths, not %zu", what, node->count);
        return false;
    }
    out->kind = TW_POINT_TAPE;
    whole = tw_value_number(reader, node->first, "across", TW_NUMBER_POSITION, &out->value[0]);
    return tw_value_number(reader, node->last, "up", TW_NUMBER_POSITION, &out->value[1]) && whole;
}

static bool read_keyed(tw_reader *reader, const tw_node *node, const char *what, tw_point *out)
{
    tw_point_keys keys = {NULL, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    const size_t before = reader->errors.count;

    if (!tw_read_map(reader, node, TW_GROUP_POINT, what, &keys) || reader->errors.count > before)
        return false;
    if (keys.edge && !isnan(keys.along) && node->count == (isnan(keys.in) ? 2u : 3u)) {
        out->kind = TW_POINT_EDGE;
        out->edge = keys.edge;
        out->value[0] = keys.along;
        out->value[1] = isnan(keys.in) ? 0 : keys.in;
    } else if (!isnan(keys.x) && !isnan(keys.y) && !isnan(keys.z) && node->count == 3) {
        out->kind = TW_POINT_SPACE;
        out->value[0] = keys.x;
        out->value[1] = keys.y;
        out->value[2] = keys.z;
        tw_scan_shift(reader, out);
    } else if (!isnan(keys.crown) && !isnan(keys.toward) && node->count == 2) {
        out->kind = TW_POINT_CROWN;
        out->value[0] = keys.crown;
        out->value[1] = keys.toward;
    } else {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                        "write [across, up], {edge, along, in}, {x, y, z} or {from crown, toward}",
                        "these keys make no point");
        return false;
    }
    if (out->kind == TW_POINT_CROWN && out->value[0] < 0) {
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "give the length as it reads, and turn \"toward\" by 180 deg",
                        "from crown is below zero");
        return false;
    }
    return true;
}

bool tw_value_point(tw_reader *reader, const tw_node *node, const char *what, tw_point *out)
{
    out->place = node->place;
    if (node->kind == TW_NODE_LIST)
        return read_tape(reader, node, what, out);
    if (node->kind == TW_NODE_MAP)
        return read_keyed(reader, node, what, out);
    tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text, "write [across, up]",
                    "%s takes a point", what);
    return false;
}

void tw_read_point(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_value_point(reader, node, key->name, target);
}

void tw_read_points(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    size_t count = 0, n = 0;
    tw_point *points = tw_read_list(reader, node, key->name, sizeof *points, &count);

    if (!points)
        return;
    for (const tw_node *child = node->first; child; child = child->next)
        tw_value_point(reader, child, "a point", &points[n++]);
    *(tw_point **)target = points;
    *(size_t *)(void *)((char *)target - key->where + key->detail) = count;
}

/* ---- shapes -------------------------------------------------------------------------------- */

void tw_read_shape(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_shape *shape = target;

    tw_read_map(reader, node, key->inside, key->name, shape);
    shape->kind = (tw_shape_kind)key->detail;
    shape->place = node->place;
}

void tw_shape_keys_init(tw_shape_keys *keys)
{
    memset(keys, 0, sizeof *keys);
    keys->radius = keys->across = keys->up = keys->width = NAN;
}

void tw_shape_from_keys(tw_reader *reader, const tw_shape_keys *keys, const char *what,
                        tw_place place, tw_shape *out)
{
    const bool at = keys->at_place.line != 0, points = keys->points_place.line != 0;
    const bool line = keys->line_place.line != 0, rectangle = keys->rectangle.place.line != 0;
    const bool radius = !isnan(keys->radius), width = !isnan(keys->width);
    const bool across = !isnan(keys->across), up = !isnan(keys->up);
    const bool halves = across || up;
    const char *wrong = NULL;

    if (at && radius && !points && !line && !rectangle && !halves && !width) {
        out->kind = TW_SHAPE_DISC;
        out->at = keys->at;
        out->across = out->up = keys->radius;
    } else if (at && across && up && !points && !line && !rectangle && !radius && !width) {
        out->kind = TW_SHAPE_ELLIPSE;
        out->at = keys->at;
        out->across = keys->across;
        out->up = keys->up;
    } else if (points && !at && !line && !rectangle && !radius && !halves && !width) {
        out->kind = TW_SHAPE_POLYGON;
        out->points = keys->points;
        out->point_count = keys->point_count;
        if (keys->points && keys->point_count < 3)
            tw_reader_fault(reader, keys->points_place, TW_ERR_SHAPE, NULL, NULL,
                            "a polygon has at least 3 points, not %zu", keys->point_count);
    } else if (line && width && !at && !points && !rectangle && !radius && !halves) {
        out->kind = TW_SHAPE_LINE;
        out->points = keys->line;
        out->point_count = keys->line_count;
        out->width = keys->width;
        if (keys->line && keys->line_count < 2)
            tw_reader_fault(reader, keys->line_place, TW_ERR_SHAPE, NULL, NULL,
                            "a line has at least 2 points, not %zu", keys->line_count);
    } else if (rectangle && !at && !points && !line && !radius && !halves && !width) {
        *out = keys->rectangle;
    } else {
        wrong = "its keys make no shape";
    }
    out->place = place;
    if (wrong)
        tw_reader_fault(reader, place, TW_ERR_KEY, NULL,
                        strcmp(what, "hole") == 0
                            ? "give at and radius; at, across and up; points; or rectangle"
                            : "give at and radius; at, across and up; points; or line and width",
                        "%s: %s", what, wrong);
}
