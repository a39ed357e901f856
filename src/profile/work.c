/*
 * work.c: readers of the work that makes a plate: what a plan is to keep, what the metal loses on the
 * way from sheet to finished plate, what it weighed at each stage.
 *
 * A loss whose uncertainty is not given is known to within half of itself, rectangular: value/2/√3
 * (JCGM 100:2008, 4.3.7; the half is common practice, no source).
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- plan ---------------------------------------------------------------------------------- */

void tw_read_keeps(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_plan_keep **list = target;
    size_t *count = (size_t *)(void *)((char *)target - key->where + key->detail);
    tw_plan_keep *keeps = tw_read_list(reader, node, key->name, sizeof *keeps, count);

    *list = keeps;
    for (const tw_node *child = node->first; keeps && child; child = child->next, keeps++) {
        keeps->place = child->place; /* of its name, when it has one */
        tw_read_map(reader, child, key->inside, key->inside == TW_GROUP_KEEP_ZONE ? "zone" : "edge",
                    keeps);
    }
}

/* Zones, then edges, in one list. */
static void join_keeps(tw_reader *reader, const tw_plan_keys *keys, tw_plan_spec *plan)
{
    const size_t count = keys->zone_count + keys->edge_count;

    if (count == 0)
        return;
    plan->keeps = tw_reader_array(reader, count, sizeof *plan->keeps);
    if (!plan->keeps)
        return;
    plan->keep_count = count;
    if (keys->zone_count)
        memcpy(plan->keeps, keys->zones, keys->zone_count * sizeof *plan->keeps);
    if (keys->edge_count)
        memcpy(plan->keeps + keys->zone_count, keys->edges, keys->edge_count * sizeof *plan->keeps);
}

void tw_read_plan(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_plan_keys keys = {.spec = {.least = NAN, .grade = NAN, .within = NAN, .weight = NAN}};
    tw_plan_spec *plan = &keys.spec;
    bool read;

    (void)target;
    plan->place = node->place;
    read = tw_read_map(reader, node, key->inside, "plan", &keys);
    join_keeps(reader, &keys, plan);
    reader->profile->has_plan = true;
    reader->profile->plan = *plan;
    if (!read)
        return;
    if (plan->grade_place.line != 0 && plan->within_place.line != 0)
        tw_reader_fault(reader, plan->within_place, TW_ERR_KEY, NULL, "leave out one of the two",
                        "grade and within both say how steep a plan may be");
    else if (plan->grade_place.line == 0 && plan->within_place.line == 0)
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                        "add \"grade: 1 mm in 60 mm\" or \"within: 90 mm\"",
                        "a plan does not say how steep it may be");
}

static void unknown_zone(tw_reader *reader, const tw_plan_keep *keep)
{
    const tw_forged_spec *forged = &reader->profile->forged;
    const char **names = tw_reader_array(reader, forged->strike_count + 1, sizeof *names);
    const char *near;
    char advice[160] = "give the forged map a strike zone of that name, or leave it out";
    size_t count = 0, used = 0;

    if (!names)
        return;
    for (size_t k = 0; forged->strikes && k < forged->strike_count; k++)
        names[count++] = forged->strikes[k].name ? forged->strikes[k].name : "";
    near = tw_nearest_word(keep->strike, names, count);
    if (near)
        snprintf(advice, sizeof advice, "did you mean \"%s\"?", near);
    else
        for (size_t k = 0; k < count && used < sizeof advice; k++)
            used += (size_t)snprintf(advice + used, sizeof advice - used, "%s%s",
                                     k ? ", " : "the forged map has: ", names[k]);
    tw_reader_fault(reader, keep->place, TW_ERR_KEY, keep->strike, advice,
                    "the plate has no strike zone \"%s\"", keep->strike);
}

static bool zone_known(const tw_forged_spec *forged, const char *name)
{
    for (size_t k = 0; forged->strikes && k < forged->strike_count; k++)
        if (forged->strikes[k].name && strcmp(forged->strikes[k].name, name) == 0)
            return true;
    return false;
}

/* A keep under what the plan keeps everywhere asks for nothing: one of the two is not meant. */
static void check_least(tw_reader *reader, const tw_plan_keep *keep)
{
    const double least = reader->profile->plan.least;
    char own[48], everywhere[48];

    if (!(keep->least > 0) || !(keep->least < least))
        return;
    tw_write_thickness(keep->least, TW_METRIC, -1, own, sizeof own);
    tw_write_thickness(least, TW_METRIC, -1, everywhere, sizeof everywhere);
    tw_reader_fault(reader, keep->place, TW_ERR_DOMAIN, keep->strike ? keep->strike : keep->edge,
                    "lower the plan's least, or leave this out",
                    "%s \"%s\" keeps %s, but the plan keeps %s everywhere",
                    keep->strike ? "zone" : "edge", keep->strike ? keep->strike : keep->edge, own,
                    everywhere);
}

enum { KEEPS_MAX = 400 };

