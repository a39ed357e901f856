/*
 * plan.h: from what is wanted to numbers: thicknesses (plan_map.h), the blank for them (plan_blank.h), and the
 * work from one to the other (plan_work.h). Nothing here says what a thickness withstands.
 */
#ifndef TAPERWRIGHT_PLAN_H
#define TAPERWRIGHT_PLAN_H

#include "taperwright/plan_blank.h"
#include "taperwright/plan_map.h"
#include "taperwright/plan_work.h"

#endif
