/*
 * survey_map.c: the fitted readings on a grid: means at nodes and cells, standard deviations at nodes,
 * and weighted sums over the plate with their standard deviation.
 *
 * A sum over 256² cells with all correlations would need 4·10⁹ covariances. Cells are gathered into at
 * most 64 × 64 blocks, each at its centre of weight: over a block the covariance is taken as that of
 * its centre, an error of second order in block size over scale, told by the same with 32 × 32.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FINE_BLOCKS = 64, COARSE_BLOCKS = 32 };
static const double LEAST_THICKNESS = 0.05; /* [mm]: a mean may run below zero far from readings */
static const double PLANE_UNIT = 100;       /* [mm] of tape: keeps plane and even of one size */

/* ---- trend -------------------------------------------------------------------------------- */

size_t tw_survey_basis_count(tw_trend trend)
{
    return trend == TW_TREND_PLANE ? 3 : 1;
}

/* Centred on the outline's box, which is the same on every grid. */
void tw_survey_basis(const tw_survey *survey, double across, double up, double forged,
                     double *basis)
{
    const tw_outline *outline;

    switch (survey->trend) {
    case TW_TREND_EVEN:
        basis[0] = 1;
        return;
    case TW_TREND_PLANE:
        outline = tw_form_outline(survey->form);
        basis[0] = 1;
        basis[1] = (across - 0.5 * (outline->across_min + outline->across_max)) / PLANE_UNIT;
        basis[2] = (up - 0.5 * (outline->up_min + outline->up_max)) / PLANE_UNIT;
        return;
    case TW_TREND_FORGED:
        basis[0] = forged;
        return;
    }
}

double tw_survey_forged(const tw_survey *survey, const double tape[2])
{
    tw_spot spot;

    if (!survey->taper)
        return 1;
    spot = tw_spot_of(survey->grid, tape, TW_NO_EDGE);
    return tw_blend_at(&survey->taper->blend, &spot);
}

/* ---- points of a grid ----------------------------------------------------------------------- */

/* Points gathered for one call of the process. */
typedef struct points {
    size_t count, functions;
    size_t *index; /* of the node or cell */
    double (*position)[3];
    double *basis, *mean, *sd;
} points;

static void points_release(points *p)
{
    free(p->index);
    free(p->position);
    free(p->basis);
    free(p->mean);
    free(p->sd);
}

static tw_status points_init(points *p, size_t room, size_t functions, tw_error *err)
{
    *p = (points){.functions = functions};
    p->index = malloc((room + 1) * sizeof *p->index);
    p->position = malloc((room + 1) * sizeof *p->position);
    p->basis = malloc((room + 1) * functions * sizeof *p->basis);
    p->mean = malloc((room + 1) * sizeof *p->mean);
    p->sd = malloc((room + 1) * sizeof *p->sd);
    if (p->index && p->position && p->basis && p->mean && p->sd)
        return TW_OK;
    points_release(p);
    *p = (points){0};
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the readings at %zu points", room);
}

/* The taper's own map on the survey's grid; an empty one for other trends. */
static tw_status forged_map(const tw_survey *survey, tw_map *out, tw_error *err)
{
    memset(out, 0, sizeof *out);
    return survey->taper ? tw_map_forged(survey->taper, out, err) : TW_OK;
}

/* Nodes that a cell with metal hangs on: those in metal, and the ones just outside that values along
 * the outline are read between. */
static tw_status take_nodes(const tw_survey *survey, const tw_map *forged, points *p, tw_error *err)
{
    const tw_grid *grid = survey->grid;
    const size_t nodes = grid->nu * grid->nv;
    bool *wanted = calloc(nodes, sizeof *wanted);
    size_t count = 0;
    tw_status status;

    if (!wanted)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu nodes", nodes);
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const size_t n = c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1);
        if (grid->area[c] > 0)
            wanted[n] = wanted[n + 1] = wanted[n + grid->nu] = wanted[n + grid->nu + 1] = true;
    }
    for (size_t n = 0; n < nodes; n++) {
        wanted[n] = wanted[n] || grid->level[n] <= 0;
        count += wanted[n];
    }
    status = points_init(p, count, tw_survey_basis_count(survey->trend), err);
    for (size_t n = 0; status == TW_OK && n < nodes; n++) {
        const size_t k = p->count;
        if (!wanted[n])
            continue;
        p->index[k] = n;
        p->position[k][0] = grid->x[n];
        p->position[k][1] = grid->y[n];
        p->position[k][2] = grid->z[n];
        tw_survey_basis(survey, tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu),
                        forged->node ? forged->node[n] : 1, p->basis + k * p->functions);
        p->count++;
    }
    free(wanted);
    return status;
}

/* Calls visit() for every cell with metal, with the tape coordinates of its sampling point. */
typedef void (*cell_visit)(const tw_survey *survey, size_t cell, bool cut, double across, double up,
                           void *context);