void tw_check_keeps(tw_reader *reader)
{
    const tw_profile *profile = reader->profile;
    const tw_plan_spec *plan = &profile->plan;
    const tw_node *thickness = tw_tree_find(reader->root, "thickness");
    /* one that could not be read may well have the zone, and was told of already */
    const bool in_doubt =
        !profile->has_forged && thickness && tw_tree_find(thickness, "forged") != NULL;

    if (plan->keep_count > KEEPS_MAX) /* told of already, and each is compared with all */
        return;
    for (size_t k = 0; k < plan->keep_count; k++) {
        const tw_plan_keep *keep = &plan->keeps[k];
        for (size_t j = 0; j < k; j++) {
            tw_check_unique(reader, "zone", keep->strike, keep->place, plan->keeps[j].strike,
                            plan->keeps[j].place);
            tw_check_unique(reader, "edge", keep->edge, keep->place, plan->keeps[j].edge,
                            plan->keeps[j].place);
        }
        if (keep->strike || keep->edge)
            check_least(reader, keep);
        if (keep->strike && !in_doubt && !zone_known(&profile->forged, keep->strike) &&
            (strcmp(keep->strike, "all") != 0 || profile->forged.strike_count == 0))
            unknown_zone(reader, keep);
        if (keep->edge && !reader->outline_in_doubt && strcmp(keep->edge, "all") != 0 &&
            !tw_edge_known(profile, keep->edge))
            tw_edge_unknown(reader, keep->place, keep->edge);
    }
}

/* ---- losses -------------------------------------------------------------------------------- */

void tw_read_heats(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    enum { HEATS_MAX = 100 };
    static const char advice[] = "write a whole number from 0 to 100, like 6";
    size_t digits, number = 0;

    if (!tw_read_line(reader, node, key->name))
        return;
    digits = strspn(node->text, "0123456789");
    if (digits == 0 || node->text[digits] != '\0') {
        const bool below = node->text[0] == '-';
        tw_reader_fault(reader, node->place, below ? TW_ERR_DOMAIN : TW_ERR_SYNTAX, node->text,
                        advice,
                        below ? "%s \"%s\" is below zero" : "%s \"%s\" is not a whole number",
                        key->name, node->text);
        return;
    }
    for (size_t k = 0; k < digits && number <= HEATS_MAX; k++)
        number = number * 10 + (size_t)(node->text[k] - '0');
    if (number > HEATS_MAX)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, node->text, advice,
                        "%s \"%s\" is out of range", key->name, node->text);
    else
        *(size_t *)target = number;
}

void tw_read_loss(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_loss loss = {0, NAN};

    if (node->kind == TW_NODE_MAP)
        tw_read_map(reader, node, key->inside, key->name, &loss);
    else
        tw_value_number(reader, node, key->name, TW_NUMBER_LOSS, &loss.value);
    if (isnan(loss.uncertainty))
        loss.uncertainty = loss.value / 2 / sqrt(3);
    else if (loss.uncertainty > loss.value && tw_tree_find(node, "value"))
        tw_reader_fault(reader, tw_tree_find(node, "uncertainty")->place, TW_ERR_DOMAIN,
                        tw_tree_find(node, "uncertainty")->text,
                        "give the standard uncertainty, about half of what it may be off by",
                        "the uncertainty of %s is larger than the %s itself", key->name, key->name);
    *(tw_loss *)target = loss;
}

void tw_read_losses(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_losses_spec *losses = &reader->profile->losses;
    const tw_node *heats, *scale;

    (void)target;
    losses->place = node->place;
    if (!tw_read_map(reader, node, key->inside, key->name, losses))
        return;
    heats = tw_tree_find(node, "heats");
    scale = tw_tree_find(node, "scale");
    if (scale && !heats)
        tw_reader_fault(reader, scale->key_place, TW_ERR_KEY, NULL,
                        "add \"heats: 6\", how often it is heated, or leave scale out",
                        "scale burns off in each heat, and no heats are given");
    else if (heats && !scale && losses->heats > 0)
        tw_reader_fault(reader, heats->key_place, TW_ERR_KEY, NULL,
                        "add \"scale: 0.02 mm\", off each side in each heat, or leave heats out",
                        "each heat burns scale off, and no scale is given");
}

/* ---- weighed ------------------------------------------------------------------------------- */

void tw_read_weighed(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    static const char *const stages[] = {"blank", "rough plate", "finished plate"};
    static const char *const keys[] = {"blank", "rough", "finished"};
    tw_weighed_spec *out = &reader->profile->weighed;
    const size_t before = reader->errors.count;
    double weight[3];

    (void)target;
    out->place = node->place;
    if (!tw_read_map(reader, node, key->inside, key->name, out) || reader->errors.count > before)
        return;
    weight[0] = out->blank;
    weight[1] = out->rough;
    weight[2] = out->finished;
    for (size_t late = 1; late < 3; late++)
        for (size_t early = late; early-- > 0;) {
            const tw_node *said = tw_tree_find(node, keys[late]), *earlier;
            if (!(weight[early] > 0) || !(weight[late] > weight[early]))
                continue;
            earlier = tw_tree_find(node, keys[early]);
            tw_reader_fault(reader, said->place, TW_ERR_DOMAIN, said->text,
                            "read both again: a hammer puts no metal on, and fire, grinding and "
                            "trimming take it off",
                            "the %s, %s, is heavier than the %s it was made from, %s", stages[late],
                            said->text, stages[early], earlier->text);
            break;
        }
}
