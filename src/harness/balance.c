/*
 * balance.c: where the parts that are in balance together, and what becomes of mass and balance with
 * one part out or made of sheet. A part's plates count as they are modelled, in proportion to the grams
 * counted for it; fittings lie where its plates do; a part without plates is a point.
 */
#include "harness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* One part with the grams that count for it; false when its place is not known. */
static bool lump_of(const tw_part *part, int kind, double g, tw_lump *out)
{
    if (tw_part_lump(part, kind, out)) {
        tw_lump_scale(out, g);
        return true;
    }
    if (!part->has_balance)
        return false;
    *out = (tw_lump){.g = g};
    memcpy(out->at, part->balance, sizeof out->at);
    return true;
}

void tw_total_balance(tw_total *total)
{
    tw_lump sum = {0}, lump;
    bool all = true;

    for (size_t k = 0; all && k < total->harness->part_count; k++) {
        if (!total->in[k] || !tw_figure_is(&total->figure[k]))
            continue;
        all = lump_of(&total->harness->parts[k], TW_MAP_COUNTED, total->figure[k].g, &lump);
        if (all)
            tw_lump_add(&sum, &lump);
    }
    total->has_balance = all && sum.g > 0;
    for (int i = 0; i < 3; i++) {
        total->balance[i] = total->has_balance ? sum.at[i] : (double)NAN;
        for (int j = 0; j < 3; j++)
            total->inertia_g_mm2[i][j] = total->has_balance ? sum.inertia[i][j] : (double)NAN;
    }
}

/* ---- another part ------------------------------------------------------------------------------- */

/* The part, or its twin where both are meant. */
static bool is_meant(const tw_total *total, size_t part, bool pair, size_t k)
{
    const tw_part *parts = total->harness->parts;

    return k == part || (pair && parts[k].spec == parts[part].spec);
}

static tw_status check_part(const tw_total *total, size_t part, bool pair, bool sheet,
                            tw_error *err)
{
    const tw_harness *harness = total->harness;

    assert(part < harness->part_count);
    for (size_t k = 0; k < harness->part_count; k++) {
        const tw_part *item = &harness->parts[k];
        if (!is_meant(total, part, pair, k) || (k != part && !total->in[k]))
            continue;
        if (!total->in[k] || !tw_figure_is(&total->figure[k]))
            return tw_fail(err, TW_ERR_INPUT, "%s is not in, or has no figure", item->name);
        if (sheet && (isnan(item->sheet_g) || !tw_figure_is(&item->modelled)))
            return tw_fail(err, TW_ERR_INPUT, "%s has no sheet map to be made of sheet by",
                           item->name);
    }
    return TW_OK;
}

/* Grams that count with the part's plates all of sheet: what the models differ by, on top. */
static double as_sheet(const tw_part *part, double counted)
{
    return counted + part->sheet_g - (part->modelled.g - part->fittings.g);
}

/* The sum with meant parts out, or of sheet. */
static void sum_other(const tw_total *total, size_t part, bool pair, bool sheet, double *mass_g,
                      double balance[3])
{
    tw_lump sum = {0}, lump;
    tw_sum mass = {0, 0};
    bool placed = true;

    for (size_t k = 0; k < total->harness->part_count; k++) {
        const tw_part *item = &total->harness->parts[k];
        const bool meant = is_meant(total, part, pair, k);
        double g = total->figure[k].g;
        if (!total->in[k] || isnan(g) || (meant && !sheet))
            continue;
        if (meant)
            g = as_sheet(item, g);
        tw_sum_add(&mass, g);
        placed = placed && lump_of(item, meant ? TW_MAP_SHEET : TW_MAP_COUNTED, g, &lump);
        if (placed)
            tw_lump_add(&sum, &lump);
    }
    *mass_g = tw_sum_value(&mass);
    for (int i = 0; i < 3; i++)
        balance[i] = placed && sum.g > 0 ? sum.at[i] : (double)NAN;
}

tw_status tw_total_without(const tw_total *total, size_t part, bool pair, double *mass_g,
                           double balance[3], tw_error *err)
{
    const tw_status status = check_part(total, part, pair, false, err);

    if (status == TW_OK)
        sum_other(total, part, pair, false, mass_g, balance);
    return status;
}

tw_status tw_total_as_sheet(const tw_total *total, size_t part, bool pair, double *mass_g,
                            double balance[3], tw_error *err)
{
    const tw_status status = check_part(total, part, pair, true, err);

    if (status == TW_OK)
        sum_other(total, part, pair, true, mass_g, balance);
    return status;
}
