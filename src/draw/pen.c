/*
 * pen.c: strokes and paths in tape millimetres, and boxes that labels keep clear of.
 */
#include "draw_internal.h"

#include <string.h>

static void add_points(cairo_t *cairo, const tw_edge_line *line)
{
    for (size_t k = 0; k < line->count; k++)
        cairo_line_to(cairo, line->points[k][0], line->points[k][1]);
}

/* Edges follow on from each other as one loop; every hole is a loop of its own. */
void tw_pen_outline(cairo_t *cairo, const tw_outline *outline)
{
    cairo_new_sub_path(cairo);
    for (size_t e = 0; e < outline->edge_count; e++)
        add_points(cairo, &outline->edges[e]);
    cairo_close_path(cairo);
    for (size_t h = 0; h < outline->hole_count; h++) {
        cairo_new_sub_path(cairo);
        add_points(cairo, &outline->holes[h]);
        cairo_close_path(cairo);
    }
}

/* From here on the pen moves in tape millimetres; widths are still given in design pixels. */
void tw_pen_into_tape(cairo_t *cairo, const tw_frame *frame)
{
    cairo_translate(cairo, frame->x, frame->y);
    cairo_scale(cairo, frame->per_mm, -frame->per_mm);
    cairo_translate(cairo, -frame->across_min, -frame->up_max);
}

void tw_pen_to_page(const tw_frame *frame, double across, double up, double *x, double *y)
{
    *x = frame->x + (across - frame->across_min) * frame->per_mm;
    *y = frame->y + (frame->up_max - up) * frame->per_mm;
}

void tw_pen_stroke(tw_canvas *canvas, double width, double grey, double alpha)
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
void tw_pen_on_metal(tw_canvas *canvas, const tw_outline *outline, const tw_frame *frame)
{
    cairo_t *cairo = canvas->cairo;

    cairo_save(cairo);
    tw_pen_into_tape(cairo, frame);
    tw_pen_outline(cairo, outline);
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_clip(cairo);
}

void tw_pen_on_plate(tw_canvas *canvas, const tw_panel *panel)
{
    tw_pen_on_metal(canvas, tw_form_outline(panel->plate->form), &panel->frame);
}

void tw_box_take(tw_boxes *taken, const double box[4])
{
    if (taken->count < TW_BOXES_MAX)
        memcpy(taken->at[taken->count++], box, sizeof taken->at[0]);
}

void tw_box_about(double x, double y, double width, double height, double spare, double box[4])
{
    box[0] = x - width / 2 - spare;
    box[1] = y - height / 2 - spare;
    box[2] = x + width / 2 + spare;
    box[3] = y + height / 2 + spare;
}

bool tw_box_free(const tw_boxes *taken, const double box[4])
{
    for (size_t k = 0; k < taken->count; k++) {
        const double *other = taken->at[k];
        if (box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3])
            return false;
    }
    return true;
}
