/* words.c: when two names are one, and which word a mistyped one was meant to be. */
#include "taperwright/base.h"

#include <string.h>

enum { WORD_MAX = 48 };

/* ASCII only: tolower() asks the locale. */
static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Edits between two words, where a swap of neighbours counts as one (restricted Damerau). */
static size_t edits(const char *from, size_t n, const char *to, size_t m)
{
    size_t row[3][WORD_MAX + 1];

    for (size_t j = 0; j <= m; j++)
        row[0][j] = j;
    for (size_t i = 1; i <= n; i++) {
        size_t *now = row[i % 3], *above = row[(i + 2) % 3], *twice = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= m; j++) {
            const char a = small(from[i - 1]);
            const char b = small(to[j - 1]);
            now[j] = least(least(above[j], now[j - 1]) + 1, above[j - 1] + (a != b));
            if (i > 1 && j > 1 && a == small(to[j - 2]) && b == small(from[i - 2]))
                now[j] = least(now[j], twice[j - 2] + 1);
        }
    }
    return row[n % 3][m];
}

const char *tw_nearest_word(const char *word, const char *const *known, size_t count)
{
    const size_t n = strlen(word);
    const char *best = NULL;
    size_t fewest = (n + 2) / 3; /* a third, rounded up: one slip in "mn" */

    if (n == 0 || n > WORD_MAX)
        return NULL;
    for (size_t k = 0; k < count; k++) {
        const size_t m = strlen(known[k]);
        size_t changed;
        if (m > WORD_MAX)
            continue;
        changed = edits(word, n, known[k], m);
        if (changed < fewest || (changed == fewest && !best)) {
            fewest = changed;
            best = known[k];
        }
    }
    return best;
}

bool tw_name_same(const char *a, const char *b)
{
    for (;; a++, b++) {
        while (*a == ' ' || *a == '\t')
            a++;
        while (*b == ' ' || *b == '\t')
            b++;
        if (small(*a) != small(*b))
            return false;
        if (!*a)
            return true;
    }
}