static void each_cell(const tw_survey *survey, cell_visit visit, void *context)
{
    const tw_grid *grid = survey->grid;
    size_t next = 0;

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const size_t i = c % (grid->nu - 1), j = c / (grid->nu - 1);
        double across = 0.5, up = 0.5;
        bool cut = false;
        while (next < grid->cut_count && grid->cuts[next].cell < c)
            next++;
        if (next < grid->cut_count && grid->cuts[next].cell == c) {
            across = grid->cuts[next].across;
            up = grid->cuts[next].up;
            cut = true;
        }
        if (grid->area[c] > 0)
            visit(survey, c, cut, tw_grid_across(grid, i) + across * grid->across_step,
                  tw_grid_up(grid, j) + up * grid->up_step, context);
    }
}

typedef struct cell_take {
    const tw_map *forged;
    points *points;
} cell_take;

/* A taper may step within a cell, which four nodes do not show, so about a forged trend every cell is
 * asked for. About the others the mean of four nodes is as good as the midpoint rule itself. */
static void take_cell(const tw_survey *survey, size_t cell, bool cut, double across, double up,
                      void *context)
{
    const cell_take *take = context;
    points *p = take->points;
    const tw_grid *grid = survey->grid;

    if (!cut && !survey->taper)
        return;
    p->index[p->count] = cell;
    p->position[p->count][0] = grid->cell_x[cell];
    p->position[p->count][1] = grid->cell_y[cell];
    p->position[p->count][2] = grid->cell_z[cell];
    tw_survey_basis(survey, across, up, take->forged->cell ? take->forged->cell[cell] : 1,
                    p->basis + p->count * p->functions);
    p->count++;
}

/* ---- the map ----------------------------------------------------------------------------------- */

static tw_status fill_nodes(const tw_survey *survey, const tw_map *forged, unsigned threads,
                            tw_map *map, tw_error *err)
{
    const size_t nodes = survey->grid->nu * survey->grid->nv;
    points p;
    tw_sum sum = {0, 0};
    tw_status status = take_nodes(survey, forged, &p, err);

    if (status != TW_OK)
        return status;
    status = tw_krige_predict(survey->krige, p.count, (const double(*)[3])p.position, p.basis,
                              threads, p.mean, NULL, err);
    for (size_t k = 0; status == TW_OK && k < p.count; k++) {
        p.mean[k] = fmax(p.mean[k], LEAST_THICKNESS);
        tw_sum_add(&sum, p.mean[k]);
    }
    if (status ==
        TW_OK) { /* nodes off the metal: nothing hangs on them, but they must be numbers */
        for (size_t n = 0; n < nodes; n++)
            map->node[n] = p.count > 0 ? tw_sum_value(&sum) / (double)p.count : LEAST_THICKNESS;
        for (size_t k = 0; k < p.count; k++)
            map->node[p.index[k]] = p.mean[k];
    }
    points_release(&p);
    return status;
}

static tw_status fill_cells(const tw_survey *survey, const tw_map *forged, unsigned threads,
                            tw_map *map, tw_error *err)
{
    const tw_grid *grid = survey->grid;
    const size_t room = survey->taper ? tw_grid_cells(grid) : grid->cut_count;
    points p;
    cell_take take = {forged, &p};
    tw_status status = points_init(&p, room, tw_survey_basis_count(survey->trend), err);

    if (status != TW_OK)
        return status;
    tw_grid_to_cells(grid, map->node, map->cell);
    each_cell(survey, take_cell, &take);
    status = tw_krige_predict(survey->krige, p.count, (const double(*)[3])p.position, p.basis,
                              threads, p.mean, NULL, err);
    for (size_t k = 0; status == TW_OK && k < p.count; k++)
        map->cell[p.index[k]] = fmax(p.mean[k], LEAST_THICKNESS);
    points_release(&p);
    return status;
}

tw_status tw_map_readings(const tw_survey *survey, unsigned threads, tw_map *out, tw_error *err)
{
    tw_map map = {0}, forged;
    tw_status status;

    assert(survey && survey->grid && out);
    status = forged_map(survey, &forged, err);
    if (status == TW_OK)
        status = tw_map_make(TW_MAP_READINGS, survey->grid, &map, err);
    if (status == TW_OK)
        status = fill_nodes(survey, &forged, threads, &map, err);
    if (status == TW_OK)
        status = fill_cells(survey, &forged, threads, &map, err);
    tw_map_release(&forged);
    if (status != TW_OK) {
        tw_map_release(&map);
        return status;
    }
    tw_map_survey(&map, survey->form);
    *out = map;
    return TW_OK;
}

tw_status tw_survey_spread(tw_survey *survey, unsigned threads, tw_error *err)
{
    double *sd = NULL;
    tw_map forged;
    points p = {0};
    tw_status status;

    assert(survey && survey->grid);
    status = forged_map(survey, &forged, err);
    if (status != TW_OK)
        return status;
    status = take_nodes(survey, &forged, &p, err);
    if (status == TW_OK) {
        sd = tw_arena_array(survey->arena, survey->grid->nu * survey->grid->nv, sizeof *sd);
        if (!sd)
            status = tw_fail(err, TW_ERR_MEMORY, "no memory for a map of standard deviations");
    }
    if (status == TW_OK)
        status = tw_krige_predict(survey->krige, p.count, (const double(*)[3])p.position, p.basis,
                                  threads, NULL, p.sd, err);
    if (status == TW_OK) {
        for (size_t k = 0; k < p.count; k++)
            sd[p.index[k]] = p.sd[k];
        survey->sd = sd;
    }
    points_release(&p);
    tw_map_release(&forged);
    return status;
}

