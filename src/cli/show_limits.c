/* show_limits.c: thinnest places beside least thicknesses, as text, JSON and CSV. */
#include "cli_harness.h"
#include "cli_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64 };

static const char *when(const tw_limit_spec *spec)
{
    return spec->before_forming ? "before forming" : "after forming";
}

/* How a map that is not of metal stands for it. */
static const char *taken_as(tw_map_kind kind)
{
    switch (kind) {
    case TW_MAP_FORGED:
        return "as written: gauge the finished plate";
    case TW_MAP_SHEET:
        return "as if bent only: dishing thins it";
    case TW_MAP_AS_FORMED:
    case TW_MAP_READINGS:
    case TW_MAP_IMAGE:
        break;
    }
    return NULL;
}

static bool measured(const tw_limit *limit)
{
    return isfinite(limit->thinnest_mm);
}

/* ---- text -------------------------------------------------------------------------------- */

static void show_measured(tw_output *out, tw_units units, const tw_limit *limit, bool drawn)
{
    const tw_limit_spec *spec = limit->spec;
    const bool forged = drawn && !spec->before_forming;
    const bool sure = !(limit->expanded_mm > 0);
    const double lacks = spec->least - limit->thinnest_mm;
    char words[4][WORDS];

    if (spec->before_forming)
        tw_output_print(out, NULL, "sheet before forming ");
    else if (spec->zone)
        tw_output_print(out, NULL, "in zone %s, thinnest ", spec->zone);
    else
        tw_output_print(out, NULL, "thinnest ");
    tw_output_print(out, NULL, "%s",
                    tw_cli_thickness_within(limit->thinnest_mm, sure ? NAN : limit->expanded_mm,
                                            units, words[0], WORDS));
    if (isfinite(limit->at[0]))
        tw_output_print(out, NULL, " at %s", tw_cli_place(limit->at, units, words[1], WORDS));
    tw_output_print(out, NULL, "; the limit is %s: %s",
                    tw_write_thickness(spec->least, units, -1, words[2], WORDS),
                    limit->verdict == TW_LIMIT_MET && forged ? "met as drawn"
                                                             : tw_limit_word(limit->verdict));
    if (lacks > 1e-9) { /* by how much: both may print alike */
        const double fine = units == TW_INCH ? 0.0254 : 0.01;
        tw_output_print(out, NULL, "%s by %s",
                        limit->verdict == TW_LIMIT_UNDER ? "" : ", thinnest is under",
                        tw_write_thickness(lacks, units, lacks < fine ? 4 : -1, words[3], WORDS));
    }
    if (limit->dished_mm < spec->least - 1e-9 && limit->verdict == TW_LIMIT_IN_DOUBT)
        tw_output_print(out, NULL, ": if dished its middle would thin to about %s",
                        tw_write_thickness(limit->dished_mm, units, -1, words[3], WORDS));
    if (!sure)
        tw_output_print(out, NULL, "; ± by %s", limit->why);
    tw_output_print(out, NULL, "\n");
}

/* Why there is no figure; of a zone that the plate lacks, which it has. */
static void show_unmeasured(tw_output *out, const tw_limit *limit, const tw_profile *profile)
{
    const tw_forged_spec *forged = &profile->forged;

    tw_output_print(out, NULL, "%s: %s", tw_limit_word(limit->verdict), limit->why);
    if (limit->no_zone) {
        tw_output_print(out, NULL, ": zone %s", limit->spec->zone);
        for (size_t k = 0; k < forged->strike_count; k++)
            tw_output_print(out, NULL, "%s%s",
                            k > 0 ? ", " : "; its zones are: ", forged->strikes[k].name);
        if (limit->nearest)
            tw_output_print(out, NULL, "; did you mean %s?", limit->nearest);
    }
    tw_output_print(out, NULL, "\n");
}

