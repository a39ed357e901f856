/*
 * marking_plate.c: a plate laid out by tape, pale enough to write on: strike zones, tape lines every 10 mm with
 * numbers every 50 mm, of a bowl rings and bearings; outline, holes, names of edges.
 */
#include "marking.h"
#include "tape_lines.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const double CLOSEST = 14; /* lines nearer than this on the page are left out [0.1 mm] */
static const double FINE = 1, COUNTED = 2, MIDDLE = 3, OUTLINE = 5;
static const tw_lettering number_letters = {.size = 24, .grey = 0.25, .mark = true};
static const tw_lettering inner_letters = {
    .size = 21, .grey = 0.4, .halo = true, .align = TW_CENTRE, .mark = true};
static const tw_lettering name_letters = {.size = 30,
                                          .bold = true,
                                          .halo = true,
                                          .clear = true,
                                          .grey = 0.1,
                                          .align = TW_CENTRE,
                                          .mark = true};
static const tw_lettering zone_letters = {
    .size = 26, .halo = true, .clear = true, .grey = 0.1, .align = TW_CENTRE, .mark = true};

/* ---- tape lines ------------------------------------------------------------------------------------------ */

/* Numbers at the left and below, joined to the plate by pale lines. */
static void tape_numbers(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                         const tw_tape_steps *steps)
{
    double width, height;

    cairo_save(canvas->cairo);
    tw_pen_into_tape(canvas->cairo, frame);
    tw_tape_lines(canvas->cairo, outline, steps->counted, 0);
    tw_pen_stroke(canvas, FINE, 0.82, 1);
    cairo_restore(canvas->cairo);
    tw_text_size(canvas, "0", &number_letters, &width, &height);
    tw_tape_numbers(canvas, outline, frame, steps, &number_letters,
                    (tw_tape_places){.below = 8, .left = 10, .rise = height / 2});
}

static void draw_tape(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame)
{
    const tw_tape_steps steps = tw_tape_steps_of(canvas->units);
    cairo_t *cairo = canvas->cairo;

    tape_numbers(canvas, outline, frame, &steps);
    tw_pen_on_metal(canvas, outline, frame);
    if (steps.fine * frame->per_mm >= CLOSEST) {
        tw_tape_lines(cairo, outline, steps.fine, steps.counted);
        tw_pen_stroke(canvas, FINE, 0.78, 1);
    }
    tw_tape_lines(cairo, outline, steps.counted, 0);
    tw_pen_stroke(canvas, COUNTED, 0.55, 1);
    cairo_move_to(cairo, 0, outline->up_min);
    cairo_line_to(cairo, 0, outline->up_max);
    tw_pen_stroke(canvas, MIDDLE, 0.3, 1);
    cairo_restore(cairo);
    tw_canvas_say(canvas, "Tape lines every %s, numbered every %s.",
                  canvas->units == TW_INCH ? "0.5 in" : "10 mm",
                  canvas->units == TW_INCH ? "2 in" : "50 mm");
}

/* ---- rings and bearings ----------------------------------------------------------------------------------- */

/* How far the metal goes from the crown toward a bearing. */
static double reach_toward(const tw_outline *outline, double bearing, double most)
{
    double reach = most;

    while (reach > 0 && tw_outline_level(outline, reach * sin(bearing), reach * cos(bearing)) > 0)
        reach -= 1;
    return reach;
}

static void rings(cairo_t *cairo, double step, double skip, double most)
{
    for (double radius = step; radius < most; radius += step) {
        if (skip > 0 && fabs(remainder(radius, skip)) < 1e-6)
            continue;
        cairo_new_sub_path(cairo);
        cairo_arc(cairo, 0, 0, radius, 0, 2 * TW_PI);
    }
}

static void bearings(cairo_t *cairo, int step, double from, double most)
{
    for (int bearing = 0; bearing < 360; bearing += step) {
        const double x = sin(bearing * TW_PI / 180), y = cos(bearing * TW_PI / 180);
        cairo_move_to(cairo, from * x, from * y);
        cairo_line_to(cairo, most * x, most * y);
    }
}

