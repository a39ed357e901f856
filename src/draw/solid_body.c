/*
 * solid_body.c: a plate as triangles in axes of the view. Whole cells give two triangles a face, cells
 * with outline in them the trapezoids that are metal, every piece of outline a wall from the outer to the
 * inner face. Normals at nodes are the cross product of differences of second order of the nodes'
 * positions, on either side of a crease of its own; the inner face lies the thickness along them, at a
 * crease on the plane that halves the angle, t/cos(β/2) along the bisector.
 */
#include "solid_internal.h"

#include <math.h>
#include <string.h>

static const double MITRE = 3; /* of the thickness, at most */

/* ---- nodes ------------------------------------------------------------------------------------------ */

/* Places of three nodes and their weights for a difference at node k of `low` … `high`. */
static void difference(size_t k, size_t low, size_t high, size_t at[3], double weight[3])
{
    if (high - low < 2) {
        at[0] = at[1] = low;
        at[2] = high;
        weight[0] = -1;
        weight[1] = 0;
        weight[2] = 1;
    } else if (k == low || k == high) {
        const double sign = k == low ? 1 : -1;
        for (size_t n = 0; n < 3; n++)
            at[n] = k == low ? k + n : k - n;
        weight[0] = -1.5 * sign;
        weight[1] = 2 * sign;
        weight[2] = -0.5 * sign;
    } else {
        at[0] = k - 1;
        at[1] = k;
        at[2] = k + 1;
        weight[0] = -0.5;
        weight[1] = 0;
        weight[2] = 0.5;
    }
}

/* Outward normal in space, differences across taken between columns low and high. */
static void node_normal(const tw_grid *grid, size_t i, size_t j, size_t low, size_t high,
                        double normal[3])
{
    const double *const axis[3] = {grid->x, grid->y, grid->z};
    size_t across[3], up[3];
    double across_weight[3], up_weight[3], by_across[3] = {0}, by_up[3] = {0}, length;

    difference(i, low, high, across, across_weight);
    difference(j, 0, grid->nv - 1, up, up_weight);
    for (int d = 0; d < 3; d++)
        for (int n = 0; n < 3; n++) {
            by_across[d] += across_weight[n] * axis[d][j * grid->nu + across[n]];
            by_up[d] += up_weight[n] * axis[d][up[n] * grid->nu + i];
        }
    tw_cross(by_across, by_up, normal);
    length = sqrt(tw_dot(normal, normal));
    for (int d = 0; d < 3; d++)
        normal[d] = length > 0 ? normal[d] / length : d == 2;
}

/* How far outer and inner face lie outward of the reference face, in thicknesses. */
static void faces_at(tw_face_side face, double out[2])
{
    out[0] = face == TW_FACE_OUTSIDE ? 0 : face == TW_FACE_MIDDLE ? 0.5 : 1;
    out[1] = out[0] - 1;
}

static void put_corner(const tw_body *body, size_t index, const double position[3],
                       const double normal[3], double sign, size_t node)
{
    tw_corner *corner = &body->corners[index];

    for (int d = 0; d < 3; d++) {
        corner->at[d] = tw_dot(body->gaze.axis[d], position);
        corner->normal[d] = (float)(sign * tw_dot(body->gaze.axis[d], normal));
    }
    corner->value = body->solid->value ? (float)body->solid->value[node] : 0;
}

/* Both faces at a node, which lie along `offset` and have `normal`. */
static void put_node(const tw_body *body, size_t i, size_t j, size_t column, const double offset[3],
                     const double normal[3])
{
    const tw_grid *grid = body->grid;
    const size_t node = j * grid->nu + i;
    double share[2];

    faces_at(body->solid->plate->profile->face, share);
    for (int side = 0; side < (body->solid->thickness ? 2 : 1); side++) {
        const double t = body->solid->thickness ? share[side] * body->solid->thickness[node] : 0;
        const double position[3] = {grid->x[node] + t * offset[0], grid->y[node] + t * offset[1],
                                    grid->z[node] + t * offset[2]};
        put_corner(body, tw_body_node(body, side ? TW_SIDE_INNER : TW_SIDE_OUTER, i, j, column),
                   position, normal, side ? -1 : 1, node);
    }
}

