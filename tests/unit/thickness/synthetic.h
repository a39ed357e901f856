/* synthetic.h: tapers whose distances come from formulas instead of marches, on a flat grid. */
#ifndef SYNTHETIC_H
#define SYNTHETIC_H

#include "support.h"

#include "thickness/thickness_internal.h"

#include <stdlib.h>

enum { SYNTHETIC_MAX = 4 };
typedef double (*synthetic_field)(double across, double up);

/** Up to four zones and four edges, each a source of its own; sizes in `strikes` and `edges`. */
typedef struct synthetic {
    tw_grid *grid;
    tw_strike strikes[SYNTHETIC_MAX];
    tw_edge_thickness edges[SYNTHETIC_MAX];
    tw_forged_spec spec;
    tw_source zone_sources[SYNTHETIC_MAX], edge_sources[SYNTHETIC_MAX];
    double *strike_fields[SYNTHETIC_MAX];
    tw_edge_set sets[SYNTHETIC_MAX];
    double *fields[2 * SYNTHETIC_MAX];
    size_t field_count;
    tw_taper taper;
} synthetic;

/* Square of ±reach mm with `cells` cells a side; a disc is cut out of it when disc > 0. */
static inline synthetic *synthetic_new(double reach, size_t cells, double disc)
{
    synthetic *s = calloc(1, sizeof *s);

    assert_non_null(s);
    s->grid = test_grid_fill(test_face_flat, NULL, -reach, reach, -reach, reach, cells, disc);
    s->spec.strikes = s->strikes;
    s->spec.edges = s->edges;
    s->spec.band = 40;
    s->taper.grid = s->grid;
    s->taper.spec = &s->spec;
    s->taper.blend.zones = s->zone_sources;
    s->taper.blend.edges = s->edge_sources;
    s->taper.strikes = s->strike_fields;
    s->taper.sets = s->sets;
    return s;
}

static inline double *synthetic_fill(synthetic *s, synthetic_field field)
{
    const tw_grid *grid = s->grid;
    double *values = malloc(grid->nu * grid->nv * sizeof *values);

    assert_non_null(values);
    for (size_t n = 0; n < grid->nu * grid->nv; n++)
        values[n] = field(tw_grid_across(grid, n % grid->nu), tw_grid_up(grid, n / grid->nu));
    s->fields[s->field_count++] = values;
    return values;
}

static inline void synthetic_zone(synthetic *s, const char *name, double thickness, double hold,
                                  synthetic_field field)
{
    const size_t k = s->spec.strike_count++;
    double *values = synthetic_fill(s, field);

    s->strikes[k] = (tw_strike){.name = name, .thickness = thickness, .hold = hold};
    s->strike_fields[k] = values;
    s->zone_sources[s->taper.blend.zone_count++] = (tw_source){thickness, hold, values};
}

static inline void synthetic_edge(synthetic *s, const char *name, double thickness, double hold,
                                  synthetic_field field)
{
    const size_t k = s->spec.edge_count++;

    s->edges[k] = (tw_edge_thickness){.edge = name, .thickness = thickness, .hold = hold};
    s->sets[k] = (tw_edge_set){.line_count = 1, .source = s->taper.blend.edge_count};
    s->edge_sources[s->taper.blend.edge_count++] =
        (tw_source){thickness, hold, synthetic_fill(s, field)};
}

static inline void synthetic_law(synthetic *s, tw_law law, double band)
{
    s->spec.law = s->taper.blend.law = law;
    s->spec.band = s->taper.blend.band = band;
}

static inline void synthetic_free(synthetic *s)
{
    for (size_t k = 0; k < s->field_count; k++)
        free(s->fields[k]);
    tw_grid_free(s->grid);
    free(s);
}

#endif
