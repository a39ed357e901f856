/*
 * combine.c: a budget table. Combined standard uncertainty, degrees of freedom, expanded uncertainty.
 *
 *   u² = Σ Σ cᵢ cⱼ rᵢⱼ uᵢ uⱼ                        JCGM 100:2008, equation 16
 *   freedom = u⁴ / Σ (cᵢ uᵢ)⁴/νᵢ                   Welch–Satterthwaite, equation G.2b
 *   U = t(probability, freedom)·u                  equation G.1d, freedom not rounded down
 *
 * (equation numbers from memory). With correlated rows Welch–Satterthwaite is used all the same, as a
 * stand-in: the guide has none for them. Shares are cᵢuᵢ·Σ rᵢⱼcⱼuⱼ/u²: they sum to 1, and one of a
 * row that others make up for may be negative.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

const char *tw_distribution_word(tw_distribution distribution)
{
    switch (distribution) {
    case TW_NORMAL:
        return "normal";
    case TW_RECTANGULAR:
        return "rectangular";
    case TW_TRIANGULAR:
        return "triangular";
    case TW_ARCSINE:
        return "arcsine";
    case TW_STUDENT:
        return "Student";
    }
    assert(false && "a distribution");
    return "";
}

const char *tw_row_kind_word(tw_row_kind kind)
{
    static const char *const words[] = {[TW_ROW_OTHER] = "other",
                                        [TW_ROW_DENSITY] = "density",
                                        [TW_ROW_SHEET] = "sheet thickness",
                                        [TW_ROW_READINGS] = "readings",
                                        [TW_ROW_TIE] = "tie",
                                        [TW_ROW_VELOCITY] = "velocity",
                                        [TW_ROW_SCALE_READING] = "scale reading",
                                        [TW_ROW_SCALE_CALIBRATION] = "scale calibration",
                                        [TW_ROW_AREA] = "area",
                                        [TW_ROW_FORM] = "form",
                                        [TW_ROW_OUTLINE] = "outline",
                                        [TW_ROW_HOLE] = "hole",
                                        [TW_ROW_NUMERICAL] = "numerical error",
                                        [TW_ROW_IMAGE] = "image"};

    assert((size_t)kind < sizeof words / sizeof *words);
    return words[kind];
}

void tw_budget_release(tw_budget *budget)
{
    if (!budget)
        return;
    tw_arena_free(budget->arena);
    *budget = (tw_budget){0};
}

const tw_budget_row *tw_budget_largest(const tw_budget *budget)
{
    const tw_budget_row *best = NULL;

    for (size_t k = 0; k < budget->count; k++)
        if (budget->rows[k].share > (best ? best->share : 0))
            best = &budget->rows[k];
    return best;
}

tw_status tw_rows_check(const tw_budget_row *rows, size_t count, tw_error *err)
{
    tw_status status = TW_OK;

    if (count > TW_BUDGET_ROWS_MAX) {
        status = tw_fail(err, TW_ERR_LIMIT, "a budget of %zu rows is too long", count);
        tw_error_advise(err, NULL, "at most %d rows", (int)TW_BUDGET_ROWS_MAX);
        return status;
    }
    for (size_t k = 0; k < count && status == TW_OK; k++) {
        const tw_budget_row *row = &rows[k];
        const char *name = row->name ? row->name : "";
        if (!isfinite(row->value))
            status = tw_fail(err, TW_ERR_DOMAIN, "the value of \"%s\" is no number", name);
        else if (!(row->u >= 0) || isinf(row->u))
            status =
                tw_fail(err, TW_ERR_DOMAIN, "the uncertainty of \"%s\" is not 0 or above", name);
        else if (!(row->freedom > 0)) {
            status = tw_fail(err, TW_ERR_DOMAIN, "the degrees of freedom of \"%s\" are not above 0",
                             name);
            tw_error_advise(err, NULL, "infinity stands for an uncertainty that is well known");
        }
    }
    return status;
}

static tw_status check_correlation(const double *r, size_t count, tw_error *err)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            const double value = r[i * count + j];
            if (!(fabs(value) <= 1) || value != r[j * count + i] || (i == j && value != 1)) {
                const tw_status status =
                    tw_fail(err, TW_ERR_DOMAIN,
                            "the correlation of rows %zu and %zu is not possible", i + 1, j + 1);
                tw_error_advise(err, NULL, "-1 to 1, 1 with itself, the same both ways");
                return status;
            }
        }
    return TW_OK;
}

static tw_status copy_rows(const tw_budget_row *rows, size_t count, tw_budget *budget,
                           tw_error *err)
{
    budget->count = count;
    budget->rows = tw_arena_array(budget->arena, count, sizeof *budget->rows);
    for (size_t k = 0; budget->rows && k < count; k++) {
        tw_budget_row *row = &budget->rows[k];
        *row = rows[k];
        row->name = tw_arena_text(budget->arena, rows[k].name ? rows[k].name : "");
        row->unit = tw_arena_text(budget->arena, rows[k].unit ? rows[k].unit : "");
        row->shared = rows[k].shared ? tw_arena_text(budget->arena, rows[k].shared) : NULL;
        if (!row->name || !row->unit || (rows[k].shared && !row->shared))
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the rows of a budget");
    }
    return budget->rows ? TW_OK : tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
}

static double signed_part(const tw_budget_row *row)
{
    return row->sensitivity * row->u;
}

/* Σⱼ rᵢⱼ cⱼ uⱼ: what row i meets of all rows. */
static double met(const tw_budget *budget, const double *correlation, size_t i)
{
    tw_sum sum = {0, 0};

    if (!correlation)
        return signed_part(&budget->rows[i]);
    for (size_t j = 0; j < budget->count; j++)
        tw_sum_add(&sum, correlation[i * budget->count + j] * signed_part(&budget->rows[j]));
    return tw_sum_value(&sum);
}

