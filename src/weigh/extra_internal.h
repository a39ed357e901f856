/* extra_internal.h: metal beside the face, shared by turn.c, flute.c and band.c. */
#ifndef EXTRA_INTERNAL_H
#define EXTRA_INTERNAL_H

#include "taperwright/weigh.h"

/** @return the outline's edge of that name, or NULL with TW_ERR_KEY set and the nearest advised. */
const tw_edge_line *tw_outline_edge(const tw_outline *outline, const char *name, tw_error *err);

/** @brief Fill flutes, the arena and turns' sums of `out` being there. @return TW_OK; TW_ERR_DOMAIN
 * (taped over the grooves less than straight); TW_ERR_MEMORY */
tw_status tw_flutes_weigh(const tw_plate *plate, const tw_plate_map *map, tw_extra_weight *out,
                          tw_error *err);

#endif
