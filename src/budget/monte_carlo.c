/*
 * monte_carlo.c: propagation of distributions by Monte Carlo, JCGM 101:2008, clause 7.
 *
 * Trial k draws its inputs from the counter (k, input) and writes answer k, so the answers do not
 * depend on threads; mean and spread are summed in the order of trials. Intervals by 7.7: with M
 * trials sorted and q = p·M rounded, the symmetric one starts at r = (M − q)/2 rounded, the shortest
 * where y(r + q) − y(r) is least.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

enum { TRIALS_LEAST = 1000, TRIALS_MOST = 10000000, BLOCK = 2048 };

typedef struct run {
    tw_model model;
    void *context;
    const tw_budget_row *rows;
    size_t count;
    uint64_t seed;
    double *answers;
} run;

static void make_trials(size_t first, size_t last, void *context)
{
    const run *r = context;
    double inputs[TW_BUDGET_ROWS_MAX];

    for (size_t k = first; k < last; k++) {
        for (size_t i = 0; i < r->count; i++)
            inputs[i] = tw_draw(&r->rows[i], r->seed, k, (uint32_t)i);
        r->answers[k] = r->model(inputs, r->count, r->context);
    }
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double mean_of(const double *values, size_t count)
{
    tw_sum sum = {0, 0};

    for (size_t k = 0; k < count; k++)
        tw_sum_add(&sum, values[k]);
    return tw_sum_value(&sum) / (double)count;
}

static double spread_of(const double *values, size_t count, double mean)
{
    tw_sum sum = {0, 0};

    for (size_t k = 0; k < count; k++)
        tw_sum_add(&sum, (values[k] - mean) * (values[k] - mean));
    return sqrt(tw_sum_value(&sum) / (double)(count - 1));
}

/* Intervals of sorted answers; places count from 0. */
static void intervals(const double *sorted, size_t count, double probability, tw_monte_carlo *out)
{
    const double wanted = floor(probability * (double)count + 0.5);
    const size_t q = wanted >= (double)count ? count - 1 : (size_t)wanted;
    const size_t rounded = (count - q + 1) / 2; /* (M − q)/2, a half up, from 1 */
    const size_t start = rounded > 0 ? rounded - 1 : 0;

    out->low = sorted[start];
    out->high = sorted[start + q];
    out->shortest_low = sorted[0];
    out->shortest_high = sorted[q];
    for (size_t r = 1; r + q < count; r++)
        if (sorted[r + q] - sorted[r] < out->shortest_high - out->shortest_low) {
            out->shortest_low = sorted[r];
            out->shortest_high = sorted[r + q];
        }
}

static tw_status check_trials(size_t trials, tw_error *err)
{
    tw_status status = TW_OK;

    if (trials < TRIALS_LEAST || trials > TRIALS_MOST) {
        status = tw_fail(err, TW_ERR_DOMAIN, "%zu trials are out of range", trials);
        tw_error_advise(err, NULL, "choose %d to %d; 200000 is usual", (int)TRIALS_LEAST,
                        (int)TRIALS_MOST);
    }
    return status;
}

tw_status tw_monte_carlo_run(tw_model model, void *context, const tw_budget_row *rows, size_t count,
                             size_t trials, uint64_t seed, unsigned threads,
                             double coverage_probability, tw_monte_carlo *out, tw_error *err)
{
    run r = {model, context, rows, count, seed, NULL};
    tw_monte_carlo result = {.trials = trials};
    tw_status status;

    assert(model && out && (rows || count == 0));
    assert(coverage_probability > 0 && coverage_probability < 1);
    status = check_trials(trials, err);
    if (status == TW_OK)
        status = tw_rows_check(rows, count, err);
    if (status != TW_OK)
        return status;
    r.answers = malloc(trials * sizeof *r.answers);
    if (!r.answers)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu trials", trials);
    tw_for_rows(trials, BLOCK, threads, make_trials, &r);
    for (size_t k = 0; status == TW_OK && k < trials; k++)
        if (!isfinite(r.answers[k]))
            status = tw_fail(err, TW_ERR_DOMAIN, "the model has no number in trial %zu", k + 1);
    if (status == TW_OK) {
        result.mean = mean_of(r.answers, trials);
        result.u = spread_of(r.answers, trials, result.mean);
        qsort(r.answers, trials, sizeof *r.answers, ascending);
        intervals(r.answers, trials, coverage_probability, &result);
        *out = result;
    }
    free(r.answers);
    return status;
}
