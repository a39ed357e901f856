/*
 * gauging.c: readings of the work held against its goal.
 *
 * Wanted is the rough thickness while metal can still be moved, the finished one once hammering is over.
 * Reading − wanted is a smooth thing (how far the work has come), so that is what kriging carries from
 * the points over the plate, about an even offset: present thickness = wanted + carried.
 *
 * What is to be done follows metal, which no hammer takes off (definitions derived here):
 *   move      over wanted, of every place that is thicker than its window. It is spread, the plate grows
 *             by it, and what grows stands beyond the outline: within it stays now − move.
 *   trim      all that stands beyond the outline in the end: the plate's whole metal − (now − move). A
 *             scale weighs the strip too; without one the whole is now + the strip that was allowed for,
 *             and so trim = move + strip; once hammering is over it is taken as cut. Thin
 *             places are not filled by it: they stay as they are.
 *   grind     of what is then within the outline, what polish takes off everywhere; once hammering is
 *             over, what is over the finished thickness of every place thicker than its window (polish
 *             that is still to come is in that, and is not counted again).
 *   finished  what is left: whole − trim − grind.
 * Scale that later heats burn off is left aside.
 *
 * Windows are those of the gauge card (window.c).
 *
 * Masses are those of whole maps (present, moved, ground), so that grams add up exactly on curved plates
 * too. ±: what is taken off follows the estimate, so what the estimate of the present is wrong by stays
 * in the metal; beside it density and polish.
 */
#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Scatter of a hammered face (common practice, no source) [mm]. */
static const double USUAL_SURFACE = 0.10;
static const double ONE_PLACE = 0.5; /* [mm] */
static const double LEAST_THICKNESS =
    0.05;                            /* [mm]: an estimate far from readings may run below zero */
static const double ROUNDING = 1e-6; /* [mm]: of decimals, not of metal */
enum { PROCESS_MIN = 6 };

const char *tw_todo_word(tw_todo todo)
{
    static const char *const words[] = {"leave", "stretch", "grind", "too thin: stop"};

    return words[todo];
}

const char *tw_stage_word(tw_stage stage)
{
    return stage == TW_STAGE_HAMMER ? "hammer" : "finish";
}

/* ---- one run ------------------------------------------------------------------------------------- */

typedef struct work {
    const tw_goal *goal;
    const tw_map *wanted;
    tw_gauging *made;
    tw_survey *survey;
    tw_windows win;
    unsigned threads;
    tw_map now, then, after; /* present; moved; ground: cells, and nodes for creases */
    double *volume, *lower;  /* scratch: one to a cell */
    tw_arena *arena;         /* scratch */
} work;

static tw_todo judge(tw_stage stage, double reads, double low, double high)
{
    if (reads < low - ROUNDING)
        return TW_TODO_STOP;
    if (reads <= high + ROUNDING)
        return TW_TODO_LEAVE;
    return stage == TW_STAGE_HAMMER ? TW_TODO_STRETCH : TW_TODO_GRIND;
}

static tw_status take_points(work *w, tw_error *err)
{
    tw_gauging *made = w->made;

    made->points = tw_arena_array(made->arena, w->survey->used, sizeof *made->points);
    if (!made->points)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu readings", w->survey->used);
    for (size_t k = 0; k < w->survey->count; k++) {
        const tw_placed_reading *placed = &w->survey->readings[k];
        tw_gauged *point = &made->points[made->count];
        if (!placed->used)
            continue;
        *point = (tw_gauged){.tape = {placed->tape[0], placed->tape[1]},
                             .reads_mm = placed->thickness,
                             .line = placed->reading->place.line};
        point->name = tw_arena_text(made->arena, placed->reading->name);
        if (!point->name)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu readings", w->survey->used);
        tw_windows_at(&w->win, point->tape, &point->wanted_mm, &point->low_mm, &point->high_mm);
        point->over_mm = point->reads_mm - point->wanted_mm;
        point->todo = judge(made->stage, point->reads_mm, point->low_mm, point->high_mm);
        made->todo_count[point->todo]++;
        made->count++;
    }
    return TW_OK;
}

/* ---- carrying ------------------------------------------------------------------------------------ */

