/*
 * delaunay.c: triangles between points of the plane, no point inside the circle about any of them,
 * save where a line was asked for that must be a side. Some hundred thousand points take a second.
 *
 * Points come one by one: a walk from the last one finds the triangle, which is divided, and sides are
 * turned until all circles are empty (C. L. Lawson, "Software for C¹ surface interpolation", 1977).
 * Lines come afterwards: sides across a line are turned, those that cannot be wait until they can, and
 * what was made is turned back where a circle allows (S. W. Sloan, "A fast algorithm for generating
 * constrained Delaunay triangulations", Computers & Structures 47 (1993)). Both from memory.
 *
 * Coordinates are whole numbers under 2²⁹ in size, so every difference is under 2³⁰, every area under
 * 2⁶¹ and every determinant of a circle under 2¹²⁴: signs are exact, and no tolerance is needed.
 * Invariant: beside[t][k] = u exactly when u has t beside it across the same side, and both sides'
 * marks agree but for TW_SIDE_METAL.
 */
#include "exchange_internal.h"

#include <assert.h>

__extension__ typedef __int128 wide;

static const int after[3] = {1, 2, 0}, before[3] = {2, 0, 1};

/* Twice the area of a, b, c: > 0 when c lies to the left of a → b. */
static int64_t turn(const tw_plane *plane, uint32_t a, uint32_t b, uint32_t c)
{
    const int32_t *p = plane->at[a], *q = plane->at[b], *r = plane->at[c];

    return (int64_t)(q[0] - p[0]) * (r[1] - p[1]) - (int64_t)(q[1] - p[1]) * (r[0] - p[0]);
}

/* Whether node d lies strictly inside the circle about a triangle. */
static bool in_circle(const tw_plane *plane, const uint32_t corner[3], uint32_t d)
{
    const int32_t *o = plane->at[d];
    int64_t x[3], y[3], square[3];
    wide sum = 0;

    for (int k = 0; k < 3; k++) {
        x[k] = (int64_t)plane->at[corner[k]][0] - o[0];
        y[k] = (int64_t)plane->at[corner[k]][1] - o[1];
        square[k] = x[k] * x[k] + y[k] * y[k];
    }
    for (int k = 0; k < 3; k++) {
        const int i = after[k], j = before[k];
        sum += (wide)square[k] * (x[i] * y[j] - x[j] * y[i]);
    }
    return sum > 0;
}

static int place_of(const uint32_t three[3], uint32_t one)
{
    return three[0] == one ? 0 : three[1] == one ? 1 : 2;
}

static void set(tw_plane *plane, uint32_t t, uint32_t a, uint32_t b, uint32_t c)
{
    plane->corner[t][0] = a;
    plane->corner[t][1] = b;
    plane->corner[t][2] = c;
    plane->of[a] = plane->of[b] = plane->of[c] = t;
}

static void join(tw_plane *plane, uint32_t t, uint32_t b0, uint32_t b1, uint32_t b2)
{
    plane->beside[t][0] = b0;
    plane->beside[t][1] = b1;
    plane->beside[t][2] = b2;
}

static void replace(tw_plane *plane, uint32_t t, uint32_t old, uint32_t now)
{
    if (t != TW_NONE)
        plane->beside[t][place_of(plane->beside[t], old)] = now;
}

static uint32_t new_triangle(tw_plane *plane)
{
    assert(plane->triangle_count < plane->triangle_room);
    return (uint32_t)plane->triangle_count++;
}

