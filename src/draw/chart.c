/*
 * chart.c: what pictures of masses share: axes in grams or pounds, bars, whiskers, stripes, a key, dots
 * that keep clear of each other.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define OUNCE (453.59237 / 16)

static const tw_lettering tick_letters = {
    .size = 21, .grey = 0.2, .align = TW_CENTRE, .mark = true};
static const tw_lettering key_letters = {.size = 23, .grey = 0.15};

/* ---- masses as text --------------------------------------------------------------------------- */

void tw_grams_words(double mass, double expanded, tw_units units, char *out, size_t size)
{
    const bool kilos = units == TW_METRIC && fabs(mass) >= 999.5;
    int decimals;
    double least;
    char plus[48];

    if (!(expanded > 0)) {
        tw_write_mass(mass, units, -1, out, size);
        return;
    }
    if (kilos) {
        decimals = expanded < 4.5 ? 3 : 2;
        least = decimals == 3 ? 1 : 10;
        tw_format(out, size, "%.*f kg ± %.*f kg", decimals, mass / 1000, decimals,
                  fmax(expanded, least) / 1000);
        return;
    }
    decimals = units == TW_INCH ? (expanded < OUNCE / 4 ? 2 : 1) : expanded < 1.95 ? 1 : 0;
    least = units == TW_INCH ? (decimals == 2 ? 0.01 : 0.1) * OUNCE : decimals ? 0.1 : 1;
    tw_write_mass(mass, units, decimals, out, size);
    tw_write_mass(fmax(expanded, least), units, decimals, plus, sizeof plus);
    tw_text_append(out, size, " ± ");
    tw_text_append(out, size, plus);
}

void tw_grams_signed(double g, tw_units units, char *out, size_t size)
{
    char text[48];

    tw_write_mass(fabs(g), units, -1, text, sizeof text);
    if (text[strspn(text, "0.")] == ' ') /* rounds to nothing */
        tw_write_mass(0, units, -1, out, size);
    else
        tw_format(out, size, "%s%s", g < 0 ? "−" : "+", text);
}

char *tw_names_join(tw_arena *arena, const char *lead, const char *const *names, size_t count,
                    const char *between)
{
    size_t size = strlen(lead) + 1;
    char *text;

    for (size_t k = 0; k < count; k++)
        size += strlen(names[k]) + strlen(between);
    text = tw_arena_array(arena, size, 1);
    if (!text)
        return NULL;
    tw_text_append(text, size, lead);
    for (size_t k = 0; k < count; k++) {
        tw_text_append(text, size, k > 0 ? between : "");
        tw_text_append(text, size, names[k]);
    }
    return text;
}

double tw_text_place(tw_canvas *canvas, const char *text, const tw_lettering *lettering, double x,
                     double y, bool ink)
{
    double width, height;

    if (!text || !text[0])
        return 0;
    if (ink)
        return tw_text_draw(canvas, text, lettering, x, y);
    tw_text_size(canvas, text, lettering, &width, &height);
    return height;
}

/* ---- axis -------------------------------------------------------------------------------------- */

/* Ounces by halving, as weights are cut, down to a quarter; the rest by tens. */
static double round_step(double wanted, bool halves)
{
    double step = 0.25;

    if (!halves || wanted < step / 1.5)
        return tw_round_step(wanted, 1, TW_METRIC);
    while (step * 1.5 < wanted)
        step *= 2;
    return step;
}

void tw_axis_ticks(tw_mass_axis *axis, double gap, tw_units units)
{
    const double most = fmax(fabs(axis->low), fabs(axis->high));
    double raw = axis->per_g > 0 ? gap / axis->per_g : 1;

    if (units == TW_INCH && most >= 32 * OUNCE && raw > 12 * OUNCE) {
        axis->unit_g = 16 * OUNCE;
        axis->unit = "lb";
    } else if (units == TW_INCH) {
        axis->unit_g = OUNCE;
        axis->unit = most >= 32 * OUNCE ? NULL : "oz";
        if (!axis->unit) /* longer numbers */
            raw *= 1.5;
    } else {
        axis->unit_g = most >= 1000 ? 1000 : 1;
        axis->unit = most >= 1000 ? "kg" : "g";
    }
    axis->step = round_step(raw / axis->unit_g, axis->unit_g == OUNCE);
}