static bool under_six_places(const tw_survey *survey)
{
    double places[PROCESS_MIN][3];
    size_t count = 0;

    for (size_t k = 0; k < survey->count && count < PROCESS_MIN; k++) {
        const double *at = survey->readings[k].position;
        bool known = !survey->readings[k].used;
        for (size_t p = 0; p < count && !known; p++) {
            const double d[3] = {at[0] - places[p][0], at[1] - places[p][1], at[2] - places[p][2]};
            known = tw_dot(d, d) <= ONE_PLACE * ONE_PLACE;
        }
        if (!known)
            memcpy(places[count++], at, sizeof places[0]);
    }
    return count < PROCESS_MIN;
}

/* A map of readings is a thickness above zero, so what is over is carried on a level above it: about an
 * even trend the same values come back (derived here: weights of universal kriging sum to 1). */
static double level_of(const work *w)
{
    return 10 + w->wanted->thickest;
}

static tw_status fit(work *w, double surface, tw_error *err)
{
    const size_t count = w->made->count;
    double(*position)[3] = tw_arena_array(w->arena, count, sizeof *position);
    double *value = tw_arena_array(w->arena, count, sizeof *value);
    double *noise = tw_arena_array(w->arena, count, sizeof *noise);
    double *basis = tw_arena_array(w->arena, count, sizeof *basis);
    size_t n = 0;

    if (!position || !value || !noise || !basis)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu readings", count);
    for (size_t k = 0; k < w->survey->count; k++) {
        const tw_placed_reading *placed = &w->survey->readings[k];
        if (!placed->used)
            continue;
        memcpy(position[n], placed->position, sizeof placed->position);
        value[n] = level_of(w) + w->made->points[n].over_mm;
        noise[n] = placed->noise;
        basis[n++] = 1;
    }
    w->made->few = under_six_places(w->survey);
    return tw_krige_fit(&(tw_krige_data){.count = count,
                                         .position = (const double(*)[3])position,
                                         .value = value,
                                         .noise = noise,
                                         .surface = surface,
                                         .basis_count = 1,
                                         .basis = basis,
                                         .scale = (double)NAN,
                                         .amplitude = (double)NAN,
                                         .trend_only = w->made->few},
                        &w->survey->krige, err);
}

static tw_status blank_map(work *w, tw_map *out, tw_error *err)
{
    const tw_grid *grid = w->wanted->grid;

    *out = (tw_map){.grid = grid};
    out->node = tw_arena_array(w->arena, grid->nu * grid->nv, sizeof *out->node);
    out->cell = tw_arena_array(w->arena, tw_grid_cells(grid), sizeof *out->cell);
    return out->node && out->cell ? TW_OK
                                  : tw_fail(err, TW_ERR_MEMORY, "no memory for a map of the work");
}

/* The present map, and how far it is over what is wanted. */
static tw_status carry(work *w, tw_error *err)
{
    const tw_grid *grid = w->wanted->grid;
    const size_t nodes = grid->nu * grid->nv, cells = tw_grid_cells(grid);
    const double level = level_of(w);
    tw_map found;
    tw_status status = tw_map_readings(w->survey, w->threads, &found, err);

    if (status != TW_OK)
        return status;
    status = blank_map(w, &w->now, err);
    w->made->over = tw_arena_array(w->made->arena, nodes, sizeof *w->made->over);
    if (status == TW_OK && !w->made->over)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a map of the work");
    for (size_t n = 0; status == TW_OK && n < nodes; n++) {
        w->now.node[n] = fmax(w->wanted->node[n] + found.node[n] - level, LEAST_THICKNESS);
        w->made->over[n] = w->now.node[n] - w->wanted->node[n];
    }
    for (size_t c = 0; status == TW_OK && c < cells; c++)
        w->now.cell[c] = fmax(w->wanted->cell[c] + found.cell[c] - level, LEAST_THICKNESS);
    tw_map_release(&found);
    return status;
}

/* ---- grams --------------------------------------------------------------------------------------- */

static void volumes(work *w, const tw_map *map, double *out)
{
    tw_cell_volumes(map->grid, map->cell, map->node, w->goal->plate->profile->face, out);
}

static double mass_of(work *w, const tw_map *map)
{
    tw_sum sum = {0, 0};

    volumes(w, map, w->volume);
    for (size_t c = 0; c < tw_grid_cells(map->grid); c++)
        tw_sum_add(&sum, w->volume[c]);
    return tw_sum_value(&sum) * w->goal->plate->profile->density;
}

