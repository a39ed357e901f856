/*
 * colour.c: colour scales made for plate. Thickness runs through the colours that steel takes
 * when it is tempered, straw to brown to purple to blue, pale for thin and deep for thick. Difference
 * runs from teal (forged thinner) over a neutral light grey to copper (forged thicker). Standard
 * deviation has a scale near grey, so that nobody takes it for thickness. Equal steps look equally
 * large and lightness keeps the order: how is told in make_colour_tables.py, which makes the tables.
 */
#include "taperwright/draw.h"

#include "colour_tables.h"

/* The nearest entry: a colour drawn is a colour that was checked. What is no number is drawn as `none`. */
static void pick(const uint32_t table[TW_COLOUR_STEPS + 1], double share, double none,
                 unsigned char rgb[3])
{
    uint32_t colour;

    if (share != share)
        share = none;
    share = share < 0 ? 0 : share > 1 ? 1 : share;
    colour = table[(int)(share * TW_COLOUR_STEPS + 0.5)];
    rgb[0] = (unsigned char)(colour >> 16);
    rgb[1] = (unsigned char)(colour >> 8 & 0xFF);
    rgb[2] = (unsigned char)(colour & 0xFF);
}

void tw_colour_thickness(double position, unsigned char rgb[3])
{
    pick(tw_colours_thickness, position, 0, rgb);
}

void tw_colour_difference(double position, unsigned char rgb[3])
{
    pick(tw_colours_difference, (position + 1) / 2, 0.5, rgb);
}

void tw_colour_spread(double position, unsigned char rgb[3])
{
    pick(tw_colours_spread, position, 0, rgb);
}
