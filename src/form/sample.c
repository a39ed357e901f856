/*
 * sample.c: a form sampled on a grid regular in tape coordinates. Cover comes first; then the face is
 * evaluated row by row on all threads, each row writing its own part of the arrays, so that bits do not
 * depend on the number of threads. The levels of all nodes are one more share of that work: they are
 * found in sweeps over the whole grid, on one thread, and no row asks for them.
 */
#include "outline_internal.h"

#include <assert.h>
#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>

enum { ROWS_PER_BLOCK = 8 };

typedef struct sampler {
    const tw_form *form;
    tw_grid *grid;
    size_t centre;     /* column of nodes at across = 0; SIZE_MAX when there is none */
    size_t *first_cut; /* nv: index of the first cut cell of each row of cells, and the end */
    const tw_segment *segments; /* of the outline */
    size_t segment_count;
    atomic_bool failed;
    tw_status levels; /* how they went, and why */
    tw_error levels_error;
} sampler;

/* Cells left and right of across = 0, so that borders fall on the outline's extremes when it is
 * symmetric, and overhang one side by less than a cell otherwise. */
static void lay_out(const tw_outline *outline, size_t cells, size_t *columns, size_t *rows,
                    tw_grid *grid)
{
    const double left = -outline->across_min, right = outline->across_max;
    const double high = outline->up_max - outline->up_min;
    const double step = fmax(left + right, high) / (double)cells;
    const double tiny = 1e-9 * step;

    if (left > tiny && right > tiny) {
        const double a = fmax(nearbyint(left / step), 1), b = fmax(nearbyint(right / step), 1);
        grid->across_step = fmax(left / a, right / b);
        grid->across_min = -a * grid->across_step;
        *columns = (size_t)(a + b);
    } else {
        const double count = fmax(nearbyint((left + right) / step), 1);
        grid->across_step = (left + right) / count;
        grid->across_min = fabs(left) <= tiny ? 0 : -left;
        if (fabs(right) <= tiny)
            grid->across_min = -count * grid->across_step;
        *columns = (size_t)count;
    }
    *rows = (size_t)fmax(nearbyint(high / step), 1);
    grid->up_step = high / (double)*rows;
    grid->up_min = outline->up_min;
}

static size_t centre_column(const tw_grid *grid)
{
    const double index = -grid->across_min / grid->across_step;

    if (index < -1e-9 || index > (double)(grid->nu - 1) + 1e-9 ||
        fabs(index - nearbyint(index)) > 1e-9)
        return SIZE_MAX;
    return (size_t)nearbyint(index);
}

static void keep_node(tw_grid *grid, size_t n, const tw_face_point *face)
{
    grid->x[n] = face->position[0];
    grid->y[n] = face->position[1];
    grid->z[n] = face->position[2];
    grid->metric_aa[n] = tw_dot(face->across_step, face->across_step);
    grid->metric_au[n] = tw_dot(face->across_step, face->up_step);
    grid->metric_uu[n] = tw_dot(face->up_step, face->up_step);
}

static void keep_cell(tw_grid *grid, size_t n, const tw_face_point *face)
{
    double cross[3];

    tw_cross(face->across_step, face->up_step, cross);
    grid->cell_x[n] = face->position[0];
    grid->cell_y[n] = face->position[1];
    grid->cell_z[n] = face->position[2];
    grid->normal_x[n] = face->normal[0];
    grid->normal_y[n] = face->normal[1];
    grid->normal_z[n] = face->normal[2];
    grid->mean_curvature[n] = face->mean_curvature;
    grid->gauss_curvature[n] = face->gauss_curvature;
    grid->area[n] = grid->cover[n] * grid->across_step * grid->up_step * sqrt(tw_dot(cross, cross));
}

/* A crease has two faces at its nodes: distances run on the mean of both metrics. */
static void keep_crease_node(const sampler *s, size_t n, double up)
{
    tw_face_point face[2];

    tw_surface_at(s->form->surface, 0, up, -1, &face[0]);
    tw_surface_at(s->form->surface, 0, up, 1, &face[1]);
    keep_node(s->grid, n, &face[1]);
    s->grid->metric_aa[n] =
        0.5 * (s->grid->metric_aa[n] + tw_dot(face[0].across_step, face[0].across_step));
    s->grid->metric_au[n] =
        0.5 * (s->grid->metric_au[n] + tw_dot(face[0].across_step, face[0].up_step));
    s->grid->metric_uu[n] =
        0.5 * (s->grid->metric_uu[n] + tw_dot(face[0].up_step, face[0].up_step));
}

typedef struct scratch {
    double *across;
    tw_face_point *faces;
    void *surface;
} scratch;

