/*
 * exercise.c: a plate as an exercise. Five places to gauge, at whole numbers of a tape: the thickest, then
 * the thinnest, then places between them that lie far apart, clear of the edge; and what one works out from
 * their readings, beside what the plate weighs.
 */
#include "taperwright/compare.h"

#include <assert.h>
#include <math.h>

static const double CLEAR = 14; /* of the edge [mm]: past burr and roll, and room for a letter */

static const double AS_THICK = 0.005; /* as the thickest [mm] */

typedef struct search {
    const tw_exercise *made;
    double middle[2]; /* of the thickest metal */
    double far;       /* a third of the plate's length: far enough apart [mm] */
} search;

static double whole(double mm)
{
    return 5 * floor(mm / 5 + 0.5);
}

/* A place of the tape's fives that lies clear in the metal. */
static bool clear_metal(const tw_plate *plate, double across, double up)
{
    return tw_outline_level(tw_form_outline(plate->form), across, up) <= -CLEAR;
}

/* Middle by tape of the metal that is as thick as the thickest: of a strike zone, its centre. */
static void middle_of_thickest(const tw_exercise *made, double out[2])
{
    const tw_grid *grid = made->plate->grid;
    const tw_map *map = &made->forged->map;
    tw_sum sum[3] = {{0, 0}, {0, 0}, {0, 0}};

    for (size_t j = 0; j < grid->nv; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            if (grid->level[n] > 0 || map->node[n] < map->thickest - AS_THICK)
                continue;
            tw_sum_add(&sum[0], tw_grid_across(grid, i));
            tw_sum_add(&sum[1], tw_grid_up(grid, j));
            tw_sum_add(&sum[2], 1);
        }
    for (int k = 0; k < 2; k++)
        out[k] = tw_sum_value(&sum[2]) > 0 ? tw_sum_value(&sum[k]) / tw_sum_value(&sum[2])
                                           : map->thickest_at[k];
}

/* How good a place is as the next point: far from those before it, and of the thickness wanted. */
static double worth(const search *at, size_t count, double across, double up)
{
    /* of the way from thinnest to thickest: the thinnest second, then what lies between */
    static const double wanted[TW_EXERCISE_POINTS] = {1, 0, 0.5, 0.25, 0.7};
    const tw_exercise *made = at->made;
    const tw_map *map = &made->forged->map;
    const double range = fmax(map->thickest - map->thinnest, AS_THICK);
    const double t = tw_grid_sample(made->plate->grid, map->node, across, up);
    double near = INFINITY;

    if (count == 0)
        return -hypot(across - at->middle[0], up - at->middle[1]);
    for (size_t k = 0; k < count; k++)
        near = fmin(near, hypot(across - made->at[k][0], up - made->at[k][1]));
    if (near < 5)
        return -INFINITY;
    return fmin(near / at->far, 1) - 2 * fabs(t - map->thinnest - wanted[count] * range) / range;
}

static bool next_point(const search *at, size_t count, double out[2])
{
    const tw_outline *outline = tw_form_outline(at->made->plate->form);
    const double step = fmax(5, whole(3 * at->far / 60));
    double best = -INFINITY;

    for (double up = whole(outline->up_min); up <= outline->up_max; up += step)
        for (double across = whole(outline->across_min); across <= outline->across_max;
             across += step) {
            double value;
            if (!clear_metal(at->made->plate, across, up))
                continue;
            value = worth(at, count, across, up);
            if (value > best) {
                best = value;
                out[0] = across;
                out[1] = up;
            }
        }
    return best > -INFINITY;
}

static tw_status tape_between(const tw_plate *plate, const double from[2], const double to[2],
                              double *mm, tw_error *err)
{
    const tw_grid *grid = plate->grid;
    const size_t nodes = grid->nu * grid->nv;
    tw_arena *arena = tw_arena_new();
    double *distance = arena ? tw_arena_array(arena, nodes, sizeof *distance) : NULL;
    tw_march *march = NULL;
    tw_status status;

    if (!distance) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for an exercise");
    }
    status = tw_march_new(grid, 1, &march, err);
    if (status == TW_OK)
        status = tw_distance_from_point(march, plate->form, from, distance, err);
    if (status == TW_OK)
        *mm = tw_grid_sample(grid, distance, to[0], to[1]);
    tw_march_free(march);
    tw_arena_free(arena);
    return status;
}

tw_status tw_exercise_make(const tw_plate *plate, unsigned threads, tw_exercise *out, tw_error *err)
{
    tw_exercise made = {.plate = plate, .forged = tw_plate_map_of(plate, TW_MAP_FORGED)};
    const tw_outline *outline = tw_form_outline(plate->form);
    search at = {
        .made = &made,
        .far =
            fmax(outline->across_max - outline->across_min, outline->up_max - outline->up_min) / 3};
    tw_status status = tw_compare(plate, threads, &made.comparison, err);

    if (status != TW_OK)
        return status;
    assert(made.forged);
    middle_of_thickest(&made, at.middle);
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        if (!next_point(&at, k, made.at[k]))
            return tw_fail(err, TW_ERR_SHAPE,
                           "plate %s has too little metal for %d places to gauge",
                           plate->profile->plate, TW_EXERCISE_POINTS);
        made.reading[k] =
            tw_grid_sample(plate->grid, made.forged->map.node, made.at[k][0], made.at[k][1]);
        made.reading[k] = floor(100 * made.reading[k] + 0.5) / 100;
        made.mean_mm += made.reading[k] / TW_EXERCISE_POINTS;
        if (made.reading[k] < made.reading[made.thin])
            made.thin = k;
    }
    made.mean_g = made.mean_mm * made.forged->weight.face_area_mm2 * plate->profile->density;
    if (made.thin == 0) /* even all over: any other place, and no grade */
        made.thin = 1;
    status = tape_between(plate, made.at[0], made.at[made.thin], &made.tape_mm, err);
    if (status != TW_OK)
        return status;
    made.grade = (made.reading[0] - made.reading[made.thin]) / made.tape_mm;
    *out = made;
    return TW_OK;
}
