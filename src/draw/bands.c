/*
 * bands.c: steps of thinning as bands of a plate: which band a point is in, its colour, the lines between
 * bands and their numbers. A band is named after the last step that works it; all steps before it work
 * it too.
 *
 * A number stands where its band is widest: the place farthest from every other band, found on a
 * lattice of the page with chamfer distances 3-4 (Borgefors, "Distance transformations in digital
 * images", 1986, from memory).
 */
#include "draw_internal.h"
#include "hatch.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Thicknesses this near are the same [mm]: an even stretch at just a step's line is not worked, and its
 * border is one line. */
static const double SAME = 1e-3;
static const double HATCH = 13; /* between stripes, design pixels */

/* ---- which band, which colour ---------------------------------------------------------------- */

int tw_bands_at(const tw_bands *bands, double across, double up)
{
    const tw_steps *steps = bands->steps;
    const tw_grid *grid = steps->goal->plate->grid;
    const double wanted = tw_grid_sample(grid, steps->wanted, across, up);
    const double start =
        steps->raised ? tw_grid_sample(grid, steps->start, across, up) : steps->start[0];
    int band = TW_BAND_ALONE;

    if (wanted > start + SAME)
        return TW_BAND_GATHER;
    if (wanted > start - SAME)
        return TW_BAND_ALONE;
    for (size_t k = 0; k < steps->count; k++)
        if (wanted < steps->steps[k].from_line_mm - SAME)
            band = (int)k + 1;
    return band;
}

uint32_t tw_bands_pixel(const tw_bands *bands, int band, double x, double y, double element)
{
    const size_t count = bands->steps->count;
    const unsigned char *colour = bands->colour[band > 0 ? band : 0];
    double pale = 0;
    uint32_t pixel = 0;

    if (bands->hatch && band == TW_BAND_GATHER)
        return tw_hatch_gather(x, y, element);
    if (bands->hatch)
        return tw_hatch_band(count - (size_t)(band > 0 ? band : 0), count + 1, x, y, element);
    if (band == TW_BAND_GATHER) { /* white stripes, their sides a pixel soft */
        const double across = fmod(x + y, HATCH);
        pale = fmin(fmax(2.6 - fabs(across - HATCH / 2), 0), 1) * 0.85;
    }
    for (int c = 0; c < 3; c++)
        pixel = pixel << 8 | (uint32_t)(colour[c] + pale * (255 - colour[c]) + 0.5);
    return pixel;
}

/* ---- lines ---------------------------------------------------------------------------------------- */

/* No line between steps where metal is gathered: of sheet as formed a step's line may run on in there. */
static void mark_thinned(const tw_grid *grid, const double *over, double *use)
{
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double *low = over + c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1);
        const double *high = low + grid->nu;
        const double least = fmin(fmin(low[0], low[1]), fmin(high[0], high[1]));
        use[c] = least < SAME ? grid->area[c] : 0;
    }
}

static tw_status trace(const tw_steps *steps, tw_arena *arena, tw_bands *out, tw_error *err)
{
    const tw_grid *grid = steps->goal->plate->grid;
    const size_t nodes = grid->nu * grid->nv;
    double levels[TW_STEPS_MAX + 1];
    const double ends[2] = {-SAME, SAME}; /* of wanted − start: thinned below, gathered above */
    double *over = tw_arena_array(arena, nodes, sizeof *over);
    double *use = tw_arena_array(arena, tw_grid_cells(grid), sizeof *use);
    const tw_field field = {grid->nu, grid->nv, steps->wanted, use};
    const tw_field start = {grid->nu, grid->nv, over, grid->area};
    tw_contour *lines, *border, *all;
    size_t count = 0, border_count = 0;
    tw_status status;

    if (!over || !use)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for bands");
    for (size_t n = 0; n < nodes; n++)
        over[n] = steps->wanted[n] - steps->start[n];
    mark_thinned(grid, over, use);
    for (size_t k = 1; k < steps->count; k++)
        levels[k - 1] = steps->steps[k].from_line_mm - SAME;
    status = tw_contours_trace(&field, levels, steps->count > 0 ? steps->count - 1 : 0, arena,
                               &lines, &count, err);
    if (status == TW_OK)
        status = tw_contours_trace(&start, ends, 2, arena, &border, &border_count, err);
    if (status != TW_OK)
        return status;
    all = tw_arena_array(arena, count + border_count, sizeof *all);
    if (!all)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for bands");
    for (size_t k = 0; k < count + border_count; k++)
        all[k] = k < count ? lines[k] : border[k - count];
    out->lines = all;
    out->line_count = count + border_count;
    return TW_OK;
}

