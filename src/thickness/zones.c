/*
 * zones.c: which zone of the report each cell's metal belongs to.
 *
 * The zones follow the order in which the taper itself decides: strike zones and what is held round
 * them, thickest first; then what is held along edges, thickest first; then bands of the held law;
 * the field is the rest. zones_paint.c shares the cells out.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* One zone before it is painted. */
typedef struct zone {
    tw_zone_level level;
    double thickness;
    int rank; /* 0 strike zone and its hold, 1 edge hold, 2 band */
} zone;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the zones of a plate");
}

/* ---- the list ------------------------------------------------------------------------------ */

static tw_status make(const tw_grid *grid, size_t count, tw_zones *out, tw_error *err)
{
    tw_zones zones = {.count = count, .arena = tw_arena_new()};
    const size_t cells = tw_grid_cells(grid);
    bool whole = zones.arena != NULL;

    if (whole) {
        zones.names = tw_arena_array(zones.arena, count, sizeof *zones.names);
        zones.first = tw_arena_array(zones.arena, cells, sizeof *zones.first);
        zones.second = tw_arena_array(zones.arena, cells, sizeof *zones.second);
        zones.share = tw_arena_array(zones.arena, cells, sizeof *zones.share);
        whole = zones.names && zones.first && zones.second && zones.share;
    }
    if (!whole) {
        tw_arena_free(zones.arena);
        return no_memory(err);
    }
    zones.names[count - 1] = "field";
    *out = zones;
    return TW_OK;
}

static const char *joined(tw_arena *arena, const char *word, const char *name)
{
    const size_t size = strlen(word) + strlen(name) + 2;
    char *text = tw_arena_array(arena, size, 1);

    if (text)
        snprintf(text, size, "%s %s", word, name);
    return text;
}

/* Distance from one entry of the edges. Its source's own field serves unless the source has other
 * entries too; then it is marched by itself. */
static tw_status entry_field(const tw_taper *taper, size_t entry, double reach, tw_march **march,
                             tw_arena *scratch, const double **field, tw_error *err)
{
    const tw_edge_set *set = &taper->sets[entry];
    double *distance;
    tw_status status = TW_OK;
    bool alone = true;

    for (size_t k = 0; k < taper->spec->edge_count; k++)
        if (k != entry && taper->sets[k].line_count > 0 && taper->sets[k].source == set->source)
            alone = false;
    if (alone) {
        *field = taper->blend.edges[set->source].distance;
        return TW_OK;
    }
    distance = tw_arena_array(scratch, taper->grid->nu * taper->grid->nv, sizeof *distance);
    if (!distance)
        return no_memory(err);
    if (!*march)
        status = tw_march_new(taper->grid, taper->threads, march, err);
    if (status == TW_OK) {
        /* some cells more than the zone reaches, so that its border is between known nodes */
        tw_march_within(*march, reach + 8 * fmax(taper->grid->across_step, taper->grid->up_step));
        status = tw_taper_march_lines(*march, taper->form, taper->grid, set->lines, set->line_count,
                                      distance, err);
    }
    *field = distance;
    return status;
}

/* Puts a zone where the order wants it; equals stay as they come. */
static void insert(zone *list, size_t *count, zone item)
{
    size_t at = (*count)++;

    while (at > 0 && (list[at - 1].rank > item.rank || (list[at - 1].rank == item.rank &&
                                                        list[at - 1].thickness < item.thickness))) {
        list[at] = list[at - 1];
        at--;
    }
    list[at] = item;
}

static bool edge_held(const tw_taper *taper, size_t entry)
{
    return taper->sets[entry].line_count > 0 && taper->spec->edges[entry].hold > 0;
}

static bool edge_banded(const tw_taper *taper, size_t entry)
{
    return taper->sets[entry].line_count > 0 && taper->spec->law == TW_LAW_HELD;
}

