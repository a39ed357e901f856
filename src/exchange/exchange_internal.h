/*
 * exchange_internal.h: shared inside the exchange room. delaunay.c joins points in the plane, chart.c
 * chooses them and keeps what lies in metal, faces.c carries that into space, solid.c closes it.
 */
#ifndef EXCHANGE_INTERNAL_H
#define EXCHANGE_INTERNAL_H

#include "taperwright/exchange.h"

#define TW_NONE UINT32_MAX

/* ---- triangles between points of the plane ------------------------------------------------- */

/** Marks of a triangle's side. */
enum {
    TW_SIDE_FIXED = 1,    /**< stays a side */
    TW_SIDE_BOUNDARY = 2, /**< outline or hole */
    TW_SIDE_METAL = 4     /**< boundary, and this triangle is on the metal's side of it */
};
enum { TW_CORNERS = 3 }; /* the first nodes are the corners of a triangle about all others */
/** Largest size of a coordinate, so that every sign is exact in 128 bits. */
#define TW_PLANE_HALF (INT32_C(1) << 29)

typedef struct tw_plane {
    size_t node_count, triangle_count;
    int32_t (*at)[2];      /* node_count */
    uint32_t *of;          /* node_count: a triangle there */
    uint32_t (*corner)[3]; /* triangle_count, anticlockwise */
    uint32_t (*beside)[3]; /* the triangle across the side that lies against a corner, or TW_NONE */
    unsigned char (*mark)[3]; /* of the side against a corner */
    size_t node_room, triangle_room, ring_room;
    uint32_t last;       /* where the next search begins */
    uint32_t (*ring)[2]; /* scratch: sides that cross a line, a queue */
    uint32_t *stack;     /* scratch */
} tw_plane;
/** @brief An empty plane with room for `points` nodes, one large triangle about them all. */
tw_status tw_plane_new(tw_arena *arena, size_t points, tw_plane *out, tw_error *err);
/** @return the new node, or the one that is there already. All before the first side is fixed. */
uint32_t tw_plane_add(tw_plane *plane, const int32_t at[2]);
/**
 * @brief Make the line from a to b a chain of sides; nodes upon it divide it.
 * @param boundary  metal lies on the left of it
 * @return whether it could be: no other fixed side is in its way
 */
bool tw_plane_fix(tw_plane *plane, uint32_t a, uint32_t b, bool boundary);

/* ---- the chart in triangles ----------------------------------------------------------------- */

/** The metal in the tape chart. */
typedef struct tw_chart {
    size_t node_count, triangle_count, side_count, wall_count;
    double (*tape)[2];        /* node_count */
    uint32_t (*triangle)[3];  /* anticlockwise */
    uint32_t (*side_of)[3];   /* triangle_count: the side against each corner */
    uint32_t (*side)[2];      /* side_count: nodes at its ends */
    unsigned char *node_lies; /* node_count: TW_LIES_… */
    unsigned char *side_lies; /* side_count: the same of its middle */
    uint32_t *wall;           /* wall_count: boundary sides, whose ends have metal on their left */
    double spacing;
} tw_chart;
enum {
    TW_LIES_LEFT = 1,  /* on a crease, with metal to the left */
    TW_LIES_RIGHT = 2, /* and to the right; neither: the face is smooth there */
    TW_LIES_APEX = 4
};
/** How near to a crease and to an apex no other points may be, since the metal of both sides meets
 * there [mm]. */
typedef struct tw_keep_off {
    double crease, apex;
} tw_keep_off;
tw_status tw_chart_make(const tw_form *form, const tw_grid *grid, double spacing,
                        const tw_keep_off *keep_off, unsigned threads, tw_arena *arena,
                        tw_chart *out, tw_error *err);

/* ---- both faces ------------------------------------------------------------------------------ */

/** Positions of both faces at the chart's nodes. */
typedef struct tw_faces {
    double (*at[2])[3]; /* outer, inner: node_count each [mm] */
    double *thickness;  /* node_count [mm] */
    double off_face;    /* farthest that a node was moved [mm] */
} tw_faces;
tw_status tw_faces_keep_off(const tw_form *form, const tw_map *map, tw_keep_off *out,
                            tw_error *err);
tw_status tw_faces_make(const tw_form *form, const tw_map *map, const tw_chart *chart,
                        unsigned threads, tw_arena *arena, tw_faces *out, tw_error *err);

#endif
