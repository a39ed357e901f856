/* budget_internal.h: what the files of the budget room share. */
#ifndef BUDGET_INTERNAL_H
#define BUDGET_INTERNAL_H

#include "taperwright/budget.h"

/** Names that other parts of the room know a row by; a name may go on after them. */
#define TW_ROW_DENSITY "density"
#define TW_ROW_SHEET   "sheet thickness"
#define TW_ROW_READING "readings"

/** Inputs of one model: the values lie on the stack of each thread. */
enum { TW_BUDGET_ROWS_MAX = 2048 };

bool tw_row_is(const tw_budget_row *row, const char *name);
/** @return TW_OK, or TW_ERR_DOMAIN naming the row whose value, u or freedom is no number. */
tw_status tw_rows_check(const tw_budget_row *rows, size_t count, tw_error *err);
/** A model as tw_model, whose answer must be a number. */
tw_status tw_model_call(tw_model model, void *context, const double *inputs, size_t count,
                        double *out, tw_error *err);

/** Terms of the second order in the note to JCGM 100:2008 5.1.2 [output²]. */
tw_status tw_second_order(tw_model model, void *context, const tw_budget_row *rows, size_t count,
                          double *variance, tw_error *err);

/** Philox 4x32 with 10 rounds: 128 random bits that depend on counter and key alone. */
void tw_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);
/** @return the row's value as trial `trial` of `seed` draws it; `input` tells the rows apart. */
double tw_draw(const tw_budget_row *row, uint64_t seed, uint64_t trial, uint32_t input);

/** Standard uncertainty of a profile's scale weight [g], and what it rests on, as the row's name. */
double tw_scale_uncertainty(const tw_profile *profile, const char **name);

#endif
