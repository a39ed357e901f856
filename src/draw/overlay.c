/*
 * overlay.c: what lies over the colours of a panel: labelled level lines and named strike zones.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double LABEL_SIZE = 23;
static const double MARK_SIZE = 44; /* a reading's with its ring, and then some */
/* Levels are traced this much of a step above their name: an even stretch, a hold or a strike zone, at
 * just that thickness then has a line along its border instead of ragged ones across it. */
static const double PLATEAU = 1e-3;

/* ---- labels that keep clear of each other ------------------------------------------------------ */

/* True when a box lies in metal with its four corners and its middle. */
static bool box_on_plate(const tw_panel *panel, const double box[4])
{
    const tw_frame *frame = &panel->frame;

    for (int k = 0; k < 5; k++) {
        const double x = k == 4 ? (box[0] + box[2]) / 2 : box[k & 1 ? 2 : 0];
        const double y = k == 4 ? (box[1] + box[3]) / 2 : box[k & 2 ? 3 : 1];
        const double across = frame->across_min + (x - frame->x) / frame->per_mm;
        const double up = frame->up_max - (y - frame->y) / frame->per_mm;
        if (tw_outline_level(tw_form_outline(panel->plate->form), across, up) >= 0)
            return false;
    }
    return true;
}

/* Width and height of a line [design pixels]. */
static void line_size(const tw_panel *panel, const tw_contour *line, double *wide, double *tall)
{
    const tw_grid *grid = panel->plate->grid;
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};

    for (size_t k = 0; k < line->count; k++)
        for (int d = 0; d < 2; d++) {
            low[d] = fmin(low[d], line->points[k][d]);
            high[d] = fmax(high[d], line->points[k][d]);
        }
    *wide = (high[0] - low[0]) * grid->across_step * panel->frame.per_mm;
    *tall = (high[1] - low[1]) * grid->up_step * panel->frame.per_mm;
}

/* A ring that its label would hide. */
static bool ring_too_small(const tw_panel *panel, const tw_contour *line, double width,
                           double height)
{
    double wide, tall;

    line_size(panel, line, &wide, &tall);
    return line->closed && (fmin(wide, tall) < 1.6 * height || fmax(wide, tall) < 1.6 * width);
}

/* A level so close round a reading that it would be taken for the mark of one that looks wrong. */
static bool like_a_mark(const tw_panel *panel, const tw_contour *line)
{
    double wide, tall;

    line_size(panel, line, &wide, &tall);
    return panel->dots && line->closed && fmax(wide, tall) < MARK_SIZE;
}

static void label_contour(tw_canvas *canvas, const tw_panel *panel, const tw_contour *line,
                          tw_boxes *taken)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_lettering letters = {
        .size = LABEL_SIZE, .halo = true, .align = TW_CENTRE, .mark = true};
    const double unit = canvas->units == TW_INCH ? 25.4 : 1;
    /* Among readings no level is a bare whole number, as their numbers are. */
    const double step =
        panel->dots && panel->scale.step > 0.99 * unit ? 0.1 * unit : panel->scale.step;
    char text[32];
    double width, height;

    tw_value_text(line->level, step, panel->scale.palette == TW_PALETTE_DIFFERENCE, canvas->units,
                  text, sizeof text);
    tw_text_size(canvas, text, &letters, &width, &height);
    if ((double)line->count * grid->across_step * panel->frame.per_mm < 3 * width ||
        ring_too_small(panel, line, width, height))
        return;
    for (int k = 0; k < 16; k++) { /* places along the line, the middle first */
        static const double order[16] = {8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15, 0};
        const size_t n = (size_t)((double)(line->count - 1) * order[k] / 16);
        double x, y, box[4];
        tw_pen_to_page(&panel->frame, grid->across_min + line->points[n][0] * grid->across_step,
                       grid->up_min + line->points[n][1] * grid->up_step, &x, &y);
        tw_box_about(x, y, width, height * 0.8, panel->dots ? 9 : 3, box);
        if (tw_box_free(taken, box) && box_on_plate(panel, box)) {
            tw_text_draw(canvas, text, &letters, x, y - height / 2);
            tw_box_take(taken, box);
            return;
        }
    }
}

