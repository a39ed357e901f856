/*
 * section_draw.c: a section on the page: a strip of metal between outer and inner face, once with its
 * thickness true and once with thickness drawn so many times, both on one scale of mm over the bench.
 */
#include "views.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const double SIZE = 23, SMALL = 21;
static const double PAD_X = 104, PAD_TOP = 92, FOOT = 46, HEAD = 38;
static const double STACKED =
    2.5; /* width over height from which two drawings stand one over the other */
static const double SHADES = 40;
enum { OVERLAP = 6 }; /* points */

typedef struct drawing {
    const tw_view_work *work;
    const tw_section *section;
    double x, y; /* page place of the section's x = 0, and of y = 0 */
    double per_mm;
    double left, right, top; /* of the drawing's box on the page */
} drawing;

static void to_page(const drawing *d, const double at[2], double out[2])
{
    out[0] = d->x + at[0] * d->per_mm;
    out[1] = d->y - at[1] * d->per_mm;
}

/* ---- how large ---------------------------------------------------------------------------------- */

typedef struct plan {
    double left, right, bottom, top; /* of both drawings [mm] */
    double per_mm, side, height;     /* of one drawing's box */
    size_t count, columns;
    double width;
} plan;

static plan make_plan(tw_canvas *canvas, const tw_view_work *work, double width)
{
    const tw_section *all = work->sections;
    plan p = {.count = all[1].even ? 1 : 2, .side = tw_panel_side(canvas)};

    p.left = fmin(all[0].left, all[1].left);
    p.right = fmax(all[0].right, all[1].right);
    p.bottom = fmin(fmin(all[0].bottom, all[1].bottom), all[0].bench ? 0 : INFINITY);
    p.top = fmax(all[0].top, all[1].top);
    p.columns =
        p.count == 2 && width > 1100 && (p.right - p.left) < STACKED * (p.top - p.bottom) ? 2 : 1;
    p.width = (width - (double)(p.columns - 1) * 40) / (double)p.columns;
    p.per_mm =
        fmin((p.width - p.side - 2 * PAD_X) / (p.right - p.left), 560 / fmax(p.top - p.bottom, 1));
    p.height = HEAD + PAD_TOP + (p.top - p.bottom) * p.per_mm + FOOT + 30;
    return p;
}

static double section_height(tw_canvas *canvas, const void *context, double width)
{
    const plan p = make_plan(canvas, context, width);

    return p.columns == 2 || p.count == 1 ? p.height : 2 * p.height;
}

/* ---- metal -------------------------------------------------------------------------------------- */

static void fill_run(tw_canvas *canvas, const drawing *d, size_t first, size_t last)
{
    const tw_section *s = d->section;
    double at[2], rgb[3];

    for (size_t k = first; k <= last; k++) {
        to_page(d, s->outer[k], at);
        cairo_line_to(canvas->cairo, at[0], at[1]);
    }
    for (size_t k = last + 1; k-- > first;) {
        to_page(d, s->inner[k], at);
        cairo_line_to(canvas->cairo, at[0], at[1]);
    }
    cairo_close_path(canvas->cairo);
    tw_view_colour(d->work->page, canvas, s->cut->points[(first + last) / 2].thickness, rgb);
    cairo_set_source_rgb(canvas->cairo, rgb[0], rgb[1], rgb[2]);
    cairo_fill(canvas->cairo);
}

static double shade_of(const drawing *d, size_t point)
{
    const tw_scale *scale = &d->work->page->thickness;

    return floor(SHADES * (d->section->cut->points[point].thickness - scale->low) /
                 (scale->high > scale->low ? scale->high - scale->low : 1));
}

