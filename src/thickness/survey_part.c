/*
 * survey_part.c: the part that one instrument's readings have in a weighted sum over the map. A mean
 * by kriging is Σ weight_k·reading_k, its weights set by places and covariance alone, so the part of
 * some readings is the mean with all others set to 0 (Cressie 1993, section 3.4, the weights of
 * universal kriging). Readings that were joined at one place have a part in its value each.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>

enum { BLOCKS = 64 };

double tw_instrument_u(const tw_instrument *instrument)
{
    return tw_instrument_noise(instrument);
}

static bool by_it(const tw_survey *survey, size_t k, size_t instrument)
{
    return survey->readings[k].used && survey->readings[k].reading->instrument == instrument;
}

static double whole_sum(const tw_survey *survey, const double *weight, const tw_map *map)
{
    tw_sum sum = {0, 0};

    for (size_t c = 0; c < tw_grid_cells(survey->grid); c++)
        if (survey->grid->area[c] > 0)
            tw_sum_add(&sum, weight[c] * map->cell[c]);
    return tw_sum_value(&sum);
}

/* Each place's value to the share of it that the instrument read: weights as where it was joined. */
static void keep_part(const tw_survey *survey, size_t instrument, tw_survey_data *data)
{
    for (size_t p = 0; p < data->count; p++) {
        double part = 0, all = 0;
        for (size_t k = 0; k < survey->count; k++) {
            const tw_placed_reading *placed = &survey->readings[k];
            const double weight = data->noise[p] > 0 ? 1 / (placed->noise * placed->noise) : 1;
            if (data->place_of[k] != p)
                continue;
            all += weight * placed->thickness;
            part += by_it(survey, k, instrument) ? weight * placed->thickness : 0;
        }
        data->value[p] *= part / all;
    }
}

/* The process over again, with the chosen scale and amplitude and other values. */
static tw_status fit_again(const tw_survey *survey, const tw_survey_data *data, tw_krige **out,
                           tw_error *err)
{
    const tw_krige_summary about = tw_krige_about(survey->krige);
    const tw_krige_data krige = {.count = data->count,
                                 .position = (const double(*)[3])data->position,
                                 .value = data->value,
                                 .noise = data->noise,
                                 .surface = survey->surface,
                                 .basis_count = tw_survey_basis_count(survey->trend),
                                 .basis = data->basis,
                                 .scale = about.scale,
                                 .amplitude = about.amplitude,
                                 .trend_only = about.trend_only};

    return tw_krige_fit(&krige, out, err);
}

static tw_status sum_part(tw_survey *copy, const double *weight, size_t instrument,
                          unsigned threads, double *part, tw_error *err)
{
    const tw_readings_spec *spec = &tw_form_profile(copy->form)->readings;
    tw_survey_data data = {0};
    tw_blocks blocks;
    tw_krige *krige = NULL;
    tw_status status = tw_survey_join(copy, spec, &data, err);

    if (status == TW_OK) {
        keep_part(copy, instrument, &data);
        status = fit_again(copy, &data, &krige, err);
    }
    if (status == TW_OK)
        status = tw_survey_gather(copy, weight, BLOCKS, copy->arena, &blocks, err);
    if (status == TW_OK)
        status = tw_krige_sum(krige, blocks.count, (const double(*)[3])blocks.position,
                              blocks.basis, blocks.weight, threads, part, NULL, err);
    tw_krige_free(krige);
    return status;
}

tw_status tw_survey_instrument_sum(const tw_survey *survey, const double *weight, const tw_map *map,
                                   size_t instrument, unsigned threads, double *part, tw_error *err)
{
    tw_survey copy = *survey;
    size_t own = 0;
    tw_status status;

    assert(survey->grid && weight && map && part);
    for (size_t k = 0; k < survey->count; k++)
        own += by_it(survey, k, instrument);
    if (own == survey->used || own == 0) {
        *part = own == 0 ? 0 : whole_sum(survey, weight, map);
        return TW_OK;
    }
    copy.arena = tw_arena_new(); /* joined again there; its notes were told before */
    if (!copy.arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the readings of one instrument");
    status = sum_part(&copy, weight, instrument, threads, part, err);
    tw_arena_free(copy.arena);
    return status;
}
