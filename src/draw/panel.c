/*
 * panel.c: one plate laid out by tape: colour by value, level lines with labels, strike zones,
 * outline, tape ticks, balance point. A millimetre is as long across as it is up.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TABLE = 1024 };
static const double TICK_SIZE = 20, LABEL_SIZE = 20;

/* ---- field ---------------------------------------------------------------------------------- */

typedef struct painting {
    const tw_panel *panel;
    uint32_t table[TABLE];
    unsigned char *pixels;
    size_t width, stride;
    double mm_per_pixel;
} painting;

static void fill_table(painting *work)
{
    const bool thickness = work->panel->scale.palette == TW_PALETTE_THICKNESS;

    for (int k = 0; k < TABLE; k++) {
        const double position = (double)k / (TABLE - 1);
        unsigned char rgb[3];
        if (thickness)
            tw_colour_thickness(position, rgb);
        else
            tw_colour_difference(2 * position - 1, rgb);
        work->table[k] = (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
    }
}

static void paint_rows(size_t first, size_t last, void *context)
{
    const painting *work = context;
    const tw_panel *panel = work->panel;
    const tw_scale *scale = &panel->scale;
    const double gain = (TABLE - 1) / (scale->high > scale->low ? scale->high - scale->low : 1);

    for (size_t y = first; y < last; y++) {
        uint32_t *row = (uint32_t *)(void *)(work->pixels + y * work->stride);
        const double up = panel->frame.up_max - ((double)y + 0.5) * work->mm_per_pixel;
        for (size_t x = 0; x < work->width; x++) {
            const double across = panel->frame.across_min + ((double)x + 0.5) * work->mm_per_pixel;
            const double value = tw_grid_sample(panel->plate->grid, panel->node, across, up);
            const double place = (value - scale->low) * gain;
            row[x] = work->table[place >= TABLE - 1 ? TABLE - 1 : place > 0 ? (int)place : 0];
        }
    }
}

static void outline_path(cairo_t *cairo, const tw_outline *outline)
{
    bool begun = false;

    for (size_t e = 0; e < outline->edge_count; e++)
        for (size_t k = 0; k < outline->edges[e].count; k++) {
            const double *p = outline->edges[e].points[k];
            if (begun)
                cairo_line_to(cairo, p[0], p[1]);
            else
                cairo_move_to(cairo, p[0], p[1]);
            begun = true;
        }
    cairo_close_path(cairo);
    for (size_t h = 0; h < outline->hole_count; h++) {
        for (size_t k = 0; k < outline->holes[h].count; k++) {
            const double *p = outline->holes[h].points[k];
            if (k)
                cairo_line_to(cairo, p[0], p[1]);
            else
                cairo_move_to(cairo, p[0], p[1]);
        }
        cairo_close_path(cairo);
    }
}

/* From here on the pen moves in tape millimetres; widths are still given in design pixels. */
static void into_tape(cairo_t *cairo, const tw_frame *frame)
{
    cairo_translate(cairo, frame->x, frame->y);
    cairo_scale(cairo, frame->per_mm, -frame->per_mm);
    cairo_translate(cairo, -frame->across_min, -frame->up_max);
}

static tw_status paint_field(tw_canvas *canvas, const tw_panel *panel, tw_error *err)
{
    cairo_t *cairo = canvas->cairo;
    const tw_frame *frame = &panel->frame;
    const size_t width = (size_t)ceil(frame->width * canvas->unit);
    const size_t height = (size_t)ceil(frame->height * canvas->unit);
    painting work = {
        .panel = panel, .width = width, .mm_per_pixel = 1 / (frame->per_mm * canvas->unit)};
    cairo_surface_t *field =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);

    if (cairo_surface_status(field) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(field);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    }
    fill_table(&work);
    work.pixels = cairo_image_surface_get_data(field);
    work.stride = (size_t)cairo_image_surface_get_stride(field);
    tw_for_rows(height, 16, panel->threads, paint_rows, &work);
    cairo_surface_mark_dirty(field);

    cairo_save(cairo);
    into_tape(cairo, frame);
    outline_path(cairo, tw_form_outline(panel->plate->form));
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_clip(cairo);
    cairo_identity_matrix(cairo);
    cairo_set_source_surface(cairo, field, round(frame->x * canvas->unit),
                             round(frame->y * canvas->unit));
    cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_NEAREST);
    cairo_paint(cairo);
    cairo_restore(cairo);
    cairo_surface_destroy(field);
    return TW_OK;
}

/* ---- labels that keep clear of each other ------------------------------------------------------ */