static void sample_nodes(const sampler *s, size_t j, const scratch *work)
{
    tw_grid *grid = s->grid;
    const double up = tw_grid_up(grid, j);

    for (size_t i = 0; i < grid->nu; i++)
        work->across[i] = i == s->centre ? 0 : tw_grid_across(grid, i);
    tw_surface_row(s->form->surface, up, grid->nu, work->across, work->surface, work->faces);
    for (size_t i = 0; i < grid->nu; i++)
        keep_node(grid, j * grid->nu + i, &work->faces[i]);
    if (s->centre != SIZE_MAX && tw_surface_has_crease(s->form->surface))
        keep_crease_node(s, j * grid->nu + s->centre, up);
}

/* Cells from the first to the last with metal; those outside keep zeroes. Cut cells are evaluated
 * once more at the centroid of their metal. */
static void sample_cells(const sampler *s, size_t j, const scratch *work)
{
    tw_grid *grid = s->grid;
    const size_t columns = grid->nu - 1, row = j * columns;
    size_t first = 0, end = columns;

    while (first < columns && grid->cover[row + first] == 0)
        first++;
    while (end > first && grid->cover[row + end - 1] == 0)
        end--;
    if (first == end)
        return;
    for (size_t i = first; i < end; i++)
        work->across[i - first] = grid->across_min + ((double)i + 0.5) * grid->across_step;
    tw_surface_row(s->form->surface, grid->up_min + ((double)j + 0.5) * grid->up_step, end - first,
                   work->across, work->surface, work->faces);
    for (size_t i = first; i < end; i++)
        keep_cell(grid, row + i, &work->faces[i - first]);
    for (size_t k = s->first_cut[j]; k < s->first_cut[j + 1]; k++) {
        const tw_cut_cell *cut = &grid->cuts[k];
        const size_t i = cut->cell - row;
        const double across = grid->across_min + ((double)i + cut->across) * grid->across_step;
        const int side = s->centre != SIZE_MAX ? (i < s->centre ? -1 : 1) : across < 0 ? -1 : 1;
        tw_face_point face;
        tw_surface_at(s->form->surface, across,
                      grid->up_min + ((double)j + cut->up) * grid->up_step, side, &face);
        keep_cell(grid, cut->cell, &face);
    }
}

static void sample_rows(sampler *s, size_t first, size_t last)
{
    const size_t room = tw_surface_scratch(s->form->surface);
    const scratch work = {malloc(s->grid->nu * sizeof *work.across),
                          malloc(s->grid->nu * sizeof *work.faces), malloc(room ? room : 1)};

    if (work.across && work.faces && work.surface) {
        for (size_t j = first; j < last; j++) {
            sample_nodes(s, j, &work);
            if (j + 1 < s->grid->nv)
                sample_cells(s, j, &work);
        }
    } else {
        atomic_store(&s->failed, true);
    }
    free(work.surface);
    free(work.faces);
    free(work.across);
}

/* Share 0 is the levels, each other one a block of rows. */
static void take_share(size_t first, size_t last, void *context)
{
    sampler *s = context;

    for (size_t k = first; k < last; k++) {
        const size_t row = (k - 1) * ROWS_PER_BLOCK, end = row + ROWS_PER_BLOCK;
        if (k == 0)
            s->levels = tw_outline_levels(s->segments, s->segment_count, s->grid, &s->levels_error);
        else
            sample_rows(s, row, end < s->grid->nv ? end : s->grid->nv);
    }
}

/* ---- creases ---------------------------------------------------------------------------- */

/* The piece of crease between nodes j and j+1, of which `low` … `high` is in metal. */
static void keep_crease(const sampler *s, size_t j, double low, double high)
{
    tw_grid *grid = s->grid;
    const size_t cell = j * (grid->nu - 1) + s->centre;
    tw_crease *crease = &grid->creases[grid->crease_count];
    tw_face_point left, right;
    double turn[3], size = 0;

    crease->up = 0.5 * (low + high);
    tw_surface_at(s->form->surface, 0, crease->up, -1, &left);
    tw_surface_at(s->form->surface, 0, crease->up, 1, &right);
    /* normals lean apart on a ridge: left to right then turns about +up */
    tw_cross(left.normal, right.normal, turn);
    crease->turn = atan2(sqrt(tw_dot(turn, turn)), tw_dot(left.normal, right.normal));
    if (tw_dot(turn, right.up_step) < 0)
        crease->turn = -crease->turn;
    for (int k = 0; k < 3; k++) {
        crease->outward[k] = left.normal[k] + right.normal[k];
        size += crease->outward[k] * crease->outward[k];
        crease->position[k] = right.position[k];
    }
    for (int k = 0; k < 3; k++)
        crease->outward[k] /= sqrt(size);
    crease->length = (high - low) * sqrt(tw_dot(right.up_step, right.up_step));
    crease->left_cell = cell - 1;
    crease->right_cell = cell;
    crease->node = j * grid->nu + s->centre;
    grid->crease_count++;
}

