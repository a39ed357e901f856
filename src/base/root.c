#include "taperwright/base.h"

#include <float.h>
#include <math.h>

/* Keeps b the best guess, a its predecessor, c the other side of the bracket: f(b)·f(c) < 0. */
tw_status tw_find_root(tw_function function, void *context, double low, double high,
                       double tolerance, double *root, tw_error *err)
{
    double a = low, b = high, c, fa = function(a, context), fb = function(b, context), fc;
    double step, before;

    if (!isfinite(fa) || !isfinite(fb) || (fa > 0) == (fb > 0)) {
        if (fa == 0 || fb == 0) {
            *root = fa == 0 ? a : b;
            return TW_OK;
        }
        return tw_fail(err, TW_ERR_UNREACHABLE, "no crossing between %g and %g", low, high);
    }
    c = a;
    fc = fa;
    step = before = b - a;
    for (int turn = 0; turn < 200; turn++) {
        double p, q, tol, middle;

        if (fabs(fc) < fabs(fb)) {
            a = b, b = c, c = a;
            fa = fb, fb = fc, fc = fa;
        }
        tol = 2 * DBL_EPSILON * fabs(b) + 0.5 * tolerance;
        middle = 0.5 * (c - b);
        if (fabs(middle) <= tol || fb == 0)
            break;
        if (fabs(before) >= tol && fabs(fa) > fabs(fb)) {
            const double s = fb / fa;
            if (a == c) { /* secant */
                p = 2 * middle * s;
                q = 1 - s;
            } else { /* inverse quadratic */
                const double u = fa / fc, v = fb / fc;
                p = s * (2 * middle * u * (u - v) - (b - a) * (v - 1));
                q = (u - 1) * (v - 1) * (s - 1);
            }
            if (p > 0)
                q = -q;
            p = fabs(p);
            if (2 * p < fmin(3 * middle * q - fabs(tol * q), fabs(before * q))) {
                before = step;
                step = p / q;
            } else {
                step = before = middle;
            }
        } else {
            step = before = middle;
        }
        a = b;
        fa = fb;
        b += fabs(step) > tol ? step : copysign(tol, middle);
        fb = function(b, context);
        if (!isfinite(fb))
            return tw_fail(err, TW_ERR_UNREACHABLE, "no finite value at %g", b);
        if ((fb > 0) == (fc > 0)) {
            c = a;
            fc = fa;
            step = before = b - a;
        }
    }
    *root = b;
    return TW_OK;
}
