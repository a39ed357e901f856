/*
 * zones.c: which zone of the report each cell's metal belongs to.
 *
 * The zones follow the order in which the taper itself decides: strike zones and what is held round
 * them, thickest first; then what is held along edges, thickest first; then bands of the held law;
 * the field is the rest. Each zone is where a level is below zero, so its own part of a cell is
 * what the union of it and all before it covers, less what the union before covered; the parts of
 * a cell sum to 1 by construction. A cell keeps its two largest parts.
 */
#include "taperwright/thickness.h"

#include "thickness_internal.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* One zone before it is painted. Its level is field − reach. */
typedef struct zone {
    const double *field;
    double reach;
    double thickness;
    int rank;    /* 0 strike zone and its hold, 1 edge hold, 2 band */
    size_t name; /* its index in the list of names */
} zone;

typedef struct painting {
    const tw_grid *grid;
    tw_zones *zones;
    double *united;        /* nu·nv: level of the union of the zones painted so far */
    double *share, *taken; /* per cell: covered by the union now, and before the last zone */
    float *second_share;   /* per cell: part of the metal in `second` */
} painting;

/* Far off, where a field is INFINITY, a level must stay finite for the crossing to be reckoned. */
static const double FAR_OFF = 1e9;

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for the zones of a plate");
}

/* ---- cells that the outline crosses -------------------------------------------------------- */

typedef struct corner {
    double at[2], outline, zone;
} corner;
typedef struct ring {
    size_t count;
    corner corners[12];
} ring;

/* The part of a ring where one of its levels is below zero. */
static ring below(const ring *whole, bool outline)
{
    ring part = {0};

    for (size_t k = 0; k < whole->count; k++) {
        const corner *p = &whole->corners[k], *q = &whole->corners[(k + 1) % whole->count];
        const double here = outline ? p->outline : p->zone, next = outline ? q->outline : q->zone;
        if (here < 0)
            part.corners[part.count++] = *p;
        if ((here < 0) != (next < 0)) {
            const double f = here / (here - next);
            part.corners[part.count++] = (corner){
                {p->at[0] + f * (q->at[0] - p->at[0]), p->at[1] + f * (q->at[1] - p->at[1])},
                p->outline + f * (q->outline - p->outline),
                p->zone + f * (q->zone - p->zone)};
        }
    }
    return part;
}

static double ring_area(const ring *part)
{
    double twice = 0;

    for (size_t k = 0; k < part->count; k++) {
        const double *p = part->corners[k].at, *q = part->corners[(k + 1) % part->count].at;
        twice += p[0] * q[1] - q[0] * p[1];
    }
    return 0.5 * twice;
}

