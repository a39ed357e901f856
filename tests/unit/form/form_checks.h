/* form_checks.h: profiles in short for the tests of outline, sampling and places. */
#ifndef FORM_CHECKS_H
#define FORM_CHECKS_H

#include "support.h"

enum { EDGES_MAX = 6, POINTS_MAX = 400, HOLES_MAX = 6 };

/* A profile with room for what tests put into it; `profile` points into the rest. */
typedef struct plate {
    tw_profile profile;
    tw_edge_spec edges[EDGES_MAX];
    tw_point points[EDGES_MAX][POINTS_MAX];
    tw_shape holes[HOLES_MAX];
} plate;

static inline void plate_flat(plate *p)
{
    memset(p, 0, sizeof *p);
    p->profile.form = TW_FORM_FLAT;
    p->profile.outline.kind = TW_OUTLINE_EDGES;
    p->profile.outline.edges = p->edges;
    p->profile.outline.place.line = 3;
    p->profile.holes = p->holes;
}

static inline void plate_bowl(plate *p, tw_bowl_profile kind, double half, double depth)
{
    plate_flat(p);
    p->profile.form = TW_FORM_BOWL;
    p->profile.bowl = (tw_bowl_spec){.across = half, .up = half, .depth = depth, .profile = kind};
    p->profile.outline.kind = TW_OUTLINE_RIM;
}

static inline void plate_loft(plate *p, tw_station *stations, size_t count)
{
    plate_flat(p);
    p->profile.form = TW_FORM_LOFT;
    p->profile.loft = (tw_loft_spec){.station_count = count, .stations = stations};
    p->profile.outline.kind = TW_OUTLINE_RIM;
}

static inline void plate_shape(plate *p, tw_shape_kind kind, double at_across, double at_up,
                               double across, double up)
{
    p->profile.outline.kind = TW_OUTLINE_SHAPE;
    p->profile.outline.shape =
        (tw_shape){.kind = kind, .at = {.value = {at_across, at_up}}, .across = across, .up = up};
}

static inline tw_edge_spec *plate_edge(plate *p, const char *name, const double (*at)[2],
                                       size_t count)
{
    const size_t k = p->profile.outline.edge_count++;

    for (size_t n = 0; n < count; n++)
        p->points[k][n] = (tw_point){.value = {at[n][0], at[n][1]}, .place = {10 + (int)n, 1}};
    p->edges[k] = (tw_edge_spec){
        .name = name, .point_count = count, .points = p->points[k], .place = {5 + (int)k, 1}};
    p->profile.outline.kind = TW_OUTLINE_EDGES;
    return &p->edges[k];
}

static inline tw_shape *plate_hole(plate *p, tw_shape_kind kind, double at_across, double at_up,
                                   double across, double up)
{
    tw_shape *hole = &p->holes[p->profile.hole_count++];

    *hole = (tw_shape){.kind = kind,
                       .at = {.value = {at_across, at_up}},
                       .across = across,
                       .up = up,
                       .place = {20 + (int)p->profile.hole_count, 1}};
    return hole;
}

static inline tw_form *plate_form_noted(const plate *p, tw_notes *notes)
{
    tw_form *form = NULL;
    tw_error err = {0};

    if (tw_form_build(&p->profile, &form, notes, &err) != TW_OK)
        print_error("line %d: %s (%s)\n", err.line, err.message, err.advice);
    assert_non_null(form);
    return form;
}

static inline tw_form *plate_form(const plate *p)
{
    return plate_form_noted(p, NULL);
}

static inline tw_grid *plate_grid(const plate *p, size_t cells, unsigned threads)
{
    tw_form *form = plate_form(p);
    tw_grid *grid = NULL;

    assert_int_equal(tw_grid_build(form, cells, threads, &grid, NULL), TW_OK);
    tw_form_free(form);
    return grid;
}

static inline double plate_area(const plate *p, size_t cells)
{
    tw_grid *grid = plate_grid(p, cells, 0);
    const double area = grid->face_area;

    tw_grid_free(grid);
    return area;
}

/* Building must fail with the status at the line, in a message that holds all given words. */
#define assert_refused(plate, status, line, ...) \
    assert_refused_with(plate, status, line, (const char *const[]){__VA_ARGS__, NULL})
static inline void assert_refused_with(const plate *p, tw_status status, int line,
                                       const char *const *words)
{
    tw_form *form = NULL;
    tw_error err = {0};

    assert_int_equal(tw_form_build(&p->profile, &form, NULL, &err), status);
    assert_null(form);
    assert_int_equal(err.status, status);
    for (; *words; words++)
        if (!strstr(err.message, *words)) {
            print_error("'%s' lacks '%s'\n", err.message, *words);
            fail();
        }
    assert_int_equal(err.line, line);
    assert_true(err.message[0] && tw_form_build(&p->profile, &form, NULL, NULL) == status);
}

/* Shoelace formula over all edges of an outline. */
static inline double ring_area(const tw_outline *outline)
{
    double twice = 0;

    for (size_t k = 0; k < outline->edge_count; k++)
        for (size_t n = 0; n + 1 < outline->edges[k].count; n++) {
            const double *a = outline->edges[k].points[n], *b = outline->edges[k].points[n + 1];
            twice += a[0] * b[1] - b[0] * a[1];
        }
    return 0.5 * twice;
}

#endif
