/*
 * survey_where.c: where on the plate the uncertainty of a sum over it comes from. The plate is divided
 * in parts that a maker would point at, and the variance of the sum among them: with M the sum and M_k
 * that over part k, share_k = Cov(M_k, M)/Var(M). As M = Σ M_k, the shares add up to 1 whatever the
 * correlations between the parts (the Euler decomposition of a variance; derived here).
 *
 * Cells are gathered part by part, so that no block straddles two of them. Blocks are coarser than
 * those of tw_survey_sum(): shares are told as "half" or "a third".
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCKS = 32 };
static const double CROWN = 0.5; /* of the way from the middle of the box to its border */
/* Common practice, no source: less is not worth a walk to the plate. */
static const double BARE_SHARE = 0.30, BARE_EXCESS = 0.15, UNREAD_EXCESS = 0.05;

/* ---- parts ------------------------------------------------------------------------------------ */

static int third(double place)
{
    return place < -1.0 / 3 ? -1 : place > 1.0 / 3 ? 1 : 0;
}

/* What part a tape point lies in, by its place in the outline's box from −1 to 1. */
static size_t part_of(const tw_form *form, bool bowl, double across, double up)
{
    const tw_outline *box = tw_form_outline(form);
    const double x =
        (2 * across - box->across_min - box->across_max) / (box->across_max - box->across_min);
    const double y = (2 * up - box->up_min - box->up_max) / (box->up_max - box->up_min);
    int i = third(x), j = third(y);

    if (bowl) {
        const bool rim = hypot(x, y) > CROWN, sideways = fabs(x) > fabs(y);
        i = rim && sideways ? (x > 0) - (x < 0) : 0;
        j = rim && !sideways ? (y > 0) - (y < 0) : 0;
    }
    return 3 * (size_t)(j + 1) + (size_t)(i + 1);
}

/* ---- shares ----------------------------------------------------------------------------------- */

/* The blocks of all parts, one part after the other. */
typedef struct parts {
    size_t count[TW_REGIONS_MAX], total;
    double (*position)[3];
    double *basis, *weight;
} parts;

static tw_status make_room(tw_arena *arena, size_t room, size_t functions, parts *out,
                           tw_error *err)
{
    out->position = tw_arena_array(arena, room, sizeof *out->position);
    out->basis = tw_arena_array(arena, room * functions, sizeof *out->basis);
    out->weight = tw_arena_array(arena, room, sizeof *out->weight);
    return out->position && out->basis && out->weight
               ? TW_OK
               : tw_fail(err, TW_ERR_MEMORY, "no memory for the parts of the plate");
}

/* Border blocks belong to two parts, at most to four. */
static tw_status take_part(const tw_survey *survey, const double *weight, const size_t *part,
                           size_t which, tw_arena *arena, parts *out, tw_error *err)
{
    const size_t cells = tw_grid_cells(survey->grid);
    const size_t functions = tw_survey_basis_count(survey->trend);
    double *own = tw_arena_array(arena, cells, sizeof *own);
    tw_blocks blocks;
    tw_status status;

    if (!own)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the parts of the plate");
    for (size_t c = 0; c < cells; c++)
        own[c] = survey->grid->area[c] > 0 && part[c] == which ? weight[c] : 0;
    status = tw_survey_gather(survey, own, BLOCKS, arena, &blocks, err);
    if (status != TW_OK)
        return status;
    memcpy(out->position + out->total, blocks.position, blocks.count * sizeof *blocks.position);
    memcpy(out->basis + out->total * functions, blocks.basis,
           blocks.count * functions * sizeof *blocks.basis);
    memcpy(out->weight + out->total, blocks.weight, blocks.count * sizeof *blocks.weight);
    out->count[which] = blocks.count;
    out->total += blocks.count;
    return TW_OK;
}

static tw_status find_shares(const tw_survey *survey, const parts *blocks, unsigned threads,
                             tw_region *regions, tw_error *err)
{
    double covariance[TW_REGIONS_MAX];
    tw_sum whole = {0, 0};
    const tw_status status = tw_krige_parts(survey->krige, TW_REGIONS_MAX, blocks->count,
                                            (const double(*)[3])blocks->position, blocks->basis,
                                            blocks->weight, threads, covariance, err);

    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < TW_REGIONS_MAX; k++)
        tw_sum_add(&whole, covariance[k]);
    for (size_t k = 0; k < TW_REGIONS_MAX; k++)
        regions[k].share =
            tw_sum_value(&whole) > 0 ? covariance[k] / tw_sum_value(&whole) : regions[k].metal;
    return TW_OK;
}

