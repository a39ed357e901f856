/* harness_internal.h: what the files of the harness room's core share. */
#ifndef HARNESS_INTERNAL_H
#define HARNESS_INTERNAL_H

#include "taperwright/harness.h"

/* ---- words --------------------------------------------------------------------------------- */

/** A list as it is read out, "a, b and c"; ends in "and others" rather than inside a name. */
typedef struct tw_listing {
    char text[160];
    size_t used;
    bool full;
} tw_listing;
/** @brief Add one name. @param last  it is the last of several */
void tw_listing_add(tw_listing *listing, const char *name, bool last);

/* ---- weighings ----------------------------------------------------------------------------- */

/**
 * @brief Permissible error of a scale in service at a load [g]: class III, its step taken for the
 * verification interval. Source: OIML R 76-1, table 6 (0.5, 1, 1.5 intervals up to 500, 2000, 10000 of
 * them at verification), twice that in service (3.5.2, from memory).
 */
double tw_scale_permissible(const tw_scale_spec *scale, double load_g);
/** @brief Say in words what weighings need: scale errors taken out, loads out of range, scatter. */
void tw_harness_note_weighings(tw_harness *harness);

/* ---- models -------------------------------------------------------------------------------- */

/** @return whether a profile can be modelled: a form, and a thickness of some kind. */
bool tw_profile_models(const tw_profile *profile);
/** @brief Fill a piece from its plate: map, extra, masses, overlap. Without a plate: by area and sheet,
 * where the profile gives both. Owns extra. */
tw_status tw_piece_model(const tw_piece_spec *spec, tw_plate *plate, tw_piece *out, tw_notes *notes,
                         tw_error *err);
/** @brief Mass of one plate of a piece with its causes; missing where it has no model.
 * @param[out] notes  why a budget cannot be made */
tw_status tw_piece_figure(const tw_piece *piece, unsigned threads, tw_arena *arena, tw_figure *out,
                          tw_notes *notes, tw_error *err);
/** @brief Mass of a part's fittings: of all, and of straps, lining, buckles and rivets among them. */
tw_status tw_part_fittings(const tw_part_spec *spec, tw_arena *arena, tw_figure *all,
                           tw_figure *straps, tw_figure *lining, tw_figure *metal, tw_error *err);

/* ---- places -------------------------------------------------------------------------------- */

/** What lies at a place: mass, balance point, tensor about it. */
typedef struct tw_lump {
    double g;
    double at[3];         /**< [mm] */
    double inertia[3][3]; /**< about `at` [g·mm²] */
} tw_lump;
/** @brief Put another lump beside: mass-weighted mean, tensors by Steiner's theorem. */
void tw_lump_add(tw_lump *sum, const tw_lump *lump);
/** @brief The same, of another mass: everything in proportion. */
void tw_lump_scale(tw_lump *lump, double g);
/** @brief How a piece is turned from its bench to the wearer: lean, then tilt, then turn. */
void tw_piece_turning(const tw_piece_spec *spec, double turning[3][3]);
/** The counted map of a part's plates, for tw_part_lump(). */
enum { TW_MAP_COUNTED = -1 };
/** @brief The plates of a part with one map each, on the wearer.
 * @param kind  TW_MAP_COUNTED or a tw_map_kind
 * @return whether every plate is placed and has that map */
bool tw_part_lump(const tw_part *part, int kind, tw_lump *out);
/** @brief Find where a part balances, if that is known. */
void tw_part_balance(tw_part *part);
/** @brief Balance point and inertia of a total's parts, where all are placed. */
void tw_total_balance(tw_total *total);

/* ---- choice -------------------------------------------------------------------------------- */

/** Parts that a name means: a part, both of a pair, a set, else a kind.
 * @param in  part_count; set to true for those, others stay
 * @return whether the name means anything */
bool tw_harness_named(const tw_harness *harness, const char *name, bool *in);
/** @brief Which parts a choice has in. @param[out] in  part_count */
tw_status tw_harness_choose(const tw_harness *harness, const tw_choice *choice, tw_arena *arena,
                            bool *in, tw_error *err);

#endif