static void ring_numbers(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                         const tw_tape_steps *steps, double most, tw_boxes *taken)
{
    char words[32];
    double x, y, width, height, box[4];

    for (int side = 0; side < 4; side++) { /* toward up, right, down, left */
        const double bearing = side * TW_PI / 2;
        const double reach = reach_toward(outline, bearing, most);
        for (double radius = steps->counted; radius < reach; radius += steps->counted) {
            tw_tape_number(radius, steps, words, sizeof words);
            tw_pen_to_page(frame, radius * sin(bearing), radius * cos(bearing), &x, &y);
            tw_text_size(canvas, words, &inner_letters, &width, &height);
            tw_box_about(x, y, width, height, 2, box);
            tw_box_take(taken, box);
            tw_text_draw(canvas, words, &inner_letters, x, y - height / 2);
        }
    }
}

static void bearing_numbers(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                            double most)
{
    tw_lettering letters = number_letters;
    double x, y, width, height;
    char words[32];

    letters.align = TW_CENTRE;
    for (int bearing = 0; bearing < 360; bearing += 30) {
        const double angle = bearing * TW_PI / 180, reach = reach_toward(outline, angle, most);
        tw_format(words, sizeof words, bearing ? "%d°" : "%d° up", bearing);
        tw_text_size(canvas, words, &letters, &width, &height);
        tw_pen_to_page(frame, reach * sin(angle), reach * cos(angle), &x, &y);
        x += (14 + 0.5 * width) * sin(angle);
        y -= (12 + 0.5 * height) * cos(angle);
        tw_text_draw(canvas, words, &letters, x, y - height / 2);
    }
}

static void draw_rings(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame,
                       tw_boxes *taken)
{
    const tw_tape_steps steps = tw_tape_steps_of(canvas->units);
    const double most = 1 + hypot(fmax(-outline->across_min, outline->across_max),
                                  fmax(-outline->up_min, outline->up_max));
    cairo_t *cairo = canvas->cairo;

    tw_pen_on_metal(canvas, outline, frame);
    if (steps.fine * frame->per_mm >= CLOSEST) {
        rings(cairo, steps.fine, steps.counted, most);
        tw_pen_stroke(canvas, FINE, 0.78, 1);
    }
    bearings(cairo, 10, steps.counted, most);
    tw_pen_stroke(canvas, FINE, 0.78, 1);
    rings(cairo, steps.counted, 0, most);
    bearings(cairo, 30, 0, most);
    tw_pen_stroke(canvas, COUNTED, 0.55, 1);
    bearings(cairo, 90, 0, most);
    tw_pen_stroke(canvas, MIDDLE, 0.3, 1);
    cairo_restore(cairo);
    ring_numbers(canvas, outline, frame, &steps, most, taken);
    bearing_numbers(canvas, outline, frame, most);
    tw_canvas_say(
        canvas,
        "Rings about the crown every %s, numbered every %s; bearings every 10°, named every 30°.",
        canvas->units == TW_INCH ? "0.5 in" : "10 mm", canvas->units == TW_INCH ? "2 in" : "50 mm");
}

/* ---- strike zones ------------------------------------------------------------------------------------------- */

static void zone_path(cairo_t *cairo, const tw_grid *grid, const tw_contour *lines, size_t count)
{
    for (size_t k = 0; k < count; k++)
        tw_contour_path(cairo, &lines[k], grid->across_min, grid->up_min, grid);
}

/* The middle of the nodes inside a zone; NAN when there are none. */
static void zone_middle(const tw_grid *grid, const double *level, double middle[2])
{
    double count = 0, across = 0, up = 0;

    for (size_t k = 0; k < grid->nu * grid->nv; k++) {
        if (level[k] >= 0 || grid->level[k] >= 0)
            continue;
        across += tw_grid_across(grid, k % grid->nu);
        up += tw_grid_up(grid, k / grid->nu);
        count++;
    }
    middle[0] = count > 0 ? across / count : (double)NAN;
    middle[1] = count > 0 ? up / count : (double)NAN;
}

