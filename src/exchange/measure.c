/*
 * measure.c: what a closed solid of flat triangles holds.
 *
 * Each triangle and one vertex of the solid, taken as origin, span a tetrahedron of signed volume
 * a·(b × c)/6 with its centroid at (a + b + c)/4; over a closed surface all that lies outside cancels
 * (divergence theorem). The origin is of the solid, so that the sums are of the solid's own size.
 */
#include "taperwright/exchange.h"

#include <math.h>

tw_solid_size tw_solid_measure(const tw_solid *solid)
{
    tw_solid_size out = {.volume_mm3 = 0};
    tw_sum volume = {0, 0}, area = {0, 0}, first[3] = {{0, 0}};
    double origin[3] = {0, 0, 0}, whole;

    for (size_t n = 0; n < solid->vertex_count; n++)
        for (int c = 0; c < 3; c++) {
            const double at = (double)solid->vertex[n][c];
            out.low[c] = n == 0 ? at : fmin(out.low[c], at);
            out.high[c] = n == 0 ? at : fmax(out.high[c], at);
            if (n == 0)
                origin[c] = at;
        }
    for (size_t t = 0; t < solid->triangle_count; t++) {
        double p[3][3], x[3], y[3], cross[3], six;
        for (int k = 0; k < 3; k++)
            for (int c = 0; c < 3; c++)
                p[k][c] = (double)solid->vertex[solid->triangle[t][k]][c] - origin[c];
        for (int c = 0; c < 3; c++) {
            x[c] = p[1][c] - p[0][c];
            y[c] = p[2][c] - p[0][c];
        }
        tw_cross(x, y, cross);
        six = tw_dot(p[0], cross); /* a·(b × c) = a·((b − a) × (c − a)) */
        tw_sum_add(&volume, six);
        tw_sum_add(&area, sqrt(tw_dot(cross, cross)));
        for (int c = 0; c < 3; c++)
            tw_sum_add(&first[c], six * (p[0][c] + p[1][c] + p[2][c]));
    }
    whole = tw_sum_value(&volume);
    out.volume_mm3 = whole / 6;
    out.area_mm2 = 0.5 * tw_sum_value(&area);
    for (int c = 0; c < 3; c++)
        out.centroid_mm[c] = origin[c] + tw_sum_value(&first[c]) / (4 * whole);
    return out;
}

tw_solid_weight tw_solid_beside(const tw_solid *solid, const tw_weight *weighed)
{
    tw_solid_weight out = {.size = tw_solid_measure(solid)};

    out.mass_g = out.size.volume_mm3 * (weighed->mass_g / weighed->volume_mm3);
    out.difference_g = out.mass_g - weighed->mass_g;
    return out;
}
