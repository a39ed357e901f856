/* show_steps.c: steps of thinning as text, JSON and CSV. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 64 };

/* ---- text -------------------------------------------------------------------------------- */

static void show_where(tw_output *out, tw_units units, const tw_step *step)
{
    char at[WORDS];

    if (step->outside)
        tw_output_print(out, NULL, "outside the line round %s", step->outside);
    else if (isfinite(step->at[0]))
        tw_output_print(out, NULL, "outside the line about %s",
                        tw_cli_place(step->at, units, at, WORDS));
    else
        tw_output_print(out, NULL, "everywhere");
}

static void show_step(tw_output *out, tw_units units, size_t number, const tw_step *step)
{
    char words[4][WORDS];

    tw_output_print(out, NULL, "  step %-2zu  bring %s to %s ", number,
                    tw_write_thickness(step->from_mm, units, -1, words[0], WORDS),
                    tw_write_thickness(step->to_mm, units, -1, words[1], WORDS));
    show_where(out, units, step);
    tw_output_print(out, NULL, ": %s, moves %s\n",
                    tw_write_work_area(step->area_mm2, units, -1, words[2], WORDS),
                    tw_write_mass(step->move_g, units, -1, words[3], WORDS));
}

static void show_gathering(tw_output *out, tw_units units, const tw_steps *steps)
{
    char words[4][WORDS];

    if (!(steps->gather_most_mm > 0))
        return;
    tw_output_print(out, NULL, "  gather   %s thicker at most, at %s: %s, %s to bring in\n",
                    tw_write_thickness(steps->gather_most_mm, units, -1, words[0], WORDS),
                    tw_cli_place(steps->gather_at, units, words[1], WORDS),
                    tw_write_work_area(steps->gather_area_mm2, units, -1, words[2], WORDS),
                    tw_write_mass(steps->gather_g, units, -1, words[3], WORDS));
}

/* What does not go by hammer. */
static void show_losses(tw_output *out, tw_units units, const tw_goal *goal)
{
    char words[2][WORDS];

    if (goal->scale_mm > 0)
        tw_output_print(
            out, NULL, "  scale    burns off %s on the way, %s\n",
            tw_write_thickness(goal->scale_mm, units, -1, words[0], WORDS),
            tw_write_mass(goal->before_g - goal->rough_weight.mass_g, units, -1, words[1], WORDS));
    if (goal->polish_mm > 0)
        tw_output_print(out, NULL, "  polish   takes %s at the end, %s\n",
                        tw_write_thickness(goal->polish_mm, units, -1, words[0], WORDS),
                        tw_write_mass(goal->rough_weight.mass_g - goal->weight.mass_g, units, -1,
                                      words[1], WORDS));
    if (goal->trim_mm > 0)
        tw_output_print(
            out, NULL,
            "  trim     a strip of %s beyond the outline, cut off last: \"taperwright blank\" "
            "weighs it\n",
            tw_write_length(goal->trim_mm, units, -1, words[0], WORDS));
}

static void show_weights(tw_output *out, tw_units units, const tw_goal *goal)
{
    const bool losses = goal->scale_mm > 0 || goal->polish_mm > 0;
    char words[3][WORDS];

    tw_output_print(out, NULL, "  weight   ");
    if (losses)
        tw_output_print(out, NULL, "%s with its scale, %s hammered, ",
                        tw_write_mass(goal->before_g, units, -1, words[0], WORDS),
                        tw_write_mass(goal->rough_weight.mass_g, units, -1, words[1], WORDS));
    tw_output_print(out, NULL, "%s finished, within the outline\n",
                    tw_write_mass(goal->weight.mass_g, units, -1, words[2], WORDS));
}

void tw_show_steps_text(tw_output *out, tw_units units, const tw_steps *steps)
{
    const tw_goal *goal = steps->goal;
    char sheet[WORDS], words[2][WORDS];

    tw_output_print(
        out, NULL, "%s, from %s%s to the %s map, an estimate of least work\n",
        goal->plate->profile->plate, tw_stock_write(&goal->stock, units, sheet, sizeof sheet),
        steps->raised ? " raised first" : " flat", goal->planned ? "planned" : "forged");
    for (size_t k = 0; k < steps->count; k++)
        show_step(out, units, k + 1, &steps->steps[k]);
    if (steps->count > 1)
        tw_output_print(out, NULL, "  in all   %s thinned, %s moved\n",
                        tw_write_work_area(steps->draw_area_mm2, units, -1, words[0], WORDS),
                        tw_write_mass(steps->move_g, units, -1, words[1], WORDS));
    if (steps->count == 0)
        tw_output_print(out, NULL, "  no step: the sheet is nowhere thicker than is wanted\n");
    show_gathering(out, units, steps);
    show_losses(out, units, goal);
    show_weights(out, units, goal);
    if (steps->count == 0)
        return;
    tw_output_print(out, NULL, "Thickness is as a gauge reads it%s.\n",
                    goal->scale_mm > 0 ? ", scale going off evenly on the way down" : "");
    if (steps->raised)
        tw_output_print(out, NULL,
                        "Raised sheet is uneven: a place joins in at the step that "
                        "reaches its thickness.\n");
    tw_output_print(out, NULL,
                    "A step stops where a place is down to what is wanted there. What it moves is "
                    "what stands over\n"
                    "that on the finished face: a hammer takes none off, it spreads outward.\n"
                    "Thinning hardens metal: anneal between steps, and retire a plate that "
                    "cracks.\n");
}

