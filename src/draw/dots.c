/*
 * dots.c: readings on a panel, as numbered discs, and places wanted next as lettered rings. A disc
 * that would hide another steps aside and points to its place with a line. Over DISCS_MAX readings
 * only those with a flag are numbered (the first DISCS_MAX): the rest are dots.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdio.h>

enum { DISCS_MAX = 40 };
static const double DISC = 13, DOT = 4.5, LETTER_SIZE = 21;

/* Numbers of flagged readings are in dark red, ringed: the ring tells without the colour too. */
static void ink(cairo_t *cairo, bool flagged, bool used)
{
    if (flagged)
        cairo_set_source_rgb(cairo, 0.62, 0.05, 0.05);
    else
        cairo_set_source_rgb(cairo, used ? 0.05 : 0.5, used ? 0.05 : 0.5, used ? 0.05 : 0.5);
}

static void draw_dot(cairo_t *cairo, double x, double y, bool flagged, bool used)
{
    cairo_arc(cairo, x, y, DOT, 0, 2 * TW_PI);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_fill_preserve(cairo);
    ink(cairo, flagged, used);
    cairo_set_line_width(cairo, 2);
    cairo_stroke(cairo);
}

/* A disc as wide as its text. */
static void disc_path(cairo_t *cairo, double x, double y, double half, double radius)
{
    cairo_new_sub_path(cairo);
    cairo_arc(cairo, x + half - radius, y, radius, -TW_PI / 2, TW_PI / 2);
    cairo_arc(cairo, x - half + radius, y, radius, TW_PI / 2, 3 * TW_PI / 2);
    cairo_close_path(cairo);
}

static void lead(cairo_t *cairo, double x, double y, double to_x, double to_y)
{
    for (int k = 0; k < 2; k++) { /* pale under dark: seen on any colour */
        cairo_move_to(cairo, x, y);
        cairo_line_to(cairo, to_x, to_y);
        cairo_set_source_rgba(cairo, k ? 0.05 : 1, k ? 0.05 : 1, k ? 0.05 : 1, k ? 1 : 0.7);
        cairo_set_line_width(cairo, k ? 1.6 : 4);
        cairo_stroke(cairo);
    }
}

/* The nearest place about x, y where a box is free, the place itself first; there when none is. */
static void find_place(const tw_boxes *taken, double width, double height, double *x, double *y)
{
    for (int ring = 0; ring <= 3; ring++) {
        for (int turn = 0; turn < (ring ? 12 : 1); turn++) {
            const double angle = turn * TW_PI / 6;
            const double step = ring * 0.75;
            const double at[2] = {*x + step * (width + 6) * cos(angle),
                                  *y - step * (height + 6) * sin(angle)};
            double box[4];
            tw_box_about(at[0], at[1], width, height, 1, box);
            if (tw_box_free(taken, box)) {
                *x = at[0];
                *y = at[1];
                return;
            }
        }
    }
}

/* A numbered disc: where the reading is, where the disc stands, how wide it is. */
typedef struct disc {
    const tw_placed_reading *reading;
    double x, y, at_x, at_y, half, rim, text_height;
} disc;

static const tw_lettering number_letters = {.size = 18, .bold = true, .align = TW_CENTRE};

static disc place_disc(tw_canvas *canvas, const tw_panel *panel, const tw_placed_reading *reading,
                       tw_boxes *taken)
{
    disc d = {.reading = reading, .rim = reading->flags ? 5 : 0};
    double width, box[4];

    tw_pen_to_page(&panel->frame, reading->tape[0], reading->tape[1], &d.x, &d.y);
    tw_text_size(canvas, reading->reading->name, &number_letters, &width, &d.text_height);
    d.half = fmax(DISC, width / 2 + 6);
    d.at_x = d.x;
    d.at_y = d.y;
    find_place(taken, 2 * (d.half + d.rim), 2 * (DISC + d.rim), &d.at_x, &d.at_y);
    tw_box_about(d.at_x, d.at_y, 2 * (d.half + d.rim), 2 * (DISC + d.rim), 1, box);
    tw_box_take(taken, box);
    return d;
}

