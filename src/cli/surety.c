/* surety.c: how sure a map's mass is, as far as the options typed ask for it. */
#include "cli_internal.h"

bool tw_cli_surety_asked(const tw_args *args)
{
    return args->uncertainty || args->budget || args->trials > 0;
}

tw_status tw_cli_surety_make(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                             tw_cli_surety *out, tw_error *err)
{
    const unsigned threads = (unsigned)args->threads;
    tw_status status;

    *out = (tw_cli_surety){0};
    if (map->map.kind == TW_MAP_READINGS && plate->survey->edges_only)
        return TW_OK;
    status = tw_plate_budget(plate, map, threads, &out->budget, err);
    out->given = status == TW_OK;
    if (status == TW_OK && plate->profile->scale > 0) {
        status = tw_plate_agreement(plate, map, &out->budget, &out->agreement, err);
        out->compared = status == TW_OK;
    }
    if (status == TW_OK && args->trials > 0) {
        status = tw_plate_monte_carlo(&out->budget, args->trials, args->seed, threads, &out->trials,
                                      err);
        out->tried = status == TW_OK;
    }
    return status;
}

void tw_cli_surety_release(tw_cli_surety *surety)
{
    if (surety->given)
        tw_budget_release(&surety->budget);
    *surety = (tw_cli_surety){0};
}