/* "2 lb", "2 lb 4 oz". */
static void pounds_text(double ounces, double step, char *out, size_t size)
{
    const double pounds = floor(ounces / 16 + 1e-9);
    const double rest = fmax(0, ounces - 16 * pounds);
    char text[32];

    tw_value_text(rest, step, false, TW_METRIC, text, sizeof text);
    if (pounds == 0)
        tw_format(out, size, "%s oz", text);
    else if (rest < step / 2)
        tw_format(out, size, "%.0f lb", pounds);
    else
        tw_format(out, size, "%.0f lb %s oz", pounds, text);
}

void tw_axis_tick_text(const tw_mass_axis *axis, double k, bool sign, char *out, size_t size)
{
    char plain[40];

    if (axis->unit) {
        tw_value_text(k * axis->step, axis->step, sign, TW_METRIC, out, size);
        return;
    }
    pounds_text(fabs(k) * axis->step, axis->step, plain, sizeof plain);
    tw_format(out, size, "%s%s", k < 0 ? "−" : sign && k > 0 ? "+" : "", plain);
}

double tw_axis_height(tw_canvas *canvas)
{
    double width, height;

    tw_text_size(canvas, "0", &tick_letters, &width, &height);
    return height + 10;
}

static void line(cairo_t *cairo, double x, double y, double to_x, double to_y, double width,
                 double grey)
{
    cairo_move_to(cairo, x, y);
    cairo_line_to(cairo, to_x, to_y);
    cairo_set_source_rgb(cairo, grey, grey, grey);
    cairo_set_line_width(cairo, width);
    cairo_stroke(cairo);
}

/* Every so many ticks bear a number, so that the numbers stand clear of each other. */
static double numbers_every(tw_canvas *canvas, const tw_mass_axis *axis, double first, double last,
                            bool sign)
{
    const double apart = axis->step * axis->unit_g * axis->per_g;
    double every = 1, width, height, widest = 0;
    char text[48];

    for (double k = first; k <= last; k++) {
        tw_axis_tick_text(axis, k, sign, text, sizeof text);
        tw_text_size(canvas, text, &tick_letters, &width, &height);
        widest = fmax(widest, width);
    }
    while (every * apart < widest + 14 && every < last - first)
        every *= 2;
    return every;
}

void tw_axis_draw(tw_canvas *canvas, const tw_mass_axis *axis, double y, double to, bool over,
                  bool sign)
{
    cairo_t *cairo = canvas->cairo;
    const double step_g = axis->step * axis->unit_g;
    const double first = ceil(axis->low / step_g - 1e-9), last = floor(axis->high / step_g + 1e-9);
    const double every = numbers_every(canvas, axis, first, last, sign);
    const double text_y = over ? y - tw_axis_height(canvas) : y + 9;
    tw_lettering letters = tick_letters;
    double right = tw_axis_at(axis, axis->high), width, height;
    char text[48];

    for (double k = first; k <= last; k++) {
        const double at = tw_axis_at(axis, k * step_g);
        line(cairo, at, y, at, to, k == 0 ? 1.6 : 1, k == 0 ? 0.35 : 0.86);
    }
    line(cairo, axis->x, y, right, y, 1.6, 0.2);
    for (double k = first; k <= last; k++) {
        const double at = tw_axis_at(axis, k * step_g);
        line(cairo, at, y, at, y + (over ? -7 : 7), 1.6, 0.2);
        if (fmod(fabs(k), every) != 0)
            continue;
        tw_axis_tick_text(axis, k, sign, text, sizeof text);
        tw_text_size(canvas, text, &letters, &width, &height);
        /* a long first number stays near its axis */
        tw_text_draw(canvas, text, &letters, fmax(at, axis->x + width / 2 - 28), text_y);
        right = fmax(right, at + width / 2);
    }
    letters.align = TW_LEFT;
    if (axis->unit)
        tw_text_draw(canvas, axis->unit, &letters, right + 8, text_y);
}

/* ---- bars --------------------------------------------------------------------------------------- */

static void needs(const tw_extent *reaches, size_t count, double per_g, double *left, double *right)
{
    *left = *right = 0;
    for (size_t k = 0; k < count; k++) {
        const double size = fabs(reaches[k].g) * per_g + reaches[k].words;
        double *side = reaches[k].g < 0 ? left : right;
        *side = fmax(*side, size);
    }
}

