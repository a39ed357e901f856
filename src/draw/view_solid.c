/* view_solid.c: the plate lit, seen from anywhere, and seen flat from in front, as pictures of a page. */
#include "solid.h"
#include "views.h"

#include <math.h>

static const double TALLEST = 880, SIDE = 16;

typedef struct seen {
    tw_sight solid;
    double extents[4];
    const tw_view_work *work;
    bool front;
} seen;

typedef struct frame {
    double side, foot, per_mm, width, height;
} frame;

static frame plan_frame(tw_canvas *canvas, const seen *of, double width)
{
    const double wide = of->extents[2] - of->extents[0], tall = of->extents[3] - of->extents[1];
    frame f = {.side = of->front ? tw_panel_side(canvas) : SIDE,
               .foot = (of->front ? tw_panel_foot(canvas) : SIDE) + 56};

    f.per_mm = fmin((width - f.side - SIDE) / wide, TALLEST / tall);
    f.width = wide * f.per_mm;
    f.height = tall * f.per_mm;
    return f;
}

static double solid_height(tw_canvas *canvas, const void *context, double width)
{
    const frame f = plan_frame(canvas, context, width);

    return f.height + f.foot;
}

/* Tape point in the middle of a strike zone's metal; false when it has none. */
static bool zone_middle(const tw_plate *plate, size_t zone, double middle[2])
{
    const tw_grid *grid = plate->grid;
    const double *from = plate->taper ? tw_taper_from_strike(plate->taper, grid, zone) : NULL;
    double count = 0;

    middle[0] = middle[1] = 0;
    for (size_t n = 0; from && n < grid->nu * grid->nv; n++)
        if (from[n] <= 0 && grid->level[n] < 0) {
            middle[0] += tw_grid_across(grid, n % grid->nu);
            middle[1] += tw_grid_up(grid, n / grid->nu);
            count++;
        }
    middle[0] /= count;
    middle[1] /= count;
    return count > 0;
}

/* A strike zone's name where its middle is seen. */
typedef struct zone_name {
    char text[160];
    double x, y;
} zone_name;

static const tw_lettering zone_letters = {
    .size = 24, .bold = true, .halo = true, .align = TW_CENTRE, .mark = true};

/* Finds places and takes them, so that level lines' numbers keep clear; written when the plate is there.
 * Returns how many. */
static size_t place_zones(tw_canvas *canvas, const seen *of, double x, double y, double per_mm,
                          tw_boxes *taken, zone_name *names)
{
    const tw_plate *plate = of->solid.plate;
    const double right = x + per_mm * (of->extents[2] - of->extents[0]);
    size_t count = 0;

    for (size_t k = 0; k < plate->profile->forged.strike_count; k++) {
        const tw_strike *strike = &plate->profile->forged.strikes[k];
        zone_name *name = &names[count];
        char thickness[32];
        double middle[2], at[2], width, height, box[4];
        if (!zone_middle(plate, k, middle) ||
            !tw_sight_at(&of->solid, of->extents, x, y, per_mm, middle, at))
            continue;
        tw_write_thickness(strike->thickness, canvas->units, -1, thickness, sizeof thickness);
        tw_canvas_say(canvas, "Strike zone %s, %s thick.", strike->name, thickness);
        tw_format(name->text, sizeof name->text, "%s\n%s", strike->name, thickness);
        tw_text_size(canvas, name->text, &zone_letters, &width, &height);
        tw_box_about(at[0], at[1], width, height, 3, box);
        if (!tw_box_free(taken, box) || box[0] < x || box[2] > right)
            continue;
        name->x = at[0];
        name->y = at[1] - height / 2;
        tw_box_take(taken, box);
        count++;
    }
    return count;
}

