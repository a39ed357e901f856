/*
 * test_integrate.c: whole plates against closed forms, on grids filled from formulas. Each row says
 * where its number comes from; all were derived by hand and checked by quadrature.
 */
#include "taperwright/weigh.h"

#include "support.h"

static const double steel = 7.85e-3;

/* ---- faces ------------------------------------------------------------------------------ */

/* Cylinder about the y axis, radius *shape, crown at across = 0. */
static void face_cylinder(double across, double up, const void *shape, tw_face_point *out)
{
    const double R = *(const double *)shape, angle = across / R;

    *out = (tw_face_point){.position = {R * sin(angle), up, R * cos(angle)},
                           .across_step = {cos(angle), 0, -sin(angle)},
                           .up_step = {0, 1, 0},
                           .normal = {sin(angle), 0, cos(angle)},
                           .mean_curvature = 0.5 / R};
}

typedef struct cone {
    double radius, top, height; /* top: radius at the other end, 0 for a full cone */
} cone;

/* Full cone, tip at the tape's origin, tape run straight down from it. */
static void face_cone(double across, double up, const void *shape, tw_face_point *out)
{
    const cone *c = shape;
    const double slant = hypot(c->radius, c->height), sine = c->radius / slant;
    const double cosine = c->height / slant, tape = hypot(across, up);
    const double x = tape > 0 ? across / tape : 1, y = tape > 0 ? up / tape : 0;
    const double along[3] = {sine * x, sine * y, -cosine}, side[3] = {-sine * y, sine * x, 0};

    for (int k = 0; k < 3; k++) {
        out->across_step[k] = along[k] * x - side[k] * y;
        out->up_step[k] = along[k] * y + side[k] * x;
        out->position[k] = along[k] * tape;
    }
    out->position[2] += c->height;
    out->normal[0] = cosine * x;
    out->normal[1] = cosine * y;
    out->normal[2] = sine;
    out->mean_curvature = 0.5 * cosine / (sine * fmax(tape, 1e-9));
    out->gauss_curvature = 0;
}

/* Frustum's side: across is the bearing [rad], up the height share 0…1. */
static void face_frustum(double across, double up, const void *shape, tw_face_point *out)
{
    const cone *c = shape;
    const double slant = hypot(c->radius - c->top, c->height);
    const double radius = c->radius + (c->top - c->radius) * up;
    const double x = cos(across), y = sin(across), fall = c->top - c->radius;

    *out = (tw_face_point){.position = {radius * x, radius * y, c->height * up},
                           .across_step = {-radius * y, radius * x, 0},
                           .up_step = {fall * x, fall * y, c->height},
                           .normal = {c->height / slant * x, c->height / slant * y, -fall / slant},
                           .mean_curvature = 0.5 * (c->height / slant) / radius};
}

/* ---- thickness laws ------------------------------------------------------------------------ */

static double even_12(double x, double y, double z)
{
    return 1.2 + 0 * (x + y + z);
}
static double even_15(double x, double y, double z)
{
    return 1.5 + 0 * (x + y + z);
}
static double even_20(double x, double y, double z)
{
    return 2.0 + 0 * (x + y + z);
}
static double disc_square(double x, double y, double z)
{
    return 2 - (x * x + y * y) / (150.0 * 150.0) + 0 * z;
}
static double disc_linear(double x, double y, double z)
{
    return 2 - hypot(x, y) / 150 + 0 * z;
}
static double along_300(double x, double y, double z)
{
    return 2 - x / 300 + 0 * (y + z);
}
static double bilinear(double x, double y, double z) /* corners 1, 2, 3, 5 of 300 × 300 */
{
    const double a = x / 300, u = y / 300;
    return 1 * (1 - a) * (1 - u) + 2 * a * (1 - u) + 3 * (1 - a) * u + 5 * a * u + 0 * z;
}
static double by_height(double x, double y, double z)
{
    return 1.2 + z / 100 + 0 * (x + y);
}
static double by_cosine_square(double x, double y, double z)
{
    return 1.2 + (z / 100) * (z / 100) + 0 * (x + y);
}

