/*
 * number.c: numbers to and from text, the same in every locale.
 *
 * Reading: strtod() rounds correctly but takes the locale's decimal sign. "1.6" therefore goes to it
 * as "16e-1", which has none. Writing: the thread's locale is switched to "C" for one vsnprintf()
 * (POSIX 2008), which touches no other thread.
 */
#include "base_internal.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

int tw_format_list(char *out, size_t size, const char *format, va_list arguments)
{
    const locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    const locale_t before = plain ? uselocale(plain) : (locale_t)0;
    const int length = vsnprintf(out, size, format, arguments);

    if (plain) {
        uselocale(before);
        freelocale(plain);
    }
    return length;
}

int tw_format(char *out, size_t size, const char *format, ...)
{
    va_list arguments;
    int length;

    va_start(arguments, format);
    length = tw_format_list(out, size, format, arguments);
    va_end(arguments);
    return length;
}

/* ASCII only: isdigit() and isalpha() ask the locale. */
static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* What a sign becomes. Powers only after a letter ("m²"): "5²" must not turn into 52. */
static const struct sign {
    const char *sign, *plain;
    bool after_letter;
} signs[] = {
    {"\t", " ", false},
    {"\n", " ", false},
    {"\r", " ", false},
    {"\xC2\xA0", " ", false},      /* no-break space */
    {"\xE2\x80\x89", " ", false},  /* thin space */
    {"\xE2\x80\xAF", " ", false},  /* narrow no-break space */
    {"\xE2\x88\x92", "-", false},  /* minus */
    {"\xE2\x81\x84", "/", false},  /* fraction slash */
    {"\xC2\xB0", " deg", false},   /* degree */
    {"\xE2\x80\xB3", "\"", false}, /* double prime */
    {"\xE2\x80\x9D", "\"", false}, /* closing quotation mark, typed for inch */
    {"''", "\"", false},
    {"\xC2\xB5", "u", false}, /* micro */
    {"\xCE\xBC", "u", false}, /* Greek mu */
    {"\xC2\xB2", "2", true},  /* squared */
    {"\xC2\xB3", "3", true},  /* cubed */
    {"^2", "2", true},
    {"^3", "3", true},
    {"\xC2\xBD", " 1/2", false},
    {"\xC2\xBC", " 1/4", false},
    {"\xC2\xBE", " 3/4", false},
    {"\xE2\x85\x9B", " 1/8", false},
    {"\xE2\x85\x9C", " 3/8", false},
    {"\xE2\x85\x9D", " 5/8", false},
    {"\xE2\x85\x9E", " 7/8", false},
};

static const struct sign *sign_at(const char *text, char before)
{
    for (size_t k = 0; k < sizeof signs / sizeof *signs; k++)
        if (strncmp(text, signs[k].sign, strlen(signs[k].sign)) == 0 &&
            (!signs[k].after_letter || is_letter(before)))
            return &signs[k];
    return NULL;
}

bool tw_plain_text(const char *text, char out[TW_PLAIN_SIZE])
{
    size_t used = 0;

    while (*text) {
        const struct sign *sign = sign_at(text, used > 0 ? out[used - 1] : '\0');
        char one[2] = {*text, '\0'};
        const char *add = sign ? sign->plain : one;

        text += sign ? strlen(sign->sign) : 1;
        for (; *add; add++) {
            const bool joins = used == 0 || out[used - 1] == ' ' || out[used - 1] == '/';
            if (*add == ' ' && joins)
                continue;
            if (*add == '/' && used > 0 && out[used - 1] == ' ')
                used--;
            if (used + 1 == TW_PLAIN_SIZE)
                return false;
            out[used++] = *add;
        }
    }
    if (used > 0 && out[used - 1] == ' ')
        used--;
    out[used] = '\0';
    return true;
}

/* Whole number of at most 9 digits, exact in a double; NULL when there is none. */
static const char *read_whole(const char *at, double *whole)
{
    const char *start = at;

    *whole = 0;
    for (; is_digit(*at); at++)
        *whole = 10 * *whole + (*at - '0');
    return at == start || at - start > 9 ? NULL : at;
}

/* "1/16" at `at` as numerator and denominator; NULL when there is no fraction there. */
static const char *read_fraction(const char *at, double *above, double *below)
{
    at = read_whole(at, above);
    return at && *at == '/' ? read_whole(at + 1, below) : NULL;
}

/* Digits, point, digits, exponent. NULL when there are no digits; infinite when beyond range. */
static const char *read_decimal(const char *at, double *value)
{
    char digits[TW_PLAIN_SIZE + 16];
    size_t used = 0;
    long power = 0, exponent = 0;
    bool point = false;

    for (; is_digit(*at) || (*at == '.' && !point); at++) {
        if (*at == '.') {
            point = true;
            continue;
        }
        if (used == TW_PLAIN_SIZE)
            return NULL;
        digits[used++] = *at;
        power -= point;
    }
    if (used == 0)
        return NULL;
    if (*at == 'e' || *at == 'E') {
        const char *next = at + 1;
        const bool minus = *next == '-';
        if (*next == '-' || *next == '+')
            next++;
        if (is_digit(*next)) {
            for (; is_digit(*next); next++)
                exponent = exponent < 100000 ? 10 * exponent + (*next - '0') : exponent;
            power += minus ? -exponent : exponent;
            at = next;
        }
    }
    snprintf(digits + used, sizeof digits - used, "e%ld", power);
    *value = strtod(digits, NULL);
    return at;
}

tw_number tw_number_read(const char **at, double *value)
{
    const char *start = *at, *end;
    double sign = 1, number, whole, above, below;

    if (*start == '-' || *start == '+')
        sign = *start++ == '-' ? -1 : 1;
    if (strncasecmp(start, "nan", 3) == 0 || strncasecmp(start, "inf", 3) == 0)
        return TW_NUMBER_UNBOUNDED;
    end = read_fraction(start, &above, &below);
    if (end) {
        if (below == 0)
            return TW_NUMBER_FRACTION;
        number = above / below;
    } else {
        end = read_decimal(start, &number);
        if (!end)
            return TW_NUMBER_NONE;
        if (!isfinite(number))
            return TW_NUMBER_UNBOUNDED;
        if (*end == ',') {
            *at = end;
            return TW_NUMBER_COMMA;
        }
        if (read_whole(start, &whole) == end && (*end == ' ' || *end == '-')) {
            const char *behind = read_fraction(end + 1, &above, &below);
            if (behind) {
                if (!(above < below))
                    return TW_NUMBER_FRACTION;
                number = (whole * below + above) / below;
                end = behind;
            }
        }
    }
    *at = end;
    *value = sign * number;
    return TW_NUMBER_READ;
}
