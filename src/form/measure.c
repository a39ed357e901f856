/*
 * measure.c: what the form measures: sizes in space and by tape, area, least radius. Extremes are taken
 * over the sampling points of a grid, its nodes in metal and the outline's own points.
 */
#include "outline_internal.h"

#include <assert.h>
#include <math.h>

enum { CELLS = 128 };

typedef struct extent {
    double least[3], most[3];
    double curvature; /* largest principal curvature by size [1/mm] */
    double at[2];
} extent;

static void widen(extent *e, double x, double y, double z)
{
    const double at[3] = {x, y, z};

    for (int k = 0; k < 3; k++) {
        e->least[k] = fmin(e->least[k], at[k]);
        e->most[k] = fmax(e->most[k], at[k]);
    }
}

/* Principal curvatures are H ± √(H² − K). */
static void bend(extent *e, double mean, double gauss, double across, double up)
{
    const double size = fabs(mean) + sqrt(fmax(mean * mean - gauss, 0));

    if (size > e->curvature * (1 + 1e-9)) {
        e->curvature = size;
        e->at[0] = across;
        e->at[1] = up;
    }
}

/* At the apex of a cone the radius goes to nothing; two cells round it are left out. */
static bool near_apex(const tw_grid *grid, double across, double up)
{
    return grid->has_apex && hypot(across - grid->apex[0], up - grid->apex[1]) <
                                 2 * fmax(grid->across_step, grid->up_step);
}

static void over_grid(const tw_grid *grid, extent *e)
{
    const size_t columns = grid->nu - 1;
    size_t cut = 0;

    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        if (grid->level[n] <= 0)
            widen(e, grid->x[n], grid->y[n], grid->z[n]);
    for (size_t n = 0; n < tw_grid_cells(grid); n++) {
        double place[2] = {0.5, 0.5}, across, up;
        if (!(grid->cover[n] > 0))
            continue;
        while (cut < grid->cut_count && grid->cuts[cut].cell < n)
            cut++;
        if (cut < grid->cut_count && grid->cuts[cut].cell == n) {
            place[0] = grid->cuts[cut].across;
            place[1] = grid->cuts[cut].up;
        }
        across = grid->across_min + ((double)(n % columns) + place[0]) * grid->across_step;
        up = grid->up_min + ((double)(n / columns) + place[1]) * grid->up_step;
        widen(e, grid->cell_x[n], grid->cell_y[n], grid->cell_z[n]);
        if (!near_apex(grid, across, up))
            bend(e, grid->mean_curvature[n], grid->gauss_curvature[n], across, up);
    }
}

static void over_outline(const tw_form *form, const tw_grid *grid, extent *e)
{
    for (size_t k = 0; k < form->outline.edge_count; k++)
        for (size_t n = 0; n < form->outline.edges[k].count; n++) {
            const double *at = form->outline.edges[k].points[n];
            tw_face_point face;
            tw_surface_at(form->surface, at[0], at[1], at[0] < 0 ? -1 : 1, &face);
            widen(e, face.position[0], face.position[1], face.position[2]);
            if (!near_apex(grid, at[0], at[1]))
                bend(e, face.mean_curvature, face.gauss_curvature, at[0], at[1]);
        }
}

tw_status tw_form_measure(const tw_form *form, tw_form_sizes *out, tw_error *err)
{
    extent e = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}, 0, {0, 0}};
    const tw_outline *outline = &form->outline;
    tw_grid *grid = NULL;
    const tw_status status = tw_grid_build(form, CELLS, 0, &grid, err);

    assert(out);
    if (status != TW_OK)
        return status;
    over_grid(grid, &e);
    over_outline(form, grid, &e);
    *out = (tw_form_sizes){
        .width = e.most[0] - e.least[0],
        .height = e.most[1] - e.least[1],
        .depth = e.most[2] - e.least[2],
        .tape_across = outline->across_max - outline->across_min,
        .tape_up = outline->up_max - outline->up_min,
        .area = grid->face_area,
        /* under 1e-12/mm is rounding on a flat face */
        .least_radius = e.curvature > 1e-12 ? 1 / e.curvature : INFINITY,
        .least_radius_at = {e.at[0], e.at[1]},
        .depth_min = e.least[2],
    };
    tw_grid_free(grid);
    return TW_OK;
}
