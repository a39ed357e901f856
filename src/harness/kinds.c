/*
 * kinds.c: what a weight covers, as trade kinds with counts. Lists are kept sorted, so that two
 * weights cover the same when their lists are the same.
 */
#include "originals_internal.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { KINDS_MAX = 64, WORD_SIZE = 64, COUNT_MAX = 100 };

/* Place in the fixed list; kinds that came from elsewhere behind all of it. */
static size_t kind_order(const char *kind)
{
    size_t count;
    const char *const *known = tw_profile_kinds(&count);

    for (size_t k = 0; k < count; k++) /* nearly all are the list's own */
        if (known[k] == kind)
            return k;
    for (size_t k = 0; k < count; k++)
        if (strcmp(known[k], kind) == 0)
            return k;
    return count;
}

static int compare_kind(const char *a, const char *b)
{
    const size_t left = kind_order(a), right = kind_order(b);

    return left != right ? (left < right ? -1 : 1) : strcmp(a, b);
}

size_t tw_kinds_sort(tw_kind_count *kinds, size_t count)
{
    size_t left = 0;

    for (size_t k = 1; k < count; k++) { /* lists are short */
        const tw_kind_count moved = kinds[k];
        size_t at = k;
        for (; at > 0 && compare_kind(kinds[at - 1].kind, moved.kind) > 0; at--)
            kinds[at] = kinds[at - 1];
        kinds[at] = moved;
    }
    for (size_t k = 0; k < count; k++) {
        if (left > 0 && strcmp(kinds[left - 1].kind, kinds[k].kind) == 0)
            kinds[left - 1].count += kinds[k].count;
        else
            kinds[left++] = kinds[k];
    }
    return left;
}

int tw_kinds_compare(const tw_kind_count *a, size_t a_count, const tw_kind_count *b, size_t b_count)
{
    if (a_count != b_count)
        return a_count < b_count ? -1 : 1;
    for (size_t k = 0; k < a_count; k++) {
        const int order = a[k].kind == b[k].kind ? 0 : compare_kind(a[k].kind, b[k].kind);
        if (order != 0)
            return order;
        if (a[k].count != b[k].count)
            return a[k].count < b[k].count ? -1 : 1;
    }
    return 0;
}

size_t tw_kinds_pieces(const tw_kind_count *kinds, size_t count)
{
    size_t pieces = 0;

    for (size_t k = 0; k < count; k++)
        pieces += kinds[k].count;
    return pieces;
}

/* "tasset 2" from begin to end. */
static tw_status read_one(const char *begin, const char *end, tw_kind_count *out, tw_error *err)
{
    char word[WORD_SIZE];
    const size_t length = (size_t)(end - begin);
    size_t count, known_count, digits = 0;
    const char *const *known = tw_profile_kinds(&known_count);
    const char *nearest;

    if (length >= sizeof word) {
        tw_fail(err, TW_ERR_SYNTAX, "a kind is too long");
        tw_error_advise(err, NULL, "write kinds as breastplate; tasset 2; backplate");
        return TW_ERR_SYNTAX;
    }
    memcpy(word, begin, length);
    word[length] = '\0';
    while (digits < length && word[length - 1 - digits] >= '0' && word[length - 1 - digits] <= '9')
        digits++;
    out->count = 1;
    if (digits > 0 && digits < length && word[length - 1 - digits] == ' ') {
        count = digits > 4 ? COUNT_MAX + 1 : (size_t)strtoul(word + length - digits, NULL, 10);
        if (count < 1 || count > COUNT_MAX) {
            tw_fail(err, TW_ERR_DOMAIN, "\"%s\" counts none or too many", word);
            tw_error_advise(err, word, "a count can be 1 to %d", COUNT_MAX);
            return TW_ERR_DOMAIN;
        }
        out->count = count;
        for (digits++; digits < length && word[length - 1 - digits] == ' ';)
            digits++;
        word[length - digits] = '\0';
    }
    for (size_t k = 0; k < known_count; k++) {
        if (strcasecmp(known[k], word) == 0) {
            out->kind = known[k];
            return TW_OK;
        }
    }
    tw_fail(err, TW_ERR_KEY, "\"%s\" is no trade kind", word);
    nearest = tw_nearest_word(word, known, known_count);
    if (nearest)
        tw_error_advise(err, word, "did you mean \"%s\"?", nearest);
    else
        tw_error_advise(err, word,
                        "\"taperwright new\" lists the kinds; leave the cell empty when what is in "
                        "is not listed");
    return TW_ERR_KEY;
}

tw_status tw_kinds_read(const char *text, tw_arena *arena, size_t *count, tw_kind_count **kinds,
                        tw_error *err)
{
    tw_kind_count found[KINDS_MAX];
    size_t used = 0;

    while (*text) {
        const char *begin = text + strspn(text, " "), *end;
        text += strcspn(text, ";,");
        for (end = text; end > begin && end[-1] == ' ';)
            end--;
        if (*text)
            text++;
        if (end == begin)
            continue;
        if (used == KINDS_MAX)
            return tw_fail(err, TW_ERR_LIMIT, "more than %d kinds are listed", KINDS_MAX);
        const tw_status status = read_one(begin, end, &found[used], err);
        if (status != TW_OK)
            return status;
        used++;
    }
    used = tw_kinds_sort(found, used);
    *kinds = tw_arena_array(arena, used, sizeof **kinds);
    if (!*kinds)
        return tw_fail(err, TW_ERR_MEMORY, "memory ran out");
    if (used > 0)
        memcpy(*kinds, found, used * sizeof **kinds);
    *count = used;
    return TW_OK;
}
