/*
 * scale.c: what was weighed or measured as a whole, each with its standard uncertainty: the plate on
 * a scale, its area, paper in place of an area; and the bound of bought sheet.
 *
 * A display of step d rounds each reading by at most d/2, rectangular: d/√12 (JCGM 100:2008, 4.3.7
 * and F.2.2.1). A net weight is two readings, the empty scale's and the plate's: d/√6. `tare: exact`
 * says that the zero is none (set by the scale to a fraction of its step): d/√12.
 */
#include "profile_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- area ---------------------------------------------------------------------------------- */

void tw_read_area(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_area_keys keys = {0, 0};
    tw_profile *profile = reader->profile;

    (void)target;
    if (node->kind == TW_NODE_MAP)
        tw_read_map(reader, node, key->inside, key->name, &keys);
    else
        tw_value_number(reader, node, key->name, TW_NUMBER_AREA, &keys.value);
    if (keys.value > 0 && keys.uncertainty >= keys.value)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "give the standard uncertainty, as 0.5 dm2",
                        "the area's uncertainty is as large as the area");
    profile->area = keys.value;
    profile->area_uncertainty = keys.uncertainty;
}

/* Paper is made to within a few percent of its weight per area: common practice, no source. */
#define PAPER_SPREAD 0.02

/* Step of a display that shows `weight`: 1 g, 0.1 g or 0.01 g by its last digit, and 0.1 g where the
 * weight was not typed in grams. */
static double step_shown(double weight)
{
    for (double step = 1; step > 0.005; step /= 10)
        if (fabs(weight / step - round(weight / step)) < 1e-6)
            return step;
    return 0.1;
}

/* Area of paper that was wrapped over the plate, trimmed and weighed: weight ÷ weight per area. */
void tw_read_paper(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_paper_keys keys = {0, 0, 0};
    tw_profile *profile = reader->profile;
    double rounding;

    (void)target;
    if (!tw_read_map(reader, node, key->inside, key->name, &keys) || !(keys.weight > 0) ||
        !(keys.sheet > 0))
        return;
    rounding = (keys.step > 0 ? keys.step : step_shown(keys.weight)) / sqrt(6) / keys.weight;
    profile->area = keys.weight / keys.sheet;
    profile->area_uncertainty = profile->area * hypot(rounding, PAPER_SPREAD);
}

/* ---- scale --------------------------------------------------------------------------------- */

void tw_read_scale(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_scale_keys keys = {0, 0, NAN, 0, {0, 0}};
    tw_profile *profile = reader->profile;
    double rounding;

    (void)target;
    if (node->kind != TW_NODE_MAP) {
        tw_value_number(reader, node, key->name, TW_NUMBER_MASS, &profile->scale);
        return;
    }
    if (!tw_read_map(reader, node, key->inside, key->name, &keys))
        return;
    if (keys.tare_place.line != 0 && !tw_tree_find(node, "step"))
        tw_reader_fault(reader, keys.tare_place, TW_ERR_KEY, NULL,
                        "add \"step: 1 g\", the step of its display",
                        "tare says how often the step counts, and there is no step");
    if (keys.reads > 0 && keys.step > keys.reads)
        tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL,
                        "give the step of the display, as 1 g",
                        "the scale's step is larger than what it reads");
    profile->scale = keys.reads;
    profile->scale_step = keys.step;
    rounding = keys.step / sqrt(keys.tare_exact ? 12 : 6);
    if (!isnan(keys.uncertainty)) /* without a step it is all there is to know */
        profile->scale_uncertainty = hypot(rounding, keys.uncertainty);
    else if (keys.step > 0)
        profile->scale_uncertainty = rounding;
}

/* ---- tolerance of sheet -------------------------------------------------------------------- */

/* By the order of the words: normal, special, A, B, C, D. Category A is EN 10051's plain one. */
static tw_tolerance_class class_of(tw_tolerance_standard standard, int word, bool *fits)
{
    static const tw_tolerance_class classes[] = {TW_CLASS_NORMAL, TW_CLASS_SPECIAL, TW_CLASS_NORMAL,
                                                 TW_CLASS_B,      TW_CLASS_C,       TW_CLASS_D};

    *fits = word < 0 || (standard == TW_TOLERANCE_COLD_ROLLED) == (word < 2);
    return word < 0 ? TW_CLASS_NORMAL : classes[word];
}

void tw_read_tolerance(tw_reader *reader, const tw_node *node, const tw_key *key, void *target)
{
    tw_tolerance_keys keys = {0, 0, -1, -1, {0, 0}, {0, 0}};
    tw_profile *profile = reader->profile;
    tw_tolerance_spec *out = &profile->tolerance;
    const size_t before = reader->errors.count;
    const bool by_standard = node->kind == TW_NODE_MAP && tw_tree_find(node, "standard");
    double bound;
    bool fits;
    tw_error err;

    (void)target;
    if (!tw_read_map(reader, node, key->inside, key->name, &keys) || reader->errors.count > before)
        return;
    if (by_standard == (keys.bound > 0)) {
        tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                        "write {standard: EN 10131} or {bound: 0.05 mm}",
                        by_standard ? "a tolerance has a standard or a bound, not both"
                                    : "a tolerance lacks its standard or its bound");
        return;
    }
    if (!by_standard && (keys.grade >= 0 || keys.width > 0)) {
        tw_reader_fault(reader, keys.grade >= 0 ? keys.grade_place : keys.width_place, TW_ERR_KEY,
                        NULL, "leave it out", "class and width go with a standard");
        return;
    }
    if (!tw_tree_find(reader->root, "thickness") || !profile->has_sheet) {
        if (profile->sheet_place.line == 0)
            tw_reader_fault(reader, node->place, TW_ERR_KEY, NULL,
                            "add \"sheet: 1.6 mm\", or leave it out",
                            "a tolerance is about bought sheet, and there is no sheet");
        return;
    }
    *out = (tw_tolerance_spec){.given = true,
                               .bound = keys.bound,
                               .standard = (tw_tolerance_standard)(by_standard ? keys.standard : 0),
                               .width = keys.width,
                               .place = node->place};
    if (!by_standard) {
        if (keys.bound >= profile->sheet.thickness)
            tw_reader_fault(reader, node->place, TW_ERR_DOMAIN, NULL, "a bound is as 0.08 mm",
                            "the bound is as large as the sheet is thick");
        return;
    }
    out->grade = class_of(out->standard, keys.grade, &fits);
    if (!fits)
        tw_reader_fault(reader, keys.grade_place, TW_ERR_KEY, NULL,
                        "EN 10131 has normal and special, EN 10051 A, B, C and D",
                        "the standard has no such class");
    else if (tw_tolerance_find(out->standard, out->grade, profile->sheet.thickness, out->width,
                               &bound, &err) != TW_OK)
        tw_reader_pass(reader, node->place, key->name, &err);
}
