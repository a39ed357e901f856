/*
 * fittings.c: unit masses of what hangs on plates. Metal is worked out from its shape and the density of
 * mild steel; leather from its section; cloth from its weight per area as sold. The sizes are ordinary
 * ones (common practice, no source), and the uncertainty is that of one kind of fitting as a whole: how
 * far another maker's "rivet 5 mm" may be from this one. Whoever weighs ten of his own gives that instead.
 *
 * Shapes, lengths in mm:
 *   rivet d      dome head 1.75 d wide and 0.6 d high (a round head after DIN 660, from memory), shank
 *                as long as two plates and a washer, 4, and 1.5 d more that is set into the second head:
 *                π h (3 a² + h²)/6 + π d²/4 (4 + 1.5 d), a = 0.875 d, h = 0.6 d
 *   washer D     round, 1.2 thick, hole 5.2: π/4 (D² − 5.2²) 1.2
 *   buckle       frame and tongue of round wire: π/4 (d² frame + e² tongue)
 *   hinge        two leaves, their knuckles rolled round a pin of 4
 * Leather: 0.90 ± 0.09 g/cm³. The leather trade's rule that one ounce a square foot is 1/64 in thick
 * gives 0.77, general density tables have 0.86 for dry leather (from memory), greased strap leather
 * is near 1.0. Widths of straps are the buckle's.
 */
#include "material_internal.h"

#define STEEL   7.85e-3 /* g/mm³, as in the table of metals */
#define LEATHER 0.90e-3 /* g/mm³ */

#define ROD(d, length) (TW_PI / 4 * (d) * (d) * (length))
#define RIVET(d)                                                                  \
    (TW_PI * 0.6 * (d) * (3 * 0.875 * 0.875 * (d) * (d) + 0.36 * (d) * (d)) / 6 + \
     ROD(d, 4 + 1.5 * (d)))
#define WASHER(width) (ROD(width, 1.2) - ROD(5.2, 1.2))

#define PIECE(name, volume, share, source)                                                       \
    {                                                                                            \
        name, TW_FITTING_METAL, TW_PER_PIECE, STEEL *(volume), STEEL *(volume) * (share), source \
    }
#define STRAP(name, width, thick)                                                              \
    {                                                                                          \
        name, TW_FITTING_STRAP, TW_PER_LENGTH, LEATHER *(width) * (thick),                     \
            LEATHER *(width) * (thick)*0.15,                                                   \
            "leather " #width " x " #thick                                                     \
            " mm at 0.90 g/cm3; 10 % for the leather, 10 % for its section; no buckle counted" \
    }
/* Per area in g/m². */
#define LINING(name, grams, spread, source)                                         \
    {                                                                               \
        name, TW_FITTING_LINING, TW_PER_AREA, (grams) / 1e6, (spread) / 1e6, source \
    }

/* clang-format off */
static const tw_fitting fittings[] = {
    PIECE("rivet 3 mm", RIVET(3.0), 0.15,
          "steel: dome head 5.25 x 1.8 mm, shank 4 + 4.5 mm; worked out, 15 % for lengths and heads"),
    PIECE("rivet 4 mm", RIVET(4.0), 0.15,
          "steel: dome head 7 x 2.4 mm, shank 4 + 6 mm; worked out, 15 % for lengths and heads"),
    PIECE("rivet 5 mm", RIVET(5.0), 0.15,
          "steel: dome head 8.75 x 3 mm, shank 4 + 7.5 mm; worked out, 15 % for lengths and heads"),
    PIECE("rivet 6 mm", RIVET(6.0), 0.15,
          "steel: dome head 10.5 x 3.6 mm, shank 4 + 9 mm; worked out, 15 % for lengths and heads"),
    PIECE("roundel washer 12 mm", WASHER(12.0), 0.15,
          "steel: 12 mm wide, 1.2 mm thick, hole 5.2 mm; worked out, 15 % for thickness and cut"),
    PIECE("roundel washer 16 mm", WASHER(16.0), 0.15,
          "steel: 16 mm wide, 1.2 mm thick, hole 5.2 mm; worked out, 15 % for thickness and cut"),
    PIECE("buckle small", ROD(4.0, 96) + ROD(3.0, 26), 0.20,
          "steel, for straps of 20 mm: 96 mm of 4 mm wire, tongue 26 mm of 3 mm; worked out, 20 % for the pattern"),
    PIECE("buckle medium", ROD(5.0, 128) + ROD(3.5, 34), 0.20,
          "steel, for straps of 30 mm: 128 mm of 5 mm wire, tongue 34 mm of 3.5 mm; worked out, 20 % for the pattern"),
    PIECE("hinge", 2 * 30 * 20 * 1.2 + TW_PI * 5.2 * 1.2 * 20 + ROD(4.0, 24), 0.20,
          "steel pin hinge: two leaves 30 x 20 x 1.2 mm, knuckles round a pin of 4 mm, 24 mm long; worked out, 20 % for the pattern"),
    PIECE("hook", 60 * 12 * 1.5, 0.20,
          "steel: a strip of 60 x 12 x 1.5 mm bent to a hook; worked out, 20 % for the pattern"),
    PIECE("turning pin", ROD(5.0, 25) + 14 * 8 * 2, 0.20,
          "steel: stem 25 mm of 5 mm, head 14 x 8 x 2 mm; worked out, 20 % for the pattern"),
    PIECE("staple", ROD(4.0, 40), 0.20,
          "steel: 40 mm of 4 mm rod; worked out, 20 % for the pattern"),
    STRAP("strap 20 mm", 20, 3),
    STRAP("strap 25 mm", 25, 3),
    STRAP("strap 30 mm", 30, 3),
    STRAP("strap 40 mm", 40, 3),
    STRAP("waist belt", 45, 4),
    LINING("leather lining", 1350, 270,
           "leather 1.5 mm at 0.90 g/cm3; 20 %: linings are 1.2 to 1.8 mm"),
    LINING("canvas lining", 400, 60,
           "cloth as sold, 350 to 500 g/m2; common practice, no source; 15 %"),
    LINING("wool lining", 500, 100,
           "coat cloth, 400 to 700 g/m2; common practice, no source; 20 %"),
    LINING("quilted lining", 900, 180,
           "two cloths of 200 g/m2 and 500 g/m2 of stuffing; common practice, no source; 20 %"),
    LINING("felt lining", 600, 120,
           "wool felt 3 mm at 0.2 g/cm3; common practice, no source; 20 %"),
};
/* clang-format on */
enum { FITTINGS = sizeof fittings / sizeof *fittings };

const tw_fitting *tw_fittings(size_t *count)
{
    *count = FITTINGS;
    return fittings;
}

const tw_fitting *tw_fitting_find(const char *name)
{
    for (size_t k = 0; k < FITTINGS; k++)
        if (tw_name_same(name, fittings[k].name))
            return &fittings[k];
    return NULL;
}

const char *tw_fitting_nearest(const char *name)
{
    const char *names[FITTINGS];

    for (size_t k = 0; k < FITTINGS; k++)
        names[k] = fittings[k].name;
    return tw_row_nearest(name, names, FITTINGS);
}
