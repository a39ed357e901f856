/*
 * loft.c: the face of a loft. Points (x, y, z) with y the ruler, x and z by fraction f of the section
 * and y (loft_build.c). A row is one y: its cubic weights along the ruler turn the stations' tables
 * into one spline of f for value, ∂/∂y and ∂²/∂y². Its arc length from the centre and that length's
 * ∂/∂y come from a 3-point Gauss rule per fraction; as every station is cut at equal arc, the speed
 * hardly changes within a fraction: a cubic by speeds at both ends inverts it, with one Newton step
 * where a bend is sharp.
 *
 * In the parameters (f, y): position P, across = s(f, y), up = u(y). So ∂P/∂across = P_f/s_f and
 * ∂P/∂up = (P_y − P_f·s_y/s_f)/u_y; H and K need no change of parameters. Beyond a side the face
 * goes on along the section's end tangent, beyond the first and last station along ∂P/∂up.
 */
#include "loft_internal.h"

#include <math.h>

typedef struct row {
    double value[4][TW_PLACES], along[4][TW_PLACES], bent[4][TW_PLACES]; /* P, P_y, P_yy */
    double arc[TW_PLACES], speed[TW_PLACES];     /* s and s_f at the places, f in fractions */
    double arc_y[TW_PLACES], speed_y[TW_PLACES]; /* s_y and s_fy */
    double ruler, rate, beyond;                  /* y, 1/u_y, tape beyond the end stations */
} row;

/* ---- along the ruler ----------------------------------------------------------------------- */

void tw_loft_place(const tw_loft *loft, double up, tw_ruler_place *out)
{
    const size_t last = (loft->count - 1) * TW_CENTRE_STEPS;
    const double *z = loft->value[0] + TW_Z, *slope = loft->along[0] + TW_Z;
    const double inside = fmin(fmax(up, loft->up[0]), loft->up[last]);
    size_t low = 0, high = last, i;
    double width, t, u, start, cubic[3];

    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        *(loft->up[middle] <= inside ? &low : &high) = middle;
    }
    i = low / TW_CENTRE_STEPS;
    width = loft->ruler[i + 1] - loft->ruler[i];
    start = (double)(low % TW_CENTRE_STEPS) / TW_CENTRE_STEPS;
    t = start + (inside - loft->up[low]) / (loft->up[high] - loft->up[low]) / TW_CENTRE_STEPS;
    for (int round = 0; round < 20; round++) {
        double run = 0, step;
        for (int g = 0; g < 5; g++) {
            tw_hermite(width, start + (t - start) * tw_gauss5_node[g], z[i * TW_STATION],
                       slope[i * TW_STATION], z[(i + 1) * TW_STATION], slope[(i + 1) * TW_STATION],
                       cubic);
            run += tw_gauss5_weight[g] * sqrt(1 + cubic[1] * cubic[1]);
        }
        tw_hermite(width, t, z[i * TW_STATION], slope[i * TW_STATION], z[(i + 1) * TW_STATION],
                   slope[(i + 1) * TW_STATION], cubic);
        step = (inside - loft->up[low] - run * width * (t - start)) /
               (width * sqrt(1 + cubic[1] * cubic[1]));
        t = fmin(fmax(t + step, 0), 1);
        if (fabs(step) < 1e-8) /* quadratic: the next would be below rounding */
            break;
    }
    u = 1 - t;
    out->station = i;
    out->ruler = loft->ruler[i] + t * width;
    out->beyond = up - inside;
    out->value[0] = u * u * (1 + 2 * t);
    out->value[1] = t * t * (1 + 2 * u);
    out->value[2] = width * u * u * t;
    out->value[3] = -width * t * t * u;
    out->slope[1] = 6 * t * u / width;
    out->slope[0] = -out->slope[1];
    out->slope[2] = u * (1 - 3 * t);
    out->slope[3] = t * (3 * t - 2);
    out->bend[1] = 6 * (1 - 2 * t) / (width * width);
    out->bend[0] = -out->bend[1];
    out->bend[2] = (6 * t - 4) / width;
    out->bend[3] = (6 * t - 2) / width;
}

