/* export_originals.c: standings beside originals as JSON and CSV. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>
#include <string.h>

enum { KINDS = 512 };

static json_t *listed(json_t *list, json_t *item)
{
    if (list && json_array_append_new(list, item) == 0)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *year(int value)
{
    return value ? json_integer(value) : json_null();
}

static const char *said(tw_said what)
{
    return what == TW_SAID_IN ? "in" : what == TW_SAID_OUT ? "out" : "not said";
}

/* ---- JSON ---------------------------------------------------------------------------------------- */

static json_t *kinds_json(const tw_kind_count *kinds, size_t count)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++)
        list = listed(list, json_pack("{s:s,s:I}", "kind", kinds[k].kind, "count",
                                      (json_int_t)kinds[k].count));
    return list;
}

static json_t *record_json(const tw_original *record)
{
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:s,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "institution",
        tw_json_text(record->institution), "object", tw_json_text(record->object), "title",
        tw_json_text(record->title), "kinds", kinds_json(record->kinds, record->kind_count),
        "straps", said(record->straps), "lining", said(record->lining), "height_mm",
        tw_json_number(record->height), "width_mm", tw_json_number(record->width), "year_from",
        year(record->year_from), "year_to", year(record->year_to), "mass_g",
        tw_json_number(record->g), "uncertainty_g", tw_json_number(record->u_g), "left_out",
        tw_json_text(record->why), "note", tw_json_text(record->note), "licence",
        tw_json_text(record->licence), "source", tw_json_text(record->source));
}

static json_t *records_json(const tw_standing *row)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < row->count; k++)
        list = listed(list, record_json(row->records[k]));
    return list;
}

/* The points themselves, where they are too few for quartiles. */
static json_t *points_json(const tw_standing *row)
{
    json_t *list = isnan(row->median) ? json_array() : json_null();

    for (size_t k = 0; list && isnan(row->median) && k < row->count; k++)
        list = listed(list, tw_json_number(row->records[k]->g));
    return list;
}

static json_t *adjustments_json(const tw_standing *row)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < row->adjustment_count; k++) {
        const tw_adjustment *made = &row->adjustments[k];
        list = listed(list,
                      json_pack("{s:s,s:o,s:o,s:I,s:b}", "what", made->what, "added_g",
                                tw_json_number(made->g), "uncertainty_g", tw_json_number(made->u_g),
                                "records", (json_int_t)made->records, "in_mass", made->held));
    }
    return list;
}

/* What is no answer without an own mass is null. */
static json_t *when(bool own, size_t value)
{
    return own ? json_integer((json_int_t)value) : json_null();
}

static json_t *standing_json(const tw_args *args, const tw_standing *row)
{
    const bool own = tw_figure_is(&row->own);
    const bool inside = row->lighter < row->count && row->heavier < row->count;

    return json_pack(
        "{s:s,s:o,s:o,s:o,s:I,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:I,s:o,s:o,s:o,s:o,"
        "s:o,s:o,s:o,s:o}",
        "what", row->what, "kinds", kinds_json(row->kinds, row->kind_count), "mass_g",
        tw_json_number(row->own.g), "expanded_g",
        tw_json_number(own ? tw_figure_expanded(&row->own) : (double)NAN), "n",
        (json_int_t)row->count, "lighter_records", when(own, row->lighter), "heavier_records",
        when(own, row->heavier), "records_within", when(own, row->uncertain), "inside_spread",
        own ? json_boolean(inside) : json_null(), "least_g", tw_json_number(row->least),
        "lower_quartile_g", tw_json_number(row->lower), "median_g", tw_json_number(row->median),
        "upper_quartile_g", tw_json_number(row->upper), "most_g", tw_json_number(row->most),
        "points_g", points_json(row), "g_per_dm2", tw_json_number(row->per_area),
        "g_per_dm2_median", tw_json_number(row->per_area_median), "g_per_dm2_n",
        (json_int_t)row->per_area_count, "straps_not_said", when(own, row->straps_not_said),
        "lining_not_said", when(own, row->lining_not_said), "adjustments", adjustments_json(row),
        "records", args->list ? records_json(row) : json_null(), "clearly_lighter_records",
        when(own, row->clearly_lighter), "clearly_heavier_records", when(own, row->clearly_heavier),
        "g_per_dm2_least", tw_json_number(row->per_area_least), "g_per_dm2_most",
        tw_json_number(row->per_area_most));
}

static json_t *warnings_json(const tw_originals *set)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < set->warnings.count && k < TW_NOTES_MAX; k++)
        list = listed(list, json_string(set->warnings.items[k].message));
    return list;
}

static json_t *names_json(const char *const *names, size_t count)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < count; k++)
        list = listed(list, json_string(names[k]));
    return list;
}

static json_t *left_out_json(const tw_cli_beside *found)
{
    const tw_originals *set = found->set;
    json_t *list = json_array();

    for (size_t k = 0; list && k < set->count; k++)
        if (!set->rows[k].use && tw_original_passes(&set->rows[k], &found->filter))
            list = listed(list, record_json(&set->rows[k]));
    return list;
}

