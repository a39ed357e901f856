/*
 * views.c: views of a plate on one page: title, grams, the pictures in rows, one bar of their common
 * scale, foot.
 */
#include "views.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MARGIN = TW_PAGE_MARGIN, WIDTH = TW_PAGE_WIDTH - 2 * TW_PAGE_MARGIN };
static const double TALLEST = 880; /* of a plate in a page of several */

const char *tw_view_word(tw_view_kind kind)
{
    static const char *const words[TW_VIEW_KINDS] = {
        [TW_VIEW_TAPE] = "tape",   [TW_VIEW_FRONT] = "front", [TW_VIEW_SECTION] = "section",
        [TW_VIEW_SOLID] = "solid", [TW_VIEW_ALONG] = "along", [TW_VIEW_SHARE] = "share"};

    return words[kind];
}

/* ---- laid out by tape ---------------------------------------------------------------------------- */

typedef struct tape_plan {
    double side, foot, per_mm, width, height;
    bool sides;
} tape_plan;

static tape_plan plan_tape(tw_canvas *canvas, const tw_view_work *work, double width)
{
    const tw_plate *plate = work->page->request->plate;
    const tw_outline *outline = tw_form_outline(plate->form);
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    tape_plan p = {.side = tw_panel_side(canvas), .foot = tw_panel_foot(canvas)};
    const char *left, *right;

    p.sides = tw_page_sides(plate->profile->worn, &left, &right);
    p.per_mm = fmin((width - p.side - 14) / across, TALLEST / up);
    p.width = across * p.per_mm;
    p.height = up * p.per_mm;
    return p;
}

static double tape_height(tw_canvas *canvas, const void *context, double width)
{
    const tape_plan p = plan_tape(canvas, context, width);

    return p.height + p.foot + (p.sides ? 34 : 0) + 56;
}

static tw_status draw_tape(tw_canvas *canvas, const void *context, double x, double y, double width,
                           double height, tw_arena *arena, tw_error *err)
{
    static const tw_lettering letters = {.size = 22, .grey = 0.25, .mark = true};
    const tw_view_work *work = context;
    const tw_views *page = work->page;
    const tw_view_request *request = page->request;
    const tape_plan p = plan_tape(canvas, work, width);
    const tw_outline *outline = tw_form_outline(request->plate->form);
    const double at = x + p.side + (width - p.side - 14 - p.width) / 2;
    const tw_panel panel = {
        .plate = request->plate,
        .node = page->node,
        .scale = page->scale,
        .frame = {.x = floor(at * canvas->unit) / canvas->unit,
                  .y = ceil(y * canvas->unit) / canvas->unit,
                  .width = p.width,
                  .height = p.height,
                  .per_mm = p.per_mm,
                  .across_min = outline->across_min,
                  .up_max = outline->up_max},
        .ticks_left = true,
        .contours = true,
        .zones = request->quantity != TW_OF_SPREAD && request->map->kind == TW_MAP_FORGED,
        .centroid = request->quantity == TW_OF_THICKNESS ? request->weight->centroid_mm : NULL,
        .threads = page->options->threads};
    const char *left, *right;
    tw_lettering other = letters;
    double below = panel.frame.y + p.height + p.foot + 4;
    const tw_status status = tw_panel_draw(canvas, &panel, arena, err);

    (void)height;
    if (status != TW_OK)
        return status;
    if (tw_page_sides(request->plate->profile->worn, &left, &right)) {
        double widths[2], tall;
        tw_text_size(canvas, left, &letters, &widths[0], &tall);
        tw_text_size(canvas, right, &letters, &widths[1], &tall);
        other.align = TW_RIGHT;
        if (widths[0] + widths[1] + 20 < p.width) {
            tw_text_draw(canvas, left, &letters, panel.frame.x, below);
            tw_text_draw(canvas, right, &other, panel.frame.x + p.width, below);
        }
        below += 34;
    }
    tw_scale_bar_draw(canvas, p.per_mm, panel.frame.x, below + 4, p.width);
    return TW_OK;
}

