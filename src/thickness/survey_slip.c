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
 *
 * Where anything looks wrong, by that or by its neighbours, all are told by the process of those that do
 * not, or the right readings beside a wrong one would be told as far off.
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

/* What is known of a place by the process of others. The scatter of those others counts where it is
 * more than instrument and face would make. */
static tw_status judge(const tw_survey *survey, const tw_survey_data *all, const tw_krige *others,
                       size_t place, double *error, double *deviation, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    const double noise = all->noise[place], scatter = tw_krige_about(others).residual_sd;
    double mean, sd;
    const tw_status status = tw_krige_predict(others, 1, (const double(*)[3])all->position + place,
                                              all->basis + place * functions, 1, &mean, &sd, err);

    if (status != TW_OK)
        return status;
    *error = all->value[place] - mean;
    sd = sqrt(sd * sd + noise * noise + survey->surface * survey->surface);
    *deviation = fmax(sd, scatter); /* passes over a NaN */
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
            status = judge(survey, all, others, suspects[i].place, &suspects[i].error,
                           &suspects[i].sd, err);
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

/* All places once more, by the process of those that do not look wrong. Where those are too few to
 * tell a trend, what stands in error and sd stays. */
static tw_status judge_all(const tw_survey *survey, const tw_survey_data *all, const bool *wrong,
                           trusted *t, double *error, double *sd, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    tw_krige *others = NULL;
    tw_status status;

    for (size_t p = t->data.count; p-- > 0;)
        if (wrong[t->origin[p]])
            take_away(t, p, functions);
    if (t->data.count == all->count || t->data.count == 0)
        return TW_OK;
    status = tw_survey_fit(survey, &t->data, &others, err);
    if (status == TW_ERR_DOMAIN)
        return TW_OK;
    if (status == TW_OK)
        status = tw_krige_leave_one_out(others, t->error, t->sd, err);
    for (size_t p = 0; status == TW_OK && p < t->data.count; p++) {
        error[t->origin[p]] = t->error[p];
        sd[t->origin[p]] = t->sd[p];
    }
    for (size_t p = 0; status == TW_OK && p < all->count; p++)
        if (wrong[p])
            status = judge(survey, all, others, p, &error[p], &sd[p], err);
    tw_krige_free(others);
    return status;
}

static void tell(tw_survey *survey, const tw_readings_spec *spec, size_t k)
{
    tw_placed_reading *placed = &survey->readings[k];
    const double error = placed->left_out_error;

    if (placed->flags & TW_FLAG_SLIP)
        return; /* told already, by its neighbours */
    placed->flags |= TW_FLAG_SLIP;
    tw_survey_note(survey, spec, placed->reading, "read it again, or give it leave out: yes",
                   "reading %s, %.2f mm, is %.2f mm %s than all the others let expect, over 4 "
                   "times the scatter: a slip?",
                   placed->reading->name, placed->thickness, fabs(error),
                   error > 0 ? "thicker" : "thinner");
}

/* What every place is off by, and which are slips. */
static tw_status look_at_places(tw_survey *survey, const tw_survey_data *data, tw_arena *arena,
                                bool *wrong, bool *slip, double *error, double *sd, tw_error *err)
{
    const size_t functions = tw_survey_basis_count(survey->trend);
    trusted t = {0};
    suspect suspects[SUSPECTS_MAX];
    size_t slips = 0;
    tw_status status = trusted_copy(data, functions, arena, &t, err);

    if (status == TW_OK)
        status = tw_krige_leave_one_out(survey->krige, t.error, t.sd, err);
    if (status != TW_OK)
        return status;
    memcpy(error, t.error, data->count * sizeof *error);
    memcpy(sd, t.sd, data->count * sizeof *sd);
    memcpy(wrong, data->suspect, data->count * sizeof *wrong);
    status = find_slips(survey, data, &t, suspects, &slips, err);
    for (size_t s = 0; s < slips; s++) {
        const size_t p = suspects[s].place;
        wrong[p] = slip[p] = true;
        error[p] = suspects[s].error;
        sd[p] = suspects[s].sd;
    }
    if (status == TW_OK && data->count <= REFIT_MAX)
        status = trusted_copy(data, functions, arena, &t, err);
    if (status == TW_OK && data->count <= REFIT_MAX)
        status = judge_all(survey, data, wrong, &t, error, sd, err);
    return status;
}

tw_status tw_survey_leave_one_out(tw_survey *survey, const tw_readings_spec *spec,
                                  const tw_survey_data *data, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    bool *wrong = arena ? tw_arena_array(arena, data->count, sizeof *wrong) : NULL;
    bool *slip = arena ? tw_arena_array(arena, data->count, sizeof *slip) : NULL;
    double *error = arena ? tw_arena_array(arena, data->count, sizeof *error) : NULL;
    double *sd = arena ? tw_arena_array(arena, data->count, sizeof *sd) : NULL;
    tw_status status =
        wrong && slip && error && sd
            ? look_at_places(survey, data, arena, wrong, slip, error, sd, err)
            : tw_fail(err, TW_ERR_MEMORY, "no memory to compare %zu readings", data->count);

    for (size_t k = 0; status == TW_OK && k < survey->count; k++) {
        tw_placed_reading *placed = &survey->readings[k];
        const size_t p = data->place_of[k];
        if (!placed->used)
            continue;
        placed->left_out_error = error[p];
        placed->left_out_sd = sd[p];
        survey->set_aside += wrong[p];
        if (slip[p] || (!wrong[p] && fabs(error[p]) > SLIP_BEYOND * sd[p]))
            tell(survey, spec, k);
    }
    tw_arena_free(arena);
    return status;
}
