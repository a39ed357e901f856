/*
 * card_choice.c: which places tell most about a mass.
 *
 * Thickness − goal at x is o + f(x): o common to all, variance τ²; f a Matérn 3/2 process, covariance
 * a²·(1 + s)·exp(−s), s = √3·d/scale. The mass strays by m = Σ w·(o + f). A reading is the value at its
 * place and noise σ². For a candidate i, given what was read before,
 *   c_i  covariance with m,   v_i  variance of its reading (noise in),   L  columns of the factor:
 * reading p takes c_p²/v_p off the variance of m, and then for all i
 *   l_i = (k(i, p) − Σ L_i·L_p)/√v_p,   c_i −= l_i·c_p/√v_p,   v_i −= l_i²,
 * which is one step of a pivoted Cholesky factorisation whose pivot is chosen by what it tells about m
 * (conditioning of a Gaussian, derived here). Greedy: where what readings take off is submodular it comes
 * to at least 1 − 1/e of the best set (G. Nemhauser, L. Wolsey & M. Fisher, Mathematical Programming 14
 * (1978), from memory).
 */
#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { BLOCKS = 32 };

tw_status tw_card_gather(const tw_grid *grid, const double *weight, tw_arena *arena,
                         tw_card_sum *out, tw_error *err)
{
    const size_t nu = grid->nu - 1, nv = grid->nv - 1;
    const size_t columns = nu < BLOCKS ? nu : BLOCKS, rows = nv < BLOCKS ? nv : BLOCKS;
    double *area = tw_arena_array(arena, columns * rows, sizeof *area);

    out->position = tw_arena_array(arena, columns * rows, sizeof *out->position);
    out->weight = tw_arena_array(arena, columns * rows, sizeof *out->weight);
    if (!area || !out->position || !out->weight)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu blocks", columns * rows);
    for (size_t c = 0; c < nu * nv; c++) {
        const size_t b = (c / nu) * rows / nv * columns + (c % nu) * columns / nu;
        if (!(grid->area[c] > 0))
            continue;
        area[b] += grid->area[c];
        out->weight[b] += weight[c];
        out->position[b][0] += grid->area[c] * grid->cell_x[c];
        out->position[b][1] += grid->area[c] * grid->cell_y[c];
        out->position[b][2] += grid->area[c] * grid->cell_z[c];
    }
    out->count = 0;
    for (size_t b = 0; b < columns * rows; b++) {
        if (!(area[b] > 0))
            continue;
        for (int axis = 0; axis < 3; axis++)
            out->position[out->count][axis] = out->position[b][axis] / area[b];
        out->weight[out->count++] = out->weight[b];
    }
    return TW_OK;
}

static double covariance(const tw_card_prior *prior, const double a[3], const double b[3])
{
    const double d[3] = {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
    const double s = sqrt(3 * tw_dot(d, d)) / prior->scale;

    return prior->offset * prior->offset + prior->amplitude * prior->amplitude * (1 + s) * exp(-s);
}

/* Covariance of the value at a place with the weighted sum. */
static double with_sum(const tw_card_prior *prior, const tw_card_sum *sum, const double at[3])
{
    tw_sum total = {0, 0};

    for (size_t b = 0; b < sum->count; b++)
        tw_sum_add(&total, sum->weight[b] * covariance(prior, at, sum->position[b]));
    return tw_sum_value(&total);
}

tw_status tw_card_choice_begin(const tw_card_prior *prior, const tw_card_sum *sum, size_t count,
                               const double (*position)[3], size_t most, tw_arena *arena,
                               tw_card_choice *out, tw_error *err)
{
    tw_sum variance = {0, 0};

    assert(prior->scale > 0 && prior->noise > 0);
    *out = (tw_card_choice){.prior = *prior, .count = count, .most = most, .position = position};
    out->with_sum = tw_arena_array(arena, count, sizeof *out->with_sum);
    out->own = tw_arena_array(arena, count, sizeof *out->own);
    out->taken = tw_arena_array(arena, count, sizeof *out->taken);
    out->columns = tw_arena_array(arena, count * most, sizeof *out->columns);
    if (!out->with_sum || !out->own || !out->taken || !out->columns)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to choose among %zu places", count);
    for (size_t b = 0; b < sum->count; b++)
        tw_sum_add(&variance, sum->weight[b] * with_sum(prior, sum, sum->position[b]));
    out->left = tw_sum_value(&variance);
    for (size_t k = 0; k < count; k++) {
        out->with_sum[k] = with_sum(prior, sum, position[k]);
        out->own[k] = prior->offset * prior->offset + prior->amplitude * prior->amplitude +
                      prior->noise * prior->noise;
    }
    return TW_OK;
}

/* How much a reading would take off the variance of the sum. */
static double gain(const tw_card_choice *choice, size_t k)
{
    return choice->with_sum[k] * choice->with_sum[k] / choice->own[k];
}

size_t tw_card_choice_best(const tw_card_choice *choice)
{
    size_t best = SIZE_MAX;

    for (size_t k = 0; k < choice->count; k++)
        if (!choice->taken[k] && (best == SIZE_MAX || gain(choice, k) > gain(choice, best)))
            best = k;
    return best;
}

void tw_card_choice_take(tw_card_choice *choice, size_t candidate)
{
    const double *at = choice->position[candidate];
    const double root = sqrt(choice->own[candidate]);
    const double tells = choice->with_sum[candidate] / root;
    double *column = choice->columns + choice->read * choice->count;

    assert(choice->read < choice->most && !choice->taken[candidate]);
    for (size_t i = 0; i < choice->count; i++) {
        double shared = covariance(&choice->prior, choice->position[i], at);
        for (size_t r = 0; r < choice->read; r++) {
            const double *earlier = choice->columns + r * choice->count;
            shared -= earlier[i] * earlier[candidate];
        }
        column[i] = shared / root;
    }
    for (size_t i = 0; i < choice->count; i++) {
        choice->with_sum[i] -= column[i] * tells;
        choice->own[i] -= column[i] * column[i];
    }
    choice->left = fmax(choice->left - tells * tells, 0);
    choice->taken[candidate] = true;
    choice->read++;
}
