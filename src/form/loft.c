/* loft.c: lofts are not made yet; the door says so. */
#include "surface_internal.h"

#include <math.h>

tw_status tw_loft_build(const tw_profile *profile, tw_arena *arena, tw_loft **out, tw_notes *notes,
                        tw_error *err)
{
    (void)profile, (void)arena, (void)out, (void)notes;
    return tw_fail(err, TW_ERR_SHAPE, "lofts are not made yet");
}
void tw_loft_at(const tw_loft *loft, double across, double up, int side, tw_face_point *out)
{
    (void)loft, (void)across, (void)up, (void)side;
    *out = (tw_face_point){.normal = {0, 0, 1}};
}
size_t tw_loft_scratch(const tw_loft *loft)
{
    (void)loft;
    return 0;
}
void tw_loft_row(const tw_loft *loft, double up, size_t count, const double *across, void *scratch,
                 tw_face_point *out)
{
    (void)scratch;
    for (size_t i = 0; i < count; i++)
        tw_loft_at(loft, across[i], up, 1, &out[i]);
}
tw_status tw_loft_boundary(const tw_loft *loft, tw_arena *arena, tw_edge_line **edges,
                           size_t *count, tw_error *err)
{
    (void)loft, (void)arena, (void)err;
    *edges = NULL;
    *count = 0;
    return TW_OK;
}
double tw_loft_excess(const tw_loft *loft, double across, double up)
{
    (void)loft, (void)across, (void)up;
    return -INFINITY;
}
bool tw_loft_has_crease(const tw_loft *loft)
{
    return loft == NULL;
}
bool tw_loft_open_at(const tw_loft *loft, double up)
{
    return !loft && up < 0;
}
bool tw_loft_station_tape(const tw_loft *loft, size_t station, double *tape)
{
    (void)loft, (void)station, (void)tape;
    return false;
}
