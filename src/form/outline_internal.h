/*
 * outline_internal.h: shared by the files that turn edges and holes into lines and lines into
 * metal: outline*.c, holes.c, sample*.c, locate.c, measure.c. Everything here is in tape
 * coordinates [across, up] unless it says otherwise.
 */
#ifndef OUTLINE_INTERNAL_H
#define OUTLINE_INTERNAL_H

#include "form_internal.h"

struct tw_form {
    const tw_profile *profile; /* borrowed */
    tw_arena *arena;           /* owns the form and all below */
    tw_surface *surface;
    tw_edge_line *rim; /* the form's own boundary, rim_count lines; none on a flat form */
    size_t rim_count;
    tw_outline outline;
    bool reversed; /* edges were listed clockwise and have been turned round */
    double
        search[4]; /* across_min, across_max, up_min, up_max: where a space point is looked for */
};

#define TW_PULL_IN   3.0   /* points up to this far outside the form are pulled in [mm] */
#define TW_ENDS_MEET 1.0   /* ends of edges meet within this [mm] */
#define TW_CHORD     0.002 /* farthest a straight piece lies from its curve [mm] */
#define TW_ON_RIM    0.01  /* outside by less than this is on the boundary [mm] */

/** A line that grows; `failed` stays set once memory ran out, so it is asked once at the end. */
typedef struct tw_line {
    tw_arena *arena;
    double (*at)[2];
    size_t count, room;
    bool failed;
} tw_line;
void tw_line_add(tw_line *line, double across, double up);
/** Polygon or open line straight through the points; a closed one repeats its first point. */
void tw_line_straight(tw_line *line, const double (*points)[2], size_t count, bool closed);
/** Centripetal Catmull–Rom through the points (2 or more, 3 when closed). */
void tw_line_smooth(tw_line *line, const double (*points)[2], size_t count, bool closed);
/**
 * As tw_line_straight() with each inner corner rounded by an arc of `radius`.
 * @return SIZE_MAX, or the index of the first point where the arc does not fit
 */
size_t tw_line_rounded(tw_line *line, const double (*points)[2], size_t count, bool closed,
                       double radius);
/** A polygon of the area of the ellipse centre + cos·first + sin·second, first point repeated. */
void tw_line_ellipse(tw_line *line, const double centre[2], const double first[2],
                     const double second[2]);

/** Moves the boundary's points outward by microns, so that its lines enclose the curve's area. */
tw_status tw_rim_keep_area(tw_form *form, tw_error *err);
/** One closed boundary with the lines it is made of joined. */
typedef struct tw_ring {
    size_t count; /* points; the first is not repeated */
    double (*at)[2];
} tw_ring;
tw_status tw_ring_join(const tw_form *form, tw_ring *ring, tw_error *err);
/** @return distance of the nearest ring point; `where` is its piece and share of it, `foot` it. */
double tw_ring_nearest(const tw_ring *ring, const double point[2], double *where, double foot[2]);
/** Follow the ring from one place to another, forward (anticlockwise) or back. */
void tw_ring_follow(const tw_ring *ring, double from, double to, bool forward, tw_line *line);

/** Count of points pulled in and the farthest of them, for the one note about all. */
typedef struct tw_pulled {
    size_t count;
    double farthest;
} tw_pulled;
/** Pull a point in, or fail naming what and where when it is too far outside. */
tw_status tw_pull_point(const tw_form *form, const tw_ring *ring, const char *edge, size_t number,
                        double at[2], tw_pulled *pulled, tw_error *err);
/** The same for a whole line, which is divided where it leaves the form between its points. */
tw_status tw_pull_line(const tw_form *form, const tw_ring *ring, tw_edge_line *line,
                       tw_pulled *pulled, tw_error *err);

/** One straight piece of outline or hole, a to b, with metal on its left. */
typedef struct tw_segment {
    double a[2], b[2];
    uint32_t line; /* edge number, or edge_count + hole number */
    uint32_t next; /* the piece that begins where this one ends */
} tw_segment;
/** @return how many pieces tw_outline_segments() writes at most. */
size_t tw_outline_segment_room(const tw_outline *outline);
/** @return count of pieces; those without length are left out. */
size_t tw_outline_segments(const tw_outline *outline, tw_segment *segments);
/** @return signed area of the closed ring of edges, > 0 anticlockwise. */
double tw_edges_area(const tw_edge_line *edges, size_t count);
/**
 * Look for pieces that cross or touch, other than neighbours at their common end.
 * @param      arena          for scratch
 * @param[out] first, second  the pair met first in order of across, when found
 */
tw_status tw_segments_cross(const tw_segment *segments, size_t count, tw_arena *arena, bool *found,
                            size_t *first, size_t *second, tw_error *err);
double tw_segment_distance2(const tw_segment *segment, double across, double up);
/** @return whether the point is inside the outline and outside all holes. */
bool tw_segments_inside(const tw_segment *segments, size_t count, double across, double up);
/** Crossings of the line of constant across with outline and holes, ascending; `ups` has room for
 * one per segment. Metal lies between the first and second, third and fourth … @return count. */
size_t tw_segments_crossings(const tw_segment *segments, size_t count, double across, double *ups);

/** Lines of the edges listed in the profile, in their own order. */
tw_status tw_edges_build(tw_form *form, const tw_ring *ring, tw_pulled *pulled, tw_notes *notes,
                         tw_error *err);
/** TW_ERR_SHAPE when a ring of edges crosses itself or encloses nothing. */
tw_status tw_edges_check(const tw_form *form, const tw_edge_line *edges, size_t count,
                         tw_error *err);
tw_status tw_outline_build(tw_form *form, tw_notes *notes, tw_error *err);
tw_status tw_holes_build(tw_form *form, tw_error *err);

/**
 * tw_outline_level() at every node of a grid whose size, place and steps are set. Sign and zero are
 * exact everywhere, the distance within two steps of the outline too; farther in it is the
 * distance from the nearest piece found by handing pieces from node to node, which is never too
 * small and very rarely too large by more than rounding.
 */
tw_status tw_outline_levels(const tw_segment *segments, size_t count, tw_grid *grid, tw_error *err);
/**
 * Cover and cut cells of a grid whose size, place and steps are set.
 * @param[out] cuts  in the grid's arena
 */
tw_status tw_outline_cover(const tw_segment *segments, size_t count, tw_grid *grid, tw_error *err);

/** Sets the place of an error already set. @return its status */
tw_status tw_form_fail_at(const tw_form *form, tw_place place, tw_error *err);

#endif
