/*
 * show_scale.c: whether the scale agrees with a map, and what would have to be true when it does not.
 */
#include "cli_internal.h"
#include "cli_weigh.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, NAMED_MAX = 3 };
static const double DENSITY_BEYOND =
    0.03;                          /* of a metal's range: no alloy of its name is farther off */
static const double TOO_MUCH = 20; /* per cent: more is a slip, no property of a plate */

static const char *what_says(tw_map_kind kind)
{
    return kind == TW_MAP_READINGS ? "readings"
           : kind == TW_MAP_IMAGE  ? "picture"
           : kind == TW_MAP_FORGED ? "forged taper"
                                   : "sheet";
}

/* Could the plate's metal have this density? One that no table knows could have any. */
static bool is_possible(const tw_profile *profile, double density)
{
    const tw_material *metal = profile->material ? tw_material_find(profile->material) : NULL;

    return !metal || (density >= (1 - DENSITY_BEYOND) * metal->density_low &&
                      density <= (1 + DENSITY_BEYOND) * metal->density_high);
}

/* The mass is density times a volume that grows almost as thickness does. */
static void show_cures(tw_output *out, const tw_plate *plate, const tw_agreement *agreement)
{
    const double factor = agreement->thickness_factor;
    const double density = plate->profile->density * 1e6;
    const double needed = density * agreement->scale_g / agreement->model_g;
    const double percent = 100 * fabs(factor - 1);

    tw_output_print(out, NULL,
                    "                  Both are right only if every thickness is %.*f %% %s",
                    percent < 9.95 ? 1 : 0, percent, factor < 1 ? "less" : "more");
    if (is_possible(plate->profile, needed / 1e6))
        tw_output_print(out, NULL, ", or the density %.0f kg/m³ instead of %.0f kg/m³", needed,
                        density);
    tw_output_print(out, NULL, ", or the plate %s than its form.%s\n",
                    factor < 1 ? "smaller" : "larger",
                    percent > TOO_MUCH ? " Check sizes, units and the readings of both." : "");
}

/* "Readings 4 and 7 look wrong and still count." */
static void show_doubtful(tw_output *out, const tw_survey *survey)
{
    const char *names[NAMED_MAX];
    size_t count = 0;

    for (size_t k = 0; k < survey->count; k++) {
        const tw_placed_reading *placed = &survey->readings[k];
        if (!placed->used ||
            !(placed->flags & (TW_FLAG_SLIP | TW_FLAG_INNER | TW_FLAG_DOUBLED | TW_FLAG_FACE)))
            continue;
        if (count < NAMED_MAX)
            names[count] = placed->reading->name;
        count++;
    }
    if (count == 0)
        return;
    tw_output_print(out, NULL, "                  ");
    if (count > NAMED_MAX)
        tw_output_print(out, NULL, "%zu readings look wrong and still count.\n", count);
    else if (count == 1)
        tw_output_print(out, NULL, "Reading %.60s looks wrong and still counts.\n", names[0]);
    else if (count == 2)
        tw_output_print(out, NULL, "Readings %.60s and %.60s look wrong and still count.\n",
                        names[0], names[1]);
    else
        tw_output_print(out, NULL, "Readings %.60s, %.60s and %.60s look wrong and still count.\n",
                        names[0], names[1], names[2]);
}

static void show_verdict(tw_output *out, tw_units units, const tw_plate *plate, tw_map_kind kind,
                         const tw_agreement *agreement, double expanded)
{
    char words[2][2 * WORDS];

    tw_output_print(out, NULL, "  scale           The scale says %s, the %s %s: ",
                    tw_write_mass(agreement->scale_g, units, -1, words[0], sizeof words[0]),
                    what_says(kind),
                    tw_cli_mass_within(agreement->model_g,
                                       agreement->verdict == TW_VERDICT_FEW ? NAN : expanded, units,
                                       words[1], sizeof words[1]));
    switch (agreement->verdict) {
    case TW_VERDICT_AGREE:
        tw_output_print(out, NULL, "they agree.\n");
        return;
    case TW_VERDICT_DISAGREE:
        tw_output_print(out, NULL, "they do not agree.\n");
        return;
    case TW_VERDICT_UNSURE:
        tw_output_print(out, NULL, "too unsure to tell whether they agree.\n");
        return;
    case TW_VERDICT_FEW:
        tw_output_print(out, NULL, "%zu reading%s too few to judge by the scale.\n",
                        plate->survey->used, plate->survey->used == 1 ? " is" : "s are");
        return;
    }
}

void tw_show_agreement(tw_output *out, tw_units units, const tw_plate *plate,
                       const tw_plate_map *map, const tw_cli_surety *surety)
{
    const tw_agreement *agreement = &surety->agreement;
    const tw_map_kind kind = map->map.kind;
    char words[2][WORDS];

    show_verdict(out, units, plate, kind, agreement, surety->budget.expanded);
    if (agreement->verdict == TW_VERDICT_DISAGREE)
        show_cures(out, plate, agreement);
    if (kind == TW_MAP_READINGS)
        show_doubtful(out, plate->survey);
    if (kind != TW_MAP_SHEET && isfinite(agreement->strike_mm) && isfinite(agreement->edge_mm))
        tw_output_print(out, NULL,
                        "                  Scaled to that weight, the taper runs from %s to %s.\n",
                        tw_write_thickness(agreement->strike_mm, units, -1, words[0], WORDS),
                        tw_write_thickness(agreement->edge_mm, units, -1, words[1], WORDS));
}

/* The keys are promised to scripts: add, never rename. */
json_t *tw_agreement_json(const tw_cli_surety *surety)
{
    const tw_agreement *agreement;
    json_t *agree;

    if (!surety || !surety->compared)
        return json_null();
    agreement = &surety->agreement;
    agree = agreement->verdict == TW_VERDICT_AGREE      ? json_true()
            : agreement->verdict == TW_VERDICT_DISAGREE ? json_false()
                                                        : json_null();
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:s,s:o,s:o,s:o,s:o,s:o}", "scale_g",
        tw_json_number(agreement->scale_g), "scale_u_g", tw_json_number(agreement->scale_u_g),
        "model_g", tw_json_number(agreement->model_g), "model_u_g",
        tw_json_number(agreement->model_u_g), "difference_g",
        tw_json_number(agreement->difference_g), "en", tw_json_number(agreement->en), "agree",
        agree, "verdict", tw_verdict_word(agreement->verdict), "mean_thickness_mm",
        tw_json_number(agreement->mean_thickness_mm), "mean_thickness_u_mm",
        tw_json_number(agreement->mean_thickness_u_mm), "thickness_factor",
        tw_json_number(agreement->thickness_factor), "strike_mm",
        tw_json_number(agreement->strike_mm), "edge_mm", tw_json_number(agreement->edge_mm));
}