static void put_crease_node(const tw_body *body, size_t j)
{
    const tw_grid *grid = body->grid;
    const size_t i = body->centre;
    double normal[2][3], offset[3], length, cosine;

    node_normal(grid, i, j, 0, i, normal[0]);
    node_normal(grid, i, j, i, grid->nu - 1, normal[1]);
    for (int d = 0; d < 3; d++)
        offset[d] = normal[0][d] + normal[1][d];
    length = sqrt(tw_dot(offset, offset));
    cosine = length > 0 ? tw_dot(offset, normal[0]) / length : 1;
    for (int d = 0; d < 3; d++)
        offset[d] =
            length > 0 ? offset[d] / length * fmin(1 / fmax(cosine, 1e-9), MITRE) : normal[0][d];
    put_node(body, i, j, i - 1, offset, normal[0]);
    put_node(body, i, j, i, offset, normal[1]);
}

size_t tw_body_node(const tw_body *body, tw_sight_side side, size_t i, size_t j, size_t column)
{
    const size_t nodes = body->grid->nu * body->grid->nv, sides = body->solid->thickness ? 2 : 1;
    const size_t inner = side == TW_SIDE_INNER && sides == 2;

    if (i == body->centre && column < i)
        return sides * nodes + (inner ? body->grid->nv : 0) + j;
    return (inner ? nodes : 0) + j * body->grid->nu + i;
}

static void put_node_rows(size_t first, size_t last, void *context)
{
    const tw_body *body = context;

    for (size_t j = first; j < last; j++)
        for (size_t i = 0; i < body->grid->nu; i++) {
            double normal[3];
            if (i == body->centre) {
                put_crease_node(body, j);
                continue;
            }
            node_normal(
                body->grid, i, j, body->centre != SIZE_MAX && i > body->centre ? body->centre : 0,
                body->centre != SIZE_MAX && i < body->centre ? body->centre : body->grid->nu - 1,
                normal);
            put_node(body, i, j, i, normal, normal);
        }
}

/* ---- places between nodes ---------------------------------------------------------------------------- */

void tw_body_in_cell(const tw_body *body, tw_sight_side side, size_t column, size_t row, double i,
                     double j, tw_corner *out)
{
    const double f = i - (double)column, g = j - (double)row;
    const double weight[4] = {(1 - f) * (1 - g), f * (1 - g), f * g, (1 - f) * g};
    double at[3] = {0}, normal[3] = {0}, value = 0;

    for (size_t k = 0; k < 4; k++) {
        const tw_corner *corner = &body->corners[tw_body_node(
            body, side, column + (k == 1 || k == 2), row + k / 2, column)];
        for (int d = 0; d < 3; d++) {
            at[d] += weight[k] * corner->at[d];
            normal[d] += weight[k] * (double)corner->normal[d];
        }
        value += weight[k] * (double)corner->value;
    }
    for (int d = 0; d < 3; d++) {
        out->at[d] = at[d];
        out->normal[d] = (float)normal[d];
    }
    out->value = (float)value;
}

void tw_body_at(const tw_body *body, tw_sight_side side, double i, double j, tw_corner *out)
{
    const double column = fmin(fmax(floor(i), 0), (double)(body->grid->nu - 2));
    const double row = fmin(fmax(floor(j), 0), (double)(body->grid->nv - 2));

    tw_body_in_cell(body, side, (size_t)column, (size_t)row, i, j, out);
}

/* ---- triangles ------------------------------------------------------------------------------------- */

typedef struct builder {
    tw_body *body;
    bool facing, ink; /* without ink only the counts grow */
} builder;

