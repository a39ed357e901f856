/*
 * survey_slip.c: what each reading is off from what all others say, and which look like slips.
 *
 * Leave-one-out with the process as fitted is blind among few readings: one wild value widens the
 * amplitude it is then judged by, so that among 12 it never gets beyond 3.3 standard deviations however
 * wild it is (the bound of a studentised residual, √(n − trend functions)). Suspects are therefore
 * judged by a process fitted without them. Up to three are taken away one after the other, each time
 * the worst; the i-th is judged by the process without the first i. All up to the last that is beyond
 * 4 standard deviations are slips, so that two of them cannot hide each other. Source of that order:
 * B. Rosner, "Percentage points for a generalized ESD many-outlier procedure", Technometrics 25 (1983),
 * from memory; 4 in place of its table is common practice. Over 200 places one value widens little and
 * fits are dear: there plain leave-one-out judges.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SUSPECTS_MAX = 3, PLACES_PER_SUSPECT = 5, REFIT_MAX = 200 };
static const double SLIP_BEYOND = 4; /* standard deviations */

typedef struct suspect {
    size_t place; /* of the survey's data */
    double error, sd;
} suspect;

/* The places still trusted, with the leave-one-out errors of their own process. */
typedef struct trusted {
    tw_survey_data data;
    size_t *origin; /* index in the survey's data */
    double *error, *sd;
} trusted;

static tw_status trusted_copy(const tw_survey_data *data, size_t functions, tw_arena *arena,
                              trusted *out, tw_error *err)
{
    const size_t n = data->count;

    out->data = (tw_survey_data){
        .count = n,
        .position = tw_arena_array(arena, n, sizeof *data->position),
        .value = tw_arena_array(arena, n, sizeof *data->value),
        .noise = tw_arena_array(arena, n, sizeof *data->noise),
        .basis = tw_arena_array(arena, n * functions, sizeof *data->basis),
    };
    out->origin = tw_arena_array(arena, n, sizeof *out->origin);
    out->error = tw_arena_array(arena, n, sizeof *out->error);
    out->sd = tw_arena_array(arena, n, sizeof *out->sd);
    if (!out->data.position || !out->data.value || !out->data.noise || !out->data.basis ||
        !out->origin || !out->error || !out->sd)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to compare %zu readings", n);
    memcpy(out->data.position, data->position, n * sizeof *data->position);
    memcpy(out->data.value, data->value, n * sizeof *data->value);
    memcpy(out->data.noise, data->noise, n * sizeof *data->noise);
    memcpy(out->data.basis, data->basis, n * functions * sizeof *data->basis);
    for (size_t k = 0; k < n; k++)
        out->origin[k] = k;
    return TW_OK;
}

static size_t worst_of(const trusted *t)
{
    size_t worst = 0;
    double most = -1;

    for (size_t k = 0; k < t->data.count; k++) {
        const double ratio = fabs(t->error[k]) / t->sd[k];
        if (ratio > most) { /* false for NaN */
            most = ratio;
            worst = k;
        }
    }
    return worst;
}

static void take_away(trusted *t, size_t k, size_t functions)
{
    tw_survey_data *data = &t->data;
    const size_t after = data->count - k - 1;

    memmove(data->position + k, data->position + k + 1, after * sizeof *data->position);
    memmove(data->value + k, data->value + k + 1, after * sizeof *data->value);
    memmove(data->noise + k, data->noise + k + 1, after * sizeof *data->noise);
    memmove(data->basis + k * functions, data->basis + (k + 1) * functions,
            after * functions * sizeof *data->basis);
    memmove(t->origin + k, t->origin + k + 1, after * sizeof *t->origin);
    data->count--;
}

/* Judge one place by the process of others. The scatter of those others counts where it is more than
 * instrument and face would make. */
