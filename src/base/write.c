/*
 * write.c: quantities as text for people, metric or inch. Fractions of an inch to the nearest 1/64,
 * the finest mark of a workshop ruler. Values that round to nothing lose their sign.
 */
#include "taperwright/base.h"

#include <math.h>
#include <string.h>

#define INCH  25.4
#define OUNCE (453.59237 / 16)

/* Text into out, or "unknown" for what is no number. */
static char *write_decimal(double value, int decimals, const char *unit, char *out, size_t size)
{
    if (!isfinite(value)) {
        tw_format(out, size, "unknown");
        return out;
    }
    if (fabs(value) < 0.5 * pow(10, -decimals))
        value = 0;
    tw_format(out, size, "%.*f %s", decimals, value, unit);
    return out;
}

char *tw_write_thickness(double mm, tw_units units, int decimals, char *out, size_t size)
{
    if (units == TW_INCH)
        return write_decimal(mm / INCH, decimals < 0 ? 3 : decimals, "in", out, size);
    return write_decimal(mm, decimals < 0 ? 2 : decimals, "mm", out, size);
}

/* Nearest 1/64 in, lowest terms; whole inches from where no fraction is read any more. */
static char *write_fraction(double inch, char *out, size_t size)
{
    enum { DIGITS_MOST = 1000000000 };
    const double parts = floor(fabs(inch) * 64 + 0.5);
    const double whole = floor(parts / 64);
    const char *sign = inch < 0 && parts > 0 ? "-" : "";
    int above, below = 64;

    if (!(whole < DIGITS_MOST))
        return write_decimal(inch, 0, "in", out, size);
    above = (int)(parts - 64 * whole);
    while (above > 0 && above % 2 == 0) {
        above /= 2;
        below /= 2;
    }
    if (above == 0)
        tw_format(out, size, "%s%.0f in", sign, whole);
    else if (whole == 0)
        tw_format(out, size, "%s%d/%d in", sign, above, below);
    else
        tw_format(out, size, "%s%.0f %d/%d in", sign, whole, above, below);
    return out;
}

char *tw_write_length(double mm, tw_units units, int decimals, char *out, size_t size)
{
    if (units == TW_INCH) {
        if (decimals >= 0 || !isfinite(mm))
            return write_decimal(mm / INCH, decimals < 0 ? 2 : decimals, "in", out, size);
        return write_fraction(mm / INCH, out, size);
    }
    if (decimals < 0) { /* a half millimetre matters below 100 mm, and is only shown if there */
        const double tenths = round(mm * 10) / 10;
        decimals = fabs(mm) < 100 && tenths != round(tenths) ? 1 : 0;
        mm = decimals ? tenths : mm; /* 2.05 is 2.1 here and there, not 2.0 */
    }
    return write_decimal(mm, decimals, "mm", out, size);
}

static char *write_pounds(double g, int decimals, char *out, size_t size)
{
    const double step = pow(10, decimals);
    const double ounces = round(fabs(g) / OUNCE * step) / step; /* rounded first: 15.96 carries */
    const double pounds = floor(ounces / 16);
    const char *sign = g < 0 && ounces > 0 ? "-" : "";

    if (pounds == 0)
        tw_format(out, size, "%s%.*f oz", sign, decimals, ounces);
    else
        tw_format(out, size, "%s%.0f lb %.*f oz", sign, pounds, decimals, ounces - 16 * pounds);
    return out;
}

char *tw_write_mass(double g, tw_units units, int decimals, char *out, size_t size)
{
    if (units == TW_INCH && isfinite(g))
        return write_pounds(g, decimals < 0 ? 1 : decimals, out, size);
    if (fabs(g) < 1000 - 0.5 * pow(10, decimals < 0 ? 0 : -decimals))
        return write_decimal(g, decimals >= 0 ? decimals : fabs(g) < 9.95 && fabs(g) >= 0.05, "g",
                             out, size);
    return write_decimal(g / 1000, decimals < 0 ? 2 : decimals, "kg", out, size);
}

/* The last row that the area reaches; square decimetres early, since shares of a plate are read
 * beside each other. */
char *tw_write_area(double mm2, tw_units units, char *out, size_t size)
{
    static const struct {
        double from, over;
        int decimals;
        const char *unit;
    } rows[] = {{0, 1, 0, "mm²"}, {1e2, 1e2, 1, "cm²"}, {1e3, 1e4, 2, "dm²"}, {1e5, 1e6, 3, "m²"}};
    size_t row = 0;

    if (units == TW_INCH) {
        const double in2 = mm2 / (INCH * INCH);
        return write_decimal(in2, fabs(in2) < 99.95, "in²", out, size);
    }
    while (row + 1 < sizeof rows / sizeof *rows && fabs(mm2) >= rows[row + 1].from)
        row++;
    return write_decimal(mm2 / rows[row].over, rows[row].decimals, rows[row].unit, out, size);
}

char *tw_write_work_area(double mm2, tw_units units, int decimals, char *out, size_t size)
{
    if (units == TW_INCH)
        return tw_write_area(mm2, units, out, size);
    return write_decimal(mm2 / 1e4, decimals >= 0 ? decimals : mm2 < 1e4 ? 2 : 1, "dm²", out, size);
}

char *tw_write_grade(double mm_per_mm, tw_units units, char *out, size_t size)
{
    const double grade = fabs(mm_per_mm);
    const double run = 1 / grade;

    if (!isfinite(mm_per_mm))
        return write_decimal(mm_per_mm, 1, "", out, size);
    if (units == TW_INCH) {
        if (grade < 0.00005)
            tw_format(out, size, "0 in per inch");
        else
            tw_format(out, size, "%.3f in per inch (1 in %.*f)", grade, run < 9.95 ? 1 : 0, run);
    } else if (grade < 0.0005) {
        tw_format(out, size, "%.2f mm per 100 mm", 100 * grade);
    } else {
        tw_format(out, size, "1 mm in %.*f mm (%.1f mm per 100 mm)", run < 9.95 ? 1 : 0, run,
                  100 * grade);
    }
    return out;
}
