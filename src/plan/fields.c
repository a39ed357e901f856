/*
 * fields.c: distances from every strike zone and every edge that has a thickness, of the forged map or
 * kept by the profile's plan in its place, and the least graded map over them.
 *
 * With r_k what is required on a source k and d_k(x) the distance from it over the plate, a map t that
 * is ≥ r_k there and nowhere steeper than g has t(x) ≥ r_k − g·d_k(x) at every x, along the shortest
 * way. So t(x) = max_k (r_k − g·d_k(x)) lies under every such map, and is one itself, as a distance is
 * nowhere steeper than 1: the least graded map. Volume grows with thickness wherever the plate does not
 * fold, dV/dt = (1 − k₁t)(1 − k₂t) > 0 with the main curvatures k₁ and k₂, so it is the lightest too.
 * Derived here; the extension is McShane's (1934).
 */
#include "taperwright/plan.h"

#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

enum { BLOCK = 4096 };

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the distances of a plan");
}

/* ---- maps ---------------------------------------------------------------------------------- */

void tw_least_pass(size_t n, size_t count, const double *const *distance, const double *required,
                   double least, double grade, double *restrict thickness)
{
    for (size_t from = 0; from < n; from += BLOCK) {
        const size_t to = n - from < BLOCK ? n : from + BLOCK;
        for (size_t i = from; i < to; i++)
            thickness[i] = least;
        for (size_t k = 0; k < count; k++) {
            const double *d = distance[k], r = required[k];
            if (!(r > least)) /* could not show */
                continue;
            for (size_t i = from; i < to; i++) {
                const double t = r - grade * d[i];
                thickness[i] = t > thickness[i] ? t : thickness[i];
            }
        }
    }
}

tw_status tw_trial_make(const tw_plan *plan, tw_arena *arena, tw_trial *out, tw_error *err)
{
    const tw_grid *grid = plan->plate->grid;

    *out = (tw_trial){.node = tw_arena_array(arena, grid->nu * grid->nv, sizeof *out->node),
                      .cell = tw_arena_array(arena, tw_grid_cells(grid), sizeof *out->cell),
                      .volume = tw_arena_array(arena, tw_grid_cells(grid), sizeof *out->volume),
                      .node_field = tw_arena_array(arena, plan->count, sizeof *out->node_field),
                      .cell_field = tw_arena_array(arena, plan->count, sizeof *out->cell_field)};
    if (!out->node || !out->cell || !out->volume || !out->node_field || !out->cell_field)
        return no_memory(err);
    for (size_t k = 0; k < plan->count; k++) {
        out->node_field[k] = plan->fields[k].node;
        out->cell_field[k] = plan->fields[k].cell;
    }
    return TW_OK;
}

double tw_plan_mass(const tw_plate *plate, const double *cell, const double *node, double *volume)
{
    const size_t cells = tw_grid_cells(plate->grid);
    tw_sum sum = {0, 0};

    tw_cell_volumes(plate->grid, cell, node, plate->profile->face, volume);
    for (size_t from = 0; from < cells; from += 256) { /* plain within a block, by block after */
        const size_t to = cells - from < 256 ? cells : from + 256;
        double part[4] = {0, 0, 0, 0};
        for (size_t k = from; k < to; k++)
            part[k % 4] += volume[k];
        tw_sum_add(&sum, (part[0] + part[1]) + (part[2] + part[3]));
    }
    return tw_sum_value(&sum) * plate->profile->density;
}

/* The least map at one node. */
static double at_node(const tw_plan *plan, const double *required, double least, double grade,
                      size_t node)
{
    double t = least;

    for (size_t k = 0; k < plan->count; k++)
        if (required[k] > least)
            t = fmax(t, required[k] - grade * plan->fields[k].node[node]);
    return t;
}

