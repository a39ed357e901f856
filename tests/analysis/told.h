/* told.h: what an analyzer that looks at one file at a time cannot know: tw_fail() returns the status it is
 * given, so that a failure is never TW_OK. Included before every file but the one that defines it. */
#ifndef TOLD_H
#define TOLD_H

#include "taperwright/base.h"

#define tw_fail(err, status, ...) (tw_fail(err, status, __VA_ARGS__), (status))

#endif