tw_status tw_plane_new(tw_arena *arena, size_t points, tw_plane *out, tw_error *err)
{
    const int32_t far = TW_PLANE_HALF - 1;
    const size_t nodes = points + TW_CORNERS, triangles = 2 * nodes + 1;

    *out = (tw_plane){.node_room = nodes, .triangle_room = triangles, .ring_room = 2 * triangles};
    out->at = tw_arena_array(arena, nodes, sizeof *out->at);
    out->of = tw_arena_array(arena, nodes, sizeof *out->of);
    out->corner = tw_arena_array(arena, triangles, sizeof *out->corner);
    out->beside = tw_arena_array(arena, triangles, sizeof *out->beside);
    out->mark = tw_arena_array(arena, triangles, sizeof *out->mark);
    out->ring = tw_arena_array(arena, out->ring_room, sizeof *out->ring);
    out->stack = tw_arena_array(arena, 2 * out->ring_room, sizeof *out->stack);
    if (!out->at || !out->of || !out->corner || !out->beside || !out->mark || !out->ring ||
        !out->stack)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu points of a solid", points);
    out->at[0][0] = -far;
    out->at[0][1] = -far;
    out->at[1][0] = far;
    out->at[1][1] = -far;
    out->at[2][1] = far;
    out->node_count = TW_CORNERS;
    set(out, new_triangle(out), 0, 1, 2);
    join(out, 0, TW_NONE, TW_NONE, TW_NONE);
    return TW_OK;
}

/* Turns the side against corner k of t: t = (p, x, y) and u = (d, y, x) become (p, x, d), (p, d, y).
 * Returns u. */
static uint32_t flip(tw_plane *plane, uint32_t t, int k)
{
    const uint32_t u = plane->beside[t][k];
    const int j = place_of(plane->beside[u], t);
    const uint32_t p = plane->corner[t][k], x = plane->corner[t][after[k]];
    const uint32_t y = plane->corner[t][before[k]], d = plane->corner[u][j];
    const uint32_t xd = plane->beside[u][after[j]], dy = plane->beside[u][before[j]];
    const uint32_t yp = plane->beside[t][after[k]], px = plane->beside[t][before[k]];
    const unsigned char m_xd = plane->mark[u][after[j]], m_dy = plane->mark[u][before[j]];
    const unsigned char m_yp = plane->mark[t][after[k]], m_px = plane->mark[t][before[k]];
    unsigned char *mt = plane->mark[t], *mu = plane->mark[u];

    set(plane, t, p, x, d);
    set(plane, u, p, d, y);
    join(plane, t, xd, u, px);
    join(plane, u, dy, yp, t);
    replace(plane, xd, u, t);
    replace(plane, yp, t, u);
    mt[0] = m_xd;
    mt[1] = 0;
    mt[2] = m_px;
    mu[0] = m_dy;
    mu[1] = m_yp;
    mu[2] = 0;
    return u;
}

/* The triangle that a point lies in or on. The walk ends, as circles are empty. */
static uint32_t find(const tw_plane *plane, uint32_t node)
{
    uint32_t t = plane->last;

    for (int k = 0; k < 3;) {
        const uint32_t *corner = plane->corner[t];
        if (turn(plane, corner[after[k]], corner[before[k]], node) < 0) {
            t = plane->beside[t][k];
            k = 0;
            assert(t != TW_NONE);
        } else {
            k++;
        }
    }
    return t;
}

/* Triangles on the stack have the new node at corner 0. */
static void settle(tw_plane *plane, size_t depth)
{
    while (depth > 0) {
        const uint32_t t = plane->stack[--depth], u = plane->beside[t][0];
        if (u == TW_NONE ||
            !in_circle(plane, plane->corner[t], plane->corner[u][place_of(plane->beside[u], t)]))
            continue;
        assert(depth + 2 <= plane->triangle_room);
        plane->stack[depth + 1] = flip(plane, t, 0);
        plane->stack[depth] = t;
        depth += 2;
    }
}

static void divide_triangle(tw_plane *plane, uint32_t t, uint32_t n)
{
    const uint32_t a = plane->corner[t][0], b = plane->corner[t][1], c = plane->corner[t][2];
    const uint32_t bc = plane->beside[t][0], ca = plane->beside[t][1], ab = plane->beside[t][2];
    const uint32_t u = new_triangle(plane), v = new_triangle(plane);

    set(plane, t, n, a, b);
    set(plane, u, n, b, c);
    set(plane, v, n, c, a);
    join(plane, t, ab, u, v);
    join(plane, u, bc, v, t);
    join(plane, v, ca, t, u);
    replace(plane, bc, t, u);
    replace(plane, ca, t, v);
    plane->stack[0] = t;
    plane->stack[1] = u;
    plane->stack[2] = v;
    settle(plane, 3);
}

