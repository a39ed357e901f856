/*
 * values.c: single values: text, words of a list, numbers with units, thicknesses. Numbers are read
 * by the base room; what a bare number lacks is said here, because only the profile knows whether
 * `ruler:` would help.
 */
#include "reader_internal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- text and words ------------------------------------------------------------------------ */

void tw_read_text(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    const char **out = target;

    if (tw_read_line(reader, node, key->name))
        *out = node->text;
}

bool tw_value_word(tw_reader *reader, const tw_node *node, const tw_words *words, int *out)
{
    const char *near;
    char advice[160];
    size_t used = 0;

    if (!tw_read_line(reader, node, words->what))
        return false;
    for (size_t k = 0; k < words->count; k++)
        if (strcmp(node->text, words->words[k]) == 0) {
            *out = (int)k;
            return true;
        }
    near = tw_nearest_word(node->text, words->words, words->count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
    else if (words->count > 12)
        snprintf(advice, sizeof advice, "\"taperwright new\" lists all %zu", words->count);
    else
        for (size_t k = 0; k < words->count && used < sizeof advice; k++)
            used += (size_t)snprintf(advice + used, sizeof advice - used, "%s%s",
                                     k ? ", " : "write one of: ", words->words[k]);
    tw_reader_fault(reader, node->place, TW_ERR_KEY, node->text, advice, "\"%s\" is not %s",
                    node->text, words->what);
    return false;
}

#define WORDS(what, list)                      \
    {                                          \
        what, sizeof list / sizeof *list, list \
    }
static const char *const face_words[] = {"outside", "middle", "inside"};
static const char *const worn_words[] = {"front", "back", "left", "right"};
static const char *const ruler_words[] = {"mm", "cm", "in"};
static const char *const bowl_words[] = {"round", "full", "cone", "parabola"};
static const char *const law_words[] = {"straight", "eased", "held"};
static const char *const yes_words[] = {"no", "yes", "false", "true"};
static const char *const along_words[] = {"rim"};
static const char *const instrument_words[] = {"caliper", "micrometer", "ultrasonic"};
static const char *const trend_words[] = {"even", "plane", "forged"};
static const char *const seen_words[] = {"outside", "inside"};
static const char *const tare_words[] = {"net", "exact"};
static const char *const standard_words[] = {"EN 10131", "EN 10051"};
static const char *const class_words[] = {"normal", "special", "A", "B", "C", "D"};
static const char *const map_words[] = {"sheet", "forged", "readings", "image"};
static const char *const fitting_words[] = {"metal", "strap", "lining"};
static const char *const when_words[] = {"after forming", "before forming"};
static const char *const worked_words[] = {"flat", "raised"};
/* A row's detail is an index here; `first` is the enumerator of the first word. */
static const struct {
    tw_words words;
    int first;
} word_lists[] = {
    [TW_WORDS_FACE] = {WORDS("a face (outside, middle or inside)", face_words), TW_FACE_OUTSIDE},
    [TW_WORDS_WORN] = {WORDS("a side of the wearer (front, back, left or right)", worn_words),
                       TW_WORN_FRONT},
    [TW_WORDS_RULER] = {WORDS("a ruler (mm, cm or in)", ruler_words), TW_RULER_MM},
    [TW_WORDS_BOWL] = {WORDS("a profile of a bowl", bowl_words), TW_BOWL_ROUND},
    [TW_WORDS_LAW] = {WORDS("a law of a taper", law_words), TW_LAW_STRAIGHT},
    [TW_WORDS_YES] = {WORDS("yes or no", yes_words), 0},
    [TW_WORDS_ALONG] = {WORDS("what an edge can follow (rim)", along_words), 1},
    [TW_WORDS_INSTRUMENT] = {WORDS("an instrument (caliper, micrometer or ultrasonic)",
                                   instrument_words),
                             TW_CALIPER},
    [TW_WORDS_TREND] = {WORDS("a trend (even, plane or forged)", trend_words), TW_TREND_EVEN},
    [TW_WORDS_SEEN] = {WORDS("a side to look from (outside or inside)", seen_words), 0},
    [TW_WORDS_TARE] = {WORDS("a tare (net or exact)", tare_words), 0},
    [TW_WORDS_STANDARD] = {WORDS("a standard known here (EN 10131 or EN 10051)", standard_words),
                           TW_TOLERANCE_COLD_ROLLED},
    [TW_WORDS_CLASS] = {WORDS("a class of thickness (normal, special; A, B, C, D)", class_words),
                        0},
    [TW_WORDS_MAP] = {WORDS("a map of a plate (sheet, forged, readings or image)", map_words), 0},
    [TW_WORDS_FITTING] = {WORDS("what a fitting is (metal, strap or lining)", fitting_words),
                          TW_FITTING_METAL},
    [TW_WORDS_WHEN] = {WORDS("when a limit holds (before forming or after forming)", when_words),
                       0},
    [TW_WORDS_WORKED] = {WORDS("how metal is worked (flat or raised)", worked_words),
                         TW_WORKED_FLAT},
};

void tw_read_word(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    int word;

    _Static_assert(sizeof(tw_face_side) == sizeof(int) && sizeof(tw_worn) == sizeof(int) &&
                       sizeof(tw_ruler) == sizeof(int) && sizeof(tw_bowl_profile) == sizeof(int) &&
                       sizeof(tw_law) == sizeof(int) && sizeof(tw_trend) == sizeof(int) &&
                       sizeof(tw_instrument_kind) == sizeof(int),
                   "enumerators are written as int");
    if (!tw_value_word(reader, node, &word_lists[key->detail].words, &word))
        return;
    word += word_lists[key->detail].first;
    memcpy(target, &word, sizeof word);
}

bool tw_value_yes(tw_reader *reader, const tw_node *node, bool *out)
{
    int word;

    if (!tw_value_word(reader, node, &word_lists[TW_WORDS_YES].words, &word))
        return false;
    *out = word % 2 != 0;
    return true;
}

void tw_read_yes(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    (void)key;
    tw_value_yes(reader, node, target);
}

/* Common names of the trade; from the glossaries any armoury book has. */
static const char *const kinds[] = {"breastplate", "backplate",  "plackart", "fauld",    "culet",
                                    "tasset",      "gorget",     "bevor",    "skull",    "visor",
                                    "cheek",       "pauldron",   "spaulder", "besagew",  "gusset",
                                    "rerebrace",   "couter",     "vambrace", "gauntlet", "cuisse",
                                    "poleyn",      "greave",     "sabaton",  "lame",     "shield",
                                    "shield boss", "test plate", "helmet",   "arm"};

const char *const *tw_profile_kinds(size_t *count)
{
    *count = sizeof kinds / sizeof *kinds;
    return kinds;
}

void tw_read_kind(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    const tw_words words = WORDS("a trade kind", kinds);
    int word;

    (void)key;
    if (tw_value_word(reader, node, &words, &word))
        *(const char **)target = kinds[word];
}

void tw_read_format(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    char *end, advice[160];
    long format;

    if (!tw_read_line(reader, node, key->name))
        return;
    format = strtol(node->text, &end, 10);
    if (end == node->text || *end != '\0' || format < 1) {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text, "write \"format: 1\"",
                        "format takes a whole number from 1");
    } else if (format > TW_PROFILE_FORMAT) {
        snprintf(advice, sizeof advice, "it needs a taperwright that reads format %s", node->text);
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text, advice,
                        "format %s is newer than this program, which reads format %d", node->text,
                        TW_PROFILE_FORMAT);
    } else {
        *(int *)target = (int)format;
    }
}

