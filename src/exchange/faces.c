/*
 * faces.c: both faces of the metal at the chart's nodes.
 *
 * The measured face at a tape point has position r and outward normal n; with thickness t metal lies
 * from r + s₀·n to r + s₁·n (tw_face_span()): the very slab that is weighed. On a crease the two
 * sides have normals n₁, n₂; both offset planes meet at r + s·b/(b·n₁), b the unit bisector: the
 * mitre. At an apex the normals all round stand for the two.
 *
 * Flat triangles with their corners on a bulge lie inside it: a share of s²/(3.5·R²) of a ball's shell
 * would be missing, 10⁻⁴ with triangles of 2 mm on R = 100 mm. So corners stand out from the face
 * until as much lies outside as inside. Where the face stands off its chords by the vectors d₁, d₂, d₃
 * at the middles of a triangle's sides, the volume between face and triangle is a·(d₁ + d₂ + d₃)/3,
 * a the triangle's vector area: the rule of side middles, exact for a quadratic. A node moved by δ
 * along its direction m adds δ·a·m/3 to each triangle about it; with
 *     δ = Σ a·(d₁ + d₂ + d₃)/3 / Σ a·m      over the triangles about the node
 * the whole gains just what was missing. The outline, straight by tape between its points, is an arc
 * in the face, and its chords cut off 2/3 of each arc's height e times their length l; boundary nodes
 * move along the face by 2/3·Σ l·e / |Σ l·w| along Σ l·w, w pointing square out of the metal. Both are
 * derived here; what is left is of fourth order in s.
 */
#include "exchange_internal.h"

#include <float.h>
#include <math.h>
#include <stdatomic.h>
#include <string.h>

#define BESIDE 1e-7 /* [mm]: off a crease to look at the face on its left */
#define ROUND  8    /* directions looked at about an apex */
#define ABOUT  1e-3 /* and how far from it [mm] */
#define SPARE  1.25 /* room about a crease or apex, times what its metal takes */
#define MOST   0.25 /* of a triangle's side that a node may be moved */

enum { NODES_PER_BLOCK = 256 };

/** Both faces at one tape point. */
typedef struct spot {
    double at[2][3]; /* outer, inner */
    double out[3];   /* unit direction along which the node may be moved */
    double thickness;
} spot;

typedef struct job {
    const tw_form *form;
    const tw_map *map;
    const tw_chart *chart;
    tw_face_side face;
    tw_faces *faces;
    double (*out)[3];       /* node_count */
    double (*middle[2])[3]; /* side_count */
    atomic_size_t bare;     /* least node without a thickness */
} job;

static double length_of(const double v[3])
{
    return sqrt(tw_dot(v, v));
}

/* Position, direction and how many times s an offset of s is along it. */
static double look(const tw_form *form, const double tape[2], unsigned lies, double at[3],
                   double out[3])
{
    tw_face_point face;
    double normal[ROUND][3], sum[3] = {0, 0, 0}, lean = 0;
    int count = 0;

    tw_form_at(form, tape[0], tape[1], &face);
    memcpy(at, face.position, sizeof face.position);
    if (lies & TW_LIES_APEX) {
        for (; count < ROUND; count++) {
            const double angle = 2 * TW_PI * (count + 0.5) / ROUND;
            tw_form_at(form, tape[0] + ABOUT * sin(angle), tape[1] + ABOUT * cos(angle), &face);
            memcpy(normal[count], face.normal, sizeof face.normal);
        }
    } else {
        if (lies != TW_LIES_LEFT)
            memcpy(normal[count++], face.normal, sizeof face.normal);
        if (lies & TW_LIES_LEFT) {
            tw_form_at(form, tape[0] - BESIDE, tape[1], &face);
            memcpy(normal[count++], face.normal, sizeof face.normal);
        }
    }
    for (int n = 0; n < count; n++)
        for (int c = 0; c < 3; c++)
            sum[c] += normal[n][c];
    for (int c = 0; c < 3; c++)
        out[c] = sum[c] / length_of(sum);
    for (int n = 0; n < count; n++)
        lean += tw_dot(out, normal[n]) / count;
    return count == 1 ? 1 : 1 / lean;
}

/*
 * The map between its nodes: bilinear, and in a whole cell a bulge on top that is 0 along its sides and
 * gives the cell the mean that it is weighed with. Weighing takes a cell at its middle; where a taper
 * bends the mean of four corners differs, by 10⁻⁴ of a plate where a narrow band meets a strike zone.
 */
