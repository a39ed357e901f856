/* view_solid.c */
#include "views.h"
tw_status tw_solid_tile(tw_view_work *work, tw_arena *arena, tw_tile *tile, tw_error *err)
{
    (void)work; (void)arena; (void)tile;
    return tw_fail(err, TW_ERR_INPUT, "not yet");
}
