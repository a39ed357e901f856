/*
 * vary.c: what a value is to be in turn. A range is counted in whole steps of its last decimal, so that
 * "1.0 mm..2.0 mm/0.1 mm" has eleven values that read as one would write them, and none is 1.9999999 mm.
 */
#include "taperwright/batch.h"

#include <assert.h>
#include <ctype.h>
#include <string.h>

enum { DIGITS_MAX = 15, DECIMALS_MAX = 9 };

typedef struct reading {
    tw_arena *arena;
    const char *path, *text;
    tw_error *err;
} reading;

/* A number as it was written, and the unit after it. */
typedef struct decimal {
    const char *at;   /* of its first letter in the text */
    long long digits; /* without the point */
    int decimals;     /* behind it */
    const char *unit; /* unit_length letters */
    size_t unit_length;
} decimal;

static tw_status no_memory(const reading *in)
{
    return tw_fail(in->err, TW_ERR_MEMORY, "no memory for the values of %s", in->path);
}

/* Says where in the text. Columns count letters, of which UTF-8 has one to each byte that begins one. */
static tw_status place(const reading *in, const char *at, tw_status status)
{
    tw_error *err = in->err;

    if (!err)
        return status;
    tw_format(err->file, sizeof err->file, "--vary %s", in->path);
    err->line = 1;
    err->column = 1;
    for (const char *byte = in->text; byte < at; byte++)
        err->column += ((unsigned char)*byte & 0xC0) != 0x80;
    if (strlen(in->text) < sizeof err->source)
        strcpy(err->source, in->text);
    tw_utf8_tidy(err->source, true); /* as every error is shown */
    return status;
}

static bool blank(char letter)
{
    return letter == ' ' || letter == '\t';
}

static const char *past_blanks(const char *from, const char *end)
{
    while (from < end && blank(*from))
        from++;
    return from;
}

static const char *before_blanks(const char *from, const char *end)
{
    while (end > from && blank(end[-1]))
        end--;
    return end;
}

/* ---- numbers ------------------------------------------------------------------------------- */

static tw_status bad_number(const reading *in, const char *at, const char *end, const char *what)
{
    tw_fail(in->err, TW_ERR_USAGE, "the %s of a range is a number and a unit, not \"%.*s\"", what,
            (int)(end - at < 60 ? end - at : 60), at);
    tw_error_advise(in->err, NULL, "write \"1.0 mm..2.0 mm/0.1 mm\", or a list \"1 mm, 1.2 mm\"");
    return place(in, at, TW_ERR_USAGE);
}

static tw_status read_decimal(const reading *in, const char *from, const char *end,
                              const char *what, decimal *out)
{
    const char *at = past_blanks(from, end);
    const char *letter = at;
    const bool negative = letter < end && *letter == '-';
    bool point = false;
    int count = 0;

    end = before_blanks(at, end);
    *out = (decimal){.at = at};
    letter += negative;
    for (; letter < end && (isdigit((unsigned char)*letter) || (*letter == '.' && !point));
         letter++) {
        if (*letter == '.') {
            point = true;
            continue;
        }
        count++;
        out->decimals += point;
        if (count > DIGITS_MAX || out->decimals > DECIMALS_MAX)
            return bad_number(in, at, end, what);
        out->digits = 10 * out->digits + (*letter - '0');
    }
    if (negative)
        out->digits = -out->digits;
    letter = past_blanks(letter, end);
    /* A fraction, an exponent or a decimal comma would be taken for a unit. */
    if (count == 0 || (letter < end && strchr("0123456789/,.+-", *letter)))
        return bad_number(in, at, end, what);
    out->unit = letter;
    out->unit_length = (size_t)(end - letter);
    return TW_OK;
}

static bool finer(decimal *number, int decimals)
{
    for (; number->decimals < decimals; number->decimals++) {
        if (number->digits > 100000000000000000LL || number->digits < -100000000000000000LL)
            return false;
        number->digits *= 10;
    }
    return true;
}

