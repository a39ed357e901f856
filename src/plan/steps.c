/*
 * steps.c: thinning divided into courses. The metal of a place goes from what it begins with, s, to what
 * it is to keep, w (its scale in). With levels L0 ≥ every s, L1, …, Ln = the least w of any place that
 * is thinned, the state after course k is max(w, min(s, Lk)): course k works where it changes, and its
 * grams are the difference of two masses by the rule of the weigh room. Masses of neighbouring courses
 * share a state, so that their differences add up to mass(max(w, s)) − mass(w) to rounding.
 *
 * Levels by gauge are round; scale burns off meanwhile, in even parts of the way down. A gauge reads
 * L − scale·(L0 − L)/(L0 − Ln), so L follows from a reading by one straight line (derived here).
 */
#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Places that differ by less are as wanted [mm]: plateaus are equal but for rounding. */
static const double EQUAL = 1e-9;
/* A strike zone counts as left alone when no more of it is worked [part of its area]. */
static const double ALONE = 0.02;

typedef struct dividing {
    const tw_goal *goal;
    const tw_grid *grid;
    const double *start_node, *start_cell; /* nu·nv; (nu−1)(nv−1) */
    double *node, *cell;                   /* a state between courses */
    double *volume, *before;               /* of each cell, at this state and the one before */
    double *level, *share;                 /* nodes; cells: where something holds */
    double top, bottom; /* metal: thickest start, thinnest wanted of what is thinned */
} dividing;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for steps of thinning");
}

/* ---- levels ---------------------------------------------------------------------------------- */

/* Readings from top to bottom at whole numbers of steps between; the first and last course take up what
 * is left over, so that none is under half a step. Returns the number of courses; with room for fewer,
 * only that they are more. */
static size_t divide(double top, double bottom, double step, size_t room, double *reading)
{
    size_t count = 0;

    reading[0] = top;
    for (double k = floor(top / step - 0.5 + 1e-9); k * step >= bottom + (0.5 - 1e-9) * step; k--) {
        if (count + 1 >= room)
            return room + 1;
        reading[++count] = k * step;
    }
    reading[++count] = bottom;
    return count;
}

static tw_status choose_levels(const dividing *work, double *step, double reading[TW_STEPS_MAX + 2],
                               size_t *count, tw_error *err)
{
    const double top = work->top, bottom = work->bottom - work->goal->scale_mm;

    if (*step > 0) {
        *count = divide(top, bottom, *step, TW_STEPS_MAX, reading);
        if (*count <= TW_STEPS_MAX)
            return TW_OK;
        tw_fail(err, TW_ERR_DOMAIN, "steps of %.3g mm from %.2f mm to %.2f mm are more than %d",
                *step, top, bottom, TW_STEPS_MAX);
        tw_error_advise(err, NULL, "take steps of %.2f mm or more",
                        ceil((top - bottom) / TW_STEPS_MAX / 0.05) * 0.05);
        return TW_ERR_DOMAIN;
    }
    for (int k = 2;; k++) { /* under 0.10 mm a caliper hardly tells them apart */
        *step = 0.05 * k;
        *count = divide(top, bottom, *step, TW_STEPS_USUAL, reading);
        if (*count <= TW_STEPS_USUAL)
            return TW_OK;
    }
}

/* ---- where ----------------------------------------------------------------------------------- */

/* A plateau just at a level (a strike zone as thick as the sheet) is at 0 and would lose half a cell all
 * round its border: its nodes next to it get what the slope outside runs up to there. */
