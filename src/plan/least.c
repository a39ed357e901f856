/*
 * least.c: the least graded map that was asked for, and the greatest thickness that a weight leaves.
 *
 * The mass of the least map grows with every thickness required of it, so the greatest that fits is a
 * root (Brent). Each trial is one pass over distances that are kept. What more weight would buy, and
 * what a gentler grade would cost, are differences of two such roots.
 */
#include "taperwright/plan.h"

#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

typedef struct solving {
    const tw_plan *plan;
    const tw_plan_request *request;
    const bool *changed;
    size_t first;
    double *required; /* plan->count: scratch */
    tw_trial trial;
} solving;

static double mass_at(solving *s, double value)
{
    tw_request_required(s->plan, s->changed, s->first, value, s->required);
    return tw_trial_mass(s->plan, &s->trial, s->required, s->request->least_mm,
                         tw_request_grade(s->plan, s->request));
}

static double over_weight(double value, void *context)
{
    solving *s = context;

    return mass_at(s, value) - s->request->weight_g;
}

/* Greatest thickness of the first changed requirement [mm] within the request's weight; INFINITY when
 * TW_PLAN_THICKEST still fits, NaN when none does. */
static double greatest(solving *s)
{
    double root;

    if (!(over_weight(0, s) <= 0))
        return NAN;
    if (over_weight(TW_PLAN_THICKEST, s) <= 0)
        return INFINITY;
    if (tw_find_root(over_weight, s, 0, TW_PLAN_THICKEST, 1e-6, &root, NULL) != TW_OK)
        return NAN;
    return root;
}

static double rounded_down(double value, double step)
{
    return isfinite(value) ? floor(value / step + 1e-6) * step : value;
}

/* 1, 2 or 5 times a power of ten, at most 5 % of the weight: something to spend or to save. */
static double handful(double weight)
{
    const double most = 0.05 * weight, ten = pow(10, floor(log10(most)));

    return most >= 5 * ten ? 5 * ten : most >= 2 * ten ? 2 * ten : ten;
}

/* ---- a weight ---------------------------------------------------------------------------------- */

static tw_status contradiction(solving *s, tw_error *err)
{
    const tw_plan_request *request = s->request;
    char weight[48], mass[48], least[48], grade[80];
    double even;

    tw_write_mass(request->weight_g, TW_METRIC, -1, weight, sizeof weight);
    tw_write_thickness(request->least_mm, TW_METRIC, -1, least, sizeof least);
    for (size_t k = 0; k < s->plan->count; k++)
        s->required[k] = 0;
    even = tw_trial_mass(s->plan, &s->trial, s->required, request->least_mm, 1);
    if (even > request->weight_g) {
        tw_fail(err, TW_ERR_UNREACHABLE,
                "%s in all and %s everywhere contradict each other: the least map weighs %s",
                weight, least, tw_write_mass(even, TW_METRIC, -1, mass, sizeof mass));
        tw_error_advise(err, NULL, "allow more weight, or a thinner least");
        return TW_ERR_UNREACHABLE;
    }
    tw_write_mass(mass_at(s, 0), TW_METRIC, -1, mass, sizeof mass);
    tw_write_grade(tw_request_grade(s->plan, request), TW_METRIC, grade, sizeof grade);
    tw_fail(err, TW_ERR_UNREACHABLE,
            "%s in all and the thickness of the %s at %s contradict each other: the least map "
            "weighs %s before any of the %s",
            weight, s->plan->fields[s->first].strike ? "edges" : "strike zones", grade, mass,
            s->plan->fields[s->first].strike ? "strike zones" : "edges");
    tw_error_advise(err, NULL, "allow more weight, a steeper grade, or ask for less thickness");
    return TW_ERR_UNREACHABLE;
}

static tw_status fit_weight(solving *s, double step, tw_least *out, tw_error *err)
{
    tw_plan_request other = *s->request;
    solving next = *s;

    out->has_weight = true;
    out->bare_g = mass_at(s, 0);
    if (out->bare_g > s->request->weight_g)
        return contradiction(s, err);
    out->greatest_mm = greatest(s);
    out->greatest_rounded_mm = rounded_down(out->greatest_mm, step);
    out->fits = out->asked_g <= s->request->weight_g;
    out->more_g = handful(s->request->weight_g);
    next.request = &other;
    other.weight_g += out->more_g;
    out->more_mm = greatest(&next) - out->greatest_mm;
    other = *s->request;
    other.grade *= 0.75;
    other.within_mm /= 0.75;
    out->gentler_mm = out->greatest_mm - greatest(&next);
    return TW_OK;
}

