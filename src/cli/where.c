/* where.c: the parts of a plate that the ± of its readings comes from, in a maker's words. */
#include "cli_internal.h"

#include <stdio.h>
#include <stdlib.h>

enum { WORDS = 96 };

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
