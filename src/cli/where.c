/* where.c: places of a plate in a maker's words: points as they were typed, and the parts of the plate
 * that the ± of its readings comes from. */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { WORDS = 96 };

#define PI 3.14159265358979323846

char *tw_cli_written(const tw_point *at, bool inside, tw_units units, char *out, size_t size)
{
    double value[3];
    char words[3][WORDS];

    for (int k = 0; k < 3; k++) {
        value[k] = at->value[k];
        if (inside && k == (at->kind == TW_POINT_TAPE ? 0 : at->kind == TW_POINT_CROWN ? 1 : 3))
            value[k] = value[k] == 0 ? 0 : -value[k]; /* no −0 */
        tw_write_length(value[k], units, -1, words[k], WORDS);
    }
    switch (at->kind) {
    case TW_POINT_TAPE:
        snprintf(out, size, "[%s, %s]", words[0], words[1]);
        break;
    case TW_POINT_EDGE:
        snprintf(out, size, "%s along %.40s, %s in", words[0], at->edge, words[1]);
        break;
    case TW_POINT_SPACE:
        snprintf(out, size, "x %s, y %s, z %s", words[0], words[1], words[2]);
        break;
    case TW_POINT_CROWN:
        tw_format(out, size, "%s from crown, toward %.4g°", words[0], value[1] * 180 / PI);
        break;
    }
    return out;
}

tw_status tw_cli_where(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                       tw_where *out, tw_error *err)
{
    double *slope = malloc(tw_grid_cells(plate->grid) * sizeof *slope);
    tw_status status;

    if (!slope)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    tw_cell_mass_slopes(plate->grid, map->map.cell, map->map.node, plate->profile->face,
                        plate->profile->density, slope);
    status = tw_survey_where(plate->survey, slope, (unsigned)args->threads, out, err);
    free(slope);
    return status;
}

char *tw_cli_region(tw_worn worn, bool bowl, const tw_region *region, char *out, size_t size)
{
    const char *const side = tw_cli_side(worn, region->across);
    const char *const height = region->up > 0 ? "upper" : "lower";
    const int across = region->across, up = region->up;

    if (bowl && across == TW_REGION_ALL)
        snprintf(out, size, "the rim all round");
    else if (bowl && across != 0)
        snprintf(out, size, "the rim to %s", side);
    else if (bowl && up != 0)
        snprintf(out, size, "the %s rim", height);
    else if (bowl)
        snprintf(out, size, "the crown");
    else if (across == TW_REGION_ALL && up == 0)
        snprintf(out, size, "the middle from side to side");
    else if (across == TW_REGION_ALL)
        snprintf(out, size, "the %s part", height);
    else if (up == TW_REGION_ALL && across == 0)
        snprintf(out, size, "the middle from top to bottom");
    else if (up == TW_REGION_ALL)
        snprintf(out, size, "the whole side to %s", side);
    else if (across == 0 && up == 0)
        snprintf(out, size, "the middle");
    else if (across == 0)
        snprintf(out, size, "the middle of the %s part", height);
    else if (up == 0)
        snprintf(out, size, "the middle part to %s", side);
    else
        snprintf(out, size, "the %s part to %s", height, side);
    return out;
}

static const char *share_words(double share)
{
    return share >= 0.85   ? "Nearly all"
           : share >= 0.60 ? "Most"
           : share >= 0.42 ? "About half"
           : share >= 0.28 ? "About a third"
                           : NULL;
}

bool tw_show_where(tw_output *out, const tw_plate *plate, const tw_where *where, double of_whole)
{
    const char *much = where->found ? share_words(where->bare.share * of_whole) : NULL;
    char region[WORDS];

    if (!much)
        return false;
    tw_output_print(
        out, NULL, "                  %s of that ± comes from %s,\n                  where ", much,
        tw_cli_region(plate->profile->worn, where->bowl, &where->bare, region, sizeof region));
    if (where->bare.readings == 0)
        tw_output_print(out, NULL, "there is no reading.\n");
    else
        tw_output_print(out, NULL, "%.0f %% of the metal has %zu of %zu readings.\n",
                        100 * where->bare.metal, where->bare.readings, plate->survey->used);
    return true;
}

json_t *tw_where_json(const tw_plate *plate, const tw_where *where)
{
    json_t *list = json_array();
    char region[WORDS];

    for (size_t k = 0; list && k < where->count; k++) {
        const tw_region *part = &where->regions[k];
        json_t *item =
            json_pack("{s:s,s:o,s:o,s:I}", "region",
                      tw_cli_region(plate->profile->worn, where->bowl, part, region, sizeof region),
                      "share", tw_json_number(part->share), "metal", tw_json_number(part->metal),
                      "readings", (json_int_t)part->readings);
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}
