/*
 * dots.c: readings on a panel, as numbered discs, and places wanted next as lettered rings. A disc
 * that would hide another steps aside and points to its place with a line. What was left out is
 * hollow, what is to be looked at again has a ring round it: both tell without colour. Over DISCS_MAX
 * readings only those with a flag are numbered (the first DISCS_MAX): the rest are dots.
 */
#include "draw_internal.h"

#include <math.h>

enum { DISCS_MAX = 40 };
static const double DISC = 14, DOT = 5, LETTER_SIZE = 21, RING = 5;
static const double HOLLOW = 3; /* room about a number that stands on the map's colour */
/* Levels keep this far from a dot, so that none is taken for its reading. */
static const double DOT_SPARE = 11;

/* Black, or dark red for what is to be looked at again. */
static void ink(tw_canvas *canvas, bool flagged)
{
    cairo_set_source_rgb(canvas->cairo, flagged && !canvas->hatch ? 0.62 : 0.05, 0.05, 0.05);
}

/* The path in ink on a paler, wider one, so that it is seen on any colour and hatching. What is left out is dashed:
 * on a pale colour hollow alone is not seen. */
static void stroke_on_pale(tw_canvas *canvas, double width, bool flagged, bool dashed)
{
    cairo_t *cairo = canvas->cairo;

    cairo_set_source_rgba(cairo, 1, 1, 1, canvas->hatch ? 1 : 0.85);
    cairo_set_line_width(cairo, width + (canvas->hatch ? 10 : 3));
    cairo_stroke_preserve(cairo);
    ink(canvas, flagged);
    cairo_set_line_width(cairo, width);
    if (dashed)
        cairo_set_dash(cairo, (const double[2]){6, 5}, 2, 0);
    cairo_stroke(cairo);
    cairo_set_dash(cairo, NULL, 0, 0);
}

static void draw_dot(tw_canvas *canvas, double x, double y, bool flagged, bool used)
{
    cairo_t *cairo = canvas->cairo;

    cairo_new_path(cairo);
    if (flagged) {
        cairo_arc(cairo, x, y, DOT + RING, 0, 2 * TW_PI);
        stroke_on_pale(canvas, 2, true, false);
    }
    cairo_arc(cairo, x, y, DOT, 0, 2 * TW_PI);
    stroke_on_pale(canvas, 2, flagged, false);
    if (!used)
        return;
    cairo_arc(cairo, x, y, DOT, 0, 2 * TW_PI);
    ink(canvas, flagged);
    cairo_fill(cairo);
}

/* A disc as wide as its text. */
static void disc_path(cairo_t *cairo, double x, double y, double half, double radius)
{
    cairo_new_sub_path(cairo);
    cairo_arc(cairo, x + half - radius, y, radius, -TW_PI / 2, TW_PI / 2);
    cairo_arc(cairo, x - half + radius, y, radius, TW_PI / 2, 3 * TW_PI / 2);
    cairo_close_path(cairo);
}

/* How far a disc's outermost line lies beyond the disc. */
static double rim_of(bool flagged, bool used)
{
    return (flagged ? RING : 0) + (used ? 0 : HOLLOW);
}

