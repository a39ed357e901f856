/* export_readings.c: readings of a plate for other programs: JSON and CSV. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    unsigned flag;
    const char *word;
} flags[] = {{TW_FLAG_DOUBLED, "doubled echo"},
             {TW_FLAG_INNER, "inner layer"},
             {TW_FLAG_SLIP, "slip"},
             {TW_FLAG_REACH, "beyond reach"},
             {TW_FLAG_FACE, "off the face"}};
enum { FLAGS = sizeof flags / sizeof *flags };

const char *tw_cli_instrument_word(tw_instrument_kind kind)
{
    return kind == TW_CALIPER ? "caliper" : kind == TW_MICROMETER ? "micrometer" : "ultrasonic";
}

static const char *trend_word(tw_trend trend)
{
    return trend == TW_TREND_PLANE ? "plane" : trend == TW_TREND_FORGED ? "forged" : "even";
}

static json_t *above_zero(double value)
{
    return tw_json_number(value > 0 ? value : NAN);
}

/* Takes both over, also on failure; NULL stays NULL. */
static json_t *appended(json_t *list, json_t *item)
{
    if (list && json_array_append_new(list, item) == 0)
        return list;
    if (!list)
        json_decref(item);
    json_decref(list);
    return NULL;
}

/* ---- JSON: the keys are promised to scripts: add, never rename --------------------------------- */

static json_t *instrument_json(const tw_instrument *instrument)
{
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "name", tw_json_text(instrument->name),
        "kind", tw_json_text(tw_cli_instrument_word(instrument->kind)), "serial",
        tw_json_text(instrument->serial), "resolution_mm", tw_json_number(instrument->resolution),
        "uncertainty_mm", above_zero(instrument->uncertainty), "reach_mm",
        tw_json_number(instrument->reach), "least_mm", above_zero(instrument->least), "foot_mm",
        above_zero(instrument->foot), "set_velocity_mm_per_us",
        above_zero(instrument->set_velocity), "metal_velocity_mm_per_us",
        above_zero(instrument->metal_velocity), "tie_true_mm", above_zero(instrument->tie_true),
        "tie_reads_mm", above_zero(instrument->tie_reads));
}

static json_t *reading_json(const tw_plate *plate, const tw_placed_reading *placed)
{
    const tw_reading *reading = placed->reading;
    json_t *words = json_array();
    char written[128];

    for (size_t k = 0; k < FLAGS; k++) {
        if (placed->flags & flags[k].flag)
            words = appended(words, json_string(flags[k].word));
    }
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:I,s:o,s:o,s:b,s:o,s:o,s:o,s:o,s:o}", "name",
        tw_json_text(reading->name), "at_mm", tw_json_numbers(placed->tape, 2), "as_written",
        tw_json_text(tw_cli_written(&reading->at, plate->profile->readings.seen_inside, TW_METRIC,
                                    written, sizeof written)),
        "position_mm", tw_json_numbers(placed->position, 3), "as_read_mm",
        tw_json_number(reading->thickness), "corrected_mm", tw_json_number(placed->thickness),
        "repeats", (json_int_t)reading->repeats, "spread_mm",
        tw_json_number(reading->repeats > 1 ? reading->spread : NAN), "instrument",
        tw_json_text(plate->profile->readings.instruments[reading->instrument].name), "used",
        placed->used, "u_mm", tw_json_number(placed->noise), "left_out_error_mm",
        tw_json_number(placed->left_out_error), "left_out_sd_mm",
        tw_json_number(placed->left_out_sd), "edge_distance_mm",
        tw_json_number(placed->edge_distance), "flags", words);
}

static json_t *map_json(const tw_plate_map *map)
{
    return json_pack("{s:o,s:o,s:o,s:o,s:o}", "min", tw_json_number(map->map.thinnest), "min_at_mm",
                     tw_json_numbers(map->map.thinnest_at, 2), "mean",
                     tw_json_number(map->weight.mean_thickness_mm), "max",
                     tw_json_number(map->map.thickest), "max_at_mm",
                     tw_json_numbers(map->map.thickest_at, 2));
}

static json_t *suggestions_json(const tw_cli_readings *found)
{
    const bool inside = found->plate->profile->readings.seen_inside;
    json_t *list = json_array();

    for (size_t k = 0; k < found->shown; k++) {
        const double *tape = found->suggestions[k].tape;
        const double seen[2] = {inside && tape[0] != 0 ? -tape[0] : tape[0], tape[1]};
        list = appended(list,
                        json_pack("{s:o,s:o,s:o,s:o}", "at_mm", tw_json_numbers(tape, 2),
                                  "seen_at_mm", tw_json_numbers(seen, 2), "readings_u_after_g",
                                  tw_json_number(found->suggestions[k].sd_after),
                                  "expanded_after_g", tw_json_number(tw_readings_left(found, k))));
    }
    return list;
}

