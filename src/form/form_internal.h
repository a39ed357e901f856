/*
 * form_internal.h: shared inside the form room. A surface is a form without its outline: the map
 * from tape coordinates to space and its own boundary. surface*.c, bowl.c, loft*.c write it;
 * outline*.c, sample.c, locate.c use it.
 */
#ifndef FORM_INTERNAL_H
#define FORM_INTERNAL_H

#include "taperwright/form.h"

typedef struct tw_surface tw_surface;

/** Build the surface of a profile's form in an arena. Errors carry the place in the profile. */
tw_status tw_surface_build(const tw_profile *profile, tw_arena *arena, tw_surface **out,
                           tw_notes *notes, tw_error *err);
/** The face at a tape point; side < 0 takes the negative side of a crease, else the positive. */
void tw_surface_at(const tw_surface *surface, double across, double up, int side,
                   tw_face_point *out);
/** Bytes of scratch one thread needs for tw_surface_row(); may be 0. */
size_t tw_surface_scratch(const tw_surface *surface);
/** The face along one row: count points of equal up, fast. On across = 0 the positive side. */
void tw_surface_row(const tw_surface *surface, double up, size_t count, const double *across,
                    void *scratch, tw_face_point *out);
/**
 * The form's own boundary as named lines in tape coordinates, anticlockwise seen from outside,
 * each ending where the next begins: bowl "rim" (closed); loft "lower", "right", "upper", "left"
 * (+across is right). A flat form has none: count 0.
 */
tw_status tw_surface_boundary(const tw_surface *surface, tw_arena *arena, tw_edge_line **edges,
                              size_t *count, tw_error *err);
/** How far a tape point lies outside the boundary [mm of tape], <= 0 inside; flat: -INFINITY. */
double tw_surface_excess(const tw_surface *surface, double across, double up);
/** True when the face has a crease along across = 0 (a keel); false elsewhere. */
bool tw_surface_has_crease(const tw_surface *surface);
/** True when the face has an apex without a normal (cone), which is the tape origin. */
bool tw_surface_has_apex(const tw_surface *surface);
/** True where the centre line is open at this `up` (no metal there). */
bool tw_surface_open_at(const tw_surface *surface, double up);
/** Tape from side to side of a loft's station; false when there is no such station. */
bool tw_surface_station_tape(const tw_surface *surface, size_t station, double *tape);

#endif