/* ---- how each requirement comes out ------------------------------------------------------------- */

typedef struct judging {
    const tw_plan *plan;
    const double *required;
    double least, grade;
} judging;

/* Keep the place where the slope from another requirement raises number k most. */
static void raise(const judging *work, size_t k, size_t by, double t, const double at[2],
                  tw_requirement *item)
{
    if (!(t > item->raised_mm))
        return;
    item->raised_mm = t;
    item->raised_at[0] = at[0];
    item->raised_at[1] = at[1];
    item->raised_by = by == k ? NULL : work->plan->fields[by].name;
}

static void judge_zone(const judging *work, size_t k, tw_requirement *item)
{
    const tw_plan *plan = work->plan;
    const tw_grid *grid = plan->plate->grid;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double at[2] = {tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu)};
        if (plan->fields[k].node[n] > 0 || !(grid->level[n] <= 0))
            continue;
        for (size_t j = 0; j < plan->count; j++)
            raise(work, k, j, work->required[j] - work->grade * plan->fields[j].node[n], at, item);
    }
}

static void judge_edge(const judging *work, size_t k, tw_requirement *item)
{
    const tw_plan *plan = work->plan;
    const tw_plan_field *field = &plan->fields[k];

    for (size_t l = 0; l < field->line_count; l++)
        for (size_t p = 0; p < field->lines[l].count; p++) {
            const double *at = field->lines[l].points[p];
            for (size_t j = 0; j < plan->count; j++) {
                const double d =
                    j == k ? 0
                           : tw_grid_sample(plan->plate->grid, plan->fields[j].node, at[0], at[1]);
                raise(work, k, j, work->required[j] - work->grade * d, at, item);
            }
        }
}

static void judge(const judging *work, tw_trial *trial, double mass, double *scratch, tw_least *out)
{
    const tw_plan *plan = work->plan;

    for (size_t k = 0; k < plan->count; k++) {
        tw_requirement *item = &out->requirements[k];
        const double own = fmax(work->required[k], work->least);
        *item = (tw_requirement){.name = plan->fields[k].name,
                                 .asked_mm = plan->fields[k].asked,
                                 .planned_mm = own,
                                 .raised_mm = own + 1e-9, /* its own thickness raises nothing */
                                 .reach_mm = (own - work->least) / work->grade};
        if (plan->fields[k].strike)
            judge_zone(work, k, item);
        else
            judge_edge(work, k, item);
        if (!item->raised_by) {
            item->raised_mm = own;
            item->raised_at[0] = item->raised_at[1] = NAN;
        }
        memcpy(scratch, work->required, plan->count * sizeof *scratch);
        scratch[k] = 0;
        item->mass_g = mass - tw_trial_mass(plan, trial, scratch, work->least, work->grade);
    }
}

static tw_plan_stock judge_stock(const tw_plate *plate, const tw_map *map, const tw_weight *weight)
{
    const double sheet = plate->profile->sheet.thickness, slack = 1e-6;

    if (!plate->profile->has_sheet)
        return TW_PLAN_STOCK_NONE;
    if (sheet < map->thinnest - slack)
        return TW_PLAN_STOCK_TOO_THIN;
    if (sheet < weight->mean_thickness_mm - slack)
        return TW_PLAN_STOCK_THIN;
    return sheet < map->thickest - slack ? TW_PLAN_STOCK_BETWEEN : TW_PLAN_STOCK_THICKER;
}

/* ---- the map -------------------------------------------------------------------------------------- */

