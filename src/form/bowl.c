/*
 * bowl.c: a face over an elliptic rim, crown up. Each meridian from crown to rim is a conic arc
 * (conic.c) over its plan bearing; with x = s·across·sin ψ, y = s·up·cos ψ, z = depth·z(t):
 *
 *   round     bend depth²/(across·up): the spherical cap over the circle of equal plan area,
 *             stretched across and up to the ellipse; with equal halves the cap itself
 *   full      bend 1, half an ellipsoid; parabola bend 0, a paraboloid; cone straight meridians
 *   over      the two bends that give the two taped lengths, blended between (bowl_meridian.c)
 *
 * The tape runs from the crown along a meridian; [across, up] = tape × (sine, cosine of its plan
 * bearing). Derivatives are taken in (t, ψ), where everything is a closed form but the tape's own
 * derivative by ψ, then carried to the tape: ∂/∂tape = P_t/speed, ∂/∂ψ at equal tape =
 * P_ψ − P_t·turn/speed. Curvatures need no such change, as they belong to the face.
 */
#include "bowl_internal.h"

#include <math.h>
#include <stdio.h>

typedef struct bowl_jet {
    double t[3], p[3], tt[3], tp[3], pp[3]; /* derivatives by parameter t and angle ψ */
} bowl_jet;

static void jet_at(const tw_bowl *bowl, const tw_meridian *m, double t, double position[3],
                   bowl_jet *out)
{
    const double A = bowl->across * m->sine, U = bowl->up * m->cosine;      /* plan direction … */
    const double A_p = bowl->across * m->cosine, U_p = -bowl->up * m->sine; /* … and by ψ */
    const double D = bowl->depth, c_p = m->bend_p, c_pp = m->bend_pp;
    tw_conic_jet at;
    double s_p, s_pp, s_tp;

    if (bowl->cone)
        at = (tw_conic_jet){.s = t, .s_t = 1, .z = 1 - t, .z_t = -1};
    else
        tw_conic_at(m->bend, t, &at);
    s_p = at.s_c * c_p;
    s_pp = at.s_cc * c_p * c_p + at.s_c * c_pp;
    s_tp = at.s_tc * c_p;
    position[0] = A * at.s;
    position[1] = U * at.s;
    position[2] = D * at.z;
    out->t[0] = A * at.s_t;
    out->t[1] = U * at.s_t;
    out->t[2] = D * at.z_t;
    out->p[0] = A_p * at.s + A * s_p;
    out->p[1] = U_p * at.s + U * s_p;
    out->p[2] = D * at.z_c * c_p;
    out->tt[0] = A * at.s_tt;
    out->tt[1] = U * at.s_tt;
    out->tt[2] = D * at.z_tt;
    out->tp[0] = A_p * at.s_t + A * s_tp;
    out->tp[1] = U_p * at.s_t + U * s_tp;
    out->tp[2] = D * at.z_tc * c_p;
    out->pp[0] = -A * at.s + 2 * A_p * s_p + A * s_pp;
    out->pp[1] = -U * at.s + 2 * U_p * s_p + U * s_pp;
    out->pp[2] = D * (at.z_cc * c_p * c_p + at.z_c * c_pp);
}

/* At the crown z = D − D·(x²/(across²(1 + bend)) + …): level, and its steps are the tape's own. A
 * cone has no normal there, and no steps that would be right in all directions: +z, no curvature,
 * and steps of one so that lengths along the meridians are kept. */
static void crown_at(const tw_bowl *bowl, tw_face_point *out)
{
    *out = (tw_face_point){.position = {0, 0, bowl->depth},
                           .across_step = {1, 0, 0},
                           .up_step = {0, 1, 0},
                           .normal = {0, 0, 1}};
    if (!bowl->cone) {
        const double kx = 2 * bowl->depth / (bowl->across * bowl->across * (1 + bowl->bend_across));
        const double ky = 2 * bowl->depth / (bowl->up * bowl->up * (1 + bowl->bend_up));
        out->mean_curvature = 0.5 * (kx + ky);
        out->gauss_curvature = kx * ky;
    }
}

