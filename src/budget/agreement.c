/*
 * agreement.c: what a scale weight says: the mean thickness of a plate known by its area, and whether
 * a modelled mass agrees with the scale.
 *
 * Agreement is |E_n| = |m − s|/√(U_m² + U_s²) ≤ 1, both U at 95 % (ISO 13528; from memory). If every
 * thickness is multiplied by one factor, volume is a·f + b·f² + c·f³ (slab along the normal: area, mean
 * and Gauss curvature); three weighings give a, b, c exactly, and the factor is a root.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

/* Chosen here, no source: an interval half as wide as the weight itself tells a maker nothing. */
static const double UNSURE = 0.25; /* of the scale weight */

/* ---- scale ---------------------------------------------------------------------------------------- */

double tw_scale_uncertainty(const tw_profile *profile, double *rounding)
{
    /* Kitchen and parcel scales show steps of 1 to 10 g: common practice, no source. Reading and zero
     * are both rounded. */
    const double all =
        isnan(profile->scale_uncertainty) ? 10 / sqrt(6.0) : profile->scale_uncertainty;
    const double step = profile->scale_step;

    /* A profile gives both in one. With an exact tare, where only one reading is rounded, the
     * calibration comes out smaller by that; together they are right. */
    *rounding = isnan(profile->scale_uncertainty) ? all : fmin(step / sqrt(6.0), all);
    return all;
}

static tw_status need_scale(const tw_profile *profile, tw_error *err)
{
    tw_status status = TW_OK;

    if (!(profile->scale > 0)) {
        status = tw_fail(err, TW_ERR_INPUT, "the profile gives no scale weight");
        tw_error_advise(err, NULL, "weigh the plate and add scale:");
    }
    return status;
}

/* ---- thickness of a plate given by area --------------------------------------------------------------- */

/* t = (m + correction)/(ρ·A): g, kg/m³, cm², g to mm. */
static double thickness_model(const double *x, size_t count, void *context)
{
    const double correction = count > 3 ? x[3] : 0;

    (void)context;
    return (x[0] + correction) / (1e-6 * x[1] * 100 * x[2]);
}

static tw_status area_budget(const tw_profile *profile, tw_budget *out, tw_error *err)
{
    const bool step_known = !isnan(profile->scale_uncertainty);
    const bool area_known = profile->area_uncertainty > 0;
    double rounding;
    const double scale_u = tw_scale_uncertainty(profile, &rounding);
    const double calibration = sqrt(fmax(scale_u * scale_u - rounding * rounding, 0));
    tw_budget_row rows[4];
    size_t count = 0;

    /* The weight is one number: its calibration is a correction of 0 g to it. */
    rows[count++] = (tw_budget_row){
        .kind = TW_ROW_SCALE_READING,
        .name = step_known ? "scale reading" : "scale reading (its step not said, so 10 g)",
        .unit = "g",
        .value = profile->scale,
        .u = rounding};
    rows[count++] = (tw_budget_row){.kind = TW_ROW_DENSITY,
                                    .shared = profile->material,
                                    .name = "density",
                                    .unit = "kg/m³",
                                    .value = 1e6 * profile->density,
                                    .u = 1e6 * profile->density_uncertainty,
                                    .distribution = TW_RECTANGULAR};
    /* 2 % of the area, as for one cut in paper: common practice, no source */
    rows[count++] =
        (tw_budget_row){.kind = TW_ROW_AREA,
                        .name = area_known ? "area" : "area (its ± not said, so 2 %)",
                        .unit = "cm²",
                        .value = profile->area / 100,
                        .u = (area_known ? profile->area_uncertainty : 0.02 * profile->area) / 100};
    if (calibration > 0)
        rows[count++] = (tw_budget_row){.kind = TW_ROW_SCALE_CALIBRATION,
                                        .shared = "scale",
                                        .name = "scale calibration",
                                        .unit = "g",
                                        .u = calibration};
    for (size_t k = 0; k < count; k++)
        rows[k].freedom = INFINITY;
    return tw_budget_make(thickness_model, NULL, rows, count, NULL, false, 0.95, out, err);
}

tw_status tw_area_budget(const tw_profile *profile, tw_budget *out, tw_error *err)
{
    tw_status status = need_scale(profile, err);

    assert(out);
    if (status == TW_OK && !(profile->area > 0)) {
        status = tw_fail(err, TW_ERR_INPUT, "the profile gives no area");
        tw_error_advise(err, NULL, "add area: or paper:");
    }
    if (status == TW_OK)
        status = area_budget(profile, out, err);
    if (status != TW_OK && profile->plate)
        tw_error_within(err, "in plate %s", profile->plate);
    return status;
}

/* ---- agreement --------------------------------------------------------------------------------------- */

/* m(f) − wanted for a map whose every thickness is multiplied by f. */
typedef struct scaled {
    double a, b, c; /* m(f) = a·f + b·f² + c·f³ [g] */
    double wanted;
} scaled;

static double scaled_miss(double f, void *context)
{
    const scaled *s = context;

    return f * (s->a + f * (s->b + f * s->c)) - s->wanted;
}

static double mass_scaled(const tw_plate *plate, const tw_map *map, double factor, double *cell,
                          double *node, double *volume)
{
    const size_t cells = tw_grid_cells(plate->grid), nodes = plate->grid->nu * plate->grid->nv;
    tw_sum sum = {0, 0};

    for (size_t k = 0; k < cells; k++)
        cell[k] = factor * map->cell[k];
    for (size_t k = 0; k < nodes; k++)
        node[k] = factor * map->node[k];
    tw_cell_volumes(plate->grid, cell, node, plate->profile->face, volume);
    for (size_t k = 0; k < cells; k++)
        tw_sum_add(&sum, volume[k]);
    return tw_sum_value(&sum) * plate->profile->density;
}