static tw_status judge(const tw_survey *survey, const tw_survey_data *all, const tw_krige *others,
                       suspect *s, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    const double noise = all->noise[s->place], scatter = tw_krige_about(others).residual_sd;
    double mean, sd;
    const tw_status status =
        tw_krige_predict(others, 1, (const double(*)[3])all->position + s->place,
                         all->basis + s->place * functions, 1, &mean, &sd, err);

    if (status != TW_OK)
        return status;
    s->error = all->value[s->place] - mean;
    s->sd = sqrt(sd * sd + noise * noise + survey->surface * survey->surface);
    s->sd = fmax(s->sd, scatter); /* passes over a NaN */
    return TW_OK;
}

/* Takes suspects away one after the other; `slips` of them are slips. */
static tw_status find_slips(const tw_survey *survey, const tw_survey_data *all, trusted *t,
                            suspect *suspects, size_t *slips, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    const size_t most = all->count > REFIT_MAX ? 0
                                               : (all->count / PLACES_PER_SUSPECT < SUSPECTS_MAX
                                                      ? all->count / PLACES_PER_SUSPECT
                                                      : SUSPECTS_MAX);

    for (size_t i = 0; i < most; i++) {
        const size_t worst = worst_of(t);
        tw_krige *others = NULL;
        tw_status status;

        suspects[i] = (suspect){.place = t->origin[worst]};
        take_away(t, worst, functions);
        status = tw_survey_fit(survey, &t->data, &others, err);
        if (status == TW_ERR_DOMAIN) /* it alone tells the trend: nobody can judge it */
            return TW_OK;
        if (status == TW_OK)
            status = judge(survey, all, others, &suspects[i], err);
        if (status == TW_OK)
            status = tw_krige_leave_one_out(others, t->error, t->sd, err);
        tw_krige_free(others);
        if (status != TW_OK)
            return status;
        if (fabs(suspects[i].error) > SLIP_BEYOND * suspects[i].sd)
            *slips = i + 1;
    }
    return TW_OK;
}

static void tell(tw_survey *survey, const tw_readings_spec *spec, size_t k)
{
    tw_placed_reading *placed = &survey->readings[k];
    const double error = placed->left_out_error;

    placed->flags |= TW_FLAG_SLIP;
    tw_survey_note(survey, spec, placed->reading, "read it again, or give it leave out: yes",
                   "reading %s, %.2f mm, is %.2f mm %s than all the others let expect, over 4 "
                   "times the scatter: a slip?",
                   placed->reading->name, placed->thickness, fabs(error),
                   error > 0 ? "thicker" : "thinner");
}

tw_status tw_survey_leave_one_out(tw_survey *survey, const tw_readings_spec *spec,
                                  const tw_survey_data *data, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    trusted t = {0};
    suspect suspects[SUSPECTS_MAX];
    size_t slips = 0;
    tw_status status =
        arena ? trusted_copy(data, tw_survey_basis_count(survey->trend), arena, &t, err)
              : tw_fail(err, TW_ERR_MEMORY, "no memory to compare %zu readings", data->count);

    if (status == TW_OK)
        status = tw_krige_leave_one_out(survey->krige, t.error, t.sd, err);
    for (size_t k = 0; status == TW_OK && k < survey->count; k++)
        if (survey->readings[k].used) {
            survey->readings[k].left_out_error = t.error[data->place_of[k]];
            survey->readings[k].left_out_sd = t.sd[data->place_of[k]];
        }
    if (status == TW_OK)
        status = find_slips(survey, data, &t, suspects, &slips, err);
    for (size_t k = 0; status == TW_OK && k < survey->count; k++) {
        tw_placed_reading *placed = &survey->readings[k];
        bool slip = false;
        if (!placed->used)
            continue;
        for (size_t s = 0; s < slips; s++)
            if (suspects[s].place == data->place_of[k]) {
                placed->left_out_error = suspects[s].error;
                placed->left_out_sd = suspects[s].sd;
                slip = true;
            }
        if (slip || fabs(placed->left_out_error) > SLIP_BEYOND * placed->left_out_sd)
            tell(survey, spec, k);
    }
    tw_arena_free(arena);
    return status;
}
