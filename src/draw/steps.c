/*
 * steps.c: the picture of steps of thinning: the plate laid out by tape and the blank beside it at the same
 * scale, bands numbered in place, and what each step does below them.
 */
#include "blank_sheet.h"
#include "draw_internal.h"
#include "hatch.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PAGE = TW_PAGE_WIDTH, MARGIN = TW_PAGE_MARGIN };
static const double GAP = 60, TALLEST = 1000;

static const tw_lettering title_letters = {.size = 42, .bold = true, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering line_letters = {.size = 25, .grey = 0.25, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering heading_letters = {.size = 33, .bold = true};
static const tw_lettering row_letters = {.size = 27};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.3, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering side_letters = {.size = 23, .grey = 0.25};

typedef struct picture {
    const tw_steps *steps;
    const tw_blank *blank; /* or NULL */
    const tw_draw_options *options;
    const tw_bands *bands;
    tw_page page; /* title, line and foot */
    char start[160];
} picture;

/* ---- words ------------------------------------------------------------------------------------- */

/* "2.03 → 1.80 mm, 7.1 dm², 98 g" */
static void step_words(const tw_step *step, tw_units units, char *out, size_t size)
{
    char from[48], to[48], area[48], grams[48], *space;

    tw_write_thickness(step->from_mm, units, -1, from, sizeof from);
    tw_write_thickness(step->to_mm, units, -1, to, sizeof to);
    tw_write_work_area(step->area_mm2, units, -1, area, sizeof area);
    tw_write_mass(step->move_g, units, -1, grams, sizeof grams);
    space = strchr(from, ' '); /* the second says the unit for both */
    if (space)
        *space = '\0';
    snprintf(out, size, "%s → %s, %s, %s", from, to, area, grams);
}

static void gather_words(const tw_steps *steps, tw_units units, char *out, size_t size)
{
    char most[48], area[48], grams[48];

    tw_write_thickness(steps->gather_most_mm, units, -1, most, sizeof most);
    tw_write_work_area(steps->gather_area_mm2, units, -1, area, sizeof area);
    tw_write_mass(steps->gather_g, units, -1, grams, sizeof grams);
    snprintf(out, size, "gather: up to %s thicker, %s, %s", most, area, grams);
}

static void start_words(const tw_steps *steps, tw_units units, char *out, size_t size)
{
    char sheet[64] = "the sheet";

    if (steps->goal->stock.thickness > 0)
        tw_stock_write(&steps->goal->stock, units, sheet, sizeof sheet);
    snprintf(out, size, "Plate, from %s%s", sheet, steps->raised ? " raised" : " flat");
}

/* ---- key ----------------------------------------------------------------------------------------- */

typedef struct swatch {
    const tw_bands *bands;
    int band;
} swatch;

static uint32_t swatch_shade(const void *context, double x, double y, double element)
{
    const swatch *s = context;

    return tw_bands_pixel(s->bands, s->band, x, y, element);
}

static void draw_swatch(tw_canvas *canvas, const tw_bands *bands, int band, double x, double y)
{
    enum { WIDE = 66, TALL = 36 };
    const tw_lettering letters = {.size = 27, .bold = true, .halo = true, .align = TW_CENTRE};
    const swatch s = {bands, band};
    cairo_t *cairo = canvas->cairo;
    char text[16];

    tw_hatch_box(canvas, swatch_shade, &s, x, y, WIDE, TALL);
    cairo_rectangle(cairo, x, y, WIDE, TALL);
    cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
    cairo_set_line_width(cairo, 1.5);
    cairo_stroke(cairo);
    if (band <= 0)
        return;
    snprintf(text, sizeof text, "%d", band);
    tw_text_draw(canvas, text, &letters, x + WIDE / 2.0, y + 1);
}

/* Rows of the key in two columns, down then across; returns their height. */
static double draw_key(tw_canvas *canvas, const picture *work, bool ink, double y)
{
    const tw_steps *steps = work->steps;
    const bool gathers = steps->gather_most_mm > 0;
    const bool alone = steps->count == 0 || steps->draw_area_mm2 + steps->gather_area_mm2 <
                                                0.999 * steps->goal->weight.face_area_mm2;
    const size_t count = steps->count + (gathers ? 1 : 0) + (alone ? 1 : 0);
    const size_t rows = (count + 1) / 2;
    const double row = 46;

    for (size_t k = 0; ink && k < count; k++) {
        const double x = MARGIN + (double)(k / rows) * (PAGE - 2 * MARGIN) / 2;
        const double at = y + (double)(k % rows) * row;
        const int band = k < steps->count               ? (int)k + 1
                         : k == steps->count && gathers ? TW_BAND_GATHER
                                                        : TW_BAND_ALONE;
        char words[200] = "left as thick as it begins";
        if (band > 0)
            step_words(&steps->steps[k], canvas->units, words, sizeof words);
        else if (band == TW_BAND_GATHER)
            gather_words(steps, canvas->units, words, sizeof words);
        draw_swatch(canvas, work->bands, band, x, at);
        tw_text_draw(canvas, words, &row_letters, x + 82, at + 1);
    }
    return (double)rows * row;
}

/* ---- the page -------------------------------------------------------------------------------------- */

/* Frames of plate and blank; without a blank that one has no width. */
static void place_frames(tw_canvas *canvas, const picture *work, double y, tw_frame *plate,
                         tw_frame *flat)
{
    const tw_outline *outline = tw_form_outline(work->steps->goal->plate->form);
    const double side = tw_panel_side(canvas);
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    const double room = PAGE - 2 * MARGIN - side - (work->blank ? GAP : 0);
    double low[2] = {0, 0}, high[2] = {0, 0}, per_mm, spare;

    if (work->blank)
        tw_blank_extents(work->blank, low, high);
    per_mm = fmin(room / (across + high[0] - low[0]), TALLEST / fmax(up, high[1] - low[1]));
    spare = fmax(0, room - (across + high[0] - low[0]) * per_mm) / (work->blank ? 3 : 2);
    y = ceil(y * canvas->unit) / canvas->unit;
    *plate = (tw_frame){.x = floor((MARGIN + side + spare) * canvas->unit) / canvas->unit,
                        .y = y,
                        .width = across * per_mm,
                        .height = up * per_mm,
                        .per_mm = per_mm,
                        .across_min = outline->across_min,
                        .up_max = outline->up_max};
    *flat = (tw_frame){.x = floor((plate->x + plate->width + GAP + spare) * canvas->unit) /
                            canvas->unit,
                       .y = y,
                       .width = (high[0] - low[0]) * per_mm,
                       .height = (high[1] - low[1]) * per_mm,
                       .per_mm = per_mm,
                       .across_min = low[0],
                       .up_max = high[1]};
}

static tw_status draw_panels(tw_canvas *canvas, const picture *work, const tw_frame *plate,
                             const tw_frame *flat, tw_arena *arena, tw_error *err)
{
    const tw_panel panel = {.plate = work->steps->goal->plate,
                            .node = work->steps->wanted,
                            .frame = *plate,
                            .ticks_left = true,
                            .zones = true,
                            .threads = work->options->threads,
                            .bands = work->bands};
    tw_status status = tw_panel_draw(canvas, &panel, arena, err);

    if (status == TW_OK && work->blank)
        status = tw_bands_blank_draw(canvas, work->bands, work->blank, flat, work->options->threads,
                                     err);
    return status;
}

static void draw_sides(tw_canvas *canvas, const picture *work, const tw_frame *plate, double y)
{
    tw_lettering letters = side_letters;
    const char *left, *right;

    if (!tw_page_sides(work->steps->goal->plate->profile->worn, &left, &right))
        return;
    tw_text_draw(canvas, left, &letters, plate->x, y);
    letters.align = TW_RIGHT;
    tw_text_draw(canvas, right, &letters, plate->x + plate->width, y);
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const picture *work = context;
    const char *left, *right;
    const bool sides = tw_page_sides(work->steps->goal->plate->profile->worn, &left, &right);
    tw_frame plate, flat;
    double y = 32;
    tw_status status = TW_OK;

    y += tw_text_place(canvas, work->page.title, &title_letters, MARGIN, y, ink) + 4;
    y += tw_text_place(canvas, work->page.line, &line_letters, MARGIN, y, ink) + 22;
    place_frames(canvas, work, y + 54, &plate, &flat);
    if (ink) {
        tw_text_draw(canvas, work->start, &heading_letters, plate.x, y);
        if (work->blank)
            tw_text_draw(canvas,
                         work->blank->trim_area_mm2 > 0 || work->blank->turn_count > 0
                             ? "Blank; net line dashed"
                             : "Blank",
                         &heading_letters, flat.x, y);
        status = draw_panels(canvas, work, &plate, &flat, arena, err);
    }
    if (status != TW_OK)
        return status;
    y = fmax(plate.y + plate.height + tw_panel_foot(canvas), flat.y + flat.height + 16);
    if (sides && ink)
        draw_sides(canvas, work, &plate, plate.y + plate.height + tw_panel_foot(canvas));
    if (sides)
        y = fmax(y, plate.y + plate.height + tw_panel_foot(canvas) + 36);
    y += 18;
    y += draw_key(canvas, work, ink, y) + 22;
    if (ink)
        tw_scale_bar_draw(canvas, plate.per_mm, MARGIN, y, 400);
    y += 62;
    y += tw_text_place(canvas, work->page.foot, &foot_letters, MARGIN, y, ink);
    *height = y + 28;
    return TW_OK;
}

static tw_status begin(picture *work, const tw_draw_options *options, tw_error *err)
{
    static const char note[] =
        "What a step moves is what stands over the wanted thickness on the finished face: a hammer "
        "takes none off, it spreads. An estimate of least work. Thinning hardens metal until it "
        "cracks: anneal.\n";
    const tw_steps *steps = work->steps;
    char foot[sizeof work->page.foot];
    tw_status status =
        tw_page_begin(&work->page, steps->goal->plate, options, "steps of thinning", err);

    if (status != TW_OK)
        return status;
    memcpy(foot, work->page.foot, sizeof foot);
    snprintf(work->page.foot, sizeof work->page.foot, "%s %s",
             steps->raised ? "A band takes the steps from the thickness it was raised to down to "
                             "the number on it."
                           : "A band takes every step up to the number on it, 1 first.",
             note);
    tw_text_append(work->page.foot, sizeof work->page.foot, foot);
    start_words(steps, options->units, work->start, sizeof work->start);
    return TW_OK;
}

tw_status tw_draw_steps(const tw_steps *steps, const tw_blank *blank, tw_paper paper,
                        const tw_draw_options *options, tw_output *out, tw_error *err)
{
    picture work = {.steps = steps, .blank = blank, .options = options};
    tw_arena *arena = NULL;
    tw_bands bands;
    tw_status status = begin(&work, options, err);

    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    status = arena ? tw_bands_make(steps, arena, &bands, err)
                   : tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    bands.hatch = options->hatch;
    work.bands = &bands;
    if (status == TW_OK)
        status = tw_picture_write(options, lay_out, &work, paper, out, err);
    tw_arena_free(arena);
    return status;
}