void tw_bowl_at(const tw_bowl *bowl, double across, double up, tw_face_point *out)
{
    const double tape = sqrt(across * across + up * up);
    const double sine = across / tape, cosine = up / tape;
    double speed, turned, size;
    double along[3], sideways[3];
    tw_meridian m;
    tw_tape_end end;
    bowl_jet jet;

    if (!(tape > 1e-12 * bowl->depth)) {
        crown_at(bowl, out);
        return;
    }
    tw_meridian_at(bowl, sine, cosine, &m);
    tw_meridian_run(bowl, &m, tape, &end);
    jet_at(bowl, &m, end.t, out->position, &jet);

    tw_cross(jet.p, jet.t, out->normal);
    size = 1 / sqrt(tw_dot(out->normal, out->normal));
    for (int k = 0; k < 3; k++)
        out->normal[k] *= size;
    tw_curvatures(jet.t, jet.p, jet.tt, jet.tp, jet.pp, out);

    speed = sqrt(tw_dot(jet.t, jet.t));
    for (int k = 0; k < 3; k++) {
        along[k] = jet.t[k] / speed;
        sideways[k] = jet.p[k] - along[k] * end.turn;
    }
    if (end.extra > 0) { /* straight on from the rim: + extra × along, which turns with ψ */
        const double own = tw_dot(along, jet.tp);
        for (int k = 0; k < 3; k++) {
            out->position[k] += end.extra * along[k];
            sideways[k] += end.extra * (jet.tp[k] - own * along[k]) / speed;
        }
    }
    /* dψ/d(bearing) = radius²/(across·up), as tan ψ = (up/across)·tan(bearing) */
    turned = m.radius * m.radius / (bowl->across * bowl->up * tape);
    for (int k = 0; k < 3; k++) {
        sideways[k] *= turned;
        out->across_step[k] = along[k] * sine + sideways[k] * cosine;
        out->up_step[k] = along[k] * cosine - sideways[k] * sine;
    }
}

double tw_bowl_excess(const tw_bowl *bowl, double across, double up)
{
    const double tape = hypot(across, up);
    tw_meridian m;

    tw_meridian_at(bowl, tape > 0 ? across / tape : 0, tape > 0 ? up / tape : 1, &m);
    return tape - tw_meridian_tape(bowl, &m);
}

bool tw_bowl_has_apex(const tw_bowl *bowl)
{
    return bowl->cone;
}

/* ---- boundary ------------------------------------------------------------------------------ */

static void rim_at(const tw_bowl *bowl, double turn, double point[2])
{
    const double sine = cos(turn), cosine = sin(turn); /* from +across, anticlockwise */
    tw_meridian m;
    double tape;

    tw_meridian_at(bowl, sine, cosine, &m);
    tape = tw_meridian_tape(bowl, &m);
    point[0] = tape * sine;
    point[1] = tape * cosine;
}

tw_status tw_bowl_boundary(const tw_bowl *bowl, tw_arena *arena, tw_edge_line **edges,
                           size_t *count, tw_error *err)
{
    static const double close = 0.004; /* [mm], chord to curve */
    tw_edge_line *edge = tw_arena_array(arena, 1, sizeof *edge);
    size_t pieces = 90;
    double worst;

    do {
        pieces *= 2;
        worst = 0;
        for (size_t i = 0; i < pieces / 4; i++) { /* all quarters are alike */
            double a[2], b[2], middle[2];
            const double step = 2 * TW_PI / (double)pieces;
            rim_at(bowl, (double)i * step, a);
            rim_at(bowl, ((double)i + 1) * step, b);
            rim_at(bowl, ((double)i + 0.5) * step, middle);
            worst = fmax(worst, fabs((middle[0] - a[0]) * (b[1] - a[1]) -
                                     (middle[1] - a[1]) * (b[0] - a[0])) /
                                    hypot(b[0] - a[0], b[1] - a[1]));
        }
    } while (worst > close && pieces < 100000);
    if (edge) {
        edge->name = "rim";
        edge->count = pieces + 1;
        edge->points = tw_arena_array(arena, pieces + 1, sizeof *edge->points);
    }
    if (!edge || !edge->points)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for the rim of a bowl");
    for (size_t i = 0; i < pieces; i++)
        rim_at(bowl, 2 * TW_PI * (double)i / (double)pieces, edge->points[i]);
    edge->points[pieces][0] = edge->points[0][0];
    edge->points[pieces][1] = edge->points[0][1];
    *edges = edge;
    *count = 1;
    return TW_OK;
}

/* ---- building ------------------------------------------------------------------------------ */

