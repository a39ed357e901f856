/*
 * quantity.c: a number and its unit, as a workshop writes them. One table holds every unit; what a
 * text means, which other dimension it has and what is nearest to a slip are all answered from it.
 * Inch, pound and foot are exact by the international agreement of 1959.
 */
#include "base_internal.h"

#include <string.h>
#include <strings.h>

typedef struct unit {
    const char *name;
    tw_dimension dimension;
    double times, over; /* value · times / over: both exact, so that 7850 kg/m3 is 7.85e-3 itself */
} unit;

#define INCH 25.4
#define FOOT 304.8
#define LB   453.59237

static const unit units[] = {
    {"mm", TW_LENGTH, 1, 1},
    {"cm", TW_LENGTH, 10, 1},
    {"dm", TW_LENGTH, 100, 1},
    {"m", TW_LENGTH, 1000, 1},
    {"in", TW_LENGTH, INCH, 1},
    {"\"", TW_LENGTH, INCH, 1},
    {"inch", TW_LENGTH, INCH, 1},
    {"inches", TW_LENGTH, INCH, 1},
    {"ft", TW_LENGTH, FOOT, 1},
    {"thou", TW_LENGTH, INCH, 1000},
    {"um", TW_LENGTH, 1, 1000},
    {"millimetre", TW_LENGTH, 1, 1},
    {"millimetres", TW_LENGTH, 1, 1},
    {"millimeter", TW_LENGTH, 1, 1},
    {"millimeters", TW_LENGTH, 1, 1},
    {"g", TW_MASS, 1, 1},
    {"kg", TW_MASS, 1000, 1},
    {"mg", TW_MASS, 1, 1000},
    {"lb", TW_MASS, LB, 1},
    {"lbs", TW_MASS, LB, 1},
    {"oz", TW_MASS, LB, 16},
    {"gram", TW_MASS, 1, 1},
    {"grams", TW_MASS, 1, 1},
    {"deg", TW_ANGLE, TW_PI, 180},
    {"degree", TW_ANGLE, TW_PI, 180},
    {"degrees", TW_ANGLE, TW_PI, 180},
    {"rad", TW_ANGLE, 1, 1},
    {"kg/m3", TW_DENSITY, 1, 1e6},
    {"g/cm3", TW_DENSITY, 1, 1e3},
    {"g/cc", TW_DENSITY, 1, 1e3},
    {"kg/dm3", TW_DENSITY, 1, 1e3},
    {"g/mm3", TW_DENSITY, 1, 1},
    {"lb/in3", TW_DENSITY, LB, INCH *INCH *INCH},
    {"lb/ft3", TW_DENSITY, LB, FOOT *FOOT *FOOT},
    {"mm2", TW_AREA, 1, 1},
    {"cm2", TW_AREA, 100, 1},
    {"dm2", TW_AREA, 1e4, 1},
    {"m2", TW_AREA, 1e6, 1},
    {"in2", TW_AREA, INCH *INCH, 1},
    {"ft2", TW_AREA, FOOT *FOOT, 1},
    {"sq in", TW_AREA, INCH *INCH, 1},
    {"sq ft", TW_AREA, FOOT *FOOT, 1},
    {"g/m2", TW_MASS_PER_AREA, 1, 1e6},
    {"gsm", TW_MASS_PER_AREA, 1, 1e6},
    {"kg/m2", TW_MASS_PER_AREA, 1, 1e3},
    {"lb/ft2", TW_MASS_PER_AREA, LB, FOOT *FOOT},
    {"oz/ft2", TW_MASS_PER_AREA, LB, 16 * FOOT *FOOT},
    {"%", TW_SHARE, 1, 100},
    {"percent", TW_SHARE, 1, 100},
    {"per cent", TW_SHARE, 1, 100},
    {"%", TW_GRADE, 1, 100},
    {"percent", TW_GRADE, 1, 100},
    {"mm/m", TW_GRADE, 1, 1000},
    {"thou/in", TW_GRADE, 1, 1000},
    {"m/s", TW_VELOCITY, 1, 1000},
    {"km/s", TW_VELOCITY, 1, 1},
    {"mm/us", TW_VELOCITY, 1, 1},
    {"in/us", TW_VELOCITY, INCH, 1},
};
enum { UNITS = sizeof units / sizeof *units };

