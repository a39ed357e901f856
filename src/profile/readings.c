/*
 * readings.c: gauge readings of a plate: the instruments, the points, and what holds for all of
 * them. Readings of a table (readings_table.c) join those of the profile; then names of instruments are
 * looked up and, with `seen from: inside`, sides are turned over once and for all.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- instruments --------------------------------------------------------------------------- */

void tw_read_tie(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_instrument *instrument = target;

    if (tw_read_map(reader, node, key->inside, key->name, instrument) && instrument->tie_true > 0 &&
        instrument->tie_reads > 0 &&
        !(fabs(log(instrument->tie_reads / instrument->tie_true)) < log(1.5)))
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "measure both again on one spot: it may be a doubled echo",
                        "the two thicknesses of a tie differ by more than half");
}

static void check_ultrasonic(tw_reader *reader, const tw_node *node, const tw_instrument *made)
{
    static const char *const ultrasonic[] = {"set velocity", "metal velocity", "tie"};
    const tw_node *found[3];

    for (size_t k = 0; k < 3; k++) {
        found[k] = tw_tree_find(node, ultrasonic[k]);
        if (found[k] && made->kind != TW_ULTRASONIC && tw_tree_find(node, "kind"))
            tw_reader_fault(reader, found[k]->key_place, TW_ERR_KEY, NULL,
                            "leave it out, or write \"kind: ultrasonic\"",
                            "%s goes with an ultrasonic gauge only", ultrasonic[k]);
    }
    if (made->kind != TW_ULTRASONIC)
        return;
    if (found[1] && !found[0])
        tw_reader_fault(reader, found[1]->key_place, TW_ERR_KEY, NULL,
                        "add \"set velocity: 5900 m/s\", what the gauge was set to",
                        "metal velocity says nothing without the set velocity");
    if (found[1] && found[2])
        tw_reader_fault(reader, found[2]->key_place, TW_ERR_KEY, NULL, "leave out one of the two",
                        "metal velocity and tie correct the same thing twice");
}

void tw_read_instruments(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    static const char *const kinds[] = {"caliper", "micrometer", "ultrasonic"};
    tw_readings_keys *keys = target;
    tw_instrument *made =
        tw_read_list(reader, node, key->name, sizeof *made, &keys->spec.instrument_count);
    size_t n = 0;

    keys->spec.instruments = made;
    if (made && node->count > 50) {
        tw_reader_fault(reader, node->place, TW_ERR_LIMIT, NULL, NULL, "more than 50 instruments");
        keys->spec.instrument_count = 0;
        return;
    }
    for (const tw_node *child = node->first; made && child; child = child->next, n++) {
        made[n].reach = INFINITY;
        if (tw_read_map(reader, child, key->inside, "instrument", &made[n]))
            check_ultrasonic(reader, child, &made[n]);
        made[n].place = child->place;
        if (!made[n].name)
            made[n].name = kinds[made[n].kind];
        for (size_t j = 0; j < n; j++)
            if (strcmp(made[n].name, made[j].name) == 0)
                tw_reader_fault(reader, child->place, TW_ERR_KEY, made[n].name,
                                "give each its own name", "instrument \"%s\" is there twice",
                                made[n].name);
    }
}

/* ---- points -------------------------------------------------------------------------------- */

/* Mean and standard deviation (n − 1) of repeats. */
void tw_reading_average(const double *values, size_t count, tw_reading *out)
{
    tw_sum sum = {0, 0}, squares = {0, 0};

    for (size_t k = 0; k < count; k++)
        tw_sum_add(&sum, values[k]);
    out->thickness = tw_sum_value(&sum) / (double)count;
    for (size_t k = 0; k < count; k++) {
        const double off = values[k] - out->thickness;
        tw_sum_add(&squares, off * off);
    }
    out->repeats = count;
    out->spread = count > 1 ? sqrt(tw_sum_value(&squares) / (double)(count - 1)) : 0;
}

