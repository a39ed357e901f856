/* show_extra.c: turned edges and flutes of a plate, weighed on top of each map, as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64 };

/* Maps of unlike thickness may say the same of a roll: once is enough. */
static void add_once(tw_notes *to, const tw_error *note)
{
    for (size_t k = 0; k < to->count && k < TW_NOTES_MAX; k++) {
        if (strcmp(to->items[k].message, note->message) == 0)
            return;
    }
    tw_notes_add(to, note);
}

tw_status tw_cli_extras_make(const tw_plate *plate, tw_extra_weight *extras, tw_error *err)
{
    tw_notes notes = {0};

    for (size_t m = 0; m < plate->map_count; m++) {
        const tw_status status = tw_plate_extra(plate, &plate->maps[m], &extras[m], err);
        if (status != TW_OK) {
            tw_cli_error_in(plate->profile, err);
            return status;
        }
        for (size_t k = 0; k < extras[m].notes.count && k < TW_NOTES_MAX; k++)
            add_once(&notes, &extras[m].notes.items[k]);
    }
    tw_cli_report(&notes, "note: ");
    return TW_OK;
}

static bool nothing(const tw_extra_weight *extra)
{
    return extra->turn_count + extra->flute_count == 0;
}

/* ---- text -------------------------------------------------------------------------------- */

static void show_turn(tw_output *out, tw_units units, const tw_turn_weight *turn)
{
    char roll[WORDS], wire[WORDS], wrap[WORDS], sheet[WORDS], length[WORDS], mass[2][WORDS];

    tw_write_length(turn->roll_mm, units, -1, roll, WORDS);
    tw_write_length(turn->wire_mm, units, -1, wire, WORDS);
    tw_write_mass(turn->wire_g, units, -1, mass[1], WORDS);
    tw_output_print(out, NULL, "  turned edge %s: roll %s ", turn->edge, roll);
    if (turn->wire_mm > 0)
        tw_output_print(out, NULL, "over %s wire", wire);
    else
        tw_output_print(out, NULL, turn->hollow_mm > 0 ? "hollow" : "solid");
    tw_output_print(out, NULL, ", wrap %s of %s sheet, %s long: %s%s%s%s on top\n",
                    tw_write_length(turn->wrap_mm, units, -1, wrap, WORDS),
                    tw_write_thickness(turn->edge_mm, units, -1, sheet, WORDS),
                    tw_write_length(turn->length_mm, units, -1, length, WORDS),
                    tw_write_mass(turn->sheet_g, units, -1, mass[0], WORDS),
                    turn->wire_mm > 0 ? " and " : "", turn->wire_mm > 0 ? mass[1] : "",
                    turn->wire_mm > 0 ? " of wire" : "");
}

void tw_show_extra_text(tw_output *out, tw_units units, const tw_plate_map *map,
                        const tw_extra_weight *extra, bool compared)
{
    char words[2][WORDS];

    if (nothing(extra))
        return;
    for (size_t k = 0; k < extra->turn_count; k++)
        show_turn(out, units, &extra->turns[k]);
    for (size_t k = 0; k < extra->flute_count; k++)
        tw_output_print(out, NULL, "  flutes: %s more face by tape: %s on top\n",
                        tw_write_area(extra->flutes[k].area_mm2, units, words[0], WORDS),
                        tw_write_mass(extra->flutes[k].mass_g, units, -1, words[1], WORDS));
    tw_output_print(out, NULL, "  with them       %s, %s of it on top (95 %%)\n",
                    tw_write_mass(map->weight.mass_g + extra->mass_g, units, -1, words[0], WORDS),
                    tw_cli_mass_within(extra->mass_g, 2 * extra->u_g, units, words[1], WORDS));
    if (compared)
        tw_output_print(out, NULL,
                        "                  The scale was held against the plate without them.\n");
}

/* ---- JSON -------------------------------------------------------------------------------- */

static json_t *turn_json(const tw_turn_weight *turn)
{
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "edge", tw_json_text(turn->edge),
        "length_mm", tw_json_number(turn->length_mm), "thickness_mm", tw_json_number(turn->edge_mm),
        "roll_mm", tw_json_number(turn->roll_mm), "wire_mm",
        turn->wire_mm > 0 ? tw_json_number(turn->wire_mm) : json_null(), "bore_mm",
        tw_json_number(turn->hollow_mm), "layers", tw_json_number(turn->layers), "wrap_mm",
        tw_json_number(turn->wrap_mm), "sheet_g", tw_json_number(turn->sheet_g), "wire_g",
        tw_json_number(turn->wire_g), "u_g", tw_json_number(turn->u_g));
}

static json_t *flute_json(const tw_flute_weight *flute)
{
    return json_pack("{s:o,s:o,s:o}", "area_mm2", tw_json_number(flute->area_mm2), "mass_g",
                     tw_json_number(flute->mass_g), "u_g", tw_json_number(flute->u_g));
}

static json_t *list_json(const tw_extra_weight *extra, bool turns)
{
    const size_t count = turns ? extra->turn_count : extra->flute_count;
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++) {
        json_t *item = turns ? turn_json(&extra->turns[k]) : flute_json(&extra->flutes[k]);
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

json_t *tw_extra_json(json_t *map, const tw_extra_weight *extra)
{
    const bool none = !extra || nothing(extra);
    json_t *more =
        json_pack("{s:o,s:o,s:o,s:o}", "turned_edges", extra ? list_json(extra, true) : json_null(),
                  "flutes", extra ? list_json(extra, false) : json_null(), "extra_g",
                  none ? json_null() : tw_json_number(extra->mass_g), "extra_u_g",
                  none ? json_null() : tw_json_number(extra->u_g));

    if (!map || !more || json_object_update(map, more) != 0) {
        json_decref(map);
        map = NULL;
    }
    json_decref(more);
    return map;
}

/* ---- CSV --------------------------------------------------------------------------------- */

static void csv_row(tw_output *out, const char *plate, const char *map, const char *what,
                    double mass, double area, double thickness, double u)
{
    const double values[] = {mass, NAN, NAN, area, thickness, NAN,  NAN,
                             NAN,  NAN, NAN, NAN,  u,         2 * u};

    tw_weigh_csv_row(out, plate, map, what, values, sizeof values / sizeof *values);
}

void tw_show_extra_csv(tw_output *out, const char *plate, const char *map,
                       const tw_extra_weight *extra)
{
    char what[2 * WORDS];

    for (size_t k = 0; k < extra->turn_count; k++) {
        const tw_turn_weight *turn = &extra->turns[k];
        snprintf(what, sizeof what, "turned edge %s", turn->edge);
        csv_row(out, plate, map, what, turn->sheet_g + turn->wire_g, NAN, turn->edge_mm, turn->u_g);
    }
    for (size_t k = 0; k < extra->flute_count; k++) {
        const tw_flute_weight *flute = &extra->flutes[k];
        snprintf(what, sizeof what, "flutes %zu", k + 1);
        csv_row(out, plate, map, what, flute->mass_g, flute->area_mm2, NAN, flute->u_g);
    }
}