/* 3-point Gauss on 0…1, and there the derivatives of (u³ − u) and (t³ − t). */
#define G3_LOW 0.1127016653792583115
static const double gauss3_node[3] = {G3_LOW, 0.5, 1 - G3_LOW};
static const double gauss3_weight[3] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
static const double gauss3_first[3] = {1 - 3 * (1 - G3_LOW) * (1 - G3_LOW), 0.25,
                                       1 - 3 * G3_LOW *G3_LOW};
static const double gauss3_second[3] = {3 * G3_LOW * G3_LOW - 1, -0.25,
                                        3 * (1 - G3_LOW) * (1 - G3_LOW) - 1};

/* Derivative in a fraction k: y its values at the places, y + TW_PLACES their bends. */
static inline double slope_at(const double *y, double first, double second)
{
    return y[1] - y[0] + first * y[TW_PLACES] + second * y[TW_PLACES + 1];
}

double tw_loft_half_tape(const tw_loft *loft, int side, const tw_ruler_place *place)
{
    const double *low = loft->value[side < 0] + place->station * TW_STATION;
    const double *low_y = loft->along[side < 0] + place->station * TW_STATION;
    const double *w = place->value;
    double before[4] = {0}, after[4], sum = 0;

    for (size_t k = 0; k < TW_PLACES; k++) {
        for (size_t c = 0; c < 4; c++) {
            const size_t n = c * TW_PLACES + k;
            after[c] = w[0] * low[n] + w[1] * low[n + TW_STATION] + w[2] * low_y[n] +
                       w[3] * low_y[n + TW_STATION];
        }
        for (int g = 0; g < 3 && k > 0; g++) {
            const double a = gauss3_first[g], b = gauss3_second[g];
            const double x = after[0] - before[0] + a * before[1] + b * after[1];
            const double z = after[2] - before[2] + a * before[3] + b * after[3];
            sum += gauss3_weight[g] * sqrt(x * x + z * z);
        }
        for (size_t c = 0; c < 4; c++)
            before[c] = after[c];
    }
    return sum;
}

/* Speeds and arcs of the first fractions from value and along. Arrays one after the other and no term
 * that waits for another until the last loop, so that compilers do several places at once. */
TW_WIDE_CLONES static void fill_row(const double *low, const double *low_y,
                                    const tw_ruler_place *place, size_t fractions, row *out)
{
    const double *w = place->value, *v = place->slope, *s = place->bend;
    double part[3][TW_FRACTIONS], part_y[3][TW_FRACTIONS];
    double arc = 0, arc_y = 0;

    for (size_t c = 0; c < 4; c++) {
        const double *value = low + c * TW_PLACES, *along = low_y + c * TW_PLACES;
        for (size_t k = 0; k <= fractions; k++) {
            const double a = value[k], b = value[k + TW_STATION];
            const double p = along[k], q = along[k + TW_STATION];
            out->value[c][k] = w[0] * a + w[1] * b + w[2] * p + w[3] * q;
            out->along[c][k] = v[1] * (b - a) + v[2] * p + v[3] * q;
            out->bent[c][k] = s[1] * (b - a) + s[2] * p + s[3] * q;
        }
    }
    /* at a place itself the derivatives of u³ − u, t³ − t are −2, −1 (below) or 1, 2 (above) */
    for (size_t k = 0; k < fractions; k++) {
        const double x = slope_at(out->value[0] + k, -2, -1);
        const double z = slope_at(out->value[2] + k, -2, -1);
        const double x_y = slope_at(out->along[0] + k, -2, -1);
        const double z_y = slope_at(out->along[2] + k, -2, -1);
        const double speed = sqrt(x * x + z * z);
        out->speed[k] = speed;
        out->speed_y[k] = (x * x_y + z * z_y) / speed;
    }
    {
        const size_t k = fractions - 1;
        const double x = slope_at(out->value[0] + k, 1, 2);
        const double z = slope_at(out->value[2] + k, 1, 2);
        const double x_y = slope_at(out->along[0] + k, 1, 2);
        const double z_y = slope_at(out->along[2] + k, 1, 2);
        out->speed[fractions] = sqrt(x * x + z * z);
        out->speed_y[fractions] = (x * x_y + z * z_y) / out->speed[fractions];
    }
    for (int g = 0; g < 3; g++) {
        const double a = gauss3_first[g], b = gauss3_second[g], weight = gauss3_weight[g];
        for (size_t k = 0; k < fractions; k++) {
            const double x = slope_at(out->value[0] + k, a, b);
            const double z = slope_at(out->value[2] + k, a, b);
            const double x_y = slope_at(out->along[0] + k, a, b);
            const double z_y = slope_at(out->along[2] + k, a, b);
            const double speed = sqrt(x * x + z * z);
            part[g][k] = weight * speed;
            part_y[g][k] = weight * (x * x_y + z * z_y) / speed;
        }
    }
    for (size_t k = 0; k < fractions; k++) {
        out->arc[k] = arc;
        out->arc_y[k] = arc_y;
        for (int g = 0; g < 3; g++) {
            arc += part[g][k];
            arc_y += part_y[g][k];
        }
    }
    out->arc[fractions] = arc;
    out->arc_y[fractions] = arc_y;
}

