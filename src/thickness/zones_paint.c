/*
 * zones_paint.c: zones painted into cells, one after the other, row by row on all threads. Each zone is
 * where a level is below zero, so its own part of a cell is what the union of it and all before it
 * covers, less what the union before covered; the parts of a cell sum to 1 by construction. A cell keeps
 * its two largest parts. All zones are painted into a row before the next, so that two rows of levels
 * are all that has to be kept.
 */
#include "thickness_internal.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS_PER_BLOCK = 16 };

typedef struct painting {
    const tw_grid *grid;
    const tw_zone_level *list; /* in the order of painting */
    size_t listed;
    tw_zones *zones;
    atomic_bool failed;
} painting;

/* What one thread needs for a row of cells. */
typedef struct row {
    double *low, *high;    /* nu: level of the union of the zones painted so far, at its nodes */
    double *share, *taken; /* per cell: covered by the union now, and before the last zone */
    float *second_share;   /* per cell: part of the metal in `second` */
} row;

/* Far off, where a field is INFINITY, a level must stay finite for the crossing to be reckoned. */
static const double FAR_OFF = 1e9;

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
static double metal_share(const tw_grid *grid, size_t low, const double united[4])
{
    const size_t at[4] = {low, low + 1, low + grid->nu + 1, low + grid->nu};
    static const double place[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    ring cell = {.count = 4}, metal, part;
    double whole;

    for (size_t k = 0; k < 4; k++)
        cell.corners[k] = (corner){{place[k][0], place[k][1]}, grid->level[at[k]], united[k]};
    metal = below(&cell, true);
    whole = ring_area(&metal);
    if (!(whole > 0)) /* less metal than the nodes can tell: the whole square stands for it */
        metal = cell, whole = 1;
    part = below(&metal, false);
    return fmin(fmax(ring_area(&part) / whole, 0), 1);
}

/* ---- a row of cells ------------------------------------------------------------------------- */

/* Keep the two largest parts of a cell. */
static void add_part(tw_zones *zones, size_t cell, float *second_share, size_t name, double part)
{
    const float size = (float)part;

    if (size > zones->share[cell]) {
        zones->second[cell] = zones->first[cell];
        *second_share = zones->share[cell];
        zones->first[cell] = (uint16_t)name;
        zones->share[cell] = size;
    } else if (size > *second_share) {
        zones->second[cell] = (uint16_t)name;
        *second_share = size;
    }
}

static void unite(double *united, const double *field, double reach, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const double level = field[i] - reach;
        united[i] = level < united[i] ? level : united[i];
    }
}

static void paint(const painting *p, size_t j, const tw_zone_level *item, row *r)
{
    const tw_grid *grid = p->grid;
    const size_t nu = grid->nu, columns = nu - 1;
    double *before = r->taken;

    unite(r->low, item->field + j * nu, item->reach, nu);
    unite(r->high, item->field + (j + 1) * nu, item->reach, nu);
    r->taken = r->share;
    r->share = before;
    tw_level_share_row(r->low, r->high, columns, r->share);
    for (size_t i = 0; i < columns; i++) {
        const double cover = grid->cover[j * columns + i];
        if (cover > 0 && cover < 1 && r->share[i] > 0 && r->share[i] < 1) {
            const double united[4] = {r->low[i], r->low[i + 1], r->high[i + 1], r->high[i]};
            r->share[i] = metal_share(grid, j * nu + i, united);
        }
        if (r->share[i] > r->taken[i])
            add_part(p->zones, j * columns + i, &r->second_share[i], item->name,
                     r->share[i] - r->taken[i]);
    }
}

/* The field takes what is left; then parts become the share of `first`, which is never empty. */
static void finish(const painting *p, size_t j, const row *r)
{
    tw_zones *zones = p->zones;
    const size_t columns = p->grid->nu - 1;

    for (size_t i = 0; i < columns; i++) {
        const size_t c = j * columns + i;
        if (r->share[i] < 1)
            add_part(zones, c, &r->second_share[i], zones->count - 1, 1 - r->share[i]);
        if (r->second_share[i] > 0) {
            zones->share[c] /= zones->share[c] + r->second_share[i];
        } else {
            zones->second[c] = zones->first[c];
            zones->share[c] = 1;
        }
    }
}

static void paint_rows(size_t first, size_t last, void *context)
{
    painting *p = context;
    const size_t nu = p->grid->nu, columns = nu - 1;
    double *room = malloc((2 * nu + 2 * columns) * sizeof *room);
    float *second_share = malloc(columns * sizeof *second_share);

    for (size_t j = first; room && second_share && j < last; j++) {
        row r = {room, room + nu, room + 2 * nu, room + 2 * nu + columns, second_share};
        for (size_t i = 0; i < nu; i++)
            r.low[i] = r.high[i] = FAR_OFF;
        memset(r.share, 0, columns * sizeof *r.share);
        memset(second_share, 0, columns * sizeof *second_share);
        for (size_t k = 0; k < p->listed; k++)
            paint(p, j, &p->list[k], &r);
        finish(p, j, &r);
    }
    if (!room || !second_share)
        atomic_store(&p->failed, true);
    free(second_share);
    free(room);
}

bool tw_zones_paint(const tw_grid *grid, const tw_zone_level *list, size_t listed, unsigned threads,
                    tw_zones *zones)
{
    painting work = {.grid = grid, .list = list, .listed = listed, .zones = zones};

    atomic_init(&work.failed, false);
    tw_for_rows(grid->nv - 1, ROWS_PER_BLOCK, threads, paint_rows, &work);
    return !atomic_load(&work.failed);
}
