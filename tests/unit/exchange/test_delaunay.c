/* test_delaunay.c: triangles between random points: a whole covering, empty circles, lines kept. */
#include "support.h"

#include "exchange/exchange_internal.h"

#include <stdlib.h>

enum { POINTS = 60, TRIALS = 200 };

static long double area_of(const tw_plane *plane, const uint32_t k[3])
{
    const int32_t *a = plane->at[k[0]], *b = plane->at[k[1]], *c = plane->at[k[2]];

    return ((long double)b[0] - a[0]) * ((long double)c[1] - a[1]) -
           ((long double)b[1] - a[1]) * ((long double)c[0] - a[0]);
}

/* > 0 inside the circle; of small coordinates, so that long double is exact enough to tell. */
static long double within(const tw_plane *plane, const uint32_t k[3], uint32_t d)
{
    long double m[3][3];

    for (int n = 0; n < 3; n++) {
        m[n][0] = (long double)plane->at[k[n]][0] - plane->at[d][0];
        m[n][1] = (long double)plane->at[k[n]][1] - plane->at[d][1];
        m[n][2] = m[n][0] * m[n][0] + m[n][1] * m[n][1];
    }
    return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
           m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
           m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
}

static void assert_sound(const tw_plane *plane)
{
    const uint32_t all[3] = {0, 1, 2};
    long double sum = 0;

    assert_int_equal(plane->triangle_count, 2 * (plane->node_count - 3) + 1);
    for (uint32_t t = 0; t < plane->triangle_count; t++) {
        const long double area = area_of(plane, plane->corner[t]);
        assert_true(area > 0);
        sum += area;
        for (int k = 0; k < 3; k++) {
            const uint32_t u = plane->beside[t][k];
            if (u == TW_NONE)
                continue;
            assert_true(plane->beside[u][0] == t || plane->beside[u][1] == t ||
                        plane->beside[u][2] == t);
        }
    }
    assert_true(sum == area_of(plane, all));
}

static bool is_side(const tw_plane *plane, uint32_t a, uint32_t b)
{
    for (uint32_t t = 0; t < plane->triangle_count; t++)
        for (int k = 0; k < 3; k++)
            if (plane->corner[t][k] == a && plane->corner[t][(k + 1) % 3] == b)
                return true;
    return false;
}

/* A third of the trials on a coarse lattice: points on sides, on circles, and twice. */
static tw_plane random_plane(test_random *random, tw_arena *arena, bool lattice, uint32_t *node)
{
    tw_plane plane;

    assert_int_equal(tw_plane_new(arena, POINTS, &plane, NULL), TW_OK);
    for (int n = 0; n < POINTS; n++) {
        const double half = lattice ? 5 : 2e6;
        const int32_t at[2] = {(int32_t)rint(test_uniform(random, -half, half)),
                               (int32_t)rint(test_uniform(random, -half, half))};
        node[n] = tw_plane_add(&plane, at);
        assert_true(plane.at[node[n]][0] == at[0] && plane.at[node[n]][1] == at[1]);
    }
    return plane;
}

static void circles_are_empty(void **state)
{
    test_random random = test_random_begin("circles_are_empty");

    (void)state;
    for (int trial = 0; trial < TRIALS; trial++) {
        uint32_t node[POINTS];
        tw_arena *arena = tw_arena_new();
        tw_plane plane = random_plane(&random, arena, trial % 3 == 0, node);
        assert_sound(&plane);
        for (uint32_t t = 0; t < plane.triangle_count; t++)
            for (uint32_t d = TW_CORNERS; d < plane.node_count; d++) {
                const uint32_t *k = plane.corner[t];
                if (k[0] >= TW_CORNERS && k[1] >= TW_CORNERS && k[2] >= TW_CORNERS)
                    assert_true(within(&plane, k, d) <= 0);
            }
        tw_arena_free(arena);
    }
}

/* Lines from one node to others cross none but at the node: all can be had. A line across one of them
 * is refused. */
static void lines_become_sides(void **state)
{
    test_random random = test_random_begin("lines_become_sides");
    size_t refused = 0, fixed = 0;

    (void)state;
    for (int trial = 0; trial < TRIALS; trial++) {
        uint32_t node[POINTS];
        tw_arena *arena = tw_arena_new();
        tw_plane plane = random_plane(&random, arena, trial % 3 == 0, node);
        for (int n = 1; n < POINTS; n += 5) {
            assert_true(tw_plane_fix(&plane, node[0], node[n], false));
            assert_sound(&plane);
        }
        for (int n = 1; n + 1 < POINTS && trial % 3 != 0; n += 5) {
            assert_true(is_side(&plane, node[0], node[n]));
            if (tw_plane_fix(&plane, node[n], node[n + 1], true)) {
                assert_true(is_side(&plane, node[n], node[n + 1]));
                fixed++;
            } else {
                refused++;
            }
            assert_sound(&plane);
        }
        tw_arena_free(arena);
    }
    assert_true(refused > 100 && fixed > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(circles_are_empty),
                                       cmocka_unit_test(lines_become_sides)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