static void lift_plateau(const tw_grid *grid, double *level)
{
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const long i = (long)(n % grid->nu), j = (long)(n / grid->nu);
        double most = level[n];
        if (!(level[n] >= 0 && level[n] <= 2 * EQUAL))
            continue;
        for (int way = 0; way < 9; way++) {
            const long di = way % 3 - 1, dj = way / 3 - 1;
            const long far_i = i + 2 * di, far_j = j + 2 * dj;
            double near, far;
            if (way == 4 || far_i < 0 || far_j < 0 || far_i >= (long)grid->nu ||
                far_j >= (long)grid->nv)
                continue;
            near = level[(size_t)(j + dj) * grid->nu + (size_t)(i + di)];
            far = level[(size_t)far_j * grid->nu + (size_t)far_i];
            if (near < 0 && far < 0)
                most = fmax(most, 2 * near - far);
        }
        level[n] = most;
    }
}

/* Share of each cell with metal where level < 0; returns its area of the face. */
static double area_below(const dividing *work)
{
    const tw_grid *grid = work->grid;
    tw_sum area = {0, 0};

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (!isfinite(work->level[n]))
            work->level[n] = 1; /* off the metal */
    lift_plateau(grid, work->level);
    tw_grid_level_share(grid, work->level, work->share);
    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        tw_sum_add(&area, grid->area[c] * work->share[c]);
    return tw_sum_value(&area);
}

/* Where a course from `high` to `low` works: w < min(s, high) and s > low. */
static double worked_area(const dividing *work, double high, double low)
{
    const double *start = work->start_node, *wanted = work->goal->before.node;

    for (size_t n = 0; n < work->grid->nu * work->grid->nv; n++)
        work->level[n] = fmax(wanted[n] - fmin(start[n], high) + EQUAL, low - start[n] + EQUAL);
    return area_below(work);
}

/* Middle of what the shares leave. */
static void middle_of_rest(const dividing *work, double at[2])
{
    const tw_grid *grid = work->grid;
    tw_sum area = {0, 0}, moment[2] = {{0, 0}, {0, 0}};

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double rest = grid->area[c] * (1 - work->share[c]);
        tw_sum_add(&area, rest);
        tw_sum_add(&moment[0],
                   rest * (tw_grid_across(grid, c % (grid->nu - 1)) + grid->across_step / 2));
        tw_sum_add(&moment[1], rest * (tw_grid_up(grid, c / (grid->nu - 1)) + grid->up_step / 2));
    }
    for (int d = 0; d < 2; d++)
        at[d] = tw_sum_value(&area) > 1e-6 * grid->face_area
                    ? tw_sum_value(&moment[d]) / tw_sum_value(&area)
                    : NAN;
}

static bool is_strike(const tw_plate *plate, const char *name)
{
    const tw_forged_spec *forged = &plate->profile->forged;

    for (size_t k = 0; k < forged->strike_count; k++)
        if (strcmp(forged->strikes[k].name, name) == 0)
            return true;
    return false;
}

/* A zone of the report that the shares hardly touch. */
static bool zone_alone(const dividing *work, size_t zone)
{
    const tw_grid *grid = work->grid;
    const tw_zones *zones = &work->goal->plate->zones;
    double area = 0, worked = 0;

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double part = (zones->first[c] == zone ? (double)zones->share[c] : 0) +
                            (zones->second[c] == zone ? 1 - (double)zones->share[c] : 0);
        area += part * grid->area[c];
        /* a cell's share does not say which part of it is worked: the zone's is the last to be */
        worked += fmax(0, part + work->share[c] - 1) * grid->area[c];
    }
    return area > 0 && worked <= ALONE * area;
}

static tw_status name_alone(const dividing *work, tw_arena *arena, const char **out, tw_error *err)
{
    const tw_zones *zones = &work->goal->plate->zones;
    size_t length = 1;
    char *text;

    *out = NULL;
    for (size_t z = 0; z < zones->count; z++)
        length += strlen(zones->names[z]) + 2;
    text = tw_arena_array(arena, length, 1);
    if (!text)
        return no_memory(err);
    for (size_t z = 0; z < zones->count; z++) {
        if (!is_strike(work->goal->plate, zones->names[z]) || !zone_alone(work, z))
            continue;
        if (text[0])
            strcat(text, ", ");
        strcat(text, zones->names[z]);
    }
    if (text[0])
        *out = text;
    return TW_OK;
}

