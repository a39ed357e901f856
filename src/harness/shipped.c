/* shipped.c: the text of the set that comes with the program, put into the library by the build. */
#include "originals_internal.h"

#include "originals_text.h"

const char *tw_originals_text(size_t *size)
{
    *size = tw_originals_bytes;
    return (const char *)tw_originals_data;
}