/* ---- JSON -------------------------------------------------------------------------------- */

static json_t *place_json(const double at[2])
{
    return isfinite(at[0]) ? tw_json_numbers(at, 2) : json_null();
}

static json_t *steps_json(const tw_steps *steps)
{
    json_t *list = json_array();

    for (size_t k = 0; list && k < steps->count; k++) {
        const tw_step *step = &steps->steps[k];
        json_t *item = json_pack(
            "{s:i,s:o,s:o,s:o,s:o,s:o,s:o}", "step", (int)k + 1, "from_mm",
            tw_json_number(step->from_mm), "to_mm", tw_json_number(step->to_mm), "area_mm2",
            tw_json_number(step->area_mm2), "move_g", tw_json_number(step->move_g), "outside",
            tw_json_text(step->outside), "left_alone_at_mm", place_json(step->at));
        if (json_array_append_new(list, item) != 0) {
            json_decref(list);
            list = NULL;
        }
    }
    return list;
}

static json_t *gather_json(const tw_steps *steps)
{
    return json_pack("{s:o,s:o,s:o,s:o}", "gather_g", tw_json_number(steps->gather_g), "area_mm2",
                     tw_json_number(steps->gather_area_mm2), "most_mm",
                     tw_json_number(steps->gather_most_mm), "at_mm", place_json(steps->gather_at));
}

static json_t *losses_json(const tw_goal *goal)
{
    return json_pack("{s:o,s:o,s:o,s:o,s:o}", "scale_mm", tw_json_number(goal->scale_mm), "scale_g",
                     tw_json_number(goal->before_g - goal->rough_weight.mass_g), "polish_mm",
                     tw_json_number(goal->polish_mm), "polish_g",
                     tw_json_number(goal->rough_weight.mass_g - goal->weight.mass_g), "trim_mm",
                     tw_json_number(goal->trim_mm));
}

/* The keys are promised to scripts: add, never rename. */
json_t *tw_show_steps_json(const tw_steps *steps)
{
    const tw_goal *goal = steps->goal;
    const tw_profile *profile = goal->plate->profile;

    return json_pack("{s:i,s:s,s:o,s:o,s:s,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "format",
                     1, "version", TW_VERSION, "plate", tw_json_text(profile->plate), "kind",
                     tw_json_text(profile->kind), "map", goal->planned ? "plan" : "forged",
                     "worked", steps->raised ? "raised" : "flat", "stock_mm",
                     tw_json_number(goal->stock.thickness), "step_mm",
                     steps->count > 0 ? tw_json_number(steps->step_mm) : json_null(), "steps",
                     steps_json(steps), "move_g", tw_json_number(steps->move_g), "draw_area_mm2",
                     tw_json_number(steps->draw_area_mm2), "gather", gather_json(steps), "losses",
                     losses_json(goal), "before_g", tw_json_number(goal->before_g), "rough_g",
                     tw_json_number(goal->rough_weight.mass_g), "finished_g",
                     tw_json_number(goal->weight.mass_g));
}

/* ---- CSV --------------------------------------------------------------------------------- */

static void csv_row(tw_output *out, const tw_steps *steps, const char *what, const double values[4],
                    const char *outside, const double at[2])
{
    tw_csv_text(out, steps->goal->plate->profile->plate, false);
    tw_csv_text(out, what, false);
    for (int k = 0; k < 4; k++)
        tw_csv_number(out, values[k], false);
    tw_csv_text(out, outside, false);
    tw_csv_number(out, at[0], false);
    tw_csv_number(out, at[1], true);
}

void tw_show_steps_csv(tw_output *out, const tw_steps *steps)
{
    char number[24];

    tw_output_print(out, NULL,
                    "plate,step,from_mm,to_mm,area_mm2,mass_g,outside,across_mm,up_mm\n");
    for (size_t k = 0; k < steps->count; k++) {
        const tw_step *step = &steps->steps[k];
        const double values[4] = {step->from_mm, step->to_mm, step->area_mm2, step->move_g};
        snprintf(number, sizeof number, "%zu", k + 1);
        csv_row(out, steps, number, values, step->outside, step->at);
    }
    if (steps->gather_most_mm > 0) {
        const double values[4] = {NAN, NAN, steps->gather_area_mm2, steps->gather_g};
        csv_row(out, steps, "gather", values, NULL, steps->gather_at);
    }
}
