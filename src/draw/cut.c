/*
 * cut.c: a plate cut along a tape line. The line is walked in short steps of tape; where it crosses
 * outline or hole the crossing is halved down to rounding. Tape length along it is Simpson's rule over
 * the face's speed |da·∂r/∂across + du·∂r/∂up|; a step never straddles across = 0, where a keel has its
 * crease.
 */
#include "views.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

static const double STEP_MM = 0.5;
static const double STEPS_MAX = 1500;
static const double EVEN_MM = 0.002; /* nobody gauges that */

typedef struct walk {
    const tw_view_request *request;
    const tw_outline *outline;
    tw_cut *cut;
    size_t room, piece_room;
    double along;
} walk;

/* ---- corners of the line ---------------------------------------------------------------------- */

enum { CORNERS_MAX = 2 * TW_TAPE_POINTS_MAX };

static size_t line_corners(const tw_tape_line *line, const tw_outline *outline,
                           double corners[CORNERS_MAX][2])
{
    const double at = line->way == TW_WAY_CENTRE ? 0 : line->at;
    double ends[2][2] = {{at, outline->up_min}, {at, outline->up_max}};
    const double(*points)[2] = (const double(*)[2])ends;
    size_t count = 2, out = 0;

    if (line->way == TW_WAY_ACROSS) {
        ends[0][0] = outline->across_min;
        ends[1][0] = outline->across_max;
        ends[0][1] = ends[1][1] = at;
    } else if (line->way == TW_WAY_POINTS) {
        points = line->points;
        count = line->count;
    }
    for (size_t k = 0; k < count; k++) {
        if (k && points[k - 1][0] * points[k][0] < 0) { /* where a crease may be */
            const double share = points[k - 1][0] / (points[k - 1][0] - points[k][0]);
            corners[out][0] = 0;
            corners[out++][1] = points[k - 1][1] + share * (points[k][1] - points[k - 1][1]);
        }
        memcpy(corners[out++], points[k], sizeof corners[0]);
    }
    return out;
}

static void name_line(const tw_tape_line *line, tw_units units, char *out, size_t size)
{
    char words[TW_TAPE_POINTS_MAX][2][32], one[80];
    const double at = line->at;

    tw_write_length(fabs(at), units, units == TW_METRIC && at == floor(at) ? 0 : -1, words[0][0],
                    sizeof words[0][0]);
    if (line->way == TW_WAY_CENTRE || (line->way == TW_WAY_UP && at == 0)) {
        tw_format(out, size, "the centre line");
    } else if (line->way == TW_WAY_ACROSS) {
        tw_format(out, size, "the line from side to side %s %s", words[0][0],
                  at < 0 ? "down" : "up");
    } else if (line->way == TW_WAY_UP) {
        tw_format(out, size, "the line upwards %s to the %s", words[0][0],
                  at < 0 ? "left" : "right");
    } else {
        tw_format(out, size, "the line from ");
        for (size_t k = 0; k < line->count; k++) {
            if (k > 1 && k + 1 < line->count)
                continue;
            for (int d = 0; d < 2; d++)
                tw_write_length(line->points[k][d], units, -1, words[k][d], sizeof words[k][d]);
            tw_format(one, sizeof one, "%s[%s, %s]",
                      k == 0                      ? ""
                      : k == 1 && line->count > 2 ? " by "
                                                  : " to ",
                      words[k][0], words[k][1]);
            tw_text_append(out, size, one);
        }
    }
}

/* ---- points on it ------------------------------------------------------------------------------ */

static double speed(const tw_form *form, const double tape[2], const double way[2])
{
    tw_face_point at;
    double rate[3];

    tw_form_at(form, tape[0], tape[1], &at);
    for (int d = 0; d < 3; d++)
        rate[d] = way[0] * at.across_step[d] + way[1] * at.up_step[d];
    return sqrt(tw_dot(rate, rate));
}

