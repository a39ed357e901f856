/* show_card.c: points to gauge, as text, JSON, and as a table to fill in. */
#include "cli_internal.h"
#include "cli_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 128, NUMBER = 24 };

static bool polished(const tw_card *card)
{
    return card->goal->polish_mm > 0;
}

/* A strike zone that no point stands for. */
static bool bare(const tw_card *card, const char *zone)
{
    for (size_t k = 0; k < card->count; k++)
        if (card->points[k].zone && strcmp(card->points[k].zone, zone) == 0)
            return false;
    return true;
}

/* ---- text -------------------------------------------------------------------------------------- */

/* "80 mm to the wearer's left, 285 mm up" */
static char *place(const tw_profile *profile, tw_units units, const double tape[2], char *out,
                   size_t size)
{
    const char *const way = tape[1] < 0 ? "down" : "up";
    char across[NUMBER], up[NUMBER];

    tw_write_length(fabs(tape[0]), units, -1, across, sizeof across);
    tw_write_length(fabs(tape[1]), units, -1, up, sizeof up);
    if (tape[0] == 0)
        snprintf(out, size, "on the centre line, %s %s", up, way);
    else
        snprintf(out, size, "%s to %s, %s %s", across, tw_cli_side(profile->worn, tape[0]), up,
                 way);
    return out;
}

/* "2.30 mm (2.20 mm to 2.40 mm)" */
static char *wanted(double mm, double low, double high, tw_units units, char *out, size_t size)
{
    char words[3][NUMBER];

    snprintf(out, size, "%s (%s to %s)", tw_write_thickness(mm, units, -1, words[0], NUMBER),
             tw_write_thickness(low, units, -1, words[1], NUMBER),
             tw_write_thickness(high, units, -1, words[2], NUMBER));
    return out;
}

static void show_head(tw_output *out, tw_units units, const tw_card *card)
{
    const tw_goal *goal = card->goal;
    char words[2][WORDS];

    tw_output_print(out, NULL, "%s, %s map: %zu point%s to gauge on the way, each within %s",
                    goal->plate->profile->plate, goal->planned ? "planned" : "forged", card->count,
                    card->count == 1 ? "" : "s",
                    tw_write_thickness(card->window_mm, units, -1, words[0], WORDS));
    if (isfinite(card->reach_mm))
        tw_output_print(out, NULL, ", all within %s of the edge",
                        tw_write_length(card->reach_mm, units, -1, words[1], WORDS));
    if (goal->stock.thickness > 0)
        tw_output_print(out, NULL, "; from %s",
                        tw_stock_write(&goal->stock, units, words[1], WORDS));
    tw_output_print(out, NULL, "\n");
}

static void show_points(tw_output *out, tw_units units, const tw_card *card)
{
    const tw_profile *profile = card->goal->plate->profile;
    const bool both = polished(card);
    const int column = units == TW_INCH ? 33 : 31;
    char words[3][WORDS];
    int widest = (int)strlen("by tape");

    for (size_t k = 0; k < card->count; k++) {
        const size_t wide =
            tw_cli_columns(place(profile, units, card->points[k].tape, words[0], WORDS));
        widest = (int)wide > widest ? (int)wide : widest;
    }
    tw_output_print(out, NULL, "  %2s  %-*s  %-*s  ", "", widest, "by tape", column,
                    both ? "hammered" : "wanted");
    if (both)
        tw_output_print(out, NULL, "%-*s  ", column, "finished");
    tw_output_print(out, NULL, "zone\n");
    for (size_t k = 0; k < card->count; k++) {
        const tw_check_point *p = &card->points[k];
        place(profile, units, p->tape, words[0], WORDS);
        wanted(p->rough_mm, p->rough_low_mm, p->rough_high_mm, units, words[1], WORDS);
        wanted(p->finished_mm, p->finished_low_mm, p->finished_high_mm, units, words[2], WORDS);
        tw_output_print(out, NULL, "  %2s  %-*s  %-*s  ", p->name, tw_cli_fit(widest, words[0]),
                        words[0], column, words[1]);
        if (both)
            tw_output_print(out, NULL, "%-*s  ", column, words[2]);
        tw_output_print(out, NULL, "%s\n", p->zone ? p->zone : "-");
    }
}

