/*
 * compare.c: the forged plate beside sheets of the same face, on the same grid and by the same rule, so
 * that what differs is the thickness alone.
 *
 * Three even sheets: as thick as the thickest strike zone (what a maker would buy to have that much
 * metal where blows land), as heavy as the forged plate, and the profile's own. The second is found
 * from the mass of even sheet as a cubic in its thickness, which one pass over the grid gives. A fourth,
 * sheet as forming leaves it, comes as a map from the caller.
 *
 * How thin a middle comes out when a sheet is dished, not raised: with the rim held and the sheet
 * stretched alike everywhere into a cap of depth h over half-width a, its area grows from πa² to
 * π(a² + h²), so t becomes t/(1 + q²), q = h/a (derived; a mean, the crown comes out thinner).
 */
#include "taperwright/compare.h"

#include <assert.h>
#include <math.h>

static const double same_mm = 0.001; /* thicknesses this close count as equal */

const char *tw_reason_word(tw_reason reason)
{
    switch (reason) {
    case TW_REASON_STRIKE:
        return "strike thickness";
    case TW_REASON_SAME_MASS:
        return "same mass";
    case TW_REASON_STOCK:
        return "own stock";
    case TW_REASON_AS_FORMED:
        return "as formed";
    }
    return "";
}

const tw_against *tw_comparison_row(const tw_comparison *comparison, tw_reason reason)
{
    for (size_t k = 0; k < comparison->count; k++) {
        if (comparison->against[k].reason == reason)
            return &comparison->against[k];
    }
    return NULL;
}

/* ---- what is worked out once ------------------------------------------------------------- */

typedef struct work {
    const tw_plate *plate;
    const tw_plate_map *forged;
    unsigned threads;
    double *even_cell, *even_node;         /* for even sheet */
    const double *sheet_cell, *sheet_node; /* the sheet at hand */
    double *forged_volume, *sheet_volume;  /* of each cell [mm³] */
    double coefficient[3];                 /* volume of even sheet: tw_sheet_volume() */
    double thinnest, thickest;             /* of the forged map where it is summed */
    double dished_ratio;                   /* NaN on a flat plate */
} work;

typedef struct extent {
    double low[3], high[3];
} extent;

static inline void stretch(extent *box, const double point[3])
{
    for (int k = 0; k < 3; k++) { /* no fmin(), fmax(): a call each, six for each node */
        box->low[k] = point[k] < box->low[k] ? point[k] : box->low[k];
        box->high[k] = point[k] > box->high[k] ? point[k] : box->high[k];
    }
}

/* Box round the metal: nodes in metal, and the points where the outline crosses grid lines. */
static extent metal_box(const tw_grid *grid)
{
    extent box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};

    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            const size_t next[2] = {i + 1 < grid->nu ? n + 1 : n,
                                    j + 1 < grid->nv ? n + grid->nu : n};
            const double here[3] = {grid->x[n], grid->y[n], grid->z[n]};
            if (grid->level[n] <= 0)
                stretch(&box, here);
            for (int k = 0; k < 2; k++) {
                const double a = grid->level[n], b = grid->level[next[k]];
                if ((a < 0 && b > 0) || (a > 0 && b < 0)) {
                    const double f = a / (a - b);
                    const double crossing[3] = {here[0] + f * (grid->x[next[k]] - here[0]),
                                                here[1] + f * (grid->y[next[k]] - here[1]),
                                                here[2] + f * (grid->z[next[k]] - here[2])};
                    stretch(&box, crossing);
                }
            }
        }
    return box;
}

double tw_dished_ratio(const tw_grid *grid)
{
    const extent box = metal_box(grid);
    const double half = 0.5 * fmin(box.high[0] - box.low[0], box.high[1] - box.low[1]);
    const double depth = box.high[2] - box.low[2];

    return depth > 1e-9 * half ? depth / half : NAN;
}

/* Thinnest and thickest of what a weighing reads; any even sheet of the same mass lies between,
 * since each cell's metal grows with its thickness. */
static void bracket(work *job)
{
    const tw_grid *grid = job->plate->grid;
    const tw_map *map = &job->forged->map;
    const size_t cells = tw_grid_cells(grid);

    job->thinnest = INFINITY;
    job->thickest = 0;
    for (size_t k = 0; k < cells; k++)
        if (grid->area[k] > 0) {
            job->thinnest = fmin(job->thinnest, map->cell[k]);
            job->thickest = fmax(job->thickest, map->cell[k]);
        }
    for (size_t k = 0; k < grid->crease_count; k++) {
        const size_t n = grid->creases[k].node;
        const double t = 0.5 * (map->node[n] + map->node[n + grid->nu]);
        job->thinnest = fmin(job->thinnest, t);
        job->thickest = fmax(job->thickest, t);
    }
}

