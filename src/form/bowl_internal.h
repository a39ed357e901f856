/* bowl_internal.h: what bowl.c (the face) and bowl_meridian.c (the tape run down it) share. */
#ifndef BOWL_INTERNAL_H
#define BOWL_INTERNAL_H

#include "surface_internal.h"

enum {
    TW_MERIDIAN_KNOTS = 64,   /* steps along a meridian */
    TW_MERIDIAN_TURNS = 128,  /* steps of a quarter turn, where meridians differ */
    TW_MERIDIAN_MARGIN = 3,   /* turns kept beyond both ends, for interpolation */
    TW_MERIDIAN_GUESSES = 128 /* steps of the first guess, by share of the tape */
};

struct tw_bowl {
    double across, up, depth;           /* half-widths and depth [mm] */
    double bend_across, bend_up;        /* of the conics down the two axes */
    bool cone, even;                    /* straight meridians; all meridians alike */
    double ball;                        /* radius where the face is part of a ball, else 0 */
    size_t columns;                     /* meridians in the table */
    double knot[TW_MERIDIAN_KNOTS + 1]; /* parameters of the table's rows */
    double *length;                     /* (knots + 1) × columns: tape from the crown */
    double *guess; /* (guesses + 1) × columns: parameter by share of the tape */
};

/** One meridian: everything depends on the angle ψ with x = s·across·sin ψ, y = s·up·cos ψ. */
typedef struct tw_meridian {
    double sine, cosine;          /* of ψ */
    double radius;                /* plan distance crown to rim */
    double radius_turn;           /* radius × ∂radius/∂ψ */
    double bend, bend_p, bend_pp; /* and its derivatives by ψ */
} tw_meridian;

/** Where a tape run down a meridian ends. */
typedef struct tw_tape_end {
    double t;     /* parameter of the conic, at most 1 */
    double turn;  /* ∂tape/∂ψ at equal parameter */
    double extra; /* tape beyond the rim, 0 inside */
} tw_tape_end;

/** The meridian at a plan bearing given by its sine (across) and cosine (up). */
void tw_meridian_at(const tw_bowl *bowl, double sine, double cosine, tw_meridian *out);
tw_status tw_meridian_table(tw_bowl *bowl, tw_arena *arena, tw_error *err);
void tw_meridian_run(const tw_bowl *bowl, const tw_meridian *meridian, double tape,
                     tw_tape_end *out);
/** Tape from crown to rim. */
double tw_meridian_tape(const tw_bowl *bowl, const tw_meridian *meridian);

#endif
