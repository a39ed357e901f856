/*
 * bowl_meridian.c: the tape run from the crown down a meridian, and back from tape to place.
 *
 * Speed along the conic x = R·s(t), z = D·z(t) is √(R²s_t² + D²z_t²). Its integral from the crown is
 * kept at 65 parameters and, where meridians differ, for 129 angles ψ of a quarter turn; between
 * angles runs the 8-point polynomial (tape is even about both ends, so the table goes on by
 * mirroring), between parameters a 5-point Gauss rule from the knot below. So a length is exact to
 * rounding relative to itself, also close to the crown, and its derivative by ψ is that of the same
 * numbers. Back from tape to parameter: a tabulated guess, then Halley's third-order step.
 */
#include "bowl_internal.h"

#include <math.h>

enum { POINTS = 8 };

void tw_meridian_at(const tw_bowl *bowl, double sine, double cosine, tw_meridian *out)
{
    const double a = bowl->across, u = bowl->up;
    const double x = sine / a, y = cosine / u, radius = 1 / sqrt(x * x + y * y);

    out->radius = radius;
    out->sine = radius * x;
    out->cosine = radius * y;
    out->radius_turn = (a - u) * (a + u) * out->sine * out->cosine;
    out->bend = bowl->bend_across;
    out->bend_p = out->bend_pp = 0;
    if (bowl->bend_across != bowl->bend_up) {
        /* 1/(1 + bend) goes linearly with sin²ψ from up to across: then the crown's second
         * derivatives are one quadratic form, and the face is smooth there (derived here). */
        const double low = 1 / (1 + bowl->bend_up), gain = 1 / (1 + bowl->bend_across) - low;
        const double s = out->sine, c = out->cosine, g = 1 / (low + gain * s * s);
        const double g_p = gain * 2 * s * c, g_pp = gain * 2 * (c - s) * (c + s);
        out->bend = g - 1;
        out->bend_p = -g_p * g * g;
        out->bend_pp = -g_pp * g * g + 2 * g_p * g_p * g * g * g;
    }
}

/* Lagrange weights of 8 equal steps at 0 ≤ t ≤ 1 between the middle two, and their derivatives. */
static void lagrange(double t, double weight[POINTS], double slope[POINTS])
{
    /* 1/∏(i − j): (−1)^(7−i)/(i!(7 − i)!) */
    static const double scale[POINTS] = {-1.0 / 5040, 1.0 / 720, -1.0 / 240, 1.0 / 144,
                                         -1.0 / 144,  1.0 / 240, -1.0 / 720, 1.0 / 5040};
    double after[POINTS + 1], after_t[POINTS + 1], before = 1, before_t = 0;

    after[POINTS] = 1;
    after_t[POINTS] = 0;
    for (int i = POINTS - 1; i >= 0; i--) {
        const double d = t - (i - TW_MERIDIAN_MARGIN);
        after[i] = after[i + 1] * d;
        after_t[i] = after_t[i + 1] * d + after[i + 1];
    }
    for (int i = 0; i < POINTS; i++) {
        const double d = t - (i - TW_MERIDIAN_MARGIN);
        weight[i] = scale[i] * before * after[i + 1];
        slope[i] = scale[i] * (before_t * after[i + 1] + before * after_t[i + 1]);
        before_t = before_t * d + before;
        before *= d;
    }
}

/* Where a meridian's angle falls in the table. */
typedef struct reading {
    size_t column; /* of the first of the 8 points */
    double t, weight[POINTS], slope[POINTS];
} reading;

static void read_at(const tw_bowl *bowl, const tw_meridian *m, reading *out)
{
    const double steps = TW_MERIDIAN_TURNS / (0.5 * TW_PI);
    double place, sign;
    size_t floor_place;

    if (bowl->even) {
        out->column = 0;
        out->t = 0;
        return;
    }
    place = atan2(fabs(m->sine), fabs(m->cosine)) * steps;
    floor_place = (size_t)fmin(place, TW_MERIDIAN_TURNS - 1);
    out->column = floor_place;
    out->t = place - (double)floor_place;
    lagrange(out->t, out->weight, out->slope);
    sign = (m->sine < 0) != (m->cosine < 0) ? -steps : steps;
    for (int i = 0; i < POINTS; i++)
        out->slope[i] *= sign;
}

static double length_at(const tw_bowl *bowl, const reading *at, size_t knot)
{
    const double *row = bowl->length + knot * bowl->columns + at->column;
    double sum = 0;

    if (bowl->even)
        return row[0];
    for (int i = 0; i < POINTS; i++)
        sum += at->weight[i] * row[i];
    return sum;
}

static double turn_at(const tw_bowl *bowl, const reading *at, size_t knot)
{
    const double *row = bowl->length + knot * bowl->columns + at->column;
    double sum = 0;

    if (bowl->even)
        return 0;
    for (int i = 0; i < POINTS; i++)
        sum += at->slope[i] * row[i];
    return sum;
}