/* "1.05 mm": digits with the point put back. */
static const char *write_value(const reading *in, long long digits, const decimal *like)
{
    unsigned long long size =
        digits < 0 ? 0ULL - (unsigned long long)digits : (unsigned long long)digits;
    unsigned long long unit = 1;
    char text[128];

    for (int k = 0; k < like->decimals; k++)
        unit *= 10;
    if (like->decimals > 0)
        tw_format(text, sizeof text, "%s%llu.%0*llu%s%.*s", digits < 0 ? "-" : "", size / unit,
                  like->decimals, size % unit, like->unit_length ? " " : "", (int)like->unit_length,
                  like->unit);
    else
        tw_format(text, sizeof text, "%s%llu%s%.*s", digits < 0 ? "-" : "", size,
                  like->unit_length ? " " : "", (int)like->unit_length, like->unit);
    return tw_arena_text(in->arena, text);
}

/* ---- ranges -------------------------------------------------------------------------------- */

/* One unit for all three, wherever it stands. */
static tw_status share_unit(const reading *in, decimal part[3])
{
    const decimal *with = NULL;

    for (int k = 0; k < 3; k++) {
        if (part[k].unit_length == 0)
            continue;
        if (with && (with->unit_length != part[k].unit_length ||
                     memcmp(with->unit, part[k].unit, with->unit_length) != 0)) {
            tw_fail(in->err, TW_ERR_USAGE, "one range has one unit, not %.*s and %.*s",
                    (int)with->unit_length, with->unit, (int)part[k].unit_length, part[k].unit);
            tw_error_advise(in->err, NULL, "write both ends and the step in %.*s",
                            (int)with->unit_length, with->unit);
            return place(in, part[k].unit, TW_ERR_USAGE);
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

static tw_status step_misses(const reading *in, const decimal part[3], long long steps)
{
    const long long step = part[1].digits < part[0].digits ? -part[2].digits : part[2].digits;
    const char *last = write_value(in, part[0].digits + steps * step, &part[0]);
    const char *next = write_value(in, part[0].digits + (steps + 1) * step, &part[0]);

    if (!last || !next)
        return no_memory(in);
    tw_fail(in->err, TW_ERR_USAGE, "the step does not meet the end: from %s it goes on to %s", last,
            next);
    tw_error_advise(in->err, NULL, "let the range end with %s", last);
    return place(in, part[1].at, TW_ERR_USAGE);
}

static tw_status count_range(const reading *in, decimal part[3], tw_vary *out)
{
    int decimals = 0;
    long long span, step;
    tw_status status = share_unit(in, part);

    if (status != TW_OK)
        return status;
    for (int k = 0; k < 3; k++)
        decimals = part[k].decimals > decimals ? part[k].decimals : decimals;
    for (int k = 0; k < 3; k++) {
        if (!finer(&part[k], decimals))
            return bad_number(in, part[k].at, in->text + strlen(in->text), "number");
    }
    step = part[2].digits;
    if (step <= 0) {
        tw_fail(in->err, TW_ERR_USAGE, "the step of a range is above 0");
        tw_error_advise(in->err, NULL, "a range from a larger to a smaller value falls by itself");
        return place(in, part[2].at, TW_ERR_USAGE);
    }
    span = part[1].digits - part[0].digits;
    if (span % step != 0)
        return step_misses(in, part, (span < 0 ? -span : span) / step);
    if ((span < 0 ? -span : span) / step >= TW_VARY_VALUES) {
        tw_fail(in->err, TW_ERR_LIMIT, "the range has more than %d values", (int)TW_VARY_VALUES);
        tw_error_advise(in->err, NULL, "take a larger step");
        return place(in, part[2].at, TW_ERR_LIMIT);
    }
    out->count = (size_t)((span < 0 ? -span : span) / step) + 1;
    out->values = tw_arena_array(in->arena, out->count, sizeof *out->values);
    if (!out->values)
        return no_memory(in);
    for (size_t k = 0; k < out->count; k++) {
        const long long moved = (long long)k * step;
        out->values[k] = write_value(in, part[0].digits + (span < 0 ? -moved : moved), &part[0]);
        if (!out->values[k])
            return no_memory(in);
    }
    return TW_OK;
}

static tw_status read_range(const reading *in, const char *dots, tw_vary *out)
{
    const char *end = in->text + strlen(in->text);
    const char *slash = strchr(dots, '/');
    decimal part[3];
    tw_status status;

    if (!slash) {
        tw_fail(in->err, TW_ERR_USAGE, "the range has no step");
        tw_error_advise(in->err, NULL, "write it behind a slash: \"1.0 mm..2.0 mm/0.1 mm\"");
        return place(in, end, TW_ERR_USAGE);
    }
    status = read_decimal(in, in->text, dots, "beginning", &part[0]);
    if (status == TW_OK)
        status = read_decimal(in, dots + 2, slash, "end", &part[1]);
    if (status == TW_OK)
        status = read_decimal(in, slash + 1, end, "step", &part[2]);
    return status == TW_OK ? count_range(in, part, out) : status;
}

/* ---- lists --------------------------------------------------------------------------------- */

/* The comma that ends the item at `from`, or the text's end. */
static const char *item_end(const char *from)
{
    int depth = 0;
    char quote = '\0';

    for (; *from; from++) {
        if (quote)
            quote = *from == quote ? '\0' : quote;
        else if (*from == '"' || *from == '\'')
            quote = *from;
        else if (*from == '[' || *from == '{')
            depth++;
        else if (*from == ']' || *from == '}')
            depth--;
        else if (*from == ',' && depth <= 0)
            break;
    }
    return from;
}

static tw_status read_list(const reading *in, tw_vary *out)
{
    const char *from = in->text;
    size_t count = 1;

    for (const char *end = item_end(from); *end; end = item_end(end + 1))
        count++;
    if (count > TW_VARY_VALUES) {
        tw_fail(in->err, TW_ERR_LIMIT, "the list has more than %d values", (int)TW_VARY_VALUES);
        return place(in, in->text, TW_ERR_LIMIT);
    }
    out->count = count;
    out->values = tw_arena_array(in->arena, count, sizeof *out->values);
    if (!out->values)
        return no_memory(in);
    for (size_t k = 0; k < count; k++) {
        const char *end = item_end(from);
        const char *first = past_blanks(from, end), *last = before_blanks(first, end);
        char *value = tw_arena_array(in->arena, (size_t)(last - first) + 1, 1);
        if (!value)
            return no_memory(in);
        if (first == last) {
            tw_fail(in->err, TW_ERR_USAGE, "a value is empty");
            tw_error_advise(in->err, NULL, "write values with commas between: \"1 mm, 1.2 mm\"");
            return place(in, from, TW_ERR_USAGE);
        }
        memcpy(value, first, (size_t)(last - first));
        out->values[k] = value;
        from = end + 1;
    }
    return TW_OK;
}

static bool begins_number(const char *at)
{
    at += *at == '-';
    at += *at == '.';
    return isdigit((unsigned char)*at) != 0;
}

tw_status tw_vary_read(tw_arena *arena, const char *path, const char *text, tw_vary *out,
                       tw_error *err)
{
    const reading in = {arena, path, text, err};
    const char *first_end = item_end(text), *dots = strstr(text, "..");

    assert(arena && path && text && out);
    *out = (tw_vary){.path = tw_arena_text(arena, path)};
    if (!out->path)
        return no_memory(&in);
    /* "north..south" and "../a.csv" are texts. */
    if (dots && dots < first_end && begins_number(past_blanks(text, dots)))
        return read_range(&in, dots, out);
    return read_list(&in, out);
}
