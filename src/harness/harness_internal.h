/* harness_internal.h: what the files of the harness room's core share. */
#ifndef HARNESS_INTERNAL_H
#define HARNESS_INTERNAL_H

#include "taperwright/harness.h"

/** @return whether two names are the same, letter case and blanks aside. */
bool tw_names_same(const char *a, const char *b);

/**
 * @brief Permissible error of a scale in service at a load [g]: class III, its step taken for the
 * verification interval. Source: OIML R 76-1, table 6 (0.5, 1, 1.5 intervals up to 500, 2000, 10000 of
 * them at verification), twice that in service (3.5.2, from memory).
 */
double tw_scale_permissible(const tw_scale_spec *scale, double load_g);

/** @brief Say in words what weighings need: scale errors taken out, loads out of range, scatter. */
void tw_harness_note_weighings(tw_harness *harness);

/** @brief Turn a matrix from bench to wearer: lean, then tilt, then turn (rows x, y, z). */
void tw_piece_turning(const tw_piece_spec *spec, double turning[3][3]);

/** What lies at a place: mass, balance point, tensor about it. */
typedef struct tw_lump {
    double g;
    double at[3];         /**< [mm] */
    double inertia[3][3]; /**< about `at` [g·mm²] */
} tw_lump;
/** @brief Put lumps together: mass-weighted mean, tensors by Steiner's theorem. Needs a mass > 0. */
void tw_lump_join(const tw_lump *lumps, size_t count, tw_lump *out);
/** @brief The plates of a part with one map each, on the wearer.
 * @param kind  −1: the map that is counted, else a tw_map_kind
 * @return whether every plate is placed and has that map */
bool tw_part_lump(const tw_part *part, int kind, tw_lump *out);

/** @brief Balance point and inertia of a total's parts, where all are placed. */
void tw_total_balance(tw_total *total);

/** Parts that a name means: of a part, of both of a pair, of a set, else of a kind.
 * @param in  part_count; set to true for those, others stay
 * @return whether the name means anything */
bool tw_harness_named(const tw_harness *harness, const char *name, bool *in);
/** @brief Which parts a choice has in. @param[out] in  part_count */
tw_status tw_harness_choose(const tw_harness *harness, const tw_choice *choice, bool *in,
                            tw_error *err);

#endif