/* Speed by the parameter. */
static double speed_at(const tw_bowl *bowl, const tw_meridian *m, double t)
{
    const double R = m->radius, D = bowl->depth, c = m->bend, q = 1 / (1 + c * t * t);
    const double out = (1 + c) * (1 - c * t * t) * q * q, down = -2 * t * (1 + c) * q * q;

    return sqrt(R * R * out * out + D * D * down * down);
}

/* Its derivative by ψ. */
static double speed_turn_at(const tw_bowl *bowl, const tw_meridian *m, double t)
{
    const double R = m->radius, D = bowl->depth;
    tw_conic_jet at;

    if (m->bend_p == 0) {
        const double c = m->bend, q = 1 / (1 + c * t * t);
        const double out = (1 + c) * (1 - c * t * t) * q * q, down = -2 * t * (1 + c) * q * q;
        return m->radius_turn * out * out / sqrt(R * R * out * out + D * D * down * down);
    }
    tw_conic_at(m->bend, t, &at);
    return (m->radius_turn * at.s_t * at.s_t +
            m->bend_p * (R * R * at.s_t * at.s_tc + D * D * at.z_t * at.z_tc)) /
           sqrt(R * R * at.s_t * at.s_t + D * D * at.z_t * at.z_t);
}

static double from_knot(const tw_bowl *bowl, const tw_meridian *m, double from, double to)
{
    double sum = 0;

    for (int g = 0; g < 5; g++)
        sum += tw_gauss5_weight[g] * speed_at(bowl, m, from + (to - from) * tw_gauss5_node[g]);
    return sum * (to - from);
}

static size_t knot_below(const tw_bowl *bowl, double t)
{
    /* inverse of the Möbius map of tw_conic_knot(): knot[1] = k0/(steps + k0 − 1) */
    const double steps = TW_MERIDIAN_KNOTS, first = bowl->knot[1];
    const double k0 = first * (steps - 1) / (1 - first);
    const double even = t / (k0 + t * (1 - k0));

    return (size_t)fmin(fmax(even * steps, 0), steps - 1);
}

/* Cubic through four rows of the guess table, so that one Halley step is enough nearly always. */
static double guess_at(const tw_bowl *bowl, const reading *at, double share)
{
    const double place = share * TW_MERIDIAN_GUESSES;
    const size_t first = (size_t)fmin(fmax(place - 1, 0), TW_MERIDIAN_GUESSES - 3);
    const double a = place - (double)first, b = a - 1, c = a - 2, d = a - 3;
    const double weight[4] = {-b * c * d / 6, a * c * d / 2, -a * b * d / 2, a * b * c / 6};
    double t = 0;

    for (size_t k = 0; k < 4; k++) {
        const double *row = bowl->guess + (first + k) * bowl->columns + at->column;
        double sum = row[0];
        if (!bowl->even) {
            sum *= at->weight[0];
            for (size_t i = 1; i < POINTS; i++)
                sum += at->weight[i] * row[i];
        }
        t += weight[k] * sum;
    }
    return fmin(fmax(t, 0), 1);
}

static double ball_parameter(const tw_bowl *bowl, double tape)
{
    return tan(0.5 * tape / bowl->ball) / sqrt(bowl->bend_up);
}

void tw_meridian_run(const tw_bowl *bowl, const tw_meridian *m, double tape, tw_tape_end *out)
{
    reading at;
    double whole, t;
    size_t knot;

    if (bowl->cone) {
        const double slant = sqrt(m->radius * m->radius + bowl->depth * bowl->depth);
        out->t = fmin(tape / slant, 1);
        out->extra = fmax(tape - slant, 0);
        out->turn = out->t * m->radius_turn / slant;
        return;
    }
    read_at(bowl, m, &at);
    whole = length_at(bowl, &at, TW_MERIDIAN_KNOTS);
    if (tape >= whole) {
        *out = (tw_tape_end){1, turn_at(bowl, &at, TW_MERIDIAN_KNOTS), tape - whole};
        return;
    }
    if (bowl->ball > 0) {
        *out = (tw_tape_end){ball_parameter(bowl, tape), 0, 0};
        return;
    }
    t = guess_at(bowl, &at, tape / whole);
    for (int round = 0; round < 30; round++) {
        double miss, speed, bent, step, next;
        const double R = m->radius, D = bowl->depth, c = m->bend;
        knot = knot_below(bowl, t);
        miss = length_at(bowl, &at, knot) + from_knot(bowl, m, bowl->knot[knot], t) - tape;
        speed = speed_at(bowl, m, t);
        { /* half the logarithmic derivative of the speed */
            const double t2 = t * t, w = R * R * (1 - c * t2) * (1 - c * t2) + 4 * D * D * t2;
            bent = (-c * t * R * R * (1 - c * t2) + 2 * D * D * t) / w - 2 * c * t / (1 + c * t2);
        }
        step = -miss / speed;
        step /= fmax(0.5, 1 + step * bent); /* Halley: f''/(2f') = bent */
        next = fmin(fmax(t + step, 0), 1);
        step = next - t;
        t = next;
        /* third order: what is left after a step this small is below rounding */
        if (fabs(step) <= 1e-5 * fmin(t + 1e-3, 1) * (1 + c))
            break;
    }
    out->t = t;
    out->extra = 0;
    out->turn = 0;
    if (!bowl->even) {
        knot = knot_below(bowl, t);
        out->turn = turn_at(bowl, &at, knot);
        for (int g = 0; g < 5; g++)
            out->turn +=
                (t - bowl->knot[knot]) * tw_gauss5_weight[g] *
                speed_turn_at(bowl, m,
                              bowl->knot[knot] + (t - bowl->knot[knot]) * tw_gauss5_node[g]);
    }
}