static size_t count_zones(const tw_taper *taper)
{
    const tw_forged_spec *spec = taper->spec;
    size_t count = spec->strike_count + 1;

    for (size_t k = 0; k < spec->strike_count; k++)
        count += spec->strikes[k].hold > 0;
    for (size_t k = 0; k < spec->edge_count; k++)
        count += (size_t)edge_held(taper, k) + (size_t)edge_banded(taper, k);
    return count;
}

/* Fills names in the order of the report (strike zones, holds, bands) and the list in the order of
 * painting. */
static tw_status list_zones(const tw_taper *taper, tw_zones *zones, zone *list, size_t *listed,
                            tw_arena *scratch, tw_error *err)
{
    const tw_forged_spec *spec = taper->spec;
    tw_march *march = NULL;
    tw_status status = TW_OK;
    size_t name = 0;

    for (size_t k = 0; k < spec->strike_count; k++) {
        const tw_strike *strike = &spec->strikes[k];
        zones->names[name] = tw_arena_text(zones->arena, strike->name);
        insert(list, listed, (zone){{taper->strikes[k], 0, name++}, strike->thickness, 0});
    }
    for (size_t k = 0; k < spec->strike_count; k++) {
        const tw_strike *strike = &spec->strikes[k];
        if (!(strike->hold > 0))
            continue;
        zones->names[name] = joined(zones->arena, "hold", strike->name);
        insert(list, listed,
               (zone){{taper->strikes[k], strike->hold, name++}, strike->thickness, 0});
    }
    for (int rank = 1; rank <= 2; rank++)
        for (size_t k = 0; status == TW_OK && k < spec->edge_count; k++) {
            const tw_edge_thickness *edge = &spec->edges[k];
            const double reach = rank == 1 ? edge->hold : spec->band;
            const double *field = NULL;
            if (!(rank == 1 ? edge_held(taper, k) : edge_banded(taper, k)))
                continue;
            status = entry_field(taper, k, reach, &march, scratch, &field, err);
            zones->names[name] = joined(zones->arena, rank == 1 ? "hold" : "band", edge->edge);
            insert(list, listed, (zone){{field, reach, name++}, edge->thickness, rank});
        }
    tw_march_free(march);
    for (size_t k = 0; status == TW_OK && k < zones->count; k++)
        if (!zones->names[k])
            status = no_memory(err);
    return status;
}

tw_status tw_zones_build(const tw_taper *taper, tw_zones *out, tw_error *err)
{
    const size_t count = count_zones(taper);
    tw_arena *scratch = NULL;
    tw_zones zones = {0};
    zone *list = NULL;
    tw_zone_level *levels = NULL;
    size_t listed = 0;
    tw_status status;

    if (count > UINT16_MAX)
        return tw_fail(err, TW_ERR_LIMIT, "%zu zones are more than a report can hold", count);
    status = make(taper->grid, count, &zones, err);
    if (status != TW_OK)
        return status;
    scratch = tw_arena_new();
    if (scratch) {
        list = tw_arena_array(scratch, count, sizeof *list);
        levels = tw_arena_array(scratch, count, sizeof *levels);
    }
    if (!list || !levels) {
        status = no_memory(err);
        goto done;
    }
    status = list_zones(taper, &zones, list, &listed, scratch, err);
    if (status != TW_OK)
        goto done;
    for (size_t k = 0; k < listed; k++)
        levels[k] = list[k].level;
    if (!tw_zones_paint(taper->grid, levels, listed, taper->threads, &zones)) {
        status = no_memory(err);
        goto done;
    }
    *out = zones;
    zones.arena = NULL;
done:
    tw_arena_free(scratch);
    tw_zones_release(&zones);
    return status;
}

tw_status tw_zones_plain(const tw_grid *grid, tw_zones *out, tw_error *err)
{
    const tw_status status = make(grid, 1, out, err);

    if (status == TW_OK)
        for (size_t c = 0; c < tw_grid_cells(grid); c++)
            out->share[c] = 1;
    return status;
}

void tw_zones_release(tw_zones *zones)
{
    if (!zones)
        return;
    tw_arena_free(zones->arena);
    memset(zones, 0, sizeof *zones);
}
