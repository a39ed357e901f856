/*
 * map.c: a map as a thing of arrays, even sheet, and the survey of a map: extremes and steepest
 * grade.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

const char *tw_map_word(tw_map_kind kind)
{
    switch (kind) {
    case TW_MAP_SHEET:
        return "sheet";
    case TW_MAP_FORGED:
        return "forged";
    case TW_MAP_READINGS:
        return "readings";
    case TW_MAP_IMAGE:
        return "image";
    case TW_MAP_AS_FORMED:
        return "as-formed";
    }
    return "unknown";
}

void tw_map_release(tw_map *map)
{
    if (!map)
        return;
    tw_arena_free(map->arena);
    memset(map, 0, sizeof *map);
}

tw_status tw_map_make(tw_map_kind kind, const tw_grid *grid, tw_map *out, tw_error *err)
{
    tw_map map = {.kind = kind, .grid = grid, .arena = tw_arena_new()};

    assert(grid && out);
    if (map.arena) {
        map.node = tw_arena_array(map.arena, grid->nu * grid->nv, sizeof *map.node);
        map.cell = tw_arena_array(map.arena, tw_grid_cells(grid), sizeof *map.cell);
    }
    if (!map.arena || !map.node || !map.cell) {
        tw_arena_free(map.arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a map of %zu by %zu nodes", grid->nu,
                       grid->nv);
    }
    *out = map;
    return TW_OK;
}

tw_status tw_map_sheet(const tw_grid *grid, double thickness, tw_map *out, tw_error *err)
{
    tw_status status;

    if (!(thickness > 0) || !isfinite(thickness)) {
        status = tw_fail(err, TW_ERR_DOMAIN, "a sheet %g mm thick is not possible", thickness);
        tw_error_advise(err, NULL, "give a thickness above zero, as 1.6 mm");
        return status;
    }
    status = tw_map_make(TW_MAP_SHEET, grid, out, err);
    if (status != TW_OK)
        return status;
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        out->node[n] = thickness;
    for (size_t n = 0; n < tw_grid_cells(grid); n++)
        out->cell[n] = thickness;
    tw_map_survey(out, NULL);
    return TW_OK;
}

void tw_map_widen(tw_map *map, double thickness, double across, double up)
{
    if (thickness < map->thinnest) {
        map->thinnest = thickness;
        map->thinnest_at[0] = across;
        map->thinnest_at[1] = up;
    }
    if (thickness > map->thickest) {
        map->thickest = thickness;
        map->thickest_at[0] = across;
        map->thickest_at[1] = up;
    }
}

/* Slope of the map at a node whose neighbours across and up are known: central differences g in
 * tape coordinates, raised with the metric G, as a step of length 1 on the face is what counts:
 * √(gᵀ G⁻¹ g). */
static double grade_at(const tw_grid *grid, const double *t, size_t n)
{
    const double a = (t[n + 1] - t[n - 1]) / (2 * grid->across_step);
    const double u = (t[n + grid->nu] - t[n - grid->nu]) / (2 * grid->up_step);
    const double aa = grid->metric_aa[n], au = grid->metric_au[n], uu = grid->metric_uu[n];
    const double determinant = aa * uu - au * au;
    const double square = uu * a * a - 2 * au * a * u + aa * u * u;

    return determinant > 0 && square > 0 ? sqrt(square / determinant) : 0;
}

void tw_map_survey(tw_map *map, const tw_form *form)
{
    const tw_grid *grid = map->grid;
    const tw_outline *outline = form ? tw_form_outline(form) : NULL;
    const double *level = grid->level;

    map->thinnest = INFINITY;
    map->thickest = -INFINITY;
    map->steepest_grade = -1;
    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            double grade;
            if (!(level[n] <= 0))
                continue;
            tw_map_widen(map, map->node[n], tw_grid_across(grid, i), tw_grid_up(grid, j));
            if (i == 0 || j == 0 || i + 1 == grid->nu || j + 1 == grid->nv ||
                !(level[n - 1] <= 0 && level[n + 1] <= 0 && level[n - grid->nu] <= 0 &&
                  level[n + grid->nu] <= 0))
                continue;
            grade = grade_at(grid, map->node, n);
            if (grade > map->steepest_grade) {
                map->steepest_grade = grade;
                map->steepest_at[0] = tw_grid_across(grid, i);
                map->steepest_at[1] = tw_grid_up(grid, j);
            }
        }
    for (size_t e = 0; outline && e < outline->edge_count + outline->hole_count; e++) {
        const tw_edge_line *line =
            e < outline->edge_count ? &outline->edges[e] : &outline->holes[e - outline->edge_count];
        for (size_t k = 0; k < line->count; k++) {
            const double *at = line->points[k];
            tw_map_widen(map, tw_grid_sample(grid, map->node, at[0], at[1]), at[0], at[1]);
        }
    }
    /* A plate so narrow that no node lies in it: its cells still have a thickness. */
    if (map->thinnest > map->thickest)
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            if (grid->area[c] > 0)
                tw_map_widen(map, map->cell[c], tw_grid_across(grid, c % (grid->nu - 1)),
                             tw_grid_up(grid, c / (grid->nu - 1)));
    if (map->steepest_grade < 0) {
        map->steepest_grade = 0;
        memcpy(map->steepest_at, map->thickest_at, sizeof map->steepest_at);
    }
}
