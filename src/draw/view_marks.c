/* view_marks.c: words and marks that sections and charts of views share. */
#include "views.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void tw_tape_text(double mm, double step, tw_units units, char *out, size_t size)
{
    tw_value_text(mm, step, false, units, out, size);
}

void tw_view_colour(const tw_views *page, const tw_canvas *canvas, double mm, double rgb[3])
{
    const tw_scale *scale = &page->thickness;
    const double span = scale->high - scale->low;
    unsigned char bytes[3];

    if (canvas->hatch || page->request->quantity != TW_OF_THICKNESS) {
        rgb[0] = rgb[1] = rgb[2] = canvas->hatch ? 1 : 0.72;
        return;
    }
    tw_palette_colour(scale->palette, span > 0 ? (mm - scale->low) / span : 0.5, bytes);
    for (int c = 0; c < 3; c++)
        rgb[c] = bytes[c] / 255.0;
}

bool tw_cut_at(const tw_cut *cut, double along, size_t *before, double *share)
{
    for (size_t p = 0; p < cut->piece_count; p++) {
        const tw_cut_run *piece = &cut->pieces[p];
        const tw_cut_point *points = cut->points;
        size_t low = piece->first, high = piece->first + piece->count - 1;
        if (along < points[low].along - 1e-9 || along > points[high].along + 1e-9 || high == low)
            continue;
        while (high - low > 1) {
            const size_t middle = (low + high) / 2;
            if (points[middle].along <= along)
                low = middle;
            else
                high = middle;
        }
        *before = low;
        *share =
            points[high].along > points[low].along
                ? fmin(fmax((along - points[low].along) / (points[high].along - points[low].along),
                            0),
                       1)
                : 0;
        return true;
    }
    return false;
}

/* An edge's name with what it is: "the waist", "the rim", "hole 1". */
static void border_words(const char *name, char *out, size_t size)
{
    static const char *const sides[] = {"lower", "right", "upper", "left"};
    bool side = false;

    for (int k = 0; k < 4; k++)
        side = side || strcmp(name, sides[k]) == 0;
    tw_format(out, size, "%s%s%s", strncmp(name, "hole", 4) == 0 ? "" : "the ", name,
              side ? " edge" : "");
}

static bool is_end(const tw_cut *cut, size_t point)
{
    return fabs(cut->points[point].along - cut->points[0].along) < 5 ||
           fabs(cut->points[point].along - cut->points[cut->count - 1].along) < 5;
}

void tw_cut_place(const tw_cut *cut, double along, tw_units units, char *out, size_t size)
{
    static const char *const ways[][2] = {[TW_WAY_CENTRE] = {"up", "down"},
                                          [TW_WAY_ACROSS] = {"right", "left"},
                                          [TW_WAY_UP] = {"up", "down"},
                                          [TW_WAY_POINTS] = {"along", "before"}};
    const double shown = units == TW_METRIC ? round(along) : fabs(along) < 0.5 ? 0 : along;
    char length[48];

    tw_write_length(fabs(shown), units, units == TW_METRIC ? 0 : -1, length, sizeof length);
    tw_format(out, size, "%s %s", length, ways[cut->way][shown < 0]);
}

void tw_cut_words(const tw_cut *cut, tw_units units, char *out, size_t size)
{
    const tw_cut_run *last = &cut->pieces[cut->piece_count - 1];
    const tw_cut_point *points = cut->points;
    size_t inner[2] = {cut->thinnest, cut->thickest};
    char thickness[32], place[80], one[160];

    border_words(cut->pieces[0].from, place, sizeof place);
    tw_format(out, size, "%s at %s",
              tw_write_thickness(points[0].thickness, units, -1, thickness, sizeof thickness),
              place);
    if (inner[0] > inner[1]) {
        inner[0] = cut->thickest;
        inner[1] = cut->thinnest;
    }
    for (int k = 0; k < 2; k++) {
        if (is_end(cut, inner[k]) || inner[0] == inner[1] ||
            points[cut->thickest].thickness - points[cut->thinnest].thickness < 0.005)
            continue;
        tw_write_thickness(points[inner[k]].thickness, units, -1, thickness, sizeof thickness);
        tw_cut_place(cut, points[inner[k]].along, units, place, sizeof place);
        tw_format(one, sizeof one, ", %s at %s", thickness, place);
        tw_text_append(out, size, one);
    }
    border_words(last->to, place, sizeof place);
    tw_format(one, sizeof one, ", %s at %s",
              tw_write_thickness(points[cut->count - 1].thickness, units, -1, thickness,
                                 sizeof thickness),
              place);
    tw_text_append(out, size, one);
}