enum { BOXES_MAX = 200 };
typedef struct boxes {
    size_t count;
    double at[BOXES_MAX][4]; /* left, top, right, bottom */
} boxes;

static bool box_free(const boxes *taken, const double box[4])
{
    for (size_t k = 0; k < taken->count; k++) {
        const double *other = taken->at[k];
        if (box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3])
            return false;
    }
    return true;
}

static void box_take(boxes *taken, const double box[4])
{
    if (taken->count < BOXES_MAX)
        memcpy(taken->at[taken->count++], box, sizeof taken->at[0]);
}

static void box_about(double x, double y, double width, double height, double spare, double box[4])
{
    box[0] = x - width / 2 - spare;
    box[1] = y - height / 2 - spare;
    box[2] = x + width / 2 + spare;
    box[3] = y + height / 2 + spare;
}

static void to_page(const tw_frame *frame, double across, double up, double *x, double *y)
{
    *x = frame->x + (across - frame->across_min) * frame->per_mm;
    *y = frame->y + (frame->up_max - up) * frame->per_mm;
}

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

static void label_contour(tw_canvas *canvas, const tw_panel *panel, const tw_contour *line,
                          boxes *taken)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_lettering letters = {.size = LABEL_SIZE, .halo = true, .align = TW_CENTRE};
    char text[32];
    double width, height;

    tw_value_text(line->level, panel->scale.step, panel->scale.palette == TW_PALETTE_DIFFERENCE,
                  canvas->units, text, sizeof text);
    tw_text_size(canvas, text, &letters, &width, &height);
    if ((double)line->count * grid->across_step * panel->frame.per_mm < 3 * width)
        return;
    for (int k = 0; k < 16; k++) { /* places along the line, the middle first */
        static const double order[16] = {8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15, 0};
        const size_t n = (size_t)((double)(line->count - 1) * order[k] / 16);
        double x, y, box[4];
        to_page(&panel->frame, grid->across_min + line->points[n][0] * grid->across_step,
                grid->up_min + line->points[n][1] * grid->up_step, &x, &y);
        box_about(x, y, width, height * 0.8, 3, box);
        if (box_free(taken, box) && box_on_plate(panel, box)) {
            tw_text_draw(canvas, text, &letters, x, y - height / 2);
            box_take(taken, box);
            return;
        }
    }
}

/* ---- level lines and zones --------------------------------------------------------------------- */

