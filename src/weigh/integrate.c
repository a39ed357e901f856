/*
 * integrate.c: the whole plate from its solid cells (cell.c).
 *
 * Runs once per map and grid, on up to 16 million cells, and inside searches, so it is written for
 * memory bandwidth: ten arrays are each read once, in chunks of 256 cells. Which thread does which
 * chunk changes nothing: a chunk is summed in eight fixed lanes, chunks of a block in their order
 * with compensation, blocks in theirs. A lane adds 32 terms plainly, so its rounding is at most
 * 32·2⁻⁵³ of the sum of its terms' sizes, and compensation adds 2·2⁻⁵³: a mass is good to 1 part in
 * 10¹⁴ of the terms given. Moments are taken about a point of the plate, not about the bench's
 * origin, so that the step to the centroid cancels few digits.
 */
#include "weigh_internal.h"

#include <assert.h>
#include <float.h>
#include <math.h>

#define CENTROID_LEAST_MM 1e-9 /* far under any measure, far over rounding */
enum { BLOCK = 32 };           /* chunks in a block: 8192 cells, 640 kB read */

typedef struct block_sums {
    tw_sum term[TW_TERMS];
    tw_fault fault;
} block_sums;

typedef struct work {
    const tw_grid *grid;
    const double *thickness;
    tw_rule rule;
    double origin[3];
    block_sums *blocks;
} work;

static void sum_chunks(size_t first, size_t last, void *context)
{
    const work *job = context;
    const size_t cells = tw_grid_cells(job->grid);
    block_sums *block = &job->blocks[first / BLOCK];

    block->fault = tw_fault_none();
    for (size_t k = first; k < last; k++) {
        const size_t from = k * TW_CHUNK, to = cells - from < TW_CHUNK ? cells : from + TW_CHUNK;
        double term[TW_TERMS];
        if (tw_cells_sum(job->grid, job->thickness, &job->rule, job->origin, from, to, term))
            tw_cells_examine(job->grid, job->thickness, &job->rule, from, to, &block->fault);
        for (int n = 0; n < TW_TERMS; n++)
            tw_sum_add(&block->term[n], term[n]);
    }
}

/* A cell with metal near the middle of the arrays; false when no cell has any. */
static bool find_origin(const tw_grid *grid, double origin[3])
{
    const size_t cells = tw_grid_cells(grid);
    const size_t middle = (grid->nv - 1) / 2 * (grid->nu - 1) + (grid->nu - 1) / 2;

    for (size_t k = 0; k < cells; k++) {
        const size_t cell = (middle + k) % cells;
        if (grid->area[cell] > 0) {
            origin[0] = grid->cell_x[cell];
            origin[1] = grid->cell_y[cell];
            origin[2] = grid->cell_z[cell];
            return true;
        }
    }
    return false;
}

/* What is left of terms that cancel, as in a symmetric plate, is rounding and no place. */
static double coordinate(double mm)
{
    return fabs(mm) < CENTROID_LEAST_MM ? 0 : mm;
}

/* From sums about the origin to mass, centroid, and the tensor about the centroid. */
static void finish(const double *sum, const double origin[3], double density, tw_weight *out)
{
    const double volume = sum[TW_VOLUME];
    double second[3][3];
    int term = TW_SECOND_XX;

    *out = (tw_weight){.mass_g = volume * density,
                       .numerical_error_g = NAN,
                       .volume_mm3 = volume,
                       .face_area_mm2 = sum[TW_FACE_AREA],
                       .mean_thickness_mm = sum[TW_FACE_THICKNESS] / sum[TW_FACE_AREA]};
    for (int i = 0; i < 3; i++) {
        out->centroid_mm[i] = coordinate(origin[i] + sum[TW_FIRST_X + i] / volume);
        for (int j = i; j < 3; j++)
            second[i][j] = second[j][i] =
                sum[term++] - sum[TW_FIRST_X + i] * sum[TW_FIRST_X + j] / volume;
    }
    for (int i = 0; i < 3; i++) {
        const int j = (i + 1) % 3, k = (i + 2) % 3;
        out->inertia_g_mm2[i][i] = (second[j][j] + second[k][k]) * density;
        out->inertia_g_mm2[i][j] = -second[i][j] * density;
        out->inertia_g_mm2[i][k] = -second[i][k] * density;
    }
}

tw_status tw_weigh(const tw_grid *grid, const double *thickness, const double *node,
                   tw_face_side face, double density, unsigned threads, tw_weight *out,
                   tw_error *err)
{
    const size_t chunks = (tw_grid_cells(grid) + TW_CHUNK - 1) / TW_CHUNK;
    const size_t block_count = (chunks + BLOCK - 1) / BLOCK;
    work job = {.grid = grid, .thickness = thickness, .rule = tw_rule_of(face)};
    tw_sum term[TW_TERMS] = {{0, 0}};
    double sum[TW_TERMS];
    tw_fault fault = tw_fault_none();
    tw_arena *arena = NULL;
    tw_status status;

    assert(thickness && out);
    status = tw_inputs_check(grid, node, density, err);
    if (status != TW_OK)
        return status;
    if (!find_origin(grid, job.origin))
        return tw_fail(err, TW_ERR_SHAPE, "the plate has no metal: its outline covers no cell");
    arena = tw_arena_new();
    job.blocks = arena ? tw_arena_array(arena, block_count, sizeof *job.blocks) : NULL;
    if (!job.blocks) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory to weigh a plate");
        goto done;
    }
    tw_for_rows(chunks, BLOCK, threads, sum_chunks, &job);
    for (size_t k = 0; k < block_count; k++) {
        tw_fault_join(&fault, &job.blocks[k].fault);
        for (int n = 0; n < TW_TERMS; n++) {
            tw_sum_add(&term[n], job.blocks[k].term[n].total);
            tw_sum_add(&term[n], job.blocks[k].term[n].lost);
        }
    }
    status = tw_fault_tell(&fault, grid, thickness, &job.rule, err);
    if (status != TW_OK)
        goto done;
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        if (tw_crease_mitred(grid, crease))
            tw_crease_sum(crease, &job.rule, tw_crease_thickness(grid, crease, node), job.origin,
                          term);
    }
    for (int n = 0; n < TW_TERMS; n++)
        sum[n] = tw_sum_value(&term[n]);
    if (!(sum[TW_VOLUME] > 0 && sum[TW_VOLUME] <= DBL_MAX)) {
        status =
            tw_fail(err, TW_ERR_SHAPE, "the plate does not enclose a volume that can be weighed");
        goto done;
    }
    finish(sum, job.origin, density, out);
done:
    tw_arena_free(arena);
    return status;
}
