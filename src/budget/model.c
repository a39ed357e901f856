/*
 * model.c: the slopes of a model that is only known by calling it.
 *
 * Central differences with steps h and h/2, extrapolated as (4·D(h/2) − D(h))/3, so that the error
 * goes as h⁴ (Richardson 1911). h is an eighth of the input's standard uncertainty: small beside
 * what bends a model within it, large beside the rounding of its answer.
 *
 * Second order, for independent inputs, note to JCGM 100:2008 5.1.2:
 *   Σᵢ Σⱼ [½·(∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ·∂³f/∂xᵢ∂xⱼ²]·uᵢ²·uⱼ²
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

static const double STEP = 0.125; /* of u */

tw_status tw_model_call(tw_model model, void *context, const double *inputs, size_t count,
                        double *out, tw_error *err)
{
    *out = model(inputs, count, context);
    if (!isfinite(*out))
        return tw_fail(err, TW_ERR_DOMAIN, "the model has no number for these inputs");
    return TW_OK;
}

/* The model about its estimate, moved along two of its inputs. */
typedef struct about {
    tw_model model;
    void *context;
    const tw_budget_row *rows;
    size_t count;
    double inputs[TW_BUDGET_ROWS_MAX];
    double centre;
    bool failed; /* an answer was no number */
} about;

static double step_of(const tw_budget_row *row)
{
    if (row->u > 0)
        return STEP * row->u;
    return 1e-3 * (row->value != 0 ? fabs(row->value) : 1);
}

/* f(x + a·hᵢ + b·hⱼ); i may be j. */
static double at(about *m, size_t i, double a, size_t j, double b)
{
    const double kept[2] = {m->inputs[i], m->inputs[j]};
    double value;

    m->inputs[i] += a * step_of(&m->rows[i]);
    m->inputs[j] += b * step_of(&m->rows[j]);
    value = m->model(m->inputs, m->count, m->context);
    m->inputs[i] = kept[0];
    m->inputs[j] = kept[1];
    m->failed = m->failed || !isfinite(value);
    return value;
}

/* Differences in steps of s·h: of hᵢ, of hᵢhⱼ and of hᵢhⱼ². */
static double first(about *m, size_t i, double s)
{
    return (at(m, i, s, i, 0) - at(m, i, -s, i, 0)) / (2 * s);
}

static double second(about *m, size_t i, size_t j, double s)
{
    if (i == j)
        return (at(m, i, s, i, 0) - 2 * m->centre + at(m, i, -s, i, 0)) / (s * s);
    return (at(m, i, s, j, s) - at(m, i, s, j, -s) - at(m, i, -s, j, s) + at(m, i, -s, j, -s)) /
           (4 * s * s);
}

static double third(about *m, size_t i, size_t j, double s)
{
    const double ahead = at(m, i, s, j, s) - 2 * at(m, i, s, j, 0) + at(m, i, s, j, -s);
    const double back = at(m, i, -s, j, s) - 2 * at(m, i, -s, j, 0) + at(m, i, -s, j, -s);

    return (ahead - back) / (2 * s * s * s);
}

static double extrapolated(double whole, double half)
{
    return (4 * half - whole) / 3;
}

static tw_status begin(about *m, tw_model model, void *context, const tw_budget_row *rows,
                       size_t count, tw_error *err)
{
    m->model = model;
    m->context = context;
    m->rows = rows;
    m->count = count;
    m->failed = false;
    for (size_t k = 0; k < count; k++)
        m->inputs[k] = rows[k].value;
    return tw_model_call(model, context, m->inputs, count, &m->centre, err);
}

static tw_status not_a_number(const tw_budget_row *row, tw_error *err)
{
    return tw_fail(err, TW_ERR_DOMAIN, "the model has no number close to its estimate of \"%s\"",
                   row->name ? row->name : "");
}

tw_status tw_second_order(tw_model model, void *context, const tw_budget_row *rows, size_t count,
                          double *variance, tw_error *err)
{
    const double units = 1 / (STEP * STEP); /* (u/h)² */
    about m;
    tw_sum sum = {0, 0};
    tw_status status = begin(&m, model, context, rows, count, err);

    if (status != TW_OK)
        return status;
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            double slope, bend, twist;
            if (!(rows[i].u > 0) || !(rows[j].u > 0))
                continue;
            slope = extrapolated(first(&m, i, 1), first(&m, i, 0.5));
            bend = extrapolated(second(&m, i, j, 1), second(&m, i, j, 0.5));
            twist = extrapolated(third(&m, i, j, 1), third(&m, i, j, 0.5));
            if (m.failed)
                return not_a_number(&rows[j], err);
            tw_sum_add(&sum, (0.5 * bend * bend + slope * twist) * units * units);
        }
    *variance = tw_sum_value(&sum);
    return TW_OK;
}

static tw_status slopes(tw_model model, void *context, tw_budget_row *rows, size_t count,
                        double *value, tw_error *err)
{
    about m;
    tw_status status = begin(&m, model, context, rows, count, err);

    for (size_t k = 0; status == TW_OK && k < count; k++) {
        rows[k].sensitivity = extrapolated(first(&m, k, 1), first(&m, k, 0.5)) / step_of(&rows[k]);
        if (m.failed)
            status = not_a_number(&rows[k], err);
    }
    *value = m.centre;
    return status;
}

tw_status tw_budget_make(tw_model model, void *context, const tw_budget_row *rows, size_t count,
                         const double *correlation, bool second_order, double coverage_probability,
                         tw_budget *out, tw_error *err)
{
    tw_arena *arena = NULL;
    tw_budget_row *own;
    tw_budget budget;
    double value, more;
    tw_status status;

    assert(model && out && (rows || count == 0));
    status = tw_rows_check(rows, count, err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    own = arena ? tw_arena_array(arena, count, sizeof *own) : NULL;
    if (!own) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
        goto done;
    }
    for (size_t k = 0; k < count; k++)
        own[k] = rows[k];
    status = slopes(model, context, own, count, &value, err);
    if (status == TW_OK)
        status =
            tw_budget_combine(own, count, correlation, value, coverage_probability, &budget, err);
    if (status != TW_OK)
        goto done;
    if (second_order && !correlation) {
        status = tw_second_order(model, context, own, count, &more, err);
        if (status != TW_OK) {
            tw_budget_release(&budget);
            goto done;
        }
        budget.second_order_u = sqrt(fmax(budget.u * budget.u + more, 0));
    }
    *out = budget;
done:
    tw_arena_free(arena);
    return status;
}
