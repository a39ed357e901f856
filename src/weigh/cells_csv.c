/*
 * cells_csv.c: the cells and crease pieces that are summed, as CSV, so that anyone can do the sum
 * again with their own program. tests/reference/sum_cells.py is one that does.
 *
 * One row per cell with metal, then one per mitred crease piece; fields that do not apply are left
 * empty. In a crease row the normal is the bisector of the two sides' normals. 17 significant
 * digits give back the very same doubles; the decimal mark is a point in every locale.
 */
#include "weigh_internal.h"

#include <string.h>

enum { BUFFER = 1 << 15, ROW_MAX = 1024 };

typedef tw_status (*write_bytes)(void *context, const char *bytes, size_t size);

typedef struct sheet {
    char bytes[BUFFER];
    size_t used;
    write_bytes write;
    void *context;
} sheet;

static const char header[] =
    "kind,across [mm],up [mm],x [mm],y [mm],z [mm],normal_x,normal_y,normal_z,thickness [mm],"
    "mean_curvature [1/mm],gauss_curvature [1/mm2],area [mm2],cover,length [mm],turn [rad]\n";

static tw_status flush(sheet *out)
{
    const tw_status status =
        out->used > 0 ? out->write(out->context, out->bytes, out->used) : TW_OK;

    out->used = 0;
    return status;
}

static void add_text(sheet *out, const char *text)
{
    const size_t length = strlen(text);

    memcpy(out->bytes + out->used, text, length);
    out->used += length;
}

/* A row of numbers after its kind; `blank` fields stay empty from `blank_at` on. */
static tw_status add_row(sheet *out, const char *kind, const double *value, size_t count,
                         size_t blank_at, size_t blank)
{
    char text[40];

    add_text(out, kind);
    for (size_t k = 0; k <= count; k++) {
        if (k == blank_at)
            for (size_t b = 0; b < blank; b++)
                add_text(out, ",");
        if (k < count) {
            tw_format(text, sizeof text, ",%.17g", value[k]);
            add_text(out, text);
        }
    }
    add_text(out, "\n");
    return out->used + ROW_MAX > BUFFER ? flush(out) : TW_OK;
}

static tw_status add_cell(sheet *out, const tw_grid *grid, const tw_map *map, size_t k)
{
    double tape[2];

    tw_cell_tape(grid, k, tape);
    {
        const double value[] = {tape[0],
                                tape[1],
                                grid->cell_x[k],
                                grid->cell_y[k],
                                grid->cell_z[k],
                                grid->normal_x[k],
                                grid->normal_y[k],
                                grid->normal_z[k],
                                map->cell[k],
                                grid->mean_curvature[k],
                                grid->gauss_curvature[k],
                                grid->area[k],
                                grid->cover[k]};
        return add_row(out, "cell", value, 13, 13, 2);
    }
}

static tw_status add_crease(sheet *out, const tw_grid *grid, const tw_map *map,
                            const tw_crease *crease)
{
    const double value[] = {
        crease->across,      crease->up,          crease->position[0],
        crease->position[1], crease->position[2], crease->outward[0],
        crease->outward[1],  crease->outward[2],  tw_crease_thickness(grid, crease, map->node),
        crease->length,      crease->turn};

    return add_row(out, "crease", value, 11, 9, 4);
}

tw_status tw_cells_write(const tw_grid *grid, const tw_map *map,
                         tw_status (*write)(void *context, const char *bytes, size_t size),
                         void *context, tw_error *err)
{
    const size_t cells = tw_grid_cells(grid);
    tw_arena *arena = tw_arena_new();
    sheet *out = arena ? tw_arena_array(arena, 1, sizeof *out) : NULL;
    tw_status status = TW_OK;

    if (!out) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory to write cells");
    }
    out->write = write;
    out->context = context;
    add_text(out, header);
    for (size_t k = 0; k < cells && status == TW_OK; k++)
        if (grid->area[k] > 0)
            status = add_cell(out, grid, map, k);
    for (size_t k = 0; k < grid->crease_count && status == TW_OK; k++)
        if (tw_crease_mitred(grid, &grid->creases[k]))
            status = add_crease(out, grid, map, &grid->creases[k]);
    if (status == TW_OK)
        status = flush(out);
    tw_arena_free(arena);
    if (status != TW_OK)
        return tw_fail(err, status, "the plate's cells could not be written");
    return TW_OK;
}