/* The node lies on the side against corner k. */
static void divide_side(tw_plane *plane, uint32_t t, int k, uint32_t n)
{
    const uint32_t u = plane->beside[t][k];
    const int j = place_of(plane->beside[u], t);
    const uint32_t a = plane->corner[t][k], b = plane->corner[t][after[k]];
    const uint32_t c = plane->corner[t][before[k]], d = plane->corner[u][j];
    const uint32_t ca = plane->beside[t][after[k]], ab = plane->beside[t][before[k]];
    const uint32_t bd = plane->beside[u][after[j]], dc = plane->beside[u][before[j]];
    const uint32_t v = new_triangle(plane), w = new_triangle(plane);

    set(plane, t, n, a, b);
    set(plane, v, n, c, a);
    set(plane, u, n, b, d);
    set(plane, w, n, d, c);
    join(plane, t, ab, u, v);
    join(plane, v, ca, t, w);
    join(plane, u, bd, w, t);
    join(plane, w, dc, v, u);
    replace(plane, ca, t, v);
    replace(plane, dc, u, w);
    plane->stack[0] = t;
    plane->stack[1] = v;
    plane->stack[2] = u;
    plane->stack[3] = w;
    settle(plane, 4);
}

uint32_t tw_plane_add(tw_plane *plane, const int32_t at[2])
{
    const uint32_t n = (uint32_t)plane->node_count;
    uint32_t t;
    int on = -1;

    assert(plane->node_count < plane->node_room);
    plane->at[n][0] = at[0];
    plane->at[n][1] = at[1];
    t = plane->last = find(plane, n);
    for (int k = 0; k < 3; k++) {
        const uint32_t c = plane->corner[t][k];
        if (plane->at[c][0] == at[0] && plane->at[c][1] == at[1])
            return c;
        if (turn(plane, plane->corner[t][after[k]], plane->corner[t][before[k]], n) == 0)
            on = k;
    }
    plane->node_count++;
    if (on < 0)
        divide_triangle(plane, t, n);
    else
        divide_side(plane, t, on, n);
    return n;
}

/* ---- lines that must be sides ----------------------------------------------------------------- */

/* The triangle to the left of side a → b and the corner against it; TW_NONE when it is no side. */
static uint32_t find_side(const tw_plane *plane, uint32_t a, uint32_t b, int *against)
{
    uint32_t t = plane->of[a];

    do {
        const int i = place_of(plane->corner[t], a);
        if (plane->corner[t][after[i]] == b) {
            *against = before[i];
            return t;
        }
        t = plane->beside[t][after[i]];
    } while (t != plane->of[a] && t != TW_NONE);
    return TW_NONE;
}

/* The first triangle about a that the line to b goes through, and the corner a of it; or a node that
 * lies on the line and is joined to a already. */
static uint32_t first_across(const tw_plane *plane, uint32_t a, uint32_t b, int *against,
                             uint32_t *on)
{
    const int32_t *from = plane->at[a], *to = plane->at[b];
    uint32_t t = plane->of[a];

    do {
        const int i = place_of(plane->corner[t], a);
        const uint32_t right = plane->corner[t][after[i]], left = plane->corner[t][before[i]];
        const int64_t r = turn(plane, a, b, right);
        if (r == 0 && (int64_t)(to[0] - from[0]) * (plane->at[right][0] - from[0]) +
                              (int64_t)(to[1] - from[1]) * (plane->at[right][1] - from[1]) >
                          0) {
            *on = right;
            return t;
        }
        if (r < 0 && turn(plane, a, b, left) > 0) {
            *against = i;
            *on = TW_NONE;
            return t;
        }
        t = plane->beside[t][after[i]];
    } while (t != plane->of[a]);
    return TW_NONE;
}

static void push(tw_plane *plane, size_t *count, size_t first, uint32_t x, uint32_t y)
{
    uint32_t *side = plane->ring[(first + *count) % plane->ring_room];

    assert(*count < plane->ring_room);
    side[0] = x;
    side[1] = y;
    ++*count;
}

/* Queues the sides between a and b, up to the first node on the line, which is returned; TW_NONE
 * when a fixed side is in the way. */
