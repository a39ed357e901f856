/* material_internal.h: names of table rows, shared inside the room. */
#ifndef MATERIAL_INTERNAL_H
#define MATERIAL_INTERNAL_H

#include "taperwright/material.h"

/** True for the same name, letter case and blanks aside. */
bool tw_row_same(const char *a, const char *b);
/** The nearest of names; failing that the first that holds the word ("steel", "strap"); or NULL. */
const char *tw_row_nearest(const char *word, const char *const *names, size_t count);

#endif