/* Share of a cut cell's metal where the union's level is below zero. */
static double metal_share(const tw_grid *grid, const double *united, size_t low)
{
    const size_t at[4] = {low, low + 1, low + grid->nu + 1, low + grid->nu};
    static const double place[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    ring cell = {.count = 4}, metal, part;
    double whole;

    for (size_t k = 0; k < 4; k++)
        cell.corners[k] = (corner){{place[k][0], place[k][1]}, grid->level[at[k]], united[at[k]]};
    metal = below(&cell, true);
    whole = ring_area(&metal);
    if (!(whole > 0)) /* less metal than the nodes can tell: the whole square stands for it */
        metal = cell, whole = 1;
    part = below(&metal, false);
    return fmin(fmax(ring_area(&part) / whole, 0), 1);
}

/* ---- painting ------------------------------------------------------------------------------ */

/* Keep the two largest parts of a cell. */
static void add_part(painting *p, size_t cell, size_t name, double part)
{
    tw_zones *zones = p->zones;
    const float size = (float)part;

    if (size > zones->share[cell]) {
        zones->second[cell] = zones->first[cell];
        p->second_share[cell] = zones->share[cell];
        zones->first[cell] = (uint16_t)name;
        zones->share[cell] = size;
    } else if (size > p->second_share[cell]) {
        zones->second[cell] = (uint16_t)name;
        p->second_share[cell] = size;
    }
}

static void paint(painting *p, const zone *item)
{
    const tw_grid *grid = p->grid;
    double *before = p->taken;

    for (size_t n = 0; n < grid->nu * grid->nv; n++) {
        const double level = item->field[n] - item->reach;
        p->united[n] = level < p->united[n] ? level : p->united[n];
    }
    p->taken = p->share;
    p->share = before;
    tw_grid_level_share(grid, p->united, p->share);
    for (size_t c = 0; c < tw_grid_cells(grid); c++) {
        if (grid->cover[c] > 0 && grid->cover[c] < 1 && p->share[c] > 0 && p->share[c] < 1)
            p->share[c] =
                metal_share(grid, p->united, c / (grid->nu - 1) * grid->nu + c % (grid->nu - 1));
        if (p->share[c] > p->taken[c])
            add_part(p, c, item->name, p->share[c] - p->taken[c]);
    }
}

/* The field takes what is left; then parts become the share of `first`, which is never empty. */
static void finish(painting *p)
{
    tw_zones *zones = p->zones;

    for (size_t c = 0; c < tw_grid_cells(p->grid); c++) {
        if (p->share[c] < 1)
            add_part(p, c, zones->count - 1, 1 - p->share[c]);
        if (p->second_share[c] > 0) {
            zones->share[c] /= zones->share[c] + p->second_share[c];
        } else {
            zones->second[c] = zones->first[c];
            zones->share[c] = 1;
        }
    }
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
        insert(list, listed, (zone){taper->strikes[k], 0, strike->thickness, 0, name++});
    }
    for (size_t k = 0; k < spec->strike_count; k++) {
        const tw_strike *strike = &spec->strikes[k];
        if (!(strike->hold > 0))
            continue;
        zones->names[name] = joined(zones->arena, "hold", strike->name);
        insert(list, listed, (zone){taper->strikes[k], strike->hold, strike->thickness, 0, name++});
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
            insert(list, listed, (zone){field, reach, edge->thickness, rank, name++});
        }
    tw_march_free(march);
    for (size_t k = 0; status == TW_OK && k < zones->count; k++)
        if (!zones->names[k])
            status = no_memory(err);
    return status;
}

tw_status tw_zones_build(const tw_taper *taper, tw_zones *out, tw_error *err)
{
    const tw_grid *grid = taper->grid;
    const size_t cells = tw_grid_cells(grid), nodes = grid->nu * grid->nv;
    const size_t count = count_zones(taper);
    tw_arena *scratch = NULL;
    tw_zones zones = {0};
    painting p = {.grid = grid, .zones = &zones};
    zone *list = NULL;
    size_t listed = 0;
    tw_status status;

    if (count > UINT16_MAX)
        return tw_fail(err, TW_ERR_LIMIT, "%zu zones are more than a report can hold", count);
    status = make(grid, count, &zones, err);
    if (status != TW_OK)
        return status;
    scratch = tw_arena_new();
    if (scratch) {
        list = tw_arena_array(scratch, count, sizeof *list);
        p.united = tw_arena_array(scratch, nodes, sizeof *p.united);
        p.share = tw_arena_array(scratch, cells, sizeof *p.share);
        p.taken = tw_arena_array(scratch, cells, sizeof *p.taken);
        p.second_share = tw_arena_array(scratch, cells, sizeof *p.second_share);
    }
    if (!list || !p.united || !p.share || !p.taken || !p.second_share) {
        status = no_memory(err);
        goto done;
    }
    status = list_zones(taper, &zones, list, &listed, scratch, err);
    if (status != TW_OK)
        goto done;
    for (size_t n = 0; n < nodes; n++)
        p.united[n] = FAR_OFF;
    for (size_t k = 0; k < listed; k++)
        paint(&p, &list[k]);
    finish(&p);
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