static void draw_metal(tw_canvas *canvas, const drawing *d, tw_boxes *taken)
{
    const tw_section *s = d->section;
    const tw_cut *cut = s->cut;

    for (size_t p = 0; p < cut->piece_count; p++) {
        const size_t first = cut->pieces[p].first, end = first + cut->pieces[p].count;
        size_t from = first;
        double before[2] = {0, 0}, at[2];
        for (size_t k = first + 1; k < end; k++)
            if (k + 1 == end || shade_of(d, k) != shade_of(d, from)) {
                /* on under the next one, so that no white shows between them */
                fill_run(canvas, d, from, k + OVERLAP < end ? k + OVERLAP : end - 1);
                from = k;
            }
        for (size_t k = first; k < end; k++) {
            to_page(d, s->outer[k], at);
            cairo_line_to(canvas->cairo, at[0], at[1]);
        }
        for (size_t k = end; k-- > first;) {
            to_page(d, s->inner[k], at);
            cairo_line_to(canvas->cairo, at[0], at[1]);
        }
        cairo_close_path(canvas->cairo);
        cairo_set_line_join(canvas->cairo, CAIRO_LINE_JOIN_ROUND);
        tw_pen_stroke(canvas, 1.7, 0.05, 1);
        for (int face = 0; face < 2; face++)
            for (size_t k = first; k < end; k++) { /* no label on metal */
                to_page(d, face ? s->inner[k] : s->outer[k], at);
                if (k == first) {
                    memcpy(before, at, sizeof before);
                } else if (k + 1 == end || hypot(at[0] - before[0], at[1] - before[1]) > 12) {
                    tw_boxes_line(taken, before, at, 2);
                    memcpy(before, at, sizeof before);
                }
            }
    }
}

/* ---- what is written about it --------------------------------------------------------------------- */

static void place_of(const drawing *d, size_t before, double share, double at[2], double way[2])
{
    const tw_section *s = d->section;
    double a[2], b[2];

    to_page(d, s->outer[before], a);
    to_page(d, s->outer[before + 1], b);
    for (int k = 0; k < 2; k++) {
        at[k] = a[k] + share * (b[k] - a[k]);
        way[k] = s->normal[before][k] + share * (s->normal[before + 1][k] - s->normal[before][k]);
    }
    way[1] = -way[1];
    a[0] = fmax(hypot(way[0], way[1]), 1e-9);
    way[0] /= a[0];
    way[1] /= a[0];
}

/* True drawing: tape by the face. The other: how thick it is there. */
static void draw_numbers(tw_canvas *canvas, const drawing *d, bool thickness, tw_boxes *taken)
{
    const tw_cut *cut = d->section->cut;
    const tw_units units = canvas->units;
    const double length = cut->points[cut->count - 1].along - cut->points[0].along;
    const double step = tw_round_step(length, fmin(10, length * d->per_mm / 95), units);
    const double fine = units == TW_INCH ? 25.4 * 0.001 : 0.01;
    const tw_lettering letters = {.size = thickness ? SIZE : SMALL,
                                  .bold = thickness,
                                  .grey = thickness ? 0 : 0.3,
                                  .mark = true};

    for (double k = ceil(cut->points[0].along / step - 1e-9);
         k * step <= cut->points[cut->count - 1].along + 1e-9; k++) {
        double at[2], way[2], share;
        size_t n;
        char text[32];
        if (!tw_cut_at(cut, k * step, &n, &share))
            continue;
        place_of(d, n, share, at, way);
        cairo_move_to(canvas->cairo, at[0], at[1]);
        cairo_rel_line_to(canvas->cairo, 9 * way[0], 9 * way[1]);
        tw_pen_stroke(canvas, 1.8, 0.2, 1);
        if (thickness)
            tw_value_text(cut->points[n].thickness +
                              share * (cut->points[n + 1].thickness - cut->points[n].thickness),
                          fine, false, units, text, sizeof text);
        else
            tw_tape_text(k * step, step, units, text, sizeof text);
        tw_label_near(canvas, text, &letters, at, way, 12, taken);
    }
}

