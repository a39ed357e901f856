/*
 * solid.h: a plate in parallel projection along any direction, lit or flat, its real thickness seen at
 * outline and holes. Lengths of the view plane are true in that plane only.
 */
#ifndef DRAW_SOLID_H
#define DRAW_SOLID_H

#include "draw_internal.h"

/** A plate seen from outside along a direction. */
typedef struct tw_sight {
    const tw_plate *plate;
    const double *thickness; /* nu·nv nodes [mm]: what the body has; NULL: the face alone */
    const double *value;     /* nu·nv nodes [mm]: what is coloured; NULL: plain steel */
    tw_scale scale;          /* its colours */
    /* Degrees, where the viewer stands. 0, 0: in front, looking along −z; azimuth > 0 to the plate's +x
     * side, 180 behind; elevation > 0 above (+y). */
    double azimuth, elevation;
    bool shaded;   /* light from the viewer's upper left; else flat colour */
    bool contours; /* level lines of the value on the visible face, and borders of strike zones */
    bool hatch;    /* in place of colours; not lit */
    unsigned threads;
} tw_sight;

/**
 * @brief Extents of what is seen: left, bottom, right, top [mm of the view plane; x and y of the plate
 * when seen from in front].
 */
tw_status tw_sight_extents(const tw_sight *solid, double extents[4], tw_error *err);
/**
 * @brief Draw into a frame of the page whose top left is the left and top of the extents.
 * @param per_mm  design pixels a millimetre
 * @param arena   scratch, about 200 bytes a node and 6 a sample
 * @param taken   labels of level lines keep clear of it and are added
 * The inner face and cut edges are of plain steel; the inner face has the colours when the viewer stands
 * behind. The same samples for any number of threads.
 */
tw_status tw_sight_draw(tw_canvas *canvas, const tw_sight *solid, double x, double y, double per_mm,
                        tw_arena *arena, tw_boxes *taken, tw_error *err);
/**
 * @brief Where a tape point is seen, on a page as tw_sight_draw() makes it with these extents.
 * @return false when it is off the metal, on the side turned away, or behind other metal
 * Looks at every cell: about a millisecond on a grid of 256.
 */
bool tw_sight_at(const tw_sight *solid, const double extents[4], double x, double y, double per_mm,
                 const double tape[2], double page[2]);
/** @brief Ticks of x and y round the frame of a view from in front, as panels have them of tape. */
void tw_sight_ticks(tw_canvas *canvas, const double extents[4], double x, double y, double per_mm,
                    bool numbers_left);

/** Where the viewer stands: "Seen from 30° to the wearer's left, 20° above"; no full stop. */
void tw_sight_from_words(const tw_sight *solid, char *out, size_t size);
/** What the picture shows and what cannot be measured in it, sentences. */
void tw_sight_words(const tw_sight *solid, char *out, size_t size);

#endif