void tw_show_card_text(tw_output *out, tw_units units, const tw_card *card)
{
    const tw_forged_spec *forged = &card->goal->plate->profile->forged;
    char words[3][WORDS];

    show_head(out, units, card);
    show_points(out, units, card);
    for (size_t k = 0; k < forged->strike_count; k++)
        if (bare(card, forged->strikes[k].name))
            tw_output_print(out, NULL, "No point stands for zone %s: %s.\n",
                            forged->strikes[k].name,
                            card->count <= forged->strike_count
                                ? "ask for more points"
                                : "in it no foot can stand within reach, clear of edges, holes, "
                                  "creases and thicker zones");
    tw_output_print(out, NULL,
                    "The mass: ± %s before any is read, ± %s once all are (95 %%), if work "
                    "strays by %s (standard) all over and as much from place to place.\n",
                    tw_write_mass(2 * card->sd_before_g, units, -1, words[0], WORDS),
                    tw_write_mass(2 * card->sd_after_g, units, -1, words[1], WORDS),
                    tw_write_thickness(TW_CARD_STRAY, units, -1, words[2], WORDS));
    tw_output_print(out, NULL,
                    "No window goes under what is required at its place%s. Gauge before each "
                    "annealing; what is hammered or ground too thin does not come back.\n",
                    polished(card) ? "; hammered is finished and what polish takes off" : "");
}

/* ---- JSON: the keys are promised to scripts: add, never rename ------------------------------------ */

static json_t *point_json(const tw_check_point *p)
{
    return json_pack(
        "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "point", tw_json_text(p->name), "at_mm",
        tw_json_numbers(p->tape, 2), "zone", tw_json_text(p->zone), "rough_mm",
        tw_json_number(p->rough_mm), "rough_low_mm", tw_json_number(p->rough_low_mm),
        "rough_high_mm", tw_json_number(p->rough_high_mm), "finished_mm",
        tw_json_number(p->finished_mm), "finished_low_mm", tw_json_number(p->finished_low_mm),
        "finished_high_mm", tw_json_number(p->finished_high_mm), "mass_sd_after_g",
        tw_json_number(p->sd_after_g));
}

json_t *tw_show_card_json(const tw_card *card)
{
    const tw_goal *goal = card->goal;
    const tw_forged_spec *forged = &goal->plate->profile->forged;
    json_t *points = json_array(), *zones = json_array();

    for (size_t k = 0; points && k < card->count; k++) {
        if (json_array_append_new(points, point_json(&card->points[k])) != 0) {
            json_decref(points);
            points = NULL;
        }
    }
    for (size_t k = 0; zones && k < forged->strike_count; k++) {
        if (bare(card, forged->strikes[k].name) &&
            json_array_append_new(zones, tw_json_text(forged->strikes[k].name)) != 0) {
            json_decref(zones);
            zones = NULL;
        }
    }
    return json_pack(
        "{s:i,s:s,s:o,s:o,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "format", 1, "version", TW_VERSION,
        "plate", tw_json_text(goal->plate->profile->plate), "kind",
        tw_json_text(goal->plate->profile->kind), "map", goal->planned ? "plan" : "forged",
        "window_mm", tw_json_number(card->window_mm), "reach_mm", tw_json_number(card->reach_mm),
        "stock_mm", tw_json_number(goal->stock.thickness > 0 ? goal->stock.thickness : NAN),
        "polish_mm", tw_json_number(goal->polish_mm), "mass_sd_before_g",
        tw_json_number(card->sd_before_g), "mass_sd_after_g", tw_json_number(card->sd_after_g),
        "zones_without_point", zones, "points", points);
}

/* ---- CSV: a table of readings without its readings -------------------------------------------------- */

/* What is wanted goes into the remark, which whoever reads readings leaves aside. */
void tw_show_card_csv(tw_output *out, const tw_card *card)
{
    char words[2][WORDS], remark[4 * WORDS];

    tw_output_print(out, NULL, "name,across [mm],up [mm],thickness [mm],remark\n");
    for (size_t k = 0; k < card->count; k++) {
        const tw_check_point *p = &card->points[k];
        wanted(p->rough_mm, p->rough_low_mm, p->rough_high_mm, TW_METRIC, words[0], WORDS);
        wanted(p->finished_mm, p->finished_low_mm, p->finished_high_mm, TW_METRIC, words[1], WORDS);
        snprintf(remark, sizeof remark, "%s%s%s%s%s%s", polished(card) ? "hammered " : "wanted ",
                 words[0], polished(card) ? "; finished " : "", polished(card) ? words[1] : "",
                 p->zone ? "; zone " : "", p->zone ? p->zone : "");
        tw_csv_text(out, p->name, false);
        tw_csv_number(out, p->tape[0], false);
        tw_csv_number(out, p->tape[1], false);
        tw_csv_number(out, NAN, false);
        tw_csv_text(out, remark, true);
    }
}