static json_t *set_json(const tw_args *args, const tw_cli_beside *found)
{
    const tw_originals *set = found->set;
    size_t used = 0;

    for (size_t k = 0; k < set->count; k++)
        used += set->rows[k].use;
    return json_pack("{s:o,s:I,s:I,s:o,s:o,s:o,s:I,s:o,s:o}", "file",
                     tw_json_text(*set->file ? set->file : NULL), "count", (json_int_t)set->count,
                     "in_use", (json_int_t)used, "year_from", year(found->filter.year_from),
                     "year_to", year(found->filter.year_to), "object",
                     tw_json_text(found->filter.object), "warning_count",
                     (json_int_t)set->warning_count, "warnings", warnings_json(set), "left_out",
                     args->list ? left_out_json(found) : json_null());
}

json_t *tw_show_originals_json(const tw_args *args, const tw_cli_beside *found)
{
    const tw_ranking *ranking = &found->ranking;
    const tw_total *total = found->of ? &found->of->total : NULL;
    json_t *rows = json_array();

    for (size_t k = 0; rows && k < ranking->count; k++)
        rows = listed(rows, standing_json(args, &ranking->rows[k]));
    return json_pack(
        "{s:i,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION,
        "harness", tw_json_text(found->of ? found->of->file->harness : NULL), "set",
        tw_json_text(args->set), "parts_in", total ? when(true, total->in_count) : json_null(),
        "parts_without_figure", total ? when(true, total->missing_count) : json_null(), "originals",
        set_json(args, found), "whole_met", total ? json_boolean(ranking->whole) : json_null(),
        "stopper", tw_json_text(ranking->stopper), "stopper_records",
        ranking->stopper ? when(true, ranking->stopper_records) : json_null(), "standings", rows,
        "no_record_alone", names_json(ranking->alone, ranking->alone_count));
}

/* ---- CSV ----------------------------------------------------------------------------------------- */

static void count_cell(tw_output *out, bool given, size_t value)
{
    tw_csv_number(out, given ? (double)value : (double)NAN, false);
}

static void csv_standings(tw_output *out, const tw_ranking *ranking)
{
    char kinds[KINDS];

    tw_output_print(out, NULL,
                    "what,kinds,mass [g],expanded uncertainty [g],n,lighter records,heavier "
                    "records,records within,least [g],lower quartile [g],median [g],upper quartile "
                    "[g],most [g],per area [g/dm2],median per area [g/dm2],n per area,straps not "
                    "said,lining not said\n");
    for (size_t k = 0; k < ranking->count; k++) {
        const tw_standing *row = &ranking->rows[k];
        const bool own = tw_figure_is(&row->own);
        const double middle[] = {row->least, row->lower,    row->median,         row->upper,
                                 row->most,  row->per_area, row->per_area_median};
        tw_csv_text(out, row->what, false);
        tw_csv_text(out, tw_cli_kinds(row->kinds, row->kind_count, kinds, sizeof kinds), false);
        tw_csv_number(out, row->own.g, false);
        tw_csv_number(out, own ? tw_figure_expanded(&row->own) : (double)NAN, false);
        count_cell(out, true, row->count);
        count_cell(out, own, row->lighter);
        count_cell(out, own, row->heavier);
        count_cell(out, own, row->uncertain);
        for (size_t n = 0; n < sizeof middle / sizeof *middle; n++)
            tw_csv_number(out, middle[n], false);
        count_cell(out, true, row->per_area_count);
        count_cell(out, own, row->straps_not_said);
        tw_csv_number(out, own ? (double)row->lining_not_said : (double)NAN, true);
    }
}

/* Columns as the reader of sets takes them, after the standing that each record is of. */
static void csv_records(tw_output *out, const tw_ranking *ranking)
{
    char kinds[KINDS];

    tw_output_print(out, NULL,
                    "beside,institution,object,title,kinds,straps,lining,height [mm],width "
                    "[mm],from year,to year,mass [g],uncertainty [g],note,licence,source\n");
    for (size_t k = 0; k < ranking->count; k++)
        for (size_t n = 0; n < ranking->rows[k].count; n++) {
            const tw_original *record = ranking->rows[k].records[n];
            tw_csv_text(out, ranking->rows[k].what, false);
            tw_csv_text(out, record->institution, false);
            tw_csv_text(out, record->object, false);
            tw_csv_text(out, record->title, false);
            tw_csv_text(out, tw_cli_kinds(record->kinds, record->kind_count, kinds, sizeof kinds),
                        false);
            tw_csv_text(out, said(record->straps), false);
            tw_csv_text(out, said(record->lining), false);
            tw_csv_number(out, record->height, false);
            tw_csv_number(out, record->width, false);
            count_cell(out, record->year_from > 0, (size_t)record->year_from);
            count_cell(out, record->year_to > 0, (size_t)record->year_to);
            tw_csv_number(out, record->g, false);
            tw_csv_number(out, record->u_g, false);
            tw_csv_text(out, record->note, false);
            tw_csv_text(out, record->licence, false);
            tw_csv_text(out, record->source, true);
        }
}

void tw_show_originals_csv(tw_output *out, const tw_args *args, const tw_cli_beside *found)
{
    if (args->list)
        csv_records(out, &found->ranking);
    else
        csv_standings(out, &found->ranking);
}