static tw_weight weigh(const tw_grid *grid, double (*law)(double, double, double),
                       tw_face_side face, double density, unsigned threads)
{
    const size_t cells = tw_grid_cells(grid);
    double *thickness = test_malloc(cells * sizeof *thickness);
    tw_weight weight;
    tw_error error = {.message = ""};

    for (size_t k = 0; k < cells; k++)
        thickness[k] =
            grid->area[k] > 0 ? law(grid->cell_x[k], grid->cell_y[k], grid->cell_z[k]) : NAN;
    if (tw_weigh(grid, thickness, NULL, face, density, threads, &weight, &error) != TW_OK)
        fail_msg("%s", error.message);
    test_free(thickness);
    return weight;
}

/* ---- closed forms ------------------------------------------------------------------------- */

typedef struct closed_form {
    const char *name;
    test_face face;
    double shape[3];
    double across, up_low, up_high; /* grid from −across to across, up_low to up_high */
    double disc;                    /* > 0: cut to this tape radius */
    bool from_zero;                 /* grid from 0 to across */
    double (*law)(double, double, double);
    tw_face_side side;
    double mass, centre[3]; /* NaN: not told */
    double floor;           /* how exact the closed form itself is for the solid */
} closed_form;

#define HALF_PI (TW_PI / 2)
static const closed_form forms[] = {
    /* V = 2π/3 (R³ − r³), z̄ = 3/8 (R⁴ − r⁴)/(R³ − r³), R = 110, r = 108.5: the same solid from each
     * of its faces */
    {"hemisphere, outside face",
     test_face_ball,
     {110},
     110 * HALF_PI,
     -110 * HALF_PI,
     110 * HALF_PI,
     110 * HALF_PI,
     false,
     even_15,
     TW_FACE_OUTSIDE,
     883.06058,
     {0, 0, 54.626716},
     1e-8},
    {"hemisphere, middle face",
     test_face_ball,
     {109.25},
     109.25 * HALF_PI,
     -109.25 * HALF_PI,
     109.25 * HALF_PI,
     109.25 * HALF_PI,
     false,
     even_15,
     TW_FACE_MIDDLE,
     883.06058,
     {0, 0, 54.626716},
     1e-8},
    {"hemisphere, inside face",
     test_face_ball,
     {108.5},
     108.5 * HALF_PI,
     -108.5 * HALF_PI,
     108.5 * HALF_PI,
     108.5 * HALF_PI,
     false,
     even_15,
     TW_FACE_INSIDE,
     883.06058,
     {0, 0, 54.626716},
     1e-8},
    /* V = πR²(t_c + t_e)/2 */
    {"disc, parabolic taper",
     test_face_flat,
     {0},
     150,
     -150,
     150,
     150,
     false,
     disc_square,
     TW_FACE_OUTSIDE,
     832.32570,
     {0, 0, NAN},
     1e-8},
    /* V = πR²(t_c + 2t_e)/3 */
    {"disc, straight taper",
     test_face_flat,
     {0},
     150,
     -150,
     150,
     150,
     false,
     disc_linear,
     TW_FACE_OUTSIDE,
     739.84507,
     {0, 0, NAN},
     1e-8},
    {"disc, even 2 mm",
     test_face_flat,
     {0},
     150,
     -150,
     150,
     150,
     false,
     even_20,
     TW_FACE_OUTSIDE,
     1109.7676,
     {0, 0, -1},
     1e-7},
    {"disc, even 1.5 mm",
     test_face_flat,
     {0},
     150,
     -150,
     150,
     150,
     false,
     even_15,
     TW_FACE_INSIDE,
     832.32570,
     {0, 0, 0.75},
     1e-8},
    /* V = LW(t₁ + t₂)/2, x̄ = L(t₁ + 2t₂)/(3(t₁ + t₂)) */
    {"rectangle, taper along",
     test_face_flat,
     {0},
     300,
     0,
     200,
     0,
     true,
     along_300,
     TW_FACE_OUTSIDE,
     706.5,
     {133.33333333, 100, NAN},
     1e-8},
    /* V = LW × mean of the corners */
    {"square, bilinear",
     test_face_flat,
     {0},
     300,
     0,
     300,
     0,
     true,
     bilinear,
     TW_FACE_OUTSIDE,
     90000 * 2.75 * 7.85e-3,
     {NAN, NAN, NAN},
     1e-12},
    /* S = π(r₁ + r₂)s, z̄ = h(r₁ + 2r₂)/(3(r₁ + r₂)); on the middle face V = S·t exactly */
    {"frustum",
     face_frustum,
     {120, 60, 150},
     TW_PI,
     0,
     1,
     0,
     false,
     even_12,
     TW_FACE_MIDDLE,
     860.58453,
     {0, 0, 66.666667},
     1e-5},
    /* S = πrs, z̄ = h/3 */
    {"cone",
     face_cone,
     {100, 0, 200},
     223.60679775,
     -223.60679775,
     223.60679775,
     223.60679775,
     false,
     even_12,
     TW_FACE_MIDDLE,
     661.73755,
     {0, 0, 66.666667},
     5e-5},
    /* V = αL(R_o² − R_i²), z̄ = 2/3 (R_o³ − R_i³)/(R_o² − R_i²)·sinα/α from the axis, α = π/3 */
    {"cylinder, middle face",
     face_cylinder,
     {160},
     160 * TW_PI / 3,
     0,
     400,
     0,
     false,
     even_15,
     TW_FACE_MIDDLE,
     1578.3361,
     {0, 200, 132.31990},
     5e-8},
    {"cylinder, outside face",
     face_cylinder,
     {160.75},
     160.75 * TW_PI / 3,
     0,
     400,
     0,
     false,
     even_15,
     TW_FACE_OUTSIDE,
     1578.3361,
     {0, 200, 132.31990},
     5e-8},
    /* A = 2πR·h, z̄ = h/2 above its rim plane, here R − h = 150; thin: t²/(12R²) = 5e-6 */
    {"spherical cap",
     test_face_ball,
     {200},
     144.54684956,
     -144.54684956,
     144.54684956,
     144.54684956,
     false,
     even_15,
     TW_FACE_MIDDLE,
     739.84507,
     {0, 0, 175},
     1.5e-5},
    /* V = πR²(t_p + t_r), z̄ = R(2t_p + t_r)/(3(t_p + t_r)); thin: t²/(12R²) = 4e-5 at the pole */
    {"hemisphere, taper by height",
     test_face_ball,
     {100},
     100 * HALF_PI,
     -100 * HALF_PI,
     100 * HALF_PI,
     100 * HALF_PI,
     false,
     by_height,
     TW_FACE_MIDDLE,
     838.49108,
     {0, 0, 54.901961},
     6e-5},
    /* V = 2πR²(t_p + 2t_r)/3, z̄ = 3R(t_p + t_r)/(4(t_p + 2t_r)) */
    {"hemisphere, taper by cosine square",
     test_face_ball,
     {100},
     100 * HALF_PI,
     -100 * HALF_PI,
     100 * HALF_PI,
     100 * HALF_PI,
     false,
     by_cosine_square,
     TW_FACE_MIDDLE,
     756.28607,
     {0, 0, 55.434783},
     6e-5},
};

