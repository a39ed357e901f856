/*
 * image.c: a map from a picture's levels, bilinear between the middles of its pixels, at nodes and at the
 * cells' sampling points alike. Where one of the four pixels has no metal, the nearest that has stands in
 * for it: a picture's rim is a staircase along the plate's, and may miss it by GAP pixels. What lies farther
 * off is metal that the picture knows nothing of, and an error. Nodes off the metal are corners of cells
 * with metal, or read by nobody: they take what is nearest, within a cell's size.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>

enum { BLOCK_ROWS = 8, REACH_MAX = 256 };
static const double GAP = 2; /* [pixels] */

typedef struct reading {
    const tw_image_map_spec *spec;
    tw_map *map;
    double reach; /* [pixels] that a node off the metal looks */
    /* of each row of cells: face that the picture leaves out, and its farthest cell */
    double *bare;
    double *farthest;
    size_t *worst;
} reading;

static double level_at(const tw_picture_spec *p, const uint16_t *levels, ptrdiff_t i, ptrdiff_t j)
{
    if (i < 0 || j < 0 || i >= (ptrdiff_t)p->width || j >= (ptrdiff_t)p->height)
        return 0;
    return levels[(size_t)j * p->width + (size_t)i];
}

/* Pixels from a point, in pixels from the first one's middle, to the nearest with metal: INFINITY when none
 * is within reach. Ties go to the first in reading order. */
static double nearest(const tw_picture_spec *p, const uint16_t *levels, double x, double y,
                      double reach, double *level)
{
    const ptrdiff_t j0 = (ptrdiff_t)ceil(y - reach), j1 = (ptrdiff_t)floor(y + reach);
    const ptrdiff_t i0 = (ptrdiff_t)ceil(x - reach), i1 = (ptrdiff_t)floor(x + reach);
    double best = INFINITY;

    for (ptrdiff_t j = j0; j <= j1; j++)
        for (ptrdiff_t i = i0; i <= i1; i++) {
            const double away = hypot((double)i - x, (double)j - y);
            if (away >= best || away > reach || level_at(p, levels, i, j) == 0)
                continue;
            best = away;
            *level = level_at(p, levels, i, j);
        }
    return best;
}

/* Thickness at a tape point. @return pixels to the nearest with metal; 0 where all four about it have some.
 * Nothing within reach: INFINITY, and the thickness is left as it is. */
static double sample(const reading *r, double across, double up, double reach, double *thickness)
{
    const tw_picture_spec *p = &r->spec->picture;
    const uint16_t *levels = r->spec->levels;
    const double far = 2 * (double)(p->width + p->height);
    /* in pixels from the first one's middle, kept where whole numbers are exact */
    const double x = fmin(fmax((across - p->left) / p->across_step - 0.5, -far), far);
    const double y = fmin(fmax((p->top - up) / p->up_step - 0.5, -far), far);
    const double i = floor(x), j = floor(y);
    double corner[4], away = 0, level;

    for (int k = 0; k < 4; k++) {
        corner[k] = level_at(p, levels, (ptrdiff_t)i + k % 2, (ptrdiff_t)j + k / 2);
        away = corner[k] > 0 ? away : INFINITY;
    }
    if (away > 0) {
        away = nearest(p, levels, x, y, reach, &level);
        if (isinf(away))
            return away;
        for (int k = 0; k < 4; k++)
            if (corner[k] == 0 &&
                isinf(nearest(p, levels, i + k % 2, j + k / 2, away + 1.5, &corner[k])))
                corner[k] = level; /* cannot be: that far reaches what the point itself found */
    }
    level = (1 - (y - j)) * ((1 - (x - i)) * corner[0] + (x - i) * corner[1]) +
            (y - j) * ((1 - (x - i)) * corner[2] + (x - i) * corner[3]);
    *thickness = p->offset + level * p->level_step;
    return away;
}

static void node_rows(size_t first, size_t last, void *context)
{
    const reading *r = context;
    const tw_grid *grid = r->map->grid;

    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i < grid->nu; i++) {
            const size_t n = j * grid->nu + i;
            /* far off the metal no cell reads it */
            if (grid->level[n] <= 2 * fmax(grid->across_step, grid->up_step))
                sample(r, tw_grid_across(grid, i), tw_grid_up(grid, j), r->reach, &r->map->node[n]);
        }
}

