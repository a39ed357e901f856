/*
 * taper_with.c: a taper of other numbers over distances that are marched already. A distance hangs on where
 * a zone or an edge lies, not on how thick it is or how far it is held. Zones are marched one by one and
 * may join anew; edges that join, or part, have to be marched again.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>

/* Edges of another spec are one source exactly where they were; takes their numbers over. */
static bool edges_follow(const tw_taper *base, tw_taper *taper, tw_source *edges)
{
    const tw_edge_thickness *now = taper->spec->edges;

    for (size_t s = 0; s < taper->spec->edge_count; s++)
        for (size_t k = 0; k < s; k++) {
            const bool one = base->sets[s].source == base->sets[k].source;
            const bool alike = now[s].thickness == now[k].thickness && now[s].hold == now[k].hold;
            if (base->sets[s].line_count && base->sets[k].line_count && one != alike)
                return false;
        }
    for (size_t s = 0; s < taper->spec->edge_count; s++)
        if (base->sets[s].line_count)
            edges[base->sets[s].source] =
                (tw_source){.thickness = now[s].thickness,
                            .hold = now[s].hold,
                            .distance = base->blend.edges[base->sets[s].source].distance};
    return true;
}

tw_status tw_taper_with(const tw_taper *base, const tw_forged_spec *spec, tw_taper **out,
                        tw_error *err)
{
    tw_taper *taper;
    tw_source *edges;
    tw_arena *arena;
    tw_status status;

    assert(base && spec && out && spec->strike_count == base->spec->strike_count &&
           spec->edge_count == base->spec->edge_count);
    *out = NULL;
    status = tw_taper_check(base->form, spec, err);
    if (status != TW_OK)
        return status;
    arena = tw_arena_new();
    taper = arena ? tw_arena_array(arena, 1, sizeof *taper) : NULL;
    edges = taper ? tw_arena_array(arena, base->blend.edge_count, sizeof *edges) : NULL;
    if (!edges) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a forged taper");
    }
    *taper = *base;
    taper->spec = spec;
    taper->arena = arena;
    taper->blend = (tw_blend){
        .edge_count = base->blend.edge_count, .edges = edges, .law = spec->law, .band = spec->band};
    if (!edges_follow(base, taper, edges)) {
        tw_taper_free(taper);
        return TW_OK;
    }
    status = tw_taper_gather_zones(taper, err);
    if (status == TW_OK)
        *out = taper;
    else
        tw_taper_free(taper);
    return status;
}

const double *tw_taper_from_strike(const tw_taper *taper, const tw_grid *grid, size_t strike)
{
    assert(strike < taper->spec->strike_count);
    return taper->grid == grid ? taper->strikes[strike] : NULL;
}

const double *tw_taper_from_edge(const tw_taper *taper, const tw_grid *grid, size_t edge)
{
    assert(edge < taper->spec->edge_count);
    if (taper->grid != grid || taper->sets[edge].line_count == 0)
        return NULL;
    for (size_t s = 0; s < taper->spec->edge_count; s++)
        if (s != edge && taper->sets[s].line_count &&
            taper->sets[s].source == taper->sets[edge].source)
            return NULL;
    return taper->blend.edges[taper->sets[edge].source].distance;
}