double tw_extent_fit(const tw_extent *reaches, size_t count, double width, double *zero)
{
    double low = 0, high = 0, left, right;

    for (size_t k = 0; k < count; k++)
        if (reaches[k].g != 0)
            high = fmax(high, width / fabs(reaches[k].g));
    for (int turn = 0; turn < 100; turn++) { /* what is needed grows with the scale */
        const double middle = (low + high) / 2;
        needs(reaches, count, middle, &left, &right);
        if (left + right <= width)
            low = middle;
        else
            high = middle;
    }
    needs(reaches, count, low, &left, &right);
    *zero = left;
    return low;
}

void tw_fill_colour(tw_fill fill, double rgb[3])
{
    unsigned char byte[3];
    double white = 0;

    switch (fill) {
    case TW_FILL_HEAVIER:
        tw_colour_difference(-0.62, byte);
        break;
    case TW_FILL_LIGHTER:
        tw_colour_difference(0.5, byte);
        break;
    case TW_FILL_OWN:
        tw_colour_difference(0.8, byte);
        break;
    case TW_FILL_MIDDLE:
        tw_colour_thickness(0.92, byte);
        white = 0.82;
        break;
    case TW_FILL_TOGETHER:
        tw_colour_thickness(0.92, byte);
        white = 0.5;
        break;
    default:
        tw_colour_thickness(0.92, byte);
        break;
    }
    for (int k = 0; k < 3; k++)
        rgb[k] = byte[k] / 255.0 * (1 - white) + white;
}

/* Stripes keep their place on the page, so that boxes side by side match. */
static void stripes(tw_canvas *canvas, const double box[4], double apart, double width, bool rising)
{
    cairo_t *cairo = canvas->cairo;
    const double tall = box[3] - box[1];
    const double from = floor((box[0] - tall) / apart) * apart;

    cairo_save(cairo);
    cairo_rectangle(cairo, box[0], box[1], box[2] - box[0], tall);
    cairo_clip(cairo);
    for (double x = from; x < box[2]; x += apart) {
        cairo_move_to(cairo, x, rising ? box[3] : box[1]);
        cairo_line_to(cairo, x + tall, rising ? box[1] : box[3]);
    }
    cairo_set_line_width(cairo, width);
    cairo_stroke(cairo);
    cairo_restore(cairo);
}

void tw_fill_box(tw_canvas *canvas, tw_fill fill, double left, double top, double right,
                 double bottom)
{
    cairo_t *cairo = canvas->cairo;
    const double box[4] = {fmin(left, right), top, fmax(left, right), bottom};
    const bool striped = fill == TW_FILL_MODELLED || fill == TW_FILL_OVERLAP;
    double rgb[3];

    tw_fill_colour(fill, rgb);
    if (fill == TW_FILL_OVERLAP) {
        cairo_set_source_rgb(cairo, 0.05, 0.05, 0.05);
        stripes(canvas, box, 8, 2, false);
    } else {
        cairo_rectangle(cairo, box[0], top, box[2] - box[0], bottom - top);
        if (striped)
            cairo_set_source_rgb(cairo, 1, 1, 1);
        else
            cairo_set_source_rgb(cairo, rgb[0], rgb[1], rgb[2]);
        cairo_fill(cairo);
        cairo_set_source_rgb(cairo, rgb[0], rgb[1], rgb[2]);
        if (striped)
            stripes(canvas, box, 9, 2.2, true);
    }
    if (fill == TW_FILL_MIDDLE)
        return;
    cairo_rectangle(cairo, box[0], top, box[2] - box[0], bottom - top);
    if (!striped || fill == TW_FILL_OVERLAP)
        cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
    cairo_set_line_width(cairo, fill == TW_FILL_MODELLED ? 2 : 1.2);
    cairo_stroke(cairo);
}

