/* views.h: pictures that tw_draw_views() sets on a page, and what they are drawn from. */
#ifndef DRAW_VIEWS_H
#define DRAW_VIEWS_H

#include "layout.h"

/* ---- a section ------------------------------------------------------------------------------- */

/** A cut laid into a plane: x along the bench from the line's left end, y up from the bench [mm]. */
typedef struct tw_section {
    const tw_cut *cut;
    double factor;      /* how many times thickness is drawn */
    double wanted;      /* more than that where it would turn the inner face over; else 0 */
    double off_plane;   /* farthest of the line from its plane */
    bool bench;         /* y counts from the bench; the plane may be parallel to it */
    bool even;          /* one way of drawing does for it: nothing left to exaggerate */
    double (*outer)[2]; /* of each point of the cut */
    double (*inner)[2];
    double (*normal)[2];             /* out of the metal */
    bool *mitred;                    /* inner is where two faces meet instead */
    double left, bottom, right, top; /* of all of it */
} tw_section;
/**
 * @brief Lay a cut into the plane nearest to it, thickness drawn square to the face.
 * @param factor  0: a round figure at which thickness reads; held to what does not turn the inner face over
 */
tw_status tw_section_make(const tw_cut *cut, tw_face_side face, double factor, tw_arena *arena,
                          tw_section *out, tw_error *err);

/* ---- on the page ------------------------------------------------------------------------------- */

/** What the pictures of one page have in common. */
typedef struct tw_views {
    const tw_view_request *request;
    const tw_draw_options *options;
    tw_scale scale;     /* of the quantity */
    tw_scale thickness; /* of thickness; the same where that is the quantity */
    const double *node; /* the quantity at the grid's nodes */
} tw_views;
/** One picture. */
typedef struct tw_view_work {
    const tw_views *page;
    const tw_view *view;
    tw_cut cut;
    tw_section sections[2]; /* true, exaggerated */
    tw_shares shares;
} tw_view_work;

/** @brief Fill a tile for a view's picture; words and heading too. */
tw_status tw_section_tile(tw_view_work *work, tw_arena *arena, tw_tile *tile, tw_error *err);
void tw_along_tile(tw_view_work *work, tw_tile *tile);
tw_status tw_share_tile(tw_view_work *work, tw_tile *tile, tw_error *err);
void tw_tape_tile(tw_view_work *work, tw_tile *tile);
tw_status tw_sight_tile(tw_view_work *work, tw_arena *arena, tw_tile *tile, tw_error *err);

/** "1.10 mm at the waist, 2.20 mm at 285 mm, 1.20 mm at the neck": a line's ends and extremes. */
/** "285 mm up", "40 mm left", "120 mm along". */
void tw_cut_place(const tw_cut *cut, double along, tw_units units, char *out, size_t size);
void tw_cut_words(const tw_cut *cut, tw_units units, char *out, size_t size);
/** @return the face's colour by thickness, or grey where colours say something else or are not wanted. */
void tw_view_colour(const tw_views *page, const tw_canvas *canvas, double mm, double rgb[3]);
/** "285": a tape length on an axis. */
void tw_tape_text(double mm, double step, tw_units units, char *out, size_t size);
/** @brief Point of a cut at a tape length, between its points; false in a gap or off its ends. */
bool tw_cut_at(const tw_cut *cut, double along, size_t *before, double *share);
/** @brief Try to stand a text near a place; takes the box.
 * @return false when there is no room */
bool tw_label_near(tw_canvas *canvas, const char *text, const tw_lettering *letters,
                   const double at[2], const double way[2], double nearest, tw_boxes *taken);
/** @brief Take the places of a line on the page. */
void tw_boxes_line(tw_boxes *taken, const double from[2], const double to[2], double spare);

#endif
