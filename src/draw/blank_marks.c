/* blank_marks.c: what is drawn on a blank at 1:1: lines to cut along, the plate's edge, holes, names of
 * edges, the plate's tape, borders of steps, points to gauge. */
#include "blank_sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Widths of lines, tenths of a millimetre. */
static const double PLATEAU =
    1e-6; /* a level that is kept over an area is bordered, not filled [mm] */
static const double CUT = 5, NET = 2.5, TAPE = 1.5, MIDDLE = 2.5, STEP = 3;

static void to_page(const tw_blank_sheet *sheet, const double blank[2], double page[2])
{
    page[0] = sheet->origin[0] + 10 * blank[0];
    page[1] = sheet->origin[1] - 10 * blank[1];
}

static bool tape_to_page(const tw_blank_sheet *sheet, double across, double up, double page[2])
{
    const double tape[2] = {across, up};
    double blank[2];

    if (!tw_layout_to_blank(sheet->blank->layout, tape, blank))
        return false;
    to_page(sheet, blank, page);
    return true;
}

/* ---- cut and net lines --------------------------------------------------------------------------- */

static void closed_path(cairo_t *cairo, const tw_blank_sheet *sheet, const double (*points)[2],
                        size_t count)
{
    cairo_new_sub_path(cairo);
    for (size_t k = 0; k < count; k++) {
        double page[2];
        to_page(sheet, points[k], page);
        cairo_line_to(cairo, page[0], page[1]);
    }
    if (count > 0)
        cairo_close_path(cairo);
}

/* What turned edges take: grey between net and turned line. */
static void draw_turned(tw_canvas *canvas, const tw_blank_sheet *sheet)
{
    const tw_blank *blank = sheet->blank;
    cairo_t *cairo = canvas->cairo;

    closed_path(cairo, sheet, (const double(*)[2])blank->turned, blank->turned_count);
    closed_path(cairo, sheet, (const double(*)[2])blank->line, blank->line_first[1]);
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    cairo_set_source_rgb(cairo, 0.9, 0.9, 0.9);
    cairo_fill(cairo);
    if (blank->goal->trim_mm > 0)
        closed_path(cairo, sheet, (const double(*)[2])blank->turned, blank->turned_count);
    tw_pen_stroke(canvas, TAPE, 0.15, 1);
}

void tw_blank_lines_draw(tw_canvas *canvas, const tw_blank_sheet *sheet)
{
    static const double dashes[] = {30, 15};
    const tw_blank *blank = sheet->blank;
    const size_t *first = blank->line_first;

    if (blank->turn_count > 0)
        draw_turned(canvas, sheet);
    if (blank->goal->trim_mm > 0 || blank->turn_count > 0) {
        cairo_set_dash(canvas->cairo, dashes, 2, 0);
        closed_path(canvas->cairo, sheet, (const double(*)[2])blank->line, first[1]);
        tw_pen_stroke(canvas, NET, 0.15, 1);
        cairo_set_dash(canvas->cairo, NULL, 0, 0);
    }
    for (size_t k = 1; k < blank->line_count; k++)
        closed_path(canvas->cairo, sheet, (const double(*)[2])(blank->line + first[k]),
                    first[k + 1] - first[k]);
    tw_pen_stroke(canvas, NET, 0, 1);
    closed_path(canvas->cairo, sheet, (const double(*)[2])blank->cut, blank->cut_count);
    tw_pen_stroke(canvas, CUT, 0, 1);
}

