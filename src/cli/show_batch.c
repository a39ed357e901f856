/* show_batch.c: rows of `batch`: columns and keys are promised to scripts: add, never rename. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>

static const tw_map_kind kinds[] = {TW_MAP_SHEET, TW_MAP_FORGED, TW_MAP_READINGS, TW_MAP_IMAGE};
enum { KINDS = sizeof kinds / sizeof *kinds };
_Static_assert((int)KINDS == (int)TW_PLATE_MAPS_MAX, "columns for every map that a profile gives");

static const char *status_word(const tw_batch_row *row)
{
    return row->err.status == TW_OK ? "done" : "failed";
}

/* The face is the same for every map. */
static double face_area(const tw_batch_row *row)
{
    for (size_t k = 0; k < KINDS; k++) {
        if (row->maps[kinds[k]].given)
            return row->maps[kinds[k]].weight.face_area_mm2;
    }
    return NAN;
}

static double difference(const tw_batch_row *row)
{
    const tw_batch_map *sheet = &row->maps[TW_MAP_SHEET], *forged = &row->maps[TW_MAP_FORGED];

    return sheet->given && forged->given ? sheet->weight.mass_g - forged->weight.mass_g
                                         : (double)NAN;
}

/* ---- CSV --------------------------------------------------------------------------------- */

void tw_show_batch_csv_head(tw_output *out, const tw_batch *batch)
{
    tw_output_print(out, NULL, "row,file,");
    for (size_t k = 0; k < batch->vary_count; k++)
        tw_csv_text(out, batch->varies[k].path, false);
    tw_output_print(out, NULL, "status,error,plate,face_area_mm2,difference_g");
    for (size_t k = 0; k < KINDS; k++) {
        static const char *const columns[] = {
            "mass_g",           "numerical_error_g", "expanded_g",    "mean_thickness_mm",
            "thickness_min_mm", "thickness_max_mm",  "centroid_x_mm", "centroid_y_mm",
            "centroid_z_mm"};
        for (size_t n = 0; n < sizeof columns / sizeof *columns; n++)
            tw_output_print(out, NULL, ",%s_%s", tw_map_word(kinds[k]), columns[n]);
    }
    tw_output_print(out, NULL, "\n");
}

void tw_show_batch_csv_place(tw_output *out, const tw_batch *batch, const tw_batch_place *place)
{
    tw_output_print(out, NULL, "%zu,", place->number);
    tw_csv_text(out, place->file, false);
    for (size_t k = 0; k < batch->vary_count; k++)
        tw_csv_text(out, place->varied[k].value, false);
}

void tw_show_batch_csv(tw_output *out, const tw_batch *batch, const tw_batch_row *row)
{
    tw_show_batch_csv_place(out, batch, &row->place);
    tw_csv_text(out, status_word(row), false);
    tw_csv_text(out, row->err.message, false);
    tw_csv_text(out, row->profile ? row->profile->plate : "", false);
    tw_csv_number(out, face_area(row), false);
    tw_csv_number(out, difference(row), false);
    for (size_t k = 0; k < KINDS; k++) {
        const tw_batch_map *map = &row->maps[kinds[k]];
        const double values[] = {map->weight.mass_g,
                                 map->weight.numerical_error_g,
                                 map->expanded_g,
                                 map->weight.mean_thickness_mm,
                                 map->thinnest,
                                 map->thickest,
                                 map->weight.centroid_mm[0],
                                 map->weight.centroid_mm[1],
                                 map->weight.centroid_mm[2]};
        const size_t count = sizeof values / sizeof *values;
        for (size_t n = 0; n < count; n++)
            tw_csv_number(out, map->given ? values[n] : (double)NAN,
                          k + 1 == KINDS && n + 1 == count);
    }
}

/* ---- JSON -------------------------------------------------------------------------------- */

json_t *tw_show_batch_place_json(const tw_batch *batch, const tw_batch_place *place)
{
    json_t *varied = json_object();

    for (size_t k = 0; k < batch->vary_count; k++) {
        if (json_object_set_new(varied, place->varied[k].path,
                                tw_json_text(place->varied[k].value)) != 0) {
            json_decref(varied);
            return NULL;
        }
    }
    return json_pack("{s:I,s:o,s:o}", "row", (json_int_t)place->number, "file",
                     tw_json_text(place->file), "vary", varied);
}

static json_t *maps_json(const tw_batch_row *row)
{
    json_t *maps = json_array();

    for (size_t k = 0; maps && k < KINDS; k++) {
        const tw_batch_map *map = &row->maps[kinds[k]];
        json_t *item;
        if (!map->given)
            continue;
        item = json_pack(
            "{s:o,s:o,s:o,s:o,s:o,s:o,s:{s:o,s:o,s:o}}", "map", tw_json_text(tw_map_word(kinds[k])),
            "mass_g", tw_json_number(map->weight.mass_g), "numerical_error_g",
            tw_json_number(map->weight.numerical_error_g), "expanded_g",
            tw_json_number(map->expanded_g), "face_area_mm2",
            tw_json_number(map->weight.face_area_mm2), "centroid_mm",
            tw_json_numbers(map->weight.centroid_mm, 3), "thickness_mm", "min",
            tw_json_number(map->thinnest), "mean", tw_json_number(map->weight.mean_thickness_mm),
            "max", tw_json_number(map->thickest));
        if (json_array_append_new(maps, item) != 0) {
            json_decref(maps);
            return NULL;
        }
    }
    return maps;
}

json_t *tw_show_batch_json(const tw_batch *batch, const tw_batch_row *row)
{
    json_t *document = tw_show_batch_place_json(batch, &row->place);
    const char *error = row->err.status == TW_OK ? NULL : row->err.message;
    json_t *more =
        json_pack("{s:s,s:o,s:o,s:o,s:o}", "status", status_word(row), "error", tw_json_text(error),
                  "plate", tw_json_text(row->profile ? row->profile->plate : NULL), "maps",
                  maps_json(row), "difference_g", tw_json_number(difference(row)));

    if (!document || !more || json_object_update(document, more) != 0) {
        json_decref(document);
        document = NULL;
    }
    json_decref(more);
    return document;
}
