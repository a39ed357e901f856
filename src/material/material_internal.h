/* material_internal.h: names of table rows, shared inside the room. */
#ifndef MATERIAL_INTERNAL_H
#define MATERIAL_INTERNAL_H

#include "taperwright/material.h"

/** The nearest of names; failing that the first that holds the word ("steel", "strap"); or NULL. */
const char *tw_row_nearest(const char *word, const char *const *names, size_t count);

#endif
