/*
 * form.c: a form with its outline and holes. The surface comes first, then the lines on it, as
 * points of edges may be given in space or from the crown.
 */
#include "outline_internal.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static void search_over(tw_form *form, const tw_edge_line *lines, size_t count)
{
    form->search[0] = form->search[2] = INFINITY;
    form->search[1] = form->search[3] = -INFINITY;
    for (size_t k = 0; k < count; k++)
        for (size_t n = 0; n < lines[k].count; n++)
            for (int c = 0; c < 2; c++) {
                form->search[2 * c] = fmin(form->search[2 * c], lines[k].points[n][c]);
                form->search[2 * c + 1] = fmax(form->search[2 * c + 1], lines[k].points[n][c]);
            }
    if (count == 0)
        for (int k = 0; k < 4; k++)
            form->search[k] = 0;
}

static tw_status build(tw_form *form, tw_notes *notes, tw_error *err)
{
    tw_status status;

    if (form->profile->form == TW_FORM_NONE) {
        tw_fail(err, TW_ERR_SHAPE, "the plate has no form");
        tw_error_advise(err, NULL, "add form: flat, or form: {bowl: …}, {loft: …} or {points: …}");
        return err->status;
    }
    status = tw_surface_build(form->profile, form->arena, &form->surface, notes, err);
    if (status == TW_OK)
        status = tw_surface_boundary(form->surface, form->arena, &form->rim, &form->rim_count, err);
    for (size_t k = 0; status == TW_OK && k < form->rim_count; k++) { /* sides as they are called */
        if (strcmp(form->rim[k].name, "right") == 0)
            form->rim[k].name = tw_profile_side(form->profile, 1);
        else if (strcmp(form->rim[k].name, "left") == 0)
            form->rim[k].name = tw_profile_side(form->profile, -1);
    }
    if (status == TW_OK)
        status = tw_rim_keep_area(form, err);
    if (status != TW_OK)
        return status;
    search_over(form, form->rim, form->rim_count);
    status = tw_outline_build(form, notes, err);
    if (status != TW_OK)
        return status;
    search_over(form, form->outline.edges, form->outline.edge_count);
    return tw_holes_build(form, err);
}

/* Off the face by more than a ruler errs: a point in space then gets a note. */
static const double SNAP_TOLD = 3;

static void tell_snap(const tw_form *form, const tw_point *point, tw_notes *notes)
{
    double at[2], off;
    tw_error note;

    if (point->kind != TW_POINT_SPACE || tw_form_locate(form, point, at, &off, NULL) != TW_OK ||
        !(off > SNAP_TOLD))
        return;
    tw_fail(&note, TW_OK,
            "this point lies %.1f mm off the face; the nearest point on it, [%.1f, %.1f] by tape, "
            "is taken",
            off, at[0], at[1]);
    tw_profile_place(form->profile, point->place, &note);
    tw_notes_add(notes, &note);
}

static void tell_shape_snaps(const tw_form *form, const tw_shape *shape, tw_notes *notes)
{
    const bool round = shape->kind != TW_SHAPE_POLYGON && shape->kind != TW_SHAPE_LINE;

    if (round)
        tell_snap(form, &shape->at, notes);
    for (size_t k = 0; !round && k < shape->point_count; k++)
        tell_snap(form, &shape->points[k], notes);
}

static void tell_snaps(const tw_form *form, tw_notes *notes)
{
    const tw_profile *profile = form->profile;

    for (size_t k = 0; k < profile->outline.edge_count; k++)
        for (size_t n = 0; n < profile->outline.edges[k].point_count; n++)
            tell_snap(form, &profile->outline.edges[k].points[n], notes);
    for (size_t k = 0; k < profile->forged.strike_count; k++)
        tell_shape_snaps(form, &profile->forged.strikes[k].shape, notes);
    for (size_t k = 0; k < profile->hole_count; k++)
        tell_shape_snaps(form, &profile->holes[k], notes);
    for (size_t k = 0; k < profile->check_count; k++) {
        tell_snap(form, &profile->checks[k].from, notes);
        tell_snap(form, &profile->checks[k].to, notes);
    }
}

tw_status tw_form_build(const tw_profile *profile, tw_form **out, tw_notes *notes, tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_form *form = arena ? tw_arena_array(arena, 1, sizeof *form) : NULL;
    tw_error own;
    tw_status status;

    assert(profile && out);
    if (!err)
        err = &own; /* places are added to it on the way out */
    if (!form) {
        tw_arena_free(arena);
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a form");
    }
    form->profile = profile;
    form->arena = arena;
    status = build(form, notes, err);
    if (status != TW_OK) {
        tw_arena_free(arena);
        return status;
    }
    if (notes)
        tell_snaps(form, notes);
    *out = form;
    return TW_OK;
}

void tw_form_free(tw_form *form)
{
    if (form)
        tw_arena_free(form->arena);
}

const tw_profile *tw_form_profile(const tw_form *form)
{
    return form->profile;
}

const tw_outline *tw_form_outline(const tw_form *form)
{
    return &form->outline;
}

void tw_form_at(const tw_form *form, double across, double up, tw_face_point *out)
{
    tw_surface_at(form->surface, across, up, 1, out);
}

tw_status tw_form_station_tape(const tw_form *form, size_t station, double *tape, tw_error *err)
{
    if (form->profile->form != TW_FORM_LOFT && form->profile->form != TW_FORM_POINTS)
        return tw_fail(err, TW_ERR_DOMAIN, "the form is no loft and has no stations");
    if (!tw_surface_station_tape(form->surface, station, tape))
        return tw_fail(err, TW_ERR_DOMAIN, "the form has %zu stations; number %zu does not exist",
                       form->profile->form == TW_FORM_LOFT ? form->profile->loft.station_count
                                                           : form->profile->points.row_count,
                       station + 1);
    return TW_OK;
}