/* A stroke beside the face as far as a strike zone goes, and its name. */
static void draw_zones(tw_canvas *canvas, const drawing *d, tw_boxes *taken)
{
    static const tw_lettering letters = {.size = 23, .bold = true, .mark = true};
    const tw_forged_spec *forged = &d->work->page->request->plate->profile->forged;
    const tw_section *s = d->section;
    const tw_cut *cut = s->cut;

    for (size_t k = 0; k < cut->count;) {
        const size_t strike = cut->points[k].strike;
        const size_t first = k;
        double at[2], way[2];
        for (; k < cut->count && cut->points[k].strike == strike; k++) {
            if (strike == SIZE_MAX || k + 1 == cut->count)
                continue;
            place_of(d, k, 0, at, way);
            cairo_line_to(canvas->cairo, at[0] + 6 * way[0], at[1] + 6 * way[1]);
        }
        if (strike == SIZE_MAX || k - first < 3) {
            cairo_new_path(canvas->cairo);
            continue;
        }
        tw_pen_stroke(canvas, 4, 0.1, 1);
        place_of(d, (first + k) / 2, 0, at, way);
        at[0] += 7 * way[0];
        at[1] += 7 * way[1];
        tw_label_near(canvas, forged->strikes[strike].name, &letters, at, way, 44, taken);
    }
}

/* Beyond the end where there is room, else beside it. */
static void name_end(tw_canvas *canvas, const char *name, const tw_section *s, size_t point,
                     const double at[2], const double way[2], double nearest, tw_boxes *taken)
{
    static const tw_lettering letters = {.size = 23, .grey = 0.1, .mark = true};
    const double out[2] = {s->normal[point][0], -s->normal[point][1]};

    if (tw_label_near(canvas, name, &letters, at, way, nearest, taken) ||
        tw_label_near(canvas, name, &letters, at, out, 14, taken))
        return;
    tw_label_near(canvas, name, &letters, at, (double[2]){-out[0], -out[1]}, 14, taken);
}

static void draw_ends(tw_canvas *canvas, const drawing *d, tw_boxes *taken)
{
    const tw_section *s = d->section;
    const tw_cut *cut = s->cut;

    for (size_t p = 0; p < cut->piece_count; p++) {
        const size_t first = cut->pieces[p].first, last = first + cut->pieces[p].count - 1;
        double at[2], other[2], way[2], size;
        for (int end = 0; end < 2; end++) {
            const bool hole = end ? p + 1 < cut->piece_count : p > 0;
            if (end == 0 && hole)
                continue; /* named once, from its other side */
            to_page(d, s->outer[end ? last : first], at);
            to_page(d, s->outer[end ? last - 1 : first + 1], other);
            if (hole) {
                to_page(d, s->outer[last + 1], other);
                at[0] = (at[0] + other[0]) / 2;
                at[1] = (at[1] + other[1]) / 2;
                way[0] = s->normal[last][0];
                way[1] = -s->normal[last][1];
            } else {
                size = fmax(hypot(at[0] - other[0], at[1] - other[1]), 1e-9);
                way[0] = (at[0] - other[0]) / size;
                way[1] = (at[1] - other[1]) / size;
            }
            name_end(canvas, end ? cut->pieces[p].to : cut->pieces[p].from, s, end ? last : first,
                     at, way, hole ? 30 : 10, taken);
        }
    }
}

/* ---- axes ---------------------------------------------------------------------------------------- */

static void axis_tick(tw_canvas *canvas, const tw_lettering *letters, const char *text, double x,
                      double y, tw_boxes *taken)
{
    double width, height, box[4];

    tw_text_size(canvas, text, letters, &width, &height);
    tw_text_draw(canvas, text, letters, x, y);
    tw_box_about(letters->align == TW_RIGHT ? x - width / 2 : x, y + height / 2, width, height, 2,
                 box);
    tw_box_take(taken, box);
}

