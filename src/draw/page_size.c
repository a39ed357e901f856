/*
 * page_size.c: sizes of paper by name. ISO 216 for A4 and its kin; 8.5 in by 11 in, 14 in and 17 in by 11 in
 * for the others (ANSI/ASME Y14.1, from memory).
 */
#include "draw_internal.h"

#include <string.h>
#include <strings.h>

typedef struct row {
    const char *key, *name;
    double width_mm, height_mm;
} row;
static const row rows[] = {{"a4", "A4", 210, 297},           {"letter", "Letter", 215.9, 279.4},
                           {"a3", "A3", 297, 420},           {"tabloid", "Tabloid", 279.4, 431.8},
                           {"legal", "Legal", 215.9, 355.6}, {"a2", "A2", 420, 594},
                           {"a1", "A1", 594, 841},           {"one", "", 0, 0}};
enum { ROWS = sizeof rows / sizeof *rows };
static const char known[] =
    "a4, letter, a3, tabloid, legal, a2, a1, one (a page as large as it takes) or \"roll 610 mm\"";
static const double ROLL_LEAST = 190, ROLL_MOST = 5000;

static tw_status read_roll(const char *text, const char *width, tw_page_size *out, tw_error *err)
{
    char words[48];
    double wide = 0;
    tw_status status;

    if (!width[strspn(width, " ")]) {
        status = tw_fail(err, TW_ERR_UNIT, "a roll needs its width");
        tw_error_advise(err, text, "write \"roll 610 mm\"");
        return status;
    }
    status = tw_quantity_read(width, TW_LENGTH, TW_RULER_NONE, &wide, err);
    if (status != TW_OK)
        return status;
    if (!(wide >= ROLL_LEAST && wide <= ROLL_MOST)) {
        tw_write_length(wide, TW_METRIC, -1, words, sizeof words);
        status = tw_fail(err, TW_ERR_DOMAIN, "a roll %s wide %s", words,
                         wide > ROLL_MOST ? "is not made"
                                          : "has no room for the bars that prove its scale");
        tw_error_advise(err, text, "rolls from %.0f mm to %.0f mm are taken", ROLL_LEAST,
                        ROLL_MOST);
        return status;
    }
    *out = (tw_page_size){.width_mm = wide};
    tw_write_length(wide, TW_METRIC, -1, words, sizeof words);
    tw_format(out->name, sizeof out->name, "roll of %s", words);
    return TW_OK;
}

tw_status tw_page_size_read(const char *text, tw_page_size *out, tw_error *err)
{
    const char *keys[ROWS + 1], *nearest;

    if (strncasecmp(text, "roll", 4) == 0 && (text[4] == ' ' || !text[4]))
        return read_roll(text, text + 4, out, err);
    for (size_t k = 0; k < ROWS; k++) {
        keys[k] = rows[k].key;
        if (strcasecmp(text, rows[k].key) != 0)
            continue;
        *out = (tw_page_size){.width_mm = rows[k].width_mm, .height_mm = rows[k].height_mm};
        tw_format(out->name, sizeof out->name, "%s", rows[k].name);
        return TW_OK;
    }
    keys[ROWS] = "roll";
    nearest = tw_nearest_word(text, keys, ROWS + 1);
    tw_fail(err, TW_ERR_KEY, "\"%s\" is no paper", text);
    if (nearest)
        tw_error_advise(err, text, "did you mean %s? Known: %s", nearest, known);
    else
        tw_error_advise(err, text, "known: %s", known);
    return TW_ERR_KEY;
}
