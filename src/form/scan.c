/*
 * scan.c: a face by a grid of points, as a loft of many stations. Each row of points is one section:
 * x and z are C2 cubic splines (not-a-knot at both ends) of the run of chords between the points, so
 * that steep and undercut sides do no harm; by cumulative chord length the spline is of fourth order
 * in the spacing (M. S. Floater, "Chordal cubic spline interpolation is fourth-order accurate", IMA J.
 * Numer. Anal. 26 (2006)). One spline goes through the whole row and is cut where it crosses the
 * centre line, so that both sides join there with the same slope and bend. Along the ruler the
 * points of equal fraction run by C2 cubic splines too. x and y count from the
 * origin, so that the centre line is x = 0 as on every form.
 */
#include "loft_internal.h"

#include <math.h>

typedef struct builder {
    const tw_profile *profile;
    const tw_points_spec *spec;
    tw_arena *arena;
    tw_notes *notes;
    tw_error *err;
    double *work; /* room for the longest row */
} builder;

static const double REPEATED = 0.001; /* [mm] between points: nearer ones are one */
static const double TURN_MAX = 120;   /* [deg] from one chord to the next */
static const double SIDE_LEAST = 1;   /* [mm] from the centre line to a side */
static const double SNAP_TOLD = 3;    /* [mm] off the face, more than a ruler errs */

static tw_status no_memory(tw_error *err)
{
    return tw_fail(err, TW_ERR_MEMORY, "no memory for a face of points");
}

/* Finish an error about a point: its line of the table. */
static tw_status wrong(const builder *b, size_t point, const char *advice)
{
    const tw_points_spec *spec = b->spec;

    tw_error_advise(b->err, NULL, "%s", advice);
    tw_profile_place(b->profile, (tw_place){spec->line ? spec->line[point] : 0, 1}, b->err);
    if (spec->file && b->err) {
        tw_format(b->err->file, sizeof b->err->file, "%s", spec->file);
        b->err->column = 0;
        b->err->source[0] = '\0';
    }
    return TW_ERR_SHAPE;
}

/* ---- one row -------------------------------------------------------------------------------- */

static tw_status check_points(const builder *b, const tw_points_row *row)
{
    const double(*point)[2] = (const double(*)[2])b->spec->points + row->first;
    char number[24];

    for (size_t k = 1; k < row->count; k++) {
        const double a[2] = {point[k][0] - point[k - 1][0], point[k][1] - point[k - 1][1]};
        double turn;
        if (!(hypot(a[0], a[1]) > REPEATED)) {
            tw_fail(b->err, TW_ERR_SHAPE, "a point of the row at y %s mm is there twice",
                    tw_form_mm(row->y, number));
            return wrong(b, row->first + k, "keep one of the two");
        }
        if (k + 1 == row->count)
            break;
        {
            const double c[2] = {point[k + 1][0] - point[k][0], point[k + 1][1] - point[k][1]};
            turn = fabs(atan2(a[0] * c[1] - a[1] * c[0], a[0] * c[0] + a[1] * c[1]));
        }
        if (turn * 180 / TW_PI > TURN_MAX) {
            tw_fail(b->err, TW_ERR_SHAPE,
                    "the row at y %s mm turns back on itself by %.0f degrees at this point",
                    tw_form_mm(row->y, number), turn * 180 / TW_PI);
            return wrong(b, row->first + k,
                         "give the points in order along the section; leave out stray ones");
        }
    }
    return TW_OK;
}

/* The chord on which a row goes from left of the centre line to its right. */
static tw_status find_crossing(const builder *b, const tw_points_row *row, size_t *chord)
{
    const double(*point)[2] = (const double(*)[2])b->spec->points + row->first;
    const size_t last = row->count - 1;
    char y[24], x[24], low[24], high[24];
    size_t crossings = 0;

    for (size_t k = 0; k < last; k++)
        if ((point[k][0] < b->spec->origin[0]) != (point[k + 1][0] < b->spec->origin[0])) {
            if (crossings++ == 0)
                *chord = k;
            else if (crossings == 2) {
                tw_fail(b->err, TW_ERR_SHAPE,
                        "the row at y %s mm comes back over the centre line x %s mm",
                        tw_form_mm(row->y, y), tw_form_mm(b->spec->origin[0], x));
                return wrong(b, row->first + k + 1,
                             "give the points in order along the section, or move the origin's x");
            }
        }
    if (!(point[0][0] < b->spec->origin[0] - SIDE_LEAST &&
          point[last][0] > b->spec->origin[0] + SIDE_LEAST)) {
        tw_fail(b->err, TW_ERR_SHAPE,
                "the row at y %s mm, from x %s to %s mm, does not cross the centre line x %s mm",
                tw_form_mm(row->y, y), tw_form_mm(point[0][0], low),
                tw_form_mm(point[last][0], high), tw_form_mm(b->spec->origin[0], x));
        return wrong(b, row->first,
                     "move the origin's x, or leave out rows that do not reach over it");
    }
    return TW_OK;
}

