/*
 * mesh.c: a plate's metal in triangles, from a wanted number of nodes.
 */
#include "blank_internal.h"

#include <math.h>

/* Offsets of all nodes; NULL without any. */
static tw_status take_offsets(tw_mesh *mesh, tw_offset_at at, void *context, double **out,
                              tw_error *err)
{
    double *offset = tw_arena_array(mesh->arena, mesh->node_count, sizeof *offset);

    if (!offset)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a mesh");
    for (size_t n = 0; n < mesh->node_count; n++) {
        offset[n] = at(mesh->tape[n], context);
        if (!isfinite(offset[n]))
            return tw_fail(err, TW_ERR_DOMAIN, "no thickness above 0 at [%.4g, %.4g] by tape",
                           mesh->tape[n][0], mesh->tape[n][1]);
    }
    *out = offset;
    return TW_OK;
}

tw_status tw_mesh_build(const tw_form *form, size_t nodes, unsigned threads, tw_mesh **out,
                        tw_error *err)
{
    return tw_mesh_build_off(form, nodes, NULL, NULL, threads, out, err);
}

tw_status tw_mesh_build_off(const tw_form *form, size_t nodes, tw_offset_at at, void *context,
                            unsigned threads, tw_mesh **out, tw_error *err)
{
    double *offset = NULL;
    const double chart = tw_lattice_chart_area(tw_form_outline(form));
    tw_arena *arena = NULL;
    tw_mesh *mesh;
    tw_status status;

    if (nodes < TW_MESH_NODES_MIN || nodes > TW_MESH_NODES_MAX) {
        status = tw_fail(err, TW_ERR_LIMIT, "%zu nodes are out of range", nodes);
        tw_error_advise(err, NULL, "take %d to %d", TW_MESH_NODES_MIN, TW_MESH_NODES_MAX);
        return status;
    }
    arena = tw_arena_new();
    mesh = arena ? tw_arena_array(arena, 1, sizeof *mesh) : NULL;
    if (!mesh) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a mesh");
    }
    mesh->arena = arena;
    /* an equilateral lattice has one node per spacing² · √(3/4) */
    status = tw_lattice_cut(form, sqrt(chart / (double)nodes / sqrt(0.75)), mesh, err);
    if (status == TW_OK && at)
        status = take_offsets(mesh, at, context, &offset, err);
    if (status == TW_OK)
        status = tw_metric_fill(form, chart, offset, threads, mesh, err);
    if (status != TW_OK) {
        tw_arena_free(arena);
        return status;
    }
    *out = mesh;
    return TW_OK;
}

void tw_mesh_free(tw_mesh *mesh)
{
    if (mesh)
        tw_arena_free(mesh->arena);
}

bool tw_mesh_overturned(const tw_mesh *mesh, const double (*at)[2])
{
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        double J[4];
        tw_triangle_gradient(mesh->metric->hat[t], at, mesh->triangle[t], J);
        if (!(J[0] * J[3] - J[1] * J[2] > 0))
            return true;
    }
    return false;
}
