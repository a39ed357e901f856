/*
 * section.c: a cut laid into a plane. The plane is the one that the line leaves least (smallest principal
 * axis of its points; a straight line takes the plane of its normals), thickness stands square to the face.
 * A line that no plane holds is laid into that plane all the same, and by how much it is off is told.
 */
#include "views.h"

#include <math.h>
#include <string.h>

static const double FLAT_SHARE = 1e-6;  /* what normals weigh beside points in finding the plane */
static const double CREASE_COS = 0.995; /* normals of neighbours farther apart make a crease */
static const double READS = 0.05;       /* of the section's width, at which thickness reads */
static const double LEAST_KEPT = 0.15;  /* of its length, to which the inner face may shrink */
static const double FIGURES[] = {2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50};
enum { FIGURE_COUNT = sizeof FIGURES / sizeof *FIGURES };

typedef struct plane {
    double origin[3], right[3], up[3], square[3];
    double base; /* height of the origin along `up`, over the bench */
    bool bench;
} plane;

/* ---- the plane -------------------------------------------------------------------------------- */

static void normalise(double v[3])
{
    const double size = sqrt(tw_dot(v, v));

    for (int d = 0; d < 3; d++)
        v[d] /= size;
}

static void middle_of(const tw_cut *cut, double middle[3], double *spread)
{
    *spread = 0;
    for (int d = 0; d < 3; d++) {
        tw_sum sum = {0};
        for (size_t k = 0; k < cut->count; k++)
            tw_sum_add(&sum, cut->points[k].position[d]);
        middle[d] = tw_sum_value(&sum) / (double)cut->count;
    }
    for (size_t k = 0; k < cut->count; k++)
        for (int d = 0; d < 3; d++) {
            const double off = cut->points[k].position[d] - middle[d];
            *spread += off * off;
        }
}

static void find_plane(const tw_cut *cut, plane *out)
{
    static const double z[3] = {0, 0, 1};
    double tensor[3][3] = {{0}}, moments[3], axes[3][3], chord[3], spread;

    middle_of(cut, out->origin, &spread);
    for (size_t k = 0; k < cut->count; k++) {
        const double *p = cut->points[k].position, *n = cut->points[k].normal;
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                tensor[i][j] += (p[i] - out->origin[i]) * (p[j] - out->origin[j]) +
                                FLAT_SHARE * spread / (double)cut->count * n[i] * n[j];
    }
    tw_principal_axes((const double(*)[3])tensor, moments, axes);
    memcpy(out->square, axes[0], sizeof out->square);
    for (int d = 0; d < 3; d++)
        chord[d] = cut->points[cut->count - 1].position[d] - cut->points[0].position[d];
    out->bench = fabs(out->square[2]) < 0.97;
    if (out->bench) {
        tw_cross(out->square, z, out->right);
    } else { /* seen from above */
        const double along = tw_dot(chord, out->square);
        for (int d = 0; d < 3; d++)
            out->right[d] = chord[d] - along * out->square[d];
    }
    normalise(out->right);
    if (tw_dot(out->right, chord) < 0)
        for (int d = 0; d < 3; d++)
            out->right[d] = -out->right[d];
    tw_cross(out->square, out->right, out->up);
    if (out->bench ? out->up[2] < 0 : out->square[2] * out->up[1] < 0)
        for (int d = 0; d < 3; d++)
            out->up[d] = -out->up[d];
    out->base = out->bench ? out->origin[2] / out->up[2] : 0;
}

/* ---- both faces ------------------------------------------------------------------------------- */

static void lay_in(const plane *in, const tw_cut *cut, tw_section *out)
{
    for (size_t k = 0; k < cut->count; k++) {
        const tw_cut_point *point = &cut->points[k];
        double from[3], size;
        for (int d = 0; d < 3; d++)
            from[d] = point->position[d] - in->origin[d];
        out->outer[k][0] = tw_dot(from, in->right);
        out->outer[k][1] = tw_dot(from, in->up) + in->base;
        out->off_plane = fmax(out->off_plane, fabs(tw_dot(from, in->square)));
        out->normal[k][0] = tw_dot(point->normal, in->right);
        out->normal[k][1] = tw_dot(point->normal, in->up);
        size = hypot(out->normal[k][0], out->normal[k][1]);
        if (size <
            1e-3) { /* a face that lies in the plane has no thickness in it: any way will do */
            out->normal[k][0] = 0;
            out->normal[k][1] = size = 1;
        }
        out->normal[k][0] /= size;
        out->normal[k][1] /= size;
    }
}

static bool is_crease(const tw_section *s, size_t k)
{
    return s->normal[k][0] * s->normal[k + 1][0] + s->normal[k][1] * s->normal[k + 1][1] <
           CREASE_COS;
}

/* Greatest factor at which the inner face still runs the way the outer one does. */
static double greatest_factor(const tw_section *s)
{
    const tw_cut *cut = s->cut;
    double most = INFINITY;

    for (size_t p = 0; p < cut->piece_count; p++)
        for (size_t k = cut->pieces[p].first; k + 1 < cut->pieces[p].first + cut->pieces[p].count;
             k++) {
            double size = 0, back = 0;
            if (is_crease(s, k))
                continue;
            for (int d = 0; d < 2; d++) {
                const double step = s->outer[k + 1][d] - s->outer[k][d];
                size += step * step;
                back += step * (cut->points[k + 1].thickness * s->normal[k + 1][d] -
                                cut->points[k].thickness * s->normal[k][d]);
            }
            if (size > 1e-12 && back > 0)
                most = fmin(most, (1 - LEAST_KEPT) * size / back);
        }
    return most;
}

