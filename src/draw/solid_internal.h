/* solid_internal.h: the parts of a plate's view: triangles, outline cut to cells, samples, lines. */
#ifndef DRAW_SOLID_INTERNAL_H
#define DRAW_SOLID_INTERNAL_H

#include "solid.h"

/** Axes of the view: X to the viewer's right, Y up, Z toward the viewer. */
typedef struct tw_gaze {
    double axis[3][3];
} tw_gaze;
tw_gaze tw_sight_gaze(const tw_sight *solid);
/** True when the inner face has the colours, as the viewer stands behind. */
bool tw_sight_colours_inside(const tw_sight *solid);

typedef enum tw_sight_side {
    TW_SIDE_OUTER,
    TW_SIDE_INNER,
    TW_SIDE_WALL,
    TW_SIDE_NONE
} tw_sight_side;

/* ---- outline, cut at the lines of the grid ------------------------------------------------------ */

/** A straight piece of outline or hole inside one cell, in grid index coordinates; metal on its left. */
typedef struct tw_cut_piece {
    double from[2], to[2];
    uint32_t column, row; /* of the cell */
    bool corner;          /* the line turns sharply where the piece begins */
} tw_cut_piece;
/** A piece that crosses a slab of its cell, by where it does so half way up. */
typedef struct tw_crossing {
    double across;
    size_t piece;
} tw_crossing;
typedef struct tw_cut_pieces {
    size_t count;
    tw_cut_piece *all;      /* loop after loop, in order round it */
    uint32_t *by_cell;      /* count: indices by row, then column */
    size_t *row_start;      /* nv: of each row in by_cell, and the end */
    size_t most;            /* in one cell */
    double *scratch;        /* 2·most + 2 */
    tw_crossing *crossings; /* most */
} tw_cut_pieces;
tw_status tw_pieces_make(const tw_grid *grid, const tw_outline *outline, tw_arena *arena,
                         tw_cut_pieces *out, tw_error *err);
/** Metal of a cell between two heights: from left[] to right[] at low and high. */
typedef struct tw_trapezoid {
    double height[2], left[2], right[2];
} tw_trapezoid;
/**
 * @brief The metal of a cell that has pieces, exactly, as trapezoids.
 * @param first, last  the cell's pieces in by_cell
 * @param out          NULL: only count
 */
size_t tw_pieces_metal(const tw_cut_pieces *pieces, size_t first, size_t last, tw_trapezoid *out);

/* ---- triangles ----------------------------------------------------------------------------------- */

/** A corner of triangles, in axes of the view [mm]. */
typedef struct tw_corner {
    double at[3];
    float normal[3]; /* outward from the metal, length 1 */
    float value;
} tw_corner;
typedef struct tw_triangle {
    uint32_t corner[3]; /* anticlockwise seen from outside the metal */
    uint32_t side;      /* tw_sight_side */
} tw_triangle;
/** Corners come as outer nodes, inner nodes, then those two for the cells left of a crease (nv each), then
 * what the outline cuts. The inner ones are missing without a thickness. */
typedef struct tw_body {
    const tw_sight *solid;
    const tw_grid *grid;
    tw_gaze gaze;
    tw_cut_pieces pieces;
    size_t centre; /* column of nodes of the crease; SIZE_MAX without */
    size_t corner_count, triangle_count;
    tw_corner *corners;
    tw_triangle *triangles;
} tw_body;
/** @param facing  only triangles that the viewer can see from outside the metal */
tw_status tw_body_make(const tw_sight *solid, bool facing, tw_arena *arena, tw_body *out,
                       tw_error *err);
/** @return index of a node's corner as a cell of this column has it. */
size_t tw_body_node(const tw_body *body, tw_sight_side side, size_t i, size_t j, size_t column);
/** The face at a place in grid index coordinates; the normal's length is about 1. */
void tw_body_at(const tw_body *body, tw_sight_side side, double i, double j, tw_corner *out);
/** The same as a cell has it, which may end at a crease. */
void tw_body_in_cell(const tw_body *body, tw_sight_side side, size_t column, size_t row, double i,
                     double j, tw_corner *out);

/* ---- samples -------------------------------------------------------------------------------------- */

/** Samples of the page: (X, Y) of the view lies at (X − left)·per_mm + offset, from the left, and
 * (top − Y)·per_mm + offset from above. */
typedef struct tw_samples {
    size_t width, height;
    double left, top, per_mm, offset[2];
    double design[2], per_design; /* page place of the first sample; samples a design pixel */
    float *depth;                 /* width·height: Z of what is seen; −INFINITY: nothing */
    unsigned char *side;          /* width·height: tw_sight_side */
    cairo_surface_t *image;       /* pair with cairo_surface_destroy() */
} tw_samples;
/** @brief Fill depth, side and image; width … per_design are set. */
tw_status tw_samples_fill(const tw_body *body, tw_samples *samples, tw_arena *arena, tw_error *err);

/* ---- lines --------------------------------------------------------------------------------------- */

/** What lines are drawn on and hidden by. */
typedef struct tw_scene {
    tw_canvas *canvas;
    const tw_body *body;
    const tw_samples *samples;
    double x, y, per_mm; /* of the frame, design pixels */
    tw_arena *arena;
    tw_boxes *taken;
} tw_scene;
/** A line on the page with what is seen of it. */
typedef struct tw_trail {
    size_t count;
    double (*at)[2]; /* count: design pixels */
    bool *seen;      /* count */
} tw_trail;
/**
 * @brief A line on a face, closely followed.
 * @param line   in grid index coordinates less `shift`
 * @param edge   an edge of what is seen, else a line on the face
 */
tw_status tw_trail_of(const tw_scene *scene, const tw_contour *line, double shift,
                      tw_sight_side side, bool edge, tw_trail *out, tw_error *err);
/** @return length of points first … last − 1, seen or not [design pixels]. */
double tw_trail_length(const tw_trail *trail, size_t first, size_t last);
/** @brief Add what is seen to the path. */
void tw_trail_path(const tw_scene *scene, const tw_trail *trail);
/** @brief Level lines of the value on a face, and their labels. */
tw_status tw_sight_levels(const tw_scene *scene, tw_sight_side side, tw_error *err);
/** @brief Borders of strike zones on a face. */
tw_status tw_sight_zones(const tw_scene *scene, tw_sight_side side, tw_error *err);

/** @brief Silhouette, outline, crease, level lines and zone borders where they are seen. */
tw_status tw_sight_lines(tw_canvas *canvas, const tw_body *body, const tw_samples *samples,
                         double x, double y, double per_mm, tw_arena *arena, tw_boxes *taken,
                         tw_error *err);

#endif
