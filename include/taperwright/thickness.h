/*
 * thickness.h: how thick the plate is where. A map holds a thickness at every node of a grid and at
 * every cell's sampling point: even sheet, or forged from strike zones to edges.
 */
#ifndef TAPERWRIGHT_THICKNESS_H
#define TAPERWRIGHT_THICKNESS_H

#include "taperwright/base.h"
#include "taperwright/form.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_map_kind { TW_MAP_SHEET, TW_MAP_FORGED } tw_map_kind;
/** @return the word used in JSON and text: "sheet", "forged". */
TW_API const char *tw_map_word(tw_map_kind kind);

/** A thickness map on a grid it borrows. Pair any filling call with tw_map_release(). */
typedef struct tw_map {
    tw_map_kind kind;
    const tw_grid *grid;
    double *node;              /**< nu·nv [mm] */
    double *cell;              /**< (nu−1)(nv−1) [mm], at the sampling points */
    double thinnest, thickest; /**< over metal, the outline's own points included [mm] */
    double thinnest_at[2], thickest_at[2]; /**< tape coordinates */
    /** Largest slope over interior nodes [mm per mm]. A step (a zone that ends inside another, or in
     * what is held along an edge) counts as spread over two cells. */
    double steepest_grade;
    double steepest_at[2];
    tw_arena *arena; /**< owns node and cell */
} tw_map;
TW_API void tw_map_release(tw_map *map);

/** @brief Even sheet. @return TW_OK; TW_ERR_DOMAIN unless 0 < thickness; TW_ERR_MEMORY */
TW_API tw_status tw_map_sheet(const tw_grid *grid, double thickness, tw_map *out, tw_error *err);

/**
 * Distances that a forged taper needs, marched once per grid: one field per set of strike zones
 * of equal thickness and hold, one per set of edges of equal thickness and hold, one per band.
 * Making the map again with other thicknesses costs one pass.
 */
typedef struct tw_taper tw_taper;
/**
 * @param      threads  0 for one per processor; the same bits for any number
 * @param[out] out  borrows form and grid; pair with tw_taper_free()
 * @return TW_OK; TW_ERR_SHAPE (zone outside the outline); TW_ERR_KEY (unknown edge); TW_ERR_MEMORY
 */
TW_API tw_status tw_taper_build(const tw_form *form, const tw_grid *grid,
                                const tw_forged_spec *spec, unsigned threads, tw_taper **out,
                                tw_error *err);
TW_API void tw_taper_free(tw_taper *taper);
/** @brief The forged map; the formula stands at the top of src/thickness/blend.c. Its extremes hold
 * the exact thickness of edges and zones. */
TW_API tw_status tw_map_forged(const tw_taper *taper, tw_map *out, tw_error *err);

/**
 * Which zone of the report each cell belongs to: each strike zone, `hold NAME`, `band NAME`,
 * `field`; where zones overlap the thickest has it. A cell on a border is split between two.
 */
typedef struct tw_zones {
    size_t count;
    const char **names;       /**< count; the last is "field" */
    uint16_t *first, *second; /**< (nu−1)(nv−1): index into names */
    float *share; /**< (nu−1)(nv−1): part of the cell's metal in `first`, rest in `second` */
    tw_arena *arena;
} tw_zones;
TW_API tw_status tw_zones_build(const tw_taper *taper, tw_zones *out, tw_error *err);
/** @brief Zones of a plate without a forged taper: "field" alone. */
TW_API tw_status tw_zones_plain(const tw_grid *grid, tw_zones *out, tw_error *err);
TW_API void tw_zones_release(tw_zones *zones);

/** @brief Fill thinnest, thickest, steepest of a map from its node values (extremes also at the
 * outline's points when form is not NULL). */
TW_API void tw_map_survey(tw_map *map, const tw_form *form);

#ifdef __cplusplus
}
#endif
#endif
