/*
 * panel.c: one plate laid out by tape: colour by value, level lines with labels, strike zones,
 * outline, tape ticks, balance point. A millimetre is as long across as it is up.
 */
#include "draw_internal.h"
#include "hatch.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TABLE = 1024 };
static const double TICK_SIZE = 23, BALANCE = 13;

/* ---- field ---------------------------------------------------------------------------------- */

/* Where a column of pixels lies between two columns of nodes. */
typedef struct between {
    size_t node;
    double share;
} between;

typedef struct painting {
    const tw_panel *panel;
    between *columns; /* width */
    uint32_t table[TABLE];
    unsigned char *pixels;
    size_t width, stride;
    double mm_per_pixel, unit; /* pixels per design pixel */
    bool hatch;
} painting;

static void fill_table(painting *work)
{
    for (int k = 0; k < TABLE; k++) {
        const double position = (double)k / (TABLE - 1);
        unsigned char rgb[3];
        tw_palette_colour(work->panel->scale.palette, position, rgb);
        work->table[k] = (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
    }
}

static between find_between(double from, double to, double step, size_t nodes)
{
    const double at = (to - from) / step;
    const double node = fmin(fmax(floor(at), 0), (double)(nodes - 2));

    return (between){(size_t)node, fmin(fmax(at - node, 0), 1)};
}

/* tw_grid_sample() along a row of pixels, to the same bits: what columns share is found once. */
static void paint_values(const painting *work, double up, size_t y, uint32_t *row)
{
    const tw_scale *scale = &work->panel->scale;
    const tw_grid *grid = work->panel->plate->grid;
    const between v = find_between(grid->up_min, up, grid->up_step, grid->nv);
    const double *low = work->panel->node + v.node * grid->nu, *high = low + grid->nu;
    const double gain = (TABLE - 1) / (scale->high > scale->low ? scale->high - scale->low : 1);

    for (size_t x = 0; x < work->width; x++) {
        const size_t i = work->columns[x].node;
        const double share = work->columns[x].share;
        const double value = (1 - v.share) * ((1 - share) * low[i] + share * low[i + 1]) +
                             v.share * ((1 - share) * high[i] + share * high[i + 1]);
        if (work->hatch) {
            row[x] = tw_hatch_shade(scale, value, ((double)x + 0.5) / work->unit,
                                    ((double)y + 0.5) / work->unit, 1 / work->unit);
        } else {
            const double place = (value - scale->low) * gain;
            row[x] = work->table[place >= TABLE - 1 ? TABLE - 1 : place > 0 ? (int)place : 0];
        }
    }
}

static void paint_bands(const painting *work, double up, size_t y, uint32_t *row)
{
    const tw_panel *panel = work->panel;

    for (size_t x = 0; x < work->width; x++) {
        const double across = panel->frame.across_min + ((double)x + 0.5) * work->mm_per_pixel;
        row[x] = tw_bands_pixel(panel->bands, tw_bands_at(panel->bands, across, up),
                                (double)x / work->unit, (double)y / work->unit, 1 / work->unit);
    }
}

static void paint_rows(size_t first, size_t last, void *context)
{
    const painting *work = context;

    for (size_t y = first; y < last; y++) {
        uint32_t *row = (uint32_t *)(void *)(work->pixels + y * work->stride);
        const double up = work->panel->frame.up_max - ((double)y + 0.5) * work->mm_per_pixel;
        if (work->panel->bands)
            paint_bands(work, up, y, row);
        else
            paint_values(work, up, y, row);
    }
}

static void find_columns(painting *work)
{
    const tw_grid *grid = work->panel->plate->grid;

    for (size_t x = 0; x < work->width; x++) {
        const double across =
            work->panel->frame.across_min + ((double)x + 0.5) * work->mm_per_pixel;
        work->columns[x] = find_between(grid->across_min, across, grid->across_step, grid->nu);
    }
}

static tw_status paint_field(tw_canvas *canvas, const tw_panel *panel, tw_error *err)
{
    cairo_t *cairo = canvas->cairo;
    const tw_frame *frame = &panel->frame;
    const double samples = tw_canvas_samples(canvas);
    const size_t width = (size_t)ceil(frame->width * samples);
    const size_t height = (size_t)ceil(frame->height * samples);
    painting work = {.panel = panel,
                     .width = width,
                     .mm_per_pixel = 1 / (frame->per_mm * samples),
                     .unit = samples,
                     .hatch = canvas->hatch};
    cairo_surface_t *field =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);

    work.columns = malloc(width * sizeof *work.columns);
    if (!work.columns || cairo_surface_status(field) != CAIRO_STATUS_SUCCESS) {
        free(work.columns);
        cairo_surface_destroy(field);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    }
    fill_table(&work);
    find_columns(&work);
    work.pixels = cairo_image_surface_get_data(field);
    work.stride = (size_t)cairo_image_surface_get_stride(field);
    tw_for_rows(height, 16, panel->threads, paint_rows, &work);
    free(work.columns);
    cairo_surface_mark_dirty(field);

    cairo_save(cairo);
    tw_pen_into_tape(cairo, frame);
    tw_pen_outline(cairo, tw_form_outline(panel->plate->form));
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_clip(cairo);
    tw_canvas_paint(canvas, field, frame->x, frame->y);
    cairo_restore(cairo);
    cairo_surface_destroy(field);
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

    tw_pen_on_plate(canvas, panel);
    for (double radius = step; radius < reach; radius += step) {
        cairo_new_sub_path(canvas->cairo);
        cairo_arc(canvas->cairo, 0, 0, radius, 0, 2 * TW_PI);
    }
    for (int bearing = 0; bearing < 360; bearing += 30) {
        cairo_move_to(canvas->cairo, 0, 0);
        cairo_line_to(canvas->cairo, reach * sin(bearing * TW_PI / 180),
                      reach * cos(bearing * TW_PI / 180));
    }
    tw_pen_stroke(canvas, 1, 0.2, 0.22);
    cairo_restore(canvas->cairo);
}