/* @return false for a hole with more than a label's room in it: box_on_plate() sees that */
static bool hole_box(const tw_panel *panel, const tw_edge_line *hole, double box[4])
{
    double x, y;

    box[0] = box[1] = INFINITY;
    box[2] = box[3] = -INFINITY;
    for (size_t k = 0; k < hole->count; k++) {
        tw_pen_to_page(&panel->frame, hole->points[k][0], hole->points[k][1], &x, &y);
        box[0] = fmin(box[0], x);
        box[1] = fmin(box[1], y);
        box[2] = fmax(box[2], x);
        box[3] = fmax(box[3], y);
    }
    return box[2] - box[0] < LABEL_SIZE && box[3] - box[1] < LABEL_SIZE;
}

void tw_contours_label(tw_canvas *canvas, const tw_panel *panel, const tw_contour *lines,
                       size_t count, tw_boxes *taken)
{
    const tw_outline *outline = tw_form_outline(panel->plate->form);

    for (size_t h = 0; h < outline->hole_count; h++) { /* no label hides a strap hole */
        double box[4];
        if (hole_box(panel, &outline->holes[h], box))
            tw_box_take(taken, box);
    }
    for (size_t k = 0; k < count; k++)
        label_contour(canvas, panel, &lines[k], taken);
}

/* ---- level lines and zones --------------------------------------------------------------------- */

void tw_contour_path(cairo_t *cairo, const tw_contour *line, double across_min, double up_min,
                     const tw_grid *grid)
{
    for (size_t k = 0; k < line->count; k++) {
        const double across = across_min + line->points[k][0] * grid->across_step;
        const double up = up_min + line->points[k][1] * grid->up_step;
        if (k)
            cairo_line_to(cairo, across, up);
        else
            cairo_move_to(cairo, across, up);
    }
    if (line->closed)
        cairo_close_path(cairo);
}

size_t tw_scale_levels(const tw_scale *scale, double levels[TW_LEVELS_MAX])
{
    size_t count = 0;

    for (double k = ceil(scale->low / scale->step);
         count < TW_LEVELS_MAX && k * scale->step <= scale->high; k++)
        levels[count++] = (k + PLATEAU) * scale->step;
    return count;
}

tw_status tw_contours_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena,
                           tw_contour **lines, size_t *count, tw_error *err)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_field field = {grid->nu, grid->nv, panel->node, grid->area};
    const double dash[2] = {7, 5};
    double levels[TW_LEVELS_MAX];
    const size_t level_count = tw_scale_levels(&panel->scale, levels);
    const tw_status status =
        tw_contours_trace(&field, levels, level_count, arena, lines, count, err);

    if (status != TW_OK)
        return status;
    tw_pen_on_plate(canvas, panel);
    for (size_t k = 0; k < *count; k++) {
        const tw_contour *line = &(*lines)[k];
        const bool zero = fabs(line->level) < 0.1 * panel->scale.step;
        if (like_a_mark(panel, line))
            continue;
        if (canvas->hatch) { /* clear of the hatching on both sides */
            tw_contour_path(canvas->cairo, line, grid->across_min, grid->up_min, grid);
            tw_pen_stroke(canvas, zero ? 7 : 5, 1, 1);
        }
        tw_contour_path(canvas->cairo, line, grid->across_min, grid->up_min, grid);
        /* below zero dashed: in grey both ends of the colours are dark */
        if (panel->scale.palette == TW_PALETTE_DIFFERENCE && line->level < 0 && !zero)
            cairo_set_dash(canvas->cairo, dash, 2, 0);
        if (canvas->hatch)
            tw_pen_stroke(canvas, zero ? 3.4 : 2, 0, 1);
        else
            tw_pen_stroke(canvas, zero ? 3 : 1.4, 0.1, zero ? 0.9 : 0.6);
        cairo_set_dash(canvas->cairo, dash, 0, 0);
    }
    cairo_restore(canvas->cairo);
    return TW_OK;
}