/* ---- grams ------------------------------------------------------------------------------------ */

static double state_of(double start, double wanted, double level)
{
    return fmax(wanted, fmin(start, level));
}

/* The volumes of the state at a level go into work->volume, those before it into work->before. */
static void state_at(dividing *work, double level)
{
    const tw_map *wanted = &work->goal->before;
    const tw_plate *plate = work->goal->plate;
    double *swap = work->before;

    for (size_t n = 0; n < work->grid->nu * work->grid->nv; n++)
        work->node[n] = state_of(work->start_node[n], wanted->node[n], level);
    for (size_t c = 0; c < tw_grid_cells(work->grid); c++)
        work->cell[c] = state_of(work->start_cell[c], wanted->cell[c], level);
    work->before = work->volume;
    work->volume = swap;
    tw_cell_volumes(work->grid, work->cell, work->node, plate->profile->face, work->volume);
}

/* Mass that the last change of state took from its cells. */
static double grams_between(const dividing *work)
{
    tw_sum volume = {0, 0};

    for (size_t c = 0; c < tw_grid_cells(work->grid); c++)
        tw_sum_add(&volume, work->before[c] - work->volume[c]);
    return tw_sum_value(&volume) * work->goal->plate->profile->density;
}

static tw_status make_courses(dividing *work, const double *reading, tw_steps *out, tw_error *err)
{
    const double span = work->top - work->bottom;
    const double gain = span / (span + work->goal->scale_mm); /* of metal per reading */
    const double last = reading[out->count];
    tw_sum grams = {0, 0};
    tw_status status = TW_OK;

    out->steps = tw_arena_array(out->arena, out->count, sizeof *out->steps);
    if (!out->steps)
        return no_memory(err);
    state_at(work, work->top);
    for (size_t k = 0; status == TW_OK && k < out->count; k++) {
        tw_step *step = &out->steps[k];
        step->from_mm = reading[k];
        step->to_mm = reading[k + 1];
        step->from_line_mm = k == 0 ? work->top : out->steps[k - 1].to_line_mm;
        step->to_line_mm =
            k + 1 == out->count ? work->bottom : work->bottom + (reading[k + 1] - last) * gain;
        state_at(work, step->to_line_mm);
        step->move_g = grams_between(work);
        tw_sum_add(&grams, step->move_g);
        step->area_mm2 = worked_area(work, step->from_line_mm, step->to_line_mm);
        middle_of_rest(work, step->at);
        status = name_alone(work, out->arena, &step->outside, err);
    }
    out->move_g = tw_sum_value(&grams);
    return status;
}

/* Where most is lacking: of a plateau, its cell nearest to the middle of it. */
static void find_thickest_gather(const dividing *work, tw_steps *out)
{
    const tw_map *wanted = &work->goal->before;
    const tw_grid *grid = work->grid;
    double most = 0, nearest = INFINITY, middle[2] = {0, 0}, area = 0;

    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        if (grid->area[c] > 0)
            most = fmax(most, wanted->cell[c] - work->start_cell[c]);
    out->gather_at[0] = out->gather_at[1] = NAN;
    if (most <= EQUAL)
        return;
    for (int pass = 0; pass < 2; pass++)
        for (size_t c = 0; c < tw_grid_cells(grid); c++) {
            const double at[2] = {tw_grid_across(grid, c % (grid->nu - 1)) + grid->across_step / 2,
                                  tw_grid_up(grid, c / (grid->nu - 1)) + grid->up_step / 2};
            double off;
            if (!(grid->area[c] > 0 && wanted->cell[c] - work->start_cell[c] >= most - EQUAL))
                continue;
            for (int d = 0; d < 2 && pass == 0; d++)
                middle[d] += grid->area[c] * at[d];
            area += pass == 0 ? grid->area[c] : 0;
            off = hypot(at[0] - middle[0] / area, at[1] - middle[1] / area);
            if (pass == 0 || off >= nearest)
                continue;
            nearest = off;
            memcpy(out->gather_at, at, sizeof at);
        }
    out->gather_most_mm = most;
}