/* Small holes, drilled when the plate is finished: a cross and its diameter. */
static void draw_drilled(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_boxes *taken)
{
    const tw_mesh *mesh = sheet->blank->layout->mesh;
    const tw_lettering letters = {.size = 26, .halo = true, .clear = true};
    double middle[2];

    to_page(sheet, sheet->blank->box_middle, middle);
    for (size_t k = 0; k < mesh->holes_filled; k++) {
        const double *hole = mesh->filled[k];
        double page[2], box[4], width, height;
        char size[40], words[64];
        if (!tape_to_page(sheet, hole[0], hole[1], page))
            continue;
        for (int c = 0; c < 2; c++) {
            const double dx = c == 0 ? 30 : 0, dy = c == 0 ? 0 : 30;
            cairo_move_to(canvas->cairo, page[0] - dx, page[1] - dy);
            cairo_line_to(canvas->cairo, page[0] + dx, page[1] + dy);
        }
        tw_pen_stroke(canvas, 2, 0, 1);
        tw_write_length(2 * sqrt(hole[2] / TW_PI), canvas->units, -1, size, sizeof size);
        tw_format(words, sizeof words, "⌀ %s, drill last", size);
        tw_text_size(canvas, words, &letters, &width, &height);
        if (page[0] > middle[0]) /* inward, off the cut line */
            page[0] -= 48 + width;
        tw_box_about(page[0] + 24 + width / 2, page[1] + 8 + height / 2, width, height, 4, box);
        tw_box_take(taken, box); /* said whether there is room or not */
        tw_text_draw(canvas, words, &letters, page[0] + 24, page[1] + 8);
    }
}

/* ---- the plate's tape ------------------------------------------------------------------------------ */

/* A line of one tape coordinate; with `taken` only its number, where it first meets metal with room. */
static void tape_line(tw_canvas *canvas, const tw_blank_sheet *sheet, bool upright, double value,
                      tw_boxes *taken)
{
    enum { PIECES = 300 };
    const tw_outline *outline = tw_form_outline(sheet->blank->goal->plate->form);
    const double from = upright ? outline->up_min : outline->across_min;
    const double to = upright ? outline->up_max : outline->across_max;
    const tw_lettering letters = {
        .size = 24, .grey = 0.35, .halo = true, .align = TW_CENTRE, .mark = true};
    bool on = false, named = false;
    char words[40];

    if (canvas->units == TW_INCH)
        tw_format(words, sizeof words, "%g in", value / 25.4);
    else
        tw_format(words, sizeof words, "%g", value);
    for (int k = 0; k <= PIECES; k++) {
        const double s = from + (to - from) * k / PIECES;
        double page[2], box[4], width, height;
        const double across = upright ? value : s, up = upright ? s : value;
        const bool metal =
            tw_outline_level(outline, across, up) <= 0 && tape_to_page(sheet, across, up, page);
        if (!taken && metal && on)
            cairo_line_to(canvas->cairo, page[0], page[1]);
        else if (!taken && metal)
            cairo_move_to(canvas->cairo, page[0], page[1]);
        on = metal;
        if (!taken || !metal || named || k % 6 != 0)
            continue;
        tw_text_size(canvas, words, &letters, &width, &height);
        tw_box_about(page[0], page[1], width, height, 6, box);
        if (!tw_box_free(taken, box))
            continue;
        tw_box_take(taken, box);
        named = true;
        tw_text_draw(canvas, words, &letters, page[0], page[1] - height / 2);
    }
    if (!taken)
        tw_pen_stroke(canvas, upright && value == 0 ? MIDDLE : TAPE, 0.55, 1);
}

static void draw_tape(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_boxes *taken)
{
    const tw_outline *outline = tw_form_outline(sheet->blank->goal->plate->form);
    const double step = canvas->units == TW_INCH ? 2 * 25.4 : 50;

    for (double k = ceil(outline->across_min / step); k * step <= outline->across_max; k++)
        tape_line(canvas, sheet, true, k * step + 0.0, taken);
    for (double k = ceil(outline->up_min / step); k * step <= outline->up_max; k++)
        tape_line(canvas, sheet, false, k * step + 0.0, taken);
}

/* ---- names ----------------------------------------------------------------------------------------- */

/* "turned over 8 mm roll: 12 mm allowance, 21 mm once it is drawn out"; "" for an edge that is not turned. */
static void turned_words(const tw_blank *blank, const char *edge, tw_units units, char *out,
                         size_t size)
{
    char roll[40], width[40], wrap[40], wire[60] = "", more[80] = "";

    out[0] = 0;
    for (size_t k = 0; k < blank->turn_count; k++) {
        const tw_blank_turn *turn = &blank->turns[k];
        if (strcmp(turn->edge, edge) != 0)
            continue;
        tw_write_length(turn->roll_mm, units, -1, roll, sizeof roll);
        tw_write_length(turn->width_mm, units, units == TW_INCH ? -1 : 1, width, sizeof width);
        tw_write_length(turn->wrap_mm, units, units == TW_INCH ? -1 : 1, wrap, sizeof wrap);
        if (turn->wire_mm > 0) {
            tw_write_length(turn->wire_mm, units, -1, wrap, sizeof wrap);
            tw_format(wire, sizeof wire, ", %s wire in it", wrap);
            tw_write_length(turn->wrap_mm, units, units == TW_INCH ? -1 : 1, wrap, sizeof wrap);
        }
        if (strcmp(width, wrap) != 0)
            tw_format(more, sizeof more, ",\n%s wide once it is as thin as the edge", wrap);
        tw_format(out, size, "turned over %s roll%s:\n%s allowance%s", roll, wire, width, more);
    }
    tw_text_bind_units(out, size);
}

