/* export_harness.c: a harness as JSON and CSV. Fields that do not apply are null, never absent. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>

static json_t *figure_json(const tw_figure *figure)
{
    if (!tw_figure_is(figure))
        return json_null();
    return json_pack("{s:o,s:o,s:o}", "mass_g", tw_json_number(figure->g), "u_g",
                     tw_json_number(tw_figure_u(figure)), "expanded_g",
                     tw_json_number(tw_figure_expanded(figure)));
}

/* Of an even share, or half a pair, no ± is known. */
static json_t *counted_json(const tw_total *total, size_t k)
{
    if (!total->even[k])
        return figure_json(&total->figure[k]);
    return json_pack("{s:o,s:n,s:n}", "mass_g", tw_json_number(total->figure[k].g), "u_g",
                     "expanded_g");
}

static json_t *sum_json(const tw_figure *sum, size_t in_count, size_t missing_count)
{
    return missing_count < in_count ? figure_json(sum) : json_null();
}

static json_t *weighing_json(const tw_weighing *weighing)
{
    return json_pack("{s:o,s:o,s:o,s:o,s:o,s:o,s:b,s:b,s:b,s:b}", "scale",
                     tw_json_text(weighing->scale ? weighing->scale->name : NULL), "net",
                     figure_json(&weighing->net), "scale_error_taken_out_g",
                     tw_json_number(weighing->corrected_g), "rounding_u_g",
                     tw_json_number(weighing->rounding_u_g), "repeat_u_g",
                     tw_json_number(weighing->repeat_u_g), "scale_u_g",
                     tw_json_number(weighing->scale_u_g), "over_most",
                     (weighing->flags & TW_WEIGHING_OVER) != 0, "under_least",
                     (weighing->flags & TW_WEIGHING_UNDER) != 0, "scattered",
                     (weighing->flags & TW_WEIGHING_SPREAD) != 0, "off_step",
                     (weighing->flags & TW_WEIGHING_OFF_STEP) != 0);
}

static json_t *part_json(const tw_total *total, size_t k)
{
    const tw_part *part = &total->harness->parts[k];
    const bool counted = tw_figure_is(&total->figure[k]) && total->sum.g > 0;

    return json_pack(
        "{s:o,s:o,s:b,s:o,s:o,s:o,s:o,s:o,s:o,s:b,s:o,s:o,s:o,s:o}", "part",
        tw_json_text(part->name), "kind", tw_json_text(part->kind), "in", (int)total->in[k],
        "modelled", figure_json(&part->modelled), "weighing",
        part->has_weighing ? weighing_json(&part->weighing) : json_null(), "difference_g",
        tw_json_number(part->has_weighing ? part->weighing.net.g - part->modelled.g : NAN),
        "counted", counted_json(total, k), "counted_as",
        tw_json_text(total->in[k] ? tw_counted_word(total->counted[k]) : NULL), "counted_how",
        tw_json_text(total->how[k]), "even_share", (int)total->even[k], "share_percent",
        tw_json_number(counted ? 100 * total->figure[k].g / total->sum.g : NAN), "sheet_g",
        tw_json_number(part->sheet_g), "forged_g", tw_json_number(part->forged_g), "balance_mm",
        part->has_balance ? tw_json_numbers(part->balance, 3) : json_null());
}

