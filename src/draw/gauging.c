/*
 * gauging.c: work in progress: where it is over and under what is wanted, and at each point that was read
 * what is to be done there. Marks differ by shape, so that they are told apart without colour: a plain
 * disc to leave, rays to stretch, a box to grind, a dark eight-sided sign to stop.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double DISC = 14, RAYS = 9;
enum { NUMBERED_MAX = 60 };

static const tw_lettering number_letters = {
    .size = 20, .bold = true, .align = TW_CENTRE, .mark = true};

/* ---- marks ------------------------------------------------------------------------------------- */

static void mark_path(cairo_t *cairo, tw_todo todo, double x, double y, double half, double radius)
{
    cairo_new_path(cairo);
    if (todo == TW_TODO_GRIND) {
        cairo_rectangle(cairo, x - half, y - radius, 2 * half, 2 * radius);
        return;
    }
    if (todo == TW_TODO_STOP) {
        const double cut = 0.6 * radius;
        const double right = half + 2, top = radius + 2;
        const double corners[8][2] = {
            {right, -top + cut}, {right, top - cut},   {right - cut, top},   {-right + cut, top},
            {-right, top - cut}, {-right, -top + cut}, {-right + cut, -top}, {right - cut, -top}};
        for (size_t k = 0; k < 8; k++)
            cairo_line_to(cairo, x + corners[k][0], y + corners[k][1]);
        cairo_close_path(cairo);
        return;
    }
    cairo_arc(cairo, x + half - radius, y, radius, -TW_PI / 2, TW_PI / 2);
    cairo_arc(cairo, x - half + radius, y, radius, TW_PI / 2, 3 * TW_PI / 2);
    cairo_close_path(cairo);
}

/* Pale under dark: seen on any colour. */
static void stroke(cairo_t *cairo, double width)
{
    for (int k = 0; k < 2; k++) {
        cairo_set_source_rgba(cairo, k ? 0.05 : 1, k ? 0.05 : 1, k ? 0.05 : 1, k ? 1 : 0.85);
        cairo_set_line_width(cairo, k ? width : width + 3);
        cairo_stroke_preserve(cairo);
    }
}

/* Outward from a disc, as the metal is to go. */
static void draw_rays(cairo_t *cairo, double x, double y, double half)
{
    cairo_new_path(cairo);
    for (int k = 0; k < 8; k++) {
        const double angle = (k + 0.5) * TW_PI / 4, c = cos(angle), s = sin(angle);
        cairo_move_to(cairo, x + (half + 3) * c, y + (DISC + 3) * s);
        cairo_line_to(cairo, x + (half + 3 + RAYS) * c, y + (DISC + 3 + RAYS) * s);
    }
    stroke(cairo, 2.4);
}

static void draw_mark(cairo_t *cairo, tw_todo todo, double x, double y, double half)
{
    const double fill = todo == TW_TODO_STOP ? 0.05 : 1;

    if (todo == TW_TODO_STRETCH)
        draw_rays(cairo, x, y, half);
    mark_path(cairo, todo, x, y, half, DISC);
    stroke(cairo, 2.4);
    cairo_set_source_rgb(cairo, fill, fill, fill);
    cairo_fill_preserve(cairo);
    cairo_set_source_rgb(cairo, 0.05, 0.05, 0.05);
    cairo_set_line_width(cairo, 2);
    cairo_stroke(cairo);
}

static void draw_number(tw_canvas *canvas, const tw_gauged *point, double x, double y,
                        double height)
{
    tw_lettering letters = number_letters;

    if (point->todo == TW_TODO_STOP)
        letters.grey = 1;
    tw_text_draw(canvas, point->name, &letters, x, y - height / 2);
}

/* A place whose mark would hide another has its sign without a number, half as large. */
static void draw_small(cairo_t *cairo, tw_todo todo, double x, double y)
{
    cairo_save(cairo);
    cairo_translate(cairo, x, y);
    cairo_scale(cairo, 0.5, 0.5);
    draw_mark(cairo, todo, 0, 0, DISC);
    cairo_restore(cairo);
}

void tw_gauged_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken)
{
    const tw_gauging *gauging = panel->dots->gauging;

    for (size_t k = 0; k < gauging->count; k++) {
        const tw_gauged *point = &gauging->points[k];
        double x, y, width, height, half, box[4];
        tw_pen_to_page(&panel->frame, point->tape[0], point->tape[1], &x, &y);
        tw_text_size(canvas, point->name, &number_letters, &width, &height);
        half = fmax(DISC, width / 2 + 6);
        tw_box_about(x, y, 2 * half + 4, 2 * DISC + 4, 1, box);
        if (k >= NUMBERED_MAX || !tw_box_free(taken, box)) {
            draw_small(canvas->cairo, point->todo, x, y);
            continue;
        }
        tw_box_take(taken, box);
        draw_mark(canvas->cairo, point->todo, x, y, half);
        draw_number(canvas, point, x, y, height);
    }
}

/* ---- key ----------------------------------------------------------------------------------------- */

static void sign(tw_canvas *canvas, double x, double y, tw_todo todo)
{
    cairo_save(canvas->cairo);
    cairo_translate(canvas->cairo, x, y);
    cairo_scale(canvas->cairo, 0.72, 0.72);
    draw_mark(canvas->cairo, todo, 0, 0, DISC);
    cairo_restore(canvas->cairo);
}

static void sign_leave(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, TW_TODO_LEAVE);
}

