/* total_internal.h: a total while it is made: what counts in total.c, what is said in total_words.c. */
#ifndef TOTAL_INTERNAL_H
#define TOTAL_INTERNAL_H

#include "harness_internal.h"

/** One weighing of several parts, as far as one total goes. */
typedef struct tw_group {
    const tw_weighing *weighing;
    bool *member; /**< part_count */
    bool *own; /**< part_count: of those, parts with a weighing of their own in the harness file */
    size_t count, in_count, own_count;
    size_t rest_count, rest_in; /**< members without one, and how many of them are in */
    bool rest_modelled;
    bool used, clashes, negative; /**< clashes: some of the rest is counted by another weighing */
} tw_group;
typedef struct tw_counting {
    const tw_harness *harness;
    tw_total total;
    size_t group_count;
    tw_group *groups; /**< most parts first, then by order of the file */
} tw_counting;

/** @return whether a member of a group has no weighing of its own. */
static inline bool tw_group_rest(const tw_group *g, size_t part)
{
    return g->member[part] && !g->own[part];
}
/** @brief Say how each part's grams came, and what weighings together leave open. */
tw_status tw_total_say(tw_counting *w, const tw_choice *choice, tw_error *err);

#endif