static void contour_path(cairo_t *cairo, const tw_contour *line, double across_min, double up_min,
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

static void stroke(tw_canvas *canvas, double width, double grey, double alpha)
{
    cairo_t *cairo = canvas->cairo;

    cairo_save(cairo);
    cairo_identity_matrix(cairo);
    cairo_scale(cairo, canvas->unit, canvas->unit);
    cairo_set_line_width(cairo, width);
    cairo_set_source_rgba(cairo, grey, grey, grey, alpha);
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

/* Runs path-building in tape millimetres inside the plate's outline. */
static void begin_on_plate(tw_canvas *canvas, const tw_panel *panel)
{
    cairo_t *cairo = canvas->cairo;

    cairo_save(cairo);
    into_tape(cairo, &panel->frame);
    outline_path(cairo, tw_form_outline(panel->plate->form));
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_clip(cairo);
}

static tw_status draw_contours(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena,
                               boxes *taken, tw_error *err)
{
    enum { LEVELS_MAX = 40 };
    const tw_grid *grid = panel->plate->grid;
    const tw_field field = {grid->nu, grid->nv, panel->node, grid->area};
    double levels[LEVELS_MAX];
    size_t level_count = 0, count;
    tw_contour *lines;
    tw_status status;

    for (double k = ceil(panel->scale.low / panel->scale.step);
         level_count < LEVELS_MAX && k * panel->scale.step <= panel->scale.high; k++)
        levels[level_count++] = k * panel->scale.step;
    status = tw_contours_trace(&field, levels, level_count, arena, &lines, &count, err);
    if (status != TW_OK)
        return status;
    begin_on_plate(canvas, panel);
    for (size_t k = 0; k < count; k++) {
        const bool zero = fabs(lines[k].level) < 1e-9;
        contour_path(canvas->cairo, &lines[k], grid->across_min, grid->up_min, grid);
        stroke(canvas, zero ? 3 : 1.4, 0.1, zero ? 0.9 : 0.6);
    }
    cairo_restore(canvas->cairo);
    for (size_t k = 0; k < count; k++)
        label_contour(canvas, panel, &lines[k], taken);
    return TW_OK;
}

/* Share of a zone per cell, and the middle of the zone's metal. */
static double zone_share(const tw_panel *panel, size_t zone, double *share, double middle[2])
{
    const tw_grid *grid = panel->plate->grid;
    const tw_zones *zones = &panel->plate->zones;
    double area = 0;

    middle[0] = middle[1] = 0;
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double part = (zones->first[c] == zone ? (double)zones->share[c] : 0) +
                            (zones->second[c] == zone ? 1 - (double)zones->share[c] : 0);
        const double here = part * grid->area[c];
        share[c] = fmin(part, 1);
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

static bool is_strike(const tw_panel *panel, const char *name, double *thickness)
{
    const tw_forged_spec *forged = &panel->plate->profile->forged;

    for (size_t k = 0; k < forged->strike_count; k++)
        if (strcmp(forged->strikes[k].name, name) == 0) {
            *thickness = forged->strikes[k].thickness;
            return true;
        }
    return false;
}

static void name_zone(tw_canvas *canvas, const tw_panel *panel, const char *name, double thickness,
                      const double middle[2], boxes *taken)
{
    const tw_lettering letters = {.size = 23, .bold = true, .halo = true, .align = TW_CENTRE};
    char size[48], text[128];
    double width, height, x, y, box[4];

    tw_write_thickness(thickness, canvas->units, -1, size, sizeof size);
    snprintf(text, sizeof text, "%s\n%s", name, size);
    tw_text_size(canvas, text, &letters, &width, &height);
    to_page(&panel->frame, middle[0], middle[1], &x, &y);
    box_about(x, y, width, height, 2, box);
    if (!box_free(taken, box))
        return;
    tw_text_draw(canvas, text, &letters, x, y - height / 2);
    box_take(taken, box);
}

static tw_status draw_zones(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, boxes *taken,
                            tw_error *err)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_zones *zones = &panel->plate->zones;
    const double dash[2] = {9, 6}, half = 0.5;
    const tw_field field = {grid->nu - 1, grid->nv - 1, NULL, NULL};
    double *share = tw_arena_array(arena, tw_grid_cells(grid), sizeof *share);

    if (!share)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the strike zones");
    for (size_t z = 0; z < zones->count; z++) {
        tw_field of_zone = field;
        tw_contour *lines;
        size_t count;
        double thickness, middle[2];
        tw_status status;
        if (!is_strike(panel, zones->names[z], &thickness) ||
            zone_share(panel, z, share, middle) <= 0)
            continue;
        of_zone.value = share;
        status = tw_contours_trace(&of_zone, &half, 1, arena, &lines, &count, err);
        if (status != TW_OK)
            return status;
        begin_on_plate(canvas, panel);
        for (size_t k = 0; k < count; k++) {
            contour_path(canvas->cairo, &lines[k], grid->across_min + grid->across_step / 2,
                         grid->up_min + grid->up_step / 2, grid);
            cairo_set_dash(canvas->cairo, dash, 2, 0);
            stroke(canvas, 2.6, 0, 0.95);
        }
        cairo_restore(canvas->cairo);
        if (panel->zones)
            name_zone(canvas, panel, zones->names[z], thickness, middle, taken);
    }
    return TW_OK;
}

/* ---- rings of a bowl, outline, balance point ------------------------------------------------- */

/* A bowl is measured from its crown: rings of equal tape and bearings every 30 degrees. */
static void draw_rings(tw_canvas *canvas, const tw_panel *panel)
{
    const tw_outline *outline = tw_form_outline(panel->plate->form);
    const double reach = hypot(fmax(-outline->across_min, outline->across_max),
                               fmax(-outline->up_min, outline->up_max));
    const double step = tw_round_step(reach, 4, canvas->units);

    begin_on_plate(canvas, panel);
    for (double radius = step; radius < reach; radius += step) {
        cairo_new_sub_path(canvas->cairo);
        cairo_arc(canvas->cairo, 0, 0, radius, 0, 2 * TW_PI);
    }
    for (int bearing = 0; bearing < 360; bearing += 30) {
        cairo_move_to(canvas->cairo, 0, 0);
        cairo_line_to(canvas->cairo, reach * sin(bearing * TW_PI / 180),
                      reach * cos(bearing * TW_PI / 180));
    }
    stroke(canvas, 1, 0.2, 0.22);
    cairo_restore(canvas->cairo);
}

static void draw_outline(tw_canvas *canvas, const tw_panel *panel)
{
    const tw_outline *outline = tw_form_outline(panel->plate->form);

    cairo_save(canvas->cairo);
    into_tape(canvas->cairo, &panel->frame);
    outline_path(canvas->cairo, outline);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    stroke(canvas, 3, 0.05, 1);
    cairo_restore(canvas->cairo);
    if (outline->edge_count < 2)
        return;
    for (size_t e = 0; e < outline->edge_count; e++) { /* a dot where one edge ends */
        double x, y;
        to_page(&panel->frame, outline->edges[e].points[0][0], outline->edges[e].points[0][1], &x,
                &y);
        cairo_arc(canvas->cairo, x, y, 5, 0, 2 * TW_PI);
        cairo_set_source_rgb(canvas->cairo, 0.05, 0.05, 0.05);
        cairo_fill(canvas->cairo);
    }
}

/* Quartered disc, the usual mark of a centre of gravity. */
static void draw_balance(tw_canvas *canvas, const tw_panel *panel, boxes *taken)
{
    cairo_t *cairo = canvas->cairo;
    const double radius = 13;
    double tape[2], behind, x, y, box[4];

    if (!panel->centroid || !tw_balance_on_face(panel->plate, panel->centroid, tape, &behind))
        return;
    to_page(&panel->frame, tape[0], tape[1], &x, &y);
    cairo_arc(cairo, x, y, radius, 0, 2 * TW_PI);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill(cairo);
    for (int k = 0; k < 2; k++) {
        cairo_move_to(cairo, x, y);
        cairo_arc(cairo, x, y, radius, k * TW_PI, k * TW_PI + TW_PI / 2);
        cairo_close_path(cairo);
    }
    cairo_set_source_rgb(cairo, 0, 0, 0);
    cairo_fill(cairo);
    cairo_arc(cairo, x, y, radius, 0, 2 * TW_PI);
    cairo_set_line_width(cairo, 2.5);
    cairo_stroke(cairo);
    box_about(x, y, 2 * radius, 2 * radius, 3, box);
    box_take(taken, box);
}

/* ---- tape ticks -------------------------------------------------------------------------------- */

double tw_panel_foot(tw_canvas *canvas)
{
    (void)canvas;
    return TICK_SIZE + 18;
}

double tw_panel_side(tw_canvas *canvas)
{
    const tw_lettering letters = {.size = TICK_SIZE};
    double width, height;

    tw_text_size(canvas, "−400", &letters, &width, &height);
    return width + 20;
}

static void draw_ticks(tw_canvas *canvas, const tw_panel *panel)
{
    const tw_frame *frame = &panel->frame;
    const double across_max = frame->across_min + frame->width / frame->per_mm;
    const double up_min = frame->up_max - frame->height / frame->per_mm;
    const double span = fmax(frame->width, frame->height) / frame->per_mm;
    const double step = tw_round_step(span, 4, canvas->units);
    const double bottom = frame->y + frame->height + 6, left = frame->x - 8;
    tw_lettering letters = {.size = TICK_SIZE, .grey = 0.25, .align = TW_CENTRE};
    char text[32];
    double x, y, width, height;

    for (double k = ceil(frame->across_min / step); k * step <= across_max + 1e-6; k++) {
        to_page(frame, k * step, up_min, &x, &y);
        cairo_move_to(canvas->cairo, x, bottom);
        cairo_rel_line_to(canvas->cairo, 0, 8);
        tw_value_text(k * step, step, false, canvas->units, text, sizeof text);
        stroke(canvas, 2, 0.3, 1);
        tw_text_draw(canvas, text, &letters, x, bottom + 9);
    }
    letters.align = TW_RIGHT;
    for (double k = ceil(up_min / step); k * step <= frame->up_max + 1e-6; k++) {
        to_page(frame, frame->across_min, k * step, &x, &y);
        cairo_move_to(canvas->cairo, left, y);
        cairo_rel_line_to(canvas->cairo, -8, 0);
        stroke(canvas, 2, 0.3, 1);
        if (!panel->ticks_left)
            continue;
        tw_value_text(k * step, step, false, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &width, &height);
        tw_text_draw(canvas, text, &letters, left - 11, y - height / 2);
    }
}

tw_status tw_panel_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_error *err)
{
    boxes taken = {0};
    tw_status status = paint_field(canvas, panel, err);

    if (status != TW_OK)
        return status;
    if (panel->plate->profile->form == TW_FORM_BOWL)
        draw_rings(canvas, panel);
    draw_outline(canvas, panel);
    draw_ticks(canvas, panel);
    draw_balance(canvas, panel, &taken);
    status = draw_zones(canvas, panel, arena, &taken, err);
    if (status == TW_OK && panel->contours)
        status = draw_contours(canvas, panel, arena, &taken, err);
    return status;
}
