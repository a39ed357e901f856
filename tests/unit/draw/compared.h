/* compared.h: a plate beside even sheet, and its pictures, for tests that look at their pixels. */
#ifndef COMPARED_H
#define COMPARED_H

#include "drawn.h"
#include "support.h"

/* Flat, 2 mm in the middle, 1 mm at the rim, beside sheet of 1.5 mm. */
#define DISC                                                                     \
    "format: 1\nplate: disc\nmaterial: mild steel\nruler: mm\nform: flat\n"      \
    "outline: {ellipse: {at: [0, 0], across: 150 mm, up: 150 mm}}\n"             \
    "thickness:\n  sheet: 1.5 mm\n  forged:\n"                                   \
    "    strike: [{name: middle, at: [0, 0], radius: 30 mm, thickness: 2 mm}]\n" \
    "    edges: [{edge: rim, thickness: 1 mm}]\n"

typedef struct compared {
    tw_profile *profile;
    tw_plate *plate;
    tw_comparison comparison;
} compared;

static inline void compared_begin(compared *c, const char *text)
{
    const tw_plate_options options = {.cells = 64};

    assert_int_equal(
        tw_profile_read_memory("compared", text, strlen(text), NULL, 0, &c->profile, NULL), TW_OK);
    assert_int_equal(tw_plate_build(c->profile, &options, &c->plate, NULL), TW_OK);
    assert_int_equal(tw_compare(c->plate, 0, &c->comparison, NULL), TW_OK);
}

static inline void compared_end(compared *c)
{
    tw_plate_free(c->plate);
    tw_profile_free(c->profile);
}

static inline tw_image compared_drawn(const compared *c, tw_draw_options options)
{
    tw_image image = {0};

    assert_int_equal(
        test_drawn(tw_draw_comparison(&c->comparison, TW_PAPER_PNG, &options, test_canvas(), NULL),
                   &image),
        TW_OK);
    return image;
}

#endif
