/*
 * blank.c: the flat blank for a goal, what it weighs at each stage, and where the metal has to be gathered
 * or drawn out to come to its thickness.
 *
 * Turned edges take strips beyond the net line (turned.c). The strip along the outline keeps the sheet's thickness until it is cut off. Scale and polish come off
 * the plate's own face. What is weighed as cut, less scale, polish, strip and drillings, is the finished
 * plate, as far as the layout keeps areas (0.1 %).
 */
#include "plan_internal.h"

#include <math.h>
#include <string.h>

static tw_status lay_out(const tw_goal *goal, const tw_blank_request *request, tw_blank *blank,
                         tw_error *err)
{
    const tw_layout_options options = {.nodes = request->nodes,
                                       .stock = goal->stock.thickness,
                                       .threads = request->threads,
                                       .progress = request->progress,
                                       .progress_context = request->progress_context};
    tw_status status;

    if (!(goal->stock.thickness > 0)) {
        tw_fail(err, TW_ERR_INPUT, "nothing says which sheet the blank is cut from");
        tw_error_advise(err, NULL, "add \"stock: 2 mm\" to the profile, or --stock \"2 mm\"");
        return TW_ERR_INPUT;
    }
    status = tw_layout_from_map(goal->plate->form, goal->plate->grid, goal->before.node, &options,
                                &blank->layout, err);
    if (status == TW_ERR_UNREACHABLE) {
        tw_error_within(err, "laying out sheet of %.2f mm", goal->stock.thickness);
        tw_error_advise(err, NULL, "take sheet nearer to what is wanted, %.2f mm to %.2f mm",
                        goal->before.thinnest, goal->before.thickest);
    }
    return status;
}

/* ---- lines ----------------------------------------------------------------------------------------- */

static tw_status take_lines(tw_blank *blank, tw_error *err)
{
    const size_t loops = blank->layout->mesh->loop_count;
    size_t total = 0;

    for (size_t k = 0; k < loops; k++)
        total += tw_layout_outline(blank->layout, k, NULL);
    blank->line_count = loops;
    blank->line_first = tw_arena_array(blank->arena, loops + 1, sizeof *blank->line_first);
    blank->line = tw_arena_array(blank->arena, total, sizeof *blank->line);
    if (!blank->line_first || !blank->line)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    blank->line_first[0] = 0;
    for (size_t k = 0; k < loops; k++)
        blank->line_first[k + 1] =
            blank->line_first[k] +
            tw_layout_outline(blank->layout, k, blank->line + blank->line_first[k]);
    return TW_OK;
}

static tw_status move_out(tw_blank *blank, tw_error *err)
{
    const double(*net)[2] = (const double(*)[2])blank->line;
    const double(*turned)[2];
    tw_status status = tw_blank_turn_edges(blank, err);

    turned = (const double(*)[2])blank->turned;
    if (status == TW_OK)
        status = tw_line_outward(turned, blank->turned_count, blank->goal->trim_mm, blank->arena,
                                 &blank->cut, &blank->cut_count, err);
    if (status == TW_OK)
        status = tw_least_rectangle((const double(*)[2])blank->cut, blank->cut_count, blank->box_mm,
                                    &blank->box_turn, blank->box_middle, err);
    if (status != TW_OK)
        return status;
    blank->net_area_mm2 = blank->layout->blank_area;
    blank->turn_area_mm2 = blank->turn_count > 0 ? tw_polygon_area(turned, blank->turned_count) -
                                                       tw_polygon_area(net, blank->line_first[1])
                                                 : 0;
    blank->trim_area_mm2 = blank->goal->trim_mm > 0
                               ? tw_polygon_area((const double(*)[2])blank->cut, blank->cut_count) -
                                     tw_polygon_area(turned, blank->turned_count)
                               : 0;
    return TW_OK;
}

/* ---- grams ----------------------------------------------------------------------------------------- */

/* Rolls lose scale and polish as the face does, on both sides of their wrap. What lies in corners between
 * strips is cut off with the trim. */
static void weigh(tw_blank *blank)
{
    const tw_goal *goal = blank->goal;
    const double density = goal->plate->profile->density;
    const double per_area = goal->stock.thickness * density;
    double strips = 0, wraps = 0; /* areas: in the sheet, of the finished rolls' own thickness */

    for (size_t k = 0; k < blank->turn_count; k++) {
        const tw_blank_turn *turn = &blank->turns[k];
        strips += turn->area_mm2;
        wraps += turn->wrap_mm * turn->length_mm;
        blank->turned_g += turn->sheet_g;
    }
    blank->blank_g = (blank->net_area_mm2 + blank->turn_area_mm2 + blank->trim_area_mm2) * per_area;
    blank->finished_g = goal->weight.mass_g + blank->turned_g;
    blank->scale_loss_g =
        goal->before_g - goal->rough_weight.mass_g + wraps * goal->scale_mm * density;
    blank->polish_loss_g =
        goal->rough_weight.mass_g - goal->weight.mass_g + wraps * goal->polish_mm * density;
    blank->trim_loss_g = (blank->trim_area_mm2 + blank->turn_area_mm2 - strips) * per_area;
    blank->drilled_g = blank->layout->drilled_area * per_area;
    blank->rough_g =
        blank->finished_g + blank->polish_loss_g + blank->trim_loss_g + blank->drilled_g;
}

