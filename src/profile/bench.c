/*
 * bench.c: the form as it was measured on the bench: flat, bowl, loft, points (scan.c) or heights (heights.c). What can be judged without
 * geometry is judged here (order of stations and heights, keys that exclude each other); whether a
 * tape length is possible is the form room's to say.
 */
#include "profile_internal.h"

#include <math.h>
#include <string.h>

/* Heights beside sides say the same thing twice; a ruler is read to about this [mm]. */
#define AGREE 1.0

static void read_form(tw_reader *reader, const tw_node *node, const tw_key *key)
{
    static const char advice[] =
        "write flat, {bowl: {…}}, {loft: [ … ]}, {points: {file: …}} or {heights: {file: …}}";
    static const char *const forms[] = {"flat", "bowl", "loft", "points", "heights"};
    const tw_node *chosen = NULL, *keel;
    tw_profile *profile = reader->profile;

    if (node->kind == TW_NODE_TEXT && strcmp(node->text, "flat") == 0) {
        profile->form = TW_FORM_FLAT;
        return;
    }
    if (node->kind != TW_NODE_MAP) {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, node->text, advice,
                        "form takes flat, a bowl, a loft, points or heights");
        return;
    }
    tw_read_map(reader, node, key->inside, "form", profile);
    for (size_t k = 0; k < sizeof forms / sizeof *forms; k++) {
        const tw_node *found = tw_tree_find(node, forms[k]);
        if (found && chosen)
            tw_reader_fault(reader, found->key_place, TW_ERR_KEY, found->key,
                            "keep the one that fits the plate best",
                            "a plate has one form, \"%s\" or \"%s\"", chosen->key, found->key);
        else if (found)
            chosen = found;
    }
    keel = tw_tree_find(node, "keel");
    if (!chosen)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, advice, "form says no form");
    else if (keel && strcmp(chosen->key, "loft") != 0)
        tw_reader_fault(reader, keel->key_place, TW_ERR_KEY, NULL, "leave it out, or give a loft",
                        "only a loft has a keel");
}

void tw_read_form(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    const size_t before = reader->errors.count;

    (void)target;
    read_form(reader, node, key);
    reader->outline_in_doubt = reader->errors.count > before;
}

void tw_read_flat(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    (void)target;
    reader->profile->form = TW_FORM_FLAT;
    if (node->kind == TW_NODE_TEXT && node->text[0] == '\0')
        return; /* "flat:" with nothing after it */
    tw_read_map(reader, node, key->inside, "flat", reader->profile);
}

void tw_read_bowl(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_bowl_spec *bowl = &reader->profile->bowl;
    const tw_node *over;

    (void)target;
    reader->profile->form = TW_FORM_BOWL;
    bowl->place = node->place;
    if (!tw_read_map(reader, node, key->inside, "bowl", bowl))
        return;
    if (!tw_tree_find(node, "up"))
        bowl->up = bowl->across;
    over = tw_tree_find(node, "over");
    if (over && tw_tree_find(node, "profile"))
        tw_reader_fault(reader, over->key_place, TW_ERR_KEY, NULL,
                        "leave out profile, or the tape over the crown",
                        "the tape over the crown picks the profile itself");
}

void tw_read_over(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_bowl_spec *bowl = &reader->profile->bowl;

    (void)target;
    if (tw_read_map(reader, node, key->inside, "over", bowl))
        bowl->profile = TW_BOWL_OVER;
}

void tw_read_keel(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_loft_spec *loft = &reader->profile->loft;

    (void)target;
    loft->keel_place = node->place;
    tw_read_map(reader, node, key->inside, "keel", loft);
}

/* ---- stations ------------------------------------------------------------------------------ */

void tw_read_centre(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_station *station = target;

    if (node->kind == TW_NODE_TEXT && strcmp(node->text, "open") == 0)
        station->centre_open = true;
    else
        tw_value_number(reader, node, key->name, TW_NUMBER_POSITION, &station->centre);
}