static json_t *parts_json(const tw_total *total)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < total->harness->part_count; k++)
        if (json_array_append_new(list, part_json(total, k)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *set_json(const char *name, const tw_cli_set *set)
{
    json_t *missing = json_array();

    for (size_t k = 0; missing && k < set->missing_count; k++)
        if (json_array_append_new(missing, tw_json_text(set->missing[k])) != 0) {
            json_decref(missing);
            missing = NULL;
        }
    return json_pack("{s:o,s:o,s:I,s:I,s:o}", "set", tw_json_text(name), "sum",
                     sum_json(&set->sum, set->in_count, set->missing_count), "parts",
                     (json_int_t)(set->in_count - set->missing_count), "parts_in",
                     (json_int_t)set->in_count, "not_known", missing);
}

static json_t *sets_json(const tw_cli_whole *whole)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < whole->set_count; k++)
        if (json_array_append_new(list, set_json(whole->of->file->sets[k].name, &whole->sets[k])) !=
            0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *sources_json(const tw_sources *sources)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < sources->count; k++) {
        const tw_source_row *row = &sources->rows[k];
        if (json_array_append_new(
                list,
                json_pack("{s:o,s:o,s:o,s:o,s:o,s:o}", "part", tw_json_text(row->name), "forged_g",
                          tw_json_number(row->forged_g), "sheet_g", tw_json_number(row->sheet_g),
                          "difference_g", tw_json_number(row->difference_g), "share_percent",
                          tw_json_number(100 * row->share), "overlap_difference_g",
                          tw_json_number(row->overlap_difference_g))) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *inertia_json(const tw_total *total)
{
    if (!total->has_balance)
        return json_null();
    return json_pack("[o,o,o]", tw_json_numbers(total->inertia_g_mm2[0], 3),
                     tw_json_numbers(total->inertia_g_mm2[1], 3),
                     tw_json_numbers(total->inertia_g_mm2[2], 3));
}

json_t *tw_show_harness_json(const tw_args *args, const tw_cli_whole *whole)
{
    const tw_total *total = &whole->of->total;

    return json_pack(
        "{s:i,s:s,s:o,s:o,s:I,s:I,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "format", 1,
        "version", TW_VERSION, "harness", tw_json_text(whole->of->file->harness), "set",
        tw_json_text(args->set), "parts_in", (json_int_t)total->in_count, "parts_without_figure",
        (json_int_t)total->missing_count, "sum",
        sum_json(&total->sum, total->in_count, total->missing_count), "straps",
        figure_json(&total->straps), "lining", figure_json(&total->lining), "buckles_rivets",
        figure_json(&total->metal), "modelled_of_weighed",
        total->both_count > 0 ? figure_json(&total->modelled) : json_null(), "weighed_of_modelled",
        total->both_count > 0 ? figure_json(&total->weighed) : json_null(), "balance_mm",
        total->has_balance ? tw_json_numbers(total->balance, 3) : json_null(), "inertia_g_mm2",
        inertia_json(total), "sets", sets_json(whole), "parts", parts_json(total),
        "sheet_against_forged", sources_json(&whole->sources));
}

void tw_show_harness_csv(tw_output *out, const tw_cli_whole *whole)
{
    const tw_total *total = &whole->of->total;

    tw_output_print(out, NULL,
                    "part,kind,in,counted as,modelled [g],modelled ± [g],weighed [g],weighed ± "
                    "[g],counted [g],counted ± [g],sheet [g],forged [g]\n");
    for (size_t k = 0; k < total->harness->part_count; k++) {
        const tw_part *part = &total->harness->parts[k];
        const tw_figure none = {.g = NAN};
        const tw_figure *const figures[] = {&part->modelled,
                                            part->has_weighing ? &part->weighing.net : &none,
                                            total->in[k] ? &total->figure[k] : &none};
        tw_csv_text(out, part->name, false);
        tw_csv_text(out, part->kind, false);
        tw_csv_text(out, total->in[k] ? "yes" : "no", false);
        tw_csv_text(out, total->in[k] ? tw_counted_word(total->counted[k]) : "", false);
        for (size_t f = 0; f < 3; f++) {
            tw_csv_number(out, figures[f]->g, false);
            tw_csv_number(out,
                          tw_figure_is(figures[f]) && !(f == 2 && total->even[k])
                              ? tw_figure_expanded(figures[f])
                              : NAN,
                          false);
        }
        tw_csv_number(out, part->sheet_g, false);
        tw_csv_number(out, part->forged_g, true);
    }
}