tw_held tw_hold_against_sheet(const tw_goal *goal, const double *slope, double sheet, double gather,
                              double draw)
{
    const tw_grid *grid = goal->plate->grid;
    const tw_map *map = &goal->before;
    tw_sum face = {0, 0}, gathered = {0, 0}, drawn = {0, 0}, more = {0, 0}, less = {0, 0};

    for (size_t n = 0; n < tw_grid_cells(grid); n++) {
        const double over = map->cell[n] - sheet;
        if (!(grid->area[n] > 0))
            continue;
        tw_sum_add(&face, grid->area[n]);
        if (tw_gathered_over(map->cell[n] / sheet, gather))
            tw_sum_add(&gathered, grid->area[n]);
        if (tw_drawn_under(map->cell[n] / sheet, draw))
            tw_sum_add(&drawn, grid->area[n]);
        tw_sum_add(over > 0 ? &more : &less, fabs(over) * slope[n]);
    }
    return (tw_held){.gathered_share = tw_sum_value(&gathered) / tw_sum_value(&face),
                     .drawn_share = tw_sum_value(&drawn) / tw_sum_value(&face),
                     .gather_g = tw_sum_value(&more),
                     .draw_g = tw_sum_value(&less)};
}

static void hold_against_sheet(tw_blank *blank, double *slope)
{
    const tw_goal *goal = blank->goal;
    const tw_profile *profile = goal->plate->profile;
    const tw_map *map = &goal->before;
    const double stock = goal->stock.thickness;
    tw_held held;

    tw_cell_mass_slopes(goal->plate->grid, map->cell, map->node, profile->face, profile->density,
                        slope);
    held = tw_hold_against_sheet(goal, slope, stock, blank->gather, blank->draw);
    blank->gathered_share = held.gathered_share;
    blank->drawn_share = held.drawn_share;
    blank->gather_g = held.gather_g;
    blank->draw_g = held.draw_g;
    blank->thickest_part = map->thickest / stock;
    blank->thinnest_part = map->thinnest / stock;
    memcpy(blank->thickest_at, map->thickest_at, sizeof blank->thickest_at);
    memcpy(blank->thinnest_at, map->thinnest_at, sizeof blank->thinnest_at);
    blank->least_stock_mm = map->thickest / (1 + blank->gather);
    blank->most_stock_mm = map->thinnest / (1 - blank->draw);
}

static void find_bounds(tw_blank *blank)
{
    const tw_profile *profile = blank->goal->plate->profile;
    const tw_bowl_spec *bowl = &profile->bowl;

    blank->bounds = tw_forming_bounds_of(blank->layout->mesh);
    if (profile->form == TW_FORM_BOWL && bowl->profile == TW_BOWL_ROUND &&
        fabs(bowl->across - bowl->up) <= 1e-9 * bowl->across &&
        profile->outline.kind == TW_OUTLINE_RIM)
        blank->bounds_dome = tw_dome_bounds(bowl->across, bowl->depth);
}

tw_status tw_blank_make(const tw_goal *goal, const tw_blank_request *request, tw_blank *out,
                        tw_error *err)
{
    tw_blank blank = {.goal = goal,
                      .gather = request->gather > 0 ? request->gather : TW_PLAN_GATHER,
                      .draw = request->draw > 0 ? request->draw : TW_PLAN_DRAW};
    double *slope;
    tw_status status = lay_out(goal, request, &blank, err);

    if (status != TW_OK)
        return status;
    blank.arena = tw_arena_new();
    slope = blank.arena
                ? tw_arena_array(blank.arena, tw_grid_cells(goal->plate->grid), sizeof *slope)
                : NULL;
    if (!slope)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    if (status == TW_OK)
        status = take_lines(&blank, err);
    if (status == TW_OK)
        status = move_out(&blank, err);
    if (status != TW_OK) {
        tw_blank_release(&blank);
        return status;
    }
    weigh(&blank);
    hold_against_sheet(&blank, slope);
    find_bounds(&blank);
    *out = blank;
    return TW_OK;
}

void tw_blank_release(tw_blank *blank)
{
    if (!blank)
        return;
    tw_layout_free(blank->layout);
    tw_arena_free(blank->arena);
    memset(blank, 0, sizeof *blank);
}