static uint32_t cross_sides(tw_plane *plane, uint32_t a, uint32_t b, uint32_t t, int k,
                            size_t *count)
{
    for (;;) {
        const uint32_t u = plane->beside[t][k];
        const int j = place_of(plane->beside[u], t);
        const uint32_t next = plane->corner[u][j];
        int64_t side;
        if (plane->mark[t][k] & TW_SIDE_FIXED)
            return TW_NONE;
        push(plane, count, 0, plane->corner[t][after[k]], plane->corner[t][before[k]]);
        side = next == b ? 0 : turn(plane, a, b, next);
        if (side == 0)
            return next;
        /* u = (next, left, right) of the line: out by the side that keeps next on one end */
        t = u;
        k = side > 0 ? after[j] : before[j];
    }
}

static bool opposite(int64_t one, int64_t other)
{
    return (one < 0 && other > 0) || (one > 0 && other < 0);
}

/* Turns the queued sides until none is across the line; leaves the sides made on the stack. */
static bool clear_line(tw_plane *plane, uint32_t a, uint32_t b, size_t count, size_t *made)
{
    size_t first = 0, left = count, tries = 0;

    *made = 0;
    while (left > 0) {
        const uint32_t x = plane->ring[first][0], y = plane->ring[first][1];
        int k = 0;
        const uint32_t t = find_side(plane, x, y, &k);
        uint32_t u, p, d;
        if (++tries > 64 * (count + 16) * (count + 16))
            return false;
        first = (first + 1) % plane->ring_room;
        left--;
        assert(t != TW_NONE);
        u = plane->beside[t][k];
        p = plane->corner[t][k];
        d = plane->corner[u][place_of(plane->beside[u], t)];
        if (!opposite(turn(plane, p, d, x), turn(plane, p, d, y))) {
            push(plane, &left, first, x, y); /* not convex: later */
            continue;
        }
        flip(plane, t, k);
        if (p != a && p != b && d != a && d != b &&
            opposite(turn(plane, a, b, p), turn(plane, a, b, d))) {
            push(plane, &left, first, p, d);
        } else {
            plane->stack[2 * *made] = p;
            plane->stack[2 * *made + 1] = d;
            ++*made;
        }
    }
    return true;
}

/* Turns the sides made about a line where a circle allows. */
static void settle_made(tw_plane *plane, uint32_t a, uint32_t b, size_t made)
{
    bool turned = true;

    while (turned) {
        turned = false;
        for (size_t n = 0; n < made; n++) {
            uint32_t *side = &plane->stack[2 * n];
            int k = 0;
            uint32_t t, u, p, d;
            if ((side[0] == a && side[1] == b) || (side[0] == b && side[1] == a))
                continue;
            t = find_side(plane, side[0], side[1], &k);
            if (t == TW_NONE || (plane->mark[t][k] & TW_SIDE_FIXED))
                continue;
            u = plane->beside[t][k];
            p = plane->corner[t][k];
            d = plane->corner[u][place_of(plane->beside[u], t)];
            if (!in_circle(plane, plane->corner[t], d))
                continue;
            flip(plane, t, k);
            side[0] = p;
            side[1] = d;
            turned = true;
        }
    }
}

static void mark_side(tw_plane *plane, uint32_t a, uint32_t b, bool boundary)
{
    int k = 0;
    const uint32_t t = find_side(plane, a, b, &k), u = plane->beside[t][k];
    const unsigned char both = (unsigned char)(TW_SIDE_FIXED | (boundary ? TW_SIDE_BOUNDARY : 0));

    plane->mark[t][k] |= (unsigned char)(both | (boundary ? TW_SIDE_METAL : 0));
    plane->mark[u][place_of(plane->beside[u], t)] |= both;
}

bool tw_plane_fix(tw_plane *plane, uint32_t a, uint32_t b, bool boundary)
{
    while (a != b) {
        uint32_t end = TW_NONE, t;
        size_t count = 0, made;
        int k = 0;
        t = first_across(plane, a, b, &k, &end);
        assert(t != TW_NONE);
        if (end == TW_NONE) {
            end = cross_sides(plane, a, b, t, k, &count);
            if (end == TW_NONE || !clear_line(plane, a, end, count, &made))
                return false;
            settle_made(plane, a, end, made);
        }
        mark_side(plane, a, end, boundary);
        a = end;
    }
    return true;
}
