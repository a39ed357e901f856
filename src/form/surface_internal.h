/*
 * surface_internal.h: shared by the files that make the surfaces: surface.c, bowl*.c, loft*.c, scan.c,
 * conic.c, spline.c. The rest of the room sees surfaces through form_internal.h only.
 */
#ifndef SURFACE_INTERNAL_H
#define SURFACE_INTERNAL_H

#include "form_internal.h"

/* ---- splines ----------------------------------------------------------------------------- */

/** Gauss-Legendre rules on [0, 1]: 8 points are exact to degree 15, 5 to degree 9. */
extern const double tw_gauss8_node[8], tw_gauss8_weight[8];
extern const double tw_gauss5_node[5], tw_gauss5_weight[5];

/** Slopes of the monotone cubic through count >= 2 points, x strictly ascending. */
void tw_monotone_slopes(size_t count, const double *x, const double *y, double *slope);
/** Value and first two derivatives of a cubic by its ends, over a step of `width`, at t in 0…1. */
void tw_hermite(double width, double t, double y0, double slope0, double y1, double slope1,
                double out[3]);
/**
 * Bends of the C2 cubic spline (not-a-knot at both ends) through count >= 4 points at equal steps:
 * bend[i * stride] = step²/6 × second derivative. Between points i and i + 1 with t in 0…1, u = 1 − t
 * the spline is u·y₀ + t·y₁ + (u³ − u)·bend₀ + (t³ − t)·bend₁. `work` holds count values.
 */
void tw_spline_bends(size_t count, const double *y, double *bend, size_t stride, double *work);

/**
 * Slopes of the C2 cubic spline (not-a-knot at both ends) through count >= 2 points, x strictly
 * ascending at any steps; a parabola through 3, a line through 2. Values and slopes stand `stride`
 * apart; `work` holds count values.
 */
void tw_spline_slopes(size_t count, const double *x, const double *y, double *slope, size_t stride,
                      double *work);

/* ---- conic arcs -------------------------------------------------------------------------- */

enum { TW_CONIC_STEPS = 64 };
/** Least bend: sharper is for practical ends a V, with a crown radius below 2 % of its width. */
#define TW_BEND_MIN (-0.96)

/**
 * Half a section, from its level crown at (0, 1) to its side at (1, 0): a rational quadratic arc.
 * bend = 1 − 2·(shoulder ratio): 1 half ellipse, 0 parabola, toward −1 a V; a circle of half-width a
 * and rise h has bend (h/a)². The parameter runs 0…1; formulas at the top of conic.c.
 */
typedef struct tw_conic_jet {
    double s, s_t, s_tt, s_c, s_cc, s_tc; /**< out from the crown; t parameter, c bend */
    double z, z_t, z_tt, z_c, z_cc, z_tc; /**< up from the side */
} tw_conic_jet;
void tw_conic_at(double bend, double t, tw_conic_jet *out);
/** Parameter of knot k of `steps`, spaced so that a sharp crown gets its share of knots. */
double tw_conic_knot(double bend, size_t k, size_t steps);
/** Bend of the circular arc, or 1 (half ellipse) where the rise exceeds the half-width. */
double tw_conic_round(double half, double rise);
/** Arc length of the half section. */
double tw_conic_length(double half, double rise, double bend);

/** A taped length over a section whose bend is wanted. length() falls as bend falls. */
typedef struct tw_tape_fit {
    double (*length)(double bend, const void *context); /**< side to side */
    const void *context;
    double tape;      /**< wanted, side to side */
    const char *what; /**< "tape 470 mm over the section at 180 mm", begins the message */
    const char *cure; /**< what helps beside another tape: "give the section by heights" */
    tw_place place;
} tw_tape_fit;
/** Find the bend; within 3 mm of the reach it is clamped with a note, farther is TW_ERR_SHAPE. */
tw_status tw_tape_bend(const tw_tape_fit *fit, const tw_profile *profile, double *bend,
                       tw_notes *notes, tw_error *err);

/** Writes millimetres with at most two decimals, the same in every locale; returns out. */
char *tw_form_mm(double mm, char out[24]);

/* ---- surfaces ---------------------------------------------------------------------------- */

typedef struct tw_bowl tw_bowl;
tw_status tw_bowl_build(const tw_profile *profile, tw_arena *arena, tw_bowl **out, tw_notes *notes,
                        tw_error *err);
void tw_bowl_at(const tw_bowl *bowl, double across, double up, tw_face_point *out);
tw_status tw_bowl_boundary(const tw_bowl *bowl, tw_arena *arena, tw_edge_line **edges,
                           size_t *count, tw_error *err);
double tw_bowl_excess(const tw_bowl *bowl, double across, double up);
bool tw_bowl_has_apex(const tw_bowl *bowl);

typedef struct tw_loft tw_loft;
tw_status tw_loft_build(const tw_profile *profile, tw_arena *arena, tw_loft **out, tw_notes *notes,
                        tw_error *err);
/** A points form is a loft of many stations whose sections are measured curves. */
tw_status tw_scan_build(const tw_profile *profile, tw_arena *arena, tw_loft **out, tw_notes *notes,
                        tw_error *err);
void tw_loft_at(const tw_loft *loft, double across, double up, int side, tw_face_point *out);
size_t tw_loft_scratch(const tw_loft *loft);
void tw_loft_row(const tw_loft *loft, double up, size_t count, const double *across, void *scratch,
                 tw_face_point *out);
tw_status tw_loft_boundary(const tw_loft *loft, tw_arena *arena, tw_edge_line **edges,
                           size_t *count, tw_error *err);
double tw_loft_excess(const tw_loft *loft, double across, double up);
bool tw_loft_has_crease(const tw_loft *loft);
bool tw_loft_open_at(const tw_loft *loft, double up);
bool tw_loft_station_tape(const tw_loft *loft, size_t station, double *tape);

/** Curvatures of a face by its first and second derivatives along any two parameters p, q, and its
 * outward unit normal; a ball seen from outside has positive mean curvature. Source: Gauss's
 * fundamental forms, H = (eG − 2fF + gE)/(2(EG − F²)), K = (eg − f²)/(EG − F²). */
static inline void tw_curvatures(const double p[3], const double q[3], const double pp[3],
                                 const double pq[3], const double qq[3], tw_face_point *out)
{
    const double E = tw_dot(p, p), F = tw_dot(p, q), G = tw_dot(q, q);
    const double e = tw_dot(pp, out->normal), f = tw_dot(pq, out->normal);
    const double g = tw_dot(qq, out->normal), size = 1 / (E * G - F * F);

    out->mean_curvature = -0.5 * (e * G - 2 * f * F + g * E) * size;
    out->gauss_curvature = (e * g - f * f) * size;
}

#endif
