/*
 * energy.c: what straining one triangle costs, with first and second derivatives. Runs some ten times
 * per triangle of each mesh.
 *
 * J maps the plate's triangle, laid flat by its own sides, to the plane; its singular values s₁, s₂ are
 * blank length / plate length along the principal directions, a = ln s₁, b = ln s₂ the strains with
 * their sign turned. Work per volume (4/3)(a² + ab + b²) is the square of von Mises' equivalent strain
 * √(2/3·(a² + b² + c²)), c = −a − b as volume is kept (R. Hill, The Mathematical Theory of Plasticity, 1950,
 * from memory); half the hardening modulus times it is an energy. Second
 * derivatives of a function of singular values have known eigenvectors, so that the negative ones can be
 * left out: B. Smith, F. de Goes & T. Kim, "Analytic eigensystems for isotropic distortion energies",
 * ACM Transactions on Graphics 38 (2019), here in two dimensions.
 */
#include "blank_internal.h"

#include <math.h>
#include <string.h>

/* J = rotation(left) · diag(s) · rotation(right); s[0] >= |s[1]|, s[1] < 0 when J turns over. */
typedef struct parts {
    double s[2], left, right;
} parts;

static double sum_part(const double J[4], double *difference)
{
    *difference = hypot(0.5 * (J[0] - J[3]), 0.5 * (J[2] + J[1]));
    return hypot(0.5 * (J[0] + J[3]), 0.5 * (J[2] - J[1]));
}

static parts take_apart(const double J[4])
{
    double difference;
    const double sum = sum_part(J, &difference);
    const double plus = atan2(0.5 * (J[2] - J[1]), 0.5 * (J[0] + J[3]));
    const double minus = atan2(0.5 * (J[2] + J[1]), 0.5 * (J[0] - J[3]));

    return (parts){
        {sum + difference, sum - difference}, 0.5 * (plus + minus), 0.5 * (plus - minus)};
}

static const double THIRDS = 4.0 / 3.0;

double tw_triangle_work(tw_work_kind kind, double weight, double pressure, const double J[4])
{
    double difference;
    const double sum = sum_part(J, &difference);
    const double s1 = sum + difference, s2 = sum - difference;
    double a, b, work;

    if (!(s2 > 0))
        return INFINITY;
    a = log(s1);
    b = log(s2);
    work = weight * THIRDS * (a * a + a * b + b * b);
    if (kind == TW_WORK_FREE)
        work *= s1 * s2;
    return work + pressure * s1 * s2;
}

/* First and second derivatives by s₁, s₂. */
static void derive(tw_work_kind kind, double weight, double pressure, const double s[2],
                   double first[2], double second[3])
{
    const double a = log(s[0]), b = log(s[1]), w = weight * THIRDS;

    if (kind == TW_WORK_FREE) {
        const double q = a * a + a * b + b * b;
        first[0] = w * s[1] * (q + 2 * a + b);
        first[1] = w * s[0] * (q + a + 2 * b);
        second[0] = w * s[1] / s[0] * (2 * a + b + 2);
        second[1] = w * s[0] / s[1] * (a + 2 * b + 2);
        second[2] = w * (q + 3 * a + 3 * b + 1);
    } else {
        first[0] = w * (2 * a + b) / s[0];
        first[1] = w * (a + 2 * b) / s[1];
        second[0] = w * (2 - (2 * a + b)) / (s[0] * s[0]);
        second[1] = w * (2 - (a + 2 * b)) / (s[1] * s[1]);
        second[2] = w / (s[0] * s[1]);
    }
    first[0] += pressure * s[1];
    first[1] += pressure * s[0];
    second[2] += pressure;
}

/* Adds value · (mode of all corners)(mode of all corners)ᵀ. */
static void add_mode(double value, const double mode[4], const double hat[3][2], double bend[36])
{
    double m[6];

    if (!(value > 0))
        return;
    for (int k = 0; k < 3; k++) {
        m[2 * k] = mode[0] * hat[k][0] + mode[1] * hat[k][1];
        m[2 * k + 1] = mode[2] * hat[k][0] + mode[3] * hat[k][1];
    }
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 6; j++)
            bend[6 * i + j] += value * m[i] * m[j];
}

void tw_triangle_bend(tw_work_kind kind, double weight, double pressure, const double J[4],
                      const double hat[3][2], double slope[6], double bend[36])
{
    const parts p = take_apart(J);
    const double cl = cos(p.left), sl = sin(p.left), cr = cos(p.right), sr = sin(p.right);
    /* outer products of the singular vectors: e₁e₁ᵀ, e₂e₂ᵀ, e₁e₂ᵀ, e₂e₁ᵀ between the rotations */
    const double one[4] = {cl * cr, -cl * sr, sl * cr, -sl * sr};
    const double two[4] = {-sl * sr, -sl * cr, cl * sr, cl * cr};
    const double mix[4] = {cl * sr, cl * cr, sl * sr, sl * cr};
    const double xim[4] = {-sl * cr, sl * sr, cl * cr, -cl * sr};
    double first[2], second[3], mode[4], centre, radius, angle, flip;

    derive(kind, weight, pressure, p.s, first, second);
    for (int k = 0; k < 3; k++)
        for (int c = 0; c < 2; c++)
            slope[2 * k + c] = (first[0] * one[2 * c] + first[1] * two[2 * c]) * hat[k][0] +
                               (first[0] * one[2 * c + 1] + first[1] * two[2 * c + 1]) * hat[k][1];
    memset(bend, 0, 36 * sizeof *bend);
    centre = 0.5 * (second[0] + second[1]);
    radius = hypot(0.5 * (second[0] - second[1]), second[2]);
    angle = 0.5 * atan2(second[2], 0.5 * (second[0] - second[1]));
    for (int n = 0; n < 2; n++) {
        const double c = n ? -sin(angle) : cos(angle), s = n ? cos(angle) : sin(angle);
        for (int k = 0; k < 4; k++)
            mode[k] = c * one[k] + s * two[k];
        add_mode(n ? centre - radius : centre + radius, mode, hat, bend);
    }
    for (int k = 0; k < 4; k++)
        mode[k] = sqrt(0.5) * (xim[k] - mix[k]);
    add_mode((first[0] + first[1]) / (p.s[0] + p.s[1]), mode, hat, bend);
    for (int k = 0; k < 4; k++)
        mode[k] = sqrt(0.5) * (xim[k] + mix[k]);
    flip = p.s[0] - p.s[1] > 1e-6 * p.s[0] ? (first[0] - first[1]) / (p.s[0] - p.s[1])
                                           : centre - second[2];
    add_mode(flip, mode, hat, bend);
}

void tw_triangle_strains(const double J[4], double strain[2], double *direction)
{
    const parts p = take_apart(J);

    /* the plate is longest against the blank where the blank is shortest: along the second */
    strain[0] = -log(p.s[1]);
    strain[1] = -log(p.s[0]);
    *direction = p.left + 0.5 * TW_PI;
}