/* Evaluated a hair to the left of a crease when the line is there. */
static double length_between(const tw_form *form, const double from[2], const double to[2])
{
    const double way[2] = {to[0] - from[0], to[1] - from[1]};
    double sum = 0;

    for (int k = 0; k < 3; k++) {
        double at[2] = {from[0] + k * way[0] / 2, from[1] + k * way[1] / 2};
        if (at[0] == 0 && from[0] + to[0] < 0)
            at[0] = -1e-9;
        sum += (k == 1 ? 4 : 1) * speed(form, at, way);
    }
    return sum / 6;
}

static size_t strike_at(const tw_plate *plate, const double tape[2])
{
    const tw_forged_spec *forged = &plate->profile->forged;
    size_t found = SIZE_MAX;

    for (size_t k = 0; plate->taper && k < forged->strike_count; k++) {
        const double *from = tw_taper_from_strike(plate->taper, plate->grid, k);
        if (from && tw_grid_sample(plate->grid, from, tape[0], tape[1]) <= 1e-6 &&
            (found == SIZE_MAX || forged->strikes[k].thickness > forged->strikes[found].thickness))
            found = k;
    }
    return found;
}

static tw_status add_point(walk *work, const double tape[2], double along, bool first,
                           tw_error *err)
{
    tw_cut *cut = work->cut;
    const tw_view_request *request = work->request;
    const tw_plate *plate = request->plate;
    const tw_survey *survey = plate->survey;
    tw_face_point face;
    tw_cut_point *point;

    if (cut->count == work->room ||
        (first && cut->piece_count == work->piece_room)) /* room was made for every step */
        return tw_fail(err, TW_ERR_LIMIT, "the line crosses the outline too often");
    if (first)
        cut->pieces[cut->piece_count++] = (tw_cut_run){.first = cut->count};
    cut->pieces[cut->piece_count - 1].count++;
    point = &cut->points[cut->count++];
    tw_form_at(plate->form, tape[0], tape[1], &face);
    memcpy(point->tape, tape, sizeof point->tape);
    memcpy(point->position, face.position, sizeof point->position);
    memcpy(point->normal, face.normal, sizeof point->normal);
    point->along = along;
    point->thickness = tw_grid_sample(plate->grid, request->map->node, tape[0], tape[1]);
    point->beside = request->beside
                        ? tw_grid_sample(plate->grid, request->beside->node, tape[0], tape[1])
                        : (double)NAN;
    point->sd = request->map->kind == TW_MAP_READINGS && survey && survey->sd
                    ? tw_grid_sample(plate->grid, survey->sd, tape[0], tape[1])
                    : (double)NAN;
    point->strike = strike_at(plate, tape);
    return TW_OK;
}

/* ---- the outline crossed ----------------------------------------------------------------------- */

/* Where the level changes sign between two points of the line. */
static void find_crossing(const tw_outline *outline, const double from[2], const double to[2],
                          double out[2])
{
    double low = 0, high = 1;
    const bool metal = tw_outline_level(outline, from[0], from[1]) <= 0;

    for (int turn = 0; turn < 52; turn++) {
        const double middle = (low + high) / 2;
        for (int d = 0; d < 2; d++)
            out[d] = from[d] + middle * (to[d] - from[d]);
        if ((tw_outline_level(outline, out[0], out[1]) <= 0) == metal)
            low = middle;
        else
            high = middle;
    }
}

static double distance_to_piece(const double at[2], const double a[2], const double b[2])
{
    const double way[2] = {b[0] - a[0], b[1] - a[1]};
    const double size = way[0] * way[0] + way[1] * way[1];
    double share = size > 0 ? ((at[0] - a[0]) * way[0] + (at[1] - a[1]) * way[1]) / size : 0;

    share = fmin(fmax(share, 0), 1);
    return hypot(at[0] - a[0] - share * way[0], at[1] - a[1] - share * way[1]);
}

