/*
 * card.c: the card of points to gauge on the way: first what has to be watched (every strike zone, and
 * where the plate ends thinnest, as it tears there first), then what tells most about the mass.
 */
#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Candidates for the mass, and for the places to be watched, where a finer lattice is worth its while. */
enum { CANDIDATES = 600, FINE = 20000, ENOUGH = 60 };
/* A reading by caliper or ultrasonic, and the scatter of a hammered face [mm] (common practice, no
 * source). */
static const double GAUGE = 0.03, SURFACE = 0.10;

typedef struct work {
    const tw_goal *goal;
    tw_card *card;
    tw_windows rough, finished;
    tw_card_ground ground;
    tw_card_places fine, places; /* places: to be watched first, then a coarse lattice */
    size_t watched;
    tw_card_choice choice;
    tw_arena *arena; /* scratch */
} work;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a gauge card");
}

static const double WINDOW_MOST = 5; /* [mm]: more tells nobody when to stop */

static tw_status check(size_t count, double window_mm, double reach_mm, tw_error *err)
{
    if (count > TW_CARD_POINTS_MAX) {
        tw_fail(err, TW_ERR_DOMAIN, "%zu points are more than one card holds", count);
        tw_error_advise(err, NULL, "ask for %d at most", TW_CARD_POINTS_MAX);
        return TW_ERR_DOMAIN;
    }
    if (!(window_mm >= 0) || !isfinite(window_mm)) {
        tw_fail(err, TW_ERR_DOMAIN, "a window of %g mm is not above zero", window_mm);
        tw_error_advise(err, NULL, "write 0.1 mm, for example");
        return TW_ERR_DOMAIN;
    }
    if (window_mm > WINDOW_MOST) {
        tw_fail(err, TW_ERR_DOMAIN, "a window of %g mm is more than %g mm", window_mm, WINDOW_MOST);
        tw_error_advise(err, NULL, "write 0.1 mm, for example");
        return TW_ERR_DOMAIN;
    }
    if (!(reach_mm > 0)) {
        tw_fail(err, TW_ERR_DOMAIN, "a reach of %g mm is not above zero", reach_mm);
        tw_error_advise(err, NULL, "write 60 mm, for example");
        return TW_ERR_DOMAIN;
    }
    return TW_OK;
}

/* ---- what has to be watched ------------------------------------------------------------------------ */

/* The middle of a strike zone's metal by tape. @return false when it has none */
static bool middle_of(const tw_plate *plate, size_t zone, double at[2])
{
    const tw_grid *grid = plate->grid;
    tw_sum across = {0, 0}, up = {0, 0}, all = {0, 0};

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double share = plate->zones.first[c] == zone ? (double)plate->zones.share[c] : 0;
        if (!(grid->area[c] > 0) || !(share > 0))
            continue;
        tw_sum_add(&all, share * grid->cover[c]);
        tw_sum_add(&across, share * grid->cover[c] * tw_grid_across(grid, c % (grid->nu - 1)));
        tw_sum_add(&up, share * grid->cover[c] * tw_grid_up(grid, c / (grid->nu - 1)));
    }
    if (!(tw_sum_value(&all) > 0))
        return false;
    at[0] = tw_sum_value(&across) / tw_sum_value(&all) + 0.5 * grid->across_step;
    at[1] = tw_sum_value(&up) / tw_sum_value(&all) + 0.5 * grid->up_step;
    return true;
}

static bool watched_already(const work *w, const double tape[2])
{
    for (size_t k = 0; k < w->watched; k++)
        if (hypot(w->places.tape[k][0] - tape[0], w->places.tape[k][1] - tape[1]) < 1e-6)
            return true;
    return false;
}

static void watch(work *w, size_t fine)
{
    if (fine == SIZE_MAX || watched_already(w, w->fine.tape[fine]))
        return;
    memcpy(w->places.tape[w->watched], w->fine.tape[fine], sizeof w->places.tape[0]);
    memcpy(w->places.position[w->watched], w->fine.position[fine], sizeof w->places.position[0]);
    w->watched++;
}

/* The place in a zone that is nearest to its middle; of equally near ones the first. */
static size_t place_in(const work *w, size_t zone)
{
    size_t best = SIZE_MAX;
    double at[2], nearest = INFINITY;

    if (!middle_of(w->goal->plate, zone, at))
        return SIZE_MAX;
    for (size_t k = 0; k < w->fine.count; k++) {
        const double off = hypot(w->fine.tape[k][0] - at[0], w->fine.tape[k][1] - at[1]);
        if (off < nearest - 1e-6 && tw_windows_zone(&w->rough, w->fine.tape[k]) == zone) {
            nearest = off;
            best = k;
        }
    }
    return best;
}