void tw_boxes_line(tw_boxes *taken, const double from[2], const double to[2], double spare)
{
    const int steps = (int)ceil(hypot(to[0] - from[0], to[1] - from[1]) / 14) + 1;

    for (int k = 0; k < steps; k++) {
        double box[4];
        for (int d = 0; d < 2; d++) {
            const double a = from[d] + (to[d] - from[d]) * k / steps;
            const double b = from[d] + (to[d] - from[d]) * (k + 1) / steps;
            box[d] = fmin(a, b) - spare;
            box[d + 2] = fmax(a, b) + spare;
        }
        tw_box_take(taken, box);
    }
}

/* Whether a leader from a place runs clear of all that is written. */
static bool line_free(const tw_boxes *taken, const double from[2], const double to[2])
{
    const double length = hypot(to[0] - from[0], to[1] - from[1]);
    const int steps = (int)(length / 4);

    for (int k = 2; k < steps; k++) {
        const double x = from[0] + (to[0] - from[0]) * k / steps;
        const double y = from[1] + (to[1] - from[1]) * k / steps;
        const double box[4] = {x - 1, y - 1, x + 1, y + 1};
        if (!tw_box_free(taken, box))
            return false;
    }
    return true;
}

static void draw_leader(tw_canvas *canvas, const double from[2], const double to[2])
{
    cairo_move_to(canvas->cairo, from[0], from[1]);
    cairo_line_to(canvas->cairo, to[0], to[1]);
    tw_pen_stroke(canvas, 1.3, 0.35, 1);
}

bool tw_label_near(tw_canvas *canvas, const char *text, const tw_lettering *letters,
                   const double at[2], const double way[2], double nearest, tw_boxes *taken)
{
    static const double slides[] = {0, 1, -1, 2, -2, 3, -3};
    enum { SLIDES = sizeof slides / sizeof *slides, REACHES = 9 };
    tw_lettering centred = *letters;
    double width, height, half, box[4];

    centred.align = TW_CENTRE;
    tw_text_size(canvas, text, letters, &width, &height);
    half = fabs(way[0]) * width / 2 + fabs(way[1]) * height / 2;
    for (int reach = 0; reach < REACHES; reach++)
        for (int slide = 0; slide < SLIDES; slide++) {
            const double off = nearest + 16.0 * reach + half;
            const double aside =
                0.3 * slides[slide] * (fabs(way[1]) * width + fabs(way[0]) * height);
            const double x = at[0] + way[0] * off - way[1] * aside;
            const double y = at[1] + way[1] * off + way[0] * aside;
            double to[2], from[2];
            bool led;
            tw_box_about(x, y, width, height * 0.86, 4, box);
            to[0] = fmin(fmax(at[0], box[0] + 3), box[2] - 3);
            to[1] = fmin(fmax(at[1], box[1] + 2), box[3] - 2);
            from[0] = at[0] + fmin(nearest - 2, 9) * way[0];
            from[1] = at[1] + fmin(nearest - 2, 9) * way[1];
            led = hypot(to[0] - from[0], to[1] - from[1]) > 6;
            if (!tw_box_free(taken, box) || (led && !line_free(taken, from, to)))
                continue;
            if (led) {
                draw_leader(canvas, from, to);
                tw_boxes_line(taken, from, to, 2);
            }
            tw_text_draw(canvas, text, &centred, x, y - height / 2);
            tw_box_take(taken, box);
            return true;
        }
    return false;
}