static tw_status make_curve(const builder *b, const tw_points_row *row, tw_curve *out)
{
    const double(*point)[2] = (const double(*)[2])b->spec->points + row->first;
    double *room = tw_arena_array(b->arena, 5 * row->count, sizeof(double));
    double *s = room, *x, *z, *x_s, *z_s;

    if (!room)
        return no_memory(b->err);
    x = s + row->count;
    z = x + row->count;
    x_s = z + row->count;
    z_s = x_s + row->count;
    for (size_t k = 0; k < row->count; k++) {
        x[k] = point[k][0] - b->spec->origin[0];
        z[k] = point[k][1];
        s[k] = k > 0 ? s[k - 1] + hypot(x[k] - x[k - 1], z[k] - z[k - 1]) : 0;
    }
    tw_spline_slopes(row->count, s, x, x_s, 1, b->work);
    tw_spline_slopes(row->count, s, z, z_s, 1, b->work);
    *out = (tw_curve){row->count, s, x, z, x_s, z_s};
    return TW_OK;
}

/* Where the curve crosses x = 0 on a chord that does: bisection down to rounding. */
static double crossing(const tw_curve *curve, size_t chord)
{
    double low = curve->s[chord], high = curve->s[chord + 1], at[2], by[2];

    for (int round = 0; round < 60; round++) {
        const double middle = 0.5 * (low + high);
        tw_curve_at(curve, middle, at, by);
        *(at[0] < 0 ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}

static tw_status read_row(const builder *b, size_t index, tw_half half[2])
{
    const tw_points_row *row = &b->spec->rows[index];
    tw_curve *curve = tw_arena_array(b->arena, 1, sizeof *curve);
    tw_status status = check_points(b, row);
    size_t chord = 0;
    double from;

    if (!curve)
        return no_memory(b->err);
    if (status == TW_OK)
        status = find_crossing(b, row, &chord);
    if (status == TW_OK)
        status = make_curve(b, row, curve);
    if (status != TW_OK)
        return status;
    from = crossing(curve, chord);
    half[0] =
        (tw_half){.curve = curve, .sign = 1, .from = from, .run = curve->s[row->count - 1] - from};
    half[1] = (tw_half){.curve = curve, .sign = -1, .from = from, .run = -from};
    return TW_OK;
}

/* ---- the whole ------------------------------------------------------------------------------ */

static tw_status check_origin(const builder *b)
{
    const tw_points_spec *spec = b->spec;
    const tw_points_row *low = &spec->rows[0], *high = &spec->rows[spec->row_count - 1];
    char y[24], from[24], to[24];

    if (spec->origin[1] >= low->y && spec->origin[1] <= high->y)
        return TW_OK;
    tw_fail(b->err, TW_ERR_SHAPE, "the origin at y %s mm lies beyond the rows, y %s to %s mm",
            tw_form_mm(spec->origin[1], y), tw_form_mm(low->y, from), tw_form_mm(high->y, to));
    tw_error_advise(b->err, NULL, "name a point of the face, [x, y, z]");
    tw_profile_place(b->profile, spec->origin_place, b->err);
    return TW_ERR_SHAPE;
}

static void tell_origin(const builder *b, const tw_loft *loft)
{
    tw_face_point at;
    tw_error note;
    double off;

    tw_loft_at(loft, 0, 0, 1, &at);
    off = fabs(at.position[2] - b->spec->origin[2]);
    if (!(off > SNAP_TOLD))
        return;
    tw_fail(&note, TW_OK, "the origin lies %.1f mm off the face; its x and y are taken", off);
    tw_profile_place(b->profile, b->spec->origin_place, &note);
    tw_notes_add(b->notes, &note);
}

tw_status tw_scan_build(const tw_profile *profile, tw_arena *arena, tw_loft **out, tw_notes *notes,
                        tw_error *err)
{
    const tw_points_spec *spec = &profile->points;
    builder b = {profile, spec, arena, notes, err, NULL};
    tw_loft *loft = tw_arena_array(arena, 1, sizeof *loft);
    tw_half(*half)[2] = tw_arena_array(arena, spec->row_count, sizeof *half);
    tw_status status;
    double zero;
    size_t longest = 0;

    if (spec->row_count < 2)
        return tw_fail(err, TW_ERR_SHAPE, "points need at least 2 rows");
    for (size_t k = 0; k < spec->row_count; k++)
        longest = spec->rows[k].count > longest ? spec->rows[k].count : longest;
    b.work = tw_arena_array(arena, longest, sizeof(double));
    if (!loft || !half || !b.work || !tw_loft_room(loft, spec->row_count, arena))
        return no_memory(err);
    status = check_origin(&b);
    for (size_t k = 0; k < spec->row_count && status == TW_OK; k++) {
        loft->ruler[k] = spec->rows[k].y - spec->origin[1];
        status = read_row(&b, k, half[k]);
    }
    if (status != TW_OK)
        return status;
    loft->sides = 2;
    status = tw_loft_fill(loft, (const tw_half(*)[2])half, true, arena, err);
    if (status != TW_OK)
        return status;
    zero = tw_loft_centre_tape(loft, 0);
    for (size_t k = 0; k <= (loft->count - 1) * TW_CENTRE_STEPS; k++)
        loft->up[k] -= zero;
    if (notes && !isnan(spec->origin[2]))
        tell_origin(&b, loft);
    *out = loft;
    return TW_OK;
}