double tw_trial_mass(const tw_plan *plan, tw_trial *trial, const double *required, double least,
                     double grade)
{
    const tw_grid *grid = plan->plate->grid;

    tw_least_pass(tw_grid_cells(grid), plan->count, trial->cell_field, required, least, grade,
                  trial->cell);
    for (size_t k = 0; k < grid->crease_count; k++) { /* no other node is weighed */
        const size_t node = grid->creases[k].node;
        trial->node[node] = at_node(plan, required, least, grade, node);
        trial->node[node + grid->nu] = at_node(plan, required, least, grade, node + grid->nu);
    }
    return tw_plan_mass(plan->plate, trial->cell, trial->node, trial->volume);
}

void tw_trial_nodes(const tw_plan *plan, tw_trial *trial, const double *required, double least,
                    double grade)
{
    const tw_grid *grid = plan->plate->grid;

    tw_least_pass(grid->nu * grid->nv, plan->count, trial->node_field, required, least, grade,
                  trial->node);
}

/* ---- edges ----------------------------------------------------------------------------------- */

static bool named_keep(const tw_plan_spec *spec, const char *edge)
{
    for (size_t k = 0; k < spec->keep_count; k++)
        if (spec->keeps[k].edge && strcmp(spec->keeps[k].edge, edge) == 0)
            return true;
    return false;
}

static bool named_forged(const tw_forged_spec *spec, const char *edge)
{
    for (size_t k = 0; k < spec->edge_count; k++)
        if (strcmp(spec->edges[k].edge, edge) == 0)
            return true;
    return false;
}

/* The lines that a field's edge means: `all` are those edges that no entry names, of the forged map or
 * of what the plan keeps; never a hole. */
static tw_status find_lines(const tw_plan *plan, tw_plan_field *field, tw_error *err)
{
    const tw_profile *profile = plan->plate->profile;
    const tw_outline *outline = tw_form_outline(plan->plate->form);
    const bool all = strcmp(field->edge, "all") == 0;

    field->lines = tw_arena_array(plan->arena, outline->edge_count + 1, sizeof *field->lines);
    if (!field->lines)
        return no_memory(err);
    for (size_t e = 0; e < outline->edge_count + outline->hole_count; e++) {
        const tw_edge_line *line =
            e < outline->edge_count ? &outline->edges[e] : &outline->holes[e - outline->edge_count];
        bool meant = strcmp(field->edge, line->name) == 0;
        if (all && e < outline->edge_count)
            meant = !named_forged(&profile->forged, line->name) &&
                    !named_keep(&profile->plan, line->name);
        if (meant && field->line_count <= outline->edge_count)
            field->lines[field->line_count++] = *line;
    }
    return TW_OK;
}

/* Distance in tape coordinates from a node to lines. */
static double tape_distance(const tw_plan_field *field, double across, double up)
{
    double least2 = INFINITY;

    for (size_t l = 0; l < field->line_count; l++)
        for (size_t k = 0; k + 1 < field->lines[l].count; k++) {
            const double *p = field->lines[l].points[k], *q = field->lines[l].points[k + 1];
            const double a = q[0] - p[0], u = q[1] - p[1], length2 = a * a + u * u;
            const double along =
                length2 > 0 ? ((across - p[0]) * a + (up - p[1]) * u) / length2 : 0;
            const double part = fmin(fmax(along, 0), 1);
            const double da = across - p[0] - part * a, du = up - p[1] - part * u;
            least2 = fmin(least2, da * da + du * du);
        }
    return sqrt(least2);
}

/* Nodes just beyond these lines get a minus sign, so that a cell which the edge crosses is read
 * between its nodes without a false ridge. Beyond them is a node off the metal that has no other part
 * of the outline nearer. */
static void sign_beyond(const tw_grid *grid, tw_plan_field *field)
{
    const double near = 2 * hypot(grid->across_step, grid->up_step);

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double level = grid->level[n];
        if (level > 0 && level < near && isfinite(field->node[n]) &&
            tape_distance(field, tw_grid_across(grid, n % grid->nu),
                          tw_grid_up(grid, n / grid->nu)) <= level * (1 + 1e-6))
            field->node[n] = -field->node[n];
    }
}