static const char *nearest_border(const tw_outline *outline, const double at[2])
{
    const tw_edge_line *const lists[] = {outline->edges, outline->holes};
    const size_t counts[] = {outline->edge_count, outline->hole_count};
    const char *name = "";
    double least = INFINITY;

    for (int l = 0; l < 2; l++)
        for (size_t e = 0; e < counts[l]; e++)
            for (size_t k = 0; k + 1 < lists[l][e].count; k++) {
                const double here =
                    distance_to_piece(at, lists[l][e].points[k], lists[l][e].points[k + 1]);
                if (here < least) {
                    least = here;
                    name = lists[l][e].name;
                }
            }
    return name;
}

static tw_status refuse(const walk *work, double corners[][2], size_t count, tw_error *err)
{
    double least = INFINITY;
    const double *nearest = work->outline->edges[0].points[0];

    for (size_t e = 0; e < work->outline->edge_count; e++)
        for (size_t k = 0; k < work->outline->edges[e].count; k++)
            for (size_t c = 0; c + 1 < count; c++) {
                const double *at = work->outline->edges[e].points[k];
                const double here = distance_to_piece(at, corners[c], corners[c + 1]);
                if (here < least) {
                    least = here;
                    nearest = at;
                }
            }
    tw_fail(err, TW_ERR_INPUT, "%s meets no metal of plate %s", work->cut->name,
            work->request->plate->profile->plate);
    tw_error_advise(err, NULL,
                    "the plate's nearest point is [%.1f mm, %.1f mm], %.1f mm off the line",
                    nearest[0], nearest[1], least);
    return TW_ERR_INPUT;
}

/* ---- the walk ----------------------------------------------------------------------------------- */

static tw_status step_to(walk *work, const double from[2], const double to[2], bool *metal,
                         tw_error *err)
{
    const tw_form *form = work->request->plate->form;
    const bool next = tw_outline_level(work->outline, to[0], to[1]) <= 0;
    tw_status status = TW_OK;

    if (next != *metal) {
        double border[2], along;
        find_crossing(work->outline, from, to, border);
        along = work->along + length_between(form, from, border);
        status = add_point(work, border, along, next, err);
    }
    work->along += length_between(form, from, to);
    if (status == TW_OK && next)
        status = add_point(work, to, work->along, false, err);
    *metal = next;
    return status;
}

static tw_status walk_line(walk *work, double corners[][2], size_t count, double step,
                           tw_error *err)
{
    double here[2];
    bool metal;
    tw_status status = TW_OK;

    memcpy(here, corners[0], sizeof here);
    metal = tw_outline_level(work->outline, here[0], here[1]) <= 0;
    if (metal)
        status = add_point(work, here, 0, true, err);
    for (size_t c = 1; status == TW_OK && c < count; c++) {
        const double way[2] = {corners[c][0] - corners[c - 1][0],
                               corners[c][1] - corners[c - 1][1]};
        const size_t steps = (size_t)ceil(hypot(way[0], way[1]) / step);
        for (size_t k = 1; status == TW_OK && k <= steps; k++) {
            double to[2];
            for (int d = 0; d < 2; d++)
                to[d] = k == steps ? corners[c][d]
                                   : corners[c - 1][d] + way[d] * (double)k / (double)steps;
            status = step_to(work, here, to, &metal, err);
            memcpy(here, to, sizeof here);
        }
    }
    return status;
}

/* Tape counts from 0 across or up where the line runs along that; else from its first metal. */
static void count_tape(const tw_tape_line *line, tw_cut *cut)
{
    const int d = line->way == TW_WAY_ACROSS ? 0 : 1;
    double zero = cut->points[0].along;

    if (line->way != TW_WAY_POINTS) {
        const tw_cut_point *points = cut->points;
        size_t k = 0;
        while (k + 1 < cut->count && points[k + 1].tape[d] <= 0)
            k++;
        if (points[0].tape[d] > 0 || k + 1 == cut->count) { /* no metal at 0 */
            k = points[0].tape[d] > 0 ? 0 : cut->count - 1;
            zero = points[k].along - points[k].tape[d];
        } else {
            const double share = -points[k].tape[d] / (points[k + 1].tape[d] - points[k].tape[d]);
            zero = points[k].along + share * (points[k + 1].along - points[k].along);
        }
    }
    for (size_t k = 0; k < cut->count; k++)
        cut->points[k].along -= zero;
}