double tw_meridian_tape(const tw_bowl *bowl, const tw_meridian *m)
{
    reading at;

    if (bowl->cone)
        return sqrt(m->radius * m->radius + bowl->depth * bowl->depth);
    read_at(bowl, m, &at);
    return length_at(bowl, &at, TW_MERIDIAN_KNOTS);
}

/* One meridian's column of both tables. */
static void fill_column(tw_bowl *bowl, size_t column, const tw_meridian *m)
{
    double *length = bowl->length + column, *guess = bowl->guess + column, whole;
    tw_sum sum = {0, 0};
    size_t knot = 0;

    for (size_t k = 0; k < TW_MERIDIAN_KNOTS; k++) {
        const double from = bowl->knot[k], step = bowl->knot[k + 1] - from;
        length[k * bowl->columns] = tw_sum_value(&sum);
        for (int g = 0; g < 8; g++)
            tw_sum_add(&sum, step * tw_gauss8_weight[g] *
                                 speed_at(bowl, m, from + step * tw_gauss8_node[g]));
    }
    whole = length[TW_MERIDIAN_KNOTS * bowl->columns] = tw_sum_value(&sum);
    for (size_t j = 0; j <= TW_MERIDIAN_GUESSES; j++) {
        const double tape = whole * (double)j / TW_MERIDIAN_GUESSES;
        double t;
        while (knot + 1 < TW_MERIDIAN_KNOTS && length[(knot + 1) * bowl->columns] < tape)
            knot++;
        t = bowl->knot[knot] +
            (tape - length[knot * bowl->columns]) / speed_at(bowl, m, bowl->knot[knot]);
        for (int round = 0; round < 20; round++) {
            const double miss =
                length[knot * bowl->columns] + from_knot(bowl, m, bowl->knot[knot], t) - tape;
            t = fmin(fmax(t - miss / speed_at(bowl, m, t), bowl->knot[knot]), bowl->knot[knot + 1]);
            if (fabs(miss) < 1e-12 * whole)
                break;
        }
        guess[j * bowl->columns] = t;
    }
}

tw_status tw_meridian_table(tw_bowl *bowl, tw_arena *arena, tw_error *err)
{
    const double sharper = fmin(bowl->bend_across, bowl->bend_up);

    if (bowl->cone)
        return TW_OK;
    bowl->columns = bowl->even ? 1 : TW_MERIDIAN_TURNS + 1 + 2 * TW_MERIDIAN_MARGIN;
    bowl->length = tw_arena_array(arena, (TW_MERIDIAN_KNOTS + 1) * bowl->columns, sizeof(double));
    bowl->guess = tw_arena_array(arena, (TW_MERIDIAN_GUESSES + 1) * bowl->columns, sizeof(double));
    if (!bowl->length || !bowl->guess)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the tape table of a bowl");
    for (size_t k = 0; k <= TW_MERIDIAN_KNOTS; k++)
        bowl->knot[k] = tw_conic_knot(sharper, k, TW_MERIDIAN_KNOTS);
    for (size_t column = 0; column < bowl->columns; column++) {
        const double turns = (double)column - (bowl->even ? 0 : TW_MERIDIAN_MARGIN);
        const double angle = turns * 0.5 * TW_PI / TW_MERIDIAN_TURNS;
        tw_meridian m;
        /* by ψ itself: a plan bearing has sine ∝ across·sin ψ, cosine ∝ up·cos ψ */
        tw_meridian_at(bowl, bowl->across * sin(angle), bowl->up * cos(angle), &m);
        m.radius = hypot(bowl->across * sin(angle), bowl->up * cos(angle));
        fill_column(bowl, column, &m);
    }
    return TW_OK;
}