/* One thickness of the present map, brought down to wanted where it is over its window. */
static double brought_down(const work *w, double now, double wanted)
{
    return now > wanted + w->win.half + ROUNDING ? wanted : now;
}

static tw_status later_maps(work *w, tw_error *err)
{
    const tw_grid *grid = w->wanted->grid;
    const double polish = w->made->stage == TW_STAGE_HAMMER ? w->goal->polish_mm : 0;
    tw_status status = blank_map(w, &w->then, err);

    if (status == TW_OK)
        status = blank_map(w, &w->after, err);
    if (status != TW_OK)
        return status;
    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        w->then.node[n] = brought_down(w, w->now.node[n], w->wanted->node[n]);
        w->after.node[n] = fmax(w->then.node[n] - polish, 0);
    }
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        w->then.cell[c] = brought_down(w, w->now.cell[c], w->wanted->cell[c]);
        w->after.cell[c] = fmax(w->then.cell[c] - polish, 0);
    }
    return TW_OK;
}

/* Under wanted, of cells thinner than their window. */
static double lacking(work *w)
{
    const tw_grid *grid = w->wanted->grid;
    tw_sum sum = {0, 0};

    volumes(w, w->wanted, w->volume);
    volumes(w, &w->now, w->lower);
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double low =
            tw_windows_low(&w->win, w->goal->plate->zones.first[c], w->wanted->cell[c]);
        if (grid->area[c] > 0 && w->now.cell[c] < low - ROUNDING)
            tw_sum_add(&sum, w->volume[c] - w->lower[c]);
    }
    return fmax(tw_sum_value(&sum), 0) * w->goal->plate->profile->density;
}

/* The strip along the outline: width × length × thickness there, piece by piece. */
static double strip_mass(const tw_goal *goal)
{
    const tw_form *form = goal->plate->form;
    const tw_outline *outline = tw_form_outline(form);
    tw_sum sum = {0, 0};

    for (size_t e = 0; e < outline->edge_count; e++) {
        const tw_edge_line *line = &outline->edges[e];
        tw_face_point last, here;
        double before = 0;
        for (size_t k = 0; k < line->count; k++) {
            const double *at = line->points[k];
            const double thick = tw_grid_sample(goal->rough.grid, goal->rough.node, at[0], at[1]);
            tw_form_at(form, at[0], at[1], &here);
            if (k > 0) {
                const double d[3] = {here.position[0] - last.position[0],
                                     here.position[1] - last.position[1],
                                     here.position[2] - last.position[2]};
                tw_sum_add(&sum, sqrt(tw_dot(d, d)) * 0.5 * (before + thick));
            }
            last = here;
            before = thick;
        }
    }
    return goal->trim_mm * tw_sum_value(&sum) * goal->plate->profile->density;
}

static tw_status uncertainty(work *w, tw_error *err)
{
    const tw_profile *profile = w->goal->plate->profile;
    const size_t cells = tw_grid_cells(w->wanted->grid);
    const double density = profile->density_uncertainty / profile->density;
    const bool polish = w->made->stage == TW_STAGE_HAMMER;
    tw_gauging *made = w->made;
    double carried, polished;
    tw_sum slopes = {0, 0};
    tw_status status;

    tw_cell_mass_slopes(w->wanted->grid, w->now.cell, w->now.node, profile->face, profile->density,
                        w->volume);
    status = tw_survey_sum(w->survey, w->volume, w->threads, NULL, &carried, NULL, err);
    if (status != TW_OK)
        return status;
    for (size_t c = 0; c < cells; c++)
        if (w->wanted->grid->area[c] > 0)
            tw_sum_add(&slopes, w->volume[c]);
    polished = polish ? w->goal->polish_u_mm * tw_sum_value(&slopes) : 0;
    made->now_u_g = hypot(carried, density * made->now_g);
    made->finished_u_g = hypot(hypot(carried, density * made->finished_g), polished);
    return TW_OK;
}