/* Metal lacking where the start is thinner than wanted. */
static void measure_gathering(dividing *work, tw_steps *out)
{
    const tw_map *wanted = &work->goal->before;
    const tw_grid *grid = work->grid;
    const tw_face_side face = work->goal->plate->profile->face;

    find_thickest_gather(work, out);
    if (!(out->gather_most_mm > 0))
        return;
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        work->level[n] = work->start_node[n] - wanted->node[n] + EQUAL;
        work->node[n] = fmin(work->start_node[n], wanted->node[n]);
    }
    for (size_t c = 0; c < tw_grid_cells(grid); c++)
        work->cell[c] = fmin(work->start_cell[c], wanted->cell[c]);
    out->gather_area_mm2 = area_below(work);
    tw_cell_volumes(grid, wanted->cell, wanted->node, face, work->before);
    tw_cell_volumes(grid, work->cell, work->node, face, work->volume);
    out->gather_g = grams_between(work);
}

/* ---- the whole ---------------------------------------------------------------------------------- */

static tw_status start_from(const tw_goal *goal, const tw_map *formed, tw_arena *arena,
                            double **node, double **cell, tw_error *err)
{
    const tw_grid *grid = goal->plate->grid;
    const size_t nodes = grid->nu * grid->nv, cells = tw_grid_cells(grid);

    *node = tw_arena_array(arena, nodes, sizeof **node);
    *cell = tw_arena_array(arena, cells, sizeof **cell);
    if (!*node || !*cell)
        return no_memory(err);
    for (size_t n = 0; n < nodes; n++)
        (*node)[n] = formed ? formed->node[n] : goal->stock.thickness;
    for (size_t c = 0; c < cells; c++)
        (*cell)[c] = formed ? formed->cell[c] : goal->stock.thickness;
    return TW_OK;
}

/* From where to where it is thinned; false when it is nowhere. `thin`: everything lacks metal. */
static bool find_ends(dividing *work, double *lacks_least, bool *thin)
{
    const tw_map *wanted = &work->goal->before;
    const double *at = wanted->thinnest_at;

    work->top = 0;
    work->bottom = *lacks_least = INFINITY;
    for (size_t c = 0; c < tw_grid_cells(work->grid); c++) {
        const double start = work->start_cell[c], keep = wanted->cell[c];
        if (!(work->grid->area[c] > 0))
            continue;
        *lacks_least = fmin(*lacks_least, keep - start);
        if (start - keep <= EQUAL)
            continue;
        work->top = fmax(work->top, start);
        work->bottom = fmin(work->bottom, keep);
    }
    *thin = *lacks_least > EQUAL;
    if (!isfinite(work->bottom))
        return false;
    if (tw_grid_sample(work->grid, work->start_node, at[0], at[1]) > wanted->thinnest)
        work->bottom = fmin(work->bottom, wanted->thinnest);
    return true;
}

static tw_status too_thin(const tw_goal *goal, bool raised, double lacks, tw_error *err)
{
    char sheet[64] = "the sheet";

    if (goal->stock.thickness > 0)
        tw_stock_write(&goal->stock, TW_METRIC, sheet, sizeof sheet);
    tw_fail(err, TW_ERR_DOMAIN, "%s%s is thinner than wanted everywhere, by %.2f mm and more",
            sheet, raised ? ", formed," : "", lacks);
    tw_error_advise(err, NULL, "the thinnest place is to keep %.2f mm%s: begin with thicker sheet",
                    goal->before.thinnest, goal->scale_mm > 0 ? " before scale burns off" : "");
    return TW_ERR_DOMAIN;
}

