/*
 * range.c: a range of values. It is counted in whole steps of its last decimal, or of the common bottom of
 * its fractions, so that "1.0 mm..2.0 mm/0.1 mm" has eleven values that read as one would write them, and
 * none is 1.9999999 mm.
 */
#include "batch_internal.h"

#include <ctype.h>
#include <string.h>

enum { DIGITS_MAX = 15, POWER_MAX = 100 };
#define COUNT_MAX  1000000000000000000LL /* of what is counted in */
#define BOTTOM_MAX 1000000000LL          /* of fractions together */

/* A number as it was written, and the unit after it. */
typedef struct number {
    const char *at;   /* of its first letter in the text */
    long long top;    /* over */
    long long bottom; /* this; of a decimal a power of ten */
    int decimals;     /* behind the point */
    bool fraction;    /* written as one */
    const char *unit; /* unit_length letters */
    size_t unit_length;
} number;

/* ---- numbers ------------------------------------------------------------------------------- */

static bool is_digit(char letter)
{
    return isdigit((unsigned char)letter) != 0;
}

/* Digits at *at, past which it is moved; false where there are none, or too many. */
static bool read_digits(const char **at, const char *end, long long *out)
{
    const char *from = *at;

    *out = 0;
    for (; *at < end && is_digit(**at); (*at)++) {
        if (*at - from == DIGITS_MAX)
            return false;
        *out = 10 * *out + (**at - '0');
    }
    return *at > from;
}

/* "1/16" or "1 1/16". */
static bool read_fraction(const char **at, const char *end, number *out)
{
    const char *letter = *at;
    long long whole = 0;

    if (!read_digits(&letter, end, &out->top))
        return false;
    if (letter + 1 < end && (*letter == ' ' || *letter == '-') && is_digit(letter[1])) {
        whole = out->top;
        letter++;
        if (!read_digits(&letter, end, &out->top))
            return false;
    }
    if (letter == end || *letter++ != '/' || !read_digits(&letter, end, &out->bottom))
        return false;
    if (out->bottom < 2 || out->bottom > BOTTOM_MAX || whole > COUNT_MAX / BOTTOM_MAX)
        return false;
    out->top += whole * out->bottom;
    out->fraction = true;
    *at = letter;
    return true;
}

/* "e-3", past which *at is moved; 0 where there is none. */
static int read_power(const char **at, const char *end)
{
    const char *letter = *at + 1;
    const bool negative = letter < end && *letter == '-';
    int power = 0;

    if (*at == end || (**at != 'e' && **at != 'E'))
        return 0;
    letter += letter < end && (*letter == '-' || *letter == '+');
    if (letter == end || !is_digit(*letter))
        return 0;
    for (; letter < end && is_digit(*letter); letter++)
        power = power < POWER_MAX ? 10 * power + (*letter - '0') : power;
    *at = letter;
    return negative ? -power : power;
}

static bool read_decimal(const char **at, const char *end, number *out)
{
    const char *letter = *at;
    bool point = false;
    int count = 0;

    out->top = 0;
    out->decimals = 0;
    for (; letter < end && (is_digit(*letter) || (*letter == '.' && !point)); letter++) {
        if (*letter == '.') {
            point = true;
            continue;
        }
        if (++count > DIGITS_MAX)
            return false;
        out->decimals += point;
        out->top = 10 * out->top + (*letter - '0');
    }
    if (count == 0)
        return false;
    out->decimals -= read_power(&letter, end);
    for (; out->decimals < 0; out->decimals++) {
        if (out->top > COUNT_MAX / 10)
            return false;
        out->top *= 10;
    }
    if (out->decimals > DIGITS_MAX)
        return false;
    out->bottom = 1;
    for (int k = 0; k < out->decimals; k++)
        out->bottom *= 10;
    *at = letter;
    return true;
}

/* A unit has no digit behind a slash, as a step has. */
static bool is_unit(const char *from, const char *end)
{
    if (from < end && strchr("0123456789/,.+-", *from))
        return false;
    for (const char *slash; (slash = memchr(from, '/', (size_t)(end - from))); from = slash + 1) {
        const char *next = tw_vary_past_blanks(slash + 1, end);
        if (next < end && is_digit(*next))
            return false;
    }
    return true;
}

/* A number and its unit, and nothing else. */
static bool read_number(const char *from, const char *end, number *out)
{
    const char *letter = tw_vary_past_blanks(from, end);
    const bool negative = letter < end && *letter == '-';

    end = tw_vary_before_blanks(letter, end);
    *out = (number){.at = letter};
    letter += negative;
    if (!read_fraction(&letter, end, out) && !read_decimal(&letter, end, out))
        return false;
    if (negative)
        out->top = -out->top;
    letter = tw_vary_past_blanks(letter, end);
    out->unit = letter;
    out->unit_length = (size_t)(end - letter);
    return is_unit(letter, end);
}