void tw_tape_tile(tw_view_work *work, tw_tile *tile)
{
    const tw_view_request *request = work->page->request;
    const tw_outline *outline = tw_form_outline(request->plate->form);
    const tw_units units = work->page->options->units;
    char thin[32], thick[32], mean[32];

    tw_format(tile->heading, sizeof tile->heading, "Laid out by tape");
    if (request->quantity == TW_OF_THICKNESS)
        tw_format(
            tile->words, sizeof tile->words, "%s to %s, %s on average.",
            tw_write_thickness(request->map->thinnest, units, -1, thin, sizeof thin),
            tw_write_thickness(request->map->thickest, units, -1, thick, sizeof thick),
            tw_write_thickness(request->weight->mean_thickness_mm, units, -1, mean, sizeof mean));
    tw_text_bind_units(tile->words, sizeof tile->words);
    tile->aspect =
        (outline->across_max - outline->across_min) / (outline->up_max - outline->up_min);
    tile->least = 420;
    tile->widest = TALLEST * tile->aspect + 110;
    tile->height = tape_height;
    tile->draw = draw_tape;
    tile->context = work;
}

/* ---- the page --------------------------------------------------------------------------------------- */

typedef struct sheet {
    tw_page head;
    tw_views views;
    size_t count;
    tw_view_work *works;
    tw_tile tiles[TW_VIEWS_MAX];
    char grams[200];
    bool bar;
    char bar_title[128];
    const char *low, *high;
} sheet;

static double text_down(tw_canvas *canvas, const char *text, double size, bool bold, double grey,
                        bool ink, double y)
{
    const tw_lettering letters = {.size = size, .bold = bold, .grey = grey, .wrap = WIDTH};
    double width, height;

    if (!text[0])
        return y;
    tw_text_size(canvas, text, &letters, &width, &height);
    if (ink)
        tw_text_draw(canvas, text, &letters, MARGIN, y);
    return y + height;
}

static tw_status lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                         double *height, tw_error *err)
{
    const sheet *work = context;
    tw_place_of_tile places[TW_TILES_MAX];
    double y = text_down(canvas, work->head.title, 42, true, 0, ink, 32) + 4;
    tw_status status = TW_OK;

    y = text_down(canvas, work->head.line, 25, false, 0.25, ink, y) + 8;
    y = text_down(canvas, work->grams, 34, true, 0, ink, y) + 24;
    y += tw_tiles_arrange(canvas, work->tiles, work->count, MARGIN, y, WIDTH, places);
    if (ink)
        status = tw_tiles_draw(canvas, work->tiles, work->count, places, arena, err);
    if (work->bar) {
        if (ink)
            tw_legend_draw(canvas, &work->views.scale, work->bar_title, work->low, work->high,
                           MARGIN, y, WIDTH);
        y += work->low ? 140 : 116;
    }
    *height = text_down(canvas, work->head.foot, 23, false, 0.3, ink, y) + 28;
    return status;
}

static void write_grams(sheet *work)
{
    const tw_view_request *request = work->views.request;
    const tw_units units = work->views.options->units;
    char one[64], other[64], change[64];

    tw_write_mass(request->weight->mass_g, units, -1, one, sizeof one);
    if (!request->beside) {
        tw_format(work->grams, sizeof work->grams, "%s, %s", one, request->name);
        return;
    }
    tw_write_mass(request->beside_weight->mass_g, units, -1, other, sizeof other);
    tw_grams_signed(request->weight->mass_g - request->beside_weight->mass_g, units, change,
                    sizeof change);
    tw_format(work->grams, sizeof work->grams, "%s %s, %s as %s: %s", one, request->name, other,
              request->beside_name, change);
}