/* Mass of the same map on a grid of half as many cells; NaN where that cannot hold the plate. */
static tw_status coarse_mass(const tw_plan *plan, const double *required, double least,
                             double grade, double *mass, tw_error *err)
{
    const tw_grid *grid = plan->plate->grid;
    const size_t cells = (grid->nu > grid->nv ? grid->nu : grid->nv) / 2;
    tw_plate plate = *plan->plate;
    tw_plan *coarse = NULL;
    tw_trial trial;
    tw_status status;

    *mass = NAN;
    if (cells < TW_GRID_MIN)
        return TW_OK;
    plate.grid = NULL;
    status = tw_grid_build(plate.form, cells, plan->threads, &plate.grid, err);
    if (status == TW_OK)
        status = tw_plan_open(&plate, plan->threads, &coarse, err);
    if (status == TW_OK)
        status = tw_trial_make(coarse, coarse->arena, &trial, err);
    if (status == TW_OK)
        *mass = tw_trial_mass(coarse, &trial, required, least, grade);
    tw_plan_free(coarse);
    tw_grid_free(plate.grid);
    return status == TW_ERR_SHAPE ? TW_OK : status; /* a zone between its nodes */
}

/* The map that stands in `trial`, weighed with every check. */
static tw_status finish_map(const tw_plan *plan, const tw_trial *trial, double least, tw_least *out,
                            tw_error *err)
{
    const tw_plate *plate = plan->plate;
    const tw_grid *grid = plate->grid;
    tw_status status = tw_map_sheet(grid, least, &out->map, err);

    if (status != TW_OK)
        return status;
    out->map.kind = TW_MAP_FORGED;
    memcpy(out->map.node, trial->node, grid->nu * grid->nv * sizeof *trial->node);
    memcpy(out->map.cell, trial->cell, tw_grid_cells(grid) * sizeof *trial->cell);
    tw_map_survey(&out->map, plate->form);
    status = tw_weigh(grid, out->map.cell, out->map.node, plate->profile->face,
                      plate->profile->density, plan->threads, &out->weight, err);
    if (status != TW_OK)
        tw_error_within(err, "in the planned map");
    return status;
}

static tw_status plan_map(solving *s, double step, tw_least *out, tw_error *err)
{
    const tw_plan *plan = s->plan;
    const tw_plan_request *request = s->request;
    const bool follow = out->has_weight && !out->fits;
    double *required = tw_arena_array(out->arena, plan->count, sizeof *required);
    double mass, coarse;
    judging work = {.plan = plan, .required = required, .least = request->least_mm};
    tw_status status;

    out->requirements = tw_arena_array(out->arena, plan->count, sizeof *out->requirements);
    if (!required || !out->requirements)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a plan");
    out->count = plan->count;
    tw_request_required(plan, s->changed, s->first,
                        follow                 ? out->greatest_mm
                        : s->first != SIZE_MAX ? plan->fields[s->first].asked
                                               : 0,
                        required);
    for (size_t k = 0; follow && k < plan->count; k++)
        if (s->changed[k])
            required[k] = rounded_down(required[k], step);
    work.grade = out->grade = tw_request_grade(plan, request);
    out->gentler = 0.75 * out->grade;
    mass = tw_trial_mass(plan, &s->trial, required, request->least_mm, out->grade);
    tw_trial_nodes(plan, &s->trial, required, request->least_mm, out->grade);
    status = finish_map(plan, &s->trial, request->least_mm, out, err);
    if (status == TW_OK)
        status = coarse_mass(plan, required, request->least_mm, out->grade, &coarse, err);
    if (status == TW_OK) {
        /* of two grids only: as cautious as where no order can be seen */
        out->weight.numerical_error_g = 1.25 * fabs(mass - coarse);
        judge(&work, &s->trial, mass, s->required, out);
        out->stock = judge_stock(plan->plate, &out->map, &out->weight);
    }
    return status;
}

