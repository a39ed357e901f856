/*
 * plate_budget.c: how sure the mass of one map is. Row by row:
 *
 *   density           m = ρV, so dm/dρ = V
 *   sheet thickness   sheet only: dm/dt of the whole face; a tolerance is a bound, so u = a/√3
 *   readings          readings only: readings_rows.c
 *   picture           image only: dm/dt of the whole face, twice: rounding to levels is a bound of half a
 *                     step, so u = step/√12, taken as the same everywhere, as it is on an even plate;
 *                     and what the profile says of the whole map
 *   lengths           of form and outline, each measured to ± the same bound; u = bound/√3
 *   holes             their edges, measured to the same bound
 *   numerical error   of the grid: four times what is stated, taken as a bound. Richardson's was seen
 *                     to fall short of the true error up to fourfold where the outline, not the face,
 *                     rules it; it is a small part even so
 *
 * A bound without more known of it is rectangular: JCGM 100:2008, 4.3.7. A forged map is what its
 * profile asks for: nothing is added for how near to it a hammer comes.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

#define SQRT3 1.7320508075688772
static const double NUMERICAL_SAFETY = 4;

void tw_table_add(tw_table *table, tw_budget_row row)
{
    row.freedom = INFINITY;
    table->rows[table->count++] = row;
}

static void add_density(tw_table *t)
{
    const tw_profile *profile = t->plate->profile;

    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_DENSITY,
                                    .shared = profile->material,
                                    .name = "density",
                                    .unit = "kg/m³",
                                    .value = 1e6 * profile->density,
                                    .u = 1e6 * profile->density_uncertainty,
                                    .distribution = TW_RECTANGULAR,
                                    .sensitivity = 1e-6 * t->map->weight.volume_mm3});
}

/* ---- sheet ------------------------------------------------------------------------------------- */

static const char *usual_bound(double thickness, double *bound)
{
    static const char *const words[] = {
        [TW_USUAL_COLD_ROLLED] = "not said how bought, so EN 10131 normal",
        [TW_USUAL_HOT_ROLLED] = "not said how bought, so EN 10051 category A",
        [TW_USUAL_SHARE] = "not said how bought, so 7 % of it"};

    return words[tw_tolerance_usual(thickness, bound)];
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

static tw_status add_sheet(tw_table *t, tw_error *err)
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
    tw_format(text, sizeof text, "sheet thickness, ±%.2f mm (%s)", bound, why);
    tw_table_add(
        t, (tw_budget_row){.kind = TW_ROW_SHEET,
                           .name = tw_arena_text(t->arena, text),
                           .unit = "mm",
                           .value = thickness,
                           .u = bound / SQRT3,
                           .distribution = TW_RECTANGULAR,
                           .sensitivity = profile->density *
                                          (c[0] + thickness * (2 * c[1] + thickness * 3 * c[2]))});
    return TW_OK;
}

/* ---- picture ------------------------------------------------------------------------------------ */

static tw_status add_image(tw_table *t, tw_error *err)
{
    const tw_plate *plate = t->plate;
    const tw_image_map_spec *spec = &plate->profile->image;
    const size_t cells = tw_grid_cells(plate->grid);
    double *slope = tw_arena_array(t->arena, cells, sizeof *slope);
    tw_sum whole = {0, 0};

    if (!slope)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the weights of a picture");
    tw_cell_mass_slopes(plate->grid, t->map->map.cell, t->map->map.node, plate->profile->face,
                        plate->profile->density, slope);
    for (size_t k = 0; k < cells; k++)
        tw_sum_add(&whole, slope[k]);
    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_IMAGE,
                                    .name = "picture, rounded to its levels",
                                    .unit = "mm",
                                    .value = t->map->weight.mean_thickness_mm,
                                    .u = spec->picture.level_step / sqrt(12),
                                    .distribution = TW_RECTANGULAR,
                                    .sensitivity = tw_sum_value(&whole)});
    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_IMAGE,
                                    .name = isnan(spec->uncertainty)
                                                ? "picture, as a whole: not said how good it is"
                                                : "picture, as a whole",
                                    .unit = "mm",
                                    .value = t->map->weight.mean_thickness_mm,
                                    .u = isnan(spec->uncertainty) ? 0 : spec->uncertainty,
                                    .sensitivity = tw_sum_value(&whole)});
    return TW_OK;
}

/* ---- form, grid, all ----------------------------------------------------------------------------- */

static void add_lengths(tw_table *t, const tw_lengths *lengths, const double *slope)
{
    const tw_profile *profile = t->plate->profile;

    for (size_t k = 0; k < lengths->row_count; k++)
        tw_table_add(t, (tw_budget_row){.kind = lengths->kinds[k],
                                        .name = lengths->names[k],
                                        .unit = "mm",
                                        .value = lengths->values[k],
                                        .u = profile->measured_to / SQRT3,
                                        .distribution = TW_RECTANGULAR,
                                        .sensitivity = slope[k]});
    if (profile->hole_count > 0 && profile->measured_to > 0)
        tw_table_add(t, (tw_budget_row){.kind = TW_ROW_HOLE,
                                        .name = "holes, edge of each moved in",
                                        .unit = "mm",
                                        .u = profile->measured_to / SQRT3,
                                        .distribution = TW_RECTANGULAR,
                                        .sensitivity = tw_holes_slope(t->plate, &t->map->map)});
}