static void draw_outline(tw_canvas *canvas, const tw_panel *panel)
{
    const tw_outline *outline = tw_form_outline(panel->plate->form);

    cairo_save(canvas->cairo);
    tw_pen_into_tape(canvas->cairo, &panel->frame);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    if (canvas->hatch) { /* small holes stand clear of the hatching */
        tw_pen_outline(canvas->cairo, outline);
        tw_pen_stroke(canvas, 9, 1, 1);
    }
    tw_pen_outline(canvas->cairo, outline);
    tw_pen_stroke(canvas, 3, 0.05, 1);
    cairo_restore(canvas->cairo);
    if (outline->edge_count < 2)
        return;
    for (size_t e = 0; e < outline->edge_count; e++) { /* a dot where one edge ends */
        double x, y;
        tw_pen_to_page(&panel->frame, outline->edges[e].points[0][0],
                       outline->edges[e].points[0][1], &x, &y);
        cairo_arc(canvas->cairo, x, y, 5, 0, 2 * TW_PI);
        cairo_set_source_rgb(canvas->cairo, 0.05, 0.05, 0.05);
        cairo_fill(canvas->cairo);
    }
}

/* Where the balance point is marked, and that nothing else may stand there. */
static bool balance_place(const tw_panel *panel, tw_boxes *taken, double place[2])
{
    double tape[2], behind, box[4];

    if (!panel->centroid || !tw_balance_on_face(panel->plate, panel->centroid, tape, &behind))
        return false;
    tw_pen_to_page(&panel->frame, tape[0], tape[1], &place[0], &place[1]);
    tw_box_about(place[0], place[1], 2 * BALANCE, 2 * BALANCE, 3, box);
    tw_box_take(taken, box);
    return true;
}

