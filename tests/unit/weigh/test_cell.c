/*
 * test_cell.c: the rule of a solid cell against another way to the same solid: hexahedra between
 * the face's nodes and their offsets along the nodes' normals. Gauss points 2×2×2 integrate volume
 * and first moments of such a cell exactly, 3×3×3 its second moments.
 */
#include "taperwright/weigh.h"

#include "support.h"

/* Torus: bulging outside, saddle inside; so both signs of K. Across is the angle round the tube
 * from its outermost circle, up the angle round the axis. */
typedef struct torus {
    double ring, tube;
} torus;
static void face_torus(double across, double up, const void *shape, tw_face_point *out)
{
    const torus *T = shape;
    const double c = cos(across), s = sin(across), x = cos(up), y = sin(up);
    const double radius = T->ring + T->tube * c;
    const double k1 = 1 / T->tube, k2 = c / radius;

    *out = (tw_face_point){.position = {radius * x, radius * y, T->tube * s},
                           .across_step = {-T->tube * s * x, -T->tube * s * y, T->tube * c},
                           .up_step = {-radius * y, radius * x, 0},
                           .normal = {c * x, c * y, s},
                           .mean_curvature = (k1 + k2) / 2,
                           .gauss_curvature = k1 * k2};
}

static double thickness_at(double across, double up)
{
    return 2.0 + 0.6 * sin(2 * across + 0.3) + 0.4 * cos(3 * up);
}

/* Trilinear cell: position and Jacobian's determinant at local coordinates −1…1. */
static double hexahedron_at(double corner[8][3], double a, double b, double c, double at[3])
{
    double step[3][3] = {{0}}, cross[3];

    at[0] = at[1] = at[2] = 0;
    for (int n = 0; n < 8; n++) {
        const double sa = n & 1 ? 1 : -1, sb = n & 2 ? 1 : -1, sc = n & 4 ? 1 : -1;
        const double fa = (1 + sa * a) / 2, fb = (1 + sb * b) / 2, fc = (1 + sc * c) / 2;
        for (int k = 0; k < 3; k++) {
            at[k] += fa * fb * fc * corner[n][k];
            step[0][k] += sa / 2 * fb * fc * corner[n][k];
            step[1][k] += fa * sb / 2 * fc * corner[n][k];
            step[2][k] += fa * fb * sc / 2 * corner[n][k];
        }
    }
    tw_cross(step[0], step[1], cross);
    return fabs(tw_dot(cross, step[2]));
}

/* Adds volume, first and second moments (about the origin) of one cell. */
static void add_hexahedron(double corner[8][3], int points, double out[10])
{
    static const double place[4][3] = {{0},
                                       {0},
                                       {-0.577350269189625764, 0.577350269189625764},
                                       {-0.774596669241483377, 0, 0.774596669241483377}};
    static const double weight[4][3] = {{0}, {0}, {1, 1}, {5.0 / 9, 8.0 / 9, 5.0 / 9}};

    for (int i = 0; i < points; i++)
        for (int j = 0; j < points; j++)
            for (int k = 0; k < points; k++) {
                double at[3];
                const double w =
                    weight[points][i] * weight[points][j] * weight[points][k] *
                    hexahedron_at(corner, place[points][i], place[points][j], place[points][k], at);
                int n = 4;
                out[0] += w;
                for (int p = 0; p < 3; p++) {
                    out[1 + p] += w * at[p];
                    for (int q = p; q < 3; q++)
                        out[n++] += w * at[p] * at[q];
                }
            }
}

typedef struct patch {
    torus shape;
    double across[2], up[2];
} patch;