/* `fractions` from the centre out are set; a point on the centre line needs the first only. */
static void row_set(const tw_loft *loft, int side, double up, size_t fractions, row *out)
{
    tw_ruler_place place;

    tw_loft_place(loft, up, &place);
    fill_row(loft->value[side < 0] + place.station * TW_STATION,
             loft->along[side < 0] + place.station * TW_STATION, &place, fractions, out);
    out->arc[TW_FRACTIONS] = out->arc[fractions];
    out->ruler = place.ruler;
    out->rate = 1 / sqrt(1 + out->along[2][0] * out->along[2][0]);
    out->beyond = place.beyond;
}

/* ---- at a point ---------------------------------------------------------------------------- */

static double speed_in(const row *r, size_t k, double t)
{
    const double first = 1 - 3 * (1 - t) * (1 - t), second = 3 * t * t - 1;
    const double x = slope_at(r->value[0] + k, first, second);
    const double z = slope_at(r->value[2] + k, first, second);

    return sqrt(x * x + z * z);
}

/* Which fraction, and where in it, an arc length from the centre falls. */
static size_t fraction_at(const row *r, double arc, double *t)
{
    const double guess = arc / r->arc[TW_FRACTIONS] * TW_FRACTIONS;
    /* no fmin(), fmax() here: a call each, some millions of times a grid */
    size_t k = guess > 0 ? (guess < TW_FRACTIONS - 1 ? (size_t)guess : TW_FRACTIONS - 1) : 0;
    double width, share, rest, low, high;

    while (k > 0 && arc < r->arc[k])
        k--;
    while (k < TW_FRACTIONS - 1 && arc >= r->arc[k + 1])
        k++;
    width = r->arc[k + 1] - r->arc[k];
    share = (arc - r->arc[k]) / width;
    share = share < 1 ? share : 1;
    rest = 1 - share;
    low = width / r->speed[k] - 1;
    high = 1 - width / r->speed[k + 1];
    *t = share + share * rest * (low * rest + high * share);
    if (fabs(low) > 1e-5 || fabs(high) > 1e-5) { /* a bend is sharp here, as at a keel's edge */
        double run = 0;
        for (int g = 0; g < 3; g++)
            run += gauss3_weight[g] * speed_in(r, k, *t * gauss3_node[g]);
        *t += ((arc - r->arc[k]) - run * *t) / speed_in(r, k, *t);
    }
    return k;
}