tw_status tw_plan_least(const tw_plan *plan, const tw_plan_request *request, tw_least *out,
                        tw_error *err)
{
    tw_least least = {.weight_g = request->weight_g,
                      .greatest_mm = NAN,
                      .greatest_rounded_mm = NAN,
                      .changed_asked_mm = NAN,
                      .bare_g = NAN,
                      .more_g = NAN,
                      .more_mm = NAN,
                      .gentler_mm = NAN,
                      .fits = true,
                      .arena = tw_arena_new()};
    solving s = {.plan = plan, .request = request, .first = SIZE_MAX};
    const double step = request->round_mm > 0 ? request->round_mm : TW_PLAN_ROUND;
    bool *changed;
    tw_status status;

    assert(plan && request && out);
    changed = least.arena ? tw_arena_array(least.arena, plan->count, sizeof *changed) : NULL;
    s.required = least.arena ? tw_arena_array(least.arena, plan->count, sizeof *s.required) : NULL;
    s.changed = changed;
    if (!changed || !s.required) {
        tw_arena_free(least.arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a plan");
    }
    status = tw_request_check(plan, request, changed, &s.first, err);
    if (status == TW_OK)
        status = tw_trial_make(plan, least.arena, &s.trial, err);
    if (status == TW_OK) {
        const double asked = s.first == SIZE_MAX ? 0 : plan->fields[s.first].asked;
        least.asked_g = mass_at(&s, asked);
        if (s.first != SIZE_MAX) {
            least.changed = plan->fields[s.first].name;
            least.changed_asked_mm = asked;
        }
        if (!isnan(request->weight_g))
            status = fit_weight(&s, step, &least, err);
    }
    if (status == TW_OK)
        status = plan_map(&s, step, &least, err);
    if (status == TW_OK)
        *out = least;
    else
        tw_least_release(&least);
    return status;
}

void tw_least_release(tw_least *least)
{
    if (!least)
        return;
    tw_map_release(&least->map);
    tw_arena_free(least->arena);
    memset(least, 0, sizeof *least);
}

/* ---- trade-off --------------------------------------------------------------------------------------- */

enum { THICKNESSES = 9, GRADES = 4 };
static const double grade_parts[GRADES] = {1.5, 1, 0.75, 0.5};
enum { OWN_GRADE = 1 };
static const double THICKNESS_STEP = 0.2; /* [mm] */

static void fill_trade_off(solving *s, double middle, tw_trade_off *out)
{
    tw_plan_request request = *s->request;
    solving next = *s;

    next.request = &request;
    request.within_mm = NAN; /* one grade a column, whatever the thickness */
    for (size_t j = 0; j < GRADES; j++)
        out->grade[j] = middle * grade_parts[j];
    for (size_t i = 0; i < out->thickness_count; i++)
        for (size_t j = 0; j < GRADES; j++) {
            request.grade = out->grade[j];
            out->mass_g[i * GRADES + j] = mass_at(&next, out->thickness_mm[i]);
        }
}

tw_status tw_plan_trade_off(const tw_plan *plan, const tw_plan_request *request, tw_trade_off *out,
                            tw_error *err)
{
    tw_trade_off trade = {.plate = plan->plate,
                          .grade_count = GRADES,
                          .own_grade = OWN_GRADE,
                          .arena = tw_arena_new()};
    solving s = {.plan = plan, .request = request, .first = SIZE_MAX};
    bool *changed = NULL;
    tw_status status = TW_OK;

    assert(plan && request && out);
    if (trade.arena) {
        trade.thickness_mm = tw_arena_array(trade.arena, THICKNESSES, sizeof(double));
        trade.grade = tw_arena_array(trade.arena, GRADES, sizeof(double));
        trade.mass_g = tw_arena_array(trade.arena, THICKNESSES * GRADES, sizeof(double));
        changed = tw_arena_array(trade.arena, plan->count, sizeof *changed);
        s.required = tw_arena_array(trade.arena, plan->count, sizeof *s.required);
    }
    s.changed = changed;
    if (!trade.thickness_mm || !trade.grade || !trade.mass_g || !changed || !s.required)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a plan");
    if (status == TW_OK)
        status = tw_request_check(plan, request, changed, &s.first, err);
    if (status == TW_OK && s.first == SIZE_MAX) {
        status = tw_fail(err, TW_ERR_INPUT, "the plate has no strike zone to trade against mass");
        tw_error_advise(err, NULL, "add one, or take the edges with --by edges.all");
    }
    if (status == TW_OK)
        status = tw_trial_make(plan, trade.arena, &s.trial, err);
    if (status == TW_OK) {
        const double asked = plan->fields[s.first].asked;
        for (int i = 0; i < THICKNESSES; i++) {
            const double t = asked + (i - THICKNESSES / 2) * THICKNESS_STEP;
            if (t >= request->least_mm - 1e-9)
                trade.thickness_mm[trade.thickness_count++] = t;
        }
        trade.changed = plan->fields[s.first].name;
        fill_trade_off(&s, tw_request_grade(plan, request), &trade);
        *out = trade;
        return TW_OK;
    }
    tw_arena_free(trade.arena);
    return status;
}

void tw_trade_off_release(tw_trade_off *trade)
{
    if (!trade)
        return;
    tw_arena_free(trade->arena);
    memset(trade, 0, sizeof *trade);
}