void tw_whisker_draw(tw_canvas *canvas, const tw_mass_axis *axis, double g, double u, double y,
                     double half)
{
    const double left = tw_axis_at(axis, fmax(axis->low, g - u)), right = tw_axis_at(axis, g + u);
    const double thin = fmax(2.2, 1.4 / canvas->unit), rim = fmax(1.9, 0.9 / canvas->unit);

    for (int k = 0; k < 2; k++) { /* white under black: seen on any bar */
        const double width = k ? thin : thin + 2 * rim, grey = k ? 0 : 1, more = k ? 0 : rim;
        line(canvas->cairo, left - more, y, right + more, y, width, grey);
        line(canvas->cairo, left, y - half - more, left, y + half + more, width, grey);
        line(canvas->cairo, right, y - half - more, right, y + half + more, width, grey);
    }
}

/* ---- key ---------------------------------------------------------------------------------------- */

double tw_key_draw(tw_canvas *canvas, const tw_key_entry *entries, size_t count, bool ink, double y)
{
    const double sign = 46, apart = 34, row = 36, top = y;
    double x = TW_PAGE_MARGIN, width, height;

    for (size_t k = 0; k < count; k++) {
        tw_text_size(canvas, entries[k].words, &key_letters, &width, &height);
        if (x > TW_PAGE_MARGIN && x + sign + 12 + width > TW_PAGE_WIDTH - TW_PAGE_MARGIN) {
            x = TW_PAGE_MARGIN;
            y += row;
        }
        if (ink && entries[k].sign)
            entries[k].sign(canvas, x + sign / 2, y + height / 2);
        else if (ink && entries[k].fill == TW_FILL_OVERLAP)
            tw_fill_box(canvas, TW_FILL_HEAVIER, x, y + 4, x + sign, y + height - 4);
        if (ink && !entries[k].sign)
            tw_fill_box(canvas, entries[k].fill, x, y + 4, x + sign, y + height - 4);
        if (ink)
            tw_text_draw(canvas, entries[k].words, &key_letters, x + sign + 12, y);
        x += sign + 12 + width + apart;
    }
    return count > 0 ? y - top + row : 0;
}

/* ---- swarm ------------------------------------------------------------------------------------- */

static int by_low(const void *a, const void *b)
{
    const double *x = a, *y = b;

    return x[0] < y[0] ? -1 : x[0] > y[0];
}

/* Free offset nearest to zero, given the spans that are not free; above wins a tie. */
static double nearest_free(double (*spans)[2], size_t count)
{
    double up = 0, down = 0;

    qsort(spans, count, sizeof *spans, by_low);
    for (size_t k = 0; k < count; k++) /* rising: a span that starts below `up` may push it on */
        if (spans[k][0] < up && spans[k][1] > up)
            up = spans[k][1];
    for (int moved = 1; moved;) {
        moved = 0;
        for (size_t k = count; k-- > 0;)
            if (spans[k][1] > down && spans[k][0] < down) {
                down = spans[k][0];
                moved = 1;
            }
    }
    return up <= -down ? up : down;
}

double tw_swarm_place(const double *x, size_t count, double radius, double *offset,
                      double (*scratch)[2])
{
    const double apart = 2 * radius;
    double most = 0;
    size_t first = 0;

    for (size_t k = 0; k < count; k++) {
        size_t spans = 0;
        while (x[k] - x[first] >= apart)
            first++;
        for (size_t j = first; j < k; j++) {
            const double dx = x[k] - x[j];
            const double half = sqrt(apart * apart - dx * dx);
            scratch[spans][0] = offset[j] - half;
            scratch[spans++][1] = offset[j] + half;
        }
        offset[k] = nearest_free(scratch, spans);
        most = fmax(most, fabs(offset[k]));
    }
    return most;
}

void tw_diamond_draw(tw_canvas *canvas, double x, double y, double size)
{
    cairo_t *cairo = canvas->cairo;
    double rgb[3];

    tw_fill_colour(TW_FILL_OWN, rgb);
    cairo_new_path(cairo);
    cairo_move_to(cairo, x - size, y);
    cairo_line_to(cairo, x, y - size);
    cairo_line_to(cairo, x + size, y);
    cairo_line_to(cairo, x, y + size);
    cairo_close_path(cairo);
    cairo_set_source_rgb(cairo, rgb[0], rgb[1], rgb[2]);
    cairo_fill_preserve(cairo);
    cairo_set_source_rgb(cairo, 0, 0, 0);
    cairo_set_line_width(cairo, 2);
    cairo_stroke(cairo);
}