static double thickness_at(const tw_map *map, double across, double up)
{
    const tw_grid *grid = map->grid;
    const double a = (across - grid->across_min) / grid->across_step;
    const double u = (up - grid->up_min) / grid->up_step;
    const double i = floor(a), j = floor(u), x = a - i, y = u - j;
    const double t = tw_grid_sample(grid, map->node, across, up);
    const double *low;
    size_t cell;

    if (!(i >= 0 && j >= 0 && i < (double)(grid->nu - 1) && j < (double)(grid->nv - 1)))
        return t;
    cell = (size_t)j * (grid->nu - 1) + (size_t)i;
    if (grid->cover[cell] < 1)
        return t;
    low = map->node + (size_t)j * grid->nu + (size_t)i;
    /* the mean of x(1 − x)·y(1 − y) is 1/36 */
    return fmax(t + 36 * x * (1 - x) * y * (1 - y) *
                        (map->cell[cell] -
                         0.25 * ((low[0] + low[1]) + (low[grid->nu] + low[grid->nu + 1]))),
                0.5 * t);
}

static bool find_spot(const job *j, const double tape[2], unsigned lies, spot *s)
{
    double span[2], at[3], more;

    s->thickness = thickness_at(j->map, tape[0], tape[1]);
    if (!(s->thickness > 0 && s->thickness <= DBL_MAX))
        return false;
    more = look(j->form, tape, lies, at, s->out);
    tw_face_span(j->face, s->thickness, span);
    for (int c = 0; c < 3; c++) {
        s->at[0][c] = at[c] + span[1] * more * s->out[c];
        s->at[1][c] = at[c] + span[0] * more * s->out[c];
    }
    return true;
}

static void note_bare(job *j, size_t node)
{
    size_t least = atomic_load(&j->bare);

    while (node < least && !atomic_compare_exchange_weak(&j->bare, &least, node))
        ;
}

static void find_nodes(size_t first, size_t last, void *context)
{
    job *j = context;

    for (size_t n = first; n < last; n++) {
        spot s;
        if (!find_spot(j, j->chart->tape[n], j->chart->node_lies[n], &s)) {
            note_bare(j, n);
            continue;
        }
        for (int face = 0; face < 2; face++)
            memcpy(j->faces->at[face][n], s.at[face], sizeof s.at[face]);
        memcpy(j->out[n], s.out, sizeof s.out);
        j->faces->thickness[n] = s.thickness;
    }
}

static void find_middles(size_t first, size_t last, void *context)
{
    job *j = context;

    for (size_t n = first; n < last; n++) {
        const uint32_t *side = j->chart->side[n];
        const double *a = j->chart->tape[side[0]], *b = j->chart->tape[side[1]];
        const double tape[2] = {0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])};
        spot s;
        if (!find_spot(j, tape, j->chart->side_lies[n], &s)) {
            note_bare(j, side[0]);
            continue;
        }
        for (int face = 0; face < 2; face++)
            memcpy(j->middle[face][n], s.at[face], sizeof s.at[face]);
    }
}

static void vector_area(const double (*at)[3], const uint32_t corner[3], double area[3])
{
    double x[3], y[3];

    for (int c = 0; c < 3; c++) {
        x[c] = at[corner[1]][c] - at[corner[0]][c];
        y[c] = at[corner[2]][c] - at[corner[0]][c];
    }
    tw_cross(x, y, area);
    for (int c = 0; c < 3; c++)
        area[c] *= 0.5;
}

/* ---- folds --------------------------------------------------------------------------------------- */

/* Whether a triangle's tape points lie within one thickness of a crease or apex, where the metal of
 * both sides meets anyway. */
static bool near_crease(const job *j, const uint32_t corner[3])
{
    const tw_grid *grid = j->map->grid;

    for (int k = 0; k < 3; k++) {
        const double *tape = j->chart->tape[corner[k]];
        const double reach = 1.5 * j->faces->thickness[corner[k]];
        if ((grid->crease_count > 0 && fabs(tape[0]) <= reach) ||
            (grid->has_apex && hypot(tape[0] - grid->apex[0], tape[1] - grid->apex[1]) <= reach))
            return true;
    }
    return false;
}