static void sign_stretch(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, TW_TODO_STRETCH);
}

static void sign_grind(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, TW_TODO_GRIND);
}

static void sign_stop(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, TW_TODO_STOP);
}

static size_t key_of(const tw_gauging *gauging, tw_key_entry out[4])
{
    static const tw_key_entry all[] = {
        [TW_TODO_LEAVE] = {.sign = sign_leave, .words = "leave"},
        [TW_TODO_STRETCH] = {.sign = sign_stretch, .words = "stretch"},
        [TW_TODO_GRIND] = {.sign = sign_grind, .words = "grind"},
        [TW_TODO_STOP] = {.sign = sign_stop, .words = "too thin: stop"}};
    size_t count = 0;

    for (size_t k = 0; k < 4; k++)
        if (gauging->todo_count[k] > 0)
            out[count++] = all[k];
    return count;
}

/* ---- the page ------------------------------------------------------------------------------------ */

/* The greatest way off, over metal and at the points. */
static double most_off(const tw_gauging *gauging)
{
    const tw_grid *grid = gauging->goal->map.grid;
    double most = gauging->window_mm;

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const size_t n = c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1);
        if (grid->area[c] > 0)
            most = fmax(most, fabs(gauging->over[n]));
    }
    return most;
}

static void over_column(const tw_gauging *gauging, const tw_dots *dots, tw_units units,
                        tw_column *col)
{
    const bool hammer = gauging->stage == TW_STAGE_HAMMER;
    const double most = most_off(gauging);
    char mass[4][48], more[160];

    snprintf(col->heading, sizeof col->heading, "Over and under what is wanted");
    tw_grams_words(gauging->finished_g, 2 * gauging->finished_u_g, units, col->grams,
                   sizeof col->grams);
    snprintf(col->after, sizeof col->after, "expected in the end");
    tw_write_mass(gauging->move_g, units, -1, mass[0], sizeof mass[0]);
    tw_write_mass(gauging->trim_g, units, -1, mass[1], sizeof mass[1]);
    tw_write_mass(gauging->grind_g, units, -1, mass[2], sizeof mass[2]);
    tw_write_mass(gauging->lacking_g, units, -1, mass[3], sizeof mass[3]);
    if (hammer)
        snprintf(col->words, sizeof col->words,
                 "To move by hammer %s, to trim in the end %s, to grind %s.", mass[0], mass[1],
                 mass[2]);
    else
        snprintf(col->words, sizeof col->words, "To trim %s, to grind %s.", mass[1], mass[2]);
    if (gauging->lacking_g >= 0.5) {
        snprintf(more, sizeof more, " Lacking %s where it is under its window.", mass[3]);
        tw_text_append(col->words, sizeof col->words, more);
    }
    tw_text_append(col->words, sizeof col->words,
                   gauging->few ? "\nUnder 6 places are read: taken as one even offset."
                                : "\nBetween the points it is estimated.");
    col->node = gauging->over;
    col->dots = dots;
    col->contours = true;
    col->scale = (tw_scale){.palette = TW_PALETTE_DIFFERENCE,
                            .step = tw_round_step(fmax(2 * most, 0.1), 6, units)};
    col->scale.high = fmax(ceil(most / col->scale.step - 1e-6) * col->scale.step, col->scale.step);
    col->scale.low = -col->scale.high;
    snprintf(col->legend, sizeof col->legend, "Present less wanted, %s",
             units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
    col->low = "too thin";
    col->high = "too thick";
}

static void wanted_column(const tw_gauging *gauging, tw_units units, tw_column *col)
{
    const bool hammer = gauging->stage == TW_STAGE_HAMMER;
    const tw_map *map = hammer ? &gauging->goal->rough : &gauging->goal->map;
    char window[48];

    snprintf(col->heading, sizeof col->heading,
             hammer ? "Wanted when hammering ends" : "Wanted in the end");
    tw_write_mass(gauging->stage_g, units, -1, col->grams, sizeof col->grams);
    snprintf(col->after, sizeof col->after, "within the outline");
    tw_write_thickness(gauging->window_mm, units, -1, window, sizeof window);
    snprintf(
        col->words, sizeof col->words,
        "A point may be left within %s of it, but nowhere under what a strike zone is to have.",
        window);
    col->node = map->node;
    col->contours = true;
    /* their labels have the profile's own thickness */
    col->zones = !gauging->goal->planned && !(hammer && gauging->goal->polish_mm > 0);
    col->scale = tw_scale_thickness(map->thinnest, map->thickest, units);
    snprintf(col->legend, sizeof col->legend, "Thickness, %s", units == TW_INCH ? "in" : "mm");
    col->legend_span = 1;
}

tw_status tw_draw_gauging(const tw_gauging *gauging, tw_paper paper, const tw_draw_options *options,
                          tw_output *out, tw_error *err)
{
    const tw_dots dots = {.gauging = gauging};
    tw_key_entry key[4];
    tw_page work;
    tw_status status = tw_page_begin(&work, gauging->goal->plate, options,
                                     gauging->stage == TW_STAGE_HAMMER
                                         ? "the work by its readings, while it is hammered"
                                         : "the work by its readings, once it is hammered",
                                     err);

    if (status != TW_OK)
        return status;
    work.count = 2;
    work.key = key;
    work.key_count = key_of(gauging, key);
    over_column(gauging, &dots, options->units, &work.columns[0]);
    wanted_column(gauging, options->units, &work.columns[1]);
    return tw_page_render(&work, paper, out, err);
}
