/* colour_tables.h: colour scales as tables; colour_tables.c is written by make_colour_tables.py. */
#ifndef DRAW_COLOUR_TABLES_H
#define DRAW_COLOUR_TABLES_H

#include <stdint.h>

enum { TW_COLOUR_STEPS = 512 };
/** sRGB, 0xRRGGBB, from the left end of a scale to its right end; zero difference is in the middle. */
extern const uint32_t tw_colours_thickness[TW_COLOUR_STEPS + 1];
extern const uint32_t tw_colours_difference[TW_COLOUR_STEPS + 1];
extern const uint32_t tw_colours_spread[TW_COLOUR_STEPS + 1];

#endif
