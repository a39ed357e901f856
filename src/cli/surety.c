/* surety.c: how sure a map's mass is, whether the scale agrees, and trials where they are asked for. */
#include "cli_internal.h"
#include "cli_weigh.h"

/* What follows from a budget that holds. */
static tw_status go_on(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                       tw_cli_surety *out, tw_error *err)
{
    tw_status status = TW_OK;

    out->given = true;
    if (plate->profile->scale > 0) {
        status = tw_plate_agreement(plate, map, &out->budget, &out->agreement, err);
        out->compared = status == TW_OK;
    }
    if (status == TW_OK && args->trials > 0) {
        status = tw_plate_monte_carlo(&out->budget, args->trials, args->seed,
                                      (unsigned)args->threads, &out->trials, err);
        out->tried = status == TW_OK;
    }
    return status;
}

/* Which part of the plate the readings leave unsure, where that is what the ± comes from. A process that
 * does not wander from place to place is as sure everywhere. */
static tw_status locate(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                        tw_cli_surety *out, tw_error *err)
{
    const tw_budget_row *largest = tw_budget_largest(&out->budget);
    tw_status status;

    if (map->map.kind != TW_MAP_READINGS || args->json || args->csv || !largest ||
        largest->kind != TW_ROW_READINGS || tw_krige_about(plate->survey->krige).trend_only)
        return TW_OK;
    out->readings_share = tw_cli_kind_share(&out->budget, TW_ROW_READINGS);
    status = tw_cli_where(args, plate, map, &out->where, err);
    out->located = status == TW_OK;
    return status;
}

tw_status tw_cli_surety_make(const tw_args *args, const tw_plate *plate, const tw_plate_map *map,
                             tw_cli_surety *out, tw_error *err)
{
    tw_status status;

    *out = (tw_cli_surety){0};
    if (map->map.kind == TW_MAP_READINGS && plate->survey->edges_only)
        return TW_OK;
    status = tw_plate_budget(plate, map, (unsigned)args->threads, &out->budget, err);
    return status == TW_OK ? go_on(args, plate, map, out, err) : status;
}

tw_status tw_cli_sureties_make(const tw_args *args, const tw_plate *plate, tw_cli_surety *out,
                               tw_error *err)
{
    tw_budget budgets[TW_PLATE_MAPS_MAX];
    tw_error why[TW_PLATE_MAPS_MAX];
    tw_status status;

    for (size_t k = 0; k < TW_PLATE_MAPS_MAX; k++)
        out[k] = (tw_cli_surety){0};
    status = tw_plate_budgets(plate, (unsigned)args->threads, budgets, why, err);
    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < plate->map_count; k++) {
        const tw_plate_map *map = &plate->maps[k];
        const bool guess = map->map.kind == TW_MAP_READINGS && plate->survey->edges_only;
        out[k].budget = budgets[k];
        out[k].missing = why[k];
        if (guess) { /* a scale weight would hold the whole, but not this map */
            tw_budget_release(&out[k].budget);
            tw_fail(&out[k].missing, TW_ERR_INPUT, "%s",
                    "all readings lie near the edge, and what lies farther in is a guess");
        } else if (why[k].status == TW_OK && status == TW_OK) {
            status = go_on(args, plate, map, &out[k], err);
            if (status == TW_ERR_UNREACHABLE) {
                out[k].unreached = *err;
                status = TW_OK;
            }
            if (status == TW_OK)
                status = locate(args, plate, map, &out[k], err);
        } else {
            tw_budget_release(&out[k].budget);
        }
    }
    return status;
}

void tw_cli_surety_release(tw_cli_surety *surety)
{
    if (surety->given)
        tw_budget_release(&surety->budget);
    *surety = (tw_cli_surety){0};
}
