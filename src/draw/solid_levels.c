/*
 * solid_levels.c: level lines of the value, with labels, and borders of strike zones, where the face that
 * they lie on is seen.
 */
#include "solid_internal.h"

#include <math.h>
#include <string.h>

static const double LABEL_SIZE = 23;

/* A box stands on one face if its corners and its middle do. */
static bool box_on_face(const tw_scene *v, const double box[4], tw_sight_side side)
{
    const tw_samples *s = v->samples;

    for (int k = 0; k < 5; k++) {
        const double x = k == 4 ? (box[0] + box[2]) / 2 : box[k & 1 ? 2 : 0];
        const double y = k == 4 ? (box[1] + box[3]) / 2 : box[k & 2 ? 3 : 1];
        const double at[2] = {(x - s->design[0]) * s->per_design,
                              (y - s->design[1]) * s->per_design};
        if (!(at[0] >= 0 && at[1] >= 0 && at[0] < (double)s->width && at[1] < (double)s->height) ||
            s->side[(size_t)at[1] * s->width + (size_t)at[0]] != side)
            return false;
    }
    return true;
}

/* A ring that its label would hide. */
static bool ring_too_small(const tw_trail *t, double width, double height)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};

    for (size_t k = 0; k < t->count; k++)
        for (int d = 0; d < 2; d++) {
            low[d] = fmin(low[d], t->at[k][d]);
            high[d] = fmax(high[d], t->at[k][d]);
        }
    return fmin(high[0] - low[0], high[1] - low[1]) < 1.6 * height ||
           fmax(high[0] - low[0], high[1] - low[1]) < 1.6 * width;
}

static void label(const tw_scene *v, const tw_contour *line, const tw_trail *t, tw_sight_side side)
{
    static const double order[16] = {8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15, 0};
    const tw_scale *scale = &v->body->solid->scale;
    const tw_lettering letters = {
        .size = LABEL_SIZE, .halo = true, .align = TW_CENTRE, .mark = true};
    char text[32];
    double width, height;

    tw_value_text(line->level, scale->step, scale->palette == TW_PALETTE_DIFFERENCE,
                  v->canvas->units, text, sizeof text);
    tw_text_size(v->canvas, text, &letters, &width, &height);
    if (tw_trail_length(t, 0, t->count) < 3 * width ||
        (line->closed && ring_too_small(t, width, height)))
        return;
    for (int k = 0; k < 16; k++) {
        const size_t n = (size_t)((double)(t->count - 1) * order[k] / 16);
        double box[4];
        tw_box_about(t->at[n][0], t->at[n][1], width, height * 0.8, 3, box);
        if (t->seen[n] && tw_box_free(v->taken, box) && box_on_face(v, box, side)) {
            tw_text_draw(v->canvas, text, &letters, t->at[n][0], t->at[n][1] - height / 2);
            tw_box_take(v->taken, box);
            return;
        }
    }
}

static void stroke_level(const tw_scene *v, const tw_trail *t, double level)
{
    const tw_scale *scale = &v->body->solid->scale;
    const bool hatch = v->body->solid->hatch, zero = fabs(level) < 0.1 * scale->step;
    const double dash[2] = {7, 5};

    if (hatch) { /* clear of the hatching on both sides */
        tw_trail_path(v, t);
        tw_pen_stroke(v->canvas, zero ? 7 : 5, 1, 1);
    }
    tw_trail_path(v, t);
    if (scale->palette == TW_PALETTE_DIFFERENCE && level < 0 && !zero)
        cairo_set_dash(v->canvas->cairo, dash, 2, 0);
    tw_pen_stroke(v->canvas,
                  zero    ? 3
                  : hatch ? 2
                          : 1.4,
                  hatch ? 0 : 0.1,
                  hatch  ? 1
                  : zero ? 0.9
                         : 0.6);
    cairo_set_dash(v->canvas->cairo, dash, 0, 0);
}

/* Along an even stretch (a hold, a strike zone) a level line follows the nodes of the grid in steps: each
 * point is drawn to its neighbours' middle a few times, which moves a smooth line by next to nothing. */
static void smooth(tw_contour *line)
{
    enum { TURNS = 6 };

    for (int turn = 0; turn < TURNS && line->count > 2; turn++) {
        double first[2], before[2];
        memcpy(first, line->points[0], sizeof first);
        memcpy(before, line->points[line->closed ? line->count - 1 : 0], sizeof before);
        for (size_t k = line->closed ? 0 : 1; k + (line->closed ? 0 : 1) < line->count; k++) {
            const double *next = k + 1 < line->count ? line->points[k + 1] : first;
            for (int d = 0; d < 2; d++) {
                const double here = line->points[k][d];
                line->points[k][d] = 0.25 * before[d] + 0.5 * here + 0.25 * next[d];
                before[d] = here;
            }
        }
    }
}

tw_status tw_sight_levels(const tw_scene *v, tw_sight_side side, tw_error *err)
{
    const tw_grid *grid = v->body->grid;
    const tw_field field = {grid->nu, grid->nv, v->body->solid->value, grid->area};
    double levels[TW_LEVELS_MAX];
    const size_t level_count = tw_scale_levels(&v->body->solid->scale, levels);
    tw_contour *lines;
    tw_trail *trails;
    size_t count;
    tw_status status =
        tw_contours_trace(&field, levels, level_count, v->arena, &lines, &count, err);

    if (status != TW_OK)
        return status;
    trails = tw_arena_array(v->arena, count, sizeof *trails);
    if (!trails)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the lines of a view");
    for (size_t k = 0; k < count; k++) {
        smooth(&lines[k]);
        status = tw_trail_of(v, &lines[k], 0, side, false, &trails[k], err);
        if (status != TW_OK)
            return status;
        stroke_level(v, &trails[k], lines[k].level);
    }
    for (size_t k = 0; k < count; k++)
        label(v, &lines[k], &trails[k], side);
    return TW_OK;
}

static tw_status draw_zone(const tw_scene *v, size_t zone, double *share, tw_sight_side side,
                           tw_error *err)
{
    const double dash[2] = {9, 6};
    const bool hatch = v->body->solid->hatch;
    double middle[2], thickness;
    tw_contour *lines = NULL;
    size_t count;
    tw_status status = tw_zone_border(v->body->solid->plate, zone, share, middle, &thickness,
                                      v->arena, &lines, &count, err);

    for (size_t k = 0; status == TW_OK && k < count; k++) {
        tw_trail t;
        status = tw_trail_of(v, &lines[k], 0.5, side, false, &t, err);
        if (status != TW_OK)
            break;
        tw_trail_path(v, &t); /* pale under dark: seen on any colour */
        tw_pen_stroke(v->canvas, hatch ? 8 : 4.6, 1, hatch ? 1 : 0.55);
        tw_trail_path(v, &t);
        cairo_set_dash(v->canvas->cairo, dash, 2, 0);
        tw_pen_stroke(v->canvas, 2.6, 0, 0.95);
        cairo_set_dash(v->canvas->cairo, dash, 0, 0);
    }
    return status;
}

tw_status tw_sight_zones(const tw_scene *v, tw_sight_side side, tw_error *err)
{
    const tw_plate *plate = v->body->solid->plate;
    double *share = tw_arena_array(v->arena, tw_grid_cells(plate->grid), sizeof *share);
    tw_status status = TW_OK;

    if (!share)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the strike zones");
    for (size_t z = 0; status == TW_OK && z < plate->zones.count; z++)
        status = draw_zone(v, z, share, side, err);
    return status;
}