void tw_show_limits_text(tw_output *out, tw_units units, const tw_cli_limits *found)
{
    const tw_map_kind kind = found->map->map.kind;

    tw_output_print(out, NULL, "%s, %s, beside the least thicknesses of: %s\n",
                    found->plate->profile->plate, tw_map_word(kind), found->rules->rules);
    for (size_t k = 0; k < found->rules->count; k++) {
        const tw_limit *limit = &found->limits[k];
        tw_output_print(out, NULL, "  %-*s  ", tw_cli_fit(14, limit->spec->name),
                        limit->spec->name);
        if (measured(limit))
            show_measured(out, units, limit, kind == TW_MAP_FORGED);
        else
            show_unmeasured(out, limit, found->plate->profile);
    }
    if (taken_as(kind))
        tw_output_print(out, NULL, "The %s map is taken %s.\n", tw_map_word(kind), taken_as(kind));
    tw_output_print(
        out, NULL,
        "The event's rule book and inspector decide; a gauge on the finished plate, not "
        "this program, tells what it is.\n");
}

/* ---- JSON -------------------------------------------------------------------------------- */

static json_t *kinds_json(const tw_limit_spec *spec)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < spec->kind_count; k++) {
        if (json_array_append_new(list, tw_json_text(spec->kinds[k])) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

/* The keys are promised to scripts: add, never rename. */
static json_t *limit_json(const tw_limit *limit)
{
    const tw_limit_spec *spec = limit->spec;

    return json_pack("{s:o,s:o,s:o,s:s,s:o,s:s,s:o,s:o,s:o,s:o,s:o,s:o}", "limit",
                     tw_json_text(spec->name), "least_mm", tw_json_number(spec->least), "zone",
                     tw_json_text(spec->zone), "when", when(spec), "kinds", kinds_json(spec),
                     "verdict", tw_limit_word(limit->verdict), "thinnest_mm",
                     tw_json_number(limit->thinnest_mm), "expanded_mm",
                     tw_json_number(limit->expanded_mm), "at_mm",
                     isfinite(limit->at[0]) ? tw_json_numbers(limit->at, 2) : json_null(), "why",
                     tw_json_text(limit->why), "dished_mm", tw_json_number(limit->dished_mm),
                     "nearest_zone", tw_json_text(limit->nearest));
}

json_t *tw_show_limits_json(const tw_cli_limits *found)
{
    const tw_profile *profile = found->plate->profile;
    json_t *list = json_array();

    for (size_t k = 0; list && k < found->rules->count; k++) {
        if (json_array_append_new(list, limit_json(&found->limits[k])) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return json_pack("{s:i,s:s,s:o,s:o,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION,
                     "plate", tw_json_text(profile->plate), "kind", tw_json_text(profile->kind),
                     "map", tw_json_text(tw_map_word(found->map->map.kind)), "taken",
                     tw_json_text(taken_as(found->map->map.kind)), "rules",
                     tw_json_text(found->rules->rules), "limits", list);
}

/* ---- CSV --------------------------------------------------------------------------------- */

void tw_show_limits_csv(tw_output *out, const tw_cli_limits *found)
{
    tw_output_print(out, NULL,
                    "plate,map,limit,least_mm,zone,when,verdict,thinnest_mm,expanded_mm,"
                    "across_mm,up_mm,why\n");
    for (size_t k = 0; k < found->rules->count; k++) {
        const tw_limit *limit = &found->limits[k];
        tw_csv_text(out, found->plate->profile->plate, false);
        tw_csv_text(out, tw_map_word(found->map->map.kind), false);
        tw_csv_text(out, limit->spec->name, false);
        tw_csv_number(out, limit->spec->least, false);
        tw_csv_text(out, limit->spec->zone, false);
        tw_csv_text(out, when(limit->spec), false);
        tw_csv_text(out, tw_limit_word(limit->verdict), false);
        tw_csv_number(out, limit->thinnest_mm, false);
        tw_csv_number(out, limit->expanded_mm, false);
        tw_csv_number(out, limit->at[0], false);
        tw_csv_number(out, limit->at[1], false);
        tw_csv_text(out, limit->why, true);
    }
}