static void draw_axes(tw_canvas *canvas, const drawing *d, const plan *p, tw_boxes *taken)
{
    tw_lettering letters = {.size = SMALL, .grey = 0.3, .align = TW_CENTRE, .mark = true};
    const double step = tw_round_step(fmax(p->right - p->left, p->top - p->bottom),
                                      p->width > 900 ? 8 : 5, canvas->units);
    const double floor_y = d->y - p->bottom * p->per_mm;
    const double ends[2] = {d->left, d->right};
    char text[48], number[32];
    double at[2];

    for (double k = ceil(p->left / step - 1e-9); k * step <= p->right + 1e-9; k++) {
        to_page(d, (double[2]){k * step, p->bottom}, at);
        cairo_move_to(canvas->cairo, at[0], at[1] + FOOT - 30);
        cairo_rel_line_to(canvas->cairo, 0, 8);
        tw_pen_stroke(canvas, 2, 0.3, 1);
        tw_tape_text(k * step, step, canvas->units, number, sizeof number);
        axis_tick(canvas, &letters, number, at[0], at[1] + FOOT - 21, taken);
    }
    cairo_move_to(canvas->cairo, d->x + p->left * p->per_mm, floor_y + FOOT - 30);
    cairo_line_to(canvas->cairo, d->x + p->right * p->per_mm, floor_y + FOOT - 30);
    tw_pen_stroke(canvas, 1.4, 0.3, 1);
    letters.align = TW_RIGHT;
    for (double k = ceil(p->bottom / step - 1e-9); k * step <= p->top + 1e-9; k++) {
        to_page(d, (double[2]){0, k * step}, at);
        cairo_move_to(canvas->cairo, d->left, at[1]);
        cairo_rel_line_to(canvas->cairo, -8, 0);
        tw_pen_stroke(canvas, 2, 0.3, 1);
        tw_tape_text(k * step, step, canvas->units, number, sizeof number);
        tw_format(text, sizeof text, "%s%s", k == 0 && d->section->bench ? "bench" : number,
                  !(k == 0 && d->section->bench) && (k + 1) * step > p->top
                      ? canvas->units == TW_INCH ? " in" : " mm"
                      : "");
        axis_tick(canvas, &letters, text, d->left - 11, at[1] - 13, taken);
    }
    if (d->section->bench) {
        const double dash[2] = {10, 7};
        cairo_move_to(canvas->cairo, ends[0], d->y);
        cairo_line_to(canvas->cairo, ends[1], d->y);
        cairo_set_dash(canvas->cairo, dash, 2, 0);
        tw_pen_stroke(canvas, 1.4, 0.45, 1);
        cairo_set_dash(canvas->cairo, dash, 0, 0);
        tw_boxes_line(taken, (double[2]){ends[0], d->y}, (double[2]){ends[1], d->y}, 1);
    }
}

/* ---- the picture ----------------------------------------------------------------------------------- */

static void times_words(const tw_section *s, char *out, size_t size)
{
    char number[32];

    tw_value_text(s->factor, s->factor == floor(s->factor) ? 1 : 0.1, false, TW_METRIC, number,
                  sizeof number);
    tw_format(out, size, "thickness drawn %s times", number);
}