static void row_at(const row *r, double arc, int side, tw_face_point *out)
{
    const double past = arc - r->arc[TW_FRACTIONS], extra = past > 0 ? past : 0;
    const double flip = side < 0 ? -1 : 1;
    double t, u, tt, uu, speed, arc_y, t_y, size;
    double p[3] = {0, 0, 0}, q[3] = {0, 1, 0}, pp[3] = {0, 0, 0}, pq[3] = {0, 0, 0};
    double qq[3] = {0, 0, 0}, tangent[3], mixed[3], by_y[3];
    const size_t k = fraction_at(r, arc - extra, &t);
    double hermite[3];

    u = 1 - t;
    uu = u * u - 1;
    tt = t * t - 1;
    for (size_t axis = 0; axis < 3; axis += 2) {
        const double *v = r->value[axis] + k, *v_b = r->value[axis + 1] + k;
        const double *y = r->along[axis] + k, *y_b = r->along[axis + 1] + k;
        const double *yy = r->bent[axis] + k, *yy_b = r->bent[axis + 1] + k;
        out->position[axis] = u * v[0] + t * v[1] + u * uu * v_b[0] + t * tt * v_b[1];
        p[axis] = v[1] - v[0] - (3 * uu + 2) * v_b[0] + (3 * tt + 2) * v_b[1];
        pp[axis] = 6 * (u * v_b[0] + t * v_b[1]);
        q[axis] = u * y[0] + t * y[1] + u * uu * y_b[0] + t * tt * y_b[1];
        pq[axis] = y[1] - y[0] - (3 * uu + 2) * y_b[0] + (3 * tt + 2) * y_b[1];
        qq[axis] = u * yy[0] + t * yy[1] + u * uu * yy_b[0] + t * tt * yy_b[1];
    }
    out->position[1] = r->ruler;
    tw_cross(p, q, out->normal);
    size = 1 / sqrt(tw_dot(out->normal, out->normal));
    for (int axis = 0; axis < 3; axis++)
        out->normal[axis] *= size;
    tw_curvatures(p, q, pp, pq, qq, out);

    speed = sqrt(p[0] * p[0] + p[2] * p[2]);
    tw_hermite(1, t, r->arc_y[k], r->speed_y[k], r->arc_y[k + 1], r->speed_y[k + 1], hermite);
    arc_y = hermite[0];
    t_y = -arc_y / speed;
    for (int axis = 0; axis < 3; axis++) {
        tangent[axis] = p[axis] / speed;
        by_y[axis] = q[axis] + p[axis] * t_y;
    }
    if (extra > 0 || r->beyond != 0) {
        const double own = tw_dot(tangent, pq), run = tw_dot(tangent, pp);
        for (int axis = 0; axis < 3;
             axis++) /* ∂/∂arc of by_y: of the end tangent, or of the face */
            mixed[axis] =
                extra > 0 ? (pq[axis] - own * tangent[axis]) / speed
                          : (pq[axis] + pp[axis] * t_y - tangent[axis] * (own + run * t_y)) / speed;
        for (int axis = 0; axis < 3; axis++) {
            out->position[axis] += extra * tangent[axis];
            by_y[axis] += extra * mixed[axis];
            out->position[axis] += r->beyond * r->rate * by_y[axis];
            tangent[axis] += r->beyond * r->rate * mixed[axis];
        }
    }
    /* The left side is worked out mirrored: x turns round, and across runs against the arc. */
    for (int axis = 0; axis < 3; axis++) {
        out->across_step[axis] = axis == 0 ? tangent[axis] : flip * tangent[axis];
        out->up_step[axis] = r->rate * by_y[axis];
    }
    out->position[0] *= flip;
    out->up_step[0] *= flip;
    out->normal[0] *= flip;
}

void tw_loft_at(const tw_loft *loft, double across, double up, int side, tw_face_point *out)
{
    const int left = across < 0 || (across == 0 && side < 0) ? -1 : 1;
    row r;

    row_set(loft, left, up, across == 0 ? 1 : TW_FRACTIONS, &r);
    row_at(&r, fabs(across), left, out);
}

size_t tw_loft_scratch(const tw_loft *loft)
{
    return loft->sides * sizeof(row);
}

