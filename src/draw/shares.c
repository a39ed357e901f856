/* shares.c: how much of a plate's face has which thickness: cells' areas sorted into equal bins. */
#include "views.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SAME_MM = 1e-6; /* rounding puts no metal into the next bin */

/* What the request is about, in a cell. */
static double cell_value(const tw_view_request *request, const double *spread, size_t cell)
{
    switch (request->quantity) {
    case TW_OF_THICKNESS:
        return request->map->cell[cell];
    case TW_OF_DIFFERENCE:
        return request->map->cell[cell] - request->beside->cell[cell];
    case TW_OF_SPREAD:
        return spread[cell];
    }
    return 0;
}

typedef struct entry {
    double value, area;
} entry;

static int by_value(const void *a, const void *b)
{
    const double x = ((const entry *)a)->value, y = ((const entry *)b)->value;

    return (x > y) - (x < y);
}

/* Least thickness that half of the area is not above. */
static double median_of(const entry *entries, size_t count, double whole)
{
    double below = 0;

    for (size_t k = 0; k < count; k++) {
        below += entries[k].area;
        if (below >= whole / 2)
            return entries[k].value;
    }
    return count ? entries[count - 1].value : 0;
}

static size_t bin_of(const tw_shares *shares, double value)
{
    const double place = floor((value - shares->low + SAME_MM) / shares->step);

    return place <= 0 ? 0 : place >= (double)shares->count ? shares->count - 1 : (size_t)place;
}

static void choose_bins(tw_shares *out, double low, double high, tw_units units)
{
    const double least = units == TW_INCH ? 25.4 * 0.001 : 0.02;

    out->step = fmax(tw_round_step(high - low, 9, units), least);
    out->low = floor((low + SAME_MM) / out->step) * out->step;
    out->count = (size_t)fmax(1, ceil((high - SAME_MM - out->low) / out->step));
    while (out->count > TW_SHARE_BINS_MAX) { /* never with steps that fit the span */
        out->step *= 2;
        out->count = (out->count + 2) / 2;
    }
}

static void sort_beside(const tw_view_request *request, tw_shares *out)
{
    const tw_map *beside = request->beside;
    const tw_grid *grid = request->plate->grid;
    tw_sum sum = {0};

    out->beside_mean = NAN;
    if (!beside || request->quantity != TW_OF_THICKNESS)
        return;
    out->beside_even = beside->thickest - beside->thinnest < SAME_MM;
    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        if (grid->area[c] > 0) {
            tw_sum_add(&sum, grid->area[c] * beside->cell[c]);
            if (!out->beside_even)
                out->beside_mm2[bin_of(out, beside->cell[c])] += grid->area[c];
        }
    out->beside_mean = tw_sum_value(&sum) / out->whole_mm2;
}

tw_status tw_shares_make(const tw_view_request *request, tw_units units, tw_shares *out,
                         tw_error *err)
{
    const tw_grid *grid = request->plate->grid;
    const size_t cells = tw_grid_cells(grid);
    const tw_map *beside = request->quantity == TW_OF_THICKNESS ? request->beside : NULL;
    entry *entries = malloc(cells * sizeof *entries);
    double *spread = calloc(cells, sizeof *spread);
    tw_sum whole = {0}, sum = {0};
    double low, high;
    size_t count = 0;

    *out = (tw_shares){0};
    if (!entries || !spread) {
        free(entries);
        free(spread);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a plate's shares");
    }
    if (request->quantity == TW_OF_SPREAD)
        tw_grid_to_cells(grid, request->plate->survey->sd, spread);
    for (size_t c = 0; c < cells; c++)
        if (grid->area[c] > 0) {
            entries[count++] = (entry){cell_value(request, spread, c), grid->area[c]};
            tw_sum_add(&whole, grid->area[c]);
            tw_sum_add(&sum, grid->area[c] * entries[count - 1].value);
        }
    qsort(entries, count, sizeof *entries, by_value);
    low = count ? entries[0].value : 0;
    high = count ? entries[count - 1].value : 0;
    if (beside && beside->thickest - beside->thinnest >= SAME_MM) {
        low = fmin(low, beside->thinnest);
        high = fmax(high, beside->thickest);
    }
    out->whole_mm2 = tw_sum_value(&whole);
    out->mean = tw_sum_value(&sum) / out->whole_mm2;
    out->median = median_of(entries, count, out->whole_mm2);
    choose_bins(out, low, high, units);
    for (size_t k = 0; k < count; k++)
        out->area_mm2[bin_of(out, entries[k].value)] += entries[k].area;
    sort_beside(request, out);
    free(entries);
    free(spread);
    return TW_OK;
}