/* Whether sides of the inner triangle run the way of the outer ones. Where metal is thicker than both
 * radii, all is turned by half a turn, and areas do not show it. */
static bool runs_along(const job *j, const uint32_t corner[3])
{
    double sum = 0;

    for (int k = 0; k < 3; k++)
        for (int c = 0; c < 3; c++) {
            const uint32_t a = corner[k], b = corner[(k + 1) % 3];
            sum += (j->faces->at[0][b][c] - j->faces->at[0][a][c]) *
                   (j->faces->at[1][b][c] - j->faces->at[1][a][c]);
        }
    return sum > 0;
}

static tw_status check_folds(const job *j, tw_error *err)
{
    for (size_t t = 0; t < j->chart->triangle_count; t++) {
        const uint32_t *corner = j->chart->triangle[t];
        const double *tape = j->chart->tape[corner[0]];
        double area[2][3], out[3];
        for (int c = 0; c < 3; c++)
            out[c] = j->out[corner[0]][c] + j->out[corner[1]][c] + j->out[corner[2]][c];
        for (int face = 0; face < 2; face++)
            vector_area((const double(*)[3])j->faces->at[face], corner, area[face]);
        if ((tw_dot(area[0], out) > 0 && tw_dot(area[1], out) > 0 && runs_along(j, corner)) ||
            near_crease(j, corner))
            continue;
        tw_fail(err, TW_ERR_SHAPE, "the plate folds at [%.1f, %.1f] by tape: it is %.4g mm thick",
                tape[0], tape[1], j->faces->thickness[corner[0]]);
        tw_error_advise(err, NULL, "make it thinner there, or the curve wider");
        return TW_ERR_SHAPE;
    }
    return TW_OK;
}

/* ---- volume kept ----------------------------------------------------------------------------------- */

/** What a node's triangles and walls ask for. */
typedef struct tw_ask {
    double missing, gain; /* volume; volume per move along the node's direction */
    double cut, out[3];   /* area cut off by chords of the boundary; Σ l·w */
} tw_ask;

/* How far the middle of a side's face stands off the middle of its chord. */
static void off_chord(const job *j, int face, uint32_t side, double off[3])
{
    const uint32_t *end = j->chart->side[side];
    const double *a = j->faces->at[face][end[0]], *b = j->faces->at[face][end[1]];

    for (int c = 0; c < 3; c++)
        off[c] = j->middle[face][side][c] - 0.5 * (a[c] + b[c]);
}

static void ask_of_triangles(const job *j, int face, tw_ask *ask)
{
    for (size_t t = 0; t < j->chart->triangle_count; t++) {
        const uint32_t *corner = j->chart->triangle[t];
        double area[3], off[3], missing = 0;
        vector_area((const double(*)[3])j->faces->at[face], corner, area);
        for (int k = 0; k < 3; k++) {
            off_chord(j, face, j->chart->side_of[t][k], off);
            missing += tw_dot(area, off) / 3;
        }
        for (int k = 0; k < 3; k++) {
            ask[corner[k]].missing += missing;
            ask[corner[k]].gain += tw_dot(area, j->out[corner[k]]);
        }
    }
}

static void ask_of_walls(const job *j, int face, tw_ask *ask)
{
    for (size_t n = 0; n < j->chart->wall_count; n++) {
        const uint32_t *end = j->chart->side[j->chart->wall[n]];
        const double *a = j->faces->at[face][end[0]], *b = j->faces->at[face][end[1]];
        /* where a wall leaves a crease its first node is the mitre's, aside of the arc */
        const bool leaves = (j->chart->node_lies[end[0]] || j->chart->node_lies[end[1]]) &&
                            !j->chart->side_lies[j->chart->wall[n]];
        double along[3], normal[3], out[3], off[3];
        for (int c = 0; c < 3; c++) {
            along[c] = b[c] - a[c];
            normal[c] = 0.5 * (j->out[end[0]][c] + j->out[end[1]][c]);
        }
        tw_cross(along, normal, out); /* l·w */
        off_chord(j, face, j->chart->wall[n], off);
        for (int k = 0; k < 2; k++) {
            if (!leaves)
                ask[end[k]].cut += tw_dot(off, out) * 2 / 3;
            for (int c = 0; c < 3; c++)
                ask[end[k]].out[c] += out[c];
        }
    }
}

