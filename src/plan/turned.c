/*
 * turned.c: what turned edges take of the blank: strips along the net line, which ends where a roll begins.
 *
 * A finished roll holds M = π(D² − d²)/4 of metal per length of edge (src/weigh/turn.c), a wrap M/t wide of
 * the map's own thickness t there. Like the face, it has lost scale and polish on both sides, so that it
 * was M/t·(t + losses); and metal keeps its volume while it is drawn out from the sheet's t₀. The strip so
 * has the area A = L·M/t·(t + losses)/t₀, L the edge's length on the finished face. Its width w is the same all
 * along: over an edge of length l in the blank that turns by θ in all (> 0 outward), A = l·w + θw²/2
 * (Steiner's formula for a parallel strip), whose root is w = 2A/(l + √(l² + 2θA)). Derived here.
 *
 * Strips end square to the net line. Where two meet at an outward corner a straight cut joins them; what
 * lies in that corner is not rolled and counts as trim. At a hollow corner each ends where it meets the
 * other, or the net line.
 */
#include "plan_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double INSIDE = 1e-6; /* of a strip's width: as far within it counts as inside */

/* The net line in pieces; piece k goes from its point k to the next. */
typedef struct pieces {
    const double (*at)[2];
    size_t count;
    size_t *turn; /* count: which turned edge it belongs to, turn_count: none */
    double *width;
} pieces;

static double to_piece(const double p[2], const double a[2], const double b[2])
{
    const double way[2] = {b[0] - a[0], b[1] - a[1]};
    const double square = way[0] * way[0] + way[1] * way[1];
    double s = square > 0 ? ((p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1]) / square : 0;

    s = fmin(fmax(s, 0), 1);
    return hypot(p[0] - a[0] - s * way[0], p[1] - a[1] - s * way[1]);
}

/* The edge of the outline nearest to a tape point. */
static const char *edge_at(const tw_outline *outline, const double tape[2])
{
    const char *nearest = NULL;
    double least = INFINITY;

    for (size_t e = 0; e < outline->edge_count; e++) {
        const tw_edge_line *edge = &outline->edges[e];
        for (size_t k = 0; k + 1 < edge->count; k++) {
            const double off = to_piece(tape, edge->points[k], edge->points[k + 1]);
            if (off < least) {
                least = off;
                nearest = edge->name;
            }
        }
    }
    return nearest;
}

static tw_status find_pieces(const tw_blank *blank, pieces *out, tw_error *err)
{
    const tw_mesh *mesh = blank->layout->mesh;
    const tw_outline *outline = tw_form_outline(blank->goal->plate->form);
    const uint32_t *node = mesh->loop_node + mesh->loop_first[0];

    out->at = (const double(*)[2])blank->line;
    out->count = blank->line_first[1];
    out->turn = tw_arena_array(blank->arena, out->count, sizeof *out->turn);
    out->width = tw_arena_array(blank->arena, out->count, sizeof *out->width);
    if (!out->turn || !out->width)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    for (size_t k = 0; k < out->count; k++) {
        const double *a = mesh->tape[node[k]], *b = mesh->tape[node[(k + 1) % out->count]];
        const double middle[2] = {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2};
        const char *edge = edge_at(outline, middle);
        out->turn[k] = 0;
        while (out->turn[k] < blank->turn_count && blank->turns[out->turn[k]].edge != edge)
            out->turn[k]++;
    }
    return TW_OK;
}

/* ---- how wide -------------------------------------------------------------------------------------- */

static tw_status set_width(tw_blank *blank, const pieces *net, size_t turn, tw_error *err)
{
    tw_blank_turn *made = &blank->turns[turn];
    double length = 0, bend = 0, root;

    for (size_t k = 0; k < net->count; k++) {
        const size_t next = (k + 1) % net->count;
        const double *a = net->at[k], *b = net->at[next];
        if (net->turn[k] != turn)
            continue;
        length += hypot(b[0] - a[0], b[1] - a[1]);
        if (net->turn[next] == turn)
            bend += tw_turn_at(a, b, net->at[(next + 1) % net->count]);
    }
    root = length * length + 2 * bend * made->area_mm2;
    if (!(length > 0) || !(root > 0)) {
        tw_fail(err, TW_ERR_SHAPE, "edge %s is too hollow for a strip that makes a roll of %g mm",
                made->edge, made->roll_mm);
        tw_error_advise(err, NULL, "leave it out of turned edges, and add metal by hand");
        return TW_ERR_SHAPE;
    }
    made->width_mm = 2 * made->area_mm2 / (length + sqrt(root));
    for (size_t k = 0; k < net->count; k++)
        if (net->turn[k] == turn)
            net->width[k] = made->width_mm;
    return TW_OK;
}

/* ---- the line ---------------------------------------------------------------------------------------- */

/* Points along a piece, moved out; and round the corner after it within one strip. */
static void shift_piece(const pieces *net, size_t k, tw_grown *out)
{
    const size_t next = (k + 1) % net->count, last = (k + net->count - 1) % net->count;
    const double *a = net->at[k], *b = net->at[next];
    const double width = net->width[k], length = hypot(b[0] - a[0], b[1] - a[1]);
    const double angle = atan2(b[1] - a[1], b[0] - a[0]);
    const double first = tw_turn_at(net->at[last], a, b);
    const double turn = tw_turn_at(a, b, net->at[(next + 1) % net->count]);
    const bool goes_on = width > 0 && net->turn[next] == net->turn[k];
    const bool began = width > 0 && net->turn[last] == net->turn[k];
    const double from = began && first < 0 ? width * tan(-first / 2) : 0;
    const double to = length - (goes_on && turn < 0 ? width * tan(-turn / 2) : 0);
    const size_t steps = (size_t)ceil(fmax(to - from, 0) / TW_LINE_PIECE);
    const size_t arcs = goes_on && turn > 0 ? (size_t)ceil(turn / TW_LINE_ARC) : 0;

    for (size_t n = 0; n <= steps && to > from; n++) {
        const double s = from + (to - from) * (double)n / (double)steps;
        tw_grown_add(out, a[0] + s * cos(angle) + width * sin(angle),
                     a[1] + s * sin(angle) - width * cos(angle));
    }
    for (size_t n = 1; n < arcs; n++) {
        const double at = angle + turn * (double)n / (double)arcs;
        tw_grown_add(out, b[0] + width * sin(at), b[1] - width * cos(at));
    }
}