void tw_band_colour(size_t band, size_t count, unsigned char rgb[3])
{
    const double share = (double)band / (double)(count > 0 ? count : 1);

    tw_colour_thickness(0.85 - 0.8 * share, rgb); /* not so deep that a number is lost on it */
}

tw_status tw_bands_make(const tw_steps *steps, tw_arena *arena, tw_bands *out, tw_error *err)
{
    *out = (tw_bands){.steps = steps};
    for (size_t k = 0; k <= steps->count; k++)
        tw_band_colour(k, steps->count, out->colour[k]);
    return trace(steps, arena, out, err);
}

/* ---- numbers ---------------------------------------------------------------------------------- */

static const double STEP = 5; /* of the lattice, design pixels */

typedef struct lattice {
    const tw_band_view *view;
    size_t columns, rows;
    signed char *band;
    int *clear; /* thirds of a lattice step to another band */
} lattice;

static void place_of(const lattice *net, size_t n, double *x, double *y)
{
    const size_t row = n / net->columns;

    *x = net->view->x + STEP * (double)(n - row * net->columns);
    *y = net->view->y + STEP * (double)row;
}

/* Distance to the nearest point of another band: two passes, neighbours behind and ahead. */
static void measure_clearance(lattice *net)
{
    static const int offset[4][2] = {{-1, 0}, {-1, -1}, {0, -1}, {1, -1}};
    static const int cost[4] = {3, 4, 3, 4};
    const size_t count = net->columns * net->rows;

    for (size_t n = 0; n < count; n++)
        net->clear[n] = 1 << 20;
    for (int pass = 0; pass < 2; pass++)
        for (size_t m = 0; m < count; m++) {
            const size_t n = pass ? count - 1 - m : m;
            const long i = (long)(n % net->columns), j = (long)(n / net->columns);
            for (int k = 0; k < 4; k++) {
                const long ni = pass ? i - offset[k][0] : i + offset[k][0];
                const long nj = pass ? j - offset[k][1] : j + offset[k][1];
                const bool in =
                    ni >= 0 && nj >= 0 && ni < (long)net->columns && nj < (long)net->rows;
                const size_t near = in ? (size_t)nj * net->columns + (size_t)ni : 0;
                const int way = !in || net->band[near] != net->band[n] ? cost[k] / 2
                                                                       : net->clear[near] + cost[k];
                if (way < net->clear[n])
                    net->clear[n] = way;
                if (in && net->band[near] != net->band[n] && cost[k] / 2 < net->clear[near])
                    net->clear[near] = cost[k] / 2;
            }
        }
}

static void draw_number(tw_canvas *canvas, const tw_lettering *letters, const char *text, double x,
                        double y, double height, tw_boxes *taken, const double box[4])
{
    tw_text_draw(canvas, text, letters, x, y - height / 2);
    tw_box_take(taken, box);
}

/* The free place of a band with the most room round it, at least `apart` from those before.
 * @return SIZE_MAX for none */
static size_t widest(const lattice *net, int band, double width, double height, const double *room,
                     const double (*before)[2], size_t count, const tw_boxes *taken)
{
    enum { APART = 300, BESIDE = 12 /* from other words */ };
    int most = (int)ceil(3 * *room / STEP) - 1;
    size_t best = SIZE_MAX;

    for (size_t n = 0; n < net->columns * net->rows; n++) {
        double x, y, box[4];
        bool apart = true;
        if (net->band[n] != band || net->clear[n] <= most)
            continue;
        place_of(net, n, &x, &y);
        for (size_t k = 0; k < count; k++)
            apart = apart && hypot(x - before[k][0], y - before[k][1]) > APART;
        tw_box_about(x, y, width, 0.8 * height, BESIDE, box);
        if (!apart || !tw_box_free(taken, box))
            continue;
        most = net->clear[n];
        best = n;
    }
    return best;
}

