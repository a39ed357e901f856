/* originals_text.h: the shipped set of originals as bytes, made from originals.csv by the build. */
#ifndef TW_ORIGINALS_TEXT_H
#define TW_ORIGINALS_TEXT_H

#include <stddef.h>

extern const size_t tw_originals_bytes;         /**< without the closing NUL */
extern const unsigned char tw_originals_data[]; /**< tw_originals_bytes and a closing NUL */

#endif
