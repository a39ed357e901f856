/*
 * fuzz_quantity.c: quantities in every dimension and with every ruler, and thicknesses of sheet.
 * Holds: what is read is finite; written with all its digits it reads back as the same number; as
 * people are shown it, it reads back within half of the last digit, and is then shown as the same text.
 * A gauge is what its table says; tolerances are above 0. Refusals are fit to be shown.
 */
#include "fuzz.h"

#include "taperwright/batch.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SHOWN = 512 };

static double read_back(const char *text, tw_dimension dimension)
{
    double value = NAN;
    tw_error err = {0};

    fuzz_require(tw_quantity_read(text, dimension, TW_RULER_NONE, &value, &err) == TW_OK,
                 "what is written can be read: \"%s\": %s", text, err.message);
    return value;
}

static void check_digits(double value, tw_dimension dimension, const char *unit)
{
    char text[SHOWN];

    if (fabs(value) > 0 &&
        fabs(value) < DBL_MIN) /* 17 digits do not hold a denormal number's unit */
        return;
    tw_format(text, sizeof text, "%.17g %s", value, unit);
    fuzz_require(read_back(text, dimension) == value, "%s is the same number again", text);
}

typedef char *(*writer)(double value, tw_units units, int decimals, char *out, size_t size);

/* `step` of the last digit shown. Beyond 1e12 an ounce or a 64th is below what a double keeps. */
static void check_shown(double value, tw_dimension dimension, writer write, tw_units units,
                        double step)
{
    char text[SHOWN], again[SHOWN];
    double back;

    write(value, units, -1, text, sizeof text);
    fuzz_require(strlen(text) < sizeof text - 1, "%g is shown whole", value);
    back = read_back(text, dimension);
    fuzz_require(fabs(back - value) <= 0.5 * step + 1e-12 * fabs(value), "%.17g shown as %s", value,
                 text);
    if (fabs(value) < 1e12) {
        write(back, units, -1, again, sizeof again);
        fuzz_require(strcmp(text, again) == 0, "%s is shown as %s", text, again);
    }
}

static char *write_area(double value, tw_units units, int decimals, char *out, size_t size)
{
    (void)decimals;
    return tw_write_area(value, units, out, size);
}

static void check_written(double value, tw_dimension dimension)
{
    const double size = fabs(value), ounce = 453.59237 / 16;
    char grade[SHOWN];

    switch (dimension) {
    case TW_LENGTH:
        check_digits(value, dimension, "mm");
        check_shown(value, dimension, tw_write_thickness, TW_METRIC, 0.01);
        check_shown(value, dimension, tw_write_thickness, TW_INCH, 0.0254);
        check_shown(value, dimension, tw_write_length, TW_METRIC, 1);
        check_shown(value, dimension, tw_write_length, TW_INCH,
                    size < 25.4e8 ? 25.4 / 64 : 25.4); /* see src/base/write.c */
        break;
    case TW_MASS:
        check_digits(value, dimension, "g");
        check_shown(value, dimension, tw_write_mass, TW_METRIC, size < 999.5 ? 1 : 10);
        check_shown(value, dimension, tw_write_mass, TW_INCH, 0.1 * ounce);
        break;
    case TW_AREA:
        check_digits(value, dimension, "mm2");
        check_shown(value, dimension, write_area, TW_METRIC,
                    size < 1e2   ? 1
                    : size < 1e3 ? 10
                    : size < 1e5 ? 100
                                 : 1000);
        check_shown(value, dimension, write_area, TW_INCH, 25.4 * 25.4);
        break;
    case TW_ANGLE:
        check_digits(value, dimension, "rad");
        break;
    case TW_DENSITY:
        check_digits(value, dimension, "g/mm3");
        break;
    case TW_VELOCITY:
        check_digits(value, dimension, "km/s");
        break;
    case TW_GRADE:
        tw_write_grade(value, TW_METRIC, grade, sizeof grade);
        tw_write_grade(value, TW_INCH, grade, sizeof grade);
        break;
    case TW_MASS_PER_AREA:
    case TW_SHARE:
        break;
    }
}