void tw_read_heights(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_station *station = target;
    double(*heights)[2] =
        tw_read_list(reader, node, key->name, sizeof *heights, &station->height_count);
    size_t n = 0;

    if (!heights)
        return;
    for (const tw_node *child = node->first; child; child = child->next, n++) {
        if (child->kind != TW_NODE_LIST || child->count != 2) {
            tw_reader_fault(reader, child->place, TW_ERR_SYNTAX, child->text, "write [out, up]",
                            "heights takes pairs of lengths");
            continue;
        }
        if (!tw_value_number(reader, child->first, "out", TW_NUMBER_POSITION, &heights[n][0]) ||
            !tw_value_number(reader, child->last, "up", TW_NUMBER_POSITION, &heights[n][1]))
            continue;
        if (n > 0 && heights[n][0] <= heights[n - 1][0])
            tw_reader_fault(reader, child->first->place, TW_ERR_SHAPE, child->first->text,
                            "give the pairs in order, out from the centre",
                            "heights do not go on outward here");
    }
    station->heights = heights;
}

/* What goes together in one station. */
static void check_station(tw_reader *reader, const tw_node *node, const tw_station *station)
{
    static const char *const given_by_heights[] = {"width", "tape"};
    const tw_node *heights = tw_tree_find(node, "heights"), *centre = tw_tree_find(node, "centre");
    const size_t count = station->height_count;

    if (!heights) {
        static const char *const needed[] = {"width", "centre", "sides"};
        for (size_t k = 0; k < 3; k++)
            if (!tw_tree_find(node, needed[k]))
                tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                                "give width, centre and sides, or heights",
                                "a station lacks \"%s\"", needed[k]);
        return;
    }
    for (size_t k = 0; k < 2; k++) {
        const tw_node *twice = tw_tree_find(node, given_by_heights[k]);
        if (twice)
            tw_reader_fault(reader, twice->key_place, TW_ERR_KEY, NULL, "leave out one of the two",
                            "%s is given by the heights already", twice->key);
    }
    if (centre && !station->centre_open)
        tw_reader_fault(reader, centre->key_place, TW_ERR_KEY, NULL, "leave out one of the two",
                        "centre is given by the heights already");
    if (!station->heights)
        return;
    if (count < 2 || !(station->heights[count - 1][0] > 0))
        tw_reader_fault(reader, heights->place, TW_ERR_SHAPE, NULL,
                        "give [out, up] from the centre to the side",
                        "heights need two pairs or more, the last beyond the centre");
    else if (station->heights[0][0] > 0 && !station->centre_open)
        tw_reader_fault(reader, heights->place, TW_ERR_SHAPE, NULL,
                        "begin with [0, …], or write \"centre: open\"",
                        "heights begin beside the centre");
    else if (!(fabs(station->sides - station->heights[count - 1][1]) <= AGREE) &&
             !isnan(station->sides))
        tw_reader_fault(reader, heights->place, TW_ERR_SHAPE, NULL, "leave sides out",
                        "the last height is %g mm, but sides is %g mm",
                        station->heights[count - 1][1], station->sides);
}

void tw_read_loft(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_loft_spec *loft = &reader->profile->loft;
    tw_station *stations =
        tw_read_list(reader, node, key->name, sizeof *stations, &loft->station_count);
    size_t n = 0;

    (void)target;
    reader->profile->form = TW_FORM_LOFT;
    loft->place = node->place;
    if (!stations)
        return;
    loft->stations = stations;
    for (const tw_node *child = node->first; child; child = child->next, n++) {
        tw_station *station = &stations[n];
        station->place = child->place;
        station->ruler = station->centre = station->sides = NAN;
        if (!tw_read_map(reader, child, key->inside, "station", station))
            continue;
        check_station(reader, child, station);
        if (n > 0 && station->ruler <= stations[n - 1].ruler)
            tw_reader_fault(reader, tw_tree_find(child, "ruler")->place, TW_ERR_SHAPE,
                            tw_tree_find(child, "ruler")->text,
                            "give the stations in order along the ruler",
                            "station %zu does not stand beyond station %zu", n + 1, n);
    }
    if (loft->station_count < 2)
        tw_reader_fault(reader, node->place, TW_ERR_SHAPE, NULL, "measure two sections or more",
                        "a loft needs at least 2 stations");
}