static size_t thinnest_place(const work *w)
{
    const tw_map *map = &w->goal->map;
    size_t best = SIZE_MAX;
    double least = INFINITY;

    for (size_t k = 0; k < w->fine.count; k++) {
        const double *at = w->fine.tape[k];
        const double thickness = tw_grid_sample(map->grid, map->node, at[0], at[1]);
        if (thickness < least - 1e-6) {
            least = thickness;
            best = k;
        }
    }
    return best;
}

/* The strike zone that is to be thickest of those not yet looked at. */
static size_t next_zone(const work *w, const bool *done)
{
    const tw_strike *strikes = w->goal->plate->profile->forged.strikes;
    size_t best = SIZE_MAX;

    for (size_t k = 0; k < w->rough.zone_count; k++)
        if (!done[k] && (best == SIZE_MAX || strikes[k].thickness > strikes[best].thickness))
            best = k;
    return best;
}

static tw_status watch_all(work *w, size_t count, tw_error *err)
{
    bool *done = tw_arena_array(w->arena, w->rough.zone_count + 1, sizeof *done);
    size_t zone;

    if (!done)
        return no_memory(err);
    while (w->watched < count && (zone = next_zone(w, done)) != SIZE_MAX) {
        done[zone] = true;
        watch(w, place_in(w, zone));
    }
    if (w->watched < count)
        watch(w, thinnest_place(w));
    return TW_OK;
}

/* ---- places ---------------------------------------------------------------------------------------- */

static tw_status nothing_within(const work *w, tw_error *err)
{
    if (isfinite(w->card->reach_mm))
        tw_fail(err, TW_ERR_DOMAIN,
                "no place is within %g mm of the edge and clear of edges, holes and creases",
                w->card->reach_mm);
    else
        tw_fail(err, TW_ERR_DOMAIN, "no place is clear of edges, holes and creases");
    tw_error_advise(err, NULL,
                    "a foot needs 6 mm to edges and holes, and an instrument more reach");
    return TW_ERR_DOMAIN;
}

/* The lattice behind the places to be watched; a place is there once. */
static tw_status take_lattice(work *w, tw_error *err)
{
    tw_card_places coarse;
    const tw_status status =
        tw_card_places_make(&w->ground, ENOUGH, CANDIDATES, w->arena, &coarse, err);

    if (status != TW_OK)
        return status;
    w->places.count = w->watched;
    for (size_t k = 0; k < coarse.count; k++) {
        if (watched_already(w, coarse.tape[k]))
            continue;
        memcpy(w->places.tape[w->places.count], coarse.tape[k], sizeof coarse.tape[k]);
        memcpy(w->places.position[w->places.count], coarse.position[k], sizeof coarse.position[k]);
        w->places.count++;
    }
    return TW_OK;
}

static tw_status find_places(work *w, size_t count, tw_error *err)
{
    const size_t room = CANDIDATES + TW_CARD_POINTS_MAX;
    tw_status status =
        tw_card_ground_make(w->goal->plate, w->card->reach_mm, w->arena, &w->ground, err);

    w->places.tape = tw_arena_array(w->arena, room, sizeof *w->places.tape);
    w->places.position = tw_arena_array(w->arena, room, sizeof *w->places.position);
    if (status == TW_OK && (!w->places.tape || !w->places.position))
        status = no_memory(err);
    if (status == TW_OK)
        status = tw_card_places_make(&w->ground, ENOUGH, FINE, w->arena, &w->fine, err);
    if (status == TW_OK && w->fine.count == 0)
        status = nothing_within(w, err);
    if (status == TW_OK)
        status = watch_all(w, count, err);
    if (status == TW_OK)
        status = take_lattice(w, err);
    return status;
}

/* ---- which ------------------------------------------------------------------------------------------ */

static tw_status begin_choice(work *w, size_t count, tw_error *err)
{
    const tw_goal *goal = w->goal;
    const tw_profile *profile = goal->plate->profile;
    const tw_grid *grid = goal->plate->grid;
    const tw_card_prior prior = {.offset = TW_CARD_STRAY,
                                 .amplitude = TW_CARD_STRAY,
                                 .scale = TW_CARD_STRAY_SCALE,
                                 .noise = hypot(GAUGE, SURFACE)};
    double *slope = tw_arena_array(w->arena, tw_grid_cells(grid), sizeof *slope);
    tw_card_sum sum;
    tw_status status;

    if (!slope)
        return no_memory(err);
    tw_cell_mass_slopes(grid, goal->map.cell, goal->map.node, profile->face, profile->density,
                        slope);
    status = tw_card_gather(grid, slope, w->arena, &sum, err);
    if (status != TW_OK)
        return status;
    return tw_card_choice_begin(&prior, &sum, w->places.count,
                                (const double(*)[3])w->places.position, count, w->arena, &w->choice,
                                err);
}