static void check_stock(const char *text)
{
    tw_stock stock = {0};
    tw_error err = {0};
    char shown[SHOWN];
    double mm = NAN, bound = NAN;
    const tw_status status = tw_stock_read(text, NULL, &stock, &err);

    if (status != TW_OK) {
        fuzz_check_error(&err, NULL);
        return;
    }
    fuzz_require(stock.thickness >= 0.01 && stock.thickness <= 50, "thickness %g", stock.thickness);
    if (stock.by_gauge) {
        fuzz_require(tw_gauge_thickness(stock.system, stock.number, NULL, &mm, &err) == TW_OK &&
                         mm == stock.thickness,
                     "gauge %d is %g mm, not %g", stock.number, mm, stock.thickness);
    }
    fuzz_require(*tw_stock_write(&stock, TW_METRIC, shown, sizeof shown), "a sheet is shown");
    fuzz_require(*tw_stock_write(&stock, TW_INCH, shown, sizeof shown), "a sheet is shown");
    tw_tolerance_usual(stock.thickness, &bound);
    /* of foil, thinner than what the standards speak of, more than all of it */
    fuzz_require(bound > 0 && (bound < stock.thickness || stock.thickness < 0.2), "%g ± %g mm",
                 stock.thickness, bound);
    if (tw_tolerance_find(TW_TOLERANCE_COLD_ROLLED, TW_CLASS_NORMAL, stock.thickness, 0, &bound,
                          &err) == TW_OK)
        fuzz_require(bound > 0 && isfinite(bound), "bound %g", bound);
    else
        fuzz_check_error(&err, NULL);
}

/* What a value is to be in turn: every value is a text, and reads again as the one it is. */
static void check_vary(const char *text)
{
    tw_arena *arena = tw_arena_new();
    tw_vary vary = {0}, again = {0};
    tw_error err = {0};

    fuzz_require(arena != NULL, "memory");
    if (tw_vary_read(arena, "thickness.sheet", text, &vary, &err) != TW_OK) {
        fuzz_require(err.line == 1 && err.column >= 1 && (size_t)err.column <= strlen(text) + 1,
                     "column %d of a text of %zu", err.column, strlen(text));
        err.file[0] = '\0'; /* names the option */
        err.line = err.column = 0;
        fuzz_check_error(&err, NULL);
        tw_arena_free(arena);
        return;
    }
    fuzz_require(vary.count >= 1 && vary.count <= TW_VARY_VALUES, "%zu values", vary.count);
    for (size_t k = 0; k < vary.count && k < 50; k++) {
        fuzz_require(*vary.values[k], "value %zu is no text", k);
        if (!strstr(vary.values[k], "..")) {
            fuzz_require(tw_vary_read(arena, "a", vary.values[k], &again, &err) == TW_OK &&
                             again.count >= 1,
                         "\"%s\" is a value", vary.values[k]);
        }
    }
    tw_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);

    fuzz_require(text != NULL, "memory");
    memcpy(text, data, size);
    text[size] = '\0';
    for (int dimension = TW_LENGTH; dimension <= TW_VELOCITY; dimension++)
        for (int ruler = TW_RULER_NONE; ruler <= (dimension == TW_LENGTH ? TW_RULER_IN : 0);
             ruler++) {
            double value = NAN;
            tw_error err = {0};
            const tw_status status =
                tw_quantity_read(text, (tw_dimension)dimension, (tw_ruler)ruler, &value, &err);
            if (status == TW_OK) {
                fuzz_require(isfinite(value), "\"%s\" is finite", text);
                check_written(value, (tw_dimension)dimension);
            } else {
                fuzz_require(isnan(value), "a refusal writes nothing");
                fuzz_check_error(&err, NULL);
            }
        }
    check_stock(text);
    check_vary(text);
    free(text);
    return 0;
}
