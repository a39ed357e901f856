/*
 * stock.c: a sheet's thickness as it is named: mm, inch, or gauge number with its system. A number
 * alone is refused with what it would be in each system, so that nobody gets 1.29 for 1.65 mm.
 */
#include "taperwright/material.h"

#include <math.h>
#include <string.h>
#include <strings.h>

enum { CODE_MAX = 16 };
#define THICKEST 50.0
#define THINNEST 0.01 /* foil; nothing thinner is worked */

/* Common practice, no source: sheets a dealer keeps by thickness in mm. */
static const double metric_stock[] = {0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.25, 1.5, 1.6,
                                      1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0,  8.0, 10.0};
enum { METRIC_STOCK = sizeof metric_stock / sizeof *metric_stock };

const double *tw_metric_stock(size_t *count)
{
    *count = METRIC_STOCK;
    return metric_stock;
}

/* "16", "16 ga", "16 swg", "16ga. swg": number and system (TW_GAUGE_SYSTEMS when not named). */
typedef struct gauge_words {
    int number;
    bool said_gauge;
    tw_gauge_system system;
} gauge_words;

static const char *skip_blanks(const char *at)
{
    while (*at == ' ' || *at == '\t')
        at++;
    return at;
}

/* The next word of letters, made small, into out. */
static const char *next_word(const char *at, char out[CODE_MAX])
{
    size_t used = 0;

    at = skip_blanks(at);
    for (; (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z'); at++)
        if (used + 1 < CODE_MAX)
            out[used++] = (char)(*at | 0x20);
    out[used] = '\0';
    return at;
}

static bool split_gauge(const char *text, gauge_words *words)
{
    const char *at = skip_blanks(text);
    char word[CODE_MAX];
    int digits = 0;

    *words = (gauge_words){0, false, TW_GAUGE_SYSTEMS};
    for (; *at >= '0' && *at <= '9' && digits < 6; at++, digits++)
        words->number = 10 * words->number + (*at - '0');
    if (digits == 0)
        return false;
    at = next_word(at, word);
    if (strcmp(word, "ga") == 0 || strcmp(word, "gauge") == 0 || strcmp(word, "gage") == 0) {
        words->said_gauge = true;
        at = next_word(*at == '.' ? at + 1 : at, word);
    }
    for (int k = 0; k < TW_GAUGE_SYSTEMS && *word; k++)
        if (strcmp(word, tw_gauge_about((tw_gauge_system)k)->code) == 0) {
            words->system = (tw_gauge_system)k;
            word[0] = '\0';
        }
    return !*word && !*skip_blanks(at);
}

/* ", 16 msg (1.52 mm), 16 uss (1.59 mm)": what a number would be in each system that fits. */
static void list_gauges(int number, const tw_material *material, char *out, size_t size)
{
    size_t used = 0;

    out[0] = '\0';
    for (int k = 0; k < TW_GAUGE_SYSTEMS && used < size; k++) {
        double mm;
        if ((k == TW_GAUGE_AWG && material && material->ferrous) ||
            tw_gauge_thickness((tw_gauge_system)k, number, NULL, &mm, NULL) != TW_OK)
            continue;
        used += (size_t)tw_format(out + used, size - used, "%s%d %s (%.2f mm)", used ? ", " : "",
                                  number, tw_gauge_about((tw_gauge_system)k)->code, mm);
    }
}

static tw_status fail_without_system(const char *text, const gauge_words *words,
                                     const tw_material *material, tw_error *err)
{
    char sizes[150];
    const tw_status status =
        words->said_gauge
            ? tw_fail(err, TW_ERR_UNIT, "a gauge number means nothing without its system")
            : tw_fail(err, TW_ERR_UNIT, "the thickness lacks its unit");

    list_gauges(words->number, material, sizes, sizeof sizes);
    if (!*sizes)
        tw_error_advise(err, text, "write the thickness in mm or in");
    else if (words->said_gauge || words->number > THICKEST)
        tw_error_advise(err, text, "write %s", sizes);
    else
        tw_error_advise(err, text, "%d mm, or %s", words->number, sizes);
    return status;
}

static tw_status read_gauge(const char *text, const gauge_words *words, const tw_material *material,
                            tw_stock *out, tw_error *err)
{
    double mm;
    tw_status status = tw_gauge_thickness(words->system, words->number, NULL, &mm, err);

    if (status != TW_OK) {
        tw_error_advise(err, text, NULL);
        return status;
    }
    if (words->system == TW_GAUGE_AWG && material && material->ferrous) {
        char sizes[120];
        status = tw_fail(err, TW_ERR_DOMAIN,
                         "awg is the gauge of copper, brass and aluminium: no %s is sold by it",
                         material->name);
        list_gauges(words->number, material, sizes, sizeof sizes);
        tw_error_advise(err, text, "write mm, or %s", sizes);
        return status;
    }
    *out = (tw_stock){mm, true, words->system, words->number};
    return TW_OK;
}

/* The bare text of a number, so that "1.6" can be answered with "write 1.6 mm". */
static bool is_bare(const char *text)
{
    double ignored;

    return tw_quantity_read(text, TW_LENGTH, TW_RULER_NONE, &ignored, NULL) == TW_ERR_UNIT &&
           tw_quantity_read(text, TW_LENGTH, TW_RULER_MM, &ignored, NULL) == TW_OK;
}

tw_status tw_stock_read(const char *text, const tw_material *material, tw_stock *out, tw_error *err)
{
    gauge_words words;
    double mm;
    tw_status status;

    if (split_gauge(text, &words)) {
        if (words.system != TW_GAUGE_SYSTEMS)
            return read_gauge(text, &words, material, out, err);
        if (words.said_gauge || (words.number >= TW_GAUGE_FIRST && words.number <= TW_GAUGE_LAST))
            return fail_without_system(text, &words, material, err);
    }
    if (is_bare(text)) {
        status = tw_fail(err, TW_ERR_UNIT, "the thickness lacks its unit");
        tw_error_advise(err, text, "write %.40s mm or %.40s in", skip_blanks(text),
                        skip_blanks(text));
        return status;
    }
    status = tw_quantity_read(text, TW_LENGTH, TW_RULER_NONE, &mm, err);
    if (status == TW_ERR_UNIT)
        tw_error_advise(err, NULL, "write a thickness as 1.6 mm, 1/16 in or 16 swg");
    if (status != TW_OK)
        return status;
    if (!(mm >= THINNEST && mm <= THICKEST)) {
        status = tw_fail(err, TW_ERR_DOMAIN,
                         mm > 0 ? "a plate's thickness is from %g to %g mm"
                                : "a plate's thickness must be above 0: from %g to %g mm",
                         THINNEST, THICKEST);
        tw_error_advise(err, text, "write a thickness as 1.6 mm, 1/16 in or 16 swg");
        return status;
    }
    *out = (tw_stock){.thickness = mm, .system = TW_GAUGE_SYSTEMS};
    return TW_OK;
}

char *tw_stock_write(const tw_stock *stock, tw_units units, char *out, size_t size)
{
    char thickness[32];

    tw_write_thickness(stock->thickness, units, -1, thickness, sizeof thickness);
    if (stock->by_gauge)
        tw_format(out, size, "%d %s (%s)", stock->number, tw_gauge_about(stock->system)->code,
                  thickness);
    else
        tw_format(out, size, "%s", thickness);
    return out;
}

tw_stock tw_stock_nearest(double mm, tw_gauge_system system)
{
    tw_stock best = {.thickness = metric_stock[0], .system = TW_GAUGE_SYSTEMS};
    double away = INFINITY;

    if (system == TW_GAUGE_SYSTEMS) {
        for (size_t k = 0; k < METRIC_STOCK; k++)
            if (fabs(metric_stock[k] - mm) < away) {
                away = fabs(metric_stock[k] - mm);
                best.thickness = metric_stock[k];
            }
        return best;
    }
    for (int k = TW_GAUGE_FIRST; k <= TW_GAUGE_LAST; k++) {
        double size;
        if (tw_gauge_thickness(system, k, NULL, &size, NULL) == TW_OK && fabs(size - mm) < away) {
            away = fabs(size - mm);
            best = (tw_stock){size, true, system, k};
        }
    }
    return best;
}