/* Share of a zone per cell, and the middle of the zone's metal. */
static double zone_share(const tw_plate *plate, size_t zone, double *share, double middle[2])
{
    const tw_grid *grid = plate->grid;
    const tw_zones *zones = &plate->zones;
    double area = 0;

    middle[0] = middle[1] = 0;
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double part = (zones->first[c] == zone ? (double)zones->share[c] : 0) +
                            (zones->second[c] == zone ? 1 - (double)zones->share[c] : 0);
        const double here = part * grid->area[c];
        share[c] = part < 1 ? part : 1;
        if (!(here > 0))
            continue;
        area += here;
        middle[0] += here * (tw_grid_across(grid, c % (grid->nu - 1)) + grid->across_step / 2);
        middle[1] += here * (tw_grid_up(grid, c / (grid->nu - 1)) + grid->up_step / 2);
    }
    if (area > 0) {
        middle[0] /= area;
        middle[1] /= area;
    }
    return area;
}

static bool is_strike(const tw_plate *plate, const char *name, double *thickness)
{
    const tw_forged_spec *forged = &plate->profile->forged;

    for (size_t k = 0; k < forged->strike_count; k++)
        if (strcmp(forged->strikes[k].name, name) == 0) {
            *thickness = forged->strikes[k].thickness;
            return true;
        }
    return false;
}

/* True when a page point lies where a zone has the larger share. */
static bool page_in_zone(const tw_panel *panel, const double *share, double x, double y)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_frame *frame = &panel->frame;
    const double across = frame->across_min + (x - frame->x) / frame->per_mm;
    const double up = frame->up_max - (y - frame->y) / frame->per_mm;
    const double i = floor((across - grid->across_min) / grid->across_step);
    const double j = floor((up - grid->up_min) / grid->up_step);

    return i >= 0 && j >= 0 && i < (double)(grid->nu - 1) && j < (double)(grid->nv - 1) &&
           share[(size_t)j * (grid->nu - 1) + (size_t)i] >= 0.5;
}

void tw_leader_draw(tw_canvas *canvas, double from_x, double from_y, double to_x, double to_y)
{
    cairo_t *cairo = canvas->cairo;

    for (int k = 0; k < 2; k++) { /* pale under dark */
        cairo_move_to(cairo, from_x, from_y);
        cairo_line_to(cairo, to_x, to_y);
        tw_pen_stroke(canvas, k ? 1.8 : 4.2, k ? 0 : 1, k || canvas->hatch ? 1 : 0.7);
    }
    if (canvas->hatch) {
        cairo_arc(cairo, from_x, from_y, 7.5, 0, 2 * TW_PI);
        cairo_set_source_rgb(cairo, 1, 1, 1);
        cairo_fill(cairo);
    }
    cairo_arc(cairo, from_x, from_y, 4, 0, 2 * TW_PI);
    cairo_set_source_rgb(cairo, 0, 0, 0);
    cairo_fill(cairo);
}

