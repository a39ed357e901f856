/* legend.c: round steps, values as text, colour bars, the scale bar, the balance point. */
#include "draw_internal.h"
#include "hatch.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double LEGEND_SIZE = 23;

void tw_palette_colour(tw_palette palette, double share, unsigned char rgb[3])
{
    switch (palette) {
    case TW_PALETTE_THICKNESS:
        tw_colour_thickness(share, rgb);
        break;
    case TW_PALETTE_DIFFERENCE:
        tw_colour_difference(2 * share - 1, rgb);
        break;
    case TW_PALETTE_SPREAD:
        tw_colour_spread(share, rgb);
        break;
    }
}

double tw_round_step(double span_mm, double wanted, tw_units units)
{
    const double unit = units == TW_INCH ? 25.4 : 1;
    const double raw = span_mm / unit / wanted;
    const double power = pow(10, floor(log10(raw > 0 ? raw : 1)));
    const double lead = raw / power;
    const double step = lead < 1.5 ? 1 : lead < 2.2 ? 2 : lead < 3.5 ? 2.5 : lead < 7.5 ? 5 : 10;

    return step * power * unit;
}

/* Digits by whole numbers, so that no locale changes the point. */
void tw_value_text(double mm, double step, bool sign, tw_units units, char *out, size_t size)
{
    const double unit = units == TW_INCH ? 25.4 : 1;
    double scaled = mm / unit, fine = step / unit;
    int decimals = 0;
    long long ten = 1, whole;
    const char *lead;

    while (decimals < 4 && fabs(fine - round(fine)) > 1e-6 * fine) {
        fine *= 10;
        ten *= 10;
        decimals++;
    }
    whole = llround(scaled * (double)ten);
    if (whole == 0)
        decimals = 0;
    lead = whole < 0 ? "−" : sign && whole > 0 ? "+" : "";
    whole = llabs(whole);
    if (decimals)
        snprintf(out, size, "%s%lld.%0*lld", lead, whole / ten, decimals, whole % ten);
    else
        snprintf(out, size, "%s%lld", lead, whole);
}

void tw_tape_words(const double tape[2], tw_units units, char *out, size_t size)
{
    const double unit = units == TW_INCH ? 25.4 : 1;
    const char *across = tape[0] < 0 ? "−" : tape[0] > 0 ? "+" : "", *up = tape[1] < 0 ? "−" : "";

    tw_format(out, size, units == TW_INCH ? "%s%.2f, %s%.2f" : "%s%.0f, %s%.0f", across,
              fabs(tape[0]) / unit, up, fabs(tape[1]) / unit);
}

/* Numbers of ticks at the ends are moved inward, so that beside them half a number more is taken. */
static bool ticks_fit(tw_canvas *canvas, const tw_scale *scale, double gap,
                      const tw_lettering *letters)
{
    const bool sign = scale->palette == TW_PALETTE_DIFFERENCE;
    double width, height;
    char text[32];

    tw_value_text(scale->high, scale->step, sign, canvas->units, text, sizeof text);
    tw_text_size(canvas, text, letters, &width, &height);
    return gap >= 1.65 * width;
}

/* Ticks are thinned until their numbers stand clear of each other; borders of hatched bands get smaller
 * numbers first. */
static void legend_ticks(tw_canvas *canvas, const tw_scale *scale, double x, double y, double width)
{
    cairo_t *cairo = canvas->cairo;
    tw_lettering letters = {.size = LEGEND_SIZE, .grey = 0.15, .align = TW_CENTRE, .mark = true};
    const bool sign = scale->palette == TW_PALETTE_DIFFERENCE;
    const double span = scale->high - scale->low;
    double height, first, text_width, step = canvas->hatch ? tw_hatch_step(scale) : scale->step;
    char text[32];

    while (!ticks_fit(canvas, scale, width * step / span, &letters) && span / step > 1.5) {
        const bool smaller = canvas->hatch && letters.size > 17;
        letters.size = smaller ? letters.size - 1 : LEGEND_SIZE;
        step *= smaller ? 1 : 2;
    }
    first = sign ? -floor(-scale->low / step + 1e-9) : ceil(scale->low / step - 1e-9);
    for (double k = first; k * step <= scale->high + 1e-9; k++) {
        const double at = x + width * (span > 0 ? (k * step - scale->low) / span : 0.5);
        double shift;
        cairo_move_to(cairo, at, y);
        cairo_rel_line_to(cairo, 0, 7);
        cairo_stroke(cairo);
        tw_value_text(k * step, scale->step, sign, canvas->units, text, sizeof text);
        tw_text_size(canvas, text, &letters, &text_width, &height);
        shift = at - text_width / 2 < x           ? x - (at - text_width / 2)
                : at + text_width / 2 > x + width ? x + width - (at + text_width / 2)
                                                  : 0;
        tw_text_draw(canvas, text, &letters, at + shift, y + 8);
    }
}

/* The bar in words: its ends, and what colour or hatching they have. */
static void say_bar(tw_canvas *canvas, const tw_scale *scale)
{
    static const char *const colours[][2] = {[TW_PALETTE_THICKNESS] = {"pale straw", "deep blue"},
                                             [TW_PALETTE_DIFFERENCE] = {"teal", "copper"},
                                             [TW_PALETTE_SPREAD] = {"pale", "dark"}};
    static const char *const hatchings[][2] = {
        [TW_PALETTE_THICKNESS] = {"sparse dots", "dense crossed lines"},
        [TW_PALETTE_DIFFERENCE] = {"lines that lean left", "lines that lean right"},
        [TW_PALETTE_SPREAD] = {"white", "dense dots"}};
    const char *const *ends = (canvas->hatch ? hatchings : colours)[scale->palette];
    const bool sign = scale->palette == TW_PALETTE_DIFFERENCE;
    char low[32], high[32];

    tw_value_text(scale->low, scale->step, sign, canvas->units, low, sizeof low);
    tw_value_text(scale->high, scale->step, sign, canvas->units, high, sizeof high);
    tw_canvas_say(canvas, "From %s (%s) %sto %s (%s).", low, ends[0],
                  sign ? "over nought (near white) " : "", high, ends[1]);
}

