/*
 * conic.c: half a section as a conic arc, level at its crown.
 *
 * A rational quadratic with ends (−a, 0), (a, 0), apex (0, h/ρ) and middle weight ρ/(1 − ρ) passes
 * its crown (0, h) level; ρ is the lofter's shoulder ratio (R. A. Liming, Practical Analytic
 * Geometry with Applications to Aircraft, 1944; weights as in any text on NURBS). Counting the
 * parameter t from the crown and writing c = 1 − 2ρ, the half from crown to side is (derived here)
 *
 *     x = a·(1 + c)·t / (1 + c·t²),   z = h·(1 − t²) / (1 + c·t²),   0 ≤ t ≤ 1,
 *
 * regular for all −1 < c ≤ 1. The circle through the three points has ρ = cosα/(1 + cosα), α the
 * half-angle with tan(α/2) = h/a; so c = tan²(α/2) = (h/a)². Arc length rises with c.
 */
#include "surface_internal.h"

#include <math.h>
#include <stdio.h>

void tw_conic_at(double bend, double t, tw_conic_jet *out)
{
    const double c = bend, t2 = t * t, q = 1 / (1 + c * t2), q2 = q * q, q3 = q2 * q;
    const double rest = 1 - t2;

    out->s = (1 + c) * t * q;
    out->s_t = (1 + c) * (1 - c * t2) * q2;
    out->s_tt = -2 * c * t * (1 + c) * (3 - c * t2) * q3;
    out->s_c = t * rest * q2;
    out->s_cc = -2 * t2 * t * rest * q3;
    out->s_tc = ((1 - 3 * t2) * (1 + c * t2) - 4 * c * t2 * rest) * q3;
    out->z = rest * q;
    out->z_t = -2 * t * (1 + c) * q2;
    out->z_tt = -2 * (1 + c) * (1 - 3 * c * t2) * q3;
    out->z_c = -t2 * rest * q2;
    out->z_cc = 2 * t2 * t2 * rest * q3;
    out->z_tc = -2 * t * ((1 - 2 * t2) * (1 + c * t2) - 2 * c * t2 * rest) * q3;
}

/* A Möbius map of 0…1 onto itself evens out the speed, which near a V differs a thousandfold. */
double tw_conic_knot(double bend, size_t k, size_t steps)
{
    const double even = (double)k / (double)steps, k0 = fmax(1, 1 / (1 + bend));

    return k == steps ? 1 : k0 * even / (1 + (k0 - 1) * even);
}

double tw_conic_round(double half, double rise)
{
    const double ratio = rise / half;

    return fmin(ratio * ratio, 1);
}

double tw_conic_length(double half, double rise, double bend)
{
    tw_sum sum = {0, 0};
    tw_conic_jet at;

    for (size_t k = 0; k < TW_CONIC_STEPS; k++) {
        const double from = tw_conic_knot(bend, k, TW_CONIC_STEPS);
        const double step = tw_conic_knot(bend, k + 1, TW_CONIC_STEPS) - from;
        for (int g = 0; g < 8; g++) {
            tw_conic_at(bend, from + step * tw_gauss8_node[g], &at);
            tw_sum_add(&sum, step * tw_gauss8_weight[g] * hypot(half * at.s_t, rise * at.z_t));
        }
    }
    return tw_sum_value(&sum);
}

/* ---- from a taped length ------------------------------------------------------------------- */

static double too_long(double bend, void *context)
{
    const tw_tape_fit *fit = context;

    return fit->length(bend, fit->context) - fit->tape;
}

tw_status tw_tape_bend(const tw_tape_fit *fit, const tw_profile *profile, double *bend,
                       tw_notes *notes, tw_error *err)
{
    static const double slack = 3; /* [mm], what a tape may be off before we disbelieve it */
    const double least = fit->length(TW_BEND_MIN, fit->context);
    const double most = fit->length(1, fit->context);
    tw_tape_fit copy = *fit;
    char a[24], b[24];

    if (fit->tape > least && fit->tape < most)
        return tw_find_root(too_long, &copy, TW_BEND_MIN, 1, 1e-14, bend, err);
    *bend = fit->tape <= least ? TW_BEND_MIN : 1;
    if (most - least < 1e-9 * most) /* a flat section: any bend gives the same line */
        *bend = 0;
    tw_form_mm(least, a);
    tw_form_mm(most, b);
    if (fit->tape < least - slack || fit->tape > most + slack) {
        tw_fail(err, TW_ERR_SHAPE, "%s is not possible: one conic arc takes %s to %s mm", fit->what,
                a, b);
        tw_error_advise(err, tw_form_mm(fit->tape, a), "%s to %s mm, or %s",
                        tw_form_mm(least, (char[24]){0}), b, fit->cure);
        tw_profile_place(profile, fit->place, err);
        return TW_ERR_SHAPE;
    }
    if (fit->tape < least - 1e-6 || fit->tape > most + 1e-6) {
        tw_error note;
        tw_fail(&note, TW_OK, "%s is taken as %s mm, the %s a conic arc reaches there", fit->what,
                fit->tape <= least ? a : b, fit->tape <= least ? "least" : "most");
        tw_profile_place(profile, fit->place, &note);
        tw_notes_add(notes, &note);
    }
    return TW_OK;
}

char *tw_form_mm(double mm, char out[24])
{
    const double hundredths = floor(fabs(mm) * 100 + 0.5);
    const char *sign = mm < 0 && hundredths > 0 ? "-" : "";

    if (!(hundredths < 1e15)) {
        snprintf(out, 24, "%s", isnan(mm) ? "unknown" : "far too many");
        return out;
    }
    if (fmod(hundredths, 100) == 0)
        snprintf(out, 24, "%s%.0f", sign, hundredths / 100);
    else if (fmod(hundredths, 10) == 0)
        snprintf(out, 24, "%s%.0f.%.0f", sign, floor(hundredths / 100), fmod(hundredths, 100) / 10);
    else
        snprintf(out, 24, "%s%.0f.%02.0f", sign, floor(hundredths / 100), fmod(hundredths, 100));
    return out;
}