static void draw_disc(tw_canvas *canvas, const disc *d)
{
    cairo_t *cairo = canvas->cairo;
    const bool flagged = d->reading->flags != 0, used = d->reading->used;
    tw_lettering letters = number_letters;

    letters.grey = used ? 0 : 0.45;
    for (int ring = flagged ? 1 : 0; ring >= 0; ring--) {
        const double more = ring ? d->rim : 0;
        disc_path(cairo, d->at_x, d->at_y, d->half + more, DISC + more);
        cairo_set_source_rgb(cairo, 1, 1, 1);
        cairo_fill_preserve(cairo);
        ink(cairo, flagged, used);
        cairo_set_line_width(cairo, 2);
        cairo_stroke(cairo);
    }
    tw_text_draw(canvas, d->reading->reading->name, &letters, d->at_x,
                 d->at_y - d->text_height / 2);
    if (used)
        return;
    cairo_move_to(cairo, d->at_x - d->half + 3, d->at_y + DISC - 5); /* struck out: left out */
    cairo_line_to(cairo, d->at_x + d->half - 3, d->at_y - DISC + 5);
    cairo_set_line_width(cairo, 1.6);
    ink(cairo, false, false);
    cairo_stroke(cairo);
}

/* Lines and dots of those that stepped aside first, so that no disc is written over. */
static void draw_discs(tw_canvas *canvas, const disc *discs, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        if (discs[k].at_x != discs[k].x || discs[k].at_y != discs[k].y) {
            lead(canvas->cairo, discs[k].x, discs[k].y, discs[k].at_x, discs[k].at_y);
            draw_dot(canvas->cairo, discs[k].x, discs[k].y, discs[k].reading->flags != 0,
                     discs[k].reading->used);
        }
    }
    for (size_t k = 0; k < count; k++)
        draw_disc(canvas, &discs[k]);
}

static void draw_wanted(tw_canvas *canvas, const tw_panel *panel, size_t n, const double tape[2],
                        tw_boxes *taken)
{
    cairo_t *cairo = canvas->cairo;
    const tw_lettering letters = {
        .size = LETTER_SIZE, .bold = true, .halo = true, .align = TW_CENTRE};
    char text[8];
    double x, y, width, height, box[4];

    snprintf(text, sizeof text, "%c", (char)('A' + (int)(n % 26)));
    tw_pen_to_page(&panel->frame, tape[0], tape[1], &x, &y);
    for (int k = 0; k < 2; k++) {
        cairo_arc(cairo, x, y, DISC + 2, 0, 2 * TW_PI);
        cairo_set_source_rgb(cairo, k ? 0.05 : 1, k ? 0.05 : 1, k ? 0.05 : 1);
        cairo_set_line_width(cairo, k ? 2.6 : 6);
        cairo_stroke(cairo);
    }
    tw_text_size(canvas, text, &letters, &width, &height);
    tw_text_draw(canvas, text, &letters, x, y - height / 2);
    tw_box_about(x, y, 2 * DISC + 4, 2 * DISC + 4, 2, box);
    tw_box_take(taken, box);
}

void tw_dots_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken)
{
    const tw_dots *dots = panel->dots;
    const tw_survey *survey = dots->survey;
    disc discs[DISCS_MAX];
    size_t count = 0;
    double x, y;

    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *reading = &survey->readings[k];
        if (dots->numbered && count < DISCS_MAX && (survey->count <= DISCS_MAX || reading->flags)) {
            discs[count++] = place_disc(canvas, panel, reading, taken);
            continue;
        }
        tw_pen_to_page(&panel->frame, reading->tape[0], reading->tape[1], &x, &y);
        draw_dot(canvas->cairo, x, y, reading->flags != 0, reading->used);
    }
    draw_discs(canvas, discs, count);
    for (size_t k = 0; k < dots->suggestion_count; k++)
        draw_wanted(canvas, panel, k, dots->suggestions[k].tape, taken);
}