void tw_loft_row(const tw_loft *loft, double up, size_t count, const double *across, void *scratch,
                 tw_face_point *out)
{
    row *rows = scratch, *left = &rows[loft->sides - 1];
    bool ready[2] = {false, false};

    for (size_t i = 0; i < count; i++) {
        const size_t which = across[i] < 0 ? loft->sides - 1 : 0;
        if (!ready[which]) {
            row_set(loft, which ? -1 : 1, up, TW_FRACTIONS, &rows[which]);
            ready[which] = true;
        }
        row_at(across[i] < 0 ? left : rows, fabs(across[i]), across[i] < 0 ? -1 : 1, &out[i]);
    }
}

/* ---- boundary ------------------------------------------------------------------------------ */

static double end_up(const tw_loft *loft)
{
    return loft->up[(loft->count - 1) * TW_CENTRE_STEPS];
}

static double side_at(const tw_loft *loft, int side, double up)
{
    tw_ruler_place place;

    tw_loft_place(loft, up, &place);
    return tw_loft_half_tape(loft, side, &place);
}

/* A lower bound of tw_loft_half_tape() by chords: most points asked for lie well inside, and their
 * tape to the last digit is not needed. */
static double half_chords(const tw_loft *loft, int side, const tw_ruler_place *place)
{
    enum { EVERY = 16 };
    const double *low = loft->value[side < 0] + place->station * TW_STATION;
    const double *low_y = loft->along[side < 0] + place->station * TW_STATION;
    const double *w = place->value;
    double before[2] = {0}, sum = 0;

    for (size_t k = 0; k < TW_PLACES; k += EVERY) {
        double here[2];
        for (size_t c = 0; c < 2; c++) {
            const size_t n = c * TW_Z + k;
            here[c] = w[0] * low[n] + w[1] * low[n + TW_STATION] + w[2] * low_y[n] +
                      w[3] * low_y[n + TW_STATION];
        }
        if (k > 0)
            sum += sqrt((here[0] - before[0]) * (here[0] - before[0]) +
                        (here[1] - before[1]) * (here[1] - before[1]));
        before[0] = here[0];
        before[1] = here[1];
    }
    return sum;
}

double tw_loft_excess(const tw_loft *loft, double across, double up)
{
    const double end = end_up(loft), along = fmax(loft->up[0] - up, up - end), small = 1e-6;
    const int side = across < 0 ? -1 : 1;
    tw_ruler_place place;
    double out;

    tw_loft_place(loft, up, &place);
    out = fabs(across) - half_chords(loft, side, &place);
    if (out > -small)
        out = fabs(across) - tw_loft_half_tape(loft, side, &place);

    return along > 0 && out > 0 ? hypot(along, out) : fmax(along, out);
}

/* Half widths of a side at the ends of equal pieces between two stations, so many that chords keep
 * within 0.004 mm of their middles; the middles of one try are ends of the next. */
typedef struct side_run {
    size_t pieces;
    double from, step;
    double *out; /* pieces + 1 */
} side_run;

static bool run_side(const tw_loft *loft, int side, double from, double to, tw_arena *arena,
                     side_run *run)
{
    double worst;

    *run = (side_run){8, from, (to - from) / 8, tw_arena_array(arena, 9, sizeof *run->out)};
    for (size_t i = 0; run->out && i <= 8; i++)
        run->out[i] = side_at(loft, side, i == 8 ? to : from + run->step * (double)i);
    do {
        const size_t pieces = run->pieces;
        double *finer = tw_arena_array(arena, 2 * pieces + 1, sizeof *finer);
        if (!run->out || !finer)
            return false;
        worst = 0;
        for (size_t i = 0; i < pieces; i++) {
            finer[2 * i] = run->out[i];
            finer[2 * i + 1] = side_at(loft, side, from + run->step * ((double)i + 0.5));
            worst = fmax(worst, fabs(finer[2 * i + 1] - 0.5 * (run->out[i] + run->out[i + 1])));
        }
        finer[2 * pieces] = run->out[pieces];
        if (worst > 0.004)
            *run = (side_run){2 * pieces, from, 0.5 * run->step, finer};
    } while (worst > 0.004 && run->pieces < 4096);
    return true;
}