static void by_hexahedra(const patch *in, size_t cells, const double span[2], int points,
                         double out[10])
{
    memset(out, 0, 10 * sizeof *out);
    for (size_t j = 0; j < cells; j++)
        for (size_t i = 0; i < cells; i++) {
            double corner[8][3];
            for (int n = 0; n < 8; n++) {
                const double fa = ((double)i + (n & 1 ? 1 : 0)) / (double)cells;
                const double fu = ((double)j + (n & 2 ? 1 : 0)) / (double)cells;
                const double a = in->across[0] + fa * (in->across[1] - in->across[0]);
                const double u = in->up[0] + fu * (in->up[1] - in->up[0]);
                const double s = (n & 4 ? span[1] : span[0]) * thickness_at(a, u);
                tw_face_point at;
                face_torus(a, u, &in->shape, &at);
                for (int k = 0; k < 3; k++)
                    corner[n][k] = at.position[k] + s * at.normal[k];
            }
            add_hexahedron(corner, points, out);
        }
}

static tw_weight by_rule(const patch *in, size_t cells, tw_face_side face)
{
    tw_grid *grid = test_grid_fill(face_torus, &in->shape, in->across[0], in->across[1], in->up[0],
                                   in->up[1], cells, 0);
    double *thickness = test_malloc(cells * cells * sizeof *thickness);
    tw_error error = {.message = ""};
    tw_weight weight;

    for (size_t j = 0; j < cells; j++)
        for (size_t i = 0; i < cells; i++)
            thickness[j * cells + i] =
                thickness_at(grid->across_min + ((double)i + 0.5) * grid->across_step,
                             grid->up_min + ((double)j + 0.5) * grid->up_step);
    if (tw_weigh(grid, thickness, NULL, face, 1, 1, &weight, &error) != TW_OK)
        fail_msg("%s", error.message);
    test_free(thickness);
    tw_grid_free(grid);
    return weight;
}

/* Largest relative differences of volume, centroid and inertia. */
static void differences(const patch *in, size_t cells, tw_face_side face, double out[3])
{
    const tw_weight w = by_rule(in, cells, face);
    double span[2], h[10], h3[10], second[3][3], size = 0;
    int n = 4;

    tw_face_span(face, 1, span);
    by_hexahedra(in, cells, span, 2, h);
    by_hexahedra(in, cells, span, 3, h3);
    assert_close(h3[0], h[0], 1e-9 * h[0]); /* 2×2×2 is already exact */
    out[0] = fabs(w.volume_mm3 - h[0]) / h[0];
    out[1] = out[2] = 0;
    for (int i = 0; i < 3; i++)
        out[1] = fmax(out[1], fabs(w.centroid_mm[i] - h[1 + i] / h[0]) / in->shape.tube);
    for (int i = 0; i < 3; i++)
        for (int j = i; j < 3; j++)
            second[i][j] = second[j][i] = h3[n++] - h[1 + i] * h[1 + j] / h[0];
    for (int i = 0; i < 3; i++)
        size += second[i][i];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            const double wanted = i == j ? size - second[i][i] : -second[i][j];
            out[2] = fmax(out[2], fabs(w.inertia_g_mm2[i][j] - wanted) / size);
        }
}

static void hexahedra_agree_to_second_order(void **state)
{
    static const patch patches[] = {
        {{120, 60}, {-0.9, 1.1}, {0.2, 1.5}}, /* bulging */
        {{120, 60}, {2.0, 4.0}, {-0.5, 0.9}}, /* saddle */
        {{80, 14}, {0.9, 2.3}, {0, 1.2}},     /* tight, across the line where K changes sign */
    };

    (void)state;
    for (size_t p = 0; p < sizeof patches / sizeof *patches; p++)
        for (int f = 0; f < 3; f++) {
            double coarse[3], fine[3];
            differences(&patches[p], 24, (tw_face_side)f, coarse);
            differences(&patches[p], 48, (tw_face_side)f, fine);
            print_message("patch %zu face %d: volume %.1e %.1e, centroid %.1e %.1e, "
                          "inertia %.1e %.1e\n",
                          p, f, coarse[0], fine[0], coarse[1], fine[1], coarse[2], fine[2]);
            for (int k = 0; k < 3; k++) {
                assert_true(fine[k] < 2e-3);
                assert_true(fine[k] < coarse[k] / 3.5 || fine[k] < 1e-7);
            }
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(hexahedra_agree_to_second_order)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