static const struct kind {
    const char *name, *shown;   /* with its article; one as it should be written */
    const char *unit, *choices; /* the commonest unit, and the others */
} kinds[] = {
    [TW_LENGTH] = {"a length", "12 mm", "mm", "cm, m, in"},
    [TW_MASS] = {"a mass", "2.4 kg", "g", "kg, lb, oz"},
    [TW_ANGLE] = {"an angle", "30 deg", "deg", "rad"},
    [TW_DENSITY] = {"a density", "7850 kg/m3", "kg/m3", "g/cm3"},
    [TW_AREA] = {"an area", "520 cm2", "mm2", "cm2, dm2, m2, in2"},
    [TW_MASS_PER_AREA] = {"a mass per area", "80 g/m2", "g/m2", "kg/m2, lb/ft2"},
    [TW_SHARE] = {"a share", "5 %", "%", "a bare number from 0 to 1"},
    [TW_GRADE] = {"a grade", "1 mm in 60 mm", "%", "1 mm in 60 mm"},
    [TW_VELOCITY] = {"a velocity", "5900 m/s", "m/s", "km/s, mm/us, in/us"},
};

/* A text under way: the words as typed (for errors) and what is wanted of them. */
typedef struct wanted {
    const char *typed, *plain;
    tw_dimension dimension;
    tw_ruler ruler;
    tw_error *err;
} wanted;

static bool ends_unit(char c)
{
    return c == '\0' || c == ' ';
}

/* The unit that `at` begins with: the longest, of the wanted dimension first. Letter case is free,
 * but for "Mg", which would be a tonne. */
static const unit *unit_at(const char *at, tw_dimension dimension)
{
    const unit *best = NULL;

    if (strncmp(at, "Mg", 2) == 0 && ends_unit(at[2]))
        return NULL;
    for (size_t k = 0; k < UNITS; k++) {
        const size_t length = strlen(units[k].name);
        if (strncasecmp(at, units[k].name, length) != 0 || !ends_unit(at[length]))
            continue;
        if (!best || length > strlen(best->name) ||
            (length == strlen(best->name) && units[k].dimension == dimension))
            best = &units[k];
    }
    return best;
}

static const char *skip_blank(const char *at)
{
    return *at == ' ' ? at + 1 : at;
}

static bool begins_number(const char *at)
{
    return strchr("+-.", *at) ? *at && at[1] >= '0' && at[1] <= '9' : *at >= '0' && *at <= '9';
}

static tw_status fail_number(const wanted *w, tw_number found, const char *at)
{
    const struct kind *kind = &kinds[w->dimension];
    tw_status status = TW_ERR_SYNTAX;

    if (found == TW_NUMBER_COMMA) {
        const size_t before = (size_t)(at - w->plain);
        size_t after = 1;
        status = tw_fail(w->err, status, "a comma stands where the decimal point should");
        while (at[after] >= '0' && at[after] <= '9')
            after++;
        if (memchr(w->plain, '.', before) || memchr(at + after, '.', strcspn(at + after, " ")))
            tw_error_advise(w->err, w->typed, "write the number with one point and nothing else");
        else if (after == 4 && at[after] != ',' && at[after] != '.' && w->plain[0] != '0')
            tw_error_advise(w->err, w->typed, "write %.*s.%s, or %.*s%s if thousands are meant",
                            (int)before, w->plain, at + 1, (int)before, w->plain, at + 1);
        else
            tw_error_advise(w->err, w->typed, "write %.*s.%s", (int)before, w->plain, at + 1);
        return status;
    }
    if (found == TW_NUMBER_UNBOUNDED)
        status = tw_fail(w->err, TW_ERR_DOMAIN, "%s must be a finite number", kind->name);
    else if (found == TW_NUMBER_FRACTION)
        status = tw_fail(w->err, status,
                         "the fraction cannot be read: its top must be below its "
                         "bottom, and the bottom above 0");
    else if (!*w->plain)
        status = tw_fail(w->err, status, "nothing stands where %s is wanted", kind->name);
    else
        status = tw_fail(w->err, status, "no number stands at the start of %s", kind->name);
    tw_error_advise(w->err, w->typed, "write %s as %s", kind->name,
                    found == TW_NUMBER_FRACTION ? "9 1/16 in" : kind->shown);
    return status;
}

