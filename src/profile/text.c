/*
 * text.c: is it text at all, and which line of it is meant. Runs once over the bytes before the
 * YAML library sees them, so that a picture or an archive given by mistake is called what it is.
 * Well-formed UTF-8 as table 3-7 of the Unicode Standard has it (no overlong forms, surrogates or
 * values above U+10FFFF); columns count letters (code points) from 1, lines end with LF, CR or
 * CR LF.
 */
#include "reader_internal.h"

#include <string.h>

tw_status tw_text_check(const char *data, size_t size, tw_error *err)
{
    const unsigned char *bytes = (const unsigned char *)data;
    int line = 1, column = 1;
    char value[8] = "";

    for (size_t n = 0; n < size;) {
        const size_t length = tw_utf8_letter(bytes + n, size - n);
        const char *what = length == 0 ? "the file is no text in UTF-8" : NULL;

        if (!what && tw_utf8_control(bytes + n, length))
            what = bytes[n] == 0 ? "the file is binary, no profile: it has a NUL byte"
                                 : "the file is binary, no profile: it has a control character";
        if (what) {
            static const char digits[] = "0123456789ABCDEF";
            const unsigned char byte = bytes[n + (length == 2)];
            value[0] = '0', value[1] = 'x';
            value[2] = digits[byte >> 4], value[3] = digits[byte & 15];
            tw_fail(err, TW_ERR_INPUT, "%s", what);
            tw_error_advise(err, value, "save it as plain text in UTF-8");
            if (err)
                err->line = line, err->column = column;
            return TW_ERR_INPUT;
        }
        if (bytes[n] == '\n' || (bytes[n] == '\r' && !(n + 1 < size && bytes[n + 1] == '\n'))) {
            line++;
            column = 1;
        } else {
            column++;
        }
        n += length;
    }
    return TW_OK;
}

int tw_text_long_line(const char *data, size_t size)
{
    size_t begin = 0;
    int line = 1;

    for (size_t n = 0; n < size; n++) {
        if (n - begin >= TW_LINE_MAX)
            return line;
        if (data[n] == '\n' || (data[n] == '\r' && !(n + 1 < size && data[n + 1] == '\n'))) {
            line++;
            begin = n + 1;
        }
    }
    return 0;
}

/* Where a quoted text that opens at n ends; size when it never does. */
static size_t end_of_quote(const char *data, size_t size, size_t n)
{
    const char quote = data[n];

    for (n++; n < size; n++) {
        if (quote == '"' && data[n] == '\\')
            n++;
        else if (data[n] == quote && !(quote == '\'' && n + 1 < size && data[n + 1] == quote))
            return n;
        else if (data[n] == quote)
            n++; /* '' is one ' inside */
    }
    return size;
}

bool tw_text_too_deep(const char *data, size_t size, tw_place *place)
{
    char before = '\n'; /* last letter that is no blank; a quote opens a text behind some only */
    size_t depth = 0, begin = 0;
    int line = 1;

    for (size_t n = 0; n < size; n++) {
        const char c = data[n];
        if (c == '\n') {
            line++;
            begin = n + 1;
        } else if (c == '#' && (n == begin || data[n - 1] == ' ' || data[n - 1] == '\t')) {
            while (n + 1 < size && data[n + 1] != '\n')
                n++;
            continue;
        } else if ((c == '"' || c == '\'') && strchr("\n[{,:-?", before)) {
            const size_t end = end_of_quote(data, size, n);
            for (; n < end; n++)
                if (data[n] == '\n') {
                    line++;
                    begin = n + 1;
                }
        } else if (c == '[' || c == '{') {
            if (++depth == TW_NEST_MAX + 1)
                *place = (tw_place){line, (int)(n - begin) + 1};
            if (depth > TW_NEST_SCAN)
                return true;
        } else if ((c == ']' || c == '}') && depth > 0) {
            depth--;
        }
        if (c != ' ' && c != '\t' && c != '\r' && !(c == '\n' && depth > 0))
            before = c;
    }
    return false;
}

/* Cuts a buffer's text at `end` back to a whole letter. */
static size_t whole_letters(const char *text, size_t end)
{
    while (end > 0 && ((unsigned char)text[end] & 0xC0) == 0x80)
        end--;
    return end;
}

void tw_text_line(const char *text, int line, char *out, size_t size, bool tabs)
{
    size_t length;

    out[0] = '\0';
    if (line < 1)
        return;
    for (; line > 1; line--) {
        text += strcspn(text, "\r\n");
        if (*text == '\0')
            return;
        text += text[0] == '\r' && text[1] == '\n' ? 2 : 1;
    }
    length = strcspn(text, "\r\n");
    if (length >= size)
        length = whole_letters(text, size - 1);
    memcpy(out, text, length);
    out[length] = '\0';
    tw_utf8_tidy(out, tabs); /* the file may not have passed tw_text_check() */
}

void tw_text_tidy(const char *text, char *out, size_t size)
{
    static const char more[] = "…";
    size_t length = strlen(text);

    if (length >= size) {
        length = whole_letters(text, size - sizeof more);
        /* NOLINTNEXTLINE(bugprone-not-null-terminated-result): the next ends it */
        memcpy(out, text, length);
        memcpy(out + length, more, sizeof more);
    } else {
        memcpy(out, text, length + 1);
    }
    tw_utf8_tidy(out, false);
}