/* A number may stand where nothing is thinned, or off the metal beside it. */
static bool may_hold(const tw_band_view *view, const double box[4], const tw_boxes *taken)
{
    static const double beyond = 36; /* to the right of the box is room, elsewhere are ticks */

    if (box[0] < view->x || box[1] < view->y || box[2] > view->x + view->width + beyond ||
        box[3] > view->y + view->height || !tw_box_free(taken, box))
        return false;
    for (int k = 0; k < 5; k++) {
        const double x = k == 4 ? (box[0] + box[2]) / 2 : box[k & 1 ? 2 : 0];
        const double y = k == 4 ? (box[1] + box[3]) / 2 : box[k & 2 ? 3 : 1];
        if (view->at(view->context, x, y) > 0)
            return false;
    }
    return true;
}

static int pieces_of(const double from[2], const double to[2], double length)
{
    return 4 + (int)(hypot(to[0] - from[0], to[1] - from[1]) / length);
}

static void on_way(const double from[2], const double to[2], double share, double spare,
                   double box[4])
{
    tw_box_about(from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1]), 0, 0,
                 spare, box);
}

/* The leader's way is taken too, so that no other number comes to stand on it. */
static void take_way(tw_boxes *taken, const double from[2], const double to[2])
{
    const int pieces = pieces_of(from, to, 40);

    for (int k = 0; k <= pieces; k++) {
        double box[4];
        on_way(from, to, (double)k / pieces, k == 0 ? 16 : 6, box);
        tw_box_take(taken, box);
    }
}

static bool way_free(const tw_boxes *taken, const double from[2], const double to[2])
{
    const int pieces = pieces_of(from, to, 8);

    for (int k = 1; k < pieces; k++) {
        double box[4];
        on_way(from, to, (double)k / pieces, 3, box);
        if (!tw_box_free(taken, box))
            return false;
    }
    return true;
}

enum { TURNS = 16, RINGS = 40 };

/* A band's number beside one of its places, `reach` away. @return whether there is room */
static bool number_from(tw_canvas *canvas, const tw_band_view *view, const char *text,
                        const double from[2], double reach, bool crossing, tw_boxes *taken)
{
    const tw_lettering letters = {
        .size = 27, .bold = true, .halo = true, .align = TW_CENTRE, .mark = true};
    double width, height;

    tw_text_size(canvas, text, &letters, &width, &height);
    for (int turn = 0; turn < TURNS; turn++) {
        const double angle = 2 * TW_PI * turn / TURNS;
        const double to[2] = {from[0] + reach * cos(angle), from[1] + reach * sin(angle)};
        double box[4];
        tw_box_about(to[0], to[1], width, 0.8 * height, 2, box);
        if (!may_hold(view, box, taken) || (!crossing && !way_free(taken, from, to)))
            continue;
        tw_leader_draw(canvas, from[0], from[1], fmin(fmax(from[0], box[0]), box[2]),
                       fmin(fmax(from[1], box[1]), box[3]));
        draw_number(canvas, &letters, text, to[0], to[1], height, taken, box);
        take_way(taken, from, to);
        return true;
    }
    return false;
}

/* A band too narrow for its number: it stands beside it with a leader, as near as there is room; crossing
 * another leader or words only where there is no other way. */
static void number_beside(tw_canvas *canvas, const lattice *net, int band, const char *text,
                          tw_boxes *taken)
{
    const size_t count = net->columns * net->rows;
    /* each band begins its search elsewhere, so that leaders spread round a ring */
    const size_t first = count * (size_t)band / (net->view->bands->steps->count + 1);
    int most = 0;

    for (size_t n = 0; n < count; n++)
        if (net->band[n] == band && net->clear[n] > most)
            most = net->clear[n];
    for (int ring = 0; ring < 2 * RINGS; ring++)
        for (size_t m = 0; m < count; m++) {
            const size_t n = (first + m) % count;
            double from[2], dot[4];
            if (net->band[n] != band || 3 * net->clear[n] < 2 * most)
                continue;
            place_of(net, n, &from[0], &from[1]);
            tw_box_about(from[0], from[1], 0, 0, 8, dot);
            if (tw_box_free(taken, dot) &&
                number_from(canvas, net->view, text, from, 34 + 10 * (ring % RINGS), ring >= RINGS,
                            taken))
                return;
        }
}