static double doubled_area(const tw_body *body, const uint32_t corner[3])
{
    const double *a = body->corners[corner[0]].at, *b = body->corners[corner[1]].at;
    const double *c = body->corners[corner[2]].at;

    return (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
}

/* Without a thickness the same face is seen from both sides. */
static void add_triangle(const builder *work, uint32_t a, uint32_t b, uint32_t c,
                         tw_sight_side side)
{
    tw_body *body = work->body;
    tw_triangle triangle = {{a, b, c}, (uint32_t)side};

    if (work->ink) {
        const double area = doubled_area(body, triangle.corner);
        const bool open = !body->solid->thickness;
        if (!(fabs(area) > 0) || (work->facing && !open && area < 0))
            return;
        if (open && area < 0)
            triangle = (tw_triangle){{a, c, b}, TW_SIDE_INNER};
        body->triangles[body->triangle_count] = triangle;
    }
    body->triangle_count++;
}

/* Corners go round anticlockwise as the outer face is seen from outside. */
static void add_quad(const builder *work, const uint32_t corner[4], tw_sight_side side)
{
    if (side == TW_SIDE_INNER) {
        add_triangle(work, corner[0], corner[2], corner[1], side);
        add_triangle(work, corner[0], corner[3], corner[2], side);
    } else {
        add_triangle(work, corner[0], corner[1], corner[2], side);
        add_triangle(work, corner[0], corner[2], corner[3], side);
    }
}

static void add_cell(const builder *work, size_t i, size_t j)
{
    for (int inner = 0; inner < (work->body->solid->thickness ? 2 : 1); inner++) {
        const tw_sight_side side = inner ? TW_SIDE_INNER : TW_SIDE_OUTER;
        uint32_t corner[4] = {0};
        for (size_t k = 0; work->ink && k < 4; k++)
            corner[k] =
                (uint32_t)tw_body_node(work->body, side, i + (k == 1 || k == 2), j + k / 2, i);
        add_quad(work, corner, side);
    }
}

static uint32_t add_corner(const builder *work, tw_sight_side side, size_t column, size_t row,
                           double i, double j)
{
    tw_body *body = work->body;

    if (work->ink)
        tw_body_in_cell(body, side, column, row, i, j, &body->corners[body->corner_count]);
    return (uint32_t)body->corner_count++;
}

static void add_trapezoid(const builder *work, size_t column, size_t row, const tw_trapezoid *shape)
{
    for (int inner = 0; inner < (work->body->solid->thickness ? 2 : 1); inner++) {
        const tw_sight_side side = inner ? TW_SIDE_INNER : TW_SIDE_OUTER;
        uint32_t corner[4];
        corner[0] = add_corner(work, side, column, row, shape->left[0], shape->height[0]);
        corner[1] = add_corner(work, side, column, row, shape->right[0], shape->height[0]);
        corner[2] = add_corner(work, side, column, row, shape->right[1], shape->height[1]);
        corner[3] = add_corner(work, side, column, row, shape->left[1], shape->height[1]);
        add_quad(work, corner, side);
    }
}

/* Outward from metal on the left of its outer edge. */
static void set_wall_normal(tw_body *body, const uint32_t corner[4])
{
    const tw_corner *from = &body->corners[corner[0]], *to = &body->corners[corner[1]];
    double along[3], outer[3], normal[3], length;

    for (int d = 0; d < 3; d++) {
        along[d] = to->at[d] - from->at[d];
        outer[d] = (double)from->normal[d] + (double)to->normal[d];
    }
    tw_cross(along, outer, normal);
    length = sqrt(tw_dot(normal, normal));
    for (int k = 0; k < 4; k++)
        for (int d = 0; d < 3; d++)
            body->corners[corner[k]].normal[d] = (float)(length > 0 ? normal[d] / length : d == 2);
}

static void add_wall(const builder *work, const tw_cut_piece *piece)
{
    uint32_t corner[4]; /* outer from, outer to, inner to, inner from */

    for (int k = 0; k < 4; k++) {
        const double *at = k == 0 || k == 3 ? piece->from : piece->to;
        corner[k] = add_corner(work, k < 2 ? TW_SIDE_OUTER : TW_SIDE_INNER, piece->column,
                               piece->row, at[0], at[1]);
    }
    if (work->ink)
        set_wall_normal(work->body, corner);
    add_triangle(work, corner[3], corner[2], corner[1], TW_SIDE_WALL);
    add_triangle(work, corner[3], corner[1], corner[0], TW_SIDE_WALL);
}

static void add_cut_cell(const builder *work, size_t first, size_t last, tw_trapezoid *scratch)
{
    const tw_cut_pieces *pieces = &work->body->pieces;
    const tw_cut_piece *own = &pieces->all[pieces->by_cell[first]];
    const size_t count = tw_pieces_metal(pieces, first, last, scratch);
    const tw_trapezoid none = {{0}, {0}, {0}};

    for (size_t k = 0; k < count; k++)
        add_trapezoid(work, own->column, own->row, scratch ? &scratch[k] : &none);
    if (work->body->solid->thickness)
        for (size_t k = first; k < last; k++)
            add_wall(work, &pieces->all[pieces->by_cell[k]]);
}

/* All cells of a row; returns the most trapezoids of one. */
static size_t add_row(const builder *work, size_t j, tw_trapezoid *scratch)
{
    const tw_grid *grid = work->body->grid;
    const tw_cut_pieces *pieces = &work->body->pieces;
    size_t k = pieces->row_start[j], most = 0;

    for (size_t i = 0; i + 1 < grid->nu; i++) {
        const size_t first = k;
        while (k < pieces->row_start[j + 1] && pieces->all[pieces->by_cell[k]].column == i)
            k++;
        if (k > first) {
            if (!work->ink) {
                const size_t count = tw_pieces_metal(pieces, first, k, NULL);
                most = count > most ? count : most;
            }
            add_cut_cell(work, first, k, scratch);
        } else if (grid->cover[j * (grid->nu - 1) + i] > 0.5) {
            add_cell(work, i, j);
        }
    }
    return most;
}

static tw_status add_all(tw_body *body, bool facing, tw_arena *arena, tw_error *err)
{
    const builder count = {body, facing, false}, ink = {body, facing, true};
    const size_t nodes = body->corner_count;
    size_t most = 0;
    tw_trapezoid *scratch;

    for (size_t j = 0; j + 1 < body->grid->nv; j++) {
        const size_t here = add_row(&count, j, NULL);
        most = here > most ? here : most;
    }
    scratch = tw_arena_array(arena, most + 1, sizeof *scratch);
    body->triangles = tw_arena_array(arena, body->triangle_count, sizeof *body->triangles);
    body->corners = tw_arena_array(arena, body->corner_count, sizeof *body->corners);
    if (!scratch || !body->triangles || !body->corners)
        return tw_fail(err, TW_ERR_MEMORY, "no memory for a view of %zu triangles",
                       body->triangle_count);
    body->corner_count = nodes;
    body->triangle_count = 0;
    tw_for_rows(body->grid->nv, 8, body->solid->threads, put_node_rows, body);
    for (size_t j = 0; j + 1 < body->grid->nv; j++)
        add_row(&ink, j, scratch);
    return TW_OK;
}

tw_status tw_body_make(const tw_sight *solid, bool facing, tw_arena *arena, tw_body *out,
                       tw_error *err)
{
    const tw_grid *grid = solid->plate->grid;
    const size_t sides = solid->thickness ? 2 : 1;
    tw_status status;

    *out = (tw_body){.solid = solid, .grid = grid, .gaze = tw_sight_gaze(solid)};
    out->centre = grid->crease_count ? grid->creases[0].node % grid->nu : SIZE_MAX;
    out->corner_count = sides * (grid->nu * grid->nv + (grid->crease_count ? grid->nv : 0));
    status = tw_pieces_make(grid, tw_form_outline(solid->plate->form), arena, &out->pieces, err);
    return status == TW_OK ? add_all(out, facing, arena, err) : status;
}
