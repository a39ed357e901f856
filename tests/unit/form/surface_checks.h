/* surface_checks.h: what the tests of surfaces share: a face against its own central differences. */
#ifndef SURFACE_CHECKS_H
#define SURFACE_CHECKS_H

#include "support.h"

#include "form/form_internal.h"

typedef struct built {
    tw_arena *arena;
    tw_surface *surface;
} built;

static inline built build_surface(const tw_profile *profile)
{
    built it = {tw_arena_new(), NULL};
    tw_error err = {0};

    if (tw_surface_build(profile, it.arena, &it.surface, NULL, &err) != TW_OK)
        print_error("%s (%s)\n", err.message, err.advice);
    assert_non_null(it.surface);
    return it;
}

static inline double along(const double a[3], const double b[3], const double n[3], double step)
{
    const double d[3] = {a[0] - b[0], a[1] - b[1], a[2] - b[2]};

    return tw_dot(d, n) / step;
}

/* Steps against central differences of position; normal square to them and of length one; and the
 * shape operator from differences of the normal: dn = −shape·dr, H and K from its trace and
 * determinant in the steps' own basis. `held` outside the boundary, where only steps are checked. */
static inline void check_face(const tw_surface *surface, double across, double up, double h,
                              double tolerance, double curvature_tolerance, bool held)
{
    tw_face_point at, a[2], u[2];
    double w[2][2], E, F, G, det;

    tw_surface_at(surface, across, up, 1, &at);
    tw_surface_at(surface, across - h, up, 1, &a[0]);
    tw_surface_at(surface, across + h, up, 1, &a[1]);
    tw_surface_at(surface, across, up - h, 1, &u[0]);
    tw_surface_at(surface, across, up + h, 1, &u[1]);
    for (int k = 0; k < 3; k++) {
        assert_close(at.across_step[k], (a[1].position[k] - a[0].position[k]) / (2 * h), tolerance);
        assert_close(at.up_step[k], (u[1].position[k] - u[0].position[k]) / (2 * h), tolerance);
    }
    assert_close(tw_dot(at.normal, at.normal), 1, 1e-12);
    if (held)
        return;
    assert_close(tw_dot(at.normal, at.across_step), 0, tolerance);
    assert_close(tw_dot(at.normal, at.up_step), 0, tolerance);
    E = tw_dot(at.across_step, at.across_step);
    F = tw_dot(at.across_step, at.up_step);
    G = tw_dot(at.up_step, at.up_step);
    det = E * G - F * F;
    /* second form from −dn·dr, outward normal: positive for a ball with + sign here */
    w[0][0] = along(a[1].normal, a[0].normal, at.across_step, 2 * h);
    w[0][1] = along(a[1].normal, a[0].normal, at.up_step, 2 * h);
    w[1][0] = along(u[1].normal, u[0].normal, at.across_step, 2 * h);
    w[1][1] = along(u[1].normal, u[0].normal, at.up_step, 2 * h);
    assert_close(at.mean_curvature,
                 0.5 * (w[0][0] * G - (w[0][1] + w[1][0]) * F + w[1][1] * E) / det,
                 curvature_tolerance);
    assert_close(at.gauss_curvature, (w[0][0] * w[1][1] - w[0][1] * w[1][0]) / det,
                 curvature_tolerance * 0.05);
}

#endif
