/*
 * system.c: the sparse equations of a step: a symmetric matrix of 2 × 2 blocks between nodes, its
 * Cholesky factor by CXSparse, and conjugate gradients with the last factor as preconditioner. With two
 * rings at 20,000 nodes a factor costs one to two seconds and a solve with it a hundredth of that, so that
 * one factor serves several steps.
 *
 * Unknowns are numbered by order.c, x and y of a node side by side; the matrix needs no further ordering.
 */
#include "blank_internal.h"

#include <assert.h>
#include <cs.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct tw_system {
    size_t nodes;
    uint32_t *number; /* nodes: place of a node in the elimination */
    size_t *above;    /* nodes + 1: where the off-diagonal rows of each column begin in `row` … */
    uint32_t *row;    /* … ascending, each less than its column */
    cs_di matrix;     /* upper half of 2·nodes equations; arrays in the arena */
    cs_dis *symbolic;
    cs_din *numeric;
    double *residual, *precondition, *along, *product, *solution; /* 2·nodes each */
    tw_arena *arena;
};

/* ---- pattern --------------------------------------------------------------------------------- */

/* Neighbours of a node, by number, below its own; `seen` marks them with the node. Returns how many. */
static size_t neighbours(const tw_mesh *mesh, bool two_rings, uint32_t node, const uint32_t *number,
                         uint32_t *seen, uint32_t *out)
{
    const tw_mesh_metric *metric = mesh->metric;
    size_t count = 0;

    for (size_t r = metric->ring_first[node]; r < metric->ring_first[node + 1]; r++) {
        const uint32_t middle = two_rings ? metric->ring[r] : node;
        for (size_t q = metric->ring_first[middle]; q < metric->ring_first[middle + 1]; q++) {
            const uint32_t other = metric->ring[q];
            if (seen[other] == node || number[other] >= number[node])
                continue;
            seen[other] = node;
            out[count++] = number[other];
        }
        if (!two_rings)
            break;
    }
    return count;
}

static int by_number(const void *one, const void *other)
{
    const uint32_t a = *(const uint32_t *)one, b = *(const uint32_t *)other;

    return (a > b) - (a < b);
}

/* Rows above the diagonal of every column, for the numbering in place. */
static bool list_rows(tw_system *system, const tw_mesh *mesh, bool two_rings, tw_arena *arena)
{
    const size_t nodes = system->nodes;
    uint32_t *seen = tw_arena_array(arena, nodes, sizeof *seen);
    uint32_t *found = tw_arena_array(arena, nodes, sizeof *found);
    uint32_t *node_at = tw_arena_array(arena, nodes, sizeof *node_at);

    system->above = tw_arena_array(arena, nodes + 1, sizeof *system->above);
    if (!seen || !found || !node_at || !system->above)
        return false;
    for (uint32_t n = 0; n < nodes; n++)
        node_at[system->number[n]] = n;
    for (int pass = 0; pass < 2; pass++) {
        memset(seen, 0xff, nodes * sizeof *seen);
        for (size_t c = 0; c < nodes; c++) {
            const size_t count =
                neighbours(mesh, two_rings, node_at[c], system->number, seen, found);
            if (pass == 0) {
                system->above[c + 1] = system->above[c] + count;
                continue;
            }
            qsort(found, count, sizeof *found, by_number);
            memcpy(system->row + system->above[c], found, count * sizeof *found);
        }
        if (pass == 0)
            system->row = tw_arena_array(arena, system->above[nodes] + 1, sizeof *system->row);
        if (!system->row)
            return false;
    }
    return true;
}

tw_status tw_system_new(const tw_mesh *mesh, bool two_rings, tw_system **out, tw_error *err)
{
    const size_t nodes = mesh->node_count;
    tw_arena *arena = tw_arena_new();
    tw_system *system = arena ? tw_arena_array(arena, 1, sizeof *system) : NULL;
    tw_status status = TW_OK;
    size_t entries;
    double **const vectors[] = {system ? &system->residual : NULL,
                                system ? &system->precondition : NULL,
                                system ? &system->along : NULL, system ? &system->product : NULL,
                                system ? &system->solution : NULL};

    if (!system)
        goto memory;
    system->arena = arena;
    system->nodes = nodes;
    system->number = tw_arena_array(arena, nodes, sizeof *system->number);
    if (!system->number)
        goto memory;
    status = tw_order_nodes(mesh, two_rings, system->number, err);
    if (status != TW_OK) {
        tw_arena_free(arena);
        return status;
    }
    if (!list_rows(system, mesh, two_rings, arena))
        goto memory;
    entries = 4 * system->above[nodes] + 3 * nodes;
    system->matrix = (cs_di){.m = 2 * (int)nodes, .n = 2 * (int)nodes, .nz = -1};
    system->matrix.nzmax = (int)entries;
    system->matrix.p = tw_arena_array(arena, 2 * nodes + 1, sizeof(int));
    system->matrix.i = tw_arena_array(arena, entries, sizeof(int));
    system->matrix.x = tw_arena_array(arena, entries, sizeof(double));
    if (!system->matrix.p || !system->matrix.i || !system->matrix.x)
        goto memory;
    for (size_t k = 0; k < sizeof vectors / sizeof *vectors; k++)
        if (!(*vectors[k] = tw_arena_array(arena, 2 * nodes, sizeof(double))))
            goto memory;
    for (size_t c = 0, at = 0; c < nodes; c++)
        for (int half = 0; half < 2; half++) {
            system->matrix.p[2 * c + (size_t)half] = (int)at;
            for (size_t k = system->above[c]; k < system->above[c + 1]; k++) {
                system->matrix.i[at++] = 2 * (int)system->row[k];
                system->matrix.i[at++] = 2 * (int)system->row[k] + 1;
            }
            system->matrix.i[at++] = 2 * (int)c;
            if (half)
                system->matrix.i[at++] = 2 * (int)c + 1;
            system->matrix.p[2 * c + (size_t)half + 1] = (int)at;
        }
    *out = system;
    return TW_OK;
memory:
    tw_arena_free(arena);
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the equations of %zu nodes", nodes);
}

