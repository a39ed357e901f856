/*
 * suggest.c: where the next readings are worth most. From a lattice of places that the instrument can
 * take, the one whose reading leaves the least variance of a weighted sum is picked; it joins the
 * process (its value does not matter to variances) and the next is picked. Greedy: the best set of k
 * places at once would be a search over all sets, and gains little (A. Krause, A. Singh & C. Guestrin,
 * J. Machine Learning Research 9 (2008), from memory).
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CANDIDATES_MAX = 500, SUGGEST_BLOCKS = 32 };
static const double LEAST_CLEARANCE = 5, BESIDE_FOOT = 2; /* [mm] */

typedef struct lattice {
    size_t count;
    double (*tape)[2], (*position)[3], *basis;
} lattice;

/* Where a foot may stand: distances over the plate, and how much each may be. */
typedef struct ground {
    const tw_survey *survey;
    double *edge, *any; /* nu·nv: from edges; from edges and holes */
    double reach, clearance;
} ground;

static bool may_stand(const ground *g, const double tape[2])
{
    const tw_grid *grid = g->survey->grid;

    if (!(tw_outline_level(tw_form_outline(g->survey->form), tape[0], tape[1]) < 0))
        return false;
    return tw_grid_sample(grid, g->any, tape[0], tape[1]) >= g->clearance &&
           tw_grid_sample(grid, g->edge, tape[0], tape[1]) <= g->reach;
}

/* Places at whole multiples of `step` from the tape's zero, which a tape shows without sums; at most
 * `room` are kept, all are counted. */
static size_t fill(const ground *g, double step, size_t room, double (*tape)[2])
{
    const tw_outline *outline = tw_form_outline(g->survey->form);
    size_t count = 0;

    for (double j = ceil(outline->up_min / step); j * step <= outline->up_max; j++)
        for (double i = ceil(outline->across_min / step); i * step <= outline->across_max; i++) {
            const double at[2] = {i * step, j * step};
            if (!may_stand(g, at))
                continue;
            if (count < room)
                memcpy(tape[count], at, sizeof at);
            count++;
            if (count > room)
                return count;
        }
    return count;
}

static tw_status lattice_make(const ground *g, tw_arena *arena, lattice *out, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(g->survey->trend);
    double metal = 0, step;

    out->tape = tw_arena_array(arena, CANDIDATES_MAX, sizeof *out->tape);
    out->position = tw_arena_array(arena, CANDIDATES_MAX, sizeof *out->position);
    out->basis = tw_arena_array(arena, CANDIDATES_MAX * functions, sizeof *out->basis);
    if (!out->tape || !out->position || !out->basis)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for places to read");
    for (size_t c = 0; c < tw_grid_cells(g->survey->grid); c++)
        metal += g->survey->grid->cover[c];
    metal *= g->survey->grid->across_step * g->survey->grid->up_step;
    /* the border takes some of the places away, so start a little too fine */
    step = fmax(floor(0.8 * sqrt(metal / CANDIDATES_MAX)), 1);
    while ((out->count = fill(g, step, CANDIDATES_MAX, out->tape)) > CANDIDATES_MAX)
        step += fmax(floor(step / 20), 1);
    for (size_t k = 0; k < out->count; k++) {
        tw_face_point face;
        tw_form_at(g->survey->form, out->tape[k][0], out->tape[k][1], &face);
        memcpy(out->position[k], face.position, sizeof face.position);
        tw_survey_basis(g->survey, out->tape[k][0], out->tape[k][1],
                        tw_survey_forged(g->survey, out->tape[k]), out->basis + k * functions);
    }
    return TW_OK;
}

static tw_status ground_make(const tw_survey *survey, const tw_instrument *instrument,
                             tw_arena *arena, ground *out, tw_error *err)
{
    const size_t nodes = survey->grid->nu * survey->grid->nv;
    tw_status status;

    *out = (ground){.survey = survey,
                    .reach = instrument->reach,
                    .clearance = fmax(0.5 * instrument->foot + BESIDE_FOOT, LEAST_CLEARANCE)};
    out->edge = tw_arena_array(arena, nodes, sizeof *out->edge);
    out->any = tw_arena_array(arena, nodes, sizeof *out->any);
    if (!out->edge || !out->any)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for distances from the edge");
    status = tw_survey_march(survey->form, survey->grid, false, out->edge, err);
    if (status == TW_OK)
        status = tw_survey_march(survey->form, survey->grid, true, out->any, err);
    return status;
}

static void drop(lattice *places, size_t k, size_t functions)
{
    const size_t after = places->count - k - 1;

    memmove(places->tape + k, places->tape + k + 1, after * sizeof *places->tape);
    memmove(places->position + k, places->position + k + 1, after * sizeof *places->position);
    memmove(places->basis + k * functions, places->basis + (k + 1) * functions,
            after * functions * sizeof *places->basis);
    places->count--;
}

static tw_status pick(const tw_survey *survey, const tw_blocks *blocks, lattice *places,
                      double noise, size_t wanted, tw_suggestion *out, size_t *count, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    const tw_krige *krige = survey->krige;
    tw_krige *own = NULL;
    double left[CANDIDATES_MAX];
    tw_status status = TW_OK;

    while (*count < wanted && places->count > 0) {
        tw_krige *next = NULL;
        size_t best = 0;

        status =
            tw_krige_gain(krige, blocks->count, (const double(*)[3])blocks->position, blocks->basis,
                          blocks->weight, places->count, (const double(*)[3])places->position,
                          places->basis, noise, left, err);
        if (status != TW_OK)
            break;
        for (size_t k = 1; k < places->count; k++)
            if (left[k] < left[best])
                best = k;
        out[*count].sd_after = sqrt(fmax(left[best], 0));
        memcpy(out[*count].tape, places->tape[best], sizeof out->tape);
        (*count)++;
        if (*count == wanted)
            break;
        status = tw_krige_extend(krige, places->position[best], places->basis + best * functions,
                                 noise, &next, err);
        if (status != TW_OK)
            break;
        tw_krige_free(own);
        krige = own = next;
        drop(places, best, functions);
    }
    tw_krige_free(own);
    return status;
}

tw_status tw_survey_suggest(const tw_survey *survey, const double *weight,
                            const tw_instrument *instrument, size_t wanted, tw_suggestion *out,
                            size_t *count, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    ground g = {0};
    lattice places = {0};
    tw_blocks blocks = {0};
    size_t picked = 0;
    tw_status status;

    assert(survey && survey->grid && weight && instrument && count && (out || wanted == 0));
    status = arena ? ground_make(survey, instrument, arena, &g, err)
                   : tw_fail(err, TW_ERR_MEMORY, "no memory for places to read");
    if (status == TW_OK)
        status = lattice_make(&g, arena, &places, err);
    if (status == TW_OK)
        status = tw_survey_gather(survey, weight, SUGGEST_BLOCKS, arena, &blocks, err);
    if (status == TW_OK)
        status = pick(survey, &blocks, &places, tw_instrument_noise(instrument), wanted, out,
                      &picked, err);
    if (status == TW_OK)
        *count = picked;
    tw_arena_free(arena);
    return status;
}