/* What zones are drawn with. */
typedef struct zoning {
    const tw_form *form;
    const tw_frame *frame;
    tw_grid *grid;
    tw_march *march;
    double *distance, *level; /* nu·nv each */
    double (*middles)[2];     /* tape, to a zone */
} zoning;

static tw_status draw_zone(tw_canvas *canvas, const zoning *work, size_t zone, tw_arena *arena,
                           tw_error *err)
{
    static const double dashes[] = {14, 9};
    const tw_grid *grid = work->grid;
    const tw_shape *shape = &tw_form_profile(work->form)->forged.strikes[zone].shape;
    const tw_field field = {grid->nu, grid->nv, work->level, NULL};
    const double border = 0;
    tw_contour *lines;
    size_t count;
    tw_status status =
        tw_distance_from_shape(work->march, work->form, shape, work->distance, work->level, err);

    if (status == TW_OK)
        status = tw_contours_trace(&field, &border, 1, arena, &lines, &count, err);
    if (status != TW_OK)
        return status;
    zone_middle(grid, work->level, work->middles[zone]);
    tw_pen_on_metal(canvas, tw_form_outline(work->form), work->frame);
    zone_path(canvas->cairo, grid, lines, count);
    cairo_set_source_rgb(canvas->cairo, 0.94, 0.94, 0.94);
    cairo_fill_preserve(canvas->cairo);
    cairo_set_dash(canvas->cairo, dashes, 2, 0);
    tw_pen_stroke(canvas, 2, 0.5, 1);
    cairo_restore(canvas->cairo);
    return TW_OK;
}

static tw_status draw_zones(tw_canvas *canvas, zoning *work, tw_arena *arena, tw_error *err)
{
    enum { CELLS = 128 };
    const size_t zones = tw_form_profile(work->form)->forged.strike_count;
    tw_status status = TW_OK;

    if (zones == 0)
        return TW_OK;
    status = tw_grid_build(work->form, CELLS, 1, &work->grid, err);
    if (status == TW_OK)
        status = tw_march_new(work->grid, 1, &work->march, err);
    if (status != TW_OK)
        return status;
    work->distance = tw_arena_array(arena, work->grid->nu * work->grid->nv, sizeof(double));
    work->level = tw_arena_array(arena, work->grid->nu * work->grid->nv, sizeof(double));
    work->middles = tw_arena_array(arena, zones, sizeof *work->middles);
    if (!work->distance || !work->level || !work->middles)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the strike zones");
    for (size_t k = 0; status == TW_OK && k < zones; k++)
        status = draw_zone(canvas, work, k, arena, err);
    return status;
}

/* Written last, over the tape lines. */
static void name_zones(tw_canvas *canvas, const zoning *work, tw_boxes *taken)
{
    const tw_forged_spec *forged = &tw_form_profile(work->form)->forged;

    for (size_t k = 0; k < forged->strike_count; k++) {
        const char *name = forged->strikes[k].name;
        double x, y, width, height, box[4];
        if (isnan(work->middles[k][0]))
            continue;
        tw_canvas_say(canvas, "Strike zone %s.", name);
        tw_text_size(canvas, name, &zone_letters, &width, &height);
        tw_pen_to_page(work->frame, work->middles[k][0], work->middles[k][1], &x, &y);
        for (int turn = 0; turn < 7; turn++) { /* there, or above or below it */
            const double at = y + (turn % 2 ? 1 : -1) * ((turn + 1) / 2) * 1.3 * height;
            tw_box_about(x, at, width, height, 2, box);
            if (!tw_box_free(taken, box))
                continue;
            tw_box_take(taken, box);
            tw_text_draw(canvas, name, &zone_letters, x, at - height / 2);
            break;
        }
    }
}

/* ---- outline and names ---------------------------------------------------------------------------------------- */

