#include "taperwright/base.h"

#include <string.h>

const char *tw_status_text(tw_status status)
{
    switch (status) {
#define TW_STATUS_WORDS(name, code, text) \
    case name:                            \
        return text;
        TW_STATUS_LIST(TW_STATUS_WORDS)
#undef TW_STATUS_WORDS
    }
    return "unknown status";
}

int tw_status_exit(tw_status status)
{
    switch (status) {
#define TW_STATUS_CODE(name, code, text) \
    case name:                           \
        return code;
        TW_STATUS_LIST(TW_STATUS_CODE)
#undef TW_STATUS_CODE
    }
    return 3;
}

/* Formats into a field of fixed size; a text cut short never ends inside a UTF-8 letter. What a file or a
 * person wrote may stand in it: made fit to be shown. */
static void fill(char *field, size_t size, const char *format, va_list arguments)
{
    const int length = tw_format_list(field, size, format, arguments);

    if (length >= 0 && (size_t)length >= size) {
        size_t end = size - 1;
        while (end > 0 && ((unsigned char)field[end - 1] & 0xC0) == 0x80)
            end--;
        if (end > 0 && (unsigned char)field[end - 1] >= 0xC0)
            end--;
        field[end] = '\0';
    }
    tw_utf8_tidy(field, false);
}

TW_PRINTF(3, 4)
static void copy(char *field, size_t size, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    fill(field, size, format, arguments);
    va_end(arguments);
}

tw_status tw_fail(tw_error *err, tw_status status, const char *message, ...)
{
    va_list arguments;

    if (!err)
        return status;
    memset(err, 0, sizeof *err);
    err->status = status;
    va_start(arguments, message);
    fill(err->message, sizeof err->message, message, arguments);
    va_end(arguments);
    return status;
}

void tw_error_advise(tw_error *err, const char *value, const char *advice, ...)
{
    va_list arguments;

    if (!err)
        return;
    if (value)
        copy(err->value, sizeof err->value, "%s", value);
    if (!advice)
        return;
    va_start(arguments, advice);
    fill(err->advice, sizeof err->advice, advice, arguments);
    va_end(arguments);
}

void tw_error_within(tw_error *err, const char *where, ...)
{
    va_list arguments;
    size_t used;

    if (!err)
        return;
    used = strlen(err->message);
    if (used + 3 >= sizeof err->message)
        return;
    memcpy(err->message + used, ", ", 3);
    va_start(arguments, where);
    fill(err->message + used + 2, sizeof err->message - used - 2, where, arguments);
    va_end(arguments);
}

void tw_notes_add(tw_notes *notes, const tw_error *item)
{
    if (!notes)
        return;
    if (notes->count < TW_NOTES_MAX)
        notes->items[notes->count] = *item;
    notes->count++;
}

void tw_notes_join(tw_notes *to, const tw_notes *from)
{
    const size_t kept = from->count < TW_NOTES_MAX ? from->count : TW_NOTES_MAX;

    for (size_t k = 0; k < kept; k++)
        tw_notes_add(to, &from->items[k]);
    to->count += from->count - kept;
}
