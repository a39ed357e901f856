/* taperwright.h: the whole library. */
#ifndef TAPERWRIGHT_TAPERWRIGHT_H
#define TAPERWRIGHT_TAPERWRIGHT_H

#include "taperwright/base.h"
#include "taperwright/batch.h"
#include "taperwright/blank.h"
#include "taperwright/budget.h"
#include "taperwright/compare.h"
#include "taperwright/draw.h"
#include "taperwright/exchange.h"
#include "taperwright/files.h"
#include "taperwright/form.h"
#include "taperwright/harness.h"
#include "taperwright/material.h"
#include "taperwright/plan.h"
#include "taperwright/profile.h"
#include "taperwright/thickness.h"
#include "taperwright/weigh.h"

#endif
