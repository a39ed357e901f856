/*
 * bounds.c: how thick forming can leave a plate, between all sunk and all raised. For a dome of sphere
 * radius R and rim angle φ over a base circle of radius a, depth h, q = h/a = tan(φ/2): area
 * 2πR²(1 − cos φ) = π(a² + h²). Held boundary: the disc πa² covers it, mean 1/(1 + q²). Held meridians:
 * a disc of radius Rφ is gathered to it. Held hoops: R sin φ stays, t/t₀ = cos φ.
 */
#include "taperwright/blank.h"

#include <assert.h>
#include <math.h>

tw_dome tw_dome_bounds(double half, double depth)
{
    const double q = depth / half, grown = 1 + q * q;
    tw_dome dome;

    assert(half > 0 && depth > 0);
    dome.radius = (half * half + depth * depth) / (2 * depth);
    dome.rim_angle = 2 * atan(q);
    dome.sunk_mean = 1 / grown;
    dome.sunk_crown = 1 / (grown * grown);
    dome.even_blank = 2 * hypot(half, depth);
    dome.even_hoop = 1 / sqrt(grown);
    dome.raised_blank = 2 * dome.radius * dome.rim_angle;
    dome.raised_rim = dome.rim_angle / sin(dome.rim_angle);
    dome.raised_mean = dome.raised_blank * dome.raised_blank / (dome.even_blank * dome.even_blank);
    dome.upright_rim = cos(dome.rim_angle);
    return dome;
}

/* Area of a boundary loop as points give it, by the shoelace formula. */
static double loop_area(const tw_mesh *mesh, size_t loop, bool by_tape)
{
    const size_t first = mesh->loop_first[loop], last = mesh->loop_first[loop + 1];
    double twice = 0;

    for (size_t s = first; s < last; s++) {
        const uint32_t a = mesh->loop_node[s], b = mesh->loop_node[s + 1 < last ? s + 1 : first];
        const double *p = by_tape ? mesh->tape[a] : mesh->position[a];
        const double *q = by_tape ? mesh->tape[b] : mesh->position[b];
        twice += p[0] * q[1] - p[1] * q[0];
    }
    return 0.5 * twice;
}

tw_forming_bounds tw_forming_bounds_of(const tw_mesh *mesh)
{
    double face = 0, chart = 0;

    for (size_t n = 0; n < mesh->node_count; n++)
        face += mesh->area[n];
    for (size_t k = 0; k < mesh->loop_count; k++)
        chart += loop_area(mesh, k, true);
    return (tw_forming_bounds){loop_area(mesh, 0, false) / face, 1, chart / face};
}