/* Place (x, y), 0…1 each, inside a cell. */
static void read_cell(const reading *r, size_t cell, double x, double y)
{
    const tw_grid *grid = r->map->grid;
    const size_t i = cell % (grid->nu - 1), j = cell / (grid->nu - 1);
    const double across = tw_grid_across(grid, i) + x * grid->across_step;
    const double up = tw_grid_up(grid, j) + y * grid->up_step;
    const double away = sample(r, across, up, r->reach, &r->map->cell[cell]);

    if (away <= GAP + 1e-9)
        return;
    r->bare[j] += grid->area[cell];
    if (away > r->farthest[j] || r->worst[j] == SIZE_MAX) {
        r->farthest[j] = away;
        r->worst[j] = cell;
    }
}

static void cell_rows(size_t first, size_t last, void *context)
{
    const reading *r = context;
    const tw_grid *grid = r->map->grid;
    const size_t columns = grid->nu - 1;
    size_t cut = 0;

    while (cut < grid->cut_count && grid->cuts[cut].cell < first * columns)
        cut++;
    for (size_t cell = first * columns; cell < last * columns; cell++) {
        const bool is_cut = cut < grid->cut_count && grid->cuts[cut].cell == cell;
        if (grid->area[cell] > 0)
            read_cell(r, cell, is_cut ? grid->cuts[cut].across : 0.5,
                      is_cut ? grid->cuts[cut].up : 0.5);
        cut += is_cut;
    }
}

static tw_status tell_bare(const reading *r, const tw_form *form, tw_error *err)
{
    const tw_grid *grid = r->map->grid;
    const size_t columns = grid->nu - 1;
    tw_sum bare = {0, 0};
    size_t row = SIZE_MAX;
    double share;

    for (size_t j = 0; j + 1 < grid->nv; j++) {
        tw_sum_add(&bare, r->bare[j]);
        if (r->worst[j] != SIZE_MAX && (row == SIZE_MAX || r->farthest[j] > r->farthest[row]))
            row = j;
    }
    if (row == SIZE_MAX)
        return TW_OK;
    share = 100 * tw_sum_value(&bare) / grid->face_area;
    tw_fail(err, TW_ERR_SHAPE,
            "the picture %s has no metal at [%.0f mm, %.0f mm], where the plate has: on %.*f %% of "
            "its face",
            r->spec->picture.file,
            tw_grid_across(grid, r->worst[row] % columns) + 0.5 * grid->across_step,
            tw_grid_up(grid, r->worst[row] / columns) + 0.5 * grid->up_step, share < 9.95 ? 1 : 0,
            fmax(share, 0.1));
    tw_error_advise(err, NULL, "are its scale, left and top right? Else fill its levels there");
    if (form)
        tw_profile_place(tw_form_profile(form), r->spec->picture.place, err);
    return TW_ERR_SHAPE;
}

tw_status tw_map_image(const tw_form *form, const tw_grid *grid, const tw_image_map_spec *spec,
                       unsigned threads, tw_map *out, tw_error *err)
{
    const double cell = hypot(grid->across_step, grid->up_step);
    const double pixel = fmin(spec->picture.across_step, spec->picture.up_step);
    tw_map map;
    reading r = {.spec = spec, .map = &map};
    tw_status status = tw_map_make(TW_MAP_IMAGE, grid, &map, err);

    assert(spec->levels);
    if (status != TW_OK)
        return status;
    r.reach = fmin(GAP + 1 + cell / pixel, REACH_MAX);
    r.bare = tw_arena_array(map.arena, grid->nv, sizeof *r.bare);
    r.farthest = tw_arena_array(map.arena, grid->nv, sizeof *r.farthest);
    r.worst = tw_arena_array(map.arena, grid->nv, sizeof *r.worst);
    if (!r.bare || !r.farthest || !r.worst) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for a map of %zu by %zu nodes", grid->nu,
                         grid->nv);
        goto done;
    }
    for (size_t j = 0; j < grid->nv; j++)
        r.worst[j] = SIZE_MAX;
    tw_for_rows(grid->nv, BLOCK_ROWS, threads, node_rows, &r);
    tw_for_rows(grid->nv - 1, BLOCK_ROWS, threads, cell_rows, &r);
    status = tell_bare(&r, form, err);
    if (status != TW_OK)
        goto done;
    tw_map_survey(&map, form);
    *out = map;
    return TW_OK;
done:
    tw_map_release(&map);
    return status;
}