static tw_status fail_bare(const wanted *w)
{
    const struct kind *kind = &kinds[w->dimension];
    const tw_status status = tw_fail(w->err, TW_ERR_UNIT, "%s lacks its unit", kind->name);

    if (w->dimension == TW_LENGTH)
        tw_error_advise(w->err, w->typed,
                        "write %.40s mm (or cm, m, in); for bare positions put ruler: mm at the "
                        "top of the file",
                        w->plain);
    else
        tw_error_advise(w->err, w->typed, "write %.40s %s (or %s)", w->plain, kind->unit,
                        kind->choices);
    return status;
}

/* A gauge number where a plain length is wanted. */
static bool is_gauge(const char *at)
{
    static const char *const names[] = {"ga", "gauge", "msg", "uss", "swg", "bwg", "bg", "awg"};

    for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        if (strncasecmp(at, names[k], strlen(names[k])) == 0 && ends_unit(at[strlen(names[k])]))
            return true;
    return false;
}

static tw_status fail_unit(const wanted *w, const char *at)
{
    const struct kind *kind = &kinds[w->dimension];
    const char *names[UNITS];
    const char *nearest;
    size_t count = 0;
    tw_status status;

    if (w->dimension == TW_LENGTH && is_gauge(at)) {
        status = tw_fail(w->err, TW_ERR_UNIT, "a gauge names the thickness of a sheet, no length");
        tw_error_advise(w->err, w->typed, "write a length as 12 mm or 1/2 in");
        return status;
    }
    if (begins_number(at)) {
        status = tw_fail(w->err, TW_ERR_SYNTAX, "two numbers stand where one is wanted");
        tw_error_advise(w->err, w->typed, "write %s as %s", kind->name, kind->shown);
        return status;
    }
    for (size_t k = 0; k < UNITS; k++)
        if (units[k].dimension == w->dimension)
            names[count++] = units[k].name;
    nearest = tw_nearest_word(at, names, count);
    status = tw_fail(w->err, TW_ERR_UNIT, "\"%.40s\" is no unit of %s", at, kind->name);
    if (nearest)
        tw_error_advise(w->err, w->typed, "did you mean %s? Known: %s, %s", nearest, kind->unit,
                        kind->choices);
    else
        tw_error_advise(w->err, w->typed, "write %s as %s", kind->name, kind->shown);
    return status;
}

/* What stands behind "3 lb" or "5 ft" is ounces or inches; nothing else may follow a unit. */
static tw_status read_rest(const wanted *w, const unit *first, const char *at, double *value)
{
    const char *second = strcasecmp(first->name, "lb") == 0 || strcasecmp(first->name, "lbs") == 0
                             ? "oz"
                         : strcasecmp(first->name, "ft") == 0 ? "in"
                                                              : NULL;
    const unit *small;
    double more;
    tw_number found;

    at = skip_blank(at);
    if (!*at)
        return TW_OK;
    if (!begins_number(at)) {
        const tw_status status =
            tw_fail(w->err, TW_ERR_SYNTAX, "\"%.40s\" follows a quantity that is whole", at);
        tw_error_advise(w->err, w->typed, "write %s as %s", kinds[w->dimension].name,
                        kinds[w->dimension].shown);
        return status;
    }
    if (!second || *at == '-' || *at == '+') {
        const tw_status status =
            tw_fail(w->err, TW_ERR_SYNTAX, "two quantities stand where one is wanted");
        tw_error_advise(w->err, w->typed, "write one, as %s", kinds[w->dimension].shown);
        return status;
    }
    found = tw_number_read(&at, &more);
    if (found != TW_NUMBER_READ)
        return fail_number(w, found, at);
    at = skip_blank(at);
    small = *at ? unit_at(at, w->dimension) : NULL;
    if (!small || strcasecmp(small->name, second) != 0 || at[strlen(second)] != '\0') {
        const tw_status status =
            tw_fail(w->err, TW_ERR_UNIT, "%s can only be followed by %s", first->name, second);
        tw_error_advise(w->err, w->typed, "write as 3 %s 2 %s", first->name, second);
        return status;
    }
    more *= small->times / small->over;
    *value += w->plain[0] == '-' ? -more : more;
    return TW_OK;
}

