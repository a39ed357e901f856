/* loft_internal.h: what loft.c (the face), loft_build.c (stations to tables) and loft_section.c (one
 * measured section) share. */
#ifndef LOFT_INTERNAL_H
#define LOFT_INTERNAL_H

#include "surface_internal.h"

enum {
    TW_FRACTIONS = 256,           /* equal parts of a section from centre to side */
    TW_PLACES = TW_FRACTIONS + 1, /* points that part them */
    TW_STATION = 4 * TW_PLACES,   /* numbers a station holds: x, bend of x, z, bend of z */
    TW_CENTRE_STEPS = 16          /* steps of the centre line's tape between two stations */
};

/** One side of a section: from the centre out, x counted away from the centre on both sides. */
typedef struct tw_half {
    double half, base, rise, bend; /* conic: half-width, height of side, centre over it, bend */
    size_t count;                  /* of heights; 0 for a conic */
    const double *x, *z, *slope;   /* their monotone cubic, x signed and ascending */
    double sign;                   /* which side of the heights */
    double keel_stands, keel_half; /* 0 without a keel */
} tw_half;
double tw_half_length(const tw_half *half);
/** Cut at equal fractions: fills x and z of TW_PLACES places, four numbers apart. */
void tw_half_cut(const tw_half *half, double *x, double *z, double *length);

struct tw_loft {
    size_t count;     /* stations */
    double *ruler;    /* count */
    bool *open;       /* count: no metal on the centre line */
    double *tape;     /* count: side to side */
    size_t sides;     /* 1 when the left side mirrors the right, else 2 */
    double *value[2]; /* right, left: count × TW_STATION */
    double *along[2]; /* their slopes along the ruler */
    double *up;       /* (count − 1)·TW_CENTRE_STEPS + 1: tape up the centre line, at … */
    bool crease;
};

/** Where a row lies: cubic weights of the station below, above, and of their slopes. */
typedef struct tw_ruler_place {
    size_t station;
    double ruler, beyond; /* tape beyond the first or last station, signed; 0 between */
    double value[4], slope[4], bend[4];
} tw_ruler_place;
void tw_loft_place(const tw_loft *loft, double up, tw_ruler_place *out);
/** Tape from centre to side at a place. */
double tw_loft_half_tape(const tw_loft *loft, int side, const tw_ruler_place *place);

#endif
