/*
 * page.c: a page of panels beside each other, with heading, grams, words and legend to each. Everything
 * is measured first, so that the page is as tall as it needs to be and nothing overlaps. Design
 * pixels throughout: the page is 1600 wide.
 */
#include "draw_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PAGE = TW_PAGE_WIDTH, MARGIN = TW_PAGE_MARGIN };
static const double GAP = 34, AFTER_GAP = 14;

static const tw_lettering title_letters = {.size = 42, .bold = true, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering line_letters = {.size = 25, .grey = 0.25, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering heading_letters = {.size = 33, .bold = true};
static const tw_lettering grams_letters = {.size = 50, .bold = true};
static const tw_lettering after_letters = {.size = 29, .grey = 0.15};
static const tw_lettering foot_letters = {.size = 23, .grey = 0.3, .wrap = PAGE - 2 * MARGIN};
static const tw_lettering sides_letters = {.size = 23, .grey = 0.25, .mark = true};

bool tw_page_sides(tw_worn worn, const char **left, const char **right)
{
    static const char *const words[][2] = {{NULL, NULL},
                                           {"wearer's right", "wearer's left"},
                                           {"wearer's left", "wearer's right"},
                                           {"wearer's front", "wearer's back"},
                                           {"wearer's back", "wearer's front"}};

    *left = words[worn][0];
    *right = words[worn][1];
    return *left != NULL;
}

/* Grams, and behind them on the same line of writing what they are. */
static void head_line(tw_canvas *canvas, const tw_column *col, double x, double y, double shrink)
{
    /* of a line's height in DejaVu Sans, and near that in any face */
    static const double above_base = 0.797;
    tw_lettering grams = grams_letters, after = after_letters;
    double width, height, small, unused;

    grams.size *= shrink;
    after.size *= shrink;
    tw_text_size(canvas, col->grams, &grams, &width, &height);
    tw_text_size(canvas, col->after, &after, &unused, &small);
    tw_text_draw(canvas, col->grams, &grams, x, y);
    if (col->after[0])
        tw_text_draw(canvas, col->after, &after, x + width + AFTER_GAP * shrink,
                     y + above_base * (height - small));
}

/* One size for the grams of all columns, so that the widest fits in. */
static double head_shrink(tw_canvas *canvas, const tw_page *work, double room)
{
    double shrink = 1, width, after, height;

    for (size_t k = 0; k < work->count; k++) {
        tw_text_size(canvas, work->columns[k].grams, &grams_letters, &width, &height);
        if (work->columns[k].after[0]) {
            tw_text_size(canvas, work->columns[k].after, &after_letters, &after, &height);
            width += AFTER_GAP + after;
        }
        shrink = fmin(shrink, 0.985 * room / width); /* letters do not scale quite evenly */
    }
    return shrink;
}

/* One size for the headings of all columns likewise. */
static double heading_shrink(tw_canvas *canvas, const tw_page *work, double room)
{
    double shrink = 1, width, height;

    for (size_t k = 0; k < work->count; k++) {
        tw_text_size(canvas, work->columns[k].heading, &heading_letters, &width, &height);
        shrink = fmin(shrink, 0.985 * room / width);
    }
    return shrink;
}

tw_status tw_page_lay_out(tw_canvas *canvas, const void *context, bool ink, tw_arena *arena,
                          double *height, tw_error *err)
{
    const tw_page *work = context;
    const tw_outline *outline = tw_form_outline(work->plate->form);
    const double side = tw_panel_side(canvas);
    const double room =
        (PAGE - 2 * MARGIN - side - (double)(work->count - 1) * GAP) / (double)work->count;
    const double across = outline->across_max - outline->across_min;
    const double up = outline->up_max - outline->up_min;
    const double tallest = work->tallest > 0 ? work->tallest : 1.7 * PAGE / TW_PANELS_MAX;
    const double per_mm = fmin(room / across, tallest / up);
    const double shrink = head_shrink(canvas, work, room);
    tw_lettering headings = heading_letters;
    const double box_width = across * per_mm, box_height = up * per_mm;
    double y = 32, w, h, headings_y, words_height = 0, legend_height = 0;
    const char *left, *right;
    const bool named_sides = tw_page_sides(work->plate->profile->worn, &left, &right);
    double x[TW_PANELS_MAX], frame_x[TW_PANELS_MAX];
    tw_status status = TW_OK;

    for (size_t k = 0; k < work->count; k++) {
        x[k] = MARGIN + side + (double)k * (room + GAP);
        frame_x[k] = x[k] + (room - box_width) / 2;
    }
    if (work->bare) {
        y = 0;
    } else {
        y += tw_text_place(canvas, work->title, &title_letters, MARGIN, y, ink) + 4;
        y += tw_text_place(canvas, work->line, &line_letters, MARGIN, y, ink) + 22;
    }
    headings.size *= heading_shrink(canvas, work, room);
    headings_y = y;
    y = ceil((y + 54) * canvas->unit) / canvas->unit;

    for (size_t k = 0; ink && status == TW_OK && k < work->count; k++) {
        const tw_column *col = &work->columns[k];
        const tw_panel panel = {.plate = work->plate,
                                .node = col->node,
                                .scale = col->scale,
                                .frame = {.x = floor(frame_x[k] * canvas->unit) / canvas->unit,
                                          .y = y,
                                          .width = box_width,
                                          .height = box_height,
                                          .per_mm = per_mm,
                                          .across_min = outline->across_min,
                                          .up_max = outline->up_max},
                                .ticks_left = k == 0,
                                .contours = col->contours,
                                .zones = col->zones,
                                .centroid = col->centroid,
                                .dots = col->dots,
                                .threads = work->options->threads};
        status = tw_panel_draw(canvas, &panel, arena, err);
    }
    if (status != TW_OK)
        return status;
    y += box_height + tw_panel_foot(canvas);
    if (named_sides) {
        for (size_t k = 0; ink && k < work->count; k++) {
            tw_lettering letters = sides_letters;
            tw_text_draw(canvas, left, &letters, x[k], y);
            letters.align = TW_RIGHT;
            tw_text_draw(canvas, right, &letters, x[k] + room, y);
        }
        y += 36;
    }
    y += 6;
    for (size_t k = 0; k < work->count; k++) {
        const tw_lettering words = {.size = 26, .wrap = room};
        if (ink) { /* column by column, as they are read out */
            tw_text_draw(canvas, work->columns[k].heading, &headings, x[k], headings_y);
            head_line(canvas, &work->columns[k], x[k], y, shrink);
            tw_text_draw(canvas, work->columns[k].words, &words, x[k], y + 64);
        }
        tw_text_size(canvas, work->columns[k].words, &words, &w, &h);
        words_height = fmax(words_height, h);
    }
    y += 64 + words_height + 28;
    for (size_t k = 0; k < work->count; k++) {
        const tw_column *col = &work->columns[k];
        if (!col->legend[0])
            continue;
        if (ink)
            tw_legend_draw(canvas, &col->scale, col->legend, col->low, col->high, x[k], y,
                           col->legend_span * (room + GAP) - GAP);
        legend_height = 134;
    }
    y += legend_height + 8;
    if (ink)
        tw_scale_bar_draw(canvas, per_mm, x[0], y, room);
    y += 60;
    if (work->key_count > 0)
        y += 4 + tw_key_draw(canvas, work->key, work->key_count, ink, y + 4) + 14;
    if (!work->bare)
        y += tw_text_place(canvas, work->foot, &foot_letters, MARGIN, y, ink) + 28;
    *height = y;
    return status;
}

/* ---- words ------------------------------------------------------------------------------------- */

/* "1 15/16": a whole number before a fraction. */
static bool fraction_follows(const char *space)
{
    const char *at = space + 1;

    while (*at >= '0' && *at <= '9')
        at++;
    return at > space + 1 && at[0] == '/' && at[1] >= '0' && at[1] <= '9';
}

static void bind_at(char *space)
{
    memmove(space + 2, space + 1, strlen(space + 1) + 1);
    space[0] = (char)0xC2; /* U+00A0, no-break space */
    space[1] = (char)0xA0;
}

void tw_text_bind_units(char *text, size_t size)
{
    static const char *const units[] = {"mm",  "%",   "kg",  "g",   "in", "lb", "oz",
                                        "swg", "msg", "uss", "bwg", "bg", "m²", "dm²"};
    char *space = text;

    while ((space = strchr(space, ' ')) != NULL) {
        const bool number = space > text && space[-1] >= '0' && space[-1] <= '9';
        for (size_t k = 0; number && k < sizeof units / sizeof *units; k++) {
            const size_t length = strlen(units[k]);
            const char after = strncmp(space + 1, units[k], length) == 0 ? space[1 + length] : 'x';
            if ((after >= 'a' && after <= 'z') || strlen(text) + 2 > size)
                continue;
            bind_at(space);
            break;
        }
        if (number && *space == ' ' && fraction_follows(space) && strlen(text) + 2 <= size)
            bind_at(space);
        space++;
    }
}

void tw_text_append(char *text, size_t size, const char *more)
{
    const size_t used = strlen(text);

    snprintf(text + used, size - used, "%s", more);
}

void tw_balance_words(const tw_plate *plate, const double centroid[3], tw_units units, char *out,
                      size_t size)
{
    double tape[2], behind;
    char length[48];

    if (tw_balance_on_face(plate, centroid, tape, &behind)) {
        tw_write_length(behind, units, units == TW_METRIC ? 0 : -1, length, sizeof length);
        snprintf(out, size, "\nBalance point (quartered mark): %s behind the face.", length);
    } else {
        snprintf(out, size, "\nThe balance point lies off the plate's metal.");
    }
}

tw_status tw_page_begin(tw_page *work, const tw_plate *plate, const tw_draw_options *options,
                        const char *title, tw_error *err)
{
    const tw_profile *profile = plate->profile;
    const tw_status status = tw_picture_check(options, err);
    char number[64];

    if (status != TW_OK)
        return status;
    memset(work, 0, sizeof *work);
    work->plate = plate;
    work->options = options;
    snprintf(work->title, sizeof work->title, "%s: %s", profile->plate, title);
    tw_value_text(profile->density * 1e6, 1, false, TW_METRIC, number, sizeof number);
    snprintf(work->line, sizeof work->line,
             "%s%s%s, %s kg/m³. Laid out by tape: %s across and up along the outside of the face.",
             profile->kind ? profile->kind : "", profile->kind ? ", " : "", profile->material,
             number, options->units == TW_INCH ? "inches" : "millimetres");
    if (profile->note)
        tw_text_append(work->foot, sizeof work->foot, profile->note);
    if (options->date || profile->date) {
        tw_text_append(work->foot, sizeof work->foot, profile->note ? "  " : "");
        tw_text_append(work->foot, sizeof work->foot,
                       options->date ? options->date : profile->date);
    }
    tw_text_append(work->foot, sizeof work->foot, work->foot[0] ? "\n" : "");
    tw_text_append(
        work->foot, sizeof work->foot,
        "Thickness here counts metal. It is no protection rating and no permission to be hit.");
    return TW_OK;
}

/* One scale for all thickness panels, on round ends a little beyond the values. */
tw_scale tw_scale_thickness(double low, double high, tw_units units)
{
    tw_scale scale = {.palette = TW_PALETTE_THICKNESS};
    const double span = fmax(high - low, 0.2);

    scale.step = tw_round_step(span, 6, units);
    if (units == TW_METRIC && scale.step < 0.049) /* no gauge reads a quarter of a tenth */
        scale.step = 0.05;
    scale.low = floor(low / scale.step + 1e-6) * scale.step;
    scale.high = ceil(high / scale.step - 1e-6) * scale.step;
    if (scale.high - scale.low < 2 * scale.step) {
        scale.low = fmax(0, scale.low - scale.step);
        scale.high += scale.step;
    }
    return scale;
}

tw_status tw_page_render(tw_page *work, tw_paper paper, tw_output *out, tw_error *err)
{
    for (size_t k = 0; k < work->count; k++)
        tw_text_bind_units(work->columns[k].words, sizeof work->columns[k].words);
    return tw_picture_write(work->options, tw_page_lay_out, work, paper, out, err);
}