void tw_read_repeats(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_reading_keys *keys = target;
    double *values;
    size_t count = 0, n = 0;

    if (node->kind != TW_NODE_LIST) {
        tw_value_number(reader, node, key->name, TW_NUMBER_READING, &keys->reading.thickness);
        return;
    }
    values = tw_read_list(reader, node, key->name, sizeof *values, &count);
    if (!values)
        return;
    if (count == 0)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL, "write [1.42 mm, 1.45 mm]",
                        "the list of repeats is empty");
    for (const tw_node *child = node->first; child; child = child->next)
        n += tw_value_number(reader, child, key->name, TW_NUMBER_READING, &values[n]);
    if (n > 0)
        tw_reading_average(values, n, &keys->reading);
}

void tw_read_reading_points(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_readings_keys *keys = target;
    tw_reading_keys *points =
        tw_read_list(reader, node, key->name, sizeof *points, &keys->point_count);
    size_t n = 0;

    keys->points = points;
    for (const tw_node *child = node->first; points && child; child = child->next, n++) {
        points[n].reading.repeats = 1;
        tw_read_map(reader, child, key->inside, "reading", &points[n]);
        points[n].reading.place = child->place;
    }
}

/* ---- all of them together ------------------------------------------------------------------ */

void tw_readings_turn(tw_reader *reader, const tw_reading *reading)
{
    reader->table = reading && reading->from_table ? reader->profile->readings.file : NULL;
    reader->cell = NULL;
    reader->table_place = reading ? reading->place : (tw_place){0, 0};
    reader->table_source = reading ? reading->source : NULL;
}

/* The place errors about a reading are kept in order by: its own, or that of the key `file`. */
static tw_place order_of(const tw_readings_keys *keys, const tw_reading *reading)
{
    return reading->from_table ? keys->file_place : reading->place;
}

static void find_instrument(tw_reader *reader, const tw_readings_keys *keys,
                            const tw_reading_keys *point, tw_reading *out)
{
    const tw_readings_spec *spec = &keys->spec;
    const char *names[50], *near;
    const tw_place place = out->from_table
                               ? keys->file_place
                               : (point->instrument ? point->instrument_place : out->place);
    char advice[160];

    if (spec->instrument_count == 0 || (!point->instrument && spec->instrument_count == 1))
        return; /* what is missing there is told once */
    for (size_t k = 0; k < spec->instrument_count; k++) {
        names[k] = spec->instruments[k].name;
        if (point->instrument && strcmp(point->instrument, names[k]) == 0) {
            out->instrument = k;
            return;
        }
    }
    if (!point->instrument) {
        snprintf(advice, sizeof advice, "add \"instrument: %.100s\", or another of the list",
                 names[0]);
        tw_reader_fault(reader, place, TW_ERR_KEY, NULL, advice,
                        "there are several instruments, and the reading does not say which");
        return;
    }
    if (out->from_table)
        reader->table_place = point->instrument_place;
    near = tw_nearest_word(point->instrument, names, spec->instrument_count);
    snprintf(advice, sizeof advice, near ? "did you mean \"%.100s\"?" : "it has \"%.100s\"",
             near ? near : names[0]);
    tw_reader_fault(reader, place, TW_ERR_KEY, point->instrument, advice,
                    "the list of instruments has no \"%s\"", point->instrument);
}

/* Looking at the inside, the viewer's right is −across, and bearings run the other way round; where
 * `along` begins is for the form to say. A point in the bench's x, y, z is the same from both sides. */
static void turn_over(tw_point *point)
{
    double *turned = point->kind == TW_POINT_TAPE    ? &point->value[0]
                     : point->kind == TW_POINT_CROWN ? &point->value[1]
                                                     : NULL;

    if (turned && *turned != 0) /* no −0 */
        *turned = -*turned;
    point->inside = point->kind == TW_POINT_EDGE;
}