/* ---- sums --------------------------------------------------------------------------------------- */

/* Crease pieces may give a tiny cell a weight below zero; places are averaged by size of weight. */
typedef struct gathering {
    const tw_map *forged;
    const double *weight;
    size_t columns, rows; /* of blocks */
    double *size;         /* per block: Σ|weight| */
    tw_blocks *blocks;
} gathering;

static void gather_cell(const tw_survey *survey, size_t cell, bool cut, double across, double up,
                        void *context)
{
    const gathering *g = context;
    const tw_grid *grid = survey->grid;
    const size_t nu = grid->nu - 1, nv = grid->nv - 1,
                 functions = tw_survey_basis_count(survey->trend);
    const size_t block = cell / nu * g->rows / nv * g->columns + cell % nu * g->columns / nu;
    const double weight = g->weight[cell], size = fabs(weight);
    double basis[TW_BASIS_MAX];

    (void)cut;
    tw_survey_basis(survey, across, up, g->forged->cell ? g->forged->cell[cell] : 1, basis);
    g->size[block] += size;
    g->blocks->weight[block] += weight;
    g->blocks->position[block][0] += size * grid->cell_x[cell];
    g->blocks->position[block][1] += size * grid->cell_y[cell];
    g->blocks->position[block][2] += size * grid->cell_z[cell];
    for (size_t f = 0; f < functions; f++)
        g->blocks->basis[block * functions + f] += size * basis[f];
}

/* Blocks without weight go; sums become means. */
static void settle_blocks(const gathering *g, size_t functions)
{
    tw_blocks *blocks = g->blocks;
    size_t kept = 0;

    for (size_t b = 0; b < g->columns * g->rows; b++) {
        if (!(g->size[b] > 0))
            continue;
        for (int k = 0; k < 3; k++)
            blocks->position[kept][k] = blocks->position[b][k] / g->size[b];
        for (size_t f = 0; f < functions; f++)
            blocks->basis[kept * functions + f] = blocks->basis[b * functions + f] / g->size[b];
        blocks->weight[kept] = blocks->weight[b];
        kept++;
    }
    blocks->count = kept;
}

tw_status tw_survey_gather(const tw_survey *survey, const double *weight, size_t side,
                           tw_arena *arena, tw_blocks *out, tw_error *err)
{
    const size_t nu = survey->grid->nu - 1, nv = survey->grid->nv - 1;
    const size_t functions = tw_survey_basis_count(survey->trend);
    gathering g = {.weight = weight,
                   .columns = nu < side ? nu : side,
                   .rows = nv < side ? nv : side,
                   .blocks = out};
    const size_t room = g.columns * g.rows;
    tw_map forged;
    tw_status status;

    out->count = 0;
    out->position = tw_arena_array(arena, room, sizeof *out->position);
    out->basis = tw_arena_array(arena, room * functions, sizeof *out->basis);
    out->weight = tw_arena_array(arena, room, sizeof *out->weight);
    g.size = tw_arena_array(arena, room, sizeof *g.size);
    if (!out->position || !out->basis || !out->weight || !g.size)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu blocks", room);
    status = forged_map(survey, &forged, err);
    if (status != TW_OK)
        return status;
    g.forged = &forged;
    each_cell(survey, gather_cell, &g);
    settle_blocks(&g, functions);
    tw_map_release(&forged);
    return TW_OK;
}

static tw_status sum_blocks(const tw_survey *survey, const double *weight, size_t side,
                            unsigned threads, double *sum, double *sd, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_blocks blocks;
    tw_status status = arena ? tw_survey_gather(survey, weight, side, arena, &blocks, err)
                             : tw_fail(err, TW_ERR_MEMORY, "no memory to sum the readings");

    if (status == TW_OK)
        status = tw_krige_sum(survey->krige, blocks.count, (const double(*)[3])blocks.position,
                              blocks.basis, blocks.weight, threads, sum, sd, err);
    tw_arena_free(arena);
    return status;
}

tw_status tw_survey_sum(const tw_survey *survey, const double *weight, unsigned threads,
                        double *sum, double *sd, double *block_error, tw_error *err)
{
    double fine_sum, fine_sd, coarse_sum, coarse_sd = 0;
    tw_status status;

    assert(survey && survey->grid && weight);
    status = sum_blocks(survey, weight, FINE_BLOCKS, threads, &fine_sum, &fine_sd, err);
    if (status == TW_OK && block_error)
        status = sum_blocks(survey, weight, COARSE_BLOCKS, threads, &coarse_sum, &coarse_sd, err);
    if (status != TW_OK)
        return status;
    if (sum)
        *sum = fine_sum;
    if (sd)
        *sd = fine_sd;
    if (block_error)
        *block_error = fabs(fine_sd - coarse_sd);
    return TW_OK;
}
