/* colour_science.h: how far colours are apart, and how they look to other eyes, by published formulas. */
#ifndef COLOUR_SCIENCE_H
#define COLOUR_SCIENCE_H

#include <stdbool.h>

/** Who looks: full sight, a grey print, and loss of one kind of cone. */
enum {
    TEST_SIGHT_FULL,
    TEST_SIGHT_GREY,
    TEST_SIGHT_PROTANOPIA,
    TEST_SIGHT_DEUTERANOPIA,
    TEST_SIGHT_TRITANOPIA,
    TEST_SIGHTS
};
extern const char *const test_sight_names[TEST_SIGHTS];
/** Machado, Oliveira & Fernandes 2009, severity 1.0, on linear RGB; TEST_SIGHT_PROTANOPIA on. */
extern const double test_sight_loss[3][3][3];

/** @brief CIELAB (D65) of sRGB bytes as a sight sees them. */
void test_lab_seen(const unsigned char rgb[3], int sight, double lab[3]);
/** CIEDE2000 of two Lab colours, all weights 1. */
double test_ciede2000(const double one[3], const double other[3]);

#endif