static tw_status prepare(work *job, tw_arena *arena, tw_error *err)
{
    const tw_grid *grid = job->plate->grid;
    const size_t cells = tw_grid_cells(grid), nodes = grid->nu * grid->nv;

    job->even_cell = arena ? tw_arena_array(arena, cells, sizeof(double)) : NULL;
    job->even_node = arena ? tw_arena_array(arena, nodes, sizeof(double)) : NULL;
    job->forged_volume = arena ? tw_arena_array(arena, cells, sizeof(double)) : NULL;
    job->sheet_volume = arena ? tw_arena_array(arena, cells, sizeof(double)) : NULL;
    if (!job->even_cell || !job->even_node || !job->forged_volume || !job->sheet_volume)
        return tw_fail(err, TW_ERR_MEMORY, "no memory to compare plates");
    tw_cell_volumes(grid, job->forged->map.cell, job->forged->map.node, job->plate->profile->face,
                    job->forged_volume);
    job->dished_ratio = tw_dished_ratio(grid);
    return TW_OK;
}

/* ---- the sheets -------------------------------------------------------------------------- */

static double strike_thickness(const work *job)
{
    const tw_forged_spec *spec = &job->plate->profile->forged;
    double thickest = 0;

    for (size_t k = 0; k < spec->strike_count; k++)
        thickest = fmax(thickest, spec->strikes[k].thickness);
    return thickest > 0 ? thickest : job->forged->map.thickest;
}

static double sheet_volume_over(double t, void *context)
{
    const work *job = context;
    const double *c = job->coefficient;

    return t * (c[0] + t * (c[1] + t * c[2])) - job->forged->weight.volume_mm3;
}

static tw_status same_mass_thickness(work *job, double *thickness, tw_error *err)
{
    tw_status status;

    tw_sheet_volume(job->plate->grid, job->plate->profile->face, job->coefficient);
    bracket(job);
    status = tw_find_root(sheet_volume_over, job, job->thinnest * (1 - 1e-9),
                          job->thickest * (1 + 1e-9), 1e-13 * job->thickest, thickness, NULL);

    return status == TW_OK ? TW_OK
                           : tw_fail(err, TW_ERR_UNREACHABLE,
                                     "no even sheet weighs as much as the forged plate");
}

/* Where the grams sit: cell by cell, so that what one place saves does not hide what another
 * keeps. */
static void share_out(const work *job, tw_against *out)
{
    const tw_grid *grid = job->plate->grid;
    const size_t cells = tw_grid_cells(grid);
    tw_sum thicker = {0, 0}, thinner = {0, 0}, saved = {0, 0}, kept = {0, 0};
    const double face = out->weight.face_area_mm2;

    for (size_t k = 0; k < cells; k++) {
        const double more = job->forged_volume[k] - job->sheet_volume[k];
        double difference;
        if (!(grid->area[k] > 0))
            continue;
        difference = job->forged->map.cell[k] - job->sheet_cell[k];
        if (difference > same_mm) {
            tw_sum_add(&thicker, grid->area[k]);
            tw_sum_add(&kept, more);
        } else if (difference < -same_mm) {
            tw_sum_add(&thinner, grid->area[k]);
            tw_sum_add(&saved, -more);
        }
    }
    out->thicker_share_percent = 100 * tw_sum_value(&thicker) / face;
    out->thinner_share_percent = 100 * tw_sum_value(&thinner) / face;
    out->saved_g = fmax(tw_sum_value(&saved), 0) * job->plate->profile->density;
    out->kept_g = fmax(tw_sum_value(&kept), 0) * job->plate->profile->density;
}