/* ---- the bare part ------------------------------------------------------------------------------ */

static bool belongs(const tw_region *region, const tw_where *where, int across, int up)
{
    if (where->bowl && across == TW_REGION_ALL)
        return region->across != 0 || region->up != 0;
    return (across == TW_REGION_ALL || region->across == across) &&
           (up == TW_REGION_ALL || region->up == up);
}

static void try_bare(tw_where *where, size_t used, int across, int up)
{
    tw_region joined = {.across = across, .up = up};

    for (size_t k = 0; k < where->count; k++)
        if (belongs(&where->regions[k], where, across, up)) {
            joined.share += where->regions[k].share;
            joined.metal += where->regions[k].metal;
            joined.readings += where->regions[k].readings;
        }
    if (joined.share < BARE_SHARE ||
        joined.share - joined.metal < (joined.readings > 0 ? BARE_EXCESS : UNREAD_EXCESS) ||
        (double)joined.readings >= joined.metal * (double)used)
        return;
    if (where->found && joined.share - joined.metal <= where->bare.share - where->bare.metal)
        return;
    where->found = true;
    where->bare = joined;
}

static void find_bare(tw_where *where, size_t used)
{
    for (size_t k = 0; k < where->count; k++)
        try_bare(where, used, where->regions[k].across, where->regions[k].up);
    for (int k = -1; k <= 1 && !where->bowl; k++) {
        try_bare(where, used, k, TW_REGION_ALL);
        try_bare(where, used, TW_REGION_ALL, k);
    }
    if (where->bowl)
        try_bare(where, used, TW_REGION_ALL, TW_REGION_ALL);
}

/* ---- together ----------------------------------------------------------------------------------- */

static void take_metal(const tw_survey *survey, bool bowl, size_t *part, tw_region *regions)
{
    const tw_grid *grid = survey->grid;
    tw_sum areas[TW_REGIONS_MAX] = {{0, 0}}, all = {0, 0};

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const size_t i = c % (grid->nu - 1), j = c / (grid->nu - 1);
        part[c] = part_of(survey->form, bowl, tw_grid_across(grid, i) + 0.5 * grid->across_step,
                          tw_grid_up(grid, j) + 0.5 * grid->up_step);
        if (grid->area[c] > 0) {
            tw_sum_add(&areas[part[c]], grid->area[c]);
            tw_sum_add(&all, grid->area[c]);
        }
    }
    for (size_t k = 0; k < TW_REGIONS_MAX; k++) {
        regions[k] = (tw_region){.across = (int)(k % 3) - 1,
                                 .up = (int)(k / 3) - 1,
                                 .metal = tw_sum_value(&areas[k]) / tw_sum_value(&all)};
    }
    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        if (placed->used)
            regions[part_of(survey->form, bowl, placed->tape[0], placed->tape[1])].readings++;
    }
}

tw_status tw_survey_where(const tw_survey *survey, const double *weight, unsigned threads,
                          tw_where *out, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    tw_arena *arena = tw_arena_new();
    tw_where where = {.bowl = tw_form_profile(survey->form)->form == TW_FORM_BOWL};
    tw_region regions[TW_REGIONS_MAX];
    parts blocks = {0};
    size_t *part = NULL;
    tw_status status = TW_OK;

    assert(survey->grid && weight && out);
    if (arena)
        part = tw_arena_array(arena, tw_grid_cells(survey->grid), sizeof *part);
    if (!part)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the parts of the plate");
    if (status == TW_OK)
        status = make_room(arena, 4 * BLOCKS * BLOCKS, functions, &blocks, err);
    if (status == TW_OK)
        take_metal(survey, where.bowl, part, regions);
    for (size_t k = 0; status == TW_OK && k < TW_REGIONS_MAX; k++)
        status = take_part(survey, weight, part, k, arena, &blocks, err);
    if (status == TW_OK)
        status = find_shares(survey, &blocks, threads, regions, err);
    if (status == TW_OK) {
        for (size_t k = 0; k < TW_REGIONS_MAX; k++)
            if (blocks.count[k] > 0)
                where.regions[where.count++] = regions[k];
        find_bare(&where, survey->used);
        *out = where;
    }
    tw_arena_free(arena);
    return status;
}