/* Between nodes that no path reaches 0·INFINITY may have come up: no path leads there either. */
static void take_off_hold(double *distance, size_t n, double hold)
{
    for (size_t k = 0; k < n; k++)
        distance[k] = isnan(distance[k])   ? (double)INFINITY
                      : distance[k] > hold ? distance[k] - hold
                                           : 0;
}

/* ---- the fields ------------------------------------------------------------------------------- */

/* Distances of one field, marched unless the plate's forged map has them; `march` is NULL when all have. */
static tw_status fill_field(tw_march *march, size_t number, void *context, tw_error *err)
{
    const tw_plan *plan = context;
    const tw_plate *plate = plan->plate;
    const tw_grid *grid = plate->grid;
    tw_plan_field *field = &plan->fields[number];
    const size_t nodes = grid->nu * grid->nv;
    tw_status status = TW_OK;

    if (field->own) {
        memcpy(field->node, field->own, nodes * sizeof *field->node);
    } else if (field->strike) {
        const tw_shape *shape = &plate->profile->forged.strikes[number].shape;
        status = tw_level_from_shape(march, plate->form, shape, field->node, err);
    } else {
        status = tw_distance_from_lines(march, plate->form, field->lines, field->line_count,
                                        field->node, err);
        if (status == TW_OK)
            sign_beyond(grid, field);
    }
    if (status != TW_OK) {
        tw_error_within(err, "in %s", field->name);
        return status;
    }
    tw_grid_to_cells(grid, field->node, field->cell);
    take_off_hold(field->node, nodes, field->hold);
    take_off_hold(field->cell, tw_grid_cells(grid), field->hold);
    return TW_OK;
}

static void copy_fields(size_t first, size_t last, void *context)
{
    for (size_t k = first; k < last; k++)
        fill_field(NULL, k, context, NULL);
}

static tw_status fill_fields(tw_plan *plan, tw_error *err)
{
    bool marches = false;

    for (size_t k = 0; k < plan->count; k++)
        marches = marches || !plan->fields[k].own;
    if (marches)
        return tw_march_each(plan->plate->grid, plan->count, plan->threads, fill_field, plan, err);
    tw_for_rows(plan->count, 1, plan->threads, copy_fields, plan);
    return TW_OK;
}

/* ---- the plan --------------------------------------------------------------------------------- */

/* What the plan keeps there in place of the forged map's thickness: by name, else by `all`. */
static double asked_of(const tw_plan_spec *spec, bool strike, const char *name, double forged)
{
    double asked = forged;
    bool by_name = false;

    for (size_t k = 0; k < spec->keep_count && !by_name; k++) {
        const char *kept = strike ? spec->keeps[k].strike : spec->keeps[k].edge;
        by_name = kept && strcmp(kept, name) == 0;
        if (kept && (by_name || strcmp(kept, "all") == 0))
            asked = spec->keeps[k].least;
    }
    return asked;
}

/* A requirement at a strike zone or an edge; none for an edge that means no line. */
static tw_status add_field(tw_plan *plan, bool strike, const char *name, double forged, double hold,
                           tw_error *err)
{
    const tw_grid *grid = plan->plate->grid;
    tw_plan_field *field = &plan->fields[plan->count];
    char text[160];
    tw_status status;

    if (!strike && strcmp(name, "all") == 0)
        tw_format(text, sizeof text, "all edges");
    else
        tw_format(text, sizeof text, "%s %s", strike ? "strike zone" : "edge", name);
    *field = (tw_plan_field){.name = tw_arena_text(plan->arena, text),
                             .strike = strike ? name : NULL,
                             .edge = strike ? NULL : name,
                             .asked = asked_of(&plan->plate->profile->plan, strike, name, forged),
                             .hold = hold};
    if (!field->name)
        return no_memory(err);
    status = strike ? TW_OK : find_lines(plan, field, err);
    if (status != TW_OK || (!strike && field->line_count == 0))
        return status;
    field->node = tw_arena_array(plan->arena, grid->nu * grid->nv, sizeof *field->node);
    field->cell = tw_arena_array(plan->arena, tw_grid_cells(grid), sizeof *field->cell);
    if (!field->node || !field->cell)
        return no_memory(err);
    plan->count++;
    return TW_OK;
}