void tw_blank_say(tw_canvas *canvas, const tw_blank_sheet *sheet)
{
    const tw_outline *outline = tw_form_outline(sheet->blank->goal->plate->form);
    char words[300];

    for (size_t k = 0; k < outline->edge_count; k++) {
        const char *edge = outline->edges[k].name;
        turned_words(sheet->blank, edge, canvas->units, words, sizeof words);
        for (char *at = words; (at = strchr(at, '\n'));)
            *at = ' ';
        if (words[0])
            tw_canvas_say(canvas, "%s: %s", edge, words);
    }
}

static void draw_names(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_boxes *taken)
{
    const tw_outline *outline = tw_form_outline(sheet->blank->goal->plate->form);
    const tw_lettering letters = {
        .size = 34, .bold = true, .halo = true, .clear = true, .align = TW_CENTRE};
    const tw_lettering small = {
        .size = 26, .halo = true, .clear = true, .align = TW_CENTRE, .wrap = 700};
    double middle[2];

    to_page(sheet, sheet->blank->box_middle, middle);
    for (size_t k = 0; k < outline->edge_count; k++) {
        const tw_edge_line *edge = &outline->edges[k];
        const double *at = edge->points[edge->count / 2];
        double page[2], box[4], width, height, away, name_height, wide, tall = 0;
        char words[300];
        if (!tape_to_page(sheet, at[0], at[1], page))
            continue;
        away = hypot(middle[0] - page[0], middle[1] - page[1]);
        tw_text_size(canvas, edge->name, &letters, &width, &height);
        name_height = height;
        turned_words(sheet->blank, edge->name, canvas->units, words, sizeof words);
        if (words[0]) {
            tw_text_size(canvas, words, &small, &wide, &tall);
            width = fmax(width, wide);
            height += tall;
        }
        for (int tries = 1; tries <= 8; tries++) { /* inward until there is room */
            const double reach =
                0.5 * (fabs(middle[0] - page[0]) * width + fabs(middle[1] - page[1]) * height) /
                fmax(away, 1);
            const double in = fmin((40 + reach) * tries, away) / fmax(away, 1);
            const double x = page[0] + in * (middle[0] - page[0]);
            const double y = page[1] + in * (middle[1] - page[1]);
            tw_box_about(x, y, width, height, 8, box);
            if (!tw_box_free(taken, box))
                continue;
            tw_box_take(taken, box);
            tw_text_draw(canvas, edge->name, &letters, x, y - height / 2);
            if (words[0])
                tw_text_draw(canvas, words, &small, x, y - height / 2 + name_height);
            break;
        }
    }
}

/* ---- steps ------------------------------------------------------------------------------------------- */

/* A contour of the plate's grid, carried to the page; the lowest of its places. */
static bool contour_path(cairo_t *cairo, const tw_blank_sheet *sheet, const tw_contour *line,
                         double lowest[2])
{
    const tw_grid *grid = sheet->blank->goal->plate->grid;
    const size_t count = line->count + (line->closed && line->count > 0 ? 1 : 0);
    bool on = false, any = false;

    lowest[0] = lowest[1] = -INFINITY;
    for (size_t k = 0; k < count; k++) {
        const double *at = line->points[k % line->count];
        double page[2];
        const bool metal = tape_to_page(sheet, grid->across_min + at[0] * grid->across_step,
                                        grid->up_min + at[1] * grid->up_step, page);
        if (metal && on)
            cairo_line_to(cairo, page[0], page[1]);
        else if (metal)
            cairo_move_to(cairo, page[0], page[1]);
        if (metal && (!any || page[1] > lowest[1])) {
            lowest[0] = page[0];
            lowest[1] = page[1];
            any = true;
        }
        on = metal;
    }
    return any;
}

