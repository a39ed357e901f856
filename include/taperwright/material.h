/*
 * material.h: what plate is made of and sold as: densities, gauge systems, stock sheets. Tables
 * with their sources stand in src/material.
 */
#ifndef TAPERWRIGHT_MATERIAL_H
#define TAPERWRIGHT_MATERIAL_H

#include "taperwright/base.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct tw_material {
    const char *name;                 /**< "mild steel" */
    double density;                   /**< [g/mm³] */
    double density_low, density_high; /**< range met in the trade [g/mm³] */
    double density_uncertainty; /**< standard uncertainty [g/mm³]: half the range over √3 */
    bool ferrous;               /**< awg is refused for it */
    const char *source;
} tw_material;

/** @return the table; count rows. */
TW_API const tw_material *tw_materials(size_t *count);
/** @return the row of that name (letter case and blanks aside), or NULL. */
TW_API const tw_material *tw_material_find(const char *name);
/** @return the name nearest to an unknown one, or NULL. */
TW_API const char *tw_material_nearest(const char *name);

typedef enum tw_gauge_system {
    TW_GAUGE_MSG, /**< Manufacturers' Standard, steel sheet: (lb/ft²)/41.82 in */
    TW_GAUGE_USS, /**< United States statute, 15 U.S.C. 206: (lb/ft²)/40 in */
    TW_GAUGE_SWG, /**< British Imperial standard wire gauge */
    TW_GAUGE_BWG, /**< Birmingham (Stubs iron) wire gauge */
    TW_GAUGE_BG,  /**< Birmingham sheet and hoop; only the sizes the table knows */
    TW_GAUGE_AWG, /**< American (Brown & Sharpe), non-ferrous: 0.005·92^((36−n)/39) in */
    TW_GAUGE_SYSTEMS
} tw_gauge_system;

typedef struct tw_gauge_info {
    const char *code;   /**< "swg": as typed after the number */
    const char *title;  /**< "British Imperial standard wire gauge" */
    const char *metals; /**< what it is used for */
    const char *source;
} tw_gauge_info;
TW_API const tw_gauge_info *tw_gauge_about(tw_gauge_system system);

enum { TW_GAUGE_FIRST = 8, TW_GAUGE_LAST = 26 };
/**
 * @brief Thickness of a gauge number.
 * @param[out] inch, mm  either may be NULL
 * @return TW_OK, or TW_ERR_DOMAIN when the system's table has no such number
 */
TW_API tw_status tw_gauge_thickness(tw_gauge_system system, int number, double *inch, double *mm,
                                    tw_error *err);
/**
 * @brief The number of a system whose thickness is nearest, and by how much it is thicker [mm].
 * @return TW_OK, or TW_ERR_DOMAIN when the thickness lies outside the table by over 10 %
 */
TW_API tw_status tw_gauge_nearest(tw_gauge_system system, double mm, int *number, double *thicker,
                                  tw_error *err);

/** A thickness as a sheet is named: in mm, and by gauge when it was given so. */
typedef struct tw_stock {
    double thickness; /**< [mm] */
    bool by_gauge;    /**< system and number hold */
    tw_gauge_system system;
    int number;
} tw_stock;
/**
 * @brief Read a thickness: "1.6 mm", "1/16 in", "0.064 in" or "16 swg" (also "16 ga swg").
 * @param material  NULL or the metal: awg for a ferrous one is refused with the reason
 * @return TW_OK; TW_ERR_UNIT for a bare number, or "16 ga" with no system: the advice lists what
 * it would be in each; TW_ERR_DOMAIN under 0.01 mm, over 50 mm, or for a number not in the table
 */
TW_API tw_status tw_stock_read(const char *text, const tw_material *material, tw_stock *out,
                               tw_error *err);
/** "16 swg (1.63 mm)" or "1.60 mm"; in inches "16 swg (0.064 in)". Printing a gauge adds its size. */
TW_API char *tw_stock_write(const tw_stock *stock, tw_units units, char *out, size_t size);

/** Sheets sold by thickness in mm: the usual series. */
TW_API const double *tw_metric_stock(size_t *count);
/** @brief The sheet of the metric series or of `system` (TW_GAUGE_SYSTEMS: metric only) nearest. */
TW_API tw_stock tw_stock_nearest(double mm, tw_gauge_system system);

/* ---- fittings ----------------------------------------------------------------------------- */

/** What hangs on a plate beside its metal. */
typedef enum tw_fitting_class {
    TW_FITTING_METAL,
    TW_FITTING_STRAP,
    TW_FITTING_LINING
} tw_fitting_class;
typedef enum tw_fitting_per { TW_PER_PIECE, TW_PER_LENGTH, TW_PER_AREA } tw_fitting_per;
typedef struct tw_fitting {
    const char *name; /**< "rivet 5 mm" */
    tw_fitting_class what;
    tw_fitting_per per;
    double mass;        /**< [g], [g/mm] or [g/mm²] */
    double uncertainty; /**< standard, of one kind of fitting as a whole, in the same unit */
    const char *source; /**< how it was worked out, or "common practice, no source" */
} tw_fitting;
/** @return the table of unit masses; count rows. Any file may give its own instead. */
TW_API const tw_fitting *tw_fittings(size_t *count);
/** @return the row of that name (letter case and blanks aside), or NULL. */
TW_API const tw_fitting *tw_fitting_find(const char *name);
/** @return the name nearest to an unknown one, or NULL. */
TW_API const char *tw_fitting_nearest(const char *name);

/* ---- tolerances of sheet as it is sold ---------------------------------------------------- */

typedef enum tw_tolerance_standard {
    TW_TOLERANCE_COLD_ROLLED, /**< EN 10131, yield under 260 MPa */
    TW_TOLERANCE_HOT_ROLLED   /**< EN 10051, continuously rolled, category A to D */
} tw_tolerance_standard;
typedef enum tw_tolerance_class {
    TW_CLASS_NORMAL,  /**< EN 10131 normal; EN 10051 category A */
    TW_CLASS_SPECIAL, /**< EN 10131 special (S); none in EN 10051 */
    TW_CLASS_B,       /**< EN 10051 categories: A and 15, 30, 40 % */
    TW_CLASS_C,
    TW_CLASS_D
} tw_tolerance_class;
/**
 * @brief Bound of the thickness of a sheet: nominal ± bound [mm].
 * @param width  of the sheet as rolled [mm]; 0: up to 1200
 * @return TW_OK, or TW_ERR_DOMAIN outside the table (which says its range)
 */
TW_API tw_status tw_tolerance_find(tw_tolerance_standard standard, tw_tolerance_class grade,
                                   double nominal, double width, double *bound, tw_error *err);

/** What is taken when nothing was said of how a sheet was bought. */
typedef enum tw_usual_tolerance {
    TW_USUAL_COLD_ROLLED, /**< EN 10131 normal */
    TW_USUAL_HOT_ROLLED,  /**< EN 10051 category A, where EN 10131 has no such thickness */
    TW_USUAL_SHARE        /**< 7 % of it where neither has; common practice, no source */
} tw_usual_tolerance;
/** @brief Bound [mm] of a sheet of which only the thickness [mm] is known. */
TW_API tw_usual_tolerance tw_tolerance_usual(double thickness, double *bound);

#ifdef __cplusplus
}
#endif
#endif