static tw_status count_grams(work *w, tw_error *err)
{
    const size_t cells = tw_grid_cells(w->wanted->grid);
    const bool hammer = w->made->stage == TW_STAGE_HAMMER;
    tw_gauging *made = w->made;
    double moved, ground;
    tw_status status = later_maps(w, err);

    w->volume = tw_arena_array(w->arena, cells, sizeof *w->volume);
    w->lower = tw_arena_array(w->arena, cells, sizeof *w->lower);
    if (status == TW_OK && (!w->volume || !w->lower))
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the grams of the work");
    if (status != TW_OK)
        return status;
    made->now_g = mass_of(w, &w->now);
    moved = mass_of(w, &w->then);
    ground = mass_of(w, &w->after);
    made->stage_g = hammer ? w->goal->rough_weight.mass_g : w->goal->weight.mass_g;
    made->wanted_g = w->goal->weight.mass_g;
    made->strip_g = strip_mass(w->goal);
    made->total_g = made->now_g + (hammer ? made->strip_g : 0);
    if (made->weighs_g > 0)
        made->total_g = made->weighs_g;
    made->move_g = hammer ? made->now_g - moved : 0;
    made->grind_g = hammer ? moved - ground : made->now_g - moved;
    made->trim_g = fmax(made->total_g - (made->now_g - made->move_g), 0);
    made->finished_g = ground;
    made->lacking_g = lacking(w);
    return uncertainty(w, err);
}

/* ---- together ------------------------------------------------------------------------------------- */

static tw_status compute(work *w, const tw_readings_spec *readings, tw_error *err)
{
    tw_readings_spec own = *readings;
    const tw_plate *plate = w->goal->plate;
    tw_status status;

    own.trend = TW_TREND_EVEN;
    if (isnan(
            own.surface)) /* pairs of points differ by the taper: no scatter is learnt from them */
        own.surface = USUAL_SURFACE;
    status = tw_windows_make(w->goal, w->wanted, w->made->window_mm, w->arena, &w->win, err);
    if (status == TW_OK)
        status = tw_survey_place(plate->form, plate->grid, &own, NULL, &w->survey, err);
    if (status == TW_OK)
        status = take_points(w, err);
    if (status == TW_OK)
        status = fit(w, own.surface, err);
    if (status == TW_OK)
        status = carry(w, err);
    if (status == TW_OK)
        status = count_grams(w, err);
    if (status == TW_OK)
        w->made->notes = w->survey->notes;
    tw_survey_free(w->survey);
    return status;
}

static tw_status check(double window_mm, double weighs_g, tw_error *err)
{
    if (!(window_mm >= 0) || !isfinite(window_mm)) {
        tw_fail(err, TW_ERR_DOMAIN, "a window of %g mm is not above zero", window_mm);
        tw_error_advise(err, NULL, "write 0.1 mm, for example");
        return TW_ERR_DOMAIN;
    }
    if (!(weighs_g >= 0) || !isfinite(weighs_g)) {
        tw_fail(err, TW_ERR_DOMAIN, "a weight of %g g is not above zero", weighs_g);
        tw_error_advise(err, NULL, "write 2.05 kg, for example");
        return TW_ERR_DOMAIN;
    }
    return TW_OK;
}

tw_status tw_gauging_make(const tw_goal *goal, const tw_readings_spec *readings, tw_stage stage,
                          double window_mm, double weighs_g, unsigned threads, tw_gauging *out,
                          tw_error *err)
{
    tw_gauging made = {.goal = goal,
                       .stage = stage,
                       .window_mm = window_mm > 0 ? window_mm : TW_CARD_WINDOW,
                       .weighs_g = weighs_g};
    work w = {.goal = goal,
              .wanted = stage == TW_STAGE_HAMMER ? &goal->rough : &goal->map,
              .made = &made,
              .threads = threads};
    tw_status status = check(window_mm, weighs_g, err);

    assert(goal && readings && out);
    if (status != TW_OK)
        return status;
    made.arena = tw_arena_new();
    w.arena = tw_arena_new();
    status = made.arena && w.arena ? compute(&w, readings, err)
                                   : tw_fail(err, TW_ERR_MEMORY, "no memory for the readings");
    tw_arena_free(w.arena);
    if (status != TW_OK) {
        tw_arena_free(made.arena);
        return status;
    }
    *out = made;
    return TW_OK;
}

void tw_gauging_release(tw_gauging *gauging)
{
    if (!gauging)
        return;
    tw_arena_free(gauging->arena);
    memset(gauging, 0, sizeof *gauging);
}
