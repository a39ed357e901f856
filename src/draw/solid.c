/*
 * solid.c: parallel projection of a plate: axes of the view, extents, the drawing put together, and where
 * a tape point is seen. The viewer's direction is (sin a cos e, sin e, cos a cos e) of azimuth a and
 * elevation e; right stays level, so that +y of the plate is up in the picture. Derived here.
 */
#include "solid_internal.h"

#include <math.h>
#include <string.h>

static const double MARGIN = 2; /* samples round the extents */

tw_gaze tw_sight_gaze(const tw_sight *solid)
{
    const double azimuth = solid->azimuth * TW_PI / 180, elevation = solid->elevation * TW_PI / 180;
    const double sa = sin(azimuth), ca = cos(azimuth), se = sin(elevation), ce = cos(elevation);

    return (tw_gaze){{{ca, 0, -sa}, {-sa * se, ce, -ca * se}, {sa * ce, se, ca * ce}}};
}

bool tw_sight_colours_inside(const tw_sight *solid)
{
    return tw_sight_gaze(solid).axis[2][2] < -1e-9;
}

/* ---- extents ------------------------------------------------------------------------------------------ */

tw_status tw_sight_extents(const tw_sight *solid, double extents[4], tw_error *err)
{
    tw_arena *arena = tw_arena_new();
    tw_body body;
    tw_status status;

    if (!arena)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view");
    status = tw_body_make(solid, false, arena, &body, err);
    if (status == TW_OK) {
        double box[4] = {INFINITY, INFINITY, -INFINITY, -INFINITY};
        for (size_t k = 0; k < body.triangle_count; k++)
            for (int c = 0; c < 3; c++)
                for (int d = 0; d < 2; d++) {
                    const double at = body.corners[body.triangles[k].corner[c]].at[d];
                    box[d] = fmin(box[d], at);
                    box[2 + d] = fmax(box[2 + d], at);
                }
        for (int d = 0; d < 2; d++) /* a flat plate seen edge on */
            if (!(box[2 + d] > box[d])) {
                box[d] = isfinite(box[d]) ? box[d] - 0.5 : -0.5;
                box[2 + d] = box[d] + 1;
            }
        memcpy(extents, box, sizeof box);
    }
    tw_arena_free(arena);
    return status;
}

/* ---- drawing ------------------------------------------------------------------------------------------ */

/* The samples' lattice is the device's, so that no sample is drawn askew. */
static void lay_out(const tw_canvas *canvas, const double extents[4], double x, double y,
                    double per_mm, tw_samples *out)
{
    const double samples = tw_canvas_samples(canvas), place[2] = {x * samples, y * samples};

    *out = (tw_samples){
        .left = extents[0], .top = extents[3], .per_mm = per_mm * samples, .per_design = samples};
    for (int d = 0; d < 2; d++) {
        const double first = floor(place[d]) - MARGIN;
        out->offset[d] = place[d] - first;
        out->design[d] = first / samples;
    }
    out->width = (size_t)ceil((extents[2] - extents[0]) * out->per_mm + 2 * MARGIN + 1);
    out->height = (size_t)ceil((extents[3] - extents[1]) * out->per_mm + 2 * MARGIN + 1);
}

tw_status tw_sight_draw(tw_canvas *canvas, const tw_sight *solid, double x, double y, double per_mm,
                        tw_arena *arena, tw_boxes *taken, tw_error *err)
{
    double extents[4];
    tw_samples samples;
    tw_body body;
    tw_status status = tw_sight_extents(solid, extents, err);

    if (status != TW_OK)
        return status;
    lay_out(canvas, extents, x, y, per_mm, &samples);
    if (samples.width > TW_PIXELS_MAX || samples.height > TW_PIXELS_MAX)
        return tw_fail(err, TW_ERR_DOMAIN, "a view of %zu by %zu samples; at most %d a side",
                       samples.width, samples.height, TW_PIXELS_MAX);
    status = tw_body_make(solid, true, arena, &body, err);
    if (status == TW_OK)
        status = tw_samples_fill(&body, &samples, arena, err);
    if (status != TW_OK)
        return status;
    tw_canvas_paint(canvas, samples.image, samples.design[0], samples.design[1]);
    status = tw_sight_lines(canvas, &body, &samples, x, y, per_mm, arena, taken, err);
    cairo_surface_destroy(samples.image);
    return status;
}