static tw_status bad_number(const tw_vary_text *in, const char *from, const char *end,
                            const char *what)
{
    const char *at = tw_vary_past_blanks(from, end);
    const char *comma = memchr(at, ',', (size_t)(end - at));

    end = tw_vary_before_blanks(at, end);
    if (comma && comma > at && is_digit(comma[-1]) && is_digit(comma[1]))
        return tw_vary_comma(in, at, comma, end);
    tw_fail(in->err, TW_ERR_USAGE, "the %s of a range is a number and a unit, not \"%.*s\"", what,
            (int)(end - at < 60 ? end - at : 60), at);
    tw_error_advise(in->err, NULL, "write \"1.0 mm..2.0 mm/0.1 mm\", or a list \"1 mm, 1.2 mm\"");
    return tw_vary_place(in, at, TW_ERR_USAGE);
}

/* ---- values -------------------------------------------------------------------------------- */

static long long greatest_divisor(long long a, long long b)
{
    while (b) {
        const long long rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

/* What all three are counted in: top and bottom of each over one bottom. @return the number for which that
 * is too fine, or NULL */
static const number *share_bottom(number part[3])
{
    const bool fraction = part[0].fraction || part[1].fraction || part[2].fraction;
    long long bottom = 1;
    int decimals = 0;

    for (int k = 0; k < 3; k++) {
        const long long divisor = fraction ? greatest_divisor(part[k].bottom, part[k].top) : 1;
        part[k].top /= divisor;
        part[k].bottom /= divisor;
        bottom *= part[k].bottom / greatest_divisor(bottom, part[k].bottom);
        decimals = part[k].decimals > decimals ? part[k].decimals : decimals;
        if (fraction && bottom > BOTTOM_MAX)
            return &part[k];
    }
    for (int k = 0; k < 3; k++) {
        const long long times = bottom / part[k].bottom;
        if (part[k].top > COUNT_MAX / times || part[k].top < -COUNT_MAX / times)
            return &part[k];
        part[k].top *= times;
        part[k].bottom = bottom;
        part[k].decimals = decimals;
        part[k].fraction = fraction;
    }
    return NULL;
}

/* "1.05 mm", "1 1/16 in" */
static const char *write_value(const tw_vary_text *in, long long top, const number *like)
{
    const unsigned long long size =
        top < 0 ? 0ULL - (unsigned long long)top : (unsigned long long)top;
    const unsigned long long bottom = (unsigned long long)like->bottom;
    const unsigned long long whole = size / bottom, rest = size % bottom;
    char value[64], text[128];

    if (like->fraction && rest) {
        const long long divisor = greatest_divisor(like->bottom, (long long)rest);
        tw_format(value, sizeof value, "%llu/%llu", rest / (unsigned long long)divisor,
                  bottom / (unsigned long long)divisor);
        tw_format(text, sizeof text, "%s%.0llu%s%s", top < 0 ? "-" : "", whole, whole ? " " : "",
                  value);
    } else if (like->decimals > 0 && !like->fraction) {
        tw_format(text, sizeof text, "%s%llu.%0*llu", top < 0 ? "-" : "", whole, like->decimals,
                  rest);
    } else {
        tw_format(text, sizeof text, "%s%llu", top < 0 ? "-" : "", whole);
    }
    if (like->unit_length > 0) {
        const size_t used = strlen(text);
        tw_format(text + used, sizeof text - used, " %.*s", (int)like->unit_length, like->unit);
    }
    return tw_arena_text(in->arena, text);
}

/* ---- ranges -------------------------------------------------------------------------------- */

/* One unit for all three, wherever it stands. */
static tw_status share_unit(const tw_vary_text *in, number part[3])
{
    const number *with = NULL;

    for (int k = 0; k < 3; k++) {
        if (part[k].unit_length == 0)
            continue;
        if (with && (with->unit_length != part[k].unit_length ||
                     memcmp(with->unit, part[k].unit, with->unit_length) != 0)) {
            tw_fail(in->err, TW_ERR_USAGE, "one range has one unit, not %.*s and %.*s",
                    (int)with->unit_length, with->unit, (int)part[k].unit_length, part[k].unit);
            tw_error_advise(in->err, NULL, "write both ends and the step in %.*s",
                            (int)with->unit_length, with->unit);
            return tw_vary_place(in, part[k].unit, TW_ERR_USAGE);
        }
        with = &part[k];
    }
    if (with && with->unit_length > 32)
        return bad_number(in, with->at, with->unit + with->unit_length, "end");
    for (int k = 0; with && k < 3; k++) {
        part[k].unit = with->unit;
        part[k].unit_length = with->unit_length;
    }
    return TW_OK;
}

static tw_status no_step(const tw_vary_text *in)
{
    tw_fail(in->err, TW_ERR_USAGE, "the range has no step");
    tw_error_advise(
        in->err, NULL,
        "write it behind a slash: \"1.0 mm..2.0 mm/0.1 mm\", \"1/16 in..1/8 in/1/32 in\"");
    return tw_vary_place(in, in->text + strlen(in->text), TW_ERR_USAGE);
}

static tw_status step_misses(const tw_vary_text *in, const number part[3], long long steps)
{
    const long long step = part[1].top < part[0].top ? -part[2].top : part[2].top;
    const char *last = write_value(in, part[0].top + steps * step, &part[0]);
    const char *next = write_value(in, part[0].top + (steps + 1) * step, &part[0]);

    if (!last || !next)
        return tw_vary_no_memory(in);
    tw_fail(in->err, TW_ERR_USAGE, "the step does not meet the end: from %s it goes on to %s", last,
            next);
    tw_error_advise(in->err, NULL, "let the range end with %s", last);
    return tw_vary_place(in, part[1].at, TW_ERR_USAGE);
}

/* @param whole_end  the end and what is taken for the step also make one fraction: "0 in..1/8 in" */
static tw_status count_range(const tw_vary_text *in, number part[3], bool whole_end, tw_vary *out)
{
    const bool said = part[0].unit_length > 0 || part[0].fraction;
    const number *too_fine;
    long long span, step, steps;
    tw_status status = share_unit(in, part);

    if (status != TW_OK)
        return status;
    too_fine = share_bottom(part);
    if (too_fine)
        return bad_number(in, too_fine->at, in->text + strlen(in->text), "number");
    step = part[2].top;
    if (step <= 0) {
        tw_fail(in->err, TW_ERR_USAGE, "the step of a range is above 0");
        tw_error_advise(in->err, NULL, "a range from a larger to a smaller value falls by itself");
        return tw_vary_place(in, part[2].at, TW_ERR_USAGE);
    }
    span = part[1].top - part[0].top;
    steps = (span < 0 ? -span : span) / step;
    if (span % step != 0)
        return whole_end && said ? no_step(in) : step_misses(in, part, steps);
    if (steps >= TW_VARY_VALUES) {
        tw_fail(in->err, TW_ERR_LIMIT, "the range has more than %d values", (int)TW_VARY_VALUES);
        tw_error_advise(in->err, NULL, "take a larger step");
        return tw_vary_place(in, part[2].at, TW_ERR_LIMIT);
    }
    out->count = (size_t)steps + 1;
    out->values = tw_arena_array(in->arena, out->count, sizeof *out->values);
    if (!out->values)
        return tw_vary_no_memory(in);
    for (size_t k = 0; k < out->count; k++) {
        const long long moved = (long long)k * step;
        out->values[k] = write_value(in, part[0].top + (span < 0 ? -moved : moved), &part[0]);
        if (!out->values[k])
            return tw_vary_no_memory(in);
    }
    return TW_OK;
}

static tw_status two_ways(const tw_vary_text *in, const char *slash)
{
    tw_fail(in->err, TW_ERR_USAGE, "two slashes could each be the one before the step");
    tw_error_advise(in->err, NULL,
                    "write the unit behind the end too, as in \"1/2 in..3/4 in/1/8 in\"");
    return tw_vary_place(in, slash, TW_ERR_USAGE);
}

/*
 * The slash before the step is the one that has a number with its unit, if any, on either side:
 * in "1/16 in..1/8 in/1/32 in" it is the second of three behind the dots.
 */
tw_status tw_vary_range(const tw_vary_text *in, const char *dots, tw_vary *out)
{
    const char *end = in->text + strlen(in->text);
    const char *first = strchr(dots, '/'), *found = NULL, *nearest = NULL;
    number part[3], other;

    if (!first)
        return no_step(in);
    for (const char *slash = first; slash; slash = strchr(slash + 1, '/')) {
        if (!read_number(dots + 2, slash, &other))
            continue;
        nearest = slash;
        if (!read_number(slash + 1, end, &other))
            continue;
        if (found)
            return two_ways(in, slash);
        found = slash;
    }
    if (!read_number(in->text, dots, &part[0]))
        return bad_number(in, in->text, dots, "beginning");
    if (!nearest)
        return bad_number(in, dots + 2, first, "end");
    if (!found)
        return bad_number(in, nearest + 1, end, "step");
    read_number(dots + 2, found, &part[1]);
    read_number(found + 1, end, &part[2]);
    return count_range(in, part, read_number(dots + 2, end, &other), out);
}