typedef struct over_arc {
    double half, rise;
} over_arc;

static double over_length(double bend, const void *context)
{
    const over_arc *arc = context;

    return 2 * tw_conic_length(arc->half, arc->rise, bend);
}

static tw_status bend_over(const tw_profile *profile, const char *way, double half, double tape,
                           double *bend, tw_notes *notes, tw_error *err)
{
    const over_arc arc = {half, profile->bowl.depth};
    char what[96], number[24];
    tw_tape_fit fit = {over_length,        &arc, tape, what, "measure width and depth again",
                       profile->bowl.place};

    snprintf(what, sizeof what, "a tape of %s mm over the crown %s", tw_form_mm(tape, number), way);
    return tw_tape_bend(&fit, profile, bend, notes, err);
}

static tw_status check_sizes(const tw_profile *profile, tw_error *err)
{
    const tw_bowl_spec *spec = &profile->bowl;
    const double deepest = sqrt(spec->across * spec->up);
    char a[24], b[24], c[24];

    if (!(spec->across > 0 && spec->up > 0 && spec->depth > 0) ||
        !(spec->across < 1e5 && spec->up < 1e5 && spec->depth < 1e5)) {
        tw_fail(err, TW_ERR_SHAPE,
                "a bowl needs half-widths and a depth above zero, not %s, %s, %s mm",
                tw_form_mm(spec->across, a), tw_form_mm(spec->up, b), tw_form_mm(spec->depth, c));
        tw_error_advise(err, NULL, "give across, up and depth in mm, below 100 m");
    } else if (spec->profile == TW_BOWL_ROUND && spec->depth > deepest * (1 + 1e-9)) {
        tw_fail(err, TW_ERR_SHAPE, "a round bowl of half-widths %s and %s mm is at most %s mm deep",
                tw_form_mm(spec->across, a), tw_form_mm(spec->up, b), tw_form_mm(deepest, c));
        tw_error_advise(err, tw_form_mm(spec->depth, a),
                        "depth up to %s mm, or profile: full (half an ellipsoid) for a deeper one",
                        c);
    } else {
        return TW_OK;
    }
    tw_profile_place(profile, spec->place, err);
    return TW_ERR_SHAPE;
}

static tw_status choose_bends(const tw_profile *profile, tw_bowl *bowl, tw_notes *notes,
                              tw_error *err)
{
    const tw_bowl_spec *spec = &profile->bowl;
    tw_status status = TW_OK;

    switch (spec->profile) {
    case TW_BOWL_ROUND:
        bowl->bend_across = fmin(spec->depth * spec->depth / (spec->across * spec->up), 1);
        if (spec->across == spec->up)
            bowl->ball =
                (spec->across * spec->across + spec->depth * spec->depth) / (2 * spec->depth);
        break;
    case TW_BOWL_FULL:
        bowl->bend_across = 1;
        if (spec->across == spec->up && spec->up == spec->depth)
            bowl->ball = spec->depth;
        break;
    case TW_BOWL_CONE:
        bowl->cone = true;
        break;
    case TW_BOWL_PARABOLA:
        break;
    case TW_BOWL_OVER:
        status = bend_over(profile, "across", spec->across, spec->over_across, &bowl->bend_across,
                           notes, err);
        if (status == TW_OK)
            status = bend_over(profile, "up", spec->up, spec->over_up, &bowl->bend_up, notes, err);
        return status;
    }
    bowl->bend_up = bowl->bend_across;
    return status;
}

tw_status tw_bowl_build(const tw_profile *profile, tw_arena *arena, tw_bowl **out, tw_notes *notes,
                        tw_error *err)
{
    const tw_bowl_spec *spec = &profile->bowl;
    tw_bowl *bowl = tw_arena_array(arena, 1, sizeof *bowl);
    tw_status status;

    if (!bowl)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a bowl");
    status = check_sizes(profile, err);
    if (status != TW_OK)
        return status;
    bowl->across = spec->across;
    bowl->up = spec->up;
    bowl->depth = spec->depth;
    status = choose_bends(profile, bowl, notes, err);
    if (status != TW_OK)
        return status;
    bowl->even = bowl->across == bowl->up && bowl->bend_across == bowl->bend_up;
    status = tw_meridian_table(bowl, arena, err);
    if (status == TW_OK)
        *out = bowl;
    return status;
}