static json_t *notes_json(const tw_notes *notes)
{
    json_t *list = json_array();

    for (size_t k = 0; k < notes->count && k < TW_NOTES_MAX; k++)
        list = appended(list, json_string(notes->items[k].message));
    return list;
}

json_t *tw_show_readings_json(const tw_args *args, const tw_cli_readings *found)
{
    const tw_plate *plate = found->plate;
    const tw_survey *survey = plate->survey;
    const tw_readings_spec *spec = &plate->profile->readings;
    const char *surface = survey->surface_estimated ? "estimated"
                          : isfinite(spec->surface) ? "given"
                                                    : "usual";
    json_t *instruments = json_array(), *readings = json_array();

    for (size_t k = 0; k < spec->instrument_count; k++)
        instruments = appended(instruments, instrument_json(&spec->instruments[k]));
    for (size_t k = 0; k < survey->count; k++)
        readings = appended(readings, reading_json(plate, &survey->readings[k]));
    return json_pack(
        "{s:i,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:s,s:o,s:o,s:s,s:o,s:s,s:b,s:b,s:I,s:o,s:o,s:o,s:o,s:o,"
        "s:o,s:o,s:o,"
        "s:"
        "o}",
        "format", 1, "version", TW_VERSION, "plate", tw_json_text(plate->profile->plate), "object",
        tw_json_text(spec->object), "part", tw_json_text(spec->part), "measured_by",
        tw_json_text(spec->measured_by), "date", tw_json_text(spec->date), "file",
        tw_json_text(spec->file), "seen_from", spec->seen_inside ? "inside" : "outside",
        "instruments", instruments, "readings", readings, "trend", trend_word(survey->trend),
        "surface_mm", tw_json_number(survey->surface), "surface_from", surface, "edges_only",
        survey->edges_only, "few_readings", survey->few, "set_aside", (json_int_t)survey->set_aside,
        "thickness_mm", map_json(found->map), "mass_g", tw_json_number(found->map->weight.mass_g),
        "numerical_error_g", tw_json_number(found->map->weight.numerical_error_g), "readings_u_g",
        tw_json_number(survey->edges_only ? NAN : found->readings_u_g), "where",
        survey->edges_only ? json_null() : tw_where_json(plate, &found->where), "uncertainty",
        tw_surety_json(args, &found->surety), "agreement", tw_agreement_json(&found->surety),
        "suggestions", suggestions_json(found), "notes", notes_json(&survey->notes));
}

/* ---- CSV --------------------------------------------------------------------------------------- */

void tw_show_readings_csv(tw_output *out, const tw_cli_readings *found)
{
    const tw_survey *survey = found->plate->survey;
    const tw_readings_spec *spec = &found->plate->profile->readings;

    tw_output_print(out, NULL,
                    "row,name,across_mm,up_mm,as_read_mm,corrected_mm,repeats,spread_mm,"
                    "left_out_error_mm,left_out_sd_mm,edge_distance_mm,expanded_after_g,used,"
                    "instrument,flags\n");
    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        const double values[] = {placed->tape[0],
                                 placed->tape[1],
                                 placed->reading->thickness,
                                 placed->thickness,
                                 (double)placed->reading->repeats,
                                 placed->reading->repeats > 1 ? placed->reading->spread : NAN,
                                 placed->left_out_error,
                                 placed->left_out_sd,
                                 placed->edge_distance,
                                 NAN};
        char words[160] = "";
        for (size_t f = 0; f < FLAGS; f++) {
            if (placed->flags & flags[f].flag)
                snprintf(words + strlen(words), sizeof words - strlen(words), "%s%s",
                         words[0] ? "; " : "", flags[f].word);
        }
        tw_csv_text(out, "reading", false);
        tw_csv_text(out, placed->reading->name, false);
        for (size_t n = 0; n < sizeof values / sizeof *values; n++)
            tw_csv_number(out, values[n], false);
        tw_csv_text(out, placed->used ? "yes" : "no", false);
        tw_csv_text(out, spec->instruments[placed->reading->instrument].name, false);
        tw_csv_text(out, words, true);
    }
    for (size_t k = 0; k < found->shown; k++) {
        const double *tape = found->suggestions[k].tape;
        const char letter[2] = {(char)('A' + (int)k), '\0'};
        tw_output_print(out, NULL, "suggestion,%s,", letter);
        tw_csv_number(out, tape[0], false);
        tw_csv_number(out, tape[1], false);
        tw_output_print(out, NULL, ",,,,,,,");
        tw_csv_number(out, tw_readings_left(found, k), false);
        tw_output_print(out, NULL, ",");
        tw_csv_text(out, found->instrument->name, false);
        tw_csv_text(out, "", true);
    }
}