static void draw_one(tw_canvas *canvas, const tw_view_work *work, const plan *p, size_t which,
                     double x, double y, tw_boxes *taken)
{
    static const tw_lettering head = {.size = 26, .bold = true},
                              rest = {.size = SMALL, .grey = 0.3};
    const tw_section *s = &work->sections[which];
    const double room = p->width - p->side - 2 * PAD_X - (p->right - p->left) * p->per_mm;
    drawing d = {.work = work,
                 .section = s,
                 .per_mm = p->per_mm,
                 .left = x + p->side,
                 .right = x + p->width,
                 .top = y + HEAD};
    char words[64] = "thickness true";
    double width, height;

    d.x = d.left + PAD_X + room / 2 - p->left * p->per_mm;
    d.y = d.top + PAD_TOP + p->top * p->per_mm;
    if (which)
        times_words(s, words, sizeof words);
    words[0] = 'T';
    tw_text_size(canvas, words, &head, &width, &height);
    tw_text_draw(canvas, words, &head, x, y);
    tw_text_draw(canvas,
                 which || p->count == 1     ? canvas->units == TW_INCH ? "numbers: thickness, in"
                                                                       : "numbers: thickness, mm"
                 : canvas->units == TW_INCH ? "numbers: tape, in"
                                            : "numbers: tape, mm",
                 &rest, x + width + 16, y + 5);
    tw_box_take(taken, (double[4]){x, -1e4, x + p->width, y + HEAD - 2});
    tw_box_take(taken, (double[4]){-1e4, -1e4, d.left + 2, 1e6});
    tw_box_take(taken, (double[4]){d.right - 2, -1e4, 1e4, 1e6});
    tw_box_take(taken, (double[4]){-1e4, d.y - p->bottom * p->per_mm + FOOT - 32, 1e4, 1e6});
    draw_axes(canvas, &d, p, taken);
    draw_metal(canvas, &d, taken);
    draw_zones(canvas, &d, taken);
    if (!which)
        draw_ends(canvas, &d, taken);
    draw_numbers(canvas, &d, which || p->count == 1, taken);
    if (which)
        draw_ends(canvas, &d, taken);
}

static tw_status draw_section(tw_canvas *canvas, const void *context, double x, double y,
                              double width, double height, tw_arena *arena, tw_error *err)
{
    const tw_view_work *work = context;
    const plan p = make_plan(canvas, work, width);

    (void)height;
    for (size_t k = 0; k < p.count; k++) {
        tw_boxes *taken = tw_arena_array(arena, 1, sizeof *taken);
        if (!taken)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for a section");
        draw_one(canvas, work, &p, k, x + (p.columns == 2 && k ? p.width + 40 : 0),
                 y + (p.columns == 1 && k ? p.height : 0), taken);
    }
    return TW_OK;
}

static void section_words(const tw_view_work *work, tw_tile *tile)
{
    const tw_section *more = &work->sections[1];
    const tw_units units = work->page->options->units;
    char line[400], times[64], number[32];

    tw_format(tile->heading, sizeof tile->heading, "Section");
    tw_cut_words(&work->cut, units, line, sizeof line);
    tw_format(tile->words, sizeof tile->words, "Along %s: %s.", work->cut.name, line);
    times_words(more, times, sizeof times);
    if (more->wanted > 0) {
        tw_value_text(more->wanted, more->wanted == floor(more->wanted) ? 1 : 0.1, false, TW_METRIC,
                      number, sizeof number);
        tw_format(line, sizeof line,
                  " The %s: %s times would turn the inner face over where it curves most.", times,
                  number);
        tw_text_append(tile->words, sizeof tile->words, line);
    }
    if (work->sections[0].off_plane > 2) {
        tw_write_length(work->sections[0].off_plane, units, units == TW_METRIC ? 0 : -1, number,
                        sizeof number);
        tw_format(line, sizeof line,
                  " The line is laid flat here: it leaves the plane by up to %s.", number);
        tw_text_append(tile->words, sizeof tile->words, line);
    }
    tw_text_bind_units(tile->words, sizeof tile->words);
}

tw_status tw_section_tile(tw_view_work *work, tw_arena *arena, tw_tile *tile, tw_error *err)
{
    const tw_view_request *request = work->page->request;
    const tw_face_side face = request->plate->profile->face;
    tw_status status =
        tw_cut_make(request, &work->view->line, work->page->options->units, &work->cut, err);

    if (status == TW_OK)
        status = tw_section_make(&work->cut, face, 1, arena, &work->sections[0], err);
    if (status == TW_OK)
        status = tw_section_make(&work->cut, face, work->view->exaggerate, arena,
                                 &work->sections[1], err);
    if (status != TW_OK)
        return status;
    work->sections[1].even = work->sections[1].factor <= 1;
    tile->aspect = 2.6;
    tile->least = 900;
    tile->height = section_height;
    tile->draw = draw_section;
    tile->context = work;
    section_words(work, tile);
    return TW_OK;
}
