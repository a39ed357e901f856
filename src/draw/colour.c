/*
 * colour.c: colour scales made for plate. Thickness runs through the colours that steel takes
 * when it is tempered, straw to brown to purple to blue, pale for thin and deep for thick, with CIE
 * lightness L* falling evenly, so that a grey print keeps the order. Difference runs from teal
 * (forged thinner) over a neutral light grey to copper (forged thicker), L* falling evenly both ways.
 * Standard deviation has a scale of one hue, near grey, so that nobody takes it for thickness.
 * Positions are given in CIE L*C*h, turned into sRGB by IEC 61966-2-1 with the D65 white.
 */
#include "taperwright/draw.h"

#include <math.h>

static double clamp01(double value)
{
    return value < 0 ? 0 : value > 1 ? 1 : value;
}

static double lab_inverse(double f)
{
    const double edge = 6.0 / 29.0;

    return f > edge ? f * f * f : 3 * edge * edge * (f - 4.0 / 29.0);
}

/* L* 0…100, chroma, hue in degrees; chroma is reduced until the colour lies inside sRGB. */
static void from_lch(double lightness, double chroma, double hue, unsigned char rgb[3])
{
    static const double matrix[3][3] = {{3.2404542, -1.5371385, -0.4985314},
                                        {-0.9692660, 1.8760108, 0.0415560},
                                        {0.0556434, -0.2040259, 1.0572252}};
    static const double white[3] = {0.95047, 1.0, 1.08883}; /* D65 */
    double linear[3];

    for (int turn = 0; turn < 200; turn++) {
        const double a = chroma * cos(hue * TW_PI / 180), b = chroma * sin(hue * TW_PI / 180);
        const double fy = (lightness + 16) / 116;
        const double xyz[3] = {white[0] * lab_inverse(fy + a / 500), white[1] * lab_inverse(fy),
                               white[2] * lab_inverse(fy - b / 200)};
        bool inside = true;
        for (int k = 0; k < 3; k++) {
            linear[k] = tw_dot(matrix[k], xyz);
            inside = inside && linear[k] > -1e-4 && linear[k] < 1 + 1e-4;
        }
        if (inside)
            break;
        chroma *= 0.995;
    }
    for (int k = 0; k < 3; k++) {
        const double v = clamp01(linear[k]);
        const double coded = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1 / 2.4) - 0.055;
        rgb[k] = (unsigned char)(255 * coded + 0.5);
    }
}

typedef struct stop {
    double position, chroma, hue;
} stop;

static void along(const stop *stops, int count, double position, double *chroma, double *hue)
{
    int k = 0;
    double f;

    while (k + 2 < count && position > stops[k + 1].position)
        k++;
    f = (position - stops[k].position) / (stops[k + 1].position - stops[k].position);
    *chroma = stops[k].chroma + f * (stops[k + 1].chroma - stops[k].chroma);
    *hue = stops[k].hue + f * (stops[k + 1].hue - stops[k].hue);
}

void tw_colour_thickness(double position, unsigned char rgb[3])
{
    static const stop stops[] = {{0.0, 22, 98}, {0.22, 46, 84},  {0.45, 50, 52},
                                 {0.65, 46, 8}, {0.82, 46, -42}, {1.0, 44, -72}};
    double chroma, hue;

    position = position == position ? clamp01(position) : 0;
    along(stops, 6, position, &chroma, &hue);
    from_lch(95 - 70 * position, chroma, hue, rgb);
}

void tw_colour_difference(double position, unsigned char rgb[3])
{
    static const stop thinner[] = {{0, 0, 200}, {0.3, 22, 200}, {1, 36, 215}};
    static const stop thicker[] = {{0, 0, 58}, {0.3, 34, 58}, {1, 66, 46}};
    const double size = position == position ? clamp01(fabs(position)) : 0;
    double chroma, hue;

    along(position < 0 ? thinner : thicker, 3, size, &chroma, &hue);
    from_lch(94 - 56 * size, chroma, hue, rgb);
}

void tw_colour_spread(double position, unsigned char rgb[3])
{
    static const stop stops[] = {{0, 3, 150}, {0.5, 16, 160}, {1, 22, 175}};
    double chroma, hue;

    position = position == position ? clamp01(position) : 0;
    along(stops, 3, position, &chroma, &hue);
    from_lch(96 - 62 * position, chroma, hue, rgb);
}