static tw_grid *grid_of(const closed_form *form, size_t cells)
{
    tw_grid *grid = test_grid_fill(form->face, form->shape, form->from_zero ? 0 : -form->across,
                                   form->across, form->up_low, form->up_high, cells, form->disc);

    grid->has_apex = form->face == face_cone; /* the tip stands at the tape's origin */
    return grid;
}

/* The error on a grid must be small, and fall at least 2.5-fold per halving (second order is 4, cut
 * cells scatter about it) until it meets the closed form's own limit. */
static void check_order(const char *name, const char *what, const double error[3], double size,
                        double floor)
{
    const double limit = floor * size + 1e-9;

    print_message("%-36s %-7s %.2e %.2e %.2e\n", name, what, error[0] / size, error[1] / size,
                  error[2] / size);
    assert_true(error[2] <= 5e-4 * size);
    assert_true(error[2] <= limit || error[2] <= error[0] / 6.25 + limit);
}

static void plates_weigh_what_formulas_say(void **state)
{
    static const size_t cells[3] = {64, 128, 256};

    (void)state;
    for (size_t f = 0; f < sizeof forms / sizeof *forms; f++) {
        const closed_form *form = &forms[f];
        double mass[3], centre[3][3];
        for (int g = 0; g < 3; g++) {
            tw_grid *grid = grid_of(form, cells[g]);
            const tw_weight w = weigh(grid, form->law, form->side, steel, 1);
            mass[g] = fabs(w.mass_g - form->mass);
            for (int k = 0; k < 3; k++)
                centre[k][g] = fabs(w.centroid_mm[k] - form->centre[k]);
            assert_true(isnan(w.numerical_error_g));
            tw_grid_free(grid);
        }
        check_order(form->name, "mass", mass, form->mass, form->floor);
        for (int k = 0; k < 3; k++)
            if (!isnan(form->centre[k]))
                check_order(form->name,
                            k == 0   ? "x"
                            : k == 1 ? "y"
                                     : "z",
                            centre[k], fmax(fabs(form->centre[k]), 1), fmax(form->floor, 1e-7));
    }
}