/* ---- numbers ------------------------------------------------------------------------------- */

/* What each kind of number is. Lengths end at 10 m and sizes begin at a micrometre, so that no
 * later product or quotient of them can overflow; densities span balsa to osmium. */
static const struct {
    tw_dimension dimension;
    bool ruler, above_zero, from_zero;
    double least, most;
    const char *bounds; /* in words */
    const char *unit;   /* to suggest */
} number_kinds[] = {
    [TW_NUMBER_POSITION] = {TW_LENGTH, true, false, false, -1e4, 1e4, "-10 m to 10 m", "mm"},
    [TW_NUMBER_MEASURE] = {TW_LENGTH, true, true, false, 1e-3, 1e4, "0.001 mm to 10 m", "mm"},
    [TW_NUMBER_SIZE] = {TW_LENGTH, false, true, false, 1e-3, 1e4, "0.001 mm to 10 m", "mm"},
    [TW_NUMBER_LEVEL] = {TW_LENGTH, false, true, false, 1e-6, 10, "0.000001 mm to 10 mm", "mm"},
    [TW_NUMBER_HOLD] = {TW_LENGTH, false, false, true, 0, 1e4, "0 to 10 m", "mm"},
    [TW_NUMBER_ANGLE] = {TW_ANGLE, false, false, false, -20, 20, "within three turns", "deg"},
    [TW_NUMBER_MASS] = {TW_MASS, false, true, false, 1e-3, 1e6, "1 mg to 1000 kg", "g"},
    [TW_NUMBER_AREA] = {TW_AREA, false, true, false, 1e-2, 1e8, "0.01 mm2 to 100 m2", "dm2"},
    [TW_NUMBER_DENSITY] = {TW_DENSITY, false, true, false, 1e-4, 2.3e-2, "100 to 23000 kg/m3",
                           "kg/m3"},
    [TW_NUMBER_DENSITY_SPREAD] = {TW_DENSITY, false, false, true, 0, 2.3e-2, "0 to 23000 kg/m3",
                                  "kg/m3"},
    [TW_NUMBER_PAPER] = {TW_MASS_PER_AREA, false, true, false, 1e-6, 1e-1, "1 to 100000 g/m2",
                         "g/m2"},
    [TW_NUMBER_MASS_SPREAD] = {TW_MASS, false, false, true, 0, 1e6, "0 to 1000 kg", "g"},
    [TW_NUMBER_AREA_SPREAD] = {TW_AREA, false, false, true, 0, 1e8, "0 to 100 m2", "cm2"},
    [TW_NUMBER_READING] = {TW_LENGTH, false, true, false, 1e-3, 50, "0.001 to 50 mm", "mm"},
    [TW_NUMBER_VELOCITY] = {TW_VELOCITY, false, true, false, 0.1, 20, "100 to 20000 m/s", "m/s"},
    [TW_NUMBER_GRADE] = {TW_GRADE, false, true, false, 1e-5, 1, "1 mm in 100000 mm to 1 mm in 1 mm",
                         "in 60"},
    [TW_NUMBER_LOSS] = {TW_LENGTH, false, false, true, 0, 5, "0 to 5 mm", "mm"},
};