/* The factor on every thickness that gives a map the wanted mass. */
static tw_status find_factor(const tw_plate *plate, const tw_map *map, double wanted,
                             double *factor, tw_error *err)
{
    const size_t cells = tw_grid_cells(plate->grid), nodes = plate->grid->nu * plate->grid->nv;
    tw_arena *arena = tw_arena_new();
    double *cell = arena ? tw_arena_array(arena, cells, sizeof *cell) : NULL;
    double *node = arena ? tw_arena_array(arena, nodes, sizeof *node) : NULL;
    double *volume = arena ? tw_arena_array(arena, cells, sizeof *volume) : NULL;
    scaled s = {.wanted = wanted};
    tw_weight weight;
    double half, one, two;
    tw_status status;

    if (!cell || !node || !volume) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory to scale a map");
    }
    half = mass_scaled(plate, map, 0.5, cell, node, volume) * 2; /* m(f)/f = a + b·f + c·f² */
    one = mass_scaled(plate, map, 1, cell, node, volume);
    two = mass_scaled(plate, map, 1.5, cell, node, volume) / 1.5;
    s.c = 2 * (half - 2 * one + two);
    s.b = (two - half) - 2 * s.c;
    s.a = one - s.b - s.c;
    status = tw_find_root(scaled_miss, &s, 0, fmax(2, 2 * wanted / one), 1e-12, factor, err);
    if (status == TW_OK) { /* the cubic goes on where the plate would fold: weighing tells */
        mass_scaled(plate, map, *factor, cell, node, volume);
        status = tw_weigh(plate->grid, cell, node, plate->profile->face, plate->profile->density, 0,
                          &weight, err);
    }
    if (status == TW_ERR_UNREACHABLE || status == TW_ERR_SHAPE || status == TW_ERR_DOMAIN) {
        status = tw_fail(err, TW_ERR_UNREACHABLE,
                         "no thickness gives this form the scale weight of %.0f g; the model has "
                         "%.0f g",
                         wanted, one);
        tw_error_advise(err, NULL, "is scale: in the right unit, and of the bare plate?");
    }
    tw_arena_free(arena);
    return status;
}

/* Relative u of the implied thickness: of the scale, and of all in the model but thickness. */
static double implied_u(const tw_agreement *a, const tw_budget *budget)
{
    tw_sum square = {0, 0};

    tw_sum_add(&square, a->scale_u_g / a->scale_g * (a->scale_u_g / a->scale_g));
    for (size_t k = 0; k < budget->count; k++) {
        const tw_budget_row *row = &budget->rows[k];
        const double part = row->part / a->model_g;
        if (row->kind != TW_ROW_SHEET && row->kind != TW_ROW_IMAGE &&
            row->kind != TW_ROW_READINGS && row->kind != TW_ROW_TIE && row->kind != TW_ROW_VELOCITY)
            tw_sum_add(&square, part * part);
    }
    return sqrt(tw_sum_value(&square));
}

const char *tw_verdict_word(tw_verdict verdict)
{
    static const char *const words[] = {"agree", "disagree", "too few readings", "too unsure"};

    return words[verdict];
}

/* What differs by more than a wide ± disagrees all the same. */
static tw_verdict judge(const tw_plate *plate, const tw_plate_map *map, const tw_agreement *a,
                        const tw_budget *budget)
{
    if (map->map.kind == TW_MAP_READINGS && plate->survey->few)
        return TW_VERDICT_FEW;
    if (a->en > 1)
        return TW_VERDICT_DISAGREE;
    return budget->expanded > UNSURE * a->scale_g ? TW_VERDICT_UNSURE : TW_VERDICT_AGREE;
}

tw_status tw_plate_agreement(const tw_plate *plate, const tw_plate_map *map,
                             const tw_budget *budget, tw_agreement *out, tw_error *err)
{
    const tw_profile *profile = plate->profile;
    const tw_plate_map *forged = tw_plate_map_of(plate, TW_MAP_FORGED);
    tw_agreement a = {.strike_mm = NAN, .edge_mm = NAN};
    double rounding, scale_expanded, forged_factor;
    tw_status status = need_scale(profile, err);

    assert(map && budget && out);
    if (status != TW_OK)
        goto done;
    a.scale_g = profile->scale;
    a.scale_u_g = tw_scale_uncertainty(profile, &rounding);
    a.model_g = map->weight.mass_g;
    a.model_u_g = budget->u;
    a.difference_g = a.model_g - a.scale_g;
    scale_expanded = tw_student_t(0.95, INFINITY) * a.scale_u_g;
    a.en = a.difference_g == 0 ? 0 : fabs(a.difference_g) / hypot(budget->expanded, scale_expanded);
    a.verdict = judge(plate, map, &a, budget);
    status = find_factor(plate, &map->map, a.scale_g, &a.thickness_factor, err);
    if (status != TW_OK)
        goto done;
    a.mean_thickness_mm = a.thickness_factor * map->weight.mean_thickness_mm;
    a.mean_thickness_u_mm = a.mean_thickness_mm * implied_u(&a, budget);
    if (forged) {
        status = find_factor(plate, &forged->map, a.scale_g, &forged_factor, err);
        if (status != TW_OK)
            goto done;
        a.strike_mm = forged_factor * forged->map.thickest;
        a.edge_mm = forged_factor * forged->map.thinnest;
    }
    *out = a;
done:
    if (status != TW_OK && profile->plate)
        tw_error_within(err, "in plate %s", profile->plate);
    return status;
}