/* Whether a point lies within a strip or on the net line under it, its other borders aside. */
static bool in_strip(const pieces *net, const double p[2])
{
    for (size_t k = 0; k < net->count; k++) {
        const double *a = net->at[k], *b = net->at[(k + 1) % net->count];
        const double length = hypot(b[0] - a[0], b[1] - a[1]), spare = INSIDE * net->width[k];
        const double x = b[0] - a[0], y = b[1] - a[1];
        double along, out;
        if (!(net->width[k] > 0 && length > 0))
            continue;
        along = ((p[0] - a[0]) * x + (p[1] - a[1]) * y) / length;
        out = ((p[0] - a[0]) * y - (p[1] - a[1]) * x) / length;
        if (along > spare && along < length - spare && out > -spare && out < net->width[k] - spare)
            return true;
    }
    return false;
}

/* Whether a point lies inside the net line, by how often a ray to the right crosses it. */
static bool in_net(const pieces *net, const double p[2])
{
    bool inside = false;

    for (size_t k = 0; k < net->count; k++) {
        const double *a = net->at[k], *b = net->at[(k + 1) % net->count];
        if (to_piece(p, a, b) < 1e-3) /* on it */
            return false;
        if ((a[1] > p[1]) != (b[1] > p[1]) &&
            p[0] < a[0] + (p[1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1]))
            inside = !inside;
    }
    return inside;
}

static tw_status make_line(tw_blank *blank, const pieces *net, tw_error *err)
{
    tw_grown raw = {0};
    size_t kept = 0;
    tw_status status = TW_OK;

    for (size_t k = 0; k < net->count && !raw.no_memory; k++)
        shift_piece(net, k, &raw);
    for (size_t k = 0; k < raw.count; k++)
        if (!in_strip(net, raw.at[k]) && !in_net(net, raw.at[k])) {
            memmove(raw.at[kept], raw.at[k], sizeof *raw.at);
            kept++;
        }
    while (kept > 1 &&
           hypot(raw.at[0][0] - raw.at[kept - 1][0], raw.at[0][1] - raw.at[kept - 1][1]) < INSIDE)
        kept--;
    blank->turned = raw.no_memory ? NULL : tw_arena_array(blank->arena, kept + 1, sizeof *raw.at);
    if (!blank->turned) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    } else {
        memcpy(blank->turned, raw.at, kept * sizeof *raw.at);
        blank->turned_count = kept;
        if (kept < 3 || tw_line_crosses_itself((const double(*)[2])blank->turned, kept)) {
            status = tw_fail(err, TW_ERR_SHAPE,
                             "in the flat the strips of the turned edges run into each other");
            tw_error_advise(err, NULL,
                            "give thinner rolls, or take one of them out and add its "
                            "metal by hand");
        }
    }
    free(raw.at);
    return status;
}

/* ---- all of them ---------------------------------------------------------------------------------------- */

static tw_status take_turns(tw_blank *blank, tw_error *err)
{
    const tw_goal *goal = blank->goal;
    const tw_plate_map map = {.map = goal->map, .weight = goal->weight};
    const double lost = goal->polish_mm + goal->scale_mm;
    tw_extra_weight extra;
    tw_status status = tw_plate_extra(goal->plate, &map, &extra, err);

    if (status != TW_OK)
        return status;
    blank->turns = tw_arena_array(blank->arena, extra.turn_count + 1, sizeof *blank->turns);
    if (!blank->turns)
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a blank");
    for (size_t k = 0; status == TW_OK && k < extra.turn_count; k++) {
        const tw_turn_weight *turn = &extra.turns[k];
        blank->turns[k] =
            (tw_blank_turn){.edge = turn->edge,
                            .roll_mm = turn->roll_mm,
                            .wire_mm = turn->wire_mm,
                            .length_mm = turn->length_mm,
                            .wrap_mm = turn->wrap_mm,
                            .area_mm2 = turn->length_mm * turn->wrap_mm * (turn->edge_mm + lost) /
                                        goal->stock.thickness,
                            .sheet_g = turn->sheet_g};
    }
    if (status == TW_OK)
        blank->turn_count = extra.turn_count;
    tw_extra_weight_release(&extra);
    return status;
}

tw_status tw_blank_turn_edges(tw_blank *blank, tw_error *err)
{
    pieces net = {0};
    tw_status status = TW_OK;

    blank->turned = blank->line;
    blank->turned_count = blank->line_first[1];
    if (blank->goal->plate->profile->turned_count == 0)
        return TW_OK;
    status = take_turns(blank, err);
    if (status == TW_OK)
        status = find_pieces(blank, &net, err);
    for (size_t k = 0; status == TW_OK && k < net.count; k++)
        net.width[k] = 0;
    for (size_t k = 0; status == TW_OK && k < blank->turn_count; k++)
        status = set_width(blank, &net, k, err);
    return status == TW_OK ? make_line(blank, &net, err) : status;
}