static tw_status check_request(const tw_goal *goal, const tw_map *formed, double step_mm,
                               tw_error *err)
{
    if (!formed && !(goal->stock.thickness > 0)) {
        tw_fail(err, TW_ERR_INPUT, "nothing says what sheet the work begins with");
        tw_error_advise(err, NULL, "give the profile thickness.sheet, or name a stock");
        return TW_ERR_INPUT;
    }
    if (step_mm == 0 || step_mm >= TW_STEPS_LEAST)
        return TW_OK;
    tw_fail(err, TW_ERR_DOMAIN, "a step of %.3g mm cannot be told by gauge", step_mm);
    tw_error_advise(err, NULL, "take %.2f mm or more, like 0.3 mm", TW_STEPS_LEAST);
    return TW_ERR_DOMAIN;
}

static tw_status begin(dividing *work, const tw_map *formed, tw_arena *scratch, tw_steps *out,
                       tw_error *err)
{
    const tw_grid *grid = work->grid;
    const size_t nodes = grid->nu * grid->nv, cells = tw_grid_cells(grid);
    double *start_cell;
    tw_status status = start_from(work->goal, formed, out->arena, &out->start, &start_cell, err);

    if (status != TW_OK)
        return status;
    work->start_node = out->start;
    work->start_cell = start_cell;
    work->node = tw_arena_array(scratch, nodes, sizeof *work->node);
    work->level = tw_arena_array(scratch, nodes, sizeof *work->level);
    work->cell = tw_arena_array(scratch, cells, sizeof *work->cell);
    work->volume = tw_arena_array(scratch, cells, sizeof *work->volume);
    work->before = tw_arena_array(scratch, cells, sizeof *work->before);
    work->share = tw_arena_array(scratch, cells, sizeof *work->share);
    out->wanted = tw_arena_array(out->arena, nodes, sizeof *out->wanted);
    if (!work->node || !work->level || !work->cell || !work->volume || !work->before ||
        !work->share || !out->wanted)
        return no_memory(err);
    memcpy(out->wanted, work->goal->before.node, nodes * sizeof *out->wanted);
    return TW_OK;
}

tw_status tw_steps_make(const tw_goal *goal, const tw_map *formed, double step_mm, tw_steps *out,
                        tw_error *err)
{
    dividing work = {.goal = goal, .grid = goal->plate->grid};
    tw_steps steps = {.goal = goal, .raised = formed != NULL, .step_mm = step_mm};
    double reading[TW_STEPS_MAX + 2], lacks;
    tw_arena *scratch = NULL;
    bool thin;
    tw_status status = check_request(goal, formed, step_mm, err);

    assert(out && (!formed || formed->grid == goal->plate->grid));
    if (status != TW_OK)
        return status;
    steps.arena = tw_arena_new();
    scratch = tw_arena_new();
    status = steps.arena && scratch ? begin(&work, formed, scratch, &steps, err) : no_memory(err);
    if (status != TW_OK)
        goto done;
    if (find_ends(&work, &lacks, &thin)) {
        status = choose_levels(&work, &steps.step_mm, reading, &steps.count, err);
        if (status == TW_OK)
            status = make_courses(&work, reading, &steps, err);
        if (status == TW_OK)
            steps.draw_area_mm2 = worked_area(&work, work.top, 0);
    } else if (thin) {
        status = too_thin(goal, formed != NULL, lacks, err);
    }
    if (status == TW_OK)
        measure_gathering(&work, &steps);
done:
    tw_arena_free(scratch);
    if (status == TW_OK)
        *out = steps;
    else
        tw_arena_free(steps.arena);
    return status;
}

void tw_steps_release(tw_steps *steps)
{
    if (!steps)
        return;
    tw_arena_free(steps->arena);
    memset(steps, 0, sizeof *steps);
}
