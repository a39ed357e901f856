/*
 * bands_blank.c: steps of thinning on the flat blank. Every point of the picture is followed to the plate
 * and takes its band there; lines between bands are carried the other way.
 */
#include "draw_internal.h"

#include <math.h>

typedef struct flat {
    const tw_bands *bands;
    const tw_blank *blank;
    const tw_frame *frame;
    unsigned char *pixels;
    size_t width, stride;
    double unit; /* pixels per design pixel */
} flat;

/* Band at a point of the blank; past the net line too, by as much as the layout carries. */
static int band_of(const flat *work, const double point[2], bool beyond)
{
    const tw_grid *grid = work->bands->steps->goal->plate->grid;
    double tape[2];

    if (!tw_layout_to_tape(work->blank->layout, point, tape))
        return TW_BAND_OFF;
    if (!beyond && tw_grid_sample(grid, grid->level, tape[0], tape[1]) >= 0)
        return TW_BAND_OFF;
    return tw_bands_at(work->bands, tape[0], tape[1]);
}

static int band_on_page(const void *context, double x, double y)
{
    const flat *work = context;
    const tw_frame *frame = work->frame;
    const double point[2] = {frame->across_min + (x - frame->x) / frame->per_mm,
                             frame->up_max - (y - frame->y) / frame->per_mm};

    return band_of(work, point, false);
}

static void paint_rows(size_t first, size_t last, void *context)
{
    const flat *work = context;
    const tw_frame *frame = work->frame;
    const double mm = 1 / (frame->per_mm * work->unit);

    for (size_t y = first; y < last; y++) {
        uint32_t *row = (uint32_t *)(void *)(work->pixels + y * work->stride);
        for (size_t x = 0; x < work->width; x++) {
            const double point[2] = {frame->across_min + ((double)x + 0.5) * mm,
                                     frame->up_max - ((double)y + 0.5) * mm};
            const int band = band_of(work, point, true);
            row[x] = band == TW_BAND_OFF ? 0xFFFFFF
                                         : tw_bands_pixel(work->bands, band, (double)x / work->unit,
                                                          (double)y / work->unit, 1 / work->unit);
        }
    }
}

static void add_closed(cairo_t *cairo, const double (*points)[2], size_t count)
{
    cairo_new_sub_path(cairo);
    for (size_t k = 0; k < count; k++)
        cairo_line_to(cairo, points[k][0], points[k][1]);
    cairo_close_path(cairo);
}

static void net_path(cairo_t *cairo, const tw_blank *blank)
{
    for (size_t l = 0; l < blank->line_count; l++)
        add_closed(cairo, (const double(*)[2])blank->line + blank->line_first[l],
                   blank->line_first[l + 1] - blank->line_first[l]);
}

/* Save, go into blank millimetres and clip to the net blank. */
static void on_blank(tw_canvas *canvas, const flat *work)
{
    cairo_save(canvas->cairo);
    tw_pen_into_tape(canvas->cairo, work->frame);
    net_path(canvas->cairo, work->blank);
    cairo_set_fill_rule(canvas->cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_clip(canvas->cairo);
}

static tw_status paint(tw_canvas *canvas, flat *work, unsigned threads, tw_error *err)
{
    const size_t height = (size_t)ceil(work->frame->height * work->unit);
    cairo_surface_t *field;

    work->width = (size_t)ceil(work->frame->width * work->unit);
    field = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)work->width, (int)height);
    if (cairo_surface_status(field) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(field);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    }
    work->pixels = cairo_image_surface_get_data(field);
    work->stride = (size_t)cairo_image_surface_get_stride(field);
    tw_for_rows(height, 16, threads, paint_rows, work);
    cairo_surface_mark_dirty(field);
    on_blank(canvas, work);
    tw_canvas_paint(canvas, field, work->frame->x, work->frame->y);
    cairo_restore(canvas->cairo);
    cairo_surface_destroy(field);
    return TW_OK;
}

/* A line off the metal is taken up again where it comes back. */
static void carry_line(cairo_t *cairo, const flat *work, const tw_contour *line)
{
    const tw_grid *grid = work->bands->steps->goal->plate->grid;
    bool down = false;

    for (size_t k = 0; k < line->count + (line->closed ? 1 : 0); k++) {
        const double *at = line->points[k % line->count];
        const double tape[2] = {grid->across_min + at[0] * grid->across_step,
                                grid->up_min + at[1] * grid->up_step};
        double point[2];
        const bool on = tw_layout_to_blank(work->blank->layout, tape, point);
        if (on && down)
            cairo_line_to(cairo, point[0], point[1]);
        else if (on)
            cairo_move_to(cairo, point[0], point[1]);
        down = on;
    }
}

tw_status tw_bands_blank_draw(tw_canvas *canvas, const tw_bands *bands, const tw_blank *blank,
                              const tw_frame *frame, unsigned threads, tw_error *err)
{
    cairo_t *cairo = canvas->cairo;
    flat work = {.bands = bands, .blank = blank, .frame = frame, .unit = tw_canvas_samples(canvas)};
    const tw_band_view view = {.bands = bands,
                               .x = frame->x,
                               .y = frame->y,
                               .width = frame->width,
                               .height = frame->height,
                               .at = band_on_page,
                               .context = &work};
    const double dash[2] = {12, 6};
    tw_boxes taken = {0};
    const tw_status status = paint(canvas, &work, threads, err);

    if (status != TW_OK)
        return status;
    on_blank(canvas, &work);
    for (int pass = canvas->hatch ? 0 : 1; pass < 2; pass++) { /* white under it on hatching */
        for (size_t k = 0; k < bands->line_count; k++)
            carry_line(cairo, &work, &bands->lines[k]);
        tw_pen_stroke(canvas, pass ? 2 : 6, pass ? 0.1 : 1, pass ? 0.9 : 1);
    }
    cairo_restore(cairo);

    cairo_save(cairo);
    tw_pen_into_tape(cairo, frame);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    net_path(cairo, blank);
    if (blank->trim_area_mm2 > 0 || blank->turn_count > 0) { /* strips beyond the net line */
        cairo_set_dash(cairo, dash, 2, 0);
        tw_pen_stroke(canvas, 1.8, 0.1, 1);
        cairo_set_dash(cairo, dash, 0, 0);
        add_closed(cairo, (const double(*)[2])blank->cut, blank->cut_count);
    }
    tw_pen_stroke(canvas, 3, 0.05, 1);
    cairo_restore(cairo);
    return tw_bands_number(canvas, &view, &taken, err);
}