/* A length of the view's plane. */
static void draw_bar(tw_canvas *canvas, double per_mm, double x, double y, double room)
{
    const tw_lettering letters = {.size = 22, .grey = 0.15, .mark = true};
    const double length = tw_round_step(room / per_mm / 1.8, 1, canvas->units);
    char number[32], text[48];

    for (int half = 0; half < 2; half++) {
        cairo_rectangle(canvas->cairo, x + half * length * per_mm / 2, y, length * per_mm / 2, 10);
        cairo_set_source_rgb(canvas->cairo, half ? 1 : 0.1, half ? 1 : 0.1, half ? 1 : 0.1);
        cairo_fill_preserve(canvas->cairo);
        tw_pen_stroke(canvas, 1.5, 0.1, 1);
    }
    tw_value_text(length, length, false, canvas->units, number, sizeof number);
    tw_format(text, sizeof text, "%s %s in the plane of the view", number,
              canvas->units == TW_INCH ? "in" : "mm");
    tw_text_draw(canvas, text, &letters, x, y + 14);
}

static tw_status draw_solid(tw_canvas *canvas, const void *context, double x, double y,
                            double width, double height, tw_arena *arena, tw_error *err)
{
    const seen *of = context;
    const frame f = plan_frame(canvas, of, width);
    const double at =
        floor((x + f.side + (width - f.side - SIDE - f.width) / 2) * canvas->unit) / canvas->unit;
    const double top = ceil(y * canvas->unit) / canvas->unit;
    tw_sight solid = of->solid;
    tw_boxes *taken = tw_arena_array(arena, 1, sizeof *taken);
    zone_name *names =
        tw_arena_array(arena, of->solid.plate->profile->forged.strike_count + 1, sizeof *names);
    size_t count = 0;
    tw_status status;

    (void)height;
    if (!taken || !names)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    solid.hatch = canvas->hatch;
    if (of->work->page->request->quantity != TW_OF_SPREAD &&
        of->work->page->request->map->kind == TW_MAP_FORGED)
        count = place_zones(canvas, of, at, top, f.per_mm, taken, names);
    status = tw_sight_draw(canvas, &solid, at, top, f.per_mm, arena, taken, err);
    if (status != TW_OK)
        return status;
    for (size_t k = 0; k < count; k++)
        tw_text_draw(canvas, names[k].text, &zone_letters, names[k].x, names[k].y);
    if (of->front)
        tw_sight_ticks(canvas, of->extents, at, top, f.per_mm, true);
    draw_bar(canvas, f.per_mm, of->front ? at : x + SIDE, top + f.height + f.foot - 52, f.width);
    return TW_OK;
}

tw_status tw_sight_tile(tw_view_work *work, tw_arena *arena, tw_tile *tile, tw_error *err)
{
    const tw_views *page = work->page;
    seen *of = tw_arena_array(arena, 1, sizeof *of);
    tw_status status;

    if (!of)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a picture");
    of->work = work;
    of->front = work->view->kind == TW_VIEW_FRONT;
    of->solid = (tw_sight){.plate = page->request->plate,
                           .thickness = page->request->map->node,
                           .value = page->node,
                           .scale = page->scale,
                           .azimuth = of->front ? 0 : work->view->azimuth,
                           .elevation = of->front ? 0 : work->view->elevation,
                           .shaded = !of->front,
                           .contours = true,
                           .hatch = page->options->hatch,
                           .threads = page->options->threads};
    status = tw_sight_extents(&of->solid, of->extents, err);
    if (status != TW_OK)
        return status;
    if (of->front)
        tw_format(tile->heading, sizeof tile->heading, "From in front");
    else
        tw_sight_from_words(&of->solid, tile->heading, sizeof tile->heading);
    tw_sight_words(&of->solid, tile->words, sizeof tile->words);
    tw_text_bind_units(tile->words, sizeof tile->words);
    tile->aspect = (of->extents[2] - of->extents[0]) / (of->extents[3] - of->extents[1]);
    tile->aspect = fmin(fmax(tile->aspect, 0.4), 3);
    tile->least = 420;
    tile->widest = TALLEST * tile->aspect + 110;
    tile->height = solid_height;
    tile->draw = draw_solid;
    tile->context = of;
    return TW_OK;
}
