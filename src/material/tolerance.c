/*
 * tolerance.c: how far sheet may be from its nominal thickness. A bound, not a spread: whoever has
 * no reading of the sheet takes it as rectangular (JCGM 100:2008, 4.3.7).
 *
 * Sources: EN 10131:2006, cold-rolled low carbon steel, the table for a yield strength below
 * 260 MPa, seen in two reprints that agree; the larger allowance near welds is left out, as the
 * reprints differ on it. EN 10051, continuously hot-rolled strip, category A for widths up to 1200
 * mm, and B, C, D as 15, 30, 40 % more, seen in one dealer's summary that names no edition.
 */
#include "taperwright/material.h"

enum { WIDTHS = 3 };

/* "Over the row before, up to and including `upto`": a boundary belongs to the thinner band. */
typedef struct cold_band {
    double upto;           /* nominal thickness [mm] */
    double normal[WIDTHS]; /* sheet up to 1200, 1500 and over 1500 mm wide */
    double special;        /* up to 1200 mm wide */
} cold_band;
typedef struct hot_band {
    double upto, bound;
} hot_band;

#define COLD_LEAST 0.35
static const cold_band cold[] = {
    {0.40, {0.03, 0.04, 0.05}, 0.020}, {0.60, {0.03, 0.04, 0.05}, 0.025},
    {0.80, {0.04, 0.05, 0.06}, 0.030}, {1.00, {0.05, 0.06, 0.07}, 0.035},
    {1.20, {0.06, 0.07, 0.08}, 0.040}, {1.60, {0.08, 0.09, 0.10}, 0.050},
    {2.00, {0.10, 0.11, 0.12}, 0.060}, {2.50, {0.12, 0.13, 0.14}, 0.080},
    {3.00, {0.15, 0.15, 0.16}, 0.100},
};
static const hot_band hot[] = {
    {2.00, 0.17}, {2.50, 0.18}, {3.00, 0.20}, {4.00, 0.22}, {5.00, 0.24}};
enum { COLD = sizeof cold / sizeof *cold, HOT = sizeof hot / sizeof *hot };

/* A thickness that came through inches may miss a boundary by its last bit. */
#define ROUNDING 1e-9 /* [mm] */
#define NARROW   1200.0
#define BROAD    1500.0

static tw_status fail_range(const char *standard, double least, double most, double nominal,
                            tw_error *err)
{
    const tw_status status =
        tw_fail(err, TW_ERR_DOMAIN, "%s gives no bound for sheet of %.4g mm, only from %g to %g mm",
                standard, nominal, least, most);

    tw_error_advise(err, NULL, "give the bound itself: {bound: 0.05 mm}");
    return status;
}

static tw_status fail_class(const char *standard, const char *classes, tw_error *err)
{
    const tw_status status =
        tw_fail(err, TW_ERR_DOMAIN, "%s has no such class of thickness", standard);

    tw_error_advise(err, NULL, "it has %s", classes);
    return status;
}

static tw_status fail_width(const char *what, double width, tw_error *err)
{
    const tw_status status =
        tw_fail(err, TW_ERR_DOMAIN, "%s is known here for sheet up to 1200 mm wide only, not %g mm",
                what, width);

    tw_error_advise(err, NULL, "give the bound itself: {bound: 0.05 mm}");
    return status;
}

static tw_status find_cold(tw_tolerance_class grade, double nominal, double width, double *bound,
                           tw_error *err)
{
    const size_t column = width <= NARROW ? 0 : width <= BROAD ? 1 : 2;

    if (grade != TW_CLASS_NORMAL && grade != TW_CLASS_SPECIAL)
        return fail_class("EN 10131", "normal and special", err);
    if (grade == TW_CLASS_SPECIAL && column > 0)
        return fail_width("the special class of EN 10131", width, err);
    for (size_t k = 0; k < COLD && nominal >= COLD_LEAST - ROUNDING; k++)
        if (nominal <= cold[k].upto + ROUNDING) {
            *bound = grade == TW_CLASS_NORMAL ? cold[k].normal[column] : cold[k].special;
            return TW_OK;
        }
    return fail_range("EN 10131", COLD_LEAST, cold[COLD - 1].upto, nominal, err);
}

static tw_status find_hot(tw_tolerance_class grade, double nominal, double width, double *bound,
                          tw_error *err)
{
    static const double more[] = {
        [TW_CLASS_NORMAL] = 1, [TW_CLASS_B] = 1.15, [TW_CLASS_C] = 1.30, [TW_CLASS_D] = 1.40};

    if (grade == TW_CLASS_SPECIAL)
        return fail_class("EN 10051", "the categories A, B, C and D", err);
    if (width > NARROW)
        return fail_width("EN 10051", width, err);
    for (size_t k = 0; k < HOT && nominal > 0; k++)
        if (nominal <= hot[k].upto + ROUNDING) {
            *bound = hot[k].bound * more[grade];
            return TW_OK;
        }
    return fail_range("EN 10051", 0, hot[HOT - 1].upto, nominal, err);
}

tw_status tw_tolerance_find(tw_tolerance_standard standard, tw_tolerance_class grade,
                            double nominal, double width, double *bound, tw_error *err)
{
    return standard == TW_TOLERANCE_COLD_ROLLED ? find_cold(grade, nominal, width, bound, err)
                                                : find_hot(grade, nominal, width, bound, err);
}

tw_usual_tolerance tw_tolerance_usual(double thickness, double *bound)
{
    if (tw_tolerance_find(TW_TOLERANCE_COLD_ROLLED, TW_CLASS_NORMAL, thickness, 0, bound, NULL) ==
        TW_OK)
        return TW_USUAL_COLD_ROLLED;
    if (tw_tolerance_find(TW_TOLERANCE_HOT_ROLLED, TW_CLASS_NORMAL, thickness, 0, bound, NULL) ==
        TW_OK)
        return TW_USUAL_HOT_ROLLED;
    *bound = 0.07 * thickness; /* about what thin sheet has in EN 10131 */
    return TW_USUAL_SHARE;
}
