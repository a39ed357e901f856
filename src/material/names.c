/* names.c: how a typed name finds its row in a table. */
#include "material_internal.h"

#include <string.h>

static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

const char *tw_row_nearest(const char *word, const char *const *names, size_t count)
{
    const size_t length = strlen(word);
    const char *nearest = tw_nearest_word(word, names, count);

    for (size_t k = 0; !nearest && length >= 3 && k < count; k++)
        for (const char *at = names[k]; *at && !nearest; at++) {
            size_t same = 0;
            while (same < length && at[same] && small(at[same]) == small(word[same]))
                same++;
            if (same == length)
                nearest = names[k];
        }
    return nearest;
}
