/*
 * plate_budget.c: how sure the mass of one map is. Row by row:
 *
 *   density           m = ρV, so dm/dρ = V
 *   sheet thickness   sheet only: dm/dt of the whole face; a tolerance is a bound, so u = a/√3
 *   readings          readings only: from the covariance of the map, all cells together
 *   lengths           of form and outline, each measured to ± the same bound; u = bound/√3
 *   numerical error   of the grid, taken as a bound
 *
 * A bound without more known of it is rectangular: JCGM 100:2008, 4.3.7. A forged map is what its
 * profile asks for: nothing is added for how near to it a hammer comes.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

#define SQRT3 1.7320508075688772

typedef struct table {
    const tw_plate *plate;
    const tw_plate_map *map;
    unsigned threads;
    tw_arena *arena;
    tw_budget_row *rows;
    size_t count;
} table;

static void add_row(table *t, tw_budget_row row)
{
    row.freedom = INFINITY;
    t->rows[t->count++] = row;
}

static void add_density(table *t)
{
    const tw_profile *profile = t->plate->profile;

    add_row(t, (tw_budget_row){.name = TW_ROW_DENSITY,
                               .unit = "kg/m³",
                               .value = 1e6 * profile->density,
                               .u = 1e6 * profile->density_uncertainty,
                               .distribution = TW_RECTANGULAR,
                               .sensitivity = 1e-6 * t->map->weight.volume_mm3});
}

/* ---- sheet ------------------------------------------------------------------------------------- */

/* Nothing was said of how the sheet was bought: cold-rolled, else hot-rolled, else a share. */
static const char *usual_bound(double thickness, double *bound)
{
    if (tw_tolerance_find(TW_TOLERANCE_COLD_ROLLED, TW_CLASS_NORMAL, thickness, 0, bound, NULL) ==
        TW_OK)
        return "not said how bought, so EN 10131 normal";
    if (tw_tolerance_find(TW_TOLERANCE_HOT_ROLLED, TW_CLASS_NORMAL, thickness, 0, bound, NULL) ==
        TW_OK)
        return "not said how bought, so EN 10051 category A";
    *bound =
        0.07 * thickness; /* about what thin sheet has in EN 10131; common practice, no source */
    return "not said how bought, so 7 % of it";
}

static const char *standard_word(const tw_tolerance_spec *spec)
{
    static const char *const hot[] = {[TW_CLASS_NORMAL] = "EN 10051 category A",
                                      [TW_CLASS_SPECIAL] = "EN 10051",
                                      [TW_CLASS_B] = "EN 10051 category B",
                                      [TW_CLASS_C] = "EN 10051 category C",
                                      [TW_CLASS_D] = "EN 10051 category D"};

    if (spec->bound > 0)
        return "as given";
    if (spec->standard == TW_TOLERANCE_HOT_ROLLED)
        return hot[spec->grade];
    return spec->grade == TW_CLASS_SPECIAL ? "EN 10131 special" : "EN 10131 normal";
}

static tw_status add_sheet(table *t, tw_error *err)
{
    const tw_profile *profile = t->plate->profile;
    const tw_tolerance_spec *spec = &profile->tolerance;
    const double thickness = profile->sheet.thickness;
    double bound = spec->bound, c[3];
    const char *why = standard_word(spec);
    char text[160];
    tw_status status = TW_OK;

    if (!spec->given)
        why = usual_bound(thickness, &bound);
    else if (!(bound > 0))
        status =
            tw_tolerance_find(spec->standard, spec->grade, thickness, spec->width, &bound, err);
    if (status != TW_OK) {
        if (err && spec->place.line != 0)
            tw_profile_place(profile, spec->place, err);
        return status;
    }
    tw_sheet_volume(t->plate->grid, profile->face, c);
    tw_format(text, sizeof text, TW_ROW_SHEET ", ±%.2f mm (%s)", bound, why);
    add_row(t,
            (tw_budget_row){.name = tw_arena_text(t->arena, text),
                            .unit = "mm",
                            .value = thickness,
                            .u = bound / SQRT3,
                            .distribution = TW_RECTANGULAR,
                            .sensitivity = profile->density *
                                           (c[0] + thickness * (2 * c[1] + thickness * 3 * c[2]))});
    return TW_OK;
}

/* ---- readings ---------------------------------------------------------------------------------- */