/* A name stands in its zone; where there is no room, beside it with a leader to the zone's middle. */
static void name_zone(tw_canvas *canvas, const tw_panel *panel, const char *name, double thickness,
                      const double *share, const double middle[2], tw_boxes *taken)
{
    enum { TURNS = 16, RINGS = 8, INSIDE = 9 };
    const tw_lettering letters = {
        .size = 25, .bold = true, .halo = true, .align = TW_CENTRE, .mark = true};
    char size[48], text[128];
    double width, height, x, y, box[4];

    tw_write_thickness(thickness, canvas->units, -1, size, sizeof size);
    snprintf(text, sizeof text, "%s\n%s", name, size);
    tw_canvas_say(canvas, "Strike zone %s, %s thick.", name, size);
    tw_text_size(canvas, text, &letters, &width, &height);
    tw_pen_to_page(&panel->frame, middle[0], middle[1], &x, &y);
    for (int k = 0; k < INSIDE + TURNS * RINGS; k++) {
        static const double near[INSIDE][2] = {{0, 0},    {0, -0.75}, {0, 0.75},
                                               {-0.6, 0}, {0.6, 0},   {0, -1.3},
                                               {0, 1.3},  {-1, 0},    {1, 0}};
        const int turn = (k - INSIDE) % TURNS, ring = (k - INSIDE) / TURNS;
        const bool inside = k < INSIDE;
        const double angle = 2 * TW_PI * turn / TURNS, reach = 1 + 0.4 * ring;
        const double at_x = x + width * (inside ? near[k][0] : reach * cos(angle));
        const double at_y = y + height * (inside ? near[k][1] : 1.6 * reach * sin(angle));
        tw_box_about(at_x, at_y, width, height, 1, box);
        if (!tw_box_free(taken, box) || !box_on_plate(panel, box) ||
            (inside && !page_in_zone(panel, share, at_x, at_y)))
            continue;
        if (!inside)
            tw_leader_draw(canvas, x, y, fmin(fmax(x, box[0]), box[2]),
                           fmin(fmax(y, box[1]), box[3]));
        tw_text_draw(canvas, text, &letters, at_x, at_y - height / 2);
        tw_box_take(taken, box);
        return;
    }
}

tw_status tw_zone_border(const tw_plate *plate, size_t zone, double *share, double middle[2],
                         double *thickness, tw_arena *arena, tw_contour **lines, size_t *count,
                         tw_error *err)
{
    const tw_field field = {plate->grid->nu - 1, plate->grid->nv - 1, share, NULL};
    const double half = 0.5;

    *count = 0;
    if (!is_strike(plate, plate->zones.names[zone], thickness) ||
        zone_share(plate, zone, share, middle) <= 0)
        return TW_OK;
    return tw_contours_trace(&field, &half, 1, arena, lines, count, err);
}

tw_status tw_zones_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_boxes *taken,
                        tw_error *err)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_zones *zones = &panel->plate->zones;
    const double dash[2] = {9, 6};
    double *share = tw_arena_array(arena, tw_grid_cells(grid), sizeof *share);

    if (!share)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the strike zones");
    for (size_t z = 0; z < zones->count; z++) {
        tw_contour *lines;
        size_t count;
        double thickness, middle[2];
        const tw_status status =
            tw_zone_border(panel->plate, z, share, middle, &thickness, arena, &lines, &count, err);
        if (status != TW_OK)
            return status;
        if (!count)
            continue;
        tw_pen_on_plate(canvas, panel);
        for (size_t k = 0; k < count; k++) {
            tw_contour_path(canvas->cairo, &lines[k], grid->across_min + grid->across_step / 2,
                            grid->up_min + grid->up_step / 2, grid);
            cairo_save(canvas->cairo); /* pale under dark: seen on any colour */
            cairo_set_dash(canvas->cairo, dash, 0, 0);
            tw_pen_stroke(canvas, canvas->hatch ? 8 : 4.6, 1, canvas->hatch ? 1 : 0.55);
            cairo_restore(canvas->cairo);
            tw_contour_path(canvas->cairo, &lines[k], grid->across_min + grid->across_step / 2,
                            grid->up_min + grid->up_step / 2, grid);
            cairo_set_dash(canvas->cairo, dash, 2, 0);
            tw_pen_stroke(canvas, 2.6, 0, 0.95);
        }
        cairo_restore(canvas->cairo);
        if (panel->zones)
            name_zone(canvas, panel, zones->names[z], thickness, share, middle, taken);
    }
    return TW_OK;
}