static tw_status read_plain(const wanted *w, double *value)
{
    static const double ruler_mm[] = {0, 1, 10, INCH};
    const char *at = w->plain;
    const unit *found_unit;
    double number = 0;
    const tw_number found = tw_number_read(&at, &number);
    tw_status status;

    if (found != TW_NUMBER_READ)
        return fail_number(w, found, at);
    at = skip_blank(at);
    if (!*at) {
        if (w->dimension == TW_LENGTH && w->ruler != TW_RULER_NONE)
            number *= ruler_mm[w->ruler];
        else if (w->dimension != TW_SHARE)
            return fail_bare(w);
        *value = number;
        return TW_OK;
    }
    found_unit = unit_at(at, w->dimension);
    if (!found_unit)
        return fail_unit(w, at);
    if (found_unit->dimension != w->dimension) {
        status =
            tw_fail(w->err, TW_ERR_UNIT, "%s (%s) stands where %s is wanted",
                    kinds[found_unit->dimension].name, found_unit->name, kinds[w->dimension].name);
        tw_error_advise(w->err, w->typed, "write %s as %s", kinds[w->dimension].name,
                        kinds[w->dimension].shown);
        return status;
    }
    number = number * found_unit->times / found_unit->over;
    status = read_rest(w, found_unit, at + strlen(found_unit->name), &number);
    if (status != TW_OK)
        return status;
    if (!(number >= -1e300 && number <= 1e300))
        return fail_number(w, TW_NUMBER_UNBOUNDED, at);
    *value = number;
    return TW_OK;
}

/* One side of a grade: a length, or a bare number, or (`alone`) a unit by itself: "6 mm per m". */
static bool read_side(const char *text, size_t size, bool alone, double *value, bool *bare)
{
    char part[TW_PLAIN_SIZE], plain[TW_PLAIN_SIZE];
    const wanted length = {plain, plain, TW_LENGTH, TW_RULER_NONE, NULL};
    const char *at = plain;

    memcpy(part, text, size);
    part[size] = '\0';
    if (!tw_plain_text(part, plain) || !*plain)
        return false;
    *bare = tw_number_read(&at, value) == TW_NUMBER_READ && !*at;
    if (*bare || read_plain(&length, value) == TW_OK)
        return true;
    if (alone && unit_at(plain, TW_LENGTH)) {
        const unit *one = unit_at(plain, TW_LENGTH);
        *value = one->times / one->over;
        return one->dimension == TW_LENGTH && plain[strlen(one->name)] == '\0';
    }
    return false;
}

/* "1 mm in 60 mm", "1 in in 60 in", "1 in 60": the word "in" may be inch or between, so every place
 * it stands is tried as the word between, from the left; the first that makes sense of both sides
 * with units on both or on neither is meant. */
static tw_status read_grade(const wanted *w, double *value)
{
    static const struct {
        const char *word;
        bool alone;
    } between[] = {{" in ", false}, {" per ", true}, {":", false}, {"/", true}};
    bool one_bare = false;
    tw_status status;

    for (size_t k = 0; k < sizeof between / sizeof *between; k++) {
        const char *word = between[k].word;
        for (const char *at = strstr(w->plain, word); at; at = strstr(at + 1, word)) {
            const char *right = at + strlen(word);
            double rise, run;
            bool bare_rise, bare_run;
            if (!read_side(w->plain, (size_t)(at - w->plain), false, &rise, &bare_rise) ||
                !read_side(right, strlen(right), between[k].alone, &run, &bare_run))
                continue;
            if (bare_rise != bare_run) {
                one_bare = true;
                continue;
            }
            if (!(run > 0) || !(rise / run < 1e300)) {
                status = tw_fail(w->err, TW_ERR_DOMAIN, "a grade needs a length above 0 to run on");
                tw_error_advise(w->err, w->typed, "write a grade as 1 mm in 60 mm");
                return status;
            }
            *value = rise / run;
            return TW_OK;
        }
    }
    if (one_bare) {
        status = tw_fail(w->err, TW_ERR_UNIT, "one side of the grade lacks its unit");
        tw_error_advise(w->err, w->typed,
                        "write units on both sides, as 1 mm in 60 mm or 1 in in 60 in, or on "
                        "neither, as 1 in 60");
        return status;
    }
    return read_plain(w, value);
}

tw_status tw_quantity_read(const char *text, tw_dimension dimension, tw_ruler ruler, double *value,
                           tw_error *err)
{
    char plain[TW_PLAIN_SIZE];
    const wanted w = {text, plain, dimension, ruler, err};

    if (!tw_plain_text(text, plain)) {
        const tw_status status =
            tw_fail(err, TW_ERR_SYNTAX, "the text is too long for %s", kinds[dimension].name);
        tw_error_advise(err, text, "write %s as %s", kinds[dimension].name, kinds[dimension].shown);
        return status;
    }
    return dimension == TW_GRADE ? read_grade(&w, value) : read_plain(&w, value);
}
