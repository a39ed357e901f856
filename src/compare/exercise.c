/*
 * exercise.c: a plate as an exercise. Five places to gauge, at whole numbers of a tape: the thickest, then
 * each as far by tape from those before as the metal allows, clear of the edge; and what one works out
 * from their readings, beside what the plate weighs.
 */
#include "taperwright/compare.h"

#include <assert.h>
#include <math.h>

static const double CLEAR = 8; /* of the edge [mm]: room for a calliper's foot */

static double whole(double mm)
{
    return 5 * floor(mm / 5 + 0.5);
}

/* A place of the tape's fives that lies clear in the metal. */
static bool clear_metal(const tw_plate *plate, double across, double up)
{
    return tw_outline_level(tw_form_outline(plate->form), across, up) <= -CLEAR;
}

static bool next_point(const tw_exercise *made, size_t count, double out[2])
{
    const tw_outline *outline = tw_form_outline(made->plate->form);
    const double *thickest = made->forged->map.thickest_at;
    const double step = fmax(5, whole(fmax(outline->across_max - outline->across_min,
                                           outline->up_max - outline->up_min) /
                                      60));
    double best = -INFINITY;

    for (double up = whole(outline->up_min); up <= outline->up_max; up += step)
        for (double across = whole(outline->across_min); across <= outline->across_max;
             across += step) {
            double near = count == 0 ? -hypot(across - thickest[0], up - thickest[1]) : INFINITY;
            for (size_t k = 0; k < count; k++)
                near = fmin(near, hypot(across - made->at[k][0], up - made->at[k][1]));
            if (near > best && clear_metal(made->plate, across, up)) {
                best = near;
                out[0] = across;
                out[1] = up;
            }
        }
    return count == 0 ? best > -INFINITY : best >= 5;
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
    status = tw_march_new(grid, &march, err);
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
    tw_status status = tw_compare(plate, threads, &made.comparison, err);

    if (status != TW_OK)
        return status;
    assert(made.forged);
    for (size_t k = 0; k < TW_EXERCISE_POINTS; k++) {
        if (!next_point(&made, k, made.at[k]))
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