static void check_names(tw_reader *reader, const tw_readings_keys *keys)
{
    const tw_readings_spec *spec = &keys->spec;

    for (size_t k = 0; k < spec->reading_count; k++)
        for (size_t j = 0; j < k; j++)
            if (strcmp(spec->readings[k].name, spec->readings[j].name) == 0) {
                tw_readings_turn(reader, &spec->readings[k]);
                reader->table_place.column = 0; /* it is about the name, not about the point */
                tw_reader_fault(
                    reader, order_of(keys, &spec->readings[k]), TW_ERR_KEY, spec->readings[k].name,
                    "give each its own name; rows of one name are repeats at the very same place",
                    "reading \"%s\" is there twice, first in line %d%s", spec->readings[k].name,
                    spec->readings[j].place.line,
                    spec->readings[j].from_table || !spec->readings[k].from_table
                        ? ""
                        : " of the profile");
                break;
            }
    tw_readings_turn(reader, NULL);
}

void tw_readings_join(tw_reader *reader, tw_readings_keys *keys, const tw_reading_keys *rows,
                      size_t row_count)
{
    tw_readings_spec *spec = &keys->spec;
    const size_t points = keys->points ? keys->point_count : 0, count = points + row_count;
    tw_reading *readings;

    if (count > TW_READINGS_MAX) {
        tw_reader_fault(reader, row_count ? keys->file_place : keys->points_place, TW_ERR_LIMIT,
                        NULL, "leave out what lies closer together than a few millimetres",
                        "%zu readings are more than the %d that can be used", count,
                        TW_READINGS_MAX);
        return;
    }
    readings = tw_reader_array(reader, count, sizeof *readings);
    if (!readings)
        return;
    for (size_t k = 0; k < count; k++) {
        const tw_reading_keys *from = k < points ? &keys->points[k] : &rows[k - points];
        readings[k] = from->reading;
        if (!readings[k].name)
            readings[k].name = tw_reader_text(reader, "%zu", k + 1);
        if (!readings[k].name)
            return;
        if (keys->seen_inside)
            turn_over(&readings[k].at);
        tw_readings_turn(reader, &readings[k]);
        find_instrument(reader, keys, from, &readings[k]);
    }
    tw_readings_turn(reader, NULL);
    spec->readings = readings;
    spec->reading_count = count;
    check_names(reader, keys);
}

void tw_read_readings(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_readings_keys keys = {.spec = {.trend = TW_TREND_EVEN, .surface = NAN}};
    tw_profile *profile = reader->profile;
    tw_reading_keys *rows = NULL;
    size_t row_count = 0;

    (void)target;
    if (!tw_read_map(reader, node, key->inside, key->name, &keys))
        return;
    keys.spec.place = node->key_place.line != 0 ? node->key_place : node->place;
    keys.spec.seen_inside = keys.seen_inside;
    if (tw_tree_find(node, "instruments") && keys.spec.instruments && node->kind == TW_NODE_MAP &&
        keys.spec.instrument_count == 0 && tw_tree_find(node, "instruments")->count == 0)
        tw_reader_fault(reader, tw_tree_find(node, "instruments")->place, TW_ERR_KEY, NULL,
                        "write [{kind: caliper, resolution: 0.1 mm}]",
                        "the list of instruments is empty");
    if (keys.spec.trend == TW_TREND_FORGED && !profile->has_forged)
        tw_reader_fault(reader, keys.trend_place, TW_ERR_KEY, NULL,
                        "add \"forged:\" beside the readings, or write even or plane",
                        "trend forged needs a forged taper");
    if (keys.spec.file) {
        rows = tw_readings_table(reader, &keys, &row_count);
        profile->readings.file = keys.spec.file;
    }
    if (!tw_tree_find(node, "points") && !tw_tree_find(node, "file"))
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                        "add \"points:\", a list, or \"file: readings.csv\"",
                        "there are no readings in readings");
    else if (keys.points && keys.point_count == 0 && !keys.spec.file)
        tw_reader_fault(reader, keys.points_place, TW_ERR_KEY, NULL,
                        "write - {at: [across, up], thickness: 1.4 mm}",
                        "the list of readings is empty");
    tw_readings_join(reader, &keys, rows, rows ? row_count : 0);
    profile->readings = keys.spec;
    profile->has_readings = true;
}