/* Inside the plate beside the middle of the edge, farther in until there is room. */
static void name_edge(tw_canvas *canvas, const tw_outline *outline, const tw_edge_line *edge,
                      const tw_frame *frame, tw_boxes *taken)
{
    double width, height, x, y, box[4];

    tw_canvas_say(canvas, "Edge %s.", edge->name);
    tw_text_size(canvas, edge->name, &name_letters, &width, &height);
    for (int tries = 0; tries < 24; tries++) {
        static const double places[] = {0.45, 0.55, 0.35, 0.65, 0.25, 0.75};
        const double off = 16 + 14 * (tries / 6);
        const size_t n = (size_t)((double)(edge->count - 1) * places[tries % 6]);
        const size_t next = n + 1 < edge->count ? n + 1 : n, last = next - 1;
        /* metal lies on the left of an edge */
        const double along[2] = {edge->points[next][0] - edge->points[last][0],
                                 edge->points[next][1] - edge->points[last][1]};
        const double length = hypot(along[0], along[1]);
        const double in[2] = {-along[1] / length, along[0] / length};
        bool clear = true;
        tw_pen_to_page(frame, edge->points[n][0], edge->points[n][1], &x, &y);
        x += in[0] * (off + width / 2);
        y -= in[1] * (off + height / 2);
        tw_box_about(x, y, width, height, 4, box);
        for (int c = 0; c < 4; c++) {
            const double corner_x = box[c & 1 ? 2 : 0], corner_y = box[c & 2 ? 3 : 1];
            clear = clear && tw_outline_level(
                                 outline, frame->across_min + (corner_x - frame->x) / frame->per_mm,
                                 frame->up_max - (corner_y - frame->y) / frame->per_mm) < 0;
        }
        if (!clear || !tw_box_free(taken, box))
            continue;
        tw_box_take(taken, box);
        tw_text_draw(canvas, edge->name, &name_letters, x, y - height / 2);
        return;
    }
}

static void take_hole(const tw_edge_line *hole, const tw_frame *frame, tw_boxes *taken)
{
    double box[4] = {INFINITY, INFINITY, -INFINITY, -INFINITY};

    for (size_t k = 0; k < hole->count; k++) {
        double x, y;
        tw_pen_to_page(frame, hole->points[k][0], hole->points[k][1], &x, &y);
        box[0] = fmin(box[0], x - 8);
        box[1] = fmin(box[1], y - 8);
        box[2] = fmax(box[2], x + 8);
        box[3] = fmax(box[3], y + 8);
    }
    tw_box_take(taken, box);
}

tw_status tw_marking_plate_draw(tw_canvas *canvas, const tw_form *form, const tw_frame *frame,
                                tw_arena *arena, tw_error *err)
{
    const tw_outline *outline = tw_form_outline(form);
    const tw_profile *profile = tw_form_profile(form);
    tw_boxes *taken = tw_arena_array(arena, 1, sizeof *taken);
    zoning zones = {.form = form, .frame = frame};
    tw_status status;

    if (!taken)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing");
    taken->count = 0;
    status = draw_zones(canvas, &zones, arena, err);
    tw_march_free(zones.march);
    tw_grid_free(zones.grid);
    if (status != TW_OK)
        return status;
    if (profile->form == TW_FORM_BOWL)
        draw_rings(canvas, outline, frame, taken);
    else
        draw_tape(canvas, outline, frame);
    cairo_save(canvas->cairo);
    tw_pen_into_tape(canvas->cairo, frame);
    tw_pen_outline(canvas->cairo, outline);
    cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
    tw_pen_stroke(canvas, OUTLINE, 0, 1);
    cairo_restore(canvas->cairo);
    for (size_t h = 0; h < outline->hole_count; h++)
        take_hole(&outline->holes[h], frame, taken);
    name_zones(canvas, &zones, taken);
    for (size_t e = 0; e < outline->edge_count; e++)
        name_edge(canvas, outline, &outline->edges[e], frame, taken);
    return TW_OK;
}
