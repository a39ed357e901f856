/* show_weigh.c: the weights of a plate as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64 };

static void show_place(tw_output *out, const tw_args *args, const char *what, double thickness,
                       const double at[2])
{
    char words[3][WORDS];

    tw_output_print(out, NULL, ", %s %s at [%s, %s]", what,
                    tw_write_thickness(thickness, (tw_units)args->units, -1, words[0], WORDS),
                    tw_write_length(at[0], (tw_units)args->units, -1, words[1], WORDS),
                    tw_write_length(at[1], (tw_units)args->units, -1, words[2], WORDS));
}

/* Where a bench and a ruler beside it find the point: not by tape, for it lies off the face. */
static void show_balance(tw_output *out, const tw_args *args, const double at[3], tw_worn worn)
{
    const tw_units units = (tw_units)args->units;
    char words[3][WORDS];

    tw_output_print(out, NULL, "  balance point   %s %s in plan, ",
                    tw_write_length(fabs(at[1]), units, -1, words[0], WORDS),
                    at[1] < 0 ? "down" : "up");
    if (fabs(at[0]) < 0.05)
        tw_output_print(out, NULL, "on the centre line");
    else
        tw_output_print(out, NULL, "%s to %s",
                        tw_write_length(fabs(at[0]), units, -1, words[1], WORDS),
                        tw_cli_side(worn, at[0]));
    tw_output_print(out, NULL, ", %s %s the bench\n",
                    tw_write_length(fabs(at[2]), units, -1, words[2], WORDS),
                    at[2] < 0 ? "below" : "above");
}

static void show_inertia(tw_output *out, const tw_weight *weight)
{
    const double(*inertia)[3] = weight->inertia_g_mm2;
    double moments[3], axes[3][3];

    /* 1 kg·m² = 1e9 g·mm² */
    tw_output_print(out, NULL, "  inertia         about the balance point, x %.5g, y %.5g, z %.5g",
                    inertia[0][0] * 1e-9, inertia[1][1] * 1e-9, inertia[2][2] * 1e-9);
    tw_principal_axes(inertia, moments, axes);
    tw_output_print(out, NULL, "; principal %.5g, %.5g, %.5g kg·m²\n", moments[0] * 1e-9,
                    moments[1] * 1e-9, moments[2] * 1e-9);
}

static void show_zones(tw_output *out, const tw_args *args, const tw_plate *plate,
                       const tw_plate_map *map)
{
    const tw_units units = (tw_units)args->units;

    if (plate->zones.count < 2)
        return;
    tw_output_print(out, NULL, "  by zone\n");
    for (size_t k = 0; k < plate->zones.count; k++) {
        const tw_zone_weight *zone = &map->zones[k];
        char words[3][WORDS];
        /* One unit down the column, so that rows compare at a glance. */
        snprintf(words[0], WORDS, "%.1f cm²", zone->area_mm2 / 100);
        snprintf(words[1], WORDS, "%.1f g", zone->mass_g);
        if (units == TW_INCH) {
            tw_write_area(zone->area_mm2, units, words[0], WORDS);
            tw_write_mass(zone->mass_g, units, -1, words[1], WORDS);
        }
        tw_write_thickness(zone->mean_thickness_mm, units, -1, words[2], WORDS);
        tw_output_print(out, NULL, "    %-*s  %*s  %*s", tw_cli_fit(16, zone->zone), zone->zone,
                        tw_cli_fit(12, words[0]), words[0], tw_cli_fit(12, words[1]), words[1]);
        if (zone->area_mm2 > 0)
            tw_output_print(out, NULL, "  mean %s\n", words[2]);
        else
            tw_output_print(out, NULL, "\n");
    }
}

/* An error that ended nothing, as a sentence under its plate's name. */
static void show_sentence(tw_output *out, const char *begin, const char *plate, const tw_error *why)
{
    char message[sizeof why->message], tail[sizeof why->message];
    const char *end = why->advice[0] ? why->advice : message;
    size_t length, more;

    snprintf(message, sizeof message, "%s", why->message);
    snprintf(tail, sizeof tail, ", in plate %s", plate);
    length = strlen(message);
    more = strlen(tail);
    if (length > more && strcmp(message + length - more, tail) == 0)
        message[length - more] = '\0';
    tw_output_print(out, NULL, "%s%s%s%s%s\n", begin, message, why->advice[0] ? "; " : "",
                    why->advice, end[0] && end[strlen(end) - 1] == '?' ? "" : ".");
}