static tw_status combine(tw_budget *budget, const double *correlation, double probability,
                         tw_error *err)
{
    tw_sum variance = {0, 0}, size = {0, 0}, doubt = {0, 0};
    double square;

    for (size_t i = 0; i < budget->count; i++) {
        tw_budget_row *row = &budget->rows[i];
        row->part = fabs(signed_part(row));
        row->share = signed_part(row) * met(budget, correlation, i);
        tw_sum_add(&variance, row->share);
        tw_sum_add(&size, row->part * row->part);
    }
    square = tw_sum_value(&variance);
    if (square < -1e-12 * tw_sum_value(&size))
        return tw_fail(err, TW_ERR_DOMAIN,
                       "the correlations contradict each other: the variance comes out below 0");
    square = fmax(square, 0);
    budget->u = sqrt(square);
    for (size_t i = 0; i < budget->count; i++) {
        tw_budget_row *row = &budget->rows[i];
        const double part = square > 0 ? row->part / budget->u : 0;
        row->share = square > 0 ? row->share / square : 0;
        tw_sum_add(&doubt, part * part * part * part / row->freedom);
    }
    budget->freedom = tw_sum_value(&doubt) > 0 ? 1 / tw_sum_value(&doubt) : (double)INFINITY;
    budget->coverage = tw_student_t(probability, budget->freedom);
    budget->expanded = budget->coverage * budget->u;
    return TW_OK;
}

tw_status tw_budget_combine(const tw_budget_row *rows, size_t count, const double *correlation,
                            double value, double coverage_probability, tw_budget *out,
                            tw_error *err)
{
    tw_budget budget = {.value = value, .second_order_u = NAN};
    tw_status status;

    assert(out && (rows || count == 0));
    assert(coverage_probability > 0 && coverage_probability < 1);
    status = tw_rows_check(rows, count, err);
    for (size_t k = 0; status == TW_OK && k < count; k++)
        if (!isfinite(rows[k].sensitivity))
            status = tw_fail(err, TW_ERR_DOMAIN, "the sensitivity to \"%s\" is no number",
                             rows[k].name ? rows[k].name : "");
    if (status == TW_OK && correlation)
        status = check_correlation(correlation, count, err);
    if (status != TW_OK)
        return status;
    budget.arena = tw_arena_new();
    if (!budget.arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
    status = copy_rows(rows, count, &budget, err);
    if (status == TW_OK)
        status = combine(&budget, correlation, coverage_probability, err);
    if (status == TW_OK)
        *out = budget;
    else
        tw_budget_release(&budget);
    return status;
}