static void draw_rim(tw_canvas *canvas, double x, double y, double half, bool flagged, bool used)
{
    cairo_t *cairo = canvas->cairo;

    cairo_new_path(cairo);
    if (flagged) {
        disc_path(cairo, x, y, half + rim_of(true, used), DISC + rim_of(true, used));
        stroke_on_pale(canvas, 2.4, true, false);
    }
    disc_path(cairo, x, y, half + (used ? 0 : HOLLOW), DISC + (used ? 0 : HOLLOW));
    if (used) {
        cairo_set_source_rgb(cairo, 1, 1, 1);
        cairo_fill_preserve(cairo);
    }
    stroke_on_pale(canvas, 2, flagged, !used);
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

static bool hides_a_place(const tw_panel *panel, const double box[4])
{
    const tw_survey *survey = panel->dots->survey;
    double x, y;

    for (size_t k = 0; k < survey->count; k++) {
        tw_pen_to_page(&panel->frame, survey->readings[k].tape[0], survey->readings[k].tape[1], &x,
                       &y);
        if (x + DOT > box[0] && x - DOT < box[2] && y + DOT > box[1] && y - DOT < box[3])
            return true;
    }
    return false;
}

/* The nearest place about x, y where a box is free, the place itself first; there when none is. */
static void find_place(const tw_panel *panel, const tw_boxes *taken, double width, double height,
                       double *x, double *y)
{
    for (int ring = 0; ring <= 5; ring++) {
        for (int turn = 0; turn < (ring ? 12 : 1); turn++) {
            const double angle = turn * TW_PI / 6;
            const double step = ring * 0.75;
            const double at[2] = {*x + step * (width + 6) * cos(angle),
                                  *y - step * (height + 6) * sin(angle)};
            double box[4];
            tw_box_about(at[0], at[1], width, height, 1, box);
            if (tw_box_free(taken, box) && (ring == 0 || !hides_a_place(panel, box))) {
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

static const tw_lettering number_letters = {
    .size = 20, .bold = true, .align = TW_CENTRE, .mark = true};

static disc place_disc(tw_canvas *canvas, const tw_panel *panel, const tw_placed_reading *reading,
                       tw_boxes *taken)
{
    disc d = {.reading = reading, .rim = rim_of(reading->flags != 0, reading->used)};
    double width, box[4];

    tw_pen_to_page(&panel->frame, reading->tape[0], reading->tape[1], &d.x, &d.y);
    tw_text_size(canvas, reading->reading->name, &number_letters, &width, &d.text_height);
    d.half = fmax(DISC, width / 2 + 6);
    d.at_x = d.x;
    d.at_y = d.y;
    find_place(panel, taken, 2 * (d.half + d.rim), 2 * (DISC + d.rim), &d.at_x, &d.at_y);
    tw_box_about(d.at_x, d.at_y, 2 * (d.half + d.rim), 2 * (DISC + d.rim), 1, box);
    tw_box_take(taken, box);
    return d;
}

static void draw_disc(tw_canvas *canvas, const disc *d)
{
    tw_lettering letters = number_letters;

    letters.halo = !d->reading->used;
    draw_rim(canvas, d->at_x, d->at_y, d->half, d->reading->flags != 0, d->reading->used);
    tw_text_draw(canvas, d->reading->reading->name, &letters, d->at_x,
                 d->at_y - d->text_height / 2);
}

/* Lines and dots of those that stepped aside first, so that no disc is written over. */
static void draw_discs(tw_canvas *canvas, const disc *discs, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        if (discs[k].at_x != discs[k].x || discs[k].at_y != discs[k].y) {
            lead(canvas->cairo, discs[k].x, discs[k].y, discs[k].at_x, discs[k].at_y);
            draw_dot(canvas, discs[k].x, discs[k].y, discs[k].reading->flags != 0,
                     discs[k].reading->used);
        }
    }
    for (size_t k = 0; k < count; k++)
        draw_disc(canvas, &discs[k]);
}

static void draw_letter_ring(tw_canvas *canvas, double x, double y, char letter)
{
    const tw_lettering letters = {
        .size = LETTER_SIZE, .bold = true, .halo = true, .align = TW_CENTRE};
    const char text[2] = {letter, '\0'};
    double width, height;

    cairo_new_path(canvas->cairo);
    cairo_arc(canvas->cairo, x, y, DISC + 1, 0, 2 * TW_PI);
    stroke_on_pale(canvas, 2.6, false, false);
    tw_text_size(canvas, text, &letters, &width, &height);
    tw_text_draw(canvas, text, &letters, x, y - height / 2);
}

static bool is_disc(const tw_dots *dots, size_t k)
{
    return dots->numbered &&
           (dots->survey->count <= DISCS_MAX || dots->survey->readings[k].flags != 0);
}

void tw_dots_draw(tw_canvas *canvas, const tw_panel *panel, tw_boxes *taken)
{
    const tw_dots *dots = panel->dots;
    const tw_survey *survey = dots->survey;
    disc discs[DISCS_MAX];
    size_t count = 0;
    double x, y, box[4];

    if (dots->gauging) {
        tw_gauged_draw(canvas, panel, taken);
        return;
    }
    for (size_t k = 0; k < survey->count; k++) /* free of each other before dots take the room */
        if (is_disc(dots, k) && count < DISCS_MAX)
            discs[count++] = place_disc(canvas, panel, &survey->readings[k], taken);
    for (size_t k = 0, placed = 0; k < survey->count; k++) {
        const tw_placed_reading *reading = &survey->readings[k];
        if (is_disc(dots, k) && placed++ < count)
            continue;
        tw_pen_to_page(&panel->frame, reading->tape[0], reading->tape[1], &x, &y);
        draw_dot(canvas, x, y, reading->flags != 0, reading->used);
        tw_box_about(x, y, 2 * DOT, 2 * DOT, DOT_SPARE, box);
        tw_box_take(taken, box);
    }
    draw_discs(canvas, discs, count);
    for (size_t k = 0; k < dots->suggestion_count; k++) {
        const double *tape = dots->suggestions[k].tape;
        tw_pen_to_page(&panel->frame, tape[0], tape[1], &x, &y);
        draw_letter_ring(canvas, x, y, (char)('A' + (int)(k % 26)));
        tw_box_about(x, y, 2 * DISC + 4, 2 * DISC + 4, 2, box);
        tw_box_take(taken, box);
    }
}

/* ---- key: each mark as on the left and as on the right panel ----------------------------------- */

/* A patch of a panel's colour, on which hollow and filled differ; drawn on smaller than on a panel. */
static void begin_sign(tw_canvas *canvas, double x, double y, tw_palette palette)
{
    cairo_t *cairo = canvas->cairo;
    unsigned char rgb[3];

    tw_palette_colour(palette, 0.4, rgb);
    if (canvas->hatch)
        memset(rgb, 255, sizeof rgb);
    cairo_save(cairo);
    cairo_translate(cairo, x + 4, y);
    cairo_scale(cairo, 0.72, 0.72);
    cairo_rectangle(cairo, -37, -22, 74, 44);
    cairo_set_source_rgb(cairo, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
    cairo_fill(cairo);
}

static void sign(tw_canvas *canvas, double x, double y, bool flagged, bool used)
{
    begin_sign(canvas, x, y, TW_PALETTE_THICKNESS);
    draw_rim(canvas, -16, 0, DISC, flagged, used);
    draw_dot(canvas, 20, 0, flagged, used);
    cairo_restore(canvas->cairo);
}

static void sign_reading(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, false, true);
}

static void sign_left_out(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, false, false);
}

static void sign_flagged(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, true, true);
}

static void sign_flagged_out(tw_canvas *canvas, double x, double y)
{
    sign(canvas, x, y, true, false);
}

static void sign_wanted(tw_canvas *canvas, double x, double y)
{
    begin_sign(canvas, x, y, TW_PALETTE_SPREAD);
    draw_letter_ring(canvas, 0, 0, 'A');
    cairo_restore(canvas->cairo);
}

size_t tw_dots_key(const tw_dots *dots, tw_key_entry out[TW_DOT_KEYS])
{
    const tw_survey *survey = dots->survey;
    size_t kinds[2][2] = {{0}}; /* flagged, used */
    size_t count = 0;

    for (size_t k = 0; k < survey->count; k++)
        kinds[survey->readings[k].flags != 0][survey->readings[k].used]++;
    if (kinds[0][1])
        out[count++] = (tw_key_entry){.sign = sign_reading, .words = "a reading"};
    if (kinds[0][0])
        out[count++] = (tw_key_entry){.sign = sign_left_out, .words = "left out"};
    if (kinds[1][1])
        out[count++] =
            (tw_key_entry){.sign = sign_flagged, .words = "look at it again: it still counts"};
    if (kinds[1][0])
        out[count++] =
            (tw_key_entry){.sign = sign_flagged_out, .words = "looks wrong, and is left out"};
    if (dots->suggestion_count > 0)
        out[count++] = (tw_key_entry){.sign = sign_wanted,
                                      .words = dots->suggestion_count == 1
                                                   ? "where the next reading tells most"
                                                   : "where the next readings tell most, A first"};
    return count;
}