/* Middle of the longest stretch that is as thin, or as thick, as the line gets. */
static size_t middle_of_stretch(const tw_cut *cut, double extreme)
{
    size_t best = 0, longest = 0;

    for (size_t k = 0; k < cut->count; k++) {
        const size_t first = k;
        while (k < cut->count && fabs(cut->points[k].thickness - extreme) <= EVEN_MM)
            k++;
        if (k - first > longest) {
            longest = k - first;
            best = longest == cut->count ? 0 : first + (longest - 1) / 2;
        }
    }
    return best;
}

static void finish(const walk *work, const tw_tape_line *line)
{
    tw_cut *cut = work->cut;
    tw_sum length = {0}, sum = {0};
    double least = INFINITY, most = 0;

    count_tape(line, cut);
    for (size_t p = 0; p < cut->piece_count; p++) {
        tw_cut_run *piece = &cut->pieces[p];
        const tw_cut_point *points = cut->points + piece->first;
        piece->from = nearest_border(work->outline, points[0].tape);
        piece->to = nearest_border(work->outline, points[piece->count - 1].tape);
        for (size_t k = 0; k + 1 < piece->count; k++) {
            const double here = points[k + 1].along - points[k].along;
            tw_sum_add(&length, here);
            tw_sum_add(&sum, here * (points[k].thickness + points[k + 1].thickness) / 2);
        }
    }
    cut->mean = tw_sum_value(&length) > 0 ? tw_sum_value(&sum) / tw_sum_value(&length)
                                          : cut->points[0].thickness;
    for (size_t k = 0; k < cut->count; k++) {
        least = fmin(least, cut->points[k].thickness);
        most = fmax(most, cut->points[k].thickness);
    }
    cut->thinnest = middle_of_stretch(cut, least);
    cut->thickest = middle_of_stretch(cut, most);
}

tw_status tw_cut_make(const tw_view_request *request, const tw_tape_line *line, tw_units units,
                      tw_cut *out, tw_error *err)
{
    double corners[CORNERS_MAX][2], length = 0, step;
    walk work = {.request = request, .outline = tw_form_outline(request->plate->form), .cut = out};
    const size_t count = line_corners(line, work.outline, corners);
    tw_status status = TW_OK;

    *out = (tw_cut){.way = line->way, .arena = tw_arena_new()};
    if (!out->arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a line");
    name_line(line, units, out->name, sizeof out->name);
    for (size_t c = 1; c < count; c++)
        length += hypot(corners[c][0] - corners[c - 1][0], corners[c][1] - corners[c - 1][1]);
    step = fmax(STEP_MM, length / STEPS_MAX);
    work.piece_room = 256;
    work.room = (size_t)(length / step) + 2 * work.piece_room + 2 * CORNERS_MAX;
    out->points = tw_arena_array(out->arena, work.room, sizeof *out->points);
    out->pieces = tw_arena_array(out->arena, work.piece_room, sizeof *out->pieces);
    if (!out->points || !out->pieces)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a line");
    if (status == TW_OK)
        status = walk_line(&work, corners, count, step, err);
    if (status == TW_OK && out->count < 2)
        status = refuse(&work, corners, count, err);
    if (status == TW_OK)
        finish(&work, line);
    else
        tw_cut_release(out);
    return status;
}

void tw_cut_release(tw_cut *cut)
{
    tw_arena_free(cut->arena);
    *cut = (tw_cut){0};
}