static void colour_strips(tw_canvas *canvas, const tw_scale *scale, double x, double y,
                          double width, double height)
{
    enum { STRIPS = 256 };
    cairo_t *cairo = canvas->cairo;

    cairo_save(cairo);
    cairo_set_antialias(cairo, CAIRO_ANTIALIAS_NONE); /* blended borders show as stripes */
    for (int k = 0; k < STRIPS; k++) {
        const double position = ((double)k + 0.5) / STRIPS;
        unsigned char rgb[3];
        tw_palette_colour(scale->palette, position, rgb);
        cairo_set_source_rgb(cairo, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
        cairo_rectangle(cairo, x + width * k / STRIPS, y, width / STRIPS + (k + 1 < STRIPS ? 1 : 0),
                        height);
        cairo_fill(cairo);
    }
    cairo_restore(cairo);
}

double tw_legend_draw(tw_canvas *canvas, const tw_scale *scale, const char *title, const char *low,
                      const char *high, double x, double y, double width)
{
    cairo_t *cairo = canvas->cairo;
    const tw_lettering head = {.size = 25};
    tw_lettering letters = {.size = LEGEND_SIZE, .grey = 0.15};
    /* a hatched bar is taller, to show a pattern */
    const double bar = canvas->hatch ? 34 : 28, top = y + (canvas->hatch ? 35 : 36);

    tw_text_draw(canvas, title, &head, x, y);
    say_bar(canvas, scale);
    if (canvas->hatch)
        tw_hatch_bar(canvas, scale, x, top, width, bar);
    else
        colour_strips(canvas, scale, x, top, width, bar);
    cairo_rectangle(cairo, x, top, width, bar);
    cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
    cairo_set_line_width(cairo, 1.5);
    cairo_stroke(cairo);
    legend_ticks(canvas, scale, x, top + bar, width);
    if (low)
        tw_text_draw(canvas, low, &letters, x, top + bar + 36);
    letters.align = TW_RIGHT;
    if (high)
        tw_text_draw(canvas, high, &letters, x + width, top + bar + 36);
    return top + bar - y + (low || high ? 66 : 38);
}

double tw_scale_bar_draw(tw_canvas *canvas, double per_mm, double x, double y, double room)
{
    cairo_t *cairo = canvas->cairo;
    const tw_lettering letters = {.size = LEGEND_SIZE, .grey = 0.15};
    const double length = tw_round_step(room / per_mm / 1.6, 1, canvas->units);
    char text[48], words[80];

    for (int k = 0; k < 2; k++) { /* two halves, dark and light */
        cairo_rectangle(cairo, x + k * length * per_mm / 2, y, length * per_mm / 2, 10);
        cairo_set_source_rgb(cairo, k ? 1 : 0.1, k ? 1 : 0.1, k ? 1 : 0.1);
        cairo_fill_preserve(cairo);
        cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
        cairo_set_line_width(cairo, 1.5);
        cairo_stroke(cairo);
    }
    tw_value_text(length, length, false, canvas->units, text, sizeof text);
    snprintf(words, sizeof words, "%s %s of tape", text, canvas->units == TW_INCH ? "in" : "mm");
    return 16 + tw_text_draw(canvas, words, &letters, x, y + 14);
}

bool tw_balance_on_face(const tw_plate *plate, const double centroid[3], double tape[2],
                        double *behind)
{
    const tw_grid *grid = plate->grid;
    const size_t columns = grid->nu - 1;
    double nearest = INFINITY;
    size_t best = 0;
    tw_face_point at;

    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        const double dx = grid->cell_x[c] - centroid[0], dy = grid->cell_y[c] - centroid[1];
        if (grid->area[c] > 0 && dx * dx + dy * dy < nearest) {
            nearest = dx * dx + dy * dy;
            best = c;
        }
    }
    if (!(nearest < grid->across_step * grid->across_step + grid->up_step * grid->up_step))
        return false;
    tape[0] = tw_grid_across(grid, best % columns) + grid->across_step / 2;
    tape[1] = tw_grid_up(grid, best / columns) + grid->up_step / 2;
    for (int turn = 0; turn < 8; turn++) { /* Newton in plan, from the nearest cell */
        double det, dx, dy;
        tw_form_at(plate->form, tape[0], tape[1], &at);
        dx = centroid[0] - at.position[0];
        dy = centroid[1] - at.position[1];
        det = at.across_step[0] * at.up_step[1] - at.up_step[0] * at.across_step[1];
        if (fabs(det) < 1e-3)
            break;
        tape[0] += (dx * at.up_step[1] - dy * at.up_step[0]) / det;
        tape[1] += (dy * at.across_step[0] - dx * at.across_step[1]) / det;
    }
    tw_form_at(plate->form, tape[0], tape[1], &at);
    if (tw_outline_level(tw_form_outline(plate->form), tape[0], tape[1]) > 0)
        return false;
    *behind = at.position[2] - centroid[2];
    return true;
}