static void add_numerical(tw_table *t)
{
    const double bound = NUMERICAL_SAFETY * t->map->weight.numerical_error_g;

    tw_table_add(t, (tw_budget_row){.kind = TW_ROW_NUMERICAL,
                                    .name = isnan(bound) ? "numerical error, not known on this grid"
                                                         : "numerical error (four times it)",
                                    .unit = "g",
                                    .u = isnan(bound) ? 0 : bound / SQRT3,
                                    .distribution = TW_RECTANGULAR,
                                    .sensitivity = 1});
}

/* Rows that need no form rebuilt. What stops a map here spares it that. */
static tw_status begin_table(tw_table *t, const tw_lengths *lengths, tw_error *err)
{
    const tw_profile *profile = t->plate->profile;

    t->rows = tw_arena_array(t->arena, lengths->row_count + tw_table_readings_room(profile) + 5,
                             sizeof *t->rows);
    if (!t->rows)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
    add_density(t);
    switch (t->map->map.kind) {
    case TW_MAP_SHEET:
        return add_sheet(t, err);
    case TW_MAP_READINGS:
        return tw_table_add_readings(t, err);
    case TW_MAP_IMAGE:
        return add_image(t, err);
    case TW_MAP_FORGED:
        return TW_OK;
    case TW_MAP_AS_FORMED: /* none of a plate's own maps */
        break;
    }
    assert(false && "a kind of map");
    return TW_OK;
}

static tw_status finish_table(tw_table *t, const tw_lengths *lengths, const double *slope,
                              tw_budget *out, tw_error *err)
{
    add_lengths(t, lengths, slope);
    add_numerical(t);
    return tw_budget_combine(t->rows, t->count, NULL, t->map->weight.mass_g, 0.95, out, err);
}

/* Budgets of the maps that slopes wants. `why` is filled for each of them. */
static tw_status make_budgets(const tw_plate *plate, unsigned threads, tw_slopes *slopes,
                              tw_arena *arena, tw_budget *out, tw_error *why, tw_error *err)
{
    tw_table tables[TW_PLATE_MAPS_MAX];
    tw_lengths lengths = {0};
    tw_status status = TW_OK;

    if (plate->profile->measured_to > 0)
        status = tw_lengths_list(plate->profile, plate->form, arena, &lengths, err);
    for (size_t m = 0; status == TW_OK && m < plate->map_count; m++) {
        if (!slopes->wanted[m])
            continue;
        tables[m] = (tw_table){plate, &plate->maps[m], threads, arena, NULL, 0};
        why[m].status = begin_table(&tables[m], &lengths, &why[m]);
        slopes->wanted[m] = why[m].status == TW_OK;
    }
    if (status == TW_OK && lengths.count > 0)
        status = tw_lengths_slopes(&lengths, plate, threads, arena, slopes, err);
    for (size_t m = 0; status == TW_OK && m < plate->map_count; m++) {
        if (!slopes->wanted[m])
            continue;
        why[m] = slopes->error[m];
        if (why[m].status == TW_OK)
            why[m].status = finish_table(&tables[m], &lengths, slopes->slope[m], &out[m], &why[m]);
    }
    return status;
}

static tw_status budgets(const tw_plate *plate, const bool wanted[TW_PLATE_MAPS_MAX],
                         unsigned threads, tw_budget *out, tw_error *why, tw_error *err)
{
    tw_slopes *slopes;
    tw_arena *arena = tw_arena_new();
    tw_status status;

    for (size_t m = 0; m < plate->map_count; m++) {
        out[m] = (tw_budget){0};
        why[m] = (tw_error){.status = TW_OK};
    }
    slopes = arena ? tw_arena_array(arena, 1, sizeof *slopes) : NULL;
    if (!slopes) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a budget");
    }
    for (size_t m = 0; m < plate->map_count; m++)
        slopes->wanted[m] = wanted[m];
    status = make_budgets(plate, threads, slopes, arena, out, why, err);
    for (size_t m = 0; m < plate->map_count; m++) {
        if (why[m].status != TW_OK && plate->profile->plate)
            tw_error_within(&why[m], "in plate %s", plate->profile->plate);
        if (status == TW_OK && why[m].status == TW_ERR_MEMORY) {
            status = TW_ERR_MEMORY;
            if (err)
                *err = why[m];
        }
    }
    for (size_t m = 0; status != TW_OK && m < plate->map_count; m++)
        tw_budget_release(&out[m]);
    tw_arena_free(arena);
    return status;
}

tw_status tw_plate_budgets(const tw_plate *plate, unsigned threads, tw_budget *out, tw_error *why,
                           tw_error *err)
{
    static const bool all[TW_PLATE_MAPS_MAX] = {true, true, true, true};

    assert(plate && out && why);
    return budgets(plate, all, threads, out, why, err);
}

tw_status tw_plate_budget(const tw_plate *plate, const tw_plate_map *map, unsigned threads,
                          tw_budget *out, tw_error *err)
{
    const size_t which = (size_t)(map - plate->maps);
    bool wanted[TW_PLATE_MAPS_MAX] = {false};
    tw_budget made[TW_PLATE_MAPS_MAX];
    tw_error why[TW_PLATE_MAPS_MAX];
    tw_status status;

    assert(plate && map && out && which < plate->map_count);
    wanted[which] = true;
    status = budgets(plate, wanted, threads, made, why, err);
    if (status != TW_OK)
        return status;
    if (why[which].status == TW_OK)
        *out = made[which];
    else if (err)
        *err = why[which];
    return why[which].status;
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
        if (row->kind != TW_ROW_DENSITY)
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
