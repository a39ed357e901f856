/*
 * surface.c: one door to the kinds of form: flat here, bowl in bowl.c, lofts and grids of points in loft.c.
 */
#include "surface_internal.h"

#include <math.h>

struct tw_surface {
    tw_form_kind kind;
    tw_bowl *bowl;
    tw_loft *loft; /* of a loft or of points, else NULL */
};

tw_status tw_surface_build(const tw_profile *profile, tw_arena *arena, tw_surface **out,
                           tw_notes *notes, tw_error *err)
{
    tw_surface *surface = tw_arena_array(arena, 1, sizeof *surface);
    tw_status status = TW_OK;

    if (!surface)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a form");
    surface->kind = profile->form;
    switch (profile->form) {
    case TW_FORM_FLAT:
        break;
    case TW_FORM_BOWL:
        status = tw_bowl_build(profile, arena, &surface->bowl, notes, err);
        break;
    case TW_FORM_LOFT:
        status = tw_loft_build(profile, arena, &surface->loft, notes, err);
        break;
    case TW_FORM_POINTS:
        status = tw_scan_build(profile, arena, &surface->loft, notes, err);
        break;
    case TW_FORM_NONE:
        status = tw_fail(err, TW_ERR_KEY, "the plate has no form");
        tw_error_advise(err, NULL, "give form: flat, bowl, loft or points");
        break;
    }
    if (status == TW_OK)
        *out = surface;
    return status;
}

static void flat_at(double across, double up, tw_face_point *out)
{
    *out = (tw_face_point){.position = {across, up, 0},
                           .across_step = {1, 0, 0},
                           .up_step = {0, 1, 0},
                           .normal = {0, 0, 1}};
}

void tw_surface_at(const tw_surface *surface, double across, double up, int side,
                   tw_face_point *out)
{
    if (surface->kind == TW_FORM_BOWL)
        tw_bowl_at(surface->bowl, across, up, out);
    else if (surface->loft)
        tw_loft_at(surface->loft, across, up, side, out);
    else
        flat_at(across, up, out);
}

size_t tw_surface_scratch(const tw_surface *surface)
{
    return surface->loft ? tw_loft_scratch(surface->loft) : 0;
}

void tw_surface_row(const tw_surface *surface, double up, size_t count, const double *across,
                    void *scratch, tw_face_point *out)
{
    if (surface->loft) {
        tw_loft_row(surface->loft, up, count, across, scratch, out);
        return;
    }
    for (size_t i = 0; i < count; i++)
        tw_surface_at(surface, across[i], up, 1, &out[i]);
}

tw_status tw_surface_boundary(const tw_surface *surface, tw_arena *arena, tw_edge_line **edges,
                              size_t *count, tw_error *err)
{
    if (surface->kind == TW_FORM_BOWL)
        return tw_bowl_boundary(surface->bowl, arena, edges, count, err);
    if (surface->loft)
        return tw_loft_boundary(surface->loft, arena, edges, count, err);
    *edges = NULL;
    *count = 0;
    return TW_OK;
}

double tw_surface_excess(const tw_surface *surface, double across, double up)
{
    if (surface->kind == TW_FORM_BOWL)
        return tw_bowl_excess(surface->bowl, across, up);
    if (surface->loft)
        return tw_loft_excess(surface->loft, across, up);
    return -INFINITY;
}

bool tw_surface_has_crease(const tw_surface *surface)
{
    return surface->loft && tw_loft_has_crease(surface->loft);
}

bool tw_surface_has_apex(const tw_surface *surface)
{
    return surface->kind == TW_FORM_BOWL && tw_bowl_has_apex(surface->bowl);
}

bool tw_surface_open_at(const tw_surface *surface, double up)
{
    return surface->loft && tw_loft_open_at(surface->loft, up);
}

bool tw_surface_station_tape(const tw_surface *surface, size_t station, double *tape)
{
    return surface->loft && tw_loft_station_tape(surface->loft, station, tape);
}