static void show_mass(tw_output *out, const tw_args *args, const tw_plate *plate,
                      const tw_plate_map *map, const tw_cli_surety *surety)
{
    const tw_units units = (tw_units)args->units;
    char words[2 * WORDS];

    if (!surety || !surety->given) {
        tw_output_print(out, NULL, "  mass            %s\n",
                        tw_cli_mass(&map->weight, units, words, sizeof words));
        if (surety)
            show_sentence(out, "                  No ± for the whole: ", plate->profile->plate,
                          &surety->missing);
        return;
    }
    tw_show_mass(out, units, plate, map, surety);
    if (map->map.kind == TW_MAP_READINGS && plate->survey->few)
        ; /* what that ± leaves out is said, and is likely more */
    else if (!surety->located || !tw_show_where(out, plate, &surety->where, surety->readings_share))
        tw_show_largest(out, &surety->budget);
    if (map->map.kind == TW_MAP_FORGED)
        tw_output_print(out, NULL,
                        "                  Thickness is taken as written: how closely it was "
                        "hammered is not in that.\n");
    if (surety->tried)
        tw_show_trials(out, units, surety);
    if (surety->compared)
        tw_show_agreement(out, units, plate, map, surety);
    else if (surety->unreached.status != TW_OK)
        show_sentence(out, "  scale           ", plate->profile->plate, &surety->unreached);
}

static void show_map(tw_output *out, const tw_args *args, const tw_plate *plate,
                     const tw_plate_map *map, const tw_cli_surety *surety,
                     const tw_extra_weight *extra)
{
    const tw_units units = (tw_units)args->units;
    const tw_weight *weight = &map->weight;
    char words[3][WORDS];

    tw_output_print(out, NULL, "%s, %s\n", plate->profile->plate, tw_map_word(map->map.kind));
    show_mass(out, args, plate, map, surety);
    tw_show_extra_text(out, units, map, extra, surety && surety->compared);
    tw_output_print(out, NULL, "  face area       %s\n",
                    tw_write_area(weight->face_area_mm2, units, words[0], WORDS));
    tw_output_print(out, NULL, "  thickness       mean %s",
                    tw_write_thickness(weight->mean_thickness_mm, units, -1, words[0], WORDS));
    if (map->map.kind != TW_MAP_SHEET) {
        show_place(out, args, "thinnest", map->map.thinnest, map->map.thinnest_at);
        show_place(out, args, "thickest", map->map.thickest, map->map.thickest_at);
        tw_output_print(out, NULL, "\n  steepest grade  %s at [%s, %s]",
                        tw_write_grade(map->map.steepest_grade, units, words[0], WORDS),
                        tw_write_length(map->map.steepest_at[0], units, -1, words[1], WORDS),
                        tw_write_length(map->map.steepest_at[1], units, -1, words[2], WORDS));
    }
    tw_output_print(out, NULL, "\n");
    show_balance(out, args, weight->centroid_mm, plate->profile->worn);
    if (args->inertia)
        show_inertia(out, weight);
    show_zones(out, args, plate, map);
    if (args->budget && surety && surety->given)
        tw_show_budget(out, units, &surety->budget, true);
}

void tw_show_weigh_text(tw_output *out, const tw_args *args, const tw_plate *plate,
                        const tw_cli_surety *sureties, const tw_extra_weight *extras)
{
    for (size_t k = 0; k < plate->map_count; k++)
        show_map(out, args, plate, &plate->maps[k], sureties ? &sureties[k] : NULL, &extras[k]);
}

/* ---- JSON -------------------------------------------------------------------------------- */

static json_t *zones_json(const tw_plate *plate, const tw_plate_map *map)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < plate->zones.count; k++) {
        const tw_zone_weight *zone = &map->zones[k];
        json_t *item =
            json_pack("{s:o,s:o,s:o,s:o}", "zone", tw_json_text(zone->zone), "area_mm2",
                      tw_json_number(zone->area_mm2), "mass_g", tw_json_number(zone->mass_g),
                      "mean_thickness_mm", tw_json_number(zone->mean_thickness_mm));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

static json_t *inertia_json(const tw_weight *weight)
{
    return json_pack("[o,o,o]", tw_json_numbers(weight->inertia_g_mm2[0], 3),
                     tw_json_numbers(weight->inertia_g_mm2[1], 3),
                     tw_json_numbers(weight->inertia_g_mm2[2], 3));
}

/* The keys are promised to scripts: add, never rename. */
static json_t *map_json(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                        const tw_cli_surety *surety)
{
    const tw_weight *weight = &map->weight;
    const bool missing = surety && surety->missing.status != TW_OK;
    json_t *thickness = json_pack("{s:o,s:o,s:o,s:o,s:o}", "min", tw_json_number(map->map.thinnest),
                                  "min_at_mm", tw_json_numbers(map->map.thinnest_at, 2), "mean",
                                  tw_json_number(weight->mean_thickness_mm), "max",
                                  tw_json_number(map->map.thickest), "max_at_mm",
                                  tw_json_numbers(map->map.thickest_at, 2));

    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:n}", "map",
        tw_json_text(tw_map_word(map->map.kind)), "mass_g", tw_json_number(weight->mass_g),
        "numerical_error_g", tw_json_number(weight->numerical_error_g), "volume_mm3",
        tw_json_number(weight->volume_mm3), "face_area_mm2", tw_json_number(weight->face_area_mm2),
        "centroid_mm", tw_json_numbers(weight->centroid_mm, 3), "inertia_g_mm2",
        inertia_json(weight), "thickness_mm", thickness, "steepest_grade_mm_per_100mm",
        tw_json_number(100 * map->map.steepest_grade), "zones", zones_json(plate, map),
        "uncertainty", tw_surety_json(args, surety), "uncertainty_missing",
        missing ? tw_json_text(surety->missing.message) : json_null(), "agreement",
        tw_agreement_json(surety), "mean_thickness_uncertainty");
}

