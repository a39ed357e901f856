/* test_cells_csv.c: the exported cells give back the same mass, in any locale. */
#include "taperwright/weigh.h"

#include <locale.h>
#include <stdlib.h>

#include "support.h"

typedef struct text {
    char *bytes;
    size_t used, room, calls, fail_at; /* fail_at: the call that fails, 0 for none */
} text;

static tw_status keep(void *context, const char *bytes, size_t size)
{
    text *out = context;

    if (++out->calls == out->fail_at)
        return TW_ERR_FILE;
    assert_true(out->used + size < out->room);
    memcpy(out->bytes + out->used, bytes, size);
    out->used += size;
    out->bytes[out->used] = '\0';
    return TW_OK;
}

/* A bowl with a crease and a cut rim, and its map. */
static tw_grid *example(tw_map *map)
{
    const double ball = 90;
    tw_grid *grid = test_grid_fill(test_face_ball, &ball, -80, 80, -80, 80, 40, 71.3);

    grid->creases = tw_arena_array(grid->arena, 40, sizeof *grid->creases);
    *map = (tw_map){.kind = TW_MAP_FORGED, .grid = grid};
    map->cell = tw_arena_array(grid->arena, 1600, sizeof(double));
    map->node = tw_arena_array(grid->arena, 41 * 41, sizeof(double));
    assert_true(grid->creases && map->cell && map->node);
    for (size_t k = 0; k < 1600; k++)
        map->cell[k] = 1 + (double)(k % 37) / 31;
    for (size_t k = 0; k < 41 * 41; k++)
        map->node[k] = 1 + (double)(k % 41) / 29;
    for (size_t j = 0; j < 40; j++)
        grid->creases[j] = (tw_crease){.left_cell = j * 40 + 19,
                                       .right_cell = j * 40 + 20,
                                       .position = {1.0 / 3, (double)j, 88},
                                       .length = 4,
                                       .turn = 0.3,
                                       .outward = {0, 0, 1},
                                       .up = -78 + 4 * (double)j,
                                       .node = j * 41 + 20};
    grid->crease_count = 40;
    return grid;
}

/* Splits a row in place; empty fields are NaN. */
static size_t numbers(char *row, double field[16])
{
    size_t count = 0;

    for (char *at = strchr(row, ','); at; at = strchr(at + 1, ',')) {
        char *end;
        const double value = strtod(at + 1, &end);
        assert_true(count < 15);
        field[count++] = end == at + 1 ? NAN : value;
        assert_true(*end == ',' || *end == '\0');
    }
    return count;
}

static void rows_sum_to_the_mass(void **state)
{
    static const char header[] =
        "kind,across [mm],up [mm],x [mm],y [mm],z [mm],normal_x,normal_y,normal_z,thickness [mm],"
        "mean_curvature [1/mm],gauss_curvature [1/mm2],area [mm2],cover,length [mm],turn [rad]";
    tw_map map;
    tw_grid *grid = example(&map);
    text out = {.room = 1 << 20};
    tw_sum volume = {0, 0};
    size_t cells = 0, creases = 0, metal = 0;
    char *rest = NULL;
    tw_weight whole;

    (void)state;
    out.bytes = test_malloc(out.room);
    assert_int_equal(tw_cells_write(grid, &map, keep, &out, NULL), TW_OK);
    assert_string_equal(strtok_r(out.bytes, "\n", &rest), header);
    for (char *row = strtok_r(NULL, "\n", &rest); row; row = strtok_r(NULL, "\n", &rest)) {
        double f[16];
        assert_int_equal(numbers(row, f), 15);
        if (strncmp(row, "cell,", 5) == 0) {
            const double t = f[8], H = f[9], K = f[10];
            assert_true(isnan(f[13]) && isnan(f[14]) && f[12] > 0 && f[12] <= 1);
            assert_close(hypot(hypot(f[2], f[3]), f[4]), 90, 1e-12); /* on the ball */
            tw_sum_add(&volume, f[11] * (t - H * t * t + K * t * t * t / 3));
            cells++;
        } else {
            assert_int_equal(strncmp(row, "crease,", 7), 0);
            assert_true(isnan(f[9]) && isnan(f[10]) && isnan(f[11]) && isnan(f[12]));
            assert_true(f[2] == 1.0 / 3 && f[7] == 1);
            tw_sum_add(&volume, -f[8] * f[8] * tan(f[14] / 2) * f[13]);
            creases++;
        }
    }
    for (size_t k = 0; k < 1600; k++)
        metal += grid->area[k] > 0;
    assert_int_equal(cells, metal);
    assert_true(creases > 30 && creases < 40); /* those beyond the rim are left out */
    assert_int_equal(tw_weigh(grid, map.cell, map.node, TW_FACE_OUTSIDE, 1, 1, &whole, NULL),
                     TW_OK);
    assert_close(tw_sum_value(&volume), whole.volume_mm3, 1e-14 * whole.volume_mm3);
    test_free(out.bytes);
    tw_grid_free(grid);
}

static void a_failed_write_is_told(void **state)
{
    tw_map map;
    tw_grid *grid = example(&map);
    text out = {.room = 1 << 20};

    (void)state;
    out.bytes = test_malloc(out.room);
    assert_int_equal(tw_cells_write(grid, &map, keep, &out, NULL), TW_OK);
    assert_true(out.calls > 3);
    for (size_t last = out.calls, n = 1; n <= last; n++) {
        tw_error error;
        out = (text){.bytes = out.bytes, .room = out.room, .fail_at = n};
        assert_int_equal(tw_cells_write(grid, &map, keep, &out, &error), TW_ERR_FILE);
        assert_int_equal(out.calls, n); /* nothing is written after it */
        assert_int_equal(error.status, TW_ERR_FILE);
    }
    test_free(out.bytes);
    tw_grid_free(grid);
}

/* The same bytes, whatever decimal mark a caller has set (where such a locale is installed). */
static void any_locale_writes_the_same_bytes(void **state)
{
    static const char *locales[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "ps_AF.UTF-8", "de_DE"};
    tw_map map;
    tw_grid *grid = example(&map);
    text plain = {.room = 1 << 20}, out = {.room = 1 << 20};

    (void)state;
    plain.bytes = test_malloc(plain.room);
    out.bytes = test_malloc(out.room);
    assert_int_equal(tw_cells_write(grid, &map, keep, &plain, NULL), TW_OK);
    for (size_t k = 0; k < sizeof locales / sizeof *locales; k++) {
        if (!setlocale(LC_NUMERIC, locales[k]))
            continue;
        print_message("locale %s\n", locales[k]);
        out.used = 0;
        assert_int_equal(tw_cells_write(grid, &map, keep, &out, NULL), TW_OK);
        assert_string_equal(out.bytes, plain.bytes);
    }
    setlocale(LC_NUMERIC, "C");
    test_free(plain.bytes);
    test_free(out.bytes);
    tw_grid_free(grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rows_sum_to_the_mass),
                                       cmocka_unit_test(a_failed_write_is_told),
                                       cmocka_unit_test(any_locale_writes_the_same_bytes)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
