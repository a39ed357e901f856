/* test_scan.c: mass of plates whose face is a grid of points, against closed forms over three
 * spacings, and with the scatter of a scanner. */
#include "support.h"

#include "taperwright/weigh.h"

enum { ROWS_MAX = 65, COUNT_MAX = ROWS_MAX * 65 };

/* A belt of a ball about the y axis: rows are arcs of a half-angle, y runs ± half. */
typedef struct belt {
    double radius, alpha, half;
    tw_points_row rows[ROWS_MAX];
    double points[COUNT_MAX][2];
    tw_profile profile;
} belt;

static belt b; /* too large for a stack */

static void fill(size_t rows, size_t count, double scatter, test_random *random)
{
    b.radius = 150;
    b.alpha = 0.6;
    b.half = 70;
    for (size_t j = 0, n = 0; j < rows; j++) {
        const double y = b.half * (2 * (double)j / (double)(rows - 1) - 1);
        b.rows[j] = (tw_points_row){y, n, count};
        for (size_t k = 0; k < count; k++, n++) {
            const double angle = b.alpha * (2 * (double)k / (double)(count - 1) - 1);
            const double r = sqrt(b.radius * b.radius - y * y);
            b.points[n][0] = r * sin(angle);
            b.points[n][1] = r * cos(angle);
            if (random) {
                b.points[n][0] += test_uniform(random, -1, 1) * sqrt(3) * scatter * sin(angle);
                b.points[n][1] += test_uniform(random, -1, 1) * sqrt(3) * scatter * cos(angle);
            }
        }
    }
    b.profile = (tw_profile){
        .form = TW_FORM_POINTS,
        .outline = {.kind = TW_OUTLINE_RIM},
        .plate = "belt",
        .density = 7.85e-3,
        .has_sheet = true,
        .sheet = {.thickness = 2},
        .points = {
            .row_count = rows, .point_count = rows * count, .rows = b.rows, .points = b.points}};
}

static double mass_of(void)
{
    const tw_plate_options options = {.cells = 256};
    tw_plate *plate = NULL;
    tw_error err = {0};
    double mass;

    if (tw_plate_build(&b.profile, &options, &plate, &err) != TW_OK)
        fail_msg("%s", err.message);
    mass = tw_plate_map_of(plate, TW_MAP_SHEET)->weight.mass_g;
    tw_plate_free(plate);
    return mass;
}

/* Area is of fourth order in the spacing, curvature of second, which a thickness of 2 mm on a ball of
 * 150 mm feels by a hundredth. Between two planes square to the axis a ball's face is R·2α·(y₁ − y₀) (Archimedes); of a shell of
 * outside radius R each area carries t − t²/R + t³/(3R²). */
static double exact_mass(void)
{
    const double R = b.radius, t = b.profile.sheet.thickness;

    return b.profile.density * R * 2 * b.alpha * 2 * b.half *
           (t - t * t / R + t * t * t / (3 * R * R));
}

static void mass_converges(void **state)
{
    double miss[3];

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        fill(1 + (4u << k), 1 + (4u << k), 0, NULL);
        miss[k] = fabs(mass_of() / exact_mass() - 1);
        print_message("%d × %d points: mass off by %.2g\n", 1 + (4 << k), 1 + (4 << k), miss[k]);
    }
    assert_true(miss[1] < miss[0] / 3.5 && miss[2] < miss[1] / 3.5 && miss[2] < 4e-6);
}

/* 0.05 mm of scatter on points 4.4 mm apart: a face that waves is larger by half the mean square of
 * its slopes, some (0.05/4.4)² = 1.3e-4 each way; curvature averages out. */
static void scatter_hardly_weighs(void **state)
{
    test_random random = test_random_begin("scan scatter");
    double miss;

    (void)state;
    fill(33, 41, 0.05, &random);
    miss = mass_of() / exact_mass() - 1;
    print_message("scatter: mass off by %.2g\n", miss);
    assert_close(miss, 0, 5e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mass_converges),
        cmocka_unit_test(scatter_hardly_weighs),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