static void choose_factor(tw_section *s, double factor)
{
    const double most = greatest_factor(s);
    const double thick = s->cut->points[s->cut->thickest].thickness;
    const double aim = 1.1 * READS * (s->right - s->left) / thick;

    s->factor = factor;
    if (factor <= 0) {
        s->factor = FIGURES[0];
        for (int k = 0; k < FIGURE_COUNT && FIGURES[k] <= aim; k++)
            s->factor = FIGURES[k];
    }
    if (s->factor > 1 && s->factor > most) {
        const double asked = s->factor;
        s->factor = fmax(1, floor(10 * most) / 10);
        for (int k = 0; k < FIGURE_COUNT && FIGURES[k] <= most && FIGURES[k] <= asked; k++)
            s->factor = FIGURES[k];
        s->wanted = factor > 0 ? factor : 0;
    }
}

/* Direction of the outer face at a point, to a neighbour of its own side of a crease. */
static void way_at(const tw_section *s, size_t from, size_t to, double way[2])
{
    const double x = s->outer[to][0] - s->outer[from][0];
    const double y = s->outer[to][1] - s->outer[from][1];
    const double size = fmax(hypot(x, y), 1e-300);

    way[0] = x / size;
    way[1] = y / size;
}

/* Inner faces of both sides of a crease end where they meet. */
static void mitre(tw_section *s, const tw_cut_run *piece, size_t k)
{
    const size_t end = piece->first + piece->count;
    const double *a = s->normal[k], *b = s->normal[k + 1];
    const double depth = s->factor * s->cut->points[k].thickness;
    const double turn = 1 + a[0] * b[0] + a[1] * b[1];
    double meet[2], left[2], right[2];

    if (turn < 0.05 || k == piece->first || k + 2 >= end)
        return;
    way_at(s, k - 1, k, left);
    way_at(s, k + 1, k + 2, right);
    for (int d = 0; d < 2; d++)
        meet[d] = s->outer[k + 1][d] - depth * (a[d] + b[d]) / turn;
    for (size_t n = k + 1; n-- > piece->first;) {
        if ((s->inner[n][0] - meet[0]) * left[0] + (s->inner[n][1] - meet[1]) * left[1] < 0)
            break;
        memcpy(s->inner[n], meet, sizeof meet);
        s->mitred[n] = true;
    }
    for (size_t n = k + 1; n < end; n++) {
        if ((s->inner[n][0] - meet[0]) * right[0] + (s->inner[n][1] - meet[1]) * right[1] > 0)
            break;
        memcpy(s->inner[n], meet, sizeof meet);
        s->mitred[n] = true;
    }
}

static void lay_faces(tw_section *s, tw_face_side face)
{
    const tw_cut *cut = s->cut;

    for (size_t k = 0; k < cut->count; k++) {
        const double thickness = cut->points[k].thickness;
        double span[2];
        tw_face_span(face, thickness, span);
        for (int d = 0; d < 2; d++) {
            s->outer[k][d] += span[1] * s->normal[k][d];
            s->inner[k][d] = s->outer[k][d] - s->factor * thickness * s->normal[k][d];
        }
    }
    for (size_t p = 0; p < cut->piece_count; p++)
        for (size_t k = cut->pieces[p].first; k + 1 < cut->pieces[p].first + cut->pieces[p].count;
             k++)
            if (is_crease(s, k))
                mitre(s, &cut->pieces[p], k);
}

static void find_extents(tw_section *s, bool inner)
{
    s->left = s->bottom = INFINITY;
    s->right = s->top = -INFINITY;
    for (size_t k = 0; k < s->cut->count; k++)
        for (int i = 0; i < (inner ? 2 : 1); i++) {
            const double *at = i ? s->inner[k] : s->outer[k];
            s->left = fmin(s->left, at[0]);
            s->right = fmax(s->right, at[0]);
            s->bottom = fmin(s->bottom, at[1]);
            s->top = fmax(s->top, at[1]);
        }
}

tw_status tw_section_make(const tw_cut *cut, tw_face_side face, double factor, tw_arena *arena,
                          tw_section *out, tw_error *err)
{
    plane in;

    *out = (tw_section){.cut = cut,
                        .outer = tw_arena_array(arena, cut->count, sizeof *out->outer),
                        .inner = tw_arena_array(arena, cut->count, sizeof *out->inner),
                        .normal = tw_arena_array(arena, cut->count, sizeof *out->normal),
                        .mitred = tw_arena_array(arena, cut->count, sizeof *out->mitred)};
    if (!out->outer || !out->inner || !out->normal || !out->mitred)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a section");
    find_plane(cut, &in);
    lay_in(&in, cut, out);
    out->bench = in.bench;
    find_extents(out, false);
    for (size_t k = 0; k < cut->count; k++) {
        out->outer[k][0] -= out->left;
        out->outer[k][1] -= in.bench ? 0 : out->bottom;
    }
    find_extents(out, false);
    choose_factor(out, factor);
    lay_faces(out, face);
    find_extents(out, true);
    return TW_OK;
}