/* ---- inertia -------------------------------------------------------------------------------- */

/* Cuboid 300 × 200 × 1.5: I_x = m(W² + t²)/12 and so on; the midpoint rule gives each in-face term
 * short by the share 1/n². */
static void rectangle_has_a_cuboids_inertia(void **state)
{
    const size_t n = 128;
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, 1000, 1300, -200, 0, n, 0);
    const tw_weight w = weigh(grid, even_15, TW_FACE_OUTSIDE, steel, 2);
    const double m = 300 * 200 * 1.5 * steel, cut = 1 - 1.0 / (double)(n * n);
    const double xx = m * 300 * 300 / 12 * cut, yy = m * 200 * 200 / 12 * cut;
    const double zz = m * 1.5 * 1.5 / 12;

    (void)state;
    assert_close(w.mass_g, m, 1e-12 * m);
    assert_close(w.centroid_mm[0], 1150, 1e-9);
    assert_close(w.centroid_mm[1], -100, 1e-9);
    assert_close(w.centroid_mm[2], -0.75, 1e-12);
    assert_close(w.inertia_g_mm2[0][0], yy + zz, 1e-11 * xx);
    assert_close(w.inertia_g_mm2[1][1], xx + zz, 1e-11 * xx);
    assert_close(w.inertia_g_mm2[2][2], xx + yy, 1e-11 * xx);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            if (i != j)
                assert_close(w.inertia_g_mm2[i][j], 0, 1e-9 * xx);
    tw_grid_free(grid);
}

/* Half of a hollow ball: about the ball's middle each axis has I = 2/5·M·(R⁵ − r⁵)/(R³ − r³), M of
 * the half; about the centroid x and y lose M·z̄² (parallel axes). */
static void hemisphere_has_a_half_balls_inertia(void **state)
{
    const double R = 110, r = 108.5, M = 883.06058, z = 54.626716;
    const double about_middle = 0.4 * M * (pow(R, 5) - pow(r, 5)) / (pow(R, 3) - pow(r, 3));
    double error[3];

    (void)state;
    for (int g = 0; g < 3; g++) {
        tw_grid *grid = grid_of(&forms[0], (size_t)64 << g);
        const tw_weight w = weigh(grid, even_15, TW_FACE_OUTSIDE, steel, 1);
        error[g] = fabs(w.inertia_g_mm2[2][2] - about_middle);
        assert_close(w.inertia_g_mm2[0][0], about_middle - M * z * z, 2e-3 * about_middle);
        assert_close(w.inertia_g_mm2[0][0], w.inertia_g_mm2[1][1], 1e-9 * about_middle);
        tw_grid_free(grid);
    }
    check_order("hemisphere, outside face", "I_z", error, about_middle, 1e-7);
}

/* Moving a plate moves its centroid and nothing else. */
static void moving_a_plate_leaves_its_inertia(void **state)
{
    tw_grid *grid = grid_of(&forms[14], 60);
    const tw_weight at_home = weigh(grid, even_15, TW_FACE_OUTSIDE, steel, 1);
    const double by[3] = {5000, -700, 12000};
    tw_weight away;

    (void)state;
    for (size_t k = 0; k < tw_grid_cells(grid); k++) {
        grid->cell_x[k] += by[0];
        grid->cell_y[k] += by[1];
        grid->cell_z[k] += by[2];
    }
    away = weigh(grid, even_15, TW_FACE_OUTSIDE, steel, 1);
    for (int i = 0; i < 3; i++) {
        assert_close(away.centroid_mm[i], at_home.centroid_mm[i] + by[i], 1e-8);
        for (int j = 0; j < 3; j++)
            assert_close(away.inertia_g_mm2[i][j], at_home.inertia_g_mm2[i][j],
                         1e-9 * at_home.inertia_g_mm2[2][2]);
    }
    tw_grid_free(grid);
}