/* The sheet at hand against the forged plate. */
static tw_status set_against(work *job, tw_reason reason, double sheet_mm, tw_against *out,
                             tw_error *err)
{
    const tw_profile *profile = job->plate->profile;
    const tw_grid *grid = job->plate->grid;
    const tw_weight *forged = &job->forged->weight;
    const tw_gauge_system system =
        profile->has_sheet && profile->sheet.by_gauge ? profile->sheet.system : TW_GAUGE_SYSTEMS;
    tw_status status;

    *out = (tw_against){.reason = reason,
                        .sheet_mm = sheet_mm,
                        .nearest_stock = tw_stock_nearest(sheet_mm, system),
                        .dished_thinnest_mm = sheet_mm,
                        .dished_ratio = job->dished_ratio,
                        .thinnest_mm = NAN,
                        .thinnest_at = {NAN, NAN}};
    status = tw_weigh(grid, job->sheet_cell, job->sheet_node, profile->face, profile->density,
                      job->threads, &out->weight, err);
    if (status != TW_OK) {
        tw_error_within(err, "in %s (%s)",
                        reason == TW_REASON_AS_FORMED ? "formed sheet" : "even sheet",
                        tw_reason_word(reason));
        return status;
    }
    tw_cell_volumes(grid, job->sheet_cell, job->sheet_node, profile->face, job->sheet_volume);
    out->difference_g = out->weight.mass_g - forged->mass_g;
    out->difference_percent = 100 * out->difference_g / forged->mass_g;
    for (int k = 0; k < 3; k++) {
        const double sheet = out->weight.inertia_g_mm2[k][k];
        out->centroid_shift_mm[k] = forged->centroid_mm[k] - out->weight.centroid_mm[k];
        out->inertia_change_percent[k] = 100 * (forged->inertia_g_mm2[k][k] - sheet) / sheet;
    }
    share_out(job, out);
    if (!isnan(job->dished_ratio))
        out->dished_thinnest_mm = sheet_mm / (1 + job->dished_ratio * job->dished_ratio);
    return TW_OK;
}

static tw_status set_even(work *job, tw_reason reason, double sheet_mm, tw_against *out,
                          tw_error *err)
{
    const tw_grid *grid = job->plate->grid;

    for (size_t k = 0; k < tw_grid_cells(grid); k++)
        job->even_cell[k] = sheet_mm;
    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        job->even_node[k] = sheet_mm;
    job->sheet_cell = job->even_cell;
    job->sheet_node = job->even_node;
    return set_against(job, reason, sheet_mm, out, err);
}

tw_status tw_compare(const tw_plate *plate, unsigned threads, tw_comparison *out, tw_error *err)
{
    tw_comparison made = {.plate = plate, .forged = tw_plate_map_of(plate, TW_MAP_FORGED)};
    work job = {.plate = plate, .forged = made.forged, .threads = threads};
    tw_arena *arena = NULL;
    double same_mass = 0;
    tw_status status;

    assert(plate->profile && plate->grid);
    if (!made.forged) {
        tw_fail(err, TW_ERR_INPUT, "there is no forged map to compare with even sheet");
        tw_error_advise(err, NULL, "give the thickness of strike zones or edges under forged");
        return TW_ERR_INPUT;
    }
    arena = tw_arena_new();
    status = prepare(&job, arena, err);
    if (status == TW_OK)
        status = same_mass_thickness(&job, &same_mass, err);
    if (status == TW_OK)
        status = set_even(&job, TW_REASON_STRIKE, strike_thickness(&job),
                          &made.against[made.count++], err);
    if (status == TW_OK)
        status = set_even(&job, TW_REASON_SAME_MASS, same_mass, &made.against[made.count++], err);
    if (status == TW_OK && plate->profile->has_sheet)
        status = set_even(&job, TW_REASON_STOCK, plate->profile->sheet.thickness,
                          &made.against[made.count++], err);
    if (status == TW_OK)
        *out = made;
    tw_arena_free(arena);
    return status;
}

tw_status tw_compare_as_formed(tw_comparison *comparison, const tw_map *as_formed, double stock_mm,
                               unsigned threads, tw_error *err)
{
    work job = {.plate = comparison->plate,
                .forged = comparison->forged,
                .threads = threads,
                .sheet_cell = as_formed->cell,
                .sheet_node = as_formed->node};
    tw_arena *arena = tw_arena_new();
    tw_against row;
    tw_status status;

    assert(comparison->count < TW_AGAINST_MAX && as_formed->kind == TW_MAP_AS_FORMED &&
           as_formed->grid == comparison->plate->grid && stock_mm > 0);
    status = prepare(&job, arena, err);
    if (status == TW_OK)
        status = set_against(&job, TW_REASON_AS_FORMED, stock_mm, &row, err);
    tw_arena_free(arena);
    if (status != TW_OK)
        return status;
    row.dished_thinnest_mm = NAN;
    row.map = as_formed;
    row.thinnest_mm = as_formed->thinnest;
    row.thinnest_at[0] = as_formed->thinnest_at[0];
    row.thinnest_at[1] = as_formed->thinnest_at[1];
    comparison->against[comparison->count++] = row;
    return TW_OK;
}

void tw_compare_difference(const tw_comparison *comparison, size_t which, double *out)
{
    const tw_grid *grid = comparison->plate->grid;
    const double *node = comparison->forged->map.node;
    const tw_against *row = &comparison->against[which];

    assert(which < comparison->count);
    for (size_t k = 0; k < grid->nu * grid->nv; k++)
        out[k] = node[k] - (row->map ? row->map->node[k] : row->sheet_mm);
}