void tw_system_free(tw_system *system)
{
    if (!system)
        return;
    cs_di_sfree(system->symbolic);
    cs_di_nfree(system->numeric);
    tw_arena_free(system->arena);
}

/* ---- entries --------------------------------------------------------------------------------- */

void tw_system_clear(tw_system *system)
{
    memset(system->matrix.x, 0, (size_t)system->matrix.nzmax * sizeof(double));
}

void tw_system_add(tw_system *system, uint32_t a, uint32_t b, const double block[4])
{
    const uint32_t na = system->number[a], nb = system->number[b];
    const uint32_t column = na > nb ? na : nb, row = na > nb ? nb : na;
    const int cross = na > nb ? 1 : 2; /* entry of the block's x, y seen from the column */
    double *left = system->matrix.x + system->matrix.p[2 * column];
    double *right = system->matrix.x + system->matrix.p[2 * column + 1];
    size_t low = system->above[column], high = system->above[column + 1];

    if (na == nb) {
        left[2 * (high - low)] += block[0];
        right[2 * (high - low)] += block[1];
        right[2 * (high - low) + 1] += block[3];
        return;
    }
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        if (system->row[middle] <= row)
            low = middle;
        else
            high = middle;
    }
    assert(system->row[low] == row);
    low = 2 * (low - system->above[column]);
    left[low] += block[0];
    left[low + 1] += block[cross];
    right[low] += block[3 - cross];
    right[low + 1] += block[3];
}

void tw_system_settle(tw_system *system, double share)
{
    double mean = 0;

    for (int c = 0; c < system->matrix.n; c++)
        mean += system->matrix.x[system->matrix.p[c + 1] - 1] / system->matrix.n;
    for (int c = 0; c < system->matrix.n; c++)
        system->matrix.x[system->matrix.p[c + 1] - 1] += share * mean;
}

/* ---- solving --------------------------------------------------------------------------------- */

tw_status tw_system_factor(tw_system *system, tw_error *err)
{
    cs_di_nfree(system->numeric);
    system->numeric = NULL;
    if (!system->symbolic)
        system->symbolic = cs_di_schol(0, &system->matrix);
    if (!system->symbolic)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a factor of %zu nodes", system->nodes);
    system->numeric = cs_di_chol(&system->matrix, system->symbolic);
    if (!system->numeric)
        return tw_fail(err, TW_ERR_UNREACHABLE, "the equations of %zu nodes have no factor",
                       system->nodes);
    return TW_OK;
}

bool tw_system_has_factor(const tw_system *system)
{
    return system->numeric != NULL;
}

static void multiply(const tw_system *system, const double *x, double *out)
{
    const cs_di *matrix = &system->matrix;

    for (int c = 0; c < matrix->n; c++) {
        const int last = matrix->p[c + 1] - 1;
        double sum = matrix->x[last] * x[c];
        for (int k = matrix->p[c]; k < last; k++) {
            sum += matrix->x[k] * x[matrix->i[k]];
            out[matrix->i[k]] += matrix->x[k] * x[c];
        }
        out[c] = sum; /* rows above only, so nothing was added here yet */
    }
}

static double product_of(size_t n, const double *a, const double *b)
{
    double sum = 0;

    for (size_t k = 0; k < n; k++)
        sum += a[k] * b[k];
    return sum;
}

unsigned tw_system_solve(tw_system *system, const double (*right)[2], double within, unsigned limit,
                         double (*step)[2])
{
    const size_t n = 2 * system->nodes;
    double *r = system->residual, *z = system->precondition, *d = system->along;
    double *q = system->product, *x = system->solution, start, rz;
    unsigned taken = 0;
    bool met = false;

    for (size_t k = 0; k < system->nodes; k++)
        memcpy(r + 2 * system->number[k], right[k], sizeof right[k]);
    memset(x, 0, n * sizeof *x);
    memcpy(z, r, n * sizeof *z);
    cs_di_lsolve(system->numeric->L, z);
    cs_di_ltsolve(system->numeric->L, z);
    memcpy(d, z, n * sizeof *d);
    start = rz = product_of(n, r, z);
    while (!met && taken < limit && rz > 0) {
        double dq, step_length, before = rz;
        multiply(system, d, q);
        dq = product_of(n, d, q);
        if (!(dq > 0))
            break;
        step_length = rz / dq;
        for (size_t k = 0; k < n; k++) {
            x[k] += step_length * d[k];
            r[k] -= step_length * q[k];
        }
        taken++;
        memcpy(z, r, n * sizeof *z);
        cs_di_lsolve(system->numeric->L, z);
        cs_di_ltsolve(system->numeric->L, z);
        rz = product_of(n, r, z);
        met = rz <= within * within * start;
        for (size_t k = 0; k < n; k++)
            d[k] = z[k] + rz / before * d[k];
    }
    for (size_t k = 0; k < system->nodes; k++)
        memcpy(step[k], x + 2 * system->number[k], sizeof step[k]);
    return met || start == 0 ? taken : limit + 1;
}
