/*
 * colour_science.c: sRGB to CIELAB by IEC 61966-2-1 and CIE 15:2004 (D65); CIEDE2000 as implemented in
 * Sharma, Wu & Dalal, "The CIEDE2000 color-difference formula: implementation notes, supplementary
 * test data, and mathematical observations", Color Res. Appl. 30(1), 2005; loss of colour vision by the
 * matrices of Machado, Oliveira & Fernandes, "A physiologically-based model for simulation of color
 * vision deficiency", IEEE Trans. Vis. Comput. Graph. 15(6), 2009 (figures as several public programs have
 * them).
 */
#include "colour_science.h"

#include <math.h>

#define DEGREE (3.14159265358979323846 / 180)

const char *const test_sight_names[TEST_SIGHTS] = {"full sight", "grey print", "protanopia",
                                                   "deuteranopia", "tritanopia"};
const double test_sight_loss[3][3][3] = {
    {{0.152286, 1.052583, -0.204868},
     {0.114503, 0.786281, 0.099216},
     {-0.003882, -0.048116, 1.051998}},
    {{0.367322, 0.860646, -0.227968},
     {0.280085, 0.672501, 0.047413},
     {-0.011820, 0.042940, 0.968881}},
    {{1.255528, -0.076749, -0.178779},
     {-0.078411, 0.930809, 0.147602},
     {0.004733, 0.691367, 0.303900}},
};
static const double to_xyz[3][3] = {{0.4124564, 0.3575761, 0.1804375},
                                    {0.2126729, 0.7151522, 0.0721750},
                                    {0.0193339, 0.1191920, 0.9503041}};

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static double lab_f(double t)
{
    return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

void test_lab_seen(const unsigned char rgb[3], int sight, double lab[3])
{
    double linear[3], seen[3], fx, fy, fz;

    for (int k = 0; k < 3; k++) {
        const double coded = rgb[k] / 255.0;
        linear[k] = coded <= 0.04045 ? coded / 12.92 : pow((coded + 0.055) / 1.055, 2.4);
    }
    for (int k = 0; k < 3; k++)
        seen[k] = sight == TEST_SIGHT_FULL   ? linear[k]
                  : sight == TEST_SIGHT_GREY ? dot(to_xyz[1], linear)
                                             : dot(test_sight_loss[sight - 2][k], linear);
    for (int k = 0; k < 3; k++)
        seen[k] = fmin(fmax(seen[k], 0), 1);
    fx = lab_f(dot(to_xyz[0], seen) / 0.95047);
    fy = lab_f(dot(to_xyz[1], seen));
    fz = lab_f(dot(to_xyz[2], seen) / 1.08883);
    lab[0] = 116 * fy - 16;
    lab[1] = 500 * (fx - fy);
    lab[2] = 200 * (fy - fz);
}

/* Chroma and hue [degrees] with a* stretched, equations 2 to 7 of the paper. */
static void stretched(const double lab[3], double g, double *chroma, double *hue)
{
    const double a = (1 + g) * lab[1];

    *chroma = hypot(a, lab[2]);
    *hue = *chroma > 0 ? atan2(lab[2], a) / DEGREE : 0;
    if (*hue < 0)
        *hue += 360;
}

double test_ciede2000(const double one[3], const double other[3])
{
    const double c_mean = 0.5 * (hypot(one[1], one[2]) + hypot(other[1], other[2]));
    const double seven = pow(c_mean, 7);
    const double g = 0.5 * (1 - sqrt(seven / (seven + pow(25, 7))));
    double c1, c2, h1, h2, h_step, h, dl, dc, dh, l, c, t, sl, sc, sh, rt;

    stretched(one, g, &c1, &h1);
    stretched(other, g, &c2, &h2);
    h_step = h2 - h1;
    h = h1 + h2;
    if (c1 * c2 == 0) {
        h_step = 0;
    } else {
        if (fabs(h2 - h1) > 180) {
            h_step += h2 > h1 ? -360 : 360;
            h += h < 360 ? 360 : -360;
        }
        h *= 0.5;
    }
    dl = other[0] - one[0];
    dc = c2 - c1;
    dh = 2 * sqrt(c1 * c2) * sin(0.5 * h_step * DEGREE);
    l = 0.5 * (one[0] + other[0]);
    c = 0.5 * (c1 + c2);
    t = 1 - 0.17 * cos((h - 30) * DEGREE) + 0.24 * cos(2 * h * DEGREE) +
        0.32 * cos((3 * h + 6) * DEGREE) - 0.20 * cos((4 * h - 63) * DEGREE);
    sl = 1 + 0.015 * (l - 50) * (l - 50) / sqrt(20 + (l - 50) * (l - 50));
    sc = 1 + 0.045 * c;
    sh = 1 + 0.015 * c * t;
    rt = -sin(60 * exp(-(h - 275) * (h - 275) / 625) * DEGREE) * 2 *
         sqrt(pow(c, 7) / (pow(c, 7) + pow(25, 7)));
    dl /= sl;
    dc /= sc;
    dh /= sh;
    return sqrt(dl * dl + dc * dc + dh * dh + rt * dc * dh);
}
