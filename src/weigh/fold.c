/*
 * fold.c: what makes a plate impossible to weigh, found cell by cell and told with its place.
 *
 * The face offset by s is turned over where a factor 1 + k·s (cell.c) is not above zero, k either
 * principal curvature H ± √(H² − K). Both factors are 1 at s = 0 and linear in s, so it is enough
 * to look at the two ends of the metal: 1 + (H + D)·s₀ for s₀ ≤ 0 and 1 + (H − D)·s₁ for s₁ ≥ 0. In
 * workshop words: the plate is thicker than the radius on its hollow side. Within one thickness of
 * a crease or of a cone's tip this is no fault, since there the metal of both sides meets anyway.
 * Runs only on chunks in which the sum met something suspect.
 */
#include "weigh_internal.h"

#include <assert.h>
#include <float.h>
#include <math.h>

tw_fault tw_fault_none(void)
{
    return (tw_fault){SIZE_MAX, SIZE_MAX, 0};
}

void tw_cell_tape(const tw_grid *grid, size_t cell, double tape[2])
{
    const size_t i = cell % (grid->nu - 1), j = cell / (grid->nu - 1);
    size_t low = 0, high = grid->cut_count;
    double across = 0.5, up = 0.5;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (grid->cuts[middle].cell < cell)
            low = middle + 1;
        else
            high = middle;
    }
    if (low < grid->cut_count && grid->cuts[low].cell == cell) {
        across = grid->cuts[low].across;
        up = grid->cuts[low].up;
    }
    tape[0] = tw_grid_across(grid, i) + across * grid->across_step;
    tape[1] = tw_grid_up(grid, j) + up * grid->up_step;
}

/* Whether a tape point lies within `reach` of the tip or of a piece of crease. Pieces run along
 * `up` and are sorted by it, so only those abreast of the point are looked at. */
static bool near_crease(const tw_grid *grid, const double tape[2], double reach)
{
    const double half = 0.5 * grid->up_step;
    size_t low = 0, high = grid->crease_count;

    if (grid->has_apex && hypot(tape[0] - grid->apex[0], tape[1] - grid->apex[1]) <= reach)
        return true;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (grid->creases[middle].up < tape[1] - reach - half)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < grid->crease_count && grid->creases[low].up <= tape[1] + reach + half; low++) {
        const double beyond = fmax(fabs(grid->creases[low].up - tape[1]) - half, 0);
        if (hypot(grid->creases[low].across - tape[0], beyond) <= reach)
            return true;
    }
    return false;
}

/* How far the metal reaches towards a centre of curvature, in radii: 1 and more is a fold. radius
 * may be NULL. */
static double fold_reach(double mean, double gauss, double t, const tw_rule *rule, double *radius)
{
    const double spread = sqrt(fmax(mean * mean - gauss, 0));
    const double inward = -(mean + spread) * rule->low * t;
    const double outward = -(mean - spread) * rule->high * t;

    if (radius)
        *radius = 1 / fabs(inward >= outward ? mean + spread : mean - spread);
    return fmax(inward, outward);
}

void tw_cells_examine(const tw_grid *grid, const double *thickness, const tw_rule *rule,
                      size_t first, size_t last, tw_fault *fault)
{
    for (size_t k = first; k < last; k++) {
        const double t = thickness[k];
        double reach, tape[2];
        if (!(grid->area[k] > 0))
            continue;
        if (!(t > 0 && t <= DBL_MAX)) {
            if (fault->bare_cell == SIZE_MAX)
                fault->bare_cell = k;
            continue;
        }
        reach = fold_reach(grid->mean_curvature[k], grid->gauss_curvature[k], t, rule, NULL);
        if (!(reach >= 1 && reach > fault->fold_reach))
            continue;
        tw_cell_tape(grid, k, tape);
        if (!near_crease(grid, tape, t)) {
            fault->fold_cell = k;
            fault->fold_reach = reach;
        }
    }
}

void tw_fault_join(tw_fault *fault, const tw_fault *later)
{
    if (fault->bare_cell == SIZE_MAX)
        fault->bare_cell = later->bare_cell;
    if (later->fold_reach > fault->fold_reach) {
        fault->fold_cell = later->fold_cell;
        fault->fold_reach = later->fold_reach;
    }
}

tw_status tw_fault_tell(const tw_fault *fault, const tw_grid *grid, const double *thickness,
                        const tw_rule *rule, tw_error *err)
{
    const bool bare = fault->bare_cell != SIZE_MAX;
    const size_t cell = bare ? fault->bare_cell : fault->fold_cell;
    double tape[2], t, radius;

    if (cell == SIZE_MAX)
        return TW_OK;
    t = thickness[cell];
    tw_cell_tape(grid, cell, tape);
    if (bare) {
        tw_fail(err, TW_ERR_DOMAIN, "thickness at [%.1f, %.1f] by tape is %.4g mm", tape[0],
                tape[1], t);
        tw_error_advise(err, NULL, "a thickness must be above 0 mm wherever there is metal");
        return TW_ERR_DOMAIN;
    }
    fold_reach(grid->mean_curvature[cell], grid->gauss_curvature[cell], t, rule, &radius);
    tw_fail(err, TW_ERR_SHAPE,
            "the plate folds at [%.1f, %.1f] by tape: it is %.4g mm thick over a radius of %.3g mm",
            tape[0], tape[1], t, radius);
    tw_error_advise(err, NULL, "make it thinner than %.3g mm there, or the curve wider",
                    t / fault->fold_reach);
    return TW_ERR_SHAPE;
}

tw_status tw_inputs_check(const tw_grid *grid, const double *node, double density, tw_error *err)
{
    if (!(density > 0 && density <= DBL_MAX)) {
        tw_fail(err, TW_ERR_DOMAIN, "the density is %.4g g/mm³", density);
        tw_error_advise(err, NULL, "a density must be above zero; mild steel has 7850 kg/m3");
        return TW_ERR_DOMAIN;
    }
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        double t;
        if (!tw_crease_mitred(grid, crease))
            continue;
        assert(node);
        t = tw_crease_thickness(grid, crease, node);
        if (t > 0 && t <= DBL_MAX)
            continue;
        tw_fail(err, TW_ERR_DOMAIN, "thickness on the crease at %.1f mm up by tape is %.4g mm",
                crease->up, t);
        tw_error_advise(err, NULL, "a thickness must be above 0 mm wherever there is metal");
        return TW_ERR_DOMAIN;
    }
    return TW_OK;
}