static bool side_line(const tw_loft *loft, int side, tw_arena *arena, tw_edge_line *edge)
{
    side_run *runs = tw_arena_array(arena, loft->count, sizeof *runs);
    size_t n = 0;

    edge->count = 1;
    for (size_t i = 0; i + 1 < loft->count; i++) {
        if (!runs || !run_side(loft, side, loft->up[i * TW_CENTRE_STEPS],
                               loft->up[(i + 1) * TW_CENTRE_STEPS], arena, &runs[i]))
            return false;
        edge->count += runs[i].pieces;
    }
    edge->points = tw_arena_array(arena, edge->count, sizeof *edge->points);
    if (!edge->points)
        return false;
    for (size_t i = 0; i + 1 < loft->count; i++)
        for (size_t k = i ? 1 : 0; k <= runs[i].pieces; k++) {
            const size_t at = side > 0 ? n : edge->count - 1 - n; /* up the right, down the left */
            edge->points[at][0] = side * runs[i].out[k];
            edge->points[at][1] = k == runs[i].pieces ? loft->up[(i + 1) * TW_CENTRE_STEPS]
                                                      : runs[i].from + runs[i].step * (double)k;
            n++;
        }
    return true;
}

static bool mirror_line(const tw_edge_line *right, tw_arena *arena, tw_edge_line *left)
{
    left->count = right->count;
    left->points = tw_arena_array(arena, left->count, sizeof *left->points);
    for (size_t n = 0; left->points && n < left->count; n++) {
        left->points[n][0] = -right->points[left->count - 1 - n][0];
        left->points[n][1] = right->points[left->count - 1 - n][1];
    }
    return left->points != NULL;
}

tw_status tw_loft_boundary(const tw_loft *loft, tw_arena *arena, tw_edge_line **edges,
                           size_t *count, tw_error *err)
{
    tw_edge_line *edge = tw_arena_array(arena, 4, sizeof *edge);
    double(*ends)[2] = tw_arena_array(arena, 4, sizeof *ends);

    if (!edge || !ends || !side_line(loft, 1, arena, &edge[1]) ||
        !(loft->sides == 1 ? mirror_line(&edge[1], arena, &edge[3])
                           : side_line(loft, -1, arena, &edge[3])))
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the boundary of a loft");
    /* first and last section are straight in tape coordinates */
    for (int axis = 0; axis < 2; axis++) {
        ends[0][axis] = edge[3].points[edge[3].count - 1][axis];
        ends[1][axis] = edge[1].points[0][axis];
        ends[2][axis] = edge[1].points[edge[1].count - 1][axis];
        ends[3][axis] = edge[3].points[0][axis];
    }
    edge[0] = (tw_edge_line){"lower", 2, ends};
    edge[1].name = "right";
    edge[2] = (tw_edge_line){"upper", 2, ends + 2};
    edge[3].name = "left";
    *edges = edge;
    *count = 4;
    return TW_OK;
}

bool tw_loft_has_crease(const tw_loft *loft)
{
    return loft->crease;
}

/* Open at an open station and all the way between two of them; a closed station ends it only at
 * itself, so how far the gap runs toward it is the outline's to say. */
bool tw_loft_open_at(const tw_loft *loft, double up)
{
    for (size_t i = 0; i < loft->count; i++) {
        const double here = loft->up[i * TW_CENTRE_STEPS];
        if (!loft->open[i])
            continue;
        if (fabs(up - here) < 1e-6 || (i == 0 && up < here) || (i + 1 == loft->count && up > here))
            return true;
        if (i + 1 < loft->count && loft->open[i + 1] && up > here &&
            up < loft->up[(i + 1) * TW_CENTRE_STEPS])
            return true;
    }
    return false;
}

bool tw_loft_station_tape(const tw_loft *loft, size_t station, double *tape)
{
    if (station >= loft->count)
        return false;
    *tape = loft->tape[station];
    return true;
}