/* The quantity at the nodes, and its scale. */
static tw_status make_quantity(sheet *work, tw_arena *arena, tw_error *err)
{
    tw_views *v = &work->views;
    const tw_view_request *request = v->request;
    const tw_grid *grid = request->plate->grid;
    const size_t nodes = grid->nu * grid->nv;
    const tw_units units = v->options->units;
    double most = 0, *difference;

    v->thickness = tw_scale_thickness(
        fmin(request->map->thinnest, request->beside ? request->beside->thinnest : INFINITY),
        fmax(request->map->thickest, request->beside ? request->beside->thickest : 0), units);
    v->scale = v->thickness;
    v->node = request->map->node;
    tw_format(work->bar_title, sizeof work->bar_title, "Thickness, %s, one scale for all",
              units == TW_INCH ? "in" : "mm");
    if (request->quantity == TW_OF_SPREAD) {
        if (!request->plate->survey || !request->plate->survey->sd)
            return tw_fail(err, TW_ERR_INPUT, "plate %s has no readings that could spread",
                           request->plate->profile->plate);
        v->node = request->plate->survey->sd;
        for (size_t n = 0; n < nodes; n++)
            most = grid->level[n] <= 0 ? fmax(most, v->node[n]) : most;
        v->scale = tw_scale_spread(most, units);
        tw_format(work->bar_title, sizeof work->bar_title,
                  "Standard deviation of thickness, %s, one scale for all",
                  units == TW_INCH ? "in" : "mm");
    } else if (request->quantity == TW_OF_DIFFERENCE) {
        if (!request->beside)
            return tw_fail(err, TW_ERR_INPUT, "there is no sheet to take a difference to");
        difference = tw_arena_array(arena, nodes, sizeof *difference);
        if (!difference)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
        for (size_t n = 0; n < nodes; n++) {
            difference[n] = request->map->node[n] - request->beside->node[n];
            most = grid->level[n] <= 0 ? fmax(most, fabs(difference[n])) : most;
        }
        v->node = difference;
        v->scale = (tw_scale){.palette = TW_PALETTE_DIFFERENCE,
                              .step = tw_round_step(fmax(2 * most, 0.1), 6, units)};
        v->scale.high = fmax(ceil(most / v->scale.step - 1e-6), 1) * v->scale.step;
        v->scale.low = -v->scale.high;
        tw_format(work->bar_title, sizeof work->bar_title, "%s less %s, %s", request->name,
                  request->beside_name, units == TW_INCH ? "in" : "mm");
        work->low = "thinner than the sheet";
        work->high = "thicker than the sheet";
    }
    return TW_OK;
}

static tw_status make_tile(sheet *work, size_t k, tw_arena *arena, tw_error *err)
{
    tw_view_work *item = &work->works[k];
    tw_tile *tile = &work->tiles[k];
    tw_status status = TW_OK;

    *item = (tw_view_work){.page = &work->views, .view = &work->views.request->views[k]};
    switch (item->view->kind) {
    case TW_VIEW_TAPE:
        tw_tape_tile(item, tile);
        break;
    case TW_VIEW_FRONT:
    case TW_VIEW_SOLID:
        status = tw_sight_tile(item, arena, tile, err);
        break;
    case TW_VIEW_SECTION:
        status = tw_section_tile(item, arena, tile, err);
        break;
    case TW_VIEW_ALONG:
        status = tw_cut_make(work->views.request, &item->view->line, work->views.options->units,
                             &item->cut, err);
        if (status == TW_OK)
            tw_along_tile(item, tile);
        break;
    case TW_VIEW_SHARE:
        status = tw_share_tile(item, tile, err);
        break;
    case TW_VIEW_KINDS:
        break;
    }
    work->bar = work->bar || item->view->kind != TW_VIEW_ALONG;
    return status;
}

tw_status tw_draw_views(const tw_view_request *request, tw_paper paper,
                        const tw_draw_options *options, tw_output *out, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    sheet *work = arena ? tw_arena_array(arena, 1, sizeof *work) : NULL;
    tw_view_work *works = arena ? tw_arena_array(arena, TW_VIEWS_MAX, sizeof *works) : NULL;
    tw_status status;

    if (!work || !works) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    }
    status =
        tw_page_begin(&work->head, request->plate, options,
                      request->count == 1 ? tw_view_word(request->views[0].kind) : "views", err);
    work->views = (tw_views){.request = request, .options = options};
    work->works = works;
    work->count = request->count;
    if (status == TW_OK)
        status = make_quantity(work, arena, err);
    for (size_t k = 0; status == TW_OK && k < request->count; k++)
        status = make_tile(work, k, arena, err);
    if (status == TW_OK) {
        write_grams(work);
        status = tw_picture_write(options, lay_out, work, paper, out, err);
    }
    for (size_t k = 0; k < request->count; k++)
        tw_cut_release(&works[k].cut);
    tw_arena_free(arena);
    return status;
}
