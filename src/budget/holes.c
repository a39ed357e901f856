/*
 * holes.c: how a map's mass answers to the size of its holes. An edge that moves by δ into the metal
 * all round takes away ρ·δ·∮(dV/dA) ds, to first order exactly (derived here), so no form is rebuilt
 * for it. dV/dA is that of the solid cell: with metal from s₀ to s₁ along the normal,
 * (s₁ − s₀) + H(s₁² − s₀²) + K(s₁³ − s₀³)/3 (Steiner). The distances of a taper go round small holes
 * with hardly a change, which is left out.
 */
#include "budget_internal.h"

#include <assert.h>
#include <math.h>

/* Volume per area of the face [mm]. */
static double depth_at(const tw_face_point *face, tw_face_side side, double thickness)
{
    double s[2];

    tw_face_span(side, thickness, s);
    return s[1] - s[0] + face->mean_curvature * (s[1] * s[1] - s[0] * s[0]) +
           face->gauss_curvature * (s[1] * s[1] * s[1] - s[0] * s[0] * s[0]) / 3;
}

static double hole_slope(const tw_plate *plate, const tw_map *map, const tw_edge_line *line)
{
    tw_sum sum = {0, 0};

    for (size_t k = 0; k + 1 < line->count; k++) {
        const double *p = line->points[k], *q = line->points[k + 1];
        const double across = 0.5 * (p[0] + q[0]), up = 0.5 * (p[1] + q[1]);
        double along[3];
        tw_face_point face;
        tw_form_at(plate->form, across, up, &face);
        for (int c = 0; c < 3; c++)
            along[c] = (q[0] - p[0]) * face.across_step[c] + (q[1] - p[1]) * face.up_step[c];
        tw_sum_add(&sum, depth_at(&face, plate->profile->face,
                                  tw_grid_sample(plate->grid, map->node, across, up)) *
                             sqrt(tw_dot(along, along)));
    }
    return -plate->profile->density * tw_sum_value(&sum);
}

double tw_holes_slope(const tw_plate *plate, const tw_map *map)
{
    const tw_profile *profile = plate->profile;
    const tw_outline *outline = tw_form_outline(plate->form);
    tw_sum square = {0, 0};

    assert(outline->hole_count == profile->hole_count);
    for (size_t k = 0; k < outline->hole_count; k++) {
        const tw_place place = profile->holes[k].place;
        double slope = 0;
        bool twin = false;
        /* a hole and the twin that mirroring gave it were measured once: they stand in one place */
        for (size_t h = 0; h < outline->hole_count; h++) {
            const tw_place other = profile->holes[h].place;
            const bool same = h == k || (profile->symmetric && place.line != 0 &&
                                         other.line == place.line && other.column == place.column);
            twin = twin || (same && h < k);
            if (same && !twin)
                slope += hole_slope(plate, map, &outline->holes[h]);
        }
        if (!twin)
            tw_sum_add(&square, slope * slope);
    }
    return -sqrt(tw_sum_value(&square));
}