/* ---- properties ------------------------------------------------------------------------------- */

static void any_number_of_threads_gives_the_same_bits(void **state)
{
    tw_grid *grid = grid_of(&forms[14], 253); /* many blocks, the last one ragged */
    const tw_weight one = weigh(grid, by_height, TW_FACE_OUTSIDE, steel, 1);
    const unsigned counts[] = {0, 2, 3, 4, 7};

    (void)state;
    for (size_t k = 0; k < sizeof counts / sizeof *counts; k++) {
        const tw_weight many = weigh(grid, by_height, TW_FACE_OUTSIDE, steel, counts[k]);
        assert_memory_equal(&one, &many, sizeof one);
    }
    tw_grid_free(grid);
}

static void half_the_density_has_half_the_mass(void **state)
{
    tw_grid *grid = grid_of(&forms[14], 64);
    const tw_weight whole = weigh(grid, by_height, TW_FACE_OUTSIDE, steel, 1);
    const tw_weight half = weigh(grid, by_height, TW_FACE_OUTSIDE, steel / 2, 1);

    (void)state;
    assert_true(half.mass_g * 2 == whole.mass_g);
    assert_memory_equal(half.centroid_mm, whole.centroid_mm, sizeof whole.centroid_mm);
    assert_true(half.inertia_g_mm2[0][0] * 2 == whole.inertia_g_mm2[0][0]);
    assert_close(whole.mean_thickness_mm, 1.7, 1e-3); /* even in height on a ball */
    tw_grid_free(grid);
}

static double lopsided(double x, double y, double z)
{
    return 1.6 + x / 400 + y / 900 + 0 * z;
}
static double lopsided_mirrored(double x, double y, double z)
{
    return lopsided(-x, y, z);
}

static void a_mirrored_plate_balances_in_the_mirror(void **state)
{
    tw_grid *grid = grid_of(&forms[0], 90);
    const tw_weight a = weigh(grid, lopsided, TW_FACE_OUTSIDE, steel, 1);
    const tw_weight b = weigh(grid, lopsided_mirrored, TW_FACE_OUTSIDE, steel, 1);
    const double size = a.inertia_g_mm2[2][2];

    (void)state;
    assert_true(fabs(a.centroid_mm[0]) > 5);
    assert_close(a.mass_g, b.mass_g, 1e-12 * a.mass_g);
    assert_close(a.centroid_mm[0], -b.centroid_mm[0], 1e-10);
    assert_close(a.centroid_mm[1], b.centroid_mm[1], 1e-10);
    assert_close(a.inertia_g_mm2[0][1], -b.inertia_g_mm2[0][1], 1e-11 * size);
    assert_close(a.inertia_g_mm2[0][2], -b.inertia_g_mm2[0][2], 1e-11 * size);
    assert_close(a.inertia_g_mm2[1][2], b.inertia_g_mm2[1][2], 1e-11 * size);
    tw_grid_free(grid);
}

static void an_empty_outline_is_told(void **state)
{
    tw_grid *grid = test_grid_fill(test_face_flat, NULL, 0, 1, 0, 1, 8, 0);
    double thickness[64] = {0};
    tw_weight weight = {.mass_g = 77};
    tw_error error;

    (void)state;
    memset(grid->area, 0, tw_grid_cells(grid) * sizeof(double));
    assert_int_equal(tw_weigh(grid, thickness, NULL, TW_FACE_OUTSIDE, steel, 1, &weight, &error),
                     TW_ERR_SHAPE);
    assert_non_null(strstr(error.message, "no metal"));
    assert_true(weight.mass_g == 77); /* untouched */
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plates_weigh_what_formulas_say),
        cmocka_unit_test(rectangle_has_a_cuboids_inertia),
        cmocka_unit_test(hemisphere_has_a_half_balls_inertia),
        cmocka_unit_test(moving_a_plate_leaves_its_inertia),
        cmocka_unit_test(any_number_of_threads_gives_the_same_bits),
        cmocka_unit_test(half_the_density_has_half_the_mass),
        cmocka_unit_test(a_mirrored_plate_balances_in_the_mirror),
        cmocka_unit_test(an_empty_outline_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
