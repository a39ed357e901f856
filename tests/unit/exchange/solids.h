/* solids.h: plates in short for the tests of the exchange room, and a look at a solid that shares no
 * code with the library's own. */
#ifndef SOLIDS_H
#define SOLIDS_H

#include "support.h"

#include "taperwright/exchange.h"

#include <stdlib.h>

typedef struct plate_made {
    tw_profile *profile;
    tw_plate *plate;
} plate_made;

/** @param more  keys of a profile in mm, form among them */
static inline plate_made plate_of(const char *face, double sheet, size_t cells, const char *more)
{
    const tw_plate_options options = {.cells = cells, .threads = 1};
    plate_made made = {NULL, NULL};
    tw_notes errors = {0};
    tw_error err = {.message = ""};
    char text[4096];

    assert_true(snprintf(text, sizeof text,
                         "plate: made\nruler: mm\nface: %s\nmaterial: mild steel\n%s\n"
                         "thickness: {sheet: %.17g mm}\n",
                         face, more, sheet) < (int)sizeof text);
    if (tw_profile_read_memory("made.yaml", text, strlen(text), NULL, 0, &made.profile, &errors) !=
            TW_OK ||
        tw_plate_build(made.profile, &options, &made.plate, &err) != TW_OK) {
        print_error("%s\n%s%s\n", text, errors.items[0].message, err.message);
        fail();
    }
    return made;
}

static inline void plate_free(plate_made *made)
{
    tw_plate_free(made->plate);
    tw_profile_free(made->profile);
}

static inline tw_solid *solid_of(const plate_made *made, double spacing)
{
    const tw_solid_options options = {.spacing = spacing, .threads = 1};
    tw_error err = {.message = ""};
    tw_solid *solid = NULL;

    if (tw_solid_build(made->plate->form, &made->plate->maps[0].map, &options, &solid, &err) !=
        TW_OK)
        print_error("%s\n", err.message);
    assert_non_null(solid);
    return solid;
}

static inline double volume_at(const plate_made *made, double spacing)
{
    tw_solid *solid = solid_of(made, spacing);
    const double volume = tw_solid_measure(solid).volume_mm3;

    tw_solid_free(solid);
    return volume;
}

/* ---- a look of our own -------------------------------------------------------------------------- */

typedef struct end {
    float at[2][3]; /* both ends' places, in the order of the bytes */
    int way;
} end;

static inline int end_order(const void *one, const void *other)
{
    return memcmp(((const end *)one)->at, ((const end *)other)->at, sizeof(((end *)0)->at));
}

/** Counts sides by the places of their ends alone, as a reader of STL has to. @return true when each is
 * run along once each way and no triangle has two corners at one place. */
static inline bool closed_by_places(const tw_solid *solid)
{
    const size_t count = 3 * solid->triangle_count;
    end *ends = calloc(count, sizeof *ends);
    bool good = ends && solid->triangle_count > 0;

    for (size_t n = 0; n < count && good; n++) {
        const uint32_t *k = solid->triangle[n / 3];
        const float *a = solid->vertex[k[n % 3]], *b = solid->vertex[k[(n + 1) % 3]];
        const int order = memcmp(a, b, sizeof(float[3]));
        memcpy(ends[n].at[order > 0], a, sizeof ends[n].at[0]);
        memcpy(ends[n].at[order <= 0], b, sizeof ends[n].at[0]);
        ends[n].way = order < 0 ? 1 : -1;
        good = order != 0;
    }
    if (good)
        qsort(ends, count, sizeof *ends, end_order);
    for (size_t n = 0; n < count && good; n += 2)
        good = n + 1 < count && end_order(&ends[n], &ends[n + 1]) == 0 &&
               ends[n].way + ends[n + 1].way == 0 &&
               (n + 2 == count || end_order(&ends[n], &ends[n + 2]) != 0);
    free(ends);
    return good;
}

/** Volume about the bench's origin in long double. */
static inline double volume_by_sum(const tw_solid *solid)
{
    long double sum = 0;

    for (size_t t = 0; t < solid->triangle_count; t++) {
        const float *a = solid->vertex[solid->triangle[t][0]];
        const float *b = solid->vertex[solid->triangle[t][1]];
        const float *c = solid->vertex[solid->triangle[t][2]];
        sum += (long double)a[0] * ((long double)b[1] * c[2] - (long double)b[2] * c[1]) +
               (long double)a[1] * ((long double)b[2] * c[0] - (long double)b[0] * c[2]) +
               (long double)a[2] * ((long double)b[0] * c[1] - (long double)b[1] * c[0]);
    }
    return (double)(sum / 6);
}

#endif