/* Quartered disc, the usual mark of a centre of gravity. */
static void draw_balance(tw_canvas *canvas, double x, double y)
{
    cairo_t *cairo = canvas->cairo;
    const double radius = BALANCE;

    if (canvas->hatch) {
        cairo_arc(cairo, x, y, radius + 5, 0, 2 * TW_PI);
        cairo_set_source_rgb(cairo, 1, 1, 1);
        cairo_fill(cairo);
    }
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

void tw_ticks_draw(tw_canvas *canvas, const tw_frame *frame, bool numbers_left)
{
    const double across_max = frame->across_min + frame->width / frame->per_mm;
    const double up_min = frame->up_max - frame->height / frame->per_mm;
    const double span = fmax(frame->width, frame->height) / frame->per_mm;
    const double step = tw_round_step(span, 4, canvas->units);
    const double bottom = frame->y + frame->height + 6, left = frame->x - 8;
    tw_lettering letters = {.size = TICK_SIZE, .grey = 0.25, .align = TW_CENTRE, .mark = true};
    char text[32];
    const double spare = 12; /* how far a number may reach into the gap between panels */
    double x, y, width, height;

    for (double k = ceil(frame->across_min / step); k * step <= across_max + 1e-6; k++) {
        tw_pen_to_page(frame, k * step, up_min, &x, &y);
        cairo_move_to(canvas->cairo, x, bottom);
        cairo_rel_line_to(canvas->cairo, 0, 8);
        tw_value_text(k * step, step, false, canvas->units, text, sizeof text);
        tw_pen_stroke(canvas, 2, 0.3, 1);
        tw_text_size(canvas, text, &letters, &width, &height);
        x = fmin(fmax(x, frame->x + width / 2 - spare),
                 frame->x + frame->width - width / 2 + spare);
        tw_text_draw(canvas, text, &letters, x, bottom + 9);
    }
    letters.align = TW_RIGHT;
    for (double k = ceil(up_min / step); k * step <= frame->up_max + 1e-6; k++) {
        tw_pen_to_page(frame, frame->across_min, k * step, &x, &y);
        cairo_move_to(canvas->cairo, left, y);
        cairo_rel_line_to(canvas->cairo, -8, 0);
        tw_pen_stroke(canvas, 2, 0.3, 1);
        if (!numbers_left)
            continue;
        tw_value_text(k * step, step, false, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &width, &height);
        tw_text_draw(canvas, text, &letters, left - 11, y - height / 2);
    }
}

tw_status tw_panel_draw(tw_canvas *canvas, const tw_panel *panel, tw_arena *arena, tw_error *err)
{
    tw_boxes taken = {0};
    tw_contour *lines = NULL;
    size_t count = 0;
    double balance[2];
    bool balanced;
    tw_status status = panel->plain ? TW_OK : paint_field(canvas, panel, err);

    if (status != TW_OK)
        return status;
    if (panel->plate->profile->form == TW_FORM_BOWL && !canvas->hatch) /* too pale for a copier */
        draw_rings(canvas, panel);
    draw_outline(canvas, panel);
    tw_ticks_draw(canvas, &panel->frame, panel->ticks_left);
    balanced = balance_place(panel, &taken, balance);
    if (!panel->plain)
        status = tw_zones_draw(canvas, panel, arena, &taken, err);
    if (status == TW_OK && panel->contours)
        status = tw_contours_draw(canvas, panel, arena, &lines, &count, err);
    if (status != TW_OK)
        return status;
    if (panel->bands)
        status = tw_bands_draw(canvas, panel, &taken, err);
    if (status != TW_OK)
        return status;
    if (balanced)
        draw_balance(canvas, balance[0], balance[1]);
    if (panel->dots) /* on the lines, under no label */
        tw_dots_draw(canvas, panel, &taken);
    tw_contours_label(canvas, panel, lines, count, &taken);
    return TW_OK;
}