/* Where the centre line lies in metal. Where an edge runs along it metal has one side only and is
 * cut off square: no crease there. */
static tw_status find_creases(const sampler *s, tw_error *err)
{
    tw_grid *grid = s->grid;
    const size_t count = s->segment_count;
    double *ups = malloc((count ? count : 1) * sizeof *ups);
    size_t found = ups ? tw_segments_crossings(s->segments, count, 0, ups) : 0;

    grid->creases = tw_arena_array(grid->arena, grid->nv + found, sizeof *grid->creases);
    if (!ups || !grid->creases) {
        free(ups);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu pieces of crease", grid->nv);
    }
    for (size_t k = 0; k + 1 < found; k += 2)
        for (size_t j = 0; j + 1 < grid->nv; j++) {
            const size_t cell = j * (grid->nu - 1) + s->centre;
            const double low = fmax(ups[k], tw_grid_up(grid, j));
            const double high = fmin(ups[k + 1], tw_grid_up(grid, j + 1));
            if (high - low > 1e-9 * grid->up_step && grid->cover[cell] > 0 &&
                grid->cover[cell - 1] > 0)
                keep_crease(s, j, low, high);
        }
    free(ups);
    return TW_OK;
}

/* ---- the whole -------------------------------------------------------------------------- */

static tw_status count_cuts(sampler *s, tw_error *err)
{
    const tw_grid *grid = s->grid;
    size_t k = 0;

    s->first_cut = malloc((grid->nv + 1) * sizeof *s->first_cut);
    if (!s->first_cut)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for %zu rows", grid->nv);
    for (size_t j = 0; j <= grid->nv; j++) {
        while (k < grid->cut_count && grid->cuts[k].cell < j * (grid->nu - 1))
            k++;
        s->first_cut[j] = k;
    }
    return TW_OK;
}

static tw_status fill(sampler *s, unsigned threads, tw_error *err)
{
    tw_grid *grid = s->grid;
    const size_t shares = 1 + (grid->nv + ROWS_PER_BLOCK - 1) / ROWS_PER_BLOCK;
    tw_sum area = {0, 0};
    tw_status status = tw_outline_cover(s->segments, s->segment_count, grid, err);

    if (status == TW_OK)
        status = count_cuts(s, err);
    if (status != TW_OK)
        return status;
    tw_for_rows(shares, 1, threads, take_share, s);
    if (s->levels != TW_OK) {
        if (err)
            *err = s->levels_error;
        return s->levels;
    }
    if (atomic_load(&s->failed))
        return tw_fail(err, TW_ERR_MEMORY, "no memory for rows of %zu nodes", grid->nu);
    for (size_t n = 0; n < tw_grid_cells(grid); n++)
        tw_sum_add(&area, grid->area[n]);
    grid->face_area = tw_sum_value(&area);
    grid->has_apex = tw_surface_has_apex(s->form->surface);
    if (tw_surface_has_crease(s->form->surface) && s->centre != SIZE_MAX && s->centre > 0 &&
        s->centre + 1 < grid->nu)
        status = find_creases(s, err);
    return status;
}

tw_status tw_grid_build(const tw_form *form, size_t cells, unsigned threads, tw_grid **out,
                        tw_error *err)
{
    const tw_outline *outline = &form->outline;
    tw_grid plan = {0}, *grid = NULL;
    tw_segment *segments = NULL;
    sampler s = {.form = form};
    size_t columns = 0, rows = 0;
    tw_status status;

    assert(out);
    if (cells < TW_GRID_MIN || cells > TW_GRID_MAX)
        return tw_fail(err, TW_ERR_DOMAIN, "a grid of %zu cells; between %d and %d are possible",
                       cells, TW_GRID_MIN, TW_GRID_MAX);
    lay_out(outline, cells, &columns, &rows, &plan);
    status = tw_grid_blank(columns + 1, rows + 1, 0, 0, &grid, err);
    if (status != TW_OK)
        return status;
    segments = malloc(tw_outline_segment_room(outline) * sizeof *segments);
    if (!segments) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the outline's pieces");
        goto done;
    }
    s.segments = segments;
    s.segment_count = tw_outline_segments(outline, segments);
    grid->across_min = plan.across_min;
    grid->across_step = plan.across_step;
    grid->up_min = plan.up_min;
    grid->up_step = plan.up_step;
    s.grid = grid;
    s.centre = centre_column(grid);
    atomic_init(&s.failed, false);
    status = fill(&s, threads, err);
    if (status == TW_OK) {
        *out = grid;
        grid = NULL;
    }
done:
    free(s.first_cut);
    free(segments);
    tw_grid_free(grid);
    return status;
}
