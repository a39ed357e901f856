/* loft_internal.h: what loft.c (the face), loft_build.c (stations to tables), scan.c (rows of points to
 * stations) and loft_section.c (one measured section) share. */
#ifndef LOFT_INTERNAL_H
#define LOFT_INTERNAL_H

#include "surface_internal.h"

enum {
    TW_FRACTIONS = 256,           /* equal parts of a section from centre to side */
    TW_PLACES = TW_FRACTIONS + 1, /* points that part them */
    /* a station holds x of all places, their bends, z of all, their bends */
    TW_STATION = 4 * TW_PLACES,
    TW_Z = 2 * TW_PLACES, /* where z begins */
    TW_CENTRE_STEPS = 16  /* steps of the centre line's tape between two stations */
};

/** A section through points of a scan: cubics by values and slopes at the points. */
typedef struct tw_curve {
    size_t count;
    const double *s;         /* ascending: chord run from the first point */
    const double *x, *z;     /* x from the centre line, to the right */
    const double *x_s, *z_s; /* slopes */
} tw_curve;
/** Position [x, z] and its derivative at s. */
void tw_curve_at(const tw_curve *curve, double s, double at[2], double by[2]);

/** One side of a section: from the centre out, x counted away from the centre on both sides. */
typedef struct tw_half {
    double half, base, rise, bend; /* conic: half-width, height of side, centre over it, bend */
    size_t count;                  /* of heights; 0 for a conic */
    const double *x, *z, *slope;   /* their monotone cubic, x signed and ascending */
    double sign;                   /* which side of the heights */
    double keel_stands, keel_half; /* 0 without a keel */
    const tw_curve *curve;         /* in place of conic and heights, else NULL */
    double from, run;              /* of the curve: s at the centre, signed run to the side */
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
    double *up;       /* (count − 1)·TW_CENTRE_STEPS + 1: tape up the centre line, ascending */
    bool crease;
};
/** Room for the arrays of count stations; false without memory. */
bool tw_loft_room(tw_loft *loft, size_t count, tw_arena *arena);
/**
 * Fill tables, tapes and `up` from the sides of every station; count, ruler, sides are set.
 * `even` takes slopes along the ruler from a C2 spline (rows measured closely), else they are faired.
 */
tw_status tw_loft_fill(tw_loft *loft, const tw_half (*half)[2], bool even, tw_arena *arena,
                       tw_error *err);
/** Tape up the centre line from the first station to a place along the ruler. */
double tw_loft_centre_tape(const tw_loft *loft, double ruler);

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