static tw_status name_fields(tw_plan *plan, tw_error *err)
{
    const tw_forged_spec *spec = &plan->plate->profile->forged;
    const tw_plan_spec *kept = &plan->plate->profile->plan;
    const tw_taper *taper = plan->plate->taper;
    bool parted = false; /* an edge that only the plan names is taken out of `all` */
    double hold = 0;     /* of `all` edges: an edge that only the plan names has it too */
    tw_status status = TW_OK;

    for (size_t k = 0; k < kept->keep_count; k++)
        parted = parted || (kept->keeps[k].edge && !named_forged(spec, kept->keeps[k].edge));
    for (size_t k = 0; status == TW_OK && k < spec->strike_count; k++) {
        const tw_strike *zone = &spec->strikes[k];
        status = add_field(plan, true, zone->name, zone->thickness, zone->hold, err);
        if (status == TW_OK && taper)
            plan->fields[plan->count - 1].own = tw_taper_from_strike(taper, plan->plate->grid, k);
    }
    for (size_t k = 0; status == TW_OK && k < spec->edge_count; k++) {
        const tw_edge_thickness *edge = &spec->edges[k];
        const bool all = strcmp(edge->edge, "all") == 0;
        const size_t before = plan->count;
        if (all)
            hold = edge->hold;
        status = add_field(plan, false, edge->edge, edge->thickness, edge->hold, err);
        if (status == TW_OK && taper && plan->count > before && !(all && parted))
            plan->fields[before].own = tw_taper_from_edge(taper, plan->plate->grid, k);
    }
    for (size_t k = 0; status == TW_OK && k < kept->keep_count; k++)
        if (kept->keeps[k].edge && !named_forged(spec, kept->keeps[k].edge))
            status = add_field(plan, false, kept->keeps[k].edge, kept->keeps[k].least, hold, err);
    return status;
}

double tw_plan_thinnest(const tw_plan *plan)
{
    double least = INFINITY;

    for (size_t k = 0; k < plan->count; k++)
        least = fmin(least, plan->fields[k].asked);
    return least;
}

tw_status tw_plan_open(const tw_plate *plate, unsigned threads, tw_plan **out, tw_error *err)
{
    const tw_profile *profile = plate->profile;
    const size_t most =
        profile->forged.strike_count + profile->forged.edge_count + profile->plan.keep_count;
    tw_arena *arena;
    tw_plan *plan;
    tw_status status;

    assert(plate->grid && plate->form && out);
    if (most == 0) {
        status = tw_fail(err, TW_ERR_INPUT,
                         "plate %s has no strike zone and no edge with a "
                         "thickness to plan from",
                         profile->plate);
        tw_error_advise(err, NULL, "add thickness: {forged: {strike: …, edges: …}}");
        return status;
    }
    arena = tw_arena_new();
    plan = arena ? tw_arena_array(arena, 1, sizeof *plan) : NULL;
    if (!plan) {
        tw_arena_free(arena);
        return no_memory(err);
    }
    *plan = (tw_plan){.plate = plate,
                      .threads = threads,
                      .fields = tw_arena_array(arena, most, sizeof *plan->fields),
                      .arena = arena};
    status = plan->fields ? name_fields(plan, err) : no_memory(err);
    if (status == TW_OK)
        status = fill_fields(plan, err);
    if (status == TW_OK)
        *out = plan;
    else
        tw_plan_free(plan);
    return status;
}

void tw_plan_free(tw_plan *plan)
{
    if (plan)
        tw_arena_free(plan->arena);
}