json_t *tw_weigh_document(const char *plate, json_t *grid, json_t *maps)
{
    return json_pack("{s:i,s:s,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION, "plate",
                     tw_json_text(plate), "grid", grid, "maps", maps);
}

json_t *tw_show_weigh_json(const tw_args *args, const tw_plate *plate,
                           const tw_cli_surety *sureties, const tw_extra_weight *extras)
{
    json_t *grid = json_pack("[I,I]", (json_int_t)plate->grid->nu, (json_int_t)plate->grid->nv);
    json_t *maps = json_array();

    for (size_t k = 0; maps && k < plate->map_count; k++) {
        json_t *map = map_json(args, plate, &plate->maps[k], sureties ? &sureties[k] : NULL);
        if (json_array_append_new(maps, tw_extra_json(map, extras ? &extras[k] : NULL)) != 0) {
            json_decref(maps);
            maps = NULL;
        }
    }
    return tw_weigh_document(plate->profile->plate, grid, maps);
}

/* ---- CSV --------------------------------------------------------------------------------- */

void tw_show_weigh_csv_head(tw_output *out)
{
    tw_output_print(out, NULL,
                    "plate,map,zone,mass_g,numerical_error_g,volume_mm3,face_area_mm2,"
                    "mean_thickness_mm,centroid_x_mm,centroid_y_mm,centroid_z_mm,"
                    "thickness_min_mm,thickness_max_mm,steepest_grade_mm_per_100mm,"
                    "u_g,expanded_g,mean_thickness_u_mm,mean_thickness_expanded_mm\n");
}

void tw_weigh_csv_row(tw_output *out, const char *plate, const char *map, const char *zone,
                      const double *values, size_t count)
{
    tw_csv_text(out, plate, false);
    tw_csv_text(out, map, false);
    tw_csv_text(out, zone, false);
    for (size_t k = 0; k < count; k++)
        tw_csv_number(out, values[k], k + 1 == count);
}

void tw_show_weigh_csv(tw_output *out, const tw_plate *plate, const tw_cli_surety *sureties,
                       const tw_extra_weight *extras)
{
    for (size_t m = 0; m < plate->map_count; m++) {
        const tw_plate_map *map = &plate->maps[m];
        const tw_weight *weight = &map->weight;
        const char *word = tw_map_word(map->map.kind);
        const bool sure = sureties && sureties[m].given;
        const double whole[] = {weight->mass_g,
                                weight->numerical_error_g,
                                weight->volume_mm3,
                                weight->face_area_mm2,
                                weight->mean_thickness_mm,
                                weight->centroid_mm[0],
                                weight->centroid_mm[1],
                                weight->centroid_mm[2],
                                map->map.thinnest,
                                map->map.thickest,
                                100 * map->map.steepest_grade,
                                sure ? sureties[m].budget.u : NAN,
                                sure ? sureties[m].budget.expanded : NAN,
                                NAN,
                                NAN};
        tw_weigh_csv_row(out, plate->profile->plate, word, "", whole, sizeof whole / sizeof *whole);
        for (size_t k = 0; k < plate->zones.count; k++) {
            const tw_zone_weight *zone = &map->zones[k];
            const double part[] = {zone->mass_g,
                                   NAN,
                                   NAN,
                                   zone->area_mm2,
                                   zone->mean_thickness_mm,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN,
                                   NAN};
            tw_weigh_csv_row(out, plate->profile->plate, word, zone->zone, part,
                             sizeof part / sizeof *part);
        }
        tw_show_extra_csv(out, plate->profile->plate, word, &extras[m]);
    }
}