static void number_band(tw_canvas *canvas, const lattice *net, int band, tw_boxes *taken)
{
    enum { TIMES = 3 };
    static const double sizes[] = {40, 32, 26};
    double before[TIMES][2];
    size_t count = 0;
    char text[16];

    snprintf(text, sizeof text, "%d", band);
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
        const tw_lettering letters = {
            .size = sizes[s], .bold = true, .halo = true, .align = TW_CENTRE, .mark = true};
        double width, height, room, box[4];
        tw_text_size(canvas, text, &letters, &width, &height);
        room = 0.5 * hypot(width, 0.62 * height); /* digits fill so much of a line's height */
        while (count < TIMES) {
            const size_t n =
                widest(net, band, width, height, &room, (const double(*)[2])before, count, taken);
            if (n == SIZE_MAX)
                break;
            place_of(net, n, &before[count][0], &before[count][1]);
            tw_box_about(before[count][0], before[count][1], width, 0.8 * height, 2, box);
            draw_number(canvas, &letters, text, before[count][0], before[count][1], height, taken,
                        box);
            count++;
        }
    }
    if (count == 0)
        number_beside(canvas, net, band, text, taken);
}

tw_status tw_bands_number(tw_canvas *canvas, const tw_band_view *view, tw_boxes *taken,
                          tw_error *err)
{
    lattice net = {.view = view,
                   .columns = (size_t)(view->width / STEP) + 2,
                   .rows = (size_t)(view->height / STEP) + 2};
    const size_t count = net.columns * net.rows;
    tw_status status = TW_OK;

    net.band = calloc(count, sizeof *net.band);
    net.clear = calloc(count, sizeof *net.clear);
    if (net.band && net.clear) {
        for (size_t n = 0; n < count; n++) {
            double x, y;
            place_of(&net, n, &x, &y);
            net.band[n] = (signed char)view->at(view->context, x, y);
        }
        measure_clearance(&net);
        for (size_t k = 0; k < view->bands->steps->count; k++)
            number_band(canvas, &net, (int)k + 1, taken);
    } else {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the numbers of steps");
    }
    free(net.band);
    free(net.clear);
    return status;
}

/* ---- over a panel ------------------------------------------------------------------------------- */

static int band_on_panel(const void *context, double x, double y)
{
    const tw_panel *panel = context;
    const tw_frame *frame = &panel->frame;
    const double across = frame->across_min + (x - frame->x) / frame->per_mm;
    const double up = frame->up_max - (y - frame->y) / frame->per_mm;

    if (tw_grid_sample(panel->plate->grid, panel->plate->grid->level, across, up) >= 0)
        return TW_BAND_OFF;
    return tw_bands_at(panel->bands, across, up);
}

tw_status tw_bands_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken, tw_error *err)
{
    const tw_grid *grid = panel->plate->grid;
    const tw_band_view view = {.bands = panel->bands,
                               .x = panel->frame.x,
                               .y = panel->frame.y,
                               .width = panel->frame.width,
                               .height = panel->frame.height,
                               .at = band_on_panel,
                               .context = panel};

    tw_pen_on_plate(canvas, panel);
    for (int pass = canvas->hatch ? 0 : 1; pass < 2; pass++) { /* white under it on hatching */
        for (size_t k = 0; k < panel->bands->line_count; k++)
            tw_contour_path(canvas->cairo, &panel->bands->lines[k], grid->across_min, grid->up_min,
                            grid);
        tw_pen_stroke(canvas, pass ? 2 : 6, pass ? 0.1 : 1, pass ? 0.9 : 1);
    }
    cairo_restore(canvas->cairo);
    return tw_bands_number(canvas, &view, taken, err);
}