tw_dimension tw_number_dimension(tw_number_kind kind)
{
    return number_kinds[kind].dimension;
}

/* A number without letters or signs of a unit. */
static bool is_bare(const char *text)
{
    return text[strspn(text, "0123456789+-.,/ \t")] == '\0' && strpbrk(text, "0123456789");
}

static bool is_bare_zero(const char *text)
{
    return text[strspn(text, "0. ")] == '\0' && strchr(text, '0');
}

/* "1,2 kg" inside braces or brackets is read as two entries; @return the second's words, or NULL. */
static const char *behind_comma(const tw_node *node)
{
    const tw_node *next = node->next;
    const char *words = !next ? NULL : next->key ? next->key : next->text;
    const tw_place place = !next ? node->place : next->key ? next->key_place : next->place;

    if (!words || *words < '0' || *words > '9' || place.line != node->place.line ||
        place.column != node->place.column + (int)strlen(node->text) + 1)
        return NULL;
    return words;
}

bool tw_value_number(tw_reader *reader, const tw_node *node, const char *what, tw_number_kind kind,
                     double *out)
{
    const tw_ruler ruler = number_kinds[kind].ruler ? reader->profile->ruler : TW_RULER_NONE;
    char advice[160];
    tw_error err;
    double value;

    if (!tw_read_line(reader, node, what))
        return false;
    if (number_kinds[kind].dimension == TW_LENGTH && is_bare_zero(node->text)) {
        value = 0; /* the same in every unit */
    } else if (tw_quantity_read(node->text, number_kinds[kind].dimension, ruler, &value, &err) !=
               TW_OK) {
        if (err.status == TW_ERR_UNIT && is_bare(node->text)) {
            snprintf(advice, sizeof advice,
                     number_kinds[kind].ruler ? "write \"%s %s\", or put \"ruler: %s\" at the top"
                                              : "write \"%s %s\"",
                     node->text, number_kinds[kind].unit, number_kinds[kind].unit);
            if (behind_comma(node))
                snprintf(advice, sizeof advice,
                         "write \"%.20s.%.40s\": inside braces and brackets a comma ends an entry",
                         node->text, behind_comma(node));
            tw_reader_fault(reader, node->place, TW_ERR_UNIT, node->text, advice,
                            "%s \"%s\" lacks its unit", what, node->text);
        } else {
            tw_reader_pass(reader, node->place, what, &err);
        }
        return false;
    }
    if (!(value >= number_kinds[kind].least && value <= number_kinds[kind].most)) {
        snprintf(advice, sizeof advice, "it can be %s", number_kinds[kind].bounds);
        if (number_kinds[kind].above_zero && value <= 0)
            tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text, advice,
                            "%s \"%s\" is not above zero", what, node->text);
        else if (number_kinds[kind].from_zero && value < 0)
            tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text, advice,
                            "%s \"%s\" is below zero", what, node->text);
        else
            tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text, advice,
                            "%s \"%s\" is out of range", what, node->text);
        return false;
    }
    *out = value;
    return true;
}

