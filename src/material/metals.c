/*
 * metals.c: densities of the metals plate is made of. Values in kg/m³ with the range met in the
 * trade; a profile may give its own. Without a measurement the range counts as a rectangular bound,
 * so its half over √3 is the standard uncertainty (JCGM 100:2008, 4.3.7).
 */
#include "material_internal.h"

#define SQRT3 1.7320508075688772
#define METAL(name, value, low, high, ferrous, source)                                           \
    {                                                                                            \
        name, (value) / 1e6, (low) / 1e6, (high) / 1e6, ((high) - (low)) / 2e6 / SQRT3, ferrous, \
            source                                                                               \
    }

static const tw_material metals[] = {
    METAL("mild steel", 7850, 7830, 7870, true,
          "7850 from general metal-density tables (rolled steel 7.85 g/cm3); range from memory"),
    METAL(
        "medium carbon steel", 7850, 7800, 7850, true,
        "metal-density tables: carbon steels up to 0.5 % C at 7.85 g/cm3; hardened steel is about "
        "0.5 % lighter, from memory"),
    METAL("spring steel", 7850, 7800, 7850, true,
          "as medium carbon steel; no table for a named spring steel was at hand"),
    METAL("wrought iron", 7700, 7690, 7850, true,
          "480 lb/ft3 = 7689 is the basis of the United States gauge of 1893; slag content varies"),
    METAL("stainless 304", 7900, 7900, 8000, true, "EN 10088-1, table of physical properties"),
    METAL("titanium", 4510, 4500, 4510, false,
          "4.51 g/cm3 from suppliers' text, 4500 from general tables"),
    METAL("titanium 6Al-4V", 4430, 4420, 4430, false,
          "4420 from a supplier's data sheet; 4430 from memory"),
    METAL("aluminium 6061", 2700, 2700, 2720, false,
          "0.0975 lb/in3 = 2699 from general tables; one gives 2720"),
    METAL("aluminium 7075", 2810, 2800, 2810, false, "table of engineering material densities"),
    METAL(
        "cartridge brass", 8530, 8430, 8730, false,
        "C26000 in a table of engineering material densities; rolled and drawn brass 8430 to 8730"),
    METAL("copper", 8890, 8890, 8960, false,
          "C11000 in a table of engineering material densities; pure element 8960 from memory"),
};
enum { METALS = sizeof metals / sizeof *metals };

/* Other names typed for the same metals. */
static const struct alias {
    const char *typed, *name;
} aliases[] = {
    {"low carbon steel", "mild steel"},  {"stainless steel 304", "stainless 304"},
    {"304 stainless", "stainless 304"},  {"304 stainless steel", "stainless 304"},
    {"1.4301", "stainless 304"},         {"ti-6al-4v", "titanium 6Al-4V"},
    {"aluminum 6061", "aluminium 6061"}, {"aluminum 7075", "aluminium 7075"},
    {"brass 70/30", "cartridge brass"},
};
enum { ALIASES = sizeof aliases / sizeof *aliases };

const tw_material *tw_materials(size_t *count)
{
    *count = METALS;
    return metals;
}

const tw_material *tw_material_find(const char *name)
{
    for (size_t k = 0; k < ALIASES; k++)
        if (tw_name_same(name, aliases[k].typed))
            name = aliases[k].name;
    for (size_t k = 0; k < METALS; k++)
        if (tw_name_same(name, metals[k].name))
            return &metals[k];
    return NULL;
}

const char *tw_material_nearest(const char *name)
{
    const char *names[METALS];

    for (size_t k = 0; k < METALS; k++)
        names[k] = metals[k].name;
    return tw_row_nearest(name, names, METALS); /* "steel", "aluminium", "stainless" find one too */
}
