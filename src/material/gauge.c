/*
 * gauge.c: six gauge systems, numbers 8 to 26. The same number differs by up to 1.1 mm between
 * them, so a number is never read without its system. The weight per area that two of them are
 * defined by belongs to no real metal (480 lb/ft³ in the statute of 1893, and 501.84): it fixes the
 * thickness here and is never used for a mass.
 */
#include "taperwright/material.h"

#include <assert.h>
#include <math.h>

enum { ROWS = TW_GAUGE_LAST - TW_GAUGE_FIRST + 1 };
#define INCH 25.4

static const tw_gauge_info about[TW_GAUGE_SYSTEMS] = {
    [TW_GAUGE_MSG] = {"msg", "Manufacturers' Standard", "steel sheet",
                      "weights of 15 U.S.C. 206 over 41.82 lb/ft2 per inch, trade rule"},
    [TW_GAUGE_USS] = {"uss", "United States statute", "iron and steel sheet, for duties",
                      "15 U.S.C. 206: its weights over 40 lb/ft2 per inch"},
    [TW_GAUGE_SWG] = {"swg", "British Imperial standard wire gauge", "wire, sheet of any metal",
                      "two published wire-gauge lists that agree"},
    [TW_GAUGE_BWG] = {"bwg", "Birmingham (Stubs iron) wire gauge", "wire, strip, tube",
                      "two published wire-gauge lists that agree"},
    [TW_GAUGE_BG] = {"bg", "Birmingham sheet and hoop gauge", "iron and steel sheet and hoop",
                     "order of 1914; numbers 16, 18 and 20 only"},
    [TW_GAUGE_AWG] = {"awg", "American (Brown & Sharpe) wire gauge", "non-ferrous sheet and wire",
                      "ASTM B258: 0.005 in times 92 to the power (36 - n)/39"},
};

/* lb/ft² of 15 U.S.C. 206, numbers 8 to 26. */
static const double statute_weight[ROWS] = {6.875,  6.25,  5.625, 5,     4.375, 3.75, 3.125,
                                            2.8125, 2.5,   2.25,  2,     1.75,  1.5,  1.375,
                                            1.25,   1.125, 1,     0.875, 0.75};
static const double swg_inch[ROWS] = {0.160, 0.144, 0.128, 0.116, 0.104, 0.092, 0.080,
                                      0.072, 0.064, 0.056, 0.048, 0.040, 0.036, 0.032,
                                      0.028, 0.024, 0.022, 0.020, 0.018};
static const double bwg_inch[ROWS] = {0.165, 0.148, 0.134, 0.120, 0.109, 0.095, 0.083,
                                      0.072, 0.065, 0.058, 0.049, 0.042, 0.035, 0.032,
                                      0.028, 0.025, 0.022, 0.020, 0.018};

/* 0 where the system has no such number. */
static double gauge_inch(tw_gauge_system system, int number)
{
    const int row = number - TW_GAUGE_FIRST;

    if (row < 0 || row >= ROWS)
        return 0;
    switch (system) {
    case TW_GAUGE_MSG:
        return statute_weight[row] / 41.82;
    case TW_GAUGE_USS:
        return statute_weight[row] / 40;
    case TW_GAUGE_SWG:
        return swg_inch[row];
    case TW_GAUGE_BWG:
        return bwg_inch[row];
    case TW_GAUGE_BG:
        return number == 16 ? 0.0625 : number == 18 ? 0.0495 : number == 20 ? 0.0392 : 0;
    case TW_GAUGE_AWG:
        return 0.005 * pow(92, (36 - number) / 39.0);
    case TW_GAUGE_SYSTEMS:
        break;
    }
    return 0;
}

const tw_gauge_info *tw_gauge_about(tw_gauge_system system)
{
    assert(system < TW_GAUGE_SYSTEMS);
    return &about[system];
}

tw_status tw_gauge_thickness(tw_gauge_system system, int number, double *inch, double *mm,
                             tw_error *err)
{
    const double thickness = gauge_inch(system, number);

    assert(system < TW_GAUGE_SYSTEMS);
    if (!(thickness > 0)) {
        const tw_status status = tw_fail(err, TW_ERR_DOMAIN, "the %s table has no number %d",
                                         about[system].code, number);
        if (system == TW_GAUGE_BG)
            tw_error_advise(err, NULL, "it knows 16, 18 and 20; write the thickness in mm or in");
        else
            tw_error_advise(err, NULL, "it knows %d to %d; write the thickness in mm or in",
                            TW_GAUGE_FIRST, TW_GAUGE_LAST);
        return status;
    }
    if (inch)
        *inch = thickness;
    if (mm)
        *mm = thickness * INCH;
    return TW_OK;
}

tw_status tw_gauge_nearest(tw_gauge_system system, double mm, int *number, double *thicker,
                           tw_error *err)
{
    double best = INFINITY, thinnest = INFINITY, thickest = 0;
    int nearest = 0;

    assert(system < TW_GAUGE_SYSTEMS);
    for (int k = TW_GAUGE_FIRST; k <= TW_GAUGE_LAST; k++) {
        const double size = gauge_inch(system, k) * INCH;
        if (!(size > 0))
            continue;
        thinnest = fmin(thinnest, size);
        thickest = fmax(thickest, size);
        if (fabs(size - mm) < fabs(best)) { /* of two as near, the thicker, which comes first */
            best = size - mm;
            nearest = k;
        }
    }
    if (!(mm >= 0.9 * thinnest && mm <= 1.1 * thickest)) {
        char low[32], high[32], given[32];
        const tw_status status =
            tw_fail(err, TW_ERR_DOMAIN, "no number of %s is near %s", about[system].code,
                    tw_write_thickness(mm, TW_METRIC, -1, given, sizeof given));
        tw_error_advise(err, NULL, "it goes from %s to %s",
                        tw_write_thickness(thinnest, TW_METRIC, -1, low, sizeof low),
                        tw_write_thickness(thickest, TW_METRIC, -1, high, sizeof high));
        return status;
    }
    *number = nearest;
    if (thicker)
        *thicker = best;
    return TW_OK;
}
