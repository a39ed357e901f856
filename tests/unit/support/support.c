#include "support.h"

#include <stdlib.h>

test_random test_random_begin(const char *test)
{
    const char *given = getenv("TW_TEST_SEED");
    test_random random = {given ? strtoull(given, NULL, 10) : 20250611u};

    print_message("%s: seed %llu\n", test, (unsigned long long)random.state);
    return random;
}

double test_uniform(test_random *random, double low, double high)
{
    uint64_t bits = (random->state += 0x9E3779B97F4A7C15u);

    bits = (bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9u;
    bits = (bits ^ (bits >> 27)) * 0x94D049BB133111EBu;
    bits ^= bits >> 31;
    return low + (high - low) * (double)(bits >> 11) * 0x1p-53;
}

void assert_close_at(double got, double wanted, double tolerance, const char *what,
                     const char *file, int line)
{
    if (!(fabs(got - wanted) <= tolerance)) {
        print_error("%s is %.12g, wanted %.12g within %.3g\n", what, got, wanted, tolerance);
        _fail(file, line);
    }
}

void test_face_flat(double across, double up, const void *shape, tw_face_point *out)
{
    (void)shape;
    *out = (tw_face_point){.position = {across, up, 0},
                           .across_step = {1, 0, 0},
                           .up_step = {0, 1, 0},
                           .normal = {0, 0, 1}};
}

/* Ball of radius R, rim plane at z = 0 for a hemisphere: polar angle = tape / R. */
void test_face_ball(double across, double up, const void *shape, tw_face_point *out)
{
    const double R = *(const double *)shape;
    const double tape = hypot(across, up), angle = tape / R;
    const double c = tape > 0 ? across / tape : 1, s = tape > 0 ? up / tape : 0;
    const double along[3] = {cos(angle) * c, cos(angle) * s, -sin(angle)};
    const double round = tape > 0 ? sin(angle) / angle : 1; /* step sideways per mm of tape */
    const double side[3] = {-s * round, c * round, 0};

    for (int k = 0; k < 3; k++) {
        out->across_step[k] = along[k] * c - side[k] * s;
        out->up_step[k] = along[k] * s + side[k] * c;
    }
    out->normal[0] = sin(angle) * c;
    out->normal[1] = sin(angle) * s;
    out->normal[2] = cos(angle);
    for (int k = 0; k < 3; k++)
        out->position[k] = R * out->normal[k];
    out->mean_curvature = 1 / R;
    out->gauss_curvature = 1 / (R * R);
}

typedef struct polygon {
    int count;
    double at[8][2];
} polygon;

/* The cell's square cut by the circle: chord approximation per crossed side, as a level set does. */
static double clip_to_disc(double x, double y, double dx, double dy, double disc, double centre[2])
{
    const double corner[4][2] = {{x, y}, {x + dx, y}, {x + dx, y + dy}, {x, y + dy}};
    polygon p = {0};
    double area = 0, cx = 0, cy = 0;

    for (int k = 0; k < 4; k++) {
        const double *a = corner[k], *b = corner[(k + 1) % 4];
        const double la = hypot(a[0], a[1]) - disc, lb = hypot(b[0], b[1]) - disc;
        if (la <= 0) {
            p.at[p.count][0] = a[0];
            p.at[p.count++][1] = a[1];
        }
        if ((la <= 0) != (lb <= 0)) {
            const double f = la / (la - lb);
            p.at[p.count][0] = a[0] + f * (b[0] - a[0]);
            p.at[p.count++][1] = a[1] + f * (b[1] - a[1]);
        }
    }
    for (int k = 0; k < p.count; k++) {
        const double *a = p.at[k], *b = p.at[(k + 1) % p.count];
        const double w = 0.5 * ((a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y));
        area += w;
        cx += w * ((a[0] - x) + (b[0] - x)) / 3;
        cy += w * ((a[1] - y) + (b[1] - y)) / 3;
    }
    centre[0] = area > 0 ? x + cx / area : x + dx / 2;
    centre[1] = area > 0 ? y + cy / area : y + dy / 2;
    return area / (dx * dy);
}

tw_grid *test_grid_fill(test_face face, const void *shape, double across_min, double across_max,
                        double up_min, double up_max, size_t cells, double disc)
{
    const double da = (across_max - across_min) / (double)cells;
    const double du = (up_max - up_min) / (double)cells;
    tw_sum whole = {0, 0};
    tw_grid *grid = NULL;
    tw_face_point at;

    assert_int_equal(
        tw_grid_blank(cells + 1, cells + 1, disc > 0 ? cells * cells : 0, 0, &grid, NULL), TW_OK);
    grid->across_min = across_min;
    grid->up_min = up_min;
    grid->across_step = da;
    grid->up_step = du;
    for (size_t j = 0; j <= cells; j++)
        for (size_t i = 0; i <= cells; i++) {
            const size_t n = j * grid->nu + i;
            const double a = tw_grid_across(grid, i), u = tw_grid_up(grid, j);
            face(a, u, shape, &at);
            grid->x[n] = at.position[0];
            grid->y[n] = at.position[1];
            grid->z[n] = at.position[2];
            grid->metric_aa[n] = tw_dot(at.across_step, at.across_step);
            grid->metric_au[n] = tw_dot(at.across_step, at.up_step);
            grid->metric_uu[n] = tw_dot(at.up_step, at.up_step);
            grid->level[n] =
                disc > 0 ? hypot(a, u) - disc
                         : fmax(fmax(across_min - a, a - across_max), fmax(up_min - u, u - up_max));
        }
    for (size_t j = 0; j < cells; j++)
        for (size_t i = 0; i < cells; i++) {
            const size_t n = j * cells + i;
            const double a = tw_grid_across(grid, i), u = tw_grid_up(grid, j);
            double centre[2] = {a + da / 2, u + du / 2}, cover = 1, cross[3];
            if (disc > 0)
                cover = clip_to_disc(a, u, da, du, disc, centre);
            if (cover > 0 && cover < 1)
                grid->cuts[grid->cut_count++] =
                    (tw_cut_cell){n, (centre[0] - a) / da, (centre[1] - u) / du};
            face(centre[0], centre[1], shape, &at);
            tw_cross(at.across_step, at.up_step, cross);
            grid->cell_x[n] = at.position[0];
            grid->cell_y[n] = at.position[1];
            grid->cell_z[n] = at.position[2];
            grid->normal_x[n] = at.normal[0];
            grid->normal_y[n] = at.normal[1];
            grid->normal_z[n] = at.normal[2];
            grid->mean_curvature[n] = at.mean_curvature;
            grid->gauss_curvature[n] = at.gauss_curvature;
            grid->cover[n] = cover;
            grid->area[n] = cover * da * du * sqrt(tw_dot(cross, cross));
            tw_sum_add(&whole, grid->area[n]);
        }
    grid->face_area = tw_sum_value(&whole);
    return grid;
}
