/*
 * report.c: errors and notes on stderr: "file:line:column: message; advice", then the line of the
 * file and a caret under the place. What a file holds is shown without its control letters, so
 * that a binary file cannot steer the terminal.
 */
#include "cli_internal.h"

#include <stdio.h>
#include <string.h>

unsigned tw_cli_letter(const char **text)
{
    const unsigned char *byte = (const unsigned char *)*text;
    const int more = byte[0] >= 0xF0 ? 3 : byte[0] >= 0xE0 ? 2 : byte[0] >= 0xC2 ? 1 : 0;
    unsigned letter = byte[0];

    if (byte[0] >= 0x80 && (more == 0 || byte[0] > 0xF4)) {
        (*text)++;
        return '?';
    }
    if (more)
        letter = byte[0] & (0x3Fu >> more);
    for (int k = 1; k <= more; k++) {
        if ((byte[k] & 0xC0) != 0x80) {
            (*text)++;
            return '?';
        }
        letter = letter << 6 | (byte[k] & 0x3Fu);
    }
    *text += 1 + more;
    return letter;
}

/* Columns on a terminal: 0 for combining marks, 2 for East Asian wide letters and pictographs.
 * The ranges are the large blocks of Unicode's EastAsianWidth W and F; from memory. */
static size_t letter_columns(unsigned letter)
{
    static const unsigned none[][2] = {{0x300, 0x36F}, {0x200B, 0x200F}, {0xFE00, 0xFE0F}};
    static const unsigned wide[][2] = {{0x1100, 0x115F},   {0x2E80, 0x303E},   {0x3041, 0x33FF},
                                       {0x3400, 0x4DBF},   {0x4E00, 0x9FFF},   {0xA000, 0xA4CF},
                                       {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},   {0xFF00, 0xFF60},
                                       {0x1F300, 0x1F64F}, {0x1F900, 0x1F9FF}, {0x20000, 0x3FFFD}};

    for (size_t k = 0; k < sizeof none / sizeof *none; k++) {
        if (letter >= none[k][0] && letter <= none[k][1])
            return 0;
    }
    for (size_t k = 0; k < sizeof wide / sizeof *wide; k++) {
        if (letter >= wide[k][0] && letter <= wide[k][1])
            return 2;
    }
    return 1;
}

size_t tw_cli_columns(const char *text)
{
    size_t columns = 0;

    while (*text)
        columns += letter_columns(tw_cli_letter(&text));
    return columns;
}

int tw_cli_fit(int columns, const char *text)
{
    return columns + (int)strlen(text) - (int)tw_cli_columns(text);
}

/* Text being put together in a buffer; what does not fit is left out. */
typedef struct writing {
    char *text;
    size_t size, used;
} writing;

static void put(writing *to, const char *bytes, size_t count)
{
    if (to->used + count + 1 > to->size)
        return;
    memcpy(to->text + to->used, bytes, count);
    to->used += count;
    to->text[to->used] = '\0';
}

static void put_clean(writing *to, const char *text, bool tabs)
{
    while (*text) {
        const char *start = text;
        const unsigned letter = tw_cli_letter(&text);
        const bool bad =
            letter < 0x20 || (letter >= 0x7F && letter < 0xA0) || (letter == '?' && *start != '?');

        if (letter == '\t' && tabs)
            put(to, "\t", 1);
        else if (bad)
            put(to, "?", 1);
        else
            put(to, start, (size_t)(text - start));
    }
}

/* Blanks up to the column, tabs kept as tabs so that any tab width lines up. */
static void put_caret(writing *to, const char *source, int column)
{
    for (int k = 1; k < column; k++) {
        const unsigned letter = *source ? tw_cli_letter(&source) : ' ';
        if (letter == '\t') {
            put(to, "\t", 1);
        } else {
            for (size_t n = letter_columns(letter); n > 0; n--)
                put(to, " ", 1);
        }
    }
    put(to, "^\n", 2);
}

static int letters(const char *text)
{
    int count = 0;

    while (*text) {
        tw_cli_letter(&text);
        count++;
    }
    return count;
}

void tw_cli_error_text(const tw_error *item, const char *label, char *text, size_t size)
{
    writing to = {text, size, 0};
    char place[48] = "";

    text[0] = '\0';
    if (strcmp(item->file, "-") == 0)
        put_clean(&to, "standard output", false);
    else
        put_clean(&to, item->file[0] ? item->file : "taperwright", false);
    if (item->line > 0 && item->column > 0)
        snprintf(place, sizeof place, ":%d:%d", item->line, item->column);
    else if (item->line > 0)
        snprintf(place, sizeof place, ":%d", item->line);
    put(&to, place, strlen(place));
    put(&to, ": ", 2);
    put(&to, label, strlen(label));
    put_clean(&to, item->message[0] ? item->message : tw_status_text(item->status), false);
    if (item->value[0] && !strstr(item->message, item->value)) {
        put(&to, ", found \"", 9);
        put_clean(&to, item->value, false);
        put(&to, "\"", 1);
    }
    if (item->advice[0]) {
        put(&to, "; ", 2);
        put_clean(&to, item->advice, false);
    }
    put(&to, "\n", 1);
    if (!item->source[0] || item->line <= 0)
        return;
    put(&to, "    ", 4);
    put_clean(&to, item->source, true);
    put(&to, "\n", 1);
    if (item->column > 0 && item->column <= letters(item->source) + 1) {
        put(&to, "    ", 4);
        put_caret(&to, item->source, item->column);
    }
}

void tw_cli_report(const tw_notes *list, const char *label)
{
    char text[2048];

    for (size_t k = 0; k < list->count && k < TW_NOTES_MAX; k++) {
        tw_cli_error_text(&list->items[k], label, text, sizeof text);
        fputs(text, stderr);
    }
    if (list->count > TW_NOTES_MAX)
        fprintf(stderr, "taperwright: %zu more were found; only the first %d are shown\n",
                list->count - TW_NOTES_MAX, TW_NOTES_MAX);
}

tw_status tw_cli_give(tw_notes *errors, const tw_error *err)
{
    tw_notes_add(errors, err);
    return err->status;
}
