/* stock_words.c: why a sheet stands where it does, in a sentence that a maker would say. */
#include "stock_internal.h"

#include <math.h>

enum { WORDS = 48, SENTENCE = 320 };

/* Enough decimals that a value beyond its limit does not read as the limit. */
static int decimals_of(double part, double limit)
{
    return fabs(part - limit) < 0.01 ? 3 : 2;
}

static size_t add(char *text, size_t used, const char *format, ...) TW_PRINTF(3, 4);
static size_t add(char *text, size_t used, const char *format, ...)
{
    va_list arguments;
    int length;

    if (used >= SENTENCE)
        return used;
    va_start(arguments, format);
    length = tw_format_list(text + used, SENTENCE - used, format, arguments);
    va_end(arguments);
    return used + (length > 0 ? (size_t)length : 0);
}

static const char *joint(size_t used)
{
    return used > 0 ? "; " : "";
}

/* What stands in its way: metal first, then room. */
static void say_impossible(const tw_blank *blank, const tw_stock_request *request,
                           const tw_stock_choice *choice, char *text)
{
    const double most = 1 + blank->gather, least = 1 - blank->draw;
    const bool even = choice->thinnest_part > 0.99 * choice->thickest_part;
    char words[2][WORDS];
    size_t used = 0;

    if (choice->over)
        used = add(text, used, "%s would have to be gathered to %.*f times the sheet",
                   even ? "it" : "its thickest place", decimals_of(choice->thickest_part, most),
                   choice->thickest_part);
    if (choice->under)
        used = add(text, used, "%s%s would have to be drawn out to %.*f of the sheet", joint(used),
                   even ? "it" : "its thinnest place", decimals_of(choice->thinnest_part, least),
                   choice->thinnest_part);
    if (blank->layout->overlaps)
        used = add(text, used, "%sits blank would overlap itself: it cannot be cut from one piece",
                   joint(used));
    if (request->sheet_mm[0] > 0 && choice->per_sheet == 0)
        add(text, used, "%sdoes not fit %s × %s", joint(used),
            tw_write_length(request->sheet_mm[0], request->units, -1, words[0], WORDS),
            tw_write_length(request->sheet_mm[1], request->units, -1, words[1], WORDS));
}

/* Under half a gram is nothing that anyone moves. */
static const char *grams(double g, tw_units units, char *out)
{
    return g < 0.5 ? "nothing" : tw_write_mass(g, units, -1, out, WORDS);
}

static void say_possible(const tw_stock_choice *choice, const tw_stock_choice *first,
                         tw_units units, char *text)
{
    const double more = choice->work / first->work - 1;
    char words[2][WORDS];
    size_t used;

    if (choice == first)
        used = add(text, 0, "least work: ");
    else if (!(more < 10)) /* also where the first needs none */
        used = add(text, 0, "far more work: ");
    else if (more < 0.005)
        used = add(text, 0, "as little work: ");
    else
        used = add(text, 0, "%.0f %% more work: ", 100 * more);
    if (choice->draw_g < 0.5 && choice->gather_g < 0.5)
        add(text, used, "nothing drawn out or gathered");
    else
        add(text, used, "%s drawn out, %s gathered", grams(choice->draw_g, units, words[0]),
            grams(choice->gather_g, units, words[1]));
}

tw_status tw_stock_reasons(const tw_blank *blank, const tw_stock_request *request,
                           tw_stock_row *rows, size_t count, tw_arena *arena, tw_error *err)
{
    char text[SENTENCE];

    for (size_t k = 0; k < count; k++) {
        tw_stock_choice *choice = &rows[k].choice;
        if (choice->possible)
            say_possible(choice, &rows[0].choice, request->units, text);
        else
            say_impossible(blank, request, choice, text);
        choice->reason = tw_arena_text(arena, text);
        if (!choice->reason)
            return tw_fail(err, TW_ERR_MEMORY, "no memory for the sheets of a ranking");
    }
    return TW_OK;
}
