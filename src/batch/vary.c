/*
 * vary.c: what a value is to be in turn, as a list; ranges are range.c's.
 */
#include "batch_internal.h"

#include <assert.h>
#include <ctype.h>
#include <string.h>

tw_status tw_vary_no_memory(const tw_vary_text *in)
{
    return tw_fail(in->err, TW_ERR_MEMORY, "no memory for the values of %s", in->path);
}

/* Says where in the text. Columns count letters, of which UTF-8 has one to each byte that begins one. */
tw_status tw_vary_place(const tw_vary_text *in, const char *at, tw_status status)
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

const char *tw_vary_past_blanks(const char *from, const char *end)
{
    while (from < end && blank(*from))
        from++;
    return from;
}

const char *tw_vary_before_blanks(const char *from, const char *end)
{
    while (end > from && blank(end[-1]))
        end--;
    return end;
}

tw_status tw_vary_comma(const tw_vary_text *in, const char *from, const char *comma,
                        const char *end)
{
    const char *unit = comma + 1;
    char found[64];

    while (unit < end && (isdigit((unsigned char)*unit) || blank(*unit)))
        unit++;
    tw_format(found, sizeof found, "%.*s", (int)(end - from), from);
    tw_utf8_tidy(found, true);
    tw_fail(in->err, TW_ERR_USAGE, "a comma stands where the decimal point should");
    tw_error_advise(in->err, found, "write %.*s.%.*s, or %.*s %.*s, %.*s if two are meant",
                    (int)(comma - from), from, (int)(end - comma - 1), comma + 1,
                    (int)(comma - from), from, (int)(end - unit), unit, (int)(end - comma - 1),
                    comma + 1);
    return tw_vary_place(in, comma, TW_ERR_USAGE);
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

static bool begins_number(const char *at)
{
    at += *at == '-';
    at += *at == '.';
    return isdigit((unsigned char)*at) != 0;
}

/* Digits, point, sign and fraction, and nothing else. */
static bool is_bare(const char *text)
{
    return text[strspn(text, "0123456789+-./ \t")] == '\0' && strpbrk(text, "0123456789");
}

static bool is_whole(const char *text)
{
    text += *text == '-';
    return *text && text[strspn(text, "0123456789")] == '\0';
}

/* One value with a unit and one without: half of a decimal comma, or a unit that was left out. */
static tw_status check_units(const tw_vary_text *in, const tw_vary *list)
{
    const char *with = NULL, *from = in->text;

    for (size_t k = 0; k < list->count && !with; k++)
        if (begins_number(list->values[k]) && !is_bare(list->values[k]))
            with = list->values[k];
    for (size_t k = 0; with && k < list->count; k++) {
        const char *value = list->values[k], *comma = item_end(from);
        const bool zero = value[strspn(value, "0.")] == '\0';
        if (is_whole(value) && k + 1 < list->count && isdigit((unsigned char)comma[-1]) &&
            isdigit((unsigned char)comma[1])) {
            const char *end = item_end(comma + 1), *dots = strstr(comma, "..");
            from = tw_vary_past_blanks(from, comma);
            end = tw_vary_before_blanks(comma, dots && dots < end ? dots : end);
            return tw_vary_comma(in, from, comma, end);
        }
        if (is_bare(value) && !zero) {
            tw_fail(in->err, TW_ERR_USAGE, "\"%.40s\" lacks its unit", value);
            tw_error_advise(in->err, value, "write a unit behind each value, as in %.40s", with);
            return tw_vary_place(in, tw_vary_past_blanks(from, comma), TW_ERR_USAGE);
        }
        from = comma + 1;
    }
    return TW_OK;
}

static tw_status read_list(const tw_vary_text *in, tw_vary *out)
{
    const char *from = in->text;
    size_t count = 1;

    for (const char *end = item_end(from); *end; end = item_end(end + 1))
        count++;
    if (count > TW_VARY_VALUES) {
        tw_fail(in->err, TW_ERR_LIMIT, "the list has more than %d values", (int)TW_VARY_VALUES);
        return tw_vary_place(in, in->text, TW_ERR_LIMIT);
    }
    out->count = count;
    out->values = tw_arena_array(in->arena, count, sizeof *out->values);
    if (!out->values)
        return tw_vary_no_memory(in);
    for (size_t k = 0; k < count; k++) {
        const char *end = item_end(from);
        const char *first = tw_vary_past_blanks(from, end),
                   *last = tw_vary_before_blanks(first, end);
        char *value = tw_arena_array(in->arena, (size_t)(last - first) + 1, 1);
        if (!value)
            return tw_vary_no_memory(in);
        if (first == last) {
            tw_fail(in->err, TW_ERR_USAGE, "a value is empty");
            tw_error_advise(in->err, NULL, "write values with commas between: \"1 mm, 1.2 mm\"");
            return tw_vary_place(in, from, TW_ERR_USAGE);
        }
        memcpy(value, first, (size_t)(last - first));
        out->values[k] = value;
        from = end + 1;
    }
    return check_units(in, out);
}

tw_status tw_vary_read(tw_arena *arena, const char *path, const char *text, tw_vary *out,
                       tw_error *err)
{
    const tw_vary_text in = {arena, path, text, err};
    const char *first_end = item_end(text), *dots = strstr(text, "..");

    assert(arena && path && text && out);
    *out = (tw_vary){.path = tw_arena_text(arena, path)};
    if (!out->path)
        return tw_vary_no_memory(&in);
    /* "north..south" and "../a.csv" are texts. */
    if (dots && dots < first_end && begins_number(tw_vary_past_blanks(text, dots)))
        return tw_vary_range(&in, dots, out);
    return read_list(&in, out);
}