void tw_sight_ticks(tw_canvas *canvas, const double extents[4], double x, double y, double per_mm,
                    bool numbers_left)
{
    const tw_frame frame = {.x = x,
                            .y = y,
                            .width = (extents[2] - extents[0]) * per_mm,
                            .height = (extents[3] - extents[1]) * per_mm,
                            .per_mm = per_mm,
                            .across_min = extents[0],
                            .up_max = extents[3]};

    tw_ticks_draw(canvas, &frame, numbers_left);
}

/* ---- where a tape point is seen ------------------------------------------------------------------------ */

/* True when a triangle of three places in the view covers a point more than `spare` before it. */
static bool covers(const double *const corner[3], const double point[3], double spare)
{
    double weight[3], total = 0, z = 0;

    for (int k = 0; k < 3; k++) {
        const double *a = corner[(k + 1) % 3], *b = corner[(k + 2) % 3];
        weight[k] = (a[0] - point[0]) * (b[1] - point[1]) - (b[0] - point[0]) * (a[1] - point[1]);
        total += weight[k];
        z += weight[k] * corner[k][2];
    }
    if (!((weight[0] >= 0 && weight[1] >= 0 && weight[2] >= 0) ||
          (weight[0] <= 0 && weight[1] <= 0 && weight[2] <= 0)) ||
        !(fabs(total) > 0))
        return false;
    return z / total > point[2] + spare;
}

static bool hidden(const tw_grid *grid, const tw_gaze *gaze, const double point[3])
{
    const double spare = 0.5; /* of the face itself beside the point [mm] */

    for (size_t j = 0; j + 1 < grid->nv; j++)
        for (size_t i = 0; i + 1 < grid->nu; i++) {
            double at[4][3];
            if (!(grid->cover[j * (grid->nu - 1) + i] > 0.5))
                continue;
            for (size_t k = 0; k < 4; k++) {
                const size_t n = (j + k / 2) * grid->nu + i + (k == 1 || k == 2);
                const double space[3] = {grid->x[n], grid->y[n], grid->z[n]};
                for (int d = 0; d < 3; d++)
                    at[k][d] = tw_dot(gaze->axis[d], space);
            }
            for (int half = 0; half < 2; half++) {
                const double *const corner[3] = {at[0], at[1 + half], at[2 + half]};
                if (covers(corner, point, spare))
                    return true;
            }
        }
    return false;
}

bool tw_sight_at(const tw_sight *solid, const double extents[4], double x, double y, double per_mm,
                 const double tape[2], double page[2])
{
    const tw_grid *grid = solid->plate->grid;
    const tw_gaze gaze = tw_sight_gaze(solid);
    const bool inside = tw_sight_colours_inside(solid);
    const tw_face_side face = solid->plate->profile->face;
    const double outward = face == TW_FACE_OUTSIDE ? 0 : face == TW_FACE_MIDDLE ? 0.5 : 1;
    double point[3], thickness, facing;
    tw_face_point at;

    if (tw_outline_level(tw_form_outline(solid->plate->form), tape[0], tape[1]) >= 0)
        return false;
    tw_form_at(solid->plate->form, tape[0], tape[1], &at);
    facing = tw_dot(gaze.axis[2], at.normal);
    if ((inside ? -facing : facing) <= 0)
        return false;
    thickness = solid->thickness ? tw_grid_sample(grid, solid->thickness, tape[0], tape[1]) : 0;
    for (int d = 0; d < 3; d++) {
        point[d] = tw_dot(gaze.axis[d], at.position) +
                   (outward - inside) * thickness * tw_dot(gaze.axis[d], at.normal);
    }
    if (hidden(grid, &gaze, point))
        return false;
    page[0] = x + (point[0] - extents[0]) * per_mm;
    page[1] = y + (extents[3] - point[1]) * per_mm;
    return true;
}