/* Moves the nodes of one face so that it holds what the curved one does. */
static void stand_out(const job *j, int face, tw_ask *ask)
{
    const double most = MOST * j->chart->spacing;

    memset(ask, 0, j->chart->node_count * sizeof *ask);
    ask_of_triangles(j, face, ask);
    ask_of_walls(j, face, ask);
    for (size_t n = 0; n < j->chart->node_count; n++) {
        const tw_ask *a = &ask[n];
        const double size = length_of(a->out);
        const double up = a->gain > 0 ? fmin(fmax(a->missing / a->gain, -most), most) : 0;
        const double out = size > 0 ? fmin(fmax(a->cut / size, -most), most) / size : 0;
        double by[3];
        if (j->chart->node_lies[n] & TW_LIES_APEX)
            continue; /* a tip stays one */
        for (int c = 0; c < 3; c++) {
            by[c] = up * j->out[n][c] + out * a->out[c];
            j->faces->at[face][n][c] += by[c];
        }
        j->faces->off_face = fmax(j->faces->off_face, length_of(by));
    }
}

tw_status tw_faces_keep_off(const tw_form *form, const tw_map *map, tw_keep_off *out, tw_error *err)
{
    const tw_grid *grid = map->grid;
    const tw_face_side face = tw_form_profile(form)->face;
    double span[2];

    *out = (tw_keep_off){0, 0};
    for (size_t k = 0; k < grid->crease_count; k++) {
        const tw_crease *crease = &grid->creases[k];
        const double t = fmax(map->node[crease->node], map->node[crease->node + grid->nu]);
        tw_face_span(face, t, span);
        out->crease =
            fmax(out->crease, SPARE * fmax(-span[0], span[1]) * tan(0.5 * fabs(crease->turn)));
    }
    if (grid->has_apex) {
        double at[3], direction[3];
        const double t = tw_grid_sample(grid, map->node, grid->apex[0], grid->apex[1]);
        const double more = look(form, grid->apex, TW_LIES_APEX, at, direction);
        tw_face_span(face, t, span);
        out->apex = SPARE * fmax(-span[0], span[1]) * sqrt(fmax(more * more - 1, 0));
    }
    if (isfinite(out->crease) && isfinite(out->apex))
        return TW_OK;
    return tw_fail(err, TW_ERR_DOMAIN, "the map has no thickness on the crease or at the apex");
}

tw_status tw_faces_make(const tw_form *form, const tw_map *map, const tw_chart *chart,
                        unsigned threads, tw_arena *arena, tw_faces *out, tw_error *err)
{
    job j = {.form = form,
             .map = map,
             .chart = chart,
             .face = tw_form_profile(form)->face,
             .faces = out,
             .bare = SIZE_MAX};
    tw_arena *scratch = tw_arena_new();
    tw_ask *ask = NULL;
    bool whole = scratch != NULL;
    tw_status status = TW_OK;
    size_t bare;

    *out = (tw_faces){.off_face = 0};
    for (int face = 0; face < 2 && whole; face++) {
        out->at[face] = tw_arena_array(arena, chart->node_count, sizeof *out->at[face]);
        j.middle[face] = tw_arena_array(scratch, chart->side_count, sizeof *j.middle[face]);
        whole = out->at[face] && j.middle[face];
    }
    if (whole) {
        out->thickness = tw_arena_array(arena, chart->node_count, sizeof *out->thickness);
        j.out = tw_arena_array(scratch, chart->node_count, sizeof *j.out);
        ask = tw_arena_array(scratch, chart->node_count, sizeof *ask);
        whole = out->thickness && j.out && ask;
    }
    if (!whole) {
        status = tw_fail(err, TW_ERR_MEMORY, "no memory for the faces of a solid");
        goto done;
    }
    tw_for_rows(chart->node_count, NODES_PER_BLOCK, threads, find_nodes, &j);
    tw_for_rows(chart->side_count, NODES_PER_BLOCK, threads, find_middles, &j);
    bare = atomic_load(&j.bare);
    if (bare != SIZE_MAX) {
        const double *tape = chart->tape[bare];
        status = tw_fail(err, TW_ERR_DOMAIN, "no thickness above 0 mm at [%.1f, %.1f] by tape",
                         tape[0], tape[1]);
        goto done;
    }
    status = check_folds(&j, err);
    for (int face = 0; face < 2 && status == TW_OK; face++)
        stand_out(&j, face, ask);
done:
    tw_arena_free(scratch);
    return status;
}