static void take(work *w, size_t candidate)
{
    tw_check_point *point = &w->card->points[w->card->count++];
    const size_t zone = tw_windows_zone(&w->rough, w->places.tape[candidate]);

    tw_card_choice_take(&w->choice, candidate);
    *point = (tw_check_point){.sd_after_g = sqrt(w->choice.left)};
    memcpy(point->tape, w->places.tape[candidate], sizeof point->tape);
    tw_windows_at(&w->rough, point->tape, &point->rough_mm, &point->rough_low_mm,
                  &point->rough_high_mm);
    tw_windows_at(&w->finished, point->tape, &point->finished_mm, &point->finished_low_mm,
                  &point->finished_high_mm);
    if (zone != SIZE_MAX)
        point->zone = w->goal->plate->profile->forged.strikes[zone].name;
}

/* ---- the order of gauging ----------------------------------------------------------------------------- */

static int by_up(const void *one, const void *other)
{
    const tw_check_point *a = one, *b = other;

    if (a->tape[1] != b->tape[1])
        return a->tape[1] < b->tape[1] ? -1 : 1;
    return a->tape[0] < b->tape[0] ? -1 : a->tape[0] > b->tape[0];
}

static int by_across(const void *one, const void *other)
{
    const tw_check_point *a = one, *b = other;

    if (a->tape[0] != b->tape[0])
        return a->tape[0] < b->tape[0] ? -1 : 1;
    return a->tape[1] < b->tape[1] ? -1 : a->tape[1] > b->tape[1];
}

/* Rows from low to up, each from left to right; points are in one row when they are not farther apart in
 * height than half of what each has to itself. */
static tw_status put_in_order(tw_card *card, double face_area, tw_error *err)
{
    const double height = 0.5 * sqrt(face_area / (double)card->count);
    char name[24];

    qsort(card->points, card->count, sizeof *card->points, by_up);
    for (size_t first = 0, last; first < card->count; first = last) {
        last = first + 1;
        while (last < card->count &&
               card->points[last].tape[1] - card->points[first].tape[1] <= height)
            last++;
        qsort(card->points + first, last - first, sizeof *card->points, by_across);
    }
    for (size_t k = 0; k < card->count; k++) {
        snprintf(name, sizeof name, "%zu", k + 1);
        card->points[k].name = tw_arena_text(card->arena, name);
        if (!card->points[k].name)
            return no_memory(err);
    }
    return TW_OK;
}

static tw_status make(work *w, size_t count, tw_error *err)
{
    tw_card *card = w->card;
    size_t next;
    tw_status status =
        tw_windows_make(w->goal, &w->goal->rough, card->window_mm, w->arena, &w->rough, err);

    if (status == TW_OK)
        status =
            tw_windows_make(w->goal, &w->goal->map, card->window_mm, w->arena, &w->finished, err);
    if (status == TW_OK)
        status = find_places(w, count, err);
    if (status == TW_OK)
        status = begin_choice(w, count, err);
    if (status != TW_OK)
        return status;
    card->points = tw_arena_array(card->arena, count, sizeof *card->points);
    if (!card->points)
        return no_memory(err);
    card->sd_before_g = sqrt(w->choice.left);
    for (size_t k = 0; k < w->watched; k++)
        take(w, k);
    while (card->count < count && (next = tw_card_choice_best(&w->choice)) != SIZE_MAX)
        take(w, next);
    card->sd_after_g = sqrt(w->choice.left);
    return put_in_order(card, w->goal->plate->grid->face_area, err);
}

tw_status tw_card_make(const tw_goal *goal, size_t count, double window_mm, double reach_mm,
                       tw_card *out, tw_error *err)
{
    tw_card card = {.goal = goal,
                    .window_mm = window_mm > 0 ? window_mm : TW_CARD_WINDOW,
                    .reach_mm = reach_mm};
    work w = {.goal = goal, .card = &card};
    tw_status status = check(count, window_mm, reach_mm, err);

    assert(goal && out);
    if (status != TW_OK)
        return status;
    card.arena = tw_arena_new();
    w.arena = tw_arena_new();
    status = card.arena && w.arena ? make(&w, count > 0 ? count : TW_CARD_POINTS_USUAL, err)
                                   : no_memory(err);
    tw_arena_free(w.arena);
    if (status != TW_OK) {
        tw_arena_free(card.arena);
        return status;
    }
    *out = card;
    return TW_OK;
}

void tw_card_release(tw_card *card)
{
    if (!card)
        return;
    tw_arena_free(card->arena);
    memset(card, 0, sizeof *card);
}
