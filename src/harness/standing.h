/* standing.h: one mass beside records, shared by the ranking and the summary of a set. */
#ifndef TW_STANDING_H
#define TW_STANDING_H

#include "originals_internal.h"

/** Records that may be met: in use, with kinds, through the filter. */
typedef struct tw_pool {
    size_t count;
    const tw_original **records;
    tw_arena *arena;
} tw_pool;
/** A mass of the harness and what of it are straps and lining. */
typedef struct tw_mass {
    const tw_figure *figure, *straps, *lining;
    double height, width; /* [mm]; NaN when not known */
} tw_mass;

tw_status tw_standing_memory(tw_error *err);
tw_status tw_standing_pool(const tw_originals *originals, const tw_filter *filter, tw_arena *arena,
                           tw_pool *out, tw_error *err);
bool tw_kinds_same(const tw_kind_count *a, size_t a_count, const tw_kind_count *b, size_t b_count);
/** @return how many records cover exactly these kinds (sorted). */
size_t tw_standing_meets(const tw_pool *pool, const tw_kind_count *kinds, size_t kind_count);
/** @return g per dm² of height × width; NaN when one is not known. */
double tw_standing_per_area(double g, double height, double width);
/** @param mass  NULL: the records alone */
tw_status tw_standing_make(const tw_pool *pool, const char *what, const tw_kind_count *kinds,
                           size_t kind_count, const tw_mass *mass, tw_standing *out, tw_error *err);

#endif