void tw_read_number(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_value_number(reader, node, key->name, (tw_number_kind)key->detail, target);
}

void tw_read_count(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    enum { COUNT_MAX = 10000 };
    size_t digits, number = 0;

    if (!tw_read_line(reader, node, key->name))
        return;
    digits = strspn(node->text, "0123456789");
    if (digits == 0 || node->text[digits] != '\0') {
        tw_reader_fault(reader, node->place, TW_ERR_SYNTAX, node->text,
                        "write a whole number, like 6", "%s \"%s\" is not a whole number",
                        key->name, node->text);
        return;
    }
    for (size_t k = 0; k < digits && number <= COUNT_MAX; k++)
        number = number * 10 + (size_t)(node->text[k] - '0');
    if (number < 1 || number > COUNT_MAX)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text,
                        number ? "it can be 1 to 10000" : "it can be 1 to 10000; or leave all out",
                        "%s \"%s\" is out of range", key->name, node->text);
    else
        *(size_t *)target = number;
}

/* ---- thickness ----------------------------------------------------------------------------- */

bool tw_value_thickness(tw_reader *reader, const tw_node *node, const char *what, tw_stock *out)
{
    tw_error err;

    if (!tw_read_line(reader, node, what))
        return false;
    if (tw_stock_read(node->text, reader->metal, out, &err) == TW_OK)
        return true;
    if (err.status == TW_ERR_UNIT && is_bare(node->text))
        tw_reader_fault(reader, node->place, TW_ERR_UNIT, node->text, err.advice,
                        "%s \"%s\" lacks its unit", what, node->text);
    else
        tw_reader_pass(reader, node->place, what, &err);
    return false;
}

void tw_read_thickness(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_stock stock;

    if (tw_value_thickness(reader, node, key->name, &stock))
        *(double *)target = stock.thickness;
}

void tw_read_stock(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_profile *profile = reader->profile;

    (void)target; /* the thickness map is read straight into the profile */
    profile->sheet_place = node->place;
    profile->has_sheet = tw_value_thickness(reader, node, key->name, &profile->sheet);
}

void tw_read_work_stock(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    (void)target;
    if (!tw_value_thickness(reader, node, key->name, &reader->profile->stock))
        reader->profile->stock = (tw_stock){.thickness = 0};
}