/* The lines at which a step begins; the first begins all over. */
static tw_status trace_step(const tw_blank_sheet *sheet, size_t k, tw_arena *arena,
                            tw_contour **lines, size_t *count, tw_error *err)
{
    const tw_grid *grid = sheet->blank->goal->plate->grid;
    const tw_field field = {
        .columns = grid->nu, .rows = grid->nv, .value = sheet->steps->wanted, .use = grid->area};
    const double level = sheet->steps->steps[k].from_line_mm - PLATEAU;

    return tw_contours_trace(&field, &level, 1, arena, lines, count, err);
}

static void name_step(tw_canvas *canvas, const tw_blank_sheet *sheet, size_t k,
                      const double lowest[2], tw_boxes *taken)
{
    const tw_lettering letters = {.size = 26, .halo = true, .clear = true, .align = TW_CENTRE};
    char words[48], from[40];
    double box[4], width, height;

    tw_write_thickness(sheet->steps->steps[k].from_mm, canvas->units, -1, from, sizeof from);
    tw_format(words, sizeof words, "%zu: from %s", k + 1, from);
    tw_text_size(canvas, words, &letters, &width, &height);
    tw_box_about(lowest[0], lowest[1], width, height, 4, box);
    if (!tw_box_free(taken, box))
        return;
    tw_box_take(taken, box);
    tw_text_draw(canvas, words, &letters, lowest[0], lowest[1] - height / 2);
}

/* Lines alone; with `taken` only what is written on them, over all lines. */
static tw_status draw_steps(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_boxes *taken,
                            tw_arena *arena, tw_error *err)
{
    tw_status status = TW_OK;

    for (size_t k = 1; status == TW_OK && k < sheet->steps->count; k++) {
        tw_contour *lines = NULL;
        size_t count = 0;
        status = trace_step(sheet, k, arena, &lines, &count, err);
        for (size_t n = 0; n < count; n++) {
            double lowest[2];
            const bool any = contour_path(canvas->cairo, sheet, &lines[n], lowest);
            cairo_set_line_width(canvas->cairo, STEP);
            cairo_set_source_rgb(canvas->cairo, 0.1, 0.3, 0.7);
            if (!taken)
                cairo_stroke(canvas->cairo);
            cairo_new_path(canvas->cairo);
            if (taken && any && lines[n].count >= 8)
                name_step(canvas, sheet, k, lowest, taken);
        }
    }
    return status;
}

static void draw_points(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_boxes *taken)
{
    const tw_lettering letters = {.size = 30, .bold = true, .halo = true, .clear = true};

    for (size_t k = 0; k < sheet->card->count; k++) {
        const tw_check_point *point = &sheet->card->points[k];
        double page[2], box[4];
        if (!tape_to_page(sheet, point->tape[0], point->tape[1], page))
            continue;
        cairo_arc(canvas->cairo, page[0], page[1], 14, 0, 2 * TW_PI);
        tw_pen_stroke(canvas, 3, 0, 1);
        tw_box_about(page[0], page[1], 28, 28, 2, box);
        tw_box_take(taken, box);
        tw_text_draw(canvas, point->name, &letters, page[0] + 20, page[1] - 20);
    }
}

tw_status tw_blank_marks_draw(tw_canvas *canvas, const tw_blank_sheet *sheet, tw_arena *arena,
                              tw_error *err)
{
    tw_boxes *taken = malloc(sizeof *taken);
    tw_status status = TW_OK;

    if (!taken)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a drawing");
    taken->count = 0;
    draw_tape(canvas, sheet, NULL);
    tw_blank_lines_draw(canvas, sheet);
    if (sheet->steps)
        status = draw_steps(canvas, sheet, NULL, arena, err);
    if (sheet->card)
        draw_points(canvas, sheet, taken);
    draw_drilled(canvas, sheet, taken);
    draw_names(canvas, sheet, taken);
    if (sheet->steps && status == TW_OK)
        status = draw_steps(canvas, sheet, taken, arena, err);
    draw_tape(canvas, sheet, taken);
    free(taken);
    return status;
}
