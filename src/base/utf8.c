/* utf8.c: is it a letter, and is it one to be read. */
#include "taperwright/base.h"

#include <string.h>

size_t tw_utf8_letter(const unsigned char *at, size_t left)
{
    const size_t length = left == 0                       ? 0
                          : at[0] < 0x80                  ? 1
                          : at[0] >= 0xC2 && at[0] < 0xE0 ? 2
                          : at[0] >= 0xE0 && at[0] < 0xF0 ? 3
                          : at[0] >= 0xF0 && at[0] < 0xF5 ? 4
                                                          : 0;

    if (length == 0 || left < length)
        return 0;
    for (size_t k = 1; k < length; k++)
        if ((at[k] & 0xC0) != 0x80)
            return 0;
    if ((at[0] == 0xE0 && at[1] < 0xA0) || (at[0] == 0xED && at[1] > 0x9F) ||
        (at[0] == 0xF0 && at[1] < 0x90) || (at[0] == 0xF4 && at[1] > 0x8F))
        return 0;
    return length;
}

bool tw_utf8_control(const unsigned char *at, size_t length)
{
    if (length == 1)
        return (at[0] < 0x20 && at[0] != '\t' && at[0] != '\n' && at[0] != '\r') || at[0] == 0x7F;
    if (length == 2)
        return at[0] == 0xC2 && at[1] < 0xA0;
    return length == 3 && at[0] == 0xE2 &&
           ((at[1] == 0x80 && at[2] >= 0xAA && at[2] <= 0xAE) ||
            (at[1] == 0x81 && at[2] >= 0xA6 && at[2] <= 0xA9));
}

void tw_utf8_tidy(char *text, bool tabs)
{
    const size_t size = strlen(text);
    size_t used = 0, letter;

    for (size_t at = 0; at<size; at += letter> 0 ? letter : 1) {
        const unsigned char *here = (const unsigned char *)text + at;
        letter = tw_utf8_letter(here, size - at);
        if (letter == 0) {
            text[used++] = '?';
        } else if ((*here < 0x20 && !(tabs && *here == '\t')) || tw_utf8_control(here, letter)) {
            text[used++] = ' ';
        } else {
            memmove(text + used, here, letter);
            used += letter;
        }
    }
    text[used] = '\0';
}
