/*
 * card_places.c: where a plate can be gauged. A foot has to stand off edges and holes, beside a crease,
 * and within the instrument's reach of the outline (a caliper does not reach in through a hole). A maker
 * marks places with a tape, so they lie where it shows whole marks.
 */
#include "plan_internal.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A foot or anvil of 12 mm, and half of a caliper's jaw beside a ridge [mm] (common practice, no
 * source). */
static const double CLEAR_OF_EDGES = 6, CLEAR_OF_CREASE = 5;

static tw_status march(const tw_plate *plate, bool holes, tw_march *scratch, double *distance,
                       tw_error *err)
{
    const tw_outline *outline = tw_form_outline(plate->form);
    const size_t count = outline->edge_count + (holes ? outline->hole_count : 0);
    tw_edge_line *lines = malloc((count + 1) * sizeof *lines);
    tw_status status;

    if (!lines)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu edges", count);
    for (size_t k = 0; k < count; k++)
        lines[k] =
            k < outline->edge_count ? outline->edges[k] : outline->holes[k - outline->edge_count];
    status = tw_distance_from_lines(scratch, plate->form, lines, count, distance, err);
    free(lines);
    return status;
}

tw_status tw_card_ground_make(const tw_plate *plate, double reach, tw_arena *arena,
                              tw_card_ground *out, tw_error *err)
{
    const size_t nodes = plate->grid->nu * plate->grid->nv;
    tw_march *scratch = NULL;
    tw_status status;

    *out = (tw_card_ground){.plate = plate, .reach = reach};
    out->edge = tw_arena_array(arena, nodes, sizeof *out->edge);
    out->any = tw_arena_array(arena, nodes, sizeof *out->any);
    if (!out->edge || !out->any)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for distances from the edge");
    status = tw_march_new(plate->grid, 1, &scratch, err);
    if (status == TW_OK)
        status = march(plate, false, scratch, out->edge, err);
    if (status == TW_OK)
        status = march(plate, true, scratch, out->any, err);
    tw_march_free(scratch);
    return status;
}

static bool off_creases(const tw_grid *grid, const double at[2])
{
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        if (fabs(at[0] - crease->across) < CLEAR_OF_CREASE - 1e-9 &&
            fabs(at[1] - crease->up) < CLEAR_OF_CREASE - 1e-9)
            return false;
    }
    return true;
}

static bool may_stand(const tw_card_ground *ground, const double at[2])
{
    const tw_grid *grid = ground->plate->grid;

    return tw_outline_level(tw_form_outline(ground->plate->form), at[0], at[1]) < 0 &&
           tw_grid_sample(grid, ground->any, at[0], at[1]) >= CLEAR_OF_EDGES &&
           tw_grid_sample(grid, ground->edge, at[0], at[1]) <= ground->reach &&
           off_creases(grid, at);
}

/* At most `room` are kept; counting ends there. */
static size_t fill(const tw_card_ground *ground, double step, size_t room, double (*tape)[2])
{
    const tw_outline *outline = tw_form_outline(ground->plate->form);
    size_t count = 0;

    for (double j = ceil(outline->up_min / step); j * step <= outline->up_max; j++)
        for (double i = ceil(outline->across_min / step); i * step <= outline->across_max; i++) {
            const double at[2] = {i * step + 0.0, j * step + 0.0}; /* no −0 */
            if (!may_stand(ground, at))
                continue;
            if (count == room)
                return room + 1;
            memcpy(tape[count++], at, sizeof at);
        }
    return count;
}

tw_status tw_card_places_make(const tw_card_ground *ground, size_t fewest, size_t most,
                              tw_arena *arena, tw_card_places *out, tw_error *err)
{
    /* what a tape in inches shows is no whole number of mm */
    const bool inches = ground->plate->profile->ruler == TW_RULER_IN;
    const double finer[] = {inches ? 25.4 / 4 : 5, inches ? 25.4 / 8 : 2, inches ? 25.4 / 16 : 1};

    assert(fewest <= most);
    out->tape = tw_arena_array(arena, most, sizeof *out->tape);
    out->position = tw_arena_array(arena, most, sizeof *out->position);
    if (!out->tape || !out->position)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for places to gauge");
    out->count = 0;
    for (size_t k = 0; k < 3 && out->count < fewest; k++)
        out->count = fill(ground, finer[k], most, out->tape);
    for (double times = 2; out->count > most; times++)
        out->count = fill(ground, times * finer[0], most, out->tape);
    for (size_t k = 0; k < out->count; k++) {
        tw_face_point face;
        tw_form_at(ground->plate->form, out->tape[k][0], out->tape[k][1], &face);
        memcpy(out->position[k], face.position, sizeof face.position);
    }
    return TW_OK;
}