static tw_status add_readings(table *t, tw_error *err)
{
    const tw_plate *plate = t->plate;
    const tw_profile *profile = plate->profile;
    double *slope = tw_arena_array(t->arena, tw_grid_cells(plate->grid), sizeof *slope);
    double sd, block_error;
    tw_status status;

    assert(plate->survey);
    if (!slope)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the weights of readings");
    if (plate->survey->edges_only && !(profile->scale > 0)) {
        status = tw_fail(err, TW_ERR_INPUT,
                         "no ± can be given for the whole: every reading lies near the edge, and "
                         "the middle may be anything");
        tw_error_advise(err, NULL, "read the middle, or give the taper (forged) or a scale weight");
        return status;
    }
    tw_cell_mass_slopes(plate->grid, t->map->map.cell, t->map->map.node, profile->face,
                        profile->density, slope);
    status = tw_survey_sum(plate->survey, slope, t->threads, NULL, &sd, &block_error, err);
    if (status != TW_OK)
        return status;
    add_row(t, (tw_budget_row){.name = TW_ROW_READING ", and what lies between them",
                               .unit = "g",
                               .u = sd,
                               .distribution = TW_NORMAL,
                               .sensitivity = 1});
    add_row(t, (tw_budget_row){.name = TW_ROW_READING ", gathered into blocks for the sum",
                               .unit = "g",
                               .u = block_error / SQRT3,
                               .distribution = TW_RECTANGULAR,
                               .sensitivity = 1});
    return TW_OK;
}

/* ---- form, grid, all ----------------------------------------------------------------------------- */

static tw_status add_lengths(table *t, const tw_lengths *lengths, tw_error *err)
{
    const tw_profile *profile = t->plate->profile;
    double *slope = tw_arena_array(t->arena, lengths->row_count, sizeof *slope);
    tw_status status;

    if (!slope)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu lengths", lengths->row_count);
    status = tw_lengths_slopes(lengths, t->plate, t->map, t->threads, slope, err);
    for (size_t k = 0; status == TW_OK && k < lengths->row_count; k++)
        add_row(t, (tw_budget_row){.name = lengths->names[k],
                                   .unit = "mm",
                                   .value = lengths->values[k],
                                   .u = profile->measured_to / SQRT3,
                                   .distribution = TW_RECTANGULAR,
                                   .sensitivity = slope[k]});
    return status;
}

static void add_numerical(table *t)
{
    const double bound = t->map->weight.numerical_error_g;

    add_row(t, (tw_budget_row){.name = isnan(bound) ? "numerical error, not known on this grid"
                                                    : "numerical error",
                               .unit = "g",
                               .u = isnan(bound) ? 0 : bound / SQRT3,
                               .distribution = TW_RECTANGULAR,
                               .sensitivity = 1});
}

tw_status tw_plate_budget(const tw_plate *plate, const tw_plate_map *map, unsigned threads,
                          tw_budget *out, tw_error *err)
{
    table t = {.plate = plate, .map = map, .threads = threads};
    const bool measured = plate->profile->measured_to > 0;
    tw_lengths lengths = {0};
    tw_status status = TW_OK;

    assert(plate && map && out);
    t.arena = tw_arena_new();
    if (!t.arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
    if (measured)
        status = tw_lengths_list(plate->profile, plate->form, t.arena, &lengths, err);
    if (status == TW_OK) {
        t.rows = tw_arena_array(t.arena, lengths.row_count + 5, sizeof *t.rows);
        if (!t.rows)
            status = tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
    }
    if (status != TW_OK)
        goto done;
    add_density(&t);
    if (map->map.kind == TW_MAP_SHEET)
        status = add_sheet(&t, err);
    if (map->map.kind == TW_MAP_READINGS)
        status = add_readings(&t, err);
    if (status == TW_OK && lengths.row_count > 0)
        status = add_lengths(&t, &lengths, err);
    if (status == TW_OK) {
        add_numerical(&t);
        status = tw_budget_combine(t.rows, t.count, NULL, map->weight.mass_g, 0.95, out, err);
    }
done:
    if (status != TW_OK && plate->profile->plate)
        tw_error_within(err, "in plate %s", plate->profile->plate);
    tw_arena_free(t.arena);
    return status;
}

/* ---- Monte Carlo ----------------------------------------------------------------------------------- */

/* Output = (estimate + first order of all but the density) × (density/estimate)^power: power 1 for
 * a mass, −1 for a thickness from a scale weight. */
static double budget_model(const double *inputs, size_t count, void *context)
{
    const tw_budget *budget = context;
    double value = budget->value, factor = 1;

    for (size_t k = 0; k < count; k++) {
        const tw_budget_row *row = &budget->rows[k];
        if (!tw_row_is(row, TW_ROW_DENSITY))
            value += row->sensitivity * (inputs[k] - row->value);
        else if (row->sensitivity > 0)
            factor *= inputs[k] / row->value;
        else
            factor *= row->value / inputs[k];
    }
    return value * factor;
}

tw_status tw_plate_monte_carlo(const tw_budget *budget, size_t trials, uint64_t seed,
                               unsigned threads, tw_monte_carlo *out, tw_error *err)
{
    return tw_monte_carlo_run(budget_model, (void *)(uintptr_t)budget, budget->rows, budget->count,
                              trials, seed, threads, 0.95, out, err);
}
